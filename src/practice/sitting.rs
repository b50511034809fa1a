//! One sitting: what was asked, and how it went.

use crate::reason::slip::SlipKind;

/// How one question went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Entry {
    /// Marks that the question is worth.
    pub marks: usize,
    /// Marks that it earns if it is right at the first try.
    pub earned: usize,
    /// Whether a worked example came with it.
    pub supported: bool,
    /// Wrong answers.
    pub wrong: usize,
    /// Hints that were seen.
    pub hints: usize,
    /// Whether the worked solution was seen.
    pub shown: bool,
    /// Whether it was answered rightly.
    pub right: bool,
    /// Whether it is over, one way or another.
    pub done: bool,
}

impl Entry {
    /// Right with no wrong answer before and no help beyond a worked example
    /// that came with the question.
    #[must_use]
    pub fn first_try(&self) -> bool {
        self.right && self.wrong == 0 && self.hints == 0 && !self.shown
    }
}

/// A sitting as it goes on. A slip of typing can be taken back; help that was
/// seen stays seen.
#[derive(Debug, Clone, Default)]
pub struct Sitting {
    entries: Vec<Entry>,
    trail: Vec<(usize, Entry)>,
    /// Slips in the order in which they were made.
    slips: Vec<Made>,
}

/// A slip that was made.
#[derive(Debug, Clone, Copy)]
struct Made {
    /// The length of the trail then.
    trail: usize,
    /// The question.
    number: usize,
    kind: SlipKind,
}

/// The tally of a sitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Questions that are over.
    pub asked: usize,
    /// Of these, right at the first try and without help.
    pub first_try: usize,
    /// Of these, right in the end.
    pub right: usize,
    /// Marks for those that were right at the first try.
    pub awarded: usize,
    /// Marks of all that are over.
    pub available: usize,
    /// Worked examples that were followed to the end, which the others do not
    /// count.
    pub followed: usize,
}

impl Sitting {
    /// A sitting with nothing asked yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The first question that is not over, if all that were begun are not.
    #[must_use]
    pub fn open(&self) -> Option<usize> {
        self.entries.iter().position(|entry| !entry.done)
    }

    /// Begins a question worth so many marks; its number.
    pub fn begin(&mut self, marks: usize) -> usize {
        self.entries.push(Entry {
            marks,
            earned: marks,
            ..Entry::default()
        });
        self.entries.len() - 1
    }

    /// How many questions were begun.
    #[must_use]
    pub fn begun(&self) -> usize {
        self.entries.len()
    }

    /// How a question went so far.
    #[must_use]
    pub fn entry(&self, number: usize) -> Entry {
        self.entries.get(number).copied().unwrap_or_default()
    }

    fn change(&mut self, number: usize, change: impl FnOnce(&mut Entry)) {
        if let Some(entry) = self.entries.get_mut(number) {
            self.trail.push((number, *entry));
            change(entry);
        }
    }

    /// Says that a worked example comes with a question.
    pub fn support(&mut self, number: usize) {
        if let Some(entry) = self.entries.get_mut(number) {
            entry.supported = true;
        }
    }

    /// The question of the last answer, skip or showing.
    #[must_use]
    pub fn last_changed(&self) -> Option<usize> {
        self.trail.last().map(|(number, _)| *number)
    }

    /// Records an answer.
    pub fn answer(&mut self, number: usize, right: bool) {
        self.change(number, |entry| {
            if right {
                entry.right = true;
                entry.done = true;
            } else {
                entry.wrong += 1;
            }
        });
    }

    /// Says that the answer, though right, earns fewer marks.
    pub fn award(&mut self, number: usize, earned: usize) {
        if let Some(entry) = self.entries.get_mut(number) {
            entry.earned = earned;
        }
    }

    /// Records that the question was left.
    pub fn skip(&mut self, number: usize) {
        self.change(number, |entry| entry.done = true);
    }

    /// Records that the worked solution was shown, which ends the question.
    pub fn show(&mut self, number: usize) {
        self.change(number, |entry| {
            entry.shown = true;
            entry.done = true;
        });
    }

    /// Records a hint.
    pub fn hint(&mut self, number: usize) {
        if let Some(entry) = self.entries.get_mut(number) {
            entry.hints += 1;
        }
    }

    /// Remembers a slip of the last answer to a question.
    pub fn slip(&mut self, number: usize, kind: SlipKind) {
        self.slips.push(Made {
            trail: self.trail.len(),
            number,
            kind,
        });
    }

    /// The first slip that was made in a question.
    #[must_use]
    pub fn first_slip(&self, number: usize) -> Option<SlipKind> {
        let mut slips = self.slips.iter();
        let made = slips.find(|made| made.number == number)?;
        Some(made.kind)
    }

    /// The slips that were made most often, with how often, the most frequent
    /// first; of equals the one that was made first.
    #[must_use]
    pub fn frequent_slips(&self, most: usize) -> Vec<(SlipKind, usize)> {
        let mut counts: Vec<(SlipKind, usize)> = Vec::new();
        for made in &self.slips {
            match counts.iter_mut().find(|(own, _)| *own == made.kind) {
                Some((_, count)) => *count += 1,
                None => counts.push((made.kind, 1)),
            }
        }
        counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        counts.truncate(most);
        counts
    }

    /// Takes back the last answer, skip or showing: the question that is open
    /// again, or nothing if there is nothing to take back.
    pub fn undo(&mut self) -> Option<usize> {
        let (number, before) = self.trail.pop()?;
        let left = self.trail.len();
        self.slips.retain(|made| made.trail <= left);
        let entry = self.entries.get_mut(number)?;
        *entry = Entry {
            hints: entry.hints,
            shown: entry.shown,
            ..before
        };
        Some(number)
    }

    /// The tally of the questions that are over, or were begun and count as
    /// missed.
    #[must_use]
    pub fn tally(&self) -> Tally {
        let mut tally = Tally::default();
        let counts = |entry: &&Entry| entry.done || entry.wrong > 0 || entry.hints > 0;
        for entry in self.entries.iter().filter(counts) {
            if entry.supported {
                tally.followed += usize::from(entry.first_try());
                continue;
            }
            tally.asked += 1;
            tally.available += entry.marks;
            tally.right += usize::from(entry.right);
            if entry.first_try() {
                tally.first_try += 1;
                tally.awarded += entry.earned;
            }
        }
        tally
    }

    /// The questions to look at again: over, or answered wrongly, and not
    /// right at the first try.
    #[must_use]
    pub fn again(&self) -> Vec<usize> {
        self.entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry.done || entry.wrong > 0 || entry.hints > 0)
            .filter(|(_, entry)| !entry.first_try())
            .map(|(number, _)| number)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_typing_is_taken_back_but_help_is_not() {
        let mut sitting = Sitting::new();
        let first = sitting.begin(2);
        sitting.answer(first, false);
        assert_eq!(sitting.undo(), Some(first));
        sitting.answer(first, true);
        assert_eq!(sitting.tally().first_try, 1);
        let second = sitting.begin(3);
        sitting.show(second);
        assert_eq!(sitting.open(), None);
        assert_eq!(sitting.undo(), Some(second));
        assert_eq!(sitting.open(), Some(second));
        sitting.answer(second, true);
        let tally = sitting.tally();
        assert_eq!((tally.asked, tally.first_try, tally.right), (2, 1, 2));
        assert_eq!((tally.awarded, tally.available), (2, 5));
        assert_eq!(sitting.again(), [second]);
    }

    #[test]
    fn frequent_slips_come_first_and_are_taken_back_with_their_answer() {
        let mut sitting = Sitting::new();
        let only = sitting.begin(1);
        for kind in [
            SlipKind::RootForgotten,
            SlipKind::SignNotChanged,
            SlipKind::CoefficientLost,
            SlipKind::SignNotChanged,
        ] {
            sitting.answer(only, false);
            sitting.slip(only, kind);
        }
        assert_eq!(
            sitting.frequent_slips(2),
            [(SlipKind::SignNotChanged, 2), (SlipKind::RootForgotten, 1)]
        );
        sitting.undo();
        sitting.undo();
        assert_eq!(
            sitting.frequent_slips(2),
            [(SlipKind::RootForgotten, 1), (SlipKind::SignNotChanged, 1)]
        );
    }

    #[test]
    fn undo_goes_back_to_the_question_before() {
        let mut sitting = Sitting::new();
        assert_eq!(sitting.undo(), None);
        let first = sitting.begin(1);
        sitting.skip(first);
        sitting.begin(1);
        assert_eq!(sitting.undo(), Some(first));
        assert_eq!(sitting.open(), Some(first));
        assert_eq!(sitting.tally(), Tally::default());
    }

    #[test]
    fn a_hint_costs_the_first_try() {
        let mut sitting = Sitting::new();
        let only = sitting.begin(1);
        sitting.hint(only);
        sitting.answer(only, true);
        assert_eq!(sitting.tally().first_try, 0);
        assert_eq!(sitting.tally().right, 1);
    }
}
