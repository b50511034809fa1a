//! `rejig prove` through the binary.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn prove(text: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_rejig"))
        .args(["prove", "-"])
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
