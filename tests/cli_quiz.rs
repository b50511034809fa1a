//! `rejig quiz` and its questions, through the binary.

mod cli_support;

use cli_support::{check, command, file, run, run_command};

const FOR_A: [&str; 5] = ["quiz", "--formula", "v^2 = u^2 + 2as", "--for", "a"];

#[test]
fn the_line_of_the_readme() {
    check(
        &FOR_A,
        "a = (v^2-u^2)/2s\n",
        "1. (2 marks)
     v² = u² + 2as
   Make a the subject.
   Read as:
     a = (v² - u²)/(2s)
   ✓ Right.

Marks: 2 of 2 (1 of 1 right).
",
        "",
        0,
    );
}

#[test]
fn a_wrong_answer_comes_with_numbers_to_try() {
    let ran = run(&FOR_A, "a = v^2 - u^2/2s\n");
    assert_eq!(ran.status, 0);
    assert!(
        ran.stdout.contains("✗ Wrong.\n   With v = "),
        "{}",
        ran.stdout
    );
    assert!(
        ran.stdout.contains("the formula gives a = "),
        "{}",
        ran.stdout
    );
    assert!(ran.stdout.contains("your line gives "), "{}", ran.stdout);
    assert!(ran.stdout.ends_with("Marks: 1 of 2 (0 of 1 right).\n"));
}

#[test]
fn what_cannot_be_read_gets_a_caret_and_a_mend() {
    check(
        &FOR_A,
        "a = (V^2 - u^2)/(2s)\n",
        "1. (2 marks)
     v² = u² + 2as
   Make a the subject.
   ? I can't read this.
   There is no symbol V here.
     a = (V^2 - u^2)/(2s)
          ^
   Did you mean v? Capital and small letters are different symbols.

Marks: 0 of 0 (0 of 1 right, 1 unreadable).
",
        "",
        0,
    );
}

#[test]
fn an_undecided_answer_costs_no_marks() {
    let ran = run(&FOR_A, "a = 9^9^9^9\n");
    assert!(ran.stdout.contains("? Undecided."), "{}", ran.stdout);
    assert!(
        ran.stdout
            .ends_with("Marks: 0 of 0 (0 of 1 right, 1 undecided).\n"),
        "{}",
        ran.stdout
    );
}

#[test]
fn an_input_that_ends_early_is_said() {
    check(
        &["quiz", "--formula", "v = f λ", "--for", "f", "--count", "2"],
        "v/λ",
        "1. (1 mark)
     v = fλ
   Make f the subject.
   Read as:
     f = v/λ
   ✓ Right.

2. (1 mark)
     v = fλ
   Make f the subject.
   ? Not answered.

Marks: 1 of 2 (1 of 2 right, 1 not answered).
",
        "",
        0,
    );
}

#[test]
fn notes_in_words() {
    for (formula, subject, answer, has) in [
        ("v^2 = u^2 + 2as", "s", "(v^2-u^2)/2*a", "Wrong."),
        (
            "A = pi r^2",
            "r",
            "r = sqrt(A/3.14)",
            "A constant has been rounded.",
        ),
        (
            "v = u + a t",
            "a",
            "a t = v - u",
            "True so far, but a is not by itself on one side yet.",
        ),
        (
            "v = u + a t",
            "a",
            "t = (v-u)/a",
            "This makes t the subject",
        ),
        ("v = u + a t", "t", "t = v-u/a", "Wrong."),
    ] {
        let ran = run(&["quiz", "--formula", formula, "--for", subject], answer);
        let plain = ran.stdout.replace("\n   ", " ");
        assert!(plain.contains(has), "{answer}: {plain}");
    }
}

#[test]
fn a_slash_of_two_readings_is_shown_back_with_its_brackets() {
    let ran = run(&["quiz", "--formula", "a = 2 s b", "--for", "b"], "a/2*s\n");
    assert!(ran.stdout.contains("✗ Wrong."), "{}", ran.stdout);
    let ran = run(&["quiz", "--formula", "2 y = a s", "--for", "y"], "a/2s\n");
    let plain = ran.stdout.replace("\n   ", " ");
    assert!(plain.contains("✓ Right."), "{plain}");
    assert!(plain.contains("can be read in two ways"), "{plain}");
}

#[test]
fn one_root_of_two_is_right_and_noted() {
    let ran = run(
        &[
            "quiz",
            "--formula",
            "v^2 = u^2 + 2as",
            "--for",
            "u",
            "--real",
            "u",
        ],
        "u = sqrt(v^2 - 2as)\n",
    );
    let plain = ran.stdout.replace("\n   ", " ");
    assert!(plain.contains("✓ Right."), "{plain}");
    assert!(plain.contains("one root of two"), "{plain}");
}

#[test]
fn the_same_seed_gives_the_same_quiz() {
    let first = run(&["quiz", "--seed", "11", "--count", "20"], "x\n");
    let second = run(&["quiz", "--seed", "11", "--count", "20"], "x\n");
    let third = run(&["quiz", "--seed", "12", "--count", "20"], "x\n");
    assert_eq!(first.status, 0);
    assert_eq!(first.stdout, second.stdout);
    assert_ne!(first.stdout, third.stdout);
    assert!(first.stdout.contains("\n20. "));
    assert!(!first.stdout.contains('\u{1b}'));
}

#[test]
fn without_a_seed_it_says_which_one_it_took() {
    let ran = run(&["quiz", "--count", "1", "--topic", "waves"], "");
    assert!(ran.stdout.starts_with("Seed "), "{}", ran.stdout);
    let seed: String = ran.stdout[5..]
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let again = run(
        &["quiz", "--count", "1", "--topic", "waves", "--seed", &seed],
        "",
    );
    assert!(ran.stdout.ends_with(&again.stdout));
}

#[test]
fn questions_alone_ask_for_nothing() {
    check(
        &["quiz", "--questions", "--formula", "v = f λ", "--for", "f"],
        "",
        "1. (1 mark)\n     v = fλ\n   Make f the subject.\n\n",
        "",
        0,
    );
    check(
        &[
            "quiz",
            "--questions",
            "--formula",
            "v = f λ",
            "--for",
            "f",
            "--format",
            "csv",
        ],
        "",
        "number,topic,formula,subject,marks\n1,,v = f lambda,f,1\n",
        "",
        0,
    );
}

#[test]
fn the_two_line_sheet() {
    let path = file("two-lines.sheet", "topic Waves\nv = f λ\n");
    let path = path.to_str().unwrap();
    let ran = run(
        &[
            "quiz", "--sheet", path, "--only", "--seed", "1", "--count", "2",
        ],
        "v/λ\nv/f\n",
    );
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    assert_eq!(ran.stdout.matches("Waves (1 mark)").count(), 2);
    assert!(ran.stdout.contains("Make f the subject."));
    assert!(ran.stdout.contains("Make λ the subject."));
}

#[test]
fn a_sheet_with_a_fault_still_serves_its_good_entries() {
    let path = file("half.sheet", "topic Halves\nv = f λ\nx = = y\n");
    let path = path.to_str().unwrap();
    let ran = run(
        &[
            "quiz",
            "--sheet",
            path,
            "--topic",
            "halves",
            "--questions",
            "--seed",
            "1",
            "--count",
            "2",
        ],
        "",
    );
    assert_eq!(ran.status, 0);
    assert!(ran.stdout.contains("v = fλ"), "{}", ran.stdout);
    assert_eq!(
        ran.stderr,
        format!(
            "rejig: {path} has a fault; the other entries are used. `rejig proofread {path}` says \
             more.\n"
        )
    );
}

#[test]
fn results_as_json_and_as_a_table() {
    let json = run(
        &[
            "quiz",
            "--formula",
            "v = f λ",
            "--for",
            "f",
            "--count",
            "3",
            "--format",
            "json",
        ],
        "v/λ\nv λ\n(\n",
    );
    let value: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(value["marks"]["awarded"], 1);
    assert_eq!(value["marks"]["available"], 2);
    assert_eq!(value["right"], 1);
    let verdicts: Vec<&str> = (0..3)
        .map(|index| value["questions"][index]["verdict"].as_str().unwrap())
        .collect();
    assert_eq!(verdicts, ["right", "wrong", "unreadable"]);
    assert_eq!(value["questions"][0]["read_as"], "f = v/lambda");
    let table = run(
        &[
            "quiz",
            "--formula",
            "v = f λ",
            "--for",
            "f",
            "--count",
            "2",
            "--format",
            "csv",
        ],
        "=v/λ\nv/λ\n",
    );
    assert_eq!(
        table.stdout,
        "number,topic,formula,subject,marks,answer,verdict,awarded,slip,remark
1,,v = f lambda,f,1,'=v/λ,unreadable,0,,I can't read this. There is nothing on the left of this equals sign. Write something on both sides of =.
2,,v = f lambda,f,1,v/λ,right,1,,Right.
"
    );
}

#[test]
fn an_ascii_locale_gets_ascii() {
    let mut command = command(&FOR_A);
    command.env("LANG", "C");
    let ran = run_command(command, b"(v^2-u^2)/(2s)\n");
    assert!(ran.stdout.is_ascii(), "{}", ran.stdout);
    assert!(ran.stdout.contains("v^2 = u^2 + 2as"));
    assert!(ran.stdout.contains("+ Right."));
}

#[test]
fn colour_only_where_it_is_asked_for() {
    let answer = b"(v^2-u^2)/(2s)\n";
    let mut forced = command(&FOR_A);
    forced.env("CLICOLOR_FORCE", "1");
    let forced = run_command(forced, answer);
    assert!(forced.stdout.contains("\u{1b}["));
    assert!(forced.stdout.contains("✓ Right."));
    let mut refused = command(&FOR_A);
    refused.env("CLICOLOR_FORCE", "1").env("NO_COLOR", "1");
    assert!(!run_command(refused, answer).stdout.contains('\u{1b}'));
    assert!(
        !run_command(command(&FOR_A), answer)
            .stdout
            .contains('\u{1b}')
    );
}

#[test]
fn requests_that_make_no_sense() {
    for (arguments, told) in [
        (
            &["quiz", "--topic", "wavs"][..],
            "rejig: There is no topic `wavs`. Did you mean `waves`?\n",
        ),
        (
            &["quiz", "--formula", "v = f λ", "--for", "x"],
            "rejig: The formula has no x. Its letters are v, f and λ.\n",
        ),
        (
            &["quiz", "--formula", "y = x + sin x", "--for", "x"],
            "rejig: There is no way known here to free x.\n",
        ),
        (
            &["quiz", "--formula", "v = f λ", "--for", "v"],
            "rejig: There is no work to do: v stands alone already.\n",
        ),
        (
            &["quiz", "--sheet", "/no/such/file"],
            "rejig: There is no file `/no/such/file`.\n",
        ),
        (
            &["quiz", "--formula", "v = x y", "--domain", "x=odd"],
            "rejig: `odd` is no domain; there are positive, nonnegative, real and acute.\n",
        ),
        (
            &["quiz", "--formula", "v = x y", "--real", "2"],
            "rejig: `2` is not a letter for a quantity.\n",
        ),
    ] {
        check(arguments, "", "", told, 2);
    }
}

/// The quiz of these arguments as a file.
fn quiz_file(name: &str, arguments: &[&str]) -> String {
    let mut all = vec!["quiz", "--questions", "--format", "json"];
    all.extend(arguments);
    let ran = run(&all, "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    let path = file(name, &ran.stdout);
    path.to_str().unwrap().to_owned()
}

#[test]
fn a_quiz_in_a_file_asks_the_same_questions() {
    let chosen = ["--topic", "motion", "--seed", "4", "--count", "6"];
    let path = quiz_file("motion.quiz.json", &chosen);
    let mut live = vec!["quiz", "--format", "json"];
    live.extend(chosen);
    let answers = "a = (v-u)/t\nu\n\nt = s\n(\nv_m = 1\n";
    let live = run(&live, answers);
    let filed = run(&["quiz", "--quiz", &path, "--format", "json"], answers);
    assert_eq!((live.status, filed.status), (0, 0));
    assert_eq!(live.stdout, filed.stdout);
    let text = run(&["quiz", "--quiz", &path, "--questions"], "");
    let mut sheet = vec!["quiz", "--questions"];
    sheet.extend(chosen);
    assert_eq!(text.stdout, run(&sheet, "").stdout);
}

#[test]
fn marks_and_kinds_choose() {
    let ran = run(
        &[
            "quiz",
            "--seed",
            "2",
            "--count",
            "12",
            "--marks",
            "3-4",
            "--questions",
            "--format",
            "json",
        ],
        "",
    );
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    let questions = value["questions"].as_array().unwrap();
    assert_eq!(questions.len(), 12);
    for question in questions {
        let marks = question["marks"].as_u64().unwrap();
        assert!((3..=4).contains(&marks), "{question}");
    }
    let ran = run(
        &[
            "quiz",
            "--topic",
            "motion",
            "--kind",
            "proof",
            "--kind",
            "rearrangement",
            "--seed",
            "2",
            "--count",
            "4",
            "--questions",
        ],
        "",
    );
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert_eq!(
        ran.stdout.matches("     show  ").count(),
        2,
        "{}",
        ran.stdout
    );
    assert_eq!(
        ran.stdout.matches("the subject.").count(),
        2,
        "{}",
        ran.stdout
    );
}

#[test]
fn nothing_that_fits_is_said() {
    for arguments in [
        &["quiz", "--topic", "motion", "--marks", "40"][..],
        &[
            "quiz", "--topic", "motion", "--kind", "proof", "--marks", "40",
        ],
    ] {
        let ran = run(arguments, "");
        assert_eq!(ran.status, 2);
        assert!(
            ran.stderr.starts_with("rejig: There is nothing to ask"),
            "{}",
            ran.stderr
        );
    }
}

#[test]
fn answers_as_working_with_blank_lines_between() {
    let ran = run(
        &[
            "quiz",
            "--formula",
            "v^2 = u^2 + 2as",
            "--for",
            "a",
            "--count",
            "4",
            "--working",
        ],
        "v^2 - u^2 = 2as\na = (v^2-u^2)/(2s)\n\n\nv^2 + u^2 = 2as\na = (v^2+u^2)/(2s)\n\nskip\nso v^2 - u^2 \
         = 2as\n",
    );
    insta::assert_snapshot!(ran.stdout);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
}

#[test]
fn a_proof_by_pipe() {
    let path = file(
        "proof.quiz.json",
        r#"{"quiz":1,"questions":[{"kind":"proof","title":"Motion","statement":"Show it without the time.",
            "given":["v = u + a t","s = 1/2 (u + v) t"],"goal":"v^2 = u^2 + 2 a s",
            "scheme":["M1 when t is the subject","M1 when a line has no t","A1 when the result is shown"],
            "quantities":{"u":"real","v":"real","a":"real","s":"real"}}]}"#,
    );
    let path = path.to_str().unwrap();
    let answer = "t = (v - u)/a\ns = (u + v)(v + u)/(2a)\nv^2 = u^2 + 2as\n";
    let ran = run(&["quiz", "--quiz", path], answer);
    insta::assert_snapshot!(ran.stdout);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    let json = run(&["quiz", "--quiz", path, "--format", "json"], answer);
    let value: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(value["questions"][0]["verdict"], "wrong");
    assert_eq!(value["questions"][0]["first_bad"], 1);
    assert_eq!(
        value["questions"][0]["lines"][1]["evidence"]["kind"],
        "counterexample"
    );
}

#[test]
fn evidence_has_its_values() {
    let mut arguments = FOR_A.to_vec();
    arguments.extend(["--format", "json"]);
    let ran = run(&arguments, "a = (v^2+u^2)/2s\n");
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    let question = &value["questions"][0];
    let evidence = &question["evidence"];
    let values = &evidence["values"];
    let number = |name: &str| values[name].as_f64().unwrap();
    let (v, u, s) = (number("v"), number("u"), number("s"));
    let close = |left: f64, right: f64| (left - right).abs() < 1e-9;
    assert!(close(
        evidence["expected"].as_f64().unwrap(),
        (v * v - u * u) / (2.0 * s)
    ));
    assert!(close(
        evidence["got"].as_f64().unwrap(),
        (v * v + u * u) / (2.0 * s)
    ));
    assert_eq!(question["slip"]["name"], "sign-not-changed");
}

#[test]
fn files_that_are_no_quiz() {
    for (name, text, told) in [
        ("a.json", "{", "it is no quiz, or its end is missing"),
        (
            "b.json",
            "{\"quiz\":1,\"questions\":[]}",
            "it has no questions",
        ),
        ("c.json", "{\"quiz\":9,\"questions\":[{}]}", "version 9"),
        (
            "d.json",
            "{\"quiz\":1,\"questions\":[{\"formula\":\"v = = f\",\"subject\":\"f\"}]}",
            "question 1: It can't be read",
        ),
    ] {
        let path = file(name, text);
        let ran = run(&["quiz", "--quiz", path.to_str().unwrap()], "");
        assert_eq!(ran.status, 2);
        assert!(ran.stderr.contains(told), "{}", ran.stderr);
        assert_eq!(ran.stdout, "");
    }
}
