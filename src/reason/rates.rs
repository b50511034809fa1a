//! What equations say of rates of change: where an equation holds at all
//! times, so does what comes of differentiating both sides.
//!
//! An equation of which one side changes and the other, as far as is known,
//! does not, is differentiated only if the question says outright what changes
//! (`m a = -k x` may have an `a` that changes too). Where one had to be left
//! out, numbers refute nothing: the places might not satisfy what it says.

use crate::algebra::calculus::{Calculus, HIGHEST_ORDER};
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;

use super::premises::is_large;
use super::proof::neighbours;

/// Nodes that a differentiated equation may have.
const LARGEST: usize = 400;

/// Which quantities change with which, and the rates that a working speaks
/// of.
#[derive(Debug, Clone, Default)]
pub struct Rates {
    calculus: Calculus,
    used: Vec<Symbol>,
    /// Whether the question says what depends on what.
    declared: bool,
    /// Whether something that the givens say of rates was left out.
    open: bool,
}

impl Rates {
    /// Rates for these givens; `spoken` holds the equations of the goal and of
    /// the working, worked out. `declared` says that whatever is not said to
    /// change is constant.
    #[must_use]
    pub fn new(
        calculus: Calculus,
        given: &[Vec<Expr>],
        spoken: &[Vec<Expr>],
        declared: bool,
    ) -> Self {
        let mut rates = Rates {
            calculus,
            used: Vec::new(),
            declared,
            open: false,
        };
        for side in given.iter().chain(spoken).flatten() {
            rates.use_all(side);
        }
        // A rate that comes with a used one is of use too; there are only so
        // many rates.
        loop {
            let before = rates.used.len();
            for chain in given {
                let (made, open) = rates.work(&neighbours(chain));
                rates.open |= open;
                for equation in made {
                    rates.use_all(&equation.left);
                    rates.use_all(&equation.right);
                }
            }
            if rates.used.len() == before {
                return rates;
            }
        }
    }

    fn use_all(&mut self, side: &Expr) {
        for symbol in side.symbols() {
            if !self.calculus.is_derivative(symbol) {
                continue;
            }
            let mut all = self.calculus.lower_orders(symbol);
            all.push(symbol);
            for symbol in all {
                if !self.used.contains(&symbol) {
                    self.used.push(symbol);
                }
            }
        }
    }

    /// Whether something that the givens say of rates was left out, so that
    /// numbers refute nothing.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open
    }

    /// What follows from equations by differentiating both sides, as far as
    /// it speaks of rates that are used.
    #[must_use]
    pub fn of(&self, equations: &[Equation]) -> Vec<Equation> {
        self.work(equations).0
    }

    /// Whether an equation may be meant to say that something stays constant:
    /// `E = m v^2/2 + k x^2/2`, with an `E` of which it is only supposed that
    /// it changes.
    fn may_be_conserved(&self, equation: &Equation, by: Symbol) -> bool {
        let sides = [
            (&equation.left, &equation.right),
            (&equation.right, &equation.left),
        ];
        sides.into_iter().any(|(side, other)| {
            let Expr::Symbol(symbol) = side else {
                return false;
            };
            let changing = other
                .symbols()
                .into_iter()
                .filter(|symbol| self.calculus.is_function(*symbol, by))
                .count();
            let rate = self.calculus.derivative(side, by);
            let spoken_of = matches!(rate, Ok(Expr::Symbol(rate)) if self.used.contains(&rate));
            self.calculus.is_supposed(*symbol) && changing > 1 && !spoken_of
        })
    }

    fn work(&self, equations: &[Equation]) -> (Vec<Equation>, bool) {
        let mut found: Vec<Equation> = Vec::new();
        let mut open = false;
        if self.used.is_empty() {
            return (found, open);
        }
        for by in self.calculus.variables() {
            for equation in equations {
                let moves = |side: &Expr| self.calculus.moves(side, by);
                let (left, right) = (moves(&equation.left), moves(&equation.right));
                if !left && !right {
                    continue;
                }
                if left != right && !self.declared {
                    open = true;
                    continue;
                }
                open |= self.may_be_conserved(equation, by);
                let mut latest = equation.clone();
                for _ in 0..HIGHEST_ORDER {
                    let sides = (
                        self.calculus.derivative(&latest.left, by),
                        self.calculus.derivative(&latest.right, by),
                    );
                    let (Ok(left), Ok(right)) = sides else {
                        open = true;
                        break;
                    };
                    latest = Equation::new(left, right);
                    if is_large(&latest, LARGEST) {
                        open = true;
                        break;
                    }
                    // What only gives a name to a rate of which nobody speaks
                    // is of no use.
                    let named = [&latest.left, &latest.right]
                        .into_iter()
                        .filter_map(|side| match side {
                            Expr::Symbol(symbol) => Some(self.used.contains(symbol)),
                            _ => None,
                        })
                        .reduce(|one, other| one || other);
                    let spoken_of = named.unwrap_or_else(|| {
                        latest
                            .symbols()
                            .into_iter()
                            .any(|symbol| self.used.contains(&symbol))
                    });
                    if !spoken_of {
                        break;
                    }
                    found.push(latest.clone());
                }
            }
        }
        (found, open)
    }
}
