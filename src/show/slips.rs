//! A slip in words, with the student's letters: what happened, and what it
//! should have been.

use crate::algebra::expr::{Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::balance::Imbalance;
use crate::reason::slip::{Explanation, Slip, SlipKind};
use crate::reason::step::Operation;

use super::line::{Spelling, line};

/// How an answer does not balance, in a sentence that says both dimensions.
#[must_use]
pub fn imbalance_words(imbalance: &Imbalance) -> String {
    match imbalance {
        Imbalance::Sides { left, right } => format!(
            "The dimensions don't match: the left side is in {}, the right side in {}.",
            left.describe(),
            right.describe()
        ),
        Imbalance::Terms { first, other, .. } => format!(
            "The dimensions don't match: a term in {} stands beside one in {}.",
            other.describe(),
            first.describe()
        ),
        Imbalance::Argument {
            function,
            dimension,
        } => format!(
            "What {} acts on must have no unit; here it is in {}.",
            function.name(),
            dimension.describe()
        ),
        Imbalance::Exponent { dimension } => format!(
            "An exponent must have no unit; here it is in {}.",
            dimension.describe()
        ),
        Imbalance::Logarithms { dimension } => format!(
            "What a logarithm takes must have no unit; {} is left over here.",
            dimension.describe()
        ),
    }
}

/// Which other formula an answer belongs to; `formula` as its sheet has it.
#[must_use]
pub fn another_formula(formula: &str) -> String {
    format!("This comes from another formula, {formula}; the question is about this one.")
}

/// A slip's name in plain words, to go after "what came up": `a root
/// forgotten`.
#[must_use]
pub fn kind_words(kind: SlipKind) -> &'static str {
    match kind {
        SlipKind::SignNotChanged => "a sign that did not change",
        SlipKind::MinusNotShared => "a minus that stopped at the first term of a bracket",
        SlipKind::OneTermDivided => "only one term divided",
        SlipKind::OneTermMultiplied => "only one term multiplied",
        SlipKind::OneFactorPowered => "a power of only one factor",
        SlipKind::PowerSharedOverSum => "a power taken term by term",
        SlipKind::RootSharedOverSum => "a root taken term by term",
        SlipKind::RootPartlyTaken => "a root over only a part",
        SlipKind::RootForgotten => "a root forgotten",
        SlipKind::RootForSquare => "a root where a power was needed, or the reverse",
        SlipKind::WrongRootIndex => "another root or power than the one needed",
        SlipKind::ReciprocalSharedOverSum => "a reciprocal taken term by term",
        SlipKind::ReciprocalForgotten => "a reciprocal forgotten",
        SlipKind::FractionInverted => "a fraction upside down",
        SlipKind::MultipliedForDivided => "multiplying where dividing was needed, or the reverse",
        SlipKind::SubtractedForDivided => "subtracting where dividing was needed, or the reverse",
        SlipKind::OrderOfUndoing => "undoing in the wrong order",
        SlipKind::CoefficientLost => "a number lost",
        SlipKind::CoefficientFlipped => "a number on the wrong side of a fraction",
        SlipKind::SquareLost => "a power lost",
        SlipKind::TermCancelled => "a term cancelled as if it were a factor",
        SlipKind::UnlikeTermsJoined => "unlike terms joined",
        SlipKind::SubjectBothSides => "the subject left on both sides",
        SlipKind::FactorNotCollected => "the subject not taken out as a factor",
        SlipKind::FunctionAsFactor => "a function treated as a factor",
        SlipKind::InverseAsReciprocal => "an inverse function taken for a reciprocal",
        SlipKind::InverseFunctionForgotten => "an inverse function forgotten",
        SlipKind::LogOfSumSplit => "the logarithm of a sum split",
        SlipKind::LogQuotientWrong => "the logarithm of a quotient",
        SlipKind::ExponentSignLost => "the minus of an exponent lost",
        SlipKind::ExponentBroughtDown => "an exponent brought down without a logarithm",
        SlipKind::PowerOfProductOfPowers => "exponents added where they multiply, or the reverse",
        SlipKind::WrongLetter => "another quantity's letter",
        SlipKind::SwappedPair => "two quantities that changed places",
        SlipKind::WrongSubject => "another subject than the one asked for",
        SlipKind::RadiusDiameter => "radius and diameter mixed up",
        SlipKind::ConstantRounded => "a constant rounded",
        SlipKind::FunctionPartlyTaken => "a function of only a part",
        SlipKind::TermLost => "a term lost",
        SlipKind::FactorLost => "a factor lost",
        SlipKind::PowerAsFactor => "a power treated as a factor",
        SlipKind::PowerTooWide => "a power of more than it belongs to",
        SlipKind::ProportionInverted => "direct and inverse proportion mixed up",
        SlipKind::ChangeLeftOut => "one of the changes left out",
        SlipKind::ChangeForValue => "the change taken for the new value",
    }
}

/// What the words need to know.
#[derive(Debug, Clone, Copy)]
pub struct Remarks<'a> {
    /// The letters.
    pub table: &'a SymbolTable,
    /// Which characters may be used.
    pub spelling: Spelling,
    /// The symbol asked for.
    pub subject: Symbol,
}

impl Remarks<'_> {
    fn maths(&self, expr: &Expr) -> String {
        line(&arranged(expr), self.table, self.spelling)
    }

    fn minus(&self) -> &'static str {
        match self.spelling {
            Spelling::Unicode => "−",
            Spelling::Ascii => "-",
        }
    }

    fn subject(&self) -> String {
        self.maths(&Expr::Symbol(self.subject))
    }

    /// What explains an answer, in a sentence or two.
    #[must_use]
    pub fn explanation(&self, explanation: &Explanation) -> String {
        match &explanation.slips[..] {
            [first, second] => format!(
                "Two things at once. {} {}",
                self.remark(first),
                self.remark(second)
            ),
            slips => slips
                .iter()
                .map(|slip| self.remark(slip))
                .collect::<Vec<_>>()
                .join(" "),
        }
    }

    /// One slip in a sentence.
    #[must_use]
    pub fn remark(&self, slip: &Slip) -> String {
        let (right, wrong) = (self.maths(&as_it_should_be(slip)), self.maths(&slip.wrong));
        let became = format!("{right} is not {wrong}");
        match slip.kind {
            SlipKind::SignNotChanged => self.sign(slip),
            SlipKind::MinusNotShared => {
                format!("The minus in front of the bracket belongs to every term in it: {became}.")
            }
            SlipKind::OneTermDivided => self.one_term(slip, "Divide every term, not one alone"),
            SlipKind::OneTermMultiplied => {
                self.one_term(slip, "Multiply every term, not one alone")
            }
            SlipKind::OneFactorPowered => {
                format!("The power belongs to every factor in the bracket: {became}.")
            }
            SlipKind::PowerSharedOverSum => {
                format!("A power can't be taken term by term: {became}.")
            }
            SlipKind::RootSharedOverSum => {
                format!("A root can't be taken term by term: {became}.")
            }
            SlipKind::RootPartlyTaken => {
                format!("The root covers all of it: {became}.")
            }
            SlipKind::RootForgotten => self.root_forgotten(slip),
            SlipKind::RootForSquare => self.root_for_square(slip),
            SlipKind::WrongRootIndex => format!("Look at which root is needed: {became}."),
            SlipKind::ReciprocalSharedOverSum => {
                "One over a sum is not the sum of the reciprocals: add first, then turn over."
                    .to_owned()
            }
            SlipKind::ReciprocalForgotten => {
                format!("That is 1/{}: turn it over at the end.", self.subject())
            }
            SlipKind::FractionInverted => self.inverted(slip),
            SlipKind::MultipliedForDivided => self.multiplied(slip),
            SlipKind::SubtractedForDivided => self.subtracted(slip),
            SlipKind::OrderOfUndoing => self.order(slip),
            SlipKind::CoefficientLost if changed_number(&slip.wrong, &slip.right).is_some() => {
                format!("A number has changed on the way: {became}.")
            }
            SlipKind::CoefficientLost => match changed_number(&slip.right, &slip.wrong) {
                Some(lost) => format!("The {} has been lost on the way.", self.maths(&lost)),
                None => "A number has been lost on the way.".to_owned(),
            },
            SlipKind::CoefficientFlipped => match changed_number(&slip.right, &slip.wrong) {
                Some(moved) => format!(
                    "The {} is on the wrong side of the fraction: what multiplies on one side \
                     divides on the other.",
                    self.maths(&moved)
                ),
                None => "A number is on the wrong side of the fraction.".to_owned(),
            },
            SlipKind::SquareLost => match &slip.operation {
                Some(Operation::RaiseToPower(power)) => {
                    format!(
                        "The power {power} was not taken on this side: it belongs to the whole of \
                         {right}."
                    )
                }
                _ => format!("A power has been lost: {right} became {wrong}."),
            },
            SlipKind::TermCancelled => {
                format!("Only a factor of the whole can be cancelled, not one term: {became}.")
            }
            SlipKind::UnlikeTermsJoined => {
                format!("These terms are not alike and can't be joined: {became}.")
            }
            SlipKind::SubjectBothSides => format!(
                "{} is still on the other side: bring its terms together and take {} out as a \
                 factor.",
                self.subject(),
                self.subject()
            ),
            SlipKind::FactorNotCollected => format!(
                "{} is in more than one term: take it out as a factor first, then divide by the \
                 whole bracket.",
                self.subject()
            ),
            SlipKind::FunctionAsFactor => {
                format!("A function is not a factor and can't be cancelled or dropped: {became}.")
            }
            SlipKind::InverseAsReciprocal => {
                format!("The inverse function is not one over the function: {became}.")
            }
            SlipKind::InverseFunctionForgotten => self.inverse_forgotten(slip),
            SlipKind::LogOfSumSplit => {
                format!("The logarithm of a sum can't be split: {became}.")
            }
            SlipKind::LogQuotientWrong => {
                format!("The logarithm of a quotient is a difference of logarithms: {became}.")
            }
            SlipKind::ExponentSignLost => {
                "The sign of the exponent has changed on the way.".to_owned()
            }
            SlipKind::ExponentBroughtDown if slip.right == slip.wrong => format!(
                "An exponent comes down only by taking logarithms: take them of {right} too."
            ),
            SlipKind::ExponentBroughtDown => {
                format!("An exponent comes down only by taking logarithms: {became}.")
            }
            SlipKind::PowerOfProductOfPowers => format!(
                "A power of a power multiplies the exponents, a product of powers adds them: \
                 {became}."
            ),
            SlipKind::WrongLetter => format!("{wrong} stands where {right} should be."),
            SlipKind::SwappedPair => self.swapped(slip),
            // The verdict has said already what was asked for.
            SlipKind::WrongSubject => format!("As a rearrangement for {wrong} it is right."),
            SlipKind::RadiusDiameter => {
                "A radius and a diameter have been mixed up: the diameter is twice the radius."
                    .to_owned()
            }
            SlipKind::ConstantRounded if slip.right != slip.wrong => {
                // A rounded number is shown as a decimal, as it was typed.
                let wrong = match &slip.wrong {
                    Expr::Number(number) => number.to_f64().to_string(),
                    _ => wrong,
                };
                format!("{wrong} stands where {right} should be; keep the symbol, which is exact.")
            }
            SlipKind::ConstantRounded => {
                "A constant was replaced by a rounded number; keep the symbol, which is exact."
                    .to_owned()
            }
            SlipKind::FunctionPartlyTaken => {
                format!("The function takes in the whole of its argument: {became}.")
            }
            SlipKind::TermLost => match lost_term(&slip.right, &slip.wrong) {
                Some(term) => format!("The term {} has been lost on the way.", self.maths(&term)),
                None => "A term has been lost on the way.".to_owned(),
            },
            SlipKind::FactorLost => match lost_factor(&slip.right, &slip.wrong) {
                Some(factor) => {
                    format!(
                        "The factor {} has been lost on the way.",
                        self.maths(&factor)
                    )
                }
                None => "A factor has been lost on the way.".to_owned(),
            },
            SlipKind::PowerTooWide => {
                format!("The power belongs to one factor alone: {became}.")
            }
            SlipKind::PowerAsFactor => match &slip.operation {
                Some(Operation::RaiseToPower(power)) => {
                    format!("Raising to the power {power} is not multiplying by {power}.")
                }
                Some(Operation::TakeRoot { index, .. }) => {
                    format!("A power {index} is undone by a root, not by dividing by {index}.")
                }
                _ => "A power is not a factor.".to_owned(),
            },
            SlipKind::ProportionInverted | SlipKind::ChangeLeftOut | SlipKind::ChangeForValue => {
                format!("There is {} here.", kind_words(slip.kind))
            }
        }
    }

    fn crossed(&self, term: &Expr, sign: Sign) -> String {
        let value = self.maths(term);
        let several = matches!(term, Expr::Sum(terms) if terms.len() > 1);
        let whole = if several {
            format!("({value})")
        } else {
            value.clone()
        };
        let becomes = match sign {
            Sign::Minus => format!("{} {whole}", self.minus()),
            _ => format!("+ {whole}"),
        };
        let each = if several {
            ", so each sign in it changes"
        } else {
            ""
        };
        format!("{value} crossed the equals sign: it becomes {becomes}{each}.")
    }

    fn sign(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::SubtractFromBothSides(moved)) => {
                return self.crossed(moved, Sign::Minus);
            }
            Some(Operation::AddToBothSides(moved)) => return self.crossed(moved, Sign::Plus),
            Some(Operation::ChangeSigns) => {
                return "Changing the sign of one side changes the other side's too.".to_owned();
            }
            _ => {}
        }
        match flipped_term(&slip.right, &slip.wrong) {
            Some(Term { sign, value }) => {
                let shown = match sign {
                    Sign::Minus => format!("{} {}", self.minus(), self.maths(&value)),
                    _ => format!("+ {}", self.maths(&value)),
                };
                format!(
                    "Look at the sign of {}: a term that crosses the equals sign changes its \
                     sign, and here it should be {shown}.",
                    self.maths(&value)
                )
            }
            None => "The signs are all the wrong way round: a term that crosses the equals sign \
                     changes its sign."
                .to_owned(),
        }
    }

    fn one_term(&self, slip: &Slip, advice: &str) -> String {
        match &slip.operation {
            Some(
                Operation::MultiplyBothSides(factor)
                | Operation::DivideBothSides(factor)
                | Operation::ClearFractions(factor),
            ) if slip.right == slip.wrong => format!(
                "Multiply both sides by {}: this side was left as it was.",
                self.maths(factor)
            ),
            Some(
                Operation::MultiplyBothSides(factor)
                | Operation::DivideBothSides(factor)
                | Operation::ClearFractions(factor),
            ) => {
                let verb = if slip.kind == SlipKind::OneTermDivided {
                    "Divide"
                } else {
                    "Multiply"
                };
                format!(
                    "{verb} every term by {}, not one alone.",
                    self.maths(factor)
                )
            }
            _ if slip.kind == SlipKind::OneTermDivided
                && slip.right.contains(self.subject) | slip.wrong.contains(self.subject) =>
            {
                "Dividing divides every term, not one alone.".to_owned()
            }
            _ if slip.kind == SlipKind::OneTermMultiplied
                && slip.right.contains(self.subject) | slip.wrong.contains(self.subject) =>
            {
                "Clearing a fraction multiplies every term, not one alone.".to_owned()
            }
            _ => format!(
                "{advice}: {} is not {}.",
                self.maths(&slip.right),
                self.maths(&slip.wrong)
            ),
        }
    }

    fn root_forgotten(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::TakeRoot { index, .. }) => {
                let kind = match index {
                    2 => "square root".to_owned(),
                    3 => "cube root".to_owned(),
                    n => format!("{n}th root"),
                };
                format!("The {kind} has not been taken: both sides need it.")
            }
            _ => format!(
                "The root has been forgotten: this should be {}.",
                self.maths(&slip.right)
            ),
        }
    }

    fn root_for_square(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::RaiseToPower(power)) => {
                format!("A root is undone by the power {power}; here a root was taken again.")
            }
            Some(Operation::TakeRoot { .. }) => {
                "A power is undone by a root; here the power was taken again.".to_owned()
            }
            _ => format!(
                "A root and a power have been mixed up: {} is not {}.",
                self.maths(&slip.right),
                self.maths(&slip.wrong)
            ),
        }
    }

    fn inverted(&self, slip: &Slip) -> String {
        if !are_reciprocals(&slip.right, &slip.wrong) {
            return "A fraction is upside down.".to_owned();
        }
        format!(
            "The fraction is upside down: {}, not {}.",
            self.maths(&slip.right),
            self.maths(&slip.wrong)
        )
    }

    fn multiplied(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::DivideBothSides(factor)) => format!(
                "{} multiplies {}, so divide by it to undo that.",
                self.maths(factor),
                self.subject()
            ),
            Some(Operation::MultiplyBothSides(factor)) => format!(
                "Dividing by {} is undone by multiplying by it.",
                self.maths(factor)
            ),
            _ => match moved_factor(&slip.right, &slip.wrong) {
                // What is right may itself stand under a slash, so "multiply"
                // or "divide" alone would not be true of the whole answer.
                Some(Factor { value, .. }) => format!(
                    "Look at {}, which is on the wrong side of the fraction line: {}, not {}.",
                    self.maths(&value),
                    self.maths(&slip.right),
                    self.maths(&slip.wrong)
                ),
                None => format!(
                    "Multiplying is undone by dividing, and the reverse: {}, not {}.",
                    self.maths(&slip.right),
                    self.maths(&slip.wrong)
                ),
            },
        }
    }

    fn subtracted(&self, slip: &Slip) -> String {
        match &slip.operation {
            Some(Operation::DivideBothSides(factor)) => format!(
                "{} is a factor: divide by it, don't subtract it.",
                self.maths(factor)
            ),
            Some(Operation::SubtractFromBothSides(term)) => format!(
                "{} is a term: subtract it, don't divide by it.",
                self.maths(term)
            ),
            Some(Operation::MultiplyBothSides(factor)) => format!(
                "{} divides: multiply by it, don't add it.",
                self.maths(factor)
            ),
            _ => format!(
                "A factor is undone by dividing, not by subtracting: {}, not {}.",
                self.maths(&slip.right),
                self.maths(&slip.wrong)
            ),
        }
    }

    fn order(&self, slip: &Slip) -> String {
        let name = |operation: &Operation| match operation {
            Operation::AddToBothSides(expr) => format!("add {}", self.maths(expr)),
            Operation::SubtractFromBothSides(expr) => format!("subtract {}", self.maths(expr)),
            Operation::MultiplyBothSides(expr) => format!("multiply by {}", self.maths(expr)),
            Operation::DivideBothSides(expr) => format!("divide by {}", self.maths(expr)),
            Operation::RaiseToPower(power) => format!("raise to the power {power}"),
            Operation::TakeRoot { .. } => "take the root".to_owned(),
            Operation::TakeReciprocals => "turn both sides over".to_owned(),
            Operation::ApplyInverse(Function::Ln) | Operation::TakeLogarithms(_) => {
                "take logarithms".to_owned()
            }
            Operation::ApplyInverse(function) => format!("take {}", function.name()),
            _ => "undo the outer part".to_owned(),
        };
        match (&slip.operation, &slip.other_operation) {
            (Some(late), Some(early)) => format!(
                "Undo the outermost operation first: {}, and only later {}.",
                name(early),
                name(late)
            ),
            _ => "Undo the outermost operation first.".to_owned(),
        }
    }

    fn inverse_forgotten(&self, slip: &Slip) -> String {
        let needed = match (&slip.operation, &slip.right) {
            (Some(Operation::ApplyInverse(function) | Operation::TakeLogarithms(function)), _)
            | (None, Expr::Call(function, _)) => Some(*function),
            _ => None,
        };
        match needed {
            Some(function) => format!(
                "{} is still inside: take {} of the other side.",
                self.subject(),
                function.name()
            ),
            None => format!("{} is still inside the function.", self.subject()),
        }
    }

    fn swapped(&self, slip: &Slip) -> String {
        match (&slip.operation, &slip.right, &slip.wrong) {
            (None, Expr::Symbol(_), Expr::Symbol(_)) => format!(
                "{} and {} have changed places.",
                self.maths(&slip.right),
                self.maths(&slip.wrong)
            ),
            (Some(Operation::SubtractFromBothSides(moved)), right, _) => format!(
                "The difference is the wrong way round: {}, not {}.",
                self.maths(&Expr::sub(right.clone(), moved.clone())),
                self.maths(&slip.wrong)
            ),
            _ => format!(
                "The difference is the wrong way round: {}, not {}.",
                self.maths(&slip.right),
                self.maths(&slip.wrong)
            ),
        }
    }
}

/// The piece that a slip got wrong, with what was to be done to it: a side of
/// which a root was to be taken is shown under that root.
fn as_it_should_be(slip: &Slip) -> Expr {
    let right = slip.right.clone();
    match (slip.kind, &slip.operation) {
        (
            SlipKind::RootPartlyTaken | SlipKind::RootSharedOverSum | SlipKind::WrongRootIndex,
            Some(Operation::TakeRoot { index, .. }),
        ) => match index {
            2 => Expr::call(Function::Sqrt, right),
            other => Expr::pow(right, Expr::Number(Number::new(1, i64::from(*other)))),
        },
        (
            SlipKind::OneFactorPowered | SlipKind::PowerSharedOverSum | SlipKind::WrongRootIndex,
            Some(Operation::RaiseToPower(power)),
        ) => Expr::pow(right, Expr::Number(power.clone())),
        _ => right,
    }
}

/// The same with every product as one fraction, its numbers first: `T^2/2/π`
/// as `T^2/(2π)`.
fn arranged(expr: &Expr) -> Expr {
    let Expr::Product(_) = expr else {
        return expr.map_children(arranged);
    };
    let mut factors = flat_factors(expr);
    for factor in &mut factors {
        factor.value = factor.value.map_children(arranged);
    }
    factors.sort_by_key(|factor| !matches!(factor.value, Expr::Number(_)));
    let (below, mut above): (Vec<Factor>, Vec<Factor>) =
        factors.into_iter().partition(|factor| factor.divides);
    above.retain(|factor| !matches!(&factor.value, Expr::Number(number) if number.is_one()));
    if above.is_empty() {
        above.push(Factor {
            divides: false,
            value: Expr::integer(1),
        });
    }
    let joined = |mut factors: Vec<Factor>| {
        if factors.len() == 1 {
            return factors.remove(0).value;
        }
        for factor in &mut factors {
            factor.divides = false;
        }
        Expr::Product(factors)
    };
    if below.is_empty() {
        return joined(above);
    }
    Expr::div(joined(above), joined(below))
}

fn sum_terms(expr: &Expr) -> Vec<Term> {
    match expr {
        Expr::Sum(terms) => terms.clone(),
        other => vec![Term {
            sign: Sign::Plus,
            value: other.clone(),
        }],
    }
}

/// The one term of `right` that has another sign in `wrong`.
pub(super) fn flipped_term(right: &Expr, wrong: &Expr) -> Option<Term> {
    let (first, second) = (sum_terms(right), sum_terms(wrong));
    if first.len() != second.len() {
        return None;
    }
    let mut changed = first
        .into_iter()
        .zip(second)
        .filter(|(one, two)| one.sign != two.sign && one.value == two.value);
    match (changed.next(), changed.next()) {
        (Some((term, _)), None) => Some(term),
        _ => None,
    }
}

pub(super) fn lost_term(right: &Expr, wrong: &Expr) -> Option<Expr> {
    let left = sum_terms(wrong);
    sum_terms(right)
        .into_iter()
        .find(|term| !left.contains(term))
        .map(|term| term.value)
}

fn flat(expr: &Expr, divides: bool, found: &mut Vec<Factor>) {
    match expr {
        Expr::Product(own) => {
            for factor in own {
                flat(&factor.value, divides != factor.divides, found);
            }
        }
        other => found.push(Factor {
            divides,
            value: other.clone(),
        }),
    }
}

fn flat_factors(expr: &Expr) -> Vec<Factor> {
    let mut found = Vec::new();
    flat(expr, false, &mut found);
    found
}

pub(super) fn lost_factor(right: &Expr, wrong: &Expr) -> Option<Expr> {
    let left = flat_factors(wrong);
    flat_factors(right)
        .into_iter()
        .find(|factor| !left.contains(factor))
        .map(|factor| factor.value)
}

/// The numbers of `right` that `wrong` lacks, or has on the other side.
pub(super) fn changed_number(right: &Expr, wrong: &Expr) -> Option<Expr> {
    let left = flat_factors(wrong);
    let gone: Vec<Factor> = flat_factors(right)
        .into_iter()
        .filter(|factor| factor.value.symbols().is_empty() && !left.contains(factor))
        .collect();
    let (first, rest) = gone.split_first()?;
    Some(rest.iter().fold(first.value.clone(), |product, factor| {
        if factor.divides == first.divides {
            Expr::mul(product, factor.value.clone())
        } else {
            Expr::div(product, factor.value.clone())
        }
    }))
}

/// Whether one is the other with each factor on the other side.
fn are_reciprocals(right: &Expr, wrong: &Expr) -> bool {
    let turned = |factor: &Factor| Factor {
        divides: !factor.divides,
        value: factor.value.clone(),
    };
    let one = |factor: &Factor| factor.value == Expr::integer(1);
    let factors = |expr: &Expr| {
        let mut own = flat_factors(expr);
        own.retain(|factor| !one(factor));
        own
    };
    let (right, wrong) = (factors(right), factors(wrong));
    right.len() == wrong.len() && right.iter().all(|factor| wrong.contains(&turned(factor)))
}

/// The one factor that is on the other side of the fraction.
pub(super) fn moved_factor(right: &Expr, wrong: &Expr) -> Option<Factor> {
    let left = flat_factors(wrong);
    let mut moved = flat_factors(right).into_iter().filter(|factor| {
        left.contains(&Factor {
            divides: !factor.divides,
            value: factor.value.clone(),
        }) && !left.contains(factor)
    });
    match (moved.next(), moved.next()) {
        (Some(factor), None) => Some(factor),
        _ => None,
    }
}
