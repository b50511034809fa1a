//! Exponents of kernels: small rational numbers.

use std::cmp::Ordering;

use super::limits::Exceeded;
use super::number::Number;

/// A small rational exponent in lowest terms with a positive denominator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exponent {
    num: i32,
    den: i32,
}

/// Numerators and denominators stay below this, so that sums cannot overflow.
const LARGEST: i64 = 1 << 20;

impl Exponent {
    /// Zero.
    pub const ZERO: Exponent = Exponent { num: 0, den: 1 };
    /// One.
    pub const ONE: Exponent = Exponent { num: 1, den: 1 };

    /// The exponent `num / den`.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] beyond about a million in either part.
    pub fn new(num: i64, den: i64) -> Result<Self, Exceeded> {
        if den == 1 {
            return Self::whole(num);
        }
        let (mut a, mut b) = (num.unsigned_abs(), den.unsigned_abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        let divisor = i64::try_from(a.max(1)).unwrap_or(i64::MAX);
        let sign = if den < 0 { -1 } else { 1 };
        let (num, den) = (sign * num / divisor, sign * den / divisor);
        if den == 0 || num.abs() >= LARGEST || den >= LARGEST {
            return Err(Exceeded::Bits);
        }
        #[allow(clippy::cast_possible_truncation)]
        Ok(Exponent {
            num: num as i32,
            den: den as i32,
        })
    }

    /// A whole exponent.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] beyond about a million.
    #[inline]
    pub fn whole(value: i64) -> Result<Self, Exceeded> {
        if value.unsigned_abs() >= LARGEST.unsigned_abs() {
            return Err(Exceeded::Bits);
        }
        #[allow(clippy::cast_possible_truncation)]
        Ok(Exponent {
            num: value as i32,
            den: 1,
        })
    }

    /// The exponent equal to a number.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] beyond about a million in either part.
    pub fn from_number(value: &Number) -> Result<Self, Exceeded> {
        let (num, den) = value.to_i64_pair().ok_or(Exceeded::Bits)?;
        Self::new(num, den)
    }

    /// The number equal to the exponent.
    #[must_use]
    pub fn to_number(self) -> Number {
        Number::new(i64::from(self.num), i64::from(self.den))
    }

    /// Sum.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if it does not fit.
    #[inline]
    pub fn plus(self, other: Self) -> Result<Self, Exceeded> {
        if self.den == 1 && other.den == 1 {
            let num = self.num + other.num;
            if i64::from(num).abs() >= LARGEST {
                return Err(Exceeded::Bits);
            }
            return Ok(Exponent { num, den: 1 });
        }
        let (a, b) = (i64::from(self.num), i64::from(self.den));
        let (c, d) = (i64::from(other.num), i64::from(other.den));
        Self::new(a * d + c * b, b * d)
    }

    /// Product.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if it does not fit.
    pub fn times(self, other: Self) -> Result<Self, Exceeded> {
        Self::new(
            i64::from(self.num) * i64::from(other.num),
            i64::from(self.den) * i64::from(other.den),
        )
    }

    /// The opposite exponent.
    #[must_use]
    pub fn negated(self) -> Self {
        Exponent {
            num: -self.num,
            den: self.den,
        }
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.num == 0
    }

    /// Whether it is below zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.num < 0
    }

    /// Whether it is a whole number.
    #[must_use]
    pub fn is_whole(self) -> bool {
        self.den == 1
    }

    /// Whether it is an even whole number.
    #[must_use]
    pub fn is_even(self) -> bool {
        self.den == 1 && self.num % 2 == 0
    }

    /// The denominator.
    #[must_use]
    pub fn denominator(self) -> i64 {
        i64::from(self.den)
    }

    /// The numerator.
    #[must_use]
    pub fn numerator(self) -> i64 {
        i64::from(self.num)
    }

    /// The largest whole number not above it.
    #[must_use]
    pub fn floor(self) -> i64 {
        i64::from(self.num.div_euclid(self.den))
    }
}

impl PartialOrd for Exponent {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exponent {
    #[inline]
    fn cmp(&self, other: &Self) -> Ordering {
        (i64::from(self.num) * i64::from(other.den))
            .cmp(&(i64::from(other.num) * i64::from(self.den)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arithmetic_stays_in_lowest_terms() {
        let half = Exponent::new(2, 4).unwrap();
        assert_eq!(half, Exponent::new(-1, -2).unwrap());
        assert_eq!(half.plus(half).unwrap(), Exponent::ONE);
        assert_eq!(Exponent::new(-3, 2).unwrap().floor(), -2);
        assert!(Exponent::new(-1, 3).unwrap() < Exponent::ZERO);
    }

    #[test]
    fn too_large_is_an_error() {
        assert!(Exponent::whole(LARGEST - 1).is_ok());
        assert_eq!(Exponent::whole(LARGEST), Err(Exceeded::Bits));
        assert_eq!(Exponent::new(1, LARGEST), Err(Exceeded::Bits));
    }
}
