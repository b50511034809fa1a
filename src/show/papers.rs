//! Questions as a quiz file has them: maths as text that reads back.

use serde_json::Value;

use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::formulary::{Definition, Proof, Statement, Topic};
use crate::practice::attempt::Lettering;
use crate::practice::connections::Connecting;
use crate::practice::paper::{Described, Entry};
use crate::practice::proportion::Scaling;
use crate::practice::question::Question;

use super::line::{Spelling, equation, name};

/// The entry of a change of subject.
#[must_use]
pub fn rearrangement(question: &Question<'_>) -> Entry {
    let table = question.table();
    let mut entry = Entry {
        key: question.key(),
        topic: question
            .source
            .map_or_else(String::new, |(topic, _)| topic.key.clone()),
        title: question.title().map(str::to_owned),
        formula: equation(question.formula(), table, Spelling::Ascii),
        subject: name(question.subject(), table, Spelling::Ascii),
        marks: question.marks,
        condition: question.condition().map(str::to_owned),
        ..Entry::default()
    };
    describe_letters(&mut entry, question);
    if let Some((topic, _)) = question.source
        && question.lettering == Lettering::Sheet
    {
        letters_of(&mut entry, topic);
    }
    entry
}

/// The entry of a question of proportion.
#[must_use]
pub fn proportion(scaling: &Scaling<'_>) -> Entry {
    let table = scaling.table();
    let source = scaling.question.source;
    Entry {
        key: source.map(|(topic, formula)| format!("{}/proportion:{}", topic.key, formula.name)),
        kind: "proportion".to_owned(),
        marks: scaling.marks(),
        changes: scaling
            .changes()
            .map(|(power, scale)| {
                let value = match scale.to_i64() {
                    Some(whole) => Value::from(whole),
                    None => Value::from(scale.to_string()),
                };
                (table.name(power.varied).to_owned(), value)
            })
            .collect(),
        ..rearrangement(&scaling.question)
    }
}

/// The entry of a proof of a topic.
#[must_use]
pub fn proof(topic: &Topic, proof: &Proof) -> Entry {
    let texts = |statements: &[Statement]| -> Vec<String> {
        statements
            .iter()
            .map(|statement| statement.text().to_owned())
            .collect()
    };
    let scheme: Vec<String> = proof
        .marks
        .iter()
        .map(|mark| format!("{} {}", mark.code, mark.condition))
        .collect();
    let mut entry = Entry {
        key: Some(format!("{}/proof:{}", topic.key, proof.name)),
        kind: "proof".to_owned(),
        topic: topic.key.clone(),
        title: Some(topic.title.clone()),
        marks: if scheme.is_empty() { 2 } else { scheme.len() },
        statement: Some(proof.statement.clone()),
        condition: proof.condition.clone(),
        given: texts(&proof.given),
        helpers: texts(&proof.helpers),
        goal: Some(proof.goal.text().to_owned()),
        route: texts(&proof.route),
        scheme,
        known: topic
            .formulae
            .iter()
            .map(|formula| (topic.formula_key(formula), Value::from(formula.text())))
            .collect(),
        ..Entry::default()
    };
    letters_of(&mut entry, topic);
    entry
}

/// The entry of a definition of a topic.
#[must_use]
pub fn definition(topic: &Topic, definition: &Definition, marks: usize) -> Entry {
    Entry {
        key: Some(format!("{}/definition:{}", topic.key, definition.term)),
        kind: "definition".to_owned(),
        topic: topic.key.clone(),
        title: Some(topic.title.clone()),
        term: Some(definition.term.clone()),
        marks,
        statement: Some(super::definition::said(definition)),
        ..Entry::default()
    }
}

/// The entry of a connection.
#[must_use]
pub fn connection(own: &Connecting<'_>) -> Entry {
    let linked = &own.linked;
    let connection = linked.connection;
    let last = linked.parts.last().map(|part| part.topic);
    let key = last.map_or("", |topic| topic.key.as_str());
    let question = &own.joint.question;
    let table = question.table();
    let mut entry = Entry {
        key: Some(format!("{key}/connection:{}", connection.name)),
        kind: "connection".to_owned(),
        topic: key.to_owned(),
        title: Some(own.titles().join(" and ")),
        marks: own.joint.marks(),
        statement: Some(connection.sentence.clone()),
        condition: connection.condition.clone(),
        subject: name(question.subject(), table, Spelling::Ascii),
        given: connection
            .parts
            .iter()
            .map(|(text, _)| text.piece.text.clone())
            .collect(),
        goal: Some(connection.goal.piece.text.clone()),
        ..Entry::default()
    };
    // Those that are to go too.
    for (symbol, meaning, unit) in &question.setting.letters {
        let described = Described {
            domain: Some(table.domain(*symbol).keyword().to_owned()),
            name: meaning.clone(),
            unit: unit.clone(),
            also: Vec::new(),
        };
        let own = table.name(*symbol).to_owned();
        entry.quantities.insert(own, described.value());
    }
    entry
}

/// Adds a question's letters with what is known of them.
fn describe_letters(entry: &mut Entry, question: &Question<'_>) {
    let table = question.table();
    for letter in question.letters() {
        let described = Described {
            domain: Some(table.domain(letter.symbol).keyword().to_owned()),
            name: letter.meaning.map(str::to_owned),
            unit: letter.unit.map(str::to_owned),
            also: Vec::new(),
        };
        let own = table.name(letter.symbol).to_owned();
        entry.quantities.insert(own, described.value());
    }
}

/// Adds the letters of a topic that an entry lacks, and the other spellings
/// of those that it has.
fn letters_of(entry: &mut Entry, topic: &Topic) {
    let table = topic.vocabulary.table();
    for symbol in table.symbols() {
        let described = describe(topic, table, symbol);
        entry
            .quantities
            .insert(table.name(symbol).to_owned(), described.value());
    }
}

fn describe(topic: &Topic, table: &SymbolTable, symbol: Symbol) -> Described {
    let quantity = topic.quantity(symbol);
    let unit = quantity
        .and_then(|quantity| quantity.unit.as_ref())
        .or_else(|| topic.constant(symbol)?.unit.as_ref());
    Described {
        domain: Some(table.domain(symbol).keyword().to_owned()),
        name: topic.meaning(symbol).map(str::to_owned),
        unit: unit.map(|unit| unit.text.clone()),
        also: quantity.map_or_else(Vec::new, |quantity| quantity.aliases.clone()),
    }
}
