//! The relation of two equations: does one line say the same as another?
//!
//! Both are moved to one side and brought to numerators over kernels; factors
//! that cannot vanish on the domain are dropped. What is left is compared by
//! greatest common divisor; where roots or functions hide a common factor,
//! one equation's solutions are put into the other. Numbers certify that a
//! solution is gained or lost.

use crate::algebra::divisor::{self, Scaling};
use crate::algebra::expr::{Equation, Expr, Function};
use crate::algebra::kernel::{Failure, Known};
use crate::algebra::normal::Field;
use crate::algebra::normalise::proved_equal;
use crate::algebra::number::Number;
use crate::algebra::polynomial::Polynomial;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::carrier::{Carrier, Point, free_points};
use super::compare::{self, Compared};
use super::divisors::open_divisors;
use super::needs;
use super::numerical;
use super::step::Condition;
use super::verdict::{Counterexample, Evidence, Shown, Undecided};

/// Digits to which certified doubles that meet are said to agree.
const DOUBLE_DIGITS: u32 = 12;

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
///
/// # Example
///
/// ```
/// use rejig::algebra::symbol::Domain;
/// use rejig::reason::equation::{Relation, relate};
/// use rejig::text::{Undeclared, Vocabulary, read_equation};
///
/// let mut letters = Vocabulary::new();
/// letters.declare("x", Domain::Real);
/// let square = read_equation("x^2 = 4", &mut letters, Undeclared::Refuse)?;
/// let root = read_equation("x = 2", &mut letters, Undeclared::Refuse)?;
/// let related = relate(&[square.clone()], &[root.clone()], letters.table());
/// assert_eq!(related.relation, Relation::Loses);
/// let related = relate(&[root], &[square], letters.table());
/// assert_eq!(related.relation, Relation::Gains);
/// # Ok::<(), rejig::text::Diagnostic>(())
/// ```
#[must_use]
pub fn relate(before: &[Equation], after: &[Equation], table: &SymbolTable) -> Related {
    if before.is_empty() || after.is_empty() {
        return Related::new(Relation::Undecided(Undecided::Open), None);
    }
    let doubled = |equations: &[Equation]| equations.iter().any(has_doubled_sign);
    if doubled(before) || doubled(after) {
        let plain = |equations: &[Equation]| -> Vec<Equation> {
            equations.iter().map(either_sign).collect()
        };
        return relate(&plain(before), &plain(after), table);
    }
    if before.len() == 1 && after.len() == 1 {
        if let Some(related) = by_factors(&before[0], &after[0], table) {
            return where_defined(related, &before[0], &after[0], table);
        }
        let forward = within(&before[0], &after[0], table);
        let backward = within(&after[0], &before[0], table);
        let related = combine(forward, backward);
        if let Relation::Undecided(_) = related.relation
            && let Some(same) = without_shared_function(&before[0], &after[0], table)
        {
            return same;
        }
        return related;
    }
    relate_chains(before, after, table)
}

fn has_doubled_sign(equation: &Equation) -> bool {
    equation.left.has_doubled_sign() || equation.right.has_doubled_sign()
}

/// An equation with a doubled sign says that one of two equations holds: the
/// product of their differences is zero.
fn either_sign(equation: &Equation) -> Equation {
    if !has_doubled_sign(equation) {
        return equation.clone();
    }
    let mut branches = equation.difference().branches();
    let lower = branches.pop().unwrap_or_else(|| Expr::integer(0));
    let upper = branches.pop().unwrap_or_else(|| Expr::integer(1));
    Equation::new(Expr::mul(upper, lower), Expr::integer(0))
}

/// The same numerators say nothing of roots and logarithms that have no value
/// where the other equation holds: such solutions are lost or gained.
fn where_defined(
    related: Related,
    before: &Equation,
    after: &Equation,
    table: &SymbolTable,
) -> Related {
    let value_after = || has_value_on(before, after, None, table);
    let value_before = || has_value_on(after, before, None, table);
    // What is said to be gained only, or lost only, must not be both.
    let other_way = match related.relation {
        Relation::Same => {
            let combined = combine(value_after(), value_before());
            return match combined {
                Related {
                    relation: Relation::Same,
                    evidence: Some(Evidence::Proof),
                } => related,
                changed => changed,
            };
        }
        Relation::Gains => value_after(),
        Relation::Loses => value_before(),
        _ => return related,
    };
    match other_way {
        Within::Refuted(_) => Related::new(Relation::Different, related.evidence),
        Within::Open => Related::new(Relation::Undecided(Undecided::Open), None),
        _ => related,
    }
}

/// Whether both sides of `target` have a value wherever `source` holds, as
/// far as roots, logarithms and inverse sines go.
fn has_value_on(
    source: &Equation,
    target: &Equation,
    known: Option<&Carrier>,
    table: &SymbolTable,
) -> Within {
    let of = |equation: &Equation| {
        let mut found = needs::needs(&equation.left, table);
        found.extend(needs::needs(&equation.right, table));
        found
    };
    let mut open = of(target);
    open.retain(|need| !needs::is_met(need, table));
    if !open.is_empty() {
        let own = of(source);
        open.retain(|need| !own.iter().any(|own| needs::is_ensured_by(need, own, table)));
    }
    // The equation may say what the part is equal to, up to what it moves.
    let difference = source.difference();
    open.retain(|need| {
        let met = |moved: &dyn Fn(Expr, Expr) -> Expr| {
            let change = |part: &Expr| moved(part.clone(), difference.clone());
            needs::is_met(&needs::map(need, change), table)
        };
        !(met(&Expr::add) || met(&Expr::sub))
    });
    if open.is_empty() {
        return Within::Proved;
    }
    let found;
    let carrier = match known {
        Some(carrier) => carrier,
        None => match Carrier::find(source, None, table) {
            Some(carrier) => {
                found = carrier;
                &found
            }
            None => return Within::Open,
        },
    };
    if carrier.complete {
        open.retain(|need| !needs::is_met_on(need, carrier, table));
        if open.is_empty() {
            return Within::Proved;
        }
    }
    let symbols = union(source, target);
    let points = carrier.points(&symbols, table).into_iter();
    let mut tried = 0;
    for point in points.chain(carrier.further_points(&symbols, table)) {
        if open.iter().any(|need| needs::fails(need, &point)) {
            return without_value(source, target, &point, &symbols);
        }
        tried += 1;
    }
    if tried >= 8 {
        Within::Numerical(tried, DOUBLE_DIGITS)
    } else {
        Within::Open
    }
}

/// A point at which `target` has no value, as a certificate.
fn without_value(
    source: &Equation,
    target: &Equation,
    point: &Point,
    symbols: &[Symbol],
) -> Within {
    let value = |side: &Expr| compare::shown(side, point);
    let sides = [&target.left, &target.right, &source.left].map(value);
    certificate(sides.into_iter().flatten().next(), None, point, symbols)
}

/// A point that refutes, unless there is nothing to show at it.
fn certificate(
    expected: Option<Shown>,
    got: Option<Shown>,
    point: &Point,
    symbols: &[Symbol],
) -> Within {
    let Some(expected) = expected else {
        return Within::Open;
    };
    let values = symbols.iter().map(|symbol| (*symbol, point.shown(*symbol)));
    Within::Refuted(Box::new(Counterexample {
        values: values.collect(),
        expected,
        got,
    }))
}

/// Logarithms, exponentials and roots of two sides are equal just where the
/// sides are, as long as they are defined: without them the equations may be
/// the same. Nothing else is concluded.
fn without_shared_function(
    before: &Equation,
    after: &Equation,
    table: &SymbolTable,
) -> Option<Related> {
    let plain = [stripped(before, table), stripped(after, table)];
    if plain[0] == *before && plain[1] == *after {
        return None;
    }
    let related = relate(&plain[..1], &plain[1..], table);
    if related.relation != Relation::Same {
        return None;
    }
    // Both must be defined wherever the plain ones hold: by the signs of what
    // the functions are taken of, or else at every point that was tried,
    // which is no proof.
    if has_value_everywhere(before, table) && has_value_everywhere(after, table) {
        return Some(related);
    }
    let tried = |plain: &Equation, whole: &Equation| -> Option<usize> {
        let carrier = Carrier::find(plain, None, table)?;
        let points = carrier.points(&union(before, after), table);
        let meets = |point: &Point| {
            matches!(
                compare::quickly(&whole.left, &whole.right, point),
                Compared::Meet(_)
            )
        };
        (points.len() >= 8 && points.iter().all(meets)).then_some(points.len())
    };
    let points = tried(&plain[0], before)?.min(tried(&plain[1], after)?);
    let own = Within::Numerical(points, DOUBLE_DIGITS);
    let plain = match related.evidence {
        Some(Evidence::Numerical { points, digits }) => Within::Numerical(points, digits),
        _ => Within::Proved,
    };
    Some(combine(own, plain))
}

/// Whether the functions that [`stripped`] takes off have a value wherever
/// their arguments have one, by the signs of these.
fn has_value_everywhere(equation: &Equation, table: &SymbolTable) -> bool {
    let mut equation = equation.clone();
    while let Some((function, inner)) = shared_function(&equation, table) {
        let condition: fn(Expr) -> Condition = match function {
            Function::Ln | Function::Log10 => Condition::Positive,
            Function::Sqrt | Function::Cbrt => Condition::NonNegative,
            Function::Arcsin | Function::Arccos => Condition::WithinOne,
            _ => {
                equation = inner;
                continue;
            }
        };
        // One side's is enough: where the plain equation holds, the other
        // side is equal to it.
        let fine = [&inner.left, &inner.right]
            .iter()
            .any(|part| needs::is_met(&condition((*part).clone()), table));
        if !fine {
            return false;
        }
        equation = inner;
    }
    true
}

/// The function that both sides share and that takes no two values to one,
/// and the equation without it.
fn shared_function(equation: &Equation, table: &SymbolTable) -> Option<(Function, Equation)> {
    let is_acute = |side: &Expr| match side {
        Expr::Symbol(symbol) => table.domain(*symbol) == Domain::Acute,
        _ => false,
    };
    match (&equation.left, &equation.right) {
        (Expr::Call(left, a), Expr::Call(right, b))
            if left == right
                && matches!(
                    left,
                    Function::Ln
                        | Function::Log10
                        | Function::Exp
                        | Function::Sqrt
                        | Function::Cbrt
                        | Function::Arctan
                        | Function::Arcsin
                        | Function::Arccos
                )
                || left == right
                    && matches!(left, Function::Sin | Function::Cos | Function::Tan)
                    && is_acute(a)
                    && is_acute(b) =>
        {
            Some((*left, Equation::new((**a).clone(), (**b).clone())))
        }
        _ => None,
    }
}

/// The equation without functions that both sides share and that take no two
/// values to one.
fn stripped(equation: &Equation, table: &SymbolTable) -> Equation {
    let mut equation = equation.clone();
    while let Some((_, inner)) = shared_function(&equation, table) {
        equation = inner;
    }
    equation
}

/// The symbols of two equations, each once.
fn union(first: &Equation, second: &Equation) -> Vec<Symbol> {
    let mut symbols = first.symbols();
    for symbol in second.symbols() {
        if !symbols.contains(&symbol) {
            symbols.push(symbol);
        }
    }
    symbols
}

/// Chains: every equation of one must follow from some equation of the other,
/// which settles the usual case; the rest is left open.
fn relate_chains(before: &[Equation], after: &[Equation], table: &SymbolTable) -> Related {
    let covers = |from: &[Equation], to: &[Equation]| -> Within {
        let mut weakest = Within::Proved;
        for target in to {
            if from.len() > 1 && proved_together(from, target, table) {
                continue;
            }
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

/// Whether an equation follows from several: each is solved for a symbol,
/// which is put into the rest.
fn proved_together(from: &[Equation], target: &Equation, table: &SymbolTable) -> bool {
    let mut left: Vec<Equation> = from.to_vec();
    let mut target = target.clone();
    while !left.is_empty() {
        let equation = left.remove(0);
        if proved_equal(&equation.left, &equation.right, table) == Ok(true) {
            continue;
        }
        let Some(carrier) = Carrier::find(&equation, None, table) else {
            return false;
        };
        let [branch] = carrier.branches.as_slice() else {
            return false;
        };
        if !carrier.complete {
            return false;
        }
        for other in left.iter_mut().chain([&mut target]) {
            *other = other.substitute(carrier.symbol, branch);
        }
    }
    proved_equal(&target.left, &target.right, table) == Ok(true)
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
        (Within::Numerical(points, digits), Within::Numerical(others, fewer)) => {
            let (points, digits) = (points.min(others), digits.min(fewer));
            Related::new(Relation::Same, Some(Evidence::Numerical { points, digits }))
        }
        (Within::Numerical(points, digits), Within::Proved)
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
        return against_identity(before, after, first.is_zero(), table);
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
    let lost_harmless = is_harmless(&lost, &mut field).ok()?;
    let gained_harmless = is_harmless(&gained, &mut field).ok()?;
    if lost_harmless && gained_harmless {
        // `x^2/x = 0` has no solution at all: a divisor that vanishes with
        // the whole line takes its solutions away.
        if divides_by_itself(before, &first, &mut field, table)
            || divides_by_itself(after, &second, &mut field, table)
        {
            return Some(Related::new(Relation::Undecided(Undecided::Open), None));
        }
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

/// Whether a divisor of the line as typed shares a factor that may vanish with
/// the line's numerator, or may do so for all that is known.
fn divides_by_itself(
    line: &Equation,
    numerator: &Polynomial,
    field: &mut Field<'_>,
    table: &SymbolTable,
) -> bool {
    let divisors = open_divisors([&line.left, &line.right], table);
    divisors.iter().any(|divisor| {
        let work = |field: &mut Field<'_>| -> Result<bool, Failure> {
            let value = field.normalise(divisor)?;
            if field.kernels.never_zero(value.num()) {
                return Ok(false);
            }
            let (own, whole) = (essential(value.num(), field)?, essential(numerator, field)?);
            let scaling = Scaling::of(&[&own, &whole])?;
            let (a, b) = (scaling.apply(&own)?, scaling.apply(&whole)?);
            let common = divisor::gcd(&a, &b, &mut field.budget)?;
            Ok(!field.kernels.never_zero(&scaling.undo(&common)?))
        };
        field.settling(work).unwrap_or(true)
    })
}

/// One of two equations is an identity: it holds wherever it has a value, the
/// other fails at some point.
fn against_identity(
    before: &Equation,
    after: &Equation,
    first_is_identity: bool,
    table: &SymbolTable,
) -> Option<Related> {
    let (identity, other) = if first_is_identity {
        (before, after)
    } else {
        (after, before)
    };
    let symbols = union(before, after);
    // An identity on one side, such as u = u, holds at any values.
    let points = free_points(&symbols, table);
    let point = points.iter().find(|point| {
        let [holds, falls] =
            [identity, other].map(|line| compare::quickly(&line.left, &line.right, point));
        matches!((holds, falls), (Compared::Meet(_), Compared::Differ(..)))
    })?;
    let Within::Refuted(found) = refuted(other, point, &symbols) else {
        return None;
    };
    // All solutions of the other are kept if the identity has a value at
    // each of them.
    let (Within::Proved | Within::Numerical(..)) = has_value_on(other, identity, None, table)
    else {
        return None;
    };
    if !open_divisors([&identity.left, &identity.right], table).is_empty() {
        return None;
    }
    let relation = if first_is_identity {
        Relation::Loses
    } else {
        Relation::Gains
    };
    Some(Related::new(
        relation,
        Some(Evidence::Counterexample(found)),
    ))
}

/// Whether a factor can't be zero on the domain, or only at single points
/// where a sum of squares vanishes, such as v^2 + u v + u^2 at v = u = 0; like
/// the common zeros of numerator and denominator these are not counted.
fn is_harmless(factor: &Polynomial, field: &mut Field<'_>) -> Result<bool, Failure> {
    if field.kernels.never_zero(factor) {
        return Ok(true);
    }
    if !divisor::is_plain(factor) {
        return Ok(false);
    }
    for kernel in factor.kernels() {
        if divisor::degree(factor, kernel) != 2 {
            continue;
        }
        let part = |power: i64| {
            factor
                .by_powers(kernel)
                .into_iter()
                .find(|(exponent, _)| exponent.numerator() == power)
                .map_or_else(Polynomial::zero, |(_, coefficient)| coefficient)
        };
        let (a, b, c) = (part(2), part(1), part(0));
        let discriminant = b
            .times(&b, &mut field.budget)?
            .minus(&a.times(&c, &mut field.budget)?.scaled(&Number::from(4)))?;
        if !discriminant.is_zero()
            && field.kernels.never_zero(&a)
            && matches!(
                field.kernels.polynomial_sign(&discriminant),
                Known::Negative | Known::Nonpositive
            )
        {
            return Ok(true);
        }
    }
    Ok(false)
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
        parts.push(field.polynomial_tree(&Polynomial::kernel(*kernel)));
    }
    let plain = factor
        .times_term(&content.reciprocal(), &Number::ONE)
        .ok()?;
    let scaling = Scaling::of(&[&plain]).ok()?;
    let plain = scaling.apply(&plain).ok()?;
    for (part, _) in divisor::factors(&plain, &mut field.budget).ok()? {
        parts.push(field.polynomial_tree(&scaling.undo(&part).ok()?));
    }
    let symbols = union(holds, fails);
    for part in parts {
        let source = Equation::new(part, Expr::integer(0));
        let Some(carrier) = Carrier::find(&source, None, table) else {
            continue;
        };
        let points = carrier.points(&symbols, table);
        for point in points
            .into_iter()
            .chain(carrier.further_points(&symbols, table))
        {
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
    let symbols = union(source, target);
    let Some(carrier) = Carrier::find(source, None, table) else {
        return Within::Open;
    };
    let points = carrier.points(&symbols, table);
    let mut agreed = 0;
    let mut least = 99;
    let mut open: Vec<&Point> = Vec::new();
    let mut valueless: Option<(&Point, Equation)> = None;
    for point in &points {
        match compare::quickly(&target.left, &target.right, point) {
            Compared::Differ(..) => return refuted(target, point, &symbols),
            Compared::Undefined(_) => valueless = Some((point, target.clone())),
            Compared::Unsure => {
                let flipped = target.flipped();
                if let Compared::Undefined(_) =
                    compare::quickly(&flipped.left, &flipped.right, point)
                {
                    valueless = Some((point, flipped));
                }
            }
            _ => open.push(point),
        }
    }
    // A line that has no value at any solution of the other holds at none.
    if open.is_empty()
        && let Some((point, target)) = valueless
    {
        return refuted(&target, point, &symbols);
    }
    // A solution at which the other line has no value is none of it.
    let defined = has_value_on(source, target, Some(&carrier), table);
    if let Within::Refuted(_) = defined {
        return defined;
    }
    if carrier.complete && proved(&carrier, target, table) {
        return match defined {
            Within::Proved | Within::Numerical(..) => defined,
            _ => Within::Open,
        };
    }
    // Without a proof: far and wide, before anything is made of agreement.
    let mut far: Vec<Point> = Vec::new();
    for point in carrier.further_points(&symbols, table) {
        if let Compared::Differ(..) = compare::quickly(&target.left, &target.right, &point) {
            return refuted(target, &point, &symbols);
        }
        far.push(point);
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
    // Numbers say nothing of a branch that they never met, nor of solutions
    // at which something was divided by zero.
    let met = |branch: usize| {
        points
            .iter()
            .chain(&far)
            .filter(|point| point.branch() == branch)
            .count()
            >= 4
    };
    if carrier.complete
        && !carrier.divides
        && (0..carrier.branches.len()).all(met)
        && agreed >= 8
        && least >= 30
        && numerical::counts(&target.difference(), &far, table)
    {
        Within::Numerical(agreed, least)
    } else {
        Within::Open
    }
}

fn refuted(target: &Equation, point: &Point, symbols: &[Symbol]) -> Within {
    let value = |side: &Expr| compare::shown(side, point);
    certificate(value(&target.left), value(&target.right), point, symbols)
}

fn proved(carrier: &Carrier, target: &Equation, table: &SymbolTable) -> bool {
    carrier.branches.iter().all(|branch| {
        let put_in = target.substitute(carrier.symbol, branch);
        proved_equal(&put_in.left, &put_in.right, table) == Ok(true)
    })
}
