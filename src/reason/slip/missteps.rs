//! An operation on both sides that goes wrong on one of them, as rows of data.

use crate::algebra::expr::{Equation, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

use super::super::step::Operation;
use super::kind::SlipKind;
use super::powers::partly;
use super::view::{factors, flipped, inverted, is_numeric, product, raised, sum, terms};

/// A way in which a step goes wrong.
pub(super) struct Misstep {
    /// The name.
    pub kind: SlipKind,
    /// Lower is believed first.
    pub rank: u8,
    /// What the side without the subject wrongly becomes.
    pub apply: fn(&Operation, &Expr, &mut Vec<Expr>),
}

const fn row(kind: SlipKind, rank: u8, apply: fn(&Operation, &Expr, &mut Vec<Expr>)) -> Misstep {
    Misstep { kind, rank, apply }
}

/// The rows.
pub(super) const MISSTEPS: &[Misstep] = &[
    row(SlipKind::RootForgotten, 5, root_forgotten),
    row(SlipKind::SquareLost, 8, power_forgotten),
    row(SlipKind::RootForSquare, 9, root_for_square),
    row(SlipKind::WrongRootIndex, 20, other_index),
    row(SlipKind::PowerAsFactor, 24, power_as_factor),
    row(SlipKind::RootSharedOverSum, 10, root_shared),
    row(SlipKind::PowerSharedOverSum, 10, power_shared),
    row(SlipKind::ReciprocalSharedOverSum, 10, reciprocal_shared),
    row(SlipKind::RootPartlyTaken, 12, root_partly),
    row(SlipKind::OneFactorPowered, 12, factor_powered),
    row(SlipKind::InverseFunctionForgotten, 15, inverse_forgotten),
    row(SlipKind::ReciprocalForgotten, 18, reciprocal_forgotten),
    row(SlipKind::SignNotChanged, 19, sign_kept),
    row(SlipKind::MultipliedForDivided, 24, multiplied),
    row(SlipKind::FractionInverted, 25, turned_over),
    row(SlipKind::SwappedPair, 28, taken_from_the_wrong_side),
    row(SlipKind::SubtractedForDivided, 30, subtracted),
    row(SlipKind::OneTermMultiplied, 44, one_side_multiplied),
];

fn root_forgotten(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::TakeRoot { .. } = operation {
        into.push(other.clone());
    }
}

fn power_forgotten(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::RaiseToPower(_) = operation {
        into.push(other.clone());
    }
}

fn root_for_square(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    match operation {
        Operation::TakeRoot { index, .. } => {
            into.push(raised(other, &Number::from(i64::from(*index))));
        }
        Operation::RaiseToPower(power) => {
            if let Some(root) = power.reciprocal() {
                into.push(raised(other, &root));
            }
        }
        _ => {}
    }
}

fn other_index(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    for index in [2, 3, 4] {
        match operation {
            Operation::TakeRoot { index: own, .. } if i64::from(*own) != index => {
                into.push(raised(other, &Number::new(1, index)));
            }
            Operation::RaiseToPower(own) if *own != Number::from(index) => {
                into.push(raised(other, &Number::from(index)));
            }
            _ => {}
        }
    }
}

fn power_as_factor(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    match operation {
        Operation::TakeRoot { index, .. } => {
            into.push(Expr::div(other.clone(), Expr::integer(i64::from(*index))));
        }
        Operation::RaiseToPower(power) => {
            into.push(Expr::mul(Expr::Number(power.clone()), other.clone()));
        }
        _ => {}
    }
}

fn over_terms(other: &Expr, exponent: &Number, into: &mut Vec<Expr>) {
    let parts = terms(other);
    if parts.len() >= 2 {
        into.push(sum(parts
            .iter()
            .map(|term| Term {
                sign: term.sign,
                value: raised(&term.value, exponent),
            })
            .collect()));
    }
}

fn root_shared(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::TakeRoot { index, .. } = operation {
        over_terms(other, &Number::new(1, i64::from(*index)), into);
    }
}

fn power_shared(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::RaiseToPower(power) = operation {
        over_terms(other, power, into);
    }
}

fn reciprocal_shared(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if matches!(
        operation,
        Operation::TakeReciprocals | Operation::CombineFractions
    ) {
        let parts = terms(other);
        if parts.len() >= 2 {
            into.push(sum(parts
                .iter()
                .map(|term| Term {
                    sign: term.sign,
                    value: inverted(&term.value),
                })
                .collect()));
        }
    }
}

fn root_partly(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::TakeRoot { index, .. } = operation {
        partly(other, &Number::new(1, i64::from(*index)), into);
    }
}

fn factor_powered(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::RaiseToPower(power) = operation {
        partly(other, power, into);
    }
}

fn inverse_forgotten(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    match operation {
        Operation::ApplyInverse(_)
        | Operation::TakeLogarithms(_)
        | Operation::RaiseTenToBothSides => into.push(other.clone()),
        _ => {}
    }
    // The same function once more where its inverse is needed.
    if let Operation::ApplyInverse(function) = operation {
        let again = match function {
            Function::Exp => Some(Function::Ln),
            Function::Ln => Some(Function::Exp),
            _ => None,
        };
        into.extend(again.map(|function| Expr::call(function, other.clone())));
    }
}

fn reciprocal_forgotten(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::TakeReciprocals = operation {
        into.push(other.clone());
    }
}

fn sign_kept(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    let (moved, sign) = match operation {
        Operation::AddToBothSides(moved) => (moved, Sign::Plus),
        Operation::SubtractFromBothSides(moved) => (moved, Sign::Minus),
        Operation::ChangeSigns => {
            into.push(other.clone());
            return;
        }
        _ => return,
    };
    let parts = terms(moved);
    let with = |changed: u32| {
        let mut whole = terms(other);
        whole.extend(parts.iter().enumerate().map(|(place, term)| {
            let own = if sign == Sign::Minus {
                flipped(term.sign)
            } else {
                term.sign
            };
            Term {
                sign: if changed >> place & 1 == 1 {
                    flipped(own)
                } else {
                    own
                },
                value: term.value.clone(),
            }
        }));
        sum(whole)
    };
    into.push(with(u32::MAX));
    if parts.len() >= 2 {
        into.extend((0..parts.len().min(5)).map(|place| with(1 << place)));
    }
}

fn multiplied(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    match operation {
        Operation::DivideBothSides(factor) if !is_numeric(factor) => {
            into.push(Expr::mul(other.clone(), factor.clone()));
        }
        Operation::MultiplyBothSides(factor) if !is_numeric(factor) => {
            into.push(Expr::div(other.clone(), factor.clone()));
        }
        _ => {}
    }
}

fn one_side_multiplied(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::MultiplyBothSides(factor) = operation
        && !is_numeric(factor)
    {
        into.push(other.clone());
    }
}

fn turned_over(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::DivideBothSides(factor) = operation
        && !is_numeric(factor)
    {
        into.push(Expr::div(factor.clone(), other.clone()));
    }
}

fn taken_from_the_wrong_side(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    if let Operation::SubtractFromBothSides(moved) = operation {
        into.push(Expr::sub(moved.clone(), other.clone()));
    }
}

fn subtracted(operation: &Operation, other: &Expr, into: &mut Vec<Expr>) {
    match operation {
        Operation::DivideBothSides(factor) => {
            into.push(Expr::sub(other.clone(), factor.clone()));
            let parts = factors(factor);
            for place in 0..parts.len() {
                if parts.len() < 2 {
                    break;
                }
                let mut rest = parts.clone();
                let off = rest.remove(place).value;
                into.push(Expr::sub(
                    Expr::div(other.clone(), product(rest.clone())),
                    off.clone(),
                ));
                into.push(Expr::div(Expr::sub(other.clone(), off), product(rest)));
            }
        }
        Operation::MultiplyBothSides(factor) => {
            into.push(Expr::add(other.clone(), factor.clone()));
        }
        Operation::SubtractFromBothSides(term) => {
            into.push(Expr::div(other.clone(), term.clone()));
        }
        _ => {}
    }
}

/// Wrong lines that keep the subject on both sides, or have it moved across.
pub(super) fn wrong_lines(
    before: &Equation,
    operation: &Operation,
    after: &Equation,
) -> Vec<(SlipKind, u8, Equation)> {
    let mut found = Vec::new();
    match operation {
        Operation::AddToBothSides(moved) | Operation::SubtractFromBothSides(moved) => {
            let adds = matches!(operation, Operation::AddToBothSides(_));
            let wrong = |side: &Expr| {
                if adds {
                    Expr::sub(side.clone(), moved.clone())
                } else {
                    Expr::add(side.clone(), moved.clone())
                }
            };
            let left_lost = terms(&before.left).len() > terms(&after.left).len()
                || (terms(&before.left).len() == 1
                    && terms(&after.right).len() > terms(&before.right).len());
            let equation = if left_lost {
                Equation::new(after.left.clone(), wrong(&before.right))
            } else {
                Equation::new(wrong(&before.left), after.right.clone())
            };
            found.push((SlipKind::SignNotChanged, 19, equation));
        }
        Operation::MultiplyBothSides(factor) | Operation::ClearFractions(factor) => {
            found.extend(
                missed(before, factor)
                    .into_iter()
                    .map(|equation| (SlipKind::OneTermMultiplied, 15, equation)),
            );
        }
        Operation::DivideBothSides(factor) => {
            let over = inverted(factor);
            found.extend(
                missed(before, &over)
                    .into_iter()
                    .map(|equation| (SlipKind::OneTermDivided, 15, equation)),
            );
        }
        _ => {}
    }
    found
}

/// What the terms of an equation may be divided by, and all but one of them
/// divided by each.
pub(super) fn divided_but_one(before: &Equation, subject: Symbol) -> Vec<Equation> {
    let mut divisors: Vec<Expr> = Vec::new();
    for side in [&before.left, &before.right] {
        for term in terms(side) {
            let parts: Vec<Factor> = factors(&term.value)
                .into_iter()
                .filter(|factor| !factor.divides && !factor.value.contains(subject))
                .collect();
            let whole = product(parts.clone());
            for divisor in parts.into_iter().map(|factor| factor.value).chain([whole]) {
                if !is_numeric(&divisor) && !divisors.contains(&divisor) {
                    divisors.push(divisor);
                }
            }
        }
    }
    divisors
        .iter()
        .flat_map(|divisor| missed(before, &inverted(divisor)))
        .collect()
}

/// Every term multiplied but one, for each of them.
fn missed(before: &Equation, factor: &Expr) -> Vec<Equation> {
    let (left, right) = (terms(&before.left), terms(&before.right));
    let count = left.len() + right.len();
    if !(3..=6).contains(&count) {
        return Vec::new();
    }
    (0..count)
        .map(|spared| {
            let side = |own: &[Term], from: usize| {
                sum(own
                    .iter()
                    .enumerate()
                    .map(|(place, term)| Term {
                        sign: term.sign,
                        value: if place + from == spared {
                            term.value.clone()
                        } else {
                            let mut whole = factors(&term.value);
                            whole.extend(factors(factor));
                            product(whole)
                        },
                    })
                    .collect())
            };
            Equation::new(side(&left, 0), side(&right, left.len()))
        })
        .collect()
}

/// The denominators of the terms of a formula with a sum of fractions.
fn denominators(formula: &Equation) -> Vec<Expr> {
    let mut found: Vec<Expr> = Vec::new();
    for side in [&formula.left, &formula.right] {
        for term in terms(side) {
            let below: Vec<Factor> = factors(&term.value)
                .into_iter()
                .filter(|factor| factor.divides)
                .map(|factor| Factor {
                    divides: false,
                    value: factor.value,
                })
                .collect();
            if !below.is_empty() {
                let whole = product(below);
                if !found.contains(&whole) {
                    found.push(whole);
                }
            }
        }
    }
    found
}

/// Clearing the fractions of a formula with one term missed.
pub(super) fn clearing(formula: &Equation) -> Vec<Equation> {
    let count = terms(&formula.left).len() + terms(&formula.right).len();
    let below = denominators(formula);
    if count < 3 || below.is_empty() || below.len() > 3 {
        return Vec::new();
    }
    let mut found = Vec::new();
    let times = |equation: &Equation, factor: &Expr| {
        let side = |own: &Expr| {
            sum(terms(own)
                .into_iter()
                .map(|term| Term {
                    sign: term.sign,
                    value: {
                        let mut whole = factors(&term.value);
                        whole.extend(factors(factor));
                        product(whole)
                    },
                })
                .collect())
        };
        Equation::new(side(&equation.left), side(&equation.right))
    };
    for one in &below {
        found.extend(missed(formula, one));
        for two in &below {
            if one != two {
                found.extend(missed(&times(formula, one), two));
            }
        }
    }
    found
}
