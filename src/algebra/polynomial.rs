//! Sparse multivariate polynomials with exact rational coefficients.
//!
//! The variables are kernels, known here by number only. Exponents may be
//! rational and negative (a Laurent polynomial): products of physics are then
//! single terms, and no common denominator is needed for them. Division and
//! the greatest common divisor ([`super::divisor`]) first scale to whole
//! exponents.

use std::cmp::Ordering;

use smallvec::SmallVec;

use super::exponent::Exponent;
use super::limits::{Budget, Exceeded, MAX_TERMS};
use super::number::Number;

/// A kernel by its number in the table that owns it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KernelId(pub u32);

/// A product of powers of kernels.
///
/// Invariant: sorted by kernel, no exponent zero.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Monomial(SmallVec<[(KernelId, Exponent); 4]>);

impl Monomial {
    /// The empty product.
    #[must_use]
    pub fn one() -> Self {
        Monomial(SmallVec::new())
    }

    /// One kernel to a power.
    #[must_use]
    pub fn power(kernel: KernelId, exponent: Exponent) -> Self {
        let mut factors = SmallVec::new();
        if !exponent.is_zero() {
            factors.push((kernel, exponent));
        }
        Monomial(factors)
    }

    /// The factors in the order of their kernels.
    #[must_use]
    pub fn factors(&self) -> &[(KernelId, Exponent)] {
        &self.0
    }

    /// Whether it is the empty product.
    #[must_use]
    pub fn is_one(&self) -> bool {
        self.0.is_empty()
    }

    /// The exponent of a kernel, zero where it is absent.
    #[must_use]
    pub fn exponent(&self, kernel: KernelId) -> Exponent {
        self.0
            .iter()
            .find(|(own, _)| *own == kernel)
            .map_or(Exponent::ZERO, |(_, exponent)| *exponent)
    }

    /// Multiplies a power of a kernel in.
    pub(super) fn multiply_in(
        &mut self,
        kernel: KernelId,
        exponent: Exponent,
    ) -> Result<(), Exceeded> {
        let at = self.0.partition_point(|(own, _)| *own < kernel);
        match self.0.get_mut(at) {
            Some((own, so_far)) if *own == kernel => {
                *so_far = so_far.plus(exponent)?;
                if so_far.is_zero() {
                    self.0.remove(at);
                }
            }
            _ if exponent.is_zero() => {}
            _ => self.0.insert(at, (kernel, exponent)),
        }
        Ok(())
    }

    /// The product of two.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if an exponent does not fit.
    pub fn times(&self, other: &Self) -> Result<Self, Exceeded> {
        if other.is_one() {
            return Ok(self.clone());
        }
        let mut factors = SmallVec::with_capacity(self.0.len() + other.0.len());
        let (mut i, mut j) = (0, 0);
        while i < self.0.len() && j < other.0.len() {
            let (left, right) = (self.0[i], other.0[j]);
            match left.0.cmp(&right.0) {
                Ordering::Less => {
                    factors.push(left);
                    i += 1;
                }
                Ordering::Greater => {
                    factors.push(right);
                    j += 1;
                }
                Ordering::Equal => {
                    let sum = left.1.plus(right.1)?;
                    if !sum.is_zero() {
                        factors.push((left.0, sum));
                    }
                    i += 1;
                    j += 1;
                }
            }
        }
        factors.extend_from_slice(&self.0[i..]);
        factors.extend_from_slice(&other.0[j..]);
        Ok(Monomial(factors))
    }

    /// The monomial raised to a rational power.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if an exponent does not fit.
    pub fn raised(&self, exponent: Exponent) -> Result<Self, Exceeded> {
        let mut factors = SmallVec::with_capacity(self.0.len());
        if exponent.is_zero() {
            return Ok(Monomial(factors));
        }
        if exponent == Exponent::ONE {
            return Ok(self.clone());
        }
        for (kernel, own) in &self.0 {
            factors.push((*kernel, own.times(exponent)?));
        }
        Ok(Monomial(factors))
    }

    /// One over it.
    #[must_use]
    pub fn reciprocal(&self) -> Self {
        Monomial(
            self.0
                .iter()
                .map(|(kernel, exponent)| (*kernel, exponent.negated()))
                .collect(),
        )
    }

    /// Without the given kernel.
    #[must_use]
    pub fn without(&self, kernel: KernelId) -> Self {
        Monomial(
            self.0
                .iter()
                .filter(|(own, _)| *own != kernel)
                .copied()
                .collect(),
        )
    }

    /// Keeps the factors for which `keep` holds.
    #[must_use]
    pub fn filtered(&self, mut keep: impl FnMut(KernelId, Exponent) -> bool) -> Self {
        Monomial(
            self.0
                .iter()
                .filter(|(kernel, exponent)| keep(*kernel, *exponent))
                .copied()
                .collect(),
        )
    }

    /// The kernel-wise smaller exponents of two (absent counts as zero).
    #[must_use]
    pub fn lower_bound(&self, other: &Self) -> Self {
        let mut factors: SmallVec<[(KernelId, Exponent); 4]> = SmallVec::new();
        for (kernel, exponent) in &self.0 {
            let least = (*exponent).min(other.exponent(*kernel));
            if !least.is_zero() {
                factors.push((*kernel, least));
            }
        }
        for (kernel, exponent) in &other.0 {
            if exponent.is_negative() && self.exponent(*kernel).is_zero() {
                factors.push((*kernel, *exponent));
            }
        }
        factors.sort_unstable_by_key(|(kernel, _)| *kernel);
        Monomial(factors)
    }

    /// Whether every exponent of `self` is at most that of `other`.
    #[must_use]
    pub fn divides(&self, other: &Self) -> bool {
        self.0
            .iter()
            .all(|(kernel, exponent)| *exponent <= other.exponent(*kernel))
            && other.0.iter().all(|(kernel, exponent)| {
                !exponent.is_negative() || self.exponent(*kernel) <= *exponent
            })
    }
}

impl PartialOrd for Monomial {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Lexicographic, the lowest kernel number being the main variable. It is
/// compatible with multiplication for rational and negative exponents too.
impl Ord for Monomial {
    fn cmp(&self, other: &Self) -> Ordering {
        let (mut i, mut j) = (0, 0);
        loop {
            match (self.0.get(i), other.0.get(j)) {
                (None, None) => return Ordering::Equal,
                (Some((_, exponent)), None) => return exponent.cmp(&Exponent::ZERO),
                (None, Some((_, exponent))) => return Exponent::ZERO.cmp(exponent),
                (Some((left, a)), Some((right, b))) => match left.cmp(right) {
                    Ordering::Less => return a.cmp(&Exponent::ZERO),
                    Ordering::Greater => return Exponent::ZERO.cmp(b),
                    Ordering::Equal => match a.cmp(b) {
                        Ordering::Equal => {
                            i += 1;
                            j += 1;
                        }
                        unequal => return unequal,
                    },
                },
            }
        }
    }
}

/// A sparse polynomial.
///
/// Invariant: terms in strictly descending order of monomials, no coefficient
/// zero. Two polynomials over one table of kernels are equal if and only if
/// their representations are.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Polynomial(Vec<(Monomial, Number)>);

impl Polynomial {
    /// Zero.
    #[must_use]
    pub fn zero() -> Self {
        Polynomial(Vec::new())
    }

    /// One.
    #[must_use]
    pub fn one() -> Self {
        Self::constant(Number::ONE)
    }

    /// A constant.
    #[must_use]
    pub fn constant(value: Number) -> Self {
        Self::term(Monomial::one(), value)
    }

    /// One term.
    #[must_use]
    pub fn term(monomial: Monomial, coefficient: Number) -> Self {
        if coefficient.is_zero() {
            Self::zero()
        } else {
            Polynomial(vec![(monomial, coefficient)])
        }
    }

    /// One kernel.
    #[must_use]
    pub fn kernel(kernel: KernelId) -> Self {
        Self::term(Monomial::power(kernel, Exponent::ONE), Number::ONE)
    }

    /// The polynomial of these terms, in any order and with repetitions.
    ///
    /// # Errors
    /// [`Exceeded`] beyond the limits of terms and bits.
    pub fn from_terms(mut terms: Vec<(Monomial, Number)>) -> Result<Self, Exceeded> {
        if terms.len() > 1 {
            terms.sort_by(|left, right| right.0.cmp(&left.0));
            let mut write = 0;
            for read in 1..terms.len() {
                if terms[write].0 == terms[read].0 {
                    let sum = &terms[write].1 + &terms[read].1;
                    terms[write].1 = sum;
                } else {
                    if !terms[write].1.is_zero() {
                        write += 1;
                    }
                    terms.swap(write, read);
                }
            }
            if !terms[write].1.is_zero() {
                write += 1;
            }
            terms.truncate(write);
        } else {
            terms.retain(|(_, coefficient)| !coefficient.is_zero());
        }
        Polynomial(terms).checked()
    }

    fn checked(self) -> Result<Self, Exceeded> {
        if self.0.len() > MAX_TERMS {
            return Err(Exceeded::Terms);
        }
        for (_, coefficient) in &self.0 {
            if coefficient.to_i64_pair().is_none() && coefficient.bits() > super::limits::MAX_BITS {
                return Err(Exceeded::Bits);
            }
        }
        debug_assert!(self.is_canonical());
        Ok(self)
    }

    /// Whether the invariant holds.
    #[must_use]
    pub fn is_canonical(&self) -> bool {
        self.0.windows(2).all(|pair| pair[0].0 > pair[1].0)
            && self.0.iter().all(|(_, coefficient)| !coefficient.is_zero())
    }

    /// The terms, largest monomial first.
    #[must_use]
    pub fn terms(&self) -> &[(Monomial, Number)] {
        &self.0
    }

    /// The terms by value.
    #[must_use]
    pub fn into_terms(self) -> Vec<(Monomial, Number)> {
        self.0
    }

    /// How many terms there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether it is zero, the polynomial without terms.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether it is one.
    #[must_use]
    pub fn is_one(&self) -> bool {
        self.0.len() == 1 && self.0[0].0.is_one() && self.0[0].1.is_one()
    }

    /// The constant, if it is one.
    #[must_use]
    pub fn as_constant(&self) -> Option<Number> {
        match self.0.as_slice() {
            [] => Some(Number::ZERO),
            [(monomial, coefficient)] if monomial.is_one() => Some(coefficient.clone()),
            _ => None,
        }
    }

    /// The largest monomial and its coefficient.
    #[must_use]
    pub fn leading(&self) -> Option<(&Monomial, &Number)> {
        self.0.first().map(|(monomial, number)| (monomial, number))
    }

    /// Sum.
    ///
    /// # Errors
    /// [`Exceeded`] beyond the limits.
    pub fn plus(&self, other: &Self) -> Result<Self, Exceeded> {
        if self.is_zero() {
            return Ok(other.clone());
        }
        if other.is_zero() {
            return Ok(self.clone());
        }
        let mut sum = Vec::with_capacity(self.0.len() + other.0.len());
        let (mut left, mut right) = (self.0.iter().peekable(), other.0.iter().peekable());
        while let (Some(a), Some(b)) = (left.peek(), right.peek()) {
            match a.0.cmp(&b.0) {
                Ordering::Greater => sum.extend(left.next().cloned()),
                Ordering::Less => sum.extend(right.next().cloned()),
                Ordering::Equal => {
                    let coefficient = &a.1 + &b.1;
                    if !coefficient.is_zero() {
                        sum.push((a.0.clone(), coefficient));
                    }
                    left.next();
                    right.next();
                }
            }
        }
        sum.extend(left.cloned());
        sum.extend(right.cloned());
        Polynomial(sum).checked()
    }

    /// Difference.
    ///
    /// # Errors
    /// [`Exceeded`] beyond the limits.
    pub fn minus(&self, other: &Self) -> Result<Self, Exceeded> {
        self.plus(&other.negated())
    }

    /// The opposite.
    #[must_use]
    pub fn negated(&self) -> Self {
        Polynomial(
            self.0
                .iter()
                .map(|(monomial, coefficient)| (monomial.clone(), -coefficient))
                .collect(),
        )
    }

    /// Every coefficient times a number.
    #[must_use]
    pub fn scaled(&self, factor: &Number) -> Self {
        if factor.is_zero() {
            return Self::zero();
        }
        if factor.is_one() {
            return self.clone();
        }
        Polynomial(
            self.0
                .iter()
                .map(|(monomial, coefficient)| (monomial.clone(), coefficient * factor))
                .collect(),
        )
    }

    /// Every term times one term. The order of terms does not change.
    ///
    /// # Errors
    /// [`Exceeded::Bits`] if an exponent does not fit.
    pub fn times_term(&self, monomial: &Monomial, coefficient: &Number) -> Result<Self, Exceeded> {
        if coefficient.is_zero() {
            return Ok(Self::zero());
        }
        let mut terms = Vec::with_capacity(self.0.len());
        for (own, number) in &self.0 {
            terms.push((
                if monomial.is_one() {
                    own.clone()
                } else {
                    own.times(monomial)?
                },
                if coefficient.is_one() {
                    number.clone()
                } else {
                    number * coefficient
                },
            ));
        }
        Polynomial(terms).checked()
    }

    /// Product.
    ///
    /// # Errors
    /// [`Exceeded`] beyond the limits.
    pub fn times(&self, other: &Self, budget: &mut Budget) -> Result<Self, Exceeded> {
        budget.spend((self.0.len() as u64) * (other.0.len() as u64) + 1)?;
        match (self.0.as_slice(), other.0.as_slice()) {
            ([], _) | (_, []) => Ok(Self::zero()),
            ([(monomial, coefficient)], _) => other.times_term(monomial, coefficient),
            (_, [(monomial, coefficient)]) => self.times_term(monomial, coefficient),
            _ => {
                if self.0.len() * other.0.len() > 16 * MAX_TERMS {
                    return Err(Exceeded::Terms);
                }
                let mut terms = Vec::with_capacity(self.0.len() * other.0.len());
                for (left, a) in &self.0 {
                    for (right, b) in &other.0 {
                        terms.push((left.times(right)?, a * b));
                    }
                }
                Self::from_terms(terms)
            }
        }
    }

    /// A whole power of zero or more.
    ///
    /// # Errors
    /// [`Exceeded`] beyond the limits.
    pub fn raised(&self, mut exponent: u32, budget: &mut Budget) -> Result<Self, Exceeded> {
        if let [(monomial, coefficient)] = self.0.as_slice() {
            return Ok(Self::term(
                monomial.raised(Exponent::whole(i64::from(exponent))?)?,
                coefficient.pow(i64::from(exponent))?,
            ));
        }
        if exponent as usize > MAX_TERMS {
            return Err(Exceeded::Terms);
        }
        let mut result = Self::one();
        let mut square = self.clone();
        loop {
            if exponent & 1 == 1 {
                result = result.times(&square, budget)?;
            }
            exponent >>= 1;
            if exponent == 0 {
                return Ok(result);
            }
            square = square.times(&square, budget)?;
        }
    }

    /// The kernel-wise least exponents over all terms: the largest monomial
    /// (negative exponents included) that can be taken out of every term.
    #[must_use]
    pub fn monomial_content(&self) -> Monomial {
        let mut terms = self.0.iter();
        let Some((first, _)) = terms.next() else {
            return Monomial::one();
        };
        let mut content = first.clone();
        for (monomial, _) in terms {
            content = content.lower_bound(monomial);
        }
        content
    }

    /// The positive number that makes the coefficients whole with no common
    /// factor when divided by, signed so that the leading coefficient becomes
    /// positive.
    #[must_use]
    pub fn numeric_content(&self) -> Number {
        let Some((_, leading)) = self.leading() else {
            return Number::ONE;
        };
        if self.0.len() == 1 {
            return leading.clone();
        }
        let mut numerator = Number::ZERO;
        let mut denominator = Number::ONE;
        for (_, coefficient) in &self.0 {
            numerator = integer_gcd(&numerator, &coefficient.numerator());
            let own = coefficient.denominator();
            let common = integer_gcd(&denominator, &own);
            denominator = &(&denominator / &common) * &own;
        }
        let content = &numerator / &denominator;
        if leading.is_negative() {
            -&content
        } else {
            content
        }
    }

    /// The kernels that appear, in their order.
    #[must_use]
    pub fn kernels(&self) -> Vec<KernelId> {
        let mut found: Vec<KernelId> = Vec::new();
        for (monomial, _) in &self.0 {
            for (kernel, _) in monomial.factors() {
                if !found.contains(kernel) {
                    found.push(*kernel);
                }
            }
        }
        found.sort_unstable();
        found
    }

    /// Whether a kernel appears.
    #[must_use]
    pub fn contains(&self, kernel: KernelId) -> bool {
        self.0
            .iter()
            .any(|(monomial, _)| !monomial.exponent(kernel).is_zero())
    }

    /// The coefficients by powers of one kernel, highest power first.
    #[must_use]
    pub fn by_powers(&self, kernel: KernelId) -> Vec<(Exponent, Polynomial)> {
        let mut groups: Vec<(Exponent, Vec<(Monomial, Number)>)> = Vec::new();
        for (monomial, coefficient) in &self.0 {
            let exponent = monomial.exponent(kernel);
            let rest = (monomial.without(kernel), coefficient.clone());
            match groups.iter_mut().find(|(own, _)| *own == exponent) {
                Some((_, terms)) => terms.push(rest),
                None => groups.push((exponent, vec![rest])),
            }
        }
        groups.sort_by_key(|group| std::cmp::Reverse(group.0));
        groups
            .into_iter()
            .map(|(exponent, mut terms)| {
                // Taking one kernel out can change the order of what is left.
                terms.sort_by(|left, right| right.0.cmp(&left.0));
                (exponent, Polynomial(terms))
            })
            .collect()
    }

    /// Every exponent of every kernel changed by `change`, which must keep
    /// different monomials different.
    ///
    /// # Errors
    /// What `change` gives.
    pub fn map_exponents(
        &self,
        mut change: impl FnMut(KernelId, Exponent) -> Result<Exponent, Exceeded>,
    ) -> Result<Self, Exceeded> {
        let mut terms = Vec::with_capacity(self.0.len());
        for (monomial, coefficient) in &self.0 {
            let mut factors = SmallVec::new();
            for (kernel, exponent) in monomial.factors() {
                let changed = change(*kernel, *exponent)?;
                if !changed.is_zero() {
                    factors.push((*kernel, changed));
                }
            }
            terms.push((Monomial(factors), coefficient.clone()));
        }
        Self::from_terms(terms)
    }
}

/// The greatest common divisor of two whole numbers, not negative.
#[must_use]
pub fn integer_gcd(left: &Number, right: &Number) -> Number {
    if let (Some(a), Some(b)) = (left.to_i64(), right.to_i64()) {
        let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        return Number::from(i64::try_from(a).unwrap_or(i64::MAX));
    }
    let (mut a, mut b) = (left.abs(), right.abs());
    while !b.is_zero() {
        let quotient = &a / &b;
        let whole = quotient.floor_number();
        let rest = &a - &(&whole * &b);
        (a, b) = (b, rest);
    }
    a
}
