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
    let mut balance = balance.without_findings();
    balance.check(formula).ok()?;
    balance
        .check(&Equation::new(Expr::Symbol(subject), value.clone()))
        .err()
}
