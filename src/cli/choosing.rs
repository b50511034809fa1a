//! The questions of a quiz: from a file, from sheets, or about one formula.

use std::io::{self, Write};
use std::path::Path;

use crate::physics::connection::link;
use crate::physics::formulary::Formulary;
use crate::practice::attempt::{Kind, Lettering};
use crate::practice::connections::Connecting;
use crate::practice::definition::{self, Wordings};
use crate::practice::item::{Item, What, items};
use crate::practice::paper::{Entry, Paper, SheetText};
use crate::practice::proportion::{Scaling, of_turn};
use crate::practice::quiz::Chooser;
use crate::practice::schedule::key_number;
use crate::practice::script::{Ready, Task};
use crate::practice::seed::SplitMix;
use crate::show::counts::counted;
use crate::show::escape::escape;
use crate::show::papers;
use crate::store::quizzes;
use crate::store::sheets::with_those_of;

use super::args::Choice;
use super::outcome::{Trouble, misunderstood};
use super::sheets::Loaded;
use super::source::{self, USUAL_COUNT, fresh_seed};
use super::style::Style;

/// How often one formula comes up in a quiz before a question is asked again.
const MOST_ROUNDS: u64 = 6;
/// Turns of an item among which a seed chooses.
const TURNS: u64 = 1 << 20;

/// Questions in their order.
pub struct Chosen<'f> {
    /// The questions.
    pub questions: Box<dyn Iterator<Item = Ready<'f>> + 'f>,
    /// The seed, if it decides anything.
    pub seed: Option<u64>,
    /// Whether one of them wants several lines.
    pub wants_lines: bool,
    /// Sheets that must travel with them.
    pub sheets: Vec<SheetText>,
}

/// The questions of a quiz file, made ready.
///
/// # Errors
/// When the file or a question in it can't be read.
pub fn from_file(path: &Path) -> Result<(Paper, Vec<Ready<'static>>), Trouble> {
    let shown = path.to_string_lossy();
    let shown = escape(&shown);
    let paper = match quizzes::read(path) {
        Ok(paper) => paper,
        Err(told) => return misunderstood(format!("I can't read {shown}: {}.", escape(&told))),
    };
    match of_paper(&paper) {
        Ok(ready) => Ok((paper, ready)),
        Err(told) => misunderstood(format!("{shown}, {told}")),
    }
}

/// The questions of a quiz, made ready.
///
/// # Errors
/// Which question can't be asked, and why.
pub fn of_paper(paper: &Paper) -> Result<Vec<Ready<'static>>, String> {
    let mut ready = Vec::with_capacity(paper.questions.len());
    let mut formulary: Option<Formulary> = None;
    for entry in &paper.questions {
        let made = match entry.kind.as_str() {
            "definition" => {
                let formulary = formulary.get_or_insert_with(|| with_those_of(paper));
                of_definition(formulary, entry.clone())
            }
            _ => Ready::new(entry.clone()),
        };
        match made {
            Ok(question) => ready.push(question),
            Err(told) => return Err(format!("question {}: {told}", entry.number)),
        }
    }
    Ok(ready)
}

/// A definition, judged with the words that the sheets know.
fn of_definition(formulary: &Formulary, entry: Entry) -> Result<Ready<'static>, String> {
    let term = entry.term.clone().unwrap_or_default();
    let name = match entry.topic.as_str() {
        "" => term.clone(),
        topic => format!("{topic}/{term}"),
    };
    let found = definition::find(formulary, &name).or_else(|| definition::find(formulary, &term));
    let Some((topic, own)) = found else {
        return Err(format!("The sheets don't define {:?}.", escape(&term)));
    };
    let Some(wordings) = Wordings::new(formulary, topic, own) else {
        let term = escape(&term);
        return Err(format!(
            "The definition of {term:?} is no algebra in words."
        ));
    };
    Ok(Ready::of_definition(entry, wordings))
}

/// A change of subject, ready to be asked.
fn ready(question: crate::practice::question::Question<'_>) -> Ready<'_> {
    Ready {
        entry: papers::rearrangement(&question),
        task: Task::Rearrangement(Box::new(question)),
    }
}

/// Questions about one formula that was typed.
///
/// # Errors
/// When it can't be read, or there is nothing to ask about it.
pub fn from_formula(
    choice: &Choice,
    formula: &str,
    style: &Style,
) -> Result<Chosen<'static>, Trouble> {
    let source = source::from_formula(&choice.practice, formula, style.spelling)?;
    Ok(Chosen {
        questions: Box::new(source.questions.take(source.count).map(ready)),
        seed: source.seed,
        wants_lines: false,
        sheets: Vec::new(),
    })
}

/// Questions from the sheets: rearrangements, if no kind is named.
///
/// # Errors
/// When there is nothing to ask.
pub fn from_sheets<'f>(choice: &Choice, loaded: &'f Loaded) -> Result<Chosen<'f>, Trouble> {
    let practice = &choice.practice;
    let count = practice.count.map_or(USUAL_COUNT, |count| count as usize);
    let seed = practice.seed.unwrap_or_else(fresh_seed);
    let kinds: Vec<Kind> = choice.kinds.iter().map(|kind| kind.kind()).collect();
    let wants = |kind: Kind| kinds.contains(&kind);
    let topics = |topic: &crate::physics::formulary::Topic| {
        loaded.wants(topic) && (!practice.only || loaded.is_own(topic))
    };
    let fewest = choice.marks.map_or(1, |marks| marks.fewest);
    let most = choice.marks.map_or(usize::MAX, |marks| marks.most);
    let mut queues: Vec<Box<dyn Iterator<Item = Ready<'f>> + 'f>> = Vec::new();
    if kinds.is_empty() || wants(Kind::Rearrangement) {
        let chooser = Chooser::new(&loaded.formulary, topics, seed)
            .worth(fewest..=most)
            .once();
        queues.push(Box::new(chooser.map(ready)));
    }
    if wants(Kind::Proof) {
        let mut proofs = Vec::new();
        for item in items(&loaded.formulary, topics) {
            if let What::Proof(proof) = item.what {
                let entry = papers::proof(item.topic, proof);
                if (fewest..=most).contains(&entry.marks) {
                    proofs.push(entry);
                }
            }
        }
        SplitMix::new(seed).shuffle(&mut proofs);
        // A proof that this program's own reader refuses is not asked.
        let ready: Vec<Ready<'static>> = proofs
            .into_iter()
            .take(count)
            .filter_map(|entry| Ready::new(entry).ok())
            .collect();
        queues.push(Box::new(ready.into_iter()));
    }
    for kind in [Kind::Definition, Kind::Connection, Kind::Proportion] {
        if !wants(kind) {
            continue;
        }
        let mut places: Vec<_> = items(&loaded.formulary, topics)
            .into_iter()
            .filter(|item| item.kind() == kind)
            .collect();
        SplitMix::new(seed).shuffle(&mut places);
        let mut made: Vec<Ready<'f>> = Vec::new();
        // A formula can be asked about other changes; a term has one meaning.
        let rounds = if kind == Kind::Proportion {
            MOST_ROUNDS
        } else {
            1
        };
        for (round, item) in
            (0..rounds).flat_map(|round| places.iter().map(move |own| (round, own)))
        {
            if made.len() >= count {
                break;
            }
            let fits = |one: &Ready<'f>| (fewest..=most).contains(&one.marks());
            let known = |one: &Ready<'f>| {
                let twin = |other: &Ready<'f>| other.entry == one.entry;
                made.iter().any(twin)
            };
            let next = asked(item, seed, round).filter(fits);
            let next = next.filter(|one| !known(one));
            made.extend(next);
        }
        queues.push(Box::new(made.into_iter()));
    }
    let mut queues: Vec<_> = queues.into_iter().map(Iterator::peekable).collect();
    queues.retain_mut(|queue| queue.peek().is_some());
    if queues.is_empty() {
        return misunderstood(nothing(choice));
    }
    // Kinds in turn, until all are used up.
    let mut turn = 0;
    let questions = std::iter::from_fn(move || {
        while !queues.is_empty() {
            let place = turn % queues.len();
            if let Some(question) = queues[place].next() {
                turn = place + 1;
                return Some(question);
            }
            // The next kind is at this place now.
            turn = place;
            drop(queues.remove(place));
        }
        None
    });
    Ok(Chosen {
        questions: up_to(questions, count, practice.count.is_some()),
        seed: Some(seed),
        wants_lines: wants(Kind::Proof) || wants(Kind::Connection),
        sheets: if wants(Kind::Definition) {
            loaded.own_sheets()
        } else {
            Vec::new()
        },
    })
}

/// So many questions; where there are fewer, and a number was asked for, it
/// says so at the end.
fn up_to<'f>(
    mut questions: impl Iterator<Item = Ready<'f>> + 'f,
    count: usize,
    asked_for: bool,
) -> Box<dyn Iterator<Item = Ready<'f>> + 'f> {
    let mut given = 0;
    let mut told = !asked_for;
    Box::new(std::iter::from_fn(move || {
        if given == count {
            return None;
        }
        let next = questions.next();
        match next {
            Some(_) => given += 1,
            None if !told => {
                told = true;
                let fewer = counted(given, "question", "questions");
                let verb = if given == 1 { "is" } else { "are" };
                // The questions themselves are not at stake.
                let _ = writeln!(
                    io::stderr(),
                    "rejig: there {verb} {fewer} of this kind, not {count}; none is asked twice."
                );
            }
            None => {}
        }
        next
    }))
}

/// What to say when no question fits.
fn nothing(choice: &Choice) -> String {
    if choice.kinds.is_empty() && choice.marks.is_none() {
        return source::NOTHING.to_owned();
    }
    let kinds: Vec<&str> = choice
        .kinds
        .iter()
        .map(|kind| match kind.kind() {
            Kind::Rearrangement => "change of subject",
            Kind::Proof => "proof",
            Kind::Definition => "definition",
            Kind::Connection => "connection",
            Kind::Proportion => "question of proportion",
        })
        .collect();
    let kinds = match kinds.as_slice() {
        [] => "change of subject".to_owned(),
        kinds => kinds.join(" or "),
    };
    let worth = match choice.marks {
        Some(marks) if marks.fewest == marks.most => {
            format!(" worth {}", counted(marks.fewest, "mark", "marks"))
        }
        Some(_) => " worth so many marks".to_owned(),
        None => String::new(),
    };
    format!("There is nothing to ask: I find no {kinds}{worth} in these sheets and topics.")
}

/// A definition, a connection or a question of proportion; nothing if it can't
/// be asked. The seed and the round decide which change a formula is asked
/// about.
fn asked<'f>(item: &Item<'f>, seed: u64, round: u64) -> Option<Ready<'f>> {
    match item.what {
        What::Definition(own) => {
            let wordings = Wordings::new(item.formulary, item.topic, own)?;
            let entry = papers::definition(item.topic, own, wordings.marks());
            Some(Ready::of_definition(entry, wordings))
        }
        What::Connection(own) => {
            let linked = link(item.formulary, own).ok()?;
            let own = Connecting::new(linked).ok()?;
            Ready::new(papers::connection(&own)).ok()
        }
        What::Proportion(formula) => {
            let own = key_number(&item.key);
            let turn = SplitMix::new(seed ^ own).next_u64() % TURNS + round;
            let change = of_turn(item.topic, formula, own, turn)?;
            let scaling = Scaling::of_sheet(item.topic, formula, &change, Lettering::Sheet, 0)?;
            Some(Ready {
                entry: papers::proportion(&scaling),
                task: Task::Proportion(Box::new(scaling)),
            })
        }
        What::Rearrangement(..) | What::Proof(_) => None,
    }
}
