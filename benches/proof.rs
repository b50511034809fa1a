//! The verdict on one line of a derivation with six premises: median and 99th
//! percentile, over right and wrong lines; and a whole working, reading
//! included.
//!
//! `cargo bench --bench proof`

#[path = "support/timing.rs"]
mod timing;

use std::time::{Duration, Instant};

use rejig::algebra::symbol::Domain;
use rejig::practice::argument::Argument;
use rejig::reason::consequence::Premises;
use rejig::reason::proof::{Checker, TypedLine, neighbours};
use rejig::text::{Undeclared, Vocabulary, read};
use timing::percentile;

/// Six givens, a goal, and lines of which the starred ones are wrong.
type Task<'a> = (&'a [&'a str; 6], &'a str, &'a [&'a str]);

const TASKS: [Task<'static>; 3] = [
    (
        &[
            "W = F s",
            "F = m a",
            "v^2 = 2 a s",
            "p = m v",
            "P = W/t",
            "m = ρ V",
        ],
        "P = p^2/(2 ρ V t)",
        &[
            "W = m a s",
            "a s = v^2/2",
            "W = 1/2 m v^2",
            "v = p/m",
            "W = p^2/(2 m)",
            "P = p^2/(2 m t)",
            "W = m v^2",
            "P = p^2/(2 ρ V t)",
        ],
    ),
    (
        &[
            "E = I (R + r)",
            "V = I R",
            "P = I V",
            "R = ρ l/A",
            "A = π d^2/4",
            "Q = I t",
        ],
        "P = E^2 R/(R + r)^2",
        &[
            "I = E/(R + r)",
            "V = E R/(R + r)",
            "P = I^2 R",
            "P = E^2 R/(R + r)^2",
            "R = 4 ρ l/(π d^2)",
            "Q = E t/(R + r)",
            "I = E/R + E/r",
        ],
    ),
    (
        &[
            "F = G M m/r^2",
            "F = m v^2/r",
            "v = 2 π r/T",
            "g = G M/r^2",
            "K = 1/2 m v^2",
            "U = -G M m/r",
        ],
        "T^2 = 4 π^2 r^3/(G M)",
        &[
            "v^2 = G M/r",
            "g = v^2/r",
            "K = G M m/(2 r)",
            "U = -2 K",
            "K + U = -K",
            "v = sqrt(g r)",
            "T^2 = 4 π^2 r^3/(G M)",
            "T^2 = 4 π^2 r^2/(G M)",
        ],
    ),
];

fn report(name: &str, times: &mut [Duration]) {
    println!(
        "{name:<34} median {:>9.1?}  99th {:>9.1?}  n {}",
        percentile(times, 0.5),
        percentile(times, 0.99),
        times.len()
    );
}

fn vocabulary() -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    vocabulary.declare("U", Domain::Real);
    vocabulary
}

fn main() {
    let (mut prepare, mut verdict, mut line, mut whole) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..200 {
        for (given, goal, lines) in TASKS {
            let start = Instant::now();
            let argument = Argument::of_text(given.iter().copied(), [], goal, vocabulary())
                .expect("the task reads");
            let judged = argument.judge(lines.iter().copied());
            whole.push(start.elapsed());
            assert!(judged.report.consistent);

            let mut letters = argument.vocabulary.clone();
            let typed: Vec<TypedLine> = lines
                .iter()
                .map(|text| {
                    let readings =
                        read(text, &mut letters, Undeclared::Declare).expect("the line reads");
                    TypedLine {
                        readings: vec![(readings.preferred.chain, None)],
                        brings_in: false,
                        goes_on: false,
                    }
                })
                .collect();
            let base: Vec<_> = argument
                .task
                .given
                .iter()
                .flat_map(|chain| neighbours(chain))
                .collect();
            let start = Instant::now();
            let premises = Premises::new(&base, letters.table());
            prepare.push(start.elapsed());
            for one in &typed {
                let equations = neighbours(&one.readings[0].0);
                let start = Instant::now();
                let found = premises.carry_all(&equations, letters.table());
                verdict.push(start.elapsed());
                std::hint::black_box(found);
            }
            let mut checker = Checker::new(&argument.task, letters.table().clone());
            for one in &typed {
                let start = Instant::now();
                checker.line(one);
                line.push(start.elapsed());
            }
            std::hint::black_box(checker.finish(typed.len()));
        }
    }
    report("six premises made ready", &mut prepare);
    report("a line follows or not", &mut verdict);
    report("a line with kind and uses", &mut line);
    report("a whole working, reading included", &mut whole);
}
