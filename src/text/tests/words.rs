//! Words among the maths: read where they can mean one thing only, else a
//! fault that names them, never a product of their letters.

use super::*;

/// Letters of several formulae, as an answer is read against them.
fn letters() -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for name in ["E_k", "m", "v", "u", "a", "t", "q", "θ", "n_1"] {
        vocabulary.declare(name, Domain::Positive);
    }
    vocabulary
}

#[track_caller]
fn check_words(text: &str, same_as: &str) {
    let mut vocabulary = letters();
    let read_words = read(text, &mut vocabulary, Undeclared::Refuse);
    let expected = read(same_as, &mut letters(), Undeclared::Refuse).expect("plain maths");
    match read_words {
        Ok(readings) => assert_eq!(
            side_by_side(&readings.preferred.chain, vocabulary.table()),
            side_by_side(&expected.preferred.chain, vocabulary.table()),
            "{text}"
        ),
        Err(fault) => panic!("{text}: {fault}"),
    }
}

#[track_caller]
fn check_word_fault(text: &str, expected: &str) {
    let fault = read(text, &mut letters(), Undeclared::Refuse).unwrap_err();
    assert_eq!(fault.kind, DiagnosticKind::Word, "{text}: {fault}");
    assert_eq!(fault.render(), expected);
}

#[test]
fn words_that_say_one_thing() {
    for (text, same_as) in [
        ("the square root of (2E_k/m)", "sqrt(2E_k/m)"),
        ("square root (2E_k/m)", "sqrt(2E_k/m)"),
        ("sqrt of (m)", "sqrt(m)"),
        ("cube root of (m)", "cbrt(m)"),
        ("half m v squared", "½ m v²"),
        ("(u + v) cubed", "(u + v)³"),
        ("sin squared θ", "sin² θ"),
        ("E_k divided by (m times v)", "E_k/(m*v)"),
        ("E_k over mv", "E_k/mv"),
        ("E_k divided by m divided by v", "E_k/m/v"),
        ("m multiplied by v", "m*v"),
        ("u plus a times t", "u + a*t"),
        ("(v minus u)/a", "(v - u)/a"),
        ("t equals (v-u)/a", "t = (v-u)/a"),
        ("t is equal to (v-u)/a", "t = (v-u)/a"),
        ("v to the power of 2", "v^2"),
        ("SQRT(2E_k/m)", "sqrt(2E_k/m)"),
        ("m SIN θ", "m sin θ"),
    ] {
        check_words(text, same_as);
    }
}

#[test]
fn a_cross_is_a_sign_where_there_is_no_x() {
    check_words("0.5 x m x v^2", "0.5*m*v^2");
    check_words("0.5xmxv^2", "0.5*m*v^2");
    check_words("m X v", "m*v");
    check_words("m x (v)", "m*(v)");
    check_words("m x sin θ", "m*sin θ");
    let mut vocabulary = letters();
    vocabulary.declare("x", Domain::Positive);
    let readings = read("m x v", &mut vocabulary, Undeclared::Refuse).expect("letters");
    assert_eq!(
        side_by_side(&readings.preferred.chain, vocabulary.table()),
        "(m*x*v)"
    );
    // Not at an end, nor where new letters are welcome.
    assert!(read("m x", &mut letters(), Undeclared::Refuse).is_err());
    let readings = read("m x v", &mut letters(), Undeclared::Declare).expect("letters");
    assert!(matches!(&readings.preferred.chain[0], Expr::Product(factors) if factors.len() == 3));
}

#[test]
fn pasted_from_typesetting() {
    check_words("\\frac{v-u}{a}", "((v-u)/(a))");
    check_words("\\sqrt{\\frac{2E_k}{m}}", "sqrt((2E_k)/m)");
    check_words("$m\\left(v-u\\right)$", "m(v-u)");
    check_words("m \\cdot v \\times u", "m*v*u");
    check_words("\\sin^{2}\\theta", "sin^2 θ");
    check_words("\\sqrt[3]{m}", "cbrt(m)");
    assert!(read("\\sqrt[4]{m}", &mut letters(), Undeclared::Refuse).is_err());
    assert!(read("\\frac12", &mut letters(), Undeclared::Refuse).is_err());
}

#[test]
fn marks_around_a_line() {
    check_words("(v-u)/a.", "(v-u)/a");
    check_words("“(v-u)/a”", "(v-u)/a");
    check_words("m.v²", "m*v²");
    check_words("³√(m)", "∛(m)");
    check_words("m ln0.5", "m ln(0.5)");
}

#[test]
fn words_that_say_nothing_here() {
    check_word_fault(
        "(v-u)/a seconds",
        "seconds is a unit here, not a quantity.\n  (v-u)/a seconds\n          ^^^^^^^\nLeave units out of a formula.",
    );
    check_word_fault(
        "(v-u)/a s",
        "s is a unit here, not a quantity.\n  (v-u)/a s\n          ^\nLeave units out of a formula.",
    );
    check_word_fault(
        "v m/s",
        "m/s is a unit here, not a quantity.\n  v m/s\n    ^^^\nLeave units out of a formula.",
    );
    check_word_fault(
        "v = u or v = -u",
        "This line gives two answers.\n  v = u or v = -u\n        ^^\nGive one; for two roots of opposite sign type ± (or +-) in front of the root.",
    );
    check_word_fault(
        "v - u over a",
        "What \"over\" divides, and by what, can't be seen.\n  v - u over a\n        ^^^^\nPut brackets around the top and the bottom: (a + b)/(c d).",
    );
    check_word_fault(
        "force/a",
        "force is a word, and this line is maths.\n  force/a\n  ^^^^^\nLeave words out, or type what they say in letters and signs.",
    );
    check_word_fault(
        "m sin θ squared",
        "This may be the power of the function or of what it acts on.\n  m sin θ squared\n          ^^^^^^^\nPut brackets around what is meant: (sin x)^2 or sin(x^2).",
    );
    for text in [
        "v-u all over a",
        "m divided by v times u",
        "inverse sin (m)",
        "sqr(m)",
        "idk",
        "not sure",
    ] {
        let fault = read(text, &mut letters(), Undeclared::Refuse).unwrap_err();
        assert_eq!(fault.kind, DiagnosticKind::Word, "{text}: {fault}");
    }
}

#[test]
fn letters_of_the_sheet_are_no_words() {
    let mut vocabulary = Vocabulary::new();
    for name in ["o", "r", "h", "a", "l", "f", "s", "i", "is_2", "over"] {
        vocabulary.declare(name, Domain::Positive);
    }
    for (text, expected) in [
        ("o or r", "(o*o*r*r)"),
        ("half", "(h*a*l*f)"),
        ("is a", "(i*s*a)"),
        ("a over", "(a*over)"),
        ("a s", "(a*s)"),
    ] {
        let readings = read(text, &mut vocabulary, Undeclared::Refuse).expect(text);
        assert_eq!(
            side_by_side(&readings.preferred.chain, vocabulary.table()),
            expected
        );
    }
}

#[test]
fn a_logarithm_to_the_base_of_a_letter() {
    let mut vocabulary = letters();
    let fault = read("logv(u)", &mut vocabulary, Undeclared::Refuse).unwrap_err();
    assert_eq!(fault.kind, DiagnosticKind::NoMeaning);
    assert_eq!(
        fault.render(),
        "This may be a logarithm to the base v, or of v times what follows.\n  logv(u)\n  ^^^^\nFor the base v write ln(y)/ln(v); for the product write log(v (y))."
    );
    check_all("s^1/t", "((s^1)/t)", &[(Ambiguity::Exponent, "(s^(1/t))")]);
}
