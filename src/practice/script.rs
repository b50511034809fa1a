//! A question of a quiz made ready, and what comes of an answer to it.
//!
//! The marks are those of `reason::working` and `reason::marks`; this only
//! leads an answer there, whether it is one line or several.

use crate::algebra::expr::Expr;
use crate::reason::equation::Relation;
use crate::reason::proof::{Kind, MOST_LINES};
use crate::reason::slip::Explanation;
use crate::reason::verdict::{Note, Verdict};
use crate::text::working::{bare, read_working};
use crate::text::{Diagnostic, DiagnosticKind, Readings, Span, Undeclared, read};

use super::argument::{Argument, Judged};
use super::connections::{Joined, Joint};
use super::definition::{self, Wordings, WordsVerdict};
use super::filed;
use super::paper::Entry;
use super::proportion::{Scaled, Scaling, has_words};
use super::question::{Marked, Question, TypedLine, Worked};

/// A question that answers can be held against. Any number of threads may do
/// so at once.
#[derive(Debug, Clone)]
pub struct Ready<'f> {
    /// The question as the quiz has it.
    pub entry: Entry,
    /// What is asked.
    pub task: Task<'f>,
}

/// What is asked.
#[derive(Debug, Clone)]
pub enum Task<'f> {
    /// Make a letter the subject.
    Rearrangement(Box<Question<'f>>),
    /// Show a result.
    Proof(Box<Argument>),
    /// Say what a term means, in words.
    Definition(Box<Wordings>),
    /// Say by which factor a quantity changes.
    Proportion(Box<Scaling<'f>>),
    /// Join formulae of several topics.
    Connection(Box<Joint>),
}

/// What came of an answer, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Word {
    /// It is right.
    Right,
    /// What stands there is true, but it does not reach the end.
    Unfinished,
    /// It is wrong.
    Wrong,
    /// The program can't tell: a person must look.
    Undecided,
    /// It can't be read: a person must look.
    Unreadable,
    /// There is nothing.
    NotAnswered,
}

impl From<&Verdict> for Word {
    fn from(verdict: &Verdict) -> Self {
        match verdict {
            Verdict::Right => Word::Right,
            Verdict::Wrong => Word::Wrong,
            Verdict::Undecided(_) => Word::Undecided,
        }
    }
}

impl From<&WordsVerdict> for Word {
    fn from(verdict: &WordsVerdict) -> Self {
        match verdict {
            WordsVerdict::Right => Word::Right,
            WordsVerdict::Wrong => Word::Wrong,
            // Words that the program does not know are no fault of the
            // answer's: a person must look.
            WordsVerdict::Unreadable(_) | WordsVerdict::Undecided => Word::Undecided,
        }
    }
}

impl Word {
    /// Whether a person must look, and nothing is counted until then.
    #[must_use]
    pub fn is_open(self) -> bool {
        matches!(self, Word::Undecided | Word::Unreadable)
    }

    /// The word, for people and programs.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Word::Right => "right",
            Word::Unfinished => "unfinished",
            Word::Wrong => "wrong",
            Word::Undecided => "undecided",
            Word::Unreadable => "unreadable",
            Word::NotAnswered => "not-answered",
        }
    }
}

/// An answer, marked.
#[derive(Debug, Clone)]
pub struct Script {
    /// What came of it, in a word.
    pub word: Word,
    /// Marks that it earns.
    pub awarded: usize,
    /// Marks that could be had: none where the program can't tell or can't
    /// read, so that this costs nobody anything.
    pub available: usize,
    /// The rest, for whoever puts it into words.
    pub detail: Detail,
}

/// What there is to say about an answer.
#[derive(Debug, Clone)]
pub enum Detail {
    /// Nothing.
    Nothing,
    /// It can't be read; where all but a strange letter is right, the slip.
    Unreadable(Box<Diagnostic>, Option<Box<Strange>>),
    /// One line.
    Answer(Box<Marked>, Option<Explanation>),
    /// Several lines.
    Working(Box<Lines>),
    /// The lines of a proof.
    Proof(Box<Judged>),
    /// The wording of a definition, and the words.
    Wording(Box<definition::Judged>, String),
    /// Lines for a connection.
    Joined(Box<Joined>),
    /// A factor.
    Factor(Box<Scaled>),
    /// Words for a factor that the program does not know.
    Unknown(Box<Diagnostic>),
}

/// A slip in an answer with a letter that the question does not have.
#[derive(Debug, Clone)]
pub struct Strange {
    /// The slip.
    pub explanation: Explanation,
    /// The answer, with the letter read as one of its own.
    pub marked: Marked,
}

/// Lines of working, judged.
#[derive(Debug, Clone)]
pub struct Lines {
    /// Those that can be read, and the marks.
    pub worked: Worked,
    /// Where each of them is among all lines.
    pub places: Vec<usize>,
    /// Those that can't be read, with their places.
    pub unreadable: Vec<(usize, Diagnostic)>,
}

impl Lines {
    /// The first line that does not follow, among all lines.
    #[must_use]
    pub fn first_bad(&self) -> Option<usize> {
        let bad = self.worked.working.first_bad?;
        self.places.get(bad).copied()
    }

    /// The slip at the first line that does not follow, if one explains it.
    #[must_use]
    pub fn explanation(&self) -> Option<&Explanation> {
        let working = &self.worked.working;
        working.lines.get(working.first_bad?)?.explanation.as_ref()
    }
}

impl Ready<'static> {
    /// Gets a question of a quiz ready.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence or more.
    pub fn new(entry: Entry) -> Result<Self, String> {
        let task = match entry.kind.as_str() {
            "" | "rearrangement" => Task::Rearrangement(Box::new(filed::rearrangement(&entry)?)),
            "proof" => Task::Proof(Box::new(filed::proof(&entry)?)),
            "connection" => Task::Connection(Box::new(filed::connection(&entry)?)),
            "proportion" => Task::Proportion(Box::new(filed::proportion(&entry)?)),
            other => {
                return Err(format!(
                    "This program knows no questions of the kind {other:?}."
                ));
            }
        };
        Ok(Ready { entry, task })
    }

    /// A question that asks for a definition. What judges it comes from the
    /// sheets, since words for quantities are learnt from all of them.
    #[must_use]
    pub fn of_definition(entry: Entry, wordings: Wordings) -> Self {
        Ready {
            entry,
            task: Task::Definition(Box::new(wordings)),
        }
    }
}

impl Ready<'_> {
    /// Marks that it is worth.
    #[must_use]
    pub fn marks(&self) -> usize {
        match &self.task {
            Task::Rearrangement(question) => question.marks,
            Task::Proof(argument) => argument.marks_to_be_had(),
            Task::Definition(wordings) => wordings.marks(),
            Task::Proportion(scaling) => scaling.marks(),
            Task::Connection(joint) => joint.marks(),
        }
    }

    /// Marks an answer: one line, or a working of several.
    #[must_use]
    pub fn mark(&self, answer: &str) -> Script {
        let lines: Vec<&str> = answer
            .lines()
            .map(str::trim)
            .filter(|line| !line.is_empty())
            .collect();
        if lines.is_empty() {
            return self.script(Word::NotAnswered, 0, Detail::Nothing);
        }
        if lines.len() > MOST_LINES {
            let fault = Diagnostic::new(
                DiagnosticKind::TooLong,
                format!("This working is too long; the most that I read is {MOST_LINES} lines."),
                "",
                Span::default(),
            );
            return self.script(
                Word::Unreadable,
                0,
                Detail::Unreadable(Box::new(fault), None),
            );
        }
        match (&self.task, &lines[..]) {
            (Task::Rearrangement(question), [line]) => self.one_line(question, line),
            (Task::Rearrangement(question), lines) => self.several(question, lines),
            (Task::Proof(argument), lines) => self.shown(argument, lines),
            (Task::Definition(wordings), lines) => self.worded(wordings, &lines.join(" ")),
            (Task::Proportion(scaling), lines) => self.factor(scaling, lines),
            (Task::Connection(joint), lines) => self.joined(joint, lines),
        }
    }

    /// Verdict and marks agree: all of them for what is right, and never all
    /// for what is not.
    fn script(&self, word: Word, awarded: usize, detail: Detail) -> Script {
        let worth = self.marks();
        let (awarded, available) = match word {
            Word::Right => (worth, worth),
            Word::Unfinished | Word::Wrong => (awarded.min(worth.saturating_sub(1)), worth),
            Word::NotAnswered => (0, worth),
            Word::Undecided | Word::Unreadable => (0, 0),
        };
        Script {
            word,
            awarded,
            available,
            detail,
        }
    }

    fn worded(&self, wordings: &Wordings, answer: &str) -> Script {
        let judged = wordings.judge(answer);
        let word = Word::from(&judged.verdict);
        let awarded = judged.awarded;
        let detail = Detail::Wording(Box::new(judged), answer.to_owned());
        self.script(word, awarded, detail)
    }

    /// Lines for a connection; one at the end that can't be read leaves the
    /// others their marks.
    fn joined(&self, joint: &Joint, lines: &[&str]) -> Script {
        let judged = joint.judge(lines).or_else(|fault| match lines {
            [] | [_] => Err(fault),
            [before @ .., _] => joint.judge(before).map_err(|_| fault),
        });
        match judged {
            Ok(joined) => {
                let word = joined.verdict.as_ref().map_or(Word::Unfinished, Word::from);
                let awarded = joined.awarded;
                self.script(word, awarded, Detail::Joined(Box::new(joined)))
            }
            Err(fault) => self.script(Word::Unreadable, 0, Detail::Unreadable(fault, None)),
        }
    }

    /// A factor: the last line, if there is working before it.
    fn factor(&self, scaling: &Scaling<'_>, lines: &[&str]) -> Script {
        let whole = lines.join(" ");
        let last = lines.last().copied().unwrap_or_default();
        let judged = scaling.judge(last).or_else(|fault| match lines.len() {
            1 => Err(fault),
            _ => scaling.judge(&whole).map_err(|_| fault),
        });
        match judged {
            Ok(scaled) => {
                let word = Word::from(&scaled.judgement.verdict);
                let awarded = scaled.awarded;
                self.script(word, awarded, Detail::Factor(Box::new(scaled)))
            }
            // A person must look.
            Err(fault) if has_words(last) => {
                self.script(Word::Undecided, 0, Detail::Unknown(Box::new(fault)))
            }
            Err(fault) => {
                let detail = Detail::Unreadable(Box::new(fault), None);
                self.script(Word::Unreadable, 0, detail)
            }
        }
    }

    fn one_line(&self, question: &Question<'_>, line: &str) -> Script {
        let (bare, _) = bare(line, question.vocabulary());
        let read_line = match question.read(line).or_else(|fault| {
            // "So v = ...": words in front say nothing about the maths.
            question.read(bare).map_err(|_| fault)
        }) {
            Ok(read_line) => read_line,
            Err(fault) => {
                let strange = strange(question, line, &fault).map(Box::new);
                return self.script(Word::Unreadable, 0, Detail::Unreadable(fault, strange));
            }
        };
        let marked = question.marked(&read_line);
        match marked.judgement.verdict {
            Verdict::Right => self.script(
                Word::Right,
                question.marks,
                Detail::Answer(Box::new(marked), None),
            ),
            Verdict::Undecided(_) => {
                self.script(Word::Undecided, 0, Detail::Answer(Box::new(marked), None))
            }
            Verdict::Wrong => {
                let mut worked = question.working(std::slice::from_ref(&read_line));
                // What is true but not the answer is a line on the way; the
                // answer to another question is not, unless it has the
                // subject in fewer places than the formula.
                let other = marked.judgement.notes.contains(&Note::WrongSubject)
                    && !gathers(question, &marked.reading.chain);
                let marks = if other { 0 } else { worked.working.awarded };
                if worked.working.first_bad.is_none() && marks > 0 {
                    return self.on_the_way(worked, vec![0], Vec::new());
                }
                let explanation = worked
                    .working
                    .lines
                    .pop()
                    .and_then(|line| line.explanation)
                    .or_else(|| question.explain(&marked));
                let detail = Detail::Answer(Box::new(marked), explanation);
                self.script(Word::Wrong, marks, detail)
            }
        }
    }

    fn on_the_way(
        &self,
        worked: Worked,
        places: Vec<usize>,
        unreadable: Vec<(usize, Diagnostic)>,
    ) -> Script {
        let most = worked.working.available.saturating_sub(1);
        let awarded = worked.working.awarded.min(most);
        let detail = Detail::Working(Box::new(Lines {
            worked,
            places,
            unreadable,
        }));
        self.script(Word::Unfinished, awarded, detail)
    }

    fn several(&self, question: &Question<'_>, lines: &[&str]) -> Script {
        let mut vocabulary = question.vocabulary().clone();
        let mut typed: Vec<TypedLine> = Vec::new();
        let mut places = Vec::new();
        let mut unreadable = Vec::new();
        for (place, line) in lines.iter().enumerate() {
            match read_working(line, &mut vocabulary, Undeclared::Declare) {
                Ok(read_line) => {
                    let mut readings = read_line.readings;
                    if read_line.goes_on {
                        let before = typed.last().map(|last| &last.readings);
                        go_on(&mut readings, before, question);
                    }
                    typed.push(TypedLine {
                        readings,
                        vocabulary: vocabulary.clone(),
                    });
                    places.push(place);
                }
                Err(fault) => unreadable.push((place, fault)),
            }
        }
        if typed.is_empty() {
            let fault = unreadable.swap_remove(0).1;
            let detail = Detail::Unreadable(Box::new(fault), None);
            return self.script(Word::Unreadable, 0, detail);
        }
        self.worked(question, typed, places, unreadable)
    }

    fn worked(
        &self,
        question: &Question<'_>,
        typed: Vec<TypedLine>,
        places: Vec<usize>,
        unreadable: Vec<(usize, Diagnostic)>,
    ) -> Script {
        let worked = question.working(&typed);
        let working = &worked.working;
        let open = working
            .lines
            .iter()
            .any(|line| line.follows.is_none() && matches!(line.relation, Relation::Undecided(_)));
        // Words between the lines that I can't read break no working, as long
        // as it ends with the answer.
        let ends = unreadable
            .last()
            .is_none_or(|(place, _)| places.last().is_some_and(|last| place < last));
        let (word, awarded) = if working.complete && ends {
            (Word::Right, working.awarded)
        } else if working.first_bad.is_some() {
            (Word::Wrong, working.awarded)
        } else if open && ends && ends_right(question, &typed) {
            (Word::Right, working.available)
        } else if open {
            (Word::Undecided, 0)
        } else if !ends {
            // What can't be read may be the answer.
            (Word::Unreadable, 0)
        } else {
            return self.on_the_way(worked, places, unreadable);
        };
        let detail = Detail::Working(Box::new(Lines {
            worked,
            places,
            unreadable,
        }));
        self.script(word, awarded, detail)
    }

    fn shown(&self, argument: &Argument, lines: &[&str]) -> Script {
        let judged = argument.judge(lines.iter().copied());
        let report = &judged.report;
        let readable = judged.unreadable.iter().any(Option::is_none);
        let open = !report.consistent
            || report
                .lines
                .iter()
                .any(|line| matches!(line.kind, Kind::Undecided(_)));
        let word = if report.complete {
            Word::Right
        } else if !readable {
            Word::Unreadable
        } else if open && report.first_bad.is_none() {
            Word::Undecided
        } else if report.first_bad.is_some() {
            Word::Wrong
        } else {
            Word::Unfinished
        };
        let awarded = judged.marks.0;
        self.script(word, awarded, Detail::Proof(Box::new(judged)))
    }
}

/// Whether a line has the subject in fewer places than the formula.
fn gathers(question: &Question<'_>, chain: &[Expr]) -> bool {
    let subject = question.subject();
    let formula = question.formula();
    let before = formula.left.occurrences(subject) + formula.right.occurrences(subject);
    let after: usize = chain.iter().map(|side| side.occurrences(subject)).sum();
    after < before
}

fn ends_right(question: &Question<'_>, typed: &[TypedLine]) -> bool {
    typed
        .last()
        .is_some_and(|last| question.is_answer(last) && question.marked(last).judgement.is_right())
}

/// A line that begins with an equals sign goes on with the left side of the
/// line before.
fn go_on(readings: &mut Readings, before: Option<&Readings>, question: &Question<'_>) {
    let first = before
        .and_then(|before| match &before.preferred.chain[..] {
            [first, _, ..] => Some(first.clone()),
            _ => None,
        })
        .unwrap_or(Expr::Symbol(question.subject()));
    readings.preferred.chain.insert(0, first.clone());
    for other in &mut readings.others {
        other.chain.insert(0, first.clone());
    }
}

/// The slip in an answer that has a letter which the question does not have.
fn strange(question: &Question<'_>, line: &str, fault: &Diagnostic) -> Option<Strange> {
    if fault.kind != DiagnosticKind::UnknownSymbol {
        return None;
    }
    let mut vocabulary = question.vocabulary().clone();
    let readings = read(line, &mut vocabulary, Undeclared::Declare).ok()?;
    let marked = question.marked(&TypedLine {
        readings,
        vocabulary,
    });
    let explanation = question.explain(&marked)?;
    Some(Strange {
        explanation,
        marked,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ready(text: &str) -> Ready<'static> {
        let entry: Entry = serde_json::from_str(text).unwrap();
        Ready::new(entry).unwrap()
    }

    fn check(ready: &Ready, answer: &str, word: Word, awarded: usize, available: usize) {
        let script = ready.mark(answer);
        assert_eq!(
            (script.word, script.awarded, script.available),
            (word, awarded, available),
            "{answer:?}"
        );
    }

    #[test]
    fn answers_of_one_line_and_of_several() {
        let motion = ready(
            r#"{"formula":"v^2 = u^2 + 2 a s","subject":"a",
                "quantities":{"v":"real","u":"real","a":"real","s":"real"}}"#,
        );
        check(&motion, "", Word::NotAnswered, 0, 2);
        check(&motion, " \n\n", Word::NotAnswered, 0, 2);
        check(&motion, "a = (v^2-u^2)/2s", Word::Right, 2, 2);
        check(&motion, "(v²-u²)/(2s)", Word::Right, 2, 2);
        check(&motion, "a = (v^2+u^2)/2s", Word::Wrong, 1, 2);
        check(&motion, "a = v/(u s)", Word::Wrong, 0, 2);
        check(&motion, "s = (v^2-u^2)/(2a)", Word::Wrong, 0, 2);
        check(&motion, "v^2 - u^2 = 2as", Word::Unfinished, 1, 2);
        check(&motion, "(((", Word::Unreadable, 0, 0);
        check(&motion, "v^2 - u^2 = 2as\na = (((", Word::Unreadable, 0, 0);
        check(&motion, "v^2 + u^2 = 2as\na = (((", Word::Wrong, 0, 2);
        check(&motion, "so v^2 - u^2 = 2as.", Word::Unfinished, 1, 2);
        check(&motion, "a = 9^9^9^9", Word::Undecided, 0, 0);
        check(
            &motion,
            "v^2 - u^2 = 2as\n\na = (v^2-u^2)/(2s)",
            Word::Right,
            2,
            2,
        );
        check(
            &motion,
            "v^2 - u^2 = 2as\ndivide by 2s:\n∴ a = (v^2-u^2)/(2s)",
            Word::Right,
            2,
            2,
        );
        check(
            &motion,
            "a = (v^2-u^2)/2s\n= (v-u)(v+u)/2s",
            Word::Right,
            2,
            2,
        );
        check(
            &motion,
            "v^2 + u^2 = 2as\na = (v^2+u^2)/(2s)",
            Word::Wrong,
            1,
            2,
        );
    }

    #[test]
    fn a_line_that_gathers_the_subject_is_on_the_way() {
        let lift = ready(r#"{"formula":"T - m g = m a","subject":"m"}"#);
        check(&lift, "T = m(a + g)", Word::Unfinished, 1, 2);
        check(&lift, "T = ma + mg", Word::Wrong, 0, 2);
    }

    #[test]
    fn a_strange_letter_has_its_slip() {
        let motion = ready(r#"{"formula":"v = u + a t","subject":"a"}"#);
        let script = motion.mark("a = (V-u)/t");
        assert_eq!(script.word, Word::Unreadable);
        let Detail::Unreadable(_, Some(strange)) = script.detail else {
            panic!("no slip");
        };
        assert_eq!(strange.explanation.slips[0].kind.key(), "wrong-letter");
    }

    #[test]
    fn proofs() {
        let proof = ready(
            r#"{"kind":"proof","given":["v = u + a t","s = 1/2 (u + v) t"],
                "goal":"v^2 = u^2 + 2 a s",
                "scheme":["M1 when t is the subject","M1 when a line has no t","A1 when the result is shown"],
                "quantities":{"u":"real","v":"real","a":"real","s":"real"}}"#,
        );
        assert_eq!(proof.marks(), 3);
        check(
            &proof,
            "t = (v-u)/a\ns = (u+v)(v-u)/(2a)\nv^2 = u^2 + 2as",
            Word::Right,
            3,
            3,
        );
        check(&proof, "t = (v-u)/a", Word::Unfinished, 1, 3);
        check(&proof, "v^2 = u^2 + 2as", Word::Unfinished, 0, 3);
        check(&proof, "t = (v+u)/a", Word::Wrong, 0, 3);
        check(&proof, "", Word::NotAnswered, 0, 3);
    }

    #[test]
    fn factors() {
        let entry = |changes: &str| {
            format!(
                r#"{{"kind":"proportion","formula":"F = G M m/r^2","subject":"F",
                    "quantities":{{"F":{{"name":"force"}},"r":{{"also":["rad"]}}}},
                    "changes":{changes}}}"#
            )
        };
        let law = ready(&entry(r#"{"r":2}"#));
        check(&law, "a quarter", Word::Right, 2, 2);
        check(&law, "F ∝ 1/r^2\n(1/2)^2\nF/4", Word::Right, 2, 2);
        check(&law, "half", Word::Wrong, 0, 2);
        check(&law, "four times the force", Word::Wrong, 1, 2);
        check(&law, "it goes bananas", Word::Undecided, 0, 0);
        check(&law, "((", Word::Unreadable, 0, 0);
        check(&law, "", Word::NotAnswered, 0, 2);
        let both = ready(&entry(r#"{"M":"1/2","r":"1/2"}"#));
        check(&both, "2F", Word::Right, 2, 2);
        check(&both, "4", Word::Wrong, 1, 2);
        check(&both, "1/2", Word::Wrong, 0, 2);
        for (changes, told) in [
            ("{}", "what changes"),
            (r#"{"x":2}"#, "has no x"),
            (r#"{"r":0}"#, "no number above zero"),
            (r#"{"F":2}"#, "by no power"),
        ] {
            let entry: Entry = serde_json::from_str(&entry(changes)).unwrap();
            let fault = Ready::new(entry).unwrap_err();
            assert!(fault.contains(told), "{changes}: {fault}");
        }
    }

    #[test]
    fn what_is_no_question() {
        for (text, told) in [
            (r#"{"kind":"riddle"}"#, "no questions of the kind"),
            (r#"{"formula":"v = f λ"}"#, "no subject"),
            (r#"{"formula":"v = f λ","subject":"x"}"#, "has no x"),
            (r#"{"formula":"v = = λ","subject":"v"}"#, "can't be read"),
            (r#"{"formula":"v = f λ","subject":"v"}"#, "nothing to do"),
            (
                r#"{"formula":"v = f λ","subject":"f","quantities":{"f":"odd"}}"#,
                "is no domain",
            ),
            (
                r#"{"formula":"v = f λ","subject":"f","quantities":{"f":3}}"#,
                "can't be read",
            ),
            (r#"{"kind":"proof","given":["a = b"]}"#, "to be shown"),
            (
                r#"{"kind":"proof","given":["a = b"],"goal":"a = b","scheme":["M1"]}"#,
                "has no condition",
            ),
        ] {
            let entry: Entry = serde_json::from_str(text).unwrap();
            let fault = Ready::new(entry).unwrap_err();
            assert!(fault.contains(told), "{text}: {fault}");
        }
    }
}
