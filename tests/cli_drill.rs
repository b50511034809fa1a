//! `rejig drill` as a script, through the binary.

mod cli_support;

use cli_support::run;

const ARGUMENTS: [&str; 6] = ["drill", "--formula", "v = u + a t", "--for", "a", "--count"];

fn drill(count: &str, lines: &str) -> String {
    let mut arguments = ARGUMENTS.to_vec();
    arguments.push(count);
    let ran = run(&arguments, lines);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    ran.stdout
}

#[test]
fn a_whole_sitting() {
    insta::assert_snapshot!(
        "sitting",
        drill(
            "3",
            "letters\nhint\nhint\nhint\na = v - u/t\n(v-u)/t\na = (v - u)/t\nshow\nquit\n"
        )
    );
}

#[test]
fn right_at_first_try_earns_the_marks() {
    let out = drill("1", "(v-u)/t\n");
    assert!(
        out.contains("Right at first try: 1 of 1. Marks: 2 of 2."),
        "{out}"
    );
    assert!(out.contains("Nothing to look at again."));
}

#[test]
fn a_hint_costs_the_first_try() {
    let out = drill("1", "hint\n(v-u)/t\n");
    assert!(
        out.contains("Right at first try: 0 of 1. Marks: 0 of 2."),
        "{out}"
    );
    assert!(
        out.contains("To look at again:\n   v = u + at for a\n"),
        "{out}"
    );
}

#[test]
fn what_cannot_be_read_is_no_answer() {
    let out = drill("1", "(v-u/t\n(V-u)/t\n\n(v-u)/t\n");
    assert_eq!(out.matches("I can't read this.").count(), 2, "{out}");
    assert!(out.contains("Right at first try: 1 of 1."), "{out}");
}

#[test]
fn undo_takes_back_a_slip() {
    let out = drill("1", "undo\n(v-u)*t\nundo\n(v-u)/t\n");
    assert!(out.contains("There is nothing to take back."), "{out}");
    assert!(out.contains("Taken back."), "{out}");
    assert!(out.contains("Right at first try: 1 of 1."), "{out}");
    // Also across the next question.
    let out = drill("2", "skip\nundo\n(v-u)/t\n(v-u)/t\n");
    assert!(out.contains("Right at first try: 2 of 2."), "{out}");
    // But a solution that was seen stays seen.
    let out = drill("1", "hint\nhint\nhint\nundo\n(v-u)/t\n");
    assert!(out.contains("Right at first try: 0 of 1."), "{out}");
}

#[test]
fn the_hints_end() {
    let out = drill("1", &"hint\n".repeat(30));
    assert!(out.contains("That was the last hint."), "{out}");
}

#[test]
fn quitting_and_the_end_of_input_are_kind() {
    for lines in ["", "quit\n", "QUIT"] {
        let out = drill("2", lines);
        assert!(
            out.ends_with("Nothing answered this time. Come back soon.\n"),
            "{out}"
        );
    }
}

#[test]
fn questions_of_a_seed_are_the_same() {
    let script = "skip\n".repeat(10);
    let first = run(&["drill", "--seed", "9"], &script);
    let second = run(&["drill", "--seed", "9"], &script);
    assert_eq!(first.stdout, second.stdout);
    assert!(first.stdout.contains("10 of 10."));
    assert!(first.stdout.contains("Right at first try: 0 of 10."));
}

#[test]
fn no_line_is_wider_than_eighty_columns() {
    let script = "hint\nletters\nshow\n".repeat(40);
    for seed in ["1", "2", "3"] {
        let ran = run(&["drill", "--seed", seed, "--count", "40"], &script);
        for line in ran.stdout.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn the_last_fifty_questions_can_be_taken_back() {
    let arguments = ["drill", "--formula", "v^2 = u^2 + 2as", "--count", "70"];
    let script = format!("{}{}", "skip\n".repeat(60), "undo\n".repeat(60));
    let ran = run(&arguments, &script);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    // The open one is among the fifty.
    assert_eq!(
        ran.stdout.matches("Here is the question again.").count(),
        49
    );
    let told = "What is further back can't be taken back any more.";
    assert_eq!(ran.stdout.matches(told).count(), 11);
    // Each has been told, long ago or not, once.
    let list = ran.stdout.split("To look at again:").nth(1);
    assert_eq!(
        list.map(|list| list.matches("v² = u² + 2as for").count()),
        Some(4)
    );
}
