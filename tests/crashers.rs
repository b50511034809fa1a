//! What fuzzing found (`fuzz/README.md`), each with what must be true now.

use rejig::algebra::symbol::Domain;
use rejig::reason::isolate::{NoForm, Outcome, isolate};
use rejig::show::line::{Spelling, line};
use rejig::text::{Undeclared, Vocabulary, read, read_equation, read_preferred};

/// What is read is printed, reads again, and is printed the same.
fn check_back(typed: &str) {
    let mut vocabulary = Vocabulary::new();
    let readings = read(typed, &mut vocabulary, Undeclared::Declare)
        .unwrap_or_else(|fault| panic!("{typed:?}: {}", fault.render()));
    for side in readings.all().flat_map(|reading| &reading.chain) {
        for spelling in [Spelling::Unicode, Spelling::Ascii] {
            let first = line(side, vocabulary.table(), spelling);
            let again = read_preferred(&first, &mut vocabulary.clone(), Undeclared::Refuse)
                .unwrap_or_else(|fault| panic!("{typed:?}: {}", fault.render()));
            let [again] = <[_; 1]>::try_from(again.chain).expect("one side");
            let second = line(&again, vocabulary.table(), spelling);
            assert_eq!(first, second, "{typed:?}");
        }
    }
}

#[test]
fn what_is_printed_reads_back() {
    for typed in [
        "E_nλ",
        "E_λ2 m",
        "3E_{nλ} + Λ",
        "R_{2 + *x} m",
        "R_{a b}",
        "e V_Δv",
    ] {
        check_back(typed);
    }
}

#[test]
fn what_a_terminal_would_obey_is_part_of_no_name() {
    for typed in ["R_{a\u{1b}[31mb} = 2", "R_{a\u{202e}b} = 2", "R_{\u{7}}"] {
        let mut vocabulary = Vocabulary::new();
        let fault = read(typed, &mut vocabulary, Undeclared::Declare).expect_err(typed);
        let told = fault.render();
        assert!(!told.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{told:?}");
    }
    // A request's own letters come past the reader.
    let mut vocabulary = Vocabulary::new();
    let symbol = vocabulary.declare("R\u{1b}[31m", Domain::Real);
    assert_eq!(vocabulary.table().name(symbol), "R\\u{1b}[31m");
}

fn isolated(formula: &str, subject: &str, real: &[&str]) -> Outcome {
    let mut vocabulary = Vocabulary::new();
    for letter in real {
        vocabulary.declare(letter, Domain::Real);
    }
    let equation = read_equation(formula, &mut vocabulary, Undeclared::Declare).expect(formula);
    let subject = vocabulary.lookup(subject).expect(subject);
    isolate(&equation, subject, vocabulary.table())
}

#[test]
fn a_root_that_fits_in_a_corner_is_not_said_to_fit_nowhere() {
    for formula in ["y + 10 = x - a - sqrt(x)", "10 + b y = x - sqrt(x)"] {
        match isolated(formula, "x", &["x", "y"]) {
            Outcome::Solved { dropped, .. } => assert!(dropped.is_empty(), "{formula}"),
            other => panic!("{formula}: {other:?}"),
        }
    }
    // Here the other sign fits nowhere.
    match isolated("y = x + sqrt(x)", "x", &["x", "y"]) {
        Outcome::Solved { dropped, .. } => assert!(!dropped.is_empty()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_divides_by_nought_is_not_said_to_have_no_solution() {
    for (formula, subject) in [
        ("y = √(a/π) + a (b - b)", "a"),
        ("y = (a - (c - c) b)(d + b)/x", "b"),
    ] {
        let outcome = isolated(formula, subject, &["x", "y"]);
        let none = Outcome::NoClosedForm(NoForm::NoSolution);
        assert_ne!(outcome, none, "{formula}");
    }
}

#[test]
fn a_name_has_one_key_with_and_without_greek() {
    use rejig::text::vocabulary::canonical_key;
    for (greek, plain) in [
        ("E_λ", "E_lambda"),
        ("E_nλ", "E_nlambda"),
        ("E_λ2", "E_lambda2"),
        ("λ_0", "lambda0"),
        ("Δλ", "delta lambda"),
    ] {
        assert_eq!(canonical_key(greek), canonical_key(plain), "{greek}");
    }
}

#[test]
fn a_derivative_goes_along_when_letters_change() {
    let sheet = "topic g\nformula f: F = G x = dx/dt\n";
    let formulary = rejig::physics::formulary::Formulary::from_text("g.sheet", sheet);
    // `t` is known to the derivative alone.
    let faults = rejig::cli::proofread::faults(&formulary);
    assert!(
        faults.iter().any(|fault| fault
            .diagnostic
            .message
            .contains("can't be made the subject")),
        "x and t of dx/dt have no closed form"
    );
}
