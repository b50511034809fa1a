//! Slips and workings written down by people who had not seen the code
//! (`tests/outside/*_independent.jsonl`, `*_second.jsonl`), through the
//! library, with floors at what was reached.

use std::collections::BTreeMap;

use rejig::algebra::symbol::Domain;
use rejig::reason::answer;
use rejig::reason::rearrangement::Problem;
use rejig::reason::slip::{Slips, explain};
use rejig::reason::verdict::{Note, Verdict};
use rejig::reason::working;
use rejig::show::line::Spelling;
use rejig::show::slips::Remarks;
use rejig::text::{Readings, Undeclared, Vocabulary, read};
use serde_json::Value;

fn rows(name: &str) -> Vec<Value> {
    let path = format!("{}/tests/outside/{name}.jsonl", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path)
        .expect("the rows are readable")
        .lines()
        .map(|line| serde_json::from_str(line).expect("each row is JSON"))
        .collect()
}

fn text<'r>(row: &'r Value, field: &str) -> &'r str {
    row[field].as_str().expect("a field of text")
}

fn names(row: &Value) -> Vec<&str> {
    let slips = row["slips"].as_array().expect("a list of slips");
    slips.iter().filter_map(Value::as_str).collect()
}

fn prepared(row: &Value) -> (Problem, Vocabulary) {
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in row["quantities"].as_object().expect("quantities") {
        let word = domain.as_str().or_else(|| domain["domain"].as_str());
        let domain = word.and_then(Domain::from_keyword).unwrap_or_default();
        vocabulary.declare(name, domain);
    }
    let subject = vocabulary
        .lookup(text(row, "subject"))
        .expect("the subject is declared");
    let readings = read(text(row, "formula"), &mut vocabulary, Undeclared::Declare)
        .expect("the formula can be read");
    let equation = answer::equations(&readings.preferred).remove(0);
    let problem = Problem::new(equation, subject, vocabulary.table());
    (problem, vocabulary)
}

/// The verdict, the name of the slip, and whether a note says as much.
fn judged(row: &Value) -> (Verdict, Option<&'static str>, Vec<Note>) {
    let (problem, mut vocabulary) = prepared(row);
    let readings = read(text(row, "answer"), &mut vocabulary, Undeclared::Declare)
        .expect("the answer can be read");
    let table = vocabulary.table();
    let (judgement, reading) = answer::judge(&problem, &readings, table);
    let slips = Slips::new(&problem, table);
    let found = explain(&problem, &slips, &reading.chain, &judgement, table);
    let name = found.map(|found| found.slips[0].kind.key());
    (judgement.verdict, name, judgement.notes)
}

/// At least so many in a hundred of the answers are named rightly, and at most
/// so many wrongly.
fn check_slips(file: &str, rightly: usize, wrongly: usize) {
    let rows = rows(file);
    let (mut right, mut wrong) = (0, Vec::new());
    for row in &rows {
        let (verdict, name, _) = judged(row);
        assert_eq!(verdict, Verdict::Wrong, "{row}");
        match name {
            Some(name) if names(row).contains(&name) => right += 1,
            Some(name) => wrong.push(format!("{}: {name}", text(row, "id"))),
            None => {}
        }
    }
    let count = rows.len();
    assert!(count >= 300);
    assert!(right * 100 >= rightly * count, "{right} of {count}");
    assert!(wrong.len() * 100 <= wrongly * count, "{wrong:?}");
}

#[test]
fn slips_are_named() {
    check_slips("slips_independent", 97, 2);
}

#[test]
fn slips_of_the_second_corpus_are_named() {
    check_slips("slips_second", 96, 4);
}

#[test]
fn what_no_slip_explains_gets_no_name() {
    for file in ["unexplained_independent", "unexplained_second"] {
        let rows = rows(file);
        assert!(rows.len() >= 60);
        for row in &rows {
            let (verdict, name, _) = judged(row);
            assert_eq!((verdict, name), (Verdict::Wrong, None), "{row}");
        }
    }
}

/// What is said of a slip, three times each, to be read for sense.
#[test]
fn remarks_make_sense() {
    let mut told: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for file in ["slips_independent", "slips_second"] {
        for row in rows(file) {
            let (problem, mut vocabulary) = prepared(&row);
            let readings = read(text(&row, "answer"), &mut vocabulary, Undeclared::Declare)
                .expect("the answer can be read");
            let table = vocabulary.table();
            let (judgement, reading) = answer::judge(&problem, &readings, table);
            let slips = Slips::new(&problem, table);
            let Some(found) = explain(&problem, &slips, &reading.chain, &judgement, table) else {
                continue;
            };
            let remarks = Remarks {
                table,
                spelling: Spelling::Unicode,
                subject: problem.subject(),
            };
            let remark = remarks.explanation(&found);
            assert!(!remark.is_empty() && remark.ends_with('.'), "{remark}");
            let own = told.entry(found.slips[0].kind.key()).or_default();
            if own.len() < 5 && !own.iter().any(|other| other.ends_with(&remark)) {
                own.push(format!(
                    "  {} for {}: {}\n    {remark}",
                    text(&row, "formula"),
                    text(&row, "subject"),
                    text(&row, "answer")
                ));
            }
        }
    }
    let whole: Vec<String> = told
        .into_iter()
        .map(|(key, remarks)| format!("{key}\n{}", remarks.join("\n")))
        .collect();
    insta::assert_snapshot!("slip_remarks", whole.join("\n"));
}

/// At least so many in a hundred of the workings break where they should, and
/// none that should not is called complete or the reverse beyond the rest.
fn check_workings(file: &str, floor: usize) {
    let rows = rows(file);
    let mut right = 0;
    let mut faults = Vec::new();
    for row in &rows {
        let (problem, mut vocabulary) = prepared(row);
        let lines: Vec<Readings> = row["lines"]
            .as_array()
            .expect("lines")
            .iter()
            .map(|line| {
                let line = line.as_str().expect("a line of text");
                read(line, &mut vocabulary, Undeclared::Declare).expect("a readable line")
            })
            .collect();
        let table = vocabulary.table();
        let slips = Slips::new(&problem, table);
        let found = working::judge(&problem, &slips, &lines, table);
        let wanted = row["first_bad"].as_u64().map(|line| line as usize);
        let complete = row["complete"].as_bool().expect("complete or not");
        if found.first_bad == wanted && found.complete == complete {
            right += 1;
        } else {
            faults.push(format!("{}: {:?}", text(row, "id"), found.first_bad));
        }
        assert!(found.awarded <= found.available);
        let lost: usize = found.lost.iter().map(|loss| loss.marks).sum();
        assert_eq!(found.awarded + lost, found.available, "{row}");
    }
    let count = rows.len();
    assert!(count >= 100);
    assert!(right * 100 >= floor * count, "{faults:?}");
}

#[test]
fn the_first_bad_line_is_found() {
    check_workings("workings_independent", 98);
}

#[test]
fn the_first_bad_line_of_the_second_corpus_is_found() {
    check_workings("workings_second", 98);
}
