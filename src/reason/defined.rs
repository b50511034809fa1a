//! Whether an expression has a value everywhere on the domain, at a glance:
//! sound, not complete. "No" says only that a closer look is needed.

use crate::algebra::expr::{Expr, Function};
use crate::algebra::symbol::SymbolTable;

use super::signs::signs;

/// Whether the expression certainly has a value wherever its symbols lie in
/// their domains.
#[must_use]
pub(super) fn is_defined(expr: &Expr, table: &SymbolTable) -> bool {
    match expr {
        Expr::Number(_) | Expr::Symbol(_) | Expr::Constant(_) => true,
        Expr::Sum(terms) => terms.iter().all(|term| is_defined(&term.value, table)),
        Expr::Product(factors) => factors.iter().all(|factor| {
            is_defined(&factor.value, table)
                && (!factor.divides || signs(&factor.value, table).is_nonzero())
        }),
        Expr::Power(base, exponent) => {
            if !is_defined(base, table) || !is_defined(exponent, table) {
                return false;
            }
            let whole = match &**exponent {
                Expr::Number(number) if number.is_positive() => number.is_integer(),
                _ => false,
            };
            whole || {
                let own = signs(base, table);
                let positive = signs(exponent, table).is_positive();
                own.is_positive()
                    || own.is_nonnegative() && positive
                    || own.is_nonzero()
                        && matches!(&**exponent, Expr::Number(number) if number.is_integer())
            }
        }
        Expr::Call(function, argument) => {
            is_defined(argument, table)
                && match function {
                    Function::Sqrt | Function::Cbrt => signs(argument, table).is_nonnegative(),
                    Function::Ln | Function::Log10 => signs(argument, table).is_positive(),
                    Function::Abs
                    | Function::Exp
                    | Function::Sin
                    | Function::Cos
                    | Function::Arctan
                    | Function::Sinh
                    | Function::Cosh
                    | Function::Tanh
                    | Function::Arsinh => true,
                    _ => false,
                }
        }
        Expr::Derivative(_) | Expr::Integral(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::symbol::Domain;
    use crate::text::{Undeclared, Vocabulary, read_expression};

    #[test]
    fn what_has_a_value_everywhere() {
        for (text, expected) in [
            ("sqrt(u) + ln(u v) + e^x", true),
            ("(x - y)/(u + v)", true),
            ("1/x", false),
            ("1/n", false),
            ("1/(u - v)", false),
            ("sqrt(x)", false),
            ("sqrt(n)", true),
            ("ln(n)", false),
            ("n^(1/2) + n^u", true),
            ("n^(-1/2)", false),
            ("n^x", false),
            ("u^x", true),
            ("x^3", true),
            ("x^0", false),
            ("u^0", true),
            ("x^(-2)", false),
            ("x^(1/3)", false),
            ("tan(u)", false),
            ("arcsin(u)", false),
            ("sin(1/x)", false),
            ("(u + v)^(1/x)", false),
        ] {
            let mut vocabulary = Vocabulary::new();
            for (name, domain) in [
                ("x", Domain::Real),
                ("y", Domain::Real),
                ("n", Domain::Nonnegative),
            ] {
                vocabulary.declare(name, domain);
            }
            let tree = read_expression(text, &mut vocabulary, Undeclared::Declare).unwrap();
            assert_eq!(is_defined(&tree, vocabulary.table()), expected, "{text}");
        }
    }
}
