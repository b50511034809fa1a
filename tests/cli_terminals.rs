//! Narrow and wide terminals, terminals without colour, without Unicode: what
//! every verb prints there.

mod cli_support;

use cli_support::{Ran, command, file, run_command};
use unicode_width::UnicodeWidthStr;

/// Every verb that prints for people, with what it reads.
fn scenes() -> Vec<(&'static str, Vec<String>, &'static str)> {
    let words = |line: &str| -> Vec<String> { line.split(' ').map(str::to_owned).collect() };
    let with = |line: &str, more: &[&str]| -> Vec<String> {
        let mut arguments = words(line);
        arguments.extend(more.iter().map(|own| (*own).to_owned()));
        arguments
    };
    let sheet = file(
        "terminals.sheet",
        "topic Waves\nquantity v: speed, m s^-1\nquantity f: frequency, Hz\nquantity λ: wavelength, \
         m\nv = f/λ\ny = x + sin x\n",
    );
    let proof = file(
        "terminals.proof",
        "quantity u, v, a, s: real\ngiven v = u + a t\ngiven s = 1/2 (u + v) t\nshow v^2 = u^2 + 2 \
         a s\n\nt = (v - u)/a\ns = (u + v)(v - u)/(3 a)\nv^2 = u^2 + 2 a s\n",
    );
    let paper = command(&["quiz", "--topic", "motion", "--seed", "3", "--count", "4"]);
    let mut paper = paper;
    paper.args(["--questions", "--format", "json"]);
    let quiz = file("terminals.json", &run_command(paper, b"").stdout);
    let path = |own: &std::path::Path| own.to_str().expect("a path").to_owned();
    let (sheet, proof, quiz) = (path(&sheet), path(&proof), path(&quiz));
    vec![
        (
            "drill",
            words("drill --topic motion --seed 1 --day 2027-03-01"),
            "hint\nt = s/(v-u)\nshow\nletters\nhelp\na = \nskip\nhint\n",
        ),
        (
            "drill-connection",
            words("drill --kind connection --seed 1 --count 1 --day 2027-03-01"),
            "hint\nshow\n",
        ),
        (
            "drill-definition",
            words("drill --kind definition --seed 1 --count 1 --day 2027-03-01"),
            "hint\nit is a thing\nshow\n",
        ),
        (
            "quiz",
            words("quiz --topic motion --seed 4 --count 3"),
            "a = 2\nt = (v-u)/a\nv = (((\n",
        ),
        (
            "mark",
            with("mark --quiz", &[&quiz, "-"]),
            "seat,question,answer\nada,1,v = u + a t\nbert,2,x = 3\nada,3,a = 2\n",
        ),
        (
            "worksheet",
            words("worksheet --topic motion --seed 3 --count 2 --format latex"),
            "",
        ),
        (
            "checklist",
            words("checklist --topic motion --day 2027-03-01"),
            "",
        ),
        (
            "plan",
            words("plan --exam 2027-05-17 --day 2027-03-01 --topic motion --minutes 20"),
            "",
        ),
        ("connect", words("connect momentum wavelength"), ""),
        ("connect-all", words("connect"), ""),
        ("suggest", words("connect --suggest --count 3"), ""),
        ("prove", with("prove", &[&proof]), ""),
        (
            "rearrange",
            with("rearrange", &["s = u t + 1/2 a t^2", "--for", "t"]),
            "",
        ),
        (
            "rearrange-greek",
            with("rearrange", &["ω^2 = ω_0^2 + 2 α θ", "--for", "θ"]),
            "",
        ),
        (
            "step",
            with("step", &["x^2 = 4", "x = 2", "--real", "x"]),
            "",
        ),
        ("formulae", words("formulae"), ""),
        ("formulae-word", words("formulae wavelength"), ""),
        ("formulae-one", words("formulae motion/velocity-time"), ""),
        ("proofread", with("proofread", &[&sheet]), ""),
    ]
}

fn run_scene(arguments: &[String], input: &str, variables: &[(&str, &str)]) -> Ran {
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let mut command = command(&arguments);
    command.envs(variables.iter().copied());
    run_command(command, input.as_bytes())
}

/// Lines that are kept whole: what a caret points into, maths that has no
/// place to break, and the code of a page.
fn may_be_wide(name: &str, line: &str) -> bool {
    name == "worksheet" || (name == "proofread" && line.starts_with("  ")) || line.contains("/tmp")
}

#[test]
fn every_verb_fits_forty_columns_and_fills_no_more_than_a_hundred() {
    for (name, arguments, input) in scenes() {
        for (columns, width) in [("40", 40), ("80", 80), ("200", 100)] {
            let ran = run_scene(&arguments, input, &[("COLUMNS", columns)]);
            assert!(ran.status <= 1, "{name}: {}", ran.stderr);
            for line in ran.stdout.lines() {
                assert!(
                    line.width() <= width || may_be_wide(name, line),
                    "{name} at {columns}: {line}"
                );
            }
        }
    }
}

#[test]
fn narrow_tables_are_sentences() {
    for (name, arguments, input) in scenes() {
        if !["plan", "mark", "connect", "proofread"].contains(&name) {
            continue;
        }
        let ran = run_scene(&arguments, input, &[("COLUMNS", "40")]);
        let shown: Vec<&str> = ran.stdout.lines().take(40).collect();
        // The file's own place differs from machine to machine.
        let text: Vec<String> = shown
            .iter()
            .map(|line| match line.find("/terminals.sheet") {
                Some(at) => format!("(folder){}", &line[at..]),
                None => (*line).to_owned(),
            })
            .collect();
        insta::assert_snapshot!(format!("{name}_40"), text.join("\n"));
    }
}

#[test]
fn without_a_unicode_locale_everything_is_ascii() {
    for variables in [
        &[("LC_ALL", "C")][..],
        &[("LC_ALL", "POSIX"), ("LANG", "en_GB.UTF-8")],
        &[("LANG", "")],
    ] {
        for (name, arguments, input) in scenes() {
            let ran = run_scene(&arguments, input, variables);
            for line in ran.stdout.lines().chain(ran.stderr.lines()) {
                assert!(line.is_ascii(), "{name} with {variables:?}: {line}");
            }
            if ["rearrange-greek", "drill"].contains(&name) && variables[0] == ("LC_ALL", "C") {
                // How many items there are, the sheets say.
                let lines = ran.stdout.lines();
                let lines: Vec<&str> = lines.filter(|own| !own.starts_with("Secure now")).collect();
                insta::assert_snapshot!(format!("{name}_ascii"), lines.join("\n"));
            }
        }
    }
}

#[test]
fn a_terminal_that_writes_line_after_line_gets_maths_on_one_line() {
    let arguments = ["drill", "--formula", "v = (u + w)/t", "--for", "t"];
    let arguments: Vec<String> = arguments.map(str::to_owned).to_vec();
    let input = "t = (u + w)/2v\nshow\n";
    let grid = run_scene(&arguments, input, &[]).stdout;
    assert!(grid.contains("───"), "{grid}");
    let flat = run_scene(&arguments, input, &[("TERM", "dumb")]).stdout;
    assert!(!flat.contains('─'), "{flat}");
    assert!(flat.contains("v = (u + w)/t\n"), "{flat}");
    assert!(flat.contains("t = (u + w)/(2v)\n"), "{flat}");
}

#[test]
fn colour_only_where_it_is_wanted() {
    for (name, arguments, input) in scenes() {
        let plain = run_scene(&arguments, input, &[]);
        assert!(!plain.stdout.contains('\u{1b}'), "{name} into a pipe");
        let forced = [("CLICOLOR_FORCE", "1")];
        let coloured = run_scene(&arguments, input, &forced);
        for variables in [
            &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")][..],
            &[("CLICOLOR", "1")],
            &[("CLICOLOR_FORCE", "0")],
            &[("TERM", "dumb")],
        ] {
            let ran = run_scene(&arguments, input, variables);
            assert!(!ran.stdout.contains('\u{1b}'), "{name}: {variables:?}");
        }
        // Colour says nothing that is not said without it.
        let mut bare = String::new();
        let mut rest = coloured.stdout.as_str();
        while let Some(at) = rest.find("\u{1b}[") {
            bare.push_str(&rest[..at]);
            let end = rest[at..].find('m').expect("a colour ends");
            rest = &rest[at + end + 1..];
        }
        bare.push_str(rest);
        assert_eq!(bare, plain.stdout, "{name}");
    }
}
