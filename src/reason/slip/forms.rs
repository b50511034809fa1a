//! Other forms in which a student may have had the right solution.

use crate::algebra::expr::{Expr, Factor, Term};

use super::view::{factors, is_numeric, product, sum, terms};

/// A bracket over something, term by term: `(a - b)/c` as `a/c - b/c`.
pub(super) fn spread(expr: &Expr) -> Option<Expr> {
    let Expr::Product(_) = expr else { return None };
    let parts = factors(expr);
    let at = parts
        .iter()
        .position(|factor| !factor.divides && terms(&factor.value).len() >= 2)?;
    let inner = terms(&parts[at].value);
    let mut rest = parts;
    rest.remove(at);
    Some(sum(inner
        .into_iter()
        .map(|term| {
            let mut own = factors(&term.value);
            own.extend(rest.clone());
            Term {
                sign: term.sign,
                value: product(cancelled(own)),
            }
        })
        .collect()))
}

/// A factor that all terms of a sum have, in front of it: `V e^x - V` as
/// `V (e^x - 1)`; of the sums of a product too.
pub(super) fn gathered(expr: &Expr) -> Option<Expr> {
    if let Expr::Product(_) = expr {
        let mut found = false;
        let mut whole = Vec::new();
        for factor in factors(expr) {
            match gathered(&factor.value).filter(|_| matches!(factor.value, Expr::Sum(_))) {
                Some(value) => {
                    found = true;
                    whole.extend(factors(&value).into_iter().map(|own| Factor {
                        divides: own.divides != factor.divides,
                        value: own.value,
                    }));
                }
                None => whole.push(factor),
            }
        }
        return found.then(|| product(whole));
    }
    let Expr::Sum(_) = expr else { return None };
    let parts = terms(expr);
    let (first, others) = parts.split_first()?;
    if others.is_empty() {
        return None;
    }
    let shared: Vec<Factor> = factors(&first.value)
        .into_iter()
        .filter(|factor| {
            !is_numeric(&factor.value)
                && others
                    .iter()
                    .all(|term| factors(&term.value).contains(factor))
        })
        .collect();
    if shared.is_empty() {
        return None;
    }
    let bracket = sum(parts
        .iter()
        .map(|term| {
            let mut own = factors(&term.value);
            for factor in &shared {
                if let Some(place) = own.iter().position(|own| own == factor) {
                    own.remove(place);
                }
            }
            Term {
                sign: term.sign,
                value: product(own),
            }
        })
        .collect());
    let mut whole = shared;
    whole.push(Factor {
        divides: false,
        value: bracket,
    });
    Some(product(whole))
}

/// Equal factors above and below taken away.
fn cancelled(mut parts: Vec<Factor>) -> Vec<Factor> {
    let mut place = 0;
    while place < parts.len() {
        let twin = parts
            .iter()
            .position(|own| own.divides != parts[place].divides && own.value == parts[place].value);
        if let Some(twin) = twin {
            let (high, low) = (twin.max(place), twin.min(place));
            parts.remove(high);
            parts.remove(low);
            place = 0;
        } else {
            place += 1;
        }
    }
    parts
}

/// A sum with fractions over one denominator: `a/c - b` as `(a - b c)/c`.
pub(super) fn combined(expr: &Expr) -> Option<Expr> {
    let Expr::Sum(_) = expr else { return None };
    let parts = terms(expr);
    if !(2..=5).contains(&parts.len()) {
        return None;
    }
    let mut below: Vec<Factor> = Vec::new();
    for term in &parts {
        for factor in factors(&term.value) {
            if factor.divides && !below.contains(&factor) {
                below.push(factor);
            }
        }
    }
    if below.is_empty() {
        return None;
    }
    let above = sum(parts
        .into_iter()
        .map(|term| {
            let mut own = factors(&term.value);
            own.extend(below.iter().map(|factor| Factor {
                divides: false,
                value: factor.value.clone(),
            }));
            Term {
                sign: term.sign,
                value: product(cancelled(own)),
            }
        })
        .collect());
    let mut whole = vec![Factor {
        divides: false,
        value: above,
    }];
    whole.extend(below);
    Some(product(whole))
}
