//! Requests to `judge` of the right shape with any text in them: the first
//! byte is the task, then one field a line.

use serde_json::{Map, Value, json};

use crate::judge::answers;

/// The domains that the letters of a request have, by the second byte.
const QUANTITIES: [&str; 4] = [
    "{}",
    r#"{"v":"real","u":"real","a":"real","s":"real","x":"real","y":"real"}"#,
    r#"{"x":"nonnegative","y":"real","θ":"acute","E_k":"positive"}"#,
    r#"{"m":{"domain":"positive","unit":"kg"},"v":{"domain":"real","unit":"m s^-1"},"E":{"unit":"J"}}"#,
];

pub fn run(data: &[u8]) {
    let [task, quantities, rest @ ..] = data else {
        return;
    };
    let text = String::from_utf8_lossy(rest);
    let mut fields = text.split('\n');
    let mut field = || fields.next().unwrap_or_default().to_owned();
    let mut request = Map::new();
    let quantities = QUANTITIES[usize::from(*quantities) % QUANTITIES.len()];
    request.insert("id".into(), 1.into());
    request.insert(
        "quantities".into(),
        serde_json::from_str(quantities).expect("our own"),
    );
    let mut put = |name: &str, value: Value| drop(request.insert(name.to_owned(), value));
    match task % 7 {
        0 => {
            put("task", "rearrange".into());
            put("formula", field().into());
            put("subject", field().into());
            put("answer", field().into());
        }
        1 => {
            put("task", "line".into());
            put("before", field().into());
            put("after", field().into());
        }
        2 => {
            put("task", "working".into());
            put("formula", field().into());
            put("subject", field().into());
            put("lines", fields.map(Value::from).collect());
        }
        3 => {
            put("task", "isolate".into());
            put("formula", field().into());
            put("subject", field().into());
        }
        4 => {
            put("task", "proof".into());
            put("given", json!([field(), field()]));
            put("goal", field().into());
            put("functions", json!({ "x": ["t"] }));
            put("marks", json!([field()]));
            put("lines", fields.map(Value::from).collect());
        }
        5 => {
            put("task", "proportion".into());
            put("formula", field().into());
            put("subject", field().into());
            put("varied", field().into());
            put("scale", field().into());
            put("answer", field().into());
        }
        _ => {
            put("task", "definition".into());
            put("term", field().into());
            put("answer", field().into());
        }
    }
    let line = Value::Object(request).to_string();
    for answer in answers(line.as_bytes()) {
        sound(&answer);
    }
}

/// A verdict that rejects shows numbers, and the numbers differ.
fn sound(answer: &Value) {
    let evidence = &answer["evidence"];
    if evidence["kind"] == "counterexample" {
        let (expected, got) = (&evidence["expected"], &evidence["got"]);
        assert!(
            expected != got || expected.is_null(),
            "no difference: {answer}"
        );
    }
    if answer["verdict"] == "right" || answer["verdict"] == "same" {
        assert_ne!(evidence["kind"], "counterexample", "{answer}");
    }
}
