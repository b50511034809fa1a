//! Sentences that say more than a definition: an opening, a reason, the same
//! once more, letters that are explained.

use super::lexicon::unit_named;
use super::{Judged, Wordings, WordsVerdict};
use crate::algebra::expr::Expr;
use crate::text::words::{Trouble, Unread, passing_words};

impl Wordings {
    pub(super) fn judge_as_spelt(&self, sentence: &str) -> Judged {
        self.judge_turns(sentence, TURNS)
    }

    /// Judges a sentence from which something may be left out so many times.
    fn judge_turns(&self, sentence: &str, turns: usize) -> Judged {
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
        if let Some(judged) = self.judge_letters(sentence).filter(Judged::is_right) {
            return judged;
        }
        if turns > 0
            && let Some(plain) = self.without_asides(sentence)
        {
            let judged = self.judge_turns(&plain, turns - 1);
            if judged.is_right() {
                return judged;
            }
        }
        // "Fall to 1/e (37%) of": what stands in brackets only describes.
        if let Some((plain, inner)) = without_brackets(sentence) {
            let percentage =
                inner.trim_start().starts_with(['×', 'x', '*']) && inner.contains("100");
            let passing = percentage
                || self.measures_its_own(inner)
                || inner.trim().trim_end_matches('%').parse::<f64>().is_ok()
                || passing_words(inner, &self.lexicon, false).is_some();
            let judged = (passing && turns > 0).then(|| self.judge_turns(&plain, turns - 1));
            if let Some(judged) = judged.filter(Judged::is_right) {
                return judged;
            }
        }
        // "..., in newtons": a unit in passing.
        if turns > 0
            && let Some(plain) = self.without_unit(sentence)
        {
            let judged = self.judge_turns(&plain, turns - 1);
            if judged.is_right() {
                return judged;
            }
        }
        // "A body moves with simple harmonic motion if ...", "work is done by
        // a force, and it is equal to ...".
        for mark in OPENS {
            if let Some((first, second)) = split_at(sentence, mark)
                && (is_genus(first)
                    || ((AGAIN.contains(&mark) || self.only_names_it(first))
                        && passing_words(first, &self.lexicon, false).is_some()))
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
            let again = self.judge_part(second);
            if judged.is_right() && again.is_right() {
                return judged;
            }
            // "The turning effect of a force, equal to ...".
            if IS_AGAIN.contains(&mark)
                && again.is_right()
                && self.names_it_first(first)
                && passing_words(first, &self.lexicon, false).is_some()
            {
                return again;
            }
            // "..., so extension over original length": the upshot counts, if
            // what leads to it does not say otherwise.
            let led = matches!(judged.verdict, WordsVerdict::Unreadable(_));
            if mark == "so" && led && again.is_right() {
                return again;
            }
        }
        // Where a formula stands among the words, what was made of the words
        // alone is not sure enough to call them wrong.
        if whole.verdict == WordsVerdict::Wrong && sentence.contains([':', '=']) {
            return self.nothing(WordsVerdict::Unreadable(Unread {
                trouble: Trouble::Loose,
                words: Vec::new(),
                understood: Vec::new(),
                met: Vec::new(),
            }));
        }
        whole
    }

    /// Whether a text is a unit of one of the definition's quantities: "(A/N)"
    /// is none, though amperes and newtons are units.
    fn measures_its_own(&self, text: &str) -> bool {
        unit_named(text).is_some_and(|unit| {
            self.table
                .symbols()
                .any(|symbol| self.balance.dimension(symbol).as_ref() == Some(&unit.dimension))
        })
    }

    /// The sentence without a unit that is only mentioned: "(in metres)",
    /// ", measured in newtons" if it is the unit of what is defined.
    fn without_unit(&self, sentence: &str) -> Option<String> {
        for open in ["(in ", "(measured in "] {
            if let Some((before, after)) = sentence.split_once(open)
                && let Some((unit, after)) = after.split_once(')')
                && unit_named(unit).is_some()
            {
                return Some(format!("{before}{after}"));
            }
        }
        for open in [
            "measured in",
            "expressed in",
            "in units of",
            "with unit",
            "in",
        ] {
            let Some((before, unit)) = sentence.rsplit_once(&format!(" {open} ")) else {
                continue;
            };
            let unit = unit.trim_end_matches(['.', ')', ' ']);
            let meant =
                unit_named(unit).filter(|unit| self.dimension.as_ref() == Some(&unit.dimension));
            if meant.is_some() {
                return Some(before.trim_end_matches([',', '(', ' ']).to_owned());
            }
        }
        // "Becquerels: the number of ...".
        let (unit, after) = sentence.split_once(':')?;
        unit_named(unit.trim())
            .filter(|unit| self.dimension.as_ref() == Some(&unit.dimension))
            .map(|_| after.to_owned())
    }

    /// Whether the term is what a text names first.
    fn names_it_first(&self, text: &str) -> bool {
        let subject = self.subject().map(Expr::Symbol);
        self.lexicon
            .quantities(text)
            .first()
            .is_some_and(|(concept, _)| self.lexicon.value(*concept) == subject.as_ref())
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
}

/// "The ratio: ...", which says only what kind of thing it is.
fn is_genus(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    let word = text
        .strip_prefix("the ")
        .or_else(|| text.strip_prefix("a "));
    ["fraction", "ratio", "product", "quantity", "rate"].contains(&word.unwrap_or(&text))
}

/// A sentence without its first brackets, and what stood in them.
fn without_brackets(sentence: &str) -> Option<(String, &str)> {
    let (before, after) = sentence.split_once('(')?;
    let (inner, after) = after.split_once(')')?;
    Some((format!("{before}{after}"), inner))
}

/// How many brackets and units may be left out of a sentence.
const TURNS: usize = 2;

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

/// Those of the marks below that say what the term is.
const IS_AGAIN: [&str; 16] = [
    "worked out as",
    "worked out by",
    "obtained by",
    "obtained as",
    "found as",
    "given as",
    "got by",
    "measured as",
    "which is the same as",
    "equal to",
    "equals",
    "which is",
    "given by",
    "found by",
    "calculated as",
    "calculated by",
];

/// What stands between two wordings of one thing.
const SAID_AGAIN: [&str; 27] = [
    "worked out as",
    "worked out by",
    "obtained by",
    "obtained as",
    "found as",
    "given as",
    "got by",
    "measured as",
    "which is the same as",
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
    ":",
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
