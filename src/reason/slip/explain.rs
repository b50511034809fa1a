//! From a wrong answer, however it was typed, to what explains it.

use crate::algebra::expr::{Constant, Equation, Expr};
use crate::algebra::number::Number;
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
    // Every step of the algebra was sound.
    let in_part = |note: &Note| matches!(note, Note::RightWherePositive(_));
    if judgement.notes.iter().any(in_part) {
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
    if let Some(found) = number_for_constant(problem, value, table) {
        return Some(found);
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
    if let Some(found) = slips.explain_rewritten(line, table) {
        return Some(found);
    }
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
                let kind = if letters::radius_and_diameter(only, *meant, table) {
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

/// Multiples of pi and its square that are written as decimals.
const MULTIPLES: [(i64, i64); 15] = [
    (1, 1),
    (2, 1),
    (3, 1),
    (4, 1),
    (6, 1),
    (8, 1),
    (1, 2),
    (1, 4),
    (3, 4),
    (4, 3),
    (2, 3),
    (3, 2),
    (1, 3),
    (1, 6),
    (16, 1),
];
/// Relative error of a rounded number.
const ROUNDING: f64 = 4e-3;
/// Numbers of an answer that are looked at.
const MOST_NUMBERS: usize = 6;

/// An answer that is right but for a number in the place of a constant or of
/// a quantity, such as 9.81 for g or 12.6 for 4 pi.
fn number_for_constant(
    problem: &Problem,
    value: &Expr,
    table: &SymbolTable,
) -> Option<Explanation> {
    let subject = problem.subject();
    if value.contains(subject) {
        return None;
    }
    let mut numbers: Vec<Number> = Vec::new();
    collect_numbers(value, &mut numbers);
    let missing: Vec<Symbol> = problem
        .formula()
        .symbols()
        .into_iter()
        .filter(|symbol| *symbol != subject && !value.contains(*symbol))
        .collect();
    let right = |mended: &Expr| problem.judge_value(mended, table).is_right();
    let named = |right: Expr, number: &Number| {
        Some(Explanation::one(Slip::new(
            SlipKind::ConstantRounded,
            right,
            Expr::Number(number.clone()),
        )))
    };
    for number in numbers.iter().take(MOST_NUMBERS) {
        if let [constant] = missing[..] {
            let meant = Expr::Symbol(constant);
            if right(&replaced(value, number, &meant)) {
                return named(meant, number);
            }
        }
        if number.is_integer() && number.abs() < Number::from(20) {
            continue;
        }
        for (above, below) in MULTIPLES {
            for power in [1, 2] {
                #[allow(clippy::cast_precision_loss)]
                let exact = std::f64::consts::PI.powi(power) * above as f64 / below as f64;
                if (number.to_f64() / exact - 1.0).abs() > ROUNDING {
                    continue;
                }
                let meant = Expr::mul(
                    Expr::Number(Number::new(above, below)),
                    super::view::raised(
                        &Expr::Constant(Constant::Pi),
                        &Number::from(i64::from(power)),
                    ),
                );
                if right(&replaced(value, number, &meant)) {
                    return named(meant, number);
                }
            }
        }
    }
    // Euler's number where the letter e stands for a quantity.
    if has_euler(value)
        && !has_euler(&problem.formula().left)
        && !has_euler(&problem.formula().right)
    {
        for symbol in missing {
            let mended = without_euler(value, symbol);
            if letters::is_e(symbol, table) && right(&mended) {
                return Some(Explanation::one(Slip::new(
                    SlipKind::WrongLetter,
                    Expr::Symbol(symbol),
                    Expr::Constant(Constant::Euler),
                )));
            }
        }
    }
    None
}

fn collect_numbers(expr: &Expr, found: &mut Vec<Number>) {
    if let Expr::Number(number) = expr
        && !found.contains(number)
        && !number.is_zero()
        && !number.is_one()
    {
        found.push(number.clone());
    }
    expr.for_each_child(|child| collect_numbers(child, found));
}

fn replaced(expr: &Expr, number: &Number, meant: &Expr) -> Expr {
    match expr {
        Expr::Number(own) if own == number => meant.clone(),
        other => other.map_children(|child| replaced(child, number, meant)),
    }
}

fn has_euler(expr: &Expr) -> bool {
    expr.any_node(&mut |node| matches!(node, Expr::Constant(Constant::Euler)))
}

fn without_euler(expr: &Expr, meant: Symbol) -> Expr {
    match expr {
        Expr::Constant(Constant::Euler) => Expr::Symbol(meant),
        other => other.map_children(|child| without_euler(child, meant)),
    }
}
