//! Definitions in words: rows of right and wrong wordings for each term of
//! the sheets (`tests/wordings/rows.txt`), judged by the library.

use std::collections::BTreeMap;

use rejig::practice::definition::{Judged, Wordings, WordsVerdict, find};
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
        let meets = judged.verdict
            == if label {
                WordsVerdict::Right
            } else {
                WordsVerdict::Wrong
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

fn judged(term: &str, wording: &str) -> Judged {
    let formulary = embedded();
    let (topic, definition) = find(&formulary, term).expect("it is defined");
    let wordings = Wordings::new(&formulary, topic, definition).expect("it is judged");
    wordings.judge(wording)
}

/// `right`, `wrong missing a`, `unreadable Words b, c`, in short.
fn check(term: &str, wording: &str, expected: &str) {
    let judged = judged(term, wording);
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
    // What once slipped through, when words were changed at random.
    for wording in [
        "energy transferred per coulomb of current",
        "energy lost per unit charge",
        "maximum rate of change of the energy",
        "energy transferred per unit charge and the charge",
        "energy transferred per unit charge in the vertical direction",
    ] {
        let judged = judged("electromotive force", wording);
        assert!(!judged.is_right(), "{wording}");
    }
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
    check("current", "coulombs", "wrong 0/1");
    check("current", "coulombs per second", "right unit 1/1");
    check(
        "current",
        "not the rate of flow of charge",
        "unreadable Words not 0/1",
    );
    check("acceleration", "velocity per unit time", "wrong 0/1");
    check(
        "momentum",
        "the momentum times one",
        "unreadable Circular one 0/1",
    );
}

/// What was once accepted, when wordings were written or changed by hand or at
/// random, and must not be.
#[test]
fn wrong_wordings_that_slipped_through() {
    for (term, wording) in [
        (
            "specific heat capacity",
            "joules divided by mass, times the rise in temperature",
        ),
        (
            "specific heat capacity",
            "energy needed to change the frequency of 1 kg of material by 1 °C",
        ),
        (
            "specific heat capacity",
            "the energy needed to raise the current of 1 kg of a substance by 1 K",
        ),
        ("activity", "the fraction of nuclei that decay per second"),
        ("power", "twice the power is the rate of doing work"),
        (
            "power",
            "the current of a machine is the work that it does divided by the time",
        ),
        (
            "moment",
            "the square of the turning effect of a force, equal to the force times the perpendicular distance from the pivot",
        ),
        (
            "resistivity",
            "RA/L, where R is the resistance, A the cross section area and L the length of the wire cubed",
        ),
        (
            "angular momentum",
            "Iω, with I the moment of inertia and ω the angular time",
        ),
        (
            "refractive index",
            "c/v, where c is the pressure of light in a vacuum and v its speed in the glass",
        ),
    ] {
        assert!(!judged(term, wording).is_right(), "{term}: {wording}");
    }
}

/// Wordings that differ from right ones in a word or two.
#[test]
fn near_misses() {
    for (term, right, wrong) in [
        (
            "potential difference",
            "energy transferred from electrical to other forms per unit charge",
            "energy transferred from chemical to electrical energy per unit charge",
        ),
        (
            "electromotive force",
            "energy transferred from other forms to electrical per unit charge",
            "energy transferred from electrical to other forms per unit charge",
        ),
        (
            "binding energy",
            "energy needed to separate a nucleus into its nucleons",
            "energy released when a nucleus is separated into its nucleons",
        ),
        (
            "binding energy",
            "energy released when a nucleus is formed from its nucleons",
            "energy needed to remove one nucleon from a nucleus",
        ),
        (
            "time constant",
            "time for the charge to fall to 37%",
            "time for the charge to fall by 37%",
        ),
        (
            "refractive index",
            "its speed in a vacuum divided by the speed it has when it travels in the glass",
            "its speed in the glass divided by that in a vacuum",
        ),
        (
            "activity",
            "the number of nuclei in a source that decay per unit time",
            "the number of nuclei left in a source per unit time",
        ),
        (
            "efficiency of an engine",
            "work got out divided by the heat taken in from the hot source",
            "work got out divided by the heat given out to the cold sink",
        ),
        (
            "acceleration",
            "the gradient of a graph of velocity against time",
            "the gradient of a graph of displacement against time",
        ),
        (
            "impulse",
            "the area under a force-time graph",
            "the gradient of a force-time graph",
        ),
        (
            "strain",
            "ΔL/L, where ΔL is the extension and L the natural length",
            "L/ΔL, where ΔL is the extension and L the natural length",
        ),
        (
            "resistance",
            "volts divided by amps",
            "amps divided by volts",
        ),
        ("rest energy", "mc squared", "mc"),
        (
            "radiant flux",
            "energy radiated per second",
            "the energy radiated",
        ),
        (
            "momentum",
            "mass times velocity, in kg m s^-1",
            "mass times velocity, in newtons",
        ),
    ] {
        assert!(judged(term, right).is_right(), "{term}: {right}");
        assert!(!judged(term, wrong).is_right(), "{term}: {wrong}");
    }
}

#[test]
fn slips_of_spelling() {
    let near = judged(
        "resistance",
        "the potential diffrence divided by the curent",
    );
    assert!(near.is_right());
    assert_eq!(near.spelt.len(), 2);
    assert!(near.has_remark());
    // A word of its own is no slip: `friction` is one letter from `fraction`.
    let apart = judged(
        "efficiency",
        "the friction of the energy supplied that is useful",
    );
    assert!(!apart.is_right());
    let short = judged("density", "mas per unit volume");
    assert!(matches!(short.verdict, WordsVerdict::Unreadable(_)));
}

#[test]
fn hostile_sentences() {
    let formulary = embedded();
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
        "dividing ".repeat(200),
        "dividing it by ".repeat(120),
        "where a is, ".repeat(150),
        "= ".repeat(900),
        ", so ".repeat(400),
        "(in m)".repeat(300),
        "gradient of ".repeat(150),
    ] {
        let judged = wordings.judge(&text);
        assert!(!judged.is_right(), "{text}");
    }
}

#[test]
fn definitions_that_are_no_algebra_are_not_judged() {
    let formulary = embedded();
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
    for term in ["radian", "coherent sources", "node", "mole"] {
        assert!(others.contains(&term), "{term}");
    }
    assert!(judged >= 60, "{judged}");
}

#[test]
fn letters_are_explained_in_any_order() {
    for (term, wording) in [
        (
            "capacitance",
            "C = Q/V, Q being the charge stored and V the p.d. across it; the unit is the farad.",
        ),
        (
            "charge",
            "Q = I × t. I is a steady current in amperes, t is how long it runs in seconds, Q is in coulombs.",
        ),
        (
            "resistivity",
            "RA/L; R = resistance of the wire, A = its cross-sectional area, L = length",
        ),
        (
            "binding energy",
            "mass defect × c², c = speed of light in vacuum",
        ),
        (
            "acoustic impedance",
            "Z = ρc: ρ density of tissue, c speed of ultrasound in it",
        ),
        (
            "period",
            "T = 1/f; f is number of oscillations per second, and T the seconds which one whole oscillation lasts.",
        ),
        (
            "activity",
            "λN — decay constant times number of undecayed nuclei",
        ),
    ] {
        let judged = judged(term, wording);
        assert!(judged.is_right(), "{term}: {wording}: {judged:?}");
    }
    // A letter that is explained as another quantity, a formula turned over.
    for (term, wording) in [
        (
            "capacitance",
            "C = Q/V, Q being the energy stored and V the p.d. across it",
        ),
        (
            "capacitance",
            "C = V/Q, Q being the charge stored and V the p.d. across it",
        ),
        (
            "capacitance",
            "C = Q/V, V being the charge stored and Q the p.d. across it",
        ),
        ("density", "m/V, m the mass of a block and V its speed"),
    ] {
        let judged = judged(term, wording);
        assert!(!judged.is_right(), "{term}: {wording}");
    }
}

#[test]
fn what_makes_another_thing_of_it_is_not_accepted() {
    for (term, wording) in [
        (
            "electromotive force",
            "energy given by each charge to the source",
        ),
        (
            "electromotive force",
            "energy given per unit charge to a source",
        ),
        (
            "work",
            "product of the force and the distance moved in the direction of motion",
        ),
        (
            "work function",
            "minimum energy to remove all electrons from the surface",
        ),
        (
            "threshold frequency",
            "least frequency of electrons from the surface of a metal",
        ),
        (
            "binding energy",
            "energy needed to take an atom apart into its nucleons",
        ),
        ("displacement", "distance moved in all directions"),
        ("acceleration", "rate of decrease of velocity"),
        ("wavelength", "the distance from a crest to the next trough"),
    ] {
        assert!(!judged(term, wording).is_right(), "{term}: {wording}");
    }
}

#[test]
fn what_was_once_called_wrong_is_not() {
    for (term, wording) in [
        (
            "work",
            "component of force along the motion times distance gone",
        ),
        (
            "efficiency",
            "fraction of the input power which comes out in the form you want",
        ),
        (
            "displacement",
            "how far something is from where it began, along with which way",
        ),
        (
            "decay constant",
            "chance of any one nucleus decaying per unit time",
        ),
        ("wavelength", "crest to next crest, measured in metres"),
        ("wavelength", "distance travelled by the wave in one period"),
        (
            "pressure",
            "It's how many newtons press straight onto each square metre of a surface.",
        ),
        ("period", "time of an oscillation"),
        ("spring constant", "tension per unit extension"),
        ("capacitance", "charge per potential"),
    ] {
        let judged = judged(term, wording);
        assert_ne!(
            judged.verdict,
            WordsVerdict::Wrong,
            "{term}: {wording}: {judged:?}"
        );
    }
}
