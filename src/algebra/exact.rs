//! Exact rational values of trees, where they have one.
//!
//! Contract: a value that comes out is the true value. It certifies a
//! difference however small.

use super::expr::{Expr, Function, Sign};
use super::number::Number;

/// Why there is no exact value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotExact {
    /// Undefined here.
    Undefined,
    /// Not rational, or too large to be worth it.
    NotRational,
}

/// Powers beyond this are left to the balls.
const LARGEST_POWER: i64 = 256;

/// The value of a tree without symbols, if it is rational.
#[must_use]
pub fn constant(expr: &Expr) -> Option<Number> {
    match expr {
        Expr::Number(number) => Some(number.clone()),
        Expr::Symbol(_) | Expr::Constant(_) => None,
        other => evaluate(other, &[]).ok(),
    }
}

/// The value of a tree for rational values of its symbols, by their index.
/// Doubled signs are read as their upper branch.
///
/// # Errors
/// [`NotExact`] where there is no rational value.
pub fn evaluate(expr: &Expr, values: &[Number]) -> Result<Number, NotExact> {
    match expr {
        Expr::Number(number) => Ok(number.clone()),
        Expr::Symbol(symbol) => values
            .get(symbol.index())
            .cloned()
            .ok_or(NotExact::NotRational),
        Expr::Constant(_) | Expr::Derivative(_) | Expr::Integral(_) => Err(NotExact::NotRational),
        Expr::Sum(terms) => {
            let mut sum = Number::ZERO;
            for term in terms {
                let value = evaluate(&term.value, values)?;
                sum = match term.sign {
                    Sign::Plus | Sign::PlusMinus => &sum + &value,
                    Sign::Minus | Sign::MinusPlus => &sum - &value,
                };
            }
            sum.checked().map_err(|_| NotExact::NotRational)
        }
        Expr::Product(factors) => {
            let mut product = Number::ONE;
            for factor in factors {
                let value = evaluate(&factor.value, values)?;
                let value = if factor.divides {
                    value.reciprocal().ok_or(NotExact::Undefined)?
                } else {
                    value
                };
                product = (&product * &value)
                    .checked()
                    .map_err(|_| NotExact::NotRational)?;
            }
            Ok(product)
        }
        Expr::Power(base, exponent) => {
            let exponent = evaluate(exponent, values)?;
            power(&evaluate(base, values)?, &exponent)
        }
        Expr::Call(function, argument) => {
            let value = evaluate(argument, values)?;
            match function {
                Function::Sqrt => power(&value, &Number::new(1, 2)),
                Function::Cbrt => power(&value, &Number::new(1, 3)),
                Function::Abs => Ok(value.abs()),
                Function::Exp if value.is_zero() => Ok(Number::ONE),
                Function::Ln | Function::Log10 if value.is_one() => Ok(Number::ZERO),
                Function::Ln | Function::Log10 if !value.is_positive() => Err(NotExact::Undefined),
                Function::Sin | Function::Tan | Function::Arcsin | Function::Arctan
                    if value.is_zero() =>
                {
                    Ok(Number::ZERO)
                }
                Function::Cos if value.is_zero() => Ok(Number::ONE),
                _ => Err(NotExact::NotRational),
            }
        }
    }
}

fn power(base: &Number, exponent: &Number) -> Result<Number, NotExact> {
    let (num, den) = exponent.to_i64_pair().ok_or(NotExact::NotRational)?;
    if num.abs() > LARGEST_POWER || den > LARGEST_POWER {
        return Err(NotExact::NotRational);
    }
    if base.is_zero() && num <= 0 {
        return Err(NotExact::Undefined);
    }
    let root = if den == 1 {
        base.clone()
    } else if base.is_negative() {
        return Err(NotExact::Undefined);
    } else {
        let index = u32::try_from(den).map_err(|_| NotExact::NotRational)?;
        base.exact_root(index).ok_or(NotExact::NotRational)?
    };
    root.pow(num).map_err(|_| NotExact::NotRational)
}
