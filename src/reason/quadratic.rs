//! Quadratic equations in the subject or in a kernel of it, and cubic ones
//! that have one real root.

use crate::algebra::expr::{Expr, Function, Sign, Term};
use crate::algebra::number::Number;

use super::expand::{Reach, content, expand, gather, multiply};
use super::isolate::{Engine, State, Stop};
use super::monomial::{Monomial, opposite};
use super::several::Sides;
use super::step::{Condition, Operation};
use super::tidy::join;

impl Engine<'_> {
    /// The coefficients by degree, everything on one side, with the step that
    /// moves it there.
    fn move_to_zero(
        &mut self,
        state: &mut State,
        sides: Sides,
        kernel: &Expr,
        unit: &Number,
        order: usize,
    ) -> Result<Vec<Vec<Monomial>>, Stop> {
        let mut difference = sides.left.clone();
        for term in &sides.right {
            gather(&mut difference, term.clone().negated());
        }
        let top = &Number::from(order as i64) * unit;
        let leading: Vec<&Monomial> = difference
            .iter()
            .filter(|term| term.exponent(kernel) == Some(&top))
            .collect();
        let minuses = leading
            .iter()
            .filter(|term| term.sign == Sign::Minus)
            .count();
        let keep_left = minuses * 2 < leading.len()
            || minuses * 2 == leading.len() && leading[0].sign == Sign::Plus;
        let (mut stay, moving) = if keep_left {
            (sides.left, sides.right)
        } else {
            (sides.right, sides.left)
        };
        self.move_terms(state, moving, &mut stay, &mut [], !keep_left);
        let mut coefficients: Vec<Vec<Monomial>> = vec![Vec::new(); order + 1];
        for term in &stay {
            let own = term.exponent(kernel).cloned().unwrap_or(Number::ZERO);
            let place = (&own / unit).to_i64().unwrap_or(0);
            let mut rest = term.clone();
            rest.factors.retain(|(base, _)| base != kernel);
            coefficients[usize::try_from(place).unwrap_or(0).min(order)].push(rest);
        }
        // Fractions with letters below are cleared; numbers may stay.
        let all: Vec<Monomial> = coefficients.iter().flatten().cloned().collect();
        let mut below = content(&all);
        below.coefficient = Number::ONE;
        below
            .factors
            .retain(|(_, exponent)| exponent.is_negative() && exponent.is_integer());
        if !below.is_one() {
            let factor = below.inverted();
            for group in &mut coefficients {
                for term in group.iter_mut() {
                    *term = term.times(&factor);
                }
            }
            let mut cleared = Vec::new();
            for term in &stay {
                gather(&mut cleared, term.times(&factor));
            }
            let amount = self.tidy.build(&factor);
            let left = self.tidy.sum(&cleared);
            state.step(Operation::ClearFractions(amount), left, Expr::integer(0));
        }
        // Written in falling powers.
        let mut collected: Vec<Term> = Vec::new();
        for (place, group) in coefficients.iter().enumerate().rev() {
            let sum = self.tidy.sum(group);
            if group.is_empty() {
                continue;
            }
            if place == 0 {
                collected.extend(super::tidy::terms_of(&sum));
                continue;
            }
            let mut power = Monomial::number(&Number::ONE);
            power
                .factors
                .push((kernel.clone(), &Number::from(place as i64) * unit));
            if group.len() == 1 {
                let mut one = group[0].times(&power);
                let sign = one.sign;
                one.sign = Sign::Plus;
                collected.push(Term {
                    sign,
                    value: self.tidy.build(&one),
                });
            } else {
                let negative = group.iter().all(|term| term.sign == Sign::Minus);
                let bracket = if negative {
                    let turned: Vec<Monomial> =
                        group.iter().cloned().map(Monomial::negated).collect();
                    self.tidy.sum(&turned)
                } else {
                    sum
                };
                power.factors.push((bracket, Number::ONE));
                collected.push(Term {
                    sign: if negative { Sign::Minus } else { Sign::Plus },
                    value: self.tidy.build(&power),
                });
            }
        }
        let left = if collected.len() == 1 && collected[0].sign == Sign::Plus {
            collected.remove(0).value
        } else {
            Expr::Sum(collected)
        };
        let zero = Expr::integer(0);
        if left != state.equation.left || state.equation.right != zero {
            let mut unknown = Monomial::number(&Number::ONE);
            unknown.factors.push((kernel.clone(), unit.clone()));
            let unknown = self.tidy.build(&unknown);
            // Only sides that differ by more than their order need the step.
            if coefficients.iter().skip(1).any(|group| group.len() > 1) {
                state.step(Operation::CollectTerms(unknown), left, zero);
            } else if state.equation.left == zero {
                state.step(Operation::SwapSides, left, zero);
            } else {
                state.equation.left = left.clone();
                if let Some(last) = state.steps.last_mut() {
                    last.equation.left = left;
                }
            }
        }
        Ok(coefficients)
    }

    fn full(&mut self, terms: &[Monomial]) -> Result<Vec<Monomial>, Stop> {
        let sum = self.tidy.sum(terms);
        Ok(expand(
            &sum,
            Reach::Everything,
            &self.tidy,
            &mut self.budget,
        )?)
    }

    pub(super) fn quadratic(
        &mut self,
        mut state: State,
        sides: Sides,
        kernel: &Expr,
        unit: &Number,
    ) -> Result<Vec<State>, Stop> {
        let coefficients = self.move_to_zero(&mut state, sides, kernel, unit, 2)?;
        let [c, b, a] = &coefficients[..] else {
            return Err(Stop::None(super::isolate::NoForm::NoMethod));
        };
        let (shown_a, shown_b, shown_c) = (self.tidy.sum(a), self.tidy.sum(b), self.tidy.sum(c));
        let (full_a, full_b, full_c) = (self.full(a)?, self.full(b)?, self.full(c)?);
        // b^2 - 4ac.
        let mut discriminant = multiply(&full_b, &full_b, &mut self.budget)?;
        let minus_four = Monomial::number(&Number::from(-4));
        for term in multiply(&full_a, &full_c, &mut self.budget)? {
            gather(&mut discriminant, term.times(&minus_four));
        }
        let mut unknown_power = Monomial::number(&Number::ONE);
        unknown_power.factors.push((kernel.clone(), unit.clone()));
        let unknown = self.tidy.build(&unknown_power);
        let operation = Operation::QuadraticFormula {
            unknown: unknown.clone(),
            a: shown_a.clone(),
            b: shown_b,
            c: shown_c.clone(),
        };
        let conditions = self.nonzero(&shown_a);
        let (outer, inner) = self.square_part(&discriminant);
        let minus_b: Vec<Monomial> = full_b.iter().cloned().map(Monomial::negated).collect();
        let two = Monomial::number(&Number::from(2));
        let double_a: Vec<Monomial> = full_a.iter().map(|term| term.times(&two)).collect();
        // What all three parts share is cancelled.
        let mut all: Vec<Monomial> = minus_b.clone();
        all.extend(double_a.iter().cloned());
        all.push(outer.clone());
        let mut shared = content(&all);
        // A shared root would cancel too, but it reads better left alone.
        shared.factors.retain(|(_, exponent)| exponent.is_integer());
        let down = shared.inverted();
        let minus_b: Vec<Monomial> = minus_b.iter().map(|term| term.times(&down)).collect();
        let double_a: Vec<Monomial> = double_a.iter().map(|term| term.times(&down)).collect();
        let outer = outer.times(&down);
        let below = if double_a.len() == full_a.len() && double_a.len() > 1 {
            self.factored(&double_a, &shown_a)?
        } else {
            self.tidy.sum(&double_a)
        };
        let root_terms: Option<Vec<Monomial>> = if inner.is_empty() {
            Some(Vec::new())
        } else {
            self.exact_square(&inner)?
                .map(|root| root.iter().map(|term| term.times(&outer)).collect())
        };
        let surd = match &root_terms {
            Some(terms) => self.tidy.sum(terms),
            None => {
                let radicand = self.tidy.sum_as_multiplied(&inner);
                let half = Number::new(1, 2);
                let root = self.tidy.power(&self.tidy.monomial(&radicand)?, &half)?;
                self.tidy.build(&outer.times(&root))
            }
        };
        let zero_root = root_terms.as_ref().is_some_and(Vec::is_empty);
        let mut terms = super::tidy::terms_of(&self.tidy.sum(&minus_b));
        if minus_b.is_empty() {
            terms.clear();
        }
        if !zero_root {
            terms.push(Term {
                sign: Sign::PlusMinus,
                value: surd,
            });
        }
        let numerator = if terms.len() == 1 && terms[0].sign == Sign::Plus {
            terms.remove(0).value
        } else {
            Expr::Sum(terms)
        };
        let value = self.over(numerator, &below)?;
        let discriminant_shown = self.tidy.sum_as_multiplied(&inner);
        let mut conditions = conditions;
        if root_terms.is_none() {
            conditions.extend(self.nonnegative(&discriminant_shown));
        }
        state.step_if(operation, conditions, unknown.clone(), value.clone());
        if zero_root {
            return Ok(vec![state]);
        }
        if let Some(root) = root_terms {
            return self.two_roots(&state, &unknown, &minus_b, &root, &double_a);
        }
        // A positive unknown: roots of opposite sign leave one.
        if self.tidy.signs(&unknown).is_positive() {
            let a_signs = self.tidy.signs(&shown_a);
            let c_signs = self.tidy.signs(&shown_c);
            let branches = value.branches();
            let outer_positive = outer
                .factors
                .iter()
                .all(|(base, _)| self.tidy.signs(base).is_positive());
            if outer_positive && branches.len() == 2 {
                let opposite_signs = a_signs.is_positive() && c_signs.is_negative()
                    || a_signs.is_negative() && c_signs.is_positive();
                let lower = self.tidy.signs(&branches[1]);
                let upper = self.tidy.signs(&branches[0]);
                if !lower.positive || opposite_signs && a_signs.is_positive() {
                    self.forbid(&mut state, Sign::Minus, &unknown, branches[1].clone());
                } else if !upper.positive || opposite_signs && a_signs.is_negative() {
                    self.forbid(&mut state, Sign::Plus, &unknown, branches[0].clone());
                }
            }
        }
        Ok(vec![state])
    }

    /// Two rational roots, each simplified for itself.
    fn two_roots(
        &mut self,
        state: &State,
        unknown: &Expr,
        minus_b: &[Monomial],
        root: &[Monomial],
        double_a: &[Monomial],
    ) -> Result<Vec<State>, Stop> {
        let mut branches = Vec::with_capacity(2);
        for sign in [Sign::Plus, Sign::Minus] {
            let mut numerator = minus_b.to_vec();
            for term in root {
                gather(
                    &mut numerator,
                    if sign == Sign::Plus {
                        term.clone()
                    } else {
                        term.clone().negated()
                    },
                );
            }
            let value = self.quotient(&numerator, double_a)?;
            let mut branch = state.clone();
            branch.step(Operation::TakeSign(sign), unknown.clone(), value.clone());
            let signs = self.tidy.signs(&value);
            if self.tidy.signs(unknown).is_positive() && !signs.positive {
                if let Some(kept) = branches.last_mut() {
                    let kept: &mut State = kept;
                    kept.dropped.push(super::isolate::Dropped {
                        value,
                        reason: super::step::DropReason::NotPositive,
                    });
                }
                continue;
            }
            branches.push(branch);
        }
        if branches.is_empty() {
            return Err(Stop::None(super::isolate::NoForm::NoSolution));
        }
        Ok(branches)
    }

    /// A quotient of two sums, with the content cancelled, and all of it where
    /// one is a multiple of the other.
    pub(super) fn quotient(&self, above: &[Monomial], below: &[Monomial]) -> Result<Expr, Stop> {
        if above.is_empty() {
            return Ok(Expr::integer(0));
        }
        let (one, two) = (content(above), content(below));
        let strip = |terms: &[Monomial], shared: &Monomial| -> Vec<Monomial> {
            terms
                .iter()
                .map(|term| term.times(&shared.inverted()))
                .collect()
        };
        let (mut rest_above, rest_below) = (strip(above, &one), strip(below, &two));
        let mut front = one.times(&two.inverted());
        let same = |left: &[Monomial], right: &[Monomial], flipped: bool| {
            left.len() == right.len()
                && left.iter().all(|term| {
                    right.iter().any(|other| {
                        other.is_like(term)
                            && other.coefficient == term.coefficient
                            && (other.sign == term.sign) != flipped
                    })
                })
        };
        if same(&rest_above, &rest_below, false) {
            return Ok(self.tidy.build(&front));
        }
        if same(&rest_above, &rest_below, true) {
            return Ok(self.tidy.build(&front.negated()));
        }
        if rest_above.iter().all(|term| term.sign == Sign::Minus) {
            rest_above = rest_above.into_iter().map(Monomial::negated).collect();
            front.sign = opposite(front.sign);
        }
        let top = self.tidy.monomial(&self.tidy.sum(&rest_above))?;
        let bottom = self.tidy.monomial(&self.tidy.sum(&rest_below))?;
        Ok(self
            .tidy
            .build(&front.times(&top).times(&bottom.inverted())))
    }

    fn over(&self, numerator: Expr, below: &Expr) -> Result<Expr, Stop> {
        let bottom = self.tidy.monomial(below)?;
        let mut terms = super::tidy::terms_of(&numerator);
        if bottom.is_one() {
            return Ok(numerator);
        }
        if bottom.is_number() && bottom.sign == Sign::Minus && bottom.coefficient.is_one() {
            for term in &mut terms {
                term.sign = opposite(term.sign);
            }
            return Ok(join(terms));
        }
        let top = if terms.len() == 1 {
            self.tidy.monomial(&numerator)?
        } else {
            let mut made = Monomial::number(&Number::ONE);
            made.factors.push((numerator, Number::ONE));
            made
        };
        Ok(self.tidy.build(&top.times(&bottom.inverted())))
    }

    /// The denominator with the brackets of the coefficient kept.
    fn factored(&self, expanded: &[Monomial], shown: &Expr) -> Result<Expr, Stop> {
        let whole = self.tidy.monomial(shown)?;
        if matches!(shown, Expr::Sum(_)) || whole.factors.len() < 2 {
            let shared = content(expanded);
            let rest: Vec<Monomial> = expanded
                .iter()
                .map(|term| term.times(&shared.inverted()))
                .collect();
            let bracket = self.tidy.monomial(&self.tidy.sum(&rest))?;
            return Ok(self.tidy.build(&shared.times(&bracket)));
        }
        Ok(self.tidy.sum(expanded))
    }

    /// `terms = outer^2 inner` with as much as possible outside.
    fn square_part(&self, terms: &[Monomial]) -> (Monomial, Vec<Monomial>) {
        if terms.is_empty() {
            return (Monomial::number(&Number::ONE), Vec::new());
        }
        let shared = content(terms);
        let mut outer = Monomial::number(&Number::ONE);
        let squares = |number: &Number| {
            number
                .factorise()
                .into_iter()
                .fold(Number::ONE, |product, (prime, count)| {
                    let half = i64::from(count / 2);
                    match prime.pow(half) {
                        Ok(power) => &product * &power,
                        Err(_) => product,
                    }
                })
        };
        outer.coefficient =
            &squares(&shared.coefficient.numerator()) / &squares(&shared.coefficient.denominator());
        for (base, exponent) in &shared.factors {
            if let Some(power) = exponent.to_i64() {
                // Rounded down, so that what stays has no denominator.
                let half = power.div_euclid(2);
                if half != 0 {
                    outer.factors.push((base.clone(), Number::from(half)));
                }
            }
        }
        let down = outer.inverted();
        let down = down.times(&down);
        let inner = terms.iter().map(|term| term.times(&down)).collect();
        (outer, inner)
    }

    /// The square root of a sum of one or three terms that is a square.
    fn exact_square(&self, terms: &[Monomial]) -> Result<Option<Vec<Monomial>>, Stop> {
        let half = Number::new(1, 2);
        let root_of = |term: &Monomial| -> Option<Monomial> {
            if term.sign != Sign::Plus {
                return None;
            }
            let mut made = Monomial::number(&term.coefficient.exact_root(2)?);
            for (base, exponent) in &term.factors {
                let power = exponent * &half;
                if !power.is_integer() {
                    return None;
                }
                made.factors.push((base.clone(), power));
            }
            Some(made)
        };
        match terms {
            [only] => Ok(root_of(only).map(|root| vec![root])),
            [_, _, _] => {
                for cross in 0..3 {
                    let others: Vec<&Monomial> = (0..3)
                        .filter(|&index| index != cross)
                        .map(|index| &terms[index])
                        .collect();
                    if let (Some(one), Some(two)) = (root_of(others[0]), root_of(others[1])) {
                        let product = one.times(&two).times(&Monomial::number(&Number::from(2)));
                        let middle = &terms[cross];
                        if middle.is_like(&product) && middle.coefficient == product.coefficient {
                            let two = if middle.sign == Sign::Minus {
                                two.negated()
                            } else {
                                two
                            };
                            return Ok(Some(vec![one, two]));
                        }
                    }
                }
                Ok(None)
            }
            _ => Ok(None),
        }
    }

    /// The one real root of a cubic whose depressed form `t^3 + pt + q` has a
    /// positive `p`, which is the condition that the step carries.
    pub(super) fn cubic(
        &mut self,
        mut state: State,
        sides: Sides,
        kernel: &Expr,
        unit: &Number,
    ) -> Result<Vec<State>, Stop> {
        let coefficients = self.move_to_zero(&mut state, sides, kernel, unit, 3)?;
        let shown: Vec<Expr> = coefficients
            .iter()
            .map(|group| self.tidy.sum(group))
            .collect();
        let [d, c, b, a] = &shown[..] else {
            return Err(Stop::None(super::isolate::NoForm::NoMethod));
        };
        let mut unknown_power = Monomial::number(&Number::ONE);
        unknown_power.factors.push((kernel.clone(), unit.clone()));
        let unknown = self.tidy.build(&unknown_power);
        let number = |value: i64, below: i64| Expr::Number(Number::new(value, below));
        // t = x + b/(3a), p = c/a - b^2/(3a^2), q = 2b^3/(27a^3) - bc/(3a^2) + d/a.
        let ratio = |top: &Expr| self.tidy.divide(top, a);
        let (b1, c1, d1) = (ratio(b)?, ratio(c)?, ratio(d)?);
        let scaled = |value: &Expr, factor: Expr| self.tidy.multiply(value, &factor);
        let b_square = self.tidy.raise(&b1, &Number::from(2))?;
        let b_cube = self.tidy.raise(&b1, &Number::from(3))?;
        let p = self
            .tidy
            .add(&c1, Sign::Minus, &scaled(&b_square, number(1, 3))?)?;
        let bc = self.tidy.multiply(&b1, &c1)?;
        let q = self.tidy.add(
            &self.tidy.add(
                &scaled(&b_cube, number(2, 27))?,
                Sign::Minus,
                &scaled(&bc, number(1, 3))?,
            )?,
            Sign::Plus,
            &d1,
        )?;
        let half_q = scaled(&q, number(1, 2))?;
        let inside = self.tidy.add(
            &self.tidy.raise(&half_q, &Number::from(2))?,
            Sign::Plus,
            &scaled(&self.tidy.raise(&p, &Number::from(3))?, number(1, 27))?,
        )?;
        let surd = Expr::call(Function::Sqrt, inside);
        let upper = self.tidy.add(&surd, Sign::Minus, &half_q)?;
        let lower = self.tidy.add(&surd, Sign::Plus, &half_q)?;
        let mut value = Expr::sub(
            Expr::call(Function::Cbrt, upper),
            Expr::call(Function::Cbrt, lower),
        );
        value = self
            .tidy
            .add(&value, Sign::Minus, &scaled(&b1, number(1, 3))?)?;
        let mut conditions = self.nonzero(a);
        // With p negative there may be two more roots.
        if !self.tidy.signs(&p).is_nonnegative() {
            state.complete = false;
        }
        conditions.push(Condition::Positive(p));
        let operation = Operation::CubicFormula {
            unknown: unknown.clone(),
            coefficients: [a.clone(), b.clone(), c.clone(), d.clone()],
        };
        state.step_if(operation, conditions, unknown, value);
        Ok(vec![state])
    }
}
