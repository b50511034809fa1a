//! A verdict with its slip, reading included, request by request: median and
//! 99th percentile for formulae first met and met before, apart for right
//! answers, wrong ones that a slip explains, and wrong ones that none does.
//!
//! `cargo bench --bench slips [-- FILE...]`; with `SLOWEST=1` the slowest
//! requests are named.

#[path = "support/timing.rs"]
mod timing;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use rejig::algebra::symbol::Domain;
use rejig::reason::answer;
use rejig::reason::rearrangement::Problem;
use rejig::reason::slip::{Slips, explain};
use rejig::reason::verdict::Verdict;
use rejig::text::{Undeclared, Vocabulary, read};
use serde_json::Value;
use timing::percentile;

/// Runs of each request.
const RUNS: usize = 4;

fn report(name: &str, times: &mut [Duration]) {
    println!(
        "    {name:<40} median {:>9.1?}  99th {:>9.1?}  worst {:>9.1?}  n {}",
        percentile(times, 0.5),
        percentile(times, 0.99),
        percentile(times, 1.0),
        times.len()
    );
}

/// What one request took, part by part.
struct Timed {
    class: &'static str,
    slip: Option<&'static str>,
    prepare: Duration,
    verdict: Duration,
    paths: Duration,
    explain: Duration,
    verdict_again: Duration,
    explain_again: Duration,
    formula: String,
    answer: String,
}

impl Timed {
    fn first(&self) -> Duration {
        self.prepare + self.verdict + self.paths + self.explain
    }

    fn again(&self) -> Duration {
        self.verdict_again + self.explain_again
    }
}

fn run(row: &Value) -> Option<Timed> {
    let field = |name: &str| row[name].as_str().unwrap_or_default().to_owned();
    let (formula, answer) = (field("formula"), field("answer"));
    let start = Instant::now();
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in row["quantities"].as_object().into_iter().flatten() {
        let word = domain.as_str().or_else(|| domain["domain"].as_str());
        let domain = word.and_then(Domain::from_keyword);
        vocabulary.declare(name, domain.unwrap_or_default());
    }
    let subject = vocabulary.declare(&field("subject"), Domain::Positive);
    let readings = read(&formula, &mut vocabulary, Undeclared::Declare).ok()?;
    let equation = answer::equations(&readings.preferred).pop()?;
    let problem = Problem::new(equation, subject, vocabulary.table());
    let prepare = start.elapsed();

    let start = Instant::now();
    let readings = read(&answer, &mut vocabulary, Undeclared::Declare).ok()?;
    let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
    let verdict = start.elapsed();
    let table = vocabulary.table();

    let wrong = judgement.verdict == Verdict::Wrong;
    let (mut paths, mut explained, mut found) = (Duration::ZERO, Duration::ZERO, None);
    let mut slips = None;
    if wrong {
        let start = Instant::now();
        let own = slips.insert(Slips::new(&problem, table));
        paths = start.elapsed();
        let start = Instant::now();
        found = explain(&problem, own, &reading.chain, &judgement, table);
        explained = start.elapsed();
    }
    // The same once more, warm: the formula and the answer met before.
    let (mut verdict_again, mut explain_again) = (Duration::MAX, Duration::MAX);
    for _ in 0..3 {
        let start = Instant::now();
        let readings = read(&answer, &mut vocabulary, Undeclared::Declare).ok()?;
        let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
        verdict_again = verdict_again.min(start.elapsed());
        if let Some(slips) = &slips {
            let start = Instant::now();
            let _ = std::hint::black_box(explain(
                &problem,
                slips,
                &reading.chain,
                &judgement,
                vocabulary.table(),
            ));
            explain_again = explain_again.min(start.elapsed());
        } else {
            explain_again = Duration::ZERO;
        }
    }
    Some(Timed {
        class: match (&judgement.verdict, &found) {
            (Verdict::Right, _) => "right",
            (Verdict::Wrong, Some(found)) if found.slips.len() > 1 => "wrong, two slips",
            (Verdict::Wrong, Some(_)) => "wrong, one slip",
            (Verdict::Wrong, None) => "wrong, no slip",
            (Verdict::Undecided(_), _) => "undecided",
        },
        slip: found.map(|found| found.slips[0].kind.key()),
        prepare,
        verdict,
        paths,
        explain: explained,
        verdict_again,
        explain_again,
        formula,
        answer,
    })
}

/// The quickest of a few runs from nothing: another process of a loaded
/// machine is not the work that is measured.
fn best_of(row: &Value) -> Option<Timed> {
    (0..RUNS)
        .filter_map(|_| run(row))
        .min_by_key(|timed| timed.first())
}

fn table_of(timed: &[&Timed]) {
    let column = |name: &str, time: fn(&Timed) -> Duration| {
        let mut times: Vec<Duration> = timed.iter().map(|row| time(row)).collect();
        report(name, &mut times);
    };
    column("first met: preparing the formula", |row| row.prepare);
    column("first met: verdict", |row| row.verdict);
    column("first met: worked paths", |row| row.paths);
    column("first met: looking for the slip", |row| row.explain);
    column("first met: whole", Timed::first);
    column("met before: verdict", |row| row.verdict_again);
    column("met before: verdict with its slip", Timed::again);
}

fn main() {
    let files: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| !argument.starts_with('-'))
        .collect();
    let files = if files.is_empty() {
        ["slips_independent", "unexplained_independent", "pairs_2000"]
            .iter()
            .map(|name| format!("tests/outside/{name}.jsonl"))
            .collect()
    } else {
        files
    };
    let slowest = std::env::var_os("SLOWEST").is_some();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("the rows are readable");
        let timed: Vec<Timed> = text
            .lines()
            .map(|row| serde_json::from_str::<Value>(row).expect("each row is JSON"))
            .filter(|row| row["task"].as_str().is_none_or(|task| task == "rearrange"))
            .filter_map(|row| best_of(&row))
            .collect();
        println!("{file}");
        let mut classes: BTreeMap<&str, Vec<&Timed>> = BTreeMap::new();
        for row in &timed {
            classes.entry(row.class).or_default().push(row);
        }
        for (class, rows) in &classes {
            println!("  {class}");
            table_of(rows);
        }
        println!("  all");
        let mut all: Vec<&Timed> = timed.iter().collect();
        table_of(&all);
        if slowest {
            for (name, time) in [
                ("first met", Timed::first as fn(&Timed) -> Duration),
                ("met before", Timed::again),
            ] {
                println!("  slowest, {name}");
                all.sort_by_key(|row| std::cmp::Reverse(time(row)));
                for row in all.iter().take(20) {
                    println!(
                        "    {:>9.1?} {:>9.1?} {:>9.1?} {:>9.1?} {:<20} {}   {}",
                        row.prepare,
                        row.verdict,
                        row.paths,
                        row.explain,
                        row.slip.unwrap_or(row.class),
                        row.formula,
                        row.answer
                    );
                }
            }
        }
    }
}
