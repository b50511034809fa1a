//! Several readings of one line: the preferred one and the others that a
//! reader could mean.

use smallvec::SmallVec;

use super::climb::Climb;
use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::maths::{Lexeme, lexemes};
use super::names::Names;
use super::said::said;
use super::span::Span;
use super::styled::plain;
use super::tokens::{TokenSite, tokens};
use super::vocabulary::{Undeclared, Vocabulary};
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::limits::MAX_LINE;
use crate::algebra::symbol::Domain;

/// Readings that are given at most, the preferred one included.
pub const MOST_READINGS: usize = 8;
/// Tries that are made at most to find them.
const MOST_TRIES: usize = 24;
/// Places that are looked at.
pub(super) const MOST_SITES: usize = 16;

/// How a reading differs from the preferred one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ambiguity {
    /// What stands under a slash: `a/2s`.
    Slash,
    /// Whether a fraction of two whole numbers is one number: `1/2 m`.
    Fraction,
    /// What a function without brackets takes: `sqrt 2E/m`.
    Function,
    /// How far an exponent reaches: `e^-λt`.
    Exponent,
    /// Whether `log` is the common or the natural logarithm.
    Logarithm,
    /// Whether `e` is the declared symbol or Euler's number.
    Euler,
    /// How a run of letters is split.
    Letters,
    /// Whether `2E-3` is one number.
    Number,
    /// Whether `+-` is a doubled sign.
    Sign,
}

/// One way to read a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The sides of `a = b = c`; a single one for a bare expression.
    pub chain: Vec<Expr>,
    /// How it differs from the preferred reading; nothing for that one.
    pub differs: Option<Ambiguity>,
}

/// All readings of a line, at most [`MOST_READINGS`].
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// The one by the stated rules.
    pub preferred: Reading,
    /// The others, all different, the likelier first.
    pub others: Vec<Reading>,
}

impl Readings {
    /// The preferred reading and then the others.
    pub fn all(&self) -> impl Iterator<Item = &Reading> {
        std::iter::once(&self.preferred).chain(&self.others)
    }
}

/// A place where the reading can be turned, and which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Site {
    pub ambiguity: Ambiguity,
    /// The byte of the text.
    pub at: usize,
    /// Which of the other ways.
    pub turn: u8,
}

/// The turns that a reading takes.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Flips(SmallVec<[Site; 4]>);

impl Flips {
    fn turn(&self, ambiguity: Ambiguity, at: usize) -> u8 {
        self.0
            .iter()
            .find(|site| site.ambiguity == ambiguity && site.at == at)
            .map_or(0, |site| site.turn)
    }

    pub(super) fn slash(&self, at: usize) -> u8 {
        self.turn(Ambiguity::Slash, at)
    }

    pub(super) fn fraction(&self, at: usize) -> bool {
        self.turn(Ambiguity::Fraction, at) != 0
    }

    pub(super) fn function(&self, at: usize) -> u8 {
        self.turn(Ambiguity::Function, at)
    }

    pub(super) fn exponent(&self, at: usize) -> u8 {
        self.turn(Ambiguity::Exponent, at)
    }

    pub(super) fn logarithm(&self, at: usize) -> bool {
        self.turn(Ambiguity::Logarithm, at) != 0
    }

    pub(super) fn euler(&self, at: usize) -> bool {
        self.turn(Ambiguity::Euler, at) != 0
    }

    pub(super) fn letters(&self, at: usize) -> bool {
        self.turn(Ambiguity::Letters, at) != 0
    }

    pub(super) fn number(&self, at: usize) -> bool {
        self.turn(Ambiguity::Number, at) != 0
    }

    pub(super) fn sign(&self, at: usize) -> bool {
        self.turn(Ambiguity::Sign, at) != 0
    }
}

/// Reads a line of typed maths in every way that it can be meant.
///
/// Letters that are not declared become new positive symbols of the
/// vocabulary or a fault, as `undeclared` says. A line with a fault leaves the
/// vocabulary as it was.
///
/// # Errors
/// A [`Diagnostic`] with a caret if the preferred reading fails, or a limit of
/// `algebra::limits` is passed.
///
/// # Example
///
/// ```
/// use rejig::text::{Ambiguity, Undeclared, Vocabulary, read};
///
/// let mut letters = Vocabulary::new();
/// let readings = read("t = s/2v", &mut letters, Undeclared::Declare)?;
/// assert_eq!(readings.others[0].differs, Some(Ambiguity::Slash));
///
/// let fault = read("t = (s/2v", &mut letters, Undeclared::Refuse).unwrap_err();
/// assert!(fault.render().starts_with("This bracket is never closed."));
/// # Ok::<(), rejig::text::Diagnostic>(())
/// ```
pub fn read(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<Readings, Diagnostic> {
    let text = &*plain(text);
    let mut names = Names::new(vocabulary, undeclared);
    let lexemes = lexemes_of(text, &names)?;
    let flips = Flips::default();
    let (chain, sites) = climb(text, &lexemes, &mut names, &flips)?;
    let preferred = Reading {
        chain,
        differs: None,
    };
    let mut others = Vec::new();
    if !sites.is_empty() {
        for flips in turns(&sites) {
            let Ok((chain, _)) = climb(text, &lexemes, &mut names, &flips) else {
                continue;
            };
            if chain == preferred.chain || others.iter().any(|other: &Reading| other.chain == chain)
            {
                continue;
            }
            others.push(Reading {
                chain,
                differs: flips.0.first().map(|site| site.ambiguity),
            });
            if others.len() + 1 == MOST_READINGS {
                break;
            }
        }
    }
    for name in names.into_fresh() {
        vocabulary.declare(&name, Domain::default());
    }
    Ok(Readings { preferred, others })
}

/// Reads a line in the preferred way only: [`read`] without the others, for a
/// caller that has thousands of lines.
///
/// # Errors
/// As [`read`].
pub fn read_preferred(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<Reading, Diagnostic> {
    read_first(text, vocabulary, undeclared).map(|(reading, _)| reading)
}

/// Reads a line in the preferred way, and tells whether there may be others:
/// where there are none, [`read`] need not be asked.
///
/// # Errors
/// As [`read`].
pub fn read_first(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<(Reading, bool), Diagnostic> {
    let text = &*plain(text);
    let mut names = Names::new(vocabulary, undeclared);
    let lexemes = lexemes_of(text, &names)?;
    let (chain, sites) = climb(text, &lexemes, &mut names, &Flips::default())?;
    for name in names.into_fresh() {
        vocabulary.declare(&name, Domain::default());
    }
    let reading = Reading {
        chain,
        differs: None,
    };
    Ok((reading, !sites.is_empty()))
}

/// The lexemes of a text within the limits that holds anything at all.
fn lexemes_of(text: &str, names: &Names<'_>) -> Result<Vec<Lexeme>, Diagnostic> {
    check_length(text)?;
    let lexemes = lexemes(text);
    if lexemes.is_empty() {
        return Err(Diagnostic::new(
            DiagnosticKind::Empty,
            "There is nothing to read.",
            text,
            Span::default(),
        ));
    }
    Ok(said(text, &lexemes, names)?.unwrap_or(lexemes))
}

fn check_length(text: &str) -> Result<(), Diagnostic> {
    if text.len() <= MAX_LINE {
        return Ok(());
    }
    let Some((cut, _)) = text.char_indices().nth(MAX_LINE) else {
        return Ok(());
    };
    let count = text.chars().count();
    // Only the beginning goes into the message: a megabyte helps nobody.
    let shown = text.char_indices().nth(60).map_or(cut, |(at, _)| at);
    let source = format!("{}…", &text[..shown]);
    Err(Diagnostic::new(
        DiagnosticKind::TooLong,
        format!("This line holds {count} characters; the most that I read is {MAX_LINE}."),
        &source,
        Span::new(shown, source.len()),
    )
    .with_mend("Write it in several shorter lines."))
}

fn climb(
    text: &str,
    lexemes: &[Lexeme],
    names: &mut Names<'_>,
    flips: &Flips,
) -> Result<(Vec<Expr>, SmallVec<[Site; 4]>), Diagnostic> {
    let tokens = tokens(text, lexemes, names, flips)?;
    let mut climb = Climb::new(text, &tokens.row, flips);
    let chain = climb.chain()?;
    let mut sites: SmallVec<[Site; 4]> = climb.sites.into_iter().collect();
    for site in tokens.sites {
        let (ambiguity, at) = match site {
            TokenSite::Letters(at) => (Ambiguity::Letters, at),
            TokenSite::Number(at) => (Ambiguity::Number, at),
            TokenSite::Sign(at) => (Ambiguity::Sign, at),
            TokenSite::Euler(at) => (Ambiguity::Euler, at),
        };
        if sites.len() < MOST_SITES {
            sites.push(Site {
                ambiguity,
                at,
                turn: 1,
            });
        }
    }
    Ok((chain, sites))
}

/// The turns to try: all logarithms (and all `e`) of a line together, each
/// other site alone, all sites of a kind, two sites of different places.
fn turns(sites: &[Site]) -> Vec<Flips> {
    let mut tries: Vec<Flips> = Vec::new();
    let together =
        |ambiguity: Ambiguity| matches!(ambiguity, Ambiguity::Logarithm | Ambiguity::Euler);
    let all_of = |ambiguity: Ambiguity, turn: u8| {
        Flips(
            sites
                .iter()
                .filter(|site| site.ambiguity == ambiguity && site.turn == turn)
                .copied()
                .collect(),
        )
    };
    let push = |tries: &mut Vec<Flips>, flips: Flips| {
        if tries.len() < MOST_TRIES && !flips.0.is_empty() && !tries.contains(&flips) {
            tries.push(flips);
        }
    };
    for site in sites {
        if together(site.ambiguity) {
            push(&mut tries, all_of(site.ambiguity, site.turn));
        } else {
            push(&mut tries, Flips(SmallVec::from_slice(&[*site])));
        }
    }
    for site in sites {
        push(&mut tries, all_of(site.ambiguity, site.turn));
    }
    let single: Vec<Flips> = tries.clone();
    for (index, first) in single.iter().enumerate() {
        for second in &single[index + 1..] {
            let clash = first.0.iter().any(|one| {
                second
                    .0
                    .iter()
                    .any(|two| one.ambiguity == two.ambiguity && one.at == two.at)
            });
            if !clash {
                let mut both = first.clone();
                both.0.extend(second.0.iter().copied());
                push(&mut tries, both);
            }
        }
    }
    tries
}

/// Reads a line that is one expression, in the preferred way.
///
/// # Errors
/// As [`read`], and if there is an equals sign.
pub fn read_expression(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<Expr, Diagnostic> {
    let mut chain = read(text, vocabulary, undeclared)?.preferred.chain;
    match (chain.pop(), chain.is_empty()) {
        (Some(side), true) => Ok(side),
        _ => Err(wrong_sides(
            text,
            "An expression without an equals sign was expected here.",
        )),
    }
}

/// Reads a line that is one equation of two sides, in the preferred way.
///
/// # Errors
/// As [`read`], and if there is no equals sign or more than one.
pub fn read_equation(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<Equation, Diagnostic> {
    let chain = read(text, vocabulary, undeclared)?.preferred.chain;
    match <[Expr; 2]>::try_from(chain) {
        Ok([left, right]) => Ok(Equation::new(left, right)),
        Err(chain) if chain.len() == 1 => Err(wrong_sides(
            text,
            "An equation was expected here: two sides with an equals sign between.",
        )),
        Err(_) => Err(wrong_sides(
            text,
            "An equation with one equals sign was expected here.",
        )),
    }
}

fn wrong_sides(text: &str, message: &str) -> Diagnostic {
    let trimmed = text.trim();
    let start = text.find(trimmed).unwrap_or(0);
    Diagnostic::new(
        DiagnosticKind::WrongNumberOfSides,
        message,
        text,
        Span::new(start, start + trimmed.len()),
    )
}
