//! Marking rows in batches: equal answers to one question are marked once, the
//! others on all cores.

use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::FxHashMap;
use serde_json::{Map, Value};

use crate::cli::quiz::script_value;
use crate::practice::script::{Ready, Word};
use crate::show::line::Spelling;
use crate::show::scripts;

/// Answers that are kept for the next equal one.
const MOST_KEPT: usize = 50_000;
/// Bytes that they may take up, roughly.
const MOST_BYTES: usize = 32 << 20;

/// A marked answer, ready to be written any number of times.
#[derive(Debug)]
pub struct Marked {
    /// What came of it.
    pub word: Word,
    /// Marks that it earns.
    pub awarded: usize,
    /// Marks that could be had.
    pub available: usize,
    /// The key of the slip, if one is known.
    pub slip: Option<&'static str>,
    /// What was done, to be counted.
    pub deeds: Vec<Arc<str>>,
    /// The verdict and its reason.
    pub remark: String,
    /// All there is to say for another program, if that was asked for.
    pub value: Option<Map<String, Value>>,
}

impl Marked {
    fn bytes(&self) -> usize {
        // A counterexample with its values as JSON takes about a kilobyte.
        let value = if self.value.is_some() { 2_048 } else { 0 };
        let deeds: usize = self.deeds.iter().map(|deed| deed.len()).sum();
        256 + self.remark.len() + deeds + value
    }
}

/// Marks answers, keeping those that may come again.
pub struct Marker<'q> {
    questions: &'q [Ready<'static>],
    spelling: Spelling,
    values: bool,
    kept: Vec<FxHashMap<String, Arc<Marked>>>,
    count: usize,
    bytes: usize,
}

/// An answer as the cache knows it: lines trimmed, empty ones left out.
fn plain(answer: &str) -> String {
    let mut text = String::with_capacity(answer.len());
    for line in answer.lines() {
        let line = line.trim();
        if !line.is_empty() {
            if !text.is_empty() {
                text.push('\n');
            }
            text.push_str(line);
        }
    }
    text
}

impl<'q> Marker<'q> {
    /// A marker for these questions.
    #[must_use]
    pub fn new(questions: &'q [Ready<'static>], spelling: Spelling, values: bool) -> Self {
        Marker {
            questions,
            spelling,
            values,
            kept: vec![FxHashMap::default(); questions.len()],
            count: 0,
            bytes: 0,
        }
    }

    /// Marks answers, each with the place of its question, in order.
    pub fn mark<'a>(
        &mut self,
        answers: impl Iterator<Item = (usize, &'a str)>,
    ) -> Vec<Arc<Marked>> {
        enum Found {
            Kept(Arc<Marked>),
            New(usize),
        }
        if self.count > MOST_KEPT || self.bytes > MOST_BYTES {
            self.kept.iter_mut().for_each(FxHashMap::clear);
            self.count = 0;
            self.bytes = 0;
        }
        let mut fresh: Vec<(usize, String)> = Vec::new();
        let mut places: FxHashMap<(usize, String), usize> = FxHashMap::default();
        let found: Vec<Found> = answers
            .map(|(question, answer)| {
                let answer = plain(answer);
                if let Some(marked) = self.kept[question].get(&answer) {
                    return Found::Kept(Arc::clone(marked));
                }
                let key = (question, answer);
                if let Some(place) = places.get(&key) {
                    return Found::New(*place);
                }
                let place = fresh.len();
                fresh.push(key.clone());
                places.insert(key, place);
                Found::New(place)
            })
            .collect();
        let marked: Vec<Arc<Marked>> = fresh
            .par_iter()
            .with_max_len(1)
            .map(|(question, answer)| {
                Arc::new(one(
                    &self.questions[*question],
                    answer,
                    self.spelling,
                    self.values,
                ))
            })
            .collect();
        for ((question, answer), marked) in fresh.into_iter().zip(&marked) {
            self.count += 1;
            self.bytes += answer.len() + marked.bytes();
            self.kept[question].insert(answer, Arc::clone(marked));
        }
        found
            .into_iter()
            .map(|found| match found {
                Found::Kept(marked) => marked,
                Found::New(place) => Arc::clone(&marked[place]),
            })
            .collect()
    }
}

fn one(ready: &Ready<'_>, answer: &str, spelling: Spelling, values: bool) -> Marked {
    let script = ready.mark(answer);
    let told = scripts::told(ready, &script, spelling);
    let value = values.then(|| script_value(ready, &script, &told));
    Marked {
        word: script.word,
        awarded: script.awarded,
        available: script.available,
        slip: told.slip,
        deeds: told.deeds.into_iter().map(Arc::from).collect(),
        remark: told.remark,
        value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_answers_are_marked_once_and_in_order() {
        let entry = serde_json::from_str(r#"{"formula":"v = f λ","subject":"f"}"#).unwrap();
        let questions = [Ready::new(entry).unwrap()];
        let mut marker = Marker::new(&questions, Spelling::Ascii, false);
        let answers = ["v/λ", "v λ", " v/λ\n\n", "v/λ"];
        let marked = marker.mark(answers.iter().map(|answer| (0, *answer)));
        assert!(Arc::ptr_eq(&marked[0], &marked[2]));
        assert!(Arc::ptr_eq(&marked[0], &marked[3]));
        assert_eq!(marked[0].word, Word::Right);
        assert_eq!(marked[1].word, Word::Wrong);
        let again = marker.mark(std::iter::once((0, "v λ")));
        assert!(Arc::ptr_eq(&marked[1], &again[0]));
        assert_eq!(marker.count, 2);
    }
}
