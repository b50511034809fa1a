//! Text of sheets and of students for a terminal that shows ASCII alone. What
//! this program lays out itself is ASCII already ([`super::line`]).

use std::borrow::Cow;
use std::fmt::Write;

use crate::text::greek;

/// One line as ASCII, and where each of its characters now begins: as many
/// places as there are characters, and one more for the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spelled {
    /// The line.
    pub text: String,
    /// The columns.
    pub columns: Vec<usize>,
}

/// The text as ASCII: Greek letters by their names, small high digits as
/// powers, what has no other form as an escape.
#[must_use]
pub fn ascii(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(spelled(text).text)
    }
}

/// The same with the places of the characters.
#[must_use]
pub fn spelled(text: &str) -> Spelled {
    let mut out = String::with_capacity(text.len() + 16);
    let mut columns = Vec::with_capacity(text.len() + 1);
    // What a word that was one sign needs before the next letter.
    let mut apart = false;
    let (mut high, mut low) = (false, false);
    for character in text.chars() {
        let was_apart = std::mem::take(&mut apart);
        let (was_high, was_low) = (std::mem::take(&mut high), std::mem::take(&mut low));
        if was_apart && character.is_alphanumeric() && !is_script(character) {
            out.push(' ');
        }
        columns.push(out.len());
        if character.is_ascii() {
            out.push(character);
        } else if let Some(name) = greek::name(greek::usual(character)) {
            if out.ends_with(|before: char| before.is_ascii_alphanumeric()) {
                out.push(' ');
                if let Some(place) = columns.last_mut() {
                    *place += 1;
                }
            }
            out.push_str(name);
            apart = true;
        } else if let Some(power) = raised(character) {
            if !was_high {
                out.push('^');
            }
            out.push(power);
            high = true;
        } else if let Some(index) = greek::lowered(character) {
            if !was_low {
                out.push('_');
            }
            out.push(index);
            low = true;
        } else if let Some(word) = sign(character) {
            out.push_str(word);
            apart = word.ends_with(|last: char| last.is_ascii_alphanumeric());
        } else if let Some(letter) = bare(character) {
            out.push(letter);
        } else {
            let _ = write!(out, "\\u{{{:x}}}", u32::from(character));
        }
    }
    columns.push(out.len());
    Spelled { text: out, columns }
}

/// A line of carets below a line that has been spelled out: the carets stay
/// under their characters. Nothing if the line is no such line.
#[must_use]
pub fn carets(line: &str, above: &Spelled) -> Option<String> {
    let end = line.rfind('^')? + 1;
    if !line[..end].chars().all(|own| own == ' ' || own == '^') {
        return None;
    }
    let mut out = String::new();
    for (at, character) in line[..end].chars().enumerate() {
        if character != '^' {
            continue;
        }
        let last = above.columns.last().copied().unwrap_or(at);
        let place = |at: usize| match above.columns.get(at) {
            Some(place) => *place,
            // Behind the end of the line.
            None => last + at - (above.columns.len() - 1),
        };
        while out.len() < place(at) {
            out.push(' ');
        }
        while out.len() < place(at + 1).max(place(at) + 1) {
            out.push('^');
        }
    }
    out.push_str(&ascii(&line[end..]));
    Some(out)
}

fn is_script(character: char) -> bool {
    raised(character).is_some() || greek::lowered(character).is_some()
}

fn raised(character: char) -> Option<char> {
    Some(match character {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴'..='⁹' => char::from(b'4' + u8::try_from(u32::from(character) - 0x2074).ok()?),
        '⁺' => '+',
        '⁻' => '-',
        'ⁿ' => 'n',
        _ => return None,
    })
}

fn sign(character: char) -> Option<&'static str> {
    Some(match character {
        '\u{a0}' | '\u{2009}' | '\u{202f}' => " ",
        '−' | '–' | '—' | '‐' | '‑' => "-",
        '×' | '·' | '⋅' | '∙' => "*",
        '÷' | '∕' | '⁄' => "/",
        '±' => "+/-",
        '∓' => "-/+",
        '√' => "sqrt",
        '½' => "1/2",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '¼' => "1/4",
        '¾' => "3/4",
        '‘' | '’' => "'",
        '“' | '”' => "\"",
        '…' => "...",
        '≈' => "~",
        '≠' => "!=",
        '≤' => "<=",
        '≥' => ">=",
        '→' => "->",
        '∞' => "infinity",
        '°' => "deg",
        'ℓ' => "l",
        'ħ' | 'ℏ' => "hbar",
        '∂' => "d",
        'Å' => "A",
        'ß' => "ss",
        'æ' => "ae",
        _ => return None,
    })
}

/// The letter without its accent.
fn bare(character: char) -> Option<char> {
    const ACCENTED: [(&str, char); 24] = [
        ("àáâãäå", 'a'),
        ("ç", 'c'),
        ("èéêë", 'e'),
        ("ìíîï", 'i'),
        ("ñ", 'n'),
        ("òóôõöø", 'o'),
        ("ùúûü", 'u'),
        ("ýÿ", 'y'),
        ("ÀÁÂÃÄ", 'A'),
        ("Ç", 'C'),
        ("ÈÉÊË", 'E'),
        ("ÌÍÎÏ", 'I'),
        ("Ñ", 'N'),
        ("ÒÓÔÕÖØ", 'O'),
        ("ÙÚÛÜ", 'U'),
        ("Ý", 'Y'),
        ("čć", 'c'),
        ("ěę", 'e'),
        ("ł", 'l'),
        ("ňń", 'n'),
        ("řŕ", 'r'),
        ("šś", 's'),
        ("žźż", 'z'),
        ("ą", 'a'),
    ];
    let found = ACCENTED.iter().find(|(all, _)| all.contains(character))?;
    Some(found.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_become_words() {
        for (text, expected) in [
            ("v = u + at", "v = u + at"),
            ("v = f λ", "v = f lambda"),
            ("2πr", "2 pi r"),
            ("λ_o = (v - w)/f", "lambda_o = (v - w)/f"),
            ("Δv/Δt", "Delta v/Delta t"),
            ("E = ½mv²", "E = 1/2 mv^2"),
            ("m s⁻¹²", "m s^-12"),
            ("v₀ + v₁₂", "v_0 + v_12"),
            ("λ²", "lambda^2"),
            ("when τ and ω differ", "when tau and omega differ"),
            ("3 × 10⁸ − 2", "3 * 10^8 - 2"),
            ("“no”, she’s…", "\"no\", she's..."),
            ("Poincaré", "Poincare"),
            ("速", "\\u{901f}"),
        ] {
            let found = spelled(text);
            assert_eq!(found.text, expected);
            assert_eq!(ascii(text), expected);
            assert_eq!(found.columns.len(), text.chars().count() + 1);
        }
    }

    #[test]
    fn carets_stay_under_what_they_point_at() {
        let check = |line: &str, below: &str, expected: Option<&str>| {
            assert_eq!(carets(below, &spelled(line)).as_deref(), expected, "{line}");
        };
        check("  v = f λ q", "        ^", Some("        ^^^^^^"));
        check("  λ = (v", "      ^", Some("           ^"));
        check(
            "  λ = (v",
            "        ^ ) is missing by here",
            Some("             ^ ) is missing by here"),
        );
        check("  λ q", "  ^ ^ λ", Some("  ^^^^^^ ^ lambda"));
        check("  λ", "no carets", None);
        check("  λ", "x ^", None);
    }
}
