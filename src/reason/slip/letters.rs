//! Letters that are taken for one another.

use crate::algebra::expr::{Constant, Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::view::terms;

/// Neighbours that are often taken for one another.
const NEIGHBOURS: [(&str, &str); 8] = [
    ("u", "v"),
    ("λ", "lambda"),
    ("ρ", "p"),
    ("rho", "p"),
    ("ν", "v"),
    ("nu", "v"),
    ("ω", "w"),
    ("i", "r"),
];

/// A name without case and index.
fn stem(name: &str) -> String {
    let base = name.split(['_', '{']).next().unwrap_or(name);
    base.chars()
        .filter(|letter| !letter.is_ascii_digit() && !('₀'..='₉').contains(letter))
        .flat_map(char::to_lowercase)
        .collect()
}

/// Whether two symbols are easily taken for one another: one letter in two
/// cases or with two indices, or known neighbours.
pub(super) fn are_alike(one: Symbol, two: Symbol, table: &SymbolTable) -> bool {
    let (first, second) = (table.name(one), table.name(two));
    let (a, b) = (stem(first), stem(second));
    a == b
        || NEIGHBOURS
            .iter()
            .any(|(x, y)| (a == *x && b == *y) || (a == *y && b == *x))
}

/// Whether a symbol stands, by its name, for a radius or a diameter.
pub(super) fn is_radius(symbol: Symbol, table: &SymbolTable) -> bool {
    matches!(stem(table.name(symbol)).as_str(), "r" | "d")
}

/// Whether a symbol may stand for a radius or a diameter where it appears: `r`
/// beside a π. A resistance `R`, a distance `d` between plates and the like
/// have no diameter.
pub(super) fn is_round(symbol: Symbol, formula: &Equation, table: &SymbolTable) -> bool {
    let mut is_pi = |node: &Expr| *node == Expr::Constant(Constant::Pi);
    is_radius(symbol, table)
        && table.name(symbol).starts_with(['r', 'd'])
        && (formula.left.any_node(&mut is_pi) || formula.right.any_node(&mut is_pi))
}

/// Whether one stands for a radius and the other for a diameter.
pub(super) fn radius_and_diameter(one: Symbol, two: Symbol, table: &SymbolTable) -> bool {
    is_radius(one, table) && is_radius(two, table) && stem(table.name(one)) != stem(table.name(two))
}

/// Whether the letter is an e, in either case.
pub(super) fn is_e(symbol: Symbol, table: &SymbolTable) -> bool {
    matches!(stem(table.name(symbol)).as_str(), "e" | "ε" | "epsilon")
}

/// Whether two symbols stand by themselves as terms of one sum, so that they
/// are of one kind.
fn share_a_sum(expr: &Expr, one: Symbol, two: Symbol) -> bool {
    if let Expr::Sum(_) = expr {
        let parts = terms(expr);
        let alone = |symbol: Symbol| {
            parts.iter().any(|term| match &term.value {
                Expr::Symbol(own) => *own == symbol,
                Expr::Power(base, _) => matches!(&**base, Expr::Symbol(own) if *own == symbol),
                _ => false,
            })
        };
        if alone(one) && alone(two) {
            return true;
        }
    }
    let mut found = false;
    expr.for_each_child(|child| found = found || share_a_sum(child, one, two));
    found
}

/// Pairs of symbols of one kind in an expression.
pub(super) fn pairs(expr: &Expr, formula: &Equation, table: &SymbolTable) -> Vec<(Symbol, Symbol)> {
    let symbols = expr.symbols();
    let mut found = Vec::new();
    for (place, one) in symbols.iter().enumerate() {
        for two in &symbols[place + 1..] {
            if are_alike(*one, *two, table)
                || share_a_sum(expr, *one, *two)
                || share_a_sum(&formula.left, *one, *two)
                || share_a_sum(&formula.right, *one, *two)
            {
                found.push((*one, *two));
            }
        }
    }
    found
}

/// The expression with two symbols exchanged.
pub(super) fn exchanged(expr: &Expr, one: Symbol, two: Symbol) -> Expr {
    expr.with_symbols(&|own| match own {
        own if own == one => two,
        own if own == two => one,
        own => own,
    })
}
