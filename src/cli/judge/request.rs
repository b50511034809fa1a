//! What a request may hold, and how it is refused.

use serde::{Deserialize, Deserializer};
use serde_json::value::RawValue;
use serde_json::{Map, Value};

use super::unknown::check_quantity;
use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Domain, Symbol};
use crate::physics::balance::Balance;
use crate::physics::unit::read_unit;
use crate::text::{Diagnostic, Readings, Undeclared, Vocabulary, read};

/// The fields of all tasks; `unknown` says which of them each task reads.
#[derive(Deserialize)]
pub(super) struct Request<'a> {
    #[serde(default)]
    pub id: Value,
    pub task: Option<String>,
    /// As they were sent: they are looked into only for a problem that is not
    /// kept from an earlier request.
    #[serde(borrow, default, deserialize_with = "as_sent")]
    quantities: Option<&'a RawValue>,
    pub formula: Option<String>,
    pub subject: Option<String>,
    /// The quantity that is changed in a question of proportion.
    pub varied: Option<String>,
    /// By what it is multiplied.
    pub scale: Option<Value>,
    /// The term of a definition.
    pub term: Option<String>,
    pub answer: Option<String>,
    pub before: Option<String>,
    pub after: Option<String>,
    #[serde(default)]
    pub given: Vec<String>,
    /// Letters that the question brings in.
    #[serde(default)]
    pub helpers: Vec<String>,
    pub goal: Option<String>,
    #[serde(default)]
    pub lines: Vec<String>,
    #[serde(default)]
    pub functions: Map<String, Value>,
    /// Approximations that the question grants: `small-angle`.
    #[serde(default)]
    pub approximations: Vec<String>,
    /// Marks as a sheet writes them: `M1 when a line has no t`.
    #[serde(default)]
    pub marks: Vec<String>,
}

fn as_sent<'de: 'a, 'a, D: Deserializer<'de>>(source: D) -> Result<Option<&'a RawValue>, D::Error> {
    <&RawValue>::deserialize(source).map(Some)
}

impl Request<'_> {
    /// The quantities as they were sent.
    pub(super) fn quantities_as_sent(&self) -> &str {
        self.quantities.map_or("", RawValue::get)
    }

    /// The names of the fields that say something, besides `id` and `task`.
    pub(super) fn given(&self) -> Vec<&'static str> {
        let fields = [
            ("quantities", self.quantities.is_some()),
            ("formula", self.formula.is_some()),
            ("subject", self.subject.is_some()),
            ("varied", self.varied.is_some()),
            ("scale", self.scale.is_some()),
            ("term", self.term.is_some()),
            ("answer", self.answer.is_some()),
            ("before", self.before.is_some()),
            ("after", self.after.is_some()),
            ("given", !self.given.is_empty()),
            ("helpers", !self.helpers.is_empty()),
            ("goal", self.goal.is_some()),
            ("lines", !self.lines.is_empty()),
            ("functions", !self.functions.is_empty()),
            ("approximations", !self.approximations.is_empty()),
            ("marks", !self.marks.is_empty()),
        ];
        let given = fields.into_iter().filter(|(_, given)| *given);
        given.map(|(name, _)| name).collect()
    }

    pub(super) fn quantities(&self) -> Result<Map<String, Value>, Refusal> {
        match self.quantities {
            None => Ok(Map::new()),
            Some(sent) => serde_json::from_str(sent.get()).map_err(|_| Refusal::Malformed),
        }
    }
}

/// A request read for the place of its fault: what [`Request`] looks into late.
#[derive(Deserialize)]
pub(super) struct Whole {
    #[serde(default, rename = "quantities")]
    _quantities: Map<String, Value>,
}

/// What can go wrong before there is anything to judge.
pub(super) enum Refusal {
    /// What is looked into late is not what it should be.
    Malformed,
    /// The request breaks the contract.
    Request(String),
    /// The typed maths can't be read.
    Unreadable(Box<Diagnostic>),
}

impl From<Diagnostic> for Refusal {
    fn from(diagnostic: Diagnostic) -> Self {
        Refusal::Unreadable(Box::new(diagnostic))
    }
}

pub(super) fn missing(field: &str) -> Refusal {
    Refusal::Request(format!("the field \"{field}\" is missing"))
}

pub(super) fn declared(quantities: &Map<String, Value>) -> Result<Vocabulary, Refusal> {
    let mut vocabulary = Vocabulary::new();
    for (name, value) in quantities {
        let word = match value {
            Value::String(word) => word.as_str(),
            Value::Object(fields) => {
                check_quantity(name, fields)?;
                match fields.get("domain") {
                    Some(Value::String(word)) => word.as_str(),
                    None => Domain::default().keyword(),
                    Some(_) => {
                        return Err(Refusal::Request(format!(
                            "the domain of \"{name}\" is not a string"
                        )));
                    }
                }
            }
            _ => {
                return Err(Refusal::Request(format!(
                    "the quantity \"{name}\" needs a domain"
                )));
            }
        };
        let domain = Domain::from_keyword(word).ok_or_else(|| {
            Refusal::Request(format!(
                "the domain \"{word}\" of \"{name}\" is not one of positive, nonnegative, real, acute"
            ))
        })?;
        vocabulary.declare(name, domain);
    }
    Ok(vocabulary)
}

/// The dimensions of the quantities whose unit is given and can be read;
/// nothing where there is none. A unit never changes a verdict, so one that
/// can't be read is no reason to refuse.
pub(super) fn balance(quantities: &Map<String, Value>, vocabulary: &Vocabulary) -> Option<Balance> {
    let mut found: Option<Balance> = None;
    for (name, value) in quantities {
        let unit = value.get("unit").and_then(Value::as_str).map(read_unit);
        if let (Some(Ok(unit)), Some(symbol)) = (unit, vocabulary.lookup(name)) {
            found
                .get_or_insert_with(Balance::new)
                .declare(symbol, unit.dimension, unit.celsius);
        }
    }
    found
}

pub(super) fn subject_symbol(
    subject: &str,
    vocabulary: &mut Vocabulary,
) -> Result<Symbol, Refusal> {
    let readings: Readings = read(subject, vocabulary, Undeclared::Declare)?;
    readings
        .all()
        .find_map(|reading| match reading.chain.as_slice() {
            [Expr::Symbol(symbol)] => Some(*symbol),
            _ => None,
        })
        .ok_or_else(|| Refusal::Request(format!("the subject \"{subject}\" is not a quantity")))
}
