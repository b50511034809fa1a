//! Connections that no sheet has blessed, for a teacher to choose from.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::physics::connection::link;
use crate::physics::formulary::{Formula, Formulary, Topic};

use crate::reason::isolate::{Outcome, isolate};
use crate::text::Vocabulary;

use super::eliminate;

/// Suggestions with one formula.
const MOST_OF_A_FORMULA: usize = 2;
/// Suggestions by one quantity.
const MOST_OF_A_JOINT: usize = 4;
/// Letters that a result may have.
const MOST_LETTERS: usize = 7;

/// Two formulae that share a quantity, and what follows.
#[derive(Debug, Clone)]
pub struct Suggestion<'f> {
    /// The two formulae with their topics.
    pub parts: [(&'f Topic, &'f Formula); 2],
    /// The name of the quantity that joins them.
    pub joint: &'f str,
    /// What follows, the subject alone on the left.
    pub result: Equation,
    /// The letters of the result.
    pub vocabulary: Vocabulary,
}

struct Candidate<'f> {
    parts: [(&'f Topic, &'f Formula); 2],
    joint: (Symbol, Symbol),
    /// Smaller is better.
    rank: usize,
}

/// Names that say what kind of quantity it is, but not of what: the frequency
/// of a string is not that of light, and the displacement of a pendulum is not
/// that of a train. Two topics mean one quantity by such a name only where a
/// `connect` entry of a sheet says so.
const OF_WHAT: [&str; 32] = [
    "acceleration",
    "amplitude",
    "angle",
    "angular frequency",
    "angular speed",
    "area",
    "charge",
    "diameter",
    "displacement",
    "distance",
    "energy",
    "force",
    "frequency",
    "height",
    "intensity",
    "length",
    "mass",
    "period",
    "potential energy",
    "power",
    "pressure",
    "radius",
    "resistance",
    "speed",
    "temperature",
    "thickness",
    "time",
    "total energy",
    "velocity",
    "volume",
    "wavelength",
    "work done",
];

/// A symbol of a topic.
type Place = (String, Symbol);

/// Which symbols of different topics stand for one quantity.
struct Meanings {
    /// Pairs that a `connect` entry joins by one letter, both ways round.
    joined: FxHashSet<(Place, Place)>,
}

impl Meanings {
    fn of(formulary: &Formulary) -> Self {
        let mut joined = FxHashSet::default();
        let links = formulary.connections.iter();
        for linked in links.filter_map(|own| link(formulary, own).ok()) {
            for one in &linked.parts {
                for other in &linked.parts {
                    for (letter, left) in &one.letters {
                        let twin = other.letters.iter().find(|(own, _)| own == letter);
                        if let Some((_, right)) = twin {
                            joined.insert((
                                (one.topic.key.clone(), *left),
                                (other.topic.key.clone(), *right),
                            ));
                        }
                    }
                }
            }
        }
        Meanings { joined }
    }

    /// Whether two symbols of two topics stand for one quantity: declared by
    /// the same name, which must say enough, with a unit of one dimension on
    /// one scale, and free to take the same values. Where anything is left
    /// unsaid, they don't.
    fn are_one(&self, left: (&Topic, Symbol), right: (&Topic, Symbol)) -> bool {
        let (Some(one), Some(other)) = (left.0.quantity(left.1), right.0.quantity(right.1)) else {
            return false;
        };
        let (Some(unit), Some(other_unit)) = (&one.unit, &other.unit) else {
            return false;
        };
        let name = one.name.to_lowercase();
        let alike = name == other.name.to_lowercase()
            && unit.dimension == other_unit.dimension
            && unit.celsius == other_unit.celsius
            && one.domain == other.domain;
        let place = |(topic, symbol): (&Topic, Symbol)| (topic.key.clone(), symbol);
        alike
            && (!OF_WHAT.contains(&name.as_str())
                || self.joined.contains(&(place(left), place(right))))
    }
}

/// The best connections that no sheet has, at most so many.
#[must_use]
pub fn suggestions<'f>(
    formulary: &'f Formulary,
    wanted: impl Fn(&Topic) -> bool,
    most: usize,
) -> Vec<Suggestion<'f>> {
    let blessed: Vec<Vec<&str>> = formulary
        .connections
        .iter()
        .map(|own| {
            own.parts
                .iter()
                .map(|(_, key)| key.piece.text.as_str())
                .collect()
        })
        .collect();
    let meanings = Meanings::of(formulary);
    let all: Vec<(&Topic, &Formula)> = formulary
        .topics
        .iter()
        .flat_map(|topic| topic.formulae.iter().map(move |formula| (topic, formula)))
        .collect();
    let mut candidates = Vec::new();
    for (at, left) in all.iter().enumerate() {
        for right in &all[at + 1..] {
            if left.0.key == right.0.key || !(wanted(left.0) || wanted(right.0)) {
                continue;
            }
            let keys = [left.0.formula_key(left.1), right.0.formula_key(right.1)];
            if blessed
                .iter()
                .any(|own| keys.iter().all(|key| own.contains(&key.as_str())))
            {
                continue;
            }
            candidates.extend(candidate(*left, *right, &meanings));
        }
    }
    candidates.sort_by_key(|own| own.rank);
    // Not one formula with all its neighbours: a teacher wants variety.
    let mut used: FxHashMap<String, usize> = FxHashMap::default();
    let mut found = Vec::new();
    for own in candidates {
        if found.len() >= most {
            break;
        }
        let keys: Vec<(String, usize)> = own
            .parts
            .iter()
            .map(|(topic, formula)| (topic.formula_key(formula), MOST_OF_A_FORMULA))
            .chain([(own.joint_name(), MOST_OF_A_JOINT)])
            .collect();
        let worn = |(key, most): &(String, usize)| used.get(key).is_some_and(|count| count >= most);
        if keys.iter().any(worn) {
            continue;
        }
        if let Some(suggestion) = own.solve(&meanings) {
            for (key, _) in keys {
                *used.entry(key).or_default() += 1;
            }
            found.push(suggestion);
        }
    }
    found
}

/// The quantity that joins two formulae best, if one does.
fn candidate<'f>(
    left: (&'f Topic, &'f Formula),
    right: (&'f Topic, &'f Formula),
    meanings: &Meanings,
) -> Option<Candidate<'f>> {
    let theirs = right.0.subjects(right.1);
    let ours = left.0.subjects(left.1);
    let mut shared = Vec::new();
    for &one in &ours {
        for &other in &theirs {
            if meanings.are_one((left.0, one), (right.0, other)) {
                shared.push((one, other));
            }
        }
    }
    // Formulae that share all but one letter say the same thing.
    if shared.is_empty() || shared.len() + 1 >= ours.len().min(theirs.len()) {
        return None;
    }
    let joint = *shared.iter().min_by_key(|(one, other)| {
        let alone =
            |formula: &Formula, symbol: Symbol| usize::from(formula.own_subject() != Some(symbol));
        // Time joins everything, and says little.
        let common = left
            .0
            .meaning(*one)
            .is_some_and(|name| name.starts_with("time"));
        (common, alone(left.1, *one) + alone(right.1, *other))
    })?;
    let common = left
        .0
        .meaning(joint.0)
        .is_some_and(|name| name.starts_with("time"));
    let alone = usize::from(left.1.own_subject() != Some(joint.0))
        + usize::from(right.1.own_subject() != Some(joint.1));
    let letters = ours.len() + theirs.len() - shared.len() - 1;
    Some(Candidate {
        parts: [left, right],
        joint,
        rank: letters + 3 * alone + 20 * usize::from(common) + 4 * (shared.len() - 1),
    })
}

impl<'f> Candidate<'f> {
    /// The joint's name, as a key that no formula has.
    fn joint_name(&self) -> String {
        let (topic, _) = self.parts[0];
        format!("joint {}", topic.meaning(self.joint.0).unwrap_or_default())
    }

    /// Joins the letters, eliminates the joint, and finds a subject.
    fn solve(self, meanings: &Meanings) -> Option<Suggestion<'f>> {
        let mut vocabulary = Vocabulary::new();
        let [(left_topic, left), (right_topic, right)] = self.parts;
        let mut taken: Vec<(Symbol, &Topic, Symbol)> = Vec::new();
        let mut letters = |topic: &'f Topic, formula: &Formula| -> Vec<(Symbol, Symbol)> {
            let mut own = Vec::new();
            for symbol in formula.equation.symbols() {
                let twin = taken.iter().find(|(_, other, theirs)| {
                    let constant = topic.constant(symbol).is_some()
                        && other.constant(*theirs).is_some()
                        && topic.meaning(symbol) == other.meaning(*theirs);
                    meanings.are_one((topic, symbol), (other, *theirs)) || constant
                });
                let made = match twin {
                    Some((made, _, _)) => *made,
                    None => {
                        let table = topic.vocabulary.table();
                        let mut name = table.name(symbol).to_owned();
                        while vocabulary.lookup(&name).is_some() {
                            name.push_str(if name.contains('_') { "'" } else { "_2" });
                        }
                        vocabulary.declare(&name, table.domain(symbol))
                    }
                };
                own.push((symbol, made));
            }
            taken.extend(own.iter().map(|(symbol, made)| (*made, topic, *symbol)));
            own
        };
        let ours = letters(left_topic, left);
        let theirs = letters(right_topic, right);
        let equations = [
            moved(&left.equation, &ours),
            moved(&right.equation, &theirs),
        ];
        let joint = ours.iter().find(|(from, _)| *from == self.joint.0)?.1;
        let table = vocabulary.table();
        let found = eliminate(&equations, &[joint], table)?;
        let symbols = found.combined.symbols();
        if symbols.contains(&joint) || symbols.len() > MOST_LETTERS || symbols.len() < 3 {
            return None;
        }
        // What was a subject before is a good one now.
        let mut subjects: Vec<Symbol> = Vec::new();
        for (formula, map) in [(right, &theirs), (left, &ours)] {
            if let Some(own) = formula.own_subject()
                && let Some((_, made)) = map.iter().find(|(from, _)| *from == own)
            {
                subjects.push(*made);
            }
        }
        for (topic, map) in [(right_topic, &theirs), (left_topic, &ours)] {
            let named = map
                .iter()
                .filter(|(from, _)| topic.quantity(*from).is_some());
            subjects.extend(named.map(|(_, made)| *made));
        }
        let result = subjects
            .into_iter()
            .filter(|subject| symbols.contains(subject))
            .find_map(|subject| match isolate(&found.combined, subject, table) {
                Outcome::Solved {
                    solutions,
                    complete: true,
                    ..
                } if solutions.len() == 1 => Some(Equation::new(
                    Expr::Symbol(subject),
                    solutions[0].value.clone(),
                )),
                _ => None,
            })?;
        let joint = left_topic.meaning(self.joint.0)?;
        Some(Suggestion {
            parts: self.parts,
            joint,
            result,
            vocabulary,
        })
    }
}

fn moved(equation: &Equation, map: &[(Symbol, Symbol)]) -> Equation {
    let to = |symbol: Symbol| {
        map.iter()
            .find(|(from, _)| *from == symbol)
            .map_or(symbol, |(_, to)| *to)
    };
    equation.with_symbols(&to)
}
