use super::*;
use crate::algebra::symbol::Domain;
use crate::reason::answer;
use crate::reason::rearrangement::Problem;
use crate::text::{Undeclared, Vocabulary, read};

/// The keys of what explains an answer.
fn keys(formula: &str, subject: &str, answer_text: &str) -> Vec<&'static str> {
    let mut vocabulary = Vocabulary::new();
    let symbol = vocabulary.declare(subject, Domain::Positive);
    let readings = read(formula, &mut vocabulary, Undeclared::Declare).expect("a formula");
    let equation = answer::equations(&readings.preferred).remove(0);
    let problem = Problem::new(equation, symbol, vocabulary.table());
    let slips = Slips::new(&problem, vocabulary.table());
    let readings = read(answer_text, &mut vocabulary, Undeclared::Declare).expect("an answer");
    let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
    explain(
        &problem,
        &slips,
        &reading.chain,
        &judgement,
        vocabulary.table(),
    )
    .map(|found| found.slips.iter().map(|slip| slip.kind.key()).collect())
    .unwrap_or_default()
}

/// Rows: formula, subject, wrong answer, keys any of which names it rightly.
fn check(rows: &[(&str, &str, &str, &[&str])]) {
    let mut faults = Vec::new();
    for (formula, subject, wrong, wanted) in rows {
        let found = keys(formula, subject, wrong);
        let fits = match &found[..] {
            [] => wanted.is_empty(),
            [only] => wanted.contains(only),
            _ => false,
        };
        if !fits {
            faults.push(format!(
                "{formula} for {subject}: {wrong}: {found:?}, not {wanted:?}"
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_examples_of_the_list() {
    check(&[
        (
            "v^2 = u^2 + 2as",
            "a",
            "(v^2 + u^2)/(2s)",
            &["sign-not-changed"],
        ),
        (
            "V = E - I(R + r)",
            "R",
            "(E - V)/I + r",
            &["minus-not-shared", "sign-not-changed"],
        ),
        ("v = u + at", "t", "v - u/a", &["one-term-divided"]),
        ("v = u + at", "t", "v/a - u", &["one-term-divided"]),
        (
            "1/f = 1/u + 1/v",
            "v",
            "v = f + v/u",
            &["one-term-multiplied"],
        ),
        ("v = ωA", "A", "A = ω/v", &["fraction-inverted"]),
        (
            "E = 1/2 m (ωA)^2",
            "ω",
            "sqrt(2E/(mA))",
            &["one-factor-powered", "square-lost"],
        ),
        ("c^2 = a^2 + b^2", "b", "c - a", &["root-shared-over-sum"]),
        (
            "v^2 = u^2 + 2as",
            "v",
            "u + sqrt(2as)",
            &["root-shared-over-sum"],
        ),
        (
            "E = 1/2 m v^2",
            "v",
            "sqrt(2E)/m",
            &["root-partly-taken", "order-of-undoing"],
        ),
        ("E = 1/2 m v^2", "v", "2 sqrt(E/m)", &["root-partly-taken"]),
        ("E = 1/2 m v^2", "v", "2E/m", &["root-forgotten"]),
        (
            "T = 2π sqrt(l/g)",
            "l",
            "g sqrt(T/(2π))",
            &["root-for-square"],
        ),
        ("V = 4/3 π r^3", "r", "sqrt(3V/(4π))", &["wrong-root-index"]),
        (
            "1/R = 1/A + 1/B",
            "R",
            "A + B",
            &["reciprocal-shared-over-sum"],
        ),
        (
            "1/R = 1/A + 1/B",
            "R",
            "1/A + 1/B",
            &["reciprocal-forgotten"],
        ),
        ("F = ma", "m", "a/F", &["fraction-inverted"]),
        ("v = fλ", "f", "vλ", &["multiplied-for-divided"]),
        ("Q = It", "I", "Q - t", &["subtracted-for-divided"]),
        (
            "s = ut + 1/2 a t^2",
            "a",
            "2(s/t^2 - ut)",
            &["order-of-undoing", "one-term-divided"],
        ),
        ("E = 1/2 m v^2", "v", "sqrt(E/m)", &["coefficient-lost"]),
        ("E = 1/2 m v^2", "m", "E/(2v^2)", &["coefficient-flipped"]),
        ("g = GM/r^2", "M", "g r/G", &["square-lost"]),
        ("P = (a + b)/a", "P", "b", &["term-cancelled"]),
        (
            "1/f = 1/u + 1/v",
            "v",
            "v = f(1 + v/u)",
            &["subject-both-sides"],
        ),
        ("E = IR + Ir", "I", "E/R - r", &["factor-not-collected"]),
        ("E = IR + Ir", "I", "E/(Rr)", &["factor-not-collected"]),
        ("n = sin i/sin r", "n", "i/r", &["function-as-factor"]),
        (
            "nλ = d sin θ",
            "θ",
            "1/sin(nλ/d)",
            &["inverse-as-reciprocal"],
        ),
        ("nλ = d sin θ", "θ", "nλ/d", &["inverse-function-forgotten"]),
        (
            "N = M e^(-λt)",
            "t",
            "ln M/(λ ln N)",
            &["log-quotient-wrong"],
        ),
        ("N = M e^(-λt)", "t", "ln(N/M)/λ", &["exponent-sign-lost"]),
        (
            "V = W e^(-t/(RC))",
            "V",
            "-W t/(RC)",
            &["exponent-brought-down"],
        ),
        ("v = u + at", "u", "V - at", &["wrong-letter"]),
        ("a = (v - u)/t", "a", "(u - v)/t", &["swapped-pair"]),
        (
            "v^2 = u^2 + 2as",
            "a",
            "s = (v^2 - u^2)/(2a)",
            &["wrong-subject"],
        ),
        ("A = πr^2", "A", "π d^2", &["radius-diameter"]),
        (
            "T = 2π sqrt(l/g)",
            "T",
            "6.28 sqrt(l/g)",
            &["constant-rounded"],
        ),
    ]);
}

#[test]
fn right_answers_have_no_slip() {
    check(&[
        ("v^2 = u^2 + 2as", "a", "(v^2 - u^2)/(2s)", &[]),
        ("E = 1/2 m v^2", "v", "sqrt(2E/m)", &[]),
        ("v = fλ", "f", "v/λ", &[]),
    ]);
}

#[test]
fn nothing_is_said_where_nothing_fits() {
    check(&[
        ("v^2 = u^2 + 2as", "a", "v u s", &[]),
        ("E = 1/2 m v^2", "v", "E^3 + m", &[]),
        ("v = fλ", "f", "7 v^3 λ^2", &[]),
        ("T = 2π sqrt(l/g)", "l", "T + g", &[]),
        // A right answer but for a part in 10^15 is on no wrong path.
        (
            "W = G M m (1/R - 1/r)",
            "r",
            "1.000000000000001 (G M R m/(G M m - R W))",
            &[],
        ),
        (
            "g = 4/3 π G ρ r",
            "G",
            "3g/(4π r (1.000000000000001 ρ))",
            &[],
        ),
        // Nor is a plain number that some wrong path leads to.
        ("E = V/d", "d", "V/V", &[]),
    ]);
}

#[test]
fn answers_with_few_values_are_named_too() {
    check(&[
        (
            "d sin θ = n λ",
            "θ",
            "arcsin(nλd)",
            &["multiplied-for-divided"],
        ),
        ("d sin θ = n λ", "θ", "arcsin(nλ)/d", &["order-of-undoing"]),
        (
            "v = ω sqrt(A^2 - x^2)",
            "x",
            "sqrt(A^2 - v^2/ω)",
            &["one-factor-powered", "square-lost"],
        ),
    ]);
}

#[test]
fn what_the_second_corpus_showed() {
    check(&[
        ("g = GM/r^2", "M", "(gr)^2/G", &["power-too-wide"]),
        (
            "t = s ln((E + V)/V)",
            "E",
            "V e^(t/s) - 1",
            &["one-term-multiplied"],
        ),
        ("n = sin(i)/sin(r)", "r", "i/n", &["function-as-factor"]),
        (
            "V = U e^(-t/(RC))",
            "R",
            "-tU/(CV)",
            &["exponent-brought-down"],
        ),
        (
            "N = M e^(-λ t)",
            "t",
            "M/(N λ)",
            &["inverse-function-forgotten", "exponent-brought-down"],
        ),
        ("m u + M w = (m + M)V", "V", "u + w", &["term-cancelled"]),
        ("η = (T - S)/T", "S", "T - η", &["one-term-multiplied"]),
        ("P t = m c θ + H", "c", "(P t - H)/(m t)", &["wrong-letter"]),
    ]);
}
