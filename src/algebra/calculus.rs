//! Derivatives and definite integrals worked out.
//!
//! A derivative of a quantity that depends on another in an unknown way
//! becomes a symbol of its own: `dx/dt` is as good a kernel as `x`. Everything
//! else is worked out by the rules of sums, products, quotients and chains. A
//! quantity that is not said to depend on anything is constant.

use super::exponent::Exponent;
use super::expr::{Constant, Expr, Factor, Function, Sign, Term};
use super::kernel::{Failure, Kernel, Known};
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};
use super::symbol::{Domain, Symbol, SymbolTable};

/// Derivatives of a higher order than this are not worked out.
pub const HIGHEST_ORDER: u32 = 4;

/// What depends on what, and the symbols of derivatives.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calculus {
    functions: Vec<(Symbol, Symbol)>,
    supposed: Vec<Symbol>,
    derivatives: Vec<(Symbol, Symbol, u32, Symbol)>,
}

/// Why a derivative or an integral was not worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotWorkedOut;

impl Calculus {
    /// Says that `function` depends on `by`.
    pub fn depends(&mut self, function: Symbol, by: Symbol) {
        if function != by && !self.functions.contains(&(function, by)) {
            self.functions.push((function, by));
        }
    }

    /// Supposes that `function` depends on `by`, since it is given by
    /// something that does.
    pub fn suppose(&mut self, function: Symbol, by: Symbol) {
        if function != by && !self.functions.contains(&(function, by)) {
            self.functions.push((function, by));
            self.supposed.push(function);
        }
    }

    /// Whether it is only supposed that a symbol depends on something.
    #[must_use]
    pub fn is_supposed(&self, symbol: Symbol) -> bool {
        self.supposed.contains(&symbol)
    }

    /// Whether nothing depends on anything.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.functions.is_empty()
    }

    /// Whether a symbol depends on another; a derivative does where its
    /// function does.
    #[must_use]
    pub fn is_function(&self, symbol: Symbol, by: Symbol) -> bool {
        let origin = self
            .derivatives
            .iter()
            .find(|entry| entry.3 == symbol)
            .map_or(symbol, |entry| entry.0);
        self.functions.contains(&(origin, by))
    }

    /// The quantities that something depends on.
    #[must_use]
    pub fn variables(&self) -> Vec<Symbol> {
        let mut found = Vec::new();
        for (_, by) in &self.functions {
            if !found.contains(by) {
                found.push(*by);
            }
        }
        found
    }

    /// Whether a symbol stands for a derivative.
    #[must_use]
    pub fn is_derivative(&self, symbol: Symbol) -> bool {
        self.derivatives.iter().any(|entry| entry.3 == symbol)
    }

    /// The derivatives of a lower order that a derivative stands on.
    #[must_use]
    pub fn lower_orders(&self, symbol: Symbol) -> Vec<Symbol> {
        let Some(own) = self.derivatives.iter().find(|entry| entry.3 == symbol) else {
            return Vec::new();
        };
        self.derivatives
            .iter()
            .filter(|entry| entry.0 == own.0 && entry.1 == own.1 && entry.2 < own.2)
            .map(|entry| entry.3)
            .collect()
    }

    /// Gives every derivative of every function a symbol, up to the highest
    /// order.
    pub fn name_all(&mut self, table: &mut SymbolTable) {
        for (function, by) in self.functions.clone() {
            for order in 1..=HIGHEST_ORDER {
                let known = self
                    .derivatives
                    .iter()
                    .any(|entry| (entry.0, entry.1, entry.2) == (function, by, order));
                if known {
                    continue;
                }
                let (above, below) = (table.name(function), table.name(by));
                let name = if order == 1 {
                    format!("d{above}/d{below}")
                } else {
                    format!("d^{order} {above}/d{below}^{order}")
                };
                let symbol = table.intern(&name, Domain::Real);
                self.derivatives.push((function, by, order, symbol));
            }
        }
    }

    fn derivative_of(&self, symbol: Symbol, by: Symbol) -> Option<Symbol> {
        let (origin, order) = self
            .derivatives
            .iter()
            .find(|entry| entry.3 == symbol && entry.1 == by)
            .map_or((symbol, 0), |entry| (entry.0, entry.2));
        self.derivatives
            .iter()
            .find(|entry| entry.0 == origin && entry.1 == by && entry.2 == order + 1)
            .map(|entry| entry.3)
    }

    /// Says of everything that is differentiated in a tree that it depends on
    /// that quantity.
    pub fn learn(&mut self, expr: &Expr) {
        if let Expr::Derivative(own) = expr
            && let Expr::Symbol(symbol) = own.of
        {
            self.depends(symbol, own.by);
        }
        expr.for_each_child(|child| self.learn(child));
    }

    /// The tree with its derivatives and integrals worked out.
    ///
    /// # Errors
    /// One of them can't be.
    pub fn worked_out(&self, expr: &Expr, table: &SymbolTable) -> Result<Expr, NotWorkedOut> {
        if !expr.has_calculus() {
            return Ok(expr.clone());
        }
        match expr {
            Expr::Derivative(own) => {
                let mut value = self.worked_out(&own.of, table)?;
                for _ in 0..own.order {
                    value = self.derivative(&value, own.by)?;
                }
                Ok(value)
            }
            Expr::Integral(own) => {
                let of = self.worked_out(&own.of, table)?;
                let from = self.worked_out(&own.from, table)?;
                let to = self.worked_out(&own.to, table)?;
                self.integral(&of, own.by, &from, &to, table)
            }
            _ => {
                let mut fault = None;
                let made = expr.map_children(|child| match self.worked_out(child, table) {
                    Ok(value) => value,
                    Err(error) => {
                        fault = Some(error);
                        child.clone()
                    }
                });
                fault.map_or(Ok(made), Err)
            }
        }
    }

    /// The derivative of a tree without derivatives and integrals.
    ///
    /// # Errors
    /// There is a doubled sign, or a derivative of too high an order.
    pub fn derivative(&self, expr: &Expr, by: Symbol) -> Result<Expr, NotWorkedOut> {
        if !self.moves(expr, by) {
            return Ok(Expr::integer(0));
        }
        match expr {
            Expr::Number(_) | Expr::Constant(_) => Ok(Expr::integer(0)),
            Expr::Symbol(symbol) if *symbol == by => Ok(Expr::integer(1)),
            Expr::Symbol(symbol) => self
                .derivative_of(*symbol, by)
                .map(Expr::Symbol)
                .ok_or(NotWorkedOut),
            Expr::Sum(terms) => {
                let mut made = Vec::new();
                for term in terms {
                    if !matches!(term.sign, Sign::Plus | Sign::Minus) {
                        return Err(NotWorkedOut);
                    }
                    if self.moves(&term.value, by) {
                        made.push(Term {
                            sign: term.sign,
                            value: self.derivative(&term.value, by)?,
                        });
                    }
                }
                Ok(Expr::Sum(made))
            }
            Expr::Product(factors) => {
                let mut made = Vec::new();
                for (at, factor) in factors.iter().enumerate() {
                    if !self.moves(&factor.value, by) {
                        continue;
                    }
                    let own = self.derivative(&factor.value, by)?;
                    let mut product = factors.clone();
                    let sign = if factor.divides {
                        // (1/g)' = -g'/g^2.
                        product.push(Factor {
                            divides: true,
                            value: factor.value.clone(),
                        });
                        product.push(Factor {
                            divides: false,
                            value: own,
                        });
                        Sign::Minus
                    } else {
                        product[at].value = own;
                        Sign::Plus
                    };
                    made.push(Term {
                        sign,
                        value: Expr::Product(product),
                    });
                }
                Ok(Expr::Sum(made))
            }
            Expr::Power(base, exponent) => self.power(expr, base, exponent, by),
            Expr::Call(function, argument) => {
                let inner = self.derivative(argument, by)?;
                Ok(Expr::mul(slope(*function, argument)?, inner))
            }
            Expr::Derivative(_) | Expr::Integral(_) => Err(NotWorkedOut),
        }
    }

    fn power(
        &self,
        whole: &Expr,
        base: &Expr,
        exponent: &Expr,
        by: Symbol,
    ) -> Result<Expr, NotWorkedOut> {
        let euler = matches!(base, Expr::Constant(Constant::Euler));
        let (base_moves, exponent_moves) = (self.moves(base, by), self.moves(exponent, by));
        let mut terms = Vec::new();
        if base_moves {
            let lowered = match exponent {
                Expr::Number(number) => Expr::Number(number - &Number::ONE),
                other => Expr::sub(other.clone(), Expr::integer(1)),
            };
            let raised = match lowered {
                Expr::Number(number) if number.is_one() => base.clone(),
                lowered => Expr::pow(base.clone(), lowered),
            };
            let inner = self.derivative(base, by)?;
            let outer = Expr::mul(exponent.clone(), raised);
            let value = match inner {
                Expr::Number(number) if number.is_one() => outer,
                inner => Expr::mul(outer, inner),
            };
            terms.push(Term {
                sign: Sign::Plus,
                value,
            });
        }
        if exponent_moves {
            let mut value = Expr::mul(whole.clone(), self.derivative(exponent, by)?);
            if !euler {
                value = Expr::mul(value, Expr::call(Function::Ln, base.clone()));
            }
            terms.push(Term {
                sign: Sign::Plus,
                value,
            });
        }
        Ok(Expr::Sum(terms))
    }

    /// Whether a tree changes with a quantity.
    #[must_use]
    pub fn moves(&self, expr: &Expr, by: Symbol) -> bool {
        expr.symbols()
            .into_iter()
            .any(|symbol| symbol == by || self.is_function(symbol, by))
    }

    /// A definite integral of a tree without derivatives and integrals.
    fn integral(
        &self,
        of: &Expr,
        by: Symbol,
        from: &Expr,
        to: &Expr,
        table: &SymbolTable,
    ) -> Result<Expr, NotWorkedOut> {
        // A quantity that depends on the variable in an unknown way.
        let unknown = of
            .symbols()
            .into_iter()
            .any(|symbol| symbol != by && self.is_function(symbol, by));
        if unknown || of.has_doubled_sign() {
            return Err(NotWorkedOut);
        }
        // The variable runs from limit to limit, whatever its own domain is.
        let mut field = Field::new(table);
        let positive = field
            .settling(|field| {
                let limits = [field.normalise(from)?, field.normalise(to)?];
                Ok(limits.iter().all(|limit| {
                    let kernels = &field.kernels;
                    kernels.polynomial_sign(limit.num()) == Known::Positive
                        && kernels.polynomial_sign(limit.den()) == Known::Positive
                }))
            })
            .map_err(|_| NotWorkedOut)?;
        let mut table = table.clone();
        table.set_domain(
            by,
            if positive {
                Domain::Positive
            } else {
                Domain::Real
            },
        );
        let mut field = Field::new(&table);
        field
            .settling(|field| {
                let integrand = field.normalise(of)?;
                antiderivative(&integrand, by, positive, (from, to), field)
            })
            .map_err(|_| NotWorkedOut)
    }
}

/// The derivative of a function at an argument.
fn slope(function: Function, argument: &Expr) -> Result<Expr, NotWorkedOut> {
    let call = |function| Expr::call(function, argument.clone());
    let one = || Expr::integer(1);
    let square = |value: Expr| Expr::pow(value, Expr::integer(2));
    let over = |value: Expr| Expr::div(one(), value);
    let root = |value: Expr| Expr::call(Function::Sqrt, value);
    let x2 = || square(argument.clone());
    Ok(match function {
        Function::Sqrt => over(Expr::mul(Expr::integer(2), call(Function::Sqrt))),
        Function::Cbrt => over(Expr::mul(Expr::integer(3), square(call(Function::Cbrt)))),
        Function::Abs => Expr::div(argument.clone(), call(Function::Abs)),
        Function::Exp => call(Function::Exp),
        Function::Ln => over(argument.clone()),
        Function::Log10 => over(Expr::mul(
            argument.clone(),
            Expr::call(Function::Ln, Expr::integer(10)),
        )),
        Function::Sin => call(Function::Cos),
        Function::Cos => Expr::neg(call(Function::Sin)),
        Function::Tan => over(square(call(Function::Cos))),
        Function::Sec => Expr::mul(call(Function::Sec), call(Function::Tan)),
        Function::Cosec => Expr::neg(Expr::mul(call(Function::Cosec), call(Function::Cot))),
        Function::Cot => Expr::neg(over(square(call(Function::Sin)))),
        Function::Arcsin => over(root(Expr::sub(one(), x2()))),
        Function::Arccos => Expr::neg(over(root(Expr::sub(one(), x2())))),
        Function::Arctan => over(Expr::add(one(), x2())),
        Function::Sinh => call(Function::Cosh),
        Function::Cosh => call(Function::Sinh),
        Function::Tanh => over(square(call(Function::Cosh))),
        Function::Arsinh => over(root(Expr::add(x2(), one()))),
        Function::Arcosh => over(root(Expr::sub(x2(), one()))),
        Function::Artanh => over(Expr::sub(one(), x2())),
    })
}

/// The difference of an antiderivative at the two limits, term by term.
fn antiderivative(
    integrand: &Normal,
    by: Symbol,
    positive: bool,
    (from, to): (&Expr, &Expr),
    field: &mut Field<'_>,
) -> Result<Expr, Failure> {
    let give_up = Failure::NotWorkedOut;
    let below_moves = integrand
        .den()
        .kernels()
        .into_iter()
        .any(|kernel| field.kernels.mentions(kernel, by));
    if below_moves {
        return Err(give_up);
    }
    let symbols = field.symbols;
    let own = field.kernels.symbol(by, symbols);
    let below = Expr::div(Expr::integer(1), field.polynomial_tree(integrand.den()));
    let mut terms = Vec::new();
    for (monomial, coefficient) in integrand.num().terms() {
        let mut rest = Monomial::one();
        let mut power = Exponent::whole(0)?;
        let mut moving: Vec<(KernelId, Exponent)> = Vec::new();
        for (kernel, exponent) in monomial.factors() {
            if *kernel == own {
                power = *exponent;
            } else if field.kernels.mentions(*kernel, by) {
                moving.push((*kernel, *exponent));
            } else {
                rest = rest.times(&Monomial::power(*kernel, *exponent))?;
            }
        }
        let factor = field.polynomial_tree(&Polynomial::term(rest, coefficient.clone()));
        let primitive = if moving.is_empty() {
            let safe = positive || power.is_whole() && !power.is_negative();
            if !safe {
                return Err(give_up);
            }
            power_rule(by, power)
        } else if power.is_zero() {
            wave_rule(&moving, by, field).ok_or(give_up)?
        } else {
            return Err(give_up);
        };
        let at = |limit: &Expr| primitive.substitute(by, limit);
        terms.push(Term {
            sign: Sign::Plus,
            value: Expr::mul(
                Expr::mul(factor, below.clone()),
                Expr::sub(at(to), at(from)),
            ),
        });
    }
    if terms.is_empty() {
        return Ok(Expr::integer(0));
    }
    Ok(Expr::Sum(terms))
}

fn power_rule(by: Symbol, power: Exponent) -> Expr {
    let x = Expr::Symbol(by);
    let raised = &power.to_number() + &Number::ONE;
    if raised.is_zero() {
        return Expr::call(Function::Ln, x);
    }
    Expr::div(
        Expr::pow(x, Expr::Number(raised.clone())),
        Expr::Number(raised),
    )
}

/// An antiderivative of an exponential, a sine, a cosine, the square of a
/// cosine, or a sine times a cosine, of an argument linear in the variable.
fn wave_rule(moving: &[(KernelId, Exponent)], by: Symbol, field: &mut Field<'_>) -> Option<Expr> {
    let one = Exponent::ONE;
    let two = Exponent::whole(2).ok()?;
    let argument = |kernel: KernelId, field: &Field<'_>| match field.kernels.kernel(kernel) {
        Kernel::Exponential(inner) | Kernel::Sine(inner) | Kernel::Cosine(inner) => {
            Some(inner.clone())
        }
        _ => None,
    };
    let inner = argument(moving[0].0, field)?;
    let rate = rate_of(&inner, by, field)?;
    let angle = field.tree(&inner);
    let call = |function: Function| Expr::call(function, angle.clone());
    let shape = |kernel: KernelId, field: &Field<'_>| match field.kernels.kernel(kernel) {
        Kernel::Exponential(_) => 'e',
        Kernel::Sine(_) => 's',
        Kernel::Cosine(_) => 'c',
        _ => '?',
    };
    let over = |value: Expr| Expr::div(value, rate.clone());
    match moving {
        [(kernel, exponent)] => match (shape(*kernel, field), *exponent) {
            ('e', power) => {
                // The kernel's exponent is a factor of the rate.
                let power = Expr::Number(power.to_number());
                let grown = Expr::call(Function::Exp, Expr::mul(power.clone(), angle.clone()));
                Some(Expr::div(over(grown), power))
            }
            ('s', power) if power == one => Some(over(Expr::neg(call(Function::Cos)))),
            ('c', power) if power == one => Some(over(call(Function::Sin))),
            ('c', power) if power == two => Some(Expr::add(
                Expr::div(Expr::Symbol(by), Expr::integer(2)),
                Expr::div(
                    over(Expr::mul(call(Function::Sin), call(Function::Cos))),
                    Expr::integer(2),
                ),
            )),
            _ => None,
        },
        [(first, one_power), (second, other_power)] => {
            let shapes = (shape(*first, field), shape(*second, field));
            let same = argument(*second, field)? == inner;
            let both = *one_power == one && *other_power == one;
            (matches!(shapes, ('s', 'c') | ('c', 's')) && same && both).then(|| {
                Expr::div(
                    over(Expr::pow(call(Function::Sin), Expr::integer(2))),
                    Expr::integer(2),
                )
            })
        }
        _ => None,
    }
}

/// The factor of the variable in an argument that is linear in it, if it is
/// one that cannot be zero.
fn rate_of(inner: &Normal, by: Symbol, field: &mut Field<'_>) -> Option<Expr> {
    let symbols = field.symbols;
    let own = field.kernels.symbol(by, symbols);
    let hidden = inner
        .num()
        .kernels()
        .into_iter()
        .chain(inner.den().kernels())
        .any(|kernel| kernel != own && field.kernels.mentions(kernel, by))
        || inner.den().contains(own);
    if hidden {
        return None;
    }
    let powers = inner.num().by_powers(own);
    let (_, rate) = powers.iter().find(|(power, _)| *power == Exponent::ONE)?;
    let linear = powers
        .iter()
        .all(|(power, _)| power.is_zero() || *power == Exponent::ONE);
    if !linear || !field.kernels.never_zero(rate) {
        return None;
    }
    Some(Expr::div(
        field.polynomial_tree(rate),
        field.polynomial_tree(inner.den()),
    ))
}
