//! What an expression is recognised by: its certified values at fixed places.
//!
//! The first value finds candidates quickly; a candidate is confirmed only if
//! certified values agree at [`ENOUGH`] places at least and differ at none, or
//! if the difference is proved to be zero.

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::NoValue;
use crate::algebra::expr::Expr;
use crate::algebra::limits::Budget;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::sample;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::super::rearrangement::Problem;
use super::rough;

/// Places of the formula that are used.
const ON_FORMULA: usize = 10;
/// Places beside it: a wrong answer may be undefined wherever the formula
/// holds.
const BESIDE: usize = 20;
/// Places at which two values must agree.
pub(super) const ENOUGH: usize = 6;
/// How near two values must be, relative, for both to be looked at.
const NEAR: f64 = 1e-9;
/// Steps of algebra for one proof.
const PROOF_STEPS: u64 = 4_000;

/// Values of all symbols at fixed places of the domain.
#[derive(Debug, Clone)]
pub(super) struct Places {
    values: Vec<Vec<Ball>>,
    rough: Vec<Vec<f64>>,
    on_formula: usize,
}

/// The first place with a value, and the value there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mark {
    pub place: usize,
    pub value: f64,
}

impl Mark {
    /// Whether another expression with this mark may be the same.
    pub(super) fn is_near(self, other: Self) -> bool {
        self.place == other.place
            && (self.value - other.value).abs() <= NEAR * self.value.abs().max(other.value.abs())
    }

    /// The entries of a list in the order of their marks that may have this
    /// one.
    pub(super) fn neighbours<'s, T>(
        self,
        sorted: &'s [T],
        of: impl Fn(&T) -> Mark + Copy + 's,
    ) -> impl Iterator<Item = &'s T> {
        let margin = self.value.abs() * 2.0 * NEAR;
        let start = sorted.partition_point(|entry| {
            let own = of(entry);
            (own.place, own.value) < (self.place, self.value - margin)
        });
        sorted[start..]
            .iter()
            .take_while(move |entry| {
                let own = of(entry);
                own.place == self.place && own.value <= self.value + margin
            })
            .filter(move |entry| of(entry).is_near(self))
    }
}

impl Places {
    pub(super) fn new(problem: &Problem, table: &SymbolTable) -> Self {
        // The least pleasant points of the formula come first: at whole
        // numbers too many different things have the same value.
        let mut values: Vec<Vec<Ball>> = problem
            .points()
            .iter()
            .rev()
            .take(ON_FORMULA)
            .map(|point| point.balls.clone())
            .collect();
        let on_formula = values.len();
        let symbols: Vec<Symbol> = table.symbols().collect();
        for index in 0..BESIDE {
            let chosen = sample::point(sample::PLEASANT + index, &symbols, table);
            values.push(
                chosen
                    .iter()
                    .map(|number| Ball::of(number).unwrap_or(Ball::exact(1.0)))
                    .collect(),
            );
        }
        let rough = values
            .iter()
            .map(|balls| balls.iter().map(|ball| ball.mid()).collect())
            .collect();
        Places {
            values,
            rough,
            on_formula,
        }
    }

    /// The values at one place.
    pub(super) fn values(&self, place: usize) -> Option<&[Ball]> {
        self.values.get(place).map(Vec::as_slice)
    }

    /// The places at which the formula holds.
    pub(super) fn on_formula(&self) -> &[Vec<Ball>] {
        &self.values[..self.on_formula]
    }

    /// The mark of an expression; nothing where no place gives it a value.
    pub(super) fn mark(&self, expr: &Expr) -> Option<Mark> {
        self.values.iter().enumerate().find_map(|(place, values)| {
            let ball = ball::evaluate(expr, values).ok()?;
            narrow(ball, ball).then_some(Mark {
                place,
                value: ball.mid(),
            })
        })
    }

    /// The mark of an expression with one of its nodes read as another, in
    /// plain doubles.
    pub(super) fn rough_mark(&self, expr: &Expr, from: &Expr, to: &Expr) -> Option<Mark> {
        self.rough.iter().enumerate().find_map(|(place, values)| {
            let value = rough::value(expr, from, to, values);
            value.is_finite().then_some(Mark { place, value })
        })
    }

    /// Whether an expression has one value at all of the first few places at
    /// which it has any.
    pub(super) fn is_constant(&self, expr: &Expr) -> bool {
        let mut found: Vec<Ball> = Vec::new();
        for values in &self.values {
            let Ok(ball) = ball::evaluate(expr, values) else {
                continue;
            };
            if found.iter().any(|other| other.differs_from(ball)) {
                return false;
            }
            found.push(ball);
            if found.len() == ENOUGH {
                break;
            }
        }
        found.len() >= 2
    }

    /// The values of an expression at all places.
    pub(super) fn valued(&self, expr: &Expr) -> Vec<Valued> {
        self.values
            .iter()
            .map(|values| ball::evaluate(expr, values))
            .collect()
    }

    /// How the values of two expressions stand to each other.
    pub(super) fn compare(&self, one: &Expr, two: &Expr) -> Agreement {
        let of_one = self.values.iter().map(|values| ball::evaluate(one, values));
        self.compare_with(of_one, two)
    }

    /// [`Places::compare`], the values of one expression being known.
    pub(super) fn compare_valued(&self, one: &[Valued], two: &Expr) -> Agreement {
        self.compare_with(one.iter().copied(), two)
    }

    fn compare_with(&self, one: impl Iterator<Item = Valued>, two: &Expr) -> Agreement {
        let mut agreed = 0;
        let mut apart = 0;
        for (first, values) in one.zip(&self.values) {
            match (first, ball::evaluate(two, values)) {
                (Ok(first), Ok(second)) => {
                    if first.differs_from(second) {
                        return Agreement::Apart;
                    }
                    agreed += usize::from(narrow(first, second));
                }
                (Ok(_), Err(NoValue::Undefined)) | (Err(NoValue::Undefined), Ok(_)) => apart += 1,
                _ => {}
            }
        }
        if apart == 0 && agreed >= ENOUGH {
            Agreement::Same
        } else {
            Agreement::Open
        }
    }

    /// Whether the difference of two expressions is proved to be zero.
    pub(super) fn is_proved(&self, one: &Expr, two: &Expr, table: &SymbolTable) -> bool {
        proved_equal_within(one, two, table, Budget::new(PROOF_STEPS)) == Ok(true)
    }

    /// Whether two expressions have the same values.
    pub(super) fn agree(&self, one: &Expr, two: &Expr, table: &SymbolTable) -> bool {
        match self.compare(one, two) {
            Agreement::Same => true,
            Agreement::Apart => false,
            Agreement::Open => self.is_proved(one, two, table),
        }
    }
}

/// The value of an expression at one place.
pub(super) type Valued = Result<Ball, NoValue>;

/// How the values of two expressions stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Agreement {
    /// They agree at places enough, and differ at none.
    Same,
    /// They certainly differ somewhere.
    Apart,
    /// Numbers don't tell.
    Open,
}

/// Whether two values are known well enough to be called the same.
pub(super) fn narrow(one: Ball, two: Ball) -> bool {
    let size = one.mid().abs().max(two.mid().abs());
    one.rad() + two.rad() <= NEAR * size || size == 0.0
}
