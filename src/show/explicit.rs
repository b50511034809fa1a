//! An expression for another program: every sign of multiplication written,
//! every name as it was declared, nothing that needs a rule about what stands
//! side by side.

use crate::algebra::expr::{Constant, Equation, Expr, Function, Sign};
use crate::algebra::symbol::SymbolTable;

use super::line::{Spelling, shown_number};

/// How tightly a written piece holds together.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Holds {
    Sum,
    Product,
    Power,
    Atom,
}

/// The expression with every operation written out.
#[must_use]
pub fn explicit(expr: &Expr, symbols: &SymbolTable) -> String {
    let mut out = String::new();
    write(expr, symbols, &mut out);
    out
}

/// Sides joined by equals signs.
#[must_use]
pub fn explicit_chain(chain: &[Expr], symbols: &SymbolTable) -> String {
    let sides: Vec<String> = chain.iter().map(|side| explicit(side, symbols)).collect();
    sides.join(" = ")
}

/// An equation.
#[must_use]
pub fn explicit_equation(equation: &Equation, symbols: &SymbolTable) -> String {
    format!(
        "{} = {}",
        explicit(&equation.left, symbols),
        explicit(&equation.right, symbols)
    )
}

fn write(expr: &Expr, symbols: &SymbolTable, out: &mut String) -> Holds {
    match expr {
        Expr::Number(number) => {
            let written = shown_number(number, Spelling::Ascii);
            out.push_str(&written);
            if written.contains('/') {
                Holds::Product
            } else if number.is_negative() {
                Holds::Sum
            } else {
                Holds::Atom
            }
        }
        Expr::Symbol(symbol) => {
            out.push_str(symbols.name(*symbol));
            Holds::Atom
        }
        Expr::Constant(Constant::Pi) => {
            out.push_str("pi");
            Holds::Atom
        }
        // `e` may be declared as a symbol; this can't be misread.
        Expr::Constant(Constant::Euler) => {
            out.push_str("exp(1)");
            Holds::Atom
        }
        Expr::Sum(terms) => {
            for (place, term) in terms.iter().enumerate() {
                let sign = match term.sign {
                    Sign::Plus if place == 0 => "",
                    Sign::Plus => " + ",
                    Sign::Minus if place == 0 => "-",
                    Sign::Minus => " - ",
                    Sign::PlusMinus if place == 0 => "±",
                    Sign::PlusMinus => " ± ",
                    Sign::MinusPlus if place == 0 => "∓",
                    Sign::MinusPlus => " ∓ ",
                };
                out.push_str(sign);
                within(&term.value, Holds::Product, symbols, out);
            }
            Holds::Sum
        }
        Expr::Product(factors) => {
            for (place, factor) in factors.iter().enumerate() {
                if place == 0 && factor.divides {
                    out.push_str("1/");
                } else if place > 0 {
                    out.push(if factor.divides { '/' } else { '*' });
                }
                let needed = if place == 0 && !factor.divides {
                    Holds::Product
                } else {
                    Holds::Power
                };
                within(&factor.value, needed, symbols, out);
            }
            Holds::Product
        }
        Expr::Derivative(own) => {
            let order = if own.order > 1 {
                format!("^{}", own.order)
            } else {
                String::new()
            };
            let by = symbols.name(own.by);
            match &own.of {
                Expr::Symbol(symbol) => {
                    let gap = if own.order > 1 { " " } else { "" };
                    let name = symbols.name(*symbol);
                    out.push_str(&format!("(d{order}{gap}{name}/d{by}{order})"));
                }
                other => {
                    out.push_str(&format!("(d{order}/d{by}{order}("));
                    write(other, symbols, out);
                    out.push_str("))");
                }
            }
            Holds::Atom
        }
        Expr::Integral(own) => {
            out.push_str("int(");
            write(&own.of, symbols, out);
            out.push_str(&format!(", {}, ", symbols.name(own.by)));
            write(&own.from, symbols, out);
            out.push_str(", ");
            write(&own.to, symbols, out);
            out.push(')');
            Holds::Atom
        }
        Expr::Power(base, exponent) => {
            if matches!(**base, Expr::Constant(Constant::Euler)) {
                out.push_str("exp(");
                write(exponent, symbols, out);
                out.push(')');
                return Holds::Atom;
            }
            within(base, Holds::Atom, symbols, out);
            out.push('^');
            within(exponent, Holds::Atom, symbols, out);
            Holds::Power
        }
        Expr::Call(function, argument) => {
            match function {
                Function::Log10 => out.push_str("log10"),
                other => out.push_str(other.name()),
            }
            out.push('(');
            write(argument, symbols, out);
            out.push(')');
            Holds::Atom
        }
    }
}

/// Writes a piece, in brackets if it holds together less than `needed`.
fn within(expr: &Expr, needed: Holds, symbols: &SymbolTable, out: &mut String) {
    let from = out.len();
    if write(expr, symbols, out) < needed {
        out.insert(from, '(');
        out.push(')');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_expression};

    #[test]
    fn writes_every_sign_and_reads_back() {
        for (text, expected) in [
            ("(v² - u²)/2s", "(v^2 - u^2)/(2*s)"),
            ("½mv²", "1/2*m*v^2"),
            ("-(a + b)c", "-(a + b)*c"),
            ("a - (b - c)", "a - (b - c)"),
            ("a/(b/c)", "a/(b/c)"),
            ("(a^b)^c", "(a^b)^c"),
            ("a^(-1/2)", "a^(-1/2)"),
            ("e^(-t/RC)", "exp(-t/(R*C))"),
            ("√(2E/m)", "sqrt(2*E/m)"),
            ("lg x", "log10(x)"),
            ("T/6.28", "T/6.28"),
            ("6.63×10^-34 f", "6.63e-34*f"),
        ] {
            let mut vocabulary = Vocabulary::new();
            let expr = read_expression(text, &mut vocabulary, Undeclared::Declare).unwrap();
            let written = explicit(&expr, vocabulary.table());
            assert_eq!(written, expected, "{text}");
            let back = read_expression(&written, &mut vocabulary, Undeclared::Refuse).unwrap();
            assert_eq!(
                crate::algebra::normalise::proved_equal(&expr, &back, vocabulary.table()),
                Ok(true),
                "{text}"
            );
        }
    }
}
