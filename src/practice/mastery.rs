//! How secure an item is: a stated rule, a pure function of attempts.
//!
//! An item is *secure* after first-try right answers on three different days,
//! in at least two letterings. A miss restarts the count; the item comes back
//! the next day. After successes it comes back after 1, 3, 7, 14, 28, 28, ...
//! days (expanding gaps: Kang et al. 2014; relearning on later days: Rawson
//! and Dunlosky 2011).

use rustc_hash::FxHashMap;

use super::attempt::{Attempt, Kind, Lettering};
use super::day::Day;
use super::fading;

/// Different days on which an item must have been right.
pub const DAYS_NEEDED: u32 = 3;

/// Days until the return after the first, second, ... success.
const GAPS: [i32; 5] = [1, 3, 7, 14, 28];

/// Days until the return after so many successes in a row; the day after, if
/// there is none.
#[must_use]
pub fn gap(successes: u32) -> i32 {
    let place = (successes.max(1) as usize - 1).min(GAPS.len() - 1);
    GAPS[place]
}

/// How far an item has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Standing {
    /// Met, and not secure.
    Shaky,
    /// Never met.
    New,
    /// Right at the first try on enough days and in enough letterings.
    Secure,
}

/// What an item is today.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum State {
    /// Never met.
    New,
    /// Its day has come, whether it is secure or not.
    Due,
    /// Met, not secure, and its day has not come.
    Shaky,
    /// Secure, and its day has not come.
    Secure,
}

/// What the attempts at one item amount to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Progress {
    kind: Kind,
    first: Option<Day>,
    last: Option<Day>,
    /// The last day of a miss.
    missed: Option<Day>,
    /// The last day of a success.
    succeeded: Option<Day>,
    /// Days of success since the last miss.
    successes: u32,
    /// The letterings of those.
    letterings: Vec<Lettering>,
    /// Since when it is secure.
    secure_since: Option<Day>,
    /// When it last ceased to be.
    lost: Option<Day>,
    attempts: u32,
    misses: u32,
    slip: Option<String>,
    /// How much of a worked example comes with the question, for an item that
    /// was missed when it was first met.
    support: Option<u32>,
}

impl Progress {
    /// An item that was never met.
    #[must_use]
    pub fn new(kind: Kind) -> Self {
        Progress {
            kind,
            first: None,
            last: None,
            missed: None,
            succeeded: None,
            successes: 0,
            letterings: Vec::new(),
            secure_since: None,
            lost: None,
            attempts: 0,
            misses: 0,
            slip: None,
            support: None,
        }
    }

    /// Takes an attempt into account. Attempts come in the order of their days.
    pub fn take(&mut self, attempt: &Attempt) {
        let success = attempt.is_success();
        self.support = match self.support {
            None if self.attempts > 0 || success => None,
            None => Some(fading::WHOLE),
            Some(_) => Some(fading::after(attempt.support, success)),
        };
        self.record(attempt.day, attempt.first_try(), &attempt.lettering);
        if success && attempt.support > 0 {
            // A worked example that was followed proves nothing, and is no
            // failure either.
            self.misses -= 1;
        }
    }

    /// Takes an attempt with no worked example into account.
    pub fn record(&mut self, day: Day, first_try: bool, lettering: &Lettering) {
        self.attempts += 1;
        self.first.get_or_insert(day);
        self.last = Some(day);
        if !first_try {
            self.misses += 1;
            if self.secure_since.take().is_some() {
                self.lost = Some(day);
            }
            self.missed = Some(day);
            self.successes = 0;
            self.letterings.clear();
            return;
        }
        // Right again on the day of a miss is the return of the same sitting:
        // it teaches, and proves nothing about tomorrow.
        if self.missed == Some(day) {
            return;
        }
        if self.succeeded != Some(day) || self.successes == 0 {
            self.succeeded = Some(day);
            self.successes += 1;
        }
        if !self.letterings.contains(lettering) {
            self.letterings.push(lettering.clone());
        }
        if self.secure_since.is_none()
            && self.successes >= DAYS_NEEDED
            && self.letterings.len() >= self.kind.letterings_needed()
        {
            self.secure_since = Some(day);
        }
    }

    /// What kind of item it is.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// How far it has come.
    #[must_use]
    pub fn standing(&self) -> Standing {
        match (self.first, self.secure_since) {
            (None, _) => Standing::New,
            (Some(_), None) => Standing::Shaky,
            (Some(_), Some(_)) => Standing::Secure,
        }
    }

    /// Whether it is secure.
    #[must_use]
    pub fn is_secure(&self) -> bool {
        self.secure_since.is_some()
    }

    /// The day on which its own gap ends: the next day after a miss. Nothing
    /// for an item never met. An exam can move it: see [`super::schedule`].
    #[must_use]
    pub fn returns(&self) -> Option<Day> {
        match (self.successes, self.succeeded) {
            (1.., Some(day)) => Some(day.plus(gap(self.successes))),
            _ => Some(self.missed?.plus(1)),
        }
    }

    /// The day of the first attempt.
    #[must_use]
    pub fn first_met(&self) -> Option<Day> {
        self.first
    }

    /// The day of the last attempt.
    #[must_use]
    pub fn last_met(&self) -> Option<Day> {
        self.last
    }

    /// The day of the last success that still counts.
    #[must_use]
    pub fn last_success(&self) -> Option<Day> {
        self.succeeded.filter(|_| self.successes > 0)
    }

    /// The day of the last miss.
    #[must_use]
    pub fn last_miss(&self) -> Option<Day> {
        self.missed
    }

    /// Since when it is secure, if it is.
    #[must_use]
    pub fn secure_since(&self) -> Option<Day> {
        self.secure_since
    }

    /// When it last ceased to be secure.
    #[must_use]
    pub fn lost_on(&self) -> Option<Day> {
        self.lost
    }

    /// Days of success since the last miss.
    #[must_use]
    pub fn successes(&self) -> u32 {
        self.successes
    }

    /// The letterings of those successes.
    #[must_use]
    pub fn letterings(&self) -> &[Lettering] {
        &self.letterings
    }

    /// How many attempts there were.
    #[must_use]
    pub fn attempts(&self) -> u32 {
        self.attempts
    }

    /// How many of them were misses.
    #[must_use]
    pub fn misses(&self) -> u32 {
        self.misses
    }

    /// How much of a worked example comes with the next question: see
    /// [`super::fading`].
    #[must_use]
    pub fn support(&self) -> u32 {
        self.support.unwrap_or(0)
    }

    /// The last slip that has a name.
    #[must_use]
    pub fn last_slip(&self) -> Option<&str> {
        self.slip.as_deref()
    }

    /// Different days of success that are still wanted before it is secure:
    /// one at least while it is not.
    #[must_use]
    pub fn days_wanted(&self) -> u32 {
        if self.is_secure() {
            return 0;
        }
        DAYS_NEEDED.saturating_sub(self.successes).max(1)
    }

    /// The first day on which it can be secure if every answer from `today`
    /// on is right and it is asked on the days of its gaps.
    #[must_use]
    pub fn soonest_secure(&self, today: Day) -> Day {
        let mut trial = self.clone();
        let mut day = today;
        while !trial.is_secure() {
            day = trial.returns().unwrap_or(today).max(day);
            let fresh = if trial.letterings.contains(&Lettering::Sheet) {
                Lettering::Unfamiliar
            } else {
                Lettering::Sheet
            };
            // A success on a day that has a miss or a success does not count.
            if trial.last == Some(day) {
                day = day.plus(1);
            }
            trial.record(day, true, &fresh);
        }
        trial.secure_since.unwrap_or(day)
    }
}

/// The progress of every item that was met up to the end of a day.
#[derive(Debug, Clone, Default)]
pub struct Mastery<'a> {
    items: FxHashMap<&'a str, Progress>,
    slips: FxHashMap<&'a str, u32>,
    first_met_today: usize,
    ahead: usize,
}

/// Slips older than this no longer say much.
const SLIPS_COUNT_FOR: i32 = 28;

impl<'a> Mastery<'a> {
    /// What the attempts amount to at the end of a day. An attempt dated later
    /// (a clock was wrong once) counts from its own day on. The attempts must
    /// be in their order.
    #[must_use]
    pub fn of(attempts: &'a [Attempt], today: Day) -> Self {
        debug_assert!(attempts.is_sorted_by_key(Attempt::order));
        let mut mastery = Mastery::default();
        let end = attempts.partition_point(|attempt| attempt.day <= today);
        mastery.ahead = attempts.len() - end;
        for attempt in &attempts[..end] {
            mastery.record(attempt, today);
        }
        mastery
    }

    fn record(&mut self, attempt: &'a Attempt, today: Day) {
        let progress = self
            .items
            .entry(&attempt.item)
            .or_insert_with(|| Progress::new(attempt.kind));
        progress.take(attempt);
        if progress.attempts == 1 && attempt.day == today {
            self.first_met_today += 1;
        }
        if let Some(slip) = &attempt.slip {
            progress.slip = Some(slip.clone());
            if today.since(attempt.day) < SLIPS_COUNT_FOR {
                *self.slips.entry(slip).or_insert(0) += 1;
            }
        }
    }

    /// The progress of an item, if it was ever met.
    #[must_use]
    pub fn progress(&self, item: &str) -> Option<&Progress> {
        self.items.get(item)
    }

    /// How many items were ever met.
    #[must_use]
    pub fn met(&self) -> usize {
        self.items.len()
    }

    /// How many items were first met today.
    #[must_use]
    pub fn first_met_today(&self) -> usize {
        self.first_met_today
    }

    /// Attempts dated after today, which do not count yet.
    #[must_use]
    pub fn dated_ahead(&self) -> usize {
        self.ahead
    }

    /// How often a slip was made in the last four weeks.
    #[must_use]
    pub fn recent_slips(&self, slip: &str) -> u32 {
        self.slips.get(slip).copied().unwrap_or(0)
    }
}

#[cfg(test)]
#[path = "mastery_tests.rs"]
mod tests;
