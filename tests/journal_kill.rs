//! The journal under `kill -9`: a writer that appends without a pause is
//! killed at odd moments; every attempt that it had said to be on disk must be
//! there, and the next writer goes on.
//!
//! `REJIG_KILLS=1000 cargo test --test journal_kill` does it more often.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use rejig::practice::attempt::{Attempt, AttemptId, Kind, Lettering};
use rejig::practice::day::Day;
use rejig::practice::seed::SplitMix;
use rejig::store::journal::{Journal, read};
use rejig::store::record::Record;

/// The variable that makes the test below a writer.
const WRITER: &str = "REJIG_TEST_WRITER";
/// Kills without being asked for more.
const USUAL_KILLS: u64 = 100;
/// Kills of writers of one journal.
const KILLS_A_JOURNAL: u64 = 20;

/// Does nothing by itself; as a writer it appends until it is killed.
#[test]
fn writer() {
    let Ok(task) = std::env::var(WRITER) else {
        return;
    };
    let (sitting, path) = task.split_once(' ').expect("a number and a path");
    let sitting = sitting.parse().expect("a number");
    let mut journal = Journal::open(Path::new(path)).expect("a journal");
    // Past the harness, which would keep what is printed.
    let mut out = std::io::stdout().lock();
    for number in 1.. {
        let attempt = Attempt {
            id: AttemptId { sitting, number },
            day: Day::new(2027, 3, 1).expect("a day"),
            moment: i64::from(number),
            item: "motion/velocity-time/a".repeat(1 + number as usize % 40),
            kind: Kind::Rearrangement,
            lettering: Lettering::Sheet,
            right: true,
            wrong: 0,
            hints: 0,
            shown: false,
            support: 0,
            slip: None,
            marks: 2,
            awarded: 2,
        };
        let record = Record::Attempt(Box::new(attempt));
        journal.append(&record).expect("the disk takes it");
        writeln!(out, "kept {number}").expect("the parent listens");
        out.flush().expect("the parent listens");
    }
}

#[test]
fn no_acknowledged_attempt_is_lost() {
    let kills = std::env::var("REJIG_KILLS")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(USUAL_KILLS);
    let folder = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("kill-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut random = SplitMix::new(12);
    let (mut acknowledged, mut torn, mut damaged, mut unacknowledged) = (0, 0, 0, 0);
    let mut kept: Vec<(u64, u32)> = Vec::new();
    for kill in 0..kills {
        if kill % KILLS_A_JOURNAL == 0 {
            kept.clear();
        }
        let path = folder.join(format!("{}.jsonl", kill / KILLS_A_JOURNAL));
        let mut child = Command::new(std::env::current_exe().expect("a name"))
            .args(["--exact", "writer", "--nocapture", "--test-threads=1"])
            .env(WRITER, format!("{kill} {}", path.display()))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the writer starts");
        let mut lines = BufReader::new(child.stdout.take().expect("a pipe")).lines();
        // It is under way once it has said something for the first time.
        let mut last = 0;
        let number = |line: String| -> Option<u32> {
            let at = line.find("kept ")?;
            line[at + 5..].trim().parse().ok()
        };
        for line in lines.by_ref() {
            if let Some(first) = number(line.expect("text")) {
                last = first;
                break;
            }
        }
        std::thread::sleep(Duration::from_micros(random.below(30_000) as u64));
        child.kill().expect("it can be killed");
        child.wait().expect("it is gone");
        for line in lines {
            last = number(line.expect("text")).unwrap_or(last);
        }
        kept.push((kill, last));
        let contents = read(&path).expect("the journal can be read");
        torn += usize::from(contents.findings.torn);
        damaged += contents.findings.damaged.len();
        // What was acknowledged is there, without a gap; what is there was
        // asked to be written.
        for (sitting, last) in &kept {
            let mut numbers: Vec<u32> = contents
                .attempts
                .iter()
                .filter(|attempt| attempt.id.sitting == *sitting)
                .map(|attempt| attempt.id.number)
                .collect();
            numbers.sort_unstable();
            let there = u32::try_from(numbers.len()).expect("few");
            assert_eq!(numbers, (1..=there).collect::<Vec<_>>());
            assert!(there >= *last, "{there} of {last} in kill {kill}");
            assert!(there <= last + 1, "{there} of {last} in kill {kill}");
            if *sitting == kill {
                acknowledged += u64::from(*last);
                unacknowledged += there - last;
            }
        }
    }
    println!(
        "{kills} kills, {acknowledged} acknowledged attempts, all there; {unacknowledged} more \
         were whole, {torn} last lines torn, {damaged} damaged lines seen later"
    );
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}
