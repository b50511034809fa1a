//! From lexemes to tokens: numbers are read, operators told apart in all
//! their typings, runs of letters split.

use super::calculus;
use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::escape::escape;
use super::letters::{self, After};
use super::maths::{Class, Lexeme};
use super::names::Names;
use super::readings::Flips;
use super::said::Said;
use super::span::Span;
use crate::algebra::expr::Function;
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Number(Number),
    Symbol(Symbol),
    Pi,
    Euler,
    Function(Function),
    /// `log` without a base: ten in the preferred reading.
    Log,
    /// `log_2`: a logarithm to a base of its own.
    LogBase(Number),
    Plus,
    Minus,
    PlusMinus,
    MinusPlus,
    Times,
    Slash,
    Caret,
    /// An opening bracket and the one that closes it.
    Open(char),
    Close(char),
    Bar,
    Equals,
    /// `d²x/dt²` in front of nothing, or `d/dt` in front of what is
    /// differentiated.
    Derivative {
        of: Option<Symbol>,
        by: Symbol,
        order: u32,
    },
    /// `\frac`, in front of its two brackets.
    Fraction,
    /// `int`, in front of its bracket.
    Integral,
    /// What parts the arguments of an integral.
    Comma,
    /// A raised whole number.
    Raised(Number),
    /// A raised letter (`ⁿ`).
    RaisedSymbol(Symbol),
    End,
}

/// A token with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    pub kind: Kind,
    pub span: Span,
}

/// What may be read in another way at the level of tokens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TokenSite {
    Letters(usize),
    Number(usize),
    Sign(usize),
    Euler(usize),
}

/// Tokens of a text and the places where they could be others.
pub(super) struct Tokens {
    pub row: Vec<Token>,
    pub sites: Vec<TokenSite>,
}

/// Reads lexemes as tokens; an end token closes the row.
pub(super) fn tokens(
    text: &str,
    lexemes: &[Lexeme],
    names: &mut Names<'_>,
    flips: &Flips,
) -> Result<Tokens, Diagnostic> {
    let mut out = Tokens {
        row: Vec::with_capacity(lexemes.len() + 8),
        sites: Vec::new(),
    };
    let mut at = 0;
    let mut integrals = false;
    while at < lexemes.len() {
        let Lexeme { class, span } = lexemes[at];
        if class == Class::Run
            && let Some(used) = calculus::tokens_at(text, &lexemes[at..], names, &mut out.row)?
        {
            integrals |= matches!(
                out.row.last(),
                Some(Token {
                    kind: Kind::Integral,
                    ..
                })
            );
            at += used;
            continue;
        }
        at += 1;
        match class {
            Class::Number if integrals && span.of(text).contains(',') => {
                calculus::numbers(text, span, names, flips, &mut out)?;
            }
            Class::Unknown if integrals && span.of(text) == "," => out.row.push(Token {
                kind: Kind::Comma,
                span,
            }),
            Class::Number => number(text, span, names, flips, &mut out)?,
            Class::Operator => operator(text, span, flips, &mut out),
            Class::Superscript => superscript(text, span, names, &mut out.row)?,
            Class::Run => {
                let mut spans: [Span; 2] = [span, span];
                let mut count = 1;
                if super::vocabulary::is_change(span.of(text))
                    && let Some(next) = lexemes.get(at)
                    && next.class == Class::Run
                {
                    spans[1] = next.span;
                    count = 2;
                    at += 1;
                }
                let after = what_follows(text, lexemes.get(at));
                letters::split(text, &spans[..count], names, after, flips, &mut out)?;
            }
            Class::Said(said) => out.row.push(Token {
                kind: kind_said(said),
                span,
            }),
            Class::Unknown => return Err(unknown(text, span)),
        }
    }
    out.row.push(Token {
        kind: Kind::End,
        span: Span::new(text.len(), text.len()),
    });
    Ok(out)
}

fn kind_said(said: Said) -> Kind {
    match said {
        Said::Times => Kind::Times,
        Said::Slash => Kind::Slash,
        Said::Plus => Kind::Plus,
        Said::Minus => Kind::Minus,
        Said::PlusMinus => Kind::PlusMinus,
        Said::Equals => Kind::Equals,
        Said::Caret => Kind::Caret,
        Said::Square => Kind::Raised(Number::from(2)),
        Said::Cube => Kind::Raised(Number::from(3)),
        Said::Half => Kind::Number(Number::new(1, 2)),
        Said::Function(function) => Kind::Function(function),
        Said::Fraction => Kind::Fraction,
    }
}

fn what_follows(text: &str, next: Option<&Lexeme>) -> After {
    let Some(next) = next else {
        return After::Nothing;
    };
    match next.class {
        Class::Run => After::Operand,
        Class::Number => After::Operand,
        Class::Superscript => After::Power,
        Class::Unknown => After::Nothing,
        Class::Said(said) => match said {
            Said::Square | Said::Cube | Said::Caret => After::Power,
            Said::Function(_) | Said::Fraction | Said::Half => After::Operand,
            _ => After::Nothing,
        },
        Class::Operator => match next.span.of(text) {
            "^" | "**" => After::Power,
            "(" | "[" | "{" | "（" => After::Bracket,
            "√" | "∛" => After::Operand,
            // A sign may open an argument (`sin -x`), but far more often it
            // follows a product; a bar may close as well as open.
            "-" | "−" | "–" | "|" => After::Perhaps,
            _ => After::Nothing,
        },
    }
}

fn too_large(text: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        DiagnosticKind::NumberTooLarge,
        "This number is too large to be held exactly.",
        text,
        span,
    )
}

pub(super) fn number(
    text: &str,
    span: Span,
    names: &Names<'_>,
    flips: &Flips,
    out: &mut Tokens,
) -> Result<(), Diagnostic> {
    let typed = span.of(text);
    // The common case: a short whole number.
    if typed.len() < 18 && typed.bytes().all(|b| b.is_ascii_digit()) {
        let value = typed
            .bytes()
            .fold(0i64, |sum, b| sum * 10 + i64::from(b - b'0'));
        out.row.push(Token {
            kind: Kind::Number(Number::from(value)),
            span,
        });
        return Ok(());
    }
    let (mantissa, power) = match typed.find(['e', 'E']) {
        Some(at) => (&typed[..at], Some(&typed[at + 1..])),
        None => (typed, None),
    };
    if let Some(power) = power {
        let letter_at = span.start + mantissa.len();
        let letter = &text[letter_at..=letter_at];
        let digits = power.trim_start_matches(['+', '-', '−', '–']);
        let sign = &power[..power.len() - digits.len()];
        let declared = names.find(letter);
        if let Some(symbol) = declared
            && !sign.is_empty()
        {
            // `2E-3` with a declared E: an energy or a power of ten. A small
            // e so close to its digits is a power of ten first.
            out.sites.push(TokenSite::Number(span.start));
            let as_symbol = (letter == "E") != flips.number(span.start);
            if as_symbol {
                let sign_at = letter_at + 1;
                let digits_at = sign_at + sign.len();
                number(text, Span::new(span.start, letter_at), names, flips, out)?;
                out.row.push(Token {
                    kind: Kind::Symbol(symbol),
                    span: Span::new(letter_at, sign_at),
                });
                out.row.push(Token {
                    kind: if sign == "+" { Kind::Plus } else { Kind::Minus },
                    span: Span::new(sign_at, digits_at),
                });
                return number(text, Span::new(digits_at, span.end), names, flips, out);
            }
        }
        let exponent = if digits.trim_start_matches('0').len() > 6 {
            return Err(too_large(text, span));
        } else {
            digits.parse::<i64>().unwrap_or(0)
        };
        let exponent = if sign.is_empty() || sign == "+" {
            exponent
        } else {
            -exponent
        };
        let value = decimal(text, span, mantissa, exponent)?;
        out.row.push(Token {
            kind: Kind::Number(value),
            span,
        });
        return Ok(());
    }
    let value = decimal(text, span, mantissa, 0)?;
    out.row.push(Token {
        kind: Kind::Number(value),
        span,
    });
    Ok(())
}

fn decimal(text: &str, span: Span, typed: &str, exponent: i64) -> Result<Number, Diagnostic> {
    let (digits, fraction) = match typed.char_indices().next_back() {
        Some((at, last)) if !last.is_ascii() => (&typed[..at], Some(last)),
        _ => (typed, None),
    };
    if digits.contains(',') {
        let mend = digits.replacen(',', ".", 1);
        let mut fault = Diagnostic::new(
            DiagnosticKind::DecimalComma,
            "A comma cannot stand inside a number here.",
            text,
            span,
        );
        if !mend.contains(',') && mend.matches('.').count() == 1 {
            fault = fault.with_mend(format!(
                "For a decimal write a point: {mend}. For thousands leave the comma out."
            ));
        }
        return Err(fault);
    }
    if digits.matches('.').count() > 1 {
        return Err(Diagnostic::new(
            DiagnosticKind::BadNumber,
            format!("{digits} is not a number: it has more than one decimal point."),
            text,
            span,
        ));
    }
    let digits = digits.strip_suffix('.').unwrap_or(digits);
    let mut value = Number::from_decimal(digits, exponent).map_err(|_| too_large(text, span))?;
    if let Some(fraction) = fraction {
        let Some((top, bottom)) = vulgar(fraction) else {
            return Err(unknown(text, span));
        };
        if digits.contains('.') || exponent != 0 {
            return Err(Diagnostic::new(
                DiagnosticKind::BadNumber,
                format!("{typed} is not a number: a fraction sign follows a decimal."),
                text,
                span,
            ));
        }
        value = &value + &Number::new(top, bottom);
    }
    Ok(value)
}

/// The value of a fraction that is one character.
fn vulgar(character: char) -> Option<(i64, i64)> {
    Some(match character {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

fn operator(text: &str, span: Span, flips: &Flips, out: &mut Tokens) {
    let kind = match span.of(text) {
        "+" | "＋" => Kind::Plus,
        "*" | "×" | "·" | "⋅" | "∙" | "•" | "∗" | "✕" | "⨯" | "＊" | "․" => {
            Kind::Times
        }
        "/" | "÷" | "∕" | "⁄" | "／" | "∶" => Kind::Slash,
        "^" | "**" => Kind::Caret,
        "(" | "（" => Kind::Open(')'),
        ")" | "）" => Kind::Close(')'),
        "[" => Kind::Open(']'),
        "]" => Kind::Close(']'),
        "{" => Kind::Open('}'),
        "}" => Kind::Close('}'),
        "|" => Kind::Bar,
        "=" | "==" | "＝" => Kind::Equals,
        "±" | "+/-" => Kind::PlusMinus,
        "∓" | "-/+" => Kind::MinusPlus,
        "√" => Kind::Function(Function::Sqrt),
        "∛" => Kind::Function(Function::Cbrt),
        "+-" | "+−" => {
            out.sites.push(TokenSite::Sign(span.start));
            if flips.sign(span.start) {
                out.row.push(Token {
                    kind: Kind::Plus,
                    span,
                });
                Kind::Minus
            } else {
                Kind::PlusMinus
            }
        }
        // What is left are the dashes that people paste for a minus.
        _ => Kind::Minus,
    };
    out.row.push(Token { kind, span });
}

fn superscript(
    text: &str,
    span: Span,
    names: &mut Names<'_>,
    row: &mut Vec<Token>,
) -> Result<(), Diagnostic> {
    let typed = span.of(text);
    let mut digits = typed;
    let mut negative = false;
    if let Some(rest) = typed.strip_prefix('⁻') {
        negative = true;
        digits = rest;
    } else if let Some(rest) = typed.strip_prefix('⁺') {
        digits = rest;
    }
    if digits == "ⁿ" && !negative {
        let symbol = names.symbol_or_new("n", text, span)?;
        row.push(Token {
            kind: Kind::RaisedSymbol(symbol),
            span,
        });
        return Ok(());
    }
    let mut value = 0i64;
    let mut count = 0;
    for character in digits.chars() {
        let digit = match character {
            '⁰' => 0,
            '¹' => 1,
            '²' => 2,
            '³' => 3,
            '⁴'..='⁹' => i64::from(u32::from(character) - 0x2070),
            _ => {
                count = 0;
                break;
            }
        };
        count += 1;
        if count > 15 {
            return Err(too_large(text, span));
        }
        value = value * 10 + digit;
    }
    if count == 0 {
        return Err(Diagnostic::new(
            DiagnosticKind::BadNumber,
            format!("{typed} is not a whole number, so it cannot be a raised power."),
            text,
            span,
        )
        .with_mend("Write the power with ^ and brackets, as in x^(-1/2)."));
    }
    row.push(Token {
        kind: Kind::Raised(Number::from(if negative { -value } else { value })),
        span,
    });
    Ok(())
}

fn unknown(text: &str, span: Span) -> Diagnostic {
    let typed = span.of(text);
    let message = match typed {
        "<" | ">" | "≤" | "≥" | "≠" | "≈" | "~" | "∝" => {
            format!("{typed} is not read here: two sides are joined by =.")
        }
        _ => format!("{} has no meaning in a line of maths.", escape(typed)),
    };
    let fault = Diagnostic::new(DiagnosticKind::UnknownCharacter, message, text, span);
    match typed {
        "," => fault.with_mend("For a decimal write a point, as in 1.5."),
        "\\" => fault.with_mend("Write maths as you would on a keyboard: sqrt(x), lambda, a/b."),
        ":" => fault.with_mend("For a division write /."),
        "'" | "′" => fault.with_mend("For another symbol of the same letter write x_1."),
        "%" => fault.with_mend("Write a percentage as a decimal: 0.05 for five in a hundred."),
        "°" => fault.with_mend("Angles are in radians: write pi/6 for thirty degrees."),
        "_" => fault.with_mend("A subscript follows its letter: v_0."),
        _ => fault,
    }
}
