//! Multiplying out, as far as the subject needs it: brackets that do not hold
//! the subject stay closed.

use crate::algebra::expr::{Expr, Sign};
use crate::algebra::limits::{Budget, Exceeded, MAX_TERMS};
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

use super::monomial::{Monomial, sign_product};
use super::tidy::{Tidy, plain_number, terms_of};

/// The highest power of a bracket that is multiplied out.
const HIGHEST_POWER: i64 = 8;

/// What is multiplied out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Brackets that hold the subject.
    Around(Symbol),
    /// All brackets.
    Everything,
}

impl Reach {
    fn opens(self, expr: &Expr) -> bool {
        match self {
            Reach::Around(symbol) => expr.contains(symbol),
            Reach::Everything => true,
        }
    }
}

/// The terms of `expr` multiplied out, like terms joined.
///
/// # Errors
/// [`Exceeded`] if it grows beyond the limits.
pub fn expand(
    expr: &Expr,
    reach: Reach,
    tidy: &Tidy,
    budget: &mut Budget,
) -> Result<Vec<Monomial>, Exceeded> {
    let mut found = Vec::new();
    for term in terms_of(expr) {
        let own = tidy.monomial(&term.value)?;
        for mut part in open(own, reach, tidy, budget)? {
            part.sign = sign_product(part.sign, term.sign);
            budget.spend(4 * found.len() as u64)?;
            gather(&mut found, part);
        }
    }
    budget.spend(found.len() as u64)?;
    Ok(found)
}

fn open(
    monomial: Monomial,
    reach: Reach,
    tidy: &Tidy,
    budget: &mut Budget,
) -> Result<Vec<Monomial>, Exceeded> {
    let mut rest = Monomial::number(&monomial.coefficient);
    rest.sign = monomial.sign;
    let mut opened: Vec<(Expr, i64)> = Vec::new();
    for (base, exponent) in monomial.factors {
        match (&base, exponent.to_i64()) {
            (Expr::Sum(_), Some(power)) if power > 0 && reach.opens(&base) => {
                if power > HIGHEST_POWER {
                    return Err(Exceeded::Terms);
                }
                opened.push((base, power));
            }
            (Expr::Power(inner, power), _)
                if reach.opens(power) && !matches!(plain_number(power), Expr::Number(_)) =>
            {
                // a^(2x - b) = (a^x)^2 (a^b)^(-1): one kernel for one letter.
                for part in expand(power, reach, tidy, budget)? {
                    let scale = signed(&part);
                    let mut unit = part;
                    unit.sign = Sign::Plus;
                    unit.coefficient = Number::ONE;
                    let atom = Expr::pow((**inner).clone(), tidy.build(&unit));
                    let mut own = Monomial::number(&Number::ONE);
                    own.factors.push((atom, &exponent * &scale));
                    rest = rest.times(&own);
                }
            }
            _ => {
                let mut own = Monomial::number(&Number::ONE);
                own.factors.push((base, exponent));
                rest = rest.times(&own);
            }
        }
    }
    let mut product = vec![rest];
    for (base, power) in opened {
        let parts = expand(&base, reach, tidy, budget)?;
        for _ in 0..power {
            product = multiply(&product, &parts, budget)?;
        }
    }
    Ok(product)
}

/// The coefficient with its sign.
#[must_use]
pub fn signed(monomial: &Monomial) -> Number {
    if monomial.sign == Sign::Minus {
        -&monomial.coefficient
    } else {
        monomial.coefficient.clone()
    }
}

/// The product of two sums, like terms joined.
///
/// # Errors
/// [`Exceeded`] if it grows beyond the limits.
pub fn multiply(
    left: &[Monomial],
    right: &[Monomial],
    budget: &mut Budget,
) -> Result<Vec<Monomial>, Exceeded> {
    budget.spend((left.len() * right.len()) as u64 * 4)?;
    let mut found = Vec::new();
    for one in left {
        for other in right {
            gather(&mut found, one.times(other));
        }
        if found.len() > MAX_TERMS {
            return Err(Exceeded::Terms);
        }
    }
    Ok(found)
}

/// Adds a term to a sum, joined with the like one if there is one.
pub fn gather(sum: &mut Vec<Monomial>, term: Monomial) {
    if term.is_zero() {
        return;
    }
    let doubled = |sign| matches!(sign, Sign::PlusMinus | Sign::MinusPlus);
    if let Some(place) = sum
        .iter()
        .position(|other| other.is_like(&term) && doubled(other.sign) == doubled(term.sign))
    {
        let other = &mut sum[place];
        if other.sign == term.sign {
            other.coefficient = &other.coefficient + &term.coefficient;
        } else if other.coefficient > term.coefficient {
            other.coefficient = &other.coefficient - &term.coefficient;
        } else if other.coefficient == term.coefficient {
            sum.remove(place);
        } else {
            other.coefficient = &term.coefficient - &other.coefficient;
            other.sign = term.sign;
        }
    } else {
        sum.push(term);
    }
}

/// The largest monomial that divides every term: the content. Its sign is
/// plus. The bases keep the order of the first term.
#[must_use]
pub fn content(terms: &[Monomial]) -> Monomial {
    let Some((first, rest)) = terms.split_first() else {
        return Monomial::number(&Number::ONE);
    };
    let mut common = first.clone();
    common.sign = Sign::Plus;
    for term in rest {
        common.coefficient = common_measure(&common.coefficient, &term.coefficient);
        // A base that is missing counts as exponent zero, so that a
        // denominator of one term is taken out of all.
        for (base, exponent) in &mut common.factors {
            let other = term.exponent(base).cloned().unwrap_or(Number::ZERO);
            if other < *exponent {
                *exponent = other;
            }
        }
        for (base, exponent) in &term.factors {
            if exponent.is_negative() && common.exponent(base).is_none() {
                common.factors.push((base.clone(), exponent.clone()));
            }
        }
        common.factors.retain(|(_, exponent)| !exponent.is_zero());
    }
    common
}

/// The largest number of which both are whole multiples.
#[must_use]
pub fn common_measure(left: &Number, right: &Number) -> Number {
    let (mut a, mut b) = (left.abs(), right.abs());
    // Euclid on fractions; each round at least halves the larger one.
    for _ in 0..400 {
        if b.is_zero() {
            return a;
        }
        let Some(times) = (&a / &b).floor() else {
            return Number::ONE;
        };
        let left_over = &a - &(&b * &Number::from(times));
        a = b;
        b = left_over;
    }
    Number::ONE
}
