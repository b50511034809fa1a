//! Questions of proportion in words: what changes, what is asked, the law,
//! and what went wrong.

use crate::algebra::exact;
use crate::algebra::expr::Expr;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol};
use crate::practice::proportion::{Scaled, Scaling};
use crate::reason::proportion::{Misstep, Power, exact_power, to_power};
use crate::reason::slip::SlipKind;
use crate::reason::verdict::Verdict;

use super::line::{Spelling, line, name, shown_number};
use super::remarks::listed;
use super::slips::kind_words;
use super::wrap::unbroken;

/// For words that say no factor.
pub const UNKNOWN_WORDS: &str = "I don't know these words for a factor. Say it as a number (a \
                                 third, 1/3, 3 times as large) or as the new value. It is not \
                                 marked wrong for that.";

/// The word for a part.
fn part_words(under: i64) -> Option<&'static str> {
    Some(match under {
        2 => "half",
        3 => "a third",
        4 => "a quarter",
        5 => "a fifth",
        6 => "a sixth",
        8 => "an eighth",
        9 => "a ninth",
        10 => "a tenth",
        16 => "a sixteenth",
        _ => return None,
    })
}

/// What it is to be multiplied by a number: `doubles`, `falls to a third of
/// what it was`.
fn change_verb(scale: &Number, spelling: Spelling) -> String {
    let shown = shown_number(scale, spelling);
    let Some((over, under)) = scale.to_i64_pair() else {
        return format!("is multiplied by {shown}");
    };
    let rise = &(scale - &Number::ONE) * &Number::from(100);
    let rise = rise.to_i64().unwrap_or(0);
    match (over, under) {
        (1, 1) => "stays the same".to_owned(),
        (2, 1) => "doubles".to_owned(),
        (3, 1) => "trebles".to_owned(),
        (1, 2) => "halves".to_owned(),
        (_, 1) => format!("becomes {shown} times as large"),
        (1, _) => {
            let part = part_words(under).unwrap_or(&shown);
            format!("falls to {part} of what it was")
        }
        _ if (1..100).contains(&rise) => unbroken(&format!("increases by {rise} %")),
        _ if rise < 0 => unbroken(&format!("decreases by {} %", -rise)),
        _ => format!("becomes {shown} of what it was"),
    }
}

/// `half`, `4 times`: a factor as one says it.
fn times_words(factor: &Number) -> Option<String> {
    let (over, under) = factor.to_i64_pair()?;
    match (over, under) {
        (1, under) => part_words(under).map(|part| format!("{part} of what it was")),
        _ => None,
    }
}

/// The words for one question.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The question.
    pub scaling: &'a Scaling<'a>,
    /// Which characters may be used.
    pub spelling: Spelling,
}

impl Words<'_> {
    fn letter(&self, symbol: Symbol) -> String {
        name(symbol, self.scaling.table(), self.spelling)
    }

    fn subject(&self) -> String {
        self.letter(self.scaling.subject())
    }

    fn maths(&self, expr: &Expr) -> String {
        unbroken(&line(expr, self.scaling.table(), self.spelling))
    }

    fn number(&self, number: &Number) -> String {
        shown_number(number, self.spelling)
    }

    /// `r doubles and m halves`.
    #[must_use]
    pub fn changes(&self) -> String {
        let changes: Vec<String> = self
            .scaling
            .changes()
            .map(|(power, scale)| {
                format!(
                    "{} {}",
                    self.letter(power.varied),
                    change_verb(scale, self.spelling)
                )
            })
            .collect();
        listed(&changes).unwrap_or_default()
    }

    /// `If r doubles, and M and m stay the same, what does F become?`
    #[must_use]
    pub fn request(&self) -> String {
        let held: Vec<String> = self
            .scaling
            .held()
            .into_iter()
            .map(|symbol| self.letter(symbol))
            .collect();
        let stay = if held.len() == 1 { "stays" } else { "stay" };
        let held = match listed(&held) {
            Some(held) => format!(" and {held} {stay} the same,"),
            None => String::new(),
        };
        format!(
            "If {},{held} what does {} become?",
            self.changes(),
            self.subject()
        )
    }

    /// `F becomes F/4`, and in words where there are some.
    fn becomes(&self, factor: &Expr) -> String {
        let letter = self.subject();
        let exact = exact::constant(factor);
        if exact.as_ref().is_some_and(Number::is_one) {
            return format!("{letter} stays the same");
        }
        let words = exact.and_then(|exact| times_words(&exact));
        let words = words.map_or(String::new(), |words| format!(": {words}"));
        format!(
            "{letter} becomes {}{words}",
            self.maths(&self.said_of(factor))
        )
    }

    /// The new value of a factor, as one writes it: `F/4`, `3F/2`.
    #[must_use]
    pub fn said_of(&self, factor: &Expr) -> Expr {
        let subject = Expr::Symbol(self.scaling.subject());
        let Some(exact) = exact::constant(factor) else {
            return Expr::mul(factor.clone(), subject);
        };
        let (over, under) = (exact.numerator(), exact.denominator());
        let mut value = subject;
        if !over.is_one() {
            value = Expr::mul(Expr::Number(over), value);
        }
        if !under.is_one() {
            value = Expr::div(value, Expr::Number(under));
        }
        value
    }

    /// A quantity to the power with which it comes in, its sign left out:
    /// `r²`.
    fn powered(&self, power: &Power) -> String {
        self.maths(&raised(power, &power.exponent.abs()))
    }

    /// `F is proportional to m/r²`.
    #[must_use]
    pub fn law(&self) -> String {
        let mut over: Option<Expr> = None;
        let mut under: Option<Expr> = None;
        for power in &self.scaling.proportion.powers {
            let place = if power.exponent.is_negative() {
                &mut under
            } else {
                &mut over
            };
            let own = raised(power, &power.exponent.abs());
            *place = Some(match place.take() {
                Some(before) => Expr::mul(before, own),
                None => own,
            });
        }
        let mut value = over.unwrap_or(Expr::integer(1));
        if let Some(under) = under {
            value = Expr::div(value, under);
        }
        format!(
            "{} is proportional to {}",
            self.subject(),
            self.maths(&value)
        )
    }

    /// `as r goes from 1 to 2, r² goes from 1 to 4`; nothing if a root does
    /// not come out.
    fn numbers(&self, power: &Power, scale: &Number) -> Option<String> {
        let bare = power.exponent.abs();
        let (from, to) = (scale.denominator(), scale.numerator());
        let (before, after) = (exact_power(&from, &bare)?, exact_power(&to, &bare)?);
        Some(format!(
            "as {} goes from {} to {}, {} goes from {} to {}",
            self.letter(power.varied),
            self.number(&from),
            self.number(&to),
            self.powered(power),
            self.number(&before),
            self.number(&after)
        ))
    }

    /// The working, a line each, for a solution or a mark scheme.
    #[must_use]
    pub fn working(&self) -> Vec<String> {
        let mut lines = vec![format!("{}.", self.law())];
        let mut parts = Vec::new();
        for (power, scale) in self.scaling.changes() {
            let factor = match exact_power(scale, &power.exponent) {
                Some(factor) => self.number(&factor),
                None => self.maths(&raised_number(scale, &power.exponent)),
            };
            lines.push(format!(
                "{} {}: a factor of {factor}.",
                self.letter(power.varied),
                change_verb(scale, self.spelling)
            ));
            parts.push(factor);
        }
        let becomes = self.becomes(&self.scaling.factor());
        lines.push(match (parts.len(), self.scaling.exact_factor()) {
            (2.., Some(factor)) => {
                let times = match self.spelling {
                    Spelling::Unicode => " × ",
                    Spelling::Ascii => " * ",
                };
                format!(
                    "Together {} = {}, so {becomes}.",
                    unbroken(&parts.join(times)),
                    self.number(&factor)
                )
            }
            _ => format!("So {becomes}."),
        });
        lines
    }

    /// A hint: where to look, then the law, then numbers. Nothing when all is
    /// said.
    #[must_use]
    pub fn hint(&self, seen: usize) -> Option<String> {
        let letters: Vec<String> = self
            .scaling
            .changes()
            .map(|(power, _)| self.letter(power.varied))
            .collect();
        match seen {
            0 => Some(format!(
                "With {} alone on one side: is {} on top or below, and to which power?",
                self.subject(),
                listed(&letters)?
            )),
            1 => Some(format!("{}.", self.law())),
            more => {
                let bent = self.scaling.changes().filter(|(power, _)| power.is_bent());
                let mut numbers = bent.filter_map(|(power, scale)| self.numbers(power, scale));
                let told = numbers.nth(more - 2)?;
                Some(format!("{}.", capital(&told)))
            }
        }
    }

    /// The power of a quantity in the law, and by what it is multiplied.
    fn change_of(&self, symbol: Symbol) -> Option<(&Power, &Number)> {
        let mut changes = self.scaling.changes();
        changes.find(|(power, _)| power.varied == symbol)
    }

    /// One slip in a sentence.
    #[must_use]
    pub fn slip(&self, slip: &Misstep) -> String {
        let subject = self.subject();
        let Some((power, scale)) = slip.varied.and_then(|varied| self.change_of(varied)) else {
            return match slip.kind {
                SlipKind::ChangeForValue => format!(
                    "By how much {subject} changes and what it becomes are not the same: say \
                     what it becomes."
                ),
                kind => format!("There is {} here.", kind_words(kind)),
            };
        };
        let letter = self.letter(power.varied);
        let numbers = self.numbers(power, scale);
        let with_numbers = |told: String| match &numbers {
            Some(numbers) => format!("{told}: {numbers}."),
            None => format!("{told}."),
        };
        match slip.kind {
            SlipKind::ProportionInverted => {
                let end = if power.exponent.is_negative() {
                    "smaller"
                } else {
                    "larger"
                };
                // Of a quantity of either sign it is the size that follows.
                let real = self.scaling.table().domain(self.scaling.subject()) == Domain::Real;
                let size = if real { "the size of " } else { "" };
                format!(
                    "The larger {letter} is, the {end} is {size}{subject}; not the other way \
                     round."
                )
            }
            SlipKind::ChangeLeftOut => {
                let verb = change_verb(scale, self.spelling);
                format!("{letter} changes too: it {verb}.")
            }
            SlipKind::ChangeForValue => format!(
                "{letter} {} and so becomes {} of what it was, not {} of it.",
                change_verb(scale, self.spelling),
                self.number(scale),
                self.number(&(scale - &Number::ONE))
            ),
            SlipKind::PowerAsFactor => with_numbers(format!(
                "A power is not a factor; {letter} comes in as {}",
                self.powered(power)
            )),
            _ => with_numbers(format!(
                "{letter} comes in as {}, not as {letter}",
                self.powered(power)
            )),
        }
    }

    /// All slips of an answer, in a sentence or two; empty if there are none.
    #[must_use]
    pub fn slips(&self, slips: &[Misstep]) -> String {
        let told: Vec<String> = slips.iter().map(|slip| self.slip(slip)).collect();
        match told.as_slice() {
            [_, _, ..] => format!("Two things at once. {}", told.join(" ")),
            _ => told.concat(),
        }
    }

    /// What somebody did, to stand behind a count: `forgot the square of r`.
    #[must_use]
    pub fn deed(&self, slip: &Misstep) -> String {
        let Some((power, _)) = slip.varied.and_then(|varied| self.change_of(varied)) else {
            return match slip.kind {
                SlipKind::ProportionInverted => "mixed up direct and inverse proportion",
                SlipKind::ChangeLeftOut => "left out one of the changes",
                SlipKind::ChangeForValue => "gave the change, not the new value",
                _ => "mixed up powers and roots",
            }
            .to_owned();
        };
        let letter = self.letter(power.varied);
        let word = match power.exponent.numerator().abs().to_i64() {
            Some(2) => "square",
            Some(3) => "cube",
            _ => "power",
        };
        match slip.kind {
            SlipKind::SquareLost => format!("forgot the {word} of {letter}"),
            SlipKind::RootForgotten => format!("forgot the root of {letter}"),
            SlipKind::PowerAsFactor => format!("took a power of {letter} for a factor"),
            SlipKind::ProportionInverted if power.exponent.is_negative() => {
                format!("took direct for inverse proportion in {letter}")
            }
            SlipKind::ProportionInverted => {
                format!("took inverse for direct proportion in {letter}")
            }
            SlipKind::ChangeLeftOut => format!("left out the change of {letter}"),
            SlipKind::ChangeForValue => {
                format!("took the change of {letter} for its new value")
            }
            _ => format!("mixed up root and power of {letter}"),
        }
    }

    /// What a wrong answer says, without what would be right.
    #[must_use]
    pub fn read_as(&self, scaled: &Scaled) -> String {
        let read = &scaled.read;
        let foreign = read
            .symbols()
            .iter()
            .any(|symbol| *symbol != self.scaling.subject());
        if foreign {
            return "The factor is a number: it has no other letter.".to_owned();
        }
        match self.scaling.proportion.said(read) {
            Some(factor) => {
                format!(
                    "Your answer says that {}.",
                    self.becomes(&Expr::Number(factor))
                )
            }
            None => format!("Your answer reads {}.", self.maths(read)),
        }
    }

    /// Numbers that show a wrong answer to be wrong, small enough for the
    /// head: `Where F was 4 before, it is 1 now; your answer makes it 2.`
    #[must_use]
    pub fn evidence(&self, scaled: &Scaled) -> Option<String> {
        let right = self.scaling.exact_factor()?;
        let said = self.scaling.proportion.said(&scaled.read)?;
        let before = &right.denominator() * &said.denominator();
        let common = (2..=36)
            .map(Number::from)
            .find(|base| (base * &right).is_integer() && (base * &said).is_integer());
        let before = common.unwrap_or(before);
        Some(format!(
            "Where {} was {} before, it is {} now; your answer makes it {}.",
            self.subject(),
            self.number(&before),
            self.number(&(&before * &right)),
            self.number(&(&before * &said))
        ))
    }

    /// What there is to say about an answer besides the word of its verdict.
    #[must_use]
    pub fn remark(&self, scaled: &Scaled) -> String {
        match scaled.judgement.verdict {
            Verdict::Right => String::new(),
            Verdict::Undecided(_) => "I can't decide whether that is the same.".to_owned(),
            Verdict::Wrong => {
                let told = [
                    self.read_as(scaled),
                    self.evidence(scaled).unwrap_or_default(),
                    self.slips(&scaled.slips),
                ];
                let told: Vec<String> = told.into_iter().filter(|own| !own.is_empty()).collect();
                told.join(" ")
            }
        }
    }
}

fn capital(sentence: &str) -> String {
    // A sentence of our own begins with a word, never with a letter of maths.
    let mut characters = sentence.chars();
    characters.next().map_or(String::new(), |first| {
        first.to_uppercase().collect::<String>()
    }) + characters.as_str()
}

fn raised(power: &Power, exponent: &Number) -> Expr {
    to_power(Expr::Symbol(power.varied), exponent)
}

fn raised_number(scale: &Number, exponent: &Number) -> Expr {
    to_power(Expr::Number(scale.clone()), exponent)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::paper::Entry;
    use crate::practice::script::{Ready, Task};

    fn with(formula: &str, changes: &str, test: impl FnOnce(&Words<'_>)) {
        let subject = &formula[..1];
        let entry: Entry = serde_json::from_str(&format!(
            r#"{{"kind":"proportion","formula":"{formula}","subject":"{subject}","changes":{changes}}}"#
        ))
        .unwrap();
        let ready = Ready::new(entry).unwrap();
        let Task::Proportion(scaling) = &ready.task else {
            panic!("another task");
        };
        test(&Words {
            scaling,
            spelling: Spelling::Unicode,
        });
    }

    fn check(formula: &str, changes: &str, request: &str, working: &[&str]) {
        with(formula, changes, |words| {
            let plain = |text: String| text.replace('\u{a0}', " ");
            assert_eq!(plain(words.request()), request);
            let lines: Vec<String> = words.working().into_iter().map(plain).collect();
            assert_eq!(lines, working);
        });
    }

    #[test]
    fn questions_and_workings() {
        check(
            "F = G M m/r^2",
            r#"{"r":2}"#,
            "If r doubles, and G, M and m stay the same, what does F become?",
            &[
                "F is proportional to 1/r².",
                "r doubles: a factor of ¼.",
                "So F becomes F/4: a quarter of what it was.",
            ],
        );
        check(
            "F = m v^2/r",
            r#"{"v":"3/2","r":"1/3"}"#,
            "If v increases by 50 % and r falls to a third of what it was, and m stays the same, \
             what does F become?",
            &[
                "F is proportional to v²/r.",
                "v increases by 50 %: a factor of 9/4.",
                "r falls to a third of what it was: a factor of 3.",
                "Together 9/4 × 3 = 27/4, so F becomes 27F/4.",
            ],
        );
        check(
            "T = 2 π sqrt(l/g)",
            r#"{"l":2}"#,
            "If l doubles, and g stays the same, what does T become?",
            &[
                "T is proportional to √(l).",
                "l doubles: a factor of √(2).",
                "So T becomes √(2)T.",
            ],
        );
        check(
            "d = 2 r",
            r#"{"r":7}"#,
            "If r becomes 7 times as large, what does d become?",
            &[
                "d is proportional to r.",
                "r becomes 7 times as large: a factor of 7.",
                "So d becomes 7d.",
            ],
        );
    }

    #[test]
    fn changes_in_words() {
        for (over, under, expected) in [
            (5, 4, "increases by 25 %"),
            (3, 4, "decreases by 25 %"),
            (1, 7, "falls to 1/7 of what it was"),
            (10, 3, "becomes 10/3 of what it was"),
            (1, 1, "stays the same"),
            (
                1_000_000_000_000_000_001,
                1_000_000_000_000_000_000,
                "becomes ",
            ),
        ] {
            let told = change_verb(&Number::new(over, under), Spelling::Unicode);
            let told = told.replace('\u{a0}', " ");
            assert!(told.starts_with(expected), "{told}");
        }
    }

    #[test]
    fn remarks() {
        for (formula, changes, answer, remark) in [
            (
                "F = G M m/r^2",
                r#"{"r":2}"#,
                "half",
                "Your answer says that F becomes F/2: half of what it was. Where F was 4 before, \
                 it is 1 now; your answer makes it 2. r comes in as r², not as r: as r goes from \
                 1 to 2, r² goes from 1 to 4.",
            ),
            (
                "F = G M m/r^2",
                r#"{"r":"1/2","m":3}"#,
                "12 m F",
                "The factor is a number: it has no other letter.",
            ),
            (
                "p = n k T/V",
                r#"{"V":3}"#,
                "3p",
                "Your answer says that p becomes 3p. Where p was 3 before, it is 1 now; your \
                 answer makes it 9. The larger V is, the smaller is p; not the other way round.",
            ),
        ] {
            with(formula, changes, |words| {
                let scaled = words.scaling.judge(answer).unwrap();
                assert_eq!(words.remark(&scaled).replace('\u{a0}', " "), remark);
            });
        }
    }
}
