//! Mal-rules on one node of a tree, as rows of data: a rule's kind, how
//! readily it is believed, and what it makes of a node.
//!
//! A rule is a function of the node alone; where in the path it applies is
//! said by its row.

use crate::algebra::expr::{Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;

use super::kind::SlipKind;
use super::view::{
    exponential, factors, flipped, inverted, is_numeric, negated, power, product, raised, sum,
    terms,
};

/// Factors or terms beyond which only single ones are singled out.
const SMALL: usize = 5;

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
    paired(rule(SlipKind::RootPartlyTaken, 12, root_partly)),
    paired(rule(SlipKind::OneFactorPowered, 12, one_factor_powered)),
    rule(SlipKind::LogQuotientWrong, 12, log_quotient),
    rule(SlipKind::LogOfSumSplit, 12, log_of_sum),
    rule(SlipKind::TermCancelled, 13, term_cancelled),
    rule(SlipKind::MinusNotShared, 14, minus_not_shared),
    paired(only_end(rule(
        SlipKind::OneTermDivided,
        15,
        one_term_divided,
    ))),
    rule(SlipKind::OneTermMultiplied, 15, one_term_multiplied),
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
    rule(SlipKind::FunctionPartlyTaken, 19, function_partly),
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
    only_end(rule(SlipKind::SwappedPair, 28, difference_turned)),
    only_end(rule(SlipKind::SubtractedForDivided, 30, factor_subtracted)),
    rule(SlipKind::UnlikeTermsJoined, 33, unlike_joined),
    only_end(rule(SlipKind::FactorNotCollected, 23, factor_not_collected)),
    only_end(rule(SlipKind::TermLost, 45, term_lost)),
    only_end(rule(SlipKind::FactorLost, 46, factor_lost)),
    only_start(rule(SlipKind::RootForgotten, 47, root_dropped)),
];

/// The subsets of `count` things that are neither empty nor whole; single ones
/// and all but one where there are many.
fn proper_subsets(count: usize) -> Vec<u32> {
    if !(2..=24).contains(&count) {
        return Vec::new();
    }
    let whole = (1u32 << count) - 1;
    if count <= SMALL {
        (1..whole).collect()
    } else {
        (0..count)
            .flat_map(|place| [1 << place, whole & !(1 << place)])
            .collect()
    }
}

fn has(subset: u32, place: usize) -> bool {
    subset >> place & 1 == 1
}

fn over_sum(base: &Expr, exponent: &Number, into: &mut Vec<Expr>) {
    let parts = terms(base);
    if parts.len() < 2 {
        return;
    }
    let shared = |all_plus: bool, which: u32| {
        sum(parts
            .iter()
            .enumerate()
            .map(|(place, term)| Term {
                sign: if all_plus { Sign::Plus } else { term.sign },
                value: if has(which, place) {
                    raised(&term.value, exponent)
                } else {
                    term.value.clone()
                },
            })
            .collect())
    };
    into.push(shared(false, u32::MAX));
    if exponent.to_i64().is_some_and(|whole| whole % 2 == 0)
        && parts.iter().any(|term| term.sign == Sign::Minus)
    {
        into.push(shared(true, u32::MAX));
    }
    for place in 0..parts.len().min(SMALL) {
        into.push(shared(false, 1 << place));
    }
}

fn root_over_sum(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
    {
        over_sum(base, &exponent, into);
    }
    // The sum under the root may be one factor of it.
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
        && let Expr::Product(_) = base
    {
        let parts = factors(base);
        for (place, factor) in parts.iter().enumerate() {
            if terms(&factor.value).len() < 2 {
                continue;
            }
            // sqrt((a - b)/c) as sqrt(a/c) - sqrt(b/c).
            let mut rest = parts.clone();
            rest.remove(place);
            if factor.divides {
                continue;
            }
            into.push(sum(terms(&factor.value)
                .into_iter()
                .map(|term| {
                    let mut own = rest.clone();
                    own.extend(factors(&term.value));
                    Term {
                        sign: term.sign,
                        value: raised(&product(own), &exponent),
                    }
                })
                .collect()));
        }
    }
}

fn power_over_sum(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && exponent.is_integer()
        && !exponent.is_negative()
    {
        over_sum(base, &exponent, into);
    }
}

fn reciprocal_over_sum(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Product(_) = node else { return };
    let parts = factors(node);
    for (place, factor) in parts.iter().enumerate() {
        if !factor.divides {
            continue;
        }
        let inner = terms(&factor.value);
        if inner.len() < 2 {
            continue;
        }
        let mut rest = parts.clone();
        rest.remove(place);
        into.push(sum(inner
            .iter()
            .map(|term| {
                let mut own = rest.clone();
                own.extend(factors(&inverted(&term.value)));
                Term {
                    sign: term.sign,
                    value: product(own),
                }
            })
            .collect()));
    }
}

fn partly(base: &Expr, exponent: &Number, into: &mut Vec<Expr>) {
    let parts = factors(base);
    for subset in proper_subsets(parts.len()) {
        into.push(product(
            parts
                .iter()
                .enumerate()
                .map(|(place, factor)| Factor {
                    divides: factor.divides,
                    value: if has(subset, place) {
                        raised(&factor.value, exponent)
                    } else {
                        factor.value.clone()
                    },
                })
                .collect(),
        ));
    }
}

fn root_partly(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
    {
        partly(base, &exponent, into);
    }
}

fn one_factor_powered(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && exponent.is_integer()
    {
        partly(base, &exponent, into);
    }
    // The powers of a product that was multiplied out: one of them missing.
    if let Expr::Product(_) = node {
        let parts = factors(node);
        let powered = parts
            .iter()
            .filter(|factor| power(&factor.value).is_some_and(|(_, own)| own.is_integer()))
            .count();
        if powered < 2 && !parts.iter().any(|factor| square_number(&factor.value)) {
            return;
        }
        for (place, factor) in parts.iter().enumerate() {
            if let Some((base, own)) = power(&factor.value)
                && own.is_integer()
                && powered >= 2
            {
                let mut changed = parts.clone();
                changed[place].value = base.clone();
                into.push(product(changed));
            } else if powered >= 1
                && let Expr::Number(number) = &factor.value
                && let Some(root) = number.exact_root(2)
                && !number.is_one()
            {
                let mut changed = parts.clone();
                changed[place].value = Expr::Number(root);
                into.push(product(changed));
            }
        }
        // (2π)^2 as 2π: the number and the constant together.
        if powered >= 2 {
            let mut changed = parts.clone();
            let mut touched = 0;
            for factor in &mut changed {
                if !is_numeric(&factor.value) {
                    continue;
                }
                let root = match (&factor.value, power(&factor.value)) {
                    (_, Some((base, own))) if own == Number::from(2) => Some(base.clone()),
                    (Expr::Number(number), _) => number.exact_root(2).map(Expr::Number),
                    _ => None,
                };
                if let Some(root) = root {
                    factor.value = root;
                    touched += 1;
                }
            }
            if touched >= 2 {
                into.push(product(changed));
            }
        }
    }
}

fn square_number(expr: &Expr) -> bool {
    matches!(expr, Expr::Number(number) if !number.is_one() && number.exact_root(2).is_some())
}

fn root_dropped(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
    {
        into.push(base.clone());
    }
}

fn square_lost(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && exponent.is_integer()
        && !is_numeric(node)
    {
        into.push(base.clone());
        if let Some(whole) = exponent.to_i64()
            && whole >= 3
        {
            into.push(raised(base, &Number::from(whole - 1)));
            if whole >= 4 {
                into.push(raised(base, &Number::from(2)));
            }
        }
    }
}

fn root_for_square(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && let Some(other) = exponent.reciprocal()
    {
        into.push(raised(base, &other));
    }
    // A square spread over a product: the whole of it under the root.
    if let Expr::Product(_) = node {
        let parts = factors(node);
        let (squares, rest): (Vec<Factor>, Vec<Factor>) = parts.into_iter().partition(|factor| {
            power(&factor.value).is_some_and(|(_, own)| own == Number::from(2))
                || square_number(&factor.value)
        });
        if squares.len() >= 2 {
            let bare = product(
                squares
                    .iter()
                    .map(|factor| Factor {
                        divides: factor.divides,
                        value: raised(&factor.value, &Number::new(1, 2)),
                    })
                    .collect(),
            );
            let mut whole = rest;
            whole.push(Factor {
                divides: false,
                value: Expr::call(Function::Sqrt, bare),
            });
            into.push(product(whole));
        }
    }
}

fn wrong_index(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node) {
        let others: &[(i64, i64)] = match exponent.to_i64_pair() {
            Some((1, 2)) => &[(1, 3), (1, 4)],
            Some((1, 3)) => &[(1, 2), (1, 4)],
            Some((1, 4)) => &[(1, 2), (1, 3)],
            Some((2, 3)) => &[(3, 2), (1, 3), (1, 2)],
            Some((3, 2)) => &[(2, 3), (1, 2), (1, 3)],
            Some((1, _)) => &[(1, 2), (1, 3)],
            _ => &[],
        };
        into.extend(
            others
                .iter()
                .map(|(above, below)| raised(base, &Number::new(*above, *below))),
        );
    }
}

/// Each numeric factor by itself, and all of them, changed by `change`.
fn numeric_factors(node: &Expr, into: &mut Vec<Expr>, change: fn(&mut Vec<Factor>, usize)) {
    let parts = factors(node);
    if parts.len() < 2 {
        return;
    }
    let numeric: Vec<usize> = (0..parts.len())
        .filter(|place| is_numeric(&parts[*place].value))
        .collect();
    if numeric.is_empty() || numeric.len() > SMALL {
        return;
    }
    for subset in 1..(1u32 << numeric.len()) {
        let mut changed = parts.clone();
        for (bit, place) in numeric.iter().enumerate().rev() {
            if has(subset, bit) {
                change(&mut changed, *place);
            }
        }
        into.push(product(changed));
    }
}

fn coefficient_lost(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    numeric_factors(node, into, |parts, place| {
        parts.remove(place);
    });
    // 8 for 4, 4 for 2: half of a number is lost or doubled.
    let parts = factors(node);
    for (place, factor) in parts.iter().enumerate() {
        if let Expr::Number(number) = &factor.value
            && let Some(whole) = number.to_i64()
            && whole % 2 == 0
            && whole > 2
        {
            let mut changed = parts.clone();
            changed[place].value = Expr::integer(whole / 2);
            into.push(product(changed));
        }
    }
}

fn coefficient_flipped(node: &Expr, into: &mut Vec<Expr>) {
    if matches!(node, Expr::Product(_)) {
        numeric_factors(node, into, |parts, place| {
            parts[place].divides = !parts[place].divides;
        });
    }
}

fn letters(parts: &[Factor]) -> Vec<usize> {
    (0..parts.len())
        .filter(|place| !is_numeric(&parts[*place].value))
        .collect()
}

fn multiplied_for_divided(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    let places = letters(&parts);
    if places.len() < 2 {
        return;
    }
    for place in &places {
        let mut changed = parts.clone();
        changed[*place].divides = !changed[*place].divides;
        into.push(product(changed));
    }
    let below: Vec<usize> = places
        .iter()
        .copied()
        .filter(|place| parts[*place].divides)
        .collect();
    if below.len() >= 2 {
        let mut changed = parts.clone();
        for place in below {
            changed[place].divides = false;
        }
        into.push(product(changed));
    }
}

fn fraction_inverted(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    if !parts.iter().any(|factor| factor.divides) {
        return;
    }
    into.push(inverted(node));
    if parts.iter().any(|factor| is_numeric(&factor.value)) {
        into.push(product(
            parts
                .into_iter()
                .map(|factor| Factor {
                    divides: factor.divides != !is_numeric(&factor.value),
                    value: factor.value,
                })
                .collect(),
        ));
    }
}

fn factor_subtracted(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    let below: Vec<usize> = (0..parts.len())
        .filter(|place| parts[*place].divides)
        .collect();
    for place in &below {
        let mut rest = parts.clone();
        let off = rest.remove(*place).value;
        into.push(Expr::sub(product(rest), off));
    }
    if below.len() >= 2 {
        let rest: Vec<Factor> = parts
            .iter()
            .filter(|factor| !factor.divides)
            .cloned()
            .collect();
        let off: Vec<Expr> = below.iter().map(|place| parts[*place].value.clone()).collect();
        let whole = product(
            off.iter()
                .map(|value| Factor {
                    divides: false,
                    value: value.clone(),
                })
                .collect(),
        );
        into.push(Expr::sub(product(rest.clone()), whole));
        let mut all = product(rest);
        for value in off {
            all = Expr::sub(all, value);
        }
        into.push(all);
    }
    // Added where multiplying undoes a division.
    let above: Vec<usize> = letters(&parts)
        .into_iter()
        .filter(|place| !parts[*place].divides)
        .collect();
    if above.len() >= 2 || !below.is_empty() {
        for place in above {
            let mut rest = parts.clone();
            let off = rest.remove(place).value;
            into.push(Expr::add(product(rest), off));
        }
    }
}

fn factor_lost(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    for place in letters(&parts) {
        let mut rest = parts.clone();
        rest.remove(place);
        into.push(product(rest));
    }
}

fn term_lost(node: &Expr, into: &mut Vec<Expr>) {
    let parts = terms(node);
    if parts.len() < 2 {
        return;
    }
    for place in 0..parts.len() {
        let mut rest = parts.clone();
        rest.remove(place);
        into.push(sum(rest));
    }
}

fn term_sign(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Sum(_) = node else { return };
    let parts = terms(node);
    for place in 0..parts.len() {
        let mut changed = parts.clone();
        changed[place].sign = flipped(changed[place].sign);
        into.push(sum(changed));
    }
}

fn difference_turned(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Sum(_) = node else { return };
    let parts = terms(node);
    if parts.len() < 2 {
        return;
    }
    into.push(sum(parts
        .into_iter()
        .map(|term| Term {
            sign: flipped(term.sign),
            value: term.value,
        })
        .collect()));
}

fn minus_not_shared(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Sum(own) = node else { return };
    for (place, term) in own.iter().enumerate() {
        if term.sign != Sign::Minus {
            continue;
        }
        let parts = factors(&term.value);
        for (at, factor) in parts.iter().enumerate() {
            let inner = terms(&factor.value);
            if factor.divides || inner.len() < 2 {
                continue;
            }
            let mut rest = parts.clone();
            rest.remove(at);
            let mut opened = own[..place].to_vec();
            for (number, part) in inner.iter().enumerate() {
                let mut piece = rest.clone();
                piece.extend(factors(&part.value));
                opened.push(Term {
                    sign: if number == 0 {
                        flipped(part.sign)
                    } else {
                        part.sign
                    },
                    value: product(piece),
                });
            }
            opened.extend_from_slice(&own[place + 1..]);
            into.push(sum(opened));
        }
    }
}

/// A factor that reached only some terms of a bracket: which ones are below.
fn one_term(node: &Expr, into: &mut Vec<Expr>, divides: bool) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    for (at, factor) in parts.iter().enumerate() {
        let inner = terms(&factor.value);
        if factor.divides || inner.len() < 2 {
            continue;
        }
        let mut rest = parts.clone();
        rest.remove(at);
        let own: Vec<usize> = (0..rest.len())
            .filter(|place| rest[*place].divides == divides)
            .collect();
        if own.is_empty() || own.len() > SMALL {
            continue;
        }
        // The factors of this kind that don't reach all terms: each alone, or
        // all of them; the factors of the other kind may go with them.
        let mut groups: Vec<(u32, bool)> = (0..own.len()).map(|bit| (1 << bit, false)).collect();
        let whole = (1u32 << own.len()) - 1;
        if own.len() > 1 {
            groups.push((whole, false));
        }
        if rest.len() > own.len() {
            groups.push((whole, true));
        }
        for (group, with_rest) in groups {
            let moving = |place: usize| {
                with_rest
                    || own
                        .iter()
                        .position(|own| *own == place)
                        .is_some_and(|bit| has(group, bit))
            };
            let (inside, outside): (Vec<usize>, Vec<usize>) =
                (0..rest.len()).partition(|place| moving(*place));
            let pick = |places: &[usize]| -> Vec<Factor> {
                places.iter().map(|place| rest[*place].clone()).collect()
            };
            for subset in proper_subsets(inner.len()) {
                let bracket = sum(inner
                    .iter()
                    .enumerate()
                    .map(|(place, term)| Term {
                        sign: term.sign,
                        value: if has(subset, place) {
                            let mut reached = factors(&term.value);
                            reached.extend(pick(&inside));
                            product(reached)
                        } else {
                            term.value.clone()
                        },
                    })
                    .collect());
                let mut whole = vec![Factor {
                    divides: false,
                    value: bracket,
                }];
                whole.extend(pick(&outside));
                into.push(product(whole));
            }
        }
    }
}

fn one_term_divided(node: &Expr, into: &mut Vec<Expr>) {
    one_term(node, into, true);
}

fn one_term_multiplied(node: &Expr, into: &mut Vec<Expr>) {
    one_term(node, into, false);
}

/// Without the factor, where the term has it; one in place of a term that is
/// the factor.
fn without(term: &Expr, factor: &Expr) -> Option<Expr> {
    let mut parts = factors(term);
    if let Some(place) = parts
        .iter()
        .position(|own| !own.divides && own.value == *factor)
    {
        parts.remove(place);
        return Some(product(parts));
    }
    for place in 0..parts.len() {
        if !parts[place].divides
            && let Some((base, exponent)) = power(&parts[place].value)
            && base == factor
            && exponent > Number::ONE
        {
            let left = raised(base, &(&exponent - &Number::ONE));
            parts[place].value = left;
            return Some(product(parts));
        }
    }
    None
}

fn term_cancelled(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    for (at, factor) in parts.iter().enumerate() {
        let inner = terms(&factor.value);
        if inner.len() < 2 {
            continue;
        }
        for (other, against) in parts.iter().enumerate() {
            if other == at || against.divides == factor.divides {
                continue;
            }
            for place in 0..inner.len() {
                let Some(left) = without(&inner[place].value, &against.value) else {
                    continue;
                };
                let mut rest = parts.clone();
                let mut bracket = inner.clone();
                bracket[place].value = left.clone();
                rest[at].value = sum(bracket.clone());
                rest.remove(other);
                into.push(product(rest.clone()));
                if matches!(&left, Expr::Number(number) if number.is_one()) {
                    bracket.remove(place);
                    let at = if other < at { at - 1 } else { at };
                    rest[at].value = sum(bracket);
                    into.push(product(rest));
                }
            }
        }
    }
}

fn unlike_joined(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Sum(_) = node else { return };
    let parts = terms(node);
    if !(2..=SMALL).contains(&parts.len()) {
        return;
    }
    for one in 0..parts.len() {
        for two in 0..parts.len() {
            if one == two {
                continue;
            }
            let mut rest = parts.clone();
            let product_of = factors(&rest[two].value);
            let (first, second) = (rest[one].clone(), rest[two].clone());
            let (high, low) = (one.max(two), one.min(two));
            rest.remove(high);
            rest.remove(low);
            let mut join = |value: Expr| {
                let mut joined = rest.clone();
                joined.insert(
                    low.min(joined.len()),
                    Term {
                        sign: Sign::Plus,
                        value,
                    },
                );
                into.push(sum(joined));
            };
            if product_of.len() >= 2 {
                for place in 0..product_of.len() {
                    if product_of[place].divides {
                        continue;
                    }
                    let mut left = product_of.clone();
                    let shared = left.remove(place).value;
                    let bracket = sum(vec![
                        first.clone(),
                        Term {
                            sign: second.sign,
                            value: product(left),
                        },
                    ]);
                    join(Expr::mul(shared, bracket));
                }
            }
            if one < two {
                join(Expr::mul(first.value.clone(), second.value.clone()));
            }
        }
    }
}

/// `ε/(R + r)` as `ε/R - r`, `ε/(R r)` or `ε/R`.
fn factor_not_collected(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    for (at, factor) in parts.iter().enumerate() {
        let inner = terms(&factor.value);
        if !factor.divides || !(2..=SMALL).contains(&inner.len()) {
            continue;
        }
        let mut rest = parts.clone();
        rest.remove(at);
        let over = |below: &Expr| {
            let mut own = rest.clone();
            own.extend(factors(&inverted(below)));
            product(own)
        };
        let signed = |term: &Term| {
            if term.sign == Sign::Minus {
                negated(&term.value)
            } else {
                term.value.clone()
            }
        };
        for (place, term) in inner.iter().enumerate() {
            let mut value = over(&signed(term));
            into.push(value.clone());
            for (other, own) in inner.iter().enumerate() {
                if other != place {
                    value = if own.sign == Sign::Minus {
                        Expr::add(value, own.value.clone())
                    } else {
                        Expr::sub(value, own.value.clone())
                    };
                }
            }
            into.push(value);
        }
        let all: Vec<Factor> = inner
            .iter()
            .map(|term| Factor {
                divides: false,
                value: term.value.clone(),
            })
            .collect();
        into.push(over(&product(all)));
    }
}

fn is_inverse(function: Function) -> bool {
    matches!(
        function,
        Function::Arcsin
            | Function::Arccos
            | Function::Arctan
            | Function::Arsinh
            | Function::Arcosh
            | Function::Artanh
    )
}

fn undone(function: Function) -> Option<Function> {
    Some(match function {
        Function::Arcsin => Function::Sin,
        Function::Arccos => Function::Cos,
        Function::Arctan => Function::Tan,
        Function::Arsinh => Function::Sinh,
        Function::Arcosh => Function::Cosh,
        Function::Artanh => Function::Tanh,
        _ => return None,
    })
}

fn is_plain_function(function: Function) -> bool {
    !is_inverse(function) && !matches!(function, Function::Sqrt | Function::Cbrt | Function::Abs)
}

fn inverse_as_reciprocal(node: &Expr, into: &mut Vec<Expr>) {
    match node {
        Expr::Call(function, inside) => {
            if let Some(forward) = undone(*function) {
                let applied = Expr::call(forward, (**inside).clone());
                into.push(inverted(&applied));
                into.push(Expr::call(forward, (**inside).clone()));
                into.push(Expr::call(forward, inverted(inside)));
                into.push(product(
                    factors(inside)
                        .into_iter()
                        .chain(factors(&inverted(&Expr::call(
                            forward,
                            Expr::integer(1),
                        ))))
                        .collect(),
                ));
            } else if *function == Function::Ln {
                into.push(inverted(&Expr::call(Function::Exp, (**inside).clone())));
                into.push(Expr::call(Function::Exp, (**inside).clone()));
            }
        }
        other => {
            if let Some(inside) = exponential(other) {
                into.push(inverted(&Expr::call(Function::Ln, inside.clone())));
            }
        }
    }
}

fn inverse_function_forgotten(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Call(function, inside) = node
        && (is_inverse(*function) || matches!(function, Function::Ln | Function::Log10))
    {
        into.push((**inside).clone());
    }
}

fn function_as_factor(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Call(function, inside) = node
        && is_plain_function(*function)
    {
        into.push((**inside).clone());
    }
    // sin a / sin b as a/b, ln a / ln b as a/b.
    if let Expr::Product(_) = node {
        let parts = factors(node);
        for (at, above) in parts.iter().enumerate() {
            let Expr::Call(function, first) = &above.value else {
                continue;
            };
            for (other, below) in parts.iter().enumerate() {
                if let Expr::Call(own, second) = &below.value
                    && own == function
                    && !above.divides
                    && below.divides
                {
                    let mut changed = parts.clone();
                    changed[at].value = (**first).clone();
                    changed[other].value = (**second).clone();
                    into.push(product(changed));
                }
            }
        }
    }
}

fn function_partly(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Call(function, inside) = node else {
        return;
    };
    if matches!(function, Function::Sqrt | Function::Cbrt | Function::Abs) {
        return;
    }
    let parts = terms(inside);
    if parts.len() >= 2 {
        if !matches!(function, Function::Ln | Function::Log10) {
            into.push(sum(parts
                .iter()
                .map(|term| Term {
                    sign: term.sign,
                    value: Expr::call(*function, term.value.clone()),
                })
                .collect()));
        }
        return;
    }
    let parts = factors(inside);
    for place in 0..parts.len() {
        if parts.len() < 2 {
            break;
        }
        // The factor stays outside the function.
        let mut rest = parts.clone();
        let off = rest.remove(place);
        let mut whole = vec![Factor {
            divides: false,
            value: Expr::call(*function, product(rest)),
        }];
        whole.push(off.clone());
        into.push(product(whole));
        // The function is of this factor alone.
        let mut alone = parts.clone();
        if !off.divides {
            alone[place].value = Expr::call(*function, off.value);
            into.push(product(alone));
        }
    }
}

fn log_of_sum(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Call(function @ (Function::Ln | Function::Log10), inside) = node {
        let log = |terms: Vec<Term>| {
            sum(terms
                .into_iter()
                .map(|term| Term {
                    sign: term.sign,
                    value: Expr::call(*function, term.value),
                })
                .collect())
        };
        let parts = terms(inside);
        if parts.len() >= 2 {
            into.push(log(parts));
            return;
        }
        // ln((a + b)/c) as ln a + ln b - ln c, or over c.
        let parts = factors(inside);
        for (at, factor) in parts.iter().enumerate() {
            let inner = terms(&factor.value);
            if inner.len() < 2 {
                continue;
            }
            let mut whole: Vec<Term> = parts
                .iter()
                .enumerate()
                .filter(|(place, _)| *place != at)
                .map(|(_, own)| Term {
                    sign: if own.divides { Sign::Minus } else { Sign::Plus },
                    value: own.value.clone(),
                })
                .collect();
            let mut split = log(whole.clone());
            for term in &inner {
                let own = Expr::call(*function, term.value.clone());
                let plus = (term.sign == Sign::Plus) != factor.divides;
                split = if plus {
                    Expr::add(split, own)
                } else {
                    Expr::sub(split, own)
                };
            }
            into.push(split);
            whole.clear();
            // Each term of the bracket over the rest.
            if !factor.divides {
                let mut rest = parts.clone();
                rest.remove(at);
                into.push(log(inner
                    .iter()
                    .map(|term| {
                        let mut own = factors(&term.value);
                        own.extend(rest.clone());
                        Term {
                            sign: term.sign,
                            value: product(own),
                        }
                    })
                    .collect()));
            }
        }
    }
}

fn log_quotient(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Call(function @ (Function::Ln | Function::Log10), inside) = node else {
        return;
    };
    let parts = factors(inside);
    let (below, above): (Vec<Factor>, Vec<Factor>) =
        parts.into_iter().partition(|factor| factor.divides);
    let log = |parts: &[Factor]| {
        Expr::call(
            *function,
            product(
                parts
                    .iter()
                    .map(|factor| Factor {
                        divides: false,
                        value: factor.value.clone(),
                    })
                    .collect(),
            ),
        )
    };
    if !below.is_empty() && !above.is_empty() {
        into.push(Expr::div(log(&above), log(&below)));
        into.push(Expr::add(log(&above), log(&below)));
    }
    if below.is_empty() && above.len() == 2 {
        into.push(Expr::mul(log(&above[..1]), log(&above[1..])));
    }
}

fn exponent_sign(node: &Expr, into: &mut Vec<Expr>) {
    if let Some(inside) = exponential(node) {
        into.push(Expr::call(Function::Exp, negated(inside)));
    } else if let Expr::Power(base, exponent) = node
        && !is_numeric(exponent)
    {
        into.push(Expr::pow((**base).clone(), negated(exponent)));
    }
    // -ln(...), or the logarithm of the quotient upside down.
    if let Expr::Call(function @ (Function::Ln | Function::Log10), inside) = node
        && matches!(&**inside, Expr::Product(_))
    {
        into.push(Expr::call(*function, inverted(inside)));
    }
}

fn exponent_down(node: &Expr, into: &mut Vec<Expr>) {
    if let Some(inside) = exponential(node) {
        into.push(inside.clone());
    } else if let Expr::Power(base, exponent) = node
        && !is_numeric(exponent)
    {
        into.push(Expr::mul((**base).clone(), (**exponent).clone()));
    }
}

fn powers_added(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Power(base, _) = node
        && let Some((_, outer)) = power(node)
        && let Some((inside, inner)) = power(base)
    {
        into.push(raised(inside, &(&inner + &outer)));
    }
    if let Some((base, outer)) = power(node)
        && !is_numeric(base)
    {
        // A square root of r^6 as r^4, and the like.
        if let Some((inside, inner)) = power(base)
            && !outer.is_integer()
            && let Some(index) = outer.reciprocal()
        {
            into.push(raised(inside, &(&inner - &index)));
        }
    }
    if let Expr::Product(_) = node {
        let parts = factors(node);
        for one in 0..parts.len() {
            for two in one + 1..parts.len() {
                let (Some((base, first)), Some((other, second))) =
                    (power(&parts[one].value), power(&parts[two].value))
                else {
                    continue;
                };
                if base == other && parts[one].divides == parts[two].divides {
                    let mut changed = parts.clone();
                    changed[one].value = raised(base, &(&first * &second));
                    changed.remove(two);
                    into.push(product(changed));
                }
            }
        }
    }
}
