//! How long the checklist takes with a journal of 100,000 attempts (aim: 150
//! ms), and a plan for it.
//!
//! Run with `cargo bench --bench journal`.

use std::fs;
use std::time::{Duration, Instant};

use rejig::practice::attempt::{Attempt, AttemptId, Lettering};
use rejig::practice::checklist::{Row, rows};
use rejig::practice::day::Day;
use rejig::practice::item::items;
use rejig::practice::mastery::Mastery;
use rejig::practice::plan::{Outlook, Planned, forecast};
use rejig::practice::seed::SplitMix;
use rejig::show::checklist::page;
use rejig::store::journal::read;
use rejig::store::record::{Record, write};
use rejig::store::sheets::embedded;

const RUNS: usize = 15;

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

fn main() {
    let formulary = embedded();
    let first = Day::new(2026, 9, 7).expect("a day");
    let today = Day::new(2027, 3, 1).expect("a day");
    let folder = std::env::temp_dir().join(format!("rejig-bench-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_rejig"));
    for count in [25_000, 50_000, 100_000] {
        let stock = items(&formulary, |_| true);
        let mut random = SplitMix::new(5);
        let mut text = String::new();
        for number in 0..count {
            let item = &stock[random.below(stock.len())];
            let letterings = item.letterings();
            let right = random.below(5) > 0;
            let attempt = Attempt {
                id: AttemptId {
                    sitting: u64::from(number / 20) * 7919,
                    number: number % 20,
                },
                day: first.plus((number / (count / 175 + 1)) as i32),
                moment: i64::from(number),
                item: item.key.clone(),
                kind: item.kind(),
                lettering: match random.below(3) {
                    0 => letterings[letterings.len() - 1].clone(),
                    _ => Lettering::Sheet,
                },
                right: true,
                wrong: u32::from(!right),
                hints: 0,
                shown: false,
                support: 0,
                slip: None,
                marks: 2,
                awarded: 2,
            };
            text.push_str(&write(&Record::Attempt(Box::new(attempt))));
        }
        let path = folder.join(format!("{count}.jsonl"));
        fs::write(&path, &text).expect("a journal");

        let (mut parts, mut whole, mut binary) = (vec![Vec::new(); 5], Vec::new(), Vec::new());
        for _ in 0..RUNS {
            let mut marks = vec![Instant::now()];
            let contents = read(&path).expect("a journal");
            assert_eq!(contents.attempts.len(), count as usize);
            marks.push(Instant::now());
            let mastery = Mastery::of(&contents.attempts, today);
            marks.push(Instant::now());
            let formulary = embedded();
            marks.push(Instant::now());
            let stock = items(&formulary, |_| true);
            let rows = rows(&stock, &mastery, today, None);
            marks.push(Instant::now());
            let drawn = page(&rows, today, None);
            assert!(drawn.len() > 10_000);
            marks.push(Instant::now());
            for (part, pair) in parts.iter_mut().zip(marks.windows(2)) {
                part.push(pair[1] - pair[0]);
            }
            whole.push(marks[5] - marks[0]);

            let start = Instant::now();
            let status = std::process::Command::new(program)
                .args(["checklist", "--day", "2027-03-01", "--journal"])
                .arg(&path)
                .stdout(std::process::Stdio::null())
                .status()
                .expect("the program runs");
            assert!(status.success());
            binary.push(start.elapsed());
        }
        let parts: Vec<String> = parts
            .into_iter()
            .map(|part| format!("{:.1?}", median(part)))
            .collect();
        println!(
            "{count} attempts ({:.1} MB): checklist {:.1?} (journal, mastery, sheets, states, \
             page: {}); the program {:.1?}",
            text.len() as f64 / 1e6,
            median(whole),
            parts.join(", "),
            median(binary)
        );
    }

    let mut start = Vec::new();
    for run in 0..RUNS {
        let begun = Instant::now();
        let output = std::process::Command::new(program)
            .args(["drill", "--day", "2027-03-01", "--journal"])
            .arg(folder.join(format!("none-{run}.jsonl")))
            .stdin(std::process::Stdio::null())
            .output()
            .expect("the program runs");
        start.push(begun.elapsed());
        assert!(String::from_utf8_lossy(&output.stdout).contains("1 of 10."));
    }
    println!(
        "the drill to its first question and out: {:.1?}",
        median(start)
    );

    let stock = items(&formulary, |_| true);
    let mastery = Mastery::default();
    let planned: Vec<Planned> = rows(&stock, &mastery, today, None)
        .iter()
        .map(Row::planned)
        .collect();
    let start = Instant::now();
    let found = forecast(
        &planned,
        Outlook {
            today: first,
            exam: Day::new(2027, 5, 17).expect("a day"),
            seconds: Some(1800),
            miss: 0.2,
            seed: 1,
        },
    );
    println!(
        "a plan of {} items for {} days: {:.1?}",
        planned.len(),
        found.days.len(),
        start.elapsed()
    );
    fs::remove_dir_all(&folder).expect("the folder goes");
}
