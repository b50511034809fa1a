//! Mal-rules of functions, logarithms and exponents.

use crate::algebra::expr::{Equation, Expr, Factor, Function, Sign, Term};

use super::view::{exponential, factors, inverted, is_numeric, negated, product, sum, terms};

pub(super) fn is_inverse(function: Function) -> bool {
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

pub(super) fn undone(function: Function) -> Option<Function> {
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

pub(super) fn is_plain_function(function: Function) -> bool {
    !is_inverse(function) && !matches!(function, Function::Sqrt | Function::Cbrt | Function::Abs)
}

pub(super) fn inverse_as_reciprocal(node: &Expr, into: &mut Vec<Expr>) {
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
                        .chain(factors(&inverted(&Expr::call(forward, Expr::integer(1)))))
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

pub(super) fn inverse_function_forgotten(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Call(function, inside) = node
        && (is_inverse(*function) || matches!(function, Function::Ln | Function::Log10))
    {
        into.push((**inside).clone());
    }
}

pub(super) fn function_as_factor(node: &Expr, into: &mut Vec<Expr>) {
    if let Expr::Call(function, inside) = node
        && is_plain_function(*function)
    {
        into.push((**inside).clone());
    }
    // ln a - ln b as a - b, in the form ln(a/b).
    if let Expr::Call(Function::Ln | Function::Log10, inside) = node
        && let Some((above, below)) = quotient(inside)
    {
        into.push(Expr::sub(above, below));
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

pub(super) fn function_partly(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn log_of_sum(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn log_quotient(node: &Expr, into: &mut Vec<Expr>) {
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
        // The same slip in the other way of writing it, -ln(b/a).
        into.push(Expr::neg(Expr::div(log(&below), log(&above))));
    }
    if below.is_empty() && above.len() == 2 {
        into.push(Expr::mul(log(&above[..1]), log(&above[1..])));
    }
}

/// ln a - ln b as ln(a - b).
pub(super) fn logs_joined(node: &Expr, into: &mut Vec<Expr>) {
    let Expr::Call(function @ (Function::Ln | Function::Log10), inside) = node else {
        return;
    };
    if let Some((above, below)) = quotient(inside) {
        into.push(Expr::call(*function, Expr::sub(above, below)));
    }
}

/// Numerator and denominator, if there are both.
fn quotient(expr: &Expr) -> Option<(Expr, Expr)> {
    let (below, above): (Vec<Factor>, Vec<Factor>) =
        factors(expr).into_iter().partition(|factor| factor.divides);
    let upright = |factor: Factor| Factor {
        divides: false,
        ..factor
    };
    (!below.is_empty() && !above.is_empty()).then(|| {
        (
            product(above),
            product(below.into_iter().map(upright).collect()),
        )
    })
}

pub(super) fn exponent_sign(node: &Expr, into: &mut Vec<Expr>) {
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

pub(super) fn exponent_down(node: &Expr, into: &mut Vec<Expr>) {
    if let Some(inside) = exponential(node) {
        into.push(inside.clone());
    } else if let Expr::Power(base, exponent) = node
        && !is_numeric(exponent)
    {
        into.push(Expr::mul((**base).clone(), (**exponent).clone()));
    }
}

/// The formula with every call of one function dropped, for each function
/// that it calls more than once: `sin i / sin r` as `i/r`.
pub(super) fn dropped_everywhere(formula: &Equation) -> Vec<(Function, Equation)> {
    fn calls(expr: &Expr, found: &mut Vec<Function>) {
        if let Expr::Call(function, _) = expr
            && is_plain_function(*function)
        {
            found.push(*function);
        }
        expr.for_each_child(|child| calls(child, found));
    }
    fn without(expr: &Expr, function: Function) -> Expr {
        match expr {
            Expr::Call(own, inside) if *own == function => without(inside, function),
            other => other.map_children(|child| without(child, function)),
        }
    }
    let mut found = Vec::new();
    calls(&formula.left, &mut found);
    calls(&formula.right, &mut found);
    let mut several: Vec<Function> = Vec::new();
    for (place, function) in found.iter().enumerate() {
        if found[..place].contains(function) && !several.contains(function) {
            several.push(*function);
        }
    }
    several
        .into_iter()
        .map(|function| {
            let bare = Equation::new(
                without(&formula.left, function),
                without(&formula.right, function),
            );
            (function, bare)
        })
        .collect()
}
