//! Turns of phrase that put an operation where English has it and the climb
//! does not look for it: "dividing A by B" is "A divided by B", "A and B
//! multiplied together" is "product of A and B".

use super::lexicon::{Lexicon, Meaning};
use super::{Class, Piece, plain_words};

/// The pieces with such turns put right.
pub(super) fn framed(text: &str, pieces: &[Piece], lexicon: &Lexicon) -> Vec<Piece> {
    let mut pieces = pieces.to_vec();
    let mut at = 0;
    while at < pieces.len() {
        let class = pieces[at].class;
        if !opens(class) {
            at += 1;
            continue;
        }
        let end = (at + 1..pieces.len())
            .find(|next| opens(pieces[*next].class))
            .unwrap_or(pieces.len());
        let by = (at + 1..end).find(|next| {
            is_word(text, pieces[*next], "by")
                && begins_quantity(text, &pieces[next + 1..end], lexicon)
        });
        // "And divide it by": what was said before is divided.
        if let Some(by) = by
            && at > 0
            && pieces[at + 1..by]
                .iter()
                .all(|piece| stands_for_it(text, *piece))
        {
            let class = match class {
                Class::Dividing => Class::Divided,
                _ => Class::Times,
            };
            pieces[by].class = class;
            pieces.drain(at..by);
            at = drop_before(text, &mut pieces, at);
            and_also_by(text, &mut pieces, at, class, lexicon);
            at += 1;
            continue;
        }
        let and = pieces[at..end]
            .iter()
            .any(|piece| piece.class == Class::And);
        match by {
            Some(by) => {
                pieces[by].class = match class {
                    Class::Dividing => Class::Divided,
                    _ => Class::Times,
                };
                pieces.remove(at);
            }
            None if class == Class::Multiplying && and => pieces[at].class = Class::Product,
            None => {}
        }
        at += 1;
    }
    together(text, &mut pieces);
    pieces
}

/// "It", "the answer", "this result".
fn stands_for_it(text: &str, piece: Piece) -> bool {
    const WORDS: [&str; 8] = [
        "it", "this", "that", "the", "answer", "result", "all", "quotient",
    ];
    piece.class == Class::Word && WORDS.iter().any(|word| is_word(text, piece, word))
}

/// Leaves out "and then" before an operation; where the operation then is.
fn drop_before(text: &str, pieces: &mut Vec<Piece>, at: usize) -> usize {
    let mut start = at;
    while start > 0 {
        let before = pieces[start - 1];
        let said = matches!(before.class, Class::And | Class::Comma)
            || is_word(text, before, "then")
            || is_word(text, before, "you");
        if !said {
            break;
        }
        start -= 1;
    }
    pieces.drain(start..at);
    start
}

/// "Divide it by A and also by B".
fn and_also_by(text: &str, pieces: &mut Vec<Piece>, from: usize, class: Class, lexicon: &Lexicon) {
    let Some(and) = (from + 1..pieces.len()).find(|at| pieces[*at].class == Class::And) else {
        return;
    };
    let by = (and + 1..pieces.len()).find(|at| !is_word(text, pieces[*at], "also"));
    if let Some(by) = by
        && is_word(text, pieces[by], "by")
        && begins_quantity(text, &pieces[by + 1..], lexicon)
    {
        pieces[by].class = class;
        pieces.drain(and..by);
    }
}

fn opens(class: Class) -> bool {
    matches!(class, Class::Dividing | Class::Multiplying)
}

fn is_word(text: &str, piece: Piece, word: &str) -> bool {
    piece.span.of(text).eq_ignore_ascii_case(word)
}

/// "Mass and velocity multiplied together".
fn together(text: &str, pieces: &mut Vec<Piece>) {
    let Some(at) = pieces.windows(2).position(|pair| {
        is_word(text, pair[0], "multiplied") && is_word(text, pair[1], "together")
    }) else {
        return;
    };
    let opener = pieces[..at]
        .iter()
        .rposition(|piece| piece.class == Class::Is)
        .map_or(0, |is| is + 1);
    let plain = |piece: &Piece| matches!(piece.class, Class::And | Class::Comma | Class::Word);
    let joined = pieces[opener..at]
        .iter()
        .any(|piece| piece.class == Class::And);
    if joined && pieces[opener..at].iter().all(plain) {
        let mut product = pieces.remove(at);
        pieces.remove(at);
        product.class = Class::Product;
        pieces.insert(opener, product);
    }
}

/// Whether a quantity, a unit or an operation stands first, words that say
/// nothing passed over.
fn begins_quantity(text: &str, pieces: &[Piece], lexicon: &Lexicon) -> bool {
    // No name of a quantity is longer than this.
    const LONGEST: usize = 12;
    for (number, piece) in pieces.iter().enumerate() {
        match piece.class {
            Class::Word => {}
            Class::Unknown | Class::And | Class::Comma | Class::To | Class::Is | Class::Or => {
                return false;
            }
            _ => return true,
        }
        let words: Vec<String> = pieces[number..]
            .iter()
            .take(LONGEST)
            .flat_map(|piece| plain_words(piece.span.of(text)))
            .collect();
        if plain_words(piece.span.of(text)).is_empty() {
            continue;
        }
        match lexicon.longest_at(&words) {
            Some((Meaning::Quantity(_) | Meaning::Expression(_) | Meaning::Unit(_), _)) => {
                return true;
            }
            Some((Meaning::Filler(false) | Meaning::Kind | Meaning::Need(_), _)) => {}
            _ => return false,
        }
    }
    false
}
