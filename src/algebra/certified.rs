//! Evaluation of trees in certified arithmetic: one walk for the doubles of
//! [`super::ball`] and the long floats of [`super::precise`].

use super::expr::{Constant, Expr, Function, Sign};
use super::number::Number;

/// Why there is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoValue {
    /// Certainly undefined here: divides by zero, or takes a root or
    /// logarithm of something outside its domain.
    Undefined,
    /// Too close to such a place, or out of range, to tell.
    Unsure,
}

/// Numbers with a certified bound of their error.
///
/// Contract of every operation: for every choice of true values within the
/// operands, the true result lies within the result.
pub trait Certified: Clone {
    /// What the arithmetic needs to know, such as its precision.
    type Context;

    /// The value of a rational number; nothing out of range.
    fn of(context: &Self::Context, number: &Number) -> Option<Self>;
    /// The ratio of circumference to diameter.
    fn pi(context: &Self::Context) -> Self;
    /// The opposite.
    fn negated(&self) -> Self;
    /// Sum.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn plus(&self, other: &Self) -> Result<Self, NoValue>;
    /// Product.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn times(&self, other: &Self) -> Result<Self, NoValue>;
    /// Quotient.
    ///
    /// # Errors
    /// [`NoValue`] for a divisor that is, or may be, zero.
    fn divided(&self, other: &Self) -> Result<Self, NoValue>;
    /// Square root.
    ///
    /// # Errors
    /// [`NoValue`] for a value that is, or may be, negative.
    fn square_root(&self) -> Result<Self, NoValue>;
    /// Cube root.
    ///
    /// # Errors
    /// [`NoValue`] for a value that is, or may be, negative.
    fn cube_root(&self) -> Result<Self, NoValue>;
    /// Exponential.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn exponential(&self) -> Result<Self, NoValue>;
    /// Natural logarithm.
    ///
    /// # Errors
    /// [`NoValue`] for a value that is not, or may not be, positive.
    fn logarithm(&self) -> Result<Self, NoValue>;
    /// Sine.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn sine(&self) -> Result<Self, NoValue>;
    /// Cosine.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn cosine(&self) -> Result<Self, NoValue>;
    /// Inverse sine.
    ///
    /// # Errors
    /// [`NoValue`] for a value that is, or may be, outside [-1, 1].
    fn arcsine(&self) -> Result<Self, NoValue>;
    /// Inverse tangent.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    fn arctangent(&self) -> Result<Self, NoValue>;
    /// Distance from zero.
    fn absolute(&self) -> Self;
    /// Whether the value is certainly greater than zero.
    fn is_positive(&self) -> bool;
    /// Whether the value is certainly less than zero.
    fn is_negative(&self) -> bool;
    /// Whether the value is exactly zero.
    fn is_zero(&self) -> bool;
    /// The whole number that the value certainly is, if it is a small one.
    fn as_whole(&self) -> Option<i64>;
    /// Whether the value is certainly not a whole number.
    fn is_fractional(&self) -> bool;
}

/// Whole powers beyond this are not multiplied out.
const MOST: i64 = 1_024;

/// The value of a tree for given values of its symbols, by their index.
/// Doubled signs are read as their upper branch.
///
/// # Errors
/// [`NoValue`] where there is none, or none that is certain; symbols beyond
/// the slice count as unsure.
pub fn evaluate<C: Certified>(
    expr: &Expr,
    values: &[C],
    context: &C::Context,
) -> Result<C, NoValue> {
    match expr {
        Expr::Number(number) => whole(context, number),
        Expr::Symbol(symbol) => values.get(symbol.index()).cloned().ok_or(NoValue::Unsure),
        Expr::Constant(Constant::Pi) => Ok(C::pi(context)),
        Expr::Constant(Constant::Euler) => whole::<C>(context, &Number::ONE)?.exponential(),
        Expr::Sum(terms) => {
            let mut sum: Option<C> = None;
            for term in terms {
                let value = evaluate(&term.value, values, context)?;
                let value = match term.sign {
                    Sign::Plus | Sign::PlusMinus => value,
                    Sign::Minus | Sign::MinusPlus => value.negated(),
                };
                sum = Some(match sum {
                    Some(so_far) => so_far.plus(&value)?,
                    None => value,
                });
            }
            sum.map_or_else(|| whole(context, &Number::ZERO), Ok)
        }
        Expr::Product(factors) => {
            let mut product: Option<C> = None;
            for factor in factors {
                let value = evaluate(&factor.value, values, context)?;
                product = Some(match (product, factor.divides) {
                    (None, false) => value,
                    (None, true) => whole::<C>(context, &Number::ONE)?.divided(&value)?,
                    (Some(so_far), false) => so_far.times(&value)?,
                    (Some(so_far), true) => so_far.divided(&value)?,
                });
            }
            product.map_or_else(|| whole(context, &Number::ONE), Ok)
        }
        Expr::Power(base, exponent) => {
            if let Expr::Constant(Constant::Euler) = **base {
                return evaluate(exponent, values, context)?.exponential();
            }
            let base = evaluate(base, values, context)?;
            if let Expr::Number(number) = &**exponent {
                return rational_power(&base, number, context);
            }
            match super::exact::constant(exponent) {
                Some(number) => rational_power(&base, &number, context),
                None => general_power(&base, &evaluate(exponent, values, context)?, context),
            }
        }
        Expr::Call(function, argument) => {
            apply(*function, &evaluate(argument, values, context)?, context)
        }
        Expr::Derivative(_) | Expr::Integral(_) => Err(NoValue::Unsure),
    }
}

fn whole<C: Certified>(context: &C::Context, number: &Number) -> Result<C, NoValue> {
    C::of(context, number).ok_or(NoValue::Unsure)
}

fn whole_power<C: Certified>(base: &C, exponent: i64, context: &C::Context) -> Result<C, NoValue> {
    let mut count = exponent.unsigned_abs();
    if count > MOST.unsigned_abs() {
        return Err(NoValue::Unsure);
    }
    if exponent == 0 && base.is_zero() {
        return Err(NoValue::Undefined);
    }
    let mut result: Option<C> = None;
    let mut square = base.clone();
    while count > 0 {
        if count & 1 == 1 {
            result = Some(match result {
                Some(so_far) => so_far.times(&square)?,
                None => square.clone(),
            });
        }
        count >>= 1;
        if count > 0 {
            square = square.times(&square)?;
        }
    }
    let one = || whole::<C>(context, &Number::ONE);
    let result = result.map_or_else(one, Ok)?;
    if exponent < 0 {
        one()?.divided(&result)
    } else {
        Ok(result)
    }
}

fn rational_power<C: Certified>(
    base: &C,
    exponent: &Number,
    context: &C::Context,
) -> Result<C, NoValue> {
    if let Some(number) = exponent.to_i64() {
        return whole_power(base, number, context);
    }
    if let Some((num, den @ (2 | 3))) = exponent.to_i64_pair() {
        let root = if den == 2 {
            base.square_root()?
        } else {
            base.cube_root()?
        };
        return whole_power(&root, num, context);
    }
    if base.is_zero() {
        return if exponent.is_negative() {
            Err(NoValue::Undefined)
        } else {
            Ok(base.clone())
        };
    }
    let exponent = whole::<C>(context, exponent)?;
    base.logarithm()?.times(&exponent)?.exponential()
}

fn general_power<C: Certified>(base: &C, exponent: &C, context: &C::Context) -> Result<C, NoValue> {
    if let Some(number) = exponent.as_whole()
        && number.abs() <= MOST
    {
        return whole_power(base, number, context);
    }
    if base.is_positive() {
        return base.logarithm()?.times(exponent)?.exponential();
    }
    // A negative base has a real power for a whole exponent only.
    if base.is_negative() && exponent.is_fractional() {
        return Err(NoValue::Undefined);
    }
    Err(NoValue::Unsure)
}

fn apply<C: Certified>(function: Function, x: &C, context: &C::Context) -> Result<C, NoValue> {
    let one = || whole::<C>(context, &Number::ONE);
    let half = || whole::<C>(context, &Number::HALF);
    match function {
        Function::Sqrt => x.square_root(),
        Function::Cbrt => x.cube_root(),
        Function::Abs => Ok(x.absolute()),
        Function::Exp => x.exponential(),
        Function::Ln => x.logarithm(),
        Function::Log10 => {
            let ten = whole::<C>(context, &Number::from(10))?.logarithm()?;
            x.logarithm()?.divided(&ten)
        }
        Function::Sin => x.sine(),
        Function::Cos => x.cosine(),
        Function::Tan => x.sine()?.divided(&x.cosine()?),
        Function::Sec => one()?.divided(&x.cosine()?),
        Function::Cosec => one()?.divided(&x.sine()?),
        Function::Cot => x.cosine()?.divided(&x.sine()?),
        Function::Arcsin => x.arcsine(),
        Function::Arccos => {
            let right_angle = C::pi(context).times(&half()?)?;
            right_angle.plus(&x.arcsine()?.negated())
        }
        Function::Arctan => x.arctangent(),
        Function::Sinh | Function::Cosh | Function::Tanh => {
            let up = x.exponential()?;
            let down = x.negated().exponential()?;
            let sum = up.plus(&down)?;
            let difference = up.plus(&down.negated())?;
            match function {
                Function::Sinh => difference.times(&half()?),
                Function::Cosh => sum.times(&half()?),
                _ => difference.divided(&sum),
            }
        }
        Function::Arsinh => {
            // Odd; the positive side has no cancellation.
            let size = x.absolute();
            let root = size.times(&size)?.plus(&one()?)?.square_root()?;
            let value = size.plus(&root)?.logarithm()?;
            if x.is_negative() {
                Ok(value.negated())
            } else if x.is_positive() || x.is_zero() {
                Ok(value)
            } else {
                Err(NoValue::Unsure)
            }
        }
        Function::Arcosh => {
            let one = one()?;
            let below = x.plus(&one.negated())?;
            if below.is_negative() {
                return Err(NoValue::Undefined);
            }
            let root = below.times(&x.plus(&one)?)?.square_root()?;
            x.plus(&root)?.logarithm()
        }
        Function::Artanh => {
            let one = one()?;
            let above = one.plus(x)?;
            let below = one.plus(&x.negated())?;
            if above.is_negative() || below.is_negative() {
                return Err(NoValue::Undefined);
            }
            above.divided(&below)?.logarithm()?.times(&half()?)
        }
    }
}
