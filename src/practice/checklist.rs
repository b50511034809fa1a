//! Every item with its state and its dates.

use std::panic::resume_unwind;

use super::attempt::Kind;
use super::day::Day;
use super::item::Item;
use super::mastery::{Mastery, Progress, Standing, State};
use super::plan::Planned;
use super::schedule::{key_number, returns};

/// An item of the checklist.
#[derive(Debug, Clone)]
pub struct Row<'f> {
    /// The item.
    pub item: Item<'f>,
    /// Marks that it is worth.
    pub marks: usize,
    /// How far it has come.
    pub progress: Progress,
    /// The day on which it comes back; nothing if it was never met, or does
    /// not come back before the exam.
    pub returns: Option<Day>,
}

impl Row<'_> {
    /// The row as the plan takes it.
    #[must_use]
    pub fn planned(&self) -> Planned {
        Planned {
            key: key_number(&self.item.key),
            marks: self.marks,
            progress: self.progress.clone(),
        }
    }

    /// Whether its day has come.
    #[must_use]
    pub fn is_due(&self, today: Day) -> bool {
        self.returns.is_some_and(|day| day <= today)
    }

    /// What it is today.
    #[must_use]
    pub fn state(&self, today: Day) -> State {
        match self.progress.standing() {
            Standing::New => State::New,
            _ if self.is_due(today) => State::Due,
            Standing::Shaky => State::Shaky,
            Standing::Secure => State::Secure,
        }
    }
}

/// How many items there are of each standing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    /// Secure ones.
    pub secure: usize,
    /// Met and not secure.
    pub shaky: usize,
    /// Never met.
    pub new: usize,
    /// Of the first two, those whose day has come.
    pub due: usize,
}

impl Count {
    /// The count of some rows.
    pub fn of<'r, 'f: 'r>(rows: impl IntoIterator<Item = &'r Row<'f>>, today: Day) -> Self {
        let mut count = Count::default();
        for row in rows {
            match row.progress.standing() {
                Standing::Secure => count.secure += 1,
                Standing::Shaky => count.shaky += 1,
                Standing::New => count.new += 1,
            }
            count.due += usize::from(row.is_due(today));
        }
        count
    }

    /// All of them.
    #[must_use]
    pub fn all(&self) -> usize {
        self.secure + self.shaky + self.new
    }
}

/// The rows of the items that can be asked, in the order of the items.
#[must_use]
pub fn rows<'f>(
    items: &[Item<'f>],
    mastery: &Mastery<'_>,
    today: Day,
    exam: Option<Day>,
) -> Vec<Row<'f>> {
    let row = |item: &Item<'f>| {
        Some(Row {
            marks: item.marks()?,
            item: item.clone(),
            progress: match mastery.progress(&item.key) {
                Some(progress) => progress.clone(),
                None => Progress::new(item.kind()),
            },
            returns: None,
        })
    };
    // Whether an item can be asked is known only when its formula is solved
    // or its words are read: on all cores.
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let parts = items.chunks(items.len().div_ceil(cores).max(1));
    let mut rows: Vec<Row<'f>> = std::thread::scope(|scope| {
        let threads: Vec<_> = parts
            .map(|part| scope.spawn(move || part.iter().filter_map(row).collect::<Vec<_>>()))
            .collect();
        let parts = threads.into_iter();
        parts
            .flat_map(|thread| thread.join().unwrap_or_else(|panic| resume_unwind(panic)))
            .collect()
    });
    let keyed = rows
        .iter()
        .map(|row| (&row.progress, key_number(&row.item.key)));
    let days = returns(keyed, today, exam);
    for (row, day) in rows.iter_mut().zip(days) {
        row.returns = day;
    }
    rows
}

/// The kinds that are there, in their order.
#[must_use]
pub fn kinds(rows: &[Row<'_>]) -> Vec<Kind> {
    let there = |kind: &Kind| rows.iter().any(|row| row.item.kind() == *kind);
    Kind::ALL.into_iter().filter(there).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;
    use crate::practice::attempt::{Attempt, AttemptId, Lettering};
    use crate::practice::item::items;

    #[test]
    fn states_and_counts() {
        let sheet = "topic waves\nv = f λ\ntopic odd\ny = x + sin x\n";
        let formulary = Formulary::from_text("test.sheet", sheet);
        let items = items(&formulary, |_| true);
        let first = Day::new(2027, 3, 1).unwrap();
        let attempts: Vec<Attempt> = [0, 1, 4]
            .into_iter()
            .map(|days| Attempt {
                id: AttemptId {
                    sitting: 1,
                    number: days,
                },
                day: first.plus(days as i32),
                moment: 0,
                item: items[0].key.clone(),
                kind: Kind::Rearrangement,
                lettering: if days == 1 {
                    Lettering::Unfamiliar
                } else {
                    Lettering::Sheet
                },
                right: true,
                wrong: 0,
                hints: 0,
                shown: false,
                support: 0,
                slip: None,
                marks: 1,
                awarded: 1,
            })
            .collect();
        for (days, state, counts) in [
            (0, State::Shaky, (0, 1, 2, 0)),
            (1, State::Shaky, (0, 1, 2, 0)),
            (3, State::Shaky, (0, 1, 2, 0)),
            (4, State::Secure, (1, 0, 2, 0)),
            (10, State::Secure, (1, 0, 2, 0)),
            (11, State::Due, (1, 0, 2, 1)),
        ] {
            let today = first.plus(days);
            let mastery = Mastery::of(&attempts, today);
            let rows = rows(&items, &mastery, today, None);
            // x of the odd formula has no closed form and is not listed.
            assert_eq!(rows.len(), 3);
            assert_eq!(rows[0].state(today), state, "{days}");
            assert_eq!(rows[1].state(today), State::New);
            let count = Count::of(&rows, today);
            assert_eq!(
                (count.secure, count.shaky, count.new, count.due),
                counts,
                "{days}"
            );
            assert_eq!(kinds(&rows), [Kind::Rearrangement, Kind::Proportion]);
        }
    }
}
