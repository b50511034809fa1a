//! Doubles with a certified error.
//!
//! Contract: for every choice of true values within the balls of the symbols,
//! the true value of the expression lies within the ball that comes out. So
//! two balls that do not meet prove two values different. That balls meet
//! proves nothing.
//!
//! The basic operations of IEEE 754 are correctly rounded: half a unit in the
//! last place. `sin`, `exp`, `ln` and the like are not; they get a margin of
//! `LIBRARY_MARGIN` units, well above what current libraries are known to
//! miss by (common practice, no source: under 2 units for these functions).

use super::certified::{Certified, NoValue};
use super::expr::Expr;
use super::number::Number;

/// The value of a tree in balls; see [`super::certified::evaluate`].
///
/// # Errors
/// [`NoValue`] where there is none, or none that is certain.
pub fn evaluate(expr: &Expr, values: &[Ball]) -> Result<Ball, NoValue> {
    super::certified::evaluate(expr, values, &())
}

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
}

impl Certified for Ball {
    type Context = ();

    fn of((): &(), number: &Number) -> Option<Self> {
        Ball::of(number)
    }

    fn pi((): &()) -> Self {
        Ball {
            mid: std::f64::consts::PI,
            rad: 2.5e-16,
        }
    }

    fn negated(&self) -> Self {
        Ball {
            mid: -self.mid,
            rad: self.rad,
        }
    }

    fn plus(&self, other: &Self) -> Result<Self, NoValue> {
        let mid = self.mid + other.mid;
        if self.rad == 0.0 && other.rad == 0.0 && is_exact_sum(self.mid, other.mid, mid) {
            return Ok(Ball { mid, rad: 0.0 });
        }
        Self::rounded(mid, self.rad + other.rad)
    }

    fn times(&self, other: &Self) -> Result<Self, NoValue> {
        let mid = self.mid * other.mid;
        if Certified::is_zero(self) || Certified::is_zero(other) {
            return Ok(Ball { mid: 0.0, rad: 0.0 });
        }
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

    fn divided(&self, other: &Self) -> Result<Self, NoValue> {
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

    fn square_root(&self) -> Result<Self, NoValue> {
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

    fn cube_root(&self) -> Result<Self, NoValue> {
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

    fn exponential(&self) -> Result<Self, NoValue> {
        let mid = self.mid.exp();
        Self::library(mid, mid * self.rad.exp_m1() * (1.0 + 64.0 * f64::EPSILON))
    }

    fn logarithm(&self) -> Result<Self, NoValue> {
        if self.high() <= 0.0 && (self.is_negative() || self.rad == 0.0) {
            return Err(NoValue::Undefined);
        }
        let low = self.low();
        if low <= 0.0 {
            return Err(NoValue::Unsure);
        }
        Self::library(self.mid.ln(), self.rad / low * WIDEN)
    }

    fn sine(&self) -> Result<Self, NoValue> {
        Self::library(self.mid.sin(), self.rad)
    }

    fn cosine(&self) -> Result<Self, NoValue> {
        Self::library(self.mid.cos(), self.rad)
    }

    fn arcsine(&self) -> Result<Self, NoValue> {
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

    fn arctangent(&self) -> Result<Self, NoValue> {
        Self::library(self.mid.atan(), self.rad)
    }

    fn absolute(&self) -> Self {
        Ball {
            mid: self.mid.abs(),
            rad: self.rad,
        }
    }

    fn is_positive(&self) -> bool {
        self.mid > self.rad
    }

    fn is_negative(&self) -> bool {
        -self.mid > self.rad
    }

    fn is_zero(&self) -> bool {
        self.mid == 0.0 && self.rad == 0.0
    }

    fn as_whole(&self) -> Option<i64> {
        #[allow(clippy::cast_possible_truncation)]
        (self.rad == 0.0 && is_small_whole(self.mid)).then_some(self.mid as i64)
    }

    fn is_fractional(&self) -> bool {
        self.rad == 0.0 && self.mid.fract() != 0.0
    }
}

fn is_small_whole(value: f64) -> bool {
    // There and back through a whole number is one instruction each way, which
    // `fract` is not on every machine.
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
    let whole = value as i64 as f64;
    value.abs() < 9.0e15 && whole == value
}

fn is_exact_sum(a: f64, b: f64, sum: f64) -> bool {
    // Knuth's two-sum: the rounding error of a + b, computed exactly.
    let virtual_b = sum - a;
    let virtual_a = sum - virtual_b;
    (a - virtual_a) + (b - virtual_b) == 0.0
}
