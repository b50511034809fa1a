//! Points that satisfy a formula: it is solved for one of its symbols, and
//! the others are chosen.
//!
//! The symbol that is solved for is, where there is a choice, not the one
//! that is asked for. Then the asked symbol's value is *chosen* at every
//! point, and what an answer should give there is known exactly.

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::Certified;
use crate::algebra::divisor::{self, Scaling};
use crate::algebra::exact;
use crate::algebra::exponent::Exponent;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::kernel::{Kernel, Known};
use crate::algebra::normal::Field;
use crate::algebra::number::Number;
use crate::algebra::polynomial::{KernelId, Polynomial};
use crate::algebra::precise::{Precise, Precision};
use crate::algebra::sample;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::isolate::{self, Outcome};
use super::putback::Support;
use super::step::{Condition, DropReason};
use super::verdict::Shown;

/// A right angle in radians, compared with by a margin far above any error.
const RIGHT_ANGLE: f64 = std::f64::consts::FRAC_PI_2;
/// Candidates that are tried for points.
const CANDIDATES: usize = 72;
/// Points that are kept.
const KEPT: usize = 24;

/// Candidates for further points.
const FURTHER: usize = 1_200;

/// A formula solved for one of its symbols.
#[derive(Debug, Clone)]
pub struct Carrier {
    /// The symbol.
    pub symbol: Symbol,
    /// Its solutions.
    pub branches: Vec<Expr>,
    /// Whether these are all the solutions on the domain.
    pub complete: bool,
    /// Whether a divisor that may be zero was divided by on the way: then that
    /// they are all holds by algebra alone, and numbers don't support it.
    pub divides: bool,
    /// What every point must satisfy, where the solution does not say it all:
    /// a root squared away, say.
    check: Option<Equation>,
}

/// Values of symbols by their index: certified, and exact where they are.
#[derive(Debug, Clone)]
pub struct Point {
    /// Certified values of all symbols of the table.
    pub balls: Vec<Ball>,
    /// Exact values of all but the carried symbol, and of that one too where
    /// it is rational.
    values: Vec<Number>,
    /// The carried symbol, if its value is not rational.
    inexact: Option<Symbol>,
    /// Which branch of the carrier was taken.
    branch: usize,
}

impl Point {
    /// The value of a symbol, as it is shown.
    #[must_use]
    pub fn shown(&self, symbol: Symbol) -> Shown {
        if self.inexact == Some(symbol) {
            shown_ball(self.balls[symbol.index()])
        } else {
            Shown::Exact(self.values[symbol.index()].clone())
        }
    }

    /// Which of the carrier's solutions the point lies on.
    #[must_use]
    pub fn branch(&self) -> usize {
        self.branch
    }

    /// The exact values of all symbols, if all are rational.
    #[must_use]
    pub fn exact(&self) -> Option<&[Number]> {
        self.inexact.is_none().then_some(self.values.as_slice())
    }

    /// The same point with further symbols given values.
    #[must_use]
    pub fn extended(&self, further: &[Symbol], number: usize, table: &SymbolTable) -> Point {
        let mut point = self.clone();
        let values = sample::point(number, further, table);
        for (symbol, value) in further.iter().zip(values) {
            let index = symbol.index();
            if point.balls.len() <= index {
                point.balls.resize(index + 1, Ball::exact(0.0));
            }
            point.balls[index] = Ball::of(&value).unwrap_or(Ball::exact(1.0));
            if point.values.len() <= index {
                point.values.resize(index + 1, Number::ZERO);
            }
            point.values[index] = value;
        }
        point
    }
}

/// A ball as it is shown: exact where it has no error.
#[must_use]
pub fn shown_ball(ball: Ball) -> Shown {
    if ball.rad() == 0.0
        && let Some(number) = Number::from_f64(ball.mid())
    {
        return Shown::Exact(number);
    }
    Shown::Near(ball.mid())
}

impl Carrier {
    /// A formula solved for one of its symbols, `asked` only if no other will
    /// do.
    #[must_use]
    pub fn find(formula: &Equation, asked: Option<Symbol>, table: &SymbolTable) -> Option<Self> {
        if let Some(carrier) = Self::alone(formula, asked).or_else(|| Self::alone(formula, None)) {
            return Some(carrier);
        }
        let mut symbols = formula.symbols();
        // Fewest appearances first: most likely to be solved cleanly.
        symbols.sort_by_key(|symbol| {
            (
                Some(*symbol) == asked,
                formula.left.occurrences(*symbol) + formula.right.occurrences(*symbol),
            )
        });
        let mut second_best: Option<((bool, bool), Self)> = None;
        for symbol in symbols {
            if Some(symbol) == asked && second_best.is_some() {
                break;
            }
            if let Outcome::Solved {
                solutions,
                complete,
                dropped,
            } = isolate::isolate(formula, symbol, table)
            {
                // A root that was left out because it failed wherever it was
                // tried may hold elsewhere.
                // A number that failed is none for certain.
                let complete = complete
                    && dropped.iter().all(|root| {
                        root.reason != DropReason::Introduced || root.value.symbols().is_empty()
                    });
                // A divisor that may be zero leaves solutions out, unless
                // what it leaves out is no more than the zeros that numerator
                // and denominator have in common. What a root, a logarithm or
                // an inverse sine needs is ensured by the equation itself.
                let divides = |found: &isolate::Solution| {
                    found
                        .conditions
                        .iter()
                        .any(|condition| matches!(condition, Condition::NonZero(_)))
                };
                let complete = complete
                    && (!solutions.iter().any(divides)
                        || is_linear_and_coprime(formula, symbol, table));
                // What does not solve the formula everywhere would make points
                // that are none of the formula's.
                let everywhere = |found: &isolate::Solution| {
                    matches!(found.support, Support::Proved | Support::Numbers(_))
                };
                let complete = complete && solutions.iter().all(everywhere);
                let unconditional = solutions.iter().all(|found| found.conditions.is_empty());
                let divides = solutions.iter().any(divides);
                let carrier = Carrier {
                    symbol,
                    divides,
                    check: Some(formula.clone()),
                    branches: solutions
                        .into_iter()
                        .filter(everywhere)
                        .map(|found| found.value)
                        .collect(),
                    complete,
                };
                if carrier.branches.is_empty() {
                    continue;
                }
                let single = carrier.branches.len() == 1;
                if complete && single && unconditional {
                    return Some(carrier);
                }
                // Next best: all solutions at once, then all solutions.
                let rank = (!(complete && single), !complete);
                if second_best.as_ref().is_none_or(|(best, _)| rank < *best) {
                    second_best = Some((rank, carrier));
                }
            }
        }
        second_best.map(|(_, carrier)| carrier)
    }

    /// One side is a symbol alone that the other side does not have.
    fn alone(formula: &Equation, asked: Option<Symbol>) -> Option<Self> {
        let sides = [
            (&formula.left, &formula.right),
            (&formula.right, &formula.left),
        ];
        for (side, other) in sides {
            if let Expr::Symbol(symbol) = side
                && Some(*symbol) != asked
                && !other.contains(*symbol)
            {
                return Some(Carrier {
                    symbol: *symbol,
                    branches: other.branches(),
                    complete: true,
                    divides: false,
                    check: None,
                });
            }
        }
        None
    }

    /// Points of the domain that satisfy the formula, the most pleasant ones
    /// first.
    #[must_use]
    pub fn points(&self, symbols: &[Symbol], table: &SymbolTable) -> Vec<Point> {
        let chosen: Vec<Symbol> = symbols
            .iter()
            .copied()
            .filter(|symbol| *symbol != self.symbol)
            .collect();
        let mut found: Vec<(u32, Point)> = Vec::new();
        for number in 0..CANDIDATES {
            // A few points that are not pleasant tell apart what whole
            // numbers do not.
            if found.len() >= KEPT && number > sample::PLEASANT + 8 {
                break;
            }
            let values = sample::point(number, &chosen, table);
            for branch in 0..self.branches.len() {
                if let Some(point) = self.point(&values, branch, &chosen, table) {
                    found.push((self.pains(&point, symbols), point));
                }
            }
        }
        found.sort_by_key(|(pains, _)| *pains);
        found.into_iter().map(|(_, point)| point).collect()
    }

    /// Many more points, for the rare question that a few do not settle; each
    /// is made when it is asked for.
    pub fn further_points<'a>(
        &'a self,
        symbols: &[Symbol],
        table: &'a SymbolTable,
    ) -> impl Iterator<Item = Point> + 'a {
        let chosen: Vec<Symbol> = symbols
            .iter()
            .copied()
            .filter(|symbol| *symbol != self.symbol)
            .collect();
        let scattered = (0..FURTHER).map({
            let chosen = chosen.clone();
            move |number| sample::point(number, &chosen, table)
        });
        let extremes = std::iter::once_with({
            let chosen = chosen.clone();
            move || sample::extremes(&chosen, table)
        });
        scattered.chain(extremes.flatten()).flat_map(move |values| {
            let on = |branch| self.point(&values, branch, &chosen, table);
            (0..self.branches.len()).filter_map(on).collect::<Vec<_>>()
        })
    }

    fn point(
        &self,
        values: &[Number],
        branch: usize,
        chosen: &[Symbol],
        table: &SymbolTable,
    ) -> Option<Point> {
        let (mut balls, mut exact_values) = by_index(values, chosen, table)?;
        let expr = &self.branches[branch];
        let ball = ball::evaluate(expr, &balls).ok()?;
        let exact = exact::evaluate(expr, &exact_values).ok();
        let ball = match &exact {
            Some(number) => Ball::of(number)?,
            None => ball,
        };
        if !admissible(ball, table.domain(self.symbol)) {
            return None;
        }
        balls[self.symbol.index()] = ball;
        if let Some(check) = &self.check {
            let sides = [&check.left, &check.right].map(|side| ball::evaluate(side, &balls));
            match sides {
                [Ok(left), Ok(right)] if !left.differs_from(right) => {}
                _ => return None,
            }
        }
        let inexact = exact.is_none().then_some(self.symbol);
        if let Some(number) = exact {
            exact_values[self.symbol.index()] = number;
        }
        Some(Point {
            balls,
            values: exact_values,
            inexact,
            branch,
        })
    }

    /// How tedious the point's numbers are to type.
    fn pains(&self, point: &Point, symbols: &[Symbol]) -> u32 {
        symbols
            .iter()
            .map(|symbol| pains_of(&point.shown(*symbol)))
            .sum()
    }

    /// The point in long floats, worked out anew from the chosen values.
    #[must_use]
    pub fn precise(&self, point: &Point, precision: Precision) -> Option<Vec<Precise>> {
        let mut values = Vec::with_capacity(point.balls.len());
        for number in &point.values {
            values.push(Precise::of(&precision, number)?);
        }
        if let Some(symbol) = point.inexact {
            let expr = self.branches.get(point.branch)?;
            values[symbol.index()] =
                crate::algebra::certified::evaluate(expr, &values, &precision).ok()?;
        }
        Some(values)
    }
}

/// Values by the index of their symbol, as balls and as they are.
fn by_index(
    values: &[Number],
    symbols: &[Symbol],
    table: &SymbolTable,
) -> Option<(Vec<Ball>, Vec<Number>)> {
    let mut balls = vec![Ball::exact(0.0); table.len()];
    let mut exact_values = vec![Number::ZERO; table.len()];
    for (symbol, value) in symbols.iter().zip(values) {
        balls[symbol.index()] = Ball::of(value)?;
        exact_values[symbol.index()] = value.clone();
    }
    Some((balls, exact_values))
}

/// Points of the domain, whatever any formula says.
#[must_use]
pub fn free_points(symbols: &[Symbol], table: &SymbolTable) -> Vec<Point> {
    (0..KEPT)
        .filter_map(|number| {
            let (balls, values) = by_index(&sample::point(number, symbols, table), symbols, table)?;
            Some(Point {
                balls,
                values,
                inexact: None,
                branch: 0,
            })
        })
        .collect()
}

/// Whether a value certainly lies in a domain.
#[must_use]
pub fn admissible(ball: Ball, domain: Domain) -> bool {
    match domain {
        Domain::Real => true,
        Domain::Positive => ball.is_positive(),
        Domain::Nonnegative => ball.is_positive() || Certified::is_zero(&ball),
        Domain::Acute => ball.is_positive() && ball.mid() + ball.rad() < RIGHT_ANGLE - 1e-6,
    }
}

/// Whether a value certainly lies outside a domain.
#[must_use]
pub fn inadmissible(ball: Ball, domain: Domain) -> bool {
    match domain {
        Domain::Real => false,
        Domain::Positive => ball.is_negative() || Certified::is_zero(&ball),
        Domain::Nonnegative => ball.is_negative(),
        Domain::Acute => {
            ball.is_negative()
                || Certified::is_zero(&ball)
                || ball.mid() - ball.rad() > RIGHT_ANGLE + 1e-6
        }
    }
}

/// Whether the formula, brought to one numerator, is `A x + B` in this symbol
/// with no factor common to A and B. Then `x = -B/A` leaves out only points
/// where A and B both vanish, which no relation of equations counts.
fn is_linear_and_coprime(formula: &Equation, symbol: Symbol, table: &SymbolTable) -> bool {
    let mut field = Field::new(table);
    let Ok(normal) = field.settling(|field| field.normalise(&formula.difference())) else {
        return false;
    };
    let kernel = field.kernels.symbol(symbol, table);
    let hidden = normal
        .num()
        .kernels()
        .into_iter()
        .any(|own| own != kernel && field.kernels.mentions(own, symbol));
    if hidden {
        return false;
    }
    // A root or an absolute value may be zero together with another kernel.
    let is_symbol = |own: &KernelId| matches!(field.kernels.kernel(*own), Kernel::Symbol(_));
    let plain_symbols = normal.num().kernels().iter().all(is_symbol);
    let powers = normal.num().by_powers(kernel);
    let [(one, first), (zero, second)] = powers.as_slice() else {
        return false;
    };
    if one.plus(zero.negated()) != Ok(Exponent::ONE) {
        return false;
    }
    if field.kernels.never_zero(first) || field.kernels.never_zero(second) {
        return true;
    }
    if !plain_symbols {
        return false;
    }
    let plain = |polynomial: &Polynomial| {
        polynomial
            .times_term(&polynomial.monomial_content().reciprocal(), &Number::ONE)
            .ok()
    };
    // A monomial content is a common zero only where a real symbol is in
    // both; powers of positive ones never vanish.
    let shared = first
        .monomial_content()
        .lower_bound(&second.monomial_content());
    let (Some(a), Some(b)) = (plain(first), plain(second)) else {
        return false;
    };
    let Ok(scaling) = Scaling::of(&[&a, &b]) else {
        return false;
    };
    let (Ok(a), Ok(b)) = (scaling.apply(&a), scaling.apply(&b)) else {
        return false;
    };
    let vanishing_content = shared
        .factors()
        .iter()
        .any(|(own, _)| field.kernels.known(*own) != Known::Positive);
    !vanishing_content
        && divisor::gcd(&a, &b, &mut field.budget).is_ok_and(|common| common.is_one())
}

fn pains_of(value: &Shown) -> u32 {
    match value {
        Shown::Near(_) => 40,
        Shown::Exact(number) => match number.to_i64_pair() {
            Some((num, 1)) if num < 0 && num > -1_000 => 3,
            Some((num, 1)) => match num.abs() {
                0..=20 => 0,
                21..=999 => 2,
                _ => 6,
            },
            Some((num, den)) if num.abs() < 1_000 && 100 % den == 0 => 4,
            Some((num, den)) if num.abs() < 10_000 && 1_000 % den == 0 => 8,
            _ => 20,
        },
    }
}
