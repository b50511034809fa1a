//! Places: values of all symbols that satisfy the premises for certain.
//!
//! Free symbols get pleasant rational values, solved ones follow in order
//! along the triangular set, exactly where that is possible and as certified
//! balls otherwise. A float that nearly fits the premises certifies nothing.

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::{self, NoValue};
use crate::algebra::exact;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::number::Number;
use crate::algebra::precise::Precise;
use crate::algebra::sample;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::carrier::{admissible, shown_ball};
use super::compare::{self, Compared, LONG};
use super::premises::{Case, Triangular, branches};
use super::verdict::Shown;

/// Candidates that are tried at first.
const CANDIDATES: usize = 64;
/// Candidates that are tried if those give too few.
const FURTHER: usize = 800;
/// Places that are kept for one case.
const KEPT: usize = 12;
/// Relative error that a shown value may have.
const BLUR: f64 = 1e-12;
/// Fewer than this and more candidates are tried.
const FEW: usize = 4;

/// Values of all symbols of the table, by their index.
#[derive(Debug, Clone)]
pub struct Place {
    balls: Vec<Ball>,
    exact: Vec<Option<Number>>,
    values: Vec<Number>,
    case: usize,
    number: usize,
}

impl Place {
    /// The value of a symbol, as it is shown.
    #[must_use]
    pub fn shown(&self, symbol: Symbol) -> Shown {
        match self.exact.get(symbol.index()) {
            Some(Some(number)) => Shown::Exact(number.clone()),
            _ => shown_ball(
                self.balls
                    .get(symbol.index())
                    .copied()
                    .unwrap_or(Ball::exact(0.0)),
            ),
        }
    }

    fn exact_value(&self, expr: &Expr) -> Option<Number> {
        let known = expr
            .symbols()
            .iter()
            .all(|symbol| matches!(self.exact.get(symbol.index()), Some(Some(_))));
        if known {
            exact::evaluate(expr, &self.values).ok()
        } else {
            None
        }
    }

    /// The value of an expression here, as it is shown.
    #[must_use]
    pub fn value(&self, expr: &Expr) -> Option<Shown> {
        if let Some(number) = self.exact_value(expr) {
            return Some(Shown::Exact(number));
        }
        ball::evaluate(expr, &self.balls).ok().map(shown_ball)
    }

    /// Whether an expression certainly has no value here.
    #[must_use]
    pub fn lacks(&self, expr: &Expr) -> bool {
        ball::evaluate(expr, &self.balls).err() == Some(NoValue::Undefined)
    }

    /// Two sides held against each other: in doubles, and exactly where both
    /// are rational.
    #[must_use]
    pub fn compare(&self, left: &Expr, right: &Expr) -> Compared {
        let Ok(first) = ball::evaluate(left, &self.balls) else {
            return Compared::Unsure;
        };
        match ball::evaluate(right, &self.balls) {
            Err(NoValue::Undefined) => Compared::Undefined(shown_ball(first)),
            Err(NoValue::Unsure) => Compared::Unsure,
            Ok(second) if first.differs_from(second) => {
                let of = |expr: &Expr, ball| self.value(expr).unwrap_or(shown_ball(ball));
                Compared::Differ(of(left, first), of(right, second))
            }
            Ok(_) => match (self.exact_value(left), self.exact_value(right)) {
                (Some(first), Some(second)) if first == second => Compared::Same,
                (Some(first), Some(second)) => {
                    Compared::Differ(Shown::Exact(first), Shown::Exact(second))
                }
                _ => Compared::Meet(0),
            },
        }
    }

    /// Two sides in long floats.
    #[must_use]
    pub fn compare_precisely(
        &self,
        left: &Expr,
        right: &Expr,
        triangular: &Triangular,
    ) -> Compared {
        let Some(values) = self.precise(triangular) else {
            return Compared::Unsure;
        };
        compare::precisely(left, right, &values)
    }

    fn precise(&self, triangular: &Triangular) -> Option<Vec<Precise>> {
        use crate::algebra::certified::Certified;
        let case = triangular.cases.get(self.case)?;
        let mut values = Vec::with_capacity(self.values.len());
        for number in &self.values {
            values.push(Precise::of(&LONG, number)?);
        }
        for rung in case.rungs.iter().rev() {
            if self.exact[rung.symbol.index()].is_none() {
                values[rung.symbol.index()] =
                    certified::evaluate(&rung.value, &values, &LONG).ok()?;
            }
        }
        Some(values)
    }

    /// The number of the candidate that gave this place: smaller ones are
    /// more pleasant.
    #[must_use]
    pub fn number(&self) -> usize {
        self.number
    }

    /// Which case of the triangular set it lies on.
    #[must_use]
    pub fn case(&self) -> usize {
        self.case
    }
}

/// Places on the premises, of every case that has any. All symbols of the
/// table get values.
#[must_use]
pub fn places(triangular: &Triangular, premises: &[Equation], table: &SymbolTable) -> Vec<Place> {
    let mut found = Vec::new();
    let mut spoken_of = vec![false; table.len()];
    for symbol in premises.iter().flat_map(Equation::symbols) {
        spoken_of[symbol.index()] = true;
    }
    for (index, case) in triangular.cases.iter().enumerate() {
        // Where a premise stays unsolved no value is certain.
        if !case.unsolved.is_empty() || !case.sound {
            continue;
        }
        let mut free: Vec<Symbol> = table
            .symbols()
            .filter(|symbol| !case.rungs.iter().any(|rung| rung.symbol == *symbol))
            .collect();
        // The small numbers go to what the premises speak of.
        free.sort_by_key(|symbol| !spoken_of[symbol.index()]);
        let before = found.len();
        for number in 0..CANDIDATES + FURTHER {
            let here = found.len() - before;
            if here >= KEPT || (number >= CANDIDATES && here >= FEW) {
                break;
            }
            if let Some(place) = place(number, index, case, &free, premises, table) {
                found.push(place);
            }
        }
    }
    found
}

fn place(
    number: usize,
    index: usize,
    case: &Case,
    free: &[Symbol],
    premises: &[Equation],
    table: &SymbolTable,
) -> Option<Place> {
    let mut place = Place {
        balls: vec![Ball::exact(0.0); table.len()],
        exact: vec![None; table.len()],
        values: vec![Number::ZERO; table.len()],
        case: index,
        number,
    };
    for (symbol, value) in free.iter().zip(sample::point(number, free, table)) {
        place.balls[symbol.index()] = Ball::of(&value)?;
        place.values[symbol.index()] = value.clone();
        place.exact[symbol.index()] = Some(value);
    }
    for rung in case.rungs.iter().rev() {
        let at = rung.symbol.index();
        let value = place.exact_value(&rung.value);
        let ball = match &value {
            Some(number) => Ball::of(number)?,
            None => ball::evaluate(&rung.value, &place.balls).ok()?,
        };
        // A value that is known to few digits only would not look like a
        // solution to someone who tries it.
        let blurred = ball.rad() > ball.mid().abs() * BLUR;
        if blurred || !admissible(ball, table.domain(rung.symbol)) {
            return None;
        }
        place.balls[at] = ball;
        if let Some(value) = value {
            place.values[at] = value.clone();
            place.exact[at] = Some(value);
        }
    }
    // What was assumed not to be zero certainly is not, and every premise is
    // defined here and not refuted.
    for condition in &case.conditions {
        if !ball::evaluate(condition, &place.balls).ok()?.is_nonzero() {
            return None;
        }
    }
    let stands = premises.iter().all(|premise| {
        branches(premise).iter().any(|equation| {
            matches!(
                place.compare(&equation.left, &equation.right),
                Compared::Same | Compared::Meet(_)
            )
        })
    });
    stands.then_some(place)
}
