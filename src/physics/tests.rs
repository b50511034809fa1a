//! Planted faults that must be found, and sound sheets, oddly written, that
//! must draw no fault and no remark.

use super::fault::FaultKind;
use super::formulary::{Formulary, Loaded, MAX_INCLUDE_DEPTH, MAX_INCLUDES};
use super::proofread::proofread;

/// Each finding as `LINE:COLUMN kind message` (and ` | mend`).
fn findings(text: &str) -> Vec<String> {
    describe(&Formulary::from_text("t.sheet", text))
}

fn describe(formulary: &Formulary) -> Vec<String> {
    proofread(formulary)
        .iter()
        .map(|fault| {
            let place = fault.diagnostic.place.as_ref();
            let (line, column) = place.map_or((0, 0), |place| (place.line, place.column));
            let mend = fault
                .diagnostic
                .mend
                .as_ref()
                .map_or(String::new(), |mend| format!(" | {mend}"));
            format!(
                "{line}:{column} {} {}{mend}",
                fault.kind.keyword(),
                fault.diagnostic.message
            )
        })
        .collect()
}

fn check(text: &str, expected: &[&str]) {
    assert_eq!(findings(text), expected, "{text}");
}

const MOTION: &str = "topic motion: In a line
quantity s: displacement, m, real
quantity u: initial velocity, m s^-1, real
quantity v: final velocity, m s^-1, real
quantity a: acceleration, m s^-2, real
quantity t: time, s
v = u + a t
s = u t + 1/2 a t^2
";

fn planted(line: &str, expected: &[&str]) {
    check(&format!("{MOTION}{line}\n"), expected);
}

#[test]
fn planted_faults_are_found() {
    check(MOTION, &[]);
    planted(
        "v = u + a t^2",
        &[
            "9:9 dimension the terms don't match: one in m stands beside one in m s^-1 | in this sheet v has m s^-1, u has m s^-1, a has m s^-2, t has s",
        ],
    );
    planted(
        "v^2 = 2 a t",
        &[
            "9:1 dimension the two sides don't balance: the left is in m^2 s^-2, the right in m s^-1 | in this sheet v has m s^-1, a has m s^-2, t has s",
        ],
    );
    planted(
        "formula wrong: t = v/a + sin(s)",
        &[
            "9:16 dimension what `sin` acts on must have no unit; here it is in m | in this sheet t has s, v has m s^-1, a has m s^-2, s has m",
        ],
    );
    planted(
        "quantity F: force, Nm\nF t = s",
        &["9:20 unit `Nm` is not a unit that I know | did you mean N m?"],
    );
    planted(
        "quantity m: mass, KG\nm t = s",
        &["9:19 unit `KG` is not a unit that I know | did you mean kg?"],
    );
    planted(
        "quantity c: heat capacity, J/kg K\nc t = s",
        &[
            "9:28 unit a slash with two units after it can be read in two ways | did you mean brackets, as in J/(kg K), or powers, as in J kg^-1 K^-1?",
        ],
    );
    planted(
        "quantity v: volume, m^3",
        &[
            "9:10 meaning `v` stands for two things: line 4 says it is final velocity | give one of them another symbol, perhaps with a subscript",
        ],
    );
    planted(
        "quantity t: time, s",
        &["9:10 duplicate `t` is declared twice: line 6 says the same"],
    );
    planted("v = u+a t", &["9:1 duplicate line 7 says the same"]);
    planted(
        "formula start: u = v - a t\nformula start: a = (v - u)/t",
        &["10:9 duplicate two formulae are called `start`: see line 9"],
    );
    planted(
        "constant h = 6.36e-34 J s: the Planck constant\nquantity f: frequency, Hz\nquantity E: energy, J\nE = h f",
        &[
            "9:14 constant this differs from the published value of the Planck constant (CODATA 2022) | to as many figures it is 6.63e-34 J s",
        ],
    );
    planted(
        "constant N_A = 6.022e22 mol^-1\nquantity N: number, 1\nquantity n: amount, mol\nN = n N_A",
        &[
            "9:16 constant this differs from the published value of the Avogadro constant (CODATA 2022) | to as many figures it is 6.022e23 mol^-1",
        ],
    );
    planted(
        "quantity c: wave speed, m s^-1",
        &["9:10 unused no formula uses `c`"],
    );
    planted(
        "V = u + a t",
        &[
            "9:1 undeclared `V` has no quantity line, although others have | did you mean v? Or add a line:  quantity V: ...",
        ],
    );
    planted(
        "include \"other.sheet\"",
        &["9:10 include there is no sheet `other.sheet` here"],
    );
    planted(
        "proof p: Show it.\n  given v = u + a t",
        &[
            "9:7 incomplete this proof has no `show` line, so nothing is to be shown | add one below it:  show v^2 = u^2 + 2 a s",
        ],
    );
    planted(
        "notation other: q -> x",
        &["9:17 incomplete no formula or quantity of this topic has `q`"],
    );
    planted(
        "notation other: s -> t",
        &[
            "9:22 meaning `t` stands for two things: line 6 says it is time | give one of them another symbol, perhaps with a subscript",
        ],
    );
    planted(
        "quantity x: distance, m, positve\nx = v t",
        &[
            "9:26 syntax `positve` is neither a unit nor positive, nonnegative, real or acute | did you mean positive?",
        ],
    );
    planted(
        "t = v/2a",
        &[
            "9:1 ambiguous this can be read in two ways | brackets make it clear: a/(2 s), sqrt(2 E/m)",
        ],
    );
    planted(
        "quantity w: speed, ms^-1\nw^2 t = a s",
        &[
            "9:20 doubtful-unit `ms^-1` begins with a millisecond | for metres and seconds put a space between: m s^-1",
            "10:1 dimension the two sides don't balance: the left is in s^-1, the right in m^2 s^-2 | in this sheet w has ms^-1, t has s, a has m s^-2, s has m",
        ],
    );
    planted(
        "define speed: how fast\ndefine Speed: distance over time",
        &["10:8 duplicate `Speed` is defined twice"],
    );
    planted(
        "quantity sin: sine",
        &["9:10 syntax `sin` has a meaning of its own in mathematics | choose another symbol"],
    );
}

#[test]
fn a_symbol_without_a_unit_keeps_one_meaning() {
    planted(
        "quantity k: a constant\nquantity j: another\nk = s/t\nj = s t\nk = v^2",
        &[
            "13:1 meaning `k` is used with two meanings: here it is in m^2 s^-2, in the formulae above in m s^-1 | give one of them another symbol, perhaps with a subscript",
        ],
    );
}

#[test]
fn maths_that_cannot_be_read_has_a_caret() {
    let formulary =
        Formulary::from_text("t.sheet", "topic Waves\nformula speed: v = f (λ\nT = 1/f\n");
    assert_eq!(formulary.formula_count(), 1, "the other formula serves");
    let faults = proofread(&formulary);
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].kind, FaultKind::Syntax);
    let shown = faults[0].diagnostic.render();
    assert!(shown.starts_with("t.sheet:2:22: "), "{shown}");
    assert!(
        shown.contains("\n  formula speed: v = f (λ\n                       ^"),
        "{shown}"
    );
}

#[test]
fn sound_sheets_oddly_written_draw_nothing() {
    for text in [
        "topic Waves\nv = f λ\n",
        "v = f λ",
        "",
        "# nothing but a remark\n",
        "\u{FEFF}topic Waves\r\n\r\nv = f λ\r\nT = 1/f\r\n",
        "TOPIC waves :  Waves\n\tQUANTITY v : speed ,  m/s\n\tquantity f: frequency, Hz\n\tquantity lambda: wavelength, metres\n\tformula: v = f*λ\n",
        "v = f lambda\nv = λ/T",
        "topic gas\nquantity T: temperature, K\nquantity θ: temperature, °C, real\nT = θ + 273.15\n",
        "topic decay\nquantity A: activity, Bq\nquantity A_0: activity at the start, Bq\nquantity λ: decay constant, s^-1\nquantity t: time, s\nln A = ln A_0 - λ t\nA = A_0 e^(-λ t)\n",
        "topic gas\nquantity p: pressure, Pa\nquantity V: volume, m^3\nquantity γ: ratio of heat capacities, 1\np V^γ = k\n".replace("p V^γ = k", "p_1 V_1^γ = p_2 V_2^γ\nquantity p_1: before, Pa\nquantity p_2: after, Pa\nquantity V_1: before, m^3\nquantity V_2: after, m^3\ndefine work: pressure times change of volume ; W = p V\nquantity W: work, J\np = W/V when it is constant\nγ = 1").as_str(),
        "topic two\nquantity v: speed, metres per second\nquantity s: distance, or path, m\nquantity t: time, s\nformula speed:\n  v =\n    s/t\n  when the speed is steady\nwhen nothing slips\n",
        "topic late\nv = s/t\nquantity v: speed, m s⁻¹\nquantity s: distance, m\nquantity t: time, s\n",
        "topic first\nE = 1/2 m v^2\ntopic second\nE = V/d\ntopic first\np = m v\n",
        "topic g\nconstant g = 9.81 m s^-2: free fall\nquantity g: acceleration of free fall, m s^-2\nquantity T: period, s\nquantity l: length, m\nT = 2π√(l/g)\n",
        "topic light\nconstant c = 2.0e8 m/s: speed of light in glass\nconstant h = 6.63×10⁻³⁴ J s: Planck's constant\nconstant μ_0 = 4π×10^-7 H/m: permeability of free space\nE = h c/λ\nB = μ_0 I/(2 π r)\n",
        "topic chain\na = b = c\n",
        "topic mixed\nquantity E_k (Ek, KE): kinetic energy, J\nquantity m: mass, kg\nquantity v: speed, m s^-1\nKE = ½mv²\n",
        "topic rates\nquantity n: number of turns, no unit\nquantity L: length, m\nquantity N: turns per length, 1/m\nN=n/L # short\n",
    ] {
        assert_eq!(findings(text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn hostile_bytes_are_reported_not_feared() {
    for bytes in [
        &b"\0\0\0"[..],
        b"\xFF\xFE\0",
        b"topic a\nv = \xC3\x28 t\n",
        b"formula : = \n= \n==\n",
        b"quantity : , , ,\nquantity (: x\n",
        b"notation -> -> ->\nnotation a -> a\n",
        b"constant x = 1e9999\nconstant y = -\n",
        b"proof\nproof p\nshow\ngiven ;;;\n",
        b"include\ninclude \"\n",
        b"mark\nmark M1\nroute\nlet\n",
        b"topic :\ntopic ::\n:\n",
    ] {
        let mut formulary = Formulary::new();
        formulary.add("t.sheet", bytes, &mut |_, _| Err("no".to_owned()));
        let faults = proofread(&formulary);
        assert!(!faults.is_empty(), "{}", String::from_utf8_lossy(bytes));
        for fault in faults {
            assert!(!fault.diagnostic.render().is_empty());
        }
    }
}

#[test]
fn names_and_keys_are_stable() {
    let formulary = Formulary::from_text(
        "t.sheet",
        "topic Radio Waves: All about them\nv = f λ\nv = λ/T\nformula The Period: T = 1/f\na = b = c\n",
    );
    let topic = &formulary.topics[0];
    let keys: Vec<String> = topic
        .formulae
        .iter()
        .map(|formula| topic.formula_key(formula))
        .collect();
    assert_eq!(
        keys,
        [
            "radio-waves/v",
            "radio-waves/v=λ/T",
            "radio-waves/the-period",
            "radio-waves/a",
            "radio-waves/a-2"
        ]
    );
    for key in keys {
        let (_, formula) = formulary.formula(&key).expect("the key finds it");
        assert_eq!(format!("radio-waves/{}", formula.name), key);
    }
}

#[test]
fn questions_leave_out_constants_and_the_own_subject() {
    let formulary = Formulary::from_text(
        "t.sheet",
        "topic q\nconstant h = 6.63e-34 J s\nconstant g = 9.81 m s^-2\nquantity g: free fall, m s^-2\nE = h f\nW = m g\nm g h_1 = E_1\n",
    );
    let names: Vec<String> = formulary
        .questions()
        .map(|(topic, formula, symbol)| {
            format!("{} {}", formula.name, topic.vocabulary.table().name(symbol))
        })
        .collect();
    assert_eq!(
        names,
        ["E f", "W m", "W g", "mgh_1 m", "mgh_1 g", "mgh_1 h_1"]
    );
}

/// A loader that knows these sheets.
fn with_sheets(main: &str, sheets: &[(&str, &str)]) -> Formulary {
    let mut formulary = Formulary::new();
    formulary.add("main.sheet", main.as_bytes(), &mut |_, wanted| {
        sheets
            .iter()
            .find(|(name, _)| *name == wanted)
            .map(|(name, text)| Loaded {
                name: (*name).to_owned(),
                bytes: text.as_bytes().to_vec(),
            })
            .ok_or_else(|| format!("there is no file `{wanted}`"))
    });
    formulary
}

#[test]
fn included_sheets() {
    let shared = (
        "shared.sheet",
        "quantity t: time, s\nquantity s: distance, m\n",
    );
    let waves = ("waves.sheet", "topic waves\nv = f λ\n");
    // Without a topic of its own a sheet belongs where it is included.
    let formulary = with_sheets(
        "topic motion\ninclude \"shared.sheet\"\nv = s/t\nquantity v: speed, m/s\ninclude \"shared.sheet\"\ninclude \"waves.sheet\"\na = v/t\nquantity a: acceleration, m s^-2\n",
        &[shared, waves],
    );
    assert_eq!(describe(&formulary), Vec::<String>::new());
    assert_eq!(formulary.topics.len(), 2);
    assert_eq!(formulary.topics[0].formulae.len(), 2);
    assert_eq!(formulary.topics[0].quantities.len(), 4);
    // A fault inside names the inner file.
    let formulary = with_sheets(
        "topic motion\ninclude \"inner.sheet\"\nv = s/t\n",
        &[("inner.sheet", "what is this\n")],
    );
    assert_eq!(formulary.faults[0].file(), "inner.sheet");
    assert_eq!(formulary.formula_count(), 1);
}

#[test]
fn circles_missing_sheets_and_towers_of_them() {
    let formulary = with_sheets("v = f λ\ninclude \"main.sheet\"\n", &[("main.sheet", "")]);
    assert_eq!(
        describe(&formulary),
        [
            "2:10 include this sheet includes itself, on its own or through others | take one of the include lines out"
        ]
    );
    let formulary = with_sheets(
        "include \"a.sheet\"\nv = f λ\n",
        &[
            ("a.sheet", "include \"b.sheet\"\n"),
            ("b.sheet", "include \"a.sheet\"\n"),
        ],
    );
    assert_eq!(formulary.faults.len(), 1);
    assert_eq!(formulary.faults[0].file(), "b.sheet");
    assert_eq!(formulary.formula_count(), 1);
    // Each sheet includes the next one.
    let tower = |levels: usize| {
        let mut formulary = Formulary::new();
        let mut level = 0;
        formulary.add("0", b"include \"next\"", &mut |_, _| {
            level += 1;
            let text = if level < levels {
                "include \"next\""
            } else {
                "v = f λ"
            };
            Ok(Loaded {
                name: level.to_string(),
                bytes: text.as_bytes().to_vec(),
            })
        });
        formulary
    };
    assert_eq!(tower(MAX_INCLUDE_DEPTH).faults.len(), 0);
    assert_eq!(tower(MAX_INCLUDE_DEPTH).formula_count(), 1);
    assert_eq!(tower(MAX_INCLUDE_DEPTH + 1).faults.len(), 1);
    // Two at each level would be 65,536 sheets.
    let mut formulary = Formulary::new();
    let mut count = 0;
    formulary.add("0", b"include \"x\"\ninclude \"y\"", &mut |_, _| {
        count += 1;
        Ok(Loaded {
            name: count.to_string(),
            bytes: b"include \"x\"\ninclude \"y\"".to_vec(),
        })
    });
    assert!(formulary.faults.len() >= 2);
    assert_eq!(count, MAX_INCLUDES);
}

#[test]
fn a_later_sheet_replaces_a_topic() {
    let mut formulary = Formulary::from_text("a", "topic Waves\nv = f λ\n");
    formulary.add("b", b"topic Waves\nT = 1/f\n", &mut |_, _| {
        Err(String::new())
    });
    assert_eq!(formulary.topics.len(), 1);
    assert_eq!(formulary.topics[0].formulae[0].text(), "T = 1/f");
}
