//! Set maths, and text, as LaTeX.

use std::fmt::Write as _;

use super::escape::{escape, is_hidden};
use super::typeset::Piece;
use crate::text::greek;

/// The maths, to stand between dollar signs.
#[must_use]
pub fn maths(piece: &Piece) -> String {
    let mut out = String::new();
    write(piece, &mut out);
    out.trim_end().to_owned()
}

fn write(piece: &Piece, out: &mut String) {
    match piece {
        Piece::Row(pieces) => pieces.iter().for_each(|piece| write(piece, out)),
        Piece::Number(digits) => out.push_str(digits),
        Piece::Letter(name) => letter(name, out),
        Piece::Upright(name) => upright(name, out),
        Piece::Sign(sign) | Piece::Before(sign) => out.push_str(match *sign {
            "−" => "-",
            "±" => "\\pm ",
            "∓" => "\\mp ",
            "×" => "\\times ",
            other => other,
        }),
        Piece::Gap => out.push_str("\\,"),
        Piece::Fraction(above, below) => {
            out.push_str("\\frac");
            group(above, out);
            group(below, out);
        }
        Piece::Root(index, inside) => {
            out.push_str("\\sqrt");
            if *index != 2 {
                let _ = write!(out, "[{index}]");
            }
            group(inside, out);
        }
        Piece::Raised(base, exponent) => {
            group(base, out);
            out.push('^');
            group(exponent, out);
        }
        Piece::Lowered(base, name) => {
            write(base, out);
            out.push_str("_{");
            if name.bytes().all(|byte| byte.is_ascii_digit()) {
                out.push_str(name);
            } else {
                upright(name, out);
            }
            out.push('}');
        }
        Piece::Fenced(open, inside, close) => {
            let _ = write!(out, "\\left{open}");
            write(inside, out);
            let _ = write!(out, "\\right{close}");
        }
        Piece::Integral(parts) => {
            let [from, to, of, by] = parts.as_ref();
            out.push_str("\\int_");
            group(from, out);
            out.push('^');
            group(to, out);
            write(of, out);
            out.push_str("\\,\\mathrm{d}");
            write(by, out);
        }
    }
}

fn group(piece: &Piece, out: &mut String) {
    out.push('{');
    write(piece, out);
    out.push('}');
}

/// A quantity: one letter is slanted by itself, a name is kept together.
fn letter(name: &str, out: &mut String) {
    let mut characters = name.chars();
    match (characters.next(), characters.next()) {
        (Some(only), None) if only.is_ascii_alphabetic() => out.push(only),
        (Some(only), None) => match command(only) {
            Some(command) => out.push_str(&command),
            None => boxed(name, "mathit", out),
        },
        _ => boxed(name, "mathit", out),
    }
}

fn upright(name: &str, out: &mut String) {
    match name {
        "π" => out.push_str("\\pi "),
        "sin" | "cos" | "tan" | "sec" | "cot" | "ln" | "lg" | "exp" | "arcsin" | "arccos"
        | "arctan" | "sinh" | "cosh" | "tanh" => {
            let _ = write!(out, "\\{name} ");
        }
        "Δ" => out.push_str("\\Delta "),
        other => boxed(other, "mathrm", out),
    }
}

fn boxed(name: &str, font: &str, out: &mut String) {
    let mut greek_only = String::new();
    for character in name.chars() {
        match command(character) {
            Some(command) => greek_only.push_str(&command),
            None => greek_only.push_str(&text(&character.to_string())),
        }
    }
    let _ = write!(out, "\\{font}{{{}}}", greek_only.trim_end());
}

/// The command for a Greek letter. Capitals that look like Latin ones have
/// none.
fn command(letter: char) -> Option<String> {
    let name = greek::name(letter)?;
    Some(match name {
        "omicron" => "o".to_owned(),
        "Alpha" => "A".to_owned(),
        "Beta" => "B".to_owned(),
        "Epsilon" => "E".to_owned(),
        "Zeta" => "Z".to_owned(),
        "Eta" => "H".to_owned(),
        "Iota" => "I".to_owned(),
        "Kappa" => "K".to_owned(),
        "Mu" => "M".to_owned(),
        "Nu" => "N".to_owned(),
        "Omicron" => "O".to_owned(),
        "Rho" => "P".to_owned(),
        "Tau" => "T".to_owned(),
        "Chi" => "X".to_owned(),
        own => format!("\\{own} "),
    })
}

/// Text that means itself in LaTeX, and shows what would be hidden. What the
/// usual fonts lack is named by its number.
#[must_use]
pub fn text(of: &str) -> String {
    let shown = if of.chars().any(is_hidden) {
        escape(of)
    } else {
        of.into()
    };
    let mut out = String::with_capacity(shown.len() + 16);
    for character in shown.chars() {
        match character {
            '\\' => out.push_str("\\textbackslash{}"),
            '{' | '}' | '$' | '&' | '#' | '_' | '%' => {
                out.push('\\');
                out.push(character);
            }
            '^' => out.push_str("\\textasciicircum{}"),
            '~' => out.push_str("\\textasciitilde{}"),
            '<' => out.push_str("\\textless{}"),
            '>' => out.push_str("\\textgreater{}"),
            '|' => out.push_str("\\textbar{}"),
            '"' => out.push_str("\\textquotedbl{}"),
            '\u{a0}' => out.push('~'),
            '−' => out.push_str("$-$"),
            '×' => out.push_str("$\\times$"),
            '·' => out.push_str("$\\cdot$"),
            '±' => out.push_str("$\\pm$"),
            '∓' => out.push_str("$\\mp$"),
            '√' => out.push_str("$\\surd$"),
            '∛' => out.push_str("$\\sqrt[3]{\\,}$"),
            '½' => out.push_str("$\\frac12$"),
            '¼' => out.push_str("$\\frac14$"),
            '¾' => out.push_str("$\\frac34$"),
            '⅓' => out.push_str("$\\frac13$"),
            '⅔' => out.push_str("$\\frac23$"),
            '⁻' => out.push_str("\\textsuperscript{$-$}"),
            '⁰' => out.push_str("\\textsuperscript{0}"),
            '¹' => out.push_str("\\textsuperscript{1}"),
            '²' => out.push_str("\\textsuperscript{2}"),
            '³' => out.push_str("\\textsuperscript{3}"),
            '⁴' => out.push_str("\\textsuperscript{4}"),
            '⁵' => out.push_str("\\textsuperscript{5}"),
            '⁶' => out.push_str("\\textsuperscript{6}"),
            '⁷' => out.push_str("\\textsuperscript{7}"),
            '⁸' => out.push_str("\\textsuperscript{8}"),
            '⁹' => out.push_str("\\textsuperscript{9}"),
            '₀'..='₉' => {
                let digit = u32::from(character) - u32::from('₀');
                let _ = write!(out, "\\textsubscript{{{digit}}}");
            }
            '‘' | '’' => out.push('\''),
            '“' => out.push_str("``"),
            '”' => out.push_str("''"),
            '–' => out.push_str("--"),
            '—' => out.push_str("---"),
            '…' => out.push_str("\\ldots{}"),
            '°' => out.push_str("\\textdegree{}"),
            plain if plain.is_ascii() => out.push(plain),
            letter @ '\u{c0}'..='\u{17f}' => out.push(letter),
            other => match command(other) {
                Some(command) => {
                    let _ = write!(out, "${}$", command.trim_end());
                }
                None => {
                    let _ = write!(out, "[U+{:04X}]", u32::from(other));
                }
            },
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::typeset::expression;
    use crate::text::{Undeclared, Vocabulary, read_expression};

    #[track_caller]
    fn check(typed: &str, expected: &str) {
        let mut vocabulary = Vocabulary::new();
        let expr = read_expression(typed, &mut vocabulary, Undeclared::Declare).unwrap();
        let found = maths(&expression(&expr, vocabulary.table()));
        assert_eq!(found, expected, "{typed}");
    }

    #[test]
    fn pieces() {
        check("a/b", "\\frac{a}{b}");
        check("v^2", "{v}^{2}");
        check("sqrt(2E/m)", "\\sqrt{\\frac{2E}{m}}");
        check("cbrt(x)", "\\sqrt[3]{x}");
        check("E_k", "E_{\\mathrm{k}}");
        check("lambda t", "\\lambda t");
        check("sin(theta)", "\\sin \\left(\\theta \\right)");
        check("6.63e-34", "6.63\\times {10}^{-34}");
        check("-x", "-x");
    }

    #[test]
    fn text_means_itself() {
        for (of, expected) in [
            ("50 % of $5 & more", "50 \\% of \\$5 \\& more"),
            ("\\input{x}", "\\textbackslash{}input\\{x\\}"),
            ("u² and v₀", "u\\textsuperscript{2} and v\\textsubscript{0}"),
            ("λ", "$\\lambda$"),
            ("Zoë", "Zoë"),
            ("速", "[U+901F]"),
            ("a\u{202e}b", "a\\textbackslash{}u\\{202e\\}b"),
        ] {
            assert_eq!(text(of), expected, "{of}");
        }
    }
}
