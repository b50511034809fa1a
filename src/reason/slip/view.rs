//! Looking at a tree as a product, a power or a sum, however it was built, and
//! building it again.

use crate::algebra::expr::{Constant, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;

use super::super::tidy::plain_number;

/// The factors of a product, nested products and fractions taken apart. A
/// number that is a fraction becomes a factor above and one below.
pub(super) fn factors(expr: &Expr) -> Vec<Factor> {
    let mut found = Vec::new();
    gather(expr, false, &mut found);
    found
}

fn gather(expr: &Expr, divides: bool, found: &mut Vec<Factor>) {
    match expr {
        Expr::Product(own) => {
            for factor in own {
                gather(&factor.value, divides != factor.divides, found);
            }
        }
        Expr::Number(number) if number.is_one() => {}
        Expr::Number(number) if !number.is_integer() => {
            let (above, below) = (number.numerator(), number.denominator());
            if !above.is_one() {
                found.push(Factor {
                    divides,
                    value: Expr::Number(above),
                });
            }
            found.push(Factor {
                divides: !divides,
                value: Expr::Number(below),
            });
        }
        Expr::Sum(terms) if terms.len() == 1 && terms[0].sign == Sign::Plus => {
            gather(&terms[0].value, divides, found);
        }
        other => found.push(Factor {
            divides,
            value: other.clone(),
        }),
    }
}

/// A product of factors; the number one where there are none.
pub(super) fn product(mut factors: Vec<Factor>) -> Expr {
    factors.retain(|factor| !matches!(&factor.value, Expr::Number(number) if number.is_one()));
    match factors.iter().position(|factor| !factor.divides) {
        Some(place) => {
            let first = factors.remove(place);
            factors.insert(0, first);
        }
        None => factors.insert(
            0,
            Factor {
                divides: false,
                value: Expr::integer(1),
            },
        ),
    }
    if factors.len() == 1 {
        return factors.remove(0).value;
    }
    Expr::Product(factors)
}

/// The terms of a sum, signs multiplied through nested sums.
pub(super) fn terms(expr: &Expr) -> Vec<Term> {
    let mut found = Vec::new();
    spread(expr, Sign::Plus, &mut found);
    found
}

fn spread(expr: &Expr, sign: Sign, found: &mut Vec<Term>) {
    if let Expr::Sum(own) = expr {
        for term in own {
            let joined = match (sign, term.sign) {
                (Sign::Plus, other) => other,
                (Sign::Minus, Sign::Plus) => Sign::Minus,
                (Sign::Minus, Sign::Minus) => Sign::Plus,
                (Sign::Minus, Sign::PlusMinus) => Sign::MinusPlus,
                (Sign::Minus, Sign::MinusPlus) => Sign::PlusMinus,
                (other, _) => other,
            };
            spread(&term.value, joined, found);
        }
    } else {
        found.push(Term {
            sign,
            value: expr.clone(),
        });
    }
}

/// A sum of terms; zero where there are none.
pub(super) fn sum(mut terms: Vec<Term>) -> Expr {
    match terms.len() {
        0 => Expr::integer(0),
        1 if terms[0].sign == Sign::Plus => terms.remove(0).value,
        _ => Expr::Sum(terms),
    }
}

/// Plus turned to minus and back; doubled signs stay.
pub(super) fn flipped(sign: Sign) -> Sign {
    match sign {
        Sign::Plus => Sign::Minus,
        Sign::Minus => Sign::Plus,
        Sign::PlusMinus => Sign::MinusPlus,
        Sign::MinusPlus => Sign::PlusMinus,
    }
}

/// Base and exponent of a power or root with a number above; not of a first
/// power.
pub(super) fn power(expr: &Expr) -> Option<(&Expr, Number)> {
    match expr {
        Expr::Power(base, exponent) => match plain_number(exponent) {
            Expr::Number(number) if !number.is_one() && !number.is_zero() => Some((base, number)),
            _ => None,
        },
        Expr::Call(Function::Sqrt, inside) => Some((inside, Number::new(1, 2))),
        Expr::Call(Function::Cbrt, inside) => Some((inside, Number::new(1, 3))),
        _ => None,
    }
}

/// A power of a power, joined where the base is one already.
pub(super) fn raised(base: &Expr, exponent: &Number) -> Expr {
    if exponent.is_one() {
        return base.clone();
    }
    if let Some((inside, own)) = power(base) {
        return raised(inside, &(&own * exponent));
    }
    if *exponent == Number::new(1, 2) {
        return Expr::call(Function::Sqrt, base.clone());
    }
    Expr::pow(base.clone(), Expr::Number(exponent.clone()))
}

/// What `e` is raised to.
pub(super) fn exponential(expr: &Expr) -> Option<&Expr> {
    match expr {
        Expr::Call(Function::Exp, inside) => Some(inside),
        Expr::Power(base, exponent) if matches!(**base, Expr::Constant(Constant::Euler)) => {
            Some(exponent)
        }
        _ => None,
    }
}

/// Whether there is no quantity in it.
pub(super) fn is_numeric(expr: &Expr) -> bool {
    match expr {
        Expr::Symbol(_) => false,
        Expr::Number(_) | Expr::Constant(_) => true,
        other => {
            let mut numeric = true;
            other.for_each_child(|child| numeric = numeric && is_numeric(child));
            numeric
        }
    }
}

/// `-expr`, without a doubled minus.
pub(super) fn negated(expr: &Expr) -> Expr {
    if let Expr::Sum(own) = expr
        && own.len() == 1
        && own[0].sign == Sign::Minus
    {
        return own[0].value.clone();
    }
    Expr::neg(expr.clone())
}

/// `1/expr`.
pub(super) fn inverted(expr: &Expr) -> Expr {
    let mut parts = factors(expr);
    for factor in &mut parts {
        factor.divides = !factor.divides;
    }
    product(parts)
}
