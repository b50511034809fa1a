//! Which question comes next: an order that a seed decides.
//!
//! Every question once before any comes again; never two of one formula in a
//! row where another is to be had; topics mixed (interleaving: Rohrer, Dedrick
//! and Burgess 2014).

use std::ops::RangeInclusive;

use crate::algebra::symbol::Symbol;
use crate::physics::formulary::{Formula, Formulary, Topic};

use super::question::Question;
use super::seed::SplitMix;

/// How far ahead the next question is looked for; a longer list is mixed well
/// enough by the shuffle.
const LOOK_AHEAD: usize = 64;
/// How many questions of a round are left when those without a closed form are
/// dropped from it: one dropped later could leave its neighbours side by side.
const LAST_ONES: usize = 12;

#[derive(Debug, Clone, Copy)]
struct Item<'f> {
    topic: &'f Topic,
    topic_number: usize,
    formula: &'f Formula,
    /// The formula's number in the whole list.
    formula_number: usize,
    subject: Symbol,
}

impl<'f> Item<'f> {
    fn question(&self, marks: &RangeInclusive<usize>) -> Option<Question<'f>> {
        Question::from_sheet(self.topic, self.formula, self.subject)
            .filter(|question| marks.contains(&question.marks))
    }
}

/// Chooses questions one after the other, without end.
#[derive(Debug, Clone)]
pub struct Chooser<'f> {
    items: Vec<Item<'f>>,
    /// What is left of this round, in the order of the shuffle.
    left: Vec<Item<'f>>,
    /// How many of each formula are left.
    counts: Vec<usize>,
    /// Whether all that is left of this round has a closed form.
    checked: bool,
    last: Option<(usize, usize)>,
    /// Marks that a question may be worth.
    marks: RangeInclusive<usize>,
    /// Whether each question comes once only.
    once: bool,
    random: SplitMix,
}

impl<'f> Chooser<'f> {
    /// A chooser for the topics that `wanted` lets through.
    #[must_use]
    pub fn new(formulary: &'f Formulary, wanted: impl Fn(&Topic) -> bool, seed: u64) -> Self {
        let mut items = Vec::new();
        let mut formulae = 0;
        for (topic_number, topic) in formulary.topics.iter().enumerate() {
            if !wanted(topic) {
                continue;
            }
            for formula in &topic.formulae {
                for subject in topic.questions(formula) {
                    items.push(Item {
                        topic,
                        topic_number,
                        formula,
                        formula_number: formulae,
                        subject,
                    });
                }
                formulae += 1;
            }
        }
        Chooser {
            items,
            left: Vec::new(),
            counts: vec![0; formulae],
            checked: false,
            last: None,
            marks: 1..=usize::MAX,
            once: false,
            random: SplitMix::new(seed),
        }
    }

    /// Only questions that are worth so many marks.
    #[must_use]
    pub fn worth(mut self, marks: RangeInclusive<usize>) -> Self {
        self.marks = marks;
        self
    }

    /// Each question once only.
    #[must_use]
    pub fn once(mut self) -> Self {
        self.once = true;
        self
    }

    /// How many questions there are at most; those without a closed form are
    /// found only when their turn comes.
    #[must_use]
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// Whether there is nothing to ask.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    fn refill(&mut self) {
        self.left.clone_from(&self.items);
        self.random.shuffle(&mut self.left);
        self.checked = false;
        self.count();
    }

    fn count(&mut self) {
        self.counts.fill(0);
        for item in &self.left {
            self.counts[item.formula_number] += 1;
        }
    }

    /// Drops what has no closed form from the end of a round.
    fn check_the_last(&mut self) {
        self.left
            .retain(|item| item.question(&self.marks).is_some());
        self.count();
        self.checked = true;
    }

    /// The place in `left` of the next question.
    fn place(&self) -> usize {
        let (last_topic, last_formula) = self.last.map_or((None, None), |(topic, formula)| {
            (Some(topic), Some(formula))
        });
        let rest = self.left.len();
        // A formula that fills more than half of what is left must come now,
        // or it would have to follow itself at the end.
        if let Some((crowded, count)) = self
            .counts
            .iter()
            .copied()
            .enumerate()
            .max_by_key(|(number, count)| (*count, std::cmp::Reverse(*number)))
            && 2 * count > rest
            && Some(crowded) != last_formula
            && let Some(place) = self
                .left
                .iter()
                .position(|item| item.formula_number == crowded)
        {
            return place;
        }
        let near = &self.left[..rest.min(LOOK_AHEAD)];
        near.iter()
            .position(|item| Some(item.topic_number) != last_topic)
            .or_else(|| {
                self.left
                    .iter()
                    .position(|item| Some(item.formula_number) != last_formula)
            })
            .unwrap_or(0)
    }
}

impl<'f> Iterator for Chooser<'f> {
    type Item = Question<'f>;

    /// The next question; nothing if no question has a closed form, or each
    /// comes once only and has come.
    fn next(&mut self) -> Option<Question<'f>> {
        let mut fresh_round = false;
        loop {
            if self.left.is_empty() {
                // A whole round without one question would go on for ever.
                if fresh_round || self.items.is_empty() || self.once && self.last.is_some() {
                    return None;
                }
                self.refill();
                fresh_round = true;
            }
            if !self.checked && self.left.len() <= LAST_ONES {
                self.check_the_last();
                continue;
            }
            let item = self.left.remove(self.place());
            self.counts[item.formula_number] -= 1;
            match item.question(&self.marks) {
                Some(question) => {
                    self.last = Some((item.topic_number, item.formula_number));
                    return Some(question);
                }
                None => self.items.retain(|other| {
                    other.formula_number != item.formula_number || other.subject != item.subject
                }),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEETS: &str = "topic waves
v = f λ
T = 1/f
topic forces
F = m a
W = m g
p = m v
topic odd
y = x + sin x
";

    fn keys(seed: u64, count: usize) -> Vec<String> {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        Chooser::new(&formulary, |_| true, seed)
            .take(count)
            .map(|question| question.key().unwrap())
            .collect()
    }

    #[test]
    fn the_same_seed_gives_the_same_order() {
        assert_eq!(keys(5, 40), keys(5, 40));
        assert_ne!(keys(5, 40), keys(6, 40));
    }

    #[test]
    fn all_once_before_any_again_and_no_formula_twice_running() {
        for seed in 0..30 {
            let order = keys(seed, 27);
            // Nine pairs have a closed form; x of the last formula has none.
            for round in order.chunks(9) {
                let mut round = round.to_vec();
                round.sort();
                round.dedup();
                assert_eq!(round.len(), 9, "seed {seed}");
            }
            let formula = |key: &str| key.rsplit_once('/').unwrap().0.to_owned();
            for pair in order.windows(2) {
                assert_ne!(
                    formula(&pair[0]),
                    formula(&pair[1]),
                    "seed {seed}: {order:?}"
                );
            }
        }
    }

    #[test]
    fn each_once_and_no_more() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let chooser = Chooser::new(&formulary, |_| true, 3).once();
        assert_eq!(chooser.take(40).count(), 9);
    }

    #[test]
    fn nothing_solvable_ends() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let mut chooser = Chooser::new(&formulary, |topic| topic.key == "odd", 1);
        assert!(!chooser.is_empty());
        assert!(chooser.next().is_none());
        let none = Chooser::new(&formulary, |_| false, 1);
        assert!(none.is_empty());
    }
}
