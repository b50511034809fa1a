//! Finding formulae: by topic, quantity, letter, name or unit.

use super::formulary::{Definition, Formula, Formulary, Proof, Topic};
use super::laws::{called, is_called};
use super::sameness::key;
use super::unit::{Unit, read_unit};
use crate::algebra::symbol::Symbol;
use crate::text::suggest::nearest;
use crate::text::{Undeclared, read_equation};

/// What is looked for. All that is given must fit.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Query<'a> {
    /// Words or a letter: in the topic's heading, a formula's name, a
    /// quantity's name, or a symbol.
    pub anything: Option<&'a str>,
    /// A topic's key, or words of its heading.
    pub topic: Option<&'a str>,
    /// A symbol; capitals matter.
    pub letter: Option<&'a str>,
    /// A unit: formulae with a quantity of its dimension.
    pub unit: Option<&'a str>,
}

/// What of one topic was found.
#[derive(Debug, Clone)]
pub struct Found<'a> {
    /// The topic.
    pub topic: &'a Topic,
    /// Its formulae, in the order of the sheet.
    pub formulae: Vec<&'a Formula>,
    /// Its definitions of what was looked for.
    pub definitions: Vec<&'a Definition>,
    /// Its proofs that were looked for by name or by words of the task.
    pub proofs: Vec<&'a Proof>,
}

/// The formulae that fit, topic by topic. An empty query finds all.
#[must_use]
pub fn search<'a>(formulary: &'a Formulary, query: &Query<'_>) -> Vec<Found<'a>> {
    let unit = match query.unit.map(read_unit) {
        Some(Ok(unit)) => Some(unit),
        Some(Err(_)) => return Vec::new(),
        None => None,
    };
    let anything = query.anything.map(|term| Anything::new(formulary, term));
    formulary
        .topics
        .iter()
        .filter(|topic| query.topic.is_none_or(|term| heading_fits(topic, term)))
        .filter_map(|topic| {
            let letter = match query.letter {
                Some(letter) => Some(symbol_of(topic, letter)?),
                None => None,
            };
            let here = anything.as_ref().map(|anything| anything.within(topic));
            let formulae: Vec<&Formula> = topic
                .formulae
                .iter()
                .filter(|formula| {
                    letter.is_none_or(|symbol| has(formula, symbol))
                        && unit
                            .as_ref()
                            .is_none_or(|unit| has_unit(topic, formula, unit))
                        && here.as_ref().is_none_or(|here| here.fits(formula))
                })
                .collect();
            // A letter or a unit alone asks for formulae.
            let words = anything
                .as_ref()
                .filter(|_| query.letter.is_none() && query.unit.is_none());
            let definitions: Vec<&Definition> = topic
                .definitions
                .iter()
                .filter(|definition| words.is_some_and(|words| words.in_words(&definition.term)))
                .collect();
            let proofs: Vec<&Proof> = topic
                .proofs
                .iter()
                .filter(|proof| {
                    words.is_some_and(|words| {
                        words.in_words(&proof.name) || words.in_words(&proof.statement)
                    })
                })
                .collect();
            let any = !(formulae.is_empty() && definitions.is_empty() && proofs.is_empty());
            any.then_some(Found {
                topic,
                formulae,
                definitions,
                proofs,
            })
        })
        .collect()
}

/// What may have been meant by words that find nothing: the nearest topic,
/// name, letter or word of the sheets.
#[must_use]
pub fn suggestion(formulary: &Formulary, typed: &str) -> Option<String> {
    let typed = typed.trim();
    let names = formulary.topics.iter().flat_map(|topic| {
        let table = topic.vocabulary.table();
        let letters = table.symbols().map(|symbol| table.name(symbol));
        let formulae = topic.formulae.iter().map(|formula| formula.name.as_str());
        let words = topic
            .quantities
            .iter()
            .map(|quantity| quantity.name.as_str())
            .chain([topic.title.as_str()])
            .flat_map(|name| name.split(|next: char| !next.is_alphanumeric()))
            .filter(|word| word.chars().count() > 3);
        letters
            .chain([topic.key.as_str()])
            .chain(formulae)
            .chain(words)
    });
    nearest(typed, names).map(|(name, _)| name.to_owned())
}

/// What a letter stands for in a topic, or in another lettering of it.
fn symbol_of(topic: &Topic, letter: &str) -> Option<Symbol> {
    topic.vocabulary.lookup(letter).or_else(|| {
        let changes = topic
            .notations
            .iter()
            .flat_map(|notation| &notation.changes);
        changes
            .filter(|(_, other)| other == letter.trim())
            .map(|(symbol, _)| *symbol)
            .next()
    })
}

/// A term that may be a letter, a unit or words.
struct Anything {
    term: String,
    words: Vec<String>,
    /// Words of quantities for which the sheets say that the term stands.
    synonyms: Vec<Vec<String>>,
    /// Keys of the formulae that a law's usual name stands for.
    laws: Vec<&'static str>,
    /// Only if no topic has a symbol of this spelling: `m` is looked for as
    /// mass, not as metres.
    unit: Option<Unit>,
}

/// The same in one topic.
struct Here<'a> {
    anything: &'a Anything,
    topic: &'a Topic,
    heading: bool,
    symbols: Vec<Symbol>,
    /// The formula that was typed, in the letters of this topic.
    typed: Option<String>,
}

impl Anything {
    fn new(formulary: &Formulary, term: &str) -> Self {
        let is_symbol = formulary
            .topics
            .iter()
            .any(|topic| topic.vocabulary.lookup(term).is_some());
        Anything {
            term: term.trim().to_owned(),
            words: words(term),
            synonyms: formulary
                .synonyms
                .iter()
                .filter(|synonym| {
                    let same = |word: &String| word.trim().eq_ignore_ascii_case(term.trim());
                    synonym.words.iter().any(same)
                })
                .map(|synonym| words(&synonym.name))
                .collect(),
            laws: called(&words(term)),
            unit: read_unit(term).ok().filter(|_| !is_symbol),
        }
    }

    fn within<'a>(&'a self, topic: &'a Topic) -> Here<'a> {
        let mut symbols: Vec<Symbol> = symbol_of(topic, &self.term).into_iter().collect();
        let named = topic
            .quantities
            .iter()
            .map(|quantity| (quantity.symbol, Some(quantity.name.as_str())))
            .chain(
                topic
                    .constants
                    .iter()
                    .map(|constant| (constant.symbol, constant.name.as_deref())),
            );
        for (symbol, name) in named {
            if name.is_some_and(|name| self.in_words(name)) {
                symbols.push(symbol);
            }
        }
        Here {
            anything: self,
            topic,
            heading: heading_fits(topic, &self.term),
            symbols,
            typed: self.equation(topic),
        }
    }

    /// What a formula as a search says with the letters of a topic.
    fn equation(&self, topic: &Topic) -> Option<String> {
        if !self.term.contains('=') {
            return None;
        }
        let mut vocabulary = topic.vocabulary.clone();
        let equation = read_equation(&self.term, &mut vocabulary, Undeclared::Refuse).ok()?;
        Some(key(&equation))
    }

    /// Whether each word begins a word of the text.
    fn in_words(&self, text: &str) -> bool {
        all_begin(&self.words, text) || self.synonyms.iter().any(|words| all_begin(words, text))
    }
}

impl Here<'_> {
    fn fits(&self, formula: &Formula) -> bool {
        if let Some(typed) = &self.typed {
            return *typed == key(&formula.equation);
        }
        self.heading
            || is_called(self.topic, formula, &self.anything.laws)
            || self.anything.in_words(&formula.name)
            || self.symbols.iter().any(|&symbol| has(formula, symbol))
            || self
                .anything
                .unit
                .as_ref()
                .is_some_and(|unit| has_unit(self.topic, formula, unit))
    }
}

fn words(text: &str) -> Vec<String> {
    text.split(|next: char| !next.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Whether each wanted word begins a word of the text. A single letter is a
/// symbol's business: no word is looked for by it.
fn all_begin(wanted: &[String], text: &str) -> bool {
    if wanted.is_empty() || wanted.iter().all(|word| word.chars().count() < 2) {
        return false;
    }
    let own = words(text);
    wanted
        .iter()
        .all(|word| own.iter().any(|own| own.starts_with(word.as_str())))
}

fn heading_fits(topic: &Topic, term: &str) -> bool {
    topic.key.eq_ignore_ascii_case(term.trim())
        || all_begin(&words(term), &topic.title)
        || all_begin(&words(term), &topic.key)
}

fn has(formula: &Formula, symbol: Symbol) -> bool {
    formula.equation.left.contains(symbol) || formula.equation.right.contains(symbol)
}

/// Whether a formula has a quantity or constant of the unit's dimension. A
/// pure number is no unit to look for.
fn has_unit(topic: &Topic, formula: &Formula, unit: &Unit) -> bool {
    !unit.dimension.is_none()
        && formula.equation.symbols().iter().any(|&symbol| {
            topic
                .quantity(symbol)
                .and_then(|quantity| quantity.unit.as_ref())
                .or_else(|| topic.constant(symbol)?.unit.as_ref())
                .is_some_and(|own| own.dimension == unit.dimension)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: &str = "topic motion: Motion in a line
quantity v: final velocity, m s^-1
quantity u: initial velocity, m s^-1
quantity a: acceleration, m s^-2
quantity t: time, s
formula velocity-time: v = u + a t
formula stop: u = a t
topic energy: Work and energy
quantity E_k: kinetic energy, J
quantity m: mass, kg
quantity v: speed, m s^-1
quantity W: work done, J
formula kinetic: E_k = 1/2 m v^2
formula work: W = E_k
notation other: E_k -> K
";

    fn check(query: Query<'_>, expected: &str) {
        let formulary = Formulary::from_text("t", SHEET);
        let found: Vec<String> = search(&formulary, &query)
            .iter()
            .flat_map(|found| {
                found
                    .formulae
                    .iter()
                    .map(|formula| found.topic.formula_key(formula))
            })
            .collect();
        assert_eq!(found.join(" "), expected, "{query:?}");
    }

    #[test]
    fn each_way_of_looking() {
        let anything = |term| Query {
            anything: Some(term),
            ..Query::default()
        };
        let all = "motion/velocity-time motion/stop energy/kinetic energy/work";
        check(Query::default(), all);
        check(anything("motion"), "motion/velocity-time motion/stop");
        check(anything("v"), "motion/velocity-time energy/kinetic");
        check(anything("V"), "");
        check(anything("Ek"), "energy/kinetic energy/work");
        check(anything("initial vel"), "motion/velocity-time motion/stop");
        check(anything("stop"), "motion/stop");
        check(anything("m"), "energy/kinetic");
        check(anything("kg"), "energy/kinetic");
        check(anything("m/s^2"), "motion/velocity-time motion/stop");
        check(anything("zebra"), "");
        check(anything("v=u+at"), "motion/velocity-time");
        check(anything("u + ta = v"), "motion/velocity-time");
        check(anything("E_k = mv²/2"), "");
        check(anything("Ek = ½mv²"), "energy/kinetic");
        check(anything("suvat"), "motion/velocity-time");
        check(anything(""), "");
        let letter = |term| Query {
            letter: Some(term),
            ..Query::default()
        };
        check(letter("t"), "motion/velocity-time motion/stop");
        check(letter("T"), "");
        check(letter("K"), "energy/kinetic energy/work");
        check(anything("K"), "energy/kinetic energy/work");
        let unit = |term| Query {
            unit: Some(term),
            ..Query::default()
        };
        check(unit("J"), "energy/kinetic energy/work");
        check(
            unit("km/h"),
            "motion/velocity-time motion/stop energy/kinetic",
        );
        check(unit("zebra"), "");
        check(unit("1"), "");
        check(
            Query {
                topic: Some("Energy"),
                letter: Some("v"),
                ..Query::default()
            },
            "energy/kinetic",
        );
    }
}
