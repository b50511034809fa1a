//! The ways of typing, each a row with its meaning.

use super::*;
use crate::algebra::expr::{Constant, Expr, Sign};
use crate::algebra::symbol::{Domain, SymbolTable};

mod any_text;
mod faults;
mod words;

/// The tree with every bracket written.
fn tree(expr: &Expr, table: &SymbolTable) -> String {
    match expr {
        Expr::Number(number) => number.to_string(),
        Expr::Symbol(symbol) => table.name(*symbol).to_owned(),
        Expr::Constant(Constant::Pi) => "pi".to_owned(),
        Expr::Constant(Constant::Euler) => "EULER".to_owned(),
        Expr::Sum(terms) => {
            let mut out = String::from("(");
            for (index, term) in terms.iter().enumerate() {
                out.push_str(match term.sign {
                    Sign::Plus if index == 0 => "",
                    Sign::Plus => "+",
                    Sign::Minus => "-",
                    Sign::PlusMinus => "±",
                    Sign::MinusPlus => "∓",
                });
                out.push_str(&tree(&term.value, table));
            }
            out + ")"
        }
        Expr::Product(factors) => {
            let mut out = String::from("(");
            for (index, factor) in factors.iter().enumerate() {
                if index > 0 {
                    out.push(if factor.divides { '/' } else { '*' });
                }
                out.push_str(&tree(&factor.value, table));
            }
            out + ")"
        }
        Expr::Power(base, exponent) => {
            format!("({}^{})", tree(base, table), tree(exponent, table))
        }
        Expr::Call(function, argument) => {
            let inside = tree(argument, table);
            let inside = inside
                .strip_prefix('(')
                .and_then(|rest| rest.strip_suffix(')'))
                .filter(|_| !matches!(**argument, Expr::Symbol(_)))
                .unwrap_or(&inside)
                .to_owned();
            format!("{}({inside})", function.name())
        }
        Expr::Derivative(own) => {
            let (of, by) = (tree(&own.of, table), table.name(own.by));
            format!("D{}[{of};{by}]", own.order)
        }
        Expr::Integral(own) => {
            let part = |expr: &Expr| tree(expr, table);
            let by = table.name(own.by);
            format!(
                "INT[{};{by};{};{}]",
                part(&own.of),
                part(&own.from),
                part(&own.to)
            )
        }
    }
}

fn side_by_side(chain: &[Expr], table: &SymbolTable) -> String {
    chain
        .iter()
        .map(|side| tree(side, table))
        .collect::<Vec<_>>()
        .join(" = ")
}

/// The symbols of a physics sheet.
fn sheet() -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for name in [
        "a", "s", "u", "v", "t", "m", "r", "G", "M", "E", "k", "x", "y", "R", "C", "B", "Q", "g",
        "h", "b", "c", "d", "f", "θ", "φ", "λ", "v_0", "v_{out}", "Δv", "T", "V", "n", "p", "I",
        "A",
    ] {
        vocabulary.declare(name, Domain::Positive);
    }
    let energy = vocabulary.declare("E_k", Domain::Positive);
    vocabulary.alias("KE", energy);
    vocabulary.alias("Ek", energy);
    vocabulary
}

fn all(text: &str, vocabulary: &mut Vocabulary, undeclared: Undeclared) -> Vec<String> {
    match read(text, vocabulary, undeclared) {
        Ok(readings) => readings
            .all()
            .map(|reading| side_by_side(&reading.chain, vocabulary.table()))
            .collect(),
        Err(fault) => vec![fault.render()],
    }
}

/// With declared symbols: the preferred reading.
#[track_caller]
fn check(text: &str, expected: &str) {
    let mut vocabulary = sheet();
    let found = all(text, &mut vocabulary, Undeclared::Refuse);
    assert_eq!(found[0], expected, "{text}");
}

/// With declared symbols: the preferred reading alone, nothing else possible.
#[track_caller]
fn check_only(text: &str, expected: &str) {
    let mut vocabulary = sheet();
    let found = all(text, &mut vocabulary, Undeclared::Refuse);
    assert_eq!(found, [expected], "{text}");
}

/// All readings with how they differ.
#[track_caller]
fn check_all(text: &str, preferred: &str, others: &[(Ambiguity, &str)]) {
    let mut vocabulary = sheet();
    let readings = read(text, &mut vocabulary, Undeclared::Refuse)
        .unwrap_or_else(|fault| panic!("{text}: {fault}"));
    let table = vocabulary.table();
    assert_eq!(
        side_by_side(&readings.preferred.chain, table),
        preferred,
        "{text}"
    );
    let found: Vec<(Ambiguity, String)> = readings
        .others
        .iter()
        .map(|other| (other.differs.unwrap(), side_by_side(&other.chain, table)))
        .collect();
    let found: Vec<(Ambiguity, &str)> = found
        .iter()
        .map(|(kind, text)| (*kind, text.as_str()))
        .collect();
    assert_eq!(found, others, "{text}");
}

/// With new letters welcome, and none declared.
#[track_caller]
fn check_free(text: &str, expected: &str) {
    let mut vocabulary = Vocabulary::new();
    let found = all(text, &mut vocabulary, Undeclared::Declare);
    assert_eq!(found[0], expected, "{text}");
}

#[track_caller]
fn check_fault(text: &str, expected: &str) {
    let mut vocabulary = sheet();
    let before = vocabulary.table().len();
    match read(text, &mut vocabulary, Undeclared::Refuse) {
        Ok(readings) => panic!(
            "{text} reads as {}",
            side_by_side(&readings.preferred.chain, vocabulary.table())
        ),
        Err(fault) => assert_eq!(fault.render(), expected, "{text}"),
    }
    assert_eq!(vocabulary.table().len(), before);
}

#[test]
fn products_without_a_sign() {
    check_only("2as", "(2*a*s)");
    check_only("mv²", "(m*(v^2))");
    check_only("½mv^2", "(1/2*m*(v^2))");
    check("1/2 m v^2", "(1/2*m*(v^2))");
    check("1/2mv^2", "(1/2*m*(v^2))");
    check("4/3πr^3", "(4/3*pi*(r^3))");
    check("4/3pir^3", "(4/3*pi*(r^3))");
    check("GMm/r²", "(G*M*m/(r^2))");
    check_only("(a)(b)", "(a*b)");
    check_only("(a+b)(a-b)", "((a+b)*(a-b))");
    check_only("a(b+c)d", "(a*(b+c)*d)");
    check_only("[a+b]{c}", "((a+b)*c)");
    check_only("BQv", "(B*Q*v)");
    check_only("RC", "(R*C)");
    check_only("mgh", "(m*g*h)");
    check_only("Vt", "(V*t)");
    check_only("a b", "(a*b)");
    check_only("1½a", "(3/2*a)");
    check_only("¾a + ⅓b - ⅔c", "((3/4*a)+(1/3*b)-(2/3*c))");
}

#[test]
fn signs_and_spaces_pasted_from_documents() {
    for typed in [
        "a*b",
        "a×b",
        "a·b",
        "a⋅b",
        "a∗b",
        "a • b",
        "a\u{a0}·\u{2009}b",
        "a＊b",
    ] {
        check_only(typed, "(a*b)");
    }
    for typed in ["a/b", "a÷b", "a∕b", "a⁄b", "a ／ b"] {
        check_only(typed, "(a/b)");
    }
    for typed in ["a-b", "a−b", "a–b", "a — b", "a‑b"] {
        check_only(typed, "(a-b)");
    }
    check_only("（a＋b）", "(a+b)");
    check_only("6.63e-34", "663/1000000000000000000000000000000000000");
    check_only("6.63×10^-34", "663/1000000000000000000000000000000000000");
    check_only("6.63·10⁻³⁴", "663/1000000000000000000000000000000000000");
    check_only("6.63*10^(-34)", "663/1000000000000000000000000000000000000");
    check_only("3×10^8 t", "(300000000*t)");
    check_only("h/2×10^2", "(h/200)");
    check_only("10^3", "(10^3)");
    check_only(".5a", "(1/2*a)");
    check_only("0.5", "1/2");
    check_only("2e3", "2000");
}

#[test]
fn powers() {
    check_only("x**2", "(x^2)");
    check_only("x^(1/2)", "(x^1/2)");
    check_only("x⁻¹", "(x^-1)");
    check_only("x²³", "(x^23)");
    check_only("xⁿ", "(x^n)");
    check_only("x^½", "(x^1/2)");
    check_only("-x^2", "(-(x^2))");
    check_only("a^-b", "(a^(-b))");
    check_only("a^b^c", "(a^(b^c))");
    check_only("2^3x", "((2^3)*x)");
    check_only("x²^3", "((x^2)^3)");
    check_only("(a+b)²", "((a+b)^2)");
    check_only("9^9^9^9", "(9^(9^(9^9)))");
    check_only("v₀²t", "((v_0^2)*t)");
    check_only("10^-3x", "((10^(-3))*x)");
    check_only("x^(2)y", "((x^2)*y)");
}

#[test]
fn names_in_all_spellings() {
    for typed in ["v₀", "v_0", "v_{0}", "v0"] {
        check_only(typed, "v_0");
    }
    for typed in ["v_{out}", "v_out"] {
        check_only(typed, "v_{out}");
    }
    for typed in ["E_k", "KE", "E_{k}", "Eₖ"] {
        check_only(typed, "E_k");
    }
    check("Ek", "E_k");
    for typed in ["Δv", "delta v", "Delta v", "Delta_v", "deltav", "Δ v", "∆v"] {
        check_only(typed, "Δv");
    }
    for typed in ["λ", "lambda", "lamda"] {
        check_only(typed, "λ");
    }
    for typed in ["φ", "ϕ", "phi", "varphi"] {
        check_only(typed, "φ");
    }
    check_only("lambdat", "(λ*t)");
    check_only("2λt", "(2*λ*t)");
    check_only("mv_0t", "(m*v_0*t)");
    check_only("mv_{out}t", "(m*v_{out}*t)");
    check_only("mΔv/t", "(m*Δv/t)");
    check_only("m delta v", "(m*Δv)");
    check_only("πr²", "(pi*(r^2))");
    check_only("pi r^2", "(pi*(r^2))");
}

#[test]
fn free_letters() {
    check_free("v = u + at", "v = (u+(a*t))");
    check_free("x1 + x_1 + x₁", "(x1+x1+x1)");
    check_free("sigma_den v_{out} E_ph m_0", "(sigma_den*v_{out}*E_ph*m_0)");
    check_free("theta", "theta");
    check_free("lambda t + λ", "((lambda*t)+lambda)");
    check_free("mv_0t", "(m*v_0*t)");
    check_free("m_1m_2", "(m_1*m_2)");
    check_free("delta v/Δt", "(Δv/Δt)");
    check_free("Δvt", "(Δv*t)");
    check_free("sinθcosθ", "(sin(θ)*cos(θ))");
    check_free("2pir", "(2*pi*r)");
    check_free("mu N", "(mu*N)");
    check_free("E_k = p^2/2m", "E_k = ((p^2)/(2*m))");
    check_free("E_k = Ek", "E_k = E_k");
    check_free("Ae^(-t/RC)", "(A*(EULER^(-(t/(R*C)))))");
    check_free("sin2θ", "sin(2*θ)");
    check_free("速 x", "(速*x)");
    check_free("vt = v t", "(v*t) = (v*t)");
}

#[test]
fn functions() {
    check_only("√(2E/m)", "sqrt(2*E/m)");
    check_only("sqrt(2E)/m", "(sqrt(2*E)/m)");
    check_only("sqrt(u^2 + 2as)", "sqrt((u^2)+(2*a*s))");
    check_only("sin θ", "sin(θ)");
    check_only("sinθcosθ", "(sin(θ)*cos(θ))");
    check_only("sin θ cos θ", "(sin(θ)*cos(θ))");
    check_only("2 sin θ cos θ", "(2*sin(θ)*cos(θ))");
    check_only("sin(2θ)/g", "(sin(2*θ)/g)");
    check_only("sin(θ)cos(φ)", "(sin(θ)*cos(φ))");
    check_only("ln(a)b", "(ln(a)*b)");
    check_only("sin^-1(x)", "arcsin(x)");
    check_only("sin⁻¹x", "arcsin(x)");
    check_only("cos^(-1) x", "arccos(x)");
    check_only("tan^-1 x", "arctan(x)");
    check_only("arcsin x", "arcsin(x)");
    check("asin(x)", "arcsin(x)");
    check_only("sin^2 θ", "(sin(θ)^2)");
    check_only("sin²θ", "(sin(θ)^2)");
    check_only("sin(θ)^2", "(sin(θ)^2)");
    check_only("ln x", "ln(x)");
    check_only("lg x", "lg(x)");
    check_only("log10 x", "lg(x)");
    check_only("log10(x)", "lg(x)");
    check_only("log_10(x)", "lg(x)");
    check_only("log_2(x)", "(ln(x)/ln(2))");
    check_only("log_e x", "ln(x)");
    check("exp(-t/RC)", "exp(-(t/(R*C)))");
    check_only("cbrt(x)", "cbrt(x)");
    check_only("∛x", "cbrt(x)");
    check_only("sinh x + cosh x + tanh x", "(sinh(x)+cosh(x)+tanh(x))");
    check("asinh x + arsinh x", "(arsinh(x)+arsinh(x))");
    check_only("sinh^-1 x", "arsinh(x)");
    check_only(
        "sec x + cosec x + csc x + cot x",
        "(sec(x)+cosec(x)+cosec(x)+cot(x))",
    );
    check_only("abs(x)", "abs(x)");
    check_only("|x|", "abs(x)");
    check_only("2|x - y|t", "(2*abs(x-y)*t)");
    check_only("|a||b|", "(abs(a)*abs(b))");
    check_only("|a + (|b|)|", "abs(a+abs(b))");
    check_only("sin -θ", "sin(-θ)");
    check_only("sin cos x", "sin(cos(x))");
    check_only("sin2θ", "sin(2*θ)");
    check_only("vsinθ", "(v*sin(θ))");
    check_only("v sin θ", "(v*sin(θ))");
    check("vcosθt", "(v*cos(θ*t))");
}

#[test]
fn sums_and_doubled_signs() {
    check_only("v = u + at", "v = (u+(a*t))");
    check_only("u + at = v", "(u+(a*t)) = v");
    check_only("u + at", "(u+(a*t))");
    check_only("a = b = c", "a = b = c");
    check_only("±√x", "(±sqrt(x))");
    check_only("a ± b ∓ c", "(a±b∓c)");
    check_only("a +/- b", "(a±b)");
    check_only("a + -b", "(a+(-b))");
    check_only("a - -b", "(a-(-b))");
    check_only("--a", "(-(-a))");
    check_only("+a", "a");
    check_only("a*-b", "(a*(-b))");
    check_only("a/-b", "(a/(-b))");
    check_only("a - b + c", "(a-b+c)");
    check_only("a == b", "a = b");
    check_all("a +- b", "(a±b)", &[(Ambiguity::Sign, "(a+(-b))")]);
}

#[test]
fn two_readings() {
    use Ambiguity::{Exponent, Fraction, Function, Letters, Logarithm, Slash};
    check_all("a/2s", "(a/(2*s))", &[(Slash, "(a/2*s)")]);
    check_all(
        "ln a/b/t",
        "(ln(a)/b/t)",
        &[(Function, "ln(a/b/t)"), (Function, "(ln(a/b)/t)")],
    );
    check_all("A 2^(-t)", "(A*(2^(-t)))", &[]);
    check_all("(A) 2^t", "(A*(2^t))", &[]);
    check_all("a/2*s", "(a/2*s)", &[]);
    check_all("1/2*m*v^2", "(1/2*m*(v^2))", &[]);
    check_all(
        "1/2 m v^2",
        "(1/2*m*(v^2))",
        &[(Fraction, "(1/(2*m*(v^2)))")],
    );
    check_only("a/b/c", "(a/b/c)");
    check_only("a/(2s)", "(a/(2*s))");
    check_all(
        "sqrt 2E/m",
        "(sqrt(2*E)/m)",
        &[(Function, "(sqrt(2)*E/m)"), (Function, "sqrt(2*E/m)")],
    );
    check_all("ln 2/λ", "(ln(2)/λ)", &[(Function, "ln(2/λ)")]);
    check_all("sin 2θ/g", "(sin(2*θ)/g)", &[(Function, "sin(2*θ/g)")]);
    check_all("log x", "lg(x)", &[(Logarithm, "ln(x)")]);
    check_all(
        "log x + log y",
        "(lg(x)+lg(y))",
        &[(Logarithm, "(ln(x)+ln(y))")],
    );
    check_all(
        "e^-λt",
        "(EULER^(-(λ*t)))",
        &[(Exponent, "((EULER^(-λ))*t)")],
    );
    check_only("e^(-λt)", "(EULER^(-(λ*t)))");
    check_all("e^2x", "(EULER^(2*x))", &[(Exponent, "((EULER^2)*x)")]);
    check_all(
        "A e^-λt sin θ",
        "(A*(EULER^(-(λ*t)))*sin(θ))",
        &[(Exponent, "(A*(EULER^(-λ))*t*sin(θ))")],
    );
    check_all("e^-λ*t", "((EULER^(-λ))*t)", &[]);
    check_all("e^a e^b", "((EULER^a)*(EULER^b))", &[]);
    check_all("a^1/2", "((a^1)/2)", &[(Exponent, "(a^1/2)")]);
    check_all("v^2/2", "((v^2)/2)", &[]);
    check_all("r^3/2", "((r^3)/2)", &[]);
    check_all(
        "e^-t/RC",
        "((EULER^(-t))/(R*C))",
        &[
            (Exponent, "(EULER^(-(t/(R*C))))"),
            (Slash, "((EULER^(-t))/R*C)"),
            (Exponent, "(EULER^(-(t/R*C)))"),
        ],
    );
    check_all("Ek", "E_k", &[(Letters, "(E*k)")]);
    check_all("asinθ", "arcsin(θ)", &[(Letters, "(a*sin(θ))")]);
    check_only("mgsinθ", "(m*g*sin(θ))");
    check_only("Vcosθcosφ", "(V*cos(θ)*cos(φ))");
    check_only("x^{1/2}", "(x^1/2)");
    check_only("sqrt{x}", "sqrt(x)");
    check_only("v_{out}^2", "(v_{out}^2)");
    check_only("sin²2θ", "(sin(2*θ)^2)");
    check_only("sin^2(θ)+cos^2(θ)", "((sin(θ)^2)+(cos(θ)^2))");
    check_only("√x²", "sqrt(x^2)");
    check_only("u t + ½ at²", "((u*t)+(1/2*a*(t^2)))");
    check_all("sin 1/2 θ", "sin(1/2*θ)", &[(Fraction, "(sin(1)/(2*θ))")]);
    check_all("A cos θ * d", "(A*cos(θ*d))", &[(Function, "(A*cos(θ)*d)")]);
}

#[test]
fn a_declared_e_is_a_charge() {
    let mut vocabulary = sheet();
    vocabulary.declare("e", Domain::Positive);
    let mut check = |text: &str, expected: &[&str]| {
        assert_eq!(
            all(text, &mut vocabulary, Undeclared::Refuse),
            expected,
            "{text}"
        );
    };
    check("eV", &["(e*V)"]);
    check("e^x", &["(e^x)", "(EULER^x)"]);
    check("exp(x)", &["exp(x)"]);
    check("e^(x) + e^(y)", &["((e^x)+(e^y))", "((EULER^x)+(EULER^y))"]);
}

#[test]
fn a_power_of_ten_beside_an_energy() {
    let mut vocabulary = sheet();
    assert_eq!(
        all("2E-3", &mut vocabulary, Undeclared::Refuse),
        ["((2*E)-3)", "1/500"]
    );
    assert_eq!(
        all("2E-3", &mut Vocabulary::new(), Undeclared::Declare),
        ["1/500"]
    );
}

#[test]
fn weak_spellings_give_way_to_products() {
    let mut vocabulary = Vocabulary::new();
    for name in ["v", "t", "v_t", "E_p"] {
        vocabulary.declare(name, Domain::Positive);
    }
    assert_eq!(
        all("vt", &mut vocabulary, Undeclared::Refuse),
        ["(v*t)", "v_t"]
    );
    assert_eq!(all("Ep", &mut vocabulary, Undeclared::Refuse), ["E_p"]);
}

#[test]
fn derivatives_and_integrals() {
    // `d` is not declared here, so these can only be derivatives.
    check_free("v = dx/dt", "v = D1[x;t]");
    check_free("a = d^2x/dt^2", "a = D2[x;t]");
    check_free("a = d²x/dt²", "a = D2[x;t]");
    check_free("F = m dv/dt", "F = (m*D1[v;t])");
    check_free("F = -dE_p/dr", "F = (-D1[E_p;r])");
    check_free("P = d/dt(m v^2)", "P = D1[(m*(v^2));t]");
    check_free("W = int(k x, x, 0, b)", "W = INT[(k*x);x;0;b]");
    check_free("W = int(x,x,0,1)", "W = INT[x;x;0;1]");
    check_free("W = 2 int(1/x, x, a, b)", "W = (2*INT[(1/x);x;a;b])");
    // Where it is declared it is a letter like any other.
    check("d x/d t", "(d*x/(d*t))");
    check("dx/dt", "(d*x/(d*t))");
    // Orders that do not match make no derivative.
    check_free("d^2x/dt", "((d^2)*x/(d*t))");
    let mut vocabulary = Vocabulary::new();
    for text in ["int(x, x, 0)", "int(x, 2x, 0, 1)", "int(x, x, 0, 1", "a, b"] {
        assert!(
            read(text, &mut vocabulary, Undeclared::Declare).is_err(),
            "{text}"
        );
    }
}
