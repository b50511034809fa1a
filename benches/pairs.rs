//! Whether two expressions are equal, reading included, on the pairs that the
//! peers get (`benches/peers/pairs.tsv`): certified doubles refute, the normal
//! form proves.
//!
//! `cargo bench --bench pairs [-- --each]`; `--each` prints a row a pair: its
//! number, its label, what was decided, microseconds of reading and deciding.

#[path = "support/timing.rs"]
mod timing;

use std::time::{Duration, Instant};

use rejig::algebra::ball::{self, Ball};
use rejig::algebra::expr::Expr;
use rejig::algebra::normalise::proved_equal;
use rejig::algebra::sample;
use rejig::algebra::symbol::SymbolTable;
use rejig::text::{Undeclared, Vocabulary, read_preferred};
use timing::percentile;

/// Runs of a pair, of which the fastest counts, as for GiNaC.
const RUNS: usize = 7;
/// Points at which two expressions must meet before a proof is tried.
const FIRST: usize = 3;
/// Points that are tried in all.
const POINTS: usize = 24;

/// Equal, different, or nothing.
fn decide(left: &Expr, right: &Expr, table: &SymbolTable) -> Option<bool> {
    let mut symbols = left.symbols();
    right.collect_symbols(&mut symbols);
    let mut balls = vec![Ball::exact(1.0); table.len()];
    let mut differ_at = |number: usize| {
        let values = sample::point(number, &symbols, table);
        for (symbol, value) in symbols.iter().zip(&values) {
            balls[symbol.index()] = Ball::of(value)?;
        }
        let left = ball::evaluate(left, &balls).ok()?;
        let right = ball::evaluate(right, &balls).ok()?;
        Some(left.differs_from(right))
    };
    if (0..FIRST).any(|number| differ_at(number) == Some(true)) {
        return Some(false);
    }
    if proved_equal(left, right, table) == Ok(true) {
        return Some(true);
    }
    (FIRST..POINTS)
        .any(|number| differ_at(number) == Some(true))
        .then_some(false)
}

/// The pair as `rejig` has it: `ln` for `log`, and no underscores behind
/// letters that only the peers keep for themselves.
fn ours(text: &str) -> String {
    let mut out = text.replace("log(", "ln(");
    for name in ["I_", "E_", "S_", "N_", "Q_", "C_", "O_", "e_"] {
        let letter = &name[..1];
        for behind in ["*", ")", "^", "+", "-", "/", " "] {
            out = out.replace(&format!("{name}{behind}"), &format!("{letter}{behind}"));
        }
        if out.ends_with(name) {
            out.truncate(out.len() - 1);
        }
    }
    out
}

fn main() {
    let each = std::env::args().any(|argument| argument == "--each");
    let text = std::fs::read_to_string("benches/peers/pairs.tsv").expect("the pairs");
    let (mut reading, mut deciding, mut both) = (Vec::new(), Vec::new(), Vec::new());
    let (mut right, mut agreed) = ([0; 2], [0; 2]);
    for (number, row) in text.lines().enumerate() {
        let cells: Vec<&str> = row.split('\t').collect();
        let (first, second) = (ours(cells[0]), ours(cells[1]));
        let label = cells[2] == "right";
        // The letters are declared beforehand, as they are for the peers.
        let mut vocabulary = Vocabulary::new();
        for typed in [&first, &second] {
            if let Err(fault) = read_preferred(typed, &mut vocabulary, Undeclared::Declare) {
                panic!("pair {}: {}", number + 1, fault.render());
            }
        }
        let mut least = [Duration::MAX; 2];
        let mut decided = None;
        for _ in 0..RUNS {
            let start = Instant::now();
            let mut side = |typed: &str| {
                let read = read_preferred(typed, &mut vocabulary, Undeclared::Refuse);
                read.ok().and_then(|mut reading| reading.chain.pop())
            };
            let (Some(left), Some(right)) = (side(&first), side(&second)) else {
                panic!("pair {} was read before", number + 1);
            };
            let read = Instant::now();
            decided = std::hint::black_box(decide(&left, &right, vocabulary.table()));
            let done = Instant::now();
            least = [least[0].min(read - start), least[1].min(done - read)];
        }
        // A label holds where the formula does that the pair came from; by
        // themselves two sides that are equal there may differ elsewhere.
        assert!(
            label || decided != Some(true),
            "pair {} is called equal",
            number + 1
        );
        right[usize::from(label)] += 1;
        agreed[usize::from(label)] += usize::from(decided == Some(label));
        if each {
            let word = decided.map_or("open", |equal| if equal { "equal" } else { "other" });
            let micros = least.map(|time| time.as_secs_f64() * 1e6);
            println!(
                "{}\t{}\t{word}\t{:.3}\t{:.3}",
                number + 1,
                cells[2],
                micros[0],
                micros[1]
            );
        }
        reading.push(least[0]);
        deciding.push(least[1]);
        both.push(least[0] + least[1]);
    }
    if each {
        return;
    }
    println!(
        "equal: proved for {} of {}; not equal: refuted for {} of {}",
        agreed[1], right[1], agreed[0], right[0]
    );
    for (name, times) in [
        ("reading", &mut reading),
        ("deciding", &mut deciding),
        ("both", &mut both),
    ] {
        println!(
            "{name:<9} median {:>9.1?}  99th {:>9.1?}",
            percentile(times, 0.5),
            percentile(times, 0.99)
        );
    }
}
