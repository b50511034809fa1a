//! A line of a working: maths with the few words that people write in front.

use super::diagnostic::Diagnostic;
use super::readings::{Readings, read};
use super::vocabulary::{Undeclared, Vocabulary};

/// Words and signs in front of a line that say nothing about its maths.
const CONNECTIVES: [&str; 14] = [
    "so",
    "hence",
    "therefore",
    "thus",
    "then",
    "but",
    "and",
    "since",
    "also",
    "∴",
    "⇒",
    "=>",
    "→",
    "->",
];
/// Words that bring in a letter.
const BRINGING_IN: [&str; 3] = ["let", "put", "define"];

/// A line of a working, read.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkingLine {
    /// Its readings.
    pub readings: Readings,
    /// Whether it says that it brings in a letter: `let k = sqrt(m/2)`.
    pub brings_in: bool,
    /// Whether it begins with an equals sign: the line before goes on.
    pub goes_on: bool,
}

/// What stands behind a word, if the text begins with it.
fn after<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let head = text.get(..word.len())?;
    if !head.eq_ignore_ascii_case(word) {
        return None;
    }
    let rest = &text[word.len()..];
    let letters = word.chars().all(char::is_alphabetic);
    if letters && !rest.starts_with([' ', '\t', ',', ':']) {
        return None;
    }
    Some(rest.trim_start_matches([' ', '\t', ',', ':']))
}

/// The maths of a line without the words and signs in front and the stop
/// behind, and whether one of the words brings in a letter.
#[must_use]
pub fn bare<'t>(text: &'t str, vocabulary: &Vocabulary) -> (&'t str, bool) {
    let mut rest = text.trim().trim_end_matches([',', ';', '.']).trim_end();
    let mut brings_in = false;
    'words: loop {
        for word in CONNECTIVES.into_iter().chain(BRINGING_IN) {
            if vocabulary.lookup(word).is_none()
                && let Some(behind) = after(rest, word)
            {
                brings_in |= BRINGING_IN.contains(&word);
                rest = behind;
                continue 'words;
            }
        }
        break;
    }
    (rest, brings_in)
}

/// Reads a line of a working.
///
/// # Errors
/// As [`read`].
pub fn read_working(
    text: &str,
    vocabulary: &mut Vocabulary,
    undeclared: Undeclared,
) -> Result<WorkingLine, Diagnostic> {
    let (mut rest, brings_in) = bare(text, vocabulary);
    let goes_on = rest.starts_with(['=', '＝']) && !rest.starts_with("==");
    if goes_on {
        rest = rest.trim_start_matches(['=', '＝']).trim_start();
    }
    let readings = read(rest, vocabulary, undeclared)?;
    Ok(WorkingLine {
        readings,
        brings_in,
        goes_on,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, plain: &str, brings_in: bool, goes_on: bool) {
        let mut vocabulary = Vocabulary::new();
        let line = read_working(text, &mut vocabulary, Undeclared::Declare).expect("it reads");
        let expected = read(plain, &mut vocabulary, Undeclared::Declare).expect("it reads");
        assert_eq!(line.readings, expected, "{text}");
        assert_eq!(
            (line.brings_in, line.goes_on),
            (brings_in, goes_on),
            "{text}"
        );
    }

    #[test]
    fn words_in_front_are_left_out() {
        check("so v = u + a t", "v = u + a t", false, false);
        check("Hence, v = u", "v = u", false, false);
        check("∴ v = u.", "v = u", false, false);
        check("let k = m/2", "k = m/2", true, false);
        check("= m/2", "m/2", false, true);
        check("so = m/2", "m/2", false, true);
        check("s o = m", "s o = m", false, false);
    }
}
