//! A worked step: a kind and its data, never a sentence. `show::steps` puts it
//! into words.

use crate::algebra::expr::{Equation, Expr, Function, Sign};
use crate::algebra::number::Number;

/// Which roots a step keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Roots {
    /// Both signs: the quantity may be negative.
    Both,
    /// The positive one, since the quantity is positive.
    Positive,
    /// The only real one (an odd root).
    Only,
}

/// Why a root of the worked equation is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DropReason {
    /// The subject is positive and the root is not.
    NotPositive,
    /// The root lies outside the subject's domain.
    OutsideDomain,
    /// The root does not satisfy the formula: it came in by squaring.
    Introduced,
}

/// An identity used on one side, the value unchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Identity {
    /// `-ln(a/b) = ln(b/a)`.
    LogOfReciprocal,
    /// `2 sin x cos x = sin 2x`.
    DoubleAngle,
    /// `sin^2 x + cos^2 x = 1`.
    SineAndCosine,
    /// `1/cos^2 x = 1 + tan^2 x`.
    SecantAndTangent,
    /// `tan x = sin x / cos x`, or a reciprocal function in sine and cosine.
    QuotientOfSineAndCosine,
    /// `a sin x + b cos x` as one sine.
    HarmonicForm,
    /// A quotient brought to lower terms, or equal powers joined.
    LowestTerms,
    /// A hyperbolic function in exponentials.
    Exponentials,
}

/// What is done in a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Operation {
    /// The sides change places.
    SwapSides,
    /// Adds the expression to both sides.
    AddToBothSides(Expr),
    /// Subtracts the expression from both sides.
    SubtractFromBothSides(Expr),
    /// Multiplies both sides.
    MultiplyBothSides(Expr),
    /// Divides both sides.
    DivideBothSides(Expr),
    /// Multiplies both sides by minus one.
    ChangeSigns,
    /// Multiplies every term by the expression, which clears denominators.
    ClearFractions(Expr),
    /// Raises both sides to a power.
    RaiseToPower(Number),
    /// Raises both sides to a power with letters in it.
    RaiseToSymbolicPower(Expr),
    /// Takes a root of both sides.
    TakeRoot {
        /// 2 for the square root.
        index: u32,
        /// Which signs are kept.
        roots: Roots,
    },
    /// One over both sides.
    TakeReciprocals,
    /// Applies the function to both sides; it undoes another function.
    ApplyInverse(Function),
    /// Removes an absolute value: the inside is plus or minus the other side.
    RemoveAbsolute(Roots),
    /// Takes logarithms (natural, or common ones) and brings the exponent
    /// down.
    TakeLogarithms(Function),
    /// Ten to the power of both sides.
    RaiseTenToBothSides,
    /// Multiplies brackets out.
    ExpandBrackets,
    /// Puts the fractions of a side over one denominator.
    CombineFractions,
    /// Writes a side in powers of the expression.
    CollectTerms(Expr),
    /// Takes the expression out as a factor.
    FactorOut(Expr),
    /// Solves `a unknown^2 + b unknown + c = 0`.
    QuadraticFormula {
        /// The subject, or a power or function of it.
        unknown: Expr,
        /// Coefficient of the square.
        a: Expr,
        /// Coefficient of the unknown.
        b: Expr,
        /// The rest.
        c: Expr,
    },
    /// Solves `a unknown^3 + b unknown^2 + c unknown + d = 0` that has one
    /// real root.
    CubicFormula {
        /// The subject, or a power or function of it.
        unknown: Expr,
        /// The coefficients, that of the cube first.
        coefficients: [Expr; 4],
    },
    /// Takes one factor of a product that is zero.
    ZeroFactor(Expr),
    /// The other angle with the same sine, cosine or tangent.
    OtherAngle(Function),
    /// Uses an identity.
    Rewrite(Identity),
    /// Goes on with one of the two signs.
    TakeSign(Sign),
    /// Keeps one sign for good.
    KeepSign(Sign, DropReason),
}

/// What a step needs to be sound.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// The expression is not zero.
    NonZero(Expr),
    /// The expression is zero or more.
    NonNegative(Expr),
    /// The expression is more than zero.
    Positive(Expr),
    /// The expression lies from -1 to 1.
    WithinOne(Expr),
}

/// One worked step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub operation: Operation,
    /// What it needs; none where the domains ensure it.
    pub conditions: Vec<Condition>,
    /// The equation after it.
    pub equation: Equation,
}

impl Step {
    /// Whether the step is one that marks are paid for, alone or together with
    /// its neighbours: see [`paid`]. Exchanging sides, changing signs and
    /// choosing a sign pay nothing.
    #[must_use]
    pub fn pays(&self) -> bool {
        !matches!(
            self.operation,
            Operation::SwapSides
                | Operation::ChangeSigns
                | Operation::Rewrite(Identity::LogOfReciprocal | Identity::LowestTerms)
                | Operation::CollectTerms(_)
                | Operation::TakeSign(_)
                | Operation::KeepSign(..)
        )
    }
}

/// What a step belongs to when marks are counted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// Multiplying and dividing.
    Scaling,
    /// Moving terms, and gathering them.
    Moving,
    /// A power.
    Power,
    /// Anything else.
    Other,
}

fn class(operation: &Operation) -> Class {
    match operation {
        Operation::MultiplyBothSides(_)
        | Operation::DivideBothSides(_)
        | Operation::ClearFractions(_) => Class::Scaling,
        Operation::AddToBothSides(_)
        | Operation::SubtractFromBothSides(_)
        | Operation::ExpandBrackets
        | Operation::CombineFractions
        | Operation::FactorOut(_) => Class::Moving,
        Operation::RaiseToPower(_) => Class::Power,
        _ => Class::Other,
    }
}

/// Which steps of a path a mark is written beside.
///
/// What is done in one breath is one mark: multiplying by 2 and dividing by
/// t^2; moving a term and taking the subject out as a factor. A factor in
/// front of a root may be dealt with before squaring or after it, so that it
/// counts once. The mark stands beside the last step of those that share it.
#[must_use]
pub fn paid(path: &[Step]) -> Vec<bool> {
    let mut paid = vec![false; path.len()];
    let mut before: Option<(usize, Class)> = None;
    // The scaling in front of the power that came last.
    let mut in_front: Option<usize> = None;
    for (place, step) in path.iter().enumerate() {
        if !step.pays() {
            continue;
        }
        let own = class(&step.operation);
        match before {
            Some((last, class)) if class == own && own != Class::Other && own != Class::Power => {
                paid[last] = false;
            }
            Some((last, Class::Scaling)) if own == Class::Power => in_front = Some(last),
            Some((_, Class::Power)) if own == Class::Scaling => {
                if let Some(earlier) = in_front.take() {
                    paid[earlier] = false;
                }
            }
            _ => in_front = None,
        }
        paid[place] = true;
        before = Some((place, own));
    }
    paid
}

/// How many marks an examiner would pay for a path.
#[must_use]
pub fn marks(path: &[Step]) -> usize {
    paid(path).into_iter().filter(|paid| *paid).count()
}

/// A hint for the next step, in rising order of help.
#[derive(Debug, Clone, PartialEq)]
pub enum Hint {
    /// What is in the way of the subject.
    Nudge(Obstacle),
    /// The operation to do.
    Operation(Operation),
    /// The line that it gives.
    Line(Equation),
}

/// What keeps the subject from standing alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// It stands alone, on the right.
    Right,
    /// Something is added to it or taken from it.
    Term,
    /// It is multiplied by something.
    Factor,
    /// It is divided by something, or is in a denominator.
    Denominator,
    /// Its term has a minus in front.
    Minus,
    /// It is squared, or raised to another power.
    Power,
    /// It is under a root.
    Root,
    /// It is inside a function.
    Function,
    /// It is in an exponent.
    Exponent,
    /// It appears more than once.
    Several,
    /// It is inside brackets.
    Brackets,
    /// It comes as a square and by itself.
    Quadratic,
    /// A choice of sign is left.
    Sign,
    /// A side can be written in a better form.
    Form,
}

impl Operation {
    /// What the operation clears out of the way.
    #[must_use]
    pub fn obstacle(&self) -> Obstacle {
        match self {
            Operation::SwapSides => Obstacle::Right,
            Operation::AddToBothSides(_) | Operation::SubtractFromBothSides(_) => Obstacle::Term,
            Operation::MultiplyBothSides(_)
            | Operation::ClearFractions(_)
            | Operation::CombineFractions
            | Operation::TakeReciprocals => Obstacle::Denominator,
            Operation::DivideBothSides(_) => Obstacle::Factor,
            Operation::ChangeSigns => Obstacle::Minus,
            Operation::RaiseToPower(_) => Obstacle::Root,
            Operation::RaiseToSymbolicPower(_) | Operation::TakeRoot { .. } => Obstacle::Power,
            Operation::ApplyInverse(_)
            | Operation::RemoveAbsolute(_)
            | Operation::RaiseTenToBothSides => Obstacle::Function,
            Operation::TakeLogarithms(_) => Obstacle::Exponent,
            Operation::ExpandBrackets => Obstacle::Brackets,
            Operation::CollectTerms(_) | Operation::FactorOut(_) => Obstacle::Several,
            Operation::QuadraticFormula { .. }
            | Operation::CubicFormula { .. }
            | Operation::ZeroFactor(_) => Obstacle::Quadratic,
            Operation::OtherAngle(_) | Operation::TakeSign(_) | Operation::KeepSign(..) => {
                Obstacle::Sign
            }
            Operation::Rewrite(_) => Obstacle::Form,
        }
    }
}

/// Hints that a step has.
pub const HINTS_A_STEP: usize = 3;

/// The hints of a path, three a step: what is in the way, the operation, the
/// line.
#[must_use]
pub fn hints(path: &[Step]) -> Vec<Hint> {
    path.iter()
        .flat_map(|step| {
            [
                Hint::Nudge(step.operation.obstacle()),
                Hint::Operation(step.operation.clone()),
                Hint::Line(step.equation.clone()),
            ]
        })
        .collect()
}
