//! Typed maths: one or two lines, read as a student's would be.
//!
//! - Whatever is read is printed, reads again to the same, and keeps its
//!   value.
//! - The normal form is canonical.
//! - Doubles, long floats and exact rationals agree where each is certain of
//!   its value, and so do two expressions that are proved equal.

use rejig::algebra::ball::{self, Ball};
use rejig::algebra::certified::{self, Certified};
use rejig::algebra::exact;
use rejig::algebra::expr::Expr;
use rejig::algebra::limits::Budget;
use rejig::algebra::normal::Field;
use rejig::algebra::normalise::proved_equal_within;
use rejig::algebra::number::Number;
use rejig::algebra::precise::{Precise, Precision};
use rejig::algebra::sample;
use rejig::algebra::symbol::{Domain, Symbol, SymbolTable};
use rejig::show::line::Spelling;
use rejig::show::{explicit, grid, latex, mathml, typeset};
use rejig::text::{Undeclared, Vocabulary, read};

use crate::reading::printed_and_read;

/// Work for one normal form: enough for everything that a student types.
const WORK: u64 = 50_000;
const LONG: Precision = Precision(256);
/// Points at which values are compared.
const POINTS: usize = 3;

pub fn run(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in [
        ("x", Domain::Real),
        ("y", Domain::Real),
        ("n", Domain::Nonnegative),
        ("θ", Domain::Acute),
        ("E_k", Domain::Positive),
        ("m", Domain::Positive),
    ] {
        vocabulary.declare(name, domain);
    }
    let mut sides: Vec<Expr> = Vec::new();
    for typed in text.splitn(2, '\n') {
        match read(typed, &mut vocabulary, Undeclared::Declare) {
            Err(fault) => drop(fault.render()),
            Ok(readings) => {
                for reading in readings.all() {
                    sides.extend(reading.chain.iter().cloned());
                }
            }
        }
    }
    sides.truncate(8);
    for side in &sides {
        printed(side, &vocabulary);
        for branch in side.branches() {
            valued(&branch, vocabulary.table());
        }
    }
    if let [first, .., last] = &sides[..]
        && !first.has_doubled_sign()
        && !last.has_doubled_sign()
    {
        proved(first, last, vocabulary.table());
    }
}

/// What is printed reads back to the same.
fn printed(side: &Expr, vocabulary: &Vocabulary) {
    let table = vocabulary.table();
    drop(grid::expression(side, table, Spelling::Unicode, 40));
    let piece = typeset::expression(side, table);
    drop(latex::maths(&piece));
    drop(mathml::display(&piece));
    drop(explicit::explicit(side, table));
    for spelling in [Spelling::Unicode, Spelling::Ascii] {
        let Some((first, again)) = printed_and_read(side, spelling, vocabulary) else {
            continue;
        };
        for (own, other) in side.branches().iter().zip(&again.branches()) {
            same_value(own, other, table, &first);
        }
    }
}

fn point(index: usize, table: &SymbolTable) -> Vec<Number> {
    let symbols: Vec<Symbol> = table.symbols().collect();
    sample::point(index, &symbols, table)
}

fn balls(values: &[Number]) -> Vec<Ball> {
    let ball = |value| Ball::of(value).expect("a sample point is a double");
    values.iter().map(ball).collect()
}

fn same_value(left: &Expr, right: &Expr, table: &SymbolTable, told: &str) {
    for index in 0..POINTS {
        let values = balls(&point(index, table));
        if let (Ok(one), Ok(other)) = (
            ball::evaluate(left, &values),
            ball::evaluate(right, &values),
        ) {
            assert!(
                !one.differs_from(other),
                "{told:?}: {one:?} and {other:?} at point {index}\n{left:?}\n{right:?}"
            );
        }
    }
}

fn valued(expr: &Expr, table: &SymbolTable) {
    let mut field = Field::with_budget(table, Budget::new(WORK));
    if let Ok(normal) = field.settling(|field| field.normalise(expr)) {
        assert!(normal.is_canonical());
    }
    for index in 0..POINTS {
        let values = point(index, table);
        let doubles = ball::evaluate(expr, &balls(&values));
        let exact = exact::evaluate(expr, &values);
        if let (Ok(own), Ok(exact)) = (&doubles, &exact)
            && let Some(other) = Ball::of(exact)
        {
            assert!(!own.differs_from(other), "{own:?} is not {exact}: {expr:?}");
        }
        if index > 0 {
            continue;
        }
        let long: Option<Vec<Precise>> = values
            .iter()
            .map(|value| Precise::of(&LONG, value))
            .collect();
        let Some(long) = long else { continue };
        let Ok(long) = certified::evaluate(expr, &long, &LONG) else {
            continue;
        };
        if let Ok(own) = &doubles {
            let near = long.to_f64();
            let gap = (own.mid() - near).abs();
            assert!(
                gap.is_nan() || gap <= own.rad() * 1.000_001 + near.abs() * f64::EPSILON,
                "{own:?} does not hold {near}: {expr:?}"
            );
        }
        if let Ok(exact) = &exact
            && let Some(other) = Precise::of(&LONG, exact)
        {
            assert!(
                !long.differs_from(&other),
                "{long:?} is not {exact}: {expr:?}"
            );
        }
    }
}

fn proved(left: &Expr, right: &Expr, table: &SymbolTable) {
    if proved_equal_within(left, right, table, Budget::new(WORK)) != Ok(true) {
        return;
    }
    for index in 0..8 {
        let values = balls(&point(index, table));
        if let (Ok(one), Ok(other)) = (
            ball::evaluate(left, &values),
            ball::evaluate(right, &values),
        ) {
            assert!(
                !one.differs_from(other),
                "proved equal, yet {one:?} and {other:?} at point {index}\n{left:?}\n{right:?}"
            );
        }
    }
}
