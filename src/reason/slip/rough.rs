//! Values in plain doubles, without a certified error: good enough to find
//! what may fit, never to say that it does. A node may be read as another
//! one, so that a wrong tree need not be built to be valued.

use std::f64::consts::{E, PI};

use crate::algebra::expr::{Constant, Expr, Function, Sign};

/// The value of `expr` with the node `from` read as `to`; not a number where
/// there is none.
pub(super) fn value(expr: &Expr, from: &Expr, to: &Expr, values: &[f64]) -> f64 {
    walk(expr, Some((from, to)), values)
}

fn walk(expr: &Expr, instead: Option<(&Expr, &Expr)>, values: &[f64]) -> f64 {
    if let Some((from, to)) = instead
        && std::ptr::eq(expr, from)
    {
        // What stands in the node's place is read as it is.
        return walk(to, None, values);
    }
    let own = |child: &Expr| walk(child, instead, values);
    match expr {
        Expr::Number(number) => number.to_f64(),
        Expr::Symbol(symbol) => values.get(symbol.index()).copied().unwrap_or(f64::NAN),
        Expr::Constant(Constant::Pi) => PI,
        Expr::Constant(Constant::Euler) => E,
        Expr::Sum(terms) => terms
            .iter()
            .map(|term| match term.sign {
                Sign::Plus | Sign::PlusMinus => own(&term.value),
                Sign::Minus | Sign::MinusPlus => -own(&term.value),
            })
            .sum(),
        Expr::Product(factors) => factors.iter().fold(1.0, |product, factor| {
            let value = own(&factor.value);
            if factor.divides {
                product / value
            } else {
                product * value
            }
        }),
        Expr::Power(base, exponent) => own(base).powf(own(exponent)),
        Expr::Call(function, argument) => apply(*function, own(argument)),
        Expr::Derivative(_) | Expr::Integral(_) => f64::NAN,
    }
}

fn apply(function: Function, x: f64) -> f64 {
    match function {
        Function::Sqrt => x.sqrt(),
        Function::Cbrt if x < 0.0 => f64::NAN,
        Function::Cbrt => x.cbrt(),
        Function::Abs => x.abs(),
        Function::Exp => x.exp(),
        Function::Ln => x.ln(),
        Function::Log10 => x.log10(),
        Function::Sin => x.sin(),
        Function::Cos => x.cos(),
        Function::Tan => x.tan(),
        Function::Sec => 1.0 / x.cos(),
        Function::Cosec => 1.0 / x.sin(),
        Function::Cot => 1.0 / x.tan(),
        Function::Arcsin => x.asin(),
        Function::Arccos => x.acos(),
        Function::Arctan => x.atan(),
        Function::Sinh => x.sinh(),
        Function::Cosh => x.cosh(),
        Function::Tanh => x.tanh(),
        Function::Arsinh => x.asinh(),
        Function::Arcosh => x.acosh(),
        Function::Artanh => x.atanh(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::ball::{self, Ball};
    use crate::algebra::symbol::Domain;
    use crate::text::{Undeclared, Vocabulary, read};

    #[test]
    fn agrees_with_certified_values_and_reads_a_node_as_another() {
        let mut vocabulary = Vocabulary::new();
        let a = vocabulary.declare("a", Domain::Real);
        let b = vocabulary.declare("b", Domain::Positive);
        for text in [
            "a^2 - 3b/(a + 2)",
            "sqrt(b) e^(-a) + ln b",
            "sin(a) cos(b)/tan(b) + b^(1/3)",
            "arcsin(a/b) + arctan(b) - |a|^3",
        ] {
            let reading = read(text, &mut vocabulary, Undeclared::Refuse).unwrap();
            let tree = &reading.preferred.chain[0];
            let values = [-1.25, 2.5];
            let balls = values.map(Ball::exact);
            let exact = ball::evaluate(tree, &balls).unwrap();
            let own = value(tree, tree, tree, &values);
            assert!((own - exact.mid()).abs() < 1e-12, "{text}");
        }
        let (one, two) = (Expr::Symbol(a), Expr::Symbol(b));
        let sum = Expr::add(one.clone(), two.clone());
        let Expr::Sum(terms) = &sum else {
            unreachable!()
        };
        let changed = value(&sum, &terms[1].value, &Expr::integer(10), &[1.0, 5.0]);
        assert!((changed - 11.0).abs() < 1e-15);
    }
}
