//! Whether the dimensions of an equation balance.
//!
//! Contract: an imbalance is reported only if no choice of dimensions for the
//! symbols without a declared unit could balance the equation together with
//! the ones before it. What can't be decided (an exponent that is a symbol
//! over a base with a unit, several logarithms weighted by symbols) is passed
//! over in silence.
//!
//! The dimension of a symbol without a unit is an unknown that enters each
//! condition linearly; conditions are solved as they come, one unknown each.
//!
//! `ln A = ln A_0 - λ t` is sound even if A has a unit: the two logarithms
//! belong together. So a logarithm carries the dimension of its argument
//! along, and what must vanish is the sum over both sides.

use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::dimension::Dimension;
use crate::algebra::expr::{Constant, Equation, Expr, Function, Sign};
use crate::algebra::limits::MAX_DEPTH;
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

/// Unknown dimensions that one condition may hold; beyond, it is passed over.
const MAX_UNKNOWNS: usize = 12;
/// Replacements that one condition may need; beyond, it is passed over.
const MAX_REPLACEMENTS: usize = 64;

/// Why an equation does not balance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Imbalance {
    /// The two sides differ.
    Sides {
        /// Dimension of the left side.
        left: Dimension,
        /// Dimension of the right side.
        right: Dimension,
    },
    /// Two terms of a sum differ.
    Terms {
        /// Dimension of the terms before it.
        first: Dimension,
        /// Dimension of the term that does not fit.
        other: Dimension,
        /// Where the term is, if its sum is a whole side of the equation.
        place: Option<TermPlace>,
    },
    /// The argument of a function has a unit.
    Argument {
        /// The function.
        function: Function,
        /// Dimension of its argument.
        dimension: Dimension,
    },
    /// An exponent has a unit.
    Exponent {
        /// Dimension of the exponent.
        dimension: Dimension,
    },
    /// What the logarithms take doesn't have a unit of its own on balance.
    Logarithms {
        /// What is left over.
        dimension: Dimension,
    },
}

/// A term of a sum that is a whole side of an equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TermPlace {
    /// Whether it is on the right side.
    pub on_right: bool,
    /// Which term it is, counted from 0.
    pub index: usize,
    /// How many terms there are.
    pub of: usize,
}

/// A dimension in which symbols without a unit take part.
#[derive(Debug, Clone, PartialEq)]
struct Affine {
    dimension: Dimension,
    unknowns: SmallVec<[(Symbol, Number); 4]>,
}

impl Affine {
    fn known(dimension: Dimension) -> Self {
        Affine {
            dimension,
            unknowns: SmallVec::new(),
        }
    }

    fn none() -> Self {
        Affine::known(Dimension::NONE)
    }

    fn is_none(&self) -> bool {
        self.unknowns.is_empty() && self.dimension.is_none()
    }

    fn add(&mut self, other: &Affine, weight: &Number) {
        self.dimension = self.dimension.combine(&other.dimension, weight);
        for (symbol, own) in &other.unknowns {
            let added = own * weight;
            match self.unknowns.iter().position(|(known, _)| known == symbol) {
                Some(at) => {
                    let sum = &self.unknowns[at].1 + &added;
                    if sum.is_zero() {
                        self.unknowns.remove(at);
                    } else {
                        self.unknowns[at].1 = sum;
                    }
                }
                None if !added.is_zero() => self.unknowns.push((*symbol, added)),
                None => {}
            }
        }
    }

    fn times(&self, weight: &Number) -> Affine {
        let mut result = Affine::none();
        result.add(self, weight);
        result
    }
}

/// Dimension of an expression, `None` where it can be anything or can't be
/// told; and what its logarithms carry along.
struct Shape {
    dimension: Option<Affine>,
    logarithms: Option<Affine>,
}

impl Shape {
    fn of(dimension: Affine) -> Self {
        Shape {
            dimension: Some(dimension),
            logarithms: Some(Affine::none()),
        }
    }

    fn anything() -> Self {
        Shape {
            dimension: None,
            logarithms: Some(Affine::none()),
        }
    }
}

/// What is known of the dimensions of a topic's symbols, growing with each
/// equation that is looked at.
#[derive(Debug, Clone, Default)]
pub struct Balance {
    declared: Vec<Option<Dimension>>,
    celsius: Vec<bool>,
    solved: FxHashMap<Symbol, Affine>,
}

/// Facts about the equation at hand.
struct Walk {
    /// How many logarithms it has.
    logarithms: usize,
    /// Whether bare numbers may be temperatures.
    celsius: bool,
    /// Unknowns that this equation has solved, to be taken back if it fails.
    added: Vec<Symbol>,
}

impl Balance {
    /// Nothing known.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Declares the dimension of a symbol; `celsius` if its unit is the degree
    /// Celsius, so that `T = θ + 273.15` is sound.
    pub fn declare(&mut self, symbol: Symbol, dimension: Dimension, celsius: bool) {
        let size = symbol.index() + 1;
        if self.declared.len() < size {
            self.declared.resize(size, None);
            self.celsius.resize(size, false);
        }
        self.declared[symbol.index()] = Some(dimension);
        self.celsius[symbol.index()] = celsius;
    }

    /// The dimension of a symbol, declared or found so far.
    #[must_use]
    pub fn dimension(&self, symbol: Symbol) -> Option<Dimension> {
        let resolved = self.resolve(self.symbol(symbol))?;
        resolved.unknowns.is_empty().then_some(resolved.dimension)
    }

    /// The same declarations with nothing found yet.
    #[must_use]
    pub fn without_findings(&self) -> Self {
        Balance {
            declared: self.declared.clone(),
            celsius: self.celsius.clone(),
            solved: FxHashMap::default(),
        }
    }

    /// Looks at an equation and learns from it if it balances.
    ///
    /// # Errors
    /// How it does not balance. Nothing is learnt from it then.
    pub fn check(&mut self, equation: &Equation) -> Result<(), Box<Imbalance>> {
        let mut walk = Walk {
            logarithms: count_logarithms(&equation.left, 0) + count_logarithms(&equation.right, 0),
            celsius: equation
                .symbols()
                .iter()
                .any(|symbol| self.celsius.get(symbol.index()) == Some(&true)),
            added: Vec::new(),
        };
        let result = self.check_sides(equation, &mut walk);
        if result.is_err() {
            for symbol in walk.added {
                self.solved.remove(&symbol);
            }
        }
        result
    }

    fn check_sides(&mut self, equation: &Equation, walk: &mut Walk) -> Result<(), Box<Imbalance>> {
        let left = self.shape(&equation.left, 0, Some(false), walk)?;
        let right = self.shape(&equation.right, 0, Some(true), walk)?;
        if let (Some(left), Some(right)) = (&left.dimension, &right.dimension)
            && let Err(pair) = self.equate(left, right, walk)
        {
            let (left, right) = *pair;
            return Err(Box::new(Imbalance::Sides { left, right }));
        }
        if let (Some(left), Some(right)) = (&left.logarithms, &right.logarithms)
            && let Err(pair) = self.equate(left, right, walk)
        {
            return Err(Box::new(Imbalance::Logarithms {
                dimension: if pair.0.is_none() {
                    pair.1
                } else {
                    pair.0.over(&pair.1)
                },
            }));
        }
        Ok(())
    }

    fn symbol(&self, symbol: Symbol) -> Affine {
        match self.declared.get(symbol.index()).and_then(Option::as_ref) {
            Some(dimension) => Affine::known(dimension.clone()),
            None => {
                let mut affine = Affine::none();
                affine.unknowns.push((symbol, Number::ONE));
                affine
            }
        }
    }

    /// Replaces unknowns that are solved; `None` beyond the limits.
    fn resolve(&self, mut affine: Affine) -> Option<Affine> {
        for _ in 0..MAX_REPLACEMENTS {
            if affine.unknowns.len() > MAX_UNKNOWNS {
                return None;
            }
            let Some(at) = affine
                .unknowns
                .iter()
                .position(|(symbol, _)| self.solved.contains_key(symbol))
            else {
                return Some(affine);
            };
            let (symbol, weight) = affine.unknowns.remove(at);
            if let Some(value) = self.solved.get(&symbol) {
                affine.add(value, &weight);
            }
        }
        None
    }

    /// Demands that two dimensions are equal; gives both if they can't be.
    fn equate(
        &mut self,
        left: &Affine,
        right: &Affine,
        walk: &mut Walk,
    ) -> Result<(), Box<(Dimension, Dimension)>> {
        let mut difference = left.clone();
        difference.add(right, &Number::from(-1));
        let Some(difference) = self.resolve(difference) else {
            return Ok(());
        };
        let Some((pivot, weight)) = difference.unknowns.first().cloned() else {
            if difference.dimension.is_none() {
                return Ok(());
            }
            // Unknowns may have cancelled; what is shown then is the
            // difference, put on the left.
            let shown = |affine: &Affine| {
                self.resolve(affine.clone())
                    .filter(|affine| affine.unknowns.is_empty())
                    .map(|affine| affine.dimension)
            };
            return Err(Box::new(match (shown(left), shown(right)) {
                (Some(left), Some(right)) => (left, right),
                _ => (difference.dimension, Dimension::NONE),
            }));
        };
        let Some(share) = weight.reciprocal() else {
            return Ok(());
        };
        let mut value = difference;
        value.unknowns.remove(0);
        self.solved.insert(pivot, value.times(&-&share));
        walk.added.push(pivot);
        Ok(())
    }

    /// The dimension of a tree. `side` is set while the tree is a whole side:
    /// whether it is the right one.
    fn shape(
        &mut self,
        tree: &Expr,
        depth: usize,
        side: Option<bool>,
        walk: &mut Walk,
    ) -> Result<Shape, Box<Imbalance>> {
        if depth > MAX_DEPTH {
            return Ok(Shape::anything());
        }
        match tree {
            Expr::Number(number) => Ok(if number.is_zero() || walk.celsius {
                Shape::anything()
            } else {
                Shape::of(Affine::none())
            }),
            Expr::Constant(_) => Ok(Shape::of(Affine::none())),
            // Not checked.
            Expr::Derivative(_) | Expr::Integral(_) => Ok(Shape::anything()),
            Expr::Symbol(symbol) => Ok(Shape::of(self.symbol(*symbol))),
            Expr::Sum(terms) => {
                let mut dimension: Option<Affine> = None;
                let mut logarithms = Some(Affine::none());
                for (index, term) in terms.iter().enumerate() {
                    let inner = side.filter(|_| terms.len() == 1);
                    let shape = self.shape(&term.value, depth + 1, inner, walk)?;
                    let weight = match term.sign {
                        Sign::Plus | Sign::PlusMinus => Number::ONE,
                        Sign::Minus | Sign::MinusPlus => Number::from(-1),
                    };
                    match (&mut logarithms, &shape.logarithms) {
                        (Some(sum), Some(added)) => sum.add(added, &weight),
                        _ => logarithms = None,
                    }
                    let Some(found) = shape.dimension else {
                        continue;
                    };
                    match &dimension {
                        None => dimension = Some(found),
                        Some(first) => {
                            if let Err(pair) = self.equate(first, &found, walk) {
                                let (first, other) = *pair;
                                return Err(Box::new(Imbalance::Terms {
                                    first,
                                    other,
                                    place: side.map(|on_right| TermPlace {
                                        on_right,
                                        index,
                                        of: terms.len(),
                                    }),
                                }));
                            }
                        }
                    }
                }
                Ok(Shape {
                    dimension,
                    logarithms,
                })
            }
            Expr::Product(factors) => {
                let mut dimension = Some(Affine::none());
                let mut scale = Some(Number::ONE);
                let mut carried: Option<Affine> = Some(Affine::none());
                let single = factors.len() == 1;
                for factor in factors {
                    let inner = side.filter(|_| single);
                    // Numbers scale; a Celsius reading has no business here.
                    let numeric = numeric(&factor.value, depth + 1);
                    let weight = Number::from(if factor.divides { -1 } else { 1 });
                    if let Some(number) = numeric {
                        let number = if factor.divides {
                            number.reciprocal()
                        } else {
                            Some(number)
                        };
                        scale = match (scale, number) {
                            (Some(scale), Some(number)) => (&scale * &number).checked().ok(),
                            _ => None,
                        };
                        continue;
                    }
                    let shape = self.shape(&factor.value, depth + 1, inner, walk)?;
                    match (&mut dimension, &shape.dimension) {
                        (Some(product), Some(found)) => product.add(found, &weight),
                        _ => dimension = None,
                    }
                    if shape.logarithms.as_ref().is_some_and(Affine::is_none) {
                        if !matches!(factor.value, Expr::Constant(_)) {
                            scale = None;
                        }
                    } else {
                        // Two factors with logarithms: each is a weight of
                        // the other that is no number.
                        if !carried.as_ref().is_some_and(Affine::is_none) {
                            scale = None;
                        }
                        carried = shape.logarithms;
                    }
                }
                let logarithms = match carried {
                    Some(carried) if carried.is_none() => Some(carried),
                    Some(carried) => match scale {
                        Some(scale) => Some(carried.times(&scale)),
                        // Weighted by a symbol: alone it must be free of
                        // units, among others it can't be told.
                        None if walk.logarithms == 1 => Some(carried),
                        None => None,
                    },
                    None => None,
                };
                Ok(Shape {
                    dimension,
                    logarithms,
                })
            }
            Expr::Power(base, exponent) => self.power(base, exponent, depth, walk),
            Expr::Call(function, argument) => self.call(*function, argument, depth, walk),
        }
    }

    fn power(
        &mut self,
        base: &Expr,
        exponent: &Expr,
        depth: usize,
        walk: &mut Walk,
    ) -> Result<Shape, Box<Imbalance>> {
        let base_shape = self.shape(base, depth + 1, None, walk)?;
        if let Some(number) = numeric(exponent, depth + 1) {
            return Ok(match base_shape.dimension {
                Some(affine) => Shape::of(affine.times(&number)),
                None => Shape::anything(),
            });
        }
        let exponent = self.shape(exponent, depth + 1, None, walk)?;
        if let Some(found) = &exponent.dimension
            && let Err(pair) = self.equate(found, &Affine::none(), walk)
        {
            return Err(Box::new(Imbalance::Exponent { dimension: pair.0 }));
        }
        let lifts = matches!(base, Expr::Constant(Constant::Euler) | Expr::Number(_));
        if lifts {
            return Ok(match exponent.logarithms {
                Some(affine) => Shape::of(affine),
                None => Shape::anything(),
            });
        }
        // p V^γ is sound: what a unit to a symbol's power is can't be told.
        let plain = base_shape
            .dimension
            .and_then(|affine| self.resolve(affine))
            .is_some_and(|affine| affine.is_none());
        Ok(if plain {
            Shape::of(Affine::none())
        } else {
            Shape::anything()
        })
    }

    fn call(
        &mut self,
        function: Function,
        argument: &Expr,
        depth: usize,
        walk: &mut Walk,
    ) -> Result<Shape, Box<Imbalance>> {
        let shape = self.shape(argument, depth + 1, None, walk)?;
        match function {
            Function::Sqrt | Function::Cbrt => {
                let root = Number::new(1, if function == Function::Sqrt { 2 } else { 3 });
                Ok(match shape.dimension {
                    Some(affine) => Shape::of(affine.times(&root)),
                    None => Shape::anything(),
                })
            }
            Function::Abs => Ok(Shape {
                dimension: shape.dimension,
                logarithms: Some(Affine::none()),
            }),
            Function::Ln | Function::Log10 => Ok(Shape {
                dimension: Some(Affine::none()),
                logarithms: shape.dimension,
            }),
            _ => {
                if let Some(found) = &shape.dimension
                    && let Err(pair) = self.equate(found, &Affine::none(), walk)
                {
                    return Err(Box::new(Imbalance::Argument {
                        function,
                        dimension: pair.0,
                    }));
                }
                Ok(match (function, shape.logarithms) {
                    (Function::Exp, Some(affine)) => Shape::of(affine),
                    (Function::Exp, None) => Shape::anything(),
                    _ => Shape::of(Affine::none()),
                })
            }
        }
    }
}

fn count_logarithms(tree: &Expr, depth: usize) -> usize {
    if depth > MAX_DEPTH {
        return 2;
    }
    let mut count = usize::from(matches!(
        tree,
        Expr::Call(Function::Ln | Function::Log10, _)
    ));
    tree.for_each_child(|child| count += count_logarithms(child, depth + 1));
    count
}

/// The value of a tree without symbols, if it is a small rational.
fn numeric(tree: &Expr, depth: usize) -> Option<Number> {
    if depth > MAX_DEPTH {
        return None;
    }
    match tree {
        Expr::Number(number) => Some(number.clone()),
        Expr::Sum(terms) => {
            let mut sum = Number::ZERO;
            for term in terms {
                let value = numeric(&term.value, depth + 1)?;
                sum = match term.sign {
                    Sign::Plus => &sum + &value,
                    Sign::Minus => &sum - &value,
                    Sign::PlusMinus | Sign::MinusPlus => return None,
                }
                .checked()
                .ok()?;
            }
            Some(sum)
        }
        Expr::Product(factors) => {
            let mut product = Number::ONE;
            for factor in factors {
                let value = numeric(&factor.value, depth + 1)?;
                let value = if factor.divides {
                    value.reciprocal()?
                } else {
                    value
                };
                product = (&product * &value).checked().ok()?;
            }
            Some(product)
        }
        Expr::Power(base, exponent) => {
            let exponent = numeric(exponent, depth + 1)?.to_i64()?;
            if exponent.unsigned_abs() > 64 {
                return None;
            }
            numeric(base, depth + 1)?.pow(exponent).ok()
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::symbol::Domain;
    use crate::physics::unit::read_unit;
    use crate::text::{Undeclared, Vocabulary, read_equation};

    /// `units` are pairs like `v: m s^-1`; equations are checked in order and
    /// the last one decides.
    fn check(units: &str, equations: &str) -> Result<(), Box<Imbalance>> {
        let mut vocabulary = Vocabulary::new();
        let mut balance = Balance::new();
        for pair in units.split(',').filter(|pair| !pair.trim().is_empty()) {
            let (symbol, unit) = pair.split_once(':').expect("a colon");
            let symbol = vocabulary.declare(symbol, Domain::Positive);
            let unit = read_unit(unit).expect("a unit");
            balance.declare(symbol, unit.dimension, unit.celsius);
        }
        let mut last = Ok(());
        for equation in equations.split(';') {
            let equation = read_equation(equation.trim(), &mut vocabulary, Undeclared::Declare)
                .unwrap_or_else(|fault| panic!("{fault}"));
            last = balance.check(&equation);
        }
        last
    }

    const MOTION: &str = "v: m s^-1, u: m s^-1, a: m s^-2, t: s, s: m";

    #[test]
    fn sound_equations_pass() {
        for (units, equation) in [
            (MOTION, "v = u + a t"),
            (MOTION, "v^2 = u^2 + 2 a s"),
            (MOTION, "v = sqrt(2 a s)"),
            (MOTION, "v - u - a t = 0"),
            (MOTION, "v = k t"),
            ("", "v = f λ"),
            ("N: 1, λ: s^-1, t: s", "N = N_0 exp(-λ t)"),
            ("A: Bq, B: Bq, λ: s^-1, t: s", "ln A = ln B - λ t"),
            ("A: Bq, B: Bq, n: 1", "ln A = ln B + n ln 2"),
            ("V: V, W: V, R: Ω, C: F, t: s", "t = -R C ln(V/W)"),
            ("V: V, W: V, R: Ω, C: F, t: s", "t = R C (ln W - ln V)"),
            ("p: Pa, V: m^3, γ: 1", "p V^γ = k"),
            ("p: Pa, V: m^3, γ: 1", "ln p + γ ln V = k"),
            ("T: K, θ: °C", "T = θ + 273.15"),
            ("θ: rad, φ: °", "sin θ = cos(2 φ)"),
            ("R: m, A: 1, r: m", "R = r A^(1/3)"),
            ("N: 1, n: 1", "N = N_0/2^n"),
            ("N: 1, t: s, T: s", "N = N_0*2^(-t/T)"),
            ("x: m, A: m, ω: rad s^-1, t: s", "x = A sin(ω t + φ)"),
            ("A: Bq, B: Bq, λ: s^-1, t: s", "A = exp(ln B - λ t)"),
            ("x: m, y: m", "x = ±sqrt(x^2 + y^2)"),
            ("p: Pa", "lg p = a + b lg T"),
        ] {
            assert_eq!(check(units, equation), Ok(()), "{equation}");
        }
    }

    #[test]
    fn unsound_equations_are_named() {
        let dimension = |unit: &str| read_unit(unit).expect("a unit").dimension;
        let sides = |left: &str, right: &str| Imbalance::Sides {
            left: dimension(left),
            right: dimension(right),
        };
        for (equation, expected) in [
            ("v = a t^2", sides("m s^-1", "m")),
            ("s = 4.9 t^2", sides("m", "s^2")),
            (
                "s = u t + a t",
                Imbalance::Terms {
                    first: dimension("m"),
                    other: dimension("m s^-1"),
                    place: Some(TermPlace {
                        on_right: true,
                        index: 1,
                        of: 2,
                    }),
                },
            ),
            (
                "k = sin(v t)",
                Imbalance::Argument {
                    function: Function::Sin,
                    dimension: dimension("m"),
                },
            ),
            (
                "k = 2^(v t)",
                Imbalance::Exponent {
                    dimension: dimension("m"),
                },
            ),
            (
                "k = exp(-t)",
                Imbalance::Argument {
                    function: Function::Exp,
                    dimension: dimension("s"),
                },
            ),
            (
                "t = k ln v",
                Imbalance::Logarithms {
                    dimension: dimension("m s^-1"),
                },
            ),
        ] {
            assert_eq!(
                check(MOTION, equation).err().map(|found| *found),
                Some(expected),
                "{equation}"
            );
        }
    }

    #[test]
    fn what_is_not_declared_is_found_and_kept_to() {
        // k is found in the first, so the second can't hold.
        assert!(check(MOTION, "v = k t ; s = k t").is_err());
        assert_eq!(check(MOTION, "v = k t ; s = k t^2"), Ok(()));
        // Through two unknowns.
        assert!(check(MOTION, "p = q t ; q = v ; p = a").is_err());
        // An equation that fails teaches nothing.
        assert_eq!(check(MOTION, "s = k t + k ; v = k t"), Ok(()));
    }
}
