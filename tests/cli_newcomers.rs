//! What somebody meets who is new to the program: what is typed, counted and
//! listed as one would expect, and said in plain words.

mod cli_support;

use cli_support::{file, fresh_folder, run};

const QUIZ: &str = r#"{"quiz":1,"questions":[
 {"formula":"v^2 = u^2 + 2 a s","subject":"a","title":"Motion",
  "quantities":{"v":"real","u":"real","a":"real","s":"real"}},
 {"formula":"v = f lambda","subject":"f","title":"Waves"}]}"#;

fn path(name: &str, text: &str) -> String {
    file(name, text).to_str().unwrap().to_owned()
}

#[test]
fn a_quiz_asks_nothing_twice_and_says_so() {
    let sheet = path("pair.sheet", "topic pair\nv = f λ\np = m v\n");
    let arguments = [
        "quiz",
        "--sheet",
        &sheet,
        "--only",
        "--count",
        "20",
        "--format",
        "csv",
        "--questions",
    ];
    let ran = run(&arguments, "");
    let mut rows: Vec<&str> = ran
        .stdout
        .lines()
        .skip(1)
        .filter_map(|row| row.split_once(','))
        .map(|(_, rest)| rest)
        .collect();
    let all = rows.len();
    rows.sort_unstable();
    rows.dedup();
    assert_eq!((rows.len(), all), (4, 4), "{}", ran.stdout);
    assert_eq!(
        ran.stderr,
        "rejig: there are 4 questions of this kind, not 20; none is asked twice.\n"
    );
    // Nobody asked for a number.
    let ran = run(&["quiz", "--sheet", &sheet, "--only", "--questions"], "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
}

#[test]
fn nothing_to_ask_is_said_truly() {
    let sheet = path("plain.sheet", "topic plain\nv = f λ\n");
    for (more, told) in [
        (
            &["--kind", "definition"][..],
            "I find no definition in these",
        ),
        (&["--marks", "9"], "no change of subject worth 9 marks"),
    ] {
        let mut arguments = vec!["quiz", "--sheet", &sheet, "--only", "--questions"];
        arguments.extend(more);
        let ran = run(&arguments, "");
        assert_eq!(ran.status, 2);
        assert!(ran.stderr.contains(told), "{}", ran.stderr);
        assert!(!ran.stderr.contains("can be changed"), "{}", ran.stderr);
    }
}

#[test]
fn what_cannot_be_read_is_the_teachers() {
    let quiz = path("class.json", QUIZ);
    let answers = "seat,question,answer\nann,1,a = (v^2-u^2)/2s\nann,2,v/(\nbob,2,v/lambda\nbob,1,\
                   a = (v^2+u^2)/2s\ncat,9,x\n";
    let ran = run(&["mark", "--quiz", &quiz, "-"], answers);
    let text = &ran.stdout;
    assert!(
        text.starts_with("3 students, 2 questions, 4 answers."),
        "{text}"
    );
    assert!(
        text.contains("For you to look at\n   ann, question 2 (line 3): I can't read"),
        "{text}"
    );
    // Marks, of, per cent, right, blank, for you, seat.
    let row = |seat: &str| -> Vec<String> {
        let line = text
            .lines()
            .find(|line| line.ends_with(&format!("  {seat}")));
        let words = line.unwrap().split_whitespace();
        words.map(str::to_owned).collect()
    };
    assert_eq!(row("ann"), ["2", "2", "100", "1", "0", "1", "ann"]);
    assert_eq!(row("bob"), ["2", "3", "67", "1", "0", "0", "bob"]);
    assert_eq!(row("cat"), ["0", "0", "-", "0", "0", "1", "cat"]);
}

#[test]
fn the_tables_of_questions_and_of_slips_differ() {
    let quiz = path("tables.json", QUIZ);
    let answers = "seat,question,answer\nbob,1,a = (v^2+u^2)/2s\n";
    let table = |name: &str| {
        let arguments = ["mark", "--quiz", &quiz, "--table", name, "-"];
        run(&arguments, answers).stdout
    };
    let (questions, slips) = (table("questions"), table("slips"));
    assert!(questions.contains("facility") && !questions.contains("kept the sign"));
    assert!(slips.contains("1 of 1 kept the sign of u²") && !slips.contains("facility"));
}

#[test]
fn a_table_with_a_column_for_each_question_is_told_what_is_needed() {
    let quiz = path("wide.json", QUIZ);
    let ran = run(&["mark", "--quiz", &quiz, "-"], "Name,Q1,Q2\nann,a,f\n");
    assert_eq!((ran.stdout.as_str(), ran.status), ("", 2));
    for part in ["`seat`", "`question`", "`answer`", "a row of its own"] {
        assert!(ran.stderr.contains(part), "{}", ran.stderr);
    }
}

#[test]
fn no_number_of_the_system_and_no_jargon() {
    let quiz = path("jargon.json", "no quiz");
    let good = path("good.json", QUIZ);
    for arguments in [
        &["mark", "--quiz", "/no/such", "-"][..],
        &["mark", "--quiz", &good, "/no/such"],
        &["mark", "--quiz", &quiz, "-"],
        &["quiz", "--quiz", &quiz],
        &["prove", "/no/such"],
    ] {
        let ran = run(arguments, "");
        assert_eq!(ran.status, 2, "{arguments:?}");
        for jargon in ["os error", "expected value", "column 1", "EOF"] {
            assert!(!ran.stderr.contains(jargon), "{}", ran.stderr);
        }
    }
    let ran = run(&["mark", "--quiz", &good, "-"], "{\n");
    assert!(
        ran.stderr.contains("must be an object such as"),
        "{}",
        ran.stderr
    );
}

#[test]
fn a_mark_scheme_says_what_it_is_of() {
    let quiz = path("scheme.json", QUIZ);
    let page = run(&["worksheet", "--quiz", &quiz, "--part", "scheme"], "").stdout;
    assert!(page.contains("1. Motion"), "{page}");
    assert_eq!(page.matches("the subject of").count(), 2, "{page}");
    // No two slips lead to one and the same wrong answer.
    let halves = r#"{"quiz":1,"questions":[{"formula":"v_m = (u + v)/2","subject":"u"}]}"#;
    let quiz = path("halves.json", halves);
    let page = run(
        &[
            "worksheet",
            "--quiz",
            &quiz,
            "--part",
            "scheme",
            "--format",
            "latex",
        ],
        "",
    )
    .stdout;
    let mut wrong: Vec<&str> = page
        .lines()
        .filter(|line| line.starts_with("\\item"))
        .filter_map(|line| line.split_once(": "))
        .map(|(_, answer)| answer)
        .collect();
    let all = wrong.len();
    wrong.sort_unstable();
    wrong.dedup();
    assert!(all > 0 && wrong.len() == all, "{page}");
}

fn drill(sheet: &str, kind: &str, input: &str) -> String {
    let journal = fresh_folder().join("journal.jsonl");
    let journal = journal.to_str().unwrap();
    let ran = run(
        &[
            "drill",
            "--sheet",
            sheet,
            "--only",
            "--kind",
            kind,
            "--day",
            "2027-03-01",
            "--journal",
            journal,
            "--seed",
            "1",
        ],
        input,
    );
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    ran.stdout
}

#[test]
fn the_opening_fits_what_is_asked() {
    let sheet = path(
        "opening.sheet",
        "topic opening: Opening\nquantity v: speed, m s^-1\nquantity f: frequency, Hz\nquantity λ: \
         wavelength, m\nquantity d: distance, m\nquantity t: time, s\nformula wave: v = f λ\n\
         define speed: distance per unit time ; v = d/t\n\
         proof one: Show it.\n  given v = f λ\n  given v = d/t\n  show d = f λ t\n",
    );
    let said = drill(&sheet, "rearrangement", "quit\n");
    assert!(
        said.starts_with("Type the formula with the new subject"),
        "{said}"
    );
    for (kind, told) in [
        ("definition", "Type each definition as a sentence"),
        ("proof", "Type your working line by line"),
    ] {
        let said = drill(&sheet, kind, "quit\n").replace('\n', " ");
        assert!(said.starts_with(told), "{said}");
        assert!(said.contains("letters, help, quit."), "{said}");
    }
    // Hints go on, and end.
    let said = drill(&sheet, "definition", "hint\nhint\nhint\nhint\nquit\n").replace('\n', " ");
    let places: Vec<usize> = [
        "It speaks of: distance, time.",
        "One is divided by another",
        "It begins: \"distance",
        "That was the last hint.",
    ]
    .into_iter()
    .map(|part| said.find(part).unwrap_or_else(|| panic!("{part}: {said}")))
    .collect();
    assert!(places.is_sorted(), "{said}");
}

#[test]
fn formulae_are_found_by_everyday_words() {
    for (typed, first) in [
        ("suvat", "v = u + a t"),
        ("newton's second law", "F = m a"),
        ("ohm's law", "V = I R"),
        ("kirchhoff", "I_1 + I_2 = I_3"),
        ("snell", "n_1"),
        ("hooke", "F = k x"),
        ("v=u+at", "v = u + a t"),
    ] {
        let ran = run(&["formulae", typed], "");
        assert_eq!(ran.status, 0, "{typed}");
        assert!(!ran.stdout.contains("Nothing fits"), "{typed}");
        assert!(ran.stdout.contains(first), "{typed}: {}", ran.stdout);
    }
    let sheet = path("own.sheet", "topic own: My own\nv = f λ\n");
    let ran = run(&["formulae", "--sheet", &sheet, "--only"], "");
    assert!(ran.stdout.contains("v = f λ"), "{}", ran.stdout);
    assert!(!ran.stdout.contains("E_k"), "{}", ran.stdout);
}

#[test]
fn another_subject_is_said_once() {
    let ran = run(&["quiz", "--formula", "v = f λ", "--for", "f"], "v = f λ\n");
    assert_eq!(
        ran.stdout.matches("asks for f").count(),
        1,
        "{}",
        ran.stdout
    );
}

#[test]
fn a_plan_leads_with_what_can_be_reached_and_ends_there() {
    let journal = fresh_folder().join("journal.jsonl");
    let ran = run(
        &[
            "plan",
            "--exam",
            "2027-05-17",
            "--day",
            "2026-11-25",
            "--minutes",
            "10",
            "--journal",
            journal.to_str().unwrap(),
        ],
        "",
    );
    let text = &ran.stdout;
    assert!(!text.contains("will most likely not"), "{text}");
    assert!(!text.contains(" more\n"), "{text}");
    let about = text
        .split("about ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap();
    let eve = text
        .lines()
        .find(|line| line.starts_with("16 May 2027"))
        .unwrap();
    assert_eq!(eve.split_whitespace().last(), Some(about), "{text}");
}

#[test]
fn the_letters_of_a_connection_are_all_of_them() {
    let sheet = path(
        "pull.sheet",
        "topic springs: Springs\nquantity F: force, N\nquantity x: extension, m\nquantity k: \
         stiffness, N/m\nformula spring: F = k x\ntopic laws: Laws\nquantity F: force, N\nquantity \
         m: mass, kg\nquantity a: acceleration, m s^-2\nformula law: F = m a\nconnect \
         pull-of-a-spring: One force.\n  given F = k x from springs/spring\n  given F = m a from \
         laws/law\n  show a = k x/m\n",
    );
    let said = drill(&sheet, "connection", "letters\nshow\nquit\n");
    assert!(said.contains("F       force, in N"), "{said}");
    // A key is shown as words.
    assert!(said.contains("connection: pull of a spring"), "{said}");
}
