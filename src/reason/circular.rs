//! When a line is circular: it says what is to be shown before that is
//! worked for, and later lines rest on it.
//!
//! Such a line is kept pending until the working ends. One on which the next
//! line is built is circular whatever comes later; one that only says where
//! the working is to go is no fault, if the working gets there without it.

use crate::algebra::expr::{Equation, Expr};

use super::aim::{alike, one_operation_apart};
use super::proof::{Checker, Kind, LineVerdict, neighbours, same};
use super::uses::{Source, is_substitution, letters};

impl Checker<'_> {
    /// Whether a line comes from earlier work.
    pub(super) fn rests_on_work(&self, verdict: &LineVerdict) -> bool {
        if verdict.chain.len() > 2 || verdict.approximation.is_some() && self.has_work() {
            return true;
        }
        verdict.uses.iter().any(|source| match source {
            Source::Line(line) => self
                .lines
                .get(*line)
                .is_some_and(|line| line.is_work || matches!(line.kind, Kind::Defines(_))),
            _ => false,
        })
    }

    /// Whether a line with the same solutions as what is to be shown is a
    /// line of working: one given turned round, or givens put together as
    /// they stand.
    pub(super) fn is_worked(&self, verdict: &LineVerdict, from_pending: bool) -> bool {
        let bare = self.aim.is_result(&verdict.chain, true, &self.table);
        if verdict.kind == Kind::Leap || bare || from_pending {
            return false;
        }
        if verdict.uses.len() == 1 || self.aim.is_shorter_than(&verdict.chain) {
            return true;
        }
        let from = self.equations_of(&verdict.uses, &self.supplies);
        neighbours(&verdict.chain)
            .iter()
            .all(|equation| is_substitution(equation, &from, false))
    }

    /// The line before, if it says what is to be shown and is not worked for,
    /// and this line is built on it: one thing is done to both sides, a premise
    /// is put into one of them, or it says the same otherwise and no given
    /// says it. Givens that are only said again may stand between.
    pub(super) fn pending_parent(&mut self, verdict: &LineVerdict) -> Option<usize> {
        let chain = &verdict.chain;
        let from_a_given = matches!(verdict.uses.as_slice(), [Source::Given(_)]);
        let before = self
            .lines
            .iter()
            .rposition(|line| !matches!(line.kind, Kind::Repeats))?;
        if !self.pending.contains(&before) || self.says_a_given(chain) {
            return None;
        }
        let parent = self.lines[before].chain.clone();
        let built = one_operation_apart(&parent, chain, &self.table)
            || self.is_put_into(&parent, chain)
            || (!from_a_given && self.is_equivalent(&parent, chain));
        built.then_some(before)
    }

    /// Whether a line says a given, perhaps with its factors moved about.
    fn says_a_given(&self, chain: &[Expr]) -> bool {
        let equations = neighbours(chain);
        self.task
            .given
            .iter()
            .chain(&self.task.helpers)
            .any(|given| {
                neighbours(given).iter().any(|given| {
                    equations.iter().all(|equation| {
                        letters(equation) <= letters(given) && alike(equation, given, &self.table)
                    })
                })
            })
    }

    fn is_equivalent(&self, before: &[Expr], after: &[Expr]) -> bool {
        neighbours(before).iter().any(|one| {
            neighbours(after)
                .iter()
                .any(|two| same(one, two, &self.table))
        })
    }

    /// Whether a line is another with one premise put in: side by side they
    /// are equal wherever that premise holds.
    fn is_put_into(&mut self, before: &[Expr], after: &[Expr]) -> bool {
        let pairs: Vec<[Equation; 2]> = neighbours(before)
            .iter()
            .flat_map(|one| {
                neighbours(after).into_iter().flat_map(|two| {
                    [two.clone(), two.flipped()].map(|two| {
                        [
                            Equation::new(one.left.clone(), two.left),
                            Equation::new(one.right.clone(), two.right),
                        ]
                    })
                })
            })
            .collect();
        for supply in &self.supplies {
            let premises = self.prepared.of(&[supply], &self.table);
            if pairs
                .iter()
                .any(|pair| pair.iter().all(|sides| premises.prove(sides, &self.table)))
            {
                return true;
            }
        }
        false
    }

    pub(super) fn has_work(&self) -> bool {
        self.lines.iter().any(|line| line.is_work)
    }
}
