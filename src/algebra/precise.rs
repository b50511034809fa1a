//! Long floats with a certified error: the contract of [`super::ball`] at a
//! precision of the caller's choice, behind the doubles.
//!
//! The middle is a binary float of dashu. Its functions are said to be
//! correctly rounded; a margin of `MARGIN_BITS` bits is kept all the same.

use std::sync::OnceLock;

use dashu_base::{Abs, Signed};
use dashu_float::FBig;
use dashu_float::round::mode::HalfEven;
use dashu_int::{IBig, UBig};

use super::certified::{Certified, NoValue};
use super::number::Number;

type Float = FBig<HalfEven, 2>;

/// Bits of the working precision that no claim is made about.
const MARGIN_BITS: usize = 16;
/// Bits of the radius.
const RADIUS_BITS: usize = 64;
/// Exponentials and angles beyond this are given up.
const LARGEST_ARGUMENT: i64 = 100_000;

/// The precision in bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Precision(pub usize);

/// A long float with a bound of its distance from the true value.
#[derive(Debug, Clone)]
pub struct Precise {
    mid: Float,
    rad: Float,
    bits: usize,
}

fn power_of_two(exponent: isize) -> Float {
    Float::from_parts(IBig::ONE, exponent)
}

fn at(value: Float, bits: usize) -> Float {
    value.with_precision(bits).value()
}

fn whole(value: i64, bits: usize) -> Float {
    at(Float::from(IBig::from(value)), bits)
}

impl Precise {
    fn with(mid: Float, rad: Float, bits: usize) -> Self {
        let mid = at(mid, bits);
        let relative = power_of_two(-isize::try_from(bits - MARGIN_BITS).unwrap_or(0));
        let own = at(mid.clone().abs() * relative, RADIUS_BITS);
        // The last factor covers the rounding of the radius itself.
        let widened = at(rad, RADIUS_BITS) + own;
        let widen = at(
            Float::from_parts(IBig::from((1 << 20) + 1), -20),
            RADIUS_BITS,
        );
        Precise {
            mid,
            rad: at(widened * widen, RADIUS_BITS),
            bits,
        }
    }

    fn exact_rad() -> Float {
        Float::from_parts(IBig::ZERO, 0)
    }

    /// Whether the two certainly hold different values.
    #[must_use]
    pub fn differs_from(&self, other: &Self) -> bool {
        (self.mid.clone() - other.mid.clone()).abs()
            > self.rad.clone() + other.rad.clone() + self.rad.clone() + other.rad.clone()
    }

    /// The nearest double of the middle.
    #[must_use]
    pub fn to_f64(&self) -> f64 {
        self.mid.to_f64().value()
    }

    /// Decimal digits to which the value is known, relative to its size;
    /// none for zero.
    #[must_use]
    pub fn digits(&self) -> u32 {
        if self.mid.repr().significand().is_zero() {
            return 0;
        }
        if self.rad.repr().significand().is_zero() {
            return 99;
        }
        let ratio = (at(self.mid.clone().abs(), RADIUS_BITS) / self.rad.clone())
            .to_f64()
            .value();
        if ratio <= 1.0 {
            0
        } else {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            {
                ratio.log10().min(99.0) as u32
            }
        }
    }

    fn low(&self) -> Float {
        self.mid.clone() - self.rad.clone()
    }

    fn small_enough(&self) -> Result<(), NoValue> {
        if self.mid.clone().abs() + self.rad.clone() > whole(LARGEST_ARGUMENT, RADIUS_BITS) {
            Err(NoValue::Unsure)
        } else {
            Ok(())
        }
    }

    fn is_exact(&self) -> bool {
        self.rad.repr().significand().is_zero()
    }

    /// Whether all bits of the middle are within the precision, so that a
    /// ring operation on exact values may stay exact.
    fn root(&self, index: u32) -> Result<Self, NoValue> {
        if self.is_negative() {
            return Err(NoValue::Undefined);
        }
        if self.is_zero() {
            return Ok(self.clone());
        }
        let low = self.low();
        if low.repr().significand().is_zero() || low.is_negative() {
            return Err(NoValue::Unsure);
        }
        let (mid, low_root) = if index == 2 {
            (self.mid.sqrt(), low.sqrt())
        } else {
            (cbrt(&self.mid), cbrt(&low))
        };
        let rad = (mid.clone() - low_root).abs();
        // The function is concave: the lower side is the farther one.
        let slack = at(mid.clone().abs(), RADIUS_BITS)
            * power_of_two(-isize::try_from(self.bits - MARGIN_BITS).unwrap_or(0));
        Ok(Precise::with(mid, at(rad, RADIUS_BITS) + slack, self.bits))
    }
}

fn cbrt(value: &Float) -> Float {
    let context = value.context();
    context.cbrt(value.repr()).map_or_else(
        |_| Float::from_parts(IBig::ZERO, 0),
        dashu_base::Approximation::value,
    )
}

/// Halvings of the angle before the series.
const HALVINGS: u32 = 8;

/// The arctangent: the angle halved until its series is short. The library's
/// own takes far longer. Each halving and each term rounds a few
/// times, which the margin of `MARGIN_BITS` covers a thousand times over.
fn arctan(value: &Float, bits: usize) -> Float {
    let one = whole(1, bits);
    let mut x = at(value.clone(), bits);
    for _ in 0..HALVINGS {
        let root = (one.clone() + x.clone() * x.clone()).sqrt();
        x /= one.clone() + root;
    }
    let square = x.clone() * x.clone();
    let small = power_of_two(-isize::try_from(bits).unwrap_or(0));
    let (mut sum, mut power) = (x.clone(), x);
    for odd in 1..1_000 {
        power = -(power * square.clone());
        let term = power.clone() / whole(2 * odd + 1, bits);
        let least = sum.clone().abs() * small.clone();
        sum += term.clone();
        if term.abs() <= least {
            break;
        }
    }
    sum * whole(1 << HALVINGS, bits)
}

/// The arcsine of a value strictly between -1 and 1, as an arctangent.
fn arcsin(value: &Float, bits: usize) -> Float {
    let (one, x) = (whole(1, bits), at(value.clone(), bits));
    let other = ((one.clone() - x.clone()) * (one + x.clone())).sqrt();
    arctan(&(x / other), bits)
}

/// Pi at the precision that is asked for most; it takes long to work out.
static PI: OnceLock<Precise> = OnceLock::new();
/// The precision of [`PI`].
const COMMON_BITS: usize = 256;

fn worked_out_pi(bits: usize) -> Precise {
    // 4 arctan(1/2) + 4 arctan(1/3) (Euler).
    let part = |n: i64| arctan(&(whole(1, bits) / whole(n, bits)), bits);
    Precise::with(
        whole(4, bits) * (part(2) + part(3)),
        Precise::exact_rad(),
        bits,
    )
}

impl Certified for Precise {
    type Context = Precision;

    fn of(context: &Precision, number: &Number) -> Option<Self> {
        let bits = context.0;
        let value = number.to_rbig();
        let (num, den) = value.into_parts();
        let mid = at(Float::from(num), bits);
        if den == UBig::ONE && number.bits() <= bits {
            return Some(Precise {
                mid,
                rad: Self::exact_rad(),
                bits,
            });
        }
        let den = at(Float::from(IBig::from(den)), bits);
        Some(Precise::with(mid / den, Self::exact_rad(), bits))
    }

    fn pi(context: &Precision) -> Self {
        if context.0 == COMMON_BITS {
            PI.get_or_init(|| worked_out_pi(COMMON_BITS)).clone()
        } else {
            worked_out_pi(context.0)
        }
    }

    fn negated(&self) -> Self {
        Precise {
            mid: -self.mid.clone(),
            rad: self.rad.clone(),
            bits: self.bits,
        }
    }

    fn plus(&self, other: &Self) -> Result<Self, NoValue> {
        Ok(Precise::with(
            self.mid.clone() + other.mid.clone(),
            self.rad.clone() + other.rad.clone(),
            self.bits,
        ))
    }

    fn times(&self, other: &Self) -> Result<Self, NoValue> {
        if self.is_zero() {
            return Ok(self.clone());
        }
        if other.is_zero() {
            return Ok(other.clone());
        }
        let (a, b) = (
            at(self.mid.clone().abs(), RADIUS_BITS),
            at(other.mid.clone().abs(), RADIUS_BITS),
        );
        Ok(Precise::with(
            self.mid.clone() * other.mid.clone(),
            a * other.rad.clone() + b * self.rad.clone() + self.rad.clone() * other.rad.clone(),
            self.bits,
        ))
    }

    fn divided(&self, other: &Self) -> Result<Self, NoValue> {
        if other.is_zero() {
            return Err(NoValue::Undefined);
        }
        let least = at(other.mid.clone().abs(), RADIUS_BITS) - other.rad.clone();
        let least = least * (whole(1, RADIUS_BITS) - power_of_two(-20));
        if least.repr().significand().is_zero() || least.is_negative() {
            return Err(NoValue::Unsure);
        }
        let mid = self.mid.clone() / other.mid.clone();
        let size = at(mid.clone().abs(), RADIUS_BITS);
        let rad = (self.rad.clone() + size * other.rad.clone()) / at(least, RADIUS_BITS);
        Ok(Precise::with(mid, rad, self.bits))
    }

    fn square_root(&self) -> Result<Self, NoValue> {
        self.root(2)
    }

    fn cube_root(&self) -> Result<Self, NoValue> {
        self.root(3)
    }

    fn exponential(&self) -> Result<Self, NoValue> {
        self.small_enough()?;
        let mid = self.mid.exp();
        // e^r - 1 <= 2 r for r <= 1.
        if self.rad > whole(1, RADIUS_BITS) {
            return Err(NoValue::Unsure);
        }
        let rad = at(mid.clone(), RADIUS_BITS) * self.rad.clone() * whole(2, RADIUS_BITS);
        Ok(Precise::with(mid, rad, self.bits))
    }

    fn logarithm(&self) -> Result<Self, NoValue> {
        if self.is_negative() || self.is_zero() {
            return Err(NoValue::Undefined);
        }
        let low = at(self.low(), RADIUS_BITS) * (whole(1, RADIUS_BITS) - power_of_two(-20));
        if low.repr().significand().is_zero() || low.is_negative() {
            return Err(NoValue::Unsure);
        }
        let rad = self.rad.clone() / at(low, RADIUS_BITS);
        // Near one the result is small while the error is that of the input.
        let rad = rad + power_of_two(-isize::try_from(self.bits - MARGIN_BITS).unwrap_or(0));
        Ok(Precise::with(self.mid.ln(), rad, self.bits))
    }

    fn sine(&self) -> Result<Self, NoValue> {
        self.small_enough()?;
        let slack = power_of_two(-isize::try_from(self.bits - MARGIN_BITS).unwrap_or(0));
        Ok(Precise::with(
            self.mid.sin(),
            self.rad.clone() + slack,
            self.bits,
        ))
    }

    fn cosine(&self) -> Result<Self, NoValue> {
        self.small_enough()?;
        let slack = power_of_two(-isize::try_from(self.bits - MARGIN_BITS).unwrap_or(0));
        Ok(Precise::with(
            self.mid.cos(),
            self.rad.clone() + slack,
            self.bits,
        ))
    }

    fn arcsine(&self) -> Result<Self, NoValue> {
        let size = self.mid.clone().abs();
        let one = whole(1, self.bits);
        if size.clone() - self.rad.clone() > one {
            return Err(NoValue::Undefined);
        }
        let largest = size + self.rad.clone();
        if self.is_exact() && largest == one {
            return Ok(Precise::with(self.mid.asin(), Self::exact_rad(), self.bits));
        }
        if largest >= one {
            return Err(NoValue::Unsure);
        }
        let slope = ((one.clone() - largest.clone()) * (one + largest)).sqrt();
        let slope = at(slope, RADIUS_BITS) * (whole(1, RADIUS_BITS) - power_of_two(-20));
        if slope.repr().significand().is_zero() || slope.is_negative() {
            return Err(NoValue::Unsure);
        }
        let rad = self.rad.clone() / at(slope, RADIUS_BITS);
        Ok(Precise::with(arcsin(&self.mid, self.bits), rad, self.bits))
    }

    fn arctangent(&self) -> Result<Self, NoValue> {
        Ok(Precise::with(
            arctan(&self.mid, self.bits),
            self.rad.clone(),
            self.bits,
        ))
    }

    fn absolute(&self) -> Self {
        Precise {
            mid: self.mid.clone().abs(),
            rad: self.rad.clone(),
            bits: self.bits,
        }
    }

    fn is_positive(&self) -> bool {
        self.mid > self.rad
    }

    fn is_negative(&self) -> bool {
        -self.mid.clone() > self.rad
    }

    fn is_zero(&self) -> bool {
        self.mid.repr().significand().is_zero() && self.is_exact()
    }

    fn as_whole(&self) -> Option<i64> {
        if !self.is_exact() {
            return None;
        }
        let double = self.to_f64();
        #[allow(clippy::cast_possible_truncation)]
        (double.fract() == 0.0
            && double.abs() < 1.0e6
            && whole(double as i64, self.bits) == self.mid)
            .then_some(double as i64)
    }

    fn is_fractional(&self) -> bool {
        if !self.is_exact() {
            return false;
        }
        let double = self.to_f64();
        double.abs() < 1.0e6 && double.fract() != 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::certified::evaluate;
    use crate::algebra::expr::{Expr, Function};

    const P: Precision = Precision(256);

    fn value(expr: &Expr) -> Precise {
        evaluate(expr, &[], &P).unwrap()
    }

    fn ratio(num: i64, den: i64) -> Expr {
        Expr::div(Expr::integer(num), Expr::integer(den))
    }

    #[test]
    fn agrees_with_doubles() {
        for (function, num, den) in [
            (Function::Sin, 7, 5),
            (Function::Cos, 3, 10),
            (Function::Exp, -31, 7),
            (Function::Ln, 1, 3),
            (Function::Sqrt, 2, 1),
            (Function::Cbrt, 10, 1),
            (Function::Arcsin, 1, 3),
            (Function::Arctan, 5, 2),
            (Function::Arccos, 1, 3),
            (Function::Artanh, 1, 3),
        ] {
            let expr = Expr::call(function, ratio(num, den));
            let double = crate::algebra::ball::evaluate(&expr, &[]).unwrap();
            let long = value(&expr);
            assert!(
                (double.mid() - long.to_f64()).abs() <= 4.0 * double.rad(),
                "{function:?}"
            );
            assert!(long.digits() > 60, "{function:?} {}", long.digits());
        }
    }

    #[test]
    fn arctangents_are_those_of_the_library_at_more_bits() {
        for (num, den) in [
            (1, 2),
            (-1, 3),
            (1, 1),
            (17, 5),
            (-1_000_003, 7),
            (1, 1_000_003),
            (1, 1 << 40),
            (1 << 40, 3),
        ] {
            for bits in [256, 320] {
                let context = Precision(bits);
                let number = Number::new(num, den);
                let own = Precise::of(&context, &number).unwrap();
                let found = own.arctangent().unwrap();
                let exact = Precise::of(&Precision(400), &number).unwrap().mid.atan();
                let error = (at(found.mid.clone(), 400) - exact.clone()).abs();
                // Within the radius by a factor of a hundred.
                assert!(
                    error * whole(100, 400) <= found.rad,
                    "{num}/{den} at {bits}"
                );
                if num.abs() < den {
                    let found = own.arcsine().unwrap();
                    let exact = Precise::of(&Precision(400), &number).unwrap().mid.asin();
                    let error = (at(found.mid.clone(), 400) - exact).abs();
                    assert!(error <= found.rad, "arcsin {num}/{den} at {bits}");
                }
            }
        }
        let exact = worked_out_pi(500).mid;
        let error = (at(Precise::pi(&P).mid, 500) - exact).abs();
        assert!(error * whole(100, 500) <= Precise::pi(&P).rad);
    }

    #[test]
    fn tells_a_part_in_10_to_the_40() {
        let root = Expr::call(Function::Sqrt, Expr::integer(2));
        let near = Expr::mul(
            root.clone(),
            Expr::add(
                Expr::integer(1),
                Expr::pow(Expr::integer(10), Expr::integer(-40)),
            ),
        );
        assert!(value(&root).differs_from(&value(&near)));
        let same = Expr::div(Expr::integer(2), root.clone());
        assert!(!value(&root).differs_from(&value(&same)));
    }

    #[test]
    fn undefined_is_told_from_unsure() {
        let log =
            |inner: Expr| evaluate(&Expr::call(Function::Ln, inner), &[], &P).map(|_: Precise| ());
        assert_eq!(log(Expr::integer(-1)), Err(NoValue::Undefined));
        let square = Expr::pow(
            Expr::call(Function::Sqrt, Expr::integer(2)),
            Expr::integer(2),
        );
        assert_eq!(
            log(Expr::sub(square, Expr::integer(2))),
            Err(NoValue::Unsure)
        );
    }
}
