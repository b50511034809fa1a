//! Inverse operations: one layer off the side that holds the subject, the same
//! done to the other side.

use crate::algebra::expr::{Constant, Expr, Function, Sign, Term};
use crate::algebra::number::Number;

use super::expand::{content, gather};
use super::isolate::{Engine, NoForm, State, Stop};
use super::monomial::{Monomial, opposite};
use super::signs::angle_range;
use super::step::{Condition, DropReason, Identity, Operation, Roots};
use super::tidy::{is_decimal, join, plain_number, terms_of};

impl Engine<'_> {
    /// Takes one layer off the side with the subject (`left`: it is the left
    /// one). `None` if two parts of that layer hold the subject.
    pub(super) fn peel(&mut self, state: &State, left: bool) -> Result<Option<Vec<State>>, Stop> {
        let (side, other) = if left {
            (&state.equation.left, &state.equation.right)
        } else {
            (&state.equation.right, &state.equation.left)
        };
        let turn = Turn { left };
        if let Expr::Symbol(_) = side {
            let mut next = state.clone();
            next.step(Operation::SwapSides, side.clone(), other.clone());
            return Ok(Some(vec![next]));
        }
        let terms = terms_of(side);
        if terms.len() > 1 {
            return self.peel_sum(state, &terms, other, turn);
        }
        let whole = self.tidy.monomial_around(side, self.subject)?;
        let holding = whole
            .factors
            .iter()
            .filter(|(base, _)| self.holds(base))
            .count();
        if holding != 1 {
            return Ok(None);
        }
        let place = whole
            .factors
            .iter()
            .position(|(base, _)| self.holds(base))
            .unwrap_or(0);
        let (base, exponent) = whole.factors[place].clone();
        if whole.sign != Sign::Plus {
            // A minus waits while the subject is in a denominator, unless a
            // logarithm on the other side takes it up.
            let bare = exponent.is_negative()
                && whole.sign == Sign::Minus
                && whole.factors.len() > 1
                && reciprocal_log(&self.tidy.negate(other)?, self)?.is_none();
            if !bare {
                return self.change_signs(state, &whole, other, turn);
            }
        }
        if whole.factors.len() > 1 || !whole.coefficient.is_one() || exponent.is_negative() {
            return self.peel_product(state, &whole, other, turn);
        }
        if !exponent.is_one() {
            return self.peel_power(state, &base, &exponent, other, turn);
        }
        match &base {
            Expr::Sum(_) => self.peel_sum(state, &terms_of(&base), other, turn),
            Expr::Power(below, power) => self.peel_exponent(state, below, power, other, turn),
            Expr::Call(function, argument) => {
                self.peel_call(state, *function, argument, other, turn)
            }
            Expr::Symbol(_) => {
                // The side was written in a longer way, such as x^1.
                let mut next = state.clone();
                let (one, two) = turn.sides(base.clone(), other.clone());
                next.step(Operation::Rewrite(Identity::LowestTerms), one, two);
                Ok(Some(vec![next]))
            }
            _ => Ok(None),
        }
    }

    fn peel_sum(
        &mut self,
        state: &State,
        terms: &[Term],
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let (holding, free): (Vec<Term>, Vec<Term>) = terms
            .iter()
            .cloned()
            .partition(|term| self.holds(&term.value));
        let [subject_term] = &holding[..] else {
            return Ok(None);
        };
        let mut next = state.clone();
        let negative = subject_term.sign == Sign::Minus;
        if matches!(subject_term.sign, Sign::PlusMinus | Sign::MinusPlus) {
            return Ok(Some(self.split(next)));
        }
        if negative && !other.has_doubled_sign() {
            // b - x = c is best read as b = c + x.
            let moved = if matches!(other, Expr::Number(number) if number.is_zero()) {
                subject_term.value.clone()
            } else {
                let mut sum = terms_of(other);
                sum.push(Term {
                    sign: Sign::Plus,
                    value: subject_term.value.clone(),
                });
                join(sum)
            };
            let (one, two) = turn.sides(join(free), moved);
            next.step(
                Operation::AddToBothSides(subject_term.value.clone()),
                one,
                two,
            );
            return Ok(Some(vec![next]));
        }
        // Terms with one sign go over in one step.
        let first_sign = if free.iter().any(|term| term.sign == Sign::Plus) {
            Sign::Plus
        } else {
            free[0].sign
        };
        let moving: Vec<Term> = free
            .iter()
            .filter(|term| term.sign == first_sign)
            .map(|term| Term {
                sign: if first_sign == Sign::Minus {
                    Sign::Plus
                } else {
                    term.sign
                },
                value: term.value.clone(),
            })
            .collect();
        let staying: Vec<Term> = terms
            .iter()
            .filter(|term| self.holds(&term.value) || term.sign != first_sign)
            .cloned()
            .collect();
        let moved = join(moving);
        let (operation, sign) = if first_sign == Sign::Minus {
            (Operation::AddToBothSides(moved.clone()), Sign::Plus)
        } else {
            (Operation::SubtractFromBothSides(moved.clone()), Sign::Minus)
        };
        let across = self.tidy.add(other, sign, &moved)?;
        let (one, two) = turn.sides(join(staying), across);
        next.step(operation, one, two);
        Ok(Some(vec![next]))
    }

    fn change_signs(
        &mut self,
        state: &State,
        whole: &Monomial,
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let mut next = state.clone();
        let mut whole = whole.clone();
        if matches!(whole.sign, Sign::PlusMinus | Sign::MinusPlus) {
            return Ok(Some(self.split(next)));
        }
        whole.sign = Sign::Plus;
        let freed = self.tidy.build(&whole);
        let across = self.tidy.negate(other)?;
        let (one, two) = turn.sides(freed.clone(), across.clone());
        next.step(Operation::ChangeSigns, one, two);
        if let Some(turned) = reciprocal_log(&across, self)? {
            let (one, two) = turn.sides(freed, turned);
            next.step(Operation::Rewrite(Identity::LogOfReciprocal), one, two);
        }
        Ok(Some(vec![next]))
    }

    fn peel_product(
        &mut self,
        state: &State,
        whole: &Monomial,
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let mut next = state.clone();
        let (mut above, mut below) = (
            Monomial::number(&Number::ONE),
            Monomial::number(&Number::ONE),
        );
        if is_decimal(&whole.coefficient) {
            above.coefficient = whole.coefficient.clone();
        } else {
            above.coefficient = whole.coefficient.numerator();
            below.coefficient = whole.coefficient.denominator();
        }
        let mut subject_above = false;
        for (base, exponent) in &whole.factors {
            let holds = self.holds(base);
            if exponent.is_negative() {
                below.factors.push((base.clone(), -exponent));
            } else if holds {
                subject_above = true;
            } else {
                above.factors.push((base.clone(), exponent.clone()));
            }
        }
        let zero = matches!(other, Expr::Number(number) if number.is_zero());
        if !subject_above && zero {
            // A quotient is zero only where its numerator is.
            return Err(Stop::None(NoForm::NoSolution));
        }
        if !subject_above && above.is_one() {
            // `-1/(b C)`: the sign goes across before anything is turned over.
            let mut whole = whole.clone();
            let mut other = other.clone();
            if whole.sign == Sign::Minus {
                whole.sign = Sign::Plus;
                other = self.tidy.negate(&other)?;
                let (one, two) = turn.sides(self.tidy.build(&whole), other.clone());
                next.step(Operation::ChangeSigns, one, two);
            }
            let combined = self.combine(&other)?;
            if combined != other {
                let (one, two) = turn.sides(self.tidy.build(&whole), combined.clone());
                next.step(Operation::CombineFractions, one, two);
            }
            let freed = self.tidy.build(&below);
            let flipped = self.tidy.build(&self.tidy.monomial(&combined)?.inverted());
            let (one, two) = turn.sides(freed, flipped);
            let conditions = self.nonzero(&combined);
            next.step_if(Operation::TakeReciprocals, conditions, one, two);
            return Ok(Some(vec![next]));
        }
        if !below.is_one() {
            let factor = self.tidy.build(&below);
            let freed = self.tidy.build(&whole.times(&below));
            let across = self.tidy.multiply(other, &factor)?;
            let (one, two) = turn.sides(freed, across);
            next.step(Operation::MultiplyBothSides(factor), one, two);
            return Ok(Some(vec![next]));
        }
        let factor = self.tidy.build(&above);
        let freed = self.tidy.build(&whole.times(&above.inverted()));
        let across = self.tidy.divide(other, &factor)?;
        let (one, two) = turn.sides(freed, across);
        let conditions = self.nonzero(&factor);
        next.step_if(Operation::DivideBothSides(factor), conditions, one, two);
        Ok(Some(vec![next]))
    }

    /// A sum with fractions over one denominator; anything else as it is.
    fn combine(&mut self, expr: &Expr) -> Result<Expr, Stop> {
        let terms = terms_of(expr);
        if terms.len() < 2 {
            return Ok(expr.clone());
        }
        let mut parts: Vec<Monomial> = Vec::new();
        for term in &terms {
            let mut own = self.tidy.monomial(&term.value)?;
            own.sign = super::monomial::sign_product(own.sign, term.sign);
            gather(&mut parts, own);
        }
        let mut shared = content(&parts);
        shared.coefficient = Number::new(1, 1);
        let mut scale = Number::ONE;
        for part in &parts {
            let bottom = part.coefficient.denominator();
            let common = super::expand::common_measure(&scale, &bottom);
            scale = &(&scale * &bottom) / &common;
        }
        shared.coefficient = scale.reciprocal().unwrap_or(Number::ONE);
        shared
            .factors
            .retain(|(_, exponent)| exponent.is_negative());
        if shared.is_one() {
            return Ok(expr.clone());
        }
        let up = shared.inverted();
        let numerators: Vec<Monomial> = parts.iter().map(|part| part.times(&up)).collect();
        Ok(self
            .tidy
            .divide(&self.tidy.sum(&numerators), &self.tidy.build(&up))?)
    }

    fn peel_power(
        &mut self,
        state: &State,
        base: &Expr,
        exponent: &Number,
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let mut next = state.clone();
        let (numerator, denominator) = (exponent.numerator(), exponent.denominator());
        let signs = self.tidy.signs(other);
        if !numerator.is_one() && !denominator.is_one() {
            // x^(3/2): one power undoes both.
            let power = exponent.reciprocal().unwrap_or(Number::ONE);
            let conditions = self.nonnegative(other);
            let (one, two) = turn.sides(base.clone(), self.tidy.raise(other, &power)?);
            next.step_if(Operation::RaiseToPower(power), conditions, one, two);
            return Ok(Some(vec![next]));
        }
        if denominator.is_one() {
            let index = numerator
                .to_i64()
                .and_then(|n| u32::try_from(n).ok())
                .ok_or(Stop::None(NoForm::NoMethod))?;
            let even = index % 2 == 0;
            if even && signs.is_negative() {
                return Err(Stop::None(NoForm::NoSolution));
            }
            let root = Number::new(1, i64::from(index));
            let base_signs = self.tidy.signs(base);
            let roots = if !even {
                Roots::Only
            } else if base_signs.is_nonnegative() {
                Roots::Positive
            } else {
                Roots::Both
            };
            if !even && signs.negative && !signs.positive {
                // The odd root of a negative number: -(root of the positive).
                let value = self.tidy.raise(&self.tidy.negate(other)?, &root)?;
                let (one, two) = turn.sides(base.clone(), self.tidy.negate(&value)?);
                next.step(Operation::TakeRoot { index, roots }, one, two);
                return Ok(Some(vec![next]));
            }
            let mut value = self.tidy.power(&self.tidy.monomial(other)?, &root)?;
            if roots == Roots::Both {
                if other.has_doubled_sign() {
                    return Ok(Some(self.split(next)));
                }
                // Plus and minus |a| is plus and minus a; a root of it is not.
                for (own, power) in &mut value.factors {
                    if let Expr::Call(Function::Abs, inner) = own
                        && power.is_integer()
                    {
                        *own = (**inner).clone();
                    }
                }
                value.sign = Sign::PlusMinus;
            }
            let conditions = self.nonnegative(other);
            let value = if matches!(other, Expr::Number(number) if number.is_zero()) {
                Expr::integer(0)
            } else {
                self.tidy.build(&value)
            };
            let (one, two) = turn.sides(base.clone(), value);
            next.step_if(Operation::TakeRoot { index, roots }, conditions, one, two);
            return Ok(Some(vec![next]));
        }
        // A root of the subject.
        if signs.is_negative() {
            return Err(Stop::None(NoForm::NoSolution));
        }
        let conditions = self.nonnegative(other);
        let across = self.tidy.raise(other, &denominator)?;
        let (one, two) = turn.sides(base.clone(), across);
        next.step_if(Operation::RaiseToPower(denominator), conditions, one, two);
        Ok(Some(vec![next]))
    }

    fn peel_exponent(
        &mut self,
        state: &State,
        base: &Expr,
        exponent: &Expr,
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let mut next = state.clone();
        match (self.holds(base), self.holds(exponent)) {
            (true, true) => Err(Stop::None(NoForm::NoMethod)),
            (true, false) => {
                let power = self.tidy.divide(&Expr::integer(1), exponent)?;
                let mut conditions = self.nonzero(exponent);
                conditions.extend(self.positive(other));
                if !self.tidy.signs(base).is_nonnegative() {
                    next.complete = false;
                }
                let value = Expr::pow(other.clone(), power.clone());
                let (one, two) = turn.sides(base.clone(), value);
                next.step_if(Operation::RaiseToSymbolicPower(power), conditions, one, two);
                Ok(Some(vec![next]))
            }
            (false, _) => {
                let signs = self.tidy.signs(other);
                if !signs.positive {
                    return Err(Stop::None(NoForm::NoSolution));
                }
                let conditions = self.positive(other);
                let (function, freed, more) = match base {
                    Expr::Constant(Constant::Euler) => (Function::Ln, exponent.clone(), Vec::new()),
                    Expr::Number(number) if *number == Number::from(10) => {
                        (Function::Log10, exponent.clone(), Vec::new())
                    }
                    _ => {
                        let log = Expr::call(Function::Ln, base.clone());
                        (
                            Function::Ln,
                            self.tidy.multiply(exponent, &log)?,
                            self.positive(base),
                        )
                    }
                };
                let plain = more.is_empty() && matches!(base, Expr::Constant(_) | Expr::Number(_));
                let operation = if plain && self.exact_inverse(base) {
                    Operation::ApplyInverse(function)
                } else {
                    Operation::TakeLogarithms(function)
                };
                let conditions = conditions.into_iter().chain(more).collect();
                let value = self.logarithm(function, other);
                let (one, two) = turn.sides(freed, value);
                next.step_if(operation, conditions, one, two);
                Ok(Some(vec![next]))
            }
        }
    }

    fn exact_inverse(&self, base: &Expr) -> bool {
        match base {
            Expr::Constant(Constant::Euler) => true,
            Expr::Number(number) => *number == Number::from(10),
            _ => false,
        }
    }

    fn logarithm(&self, function: Function, value: &Expr) -> Expr {
        match value {
            Expr::Number(number) if number.is_one() => Expr::integer(0),
            other => Expr::call(function, other.clone()),
        }
    }

    fn peel_call(
        &mut self,
        state: &State,
        function: Function,
        argument: &Expr,
        other: &Expr,
        turn: Turn,
    ) -> Result<Option<Vec<State>>, Stop> {
        let mut next = state.clone();
        let within = |low, high| {
            angle_range(argument, self.table).is_some_and(|range| range.within(low, high))
        };
        let apply = |inverse: Function| Expr::call(inverse, other.clone());
        // Where the inverse has a value everywhere.
        let plainly =
            |inverse: Function| (Operation::ApplyInverse(inverse), Vec::new(), apply(inverse));
        let unit = vec![Condition::WithinOne(other.clone())];
        let (operation, conditions, value) = match function {
            Function::Sin => {
                let acute = within(-1, 1);
                let obtuse = within(0, 2);
                if !acute && other.has_doubled_sign() {
                    return Ok(Some(self.split(next)));
                }
                let value = apply(Function::Arcsin);
                let (one, two) = turn.sides(argument.clone(), value.clone());
                next.step_if(Operation::ApplyInverse(Function::Arcsin), unit, one, two);
                if acute {
                    return Ok(Some(vec![next]));
                }
                // Without bounds there are more, a turn apart.
                next.complete = next.complete && obtuse;
                let mut twin = next.clone();
                let half_turn =
                    self.tidy
                        .add(&Expr::Constant(Constant::Pi), Sign::Minus, &value)?;
                let (one, two) = turn.sides(argument.clone(), half_turn);
                twin.step(Operation::OtherAngle(Function::Sin), one, two);
                return Ok(Some(vec![next, twin]));
            }
            Function::Cos => {
                let principal = within(0, 2);
                let even = within(-1, 1);
                if even && !principal {
                    if other.has_doubled_sign() {
                        return Ok(Some(self.split(next)));
                    }
                    let value = Expr::Sum(vec![Term {
                        sign: Sign::PlusMinus,
                        value: apply(Function::Arccos),
                    }]);
                    let (one, two) = turn.sides(argument.clone(), value);
                    next.step_if(Operation::ApplyInverse(Function::Arccos), unit, one, two);
                    return Ok(Some(vec![next]));
                }
                next.complete = next.complete && principal;
                (
                    Operation::ApplyInverse(Function::Arccos),
                    unit,
                    apply(Function::Arccos),
                )
            }
            Function::Tan => {
                next.complete = next.complete && within(-1, 1);
                plainly(Function::Arctan)
            }
            Function::Sec | Function::Cosec | Function::Cot => {
                let plain = match function {
                    Function::Sec => Function::Cos,
                    Function::Cosec => Function::Sin,
                    _ => Function::Tan,
                };
                let conditions = self.nonzero(other);
                let flipped = self.tidy.divide(&Expr::integer(1), other)?;
                let (one, two) = turn.sides(Expr::call(plain, argument.clone()), flipped);
                next.step_if(Operation::TakeReciprocals, conditions, one, two);
                return Ok(Some(vec![next]));
            }
            Function::Arcsin => plainly(Function::Sin),
            Function::Arccos => plainly(Function::Cos),
            Function::Arctan => plainly(Function::Tan),
            Function::Ln => (
                Operation::ApplyInverse(Function::Exp),
                Vec::new(),
                match other {
                    Expr::Number(number) if number.is_zero() => Expr::integer(1),
                    _ => Expr::pow(Expr::Constant(Constant::Euler), other.clone()),
                },
            ),
            Function::Log10 => (
                Operation::RaiseTenToBothSides,
                Vec::new(),
                Expr::pow(Expr::integer(10), other.clone()),
            ),
            Function::Exp => (
                Operation::ApplyInverse(Function::Ln),
                self.positive(other),
                self.logarithm(Function::Ln, other),
            ),
            Function::Abs => {
                let signs = self.tidy.signs(other);
                if signs.is_negative() {
                    return Err(Stop::None(NoForm::NoSolution));
                }
                if other.has_doubled_sign() {
                    return Ok(Some(self.split(next)));
                }
                let value = Expr::Sum(vec![Term {
                    sign: Sign::PlusMinus,
                    value: other.clone(),
                }]);
                (
                    Operation::RemoveAbsolute(Roots::Both),
                    self.nonnegative(other),
                    value,
                )
            }
            Function::Sinh => plainly(Function::Arsinh),
            Function::Tanh => (
                Operation::ApplyInverse(Function::Artanh),
                unit,
                apply(Function::Artanh),
            ),
            Function::Cosh => {
                let positive = self.tidy.signs(argument).is_nonnegative();
                let value = apply(Function::Arcosh);
                let value = if positive {
                    value
                } else if other.has_doubled_sign() {
                    return Ok(Some(self.split(next)));
                } else {
                    Expr::Sum(vec![Term {
                        sign: Sign::PlusMinus,
                        value,
                    }])
                };
                let excess = self.tidy.add(other, Sign::Minus, &Expr::integer(1))?;
                (
                    Operation::ApplyInverse(Function::Arcosh),
                    self.nonnegative(&excess),
                    value,
                )
            }
            Function::Arsinh => plainly(Function::Sinh),
            Function::Arcosh => (
                Operation::ApplyInverse(Function::Cosh),
                self.nonnegative(other),
                apply(Function::Cosh),
            ),
            Function::Artanh => plainly(Function::Tanh),
            // The monomial of a side has these as powers.
            Function::Sqrt | Function::Cbrt => return Ok(None),
        };
        let (one, two) = turn.sides(argument.clone(), value);
        next.step_if(operation, conditions, one, two);
        Ok(Some(vec![next]))
    }

    /// Leaves out the root that the unknown's sign forbids, with the reason.
    pub(super) fn forbid(&self, state: &mut State, sign: Sign, unknown: &Expr, value: Expr) {
        state.dropped.push(super::isolate::Dropped {
            value: value.clone(),
            reason: DropReason::NotPositive,
        });
        let kept = opposite(sign);
        let pick = usize::from(kept == Sign::Minus);
        let branch = state.equation.right.branches().swap_remove(pick);
        state.step(
            Operation::KeepSign(kept, DropReason::NotPositive),
            unknown.clone(),
            branch,
        );
    }
}

/// `ln(b/a)` for `-ln(a/b)`.
fn reciprocal_log(expr: &Expr, engine: &Engine) -> Result<Option<Expr>, Stop> {
    let Expr::Sum(terms) = expr else {
        return Ok(None);
    };
    let [
        Term {
            sign: Sign::Minus,
            value: Expr::Call(function @ (Function::Ln | Function::Log10), argument),
        },
    ] = &terms[..]
    else {
        return Ok(None);
    };
    let inside = engine.tidy.monomial(argument)?;
    let quotient = inside.sign == Sign::Plus
        && (inside
            .factors
            .iter()
            .any(|(_, exponent)| exponent.is_negative())
            || inside.is_number() && !inside.coefficient.is_integer());
    if !quotient || matches!(plain_number(argument), Expr::Number(number) if number.is_integer()) {
        return Ok(None);
    }
    let turned = engine.tidy.build(&inside.inverted());
    Ok(Some(Expr::call(*function, turned)))
}

/// Which side the subject is on; the sides come back in their places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    pub left: bool,
}

impl Turn {
    pub(super) fn sides(self, subject_side: Expr, other: Expr) -> (Expr, Expr) {
        if self.left {
            (subject_side, other)
        } else {
            (other, subject_side)
        }
    }
}
