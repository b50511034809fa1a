//! Definitions in words: from a typed sentence to the maths that it says.
//!
//! The grammar cuts a sentence into pieces (`grammar/words.pest`); a lexicon,
//! made from the sheets, says which words name a quantity; the climb puts
//! them together. A word that none of them knows is named, never guessed.

mod climb;
mod filler;
mod frames;
mod in_full;
mod lexicon;
pub mod multiple;
mod neutral;
mod recognise;
mod spelling;

use pest::Parser;

use super::span::Span;
use crate::algebra::limits::MAX_LINE;
use grammar::{Grammar, Rule};

pub use climb::{Said, Trouble, Unread, passing_words, read_words};
pub use in_full::in_full;
pub use lexicon::{Concept, Lexicon, Meaning};
pub use spelling::respelt;

/// What pest makes of the grammar; its items cannot carry documentation.
#[allow(missing_docs)]
mod grammar {
    use pest_derive::Parser;

    #[derive(Parser)]
    #[grammar = "../grammar/words.pest"]
    pub(super) struct Grammar;
}

/// What a piece of a sentence is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    RateOfChange,
    Rate,
    Ratio,
    Product,
    Sum,
    Difference,
    SquareOf,
    CubeOf,
    RootOf,
    Half,
    Twice,
    Triple,
    Reciprocal,
    Cosine,
    Sine,
    Change,
    Squared,
    Cubed,
    Times,
    Dividing,
    Multiplying,
    Or,
    HowMuch,
    Gradient,
    AreaUnder,
    Divided,
    Per,
    Plus,
    Minus,
    Unit,
    Number,
    And,
    To,
    Is,
    Comma,
    Word,
    Unknown,
}

/// A piece of a sentence.
#[derive(Debug, Clone, Copy)]
struct Piece {
    class: Class,
    span: Span,
}

/// Cuts a sentence into pieces; nothing for one that is too long.
fn pieces(text: &str) -> Option<Vec<Piece>> {
    if text.len() > 4 * MAX_LINE || text.chars().count() > MAX_LINE {
        return None;
    }
    let pairs = Grammar::parse(Rule::sentence, text).ok()?;
    let mut found = Vec::new();
    for pair in pairs.flat_map(pest::iterators::Pair::into_inner) {
        let class = match pair.as_rule() {
            Rule::rate_of_change => Class::RateOfChange,
            Rule::rate => Class::Rate,
            Rule::ratio => Class::Ratio,
            Rule::product => Class::Product,
            Rule::sum => Class::Sum,
            Rule::difference => Class::Difference,
            Rule::square_of => Class::SquareOf,
            Rule::cube_of => Class::CubeOf,
            Rule::root_of => Class::RootOf,
            Rule::half => Class::Half,
            Rule::twice => Class::Twice,
            Rule::triple => Class::Triple,
            Rule::reciprocal => Class::Reciprocal,
            Rule::cosine => Class::Cosine,
            Rule::sine => Class::Sine,
            Rule::change => Class::Change,
            Rule::squared => Class::Squared,
            Rule::cubed => Class::Cubed,
            Rule::times => Class::Times,
            Rule::dividing => Class::Dividing,
            Rule::multiplying => Class::Multiplying,
            Rule::or => Class::Or,
            Rule::how_much => Class::HowMuch,
            Rule::gradient => Class::Gradient,
            Rule::area_under => Class::AreaUnder,
            Rule::divided => Class::Divided,
            Rule::per => Class::Per,
            Rule::plus => Class::Plus,
            Rule::minus => Class::Minus,
            Rule::unit => Class::Unit,
            Rule::number => Class::Number,
            Rule::and => Class::And,
            Rule::to => Class::To,
            Rule::is => Class::Is,
            Rule::comma => Class::Comma,
            Rule::word => Class::Word,
            Rule::unknown => Class::Unknown,
            _ => continue,
        };
        let span = pair.as_span();
        found.push(Piece {
            class,
            span: Span::new(span.start(), span.end()),
        });
    }
    Some(found)
}

/// The words of a text in the form in which they are compared: small letters,
/// no dots or apostrophes, no plural, no articles.
fn plain_words(text: &str) -> Vec<String> {
    let apart = |next: char| next.is_whitespace() || "-‐‑–—,;:()\"“”/".contains(next);
    let text = text.replace('%', " % ");
    let mut found = Vec::new();
    for word in text.split(apart) {
        let lower: String = word
            .chars()
            .filter(|next| *next != '.')
            .flat_map(char::to_lowercase)
            .collect();
        let lower = lower.replace('’', "'");
        // "It's", "you'd", "that'll"; not "isn't", which says no.
        let lower = ["'s", "'d", "'ll", "'re", "'ve", "'m"]
            .iter()
            .find_map(|ending| lower.strip_suffix(ending))
            .unwrap_or(&lower);
        let lower = lower.trim_matches('\'');
        if lower.is_empty() || filler::ARTICLES.contains(&lower) {
            continue;
        }
        found.push(singular(lower));
    }
    found
}

/// Plurals that are not made with an `s`.
const PLURALS: [(&str, &str); 11] = [
    ("radii", "radius"),
    ("momenta", "momentum"),
    ("lenses", "lens"),
    ("lens", "lens"),
    ("gases", "gas"),
    ("axes", "axis"),
    ("boxes", "box"),
    ("masses", "mass"),
    ("nuclides", "nuclide"),
    ("vacua", "vacuum"),
    ("quanta", "quantum"),
];

/// A word without the `s` of a plural, roughly: what counts is that two
/// forms of one word come out alike.
fn singular(word: &str) -> String {
    if let Some((_, one)) = PLURALS.iter().find(|(many, _)| *many == word) {
        return (*one).to_owned();
    }
    if let Some(stem) = word.strip_suffix("es").filter(|stem| stem.ends_with("ss")) {
        return stem.to_owned();
    }
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 2) {
        return format!("{stem}y");
    }
    let keeps = ["ss", "us", "is", "as"];
    let count = word.chars().count();
    if count > 3 && word.ends_with('s') && !keeps.iter().any(|end| word.ends_with(end)) {
        return word[..word.len() - 1].to_owned();
    }
    word.to_owned()
}
