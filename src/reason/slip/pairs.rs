//! Two slips at once: a second one on the answers of a first.
//!
//! There are thousands of such answers to one formula, so that only their
//! values are kept; one that fits is made anew.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::SymbolTable;

use super::candidate::{Candidate, Stage};
use super::finder::{DOUBTFUL, Slips};
use super::fingerprint::{Agreement, Mark};
use super::kind::SlipKind;
use super::malrules::{RULES, Rule};
use super::rewriting::{Rewritten, everywhere};
use super::{Explanation, Slip};

/// Answers of two slips at once that are worked out.
const MOST_PAIRS: usize = 1_200;
/// First slips that are followed by a second one.
const MOST_FIRST: usize = 40;
/// Answers that are made anew for one search.
const MOST_TRIED: usize = 8;

#[derive(Debug, Clone, Copy)]
struct Pair {
    mark: Mark,
    rank: u8,
    /// Which first slip.
    first: u16,
    /// Which of the second slips on its answer, in the order of the walk.
    second: u16,
}

/// The values of answers with two slips.
#[derive(Debug, Clone)]
pub(super) struct Pairs {
    replayed: Stage,
    /// The first slips: places in the near answers, and after them in the
    /// replayed ones.
    firsts: Vec<usize>,
    sorted: Vec<Pair>,
}

fn rules() -> Vec<&'static Rule> {
    RULES
        .iter()
        .filter(|rule| rule.pairs && rule.at_end)
        .collect()
}

fn is_paired(kind: SlipKind) -> bool {
    RULES.iter().any(|rule| rule.pairs && rule.kind == kind)
}

fn chosen<'s>(near: &'s Stage, replayed: &'s Stage, place: usize) -> &'s Candidate {
    let count = near.sorted.len();
    if place < count {
        &near.sorted[place]
    } else {
        &replayed.sorted[place - count]
    }
}

impl Pairs {
    pub(super) fn new(near: &Stage, replayed: Stage, slips: &Slips) -> Self {
        // A rewriting that changes no value is no slip.
        let right: Vec<Mark> = slips
            .solutions
            .iter()
            .filter_map(|solution| slips.places.mark(solution))
            .collect();
        let mut firsts: Vec<usize> = (0..near.sorted.len() + replayed.sorted.len())
            .filter(|place| {
                let own = chosen(near, &replayed, *place);
                own.rank < DOUBTFUL
                    && own.slips.iter().all(|slip| is_paired(slip.kind))
                    && !right.iter().any(|mark| mark.is_near(own.mark))
            })
            .collect();
        firsts.sort_by_key(|place| chosen(near, &replayed, *place).rank);
        firsts.truncate(MOST_FIRST);
        let mut pairs = Pairs {
            replayed,
            firsts,
            sorted: Vec::new(),
        };
        let rules = rules();
        let mut sorted: Vec<Pair> = Vec::new();
        for number in 0..pairs.firsts.len() {
            let first = chosen(near, &pairs.replayed, pairs.firsts[number]);
            let mut second = 0;
            everywhere(&first.value, &rules, &mut |found| {
                let place = second;
                second += 1;
                if found.rule.kind == first.slips[0].kind || sorted.len() >= MOST_PAIRS {
                    return;
                }
                let (Some(mark), Ok(number), Ok(place)) = (
                    slips
                        .places
                        .rough_mark(&first.value, found.right, &found.wrong),
                    u16::try_from(number),
                    u16::try_from(place),
                ) else {
                    return;
                };
                sorted.push(Pair {
                    mark,
                    rank: first.rank.saturating_add(found.rule.rank),
                    first: number,
                    second: place,
                });
            });
        }
        sorted.sort_by(|left, right| {
            (left.mark.place.cmp(&right.mark.place))
                .then(left.mark.value.total_cmp(&right.mark.value))
                .then(left.rank.cmp(&right.rank))
        });
        sorted.shrink_to_fit();
        pairs.sorted = sorted;
        pairs
    }

    /// The two slips, the most readily believed ones, that lead to a value.
    pub(super) fn find(
        &self,
        near: &Stage,
        value: &Expr,
        mark: Mark,
        slips: &Slips,
        table: &SymbolTable,
    ) -> Option<Explanation> {
        let mut found: Vec<Pair> = mark
            .neighbours(&self.sorted, |pair| pair.mark)
            .copied()
            .collect();
        found.sort_by_key(|pair| pair.rank);
        found.into_iter().take(MOST_TRIED).find_map(|pair| {
            let place = self.firsts[usize::from(pair.first)];
            let first = chosen(near, &self.replayed, place);
            self.made(first, usize::from(pair.second), |second| {
                if slips.places.compare(&second.whole(), value) != Agreement::Same {
                    return None;
                }
                let kind = slips.kind_at_end(second.rule.kind, second.right, &second.wrong, table);
                let mut both = first.slips.clone();
                both.push(Slip::new(kind, second.right.clone(), second.wrong.clone()));
                Some(Explanation { slips: both })
            })
        })
    }

    fn made<T>(
        &self,
        first: &Candidate,
        wanted: usize,
        use_it: impl Fn(&Rewritten<'_, '_>) -> Option<T>,
    ) -> Option<T> {
        let (mut place, mut result) = (0, None);
        everywhere(&first.value, &rules(), &mut |found| {
            if place == wanted {
                result = use_it(&found);
            }
            place += 1;
        });
        result
    }
}
