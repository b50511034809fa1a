//! Whether two formulae of a sheet say the same in other type: sides
//! exchanged, terms or factors in another order, a letter spelt in another
//! way. A rearranged formula is another formula.

use std::fmt::Write as _;

use crate::algebra::expr::{Equation, Expr};

/// Two equations with the same key say the same.
pub(super) fn key(equation: &Equation) -> String {
    let mut sides = [part(&equation.left), part(&equation.right)];
    sides.sort_unstable();
    sides.join("=")
}

// Recursion is bounded by the reader's limit on nesting.
fn part(expr: &Expr) -> String {
    match expr {
        Expr::Number(number) => number.to_string(),
        Expr::Symbol(symbol) => format!("s{}", symbol.index()),
        Expr::Constant(constant) => format!("{constant:?}"),
        Expr::Sum(terms) => joined(
            '+',
            terms
                .iter()
                .map(|term| format!("{:?} {}", term.sign, part(&term.value))),
        ),
        Expr::Product(factors) => joined(
            '*',
            factors.iter().map(|factor| {
                let sign = if factor.divides { "/" } else { "" };
                format!("{sign}{}", part(&factor.value))
            }),
        ),
        Expr::Power(base, exponent) => format!("({}^{})", part(base), part(exponent)),
        Expr::Call(function, argument) => format!("{}({})", function.name(), part(argument)),
        Expr::Derivative(derivative) => format!(
            "d{}[{}]s{}",
            derivative.order,
            part(&derivative.of),
            derivative.by.index()
        ),
        Expr::Integral(integral) => format!(
            "int[{}]s{}[{}][{}]",
            part(&integral.of),
            integral.by.index(),
            part(&integral.from),
            part(&integral.to)
        ),
    }
}

fn joined(sign: char, parts: impl Iterator<Item = String>) -> String {
    let mut parts: Vec<String> = parts.collect();
    parts.sort_unstable();
    let mut joined = String::from("(");
    for next in parts {
        let _ = write!(joined, "{sign}{next}");
    }
    joined.push(')');
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_preferred};

    #[test]
    fn what_says_the_same() {
        let mut vocabulary = Vocabulary::new();
        let mut read = |text: &str| {
            let chain = read_preferred(text, &mut vocabulary, Undeclared::Declare)
                .expect("readable")
                .chain;
            key(&Equation::new(chain[0].clone(), chain[1].clone()))
        };
        for (one, other, same) in [
            ("v = f λ", "v = lambda*f", true),
            ("v = u + a t", "u + a t = v", true),
            ("v = u + a t", "v = t a + u", true),
            ("v = u + a t", "u = v - a t", false),
            ("v = u - a t", "v = a t - u", false),
            ("x = a/b", "x = b/a", false),
            ("x = a^b", "x = b^a", false),
            ("x = sin y", "x = cos y", false),
            ("x = π y", "x = e y", false),
            ("v = dx/dt", "dx/dt = v", true),
            ("W = int(k x, x, 0, e_1)", "W = int(k x, x, 1, e_1)", false),
        ] {
            assert_eq!(read(one) == read(other), same, "{one}, {other}");
        }
    }
}
