//! Requests that a tester who had not seen the code found to be judged
//! falsely, or slowly, with every verdict that can be defended. The labels
//! were worked out by hand and with mpmath. Of a third tester's complaints, those
//! about how maths is read.

mod cli_support;

use cli_support::{command, run_command};

fn rows(file: &str) -> Vec<serde_json::Value> {
    file.lines()
        .map(|line| serde_json::from_str(line).expect("a row is JSON"))
        .collect()
}

/// The lines of the third tester's file that are about reading, counted from 1.
const READING: std::ops::RangeInclusive<usize> = 45..=55;

#[test]
fn what_was_once_misread() {
    let rows = rows(include_str!("outside/found_by_third_tester.jsonl"));
    let rows = &rows[READING.start() - 1..*READING.end()];
    let requests: Vec<String> = rows.iter().map(|row| row["request"].to_string()).collect();
    let ran = run_command(command(&["judge"]), requests.join("\n").as_bytes());
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert_eq!(ran.stdout.lines().count(), rows.len());
    for (row, line) in rows.iter().zip(ran.stdout.lines()) {
        let response: serde_json::Value = serde_json::from_str(line).expect("JSON");
        let verdict = response["verdict"].as_str().expect("a verdict");
        // "right", "right or unreadable", "right (other reading)".
        let truth = row["true"].as_str().expect("what is true");
        assert!(
            truth.split([' ', '(']).any(|word| word == verdict),
            "{row}\n    {response}"
        );
    }
}

#[test]
fn what_was_once_judged_falsely() {
    let rows = rows(include_str!("outside/found_by_second_tester.jsonl"));
    let requests: Vec<String> = rows
        .iter()
        .map(|row| {
            let mut request = row.as_object().expect("a row is an object").clone();
            request.remove("label");
            request.remove("note");
            serde_json::Value::from(request).to_string()
        })
        .collect();
    let ran = run_command(command(&["judge"]), requests.join("\n").as_bytes());
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let responses: Vec<serde_json::Value> = ran
        .stdout
        .lines()
        .map(|line| serde_json::from_str(line).expect("a response is JSON"))
        .collect();
    assert_eq!(responses.len(), rows.len());
    let mut faults = Vec::new();
    for (row, response) in rows.iter().zip(&responses) {
        let labels = row["label"].as_array().expect("labels");
        let noted = row.get("note").is_none_or(|note| {
            response["notes"]
                .as_array()
                .is_some_and(|notes| notes.contains(note))
        });
        if !labels.contains(&response["verdict"]) || !noted {
            faults.push(format!("{row}\n    {response}"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
