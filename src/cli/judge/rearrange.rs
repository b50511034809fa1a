//! The task `rearrange`, with the problems that are kept for the next
//! answer.

use std::cell::OnceCell;
use std::collections::VecDeque;

use rustc_hash::FxHashMap;
use serde_json::{Map, Value, json};

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::balance::Balance;
use crate::physics::formulary::{Formula, Formulary, Topic};
use crate::practice::neighbours;
use crate::reason::answer::{self, note_of};
use crate::reason::dimensions::{imbalance_in, settled};
use crate::reason::rearrangement::Problem;
use crate::reason::slip::{Explanation, Slips, explain};
use crate::reason::verdict::{Note, Verdict};
use crate::show::line::Spelling;
use crate::show::slips::{Remarks, another_formula, imbalance_words};
use crate::store::sheets;
use crate::text::readings::read_first;
use crate::text::{DiagnosticKind, Readings, Undeclared, Vocabulary, read};

use super::evidence::{response, why};
use super::fields::Fields;
use super::request::{Refusal, Request, balance, declared, missing, subject_symbol};

/// Prepared problems of one generation; two generations are kept, so that
/// what is asked again stays and memory has an end.
const GENERATION: usize = 1_024;
/// Problems that hold points far and wide, half a megabyte each.
const MOST_FAR: usize = 32;

pub(super) struct Prepared {
    pub(super) vocabulary: Vocabulary,
    pub(super) problem: Problem,
    /// The formula by its other readings, if it was typed so that there are
    /// some.
    otherwise: Vec<(Problem, Note)>,
    /// The search for slips, made for the first wrong answer.
    pub(super) slips: Option<Slips>,
    declared: Option<Balance>,
    /// The same with what the formula says of dimensions, for wrong answers.
    settled: OnceCell<Option<Balance>>,
    /// Where the formula is among those of the sheets: topic and formula.
    home: OnceCell<Option<(usize, usize)>>,
}

/// A slip as the machine interface has it: the first one's name, a second one
/// beside it.
pub(crate) fn slip_value(
    explanation: Option<&Explanation>,
    subject: Symbol,
    table: &SymbolTable,
) -> Value {
    let Some(explanation) = explanation else {
        return Value::Null;
    };
    let remarks = Remarks {
        table,
        spelling: Spelling::Unicode,
        subject,
    };
    let mut value = Map::new();
    let mut names = explanation.slips.iter().map(|slip| slip.kind.key());
    value.insert("name".into(), names.next().into());
    value.insert("remark".into(), remarks.explanation(explanation).into());
    if let Some(second) = names.next() {
        value.insert("second".into(), second.into());
    }
    value.into()
}

/// What an answer says that the subject is equal to.
fn value_of<'e>(chain: &'e [Expr], problem: &Problem) -> Option<&'e Expr> {
    let subject = Expr::Symbol(problem.subject());
    match chain {
        [value] => Some(value),
        [left, right] if *left == subject => Some(right),
        [left, right] if *right == subject => Some(left),
        _ => None,
    }
}

/// Prepared problems by what was asked.
#[derive(Default)]
pub(super) struct Problems {
    kept: Kept,
    /// The sheets, read for the first answer that nothing else explains.
    sheets: OnceCell<Formulary>,
}

/// The problems asked lately, and those asked before them.
#[derive(Default)]
pub(super) struct Kept {
    young: FxHashMap<String, Prepared>,
    old: FxHashMap<String, Prepared>,
    /// The key of the problem that was asked last.
    key: String,
    /// Problems that hold points far and wide, the longest held first.
    far: VecDeque<String>,
}

impl Problems {
    /// The response to one request.
    pub(super) fn respond(&mut self, request: &Request<'_>) -> Result<Fields, Refusal> {
        let formula = request
            .formula
            .as_deref()
            .ok_or_else(|| missing("formula"))?;
        let subject = request
            .subject
            .as_deref()
            .ok_or_else(|| missing("subject"))?;
        let answer = request.answer.as_deref().ok_or_else(|| missing("answer"))?;
        let prepared = self.kept.prepared(request, formula, subject)?;
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
        let (judgement, reading) = prepared
            .otherwise
            .iter()
            .filter(|_| !judgement.is_right())
            .find_map(|(problem, note)| {
                let own = problem.judge(&readings.preferred.chain, table);
                let (own, reading) = answer::judge_further(problem, own, &readings, table);
                own.is_right().then(|| (own.with(note.clone()), reading))
            })
            .unwrap_or((judgement, reading));
        let verdict = match judgement.verdict {
            Verdict::Right => "right",
            Verdict::Wrong => "wrong",
            Verdict::Undecided(_) => "undecided",
        };
        let wrong = judgement.verdict == Verdict::Wrong;
        let mut notes = judgement.notes.clone();
        let imbalance = match value_of(&reading.chain, &prepared.problem) {
            Some(value) if wrong => prepared
                .settled
                .get_or_init(|| settled(problem.formula(), prepared.declared.as_ref()?))
                .as_ref()
                .and_then(|balance| imbalance_in(balance, problem.subject(), value)),
            _ => None,
        };
        if imbalance.is_some() {
            notes.push(Note::Dimensions);
        }
        let slip = if wrong {
            let slips = prepared
                .slips
                .get_or_insert_with(|| Slips::new(&prepared.problem, table));
            explain(&prepared.problem, slips, &reading.chain, &judgement, table)
        } else {
            None
        };
        let another = match value_of(&reading.chain, &prepared.problem) {
            Some(value) if wrong && slip.is_none() => answers_another(
                &self.sheets,
                &prepared.home,
                &prepared.problem,
                value,
                table,
            ),
            _ => None,
        };
        if another.is_some() {
            notes.push(Note::AnotherFormula);
        }
        let holds_far = prepared.problem.holds_far();
        let mut response = response(
            verdict,
            judgement.evidence.as_ref(),
            slip_value(slip.as_ref(), prepared.problem.subject(), table),
            &notes,
            &reading.chain,
            table,
        );
        if let Verdict::Undecided(reason) = judgement.verdict {
            response.insert("message", why(reason, table));
        }
        if let Some(imbalance) = imbalance {
            response.insert("dimensions", imbalance_words(&imbalance).into());
        }
        if let Some((topic, formula)) = another {
            response.insert(
                "another_formula",
                json!({
                    "key": topic.formula_key(formula),
                    "formula": formula.text(),
                    "remark": another_formula(formula.text()),
                }),
            );
        }
        if holds_far {
            self.kept.holds_far();
        }
        Ok(response)
    }

    /// The problem that a request is about, kept for the next of its kind.
    pub(super) fn prepared(
        &mut self,
        request: &Request<'_>,
        formula: &str,
        subject: &str,
    ) -> Result<&mut Prepared, Refusal> {
        self.kept.prepared(request, formula, subject)
    }
}

/// The other formula of the sheets of which a wrong answer is a right
/// rearrangement: only where the formula itself is of the sheets, so that the
/// letters mean the same.
fn answers_another<'f>(
    sheets: &'f OnceCell<Formulary>,
    home: &OnceCell<Option<(usize, usize)>>,
    problem: &Problem,
    value: &Expr,
    table: &SymbolTable,
) -> Option<(&'f Topic, &'f Formula)> {
    let formulary = sheets.get_or_init(sheets::embedded);
    let home = home.get_or_init(|| {
        let (topic, formula) = neighbours::home(formulary, problem.formula(), table)?;
        let topics = &formulary.topics;
        let place = topics.iter().position(|own| std::ptr::eq(own, topic))?;
        let mut formulae = topic.formulae.iter();
        Some((place, formulae.position(|own| std::ptr::eq(own, formula))?))
    });
    let (topic, formula) = (*home)?;
    let topic = &formulary.topics[topic];
    let found = neighbours::answered(
        topic,
        &topic.formulae[formula],
        problem.subject(),
        value,
        neighbours::by_name(topic, table),
    )?;
    Some((topic, found))
}

impl Kept {
    fn prepared(
        &mut self,
        request: &Request<'_>,
        formula: &str,
        subject: &str,
    ) -> Result<&mut Prepared, Refusal> {
        let key = &mut self.key;
        key.clear();
        key.push_str(request.quantities_as_sent());
        key.push('\u{3}');
        key.push_str(formula);
        key.push('\u{3}');
        key.push_str(subject);
        if !self.young.contains_key(key) {
            let prepared = match self.old.remove(key) {
                Some(prepared) => prepared,
                None => prepare(&request.quantities()?, formula, subject)?,
            };
            if self.young.len() >= GENERATION {
                self.old = std::mem::take(&mut self.young);
            }
            self.young.insert(key.clone(), prepared);
        }
        Ok(self.young.get_mut(key).expect("it was put there"))
    }

    /// The problem asked last holds points far and wide now; who has held them
    /// longest lets them go.
    fn holds_far(&mut self) {
        if self.far.contains(&self.key) {
            return;
        }
        self.far.push_back(self.key.clone());
        if self.far.len() > MOST_FAR
            && let Some(longest) = self.far.pop_front()
            && let Some(prepared) = self
                .young
                .get_mut(&longest)
                .or_else(|| self.old.get_mut(&longest))
        {
            prepared.problem.forget_far();
        }
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
    let problem = Problem::new(equation, symbol, vocabulary.table()).keeping_far();
    let otherwise = answer::other_formulae(&readings)
        .filter_map(|reading| {
            let [equation] = answer::equations(reading).try_into().ok()?;
            let note = reading.differs.map_or(Note::AmbiguousReading, note_of);
            Some((Problem::new(equation, symbol, vocabulary.table()), note))
        })
        .collect();
    let declared = balance(quantities, &vocabulary);
    Ok(Prepared {
        vocabulary,
        problem,
        otherwise,
        slips: None,
        declared,
        settled: OnceCell::new(),
        home: OnceCell::new(),
    })
}
