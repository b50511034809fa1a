//! The worked path as lines that can be left at any point and carried on
//! correctly to the end.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::super::isolate::{self, Outcome};
use super::super::step::Operation;
use super::fingerprint::Places;
use super::view::{inverted, negated, raised};

/// A worked path.
#[derive(Debug, Clone)]
pub(super) struct Route {
    pub subject: Symbol,
    /// The formula and the equation after each step.
    pub lines: Vec<Equation>,
    /// What leads from each line to the next.
    pub operations: Vec<Operation>,
    /// The solution.
    pub value: Expr,
    /// From which line on the other side can be carried on by itself.
    pub replayable: usize,
}

/// A line with the subject on one side only.
pub(super) struct Sides<'a> {
    pub own: &'a Expr,
    pub other: &'a Expr,
}

impl Route {
    pub(super) fn new(
        formula: &Equation,
        solution: &isolate::Solution,
        subject: Symbol,
        places: &Places,
        table: &SymbolTable,
    ) -> Self {
        let mut lines = vec![formula.clone()];
        lines.extend(solution.path.iter().map(|step| step.equation.clone()));
        let operations: Vec<Operation> = solution
            .path
            .iter()
            .map(|step| step.operation.clone())
            .collect();
        let mut route = Route {
            subject,
            lines,
            operations,
            value: solution.value.clone(),
            replayable: 0,
        };
        let mut from = route.lines.len() - 1;
        while from > 0 {
            let Some(sides) = route.sides(from - 1) else {
                break;
            };
            let other = sides.other.clone();
            if route.replay_step(from - 1, &other).is_none() {
                break;
            }
            let Some(end) = route.replay(from - 1, other) else {
                break;
            };
            if !places.agree(&end, &route.value, table) {
                break;
            }
            from -= 1;
        }
        route.replayable = from;
        route
    }

    /// The sides of a line, if the subject is on one of them only.
    pub(super) fn sides(&self, line: usize) -> Option<Sides<'_>> {
        let equation = self.lines.get(line)?;
        match (
            equation.left.contains(self.subject),
            equation.right.contains(self.subject),
        ) {
            (true, false) => Some(Sides {
                own: &equation.left,
                other: &equation.right,
            }),
            (false, true) => Some(Sides {
                own: &equation.right,
                other: &equation.left,
            }),
            _ => None,
        }
    }

    /// What the step after `line` makes of the other side.
    pub(super) fn replay_step(&self, line: usize, other: &Expr) -> Option<Expr> {
        replay_operation(&self.operations[line], other, self.subject)
    }

    /// Everything after `line` done to the other side.
    pub(super) fn replay(&self, line: usize, other: Expr) -> Option<Expr> {
        (line..self.operations.len()).try_fold(other, |side, step| self.replay_step(step, &side))
    }
}

/// What an operation on both sides makes of one of them.
pub(super) fn replay_operation(
    operation: &Operation,
    other: &Expr,
    subject: Symbol,
) -> Option<Expr> {
    let free = |expr: &Expr| !expr.contains(subject);
    Some(match operation {
        Operation::SwapSides
        | Operation::CombineFractions
        | Operation::ExpandBrackets
        | Operation::CollectTerms(_)
        | Operation::FactorOut(_)
        | Operation::Rewrite(_)
        | Operation::KeepSign(..) => other.clone(),
        Operation::AddToBothSides(moved) if free(moved) => Expr::add(other.clone(), moved.clone()),
        Operation::SubtractFromBothSides(moved) if free(moved) => {
            Expr::sub(other.clone(), moved.clone())
        }
        Operation::MultiplyBothSides(factor) if free(factor) => {
            Expr::mul(other.clone(), factor.clone())
        }
        Operation::DivideBothSides(factor) if free(factor) => {
            Expr::div(other.clone(), factor.clone())
        }
        Operation::ChangeSigns => negated(other),
        Operation::RaiseToPower(power) => raised(other, power),
        Operation::RaiseToSymbolicPower(power) if free(power) => {
            Expr::pow(other.clone(), power.clone())
        }
        Operation::TakeRoot { index, .. } => raised(other, &Number::new(1, i64::from(*index))),
        Operation::TakeReciprocals => inverted(other),
        Operation::ApplyInverse(function) | Operation::TakeLogarithms(function) => {
            Expr::call(*function, other.clone())
        }
        Operation::RaiseTenToBothSides => Expr::pow(Expr::integer(10), other.clone()),
        _ => return None,
    })
}

/// The principal solutions of an equation.
pub(super) fn solve(equation: &Equation, subject: Symbol, table: &SymbolTable) -> Vec<Expr> {
    match isolate::isolate(equation, subject, table) {
        Outcome::Solved { solutions, .. } => solutions
            .into_iter()
            .take(2)
            .map(|solution| solution.value)
            .collect(),
        _ => Vec::new(),
    }
}
