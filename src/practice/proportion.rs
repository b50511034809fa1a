//! Questions of proportion: "If r doubles, F becomes ...?", answered by a
//! factor or by the new value in terms of the old one, in words or numbers.

mod changes;

use crate::algebra::expr::Expr;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::formulary::{Formula, Topic};
use crate::reason::proportion::{Misstep, Power, Proportion};
use crate::reason::slip::SlipKind;
use crate::reason::verdict::{Judgement, Verdict};
use crate::text::words::multiple::read_multiple;
use crate::text::{Diagnostic, DiagnosticKind, Span, Undeclared, read};

use super::attempt::Lettering;
use super::question::Question;

pub use changes::{Change, Ties, is_askable, of_turn, worth};

/// Quantities that may be changed at once.
pub const MOST_CHANGES: usize = 4;

/// A question of proportion.
#[derive(Debug, Clone)]
pub struct Scaling<'f> {
    /// The formula with its letters, and what is asked for.
    pub question: Question<'f>,
    /// What follows what, and how.
    pub proportion: Proportion,
    /// By what the others are multiplied, in the order of the proportion.
    pub scales: Vec<Number>,
}

/// An answer, judged.
#[derive(Debug, Clone)]
pub struct Scaled {
    /// The verdict, with what it rests on.
    pub judgement: Judgement,
    /// The factor or the value that was read.
    pub read: Expr,
    /// The slips that explain a wrong answer.
    pub slips: Vec<Misstep>,
    /// Marks that it earns.
    pub awarded: usize,
}

/// Letters in a row that are a word.
const WORD: usize = 3;

/// Whether an answer has words in it, and not letters of maths only: words
/// that the program does not know are no fault of the answer's.
#[must_use]
pub fn has_words(answer: &str) -> bool {
    answer
        .split(|next: char| !next.is_alphabetic())
        .any(|word| word.chars().count() >= WORD)
}

impl<'f> Scaling<'f> {
    /// A question about a formula; nothing if its subject follows one of the
    /// quantities by no power law.
    #[must_use]
    pub fn new(question: Question<'f>, changes: &[(Symbol, Number)]) -> Option<Self> {
        if changes.is_empty() || changes.len() > MOST_CHANGES {
            return None;
        }
        // As the formula has them, in whatever order they were given.
        let order = question.formula().symbols();
        let mut changes = changes.to_vec();
        changes.sort_by_key(|(varied, _)| order.iter().position(|own| own == varied));
        let varied: Vec<Symbol> = changes.iter().map(|(varied, _)| *varied).collect();
        let again = |at: usize| varied[..at].contains(&varied[at]);
        if (1..varied.len()).any(again) || changes.iter().any(|(_, scale)| !scale.is_positive()) {
            return None;
        }
        let proportion = Proportion::find(
            question.formula(),
            question.subject(),
            &varied,
            question.table(),
        )?;
        Some(Scaling {
            question,
            proportion,
            scales: changes.iter().map(|(_, scale)| scale.clone()).collect(),
        })
    }

    /// A question about a sheet's formula in a lettering; nothing if there is
    /// no such lettering, or no such question.
    #[must_use]
    pub fn of_sheet(
        topic: &'f Topic,
        formula: &'f Formula,
        change: &Change,
        lettering: Lettering,
        seed: u64,
    ) -> Option<Self> {
        let question = Question::any_in_letters(topic, formula, change.subject, lettering, seed)?;
        let changes: Option<Vec<(Symbol, Number)>> = change
            .scales
            .iter()
            .map(|(varied, scale)| Some((question.own(*varied)?, scale.clone())))
            .collect();
        Self::new(question, &changes?)
    }

    /// What is asked for.
    #[must_use]
    pub fn subject(&self) -> Symbol {
        self.proportion.subject
    }

    /// What is changed: each with its power, and what it is multiplied by.
    pub fn changes(&self) -> impl Iterator<Item = (&Power, &Number)> {
        self.proportion.powers.iter().zip(&self.scales)
    }

    /// What stays as it is.
    #[must_use]
    pub fn held(&self) -> Vec<Symbol> {
        let mut held = self.question.formula().symbols();
        held.retain(|symbol| {
            let mut powers = self.proportion.powers.iter();
            *symbol != self.subject() && !powers.any(|power| power.varied == *symbol)
        });
        held
    }

    /// The letters.
    #[must_use]
    pub fn table(&self) -> &SymbolTable {
        self.question.table()
    }

    /// The factor that is right.
    #[must_use]
    pub fn factor(&self) -> Expr {
        self.proportion.factor(&self.scales)
    }

    /// The same as a fraction, if it is one.
    #[must_use]
    pub fn exact_factor(&self) -> Option<Number> {
        self.proportion.exact_factor(&self.scales)
    }

    /// Marks that it is worth: one, and one more where a power or a root
    /// comes in.
    #[must_use]
    pub fn marks(&self) -> usize {
        1 + usize::from(self.proportion.powers.iter().any(Power::is_bent))
    }

    /// Wrong factors to look out for, with the slip of each: at most so many.
    #[must_use]
    pub fn likely_slips(&self, most: usize) -> Vec<(Misstep, Expr)> {
        let [mut single, _] = self.proportion.likely(&self.scales);
        // What concerns the power comes first, then the direction.
        single.sort_by_key(|(slips, _)| {
            let power = slips.iter().any(Misstep::is_of_power);
            (!power, slips.first().map(|slip| slip.kind))
        });
        let mut found: Vec<(Misstep, Expr)> = Vec::new();
        for (slips, factor) in single {
            let judged = self.proportion.judge(&self.scales, &factor, self.table());
            let known = found.iter().any(|(slip, _)| Some(slip) == slips.first());
            if let [slip] = slips[..]
                && judged.verdict == Verdict::Wrong
                && !known
                && found.len() < most
            {
                found.push((slip, factor));
            }
        }
        found
    }

    /// Judges an answer.
    ///
    /// # Errors
    /// What can't be read, with the place.
    pub fn judge(&self, answer: &str) -> Result<Scaled, Diagnostic> {
        let table = self.table();
        let subject = self.subject();
        let letter = table.name(subject).to_lowercase();
        let letters = self.question.letters();
        let own = letters.iter().find(|own| own.symbol == subject);
        let name = own.and_then(|own| own.meaning).map(str::to_lowercase);
        let own: Vec<&str> = name
            .as_deref()
            .unwrap_or("")
            .split_whitespace()
            .chain(std::iter::once(letter.as_str()))
            .collect();
        if let Some(read) = read_multiple(answer, &own) {
            return Ok(self.scaled(read));
        }
        // "×4", "F → F/4" and "F becomes F/4" are ways of writing a factor.
        let mut trimmed = answer.trim();
        for arrow in ["→", "->", "=", " becomes ", " goes to ", " is now "] {
            trimmed = trimmed.rsplit(arrow).next().unwrap_or(trimmed).trim();
        }
        let trimmed = trimmed.trim_start_matches(['×', '*']).trim();
        let mut vocabulary = self.question.vocabulary().clone();
        let readings = read(trimmed, &mut vocabulary, Undeclared::Refuse)?;
        let mut first = None;
        for reading in readings.all() {
            let [value] = reading.chain.as_slice() else {
                continue;
            };
            let judged = self.scaled(value.clone());
            if judged.judgement.is_right() {
                return Ok(judged);
            }
            first.get_or_insert(judged);
        }
        first.ok_or_else(|| {
            Diagnostic::new(
                DiagnosticKind::WrongNumberOfSides,
                "say by which factor it changes: \"a quarter\", 1/4, or the new value such as F/4",
                answer,
                Span::new(0, answer.len()),
            )
        })
    }

    fn scaled(&self, read: Expr) -> Scaled {
        let table = self.table();
        let judgement = self.proportion.judge(&self.scales, &read, table);
        let slips = match judgement.verdict {
            Verdict::Wrong => self.proportion.explain(&self.scales, &read, table),
            _ => None,
        };
        let awarded = match (&judgement.verdict, &slips) {
            (Verdict::Right, _) => self.marks(),
            // The mark for the power is earned where only the direction or
            // another change went wrong.
            (Verdict::Wrong, Some(slips)) if self.power_stands(slips) => self.marks() - 1,
            _ => 0,
        };
        Scaled {
            judgement,
            read,
            slips: slips.unwrap_or_default(),
            awarded,
        }
    }

    /// Whether one slip was made, and the powers are right all the same.
    fn power_stands(&self, slips: &[Misstep]) -> bool {
        let [slip] = slips else {
            return false;
        };
        let left_out = slip.kind == SlipKind::ChangeLeftOut;
        let bent = self.proportion.powers.iter().any(|power| {
            let sure = slip.varied.is_none_or(|varied| varied == power.varied);
            sure && power.is_bent()
        });
        !(slip.is_of_power() || left_out && bent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;

    fn check(answer: &str, expected: &str) {
        let sheet = "topic t\nquantity F: force, N\nquantity r: distance, m\nF = k/r^2\n";
        let formulary = Formulary::from_text("t.sheet", sheet);
        let topic = &formulary.topics[0];
        let letter = |name: &str| topic.vocabulary.lookup(name).expect("it is there");
        let change = Change {
            subject: letter("F"),
            scales: vec![(letter("r"), Number::from(2))],
        };
        let formula = &topic.formulae[0];
        let scaling =
            Scaling::of_sheet(topic, formula, &change, Lettering::Sheet, 0).expect("a power law");
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
            "F becomes F/4",
            "F -> F/4",
            "F goes to ¼ F",
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
