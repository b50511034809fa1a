//! The arguments of the verbs that know what was practised.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::practice::attempt::Kind;
use crate::practice::day::Day;

use super::args::{Format, Practice, Sheets};

/// Which journal, and which day.
#[derive(Debug, Clone, Args)]
pub struct Keep {
    /// Keep the journal of what was practised in this file.
    #[arg(long, value_name = "FILE")]
    pub journal: Option<PathBuf>,
    /// Reckon as on this day instead of today, such as 2027-03-01.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub day: Option<Day>,
}

/// The arguments of `drill`.
#[derive(Debug, Clone, Args)]
pub struct Drill {
    /// What is asked.
    #[command(flatten)]
    pub practice: Practice,
    /// The journal.
    #[command(flatten)]
    pub keep: Keep,
    /// How many new items a day.
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub new: u32,
    /// Begin no question after so many minutes.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1440))]
    pub minutes: Option<u32>,
    /// Only items worth so many marks, such as 2 or 2-4.
    #[arg(long, value_name = "MARKS", value_parser = marks)]
    pub marks: Option<Marks>,
    /// Only items of this kind: rearrangement, proof, definition, connection or
    /// proportion.
    #[arg(long, value_enum, value_name = "KIND", hide_possible_values = true)]
    pub kind: Option<KindWord>,
}

/// The arguments of `checklist`.
#[derive(Debug, Clone, Args)]
pub struct Checklist {
    /// Which sheets.
    #[command(flatten)]
    pub sheets: Sheets,
    /// The journal.
    #[command(flatten)]
    pub keep: Keep,
    /// Only items of this kind: rearrangement, proof, definition, connection or
    /// proportion.
    #[arg(long, value_enum, value_name = "KIND", hide_possible_values = true)]
    pub kind: Option<KindWord>,
    /// How the list comes out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
    /// A page for a browser, to read or to print.
    #[arg(long, conflicts_with = "format")]
    pub html: bool,
}

/// The arguments of `plan`.
#[derive(Debug, Clone, Args)]
pub struct Plan {
    /// The day of the exam, such as 2027-05-17, or `none` for no exam any
    /// more. It is kept in the journal.
    #[arg(long, value_name = "DATE", value_parser = exam)]
    pub exam: Option<Exam>,
    /// Minutes of practice a day at most.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1440))]
    pub minutes: Option<u32>,
    /// The chance, in per cent, that an answer is a miss.
    #[arg(long, value_name = "PERCENT", value_parser = clap::value_parser!(u32).range(0..=100))]
    pub miss: Option<u32>,
    /// The number that decides the misses of the forecast.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Every day, not weeks.
    #[arg(long)]
    pub daily: bool,
    /// Which sheets.
    #[command(flatten)]
    pub sheets: Sheets,
    /// The journal.
    #[command(flatten)]
    pub keep: Keep,
    /// How the plan comes out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
}

/// The arguments of `journal`.
#[derive(Debug, Clone, Args)]
pub struct Journal {
    /// Add what another journal of the same student has and this one lacks.
    /// May be given again.
    #[arg(long, value_name = "FILE")]
    pub merge: Vec<PathBuf>,
    /// The journal.
    #[command(flatten)]
    pub keep: Keep,
}

/// A kind of item, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindWord {
    /// Make a letter the subject.
    Rearrangement,
    /// Show a result.
    Proof,
    /// Define a term.
    Definition,
    /// Join formulae of several topics.
    Connection,
    /// Say by which factor a quantity changes.
    Proportion,
}

impl KindWord {
    /// The kind.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            KindWord::Rearrangement => Kind::Rearrangement,
            KindWord::Proof => Kind::Proof,
            KindWord::Definition => Kind::Definition,
            KindWord::Connection => Kind::Connection,
            KindWord::Proportion => Kind::Proportion,
        }
    }
}

/// A range of marks, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Marks {
    /// The fewest.
    pub fewest: usize,
    /// The most.
    pub most: usize,
}

impl Marks {
    /// Whether an item worth so many is wanted.
    #[must_use]
    pub fn fit(self, marks: usize) -> bool {
        (self.fewest..=self.most).contains(&marks)
    }
}

/// A day of an exam, or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Exam(pub Option<Day>);

fn day(text: &str) -> Result<Day, String> {
    Day::parse(text).ok_or_else(|| "a date is written like 2027-05-17".to_owned())
}

fn exam(text: &str) -> Result<Exam, String> {
    if text == "none" {
        return Ok(Exam(None));
    }
    day(text).map(|day| Exam(Some(day)))
}

/// Reads a number of marks or a range of them.
///
/// # Errors
/// What was expected, as a clause.
pub fn marks(text: &str) -> Result<Marks, String> {
    let wrong = || "marks are a number such as 2, or a range such as 2-4".to_owned();
    let number = |text: &str| text.parse::<usize>().map_err(|_| wrong());
    let (fewest, most) = match text.split_once('-') {
        Some((fewest, most)) => (number(fewest)?, number(most)?),
        None => (number(text)?, number(text)?),
    };
    if fewest == 0 || fewest > most {
        return Err(wrong());
    }
    Ok(Marks { fewest, most })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_a_number_or_a_range() {
        for (text, expected) in [
            ("2", Some((2, 2))),
            ("2-4", Some((2, 4))),
            ("0", None),
            ("4-2", None),
            ("2-", None),
            ("-2", None),
            ("x", None),
            ("", None),
        ] {
            let found = marks(text).ok().map(|marks| (marks.fewest, marks.most));
            assert_eq!(found, expected, "{text}");
        }
    }

    #[test]
    fn an_exam_can_be_off() {
        assert_eq!(exam("none"), Ok(Exam(None)));
        assert_eq!(exam("2027-05-17"), Ok(Exam(Day::parse("2027-05-17"))));
        assert!(exam("17 May").is_err());
    }
}
