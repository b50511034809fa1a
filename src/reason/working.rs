//! Working, line by line: each line is judged against the line before it. The
//! first that breaks is named; later lines that follow from the broken one
//! keep their method marks (error carried forward, common practice).

use std::cell::LazyCell;

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::text::readings::{Reading, Readings};

use super::answer::{self, equations};
use super::equation::{Related, Relation, relate};
use super::isolate::{Outcome, isolate};
use super::rearrangement::Problem;
use super::slip::{Explanation, SlipKind, Slips, explain, explain_line};
use super::step;
use super::verdict::{Evidence, Note, Verdict};

/// What a line stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The formula.
    Formula,
    /// The line of this number, from 0.
    Line(usize),
}

/// A judged line.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedLine {
    /// How it stands to what it was judged against.
    pub relation: Relation,
    /// What that rests on.
    pub evidence: Option<Evidence>,
    /// What else is worth saying.
    pub notes: Vec<Note>,
    /// The sides, as they were read.
    pub chain: Vec<Expr>,
    /// What it follows from; nothing where it does not follow.
    pub follows: Option<Basis>,
    /// The slip, where it does not follow and one explains it.
    pub explanation: Option<Explanation>,
    /// Marks that it earns.
    pub marks: usize,
}

/// Marks that were lost, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// The line, or nothing where the working stops too early.
    pub line: Option<usize>,
    /// How many.
    pub marks: usize,
}

/// A judged working.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// The lines.
    pub lines: Vec<JudgedLine>,
    /// The first line that does not follow.
    pub first_bad: Option<usize>,
    /// Whether every line follows and the last one has the subject alone, with
    /// its right value.
    pub complete: bool,
    /// Marks earned.
    pub awarded: usize,
    /// Marks that an examiner would pay.
    pub available: usize,
    /// Where the others went.
    pub lost: Vec<Lost>,
}

/// What later lines are held against.
struct Standing {
    basis: Basis,
    equations: Vec<Equation>,
}

/// Judges the lines of a working that starts from the problem's formula.
#[must_use]
pub fn judge(problem: &Problem, slips: &Slips, lines: &[Readings], table: &SymbolTable) -> Working {
    let subject = problem.subject();
    let formula = Standing {
        basis: Basis::Formula,
        equations: vec![problem.formula().clone()],
    };
    let available = remaining(&formula.equations, problem, table)
        .unwrap_or(1)
        .max(1);
    let mut left = Some(available);
    let mut earned = 0;
    let mut judged: Vec<JudgedLine> = Vec::new();
    let mut first_bad = None;
    let mut lost: Vec<Lost> = Vec::new();
    let mut stands = vec![formula];
    for (number, readings) in lines.iter().enumerate() {
        let mut line = one(problem, &stands, readings, first_bad.is_some(), table);
        let sides = sides_of(&line.chain, problem);
        let after = remaining(&sides, problem, table);
        let progress = match (left, after) {
            (Some(before), Some(after)) => before.saturating_sub(after),
            _ => 0,
        };
        if line.follows.is_some() {
            line.marks = progress.min(available.saturating_sub(earned));
            earned += line.marks;
        } else if !matches!(line.relation, Relation::Undecided(_)) {
            line.explanation = why(problem, slips, &stands, &line.chain, table);
            // A line that does several steps at once and has one slip shows
            // the method of the others.
            let slip = line.explanation.as_ref().map_or(usize::MAX, cost);
            line.marks = progress
                .saturating_sub(slip)
                .min(available.saturating_sub(earned));
            earned += line.marks;
            lost.push(Lost {
                line: Some(number),
                marks: progress.saturating_sub(line.marks).max(1),
            });
            if first_bad.is_none() {
                first_bad = Some(number);
            }
        }
        left = after.or(left);
        if !sides.is_empty() {
            stands.push(Standing {
                basis: Basis::Line(number),
                equations: sides,
            });
        }
        judged.push(line);
    }
    let finished = lines.last().is_some_and(|last| {
        let (judgement, reading) = answer::judge(problem, last, table);
        judgement.is_right() && is_alone(&reading.chain, subject)
    });
    let open = judged
        .iter()
        .any(|line| line.follows.is_none() && matches!(line.relation, Relation::Undecided(_)));
    let complete = finished && first_bad.is_none() && !open;
    let awarded = if complete {
        available
    } else if first_bad.is_some() {
        // A wrong line costs its mark, whatever follows.
        earned.min(available - 1)
    } else {
        earned.min(available)
    };
    settle(&mut lost, available - awarded);
    Working {
        lines: judged,
        first_bad,
        complete,
        awarded,
        available,
        lost,
    }
}

/// Marks that slips cost: one each, two where a step can't be done any more
/// for want of another, and all of them where the answer is to another
/// question.
fn cost(explanation: &Explanation) -> usize {
    explanation.slips.iter().fold(0, |cost, slip| {
        let own: usize = match slip.kind {
            SlipKind::WrongSubject => return usize::MAX,
            SlipKind::FactorNotCollected
            | SlipKind::SubjectBothSides
            | SlipKind::OrderOfUndoing => 2,
            _ => 1,
        };
        cost.saturating_add(own)
    })
}

/// The losses brought to their true sum: what no line accounts for was not
/// reached.
fn settle(lost: &mut Vec<Lost>, total: usize) {
    let mut rest = total;
    for loss in lost.iter_mut() {
        loss.marks = loss.marks.min(rest);
        rest -= loss.marks;
    }
    lost.retain(|loss| loss.marks > 0);
    if rest > 0 {
        lost.push(Lost {
            line: None,
            marks: rest,
        });
    }
}

fn is_alone(chain: &[Expr], subject: Symbol) -> bool {
    let own = Expr::Symbol(subject);
    match chain {
        [value] => !value.contains(subject),
        [left, right] => {
            (*left == own && !right.contains(subject)) || (*right == own && !left.contains(subject))
        }
        _ => false,
    }
}

/// Whether a line has the subject alone on one side, so that a working ends
/// with it.
#[must_use]
pub fn is_isolated(reading: &Reading, problem: &Problem) -> bool {
    is_alone(&reading.chain, problem.subject())
}

/// The equations of a line; a bare expression is a value of the subject.
fn sides_of(chain: &[Expr], problem: &Problem) -> Vec<Equation> {
    match chain {
        [value] => vec![Equation::new(
            Expr::Symbol(problem.subject()),
            value.clone(),
        )],
        _ => chain
            .windows(2)
            .map(|pair| Equation::new(pair[0].clone(), pair[1].clone()))
            .collect(),
    }
}

/// Steps that pay from these equations to the subject.
fn remaining(equations: &[Equation], problem: &Problem, table: &SymbolTable) -> Option<usize> {
    let equation = equations
        .iter()
        .find(|equation| equation.symbols().contains(&problem.subject()))?;
    match isolate(equation, problem.subject(), table) {
        Outcome::Solved { solutions, .. } => solutions
            .first()
            .map(|solution| step::marks(&solution.path)),
        _ => None,
    }
}

/// One line against the line before, and where it does not follow from that,
/// against the earlier ones.
fn one(
    problem: &Problem,
    stands: &[Standing],
    readings: &Readings,
    broken: bool,
    table: &SymbolTable,
) -> JudgedLine {
    let line = |related: Related, notes: Vec<Note>, reading: &Reading, follows| JudgedLine {
        relation: related.relation,
        evidence: related.evidence,
        notes,
        chain: reading.chain.clone(),
        follows,
        explanation: None,
        marks: 0,
    };
    let Some(before) = stands.last() else {
        let related = Related {
            relation: Relation::Undecided(super::verdict::Undecided::Open),
            evidence: None,
        };
        return line(related, Vec::new(), &readings.preferred, None);
    };
    // Made once, and only if a line does not follow as it stands.
    let own = LazyCell::new(|| own_problem(&before.equations, problem.subject(), table));
    let mut first = None;
    for reading in readings.all() {
        let sides = sides_of(&reading.chain, problem);
        let notes = if std::ptr::eq(reading, &readings.preferred) {
            Vec::new()
        } else {
            vec![
                reading
                    .differs
                    .map_or(Note::AmbiguousReading, answer::note_of),
            ]
        };
        let related = relate(&before.equations, &sides, table);
        match related.relation {
            Relation::Same | Relation::Gains => {
                return line(related, notes, reading, Some(before.basis));
            }
            _ => {
                // A line that has lost a root or a point where something is
                // zero is right all the same, if it is as an answer.
                if let Some(more) = right_as_answer(own.as_ref(), &sides, table) {
                    let mut notes = notes;
                    notes.extend(more);
                    return line(related, notes, reading, Some(before.basis));
                }
            }
        }
        if broken {
            for earlier in &stands[..stands.len() - 1] {
                let again = relate(&earlier.equations, &sides, table);
                if again.relation == Relation::Same {
                    return line(again, notes, reading, Some(earlier.basis));
                }
            }
        }
        if first.is_none() {
            first = Some(line(related, notes, reading, None));
        }
    }
    let mut found = first.unwrap_or_else(|| {
        let related = Related {
            relation: Relation::Undecided(super::verdict::Undecided::Open),
            evidence: None,
        };
        line(related, Vec::new(), &readings.preferred, None)
    });
    if matches!(found.relation, Relation::Undecided(_))
        && let Some(evidence) = fails_before(own.as_ref(), &found.chain, table)
    {
        found.relation = Relation::Different;
        found.evidence = Some(evidence);
    }
    if matches!(found.relation, Relation::Undecided(_)) {
        let sides = sides_of(&found.chain, problem);
        if let Some(evidence) = wrong_as_answer(own.as_ref(), &sides, table) {
            found.relation = Relation::Different;
            found.evidence = Some(evidence);
        }
    }
    found
}

fn own_equation<'e>(equations: &'e [Equation], problem: &Problem) -> Option<&'e Equation> {
    match equations {
        [only] => Some(only),
        several => several
            .iter()
            .find(|equation| equation.symbols().contains(&problem.subject())),
    }
}

/// The values that a line gives to the subject.
fn values(sides: &[Equation], problem: &Problem, table: &SymbolTable) -> Vec<Expr> {
    let Some(equation) = own_equation(sides, problem) else {
        return Vec::new();
    };
    let subject = Expr::Symbol(problem.subject());
    if equation.left == subject && !equation.right.contains(problem.subject()) {
        return vec![equation.right.clone()];
    }
    match isolate(equation, problem.subject(), table) {
        Outcome::Solved { solutions, .. } => solutions
            .into_iter()
            .map(|solution| solution.value)
            .collect(),
        _ => Vec::new(),
    }
}

/// The line before as a formula for the same subject, if it is one equation
/// with the subject in it.
fn own_problem(before: &[Equation], subject: Symbol, table: &SymbolTable) -> Option<Problem> {
    let [before] = before else { return None };
    before
        .symbols()
        .contains(&subject)
        .then(|| Problem::new(before.clone(), subject, table))
}

fn right_as_answer(
    own: Option<&Problem>,
    sides: &[Equation],
    table: &SymbolTable,
) -> Option<Vec<Note>> {
    let own = own.filter(|_| sides.len() == 1)?;
    let values = values(sides, own, table);
    let mut notes = Vec::new();
    for value in &values {
        let judgement = own.judge_value(value, table);
        if !judgement.is_right() {
            return None;
        }
        notes.extend(judgement.notes);
    }
    (!values.is_empty()).then_some(notes)
}

/// A point of the line before at which the line certainly fails.
fn fails_before(own: Option<&Problem>, chain: &[Expr], table: &SymbolTable) -> Option<Evidence> {
    let own = own?;
    sides_of(chain, own)
        .iter()
        .find_map(|equation| own.false_at(&equation.left, &equation.right, table))
        .map(|found| Evidence::Counterexample(Box::new(found)))
}

fn wrong_as_answer(
    own: Option<&Problem>,
    sides: &[Equation],
    table: &SymbolTable,
) -> Option<Evidence> {
    let own = own.filter(|_| sides.len() == 1)?;
    values(sides, own, table)
        .iter()
        .map(|value| own.judge_value(value, table))
        .find(|judgement| judgement.verdict == Verdict::Wrong)
        .and_then(|judgement| judgement.evidence)
}

/// The slip that leads from the line before to a line that does not follow.
fn why(
    problem: &Problem,
    slips: &Slips,
    stands: &[Standing],
    chain: &[Expr],
    table: &SymbolTable,
) -> Option<Explanation> {
    let before = own_equation(&stands.last()?.equations, problem)?;
    let named = |problem: &Problem, slips: &Slips| -> Option<Explanation> {
        if is_alone(chain, problem.subject()) || chain.len() == 1 {
            let judgement = problem.judge(chain, table);
            return explain(problem, slips, chain, &judgement, table);
        }
        let equation = sides_of(chain, problem).pop()?;
        explain_line(problem, slips, &equation, table)
    };
    if stands.len() > 1 && before.symbols().contains(&problem.subject()) {
        let own = Problem::new(before.clone(), problem.subject(), table);
        let found = named(&own, &Slips::new(&own, table));
        if found.is_some() {
            return found;
        }
        // A slip on the way from the formula says more than none.
        if !matches!(stands.last()?.basis, Basis::Line(_)) {
            return None;
        }
    }
    named(problem, slips)
}

/// The equations of a reading, for a caller that holds lines against lines.
#[must_use]
pub fn line_equations(reading: &Reading, problem: &Problem) -> Vec<Equation> {
    if reading.chain.len() < 2 {
        sides_of(&reading.chain, problem)
    } else {
        equations(reading)
    }
}
