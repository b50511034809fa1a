//! What `judge` says of wrong answers: first signs, slips, and working with
//! its marks.

mod cli_support;

use cli_support::run;
use serde_json::Value;

fn responses(requests: &[&str]) -> Vec<Value> {
    let ran = run(&["judge"], &format!("{}\n", requests.join("\n")));
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    let found: Vec<Value> = ran
        .stdout
        .lines()
        .map(|line| serde_json::from_str(line).expect("each response is JSON"))
        .collect();
    assert_eq!(found.len(), requests.len());
    found
}

fn notes(response: &Value) -> Vec<&str> {
    let notes = response["notes"].as_array().expect("notes");
    notes.iter().filter_map(Value::as_str).collect()
}

/// A request about letters that are all positive.
fn asked(formula: &str, subject: &str, answer: &str) -> String {
    format!(
        r#"{{"id":1,"task":"rearrange","formula":"{formula}","subject":"{subject}","answer":"{answer}"}}"#
    )
}

#[test]
fn first_signs_are_told() {
    // formula, subject, answer, the note, the slip
    let rows = [
        (
            "v = u + a t",
            "a",
            "a = (V - u)/t",
            Some("wrong-letter"),
            Some("wrong-letter"),
        ),
        (
            "v = u + a t",
            "a",
            "t = (v - u)/a",
            Some("wrong-subject"),
            Some("wrong-subject"),
        ),
        (
            "v = u + a t",
            "a",
            "(v - u)/a",
            Some("not-isolated"),
            Some("wrong-subject"),
        ),
        (
            "1/f = 1/u + 1/v",
            "v",
            "v = f + f v/u",
            Some("not-isolated"),
            Some("subject-both-sides"),
        ),
        (
            "T = 2π sqrt(l/g)",
            "l",
            "l = g T^2/39.48",
            Some("rounded-constant"),
            Some("constant-rounded"),
        ),
        (
            "v = u + a t",
            "a",
            "a = (v^2 - u^2)/(2 s)",
            Some("another-formula"),
            None,
        ),
        (
            "v = u + a t",
            "a",
            "a = (v + u)/t",
            None,
            Some("sign-not-changed"),
        ),
        ("v = u + a t", "a", "a = v^3 - 7 u t", None, None),
    ];
    let requests: Vec<String> = rows
        .iter()
        .map(|(formula, subject, answer, ..)| asked(formula, subject, answer))
        .collect();
    let requests: Vec<&str> = requests.iter().map(String::as_str).collect();
    for (row, response) in rows.iter().zip(responses(&requests)) {
        assert_eq!(response["verdict"], "wrong", "{row:?}");
        if let Some(note) = row.3 {
            assert!(notes(&response).contains(&note), "{row:?} {response}");
        }
        assert_eq!(
            response["slip"]["name"].as_str(),
            row.4,
            "{row:?} {response}"
        );
        if row.4.is_some() {
            assert!(
                response["slip"]["remark"]
                    .as_str()
                    .is_some_and(|text| !text.is_empty())
            );
        }
    }
}

#[test]
fn both_dimensions_are_told() {
    let request = r#"{"id":1,"task":"rearrange","formula":"v = u + a t","subject":"t","answer":"t = (v - u) a","quantities":{"v":{"domain":"real","unit":"m s^-1"},"u":{"domain":"real","unit":"m s^-1"},"a":{"domain":"real","unit":"m s^-2"},"t":{"domain":"positive","unit":"s"}}}"#;
    let found = &responses(&[request])[0];
    assert!(notes(found).contains(&"dimensions"), "{found}");
    let told = found["dimensions"].as_str().expect("a sentence");
    assert!(
        told.contains("left side") && told.contains("right side"),
        "{told}"
    );
    // A right answer is not held against units.
    let right = request.replace("(v - u) a", "(v - u)/a");
    let found = &responses(&[&right])[0];
    assert_eq!(found["verdict"], "right");
    assert!(found.get("dimensions").is_none());
}

#[test]
fn another_formula_is_named_only_where_the_letters_mean_the_same() {
    let found = responses(&[
        &asked("v = u + a t", "a", "(v^2 - u^2)/(2 s)"),
        // No formula of the sheets: nothing is known of its letters.
        &asked("v = u + 3 a t", "a", "(v^2 - u^2)/(2 s)"),
        // Not quite.
        &asked("v = u + a t", "a", "(v^2 + u^2)/(2 s)"),
    ]);
    assert_eq!(found[0]["another_formula"]["formula"], "v^2 = u^2 + 2 a s");
    for other in &found[1..] {
        assert!(other.get("another_formula").is_none(), "{other}");
    }
}

#[test]
fn a_working_loses_marks_where_it_breaks_and_says_why() {
    let request = r#"{"id":1,"task":"working","formula":"s = u t + 1/2 a t^2","subject":"a","lines":["s + u t = 1/2 a t^2","2(s + u t) = a t^2","a = 2(s + u t)/t^2"]}"#;
    let found = &responses(&[request])[0];
    assert_eq!(found["first_bad"], 0);
    assert_eq!(found["complete"], false);
    assert_eq!(found["lines"][0]["slip"]["name"], "sign-not-changed");
    assert_eq!(found["lines"][0]["evidence"]["kind"], "counterexample");
    assert_eq!(found["lines"][1]["verdict"], "same");
    // Multiplying by 2 and dividing by t^2 are one mark, earned after the
    // slip by the line that has done both.
    assert_eq!(found["lines"][1]["marks"], 0, "{found}");
    assert_eq!(found["lines"][2]["marks"], 1, "{found}");
    let marks = &found["marks"];
    let lost: u64 = marks["lost"]
        .as_array()
        .expect("what was lost")
        .iter()
        .filter_map(|loss| loss["marks"].as_u64())
        .sum();
    assert!(lost > 0);
    assert_eq!(marks["lost"][0]["why"], "sign-not-changed");
    assert_eq!(
        marks["awarded"].as_u64().unwrap_or(99) + lost,
        marks["available"].as_u64().unwrap_or(0)
    );
}

#[test]
fn memory_of_problems_has_an_end_and_answers_stay_the_same() {
    // More formulae than one generation keeps, the first asked once more.
    let first = asked("v = u + a t", "a", "a = (v + u)/t");
    let mut requests = vec![first.clone()];
    for number in 2..1_300 {
        requests.push(asked(
            &format!("v = u + {number} a t"),
            "a",
            &format!("(v - u)/({number} t)"),
        ));
    }
    requests.push(first);
    let requests: Vec<&str> = requests.iter().map(String::as_str).collect();
    let found = responses(&requests);
    assert_eq!(found.first(), found.last());
    assert!(
        found[1..found.len() - 1]
            .iter()
            .all(|response| response["verdict"] == "right")
    );
}

/// A request with its task, its other fields as typed, and what the response
/// says: `error` or the first warning.
#[test]
fn no_field_is_passed_over_in_silence() {
    let rows = [
        // Misspelt, and nothing else says it: what is judged would change.
        (
            r#""task":"rearrange","formula":"y^2 = x","subject":"y","answer":"sqrt(x)","quantites":{"y":"real"}"#,
            r#"the field "quantites" is not known; did you mean "quantities"?"#,
        ),
        (
            r#""task":"rearrange","formula":"v = u + a t","subject":"t","anwser":"t = (v - u)/a""#,
            r#"the field "anwser" is not known; did you mean "answer"?"#,
        ),
        (
            r#""task":"proof","given":["v = u + a t"],"goal":"v - u = a t","lines":["v - u = a t"],"mark":["M1 shown"]"#,
            r#"the field "mark" is not known; did you mean "marks"?"#,
        ),
        (
            r#""tsak":"isolate","formula":"v = u + a t","subject":"t""#,
            r#"the field "tsak" is not known; did you mean "task"?"#,
        ),
        (
            r#""task":"line","before":"x = y","after":"x^2 = y^2","quantities":{"x":{"domian":"real"}}"#,
            r#"the quantity "x": the field "domian" is not known; did you mean "domain"?"#,
        ),
        (
            r#""task":"line","before":"x = y","after":"x^2 = y^2","quantities":{"x":{"sign":"any"}}"#,
            r#"the quantity "x": the field "sign" is not known; a quantity has "domain" and "unit""#,
        ),
        (
            r#""task":"proof","given":["v = dx/dt"],"goal":"v = dx/dt","functions":{"x":"t"}"#,
            r#"the function "x" needs a list of what it depends on"#,
        ),
        // A caller's own fields change nothing, and are said to.
        (
            r#""task":"rearrange","formula":"v = u + a t","subject":"t","answer":"t = (v - u)/a","seat":"a1""#,
            r#"the field "seat" is not known: passed over"#,
        ),
        // Near a field that is there, or that the task does not have.
        (
            r#""task":"working","formula":"v = f k","subject":"f","lines":["f = v/k"],"line":12"#,
            r#"the field "line" is not known: passed over"#,
        ),
        (
            r#""task":"rearrange","formula":"v = u + a t","subject":"t","answer":"t = (v - u)/a","line":12"#,
            r#"the field "line" is not known: passed over"#,
        ),
        (
            r#""task":"rearrange","formula":"v = u + a t","subject":"t","answer":"t = (v - u)/a","lines":["v"]"#,
            r#"the task "rearrange" has no field "lines": passed over"#,
        ),
        // What can't be read says so all the same.
        (
            r#""task":"rearrange","formula":"v = u + a t","subject":"t","answer":"t = (v","seat":3"#,
            r#"the field "seat" is not known: passed over"#,
        ),
    ];
    for (fields, expected) in rows {
        let ran = run(&["judge"], &format!("{{\"id\":7,{fields}}}\n"));
        let response: Value = serde_json::from_str(&ran.stdout).expect("a response");
        let refused = response.get("error").is_some();
        let said = response.get("error").unwrap_or(&response["warnings"][0]);
        assert_eq!(said, expected, "{fields} {response}");
        assert_eq!(response["id"], 7);
        assert_eq!(ran.status, if refused { 2 } else { 0 }, "{fields}");
        let passed_over = expected.ends_with("passed over");
        assert_eq!(passed_over, !refused, "{fields}");
    }
    let plain = asked("v = u + a t", "t", "t = (v - u)/a");
    assert!(responses(&[&plain])[0].get("warnings").is_none());
}
