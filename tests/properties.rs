//! Laws that hold for all values: number and polynomial arithmetic, the
//! normal form against certified numbers, the divisor against a second
//! opinion (the crate zippel-gcd), balls against exact values.

#[path = "support/awkward.rs"]
mod awkward;

use proptest::prelude::*;
use rejig::algebra::ball::{self, Ball};
use rejig::algebra::certified::{self, NoValue};
use rejig::algebra::divisor;
use rejig::algebra::exact;
use rejig::algebra::expr::{Expr, Function};
use rejig::algebra::limits::Budget;
use rejig::algebra::normal::{Field, Normal};
use rejig::algebra::normalise::proved_equal_within;
use rejig::algebra::number::Number;
use rejig::algebra::polynomial::Polynomial;
use rejig::algebra::precise::{Precise, Precision};
use rejig::algebra::sample;
use rejig::algebra::symbol::Symbol;

const LONG: Precision = Precision(256);
const WORK: u64 = 20_000;

/// A polynomial in the notation of the second opinion's reader.
fn written(polynomial: &Polynomial) -> String {
    let mut text = String::from("0");
    for (monomial, coefficient) in polynomial.terms() {
        text.push_str(&format!(" + ({coefficient})"));
        for (kernel, exponent) in monomial.factors() {
            let name = ["x", "y", "z"][kernel.0 as usize];
            text.push_str(&format!("*{name}^{}", exponent.numerator()));
        }
    }
    text
}

/// Values of the symbols of the shared table at one point.
fn point(index: usize) -> Vec<Number> {
    let table = awkward::table();
    let symbols: Vec<Symbol> = table.symbols().collect();
    sample::point(index, &symbols, &table)
}

fn long(values: &[Number]) -> Vec<Precise> {
    use rejig::algebra::certified::Certified;
    values
        .iter()
        .map(|value| Precise::of(&LONG, value).unwrap())
        .collect()
}

fn balls(values: &[Number]) -> Vec<Ball> {
    values
        .iter()
        .map(|value| Ball::of(value).unwrap())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn numbers_are_a_field(a in awkward::number(), b in awkward::number(), c in awkward::number()) {
        prop_assert_eq!(&a + &b, &b + &a);
        prop_assert_eq!(&(&a + &b) + &c, &a + &(&b + &c));
        prop_assert_eq!(&(&a * &b) * &c, &a * &(&b * &c));
        prop_assert_eq!(&a * &(&b + &c), &(&a * &b) + &(&a * &c));
        prop_assert_eq!(&a - &a, Number::ZERO);
        if !a.is_zero() {
            prop_assert_eq!(&(&b / &a) * &a, b.clone());
        }
        // One representation each: equal as numbers, equal as values.
        let again = &(&a + &b) - &b;
        prop_assert_eq!(again.to_i64_pair(), a.to_i64_pair());
        prop_assert_eq!(a.cmp(&b) == std::cmp::Ordering::Less, (&b - &a).is_positive());
    }

    #[test]
    fn doubles_hold_exact_numbers(a in awkward::number(), b in awkward::number()) {
        let (x, y) = (Ball::of(&a).unwrap(), Ball::of(&b).unwrap());
        use rejig::algebra::certified::Certified;
        for (ball, number) in [
            (x.plus(&y), Some(&a + &b)),
            (x.times(&y), Some(&a * &b)),
            (x.divided(&y), b.reciprocal().map(|inverse| &a * &inverse)),
        ] {
            if let (Ok(ball), Some(number)) = (ball, number) {
                prop_assert!(holds(ball, &number), "{ball:?} does not hold {number}");
            }
        }
    }

    #[test]
    fn polynomials_are_a_ring(
        a in awkward::polynomial(6, 4),
        b in awkward::polynomial(6, 4),
        c in awkward::polynomial(6, 4),
    ) {
        let budget = &mut Budget::default();
        let ab = a.times(&b, budget).unwrap();
        prop_assert!(ab.is_canonical());
        prop_assert_eq!(&ab, &b.times(&a, budget).unwrap());
        let left = a.times(&b.plus(&c).unwrap(), budget).unwrap();
        let right = ab.plus(&a.times(&c, budget).unwrap()).unwrap();
        prop_assert_eq!(left, right);
        prop_assert!(a.minus(&a).unwrap().is_zero());
        if !b.is_zero() {
            prop_assert_eq!(divisor::divide_exactly(&ab, &b, budget).unwrap(), Some(a.clone()));
            let (quotient, remainder) = divisor::divide(&a, &b, budget).unwrap();
            let back = quotient.times(&b, budget).unwrap().plus(&remainder).unwrap();
            prop_assert_eq!(back, a);
        }
    }
}

/// Whether a ball holds an exact number, by exact arithmetic.
fn holds(ball: Ball, number: &Number) -> bool {
    let mid = Number::from_f64(ball.mid()).unwrap();
    let rad = Number::from_f64(ball.rad()).unwrap();
    (&mid - number).abs() <= rad
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_divisor_has_a_second_opinion(
        a in awkward::polynomial(4, 3),
        b in awkward::polynomial(4, 3),
        common in awkward::polynomial(3, 2),
    ) {
        let budget = &mut Budget::default();
        let left = a.times(&common, budget).unwrap();
        let right = b.times(&common, budget).unwrap();
        prop_assume!(!left.is_zero() && !right.is_zero());
        let ours = divisor::gcd(&left, &right, budget).unwrap();
        let ring = polycore::Ring::new(["x", "y", "z"], polycore::Order::Lex);
        let theirs = zippel_gcd::gcd(
            &ring.parse(&written(&left)).unwrap(),
            &ring.parse(&written(&right)).unwrap(),
        );
        let ours = ring.parse(&written(&ours)).unwrap();
        prop_assert_eq!(ring.show(&ours), ring.show(&theirs));
    }

    #[test]
    fn factors_multiply_back(
        a in awkward::polynomial(3, 2),
        b in awkward::polynomial(3, 2),
    ) {
        let budget = &mut Budget::default();
        let product = a.times(&a, budget).unwrap().times(&b, budget).unwrap();
        prop_assume!(!product.is_zero());
        let primitive = divisor::primitive(&product).unwrap();
        let mut back = Polynomial::one();
        for (factor, multiplicity) in divisor::factors(&primitive, budget).unwrap() {
            back = back.times(&factor.raised(multiplicity, budget).unwrap(), budget).unwrap();
        }
        prop_assert!(back == primitive || back == primitive.negated());
    }

    #[test]
    fn balls_hold_what_long_floats_give(expr in awkward::tree(), index in 0_usize..40) {
        let values = point(index);
        if let Ok(ball) = ball::evaluate(&expr, &balls(&values)) {
            match certified::evaluate::<Precise>(&expr, &long(&values), &LONG) {
                Ok(precise) => {
                    let gap = (ball.mid() - precise.to_f64()).abs();
                    let allowed = ball.rad() + ball.mid().abs() * f64::EPSILON;
                    prop_assert!(gap <= allowed, "{expr:?}: {ball:?} against {}", precise.to_f64());
                }
                // What doubles are sure of, long floats can't deny.
                Err(NoValue::Undefined) => prop_assert!(false, "{expr:?}: undefined in long floats"),
                Err(NoValue::Unsure) => {}
            }
        }
    }

    #[test]
    fn balls_hold_exact_values(expr in awkward::tree(), index in 0_usize..40) {
        let values = point(index);
        if let Ok(number) = exact::evaluate(&expr, &values)
            && let Ok(ball) = ball::evaluate(&expr, &balls(&values))
        {
            prop_assert!(holds(ball, &number), "{expr:?}: {ball:?} does not hold {number}");
        }
    }

    #[test]
    fn what_is_proved_holds_in_numbers(expr in awkward::tree(), index in 0_usize..24) {
        // Each move keeps the value wherever both are defined; what the engine
        // proves must agree in certified numbers.
        let table = awkward::table();
        let values = long(&point(index));
        let moved = [
            Expr::pow(Expr::call(Function::Sqrt, Expr::pow(expr.clone(), Expr::integer(2))), Expr::integer(1)),
            Expr::call(Function::Abs, expr.clone()),
            Expr::call(Function::Ln, Expr::call(Function::Exp, expr.clone())),
            Expr::call(Function::Arcsin, Expr::call(Function::Sin, expr.clone())),
            Expr::call(Function::Sqrt, Expr::mul(expr.clone(), Expr::Symbol(Symbol::from_index(0)))),
            Expr::mul(Expr::call(Function::Sqrt, expr.clone()), Expr::call(Function::Sqrt, Expr::Symbol(Symbol::from_index(0)))),
            Expr::neg(expr.clone()),
        ];
        for (first, second) in [(0, 1), (4, 5), (1, 0)]
            .into_iter()
            .map(|(i, j)| (&moved[i], &moved[j]))
            .chain(moved.iter().map(|other| (&expr, other)))
        {
            let proved = proved_equal_within(first, second, &table, Budget::new(WORK));
            if proved != Ok(true) {
                continue;
            }
            let (left, right) = (
                certified::evaluate::<Precise>(first, &values, &LONG),
                certified::evaluate::<Precise>(second, &values, &LONG),
            );
            if let (Ok(left), Ok(right)) = (left, right) {
                prop_assert!(
                    !left.differs_from(&right),
                    "proved equal, yet {} and {}: {first:?}   {second:?}",
                    left.to_f64(),
                    right.to_f64()
                );
            }
        }
    }

    #[test]
    fn normal_forms_are_canonical_and_a_field(a in awkward::tree(), b in awkward::tree()) {
        let table = awkward::table();
        let mut field = Field::with_budget(&table, Budget::new(WORK));
        let pair = field.settling(|field| Ok((field.normalise(&a)?, field.normalise(&b)?)));
        if let Ok((a, b)) = pair {
            prop_assert!(a.is_canonical() && b.is_canonical());
            if let (Ok(ab), Ok(ba)) = (field.times(&a, &b), field.times(&b, &a)) {
                prop_assert!(ab.is_canonical());
                prop_assert_eq!(field.proved_equal(&ab, &ba), Ok(true));
            }
            if let Ok(difference) = field.minus(&a, &a) {
                prop_assert_eq!(difference, Normal::zero());
            }
            if !b.is_zero()
                && let Ok(quotient) = field.divided(&a, &b)
                && let Ok(back) = field.times(&quotient, &b)
                && let Ok(equal) = field.proved_equal(&back, &a)
            {
                prop_assert!(equal);
            }
        }
    }
}
