//! One line of the journal: a JSON object.
//!
//! Fields are only added. A record of a version that this program does not
//! know is kept as it is and not counted.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use crate::practice::attempt::{Attempt, AttemptId, Kind, Lettering};
use crate::practice::day::Day;

use super::plain;

/// The version that this program writes.
pub const VERSION: u32 = 1;

/// What a line of the journal says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Record {
    /// An attempt was made.
    Attempt(Box<Attempt>),
    /// An attempt was a slip of typing and is taken back.
    TakenBack {
        /// This record.
        id: AttemptId,
        /// When it was taken back, in seconds since 1970.
        moment: i64,
        /// The attempt.
        attempt: AttemptId,
    },
    /// The day of the exam became known, or is off.
    Exam {
        /// This record.
        id: AttemptId,
        /// When it was said, in seconds since 1970.
        moment: i64,
        /// The day; nothing if there is none any more.
        day: Option<Day>,
    },
}

impl Record {
    /// What tells the record from all others.
    #[must_use]
    pub fn id(&self) -> AttemptId {
        match self {
            Record::Attempt(attempt) => attempt.id,
            Record::TakenBack { id, .. } | Record::Exam { id, .. } => *id,
        }
    }
}

/// Why a line is not counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unread {
    /// It is damaged.
    Damaged,
    /// A newer version of the program wrote it.
    Newer,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // the signature that serde wants
fn is_zero(number: &u32) -> bool {
    *number == 0
}

#[allow(clippy::trivially_copy_pass_by_ref)]
fn is_false(value: &bool) -> bool {
    !*value
}

#[derive(Serialize, Deserialize)]
struct Line<'a> {
    v: u32,
    #[serde(borrow)]
    id: Cow<'a, str>,
    at: i64,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    day: Option<Cow<'a, str>>,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    item: Option<Cow<'a, str>>,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    kind: Option<Cow<'a, str>>,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    letters: Option<Cow<'a, str>>,
    #[serde(default, skip_serializing_if = "is_false")]
    right: bool,
    #[serde(default, skip_serializing_if = "is_zero")]
    wrong: u32,
    #[serde(default, skip_serializing_if = "is_zero")]
    hints: u32,
    #[serde(default, skip_serializing_if = "is_false")]
    shown: bool,
    #[serde(default, skip_serializing_if = "is_zero")]
    support: u32,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    slip: Option<Cow<'a, str>>,
    #[serde(default, skip_serializing_if = "is_zero")]
    marks: u32,
    #[serde(default, skip_serializing_if = "is_zero")]
    awarded: u32,
    #[serde(
        borrow,
        rename = "takes-back",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    takes_back: Option<Cow<'a, str>>,
    #[serde(borrow, default, skip_serializing_if = "Option::is_none")]
    exam: Option<Cow<'a, str>>,
}

/// Only the version, of a line whose other fields may be unknown.
#[derive(Deserialize)]
struct Version {
    v: u32,
}

/// The record as a line with its line break.
#[must_use]
pub fn write(record: &Record) -> String {
    let mut line = Line {
        v: VERSION,
        id: record.id().keyword().into(),
        at: 0,
        day: None,
        item: None,
        kind: None,
        letters: None,
        right: false,
        wrong: 0,
        hints: 0,
        shown: false,
        support: 0,
        slip: None,
        marks: 0,
        awarded: 0,
        takes_back: None,
        exam: None,
    };
    match record {
        Record::Attempt(attempt) => {
            line.at = attempt.moment;
            line.day = Some(attempt.day.to_string().into());
            line.item = Some(attempt.item.as_str().into());
            line.kind = Some(attempt.kind.keyword().into());
            line.letters = Some(attempt.lettering.keyword().into());
            line.right = attempt.right;
            line.wrong = attempt.wrong;
            line.hints = attempt.hints;
            line.shown = attempt.shown;
            line.support = attempt.support;
            line.slip = attempt.slip.as_deref().map(Cow::from);
            line.marks = attempt.marks;
            line.awarded = attempt.awarded;
        }
        Record::TakenBack {
            moment, attempt, ..
        } => {
            line.at = *moment;
            line.takes_back = Some(attempt.keyword().into());
        }
        Record::Exam { moment, day, .. } => {
            line.at = *moment;
            line.exam = Some(match day {
                Some(day) => day.to_string().into(),
                None => "none".into(),
            });
        }
    }
    let mut text = serde_json::to_string(&line).unwrap_or_default();
    text.push('\n');
    text
}

/// The record of a line, with or without its line break.
///
/// # Errors
/// Why it is none that counts.
pub fn read(text: &[u8]) -> Result<Record, Unread> {
    match plain::attempt(text) {
        Some(attempt) => Ok(Record::Attempt(Box::new(attempt))),
        None => careful(text),
    }
}

/// The same for a line of any shape.
pub(super) fn careful(text: &[u8]) -> Result<Record, Unread> {
    let line: Line<'_> = match serde_json::from_slice(text) {
        Ok(line) => line,
        Err(_) => {
            return Err(match serde_json::from_slice::<Version>(text) {
                Ok(version) if version.v > VERSION => Unread::Newer,
                _ => Unread::Damaged,
            });
        }
    };
    if line.v > VERSION {
        return Err(Unread::Newer);
    }
    meaning(line).ok_or(Unread::Damaged)
}

fn meaning(line: Line<'_>) -> Option<Record> {
    let id = AttemptId::from_keyword(&line.id)?;
    if let Some(attempt) = line.takes_back {
        return Some(Record::TakenBack {
            id,
            moment: line.at,
            attempt: AttemptId::from_keyword(&attempt)?,
        });
    }
    if let Some(exam) = line.exam {
        return Some(Record::Exam {
            id,
            moment: line.at,
            day: match &*exam {
                "none" => None,
                date => Some(Day::parse(date)?),
            },
        });
    }
    Some(Record::Attempt(Box::new(Attempt {
        id,
        day: Day::parse(&line.day?)?,
        moment: line.at,
        item: line.item?.into_owned(),
        kind: Kind::from_keyword(&line.kind?)?,
        lettering: Lettering::from_keyword(&line.letters?)?,
        right: line.right,
        wrong: line.wrong,
        hints: line.hints,
        shown: line.shown,
        support: line.support,
        slip: line.slip.map(Cow::into_owned),
        marks: line.marks,
        awarded: line.awarded,
    })))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(number: u32) -> AttemptId {
        AttemptId {
            sitting: 0xabcd,
            number,
        }
    }

    #[test]
    fn lines_and_back() {
        let attempt = Attempt {
            id: id(3),
            day: Day::parse("2027-03-01").unwrap(),
            moment: 1_804_000_000,
            item: "motion/velocity-time/a".to_owned(),
            kind: Kind::Rearrangement,
            lettering: Lettering::Notation("x \"quoted\"\n".to_owned()),
            right: true,
            wrong: 1,
            hints: 2,
            shown: true,
            support: 2,
            slip: Some("sign-lost".to_owned()),
            marks: 2,
            awarded: 1,
        };
        for record in [
            Record::Attempt(Box::new(attempt)),
            Record::TakenBack {
                id: id(4),
                moment: 5,
                attempt: id(3),
            },
            Record::Exam {
                id: id(5),
                moment: 6,
                day: Day::parse("2027-05-17"),
            },
            Record::Exam {
                id: id(6),
                moment: 7,
                day: None,
            },
        ] {
            let line = write(&record);
            assert_eq!(line.matches('\n').count(), 1, "{line}");
            assert_eq!(read(line.as_bytes()), Ok(record));
        }
    }

    #[test]
    fn a_line_is_short() {
        let line = r#"{"v":1,"id":"000000000000abcd-3","at":1804000000,"day":"2027-03-01","item":"motion/velocity-time/a","kind":"rearrangement","letters":"sheet","right":true,"marks":2,"awarded":2}"#;
        let record = read(line.as_bytes()).unwrap();
        assert_eq!(write(&record).trim_end(), line);
    }

    #[test]
    fn lines_that_do_not_count() {
        for (line, expected) in [
            ("", Unread::Damaged),
            ("{}", Unread::Damaged),
            ("[1]", Unread::Damaged),
            (
                "{\"v\":1,\"id\":\"000000000000abcd-3\",\"at\":18",
                Unread::Damaged,
            ),
            (
                "{\"v\":1,\"id\":\"000000000000abcd-3\",\"at\":18}",
                Unread::Damaged,
            ),
            (
                r#"{"v":1,"id":"000000000000abcd-3","at":1,"day":"2027-02-30","item":"x","kind":"proof","letters":"sheet"}"#,
                Unread::Damaged,
            ),
            ("{\"v\":2}", Unread::Newer),
            (
                r#"{"v":2,"id":"000000000000abcd-3","at":1,"day":"2027-02-20","item":"x","kind":"proof","letters":"sheet"}"#,
                Unread::Newer,
            ),
            ("{\"v\":2,\"id\":5,\"new\":[1,2]}", Unread::Newer),
        ] {
            assert_eq!(read(line.as_bytes()), Err(expected), "{line}");
        }
        // Unknown fields of this version are no fault: fields are only added.
        let line = r#"{"v":1,"id":"000000000000abcd-3","at":1,"day":"2027-02-20","item":"x","kind":"proof","letters":"sheet","mood":"good"}"#;
        assert!(read(line.as_bytes()).is_ok());
    }
}
