//! Exact rational numbers: a machine-word form first, a big one on overflow.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

use dashu_base::{Abs, BitTest, Sign as DashuSign, Signed};
use dashu_int::{IBig, UBig};
use dashu_ratio::RBig;

use super::limits::{Exceeded, MAX_BITS};

/// An exact rational number.
///
/// Invariant: in lowest terms, denominator positive, and in the machine-word
/// form whenever numerator and denominator both fit in an `i64` (the numerator
/// never being `i64::MIN`). So equal numbers have equal representations.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct Number(Form);

#[derive(Clone, PartialEq, Eq, Hash)]
enum Form {
    Small { num: i64, den: i64 },
    Big(Box<RBig>),
}

fn gcd_u128(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        if let (Ok(x), Ok(y)) = (u64::try_from(a), u64::try_from(b)) {
            return u128::from(gcd_u64(x, y));
        }
        (a, b) = (b, a % b);
    }
    a
}

fn gcd_u64(mut a: u64, mut b: u64) -> u64 {
    if a == 0 {
        return b;
    }
    if b == 0 {
        return a;
    }
    let shift = (a | b).trailing_zeros();
    a >>= a.trailing_zeros();
    while b != 0 {
        b >>= b.trailing_zeros();
        if a > b {
            std::mem::swap(&mut a, &mut b);
        }
        b -= a;
    }
    a << shift
}

/// The root of a whole number that is not negative, if it is whole; of index
/// 1, 2 or 3.
fn word_root(whole: i64, index: u32) -> Option<i64> {
    // The nearest double may be off by one at the far end.
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)]
    let guess = match index {
        1 => return Some(whole),
        2 => (whole as f64).sqrt().round() as i64,
        _ => (whole as f64).cbrt().round() as i64,
    };
    (guess - 1..=guess + 1).find(|root| root.checked_pow(index) == Some(whole))
}

impl Number {
    /// Zero.
    pub const ZERO: Number = Number(Form::Small { num: 0, den: 1 });
    /// One.
    pub const ONE: Number = Number(Form::Small { num: 1, den: 1 });
    /// One half.
    pub const HALF: Number = Number(Form::Small { num: 1, den: 2 });
    /// Minus one.
    pub const MINUS_ONE: Number = Number(Form::Small { num: -1, den: 1 });

    /// `numerator / denominator` in lowest terms.
    ///
    /// # Panics
    /// If the denominator is zero.
    #[must_use]
    pub fn new(numerator: i64, denominator: i64) -> Self {
        assert!(denominator != 0, "a denominator is not zero");
        Self::from_i128(i128::from(numerator), i128::from(denominator))
    }

    /// `num / den` of machine words, the denominator positive.
    #[inline]
    fn from_words(num: i64, den: i64) -> Self {
        debug_assert!(den > 0 && num != i64::MIN);
        // Both parts are below 2^63, and so is what divides them.
        #[allow(clippy::cast_possible_wrap)]
        let divisor = match num {
            0 => return Self::ZERO,
            _ if den == 1 => 1,
            _ => gcd_u64(num.unsigned_abs(), den.unsigned_abs()) as i64,
        };
        Number(Form::Small {
            num: num / divisor,
            den: den / divisor,
        })
    }

    fn from_i128(num: i128, den: i128) -> Self {
        debug_assert!(den != 0);
        let negative = (num < 0) != (den < 0);
        let (num, den) = (num.unsigned_abs(), den.unsigned_abs());
        if num == 0 {
            return Self::ZERO;
        }
        let divisor = if den == 1 { 1 } else { gcd_u128(num, den) };
        let (num, den) = (num / divisor, den / divisor);
        if let (Ok(small_num), Ok(small_den)) = (i64::try_from(num), i64::try_from(den)) {
            return Number(Form::Small {
                num: if negative { -small_num } else { small_num },
                den: small_den,
            });
        }
        let sign = if negative {
            DashuSign::Negative
        } else {
            DashuSign::Positive
        };
        Number(Form::Big(Box::new(RBig::from_parts(
            IBig::from_parts(sign, UBig::from(num)),
            UBig::from(den),
        ))))
    }

    fn from_big(value: RBig) -> Self {
        if let (Ok(num), Ok(den)) = (
            i64::try_from(value.numerator()),
            i64::try_from(value.denominator()),
        ) && num != i64::MIN
        {
            return Number(Form::Small { num, den });
        }
        Number(Form::Big(Box::new(value)))
    }

    fn to_big(&self) -> RBig {
        match &self.0 {
            Form::Small { num, den } => {
                RBig::from_parts(IBig::from(*num), UBig::from(den.unsigned_abs()))
            }
            Form::Big(value) => (**value).clone(),
        }
    }

    /// Reads an unsigned decimal such as `12`, `0.5` or `6.63`, with a power
    /// of ten on top. Exact.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if the number is too large to hold.
    ///
    /// # Panics
    /// If `digits` holds anything but digits and at most one point.
    pub fn from_decimal(digits: &str, exponent: i64) -> Result<Self, Exceeded> {
        // 10^1300 already needs more than 4,096 bits.
        const LONGEST: usize = 1_300;
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        if whole.len() + fraction.len() > LONGEST || exponent.unsigned_abs() > LONGEST as u64 {
            return Err(Exceeded::Bits);
        }
        let scale = exponent - i64::try_from(fraction.len()).unwrap_or(i64::MAX);
        // Short ones, with what they are multiplied or divided by, fit a word.
        if whole.len() + fraction.len() <= 18
            && let Some(power) = u32::try_from(scale.unsigned_abs())
                .ok()
                .and_then(|scale| 10_i64.checked_pow(scale))
        {
            let word = [whole, fraction]
                .into_iter()
                .flat_map(str::bytes)
                .fold(0, |sum, digit| 10 * sum + i64::from(digit - b'0'));
            return Ok(if scale >= 0 {
                &Number::from(word) * &Number::from(power)
            } else {
                Self::from_words(word, power)
            });
        }
        let joined: String = [whole, fraction].concat();
        let digits: UBig = if joined.is_empty() {
            UBig::ZERO
        } else {
            joined.parse().expect("the grammar admits only digits")
        };
        let power = UBig::from(10u8).pow(usize::try_from(scale.unsigned_abs()).unwrap_or(0));
        let value = if scale >= 0 {
            RBig::from_parts(IBig::from(digits * power), UBig::ONE)
        } else {
            RBig::from_parts(IBig::from(digits), power)
        };
        Self::from_big(value).checked()
    }

    /// The number itself if it is within the limit of bits.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if it is not.
    pub fn checked(self) -> Result<Self, Exceeded> {
        if self.bits() > MAX_BITS {
            Err(Exceeded::Bits)
        } else {
            Ok(self)
        }
    }

    /// Bits of the larger of numerator and denominator.
    #[must_use]
    pub fn bits(&self) -> usize {
        match &self.0 {
            Form::Small { .. } => 64,
            Form::Big(value) => value
                .numerator()
                .bit_len()
                .max(value.denominator().bit_len()),
        }
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        matches!(self.0, Form::Small { num: 0, .. })
    }

    /// Whether it is one.
    #[must_use]
    pub fn is_one(&self) -> bool {
        matches!(self.0, Form::Small { num: 1, den: 1 })
    }

    /// Whether it is less than zero.
    #[must_use]
    pub fn is_negative(&self) -> bool {
        match &self.0 {
            Form::Small { num, .. } => *num < 0,
            Form::Big(value) => value.is_negative(),
        }
    }

    /// Whether it is greater than zero.
    #[must_use]
    pub fn is_positive(&self) -> bool {
        !self.is_zero() && !self.is_negative()
    }

    /// Whether it is a whole number.
    #[must_use]
    pub fn is_integer(&self) -> bool {
        match &self.0 {
            Form::Small { den, .. } => *den == 1,
            Form::Big(value) => value.denominator().is_one(),
        }
    }

    /// Numerator and denominator if both fit in machine words.
    #[must_use]
    pub fn to_i64_pair(&self) -> Option<(i64, i64)> {
        match &self.0 {
            Form::Small { num, den } => Some((*num, *den)),
            Form::Big(_) => None,
        }
    }

    /// The whole number, if it is one and fits.
    #[must_use]
    pub fn to_i64(&self) -> Option<i64> {
        match &self.0 {
            Form::Small { num, den: 1 } => Some(*num),
            _ => None,
        }
    }

    /// The numerator as a number.
    #[must_use]
    pub fn numerator(&self) -> Number {
        match &self.0 {
            Form::Small { num, .. } => Number(Form::Small { num: *num, den: 1 }),
            Form::Big(value) => {
                Self::from_big(RBig::from_parts(value.numerator().clone(), UBig::ONE))
            }
        }
    }

    /// The denominator as a number.
    #[must_use]
    pub fn denominator(&self) -> Number {
        match &self.0 {
            Form::Small { den, .. } => Number(Form::Small { num: *den, den: 1 }),
            Form::Big(value) => Self::from_big(RBig::from_parts(
                IBig::from(value.denominator().clone()),
                UBig::ONE,
            )),
        }
    }

    /// Its distance from zero.
    #[must_use]
    pub fn abs(&self) -> Number {
        match &self.0 {
            Form::Small { num, den } => Number(Form::Small {
                num: num.abs(),
                den: *den,
            }),
            Form::Big(value) => Number(Form::Big(Box::new((**value).clone().abs()))),
        }
    }

    /// One over it, unless it is zero.
    #[must_use]
    pub fn reciprocal(&self) -> Option<Number> {
        match &self.0 {
            Form::Small { num: 0, .. } => None,
            Form::Small { num, den } => Some(Number(Form::Small {
                num: if *num < 0 { -den } else { *den },
                den: num.abs(),
            })),
            Form::Big(value) => {
                let (num, den) = (**value).clone().into_parts();
                let (sign, magnitude) = num.into_parts();
                Some(Self::from_big(RBig::from_parts(
                    IBig::from_parts(sign, den),
                    magnitude,
                )))
            }
        }
    }

    /// A whole power.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if the result would be too large.
    ///
    /// # Panics
    /// If zero is raised to a negative power.
    pub fn pow(&self, exponent: i64) -> Result<Number, Exceeded> {
        if exponent == 0 || self.is_one() {
            return Ok(Number::ONE);
        }
        if self.is_zero() {
            assert!(exponent > 0, "zero has no negative power");
            return Ok(Number::ZERO);
        }
        if *self == Number::MINUS_ONE {
            return Ok(if exponent % 2 == 0 {
                Number::ONE
            } else {
                Number::MINUS_ONE
            });
        }
        if exponent.unsigned_abs() > MAX_BITS as u64 {
            return Err(Exceeded::Bits);
        }
        // Powers of numbers in lowest terms are in lowest terms.
        if let (Form::Small { num, den }, Ok(size)) =
            (&self.0, u32::try_from(exponent.unsigned_abs()))
            && let (Some(num), Some(den)) = (num.checked_pow(size), den.checked_pow(size))
            && num != i64::MIN
        {
            let raised = Number(Form::Small { num, den });
            return Ok(if exponent < 0 {
                raised.reciprocal().unwrap_or(Number::ZERO)
            } else {
                raised
            });
        }
        let size = usize::try_from(exponent.unsigned_abs()).unwrap_or(usize::MAX);
        let value = self.to_big();
        let bits = value
            .numerator()
            .bit_len()
            .max(value.denominator().bit_len())
            .saturating_sub(1);
        if bits.saturating_mul(size) > MAX_BITS {
            return Err(Exceeded::Bits);
        }
        let raised = Self::from_big(value.pow(size as isize)).checked()?;
        if exponent < 0 {
            Ok(raised.reciprocal().unwrap_or(Number::ZERO))
        } else {
            Ok(raised)
        }
    }

    /// The exact root of the given index (2 for the square root), if the
    /// number is not negative and has one.
    #[must_use]
    pub fn exact_root(&self, index: u32) -> Option<Number> {
        if self.is_negative() || index == 0 {
            return None;
        }
        if let Form::Small { num, den } = self.0
            && index <= 3
        {
            return Some(Number(Form::Small {
                num: word_root(num, index)?,
                den: word_root(den, index)?,
            }));
        }
        let value = self.to_big();
        let root = |whole: &UBig| -> Option<UBig> {
            let found = whole.nth_root(index as usize);
            (found.pow(index as usize) == *whole).then_some(found)
        };
        let numerator = root(&value.numerator().clone().into_parts().1)?;
        let denominator = root(value.denominator())?;
        Some(Self::from_big(RBig::from_parts(
            IBig::from(numerator),
            denominator,
        )))
    }

    /// Splits a positive whole number into prime powers. A cofactor without a
    /// factor below 10,000 is given whole, as if it were prime.
    #[must_use]
    pub fn factorise(&self) -> Vec<(Number, u32)> {
        let mut factors = Vec::new();
        let Form::Small { num, den: 1 } = self.0 else {
            return vec![(self.clone(), 1)];
        };
        let mut left = num;
        let mut divisor = 2;
        while divisor < 10_000 && divisor * divisor <= left {
            let mut count = 0;
            while left % divisor == 0 {
                left /= divisor;
                count += 1;
            }
            if count > 0 {
                factors.push((Number::from(divisor), count));
            }
            divisor += if divisor == 2 { 1 } else { 2 };
        }
        if left > 1 {
            factors.push((Number::from(left), 1));
        }
        factors
    }

    /// The largest whole number not above it, if it fits.
    #[must_use]
    pub fn floor(&self) -> Option<i64> {
        match &self.0 {
            Form::Small { num, den } => Some(num.div_euclid(*den)),
            Form::Big(value) => i64::try_from(value.floor()).ok(),
        }
    }

    /// The largest whole number not above it, as a number.
    #[must_use]
    pub fn floor_number(&self) -> Number {
        match &self.0 {
            Form::Small { num, den } => Number::from(num.div_euclid(*den)),
            Form::Big(value) => Self::from_big(RBig::from(value.floor())),
        }
    }

    /// The nearest double, with an error of at most one unit in the last
    /// place; infinite or zero outside the range of doubles.
    #[must_use]
    pub fn to_f64(&self) -> f64 {
        match &self.0 {
            #[allow(clippy::cast_precision_loss)]
            Form::Small { num, den } => {
                if *den == 1 {
                    *num as f64
                } else if num.unsigned_abs() < (1 << 53) && *den < (1 << 53) {
                    *num as f64 / *den as f64
                } else {
                    self.to_big().to_f64().value()
                }
            }
            Form::Big(value) => value.to_f64().value(),
        }
    }

    /// Whether the double that [`Number::to_f64`] gives is exactly the number.
    #[must_use]
    pub fn is_exact_f64(&self) -> bool {
        match &self.0 {
            Form::Small { num, den } => {
                num.unsigned_abs() <= (1 << 53) && den.count_ones() == 1 && *den <= (1 << 53)
            }
            Form::Big(_) => false,
        }
    }

    /// The rational that is exactly this double, unless it is not finite.
    #[must_use]
    pub fn from_f64(value: f64) -> Option<Number> {
        RBig::try_from(value).ok().map(Self::from_big)
    }

    /// The big rational behind the number, for the bignum float.
    #[must_use]
    pub fn to_rbig(&self) -> RBig {
        self.to_big()
    }
}

impl From<i64> for Number {
    fn from(value: i64) -> Self {
        if value == i64::MIN {
            return Number(Form::Big(Box::new(RBig::from(IBig::from(value)))));
        }
        Number(Form::Small { num: value, den: 1 })
    }
}

impl Add for &Number {
    type Output = Number;
    fn add(self, other: &Number) -> Number {
        if let (Form::Small { num: a, den: b }, Form::Small { num: c, den: d }) =
            (&self.0, &other.0)
        {
            if *b == 1
                && *d == 1
                && let Some(sum) = a.checked_add(*c)
            {
                return Number::from(sum);
            }
            if let (Some(left), Some(right), Some(den)) =
                (a.checked_mul(*d), c.checked_mul(*b), b.checked_mul(*d))
                && let Some(num) = left.checked_add(right)
                && num != i64::MIN
            {
                return Number::from_words(num, den);
            }
            let (a, b, c, d) = (
                i128::from(*a),
                i128::from(*b),
                i128::from(*c),
                i128::from(*d),
            );
            // Each product is below 2^126, so the sum does not overflow.
            return Number::from_i128(a * d + c * b, b * d);
        }
        Number::from_big(self.to_big() + other.to_big())
    }
}

impl Neg for &Number {
    type Output = Number;
    fn neg(self) -> Number {
        match &self.0 {
            Form::Small { num, den } => Number(Form::Small {
                num: -num,
                den: *den,
            }),
            Form::Big(value) => Number::from_big(-(**value).clone()),
        }
    }
}

impl Sub for &Number {
    type Output = Number;
    fn sub(self, other: &Number) -> Number {
        self + &-other
    }
}

impl Mul for &Number {
    type Output = Number;
    fn mul(self, other: &Number) -> Number {
        if let (Form::Small { num: a, den: b }, Form::Small { num: c, den: d }) =
            (&self.0, &other.0)
        {
            if *b == 1
                && *d == 1
                && let Some(product) = a.checked_mul(*c)
            {
                return Number::from(product);
            }
            if let (Some(num), Some(den)) = (a.checked_mul(*c), b.checked_mul(*d))
                && num != i64::MIN
            {
                return Number::from_words(num, den);
            }
            return Number::from_i128(
                i128::from(*a) * i128::from(*c),
                i128::from(*b) * i128::from(*d),
            );
        }
        Number::from_big(self.to_big() * other.to_big())
    }
}

impl Div for &Number {
    type Output = Number;
    /// # Panics
    /// If the divisor is zero.
    #[allow(clippy::suspicious_arithmetic_impl)]
    fn div(self, other: &Number) -> Number {
        let reciprocal = other.reciprocal().expect("a divisor is not zero");
        self * &reciprocal
    }
}

impl PartialOrd for Number {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Number {
    fn cmp(&self, other: &Self) -> Ordering {
        match (&self.0, &other.0) {
            (Form::Small { num: a, den: b }, Form::Small { num: c, den: d }) => {
                (i128::from(*a) * i128::from(*d)).cmp(&(i128::from(*c) * i128::from(*b)))
            }
            _ => self.to_big().cmp(&other.to_big()),
        }
    }
}

impl fmt::Debug for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// `3`, `-3` or `3/4`.
impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Form::Small { num, den: 1 } => write!(f, "{num}"),
            Form::Small { num, den } => write!(f, "{num}/{den}"),
            Form::Big(value) => write!(f, "{value}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lowest_terms_and_sign() {
        assert_eq!(Number::new(2, -4), Number::new(-1, 2));
        assert_eq!(Number::new(0, -7), Number::ZERO);
        assert_eq!(format!("{}", Number::new(6, 4)), "3/2");
    }

    #[test]
    fn overflow_goes_big_and_comes_back() {
        let large = Number::from(i64::MAX);
        let squared = &large * &large;
        assert!(squared.to_i64_pair().is_none());
        assert_eq!(&squared / &large, large);
        assert_eq!(&(&squared - &squared) + &Number::ONE, Number::ONE);
        let least = Number::from(i64::MIN);
        assert_eq!(&-&least + &least, Number::ZERO);
    }

    #[test]
    fn decimals_are_exact() {
        assert_eq!(Number::from_decimal("0.5", 0).unwrap(), Number::new(1, 2));
        assert_eq!(
            Number::from_decimal("6.63", -1).unwrap(),
            Number::new(663, 1000)
        );
        assert_eq!(Number::from_decimal("2", 3).unwrap(), Number::from(2000));
        assert_eq!(Number::from_decimal("1", 5_000), Err(Exceeded::Bits));
        assert_eq!(Number::from_decimal("", 0).unwrap(), Number::ZERO);
        assert_eq!(Number::from_decimal(".50", 0).unwrap(), Number::HALF);
        // Words and big numbers give the same value.
        for (digits, exponent) in [
            ("123456789012345678", 18),
            ("6.62607015", -34),
            ("0.1", -17),
        ] {
            let padded = format!(
                "000{digits}{}000000000000",
                if digits.contains('.') { "" } else { "." }
            );
            assert_eq!(
                Number::from_decimal(digits, exponent),
                Number::from_decimal(&padded, exponent)
            );
        }
    }

    #[test]
    fn powers_and_roots() {
        assert_eq!(Number::new(2, 3).pow(-2).unwrap(), Number::new(9, 4));
        assert_eq!(Number::from(9).pow(1_000_000), Err(Exceeded::Bits));
        assert_eq!(Number::new(-2, 3).pow(-3).unwrap(), Number::new(-27, 8));
        // The power that no longer fits a word is the same number.
        let large = Number::from(3).pow(40).unwrap();
        assert_eq!(&large / &Number::from(3).pow(39).unwrap(), Number::from(3));
        assert_eq!(
            Number::from(-2).pow(63).unwrap(),
            &Number::from(-2).pow(62).unwrap() * &Number::from(-2)
        );
        assert_eq!(Number::new(8, 27).exact_root(3), Some(Number::new(2, 3)));
        assert_eq!(Number::from(2).exact_root(2), None);
        assert_eq!(Number::from(-4).exact_root(2), None);
        for whole in [0, 1, 2, 3, 10, 1_625, 2_097_151, 3_037_000_499] {
            let number = Number::from(whole);
            let above = |index: i64| &number.pow(index).unwrap() + &Number::ONE;
            assert_eq!(number.pow(2).unwrap().exact_root(2), Some(number.clone()));
            assert_eq!(number.exact_root(1), Some(number.clone()));
            assert_eq!(above(2).exact_root(2), (whole == 0).then_some(Number::ONE));
            assert_eq!(number.pow(3).unwrap().exact_root(3), Some(number.clone()));
            assert_eq!(above(3).exact_root(3), (whole == 0).then_some(Number::ONE));
        }
        assert_eq!(Number::from(i64::MAX).exact_root(2), None);
        assert_eq!(Number::from(i64::MAX).exact_root(3), None);
    }

    #[test]
    fn factors() {
        assert_eq!(
            Number::from(360).factorise(),
            vec![
                (Number::from(2), 3),
                (Number::from(3), 2),
                (Number::from(5), 1)
            ]
        );
    }
}
