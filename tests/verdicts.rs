//! Verdicts on typed answers and lines, through the library: a row a case.
//!
//! Undeclared symbols are positive. Each expectation is worked out by hand;
//! the large tables labelled by an independent library are in
//! `tests/outside/`.

use rejig::algebra::symbol::Domain;
use rejig::reason::answer;
use rejig::reason::equation::{Relation, relate};
use rejig::reason::rearrangement::Problem;
use rejig::reason::verdict::{Evidence, Judgement, Verdict};
use rejig::text::{Undeclared, Vocabulary, read};

fn vocabulary(domains: &str) -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for pair in domains.split_whitespace() {
        let (name, word) = pair.split_once(':').expect("name:domain");
        vocabulary.declare(name, Domain::from_keyword(word).expect("a domain"));
    }
    vocabulary
}

fn judged(domains: &str, formula: &str, subject: &str, typed: &str) -> Judgement {
    let mut vocabulary = vocabulary(domains);
    let subject = vocabulary.declare(subject, Domain::Positive);
    let formula = read(formula, &mut vocabulary, Undeclared::Declare).expect("a formula");
    let equation = answer::equations(&formula.preferred).remove(0);
    let problem = Problem::new(equation, subject, vocabulary.table());
    let readings = read(typed, &mut vocabulary, Undeclared::Declare).expect("an answer");
    answer::judge(&problem, &readings, vocabulary.table()).0
}

fn word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Right => "right",
        Verdict::Wrong => "wrong",
        Verdict::Undecided(_) => "undecided",
    }
}

#[track_caller]
fn check(rows: &[(&str, &str, &str, &str, &str)]) {
    for (domains, formula, subject, typed, expected) in rows {
        let judgement = judged(domains, formula, subject, typed);
        let mut notes: Vec<&str> = judgement.notes.iter().map(|note| note.key()).collect();
        notes.sort_unstable();
        let mut found = word(&judgement.verdict).to_owned();
        for note in notes {
            found.push(' ');
            found.push_str(note);
        }
        assert_eq!(&found, expected, "{formula} for {subject}: {typed}");
        match judgement.verdict {
            Verdict::Right => assert!(judgement.evidence.is_some()),
            Verdict::Wrong => assert!(
                judgement.evidence.is_some()
                    || expected.contains("not-isolated")
                    || expected.contains("wrong-subject"),
                "{typed}: wrong without numbers"
            ),
            Verdict::Undecided(_) => {}
        }
    }
}

#[test]
fn any_form_is_right() {
    check(&[
        ("", "v = u + a t", "t", "t = (v - u)/a", "right"),
        ("", "v = u + a t", "t", "(v - u)/a = t", "right"),
        ("", "v = u + a t", "t", "(v - u)/a", "right"),
        ("", "v = u + a t", "t", "t = v/a - u/a", "right"),
        ("", "v^2 = u^2 + 2a s", "a", "(v-u)(v+u)/2s", "right"),
        ("", "E = ½mv²", "v", "v = √2 √E/√m", "right"),
        ("", "1/f = 1/u + 1/v", "v", "v = u f/(u - f)", "right"),
        ("", "1/f = 1/u + 1/v", "v", "v = (1/f - 1/u)^-1", "right"),
        ("", "N = N_0 e^(-λt)", "t", "t = ln(N_0/N)/λ", "right"),
        (
            "",
            "N = N_0 e^(-λt)",
            "t",
            "t = -(ln N - ln N_0)/λ",
            "right",
        ),
        (
            "",
            "N = N_0 2^(-t/T)",
            "t",
            "t = T ln(N_0/N)/ln(2)",
            "right",
        ),
        (
            "i:acute r:acute",
            "n = sin i/sin r",
            "i",
            "i = arcsin(n sin r)",
            "right",
        ),
        (
            "",
            "s = u t + ½ a t^2",
            "t",
            "t = (-u + sqrt(u^2 + 2a s))/a",
            "right",
        ),
        ("", "T = 2π sqrt(l/g)", "l", "l = g T²/(4π²)", "right"),
        (
            "",
            "m = m_0/sqrt(1 - v^2/c^2)",
            "v",
            "v = c sqrt(1 - (m_0/m)^2)",
            "right",
        ),
    ]);
}

#[test]
fn wrong_has_numbers() {
    check(&[
        ("", "v = u + a t", "t", "t = v/a - u", "wrong"),
        ("", "v^2 = u^2 + 2a s", "a", "(v^2 + u^2)/(2s)", "wrong"),
        ("", "E = ½mv²", "v", "2E/m", "wrong"),
        ("", "F = m a", "m", "1.0000000000001 F/a", "wrong"),
        ("", "F = m a", "m", "F/a + (F-1)(F-2)(F-3)(F-4)a", "wrong"),
        ("", "E = m g h", "h", "E/m*g", "wrong"),
        ("", "E = ½mv²", "v", "-sqrt(2E/m)", "wrong"),
        ("", "v = sqrt(2 g h)", "h", "v^2/(2 g) + 10^-30", "wrong"),
        // Impossible on the domain, though doubles see only zeros.
        ("", "V = q/(4π k r (1 - v/c))", "v", "v = c", "wrong"),
        ("", "x = ln(2)/k", "k", "ln(2^((x-x)/x))", "wrong"),
        ("C:real", "C = 4π k a b/(b - a)", "a", "C b/C", "wrong"),
        (
            "",
            "z = sqrt((c + v)/(c - v)) - 1",
            "v",
            "c z(z+2)/(z^2+2z+2) + (c-z)c",
            "wrong",
        ),
    ]);
    let tiny = judged("", "F = m a", "m", "1.0000000000001 F/a");
    assert!(matches!(tiny.evidence, Some(Evidence::Counterexample(_))));
}

#[test]
fn notes_say_what_else_is_to_be_said() {
    check(&[
        // Two readings.
        ("", "v = sqrt(2E/m)", "E", "E = m v^2/2", "right"),
        (
            "",
            "E = ½mv²",
            "v",
            "v = sqrt 2E/m",
            "right ambiguous-reading",
        ),
        ("", "T = ln 2/λ", "λ", "λ = ln 2/T", "right"),
        ("", "v = f λ", "f", "f = v/λ", "right"),
        ("", "F = B I L", "B", "B = F/I L", "right"),
        ("", "y = (a/2) s", "a", "a = 2y/s", "right"),
        ("", "y = 2 s/a", "s", "s = a y/2", "right"),
        ("", "y = a s/2", "y", "y = a/2s", "right ambiguous-slash"),
        // Roots.
        (
            "v:real",
            "E = ½mv²",
            "v",
            "v = sqrt(2E/m)",
            "right one-root-only",
        ),
        ("v:real", "E = ½mv²", "v", "v = ±sqrt(2E/m)", "right"),
        (
            "",
            "E = ½mv²",
            "v",
            "v = ±sqrt(2E/m)",
            "right root-outside-domain",
        ),
        ("v:real", "E = ½mv²", "v", "v = ±sqrt(E/m)", "wrong"),
        (
            "",
            "E = ½mv²",
            "v",
            "v = v_0 ± sqrt(E/m)",
            "wrong wrong-letter",
        ),
        // Constants.
        (
            "",
            "T = 2π sqrt(l/g)",
            "l",
            "g(T/6.28)^2",
            "wrong rounded-constant",
        ),
        (
            "",
            "A = π r^2",
            "r",
            "sqrt(A/3.14)",
            "wrong rounded-constant",
        ),
        ("", "A = π r^2", "r", "sqrt(A/3.2)", "wrong"),
        // Letters and subjects.
        (
            "",
            "1/f = 1/u + 1/v",
            "v",
            "v = f(1 + v/u)",
            "wrong not-isolated",
        ),
        ("", "v = u + a t", "t", "v - u = a t", "wrong not-isolated"),
        (
            "",
            "v = u + a t",
            "t",
            "a = (v - u)/t",
            "wrong wrong-subject",
        ),
        (
            "",
            "v = u + a t",
            "t",
            "t = (V - u)/a",
            "wrong wrong-letter",
        ),
        (
            "",
            "v = u + a t",
            "t",
            "T = (v - u)/a",
            "wrong wrong-letter",
        ),
        // Divisors that may vanish where the formula holds.
        ("", "P = I V", "I", "P(P - V)/(V(P - V))", "right condition"),
        ("x:real y:real", "y = k x", "k", "y/x", "right condition"),
        ("", "1/f = 1/u + 1/v", "u", "f v/(v - f)", "right"),
    ]);
}

#[test]
fn counterexamples_are_admissible_and_pleasant() {
    let judgement = judged("", "v^2 = u^2 + 2a s", "a", "(v^2 + u^2)/(2s)");
    let Some(Evidence::Counterexample(found)) = judgement.evidence else {
        panic!("numbers are expected");
    };
    for (_, value) in &found.values {
        let number = value.to_f64();
        assert!(
            number > 0.0 && number.fract() == 0.0 && number < 30.0,
            "{number}"
        );
    }
    let value = |index: usize| found.values[index].1.to_f64();
    let (v, u, s) = (value(0), value(1), value(2));
    assert!((found.expected.to_f64() - (v * v - u * u) / (2.0 * s)).abs() < 1e-12);
    let got = found.got.expect("a value").to_f64();
    assert!((got - (v * v + u * u) / (2.0 * s)).abs() < 1e-12);
}

#[test]
fn numbers_to_try_are_neither_tiny_nor_huge() {
    for (formula, answer) in [
        ("N = M exp(-L t)", "M exp(L t)"),
        ("N = M exp(-L t)", "M exp(-L t)/2"),
        ("I = A exp(-t/(R C))", "A exp(-t R/C)"),
    ] {
        let subject = &formula[..1];
        let judgement = judged("", formula, subject, answer);
        let Some(Evidence::Counterexample(found)) = judgement.evidence else {
            panic!("numbers are expected for {answer}");
        };
        let first = found.expected.to_f64().abs();
        assert!(first > 1e-5, "{formula}: {first}");
    }
}

fn related(domains: &str, before: &str, after: &str) -> &'static str {
    let mut vocabulary = vocabulary(domains);
    let before = read(before, &mut vocabulary, Undeclared::Declare).expect("a line");
    let after = read(after, &mut vocabulary, Undeclared::Declare).expect("a line");
    let pair = answer::relate_lines(&before, &after, vocabulary.table());
    match pair.related.relation {
        Relation::Same => "same",
        Relation::Gains => "gains",
        Relation::Loses => "loses",
        Relation::Different => "different",
        Relation::Undecided(_) => "undecided",
    }
}

/// Lines that are the same but for points at which one has no value say so.
#[test]
fn the_same_says_where() {
    for (domains, before, after, expected) in [
        ("x:real y:real", "x = y", "x/y = 1", 1),
        ("x:real y:real", "x = y", "1/x = 1/y", 2),
        ("x:real y:real", "x/y = 1", "x = y", 1),
        ("", "x = y", "x/y = 1", 0),
        (
            "v:real u:real a:real t:real",
            "(v - u)/t = a",
            "v/t = a + u/t",
            0,
        ),
        ("v:real u:real", "v = u + a t", "(v - u)/t = a", 0),
    ] {
        let mut vocabulary = vocabulary(domains);
        let mut line = |text| read(text, &mut vocabulary, Undeclared::Declare).expect("a line");
        let (before, after) = (line(before), line(after));
        let pair = answer::relate_lines(&before, &after, vocabulary.table());
        assert_eq!(pair.related.relation, Relation::Same);
        assert_eq!(pair.conditions.len(), expected, "{:?}", pair.conditions);
        assert_eq!(pair.notes().len(), expected);
    }
}

/// Numbers agree to any number of digits with what is too small for them.
#[test]
fn a_speck_is_not_passed_over() {
    check(&[
        ("", "y = x", "x", "y + 10^-400", "undecided"),
        ("", "y = x", "x", "y + e^(-1000)", "undecided"),
        ("", "y = x", "x", "y + 10^-15", "wrong"),
    ]);
}

/// What is called the same is shown in the readings that are the same.
#[test]
fn a_relation_is_about_the_readings_that_it_shows() {
    let mut vocabulary = vocabulary("");
    let mut line = |text| read(text, &mut vocabulary, Undeclared::Declare).expect("a line");
    let (before, after) = (line("s = (u + v)/2 t"), line("2 s = t (u + v)"));
    let table = vocabulary.table();
    let pair = answer::relate_lines(&before, &after, table);
    assert_eq!(pair.related.relation, Relation::Same);
    let first = answer::equations(pair.before);
    let second = answer::equations(pair.after);
    assert_eq!(relate(&first, &second, table).relation, Relation::Same);
    assert_ne!(pair.before.chain, before.preferred.chain);
}

#[test]
fn lines_stand_to_each_other() {
    for (domains, before, after, expected) in [
        ("", "v = u + a t", "v - u = a t", "same"),
        ("", "v = u + a t", "t = (v - u)/a", "same"),
        ("", "v = sqrt(2 g h)", "v^2 = 2 g h", "same"),
        ("v:real", "v = sqrt(2 g h)", "v^2 = 2 g h", "gains"),
        ("v:real", "v^2 = 2 g h", "v = sqrt(2 g h)", "loses"),
        ("v:real", "v^2 = 2 g h", "v = ±sqrt(2 g h)", "same"),
        ("u:real v:real w:real", "v w = u w", "v = u", "loses"),
        ("u:real v:real w:real", "v = u", "v w = u w", "gains"),
        ("u:real v:real", "v = u", "v^2 = u^2", "gains"),
        ("u:real v:real", "v^3 = u^3", "v = u", "same"),
        ("x:real", "x^2 = x", "x = 1", "loses"),
        ("", "x^2 = x", "x = 1", "same"),
        ("", "v = u + a t", "v = u - a t", "different"),
        ("", "a + b = c", "a^2 + b^2 = c^2", "different"),
        ("", "N = N_0 e^(-λt)", "ln(N/N_0) = -λt", "same"),
        ("", "N = N_0 e^(-λt)", "ln N = ln N_0 - λt", "same"),
        ("c:acute", "n sin(c) = 1", "ln(n sin(c)) = 0", "same"),
        (
            "",
            "m = m_0/sqrt(1 - v^2/c^2)",
            "m = m_0/(1 - c^2/v^2)^0.5",
            "different",
        ),
        // The root that squaring adds is admissible only for small values.
        (
            "q:acute",
            "F^2 - 4 = a^2 + b^2 + 2 a b cos(q) - 4",
            "(F^2 - 4)^2 = (a^2 + b^2 + 2 a b cos(q) - 4)^2",
            "gains",
        ),
        // One of two roots that both are admissible, at uncommon values.
        (
            "",
            "Z = sqrt(R^2 + (w L - 1/(w C))^2)",
            "w = (sqrt(Z^2 - R^2) + sqrt(Z^2 - R^2 + 4 L/C))/(2 L)",
            "loses",
        ),
        (
            "q:acute",
            "F^2 = a^2 + 2 a b cos(q)",
            "F^2 (1 + (F-1)(F-2)(F-3)) = a^2 + 2 a b cos(q)",
            "different",
        ),
        ("", "x = y", "x/y = 1", "same"),
        ("", "a = b = c", "b = c = a", "same"),
        ("", "1/R = 1/a + 1/b", "R = a + b", "different"),
        ("x:real", "|x| = a", "x^2 = a^2", "same"),
    ] {
        assert_eq!(
            related(domains, before, after),
            expected,
            "{before}   then   {after}   ({domains})"
        );
    }
}

/// The algebra is sound and only the range of values was overlooked.
#[test]
fn right_on_a_part_of_the_domain() {
    check(&[
        (
            "x:real",
            "E = ½ m ω² x²",
            "ω",
            "ω = sqrt(2E/m)/x",
            "wrong right-where-positive",
        ),
        (
            "x:real",
            "E = ½ m ω² x²",
            "ω",
            "ω = sqrt(2E/m)/|x|",
            "right condition",
        ),
        ("x:real", "E = ½ m ω² x²", "ω", "ω = sqrt(E/m)/x", "wrong"),
        (
            "",
            "n_1 sin(θ_1) = n_2 sin(θ_2)",
            "θ_2",
            "arcsin(n_1 sin θ_1/n_2)",
            "right one-root-only",
        ),
        (
            "x:real",
            "x = A sin(ω t)",
            "t",
            "arcsin(x/A)/ω",
            "right one-root-only",
        ),
        ("x:real", "x = A sin(ω t)", "t", "arcsin(x/A)/2ω", "wrong"),
        (
            "s:real u:real a:real",
            "s = u t + ½ a t²",
            "t",
            "(-u + sqrt(u² + 2as))/a",
            "right one-root-only",
        ),
        (
            "",
            "n = n_0/(e^(B/T) + e^(-B/T))",
            "B",
            "T ln((n_0 - sqrt(n_0² - 4n²))/(2n))",
            "wrong",
        ),
        (
            "",
            "Z = sqrt(R² + (X_L - X_C)²)",
            "X_C",
            "X_L - sqrt(Z² - R²)",
            "right one-root-only",
        ),
    ]);
}

#[test]
fn functions_with_their_usual_endings() {
    check(&[
        ("", "N = N_0 e^(-λt)", "t", "loge(N_0/N)/λ", "right"),
        ("", "N = N_0 2^(-t/T)", "t", "T log2(N_0/N)", "right"),
        ("θ:acute", "W = F s cos θ", "θ", "cos-1(W/(F s))", "right"),
        ("θ:acute", "n sin θ = 1", "θ", "sin−1(1/n)", "right"),
        ("θ:acute", "n sin θ = 1", "θ", "sin⁻¹(1/n)", "right"),
    ]);
}

#[test]
fn a_space_may_end_what_a_slash_divides_by() {
    check(&[
        (
            "",
            "y = g T²/(4π²)",
            "y",
            "T²/4π² g",
            "right ambiguous-slash",
        ),
        ("", "y = g T²/(4π²)", "y", "T²/4π²g", "wrong"),
        ("", "y = x z/(2π)", "y", "x/2π z", "right ambiguous-slash"),
    ]);
}
