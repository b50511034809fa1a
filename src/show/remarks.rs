//! Verdicts in words: what a kind marker would write beside a line.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::reason::answer::RelatedLines;
use crate::reason::equation::{Related, Relation};
use crate::reason::step::Condition;
use crate::reason::verdict::{
    Counterexample, Evidence, Judgement, Note, Shown, Undecided, Verdict,
};

use super::figures::{written, written_apart};
use super::line::{Spelling, equation_line, line, name};
use super::steps;
use super::wrap::unbroken;

/// How a remark is to be taken, for its sign and its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mood {
    /// Right, or the same.
    Good,
    /// Wrong.
    Bad,
    /// Not known, or not read.
    Open,
}

impl Mood {
    /// The sign in front of the words.
    #[must_use]
    pub fn sign(self, spelling: Spelling) -> &'static str {
        match (self, spelling) {
            (Mood::Good, Spelling::Unicode) => "✓",
            (Mood::Good, Spelling::Ascii) => "+",
            (Mood::Bad, Spelling::Unicode) => "✗",
            (Mood::Bad, Spelling::Ascii) => "x",
            (Mood::Open, _) => "?",
        }
    }
}

/// A verdict in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// How it is to be taken.
    pub mood: Mood,
    /// The verdict in a word or two, with its full stop.
    pub word: &'static str,
    /// What else there is to say: paragraphs.
    pub told: Vec<String>,
}

/// What the words need to know.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The letters.
    pub table: &'a SymbolTable,
    /// Which characters may be used.
    pub spelling: Spelling,
}

impl Words<'_> {
    fn letter(&self, symbol: Symbol) -> String {
        unbroken(&name(symbol, self.table, self.spelling))
    }

    /// The line that was read, with the subject in front of a bare expression.
    #[must_use]
    pub fn read_as(&self, chain: &[Expr], subject: Symbol) -> String {
        match chain {
            [Expr::Symbol(own)] if *own == subject => self.letter(subject),
            [alone] if !alone.contains(subject) => {
                let right = line(alone, self.table, self.spelling);
                format!("{} = {right}", name(subject, self.table, self.spelling))
            }
            _ => equation_line(chain, self.table, self.spelling),
        }
    }

    /// The verdict on an answer. `formula` are the symbols that the formula
    /// has, `chain` the line as it was read.
    #[must_use]
    pub fn answer(
        &self,
        judgement: &Judgement,
        chain: &[Expr],
        formula: &[Symbol],
        subject: Symbol,
    ) -> Remark {
        let mut told = Vec::new();
        let letter = self.letter(subject);
        let (mood, word) = match &judgement.verdict {
            Verdict::Right => (Mood::Good, "Right."),
            Verdict::Wrong => (Mood::Bad, "Wrong."),
            Verdict::Undecided(reason) => {
                told.push(self.undecided(*reason));
                (Mood::Open, "Undecided.")
            }
        };
        match &judgement.evidence {
            Some(Evidence::Proof) => {}
            Some(Evidence::Numerical { points, digits }) => told.push(numerical(*points, *digits)),
            Some(Evidence::Counterexample(found)) => {
                // A bare expression is a value for the subject.
                let isolated = !judgement.notes.contains(&Note::NotIsolated)
                    && chain.contains(&Expr::Symbol(subject));
                told.push(if isolated || chain.len() == 1 {
                    self.answer_fails(found, subject, &letter)
                } else {
                    self.sides_fail(found, "the formula")
                });
                if uses_angles(chain) || self.has_angle(found) {
                    told.push("(Angles in radians.)".to_owned());
                }
            }
            None => {}
        }
        for note in &judgement.notes {
            told.push(self.note(note, judgement, chain, formula, subject));
        }
        Remark { mood, word, told }
    }

    fn answer_fails(&self, found: &Counterexample, subject: Symbol, letter: &str) -> String {
        let given = self.values(&found.values, Some(subject));
        let with = match given {
            Some(given) => format!("With {given}, the"),
            None => "The".to_owned(),
        };
        match &found.got {
            Some(got) => {
                let (expected, got) = written_apart(&found.expected, got, self.spelling);
                format!(
                    "{with} formula gives {}; your line gives {}.",
                    unbroken(&format!("{letter} {}", expected.equated(self.spelling))),
                    unbroken(&got.told())
                )
            }
            None => {
                let expected = written(&found.expected, self.spelling);
                format!(
                    "{with} formula gives {}; your line has no value there.",
                    unbroken(&format!("{letter} {}", expected.equated(self.spelling)))
                )
            }
        }
    }

    pub(super) fn sides_fail(&self, found: &Counterexample, fitted: &str) -> String {
        let given = self
            .values(&found.values, None)
            .map_or_else(String::new, |given| {
                format!("With {given}, which fit {fitted}, ")
            });
        let sides = self.sides(found);
        let sentence = format!("{given}{sides}");
        capital(&sentence)
    }

    /// `your line has 4 on the left and 8.5 on the right.`
    fn sides(&self, found: &Counterexample) -> String {
        match &found.got {
            Some(got) => {
                let (left, right) = written_apart(&found.expected, got, self.spelling);
                format!(
                    "your line has {} on the left and {} on the right.",
                    unbroken(&left.told()),
                    unbroken(&right.told())
                )
            }
            None => "your line has a side without a value.".to_owned(),
        }
    }

    /// `u = 3, v = 5 and s = 2`
    fn values(&self, values: &[(Symbol, Shown)], without: Option<Symbol>) -> Option<String> {
        let each: Vec<String> = values
            .iter()
            .filter(|(symbol, _)| Some(*symbol) != without)
            .map(|(symbol, value)| {
                let value = written(value, self.spelling).equated(self.spelling);
                unbroken(&format!("{} {value}", self.letter(*symbol)))
            })
            .collect();
        listed(&each)
    }

    fn has_angle(&self, found: &Counterexample) -> bool {
        found
            .values
            .iter()
            .any(|(symbol, _)| self.table.domain(*symbol) == Domain::Acute)
    }

    fn note(
        &self,
        note: &Note,
        judgement: &Judgement,
        chain: &[Expr],
        formula: &[Symbol],
        subject: Symbol,
    ) -> String {
        let letter = self.letter(subject);
        let shown = unbroken(&self.read_as(chain, subject));
        match note {
            Note::AmbiguousSlash => format!(
                "Your slash can be read in two ways. As {shown} it is right: write those \
                 brackets, or a reader may take it the other way."
            ),
            Note::AmbiguousReading => format!(
                "Your line can be read in more than one way. As {shown} it is right: written so, \
                 nobody can mistake it."
            ),
            Note::OneRootOnly if chain.iter().any(gives_angle) => format!(
                "This is one value of {letter}; others fit the formula as well, since an inverse \
                 function gives only one of the angles."
            ),
            Note::OneRootOnly => format!(
                "This is one root of two: with the other sign {letter} fits the formula as well. \
                 Write {} to give both.",
                self.plus_minus()
            ),
            Note::RootOutsideDomain => format!(
                "One of the two signs gives a value that {letter} can't have here ({}); leave it \
                 out.",
                domain_words(self.table.domain(subject))
            ),
            Note::RoundedConstant => "A constant has been rounded. Keep its symbol or its exact \
                                      form; with that, the line would be right."
                .to_owned(),
            // That nothing was found against it is no proof of it.
            Note::NotIsolated if judgement.evidence.is_none() => format!(
                "What you wrote may be true, but {letter} must stand alone on one side and \
                 nowhere else."
            ),
            Note::NotIsolated => {
                format!("{letter} must stand alone on one side and nowhere else.")
            }
            Note::WrongLetter => {
                let mut further: Vec<Symbol> = Vec::new();
                for side in chain {
                    side.collect_symbols(&mut further);
                }
                let further: Vec<String> = further
                    .iter()
                    .filter(|symbol| !formula.contains(symbol))
                    .map(|symbol| self.letter(*symbol))
                    .collect();
                let known = formula.iter().map(|symbol| self.letter(*symbol));
                let known: Vec<String> = known.map(|letter| letter.to_lowercase()).collect();
                let case = further
                    .iter()
                    .any(|letter| known.contains(&letter.to_lowercase()));
                match joined(&further, "or") {
                    Some(letters) if case => format!(
                        "The formula has no {letters}: capitals and small letters are different \
                         quantities."
                    ),
                    Some(letters) => format!("The formula has no {letters}."),
                    None => "There is a letter that the formula does not have.".to_owned(),
                }
            }
            Note::WrongSubject => match chain.first() {
                Some(Expr::Symbol(other)) => format!(
                    "This makes {} the subject; the question asks for {letter}.",
                    self.letter(*other)
                ),
                _ => format!("The question asks for {letter}."),
            },
            Note::AnotherFormula => "This is another formula's answer.".to_owned(),
            Note::Dimensions => "The units of the two sides don't match.".to_owned(),
            Note::UndefinedSomewhere => {
                "At some values your line has no value although the formula does.".to_owned()
            }
            Note::Needs(condition) => {
                format!("This holds wherever {}.", self.condition(condition))
            }
            Note::RightWherePositive(symbols) => {
                let letters: Vec<String> =
                    symbols.iter().map(|symbol| self.letter(*symbol)).collect();
                let (are, letters) = match joined(&letters, "and") {
                    Some(letters) if symbols.len() > 1 => ("are", letters),
                    letters => ("is", letters.unwrap_or_default()),
                };
                format!(
                    "Your line is right as long as {letters} {are} positive. Negative values are \
                     possible here too, and then it gives a value that {letter} can't have."
                )
            }
        }
    }

    fn plus_minus(&self) -> &'static str {
        match self.spelling {
            Spelling::Unicode => "±",
            Spelling::Ascii => "+/-",
        }
    }

    /// Why something could not be decided.
    #[must_use]
    pub fn undecided(&self, reason: Undecided) -> String {
        match reason {
            Undecided::Limit(limit) => format!(
                "I could not finish checking this: it takes {limit}. It counts neither as right \
                 nor as wrong; a simpler form of the same line may help."
            ),
            Undecided::NoPoints => "I found no values of the quantities at which to try this. It \
                                    counts neither as right nor as wrong."
                .to_owned(),
            Undecided::NoCarrier => "I can't solve the formula for any of its quantities, so I \
                                     have nothing to hold your line against. It counts neither \
                                     as right nor as wrong."
                .to_owned(),
            Undecided::Open => "I found neither a proof nor numbers against it. It counts \
                                neither as right nor as wrong."
                .to_owned(),
        }
    }

    fn shown(&self, chain: &[Expr]) -> String {
        unbroken(&equation_line(chain, self.table, self.spelling))
    }

    /// That a line of the question was taken in one of several ways.
    #[must_use]
    pub fn taken_as(&self, chain: &[Expr]) -> String {
        format!(
            "Read as {}. It can be read in another way too; brackets make it plain.",
            self.shown(chain)
        )
    }

    /// How a line stands to the line before, in words.
    #[must_use]
    pub fn related_lines(&self, pair: &RelatedLines<'_>) -> Remark {
        let mut remark = self.relation(&pair.related, &pair.after.chain);
        for (which, reading) in [("first", pair.before), ("second", pair.after)] {
            if reading.differs.is_some() {
                let shown = self.shown(&reading.chain);
                remark.told.push(format!(
                    "The {which} line can be read in more than one way; this is about {shown}."
                ));
            }
        }
        for condition in &pair.conditions {
            remark.told.push(format!(
                "That is so wherever {}: elsewhere one of the lines has no value.",
                self.condition(condition)
            ));
        }
        remark
    }

    fn condition(&self, condition: &Condition) -> String {
        steps::condition_words(condition, self.table, self.spelling)
    }

    /// The same without a word on how the lines were read; `after` is the
    /// second.
    #[must_use]
    pub fn relation(&self, related: &Related, after: &[Expr]) -> Remark {
        let found = match &related.evidence {
            Some(Evidence::Counterexample(found)) => Some(found.as_ref()),
            _ => None,
        };
        let mut told = Vec::new();
        let (mood, word) = match related.relation {
            Relation::Same => {
                told.push("The two lines have the same solutions.".to_owned());
                (Mood::Good, "Same.")
            }
            Relation::Gains => {
                told.push(
                    "Everything that satisfies the first line satisfies the second, but not the \
                     other way round."
                        .to_owned(),
                );
                told.extend(found.map(|found| self.line_fails(found, "first", "second")));
                (Mood::Bad, "Gains solutions.")
            }
            Relation::Loses => {
                told.push(
                    "Everything that satisfies the second line satisfies the first, but some \
                     solutions of the first are lost."
                        .to_owned(),
                );
                told.extend(found.map(|found| self.line_fails(found, "second", "first")));
                (Mood::Bad, "Loses solutions.")
            }
            Relation::Different => {
                told.push("The second line does not follow from the first.".to_owned());
                told.extend(found.map(|found| self.line_fails(found, "second", "first")));
                (Mood::Bad, "Different.")
            }
            Relation::Undecided(reason) => {
                told.push(match reason {
                    Undecided::Limit(limit) => {
                        format!("I could not finish checking this: it takes {limit}.")
                    }
                    _ => "I found neither a proof nor numbers against it.".to_owned(),
                });
                (Mood::Open, "Undecided.")
            }
        };
        if let Some(Evidence::Numerical { points, digits }) = &related.evidence {
            told.push(numerical(*points, *digits));
        }
        if found.is_some_and(|found| self.has_angle(found) || uses_angles(after)) {
            told.push("(Angles in radians.)".to_owned());
        }
        Remark { mood, word, told }
    }

    fn line_fails(&self, found: &Counterexample, failing: &str, holding: &str) -> String {
        let given = self
            .values(&found.values, None)
            .map_or_else(String::new, |given| format!("Try {given}: "));
        let sides = match &found.got {
            Some(got) => {
                let (left, right) = written_apart(&found.expected, got, self.spelling);
                format!(
                    "the {failing} has {} on the left and {} on the right",
                    unbroken(&left.told()),
                    unbroken(&right.told())
                )
            }
            None => format!("the {failing} has a side without a value"),
        };
        capital(&format!("{given}the {holding} line holds, but {sides}."))
    }
}

pub(super) fn numerical(points: usize, digits: u32) -> String {
    format!(
        "This rests on numbers, not on a proof: the two agree at {points} sets of values, to \
         {digits} digits or more."
    )
}

/// What a domain allows, in words.
#[must_use]
pub fn domain_words(domain: Domain) -> &'static str {
    match domain {
        Domain::Positive => "it is positive",
        Domain::Nonnegative => "it is zero or more",
        Domain::Real => "it may have either sign",
        Domain::Acute => "it is an acute angle",
    }
}

/// `a`, `a and b`, `a, b and c`; nothing for nothing.
#[must_use]
pub fn listed(items: &[String]) -> Option<String> {
    joined(items, "and")
}

fn joined(items: &[String], word: &str) -> Option<String> {
    let (last, before) = items.split_last()?;
    if before.is_empty() {
        return Some(last.clone());
    }
    Some(format!("{} {word} {last}", before.join(", ")))
}

/// The sentence with a capital in front, if it begins with one of our own
/// words.
fn capital(sentence: &str) -> String {
    let mut characters = sentence.chars();
    match characters.next() {
        Some(first) => first.to_uppercase().chain(characters).collect(),
        None => String::new(),
    }
}

fn gives_angle(side: &Expr) -> bool {
    side.any_node(
        &mut |node| matches!(node, Expr::Call(function, _) if function.is_inverse_circular()),
    )
}

/// Whether a circular function, whose argument is an angle, appears.
fn uses_angles(chain: &[Expr]) -> bool {
    let mut is_circular = |node: &Expr| match node {
        Expr::Call(function, _) => function.is_circular() || function.is_inverse_circular(),
        _ => false,
    };
    chain.iter().any(|side| side.any_node(&mut is_circular))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reason::answer;
    use crate::reason::rearrangement::Problem;
    use crate::text::{Undeclared, Vocabulary, read, read_equation};

    fn remark(formula: &str, subject: &str, typed: &str) -> String {
        let mut vocabulary = Vocabulary::new();
        let equation = read_equation(formula, &mut vocabulary, Undeclared::Declare).unwrap();
        let symbol = vocabulary.lookup(subject).unwrap();
        let symbols = equation.symbols();
        let problem = Problem::new(equation, symbol, vocabulary.table());
        let readings = read(typed, &mut vocabulary, Undeclared::Declare).unwrap();
        let (judgement, reading) = answer::judge(&problem, &readings, vocabulary.table());
        let words = Words {
            table: vocabulary.table(),
            spelling: Spelling::Ascii,
        };
        let remark = words.answer(&judgement, &reading.chain, &symbols, symbol);
        let mut all = vec![remark.word.to_owned()];
        all.extend(remark.told);
        all.join(" ").replace('\u{a0}', " ")
    }

    #[test]
    fn answers_in_words() {
        for (formula, subject, typed, beginning, has) in [
            ("v = u + a t", "a", "a = (v-u)/t", "Right.", ""),
            (
                "v = u + a t",
                "a",
                "a = v - u/t",
                "Wrong. With ",
                "the formula gives a = ",
            ),
            (
                "v = u + a t",
                "a",
                "a t = v - u",
                "Wrong.",
                "What you wrote may be true, but a must stand alone",
            ),
            (
                "v = u + a t",
                "a",
                "t = (v-u)/a",
                "Wrong.",
                "This makes t the subject; the question asks for a.",
            ),
            (
                "v = u + a t",
                "a",
                "a = (V-u)/t",
                "Wrong.",
                "The formula has no V: capitals",
            ),
            (
                "v = u + a t",
                "a",
                "a = (v-q)/r",
                "Wrong.",
                "The formula has no q or r.",
            ),
            (
                "v = u + a t",
                "a",
                "2 a t",
                "Wrong.",
                "the formula gives a = ",
            ),
            (
                "A = pi r^2",
                "r",
                "r = sqrt(A/3.14)",
                "Wrong.",
                "A constant has been rounded.",
            ),
            (
                "v^2 = u^2 + 2 a s",
                "a",
                "a = (v^2-u^2)/2*s",
                "Wrong.",
                "your line gives",
            ),
        ] {
            let told = remark(formula, subject, typed);
            assert!(told.starts_with(beginning), "{typed}: {told}");
            assert!(told.contains(has), "{typed}: {told}");
        }
    }

    #[test]
    fn lists() {
        let items = |texts: &[&str]| {
            texts
                .iter()
                .map(|text| (*text).to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(listed(&items(&[])), None);
        assert_eq!(listed(&items(&["a"])).as_deref(), Some("a"));
        assert_eq!(listed(&items(&["a", "b"])).as_deref(), Some("a and b"));
        assert_eq!(
            listed(&items(&["a", "b", "c"])).as_deref(),
            Some("a, b and c")
        );
    }
}
