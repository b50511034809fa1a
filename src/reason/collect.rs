//! A polynomial in one kernel: linear ones are collected and factored, the
//! others go to the formulae.

use crate::algebra::expr::{Expr, Sign};
use crate::algebra::number::Number;

use super::expand::{common_measure, content, gather};
use super::isolate::{Engine, NoForm, State, Stop};
use super::monomial::Monomial;
use super::several::Sides;
use super::step::Operation;

impl Engine<'_> {
    fn degree(term: &Monomial, kernel: &Expr) -> Number {
        term.exponent(kernel).cloned().unwrap_or(Number::ZERO)
    }

    pub(super) fn polynomial(
        &mut self,
        mut state: State,
        mut sides: Sides,
        kernel: &Expr,
    ) -> Result<Vec<State>, Stop> {
        let degrees = |sides: &Sides| -> Vec<Number> {
            let mut difference: Vec<Monomial> = sides.left.clone();
            for term in &sides.right {
                gather(&mut difference, term.clone().negated());
            }
            let mut found: Vec<Number> = Vec::new();
            for term in &difference {
                let own = Self::degree(term, kernel);
                if !found.contains(&own) {
                    found.push(own);
                }
            }
            found.sort();
            found
        };
        let found = degrees(&sides);
        let Some(lowest) = found.first().cloned() else {
            return Err(Stop::None(NoForm::Cancels));
        };
        if found.len() == 1 && lowest.is_zero() {
            return Err(Stop::None(NoForm::Cancels));
        }
        if lowest.is_negative() {
            // Multiply up until no power is below zero.
            let mut factor = Monomial::number(&Number::ONE);
            factor.factors.push((kernel.clone(), -&lowest));
            self.scale_sides(&mut state, &mut sides, &factor, true);
            return Ok(vec![state]);
        }
        if lowest.is_positive() && self.drop_shared(&mut state, &sides, kernel, &lowest) {
            return Ok(vec![state]);
        }
        if lowest.is_positive() {
            return self.common_factor(state, sides, kernel, &lowest);
        }
        let unit = found
            .iter()
            .skip(1)
            .fold(Number::ZERO, |unit, own| common_measure(&unit, own));
        let highest = found.last().cloned().unwrap_or(Number::ONE);
        let order = (&highest / &unit).to_i64().unwrap_or(i64::MAX);
        match order {
            1 => self.linear(state, sides, kernel),
            2 => self.quadratic(state, sides, kernel, &unit),
            3 => self.cubic(state, sides, kernel, &unit),
            _ => Err(Stop::None(NoForm::NoMethod)),
        }
    }

    /// Terms of a lower degree than any that is left in the difference stand on
    /// both sides: they are taken away, for the rest shares a factor.
    fn drop_shared(
        &self,
        state: &mut State,
        sides: &Sides,
        kernel: &Expr,
        lowest: &Number,
    ) -> bool {
        let part = |terms: &[Monomial]| -> (Vec<Monomial>, Vec<Monomial>) {
            let is_low = |term: &&Monomial| Self::degree(term, kernel) < *lowest;
            let (low, kept): (Vec<&Monomial>, Vec<&Monomial>) = terms.iter().partition(is_low);
            (
                low.into_iter().cloned().collect(),
                kept.into_iter().cloned().collect(),
            )
        };
        let ((low, left), (_, right)) = (part(&sides.left), part(&sides.right));
        if low.is_empty() {
            return false;
        }
        let negative = low.iter().all(|term| term.sign == Sign::Minus);
        let operation = if negative {
            let turned: Vec<Monomial> = low.into_iter().map(Monomial::negated).collect();
            Operation::AddToBothSides(self.tidy.sum(&turned))
        } else {
            Operation::SubtractFromBothSides(self.tidy.sum(&low))
        };
        state.step(operation, self.tidy.sum(&left), self.tidy.sum(&right));
        true
    }

    fn scale_sides(&self, state: &mut State, sides: &mut Sides, factor: &Monomial, multiply: bool) {
        for side in [&mut sides.left, &mut sides.right] {
            let mut made = Vec::new();
            for term in side.iter() {
                gather(&mut made, term.times(factor));
            }
            *side = made;
        }
        let shown = if multiply {
            factor.clone()
        } else {
            factor.inverted()
        };
        let amount = self.tidy.build(&shown);
        let (left, right) = (self.tidy.sum(&sides.left), self.tidy.sum(&sides.right));
        if multiply {
            state.step(Operation::ClearFractions(amount), left, right);
        } else {
            let conditions = self.nonzero(&amount);
            state.step_if(Operation::DivideBothSides(amount), conditions, left, right);
        }
    }

    /// Every term has the kernel as a factor: it is divided out where it
    /// cannot be zero, else zero is one of the solutions.
    fn common_factor(
        &mut self,
        mut state: State,
        mut sides: Sides,
        kernel: &Expr,
        lowest: &Number,
    ) -> Result<Vec<State>, Stop> {
        let mut power = Monomial::number(&Number::ONE);
        power.factors.push((kernel.clone(), lowest.clone()));
        if self.tidy.signs(kernel).is_nonzero() {
            self.scale_sides(&mut state, &mut sides, &power.inverted(), false);
            return Ok(vec![state]);
        }
        let mut zero = state.clone();
        zero.step(
            Operation::ZeroFactor(kernel.clone()),
            kernel.clone(),
            Expr::integer(0),
        );
        self.scale_sides(&mut state, &mut sides, &power.inverted(), false);
        Ok(vec![state, zero])
    }

    /// The terms collected on the side that leaves the fewest minus signs.
    fn linear(
        &mut self,
        mut state: State,
        sides: Sides,
        kernel: &Expr,
    ) -> Result<Vec<State>, Stop> {
        let split = |terms: Vec<Monomial>| -> (Vec<Monomial>, Vec<Monomial>) {
            terms
                .into_iter()
                .partition(|term| !Self::degree(term, kernel).is_zero())
        };
        let (left_with, left_free) = split(sides.left);
        let (right_with, right_free) = split(sides.right);
        let minuses = |with: &[Monomial], less: &[Monomial]| -> (usize, Option<Sign>) {
            let mut sum = with.to_vec();
            for term in less {
                gather(&mut sum, term.clone().negated());
            }
            let count = sum.iter().filter(|term| term.sign == Sign::Minus).count();
            let plus = sum.len() - count;
            // Mixed signs may be written either way; all minus may not.
            let cost = if count == 0 {
                0
            } else if plus > 0 {
                1
            } else {
                4
            };
            (cost, sum.first().map(|term| term.sign))
        };
        let cost = |one: (usize, Option<Sign>), two: (usize, Option<Sign>)| {
            one.0 + two.0 + usize::from(one.1 == Some(Sign::Minus) && one.0 == 1)
        };
        let to_left = cost(
            minuses(&left_with, &right_with),
            minuses(&right_free, &left_free),
        );
        let to_right = cost(
            minuses(&right_with, &left_with),
            minuses(&left_free, &right_free),
        );
        let left_moves = usize::from(!right_with.is_empty()) + usize::from(!left_free.is_empty());
        let right_moves = usize::from(!left_with.is_empty()) + usize::from(!right_free.is_empty());
        let target_left = (to_left, left_moves) <= (to_right, right_moves);
        if target_left {
            // Kernel terms to the left, the free ones to the right.
            self.bring_together(
                &mut state,
                [left_with, left_free],
                [right_with, right_free],
                true,
            );
        } else {
            self.bring_together(
                &mut state,
                [right_with, right_free],
                [left_with, left_free],
                false,
            );
        }
        Ok(vec![state])
    }

    /// Moves the terms with the kernel to one side (the left one if `left`)
    /// and the free ones to the other, then factors.
    fn bring_together(
        &self,
        state: &mut State,
        here: [Vec<Monomial>; 2],
        there: [Vec<Monomial>; 2],
        left: bool,
    ) {
        let [mut with, free] = here;
        let [moving, mut stay] = there;
        if stay.is_empty() && !free.is_empty() {
            // Free terms first, so that no side becomes zero on the way.
            let mut other = moving.clone();
            self.move_terms(state, free, &mut other, &mut with, left);
            stay = other
                .iter()
                .filter(|term| !moving.contains(term))
                .cloned()
                .collect();
            self.move_terms(state, moving, &mut with, &mut stay, !left);
        } else {
            let mut joined = with;
            joined.extend(free);
            self.move_terms(state, moving, &mut joined, &mut stay, !left);
            let (mut with, free): (Vec<Monomial>, Vec<Monomial>) = joined
                .into_iter()
                .partition(|term| self.holds_monomial(term));
            self.move_terms(state, free, &mut stay, &mut with, left);
            self.factor_out(state, &with, left);
            return;
        }
        self.factor_out(state, &with, left);
    }

    fn factor_out(&self, state: &mut State, with: &[Monomial], left: bool) {
        if with.len() < 2 {
            return;
        }
        let shared = content(with);
        let rest: Vec<Monomial> = with
            .iter()
            .map(|term| term.times(&shared.inverted()))
            .collect();
        let bracket = self.tidy.sum(&rest);
        let mut product = shared.clone();
        product.factors.push((bracket, Number::ONE));
        let factored = self.tidy.build(&product);
        let operation = Operation::FactorOut(self.tidy.build(&shared));
        let other = if left {
            state.equation.right.clone()
        } else {
            state.equation.left.clone()
        };
        if left {
            state.step(operation, factored, other);
        } else {
            state.step(operation, other, factored);
        }
    }
}
