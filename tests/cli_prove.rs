//! `rejig prove` through the binary.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn prove(text: &str) -> Output {
    prove_with(&[], text)
}

fn prove_with(options: &[&str], text: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_rejig"))
        .args(["prove", "-"])
        .args(options)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(text.as_bytes())
        .expect("it reads");
    child.wait_with_output().expect("it ends")
}

const QUESTION: &str = "quantity u, v, a, s: real\ngiven v = u + a t\n\
                        given s = 1/2 (u + v) t\nshow v^2 = u^2 + 2 a s\n\
                        mark M1 when a line has no t\nmark A1 when shown\n";

#[test]
fn a_sound_working_is_shown() {
    let done = prove(&format!(
        "{QUESTION}\nt = (v - u)/a\ns = (u + v)(v - u)/(2 a)\nv^2 = u^2 + 2 a s\n"
    ));
    let out = String::from_utf8_lossy(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{out}");
    assert!(
        out.contains(
            "From line 1 and the given s = 1/2 (u + v) t."
                .replace(' ', "\u{a0}")
                .as_str()
        ) || out.contains("From line 1 and the given"),
        "{out}"
    );
    assert!(
        out.contains("\nShown.\nMarks: 2 of 2 (M1 yes, A1 yes).\n"),
        "{out}"
    );
}

#[test]
fn a_broken_line_is_named_with_numbers_and_keeps_its_method() {
    let done = prove(&format!(
        "{QUESTION}\nt = (v + u)/a\ns = (u + v)(v + u)/(2 a)\nv^2 = u^2 + 2 a s\n"
    ));
    let out = String::from_utf8_lossy(&done.stdout);
    assert_eq!(done.status.code(), Some(1), "{out}");
    assert!(out.contains("Does not follow."), "{out}");
    assert!(out.contains("which fit the givens"), "{out}");
    assert!(out.contains("first goes wrong in line 1."), "{out}");
    assert!(out.contains("Marks: 1 of 2 (M1 yes, A1 no)."), "{out}");
}

#[test]
fn a_line_without_a_value_somewhere_says_so() {
    let done = prove(&format!(
        "{QUESTION}\nln v = ln(u + a t)\nt = (v - u)/a\ns = (u + v)(v - u)/(2 a)\n\
         v^2 = u^2 + 2 a s\n"
    ));
    let out = String::from_utf8_lossy(&done.stdout).replace('\u{a0}', " ");
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("It has no value for some values that fit the givens"),
        "{out}"
    );
    assert!(out.contains(" Shown. "), "{out}");
}

#[test]
fn a_program_gets_json() {
    let done = prove_with(
        &["--format", "json"],
        &format!("{QUESTION}\nt = (v + u)/a\ns = (u + v)(v + u)/(2 a)\nv^2 = u^2 + 2 a s\n"),
    );
    assert_eq!(done.status.code(), Some(1));
    let value: serde_json::Value = serde_json::from_slice(&done.stdout).expect("one object");
    assert_eq!(value["verdict"], "broken");
    assert_eq!(value["first_bad"], 0);
    assert_eq!(value["complete"], false);
    assert_eq!(value["marks"]["awarded"], 1);
    assert_eq!(value["mark_codes"][0]["code"], "M1");
    assert_eq!(value["mark_codes"][0]["earned"], true);
    assert_eq!(value["mark_codes"][1]["earned"], false);
    assert_eq!(value["lines"][0]["verdict"], "does-not-follow");
    assert_eq!(value["lines"][0]["text"], "t = (v + u)/a");
    assert_eq!(value["lines"][0]["at"], 8);
    assert_eq!(value["lines"][0]["evidence"]["kind"], "counterexample");
    assert_eq!(value["lines"][1]["carried_forward"], true);
}

#[test]
fn the_result_alone_is_no_proof() {
    let done = prove(&format!("{QUESTION}\nv^2 = u^2 + 2 a s\n"));
    let out = String::from_utf8_lossy(&done.stdout);
    assert_eq!(done.status.code(), Some(1), "{out}");
    assert!(out.contains("the result alone is no proof"), "{out}");
}

#[test]
fn what_cannot_be_read_is_told() {
    for (text, told) in [
        ("given v = u", "has no show line"),
        ("show v = (u", "I can't read the question."),
        ("quantity v\nshow v = u", "a quantity needs a colon"),
        (
            "given v = u\nshow u = v\ngrant magic",
            "no approximation called magic",
        ),
    ] {
        let done = prove(text);
        let said = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{text}");
        assert!(said.contains(told), "{text}: {said}");
    }
}
