//! What is to be shown, and the forms in which a line may say it.

use crate::algebra::expr::{Equation, Expr, Sign, Term};
use crate::algebra::kernel::Failure;
use crate::algebra::limits::Budget;
use crate::algebra::normal::{Field, Normal};
use crate::algebra::normalise::proved_equal;
use crate::algebra::symbol::SymbolTable;

use super::premises::{branches, doubled};
use super::proof::{neighbours, same};
use super::uses::letters;

/// Steps of algebra for one comparison.
const STEPS: u64 = 60_000;
/// Terms that a side may have to be compared term by term.
const MOST_TERMS: usize = 12;

/// What is to be shown.
#[derive(Debug, Clone)]
pub struct Aim {
    chain: Vec<Expr>,
    goal: Vec<Equation>,
}

fn all_pairs(chain: &[Expr]) -> Vec<Equation> {
    let mut found = Vec::new();
    for (at, left) in chain.iter().enumerate() {
        for right in &chain[at + 1..] {
            found.push(Equation::new(left.clone(), right.clone()));
        }
    }
    found
}

impl Aim {
    /// The aim of a chain of sides.
    #[must_use]
    pub fn new(chain: &[Expr]) -> Self {
        Aim {
            chain: chain.to_vec(),
            goal: neighbours(chain),
        }
    }

    /// Whether a line says what is to be shown: the same difference of the
    /// two sides, but for a number.
    #[must_use]
    pub fn is_said(&self, chain: &[Expr], table: &SymbolTable) -> bool {
        let pairs = all_pairs(chain);
        self.goal
            .iter()
            .all(|goal| pairs.iter().any(|pair| alike(pair, goal, table)))
    }

    /// Whether a line says what is to be shown in no more letters: `E = m
    /// (p/m)^2/2` still wants a line. With `bare`, nor with more operations:
    /// `E = (F/A)/(x/L)` shows how it was come by.
    #[must_use]
    pub fn is_result(&self, chain: &[Expr], bare: bool, table: &SymbolTable) -> bool {
        let pairs = all_pairs(chain);
        self.goal.iter().all(|goal| {
            pairs.iter().any(|pair| {
                letters(pair) <= letters(goal)
                    && (!bare || pair.nodes() <= goal.nodes())
                    && alike(pair, goal, table)
            })
        })
    }

    /// Whether a line is what is to be shown with its terms moved about or
    /// all multiplied by one factor.
    #[must_use]
    pub fn is_turned(&self, chain: &[Expr], table: &SymbolTable) -> bool {
        let lines = neighbours(chain);
        self.goal
            .iter()
            .any(|goal| lines.iter().any(|line| turned(line, goal, table)))
    }

    /// The sides of what is to be shown.
    #[must_use]
    pub fn chain(&self) -> &[Expr] {
        &self.chain
    }

    /// Whether a line is what is to be shown with one thing done to both
    /// sides, or has the same solutions in the same letters: then it says
    /// nothing else.
    #[must_use]
    pub fn is_said_otherwise(&self, chain: &[Expr], table: &SymbolTable) -> bool {
        let lines = neighbours(chain);
        let ([goal], [line]) = (self.goal.as_slice(), lines.as_slice()) else {
            return false;
        };
        let (wanted, own) = (goal.symbols(), line.symbols());
        wanted.iter().all(|symbol| own.contains(symbol))
            && (one_operation_apart(chain, &self.chain, table)
                || (own.len() == wanted.len() && same(line, goal, table)))
    }
}

/// Whether one line is another but for one thing done to both sides.
#[must_use]
pub fn one_operation_apart(before: &[Expr], after: &[Expr], table: &SymbolTable) -> bool {
    neighbours(before).iter().any(|one| {
        neighbours(after).iter().any(|two| {
            [two.clone(), two.flipped()].iter().any(|two| {
                let cross = |a: &Expr, b: &Expr| Expr::mul(a.clone(), b.clone());
                let less = |a: &Expr, b: &Expr| Expr::sub(a.clone(), b.clone());
                let equal = |a: Expr, b: Expr| proved_equal(&a, &b, table) == Ok(true);
                equal(cross(&one.left, &two.right), cross(&one.right, &two.left))
                    || equal(less(&one.left, &two.left), less(&one.right, &two.right))
            })
        })
    })
}

/// Whether the differences of the sides are equal but for a number.
#[must_use]
pub fn alike(first: &Equation, second: &Equation, table: &SymbolTable) -> bool {
    if first == second || *first == second.flipped() {
        return true;
    }
    if doubled(first) || doubled(second) {
        let (one, two) = (branches(first), branches(second));
        return one.len() == two.len()
            && one
                .iter()
                .all(|way| two.iter().any(|other| alike(way, other, table)));
    }
    let mut field = Field::with_budget(table, Budget::new(STEPS));
    field
        .settling(|field| {
            let one = field.normalise(&first.difference())?;
            let two = field.normalise(&second.difference())?;
            if one.is_zero() || two.is_zero() {
                return Ok(one.is_zero() && two.is_zero());
            }
            Ok(field
                .divided(&one, &two)?
                .as_number()
                .is_some_and(|ratio| !ratio.is_zero()))
        })
        .unwrap_or(false)
}

/// The terms of an equation as typed, all moved to the left.
fn terms(equation: &Equation) -> Vec<Expr> {
    fn collect(expr: &Expr, minus: bool, found: &mut Vec<Expr>) {
        match expr {
            Expr::Sum(terms) => {
                for Term { sign, value } in terms {
                    let own = matches!(sign, Sign::Minus | Sign::MinusPlus);
                    collect(value, minus != own, found);
                }
            }
            other if minus => found.push(Expr::neg(other.clone())),
            other => found.push(other.clone()),
        }
    }
    let mut found = Vec::new();
    collect(&equation.left, false, &mut found);
    collect(&equation.right, true, &mut found);
    found
}

fn turned(first: &Equation, second: &Equation, table: &SymbolTable) -> bool {
    if doubled(first) != doubled(second) {
        return false;
    }
    let mut field = Field::with_budget(table, Budget::new(STEPS));
    field
        .settling(|field| {
            let mut of = |equation: &Equation| -> Result<Vec<Normal>, Failure> {
                let mut normal = Vec::new();
                for term in terms(equation).iter().take(MOST_TERMS) {
                    let value = field.normalise(term)?;
                    if !value.is_zero() {
                        normal.push(value);
                    }
                }
                Ok(normal)
            };
            let (one, two) = (of(first)?, of(second)?);
            if one.len() != two.len() || one.is_empty() {
                return Ok(false);
            }
            for start in &two {
                let ratio = field.divided(&one[0], start)?;
                let mut left = two.clone();
                let mut all = true;
                for term in &one {
                    let mut found = None;
                    for (at, other) in left.iter().enumerate() {
                        let scaled = field.times(other, &ratio)?;
                        if field.proved_equal(&scaled, term)? {
                            found = Some(at);
                            break;
                        }
                    }
                    match found {
                        Some(at) => {
                            left.swap_remove(at);
                        }
                        None => {
                            all = false;
                            break;
                        }
                    }
                }
                if all {
                    return Ok(true);
                }
            }
            Ok(false)
        })
        .unwrap_or(false)
}

/// Whether a line is one of the premises once the letters that the others
/// define are written out: `E^2 - p^2 c^2 = m^2 c^4` with `E = ...` and
/// `p = ...`. Then it only gives shorter names to what stands there.
#[must_use]
pub fn is_renamed(line: &Equation, premises: &[&Equation], table: &SymbolTable) -> bool {
    if premises.len() > 6 || doubled(line) {
        return false;
    }
    premises.iter().enumerate().any(|(at, base)| {
        let mut changed = line.clone();
        for (other, premise) in premises.iter().enumerate() {
            if other == at {
                continue;
            }
            let sides = [
                (&premise.left, &premise.right),
                (&premise.right, &premise.left),
            ];
            let Some((symbol, value)) = sides.into_iter().find_map(|(side, value)| match side {
                Expr::Symbol(symbol)
                    if !value.contains(*symbol)
                        && (changed.left.contains(*symbol) || changed.right.contains(*symbol)) =>
                {
                    Some((*symbol, value))
                }
                _ => None,
            }) else {
                return false;
            };
            changed = changed.substitute(symbol, value);
        }
        alike(&changed, base, table)
    })
}
