//! What a judgement is made of: shared types of the room.

use crate::algebra::limits::Exceeded;
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

use super::step::Condition;

/// A value to show: exact where it is rational, else the nearest double.
#[derive(Debug, Clone, PartialEq)]
pub enum Shown {
    /// Exactly this.
    Exact(Number),
    /// About this, to the precision of a double.
    Near(f64),
}

impl Shown {
    /// The nearest double.
    #[must_use]
    pub fn to_f64(&self) -> f64 {
        match self {
            Shown::Exact(number) => number.to_f64(),
            Shown::Near(value) => *value,
        }
    }
}

/// Values of the quantities at which two things differ for certain.
#[derive(Debug, Clone, PartialEq)]
pub struct Counterexample {
    /// The quantities with their values; all admissible, and together they
    /// satisfy the formula.
    pub values: Vec<(Symbol, Shown)>,
    /// What the formula gives (for a line: the left side of the equation that
    /// fails).
    pub expected: Shown,
    /// What was answered gives (for a line: the right side); nothing where it
    /// is undefined.
    pub got: Option<Shown>,
}

impl Counterexample {
    /// How far its numbers are from what one likes to type into a calculator:
    /// the decades below a thousandth and from a hundred thousand up.
    #[must_use]
    pub fn awkwardness(&self) -> u32 {
        let values = self.values.iter().map(|(_, value)| value);
        values
            .chain([&self.expected])
            .chain(&self.got)
            .map(|value| {
                let size = value.to_f64().abs();
                if size == 0.0 || (1e-3..1e5).contains(&size) || !size.is_finite() {
                    return 0;
                }
                // A double has no more than 324 decades below one.
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let decades = size.log10().abs().ceil() as u32;
                decades
            })
            .sum()
    }
}

/// What a verdict rests on.
#[derive(Debug, Clone, PartialEq)]
pub enum Evidence {
    /// Exact algebra.
    Proof,
    /// Numbers that anyone can try.
    Counterexample(Box<Counterexample>),
    /// Agreement of certified numbers, not proof.
    Numerical {
        /// At how many points.
        points: usize,
        /// To how many decimal digits at least.
        digits: u32,
    },
}

/// Why something could not be decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undecided {
    /// A limit was reached.
    Limit(Exceeded),
    /// No admissible values were found at which to compare.
    NoPoints,
    /// The formula could not be solved for any quantity.
    NoCarrier,
    /// Neither proof nor difference was found.
    Open,
}

/// Something worth saying beside a verdict.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// A slash has two readings, and not the usual one is right.
    AmbiguousSlash,
    /// Another typing has two readings, and not the usual one is right.
    AmbiguousReading,
    /// One of two admissible roots.
    OneRootOnly,
    /// One of the two signs gives a value outside the subject's domain.
    RootOutsideDomain,
    /// A constant was replaced by a rounded number.
    RoundedConstant,
    /// The subject is not alone on one side.
    NotIsolated,
    /// A letter that the formula does not have.
    WrongLetter,
    /// Another quantity was made the subject.
    WrongSubject,
    /// Another formula's answer.
    AnotherFormula,
    /// The dimensions of the two sides differ.
    Dimensions,
    /// Undefined at some admissible values where the formula is defined.
    UndefinedSomewhere,
    /// Right wherever this holds.
    Needs(Condition),
    /// A wrong answer that is right wherever these are positive.
    RightWherePositive(Vec<Symbol>),
}

impl Note {
    /// The key that the machine interface uses.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Note::AmbiguousSlash => "ambiguous-slash",
            Note::AmbiguousReading => "ambiguous-reading",
            Note::OneRootOnly => "one-root-only",
            Note::RootOutsideDomain => "root-outside-domain",
            Note::RoundedConstant => "rounded-constant",
            Note::NotIsolated => "not-isolated",
            Note::WrongLetter => "wrong-letter",
            Note::WrongSubject => "wrong-subject",
            Note::AnotherFormula => "another-formula",
            Note::Dimensions => "dimensions",
            Note::UndefinedSomewhere => "undefined-somewhere",
            Note::Needs(_) => "condition",
            Note::RightWherePositive(_) => "right-where-positive",
        }
    }
}

/// A verdict on an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Equal on the domain.
    Right,
    /// Not equal.
    Wrong,
    /// Not known.
    Undecided(Undecided),
}

/// A verdict with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// The verdict.
    pub verdict: Verdict,
    /// What it rests on; nothing for an undecided one, and for an answer that
    /// is true but does not have the subject alone.
    pub evidence: Option<Evidence>,
    /// What else is worth saying.
    pub notes: Vec<Note>,
}

impl Judgement {
    pub(super) fn new(verdict: Verdict, evidence: Option<Evidence>) -> Self {
        Judgement {
            verdict,
            evidence,
            notes: Vec::new(),
        }
    }

    pub(super) fn undecided(reason: Undecided) -> Self {
        Self::new(Verdict::Undecided(reason), None)
    }

    /// Whether the answer is right.
    #[must_use]
    pub fn is_right(&self) -> bool {
        self.verdict == Verdict::Right
    }

    /// Two verdicts of which neither is wrong as one: the weaker one, with
    /// the notes of both.
    pub(super) fn weaker(self, other: Judgement) -> Self {
        let rank = |own: &Judgement| match (&own.verdict, &own.evidence) {
            (Verdict::Right, Some(Evidence::Proof)) => 0,
            (Verdict::Right, _) => 1,
            _ => 2,
        };
        let (mut kept, notes) = if rank(&self) >= rank(&other) {
            (self, other.notes)
        } else {
            (other, self.notes)
        };
        for note in notes {
            kept = kept.with(note);
        }
        kept
    }

    /// The same with a note more.
    #[must_use]
    pub fn with(mut self, note: Note) -> Self {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
        self
    }
}
