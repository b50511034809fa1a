//! The names that a text may use while it is read: those declared, and those
//! that it brings itself.

use smallvec::SmallVec;

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::escape::escape;
use super::greek;
use super::span::Span;
use super::suggest::{Nearness, nearest};
use super::vocabulary::{Undeclared, Vocabulary, canonical_key, push_key};
use crate::algebra::symbol::Symbol;

/// Names longer than this match only as a whole run.
pub(super) const LONGEST_NAME: usize = 24;

/// The declared symbols, and those that this text brings. They join the
/// vocabulary only when the whole text has been read, so that a text with a
/// fault leaves no trace.
pub(super) struct Names<'a> {
    vocabulary: &'a Vocabulary,
    pub(super) undeclared: Undeclared,
    /// Key and name of each new symbol, numbered on from the table.
    fresh: Vec<(String, String)>,
}

impl<'a> Names<'a> {
    pub(super) fn new(vocabulary: &'a Vocabulary, undeclared: Undeclared) -> Self {
        Names {
            vocabulary,
            undeclared,
            fresh: Vec::new(),
        }
    }

    /// The names of the new symbols, in the order of their symbols.
    pub(super) fn into_fresh(self) -> Vec<String> {
        self.fresh.into_iter().map(|(_, name)| name).collect()
    }

    /// Whether a part of a run can be a name at all, by its first letters.
    pub(super) fn may_begin(&self, part: &str) -> bool {
        match part.as_bytes() {
            [first, second, ..] if first.is_ascii_alphabetic() => {
                // An empty subscript leaves a name of one letter.
                *second == b'_'
                    || self.vocabulary.has_long_name_from(*first)
                    || greek::may_begin(*first, *second)
                    || !self.fresh.is_empty()
            }
            _ => true,
        }
    }

    /// The symbol with this canonical key.
    pub(super) fn find(&self, key: &str) -> Option<Symbol> {
        self.vocabulary.strong(key).or_else(|| {
            let at = self.fresh.iter().position(|(own, _)| own == key)?;
            Some(Symbol::from_index(self.vocabulary.table().len() + at))
        })
    }

    /// The symbol whose key is this one but for an underscore.
    pub(super) fn weak(&self, key: &str) -> Option<Symbol> {
        self.vocabulary.weak(key).or_else(|| {
            let glued =
                |own: &str| own.contains('_') && own.chars().filter(|&c| c != '_').eq(key.chars());
            let at = self.fresh.iter().position(|(own, _)| glued(own))?;
            Some(Symbol::from_index(self.vocabulary.table().len() + at))
        })
    }

    /// Whether a letter that is not declared is a fault.
    pub(super) fn refuses(&self) -> bool {
        self.undeclared == Undeclared::Refuse
    }

    /// Whether letters are declared names, one behind the other.
    pub(super) fn spells(&self, letters: &str) -> bool {
        let ends: SmallVec<[usize; 24]> = letters
            .char_indices()
            .map(|(at, _)| at)
            .chain([letters.len()])
            .collect();
        let mut reached: SmallVec<[bool; 24]> = SmallVec::from_elem(false, ends.len());
        reached[0] = true;
        let mut key = String::new();
        for from in 0..ends.len() {
            if !reached[from] {
                continue;
            }
            for to in from + 1..ends.len().min(from + 1 + LONGEST_NAME) {
                if reached[to] {
                    continue;
                }
                key.clear();
                push_key(&mut key, &letters[ends[from]..ends[to]]);
                reached[to] = self.find(&key).is_some() || self.weak(&key).is_some();
            }
        }
        reached[ends.len() - 1]
    }

    /// Whether there are declared symbols, and none of these letters is one.
    pub(super) fn knows_none_of(&self, letters: &str) -> bool {
        let mut buffer = [0; 4];
        self.vocabulary.table().symbols().next().is_some()
            && letters
                .chars()
                .all(|letter| self.find(letter.encode_utf8(&mut buffer)).is_none())
    }

    /// Whether a run is rather a word than a product: four letters or more,
    /// three different ones of them no symbols, where symbols are declared.
    pub(super) fn is_wordlike(&self, run: &str) -> bool {
        let mut buffer = [0; 4];
        if !run.bytes().all(|byte| byte.is_ascii_alphanumeric())
            || run.bytes().filter(u8::is_ascii_alphabetic).count() < 4
            || self.vocabulary.table().symbols().next().is_none()
        {
            return false;
        }
        let mut unknown: SmallVec<[char; 8]> = SmallVec::new();
        for letter in run.chars().filter(char::is_ascii_alphabetic) {
            if !unknown.contains(&letter) && self.find(letter.encode_utf8(&mut buffer)).is_none() {
                unknown.push(letter);
            }
        }
        unknown.len() > 2
    }

    pub(super) fn declare(&mut self, written: &str) -> Symbol {
        let key = canonical_key(written);
        if let Some(symbol) = self.find(&key) {
            return symbol;
        }
        let name = if !written.contains(char::is_whitespace) {
            written.to_owned()
        } else if written.contains('{') && !key.chars().all(|c| c == '_' || c.is_alphanumeric()) {
            // Without its braces it would not be read as one name again.
            written.split_whitespace().collect()
        } else {
            key.clone()
        };
        if let Some(symbol) = self.vocabulary.table().get(&name) {
            return symbol;
        }
        self.fresh.push((key, name));
        Symbol::from_index(self.vocabulary.table().len() + self.fresh.len() - 1)
    }

    pub(super) fn symbol_or_new(
        &mut self,
        name: &str,
        text: &str,
        span: Span,
    ) -> Result<Symbol, Diagnostic> {
        match (self.find(name), self.undeclared) {
            (Some(symbol), _) => Ok(symbol),
            (None, Undeclared::Declare) => Ok(self.declare(name)),
            (None, Undeclared::Refuse) => Err(self.unknown(text, span, name)),
        }
    }

    /// The nearest spelling; a Greek letter is also near by its name.
    pub(super) fn nearest(&self, typed: &str) -> Option<(&str, Nearness)> {
        let spellings = self.vocabulary.spellings();
        nearest(typed, spellings).or_else(|| {
            let greek: Vec<(&str, &str)> = self
                .vocabulary
                .spellings()
                .filter_map(|name| {
                    let mut characters = name.chars();
                    let letter = characters.next().filter(|_| characters.next().is_none())?;
                    Some((greek::name(letter)?, name))
                })
                .collect();
            let (spelled, nearness) = nearest(typed, greek.iter().map(|pair| pair.0))?;
            let found = greek.iter().find(|pair| pair.0 == spelled)?;
            Some((found.1, nearness))
        })
    }

    pub(super) fn unknown(&self, text: &str, span: Span, typed: &str) -> Diagnostic {
        let table = self.vocabulary.table();
        let near = self.nearest(typed);
        let typed = escape(typed);
        let message = format!("There is no symbol {typed} here.");
        let fault = Diagnostic::new(DiagnosticKind::UnknownSymbol, message, text, span);
        match near {
            Some((name, Nearness::Case)) => fault.with_mend(format!(
                "Did you mean {name}? Capital and small letters are different symbols."
            )),
            Some((name, _)) => fault.with_mend(format!("Did you mean {name}?")),
            None => {
                let mut names: Vec<&str> =
                    table.symbols().map(|symbol| table.name(symbol)).collect();
                if names.is_empty() || names.len() > 12 {
                    return fault;
                }
                names.sort_unstable();
                let names: Vec<String> = names.into_iter().map(as_typed).collect();
                let names = names.join(", ");
                fault.with_mend(format!("The symbols here are {names}."))
            }
        }
    }
}

/// A name, with how its Greek letter is typed: `ω (omega)`.
fn as_typed(name: &str) -> String {
    let mut letters = name.chars();
    let spelled = letters.next().and_then(greek::name);
    let rest = letters.as_str();
    match spelled {
        Some(spelled) if rest.is_empty() || rest.starts_with('_') => {
            format!("{name} ({spelled}{rest})")
        }
        _ => name.to_owned(),
    }
}
