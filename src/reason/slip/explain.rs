//! From a wrong answer, however it was typed, to what explains it.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::super::rearrangement::Problem;
use super::super::verdict::{Judgement, Note, Verdict};
use super::finder::Slips;
use super::kind::SlipKind;
use super::letters;
use super::route::solve;
use super::{Explanation, Slip};

/// Letters of a formula that are tried in the place of a strange one.
const MOST_LETTERS: usize = 12;

/// What explains a wrong answer; nothing for any other verdict, and nothing
/// where no slip fits.
#[must_use]
pub fn explain(
    problem: &Problem,
    slips: &Slips,
    answer: &[Expr],
    judgement: &Judgement,
    table: &SymbolTable,
) -> Option<Explanation> {
    if judgement.verdict != Verdict::Wrong {
        return None;
    }
    let subject = problem.subject();
    let own = Expr::Symbol(subject);
    let (given, value) = match answer {
        [value] => (None, value),
        [left, right] if *left == own => (Some(&own), right),
        [left, right] if *right == own => (Some(&own), left),
        [left @ Expr::Symbol(_), right] => (Some(left), right),
        [left, right @ Expr::Symbol(_)] => (Some(right), left),
        [left, right] => return of_line(problem, slips, left, right, table),
        _ => return None,
    };
    if judgement.notes.contains(&Note::RoundedConstant) {
        return Some(Explanation::one(Slip::new(
            SlipKind::ConstantRounded,
            value.clone(),
            value.clone(),
        )));
    }
    if let Some(found) = strange_letter(problem, value, table) {
        return Some(found);
    }
    if value
        .symbols()
        .iter()
        .any(|symbol| *symbol != subject && !problem.formula().symbols().contains(symbol))
    {
        return None;
    }
    match given {
        Some(Expr::Symbol(other)) if *other != subject => {
            let equation = Equation::new(Expr::Symbol(*other), value.clone());
            if problem.formula().symbols().contains(other)
                && Problem::new(problem.formula().clone(), *other, table)
                    .judge_value(value, table)
                    .is_right()
            {
                return Some(Explanation::one(Slip::new(
                    SlipKind::WrongSubject,
                    own.clone(),
                    Expr::Symbol(*other),
                )));
            }
            of_line(problem, slips, &equation.left, &equation.right, table)
        }
        _ if !value.contains(subject) => slips.explain(value, table),
        _ => {
            if let Some(other) = subject_of(problem, value, table) {
                return Some(Explanation::one(Slip::new(
                    SlipKind::WrongSubject,
                    own.clone(),
                    Expr::Symbol(other),
                )));
            }
            let both = || {
                Explanation::one(Slip::new(
                    SlipKind::SubjectBothSides,
                    own.clone(),
                    value.clone(),
                ))
            };
            if judgement.evidence.is_none() {
                return Some(both());
            }
            of_line(problem, slips, &own, value, table).or_else(|| Some(both()))
        }
    }
}

/// What explains a false line that is not an answer: the slip that its
/// solution for the subject shows.
fn of_line(
    problem: &Problem,
    slips: &Slips,
    left: &Expr,
    right: &Expr,
    table: &SymbolTable,
) -> Option<Explanation> {
    let equation = Equation::new(left.clone(), right.clone());
    explain_line(problem, slips, &equation, table)
}

/// What explains a wrong line: it is solved for the subject, correctly, and
/// the value is looked up.
#[must_use]
pub fn explain_line(
    problem: &Problem,
    slips: &Slips,
    line: &Equation,
    table: &SymbolTable,
) -> Option<Explanation> {
    for value in solve(line, problem.subject(), table) {
        if problem.judge_value(&value, table).verdict == Verdict::Wrong
            && let Some(found) = slips.explain(&value, table)
        {
            return Some(found);
        }
    }
    None
}

/// The other symbol for which the expression is the right rearrangement.
fn subject_of(problem: &Problem, value: &Expr, table: &SymbolTable) -> Option<Symbol> {
    problem
        .formula()
        .symbols()
        .into_iter()
        .filter(|symbol| *symbol != problem.subject() && !value.contains(*symbol))
        .take(MOST_LETTERS)
        .find(|symbol| {
            Problem::new(problem.formula().clone(), *symbol, table)
                .judge_value(value, table)
                .is_right()
        })
}

/// An answer that is right but for a letter that the formula does not have.
fn strange_letter(problem: &Problem, value: &Expr, table: &SymbolTable) -> Option<Explanation> {
    let subject = problem.subject();
    let symbols = problem.formula().symbols();
    let strange: Vec<Symbol> = value
        .symbols()
        .into_iter()
        .filter(|symbol| !symbols.contains(symbol) && *symbol != subject)
        .collect();
    if strange.is_empty() || strange.len() > 2 {
        return None;
    }
    let mut candidates: Vec<Symbol> = symbols
        .into_iter()
        .filter(|symbol| *symbol != subject)
        .take(MOST_LETTERS)
        .collect();
    // Alike ones, and those that the answer lacks, first.
    candidates.sort_by_key(|symbol| {
        (
            !strange
                .iter()
                .any(|own| letters::are_alike(*own, *symbol, table)),
            value.contains(*symbol),
        )
    });
    let right = |mended: &Expr| problem.judge_value(mended, table).is_right();
    for meant in &candidates {
        let mended = value.substitute(strange[0], &Expr::Symbol(*meant));
        if let [only] = strange[..] {
            if right(&mended) {
                let radius = letters::is_radius(only, table) && letters::is_radius(*meant, table);
                let kind = if radius {
                    SlipKind::RadiusDiameter
                } else {
                    SlipKind::WrongLetter
                };
                return Some(Explanation::one(Slip::new(
                    kind,
                    Expr::Symbol(*meant),
                    Expr::Symbol(only),
                )));
            }
            continue;
        }
        for second in &candidates {
            if second != meant && right(&mended.substitute(strange[1], &Expr::Symbol(*second))) {
                return Some(Explanation {
                    slips: vec![
                        Slip::new(
                            SlipKind::WrongLetter,
                            Expr::Symbol(*meant),
                            Expr::Symbol(strange[0]),
                        ),
                        Slip::new(
                            SlipKind::WrongLetter,
                            Expr::Symbol(*second),
                            Expr::Symbol(strange[1]),
                        ),
                    ],
                });
            }
        }
    }
    None
}
