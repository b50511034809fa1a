//! From a normal form back to a tree, for what goes on to be put into other
//! expressions or evaluated.

use super::expr::{Constant, Expr, Function, Sign, Term};
use super::kernel::Kernel;
use super::normal::{Field, Normal};
use super::number::Number;
use super::polynomial::{KernelId, Polynomial};

impl Field<'_> {
    /// The normal form as a tree with the same value.
    #[must_use]
    pub fn tree(&self, value: &Normal) -> Expr {
        let above = self.polynomial_tree(value.num());
        if value.den().is_one() {
            above
        } else {
            Expr::div(above, self.polynomial_tree(value.den()))
        }
    }

    /// A polynomial over kernels as a tree with the same value.
    #[must_use]
    pub fn polynomial_tree(&self, polynomial: &Polynomial) -> Expr {
        let mut terms: Vec<Term> = polynomial
            .terms()
            .iter()
            .map(|(monomial, coefficient)| {
                let size = coefficient.abs();
                let mut product: Option<Expr> = (!size.is_one()).then(|| Expr::Number(size));
                for (kernel, exponent) in monomial.factors() {
                    let base = self.kernel_tree(*kernel);
                    let exponent = exponent.to_number();
                    let (divides, power) = (exponent.is_negative(), exponent.abs());
                    let factor = if power.is_one() {
                        base
                    } else if power == Number::new(1, 2) {
                        Expr::call(Function::Sqrt, base)
                    } else {
                        Expr::pow(base, Expr::Number(power))
                    };
                    product = Some(match (product, divides) {
                        (None, false) => factor,
                        (None, true) => Expr::div(Expr::integer(1), factor),
                        (Some(so_far), false) => Expr::mul(so_far, factor),
                        (Some(so_far), true) => Expr::div(so_far, factor),
                    });
                }
                Term {
                    sign: if coefficient.is_negative() {
                        Sign::Minus
                    } else {
                        Sign::Plus
                    },
                    value: product.unwrap_or_else(|| Expr::integer(1)),
                }
            })
            .collect();
        match terms.len() {
            0 => Expr::integer(0),
            1 if terms[0].sign == Sign::Plus => terms.swap_remove(0).value,
            _ => {
                // A sum that begins without a minus reads better.
                if let Some(first) = terms.iter().position(|term| term.sign == Sign::Plus) {
                    terms.swap(0, first);
                }
                Expr::Sum(terms)
            }
        }
    }

    fn kernel_tree(&self, kernel: KernelId) -> Expr {
        match self.kernels.kernel(kernel) {
            Kernel::Symbol(symbol) => Expr::Symbol(*symbol),
            Kernel::Pi => Expr::Constant(Constant::Pi),
            Kernel::Euler => Expr::Constant(Constant::Euler),
            Kernel::Base(inner) => self.polynomial_tree(inner),
            Kernel::Absolute(inner) => Expr::call(Function::Abs, self.polynomial_tree(inner)),
            Kernel::Exponential(inner) => Expr::call(Function::Exp, self.tree(inner)),
            Kernel::Logarithm(inner) => Expr::call(Function::Ln, self.polynomial_tree(inner)),
            Kernel::Sine(inner) => Expr::call(Function::Sin, self.tree(inner)),
            Kernel::Cosine(inner) => Expr::call(Function::Cos, self.tree(inner)),
            Kernel::Arcsine(inner) => Expr::call(Function::Arcsin, self.tree(inner)),
        }
    }
}
