//! Several occurrences of the subject brought together: fractions cleared,
//! roots squared away, brackets opened, terms collected in powers of one
//! kernel.

use crate::algebra::expr::{Expr, Function, Sign};
use crate::algebra::number::Number;

use super::expand::{Reach, expand, gather};
use super::isolate::{Engine, NoForm, State, Stop};
use super::monomial::{Monomial, sign_product};
use super::step::{Identity, Operation};
use super::tidy::terms_of;

/// The two sides as sums of monomials.
#[derive(Debug, Clone)]
pub(super) struct Sides {
    pub left: Vec<Monomial>,
    pub right: Vec<Monomial>,
}

impl Engine<'_> {
    pub(super) fn monomials(&mut self, expr: &Expr) -> Result<Vec<Monomial>, Stop> {
        let mut found = Vec::new();
        for term in terms_of(expr) {
            let mut own = self.tidy.monomial(&term.value)?;
            own.sign = sign_product(own.sign, term.sign);
            // Looking for a like term walks over all that were found.
            self.budget.spend(1 + 4 * found.len() as u64)?;
            gather(&mut found, own);
        }
        Ok(found)
    }

    pub(super) fn holds_monomial(&self, monomial: &Monomial) -> bool {
        monomial.factors.iter().any(|(base, _)| self.holds(base))
    }

    /// One move towards a single occurrence.
    pub(super) fn gather_occurrences(&mut self, mut state: State) -> Result<Vec<State>, Stop> {
        if state.has_doubled_sign() {
            return Ok(self.split(state));
        }
        if self.lower_terms(&mut state)? {
            return Ok(vec![state]);
        }
        let sides = Sides {
            left: self.monomials(&state.equation.left)?,
            right: self.monomials(&state.equation.right)?,
        };
        if self.secant_as_tangent(&mut state, &sides)? {
            return Ok(vec![state]);
        }
        if let Some(next) = self.exponents_on_both_sides(&state, &sides)? {
            return Ok(vec![next]);
        }
        if self.clear_fractions(&mut state, &sides)? {
            return Ok(vec![state]);
        }
        if let Some(next) = self.same_power(&state, &sides)? {
            return Ok(vec![next]);
        }
        if self.clear_roots(&mut state, &sides)? {
            return Ok(vec![state]);
        }
        let opened = self.opened(&state)?;
        let roots_inside = |terms: &[Monomial]| terms.iter().any(|term| self.has_root(term));
        if roots_inside(&opened.left) || roots_inside(&opened.right) {
            if self.show_opened(&mut state, &sides, &opened) {
                return Ok(vec![state]);
            }
            return Err(Stop::None(NoForm::NoMethod));
        }
        if self.has_sum_below(&opened) && self.show_opened(&mut state, &sides, &opened) {
            return Ok(vec![state]);
        }
        self.by_kernel(state, &sides, &opened)
    }

    pub(super) fn opened(&mut self, state: &State) -> Result<Sides, Stop> {
        let reach = Reach::Around(self.subject);
        Ok(Sides {
            left: expand(&state.equation.left, reach, &self.tidy, &mut self.budget)?,
            right: expand(&state.equation.right, reach, &self.tidy, &mut self.budget)?,
        })
    }

    /// Shows the opened brackets as a step, if opening changed anything.
    pub(super) fn show_opened(&self, state: &mut State, before: &Sides, after: &Sides) -> bool {
        let same = |one: &[Monomial], two: &[Monomial]| self.tidy.sum(one) == self.tidy.sum(two);
        if same(&before.left, &after.left) && same(&before.right, &after.right) {
            return false;
        }
        let (left, right) = (self.tidy.sum(&after.left), self.tidy.sum(&after.right));
        state.step(Operation::ExpandBrackets, left, right);
        true
    }

    fn has_sum_below(&self, sides: &Sides) -> bool {
        sides.left.iter().chain(&sides.right).any(|term| {
            term.factors.iter().any(|(base, exponent)| {
                exponent.is_negative() && matches!(base, Expr::Sum(_)) && self.holds(base)
            })
        })
    }

    /// `q r / r^3` is `q / r^2`: joins equal bases where that leaves fewer
    /// occurrences of the subject.
    fn lower_terms(&mut self, state: &mut State) -> Result<bool, Stop> {
        let mut lowered = Vec::with_capacity(2);
        for side in [&state.equation.left, &state.equation.right] {
            let before = side.occurrences(self.subject);
            let made = if before > 1 {
                let terms = self.monomials(side)?;
                self.tidy.sum(&terms)
            } else {
                side.clone()
            };
            lowered.push(if made.occurrences(self.subject) < before {
                made
            } else {
                side.clone()
            });
        }
        let right = lowered
            .pop()
            .unwrap_or_else(|| state.equation.right.clone());
        let left = lowered.pop().unwrap_or_else(|| state.equation.left.clone());
        if left == state.equation.left && right == state.equation.right {
            return Ok(false);
        }
        state.step(Operation::Rewrite(Identity::LowestTerms), left, right);
        Ok(true)
    }

    /// Multiplies both sides by the denominators that hold the subject.
    fn clear_fractions(&mut self, state: &mut State, sides: &Sides) -> Result<bool, Stop> {
        let mut common = Monomial::number(&Number::ONE);
        for term in sides.left.iter().chain(&sides.right) {
            for (base, exponent) in &term.factors {
                if exponent.is_negative() && self.holds(base) && !is_symbolic_power(base) {
                    let size = -exponent;
                    if let Some(place) = common.factors.iter().position(|(own, _)| own == base) {
                        if common.factors[place].1 < size {
                            common.factors[place].1 = size;
                        }
                    } else {
                        common.factors.push((base.clone(), size));
                    }
                }
            }
        }
        if common.is_one() {
            return Ok(false);
        }
        let scaled = |terms: &[Monomial]| -> Vec<Monomial> {
            let mut made = Vec::new();
            for term in terms {
                gather(&mut made, term.times(&common));
            }
            made
        };
        let factor = self.tidy.build(&common);
        let plain = sides.left.len() == 1 && sides.right.len() == 1;
        let across = |engine: &Self, terms: &[Monomial], side: &Expr| -> Result<Expr, Stop> {
            // A free sum keeps its brackets.
            if !engine.holds(side) {
                return Ok(engine.tidy.multiply(side, &factor)?);
            }
            Ok(engine.tidy.sum(&scaled(terms)))
        };
        let left = across(self, &sides.left, &state.equation.left)?;
        let right = across(self, &sides.right, &state.equation.right)?;
        let operation = if plain {
            Operation::MultiplyBothSides(factor)
        } else {
            Operation::ClearFractions(factor)
        };
        state.step(operation, left, right);
        Ok(true)
    }

    fn has_root(&self, term: &Monomial) -> bool {
        term.factors.iter().any(|(base, exponent)| {
            !exponent.is_integer() && matches!(base, Expr::Sum(_)) && self.holds(base)
        })
    }

    /// Both sides are one power: the root of both sides, where the signs are
    /// known, saves the brackets.
    fn same_power(&mut self, state: &State, sides: &Sides) -> Result<Option<State>, Stop> {
        let ([left], [right]) = (&sides.left[..], &sides.right[..]) else {
            return Ok(None);
        };
        let squared = |engine: &Self, term: &Monomial| {
            engine.holds_monomial(term)
                && term.sign == Sign::Plus
                && term.factors.iter().all(|(base, exponent)| {
                    engine.tidy.signs(base).is_nonnegative()
                        && (!engine.holds(base) || exponent.to_i64().is_some_and(|n| n % 2 == 0))
                })
        };
        if !squared(self, left) || !squared(self, right) {
            return Ok(None);
        }
        let half = Number::new(1, 2);
        let mut next = state.clone();
        let one = self.tidy.build(&self.tidy.power(left, &half)?);
        let two = self.tidy.build(&self.tidy.power(right, &half)?);
        next.step(
            Operation::TakeRoot {
                index: 2,
                roots: super::step::Roots::Positive,
            },
            one,
            two,
        );
        Ok(Some(next))
    }

    /// Puts a root of a bracket with the subject alone on one side and squares
    /// both sides.
    fn clear_roots(&mut self, state: &mut State, sides: &Sides) -> Result<bool, Stop> {
        let rooted = |terms: &[Monomial]| -> Vec<usize> {
            (0..terms.len())
                .filter(|&index| self.has_root(&terms[index]))
                .collect()
        };
        let (on_left, on_right) = (rooted(&sides.left), rooted(&sides.right));
        if on_left.is_empty() && on_right.is_empty() {
            return Ok(false);
        }
        let mut sides = sides.clone();
        // One root stays on its side, everything else goes to the other.
        let keep_left = !on_left.is_empty();
        let (side, other, places) = if keep_left {
            (&mut sides.left, &mut sides.right, on_left)
        } else {
            (&mut sides.right, &mut sides.left, on_right)
        };
        let kept = side.remove(places[0]);
        let moving = std::mem::replace(side, vec![kept]);
        self.move_terms(state, moving, other, side, keep_left);
        let index = side[0]
            .factors
            .iter()
            .filter(|(base, _)| self.holds(base) && matches!(base, Expr::Sum(_)))
            .map(|(_, exponent)| exponent.denominator())
            .max()
            .unwrap_or(Number::from(2));
        let left = self.tidy.raise(&state.equation.left, &index)?;
        let right = self.tidy.raise(&state.equation.right, &index)?;
        state.step(Operation::RaiseToPower(index), left, right);
        Ok(true)
    }

    /// Moves terms from the `from` side to the `into` side, those with one
    /// sign in one step. `from` holds what stays, `from_left` tells where it
    /// stands.
    pub(super) fn move_terms(
        &self,
        state: &mut State,
        moving: Vec<Monomial>,
        into: &mut Vec<Monomial>,
        from: &mut [Monomial],
        from_left: bool,
    ) {
        let (minus, plus): (Vec<Monomial>, Vec<Monomial>) = moving
            .into_iter()
            .partition(|term| matches!(term.sign, Sign::Minus));
        let mut waiting = minus.clone();
        for (group, negative) in [(plus, false), (minus, true)] {
            if group.is_empty() {
                continue;
            }
            if negative {
                waiting.clear();
            }
            let shown: Vec<Monomial> = group
                .iter()
                .map(|term| {
                    if negative {
                        term.clone().negated()
                    } else {
                        term.clone()
                    }
                })
                .collect();
            let amount = self.tidy.sum(&shown);
            for term in group {
                gather(into, term.negated());
            }
            let mut stays: Vec<Monomial> = from.to_vec();
            stays.extend(waiting.iter().cloned());
            let (one, two) = (self.tidy.sum(&stays), self.tidy.sum(into));
            let (left, right) = if from_left { (one, two) } else { (two, one) };
            let operation = if negative {
                Operation::AddToBothSides(amount)
            } else {
                Operation::SubtractFromBothSides(amount)
            };
            state.step(operation, left, right);
        }
    }

    /// The bases that hold the subject, each once.
    fn kernels(&self, sides: &Sides) -> Vec<Expr> {
        let mut found: Vec<Expr> = Vec::new();
        for term in sides.left.iter().chain(&sides.right) {
            for (base, _) in &term.factors {
                if self.holds(base) && !found.contains(base) {
                    found.push(base.clone());
                }
            }
        }
        found
    }

    fn by_kernel(
        &mut self,
        mut state: State,
        sides: &Sides,
        opened: &Sides,
    ) -> Result<Vec<State>, Stop> {
        let kernels = self.kernels(opened);
        match &kernels[..] {
            [] => Err(Stop::None(NoForm::Cancels)),
            [kernel] => {
                self.show_opened(&mut state, sides, opened);
                self.polynomial(state, opened.clone(), kernel)
            }
            _ => self.identities(state, opened, &kernels),
        }
    }

    /// `1/cos^2` beside a tangent of the same angle is `1 + tan^2`: then the
    /// tangent is the only kernel.
    fn secant_as_tangent(&mut self, state: &mut State, sides: &Sides) -> Result<bool, Stop> {
        let kernels = self.kernels(sides);
        let [Expr::Call(first, angle), Expr::Call(second, other)] = &kernels[..] else {
            return Ok(false);
        };
        if angle != other
            || !matches!(
                (first, second),
                (Function::Tan, Function::Cos) | (Function::Cos, Function::Tan)
            )
        {
            return Ok(false);
        }
        let cosine = Expr::call(Function::Cos, (**angle).clone());
        let minus_two = Number::from(-2);
        let fits = sides.left.iter().chain(&sides.right).all(|term| {
            term.exponent(&cosine)
                .is_none_or(|power| *power == minus_two)
        });
        if !fits {
            return Ok(false);
        }
        let tangent = Expr::call(Function::Tan, (**angle).clone());
        let square = self.tidy.raise(&tangent, &Number::from(2))?;
        let instead = self.tidy.add(&Expr::integer(1), Sign::Plus, &square)?;
        let change = |terms: &[Monomial]| -> Vec<Monomial> {
            terms
                .iter()
                .map(|term| {
                    let mut made = term.clone();
                    if term.exponent(&cosine).is_some() {
                        made.factors.retain(|(base, _)| *base != cosine);
                        made.factors.push((instead.clone(), Number::ONE));
                    }
                    made
                })
                .collect()
        };
        let (left, right) = (
            self.tidy.sum(&change(&sides.left)),
            self.tidy.sum(&change(&sides.right)),
        );
        state.step(Operation::Rewrite(Identity::SecantAndTangent), left, right);
        Ok(true)
    }

    /// Several kernels: circular functions of one angle may be brought to one.
    fn identities(
        &mut self,
        state: State,
        opened: &Sides,
        kernels: &[Expr],
    ) -> Result<Vec<State>, Stop> {
        let none = Err(Stop::None(NoForm::NoMethod));
        let [Expr::Call(first, angle), Expr::Call(second, other)] = kernels else {
            return none;
        };
        if angle != other {
            return none;
        }
        match (first, second) {
            (Function::Sin, Function::Cos) | (Function::Cos, Function::Sin) => {
                self.sine_and_cosine(state, opened, angle)
            }
            _ => none,
        }
    }

    fn sine_and_cosine(
        &mut self,
        mut state: State,
        opened: &Sides,
        angle: &Expr,
    ) -> Result<Vec<State>, Stop> {
        let sine = Expr::call(Function::Sin, angle.clone());
        let cosine = Expr::call(Function::Cos, angle.clone());
        let degree =
            |term: &Monomial, base: &Expr| term.exponent(base).cloned().unwrap_or(Number::ZERO);
        let all: Vec<&Monomial> = opened.left.iter().chain(&opened.right).collect();
        let two = Number::from(2);
        // sin cos alone: half the sine of twice the angle.
        if all.iter().all(|term| {
            !self.holds_monomial(term)
                || degree(term, &sine).is_one() && degree(term, &cosine).is_one()
        }) {
            let double = self.tidy.multiply(&Expr::Number(two), angle)?;
            let mut half = Monomial::number(&Number::new(1, 2));
            half.factors
                .push((Expr::call(Function::Sin, double), Number::ONE));
            let change = |terms: &[Monomial]| -> Vec<Monomial> {
                terms
                    .iter()
                    .map(|term| {
                        if !self.holds_monomial(term) {
                            return term.clone();
                        }
                        let mut rest = term.clone();
                        rest.factors
                            .retain(|(base, _)| *base != sine && *base != cosine);
                        rest.times(&half)
                    })
                    .collect()
            };
            let (left, right) = (
                self.tidy.sum(&change(&opened.left)),
                self.tidy.sum(&change(&opened.right)),
            );
            state.step(Operation::Rewrite(Identity::DoubleAngle), left, right);
            return Ok(vec![state]);
        }
        // Only even powers of one of the two: the other one is the kernel.
        for (even, kept) in [(&sine, &cosine), (&cosine, &sine)] {
            let fits = all.iter().all(|term| {
                let power = degree(term, even);
                power.is_zero() || power == two
            });
            if !fits {
                continue;
            }
            let mut square = Monomial::number(&Number::ONE);
            square.factors.push(((*kept).clone(), two.clone()));
            let square = self.tidy.build(&square);
            let instead = self.tidy.add(&Expr::integer(1), Sign::Minus, &square)?;
            let change = |terms: &[Monomial]| -> Vec<Monomial> {
                terms
                    .iter()
                    .map(|term| {
                        if term.exponent(even).is_none() {
                            return term.clone();
                        }
                        let mut rest = term.clone();
                        rest.factors.retain(|(base, _)| base != even);
                        rest.factors.push((instead.clone(), Number::ONE));
                        rest
                    })
                    .collect()
            };
            let (left, right) = (
                self.tidy.sum(&change(&opened.left)),
                self.tidy.sum(&change(&opened.right)),
            );
            state.step(Operation::Rewrite(Identity::SineAndCosine), left, right);
            return Ok(vec![state]);
        }
        // a sin + b cos = 0, or the two in step: the quotient is the tangent.
        let homogeneous = all.iter().all(|term| {
            (&degree(term, &sine) + &degree(term, &cosine)).is_one()
                && degree(term, &sine).is_integer()
        });
        if homogeneous && self.tidy.signs(&cosine).is_positive() {
            let tangent = Expr::call(Function::Tan, angle.clone());
            let change = |terms: &[Monomial]| -> Vec<Monomial> {
                terms
                    .iter()
                    .map(|term| {
                        let power = degree(term, &sine);
                        let mut rest = term.clone();
                        rest.factors
                            .retain(|(base, _)| *base != sine && *base != cosine);
                        if !power.is_zero() {
                            rest.factors.push((tangent.clone(), power));
                        }
                        rest
                    })
                    .collect()
            };
            let (left, right) = (
                self.tidy.sum(&change(&opened.left)),
                self.tidy.sum(&change(&opened.right)),
            );
            state.step(Operation::DivideBothSides(cosine), left, right);
            return Ok(vec![state]);
        }
        self.harmonic(state, opened, angle)
    }

    /// `a sin x + b cos x` as `sqrt(a^2 + b^2) sin(x + arctan(b/a))`, for a
    /// positive `a`.
    fn harmonic(
        &mut self,
        mut state: State,
        opened: &Sides,
        angle: &Expr,
    ) -> Result<Vec<State>, Stop> {
        let none = Err(Stop::None(NoForm::NoMethod));
        let sine = Expr::call(Function::Sin, angle.clone());
        let cosine = Expr::call(Function::Cos, angle.clone());
        let (mut a, mut b, mut rest) = (Vec::new(), Vec::new(), Vec::new());
        for (terms, right) in [(&opened.left, false), (&opened.right, true)] {
            for term in terms {
                let mut own = term.clone();
                if right {
                    own = own.negated();
                }
                if !self.holds_monomial(&own) {
                    gather(&mut rest, own.negated());
                    continue;
                }
                let is_sine = own.exponent(&sine).is_some_and(Number::is_one);
                let is_cosine = own.exponent(&cosine).is_some_and(Number::is_one);
                own.factors
                    .retain(|(base, _)| *base != sine && *base != cosine);
                if is_sine == is_cosine || self.holds_monomial(&own) {
                    return none;
                }
                gather(if is_sine { &mut a } else { &mut b }, own);
            }
        }
        if a.is_empty() || b.is_empty() {
            return none;
        }
        let turn = |terms: &mut Vec<Monomial>| {
            for term in terms {
                term.sign = super::monomial::opposite(term.sign);
            }
        };
        if self.tidy.signs(&self.tidy.sum(&a)).is_negative() {
            [&mut a, &mut b, &mut rest].into_iter().for_each(turn);
        }
        let (first, second) = (self.tidy.sum(&a), self.tidy.sum(&b));
        if !self.tidy.signs(&first).is_positive() {
            return none;
        }
        let two = Number::from(2);
        let squares = self.tidy.add(
            &self.tidy.raise(&first, &two)?,
            Sign::Plus,
            &self.tidy.raise(&second, &two)?,
        )?;
        let size = self.tidy.raise(&squares, &Number::new(1, 2))?;
        let minus = self.tidy.signs(&second).is_negative();
        let second = if minus {
            self.tidy.negate(&second)?
        } else {
            second
        };
        let shift = Expr::call(Function::Arctan, self.tidy.divide(&second, &first)?);
        let sign = if minus { Sign::Minus } else { Sign::Plus };
        let inside = self.tidy.add(angle, sign, &shift)?;
        let left = self
            .tidy
            .multiply(&size, &Expr::call(Function::Sin, inside))?;
        let right = self.tidy.sum(&rest);
        state.step(Operation::Rewrite(Identity::HarmonicForm), left, right);
        Ok(vec![state])
    }
}

fn is_symbolic_power(base: &Expr) -> bool {
    matches!(base, Expr::Power(_, power)
        if !matches!(super::tidy::plain_number(power), Expr::Number(_)))
}
