//! Doubles with a certified error, and the evaluation of trees in them.
//!
//! Contract: for every choice of true values within the balls of the symbols,
//! the true value of the expression lies within the ball that comes out. So
//! two balls that do not meet prove two values different. That balls meet
//! proves nothing.
//!
//! The basic operations of IEEE 754 are correctly rounded: half a unit in the
//! last place. `sin`, `exp`, `ln` and the like are not; they get a margin of
//! [`LIBRARY_MARGIN`] units, well above what current libraries are known to
//! miss by (common practice, no source: under 2 units for these functions).

use super::expr::{Constant, Expr, Function, Sign};
use super::number::Number;

/// Half a unit in the last place, relative.
const HALF_ULP: f64 = f64::EPSILON / 2.0;
/// Units in the last place by which a library function may be off.
const LIBRARY_MARGIN: f64 = 8.0;
/// Added wherever a result may be denormal.
const TINY: f64 = f64::MIN_POSITIVE;
/// Covers the rounding of the radius itself.
const WIDEN: f64 = 1.0 + 16.0 * f64::EPSILON;

/// A double with a bound of its distance from the true value.
///
/// Invariant: both parts finite, the radius not negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    mid: f64,
    rad: f64,
}

/// Why there is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoValue {
    /// Certainly undefined here: divides by zero, or takes a root or
    /// logarithm of something outside its domain.
    Undefined,
    /// Too close to such a place, or out of the range of doubles, to tell.
    Unsure,
}

impl Ball {
    /// An exact double.
    ///
    /// # Panics
    /// If the value is not finite.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        assert!(value.is_finite());
        Ball {
            mid: value,
            rad: 0.0,
        }
    }

    /// The ball of a rational number; nothing outside the range of doubles.
    #[must_use]
    pub fn of(number: &Number) -> Option<Self> {
        let mid = number.to_f64();
        if !mid.is_finite() {
            return None;
        }
        let rad = if number.is_exact_f64() {
            0.0
        } else {
            mid.abs() * f64::EPSILON + TINY
        };
        Some(Ball { mid, rad })
    }

    /// The middle.
    #[must_use]
    pub fn mid(self) -> f64 {
        self.mid
    }

    /// The bound of the error.
    #[must_use]
    pub fn rad(self) -> f64 {
        self.rad
    }

    /// Whether the two certainly hold different values.
    #[must_use]
    pub fn differs_from(self, other: Self) -> bool {
        let gap = (self.mid - other.mid).abs();
        gap > (self.rad + other.rad) * WIDEN + gap * f64::EPSILON
    }

    /// Whether the value is certainly not zero.
    #[must_use]
    pub fn is_nonzero(self) -> bool {
        self.mid.abs() > self.rad
    }

    /// Whether the value is certainly greater than zero.
    #[must_use]
    pub fn is_positive(self) -> bool {
        self.mid > self.rad
    }

    /// Whether the value is certainly less than zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        -self.mid > self.rad
    }

    fn low(self) -> f64 {
        (self.mid - self.rad) - self.mid.abs() * f64::EPSILON
    }

    fn high(self) -> f64 {
        (self.mid + self.rad) + self.mid.abs() * f64::EPSILON
    }

    fn rounded(mid: f64, rad: f64) -> Result<Self, NoValue> {
        Self::with_margin(mid, rad, 1.0)
    }

    fn with_margin(mid: f64, rad: f64, units: f64) -> Result<Self, NoValue> {
        let rad = (rad + mid.abs() * HALF_ULP * units + TINY) * WIDEN;
        if mid.is_finite() && rad.is_finite() {
            Ok(Ball { mid, rad })
        } else {
            Err(NoValue::Unsure)
        }
    }

    fn library(mid: f64, rad: f64) -> Result<Self, NoValue> {
        Self::with_margin(mid, rad, 2.0 * LIBRARY_MARGIN)
    }

    /// The opposite; exact.
    #[must_use]
    pub fn negated(self) -> Self {
        Ball {
            mid: -self.mid,
            rad: self.rad,
        }
    }

    /// Sum.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    pub fn plus(self, other: Self) -> Result<Self, NoValue> {
        let mid = self.mid + other.mid;
        if self.rad == 0.0 && other.rad == 0.0 && is_exact_sum(self.mid, other.mid, mid) {
            return Ok(Ball { mid, rad: 0.0 });
        }
        Self::rounded(mid, self.rad + other.rad)
    }

    /// Product.
    ///
    /// # Errors
    /// [`NoValue::Unsure`] out of range.
    pub fn times(self, other: Self) -> Result<Self, NoValue> {
        let mid = self.mid * other.mid;
        if self.rad == 0.0 && other.rad == 0.0 && is_small_whole(mid) {
            // A product of doubles that comes out whole and small is exact
            // when both were whole.
            if is_small_whole(self.mid) && is_small_whole(other.mid) {
                return Ok(Ball { mid, rad: 0.0 });
            }
        }
        Self::rounded(
            mid,
            self.mid.abs() * other.rad + other.mid.abs() * self.rad + self.rad * other.rad,
        )
    }

    /// Quotient.
    ///
    /// # Errors
    /// [`NoValue::Undefined`] for an exact zero below, [`NoValue::Unsure`]
    /// for a ball that holds zero or a result out of range.
    pub fn divided(self, other: Self) -> Result<Self, NoValue> {
        if other.mid == 0.0 && other.rad == 0.0 {
            return Err(NoValue::Undefined);
        }
        let least = (other.mid.abs() - other.rad) * (1.0 - 4.0 * f64::EPSILON);
        if least <= 0.0 {
            return Err(NoValue::Unsure);
        }
        let mid = self.mid / other.mid;
        if self.rad == 0.0
            && other.rad == 0.0
            && is_small_whole(mid)
            && is_small_whole(self.mid)
            && is_small_whole(other.mid)
            && (mid * other.mid).abs() < 9.0e15
            && mid * other.mid == self.mid
        {
            return Ok(Ball { mid, rad: 0.0 });
        }
        Self::rounded(mid, (self.rad + mid.abs() * other.rad * WIDEN) / least)
    }

    /// Square root.
    ///
    /// # Errors
    /// [`NoValue`] for a negative value, or one that may be.
    pub fn square_root(self) -> Result<Self, NoValue> {
        let low = self.nonnegative_low()?;
        let mid = self.mid.sqrt();
        if self.rad == 0.0 && is_small_whole(mid) && mid * mid == self.mid && mid < 9.0e7 {
            return Ok(Ball { mid, rad: 0.0 });
        }
        let rad = if self.rad == 0.0 {
            0.0
        } else {
            self.rad / (mid + low.sqrt()) * WIDEN
        };
        Self::rounded(mid, rad)
    }

    fn nonnegative_low(self) -> Result<f64, NoValue> {
        if self.is_negative() {
            return Err(NoValue::Undefined);
        }
        let low = self.mid - self.rad;
        if low < 0.0 || (low == 0.0 && self.rad > 0.0) {
            return Err(NoValue::Unsure);
        }
        Ok(low.max(0.0))
    }

    fn cube_root(self) -> Result<Self, NoValue> {
        let low = self.nonnegative_low()?;
        let mid = self.mid.cbrt();
        if self.rad == 0.0 && is_small_whole(mid) && mid * mid * mid == self.mid && mid < 2.0e5 {
            return Ok(Ball { mid, rad: 0.0 });
        }
        let rad = if self.rad == 0.0 {
            0.0
        } else {
            self.rad / (low.cbrt() * low.cbrt()) * WIDEN
        };
        Self::library(mid, rad)
    }

    fn exponential(self) -> Result<Self, NoValue> {
        let mid = self.mid.exp();
        Self::library(mid, mid * self.rad.exp_m1() * (1.0 + 64.0 * f64::EPSILON))
    }

    fn logarithm(self) -> Result<Self, NoValue> {
        if self.high() <= 0.0 && (self.is_negative() || self.rad == 0.0) {
            return Err(NoValue::Undefined);
        }
        let low = self.low();
        if low <= 0.0 {
            return Err(NoValue::Unsure);
        }
        Self::library(self.mid.ln(), self.rad / low * WIDEN)
    }

    fn sine(self) -> Result<Self, NoValue> {
        Self::library(self.mid.sin(), self.rad)
    }

    fn cosine(self) -> Result<Self, NoValue> {
        Self::library(self.mid.cos(), self.rad)
    }

    fn arcsine(self) -> Result<Self, NoValue> {
        let largest = self.mid.abs() + self.rad;
        if self.mid.abs() - self.rad > 1.0 {
            return Err(NoValue::Undefined);
        }
        if self.rad == 0.0 && largest == 1.0 {
            return Self::library(self.mid.asin(), 0.0);
        }
        if largest >= 1.0 {
            return Err(NoValue::Unsure);
        }
        let slope = ((1.0 - largest) * (1.0 + largest)).sqrt();
        Self::library(
            self.mid.asin(),
            self.rad / slope * (1.0 + 64.0 * f64::EPSILON),
        )
    }

    fn arctangent(self) -> Result<Self, NoValue> {
        Self::library(self.mid.atan(), self.rad)
    }

    fn absolute(self) -> Self {
        Ball {
            mid: self.mid.abs(),
            rad: self.rad,
        }
    }

    fn whole_power(self, exponent: i64) -> Result<Self, NoValue> {
        const MOST: u64 = 1_024;
        let mut count = exponent.unsigned_abs();
        if count > MOST {
            return Err(NoValue::Unsure);
        }
        let mut result = Ball::exact(1.0);
        let mut square = self;
        while count > 0 {
            if count & 1 == 1 {
                result = result.times(square)?;
            }
            count >>= 1;
            if count > 0 {
                square = square.times(square)?;
            }
        }
        if exponent < 0 {
            Ball::exact(1.0).divided(result)
        } else {
            Ok(result)
        }
    }

    fn rational_power(self, exponent: &Number) -> Result<Self, NoValue> {
        if let Some(whole) = exponent.to_i64() {
            return self.whole_power(whole);
        }
        if let Some((num, den @ (2 | 3))) = exponent.to_i64_pair() {
            let root = if den == 2 {
                self.square_root()?
            } else {
                self.cube_root()?
            };
            return root.whole_power(num);
        }
        if self.mid == 0.0 && self.rad == 0.0 {
            return if exponent.is_negative() {
                Err(NoValue::Undefined)
            } else {
                Ok(self)
            };
        }
        let exponent = Ball::of(exponent).ok_or(NoValue::Unsure)?;
        self.logarithm()?.times(exponent)?.exponential()
    }

    fn general_power(self, exponent: Self) -> Result<Self, NoValue> {
        if exponent.rad == 0.0 && is_small_whole(exponent.mid) && exponent.mid.abs() <= 1024.0 {
            #[allow(clippy::cast_possible_truncation)]
            return self.whole_power(exponent.mid as i64);
        }
        if self.is_negative() {
            // A negative base has a real power for a whole exponent only, and
            // whether this one is whole can't be told from a ball.
            return if exponent.rad == 0.0 && exponent.mid.fract() != 0.0 {
                Err(NoValue::Undefined)
            } else {
                Err(NoValue::Unsure)
            };
        }
        if self.mid <= self.rad {
            return Err(NoValue::Unsure);
        }
        self.logarithm()?.times(exponent)?.exponential()
    }
}

fn is_small_whole(value: f64) -> bool {
    value.abs() < 9.0e15 && value.fract() == 0.0
}

fn is_exact_sum(a: f64, b: f64, sum: f64) -> bool {
    // Knuth's two-sum: the rounding error of a + b, computed exactly.
    let virtual_b = sum - a;
    let virtual_a = sum - virtual_b;
    (a - virtual_a) + (b - virtual_b) == 0.0
}

/// The value of a tree for given values of its symbols, by their index.
/// Doubled signs are read as their upper branch.
///
/// # Errors
/// [`NoValue`] where there is none, or none that is certain; symbols beyond
/// the slice count as unsure.
pub fn evaluate(expr: &Expr, values: &[Ball]) -> Result<Ball, NoValue> {
    match expr {
        Expr::Number(number) => Ball::of(number).ok_or(NoValue::Unsure),
        Expr::Symbol(symbol) => values.get(symbol.index()).copied().ok_or(NoValue::Unsure),
        Expr::Constant(Constant::Pi) => Ok(Ball {
            mid: std::f64::consts::PI,
            rad: 2.5e-16,
        }),
        Expr::Constant(Constant::Euler) => Ok(Ball {
            mid: std::f64::consts::E,
            rad: 2.5e-16,
        }),
        Expr::Sum(terms) => {
            let mut sum = Ball::exact(0.0);
            for term in terms {
                let value = evaluate(&term.value, values)?;
                sum = match term.sign {
                    Sign::Plus | Sign::PlusMinus => sum.plus(value)?,
                    Sign::Minus | Sign::MinusPlus => sum.plus(value.negated())?,
                };
            }
            Ok(sum)
        }
        Expr::Product(factors) => {
            let mut product = Ball::exact(1.0);
            for factor in factors {
                let value = evaluate(&factor.value, values)?;
                product = if factor.divides {
                    product.divided(value)?
                } else {
                    product.times(value)?
                };
            }
            Ok(product)
        }
        Expr::Power(base, exponent) => power(base, exponent, values),
        Expr::Call(function, argument) => apply(*function, evaluate(argument, values)?),
    }
}

fn power(base: &Expr, exponent: &Expr, values: &[Ball]) -> Result<Ball, NoValue> {
    if let Expr::Constant(Constant::Euler) = base {
        return evaluate(exponent, values)?.exponential();
    }
    let base = evaluate(base, values)?;
    match super::exact::constant(exponent) {
        Some(number) => base.rational_power(&number),
        None => base.general_power(evaluate(exponent, values)?),
    }
}

fn apply(function: Function, x: Ball) -> Result<Ball, NoValue> {
    let one = Ball::exact(1.0);
    match function {
        Function::Sqrt => x.square_root(),
        Function::Cbrt => x.cube_root(),
        Function::Abs => Ok(x.absolute()),
        Function::Exp => x.exponential(),
        Function::Ln => x.logarithm(),
        Function::Log10 => {
            let ten = Ball::exact(10.0).logarithm()?;
            x.logarithm()?.divided(ten)
        }
        Function::Sin => x.sine(),
        Function::Cos => x.cosine(),
        Function::Tan => x.sine()?.divided(x.cosine()?),
        Function::Sec => one.divided(x.cosine()?),
        Function::Cosec => one.divided(x.sine()?),
        Function::Cot => x.cosine()?.divided(x.sine()?),
        Function::Arcsin => x.arcsine(),
        Function::Arccos => {
            let right_angle = Ball {
                mid: std::f64::consts::FRAC_PI_2,
                rad: 1.3e-16,
            };
            right_angle.plus(x.arcsine()?.negated())
        }
        Function::Arctan => x.arctangent(),
        Function::Sinh | Function::Cosh | Function::Tanh => {
            let up = x.exponential()?;
            let down = x.negated().exponential()?;
            let sum = up.plus(down)?;
            let difference = up.plus(down.negated())?;
            match function {
                Function::Sinh => difference.times(Ball::exact(0.5)),
                Function::Cosh => sum.times(Ball::exact(0.5)),
                _ => difference.divided(sum),
            }
        }
        Function::Arsinh => {
            // Odd; the positive side has no cancellation.
            let size = x.absolute();
            let root = size.times(size)?.plus(one)?.square_root()?;
            let value = size.plus(root)?.logarithm()?;
            if x.is_negative() {
                Ok(value.negated())
            } else if x.mid >= x.rad {
                Ok(value)
            } else {
                Err(NoValue::Unsure)
            }
        }
        Function::Arcosh => {
            let below = x.plus(one.negated())?;
            if below.is_negative() {
                return Err(NoValue::Undefined);
            }
            let root = below.times(x.plus(one)?)?.square_root()?;
            x.plus(root)?.logarithm()
        }
        Function::Artanh => {
            let above = one.plus(x)?;
            let below = one.plus(x.negated())?;
            if above.is_negative() || below.is_negative() {
                return Err(NoValue::Undefined);
            }
            above
                .divided(below)?
                .logarithm()?
                .times(Ball::exact(0.5))
        }
    }
}
