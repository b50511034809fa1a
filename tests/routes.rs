//! The independent derivations, judged as their labels say: right routes by
//! varied orders pass, broken ones stop at the stated line.
//! `tests/outside/compare_routes.py` tells the same of a built program.

#[path = "support/workings.rs"]
mod workings;

use serde_json::Value;
use workings::{argument, kinds, rows, strings};

fn check(file: &str, least: usize) {
    let rows = rows(file);
    assert!(rows.len() >= least, "{file} has {} rows", rows.len());
    let mut faults = Vec::new();
    for row in &rows {
        let judged = argument(row).judge(strings(&row["lines"]));
        let mut label = row["label"].clone();
        // Where a disagreement was settled by hand, the row says how.
        for (key, value) in row["settled"].as_object().into_iter().flatten() {
            label[key.as_str()] = value.clone();
        }
        let right = label["complete"].as_bool().expect("complete or not");
        let first_bad = judged.report.first_bad.map(|at| at as u64);
        let got = kinds(&judged);
        let stated = label["first_bad"].as_u64();
        // A route without a broken line that is not complete either may be
        // the result alone, or lack a line.
        let stops = first_bad == stated || (!right && stated.is_none());
        let lines = label["lines"].as_array().expect("labels of lines");
        let agree = lines
            .iter()
            .zip(&got)
            .all(|(wanted, got)| wanted.as_str().is_none_or(|wanted| wanted == *got));
        if judged.report.complete != right || !stops || !agree || lines.len() != got.len() {
            faults.push(format!(
                "{}: {got:?} first bad {first_bad:?} complete {}",
                row["id"], judged.report.complete
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_first_independent_routes_are_judged_as_labelled() {
    check("tests/outside/routes_independent.jsonl", 76);
}

/// Lines in odd orders: backwards, a line may be a leap or rest on the
/// result, yet it is never refuted.
#[test]
fn no_line_of_a_right_route_is_refuted_backwards() {
    let mut faults = Vec::new();
    for row in rows("tests/outside/routes_independent.jsonl") {
        if row["label"]["complete"] != Value::Bool(true) {
            continue;
        }
        let lines = strings(&row["lines"]);
        // A letter that a line brings in is known to those after it only.
        if lines.iter().any(|line| line.starts_with("let ")) {
            continue;
        }
        let backwards: Vec<&str> = lines.iter().rev().copied().collect();
        let judged = argument(&row).judge(backwards);
        for (line, kind) in lines.iter().rev().zip(kinds(&judged)) {
            if !matches!(kind, "follows" | "leap" | "circular") {
                faults.push(format!("{}: {line}: {kind}", row["id"]));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_second_independent_routes_are_judged_as_labelled() {
    check("tests/outside/routes_second.jsonl", 44);
}
