//! A student's desk: a folder with a sheet and a place for a journal.

use std::path::PathBuf;

use super::{Ran, fresh_folder, run};

/// A folder with a sheet whose topic is `tiny`, and a place for a journal.
pub struct Desk {
    pub sheet: PathBuf,
    pub journal: PathBuf,
}

impl Desk {
    /// A desk with this sheet.
    pub fn new(text: &str) -> Self {
        let folder = fresh_folder();
        std::fs::create_dir_all(&folder).unwrap();
        let sheet = folder.join("tiny.sheet");
        std::fs::write(&sheet, text).unwrap();
        Desk {
            sheet,
            journal: folder.join("journal.jsonl"),
        }
    }

    /// What a verb is called with on a day.
    pub fn arguments<'a>(&'a self, verb: &'a str, day: &'a str) -> Vec<&'a str> {
        vec![
            verb,
            "--day",
            day,
            "--journal",
            self.journal.to_str().unwrap(),
            "--sheet",
            self.sheet.to_str().unwrap(),
            "--topic",
            "tiny",
        ]
    }

    /// Runs a verb on a day.
    pub fn run(&self, verb: &str, day: &str, more: &[&str], input: &str) -> Ran {
        let mut arguments = self.arguments(verb, day);
        arguments.extend_from_slice(more);
        run(&arguments, input)
    }

    /// A cell of the checklist's table.
    pub fn cell(&self, day: &str, item: &str, column: &str) -> String {
        let ran = self.run("checklist", day, &["--format", "csv"], "");
        assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
        let mut lines = ran.stdout.lines();
        let mut head = lines.next().unwrap().split(',');
        let at = head.position(|name| name == column).unwrap();
        let row = lines.find(|line| line.contains(item)).unwrap();
        row.split(',').nth(at).unwrap().to_owned()
    }
}
