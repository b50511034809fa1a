//! A class's results: tables for people and rows for spreadsheets.

use crate::practice::class::{FEW, QuestionResults, StudentMarks};
use crate::practice::script::{Ready, Task, Word};

use super::connections;
use super::escape::escape;
use super::line::{Spelling, equation, equation_line, name};
use super::proportion::Words;
use super::records::record;
use super::remarks::listed;
use super::wrap::wrapped;

/// Slips that are named for one question.
const MOST_SLIPS: usize = 3;

/// What a question asks, on one line: `v² = u² + 2as for a`.
#[must_use]
pub fn label(ready: &Ready<'_>, spelling: Spelling) -> String {
    match &ready.task {
        Task::Rearrangement(question) => format!(
            "{} for {}",
            equation(question.formula(), question.table(), spelling),
            name(question.subject(), question.table(), spelling)
        ),
        Task::Connection(joint) => {
            let subject = name(joint.question.subject(), joint.question.table(), spelling);
            let given = listed(&connections::formulae(joint, spelling)).unwrap_or_default();
            format!("{subject} from {given}")
        }
        Task::Proportion(scaling) => {
            let words = Words { scaling, spelling };
            format!(
                "{} when {}",
                equation(scaling.question.formula(), scaling.table(), spelling),
                words.changes()
            )
        }
        Task::Definition(_) => {
            let term = ready.entry.term.as_deref().unwrap_or("a term");
            format!("define {}", escape(term))
        }
        Task::Proof(argument) => {
            let table = argument.vocabulary.table();
            format!(
                "show {}",
                equation_line(&argument.task.goal, table, spelling)
            )
        }
    }
}

/// `11 of 28 kept the sign of u²`.
#[must_use]
pub fn count_words(count: usize, of: usize, deed: &str) -> String {
    format!("{count} of {of} {deed}")
}

/// An index to two places; a dash where there is none.
fn index(value: Option<f64>) -> String {
    match value {
        // No minus in front of what rounds to nothing.
        Some(value) if value.abs() < 0.005 => "0.00".to_owned(),
        Some(value) => format!("{value:.2}"),
        None => "-".to_owned(),
    }
}

/// How each question went, as a table.
#[must_use]
pub fn questions(
    ready: &[Ready<'_>],
    results: &[QuestionResults],
    students: usize,
    width: usize,
) -> String {
    let heads = " no. marks  facility  discrim.  item-rest  right  part  wrong  blank  for you\n";
    let narrow = heads.len() > width;
    let mut out = String::new();
    if !narrow {
        out.push_str(heads);
    }
    for (own, result) in ready.iter().zip(results) {
        let open = result.count(Word::Undecided) + result.count(Word::Unreadable);
        if narrow {
            let cells = [
                ("marks", own.marks().to_string()),
                ("facility", index(result.facility)),
                ("discrimination", index(result.discrimination)),
                ("item-rest", index(result.correlation)),
                ("right", result.count(Word::Right).to_string()),
                ("in part", result.count(Word::Unfinished).to_string()),
                ("wrong", result.count(Word::Wrong).to_string()),
                ("blank", result.count(Word::NotAnswered).to_string()),
                ("for you", open.to_string()),
            ];
            out.push_str(&record(&own.entry.number.to_string(), &cells, width));
            continue;
        }
        out.push_str(&format!(
            "{:>4} {:>5}  {:>8}  {:>8}  {:>9}  {:>5}  {:>4}  {:>5}  {:>5}  {:>7}\n",
            own.entry.number,
            own.marks(),
            index(result.facility),
            index(result.discrimination),
            index(result.correlation),
            result.count(Word::Right),
            result.count(Word::Unfinished),
            result.count(Word::Wrong),
            result.count(Word::NotAnswered),
            open,
        ));
    }
    out.push('\n');
    let explained = "Facility: marks gained over marks to be had. Discrimination: the facility \
                     among the best 27 % of the class less that among the weakest 27 %. \
                     Item-rest: the correlation with the marks in all other questions. For you: \
                     answers that I could not read or decide; they count for nobody until you \
                     look.";
    out.push_str(&wrapped(explained, "", "", width));
    out.push('\n');
    if students < FEW {
        let told = format!(
            "With fewer than {FEW} students the indices say little: one student moves them a lot."
        );
        out.push_str(&wrapped(&told, "", "", width));
        out.push('\n');
    }
    out
}

/// The commonest slips, question by question.
#[must_use]
pub fn slips(
    ready: &[Ready<'_>],
    results: &[QuestionResults],
    students: usize,
    spelling: Spelling,
    width: usize,
) -> String {
    let mut out = String::new();
    let mut any = false;
    for (own, result) in ready.iter().zip(results) {
        if result.deeds.is_empty() {
            continue;
        }
        any = true;
        let first = format!("{:>4}. ", own.entry.number);
        out.push_str(&wrapped(&label(own, spelling), &first, "      ", width));
        out.push('\n');
        for (deed, count) in result.deeds.iter().take(MOST_SLIPS) {
            let told = count_words(*count, students, deed);
            out.push_str(&wrapped(&told, "      ", "        ", width));
            out.push('\n');
        }
    }
    if !any {
        out.push_str("      None that has a name.\n");
    }
    out
}

/// Every student's marks, as a table; names last, since they may be long.
/// On a narrow page a sentence for each.
#[must_use]
pub fn students(students: &[StudentMarks], width: usize) -> String {
    let heads = " marks    of   per cent  right  blank  for you  seat\n";
    let narrow = heads.len() > width;
    let mut out = String::from(if narrow { "" } else { heads });
    for student in students {
        let percent = match student.available {
            0 => "-".to_owned(),
            available => format!("{:.0}", percent(student.awarded, available)),
        };
        if narrow {
            let cells = [
                (
                    "marks",
                    format!("{} of {}", student.awarded, student.available),
                ),
                ("per cent", percent),
                ("right", student.right.to_string()),
                ("blank", student.left_out.to_string()),
                ("for you", student.open.to_string()),
            ];
            out.push_str(&record(&escape(&student.seat), &cells, width));
            continue;
        }
        out.push_str(&format!(
            "{:>6} {:>5} {:>10}  {:>5}  {:>5}  {:>7}  {}\n",
            student.awarded,
            student.available,
            percent,
            student.right,
            student.left_out,
            student.open,
            escape(&student.seat)
        ));
    }
    out
}

/// A share in per cent.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn percent(part: usize, whole: usize) -> f64 {
    if whole == 0 {
        return 0.0;
    }
    100.0 * part as f64 / whole as f64
}

/// An index for a spreadsheet: four places, empty where there is none.
#[must_use]
pub fn index_cell(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| format!("{value:.4}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indices() {
        for (value, expected) in [
            (Some(0.5), "0.50"),
            (Some(-0.25), "-0.25"),
            (Some(-0.001), "0.00"),
            (None, "-"),
        ] {
            assert_eq!(index(value), expected);
        }
        assert_eq!(index_cell(Some(1.0 / 3.0)), "0.3333");
        assert_eq!(index_cell(None), "");
    }
}
