//! Every solution is put back into the formula before it is handed out:
//! proved by normal form, or held against certified numbers at points that lie
//! on the formula.

use crate::algebra::ball::{Ball, evaluate};
use crate::algebra::certified::Certified;
use crate::algebra::expr::{Equation, Expr, Sign};
use crate::algebra::limits::Budget;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::sample::point;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::step::Condition;

/// Points on the formula that are enough for a solution that holds.
pub(super) const FEW: usize = 6;
/// Points on the formula before a root is said to satisfy it nowhere: a branch
/// may hold in a corner of the domain.
pub(super) const MANY: usize = 240;
/// Points looked at for each one that is wanted.
const ATTEMPTS: usize = 8;
/// Steps of algebra for a proof; beyond that, numbers have to do.
const PROOF: u64 = 100_000;
/// Two values are held to be equal by numbers only if the balls are this
/// narrow, relative to the value.
const NARROW: f64 = 1e-6;

/// How it is known that a solution satisfies the formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// The normal form of the difference is zero: proved.
    Proved,
    /// Certified numbers agree at this many points.
    Numbers(usize),
    /// Certified numbers agree at some points only: the formula asks for more
    /// than the solution does.
    Sometimes {
        /// Points at which it holds.
        holds: usize,
        /// Points at which it certainly does not.
        fails: usize,
    },
    /// It certainly fails at every point at which both have a value.
    Refuted,
    /// No point was found at which both have a value.
    NoPoint,
}

/// A point at which the formula holds, the subject's own value included.
pub(super) struct OnFormula {
    values: Vec<Ball>,
}

fn zero() -> Ball {
    Ball::exact(0.0)
}

fn fits(ball: Ball, domain: Domain) -> bool {
    match domain {
        Domain::Positive => ball.mid() > ball.rad(),
        Domain::Nonnegative => ball.mid() >= -ball.rad(),
        Domain::Acute => {
            ball.mid() > ball.rad() && ball.mid() + ball.rad() < std::f64::consts::FRAC_PI_2
        }
        Domain::Real => true,
    }
}

/// Whether the value of `symbol` can be worked out from those of the others:
/// it appears once, under sums and products only.
fn is_linear(equation: &Equation, symbol: Symbol) -> bool {
    fn carries(side: &Expr, symbol: Symbol) -> bool {
        match side {
            Expr::Symbol(own) => *own == symbol,
            Expr::Sum(terms) => terms.iter().any(|term| {
                matches!(term.sign, Sign::Plus | Sign::Minus) && carries(&term.value, symbol)
            }),
            Expr::Product(factors) => factors
                .iter()
                .any(|factor| !factor.divides && carries(&factor.value, symbol)),
            _ => false,
        }
    }
    equation.left.occurrences(symbol) + equation.right.occurrences(symbol) == 1
        && (carries(&equation.left, symbol) || carries(&equation.right, symbol))
}

/// The value of a symbol in which the equation is linear, from two others.
fn worked_out(equation: &Equation, symbol: Symbol, values: &mut [Ball]) -> Option<Ball> {
    let mut difference = |own: f64| {
        values[symbol.index()] = Ball::exact(own);
        let left = evaluate(&equation.left, values).ok()?;
        let right = evaluate(&equation.right, values).ok()?;
        left.plus(&right.negated()).ok()
    };
    let without = difference(0.0)?;
    let slope = difference(1.0)?.plus(&without.negated()).ok()?;
    without.negated().divided(&slope).ok()
}

/// Points on the formula: all symbols are chosen but one that stands alone on
/// a side, or in which the formula is linear. Without such a symbol the points
/// need not lie on the formula, and the subject's value is not given (the flag
/// is false).
pub(super) fn points(
    equation: &Equation,
    subject: Symbol,
    table: &SymbolTable,
    enough: usize,
) -> (Vec<OnFormula>, bool) {
    let symbols = equation.symbols();
    let alone = |side: &Expr, other: &Expr| match side {
        Expr::Symbol(symbol) if !other.contains(*symbol) => Some(*symbol),
        _ => None,
    };
    let lone = alone(&equation.left, &equation.right)
        .map(|symbol| (symbol, &equation.right))
        .or_else(|| alone(&equation.right, &equation.left).map(|symbol| (symbol, &equation.left)));
    let linear = match lone {
        Some(_) => None,
        None => symbols
            .iter()
            .copied()
            .find(|symbol| *symbol != subject && is_linear(equation, *symbol)),
    };
    let mut found = Vec::new();
    for index in 0..ATTEMPTS * enough {
        if found.len() == enough {
            break;
        }
        let chosen = point(index, &symbols, table);
        let mut values = vec![zero(); table.len()];
        let mut fine = true;
        for (symbol, number) in symbols.iter().zip(&chosen) {
            match Ball::of(number) {
                Some(ball) => values[symbol.index()] = ball,
                None => fine = false,
            }
        }
        if !fine {
            continue;
        }
        if let Some((symbol, side)) = lone {
            let Ok(ball) = evaluate(side, &values) else {
                continue;
            };
            if !fits(ball, table.domain(symbol)) {
                continue;
            }
            values[symbol.index()] = ball;
        }
        if let Some(symbol) = linear {
            let Some(ball) = worked_out(equation, symbol, &mut values) else {
                continue;
            };
            if !fits(ball, table.domain(symbol)) {
                continue;
            }
            values[symbol.index()] = ball;
        }
        found.push(OnFormula { values });
    }
    let given = linear.is_some() || lone.is_some_and(|(symbol, _)| symbol != subject);
    (found, given)
}

fn holds(condition: &Condition, values: &[Ball]) -> bool {
    let ball = |expr: &Expr| evaluate(expr, values).ok();
    match condition {
        Condition::NonZero(expr) => ball(expr).is_some_and(Ball::is_nonzero),
        Condition::NonNegative(expr) => ball(expr).is_some_and(|own| own.mid() >= -own.rad()),
        Condition::Positive(expr) => ball(expr).is_some_and(|own| own.mid() > own.rad()),
        Condition::WithinOne(expr) => {
            ball(expr).is_some_and(|own| own.mid().abs() <= 1.0 + own.rad())
        }
    }
}

fn agrees(one: Ball, two: Ball) -> Option<bool> {
    if one.differs_from(two) {
        return Some(false);
    }
    let size = one.mid().abs().max(two.mid().abs());
    let narrow = one.rad() + two.rad() <= NARROW * size || size == 0.0 || size < 1e-9;
    narrow.then_some(true)
}

/// Puts `value` into the formula for `subject`.
pub(super) fn put_back(
    equation: &Equation,
    subject: Symbol,
    value: &Expr,
    conditions: &[Condition],
    on_formula: &[OnFormula],
    table: &SymbolTable,
) -> Support {
    let after = equation.substitute(subject, value);
    let budget = Budget::new(PROOF);
    if proved_equal_within(&after.left, &after.right, table, budget) == Ok(true) {
        return Support::Proved;
    }
    let (mut held, mut failed) = (0, 0);
    for place in on_formula {
        if !conditions
            .iter()
            .filter(|condition| !mentions(condition, subject))
            .all(|condition| holds(condition, &place.values))
        {
            continue;
        }
        let Ok(own) = evaluate(value, &place.values) else {
            continue;
        };
        if !fits(own, table.domain(subject)) {
            continue;
        }
        let mut values = place.values.clone();
        values[subject.index()] = own;
        let (Ok(left), Ok(right)) = (
            evaluate(&equation.left, &values),
            evaluate(&equation.right, &values),
        ) else {
            continue;
        };
        match agrees(left, right) {
            Some(true) => held += 1,
            Some(false) => failed += 1,
            None => {}
        }
    }
    match (held, failed) {
        (0, 0) => Support::NoPoint,
        (_, 0) => Support::Numbers(held),
        (0, _) => Support::Refuted,
        _ => Support::Sometimes {
            holds: held,
            fails: failed,
        },
    }
}

fn mentions(condition: &Condition, subject: Symbol) -> bool {
    match condition {
        Condition::NonZero(expr)
        | Condition::NonNegative(expr)
        | Condition::Positive(expr)
        | Condition::WithinOne(expr) => expr.contains(subject),
    }
}

/// Whether at every point on the formula one of the values is the subject's.
pub(super) fn cover(values: &[&Expr], subject: Symbol, on_formula: &[OnFormula]) -> bool {
    on_formula.iter().all(|place| {
        let wanted = place.values[subject.index()];
        let mut certain = true;
        let met = values
            .iter()
            .any(|value| match evaluate(value, &place.values) {
                Ok(own) => !own.differs_from(wanted),
                Err(crate::algebra::certified::NoValue::Undefined) => false,
                Err(crate::algebra::certified::NoValue::Unsure) => {
                    certain = false;
                    false
                }
            });
        met || !certain
    })
}
