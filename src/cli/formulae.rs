//! `rejig formulae`: what the sheets hold.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::physics::formulary::{Formula, Topic};
use crate::physics::search::{Found, Query, search};
use crate::physics::unit::read_unit;
use crate::show::escape::escape;
use crate::show::formulae;
use crate::show::table;

use super::args::{Format, Formulae};
use super::exit::Status;
use super::outcome::{Outcome, misunderstood};
use super::sheets;

/// Runs the verb.
///
/// # Errors
/// When a sheet or an argument can't be understood, or writing fails.
pub fn run(arguments: &Formulae) -> Outcome {
    let loaded = sheets::load(&arguments.sheets)?;
    if let Some(unit) = &arguments.unit
        && read_unit(unit).is_err()
    {
        return misunderstood(format!("`{}` is no unit that I know.", escape(unit)));
    }
    let words = arguments.search.join(" ");
    let words = words.trim();
    let query = Query {
        anything: (!words.is_empty()).then_some(words),
        letter: arguments.letter.as_deref(),
        unit: arguments.unit.as_deref(),
        ..Query::default()
    };
    let mut found = search(&loaded.formulary, &query);
    found.retain(|part| loaded.wants(part.topic));
    let mut out = io::BufWriter::new(io::stdout().lock());
    match arguments.format {
        Format::Text => {
            let whole = query == Query::default();
            if found.is_empty() {
                writeln!(out, "No formula fits.")?;
            } else if whole && arguments.sheets.topics.is_empty() {
                write!(out, "{}", formulae::topics(&loaded.formulary))?;
                writeln!(
                    out,
                    "\n{} formulae. `rejig formulae --topic TOPIC` shows a topic, `rejig formulae \
                     WORD`\nlooks for a word.",
                    loaded.formulary.formula_count()
                )?;
            } else if whole {
                for (index, part) in found.iter().enumerate() {
                    if index > 0 {
                        writeln!(out)?;
                    }
                    write!(out, "{}", formulae::topic(part.topic))?;
                }
            } else {
                write!(out, "{}", formulae::listing(&found))?;
            }
        }
        Format::Json => {
            let rows: Vec<Value> = rows(&found)
                .map(|(topic, formula)| {
                    json!({
                        "topic": topic.key,
                        "name": formula.name,
                        "formula": formula.text(),
                        "condition": formula.condition,
                        "subjects": subjects(topic, formula),
                    })
                })
                .collect();
            serde_json::to_writer_pretty(&mut out, &rows)?;
            writeln!(out)?;
        }
        Format::Csv => {
            writeln!(out, "topic,name,formula,condition,subjects")?;
            for (topic, formula) in rows(&found) {
                let condition = formula.condition.as_deref().unwrap_or_default();
                let subjects = subjects(topic, formula).join(" ");
                let cells = [
                    topic.key.as_str(),
                    &formula.name,
                    formula.text(),
                    condition,
                    &subjects,
                ];
                writeln!(out, "{}", table::row(cells))?;
            }
        }
    }
    out.flush()?;
    Ok(Status::Done)
}

fn rows<'a>(found: &'a [Found<'a>]) -> impl Iterator<Item = (&'a Topic, &'a Formula)> {
    found
        .iter()
        .flat_map(|part| part.formulae.iter().map(|formula| (part.topic, *formula)))
}

fn subjects<'a>(topic: &'a Topic, formula: &Formula) -> Vec<&'a str> {
    topic
        .subjects(formula)
        .into_iter()
        .map(|symbol| topic.vocabulary.table().name(symbol))
        .collect()
}
