//! The canonical quotient of two polynomials over kernels, and its field
//! arithmetic.
//!
//! Contract: every operation gives an expression equal to the exact result at
//! every point of the domain where both are defined. So a difference that
//! comes out as zero *proves* equality there. The reverse is not promised:
//! a difference that does not come out as zero may still be zero (Richardson
//! 1968), and only numbers can refute.

use rustc_hash::FxHashMap;

use super::divisor::{self, Scaling};
use super::exponent::Exponent;
use super::kernel::{Failure, Kernel, KernelTable, Known};
use super::limits::{Budget, Exceeded};
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};
use super::symbol::{Symbol, SymbolTable};

/// A quotient in canonical form.
///
/// Invariant: the denominator is primitive (whole coefficients without a
/// common factor, leading one positive) without a common monomial; no common
/// factor with the numerator; kernels with relations (roots, absolute values,
/// sines) within their ranges of exponents in the numerator. The numerator
/// may have negative exponents, so a denominator of one term is one.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Normal {
    num: Polynomial,
    den: Polynomial,
}

impl Normal {
    /// Zero.
    #[must_use]
    pub fn zero() -> Self {
        Normal {
            num: Polynomial::zero(),
            den: Polynomial::one(),
        }
    }

    /// A number.
    #[must_use]
    pub fn number(value: Number) -> Self {
        Normal {
            num: Polynomial::constant(value),
            den: Polynomial::one(),
        }
    }

    /// A kernel.
    #[must_use]
    pub fn kernel(kernel: KernelId) -> Self {
        Normal {
            num: Polynomial::kernel(kernel),
            den: Polynomial::one(),
        }
    }

    /// A polynomial whose kernels are within their ranges of exponents.
    #[must_use]
    pub(super) fn polynomial(num: Polynomial) -> Self {
        Normal {
            num,
            den: Polynomial::one(),
        }
    }

    /// The value times a number and powers of symbols. Symbols have no
    /// relations, and a denominator has no common monomial, so what comes out
    /// is canonical.
    pub(super) fn times_plain(
        self,
        monomial: &Monomial,
        coefficient: &Number,
    ) -> Result<Self, Exceeded> {
        if coefficient.is_zero() {
            return Ok(Normal::zero());
        }
        if monomial.is_one() && coefficient.is_one() {
            return Ok(self);
        }
        Ok(Normal {
            num: self.num.times_term(monomial, coefficient)?,
            den: self.den,
        })
    }

    /// The numerator by value.
    #[must_use]
    pub(super) fn into_num(self) -> Polynomial {
        self.num
    }

    /// The numerator, which may have negative exponents.
    #[must_use]
    pub fn num(&self) -> &Polynomial {
        &self.num
    }

    /// The denominator.
    #[must_use]
    pub fn den(&self) -> &Polynomial {
        &self.den
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        self.num.is_zero()
    }

    /// What is known of the sign, wherever there is a value.
    #[must_use]
    pub fn sign(&self, kernels: &KernelTable) -> Known {
        let above = kernels.polynomial_sign(&self.num);
        match kernels.polynomial_sign(&self.den) {
            Known::Positive => above,
            Known::Negative => above.flipped(),
            _ => Known::Unknown,
        }
    }

    /// The number, if it is one.
    #[must_use]
    pub fn as_number(&self) -> Option<Number> {
        if self.den.is_one() {
            self.num.as_constant()
        } else {
            None
        }
    }

    /// Whether the parts that can be checked without a table hold.
    #[must_use]
    pub fn is_canonical(&self) -> bool {
        self.num.is_canonical()
            && self.den.is_canonical()
            && !self.den.is_zero()
            && (self.den.is_one()
                || (self.den.len() > 1
                    && self.den.monomial_content().is_one()
                    && self.den.numeric_content().is_one()))
    }
}

/// The field that normal forms live in: a table of kernels, the domains of
/// the symbols, and a budget of work.
#[derive(Debug, Clone)]
pub struct Field<'a> {
    /// The symbols with their domains.
    pub symbols: &'a SymbolTable,
    /// The kernels met so far.
    pub kernels: KernelTable,
    /// Work that may still be done.
    pub budget: Budget,
    /// Into how many parts each angle is cut, so that all its multiples are
    /// whole.
    pub(super) angle_parts: FxHashMap<Normal, i64>,
    /// A symbol that has a value, which is put in wherever it stands.
    pub(super) given: Option<(Symbol, Normal)>,
}

impl<'a> Field<'a> {
    /// A field over these symbols with the default budget.
    #[must_use]
    pub fn new(symbols: &'a SymbolTable) -> Self {
        Self::with_budget(symbols, Budget::default())
    }

    /// A field over these symbols with this budget.
    #[must_use]
    pub fn with_budget(symbols: &'a SymbolTable, budget: Budget) -> Self {
        Field {
            symbols,
            kernels: KernelTable::default(),
            budget,
            angle_parts: FxHashMap::default(),
            given: None,
        }
    }

    /// The value that is put in for a symbol, if there is one.
    pub(super) fn value_of(&self, symbol: Symbol) -> Option<&Normal> {
        match &self.given {
            Some((own, value)) if *own == symbol => Some(value),
            _ => None,
        }
    }

    /// `num / den` in canonical form.
    ///
    /// # Errors
    /// [`Failure::Undefined`] if the denominator is zero, or a limit.
    pub fn quotient(&mut self, num: Polynomial, den: Polynomial) -> Result<Normal, Failure> {
        let num = self.reduced(num)?;
        let den = self.reduced(den)?;
        let result = self.lowest_terms(num, den)?;
        debug_assert!(result.is_canonical());
        Ok(result)
    }

    fn lowest_terms(&mut self, num: Polynomial, den: Polynomial) -> Result<Normal, Failure> {
        if den.is_zero() {
            return Err(Failure::Undefined);
        }
        if num.is_zero() {
            return Ok(Normal::zero());
        }
        if den.is_one() {
            return Ok(Normal { num, den });
        }
        // The usual divisor, a product of numbers and symbols.
        if let [(monomial, coefficient)] = den.terms()
            && self.is_invertible(monomial)
        {
            let inverse = coefficient.reciprocal().ok_or(Failure::Undefined)?;
            return Ok(Normal {
                num: num.times_term(&monomial.reciprocal(), &inverse)?,
                den: Polynomial::one(),
            });
        }
        let (num, den) = self.stripped(num, den)?;
        if num.is_zero() || den.is_one() {
            return Ok(Normal { num, den });
        }
        // Lowest terms over whole exponents.
        let num_content = num.monomial_content();
        let num_plain = num.times_term(&num_content.reciprocal(), &Number::ONE)?;
        let scaling = Scaling::of(&[&num_plain, &den])?;
        let a = scaling.apply(&num_plain)?;
        let b = scaling.apply(&den)?;
        let common = divisor::gcd(&a, &b, &mut self.budget)?;
        if common.is_one() {
            return Ok(Normal { num, den });
        }
        let a = divisor::divide_exactly(&a, &common, &mut self.budget)?.unwrap_or(a);
        let b = divisor::divide_exactly(&b, &common, &mut self.budget)?.unwrap_or(b);
        let num = scaling.undo(&a)?.times_term(&num_content, &Number::ONE)?;
        let den = scaling.undo(&b)?;
        let num = self.reduced(num)?;
        let (num, den) = self.stripped(num, den)?;
        Ok(Normal { num, den })
    }

    /// Whether negative powers of a monomial are canonical as they are.
    fn is_invertible(&self, monomial: &Monomial) -> bool {
        !self.kernels.has_relations
            || monomial.factors().iter().all(|(kernel, _)| {
                matches!(
                    self.kernels.kernel(*kernel),
                    Kernel::Symbol(_) | Kernel::Pi | Kernel::Euler
                )
            })
    }

    /// Brings the denominator to primitive form without a common monomial.
    fn stripped(
        &mut self,
        mut num: Polynomial,
        mut den: Polynomial,
    ) -> Result<(Polynomial, Polynomial), Failure> {
        // Relations of nested roots can make a common monomial anew; each
        // round lowers the nesting, so few rounds are enough.
        for _ in 0..8 {
            if den.is_zero() {
                return Err(Failure::Undefined);
            }
            let content = den.monomial_content();
            let scale = den.numeric_content();
            if content.is_one() && scale.is_one() {
                if num.is_zero() {
                    den = Polynomial::one();
                }
                return Ok((num, den));
            }
            let inverse_scale = scale.reciprocal().ok_or(Failure::Undefined)?;
            den = den.times_term(&content.reciprocal(), &inverse_scale)?;
            let (inverse_content, extra) = self.inverse_monomial(&content)?;
            num = num.times_term(&inverse_content, &inverse_scale)?;
            num = self.reduced(num)?;
            if let Some(extra) = extra {
                den = den.times(&extra, &mut self.budget)?;
            }
            den = self.reduced(den)?;
        }
        Err(Failure::Exceeded(Exceeded::Steps))
    }

    /// One over a monomial: a monomial, and for roots and absolute values a
    /// polynomial that goes into the denominator.
    fn inverse_monomial(
        &mut self,
        monomial: &Monomial,
    ) -> Result<(Monomial, Option<Polynomial>), Failure> {
        if !self.kernels.has_relations {
            return Ok((monomial.reciprocal(), None));
        }
        let mut inverse = Monomial::one();
        let mut extra: Option<Polynomial> = None;
        for (kernel, exponent) in monomial.factors() {
            let (period, base) = match self.kernels.kernel(*kernel) {
                Kernel::Base(base) if !exponent.is_negative() => (1, base.clone()),
                Kernel::Absolute(base) if !exponent.is_negative() => (2, base.clone()),
                _ => {
                    inverse = inverse.times(&Monomial::power(*kernel, exponent.negated()))?;
                    continue;
                }
            };
            // B^-e = B^(n - e) / P^n with n the least multiple of the period
            // that is not below e.
            let whole = if exponent.is_whole() && exponent.numerator() % period == 0 {
                exponent.numerator()
            } else {
                (exponent.floor() / period + 1) * period
            };
            inverse = inverse.times(&Monomial::power(
                *kernel,
                Exponent::whole(whole)?.plus(exponent.negated())?,
            ))?;
            let power = base.raised(u32::try_from(whole).unwrap_or(0), &mut self.budget)?;
            extra = Some(match extra {
                Some(so_far) => so_far.times(&power, &mut self.budget)?,
                None => power,
            });
        }
        Ok((inverse, extra))
    }

    /// The polynomial with the relations of its kernels used: B^1 = P for
    /// roots, |P|^2 = P^2, sin^2 = 1 - cos^2.
    ///
    /// # Errors
    /// A limit.
    pub fn reduced(&mut self, polynomial: Polynomial) -> Result<Polynomial, Failure> {
        if !self.kernels.has_relations {
            return Ok(polynomial);
        }
        if !self.kernels.has_sines {
            return self.reduced_once(polynomial);
        }
        // Sines may stand in denominators; their powers are counted from the
        // lowest one, so that a polynomial that is zero shows it.
        let low: Monomial = polynomial.monomial_content().filtered(|kernel, exponent| {
            exponent.is_negative() && matches!(self.kernels.kernel(kernel), Kernel::Sine(_))
        });
        if low.is_one() {
            return self.reduced_once(polynomial);
        }
        let lifted = polynomial.times_term(&low.reciprocal(), &Number::ONE)?;
        let lifted = self.reduced_once(lifted)?;
        Ok(lifted.times_term(&low, &Number::ONE)?)
    }

    fn out_of_range(&self, kernel: KernelId, exponent: Exponent) -> Option<i64> {
        let period = match self.kernels.kernel(kernel) {
            Kernel::Base(_) => 1,
            Kernel::Absolute(_) | Kernel::Sine(_) => 2,
            _ => return None,
        };
        let whole = exponent.floor().div_euclid(period) * period;
        (whole > 0).then_some(whole)
    }

    fn reduced_once(&mut self, polynomial: Polynomial) -> Result<Polynomial, Failure> {
        let needs = |field: &Self, monomial: &Monomial| {
            monomial
                .factors()
                .iter()
                .any(|(kernel, exponent)| field.out_of_range(*kernel, *exponent).is_some())
        };
        let mut rest = polynomial;
        loop {
            if !rest
                .terms()
                .iter()
                .any(|(monomial, _)| needs(self, monomial))
            {
                return Ok(rest);
            }
            let mut kept = Vec::new();
            let mut changed = Polynomial::zero();
            for (monomial, coefficient) in rest.into_terms() {
                if !needs(self, &monomial) {
                    kept.push((monomial, coefficient));
                    continue;
                }
                let mut expanded = Polynomial::constant(coefficient);
                let mut left = Monomial::one();
                for (kernel, exponent) in monomial.factors() {
                    let Some(whole) = self.out_of_range(*kernel, *exponent) else {
                        left = left.times(&Monomial::power(*kernel, *exponent))?;
                        continue;
                    };
                    left = left.times(&Monomial::power(
                        *kernel,
                        exponent.plus(Exponent::whole(-whole)?)?,
                    ))?;
                    let (base, power) = self.relation(*kernel, whole)?;
                    let raised =
                        base.raised(u32::try_from(power).unwrap_or(u32::MAX), &mut self.budget)?;
                    expanded = expanded.times(&raised, &mut self.budget)?;
                }
                changed = changed.plus(&expanded.times_term(&left, &Number::ONE)?)?;
            }
            rest = Polynomial::from_terms(kept)?.plus(&changed)?;
        }
    }

    /// The polynomial and the power of it that `kernel^whole` equals.
    fn relation(&mut self, kernel: KernelId, whole: i64) -> Result<(Polynomial, i64), Failure> {
        match self.kernels.kernel(kernel) {
            Kernel::Sine(angle) => {
                let angle = angle.clone();
                let cosine = self.cosine_kernel(angle);
                let square =
                    Polynomial::term(Monomial::power(cosine, Exponent::whole(2)?), Number::ONE);
                Ok((Polynomial::one().minus(&square)?, whole / 2))
            }
            Kernel::Base(base) | Kernel::Absolute(base) => Ok((base.clone(), whole)),
            _ => Ok((Polynomial::kernel(kernel), whole)),
        }
    }

    /// Sum.
    ///
    /// # Errors
    /// A limit.
    pub fn plus(&mut self, left: &Normal, right: &Normal) -> Result<Normal, Failure> {
        if left.den == right.den {
            let num = left.num.plus(&right.num)?;
            if left.den.is_one() {
                let num = if self.kernels.has_sines {
                    self.reduced(num)?
                } else {
                    num
                };
                return Ok(Normal {
                    num,
                    den: Polynomial::one(),
                });
            }
            return self.quotient(num, left.den.clone());
        }
        let num = left
            .num
            .times(&right.den, &mut self.budget)?
            .plus(&right.num.times(&left.den, &mut self.budget)?)?;
        let den = left.den.times(&right.den, &mut self.budget)?;
        self.quotient(num, den)
    }

    /// Difference.
    ///
    /// # Errors
    /// A limit.
    pub fn minus(&mut self, left: &Normal, right: &Normal) -> Result<Normal, Failure> {
        self.plus(left, &self.negated(right))
    }

    /// The opposite.
    #[must_use]
    pub fn negated(&self, value: &Normal) -> Normal {
        Normal {
            num: value.num.negated(),
            den: value.den.clone(),
        }
    }

    /// Product.
    ///
    /// # Errors
    /// A limit.
    pub fn times(&mut self, left: &Normal, right: &Normal) -> Result<Normal, Failure> {
        let num = left.num.times(&right.num, &mut self.budget)?;
        if left.den.is_one() && right.den.is_one() {
            return Ok(Normal {
                num: self.reduced(num)?,
                den: Polynomial::one(),
            });
        }
        let den = left.den.times(&right.den, &mut self.budget)?;
        self.quotient(num, den)
    }

    /// One over the value.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for zero, or a limit.
    pub fn reciprocal(&mut self, value: &Normal) -> Result<Normal, Failure> {
        // A power of the value's own denominator is reduced already.
        if let [(monomial, coefficient)] = value.num.terms()
            && self.is_invertible(monomial)
        {
            let inverse = coefficient.reciprocal().ok_or(Failure::Undefined)?;
            return Ok(Normal {
                num: value.den.times_term(&monomial.reciprocal(), &inverse)?,
                den: Polynomial::one(),
            });
        }
        self.quotient(value.den.clone(), value.num.clone())
    }

    /// Quotient.
    ///
    /// # Errors
    /// [`Failure::Undefined`] if the divisor is zero, or a limit.
    pub fn divided(&mut self, left: &Normal, right: &Normal) -> Result<Normal, Failure> {
        let inverse = self.reciprocal(right)?;
        self.times(left, &inverse)
    }

    /// A whole power.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for a negative power of zero, or a limit.
    pub fn whole_power(&mut self, value: &Normal, exponent: i64) -> Result<Normal, Failure> {
        let size = u32::try_from(exponent.unsigned_abs())
            .map_err(|_| Failure::Exceeded(Exceeded::Bits))?;
        let num = value.num.raised(size, &mut self.budget)?;
        let den = value.den.raised(size, &mut self.budget)?;
        if exponent >= 0 {
            if den.is_one() {
                return Ok(Normal {
                    num: self.reduced(num)?,
                    den,
                });
            }
            self.quotient(num, den)
        } else {
            self.quotient(den, num)
        }
    }

    /// Whether the difference of two values comes out as zero, which proves
    /// them equal wherever both are defined.
    ///
    /// # Errors
    /// A limit.
    pub fn proved_equal(&mut self, left: &Normal, right: &Normal) -> Result<bool, Failure> {
        if left == right {
            return Ok(true);
        }
        // Without relations between kernels different polynomials differ.
        if !self.kernels.has_relations && left.den.is_one() && right.den.is_one() {
            return Ok(false);
        }
        let num = left
            .num
            .times(&right.den, &mut self.budget)?
            .minus(&right.num.times(&left.den, &mut self.budget)?)?;
        Ok(self.reduced(num)?.is_zero())
    }
}
