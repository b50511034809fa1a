//! Definitions, connections and reasoning by proportion, each in the drill, in
//! a quiz, in marking and on a worksheet: twelve cells, through the binary.
//! All is asked from a teacher's own sheet, which is gone when the quiz comes
//! back from its file.

mod cli_support;

use std::path::{Path, PathBuf};

use cli_support::{Ran, fresh_folder, run};
use rejig::physics::formulary::Formulary;
use rejig::practice::attempt::Kind;
use rejig::practice::day::Day;
use rejig::practice::item::items;
use rejig::practice::mastery::Progress;
use rejig::practice::posed::{Asking, Posed};
use rejig::show::line::Spelling;
use rejig::show::proportion::Words;
use serde_json::Value;

const SHEET: &str = "topic springs: Springs
quantity F: pull, N
quantity x: extension, m
quantity k: stiffness, N/m
quantity E: stored energy, J
formula spring: F = k x
  when the limit of proportionality is not passed
formula store: E = 1/2 k x^2
include \"words.sheet\"
define stiffness: pull per unit extension ; k = F/x

topic laws: Laws
quantity F: pull, N
quantity m: mass, kg
quantity a: acceleration, m s^-2
formula law: F = m a
connect pull: The pull of the spring is the only force.
  given F = k x from springs/spring
  given F = m a from laws/law
  show a = k x/m
";
const WORDS: &str = "synonym pull: tug, yank\n";

/// A folder with the sheet and the one that it includes.
struct Folder(PathBuf);

impl Folder {
    fn new() -> Self {
        let folder = fresh_folder();
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join("own.sheet"), SHEET).unwrap();
        std::fs::write(folder.join("words.sheet"), WORDS).unwrap();
        Folder(folder)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_str().unwrap().to_owned()
    }

    fn run(&self, verb: &str, kind: &str, more: &[&str], input: &str) -> Ran {
        let sheet = self.path("own.sheet");
        let mut arguments = vec![verb, "--sheet", &sheet, "--only", "--kind", kind];
        arguments.extend(more);
        let ran = run(&arguments, input);
        assert_eq!((ran.stderr.as_str(), ran.status), ("", 0), "{}", ran.stdout);
        ran
    }

    /// One question, answered in several ways.
    fn quizzes(&self, kind: &str, answers: &[&str]) -> String {
        let asked = answers.iter().map(|answer| {
            let more = ["--count", "1", "--seed", "6"];
            self.run("quiz", kind, &more, answer).stdout
        });
        asked.collect::<Vec<_>>().join("\n")
    }

    fn drill(&self, kind: &str, input: &str) -> String {
        let journal = self.path("journal.jsonl");
        let more = [
            "--journal",
            &journal,
            "--day",
            "2027-03-01",
            "--count",
            "1",
            "--seed",
            "4",
        ];
        let said = self.run("drill", kind, &more, input).stdout;
        // How many items the program's own sheets have is none of its business.
        let end = said.find("Secure now: ").unwrap_or(said.len());
        said[..end].to_owned()
    }

    /// Writes a quiz of so many questions to a file and takes the sheets away.
    fn file(&self, kind: &str, count: &str) -> String {
        let more = [
            "--count",
            count,
            "--seed",
            "6",
            "--questions",
            "--format",
            "json",
        ];
        let text = self.run("quiz", kind, &more, "").stdout;
        let name = self.path("quiz.json");
        std::fs::write(&name, text).unwrap();
        for sheet in ["own.sheet", "words.sheet"] {
            std::fs::remove_file(self.0.join(sheet)).unwrap();
        }
        name
    }

    fn mark(&self, quiz: &str, answers: &[&str]) -> (String, Vec<Value>) {
        let rows: Vec<String> = answers
            .iter()
            .zip(1..)
            .map(|(answer, seat)| {
                serde_json::json!({"seat": format!("seat {seat}"), "question": 1, "answer": answer})
                    .to_string()
            })
            .collect();
        let name = self.path("answers.jsonl");
        std::fs::write(&name, rows.join("\n")).unwrap();
        let text = run(&["mark", "--quiz", quiz, &name], "");
        assert_eq!((text.stderr.as_str(), text.status), ("", 0));
        let values = run(&["mark", "--quiz", quiz, &name, "--format", "json"], "");
        let values = values
            .stdout
            .lines()
            .map(|line| serde_json::from_str(line).unwrap());
        let answers = values.filter(|value: &Value| value["kind"] == "answer");
        (text.stdout, answers.collect())
    }
}

/// What became of answers: verdict and marks.
fn became(values: &[Value]) -> Vec<String> {
    values
        .iter()
        .map(|value| {
            let slip = value["slip"]["name"].as_str().unwrap_or("");
            let verdict = value["verdict"].as_str().unwrap();
            let marks = format!("{}/{}", value["awarded"], value["available"]);
            format!("{verdict} {marks} {slip}").trim().to_owned()
        })
        .collect()
}

fn worksheet(quiz: &str) -> String {
    let ran = run(&["worksheet", "--quiz", quiz, "--format", "latex"], "");
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    let begin = ran.stdout.find("\\begin{document}").unwrap();
    let lines: Vec<&str> = ran.stdout[begin..]
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with("\\rule"))
        .collect();
    assert!(
        run(&["worksheet", "--quiz", quiz], "")
            .stdout
            .starts_with("<!DOCTYPE html>")
    );
    lines.join("\n")
}

fn asked_again(quiz: &str, input: &str) -> String {
    assert!(Path::new(quiz).exists());
    let ran = run(&["quiz", "--quiz", quiz], input);
    assert_eq!((ran.stderr.as_str(), ran.status), ("", 0));
    ran.stdout
}

#[test]
fn definition() {
    let folder = Folder::new();
    let said = folder.drill(
        "definition",
        "hint\npull per banana\nextension per unit pull\ntug per unit extension\n",
    );
    insta::assert_snapshot!("definition_drill", said);
    let folder = Folder::new();
    let answers = ["extension per unit pull\n", "pull per unit extension\n"];
    let asked = folder.quizzes("definition", &answers);
    insta::assert_snapshot!("definition_quiz", asked);
    let quiz = folder.file("definition", "1");
    let text = std::fs::read_to_string(&quiz).unwrap();
    assert!(!text.contains("data-"), "no folder of this machine: {text}");
    assert!(asked_again(&quiz, "the yank per unit extension\n").contains("Right."));
    let (text, values) = folder.mark(
        &quiz,
        &[
            "pull per unit extension",
            "yank divided by extension",
            "extension per unit pull",
            "pull per gadget",
            "",
        ],
    );
    insta::assert_snapshot!("definition_mark", text);
    assert_eq!(
        became(&values),
        [
            "right 1/1",
            "right 1/1",
            "wrong 0/1",
            "undecided 0/0",
            "not-answered 0/1"
        ]
    );
    insta::assert_snapshot!("definition_worksheet", worksheet(&quiz));
}

#[test]
fn connection() {
    let folder = Folder::new();
    let said = folder.drill(
        "connection",
        "help\nletters\nhint\na = F m\nundo\nF = m a\nk x = m a\na = k x m\nhint\nshow\n",
    );
    insta::assert_snapshot!("connection_drill", said);
    let folder = Folder::new();
    let answers = [
        "k x = m a\na = k x m\n\n",
        "F = m a\nk x = m a\n\n",
        "k x/m\n\n",
        "a = F/m\n= k x/m\n\n",
    ];
    let asked = folder.quizzes("connection", &answers);
    insta::assert_snapshot!("connection_quiz", asked);
    let quiz = folder.file("connection", "1");
    assert!(asked_again(&quiz, "k x = m a\na = k x/m\n\n").contains("Marks: 2 of 2"));
    let (text, values) = folder.mark(
        &quiz,
        &[
            "k x/m",
            "k x = m a\na = k x/m",
            "a = k x m",
            "k x = m a\na = m/(k x)",
            "k x = m a",
            "F = m a",
            "k x = m a^2\na = sqrt(k x/m)",
            "a = F/m",
            "((",
            "",
        ],
    );
    insta::assert_snapshot!("connection_mark", text);
    assert_eq!(
        became(&values),
        [
            "right 2/2",
            "right 2/2",
            "wrong 1/2 multiplied-for-divided",
            "wrong 1/2 fraction-inverted",
            "unfinished 1/2",
            "unfinished 0/2",
            "wrong 1/2 root-for-square",
            "unfinished 0/2",
            "unreadable 0/0",
            "not-answered 0/2",
        ]
    );
    insta::assert_snapshot!("connection_worksheet", worksheet(&quiz));
}

#[test]
fn proportion() {
    let folder = Folder::new();
    let said = folder.drill(
        "proportion",
        "help\nletters\nhint\nbananas\n(((\nhint\n7\nhalf\nhint\nshow\nquit\n",
    );
    insta::assert_snapshot!("proportion_drill", said);
    let folder = Folder::new();
    let more = ["--count", "4", "--seed", "6", "--marks", "2"];
    let ran = folder.run("quiz", "proportion", &more, "7\nquadruples\n4\nbananas\n");
    insta::assert_snapshot!("proportion_quiz", ran.stdout);
    let name = folder.path("fixed.json");
    let text = r#"{"quiz":1,"questions":[{"kind":"proportion","title":"Springs","formula":"E = 1/2 k x^2",
        "subject":"E","changes":{"x":3,"k":"1/2"},"condition":"the spring is light"}]}"#;
    std::fs::write(&name, text).unwrap();
    assert!(asked_again(&name, "4.5 times as large\n").contains("Marks: 2 of 2"));
    let (text, values) = folder.mark(
        &name,
        &[
            "9E/2",
            "4.5",
            "x^2 is 9 times as large\n9/2",
            "it increases by 350 %",
            "1.5 E",
            "18",
            "9",
            "1/18",
            "E/6",
            "100",
            "who knows",
            "((",
            "",
        ],
    );
    insta::assert_snapshot!("proportion_mark", text);
    assert_eq!(
        became(&values),
        [
            "right 2/2",
            "right 2/2",
            "right 2/2",
            "right 2/2",
            "wrong 0/2 square-lost",
            "wrong 1/2 proportion-inverted",
            "wrong 1/2 change-left-out",
            "wrong 1/2 proportion-inverted",
            "wrong 0/2 square-lost",
            "wrong 0/2",
            "undecided 0/0",
            "unreadable 0/0",
            "not-answered 0/2",
        ]
    );
    insta::assert_snapshot!("proportion_worksheet", worksheet(&name));
    // The file that the quiz writes asks the same.
    let before = folder.run(
        "quiz",
        "proportion",
        &["--count", "2", "--seed", "6", "--questions"],
        "",
    );
    let quiz = folder.file("proportion", "2");
    let after = run(&["quiz", "--quiz", &quiz, "--questions"], "");
    assert_eq!(after.stdout, before.stdout);
}

#[test]
fn other_changes_and_other_letters_on_other_days() {
    let formulary = Formulary::from_text("own.sheet", &SHEET.replace("include", "# include"));
    let all = items(&formulary, |_| true);
    for item in all.iter().filter(|item| item.kind() == Kind::Proportion) {
        let mut progress = Progress::new(Kind::Proportion);
        let mut asked: Vec<String> = Vec::new();
        for day in [1, 2, 5] {
            let posed = Posed::of_item(item, Some(&progress), 4).unwrap();
            let Asking::Proportion(scaling) = &posed.asking else {
                panic!("another kind");
            };
            let words = Words {
                scaling,
                spelling: Spelling::Ascii,
            };
            asked.push(words.changes());
            assert_eq!(item.marks(), Some(posed.marks()));
            let right = scaling.exact_factor().unwrap().to_string();
            assert!(scaling.judge(&right).unwrap().judgement.is_right());
            let day = Day::new(2027, 3, day).unwrap();
            progress.record(day, true, posed.lettering());
        }
        assert!(progress.is_secure(), "two letterings in three days");
        assert!(asked[0] != asked[1] && asked[1] != asked[2], "{asked:?}");
    }
    assert_eq!(
        all.iter()
            .filter(|item| item.kind() == Kind::Proportion)
            .count(),
        3
    );
}
