//! Two values held against each other at one point: certified doubles first,
//! exact rationals where both have one, long floats behind.

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::{self, NoValue};
use crate::algebra::exact;
use crate::algebra::expr::Expr;
use crate::algebra::precise::{Precise, Precision};

use super::carrier::{Carrier, Point, shown_ball};
use super::verdict::Shown;

/// The precision behind the doubles: about 77 decimal digits.
pub const LONG: Precision = Precision(256);

/// What came of one comparison.
#[derive(Debug, Clone, PartialEq)]
pub enum Compared {
    /// Certainly different values; the ones that were found.
    Differ(Shown, Shown),
    /// Exactly the same rational value.
    Same,
    /// The balls meet; equal to so many decimal digits, where long floats were
    /// asked.
    Meet(u32),
    /// The first is defined, the second certainly is not.
    Undefined(Shown),
    /// No value that is certain.
    Unsure,
}

/// The value at a point as it is shown: exact where it is rational.
#[must_use]
pub fn shown(expr: &Expr, point: &Point) -> Option<Shown> {
    if let Some(values) = point.exact()
        && let Ok(number) = exact::evaluate(expr, values)
    {
        return Some(Shown::Exact(number));
    }
    ball::evaluate(expr, &point.balls).ok().map(shown_ball)
}

/// The certified value at a point, without error where it is an exact double.
///
/// # Errors
/// [`NoValue`] where there is none.
pub fn ball(expr: &Expr, point: &Point) -> Result<Ball, NoValue> {
    if let Some(values) = point.exact()
        && let Ok(number) = exact::evaluate(expr, values)
        && let Some(exact) = Ball::of(&number)
    {
        return Ok(exact);
    }
    ball::evaluate(expr, &point.balls)
}

/// Doubles alone: fast, and enough for most.
#[must_use]
pub fn quickly(left: &Expr, right: &Expr, point: &Point) -> Compared {
    let Ok(first) = ball::evaluate(left, &point.balls) else {
        return Compared::Unsure;
    };
    against(first, right, point)
}

/// A value that is known already against an expression, in doubles.
#[must_use]
pub fn against(first: Ball, right: &Expr, point: &Point) -> Compared {
    match ball::evaluate(right, &point.balls) {
        Err(NoValue::Undefined) => Compared::Undefined(shown_ball(first)),
        Err(NoValue::Unsure) => Compared::Unsure,
        Ok(second) if first.differs_from(second) => {
            Compared::Differ(shown_ball(first), shown_ball(second))
        }
        // How many digits the doubles share is not worth a logarithm here;
        // who needs digits asks long floats.
        Ok(_) => Compared::Meet(0),
    }
}

/// With everything there is: exact rationals, then long floats.
#[must_use]
pub fn thoroughly(left: &Expr, right: &Expr, point: &Point, carrier: &Carrier) -> Compared {
    if let Some(values) = point.exact()
        && let (Ok(first), Ok(second)) = (
            exact::evaluate(left, values),
            exact::evaluate(right, values),
        )
    {
        return if first == second {
            Compared::Same
        } else {
            Compared::Differ(Shown::Exact(first), Shown::Exact(second))
        };
    }
    let Some(values) = carrier.precise(point, LONG) else {
        return Compared::Unsure;
    };
    precisely(left, right, &values)
}

/// In long floats, whose values are given.
#[must_use]
pub fn precisely(left: &Expr, right: &Expr, values: &[Precise]) -> Compared {
    let Ok(first) = certified::evaluate(left, values, &LONG) else {
        return Compared::Unsure;
    };
    let near = |value: &Precise| Shown::Near(value.to_f64());
    match certified::evaluate::<Precise>(right, values, &LONG) {
        Err(NoValue::Undefined) => Compared::Undefined(near(&first)),
        Err(NoValue::Unsure) => Compared::Unsure,
        Ok(second) if first.differs_from(&second) => Compared::Differ(near(&first), near(&second)),
        Ok(second) => Compared::Meet(first.digits().min(second.digits())),
    }
}
