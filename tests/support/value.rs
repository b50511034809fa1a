//! A plain evaluator in doubles, independent of the certified one.

use rejig::algebra::expr::{Constant, Expr, Function, Sign};

/// The value; not a number where there is none.
pub fn value(expr: &Expr, values: &[f64]) -> f64 {
    match expr {
        Expr::Number(number) => number.to_f64(),
        Expr::Symbol(symbol) => values[symbol.index()],
        Expr::Constant(Constant::Pi) => std::f64::consts::PI,
        Expr::Constant(Constant::Euler) => std::f64::consts::E,
        Expr::Sum(terms) => terms
            .iter()
            .map(|term| {
                let own = value(&term.value, values);
                match term.sign {
                    Sign::Plus | Sign::PlusMinus => own,
                    Sign::Minus | Sign::MinusPlus => -own,
                }
            })
            .sum(),
        Expr::Product(factors) => factors.iter().fold(1.0, |made, factor| {
            let own = value(&factor.value, values);
            if factor.divides {
                made / own
            } else {
                made * own
            }
        }),
        Expr::Power(base, exponent) => value(base, values).powf(value(exponent, values)),
        // The rows have none.
        Expr::Derivative(_) | Expr::Integral(_) => f64::NAN,
        Expr::Call(function, argument) => {
            let x = value(argument, values);
            match function {
                Function::Sqrt => x.sqrt(),
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
    }
}
