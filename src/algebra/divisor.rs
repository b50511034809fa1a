//! Division, greatest common divisor and factors of polynomials.
//!
//! Everything here works on *plain* polynomials: whole exponents of zero or
//! more. [`Scaling`] turns any two Laurent polynomials into plain ones over
//! the same scaled kernels, and back.
//!
//! The divisor is found by primitive remainder sequences, variable by
//! variable (Brown 1971 describes the family). Physics gives it small
//! polynomials, for which this is faster than modular methods.

use super::exponent::Exponent;
use super::limits::{Budget, Exceeded};
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};

/// For every kernel, the factor by which exponents are multiplied to make
/// them whole.
#[derive(Debug, Clone, Default)]
pub struct Scaling(Vec<(KernelId, i64)>);

impl Scaling {
    /// The least scaling that makes all exponents of these polynomials whole.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if there is none of reasonable size.
    pub fn of(polynomials: &[&Polynomial]) -> Result<Self, Exceeded> {
        let mut scales: Vec<(KernelId, i64)> = Vec::new();
        for polynomial in polynomials {
            for (monomial, _) in polynomial.terms() {
                for (kernel, exponent) in monomial.factors() {
                    let denominator = exponent.denominator();
                    if denominator == 1 {
                        continue;
                    }
                    match scales.iter_mut().find(|(own, _)| own == kernel) {
                        Some((_, scale)) => {
                            *scale = lcm(*scale, denominator);
                            if *scale > 10_000 {
                                return Err(Exceeded::Bits);
                            }
                        }
                        None => scales.push((*kernel, denominator)),
                    }
                }
            }
        }
        Ok(Scaling(scales))
    }

    fn scale(&self, kernel: KernelId) -> i64 {
        self.0
            .iter()
            .find(|(own, _)| *own == kernel)
            .map_or(1, |(_, scale)| *scale)
    }

    /// The polynomial with whole exponents.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if an exponent does not fit.
    pub fn apply(&self, polynomial: &Polynomial) -> Result<Polynomial, Exceeded> {
        if self.0.is_empty() {
            return Ok(polynomial.clone());
        }
        polynomial
            .map_exponents(|kernel, exponent| exponent.times(Exponent::whole(self.scale(kernel))?))
    }

    /// The polynomial with the original exponents.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if an exponent does not fit.
    pub fn undo(&self, polynomial: &Polynomial) -> Result<Polynomial, Exceeded> {
        if self.0.is_empty() {
            return Ok(polynomial.clone());
        }
        polynomial
            .map_exponents(|kernel, exponent| exponent.times(Exponent::new(1, self.scale(kernel))?))
    }
}

fn lcm(a: i64, b: i64) -> i64 {
    let (mut x, mut y) = (a, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    a / x * b
}

/// Whether all exponents are whole and not negative.
#[must_use]
pub fn is_plain(polynomial: &Polynomial) -> bool {
    polynomial.terms().iter().all(|(monomial, _)| {
        monomial
            .factors()
            .iter()
            .all(|(_, exponent)| exponent.is_whole() && !exponent.is_negative())
    })
}

/// Quotient and remainder: `dividend = quotient * divisor + remainder`, no
/// term of the remainder divisible by the divisor's leading monomial.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
///
/// # Panics
/// If the divisor is zero.
pub fn divide(
    dividend: &Polynomial,
    divisor: &Polynomial,
    budget: &mut Budget,
) -> Result<(Polynomial, Polynomial), Exceeded> {
    divide_until(dividend, divisor, budget, false)
}

fn divide_until(
    dividend: &Polynomial,
    divisor: &Polynomial,
    budget: &mut Budget,
    exact_only: bool,
) -> Result<(Polynomial, Polynomial), Exceeded> {
    let (leading, coefficient) = divisor.leading().expect("the divisor is not zero");
    let inverse = coefficient.reciprocal().expect("coefficients are not zero");
    let mut quotient = Vec::new();
    let mut remainder = Vec::new();
    let mut rest = dividend.clone();
    while let Some((monomial, number)) = rest.leading() {
        if leading.divides(monomial) {
            budget.spend(divisor.len() as u64 + rest.len() as u64)?;
            let factor = monomial.times(&leading.reciprocal())?;
            let scale = number * &inverse;
            rest = rest.minus(&divisor.times_term(&factor, &scale)?)?;
            quotient.push((factor, scale));
        } else if exact_only {
            return Ok((Polynomial::zero(), rest));
        } else {
            budget.spend(rest.len() as u64)?;
            let mut terms = rest.into_terms();
            remainder.push(terms.remove(0));
            rest = Polynomial::from_terms(terms)?;
        }
    }
    Ok((
        Polynomial::from_terms(quotient)?,
        Polynomial::from_terms(remainder)?,
    ))
}

/// The quotient if the division leaves nothing over.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
///
/// # Panics
/// If the divisor is zero.
pub fn divide_exactly(
    dividend: &Polynomial,
    divisor: &Polynomial,
    budget: &mut Budget,
) -> Result<Option<Polynomial>, Exceeded> {
    let (quotient, remainder) = divide_until(dividend, divisor, budget, true)?;
    Ok(remainder.is_zero().then_some(quotient))
}

/// Whole coefficients without a common factor, the leading one positive, and
/// no common monomial.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn primitive(polynomial: &Polynomial) -> Result<Polynomial, Exceeded> {
    if polynomial.is_zero() {
        return Ok(Polynomial::zero());
    }
    let content = polynomial.numeric_content();
    let inverse = content.reciprocal().unwrap_or(Number::ONE);
    polynomial.times_term(&polynomial.monomial_content().reciprocal(), &inverse)
}

fn whole_only(polynomial: &Polynomial) -> Polynomial {
    let inverse = polynomial
        .numeric_content()
        .reciprocal()
        .unwrap_or(Number::ONE);
    polynomial.scaled(&inverse)
}

/// The greatest common divisor, primitive with a positive leading
/// coefficient.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn gcd(
    left: &Polynomial,
    right: &Polynomial,
    budget: &mut Budget,
) -> Result<Polynomial, Exceeded> {
    debug_assert!(is_plain(left) && is_plain(right));
    if left.is_zero() {
        return Ok(whole_only(right));
    }
    if right.is_zero() {
        return Ok(whole_only(left));
    }
    let common = left
        .monomial_content()
        .lower_bound(&right.monomial_content());
    let left = primitive(left)?;
    let right = primitive(right)?;
    let found = gcd_of_primitive(&left, &right, budget)?;
    found.times_term(&common, &Number::ONE)
}

fn gcd_of_primitive(
    left: &Polynomial,
    right: &Polynomial,
    budget: &mut Budget,
) -> Result<Polynomial, Exceeded> {
    budget.spend((left.len() + right.len()) as u64)?;
    if left.len() == 1 || right.len() == 1 {
        // Primitive and one term: a unit.
        return Ok(Polynomial::one());
    }
    if left == right {
        return Ok(left.clone());
    }
    let left_kernels = left.kernels();
    let right_kernels = right.kernels();
    if let Some(kernel) = left_kernels
        .iter()
        .find(|kernel| !right_kernels.contains(kernel))
    {
        return gcd_with_coefficients(left, *kernel, right, budget);
    }
    if let Some(kernel) = right_kernels
        .iter()
        .find(|kernel| !left_kernels.contains(kernel))
    {
        return gcd_with_coefficients(right, *kernel, left, budget);
    }
    let Some(main) = left_kernels
        .iter()
        .copied()
        .min_by_key(|kernel| degree(left, *kernel).max(degree(right, *kernel)))
    else {
        return Ok(Polynomial::one());
    };
    let (smaller, larger) = if degree(left, main) <= degree(right, main) {
        (left, right)
    } else {
        (right, left)
    };
    if divide_exactly(larger, smaller, budget)?.is_some() {
        return Ok(smaller.clone());
    }
    let smaller_content = content_in(smaller, main, budget)?;
    let larger_content = content_in(larger, main, budget)?;
    let content = gcd(&smaller_content, &larger_content, budget)?;
    let mut a = divide_exactly(larger, &larger_content, budget)?.unwrap_or_default();
    let mut b = divide_exactly(smaller, &smaller_content, budget)?.unwrap_or_default();
    let primitive_gcd = loop {
        if degree(&b, main) == 0 {
            break Polynomial::one();
        }
        if degree(&b, main) == 1 {
            // Linear and primitive in `main`, so irreducible.
            break if divide_exactly(&a, &b, budget)?.is_some() {
                b
            } else {
                Polynomial::one()
            };
        }
        let remainder = pseudo_remainder(&a, &b, main, budget)?;
        if remainder.is_zero() {
            break b;
        }
        a = b;
        let content = content_in(&remainder, main, budget)?;
        b = whole_only(&divide_exactly(&remainder, &content, budget)?.unwrap_or_default());
    };
    Ok(whole_only(&primitive_gcd.times(&content, budget)?))
}

fn gcd_with_coefficients(
    with: &Polynomial,
    kernel: KernelId,
    without: &Polynomial,
    budget: &mut Budget,
) -> Result<Polynomial, Exceeded> {
    let mut found = without.clone();
    for (_, coefficient) in with.by_powers(kernel) {
        found = gcd(&found, &coefficient, budget)?;
        if found.as_constant().is_some() {
            return Ok(Polynomial::one());
        }
    }
    Ok(found)
}

/// The degree in one kernel of a plain polynomial.
#[must_use]
pub fn degree(polynomial: &Polynomial, kernel: KernelId) -> i64 {
    polynomial
        .terms()
        .iter()
        .map(|(monomial, _)| monomial.exponent(kernel).numerator())
        .max()
        .unwrap_or(0)
}

/// The greatest common divisor of the coefficients, the polynomial being
/// read as one in `kernel` alone.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn content_in(
    polynomial: &Polynomial,
    kernel: KernelId,
    budget: &mut Budget,
) -> Result<Polynomial, Exceeded> {
    let mut found = Polynomial::zero();
    for (_, coefficient) in polynomial.by_powers(kernel) {
        found = gcd(&found, &coefficient, budget)?;
        if found.is_one() {
            break;
        }
    }
    Ok(found)
}

/// `lc(divisor)^k * dividend` reduced by the divisor in one kernel.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn pseudo_remainder(
    dividend: &Polynomial,
    divisor: &Polynomial,
    kernel: KernelId,
    budget: &mut Budget,
) -> Result<Polynomial, Exceeded> {
    let divisor_degree = degree(divisor, kernel);
    let (_, leading) = divisor.by_powers(kernel).swap_remove(0);
    let mut rest = dividend.clone();
    while !rest.is_zero() && degree(&rest, kernel) >= divisor_degree {
        let own_degree = degree(&rest, kernel);
        let (_, own_leading) = rest.by_powers(kernel).swap_remove(0);
        let shift = Monomial::power(kernel, Exponent::whole(own_degree - divisor_degree)?);
        let subtrahend = divisor
            .times_term(&shift, &Number::ONE)?
            .times(&own_leading, budget)?;
        rest = rest.times(&leading, budget)?.minus(&subtrahend)?;
    }
    Ok(rest)
}

/// The derivative with respect to one kernel of a plain polynomial.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn derivative(polynomial: &Polynomial, kernel: KernelId) -> Result<Polynomial, Exceeded> {
    let mut terms = Vec::new();
    for (monomial, coefficient) in polynomial.terms() {
        let exponent = monomial.exponent(kernel);
        if !exponent.is_zero() {
            terms.push((
                monomial.times(&Monomial::power(kernel, Exponent::whole(-1)?))?,
                coefficient * &exponent.to_number(),
            ));
        }
    }
    Polynomial::from_terms(terms)
}

/// The polynomial whose square this is, with a positive leading coefficient.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn square_root(
    polynomial: &Polynomial,
    budget: &mut Budget,
) -> Result<Option<Polynomial>, Exceeded> {
    let Some((monomial, coefficient)) = polynomial.leading() else {
        return Ok(Some(Polynomial::zero()));
    };
    if monomial.factors().iter().any(|(_, e)| !e.is_even()) {
        return Ok(None);
    }
    let Some(root) = coefficient.exact_root(2) else {
        return Ok(None);
    };
    let half = Exponent::new(1, 2)?;
    let leading = Polynomial::term(monomial.raised(half)?, root);
    let twice = leading.scaled(&Number::from(2));
    let (twice_monomial, twice_coefficient) = twice.leading().expect("not zero");
    let mut found = leading.clone();
    let mut rest = polynomial.minus(&leading.times(&leading, budget)?)?;
    let mut steps = 0;
    while let Some((monomial, coefficient)) = rest.leading() {
        steps += 1;
        if !twice_monomial.divides(monomial) || steps > polynomial.len() {
            return Ok(None);
        }
        let next = Polynomial::term(
            monomial.times(&twice_monomial.reciprocal())?,
            coefficient / twice_coefficient,
        );
        // (found + next)^2 = found^2 + next * (2 found + next)
        let change = next.times(&found.scaled(&Number::from(2)).plus(&next)?, budget)?;
        rest = rest.minus(&change)?;
        found = found.plus(&next)?;
    }
    Ok(Some(found))
}

/// Factors of a plain primitive polynomial with their multiplicities, each
/// primitive with a positive leading coefficient. Their product is the
/// polynomial up to sign. The factors are pairwise coprime and free of
/// squares; they are irreducible where the polynomial is linear or quadratic
/// in some kernel (or in a power of one), which is what physics needs, and
/// may be reducible otherwise. That costs completeness, never soundness.
///
/// # Errors
/// [`Exceeded`] beyond the limits.
pub fn factors(
    polynomial: &Polynomial,
    budget: &mut Budget,
) -> Result<Vec<(Polynomial, u32)>, Exceeded> {
    let mut found = Vec::new();
    for (square_free, multiplicity) in square_free_factors(&primitive(polynomial)?, budget)? {
        split(&square_free, multiplicity, &mut found, budget)?;
    }
    Ok(found)
}

fn square_free_factors(
    polynomial: &Polynomial,
    budget: &mut Budget,
) -> Result<Vec<(Polynomial, u32)>, Exceeded> {
    let mut found = Vec::new();
    let Some(&main) = polynomial.kernels().first() else {
        return Ok(found);
    };
    let content = content_in(polynomial, main, budget)?;
    let mut rest = polynomial.clone();
    if content.as_constant().is_none() {
        found.extend(square_free_factors(&content, budget)?);
        rest = divide_exactly(&rest, &content, budget)?.unwrap_or_default();
    }
    if degree(&rest, main) == 1 {
        found.push((whole_only(&rest), 1));
        return Ok(found);
    }
    // Yun's algorithm in the main kernel.
    let slope = derivative(&rest, main)?;
    let mut repeated = gcd(&rest, &slope, budget)?;
    let mut distinct = divide_exactly(&rest, &repeated, budget)?.unwrap_or_default();
    let mut multiplicity = 1;
    while degree(&distinct, main) > 0 {
        let next = gcd(&distinct, &repeated, budget)?;
        let factor = divide_exactly(&distinct, &next, budget)?.unwrap_or_default();
        if degree(&factor, main) > 0 {
            found.push((whole_only(&factor), multiplicity));
        }
        repeated = divide_exactly(&repeated, &next, budget)?.unwrap_or_default();
        distinct = next;
        multiplicity += 1;
    }
    Ok(found)
}

fn split(
    polynomial: &Polynomial,
    multiplicity: u32,
    found: &mut Vec<(Polynomial, u32)>,
    budget: &mut Budget,
) -> Result<(), Exceeded> {
    for kernel in polynomial.kernels() {
        let content = content_in(polynomial, kernel, budget)?;
        if content.as_constant().is_none() {
            let rest = divide_exactly(polynomial, &content, budget)?.unwrap_or_default();
            split(&content, multiplicity, found, budget)?;
            return split(&whole_only(&rest), multiplicity, found, budget);
        }
    }
    let kernels = polynomial.kernels();
    if kernels
        .iter()
        .any(|kernel| degree(polynomial, *kernel) == 1)
    {
        found.push((polynomial.clone(), multiplicity));
        return Ok(());
    }
    for kernel in kernels {
        let powers = polynomial.by_powers(kernel);
        let highest = degree(polynomial, kernel);
        if highest % 2 != 0
            || !powers
                .iter()
                .all(|(exponent, _)| [0, highest / 2, highest].contains(&exponent.numerator()))
        {
            continue;
        }
        // a y^2 + b y + c with y a power of the kernel.
        let part = |wanted: i64| {
            powers
                .iter()
                .find(|(exponent, _)| exponent.numerator() == wanted)
                .map_or_else(Polynomial::zero, |(_, coefficient)| coefficient.clone())
        };
        let (a, b, c) = (part(highest), part(highest / 2), part(0));
        let discriminant = b
            .times(&b, budget)?
            .minus(&a.times(&c, budget)?.scaled(&Number::from(4)))?;
        if let Some(root) = square_root(&discriminant, budget)? {
            let twice_a = a.scaled(&Number::from(2));
            let y = Monomial::power(kernel, Exponent::whole(highest / 2)?);
            let linear = twice_a.times_term(&y, &Number::ONE)?.plus(&b)?;
            let candidate = linear.plus(&root)?;
            let content = content_in(&candidate, kernel, budget)?;
            let first =
                whole_only(&divide_exactly(&candidate, &content, budget)?.unwrap_or_default());
            if let Some(second) = divide_exactly(polynomial, &first, budget)?
                && second.as_constant().is_none()
            {
                split(&first, multiplicity, found, budget)?;
                return split(&whole_only(&second), multiplicity, found, budget);
            }
        }
    }
    found.push((polynomial.clone(), multiplicity));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const X: KernelId = KernelId(0);
    const Y: KernelId = KernelId(1);
    const Z: KernelId = KernelId(2);

    fn poly(terms: &[(i64, [i64; 3])]) -> Polynomial {
        let mut list = Vec::new();
        for (coefficient, exponents) in terms {
            let mut monomial = Monomial::one();
            for (kernel, exponent) in [X, Y, Z].into_iter().zip(exponents) {
                monomial = monomial
                    .times(&Monomial::power(
                        kernel,
                        Exponent::whole(*exponent).unwrap(),
                    ))
                    .unwrap();
            }
            list.push((monomial, Number::from(*coefficient)));
        }
        Polynomial::from_terms(list).unwrap()
    }

    fn product(factors: &[&Polynomial]) -> Polynomial {
        let mut budget = Budget::default();
        factors.iter().fold(Polynomial::one(), |all, factor| {
            all.times(factor, &mut budget).unwrap()
        })
    }

    #[test]
    fn gcd_finds_the_common_factor() {
        let budget = &mut Budget::default();
        let a = poly(&[(1, [1, 0, 0]), (1, [0, 1, 0])]); // x + y
        let b = poly(&[(1, [1, 0, 0]), (-1, [0, 1, 0])]); // x - y
        let c = poly(&[(2, [2, 0, 0]), (3, [0, 1, 1]), (1, [0, 0, 0])]);
        let d = poly(&[(1, [0, 0, 2]), (5, [1, 1, 0])]);
        for common in [&a, &c, &product(&[&a, &c]), &product(&[&a, &a, &d])] {
            let left = product(&[common, &b]);
            let right = product(&[common, &d, &d]);
            let found = gcd(&left, &right, budget).unwrap();
            assert!(
                divide_exactly(&found, &primitive(common).unwrap(), budget)
                    .unwrap()
                    .is_some()
            );
            assert!(divide_exactly(&left, &found, budget).unwrap().is_some());
            assert!(divide_exactly(&right, &found, budget).unwrap().is_some());
        }
        assert!(gcd(&a, &b, budget).unwrap().is_one());
    }

    #[test]
    fn gcd_keeps_common_monomials() {
        let budget = &mut Budget::default();
        let left = poly(&[(4, [2, 1, 0]), (6, [1, 2, 0])]);
        let right = poly(&[(2, [1, 1, 1])]);
        assert_eq!(gcd(&left, &right, budget).unwrap(), poly(&[(1, [1, 1, 0])]));
    }

    #[test]
    fn division_with_remainder() {
        let budget = &mut Budget::default();
        let dividend = poly(&[(1, [2, 0, 0]), (1, [0, 0, 0])]);
        let divisor = poly(&[(1, [1, 0, 0]), (1, [0, 1, 0])]);
        let (quotient, remainder) = divide(&dividend, &divisor, budget).unwrap();
        let back = quotient
            .times(&divisor, budget)
            .unwrap()
            .plus(&remainder)
            .unwrap();
        assert_eq!(back, dividend);
        assert!(
            divide_exactly(&dividend, &divisor, budget)
                .unwrap()
                .is_none()
        );
    }

    #[test]
    fn roots_of_squares_only() {
        let budget = &mut Budget::default();
        let root = poly(&[(2, [1, 0, 0]), (-3, [0, 1, 0]), (1, [0, 0, 1])]);
        let square = product(&[&root, &root]);
        assert_eq!(square_root(&square, budget).unwrap(), Some(root));
        let other = square.plus(&poly(&[(1, [0, 0, 0])])).unwrap();
        assert_eq!(square_root(&other, budget).unwrap(), None);
    }

    #[test]
    fn difference_of_squares_splits() {
        let budget = &mut Budget::default();
        let square = poly(&[(1, [2, 0, 0]), (-1, [0, 2, 0])]);
        let fourth = poly(&[(1, [4, 0, 0]), (-1, [0, 4, 0])]);
        let sum = poly(&[(1, [2, 0, 0]), (1, [0, 2, 0])]);
        assert_eq!(factors(&square, budget).unwrap().len(), 2);
        assert_eq!(factors(&fourth, budget).unwrap().len(), 3);
        assert_eq!(factors(&sum, budget).unwrap(), vec![(sum.clone(), 1)]);
        let cubed = product(&[&sum, &sum, &sum, &square]);
        let found = factors(&cubed, budget).unwrap();
        assert!(found.contains(&(sum, 3)));
        assert_eq!(found.len(), 3);
    }
}
