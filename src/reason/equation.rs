//! The relation of two equations: does one line say the same as another?
//!
//! Both are moved to one side and brought to numerators over kernels; factors
//! that cannot vanish on the domain are dropped. What is left is compared by
//! greatest common divisor; where roots or functions hide a common factor,
//! one equation's solutions are put into the other. Numbers certify that a
//! solution is gained or lost.

use crate::algebra::divisor::{self, Scaling};
use crate::algebra::expr::{Equation, Expr, Sign, Term};
use crate::algebra::kernel::{Failure, Kernel, Known};
use crate::algebra::normal::Field;
use crate::algebra::normalise::proved_equal;
use crate::algebra::number::Number;
use crate::algebra::polynomial::Polynomial;
use crate::algebra::symbol::SymbolTable;

use super::carrier::{Carrier, Point};
use super::compare::{self, Compared};
use super::verdict::{Counterexample, Evidence, Undecided};

/// How the solutions of a second equation stand to those of a first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// The same solutions on the domain.
    Same,
    /// All of the first and more.
    Gains,
    /// Only some of the first.
    Loses,
    /// Neither contains the other.
    Different,
    /// Not known.
    Undecided(Undecided),
}

/// A relation with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Related {
    /// The relation.
    pub relation: Relation,
    /// Proof for the same, a point for the others.
    pub evidence: Option<Evidence>,
}

impl Related {
    fn new(relation: Relation, evidence: Option<Evidence>) -> Self {
        Related { relation, evidence }
    }
}

/// Whether one set of solutions lies in another.
#[derive(Debug, Clone, PartialEq)]
enum Within {
    Proved,
    Refuted(Box<Counterexample>),
    /// Certified numbers agree at so many points to so many digits.
    Numerical(usize, u32),
    Open,
}

/// How the solutions of `after` stand to those of `before`. Chains of more
/// than two sides are several equations at once, all of which must hold.
#[must_use]
pub fn relate(before: &[Equation], after: &[Equation], table: &SymbolTable) -> Related {
    if before.is_empty() || after.is_empty() {
        return Related::new(Relation::Undecided(Undecided::Open), None);
    }
    if before.len() == 1 && after.len() == 1 {
        if let Some(related) = by_factors(&before[0], &after[0], table) {
            return related;
        }
        let forward = within(&before[0], &after[0], table);
        let backward = within(&after[0], &before[0], table);
        return combine(forward, backward);
    }
    relate_chains(before, after, table)
}

/// Chains: every equation of one must follow from some equation of the other,
/// which settles the usual case; the rest is left open.
fn relate_chains(before: &[Equation], after: &[Equation], table: &SymbolTable) -> Related {
    let covers = |from: &[Equation], to: &[Equation]| -> Within {
        let mut weakest = Within::Proved;
        for target in to {
            let mut best = Within::Open;
            for source in from {
                match within(source, target, table) {
                    Within::Proved => {
                        best = Within::Proved;
                        break;
                    }
                    // One equation refutes only if it is the whole chain.
                    Within::Refuted(found) if from.len() == 1 => best = Within::Refuted(found),
                    Within::Numerical(points, digits) => best = Within::Numerical(points, digits),
                    _ => {}
                }
            }
            match best {
                Within::Proved => {}
                refuted @ Within::Refuted(_) => return refuted,
                other => weakest = other,
            }
        }
        weakest
    };
    combine(covers(before, after), covers(after, before))
}

fn combine(forward: Within, backward: Within) -> Related {
    let point = |found: Box<Counterexample>| Some(Evidence::Counterexample(found));
    match (forward, backward) {
        (Within::Proved, Within::Proved) => Related::new(Relation::Same, Some(Evidence::Proof)),
        (Within::Proved | Within::Numerical(..), Within::Refuted(found)) => {
            Related::new(Relation::Gains, point(found))
        }
        (Within::Refuted(found), Within::Proved | Within::Numerical(..)) => {
            Related::new(Relation::Loses, point(found))
        }
        (Within::Refuted(found), Within::Refuted(_)) => {
            Related::new(Relation::Different, point(found))
        }
        (Within::Numerical(points, digits), Within::Numerical(..) | Within::Proved)
        | (Within::Proved, Within::Numerical(points, digits)) => {
            Related::new(Relation::Same, Some(Evidence::Numerical { points, digits }))
        }
        (Within::Open, _) | (_, Within::Open) => {
            Related::new(Relation::Undecided(Undecided::Open), None)
        }
    }
}

/// The relation by numerators and their greatest common divisor, where that
/// settles it.
fn by_factors(before: &Equation, after: &Equation, table: &SymbolTable) -> Option<Related> {
    let mut field = Field::new(table);
    let numerators = field.settling(|field| {
        let first = field.normalise(&before.difference())?;
        let second = field.normalise(&after.difference())?;
        Ok((first.num().clone(), second.num().clone()))
    });
    let (first, second) = numerators.ok()?;
    let proof = || Some(Evidence::Proof);
    if first.is_zero() || second.is_zero() {
        // An identity holds everywhere; only another identity is the same.
        if first.is_zero() && second.is_zero() {
            return Some(Related::new(Relation::Same, proof()));
        }
        return None;
    }
    let work = |field: &mut Field<'_>| -> Result<(Polynomial, Polynomial), Failure> {
        let first = essential(&first, field)?;
        let second = essential(&second, field)?;
        let scaling = Scaling::of(&[&first, &second])?;
        let (a, b) = (scaling.apply(&first)?, scaling.apply(&second)?);
        let common = divisor::gcd(&a, &b, &mut field.budget)?;
        let rest = |whole: &Polynomial, field: &mut Field<'_>| -> Result<Polynomial, Failure> {
            let left = divisor::divide_exactly(whole, &common, &mut field.budget)?;
            Ok(scaling.undo(&left.unwrap_or_default())?)
        };
        Ok((rest(&a, field)?, rest(&b, field)?))
    };
    let (lost, gained) = work(&mut field).ok()?;
    let lost_harmless = field.kernels.never_zero(&lost);
    let gained_harmless = field.kernels.never_zero(&gained);
    if lost_harmless && gained_harmless {
        return Some(Related::new(Relation::Same, proof()));
    }
    // A factor that may vanish needs a witness: a point where it does, the
    // one equation holds and the other fails.
    let gain = witness(&gained, after, before, &mut field, table);
    let loss = witness(&lost, before, after, &mut field, table);
    let point = |found: Box<Counterexample>| Some(Evidence::Counterexample(found));
    match (loss, gain) {
        (None, Some(found)) if lost_harmless => Some(Related::new(Relation::Gains, point(found))),
        (Some(found), None) if gained_harmless => Some(Related::new(Relation::Loses, point(found))),
        (Some(found), Some(_)) => Some(Related::new(Relation::Different, point(found))),
        _ => None,
    }
}

/// A point where a factor is zero, one equation holds and the other fails.
fn witness(
    factor: &Polynomial,
    holds: &Equation,
    fails: &Equation,
    field: &mut Field<'_>,
    table: &SymbolTable,
) -> Option<Box<Counterexample>> {
    if factor.as_constant().is_some() {
        return None;
    }
    let mut parts: Vec<Expr> = Vec::new();
    let content = factor.monomial_content();
    for (kernel, _) in content.factors() {
        parts.extend(as_tree(&Polynomial::kernel(*kernel), field));
    }
    let plain = factor
        .times_term(&content.reciprocal(), &Number::ONE)
        .ok()?;
    let scaling = Scaling::of(&[&plain]).ok()?;
    let plain = scaling.apply(&plain).ok()?;
    for (part, _) in divisor::factors(&plain, &mut field.budget).ok()? {
        parts.extend(as_tree(&scaling.undo(&part).ok()?, field));
    }
    let mut symbols = holds.symbols();
    for symbol in fails.symbols() {
        if !symbols.contains(&symbol) {
            symbols.push(symbol);
        }
    }
    for part in parts {
        let source = Equation::new(part, Expr::integer(0));
        let Some(carrier) = Carrier::find(&source, None, table) else {
            continue;
        };
        for point in carrier.points(&symbols, table) {
            let stands = matches!(
                compare::quickly(&holds.left, &holds.right, &point),
                Compared::Meet(_)
            );
            let falls = matches!(
                compare::quickly(&fails.left, &fails.right, &point),
                Compared::Differ(..)
            );
            if stands
                && falls
                && let Within::Refuted(found) = refuted(fails, &point, &symbols)
            {
                return Some(found);
            }
        }
    }
    None
}

/// A polynomial whose kernels are all symbols, as a tree.
fn as_tree(polynomial: &Polynomial, field: &Field<'_>) -> Option<Expr> {
    let mut terms = Vec::new();
    for (monomial, coefficient) in polynomial.terms() {
        let mut product = Expr::Number(coefficient.clone());
        for (kernel, exponent) in monomial.factors() {
            let Kernel::Symbol(symbol) = field.kernels.kernel(*kernel) else {
                return None;
            };
            product = Expr::mul(
                product,
                Expr::pow(Expr::Symbol(*symbol), Expr::Number(exponent.to_number())),
            );
        }
        terms.push(Term {
            sign: Sign::Plus,
            value: product,
        });
    }
    Some(Expr::Sum(terms))
}

/// A numerator without the monomial factors that cannot vanish.
fn essential(polynomial: &Polynomial, field: &mut Field<'_>) -> Result<Polynomial, Failure> {
    let content = polynomial.monomial_content();
    let harmless = content.filtered(|kernel, exponent| {
        exponent.is_negative() || matches!(field.kernels.known(kernel), Known::Positive)
    });
    let stripped = polynomial.times_term(&harmless.reciprocal(), &Number::ONE)?;
    let scale = stripped
        .numeric_content()
        .reciprocal()
        .unwrap_or(Number::ONE);
    Ok(stripped.scaled(&scale))
}

/// Whether every solution of `source` on the domain solves `target`.
fn within(source: &Equation, target: &Equation, table: &SymbolTable) -> Within {
    let mut symbols = source.symbols();
    for symbol in target.symbols() {
        if !symbols.contains(&symbol) {
            symbols.push(symbol);
        }
    }
    let Some(carrier) = Carrier::find(source, None, table) else {
        return Within::Open;
    };
    let points = carrier.points(&symbols, table);
    let mut agreed = 0;
    let mut least = 99;
    let mut open: Vec<&Point> = Vec::new();
    for point in &points {
        match compare::quickly(&target.left, &target.right, point) {
            Compared::Differ(..) => return refuted(target, point, &symbols),
            Compared::Undefined(_) | Compared::Unsure => {}
            _ => open.push(point),
        }
    }
    if carrier.complete && proved(&carrier, target, table) {
        return Within::Proved;
    }
    for point in open {
        match compare::thoroughly(&target.left, &target.right, point, &carrier) {
            Compared::Differ(..) => return refuted(target, point, &symbols),
            Compared::Same => agreed += 1,
            Compared::Meet(digits) => {
                agreed += 1;
                least = least.min(digits);
            }
            Compared::Undefined(_) | Compared::Unsure => {}
        }
    }
    if carrier.complete && agreed >= 8 && least >= 30 {
        Within::Numerical(agreed, least)
    } else {
        Within::Open
    }
}

fn refuted(target: &Equation, point: &Point, symbols: &[crate::algebra::symbol::Symbol]) -> Within {
    let value = |side: &Expr| compare::shown(side, point);
    match value(&target.left) {
        Some(expected) => Within::Refuted(Box::new(Counterexample {
            values: symbols
                .iter()
                .map(|symbol| (*symbol, point.shown(*symbol)))
                .collect(),
            expected,
            got: value(&target.right),
        })),
        None => Within::Open,
    }
}

fn proved(carrier: &Carrier, target: &Equation, table: &SymbolTable) -> bool {
    carrier.branches.iter().all(|branch| {
        let put_in = target.substitute(carrier.symbol, branch);
        proved_equal(&put_in.left, &put_in.right, table) == Ok(true)
    })
}
