//! Where a quiz or a drill takes its questions from.

use crate::practice::question::Question;
use crate::practice::quiz::Chooser;
use crate::practice::seed::SplitMix;
use crate::reason::isolate::{self, Outcome};
use crate::show::escape::escape;
use crate::show::line::Spelling;
use crate::show::steps;
use crate::text::{Undeclared, read_equation};

use super::args::Practice;
use super::letters;
use super::outcome::{Trouble, misunderstood};
use super::sheets::Loaded;

/// How many questions there are, if the user does not say.
pub const USUAL_COUNT: usize = 10;

/// Questions in their order.
pub struct Source<'f> {
    /// The questions, without end unless there are none.
    pub questions: Box<dyn Iterator<Item = Question<'f>> + 'f>,
    /// How many are to be asked.
    pub count: usize,
    /// The seed, if it decides anything.
    pub seed: Option<u64>,
}

/// What to say when no question fits.
pub const NOTHING: &str = "There is nothing to ask: no formula of these sheets can be changed.";

/// A seed for a user who gives none: short enough to type again.
#[must_use]
pub fn fresh_seed() -> u64 {
    let now = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .unwrap_or_default();
    SplitMix::new(now.as_nanos() as u64).next_u64() % 10_000
}

/// Questions from the sheets.
///
/// # Errors
/// When there is nothing to ask.
pub fn from_sheets<'f>(practice: &Practice, loaded: &'f Loaded) -> Result<Source<'f>, Trouble> {
    let seed = practice.seed.unwrap_or_else(fresh_seed);
    let chooser = Chooser::new(
        &loaded.formulary,
        |topic| loaded.wants(topic) && (!practice.only || loaded.is_own(topic)),
        seed,
    );
    let mut questions = chooser.peekable();
    if questions.peek().is_none() {
        return misunderstood(NOTHING);
    }
    Ok(Source {
        questions: Box::new(questions),
        count: practice.count.map_or(USUAL_COUNT, |count| count as usize),
        seed: Some(seed),
    })
}

/// Questions about one formula that was typed.
///
/// # Errors
/// When it can't be read, or there is nothing to ask about it.
pub fn from_formula(
    practice: &Practice,
    formula: &str,
    spelling: Spelling,
) -> Result<Source<'static>, Trouble> {
    let mut vocabulary = letters::declared(&practice.domains)?;
    let wanted = match &practice.subject {
        Some(letter) => Some((letters::subject(&mut vocabulary, letter)?, letter)),
        None => None,
    };
    let equation = read_equation(formula, &mut vocabulary, Undeclared::Declare)?;
    let mut questions: Vec<Question<'static>> = Vec::new();
    if let Some((subject, typed)) = wanted {
        letters::present(&equation, subject, typed, &vocabulary, spelling)?;
        let question = Question::from_equation(equation.clone(), subject, vocabulary.clone());
        match question {
            Some(question) => questions.push(question),
            None => {
                let outcome = isolate::isolate(&equation, subject, vocabulary.table());
                let words = steps::Words {
                    table: vocabulary.table(),
                    spelling,
                    subject,
                };
                return misunderstood(match outcome {
                    Outcome::NoClosedForm(reason) => words.no_form(reason),
                    Outcome::GaveUp(limit) => format!("This is too much for me: {limit}."),
                    Outcome::Solved { .. } => format!(
                        "There is no work to do: {} stands alone already.",
                        escape(typed)
                    ),
                });
            }
        }
    } else {
        questions.extend(equation.symbols().into_iter().filter_map(|subject| {
            Question::from_equation(equation.clone(), subject, vocabulary.clone())
        }));
    }
    if questions.is_empty() {
        return misunderstood("There is nothing to ask about this formula.");
    }
    let several = questions.len() > 1;
    let count = practice
        .count
        .map_or(questions.len(), |count| count as usize);
    let seed = practice.seed.unwrap_or_else(fresh_seed);
    SplitMix::new(seed).shuffle(&mut questions);
    Ok(Source {
        questions: Box::new(questions.into_iter().cycle()),
        count,
        seed: several.then_some(seed),
    })
}
