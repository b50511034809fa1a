//! Connections solved: formulae of several topics, what they share eliminated,
//! the result put back into each of them.

mod graph;
mod joint;
mod suggest;

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::limits::Budget;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::physics::connection::Linked;
use crate::physics::formulary::Topic;
use crate::reason::isolate::{Outcome, isolate};

use super::question::Letter;

pub use graph::{Chain, Graph, Hop};
pub use joint::{Explained, Joined, Joint};
pub use suggest::{Suggestion, suggestions};

/// Steps of algebra for putting a result back into one formula.
const STEPS: u64 = 200_000;

/// What several equations say about one quantity.
#[derive(Debug, Clone)]
pub struct Eliminated {
    /// One equation in place of them all.
    pub combined: Equation,
    /// What was eliminated, in order, each in terms of what was left.
    pub given_by: Vec<(Symbol, Expr)>,
}

/// Eliminates quantities from equations by substitution until one equation is
/// left; nothing if that can't be done.
#[must_use]
pub fn eliminate(
    equations: &[Equation],
    unwanted: &[Symbol],
    table: &SymbolTable,
) -> Option<Eliminated> {
    if let [only] = equations {
        return Some(Eliminated {
            combined: only.clone(),
            given_by: Vec::new(),
        });
    }
    for &symbol in unwanted {
        let holders: Vec<usize> = (0..equations.len())
            .filter(|at| holds(&equations[*at], symbol))
            .collect();
        if holders.len() < 2 {
            continue;
        }
        // Where it stands alone already, first.
        let mut order = holders.clone();
        order.sort_by_key(|at| !stands_alone(&equations[*at], symbol));
        for at in order {
            let Some(value) = only_value(&equations[at], symbol, table) else {
                continue;
            };
            let rest: Vec<Equation> = equations
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != at)
                .map(|(_, equation)| equation.substitute(symbol, &value))
                .collect();
            let others: Vec<Symbol> = unwanted
                .iter()
                .copied()
                .filter(|other| *other != symbol)
                .collect();
            if let Some(mut found) = eliminate(&rest, &others, table) {
                found.given_by.insert(0, (symbol, value));
                return Some(found);
            }
        }
    }
    None
}

fn holds(equation: &Equation, symbol: Symbol) -> bool {
    equation.left.contains(symbol) || equation.right.contains(symbol)
}

fn stands_alone(equation: &Equation, symbol: Symbol) -> bool {
    equation.left == Expr::Symbol(symbol) && !equation.right.contains(symbol)
}

fn only_value(equation: &Equation, symbol: Symbol, table: &SymbolTable) -> Option<Expr> {
    if stands_alone(equation, symbol) {
        return Some(equation.right.clone());
    }
    match isolate(equation, symbol, table) {
        Outcome::Solved { solutions, .. } => match solutions.as_slice() {
            [one] => Some(one.value.clone()),
            _ => None,
        },
        _ => None,
    }
}

/// A connection that the engine has solved, and put back into its parts.
#[derive(Debug, Clone)]
pub struct Connecting<'f> {
    /// The formulae and their letters.
    pub linked: Linked<'f>,
    /// The same as a question.
    pub joint: Joint,
}

/// Why a connection can't be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsolved {
    /// What is shared could not be eliminated.
    NotEliminated,
    /// The subject has no closed form, or needs no work.
    NoClosedForm,
    /// The result of the sheet is another one.
    OtherResult,
    /// The result does not satisfy one of the parts.
    NotPutBack,
}

impl<'f> Connecting<'f> {
    /// Solves a connection.
    ///
    /// # Errors
    /// Where it does not come out as the sheet says.
    pub fn new(linked: Linked<'f>) -> Result<Self, Unsolved> {
        let mut linked = linked;
        set_domains(&mut linked);
        let table = linked.vocabulary.table();
        let equations: Vec<Equation> = linked
            .parts
            .iter()
            .map(|part| part.equation.clone())
            .collect();
        let mut joint = Joint::new(equations, &linked.goal, &linked.vocabulary)?;
        let subject = linked.subject;
        if !put_back(joint.parts(), &linked.goal, subject, &joint.found, table) {
            return Err(Unsolved::NotPutBack);
        }
        joint.question.setting.letters = letters(&linked);
        Ok(Connecting { linked, joint })
    }

    /// The headings of its topics, each once.
    #[must_use]
    pub fn titles(&self) -> Vec<&'f str> {
        let mut titles: Vec<&'f str> = Vec::new();
        for part in &self.linked.parts {
            let topic: &'f Topic = part.topic;
            if !titles.contains(&topic.title.as_str()) {
                titles.push(&topic.title);
            }
        }
        titles
    }
}

/// The letters with what they stand for and their units.
fn letters(linked: &Linked<'_>) -> Vec<(Symbol, Option<String>, Option<String>)> {
    let mut found: Vec<(Symbol, Option<String>, Option<String>)> = Vec::new();
    for part in &linked.parts {
        for (own, theirs) in &part.letters {
            if found.iter().any(|(known, _, _)| known == own) {
                continue;
            }
            let letter = Letter::of(part.topic, *own, *theirs);
            found.push((
                *own,
                letter.meaning.map(str::to_owned),
                letter.unit.map(str::to_owned),
            ));
        }
    }
    found
}

/// A quantity that may be negative in all its formulae may be so here; any
/// other is as its strictest formula has it.
fn set_domains(linked: &mut Linked<'_>) {
    let mut domains: Vec<(Symbol, Vec<Domain>)> = Vec::new();
    for part in &linked.parts {
        for (own, theirs) in &part.letters {
            let domain = part.topic.vocabulary.table().domain(*theirs);
            match domains.iter_mut().find(|(symbol, _)| symbol == own) {
                Some((_, known)) => known.push(domain),
                None => domains.push((*own, vec![domain])),
            }
        }
    }
    for (symbol, known) in domains {
        let strictest = [Domain::Acute, Domain::Positive, Domain::Nonnegative]
            .into_iter()
            .find(|domain| known.contains(domain))
            .unwrap_or(Domain::Real);
        linked.vocabulary.table_mut().set_domain(symbol, strictest);
    }
}

/// Whether the result, with what was eliminated as it follows from it,
/// satisfies every equation.
fn put_back(
    equations: &[Equation],
    goal: &Equation,
    subject: Symbol,
    found: &Eliminated,
    table: &SymbolTable,
) -> bool {
    let mut known: Vec<(Symbol, Expr)> = vec![(subject, goal.right.clone())];
    for (symbol, value) in found.given_by.iter().rev() {
        let value = with_all(value, &known);
        known.push((*symbol, value));
    }
    equations.iter().all(|equation| {
        let left = with_all(&equation.left, &known);
        let right = with_all(&equation.right, &known);
        proved_equal_within(&left, &right, table, Budget::new(STEPS)) == Ok(true)
    })
}

fn with_all(expr: &Expr, known: &[(Symbol, Expr)]) -> Expr {
    known
        .iter()
        .rev()
        .fold(expr.clone(), |expr, (symbol, value)| {
            expr.substitute(*symbol, value)
        })
}
