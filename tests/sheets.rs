//! The embedded sheets, held against the rest of the house.

use rejig::reason::isolate::{Outcome, isolate};
use rejig::show::formulae::{COLUMNS, topic, topics};
use rejig::store::sheets::{add_from_disk, embedded};
use unicode_width::UnicodeWidthStr;

/// Subjects that `isolate` finds no closed form for, each with its reason.
const NO_CLOSED_FORM: &[&str] = &[];

#[test]
fn every_subject_of_every_formula_can_be_reached() {
    let formulary = embedded();
    let mut failed = Vec::new();
    let mut count = 0;
    for (topic, formula, subject) in formulary.questions() {
        count += 1;
        let table = topic.vocabulary.table();
        let item = format!("{} {}", topic.formula_key(formula), table.name(subject));
        match isolate(&formula.equation, subject, table) {
            Outcome::Solved { solutions, .. } if !solutions.is_empty() => {}
            _ if NO_CLOSED_FORM.contains(&item.as_str()) => {}
            other => failed.push(format!("{item}: {other:?}")),
        }
    }
    assert!(count > 600, "{count} questions");
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

#[test]
fn every_topic_fits_the_terminal() {
    let formulary = embedded();
    let mut shown = topics(&formulary);
    for one in &formulary.topics {
        shown.push_str(&topic(one));
    }
    for line in shown.lines() {
        assert!(line.width() <= COLUMNS, "{line}");
    }
}

#[test]
fn enough_of_everything() {
    let formulary = embedded();
    let count = |of: fn(&rejig::physics::formulary::Topic) -> usize| -> usize {
        formulary.topics.iter().map(of).sum()
    };
    assert!(count(|topic| topic.formulae.len()) >= 380);
    assert!(count(|topic| topic.proofs.len()) >= 110);
    assert!(count(|topic| topic.definitions.len()) >= 70);
    assert!(count(|topic| topic.notations.len()) >= 60);
    for topic in &formulary.topics {
        assert!(!topic.notations.is_empty(), "{}", topic.key);
        for formula in &topic.formulae {
            assert!(
                formula.condition.is_some(),
                "{}",
                topic.formula_key(formula)
            );
        }
        for proof in &topic.proofs {
            let last = proof.route.last().map(|line| line.text());
            assert_eq!(
                last,
                Some(proof.goal.text()),
                "{}/{}",
                topic.key,
                proof.name
            );
            assert!(!proof.marks.is_empty(), "{}/{}", topic.key, proof.name);
        }
    }
}

#[test]
fn sheets_from_disk() {
    let folder = std::env::temp_dir().join(format!("rejig-sheets-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("inner")).expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).expect("a file");
        path
    };
    write(
        "inner/shared.sheet",
        "quantity t: time, s\ninclude \"../main.sheet\"\n",
    );
    let main = write(
        "main.sheet",
        "topic mine\ninclude \"inner/shared.sheet\"\nv = s/t\ninclude \"gone.sheet\"\n",
    );
    let mut formulary = embedded();
    let before = formulary.topics.len();
    assert_eq!(add_from_disk(&mut formulary, &main), Ok(()));
    assert_eq!(formulary.topics.len(), before + 1);
    let messages: Vec<String> = formulary
        .faults
        .iter()
        .map(|fault| fault.diagnostic.message.clone())
        .collect();
    assert_eq!(messages.len(), 2, "{messages:?}");
    assert!(messages[0].contains("includes itself"));
    assert!(messages[1].starts_with("there is no file `") && messages[1].contains("gone.sheet"));
    let missing = add_from_disk(&mut formulary, &folder.join("none.sheet"));
    assert!(missing.is_err_and(|message| message.starts_with("there is no file `")));
    let directory = add_from_disk(&mut formulary, &folder);
    assert!(directory.is_err_and(|message| message.ends_with("is not a file")));
    std::fs::remove_dir_all(&folder).expect("removed");
}
