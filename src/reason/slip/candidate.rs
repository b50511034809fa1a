//! Answers that slips would give, gathered and found again by their mark.

use std::sync::OnceLock;

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::fingerprint::{Agreement, Mark, Places, Valued};
use super::kind::SlipKind;
use super::{Explanation, Slip};

/// Answers that one stage may hold.
const MOST: usize = 4_000;
/// Proofs that one search tries where numbers don't tell.
const MOST_PROOFS: usize = 2;

/// An answer that slips would give.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub value: Expr,
    pub rank: u8,
    pub mark: Mark,
    pub slips: Vec<Slip>,
    /// The values at all places, once an answer came near.
    pub valued: OnceLock<Vec<Valued>>,
}

impl Candidate {
    fn valued(&self, places: &Places) -> &[Valued] {
        self.valued.get_or_init(|| places.valued(&self.value))
    }

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
        let mut found: Vec<&Candidate> = mark
            .neighbours(&self.sorted, |candidate: &Candidate| candidate.mark)
            .collect();
        found.sort_by_key(|candidate| candidate.rank);
        let mut proofs = MOST_PROOFS;
        found.into_iter().find(|candidate| {
            match places.compare_valued(candidate.valued(places), value) {
                Agreement::Same => true,
                Agreement::Apart => false,
                Agreement::Open => {
                    if proofs == 0 {
                        return false;
                    }
                    proofs -= 1;
                    places.is_proved(&candidate.value, value, table)
                }
            }
        })
    }
}

/// Candidates on the way to a stage.
pub(super) struct Gathering<'a> {
    places: &'a Places,
    subject: Symbol,
    pub table: &'a SymbolTable,
    pub found: Vec<Candidate>,
}

impl<'a> Gathering<'a> {
    pub(super) fn new(places: &'a Places, subject: Symbol, table: &'a SymbolTable) -> Self {
        Gathering {
            places,
            subject,
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
                valued: OnceLock::new(),
            });
        }
    }

    /// The candidates in order. Some may be right after all: an answer that is
    /// known to be wrong agrees with none of those.
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
        Stage { sorted: kept }
    }
}
