//! `rejig formulae`: what the sheets hold.

use std::io::Write;

use serde_json::{Value, json};

use crate::physics::formulary::{Formula, Proof, Topic};
use crate::physics::search::{Found, Query, search, suggestion};
use crate::physics::unit::read_unit;
use crate::show::escape::escape;
use crate::show::explicit::explicit_equation;
use crate::show::formulae;
use crate::show::table;
use crate::show::wrap::wrapped;

use super::args::{Format, Formulae};
use super::exit::Status;
use super::outcome::{Outcome, misunderstood};
use super::output::buffered;
use super::sheets;
use super::style::Style;

/// Runs the verb.
///
/// # Errors
/// When a sheet or an argument can't be understood, or writing fails.
pub fn run(arguments: &Formulae, style: &Style) -> Outcome {
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
    found.retain(|part| loaded.wants(part.topic) && (!arguments.only || loaded.is_own(part.topic)));
    // Searches by letter or unit are for formulae alone.
    let one = the_one(&loaded, words, &query);
    if let Some(Entry::Formula(topic, formula)) = one {
        found = vec![Found {
            topic,
            formulae: vec![formula],
            definitions: Vec::new(),
            proofs: Vec::new(),
        }];
    }
    let columns = style.width;
    let mut out = buffered(style.spelling_if(arguments.format == Format::Text));
    match arguments.format {
        Format::Text => {
            let whole = query == Query::default() && !arguments.only;
            if let Some(entry) = one {
                let text = match entry {
                    Entry::Formula(topic, formula) => formulae::entry(topic, formula, columns),
                    Entry::Proof(topic, proof) => formulae::proof(topic, proof, columns),
                };
                write!(out, "{text}")?;
            } else if found.is_empty() {
                let mut told = "Nothing fits.".to_owned();
                let typed = arguments.letter.as_deref().unwrap_or(words);
                if let Some(near) = suggestion(&loaded.formulary, typed) {
                    told.push_str(&format!(" Did you mean `{}`?", escape(&near)));
                }
                told.push_str(
                    " `rejig formulae` lists the topics. A search may be a word (energy), a letter \
                     (E_k), a formula's name (kinetic) or a unit (J).",
                );
                writeln!(out, "{}", wrapped(&told, "", "", columns))?;
            } else if whole && arguments.sheets.topics.is_empty() {
                write!(out, "{}", formulae::topics(&loaded.formulary, columns))?;
                let told = format!(
                    "{} formulae. `rejig formulae --topic TOPIC` shows a topic, `rejig formulae WORD` \
                     looks for a word, `rejig formulae TOPIC/NAME` shows a formula with its letters \
                     and proofs.",
                    loaded.formulary.formula_count()
                );
                writeln!(out, "\n{}", wrapped(&told, "", "", columns))?;
            } else if whole {
                for (index, part) in found.iter().enumerate() {
                    if index > 0 {
                        writeln!(out)?;
                    }
                    write!(out, "{}", formulae::topic(part.topic, columns))?;
                }
            } else {
                write!(out, "{}", formulae::listing(&found, columns))?;
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
                        "explicit": explicit_equation(&formula.equation, topic.vocabulary.table()),
                        "quantities": quantities(topic, formula),
                        "letterings": letterings(topic, formula),
                        "proofs": proofs(topic, formula),
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

/// The one thing that is asked for by its key, or by a name that nothing else
/// has.
#[derive(Clone, Copy)]
enum Entry<'a> {
    Formula(&'a Topic, &'a Formula),
    Proof(&'a Topic, &'a Proof),
}

fn the_one<'a>(loaded: &'a sheets::Loaded, words: &str, query: &Query<'_>) -> Option<Entry<'a>> {
    if words.is_empty() || query.letter.is_some() || query.unit.is_some() {
        return None;
    }
    if let Some((topic, formula)) = loaded.formulary.formula(words) {
        return Some(Entry::Formula(topic, formula));
    }
    if let Some((key, name)) = words.split_once('/')
        && let Some(topic) = loaded.formulary.topic(key)
        && let Some(proof) = topic.proof(name)
    {
        return Some(Entry::Proof(topic, proof));
    }
    let topics = || {
        let all = loaded.formulary.topics.iter();
        all.filter(|topic| loaded.wants(topic))
    };
    // A name alone, unless it is a topic's or a word of another entry.
    let mut named = topics().filter_map(|topic| Some((topic, topic.formula(words)?)));
    let (topic, formula) = named.next()?;
    let elsewhere =
        loaded.formulary.topic(words).is_some() || topic.vocabulary.lookup(words).is_some();
    (named.next().is_none() && !elsewhere).then_some(Entry::Formula(topic, formula))
}

/// What the letters of a formula stand for.
fn quantities(topic: &Topic, formula: &Formula) -> Vec<Value> {
    let table = topic.vocabulary.table();
    formula
        .equation
        .symbols()
        .into_iter()
        .map(|symbol| {
            let quantity = topic.quantity(symbol);
            let constant = topic.constant(symbol);
            let unit = quantity
                .and_then(|quantity| quantity.unit.as_ref())
                .or_else(|| constant?.unit.as_ref());
            json!({
                "symbol": table.name(symbol),
                "name": quantity
                    .map(|quantity| quantity.name.as_str())
                    .or_else(|| constant?.name.as_deref()),
                "unit": unit.map(|unit| unit.text.as_str()),
                "base_units": unit.map(|unit| unit.dimension.to_string()),
                "scale": unit.map(|unit| unit.scale),
                "value": constant.map(|constant| constant.value),
                "domain": table.domain(symbol).keyword(),
            })
        })
        .collect()
}

/// The letterings that change a formula.
fn letterings(topic: &Topic, formula: &Formula) -> Vec<Value> {
    let symbols = formula.equation.symbols();
    topic
        .notations
        .iter()
        .filter_map(|notation| {
            let changes: serde_json::Map<String, Value> = notation
                .changes
                .iter()
                .filter(|(symbol, _)| symbols.contains(symbol))
                .map(|(symbol, letter)| {
                    let name = topic.vocabulary.table().name(*symbol);
                    (name.to_owned(), letter.as_str().into())
                })
                .collect();
            (!changes.is_empty()).then(|| json!({"name": notation.name, "letters": changes}))
        })
        .collect()
}

/// The proofs in which a formula is given or shown.
fn proofs<'a>(topic: &'a Topic, formula: &Formula) -> Vec<&'a str> {
    topic
        .proofs
        .iter()
        .filter(|proof| {
            let mut statements = proof.given.iter().chain([&proof.goal]);
            statements.any(|statement| statement.equations.contains(&formula.equation))
        })
        .map(|proof| proof.name.as_str())
        .collect()
}

fn subjects<'a>(topic: &'a Topic, formula: &Formula) -> Vec<&'a str> {
    topic
        .subjects(formula)
        .into_iter()
        .map(|symbol| topic.vocabulary.table().name(symbol))
        .collect()
}
