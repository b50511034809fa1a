//! How long it takes to read typed lines: median and 99th percentile.
//!
//! `cargo bench --bench reading`

use std::hint::black_box;
use std::time::Instant;

use rejig::algebra::symbol::Domain;
use rejig::text::{Undeclared, Vocabulary, read};

const LINES: [&str; 16] = [
    "v = sqrt(u^2 + 2as)",
    "v = u + at",
    "a = (v - u)/t",
    "s = ut + ½at²",
    "2as",
    "r = √(GMm/F)",
    "E_k = 1/2 m v^2",
    "T = 2π√(l/g)",
    "(v^2 - u^2)/(2a)",
    "lambda = h/(m v)",
    "V_0 e^(-t/RC)",
    "m = 2E_k/v²",
    "sin θ = n λ/d",
    "a/2s",
    "e^-λt",
    "sqrt 2E/m",
];

fn main() {
    let mut vocabulary = Vocabulary::new();
    for name in [
        "a", "s", "u", "v", "t", "m", "r", "G", "M", "E", "F", "k", "x", "R", "C", "g", "h", "d",
        "n", "l", "T", "θ", "λ", "V_0", "E_k", "Δv",
    ] {
        vocabulary.declare(name, Domain::Real);
    }
    let rounds = 20_000;
    let mut every: Vec<u64> = Vec::with_capacity(rounds * LINES.len());
    println!("{:<24}{:>10}{:>10}", "line", "median", "99th");
    for line in LINES {
        let mut times: Vec<u64> = Vec::with_capacity(rounds);
        for _ in 0..rounds {
            let start = Instant::now();
            let readings = read(black_box(line), &mut vocabulary, Undeclared::Refuse);
            let time = start.elapsed();
            black_box(readings.expect("every line of the list reads"));
            times.push(u64::try_from(time.as_nanos()).unwrap_or(u64::MAX));
        }
        times.sort_unstable();
        report(line, &times);
        every.extend(times);
    }
    every.sort_unstable();
    report("all", &every);
}

fn report(line: &str, sorted: &[u64]) {
    #[allow(clippy::cast_precision_loss)]
    let micros = |at: usize| sorted[at] as f64 / 1_000.0;
    println!(
        "{line:<24}{:>8.2}µs{:>8.2}µs",
        micros(sorted.len() / 2),
        micros(sorted.len() * 99 / 100)
    );
}
