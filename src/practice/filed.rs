//! What an entry of a quiz file asks, read from its text.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::Domain;
use crate::physics::marking::{MarkRule, rule};
use crate::text::{Diagnostic, Undeclared, Vocabulary, read, read_equation};

use super::argument::Argument;
use super::connections::Joint;
use super::paper::{Described, Entry, scale};
use super::proportion::Scaling;
use super::question::{Question, Setting};

/// The letters that an entry declares.
fn declared(entry: &Entry) -> Result<(Vocabulary, Vec<(String, Described)>), String> {
    let mut vocabulary = Vocabulary::new();
    let mut letters = Vec::new();
    for (name, value) in &entry.quantities {
        let described = Described::of(value)
            .map_err(|fault| format!("What it says about {name:?} can't be read: {fault}."))?;
        let domain = match described.domain.as_deref() {
            None => Domain::default(),
            Some(word) => Domain::from_keyword(word).ok_or_else(|| {
                format!(
                    "{word:?} is no domain for {name:?}; there are positive, nonnegative, real \
                     and acute."
                )
            })?,
        };
        let symbol = vocabulary.declare(name, domain);
        for alias in &described.also {
            vocabulary.alias(alias, symbol);
        }
        letters.push((name.clone(), described));
    }
    Ok((vocabulary, letters))
}

pub(super) fn rearrangement(entry: &Entry) -> Result<Question<'static>, String> {
    let question = question(entry)?;
    if question.marks == 0 {
        return Err(no_way(entry.subject.trim()));
    }
    Ok(question)
}

fn no_way(name: &str) -> String {
    format!("There is nothing to do to free {name}, or no way known here.")
}

pub(super) fn proportion(entry: &Entry) -> Result<Scaling<'static>, String> {
    let question = question(entry)?;
    let mut changes = Vec::new();
    for (name, value) in &entry.changes {
        let varied = question.vocabulary().lookup(name);
        let varied = varied.ok_or_else(|| format!("Its formula has no {name}."))?;
        let scale = scale(value)
            .ok_or_else(|| format!("{name} changes by no number above zero, but by {value}."))?;
        changes.push((varied, scale));
    }
    if changes.is_empty() {
        return Err("It does not say what changes.".to_owned());
    }
    let told = || {
        let name = entry.subject.trim();
        format!("{name} follows what changes by no power, so there is no one factor.")
    };
    Scaling::new(question, &changes).ok_or_else(told)
}

/// The formula of an entry with its subject; it may be that nothing is left to
/// do.
fn question(entry: &Entry) -> Result<Question<'static>, String> {
    let (mut vocabulary, letters) = declared(entry)?;
    let unreadable = |fault: Diagnostic| format!("It can't be read.\n{}", fault.render());
    // The subject first, so that a name of several letters is read as one.
    let name = entry.subject.trim();
    if name.is_empty() {
        return Err("It has no subject.".to_owned());
    }
    let subject = match read(name, &mut vocabulary, Undeclared::Declare)
        .map_err(unreadable)?
        .preferred
        .chain[..]
    {
        [Expr::Symbol(symbol)] => symbol,
        _ => return Err(format!("Its subject {name:?} is not a letter.")),
    };
    let equation =
        read_equation(&entry.formula, &mut vocabulary, Undeclared::Declare).map_err(unreadable)?;
    let symbols = equation.symbols();
    if !symbols.contains(&subject) {
        return Err(format!("Its formula has no {name}."));
    }
    // The formula's letters and no others, so that a run of letters in an
    // answer is split by them first.
    let mut own = Vocabulary::new();
    let mut setting = Setting {
        title: entry.title.clone(),
        condition: entry.condition.clone(),
        ..Setting::default()
    };
    for symbol in &symbols {
        let table = vocabulary.table();
        own.declare(table.name(*symbol), table.domain(*symbol));
    }
    for (name, described) in letters {
        let Some(symbol) = vocabulary.lookup(&name) else {
            continue;
        };
        if symbols.contains(&symbol)
            && let Some(symbol) = own.lookup(&name)
        {
            for alias in &described.also {
                own.alias(alias, symbol);
            }
            let own_letter = (symbol, described.name, described.unit);
            setting.letters.push(own_letter);
        } else {
            let domain = vocabulary.table().domain(symbol);
            setting.further.push((name, domain, described.also));
        }
    }
    let moved = |symbol| {
        own.lookup(vocabulary.table().name(symbol))
            .unwrap_or(symbol)
    };
    let subject = moved(subject);
    let equation = equation.with_symbols(&moved);
    let vocabulary = own;
    let mut question =
        Question::from_joined(equation, subject, vocabulary).ok_or_else(|| no_way(name))?;
    question.setting = setting;
    Ok(question)
}

pub(super) fn connection(entry: &Entry) -> Result<Joint, String> {
    let (mut vocabulary, letters) = declared(entry)?;
    let unreadable = |fault: Diagnostic| format!("It can't be read.\n{}", fault.render());
    let mut parts = Vec::new();
    for text in &entry.given {
        let part = read_equation(text, &mut vocabulary, Undeclared::Declare).map_err(unreadable)?;
        parts.push(part);
    }
    if parts.len() < 2 {
        return Err("It joins two formulae at least.".to_owned());
    }
    let goal = entry
        .goal
        .as_deref()
        .ok_or_else(|| "It does not say what is to be found.".to_owned())?;
    let goal = read_equation(goal, &mut vocabulary, Undeclared::Refuse).map_err(unreadable)?;
    let mut joint = Joint::new(parts, &goal, &vocabulary)
        .map_err(|_| "What it asks for does not come out of its formulae.".to_owned())?;
    joint.question.setting = Setting {
        title: entry.title.clone(),
        condition: entry.condition.clone(),
        letters: letters
            .into_iter()
            .filter_map(|(name, own)| Some((vocabulary.lookup(&name)?, own.name, own.unit)))
            .collect(),
        further: Vec::new(),
    };
    Ok(joint)
}

pub(super) fn proof(entry: &Entry) -> Result<Argument, String> {
    let (vocabulary, _) = declared(entry)?;
    let goal = entry
        .goal
        .as_deref()
        .ok_or_else(|| "It does not say what is to be shown.".to_owned())?;
    let mut argument = Argument::of_text(
        entry.given.iter().map(String::as_str),
        entry.helpers.iter().map(String::as_str),
        goal,
        vocabulary,
    )
    .map_err(|fault| format!("It can't be read.\n{}", fault.render()))?;
    for line in &entry.scheme {
        let Some((code, condition)) = line.trim().split_once(' ') else {
            return Err(format!("Its mark {line:?} has no condition."));
        };
        let rule: MarkRule = rule(condition, &argument.vocabulary);
        argument.marks.push((code.to_owned(), rule));
    }
    for (key, text) in &entry.known {
        // What has a letter that the question lacks is of no use to it.
        let mut own = argument.vocabulary.clone();
        if let Some(text) = text.as_str()
            && let Ok(equation) = read_equation(text, &mut own, Undeclared::Refuse)
        {
            argument.task.known.push((key.clone(), equation));
        }
    }
    Ok(argument)
}
