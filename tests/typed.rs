//! Answers as students type them, with what a careful examiner takes each to
//! mean, labelled before the program was asked: `best` is the verdict wanted,
//! `fair` are those that can be defended. `open` rows are still misread, and
//! are to stay on the list until they are not.

mod cli_support;

use cli_support::{command, run_command};
use serde_json::Value;

/// So many rows at least get the best verdict.
const BEST: usize = 417;

#[test]
fn no_typed_answer_is_taken_for_what_it_is_not() {
    let rows: Vec<Value> = include_str!("outside/typed_second.jsonl")
        .lines()
        .map(|line| serde_json::from_str(line).expect("a row is JSON"))
        .collect();
    assert!(rows.len() > 250);
    let requests: Vec<String> = rows
        .iter()
        .map(|row| {
            let mut request = row.as_object().expect("a row is an object").clone();
            for own in ["best", "fair", "remark", "settled", "open"] {
                request.remove(own);
            }
            Value::from(request).to_string()
        })
        .collect();
    let ran = run_command(command(&["judge"]), requests.join("\n").as_bytes());
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let responses: Vec<Value> = ran
        .stdout
        .lines()
        .map(|line| serde_json::from_str(line).expect("a response is JSON"))
        .collect();
    assert_eq!(responses.len(), rows.len());
    let mut faults = Vec::new();
    let mut best = 0;
    for (row, response) in rows.iter().zip(&responses) {
        let verdict = &response["verdict"];
        best += usize::from(*verdict == row["best"]);
        let fair = row["fair"].as_array().expect("verdicts").contains(verdict);
        if fair == (row["open"] == true) {
            faults.push(format!("{row}\n    {response}"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(best >= BEST, "{best} of {} rows", rows.len());
}
