//! Marks for a working: what its lines earn. A method mark stays earned
//! after a slip, and a line that follows from a wrong one still shows its
//! method (error carried forward, as examiners commonly do).

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::SymbolTable;
use crate::physics::marking::MarkRule;

use super::equation::{Relation, relate};
use super::proof::{Kind, LineVerdict, Report, neighbours};

/// Whether each mark is earned. A code that begins with M is for method.
#[must_use]
pub fn earned(marks: &[(String, MarkRule)], report: &Report, table: &SymbolTable) -> Vec<bool> {
    marks
        .iter()
        .map(|(code, rule)| {
            let method = code.starts_with(['M', 'm']);
            is_earned(rule, method, report, table)
        })
        .collect()
}

/// Marks of a task whose sheet names none.
pub const USUAL: usize = 2;

/// The marks of a task whose sheet names none: one for a line of working, one
/// for the result.
#[must_use]
pub fn usual(report: &Report) -> (usize, usize) {
    let method = report
        .lines
        .iter()
        .any(|line| line.is_work && line.kind.is_sound() || line.carried_forward);
    if report.complete {
        return (USUAL, USUAL);
    }
    (usize::from(method), USUAL)
}

fn is_earned(rule: &MarkRule, method: bool, report: &Report, table: &SymbolTable) -> bool {
    let any = |test: &dyn Fn(&LineVerdict) -> bool| {
        report.lines.iter().any(|line| {
            let counts = line.kind.is_sound() && line.kind != Kind::Repeats
                || method && line.carried_forward;
            counts && test(line)
        })
    };
    // The result written down without working shows no method.
    let work = |line: &LineVerdict| line.is_work || line.carried_forward;
    match rule {
        MarkRule::Shown | MarkRule::Words => report.complete,
        MarkRule::Without(symbol) => any(&|line| {
            work(line)
                && neighbours(&line.chain)
                    .iter()
                    .any(|equation| !equation.symbols().contains(symbol))
        }),
        MarkRule::With(symbol) => any(&|line| {
            work(line)
                && neighbours(&line.chain)
                    .iter()
                    .any(|equation| equation.symbols().contains(symbol))
        }),
        MarkRule::Subject(symbol) => any(&|line| {
            let subject = Expr::Symbol(*symbol);
            neighbours(&line.chain).iter().any(|equation| {
                let one = equation.left == subject && !equation.right.contains(*symbol);
                let other = equation.right == subject && !equation.left.contains(*symbol);
                one || other
            })
        }),
        MarkRule::Says(wanted) => any(&|line| {
            let own: Vec<Equation> = neighbours(&line.chain);
            wanted.iter().all(|equation| {
                own.iter().any(|line| {
                    relate(
                        std::slice::from_ref(line),
                        std::slice::from_ref(equation),
                        table,
                    )
                    .relation
                        == Relation::Same
                })
            })
        }),
    }
}
