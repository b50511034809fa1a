//! A question: a formula, and the symbol to make its subject.

use std::sync::OnceLock;

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::physics::balance::{Balance, Imbalance};
use crate::physics::formulary::{Formula, Topic};
use crate::physics::unit::read_unit;
use crate::reason::answer;
use crate::reason::dimensions::imbalance;
use crate::reason::isolate::{self, Dropped, Outcome, Solution};
use crate::reason::rearrangement::Problem;
use crate::reason::slip::{self, Explanation, Slip, Slips};
use crate::reason::step;
use crate::reason::verdict::{Judgement, Verdict};
use crate::reason::working::{self, Working};
use crate::text::{Diagnostic, DiagnosticKind, Reading, Readings, Undeclared, Vocabulary, read};

use super::attempt::Lettering;
use super::{letters, neighbours};

/// A formula and a subject that work is needed for, ready to be asked.
#[derive(Debug, Clone)]
pub struct Question<'f> {
    /// Where the formula comes from, if it is from a sheet.
    pub source: Option<(&'f Topic, &'f Formula)>,
    /// What is known of a formula that comes from no sheet.
    pub setting: Setting,
    /// The letters in which it is asked.
    pub lettering: Lettering,
    /// The formula's symbols with those of its topic that they stand for.
    origins: Vec<(Symbol, Symbol)>,
    /// The formula's letters and no others, so that a run of letters is split
    /// by them first.
    vocabulary: Vocabulary,
    problem: Problem,
    /// All solutions with their worked paths, the principal one first.
    pub solutions: Vec<Solution>,
    /// Roots that the domain forbids.
    pub dropped: Vec<Dropped>,
    /// Whether these are all the solutions.
    pub complete: bool,
    /// Steps of the worked path that an examiner would pay for.
    pub marks: usize,
    /// The search for slips, made for the first wrong answer.
    slips: OnceLock<Slips>,
}

/// An answer that could be read, with what became of it.
#[derive(Debug, Clone)]
pub struct Marked {
    /// The verdict.
    pub judgement: Judgement,
    /// The reading that it is about.
    pub reading: Reading,
    /// The letters of that reading.
    pub table: SymbolTable,
}

/// A line that could be read.
#[derive(Debug, Clone)]
pub struct TypedLine {
    /// Its readings.
    pub readings: Readings,
    /// The letters that it was read with.
    pub vocabulary: Vocabulary,
}

/// A working with what became of it.
#[derive(Debug, Clone)]
pub struct Worked {
    /// The lines and the marks.
    pub working: Working,
    /// The letters.
    pub table: SymbolTable,
}

/// What a question without a sheet is known to be about: that of a quiz in a
/// file, which stays what it was when sheets change.
#[derive(Debug, Clone, Default)]
pub struct Setting {
    /// The heading of its topic.
    pub title: Option<String>,
    /// When the formula holds, in words.
    pub condition: Option<String>,
    /// Letters with what they stand for and their units.
    pub letters: Vec<(Symbol, Option<String>, Option<String>)>,
    /// Further letters of the topic, with their domains and other spellings.
    pub further: Vec<(String, Domain, Vec<String>)>,
}

/// A letter of a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letter<'f> {
    /// The symbol, in the question's table.
    pub symbol: Symbol,
    /// What it stands for, if the sheet says so.
    pub meaning: Option<&'f str>,
    /// Its unit, if the sheet says so.
    pub unit: Option<&'f str>,
}

impl<'f> Letter<'f> {
    /// A symbol of a question that stands for one of a topic.
    #[must_use]
    pub fn of(topic: &'f Topic, symbol: Symbol, theirs: Symbol) -> Self {
        let unit = topic
            .quantity(theirs)
            .and_then(|quantity| quantity.unit.as_ref())
            .or_else(|| topic.constant(theirs)?.unit.as_ref());
        Letter {
            symbol,
            meaning: topic.meaning(theirs),
            unit: unit.map(|unit| unit.text.as_str()),
        }
    }
}

impl<'f> Question<'f> {
    /// The question for a formula of a sheet; nothing if the subject has no
    /// closed form, or needs no work that is worth a mark.
    #[must_use]
    pub fn from_sheet(topic: &'f Topic, formula: &'f Formula, subject: Symbol) -> Option<Self> {
        Self::in_letters(topic, formula, subject, Lettering::Sheet, 0)
    }

    /// What the question of a formula of a sheet is worth, without making it
    /// ready; nothing if it is no question.
    #[must_use]
    pub fn worth(topic: &Topic, formula: &Formula, subject: Symbol) -> Option<usize> {
        let (vocabulary, origins, equation) = lettered(topic, formula, &Vec::new())?;
        let (own, _) = origins.iter().find(|(_, theirs)| *theirs == subject)?;
        let (.., marks) = solved(&equation, *own, vocabulary.table(), true)?;
        (marks > 0).then_some(marks)
    }

    /// The same in a lettering; nothing if the formula has no such lettering.
    /// The seed chooses unfamiliar letters.
    #[must_use]
    pub fn in_letters(
        topic: &'f Topic,
        formula: &'f Formula,
        subject: Symbol,
        lettering: Lettering,
        seed: u64,
    ) -> Option<Self> {
        Self::any_in_letters(topic, formula, subject, lettering, seed).filter(|made| made.marks > 0)
    }

    /// The same; it may be that nothing is left to do.
    #[must_use]
    pub fn any_in_letters(
        topic: &'f Topic,
        formula: &'f Formula,
        subject: Symbol,
        lettering: Lettering,
        seed: u64,
    ) -> Option<Self> {
        let changes = letters::changes(topic, &formula.equation.symbols(), &lettering, seed)?;
        let (vocabulary, origins, equation) = lettered(topic, formula, &changes)?;
        let own = origins.iter().find(|(_, theirs)| *theirs == subject);
        let subject = own.map_or(subject, |(own, _)| *own);
        let mut question = Self::build_any(Some((topic, formula)), equation, subject, vocabulary)?;
        question.lettering = lettering;
        question.origins = origins;
        Some(question)
    }

    /// The question for an equation that was typed.
    #[must_use]
    pub fn from_equation(
        equation: Equation,
        subject: Symbol,
        vocabulary: Vocabulary,
    ) -> Option<Self> {
        Self::build_any(None, equation, subject, vocabulary).filter(|made| made.marks > 0)
    }

    /// The question for an equation that formulae were joined into; it may be
    /// that nothing is left to do.
    #[must_use]
    pub fn from_joined(
        equation: Equation,
        subject: Symbol,
        vocabulary: Vocabulary,
    ) -> Option<Self> {
        Self::build_any(None, equation, subject, vocabulary)
    }

    fn build_any(
        source: Option<(&'f Topic, &'f Formula)>,
        equation: Equation,
        subject: Symbol,
        vocabulary: Vocabulary,
    ) -> Option<Self> {
        let (solutions, dropped, complete, marks) =
            solved(&equation, subject, vocabulary.table(), source.is_some())?;
        let problem = Problem::new(equation, subject, vocabulary.table());
        Some(Question {
            source,
            setting: Setting::default(),
            lettering: Lettering::Sheet,
            origins: Vec::new(),
            vocabulary,
            problem,
            solutions,
            dropped,
            complete,
            marks,
            slips: OnceLock::new(),
        })
    }

    /// The formula.
    #[must_use]
    pub fn formula(&self) -> &Equation {
        self.problem.formula()
    }

    /// The symbol asked for.
    #[must_use]
    pub fn subject(&self) -> Symbol {
        self.problem.subject()
    }

    /// The formula's letters.
    #[must_use]
    pub fn table(&self) -> &SymbolTable {
        self.vocabulary.table()
    }

    /// A name for the pair that stays the same, whatever the letters:
    /// `motion/velocity-time/a`.
    #[must_use]
    pub fn key(&self) -> Option<String> {
        let (topic, formula) = self.source?;
        let subject = topic.vocabulary.table().name(self.origin(self.subject())?);
        Some(format!("{}/{subject}", topic.formula_key(formula)))
    }

    /// The topic's symbol that a symbol of the question stands for.
    fn origin(&self, symbol: Symbol) -> Option<Symbol> {
        let found = self.origins.iter().find(|(own, _)| *own == symbol);
        found.map(|(_, theirs)| *theirs)
    }

    /// The question's symbol that stands for one of the topic.
    #[must_use]
    pub fn own(&self, theirs: Symbol) -> Option<Symbol> {
        let found = self.origins.iter().find(|(_, origin)| *origin == theirs);
        found.map(|(own, _)| *own)
    }

    /// The heading of its topic, if it has one.
    #[must_use]
    pub fn title(&self) -> Option<&str> {
        match self.source {
            Some((topic, _)) => Some(&topic.title),
            None => self.setting.title.as_deref(),
        }
    }

    /// When the formula holds, in words, if that was said.
    #[must_use]
    pub fn condition(&self) -> Option<&str> {
        match self.source {
            Some((_, formula)) => formula.condition.as_deref(),
            None => self.setting.condition.as_deref(),
        }
    }

    /// The formula's letters, and no others, with their spellings.
    #[must_use]
    pub fn vocabulary(&self) -> &Vocabulary {
        &self.vocabulary
    }

    /// What the sheet or the setting says about a letter: what it stands for,
    /// and its unit.
    fn described(&self, symbol: Symbol) -> (Option<&str>, Option<&str>) {
        if let Some((topic, _)) = self.source
            && let Some(theirs) = self.origin(symbol)
        {
            let letter = Letter::of(topic, symbol, theirs);
            return (letter.meaning, letter.unit);
        }
        let mut letters = self.setting.letters.iter();
        match letters.find(|(own, _, _)| *own == symbol) {
            Some((_, meaning, unit)) => (meaning.as_deref(), unit.as_deref()),
            None => (None, None),
        }
    }

    /// The formula's letters with what is said about them.
    #[must_use]
    pub fn letters(&self) -> Vec<Letter<'_>> {
        let mut symbols = self.formula().symbols();
        // Of a connection, those that were eliminated too.
        for (symbol, _, _) in &self.setting.letters {
            if !symbols.contains(symbol) {
                symbols.push(*symbol);
            }
        }
        symbols
            .into_iter()
            .map(|symbol| {
                let (meaning, unit) = self.described(symbol);
                Letter {
                    symbol,
                    meaning,
                    unit,
                }
            })
            .collect()
    }

    /// Reads an answer and judges it.
    ///
    /// A letter that the formula does not have is read if the formula's topic
    /// has it: the verdict can then say more than "unreadable".
    ///
    /// # Errors
    /// The fault with its caret, if the answer can't be read.
    pub fn mark(&self, answer: &str) -> Result<Marked, Box<Diagnostic>> {
        let line = self.read(answer)?;
        Ok(self.judged(&line.readings, line.vocabulary))
    }

    /// Judges a line that was read.
    #[must_use]
    pub fn marked(&self, line: &TypedLine) -> Marked {
        self.judged(&line.readings, line.vocabulary.clone())
    }

    /// Reads a line.
    ///
    /// # Errors
    /// The fault with its caret, if the line can't be read.
    pub fn read(&self, line: &str) -> Result<TypedLine, Box<Diagnostic>> {
        let mut own = self.vocabulary.clone();
        match read(line, &mut own, Undeclared::Refuse) {
            Ok(readings) => Ok(TypedLine {
                readings,
                vocabulary: own,
            }),
            Err(fault) if fault.kind == DiagnosticKind::UnknownSymbol => {
                let mut wider = self.wider();
                match read(line, &mut wider, Undeclared::Refuse) {
                    Ok(readings) => Ok(TypedLine {
                        readings,
                        vocabulary: wider,
                    }),
                    Err(_) => Err(Box::new(fault)),
                }
            }
            Err(fault) => Err(Box::new(fault)),
        }
    }

    /// Whether a line is meant as the answer: a bare expression, or an
    /// equation with the subject by itself on a side. Any other equation is a
    /// line of working.
    #[must_use]
    pub fn is_answer(&self, line: &TypedLine) -> bool {
        let subject = Expr::Symbol(self.subject());
        line.readings.all().any(|reading| match &reading.chain[..] {
            [_] => true,
            [left, right] => *left == subject || *right == subject,
            _ => false,
        })
    }

    /// Judges lines of working, the answer last if there is one.
    #[must_use]
    pub fn working(&self, lines: &[TypedLine]) -> Worked {
        // The formula's letters come first in every vocabulary, and after
        // them the topic's in one order, so that the longest serves for all.
        let vocabulary = lines
            .iter()
            .map(|line| &line.vocabulary)
            .max_by_key(|vocabulary| vocabulary.table().len())
            .unwrap_or(&self.vocabulary);
        let readings: Vec<Readings> = lines.iter().map(|line| line.readings.clone()).collect();
        Worked {
            working: working::judge(&self.problem, self.slips(), &readings, vocabulary.table()),
            table: vocabulary.table().clone(),
        }
    }

    fn slips(&self) -> &Slips {
        self.slips
            .get_or_init(|| Slips::new(&self.problem, self.vocabulary.table()))
    }

    /// Slips that are readily believed, with the wrong answer that each leads
    /// to: at most so many, each of another kind.
    #[must_use]
    pub fn likely_slips(&self, most: usize) -> Vec<(Expr, Slip)> {
        let table = self.vocabulary.table();
        let Some(right) = self.solutions.first() else {
            return Vec::new();
        };
        // Some more than wanted: what can't be shown to be wrong is left out,
        // and what is more tangled than anybody would write.
        let longest = right.value.nodes() + TANGLED;
        let mut likely = self.slips().likely(4 * most, table);
        likely.retain(|(value, _)| {
            value.nodes() <= longest
                && self.problem.judge_value(value, table).verdict == Verdict::Wrong
        });
        // Two slips with one and the same wrong answer are one to look out for.
        let mut distinct: Vec<(Expr, Slip)> = Vec::new();
        for (value, slip) in likely {
            if distinct.len() == most {
                break;
            }
            let subject = Expr::Symbol(self.subject());
            let problem =
                Problem::new(Equation::new(subject, value.clone()), self.subject(), table);
            let met = distinct
                .iter()
                .any(|(other, _)| problem.judge_value(other, table).is_right());
            if !met {
                distinct.push((value, slip));
            }
        }
        distinct
    }

    /// The slip that explains a wrong answer, if one does.
    #[must_use]
    pub fn explain(&self, marked: &Marked) -> Option<Explanation> {
        slip::explain(
            &self.problem,
            self.slips(),
            &marked.reading.chain,
            &marked.judgement,
            &marked.table,
        )
    }

    /// What a wrong answer says that the subject is equal to.
    fn wrong_value<'m>(&self, marked: &'m Marked) -> Option<&'m Expr> {
        if marked.judgement.verdict != Verdict::Wrong {
            return None;
        }
        let subject = Expr::Symbol(self.subject());
        match &marked.reading.chain[..] {
            [value] => Some(value),
            [left, right] if *left == subject => Some(right),
            [left, right] if *right == subject => Some(left),
            _ => None,
        }
    }

    /// The other formula of the topic of which a wrong answer is a right
    /// rearrangement.
    #[must_use]
    pub fn answers_another(&self, marked: &Marked) -> Option<&'f Formula> {
        let (topic, own) = self.source?;
        let value = self.wrong_value(marked)?;
        let by_name = neighbours::by_name(topic, &marked.table);
        // A letter of an unfamiliar lettering may be a name of the topic's
        // with another meaning.
        let changed = |symbol: Symbol| self.origin(symbol).or_else(|| by_name(symbol));
        neighbours::answered(topic, own, self.subject(), value, changed)
    }

    /// How the dimensions of a wrong answer don't match, by the units of the
    /// sheet.
    #[must_use]
    pub fn imbalance(&self, marked: &Marked) -> Option<Box<Imbalance>> {
        let value = self.wrong_value(marked)?;
        let mut balance = Balance::new();
        for letter in self.letters() {
            if let Some(Ok(unit)) = letter.unit.map(read_unit) {
                balance.declare(letter.symbol, unit.dimension, unit.celsius);
            }
        }
        imbalance(self.formula(), self.subject(), value, &balance)
    }

    fn judged(&self, readings: &Readings, vocabulary: Vocabulary) -> Marked {
        let (judgement, reading) = answer::judge(&self.problem, readings, vocabulary.table());
        Marked {
            judgement,
            reading: reading.clone(),
            table: vocabulary.table().clone(),
        }
    }

    /// The formula's letters, then the others of its topic, but not those that
    /// other letters stand for: an answer in the usual letters where others
    /// were asked can't be read, which is no mistake in physics.
    fn wider(&self) -> Vocabulary {
        let mut wider = self.vocabulary.clone();
        for (name, domain, aliases) in &self.setting.further {
            let symbol = wider.declare(name, *domain);
            for alias in aliases {
                wider.alias(alias, symbol);
            }
        }
        if let Some((topic, _)) = self.source {
            for symbol in topic.vocabulary.table().symbols() {
                if self.origins.iter().any(|(_, theirs)| *theirs == symbol) {
                    continue;
                }
                declare_from(&mut wider, topic, symbol);
            }
        }
        wider
    }
}

/// Pieces that a wrong answer may have beyond those of the right one.
const TANGLED: usize = 2;

/// A formula's letters, which of the topic's each stands for, and the equation.
type Lettered = (Vocabulary, Vec<(Symbol, Symbol)>, Equation);

/// A formula in its own letters but for some changes.
fn lettered(topic: &Topic, formula: &Formula, changes: &letters::Changes) -> Option<Lettered> {
    let mut vocabulary = Vocabulary::new();
    let mut origins = Vec::new();
    for symbol in formula.equation.symbols() {
        let new = changes.iter().find(|(from, _)| *from == symbol);
        let own = match new {
            Some((_, letter)) => {
                let domain = topic.vocabulary.table().domain(symbol);
                vocabulary.declare(letter, domain)
            }
            None => declare_from(&mut vocabulary, topic, symbol),
        };
        if origins.iter().any(|(taken, _)| *taken == own) {
            // Two quantities with one letter would be another formula.
            return None;
        }
        origins.push((own, symbol));
    }
    let moved = |symbol: Symbol| {
        origins
            .iter()
            .find(|(_, theirs)| *theirs == symbol)
            .map_or(symbol, |(own, _)| *own)
    };
    let equation = formula.equation.with_symbols(&moved);
    Some((vocabulary, origins, equation))
}

/// The solutions, the roots left out, whether that is all, and the marks.
type Solved = (Vec<Solution>, Vec<Dropped>, bool, usize);

/// The question's answer; nothing if there is none that could be asked for.
fn solved(
    equation: &Equation,
    subject: Symbol,
    table: &SymbolTable,
    of_a_sheet: bool,
) -> Option<Solved> {
    let Outcome::Solved {
        solutions,
        complete,
        dropped,
    } = isolate::isolate(equation, subject, table)
    else {
        return None;
    };
    let marks = step::marks(&solutions.first()?.path);
    // Which of two roots is the positive one depends on the values: no fair
    // question, since the textbook's one line is not right.
    if of_a_sheet && solutions.len() > 1 && table.domain(subject) != Domain::Real {
        return None;
    }
    Some((solutions, dropped, complete, marks))
}

/// Declares a topic's symbol with its spellings.
fn declare_from(vocabulary: &mut Vocabulary, topic: &Topic, symbol: Symbol) -> Symbol {
    let table = topic.vocabulary.table();
    let own = vocabulary.declare(table.name(symbol), table.domain(symbol));
    if let Some(quantity) = topic.quantity(symbol) {
        for alias in &quantity.aliases {
            vocabulary.alias(alias, own);
        }
    }
    own
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;
    use crate::reason::verdict::Note;

    const SHEET: &str = "topic motion: Motion
quantity s: displacement, m, real
quantity u: initial velocity, m s^-1, real
quantity v (vel): final velocity, m s^-1, real
quantity a: acceleration, m s^-2, real
quantity t: time, s
quantity q: something else, s
formula velocity-time: v = u + a t
formula unused: q = t^2
";

    fn ask(formulary: &Formulary, formula: &str, subject: &str) -> Question<'static> {
        let formulary: &'static Formulary = Box::leak(Box::new(formulary.clone()));
        let topic = &formulary.topics[0];
        let formula = topic.formula(formula).unwrap();
        let subject = topic.vocabulary.table().get(subject).unwrap();
        Question::from_sheet(topic, formula, subject).unwrap()
    }

    #[test]
    fn answers_and_their_verdicts() {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        assert!(formulary.faults.is_empty());
        let question = ask(&formulary, "velocity-time", "a");
        assert_eq!(question.marks, 2);
        assert_eq!(question.key().as_deref(), Some("motion/velocity-time/a"));
        for (answer, expected) in [
            ("a = (v-u)/t", Verdict::Right),
            ("(v-u)/t", Verdict::Right),
            ("(v-u)/t = a", Verdict::Right),
            ("a = (vel - u)/t", Verdict::Right),
            ("a = v - u/t", Verdict::Wrong),
            ("a = (v-u)/q", Verdict::Wrong),
        ] {
            let marked = question.mark(answer).unwrap();
            assert_eq!(marked.judgement.verdict, expected, "{answer}");
        }
        let other = question.mark("a = (v-u)/q").unwrap();
        assert!(other.judgement.notes.contains(&Note::WrongLetter));
        let fault = question.mark("a = (V-u)/t").unwrap_err();
        assert_eq!(fault.kind, DiagnosticKind::UnknownSymbol);
        assert!(question.mark("a = (").is_err());
    }

    #[test]
    fn letters_say_what_the_sheet_says() {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        let question = ask(&formulary, "velocity-time", "t");
        let letters = question.letters();
        assert_eq!(letters.len(), 4);
        assert_eq!(letters[0].meaning, Some("final velocity"));
        assert_eq!(letters[0].unit, Some("m s^-1"));
    }

    #[test]
    fn other_letters() {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        let topic = &formulary.topics[0];
        let formula = topic.formula("velocity-time").unwrap();
        let subject = topic.vocabulary.table().get("a").unwrap();
        let unfamiliar = Lettering::Unfamiliar;
        let question =
            Question::in_letters(topic, formula, subject, unfamiliar.clone(), 3).unwrap();
        assert_eq!(question.lettering, unfamiliar);
        assert_eq!(question.key().as_deref(), Some("motion/velocity-time/a"));
        let letters = question.letters();
        let meanings: Vec<_> = letters.iter().map(|letter| letter.meaning).collect();
        assert_eq!(
            meanings,
            [
                Some("final velocity"),
                Some("initial velocity"),
                Some("acceleration"),
                Some("time")
            ]
        );
        let names: Vec<&str> = letters
            .iter()
            .map(|letter| question.table().name(letter.symbol))
            .collect();
        let [v, u, a, t] = names[..] else {
            panic!("{names:?}")
        };
        // The verdict speaks the letters asked.
        for (answer, expected) in [
            (format!("{a} = ({v} - {u})/{t}"), Verdict::Right),
            (format!("{a} = ({u} - {v})/{t}"), Verdict::Wrong),
        ] {
            let marked = question.mark(&answer).unwrap();
            assert_eq!(marked.judgement.verdict, expected, "{answer}");
        }
        // The usual letters are not wrong, but not these.
        let fault = question.mark("a = (v - u)/t").unwrap_err();
        assert_eq!(fault.kind, DiagnosticKind::UnknownSymbol);
        let none = Lettering::Notation("none".to_owned());
        assert!(Question::in_letters(topic, formula, subject, none, 3).is_none());
    }

    #[test]
    fn no_question_without_work() {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        let topic = &formulary.topics[0];
        let formula = topic.formula("velocity-time").unwrap();
        let own = topic.vocabulary.table().get("v").unwrap();
        assert!(Question::from_sheet(topic, formula, own).is_none());
    }
}
