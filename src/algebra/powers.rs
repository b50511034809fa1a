//! Rational powers and logarithms of normal forms.
//!
//! Both take a value apart into prime numbers, positive kernels and
//! polynomial factors, and use the laws of roots and logarithms only where
//! their conditions hold on the domain. `sqrt(P Q) = sqrt P sqrt Q` needs
//! both not negative; where two factors may each have either sign they stay
//! together under one root.

use super::divisor::{self, Scaling};
use super::exponent::Exponent;
use super::kernel::{Failure, Kernel, Known, prime_base};
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};

/// A value as a product: coefficient, kernels, polynomial factors.
struct Product {
    coefficient: Number,
    monomial: Monomial,
    factors: Vec<(Polynomial, i64)>,
}

/// A product sorted by what is known of the signs.
struct Sorted {
    /// Positive number in front.
    magnitude: Number,
    /// Kernels known not to be negative, with their exponents.
    kernels: Vec<(KernelId, Exponent)>,
    /// Polynomials not negative wherever the value is, with multiplicities.
    factors: Vec<(Polynomial, i64)>,
}

impl Field<'_> {
    fn as_product(&mut self, value: &Normal) -> Result<Product, Failure> {
        let mut product = Product {
            coefficient: Number::ONE,
            monomial: Monomial::one(),
            factors: Vec::new(),
        };
        self.take_apart(value.num(), 1, &mut product)?;
        if !value.den().is_one() {
            self.take_apart(value.den(), -1, &mut product)?;
        }
        Ok(product)
    }

    fn take_apart(
        &mut self,
        polynomial: &Polynomial,
        power: i64,
        product: &mut Product,
    ) -> Result<(), Failure> {
        let content = polynomial.monomial_content();
        let scale = polynomial.numeric_content();
        product.coefficient = &product.coefficient * &scale.pow(power)?;
        product.monomial = product
            .monomial
            .times(&content.raised(Exponent::whole(power)?)?)?;
        if polynomial.len() <= 1 {
            return Ok(());
        }
        let inverse = scale.reciprocal().ok_or(Failure::Undefined)?;
        let plain = polynomial.times_term(&content.reciprocal(), &inverse)?;
        let scaling = Scaling::of(&[&plain])?;
        let mut plain = scaling.apply(&plain)?;
        if self.kernels.has_sines {
            plain = self.take_out_sines(plain, power, product)?;
        }
        for (factor, multiplicity) in divisor::factors(&plain, &mut self.budget)? {
            let factor = scaling.undo(&factor)?;
            product
                .factors
                .push((factor, power * i64::from(multiplicity)));
        }
        Ok(())
    }

    /// The factors of a polynomial that are not numbers, each once: kernels
    /// alone, and polynomials without a common monomial.
    ///
    /// # Errors
    /// A limit.
    pub fn factors_of(&mut self, polynomial: &Polynomial) -> Result<Vec<Polynomial>, Failure> {
        let mut product = Product {
            coefficient: Number::ONE,
            monomial: Monomial::one(),
            factors: Vec::new(),
        };
        if polynomial.is_zero() {
            return Ok(vec![Polynomial::zero()]);
        }
        self.take_apart(polynomial, 1, &mut product)?;
        let mut factors: Vec<Polynomial> = product
            .monomial
            .factors()
            .iter()
            .map(|(kernel, _)| Polynomial::kernel(*kernel))
            .collect();
        factors.extend(product.factors.into_iter().map(|(factor, _)| factor));
        Ok(factors)
    }

    /// What is known of a value's sign by its factors: `u^2 + 2uv + v^2` and
    /// `1 - cos^2` are squares.
    ///
    /// # Errors
    /// A limit.
    pub fn factored_sign(&mut self, value: &Normal) -> Result<Known, Failure> {
        if value.is_zero() {
            return Ok(Known::Nonnegative);
        }
        let product = self.as_product(value)?;
        let mut negative = product.coefficient.is_negative();
        let mut strict = match self.kernels.monomial_sign(&product.monomial) {
            Known::Positive => true,
            Known::Nonnegative => false,
            _ => return Ok(Known::Unknown),
        };
        for (factor, multiplicity) in &product.factors {
            let is_odd = multiplicity % 2 != 0;
            match self.kernels.polynomial_sign(factor) {
                Known::Positive => {}
                Known::Negative => negative ^= is_odd,
                Known::Nonnegative => strict = false,
                Known::Nonpositive => {
                    negative ^= is_odd;
                    strict = false;
                }
                Known::Unknown if is_odd => return Ok(Known::Unknown),
                Known::Unknown => strict = false,
            }
        }
        let size = if strict {
            Known::Positive
        } else {
            Known::Nonnegative
        };
        Ok(if negative { size.flipped() } else { size })
    }

    /// 1 - cos^2 is a square: sin^2.
    fn take_out_sines(
        &mut self,
        mut polynomial: Polynomial,
        power: i64,
        product: &mut Product,
    ) -> Result<Polynomial, Failure> {
        for kernel in polynomial.kernels() {
            let Kernel::Cosine(angle) = self.kernels.kernel(kernel) else {
                continue;
            };
            let angle = angle.clone();
            let square = Polynomial::from_terms(vec![
                (Monomial::power(kernel, Exponent::whole(2)?), Number::ONE),
                (Monomial::one(), Number::MINUS_ONE),
            ])?;
            while divisor::degree(&polynomial, kernel) >= 2
                && let Some(quotient) =
                    divisor::divide_exactly(&polynomial, &square, &mut self.budget)?
            {
                polynomial = quotient;
                let sine = self.sine_kernel(angle.clone());
                product.monomial = product
                    .monomial
                    .times(&Monomial::power(sine, Exponent::whole(2 * power)?))?;
                product.coefficient = &product.coefficient * &Number::MINUS_ONE.pow(power)?;
            }
        }
        let scale = polynomial.numeric_content();
        product.coefficient = &product.coefficient * &scale.pow(power)?;
        let inverse = scale.reciprocal().ok_or(Failure::Undefined)?;
        Ok(polynomial.scaled(&inverse))
    }

    /// Sorts the parts of a value that must not be negative.
    fn sorted(&mut self, value: &Normal) -> Result<Sorted, Failure> {
        let product = self.as_product(value)?;
        let mut negative = product.coefficient.is_negative();
        let mut sorted = Sorted {
            magnitude: product.coefficient.abs(),
            kernels: Vec::new(),
            factors: Vec::new(),
        };
        let mut open: Vec<(Polynomial, i64)> = Vec::new();
        for (kernel, exponent) in product.monomial.factors() {
            match self.kernels.known(*kernel) {
                Known::Positive | Known::Nonnegative => sorted.kernels.push((*kernel, *exponent)),
                _ if exponent.is_whole() => {
                    open.push((Polynomial::kernel(*kernel), exponent.numerator()));
                }
                // A fractional power is of something that isn't negative.
                _ => sorted.kernels.push((*kernel, *exponent)),
            }
        }
        for (factor, multiplicity) in product.factors {
            match self.kernels.polynomial_sign(&factor) {
                Known::Positive | Known::Nonnegative => sorted.factors.push((factor, multiplicity)),
                Known::Negative | Known::Nonpositive => {
                    negative ^= multiplicity % 2 != 0;
                    sorted.factors.push((factor.negated(), multiplicity));
                }
                Known::Unknown => open.push((factor, multiplicity)),
            }
        }
        // What may have either sign: even powers are those of the absolute
        // value; the odd ones leave their first powers together.
        let mut joint: Option<Polynomial> = None;
        let mut odd = 0;
        for (factor, multiplicity) in &open {
            let is_odd = multiplicity % 2 != 0;
            let even = multiplicity - i64::from(is_odd);
            if even != 0 && !(is_odd && open.len() == 1) {
                let absolute = self.absolute_polynomial(factor.clone())?;
                sorted.factors.push((absolute, even));
            }
            if is_odd {
                odd += 1;
                joint = Some(match joint {
                    Some(so_far) => so_far.times(factor, &mut self.budget)?,
                    None => factor.clone(),
                });
            }
        }
        match joint {
            None if negative => return Err(Failure::Undefined),
            None => {}
            Some(polynomial) => {
                let signed = if negative {
                    polynomial.negated()
                } else {
                    polynomial
                };
                let multiplicity = if odd == 1 && open.len() == 1 {
                    open[0].1
                } else {
                    1
                };
                sorted.factors.push((signed, multiplicity));
            }
        }
        Ok(sorted)
    }

    /// The absolute value of a polynomial of unknown sign, as a kernel.
    fn absolute_polynomial(&mut self, polynomial: Polynomial) -> Result<Polynomial, Failure> {
        // One sign for the pair P, -P.
        let polynomial = if polynomial
            .leading()
            .is_some_and(|(_, coefficient)| coefficient.is_negative())
        {
            polynomial.negated()
        } else {
            polynomial
        };
        let kernel = self
            .kernels
            .intern(Kernel::Absolute(polynomial), Known::Nonnegative);
        Ok(Polynomial::kernel(kernel))
    }

    /// `value` to a rational power.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for a root of something negative, or a limit.
    pub fn power(&mut self, value: &Normal, exponent: &Number) -> Result<Normal, Failure> {
        if exponent.is_zero() && value.is_zero() {
            return Err(Failure::Undefined);
        }
        if let Some(whole) = exponent.to_i64() {
            return self.whole_power(value, whole);
        }
        if value.is_zero() {
            return if exponent.is_negative() {
                Err(Failure::Undefined)
            } else {
                Ok(Normal::zero())
            };
        }
        let exponent = Exponent::from_number(exponent)?;
        let sorted = self.sorted(value)?;
        let mut result = self.number_power(&sorted.magnitude, exponent)?;
        for (kernel, own) in &sorted.kernels {
            let raised = self.kernel_power(*kernel, own.times(exponent)?)?;
            result = self.times(&result, &raised)?;
        }
        for (factor, multiplicity) in &sorted.factors {
            let total = Exponent::whole(*multiplicity)?.times(exponent)?;
            let raised = self.base_power(factor, total)?;
            result = self.times(&result, &raised)?;
        }
        Ok(result)
    }

    fn number_power(&mut self, number: &Number, exponent: Exponent) -> Result<Normal, Failure> {
        let mut result = Normal::number(Number::ONE);
        for (part, sign) in [(number.numerator(), 1), (number.denominator(), -1)] {
            if part.is_one() {
                continue;
            }
            for (prime, multiplicity) in part.factorise() {
                let total = Exponent::whole(sign * i64::from(multiplicity))?.times(exponent)?;
                let raised = self.base_power(&prime_base(prime), total)?;
                result = self.times(&result, &raised)?;
            }
        }
        Ok(result)
    }

    /// A kernel that isn't negative to any power.
    fn kernel_power(&mut self, kernel: KernelId, exponent: Exponent) -> Result<Normal, Failure> {
        let base = match self.kernels.kernel(kernel) {
            Kernel::Base(base) => base.clone(),
            Kernel::Absolute(base) => {
                let base = base.clone();
                // |P|^e with e outside [0, 2): whole pairs become P^2.
                let pairs =
                    Exponent::new(exponent.numerator(), 2 * exponent.denominator())?.floor();
                let rest = exponent.plus(Exponent::whole(-2 * pairs)?)?;
                let kernel_part = Normal::kernel_power_of(kernel, rest);
                let whole = self.polynomial_power(&base, 2 * pairs)?;
                return self.times(&kernel_part, &whole);
            }
            _ => return Ok(Normal::kernel_power_of(kernel, exponent)),
        };
        self.base_power(&base, exponent)
    }

    fn polynomial_power(&mut self, base: &Polynomial, exponent: i64) -> Result<Normal, Failure> {
        let value = self.quotient(base.clone(), Polynomial::one())?;
        self.whole_power(&value, exponent)
    }

    /// A polynomial that isn't negative to a rational power.
    fn base_power(&mut self, base: &Polynomial, exponent: Exponent) -> Result<Normal, Failure> {
        if let [(monomial, coefficient)] = base.terms()
            && coefficient.is_one()
            && monomial.factors().len() == 1
        {
            let (kernel, own) = monomial.factors()[0];
            if self.kernels.known(kernel) != Known::Unknown {
                return self.kernel_power(kernel, own.times(exponent)?);
            }
        }
        let whole = exponent.floor();
        let fraction = exponent.plus(Exponent::whole(-whole)?)?;
        let outside = self.polynomial_power(base, whole)?;
        if fraction.is_zero() {
            return Ok(outside);
        }
        let known = if base.as_constant().is_some()
            || self.kernels.polynomial_sign(base) == Known::Positive
        {
            Known::Positive
        } else {
            Known::Nonnegative
        };
        let kernel = self.kernels.intern(Kernel::Base(base.clone()), known);
        let root = Normal::kernel_power_of(kernel, fraction);
        self.times(&outside, &root)
    }

    /// The absolute value.
    ///
    /// # Errors
    /// A limit.
    pub fn absolute(&mut self, value: &Normal) -> Result<Normal, Failure> {
        if value.is_zero() {
            return Ok(Normal::zero());
        }
        let product = self.as_product(value)?;
        let mut result = Normal::number(product.coefficient.abs());
        for (kernel, exponent) in product.monomial.factors() {
            let part = match self.kernels.known(*kernel) {
                Known::Unknown if exponent.is_whole() && !exponent.is_even() => {
                    let absolute = self.absolute_polynomial(Polynomial::kernel(*kernel))?;
                    let value = self.quotient(absolute, Polynomial::one())?;
                    self.whole_power(&value, exponent.numerator())?
                }
                _ => Normal::kernel_power_of(*kernel, *exponent),
            };
            result = self.times(&result, &part)?;
        }
        for (factor, multiplicity) in product.factors {
            let base = match self.kernels.polynomial_sign(&factor) {
                Known::Positive | Known::Nonnegative => factor,
                Known::Negative | Known::Nonpositive => factor.negated(),
                Known::Unknown if multiplicity % 2 == 0 => factor,
                Known::Unknown => self.absolute_polynomial(factor)?,
            };
            let part = self.polynomial_power(&base, multiplicity)?;
            result = self.times(&result, &part)?;
        }
        Ok(result)
    }

    /// The natural logarithm.
    ///
    /// # Errors
    /// [`Failure::Undefined`] for zero or something negative, or a limit.
    pub fn logarithm(&mut self, value: &Normal) -> Result<Normal, Failure> {
        if value.is_zero() {
            return Err(Failure::Undefined);
        }
        let sorted = self.sorted(value)?;
        let mut sum = Normal::zero();
        for (part, sign) in [
            (sorted.magnitude.numerator(), 1),
            (sorted.magnitude.denominator(), -1),
        ] {
            if part.is_one() {
                continue;
            }
            for (prime, multiplicity) in part.factorise() {
                let count = Number::from(sign * i64::from(multiplicity));
                let term = self.logarithm_of_base(&prime_base(prime), &count)?;
                sum = self.plus(&sum, &term)?;
            }
        }
        for (kernel, exponent) in &sorted.kernels {
            let term = self.logarithm_of_kernel(*kernel, &exponent.to_number())?;
            sum = self.plus(&sum, &term)?;
        }
        for (factor, multiplicity) in &sorted.factors {
            let term = self.logarithm_of_base(factor, &Number::from(*multiplicity))?;
            sum = self.plus(&sum, &term)?;
        }
        Ok(sum)
    }

    /// `count * ln(kernel)`.
    fn logarithm_of_kernel(&mut self, kernel: KernelId, count: &Number) -> Result<Normal, Failure> {
        let factor = Normal::number(count.clone());
        match self.kernels.kernel(kernel) {
            Kernel::Euler => Ok(factor),
            Kernel::Exponential(argument) => {
                let argument = argument.clone();
                self.times(&factor, &argument)
            }
            Kernel::Base(base) => {
                let base = base.clone();
                self.logarithm_of_base(&base, count)
            }
            _ => {
                let known = if matches!(self.kernels.kernel(kernel), Kernel::Pi) {
                    Known::Positive
                } else {
                    Known::Unknown
                };
                let logarithm = self
                    .kernels
                    .intern(Kernel::Logarithm(Polynomial::kernel(kernel)), known);
                self.times(&factor, &Normal::kernel(logarithm))
            }
        }
    }

    /// `count * ln(base)`, the base being positive where defined.
    fn logarithm_of_base(&mut self, base: &Polynomial, count: &Number) -> Result<Normal, Failure> {
        if base.is_one() {
            return Ok(Normal::zero());
        }
        if let [(monomial, coefficient)] = base.terms()
            && coefficient.is_one()
            && monomial.factors().len() == 1
        {
            let (kernel, exponent) = monomial.factors()[0];
            return self.logarithm_of_kernel(kernel, &(count * &exponent.to_number()));
        }
        // The logarithm of a prime is positive.
        let known = if base.as_constant().is_some() {
            Known::Positive
        } else {
            Known::Unknown
        };
        let kernel = self.kernels.intern(Kernel::Logarithm(base.clone()), known);
        self.times(&Normal::number(count.clone()), &Normal::kernel(kernel))
    }

    /// `exp(count * ln(polynomial))`, that is its power.
    pub(super) fn power_of_logarithm(
        &mut self,
        polynomial: &Polynomial,
        count: &Number,
    ) -> Result<Normal, Failure> {
        let exponent = Exponent::from_number(count)?;
        self.base_power(polynomial, exponent)
    }
}
