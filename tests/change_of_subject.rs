//! Staple rearrangements of upper-secondary physics, each with the line that a
//! careful hand would end on, its number of steps and its marks; and worked
//! paths in words.

use std::fmt::Write as _;

use rejig::algebra::expr::Equation;
use rejig::algebra::symbol::{Domain, Symbol};
use rejig::reason::isolate::{NoForm, Outcome, Solution, isolate};
use rejig::reason::step::{hints, marks};
use rejig::show::line::{Spelling, line};
use rejig::show::steps::Words;
use rejig::text::readings::read_equation;
use rejig::text::vocabulary::{Undeclared, Vocabulary};

/// Reads a formula; `domains` holds words such as `u:real`, or a name alone
/// for a positive quantity.
fn formula(text: &str, domains: &str, subject: &str) -> (Equation, Symbol, Vocabulary) {
    let mut vocabulary = Vocabulary::new();
    for word in domains.split_whitespace() {
        let (name, domain) = word.split_once(':').unwrap_or((word, "positive"));
        vocabulary.declare(name, Domain::from_keyword(domain).expect("a domain"));
    }
    let equation = read_equation(text, &mut vocabulary, Undeclared::Declare).expect("a formula");
    let subject = vocabulary.lookup(subject).expect("the subject");
    (equation, subject, vocabulary)
}

fn solved(text: &str, domains: &str, subject: &str) -> (Vec<Solution>, bool, Vocabulary, Symbol) {
    let (equation, subject, vocabulary) = formula(text, domains, subject);
    match isolate(&equation, subject, vocabulary.table()) {
        Outcome::Solved {
            solutions,
            complete,
            ..
        } => (solutions, complete, vocabulary, subject),
        other => panic!("{text}: {other:?}"),
    }
}

#[track_caller]
fn row(text: &str, domains: &str, subject: &str, expected: &str, steps: usize, paid: usize) {
    let (solutions, _, vocabulary, _) = solved(text, domains, subject);
    let shown: Vec<String> = solutions
        .iter()
        .map(|solution| line(&solution.value, vocabulary.table(), Spelling::Unicode))
        .collect();
    assert_eq!(shown.join(" ; "), expected, "{text} for {subject}");
    let path = &solutions[0].path;
    assert_eq!(path.len(), steps, "steps of {text} for {subject}");
    assert_eq!(marks(path), paid, "marks of {text} for {subject}");
    assert_eq!(hints(path).len(), 3 * steps);
}

#[test]
#[rustfmt::skip]
fn staples() {
        row("v=u+at", "u:real v:real a:real", "a", "(v - u)/t", 3, 2);
        row("v=u+at", "", "t", "(v - u)/a", 3, 2);
        row("v²=u²+2as", "s:real a:real u:real v:real", "s", "(v² - u²)/(2a)", 3, 2);
        row("v²=u²+2as", "", "u", "√(v² - 2as)", 3, 2);
        row("v²=u²+2as", "u:real v:real a:real s:real", "u", "√(v² - 2as) ; -√(v² - 2as)", 3, 2);
        row("s=ut+½at²", "", "a", "2(s - ut)/t²", 4, 2);
        row("s=ut+½at²", "", "u", "(s - ½at²)/t", 3, 2);
        row("s=ut+½at²", "", "t", "(-u + √(u² + 2as))/a", 4, 2);
        row("s=½(u+v)t", "", "t", "2s/(u + v)", 3, 1);
        row("s=½(u+v)t", "", "v", "2s/t - u", 4, 2);
        row("E=½mv²", "", "v", "√(2 E/m)", 4, 2);
        row("E=½mv²", "", "m", "2 E/v²", 3, 1);
        row("½mv²=mgh", "", "v", "√(2gh)", 3, 2);
        row("½mv²=mgh+½mu²", "m u", "v", "√(2gh + u²)", 3, 2);
        row("F=GMm/r²", "", "r", "√(GMm/F)", 3, 2);
        row("F=GMm/r²", "", "M", "Fr²/(Gm)", 3, 1);
        row("GMm/r²=mv²/r", "", "v", "√(GM/r)", 4, 2);
        row("BQv=mv²/r", "", "r", "mv/(BQ)", 3, 1);
        row("T=2π√(l/g)", "", "l", "gT²/(4π²)", 4, 2);
        row("T=2π√(l/g)", "", "g", "4π²l/T²", 5, 2);
        row("T=2π√(m/k)", "", "m", "kT²/(4π²)", 4, 2);
        row("f=1/(2π√(LC))", "", "C", "1/(4π²Lf²)", 5, 3);
        row("1/f=1/u+1/v", "", "v", "fu/(u - f)", 4, 2);
        row("1/f=1/u+1/v", "", "f", "uv/(v + u)", 2, 2);
        row("1/R=1/R_1+1/R_2", "", "R_1", "R R₂/(R₂ - R)", 4, 2);
        row("p_1V_1/T_1=p_2V_2/T_2", "", "T_2", "T₁ p₂ V₂/(p₁ V₁)", 3, 1);
        row("N=N_0 e^(-λt)", "", "t", "ln(N₀/N)/λ", 6, 3);
        row("A=B*2^(-t/T)", "", "t", "T ln(B/A)/ln(2)", 7, 3);
        row("V=V_0(1-e^(-t/(RC)))", "", "t", "-RC ln(1 - V/V₀)", 6, 4);
        row("V=V_0 e^(-t/(RC))", "", "C", "t/(R ln(V₀/V))", 6, 3);
        row("n=sin i/sin r", "i:acute r:acute", "r", "arcsin(sin(i)/n)", 3, 2);
        row("nλ=d sin θ", "θ:acute", "θ", "arcsin(nλ/d)", 3, 2);
        row("m=m_0/√(1-v²/c²)", "", "v", "c√(1 - m₀²/m²)", 8, 5);
        row("E=(m/2)(v²-u²)", "m u", "u", "√(v² - 2 E/m)", 5, 3);
        row("eV=½mv²", "", "v", "√(2 e V/m)", 4, 2);
        row("hf=φ+½mv²", "", "v", "√(2(hf - φ)/m)", 5, 3);
        row("ε=I(R+r)", "", "r", "ε/I - R", 3, 2);
        row("ε=I(R+r)", "", "I", "ε/(R + r)", 2, 1);
        row("V=εR/(R+r)", "", "R", "Vr/(ε - V)", 6, 3);
        row("V=4/3πr³", "", "r", "∛(3V/(4π))", 4, 2);
        row("F=Q_1Q_2/(4πε_0r²)", "", "r", "√(Q₁ Q₂/(4πF ε₀))", 3, 2);
        row("v=ω√(A²-x²)", "x:real", "x", "√(A² - v²/ω²) ; -√(A² - v²/ω²)", 5, 4);
        row("ρ=RA/L", "", "L", "RA/ρ", 2, 1);
        row("V=ε-Ir", "", "r", "(ε - V)/I", 3, 2);
        row("mg sin θ - μmg cos θ = ma", "m θ:acute", "μ", "(g sin(θ) - a)/(g cos(θ))", 5, 3);
        row("R=u² sin(2θ)/g", "θ:acute", "θ", "arcsin(Rg/u²)/2 ; (π - arcsin(Rg/u²))/2", 5, 3);
        row("L=10 lg(I/I_0)", "", "I", "I₀·10^(L/10)", 4, 3);
        row("R=R_0(1+αT)", "", "α", "(R/R₀ - 1)/T", 4, 3);
}

#[track_caller]
fn none(text: &str, domains: &str, subject: &str, expected: NoForm) {
    let (equation, subject, vocabulary) = formula(text, domains, subject);
    assert_eq!(
        isolate(&equation, subject, vocabulary.table()),
        Outcome::NoClosedForm(expected),
        "{text}"
    );
}

#[test]
fn where_there_is_none_it_says_so() {
    none("y = x + sin x", "", "x", NoForm::NoMethod);
    none("y = x e^x", "", "x", NoForm::NoMethod);
    none("y = x^x", "", "x", NoForm::NoMethod);
    none("x^5 + x = a", "", "x", NoForm::NoMethod);
    none("x - x = a", "a", "x", NoForm::Cancels);
    none("x + a = x + b", "", "x", NoForm::Cancels);
    none("x² = -a²", "", "x", NoForm::NoSolution);
    none("√x = -a", "", "x", NoForm::NoSolution);
    none("e^x = -1", "", "x", NoForm::NoSolution);
    none("a/x = 0", "", "x", NoForm::NoSolution);
}

#[test]
fn the_subject_has_to_be_there() {
    let (equation, _, mut vocabulary) = formula("v = u + at", "", "v");
    let other = vocabulary.declare("w", Domain::Positive);
    assert_eq!(
        isolate(&equation, other, vocabulary.table()),
        Outcome::NoClosedForm(NoForm::Absent)
    );
}

#[track_caller]
fn completeness(text: &str, domains: &str, subject: &str, solutions: usize, complete: bool) {
    let (found, all, _, _) = solved(text, domains, subject);
    assert_eq!((found.len(), all), (solutions, complete), "{text}");
}

#[test]
fn how_many_and_whether_all() {
    completeness("x² = a", "", "x", 1, true);
    completeness("x² = a", "x:real", "x", 2, true);
    completeness("y = sin θ", "θ:acute", "θ", 1, true);
    completeness("y = sin(2θ)", "θ:acute", "θ", 2, true);
    completeness("y = cos(2θ)", "θ:acute y:real", "θ", 1, true);
    completeness("y = A sin(ωt)", "y:real", "t", 2, false);
    completeness("y = A cos(ωt)", "y:real", "t", 1, false);
    completeness("√(x + a) = x - b", "", "x", 1, true);
    completeness("x² - bx + c = 0", "", "x", 2, true);
    completeness(
        "y = x tan θ - g x²/(2u² cos² θ)",
        "θ:acute y:real",
        "θ",
        2,
        true,
    );
    completeness("ax² + bx = 0", "x:real", "x", 2, true);
}

fn told(text: &str, domains: &str, subject: &str) -> String {
    let (equation, symbol, vocabulary) = formula(text, domains, subject);
    let table = vocabulary.table();
    let words = Words {
        table,
        spelling: Spelling::Unicode,
        subject: symbol,
    };
    let Outcome::Solved {
        solutions, dropped, ..
    } = isolate(&equation, symbol, table)
    else {
        panic!("{text}");
    };
    let mut out = format!("{}    [for {subject}]\n", words.equation(&equation));
    for step in &solutions[0].path {
        let mark = if step.pays() { " [1]" } else { "" };
        let _ = writeln!(out, "  {}{mark}", words.sentence(step));
        let _ = writeln!(out, "{}", words.equation(&step.equation));
    }
    for root in &dropped {
        let _ = writeln!(out, "  {}", words.dropped(root));
    }
    out
}

#[test]
fn worked_paths() {
    let rows = [
        ("v² = u² + 2as", "u:real v:real a:real s:real", "s"),
        ("s = ut + ½at²", "", "t"),
        ("E = ½mv²", "", "v"),
        ("F = GMm/r²", "", "r"),
        ("1/f = 1/u + 1/v", "", "v"),
        ("p_1V_1/T_1 = p_2V_2/T_2", "", "T_2"),
        ("N = N_0 e^(-λt)", "", "t"),
        ("V = V_0(1 - e^(-t/(RC)))", "", "t"),
        ("n = sin i/sin r", "i:acute r:acute", "r"),
        ("T = 2π√(l/g)", "", "g"),
        ("m = m_0/√(1 - v²/c²)", "", "v"),
        ("V = εR/(R + r)", "", "R"),
        ("√(x + a) = x - b", "", "x"),
        ("v = ω√(A² - x²)", "x:real", "x"),
        ("a sin θ + b cos θ = c", "θ:acute", "θ"),
        ("½mv² = mgh + ½mu²", "m u", "v"),
        ("y = x tan θ - g x²/(2u² cos² θ)", "θ:acute", "θ"),
    ];
    let all: Vec<String> = rows
        .iter()
        .map(|(text, domains, subject)| told(text, domains, subject))
        .collect();
    insta::assert_snapshot!(all.join("\n"));
}
