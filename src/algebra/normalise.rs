//! From a tree as typed to its normal form.

use super::expr::{Constant, Expr, Function, Sign};
use super::kernel::{Failure, Kernel, Known};
use super::limits::{Budget, Exceeded, MAX_DEPTH};
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::Polynomial;
use super::symbol::SymbolTable;

/// Trees this much deeper than a typed one may be are still walked: a proved
/// answer is put into a formula, which adds the depths.
const DEEPEST: usize = 4 * MAX_DEPTH;

/// How often angles may be cut finer before giving up.
const MOST_ROUNDS: usize = 6;

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
            Expr::Symbol(symbol) => {
                let symbols = self.symbols;
                Ok(Normal::kernel(self.kernels.symbol(*symbol, symbols)))
            }
            Expr::Constant(Constant::Pi) => Ok(Normal::kernel(
                self.kernels.intern(Kernel::Pi, Known::Positive),
            )),
            Expr::Constant(Constant::Euler) => Ok(Normal::kernel(
                self.kernels.intern(Kernel::Euler, Known::Positive),
            )),
            Expr::Sum(terms) => self.sum(terms, depth),
            Expr::Product(factors) => {
                let mut result: Option<Normal> = None;
                for factor in factors {
                    let value = self.walk(&factor.value, depth + 1)?;
                    result = Some(match (result, factor.divides) {
                        (None, false) => value,
                        (None, true) => self.reciprocal(&value)?,
                        (Some(so_far), false) => self.times(&so_far, &value)?,
                        (Some(so_far), true) => self.divided(&so_far, &value)?,
                    });
                }
                Ok(result.unwrap_or_else(|| Normal::number(Number::ONE)))
            }
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

    fn sum(&mut self, terms: &[super::expr::Term], depth: usize) -> Result<Normal, Failure> {
        // The usual case, no denominators: collect all terms and sort once.
        let mut collected = Vec::new();
        let mut quotients: Vec<Normal> = Vec::new();
        for term in terms {
            let value = self.walk(&term.value, depth + 1)?;
            let minus = matches!(term.sign, Sign::Minus | Sign::MinusPlus);
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
