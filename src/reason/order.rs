//! The order in which letters stand in a product: as the formula has them.

use crate::algebra::expr::{Equation, Expr, Factor};
use crate::algebra::symbol::Symbol;

/// The letters of the formula in the order of first appearance, except that a
/// letter which the formula multiplies by a later one from the left goes
/// before it: `B Q v = m v^2/r` has `m` before `v`.
#[must_use]
pub fn letter_order(equation: &Equation) -> Vec<Symbol> {
    let letters = equation.symbols();
    let mut pairs: Vec<(Symbol, Symbol)> = Vec::new();
    for side in [&equation.left, &equation.right] {
        collect(side, &mut pairs);
    }
    let mut waiting = letters;
    let mut order = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        // The first letter before which no other one has to come; where the
        // formula contradicts itself, the first of all.
        let place = waiting
            .iter()
            .position(|letter| {
                !pairs
                    .iter()
                    .any(|(before, after)| after == letter && waiting.contains(before))
            })
            .unwrap_or(0);
        order.push(waiting.remove(place));
    }
    order
}

fn collect(expr: &Expr, pairs: &mut Vec<(Symbol, Symbol)>) {
    if let Expr::Product(factors) = expr {
        for below in [false, true] {
            let row: Vec<Symbol> = letters(factors, below);
            for (place, before) in row.iter().enumerate() {
                for after in &row[place + 1..] {
                    if before != after && !pairs.contains(&(*before, *after)) {
                        pairs.push((*before, *after));
                    }
                }
            }
        }
    }
    expr.for_each_child(|child| collect(child, pairs));
}

fn letters(factors: &[Factor], below: bool) -> Vec<Symbol> {
    factors
        .iter()
        .filter(|factor| factor.divides == below)
        .filter_map(|factor| match &factor.value {
            Expr::Symbol(symbol) => Some(*symbol),
            Expr::Power(base, _) => match **base {
                Expr::Symbol(symbol) => Some(symbol),
                _ => None,
            },
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::symbol::{Domain, SymbolTable};

    #[test]
    fn what_the_formula_multiplies_decides() {
        let mut table = SymbolTable::new();
        let letter = |name: &str, table: &mut SymbolTable| {
            Expr::Symbol(table.intern(name, Domain::Positive))
        };
        let (b, v, m, r) = (
            letter("B", &mut table),
            letter("v", &mut table),
            letter("m", &mut table),
            letter("r", &mut table),
        );
        let square = Expr::pow(v.clone(), Expr::integer(2));
        let formula = Equation::new(Expr::mul(b, v), Expr::div(Expr::mul(m, square), r));
        let names: Vec<&str> = letter_order(&formula)
            .into_iter()
            .map(|symbol| table.name(symbol))
            .collect();
        assert_eq!(names, ["B", "m", "v", "r"]);
    }
}
