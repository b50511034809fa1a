//! From pieces of a sentence to tokens with a meaning: the longest phrase of
//! the lexicon first, then the operation that the grammar saw.

use super::frames::framed;
use super::lexicon::{Concept, Lexicon, Meaning};
use super::{Class, Piece, plain_words};
use crate::algebra::expr::{Constant, Expr};
use crate::algebra::number::Number;
use crate::text::Span;

/// A word or a few with their meaning.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    Operation(Class),
    Quantity(Concept),
    Expression(Expr),
    /// Letters of the definition's own quantities.
    Letters(Expr),
    UnitOf(Expr),
    Counted(Expr),
    Number(Expr),
    /// Says which quantity is meant.
    Mark(usize),
    /// Words that describe.
    Clause,
    /// Words that describe, and must be said.
    Need,
}

/// A token and where it stands.
pub(super) type Placed = (Token, Span);

/// Gives each stretch of pieces its meaning: the longest phrase of the
/// lexicon first, then the operation that the grammar saw.
pub(super) fn recognise(
    text: &str,
    pieces: &[Piece],
    lexicon: &Lexicon,
) -> (Vec<Placed>, Vec<usize>, Vec<Span>) {
    let pieces = &framed(text, pieces, lexicon);
    // The words of all pieces in a row, and which piece each belongs to.
    let mut words = Vec::new();
    let mut owner = Vec::new();
    let mut first = vec![0; pieces.len() + 1];
    for (number, piece) in pieces.iter().enumerate() {
        first[number] = words.len();
        for word in plain_words(piece.span.of(text)) {
            words.push(word);
            owner.push(number);
        }
    }
    first[pieces.len()] = words.len();
    let mut tokens = Vec::new();
    let mut met = Vec::new();
    let mut unknown = Vec::new();
    let mut counts = false;
    let mut number = 0;
    while number < pieces.len() {
        let piece = pieces[number];
        // "One that obeys ...": a thing, not a number.
        let one = number == 0 && piece.span.of(text).eq_ignore_ascii_case("one");
        let which = ["that", "which", "where", "whose", "with", "for", "in"];
        if one
            && pieces
                .get(1)
                .is_some_and(|next| which.contains(&next.span.of(text)))
        {
            number += 1;
            continue;
        }
        let start = first[number];
        // No name begins with an operation: "times period" is no period.
        let operates = matches!(
            piece.class,
            Class::Times | Class::Divided | Class::Per | Class::Plus | Class::Minus
        );
        let found = if operates {
            // "As a percentage of" may be a word that is needed, too.
            for word in &words[start..first[number + 1]] {
                if let Some(Meaning::Need(need)) = lexicon.meaning(word)
                    && !met.contains(need)
                {
                    met.push(*need);
                }
            }
            None
        } else {
            lexicon.longest_at(&words[start..])
        };
        let found = found.and_then(|found| {
            let end = start + found.1;
            // A phrase ends where a piece ends.
            let last = owner[end - 1];
            // "Potential difference between": the preposition is let go.
            let rest = &words[end..first[last + 1]];
            let split = matches!(pieces[last].class, Class::Difference | Class::Change);
            let ends = rest.is_empty() || (split && lexicon.says_nothing(rest));
            let whole = ends && owner[start] == number;
            // An operation is only overruled by a phrase that names
            // something and is longer than it.
            let plain = piece.class == Class::Word;
            let outweighs = plain || (!matches!(found.0, Meaning::Filler(_)) && last > number);
            (whole && outweighs).then_some((found.0, last, end))
        });
        if let Some((meaning, last, end)) = found {
            if let Some(need) = lexicon.also_meets(&words[start..end])
                && !met.contains(&need)
            {
                met.push(need);
            }
            let span = piece.span.to(pieces[last].span);
            counts &= matches!(meaning, Meaning::Unit(_));
            counts |= *meaning == Meaning::Count;
            match meaning {
                Meaning::Quantity(concept) => tokens.push((Token::Quantity(*concept), span)),
                Meaning::Expression(value) => tokens.push((Token::Expression(value.clone()), span)),
                Meaning::Unit(value) => {
                    // "Joules per coulomb", "amps times seconds": a unit in
                    // the plural, where a quantity is looked for.
                    let plural = piece.span.of(text).ends_with(['s', 'S'])
                        && tokens.last().is_none_or(|(token, _)| {
                            matches!(
                                token,
                                Token::Clause
                                    | Token::Operation(
                                        Class::Times
                                            | Class::Divided
                                            | Class::Product
                                            | Class::Ratio
                                    )
                            )
                        })
                        && !tokens.iter().any(|(token, _)| {
                            matches!(token, Token::Quantity(_) | Token::Expression(_))
                        });
                    let counted = std::mem::take(&mut counts) || plural;
                    tokens.push(if counted {
                        (Token::Counted(value.clone()), span)
                    } else {
                        (Token::UnitOf(value.clone()), span)
                    });
                }
                Meaning::Count => {}
                Meaning::Mark(row) => tokens.push((Token::Mark(*row), span)),
                Meaning::Doubt => unknown.push(span),
                Meaning::Kind => {
                    // "Moving charge" is a charge, "moving force" is nothing
                    // that is known.
                    if let Some((Meaning::Quantity(_) | Meaning::Expression(_), _)) =
                        lexicon.longest_at(&words[first[last + 1]..])
                    {
                        unknown.push(span);
                    }
                }
                Meaning::Alters => {
                    let next = lexicon.longest_at(&words[first[last + 1]..]);
                    let nothing_yet = !tokens.iter().any(|(token, _)| {
                        matches!(token, Token::Quantity(_) | Token::Expression(_))
                    });
                    match next {
                        // "Stretched length", "maximum rate of change".
                        Some((Meaning::Quantity(_) | Meaning::Expression(_), _)) => {
                            unknown.push(span);
                        }
                        _ if nothing_yet => unknown.push(span),
                        _ => tokens.push((Token::Clause, span)),
                    }
                }
                Meaning::Need(need) => {
                    if !met.contains(need) {
                        met.push(*need);
                    }
                    tokens.push((Token::Need, span));
                }
                Meaning::Filler(true) => tokens.push((Token::Clause, span)),
                Meaning::Filler(false) => {}
            }
            number = last + 1;
            continue;
        }
        let here = &words[start..first[number + 1]];
        if piece.class == Class::Word
            && (here.is_empty()
                || piece.span.of(text).chars().count() == 1
                || lexicon.meaning(&here.join(" ")).is_none())
            && let Some(value) = letter_of(text, pieces, number, lexicon)
        {
            // "mc squared" squares the last letter only.
            let typed = piece.span.of(text);
            let powered = pieces
                .get(number + 1)
                .is_some_and(|next| matches!(next.class, Class::Squared | Class::Cubed));
            let last = typed.char_indices().next_back().map_or(0, |(at, _)| at);
            let apart = match (
                lexicon.lettered(&typed[..last]),
                lexicon.lettered(&typed[last..]),
            ) {
                (Some(first), Some(last)) if powered => Some((first, last)),
                _ => None,
            };
            if let Some((first, last)) = apart {
                tokens.push((Token::Letters(first), piece.span));
                tokens.push((Token::Operation(Class::Times), piece.span));
                tokens.push((Token::Letters(last), piece.span));
            } else {
                tokens.push((Token::Letters(value), piece.span));
            }
            number += 1;
            continue;
        }
        match piece.class {
            Class::Word if first[number + 1] == start => {}
            Class::Word | Class::Unknown => unknown.push(piece.span),
            // "On one plate", "two points": a description, not a factor.
            Class::Number
                if pieces.get(number + 1).is_some_and(|next| {
                    next.class == Class::Word
                        && next.span.of(text) != "%"
                        && matches!(
                            lexicon.longest_at(&words[first[number + 1]..]),
                            Some((Meaning::Filler(_) | Meaning::Need(_) | Meaning::Kind, _))
                        )
                }) =>
            {
                tokens.push((Token::Clause, piece.span));
            }
            Class::Number => match number_of(piece.span.of(text)) {
                Some(value) => tokens.push((Token::Number(value), piece.span)),
                None => unknown.push(piece.span),
            },
            Class::Is => tokens.push((Token::Clause, piece.span)),
            class => tokens.push((Token::Operation(class), piece.span)),
        }
        if piece.class == Class::Is {
            tokens.pop();
            tokens.push((Token::Operation(Class::Is), piece.span));
        }
        number += 1;
    }
    (tokens, met, unknown)
}

/// What a piece stands for as a letter. `A` and `I` are words where a
/// sentence begins, unless an operation follows.
fn letter_of(text: &str, pieces: &[Piece], number: usize, lexicon: &Lexicon) -> Option<Expr> {
    let typed = pieces[number].span.of(text);
    let operation = |at: usize| {
        pieces.get(at).is_some_and(|next| {
            matches!(
                next.class,
                Class::Times
                    | Class::Divided
                    | Class::Per
                    | Class::Is
                    | Class::Squared
                    | Class::Plus
                    | Class::Minus
            )
        })
    };
    let beside = operation(number + 1) || (number > 0 && operation(number - 1));
    let opens = number == 0 || pieces[number - 1].class == Class::Is;
    let word = matches!(typed, "a" | "i") || (matches!(typed, "A" | "I") && !beside && opens);
    if word {
        return None;
    }
    lexicon.lettered(typed)
}

fn number_of(text: &str) -> Option<Expr> {
    Some(match text.to_lowercase().as_str() {
        "one" | "each" | "every" => Expr::integer(1),
        hundred if hundred.ends_with("hundred") => Expr::integer(100),
        "two" => Expr::integer(2),
        "three" => Expr::integer(3),
        "four" => Expr::integer(4),
        "pi" | "π" => Expr::Constant(Constant::Pi),
        digits => match digits.split_once('.') {
            None => Expr::integer(digits.parse().ok()?),
            Some((whole, part)) if part.len() < 9 => {
                let scale = 10_i64.checked_pow(u32::try_from(part.len()).ok()?)?;
                let value: i64 = format!("{whole}{part}").parse().ok()?;
                Expr::Number(Number::new(value, scale))
            }
            Some(_) => return None,
        },
    })
}

/// Leaves out "capacitance is defined as" and the like.
pub(super) fn without_opener(tokens: Vec<Placed>, lexicon: &Lexicon) -> Vec<Placed> {
    let mut tokens = tokens;
    let subject = lexicon.subject.and_then(|subject| lexicon.value(subject));
    let names_subject = |token: &Token| match token {
        Token::Quantity(concept) => {
            Some(*concept) == lexicon.subject || lexicon.value(*concept) == subject
        }
        Token::Expression(value) | Token::Letters(value) => Some(value) == subject,
        _ => false,
    };
    let names = |token: &Token| {
        matches!(
            token,
            Token::Quantity(_) | Token::Expression(_) | Token::Letters(_)
        )
    };
    // "Simple harmonic motion is motion whose acceleration is ...": twice.
    while let Some(is) = tokens
        .iter()
        .position(|(token, _)| *token == Token::Operation(Class::Is))
    {
        let before = &tokens[..is];
        let opener = before.iter().all(|(token, _)| {
            names_subject(token)
                || matches!(
                    token,
                    Token::Clause
                        | Token::Need
                        | Token::Mark(_)
                        | Token::Operation(Class::Comma | Class::To)
                )
        });
        // "Charge on a capacitor is ..." opens with a thing in passing.
        let subject_first = before
            .iter()
            .find(|(token, _)| names(token))
            .is_some_and(|(token, _)| names_subject(token));
        // "Twice the power is ...": what follows is no definition of it.
        let operates = before.iter().any(|(token, _)| match token {
            Token::Operation(class) => !matches!(
                class,
                Class::And | Class::Comma | Class::To | Class::Or | Class::Unit
            ),
            _ => false,
        });
        if operates || (!opener && !subject_first) {
            break;
        }
        tokens.drain(..=is);
    }
    for (token, _) in &mut tokens {
        if *token == Token::Operation(Class::Is) {
            *token = Token::Clause;
        }
    }
    tokens
}
