//! Tidy builders: sums, products, powers and roots in the form that a careful
//! hand would write. They change form only; the value stays, on the domain.
//!
//! A coefficient comes first, then letters in the formula's order, those with
//! a power after the plain ones, then brackets, then functions; one fraction
//! bar; square roots under one sign.

use smallvec::SmallVec;

use crate::algebra::expr::{Constant, Expr, Factor, Function, Sign, Term};
use crate::algebra::limits::Exceeded;
use crate::algebra::number::Number;
use crate::algebra::symbol::SymbolTable;

use super::monomial::{Monomial, opposite, sign_product};
use super::signs::{Signs, signs};

/// The builders, with the domains and the order of letters they go by.
#[derive(Debug)]
pub struct Tidy<'a> {
    /// Names and domains.
    pub table: &'a SymbolTable,
    rank: Vec<usize>,
}

impl<'a> Tidy<'a> {
    /// Builders that keep the letters in the order of `order`.
    #[must_use]
    pub fn new(table: &'a SymbolTable, order: &[crate::algebra::symbol::Symbol]) -> Self {
        let mut rank = vec![usize::MAX; table.len()];
        for (place, symbol) in order.iter().enumerate() {
            if let Some(slot) = rank.get_mut(symbol.index()) {
                *slot = place;
            }
        }
        Tidy { table, rank }
    }

    /// What the domains say about the sign.
    #[must_use]
    pub fn signs(&self, expr: &Expr) -> Signs {
        signs(expr, self.table)
    }

    /// `expr` as one product of powers. A sum of several terms is a base.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn monomial(&self, expr: &Expr) -> Result<Monomial, Exceeded> {
        Ok(match expr {
            Expr::Number(number) => Monomial::number(number),
            Expr::Sum(terms) if terms.len() == 1 => {
                let mut made = self.monomial(&terms[0].value)?;
                made.sign = sign_product(terms[0].sign, made.sign);
                made
            }
            Expr::Product(factors) => {
                let mut made = Monomial::number(&Number::ONE);
                for factor in factors {
                    let own = self.monomial(&factor.value)?;
                    // A written division by zero stays as it was written.
                    if factor.divides && own.is_zero() {
                        return Ok(Monomial::atom(expr.clone(), Number::ONE));
                    }
                    made = made.times(&if factor.divides { own.inverted() } else { own });
                }
                made.coefficient = made.coefficient.checked()?;
                made
            }
            Expr::Power(base, exponent) => {
                if let Expr::Number(number) = plain_number(exponent) {
                    self.power(&self.monomial(base)?, &number)?
                } else {
                    Monomial::atom(expr.clone(), Number::ONE)
                }
            }
            Expr::Call(Function::Sqrt, argument) => {
                self.power(&self.monomial(argument)?, &Number::new(1, 2))?
            }
            Expr::Call(Function::Cbrt, argument) => {
                self.power(&self.monomial(argument)?, &Number::new(1, 3))?
            }
            Expr::Call(Function::Abs, argument) if self.signs(argument).is_nonnegative() => {
                self.monomial(argument)?
            }
            Expr::Call(Function::Exp, argument) => Monomial::atom(
                Expr::pow(Expr::Constant(Constant::Euler), (**argument).clone()),
                Number::ONE,
            ),
            other => Monomial::atom(other.clone(), Number::ONE),
        })
    }

    /// Like [`Tidy::monomial`], but a root of a product with the subject inside
    /// stays one factor: `2 pi sqrt(l/g)` is freed of `2 pi` first.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn monomial_around(
        &self,
        expr: &Expr,
        subject: crate::algebra::symbol::Symbol,
    ) -> Result<Monomial, Exceeded> {
        let root = |value: &Expr| -> Result<Option<Monomial>, Exceeded> {
            let (inside, exponent) = match value {
                Expr::Call(Function::Sqrt, inside) => (inside, Number::new(1, 2)),
                Expr::Call(Function::Cbrt, inside) => (inside, Number::new(1, 3)),
                Expr::Power(base, power) => match plain_number(power) {
                    Expr::Number(number) if !number.is_integer() => (base, number),
                    _ => return Ok(None),
                },
                _ => return Ok(None),
            };
            if !inside.contains(subject) {
                return Ok(None);
            }
            let own = self.monomial(inside)?;
            let simple = own.factors.len() == 1 && own.coefficient.is_one();
            Ok((!simple).then(|| Monomial::atom((**inside).clone(), exponent)))
        };
        if let Some(made) = root(expr)? {
            return Ok(made);
        }
        match expr {
            Expr::Product(factors) => {
                let mut made = Monomial::number(&Number::ONE);
                for factor in factors {
                    let own = self.monomial_around(&factor.value, subject)?;
                    if factor.divides && own.is_zero() {
                        return self.monomial(expr);
                    }
                    made = made.times(&if factor.divides { own.inverted() } else { own });
                }
                made.coefficient = made.coefficient.checked()?;
                Ok(made)
            }
            Expr::Sum(terms) if terms.len() == 1 => {
                let mut made = self.monomial_around(&terms[0].value, subject)?;
                made.sign = sign_product(terms[0].sign, made.sign);
                Ok(made)
            }
            _ => self.monomial(expr),
        }
    }

    /// A power with a number as its exponent. Roots are shared over the
    /// factors that cannot be negative; the others stay under one root.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn power(&self, base: &Monomial, exponent: &Number) -> Result<Monomial, Exceeded> {
        if exponent.is_zero() {
            return Ok(Monomial::number(&Number::ONE));
        }
        if exponent.is_one() {
            return Ok(base.clone());
        }
        if base.is_zero() {
            // Zero to a negative power is left to whoever wrote it.
            return Ok(if exponent.is_negative() {
                Monomial::atom(
                    Expr::pow(Expr::integer(0), Expr::Number(exponent.clone())),
                    Number::ONE,
                )
            } else {
                base.clone()
            });
        }
        if let Some(whole) = exponent.to_i64() {
            let mut made = Monomial::number(&base.coefficient.pow(whole)?);
            if whole % 2 != 0 {
                made.sign = base.sign;
            }
            for (own, power) in &base.factors {
                // (x^(1/2))^2 = x where the root is defined.
                made.push(own.clone(), power * exponent);
            }
            return Ok(made.normalise());
        }
        let root = exponent.denominator().to_i64().unwrap_or(0);
        let raise = exponent.numerator();
        let mut made = Monomial::number(&Number::ONE);
        let mut inside = Monomial::number(&Number::ONE);
        inside.sign = base.sign;
        for (own, power) in &base.factors {
            let sign = self.signs(own);
            if sign.is_nonnegative() || !power.is_integer() {
                made.push(own.clone(), power * exponent);
            } else if power.numerator().to_i64().is_some_and(|n| n % 2 == 0) {
                let positive = Expr::call(Function::Abs, own.clone());
                made.push(positive, power * exponent);
            } else {
                inside.push(own.clone(), power.clone());
            }
        }
        // A quotient under a root keeps its number inside; a whole number or a
        // root that comes out altogether does not.
        let stays = !base.coefficient.is_integer()
            && (!inside.is_one() || made.factors.iter().any(|(_, power)| !power.is_integer()));
        match u32::try_from(root)
            .ok()
            .and_then(|index| base.coefficient.exact_root(index))
        {
            Some(value) if !stays => {
                made.coefficient = value.pow(raise.to_i64().ok_or(Exceeded::Bits)?)?;
            }
            _ => made.push(Expr::Number(base.coefficient.clone()), exponent.clone()),
        }
        if !inside.is_one() {
            if inside.factors.len() == 1 && inside.sign == Sign::Plus {
                // The root of one thing is the thing to a power of its own.
                let (own, power) = inside.factors[0].clone();
                made.push(own, &power * exponent);
                return Ok(made.normalise());
            }
            if inside.is_number() && inside.sign == Sign::Minus {
                // The root of a negative number times nonnegative things: no
                // real value. It stays whole.
                return Ok(Monomial::atom(self.build(base), exponent.clone()));
            }
            made.push(self.build(&inside), exponent.clone());
        }
        Ok(made.normalise())
    }

    fn order_key(&self, base: &Expr, exponent: &Number) -> (u8, usize) {
        let rank = |symbol: &crate::algebra::symbol::Symbol| {
            self.rank.get(symbol.index()).copied().unwrap_or(usize::MAX)
        };
        match base {
            Expr::Number(_) => (0, 0),
            Expr::Constant(_) => (1, 0),
            Expr::Symbol(symbol) if exponent.is_one() => (2, rank(symbol)),
            Expr::Symbol(symbol) if exponent.is_integer() => (3, rank(symbol)),
            Expr::Symbol(symbol) => (4, rank(symbol)),
            Expr::Sum(_) | Expr::Product(_) => (5, 0),
            Expr::Call(..) | Expr::Derivative(_) | Expr::Integral(_) => (6, 0),
            Expr::Power(..) => (7, 0),
        }
    }

    /// The tree of a monomial.
    #[must_use]
    pub fn build(&self, monomial: &Monomial) -> Expr {
        self.build_in(monomial, true)
    }

    fn build_in(&self, monomial: &Monomial, formula_order: bool) -> Expr {
        let mut sign = monomial.sign;
        let mut factors: SmallVec<[(Expr, Number); 4]> = monomial.factors.clone();
        // -(a - b)/c is written (b - a)/c.
        if matches!(sign, Sign::Minus) {
            for (base, exponent) in &mut factors {
                let odd = exponent.to_i64().is_some_and(|n| n == 1 || n == -1);
                if odd
                    && let Expr::Sum(terms) = base
                    && terms.iter().any(|term| term.sign == Sign::Minus)
                    && terms
                        .iter()
                        .all(|term| matches!(term.sign, Sign::Plus | Sign::Minus))
                {
                    *base = opposed(terms);
                    sign = Sign::Plus;
                    break;
                }
            }
        }
        let mut groups = Groups::default();
        let (half, third) = (Number::new(1, 2), Number::new(1, 3));
        factors.sort_by_key(|(base, exponent)| {
            let (class, rank) = self.order_key(base, &exponent.abs());
            (class, if formula_order { rank } else { 0 })
        });
        for (base, exponent) in factors {
            if let Expr::Power(inner, power) = &base
                && !matches!(**power, Expr::Number(_))
            {
                let scaled = self.scale(power, &exponent);
                groups.above.push(Expr::pow((**inner).clone(), scaled));
                continue;
            }
            let size = exponent.abs();
            let below = exponent.is_negative();
            if matches!(base, Expr::Call(..)) && groups.root_place.is_none() {
                // Roots stand before functions: √(a b) sin x.
                groups.root_place = Some(groups.above.len());
            }
            if size == half {
                groups.root_mut(2, below).push(base);
            } else if size == third {
                groups.root_mut(3, below).push(base);
            } else {
                let value = if size.is_one() {
                    base
                } else {
                    Expr::pow(base, Expr::Number(size))
                };
                if below {
                    groups.below.push(value);
                } else {
                    groups.above.push(value);
                }
            }
        }
        groups.finish(&monomial.coefficient, sign)
    }

    /// `power * scale`, for an exponent with letters in it.
    fn scale(&self, power: &Expr, scale: &Number) -> Expr {
        if scale.is_one() {
            return power.clone();
        }
        if let Expr::Sum(terms) = power
            && terms.len() > 1
            && *scale == Number::MINUS_ONE
        {
            return opposed(terms);
        }
        match self.monomial(power) {
            Ok(own) => self.build(&own.times(&Monomial::number(scale))),
            Err(_) => Expr::mul(Expr::Number(scale.clone()), power.clone()),
        }
    }

    /// `left * right`.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn multiply(&self, left: &Expr, right: &Expr) -> Result<Expr, Exceeded> {
        let product = self.monomial(left)?.times(&self.monomial(right)?);
        Ok(self.build(&self.cancelled(product)?))
    }

    /// Cancels a letter that divides every term of a bracket against the same
    /// letter outside: `2(m g h + m u^2)/m` is `2(g h + u^2)`.
    fn cancelled(&self, product: Monomial) -> Result<Monomial, Exceeded> {
        let bracket = product.factors.iter().position(|(base, exponent)| {
            matches!(base, Expr::Sum(terms) if terms.len() > 1)
                && (exponent.is_one() || *exponent == Number::MINUS_ONE)
        });
        let Some(place) = bracket else {
            return Ok(product);
        };
        let (base, exponent) = product.factors[place].clone();
        let mut parts = Vec::new();
        for term in terms_of(&base) {
            let mut own = self.monomial(&term.value)?;
            own.sign = sign_product(own.sign, term.sign);
            parts.push(own);
        }
        let shared = super::expand::content(&parts);
        let mut out = Monomial::number(&Number::ONE);
        for (letter, power) in &shared.factors {
            let outside = product.exponent(letter).cloned().unwrap_or(Number::ZERO);
            let opposed = &outside * &exponent;
            if matches!(letter, Expr::Symbol(_)) && power.is_positive() && opposed.is_negative() {
                let most = if *power < outside.abs() {
                    power.clone()
                } else {
                    outside.abs()
                };
                out.factors.push((letter.clone(), most));
            }
        }
        // 2(a + b/2) is 2a + b.
        let mut scale = Number::ONE;
        for part in &parts {
            let bottom = part.coefficient.denominator();
            let common = super::expand::common_measure(&scale, &bottom);
            scale = &(&scale * &bottom) / &common;
        }
        if exponent.is_one()
            && !scale.is_one()
            && !is_decimal(&scale.reciprocal().unwrap_or(Number::ONE))
            && (&product.coefficient / &scale).is_integer()
        {
            // What goes out of the bracket is one over what comes in.
            out.coefficient = scale.reciprocal().unwrap_or(Number::ONE);
        }
        if out.is_one() {
            return Ok(product);
        }
        let mut made = product;
        made.factors.remove(place);
        let down = out.inverted();
        let rest: Vec<Monomial> = parts.iter().map(|part| part.times(&down)).collect();
        let bracket = self.monomial(&self.sum(&rest))?;
        let (bracket, out) = if exponent.is_one() {
            (bracket, out)
        } else {
            (bracket.inverted(), down)
        };
        Ok(made.times(&bracket).times(&out))
    }

    /// `left / right`; `right` is not zero.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn divide(&self, left: &Expr, right: &Expr) -> Result<Expr, Exceeded> {
        Ok(self.build(
            &self
                .monomial(left)?
                .times(&self.monomial(right)?.inverted()),
        ))
    }

    /// A power with a number as its exponent.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn raise(&self, base: &Expr, exponent: &Number) -> Result<Expr, Exceeded> {
        Ok(self.build(&self.power(&self.monomial(base)?, exponent)?))
    }

    /// A sum of monomials, like ones joined.
    #[must_use]
    pub fn sum(&self, monomials: &[Monomial]) -> Expr {
        self.sum_in(monomials, true)
    }

    /// The same with the letters in the order in which they were multiplied.
    #[must_use]
    pub fn sum_as_multiplied(&self, monomials: &[Monomial]) -> Expr {
        self.sum_in(monomials, false)
    }

    fn sum_in(&self, monomials: &[Monomial], formula_order: bool) -> Expr {
        let terms = monomials
            .iter()
            .map(|monomial| {
                let plain = Monomial {
                    sign: Sign::Plus,
                    ..monomial.clone()
                };
                Term {
                    sign: monomial.sign,
                    value: self.build_in(&plain, formula_order),
                }
            })
            .collect();
        join(terms)
    }

    /// `left + right` or `left - right`, with like terms joined and opposite
    /// ones gone. Terms that are not touched stay as they were written.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn add(&self, left: &Expr, sign: Sign, right: &Expr) -> Result<Expr, Exceeded> {
        let mut terms: Vec<(Term, Monomial)> = Vec::new();
        let parts = terms_of(left)
            .into_iter()
            .chain(terms_of(right).into_iter().map(|term| Term {
                sign: sign_product(term.sign, sign),
                value: term.value,
            }));
        for term in parts {
            let mut own = self.monomial(&term.value)?;
            own.sign = sign_product(own.sign, term.sign);
            let doubled = |sign| matches!(sign, Sign::PlusMinus | Sign::MinusPlus);
            if let Some(place) = terms.iter().position(|(_, other)| {
                other.is_like(&own) && doubled(other.sign) == doubled(own.sign)
            }) {
                let other = &terms[place].1;
                let same = other.sign == own.sign;
                let total = if same {
                    &other.coefficient + &own.coefficient
                } else {
                    &other.coefficient - &own.coefficient
                };
                if total.is_zero() {
                    terms.remove(place);
                    continue;
                }
                let joined = Monomial {
                    sign: if total.is_negative() {
                        own.sign
                    } else {
                        other.sign
                    },
                    coefficient: total.abs(),
                    factors: other.factors.clone(),
                };
                let plain = Monomial {
                    sign: Sign::Plus,
                    ..joined.clone()
                };
                terms[place] = (
                    Term {
                        sign: joined.sign,
                        value: self.build(&plain),
                    },
                    joined,
                );
            } else if !own.is_zero() {
                terms.push((term, own));
            }
        }
        Ok(join(terms.into_iter().map(|(term, _)| term).collect()))
    }

    /// The other sign of `expr`.
    ///
    /// # Errors
    /// [`Exceeded`] if a number grows too large.
    pub fn negate(&self, expr: &Expr) -> Result<Expr, Exceeded> {
        if let Expr::Sum(terms) = expr
            && terms.len() > 1
        {
            return self.add(&Expr::integer(0), Sign::Minus, expr);
        }
        Ok(self.build(&self.monomial(expr)?.negated()))
    }
}

#[derive(Default)]
struct Groups {
    root_place: Option<usize>,
    above: Vec<Expr>,
    below: Vec<Expr>,
    roots: [(Vec<Expr>, Vec<Expr>); 2],
}

impl Groups {
    fn root_mut(&mut self, index: usize, below: bool) -> &mut Vec<Expr> {
        let group = &mut self.roots[index - 2];
        if below { &mut group.1 } else { &mut group.0 }
    }

    fn finish(mut self, coefficient: &Number, sign: Sign) -> Expr {
        for (index, function) in [Function::Sqrt, Function::Cbrt].into_iter().enumerate() {
            let (above, below) = std::mem::take(&mut self.roots[index]);
            if above.is_empty() && below.is_empty() {
                continue;
            }
            let mut scale = Number::ONE;
            let mut plain = |group: Vec<Expr>, under: bool| -> Vec<Expr> {
                group
                    .into_iter()
                    .filter_map(|value| match value {
                        Expr::Number(number) => {
                            let own = if under {
                                number.reciprocal().unwrap_or(Number::ONE)
                            } else {
                                number
                            };
                            scale = &scale * &own;
                            None
                        }
                        other => Some(other),
                    })
                    .collect()
            };
            let above = plain(above, false);
            let below = plain(below, true);
            if above.is_empty() && !below.is_empty() && scale.numerator().is_one() {
                let inside = quotient(below, Vec::new(), &scale.denominator());
                self.below.push(Expr::call(function, inside));
            } else {
                let inside = quotient(above, below, &scale);
                let place = self.root_place.unwrap_or(self.above.len());
                self.above.insert(place, Expr::call(function, inside));
            }
        }
        let value = quotient(self.above, self.below, coefficient);
        if sign == Sign::Plus {
            value
        } else {
            Expr::Sum(vec![Term { sign, value }])
        }
    }
}

/// A decimal such as 6.63e-34 stays one number; a fraction such as 3/2 is
/// shared between numerator and denominator.
#[must_use]
pub fn is_decimal(number: &Number) -> bool {
    match number.to_i64_pair() {
        Some((_, denominator)) => {
            denominator > 12 && {
                let mut left = denominator;
                while left % 10 == 0 {
                    left /= 10;
                }
                while left % 2 == 0 {
                    left /= 2;
                }
                while left % 5 == 0 {
                    left /= 5;
                }
                left == 1
            }
        }
        None => true,
    }
}

fn quotient(above: Vec<Expr>, below: Vec<Expr>, coefficient: &Number) -> Expr {
    let letters = |value: &Expr| match value {
        Expr::Symbol(_) | Expr::Constant(_) => true,
        Expr::Power(base, _) => matches!(**base, Expr::Symbol(_)),
        _ => false,
    };
    // A half of m v^2 is written with the fraction in front.
    let fraction_first = below.is_empty() && above.len() > 1 && above.iter().all(letters);
    let (over, under) = if is_decimal(coefficient) || fraction_first {
        (coefficient.clone(), Number::ONE)
    } else {
        (coefficient.numerator(), coefficient.denominator())
    };
    let mut numerator: Vec<Expr> = Vec::with_capacity(above.len() + 1);
    if !over.is_one() || above.is_empty() {
        numerator.push(Expr::Number(over));
    }
    numerator.extend(above);
    let mut denominator: Vec<Expr> = Vec::with_capacity(below.len() + 1);
    if !under.is_one() {
        denominator.push(Expr::Number(under));
    }
    denominator.extend(below);
    if denominator.is_empty() {
        return product(numerator);
    }
    if numerator.len() == 1
        && denominator.len() == 1
        && let (Expr::Number(over), Expr::Number(under)) = (&numerator[0], &denominator[0])
    {
        return Expr::Number(over / under);
    }
    let mut factors: Vec<Factor> = numerator
        .into_iter()
        .map(|value| Factor {
            divides: false,
            value,
        })
        .collect();
    factors.push(Factor {
        divides: true,
        value: product(denominator),
    });
    Expr::Product(factors)
}

fn product(mut values: Vec<Expr>) -> Expr {
    if values.len() == 1 {
        return values.remove(0);
    }
    Expr::Product(
        values
            .into_iter()
            .map(|value| Factor {
                divides: false,
                value,
            })
            .collect(),
    )
}

/// The terms of a sum, nested sums flattened; one term for anything else.
#[must_use]
pub fn terms_of(expr: &Expr) -> Vec<Term> {
    let mut found = Vec::new();
    push_terms(expr, Sign::Plus, &mut found);
    found
}

fn push_terms(expr: &Expr, sign: Sign, found: &mut Vec<Term>) {
    match expr {
        Expr::Sum(terms) => {
            for term in terms {
                push_terms(&term.value, sign_product(sign, term.sign), found);
            }
        }
        Expr::Number(number) if number.is_negative() => found.push(Term {
            sign: opposite(sign),
            value: Expr::Number(number.abs()),
        }),
        other => found.push(Term {
            sign,
            value: other.clone(),
        }),
    }
}

/// A sum of terms with no minus in front where a plus can come first.
#[must_use]
pub fn join(mut terms: Vec<Term>) -> Expr {
    if terms.is_empty() {
        return Expr::integer(0);
    }
    let doubled = |sign| matches!(sign, Sign::PlusMinus | Sign::MinusPlus);
    // (-b ± root) keeps its order, as the quadratic formula has it.
    let formula = terms[0].sign == Sign::Minus && terms.iter().any(|term| doubled(term.sign));
    if terms[0].sign != Sign::Plus
        && !formula
        && let Some(place) = terms.iter().position(|term| term.sign == Sign::Plus)
    {
        let first = terms.remove(place);
        terms.insert(0, first);
    }
    if terms.len() == 1 && terms[0].sign == Sign::Plus {
        return terms.remove(0).value;
    }
    Expr::Sum(terms)
}

/// An exponent as a plain number, where it is one (`-2` is a sum of one term,
/// `3/2` may be a quotient).
#[must_use]
pub fn plain_number(exponent: &Expr) -> Expr {
    fn value(expr: &Expr) -> Option<Number> {
        match expr {
            Expr::Number(number) => Some(number.clone()),
            Expr::Sum(terms) if terms.len() == 1 => {
                let own = value(&terms[0].value)?;
                match terms[0].sign {
                    Sign::Plus => Some(own),
                    Sign::Minus => Some(-&own),
                    _ => None,
                }
            }
            Expr::Product(factors) => {
                let mut made = Number::ONE;
                for factor in factors {
                    let own = value(&factor.value)?;
                    made = if factor.divides {
                        &made * &own.reciprocal()?
                    } else {
                        &made * &own
                    };
                }
                made.checked().ok()
            }
            _ => None,
        }
    }
    value(exponent).map_or_else(|| exponent.clone(), Expr::Number)
}
/// A sum with every sign turned.
fn opposed(terms: &[Term]) -> Expr {
    let turned = terms.iter().map(|term| Term {
        sign: opposite(term.sign),
        value: term.value.clone(),
    });
    join(turned.collect())
}
