//! One verdict, reading included: median and 99th percentile over the pairs
//! of `tests/outside/`, for formulae first met and met before.
//!
//! `cargo bench --bench verdict [-- FILE]`

#[path = "support/timing.rs"]
mod timing;

use std::time::{Duration, Instant};

use rejig::algebra::normalise::proved_equal;
use rejig::algebra::symbol::Domain;
use rejig::reason::answer;
use rejig::reason::rearrangement::Problem;
use rejig::text::{Undeclared, Vocabulary, read};
use serde_json::Value;
use timing::percentile;

fn report(name: &str, times: &mut [Duration]) {
    println!(
        "{name:<28} median {:>9.1?}  99th {:>9.1?}  n {}",
        percentile(times, 0.5),
        percentile(times, 0.99),
        times.len()
    );
}

fn main() {
    let file = std::env::args()
        .skip(1)
        .find(|argument| !argument.starts_with('-'))
        .unwrap_or_else(|| "tests/outside/pairs_2000.jsonl".to_owned());
    let slowest = std::env::var_os("SLOWEST").is_some();
    let text = std::fs::read_to_string(&file).expect("the pairs are readable");
    let (mut prepare, mut reading, mut first, mut again, mut zero) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut slow = Vec::new();
    for row in text.lines() {
        let row: Value = serde_json::from_str(row).expect("each row is JSON");
        if row["task"] != "rearrange" {
            continue;
        }
        let field = |name: &str| row[name].as_str().unwrap_or_default().to_owned();
        let mut vocabulary = Vocabulary::new();
        for (name, domain) in row["quantities"].as_object().into_iter().flatten() {
            let domain = domain.as_str().and_then(Domain::from_keyword);
            vocabulary.declare(name, domain.unwrap_or_default());
        }
        let subject = vocabulary.declare(&field("subject"), Domain::Positive);
        let start = Instant::now();
        let Ok(readings) = read(&field("formula"), &mut vocabulary, Undeclared::Declare) else {
            continue;
        };
        let Some(equation) = answer::equations(&readings.preferred).pop() else {
            continue;
        };
        let problem = Problem::new(equation, subject, vocabulary.table());
        let prepared = start.elapsed();
        prepare.push(prepared);
        let answer_text = field("answer");
        let mut run = |into: &mut Vec<Duration>, reading: &mut Vec<Duration>| {
            let start = Instant::now();
            if let Ok(readings) = read(&answer_text, &mut vocabulary, Undeclared::Declare) {
                reading.push(start.elapsed());
                let _ =
                    std::hint::black_box(answer::judge(&problem, &readings, vocabulary.table()));
            }
            into.push(start.elapsed());
        };
        run(&mut first, &mut reading);
        run(&mut again, &mut reading);
        let (verdict, total) = (again[again.len() - 1], prepared + first[first.len() - 1]);
        slow.push((
            verdict,
            total,
            row["id"].to_string(),
            field("formula"),
            answer_text,
        ));
        if let Some(carrier) = problem.carrier()
            && let Ok(readings) = read(&field("answer"), &mut vocabulary, Undeclared::Declare)
            && let Some(value) = readings.preferred.chain.last()
        {
            let put_in = value.substitute(carrier.symbol, &carrier.branches[0]);
            let start = Instant::now();
            let _ = std::hint::black_box(proved_equal(
                &put_in,
                &rejig::algebra::expr::Expr::Symbol(subject),
                vocabulary.table(),
            ));
            zero.push(start.elapsed());
        }
    }
    report("reading alone", &mut reading);
    report("preparing a formula", &mut prepare);
    report("verdict, first time", &mut first);
    report("verdict, formula met before", &mut again);
    report("zero test alone", &mut zero);
    if slowest {
        slow.sort_by_key(|row| std::cmp::Reverse(row.0));
        for (verdict, total, id, formula, answer) in slow.iter().take(25) {
            println!("{verdict:>10.1?} {total:>10.1?} {id} {formula}   {answer}");
        }
        slow.sort_by_key(|row| std::cmp::Reverse(row.1));
        println!();
        for (verdict, total, id, formula, answer) in slow.iter().take(25) {
            println!("{verdict:>10.1?} {total:>10.1?} {id} {formula}   {answer}");
        }
    }
}
