//! An expression of our own, so that reading is held against something too:
//! printed with every bracket, and made again from the library's tree.

use rejig::algebra::expr::{Constant, Expr, Function, Sign};
use rejig::algebra::symbol::Domain;

/// The letters with their domains; the last one is what formulae give.
pub const LETTERS: [(&str, Domain); 6] = [
    ("a", Domain::Positive),
    ("b", Domain::Positive),
    ("c", Domain::Nonnegative),
    ("x", Domain::Real),
    ("θ", Domain::Acute),
    ("y", Domain::Real),
];
/// The place of the letter that formulae give.
pub const RESULT: usize = 5;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Name {
    Sqrt,
    Exp,
    Ln,
    Sin,
    Cos,
    Tan,
    Abs,
    Arctan,
    Arcsin,
    Arccos,
    Sinh,
    Cosh,
    Tanh,
}

impl Name {
    pub const ALL: [Name; 13] = [
        Name::Sqrt,
        Name::Exp,
        Name::Ln,
        Name::Sin,
        Name::Cos,
        Name::Tan,
        Name::Abs,
        Name::Arctan,
        Name::Arcsin,
        Name::Arccos,
        Name::Sinh,
        Name::Cosh,
        Name::Tanh,
    ];

    fn text(self) -> &'static str {
        match self {
            Name::Sqrt => "sqrt",
            Name::Exp => "exp",
            Name::Ln => "ln",
            Name::Sin => "sin",
            Name::Cos => "cos",
            Name::Tan => "tan",
            Name::Abs => "abs",
            Name::Arctan => "arctan",
            Name::Arcsin => "arcsin",
            Name::Arccos => "arccos",
            Name::Sinh => "sinh",
            Name::Cosh => "cosh",
            Name::Tanh => "tanh",
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub enum Tree {
    Number(i64, i64),
    Letter(usize),
    Pi,
    Sum(Box<Tree>, Box<Tree>),
    Difference(Box<Tree>, Box<Tree>),
    Product(Box<Tree>, Box<Tree>),
    Quotient(Box<Tree>, Box<Tree>),
    /// Raised to a fraction of whole numbers.
    Power(Box<Tree>, i64, i64),
    /// Raised to anything.
    Raised(Box<Tree>, Box<Tree>),
    Apply(Name, Box<Tree>),
}

pub fn number(value: i64) -> Tree {
    Tree::Number(value, 1)
}
pub fn sum(left: Tree, right: Tree) -> Tree {
    Tree::Sum(Box::new(left), Box::new(right))
}
pub fn difference(left: Tree, right: Tree) -> Tree {
    Tree::Difference(Box::new(left), Box::new(right))
}
pub fn product(left: Tree, right: Tree) -> Tree {
    Tree::Product(Box::new(left), Box::new(right))
}
pub fn quotient(left: Tree, right: Tree) -> Tree {
    Tree::Quotient(Box::new(left), Box::new(right))
}
pub fn power(base: Tree, above: i64, below: i64) -> Tree {
    Tree::Power(Box::new(base), above, below)
}
pub fn apply(name: Name, of: Tree) -> Tree {
    Tree::Apply(name, Box::new(of))
}

impl Tree {
    pub fn children(&mut self) -> Vec<&mut Tree> {
        match self {
            Tree::Number(..) | Tree::Letter(_) | Tree::Pi => Vec::new(),
            Tree::Sum(a, b)
            | Tree::Difference(a, b)
            | Tree::Product(a, b)
            | Tree::Quotient(a, b)
            | Tree::Raised(a, b) => vec![a, b],
            Tree::Power(a, ..) | Tree::Apply(_, a) => vec![a],
        }
    }

    pub fn count(&mut self) -> usize {
        1 + self.children().into_iter().map(Tree::count).sum::<usize>()
    }

    /// The node of this number, counted from the root downwards.
    pub fn node(&mut self, number: usize) -> &mut Tree {
        if number == 0 {
            return self;
        }
        let mut left = number - 1;
        let counts: Vec<usize> = self.children().into_iter().map(Tree::count).collect();
        for (place, count) in counts.into_iter().enumerate() {
            if left < count {
                return self.children().swap_remove(place).node(left);
            }
            left -= count;
        }
        self
    }

    pub fn has(&self, letter: usize) -> bool {
        match self {
            Tree::Letter(own) => *own == letter,
            other => other.clone().children().iter().any(|own| own.has(letter)),
        }
    }

    /// With a bracket around everything, so that there is one reading.
    pub fn text(&self) -> String {
        let two = |a: &Tree, sign: &str, b: &Tree| format!("({} {sign} {})", a.text(), b.text());
        match self {
            Tree::Number(above, 1) => format!("({above})"),
            Tree::Number(above, below) => format!("(({above})/({below}))"),
            Tree::Letter(place) => LETTERS[*place].0.to_owned(),
            Tree::Pi => "π".to_owned(),
            Tree::Sum(a, b) => two(a, "+", b),
            Tree::Difference(a, b) => two(a, "-", b),
            Tree::Product(a, b) => two(a, "*", b),
            Tree::Quotient(a, b) => two(a, "/", b),
            Tree::Power(a, above, below) => format!("(({})^(({above})/({below})))", a.text()),
            Tree::Raised(a, b) => format!("(({})^({}))", a.text(), b.text()),
            Tree::Apply(name, a) => format!("({}({}))", name.text(), a.text()),
        }
    }

    /// What the library read or made; nothing for what this tree can't say.
    pub fn of(expr: &Expr) -> Option<Tree> {
        Some(match expr {
            Expr::Number(value) => {
                let (above, below) = value.to_i64_pair()?;
                Tree::Number(above, below)
            }
            Expr::Symbol(symbol) if symbol.index() < LETTERS.len() => Tree::Letter(symbol.index()),
            Expr::Symbol(_) => return None,
            Expr::Constant(Constant::Pi) => Tree::Pi,
            Expr::Constant(Constant::Euler) => apply(Name::Exp, number(1)),
            Expr::Sum(terms) => {
                let mut whole: Option<Tree> = None;
                for term in terms {
                    let value = Tree::of(&term.value)?;
                    whole = Some(match (whole, term.sign) {
                        (None, Sign::Plus) => value,
                        (None, Sign::Minus) => difference(number(0), value),
                        (Some(so_far), Sign::Plus) => sum(so_far, value),
                        (Some(so_far), Sign::Minus) => difference(so_far, value),
                        _ => return None,
                    });
                }
                whole?
            }
            Expr::Product(factors) => {
                let mut whole: Option<Tree> = None;
                for factor in factors {
                    let value = Tree::of(&factor.value)?;
                    whole = Some(match (whole, factor.divides) {
                        (None, false) => value,
                        (None, true) => quotient(number(1), value),
                        (Some(so_far), false) => product(so_far, value),
                        (Some(so_far), true) => quotient(so_far, value),
                    });
                }
                whole?
            }
            Expr::Power(base, exponent) => {
                if let Expr::Constant(Constant::Euler) = **base {
                    return Some(apply(Name::Exp, Tree::of(exponent)?));
                }
                let base = Tree::of(base)?;
                match rejig::algebra::exact::constant(exponent) {
                    Some(exponent) => {
                        let (above, below) = exponent.to_i64_pair()?;
                        power(base, above, below)
                    }
                    None => Tree::Raised(Box::new(base), Box::new(Tree::of(exponent)?)),
                }
            }
            Expr::Call(function, argument) => {
                let inside = Tree::of(argument)?;
                let name = match function {
                    Function::Sqrt => Name::Sqrt,
                    Function::Exp => Name::Exp,
                    Function::Ln => Name::Ln,
                    Function::Sin => Name::Sin,
                    Function::Cos => Name::Cos,
                    Function::Tan => Name::Tan,
                    Function::Abs => Name::Abs,
                    Function::Arctan => Name::Arctan,
                    Function::Arcsin => Name::Arcsin,
                    Function::Arccos => Name::Arccos,
                    Function::Sinh => Name::Sinh,
                    Function::Cosh => Name::Cosh,
                    Function::Tanh => Name::Tanh,
                    Function::Cbrt => return Some(power(inside, 1, 3)),
                    Function::Arsinh => {
                        let root = apply(Name::Sqrt, sum(power(inside.clone(), 2, 1), number(1)));
                        return Some(apply(Name::Ln, sum(inside, root)));
                    }
                    _ => return None,
                };
                apply(name, inside)
            }
            Expr::Derivative(_) | Expr::Integral(_) => return None,
        })
    }
}
