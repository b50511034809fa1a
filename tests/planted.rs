//! Sheets with one planted fault each, that must be found at its line and
//! column, and sound sheets in odd but legal styles, that must draw neither
//! fault nor remark. Rows and sheets are in `tests/sheets/`.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/sheets");

fn proofread(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_rejig"))
        .arg("proofread")
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("rejig runs")
}

/// `FILE LINE:COLUMN KIND` of each finding.
fn findings(output: &Output) -> Vec<String> {
    let rows: Vec<Value> = serde_json::from_slice(&output.stdout).expect("a list of findings");
    rows.iter()
        .map(|row| {
            format!(
                "{} {}:{} {}",
                row["file"].as_str().unwrap_or(""),
                row["line"],
                row["column"],
                row["kind"].as_str().unwrap_or("")
            )
        })
        .collect()
}

fn sheets(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| {
            Path::new(name)
                .extension()
                .is_some_and(|end| end == "sheet")
        })
        .collect();
    names.sort();
    names
}

#[test]
fn planted_faults_are_found_at_their_places() {
    let folder = Path::new(FOLDER).join("faults");
    let table = fs::read_to_string(Path::new(FOLDER).join("faults.tsv")).expect("the rows");
    let mut expected: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for row in table.lines().skip(1) {
        let cells: Vec<&str> = row.split('\t').collect();
        let [sheet, file, line, column, kind] = cells[..] else {
            panic!("five cells: {row}");
        };
        expected
            .entry(sheet)
            .or_default()
            .push(format!("{file} {line}:{column} {kind}"));
    }
    let remarks = ["unused", "undeclared", "ambiguous", "doubtful-unit"];
    let mut wrong = Vec::new();
    for (sheet, mut rows) in expected.clone() {
        let output = proofread(&folder, &["--format", "json", sheet]);
        let mut found = findings(&output);
        rows.sort();
        found.sort();
        let only_remarks = rows
            .iter()
            .all(|row| remarks.iter().any(|kind| row.ends_with(kind)));
        if found != rows || output.status.code() != Some(i32::from(!only_remarks)) {
            wrong.push(format!(
                "{sheet}: found {found:?}, wanted {rows:?}, status {:?}",
                output.status.code()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(expected.len() >= 80);
    for sheet in sheets(&folder) {
        assert!(expected.contains_key(sheet.as_str()), "{sheet} has no row");
    }
}

#[test]
fn a_sheet_in_another_encoding_is_refused_in_plain_words() {
    let output = proofread(
        Path::new(FOLDER),
        &["--format", "json", "saved-as-utf-16.sheet"],
    );
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("save it as UTF-8"), "{told}");
}

#[test]
fn sound_sheets_draw_nothing() {
    let folder = Path::new(FOLDER).join("sound");
    let names = sheets(&folder);
    assert!(names.len() >= 50);
    let mut wrong = Vec::new();
    for name in &names {
        let output = proofread(&folder, &["--format", "json", name]);
        let found = findings(&output);
        if !found.is_empty() || output.status.code() != Some(0) {
            wrong.push(format!("{name}: {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What an ill-meant or broken file brings: a clear word, never a hang.
#[test]
fn hostile_files_end_with_a_message() {
    let folder = std::env::temp_dir().join(format!("rejig-hostile-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    let noise: Vec<u8> = (0u64..300_000)
        .scan(7u64, |state, _| {
            *state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            Some((*state >> 56) as u8)
        })
        .collect();
    let brackets = format!("y = {}x{}\n", "(".repeat(900), ")".repeat(900));
    let circle = "include \"circle.sheet\"\nv = f λ\n";
    let odd = "include \"/dev/zero\"\ninclude \".\"\ninclude \"a/../../b/../none\"\nv = f λ\n";
    let many_letters: String = (0..20_000).map(|at| format!("v_{at} = s/t\n")).collect();
    let rows: [(&str, Vec<u8>, i32, &str); 8] = [
        ("noise.sheet", noise, 1, "faults"),
        ("large.sheet", vec![b'#'; 5_000_000], 1, "larger than 4 MB"),
        ("brackets.sheet", brackets.into_bytes(), 1, "nest"),
        (
            "circle.sheet",
            circle.as_bytes().to_vec(),
            1,
            "includes itself",
        ),
        ("odd.sheet", odd.as_bytes().to_vec(), 1, "is not a file"),
        (
            "lines.sheet",
            [vec![b'\n'; 1_000_000], b"v = f".to_vec()].concat(),
            0,
            "No faults",
        ),
        (
            "letters.sheet",
            many_letters.into_bytes(),
            0,
            "20,000 formulae",
        ),
        ("empty.sheet", Vec::new(), 0, "No faults"),
    ];
    for (name, bytes, status, word) in rows {
        fs::write(folder.join(name), bytes).expect("a file");
        let output = proofread(&folder, &[name]);
        let told = String::from_utf8_lossy(&output.stdout);
        assert_eq!(output.status.code(), Some(status), "{name}: {told}");
        assert!(told.contains(word), "{name}: {told}");
        assert!(
            !told.chars().any(|next| next.is_control() && next != '\n'),
            "{name} prints control characters"
        );
    }
    for missing in [".", "none.sheet"] {
        let output = proofread(&folder, &[missing]);
        assert_eq!(output.status.code(), Some(2), "{missing}");
        assert!(output.stdout.is_empty() && !output.stderr.is_empty());
    }
    fs::remove_dir_all(&folder).expect("removed");
}
