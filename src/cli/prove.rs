//! `rejig prove`: a working in a file, checked line by line.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::physics::formulary::Formulary;
use crate::physics::marking::rule;
use crate::practice::argument::{Argument, Judged};
use crate::reason::answer::other_formulae;
use crate::reason::approximation::Approximation;
use crate::reason::proof::MOST_LINES;
use crate::show::derivation::Words;
use crate::show::escape::escape;
use crate::show::remarks;
use crate::show::strangers::strangers_in;
use crate::show::wrap::wrapped;
use crate::store::sheets;
use crate::text::proof_file::{ProofFile, proof_file};
use crate::text::{Diagnostic, Undeclared, Vocabulary, read};

use super::args::{PlainFormat, Prove};
use super::asking::print_reason;
use super::exit::Status;
use super::judge::proof::response;
use super::outcome::{Outcome, Trouble, misunderstood};
use super::output::buffered;
use super::style::Style;
use crate::store::fault::why;

/// Bytes that a file may have.
const LONGEST_FILE: u64 = 1 << 20;

/// Runs the verb: the status says whether the result was shown.
///
/// # Errors
/// When the file can't be read, or writing fails.
pub fn run(arguments: &Prove, style: &Style) -> Outcome {
    let shown_path = arguments.file.display();
    let text = match text_of(arguments) {
        Ok(text) => text,
        Err(error) => return misunderstood(format!("I can't read {shown_path}: {}.", why(&error))),
    };
    let (file, mut argument) = understood(&text, &shown_path.to_string())?;
    let formulary: Formulary = sheets::embedded();
    argument.know(&formulary);
    let judged = argument.judge(file.lines.iter().map(|line| line.text.as_str()));
    match arguments.format {
        PlainFormat::Text => report(&file, &judged, style)?,
        PlainFormat::Json => report_json(&file, &judged)?,
    }
    Ok(if judged.report.complete {
        Status::Done
    } else {
        Status::Faults
    })
}

/// What the text of a proof file says: its lines, and the question as an
/// argument that judges them.
///
/// # Errors
/// What can't be understood, for people.
pub fn understood(text: &str, shown_path: &str) -> Result<(ProofFile, Argument), Trouble> {
    let file = match proof_file(text) {
        Ok(file) => file,
        Err(fault) => return misunderstood(fault.render()),
    };
    if file.lines.len() > MOST_LINES {
        return misunderstood(format!(
            "{shown_path} has more than {MOST_LINES} lines of working, which is more than I read."
        ));
    }
    let Some(goal) = &file.goal else {
        return misunderstood(format!(
            "{shown_path} has no show line, so nothing is to be shown.\nWrite one like this: \
             show v^2 = u^2 + 2 a s"
        ));
    };
    let mut argument = match prepared(&file, &goal.text) {
        Ok(argument) => argument,
        Err(fault) => {
            return misunderstood(format!("I can't read the question.\n{}", fault.render()));
        }
    };
    for grant in &file.granted {
        match Approximation::from_key(&grant.text) {
            Some(approximation) => argument.grant(approximation),
            None => {
                return misunderstood(format!(
                    "line {}: I know no approximation called {}.\nThe one that I know is \
                     small-angle.",
                    grant.line, grant.text
                ));
            }
        }
    }
    for (code, condition) in &file.marks {
        let rule = rule(condition, &argument.vocabulary);
        argument.marks.push((code.clone(), rule));
    }
    Ok((file, argument))
}

fn text_of(arguments: &Prove) -> io::Result<String> {
    use std::io::Read;
    let mut bytes = Vec::new();
    if arguments.file.as_os_str() == "-" {
        io::stdin()
            .lock()
            .take(LONGEST_FILE + 1)
            .read_to_end(&mut bytes)?;
    } else {
        std::fs::File::open(&arguments.file)?
            .take(LONGEST_FILE + 1)
            .read_to_end(&mut bytes)?;
    }
    let refused = |told: &str| Err(io::Error::new(io::ErrorKind::InvalidData, told));
    if bytes.len() as u64 > LONGEST_FILE {
        // A verdict on its beginning would not be one on the working.
        return refused("it is too long for a working");
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(_) => refused("it is not plain text in UTF-8"),
    }
}

fn prepared(file: &ProofFile, goal: &str) -> Result<Argument, Diagnostic> {
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in &file.quantities {
        vocabulary.declare(name, *domain);
    }
    let mut argument = Argument::of_text(
        file.given.iter().map(|line| line.text.as_str()),
        file.helpers.iter().map(|line| line.text.as_str()),
        goal,
        vocabulary,
    )?;
    for (name, variables) in &file.functions {
        for variable in variables {
            argument.depends(name, variable);
        }
    }
    Ok(argument)
}

/// One JSON object: what `judge` answers to a task `proof`, with the text of
/// each line and where it stands in the file, and each mark by its code.
fn report_json(file: &ProofFile, judged: &Judged) -> io::Result<()> {
    let mut whole = response(judged);
    if let Some(lines) = whole.get_mut("lines").and_then(Value::as_array_mut) {
        for (value, typed) in lines.iter_mut().zip(&file.lines) {
            if let Some(fields) = value.as_object_mut() {
                fields.insert("text".into(), typed.text.as_str().into());
                fields.insert("at".into(), typed.line.into());
            }
        }
    }
    let codes: Vec<Value> = file
        .marks
        .iter()
        .zip(&judged.earned)
        .map(|((code, condition), earned)| {
            json!({ "code": code, "when": condition, "earned": earned })
        })
        .collect();
    whole.insert("mark_codes".into(), codes.into());
    let mut out = io::stdout().lock();
    writeln!(out, "{}", Value::Object(whole))
}

fn report(file: &ProofFile, judged: &Judged, style: &Style) -> io::Result<()> {
    let words = Words {
        table: judged.vocabulary.table(),
        spelling: style.spelling,
        given: &file
            .given
            .iter()
            .map(|line| line.text.clone())
            .collect::<Vec<_>>(),
    };
    let mut out = buffered(style.spelling);
    for line in &file.given {
        if let Some(told) = doubt(&line.text, &judged.vocabulary, style) {
            writeln!(
                out,
                "{}",
                wrapped(&escape(&line.text), "given ", "      ", style.width)
            )?;
            writeln!(out, "{}\n", wrapped(&told, "      ", "      ", style.width))?;
        }
    }
    let strangers = strangers_in(judged, style.spelling);
    for (number, ((line, typed), unreadable)) in judged
        .report
        .lines
        .iter()
        .zip(&file.lines)
        .zip(&judged.unreadable)
        .enumerate()
    {
        let remark = words.line(number, line);
        let label = format!("{}. ", number + 1);
        let indent = " ".repeat(label.len());
        writeln!(
            out,
            "{}",
            wrapped(&escape(&typed.text), &label, &indent, style.width)
        )?;
        writeln!(out, "{indent}{}", style.verdict(remark.mood, remark.word))?;
        for told in remark.told.iter().chain(&strangers[number]) {
            writeln!(out, "{}", wrapped(told, &indent, &indent, style.width))?;
        }
        if let Some(fault) = unreadable {
            print_reason(&mut out, fault, &indent, style)?;
        }
    }
    writeln!(out)?;
    let told = words.whole(&judged.report);
    writeln!(out, "{}", wrapped(&told, "", "", style.width))?;
    let (awarded, available) = judged.marks;
    let marks: Vec<String> = file
        .marks
        .iter()
        .zip(&judged.earned)
        .map(|((code, _), earned)| format!("{code} {}", if *earned { "yes" } else { "no" }))
        .collect();
    let detail = if marks.is_empty() {
        String::new()
    } else {
        format!(" ({})", marks.join(", "))
    };
    writeln!(out, "Marks: {awarded} of {available}{detail}.")?;
    out.flush()
}

/// How a given line was taken, if it can be read in another way too: then a
/// sound line below may not follow.
fn doubt(text: &str, vocabulary: &Vocabulary, style: &Style) -> Option<String> {
    let mut vocabulary = vocabulary.clone();
    let readings = read(text, &mut vocabulary, Undeclared::Declare).ok()?;
    other_formulae(&readings).next()?;
    let words = remarks::Words {
        table: vocabulary.table(),
        spelling: style.spelling,
    };
    Some(words.taken_as(&readings.preferred.chain))
}
