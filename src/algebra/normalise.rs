//! From a tree as typed to its normal form.

use super::exponent::Exponent;
use super::expr::{Constant, Expr, Factor, Function, Sign, Term};
use super::kernel::{Failure, Kernel, Known};
use super::limits::{Budget, Exceeded, MAX_DEPTH};
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::{Monomial, Polynomial};
use super::symbol::{Symbol, SymbolTable};

/// Trees this much deeper than a typed one may be are still walked: a proved
/// answer is put into a formula, which adds the depths.
const DEEPEST: usize = 4 * MAX_DEPTH;

/// How often angles may be cut finer before giving up.
const MOST_ROUNDS: usize = 6;

/// A number times powers of symbols, as it is gathered from a product.
struct PlainTerm {
    monomial: Monomial,
    coefficient: Number,
}

impl Default for PlainTerm {
    fn default() -> Self {
        PlainTerm {
            monomial: Monomial::one(),
            coefficient: Number::ONE,
        }
    }
}

impl PlainTerm {
    fn into_normal(self) -> Normal {
        Normal::polynomial(Polynomial::term(self.monomial, self.coefficient))
    }
}

impl Field<'_> {
    /// The normal form of a tree. Doubled signs are read as their upper
    /// branch; split them first ([`Expr::branches`]).
    ///
    /// # Errors
    /// [`Failure::Undefined`] if the tree is defined nowhere, or a limit.
    pub fn normalise(&mut self, expr: &Expr) -> Result<Normal, Failure> {
        self.walk(expr, 0)
    }

    fn walk(&mut self, expr: &Expr, depth: usize) -> Result<Normal, Failure> {
        if depth > DEEPEST {
            return Err(Failure::Exceeded(Exceeded::Depth));
        }
        self.budget.spend(1)?;
        match expr {
            Expr::Number(number) => Ok(Normal::number(number.clone().checked()?)),
            Expr::Symbol(symbol) => match self.value_of(*symbol) {
                Some(value) => Ok(value.clone()),
                None => {
                    let symbols = self.symbols;
                    Ok(Normal::kernel(self.kernels.symbol(*symbol, symbols)))
                }
            },
            Expr::Constant(Constant::Pi) => Ok(Normal::kernel(
                self.kernels.intern(Kernel::Pi, Known::Positive),
            )),
            Expr::Constant(Constant::Euler) => Ok(Normal::kernel(
                self.kernels.intern(Kernel::Euler, Known::Positive),
            )),
            Expr::Sum(terms) => self.sum(terms, depth),
            Expr::Product(factors) => self.product(factors, depth),
            Expr::Power(base, exponent) => {
                let exponent = self.walk(exponent, depth + 1)?;
                if let Expr::Constant(Constant::Euler) = **base {
                    return self.exponential(&exponent);
                }
                let base = self.walk(base, depth + 1)?;
                self.general_power(&base, &exponent)
            }
            Expr::Call(function, argument) => {
                let argument = self.walk(argument, depth + 1)?;
                self.apply(*function, &argument)
            }
            Expr::Derivative(_) | Expr::Integral(_) => Err(Failure::NotWorkedOut),
        }
    }

    /// A product: what is a number or a power of a symbol is gathered in one
    /// term, which costs nothing, and only the rest is multiplied out.
    fn product(&mut self, factors: &[Factor], depth: usize) -> Result<Normal, Failure> {
        let mut plain = PlainTerm::default();
        let mut rest: Option<Normal> = None;
        for factor in factors {
            if self.gather(&factor.value, factor.divides, &mut plain)? {
                continue;
            }
            let value = self.walk(&factor.value, depth + 1)?;
            rest = Some(match (rest, factor.divides) {
                (None, false) => value,
                (None, true) => self.reciprocal(&value)?,
                (Some(so_far), false) => self.times(&so_far, &value)?,
                (Some(so_far), true) => self.divided(&so_far, &value)?,
            });
        }
        match rest {
            None => Ok(plain.into_normal()),
            Some(rest) => Ok(rest.times_plain(&plain.monomial, &plain.coefficient)?),
        }
    }

    /// Multiplies a number, or a whole power of a symbol, into a term, if
    /// that is what the tree is.
    fn gather(
        &mut self,
        expr: &Expr,
        divides: bool,
        term: &mut PlainTerm,
    ) -> Result<bool, Failure> {
        let (symbol, exponent) = match expr {
            Expr::Number(number) => {
                self.budget.spend(1)?;
                let number = number.clone().checked()?;
                let number = if divides {
                    number.reciprocal().ok_or(Failure::Undefined)?
                } else {
                    number
                };
                term.coefficient = (&term.coefficient * &number).checked()?;
                return Ok(true);
            }
            Expr::Symbol(symbol) => (*symbol, 1),
            Expr::Power(base, exponent) => match (&**base, &**exponent) {
                (Expr::Symbol(symbol), Expr::Number(number)) => match number.to_i64() {
                    Some(whole) => (*symbol, whole),
                    None => return Ok(false),
                },
                _ => return Ok(false),
            },
            _ => return Ok(false),
        };
        if self.value_of(symbol).is_some() {
            return Ok(false);
        }
        self.budget.spend(1)?;
        let symbols = self.symbols;
        let kernel = self.kernels.symbol(symbol, symbols);
        let exponent = Exponent::whole(exponent)?;
        term.monomial.multiply_in(
            kernel,
            if divides {
                exponent.negated()
            } else {
                exponent
            },
        )?;
        Ok(true)
    }

    /// The tree as one term, if it is a number, a whole power of a symbol or
    /// a product of such.
    fn plain_term(&mut self, expr: &Expr) -> Result<Option<PlainTerm>, Failure> {
        let mut term = PlainTerm::default();
        let Expr::Product(factors) = expr else {
            return Ok(self.gather(expr, false, &mut term)?.then_some(term));
        };
        for factor in factors {
            if !self.gather(&factor.value, factor.divides, &mut term)? {
                return Ok(None);
            }
        }
        Ok(Some(term))
    }

    fn sum(&mut self, terms: &[Term], depth: usize) -> Result<Normal, Failure> {
        // The usual case, no denominators: collect all terms and sort once.
        let mut collected = Vec::with_capacity(terms.len());
        let mut quotients: Vec<Normal> = Vec::new();
        for term in terms {
            let minus = matches!(term.sign, Sign::Minus | Sign::MinusPlus);
            if let Some(plain) = self.plain_term(&term.value)? {
                let coefficient = if minus {
                    -&plain.coefficient
                } else {
                    plain.coefficient
                };
                collected.push((plain.monomial, coefficient));
                continue;
            }
            let value = self.walk(&term.value, depth + 1)?;
            if value.den().is_one() {
                let own = value.into_num().into_terms();
                collected.extend(own.into_iter().map(|(monomial, coefficient)| {
                    let coefficient = if minus { -&coefficient } else { coefficient };
                    (monomial, coefficient)
                }));
            } else {
                quotients.push(if minus { self.negated(&value) } else { value });
            }
        }
        let polynomial = Polynomial::from_terms(collected)?;
        let mut sum = Normal::polynomial(self.reduced(polynomial)?);
        for value in &quotients {
            sum = self.plus(&sum, value)?;
        }
        Ok(sum)
    }

    fn apply(&mut self, function: Function, x: &Normal) -> Result<Normal, Failure> {
        let one = Normal::number(Number::ONE);
        let half = Number::new(1, 2);
        match function {
            Function::Sqrt => self.power(x, &half),
            Function::Cbrt => self.power(x, &Number::new(1, 3)),
            Function::Abs => self.absolute(x),
            Function::Exp => self.exponential(x),
            Function::Ln => self.logarithm(x),
            Function::Log10 => {
                let logarithm = self.logarithm(x)?;
                let ten = self.logarithm(&Normal::number(Number::from(10)))?;
                self.divided(&logarithm, &ten)
            }
            Function::Sin => Ok(self.cosine_and_sine(x)?.1),
            Function::Cos => Ok(self.cosine_and_sine(x)?.0),
            Function::Tan => {
                let (cosine, sine) = self.cosine_and_sine(x)?;
                self.divided(&sine, &cosine)
            }
            Function::Sec => {
                let (cosine, _) = self.cosine_and_sine(x)?;
                self.reciprocal(&cosine)
            }
            Function::Cosec => {
                let (_, sine) = self.cosine_and_sine(x)?;
                self.reciprocal(&sine)
            }
            Function::Cot => {
                let (cosine, sine) = self.cosine_and_sine(x)?;
                self.divided(&cosine, &sine)
            }
            Function::Arcsin => self.arcsine(x),
            Function::Arccos => self.arccosine(x),
            Function::Arctan => self.arctangent(x),
            Function::Sinh | Function::Cosh | Function::Tanh => {
                let up = self.exponential(x)?;
                let down = self.reciprocal(&up)?;
                let sum = self.plus(&up, &down)?;
                let difference = self.minus(&up, &down)?;
                let half = Normal::number(half);
                match function {
                    Function::Sinh => self.times(&difference, &half),
                    Function::Cosh => self.times(&sum, &half),
                    _ => self.divided(&difference, &sum),
                }
            }
            Function::Arsinh | Function::Arcosh => {
                let square = self.times(x, x)?;
                let inside = if function == Function::Arsinh {
                    self.plus(&square, &one)?
                } else {
                    self.minus(&square, &one)?
                };
                let root = self.power(&inside, &half)?;
                let sum = self.plus(x, &root)?;
                self.logarithm(&sum)
            }
            Function::Artanh => {
                let above = self.plus(&one, x)?;
                let below = self.minus(&one, x)?;
                let ratio = self.divided(&above, &below)?;
                let logarithm = self.logarithm(&ratio)?;
                self.times(&logarithm, &Normal::number(half))
            }
        }
    }

    /// Runs `work` on this field, again from the start whenever an angle
    /// turns out to be needed in smaller parts.
    ///
    /// # Errors
    /// What `work` gives.
    pub fn settling<T>(
        &mut self,
        mut work: impl FnMut(&mut Self) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        for _ in 0..MOST_ROUNDS {
            match work(self) {
                Err(Failure::SmallerAngle) => {}
                done => return done,
            }
        }
        Err(Failure::Exceeded(Exceeded::Steps))
    }
}

/// Whether two trees are proved equal at every point of the domain where both
/// are defined. `false` says only that no proof was found.
///
/// # Errors
/// [`Failure::Undefined`] if one of them is defined nowhere, or a limit.
pub fn proved_equal(left: &Expr, right: &Expr, symbols: &SymbolTable) -> Result<bool, Failure> {
    proved_equal_within(left, right, symbols, Budget::default())
}

/// Whether `left` and `right` are proved equal with `value` in the place of a
/// symbol: what [`Expr::substitute`] would give, but the value's normal form is
/// made once and no tree is built.
///
/// # Errors
/// [`Failure::Undefined`] if one of them is defined nowhere, or a limit.
pub fn proved_equal_where(
    (left, right): (&Expr, &Expr),
    (symbol, value): (Symbol, &Expr),
    symbols: &SymbolTable,
    budget: Budget,
) -> Result<bool, Failure> {
    // A power of Euler's number is told by its tree.
    if matches!(value, Expr::Constant(_)) {
        let left = left.substitute(symbol, value);
        let right = right.substitute(symbol, value);
        return proved_equal_within(&left, &right, symbols, budget);
    }
    let mut field = Field::with_budget(symbols, budget);
    field.settling(|field| {
        let value = field.normalise(value)?;
        field.given = Some((symbol, value));
        let sides = field
            .normalise(left)
            .and_then(|left| Ok((left, field.normalise(right)?)));
        field.given = None;
        let (left, right) = sides?;
        field.proved_equal(&left, &right)
    })
}

/// [`proved_equal`] with a budget of the caller's choice.
///
/// # Errors
/// [`Failure::Undefined`] if one of them is defined nowhere, or a limit.
pub fn proved_equal_within(
    left: &Expr,
    right: &Expr,
    symbols: &SymbolTable,
    budget: Budget,
) -> Result<bool, Failure> {
    let mut field = Field::with_budget(symbols, budget);
    field.settling(|field| {
        let left = field.normalise(left)?;
        let right = field.normalise(right)?;
        field.proved_equal(&left, &right)
    })
}
