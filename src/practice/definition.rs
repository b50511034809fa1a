//! Definitions in words: a student's sentence is read into an expression and
//! judged by the engine against the definition's equation.
//!
//! The lexicon of a definition knows the names of its own quantities, the
//! synonyms of all sheets, and the words of its own sentence. A quantity that
//! the definition does not have gets a symbol of its own: then numbers show
//! that it does not belong.

mod clauses;
mod formula;
mod lexicon;
mod turns;

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::balance::Balance;
use crate::physics::dimension::Dimension;
use crate::physics::formulary::{Definition, Formulary, Need, Topic};
use crate::physics::quantity::Quantity;
use crate::reason::rearrangement::Problem;
use crate::reason::verdict::{Judgement, Note, Verdict};
use crate::text::words::{Lexicon, Said, Trouble, Unread, in_full, read_words, respelt};
use lexicon::Builder;

/// One equation that defines the term, with the needs that go with it.
#[derive(Debug, Clone)]
struct Wording {
    problem: Problem,
    needs: Vec<usize>,
}

/// A definition made ready to judge wordings of it.
#[derive(Debug, Clone)]
pub struct Wordings {
    lexicon: Lexicon,
    table: SymbolTable,
    wordings: Vec<Wording>,
    needs: Vec<Need>,
    /// What is known of the units of all its quantities.
    balance: Balance,
    /// Quantities that the definition does not have and that have a
    /// definition of their own: the others may fix their values.
    derived: Vec<Symbol>,
    /// The dimension of what is defined, if its unit is known.
    dimension: Option<Dimension>,
    /// Marks of the wording that the sheet's own sentence follows.
    marks: usize,
}

/// What a wording is worth.
#[derive(Debug, Clone, PartialEq)]
pub enum WordsVerdict {
    /// It says the same, and all that must be said.
    Right,
    /// It says something else, or leaves out a condition.
    Wrong,
    /// Some of it could not be read.
    Unreadable(Unread),
    /// It could not be decided.
    Undecided,
}

/// A wording, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The verdict.
    pub verdict: WordsVerdict,
    /// What the algebra says, if the sentence could be read.
    pub algebra: Option<Judgement>,
    /// The expression that was read.
    pub value: Option<Expr>,
    /// Conditions that were left out, in the sheet's words.
    pub missing: Vec<String>,
    /// Marks earned: one for the algebra, one for each condition.
    pub awarded: usize,
    /// Marks that there are.
    pub available: usize,
    /// Whether a unit stood for a quantity ("per coulomb").
    pub unit_for_quantity: bool,
    /// Whether the sentence can be heard in two ways, and not the usual one
    /// is right.
    pub other_reading: bool,
    /// Words that were misspelt, and what they were read as.
    pub spelt: Vec<(String, String)>,
}

impl Judged {
    /// Whether there is more to say than that it is right.
    #[must_use]
    pub fn has_remark(&self) -> bool {
        self.unit_for_quantity || self.other_reading || !self.spelt.is_empty()
    }

    /// Whether the wording is right.
    #[must_use]
    pub fn is_right(&self) -> bool {
        self.verdict == WordsVerdict::Right
    }
}

/// Finds the definition of a term: by name, or by the name with its topic
/// (`stress`, `materials/stress`).
#[must_use]
pub fn find<'f>(formulary: &'f Formulary, term: &str) -> Option<(&'f Topic, &'f Definition)> {
    let (wanted_topic, wanted) = match term.split_once('/') {
        Some((topic, term)) => (Some(topic.trim()), term.trim()),
        None => (None, term.trim()),
    };
    let wanted = wanted.to_lowercase();
    let plain = wanted.split('(').next().unwrap_or(&wanted).trim();
    let plain = plain
        .trim_start_matches("the ")
        .trim_start_matches("definition of ");
    let topics = || {
        formulary
            .topics
            .iter()
            .filter(|topic| wanted_topic.is_none_or(|key| topic.key == key))
    };
    let named = |name: &str| {
        topics()
            .flat_map(|topic| topic.definitions.iter().map(move |own| (topic, own)))
            .find(|(_, own)| own.term.to_lowercase() == name)
    };
    named(plain).or_else(|| {
        // A synonym of the term: "potential difference" for "voltage".
        let same = |words: &str| words.to_lowercase() == plain;
        formulary
            .synonyms
            .iter()
            .filter(|synonym| same(&synonym.name) || synonym.words.iter().any(|words| same(words)))
            .find_map(|synonym| {
                std::iter::once(&synonym.name)
                    .chain(&synonym.words)
                    .find_map(|name| named(&name.to_lowercase()))
            })
    })
}

/// A definition that is asked for.
#[derive(Debug, Clone)]
pub struct Defining<'f> {
    /// Where it comes from.
    pub topic: &'f Topic,
    /// The sheet's definition.
    pub definition: &'f Definition,
    /// What judges its wordings.
    pub wordings: Wordings,
}

impl<'f> Defining<'f> {
    /// A definition made ready; nothing if it is not algebra in words.
    #[must_use]
    pub fn new(
        formulary: &Formulary,
        topic: &'f Topic,
        definition: &'f Definition,
    ) -> Option<Self> {
        Some(Defining {
            topic,
            definition,
            wordings: Wordings::new(formulary, topic, definition)?,
        })
    }

    /// The names of the quantities that the definition speaks of.
    #[must_use]
    pub fn quantities(&self) -> Vec<String> {
        self.wordings.speaks_of(&self.definition.sentence)
    }
}

impl Wordings {
    /// Makes a definition ready; nothing if it has no equation that gives the
    /// term alone.
    #[must_use]
    pub fn new(formulary: &Formulary, topic: &Topic, definition: &Definition) -> Option<Self> {
        // An equation that only goes with the definition ("E = hf" with a
        // photon) gives way to those that its sentence says.
        let (whole, others) = (true, false);
        Self::with(formulary, topic, definition, whole)
            .or_else(|| Self::with(formulary, topic, definition, others))
    }

    fn with(
        formulary: &Formulary,
        topic: &Topic,
        definition: &Definition,
        main: bool,
    ) -> Option<Self> {
        let vocabulary = definition
            .vocabulary
            .as_deref()
            .unwrap_or(&topic.vocabulary);
        let mut table = vocabulary.table().clone();
        let mut equations = Vec::new();
        let main = definition
            .equation
            .iter()
            .filter(|_| main)
            .map(|own| (own, &definition.needs));
        let others = definition.others.iter().map(|(own, needs)| (own, needs));
        for (statement, needs) in main.chain(others) {
            let equation = statement.equations.first()?.clone();
            let Some(subject) = own_subject(&equation.left, &equation.right) else {
                continue;
            };
            equations.push((equation, subject, needs));
        }
        let subject = equations.first()?.1;
        let mut symbols = Vec::new();
        for (equation, _, _) in &equations {
            equation.right.collect_symbols(&mut symbols);
            equation.left.collect_symbols(&mut symbols);
        }
        for (_, value) in &definition.readings {
            value.collect_symbols(&mut symbols);
        }
        symbols.dedup();
        let mut builder = Builder {
            lexicon: Lexicon::new(),
            topic,
            table: &mut table,
        };
        builder.synonyms(formulary);
        builder.symbols(&symbols, subject, definition);
        let own: Vec<Symbol> = symbols
            .iter()
            .copied()
            .filter(|symbol| *symbol != subject)
            .collect();
        builder.readings(definition);
        builder.asked();
        builder.units(formulary, &own);
        let mut needs: Vec<Need> = Vec::new();
        let numbered: Vec<Vec<usize>> = equations
            .iter()
            .map(|(_, _, own)| own.iter().map(|need| number_of(&mut needs, need)).collect())
            .collect();
        builder.needs(&needs);
        builder.sentence(definition);
        builder.at_right_angles(definition, &needs);
        builder.never(definition);
        builder.foreign_changes();
        let lexicon = builder.lexicon;
        let known = vocabulary.table().len();
        let foreign: Vec<Symbol> = table.symbols().skip(known).collect();
        let derived = derived(formulary, &foreign, &table);
        let named: Vec<(Symbol, &str)> = table
            .symbols()
            .filter(|symbol| topic.quantity(*symbol).is_none())
            .map(|symbol| {
                let concept = lexicon.concept_of(&Expr::Symbol(symbol));
                let name = concept.map_or(table.name(symbol), |concept| lexicon.name(concept));
                (symbol, name)
            })
            .collect();
        let balance = balance(formulary, topic, &named);
        let wordings = equations
            .into_iter()
            .zip(numbered)
            .map(|((equation, subject, _), needs)| Wording {
                problem: Problem::new(equation, subject, &table),
                needs,
            })
            .collect();
        let mut made = Wordings {
            lexicon,
            table,
            wordings,
            needs,
            balance,
            derived,
            dimension: topic
                .quantity(subject)
                .and_then(|quantity| quantity.unit.as_ref())
                .map(|unit| unit.dimension.clone()),
            marks: 1,
        };
        // A definition whose own sentence does not read as its equation is
        // not algebra in words ("time in which half the nuclei decay"): any
        // verdict on another wording of it would be a guess.
        let own = made.judge(&definition.sentence);
        made.marks = own.available;
        own.is_right().then_some(made)
    }

    /// The symbols, those of quantities that the definition does not have
    /// included.
    #[must_use]
    pub fn table(&self) -> &SymbolTable {
        &self.table
    }

    /// The symbol that stands for the term.
    #[must_use]
    pub fn subject(&self) -> Option<Symbol> {
        self.wordings.first().map(|own| own.problem.subject())
    }

    /// How many conditions must be said.
    #[must_use]
    pub fn conditions(&self) -> usize {
        self.marks() - 1
    }

    /// The names of the quantities that a sentence speaks of, in no telling
    /// order: by the alphabet.
    #[must_use]
    pub fn speaks_of(&self, sentence: &str) -> Vec<String> {
        let subject = self.subject().map(Expr::Symbol);
        let mut names: Vec<String> = self
            .lexicon
            .quantities(sentence)
            .into_iter()
            .filter(|(concept, _)| self.lexicon.value(*concept) != subject.as_ref())
            .map(|(concept, _)| self.lexicon.name(concept).to_owned())
            .collect();
        names.sort();
        names.dedup();
        names
    }

    /// Marks that the definition is worth.
    #[must_use]
    pub fn marks(&self) -> usize {
        self.marks
    }

    /// Judges a sentence.
    #[must_use]
    pub fn judge(&self, sentence: &str) -> Judged {
        let judged = self.judge_spelling(sentence);
        // "no. of", "isn't", "90°": the same in full.
        if !judged.is_right()
            && let Some(full) = in_full(sentence)
        {
            let again = self.judge_spelling(&full);
            if again.is_right()
                || matches!(judged.verdict, WordsVerdict::Unreadable(_))
                    && !matches!(again.verdict, WordsVerdict::Unreadable(_))
            {
                return again;
            }
        }
        judged
    }

    /// Judges a sentence as it is spelt, or as it was meant to be.
    fn judge_spelling(&self, sentence: &str) -> Judged {
        let judged = self.judge_as_spelt(sentence);
        let unknown = matches!(
            &judged.verdict,
            WordsVerdict::Unreadable(unread) if unread.trouble == Trouble::Words
        );
        if unknown && let Some((right, spelt)) = respelt(sentence, &self.lexicon) {
            let again = self.judge_as_spelt(&right);
            if !matches!(again.verdict, WordsVerdict::Unreadable(_)) {
                return Judged { spelt, ..again };
            }
        }
        judged
    }

    fn judge_part(&self, sentence: &str) -> Judged {
        match read_words(sentence, &self.lexicon) {
            Ok(said) => self.judge_said(said),
            Err(unread) => self.nothing(WordsVerdict::Unreadable(unread)),
        }
    }

    fn judge_said(&self, said: Said) -> Judged {
        let mut best: Option<(u8, Judged)> = None;
        let mut keep = |found: (u8, Judged)| {
            if best.as_ref().is_none_or(|(old, _)| found.0 > *old) {
                best = Some(found);
            }
        };
        for (reading, value) in std::iter::once(&said.value).chain(&said.others).enumerate() {
            for meant in which(value, &said.vague) {
                for wording in &self.wordings {
                    let judgement = wording.problem.judge_value(&meant, &self.table);
                    let (rank, mut judged) = self.weigh(judgement, &meant, &said, wording);
                    judged.other_reading = reading > 0;
                    keep((rank, judged));
                }
            }
        }
        if let Some((value, ones)) = &said.at_one {
            for wording in &self.wordings {
                if let Some(judgement) = self.judge_at_one(value, ones, wording)
                    && judgement.is_right()
                {
                    keep(self.weigh(judgement, value, &said, wording));
                }
            }
        }
        match best {
            // Right with one meaning of a vague name is not yet right.
            Some((rank, _)) if rank > 1 && !said.vague.is_empty() => {
                self.nothing(WordsVerdict::Unreadable(Unread {
                    trouble: Trouble::WhichOne,
                    words: Vec::new(),
                    understood: Vec::new(),
                    met: said.met,
                }))
            }
            // Numbers against a quantity that the others may fix would be
            // made up: "mass times acceleration" for a force.
            Some((rank, judged)) if rank < 2 && self.may_agree(&judged) => {
                self.nothing(WordsVerdict::Unreadable(Unread {
                    trouble: Trouble::Foreign,
                    words: Vec::new(),
                    understood: Vec::new(),
                    met: said.met,
                }))
            }
            // What may say something else is not marked wrong.
            Some((rank, judged))
                if rank < 2
                    && (said.loose || (said.unit_for_quantity && self.foreign(&judged))) =>
            {
                self.nothing(WordsVerdict::Unreadable(Unread {
                    trouble: Trouble::Loose,
                    words: Vec::new(),
                    understood: Vec::new(),
                    met: said.met,
                }))
            }
            Some((_, judged)) => judged,
            None => self.nothing(WordsVerdict::Undecided),
        }
    }

    /// Whether a value has the right units and a quantity that has a definition
    /// of its own and no part in this one.
    fn may_agree(&self, judged: &Judged) -> bool {
        let (Some(subject), Some(value)) = (self.subject(), &judged.value) else {
            return false;
        };
        let equation = Equation::new(Expr::Symbol(subject), value.clone());
        self.balance.dimension(subject).is_some()
            && self.derived.iter().any(|symbol| value.contains(*symbol))
            && self.balance.clone().check(&equation).is_ok()
    }

    /// Whether a value holds a quantity that the definition does not have.
    fn foreign(&self, judged: &Judged) -> bool {
        let mut symbols = Vec::new();
        if let Some(value) = &judged.value {
            value.collect_symbols(&mut symbols);
        }
        symbols.iter().any(|symbol| {
            let own = |wording: &Wording| wording.problem.formula().symbols().contains(symbol);
            !self.wordings.iter().any(own)
        })
    }

    /// Judges a value where some quantities are one.
    fn judge_at_one(&self, value: &Expr, ones: &[Expr], wording: &Wording) -> Option<Judgement> {
        let one = Expr::integer(1);
        let mut formula = wording.problem.formula().clone();
        let mut value = value.clone();
        for quantity in ones {
            let Expr::Symbol(symbol) = quantity else {
                return None;
            };
            // "In unit time" beside a `per unit time` says it twice.
            if !formula.symbols().contains(symbol) || value.contains(*symbol) {
                return None;
            }
            formula = formula.substitute(*symbol, &one);
            value = value.substitute(*symbol, &one);
        }
        let problem = Problem::new(formula, wording.problem.subject(), &self.table);
        Some(problem.judge_value(&value, &self.table))
    }

    fn nothing(&self, verdict: WordsVerdict) -> Judged {
        Judged {
            verdict,
            algebra: None,
            value: None,
            missing: Vec::new(),
            awarded: 0,
            available: self.marks(),
            unit_for_quantity: false,
            other_reading: false,
            spelt: Vec::new(),
        }
    }

    fn weigh(
        &self,
        judgement: Judgement,
        value: &Expr,
        said: &Said,
        wording: &Wording,
    ) -> (u8, Judged) {
        let missing: Vec<String> = wording
            .needs
            .iter()
            .filter(|need| !said.met.contains(need))
            .filter_map(|need| self.needs.get(*need)?.first().cloned())
            .collect();
        let met = wording.needs.len() - missing.len();
        let (rank, verdict) = match judgement.verdict {
            Verdict::Right if missing.is_empty() => (4, WordsVerdict::Right),
            Verdict::Right => (3, WordsVerdict::Wrong),
            Verdict::Undecided(_) => (2, WordsVerdict::Undecided),
            Verdict::Wrong if judgement.notes.contains(&Note::WrongLetter) => {
                (0, WordsVerdict::Wrong)
            }
            Verdict::Wrong => (1, WordsVerdict::Wrong),
        };
        let judged = Judged {
            verdict,
            awarded: met + usize::from(judgement.is_right()),
            available: 1 + wording.needs.len(),
            algebra: Some(judgement),
            value: Some(value.clone()),
            missing,
            unit_for_quantity: said.unit_for_quantity,
            other_reading: false,
            spelt: Vec::new(),
        };
        (rank, judged)
    }
}

/// The symbols among these whose quantity has a definition of its own.
fn derived(formulary: &Formulary, symbols: &[Symbol], table: &SymbolTable) -> Vec<Symbol> {
    let is_defined = |symbol: &Symbol| {
        formulary
            .topics
            .iter()
            .flat_map(|topic| &topic.definitions)
            .any(|own| own.equation.is_some() && own.term == table.name(*symbol))
    };
    symbols.iter().copied().filter(is_defined).collect()
}

/// The units of a topic's quantities, and of others by their names.
fn balance(formulary: &Formulary, topic: &Topic, others: &[(Symbol, &str)]) -> Balance {
    let mut balance = Balance::new();
    for quantity in &topic.quantities {
        if let Some(unit) = &quantity.unit {
            balance.declare(quantity.symbol, unit.dimension.clone(), false);
        }
    }
    for constant in &topic.constants {
        if let Some(unit) = &constant.unit {
            balance.declare(constant.symbol, unit.dimension.clone(), false);
        }
    }
    for (symbol, name) in others {
        let name = name.strip_prefix("change of ").unwrap_or(name);
        let named = || {
            formulary
                .topics
                .iter()
                .flat_map(|topic| &topic.quantities)
                .find(|quantity| quantity.name == name)
        };
        // "Force" may be declared as "resultant force" and defined as "force".
        let defined = || {
            formulary.topics.iter().find_map(|topic| {
                let own = topic.definitions.iter().find(|own| own.term == name)?;
                let equation = own.equation.as_ref()?.equations.first()?;
                topic.quantity(own_subject(&equation.left, &equation.right)?)
            })
        };
        let unit = |quantity: Option<&Quantity>| quantity.and_then(|own| own.unit.clone());
        let unit = unit(defined()).or_else(|| unit(named()));
        if let Some(unit) = unit {
            balance.declare(*symbol, unit.dimension, false);
        }
    }
    balance
}

/// A value with each of the meanings of its vague names.
fn which(value: &Expr, vague: &[(Expr, Vec<Expr>)]) -> Vec<Expr> {
    let mut meant = vec![value.clone()];
    for (name, candidates) in vague.iter().take(3) {
        let Expr::Symbol(symbol) = name else {
            continue;
        };
        meant = meant
            .iter()
            .flat_map(|value| {
                candidates
                    .iter()
                    .map(|candidate| value.substitute(*symbol, candidate))
            })
            .collect();
    }
    meant
}

/// The symbol that stands alone on one side.
fn own_subject(left: &Expr, right: &Expr) -> Option<Symbol> {
    match (left, right) {
        (Expr::Symbol(symbol), other) | (other, Expr::Symbol(symbol))
            if !other.contains(*symbol) =>
        {
            Some(*symbol)
        }
        _ => None,
    }
}

/// The number of a need: one that begins alike is the same.
fn number_of(needs: &mut Vec<Need>, need: &Need) -> usize {
    match needs.iter().position(|old| old.first() == need.first()) {
        Some(number) => number,
        None => {
            needs.push(need.clone());
            needs.len() - 1
        }
    }
}
