//! A product of powers with a sign: what a term is taken apart into.

use smallvec::SmallVec;

use crate::algebra::expr::{Expr, Sign};
use crate::algebra::number::Number;

/// A product of powers with a sign and a coefficient in front.
#[derive(Debug, Clone, PartialEq)]
pub struct Monomial {
    /// The sign.
    pub sign: Sign,
    /// The coefficient, never negative.
    pub coefficient: Number,
    /// Bases and exponents; each base once, no exponent zero.
    pub factors: SmallVec<[(Expr, Number); 4]>,
}

/// The sign of a product of two signed things.
#[must_use]
pub fn sign_product(left: Sign, right: Sign) -> Sign {
    match (left, right) {
        (Sign::Plus, other) | (other, Sign::Plus) => other,
        (Sign::Minus, other) | (other, Sign::Minus) => opposite(other),
        (a, b) if a == b => Sign::Plus,
        _ => Sign::Minus,
    }
}

/// The sign of the negative.
#[must_use]
pub fn opposite(sign: Sign) -> Sign {
    match sign {
        Sign::Plus => Sign::Minus,
        Sign::Minus => Sign::Plus,
        Sign::PlusMinus => Sign::MinusPlus,
        Sign::MinusPlus => Sign::PlusMinus,
    }
}

impl Monomial {
    /// A number.
    #[must_use]
    pub fn number(value: &Number) -> Self {
        Monomial {
            sign: if value.is_negative() {
                Sign::Minus
            } else {
                Sign::Plus
            },
            coefficient: value.abs(),
            factors: SmallVec::new(),
        }
    }

    pub(super) fn atom(base: Expr, exponent: Number) -> Self {
        let mut made = Monomial::number(&Number::ONE);
        made.factors.push((base, exponent));
        made
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        self.coefficient.is_zero()
    }

    /// Whether it is plus or minus a number.
    #[must_use]
    pub fn is_number(&self) -> bool {
        self.factors.is_empty()
    }

    /// Whether it is plus one.
    #[must_use]
    pub fn is_one(&self) -> bool {
        self.factors.is_empty() && self.coefficient.is_one() && self.sign == Sign::Plus
    }

    /// Whether the factors are the same, coefficient and sign aside.
    #[must_use]
    pub fn is_like(&self, other: &Monomial) -> bool {
        self.factors.len() == other.factors.len()
            && self
                .factors
                .iter()
                .all(|(base, exponent)| other.exponent(base) == Some(exponent))
    }

    /// The exponent of a base.
    #[must_use]
    pub fn exponent(&self, base: &Expr) -> Option<&Number> {
        self.factors
            .iter()
            .find(|(own, _)| own == base)
            .map(|(_, exponent)| exponent)
    }

    /// The monomial with the other sign.
    #[must_use]
    pub fn negated(mut self) -> Self {
        self.sign = opposite(self.sign);
        self
    }

    pub(super) fn push(&mut self, base: Expr, exponent: Number) {
        if exponent.is_zero() {
            return;
        }
        if let Some(place) = self.factors.iter().position(|(own, _)| *own == base) {
            let joined = &self.factors[place].1 + &exponent;
            if joined.is_zero() {
                self.factors.remove(place);
            } else {
                self.factors[place].1 = joined;
            }
        } else {
            self.factors.push((base, exponent));
        }
    }

    /// The product.
    #[must_use]
    pub fn times(&self, other: &Monomial) -> Monomial {
        let mut made = self.clone();
        made.sign = sign_product(self.sign, other.sign);
        made.coefficient = &self.coefficient * &other.coefficient;
        for (base, exponent) in &other.factors {
            made.push(base.clone(), exponent.clone());
        }
        made.normalise()
    }

    /// One over it; zero stays zero.
    #[must_use]
    pub fn inverted(&self) -> Monomial {
        let mut made = self.clone();
        made.coefficient = self.coefficient.reciprocal().unwrap_or(Number::ZERO);
        for (_, exponent) in &mut made.factors {
            *exponent = -&*exponent;
        }
        made
    }

    /// A root of a number may have become whole; zero has no factors.
    pub(super) fn normalise(mut self) -> Monomial {
        if self.coefficient.is_zero() {
            self.factors.clear();
            self.sign = Sign::Plus;
            return self;
        }
        let mut index = 0;
        while index < self.factors.len() {
            if let (Expr::Number(base), Some(power)) =
                (&self.factors[index].0, self.factors[index].1.to_i64())
                && let Ok(value) = base.pow(power)
            {
                self.coefficient = &self.coefficient * &value;
                self.factors.remove(index);
            } else {
                index += 1;
            }
        }
        self
    }
}
