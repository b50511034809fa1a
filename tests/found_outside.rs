//! Requests that a tester who had not seen the code found to be judged
//! falsely, or slowly, with every verdict that can be defended. The labels
//! were worked out by hand and with mpmath.

mod cli_support;

use cli_support::{command, run_command};

#[test]
fn what_was_once_judged_falsely() {
    let rows: Vec<serde_json::Value> = include_str!("outside/found_by_second_tester.jsonl")
        .lines()
        .map(|line| serde_json::from_str(line).expect("a row is JSON"))
        .collect();
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
