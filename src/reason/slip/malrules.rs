//! Mal-rules on one node of a tree, as rows of data: a rule's kind, how
//! readily it is believed, and what it makes of a node.
//!
//! A rule is a function of the node alone; where in the path it applies is
//! said by its row.

use crate::algebra::expr::Expr;

use super::functions::*;
use super::kind::SlipKind;
use super::powers::*;
use super::products::*;
use super::sums::*;

/// A mal-rule.
pub(super) struct Rule {
    /// The name.
    pub kind: SlipKind,
    /// Lower is believed first where several explain an answer.
    pub rank: u8,
    /// Whether it is applied to the formula before anything is undone.
    pub at_start: bool,
    /// Whether it is applied to the solution.
    pub at_end: bool,
    /// Whether it takes part where two slips are looked for at once.
    pub pairs: bool,
    /// What the node wrongly becomes.
    pub apply: fn(&Expr, &mut Vec<Expr>),
}

const fn rule(kind: SlipKind, rank: u8, apply: fn(&Expr, &mut Vec<Expr>)) -> Rule {
    Rule {
        kind,
        rank,
        at_start: true,
        at_end: true,
        pairs: false,
        apply,
    }
}

const fn paired(mut rule: Rule) -> Rule {
    rule.pairs = true;
    rule
}

const fn only_end(mut rule: Rule) -> Rule {
    rule.at_start = false;
    rule
}

const fn only_start(mut rule: Rule) -> Rule {
    rule.at_end = false;
    rule
}

/// The rows.
pub(super) const RULES: &[Rule] = &[
    paired(rule(SlipKind::RootSharedOverSum, 10, root_over_sum)),
    paired(rule(SlipKind::PowerSharedOverSum, 10, power_over_sum)),
    rule(SlipKind::ReciprocalSharedOverSum, 11, reciprocal_over_sum),
    only_end(rule(SlipKind::ReciprocalSharedOverSum, 11, term_by_term)),
    only_end(rule(SlipKind::TermCancelled, 11, cancelled_term_by_term)),
    rule(SlipKind::PowerSharedOverSum, 11, powers_joined),
    rule(SlipKind::SquareLost, 21, powers_of_sum_lost),
    paired(rule(SlipKind::RootPartlyTaken, 12, root_partly)),
    paired(rule(SlipKind::OneFactorPowered, 12, one_factor_powered)),
    rule(SlipKind::PowerTooWide, 28, power_too_wide),
    rule(SlipKind::LogQuotientWrong, 12, log_quotient),
    rule(SlipKind::LogQuotientWrong, 17, logs_joined),
    rule(SlipKind::LogOfSumSplit, 12, log_of_sum),
    rule(SlipKind::TermCancelled, 16, term_cancelled),
    rule(SlipKind::MinusNotShared, 14, minus_not_shared),
    paired(only_end(rule(
        SlipKind::OneTermDivided,
        15,
        one_term_divided,
    ))),
    only_end(rule(SlipKind::OneTermDivided, 15, bracket_forgotten)),
    rule(SlipKind::OneTermMultiplied, 15, one_term_multiplied),
    only_start(rule(SlipKind::OneTermMultiplied, 15, fraction_reached_one)),
    rule(SlipKind::ExponentSignLost, 15, exponent_sign),
    rule(SlipKind::ExponentBroughtDown, 16, exponent_down),
    rule(SlipKind::PowerOfProductOfPowers, 16, powers_added),
    rule(SlipKind::InverseAsReciprocal, 17, inverse_as_reciprocal),
    rule(
        SlipKind::InverseFunctionForgotten,
        17,
        inverse_function_forgotten,
    ),
    rule(SlipKind::FunctionAsFactor, 18, function_as_factor),
    rule(SlipKind::FunctionPartlyTaken, 24, function_partly),
    paired(only_end(rule(SlipKind::RootForgotten, 19, root_dropped))),
    rule(SlipKind::RootForSquare, 20, root_for_square),
    only_end(rule(SlipKind::WrongRootIndex, 20, wrong_index)),
    paired(rule(SlipKind::SquareLost, 21, square_lost)),
    paired(only_end(rule(SlipKind::SignNotChanged, 22, term_sign))),
    paired(rule(SlipKind::CoefficientFlipped, 23, coefficient_flipped)),
    paired(rule(SlipKind::CoefficientLost, 23, coefficient_lost)),
    only_end(rule(SlipKind::FractionInverted, 25, fraction_inverted)),
    only_end(rule(
        SlipKind::MultipliedForDivided,
        26,
        multiplied_for_divided,
    )),
    only_end(rule(SlipKind::FractionInverted, 26, partly_inverted)),
    only_end(rule(SlipKind::SwappedPair, 28, difference_turned)),
    only_end(rule(SlipKind::SubtractedForDivided, 30, factor_subtracted)),
    rule(SlipKind::UnlikeTermsJoined, 33, unlike_joined),
    only_end(rule(SlipKind::FactorNotCollected, 23, factor_not_collected)),
    only_end(rule(SlipKind::TermLost, 45, term_lost)),
    only_end(rule(SlipKind::FactorLost, 46, factor_lost)),
    only_start(rule(SlipKind::RootForgotten, 47, root_dropped)),
];
