//! Dimensions: products of powers of the seven base units of the SI.
//!
//! Source: SI Brochure, 9th edition (2019), table 2.

use std::fmt;

use crate::algebra::number::Number;

/// The seven base units, in the order in which a dimension is written.
pub const BASE_SYMBOLS: [&str; 7] = ["kg", "m", "s", "A", "K", "mol", "cd"];

/// Named derived units that stand for a dimension when one is shown. Hertz
/// and becquerel, joule and newton metre share a dimension, so frequency is
/// shown as s^-1 and torque as J.
const NAMED: [(&str, [i64; 7]); 12] = [
    ("N", [1, 1, -2, 0, 0, 0, 0]),
    ("Pa", [1, -1, -2, 0, 0, 0, 0]),
    ("J", [1, 2, -2, 0, 0, 0, 0]),
    ("W", [1, 2, -3, 0, 0, 0, 0]),
    ("C", [0, 0, 1, 1, 0, 0, 0]),
    ("V", [1, 2, -3, -1, 0, 0, 0]),
    ("F", [-1, -2, 4, 2, 0, 0, 0]),
    ("Ω", [1, 2, -3, -2, 0, 0, 0]),
    ("S", [-1, -2, 3, 2, 0, 0, 0]),
    ("Wb", [1, 2, -2, -1, 0, 0, 0]),
    ("T", [1, 0, -2, -1, 0, 0, 0]),
    ("H", [1, 2, -2, -2, 0, 0, 0]),
];

/// A dimension: one exact rational exponent for each base unit.
///
/// All exponents zero is the dimension of a pure number, of an angle and of a
/// count; see [`Dimension::is_none`].
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Dimension {
    exponents: [Number; 7],
}

impl Dimension {
    /// The dimension of a pure number.
    pub const NONE: Dimension = Dimension {
        exponents: [
            Number::ZERO,
            Number::ZERO,
            Number::ZERO,
            Number::ZERO,
            Number::ZERO,
            Number::ZERO,
            Number::ZERO,
        ],
    };

    /// Whole exponents of kg, m, s, A, K, mol, cd, in this order.
    #[must_use]
    pub fn from_exponents(exponents: [i64; 7]) -> Self {
        Dimension {
            exponents: exponents.map(Number::from),
        }
    }

    /// The exponents of kg, m, s, A, K, mol, cd, in this order.
    #[must_use]
    pub fn exponents(&self) -> &[Number; 7] {
        &self.exponents
    }

    /// Whether it is the dimension of a pure number.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.exponents.iter().all(Number::is_zero)
    }

    /// The dimension of a product.
    #[must_use]
    pub fn times(&self, other: &Dimension) -> Dimension {
        self.combine(other, &Number::ONE)
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn over(&self, other: &Dimension) -> Dimension {
        self.combine(other, &Number::from(-1))
    }

    /// The dimension of a power.
    #[must_use]
    pub fn power(&self, exponent: &Number) -> Dimension {
        Dimension::NONE.combine(self, exponent)
    }

    /// Adds `weight` times the exponents of `other`.
    #[must_use]
    pub fn combine(&self, other: &Dimension, weight: &Number) -> Dimension {
        let mut exponents = self.exponents.clone();
        for (own, added) in exponents.iter_mut().zip(&other.exponents) {
            if !added.is_zero() {
                *own = &*own + &(added * weight);
            }
        }
        Dimension { exponents }
    }

    /// The named derived unit of this dimension, such as `N`.
    #[must_use]
    pub fn named(&self) -> Option<&'static str> {
        NAMED
            .iter()
            .find(|(_, exponents)| *self == Dimension::from_exponents(*exponents))
            .map(|(name, _)| *name)
    }

    /// In words for a message: `kg m s^-2 (N)`, `m s^-1`, `no unit`.
    #[must_use]
    pub fn describe(&self) -> String {
        if self.is_none() {
            return "no unit".to_owned();
        }
        match self.named() {
            Some(name) => format!("{self} ({name})"),
            None => self.to_string(),
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut first = true;
        for (symbol, exponent) in BASE_SYMBOLS.iter().zip(&self.exponents) {
            if exponent.is_zero() {
                continue;
            }
            if !first {
                write!(f, " ")?;
            }
            first = false;
            if exponent.is_one() {
                write!(f, "{symbol}")?;
            } else if exponent.is_integer() {
                write!(f, "{symbol}^{exponent}")?;
            } else {
                write!(f, "{symbol}^({exponent})")?;
            }
        }
        if first {
            write!(f, "1")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_quotients_and_powers() {
        let metre = Dimension::from_exponents([0, 1, 0, 0, 0, 0, 0]);
        let second = Dimension::from_exponents([0, 0, 1, 0, 0, 0, 0]);
        let speed = metre.over(&second);
        assert_eq!(speed.to_string(), "m s^-1");
        assert_eq!(speed.times(&second), metre);
        assert_eq!(
            metre.power(&Number::new(1, 2)).to_string(),
            "m^(1/2)",
            "rational exponents"
        );
        assert!(speed.over(&speed).is_none());
    }

    #[test]
    fn a_message_names_the_derived_unit() {
        let check = |exponents, expected: &str| {
            assert_eq!(Dimension::from_exponents(exponents).describe(), expected);
        };
        check([1, 1, -2, 0, 0, 0, 0], "kg m s^-2 (N)");
        check([0, 1, -1, 0, 0, 0, 0], "m s^-1");
        check([0; 7], "no unit");
    }
}
