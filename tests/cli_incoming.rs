//! What comes in: characters that would disturb a terminal, marks at the
//! beginning of files, bytes that are no text, styled letters; pipes that
//! close, signals.

mod cli_support;

use std::io::{Read, Write};
use std::path::PathBuf;
use std::process::{Child, Command};
use std::time::{Duration, Instant};

use cli_support::{Ran, command, fresh_folder, run, run_command};

/// Text that wants to do something to whoever prints it.
const UNWANTED: [(&str, &[u8]); 9] = [
    ("escape", b"a\x1b[2J\x1b]0;title\x07 = v"),
    ("carriage", b"a = v\rfake"),
    ("zero", b"a\0 = v\0/t"),
    ("not utf-8", b"a\xff\xfe = \xc3\x28 v \xed\xa0\x80"),
    ("leftwards", "a\u{202e} = v\u{2066}/t\u{2069}".as_bytes()),
    ("mark", "\u{feff}a = \u{feff}v/t".as_bytes()),
    ("wide", "速 = 距離/時間 👩‍🔬".as_bytes()),
    ("c1", "a\u{9b}2J = v\u{85}".as_bytes()),
    (
        "combining",
        "a\u{300}\u{300}\u{300} = v\u{20e3}\u{489}".as_bytes(),
    ),
];

/// Nothing panics, and nothing that was typed reaches the terminal as more
/// than letters.
fn settled(ran: &Ran, what: &str) {
    assert!((0..=2).contains(&ran.status), "{what}: {}", ran.stderr);
    for out in [&ran.stdout, &ran.stderr] {
        assert!(!out.contains("panicked"), "{what}: {out}");
        let raw = out.chars().find(|own| {
            (own.is_control() && *own != '\n')
                || matches!(own, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
        });
        assert_eq!(raw, None, "{what}: {out:?}");
    }
}

fn folder() -> PathBuf {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn feed(arguments: &[&str], input: &[u8]) -> Ran {
    run_command(command(arguments), input)
}

#[test]
fn what_is_typed_is_never_sent_on_raw() {
    for (name, bytes) in UNWANTED {
        let mut line = bytes.to_vec();
        line.push(b'\n');
        for arguments in [
            &["quiz", "--formula", "v = u + a t", "--for", "a"][..],
            &[
                "quiz",
                "--working",
                "--formula",
                "v = u + a t",
                "--for",
                "a",
            ],
            &[
                "quiz",
                "--topic",
                "motion",
                "--seed",
                "1",
                "--kind",
                "definition",
            ],
            &["drill", "--formula", "v = u + a t", "--for", "a"],
            &[
                "drill", "--topic", "motion", "--kind", "proof", "--seed", "1",
            ],
            &["drill", "--kind", "definition", "--seed", "1"],
            &["drill", "--kind", "connection", "--seed", "1"],
            &["judge"],
            &["prove", "-"],
        ] {
            settled(&feed(arguments, &line), &format!("{name}: {arguments:?}"));
        }
        let Ok(text) = std::str::from_utf8(bytes) else {
            continue;
        };
        if text.contains('\0') {
            // No argument can hold it.
            continue;
        }
        for arguments in [
            &["rearrange", text, "--for", "a"][..],
            &["rearrange", "v = u + a t", "--for", text],
            &["rearrange", "v = u + a t", "--for", "a", "--real", text],
            &["rearrange", "v = u + a t", "--for", "a", "--domain", text],
            &["step", text, text],
            &["formulae", text],
            &["formulae", "--unit", text],
            &["formulae", "--letter", text],
            &["connect", text, text],
            &["quiz", "--topic", text],
            &["quiz", "--sheet", text],
            &["proofread", text],
            &["mark", "--quiz", text, text],
            &["plan", "--exam", text],
            &["checklist", "--journal", text],
            &[
                "worksheet",
                "--title",
                text,
                "--topic",
                "motion",
                "--count",
                "1",
            ],
            &["completions", text],
            &[text],
        ] {
            let ran = run(arguments, "");
            settled(&ran, &format!("{name}: {arguments:?}"));
        }
    }
}

#[test]
fn files_of_unwanted_text_are_refused_or_read_quietly() {
    let folder = folder();
    let quiz = folder.join("quiz.json");
    std::fs::write(
        &quiz,
        run(
            &[
                "quiz",
                "--topic",
                "motion",
                "--count",
                "2",
                "--seed",
                "1",
                "--questions",
                "--format",
                "json",
            ],
            "",
        )
        .stdout,
    )
    .unwrap();
    let quiz = quiz.to_str().unwrap();
    for (name, bytes) in UNWANTED {
        let with = |before: &str, after: &str| -> Vec<u8> {
            [before.as_bytes(), bytes, after.as_bytes()].concat()
        };
        let write = |file: &str, bytes: Vec<u8>| -> String {
            let path = folder.join(file);
            std::fs::write(&path, bytes).unwrap();
            path.to_str().unwrap().to_owned()
        };
        let sheet = write(
            "own.sheet",
            [
                with("topic ", "\n"),
                with("quantity ", ": speed, m\n"),
                with("", "\n"),
                with("define ", ": x ; v = f q\n"),
                b"v = f q\n".to_vec(),
            ]
            .concat(),
        );
        let paper = write("own.json", with("{\"questions\":[{\"formula\":\"", "\"}]}"));
        let csv = write(
            "own.csv",
            with("seat,question,answer\nada,1,\"", "\"\nb,2,x\n"),
        );
        let lines = write("own.jsonl", with("{\"seat\":\"", "\",\"question\":1}\n"));
        let journal = write("own.journal", with("{\"v\":1,\"item\":\"", "\"}\n"));
        let proof = write("own.proof", with("given v = u + a t\nshow v = x\n\n", "\n"));
        for arguments in [
            &["proofread", &sheet][..],
            &["proofread", "--format", "csv", &sheet],
            &["proofread", "--format", "json", &sheet],
            &["formulae", "--sheet", &sheet],
            &[
                "quiz",
                "--sheet",
                &sheet,
                "--only",
                "--questions",
                "--seed",
                "1",
            ],
            &["drill", "--sheet", &sheet, "--only", "--seed", "1"],
            &["worksheet", "--sheet", &sheet, "--only", "--seed", "1"],
            &["connect", "--sheet", &sheet],
            &["quiz", "--quiz", &paper],
            &["worksheet", "--quiz", &paper],
            &["mark", "--quiz", &paper, &csv],
            &["mark", "--quiz", quiz, &csv],
            &["mark", "--quiz", quiz, &lines],
            &["mark", "--quiz", quiz, "--format", "csv", &csv],
            &["mark", "--quiz", quiz, "--format", "json", &csv],
            &["checklist", "--topic", "motion", "--journal", &journal],
            &[
                "checklist",
                "--topic",
                "motion",
                "--html",
                "--journal",
                &journal,
            ],
            &[
                "plan",
                "--exam",
                "2100-01-01",
                "--topic",
                "lenses",
                "--journal",
                &journal,
            ],
            &["journal", "--journal", &journal],
            &[
                "drill",
                "--topic",
                "motion",
                "--count",
                "1",
                "--journal",
                &journal,
            ],
            &["prove", &proof],
            &["prove", "--format", "json", &proof],
        ] {
            let ran = run(arguments, "");
            let what = format!("{name}: {arguments:?}");
            if arguments.contains(&"json") || arguments.contains(&"csv") {
                // A program gets back what it sent.
                assert!((0..=2).contains(&ran.status), "{what}: {}", ran.stderr);
                assert!(!ran.stderr.contains("panicked"), "{what}: {}", ran.stderr);
            } else {
                settled(&ran, &what);
            }
        }
    }
}

#[test]
fn a_mark_at_the_beginning_and_carriage_returns_change_nothing() {
    let folder = folder();
    let quiz = run(
        &[
            "quiz",
            "--topic",
            "motion",
            "--count",
            "2",
            "--seed",
            "1",
            "--questions",
            "--format",
            "json",
        ],
        "",
    )
    .stdout;
    let journal = folder.join("filled.jsonl");
    feed(
        &[
            "drill",
            "--topic",
            "motion",
            "--count",
            "3",
            "--seed",
            "1",
            "--day",
            "2027-03-01",
            "--journal",
            journal.to_str().unwrap(),
        ],
        b"show\nshow\nshow\n",
    );
    let journal = std::fs::read_to_string(&journal).unwrap();
    assert_eq!(journal.lines().count(), 3);
    let dressed =
        |text: &str| -> Vec<u8> { format!("\u{feff}{}", text.replace('\n', "\r\n")).into_bytes() };
    let place = |text: &[u8]| -> String {
        let path = folder.join("read-me");
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    for (arguments, file) in [
        (
            &["proofread"][..],
            "topic Waves\nquantity v: speed, m s^-1\n# a remark\nv = f λ\n  when x\n",
        ),
        (
            &["formulae", "v", "--topic", "odd", "--sheet"],
            "topic odd\nv = f λ\n",
        ),
        (&["quiz", "--quiz"], &quiz),
        (&["worksheet", "--quiz"], &quiz),
        (
            &["prove"],
            "given V = I R\ngiven P = V I\nshow P = I^2 R\n\nP = (I R) I\nP = I^2 R\n",
        ),
        (
            &[
                "checklist",
                "--topic",
                "motion",
                "--day",
                "2027-03-02",
                "--journal",
            ],
            &journal,
        ),
        (&["journal", "--day", "2027-03-02", "--journal"], &journal),
    ] {
        let read = |bytes: &[u8]| {
            let path = place(bytes);
            let mut arguments = arguments.to_vec();
            arguments.push(&path);
            let ran = run(&arguments, "");
            (ran.stdout, ran.stderr, ran.status)
        };
        let plain = read(file.as_bytes());
        assert!(plain.2 == 0, "{arguments:?}: {plain:?}");
        assert_eq!(read(&dressed(file)), plain, "{arguments:?}");
    }
    let quiz = folder.join("quiz.json");
    std::fs::write(
        &quiz,
        dressed(&std::fs::read_to_string(place(quiz_text().as_bytes())).unwrap()),
    )
    .unwrap();
    let quiz = quiz.to_str().unwrap();
    for (arguments, input) in [
        (
            &["judge"][..],
            "{\"id\":\"1\",\"task\":\"line\",\"before\":\"V = IR\",\"after\":\"R = V/I\"}\n",
        ),
        (
            &["quiz", "--formula", "v = u + a t", "--for", "a"],
            "a = (v - u)/t\n",
        ),
        (
            &["drill", "--formula", "v = u + a t", "--for", "a"],
            "a = (v - u)/t\n",
        ),
        (
            &["mark", "--quiz", quiz, "-"],
            "seat,question,answer\nada,1,a = (v - u)/t\nbo,1,a = v\n",
        ),
        (
            &["mark", "--quiz", quiz, "-"],
            "{\"seat\":\"ada\",\"question\":1,\"answer\":\"a = (v - u)/t\"}\n",
        ),
    ] {
        let plain = run(arguments, input);
        assert_eq!(plain.status, 0, "{arguments:?}: {}", plain.stderr);
        let found = feed(arguments, &dressed(input));
        assert_eq!(found.stdout, plain.stdout, "{arguments:?}");
        assert_eq!(found.status, 0, "{arguments:?}");
    }
}

fn quiz_text() -> String {
    run(
        &[
            "quiz",
            "--formula",
            "v = u + a t",
            "--for",
            "a",
            "--questions",
            "--format",
            "json",
        ],
        "",
    )
    .stdout
}

#[test]
fn a_file_in_another_encoding_is_named_as_such() {
    let folder = folder();
    let path = folder.join("wide.sheet");
    let wide: Vec<u8> = "\u{feff}topic Waves\nv = f q\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    std::fs::write(&path, wide).unwrap();
    let ran = run(&["proofread", path.to_str().unwrap()], "");
    assert_eq!((ran.stdout.as_str(), ran.status), ("", 2));
    assert!(
        ran.stderr.contains("is text in UTF-16: save it as UTF-8"),
        "{}",
        ran.stderr
    );
}

#[test]
fn letters_in_the_styles_of_type_are_plain_letters() {
    for answer in [
        "𝑎 = (𝑣 - 𝑢)/𝑡",
        "ａ＝（ｖ－ｕ）／ｔ",
        "𝐚 = (𝐯 − 𝐮)/𝐭",
        "𝘢 = 𝟏/𝘵 × (𝘷 − 𝘶)",
    ] {
        let ran = run(
            &["quiz", "--formula", "v = u + a t", "--for", "a"],
            &format!("{answer}\n"),
        );
        assert!(ran.stdout.contains("✓ Right."), "{answer}: {}", ran.stdout);
    }
    let ran = run(&["rearrange", "𝑣 = 𝑢 + 𝑎𝑡", "--for", "𝑎"], "");
    assert!(ran.stdout.contains("Make a the subject"), "{}", ran.stdout);
    // A script letter is another quantity, and the message says so.
    let ran = run(
        &["quiz", "--formula", "E = V + I r", "--for", "r"],
        "r = (ℰ - V)/I\n",
    );
    assert!(
        ran.stdout.contains("There is no symbol ℰ here."),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_pipe_that_closes_early_is_a_quiet_end_for_every_verb() {
    for arguments in [
        &["formulae"][..],
        &["formulae", "--format", "json"],
        &["checklist"],
        &["checklist", "--html"],
        &["connect"],
        &["connect", "--suggest", "--count", "1000"],
        &["worksheet", "--count", "200"],
        &["quiz", "--questions", "--count", "2000"],
        &[
            "plan",
            "--exam",
            "2027-12-01",
            "--day",
            "2027-01-01",
            "--daily",
            "--topic",
            "lenses",
        ],
        &["completions", "bash"],
        &["manual"],
        &["--help"],
        &["rearrange", "s = u t + 1/2 a t^2", "--for", "t"],
    ] {
        let mut child = command(arguments).spawn().unwrap();
        let mut stdout = child.stdout.take().unwrap();
        let mut first = [0; 1];
        stdout.read_exact(&mut first).unwrap();
        drop(stdout);
        let mut told = String::new();
        let mut stderr = child.stderr.take().unwrap();
        stderr.read_to_string(&mut told).unwrap();
        assert_eq!(told, "", "{arguments:?}");
        assert_eq!(child.wait().unwrap().code(), Some(0), "{arguments:?}");
    }
}

#[test]
fn closed_from_the_start_is_no_panic() {
    for (arguments, redirections) in [
        ("formulae", "<&- >&- 2>&-"),
        ("judge", "<&-"),
        ("judge", "<&- >&-"),
        ("quiz --topic motion --seed 1", "<&- 2>&-"),
        ("drill --topic motion", "<&- >&- 2>&-"),
        ("prove -", "<&-"),
        ("nonsense", "2>&-"),
        ("--help", ">&-"),
        ("manual", "> /dev/full"),
        ("formulae", "> /dev/full"),
        ("quiz --topic motion --seed 1", "< /dev/null > /dev/full"),
        ("drill --topic motion", "< /dev/null > /dev/full"),
    ] {
        let script = format!("\"$0\" {arguments} {redirections}");
        let mut shell = Command::new("bash");
        shell
            .args(["-c", &script, env!("CARGO_BIN_EXE_rejig")])
            .env("XDG_DATA_HOME", fresh_folder())
            .env("LC_ALL", "C.UTF-8");
        let out = shell.output().unwrap();
        let status = out.status.code().unwrap_or(-1);
        assert!((0..=2).contains(&status), "{script}: {status}");
        let told = String::from_utf8_lossy(&out.stderr);
        assert!(!told.contains("panicked"), "{script}: {told}");
    }
}

/// A drill in a journal of its own, at its first question.
struct Sitting {
    child: Child,
    journal: PathBuf,
}

impl Sitting {
    fn begin() -> Self {
        let journal = folder().join("journal.jsonl");
        let mut drill = command(&["drill", "--topic", "motion", "--seed", "1", "--journal"]);
        let child = drill.arg(&journal).spawn().unwrap();
        Sitting { child, journal }
    }

    /// Types lines and waits until what answers the last has come.
    fn type_in(&mut self, lines: &str, until: &str) {
        let mut stdin = self.child.stdin.take().unwrap();
        stdin.write_all(lines.as_bytes()).unwrap();
        self.child.stdin = Some(stdin);
        let stdout = self.child.stdout.as_mut().unwrap();
        let mut seen = Vec::new();
        let mut part = [0; 512];
        let start = Instant::now();
        while !String::from_utf8_lossy(&seen).contains(until) {
            let read = stdout.read(&mut part).unwrap();
            assert!(read > 0 && start.elapsed() < Duration::from_secs(60));
            seen.extend_from_slice(&part[..read]);
        }
    }

    fn attempts(&self) -> Vec<serde_json::Value> {
        let text = std::fs::read_to_string(&self.journal).unwrap_or_default();
        let lines = text.lines().map(|line| serde_json::from_str(line).unwrap());
        lines.collect()
    }
}

#[cfg(unix)]
#[test]
fn a_signal_ends_the_drill_and_loses_no_attempt() {
    use std::os::unix::process::ExitStatusExt;
    for (signal, number) in [("INT", 2), ("TERM", 15), ("HUP", 1), ("QUIT", 3)] {
        let mut sitting = Sitting::begin();
        // A hint makes it a miss; the question stays open.
        sitting.type_in("hint\nhint\n", "> hint\n   ");
        std::thread::sleep(Duration::from_millis(300));
        assert_eq!(sitting.attempts().len(), 0);
        let id = sitting.child.id().to_string();
        let killed = Command::new("kill").args(["-s", signal, &id]).status();
        assert!(killed.unwrap().success());
        // Waiting would close it, and that would be an end of its own.
        let _stdin = sitting.child.stdin.take();
        // A shell gives 128 and the number, 130 for an interrupt.
        assert_eq!(sitting.child.wait().unwrap().signal(), Some(number));
        let attempts = sitting.attempts();
        assert_eq!(attempts.len(), 1, "{signal}");
        let mut told = String::new();
        let mut stderr = sitting.child.stderr.take().unwrap();
        stderr.read_to_string(&mut told).unwrap();
        assert_eq!(told, "", "{signal}");
    }
}

#[test]
fn a_screen_that_is_gone_loses_no_attempt() {
    let mut sitting = Sitting::begin();
    sitting.type_in("hint\n", "> hint\n   ");
    std::thread::sleep(Duration::from_millis(300));
    drop(sitting.child.stdout.take());
    let mut stdin = sitting.child.stdin.take().unwrap();
    let _ = stdin.write_all(b"hint\nhint\nshow\n");
    drop(stdin);
    assert_eq!(sitting.child.wait().unwrap().code(), Some(0));
    assert_eq!(sitting.attempts().len(), 1);
}

/// Whether this process was started so that SIGINT is ignored.
#[cfg(unix)]
fn ignores_interrupts() -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok())
        .is_some_and(|mask| mask & 0b10 != 0)
}

#[cfg(unix)]
#[test]
fn a_signal_ends_every_other_verb_at_once() {
    use std::os::unix::process::ExitStatusExt;
    for arguments in [
        &["judge"][..],
        &["quiz", "--topic", "motion", "--seed", "1"],
        &["prove", "-"],
        &["drill", "--formula", "v = u + a t", "--for", "a"],
    ] {
        let mut child = command(arguments).spawn().unwrap();
        // Waiting would close it, and that would be an end of its own.
        let _stdin = child.stdin.take();
        std::thread::sleep(Duration::from_millis(400));
        let id = child.id().to_string();
        // A shell that starts a job in the background has it ignore SIGINT,
        // and so do all that the job starts.
        let (signal, number) = if ignores_interrupts() {
            ("TERM", 15)
        } else {
            ("INT", 2)
        };
        let killed = Command::new("kill").args(["-s", signal, &id]).status();
        assert!(killed.unwrap().success());
        assert_eq!(
            child.wait().unwrap().signal(),
            Some(number),
            "{arguments:?}"
        );
        let mut told = String::new();
        let mut stderr = child.stderr.take().unwrap();
        stderr.read_to_string(&mut told).unwrap();
        assert_eq!(told, "", "{arguments:?}");
    }
}
