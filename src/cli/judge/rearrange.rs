//! The task `rearrange`, with the problems that are kept for the next
//! answer.

use rustc_hash::FxHashMap;
use serde_json::{Map, Value, json};

use crate::reason::answer;
use crate::reason::rearrangement::Problem;
use crate::reason::verdict::{Note, Verdict};
use crate::text::readings::read_first;
use crate::text::{DiagnosticKind, Readings, Undeclared, Vocabulary, read};

use super::evidence::response;
use super::request::{Refusal, Request, declared, missing, subject_symbol};

/// Prepared problems that are kept.
const KEPT_PROBLEMS: usize = 4_096;

pub(super) struct Prepared {
    vocabulary: Vocabulary,
    problem: Problem,
}

/// Prepared problems by what was asked.
#[derive(Default)]
pub(super) struct Problems(FxHashMap<String, Prepared>);

impl Problems {
    /// The response to one request.
    pub(super) fn respond(&mut self, request: &Request) -> Result<Map<String, Value>, Refusal> {
        let formula = request
            .formula
            .as_deref()
            .ok_or_else(|| missing("formula"))?;
        let subject = request
            .subject
            .as_deref()
            .ok_or_else(|| missing("subject"))?;
        let answer = request.answer.as_deref().ok_or_else(|| missing("answer"))?;
        let prepared = self.prepared(&request.quantities, formula, subject)?;
        let mut vocabulary_of_answer;
        let known = &mut prepared.vocabulary;
        let ((preferred, ambiguous), vocabulary, undeclared) =
            match read_first(answer, known, Undeclared::Refuse) {
                Ok(reading) => (reading, known, Undeclared::Refuse),
                Err(diagnostic) if diagnostic.kind == DiagnosticKind::UnknownSymbol => {
                    // A letter that the formula does not have: a quantity of its
                    // own, positive like every undeclared one.
                    vocabulary_of_answer = known.clone();
                    let further = &mut vocabulary_of_answer;
                    let reading = read_first(answer, further, Undeclared::Declare)?;
                    (reading, further, Undeclared::Declare)
                }
                Err(diagnostic) => return Err(diagnostic.into()),
            };
        let problem = &prepared.problem;
        let judgement = problem.judge(&preferred.chain, vocabulary.table());
        let readings = if judgement.is_right() || !ambiguous {
            Readings {
                preferred,
                others: Vec::new(),
            }
        } else {
            read(answer, vocabulary, undeclared)?
        };
        let table = vocabulary.table();
        let (judgement, reading) = answer::judge_further(problem, judgement, &readings, table);
        let verdict = match judgement.verdict {
            Verdict::Right => "right",
            Verdict::Wrong => "wrong",
            Verdict::Undecided(_) => "undecided",
        };
        let slip = judgement
            .notes
            .iter()
            .find_map(|note| match note {
                Note::RoundedConstant => Some(json!({
                    "name": "constant-rounded",
                    "remark": "A constant was replaced by a rounded number; keep the symbol, which is exact.",
                })),
                _ => None,
            })
            .unwrap_or(Value::Null);
        Ok(response(
            verdict,
            judgement.evidence.as_ref(),
            slip,
            &judgement.notes,
            &reading.chain,
            table,
        ))
    }

    fn prepared(
        &mut self,
        quantities: &Map<String, Value>,
        formula: &str,
        subject: &str,
    ) -> Result<&mut Prepared, Refusal> {
        let mut key = String::with_capacity(128);
        for (name, value) in quantities {
            key.push_str(name);
            key.push('\u{1}');
            match value {
                Value::String(word) => key.push_str(word),
                other => key.push_str(&other.to_string()),
            }
            key.push('\u{2}');
        }
        key.push('\u{3}');
        key.push_str(formula);
        key.push('\u{3}');
        key.push_str(subject);
        if !self.0.contains_key(&key) {
            if self.0.len() >= KEPT_PROBLEMS {
                self.0.clear();
            }
            let prepared = prepare(quantities, formula, subject)?;
            self.0.insert(key.clone(), prepared);
        }
        Ok(self.0.get_mut(&key).expect("it was put there"))
    }
}

fn prepare(
    quantities: &Map<String, Value>,
    formula: &str,
    subject: &str,
) -> Result<Prepared, Refusal> {
    let mut vocabulary = declared(quantities)?;
    let symbol = subject_symbol(subject, &mut vocabulary)?;
    let readings = read(formula, &mut vocabulary, Undeclared::Declare)?;
    let [equation] = answer::equations(&readings.preferred)
        .try_into()
        .map_err(|_| Refusal::Request("\"formula\" must be one equation".to_owned()))?;
    if !equation.symbols().contains(&symbol) {
        return Err(Refusal::Request(format!(
            "the subject \"{subject}\" is not in the formula"
        )));
    }
    let problem = Problem::new(equation, symbol, vocabulary.table());
    Ok(Prepared {
        vocabulary,
        problem,
    })
}
