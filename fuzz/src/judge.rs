//! Lines to `judge`, as they come. Every line that is not blank gets one
//! answer, which is JSON.

use std::cell::RefCell;
use std::io::BufReader;

use rejig::cli::judge::{Judge, serve};
use serde_json::Value;

thread_local! {
    // Kept, so that the sheets are read once.
    static JUDGE: RefCell<Judge> = RefCell::default();
}

pub fn run(data: &[u8]) {
    drop(answers(data));
}

/// What `judge` answers.
pub fn answers(data: &[u8]) -> Vec<Value> {
    let mut out = Vec::new();
    JUDGE
        .with_borrow_mut(|judge| serve(judge, BufReader::new(data), &mut out))
        .expect("memory can be read and written");
    let text = std::str::from_utf8(&out).expect("answers are text");
    let answers: Vec<Value> = text
        .lines()
        .map(|line| serde_json::from_str(line).expect("answers are JSON"))
        .collect();
    let asked = data
        .strip_prefix(b"\xef\xbb\xbf")
        .unwrap_or(data)
        .split(|byte| *byte == b'\n')
        .filter(|line| !line.iter().all(u8::is_ascii_whitespace))
        .count();
    assert_eq!(answers.len(), asked, "one answer a line");
    for answer in &answers {
        let verdict = answer.get("verdict").or_else(|| answer.get("complete"));
        assert!(
            verdict.or_else(|| answer.get("error")).is_some(),
            "{answer}"
        );
    }
    answers
}
