//! A result to be shown, line by line: the task of a sheet in the letters
//! asked, the lines that stand, and what comes next on the sheet's own route.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::physics::formulary::{Proof, Statement, Topic};
use crate::reason::equation::{Relation, relate};
use crate::reason::proof::{Kind, LineVerdict, neighbours};
use crate::text::Vocabulary;

use super::argument::{Argument, Judged};
use super::attempt::Lettering;
use super::fading;
use super::letters;
use super::question::Letter;

/// Marks of a proof whose sheet names none: one for a line of working, one
/// for the result.
const USUAL_MARKS: usize = 2;

/// Marks that a proof is worth.
#[must_use]
pub fn marks(proof: &Proof) -> usize {
    match proof.marks.len() {
        0 => USUAL_MARKS,
        named => named,
    }
}

/// The symbols that a proof's question speaks of, in order of appearance.
#[must_use]
pub fn symbols(proof: &Proof) -> Vec<Symbol> {
    let mut found: Vec<Symbol> = Vec::new();
    let statements = proof.given.iter().chain(&proof.helpers);
    for statement in statements.chain([&proof.goal]) {
        for equation in &statement.equations {
            for symbol in equation.symbols() {
                if !found.contains(&symbol) {
                    found.push(symbol);
                }
            }
        }
    }
    found
}

/// What became of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Became {
    /// It stands.
    Stands,
    /// It stands, and the result is shown.
    Shown,
    /// It was wrong. With it went so many lines before it that rested on
    /// nothing, or on what is to be shown.
    StruckOut(usize),
    /// It can't be read, is too much at once or can't be decided; or it is
    /// the result without any working. It is not kept, and is no miss.
    NotKept,
}

/// What was done to the lines, for taking it back.
#[derive(Debug, Clone)]
enum Event {
    /// A line was added.
    Kept,
    /// A line was wrong; these went with it.
    Wrong(Vec<String>),
}

/// What taking back a line came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakenBack {
    /// The last line that stood.
    Line,
    /// A wrong line.
    Wrong,
}

/// A hint for a proof.
#[derive(Debug, Clone, PartialEq)]
pub enum ProofHint {
    /// What the next line is like.
    Nudge(Nudge),
    /// The sides of the next line, and whether it is the last.
    Line(Vec<Expr>, bool),
}

/// What a line is like.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Nudge {
    /// It has this letter alone on one side.
    Alone(Symbol),
    /// It lacks this letter alone of those given.
    Without(Symbol),
    /// It has these letters.
    Letters(Vec<Symbol>),
}

/// A result to be shown.
#[derive(Debug, Clone)]
pub struct Proving<'f> {
    /// Where it comes from.
    pub topic: &'f Topic,
    /// The sheet's proof.
    pub proof: &'f Proof,
    /// The letters in which it is asked.
    pub lettering: Lettering,
    argument: Argument,
    /// The lines that stand.
    lines: Vec<String>,
    events: Vec<Event>,
    /// How many milestones were told.
    told: usize,
    /// How far nudges went.
    nudged: usize,
    shown: bool,
}

impl<'f> Proving<'f> {
    /// A sheet's proof in a lettering; nothing if it has no such lettering,
    /// or a new letter is another quantity's.
    #[must_use]
    pub fn new(
        topic: &'f Topic,
        proof: &'f Proof,
        lettering: Lettering,
        seed: u64,
    ) -> Option<Self> {
        let changes = letters::changes(topic, &symbols(proof), &lettering, seed)?;
        let mut argument = Argument::of_sheet(topic, proof);
        if !changes.is_empty() {
            argument.vocabulary = relettered(topic, &changes)?;
        }
        Some(Proving {
            topic,
            proof,
            lettering,
            argument,
            lines: Vec::new(),
            events: Vec::new(),
            told: 0,
            nudged: 0,
            shown: false,
        })
    }

    /// The letters.
    #[must_use]
    pub fn vocabulary(&self) -> &Vocabulary {
        &self.argument.vocabulary
    }

    /// What may be used: the sides of each equation.
    #[must_use]
    pub fn given(&self) -> &[Vec<Expr>] {
        &self.argument.task.given
    }

    /// Letters that the question brings in.
    #[must_use]
    pub fn helpers(&self) -> &[Vec<Expr>] {
        &self.argument.task.helpers
    }

    /// What is to be shown.
    #[must_use]
    pub fn goal(&self) -> &[Expr] {
        &self.argument.task.goal
    }

    /// Marks that it is worth.
    #[must_use]
    pub fn marks(&self) -> usize {
        marks(self.proof)
    }

    /// The codes of the marks; none for the usual ones.
    pub fn codes(&self) -> impl Iterator<Item = &str> {
        self.argument.marks.iter().map(|(code, _)| code.as_str())
    }

    /// The letters of the question with what the sheet says about them.
    #[must_use]
    pub fn letters(&self) -> Vec<Letter<'f>> {
        symbols(self.proof)
            .into_iter()
            .map(|symbol| Letter::of(self.topic, symbol, symbol))
            .collect()
    }

    /// A valid route, line by line; the result itself if the sheet has none.
    #[must_use]
    pub fn route(&self) -> Vec<Vec<Expr>> {
        match self.proof.route.as_slice() {
            [] => vec![self.argument.task.goal.clone()],
            route => route.iter().map(sides).collect(),
        }
    }

    /// The lines that stand.
    #[must_use]
    pub fn lines(&self) -> &[String] {
        &self.lines
    }

    /// Begins again with these lines of a worked example.
    pub fn begin_with(&mut self, lines: Vec<String>) {
        self.lines = lines;
        self.events.clear();
    }

    /// How many lines of the route stand already when it is asked with a
    /// worked example: all but the blank ones, and never the last.
    #[must_use]
    pub fn lines_of_example(&self, support: u32) -> usize {
        let steps = self.route().len();
        steps - fading::blanks(support, steps).clamp(1, steps)
    }

    /// Judges the lines that stand with one more. A line that does not stand
    /// is not kept.
    pub fn line(&mut self, text: &str) -> (Judged, Became) {
        let lines = self.lines.iter().map(String::as_str).chain([text]);
        let judged = self.argument.judge(lines);
        let number = self.lines.len();
        let report = &judged.report;
        let last = &report.lines[number.min(report.lines.len() - 1)];
        let became = if judged.unreadable[number].is_some() {
            Became::NotKept
        } else if let Some(bad) = report.first_bad {
            // A line before it is bad now if this one shows what it was for.
            let struck = self.lines.split_off(bad.min(number));
            self.events.push(Event::Wrong(struck));
            Became::StruckOut(number - bad.min(number))
        } else if report.complete {
            Became::Shown
        } else if report.goal_alone || !may_stand(last) {
            Became::NotKept
        } else {
            Became::Stands
        };
        self.shown = became == Became::Shown;
        if matches!(became, Became::Stands | Became::Shown) {
            self.lines.push(text.to_owned());
            self.events.push(Event::Kept);
        }
        (judged, became)
    }

    /// Whether the result is shown.
    #[must_use]
    pub fn is_shown(&self) -> bool {
        self.shown
    }

    /// Whether the last line was wrong.
    #[must_use]
    pub fn last_was_wrong(&self) -> bool {
        matches!(self.events.last(), Some(Event::Wrong(_)))
    }

    /// Takes back the last line, whether it stood or not.
    pub fn take_back(&mut self) -> Option<TakenBack> {
        match self.events.pop()? {
            Event::Kept => {
                self.shown = false;
                self.lines.pop();
                Some(TakenBack::Line)
            }
            Event::Wrong(struck) => {
                self.lines.extend(struck);
                Some(TakenBack::Wrong)
            }
        }
    }

    /// The next hint: what the next line of the route is like that is neither
    /// reached nor told, then the line itself. The last line is what is to be
    /// shown, and needs no nudge.
    pub fn next_hint(&mut self) -> Option<ProofHint> {
        let route = self.route();
        let next = self.reached(&route).max(self.told);
        let line = route.get(next)?;
        let last = next + 1 == route.len();
        if !last && self.nudged <= next {
            self.nudged = next + 1;
            return Some(ProofHint::Nudge(self.nudge(line)));
        }
        self.told = next + 1;
        Some(ProofHint::Line(line.clone(), last))
    }

    fn nudge(&self, line: &[Expr]) -> Nudge {
        let letters = |sides: &[Expr]| {
            let mut found = Vec::new();
            sides
                .iter()
                .for_each(|side| side.collect_symbols(&mut found));
            found.dedup();
            found
        };
        let own = letters(line);
        if let [Expr::Symbol(symbol), rest @ ..] = line
            && rest.iter().all(|side| !side.contains(*symbol))
        {
            return Nudge::Alone(*symbol);
        }
        let mut gone: Vec<Symbol> = Vec::new();
        let task = &self.argument.task;
        for symbol in task.given.iter().flat_map(|chain| letters(chain)) {
            if !own.contains(&symbol) && !gone.contains(&symbol) {
                gone.push(symbol);
            }
        }
        // A line without several letters rests on a part of what is given.
        match gone.as_slice() {
            [symbol] => Nudge::Without(*symbol),
            _ => {
                let mut letters: Vec<Symbol> = Vec::new();
                for symbol in own {
                    if !letters.contains(&symbol) {
                        letters.push(symbol);
                    }
                }
                Nudge::Letters(letters)
            }
        }
    }

    /// How far on the route the lines that stand have come.
    fn reached(&self, route: &[Vec<Expr>]) -> usize {
        if self.lines.is_empty() {
            return 0;
        }
        let judged = self.argument.judge(self.lines.iter().map(String::as_str));
        let table = judged.vocabulary.table();
        let own: Vec<Vec<Equation>> = judged
            .report
            .lines
            .iter()
            .map(|line| neighbours(&line.chain))
            .collect();
        let is_there = |milestone: &Vec<Expr>| {
            let wanted = neighbours(milestone);
            own.iter().any(|line| {
                wanted.iter().all(|equation| {
                    line.iter().any(|own| {
                        let (own, equation) =
                            (std::slice::from_ref(own), std::slice::from_ref(equation));
                        relate(own, equation, table).relation == Relation::Same
                    })
                })
            })
        };
        route.iter().rposition(is_there).map_or(0, |last| last + 1)
    }
}

/// A leap is true, and yet the line between is asked for.
fn may_stand(line: &LineVerdict) -> bool {
    line.kind.is_sound() && line.kind != Kind::Leap
}

fn sides(statement: &Statement) -> Vec<Expr> {
    let mut sides: Vec<Expr> = statement
        .equations
        .iter()
        .map(|equation| equation.left.clone())
        .collect();
    let last = statement.equations.last();
    sides.extend(last.map(|equation| equation.right.clone()));
    sides
}

/// The topic's vocabulary with other letters for some of its symbols, which
/// keep their places in the table, so that the sheet's maths needs no change.
fn relettered(topic: &Topic, changes: &letters::Changes) -> Option<Vocabulary> {
    let table = topic.vocabulary.table();
    let mut vocabulary = Vocabulary::new();
    for symbol in table.symbols() {
        let change = changes.iter().find(|(own, _)| *own == symbol);
        let name = change.map_or(table.name(symbol), |(_, letter)| letter.as_str());
        if vocabulary.declare(name, table.domain(symbol)) != symbol {
            return None;
        }
    }
    for quantity in &topic.quantities {
        if !changes.iter().any(|(own, _)| *own == quantity.symbol) {
            for alias in &quantity.aliases {
                vocabulary.alias(alias, quantity.symbol);
            }
        }
    }
    Some(vocabulary)
}
