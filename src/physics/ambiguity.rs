//! Whether a line of maths could be meant in two ways.

use crate::algebra::expr::{Expr, Function};
use crate::text::{Ambiguity, Readings, Undeclared, Vocabulary, read};

/// Whether a colleague would ask which reading is meant. Nobody asks of
/// `1/2 m v^2`, so fractions of two whole numbers get brackets first. A line
/// that can't be read is not ambiguous.
pub(super) fn is_ambiguous(text: &str, vocabulary: &mut Vocabulary) -> bool {
    let asks = |readings: &Readings| {
        readings.others.iter().any(|reading| match reading.differs {
            Some(Ambiguity::Slash) => true,
            // Nobody takes sin θ/cos θ for the sine of a quotient.
            Some(Ambiguity::Function) => !reading.chain.iter().any(|side| nested(side, false)),
            _ => false,
        })
    };
    read(&bracket_fractions(text), vocabulary, Undeclared::Declare)
        .is_ok_and(|readings| asks(&readings))
}

/// Whether an angle's function stands inside another's argument.
fn nested(expr: &Expr, inside: bool) -> bool {
    use Function::{Cos, Cosec, Cot, Sec, Sin, Tan};
    let angle = matches!(expr, Expr::Call(Sin | Cos | Tan | Sec | Cosec | Cot, _));
    if angle && inside {
        return true;
    }
    match expr {
        Expr::Number(_) | Expr::Symbol(_) | Expr::Constant(_) => false,
        Expr::Sum(terms) => terms.iter().any(|term| nested(&term.value, inside)),
        Expr::Product(factors) => factors.iter().any(|factor| nested(&factor.value, inside)),
        Expr::Power(base, exponent) => nested(base, inside) || nested(exponent, inside),
        Expr::Call(_, argument) => nested(argument, inside || angle),
        Expr::Derivative(derivative) => nested(&derivative.of, inside),
        Expr::Integral(integral) => nested(&integral.of, inside),
    }
}

/// `(1/2) m v^2` for `1/2 m v^2`: brackets around two whole numbers with a
/// slash between that no other number or letter touches.
fn bracket_fractions(text: &str) -> String {
    let digits_from = |at: usize| {
        text[at..]
            .find(|next: char| !next.is_ascii_digit())
            .map_or(text.len(), |length| at + length)
    };
    let mut result = String::with_capacity(text.len() + 8);
    let mut before = ' ';
    let mut at = 0;
    while let Some(next) = text[at..].chars().next() {
        if next.is_ascii_digit() {
            let top = digits_from(at);
            let bottom = if text[top..].starts_with('/') {
                digits_from(top + 1)
            } else {
                top + 1
            };
            let touched = before.is_alphanumeric() || matches!(before, '_' | '.' | '^' | '/');
            if bottom > top + 1 && !touched && !text[bottom..].starts_with(['.', '^', '!']) {
                result.push('(');
                result.push_str(&text[at..bottom]);
                result.push(')');
                before = ')';
                at = bottom;
                continue;
            }
            result.push_str(&text[at..top]);
            before = '0';
            at = top;
            continue;
        }
        result.push(next);
        before = next;
        at += next.len_utf8();
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_get_brackets() {
        for (text, expected) in [
            ("1/2 m v^2", "(1/2) m v^2"),
            ("4/3 π r^3", "(4/3) π r^3"),
            ("v^1/2", "v^1/2"),
            ("1.1/2", "1.1/2"),
            ("v_1/2", "v_1/2"),
            ("a/1/2", "a/1/2"),
            ("1/2^3", "1/2^3"),
            ("1/x", "1/x"),
            ("12/", "12/"),
        ] {
            assert_eq!(bracket_fractions(text), expected);
        }
    }

    #[test]
    fn what_a_colleague_would_ask() {
        for (text, expected) in [
            ("E = 1/2 m v^2", false),
            ("t = v/2a", true),
            ("t = v/(2a)", false),
            ("v = sqrt 2E/m", true),
            ("A = π d^2/4", false),
            ("μ = sinθ/cosθ", false),
            ("μ = sin θ/2", true),
            ("N = N_0 exp(-λ t)", false),
        ] {
            assert_eq!(
                is_ambiguous(text, &mut Vocabulary::new()),
                expected,
                "{text}"
            );
        }
    }
}
