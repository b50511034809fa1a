//! The house keeps its shape: a room imports only from rooms above it, no
//! file runs far past its size, no pest type leaves its file, only `cli` and
//! `store` touch the machine.

use std::fs;
use std::path::{Path, PathBuf};

/// Rooms, lowest first, with what each may import.
const ROOMS: [(&str, &[&str]); 8] = [
    ("algebra", &[]),
    ("text", &["algebra"]),
    ("physics", &["algebra", "text"]),
    ("reason", &["algebra", "text", "physics"]),
    ("practice", &["algebra", "text", "physics", "reason"]),
    (
        "show",
        &["algebra", "text", "physics", "reason", "practice"],
    ),
    (
        "store",
        &["algebra", "text", "physics", "reason", "practice"],
    ),
    (
        "cli",
        &[
            "algebra", "text", "physics", "reason", "practice", "show", "store",
        ],
    ),
];

/// Lines that a file may have. Tables of rows in test files count too.
const LONGEST: usize = 900;

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("the entry is readable").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

fn sources() -> Vec<(String, PathBuf, String)> {
    let mut found = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for (room, _) in ROOMS {
        let mut paths = Vec::new();
        files(&root.join(room), &mut paths);
        for path in paths {
            let text = fs::read_to_string(&path).expect("sources are text");
            found.push((room.to_owned(), path, text));
        }
    }
    found
}

#[test]
fn rooms_import_only_from_above() {
    let mut seen = 0;
    for (room, path, text) in sources() {
        let (_, allowed) = ROOMS
            .iter()
            .find(|(name, _)| *name == room)
            .expect("a known room");
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            for part in code.split("crate::").skip(1) {
                let target: String = part
                    .chars()
                    .take_while(|letter| letter.is_alphanumeric() || *letter == '_')
                    .collect();
                if !ROOMS.iter().any(|(name, _)| *name == target) {
                    continue;
                }
                seen += 1;
                assert!(
                    target == room || allowed.contains(&target.as_str()),
                    "{}:{}: {room} reaches into {target}",
                    path.display(),
                    number + 1
                );
            }
        }
    }
    assert!(seen > 20, "the walk found too few imports to mean anything");
}

#[test]
fn no_file_is_far_too_long() {
    for (_, path, text) in sources() {
        let lines = text.lines().count();
        assert!(lines <= LONGEST, "{}: {lines} lines", path.display());
    }
}

#[test]
fn pest_stays_in_its_files() {
    for (_, path, text) in sources() {
        let uses_pest = text.lines().any(|line| {
            let code = line.split("//").next().unwrap_or_default();
            code.contains("pest::") || code.contains("pest_derive")
        });
        if uses_pest {
            let name = path.file_name().and_then(|name| name.to_str());
            assert!(
                matches!(name, Some("maths.rs" | "sheet_entry.rs" | "words.rs")),
                "{}: pest is used here",
                path.display()
            );
        }
    }
}

#[test]
fn only_the_outer_rooms_touch_the_machine() {
    for (room, path, text) in sources() {
        if room == "cli" || room == "store" {
            continue;
        }
        let body = text.split("#[cfg(test)]").next().unwrap_or_default();
        for forbidden in [
            "std::fs",
            "std::env",
            "SystemTime",
            "Instant::",
            "println!",
            "eprintln!",
        ] {
            assert!(
                !body.contains(forbidden),
                "{}: {forbidden} in the {room} room",
                path.display()
            );
        }
    }
}
