//! What an expression needs of its parts to have a value: roots of nothing
//! negative, logarithms of something positive, inverse sines of a value
//! within one.

use crate::algebra::ball;
use crate::algebra::certified::Certified;
use crate::algebra::exact;
use crate::algebra::expr::{Constant, Expr, Function};
use crate::algebra::kernel::{Failure, Known};
use crate::algebra::limits::Budget;
use crate::algebra::normal::Field;
use crate::algebra::symbol::SymbolTable;

use super::carrier::{Carrier, Point};
use super::signs::signs;
use super::step::Condition;

/// Steps of algebra for the sign of one part.
const SIGN_STEPS: u64 = 20_000;

/// The conditions under which an expression has a value, beyond divisors that
/// are not zero, each once. What symbols' domains ensure is left out.
#[must_use]
pub fn needs(expr: &Expr, table: &SymbolTable) -> Vec<Condition> {
    let mut found = Vec::new();
    collect(expr, table, &mut found);
    found
}

fn collect(expr: &Expr, table: &SymbolTable, found: &mut Vec<Condition>) {
    let need = match expr {
        Expr::Power(base, exponent) if !matches!(**base, Expr::Constant(Constant::Euler)) => {
            // Only an even root is sure to need a sign: an odd one of a
            // negative number has a real value for many, and an exponent with
            // letters, or one that hides a whole number, may be whole.
            match exact::constant(exponent) {
                Some(number) if number.to_i64_pair().is_none_or(|(_, below)| below % 2 != 0) => {
                    None
                }
                Some(number) if number.is_negative() => Some(Condition::Positive((**base).clone())),
                Some(_) => Some(Condition::NonNegative((**base).clone())),
                None => None,
            }
        }
        Expr::Call(function, argument) => {
            let argument = || (**argument).clone();
            match function {
                Function::Sqrt => Some(Condition::NonNegative(argument())),
                Function::Ln | Function::Log10 => Some(Condition::Positive(argument())),
                Function::Arcsin | Function::Arccos => Some(Condition::WithinOne(argument())),
                Function::Arcosh => Some(Condition::NonNegative(Expr::sub(
                    argument(),
                    Expr::integer(1),
                ))),
                Function::Artanh => Some(Condition::WithinOne(argument())),
                _ => None,
            }
        }
        _ => None,
    };
    if let Some(need) = need
        && !is_clear(&need, table)
        && !found.contains(&need)
    {
        found.push(need);
    }
    expr.for_each_child(|child| collect(child, table, found));
}

/// Whether the domains of the symbols ensure a condition at a glance.
fn is_clear(need: &Condition, table: &SymbolTable) -> bool {
    match need {
        Condition::NonNegative(part) => signs(part, table).is_nonnegative(),
        Condition::Positive(part) => signs(part, table).is_positive(),
        _ => false,
    }
}

/// The sign of an expression wherever it has a value, as far as it is proved.
#[must_use]
pub fn sign(expr: &Expr, table: &SymbolTable) -> Known {
    let mut field = Field::with_budget(table, Budget::new(SIGN_STEPS));
    let work = |field: &mut Field<'_>| -> Result<Known, Failure> {
        let value = field.normalise(expr)?;
        match value.sign(&field.kernels) {
            Known::Unknown => field.factored_sign(&value),
            known => Ok(known),
        }
    };
    field.settling(work).unwrap_or(Known::Unknown)
}

/// Whether a condition is proved to hold wherever its part has a value.
#[must_use]
pub fn is_met(need: &Condition, table: &SymbolTable) -> bool {
    match need {
        Condition::NonZero(part) => {
            matches!(sign(part, table), Known::Positive | Known::Negative)
        }
        Condition::Positive(part) => sign(part, table) == Known::Positive,
        Condition::NonNegative(part) => {
            matches!(sign(part, table), Known::Positive | Known::Nonnegative)
        }
        Condition::WithinOne(Expr::Call(Function::Sin | Function::Cos, _)) => true,
        Condition::WithinOne(part) => {
            let square = Expr::pow(part.clone(), Expr::integer(2));
            let rest = Expr::sub(Expr::integer(1), square);
            matches!(sign(&rest, table), Known::Positive | Known::Nonnegative)
        }
    }
}

/// Whether a condition is proved to hold wherever a formula does that has
/// been solved: a sign may be known there that is open elsewhere.
#[must_use]
pub fn is_met_on(need: &Condition, carrier: &Carrier, table: &SymbolTable) -> bool {
    carrier.branches.iter().all(|branch| {
        let on_formula = |part: &Expr| part.substitute(carrier.symbol, branch);
        is_met(&map(need, on_formula), table)
    })
}

/// Whether a condition holds wherever another does: what they speak of is the
/// same but for a positive factor, as `c^2 - v^2` and `1 - v^2/c^2`.
#[must_use]
pub fn is_ensured_by(need: &Condition, other: &Condition, table: &SymbolTable) -> bool {
    if need == other {
        return true;
    }
    let (Condition::NonNegative(part) | Condition::Positive(part)) = need else {
        return false;
    };
    let own = match (need, other) {
        (Condition::NonNegative(_), Condition::NonNegative(own))
        | (_, Condition::Positive(own)) => own,
        _ => return false,
    };
    let ratio = Expr::div(part.clone(), own.clone());
    sign(&ratio, table) == Known::Positive
}

/// Whether a condition certainly fails at a point.
#[must_use]
pub fn fails(need: &Condition, point: &Point) -> bool {
    let value = |part: &Expr| ball::evaluate(part, &point.balls).ok();
    match need {
        Condition::NonZero(_) => false,
        Condition::Positive(part) | Condition::NonNegative(part) => {
            value(part).is_some_and(|value| value.is_negative())
        }
        Condition::WithinOne(part) => value(part).is_some_and(|value| {
            value.mid() - value.rad() > 1.0 || value.mid() + value.rad() < -1.0
        }),
    }
}

/// The condition with the expression in it changed.
#[must_use]
pub fn map(need: &Condition, change: impl Fn(&Expr) -> Expr) -> Condition {
    match need {
        Condition::NonZero(part) => Condition::NonZero(change(part)),
        Condition::NonNegative(part) => Condition::NonNegative(change(part)),
        Condition::Positive(part) => Condition::Positive(change(part)),
        Condition::WithinOne(part) => Condition::WithinOne(change(part)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::symbol::Domain;
    use crate::text::{Undeclared, Vocabulary, read_expression};

    fn letters() -> Vocabulary {
        let mut vocabulary = Vocabulary::new();
        for name in ["x", "y"] {
            vocabulary.declare(name, Domain::Real);
        }
        vocabulary
    }

    fn expr(text: &str, vocabulary: &mut Vocabulary) -> Expr {
        read_expression(text, vocabulary, Undeclared::Declare).unwrap()
    }

    #[test]
    fn signs_by_factors_and_by_terms() {
        for (text, expected) in [
            ("u + v", Known::Positive),
            ("x^2 + 2x y + y^2", Known::Nonnegative),
            ("-(x - y)^2", Known::Nonpositive),
            ("1 - cos(x)^2", Known::Nonnegative),
            ("(x - y)^2/(x + y)^2", Known::Nonnegative),
            ("(x - y)^2/(x + y)", Known::Unknown),
            ("x - y", Known::Unknown),
            ("u - v", Known::Unknown),
            ("x^2 + y", Known::Unknown),
            ("0", Known::Nonnegative),
        ] {
            let mut vocabulary = letters();
            let tree = expr(text, &mut vocabulary);
            assert_eq!(sign(&tree, vocabulary.table()), expected, "{text}");
        }
    }

    #[test]
    fn what_an_expression_needs() {
        for (text, expected) in [
            ("sqrt(u) + ln(u v) + e^x", 0),
            ("sqrt(u - v) + sqrt(u - v)^3", 1),
            ("(u - v)^(3/2)/ln(x)", 2),
            ("(u - v)^(1/3) + (u - v)^2", 0),
            ("arcsin(x) + arccos(u)", 2),
            ("sqrt(x^2)", 0),
        ] {
            let mut vocabulary = letters();
            let tree = expr(text, &mut vocabulary);
            let found = needs(&tree, vocabulary.table());
            assert_eq!(found.len(), expected, "{text}: {found:?}");
        }
    }

    #[test]
    fn one_condition_ensures_another_but_for_a_positive_factor() {
        for (part, own, expected) in [
            ("c^2 - v^2", "1 - v^2/c^2", true),
            ("1 - 3v^2/(3c^2)", "1 - v^2/c^2", true),
            ("v^2 - c^2", "1 - v^2/c^2", false),
            ("x(u - v)", "u - v", false),
            ("x^2(u - v)", "u - v", false),
            ("u - v", "u - 2v", false),
        ] {
            let mut vocabulary = letters();
            let (part, own) = (expr(part, &mut vocabulary), expr(own, &mut vocabulary));
            let table = vocabulary.table();
            let found = is_ensured_by(
                &Condition::NonNegative(part.clone()),
                &Condition::NonNegative(own.clone()),
                table,
            );
            assert_eq!(found, expected, "{part:?} by {own:?}");
            // A root of something that may be zero ensures no logarithm.
            let log = Condition::Positive(part);
            assert!(!is_ensured_by(&log, &Condition::NonNegative(own), table));
        }
        let mut vocabulary = letters();
        let cosine = expr("cos(x)", &mut vocabulary);
        let table = vocabulary.table();
        assert!(is_met(&Condition::WithinOne(cosine), table));
    }
}
