//! Letters in the styles of mathematical type, and characters of full width:
//! `𝑣` and `ｖ` are pasted from documents and mean a plain `v`.
//!
//! Script, black-letter and open-face letters stay what they are: where they
//! are used, they set a quantity apart from that of the plain letter.

use std::borrow::Cow;

/// The text with plain characters. One character stays one character.
#[must_use]
pub fn plain(text: &str) -> Cow<'_, str> {
    if text.is_ascii() || !text.chars().any(|own| plain_character(own).is_some()) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .map(|own| plain_character(own).unwrap_or(own))
            .collect(),
    )
}

/// The first letters of the Latin alphabets of mathematical type: bold,
/// italic, bold italic, four without serifs, fixed width.
const LATIN: [u32; 8] = [
    0x1d400, 0x1d434, 0x1d468, 0x1d5a0, 0x1d5d4, 0x1d608, 0x1d63c, 0x1d670,
];
/// The first capitals of the five Greek ones, which follow each other.
const GREEK: u32 = 0x1d6a8;
/// The letters and signs of one, in their order.
const GREEK_ORDER: &str = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΘΣΤΥΦΧΨΩ∇αβγδεζηθικλμνξοπρςστυφχψω∂ϵϑϰϕϱϖ";
/// How many those are.
const GREEK_COUNT: u32 = 58;

/// The plain character behind a styled one.
fn plain_character(character: char) -> Option<char> {
    let code = u32::from(character);
    match code {
        // The exclamation mark to the tilde.
        0xff01..=0xff5e => char::from_u32(code - 0xfee0),
        0x3000 => Some(' '),
        // The italic h was there before its alphabet.
        0x210e => Some('h'),
        0x1d400..=0x1d6a3 => {
            let first = LATIN.iter().rev().find(|first| **first <= code)?;
            let place = u8::try_from(code - first)
                .ok()
                .filter(|place| *place < 52)?;
            Some(char::from(match place {
                0..26 => b'A' + place,
                _ => b'a' + (place - 26),
            }))
        }
        GREEK..=0x1d7c9 => {
            let place = (code - GREEK) % GREEK_COUNT;
            GREEK_ORDER.chars().nth(place as usize)
        }
        0x1d7ce..=0x1d7ff => char::from_digit((code - 0x1d7ce) % 10, 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn styled_letters_are_plain_ones() {
        for (text, expected) in [
            ("v = u + at", "v = u + at"),
            ("𝑣 = 𝑢 + 𝑎𝑡", "v = u + at"),
            ("𝐯 𝒗 𝗏 𝘃 𝘷 𝙫 𝚟", "v v v v v v v"),
            ("𝐀𝐙𝐚𝐳 𝐴𝑍𝑎𝑧 𝚉𝚣", "AZaz AZaz Zz"),
            ("ℎ𝑓", "hf"),
            ("ｖ＝ｕ＋ａｔ", "v=u+at"),
            ("（１／２）ｍｖ＾２", "(1/2)mv^2"),
            ("𝜆 𝛼 𝛀 𝝎 𝜌 𝜋 𝚫𝑣", "λ α Ω ω ρ π Δv"),
            ("𝟐𝟎 𝟚 𝟵", "20 2 9"),
            // These are not the plain letters in another style.
            ("ℰ 𝓔 𝔼 𝔈", "ℰ 𝓔 𝔼 𝔈"),
            ("λ é 速", "λ é 速"),
        ] {
            assert_eq!(plain(text), expected);
        }
        assert_eq!(GREEK_ORDER.chars().count(), GREEK_COUNT as usize);
        for code in 0..=0x10_ffff {
            if let Some(found) = char::from_u32(code).and_then(plain_character) {
                assert_eq!(plain_character(found), None, "{code:x}");
            }
        }
    }
}
