//! Shapes: what stays of an expression where factors and terms may be moved,
//! gathered, cancelled and one bracket multiplied out, but no two brackets are
//! multiplied and no power of a bracket is worked out.
//!
//! Shapes measure the size of a step, never its truth: roots and quotients are
//! taken as they come. A line is one step from premises if putting one into
//! another gives it in this sense; and it shows where it comes from if a piece
//! of a premise stands in it that does not stand in what is to be shown.

use std::collections::{BTreeMap, BTreeSet};

use crate::algebra::expr::{Equation, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

/// Nodes that an expression may have.
const LARGEST: usize = 120;
/// Terms that a sum may have.
const MOST_TERMS: usize = 16;
/// Premises that are put into each other.
const MOST_PREMISES: usize = 4;

/// A number times powers of what is not taken apart.
#[derive(Debug, Clone)]
struct Part {
    coefficient: Number,
    powers: BTreeMap<String, (Expr, Number)>,
}

impl Part {
    fn number(coefficient: Number) -> Self {
        Part {
            coefficient,
            powers: BTreeMap::new(),
        }
    }

    fn atom(key: String, expr: &Expr) -> Self {
        Part {
            coefficient: Number::ONE,
            powers: BTreeMap::from([(key, (expr.clone(), Number::ONE))]),
        }
    }

    fn times(&self, other: &Part) -> Part {
        let mut product = self.clone();
        product.coefficient = &product.coefficient * &other.coefficient;
        for (key, (expr, exponent)) in &other.powers {
            let own = product
                .powers
                .entry(key.clone())
                .or_insert_with(|| (expr.clone(), Number::ZERO));
            own.1 = &own.1 + exponent;
        }
        product
            .powers
            .retain(|_, (_, exponent)| !exponent.is_zero());
        product
    }

    fn to_the(&self, exponent: &Number) -> Option<Part> {
        let mut power = Part::number(Number::ONE);
        let (above, below) = exponent.to_i64_pair()?;
        let root = match u32::try_from(below).ok()? {
            1 => Some(self.coefficient.clone()),
            index => self.coefficient.exact_root(index),
        };
        if let Some(root) = root {
            power.coefficient = root.pow(above).ok()?;
        } else {
            let key = format!("#{}", self.coefficient);
            let expr = Expr::Number(self.coefficient.clone());
            power.powers.insert(key, (expr, exponent.clone()));
        }
        for (key, (expr, own)) in &self.powers {
            power
                .powers
                .insert(key.clone(), (expr.clone(), own * exponent));
        }
        Some(power)
    }

    fn powers_key(&self) -> String {
        self.powers
            .iter()
            .map(|(key, (_, exponent))| format!("{key}^{exponent};"))
            .collect()
    }

    fn key(&self) -> String {
        format!("{}*{}", self.coefficient, self.powers_key())
    }

    fn expr(&self) -> Expr {
        let mut factors = vec![Factor {
            divides: false,
            value: Expr::Number(self.coefficient.clone()),
        }];
        for (expr, exponent) in self.powers.values() {
            factors.push(Factor {
                divides: false,
                value: Expr::pow(expr.clone(), Expr::Number(exponent.clone())),
            });
        }
        Expr::Product(factors)
    }
}

fn gathered(parts: Vec<Part>) -> Vec<Part> {
    let mut found: BTreeMap<String, Part> = BTreeMap::new();
    for part in parts {
        let key = part.powers_key();
        if let Some(own) = found.get_mut(&key) {
            own.coefficient = &own.coefficient + &part.coefficient;
        } else {
            found.insert(key, part);
        }
    }
    found
        .into_values()
        .filter(|part| !part.coefficient.is_zero())
        .collect()
}

fn sum_of(parts: &[Part]) -> Expr {
    Expr::Sum(
        parts
            .iter()
            .map(|part| Term {
                sign: Sign::Plus,
                value: part.expr(),
            })
            .collect(),
    )
}

/// Several terms as one: what they have in common, times the rest as a
/// whole.
fn as_one(parts: &[Part]) -> Option<Part> {
    let [first, others @ ..] = parts else {
        return None;
    };
    if others.is_empty() {
        return Some(first.clone());
    }
    let mut common = Part::number(Number::ONE);
    let keys: BTreeSet<&String> = parts.iter().flat_map(|part| part.powers.keys()).collect();
    for key in keys {
        let least = parts
            .iter()
            .map(|part| {
                part.powers
                    .get(key)
                    .map_or(Number::ZERO, |(_, exponent)| exponent.clone())
            })
            .min()?;
        if !least.is_zero()
            && let Some((expr, _)) = parts.iter().find_map(|part| part.powers.get(key))
        {
            common.powers.insert(key.clone(), (expr.clone(), least));
        }
    }
    let inverse = common.to_the(&Number::from(-1))?;
    let mut rest = gathered(parts.iter().map(|part| part.times(&inverse)).collect());
    let lead = rest.first()?.coefficient.clone();
    let scale = Part::number(lead.reciprocal()?);
    rest = rest.iter().map(|part| part.times(&scale)).collect();
    let key: Vec<String> = rest.iter().map(Part::key).collect();
    let whole = Part::atom(format!("[{}]", key.join("+")), &sum_of(&rest));
    common.coefficient = lead;
    Some(common.times(&whole))
}

/// The terms of an expression.
fn terms(expr: &Expr) -> Option<Vec<Part>> {
    let found = match expr {
        Expr::Number(number) => vec![Part::number(number.clone())],
        Expr::Symbol(symbol) => vec![Part::atom(format!("s{}", symbol.index()), expr)],
        Expr::Constant(_) => vec![Part::atom(format!("{expr:?}"), expr)],
        Expr::Sum(all) => {
            let mut found = Vec::new();
            for Term { sign, value } in all {
                let scale = match sign {
                    Sign::Plus => Number::ONE,
                    Sign::Minus => Number::from(-1),
                    _ => return None,
                };
                let scale = Part::number(scale);
                found.extend(terms(value)?.iter().map(|part| part.times(&scale)));
            }
            found
        }
        Expr::Product(factors) => {
            let mut whole = vec![Part::number(Number::ONE)];
            for Factor { divides, value } in factors {
                let own = terms(value)?;
                if *divides {
                    let below = as_one(&own)?.to_the(&Number::from(-1))?;
                    whole = whole.iter().map(|part| part.times(&below)).collect();
                    // What was multiplied out before may cancel as a whole.
                    if whole.len() > 1 {
                        let one = as_one(&whole)?;
                        if !one.powers.keys().any(|key| key.starts_with('[')) {
                            whole = vec![one];
                        }
                    }
                } else if let [single] = own.as_slice() {
                    whole = whole.iter().map(|part| part.times(single)).collect();
                } else if let [single] = whole.as_slice() {
                    whole = own.iter().map(|part| part.times(single)).collect();
                } else {
                    whole = vec![as_one(&whole)?.times(&as_one(&own)?)];
                }
            }
            whole
        }
        Expr::Power(base, exponent) => {
            let own = terms(base)?;
            match &**exponent {
                Expr::Number(number) if number.is_one() => own,
                Expr::Number(number) => vec![as_one(&own)?.to_the(number)?],
                other => {
                    let key = format!("({})^({})", as_one(&own)?.key(), key(other)?);
                    vec![Part::atom(key, expr)]
                }
            }
        }
        Expr::Call(Function::Sqrt, inside) => {
            vec![as_one(&terms(inside)?)?.to_the(&Number::new(1, 2))?]
        }
        Expr::Call(function, inside) => {
            let key = format!("{}({})", function.name(), key(inside)?);
            vec![Part::atom(key, expr)]
        }
        Expr::Derivative(_) | Expr::Integral(_) => return None,
    };
    let found = gathered(found);
    (found.len() <= MOST_TERMS).then_some(found)
}

fn key(expr: &Expr) -> Option<String> {
    Some(as_one(&terms(expr)?)?.key())
}

fn difference(equation: &Equation) -> Option<Vec<Part>> {
    (equation.nodes() <= LARGEST)
        .then(|| terms(&equation.difference()))
        .flatten()
}

/// The shape of an equation, the same for all its turned forms.
fn equation_key(equation: &Equation) -> Option<String> {
    let parts = difference(equation)?;
    if let [one, two] = parts.as_slice() {
        let ratio = ratio(one, two)?;
        let first = ratio.powers.values().next()?.1.clone();
        return Some(ratio.to_the(&first.reciprocal()?)?.key());
    }
    as_one(&parts)?
        .powers
        .into_keys()
        .find(|key| key.starts_with('['))
}

/// What equals 1 if two terms add to nothing.
fn ratio(one: &Part, two: &Part) -> Option<Part> {
    let minus = Part::number(Number::from(-1));
    Some(one.times(&two.to_the(&Number::from(-1))?).times(&minus))
}

/// What a premise says each of its letters is, where that takes no more than
/// moving terms and factors.
fn solutions(premise: &Equation) -> Vec<(Symbol, Expr)> {
    let Some(parts) = difference(premise) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for symbol in premise.symbols() {
        let key = format!("s{}", symbol.index());
        let hidden = parts.iter().flat_map(|part| &part.powers).any(
            |(own, (expr, _)): (&String, &(Expr, Number))| *own != key && expr.contains(symbol),
        );
        if !hidden && let Some(value) = solved(&parts, &key) {
            found.push((symbol, value));
        }
    }
    found
}

fn solved(parts: &[Part], key: &str) -> Option<Expr> {
    if let [one, two] = parts {
        let mut rest = ratio(one, two)?;
        let (_, exponent) = rest.powers.remove(key)?;
        let turned = &Number::from(-1) * &exponent.reciprocal()?;
        return Some(rest.to_the(&turned)?.expr());
    }
    let (with, without): (Vec<&Part>, Vec<&Part>) =
        parts.iter().partition(|part| part.powers.contains_key(key));
    let [with] = with.as_slice() else {
        return None;
    };
    let mut with = (*with).clone();
    let (_, exponent) = with.powers.remove(key)?;
    if !exponent.is_one() {
        return None;
    }
    let turned = with.to_the(&Number::from(-1))?;
    let turned = turned.times(&Part::number(Number::from(-1)));
    let rest: Vec<Part> = without.into_iter().cloned().collect();
    Some(Expr::mul(sum_of(&rest), turned.expr()))
}

/// Whether a line is one premise with another put in.
#[must_use]
pub fn is_one_step(line: &Equation, premises: &[&Equation]) -> bool {
    let Some(wanted) = equation_key(line) else {
        return false;
    };
    put_together(premises).any(|made| equation_key(&made).as_ref() == Some(&wanted))
}

fn put_together<'p>(premises: &'p [&'p Equation]) -> impl Iterator<Item = Equation> + 'p {
    let premises = &premises[..premises.len().min(MOST_PREMISES)];
    premises.iter().enumerate().flat_map(move |(at, base)| {
        premises
            .iter()
            .enumerate()
            .filter(move |(other, _)| *other != at)
            .flat_map(|(_, rule)| solutions(rule))
            .filter(|(symbol, _)| base.symbols().contains(symbol))
            .map(|(symbol, value)| base.substitute(symbol, &value))
    })
}

/// Whether a line is an earlier one with two premises put in, each in a place
/// of its own.
#[must_use]
pub fn is_twofold(line: &Equation, base: &Equation, rules: [&Equation; 2]) -> bool {
    let Some(wanted) = equation_key(line) else {
        return false;
    };
    let spoken = base.symbols();
    let [one, two] = rules.map(|rule| {
        let mut found = solutions(rule);
        found.retain(|(symbol, _)| spoken.contains(symbol));
        found
    });
    one.iter().any(|(first, value)| {
        two.iter().any(|(second, other)| {
            let apart = first != second && !value.contains(*second) && !other.contains(*first);
            let made = || base.substitute(*first, value).substitute(*second, other);
            apart && equation_key(&made()).as_ref() == Some(&wanted)
        })
    })
}

/// Whether two lines have the same two sides, factors and terms moved about
/// within them.
#[must_use]
pub fn has_same_sides(first: &Equation, second: &Equation) -> bool {
    let keys = |equation: &Equation| Some([key(&equation.left)?, key(&equation.right)?]);
    match (keys(first), keys(second)) {
        (Some(one), Some([left, right])) => {
            one == [left.clone(), right.clone()] || one == [right, left]
        }
        _ => first == second || *first == second.flipped(),
    }
}

/// Adds the shapes of the pieces of an expression: what stands in it as a
/// whole, and runs of factors.
fn add_pieces(expr: &Expr, found: &mut BTreeSet<String>) {
    let mut add = |piece: &Expr| {
        let Some(part) = terms(piece).and_then(|parts| as_one(&parts)) else {
            return;
        };
        // One letter, or its power, is no sign of anything.
        let whole = |key: &String| !key.starts_with('s') && !key.starts_with('#');
        if part.powers.len() > 1 || part.powers.keys().any(whole) {
            found.insert(part.key());
        }
    };
    match expr {
        Expr::Symbol(_) | Expr::Number(_) | Expr::Constant(_) => return,
        Expr::Product(factors) => {
            for from in 0..factors.len() {
                for to in from + 2..=factors.len() {
                    add(&product(&factors[from..to]));
                }
            }
        }
        other => add(other),
    }
    expr.for_each_child(|child| add_pieces(child, found));
}

fn product(factors: &[Factor]) -> Expr {
    let mut all = factors.to_vec();
    if all.first().is_some_and(|factor| factor.divides) {
        let one = Factor {
            divides: false,
            value: Expr::integer(1),
        };
        all.insert(0, one);
    }
    Expr::Product(all)
}

/// The sides of a premise without one of their factors, which may cancel.
fn cancelled(side: &Expr) -> Vec<Expr> {
    let Expr::Product(factors) = side else {
        return Vec::new();
    };
    (0..factors.len())
        .filter(|at| factors.len() > 2 && matches!(factors[*at].value, Expr::Symbol(_)))
        .map(|at| {
            let mut fewer = factors.clone();
            fewer.remove(at);
            product(&fewer)
        })
        .collect()
}

/// Whether a piece of the premises, or of one put into another, stands in a
/// line and not in what is to be shown.
#[must_use]
pub fn shows_origin(line: &[Equation], premises: &[&Equation], goal: &[Expr]) -> bool {
    let nodes = |equation: &Equation| equation.nodes() <= LARGEST;
    let (mut own, mut aim, mut of_premises) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for equation in line.iter().filter(|equation| nodes(equation)) {
        add_pieces(&equation.left, &mut own);
        add_pieces(&equation.right, &mut own);
    }
    for side in goal {
        add_pieces(side, &mut aim);
    }
    own.retain(|piece| !aim.contains(piece));
    if own.is_empty() {
        return false;
    }
    let made: Vec<Equation> = put_together(premises).collect();
    for (equation, given) in premises
        .iter()
        .map(|equation| (*equation, true))
        .chain(made.iter().map(|equation| (equation, false)))
        .filter(|(equation, _)| nodes(equation))
    {
        for side in [&equation.left, &equation.right] {
            add_pieces(side, &mut of_premises);
            if given {
                for less in cancelled(side) {
                    add_pieces(&less, &mut of_premises);
                }
            }
        }
    }
    own.iter().any(|piece| of_premises.contains(piece))
}
