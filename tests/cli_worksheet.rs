//! `rejig worksheet`, through the binary.

mod cli_support;

use std::path::PathBuf;

use cli_support::{file, run};

fn club() -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/demo/club.json");
    path.to_str().unwrap().to_owned()
}

fn made(arguments: &[&str]) -> String {
    let mut all = vec!["worksheet"];
    all.extend(arguments);
    let ran = run(&all, "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    ran.stdout
}

/// Every element is closed, in order; what is left is text.
#[track_caller]
fn text_of_page(page: &str) -> String {
    let mut open: Vec<&str> = Vec::new();
    let mut text = String::new();
    let mut rest = page.strip_prefix("<!DOCTYPE html>").expect("a page");
    while let Some(start) = rest.find('<') {
        text.push_str(&rest[..start]);
        let end = start + rest[start..].find('>').expect("a tag ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name), "near {rest:.80}");
            continue;
        }
        let name = tag.split(' ').next().unwrap_or_default();
        if name != "meta" {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
    text.push_str(rest);
    text
}

#[test]
fn a_page_holds_questions_and_their_scheme() {
    let page = made(&["--quiz", &club(), "--title", "Thursday <club> & friends"]);
    let text = text_of_page(&page);
    assert!(text.contains("Thursday &lt;club&gt; &amp; friends: mark scheme"));
    assert_eq!(page.matches("<section>").count(), 24);
    assert!(text.contains("kept the sign of"), "{text}");
    for element in ["mfrac", "msqrt", "msup", "msub"] {
        assert!(page.contains(&format!("<{element}>")), "{element}");
    }
    let questions = made(&["--quiz", &club(), "--part", "questions"]);
    assert!(!questions.contains("mark scheme"));
    assert!(!questions.contains("To look out for"));
    let scheme = made(&["--quiz", &club(), "--part", "scheme"]);
    assert!(!scheme.contains("class=\"room\""));
}

#[test]
fn nothing_from_outside_and_no_script() {
    let page = made(&[
        "--seed",
        "5",
        "--count",
        "30",
        "--kind",
        "proof",
        "--kind",
        "rearrangement",
    ]);
    text_of_page(&page);
    for forbidden in [
        "<script", "http:", "https:", "//", "src=", "href=", "url(", "@import", "onload=",
        "onerror=",
    ] {
        let found = page
            .lines()
            .find(|line| line.contains('<') && line.contains(forbidden) && !line.contains("<p>"));
        assert_eq!(found, None, "{forbidden}");
    }
    assert!(page.contains("default-src 'none'"));
}

#[test]
fn names_of_a_sheet_mean_themselves() {
    let path = file(
        "nasty.sheet",
        "topic nasty: <script>alert(1)</script> & \\input{x}\nquantity F: <b>force</b>, N\n\
         F = m a\n  when \"it\" is <i>so</i>\u{202e}\n",
    );
    let path = path.to_str().unwrap();
    let arguments = [
        "--sheet", path, "--topic", "nasty", "--seed", "1", "--count", "2",
    ];
    let page = made(&arguments);
    text_of_page(&page);
    assert!(!page.contains("<script"), "{page}");
    assert!(!page.contains("<i>"), "{page}");
    assert!(!page.contains('\u{202e}'), "{page}");
    let mut latex = arguments.to_vec();
    latex.extend(["--format", "latex"]);
    let latex = made(&latex);
    assert!(!latex.contains("\\input{x}"), "{latex}");
    assert!(latex.contains("\\textbackslash{}input"), "{latex}");
}

#[test]
fn latex_is_balanced() {
    let latex = made(&[
        "--seed",
        "7",
        "--count",
        "40",
        "--kind",
        "proof",
        "--kind",
        "rearrangement",
        "--format",
        "latex",
    ]);
    assert!(latex.starts_with("\\documentclass"));
    assert!(latex.ends_with("\\end{document}\n"));
    let mut depth = 0_i32;
    let mut escaped = false;
    for character in latex.chars() {
        match character {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        assert!(depth >= 0);
    }
    assert_eq!(depth, 0);
    assert_eq!(
        latex.matches("\\left").count(),
        latex.matches("\\right").count()
    );
    let plain: Vec<char> = latex
        .chars()
        .filter(|character| !character.is_ascii() && !('\u{c0}'..='\u{17f}').contains(character))
        .collect();
    assert!(plain.is_empty(), "{plain:?}");
}

#[test]
fn a_formula_of_ones_own() {
    let page = made(&[
        "--formula",
        "v^2 = u^2 + 2as",
        "--for",
        "a",
        "--part",
        "scheme",
    ]);
    insta::assert_snapshot!(page);
}
