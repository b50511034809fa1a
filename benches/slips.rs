//! A verdict with its slip, reading included: median and 99th percentile over
//! the wrong answers of `tests/outside/`, for formulae first met and met
//! before.
//!
//! `cargo bench --bench slips [-- FILE]`

use std::time::{Duration, Instant};

use rejig::algebra::symbol::Domain;
use rejig::reason::answer;
use rejig::reason::rearrangement::Problem;
use rejig::reason::slip::{Slips, explain};
use rejig::text::{Undeclared, Vocabulary, read};
use serde_json::Value;

fn percentile(times: &mut [Duration], share: f64) -> Duration {
    times.sort();
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss
    )]
    times[((times.len() - 1) as f64 * share) as usize]
}

fn report(name: &str, times: &mut [Duration]) {
    println!(
        "{name:<44} median {:>9.1?}  99th {:>9.1?}  worst {:>9.1?}  n {}",
        percentile(times, 0.5),
        percentile(times, 0.99),
        percentile(times, 1.0),
        times.len()
    );
}

fn main() {
    let files: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| !argument.starts_with('-'))
        .collect();
    let files = if files.is_empty() {
        vec![
            "tests/outside/slips_independent.jsonl".to_owned(),
            "tests/outside/unexplained_independent.jsonl".to_owned(),
        ]
    } else {
        files
    };
    let slowest = std::env::var_os("SLOWEST").is_some();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("the rows are readable");
        let (mut first, mut again, mut plain) = (Vec::new(), Vec::new(), Vec::new());
        let mut slow = Vec::new();
        for row in text.lines() {
            let row: Value = serde_json::from_str(row).expect("each row is JSON");
            let field = |name: &str| row[name].as_str().unwrap_or_default().to_owned();
            let (formula, answer_text) = (field("formula"), field("answer"));
            let start = Instant::now();
            let mut vocabulary = Vocabulary::new();
            for (name, domain) in row["quantities"].as_object().into_iter().flatten() {
                let word = domain.as_str().or_else(|| domain["domain"].as_str());
                let domain = word.and_then(Domain::from_keyword);
                vocabulary.declare(name, domain.unwrap_or_default());
            }
            let subject = vocabulary.declare(&field("subject"), Domain::Positive);
            let Ok(readings) = read(&formula, &mut vocabulary, Undeclared::Declare) else {
                continue;
            };
            let Some(equation) = answer::equations(&readings.preferred).pop() else {
                continue;
            };
            let Ok(readings) = read(&answer_text, &mut vocabulary, Undeclared::Declare) else {
                continue;
            };
            let problem = Problem::new(equation, subject, vocabulary.table());
            let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
            let slips = Slips::new(&problem, vocabulary.table());
            let _ = std::hint::black_box(explain(
                &problem,
                &slips,
                &reading.chain,
                &judgement,
                vocabulary.table(),
            ));
            let whole = start.elapsed();
            first.push(whole);
            slow.push((whole, formula, answer_text.clone()));
            for warm in [false, true] {
                let start = Instant::now();
                let Ok(readings) = read(&answer_text, &mut vocabulary, Undeclared::Declare) else {
                    continue;
                };
                let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
                let judged = start.elapsed();
                let _ = std::hint::black_box(explain(
                    &problem,
                    &slips,
                    &reading.chain,
                    &judgement,
                    vocabulary.table(),
                ));
                if warm {
                    again.push(start.elapsed());
                    plain.push(judged);
                }
            }
        }
        println!("{file}");
        report("  verdict with its slip, formula first met", &mut first);
        report("  verdict with its slip, formula met before", &mut again);
        report("  verdict alone, formula met before", &mut plain);
        if slowest {
            slow.sort_by_key(|row| std::cmp::Reverse(row.0));
            for (time, formula, answer) in slow.iter().take(20) {
                println!("  {time:>10.1?} {formula}   {answer}");
            }
        }
    }
}
