//! Awkward values for property tests: zero, huge, tiny, nearly equal, sparse.

use proptest::prelude::*;
use rejig::algebra::exponent::Exponent;
use rejig::algebra::expr::{Constant, Expr, Function};
use rejig::algebra::number::Number;
use rejig::algebra::polynomial::{KernelId, Monomial, Polynomial};
use rejig::algebra::symbol::{Domain, Symbol, SymbolTable};

/// Numbers of all sizes, with the edges of the machine word over-represented.
pub fn number() -> impl Strategy<Value = Number> {
    let edge = prop_oneof![
        Just(0),
        Just(1),
        Just(-1),
        Just(i64::MAX),
        Just(i64::MIN),
        Just(i64::MIN + 1),
        Just(1 << 53),
        Just((1 << 53) + 1),
        -20_i64..20,
        any::<i64>(),
    ];
    let top = edge.clone();
    (top, edge).prop_map(|(top, bottom)| {
        let bottom = if bottom == 0 { 1 } else { bottom };
        &Number::from(top) / &Number::from(bottom)
    })
}

/// Small numbers.
pub fn small() -> impl Strategy<Value = Number> {
    (-12_i64..=12, 1_i64..=6).prop_map(|(top, bottom)| Number::new(top, bottom))
}

/// Plain sparse polynomials in three kernels with whole coefficients.
pub fn polynomial(most_terms: usize, degree: i64) -> impl Strategy<Value = Polynomial> {
    let exponent = prop_oneof![3 => Just(0_i64), 2 => 0..=degree];
    let term = (
        prop_oneof![Just(1_i64), Just(-1), -9_i64..=9],
        exponent.clone(),
        exponent.clone(),
        exponent,
    );
    prop::collection::vec(term, 1..=most_terms).prop_map(|terms| {
        let terms = terms
            .into_iter()
            .map(|(coefficient, x, y, z)| {
                let mut monomial = Monomial::one();
                for (kernel, exponent) in [(0, x), (1, y), (2, z)] {
                    let factor =
                        Monomial::power(KernelId(kernel), Exponent::whole(exponent).unwrap());
                    monomial = monomial.times(&factor).unwrap();
                }
                (monomial, Number::from(coefficient))
            })
            .collect();
        Polynomial::from_terms(terms).unwrap()
    })
}

/// A table with two positive symbols, a real, a nonnegative and an acute one.
pub fn table() -> SymbolTable {
    let mut table = SymbolTable::new();
    table.intern("a", Domain::Positive);
    table.intern("b", Domain::Positive);
    table.intern("x", Domain::Real);
    table.intern("n", Domain::Nonnegative);
    table.intern("q", Domain::Acute);
    table
}

/// Trees over the symbols of [`table`], with functions and powers.
pub fn tree() -> impl Strategy<Value = Expr> {
    let leaf = prop_oneof![
        4 => (0_usize..5).prop_map(|index| Expr::Symbol(Symbol::from_index(index))),
        2 => small().prop_map(Expr::Number),
        1 => Just(Expr::Constant(Constant::Pi)),
        1 => Just(Expr::Constant(Constant::Euler)),
    ];
    leaf.prop_recursive(4, 24, 3, |inner| {
        let function = prop_oneof![
            3 => Just(Function::Sqrt),
            1 => Just(Function::Cbrt),
            1 => Just(Function::Abs),
            1 => Just(Function::Exp),
            1 => Just(Function::Ln),
            1 => Just(Function::Sin),
            1 => Just(Function::Cos),
            1 => Just(Function::Tan),
            1 => Just(Function::Arcsin),
            1 => Just(Function::Arctan),
            1 => Just(Function::Tanh),
        ];
        let exponent = prop_oneof![
            (-3_i64..=4).prop_map(|whole| Expr::Number(Number::from(whole))),
            (1_i64..=3, 2_i64..=3).prop_map(|(top, bottom)| Expr::Number(Number::new(top, bottom))),
        ];
        prop_oneof![
            2 => (inner.clone(), inner.clone()).prop_map(|(a, b)| Expr::add(a, b)),
            2 => (inner.clone(), inner.clone()).prop_map(|(a, b)| Expr::sub(a, b)),
            3 => (inner.clone(), inner.clone()).prop_map(|(a, b)| Expr::mul(a, b)),
            2 => (inner.clone(), inner.clone()).prop_map(|(a, b)| Expr::div(a, b)),
            2 => (inner.clone(), exponent).prop_map(|(a, e)| Expr::pow(a, e)),
            2 => (function, inner.clone()).prop_map(|(f, a)| Expr::call(f, a)),
            1 => inner.prop_map(Expr::neg),
        ]
    })
}
