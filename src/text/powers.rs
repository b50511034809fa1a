//! Powers in the climb: how far an exponent without brackets reaches.

use super::climb::{Climb, Climbed, Reach, signed};
use super::readings::Ambiguity;
use super::span::Span;
use super::tokens::Kind;
use crate::algebra::expr::{Constant, Expr, Term};

impl Climb<'_> {
    pub(super) fn powers(&mut self, mut base: Expr) -> Climbed {
        loop {
            match self.kind() {
                Kind::Raised(power) => {
                    self.at += 1;
                    base = Expr::pow(base, Expr::Number(power.clone()));
                }
                Kind::RaisedSymbol(symbol) => {
                    self.at += 1;
                    base = Expr::pow(base, Expr::Symbol(*symbol));
                }
                Kind::Caret => {
                    let exponent = self.exponent(&base)?;
                    return Ok(Expr::pow(base, exponent));
                }
                _ => return Ok(base),
            }
        }
    }

    /// What stands behind a caret, which is the present token.
    fn exponent(&mut self, base: &Expr) -> Climbed {
        let caret = self.span();
        self.at += 1;
        let turned = self.flips.exponent(caret.start);
        let is_euler = matches!(base, Expr::Constant(Constant::Euler));
        self.deeper(|climb| {
            let before = climb.at;
            match turned {
                // As a function without brackets does, e takes the product
                // that follows: `e^-λt`.
                1 if !is_euler => climb.long_exponent(Reach::Group, false),
                2 => climb.long_exponent(Reach::Slash, false),
                _ => {
                    let noted = climb.sites.len();
                    let short = climb.signed_factor()?;
                    let is_bracket = matches!(climb.row[before].kind, Kind::Open(_));
                    if turned != 0 || !is_euler || is_bracket || !climb.joins() {
                        climb.note_exponent(base, &short, caret, before);
                        return Ok(short);
                    }
                    climb.at = before;
                    climb.sites.truncate(noted);
                    climb.note(Ambiguity::Exponent, caret, 1);
                    let value = climb.long_exponent(Reach::Group, true)?;
                    if *climb.kind() == Kind::Slash {
                        climb.note(Ambiguity::Exponent, caret, 2);
                    }
                    Ok(value)
                }
            }
        })
    }

    /// An exponent without brackets that reaches over a product, up to the
    /// next function if it is read as a function's argument would be:
    /// `A e^-kt sin ωt`.
    fn long_exponent(&mut self, reach: Reach, as_argument: bool) -> Climbed {
        let sign = self.sign();
        if sign.is_some() {
            self.at += 1;
        }
        let outer = std::mem::replace(&mut self.in_argument, as_argument);
        let value = self.product(reach);
        self.in_argument = outer;
        let value = value?;
        Ok(match sign {
            Some(sign) => signed(sign, value),
            None => value,
        })
    }

    /// `e^-λt`, `2^-t/T` and `a^1/2` may mean a longer exponent.
    fn note_exponent(&mut self, base: &Expr, exponent: &Expr, caret: Span, from: usize) {
        if matches!(self.row[from].kind, Kind::Open(_)) {
            return;
        }
        let plain = match exponent {
            Expr::Number(_) => true,
            Expr::Sum(terms) => matches!(
                terms.as_slice(),
                [Term {
                    value: Expr::Number(_),
                    ..
                }]
            ),
            _ => false,
        };
        let exponential = matches!(base, Expr::Constant(Constant::Euler))
            || self.row[from.saturating_sub(2)].span.of(self.source) == "e";
        let numeric = matches!(base, Expr::Number(_));
        // `x^a b` with a space, or with a bracket next, is a product.
        let runs_on = self.row[self.at - 1].span.end == self.span().start
            && !matches!(self.kind(), Kind::Open(_));
        if self.joins() && (exponential || !plain && (numeric || runs_on)) {
            self.note(Ambiguity::Exponent, caret, 1);
        }
        if *self.kind() == Kind::Slash {
            // Nobody writes a first power: `a^1/2` may be a root, `v^2/2` is
            // half a square and nothing else.
            let fraction = matches!(exponent, Expr::Number(number) if number.is_one())
                && matches!(self.kind_after(), Kind::Number(_) | Kind::Symbol(_));
            if exponential || fraction || (numeric && !plain) {
                self.note(Ambiguity::Exponent, caret, 2);
            }
        } else if self.joins() && (exponential || (numeric && !plain)) {
            // Only if a slash follows the product does the longest reading
            // differ; the readings are compared, so that a double is dropped.
            self.note(Ambiguity::Exponent, caret, 2);
        }
    }
}
