//! One entry of a sheet: its keyword, and what the grammar makes of the rest.
//! Nothing of pest leaves this file.

use pest::Parser;
use pest::iterators::Pair;

use super::sheet::{
    ConnectionEntry, EntryKind, MarkLine, Piece, ProofEntry, WordingEntry, WrittenNumber,
};
use super::span::Span;

mod grammar {
    // The derived enum of rules can't carry documentation.
    #![allow(missing_docs)]

    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/sheet.pest"]
    pub struct SheetGrammar;
}

use grammar::{Rule, SheetGrammar};

/// What a line may begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Keyword {
    Topic,
    Quantity,
    Formula,
    Proof,
    Notation,
    Constant,
    Define,
    Include,
    When,
    Given,
    Let,
    Show,
    Route,
    Mark,
    Needs,
    Not,
    Or,
    Read,
    Synonym,
    Connect,
}

pub(super) const KEYWORDS: [(&str, Keyword); 20] = [
    ("topic", Keyword::Topic),
    ("quantity", Keyword::Quantity),
    ("formula", Keyword::Formula),
    ("proof", Keyword::Proof),
    ("notation", Keyword::Notation),
    ("constant", Keyword::Constant),
    ("define", Keyword::Define),
    ("include", Keyword::Include),
    ("when", Keyword::When),
    ("given", Keyword::Given),
    ("let", Keyword::Let),
    ("show", Keyword::Show),
    ("route", Keyword::Route),
    ("mark", Keyword::Mark),
    ("needs", Keyword::Needs),
    ("not", Keyword::Not),
    ("or", Keyword::Or),
    ("read", Keyword::Read),
    ("synonym", Keyword::Synonym),
    ("connect", Keyword::Connect),
];

impl Keyword {
    pub(super) fn word(self) -> &'static str {
        KEYWORDS
            .iter()
            .find(|(_, keyword)| *keyword == self)
            .map_or("", |(word, _)| word)
    }

    /// What a line with this keyword looks like.
    pub(super) fn usage(self) -> &'static str {
        match self {
            Keyword::Topic => "topic waves: Waves and sound",
            Keyword::Quantity => "quantity v: speed, m s^-1",
            Keyword::Formula => "formula wave-speed: v = f λ",
            Keyword::Proof => "proof time-free: Show that the time can be eliminated.",
            Keyword::Notation => "notation other-letters: s -> x, E_k -> T",
            Keyword::Constant => "constant g = 9.81 m s^-2: acceleration of free fall",
            Keyword::Define => "define work: force times distance moved along it ; W = F s",
            Keyword::Include => "include \"waves.sheet\"",
            Keyword::When => "when the acceleration is constant",
            Keyword::Given => "given v = u + a t",
            Keyword::Let => "let k = 2 a",
            Keyword::Show => "show v^2 = u^2 + 2 a s",
            Keyword::Route => "route t = (v - u)/a ; 2 a s = v^2 - u^2",
            Keyword::Mark => "mark M1 when a line has no t",
            Keyword::Needs => "needs perpendicular (at right angles, normal)",
            Keyword::Not => "not from electrical, into other",
            Keyword::Or => "or P = F v",
            Keyword::Read => "read change of velocity as v - u",
            Keyword::Connect => {
                "connect charge-on-a-circle: The field's force keeps it on a circle."
            }
            Keyword::Synonym => "synonym potential difference: voltage, p.d.",
        }
    }

    /// Whether it can only stand under another entry.
    pub(super) fn is_detail(self) -> bool {
        matches!(
            self,
            Keyword::When
                | Keyword::Given
                | Keyword::Let
                | Keyword::Show
                | Keyword::Route
                | Keyword::Mark
                | Keyword::Needs
                | Keyword::Not
                | Keyword::Or
                | Keyword::Read
        )
    }
}

/// The keyword that a line begins with and the byte behind it (and behind a
/// colon right after it).
pub(super) fn keyword_of(text: &str) -> Option<(Keyword, usize)> {
    let end = text
        .find(|next: char| !next.is_ascii_alphabetic())
        .unwrap_or(text.len());
    let (_, keyword) = KEYWORDS
        .iter()
        .find(|(word, _)| text[..end].eq_ignore_ascii_case(word))?;
    let rest = &text[end..];
    let trimmed = rest.trim_start();
    if !rest.is_empty() && rest.len() == trimmed.len() && !trimmed.starts_with([':', '"', '“']) {
        // `given_1 = 3`: a symbol, not a keyword.
        return None;
    }
    let behind = trimmed
        .strip_prefix([':', ':'])
        .map_or(trimmed, str::trim_start);
    Some((*keyword, text.len() - behind.len()))
}

/// Reads what follows a keyword that begins an entry.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_entry(keyword: Keyword, piece: &Piece) -> Result<EntryKind, usize> {
    let rule = match keyword {
        Keyword::Topic => Rule::topic,
        Keyword::Quantity => Rule::quantity,
        Keyword::Proof | Keyword::Connect => Rule::proof,
        Keyword::Notation => Rule::notation,
        Keyword::Constant => Rule::constant,
        Keyword::Define => Rule::define,
        Keyword::Include => Rule::include,
        Keyword::Synonym => Rule::synonym,
        _ => return read_formula(piece),
    };
    Ok(build(keyword, &parse(rule, piece)?))
}

/// `NAME: MATHS when WORDS`.
fn read_formula(piece: &Piece) -> Result<EntryKind, usize> {
    let Some(Span { start, end }) = find_when(&piece.text) else {
        return Ok(build(Keyword::Formula, &parse(Rule::formula, piece)?));
    };
    let before = piece.part(Span::new(0, start));
    let words = piece.part(Span::new(end, piece.text.len()));
    let mut kind = build(Keyword::Formula, &parse(Rule::formula, &before)?);
    if let EntryKind::Formula { condition, .. } = &mut kind {
        *condition = Some(words);
    }
    Ok(kind)
}

/// The word `when` between spaces or behind a comma, with what parts it from
/// the maths before and the words after.
fn find_when(text: &str) -> Option<Span> {
    let parting = |next: char| next == ',' || next.is_whitespace();
    for (at, _) in text.match_indices(['w', 'W']) {
        let Some(word) = text.get(at..at + 4) else {
            continue;
        };
        let (before, behind) = (&text[..at], &text[at + 4..]);
        let after = behind.trim_start_matches(|next: char| next == ':' || next.is_whitespace());
        if word.eq_ignore_ascii_case("when")
            && before.ends_with(parting)
            && after.len() < behind.len()
            && !after.is_empty()
        {
            let start = before.trim_end_matches(parting).len();
            return (start > 0).then(|| Span::new(start, text.len() - after.len()));
        }
    }
    None
}

/// Reads what follows `mark`.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_mark(piece: &Piece) -> Result<MarkLine, usize> {
    let parts = parse(Rule::mark, piece)?;
    Ok(MarkLine {
        code: parts.needed(Rule::mark_code),
        condition: parts.needed(Rule::rest),
    })
}

/// Reads what follows `given` under `connect`: maths, and the formula that it
/// is.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_part(piece: &Piece) -> Result<(Piece, Piece), usize> {
    let parts = parse(Rule::part, piece)?;
    Ok((parts.needed(Rule::part_maths), parts.needed(Rule::rest)))
}

/// Reads what follows `needs`: the words, then others that say the same.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_needs(piece: &Piece) -> Result<Vec<Piece>, usize> {
    Ok(parse(Rule::needs, piece)?.all(Rule::phrase))
}

/// Reads what follows `not`: words that make another thing of it.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_not(piece: &Piece) -> Result<Vec<Piece>, usize> {
    Ok(parse(Rule::never, piece)?.all(Rule::phrase))
}

/// Reads what follows `read`: phrases, and the maths that they stand for.
///
/// # Errors
/// The byte at which it can't be read.
pub(super) fn read_said(piece: &Piece) -> Result<(Vec<Piece>, Piece), usize> {
    let parts = parse(Rule::read_as, piece)?;
    Ok((parts.all(Rule::said), parts.needed(Rule::rest)))
}

fn part_of(piece: &Piece, pair: &Pair<'_, Rule>) -> Piece {
    let span = pair.as_span();
    piece.part(Span::new(span.start(), span.end()))
}

/// The pairs inside a rule, or the byte at which it can't be read.
fn parse(rule: Rule, piece: &Piece) -> Result<Parts<'_>, usize> {
    match SheetGrammar::parse(rule, &piece.text) {
        Ok(pairs) => Ok(Parts {
            piece,
            pairs: pairs.flat_map(Pair::into_inner).collect(),
        }),
        Err(error) => Err(match error.location {
            pest::error::InputLocation::Pos(at) => at,
            pest::error::InputLocation::Span((at, _)) => at,
        }),
    }
}

/// What a rule matched, part by part.
struct Parts<'a> {
    piece: &'a Piece,
    pairs: Vec<Pair<'a, Rule>>,
}

impl Parts<'_> {
    fn first(&self, rule: Rule) -> Option<Piece> {
        self.pairs
            .iter()
            .find(|pair| pair.as_rule() == rule)
            .map(|pair| part_of(self.piece, pair))
    }

    /// A part that the rule can't match without.
    fn needed(&self, rule: Rule) -> Piece {
        self.first(rule)
            .unwrap_or_else(|| self.piece.part(Span::new(0, 0)))
    }

    fn all(&self, rule: Rule) -> Vec<Piece> {
        self.pairs
            .iter()
            .filter(|pair| pair.as_rule() == rule)
            .map(|pair| part_of(self.piece, pair))
            .collect()
    }

    fn inner(&self, rule: Rule) -> Vec<Parts<'_>> {
        self.pairs
            .iter()
            .filter(|pair| pair.as_rule() == rule)
            .map(|pair| Parts {
                piece: self.piece,
                pairs: pair.clone().into_inner().collect(),
            })
            .collect()
    }

    fn aliases(&self) -> Vec<Piece> {
        self.inner(Rule::aliases)
            .iter()
            .flat_map(|aliases| aliases.all(Rule::symbol))
            .collect()
    }

    fn number(&self) -> WrittenNumber {
        let mut digits = String::new();
        let mut exponent = 0;
        let mut times_pi = false;
        if let Some(value) = self.inner(Rule::value).first() {
            for pair in &value.pairs {
                match pair.as_rule() {
                    Rule::sign if pair.as_str() != "+" => digits.push('-'),
                    Rule::digits => {
                        digits.extend(pair.as_str().chars().filter(char::is_ascii_digit))
                    }
                    Rule::point => digits.push('.'),
                    Rule::pi => times_pi = true,
                    Rule::exponent | Rule::times_ten => {
                        let power = pair.clone().into_inner().next();
                        exponent = power.map_or(0, |power| power_of_ten(power.as_str()));
                    }
                    _ => {}
                }
            }
        }
        WrittenNumber {
            text: self.needed(Rule::value),
            digits,
            exponent,
            times_pi,
        }
    }
}

/// `-34`, `−34` or `⁻³⁴`.
fn power_of_ten(text: &str) -> i64 {
    let plain: String = text
        .chars()
        .filter_map(|next| {
            Some(match next {
                '−' | '⁻' => '-',
                '+' | '⁺' => return None,
                '⁰' => '0',
                '¹' => '1',
                '²' => '2',
                '³' => '3',
                '⁴'..='⁹' => char::from_digit(u32::from(next) - 0x2070, 10)?,
                other => other,
            })
        })
        .collect();
    plain.parse().unwrap_or(0)
}

fn build(keyword: Keyword, parts: &Parts<'_>) -> EntryKind {
    match keyword {
        Keyword::Topic => EntryKind::Topic {
            key: parts.needed(Rule::topic_key),
            title: parts.first(Rule::rest),
        },
        Keyword::Quantity => EntryKind::Quantity {
            symbol: parts.needed(Rule::symbol),
            aliases: parts.aliases(),
            details: parts.all(Rule::detail),
        },
        Keyword::Proof => EntryKind::Proof(Box::new(ProofEntry {
            name: parts.needed(Rule::term),
            statement: parts.first(Rule::rest),
            condition: None,
            given: Vec::new(),
            helpers: Vec::new(),
            goals: Vec::new(),
            route: Vec::new(),
            marks: Vec::new(),
        })),
        Keyword::Connect => EntryKind::Connection(Box::new(ConnectionEntry {
            name: parts.needed(Rule::term),
            sentence: parts.first(Rule::rest),
            condition: None,
            parts: Vec::new(),
            goals: Vec::new(),
        })),
        Keyword::Notation => EntryKind::Notation {
            name: parts.first(Rule::notation_name),
            changes: parts
                .inner(Rule::change)
                .iter()
                .filter_map(|change| {
                    let mut symbols = change.all(Rule::symbol).into_iter();
                    Some((symbols.next()?, symbols.next()?))
                })
                .collect(),
        },
        Keyword::Constant => EntryKind::Constant {
            symbol: parts.needed(Rule::symbol),
            aliases: parts.aliases(),
            value: parts.number(),
            unit: parts.first(Rule::unit),
            name: parts.first(Rule::rest),
        },
        Keyword::Define => EntryKind::Definition {
            term: parts.needed(Rule::term),
            sentence: parts.needed(Rule::sentence),
            equation: parts.first(Rule::rest),
            details: WordingEntry::default(),
        },
        Keyword::Synonym => EntryKind::Synonym {
            name: parts.needed(Rule::term),
            words: parts.all(Rule::phrase),
        },
        Keyword::Include => EntryKind::Include {
            path: parts
                .first(Rule::quoted)
                .unwrap_or_else(|| parts.needed(Rule::rest)),
        },
        _ => EntryKind::Formula {
            name: parts.first(Rule::formula_name),
            maths: parts.needed(Rule::rest),
            condition: None,
        },
    }
}
