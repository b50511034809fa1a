//! When a line is circular: it says what is to be shown before that is
//! worked for, and later lines rest on it.
//!
//! A line that says what is to be shown, turned about, is a line of working
//! if a piece of a premise stands in it that the result has not: it was put in
//! there. One that could be had from the givens in one step but does not show
//! it is no work, and no fault either.
//!
//! Any other such line is kept pending until the working ends. One on which the next
//! line is built is circular whatever comes later; one that only says where
//! the working is to go is no fault, if the working gets there without it.

use crate::algebra::expr::{Equation, Expr};

use super::aim::{alike, one_operation_apart};
use super::proof::{Checker, Kind, LineVerdict, neighbours, same};
use super::shape::{has_same_sides, is_one_step, shows_origin};
use super::uses::{Source, Supply, irredundant, is_substitution, letters, symbols_of};

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

    /// Whether what is to be shown can also be had from earlier work, where
    /// the smallest set of premises has none: `v^2 = u^2 + 2 a s` follows from
    /// two givens, and from three lines that lead to it. The set found is then
    /// what is named.
    pub(super) fn rests_otherwise(&mut self, verdict: &mut LineVerdict) -> bool {
        let [_, _] = verdict.chain.as_slice() else {
            return false;
        };
        if verdict.kind == Kind::Leap
            || !self.has_work()
            || !self.aim.is_result(&verdict.chain, false, &self.table)
        {
            return false;
        }
        let is_line = |supply: &&Supply| matches!(supply.source, Source::Line(_));
        let lines: Vec<Supply> = self
            .supplies
            .iter()
            .filter(is_line)
            .rev()
            .cloned()
            .collect();
        let others = self.supplies.iter().filter(|supply| !is_line(supply));
        let all: Vec<Supply> = lines.iter().chain(others).cloned().collect();
        let equation = Equation::new(verdict.chain[0].clone(), verdict.chain[1].clone());
        let Some(found) = irredundant(&equation, &all, &mut self.prepared, &self.table) else {
            return false;
        };
        let before = std::mem::replace(&mut verdict.uses, found);
        let rests = self.rests_on_work(verdict);
        if !rests {
            verdict.uses = before;
        }
        rests
    }

    /// Whether a line says what is to be shown, turned about.
    pub(super) fn says_the_aim(&self, chain: &[Expr]) -> bool {
        self.aim.is_turned(chain, &self.table) || self.aim.is_said_otherwise(chain, &self.table)
    }

    /// Whether a line that says what is to be shown is a line of working: a
    /// piece of a premise stands in it that the result has not, it is one
    /// given turned round, or givens put together as they stand.
    pub(super) fn is_worked(&self, verdict: &LineVerdict, from_pending: bool) -> bool {
        if verdict.kind == Kind::Leap || from_pending {
            return false;
        }
        let from = self.equations_of(&verdict.uses, &self.supplies);
        let lines = neighbours(&verdict.chain);
        if shows_origin(&lines, &from, self.aim.chain()) {
            return true;
        }
        if self.aim.is_result(&verdict.chain, true, &self.table) {
            return false;
        }
        let turned = self.aim.is_turned(&verdict.chain, &self.table);
        verdict.uses.len() == 1
            || (turned && self.speaks_of_more(&lines, &from))
            || lines.iter().all(|equation| {
                is_substitution(equation, &from, false) || (!turned && is_one_step(equation, &from))
            })
    }

    /// Whether a line has a letter of the premises that what is to be shown
    /// has not: a factor that was only multiplied in shows nothing.
    fn speaks_of_more(&self, lines: &[Equation], from: &[&Equation]) -> bool {
        let goal = symbols_of(&neighbours(self.aim.chain()));
        symbols_of(lines).iter().any(|symbol| {
            let of_premises = from
                .iter()
                .any(|premise| premise.symbols().contains(symbol));
            of_premises && !goal.contains(symbol)
        })
    }

    /// Keeps of a pending line whether it may well be a step from
    /// the givens, or is the result as it stands.
    pub(super) fn weigh(&mut self, verdict: &LineVerdict, number: usize, parent: Option<usize>) {
        let lines = neighbours(&verdict.chain);
        let goal = neighbours(self.aim.chain());
        let literal = |line: &Equation| goal.iter().any(|goal| has_same_sides(line, goal));
        if lines.iter().all(literal) {
            self.literal.push(number);
            return;
        }
        let innocent = match parent {
            Some(parent) => self.innocent.contains(&parent),
            None => {
                let from = self.equations_of(&verdict.uses, &self.supplies);
                lines.iter().all(|line| is_one_step(line, &from))
            }
        };
        if innocent {
            self.innocent.push(number);
        }
    }

    /// Whether a pending line is no circle, whatever comes after it: it may
    /// well be a step from the givens, or the result is only said again.
    pub(super) fn is_excused(&self, number: usize) -> bool {
        let only_repeated = || {
            let mut later = self.pending.iter().filter(|later| **later > number);
            later.all(|later| self.literal.contains(later))
        };
        self.innocent.contains(&number) || self.literal.contains(&number) && only_repeated()
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
