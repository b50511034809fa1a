//! What can't be read, and the limits: each with its message.

use super::*;

#[test]
fn faults_with_carets() {
    check_fault("", "There is nothing to read.");
    check_fault("   ", "There is nothing to read.");
    check_fault(
        "(a + b",
        "This bracket is never closed.\n  (a + b\n  ^\n  (a + b\n        ^ ) was expected by here",
    );
    check_fault(
        "(a + b]",
        "A bracket is closed here by ], but ) was expected.\n  (a + b]\n        ^\n  (a + b]\n  ^ the bracket that it would close",
    );
    check_fault(
        "a + b)",
        "This bracket closes nothing.\n  a + b)\n       ^\nTake it out, or open a bracket in front of it.",
    );
    check_fault(
        "|a + b",
        "This bar is never closed.\n  |a + b\n  ^\n  |a + b\n        ^ | was expected by here",
    );
    check_fault(
        "a +",
        "Something is missing after +: a number, a letter or a bracket.\n  a +\n    ^",
    );
    check_fault(
        "a * / b",
        "Something is missing after *: a number, a letter or a bracket.\n  a * / b\n    ^",
    );
    check_fault(
        "* a",
        "A number, a letter or a bracket was expected in front of *.\n  * a\n  ^",
    );
    check_fault("()", "There is nothing between these brackets.\n  ()\n  ^^");
    check_fault(
        "a =",
        "There is nothing on the right of this equals sign.\n  a =\n    ^\nWrite something on both sides of =.",
    );
    check_fault(
        "= a",
        "There is nothing on the left of this equals sign.\n  = a\n  ^\nWrite something on both sides of =.",
    );
    check_fault(
        "a = = b",
        "There is nothing on the right of this equals sign.\n  a = = b\n    ^\nWrite something on both sides of =.",
    );
    check_fault(
        "1.2.3",
        "1.2.3 is not a number: it has more than one decimal point.\n  1.2.3\n  ^^^^^",
    );
    check_fault(
        "1,5 a",
        "A comma cannot stand inside a number here.\n  1,5 a\n  ^^^\nFor a decimal write a point: 1.5. For thousands leave the comma out.",
    );
    check_fault(
        "a ? b",
        "? has no meaning in a line of maths.\n  a ? b\n    ^",
    );
    check_fault(
        "a < b",
        "< is not read here: two sides are joined by =.\n  a < b\n    ^",
    );
    check_fault(
        "a \u{1b}[2J",
        "\\u{1b} has no meaning in a line of maths.\n  a \\u{1b}[2J\n    ^^^^^^",
    );
    check_fault(
        "2 3",
        "There is no operator in front of the number 3.\n  2 3\n  ^^^\nFor a product put the number first or write *; for a power write ^.",
    );
    check_fault(
        "½½",
        "There is no operator in front of the number ½.\n  ½½\n  ^^\nFor a product put the number first or write *; for a power write ^.",
    );
    check_fault(
        "a 2",
        "There is no operator in front of the number 2.\n  a 2\n  ^^^\nFor a product put the number first or write *; for a power write ^.",
    );
    check_fault(
        "πr2",
        "A number stands right behind r, and no symbol r2 is known here.\n  πr2\n   ^^\nFor a product write 2 r; for a power write r^2.",
    );
    check_fault(
        "sin",
        "sin has nothing to act on.\n  sin\n  ^^^\nWrite what it acts on in brackets: sin(x).",
    );
    check_fault(
        "sqrt + a",
        "sqrt has nothing to act on.\n  sqrt + a\n  ^^^^\nWrite what it acts on in brackets: sqrt(x).",
    );
    check_fault(
        "sin^2",
        "sin has nothing to act on.\n  sin^2\n  ^^^\nWrite what it acts on in brackets: sin(x).",
    );
    check_fault(
        "ln^-1 x",
        "ln to the power -1 could mean two things.\n  ln^-1 x\n  ^^\nWrite 1/ln(x) for one over it, or the inverse function by its name.",
    );
}

#[test]
fn letters_that_are_not_declared() {
    check_fault(
        "u + q",
        "There is no symbol q here.\n  u + q\n      ^\nDid you mean Q? Capital and small letters are different symbols.",
    );
    check_fault(
        "2as + w",
        "There is no symbol w here.\n  2as + w\n        ^",
    );
    check_fault("2aws", "There is no symbol w here.\n  2aws\n    ^");
    check_fault("m Δt", "There is no symbol Δt here.\n  m Δt\n    ^^");
    check_fault(
        "mv_1",
        "There is no symbol v_1 here.\n  mv_1\n   ^^^\nDid you mean v_0?",
    );
    check_fault(
        "m omega r",
        "There is no symbol omega here.\n  m omega r\n    ^^^^^",
    );
    check_fault(
        "lambbda t",
        "There is no symbol lambbda here.\n  lambbda t\n  ^^^^^^^\nDid you mean λ?",
    );
    let mut vocabulary = Vocabulary::new();
    for name in ["V", "E_k", "t"] {
        vocabulary.declare(name, Domain::Positive);
    }
    let mut check = |text: &str, expected: &str| {
        let fault = read(text, &mut vocabulary, Undeclared::Refuse).unwrap_err();
        assert_eq!(fault.kind, DiagnosticKind::UnknownSymbol);
        assert_eq!(fault.render(), expected);
    };
    check(
        "v/t",
        "There is no symbol v here.\n  v/t\n  ^\nDid you mean V? Capital and small letters are different symbols.",
    );
    check(
        "2E",
        "There is no symbol E here.\n  2E\n   ^\nDid you mean E_k?",
    );
    check(
        "2T",
        "There is no symbol T here.\n  2T\n   ^\nDid you mean t? Capital and small letters are different symbols.",
    );
    check(
        "2x",
        "There is no symbol x here.\n  2x\n   ^\nThe symbols here are E_k, V, t.",
    );
}

#[track_caller]
fn check_kind(text: &str, expected: Option<DiagnosticKind>) {
    for undeclared in [Undeclared::Declare, Undeclared::Refuse] {
        let mut vocabulary = sheet();
        let found = read(text, &mut vocabulary, undeclared).err().map(|fault| {
            let shown = fault.render();
            assert!(shown.len() < 2_000, "a long message");
            assert!(!shown.chars().any(|c| c.is_control() && c != '\n'));
            fault.kind
        });
        assert_eq!(
            found,
            expected,
            "{}",
            text.chars().take(40).collect::<String>()
        );
    }
}

/// At the limit and one past it.
#[test]
fn limits() {
    use DiagnosticKind::{NumberTooLarge, TooDeep, TooLong};
    let line = |length: usize| "a".repeat(length);
    check_kind(&line(2_000), None);
    check_kind(&line(2_001), Some(TooLong));
    check_kind(&"a+".repeat(500_000), Some(TooLong));
    check_kind(&"λ".repeat(2_000), None);
    check_kind(&"λ".repeat(2_001), Some(TooLong));
    let nested = |open: &str, close: &str, depth: usize| {
        format!("{}a{}", open.repeat(depth), close.repeat(depth))
    };
    check_kind(&nested("(", ")", 64), None);
    check_kind(&nested("(", ")", 65), Some(TooDeep));
    check_kind(&nested("(", ")", 900), Some(TooDeep));
    check_kind(&nested("sin(", ")", 32), None);
    check_kind(&nested("sin(", ")", 33), Some(TooDeep));
    check_kind(&nested("a^", "", 63), None);
    check_kind(&nested("a^", "", 64), Some(TooDeep));
    check_kind(&nested("-", "", 63), None);
    check_kind(&nested("-", "", 65), Some(TooDeep));
    check_kind(&nested("sin ", "", 63), None);
    check_kind(&nested("sin ", "", 65), Some(TooDeep));
    check_kind(&nested("√", "", 65), Some(TooDeep));
    check_kind(&format!("a{}", "²".repeat(5)), None);
    check_kind(&"(".repeat(100_000), Some(TooLong));
    check_kind(&"9".repeat(1_233), None);
    check_kind(&"9".repeat(1_234), Some(NumberTooLarge));
    check_kind("1e1233", None);
    check_kind("1e1234", Some(NumberTooLarge));
    check_kind("1e99999999999999999999", Some(NumberTooLarge));
    check_kind("2×10^9999", Some(NumberTooLarge));
    check_kind("9^9^9^9", None);
    check_kind("x^999999999", None);
}

#[test]
fn many_readings_are_capped() {
    let mut vocabulary = sheet();
    for text in [
        "a/2s + a/2t + a/2u + a/2v + b/2s + b/2t + c/2d + d/2c",
        "log x/2y + ln 2/x + e^-xt/RC + a/2*s + sqrt 2E/m + 1/2mv",
        "a/2s+".repeat(390).trim_end_matches('+'),
    ] {
        let readings = read(text, &mut vocabulary, Undeclared::Refuse).unwrap();
        assert_eq!(readings.all().count(), readings::MOST_READINGS);
    }
}

#[test]
fn the_number_of_sides() {
    let mut vocabulary = sheet();
    let mut kind = |text: &str, equation: bool| {
        if equation {
            read_equation(text, &mut vocabulary, Undeclared::Refuse).err()
        } else {
            read_expression(text, &mut vocabulary, Undeclared::Refuse).err()
        }
        .map(|fault| fault.kind)
    };
    assert_eq!(kind("a = b", true), None);
    assert_eq!(kind("a", true), Some(DiagnosticKind::WrongNumberOfSides));
    assert_eq!(
        kind("a = b = c", true),
        Some(DiagnosticKind::WrongNumberOfSides)
    );
    assert_eq!(kind("a", false), None);
    assert_eq!(
        kind("a = b", false),
        Some(DiagnosticKind::WrongNumberOfSides)
    );
}
