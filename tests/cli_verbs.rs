//! The other verbs through the binary, help, hostile input, a closed pipe.

mod cli_support;

use std::io::Read;

use cli_support::{check, command, file, run, run_command};

#[test]
fn rearrange_with_its_steps() {
    let ran = run(&["rearrange", "v^2 = u^2 + 2as", "--for", "a"], "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    insta::assert_snapshot!("rearrange_for_a", ran.stdout);
    let ran = run(&["rearrange", "s = u t + 1/2 a t^2", "--for", "t"], "");
    insta::assert_snapshot!("rearrange_quadratic", ran.stdout);
}

#[test]
fn rearrange_without_a_closed_form_is_no_fault() {
    check(
        &["rearrange", "y = x + sin x", "--for", "x"],
        "",
        "Make x the subject of\n        y = x + sin(x)\n\nNo closed form. There is no way known \
         here to free x.\n",
        "",
        0,
    );
}

#[test]
fn rearrange_what_cannot_be_read() {
    check(
        &["rearrange", "v = (u", "--for", "u"],
        "",
        "",
        "rejig: This bracket is never closed.
  v = (u
      ^
  v = (u
        ^ ) was expected by here
",
        2,
    );
}

#[test]
fn rearrange_as_json() {
    let ran = run(
        &["rearrange", "v = u + a t", "--for", "a", "--format", "json"],
        "",
    );
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(value["verdict"], "solved");
    assert_eq!(value["solutions"][0]["value"], "(v - u)/t");
    assert!(value["solutions"][0]["steps"].as_array().unwrap().len() >= 2);
}

#[test]
fn steps_and_their_statuses() {
    check(
        &["step", "v = u + at", "v - u = at"],
        "",
        "First:  v = u + at
Second: v - u = at
✓ Same.
The two lines have the same solutions.
",
        "",
        0,
    );
    check(
        &["step", "x^2 = 4", "x = 2", "--real", "x"],
        "",
        "First:  x² = 4
Second: x = 2
✗ Loses solutions.
Everything that satisfies the second line satisfies the first, but some
solutions of the first are lost.
Try x = -2: the first line holds, but the second has -2 on the left and 2 on the
right.
",
        "",
        1,
    );
    let gains = run(
        &[
            "step",
            "x = y",
            "x^2 = y^2",
            "--domain",
            "x=real",
            "--domain",
            "y=real",
        ],
        "",
    );
    assert!(
        gains.stdout.contains("✗ Gains solutions."),
        "{}",
        gains.stdout
    );
    assert_eq!(gains.status, 1);
    let different = run(&["step", "v = u + at", "v = u - at"], "");
    assert!(
        different.stdout.contains("✗ Different."),
        "{}",
        different.stdout
    );
    assert_eq!(different.status, 1);
    check(
        &["step", "v = u + at", "v - u"],
        "",
        "",
        "rejig: The second line has no equals sign.\n",
        2,
    );
}

#[test]
fn formulae_of_the_sheets() {
    let all = run(&["formulae"], "");
    assert_eq!(all.status, 0);
    assert!(all.stdout.contains("motion "), "{}", all.stdout);
    let found = run(&["formulae", "wavelength", "--topic", "waves"], "");
    assert!(found.stdout.contains("v = f λ"), "{}", found.stdout);
    assert!(!found.stdout.contains("Refraction"));
    check(
        &["formulae", "zzzz"],
        "",
        "Nothing fits. `rejig formulae` lists the topics. A search may be a word\n\
         (energy), a letter (E_k), a formula's name (kinetic) or a unit (J).\n",
        "",
        0,
    );
    let near = run(&["formulae", "wavelenght"], "");
    assert!(
        near.stdout.contains("Did you mean `wavelength`?"),
        "{}",
        near.stdout
    );
    let table = run(&["formulae", "--topic", "waves", "--format", "csv"], "");
    assert!(
        table
            .stdout
            .starts_with("topic,name,formula,condition,subjects\nwaves,")
    );
    let json = run(&["formulae", "--topic", "waves", "--format", "json"], "");
    let rows: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(rows[0]["topic"], "waves");
}

#[test]
fn proofread_good_and_bad() {
    let good = file("good.sheet", "topic Waves\nv = f λ\n");
    check(
        &["proofread", good.to_str().unwrap()],
        "",
        "No faults found. 1 formula can be practised.\n",
        "",
        0,
    );
    let bad = file(
        "bad.sheet",
        "topic Waves\nquantity v: speed, m s^-1\nquantity f: frequency, Hz\nquantity λ: wavelength, \
         m\nv = f/λ\ny = x + sin x\n",
    );
    let ran = run(&["proofread", bad.to_str().unwrap()], "");
    assert_eq!(ran.status, 1);
    assert!(ran.stdout.contains("don't balance"), "{}", ran.stdout);
    assert!(
        ran.stdout.contains("x can't be made the subject"),
        "{}",
        ran.stdout
    );
    let table = run(&["proofread", bad.to_str().unwrap(), "--format", "csv"], "");
    assert!(
        table
            .stdout
            .starts_with("file,line,column,kind,message,mend\n")
    );
    assert_eq!(table.status, 1);
    check(
        &["proofread", "/no/such.sheet"],
        "",
        "",
        "rejig: There is no file `/no/such.sheet`.\n",
        2,
    );
}

#[test]
fn judge_answers_line_by_line() {
    let ran = run(
        &["judge"],
        "{\"id\":\"1\",\"task\":\"rearrange\",\"formula\":\"v = u + a t\",\"subject\":\"a\",\
         \"answer\":\"(v-u)/t\"}\nnonsense\n",
    );
    let lines: Vec<&str> = ran.stdout.lines().collect();
    assert_eq!(lines.len(), 2);
    assert!(lines[0].contains("\"verdict\":\"right\""));
    assert!(lines[1].contains("\"error\""));
    assert_eq!(ran.status, 2);
}

#[test]
fn help_and_faulty_arguments() {
    let help = run(&["--help"], "");
    assert_eq!((help.stderr.as_str(), help.status), ("", 0));
    insta::assert_snapshot!("help", help.stdout);
    let wrong = run(&["dril"], "");
    assert_eq!((wrong.stdout.as_str(), wrong.status), ("", 2));
    assert!(
        wrong
            .stderr
            .starts_with("rejig: there is no verb `dril`. Did you mean `drill`?\n")
    );
    // Verbs of later work must not pretend to exist.
    for verb in ["prove", "mark"] {
        assert_eq!(run(&[verb], "").status, 2, "{verb}");
    }
    let alone = run(&[], "");
    assert_eq!((alone.stdout.as_str(), alone.status), ("", 2));
    assert!(alone.stderr.contains("drill"));
}

#[test]
fn a_closed_pipe_is_a_quiet_end() {
    let mut child = command(&["quiz", "--questions", "--seed", "1", "--count", "2000"])
        .spawn()
        .unwrap();
    let mut stdout = child.stdout.take().unwrap();
    let mut first = [0; 16];
    stdout.read_exact(&mut first).unwrap();
    drop(stdout);
    let mut told = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut told)
        .unwrap();
    assert_eq!(told, "");
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

/// Inputs that want to break the reader.
fn hostile() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("brackets", "(".repeat(100_000).into_bytes()),
        ("tower", b"a = 9^9^9^9".to_vec()),
        ("long", vec![b'a'; 1_000_000]),
        (
            "binary",
            (0..=255_u8).filter(|byte| *byte != b'\n').collect(),
        ),
        ("controls", b"a = \x1b[2J\x07v".to_vec()),
    ]
}

#[test]
fn hostile_lines_in_quiz_and_drill_get_a_clear_message() {
    for (name, bytes) in hostile() {
        let mut input = bytes.clone();
        input.push(b'\n');
        let quiz = run_command(
            command(&["quiz", "--formula", "v = u + a t", "--for", "a"]),
            &input,
        );
        assert_eq!(quiz.status, 0, "{name}");
        assert!(
            quiz.stdout.contains("I can't read this.")
                || quiz.stdout.contains("I could not finish checking this"),
            "{name}: {}",
            quiz.stdout
        );
        assert!(quiz.stdout.len() < 4_000, "{name}");
        assert!(!quiz.stdout.contains(['\u{1b}', '\u{7}', '\0']), "{name}");
        let drill = run_command(
            command(&["drill", "--formula", "v = u + a t", "--for", "a"]),
            &input,
        );
        assert_eq!(drill.status, 0, "{name}");
        assert!(drill.stdout.len() < 4_000, "{name}");
        assert!(!drill.stdout.contains(['\u{1b}', '\u{7}', '\0']), "{name}");
    }
}

#[test]
fn hostile_arguments_are_refused() {
    for (name, bytes) in hostile() {
        // Longer arguments than this the system itself refuses; none may hold
        // a zero byte.
        let Ok(text) = String::from_utf8(bytes) else {
            continue;
        };
        let text: String = text.chars().filter(|c| *c != '\0').take(100_000).collect();
        let ran = run(&["rearrange", &text, "--for", "a"], "");
        assert!(ran.status == 2 || name == "tower", "{name}: {}", ran.stdout);
        assert!(ran.stderr.len() < 4_000, "{name}");
        assert!(!ran.stderr.contains('\u{1b}'), "{name}");
        let ran = run(&["step", &text, "a = 1"], "");
        assert!(ran.status != 0, "{name}");
    }
}

#[test]
fn hostile_requests_to_judge() {
    for (name, bytes) in hostile() {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let request = serde_json::json!({
            "id": name, "task": "rearrange", "formula": "v = u + a t", "subject": "a", "answer": text,
        });
        let ran = run(&["judge"], &format!("{request}\n"));
        assert_eq!(ran.stdout.lines().count(), 1, "{name}");
        let raw = run_command(command(&["judge"]), &bytes);
        assert_eq!(raw.status, 2, "{name}");
    }
}

#[test]
fn only_wants_a_sheet() {
    let ran = run(&["quiz", "--only"], "");
    assert_eq!((ran.stdout.as_str(), ran.status), ("", 2));
    assert!(ran.stderr.contains("--sheet"), "{}", ran.stderr);
}
