//! The formulary: what all sheets hold, as a model.
//!
//! A topic has its own vocabulary, so that `E` may be energy in one topic and
//! electric field strength in another. Sheets come in as bytes, included ones
//! through a function of the caller's: this room opens no file.

use super::fault::{Fault, FaultKind};
use super::quantity::{Origin, PhysicalConstant, Quantity};
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::text::sheet::place;
use crate::text::{Diagnostic, DiagnosticKind, Span, Vocabulary};

pub use super::gather::{Loaded, Loader, MAX_INCLUDE_DEPTH, MAX_INCLUDES};

/// A file that was read, for messages.
#[derive(Debug, Clone, Default)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// Its lines.
    pub lines: Vec<String>,
}

/// One line of maths of a proof or a definition.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// Its equations: one, or several for `a = b = c`.
    pub equations: Vec<Equation>,
    /// The text, and where it stands.
    pub origin: Origin,
}

impl Statement {
    /// The text as the sheet writes it.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.origin.piece.text
    }
}

/// A formula of a topic.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// Its name within the topic: `velocity-time`. With the topic's key it is
    /// the stable key that the journal keeps: see [`Topic::formula_key`].
    pub name: String,
    /// The equation as typed.
    pub equation: Equation,
    /// When it holds, in words.
    pub condition: Option<String>,
    /// The text, and where it stands.
    pub origin: Origin,
}

impl Formula {
    /// The text as the sheet writes it.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.origin.piece.text
    }

    /// The symbol that is the subject already, if there is one: alone on one
    /// side and not on the other.
    #[must_use]
    pub fn own_subject(&self) -> Option<Symbol> {
        let alone = |side: &Expr, other: &Expr| match side {
            Expr::Symbol(symbol) if !other.contains(*symbol) => Some(*symbol),
            _ => None,
        };
        alone(&self.equation.left, &self.equation.right)
            .or_else(|| alone(&self.equation.right, &self.equation.left))
    }
}

/// A mark of a proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Its code, such as `M1`.
    pub code: String,
    /// When it is earned, in words.
    pub condition: String,
    /// Where the condition stands.
    pub origin: Origin,
}

/// A result to be shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Its name within the topic.
    pub name: String,
    /// What is asked, in words.
    pub statement: String,
    /// When it holds, in words.
    pub condition: Option<String>,
    /// What may be used.
    pub given: Vec<Statement>,
    /// Letters that the proof brings in.
    pub helpers: Vec<Statement>,
    /// What is to be shown.
    pub goal: Statement,
    /// A route that leads there; may be empty.
    pub route: Vec<Statement>,
    /// How marks are given; may be empty.
    pub marks: Vec<Mark>,
    /// Where it stands.
    pub origin: Origin,
}

/// A lettering in which a topic's formulae may be asked too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notation {
    /// Its name.
    pub name: String,
    /// Symbols of the topic with the letters that stand for them.
    pub changes: Vec<(Symbol, String)>,
    /// Where it stands.
    pub origin: Origin,
}

/// Words that a definition needs: the first, or any of the others.
pub type Need = Vec<String>;

/// Other words for a quantity, in every topic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Synonym {
    /// The name of the quantity.
    pub name: String,
    /// Words that mean the same.
    pub words: Vec<String>,
    /// Where it stands.
    pub origin: Origin,
}

/// Formulae of several topics that make a question together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Connection {
    /// Its name.
    pub name: String,
    /// What joins the formulae, in words.
    pub sentence: String,
    /// When it holds, in words.
    pub condition: Option<String>,
    /// Its formulae in its own letters, with the keys of the sheets'.
    pub parts: Vec<(Origin, Origin)>,
    /// What is to be found.
    pub goal: Origin,
    /// Where it stands.
    pub origin: Origin,
}

impl Connection {
    /// The keys of its formulae.
    #[must_use]
    pub fn part_keys(&self) -> Vec<String> {
        let key = |(_, key): &(Origin, Origin)| key.piece.text.clone();
        self.parts.iter().map(key).collect()
    }
}

/// A definition.
#[derive(Debug, Clone)]
pub struct Definition {
    /// The term.
    pub term: String,
    /// What it means, in words.
    pub sentence: String,
    /// What it means, as an equation.
    pub equation: Option<Statement>,
    /// Words that must be said with that equation.
    pub needs: Vec<Need>,
    /// Words that make another thing of it: a wording that has them is not
    /// judged.
    pub never: Vec<String>,
    /// Other equations that define the term as well, with words for each.
    pub others: Vec<(Statement, Vec<Need>)>,
    /// Phrases, and what they stand for.
    pub readings: Vec<(Vec<String>, Expr)>,
    /// The topic's symbols and those that the definition brings in; nothing
    /// if it brings in none.
    pub vocabulary: Option<Box<Vocabulary>>,
    /// Where it stands.
    pub origin: Origin,
}

/// One topic: what its sheet says.
#[derive(Debug, Clone)]
pub struct Topic {
    /// Its short name, stable.
    pub key: String,
    /// Its heading.
    pub title: String,
    /// Its symbols.
    pub vocabulary: Vocabulary,
    /// Declared quantities, in order.
    pub quantities: Vec<Quantity>,
    /// Constants, in order.
    pub constants: Vec<PhysicalConstant>,
    /// Formulae, in order.
    pub formulae: Vec<Formula>,
    /// Proofs, in order.
    pub proofs: Vec<Proof>,
    /// Letterings, in order.
    pub notations: Vec<Notation>,
    /// Definitions, in order.
    pub definitions: Vec<Definition>,
    /// Where it begins.
    pub origin: Origin,
    /// Index of a symbol's quantity.
    pub(super) quantity_of: Vec<Option<u32>>,
    /// Index of a symbol's constant.
    pub(super) constant_of: Vec<Option<u32>>,
}

impl Topic {
    /// The declared quantity of a symbol.
    #[must_use]
    pub fn quantity(&self, symbol: Symbol) -> Option<&Quantity> {
        let index = (*self.quantity_of.get(symbol.index())?)?;
        self.quantities.get(index as usize)
    }

    /// The constant of a symbol.
    #[must_use]
    pub fn constant(&self, symbol: Symbol) -> Option<&PhysicalConstant> {
        let index = (*self.constant_of.get(symbol.index())?)?;
        self.constants.get(index as usize)
    }

    /// What a symbol stands for, in words, if the sheet says so.
    #[must_use]
    pub fn meaning(&self, symbol: Symbol) -> Option<&str> {
        match self.quantity(symbol) {
            Some(quantity) => Some(&quantity.name),
            None => self.constant(symbol)?.name.as_deref(),
        }
    }

    /// The stable key of a formula: `motion/velocity-time`.
    #[must_use]
    pub fn formula_key(&self, formula: &Formula) -> String {
        format!("{}/{}", self.key, formula.name)
    }

    /// The symbols that a formula can be asked for, in order of appearance:
    /// all but those that are declared as constants only.
    #[must_use]
    pub fn subjects(&self, formula: &Formula) -> Vec<Symbol> {
        let mut symbols = formula.equation.symbols();
        symbols
            .retain(|&symbol| self.constant(symbol).is_none() || self.quantity(symbol).is_some());
        symbols
    }

    /// The subjects that need work: [`Topic::subjects`] without the one that
    /// stands alone already.
    #[must_use]
    pub fn questions(&self, formula: &Formula) -> Vec<Symbol> {
        let own = formula.own_subject();
        let mut symbols = self.subjects(formula);
        symbols.retain(|symbol| Some(*symbol) != own);
        symbols
    }

    /// The formula of this name.
    #[must_use]
    pub fn formula(&self, name: &str) -> Option<&Formula> {
        self.formulae.iter().find(|formula| formula.name == name)
    }

    /// The proof of this name.
    #[must_use]
    pub fn proof(&self, name: &str) -> Option<&Proof> {
        self.proofs.iter().find(|proof| proof.name == name)
    }
}

/// All topics, and what was wrong with their sheets.
#[derive(Debug, Clone, Default)]
pub struct Formulary {
    /// Topics in the order in which they were first met.
    pub topics: Vec<Topic>,
    /// Faults met while loading; [`super::proofread::proofread`] finds more.
    pub faults: Vec<Fault>,
    /// The files that were read.
    pub sources: Vec<Source>,
    /// Other words for quantities, of all sheets.
    pub synonyms: Vec<Synonym>,
    /// Connections between topics, of all sheets.
    pub connections: Vec<Connection>,
    /// Whether the maths of proofs is left unread for now: half of the work
    /// of loading, which a program that asks one question has no use for.
    /// Their statements then have no equations.
    pub proofs_later: bool,
}

impl Formulary {
    /// An empty formulary.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// A formulary of one sheet that includes no other. What is wrong with it
    /// is in the list of faults; the good entries serve.
    ///
    /// ```
    /// use rejig::physics::formulary::Formulary;
    ///
    /// let formulary = Formulary::from_text("my.sheet", "topic Waves\nv = f λ\nT = (1/f\n");
    /// assert_eq!(formulary.formula_count(), 1);
    /// assert_eq!(formulary.faults[0].line(), 3);
    /// ```
    #[must_use]
    pub fn from_text(name: &str, text: &str) -> Self {
        let mut formulary = Formulary::new();
        formulary.add(name, text.as_bytes(), &mut |_, wanted| {
            Err(format!("there is no sheet `{wanted}` here"))
        });
        formulary
    }

    /// The topic of this key.
    #[must_use]
    pub fn topic(&self, key: &str) -> Option<&Topic> {
        self.topics.iter().find(|topic| topic.key == key)
    }

    /// The formula of a stable key such as `motion/velocity-time`.
    #[must_use]
    pub fn formula(&self, key: &str) -> Option<(&Topic, &Formula)> {
        let (topic, name) = key.split_once('/')?;
        let topic = self.topic(topic)?;
        Some((topic, topic.formula(name)?))
    }

    /// Every pair of a formula and a subject that needs work, in order.
    pub fn questions(&self) -> impl Iterator<Item = (&Topic, &Formula, Symbol)> {
        self.topics.iter().flat_map(|topic| {
            topic.formulae.iter().flat_map(move |formula| {
                topic
                    .questions(formula)
                    .into_iter()
                    .map(move |symbol| (topic, formula, symbol))
            })
        })
    }

    /// How many formulae there are.
    #[must_use]
    pub fn formula_count(&self) -> usize {
        self.topics.iter().map(|topic| topic.formulae.len()).sum()
    }

    /// A fault at a span of an origin's text, with file, line and caret.
    #[must_use]
    pub fn fault(
        &self,
        kind: FaultKind,
        origin: &Origin,
        span: Span,
        message: impl Into<String>,
        mend: Option<String>,
    ) -> Fault {
        let mut diagnostic =
            Diagnostic::new(DiagnosticKind::Sheet, message, &origin.piece.text, span);
        diagnostic.mend = mend;
        Fault {
            kind,
            diagnostic: self.place(diagnostic, origin),
        }
    }

    /// A fault at the whole of an origin's text.
    #[must_use]
    pub fn fault_at(
        &self,
        kind: FaultKind,
        origin: &Origin,
        message: impl Into<String>,
        mend: Option<String>,
    ) -> Fault {
        let span = Span::new(0, origin.piece.text.len());
        self.fault(kind, origin, span, message, mend)
    }

    /// Gives a fault of an origin's text its file and line.
    #[must_use]
    pub fn place(&self, diagnostic: Diagnostic, origin: &Origin) -> Diagnostic {
        match self.sources.get(origin.file) {
            Some(source) => place(&source.name, &source.lines, diagnostic, &origin.piece),
            None => diagnostic,
        }
    }
}
