//! Text in lines of a given width.

use unicode_width::UnicodeWidthStr;

/// The space that a line is not broken at.
const UNBROKEN: char = '\u{a0}';

/// The same text, to be kept on one line if it fits on one.
#[must_use]
pub fn unbroken(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// Breaks a paragraph into lines of at most `width` columns, the first begun
/// with `first`, the others with `rest`. A word wider than a line stays whole.
/// Without a line break at the end.
#[must_use]
pub fn wrapped(text: &str, first: &str, rest: &str, width: usize) -> String {
    let mut out = String::from(first);
    let mut column = first.width();
    let mut empty = true;
    let words = text.split([' ', '\n']).filter(|word| !word.is_empty());
    for word in words {
        let room = width.saturating_sub(rest.width());
        // Maths too wide for any line is broken at its own spaces.
        let pieces: Vec<&str> = if word.width() > room {
            word.split(UNBROKEN)
                .filter(|part| !part.is_empty())
                .collect()
        } else {
            vec![word]
        };
        for piece in pieces {
            let wide = piece.width();
            if !empty && column + 1 + wide > width {
                out.push('\n');
                out.push_str(rest);
                column = rest.width();
            } else if !empty {
                out.push(' ');
                column += 1;
            }
            out.push_str(&piece.replace(UNBROKEN, " "));
            column += wide;
            empty = false;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, width: usize, expected: &str) {
        assert_eq!(wrapped(text, "- ", "  ", width), expected);
    }

    #[test]
    fn lines_are_broken_between_words() {
        check("one two three", 80, "- one two three");
        check("one two three", 9, "- one two\n  three");
        check("", 9, "- ");
        check("incomprehensible word", 9, "- incomprehensible\n  word");
        check("wide 速度速 x", 11, "- wide\n  速度速 x");
    }

    #[test]
    fn maths_stays_together_if_it_can() {
        let maths = unbroken("a = b + c");
        check(&format!("that {maths}"), 12, "- that\n  a = b + c");
        check(&format!("that {maths}"), 8, "- that a\n  = b +\n  c");
    }
}
