//! What somebody did, in the past tense, to stand behind a count: `11 of 28
//! kept the sign of u²`.

use crate::algebra::expr::{Expr, Function};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::reason::proof::Kind;
use crate::reason::slip::{Slip, SlipKind};
use crate::reason::step::Operation;

use super::line::{Spelling, line};
use super::slips::{changed_number, flipped_term, lost_factor, lost_term, moved_factor};

/// What the words need to know.
#[derive(Debug, Clone, Copy)]
pub struct Deeds<'a> {
    /// The letters.
    pub table: &'a SymbolTable,
    /// Which characters may be used.
    pub spelling: Spelling,
    /// The symbol asked for.
    pub subject: Symbol,
}

/// The longest piece of maths that stands in a count; what is longer is called
/// by a word.
const LONGEST: usize = 24;

impl Deeds<'_> {
    fn maths(&self, expr: &Expr) -> String {
        line(expr, self.table, self.spelling)
    }

    fn short(&self, expr: &Expr, otherwise: &str) -> String {
        let text = self.maths(expr);
        if text.chars().count() > LONGEST {
            return otherwise.to_owned();
        }
        text
    }

    fn subject(&self) -> String {
        self.maths(&Expr::Symbol(self.subject))
    }

    /// One slip: what was done.
    #[must_use]
    pub fn slip(&self, slip: &Slip) -> String {
        let right = |word: &str| self.short(&slip.right, word);
        let wrong = |word: &str| self.short(&slip.wrong, word);
        let one = |found: Option<Expr>, word: &str| match found {
            Some(found) => self.short(&found, word),
            None => word.to_owned(),
        };
        match slip.kind {
            SlipKind::SignNotChanged => self.sign(slip),
            SlipKind::MinusNotShared => {
                format!(
                    "gave a minus to the first term of {} only",
                    right("a bracket")
                )
            }
            SlipKind::OneTermDivided => self.one_term(slip, "divided"),
            SlipKind::OneTermMultiplied => self.one_term(slip, "multiplied"),
            SlipKind::OneFactorPowered => {
                format!(
                    "took the power of one factor of {} only",
                    right("a bracket")
                )
            }
            SlipKind::PowerSharedOverSum => {
                format!("took the power {} term by term", right("of a sum"))
            }
            SlipKind::RootSharedOverSum => {
                format!("took the root {} term by term", right("of a sum"))
            }
            SlipKind::RootPartlyTaken => {
                format!("took the root of a part of {}", right("the other side"))
            }
            SlipKind::RootForgotten => "did not take the root".to_owned(),
            SlipKind::RootForSquare => match &slip.operation {
                Some(Operation::RaiseToPower(_)) => {
                    "took a root where a power undoes it".to_owned()
                }
                Some(Operation::TakeRoot { .. }) => {
                    "took a power where a root undoes it".to_owned()
                }
                _ => "mixed up a root and a power".to_owned(),
            },
            SlipKind::WrongRootIndex => "took another root or power than the one needed".to_owned(),
            SlipKind::ReciprocalSharedOverSum => "took a reciprocal term by term".to_owned(),
            SlipKind::ReciprocalForgotten => {
                format!("gave 1/{} and did not turn it over", self.subject())
            }
            SlipKind::FractionInverted => {
                format!("turned {} upside down", right("a fraction"))
            }
            SlipKind::MultipliedForDivided => self.multiplied(slip),
            SlipKind::SubtractedForDivided => match &slip.operation {
                Some(Operation::DivideBothSides(factor)) => {
                    format!("subtracted the factor {}", self.short(factor, "in front"))
                }
                Some(Operation::SubtractFromBothSides(term)) => {
                    format!("divided by the term {}", self.short(term, "beside it"))
                }
                Some(Operation::MultiplyBothSides(factor)) => {
                    format!("added {} where it divides", self.short(factor, "a factor"))
                }
                _ => "subtracted where dividing undoes it, or the reverse".to_owned(),
            },
            SlipKind::OrderOfUndoing => "undid the operations in the wrong order".to_owned(),
            SlipKind::CoefficientLost => format!(
                "lost the {}",
                one(changed_number(&slip.right, &slip.wrong), "number")
            ),
            SlipKind::CoefficientFlipped => format!(
                "put the {} on the wrong side of the fraction",
                one(changed_number(&slip.right, &slip.wrong), "number")
            ),
            SlipKind::SquareLost => match &slip.operation {
                Some(Operation::RaiseToPower(_)) => {
                    format!("did not raise {} to the power", right("one side"))
                }
                _ => format!("lost the power of {}", right("a letter")),
            },
            SlipKind::TermCancelled => "cancelled a term as if it were a factor".to_owned(),
            SlipKind::UnlikeTermsJoined => "joined unlike terms".to_owned(),
            SlipKind::SubjectBothSides => format!("left {} on both sides", self.subject()),
            SlipKind::FactorNotCollected => {
                format!("did not take {} out as a factor", self.subject())
            }
            SlipKind::FunctionAsFactor => "treated a function as a factor".to_owned(),
            SlipKind::InverseAsReciprocal => "took an inverse function for a reciprocal".to_owned(),
            SlipKind::InverseFunctionForgotten => self.inverse_forgotten(slip),
            SlipKind::LogOfSumSplit => "split the logarithm of a sum".to_owned(),
            SlipKind::LogQuotientWrong => {
                "took the logarithm of a quotient for a quotient of logarithms".to_owned()
            }
            SlipKind::ExponentSignLost => "lost the minus of the exponent".to_owned(),
            SlipKind::ExponentBroughtDown => {
                "brought an exponent down without a logarithm".to_owned()
            }
            SlipKind::PowerOfProductOfPowers => {
                "added exponents that multiply, or the reverse".to_owned()
            }
            SlipKind::WrongLetter => {
                format!(
                    "wrote {} for {}",
                    wrong("another letter"),
                    right("a letter")
                )
            }
            SlipKind::SwappedPair => match (&slip.right, &slip.wrong) {
                (Expr::Symbol(_), Expr::Symbol(_)) => {
                    format!("exchanged {} and {}", right("a letter"), wrong("another"))
                }
                _ => format!("took {} the wrong way round", right("a difference")),
            },
            SlipKind::WrongSubject => {
                format!("made {} the subject", wrong("another letter"))
            }
            SlipKind::RadiusDiameter => "mixed up radius and diameter".to_owned(),
            SlipKind::ConstantRounded => "rounded a constant".to_owned(),
            SlipKind::FunctionPartlyTaken => "took a function of a part only".to_owned(),
            SlipKind::TermLost => format!(
                "lost the term {}",
                one(lost_term(&slip.right, &slip.wrong), "beside it")
            ),
            SlipKind::FactorLost => format!(
                "lost the factor {}",
                one(lost_factor(&slip.right, &slip.wrong), "in front")
            ),
            SlipKind::PowerAsFactor => "treated a power as a factor".to_owned(),
            SlipKind::PowerTooWide => "took a power of more factors than it belongs to".to_owned(),
            SlipKind::ProportionInverted => "mixed up direct and inverse proportion".to_owned(),
            SlipKind::ChangeLeftOut => "left out one of the changes".to_owned(),
            SlipKind::ChangeForValue => "took the change for the new value".to_owned(),
        }
    }

    fn sign(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::SubtractFromBothSides(moved) | Operation::AddToBothSides(moved)) => {
                return format!("kept the sign of {}", self.short(moved, "a term"));
            }
            Some(Operation::ChangeSigns) => return "changed the sign of one side only".to_owned(),
            _ => {}
        }
        match flipped_term(&slip.right, &slip.wrong) {
            Some(term) => format!("kept the sign of {}", self.short(&term.value, "a term")),
            None => "had all the signs the wrong way round".to_owned(),
        }
    }

    fn one_term(&self, slip: &Slip, did: &str) -> String {
        match &slip.operation {
            Some(
                Operation::MultiplyBothSides(factor)
                | Operation::DivideBothSides(factor)
                | Operation::ClearFractions(factor),
            ) => {
                let what = if slip.right == slip.wrong {
                    "side"
                } else {
                    "term"
                };
                format!(
                    "{did} one {what} only by {}",
                    self.short(factor, "a factor")
                )
            }
            _ => format!("{did} one term only"),
        }
    }

    fn multiplied(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::DivideBothSides(factor)) => {
                format!(
                    "multiplied by {} instead of dividing",
                    self.short(factor, "a factor")
                )
            }
            Some(Operation::MultiplyBothSides(factor)) => {
                format!(
                    "divided by {} instead of multiplying",
                    self.short(factor, "a factor")
                )
            }
            _ => match moved_factor(&slip.right, &slip.wrong) {
                Some(factor) if factor.divides => format!(
                    "multiplied by {} instead of dividing",
                    self.short(&factor.value, "a factor")
                ),
                Some(factor) => format!(
                    "divided by {} instead of multiplying",
                    self.short(&factor.value, "a factor")
                ),
                None => "multiplied where dividing undoes it, or the reverse".to_owned(),
            },
        }
    }

    fn inverse_forgotten(&self, slip: &Slip) -> String {
        let needed = match (&slip.operation, &slip.right) {
            (Some(Operation::ApplyInverse(function) | Operation::TakeLogarithms(function)), _)
            | (None, Expr::Call(function, _)) => Some(*function),
            _ => None,
        };
        match needed.map(Function::name) {
            Some(name) => format!("did not take {name} to free {}", self.subject()),
            None => format!("left {} inside the function", self.subject()),
        }
    }
}

/// What was done in a line of a proof where it first went wrong.
#[must_use]
pub fn line_of_proof(kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::DoesNotFollow => Some("wrote a line that does not follow"),
        Kind::NotGiven(_) => Some("used a formula that is not given"),
        Kind::Circular => Some("used what is to be shown"),
        Kind::Leap => Some("left out a line between"),
        Kind::Unreadable => Some("wrote a line that can't be read"),
        Kind::Follows | Kind::Repeats | Kind::Defines(_) | Kind::Undecided(_) => None,
    }
}
