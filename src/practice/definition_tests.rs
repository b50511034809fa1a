//! Rows for wordings of definitions.

use super::*;
use crate::physics::formulary::Formulary;

fn sheets() -> Formulary {
    let mut formulary = Formulary::new();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/formulae");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "sheet"))
        .collect();
    names.sort();
    for path in names {
        let bytes = std::fs::read(&path).expect("sheets are readable");
        let name = path.to_string_lossy();
        formulary.add(&name, &bytes, &mut |_, _| Err(String::new()));
    }
    formulary
}

/// `right`, `wrong missing a`, `unreadable Words b, c`, in short.
fn check(term: &str, wording: &str, expected: &str) {
    let formulary = sheets();
    let (topic, definition) = find(&formulary, term).expect("it is defined");
    let wordings = Wordings::new(&formulary, topic, definition).expect("it is judged");
    let judged = wordings.judge(wording);
    let told = match &judged.verdict {
        WordsVerdict::Right if judged.unit_for_quantity => "right unit".to_owned(),
        WordsVerdict::Right if judged.other_reading => "right other reading".to_owned(),
        WordsVerdict::Right => "right".to_owned(),
        WordsVerdict::Wrong if judged.missing.is_empty() => "wrong".to_owned(),
        WordsVerdict::Wrong => format!("wrong missing {}", judged.missing.join(", ")),
        WordsVerdict::Undecided => "undecided".to_owned(),
        WordsVerdict::Unreadable(unread) => {
            let words: Vec<&str> = unread.words.iter().map(|span| span.of(wording)).collect();
            format!("unreadable {:?} {}", unread.trouble, words.join(", "))
        }
    };
    let marks = format!("{told} {}/{}", judged.awarded, judged.available);
    assert_eq!(marks, expected, "{term}: {wording}");
}

#[test]
fn verdicts_marks_and_reasons() {
    check("capacitance", "charge per unit voltage", "right 1/1");
    check(
        "capacitance",
        "charge per unit voltage squared",
        "wrong 0/1",
    );
    check(
        "capacitance",
        "the capacitance is the charge divided by the pd",
        "right 1/1",
    );
    check("capacitance", "charge per volt", "right unit 1/1");
    check(
        "capacitance",
        "charge per volt per banana",
        "unreadable Words banana 0/1",
    );
    check("capacitance", "", "unreadable Empty  0/1");
    check(
        "moment",
        "force times distance",
        "wrong missing perpendicular 1/2",
    );
    check("moment", "force times perpendicular distance", "right 2/2");
    check(
        "moment",
        "force per unit perpendicular distance",
        "wrong 1/2",
    );
    check(
        "specific heat capacity",
        "energy divided by mass times temperature change",
        "right other reading 1/1",
    );
    check(
        "specific heat capacity",
        "energy per unit mass times temperature change",
        "wrong 0/1",
    );
    check(
        "resistance",
        "voltage current ratio",
        "unreadable NoOperation current 0/1",
    );
    check("current", "charge time", "unreadable NoOperation time 0/1");
    check("current", "coulombs", "unreadable Unit coulombs 0/1");
    check(
        "current",
        "not the rate of flow of charge",
        "unreadable Words not 0/1",
    );
    check("acceleration", "velocity per unit time", "wrong 0/1");
    check(
        "momentum",
        "the momentum times one",
        "unreadable Circular momentum 0/1",
    );
}

#[test]
fn hostile_sentences() {
    let formulary = sheets();
    let (topic, definition) = find(&formulary, "current").expect("it is defined");
    let wordings = Wordings::new(&formulary, topic, definition).expect("it is judged");
    for text in [
        "half ".repeat(400),
        "square of ".repeat(190),
        "product of ".repeat(170),
        "ratio of charge to ".repeat(100),
        "charge per ".repeat(170),
        "and ".repeat(500),
        "one ".repeat(500),
        "(".repeat(2_000),
        "\u{202e}\0charge".to_owned(),
        "charge ".repeat(1_000),
        "²".repeat(2_000),
    ] {
        let judged = wordings.judge(&text);
        assert!(!judged.is_right(), "{text}");
    }
}

#[test]
fn definitions_that_are_no_algebra_are_not_judged() {
    let formulary = sheets();
    let mut judged = 0;
    let mut others = Vec::new();
    for topic in &formulary.topics {
        for definition in &topic.definitions {
            match Wordings::new(&formulary, topic, definition) {
                Some(_) => judged += 1,
                None => others.push(definition.term.as_str()),
            }
        }
    }
    assert_eq!(others.join(", "), "");
    assert!(judged >= 45, "{judged}");
}
