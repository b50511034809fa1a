//! Words that are requests when somebody types them at a quiz, and lines that
//! cost nothing there: what can't be read is asked for again.

use std::io::{self, Write};

use crate::practice::definition::WordsVerdict;
use crate::practice::script::{Detail, Ready, Script, Task, Word};
use crate::show::scripts;
use crate::show::wrap::wrapped;

use super::asking;
use super::style::Style;

/// What can be typed in place of an answer.
const REQUESTS: &str = "`skip` leaves the question out, `letters` says what each letter stands \
                        for, `quit` ends the quiz. A quiz gives no hints; `rejig drill` does.";

/// What is to happen after a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// It is the answer.
    Take,
    /// The same question again.
    Again,
    /// The question is left out.
    LeaveOut,
    /// The end of the quiz.
    Quit,
}

/// Whether a line is a request and no answer.
#[must_use]
pub fn is_request(line: &str) -> bool {
    matches!(
        line.trim().to_lowercase().as_str(),
        "help" | "?" | "hint" | "show" | "undo" | "letters" | "skip" | "quit" | "exit"
    )
}

/// Looks at what a person typed: does what is requested, and says what can't
/// be read.
///
/// # Errors
/// When writing fails.
pub fn weigh(
    out: &mut impl Write,
    ready: &Ready<'_>,
    typed: &str,
    script: &Script,
    style: &Style,
) -> io::Result<Next> {
    let mut say = |text: &str| writeln!(out, "{}", wrapped(text, "   ", "   ", style.width));
    match typed.trim().to_lowercase().as_str() {
        "help" | "?" => {
            say(answer_words(&ready.task))?;
            say(REQUESTS)?;
            return Ok(Next::Again);
        }
        "hint" | "show" => {
            say(
                "A quiz gives no hints; `rejig drill` does. Type your answer, or `skip` to leave \
                 the question out.",
            )?;
            return Ok(Next::Again);
        }
        "undo" => {
            say("There is nothing to take back: in a quiz the first answer counts.")?;
            return Ok(Next::Again);
        }
        "letters" => {
            match &ready.task {
                Task::Rearrangement(question) => {
                    asking::print_each_letter(out, &question.letters(), question.table(), style)?;
                }
                _ => say("The question says what its letters are.")?,
            }
            return Ok(Next::Again);
        }
        "skip" => return Ok(Next::LeaveOut),
        "quit" | "exit" => return Ok(Next::Quit),
        _ => {}
    }
    match &script.detail {
        Detail::Unreadable(fault, _) => asking::print_fault(out, fault, style)?,
        Detail::Wording(judged, _) if matches!(judged.verdict, WordsVerdict::Unreadable(_)) => {
            let told = scripts::told(ready, script, style.spelling).remark;
            say(&told)?;
        }
        Detail::Working(lines) if script.word == Word::Unreadable => {
            for (place, fault) in &lines.unreadable {
                writeln!(out, "   Line {}:", place + 1)?;
                asking::print_fault(out, fault, style)?;
            }
        }
        _ => return Ok(Next::Take),
    }
    let text = "This costs nothing. Type your answer again, or `skip` to leave the question out.";
    writeln!(out, "{}", wrapped(text, "   ", "   ", style.width))?;
    Ok(Next::Again)
}

/// How the question is answered.
fn answer_words(task: &Task<'_>) -> &'static str {
    match task {
        Task::Rearrangement(_) => "Type the formula with the new subject, such as `a = ...`.",
        Task::Definition(_) => {
            "Type the definition as a sentence: \"... per unit ...\", \"rate of change of ...\"."
        }
        _ => "Type your answer; working goes one equation a line.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::line::Spelling;

    #[track_caller]
    fn check(typed: &str, next: Next, told: &str) {
        let entry = serde_json::from_str(
            r#"{"formula":"v = f lambda","subject":"f",
                "quantities":{"f":{"name":"frequency","unit":"Hz"}}}"#,
        )
        .unwrap();
        let ready = Ready::new(entry).unwrap();
        let script = ready.mark(typed);
        let mut out = Vec::new();
        let style = Style {
            colour: false,
            spelling: Spelling::Unicode,
            width: 80,
            flat: false,
        };
        let found = weigh(&mut out, &ready, typed, &script, &style).unwrap();
        assert_eq!(found, next, "{typed}");
        let out = String::from_utf8(out).unwrap();
        assert!(out.contains(told), "{typed}: {out}");
        assert_eq!(told.is_empty(), out.is_empty(), "{typed}: {out}");
    }

    #[test]
    fn what_a_person_types_at_a_quiz() {
        check("hint", Next::Again, "gives no hints");
        check(" Help ", Next::Again, "`skip` leaves the question out");
        check("letters", Next::Again, "frequency, in Hz");
        check("skip", Next::LeaveOut, "");
        check("quit", Next::Quit, "");
        check("f = v/(", Next::Again, "This costs nothing.");
        check("f = vv/q", Next::Again, "This costs nothing.");
        check("f = v/lambda", Next::Take, "");
        check("f = v lambda", Next::Take, "");
        check("", Next::Take, "");
        assert!(is_request("Hint ") && !is_request("f = h"));
    }
}
