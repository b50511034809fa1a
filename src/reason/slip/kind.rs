//! The slips that have a name.

/// A way in which a line goes wrong: a rule misapplied with some consistency.
///
/// Sources: Brown and Burton 1978, Matz 1982, Sleeman 1984, Payne and Squibb
/// 1990; the rest is common practice among people who mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SlipKind {
    /// A term crossed the equals sign and kept its sign.
    SignNotChanged,
    /// A minus in front of a bracket reached only the first term.
    MinusNotShared,
    /// Only one term was divided.
    OneTermDivided,
    /// Only one term was multiplied.
    OneTermMultiplied,
    /// A power reached only one factor.
    OneFactorPowered,
    /// A power was taken term by term.
    PowerSharedOverSum,
    /// A root was taken term by term.
    RootSharedOverSum,
    /// The root covers only part of a product or quotient.
    RootPartlyTaken,
    /// The last root was not taken.
    RootForgotten,
    /// Rooted where squaring was needed, or the other way round.
    RootForSquare,
    /// Square root for cube root, and so on.
    WrongRootIndex,
    /// A reciprocal was taken term by term.
    ReciprocalSharedOverSum,
    /// The final flip was not done.
    ReciprocalForgotten,
    /// Numerator and denominator changed places.
    FractionInverted,
    /// Multiplied where division undoes, or the reverse.
    MultipliedForDivided,
    /// A factor was subtracted, or a term divided off.
    SubtractedForDivided,
    /// Inverse operations in the wrong order.
    OrderOfUndoing,
    /// A number was dropped.
    CoefficientLost,
    /// A number went to the wrong side of the fraction.
    CoefficientFlipped,
    /// A power was dropped on the way.
    SquareLost,
    /// A term was cancelled as if it were a factor.
    TermCancelled,
    /// Unlike terms were joined into one.
    UnlikeTermsJoined,
    /// The subject is still on the other side.
    SubjectBothSides,
    /// Two terms in the subject, only one was used.
    FactorNotCollected,
    /// A function was treated as a factor.
    FunctionAsFactor,
    /// The inverse function was taken for one over the function.
    InverseAsReciprocal,
    /// The angle or exponent was left inside.
    InverseFunctionForgotten,
    /// The logarithm of a sum was split into logarithms.
    LogOfSumSplit,
    /// ln(a/b) was written ln a / ln b.
    LogQuotientWrong,
    /// The minus in the exponent was lost.
    ExponentSignLost,
    /// An exponent was brought down as a factor.
    ExponentBroughtDown,
    /// Exponents were added where they multiply, or the reverse.
    PowerOfProductOfPowers,
    /// Another quantity's letter, or the wrong case.
    WrongLetter,
    /// Two quantities of one kind changed places.
    SwappedPair,
    /// A right rearrangement for another quantity.
    WrongSubject,
    /// Radius used for diameter, or the reverse.
    RadiusDiameter,
    /// A constant was replaced by a rounded number.
    ConstantRounded,
    /// A function was taken of part of its argument, or of each term.
    FunctionPartlyTaken,
    /// A term was left out.
    TermLost,
    /// A factor was left out.
    FactorLost,
    /// Divided or multiplied by the index where a root or power was needed.
    PowerAsFactor,
    /// A power taken for that of its neighbours too.
    PowerTooWide,
    /// In reasoning by proportion: direct taken for inverse, or the reverse.
    ProportionInverted,
    /// In reasoning by proportion: one of the changes was left out.
    ChangeLeftOut,
    /// In reasoning by proportion: by how much something changes was taken
    /// for what it changes to.
    ChangeForValue,
}

impl SlipKind {
    /// Every kind.
    pub const ALL: [SlipKind; 45] = [
        SlipKind::SignNotChanged,
        SlipKind::MinusNotShared,
        SlipKind::OneTermDivided,
        SlipKind::OneTermMultiplied,
        SlipKind::OneFactorPowered,
        SlipKind::PowerSharedOverSum,
        SlipKind::RootSharedOverSum,
        SlipKind::RootPartlyTaken,
        SlipKind::RootForgotten,
        SlipKind::RootForSquare,
        SlipKind::WrongRootIndex,
        SlipKind::ReciprocalSharedOverSum,
        SlipKind::ReciprocalForgotten,
        SlipKind::FractionInverted,
        SlipKind::MultipliedForDivided,
        SlipKind::SubtractedForDivided,
        SlipKind::OrderOfUndoing,
        SlipKind::CoefficientLost,
        SlipKind::CoefficientFlipped,
        SlipKind::SquareLost,
        SlipKind::TermCancelled,
        SlipKind::UnlikeTermsJoined,
        SlipKind::SubjectBothSides,
        SlipKind::FactorNotCollected,
        SlipKind::FunctionAsFactor,
        SlipKind::InverseAsReciprocal,
        SlipKind::InverseFunctionForgotten,
        SlipKind::LogOfSumSplit,
        SlipKind::LogQuotientWrong,
        SlipKind::ExponentSignLost,
        SlipKind::ExponentBroughtDown,
        SlipKind::PowerOfProductOfPowers,
        SlipKind::WrongLetter,
        SlipKind::SwappedPair,
        SlipKind::WrongSubject,
        SlipKind::RadiusDiameter,
        SlipKind::ConstantRounded,
        SlipKind::FunctionPartlyTaken,
        SlipKind::TermLost,
        SlipKind::FactorLost,
        SlipKind::PowerAsFactor,
        SlipKind::PowerTooWide,
        SlipKind::ProportionInverted,
        SlipKind::ChangeLeftOut,
        SlipKind::ChangeForValue,
    ];

    /// The key that the machine interface uses.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            SlipKind::SignNotChanged => "sign-not-changed",
            SlipKind::MinusNotShared => "minus-not-shared",
            SlipKind::OneTermDivided => "one-term-divided",
            SlipKind::OneTermMultiplied => "one-term-multiplied",
            SlipKind::OneFactorPowered => "one-factor-powered",
            SlipKind::PowerSharedOverSum => "power-shared-over-sum",
            SlipKind::RootSharedOverSum => "root-shared-over-sum",
            SlipKind::RootPartlyTaken => "root-partly-taken",
            SlipKind::RootForgotten => "root-forgotten",
            SlipKind::RootForSquare => "root-for-square",
            SlipKind::WrongRootIndex => "wrong-root-index",
            SlipKind::ReciprocalSharedOverSum => "reciprocal-shared-over-sum",
            SlipKind::ReciprocalForgotten => "reciprocal-forgotten",
            SlipKind::FractionInverted => "fraction-inverted",
            SlipKind::MultipliedForDivided => "multiplied-for-divided",
            SlipKind::SubtractedForDivided => "subtracted-for-divided",
            SlipKind::OrderOfUndoing => "order-of-undoing",
            SlipKind::CoefficientLost => "coefficient-lost",
            SlipKind::CoefficientFlipped => "coefficient-flipped",
            SlipKind::SquareLost => "square-lost",
            SlipKind::TermCancelled => "term-cancelled",
            SlipKind::UnlikeTermsJoined => "unlike-terms-joined",
            SlipKind::SubjectBothSides => "subject-both-sides",
            SlipKind::FactorNotCollected => "factor-not-collected",
            SlipKind::FunctionAsFactor => "function-as-factor",
            SlipKind::InverseAsReciprocal => "inverse-as-reciprocal",
            SlipKind::InverseFunctionForgotten => "inverse-function-forgotten",
            SlipKind::LogOfSumSplit => "log-of-sum-split",
            SlipKind::LogQuotientWrong => "log-quotient-wrong",
            SlipKind::ExponentSignLost => "exponent-sign-lost",
            SlipKind::ExponentBroughtDown => "exponent-brought-down",
            SlipKind::PowerOfProductOfPowers => "power-of-product-of-powers",
            SlipKind::WrongLetter => "wrong-letter",
            SlipKind::SwappedPair => "swapped-pair",
            SlipKind::WrongSubject => "wrong-subject",
            SlipKind::RadiusDiameter => "radius-diameter",
            SlipKind::ConstantRounded => "constant-rounded",
            SlipKind::FunctionPartlyTaken => "function-partly-taken",
            SlipKind::TermLost => "term-lost",
            SlipKind::FactorLost => "factor-lost",
            SlipKind::PowerAsFactor => "power-as-factor",
            SlipKind::PowerTooWide => "power-too-wide",
            SlipKind::ProportionInverted => "proportion-inverted",
            SlipKind::ChangeLeftOut => "change-left-out",
            SlipKind::ChangeForValue => "change-for-value",
        }
    }
}
