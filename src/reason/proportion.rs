//! Reasoning by proportion: by which factor one quantity of a formula changes
//! when another one does, the rest held.
//!
//! The factor is exact: the formula is solved for the quantity asked for, the
//! other is multiplied by a symbol, and what comes out is proved to be the
//! old value times a power of that symbol. Where it is no power law there is
//! no single factor, and nothing is asked.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::limits::Budget;
use crate::algebra::normalise::proved_equal_within;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::isolate::{Outcome, isolate};
use super::rearrangement::Problem;
use super::verdict::Judgement;

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

/// One quantity in proportion to a power of another.
#[derive(Debug, Clone, PartialEq)]
pub struct Proportion {
    /// What is asked for.
    pub subject: Symbol,
    /// What is changed.
    pub varied: Symbol,
    /// The power to which the subject follows it.
    pub exponent: Number,
}

impl Proportion {
    /// How `subject` follows `varied` in a formula, all others held; nothing
    /// if it follows no power law.
    #[must_use]
    pub fn find(
        formula: &Equation,
        subject: Symbol,
        varied: Symbol,
        table: &SymbolTable,
    ) -> Option<Self> {
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
            (proved == Ok(true)).then_some(Proportion {
                subject,
                varied,
                exponent,
            })
        })
    }

    /// The factor by which the subject changes when the other is multiplied
    /// by `scale`.
    #[must_use]
    pub fn factor(&self, scale: &Number) -> Expr {
        let scale = Expr::Number(scale.clone());
        match self.exponent.to_i64() {
            Some(1) => scale,
            Some(-1) => Expr::div(Expr::integer(1), scale),
            _ => Expr::pow(scale, Expr::Number(self.exponent.clone())),
        }
    }

    /// Judges an answer: a factor, or the new value in terms of the old one
    /// (`F/4`).
    #[must_use]
    pub fn judge(&self, scale: &Number, answer: &Expr, table: &SymbolTable) -> Judgement {
        let mut table = table.clone();
        let new = table.intern("the new value", Domain::Positive);
        table.set_domain(self.subject, Domain::Positive);
        let old = Expr::Symbol(self.subject);
        let expected = Expr::mul(self.factor(scale), old.clone());
        let problem = Problem::new(Equation::new(Expr::Symbol(new), expected), new, &table);
        let value = if answer.contains(self.subject) {
            answer.clone()
        } else {
            Expr::mul(answer.clone(), old)
        };
        problem.judge_value(&value, &table)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_equation};

    fn check(formula: &str, subject: &str, varied: &str, expected: Option<(i64, i64)>) {
        let mut vocabulary = Vocabulary::new();
        let equation =
            read_equation(formula, &mut vocabulary, Undeclared::Declare).expect("readable");
        let symbol = |name: &str| vocabulary.lookup(name).expect("it is there");
        let found = Proportion::find(
            &equation,
            symbol(subject),
            symbol(varied),
            vocabulary.table(),
        );
        assert_eq!(
            found.map(|found| found.exponent),
            expected.map(|(over, under)| Number::new(over, under)),
            "{subject} with {varied} in {formula}"
        );
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
        check("v = u + a t", "v", "t", None);
        check("N = N_0 exp(-k t)", "N", "t", None);
        check("N = N_0 exp(-k t)", "N", "N_0", Some((1, 1)));
        check("1/f = 1/u + 1/v", "f", "u", None);
    }
}
