//! Does a line follow from premises?
//!
//! Proof: with the triangular set put in, the line's two sides have one
//! normal form, in every case. Refutation: a place that satisfies the
//! premises for certain, at which the two sides certainly differ. Where
//! neither is had, certified numbers that agree at many places are numerical
//! evidence, and else it is undecided.

use crate::algebra::expr::{Equation, Expr, Function};
use crate::algebra::kernel::Known;
use crate::algebra::limits::Budget;
use crate::algebra::normal::Field;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::compare::Compared;
use super::needs;
use super::place::{Place, places};
use super::premises::{Triangular, branches, is_large};
use super::verdict::{Counterexample, Evidence, Undecided};

/// Steps of algebra for one proof.
const PROOF_STEPS: u64 = 100_000;
/// Nodes that a line may have once the premises are put in.
const LARGEST: usize = 3_000;
/// Steps of algebra for one condition.
const CONDITION_STEPS: u64 = 20_000;
/// Places at which a line without a proof must agree.
const PLACES_WITHOUT_PROOF: usize = 8;
/// Decimal digits to which it must agree there.
const DIGITS_WITHOUT_PROOF: u32 = 30;

/// What came of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Consequence {
    /// It holds wherever the premises do.
    Follows {
        /// Proof or numbers.
        evidence: Evidence,
        /// What must not be zero for the proof, beyond what the domains
        /// ensure.
        conditions: Vec<Expr>,
    },
    /// The premises hold and the line does not, at this place.
    DoesNot(Box<Counterexample>),
    /// Not known.
    Undecided(Undecided),
}

impl Consequence {
    /// Whether the line follows.
    #[must_use]
    pub fn follows(&self) -> bool {
        matches!(self, Consequence::Follows { .. })
    }
}

/// Premises made ready: solved, with places that satisfy them.
#[derive(Debug, Clone)]
pub struct Premises {
    equations: Vec<Equation>,
    triangular: Triangular,
    places: Vec<Place>,
}

impl Premises {
    /// Makes premises ready. Doing so costs more than judging a line.
    #[must_use]
    pub fn new(equations: &[Equation], table: &SymbolTable) -> Self {
        let triangular = Triangular::of(equations, table);
        let places = places(&triangular, equations, table);
        Premises {
            equations: equations.to_vec(),
            triangular,
            places,
        }
    }

    /// Premises without places: they can prove, not refute.
    #[must_use]
    pub fn solved_only(equations: &[Equation], table: &SymbolTable) -> Self {
        Premises {
            equations: equations.to_vec(),
            triangular: Triangular::quickly(equations, table),
            places: Vec::new(),
        }
    }

    /// The same with far less work, for a look in passing.
    #[must_use]
    pub fn solved_briefly(equations: &[Equation], table: &SymbolTable) -> Self {
        Premises {
            equations: equations.to_vec(),
            triangular: Triangular::briefly(equations, table),
            places: Vec::new(),
        }
    }

    /// The premises as they are.
    #[must_use]
    pub fn equations(&self) -> &[Equation] {
        &self.equations
    }

    /// The triangular set.
    #[must_use]
    pub fn triangular(&self) -> &Triangular {
        &self.triangular
    }

    /// Whether values were found that satisfy all premises. Where there are
    /// none, everything would follow, and nothing is claimed.
    #[must_use]
    pub fn have_places(&self) -> bool {
        !self.places.is_empty()
    }

    /// Whether the premises can be shown to contradict each other.
    #[must_use]
    pub fn contradict(&self) -> bool {
        self.triangular.cases.is_empty() && self.triangular.complete
    }

    /// Whether a side of a line has no value somewhere on the premises.
    #[must_use]
    pub fn leave_open(&self, chain: &[Expr]) -> bool {
        self.places
            .iter()
            .any(|place| chain.iter().any(|side| place.lacks(side)))
    }

    /// Whether all the equations of a line follow.
    #[must_use]
    pub fn carry_all(&self, line: &[Equation], table: &SymbolTable) -> Consequence {
        let mut whole = Consequence::Follows {
            evidence: Evidence::Proof,
            conditions: Vec::new(),
        };
        for equation in line {
            match (self.carry(equation, table), &mut whole) {
                (
                    Consequence::Follows {
                        evidence,
                        conditions,
                    },
                    Consequence::Follows {
                        evidence: so_far,
                        conditions: all,
                    },
                ) => {
                    if evidence != Evidence::Proof {
                        *so_far = evidence;
                    }
                    for condition in conditions {
                        if !all.contains(&condition) {
                            all.push(condition);
                        }
                    }
                }
                (refuted @ Consequence::DoesNot(_), _) => return refuted,
                (Consequence::Follows { .. }, _) => {}
                (open, _) => whole = open,
            }
        }
        whole
    }

    /// Whether an equation follows.
    #[must_use]
    pub fn carry(&self, line: &Equation, table: &SymbolTable) -> Consequence {
        let ways = branches(line);
        let mut open = Vec::new();
        let mut faint = None;
        for place in &self.places {
            let outcomes: Vec<Compared> = ways
                .iter()
                .map(|way| place.compare(&way.left, &way.right))
                .collect();
            if outcomes
                .iter()
                .all(|outcome| matches!(outcome, Compared::Differ(..)))
            {
                // Better a difference that a calculator shows.
                if outcomes.iter().all(is_plain) {
                    return self.refuted(place, line, &outcomes);
                }
                faint = faint.or_else(|| Some(self.refuted(place, line, &outcomes)));
                continue;
            }
            if outcomes
                .iter()
                .any(|outcome| matches!(outcome, Compared::Same | Compared::Meet(_)))
            {
                open.push(place);
            }
        }
        if let Some(refuted) = faint {
            return refuted;
        }
        if self.proved(&ways, table) {
            // Where values were looked for and none was found at which the
            // line has a value, "follows" would say nothing.
            let looked_for = self
                .triangular
                .cases
                .iter()
                .all(|case| case.unsolved.is_empty() && case.sound);
            if open.is_empty() && looked_for {
                return Consequence::Undecided(Undecided::NoPoints);
            }
            return Consequence::Follows {
                evidence: Evidence::Proof,
                conditions: self.conditions(table),
            };
        }
        let (mut agreed, mut least) = (0, 99);
        for place in open {
            let outcomes: Vec<Compared> = ways
                .iter()
                .map(|way| match place.compare(&way.left, &way.right) {
                    Compared::Meet(_) => {
                        place.compare_precisely(&way.left, &way.right, &self.triangular)
                    }
                    settled => settled,
                })
                .collect();
            if outcomes
                .iter()
                .all(|outcome| matches!(outcome, Compared::Differ(..)))
            {
                return self.refuted(place, line, &outcomes);
            }
            for outcome in outcomes {
                match outcome {
                    Compared::Same => {
                        agreed += 1;
                        break;
                    }
                    Compared::Meet(digits) if digits >= DIGITS_WITHOUT_PROOF => {
                        agreed += 1;
                        least = least.min(digits);
                        break;
                    }
                    _ => {}
                }
            }
        }
        let all_cases = (0..self.triangular.cases.len())
            .all(|case| self.places.iter().any(|place| place.case() == case));
        let smooth = || {
            let mut all = self.equations.iter().chain([line]);
            all.all(|equation| {
                is_smooth(&equation.left, table) && is_smooth(&equation.right, table)
            })
        };
        if self.triangular.complete && all_cases && agreed >= PLACES_WITHOUT_PROOF && smooth() {
            return Consequence::Follows {
                evidence: Evidence::Numerical {
                    points: agreed,
                    digits: least,
                },
                conditions: self.conditions(table),
            };
        }
        Consequence::Undecided(if self.places.is_empty() {
            Undecided::NoPoints
        } else {
            Undecided::Open
        })
    }

    /// Whether an equation is proved from the premises; `false` says only
    /// that no proof was found. Quicker than [`Premises::carry`].
    #[must_use]
    pub fn prove(&self, line: &Equation, table: &SymbolTable) -> bool {
        self.proved(&branches(line), table)
    }

    fn proved(&self, ways: &[Equation], table: &SymbolTable) -> bool {
        if !self.triangular.complete || self.triangular.cases.is_empty() {
            return false;
        }
        // One of the two signs, wherever the place: the product of both
        // differences vanishes.
        let either = (ways.len() == 2).then(|| {
            Equation::new(
                Expr::mul(ways[0].difference(), ways[1].difference()),
                Expr::integer(0),
            )
        });
        self.triangular.cases.iter().all(|case| {
            ways.iter().chain(&either).any(|way| {
                let mut line = way.clone();
                for rung in &case.rungs {
                    if line.left.contains(rung.symbol) || line.right.contains(rung.symbol) {
                        line = line.substitute(rung.symbol, &rung.value);
                    }
                    if is_large(&line, LARGEST) {
                        return false;
                    }
                }
                let budget = Budget::new(PROOF_STEPS);
                proved_equal_within(&line.left, &line.right, table, budget) == Ok(true)
            })
        })
    }

    /// What the triangular set assumed and the domains do not ensure.
    fn conditions(&self, table: &SymbolTable) -> Vec<Expr> {
        let mut found = Vec::new();
        for case in &self.triangular.cases {
            for condition in &case.conditions {
                let mut field = Field::with_budget(table, Budget::new(CONDITION_STEPS));
                let safe = field
                    .settling(|field| field.normalise(condition))
                    .is_ok_and(|normal| field.kernels.never_zero(normal.num()));
                if !safe && !found.contains(condition) {
                    found.push(condition.clone());
                }
            }
        }
        found
    }

    fn refuted(&self, place: &Place, line: &Equation, outcomes: &[Compared]) -> Consequence {
        let mut symbols: Vec<Symbol> = Vec::new();
        for equation in self.equations.iter().chain([line]) {
            for symbol in equation.symbols() {
                if !symbols.contains(&symbol) {
                    symbols.push(symbol);
                }
            }
        }
        let Some(Compared::Differ(expected, got)) = outcomes.first() else {
            return Consequence::Undecided(Undecided::Open);
        };
        Consequence::DoesNot(Box::new(Counterexample {
            values: symbols
                .iter()
                .map(|symbol| (*symbol, place.shown(*symbol)))
                .collect(),
            expected: expected.clone(),
            got: Some(got.clone()),
        }))
    }
}

/// Whether an expression has no corner, so that what agrees on one stretch of
/// its domain agrees on the rest: `|t + 1000| - 1000` is `t` only on a part.
fn is_smooth(expr: &Expr, table: &SymbolTable) -> bool {
    let ensured = |inside: &Expr| needs::sign(inside, table) == Known::Positive;
    let has_corner = |expr: &Expr| match expr {
        Expr::Call(Function::Abs, _) => true,
        Expr::Call(Function::Sqrt | Function::Cbrt, inside) => !ensured(inside),
        // The inverse of a function goes back to one branch only.
        Expr::Call(
            Function::Arcsin | Function::Arccos | Function::Arctan | Function::Arcosh,
            inside,
        ) => has_function(inside),
        Expr::Power(base, exponent) => {
            !matches!(&**exponent, Expr::Number(number) if number.is_integer()) && !ensured(base)
        }
        _ => false,
    };
    !expr.any_node(&mut |node| has_corner(node))
}

fn has_function(expr: &Expr) -> bool {
    expr.any_node(&mut |node| matches!(node, Expr::Call(..)))
}

/// Whether two values differ so much that a calculator shows it.
fn is_plain(outcome: &Compared) -> bool {
    let Compared::Differ(left, right) = outcome else {
        return false;
    };
    let (left, right) = (left.to_f64(), right.to_f64());
    (left - right).abs() > 1e-6 * left.abs().max(right.abs())
}
