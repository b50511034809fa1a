//! Definitions in words: rows of right and wrong wordings for each term of
//! the sheets (`tests/wordings/rows.txt`), judged by the library.

use std::collections::BTreeMap;

use rejig::practice::definition::{Wordings, WordsVerdict, find};
use rejig::store::sheets::embedded;

const ROWS: &str = include_str!("wordings/rows.txt");

#[test]
fn right_and_wrong_wordings() {
    let formulary = embedded();
    let mut prepared: BTreeMap<&str, Wordings> = BTreeMap::new();
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut bad = Vec::new();
    let mut term = "";
    for line in ROWS.lines().filter(|line| !line.starts_with('#')) {
        let (label, wording) = match line.split_at_checked(2) {
            Some(("+ ", wording)) => (true, wording),
            Some(("- ", wording)) => (false, wording),
            _ => {
                term = line.trim();
                let (topic, definition) =
                    find(&formulary, term).unwrap_or_else(|| panic!("no term {term}"));
                let wordings = Wordings::new(&formulary, topic, definition)
                    .unwrap_or_else(|| panic!("{term} is not judged"));
                prepared.insert(term, wordings);
                continue;
            }
        };
        let judged = prepared[term].judge(wording);
        let count = counts.entry(term).or_default();
        if label {
            count.0 += 1;
        } else {
            count.1 += 1;
        }
        let meets = match (&judged.verdict, label) {
            (WordsVerdict::Right, true) => true,
            (WordsVerdict::Wrong, false) => true,
            _ => false,
        };
        if !meets {
            bad.push(format!(
                "{line} [{term}] -> {:?} {:?}",
                judged.verdict, judged.value
            ));
        }
    }
    for (term, (right, wrong)) in &counts {
        assert!(
            *right >= 5 && *wrong >= 5,
            "{term}: {right} right, {wrong} wrong"
        );
    }
    assert!(counts.len() >= 40, "{} terms", counts.len());
    assert!(bad.is_empty(), "{} rows\n{}", bad.len(), bad.join("\n"));
}
