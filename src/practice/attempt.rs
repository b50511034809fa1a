//! One attempt at an item: what was asked and what came of it.

use super::day::Day;

/// What kind of item it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A formula and the symbol to make its subject.
    Rearrangement,
    /// A result to be shown.
    Proof,
    /// A term to be defined.
    Definition,
    /// A path from one quantity to another.
    Connection,
    /// By which factor a quantity changes when others do.
    Proportion,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Kind; 5] = [
        Kind::Rearrangement,
        Kind::Proof,
        Kind::Definition,
        Kind::Connection,
        Kind::Proportion,
    ];

    /// The word for it, in the journal and on the command line.
    #[must_use]
    pub fn keyword(self) -> &'static str {
        match self {
            Kind::Rearrangement => "rearrangement",
            Kind::Proof => "proof",
            Kind::Definition => "definition",
            Kind::Connection => "connection",
            Kind::Proportion => "proportion",
        }
    }

    /// The kind of a word.
    #[must_use]
    pub fn from_keyword(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.keyword() == word)
    }

    /// In how many letterings an item must have been right to be secure. A
    /// definition is words, which have no other letters.
    #[must_use]
    pub fn letterings_needed(self) -> usize {
        match self {
            Kind::Rearrangement | Kind::Proof | Kind::Proportion => 2,
            Kind::Definition | Kind::Connection => 1,
        }
    }
}

/// The letters in which an item was asked.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Lettering {
    /// Those of the sheet.
    Sheet,
    /// Those of a `notation` line of the sheet.
    Notation(String),
    /// Letters that the topic does not use. Counted as one lettering, whatever
    /// the letters were.
    Unfamiliar,
}

impl Lettering {
    /// As the journal has it.
    #[must_use]
    pub fn keyword(&self) -> String {
        match self {
            Lettering::Sheet => "sheet".to_owned(),
            Lettering::Notation(name) => format!("notation:{name}"),
            Lettering::Unfamiliar => "unfamiliar".to_owned(),
        }
    }

    /// The lettering of a journal's word.
    #[must_use]
    pub fn from_keyword(word: &str) -> Option<Self> {
        match word {
            "sheet" => Some(Lettering::Sheet),
            "unfamiliar" => Some(Lettering::Unfamiliar),
            other => {
                let name = other.strip_prefix("notation:")?;
                Some(Lettering::Notation(name.to_owned()))
            }
        }
    }
}

/// What tells an attempt from all others, on every machine: a number drawn for
/// the sitting, and a count within it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct AttemptId {
    /// The sitting.
    pub sitting: u64,
    /// The record within it.
    pub number: u32,
}

impl AttemptId {
    /// As the journal has it: sixteen hexadecimal digits, a hyphen, a number.
    #[must_use]
    pub fn keyword(self) -> String {
        format!("{:016x}-{}", self.sitting, self.number)
    }

    /// The id of a journal's word.
    #[must_use]
    pub fn from_keyword(word: &str) -> Option<Self> {
        let (sitting, number) = word.split_once('-')?;
        if sitting.len() != 16 || !number.bytes().all(|digit| digit.is_ascii_digit()) {
            return None;
        }
        Some(AttemptId {
            sitting: u64::from_str_radix(sitting, 16).ok()?,
            number: number.parse().ok()?,
        })
    }
}

/// One attempt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attempt {
    /// What tells it from all others.
    pub id: AttemptId,
    /// The day that it counts for.
    pub day: Day,
    /// The moment, in seconds since 1970: attempts of a day are ordered by it.
    pub moment: i64,
    /// The stable key of the item, such as `motion/velocity-time/a`.
    pub item: String,
    /// What kind of item it is.
    pub kind: Kind,
    /// The letters in which it was asked.
    pub lettering: Lettering,
    /// Whether it was right in the end.
    pub right: bool,
    /// Wrong answers before that.
    pub wrong: u32,
    /// Hints that were seen.
    pub hints: u32,
    /// Whether the worked solution, or a line of it, was shown.
    pub shown: bool,
    /// How much of a worked example was shown beforehand: 0 for none of it,
    /// and see [`super::fading`].
    pub support: u32,
    /// The slip of the first wrong answer, if it has a name.
    pub slip: Option<String>,
    /// Marks that the item is worth.
    pub marks: u32,
    /// Marks that were earned.
    pub awarded: u32,
}

impl Attempt {
    /// Right at the first try and without help. Anything else is a miss.
    #[must_use]
    pub fn first_try(&self) -> bool {
        self.support == 0 && self.is_success()
    }

    /// Right at the first try and without help beyond what the question
    /// itself showed.
    #[must_use]
    pub fn is_success(&self) -> bool {
        self.right && self.wrong == 0 && self.hints == 0 && !self.shown
    }

    /// The order in which attempts count: by day, then by moment.
    #[must_use]
    pub fn order(&self) -> (Day, i64, AttemptId) {
        (self.day, self.moment, self.id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_back() {
        for kind in Kind::ALL {
            assert_eq!(Kind::from_keyword(kind.keyword()), Some(kind));
        }
        assert_eq!(Kind::from_keyword("riddle"), None);
        for lettering in [
            Lettering::Sheet,
            Lettering::Unfamiliar,
            Lettering::Notation("x-for-displacement".to_owned()),
        ] {
            assert_eq!(
                Lettering::from_keyword(&lettering.keyword()),
                Some(lettering)
            );
        }
        assert_eq!(Lettering::from_keyword("other"), None);
        let id = AttemptId {
            sitting: 0x1f,
            number: 7,
        };
        assert_eq!(id.keyword(), "000000000000001f-7");
        assert_eq!(AttemptId::from_keyword(&id.keyword()), Some(id));
        for word in ["", "1f-7", "000000000000001f-", "000000000000001f-+7", "x"] {
            assert_eq!(AttemptId::from_keyword(word), None, "{word}");
        }
    }
}
