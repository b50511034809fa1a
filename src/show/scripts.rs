//! A marked answer in a paragraph: for a table, a list or another program.

use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::practice::connections::{Joined, Joint};
use crate::practice::question::{Marked, Question};
use crate::practice::script::{Detail, Lines, Ready, Script, Task, Word};
use crate::reason::equation::Related;
use crate::reason::slip::Explanation;
use crate::text::Diagnostic;

use super::connections;
use super::deeds::{Deeds, line_of_proof};
use super::definition;
use super::derivation;
use super::line::Spelling;
use super::proportion;
use super::remarks::{Mood, Words};
use super::slips::{Remarks, imbalance_words};

/// What there is to say about an answer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Told {
    /// The key of the slip, if one is known: the first of two.
    pub slip: Option<&'static str>,
    /// What was done, to be counted: `kept the sign of u²`.
    pub deeds: Vec<String>,
    /// The verdict and its reason, in a few sentences on one line.
    pub remark: String,
}

/// The words for a marked answer.
#[must_use]
pub fn told(ready: &Ready<'_>, script: &Script, spelling: Spelling) -> Told {
    let mut told = match (&ready.task, &script.detail) {
        (_, Detail::Nothing) => Told {
            remark: in_a_word(Word::NotAnswered).1.to_owned(),
            ..Told::default()
        },
        (Task::Rearrangement(question), detail) => rearrangement(question, detail, spelling),
        (Task::Proof(_), Detail::Proof(judged)) => {
            let words = derivation::Words {
                table: judged.vocabulary.table(),
                spelling,
                given: &ready.entry.given,
            };
            let mut told = Told {
                remark: words.whole(&judged.report),
                ..Told::default()
            };
            if let Some(bad) = judged.report.first_bad
                && let Some(line) = judged.report.lines.get(bad)
            {
                let kind = &line.kind;
                told.slip = Some(kind.key());
                told.deeds.extend(line_of_proof(kind).map(str::to_owned));
                for sentence in words.line(bad, line).told {
                    add(&mut told.remark, &sentence);
                }
                if let Some(Some(fault)) = judged.unreadable.get(bad) {
                    add(&mut told.remark, &fault_words(fault));
                }
            }
            told
        }
        (Task::Proof(_), Detail::Unreadable(fault, _)) => Told {
            remark: fault_words(fault),
            ..Told::default()
        },
        (Task::Definition(wordings), Detail::Wording(judged, answer)) => Told {
            remark: definition::remark(judged, wordings, answer),
            ..Told::default()
        },
        (
            Task::Definition(_) | Task::Proportion(_) | Task::Connection(_),
            Detail::Unreadable(fault, _),
        ) => Told {
            remark: fault_words(fault),
            ..Told::default()
        },
        (Task::Connection(joint), Detail::Joined(joined)) => connection(joint, joined, spelling),
        (Task::Proportion(scaling), Detail::Factor(scaled)) => {
            let words = proportion::Words { scaling, spelling };
            let mut told = Told {
                slip: scaled.slips.first().map(|slip| slip.kind.key()),
                deeds: scaled.slips.iter().map(|slip| words.deed(slip)).collect(),
                remark: in_a_word(Word::from(&scaled.judgement.verdict))
                    .1
                    .to_owned(),
            };
            add(&mut told.remark, &words.remark(scaled));
            told
        }
        (Task::Proportion(_), Detail::Unknown(_)) => Told {
            remark: proportion::UNKNOWN_WORDS.to_owned(),
            ..Told::default()
        },
        (Task::Proof(_) | Task::Definition(_) | Task::Proportion(_) | Task::Connection(_), _) => {
            Told::default()
        }
    };
    told.remark = told.remark.replace('\u{a0}', " ");
    for deed in &mut told.deeds {
        *deed = deed.replace('\u{a0}', " ");
    }
    told
}

/// The verdict on an answer in a word or two.
#[must_use]
pub fn in_a_word(word: Word) -> (Mood, &'static str) {
    match word {
        Word::Right => (Mood::Good, "Right."),
        Word::Wrong => (Mood::Bad, "Not right."),
        Word::Unfinished => (Mood::Open, "Not finished."),
        Word::Undecided => (Mood::Open, "Not decided."),
        Word::Unreadable => (Mood::Open, "I can't read this."),
        Word::NotAnswered => (Mood::Open, "Not answered."),
    }
}

fn add(text: &mut String, sentence: &str) {
    if !text.is_empty() && !sentence.is_empty() {
        text.push(' ');
    }
    text.push_str(sentence);
}

/// A fault without its picture: the message and the mend.
fn fault_words(fault: &Diagnostic) -> String {
    let mut told = fault.message.clone();
    if let Some(mend) = &fault.mend {
        add(&mut told, mend);
    }
    told
}

/// Lines for a connection: the verdict on the answer, or on the first line
/// that is wrong.
fn connection(joint: &Joint, joined: &Joined, spelling: Spelling) -> Told {
    let mut told = Told::default();
    let report = &joined.lines.report;
    let several = report.lines.len() > 1;
    let last = report.lines.len().saturating_sub(1);
    match (&joined.answer, report.first_bad) {
        (Some(marked), bad) if bad.is_none_or(|bad| bad == last) => {
            told.remark = verdict_words(&joint.question, marked, spelling);
        }
        (_, Some(bad)) => {
            let given = connections::formulae(joint, spelling);
            let words = derivation::Words {
                table: joined.lines.vocabulary.table(),
                spelling,
                given: &given,
            };
            if let Some(line) = report.lines.get(bad) {
                told.slip = Some(line.kind.key());
                told.deeds
                    .extend(line_of_proof(&line.kind).map(str::to_owned));
                let remark = words.line(bad, line);
                told.remark = match several {
                    true => format!("Line {}: {}", bad + 1, remark.word),
                    false => remark.word.to_owned(),
                };
                for sentence in remark.told {
                    add(&mut told.remark, &sentence);
                }
            }
        }
        _ => {
            let letter =
                super::line::name(joint.question.subject(), joint.question.table(), spelling);
            told.remark = format!(
                "True so far, but {letter} is not there without {} yet.",
                connections::letters_left(joint, spelling)
            );
        }
    }
    if let Some(own) = &joined.slip {
        slip_words(
            &mut told,
            &own.explanation,
            own.subject,
            &own.table,
            spelling,
        );
    }
    told
}

fn slip_words(
    told: &mut Told,
    explanation: &Explanation,
    subject: Symbol,
    table: &SymbolTable,
    spelling: Spelling,
) {
    let remarks = Remarks {
        table,
        spelling,
        subject,
    };
    let deeds = Deeds {
        table,
        spelling,
        subject,
    };
    told.slip = explanation.slips.first().map(|slip| slip.kind.key());
    told.deeds = explanation
        .slips
        .iter()
        .map(|slip| deeds.slip(slip))
        .collect();
    add(&mut told.remark, &remarks.explanation(explanation));
}

fn verdict_words(question: &Question<'_>, marked: &Marked, spelling: Spelling) -> String {
    let words = Words {
        table: &marked.table,
        spelling,
    };
    let remark = words.answer(
        &marked.judgement,
        &marked.reading.chain,
        &question.formula().symbols(),
        question.subject(),
    );
    let mut told = remark.word.to_owned();
    for sentence in &remark.told {
        add(&mut told, sentence);
    }
    if let Some(imbalance) = question.imbalance(marked) {
        add(&mut told, &imbalance_words(&imbalance));
    }
    told
}

fn rearrangement(question: &Question<'_>, detail: &Detail, spelling: Spelling) -> Told {
    let mut told = Told::default();
    match detail {
        Detail::Nothing
        | Detail::Proof(_)
        | Detail::Wording(..)
        | Detail::Joined(_)
        | Detail::Factor(_)
        | Detail::Unknown(_) => {}
        Detail::Unreadable(fault, strange) => {
            told.remark = format!("I can't read this. {}", fault_words(fault));
            if let Some(strange) = strange {
                let table = &strange.marked.table;
                slip_words(
                    &mut told,
                    &strange.explanation,
                    question.subject(),
                    table,
                    spelling,
                );
            }
        }
        Detail::Answer(marked, explanation) => {
            told.remark = verdict_words(question, marked, spelling);
            if let Some(explanation) = explanation {
                slip_words(
                    &mut told,
                    explanation,
                    question.subject(),
                    &marked.table,
                    spelling,
                );
            }
        }
        Detail::Working(lines) => working(&mut told, question, lines, spelling),
    }
    told
}

fn working(told: &mut Told, question: &Question<'_>, lines: &Lines, spelling: Spelling) {
    let table = &lines.worked.table;
    let working = &lines.worked.working;
    let words = Words { table, spelling };
    let several = lines.places.len() + lines.unreadable.len() > 1;
    let bad = working
        .first_bad
        .and_then(|bad| Some((working.lines.get(bad)?, *lines.places.get(bad)?)));
    if let Some((line, place)) = bad {
        let from = if place == 0 {
            "the formula"
        } else {
            "the line before"
        };
        told.remark = if several {
            format!("Line {} does not follow from {from}.", place + 1)
        } else {
            format!("This does not follow from {from}.")
        };
        let related = Related {
            relation: line.relation,
            evidence: line.evidence.clone(),
        };
        let remark = words.relation(&related, &line.chain);
        for sentence in remark.told.iter().skip(1) {
            add(&mut told.remark, sentence);
        }
        if let Some(explanation) = &line.explanation {
            slip_words(told, explanation, question.subject(), table, spelling);
        }
    } else if working.complete {
        told.remark = "Right.".to_owned();
    } else {
        let letter = super::line::name(question.subject(), table, spelling);
        told.remark = format!("True so far, but {letter} is not by itself on one side yet.");
    }
    if let [(place, fault), ..] = &lines.unreadable[..] {
        let sentence = format!("Line {} can't be read: {}", place + 1, fault_words(fault));
        add(&mut told.remark, &sentence);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::paper::Entry;

    #[track_caller]
    fn check(ready: &Ready<'_>, answer: &str, slip: Option<&str>, deed: &str, has: &str) {
        let script = ready.mark(answer);
        let told = told(ready, &script, Spelling::Unicode);
        assert_eq!(told.slip, slip, "{answer}: {told:?}");
        assert_eq!(told.deeds.first().map_or("", String::as_str), deed);
        assert!(told.remark.contains(has), "{answer}: {told:?}");
        assert!(!told.remark.contains('\n'), "{told:?}");
    }

    #[test]
    fn answers_in_words() {
        let entry: Entry = serde_json::from_str(
            r#"{"formula":"v^2 = u^2 + 2 a s","subject":"a",
                "quantities":{"v":"real","u":"real","a":"real","s":"real"}}"#,
        )
        .unwrap();
        let motion = Ready::new(entry).unwrap();
        check(&motion, "", None, "", "Not answered.");
        check(&motion, "a = (v^2-u^2)/2s", None, "", "Right.");
        let kept = Some("sign-not-changed");
        let deed = "kept the sign of u²";
        check(&motion, "a = (v^2+u^2)/2s", kept, deed, "u² crossed");
        let lines = "v^2 + u^2 = 2as\na = (v^2+u^2)/2s";
        check(&motion, lines, kept, deed, "Line 1 does not follow");
        check(&motion, "v^2 - u^2 = 2as", None, "", "a is not by itself");
        check(&motion, "(", None, "", "I can't read this.");
        check(
            &motion,
            "a = (V^2-u^2)/2s",
            Some("wrong-letter"),
            "wrote V for v",
            "Did you mean v?",
        );
    }
}
