//! When agreement at many points may be called evidence.
//!
//! Two things agree at every point that is looked at and yet differ: a change
//! too small for the digits that were worked out, and a change that begins
//! beyond the points. Where an expression shows the makings of either,
//! agreement counts for nothing.

use crate::algebra::ball;
use crate::algebra::certified::Certified;
use crate::algebra::exact;
use crate::algebra::expr::{Expr, Function};
use crate::algebra::kernel::Kernel;
use crate::algebra::limits::Budget;
use crate::algebra::normal::Field;
use crate::algebra::symbol::SymbolTable;

use super::carrier::Point;

/// Numbers in an expression whose numerator or denominator needs more bits
/// than this (about 19 digits) are too fine for agreement to mean much.
const FINEST: usize = 64;
/// Numbers up to this, and their reciprocals, are everyday ones.
const EVERYDAY: i64 = 1_000;
/// Steps of algebra for the look at absolute values.
const LOOK: u64 = 60_000;

/// Whether agreement of this difference with zero at these points is worth
/// something.
pub(super) fn counts(difference: &Expr, points: &[Point], table: &SymbolTable) -> bool {
    finest(difference) <= FINEST && turns_are_seen(difference, points, table)
}

/// Bits of the longest number that an expression holds, constants worked out;
/// those of a constant without an exact value count by its size.
fn finest(expr: &Expr) -> usize {
    if let Some(number) = exact::constant(expr) {
        return number.bits();
    }
    let letters = expr.any_node(&mut |node| matches!(node, Expr::Symbol(_)));
    if !letters && !is_of_a_size(expr) {
        return usize::MAX;
    }
    let mut most = 0;
    expr.for_each_child(|child| most = most.max(finest(child)));
    most
}

/// Whether a constant is surely neither so small nor so large that it
/// could hide behind the digits that are looked at: `10^-400`, `e^-1000`.
fn is_of_a_size(constant: &Expr) -> bool {
    const SMALLEST: f64 = 1e-19;
    ball::evaluate(constant, &[]).is_ok_and(|value| {
        let (mid, rad) = (value.mid().abs(), value.rad());
        mid - rad > SMALLEST && mid + rad < 1.0 / SMALLEST
    })
}

/// Whether an expression holds an absolute value, or a root that may be one.
fn has_turns(expr: &Expr) -> bool {
    expr.any_node(&mut |node| match node {
        Expr::Call(function, _) => matches!(function, Function::Abs | Function::Sqrt),
        Expr::Power(_, exponent) => {
            exact::constant(exponent).is_some_and(|number| !number.is_integer())
        }
        _ => false,
    })
}

/// Whether an expression holds a number beyond the scales of everyday points:
/// an absolute value may turn where none of them lies.
fn has_far_number(expr: &Expr) -> bool {
    if let Some(number) = exact::constant(expr) {
        return number
            .to_i64_pair()
            .is_none_or(|(num, den)| num.abs() > EVERYDAY || den > EVERYDAY);
    }
    let mut found = false;
    expr.for_each_child(|child| found |= has_far_number(child));
    found
}

/// Whether the points lie on both sides of wherever an absolute value turns;
/// on one side is enough where nothing hints at a turn far away.
fn turns_are_seen(difference: &Expr, points: &[Point], table: &SymbolTable) -> bool {
    let mut field = Field::with_budget(table, Budget::new(LOOK));
    if field.settling(|field| field.normalise(difference)).is_err() {
        return !has_turns(difference);
    }
    let far_off = has_far_number(difference);
    field.kernels.all().all(|kernel| {
        let Kernel::Absolute(inner) = kernel else {
            return true;
        };
        let inner = field.polynomial_tree(inner);
        let value = |point: &Point| ball::evaluate(&inner, &point.balls).ok();
        let above = points
            .iter()
            .filter_map(value)
            .any(|value| value.is_positive());
        let below = points
            .iter()
            .filter_map(value)
            .any(|value| value.is_negative());
        above && below || (above || below) && !far_off
    })
}
