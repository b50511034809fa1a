//! `rejig mark`, through the binary.

mod cli_support;

use std::collections::BTreeMap;
use std::path::PathBuf;

use cli_support::{Ran, command, file, run, run_command};
use serde_json::Value;

const QUIZ: &str = r#"{"quiz":1,"questions":[
 {"formula":"v^2 = u^2 + 2 a s","subject":"a","key":"motion/x/a",
  "quantities":{"v":"real","u":"real","a":"real","s":"real"}},
 {"number":7,"formula":"v = f lambda","subject":"f"}]}"#;

fn demo(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/demo")
        .join(name);
    path.to_str().unwrap().to_owned()
}

fn quiz(name: &str) -> String {
    file(name, QUIZ).to_str().unwrap().to_owned()
}

fn mark(quiz: &str, more: &[&str], answers: &str) -> Ran {
    let mut arguments = vec!["mark", "--quiz", quiz, "-"];
    arguments.extend(more);
    run(&arguments, answers)
}

fn lines(text: &str) -> Vec<Value> {
    text.lines()
        .map(|line| serde_json::from_str(line).expect("each line is JSON"))
        .collect()
}

#[test]
fn each_answer_as_a_table() {
    let quiz = quiz("table.json");
    let ran = mark(
        &quiz,
        &["--format", "csv"],
        "seat,question,answer\n1,1,\"v^2 - u^2 = 2as\na = (v²-u²)/2s\"\n1,7,v/λ\n2,motion/x/a,a = \
         (v^2+u^2)/2s\n",
    );
    assert_eq!(
        ran.stdout,
        "line,seat,question,answer,verdict,awarded,available,slip,remark\n\
         2,1,1,\"v^2 - u^2 = 2as\na = (v²-u²)/2s\",right,2,2,,Right.\n\
         4,1,7,v/λ,right,1,1,,Right.\n\
         5,2,1,a = (v^2+u^2)/2s,wrong,1,2,sign-not-changed,\"Wrong. With v = 8, u = 2 and s = 5, \
         the formula gives a = 6; your line gives 6.8. u^2 crossed the equals sign: it becomes - \
         u^2.\"\n"
    );
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
}

#[test]
fn a_bad_row_is_told_with_its_line_and_the_rest_goes_on() {
    let quiz = quiz("bad.json");
    let ran = mark(
        &quiz,
        &["--format", "csv", "--table", "students"],
        "seat,question,answer\n1,1\n1,99,x\n1,7,v/λ\n1,7,v\n,7,v/λ\n2,7,v/λ\n",
    );
    assert_eq!(
        ran.stdout,
        "seat,awarded,available,right,not_answered,for_you\n1,1,1,1,0,2\n2,1,3,1,1,0\n"
    );
    assert_eq!(
        ran.stderr,
        "rejig: -, line 2: This row has 2 cells; 3 were expected.\n\
         rejig: -, line 3: There is no question 99.\n\
         rejig: -, line 5: 1 has answered question 7 already; the first answer counts.\n\
         rejig: -, line 6: There is no seat.\n"
    );
    assert_eq!(ran.status, 1);
}

#[test]
fn bytes_that_are_no_text_are_told() {
    let quiz = quiz("bytes.json");
    let mut bytes = b"seat,question,answer\n1,7,v/\xff\n".to_vec();
    bytes.extend("2,7,v/λ\n".as_bytes());
    let ran = run_command(command(&["mark", "--quiz", &quiz, "-"]), &bytes);
    assert_eq!(
        ran.stderr,
        "rejig: -, line 2: The answer is not plain text in UTF-8.\n"
    );
    assert_eq!(ran.status, 1);
    assert!(ran.stdout.contains("1 row was bad"), "{}", ran.stdout);
}

#[test]
fn many_bad_rows_are_counted() {
    let quiz = quiz("many.json");
    let mut answers = "seat,question,answer\n".to_owned();
    for seat in 0..50 {
        answers.push_str(&format!("{seat},99,x\n"));
    }
    let ran = mark(&quiz, &[], &answers);
    assert_eq!(ran.stderr.lines().count(), 21);
    assert!(ran.stderr.ends_with("rejig: -: 30 further bad rows.\n"));
    assert_eq!(ran.status, 1);
}

#[test]
fn names_do_no_harm() {
    let quiz = quiz("names.json");
    let answers = "seat,question,answer\n=1+1,7,=v/λ\n../../etc/passwd,7,v/λ\n\"a\u{1b}[2J\",7,v/λ\n\
                   \u{202e}abc,7,v/λ\n@x,7,+v/λ\n";
    for format in ["text", "csv", "json"] {
        for table in ["answers", "students", "questions", "slips"] {
            let ran = mark(&quiz, &["--format", format, "--table", table], answers);
            assert_eq!(ran.status, 0, "{}", ran.stderr);
            if format == "json" {
                // JSON escapes controls itself; another program reads it.
                assert!(lines(&ran.stdout).len() < 6);
                assert!(!ran.stdout.contains('\u{1b}'));
                continue;
            }
            assert!(
                !ran.stdout.contains(['\u{1b}', '\u{202e}']),
                "{format} {table}: {}",
                ran.stdout
            );
            if format == "csv" {
                for cell in ran.stdout.split([',', '\n']) {
                    assert!(
                        !cell.trim_matches('"').starts_with(['=', '@', '+']),
                        "{table}: {cell}"
                    );
                }
            }
        }
    }
    let ran = mark(&quiz, &["--format", "csv", "--table", "students"], answers);
    assert!(ran.stdout.contains("\n'=1+1,"), "{}", ran.stdout);
    assert!(ran.stdout.contains("\n../../etc/passwd,"), "{}", ran.stdout);
    assert!(ran.stdout.contains("\n\\u{202e}abc,"), "{}", ran.stdout);
}

#[test]
fn json_lines_in_and_out() {
    let quiz = quiz("lines.json");
    let ran = mark(
        &quiz,
        &["--format", "json"],
        "{\"seat\":1,\"question\":1,\"lines\":[\"v^2 + u^2 = 2as\",\"a = \
         (v^2+u^2)/(2s)\"]}\n{\"seat\":2,\"question\":1,\"answer\":\"9^9^9^9\"}\n{\"seat\":2}\n",
    );
    let values = lines(&ran.stdout);
    let kinds: Vec<&str> = values
        .iter()
        .map(|value| value["kind"].as_str().unwrap())
        .collect();
    assert_eq!(
        kinds,
        [
            "answer", "answer", "fault", "student", "student", "question", "question", "class"
        ]
    );
    assert_eq!(values[0]["verdict"], "wrong");
    assert_eq!(
        (&values[0]["awarded"], &values[0]["first_bad"]),
        (&1.into(), &0.into())
    );
    assert_eq!(values[0]["evidence"]["kind"], "counterexample");
    assert_eq!(values[0]["slip"]["name"], "sign-not-changed");
    assert_eq!(values[1]["verdict"], "undecided");
    assert_eq!(values[1]["available"], 0);
    assert_eq!(values[2]["line"], 3);
    assert_eq!(
        values[4]["marks"]["available"], 0,
        "neither an undecided answer nor a row that says no more costs anything"
    );
    assert_eq!(values[5]["slips"][0]["did"], "kept the sign of u^2");
    assert_eq!(values[7]["faults"], 1);
    assert_eq!(ran.status, 1);
}

#[test]
fn requests_that_make_no_sense() {
    let quiz = quiz("sense.json");
    for (arguments, told) in [
        (
            &["mark", "--quiz", "/no/such/quiz", "-"][..],
            "I can't read /no/such/quiz",
        ),
        (
            &["mark", "--quiz", &quiz, "/no/such/file"],
            "I can't read /no/such/file",
        ),
        (&["mark", "--quiz", &quiz, "/"], "is a folder"),
    ] {
        let ran = run(arguments, "");
        assert_eq!((ran.stdout.as_str(), ran.status), ("", 2));
        assert!(ran.stderr.contains(told), "{}", ran.stderr);
    }
    let empty = mark(&quiz, &[], "");
    assert_eq!((empty.stderr.as_str(), empty.status), ("", 0));
    assert!(empty.stdout.starts_with("0 students"), "{}", empty.stdout);
}

#[test]
fn jobs_decide_nothing() {
    let quiz = demo("club.json");
    let answers = demo("club.csv");
    let marked = |jobs: &str| {
        run(
            &[
                "mark", "--quiz", &quiz, "--format", "json", "--jobs", jobs, &answers,
            ],
            "",
        )
    };
    let one = marked("1");
    let two = marked("2");
    assert_eq!((one.stderr.as_str(), one.status), ("", 0));
    assert_eq!(one.stdout, two.stdout);
}

#[test]
fn the_evening_club() {
    let quiz = demo("club.json");
    let answers = demo("club.csv");
    let ran = run(&["mark", "--quiz", &quiz, &answers], "");
    insta::assert_snapshot!(ran.stdout);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
}

/// What was drawn is what is found: right answers, those left out, and slips
/// under the names that they were made with.
#[test]
fn the_slips_of_the_club_are_those_that_were_drawn() {
    let drawn = std::fs::read_to_string(demo("club_drawn.csv")).unwrap();
    let mut expected: BTreeMap<(u64, String), u64> = BTreeMap::new();
    for row in drawn.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        expected.insert(
            (cells[0].parse().unwrap(), cells[1].to_owned()),
            cells[2].parse().unwrap(),
        );
    }
    let ran = run(
        &[
            "mark",
            "--quiz",
            &demo("club.json"),
            "--format",
            "json",
            "--table",
            "answers",
            &demo("club.csv"),
        ],
        "",
    );
    let mut found: BTreeMap<(u64, String), u64> = BTreeMap::new();
    for value in lines(&ran.stdout) {
        let number = value["question"].as_u64().unwrap();
        let name = match value["verdict"].as_str().unwrap() {
            "right" => "right".to_owned(),
            "not-answered" => "left-out".to_owned(),
            _ => {
                let lines = value["lines"].as_array();
                let bad = value["first_bad"].as_u64();
                match (value["slip"]["name"].as_str(), lines, bad) {
                    (Some(name), _, _) => name.to_owned(),
                    (None, Some(lines), Some(bad)) => {
                        let place = usize::try_from(bad).unwrap();
                        lines[place]["verdict"].as_str().unwrap().to_owned()
                    }
                    _ => "without a name".to_owned(),
                }
            }
        };
        *found.entry((number, name)).or_default() += 1;
    }
    assert_eq!(found, expected);
}
