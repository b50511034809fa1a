//! Whether the two sides of an answer can have the same dimension: a first
//! sign that something went wrong. It never changes a verdict.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::physics::balance::{Balance, Imbalance};

/// How `subject = value` does not balance, if it does not. Nothing is said
/// where the formula itself does not balance with these units.
#[must_use]
pub fn imbalance(
    formula: &Equation,
    subject: Symbol,
    value: &Expr,
    balance: &Balance,
) -> Option<Box<Imbalance>> {
    imbalance_in(&settled(formula, balance)?, subject, value)
}

/// The dimensions with what the formula says of those that are not declared;
/// nothing where the formula itself does not balance.
#[must_use]
pub fn settled(formula: &Equation, balance: &Balance) -> Option<Balance> {
    let mut balance = balance.without_findings();
    balance.check(formula).ok()?;
    Some(balance)
}

/// [`imbalance`] for a caller that keeps what [`settled`] gave.
#[must_use]
pub fn imbalance_in(settled: &Balance, subject: Symbol, value: &Expr) -> Option<Box<Imbalance>> {
    settled
        .clone()
        .check(&Equation::new(Expr::Symbol(subject), value.clone()))
        .err()
}
