//! Practice through the binary: the drill with its journal, the checklist, the
//! plan.

mod cli_support;

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command};

use cli_support::desk::Desk;
use cli_support::{command, run, run_command};
use rejig::store::journal::read;

const SHEET: &str = "topic tiny: Tiny waves
quantity v: speed, m s^-1
quantity f: frequency, Hz
quantity λ: wavelength, m
formula wave-speed: v = f λ
notation c-for-speed: v -> c
";

impl Desk {
    fn drill(&self, day: &str) -> Drill {
        let mut arguments = self.arguments("drill", day);
        arguments.extend_from_slice(&["--seed", "5", "--kind", "rearrangement"]);
        Drill::start(command(&arguments))
    }

    /// A whole sitting, all right; the numbers of questions, and what was
    /// said.
    fn all_right(&self, day: &str) -> (usize, String) {
        let mut drill = self.drill(day);
        let mut asked = 0;
        while drill.question() {
            asked += 1;
            let answer = drill.right();
            drill.type_line(&answer);
        }
        (asked, drill.end())
    }
}

/// A drill that is talked to line by line.
struct Drill {
    child: Child,
    input: Option<ChildStdin>,
    output: BufReader<ChildStdout>,
    said: String,
    formula: String,
    subject: String,
}

impl Drill {
    fn start(mut command: Command) -> Self {
        let mut child = command.spawn().unwrap();
        Drill {
            input: child.stdin.take(),
            output: BufReader::new(child.stdout.take().unwrap()),
            child,
            said: String::new(),
            formula: String::new(),
            subject: String::new(),
        }
    }

    /// Goes on to the next question; false at the end.
    fn question(&mut self) -> bool {
        loop {
            let mut line = String::new();
            if self.output.read_line(&mut line).unwrap() == 0 {
                return false;
            }
            self.said.push_str(&line);
            let line = line.trim();
            if let Some(subject) = line
                .strip_prefix("Make ")
                .and_then(|rest| rest.strip_suffix(" the subject."))
            {
                subject.clone_into(&mut self.subject);
                return true;
            }
            if line.contains(" = ") && !line.contains(" for ") {
                line.clone_into(&mut self.formula);
            }
        }
    }

    /// The right answer to `v = fλ` in whatever letters.
    fn right(&self) -> String {
        let (left, right) = self.formula.split_once(" = ").unwrap();
        let other: String = right.replace(&self.subject, "");
        format!("{left}/{}", other.trim())
    }

    fn type_line(&mut self, line: &str) {
        let input = self.input.as_mut().unwrap();
        writeln!(input, "{line}").unwrap();
        input.flush().unwrap();
    }

    fn end(mut self) -> String {
        drop(self.input.take());
        while self.question() {}
        assert!(self.child.wait().unwrap().success());
        self.said
    }
}

fn attempts(path: &Path) -> usize {
    read(path).unwrap().attempts.len()
}

#[test]
fn two_items_become_secure_on_the_days_of_the_rule() {
    let desk = Desk::new(SHEET);
    let item = "tiny/wave-speed/f";
    assert_eq!(desk.cell("2027-03-01", item, "state"), "not met");
    for (day, asked, state, returns) in [
        ("2027-03-01", 2, "shaky", "2027-03-02"),
        ("2027-03-02", 2, "shaky", "2027-03-05"),
        ("2027-03-03", 0, "shaky", "2027-03-05"),
        ("2027-03-05", 2, "secure", "2027-03-12"),
        ("2027-03-12", 2, "secure", "2027-03-26"),
        ("2027-03-26", 2, "secure", "2027-04-23"),
    ] {
        let (count, said) = desk.all_right(day);
        let said = said.replace('\n', " ");
        assert_eq!(count, asked, "{day}: {said}");
        assert_eq!(desk.cell(day, item, "state"), state, "{day}");
        assert_eq!(desk.cell(day, item, "returns"), returns, "{day}");
        match day {
            "2027-03-01" => assert!(said.contains("Today: 0 due and 2 new."), "{said}"),
            "2027-03-02" => {
                assert!(said.contains("Other letters: "), "{said}");
                assert!(said.contains("Back on 5 March 2027:"), "{said}");
            }
            "2027-03-03" => assert!(
                said.contains("2 items come back on 5 March 2027."),
                "{said}"
            ),
            "2027-03-05" => {
                assert!(said.contains("2 more than before."), "{said}");
                assert!(said.contains("v = fλ for f (secure now)"), "{said}");
            }
            _ => {}
        }
    }
    assert_eq!(attempts(&desk.journal), 10);
    // An exam moves the next return into its last week.
    let ran = desk.run("plan", "2027-04-23", &["--exam", "2027-05-17"], "");
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
    desk.all_right("2027-04-23");
    let returns = desk.cell("2027-04-23", item, "returns");
    assert!(
        ("2027-05-10".."2027-05-17").contains(&returns.as_str()),
        "{returns}"
    );
}

#[test]
fn a_miss_comes_back_in_the_sitting_and_the_next_day() {
    let desk = Desk::new(SHEET);
    desk.all_right("2027-03-01");
    let mut drill = desk.drill("2027-03-02");
    assert!(drill.question());
    let missed = drill.subject.clone();
    let right = drill.right();
    drill.type_line("hint");
    drill.type_line(&right);
    assert!(drill.question());
    drill.type_line(&drill.right());
    assert!(drill.question(), "the missed one comes once more");
    assert!(drill.said.contains("Once more."), "{}", drill.said);
    drill.type_line(&drill.right());
    assert!(!drill.question());
    let said = drill.end();
    assert!(said.contains("Back tomorrow:"), "{said}");
    let contents = read(&desk.journal).unwrap();
    assert_eq!(contents.attempts.len(), 5);
    let miss = &contents.attempts[2];
    assert_eq!((miss.hints, miss.right, miss.awarded), (1, true, 0));
    assert_eq!(desk.cell("2027-03-02", &miss.item, "returns"), "2027-03-03");
    assert_eq!(desk.cell("2027-03-02", &miss.item, "misses"), "1");
    assert!(!missed.is_empty());
}

#[test]
fn undo_across_questions_takes_back_what_was_kept() {
    let desk = Desk::new(SHEET);
    let mut drill = desk.drill("2027-03-01");
    assert!(drill.question());
    let right = drill.right();
    drill.type_line("show");
    assert!(drill.question());
    assert_eq!(attempts(&desk.journal), 1);
    drill.type_line("undo");
    assert!(drill.question());
    drill.type_line(&right);
    assert!(drill.question());
    let said = drill.end();
    assert!(said.contains("Taken back."), "{said}");
    let contents = read(&desk.journal).unwrap();
    assert_eq!(contents.findings.taken_back, 1);
    // What was seen stays seen.
    assert_eq!(contents.attempts.len(), 1);
    assert!(contents.attempts[0].shown && contents.attempts[0].right);
}

#[test]
fn leaving_without_an_answer_says_nothing() {
    let desk = Desk::new(SHEET);
    let ran = desk.run("drill", "2027-03-01", &[], "skip\nquit\n");
    assert_eq!(ran.status, 0);
    assert_eq!(attempts(&desk.journal), 0);
    // But leaving after a wrong answer is a miss.
    let ran = desk.run("drill", "2027-03-01", &["--seed", "5"], "7\nquit\n");
    assert_eq!(ran.status, 0);
    let contents = read(&desk.journal).unwrap();
    assert_eq!(contents.attempts.len(), 1);
    assert!(!contents.attempts[0].right && contents.attempts[0].wrong == 1);
}

#[test]
fn each_attempt_is_kept_before_the_next_question_even_if_killed() {
    for _ in 0..10 {
        let desk = Desk::new(SHEET);
        let mut drill = desk.drill("2027-03-01");
        for kept in 0..2 {
            assert!(drill.question());
            assert_eq!(attempts(&desk.journal), kept);
            let right = drill.right();
            if kept == 0 {
                drill.type_line(&right);
            }
        }
        drill.child.kill().unwrap();
        drill.child.wait().unwrap();
        let contents = read(&desk.journal).unwrap();
        assert_eq!((contents.attempts.len(), contents.findings.lines), (1, 1));
    }
}

#[test]
fn two_drills_at_once_are_both_whole() {
    let desk = Desk::new(SHEET);
    let (mut one, mut two) = (desk.drill("2027-03-01"), desk.drill("2027-03-01"));
    let mut asked = 0;
    // Both have read the journal before either adds to it.
    let (mut more_one, mut more_two) = (one.question(), two.question());
    while more_one || more_two {
        for (drill, more) in [(&mut one, &mut more_one), (&mut two, &mut more_two)] {
            if *more {
                asked += 1;
                let right = drill.right();
                drill.type_line(&right);
                *more = drill.question();
            }
        }
    }
    one.end();
    two.end();
    assert_eq!(asked, 4);
    let contents = read(&desk.journal).unwrap();
    assert_eq!(contents.attempts.len(), 4);
    assert_eq!(contents.findings.lines, 4);
    // Two sittings of one day are one day.
    assert_eq!(
        desk.cell("2027-03-01", "tiny/wave-speed/f", "returns"),
        "2027-03-02"
    );
}

#[test]
fn a_place_that_cannot_be_written_is_said_and_practice_goes_on() {
    let desk = Desk::new(SHEET);
    let blocked = desk.sheet.join("journal.jsonl");
    let mut arguments = desk.arguments("drill", "2027-03-01");
    let blocked = blocked.to_str().unwrap();
    arguments[4] = blocked;
    let ran = run(&arguments, "hint\nquit\n");
    // Reading says that this is no journal at all.
    assert_eq!(ran.status, 2, "{}", ran.stdout);
    assert!(
        ran.stderr.contains("The journal can't be read:"),
        "{}",
        ran.stderr
    );
    // A place that is not there yet, in a folder that takes nothing.
    arguments[4] = "/proc/rejig/journal.jsonl";
    let ran = run(&arguments, "hint\nquit\n");
    assert_eq!(ran.status, 0);
    assert!(
        ran.stderr.contains("this practice is not kept: "),
        "{}",
        ran.stderr
    );
    assert!(ran.stdout.contains("1 of 3."), "{}", ran.stdout);
}

/// A file that may not grow stands for a full disk.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_the_journal_stays_whole() {
    let desk = Desk::new(SHEET);
    desk.all_right("2027-03-01");
    let before = std::fs::read(&desk.journal).unwrap();
    let mut script = Command::new("bash");
    let mut line = format!(
        "trap '' XFSZ; ulimit -f {}; exec",
        // In units of 1024 bytes: what is there has room, one more has not.
        before.len().div_ceil(1024)
    );
    for word in [env!("CARGO_BIN_EXE_rejig")]
        .into_iter()
        .chain(desk.arguments("drill", "2027-03-02"))
    {
        line.push_str(&format!(" '{word}'"));
    }
    let room = before.len().div_ceil(1024) * 1024 - before.len();
    // Fill the rest of the block with a line that is no record.
    let mut filled = before.clone();
    filled.extend(std::iter::repeat_n(b' ', room.saturating_sub(1)));
    filled.push(b'\n');
    std::fs::write(&desk.journal, &filled).unwrap();
    script
        .args(["-c", &line])
        .env("LANG", "en_GB.UTF-8")
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped());
    let ran = run_command(script, b"hint\nskip\nhint\nskip\nquit\n");
    assert_eq!(ran.status, 2, "{}", ran.stderr);
    assert!(
        ran.stderr
            .contains("this attempt is not in the journal yet: "),
        "{}",
        ran.stderr
    );
    assert!(
        ran.stderr.contains("could not be written to the journal."),
        "{}",
        ran.stderr
    );
    assert_eq!(std::fs::read(&desk.journal).unwrap(), filled);
    // With room again, practice goes on.
    desk.all_right("2027-03-02");
    assert_eq!(attempts(&desk.journal), 4);
}

#[test]
fn what_is_wrong_with_a_journal_is_said() {
    let desk = Desk::new(SHEET);
    desk.all_right("2027-03-01");
    let good = std::fs::read_to_string(&desk.journal).unwrap();
    let check = |text: &str, said: &str, status: i32| {
        std::fs::write(&desk.journal, text).unwrap();
        let ran = run(
            &[
                "journal",
                "--journal",
                desk.journal.to_str().unwrap(),
                "--day",
                "2027-03-01",
            ],
            "",
        );
        assert!(ran.stderr.contains(said), "{}", ran.stderr);
        assert_eq!(ran.status, status);
        assert!(ran.stdout.contains("attempt"), "{}", ran.stdout);
    };
    check(&good, "", 0);
    check(&good[..good.len() - 9], "was cut short", 1);
    check(
        &format!("x\n{good}"),
        "1 line of the journal can't be read and is left out (line 1)",
        1,
    );
    check(
        &format!("{good}{{\"v\":2,\"id\":\"x\"}}\n"),
        "A newer version of rejig wrote 1 line of the journal.",
        0,
    );
    // A clock that went back.
    let ahead = good.replace("2027-03-01", "2028-03-01");
    check(
        &format!(
            "{good}{}",
            ahead.replace("-1\"", "-8\"").replace("-2\"", "-9\"")
        ),
        "Is the clock right?",
        0,
    );
}

#[test]
fn home_and_school_become_one() {
    let (home, school) = (Desk::new(SHEET), Desk::new(SHEET));
    home.all_right("2027-03-01");
    school.all_right("2027-03-02");
    let arguments = [
        "journal",
        "--journal",
        home.journal.to_str().unwrap(),
        "--merge",
        school.journal.to_str().unwrap(),
        "--day",
        "2027-03-02",
    ];
    let ran = run(&arguments, "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    assert!(
        ran.stdout.starts_with("2 records added from "),
        "{}",
        ran.stdout
    );
    assert!(
        ran.stdout
            .contains("4 attempts at 2 items, from 1 March 2027 to 2 March 2027."),
        "{}",
        ran.stdout
    );
    assert!(run(&arguments, "").stdout.starts_with("0 records added"));
    assert_eq!(
        home.cell("2027-03-02", "tiny/wave-speed/f", "returns"),
        "2027-03-05"
    );
}

#[test]
fn the_checklist_in_all_its_forms() {
    let desk = Desk::new(SHEET);
    desk.all_right("2027-03-01");
    let text = desk.run("checklist", "2027-03-02", &[], "");
    assert_eq!(
        text.stdout,
        "Tiny waves
   0 secure, 2 shaky, 1 not met; 2 due
   ~ shaky    v = fλ for f; due today
   ~ shaky    v = fλ for λ; due today
   · not met  proportion: v = fλ

3 items: 0 secure, 2 shaky, 1 not met; 2 due.
"
    );
    let csv = desk.run("checklist", "2027-03-02", &["--format", "csv"], "");
    assert_eq!(
        csv.stdout,
        "topic,item,kind,asked,marks,state,due,first-met,last-met,last-miss,secure-since,returns,\
         attempts,misses
tiny,tiny/wave-speed/f,rearrangement,v = fλ for f,1,shaky,yes,2027-03-01,2027-03-01,,,2027-03-02,\
         1,0
tiny,tiny/wave-speed/λ,rearrangement,v = fλ for λ,1,shaky,yes,2027-03-01,2027-03-01,,,2027-03-02,\
         1,0
tiny,tiny/proportion:wave-speed,proportion,proportion: v = fλ,1,not met,no,,,,,,0,0
"
    );
    let json = desk.run("checklist", "2027-03-02", &["--format", "json"], "");
    let list: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(list[0]["state"], "shaky");
    assert_eq!(list[0]["returns"], "2027-03-02");
    assert!(list[0]["secure-since"].is_null());
    let page = desk.run("checklist", "2027-03-02", &["--html"], "");
    assert!(page.stdout.starts_with("<!DOCTYPE html>"));
    // Its maths is set by the browser.
    let asked = "</math> for <math><mi>f</mi></math>";
    assert!(page.stdout.contains(asked), "{}", page.stdout);
    let none = desk.run("checklist", "2027-03-02", &["--kind", "proof"], "");
    assert_eq!(none.status, 2);
}

#[test]
fn the_plan_in_all_its_forms() {
    let desk = Desk::new(SHEET);
    let ran = desk.run("plan", "2027-03-01", &[], "");
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("When is the exam?"), "{}", ran.stderr);
    let ran = desk.run(
        "plan",
        "2027-03-01",
        &["--exam", "2027-05-17", "--miss", "0", "--daily"],
        "",
    );
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""));
    assert!(ran.stdout.contains("Exam on 17 May 2027: 77 days left."));
    assert!(
        ran.stdout.contains("about 3 of 3 items can be secure"),
        "{}",
        ran.stdout
    );
    assert!(
        ran.stdout.contains("begin none\nafter 12 May 2027"),
        "{}",
        ran.stdout
    );
    // The exam is known now, to the checklist and the next plan.
    let ran = desk.run("plan", "2027-03-01", &["--format", "json"], "");
    let plan: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(plan["exam"], "2027-05-17");
    assert_eq!(plan["days"].as_array().unwrap().len(), 77);
    let ran = desk.run("plan", "2027-05-15", &["--format", "csv"], "");
    assert_eq!(ran.stdout.lines().count(), 3);
    let ran = desk.run("plan", "2027-05-15", &[], "");
    assert!(
        ran.stdout.contains("Fewer than three days are left"),
        "{}",
        ran.stdout
    );
    let ran = desk.run("plan", "2027-05-17", &[], "");
    assert!(ran.stderr.contains("is over"), "{}", ran.stderr);
    let ran = desk.run("plan", "2027-05-15", &["--exam", "none"], "");
    assert_eq!(
        ran.stdout,
        "There is no exam any more. Items come back by their gaps alone.\n"
    );
    assert_eq!(desk.run("plan", "2027-05-15", &[], "").status, 2);
    for wrong in ["17 May", "2027-02-30", "2027-05-14"] {
        assert_eq!(
            desk.run("plan", "2027-05-15", &["--exam", wrong], "")
                .status,
            2
        );
    }
}

#[test]
fn marks_count_and_kind_choose() {
    let ran = |more: &[&str]| {
        let desk = Desk::new(SHEET);
        desk.run("drill", "2027-03-01", more, "quit\n")
    };
    assert!(ran(&["--marks", "1"]).stdout.contains("1 of 3."));
    assert_eq!(ran(&["--marks", "2-9"]).status, 2);
    assert!(ran(&["--new", "1"]).stdout.contains("1 of 1."));
    assert!(ran(&["--new", "0"]).stdout.contains("Nothing is due today"));
    assert!(ran(&["--kind", "rearrangement"]).stdout.contains("1 of 2."));
    assert!(ran(&["--count", "1"]).stdout.contains("1 of 1."));
}
