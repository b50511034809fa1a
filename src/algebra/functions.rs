//! Exponentials, circular functions and their inverses on normal forms.

use super::divisor;
use super::exponent::Exponent;
use super::kernel::{Failure, Kernel, Known};
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};
use super::symbol::Domain;

/// The largest multiple of an angle that is expanded.
const LARGEST_MULTIPLE: i64 = 24;

impl Field<'_> {
    /// The value as a sum of numbers times terms, each term one monomial over
    /// one denominator with the coefficient one. The terms are linearly
    /// independent over the rationals as far as one denominator goes.
    fn as_terms(&mut self, value: &Normal) -> Result<Vec<(Number, Normal)>, Failure> {
        let mut terms = Vec::new();
        if value.den().is_one() {
            for (monomial, coefficient) in value.num().terms() {
                terms.push((coefficient.clone(), Normal::monomial(monomial.clone())));
            }
            return Ok(terms);
        }
        // Only what keeps the numerator from being plain is taken out: more
        // would hide what the denominator divides.
        let content = value
            .num()
            .monomial_content()
            .filtered(|_, exponent| exponent.is_negative());
        let plain = value
            .num()
            .times_term(&content.reciprocal(), &Number::ONE)?;
        let (quotient, remainder) = if divisor::is_plain(&plain) && divisor::is_plain(value.den()) {
            divisor::divide(&plain, value.den(), &mut self.budget)?
        } else {
            (Polynomial::zero(), plain)
        };
        for (monomial, coefficient) in quotient.terms() {
            terms.push((
                coefficient.clone(),
                Normal::monomial(monomial.times(&content)?),
            ));
        }
        for (monomial, coefficient) in remainder.terms() {
            let num = Polynomial::term(monomial.times(&content)?, Number::ONE);
            terms.push((
                coefficient.clone(),
                self.quotient(num, value.den().clone())?,
            ));
        }
        Ok(terms)
    }

    /// The exponential.
    ///
    /// # Errors
    /// A limit.
    pub fn exponential(&mut self, value: &Normal) -> Result<Normal, Failure> {
        let mut result = Normal::number(Number::ONE);
        for (coefficient, term) in self.as_terms(value)? {
            let part = self.exponential_of_term(&coefficient, term)?;
            result = self.times(&result, &part)?;
        }
        Ok(result)
    }

    fn exponential_of_term(
        &mut self,
        coefficient: &Number,
        term: Normal,
    ) -> Result<Normal, Failure> {
        if term.as_number().is_some() {
            let kernel = self.kernels.intern(Kernel::Euler, Known::Positive);
            return Ok(Normal::kernel_power_of(
                kernel,
                Exponent::from_number(coefficient)?,
            ));
        }
        if term.den().is_one()
            && let [(monomial, _)] = term.num().terms()
            && let [(kernel, exponent)] = monomial.factors()
            && *exponent == Exponent::ONE
            && let Kernel::Logarithm(inner) = self.kernels.kernel(*kernel)
        {
            let inner = inner.clone();
            return self.power_of_logarithm(&inner, coefficient);
        }
        match Exponent::from_number(coefficient) {
            Ok(exponent) => {
                let kernel = self
                    .kernels
                    .intern(Kernel::Exponential(term), Known::Positive);
                Ok(Normal::kernel_power_of(kernel, exponent))
            }
            Err(_) => {
                let whole = self.times(&Normal::number(coefficient.clone()), &term)?;
                let kernel = self
                    .kernels
                    .intern(Kernel::Exponential(whole), Known::Positive);
                Ok(Normal::kernel(kernel))
            }
        }
    }

    /// `base ^ exponent` for any exponent: the exponential of the exponent
    /// times the logarithm of the base.
    ///
    /// # Errors
    /// [`Failure::Undefined`] where the base can't be positive, or a limit.
    pub fn general_power(&mut self, base: &Normal, exponent: &Normal) -> Result<Normal, Failure> {
        if let Some(number) = exponent.as_number() {
            return self.power(base, &number);
        }
        let logarithm = self.logarithm(base)?;
        let product = self.times(exponent, &logarithm)?;
        self.exponential(&product)
    }

    /// Whether an angle lies strictly between zero and a right angle: part of
    /// one acute symbol.
    fn is_acute(&self, angle: &Normal) -> bool {
        if let [(monomial, coefficient)] = angle.num().terms()
            && angle.den().is_one()
            && let [(kernel, exponent)] = monomial.factors()
            && *exponent == Exponent::ONE
            && coefficient.is_positive()
            && *coefficient <= Number::ONE
        {
            return match self.kernels.kernel(*kernel) {
                Kernel::Symbol(symbol) => self.symbols.domain(*symbol) == Domain::Acute,
                _ => false,
            };
        }
        false
    }

    /// The sine of an angle as a kernel.
    pub(super) fn sine_kernel(&mut self, angle: Normal) -> KernelId {
        let known = self.circular_sign(&angle);
        self.kernels.intern(Kernel::Sine(angle), known)
    }

    /// The cosine of an angle as a kernel.
    pub(super) fn cosine_kernel(&mut self, angle: Normal) -> KernelId {
        let known = self.circular_sign(&angle);
        self.kernels.intern(Kernel::Cosine(angle), known)
    }

    fn circular_sign(&self, angle: &Normal) -> Known {
        if self.is_acute(angle) {
            Known::Positive
        } else {
            Known::Unknown
        }
    }

    /// Cosine and sine.
    ///
    /// # Errors
    /// A limit.
    pub fn cosine_and_sine(&mut self, value: &Normal) -> Result<(Normal, Normal), Failure> {
        let mut cosine = Normal::number(Number::ONE);
        let mut sine = Normal::zero();
        for (coefficient, term) in self.as_terms(value)? {
            let (c, s) = self.cosine_and_sine_of_term(&coefficient, &term)?;
            (cosine, sine) = self.rotated(&(cosine, sine), &(c, s))?;
        }
        Ok((cosine, sine))
    }

    fn rotated(
        &mut self,
        a: &(Normal, Normal),
        b: &(Normal, Normal),
    ) -> Result<(Normal, Normal), Failure> {
        let cc = self.times(&a.0, &b.0)?;
        let ss = self.times(&a.1, &b.1)?;
        let sc = self.times(&a.1, &b.0)?;
        let cs = self.times(&a.0, &b.1)?;
        Ok((self.minus(&cc, &ss)?, self.plus(&sc, &cs)?))
    }

    fn cosine_and_sine_of_term(
        &mut self,
        coefficient: &Number,
        term: &Normal,
    ) -> Result<(Normal, Normal), Failure> {
        if self
            .single_kernel(term, |kernel| *kernel == Kernel::Pi)
            .is_some()
            && let Some(known) = self.at_part_of_pi(coefficient)?
        {
            return Ok(known);
        }
        let pair = coefficient.to_i64_pair();
        if let Some(Kernel::Arcsine(inner)) =
            self.single_kernel(term, |kernel| matches!(kernel, Kernel::Arcsine(_)))
            && let Some((multiple, 1)) = pair
            && multiple.abs() <= LARGEST_MULTIPLE
        {
            let square = self.times(&inner, &inner)?;
            let rest = self.minus(&Normal::number(Number::ONE), &square)?;
            let cosine = self.power(&rest, &Number::new(1, 2))?;
            return self.multiple((cosine, inner), multiple);
        }
        if let Some((numerator, denominator)) = pair
            && denominator <= LARGEST_MULTIPLE
        {
            let parts = self.angle_parts.get(term).copied().unwrap_or(1);
            if parts % denominator != 0 {
                let (mut a, mut b) = (parts, denominator);
                while b != 0 {
                    (a, b) = (b, a % b);
                }
                let finer = parts / a * denominator;
                if finer <= LARGEST_MULTIPLE {
                    self.angle_parts.insert(term.clone(), finer);
                    return Err(Failure::SmallerAngle);
                }
            } else if (numerator * (parts / denominator)).abs() <= LARGEST_MULTIPLE {
                let angle = self.times(&Normal::number(Number::new(1, parts)), term)?;
                let pair = self.circular_kernels(angle);
                return self.multiple(pair, numerator * (parts / denominator));
            }
        }
        let angle = self.times(&Normal::number(coefficient.abs()), term)?;
        let (cosine, sine) = self.circular_kernels(angle);
        if coefficient.is_negative() {
            Ok((cosine, self.negated(&sine)))
        } else {
            Ok((cosine, sine))
        }
    }

    fn circular_kernels(&mut self, angle: Normal) -> (Normal, Normal) {
        let cosine = self.cosine_kernel(angle.clone());
        let sine = self.sine_kernel(angle);
        (Normal::kernel(cosine), Normal::kernel(sine))
    }

    /// Cosine and sine of a whole multiple of an angle.
    fn multiple(
        &mut self,
        pair: (Normal, Normal),
        multiple: i64,
    ) -> Result<(Normal, Normal), Failure> {
        let pair = if multiple < 0 {
            (pair.0, self.negated(&pair.1))
        } else {
            pair
        };
        let mut count = multiple.abs();
        let mut result = (Normal::number(Number::ONE), Normal::zero());
        let mut double = pair;
        while count > 0 {
            if count & 1 == 1 {
                result = self.rotated(&result, &double)?;
            }
            count >>= 1;
            if count > 0 {
                double = self.rotated(&double, &double.clone())?;
            }
        }
        Ok(result)
    }

    /// The kernel, if the value is that kernel alone and `wanted` holds.
    fn single_kernel(&self, value: &Normal, wanted: impl Fn(&Kernel) -> bool) -> Option<Kernel> {
        if value.den().is_one()
            && let [(monomial, coefficient)] = value.num().terms()
            && coefficient.is_one()
            && let [(kernel, exponent)] = monomial.factors()
            && *exponent == Exponent::ONE
            && wanted(self.kernels.kernel(*kernel))
        {
            return Some(self.kernels.kernel(*kernel).clone());
        }
        None
    }

    /// Exact cosine and sine of `coefficient * pi` where they are square
    /// roots of rationals: multiples of pi/6 and pi/4.
    fn at_part_of_pi(&mut self, coefficient: &Number) -> Result<Option<(Normal, Normal)>, Failure> {
        let twelfths = coefficient * &Number::from(12);
        let Some(twelfths) = twelfths.to_i64() else {
            return Ok(None);
        };
        let turn = twelfths.rem_euclid(24);
        // Squares of the sine in quarters, for 0, 15, 30, ... degrees.
        let quarters = |step: i64| -> Option<(i64, i64)> {
            let step = step.rem_euclid(24);
            let (step, sign) = if step >= 12 {
                (step - 12, -1)
            } else {
                (step, 1)
            };
            let step = if step > 6 { 12 - step } else { step };
            match step {
                0 => Some((0, sign)),
                2 => Some((1, sign)),
                3 => Some((2, sign)),
                4 => Some((3, sign)),
                6 => Some((4, sign)),
                _ => None,
            }
        };
        let (Some(sine), Some(cosine)) = (quarters(turn), quarters(turn + 6)) else {
            return Ok(None);
        };
        let mut value = |(quarter, sign): (i64, i64)| -> Result<Normal, Failure> {
            let root = self.power(&Normal::number(Number::new(quarter, 4)), &Number::new(1, 2))?;
            Ok(if sign < 0 { self.negated(&root) } else { root })
        };
        let sine = value(sine)?;
        let cosine = value(cosine)?;
        Ok(Some((cosine, sine)))
    }

    fn part_of_pi(&mut self, num: i64, den: i64) -> Result<Normal, Failure> {
        let pi = self.kernels.intern(Kernel::Pi, Known::Positive);
        self.times(&Normal::number(Number::new(num, den)), &Normal::kernel(pi))
    }

    /// The inverse sine, between minus and plus a right angle.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for a number outside [-1, 1], or a limit.
    pub fn arcsine(&mut self, value: &Normal) -> Result<Normal, Failure> {
        if value.is_zero() {
            return Ok(Normal::zero());
        }
        if let Some(number) = value.as_number()
            && number.abs() > Number::ONE
        {
            return Err(Failure::Undefined);
        }
        let negative = value
            .num()
            .leading()
            .is_some_and(|(_, coefficient)| coefficient.is_negative());
        if negative {
            let inner = self.arcsine(&self.negated(value))?;
            return Ok(self.negated(&inner));
        }
        // A square that is a quarter of 1, 2, 3 or 4 gives a part of pi.
        let square = self.times(value, value)?;
        if let Some(number) = square.as_number() {
            for (quarter, twelfth) in [(1, 2), (2, 3), (3, 4), (4, 6)] {
                if number == Number::new(quarter, 4) {
                    return self.part_of_pi(twelfth, 12);
                }
            }
        }
        match self.single_kernel(value, |kernel| {
            matches!(kernel, Kernel::Sine(_) | Kernel::Cosine(_))
        }) {
            Some(Kernel::Sine(angle)) if self.is_acute(&angle) => return Ok(angle),
            Some(Kernel::Cosine(angle)) if self.is_acute(&angle) => {
                let right_angle = self.part_of_pi(1, 2)?;
                return self.minus(&right_angle, &angle);
            }
            _ => {}
        }
        if let Some(kernel) = self.kernels.find(&Kernel::Arcsine(value.clone())) {
            return Ok(Normal::kernel(kernel));
        }
        let known = if value.den().is_one() {
            self.kernels.polynomial_sign(value.num())
        } else {
            Known::Unknown
        };
        let known = if known == Known::Positive {
            // arcsin x + arcsin sqrt(1 - x^2) is a right angle for x >= 0.
            let rest = self.minus(&Normal::number(Number::ONE), &square)?;
            if let Ok(complement) = self.power(&rest, &Number::new(1, 2))
                && let Some(kernel) = self.kernels.find(&Kernel::Arcsine(complement))
            {
                let right_angle = self.part_of_pi(1, 2)?;
                return self.minus(&right_angle, &Normal::kernel(kernel));
            }
            Known::Positive
        } else {
            Known::Unknown
        };
        let kernel = self.kernels.intern(Kernel::Arcsine(value.clone()), known);
        Ok(Normal::kernel(kernel))
    }

    /// The inverse cosine, between zero and two right angles.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for a number outside [-1, 1], or a limit.
    pub fn arccosine(&mut self, value: &Normal) -> Result<Normal, Failure> {
        let right_angle = self.part_of_pi(1, 2)?;
        let arcsine = self.arcsine(value)?;
        self.minus(&right_angle, &arcsine)
    }

    /// The inverse tangent, written as an inverse sine:
    /// arctan x = arcsin(x / sqrt(1 + x^2)) for every real x.
    ///
    /// # Errors
    /// A limit.
    pub fn arctangent(&mut self, value: &Normal) -> Result<Normal, Failure> {
        let square = self.times(value, value)?;
        let sum = self.plus(&Normal::number(Number::ONE), &square)?;
        let inverse_root = self.power(&sum, &Number::new(-1, 2))?;
        let sine = self.times(value, &inverse_root)?;
        self.arcsine(&sine)
    }
}

impl Normal {
    /// A monomial with the coefficient one.
    #[must_use]
    pub(super) fn monomial(monomial: Monomial) -> Self {
        Normal::polynomial(Polynomial::term(monomial, Number::ONE))
    }

    /// A kernel to a power.
    #[must_use]
    pub(super) fn kernel_power_of(kernel: KernelId, exponent: Exponent) -> Self {
        Normal::monomial(Monomial::power(kernel, exponent))
    }
}
