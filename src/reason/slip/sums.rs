//! Mal-rules of sums.

use crate::algebra::expr::{Expr, Factor, Sign, Term};

use super::products::{SMALL, has, proper_subsets, without};
use super::view::{factors, flipped, inverted, is_numeric, negated, product, sum, terms};

pub(super) fn reciprocal_over_sum(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn term_lost(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn term_sign(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Sum(_) = node else { return };
    let parts = terms(node);
    for place in 0..parts.len() {
        let mut changed = parts.clone();
        changed[place].sign = flipped(changed[place].sign);
        into.push(sum(changed));
    }
}

pub(super) fn difference_turned(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn minus_not_shared(node: &Expr, into: &mut Vec<Expr>) {
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
pub(super) fn one_term(node: &Expr, into: &mut Vec<Expr>, divides: bool) {
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

pub(super) fn one_term_divided(node: &Expr, into: &mut Vec<Expr>) {
    one_term(node, into, true);
}

/// A number in front of a bracket, `1/2 (a + b)`, that reached only some terms.
pub(super) fn fraction_reached_one(node: &Expr, into: &mut Vec<Expr>) {
    if factors(node)
        .iter()
        .any(|factor| factor.divides && is_numeric(&factor.value))
    {
        let numeric: Vec<Factor> = factors(node)
            .into_iter()
            .filter(|factor| factor.divides && !is_numeric(&factor.value))
            .collect();
        // Letters below the line make it a division of the bracket.
        if numeric.is_empty() {
            one_term(node, into, true);
        }
    }
}

pub(super) fn one_term_multiplied(node: &Expr, into: &mut Vec<Expr>) {
    one_term(node, into, false);
}

pub(super) fn unlike_joined(node: &Expr, into: &mut Vec<Expr>) {
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
                let joined = Expr::mul(first.value.clone(), second.value.clone());
                join(joined.clone());
                join(Expr::mul(Expr::integer(2), joined));
            }
        }
    }
}

/// `ε/(R + r)` as `ε/R - r`, `ε/(R r)` or `ε/R`.
pub(super) fn factor_not_collected(node: &Expr, into: &mut Vec<Expr>) {
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

/// A bracket that was left out: `a/(b + c)` as `a/b + c`, `2(a - b)/c` as
/// `2a - b/c`.
pub(super) fn bracket_forgotten(node: &Expr, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    for (at, factor) in parts.iter().enumerate() {
        let mut inner = terms(&factor.value);
        if inner.len() < 2 {
            continue;
        }
        let mut rest = parts.clone();
        rest.remove(at);
        if factor.divides {
            let mut first = rest.clone();
            first.push(Factor {
                divides: true,
                value: inner[0].value.clone(),
            });
            inner[0].value = product(first);
            into.push(sum(inner));
        } else {
            let (below, above): (Vec<Factor>, Vec<Factor>) =
                rest.into_iter().partition(|own| own.divides);
            if below.is_empty() || above.is_empty() {
                continue;
            }
            let reach = |term: &mut Term, with: Vec<Factor>| {
                let mut own = factors(&term.value);
                own.extend(with);
                term.value = product(own);
            };
            reach(&mut inner[0], above);
            if let Some(last) = inner.last_mut() {
                reach(last, below);
            }
            into.push(sum(inner));
        }
    }
}

/// `(a c + b d)/(c + d)` as `a + b`: each term cancelled against its own.
pub(super) fn cancelled_term_by_term(node: &Expr, into: &mut Vec<Expr>) {
    by_terms(node, true, into);
}

/// `(a + b)/(c + d)` as `a/c + b/d`.
pub(super) fn term_by_term(node: &Expr, into: &mut Vec<Expr>) {
    by_terms(node, false, into);
}

fn by_terms(node: &Expr, cancels: bool, into: &mut Vec<Expr>) {
    if !matches!(node, Expr::Product(_)) {
        return;
    }
    let parts = factors(node);
    let brackets: Vec<usize> = (0..parts.len())
        .filter(|place| terms(&parts[*place].value).len() >= 2)
        .collect();
    let [one, two] = brackets[..] else { return };
    if parts[one].divides == parts[two].divides {
        return;
    }
    let (above, below) = if parts[one].divides {
        (two, one)
    } else {
        (one, two)
    };
    let (over, under) = (terms(&parts[above].value), terms(&parts[below].value));
    if over.len() != under.len() {
        return;
    }
    let pairs = || over.iter().zip(&under);
    if cancels != pairs().all(|(first, second)| without(&first.value, &second.value).is_some()) {
        return;
    }
    let mut rest = parts.clone();
    rest.remove(above.max(below));
    rest.remove(above.min(below));
    let whole = sum(over
        .into_iter()
        .zip(under)
        .map(|(first, second)| Term {
            sign: first.sign,
            value: Expr::div(first.value, second.value),
        })
        .collect());
    rest.insert(
        0,
        Factor {
            divides: false,
            value: whole,
        },
    );
    into.push(product(rest));
}
