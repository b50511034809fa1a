//! The only clock: what day it is where the user sits, and what moment.
//!
//! A sitting has one day. It keeps the day on which it began past midnight, up
//! to four in the morning, so that one evening never counts as two days; and it
//! never goes back, if the clock is put right in the middle.

use jiff::{Timestamp, ZonedDateTime};

use crate::practice::day::Day;

/// The hour up to which an evening goes on.
const MORNING: i8 = 4;

/// The present moment, in seconds since 1970.
#[must_use]
pub fn moment() -> i64 {
    Timestamp::now().as_second()
}

/// Today, where the user sits.
#[must_use]
pub fn today() -> Day {
    now().day
}

/// A number that no other sitting has.
#[must_use]
pub fn fresh_number() -> u64 {
    use std::hash::{BuildHasher, Hasher, RandomState};
    // Two keyed hashes of the moment and the process, with keys from the
    // system's own source of randomness.
    let mut hasher = RandomState::new().build_hasher();
    hasher.write_i128(Timestamp::now().as_nanosecond());
    hasher.write_u32(std::process::id());
    hasher.finish()
}

/// A day and an hour of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Now {
    day: Day,
    hour: i8,
}

fn now() -> Now {
    let now = ZonedDateTime::now();
    Now {
        // A clock outside of all calendars says 1970.
        day: Day::from_date(now.date()).unwrap_or_default(),
        hour: now.hour(),
    }
}

/// The day that a sitting counts for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SittingDay {
    day: Day,
}

impl SittingDay {
    /// A sitting that begins now.
    #[must_use]
    pub fn begin() -> Self {
        SittingDay { day: now().day }
    }

    /// The day that counts now.
    pub fn day(&mut self) -> Day {
        self.at(now())
    }

    fn at(&mut self, now: Now) -> Day {
        let evening = now.day == self.day.plus(1) && now.hour < MORNING;
        if now.day > self.day && !evening {
            self.day = now.day;
        }
        self.day
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sitting_keeps_its_day_past_midnight_and_never_goes_back() {
        let first = Day::new(2027, 3, 1).unwrap();
        let mut sitting = SittingDay { day: first };
        for (days, hour, expected) in [
            (0, 23, 0),
            (1, 0, 0),
            (1, 3, 0),
            (-400, 12, 0),
            (1, 4, 1),
            (1, 23, 1),
            (0, 23, 1),
            (2, 3, 1),
            (9, 3, 9),
        ] {
            let now = Now {
                day: first.plus(days),
                hour,
            };
            assert_eq!(sitting.at(now), first.plus(expected), "{days} {hour}");
        }
    }

    #[test]
    fn fresh_numbers_differ() {
        assert_ne!(fresh_number(), fresh_number());
        assert!(moment() > 1_600_000_000);
    }
}
