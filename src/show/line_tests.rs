//! Rows for the printer, and the round trip: print, read, same meaning.

use proptest::prelude::*;

use super::*;
use crate::algebra::symbol::Domain;
use crate::text::{Undeclared, Vocabulary, read};

const NAMES: [&str; 16] = [
    "a", "s", "v", "t", "m", "E", "k", "l", "g", "λ", "theta", "v_0", "E_k", "v_{out}", "Δv", "e",
];

fn vocabulary(names: &[&str]) -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for name in names {
        vocabulary.declare(name, Domain::Real);
    }
    vocabulary
}

#[track_caller]
fn check(typed: &str, unicode: &str, ascii: &str) {
    let mut words = vocabulary(&NAMES[..15]);
    for name in ["u", "r", "h", "c", "f", "x", "R", "C", "b"] {
        words.declare(name, Domain::Real);
    }
    let chain = read(typed, &mut words, Undeclared::Refuse)
        .unwrap()
        .preferred
        .chain;
    assert_eq!(
        equation_line(&chain, words.table(), Spelling::Unicode),
        unicode,
        "{typed}"
    );
    assert_eq!(
        equation_line(&chain, words.table(), Spelling::Ascii),
        ascii,
        "{typed}"
    );
    for shown in [unicode, ascii] {
        let again = read(shown, &mut words, Undeclared::Refuse).unwrap();
        assert_eq!(again.preferred.chain, chain, "{shown}");
    }
}

#[test]
fn lines() {
    check(
        "v = sqrt(u^2+2as)",
        "v = √(u² + 2as)",
        "v = sqrt(u^2 + 2as)",
    );
    check("a/2s", "a/(2s)", "a/(2s)");
    check("(v^2-u^2)/2s", "(v² - u²)/(2s)", "(v^2 - u^2)/(2s)");
    check("1/2 mv^2", "½mv²", "(1/2) mv^2");
    check("E_k = 1/2 m v_0^2", "E_k = ½m v₀²", "E_k = (1/2) m v_0^2");
    check("hc/λ", "hc/λ", "hc/lambda");
    check("e^(-t/RC)", "e^(-t/(RC))", "e^(-t/(RC))");
    check("2^(t/2)", "2^(t/2)", "2^(t/2)");
    check("1/x", "1/x", "1/x");
    check("sin θ cos θ", "sin(θ)cos(θ)", "sin(theta) cos(theta)");
    check("u^2 sin(θ)^2", "u²sin²(θ)", "u^2 sin^2(theta)");
    check("sqrt(x)^2", "√(x)²", "sqrt(x)^2");
    check("m Δv/t", "m Δv/t", "m Delta_v/t");
    check("a ± b", "a ± b", "a +/- b");
    check("l*g", "l g", "l g");
    check("a*-b", "a(-b)", "a(-b)");
    check("a - (b - c)", "a - (b - c)", "a - (b - c)");
    check("|x|^2", "(|x|)²", "(|x|)^2");
    check("f*2", "f·2", "f*2");
    check("4/3 π r^3", "(4/3)πr³", "(4/3) pi r^3");
    check("x^(1/2)", "x^(½)", "x^(1/2)");
    check("E k", "E k", "E k");
}

#[test]
fn numbers() {
    for (digits, power, unicode, ascii) in [
        ("0.5", 0, "½", "1/2"),
        ("9.81", 0, "9.81", "9.81"),
        ("6.63", -34, "6.63×10⁻³⁴", "6.63e-34"),
        ("3", 8, "3×10⁸", "3e8"),
        ("1500", 0, "1500", "1500"),
        ("0.05", 0, "0.05", "0.05"),
        ("8.31", 0, "8.31", "8.31"),
        ("1.6", -19, "1.6×10⁻¹⁹", "1.6e-19"),
        ("0", 0, "0", "0"),
    ] {
        let number = Number::from_decimal(digits, power).unwrap();
        assert_eq!(shown_number(&number, Spelling::Unicode), unicode);
        assert_eq!(shown_number(&number, Spelling::Ascii), ascii);
    }
    assert_eq!(shown_number(&Number::new(-7, 3), Spelling::Unicode), "-7/3");
}

/// A small evaluator of its own, so that the round trip rests on nothing else.
fn value(expr: &Expr, point: &[f64]) -> f64 {
    match expr {
        Expr::Number(number) => number.to_f64(),
        Expr::Symbol(symbol) => point[symbol.index()],
        Expr::Constant(Constant::Pi) => std::f64::consts::PI,
        Expr::Constant(Constant::Euler) => std::f64::consts::E,
        Expr::Sum(terms) => terms
            .iter()
            .map(|term| match term.sign {
                Sign::Plus => value(&term.value, point),
                Sign::Minus => -value(&term.value, point),
                // Any two numbers that tell the doubled signs apart.
                Sign::PlusMinus => 0.7 * value(&term.value, point),
                Sign::MinusPlus => -0.6 * value(&term.value, point),
            })
            .sum(),
        Expr::Product(factors) => factors.iter().fold(1.0, |product, factor| {
            let value = value(&factor.value, point);
            if factor.divides {
                product / value
            } else {
                product * value
            }
        }),
        Expr::Power(base, exponent) => value(base, point).powf(value(exponent, point)),
        Expr::Call(function, argument) => {
            let x = value(argument, point);
            // Rounding of a huge angle says nothing about the tree.
            let x = match function {
                Function::Sin | Function::Cos | Function::Tan | Function::Cosec
                    if x.abs() > 1e4 =>
                {
                    1.0
                }
                _ => x,
            };
            match function {
                Function::Sqrt => x.sqrt(),
                Function::Cbrt => x.cbrt(),
                Function::Abs => x.abs(),
                Function::Exp => x.exp(),
                Function::Ln => x.ln(),
                Function::Log10 => x.log10(),
                Function::Sin => x.sin(),
                Function::Cos => x.cos(),
                Function::Tan => x.tan(),
                Function::Sec => 1.0 / x.cos(),
                Function::Cosec => 1.0 / x.sin(),
                Function::Cot => 1.0 / x.tan(),
                Function::Arcsin => x.asin(),
                Function::Arccos => x.acos(),
                Function::Arctan => x.atan(),
                Function::Sinh => x.sinh(),
                Function::Cosh => x.cosh(),
                Function::Tanh => x.tanh(),
                Function::Arsinh => x.asinh(),
                Function::Arcosh => x.acosh(),
                Function::Artanh => x.atanh(),
            }
        }
        // The random trees have none.
        Expr::Derivative(_) | Expr::Integral(_) => f64::NAN,
    }
}

fn any_number() -> impl Strategy<Value = Number> {
    prop_oneof![
        (0i64..20).prop_map(Number::from),
        (-20i64..20, 1i64..12).prop_map(|(top, bottom)| Number::new(top, bottom)),
        (1i64..1000, -30i64..30).prop_map(|(digits, power)| {
            Number::from_decimal(&digits.to_string(), power).unwrap()
        }),
    ]
}

fn any_expr() -> impl Strategy<Value = Expr> {
    let leaf = prop_oneof![
        6 => (0..NAMES.len()).prop_map(|index| Expr::Symbol(Symbol::from_index(index))),
        2 => any_number().prop_map(Expr::Number),
        1 => Just(Expr::Constant(Constant::Pi)),
        1 => Just(Expr::Constant(Constant::Euler)),
    ];
    let functions = prop_oneof![
        Just(Function::Sqrt),
        Just(Function::Cbrt),
        Just(Function::Abs),
        Just(Function::Exp),
        Just(Function::Ln),
        Just(Function::Log10),
        Just(Function::Sin),
        Just(Function::Cos),
        Just(Function::Tan),
        Just(Function::Cosec),
        Just(Function::Arctan),
        Just(Function::Artanh),
    ];
    let signs = prop_oneof![
        4 => Just(Sign::Plus),
        4 => Just(Sign::Minus),
        1 => Just(Sign::PlusMinus),
        1 => Just(Sign::MinusPlus)
    ];
    leaf.prop_recursive(5, 40, 5, move |inner| {
        prop_oneof![
            3 => prop::collection::vec((signs.clone(), inner.clone()), 1..4).prop_map(|terms| {
                Expr::Sum(terms.into_iter().map(|(sign, value)| Term { sign, value }).collect())
            }),
            4 => prop::collection::vec((any::<bool>(), inner.clone()), 1..5).prop_map(|factors| {
                Expr::Product(
                    factors
                        .into_iter()
                        .enumerate()
                        .map(|(index, (divides, value))| Factor {
                            divides: divides && index > 0,
                            value,
                        })
                        .collect(),
                )
            }),
            2 => (inner.clone(), inner.clone()).prop_map(|(base, exponent)| Expr::pow(base, exponent)),
            1 => (inner.clone(), -3i64..4).prop_map(|(base, n)| Expr::pow(base, Expr::integer(n))),
            2 => (functions.clone(), inner).prop_map(|(function, argument)| Expr::call(function, argument)),
        ]
    })
}

fn same(left: f64, right: f64) -> bool {
    (left.is_nan() && right.is_nan())
        || left == right
        || (left - right).abs() <= 1e-6 * left.abs().max(right.abs())
        || (left.abs() > 1e200 && right.abs() > 1e200)
        || (left.abs() < 1e-200 && right.abs() < 1e-200)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn a_line_reads_back(expr in any_expr(), with_e in any::<bool>()) {
        let expr = if with_e {
            expr
        } else {
            expr.substitute(Symbol::from_index(15), &Expr::Symbol(Symbol::from_index(2)))
        };
        let mut words = vocabulary(if with_e { &NAMES } else { &NAMES[..15] });
        for style in [Spelling::Unicode, Spelling::Ascii] {
            let shown = line(&expr, words.table(), style);
            let readings = read(&shown, &mut words, Undeclared::Refuse);
            let readings = match readings {
                Ok(readings) => readings,
                Err(fault) => return Err(TestCaseError::fail(format!("{shown}\n{fault}"))),
            };
            let again = &readings.preferred.chain[0];
            for seed in 0..4u32 {
                let point: Vec<f64> = (0..16u32)
                    .map(|index| 0.31 + f64::from((index * 7 + seed * 5) % 17) * 0.113)
                    .collect();
                let (before, after) = (value(&expr, &point), value(again, &point));
                prop_assert!(same(before, after), "{} : {} against {}", shown, before, after);
            }
        }
    }
}

#[test]
fn derivatives_and_integrals_read_back() {
    for text in [
        "v = dx/dt",
        "a = d^2x/dt^2",
        "P = d/dt(m v^2/2)",
        "F = -m dv/dt + k x",
        "W = 2 int(k x^2, x, 0, b)",
        "E = (dΦ/dt)^2/R",
    ] {
        let mut vocabulary = Vocabulary::new();
        let first = read(text, &mut vocabulary, Undeclared::Declare)
            .expect("it reads")
            .preferred
            .chain;
        for spelling in [Spelling::Unicode, Spelling::Ascii] {
            let shown = equation_line(&first, vocabulary.table(), spelling);
            let again = read(&shown, &mut vocabulary, Undeclared::Refuse)
                .unwrap_or_else(|fault| panic!("{shown}: {}", fault.render()))
                .preferred
                .chain;
            assert_eq!(
                equation_line(&again, vocabulary.table(), spelling),
                shown,
                "{text}"
            );
            let explicit = crate::show::explicit::explicit_chain(&again, vocabulary.table());
            assert_eq!(
                explicit,
                crate::show::explicit::explicit_chain(&first, vocabulary.table()),
                "{text}"
            );
        }
    }
}
