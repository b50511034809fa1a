//! Random formulae: the change of subject never panics, and what it calls
//! proved holds in plain doubles, by an evaluator of its own.

#[path = "support/value.rs"]
mod value;

use proptest::prelude::*;
use rejig::algebra::expr::{Equation, Expr, Function};
use rejig::algebra::number::Number;
use rejig::algebra::symbol::{Domain, Symbol, SymbolTable};
use rejig::reason::isolate::{Outcome, isolate};
use rejig::reason::putback::Support;
use rejig::reason::step::Condition;
use value::value;

fn table() -> SymbolTable {
    let mut table = SymbolTable::new();
    for (name, domain) in [
        ("x", Domain::Positive),
        ("a", Domain::Positive),
        ("b", Domain::Real),
        ("y", Domain::Real),
    ] {
        table.intern(name, domain);
    }
    table
}

fn tree() -> impl Strategy<Value = Expr> {
    let leaf = prop_oneof![
        4 => (0usize..3).prop_map(|index| Expr::Symbol(Symbol::from_index(index))),
        1 => (-3i64..7).prop_map(Expr::integer),
        1 => (1i64..5, 2i64..4).prop_map(|(top, low)| Expr::Number(Number::new(top, low))),
    ];
    leaf.prop_recursive(4, 14, 3, |inner| {
        prop_oneof![
            3 => (inner.clone(), inner.clone()).prop_map(|(one, two)| Expr::add(one, two)),
            2 => (inner.clone(), inner.clone()).prop_map(|(one, two)| Expr::sub(one, two)),
            3 => (inner.clone(), inner.clone()).prop_map(|(one, two)| Expr::mul(one, two)),
            2 => (inner.clone(), inner.clone()).prop_map(|(one, two)| Expr::div(one, two)),
            1 => inner.clone().prop_map(Expr::neg),
            1 => (inner.clone(), -3i64..5).prop_map(|(base, power)| Expr::pow(base, Expr::integer(power))),
            1 => (inner.clone(), inner.clone()).prop_map(|(base, power)| Expr::pow(base, power)),
            1 => (
                inner,
                prop_oneof![
                    3 => Just(Function::Sqrt),
                    1 => Just(Function::Exp),
                    1 => Just(Function::Ln),
                    1 => Just(Function::Sin),
                    1 => Just(Function::Cos),
                    1 => Just(Function::Abs),
                    1 => Just(Function::Tanh),
                    1 => Just(Function::Cosh),
                ]
            )
                .prop_map(|(argument, function)| Expr::call(function, argument)),
        ]
    })
}

fn met(condition: &Condition, values: &[f64]) -> bool {
    match condition {
        Condition::NonZero(expr) => value(expr, values).abs() > 1e-9,
        Condition::NonNegative(expr) => value(expr, values) >= 0.0,
        Condition::Positive(expr) => value(expr, values) > 0.0,
        Condition::WithinOne(expr) => value(expr, values).abs() <= 1.0,
    }
}

fn sound(equation: &Equation) -> Result<(), TestCaseError> {
    let table = table();
    let subject = table.get("x").unwrap();
    let Outcome::Solved { solutions, .. } = isolate(equation, subject, &table) else {
        return Ok(());
    };
    for solution in &solutions {
        prop_assert!(!solution.value.contains(subject));
        if solution.support != Support::Proved {
            continue;
        }
        for (a, b, y) in [
            (0.7, 0.3, 1.9),
            (1.3, -0.6, 0.4),
            (2.9, 1.7, -1.2),
            (0.4, -2.1, 3.3),
            (5.1, 0.9, 0.8),
        ] {
            let mut values = vec![f64::NAN, a, b, y];
            let own = value(&solution.value, &values);
            if !(1e-6..1e6).contains(&own)
                || !solution
                    .conditions
                    .iter()
                    .filter(|condition| {
                        !matches!(condition,
                        Condition::NonZero(expr) | Condition::NonNegative(expr)
                        | Condition::Positive(expr) | Condition::WithinOne(expr)
                        if expr.contains(subject))
                    })
                    .all(|condition| met(condition, &values))
            {
                continue;
            }
            values[0] = own;
            let (left, right) = (
                value(&equation.left, &values),
                value(&equation.right, &values),
            );
            if !left.is_finite() || !right.is_finite() || left.abs() > 1e9 {
                continue;
            }
            prop_assert!(
                (left - right).abs() <= 1e-5 * (1.0 + left.abs() + right.abs()),
                "{left} and {right} at {values:?} by {:?}",
                solution.value
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn proved_is_true_with_a_lone_letter(side in tree()) {
        let y = Expr::Symbol(Symbol::from_index(3));
        sound(&Equation::new(y, side))?;
    }

    #[test]
    fn proved_is_true_on_two_sides(left in tree(), right in tree()) {
        sound(&Equation::new(left, right))?;
    }
}
