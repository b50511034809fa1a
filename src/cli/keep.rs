//! The journal as the verbs use it: where it is, what was found in it, and
//! what to say when it can't be read or written.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::practice::day::Day;
use crate::practice::mastery::Mastery;
use crate::show::counts::counted;
use crate::show::dates::date;
use crate::show::escape::escape;
use crate::store::fault::why_of;
use crate::store::journal::{self, Contents, Fault, Findings};
use crate::store::{clock, locations};

use super::outcome::{Trouble, misunderstood};
use super::practice_args::Keep;

/// Line numbers that are named before the rest is counted.
const MOST_NAMED: usize = 5;

/// The file of the journal.
///
/// # Errors
/// Where the system has no data folder and no file is named.
pub fn place(keep: &Keep) -> Result<PathBuf, Trouble> {
    match keep.journal.clone().or_else(locations::journal) {
        Some(path) => Ok(path),
        None => misunderstood(
            "I don't know where to keep the journal on this machine. Say --journal FILE.",
        ),
    }
}

/// The day to reckon with.
#[must_use]
pub fn today(keep: &Keep) -> Day {
    keep.day.unwrap_or_else(clock::today)
}

/// Reads the journal and says on standard error what was wrong in it.
///
/// # Errors
/// When it can't be read.
pub fn load(path: &Path) -> Result<Contents, Trouble> {
    match journal::read(path) {
        Ok(contents) => {
            for sentence in told(&contents.findings) {
                writeln!(io::stderr(), "rejig: {sentence}")?;
            }
            Ok(contents)
        }
        Err(fault) => misunderstood(format!(
            "The journal can't be read: {}.",
            because(&fault, path)
        )),
    }
}

/// Says on standard error if attempts are dated later than today.
///
/// # Errors
/// When writing fails.
pub fn warn_of_the_clock(contents: &Contents, mastery: &Mastery<'_>, today: Day) -> io::Result<()> {
    let (1.., Some(last)) = (mastery.dated_ahead(), contents.attempts.last()) else {
        return Ok(());
    };
    writeln!(
        io::stderr(),
        "rejig: today is {}, and the journal has {} up to {}. Each counts from its own day on. Is \
         the clock right?",
        date(today),
        counted(mastery.dated_ahead(), "attempt", "attempts"),
        date(last.day)
    )
}

/// What was found, in sentences; none if all is well.
#[must_use]
pub fn told(findings: &Findings) -> Vec<String> {
    let mut sentences = Vec::new();
    if findings.torn {
        sentences.push(
            "The last line of the journal was cut short: the program or the machine stopped \
             while it was written. Everything before it is there."
                .to_owned(),
        );
    }
    if !findings.damaged.is_empty() {
        let named: Vec<String> = findings
            .damaged
            .iter()
            .take(MOST_NAMED)
            .map(usize::to_string)
            .collect();
        let more = findings.damaged.len().saturating_sub(MOST_NAMED);
        let mut list = named.join(", ");
        if more > 0 {
            list.push_str(&format!(" and {more} more"));
        }
        let lines = counted(findings.damaged.len(), "line", "lines");
        sentences.push(format!(
            "{lines} of the journal can't be read and {} left out (line {list}). The others count.",
            if findings.damaged.len() == 1 {
                "is"
            } else {
                "are"
            }
        ));
    }
    if findings.newer > 0 {
        sentences.push(format!(
            "A newer version of rejig wrote {} of the journal. They are kept and not counted here.",
            counted(findings.newer, "line", "lines")
        ));
    }
    sentences
}

/// Why the journal can't be used, as a clause.
#[must_use]
pub fn because(fault: &Fault, path: &Path) -> String {
    let shown = path.to_string_lossy();
    let shown = escape(&shown);
    match fault {
        Fault::NotAFile => format!("`{shown}` is not a file"),
        Fault::TooLarge => format!("`{shown}` is larger than a journal may be"),
        Fault::Locked => format!("another program keeps `{shown}` locked"),
        Fault::System(error) => why_of(&shown, error),
    }
}

#[cfg(test)]
mod tests {
    use std::io::ErrorKind;

    use super::*;

    #[test]
    fn what_was_found_in_words() {
        assert!(told(&Findings::default()).is_empty());
        let sentences = told(&Findings {
            torn: true,
            damaged: (1..=7).collect(),
            newer: 1,
            ..Findings::default()
        });
        assert_eq!(sentences.len(), 3);
        assert_eq!(
            sentences[1],
            "7 lines of the journal can't be read and are left out (line 1, 2, 3, 4, 5 and 2 \
             more). The others count."
        );
    }

    #[test]
    fn faults_as_clauses() {
        let path = Path::new("/x/j\u{1b}.jsonl");
        for (fault, expected) in [
            (Fault::NotAFile, "`/x/j\\u{1b}.jsonl` is not a file"),
            (
                Fault::System(ErrorKind::StorageFull.into()),
                "`/x/j\\u{1b}.jsonl` can't be used: the disk is full",
            ),
            (
                Fault::System(ErrorKind::PermissionDenied.into()),
                "I am not allowed to use `/x/j\\u{1b}.jsonl`",
            ),
        ] {
            assert_eq!(because(&fault, path), expected);
        }
    }
}
