//! What the program says about itself: help whose examples run, completions,
//! the manual.

mod cli_support;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use cli_support::{command, fresh_folder, run, run_command};

/// The verbs that the help lists.
fn verbs() -> Vec<String> {
    let help = run(&["--help"], "").stdout;
    let list = help.split("Verbs:\n").nth(1).expect("a list of verbs");
    let list = list.split("\n\n").next().unwrap_or_default();
    let verbs: Vec<String> = list
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .collect();
    assert!(verbs.len() >= 16, "{help}");
    verbs
}

fn help(verb: &str, columns: &str) -> String {
    let mut command = command(&[verb, "--help"]);
    command.env("COLUMNS", columns);
    let ran = run_command(command, b"");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0), "{verb}");
    ran.stdout
}

/// The commands of a help text, lines that a backslash continues joined.
fn examples(help: &str) -> Vec<String> {
    let part = help.split("Examples:\n").nth(1).expect("examples");
    let part = part.split("\n\n").next().unwrap_or_default();
    let mut commands: Vec<String> = Vec::new();
    let mut open = false;
    for line in part.lines().filter_map(|line| line.strip_prefix("    ")) {
        match commands.last_mut() {
            Some(last) if open => {
                last.push(' ');
                last.push_str(line.trim_start());
            }
            _ => commands.push(line.to_owned()),
        }
        let last = commands.last_mut().expect("one was just pushed");
        open = last.ends_with('\\');
        if open {
            last.truncate(last.trim_end_matches('\\').trim_end().len());
        }
    }
    commands
}

/// A shell in which `rejig` is the program under test, in a folder of its own.
fn shell(folder: &Path, script: &str) -> Command {
    let program = PathBuf::from(env!("CARGO_BIN_EXE_rejig"));
    let programs = program.parent().expect("a folder").to_owned();
    let path = std::env::var_os("PATH").unwrap_or_default();
    let path = std::env::join_paths([programs].into_iter().chain(std::env::split_paths(&path)));
    let mut command = Command::new("bash");
    command
        .args(["-eu", "-o", "pipefail", "-c", script])
        .current_dir(folder)
        .env("PATH", path.expect("a path"))
        .env("HOME", folder)
        .env("XDG_DATA_HOME", folder.join("data"))
        .env("LANG", "C.UTF-8")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

fn has(program: &str) -> bool {
    Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok()
}

#[test]
fn every_example_runs_as_it_stands() {
    for verb in verbs().iter().map(String::as_str).chain([""]) {
        let text = match verb {
            "" => run(&["--help"], "").stdout,
            _ => help(verb, "80"),
        };
        let commands = examples(&text);
        assert!((1..=5).contains(&commands.len()), "{verb}: {commands:?}");
        let called = format!("rejig {verb}");
        assert!(
            commands.iter().any(|own| own.contains(called.trim_end())),
            "{verb}: {commands:?}"
        );
        if !verb.is_empty() {
            // Broken for a narrow terminal, it is still the same command.
            assert_eq!(examples(&help(verb, "40")), commands, "{verb}");
        }
        let folder = fresh_folder();
        std::fs::create_dir_all(&folder).unwrap();
        for example in &commands {
            if example.starts_with("man ") && !has("man") {
                continue;
            }
            // A check that finds what it is to find ends with 1.
            let expected = i32::from(example.contains("'x^2 = 4'"));
            let out = shell(&folder, example).output().unwrap();
            assert_eq!(
                out.status.code(),
                Some(expected),
                "{example}\n{}",
                String::from_utf8_lossy(&out.stderr)
            );
        }
    }
}

#[test]
fn help_fits_its_width() {
    for verb in verbs() {
        for (columns, width) in [("40", 40), ("80", 80), ("200", 80)] {
            for line in help(&verb, columns).lines() {
                // A quoted word is not broken: it would be another word.
                let word = line.trim().trim_end_matches(" \\");
                let whole =
                    line.starts_with("    ") && (word.contains('\'') || !word.contains(' '));
                assert!(
                    line.chars().count() <= width
                        || (width == 40 && (whole || line.starts_with("Usage: "))),
                    "{verb} at {columns}: {line}"
                );
            }
        }
    }
    insta::assert_snapshot!("drill_40", help("drill", "40"));
    insta::assert_snapshot!("quiz", help("quiz", "80"));
}

#[test]
fn all_verbs_name_their_values_in_the_same_way() {
    for verb in verbs() {
        let text = help(&verb, "80");
        assert!(!text.to_lowercase().contains("possible values"), "{text}");
    }
}

/// What a shell's script offers after these words, the last one unfinished.
fn offered(folder: &Path, words: &[&str]) -> BTreeSet<String> {
    let list: Vec<String> = words.iter().map(|word| format!("'{word}'")).collect();
    let (last, before) = (words[words.len() - 1], words[words.len() - 2]);
    let script = format!(
        "set +eu; source <(rejig completions bash); COMP_WORDS=({}); COMP_CWORD={}; \
         _rejig rejig '{last}' '{before}'; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
        list.join(" "),
        words.len() - 1,
    );
    let out = shell(folder, &script).output().unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    text.lines().map(|line| line.trim().to_owned()).collect()
}

#[test]
fn bash_completes_verbs_options_values_and_topics() {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    let verbs: BTreeSet<String> = verbs().into_iter().collect();
    let found = offered(&folder, &["rejig", ""]);
    assert!(verbs.is_subset(&found), "{found:?}");
    let check = |words: &[&str], expected: &[&str]| {
        let expected: BTreeSet<String> = expected.iter().map(|own| (*own).to_owned()).collect();
        assert_eq!(offered(&folder, words), expected, "{words:?}");
    };
    check(&["rejig", "wor"], &["worksheet"]);
    check(&["rejig", "drill", "--topic", "mot"], &["motion"]);
    check(&["rejig", "quiz", "--topic", "wav"], &["waves"]);
    check(&["rejig", "quiz", "--ques"], &["--questions"]);
    check(
        &["rejig", "checklist", "--kind", "pro"],
        &["proof", "proportion"],
    );
    check(&["rejig", "mark", "--format", "c"], &["csv"]);
}

#[test]
fn completions_are_sound_scripts() {
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    for shell_name in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ran = run(&["completions", shell_name], "");
        assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
        // The last two complete no values.
        let values = !["elvish", "powershell"].contains(&shell_name);
        let words = ["worksheet", "--questions", "projectiles", "rearrangement"];
        for word in words.iter().take(if values { 4 } else { 2 }) {
            assert!(ran.stdout.contains(word), "{shell_name}: {word}");
        }
        std::fs::write(folder.join(shell_name), ran.stdout).unwrap();
        // Only what is installed can say whether it can read it.
        if ["bash", "zsh", "fish"].contains(&shell_name) && has(shell_name) {
            let out = shell(&folder, &format!("{shell_name} -n {shell_name}"));
            let out = { out }.output().unwrap();
            assert_eq!(String::from_utf8_lossy(&out.stderr), "", "{shell_name}");
            assert!(out.status.success(), "{shell_name}");
        }
    }
    assert_eq!(run(&["completions", "abacus"], "").status, 2);
}

#[test]
fn the_manual_has_every_verb_and_option() {
    let ran = run(&["manual"], "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    let page = &ran.stdout;
    // Other characters need a reader that knows the encoding.
    assert!(page.is_ascii());
    let sections: Vec<&str> = page.split("\n.SS rejig ").collect();
    for verb in verbs() {
        let section = sections.iter().find(|own| own.starts_with(&verb));
        let section = section.unwrap_or_else(|| panic!("{verb}"));
        let text = help(&verb, "80");
        for option in text
            .split_whitespace()
            .filter(|word| word.starts_with("--"))
            .map(|word| word.trim_end_matches([',', ';', '.']))
        {
            let option = option.replace('-', "\\-");
            assert!(section.contains(&option), "{verb}: {option}");
        }
        assert!(section.contains("\n.nf\n"), "{verb}");
    }
    let folder = fresh_folder();
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("rejig.1"), page).unwrap();
    for (reader, script) in [
        ("groff", "groff -man -Tutf8 -ww -z rejig.1"),
        ("mandoc", "mandoc -T lint -W warning rejig.1"),
        ("man", "MANWIDTH=80 man --warnings -l rejig.1 > /dev/null"),
    ] {
        if !has(reader) {
            continue;
        }
        let out = shell(&folder, script).output().unwrap();
        let told = String::from_utf8_lossy(&out.stderr) + String::from_utf8_lossy(&out.stdout);
        assert_eq!(told, "", "{script}");
        assert!(out.status.success(), "{script}");
    }
    if has("groff") {
        // What is to be typed comes out as characters that can be typed.
        let out = shell(
            &folder,
            "groff -man -Tutf8 rejig.1 | sed 's/\\x1b\\[[0-9;]*m//g'",
        );
        let text = String::from_utf8(out_of(out)).unwrap();
        assert!(
            text.contains("rejig rearrange 'v^2 = u^2 + 2as' --for a"),
            "{text}"
        );
        assert!(
            text.contains("printf 'a = (v^2-u^2)/2s\\n' | rejig quiz"),
            "{text}"
        );
    }
}

fn out_of(mut command: Command) -> Vec<u8> {
    command.output().unwrap().stdout
}
