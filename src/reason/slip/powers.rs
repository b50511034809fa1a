//! Mal-rules of powers and roots.

use crate::algebra::expr::{Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;

use super::products::{SMALL, has, proper_subsets};
use super::view::{factors, is_numeric, power, product, raised, sum, terms};

pub(super) fn over_sum(base: &Expr, exponent: &Number, into: &mut Vec<Expr>) {
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

pub(super) fn root_over_sum(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn power_over_sum(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && exponent.is_integer()
        && !exponent.is_negative()
    {
        over_sum(base, &exponent, into);
    }
}

pub(super) fn partly(base: &Expr, exponent: &Number, into: &mut Vec<Expr>) {
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

pub(super) fn root_partly(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
    {
        partly(base, &exponent, into);
    }
}

pub(super) fn one_factor_powered(node: &Expr, into: &mut Vec<Expr>) {
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

/// A power that belongs to one factor taken for that of its neighbours too:
/// `g r^2` as `(g r)^2`.
pub(super) fn power_too_wide(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Product(_) = node else { return };
    let parts = factors(node);
    for factor in &parts {
        let Some((_, exponent)) = power(&factor.value) else {
            continue;
        };
        if is_numeric(&factor.value) || !exponent.is_integer() || exponent.is_negative() {
            continue;
        }
        let beside: Vec<usize> = (0..parts.len())
            .filter(|place| {
                let own = &parts[*place];
                own.divides == factor.divides && power(&own.value).is_none()
            })
            .collect();
        let mut widen = |places: &[usize]| {
            let mut changed = parts.clone();
            for place in places {
                changed[*place].value = raised(&parts[*place].value, &exponent);
            }
            into.push(product(changed));
        };
        for place in &beside {
            widen(&[*place]);
        }
        if beside.len() >= 2 {
            widen(&beside);
        }
    }
}

pub(super) fn square_number(expr: &Expr) -> bool {
    matches!(expr, Expr::Number(number) if !number.is_one() && number.exact_root(2).is_some())
}

pub(super) fn root_dropped(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && !exponent.is_integer()
    {
        // The square root of a cube without its root is the cube.
        into.push(raised(base, &exponent.numerator()));
    }
}

pub(super) fn square_lost(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && exponent.is_integer()
        && !is_numeric(node)
    {
        into.push(base.clone());
        if let Some(whole) = exponent.to_i64()
            && whole >= 3
        {
            into.push(raised(base, &Number::from(2)));
        }
    }
}

pub(super) fn root_for_square(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((base, exponent)) = power(node)
        && let Some(other) = exponent.reciprocal()
        && !matches!(base, Expr::Symbol(_))
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

pub(super) fn wrong_index(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn powers_added(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Power(base, _) = node
        && let Some((_, outer)) = power(node)
        && let Some((inside, inner)) = power(base)
    {
        into.push(raised(inside, &(&inner + &outer)));
        if let (Some(below), Some(above)) = (inner.to_i64(), outer.to_i64())
            && (1..=4).contains(&above)
            && (1..=9).contains(&below)
            && let Ok(tower) = Number::from(below).pow(above)
        {
            into.push(raised(inside, &tower));
        }
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

/// The terms of a sum that are all powers with one exponent, without it.
fn bare_terms(node: &Expr) -> Option<(Vec<Term>, Number)> {
    let Expr::Sum(_) = node else { return None };
    let parts = terms(node);
    if parts.len() < 2 {
        return None;
    }
    let (_, exponent) = power(&parts[0].value)?;
    let bare = parts
        .iter()
        .map(|term| {
            let (base, own) = power(&term.value)?;
            (own == exponent).then(|| Term {
                sign: term.sign,
                value: base.clone(),
            })
        })
        .collect::<Option<Vec<Term>>>()?;
    exponent.is_integer().then_some((bare, exponent))
}

/// `a^2 - b^2` as `(a - b)^2`.
pub(super) fn powers_joined(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((bare, exponent)) = bare_terms(node) {
        into.push(raised(&sum(bare), &exponent));
    }
}

/// `a^2 - b^2` as `a - b`.
pub(super) fn powers_of_sum_lost(node: &Expr, into: &mut Vec<Expr>) {
    if let Some((bare, _)) = bare_terms(node) {
        into.push(sum(bare));
    }
}
