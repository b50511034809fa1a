//! The embedded sheets, held against the rest of the house.

use rejig::physics::constant::{agrees, find};
use rejig::physics::formulary::Formulary;
use rejig::physics::search::{Query, search};
use rejig::physics::unit::read_unit;
use rejig::reason::isolate::{Outcome, isolate};
use rejig::show::formulae::{COLUMNS, entry, listing, proof, topic, topics};
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
    for columns in [COLUMNS, 40] {
        let mut shown = topics(&formulary, columns);
        for one in &formulary.topics {
            shown.push_str(&topic(one, columns));
            for formula in &one.formulae {
                shown.push_str(&entry(one, formula, columns));
            }
            for shows in &one.proofs {
                shown.push_str(&proof(one, shows, columns));
            }
        }
        for line in shown.lines() {
            // A key or a factor stays whole.
            let whole = !line.trim().contains(' ');
            assert!(line.width() <= columns || whole, "{line}");
        }
    }
}

const SHEET: &str = "topic cells: Cells and the potential difference between their terminals
quantity E: electromotive force, V
quantity V (pd): potential difference between the terminals, V, real
quantity I: current, A
quantity r: internal resistance, Ω
constant e = 1.60e-19 C: elementary charge
formula terminal: V = E - I r
  when the cell gives a current and nothing else in the circuit has an electromotive force
formula lost: E - V = I r
define internal resistance: resistance to the current within a cell
proof lost-volts: Show that the potential difference falls in a straight line as the current grows.
  when the internal resistance is constant
  given E = V + I r
  show V = E - I r
  route V + I r = E ; V = E - I r
  mark A1 when the result is shown
notation epsilon: E -> ε
";

#[test]
fn what_is_shown_at_two_widths() {
    let formulary = Formulary::from_text("cells.sheet", SHEET);
    let cells = formulary.topic("cells").expect("cells");
    let formula = cells.formula("terminal").expect("the formula");
    let lost = cells.proof("lost-volts").expect("the proof");
    let query = Query {
        anything: Some("internal"),
        ..Query::default()
    };
    for columns in [80, 40] {
        let shown = [
            topics(&formulary, columns),
            topic(cells, columns),
            entry(cells, formula, columns),
            proof(cells, lost, columns),
            listing(&search(&formulary, &query), columns),
        ];
        insta::assert_snapshot!(format!("formulae_{columns}"), shown.join("----\n"));
    }
}

/// Constants that no table of fundamental constants has.
const ELSEWHERE: &[&str] = &["g", "R_H", "E_R", "d_E", "d_10"];

#[test]
fn constants_agree_with_codata_to_the_figures_written() {
    let formulary = embedded();
    let mut count = 0;
    for topic in &formulary.topics {
        for constant in &topic.constants {
            let symbol = topic.vocabulary.table().name(constant.symbol);
            let published: Vec<_> = find(constant.name.as_deref(), symbol).collect();
            if published.is_empty() {
                assert!(ELSEWHERE.contains(&symbol), "{}/{symbol}", topic.key);
                continue;
            }
            let unit = constant.unit.as_ref().expect("a unit");
            for row in published {
                let own = read_unit(row.unit).expect("a unit");
                assert_eq!(unit.dimension, own.dimension, "{}/{symbol}", topic.key);
                let exact = row.value * own.scale / unit.scale;
                assert!(
                    agrees(constant.value, constant.figures, exact),
                    "{}/{symbol}: {} is not {exact}",
                    topic.key,
                    constant.value
                );
                count += 1;
            }
        }
    }
    assert!(count >= 25, "{count}");
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
