//! Kernels: what the variables of a normal form stand for.

use rustc_hash::FxHashMap;

use super::limits::Exceeded;
use super::normal::Normal;
use super::number::Number;
use super::polynomial::{KernelId, Monomial, Polynomial};
use super::symbol::{Domain, Symbol, SymbolTable};

/// What a variable of a normal form stands for.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Kernel {
    /// A quantity.
    Symbol(Symbol),
    /// The ratio of circumference to diameter.
    Pi,
    /// The base of natural logarithms.
    Euler,
    /// A polynomial that is not negative wherever the expression is defined,
    /// under a fractional power: the exponent stays in [0, 1), whole powers
    /// being multiplied out. A prime number is such a base too.
    Base(Polynomial),
    /// The absolute value of a polynomial of unknown sign; the exponent stays
    /// in [0, 2).
    Absolute(Polynomial),
    /// The exponential of one term.
    Exponential(Normal),
    /// The natural logarithm of a polynomial.
    Logarithm(Polynomial),
    /// The sine of an angle; its square is written in the cosine.
    Sine(Normal),
    /// The cosine of an angle.
    Cosine(Normal),
    /// The inverse sine.
    Arcsine(Normal),
}

/// What is known of a sign, wherever the value is defined on the domain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// Greater than zero.
    Positive,
    /// Zero or greater.
    Nonnegative,
    /// Less than zero.
    Negative,
    /// Zero or less.
    Nonpositive,
    /// Nothing.
    Unknown,
}

impl Known {
    /// What is known of the opposite value.
    #[must_use]
    pub fn flipped(self) -> Self {
        match self {
            Known::Positive => Known::Negative,
            Known::Nonnegative => Known::Nonpositive,
            Known::Negative => Known::Positive,
            Known::Nonpositive => Known::Nonnegative,
            Known::Unknown => Known::Unknown,
        }
    }
}

/// Interned kernels with what is known of their signs.
#[derive(Debug, Clone, Default)]
pub struct KernelTable {
    kernels: Vec<(Kernel, Known)>,
    index: FxHashMap<Kernel, KernelId>,
    symbols: Vec<Option<KernelId>>,
    pub(super) has_relations: bool,
    pub(super) has_sines: bool,
}

impl KernelTable {
    /// The kernel behind a number.
    #[must_use]
    pub fn kernel(&self, id: KernelId) -> &Kernel {
        &self.kernels[id.0 as usize].0
    }

    /// All kernels that were met.
    pub fn all(&self) -> impl Iterator<Item = &Kernel> {
        self.kernels.iter().map(|(kernel, _)| kernel)
    }

    /// What is known of the kernel's sign.
    #[must_use]
    pub fn known(&self, id: KernelId) -> Known {
        self.kernels[id.0 as usize].1
    }

    /// The number of a kernel that exists already.
    #[must_use]
    pub fn find(&self, kernel: &Kernel) -> Option<KernelId> {
        self.index.get(kernel).copied()
    }

    /// The kernel of a quantity.
    pub fn symbol(&mut self, symbol: Symbol, symbols: &SymbolTable) -> KernelId {
        let index = symbol.index();
        if self.symbols.len() <= index {
            self.symbols.resize(index + 1, None);
        }
        if let Some(id) = self.symbols[index] {
            return id;
        }
        let known = match symbols.domain(symbol) {
            Domain::Positive | Domain::Acute => Known::Positive,
            Domain::Nonnegative => Known::Nonnegative,
            Domain::Real => Known::Unknown,
        };
        let id = self.push(Kernel::Symbol(symbol), known);
        self.symbols[index] = Some(id);
        id
    }

    /// The number of a kernel other than a symbol, with what is known of its
    /// sign if it is new.
    pub fn intern(&mut self, kernel: Kernel, known: Known) -> KernelId {
        if let Some(id) = self.index.get(&kernel) {
            return *id;
        }
        match kernel {
            Kernel::Base(_) | Kernel::Absolute(_) => self.has_relations = true,
            Kernel::Sine(_) => {
                self.has_relations = true;
                self.has_sines = true;
            }
            _ => {}
        }
        let id = self.push(kernel.clone(), known);
        self.index.insert(kernel, id);
        id
    }

    fn push(&mut self, kernel: Kernel, known: Known) -> KernelId {
        let id = KernelId(u32::try_from(self.kernels.len()).unwrap_or(u32::MAX));
        self.kernels.push((kernel, known));
        id
    }

    /// Whether a symbol is in a kernel, or in what the kernel is made of.
    #[must_use]
    pub fn mentions(&self, id: KernelId, symbol: Symbol) -> bool {
        let in_polynomial = |polynomial: &Polynomial| {
            polynomial
                .kernels()
                .into_iter()
                .any(|own| self.mentions(own, symbol))
        };
        match self.kernel(id) {
            Kernel::Symbol(own) => *own == symbol,
            Kernel::Pi | Kernel::Euler => false,
            Kernel::Base(inner) | Kernel::Absolute(inner) | Kernel::Logarithm(inner) => {
                in_polynomial(inner)
            }
            Kernel::Exponential(inner)
            | Kernel::Sine(inner)
            | Kernel::Cosine(inner)
            | Kernel::Arcsine(inner) => in_polynomial(inner.num()) || in_polynomial(inner.den()),
        }
    }

    /// What is known of a monomial's sign.
    #[must_use]
    pub fn monomial_sign(&self, monomial: &Monomial) -> Known {
        let mut strict = true;
        for (kernel, exponent) in monomial.factors() {
            match self.known(*kernel) {
                Known::Positive => {}
                Known::Nonnegative => strict = false,
                _ if exponent.is_even() => strict = false,
                _ => return Known::Unknown,
            }
        }
        if strict {
            Known::Positive
        } else {
            Known::Nonnegative
        }
    }

    /// What is known of a polynomial's sign: something where all terms have
    /// one sign, nothing otherwise.
    #[must_use]
    pub fn polynomial_sign(&self, polynomial: &Polynomial) -> Known {
        let mut strict = false;
        let mut signs = [false, false];
        for (monomial, coefficient) in polynomial.terms() {
            match self.monomial_sign(monomial) {
                Known::Positive => strict = true,
                Known::Nonnegative => {}
                _ => return Known::Unknown,
            }
            signs[usize::from(coefficient.is_negative())] = true;
        }
        match (signs, strict) {
            ([true, false], true) => Known::Positive,
            ([true, false], false) => Known::Nonnegative,
            ([false, true], true) => Known::Negative,
            ([false, true], false) => Known::Nonpositive,
            _ => Known::Unknown,
        }
    }

    /// Whether a polynomial cannot be zero on the domain.
    #[must_use]
    pub fn never_zero(&self, polynomial: &Polynomial) -> bool {
        matches!(
            self.polynomial_sign(polynomial),
            Known::Positive | Known::Negative
        )
    }
}

/// Why a normal form could not be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failure {
    /// A limit was reached.
    Exceeded(Exceeded),
    /// The expression is defined nowhere: it divides by zero, or takes a root
    /// or logarithm of a negative number.
    Undefined,
    /// A derivative or an integral stands there that was not worked out
    /// ([`super::calculus`]).
    NotWorkedOut,
    /// An angle turned out to be needed in smaller parts than were assumed:
    /// the normal forms must be made anew. Never leaves the algebra room.
    SmallerAngle,
}

impl From<Exceeded> for Failure {
    fn from(exceeded: Exceeded) -> Self {
        Failure::Exceeded(exceeded)
    }
}

/// A whole number as a polynomial, for the roots of primes.
pub(super) fn prime_base(prime: Number) -> Polynomial {
    Polynomial::constant(prime)
}
