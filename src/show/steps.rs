//! A worked step in words, with the student's letters.

use crate::algebra::expr::{Equation, Expr, Function, Sign};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::reason::isolate::{Dropped, NoForm};
use crate::reason::step::{
    Condition, DropReason, Hint, Identity, Obstacle, Operation, Roots, Step,
};

use super::line::{self, Spelling, line};

/// What the words need to know.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The letters.
    pub table: &'a SymbolTable,
    /// Which characters may be used.
    pub spelling: Spelling,
    /// The subject.
    pub subject: Symbol,
}

impl Words<'_> {
    fn maths(&self, expr: &Expr) -> String {
        line(expr, self.table, self.spelling)
    }

    fn subject(&self) -> String {
        self.maths(&Expr::Symbol(self.subject))
    }

    fn pi(&self) -> &'static str {
        match self.spelling {
            Spelling::Unicode => "π",
            Spelling::Ascii => "pi",
        }
    }

    /// The step as a sentence: what to do, and what it needs.
    #[must_use]
    pub fn sentence(&self, step: &Step) -> String {
        let mut told = self.operation(&step.operation, Some(&step.equation));
        let needs: Vec<String> = step
            .conditions
            .iter()
            .map(|condition| self.condition(condition))
            .collect();
        if !needs.is_empty() {
            told.push_str(&format!(" ({})", needs.join(", ")));
        }
        told.push('.');
        told
    }

    /// The equation after a step.
    #[must_use]
    pub fn equation(&self, equation: &Equation) -> String {
        line::equation(equation, self.table, self.spelling)
    }

    /// A condition, such as `s is not 0`.
    #[must_use]
    pub fn condition(&self, condition: &Condition) -> String {
        condition_words(condition, self.table, self.spelling)
    }

    /// What to do, without the full stop. The equation after it tells which
    /// quantity a root is of.
    fn operation(&self, operation: &Operation, after: Option<&Equation>) -> String {
        match operation {
            Operation::SwapSides => "Swap the sides".to_owned(),
            Operation::AddToBothSides(expr) => {
                format!("Add {} to both sides", self.maths(expr))
            }
            Operation::SubtractFromBothSides(expr) => {
                format!("Subtract {} from both sides", self.maths(expr))
            }
            Operation::MultiplyBothSides(expr) => {
                format!("Multiply both sides by {}", self.maths(expr))
            }
            Operation::DivideBothSides(expr) => {
                format!("Divide both sides by {}", self.maths(expr))
            }
            Operation::ChangeSigns => "Change the sign of both sides".to_owned(),
            Operation::ClearFractions(expr) => {
                format!(
                    "Multiply every term by {} to clear the fractions",
                    self.maths(expr)
                )
            }
            Operation::RaiseToPower(power) => raise(power),
            Operation::RaiseToSymbolicPower(power) => {
                format!("Raise both sides to the power {}", self.maths(power))
            }
            Operation::TakeRoot { index, roots } => self.root(*index, *roots, after),
            Operation::TakeReciprocals => "Take the reciprocal of both sides".to_owned(),
            Operation::ApplyInverse(function) => apply(*function).to_owned(),
            Operation::RemoveAbsolute(_) => {
                "Without the modulus sign, what was inside is plus or minus the other side"
                    .to_owned()
            }
            Operation::TakeLogarithms(_) => {
                "Take natural logarithms of both sides and bring the exponent down as a factor"
                    .to_owned()
            }
            Operation::RaiseTenToBothSides => "Raise ten to the power of each side".to_owned(),
            Operation::ExpandBrackets => "Multiply out the brackets".to_owned(),
            Operation::CombineFractions => "Put the fractions over one denominator".to_owned(),
            Operation::CollectTerms(unknown) => {
                format!("Collect the terms in powers of {}", self.maths(unknown))
            }
            Operation::FactorOut(expr) => {
                format!("Take {} out as a factor", self.maths(expr))
            }
            Operation::QuadraticFormula { unknown, a, b, c } => format!(
                "This is a quadratic in {}: use the quadratic formula with {}, {} and {} as the \
                 coefficients",
                self.maths(unknown),
                self.maths(a),
                self.maths(b),
                self.maths(c)
            ),
            Operation::CubicFormula { unknown, .. } => format!(
                "This is a cubic in {} with one real root: use the cubic formula",
                self.maths(unknown)
            ),
            Operation::ZeroFactor(factor) => format!(
                "Every term has the factor {}, so {} = 0 is one solution",
                self.maths(factor),
                self.maths(factor)
            ),
            Operation::OtherAngle(_) => format!(
                "{} minus an angle has the same sine: that is the other angle",
                self.pi()
            ),
            Operation::Rewrite(identity) => self.identity(*identity).to_owned(),
            Operation::TakeSign(sign) => format!("Take the case with the {} sign", name(*sign)),
            Operation::KeepSign(sign, reason) => {
                format!(
                    "{}, so keep the {} sign",
                    self.because(*reason),
                    name(*sign)
                )
            }
        }
    }

    fn root(&self, index: u32, roots: Roots, after: Option<&Equation>) -> String {
        let kind = match index {
            2 => "square root".to_owned(),
            3 => "cube root".to_owned(),
            4 => "fourth root".to_owned(),
            5 => "fifth root".to_owned(),
            n => format!("{n}th root"),
        };
        let mut told = format!("Take the {kind} of both sides");
        let base = after.and_then(|equation| {
            [&equation.left, &equation.right]
                .into_iter()
                .find(|side| side.contains(self.subject))
        });
        match (roots, base) {
            (Roots::Positive, Some(Expr::Symbol(symbol))) => {
                let known = match self.table.domain(*symbol) {
                    Domain::Nonnegative => "is not negative",
                    _ => "is positive",
                };
                told.push_str(&format!(
                    "; {} {known}, so the positive root",
                    self.maths(&Expr::Symbol(*symbol))
                ));
            }
            (Roots::Positive, _) => told.push_str("; both sides are positive"),
            (Roots::Both, _) => told.push_str("; the root may have either sign"),
            (Roots::Only, _) => {}
        }
        told
    }

    fn identity(&self, identity: Identity) -> &'static str {
        match identity {
            Identity::LogOfReciprocal => "Use -ln(a/b) = ln(b/a)",
            Identity::DoubleAngle => "Use sin x cos x = 1/2 sin 2x",
            Identity::SineAndCosine => "Use that the squares of sine and cosine add up to 1",
            Identity::SecantAndTangent => match self.spelling {
                Spelling::Unicode => "Use 1/cos² x = 1 + tan² x",
                Spelling::Ascii => "Use 1/cos^2 x = 1 + tan^2 x",
            },
            Identity::QuotientOfSineAndCosine => "Write it in sine and cosine",
            Identity::HarmonicForm => "Write the sine and cosine terms as one sine",
            Identity::LowestTerms => "Cancel what is common",
            Identity::Exponentials => "Write it in exponentials",
        }
    }

    /// Why a root is left out, as the beginning of a sentence.
    fn because(&self, reason: DropReason) -> String {
        let subject = self.subject();
        match reason {
            DropReason::NotPositive => format!("{subject} is positive"),
            DropReason::OutsideDomain => {
                format!("The other sign gives a value outside the range of {subject}")
            }
            DropReason::Introduced => {
                "The other sign came in by squaring and does not fit the formula".to_owned()
            }
        }
    }

    /// A root that was left out, in a sentence.
    #[must_use]
    pub fn dropped(&self, dropped: &Dropped) -> String {
        let (subject, value) = (self.subject(), self.maths(&dropped.value));
        match dropped.reason {
            DropReason::NotPositive => {
                format!("{subject} = {value} is left out: {subject} is positive.")
            }
            DropReason::OutsideDomain => {
                format!("{subject} = {value} is left out: it is outside the range of {subject}.")
            }
            DropReason::Introduced => format!(
                "{subject} = {value} is left out: it came in by squaring and does not fit the \
                 formula."
            ),
        }
    }

    /// Why there is no closed form, in a sentence.
    #[must_use]
    pub fn no_form(&self, reason: NoForm) -> String {
        let subject = self.subject();
        match reason {
            NoForm::Absent => format!("{subject} is not in the formula."),
            NoForm::Cancels => format!("{subject} cancels out of the formula."),
            NoForm::NoMethod => format!("There is no way known here to free {subject}."),
            NoForm::NoSolution => format!("No value of {subject} fits the formula."),
        }
    }

    /// A hint in a sentence.
    #[must_use]
    pub fn hint(&self, hint: &Hint) -> String {
        match hint {
            Hint::Nudge(obstacle) => self.nudge(*obstacle),
            Hint::Operation(operation) => format!("{}.", self.operation(operation, None)),
            Hint::Line(equation) => self.equation(equation),
        }
    }

    fn nudge(&self, obstacle: Obstacle) -> String {
        let subject = self.subject();
        match obstacle {
            Obstacle::Right => format!("{subject} stands alone already, on the right."),
            Obstacle::Term => {
                format!("Something is added to the part with {subject}, or taken from it.")
            }
            Obstacle::Factor => format!("The part with {subject} is multiplied by something."),
            Obstacle::Denominator => "There is a fraction in the way.".to_owned(),
            Obstacle::Minus => format!("There is a minus in front of the part with {subject}."),
            Obstacle::Power => format!("The part with {subject} is raised to a power."),
            Obstacle::Root => format!("{subject} is under a root."),
            Obstacle::Function => format!("{subject} is inside a function. What undoes it?"),
            Obstacle::Exponent => format!("{subject} is in an exponent. What brings it down?"),
            Obstacle::Several => format!("{subject} appears more than once."),
            Obstacle::Brackets => format!("{subject} is inside brackets."),
            Obstacle::Quadratic => {
                format!("{subject} appears in more than one power. What kind of equation is it?")
            }
            Obstacle::Sign => "There is a sign to choose.".to_owned(),
            Obstacle::Form => "One side can be written in a better form.".to_owned(),
        }
    }
}

fn name(sign: Sign) -> &'static str {
    match sign {
        Sign::Plus | Sign::PlusMinus => "plus",
        Sign::Minus | Sign::MinusPlus => "minus",
    }
}

fn raise(power: &Number) -> String {
    match power.to_i64() {
        Some(2) => "Square both sides".to_owned(),
        Some(3) => "Cube both sides".to_owned(),
        _ => format!("Raise both sides to the power {power}"),
    }
}

fn apply(function: Function) -> &'static str {
    match function {
        Function::Ln => "Take natural logarithms of both sides",
        Function::Log10 => "Take logarithms to base ten of both sides",
        Function::Exp => "Raise e to the power of each side",
        Function::Arcsin => "Take the inverse sine of both sides",
        Function::Arccos => "Take the inverse cosine of both sides",
        Function::Arctan => "Take the inverse tangent of both sides",
        Function::Sin => "Take the sine of both sides",
        Function::Cos => "Take the cosine of both sides",
        Function::Tan => "Take the tangent of both sides",
        Function::Sinh => "Take the hyperbolic sine of both sides",
        Function::Cosh => "Take the hyperbolic cosine of both sides",
        Function::Tanh => "Take the hyperbolic tangent of both sides",
        Function::Arsinh => "Take the inverse hyperbolic sine of both sides",
        Function::Arcosh => "Take the inverse hyperbolic cosine of both sides",
        Function::Artanh => "Take the inverse hyperbolic tangent of both sides",
        Function::Sqrt => "Take the square root of both sides",
        Function::Cbrt => "Take the cube root of both sides",
        Function::Abs => "Take the modulus of both sides",
        Function::Sec => "Take the secant of both sides",
        Function::Cosec => "Take the cosecant of both sides",
        Function::Cot => "Take the cotangent of both sides",
    }
}

/// A condition, such as `s is not 0`.
pub(super) fn condition_words(
    condition: &Condition,
    table: &SymbolTable,
    spelling: Spelling,
) -> String {
    let maths = |expr| line(expr, table, spelling);
    match condition {
        Condition::NonZero(expr) => format!("{} is not 0", maths(expr)),
        Condition::NonNegative(expr) => format!("{} is not negative", maths(expr)),
        Condition::Positive(expr) => format!("{} is positive", maths(expr)),
        Condition::WithinOne(expr) => format!("{} lies between -1 and 1", maths(expr)),
    }
}
