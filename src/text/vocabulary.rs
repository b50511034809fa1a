//! The symbols that a text may use, and all the ways of writing each.
//!
//! A symbol has one canonical key: Greek letters as letters (`lambda` and `λ`
//! agree), subscripts lowered after `_`, except that a subscript of digits is
//! glued to its letter (`v0`, `v_0`, `v₀`, `v_{0}` agree), and a change is one
//! name (`delta v`, `Delta_v`, `Δv` agree).

use rustc_hash::FxHashMap;

use super::escape::escape;
use super::greek;
use super::styled::plain;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

/// What becomes of a letter that is not declared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undeclared {
    /// It becomes a new positive symbol.
    Declare,
    /// It is a fault, with the nearest declared symbol.
    Refuse,
}

/// Declared symbols with their spellings.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    table: SymbolTable,
    /// Canonical keys and aliases.
    strong: FxHashMap<String, Symbol>,
    /// Keys without the underscore: `Ek` for `E_k`. These give way to a
    /// product of declared symbols, so that `vt` stays `v t` beside a `v_t`.
    weak: FxHashMap<String, Symbol>,
    /// Symbols of one ASCII letter, without a hash.
    letters: Vec<Option<Symbol>>,
    /// The ASCII letters with which a key of several characters begins, a bit
    /// each.
    long_names: u128,
    /// Aliases as they were written, in the order of declaration.
    aliases: Vec<String>,
}

impl Vocabulary {
    /// No symbols at all.
    #[must_use]
    pub fn new() -> Self {
        Vocabulary {
            letters: vec![None; 128],
            ..Self::default()
        }
    }

    /// The symbol of this name, declared now if it is new. The name is kept
    /// for display as it is written, what a terminal would obey escaped; any
    /// spelling with the same canonical key is the same symbol, whose domain
    /// stays what it was.
    pub fn declare(&mut self, name: &str, domain: Domain) -> Symbol {
        let name = &*plain(name.trim());
        let key = canonical_key(name);
        if let Some(&symbol) = self.strong.get(&key) {
            return symbol;
        }
        let symbol = self.table.intern(&escape(name), domain);
        self.remember(key, symbol);
        symbol
    }

    /// A further spelling of a declared symbol, such as `KE` for `E_k`. A
    /// spelling that is taken keeps its symbol.
    pub fn alias(&mut self, alias: &str, symbol: Symbol) {
        let key = canonical_key(alias.trim());
        if !key.is_empty() && !self.strong.contains_key(&key) {
            self.remember(key, symbol);
            self.aliases.push(alias.trim().to_owned());
        }
    }

    /// The names of all symbols and then their aliases, as they were written.
    pub fn spellings(&self) -> impl Iterator<Item = &str> {
        let names = self.table.symbols().map(|symbol| self.table.name(symbol));
        names.chain(self.aliases.iter().map(String::as_str))
    }

    fn remember(&mut self, key: String, symbol: Symbol) {
        if self.letters.len() < 128 {
            self.letters.resize(128, None);
        }
        if let [letter @ 0..=127] = key.as_bytes() {
            self.letters[usize::from(*letter)] = Some(symbol);
        } else if let Some(first @ 0..=127) = key.as_bytes().first() {
            self.long_names |= 1 << first;
        }
        if key.contains('_') {
            let glued: String = key.chars().filter(|&c| c != '_').collect();
            self.weak.entry(glued).or_insert(symbol);
        }
        self.strong.insert(key, symbol);
    }

    /// The symbol that a whole name stands for in any of its spellings.
    #[must_use]
    pub fn lookup(&self, name: &str) -> Option<Symbol> {
        let key = canonical_key(name.trim());
        self.strong(&key).or_else(|| self.weak(&key))
    }

    /// Whether a key of several characters begins with this ASCII letter.
    pub(super) fn has_long_name_from(&self, first: u8) -> bool {
        self.long_names & (1 << first) != 0
    }

    /// The symbol declared under this canonical key or alias.
    pub(super) fn strong(&self, key: &str) -> Option<Symbol> {
        if let [letter @ 0..=127] = key.as_bytes() {
            return self.letters.get(usize::from(*letter)).copied().flatten();
        }
        self.strong.get(key).copied()
    }

    /// The symbol whose key is this one but for underscores.
    pub(super) fn weak(&self, key: &str) -> Option<Symbol> {
        if let Some(&symbol) = self.weak.get(key) {
            return Some(symbol);
        }
        if key.contains('_') {
            let glued: String = key.chars().filter(|&c| c != '_').collect();
            return self
                .strong
                .get(&glued)
                .or_else(|| self.weak.get(&glued))
                .copied();
        }
        None
    }

    /// The symbols with their names and domains.
    #[must_use]
    pub fn table(&self) -> &SymbolTable {
        &self.table
    }

    /// The same, to change a domain. A symbol interned past this vocabulary
    /// has no spellings until it is declared.
    pub fn table_mut(&mut self) -> &mut SymbolTable {
        &mut self.table
    }
}

/// The canonical key of a name. Equal keys are the same symbol.
#[must_use]
pub fn canonical_key(name: &str) -> String {
    let mut key = String::with_capacity(name.len());
    push_key(&mut key, &plain(name));
    key
}

/// Adds the canonical key of `name` to `key`.
pub(super) fn push_key(key: &mut String, name: &str) {
    if name.len() < 2 {
        key.push_str(name);
        return;
    }
    let (base, rest) = name.split_at(base_end(name));
    if is_change(base) && !rest.is_empty() {
        let rest = rest.trim_start_matches([' ', '_', '{']);
        let rest = if rest.ends_with('}') && !rest.contains('{') {
            &rest[..rest.len() - 1]
        } else {
            rest
        };
        if rest.chars().next().is_some_and(char::is_alphabetic) {
            key.push('Δ');
            push_plain(key, rest);
            return;
        }
    }
    push_base(key, base, true);
    push_subscript(key, rest);
}

/// The key of a name that is not a change of another.
fn push_plain(key: &mut String, name: &str) {
    let base_end = base_end(name);
    let (base, rest) = name.split_at(base_end);
    push_base(key, base, false);
    push_subscript(key, rest);
}

/// Where the first subscript or digit begins.
fn base_end(name: &str) -> usize {
    name.char_indices()
        .find(|&(at, c)| {
            at > 0 && (c == '_' || c.is_ascii_digit() || c == ' ' || greek::lowered(c).is_some())
        })
        .map_or(name.len(), |(at, _)| at)
}

fn push_base(key: &mut String, base: &str, may_change: bool) {
    if let Some(letter) = greek::letter(base) {
        key.push(letter);
    } else if let Some(changed) = change_of(base).filter(|_| may_change) {
        key.push('Δ');
        push_base(key, changed, false);
    } else {
        key.extend(base.chars().map(greek::usual));
    }
}

fn push_subscript(key: &mut String, rest: &str) {
    if rest.is_empty() {
        return;
    }
    let mut segment = String::new();
    let flush = |key: &mut String, segment: &mut String| {
        if segment.is_empty() {
            return;
        }
        if !segment.bytes().all(|b| b.is_ascii_digit()) {
            key.push('_');
        }
        match greek::letter(segment) {
            Some(letter) => key.push(letter),
            None if segment.chars().count() == 1 => key.push_str(segment),
            // Spelled out, so that it is the same where there is no Greek.
            None => {
                for character in segment.chars() {
                    match greek::name(character) {
                        Some(name) => key.push_str(name),
                        None => key.push(character),
                    }
                }
            }
        }
        segment.clear();
    };
    for character in rest.chars() {
        match character {
            '_' => flush(key, &mut segment),
            '{' | '}' | ' ' | ',' => {}
            other => segment.push(greek::lowered(other).unwrap_or(greek::usual(other))),
        }
    }
    flush(key, &mut segment);
}

/// Whether a word in front of another says "change of".
pub(super) fn is_change(word: &str) -> bool {
    matches!(word, "delta" | "Delta" | "Δ" | "\u{2206}")
}

/// `v` of `Δv`, `deltav` and `Deltav`.
pub(super) fn change_of(word: &str) -> Option<&str> {
    ["Δ", "\u{2206}", "delta", "Delta"]
        .into_iter()
        .find_map(|change| word.strip_prefix(change))
        .filter(|rest| rest.chars().next().is_some_and(char::is_alphabetic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_with_one_key() {
        for (spellings, key) in [
            (&["λ", "lambda", "lamda"][..], "λ"),
            (&["v0", "v_0", "v₀", "v_{0}"], "v0"),
            (
                &[
                    "Δv",
                    "delta v",
                    "Delta_v",
                    "deltav",
                    "∆v",
                    "Δ_v",
                    "Delta v",
                    "Δ v",
                    "Delta_{v}",
                ],
                "Δv",
            ),
            (&["E_k", "E_{k}", "Eₖ"], "E_k"),
            (&["v_{out}", "v_out"], "v_out"),
            (&["E_{k,max}", "E_{k max}", "E_kmax"], "E_kmax"),
            (&["λ_0", "lambda0", "lambda_0", "λ₀"], "λ0"),
            (&["E_λ", "E_lambda"], "E_λ"),
            (&["E_nλ", "E_nlambda", "E_{nλ}"], "E_nlambda"),
            (&["E_λ2", "E_lambda2"], "E_lambda2"),
            (&["Δλ", "delta lambda", "Deltalambda"], "Δλ"),
            (&["Δv_0", "delta v0"], "Δv0"),
            (&["delta", "δ"], "δ"),
            (&["Δ", "Delta"], "Δ"),
            (&["varphi", "φ", "ϕ"], "φ"),
            (&["mu", "µ"], "μ"),
            (&["m_u"], "m_u"),
        ] {
            for spelling in spellings {
                assert_eq!(canonical_key(spelling), key, "{spelling}");
            }
        }
    }

    #[test]
    fn declaring_again_gives_the_same_symbol() {
        let mut vocabulary = Vocabulary::new();
        let first = vocabulary.declare("v_0", Domain::Real);
        assert_eq!(vocabulary.declare("v₀", Domain::Positive), first);
        assert_eq!(vocabulary.table().domain(first), Domain::Real);
        assert_eq!(vocabulary.table().name(first), "v_0");
        let energy = vocabulary.declare("E_k", Domain::Positive);
        vocabulary.alias("KE", energy);
        assert_eq!(vocabulary.lookup("KE"), Some(energy));
        assert_eq!(vocabulary.lookup("Ek"), Some(energy));
        assert_eq!(vocabulary.lookup("ke"), None);
        let small = vocabulary.declare("e", Domain::Positive);
        vocabulary.alias("e", energy);
        assert_eq!(vocabulary.lookup("e"), Some(small));
    }
}
