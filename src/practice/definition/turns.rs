//! Sentences that say more than a definition: an opening, a reason, the same
//! once more, letters that are explained.

use super::{Judged, Wordings};
use crate::algebra::expr::Expr;
use crate::text::words::{needs_met, read_words};

impl Wordings {
    pub(super) fn judge_as_spelt(&self, sentence: &str) -> Judged {
        let whole = self.judge_part(sentence);
        if whole.is_right() {
            return whole;
        }
        // What comes after "because" is not part of it.
        for mark in BECAUSE {
            if let Some((first, _)) = sentence.split_once(mark) {
                let judged = self.judge_part(first);
                if judged.is_right() {
                    return judged;
                }
            }
        }
        if let Some(judged) = self.judge_lettered(sentence)
            && judged.is_right()
        {
            return judged;
        }
        // "A body moves with simple harmonic motion if ...", "work is done by
        // a force, and it is equal to ...".
        for mark in OPENS {
            if let Some((first, second)) = split_at(sentence, mark)
                && (AGAIN.contains(&mark) || self.only_names_it(first))
            {
                let judged = self.judge_part(second);
                if judged.is_right() {
                    return judged;
                }
            }
        }
        // "..., equal to ...": two definitions in one, each right by itself.
        for mark in SAID_AGAIN {
            let Some((first, second)) = split_at(sentence, mark) else {
                continue;
            };
            let judged = self.judge_part(first);
            if judged.is_right() && self.judge_part(second).is_right() {
                return judged;
            }
        }
        whole
    }

    /// Whether a text names the term, and no other quantity.
    fn only_names_it(&self, text: &str) -> bool {
        let subject = self.subject().map(Expr::Symbol);
        let named = self.lexicon.quantities(text);
        !named.is_empty()
            && named
                .iter()
                .all(|(concept, _)| self.lexicon.value(*concept) == subject.as_ref())
    }

    /// "RA/L, where R is the resistance and L the length": letters may be
    /// explained, if they stand for what they stand for in the sheet.
    fn judge_lettered(&self, sentence: &str) -> Option<Judged> {
        let (first, legend) = split_at(sentence, "where")?;
        let mut said = read_words(first, &self.lexicon).ok()?;
        let parts = legend
            .split([',', ';'])
            .flat_map(|part| part.split(" and "));
        for part in parts.filter(|part| !part.trim().is_empty()) {
            let mut words = part.trim_start().splitn(2, char::is_whitespace);
            let value = self
                .lexicon
                .lettered(words.next()?.trim_end_matches([':', '=']))?;
            let told = words.next()?;
            for need in needs_met(told, &self.lexicon)? {
                if !said.met.contains(&need) {
                    said.met.push(need);
                }
            }
            let named = self.lexicon.quantities(told);
            let other = named
                .first()
                .is_some_and(|(concept, _)| self.lexicon.value(*concept) != Some(&value));
            let describes = split_at(told, "to").is_some() || split_at(told, "in").is_some();
            if other && !describes {
                return None;
            }
        }
        Some(self.judge_said(said))
    }
}

/// What opens a reason.
const BECAUSE: [&str; 5] = [
    ", because ",
    ", cos ",
    ", since ",
    " because it ",
    ", as this ",
];

/// What comes before the definition itself.
const OPENS: [&str; 14] = [
    "if",
    "when",
    "whenever",
    "is that",
    ":",
    "it is equal to",
    "it is given by",
    "it is calculated as",
    "it is found by",
    "it is defined as",
    "it equals",
    "its value is",
    "its size is",
    "its magnitude is",
];

/// Those of them that take up the term again.
const AGAIN: [&str; 9] = [
    "it is equal to",
    "it is given by",
    "it is calculated as",
    "it is found by",
    "it is defined as",
    "it equals",
    "its value is",
    "its size is",
    "its magnitude is",
];

/// What stands between two wordings of one thing.
const SAID_AGAIN: [&str; 17] = [
    "equal to",
    "equals",
    "i.e.",
    "that is",
    "which is",
    "given by",
    "found by",
    "calculated as",
    "calculated by",
    "equivalent to",
    "in other words",
    "or",
    "so",
    "(",
    ",",
    ";",
    "=",
];

/// The text before and after the first place of a mark that stands by itself.
fn split_at<'t>(text: &'t str, mark: &str) -> Option<(&'t str, &'t str)> {
    let letters = |next: Option<char>| next.is_some_and(char::is_alphanumeric);
    let word = mark.starts_with(char::is_alphabetic);
    text.match_indices(mark).find_map(|(at, _)| {
        let (first, second) = (&text[..at], &text[at + mark.len()..]);
        let apart = !word || !(letters(first.chars().last()) || letters(second.chars().next()));
        apart.then_some((first, second))
    })
}
