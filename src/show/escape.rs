//! Text from outside, made safe to show in a terminal.
//!
//! The rule of what is hidden lives in the reading room, whose caret printer
//! needs it first; this is the same rule for everything else that is shown.

pub use crate::text::escape::{escape, is_hidden, push_escaped};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn controls_are_shown_and_letters_kept() {
        for (text, expected) in [
            ("v = u + at", "v = u + at"),
            ("λ 速度 é", "λ 速度 é"),
            ("a\u{1b}[2Jb", "a\\u{1b}[2Jb"),
            ("a\tb\r\n", "a\\u{9}b\\u{d}\\u{a}"),
            ("\u{202e}abc", "\\u{202e}abc"),
            ("a\u{200b}b\u{feff}", "a\\u{200b}b\\u{feff}"),
            ("\u{7f}\u{85}", "\\u{7f}\\u{85}"),
        ] {
            assert_eq!(escape(text), expected);
        }
    }
}
