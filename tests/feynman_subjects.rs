//! Changes of subject of 120 physics formulae (Udrescu and Tegmark, AI
//! Feynman, Science Advances 6, eaay2631, 2020), held against the solutions of
//! SymPy 1.14 (`reference/feynman_subjects.jsonl`).
//!
//! At points that lie on the formula, one of our solutions must give back the
//! subject's value wherever one of SymPy's does.

#[path = "support/sympy.rs"]
mod sympy;
#[path = "support/value.rs"]
mod value;

use rejig::algebra::expr::Equation;
use rejig::algebra::symbol::{Domain, Symbol, SymbolTable};
use rejig::reason::isolate::{Outcome, isolate};
use value::value;

const POINTS: usize = 24;

/// A fixed sequence that looks scattered, between 0 and 1.
struct Scatter(u64);

impl Scatter {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}

fn near(one: f64, two: f64) -> bool {
    (one - two).abs() <= 1e-6 * (one.abs() + two.abs()) + 1e-12
}

struct Row {
    equation: Equation,
    subject: Symbol,
    table: SymbolTable,
    listed: Vec<rejig::algebra::expr::Expr>,
}

fn rows(outcome: &str) -> Vec<(String, Row)> {
    let text = include_str!("outside/reference/feynman_subjects.jsonl");
    text.lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap())
        .filter(|row| row["outcome"] == outcome)
        .map(|row| {
            let mut table = SymbolTable::new();
            for (name, domain) in row["domains"].as_object().unwrap() {
                table.intern(
                    name,
                    Domain::from_keyword(domain.as_str().unwrap()).unwrap(),
                );
            }
            let (left, right) = row["equation"].as_str().unwrap().split_once(" = ").unwrap();
            let left = sympy::read(left, &mut table);
            let right = sympy::read(right, &mut table);
            let subject = table.get(row["subject"].as_str().unwrap()).unwrap();
            let listed = row["solutions"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|solution| {
                    solution["kind"] == "elementary"
                        && !solution["text"].as_str().unwrap().contains('I')
                })
                .map(|solution| solution["text"].as_str().unwrap())
                .filter(|text| !text.contains("*I") && !text.contains("Piecewise"))
                .map(|text| sympy::read(text, &mut table))
                .collect();
            (
                format!(
                    "{} for {}",
                    row["equation"].as_str().unwrap(),
                    row["subject"].as_str().unwrap()
                ),
                Row {
                    equation: Equation::new(left, right),
                    subject,
                    table,
                    listed,
                },
            )
        })
        .collect()
}

/// How often the solutions give the subject back, at how many points on the
/// formula at which SymPy's do.
fn agreement(row: &Row, ours: &[rejig::algebra::expr::Expr]) -> (usize, usize) {
    let mut scatter = Scatter(7);
    let (mut hits, mut points) = (0, 0);
    // All these formulae have a single symbol on the left.
    let rejig::algebra::expr::Expr::Symbol(lone) = row.equation.left else {
        panic!("a lone symbol on the left")
    };
    for attempt in 0..4_000 {
        if points == POINTS {
            break;
        }
        let spread = if attempt % 2 == 0 { 1.0 } else { 4.0 };
        let mut values: Vec<f64> = row
            .table
            .symbols()
            .map(|symbol| match row.table.domain(symbol) {
                Domain::Acute => 0.05 + 1.45 * scatter.next(),
                Domain::Real => 4.0 * scatter.next() - 2.0,
                _ => 0.1 + spread * scatter.next(),
            })
            .collect();
        let made = value(&row.equation.right, &values);
        let fits = match row.table.domain(lone) {
            Domain::Positive => made > 0.0,
            Domain::Acute => made > 0.0 && made < std::f64::consts::FRAC_PI_2,
            _ => made.is_finite(),
        };
        if !fits || !made.is_finite() {
            continue;
        }
        values[lone.index()] = made;
        let wanted = values[row.subject.index()];
        let gives = |solutions: &[rejig::algebra::expr::Expr]| {
            solutions
                .iter()
                .any(|solution| near(value(solution, &values), wanted))
        };
        if !row.listed.is_empty() && !gives(&row.listed) {
            continue;
        }
        points += 1;
        hits += usize::from(gives(ours));
    }
    (hits, points)
}

#[test]
fn closed_forms_agree_with_sympy() {
    let mut unsolved = Vec::new();
    let mut apart = Vec::new();
    let rows = rows("closed");
    let total = rows.len();
    for (name, row) in &rows {
        match isolate(&row.equation, row.subject, &row.table) {
            Outcome::Solved { solutions, .. } => {
                let ours: Vec<_> = solutions
                    .iter()
                    .map(|solution| solution.value.clone())
                    .collect();
                let (hits, points) = agreement(row, &ours);
                if hits < points || points == 0 {
                    apart.push(format!("{name}: {hits} of {points}"));
                }
            }
            other => unsolved.push(format!("{name}: {other:?}")),
        }
    }
    println!(
        "{} of {total} solved and in agreement",
        total - unsolved.len() - apart.len()
    );
    for line in &unsolved {
        println!("UNSOLVED {line}");
    }
    for line in &apart {
        println!("APART {line}");
    }
    assert!(
        unsolved.is_empty() && apart.is_empty(),
        "{unsolved:#?} {apart:#?}"
    );
}
