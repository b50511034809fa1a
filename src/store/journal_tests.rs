use super::*;
use crate::practice::attempt::{Kind, Lettering};

/// A folder of its own that goes when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("rejig-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Folder(path)
    }

    fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn id(sitting: u64, number: u32) -> AttemptId {
    AttemptId { sitting, number }
}

fn attempt(sitting: u64, number: u32) -> Record {
    Record::Attempt(Box::new(Attempt {
        id: id(sitting, number),
        day: Day::parse("2027-03-01").unwrap(),
        moment: i64::from(number),
        item: "motion/velocity-time/a".to_owned(),
        kind: Kind::Rearrangement,
        lettering: Lettering::Sheet,
        right: true,
        wrong: 0,
        hints: 0,
        shown: false,
        support: 0,
        slip: None,
        marks: 2,
        awarded: 2,
    }))
}

fn numbers(contents: &Contents) -> Vec<u32> {
    let attempts = contents.attempts.iter();
    attempts.map(|attempt| attempt.id.number).collect()
}

#[test]
fn what_is_added_is_read() {
    let folder = Folder::new("added");
    let path = folder.file("new/deep/journal.jsonl");
    assert_eq!(read(&path).unwrap(), Contents::default());
    let mut journal = Journal::open(&path).unwrap();
    for number in 1..=3 {
        journal.append(&attempt(7, number)).unwrap();
    }
    journal
        .append(&Record::TakenBack {
            id: id(7, 4),
            moment: 9,
            attempt: id(7, 2),
        })
        .unwrap();
    for (number, date) in [(5, "2027-05-01"), (6, "2027-05-17")] {
        journal
            .append(&Record::Exam {
                id: id(7, number),
                moment: i64::from(number),
                day: Day::parse(date),
            })
            .unwrap();
    }
    let contents = read(&path).unwrap();
    assert_eq!(numbers(&contents), [1, 3]);
    assert_eq!(contents.exam, Day::parse("2027-05-17"));
    assert_eq!(contents.findings.taken_back, 1);
    assert_eq!(contents.findings.lines, 6);
}

#[test]
fn attempts_are_put_in_the_order_of_their_days() {
    let mut early = attempt(7, 9);
    if let Record::Attempt(attempt) = &mut early {
        // A clock that went back.
        attempt.day = attempt.day.plus(-400);
    }
    let mut text = record::write(&attempt(7, 1));
    text.push_str(&record::write(&early));
    let contents = understand(&[text.as_bytes()]);
    assert_eq!(numbers(&contents), [9, 1]);
}

#[test]
fn cut_anywhere_all_whole_lines_are_there_and_the_next_is_too() {
    let folder = Folder::new("cut");
    let path = folder.file("journal.jsonl");
    let lines: Vec<String> = (1..=3)
        .map(|number| record::write(&attempt(7, number)))
        .collect();
    let whole = lines.concat();
    let two = lines[0].len() + lines[1].len();
    for cut in two..=whole.len() {
        fs::write(&path, &whole.as_bytes()[..cut]).unwrap();
        let before = read(&path).unwrap();
        // Without its line break the third line is whole all the same.
        let complete = cut + 1 >= whole.len();
        let expected: &[u32] = if complete { &[1, 2, 3] } else { &[1, 2] };
        assert_eq!(numbers(&before), expected, "cut at {cut}");
        assert_eq!(before.findings.torn, !complete && cut > two);
        assert!(before.findings.damaged.is_empty());
        let mut journal = Journal::open(&path).unwrap();
        journal.append(&attempt(8, 4)).unwrap();
        let after = read(&path).unwrap();
        let mut expected = expected.to_vec();
        expected.push(4);
        assert_eq!(numbers(&after), expected, "cut at {cut}");
        let damaged = usize::from(!complete && cut > two);
        assert_eq!(after.findings.damaged.len(), damaged);
        assert!(!after.findings.torn);
        // Nothing that stood there is gone.
        let bytes = fs::read(&path).unwrap();
        assert!(bytes.starts_with(&whole.as_bytes()[..cut]));
    }
}

#[test]
fn damage_and_newer_versions_are_kept_and_counted() {
    let mut text = String::new();
    text.push_str(&record::write(&attempt(7, 1)));
    text.push_str("not a record\n\n");
    text.push_str("{\"v\":9,\"id\":\"x\",\"mood\":\"good\"}\n");
    text.push_str(&record::write(&attempt(7, 1)));
    text.push_str(&"x".repeat(MAX_RECORD + 1));
    text.push('\n');
    text.push_str(&record::write(&attempt(7, 2)));
    let contents = understand(&[text.as_bytes()]);
    assert_eq!(numbers(&contents), [1, 2]);
    assert_eq!(
        contents.findings,
        Findings {
            lines: 6,
            torn: false,
            damaged: vec![2, 6],
            newer: 1,
            repeated: 1,
            taken_back: 0,
        }
    );
    // Bytes of any kind are no reason to panic.
    let contents = understand(&[b"\xff\xfe\0\n{\"v\":1", b"", b"\n\n"]);
    assert_eq!(contents.findings.damaged, [1]);
    assert!(contents.findings.torn);
}

#[test]
fn two_writers_at_once() {
    let folder = Folder::new("two");
    let path = folder.file("journal.jsonl");
    std::thread::scope(|scope| {
        for sitting in 1..=4 {
            let path = &path;
            scope.spawn(move || {
                let mut journal = Journal::open(path).unwrap();
                for number in 1..=50 {
                    journal.append(&attempt(sitting, number)).unwrap();
                }
            });
        }
    });
    let contents = read(&path).unwrap();
    assert_eq!(contents.attempts.len(), 200);
    assert_eq!(
        contents.findings,
        Findings {
            lines: 200,
            ..Findings::default()
        }
    );
}

#[test]
fn home_and_school_become_one() {
    let folder = Folder::new("merge");
    let (home, school) = (folder.file("home.jsonl"), folder.file("school.jsonl"));
    let newer = "{\"v\":9,\"id\":\"x\"}\n";
    let lines = |numbers: &[u32]| -> String {
        let numbers = numbers.iter();
        numbers
            .map(|number| record::write(&attempt(7, *number)))
            .collect()
    };
    fs::write(&home, lines(&[1, 2, 4])).unwrap();
    fs::write(&school, format!("{}{newer}torn{{", lines(&[2, 3, 5]))).unwrap();
    let together = read_together(&[home.clone(), school.clone()]).unwrap();
    assert_eq!(numbers(&together), [1, 2, 3, 4, 5]);
    let mut journal = Journal::open(&home).unwrap();
    assert_eq!(journal.merge(&school).unwrap(), 3);
    let merged = read(&home).unwrap();
    assert_eq!(merged.attempts, together.attempts);
    assert_eq!(merged.findings.newer, 1);
    // Again, and with itself: nothing new.
    assert_eq!(journal.merge(&school).unwrap(), 0);
    assert_eq!(journal.merge(&home).unwrap(), 0);
    assert!(journal.merge(&folder.file("none.jsonl")).is_err());
}

#[test]
fn places_that_are_no_journal() {
    let folder = Folder::new("places");
    assert!(matches!(read(&folder.0), Err(Fault::NotAFile)));
    assert!(matches!(Journal::open(&folder.0), Err(Fault::NotAFile)));
    let file = folder.file("file");
    fs::write(&file, "x").unwrap();
    assert!(matches!(
        Journal::open(&file.join("journal.jsonl")),
        Err(Fault::System(_))
    ));
    #[cfg(target_os = "linux")]
    {
        assert!(matches!(read(Path::new("/dev/full")), Err(Fault::NotAFile)));
        assert!(matches!(read(Path::new("/dev/zero")), Err(Fault::NotAFile)));
        assert!(Journal::open(Path::new("/proc/rejig/journal.jsonl")).is_err());
    }
}

#[test]
fn a_lock_that_stays_is_said_and_reading_goes_on() {
    let folder = Folder::new("lock");
    let path = folder.file("journal.jsonl");
    let mut journal = Journal::open(&path).unwrap();
    journal.append(&attempt(7, 1)).unwrap();
    let other = File::open(&path).unwrap();
    other.lock().unwrap();
    assert!(matches!(journal.append(&attempt(7, 2)), Err(Fault::Locked)));
    assert_eq!(read(&path).unwrap().attempts.len(), 1);
    other.unlock().unwrap();
    journal.append(&attempt(7, 2)).unwrap();
    assert_eq!(numbers(&read(&path).unwrap()), [1, 2]);
}
