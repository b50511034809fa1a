//! Small slips of spelling: a long word that nothing knows, one letter away
//! from a single word that is known.
//!
//! Words of English that stand as near to a known one, and mean another
//! thing, are kept apart (`friction` is no `fraction`).

use super::lexicon::Lexicon;
use super::singular;

/// Shorter words are too near to one another.
const SHORTEST: usize = 6;

/// Words that the grammar itself reads.
const OPERATIONS: [&str; 24] = [
    "divided",
    "dividing",
    "multiplied",
    "multiplying",
    "product",
    "quotient",
    "difference",
    "reciprocal",
    "inverse",
    "squared",
    "square",
    "change",
    "changes",
    "increase",
    "increases",
    "variation",
    "quickly",
    "rapidly",
    "double",
    "fraction",
    "multiple",
    "cosine",
    "between",
    "second",
];

/// Real words that are one letter from a known one.
const APART: &str = include_str!("apart.txt");

/// The text with its misspelt words put right, and what was put right;
/// nothing if there is none that can be.
#[must_use]
pub fn respelt(text: &str, lexicon: &Lexicon) -> Option<(String, Vec<(String, String)>)> {
    let mut made = String::with_capacity(text.len());
    let mut changes: Vec<(String, String)> = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(char::is_alphabetic) {
        made.push_str(&rest[..start]);
        rest = &rest[start..];
        let end = rest
            .find(|next: char| !next.is_alphabetic())
            .unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        match meant(word, lexicon) {
            Some(right) => {
                made.push_str(&right);
                changes.push((word.to_owned(), right));
            }
            None => made.push_str(word),
        }
        rest = after;
    }
    made.push_str(rest);
    (!changes.is_empty()).then_some((made, changes))
}

/// The one known word that a word stands for.
fn meant(word: &str, lexicon: &Lexicon) -> Option<String> {
    let lower = word.to_lowercase();
    let letters: Vec<char> = singular(&lower).chars().collect();
    if letters.len() + 1 < SHORTEST {
        return None;
    }
    let own: String = letters.iter().collect();
    let known = |word: &str| OPERATIONS.contains(&word) || lexicon.has_word(word);
    if known(&lower) || known(&own) {
        return None;
    }
    if APART
        .split_whitespace()
        .any(|apart| apart == lower || apart == own)
    {
        return None;
    }
    let mut found: Option<&str> = None;
    for candidate in lexicon.words().chain(OPERATIONS) {
        if found == Some(candidate) || !one_apart(&letters, candidate) {
            continue;
        }
        found = match found {
            None => Some(candidate),
            // "Original" and "originally" are as near and say the same.
            Some(before) if akin(before, candidate) => Some(before.max(candidate)),
            Some(_) => return None,
        };
    }
    found.map(str::to_owned)
}

/// Whether two words are forms of one.
fn akin(one: &str, other: &str) -> bool {
    let shorter = one.len().min(other.len());
    let same = one
        .bytes()
        .zip(other.bytes())
        .take_while(|(one, other)| one == other)
        .count();
    same >= SHORTEST && same + 1 >= shorter
}

/// Whether two words differ by one letter put in, left out or changed, or by
/// two neighbours that have changed places.
fn one_apart(letters: &[char], other: &str) -> bool {
    // A letter has at most four bytes: the cheap test first.
    if other.len() + 1 < letters.len() || other.len() > 4 * (letters.len() + 1) {
        return false;
    }
    let other: smallvec::SmallVec<[char; 24]> = other.chars().collect();
    // Short words only with two letters that have changed places.
    let short = other.len() < SHORTEST || letters.len() < SHORTEST;
    let same = letters
        .iter()
        .zip(&other)
        .take_while(|(one, two)| one == two)
        .count();
    let (one, two) = (&letters[same..], &other[same..]);
    match (one, two) {
        ([_, one @ ..], two) if one == two => !short,
        (one, [_, two @ ..]) if one == two => !short,
        ([_, one @ ..], [_, two @ ..]) if one == two => !short,
        ([a, b, one @ ..], [c, d, two @ ..]) => a == d && b == c && one == two,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distance() {
        let check = |one: &str, two: &str, expected: bool| {
            let letters: Vec<char> = one.chars().collect();
            assert_eq!(one_apart(&letters, two), expected, "{one} {two}");
        };
        check("curent", "current", true);
        check("extention", "extension", true);
        check("veloctiy", "velocity", true);
        check("currrent", "current", true);
        check("current", "current", false);
        check("curet", "current", false);
        check("feild", "field", true);
        check("fields", "field", false);
        check("stress", "strain", false);
        check("charge", "change", true);
    }
}
