//! A proof as a question, and a working for it with what became of each line.

use std::io::{self, Write};

use crate::algebra::expr::Expr;
use crate::practice::argument::{Argument, Judged};
use crate::practice::paper::Entry;
use crate::show::derivation::Words;
use crate::show::escape::escape;
use crate::show::line::equation_line;
use crate::show::strangers::strangers_in;
use crate::show::wrap::{unbroken, wrapped};

use super::asking::{print_condition, print_heading, print_reason};
use super::style::Style;

/// Prints what is to be shown, from what.
///
/// # Errors
/// When writing fails.
pub fn print_question(
    out: &mut impl Write,
    heading: &str,
    entry: &Entry,
    argument: &Argument,
    style: &Style,
) -> io::Result<()> {
    let title = entry.title.as_deref();
    print_heading(out, heading, title, argument.marks_to_be_had(), style)?;
    if let Some(statement) = &entry.statement {
        writeln!(
            out,
            "{}",
            wrapped(&escape(statement), "   ", "   ", style.width)
        )?;
    }
    let mut line = |word: &str, chain: &[Expr]| {
        let maths = equation_line(chain, argument.vocabulary.table(), style.spelling);
        writeln!(
            out,
            "{}",
            wrapped(&unbroken(&maths), word, "            ", style.width)
        )
    };
    for chain in &argument.task.given {
        line("     given ", chain)?;
    }
    for chain in &argument.task.helpers {
        line("     let   ", chain)?;
    }
    line("     show  ", &argument.task.goal)?;
    print_condition(out, entry.condition.as_deref(), style)
}

/// Prints each line as it was typed, with its verdict, and what came of the
/// whole.
///
/// # Errors
/// When writing fails.
pub fn print_derivation(
    out: &mut impl Write,
    typed: &[&str],
    judged: &Judged,
    given: &[String],
    style: &Style,
) -> io::Result<()> {
    print_lines(out, typed, judged, given, style)?;
    let words = Words {
        table: judged.vocabulary.table(),
        spelling: style.spelling,
        given,
    };
    let told = words.whole(&judged.report);
    writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
    let (awarded, available) = judged.marks;
    writeln!(out, "   Marks for the working: {awarded} of {available}.")
}

/// Prints each line as it was typed, with its verdict.
///
/// # Errors
/// When writing fails.
pub fn print_lines(
    out: &mut impl Write,
    typed: &[&str],
    judged: &Judged,
    given: &[String],
    style: &Style,
) -> io::Result<()> {
    let words = Words {
        table: judged.vocabulary.table(),
        spelling: style.spelling,
        given,
    };
    let strangers = strangers_in(judged, style.spelling);
    let lines = judged.report.lines.iter().zip(&judged.unreadable);
    for (number, ((line, unreadable), typed)) in lines.zip(typed).enumerate() {
        let remark = words.line(number, line);
        let label = format!("   {:>3}  ", number + 1);
        writeln!(
            out,
            "{}",
            wrapped(&escape(typed), &label, "          ", style.width)
        )?;
        writeln!(out, "        {}", style.verdict(remark.mood, remark.word))?;
        for told in remark.told.iter().chain(&strangers[number]) {
            writeln!(
                out,
                "{}",
                wrapped(told, "        ", "        ", style.width)
            )?;
        }
        if let Some(fault) = unreadable {
            print_reason(out, fault, "        ", style)?;
        }
    }
    Ok(())
}
