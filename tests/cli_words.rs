//! Definitions, proportion and connections through the binary.

mod cli_support;

use cli_support::{fresh_folder, run};
use serde_json::Value;

fn judged(request: &str) -> Value {
    let ran = run(&["judge"], &format!("{request}\n"));
    assert_eq!(ran.status, 0, "{}", ran.stdout);
    serde_json::from_str(&ran.stdout).unwrap()
}

#[test]
fn the_task_definition() {
    let told = judged(
        r#"{"id":"1","task":"definition","term":"capacitance","answer":"charge per unit voltage"}"#,
    );
    assert_eq!(told["verdict"], "right");
    assert_eq!(told["read_as"], "Q/V");
    assert_eq!(told["marks"]["awarded"], 1);
    let told = judged(
        r#"{"id":"1","task":"definition","term":"capacitance","answer":"charge per unit voltage squared"}"#,
    );
    assert_eq!(told["verdict"], "wrong");
    assert_eq!(told["evidence"]["kind"], "counterexample");
    assert_eq!(told["evidence"]["values"]["V"], 2);
    let told =
        judged(r#"{"id":"1","task":"definition","term":"moment","answer":"force times distance"}"#);
    assert_eq!(told["verdict"], "wrong");
    assert_eq!(told["missing"][0], "perpendicular");
    assert_eq!(told["marks"]["awarded"], 1);
    assert_eq!(told["marks"]["available"], 2);
    let told = judged(
        r#"{"id":"1","task":"definition","term":"capacitance","answer":"charge per banana"}"#,
    );
    assert_eq!(told["verdict"], "unreadable");
    assert_eq!(told["unread"][0], "banana");
    assert_eq!(told["understood"][0], "charge");
    for request in [
        r#"{"id":"1","task":"definition","answer":"charge"}"#,
        r#"{"id":"1","task":"definition","term":"bananas","answer":"charge"}"#,
    ] {
        assert_eq!(run(&["judge"], &format!("{request}\n")).status, 2);
    }
}

#[test]
fn the_task_proportion() {
    for (answer, verdict) in [
        ("a quarter", "right"),
        ("F/4", "right"),
        ("half", "wrong"),
        ("a bit", "unreadable"),
    ] {
        let told = judged(&format!(
            r#"{{"id":"1","task":"proportion","formula":"F = k/r^2","subject":"F","varied":"r","scale":2,"answer":"{answer}"}}"#
        ));
        assert_eq!(told["verdict"], verdict, "{answer}");
        if verdict != "unreadable" {
            assert_eq!(told["factor"], "2^(-2)");
        }
    }
    for (formula, scale) in [
        ("F = k + r", "2"),
        ("F = k/r^2", "\"0\""),
        ("F = k/r^2", "\"two\""),
    ] {
        let request = format!(
            r#"{{"id":"1","task":"proportion","formula":"{formula}","subject":"F","varied":"r","scale":{scale},"answer":"4"}}"#
        );
        assert_eq!(run(&["judge"], &format!("{request}\n")).status, 2);
    }
}

#[test]
fn a_definition_in_the_drill() {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    let sheet = folder.join("tiny.sheet");
    let text = "topic tiny: Tiny\nquantity p: pressure, Pa\nquantity F: force, N\nquantity A: area, m^2\n\
                define pressure: force per unit area at right angles ; p = F/A\n  needs at right angles (normal)\n";
    std::fs::write(&sheet, text).unwrap();
    let arguments = [
        "drill",
        "--sheet",
        sheet.to_str().unwrap(),
        "--topic",
        "tiny",
        "--kind",
        "definition",
        "--day",
        "2027-03-01",
        "--journal",
        folder.join("j.jsonl").to_str().unwrap(),
        "--count",
        "1",
    ]
    .map(str::to_owned);
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let ran = run(
        &arguments,
        "hint\nletters\nforce per gadget\nforce per unit area\nnormal force per unit area\n",
    );
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    for said in [
        "1 of 1. New. Tiny (2 marks)",
        "Define pressure in words.",
        "It speaks of: area, force. There is a condition to be said too.",
        "There are no letters here.",
        "I can't read \"gadget\".",
        "it must also say \"at right angles\"",
        "Right.",
        "Right at first try: 0 of 1. Marks: ",
    ] {
        assert!(ran.stdout.contains(said), "{said}\n{}", ran.stdout);
    }
}

#[test]
fn a_connection_in_the_drill() {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    let sheet = folder.join("tiny.sheet");
    let text = "topic springs: Springs\nquantity F: force, N\nquantity x: extension, m\nquantity k: stiffness, N/m\nformula spring: F = k x\n\
                topic laws: Laws\nquantity F: force, N\nquantity m: mass, kg\nquantity a: acceleration, m s^-2\nformula law: F = m a\n\
                connect pull: One force.\n  given F = k x from springs/spring\n  given F = m a from laws/law\n  show a = k x/m\n";
    std::fs::write(&sheet, text).unwrap();
    let journal = folder.join("j.jsonl");
    let drill = |kind: &str, input: &str| {
        let arguments = [
            "drill",
            "--sheet",
            sheet.to_str().unwrap(),
            "--topic",
            "laws",
            "--kind",
            kind,
            "--day",
            "2027-03-01",
            "--journal",
            journal.to_str().unwrap(),
            "--count",
            "9",
            "--seed",
            "1",
        ]
        .map(str::to_owned);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        run(&arguments, input)
    };
    let ran = drill(
        "connection",
        "hint\nk x = m a^2\nk x = m a\na = F/m\na = k x m\na = k x/m\n",
    );
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    for said in [
        "Springs and Laws (2 marks)",
        "Give a in terms of k, x and m.",
        "What has to go: F.",
        "Does not follow.",
        "Marks for the working: 1 of 2. The result is to be without F.",
        "m multiplies a, so divide by it to undo that.",
        "Right.",
    ] {
        assert!(ran.stdout.contains(said), "{said}\n{}", ran.stdout);
    }
    // Unasked, it waits until its parts are secure.
    let journal_of_none = folder.join("none.jsonl");
    let ran = run(
        &[
            "drill",
            "--sheet",
            sheet.to_str().unwrap(),
            "--topic",
            "laws",
            "--day",
            "2027-03-01",
            "--journal",
            journal_of_none.to_str().unwrap(),
            "--count",
            "9",
        ],
        "show\n\nshow\n\nshow\n\nshow\n\nshow\n",
    );
    assert!(!ran.stdout.contains("One force."), "{}", ran.stdout);
}

#[test]
fn the_verb_connect() {
    let ran = run(&["connect", "momentum", "wavelength"], "");
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let first: Vec<&str> = ran.stdout.lines().take(3).collect();
    assert_eq!(
        first,
        [
            "   momentum",
            "      |  λ = h/p   (Photons, electrons and waves of matter)",
            "   wavelength",
        ]
        .map(|line| line.replace('|', "│"))
    );
    let ran = run(&["connect", "momentun", "wavelength"], "");
    assert_eq!(ran.status, 2);
    assert!(
        ran.stderr.contains("Did you mean `momentum`?"),
        "{}",
        ran.stderr
    );
    let ran = run(&["connect", "momentum"], "");
    assert_eq!(ran.status, 2);
    let ran = run(&["connect"], "");
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""));
    assert!(ran.stdout.matches("   Give ").count() >= 30);
    let ran = run(&["connect", "--suggest", "--count", "3"], "");
    assert_eq!(ran.status, 0);
    assert_eq!(ran.stdout.matches(". By the ").count(), 3);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn definitions_and_connections_in_quiz_mark_and_worksheet() {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    let quiz = folder.join("quiz.json");
    let text = r#"{"quiz":1,"questions":[
        {"kind":"definition","topic":"capacitors","term":"capacitance"},
        {"kind":"definition","topic":"forces","term":"moment"}]}"#;
    std::fs::write(&quiz, text).unwrap();
    let quiz = quiz.to_str().unwrap();
    let ran = run(
        &["quiz", "--quiz", quiz, "--format", "json"],
        "charge per unit voltage\nforce times distance\n",
    );
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert!(
        ran.stdout.contains(r#""verdict": "right""#),
        "{}",
        ran.stdout
    );
    assert!(ran.stdout.contains(r#""perpendicular""#), "{}", ran.stdout);
    let answers = folder.join("answers.csv");
    std::fs::write(
        &answers,
        "seat,question,answer\n1,1,charge per unit voltage\n1,2,force times distance\n\
         2,1,voltage per unit charge\n2,2,force times perpendicular gadget distance\n",
    )
    .unwrap();
    let ran = run(&["mark", "--quiz", quiz, answers.to_str().unwrap()], "");
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert!(
        ran.stdout.contains("Marks: 2 of 4 (50 %)"),
        "{}",
        ran.stdout
    );
    // From the sheets, on screen and on paper.
    for kind in ["definition", "connection"] {
        let arguments = [
            "--kind",
            kind,
            "--topic",
            "magnetic-fields",
            "--count",
            "2",
            "--seed",
            "1",
        ];
        let mut quiz = vec!["quiz", "--questions"];
        quiz.extend(arguments);
        let ran = run(&quiz, "");
        assert_eq!(ran.status, 0, "{kind} {}", ran.stderr);
        let wanted = if kind == "definition" {
            "Define "
        } else {
            "Give "
        };
        assert!(ran.stdout.contains(wanted), "{kind} {}", ran.stdout);
        let mut paper = vec!["worksheet"];
        paper.extend(arguments);
        let ran = run(&paper, "");
        assert_eq!(ran.status, 0, "{kind} {}", ran.stderr);
        assert!(ran.stdout.contains(wanted), "{kind} {}", ran.stdout);
    }
    let strange = folder.join("strange.json");
    let text = r#"{"quiz":1,"questions":[{"kind":"definition","term":"bananas"}]}"#;
    std::fs::write(&strange, text).unwrap();
    let ran = run(&["quiz", "--quiz", strange.to_str().unwrap()], "x\n");
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("don't define"), "{}", ran.stderr);
}
