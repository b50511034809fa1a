//! A quiz as a file holds it: a fixed set of questions, each with all that it
//! needs, so that it stays what it was when sheets change.
//!
//! Maths is text here; [`super::script`] reads it. The fields are a contract:
//! they are only added.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::algebra::number::Number;

/// The version of the format that this program writes.
pub const VERSION: u32 = 1;
/// Questions that one quiz may have.
pub const MOST_QUESTIONS: usize = 10_000;

/// A quiz.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// The version of the format.
    #[serde(rename = "quiz")]
    pub version: u32,
    /// The seed that chose the questions, if one did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// The questions in their order.
    pub questions: Vec<Entry>,
    /// The sheets of the teacher's own whose definitions are asked for, since
    /// a definition is judged with all the words that its sheets know.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sheets: Vec<SheetText>,
}

/// A formula sheet that travels with a quiz.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct SheetText {
    /// Its name, by which another sheet includes it.
    pub name: String,
    /// Whether it comes in only where another sheet includes it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub included: bool,
    /// What it says.
    pub text: String,
}

/// One question. Which fields count depends on the kind.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Entry {
    /// Its number, from 1; 0 for "as it comes".
    pub number: usize,
    /// The stable key of its item, if it comes from a sheet.
    pub key: Option<String>,
    /// `rearrangement`, the usual one, `proof`, `definition`, `connection` or
    /// `proportion`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub kind: String,
    /// The key of its topic.
    pub topic: String,
    /// The heading of its topic.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// The formula (rearrangement, proportion).
    #[serde(skip_serializing_if = "String::is_empty")]
    pub formula: String,
    /// The letter to make the subject (rearrangement, connection), or the one that is
    /// asked for (proportion).
    #[serde(skip_serializing_if = "String::is_empty")]
    pub subject: String,
    /// Letters that change, each with what it is multiplied by: a number, or
    /// a text such as `"1/2"` (proportion).
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub changes: Map<String, Value>,
    /// The term (definition).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub term: Option<String>,
    /// Marks that it is worth. They are written for people and other programs;
    /// marking counts them anew.
    pub marks: usize,
    /// What is asked, in words (proof), or the physics of it (connection).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub statement: Option<String>,
    /// When it holds, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// What may be used (proof), or is to be joined (connection).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub given: Vec<String>,
    /// Letters that the question brings in (proof).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub helpers: Vec<String>,
    /// What is to be shown (proof), or found (connection).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<String>,
    /// A route that leads there (proof).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub route: Vec<String>,
    /// How marks are given, as a sheet writes it: `M1 when a line has no t`
    /// (proof).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub scheme: Vec<String>,
    /// Formulae that are true but not given, by their keys (proof).
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub known: Map<String, Value>,
    /// The letters: a domain (`"real"`), or an object with `domain`, `name`,
    /// `unit` and `also` (other ways to type it).
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub quantities: Map<String, Value>,
}

/// What an entry says about a letter.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Described {
    /// The values that it may take; positive if nothing is said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub domain: Option<String>,
    /// What it stands for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Its unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Other ways to type it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
}

impl Described {
    /// As an entry has it: a letter of which only the domain is known is a
    /// word.
    #[must_use]
    pub fn value(self) -> Value {
        match self {
            Described {
                domain: Some(domain),
                name: None,
                unit: None,
                also,
            } if also.is_empty() => Value::String(domain),
            other => serde_json::to_value(other).unwrap_or_default(),
        }
    }

    /// What an entry's value says.
    ///
    /// # Errors
    /// When it is neither a word nor an object of this kind.
    pub fn of(value: &Value) -> Result<Self, String> {
        match value {
            Value::String(domain) => Ok(Described {
                domain: Some(domain.clone()),
                ..Described::default()
            }),
            other => Described::deserialize(other).map_err(|error| error.to_string()),
        }
    }
}

/// The number above zero that a field has, as a number or as text: `2`,
/// `0.5`, `"1/3"`.
#[must_use]
pub fn scale(value: &Value) -> Option<Number> {
    let text = match value {
        Value::String(text) => text.trim().to_owned(),
        Value::Number(number) => number.to_string(),
        _ => return None,
    };
    let (over, under) = text.split_once('/').unwrap_or((&text, "1"));
    let part = |text: &str| -> Option<Number> {
        let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
        let digits = format!("{whole}{rest}");
        if digits.len() > 9 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let ten = 10_i64.checked_pow(u32::try_from(rest.len()).ok()?)?;
        Some(Number::new(digits.parse().ok()?, ten)).filter(|number| !number.is_zero())
    };
    Some(&part(over.trim())? / &part(under.trim())?)
}

impl Paper {
    /// A quiz of these questions; those without a number get one, from 1.
    #[must_use]
    pub fn new(seed: Option<u64>, mut questions: Vec<Entry>) -> Self {
        for (index, entry) in questions.iter_mut().enumerate() {
            if entry.number == 0 {
                entry.number = index + 1;
            }
        }
        Paper {
            version: VERSION,
            seed,
            questions,
            sheets: Vec::new(),
        }
    }

    /// The same with the sheets that its definitions come from.
    #[must_use]
    pub fn with_sheets(mut self, sheets: Vec<SheetText>) -> Self {
        self.sheets = sheets;
        self
    }

    /// Looks whether the numbers serve, and gives those that are missing.
    ///
    /// # Errors
    /// What is wrong, as a clause.
    pub fn settle(&mut self) -> Result<(), String> {
        if self.version != VERSION {
            return Err(format!(
                "it is a quiz of version {}, and this program reads version {VERSION}",
                self.version
            ));
        }
        if self.questions.is_empty() {
            return Err("it has no questions".to_owned());
        }
        if self.questions.len() > MOST_QUESTIONS {
            return Err(format!("it has more than {MOST_QUESTIONS} questions"));
        }
        let mut seen = rustc_hash::FxHashSet::default();
        for (index, entry) in self.questions.iter_mut().enumerate() {
            if entry.number == 0 {
                entry.number = index + 1;
            }
            if !seen.insert(entry.number) {
                return Err(format!("two questions have the number {}", entry.number));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Paper, String> {
        let mut paper: Paper = serde_json::from_str(text).map_err(|error| error.to_string())?;
        paper.settle().map(|()| paper)
    }

    #[test]
    fn the_least_that_serves() {
        let paper = read(r#"{"quiz":1,"questions":[{"formula":"v = f λ","subject":"f"}]}"#);
        let paper = paper.unwrap();
        assert_eq!(paper.questions[0].number, 1);
        assert_eq!(paper.seed, None);
    }

    #[test]
    fn what_does_not_serve() {
        for (text, told) in [
            (r#"{"quiz":1,"questions":[]}"#, "it has no questions"),
            (r#"{"quiz":2,"questions":[{}]}"#, "version 2"),
            (
                r#"{"quiz":1,"questions":[{"number":2},{}]}"#,
                "two questions have the number 2",
            ),
            (r#"{"questions":[{}]}"#, "missing field `quiz`"),
        ] {
            let fault = read(text).unwrap_err();
            assert!(fault.contains(told), "{text}: {fault}");
        }
    }

    #[test]
    fn scales() {
        for (text, expected) in [
            ("2", Some((2, 1))),
            ("0.5", Some((1, 2))),
            ("\"1/3\"", Some((1, 3))),
            ("\" 1.5 / 2 \"", Some((3, 4))),
            ("0", None),
            ("-2", None),
            ("\"1/0\"", None),
            ("\"two\"", None),
            ("[2]", None),
            ("1e9", None),
        ] {
            let value = serde_json::from_str(text).unwrap();
            let expected = expected.map(|(over, under)| Number::new(over, under));
            assert_eq!(scale(&value), expected, "{text}");
        }
    }

    #[test]
    fn it_reads_back_what_it_writes() {
        let entry = Entry {
            formula: "v = f lambda".to_owned(),
            subject: "f".to_owned(),
            marks: 1,
            quantities: [
                ("v".to_owned(), Value::from("real")),
                (
                    "f".to_owned(),
                    Described {
                        name: Some("frequency".to_owned()),
                        ..Described::default()
                    }
                    .value(),
                ),
            ]
            .into_iter()
            .collect(),
            ..Entry::default()
        };
        let paper = Paper::new(Some(3), vec![entry.clone(), entry]);
        let text = serde_json::to_string(&paper).unwrap();
        assert_eq!(read(&text), Ok(paper));
    }
}
