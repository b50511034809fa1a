//! A day of the calendar.

use std::fmt;

use jiff::civil::{Date, Weekday};

/// The day that all others are counted from.
const EPOCH: Date = Date::constant(1970, 1, 1);
/// 1 January of the year 1, and 31 December 9998: no day is outside, so that
/// every day has a date and counting never overflows.
const FIRST: i32 = -719_162;
const LAST: i32 = 2_932_531;

/// A day of the calendar, counted from 1 January 1970. Knows no clock and no
/// time zone.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(i32);

impl Day {
    /// The day of a date of the years 1 to 9998; nothing if there is none.
    #[must_use]
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        let date = Date::new(year, month, day).ok()?;
        Self::from_date(date)
    }

    /// The day of a date of the library's own type.
    #[must_use]
    pub fn from_date(date: Date) -> Option<Self> {
        let days = date.duration_since(EPOCH).as_secs() / 86_400;
        let days = i32::try_from(days).ok()?;
        (FIRST..=LAST).contains(&days).then_some(Day(days))
    }

    /// Reads `2027-05-17`: four digits, two, two.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let bytes = text.as_bytes();
        let [y0, y1, y2, y3, b'-', m0, m1, b'-', d0, d1] = bytes else {
            return None;
        };
        let number = |digits: &[&u8]| {
            digits.iter().try_fold(0i16, |sum, digit| {
                digit
                    .is_ascii_digit()
                    .then(|| sum * 10 + i16::from(**digit - b'0'))
            })
        };
        let year = number(&[y0, y1, y2, y3])?;
        let month = i8::try_from(number(&[m0, m1])?).ok()?;
        let day = i8::try_from(number(&[d0, d1])?).ok()?;
        Self::new(year, month, day)
    }

    fn date(self) -> Date {
        let seconds = i64::from(self.0) * 86_400;
        EPOCH
            .checked_add(jiff::SignedDuration::from_secs(seconds))
            .unwrap_or(EPOCH)
    }

    /// So many days later, or earlier; stops at the ends of the calendar.
    #[must_use]
    pub fn plus(self, days: i32) -> Self {
        Day(self.0.saturating_add(days).clamp(FIRST, LAST))
    }

    /// Days from `earlier` to this one; negative if it is later.
    #[must_use]
    pub fn since(self, earlier: Day) -> i32 {
        self.0 - earlier.0
    }

    /// Year, month and day of the month.
    #[must_use]
    pub fn parts(self) -> (i16, i8, i8) {
        let date = self.date();
        (date.year(), date.month(), date.day())
    }

    /// Whether a week begins with this day.
    #[must_use]
    pub fn is_monday(self) -> bool {
        self.date().weekday() == Weekday::Monday
    }
}

/// As in a file: `2027-05-17`.
impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.parts();
        write!(out, "{year:04}-{month:02}-{day:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_and_written() {
        for text in [
            "1970-01-01",
            "2027-05-17",
            "2024-02-29",
            "0001-01-01",
            "9998-12-31",
        ] {
            assert_eq!(Day::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(Day::parse("0001-01-01"), Some(Day(FIRST)));
        assert_eq!(Day::parse("9998-12-31"), Some(Day(LAST)));
        for text in [
            "",
            "2027-5-17",
            "2027-02-29",
            "2027-13-01",
            "2027-00-10",
            "17-05-2027",
            "2027/05/17",
            "+027-05-17",
            "2027-05-17 ",
            "0000-01-01",
            "9999-01-01",
            "２027-05-17",
        ] {
            assert_eq!(Day::parse(text), None, "{text}");
        }
    }

    #[test]
    fn counting() {
        let day = Day::new(2027, 2, 27).unwrap();
        assert_eq!(day.plus(2), Day::new(2027, 3, 1).unwrap());
        assert_eq!(day.plus(2).since(day), 2);
        assert_eq!(day.plus(-27), Day::new(2027, 1, 31).unwrap());
        assert_eq!(day.plus(i32::MAX), Day(LAST));
        assert_eq!(day.plus(i32::MIN), Day(FIRST));
        assert!(Day::new(2027, 3, 1).unwrap().is_monday());
        assert!(!day.is_monday());
    }
}
