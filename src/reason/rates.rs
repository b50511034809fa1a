//! What equations say of rates of change: where an equation holds at all
//! times, so does what comes of differentiating both sides.

use crate::algebra::calculus::Calculus;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;

use super::proof::neighbours;

/// Rounds of differentiation.
const ROUNDS: usize = 3;

/// Which quantities change with which, and the rates that a working speaks
/// of.
#[derive(Debug, Clone, Default)]
pub struct Rates {
    /// What depends on what.
    pub calculus: Calculus,
    used: Vec<Symbol>,
}

impl Rates {
    /// Rates for these givens; `spoken` holds every equation of the task and
    /// of the working, worked out.
    #[must_use]
    pub fn new(calculus: Calculus, given: &[Vec<Expr>], spoken: &[Vec<Expr>]) -> Self {
        let mut rates = Rates {
            calculus,
            used: Vec::new(),
        };
        for side in given.iter().chain(spoken).flatten() {
            for symbol in side.symbols() {
                if rates.calculus.is_derivative(symbol) && !rates.used.contains(&symbol) {
                    rates.used.push(symbol);
                }
            }
        }
        // A rate that comes with a used one is of use too.
        for _ in 0..ROUNDS {
            let before = rates.used.len();
            for chain in given {
                for equation in rates.of(&neighbours(chain)) {
                    for symbol in equation.symbols() {
                        if rates.calculus.is_derivative(symbol) && !rates.used.contains(&symbol) {
                            rates.used.push(symbol);
                        }
                    }
                }
            }
            if rates.used.len() == before {
                break;
            }
        }
        rates
    }

    /// What follows from equations by differentiating both sides, as far as
    /// it speaks of rates that are used.
    #[must_use]
    pub fn of(&self, equations: &[Equation]) -> Vec<Equation> {
        let mut found: Vec<Equation> = Vec::new();
        if self.used.is_empty() {
            return found;
        }
        for by in self.calculus.variables() {
            let mut latest: Vec<Equation> = equations.to_vec();
            for _ in 0..ROUNDS {
                let mut next = Vec::new();
                for equation in &latest {
                    if equation.left.has_doubled_sign() || equation.right.has_doubled_sign() {
                        continue;
                    }
                    let sides = (
                        self.calculus.derivative(&equation.left, by),
                        self.calculus.derivative(&equation.right, by),
                    );
                    let (Ok(left), Ok(right)) = sides else {
                        continue;
                    };
                    let made = Equation::new(left, right);
                    let spoken_of = made
                        .symbols()
                        .into_iter()
                        .any(|symbol| self.used.contains(&symbol));
                    if spoken_of {
                        next.push(made);
                    }
                }
                found.extend(next.iter().cloned());
                latest = next;
            }
        }
        found
    }
}
