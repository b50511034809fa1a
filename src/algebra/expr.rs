//! The tree as typed. Nothing simplifies when a tree is built: what a student
//! typed is kept, so that it can be shown back and slips can be found in it.
//! Deciding is done on the normal form.
//!
//! Sums and products are flat lists, so that a long line is not a deep tree.

use super::number::Number;
use super::symbol::Symbol;

/// A mathematical constant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Constant {
    /// The ratio of circumference to diameter.
    Pi,
    /// The base of natural logarithms.
    Euler,
}

/// A function of one argument. Angles are in radians.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Function {
    /// Square root of a nonnegative number.
    Sqrt,
    /// Cube root of a nonnegative number.
    Cbrt,
    /// Absolute value.
    Abs,
    /// Exponential.
    Exp,
    /// Natural logarithm of a positive number.
    Ln,
    /// Common (base ten) logarithm of a positive number.
    Log10,
    /// Sine.
    Sin,
    /// Cosine.
    Cos,
    /// Tangent.
    Tan,
    /// Reciprocal of the cosine.
    Sec,
    /// Reciprocal of the sine.
    Cosec,
    /// Reciprocal of the tangent.
    Cot,
    /// Inverse sine, from -pi/2 to pi/2.
    Arcsin,
    /// Inverse cosine, from 0 to pi.
    Arccos,
    /// Inverse tangent, strictly between -pi/2 and pi/2.
    Arctan,
    /// Hyperbolic sine.
    Sinh,
    /// Hyperbolic cosine.
    Cosh,
    /// Hyperbolic tangent.
    Tanh,
    /// Inverse hyperbolic sine.
    Arsinh,
    /// Inverse hyperbolic cosine, of 1 or more.
    Arcosh,
    /// Inverse hyperbolic tangent, strictly between -1 and 1.
    Artanh,
}

impl Function {
    /// Whether it takes an angle: sine, cosine, tangent and their
    /// reciprocals.
    #[must_use]
    pub fn is_circular(self) -> bool {
        matches!(
            self,
            Function::Sin
                | Function::Cos
                | Function::Tan
                | Function::Sec
                | Function::Cosec
                | Function::Cot
        )
    }

    /// Whether its value is an angle: inverse sine, cosine and tangent.
    #[must_use]
    pub fn is_inverse_circular(self) -> bool {
        matches!(self, Function::Arcsin | Function::Arccos | Function::Arctan)
    }

    /// The name under which `rejig` prints the function.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Function::Sqrt => "sqrt",
            Function::Cbrt => "cbrt",
            Function::Abs => "abs",
            Function::Exp => "exp",
            Function::Ln => "ln",
            Function::Log10 => "lg",
            Function::Sin => "sin",
            Function::Cos => "cos",
            Function::Tan => "tan",
            Function::Sec => "sec",
            Function::Cosec => "cosec",
            Function::Cot => "cot",
            Function::Arcsin => "arcsin",
            Function::Arccos => "arccos",
            Function::Arctan => "arctan",
            Function::Sinh => "sinh",
            Function::Cosh => "cosh",
            Function::Tanh => "tanh",
            Function::Arsinh => "arsinh",
            Function::Arcosh => "arcosh",
            Function::Artanh => "artanh",
        }
    }
}

/// The sign in front of a term. All doubled signs of one line belong
/// together: the upper signs are one reading of it, the lower ones the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sign {
    /// `+`, or nothing in front of the first term.
    Plus,
    /// `-`.
    Minus,
    /// `±`: plus in the upper branch.
    PlusMinus,
    /// `∓`: minus in the upper branch.
    MinusPlus,
}

/// A term of a sum with its sign.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// The sign in front.
    pub sign: Sign,
    /// What is added or taken away.
    pub value: Expr,
}

/// A factor of a product.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// Whether it divides (`a / b`) rather than multiplies.
    pub divides: bool,
    /// What is multiplied or divided by.
    pub value: Expr,
}

/// An expression as typed.
#[derive(Debug, Clone, PartialEq)]
pub enum Expr {
    /// An exact number; decimals are exact too.
    Number(Number),
    /// A quantity.
    Symbol(Symbol),
    /// pi or Euler's number.
    Constant(Constant),
    /// Signed terms, at least one. A single term with a minus is a negation.
    Sum(Vec<Term>),
    /// Factors, at least one, the first never dividing (`1/x` has the number
    /// one first).
    Product(Vec<Factor>),
    /// Base and exponent.
    Power(Box<Expr>, Box<Expr>),
    /// A function of an argument.
    Call(Function, Box<Expr>),
    /// A derivative as typed. It has no value of its own until
    /// [`super::calculus`] works it out.
    Derivative(Box<Derivative>),
    /// A definite integral as typed. It has no value of its own until
    /// [`super::calculus`] works it out.
    Integral(Box<Integral>),
}

/// `d^n of/d by^n`.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivative {
    /// What is differentiated.
    pub of: Expr,
    /// By which quantity.
    pub by: Symbol,
    /// How often: 1 or more.
    pub order: u32,
}

/// `int(of, by, from, to)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Integral {
    /// What is integrated.
    pub of: Expr,
    /// Over which quantity.
    pub by: Symbol,
    /// The lower limit.
    pub from: Expr,
    /// The upper limit.
    pub to: Expr,
}

/// Two sides that are said to be equal.
#[derive(Debug, Clone, PartialEq)]
pub struct Equation {
    /// The left side.
    pub left: Expr,
    /// The right side.
    pub right: Expr,
}

impl Equation {
    /// `left = right`.
    #[must_use]
    pub fn new(left: Expr, right: Expr) -> Self {
        Equation { left, right }
    }

    /// Left side minus right side.
    #[must_use]
    pub fn difference(&self) -> Expr {
        Expr::sub(self.left.clone(), self.right.clone())
    }

    /// Symbols of both sides, each once, in order of first appearance.
    #[must_use]
    pub fn symbols(&self) -> Vec<Symbol> {
        let mut found = Vec::new();
        self.left.collect_symbols(&mut found);
        self.right.collect_symbols(&mut found);
        found
    }

    /// How many nodes the two sides have.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.left.nodes() + self.right.nodes()
    }

    /// The same equation with the sides exchanged.
    #[must_use]
    pub fn flipped(&self) -> Self {
        Equation::new(self.right.clone(), self.left.clone())
    }

    /// Both sides with `symbol` replaced by `value`.
    #[must_use]
    pub fn substitute(&self, symbol: Symbol, value: &Expr) -> Self {
        Equation::new(
            self.left.substitute(symbol, value),
            self.right.substitute(symbol, value),
        )
    }

    /// Both sides with every symbol exchanged for another.
    #[must_use]
    pub fn with_symbols(&self, moved: &dyn Fn(Symbol) -> Symbol) -> Self {
        Equation::new(
            self.left.with_symbols(moved),
            self.right.with_symbols(moved),
        )
    }
}

// `add` and its like take trees by value as plain functions; operators on
// trees would hide that a tree is built and nothing is worked out.
#[allow(clippy::should_implement_trait)]
impl Expr {
    /// A whole number.
    #[must_use]
    pub fn integer(value: i64) -> Self {
        Expr::Number(Number::from(value))
    }

    /// `left + right`; a sum on the left is extended, not nested.
    #[must_use]
    pub fn add(left: Expr, right: Expr) -> Self {
        Self::with_term(left, Sign::Plus, right)
    }

    /// `left - right`.
    #[must_use]
    pub fn sub(left: Expr, right: Expr) -> Self {
        Self::with_term(left, Sign::Minus, right)
    }

    fn with_term(left: Expr, sign: Sign, value: Expr) -> Self {
        let mut terms = match left {
            Expr::Sum(terms) => terms,
            other => vec![Term {
                sign: Sign::Plus,
                value: other,
            }],
        };
        terms.push(Term { sign, value });
        Expr::Sum(terms)
    }

    /// `-value`.
    #[must_use]
    pub fn neg(value: Expr) -> Self {
        Expr::Sum(vec![Term {
            sign: Sign::Minus,
            value,
        }])
    }

    /// `left * right`; a product on the left is extended, not nested.
    #[must_use]
    pub fn mul(left: Expr, right: Expr) -> Self {
        Self::with_factor(left, false, right)
    }

    /// `left / right`.
    #[must_use]
    pub fn div(left: Expr, right: Expr) -> Self {
        Self::with_factor(left, true, right)
    }

    fn with_factor(left: Expr, divides: bool, value: Expr) -> Self {
        let mut factors = match left {
            Expr::Product(factors) => factors,
            other => vec![Factor {
                divides: false,
                value: other,
            }],
        };
        factors.push(Factor { divides, value });
        Expr::Product(factors)
    }

    /// `base ^ exponent`.
    #[must_use]
    pub fn pow(base: Expr, exponent: Expr) -> Self {
        Expr::Power(Box::new(base), Box::new(exponent))
    }

    /// `function(argument)`.
    #[must_use]
    pub fn call(function: Function, argument: Expr) -> Self {
        Expr::Call(function, Box::new(argument))
    }

    /// Calls `visit` on the direct children, in order.
    pub fn for_each_child<'a>(&'a self, mut visit: impl FnMut(&'a Expr)) {
        match self {
            Expr::Number(_) | Expr::Symbol(_) | Expr::Constant(_) => {}
            Expr::Sum(terms) => terms.iter().for_each(|term| visit(&term.value)),
            Expr::Product(factors) => factors.iter().for_each(|factor| visit(&factor.value)),
            Expr::Power(base, exponent) => {
                visit(base);
                visit(exponent);
            }
            Expr::Call(_, argument) => visit(argument),
            Expr::Derivative(own) => visit(&own.of),
            Expr::Integral(own) => {
                visit(&own.of);
                visit(&own.from);
                visit(&own.to);
            }
        }
    }

    /// Whether `test` holds of the node itself or of any below it.
    pub fn any_node(&self, test: &mut impl FnMut(&Expr) -> bool) -> bool {
        if test(self) {
            return true;
        }
        let mut found = false;
        self.for_each_child(|child| found = found || child.any_node(test));
        found
    }

    /// How many nodes the tree has.
    #[must_use]
    pub fn nodes(&self) -> usize {
        let mut count = 1;
        self.for_each_child(|child| count += child.nodes());
        count
    }

    /// The same node with every direct child replaced by what `change` makes
    /// of it.
    #[must_use]
    pub fn map_children(&self, mut change: impl FnMut(&Expr) -> Expr) -> Expr {
        match self {
            Expr::Number(_) | Expr::Symbol(_) | Expr::Constant(_) => self.clone(),
            Expr::Sum(terms) => Expr::Sum(
                terms
                    .iter()
                    .map(|term| Term {
                        sign: term.sign,
                        value: change(&term.value),
                    })
                    .collect(),
            ),
            Expr::Product(factors) => Expr::Product(
                factors
                    .iter()
                    .map(|factor| Factor {
                        divides: factor.divides,
                        value: change(&factor.value),
                    })
                    .collect(),
            ),
            Expr::Power(base, exponent) => Expr::pow(change(base), change(exponent)),
            Expr::Call(function, argument) => Expr::call(*function, change(argument)),
            Expr::Derivative(own) => Expr::Derivative(Box::new(Derivative {
                of: change(&own.of),
                by: own.by,
                order: own.order,
            })),
            Expr::Integral(own) => Expr::Integral(Box::new(Integral {
                of: change(&own.of),
                by: own.by,
                from: change(&own.from),
                to: change(&own.to),
            })),
        }
    }

    /// Adds the symbols of the tree to `found`, each once.
    pub fn collect_symbols(&self, found: &mut Vec<Symbol>) {
        if let Expr::Symbol(symbol) = self {
            if !found.contains(symbol) {
                found.push(*symbol);
            }
        } else {
            self.for_each_child(|child| child.collect_symbols(found));
            if let Some(by) = self.own_variable()
                && !found.contains(&by)
            {
                found.push(by);
            }
        }
    }

    /// The symbols of the tree, each once, in order of first appearance.
    #[must_use]
    pub fn symbols(&self) -> Vec<Symbol> {
        let mut found = Vec::new();
        self.collect_symbols(&mut found);
        found
    }

    /// How often `symbol` appears.
    #[must_use]
    pub fn occurrences(&self, symbol: Symbol) -> usize {
        if let Expr::Symbol(own) = self {
            return usize::from(*own == symbol);
        }
        let mut count = usize::from(self.own_variable() == Some(symbol));
        self.for_each_child(|child| count += child.occurrences(symbol));
        count
    }

    /// Whether `symbol` appears.
    #[must_use]
    pub fn contains(&self, symbol: Symbol) -> bool {
        self.any_node(&mut |node| match node {
            Expr::Symbol(own) => *own == symbol,
            other => other.own_variable() == Some(symbol),
        })
    }

    /// The quantity by which a derivative or an integral goes.
    fn own_variable(&self) -> Option<Symbol> {
        match self {
            Expr::Derivative(own) => Some(own.by),
            Expr::Integral(own) => Some(own.by),
            _ => None,
        }
    }

    /// Whether a derivative or an integral appears.
    #[must_use]
    pub fn has_calculus(&self) -> bool {
        self.any_node(&mut |node| node.own_variable().is_some())
    }

    /// The tree with every occurrence of `symbol` replaced by `value`.
    /// Derivatives and integrals are worked out before anything is put in:
    /// one that is still there stays as it is.
    #[must_use]
    pub fn substitute(&self, symbol: Symbol, value: &Expr) -> Expr {
        match self {
            Expr::Symbol(own) if *own == symbol => value.clone(),
            Expr::Derivative(_) | Expr::Integral(_) => self.clone(),
            other => other.map_children(|child| child.substitute(symbol, value)),
        }
    }

    /// The tree with every symbol exchanged for another, those by which
    /// derivatives and integrals go among them.
    #[must_use]
    pub fn with_symbols(&self, moved: &dyn Fn(Symbol) -> Symbol) -> Expr {
        let mut tree = self.map_children(|child| child.with_symbols(moved));
        match &mut tree {
            Expr::Symbol(own) => *own = moved(*own),
            Expr::Derivative(own) => own.by = moved(own.by),
            Expr::Integral(own) => own.by = moved(own.by),
            _ => {}
        }
        tree
    }

    /// How deep the tree is: 1 for a leaf. Sums and products are flat, so a
    /// long line is not deep.
    #[must_use]
    pub fn depth(&self) -> usize {
        let mut deepest = 0;
        self.for_each_child(|child| deepest = deepest.max(child.depth()));
        deepest + 1
    }

    /// Whether a doubled sign (`±`, `∓`) appears.
    #[must_use]
    pub fn has_doubled_sign(&self) -> bool {
        self.any_node(&mut |node| match node {
            Expr::Sum(terms) => terms
                .iter()
                .any(|term| matches!(term.sign, Sign::PlusMinus | Sign::MinusPlus)),
            _ => false,
        })
    }

    /// The expressions that the tree stands for: itself, or with a doubled
    /// sign the upper and the lower branch.
    #[must_use]
    pub fn branches(&self) -> Vec<Expr> {
        if self.has_doubled_sign() {
            vec![self.with_signs(true), self.with_signs(false)]
        } else {
            vec![self.clone()]
        }
    }

    fn with_signs(&self, upper: bool) -> Expr {
        let mut tree = self.map_children(|child| child.with_signs(upper));
        if let Expr::Sum(terms) = &mut tree {
            for term in terms {
                term.sign = match (term.sign, upper) {
                    (Sign::PlusMinus, true) | (Sign::MinusPlus, false) => Sign::Plus,
                    (Sign::PlusMinus, false) | (Sign::MinusPlus, true) => Sign::Minus,
                    (plain, _) => plain,
                };
            }
        }
        tree
    }
}
