//! Which words mean what: quantities, words that a definition needs, units,
//! words that say nothing about the algebra.

use std::sync::OnceLock;

use rustc_hash::FxHashMap;

use super::{filler, neutral, plain_words};
use crate::algebra::expr::Expr;
use crate::text::greek;

/// A quantity of the lexicon: its place in the list.
pub type Concept = usize;

/// What a phrase means.
#[derive(Debug, Clone, PartialEq)]
pub enum Meaning {
    /// A quantity.
    Quantity(Concept),
    /// An expression in quantities, said by one phrase.
    Expression(Expr),
    /// Words that a definition needs: the number of the need.
    Need(usize),
    /// A unit that stands for the quantity measured in it.
    Unit(Expr),
    /// Describes after a quantity, makes another of it before one ("stretched
    /// length").
    Alters,
    /// What a thing is like: says nothing before a thing, makes another
    /// quantity of it before one.
    Kind,
    /// Makes another thing of what is defined: not to be passed over.
    Doubt,
    /// Says which of several quantities with one name is meant ("speed ... in
    /// a vacuum"): the row of the marks.
    Mark(usize),
    /// What follows may be a unit that is counted: "how many volts".
    Count,
    /// Says nothing about the algebra. `true`: what follows describes and
    /// does not take part ("on a charge", "when the current flows").
    Filler(bool),
}

/// A quantity that can be named.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Named {
    pub name: String,
    /// What stands for it in the maths.
    pub value: Expr,
    /// What its change is, if a sheet says so.
    pub change: Option<Expr>,
    /// Whether it may be mentioned in passing.
    pub known: bool,
    /// The quantities of the definition that go by this name, if there are
    /// several, so that it does not say which.
    pub vague: Vec<Expr>,
}

/// Phrases and what they mean.
#[derive(Debug, Clone, Default)]
pub struct Lexicon {
    phrases: FxHashMap<String, Meaning>,
    /// Needs that phrases with another meaning meet as well.
    also: FxHashMap<String, usize>,
    /// For each mark, the names that it tells apart, with what they then mean.
    marks: Vec<Vec<(Concept, Expr)>>,
    /// The letters of the definition's own quantities, as they are typed.
    letters: Vec<(String, Expr)>,
    longest: usize,
    pub(super) concepts: Vec<Named>,
    /// Time, for rates.
    pub(super) time: Option<Concept>,
    /// What is defined.
    pub(super) subject: Option<Concept>,
}

impl Lexicon {
    /// Only the words that never say anything about the algebra.
    #[must_use]
    pub fn new() -> Self {
        // Thousands of words, the same for every definition.
        static PLAIN: OnceLock<Lexicon> = OnceLock::new();
        PLAIN.get_or_init(Self::plain).clone()
    }

    fn plain() -> Self {
        let mut lexicon = Lexicon::default();
        for word in filler::PLAIN.iter().flat_map(|row| row.split_whitespace()) {
            lexicon.put(word, Meaning::Filler(false));
        }
        for word in filler::ALTERS.iter().flat_map(|row| row.split_whitespace()) {
            lexicon.put(word, Meaning::Alters);
        }
        for phrase in filler::PHRASES {
            lexicon.put(phrase, Meaning::Filler(true));
        }
        for phrase in ["how many", "number of", "how much of"] {
            lexicon.put(phrase, Meaning::Count);
        }
        for word in filler::CLAUSE.iter().flat_map(|row| row.split_whitespace()) {
            lexicon.put(word, Meaning::Filler(true));
        }
        let words = |rows: &'static [&str]| rows.iter().flat_map(|row| row.split_whitespace());
        for word in words(neutral::THINGS).chain(words(neutral::MANNER)) {
            lexicon.add(word, Meaning::Filler(false));
        }
        for verb in words(neutral::VERBS) {
            for form in neutral::forms(verb) {
                lexicon.add(&form, Meaning::Filler(true));
            }
        }
        for word in words(neutral::KINDS) {
            lexicon.add(word, Meaning::Kind);
        }
        lexicon
    }

    /// Whether every word of a row says nothing.
    pub(super) fn says_nothing(&self, words: &[String]) -> bool {
        words
            .iter()
            .all(|word| matches!(self.phrases.get(word), Some(Meaning::Filler(_))))
    }

    /// Whether a word stands in some phrase.
    pub(super) fn has_word(&self, word: &str) -> bool {
        self.words().any(|own| own == word)
    }

    /// The words of all phrases; many come more than once.
    pub(super) fn words(&self) -> impl Iterator<Item = &str> {
        self.phrases.keys().flat_map(|phrase| phrase.split(' '))
    }

    /// Gives a phrase a meaning; a phrase that has one keeps it.
    pub fn add(&mut self, phrase: &str, meaning: Meaning) {
        let words = plain_words(phrase);
        if words.is_empty() {
            return;
        }
        self.longest = self.longest.max(words.len());
        self.phrases.entry(words.join(" ")).or_insert(meaning);
    }

    /// Gives a phrase a meaning, whatever it meant before.
    pub fn put(&mut self, phrase: &str, meaning: Meaning) {
        let words = plain_words(phrase);
        if words.is_empty() {
            return;
        }
        self.longest = self.longest.max(words.len());
        self.phrases.insert(words.join(" "), meaning);
    }

    /// Lets a phrase meet a need; one that names something goes on naming it.
    pub fn need(&mut self, phrase: &str, need: usize) {
        let names = matches!(
            self.meaning(phrase),
            Some(Meaning::Quantity(_) | Meaning::Expression(_) | Meaning::Unit(_))
        );
        if names {
            self.also.insert(plain_words(phrase).join(" "), need);
        } else {
            self.put(phrase, Meaning::Need(need));
        }
    }

    /// The need that a row of words meets besides what it means.
    pub(super) fn also_meets(&self, words: &[String]) -> Option<usize> {
        if self.also.is_empty() {
            return None;
        }
        self.also.get(&words.join(" ")).copied()
    }

    /// Lets words that come with a name say which quantity is meant.
    pub fn mark(&mut self, phrase: &str, concept: Concept, value: Expr) {
        let row = match self.meaning(phrase) {
            Some(Meaning::Mark(row)) => *row,
            _ => {
                self.marks.push(Vec::new());
                self.put(phrase, Meaning::Mark(self.marks.len() - 1));
                self.marks.len() - 1
            }
        };
        if let Some(row) = self.marks.get_mut(row)
            && !row.iter().any(|(own, _)| *own == concept)
        {
            row.push((concept, value));
        }
    }

    /// What a mark makes of a name.
    pub(super) fn marked(&self, row: usize, concept: Concept) -> Option<&Expr> {
        self.marks
            .get(row)?
            .iter()
            .find(|(own, _)| *own == concept)
            .map(|(_, value)| value)
    }

    /// What a mark means without a name, if there is only one thing.
    pub(super) fn marked_alone(&self, row: usize) -> Option<&Expr> {
        let row = self.marks.get(row)?;
        let (_, first) = row.first()?;
        row.iter().all(|(_, value)| value == first).then_some(first)
    }

    /// A letter that stands for a quantity of the definition.
    pub fn letter(&mut self, letter: &str, value: Expr) {
        self.letters.push((letter.to_owned(), value));
    }

    /// A letter that stands for something else from here on.
    pub fn letter_first(&mut self, letter: &str, value: Expr) {
        self.letters.insert(0, (letter.to_owned(), value));
    }

    /// Whether a quantity is its own change over time: charge that passes, and
    /// not velocity, of which there is some at the start.
    #[must_use]
    pub fn counts_from_nothing(&self, value: &Expr) -> bool {
        self.concepts
            .iter()
            .find(|named| named.value == *value)
            .is_none_or(|named| named.change.as_ref().is_none_or(|change| change == value))
    }

    /// The letters of the definition's own quantities.
    #[must_use]
    pub fn letters(&self) -> &[(String, Expr)] {
        &self.letters
    }

    /// What the first quantity that a text names stands for.
    #[must_use]
    pub fn meant(&self, text: &str) -> Option<Expr> {
        let words = plain_words(text);
        let first = (0..words.len()).find_map(|at| match self.longest_at(&words[at..]) {
            Some((Meaning::Quantity(concept), length)) => {
                let told =
                    (at + length..words.len()).find_map(|at| match self.longest_at(&words[at..]) {
                        Some((Meaning::Mark(row), _)) => self.marked(*row, *concept),
                        _ => None,
                    });
                told.or_else(|| self.value(*concept)).cloned()
            }
            Some((Meaning::Expression(value), _)) => Some(value.clone()),
            _ => None,
        });
        let changed = self.first_quantity(text).filter(|(_, change)| *change);
        match changed {
            Some((concept, _)) => self.concepts.get(concept)?.change.clone(),
            None => first,
        }
    }

    /// What a letter, its Greek name or a run of letters stands for: `v`,
    /// `lambda`, `RA`. Capitals count.
    #[must_use]
    pub fn lettered(&self, word: &str) -> Option<Expr> {
        let one = |name: &str| {
            self.letters
                .iter()
                .find(|(letter, _)| letter == name)
                .map(|(_, value)| value.clone())
        };
        let word = word.trim_end_matches('.');
        if let Some(value) = one(word) {
            return Some(value);
        }
        if let Some(letter) = greek::letter(word) {
            return one(&letter.to_string());
        }
        let letters: Vec<char> = word.chars().collect();
        if letters.is_empty() || letters.len() > 4 {
            return None;
        }
        let mut product: Option<Expr> = None;
        for letter in letters {
            let value = one(&letter.to_string())?;
            product = Some(match product {
                None => value,
                Some(before) => Expr::mul(before, value),
            });
        }
        product
    }

    /// A quantity with its names.
    pub fn quantity(&mut self, name: &str, value: Expr) -> Concept {
        let concept = self.concepts.len();
        self.concepts.push(Named {
            name: name.to_owned(),
            value,
            change: None,
            known: false,
            vague: Vec::new(),
        });
        self.put(name, Meaning::Quantity(concept));
        concept
    }

    /// Another name of a quantity.
    pub fn synonym(&mut self, phrase: &str, concept: Concept) {
        self.put(phrase, Meaning::Quantity(concept));
    }

    /// Says what stands for a quantity.
    pub fn set_value(&mut self, concept: Concept, value: Expr) {
        if let Some(named) = self.concepts.get_mut(concept) {
            named.value = value;
            named.known = true;
            named.vague.clear();
        }
    }

    /// Says what stands for the change of a quantity.
    pub fn set_change(&mut self, concept: Concept, value: Expr) {
        if let Some(named) = self.concepts.get_mut(concept) {
            named.change = Some(value);
            named.known = true;
        }
    }

    /// Gives the change of a quantity that the definition does not have a
    /// symbol of its own.
    pub fn set_foreign_change(&mut self, concept: Concept, value: Expr) {
        if let Some(named) = self.concepts.get_mut(concept) {
            named.change = Some(value);
        }
    }

    /// Lets a quantity be mentioned in passing.
    pub fn mention(&mut self, concept: Concept) {
        if let Some(named) = self.concepts.get_mut(concept) {
            named.known = true;
        }
    }

    /// Which quantity is time.
    pub fn set_time(&mut self, concept: Concept) {
        self.time = Some(concept);
    }

    /// Which quantity is defined. Its names that are definitions themselves
    /// ("rate of decay" for activity) are then read as what they say.
    pub fn set_subject(&mut self, concept: Concept) {
        self.subject = Some(concept);
        self.phrases.retain(|phrase, meaning| {
            *meaning != Meaning::Quantity(concept)
                || !phrase.split(' ').any(|word| {
                    matches!(
                        word,
                        "rate" | "per" | "ratio" | "product" | "change" | "distance" | "position"
                    )
                })
        });
    }

    /// What a phrase means.
    #[must_use]
    pub fn meaning(&self, phrase: &str) -> Option<&Meaning> {
        self.phrases.get(&plain_words(phrase).join(" "))
    }

    /// What stands for a quantity.
    #[must_use]
    pub fn value(&self, concept: Concept) -> Option<&Expr> {
        self.concepts.get(concept).map(|named| &named.value)
    }

    /// The quantity that an expression stands for.
    #[must_use]
    pub fn concept_of(&self, value: &Expr) -> Option<Concept> {
        self.concepts.iter().position(|named| named.value == *value)
    }

    /// Says that a name does not tell which of several quantities is meant.
    pub fn set_vague(&mut self, concept: Concept, meant: Vec<Expr>) {
        if let Some(named) = self.concepts.get_mut(concept) {
            named.vague = meant;
            named.known = true;
        }
    }

    /// What a name may mean that several quantities share.
    #[must_use]
    pub fn vague(&self, concept: Concept) -> &[Expr] {
        self.concepts
            .get(concept)
            .map_or(&[], |named| named.vague.as_slice())
    }

    /// Whether the definition has something for a quantity.
    #[must_use]
    pub fn is_known(&self, concept: Concept) -> bool {
        self.concepts.get(concept).is_some_and(|named| named.known)
    }

    /// Whether the change of a quantity has no expression yet.
    #[must_use]
    pub fn lacks_change(&self, concept: Concept) -> bool {
        self.concepts
            .get(concept)
            .is_some_and(|named| named.change.is_none() && !named.known)
    }

    /// The quantities, by number.
    pub fn concepts(&self) -> std::ops::Range<Concept> {
        0..self.concepts.len()
    }

    /// The name of a quantity.
    #[must_use]
    pub fn name(&self, concept: Concept) -> &str {
        self.concepts
            .get(concept)
            .map_or("", |named| named.name.as_str())
    }

    /// The first quantity that a text names, and whether its change is meant.
    #[must_use]
    pub fn first_quantity(&self, text: &str) -> Option<(Concept, bool)> {
        self.quantities(text).into_iter().next()
    }

    /// The quantities that a text names, and whether their changes are meant.
    #[must_use]
    pub fn quantities(&self, text: &str) -> Vec<(Concept, bool)> {
        let words = plain_words(text);
        let mut found = Vec::new();
        let mut change = false;
        let mut at = 0;
        while at < words.len() {
            let word = words[at].as_str();
            match self.longest_at(&words[at..]) {
                Some((Meaning::Quantity(concept), length)) => {
                    found.push((*concept, change));
                    change = false;
                    at += length;
                }
                _ if matches!(word, "change" | "increase" | "rise") => {
                    change = true;
                    at += 1;
                }
                Some((_, length)) => {
                    change = change && matches!(word, "of" | "in");
                    at += length;
                }
                None => {
                    change = false;
                    at += 1;
                }
            }
        }
        found
    }

    /// The longest phrase that begins a row of words.
    pub(super) fn longest_at(&self, words: &[String]) -> Option<(&Meaning, usize)> {
        let most = self.longest.min(words.len());
        (1..=most).rev().find_map(|length| {
            self.phrases
                .get(&words[..length].join(" "))
                .map(|meaning| (meaning, length))
        })
    }
}
