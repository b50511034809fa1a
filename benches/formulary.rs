//! How long it takes to load and proofread sheets: the embedded ones, and
//! made ones of 10,000, 20,000 and 40,000 formulae (time should double).
//!
//! Run with `cargo bench --bench formulary`.

use std::fmt::Write as _;
use std::time::Instant;

use rejig::physics::formulary::Formulary;
use rejig::physics::proofread::proofread;
use rejig::store::sheets::embedded;

/// Units and shapes alternate, so that dimensions are looked at too.
fn declared(count: usize) -> String {
    let mut text = String::from("topic made: Made for measuring\nquantity t: time, s\n");
    for index in 0..count / 10 {
        let _ = writeln!(text, "quantity v_{index}: speed {index}, m s^-1, real");
        let _ = writeln!(
            text,
            "quantity a_{index}: acceleration {index}, m s^-2, real"
        );
    }
    for index in 0..count {
        let (here, next) = (index % (count / 10), (index + 1) % (count / 10));
        let _ = writeln!(
            text,
            "formula f{index}: v_{next} = v_{here} + a_{here} t + {index} a_{next} t/2"
        );
    }
    text
}

/// Nothing declared: each symbol's dimension is an unknown.
fn bare(count: usize) -> String {
    let mut text = String::from("topic made\n");
    for index in 0..count {
        let _ = writeln!(text, "v_{} = v_{index} + a_{index} t + b t^2", index + 1);
    }
    text
}

fn measure(name: &str, text: &str) {
    let start = Instant::now();
    let formulary = Formulary::from_text("made.sheet", text);
    let loaded = start.elapsed();
    let faults = proofread(&formulary).len();
    let all = start.elapsed();
    println!(
        "{name}: {} formulae, loaded in {loaded:.2?}, with proofreading {all:.2?}, {faults} findings",
        formulary.formula_count()
    );
}

fn main() {
    for _ in 0..3 {
        let start = Instant::now();
        let formulary = embedded();
        let loaded = start.elapsed();
        let faults = proofread(&formulary).len();
        println!(
            "embedded: {} formulae, {} proofs, {} definitions, {} questions, loaded in {loaded:.2?}, with proofreading {:.2?}, {faults} findings",
            formulary.formula_count(),
            formulary
                .topics
                .iter()
                .map(|topic| topic.proofs.len())
                .sum::<usize>(),
            formulary
                .topics
                .iter()
                .map(|topic| topic.definitions.len())
                .sum::<usize>(),
            formulary.questions().count(),
            start.elapsed()
        );
    }
    for count in [10_000, 20_000, 40_000] {
        measure("declared", &declared(count));
        measure("bare", &bare(count));
        measure(
            "faulty",
            &"this is no formula\nquantity v speed\nv = (\n".repeat(count / 3),
        );
    }
}
