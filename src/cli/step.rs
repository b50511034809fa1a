//! `rejig step`: one line of algebra against the line before it.

use std::io::Write;

use crate::algebra::expr::Expr;
use crate::algebra::symbol::Symbol;
use crate::reason::answer;
use crate::reason::equation::Relation;
use crate::show::line::equation_line;
use crate::show::remarks::Words;
use crate::show::strangers::strangers;
use crate::show::wrap::{unbroken, wrapped};
use crate::text::{Readings, Undeclared, Vocabulary, read};

use super::args::Step;
use super::exit::Status;
use super::letters;
use super::outcome::{Outcome, Trouble, misunderstood};
use super::output::buffered;
use super::style::Style;

/// Runs the verb: the status says whether both lines have the same solutions.
///
/// # Errors
/// When a line can't be read, or writing fails.
pub fn run(arguments: &Step, style: &Style) -> Outcome {
    let mut vocabulary = letters::declared(&arguments.domains)?;
    let before = equation_of(&arguments.before, &mut vocabulary, "first")?;
    let after = equation_of(&arguments.after, &mut vocabulary, "second")?;
    let pair = answer::relate_lines(&before, &after, vocabulary.table());
    let words = Words {
        table: vocabulary.table(),
        spelling: style.spelling,
    };
    let remark = words.related_lines(&pair);
    let mut out = buffered(style.spelling);
    for (name, chain) in [
        ("First:  ", &pair.before.chain),
        ("Second: ", &pair.after.chain),
    ] {
        let shown = unbroken(&equation_line(chain, vocabulary.table(), style.spelling));
        writeln!(out, "{}", wrapped(&shown, name, "        ", style.width))?;
    }
    writeln!(out, "{}", style.verdict(remark.mood, remark.word))?;
    for paragraph in &remark.told {
        writeln!(out, "{}", wrapped(paragraph, "", "", style.width))?;
    }
    if pair.related.relation != Relation::Same {
        let first: Vec<Symbol> = pair.before.chain.iter().flat_map(Expr::symbols).collect();
        let table = vocabulary.table();
        for told in strangers(&pair.after.chain, &first, table, style.spelling) {
            writeln!(out, "{}", wrapped(&told, "", "", style.width))?;
        }
    }
    out.flush()?;
    Ok(match pair.related.relation {
        Relation::Same => Status::Done,
        _ => Status::Faults,
    })
}

fn equation_of(text: &str, vocabulary: &mut Vocabulary, which: &str) -> Result<Readings, Trouble> {
    let readings = match read(text, vocabulary, Undeclared::Declare) {
        Ok(readings) => readings,
        Err(fault) => {
            return misunderstood(format!(
                "I can't read the {which} line.\n{}",
                fault.render()
            ));
        }
    };
    if readings.preferred.chain.len() < 2 {
        return misunderstood(format!("The {which} line has no equals sign."));
    }
    Ok(readings)
}
