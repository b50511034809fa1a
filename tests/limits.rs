//! The limits, each at the limit and one past it, through the binary, with a
//! stack of 256 kB and 200 MB of memory: a kind message, never a panic, and a
//! verdict that is true.

#![cfg(unix)]

use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

struct Ran {
    stdout: String,
    stderr: String,
    status: i32,
}

/// Runs the program in a small stack and with little memory.
fn run(arguments: &[&str], input: &[u8]) -> Ran {
    let mut child = Command::new("sh")
        .args(["-c", "ulimit -s 256; ulimit -v 200000; exec \"$0\" \"$@\""])
        .arg(env!("CARGO_BIN_EXE_rejig"))
        .args(arguments)
        .env("XDG_DATA_HOME", env!("CARGO_TARGET_TMPDIR"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut pipe = child.stdin.take().expect("there is a pipe");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || {
        // The program may end before it has read everything.
        let _ = pipe.write_all(&input);
    });
    let done = child.wait_with_output().expect("it ends");
    writer.join().expect("the writer ends");
    let ran = Ran {
        stdout: String::from_utf8_lossy(&done.stdout).into_owned(),
        stderr: String::from_utf8_lossy(&done.stderr).into_owned(),
        status: done.status.code().unwrap_or(-1),
    };
    let told = &ran.stderr;
    assert!((0..=2).contains(&ran.status), "{arguments:?}: {told}");
    assert!(!told.contains("panicked"), "{arguments:?}: {told}");
    ran
}

/// What `judge` answers to requests, in order.
fn judge(requests: &[Value]) -> Vec<Value> {
    let lines: Vec<String> = requests.iter().map(Value::to_string).collect();
    let ran = run(&["judge"], lines.join("\n").as_bytes());
    let answers: Vec<Value> = ran
        .stdout
        .lines()
        .map(|line| serde_json::from_str(line).expect("answers are JSON"))
        .collect();
    assert_eq!(answers.len(), requests.len(), "{}", ran.stderr);
    answers
}

fn message(answer: &Value) -> &str {
    let told = answer.get("message").or_else(|| answer.get("error"));
    told.and_then(Value::as_str).unwrap_or_default()
}

/// The tasks with one expression in them. Those of a line and of a proof add
/// one to both sides, for which a nesting needs a sum of its own.
fn tasks(side: &str, sum: &str) -> Vec<Value> {
    let formula = format!("y = {side}");
    let longer = format!("y + 1 = {sum} + 1");
    let real = json!({ "x": "real", "y": "real" });
    vec![
        json!({ "task": "isolate", "formula": formula, "subject": "x" }),
        json!({ "task": "rearrange", "formula": formula, "subject": "y", "answer": side,
            "quantities": real }),
        json!({ "task": "rearrange", "formula": formula, "subject": "x", "answer": side }),
        json!({ "task": "line", "before": formula, "after": longer, "quantities": real }),
        json!({ "task": "working", "formula": formula, "subject": "x",
            "lines": [formula, longer] }),
        json!({ "task": "proof", "given": [formula], "goal": longer,
            "lines": [format!("y + 2 = 2 + {sum}"), longer] }),
        json!({ "task": "proportion", "formula": formula, "subject": "y", "varied": "x",
            "scale": "2", "answer": side }),
    ]
}

/// A nesting that is read in all tasks, and one deeper that is in none.
fn check_nesting(name: &str, most: usize, nested: impl Fn(usize) -> String) {
    // A sum around it takes a level.
    let read = judge(&tasks(&nested(most), &nested(most - 1)));
    for answer in &read {
        assert!(!message(answer).contains("64 levels"), "{name}: {answer}");
    }
    assert_ne!(read[1]["verdict"], "wrong", "{name}: {}", read[1]);
    if most > 40 {
        assert_eq!(read[1]["verdict"], "right", "{name}: {}", read[1]);
    }
    let deep = nested(most + 1);
    for (number, answer) in judge(&tasks(&deep, &deep)).iter().enumerate() {
        let told = match number {
            4 if answer.get("lines").is_some() => message(&answer["lines"][0]),
            _ => message(answer),
        };
        assert!(
            told.contains("nested more than 64 levels"),
            "{name}: {answer}"
        );
    }
    // And far beyond, as far as a line goes.
    let far = nested(400);
    for answer in judge(&tasks(&far, &far)) {
        let told = message(&answer);
        assert!(
            told.contains("64 levels") || told.contains("the most that I read is 2000"),
            "{name}: {answer}"
        );
    }
}

#[test]
fn nesting() {
    let around = |open: &'static str, close: &'static str| {
        move |depth: usize| format!("{}x{}", open.repeat(depth), close.repeat(depth))
    };
    // A function with a bracket takes two levels, a sum in a fraction three.
    check_nesting("brackets", 64, around("(", ")"));
    check_nesting("roots", 32, around("sqrt(", ")"));
    check_nesting("exponentials", 32, around("exp(", ")"));
    check_nesting("bare sines", 63, |depth| {
        format!("{}x", "sin ".repeat(depth))
    });
    check_nesting("minus signs", 63, |depth| format!("{}x", "-".repeat(depth)));
    check_nesting("towers", 63, |depth| format!("{}x", "x^".repeat(depth)));
}

#[test]
fn length() {
    for (length, fits) in [(2_000, true), (2_001, false)] {
        let sums = format!("b+{}", "+a".repeat(990));
        // Spaces within: those at the ends may be left out.
        let padded = |text: &str| {
            let (first, rest) = text.split_once([' ', '+']).expect("more than a word");
            let sign = if text.contains(' ') { " " } else { "+" };
            let missing = length - text.chars().count();
            format!("{first}{}{sign}{rest}", " ".repeat(missing))
        };
        let letters = "a".repeat(length - 4);
        let answers = judge(&[
            json!({ "task": "rearrange", "formula": "y = 990 a + b", "subject": "y",
                "answer": padded(&sums.replace("b++", "b+")) }),
            json!({ "task": "rearrange", "formula": "y = a", "subject": "y",
                "answer": format!("y = {letters}") }),
            json!({ "task": "isolate", "formula": padded("v = u + a t"), "subject": "t" }),
            json!({ "task": "line", "before": "v = λ f", "after": padded("v/λ = f") }),
            json!({ "task": "proof", "given": ["v = u + a t"], "goal": "v - u = a t",
                "lines": [padded("v - u = t a")] }),
            json!({ "task": "definition", "term": "capacitance",
                "answer": padded("charge per unit potential difference") }),
        ]);
        for answer in &answers {
            let inner = answer.get("lines").map_or(answer, |lines| &lines[0]);
            let refused = inner["verdict"] == "unreadable";
            assert_eq!(refused, !fits, "{length}: {answer}");
            let told = message(inner);
            assert!(
                fits || told.contains("2001 characters; the most that I read is 2000")
                    || told.contains("too long for me to read"),
                "{answer}"
            );
        }
        if fits {
            assert_eq!(answers[0]["verdict"], "right");
            assert_eq!(answers[1]["verdict"], "wrong");
        }
    }
}

#[test]
fn numbers() {
    // 10^1233 has 4,096 bits, 10^1234 more.
    for (typed, fits) in [
        ("1e1233", true),
        ("1e1234", false),
        ("1e-1233", true),
        ("1e-1234", false),
        ("1e99999999999999999999", false),
    ] {
        let formula = format!("y = {typed} x");
        let answer = &judge(&[
            json!({ "task": "rearrange", "formula": formula, "subject": "x",
            "answer": format!("y/{typed}") }),
        ])[0];
        let told = message(answer);
        assert_eq!(
            told.contains("This number is too large to be held exactly."),
            !fits,
            "{answer}"
        );
        assert_ne!(answer["verdict"], "wrong", "{answer}");
    }
    // What numbers grow to is bounded too: never a false verdict, and a reason.
    for (formula, answer) in [
        ("y = 2^4095 x", "y/2^4095"),
        ("y = 2^4096 x", "y/2^4096"),
        ("y = 9^9^9^9 x", "y/9^9^9^9"),
        (
            "y = x^123456789012345678901234567890",
            "y^(1/123456789012345678901234567890)",
        ),
        ("y = (x/3)^4000", "3 y^(1/4000)"),
    ] {
        let answer = &judge(&[
            json!({ "task": "rearrange", "formula": formula, "subject": "x",
            "answer": answer }),
        ])[0];
        let verdict = answer["verdict"].as_str().expect("a verdict");
        assert!(["right", "undecided"].contains(&verdict), "{answer}");
        let counts = message(answer).contains("neither as right nor as wrong");
        assert_eq!(counts, verdict == "undecided", "{answer}");
    }
}

/// `1 + x + x^2 + ...`, so many terms.
fn terms(letter: &str, count: usize) -> String {
    let powers: Vec<String> = (2..count)
        .map(|power| format!("{letter}^{power}"))
        .collect();
    format!("(1 + {letter} + {})", powers.join("+"))
}

#[test]
fn terms_of_a_normal_form() {
    // 100 times 200 terms are 20,000; 113 times 177 are 20,001.
    for (first, second, kind) in [(100, 200, "proof"), (113, 177, "numerical")] {
        let (one, other) = (terms("x", first), terms("y", second));
        let answers = judge(&[
            json!({ "task": "line", "before": format!("z = {one}{other}"),
                "after": format!("z = {other}{one}") }),
            json!({ "task": "line", "before": format!("z = {one}{other}"),
                "after": format!("z = {other}{one} + 1") }),
        ]);
        assert_eq!(answers[0]["verdict"], "same", "{}", answers[0]);
        assert_eq!(answers[0]["evidence"]["kind"], kind, "{}", answers[0]);
        assert_eq!(answers[1]["verdict"], "different", "{}", answers[1]);
    }
}

#[test]
fn steps_of_a_verdict() {
    use rejig::algebra::limits::{Budget, Exceeded, MAX_STEPS};
    let mut budget = Budget::default();
    assert_eq!(budget.spend(MAX_STEPS), Ok(()));
    assert_eq!(budget.spend(1), Err(Exceeded::Steps));
    // Far more work than the budget holds: true all the same.
    let product = "(a+b+c+d+f+g)^9 (a-b+c-d+f-g)^9";
    let answers = judge(&[
        json!({ "task": "line", "before": format!("z = {product} (1+a+b)^20"),
            "after": format!("z = (1+a+b)^20 {product}") }),
        json!({ "task": "line", "before": format!("z = {product} (1+a+b)^20"),
            "after": format!("z = (1+a+b)^19 {product}") }),
        json!({ "task": "isolate", "formula": format!("y = {}x", "sin ".repeat(60)),
            "subject": "x" }),
    ]);
    assert_ne!(answers[0]["verdict"], "different", "{}", answers[0]);
    assert_eq!(answers[1]["verdict"], "different", "{}", answers[1]);
    assert_eq!(answers[2]["verdict"], "undecided", "{}", answers[2]);
    assert!(
        message(&answers[2]).contains("steps of algebra"),
        "{}",
        answers[2]
    );
}

#[test]
fn lines_of_a_working() {
    for (count, fits) in [(200, true), (201, false)] {
        let mut lines = vec!["v - u = a t"; count - 1];
        lines.push("t = (v - u)/a");
        let answers = judge(&[
            json!({ "task": "working", "formula": "v = u + a t", "subject": "t", "lines": lines }),
            json!({ "task": "proof", "given": ["v = u + a t"], "goal": "t = (v - u)/a",
                "lines": lines }),
        ]);
        for answer in &answers {
            assert_eq!(answer["complete"] == true, fits, "{answer}");
            assert_eq!(
                message(answer).contains("more than 200 lines"),
                !fits,
                "{answer}"
            );
        }
        let file = format!(
            "given v = u + a t\nshow t = (v - u)/a\n{}\n",
            lines.join("\n")
        );
        let ran = run(&["prove", "-"], file.as_bytes());
        assert_eq!(ran.status, if fits { 0 } else { 2 }, "{}", ran.stderr);
        assert_eq!(
            ran.stderr.contains("more than 200 lines"),
            !fits,
            "{}",
            ran.stderr
        );
    }
}

#[test]
fn bytes_of_a_request() {
    for (length, fits) in [(1 << 20, true), ((1 << 20) + 1, false)] {
        let request = r#"{"task":"isolate","formula":"v = u + a t","subject":"t","id":""}"#;
        let padded = request.replace(
            "\"\"}",
            &format!("\"{}\"}}", "i".repeat(length - request.len() - 1)),
        );
        let ran = run(&["judge"], format!("{padded}\n{request}\n").as_bytes());
        let answers: Vec<Value> = ran
            .stdout
            .lines()
            .map(|line| serde_json::from_str(line).expect("answers are JSON"))
            .collect();
        assert_eq!(answers.len(), 2);
        assert_eq!(answers[0]["verdict"] == "solved", fits);
        assert_eq!(
            message(&answers[0]).contains("longer than 1048576 bytes"),
            !fits
        );
        assert_eq!(answers[1]["verdict"], "solved");
        assert_eq!(ran.status, if fits { 0 } else { 2 });
    }
}

fn file(name: &str, text: &str) -> String {
    let path = format!("{}/limits-{name}", env!("CARGO_TARGET_TMPDIR"));
    fs::write(&path, text).expect("it can be written");
    path
}

#[test]
fn bytes_of_a_proof_file() {
    for (length, fits) in [(1 << 20, true), ((1 << 20) + 1, false)] {
        let text = "given v = u + a t\nshow v - u = a t\na t = v - u\nv - u = a t\n#";
        let padded = format!("{text}{}", "x".repeat(length - text.len()));
        let ran = run(&["prove", "-"], padded.as_bytes());
        assert_eq!(
            ran.stderr.contains("too long for a working"),
            !fits,
            "{}",
            ran.stderr
        );
        assert_eq!(ran.status == 2, !fits, "{}{}", ran.stdout, ran.stderr);
    }
}

#[test]
fn questions_of_a_quiz() {
    for (count, fits) in [(10_000, true), (10_001, false)] {
        let entry = json!({ "kind": "definition", "term": "none" });
        let quiz = json!({ "quiz": 1, "questions": vec![entry; count] });
        let path = file("quiz.json", &quiz.to_string());
        let ran = run(&["quiz", "--quiz", &path], b"");
        // Where all are read, the first can't be asked.
        assert_eq!(
            ran.stderr.contains("more than 10000 questions"),
            !fits,
            "{}",
            ran.stderr
        );
        assert_eq!(
            ran.stderr.contains("question 1: The sheets don't define"),
            fits
        );
    }
}

#[test]
fn rows_of_a_class() {
    let quiz = r#"{"quiz":1,"questions":[{"formula":"v = f l","subject":"f"}]}"#;
    let quiz = file("class.json", quiz);
    for (seat, answer, fits) in [
        (200, 65_536, true),
        (201, 10, false),
        (10, 65_537, false),
        (10, 2_000_000, false),
    ] {
        let first = format!(
            "{},1,\"{}\"\n",
            "s".repeat(seat),
            "v/l\n".repeat(answer / 4 + 1)
        );
        let cut = first.len() - 2 - (4 * (answer / 4 + 1) - answer);
        let rows = format!("{}\"\nlast,1,v/l\n", &first[..cut]);
        let ran = run(
            &[
                "mark", "--quiz", &quiz, "--format", "csv", "--jobs", "1", "-",
            ],
            rows.as_bytes(),
        );
        let read = ran
            .stdout
            .lines()
            .any(|line| line.contains(&"s".repeat(seat)));
        assert_eq!(read, fits, "{seat} {answer}: {}", ran.stderr);
        assert_eq!(
            ran.status,
            i32::from(!fits),
            "{seat} {answer}: {}",
            ran.stderr
        );
    }
}

#[test]
fn every_verb_takes_what_is_too_deep_and_too_long() {
    let deep = format!("y = {}x{}", "(".repeat(900), ")".repeat(900));
    let long = format!("y = {}", "x + ".repeat(30_000));
    for line in [&deep, &long] {
        let sheet = file("deep.sheet", &format!("topic Deep\n{line}\nv = u + a t\n"));
        let ran = run(&["proofread", &sheet], b"");
        assert_eq!(ran.status, 1, "{}", ran.stderr);
        let told: Vec<&str> = ran.stdout.split_whitespace().collect();
        let told = told.join(" ");
        assert!(
            told.contains("64 levels") || told.contains("more than 2000 characters"),
            "{told:.200}"
        );
        for arguments in [
            vec!["step", line, "y = x"],
            vec!["step", "y = x", line],
            vec!["rearrange", line, "--for", "x"],
            vec!["quiz", "--formula", line],
        ] {
            let ran = run(&arguments, b"");
            assert_eq!(ran.status, 2, "{arguments:.40?}: {}", ran.stderr);
            assert!(ran.stderr.len() < 3_000, "{}", ran.stderr.len());
        }
        let asked = run(
            &[
                "quiz",
                "--formula",
                "v = u + a t",
                "--count",
                "2",
                "--seed",
                "1",
            ],
            format!("{line}\n{line}\n").as_bytes(),
        );
        assert_eq!(asked.status, 0, "{}", asked.stderr);
        assert!(asked.stdout.contains("Marks: 0 of"), "{}", asked.stdout);
        let journal = format!("{}/limits-journal.jsonl", env!("CARGO_TARGET_TMPDIR"));
        let drilled = run(
            &[
                "drill",
                "--formula",
                "v = u + a t",
                "--seed",
                "1",
                "--journal",
                &journal,
            ],
            format!("{line}\n{line}\nquit\n").as_bytes(),
        );
        assert!(drilled.stdout.len() < 20_000, "{}", drilled.stdout.len());
    }
}
