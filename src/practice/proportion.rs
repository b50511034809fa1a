//! Questions of proportion: "If r doubles, F becomes ...?", answered by a
//! factor or by the new value in terms of the old one, in words or numbers.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;
use crate::physics::formulary::{Formula, Topic};
use crate::reason::proportion::Proportion;
use crate::reason::verdict::Judgement;
use crate::text::words::multiple::read_multiple;
use crate::text::{Diagnostic, Undeclared, Vocabulary, read};

/// Factors that questions use, as numerator and denominator.
pub const SCALES: [(i64, i64); 5] = [(2, 1), (3, 1), (1, 2), (4, 1), (1, 3)];

/// A question of proportion.
#[derive(Debug, Clone)]
pub struct Scaling {
    /// What follows what, and how.
    pub proportion: Proportion,
    /// By what the other quantity is multiplied.
    pub scale: Number,
    vocabulary: Vocabulary,
    /// The quantity's name in words, for answers that use it.
    name: Option<String>,
}

/// An answer, judged.
#[derive(Debug, Clone)]
pub struct Scaled {
    /// The verdict, with what it rests on.
    pub judgement: Judgement,
    /// The factor or the value that was read.
    pub read: Expr,
}

impl Scaling {
    /// A question about a formula; nothing if the subject follows the other
    /// quantity by no power law.
    #[must_use]
    pub fn new(
        formula: &Equation,
        subject: Symbol,
        varied: Symbol,
        scale: Number,
        vocabulary: &Vocabulary,
    ) -> Option<Self> {
        let proportion = Proportion::find(formula, subject, varied, vocabulary.table())?;
        Some(Scaling {
            proportion,
            scale,
            vocabulary: vocabulary.clone(),
            name: None,
        })
    }

    /// A question about a sheet's formula.
    #[must_use]
    pub fn of_sheet(
        topic: &Topic,
        formula: &Formula,
        subject: Symbol,
        varied: Symbol,
        scale: Number,
    ) -> Option<Self> {
        let vocabulary = &topic.vocabulary;
        let mut made = Self::new(&formula.equation, subject, varied, scale, vocabulary)?;
        made.name = topic.meaning(subject).map(str::to_lowercase);
        Some(made)
    }

    /// The letters.
    #[must_use]
    pub fn vocabulary(&self) -> &Vocabulary {
        &self.vocabulary
    }

    /// The factor that is right.
    #[must_use]
    pub fn factor(&self) -> Expr {
        self.proportion.factor(&self.scale)
    }

    /// Judges an answer.
    ///
    /// # Errors
    /// What can't be read, with the place.
    pub fn judge(&self, answer: &str) -> Result<Scaled, Diagnostic> {
        let table = self.vocabulary.table();
        let letter = table.name(self.proportion.subject).to_lowercase();
        let name = self.name.as_deref().unwrap_or("");
        let own: Vec<&str> = name
            .split_whitespace()
            .chain(std::iter::once(letter.as_str()))
            .collect();
        if let Some(read) = read_multiple(answer, &own) {
            let judgement = self.proportion.judge(&self.scale, &read, table);
            return Ok(Scaled { judgement, read });
        }
        // "×4", "x 4" and "F → F/4" are ways of writing a factor.
        let trimmed = answer.trim();
        let trimmed = trimmed.rsplit(['→', '=']).next().unwrap_or(trimmed).trim();
        let trimmed = trimmed.trim_start_matches(['×', '*']).trim();
        let mut vocabulary = self.vocabulary.clone();
        let readings = read(trimmed, &mut vocabulary, Undeclared::Refuse)?;
        let mut first = None;
        for reading in readings.all() {
            let [value] = reading.chain.as_slice() else {
                continue;
            };
            let judgement = self.proportion.judge(&self.scale, value, table);
            let right = judgement.is_right();
            let scaled = Scaled {
                judgement,
                read: value.clone(),
            };
            if right {
                return Ok(scaled);
            }
            first.get_or_insert(scaled);
        }
        first.ok_or_else(|| {
            Diagnostic::new(
                crate::text::DiagnosticKind::WrongNumberOfSides,
                "say by which factor it changes: \"a quarter\", 1/4, or the new value such as F/4",
                answer,
                crate::text::Span::new(0, answer.len()),
            )
        })
    }
}

/// The pairs of a formula's quantities of which one follows the other by a
/// power, the subject first.
#[must_use]
pub fn pairs(topic: &Topic, formula: &Formula) -> Vec<(Symbol, Symbol)> {
    let subjects = topic.subjects(formula);
    let table = topic.vocabulary.table();
    let mut found = Vec::new();
    for &subject in &subjects {
        for &varied in &subjects {
            if Proportion::find(&formula.equation, subject, varied, table).is_some() {
                found.push((subject, varied));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;
    use crate::reason::verdict::Verdict;

    fn check(answer: &str, expected: &str) {
        let sheet = "topic t\nquantity F: force, N\nquantity r: distance, m\nF = k/r^2\n";
        let formulary = Formulary::from_text("t.sheet", sheet);
        let topic = &formulary.topics[0];
        let letter = |name: &str| topic.vocabulary.lookup(name).expect("it is there");
        let scaling = Scaling::of_sheet(
            topic,
            &topic.formulae[0],
            letter("F"),
            letter("r"),
            Number::from(2),
        )
        .expect("a power law");
        let told = match scaling.judge(answer) {
            Err(_) => "unreadable",
            Ok(scaled) => match scaled.judgement.verdict {
                Verdict::Right => "right",
                Verdict::Wrong => "wrong",
                Verdict::Undecided(_) => "undecided",
            },
        };
        assert_eq!(told, expected, "{answer}");
    }

    #[test]
    fn a_quarter_in_many_ways() {
        for answer in [
            "F/4",
            "¼",
            "0.25",
            "a quarter of what it was",
            "¼F",
            "1/4",
            "F → F/4",
            "25%",
            "4 times smaller",
            "it is quartered",
            "0.25F",
            "1/4 F",
            "F = F/4",
            "2^-2",
            "1/2^2",
            "the force is a quarter of the old force",
            "decreases by a factor of 4",
            "falls by 75%",
            "quarter",
            "one fourth",
        ] {
            check(answer, "right");
        }
        for answer in [
            "F/2",
            "half",
            "0.5",
            "4F",
            "4",
            "doubles",
            "unchanged",
            "four times as large",
            "2",
            "a quarter of r^2 F",
            "falls by 25%",
            "0.24999",
            "-F/4",
            "F/(2r)",
        ] {
            check(
                answer,
                if answer.starts_with("a quarter of r") {
                    "unreadable"
                } else {
                    "wrong"
                },
            );
        }
        for answer in [
            "",
            "smaller",
            "bananas",
            "F + ",
            "a bit less",
            "not a quarter",
        ] {
            check(answer, "unreadable");
        }
    }
}
