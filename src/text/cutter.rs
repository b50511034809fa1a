//! Cuts lexemes without the grammar, for texts made of characters whose part
//! is known at a glance. Nearly all are; the grammar needs twenty times as
//! long. Any other character is left to the grammar (`super::maths`), which
//! says what each lexeme is; the tests hold the two against each other.

use super::escape::is_hidden;
use super::maths::{Class, Lexeme};
use super::span::Span;

/// What a character can begin or be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Letter,
    Digit,
    Underscore,
    Subscript,
    /// An accent, which comes after its letter.
    Mark,
    Superscript,
    Vulgar,
    Space,
    Operator,
    Point,
    /// A character of ASCII without a meaning.
    Nothing,
    /// For the grammar to say.
    Open,
}

/// The lexemes of a text, or nothing where only the grammar can tell.
pub(super) fn cut(text: &str) -> Option<Vec<Lexeme>> {
    let mut found = Vec::with_capacity(text.len().min(64));
    let mut at = 0;
    while let Some((part, width)) = part_at(text, at) {
        let (class, end) = match part {
            Part::Letter => (Class::Run, run_end(text, at + width)?),
            Part::Digit | Part::Vulgar => (Class::Number, number_end(text, at)),
            Part::Point if is_digit(text, at + 1) => (Class::Number, number_end(text, at)),
            Part::Operator => (Class::Operator, at + operator_width(text, at, width)),
            Part::Superscript => (Class::Superscript, superscript_end(text, at + width)),
            Part::Space => {
                at += width;
                continue;
            }
            Part::Open => return None,
            Part::Point | Part::Underscore | Part::Subscript | Part::Mark | Part::Nothing => {
                (Class::Unknown, at + width)
            }
        };
        found.push(Lexeme {
            class,
            span: Span::new(at, end),
        });
        at = end;
    }
    Some(found)
}

/// The part of the character at a byte, and how many bytes it has.
#[inline]
fn part_at(text: &str, at: usize) -> Option<(Part, usize)> {
    let byte = *text.as_bytes().get(at)?;
    if byte.is_ascii() {
        return Some((ascii_part(byte), 1));
    }
    let character = text[at..].chars().next()?;
    Some((further_part(character), character.len_utf8()))
}

#[inline]
fn ascii_part(byte: u8) -> Part {
    match byte {
        b'a'..=b'z' | b'A'..=b'Z' => Part::Letter,
        b'0'..=b'9' => Part::Digit,
        b'_' => Part::Underscore,
        b' ' | b'\t' | b'\r' | b'\n' => Part::Space,
        b'.' => Part::Point,
        b'(' | b')' | b'^' | b'=' | b'+' | b'-' | b'/' | b'*' | b'[' | b']' | b'{' | b'}'
        | b'|' => Part::Operator,
        _ => Part::Nothing,
    }
}

fn further_part(character: char) -> Part {
    match character {
        'Α'..='ω' | '∆' | 'µ' | 'ϕ' | 'ϵ' | 'ϑ' | 'ħ' | 'ℏ' | 'ℓ' => Part::Letter,
        '²' | '³' | '¹' | '⁰' | '⁴'..='⁹' | '⁺' | '⁻' | 'ⁿ' => Part::Superscript,
        '₀'..='₉' | 'ₐ'..='ₜ' | 'ᵢ'..='ᵪ' | 'ⱼ' => Part::Subscript,
        '\u{300}'..='\u{36F}' => Part::Mark,
        '¼'..='¾' | '⅐'..='⅞' => Part::Vulgar,
        '\u{A0}' | '\u{2000}'..='\u{200B}' | '\u{202F}' => Part::Space,
        '−' | '–' | '—' | '‐' | '‑' | '×' | '·' | '⋅' | '∙' | '•' | '∗' | '÷' | '∕' | '⁄' | '±'
        | '∓' | '√' | '∛' => Part::Operator,
        _ => Part::Open,
    }
}

fn is_digit(text: &str, at: usize) -> bool {
    text.as_bytes().get(at).is_some_and(u8::is_ascii_digit)
}

fn digits_end(text: &str, mut at: usize) -> usize {
    while is_digit(text, at) {
        at += 1;
    }
    at
}

/// Where a run of letters ends that goes on at a byte.
fn run_end(text: &str, mut at: usize) -> Option<usize> {
    while let Some((part, width)) = part_at(text, at) {
        at += match part {
            Part::Letter | Part::Digit | Part::Subscript | Part::Mark => width,
            Part::Underscore => width + braces_width(&text[at + width..]),
            Part::Open => return None,
            _ => break,
        };
    }
    Some(at)
}

/// How far a subscript in braces reaches; not at all where they don't close.
fn braces_width(text: &str) -> usize {
    let Some(inside) = text.strip_prefix('{') else {
        return 0;
    };
    // What a terminal would obey or not show is part of no name.
    let ends = |c: char| matches!(c, '{' | '}' | '=' | '(' | ')') || is_hidden(c);
    match inside.find(ends) {
        Some(end) if inside.as_bytes()[end] == b'}' => end + 2,
        _ => 0,
    }
}

/// Where a number ends that begins at a byte, perhaps malformed.
fn number_end(text: &str, start: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = start;
    if is_digit(text, at) {
        at = digits_end(text, at);
        while matches!(bytes.get(at), Some(b'.' | b',')) && is_digit(text, at + 1) {
            at = digits_end(text, at + 1);
        }
        if bytes.get(at) == Some(&b'.') {
            at += 1;
        }
    } else if bytes[at] == b'.' {
        at = digits_end(text, at + 1);
    }
    if let Some((Part::Vulgar, width)) = part_at(text, at) {
        at += width;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = ["+", "-", "−", "–"]
            .into_iter()
            .find(|sign| text[at + 1..].starts_with(sign))
            .map_or(0, str::len);
        if is_digit(text, at + 1 + sign) {
            at = digits_end(text, at + 1 + sign);
        }
    }
    at
}

/// How many bytes an operator has whose first character has `width`.
fn operator_width(text: &str, at: usize, width: usize) -> usize {
    let bytes = text.as_bytes();
    let next = bytes.get(at + 1);
    match (bytes[at], next) {
        (b'=', Some(b'=')) | (b'*', Some(b'*')) | (b'+', Some(b'-')) => 2,
        (b'+', Some(b'/')) if bytes.get(at + 2) == Some(&b'-') => 3,
        (b'-', Some(b'/')) if bytes.get(at + 2) == Some(&b'+') => 3,
        (b'+', _) if text[at + 1..].starts_with('−') => 1 + '−'.len_utf8(),
        _ => width,
    }
}

fn superscript_end(text: &str, mut at: usize) -> usize {
    while let Some((Part::Superscript, width)) = part_at(text, at) {
        at += width;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::super::maths::lexemes_by_grammar;
    use super::*;
    use proptest::prelude::*;

    fn check(text: &str) {
        if let Some(found) = cut(text) {
            let wanted = lexemes_by_grammar(text);
            let plain = |row: &[Lexeme]| -> Vec<(Class, Span)> {
                row.iter().map(|own| (own.class, own.span)).collect()
            };
            assert_eq!(plain(&found), plain(&wanted), "{text:?}");
        }
    }

    #[test]
    fn every_character_alone_and_between_others() {
        for character in '\0'..'\u{3100}' {
            for text in [
                format!("{character}"),
                format!("a{character}b"),
                format!("2{character}3"),
                format!("_{{a{character}}}"),
                format!("x_{{a{character}}}y"),
                format!("({character}{character}2e{character}4"),
            ] {
                check(&text);
            }
        }
    }

    #[test]
    fn usual_lines_need_no_grammar() {
        for text in [
            "a = (v^2 - u^2)/(2s)",
            "E_{k,max} = ½mv² − φ",
            "6.63×10^-34 * 2.e-3 + .5e−4",
            "x == 2**3 +/- 4 -/+ 5 +- 6 +− 7",
            "N₀ e^(-λt)",
            "1.2.3, 1,5; v'_ x_{a b} x_{a(b} \\ 5. . ..7",
        ] {
            assert!(cut(text).is_some(), "{text}");
            check(text);
        }
        assert!(cut("é = 2").is_none());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]
        #[test]
        fn cuts_as_the_grammar_does(
            text in "([a-zE_{}=()+*/^.,| −–]|[0-9]|[λφ²₂ₜ½⅚±·√e\u{301}\u{2009}=&é−]){0,24}"
        ) {
            check(&text);
        }
    }
}
