//! Answers that slips would give, gathered and found again by their mark.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::fingerprint::{Mark, Places};
use super::kind::SlipKind;
use super::{Explanation, Slip};

/// Answers that one stage may hold.
const MOST: usize = 4_000;
/// How far from a mark, relative, its neighbours are looked at.
const WINDOW: f64 = 2e-9;

/// An answer that slips would give.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub value: Expr,
    pub rank: u8,
    pub mark: Mark,
    pub slips: Vec<Slip>,
}

impl Candidate {
    pub(super) fn explanation(&self) -> Explanation {
        Explanation {
            slips: self.slips.clone(),
        }
    }
}

/// Candidates by the place and value of their mark.
#[derive(Debug, Clone, Default)]
pub(super) struct Stage {
    pub sorted: Vec<Candidate>,
}

impl Stage {
    /// The most readily believed candidate with the values of `value`.
    pub(super) fn find(
        &self,
        value: &Expr,
        mark: Mark,
        places: &Places,
        table: &SymbolTable,
    ) -> Option<&Candidate> {
        let margin = mark.value.abs() * WINDOW;
        let start = self.sorted.partition_point(|candidate| {
            (candidate.mark.place, candidate.mark.value) < (mark.place, mark.value - margin)
        });
        let mut found: Vec<&Candidate> = self.sorted[start..]
            .iter()
            .take_while(|candidate| {
                candidate.mark.place == mark.place && candidate.mark.value <= mark.value + margin
            })
            .filter(|candidate| candidate.mark.is_near(mark))
            .collect();
        found.sort_by_key(|candidate| candidate.rank);
        found
            .into_iter()
            .find(|candidate| places.agree(&candidate.value, value, table))
    }
}

/// Candidates on the way to a stage.
pub(super) struct Gathering<'a> {
    places: &'a Places,
    subject: Symbol,
    /// The solutions with their marks: what has the same values is no slip.
    right: Vec<(&'a Expr, Mark)>,
    pub table: &'a SymbolTable,
    pub found: Vec<Candidate>,
}

impl<'a> Gathering<'a> {
    pub(super) fn new(
        places: &'a Places,
        subject: Symbol,
        solutions: &'a [Expr],
        table: &'a SymbolTable,
    ) -> Self {
        Gathering {
            places,
            subject,
            right: solutions
                .iter()
                .filter_map(|solution| Some((solution, places.mark(solution)?)))
                .collect(),
            table,
            found: Vec::new(),
        }
    }

    pub(super) fn add_slip(&mut self, value: Expr, rank: u8, kind: SlipKind, right: &Expr) {
        let slip = Slip::new(kind, right.clone(), value.clone());
        self.add(value, rank, vec![slip]);
    }

    pub(super) fn add(&mut self, value: Expr, rank: u8, slips: Vec<Slip>) {
        if self.found.len() >= MOST || value.contains(self.subject) {
            return;
        }
        // Without a value anywhere there is nothing to recognise it by.
        if let Some(mark) = self.places.mark(&value) {
            self.found.push(Candidate {
                value,
                rank,
                mark,
                slips,
            });
        }
    }

    pub(super) fn finish(mut self) -> Stage {
        self.found.sort_by(|left, right| {
            left.mark
                .place
                .cmp(&right.mark.place)
                .then(left.mark.value.total_cmp(&right.mark.value))
                .then(left.rank.cmp(&right.rank))
        });
        // Of the ways to one answer the most readily believed one is enough.
        let mut kept: Vec<Candidate> = Vec::with_capacity(self.found.len());
        for candidate in self.found {
            let same = kept
                .iter()
                .rev()
                .take_while(|own| own.mark.is_near(candidate.mark))
                .any(|own| {
                    own.slips[0].kind == candidate.slips[0].kind && own.rank <= candidate.rank
                });
            if !same {
                kept.push(candidate);
            }
        }
        let (right, places, table) = (self.right, self.places, self.table);
        kept.retain(|candidate| {
            !right.iter().any(|(solution, mark)| {
                mark.is_near(candidate.mark) && places.agree(solution, &candidate.value, table)
            })
        });
        Stage { sorted: kept }
    }
}
