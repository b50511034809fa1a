//! Mal-rules of products and quotients.

use crate::algebra::expr::{Expr, Factor};
use crate::algebra::number::Number;

use super::view::{factors, inverted, is_numeric, power, product, raised, sum, terms};

/// Factors or terms beyond which only single ones are singled out.
pub(super) const SMALL: usize = 6;

/// The subsets of `count` things that are neither empty nor whole; single ones
/// and all but one where there are many.
pub(super) fn proper_subsets(count: usize) -> Vec<u32> {
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

pub(super) fn has(subset: u32, place: usize) -> bool {
    subset >> place & 1 == 1
}

/// Each numeric factor by itself, and all of them, changed by `change`.
pub(super) fn numeric_factors(
    node: &Expr,
    into: &mut Vec<Expr>,
    change: fn(&mut Vec<Factor>, usize),
) {
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

pub(super) fn coefficient_lost(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn coefficient_flipped(node: &Expr, into: &mut Vec<Expr>) {
    if matches!(node, Expr::Product(_)) {
        numeric_factors(node, into, |parts, place| {
            parts[place].divides = !parts[place].divides;
        });
    }
}

pub(super) fn letters(parts: &[Factor]) -> Vec<usize> {
    (0..parts.len())
        .filter(|place| !is_numeric(&parts[*place].value))
        .collect()
}

pub(super) fn multiplied_for_divided(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn fraction_inverted(node: &Expr, into: &mut Vec<Expr>) {
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
                    divides: factor.divides == is_numeric(&factor.value),
                    value: factor.value,
                })
                .collect(),
        ));
    }
}

pub(super) fn factor_subtracted(node: &Expr, into: &mut Vec<Expr>) {
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
        let off: Vec<Expr> = below
            .iter()
            .map(|place| parts[*place].value.clone())
            .collect();
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

pub(super) fn factor_lost(node: &Expr, into: &mut Vec<Expr>) {
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

/// Without the factor, where the term has it; one in place of a term that is
/// the factor.
pub(super) fn without(term: &Expr, factor: &Expr) -> Option<Expr> {
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

pub(super) fn term_cancelled(node: &Expr, into: &mut Vec<Expr>) {
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

/// Part of a fraction upside down: one letter above and one below changed
/// places, or all but one letter did.
pub(super) fn partly_inverted(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    let places = letters(&parts);
    if places.len() < 2 || places.len() > 6 {
        return;
    }
    let numbers = parts.len() > places.len();
    let mut turn = |which: &dyn Fn(usize) -> bool| {
        let changed: Vec<Factor> = parts
            .iter()
            .enumerate()
            .map(|(place, factor)| Factor {
                divides: factor.divides != which(place),
                value: factor.value.clone(),
            })
            .collect();
        into.push(product(changed));
    };
    let is_letter = |place: usize| places.contains(&place);
    for (number, one) in places.iter().enumerate() {
        if numbers || places.len() > 2 {
            turn(&|place| place != *one);
            if numbers && places.len() > 2 {
                turn(&|place| place != *one && is_letter(place));
            }
        }
        for two in &places[number + 1..] {
            if parts[*one].divides != parts[*two].divides && places.len() > 2 {
                turn(&|place| place == *one || place == *two);
                if numbers {
                    turn(&|place| place == *one || place == *two || !is_letter(place));
                }
            }
        }
    }
}
