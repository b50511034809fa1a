//! What the drill keeps: which item comes next, and every attempt in the
//! journal before the question after it.

use std::io::{self, Write};
use std::path::PathBuf;

use crate::practice::attempt::{Attempt, AttemptId};
use crate::practice::checklist::Count;
use crate::practice::choice::{Choice, Plan, Why};
use crate::practice::day::Day;
use crate::practice::item::Item;
use crate::practice::mastery::{Mastery, Progress};
use crate::practice::posed::Posed;
use crate::practice::schedule::{key_number, returns};
use crate::practice::sitting::Entry;
use crate::reason::slip::SlipKind;
use crate::show::counts::counted;
use crate::store::clock::{self, SittingDay};
use crate::store::journal::{Contents, Journal};
use crate::store::record::Record;

use super::keep::because;
use super::practice_args::Marks;
use super::sheets::Loaded;
use super::signals::Ready;

/// An item that was asked in this sitting.
#[derive(Debug, Clone)]
struct Asked {
    place: usize,
    why: Why,
    /// Its progress before.
    before: Option<Progress>,
    /// The attempt in the journal, once it is there.
    id: Option<AttemptId>,
    /// How the question stood when it was written.
    written: Option<Entry>,
}

/// What came of an item in a sitting.
#[derive(Debug, Clone)]
pub struct Gain {
    /// The item's place.
    pub place: usize,
    /// Whether it has become secure.
    pub won: bool,
    /// Whether it has ceased to be.
    pub lost: bool,
    /// When it comes back.
    pub returns: Option<Day>,
}

/// The drill's memory.
pub struct Keeping<'f> {
    items: Vec<Item<'f>>,
    progress: Vec<Option<Progress>>,
    choice: Choice,
    exam: Option<Day>,
    seed: u64,
    marks: Option<Marks>,
    loaded: &'f Loaded,
    first: bool,
    clock: SittingDay,
    fixed: Option<Day>,
    sitting: u64,
    records: u32,
    asked: Vec<Asked>,
    path: PathBuf,
    journal: Option<Journal>,
    /// Records that could not be written yet.
    unsaved: Vec<Record>,
    /// What a signal writes.
    ready: Ready,
}

/// What a memory is made from.
pub struct Start<'f> {
    /// The items of the sheets.
    pub items: Vec<Item<'f>>,
    /// What the journal says.
    pub contents: Contents,
    /// Where the journal is.
    pub path: PathBuf,
    /// The day, if it is not the clock's.
    pub fixed: Option<Day>,
    /// New items a day.
    pub new: usize,
    /// Whether to go on with items whose day has not come.
    pub early: bool,
    /// What decides between equals.
    pub seed: u64,
    /// Marks that a question may have.
    pub marks: Option<Marks>,
    /// The sheets.
    pub loaded: &'f Loaded,
}

impl<'f> Keeping<'f> {
    /// Opens the memory for the items that are wanted and, as far as they were
    /// met, worth so many marks: what a new one is worth is found out when its
    /// turn comes. If the journal can't be written, it says so and
    /// practice goes on without.
    ///
    /// # Errors
    /// When standard error can't be written to.
    pub fn open(
        start: Start<'f>,
        wanted: impl Fn(&Item<'_>) -> bool,
        worth: impl Fn(&Item<'_>) -> bool,
    ) -> io::Result<Self> {
        let mut clock = SittingDay::begin();
        let today = start.fixed.unwrap_or_else(|| clock.day());
        let mastery = Mastery::of(&start.contents.attempts, today);
        super::keep::warn_of_the_clock(&start.contents, &mastery, today)?;
        let choice = Choice::new(
            &start.items,
            &mastery,
            |item| wanted(item) && (mastery.progress(&item.key).is_none() || worth(item)),
            Plan {
                today,
                exam: start.contents.exam,
                new: start.new.saturating_sub(mastery.first_met_today()),
                early: start.early,
                seed: start.seed,
            },
        );
        let progress = start.items.iter();
        let progress = progress
            .map(|item| mastery.progress(&item.key).cloned())
            .collect();
        let journal = match Journal::open(&start.path) {
            Ok(journal) => Some(journal),
            Err(fault) => {
                writeln!(
                    io::stderr(),
                    "rejig: this practice is not kept: {}. What the journal has already is safe.",
                    because(&fault, &start.path)
                )?;
                None
            }
        };
        Ok(Keeping {
            progress,
            choice,
            exam: start.contents.exam,
            seed: start.seed,
            marks: start.marks,
            loaded: start.loaded,
            first: start.contents.attempts.is_empty(),
            clock,
            fixed: start.fixed,
            sitting: clock::fresh_number(),
            records: 0,
            asked: Vec::new(),
            path: start.path,
            journal,
            unsaved: Vec::new(),
            ready: Ready::default(),
            items: start.items,
        })
    }

    /// The day that counts now.
    pub fn today(&mut self) -> Day {
        self.fixed.unwrap_or_else(|| self.clock.day())
    }

    /// How many due and how many new items are to come.
    #[must_use]
    pub fn waiting(&self) -> (usize, usize) {
        self.choice.waiting()
    }

    /// How many questions are to come, as far as is known.
    #[must_use]
    pub fn left(&self) -> usize {
        self.choice.left()
    }

    /// The item of this place.
    #[must_use]
    pub fn item(&self, place: usize) -> &Item<'f> {
        &self.items[place]
    }

    /// The next question.
    pub fn next_question(&mut self) -> Option<Posed<'f>> {
        loop {
            let (place, why) = self.choice.next_item()?;
            let item = self.loaded.with_proof(&self.items[place]);
            let posed = Posed::of_item(&item, self.progress[place].as_ref(), self.seed)
                .filter(|posed| self.marks.is_none_or(|marks| marks.fit(posed.marks())));
            let Some(posed) = posed else {
                self.choice.unaskable(why);
                continue;
            };
            self.asked.push(Asked {
                place,
                why,
                before: self.progress[place].clone(),
                id: None,
                written: None,
            });
            return Some(posed);
        }
    }

    fn next_id(&mut self) -> AttemptId {
        self.records += 1;
        AttemptId {
            sitting: self.sitting,
            number: self.records,
        }
    }

    /// Keeps what came of a question, unless it is kept already or there is
    /// nothing to keep: a question that was left without an answer says
    /// nothing.
    ///
    /// # Errors
    /// When what is wrong with the journal can't be said.
    pub fn keep(
        &mut self,
        number: usize,
        posed: &Posed<'_>,
        entry: Entry,
        slip: Option<SlipKind>,
    ) -> io::Result<()> {
        if !self.is_news(number, entry) {
            return Ok(());
        }
        let id = self.next_id();
        let attempt = self.attempt(id, number, posed, entry, slip);
        let place = self.asked[number].place;
        self.asked[number].id = Some(id);
        self.asked[number].written = Some(entry);
        self.progress[place]
            .get_or_insert_with(|| Progress::new(attempt.kind))
            .take(&attempt);
        if !attempt.first_try() {
            self.choice.missed(place);
        }
        self.write(Record::Attempt(Box::new(attempt)))
    }

    /// Lays ready what came of questions so far that are not kept, in case a
    /// signal ends the program before they are.
    pub fn prepare<'q>(
        &mut self,
        questions: impl Iterator<Item = (usize, &'q Posed<'f>, Entry, Option<SlipKind>)>,
    ) where
        'f: 'q,
    {
        let mut records = self.unsaved.clone();
        let mut number_of_record = self.records;
        for (number, posed, entry, slip) in questions {
            if self.is_news(number, entry) {
                number_of_record += 1;
                let id = AttemptId {
                    sitting: self.sitting,
                    number: number_of_record,
                };
                let attempt = self.attempt(id, number, posed, entry, slip);
                records.push(Record::Attempt(Box::new(attempt)));
            }
        }
        self.ready.hold().lay(self.path.clone(), records);
    }

    /// What a signal writes.
    #[must_use]
    pub fn ready(&self) -> &Ready {
        &self.ready
    }

    /// Whether there is something to keep that is not kept yet.
    fn is_news(&self, number: usize, entry: Entry) -> bool {
        let touched = entry.right || entry.wrong > 0 || entry.hints > 0 || entry.shown;
        touched && self.asked[number].id.is_none()
    }

    fn attempt(
        &mut self,
        id: AttemptId,
        number: usize,
        posed: &Posed<'_>,
        entry: Entry,
        slip: Option<SlipKind>,
    ) -> Attempt {
        let day = self.today();
        let place = self.asked[number].place;
        let small = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        Attempt {
            id,
            day,
            moment: clock::moment(),
            item: self.items[place].key.clone(),
            kind: posed.kind(),
            lettering: posed.lettering().clone(),
            right: entry.right,
            wrong: small(entry.wrong),
            hints: small(entry.hints),
            shown: entry.shown,
            support: posed.support,
            slip: slip.map(|kind| kind.key().to_owned()),
            marks: small(entry.marks),
            awarded: if entry.first_try() {
                small(entry.earned)
            } else {
                0
            },
        }
    }

    /// Takes back what was kept of a question.
    ///
    /// # Errors
    /// When what is wrong with the journal can't be said.
    pub fn take_back(&mut self, number: usize) -> io::Result<()> {
        let asked = &mut self.asked[number];
        let Some(attempt) = asked.id.take() else {
            return Ok(());
        };
        asked.written = None;
        let (place, before) = (asked.place, asked.before.clone());
        self.progress[place] = before;
        self.choice.drop_return(place);
        let id = self.next_id();
        self.write(Record::TakenBack {
            id,
            moment: clock::moment(),
            attempt,
        })
    }

    /// Writes what waits, oldest first. What can't be written waits on.
    fn write(&mut self, record: Record) -> io::Result<()> {
        // A signal must not write the same at the same time, nor afterwards.
        let ready = self.ready.clone();
        let mut held = ready.hold();
        held.clear();
        self.unsaved.push(record);
        let Some(journal) = &mut self.journal else {
            return Ok(());
        };
        let first = self.unsaved.len() == 1;
        while let Some(record) = self.unsaved.first() {
            match journal.append(record) {
                Ok(()) => {
                    self.unsaved.remove(0);
                }
                Err(fault) => {
                    if first {
                        writeln!(
                            io::stderr(),
                            "rejig: this attempt is not in the journal yet: {}. I try again after \
                             the next question.",
                            because(&fault, &self.path)
                        )?;
                    }
                    return Ok(());
                }
            }
        }
        if !first {
            writeln!(
                io::stderr(),
                "rejig: the journal can be written again, and nothing is missing."
            )?;
        }
        Ok(())
    }

    /// How many records could not be written, if there is a journal at all.
    #[must_use]
    pub fn unsaved(&self) -> usize {
        match self.journal {
            Some(_) => self.unsaved.len(),
            None => 0,
        }
    }

    /// What is missing from the journal, as a sentence.
    #[must_use]
    pub fn loss(&self) -> Option<String> {
        (self.unsaved() > 0).then(|| {
            format!(
                "{} of this sitting could not be written to the journal.",
                counted(self.unsaved(), "record", "records")
            )
        })
    }

    /// What came of each item that was kept in this sitting, in the order in
    /// which they were first asked.
    pub fn gains(&mut self) -> Vec<Gain> {
        let today = self.today();
        let met: Vec<(usize, &Progress)> = self
            .progress
            .iter()
            .enumerate()
            .filter_map(|(place, progress)| Some((place, progress.as_ref()?)))
            .collect();
        let keyed = met
            .iter()
            .map(|(place, progress)| (*progress, key_number(&self.items[*place].key)));
        let days = returns(keyed, today, self.exam);
        let mut gains: Vec<Gain> = Vec::new();
        for asked in self.asked.iter().filter(|asked| asked.id.is_some()) {
            if gains.iter().any(|gain| gain.place == asked.place) {
                continue;
            }
            let Ok(at) = met.binary_search_by_key(&asked.place, |(place, _)| *place) else {
                continue;
            };
            let before = asked.before.as_ref().is_some_and(Progress::is_secure);
            let after = met[at].1.is_secure();
            gains.push(Gain {
                place: asked.place,
                won: after && !before,
                lost: before && !after,
                returns: days[at],
            });
        }
        gains
    }

    /// How many items stand where, as the checklist has them.
    #[must_use]
    pub fn count(&self) -> Count {
        let mut count = Count::default();
        for (progress, item) in self.progress.iter().zip(&self.items) {
            match progress {
                // Only now, since finding this out for all of them takes
                // longer than a first question may.
                None => count.new += usize::from(item.marks().is_some()),
                Some(progress) if progress.is_secure() => count.secure += 1,
                Some(_) => count.shaky += 1,
            }
        }
        count
    }

    /// The first day after today on which something comes back, and how many
    /// items that are.
    pub fn next_day(&mut self) -> Option<(Day, usize)> {
        let today = self.today();
        let met = self.progress.iter().zip(&self.items);
        let keyed = met.filter_map(|(progress, item)| {
            progress
                .as_ref()
                .map(|progress| (progress, key_number(&item.key)))
        });
        let days = returns(keyed, today, self.exam);
        let day = days.iter().flatten().filter(|day| **day > today).min()?;
        Some((
            *day,
            days.iter().filter(|other| **other == Some(*day)).count(),
        ))
    }

    /// Whether something was kept, and nothing was there before.
    #[must_use]
    pub fn is_first_sitting(&self) -> bool {
        self.first && self.journal.is_some() && self.asked.iter().any(|asked| asked.id.is_some())
    }

    /// Why the question of this number is asked.
    #[must_use]
    pub fn why(&self, number: usize) -> Option<Why> {
        self.asked.get(number).map(|asked| asked.why)
    }
}
