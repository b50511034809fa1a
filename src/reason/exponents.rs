//! The subject in exponents on both sides: logarithms bring them down, and an
//! equation without exponents is left.

use crate::algebra::expr::{Constant, Expr, Function, Sign};
use crate::algebra::number::Number;

use super::isolate::{Engine, State, Stop};
use super::monomial::Monomial;
use super::several::Sides;
use super::step::Operation;

impl Engine<'_> {
    /// `A e^(-a t) = B e^(-b t)` becomes `ln A - a t = ln B - b t`.
    pub(super) fn exponents_on_both_sides(
        &mut self,
        state: &State,
        sides: &Sides,
    ) -> Result<Option<State>, Stop> {
        let ([left], [right]) = (&sides.left[..], &sides.right[..]) else {
            return Ok(None);
        };
        if !self.holds_monomial(left) || !self.holds_monomial(right) {
            return Ok(None);
        }
        let (Some(left), Some(right)) = (self.log_of(left)?, self.log_of(right)?) else {
            return Ok(None);
        };
        let mut next = state.clone();
        next.step(Operation::TakeLogarithms(Function::Ln), left, right);
        Ok(Some(next))
    }

    /// The logarithm of a positive product whose factors hold the subject in
    /// exponents only; nothing for any other.
    fn log_of(&self, product: &Monomial) -> Result<Option<Expr>, Stop> {
        let mut rest = product.clone();
        rest.factors.clear();
        let mut sum: Option<Expr> = None;
        for (base, power) in &product.factors {
            if !self.holds(base) {
                rest.factors.push((base.clone(), power.clone()));
                continue;
            }
            let (inner, exponent) = match base {
                Expr::Call(Function::Exp, exponent) => (&Expr::Constant(Constant::Euler), exponent),
                Expr::Power(inner, exponent) => (&**inner, exponent),
                _ => return Ok(None),
            };
            if self.holds(inner) || !self.tidy.signs(inner).is_positive() {
                return Ok(None);
            }
            let mut term = self.tidy.multiply(&Expr::Number(power.clone()), exponent)?;
            if !matches!(inner, Expr::Constant(Constant::Euler)) {
                let log = Expr::call(Function::Ln, inner.clone());
                term = self.tidy.multiply(&term, &log)?;
            }
            sum = Some(match sum {
                None => term,
                Some(so_far) => self.tidy.add(&so_far, Sign::Plus, &term)?,
            });
        }
        let Some(sum) = sum else {
            return Ok(None);
        };
        if rest.is_one() {
            return Ok(Some(sum));
        }
        let rest = self.tidy.build(&rest);
        if !self.tidy.signs(&rest).is_positive() {
            return Ok(None);
        }
        let log = match &rest {
            Expr::Number(number) if *number == Number::ONE => return Ok(Some(sum)),
            _ => Expr::call(Function::Ln, rest),
        };
        Ok(Some(self.tidy.add(&log, Sign::Plus, &sum)?))
    }
}
