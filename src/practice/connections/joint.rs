//! A connection ready for answers and working: lines are judged against all
//! its formulae as a proof's are, the answer as a change of subject is.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::marking::MarkRule;
use crate::practice::argument::{Argument, Judged};
use crate::practice::question::{Marked, Question, TypedLine};
use crate::reason::proof::Kind;
use crate::reason::rearrangement::Problem;
use crate::reason::slip::Explanation;
use crate::reason::verdict::Verdict;
use crate::text::working::bare;
use crate::text::{Diagnostic, Vocabulary};

use super::{Eliminated, Unsolved, eliminate};

/// Formulae with what they share to be eliminated.
#[derive(Debug, Clone)]
pub struct Joint {
    /// What they say together, as a question: its hints and slips.
    pub question: Question<'static>,
    /// How it came about.
    pub found: Eliminated,
    /// The formulae.
    parts: Vec<Equation>,
    /// The subject in terms of the quantities that are asked for.
    pub goal: Equation,
    /// Quantities that an answer may not have.
    pub eliminated: Vec<Symbol>,
    argument: Argument,
}

/// What came of lines for a connection.
#[derive(Debug, Clone)]
pub struct Joined {
    /// The verdict on the whole; nothing if the lines stop on the way.
    pub verdict: Option<Verdict>,
    /// The last line, if it is meant as the answer.
    pub answer: Option<Marked>,
    /// All lines, against the formulae.
    pub lines: Judged,
    /// The slip at the first line that is wrong.
    pub slip: Option<Explained>,
    /// Marks that the lines earn.
    pub awarded: usize,
}

/// A slip with the letters that it speaks in.
#[derive(Debug, Clone)]
pub struct Explained {
    /// The slip.
    pub explanation: Explanation,
    /// What the line was to be solved for.
    pub subject: Symbol,
    /// The letters.
    pub table: SymbolTable,
}

impl Joint {
    /// Formulae ready to be joined: the goal has the subject alone on its
    /// left.
    ///
    /// # Errors
    /// Where what they share can't be eliminated, the subject has no closed
    /// form, or the goal is not what comes out.
    pub fn new(
        parts: Vec<Equation>,
        goal: &Equation,
        vocabulary: &Vocabulary,
    ) -> Result<Self, Unsolved> {
        let Expr::Symbol(subject) = goal.left else {
            return Err(Unsolved::NoClosedForm);
        };
        let wanted = goal.symbols();
        let mut eliminated: Vec<Symbol> = Vec::new();
        for symbol in parts.iter().flat_map(Equation::symbols) {
            if !wanted.contains(&symbol) && !eliminated.contains(&symbol) {
                eliminated.push(symbol);
            }
        }
        let table = vocabulary.table();
        let found = eliminate(&parts, &eliminated, table).ok_or(Unsolved::NotEliminated)?;
        let question = Question::from_joined(found.combined.clone(), subject, vocabulary.clone())
            .ok_or(Unsolved::NoClosedForm)?;
        let problem = Problem::new(goal.clone(), subject, table);
        let mut solutions = question.solutions.iter();
        if !solutions.any(|solution| problem.judge_value(&solution.value, table).is_right()) {
            return Err(Unsolved::OtherResult);
        }
        let chain = |equation: &Equation| vec![equation.left.clone(), equation.right.clone()];
        let given = parts.iter().map(chain).collect();
        let mut joint = Joint {
            question,
            found,
            parts,
            goal: goal.clone(),
            eliminated,
            argument: Argument::of_chains(given, Vec::new(), chain(goal), vocabulary.clone()),
        };
        let without = |symbol: &Symbol| ("M1".to_owned(), MarkRule::Without(*symbol));
        let mut marks: Vec<(String, MarkRule)> = joint.to_go().iter().map(without).collect();
        marks.push(("A1".to_owned(), MarkRule::Shown));
        joint.argument.marks = marks;
        Ok(joint)
    }

    /// The quantities whose going earns a mark: one fewer than there are
    /// formulae.
    #[must_use]
    pub fn to_go(&self) -> &[Symbol] {
        let most = self.parts.len().saturating_sub(1);
        &self.eliminated[..most.min(self.eliminated.len())]
    }

    /// Marks that it is worth: one for each quantity eliminated, and one for
    /// the result.
    #[must_use]
    pub fn marks(&self) -> usize {
        self.to_go().len() + 1
    }

    /// The marks as a sheet writes them: `M1 when a line has no F`.
    #[must_use]
    pub fn scheme(&self) -> Vec<String> {
        let table = self.question.table();
        let without = |symbol: &Symbol| format!("M1 when a line has no {}", table.name(*symbol));
        let mut scheme: Vec<String> = self.to_go().iter().map(without).collect();
        scheme.push("A1 when the result is right".to_owned());
        scheme
    }

    /// The formulae.
    #[must_use]
    pub fn parts(&self) -> &[Equation] {
        &self.parts
    }

    /// Whether a line is meant as the answer: the subject alone on one side,
    /// and nothing left of what should have gone.
    #[must_use]
    pub fn is_answer(&self, line: &TypedLine) -> bool {
        self.question.is_answer(line) && self.left_over(&line.readings.preferred.chain).is_empty()
    }

    /// Quantities of an answer that should have been eliminated.
    #[must_use]
    pub fn left_over(&self, answer: &[Expr]) -> Vec<Symbol> {
        let mut found = Vec::new();
        for side in answer {
            for symbol in side.symbols() {
                if self.eliminated.contains(&symbol) && !found.contains(&symbol) {
                    found.push(symbol);
                }
            }
        }
        found
    }

    /// Judges lines, the answer last if there is one.
    ///
    /// # Errors
    /// The fault of the last line, if it can't be read.
    pub fn judge(&self, lines: &[&str]) -> Result<Joined, Box<Diagnostic>> {
        let (last, before) = match lines.split_last() {
            Some((last, before)) => (*last, before),
            None => ("", lines),
        };
        let read = self.read_last(last, before);
        let is_answer = read.as_ref().is_ok_and(|line| self.is_answer(line));
        // A bare value is the subject's.
        let whole = match &read {
            Ok(line)
                if is_answer
                    && line.readings.preferred.chain.len() == 1
                    && !last.trim_start().starts_with('=') =>
            {
                let subject = self.question.subject();
                format!("{} = {last}", self.question.table().name(subject))
            }
            _ => last.to_owned(),
        };
        let all = before.iter().copied().chain([whole.as_str()]);
        let judged = self.argument.judge(all);
        let at = before.len();
        if let Some(Some(fault)) = judged.unreadable.get(at) {
            return Err(Box::new(fault.clone()));
        }
        let answer = match read {
            Ok(line) if is_answer => Some(self.question.marked(&line)),
            _ => None,
        };
        let bad = judged.report.first_bad;
        let open = judged.report.lines.iter().find_map(|line| match line.kind {
            Kind::Undecided(why) => Some(Verdict::Undecided(why)),
            _ => None,
        });
        // The lines before the answer, for one that is right all the same.
        let broken = bad.is_some_and(|bad| bad < at);
        let verdict = match answer.as_ref().map(|marked| &marked.judgement.verdict) {
            Some(Verdict::Right) if broken => Some(Verdict::Wrong),
            Some(verdict) => Some(verdict.clone()),
            None if bad.is_some() => Some(Verdict::Wrong),
            None => open,
        };
        let wrong = verdict == Some(Verdict::Wrong);
        let slip = match (wrong, bad) {
            (true, Some(bad)) if bad < at => {
                let own: Vec<&str> = before[..=bad].to_vec();
                self.explain(&own)
            }
            (true, _) => {
                let own: Vec<&str> = before.iter().copied().chain([last]).collect();
                self.explain(&own)
            }
            _ => None,
        };
        let awarded = match (&verdict, &answer) {
            (Some(Verdict::Right), _) => self.marks(),
            // An answer that one slip explains has eliminated what it had to.
            (Some(Verdict::Wrong), Some(_)) if !broken && slip.is_some() => {
                judged.marks.0.max(self.marks() - 1)
            }
            _ => judged.marks.0.min(self.marks() - 1),
        };
        Ok(Joined {
            verdict,
            answer,
            lines: judged,
            slip,
            awarded,
        })
    }

    /// Reads a line that may be the answer: without the words in front of it,
    /// and one that goes on from the subject (`= k x/m`) by its value.
    fn read_last(&self, last: &str, before: &[&str]) -> Result<TypedLine, Box<Diagnostic>> {
        let (plain, _) = bare(last, self.question.vocabulary());
        let Some(value) = plain.trim_start().strip_prefix('=') else {
            return self
                .question
                .read(last)
                .or_else(|fault| self.question.read(plain).map_err(|_| fault));
        };
        let begins = |line: &&&str| !line.trim_start().starts_with('=');
        let from = before.iter().rfind(begins).and_then(|line| {
            let line = self.question.read(line).ok()?;
            line.readings.preferred.chain.into_iter().next()
        });
        match from {
            Some(Expr::Symbol(symbol)) if symbol == self.question.subject() => {
                self.question.read(value)
            }
            // Only the working knows what it goes on from.
            _ => self.question.read(last),
        }
    }

    /// The slip in the last of these lines, which is wrong: against what the
    /// formulae say together, or against the one whose letters it has.
    fn explain(&self, lines: &[&str]) -> Option<Explained> {
        let (last, before) = lines.split_last()?;
        let line = self.read_last(last, before).ok()?;
        let chain = &line.readings.preferred.chain;
        if self.left_over(chain).is_empty() {
            let mut typed: Vec<TypedLine> = before
                .iter()
                .filter_map(|line| self.question.read(line).ok())
                .filter(|line| self.left_over(&line.readings.preferred.chain).is_empty())
                .collect();
            typed.push(line);
            return explained(&self.question, &typed);
        }
        let letters: Vec<Symbol> = chain.iter().flat_map(Expr::symbols).collect();
        self.parts.iter().find_map(|part| {
            let own = part.symbols();
            if !letters.iter().all(|letter| own.contains(letter)) {
                return None;
            }
            let subject = match chain.as_slice() {
                [Expr::Symbol(subject), _] | [_, Expr::Symbol(subject)] => *subject,
                _ => *own.first()?,
            };
            let vocabulary = self.question.vocabulary().clone();
            let question = Question::from_joined(part.clone(), subject, vocabulary)?;
            explained(&question, std::slice::from_ref(&line))
        })
    }
}

/// The slip in the last of some lines for a question.
fn explained(question: &Question<'_>, typed: &[TypedLine]) -> Option<Explained> {
    let last = typed.last()?;
    let mut worked = question.working(typed);
    let bad = worked.working.first_bad?;
    let found = if bad + 1 == typed.len() {
        worked.working.lines.swap_remove(bad).explanation
    } else {
        None
    };
    let marked = question.marked(last);
    let explanation = found.or_else(|| question.explain(&marked))?;
    Some(Explained {
        explanation,
        subject: question.subject(),
        table: worked.table,
    })
}
