//! Reasoning by proportion: by which factor one quantity of a formula changes
//! when others do, the rest held.
//!
//! The exponents are exact. Most are read off the formula's shape: a side that
//! takes a factor's power out whole, whatever the other letters are
//! (`degree`). Where the shape hides it, the formula is solved, the quantity
//! multiplied by a symbol, and what comes out proved to be the old value times
//! a power of that symbol. Where it is no power law there is no single factor,
//! and nothing is asked.

mod missteps;

use crate::algebra::exact;
use crate::algebra::expr::{Equation, Expr, Function};
use crate::algebra::limits::Budget;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::isolate::{Outcome, isolate};
use super::rearrangement::Problem;
use super::verdict::Judgement;

pub use missteps::Misstep;

/// Steps of algebra for one try at an exponent.
const STEPS: u64 = 60_000;

/// Exponents that are tried: those that formulae have.
const EXPONENTS: [(i64, i64); 17] = [
    (1, 1),
    (-1, 1),
    (2, 1),
    (-2, 1),
    (1, 2),
    (-1, 2),
    (3, 1),
    (-3, 1),
    (4, 1),
    (-4, 1),
    (3, 2),
    (-3, 2),
    (2, 3),
    (-2, 3),
    (1, 3),
    (-1, 3),
    (1, 4),
];

/// A quantity that the subject follows, and the power to which it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Power {
    /// What is changed.
    pub varied: Symbol,
    /// The power to which the subject follows it; never zero.
    pub exponent: Number,
}

impl Power {
    /// Whether it is more than direct or inverse proportion: a square, a root.
    #[must_use]
    pub fn is_bent(&self) -> bool {
        !self.exponent.abs().is_one()
    }
}

/// One quantity in proportion to powers of others.
#[derive(Debug, Clone, PartialEq)]
pub struct Proportion {
    /// What is asked for.
    pub subject: Symbol,
    /// What is changed, each with its power.
    pub powers: Vec<Power>,
}

impl Proportion {
    /// How `subject` follows each of `varied` in a formula, all others held;
    /// nothing if it follows one of them by no power law.
    #[must_use]
    pub fn find(
        formula: &Equation,
        subject: Symbol,
        varied: &[Symbol],
        table: &SymbolTable,
    ) -> Option<Self> {
        let powers = varied.iter().map(|&varied| {
            let exponent = by_shape(formula, subject, varied, table)
                .or_else(|| by_proof(formula, subject, varied, table))?;
            Some(Power { varied, exponent })
        });
        Some(Proportion {
            subject,
            powers: powers.collect::<Option<Vec<_>>>()?,
        })
    }

    /// The factor by which the subject changes when the others are multiplied
    /// by `scales`, in their order.
    #[must_use]
    pub fn factor(&self, scales: &[Number]) -> Expr {
        self.powers
            .iter()
            .zip(scales)
            .map(|(power, scale)| raised(scale, &power.exponent))
            .reduce(Expr::mul)
            .unwrap_or(Expr::integer(1))
    }

    /// The same as a fraction; nothing if a root is left.
    #[must_use]
    pub fn exact_factor(&self, scales: &[Number]) -> Option<Number> {
        let mut factor = Number::ONE;
        for (power, scale) in self.powers.iter().zip(scales) {
            factor = &factor * &exact_power(scale, &power.exponent)?;
        }
        Some(factor)
    }

    /// Judges an answer: a factor, or the new value in terms of the old one
    /// (`F/4`).
    #[must_use]
    pub fn judge(&self, scales: &[Number], answer: &Expr, table: &SymbolTable) -> Judgement {
        Judging::new(self.subject, table).judge(&self.factor(scales), answer)
    }
}

/// Answers held against factors.
pub(super) struct Judging {
    subject: Symbol,
    new: Symbol,
    table: SymbolTable,
}

impl Judging {
    pub(super) fn new(subject: Symbol, table: &SymbolTable) -> Self {
        let mut table = table.clone();
        // No symbol of a formula has a name with a space.
        let new = table.intern("the new value", Domain::Positive);
        table.set_domain(subject, Domain::Positive);
        Judging {
            subject,
            new,
            table,
        }
    }

    /// Holds an answer against a factor.
    pub(super) fn judge(&self, factor: &Expr, answer: &Expr) -> Judgement {
        let old = Expr::Symbol(self.subject);
        let expected = Expr::mul(factor.clone(), old.clone());
        let equation = Equation::new(Expr::Symbol(self.new), expected);
        let problem = Problem::new(equation, self.new, &self.table);
        let value = if answer.contains(self.subject) {
            answer.clone()
        } else {
            Expr::mul(answer.clone(), old)
        };
        problem.judge_value(&value, &self.table)
    }
}

/// A power of a number as it is written: `2`, `1/2`, `2^(-2)`, `√2`.
pub(super) fn raised(scale: &Number, exponent: &Number) -> Expr {
    to_power(Expr::Number(scale.clone()), exponent)
}

/// A power as it is written: `x`, `1/x`, `√x`, `x^3`.
#[must_use]
pub fn to_power(base: Expr, exponent: &Number) -> Expr {
    match exponent.to_i64() {
        Some(1) => base,
        Some(-1) => Expr::div(Expr::integer(1), base),
        _ if *exponent == Number::new(1, 2) => Expr::call(Function::Sqrt, base),
        _ => Expr::pow(base, Expr::Number(exponent.clone())),
    }
}

/// A power of a positive number, if it is a fraction.
#[must_use]
pub fn exact_power(scale: &Number, exponent: &Number) -> Option<Number> {
    let (over, under) = exponent.to_i64_pair()?;
    let root = match under {
        1 => scale.clone(),
        under => scale.exact_root(u32::try_from(under).ok()?)?,
    };
    root.pow(over).ok()
}

/// The exponent that the formula's shape shows: if both sides are homogeneous
/// in the subject and in the other quantity, each for itself, the equation
/// `c^a = s^b` is left of a factor `c` of the subject and a factor `s` of the
/// other.
#[must_use]
pub fn by_shape(
    formula: &Equation,
    subject: Symbol,
    varied: Symbol,
    table: &SymbolTable,
) -> Option<Number> {
    if subject == varied {
        return None;
    }
    let apart = |symbol: Symbol| {
        let left = degree(&formula.left, symbol)?;
        Some(&left - &degree(&formula.right, symbol)?)
    };
    let own = apart(subject)?;
    let other = apart(varied)?;
    if own.is_zero() || other.is_zero() {
        return None;
    }
    // Of a quantity of either sign an even power does not tell the sign.
    let odd = own.to_i64().is_some_and(|own| own % 2 != 0);
    if !odd && table.domain(subject) == Domain::Real {
        return None;
    }
    Some(-&(&other * &own.reciprocal()?))
}

/// The power of a positive factor that an expression takes out whole when a
/// symbol is multiplied by it, whatever the other symbols are; nothing if it
/// takes out none.
fn degree(expr: &Expr, symbol: Symbol) -> Option<Number> {
    if !expr.contains(symbol) {
        return Some(Number::ZERO);
    }
    match expr {
        Expr::Symbol(_) => Some(Number::ONE),
        Expr::Sum(terms) => {
            let mut degrees = terms.iter().map(|term| degree(&term.value, symbol));
            let first = degrees.next()??;
            degrees
                .all(|other| other.as_ref() == Some(&first))
                .then_some(first)
        }
        Expr::Product(factors) => {
            let mut sum = Number::ZERO;
            for factor in factors {
                let own = degree(&factor.value, symbol)?;
                sum = if factor.divides {
                    &sum - &own
                } else {
                    &sum + &own
                };
            }
            Some(sum)
        }
        Expr::Power(base, exponent) => {
            if exponent.contains(symbol) {
                return None;
            }
            Some(&degree(base, symbol)? * &exact::constant(exponent)?)
        }
        Expr::Call(function, argument) => {
            let part = match function {
                Function::Sqrt => Number::new(1, 2),
                Function::Cbrt => Number::new(1, 3),
                _ => return None,
            };
            Some(&degree(argument, symbol)? * &part)
        }
        _ => None,
    }
}

/// The exponent that the normal form proves.
fn by_proof(
    formula: &Equation,
    subject: Symbol,
    varied: Symbol,
    table: &SymbolTable,
) -> Option<Number> {
    if subject == varied || !formula.symbols().contains(&varied) {
        return None;
    }
    let Outcome::Solved { solutions, .. } = isolate(formula, subject, table) else {
        return None;
    };
    let [solution] = solutions.as_slice() else {
        return None;
    };
    let mut table = table.clone();
    // No symbol of a formula has a name with a space.
    let scale = Expr::Symbol(table.intern("the scale", Domain::Positive));
    let before = &solution.value;
    if !before.contains(varied) {
        return None;
    }
    let scaled = Expr::mul(scale.clone(), Expr::Symbol(varied));
    let after = before.substitute(varied, &scaled);
    EXPONENTS.iter().find_map(|&(over, under)| {
        let exponent = Number::new(over, under);
        let power = Expr::pow(scale.clone(), Expr::Number(exponent.clone()));
        let expected = Expr::mul(power, before.clone());
        let proved = proved_equal_within(&after, &expected, &table, Budget::new(STEPS));
        (proved == Ok(true)).then_some(exponent)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_equation};

    /// The shape and the proof agree, where the shape tells anything.
    fn check(formula: &str, subject: &str, varied: &str, expected: Option<(i64, i64)>) {
        let mut vocabulary = Vocabulary::new();
        let equation =
            read_equation(formula, &mut vocabulary, Undeclared::Declare).expect("readable");
        let symbol = |name: &str| vocabulary.lookup(name).expect("it is there");
        let (subject, varied) = (symbol(subject), symbol(varied));
        let table = vocabulary.table();
        let expected = expected.map(|(over, under)| Number::new(over, under));
        let found = Proportion::find(&equation, subject, &[varied], table);
        let exponent = found.map(|found| found.powers[0].exponent.clone());
        assert_eq!(exponent, expected, "{formula}");
        if by_shape(&equation, subject, varied, table).is_some() {
            assert_eq!(
                by_proof(&equation, subject, varied, table),
                expected,
                "{formula}"
            );
        }
    }

    #[test]
    fn exponents() {
        check("F = G M m/r^2", "F", "r", Some((-2, 1)));
        check("F = G M m/r^2", "r", "F", Some((-1, 2)));
        check("T^2 = 4 π^2 r^3/(G M)", "T", "r", Some((3, 2)));
        check("T^2 = 4 π^2 r^3/(G M)", "r", "T", Some((2, 3)));
        check("T = 2 π sqrt(l/g)", "T", "l", Some((1, 2)));
        check("R = r A^(1/3)", "R", "A", Some((1, 3)));
        check("P = s T^4", "T", "P", Some((1, 4)));
        check("p V = n R T", "V", "p", Some((-1, 1)));
        check("F = m (v - u)/t", "F", "t", Some((-1, 1)));
        check("F = B Q v sin θ", "F", "B", Some((1, 1)));
        check("x = a b + a^2 c/a", "x", "a", Some((1, 1)));
        check("m g h = 1/2 m v^2", "v", "h", Some((1, 2)));
        // What shape does not show.
        check("x = (a + a^2)/(1 + a)", "x", "a", Some((1, 1)));
        check("x = a + b/(1/a)", "x", "a", Some((1, 1)));
        check("1/R = 1/a + 1/(2 a)", "R", "a", Some((1, 1)));
        // No power law.
        check("v = u + a t", "v", "t", None);
        check("N = N_0 exp(-k t)", "N", "t", None);
        check("N = N_0 exp(-k t)", "N", "N_0", Some((1, 1)));
        check("1/f = 1/u + 1/v", "f", "u", None);
        check("x = a^b", "x", "a", None);
        check("x = 2^b", "x", "b", None);
        // The mass is on both sides.
        check("m g = m v^2/r", "g", "m", None);
    }

    #[test]
    fn a_square_of_either_sign_tells_no_factor() {
        let mut vocabulary = Vocabulary::new();
        let v = vocabulary.declare("v", Domain::Real);
        let h = vocabulary.declare("h", Domain::Positive);
        let equation =
            read_equation("v^2 = 2 g h", &mut vocabulary, Undeclared::Declare).expect("readable");
        assert!(Proportion::find(&equation, v, &[h], vocabulary.table()).is_none());
    }

    #[test]
    fn factors_of_several_changes() {
        let mut vocabulary = Vocabulary::new();
        let equation = read_equation("F = m v^2/r", &mut vocabulary, Undeclared::Declare).unwrap();
        let symbol = |name: &str| vocabulary.lookup(name).unwrap();
        let varied = [symbol("v"), symbol("r")];
        let found = Proportion::find(&equation, symbol("F"), &varied, vocabulary.table()).unwrap();
        for (scales, expected) in [
            ([(2, 1), (2, 1)], (2, 1)),
            ([(1, 2), (2, 1)], (1, 8)),
            ([(3, 2), (9, 1)], (1, 4)),
        ] {
            let scales = scales.map(|(over, under)| Number::new(over, under));
            let expected = Number::new(expected.0, expected.1);
            assert_eq!(found.exact_factor(&scales), Some(expected.clone()));
            let right = Expr::Number(expected);
            assert!(found.judge(&scales, &right, vocabulary.table()).is_right());
        }
        let root = exact_power(&Number::from(2), &Number::new(1, 2));
        assert_eq!(root, None);
        let root = exact_power(&Number::new(9, 4), &Number::new(-3, 2));
        assert_eq!(root, Some(Number::new(8, 27)));
    }
}
