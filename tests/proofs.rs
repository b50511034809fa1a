//! Workings as data: `tests/proofs/workings.jsonl` holds tasks with lines and
//! what must come of them, `tests/proofs/sheets.jsonl` routes for the proofs
//! of the sheets.

#[path = "support/workings.rs"]
mod workings;

use rejig::practice::argument::Argument;
use rejig::reason::proof::MOST_LINES;
use rejig::store::sheets;
use workings::{argument, kinds, rows, strings};

#[test]
fn workings_are_judged_as_stated() {
    let mut faults = Vec::new();
    let rows = rows("tests/proofs/workings.jsonl");
    assert!(rows.len() >= 10);
    for row in &rows {
        let judged = argument(row).judge(strings(&row["lines"]));
        let report = &judged.report;
        let expected: Vec<&str> = strings(&row["kinds"]);
        let complete = row["complete"].as_bool().expect("complete or not");
        let first_bad = row["first_bad"].as_u64();
        if kinds(&judged) != expected
            || report.complete != complete
            || report.first_bad.map(|at| at as u64) != first_bad
        {
            faults.push(format!(
                "{}: {:?} first bad {:?} complete {}",
                row["name"],
                kinds(&judged),
                report.first_bad,
                report.complete
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn routes_of_the_sheets_pass_and_broken_ones_stop_where_they_break() {
    let formulary = sheets::embedded();
    let mut faults = Vec::new();
    for row in rows("tests/proofs/sheets.jsonl") {
        let key = row["proof"].as_str().expect("a proof");
        let found = key.split_once('/').and_then(|(topic, name)| {
            let topic = formulary.topic(topic)?;
            Some((topic, topic.proof(name)?))
        });
        let Some((topic, proof)) = found else {
            faults.push(format!("{key}: not in the sheets"));
            continue;
        };
        let judged = Argument::of_sheet(topic, proof).judge(strings(&row["lines"]));
        let report = &judged.report;
        let told = || {
            let unreadable: Vec<String> = judged
                .unreadable
                .iter()
                .flatten()
                .map(|fault| fault.render())
                .collect();
            format!(
                "{key} {}: {:?} first bad {:?} complete {} {}",
                row["lines"],
                kinds(&judged),
                report.first_bad,
                report.complete,
                unreadable.join("\n")
            )
        };
        match row["stops"].as_u64() {
            None if report.complete => {}
            Some(at) if report.first_bad.map(|bad| bad as u64) == Some(at) && !report.complete => {
                if let Some(kind) = row["kind"].as_str()
                    && kinds(&judged)[usize::try_from(at).unwrap_or(0)] != kind
                {
                    faults.push(told());
                }
            }
            _ => faults.push(told()),
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn routes_in_the_sheets_pass() {
    let formulary = sheets::embedded();
    let mut faults = Vec::new();
    let mut routes = 0;
    for topic in &formulary.topics {
        for proof in &topic.proofs {
            if proof.route.is_empty() {
                continue;
            }
            routes += 1;
            let lines: Vec<&str> = proof.route.iter().map(|line| line.text()).collect();
            let judged = Argument::of_sheet(topic, proof).judge(lines);
            if !judged.report.complete {
                faults.push(format!(
                    "{}/{}: {:?} first bad {:?}",
                    topic.key,
                    proof.name,
                    kinds(&judged),
                    judged.report.first_bad
                ));
            }
            if judged.marks.0 != judged.marks.1 {
                faults.push(format!(
                    "{}/{}: marks {:?}",
                    topic.key, proof.name, judged.marks
                ));
            }
        }
    }
    assert!(routes > 20);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Wrong lines without end: each is refuted, and the search for what carries
/// on from them stays bounded.
#[test]
fn two_hundred_wrong_lines_are_refuted() {
    let row = serde_json::json!({
        "given": ["v = u + a t", "s = 1/2 (u + v) t"],
        "goal": "v^2 = u^2 + 2 a s",
    });
    let lines: Vec<String> = (2..204)
        .map(|number| format!("s = {number} u t + {number}/2 a t^2"))
        .collect();
    let judged = argument(&row).judge(lines.iter().map(String::as_str));
    assert_eq!(judged.report.lines.len(), MOST_LINES);
    assert!(!judged.report.complete);
    let kinds = kinds(&judged);
    assert!(kinds.iter().all(|kind| *kind == "does-not-follow"));
}

/// A chain on every line: what is beyond the bound is undecided, not waited
/// for.
#[test]
fn chains_without_end_are_bounded() {
    let row = serde_json::json!({
        "given": ["v = u + a t"],
        "goal": "v - u = a t",
    });
    let sides: Vec<String> = (1..60)
        .map(|number| format!("u + {number} a t/{number}"))
        .collect();
    let line = format!("v = {}", sides.join(" = "));
    let judged = argument(&row).judge(std::iter::repeat_n(line.as_str(), 40));
    let kinds = kinds(&judged);
    assert_eq!(kinds[0], "follows");
    assert_eq!(kinds[39], "undecided");
}
