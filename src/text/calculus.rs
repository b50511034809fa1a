//! Derivatives and integrals in the row of tokens and in the climb: `dx/dt`,
//! `d²x/dt²`, `d/dt(...)`, `int(f, x, a, b)`.
//!
//! Where `d` is a declared symbol, `dx/dt` is a quotient of products; where it
//! is not, it can only be a derivative.

use super::climb::{Climb, Climbed};
use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::maths::{Class, Lexeme};
use super::names::Names;
use super::readings::Flips;
use super::span::Span;
use super::tokens::{Kind, Token, Tokens, number};
use super::vocabulary::canonical_key;
use crate::algebra::expr::{Derivative, Expr, Integral};
use crate::algebra::symbol::Symbol;

/// Derivatives of a higher order than this are not read.
const HIGHEST_ORDER: u32 = 4;

/// A walk over lexemes that takes nothing unless all of it fits.
struct Walk<'t> {
    text: &'t str,
    lexemes: &'t [Lexeme],
    at: usize,
}

impl<'t> Walk<'t> {
    fn run(&mut self) -> Option<(&'t str, Span)> {
        let lexeme = self.lexemes.get(self.at)?;
        (lexeme.class == Class::Run).then(|| {
            self.at += 1;
            (lexeme.span.of(self.text), lexeme.span)
        })
    }

    fn operator(&mut self, signs: &[&str]) -> bool {
        let found = self.lexemes.get(self.at).is_some_and(|lexeme| {
            lexeme.class == Class::Operator && signs.contains(&lexeme.span.of(self.text))
        });
        self.at += usize::from(found);
        found
    }

    /// A power written high or behind a caret; 1 where there is none.
    fn order(&mut self) -> Option<u32> {
        let digits = |typed: &str| match typed {
            "²" | "2" => Some(2),
            "³" | "3" => Some(3),
            "⁴" | "4" => Some(4),
            _ => None,
        };
        let Some(lexeme) = self.lexemes.get(self.at) else {
            return Some(1);
        };
        let order = match lexeme.class {
            Class::Superscript => digits(lexeme.span.of(self.text))?,
            _ if self.operator(&["^", "**"]) => {
                digits(self.lexemes.get(self.at)?.span.of(self.text))?
            }
            _ => return Some(1),
        };
        self.at += 1;
        (order <= HIGHEST_ORDER).then_some(order)
    }
}

/// The letter of a derivative: a name that begins with a letter.
fn named(name: &str) -> Option<&str> {
    name.chars()
        .next()
        .is_some_and(char::is_alphabetic)
        .then_some(name)
}

/// The token of a derivative or an integral that begins with the first of
/// these lexemes, and how many it takes.
pub(super) fn tokens_at(
    text: &str,
    lexemes: &[Lexeme],
    names: &mut Names<'_>,
    row: &mut Vec<Token>,
) -> Result<Option<usize>, Diagnostic> {
    let Some(first) = lexemes.first() else {
        return Ok(None);
    };
    let typed = first.span.of(text);
    if typed == "int" && names.find("int").is_none() {
        let opens = lexemes.get(1).is_some_and(|next| next.span.of(text) == "(");
        if opens {
            row.push(Token {
                kind: Kind::Integral,
                span: first.span,
            });
        }
        return Ok(opens.then_some(1));
    }
    if !typed.starts_with('d') || names.find("d").is_some() || names.find(typed).is_some() {
        return Ok(None);
    }
    let Some((of, by, order, used)) = derivative(text, lexemes) else {
        return Ok(None);
    };
    let mut symbol = |(name, span): (&str, Span)| -> Result<Symbol, Diagnostic> {
        let key = canonical_key(name);
        match names.find(&key).or_else(|| names.weak(&key)) {
            Some(symbol) => Ok(symbol),
            None => names.symbol_or_new(name, text, span),
        }
    };
    let of = of.map(&mut symbol).transpose()?;
    let by = symbol(by)?;
    row.push(Token {
        kind: Kind::Derivative { of, by, order },
        span: first.span.to(lexemes[used - 1].span),
    });
    Ok(Some(used))
}

type Name<'t> = (&'t str, Span);

#[allow(clippy::type_complexity)]
fn derivative<'t>(
    text: &'t str,
    lexemes: &'t [Lexeme],
) -> Option<(Option<Name<'t>>, Name<'t>, u32, usize)> {
    let mut walk = Walk {
        text,
        lexemes,
        at: 0,
    };
    let (head, head_span) = walk.run()?;
    let rest = head.strip_prefix('d')?;
    let mut of: Option<Name<'t>> = None;
    let mut order = 1;
    if rest.is_empty() {
        order = walk.order()?;
        if let Some((name, span)) = walk.run() {
            of = Some((named(name)?, span));
        }
    } else {
        of = Some((named(rest)?, Span::new(head_span.start + 1, head_span.end)));
    }
    if !walk.operator(&["/", "÷", "∕", "⁄"]) {
        return None;
    }
    let (below, below_span) = walk.run()?;
    let by = named(below.strip_prefix('d')?)?;
    let by = (by, Span::new(below_span.start + 1, below_span.end));
    let below_order = if order > 1 { walk.order()? } else { 1 };
    (below_order == order).then_some((of, by, order, walk.at))
}

/// `0,1` between the arguments of an integral: numbers with commas between.
pub(super) fn numbers(
    text: &str,
    span: Span,
    names: &Names<'_>,
    flips: &Flips,
    out: &mut Tokens,
) -> Result<(), Diagnostic> {
    let mut start = span.start;
    let typed = span.of(text);
    for (index, part) in typed.split(',').enumerate() {
        if index > 0 {
            out.row.push(Token {
                kind: Kind::Comma,
                span: Span::new(start - 1, start),
            });
        }
        if !part.is_empty() {
            number(
                text,
                Span::new(start, start + part.len()),
                names,
                flips,
                out,
            )?;
        }
        start += part.len() + 1;
    }
    Ok(())
}

impl Climb<'_> {
    /// A derivative; `d/dt` takes the factor that follows.
    pub(super) fn derivative(&mut self, of: Option<Symbol>, by: Symbol, order: u32) -> Climbed {
        self.at += 1;
        let of = match of {
            Some(symbol) => Expr::Symbol(symbol),
            None => self.deeper(Climb::factor)?,
        };
        Ok(Expr::Derivative(Box::new(Derivative { of, by, order })))
    }

    /// `int(f, x, a, b)`.
    pub(super) fn integral(&mut self) -> Climbed {
        let name = self.span();
        self.at += 1;
        self.deeper(|climb| {
            let argument = |climb: &mut Self, last: bool| -> Climbed {
                climb.at += 1;
                let bar = std::mem::replace(&mut climb.in_bar, false);
                let in_argument = std::mem::replace(&mut climb.in_argument, false);
                let value = climb.sum();
                climb.in_bar = bar;
                climb.in_argument = in_argument;
                let value = value?;
                let closed = matches!(climb.kind(), Kind::Close(')'));
                if closed == last && (last || *climb.kind() == Kind::Comma) {
                    return Ok(value);
                }
                Err(climb
                    .fault(
                        DiagnosticKind::MissingOperand,
                        "An integral has four parts between its brackets.",
                        name,
                    )
                    .with_mend("Write it like this: int(x^2, x, 0, a)."))
            };
            let of = argument(climb, false)?;
            let by = argument(climb, false)?;
            let from = argument(climb, false)?;
            let to = argument(climb, true)?;
            climb.at += 1;
            let Expr::Symbol(by) = by else {
                return Err(climb.fault(
                    DiagnosticKind::MissingOperand,
                    "The second part of an integral is the letter over which it goes.",
                    name,
                ));
            };
            Ok(Expr::Integral(Box::new(Integral { of, by, from, to })))
        })
    }
}
