//! Symbols and the table that interns them. The caller owns the table; there
//! is no global one.

use rustc_hash::FxHashMap;

/// A quantity's symbol: an index into the [`SymbolTable`] that made it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Symbol(u32);

impl Symbol {
    /// Position in its table: 0, 1, 2, ... in the order of declaration.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }

    /// The symbol at a position, for a caller that walks a table by index.
    #[must_use]
    pub fn from_index(index: usize) -> Self {
        Symbol(u32::try_from(index).unwrap_or(u32::MAX))
    }
}

/// The values that a quantity may take. Root and log laws hold on domains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Domain {
    /// Greater than zero. What an undeclared symbol gets.
    #[default]
    Positive,
    /// Zero or greater.
    Nonnegative,
    /// Any real number.
    Real,
    /// An angle strictly between zero and a right angle, in radians.
    Acute,
}

impl Domain {
    /// The keyword that sheets and the machine interface use.
    #[must_use]
    pub fn keyword(self) -> &'static str {
        match self {
            Domain::Positive => "positive",
            Domain::Nonnegative => "nonnegative",
            Domain::Real => "real",
            Domain::Acute => "acute",
        }
    }

    /// The domain that a keyword names.
    #[must_use]
    pub fn from_keyword(word: &str) -> Option<Self> {
        [
            Domain::Positive,
            Domain::Nonnegative,
            Domain::Real,
            Domain::Acute,
        ]
        .into_iter()
        .find(|domain| domain.keyword() == word)
    }
}

#[derive(Debug, Clone)]
struct Entry {
    name: String,
    domain: Domain,
}

/// Interned symbols with their names and domains.
#[derive(Debug, Clone, Default)]
pub struct SymbolTable {
    entries: Vec<Entry>,
    index: FxHashMap<String, Symbol>,
}

impl SymbolTable {
    /// An empty table.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The symbol of this name, declared now with `domain` if it is new. The
    /// domain of a symbol that exists already stays as it is.
    pub fn intern(&mut self, name: &str, domain: Domain) -> Symbol {
        if let Some(&symbol) = self.index.get(name) {
            return symbol;
        }
        let symbol = Symbol::from_index(self.entries.len());
        self.entries.push(Entry {
            name: name.to_owned(),
            domain,
        });
        self.index.insert(name.to_owned(), symbol);
        symbol
    }

    /// The symbol of this name, if there is one.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<Symbol> {
        self.index.get(name).copied()
    }

    /// The name that the symbol was declared with.
    ///
    /// # Panics
    /// If the symbol comes from another table.
    #[must_use]
    pub fn name(&self, symbol: Symbol) -> &str {
        &self.entries[symbol.index()].name
    }

    /// The domain of the symbol.
    ///
    /// # Panics
    /// If the symbol comes from another table.
    #[must_use]
    pub fn domain(&self, symbol: Symbol) -> Domain {
        self.entries[symbol.index()].domain
    }

    /// Gives the symbol another domain.
    ///
    /// # Panics
    /// If the symbol comes from another table.
    pub fn set_domain(&mut self, symbol: Symbol, domain: Domain) {
        self.entries[symbol.index()].domain = domain;
    }

    /// All symbols in the order of declaration.
    pub fn symbols(&self) -> impl Iterator<Item = Symbol> + use<> {
        (0..self.entries.len()).map(Symbol::from_index)
    }

    /// How many symbols there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }
}
