//! An expression as it is set on paper: fractions, roots, raised and lowered
//! pieces. `mathml` and `latex` write it down.

use crate::algebra::expr::{Constant, Derivative, Equation, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::text::greek;

use super::grid::flatten;
use super::line::{Spelling, name, shown_number};

/// A piece of set maths.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Pieces side by side.
    Row(Vec<Piece>),
    /// A number, in digits.
    Number(String),
    /// A letter of a quantity, or a name of several.
    Letter(String),
    /// The name of a function, or a letter that stands for itself.
    Upright(String),
    /// An operator or relation.
    Sign(&'static str),
    /// A sign in front of the first term.
    Before(&'static str),
    /// A small gap.
    Gap,
    /// One over the other.
    Fraction(Box<Piece>, Box<Piece>),
    /// The root of this index: 2 for the square root.
    Root(u32, Box<Piece>),
    /// A piece with a raised one.
    Raised(Box<Piece>, Box<Piece>),
    /// A piece with a lowered name.
    Lowered(Box<Piece>, String),
    /// A piece between two fences.
    Fenced(char, Box<Piece>, char),
    /// An integral from the first to the second, of the third, by the fourth.
    Integral(Box<[Piece; 4]>),
}

/// An expression, set.
#[must_use]
pub fn expression(expr: &Expr, table: &SymbolTable) -> Piece {
    Setter { table }.set(expr)
}

/// An equation, set.
#[must_use]
pub fn equation(equation: &Equation, table: &SymbolTable) -> Piece {
    chain(&[equation.left.clone(), equation.right.clone()], table)
}

/// Sides with equals signs between, set.
#[must_use]
pub fn chain(sides: &[Expr], table: &SymbolTable) -> Piece {
    let setter = Setter { table };
    let mut pieces = Vec::new();
    for (index, side) in sides.iter().enumerate() {
        if index > 0 {
            pieces.push(Piece::Sign("="));
        }
        pieces.push(setter.set(side));
    }
    Piece::Row(pieces)
}

struct Setter<'a> {
    table: &'a SymbolTable,
}

/// What stands at an end of a piece, for the gap beside it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Number,
    Wide,
    Close,
}

impl Setter<'_> {
    fn set(&self, expr: &Expr) -> Piece {
        match expr {
            Expr::Number(number) => number_piece(number),
            Expr::Symbol(symbol) => self.symbol(*symbol),
            Expr::Constant(Constant::Pi) => Piece::Upright("π".to_owned()),
            Expr::Constant(Constant::Euler) => Piece::Upright("e".to_owned()),
            Expr::Sum(terms) => self.sum(terms),
            Expr::Product(factors) => self.product(factors),
            Expr::Power(base, exponent) => self.power(base, exponent),
            Expr::Call(function, argument) => self.call(*function, argument, None),
            Expr::Derivative(own) => self.derivative(own),
            Expr::Integral(own) => Piece::Integral(Box::new([
                self.set(&own.from),
                self.set(&own.to),
                self.set(&own.of),
                self.symbol(own.by),
            ])),
        }
    }

    fn symbol(&self, symbol: Symbol) -> Piece {
        let shown = name(symbol, self.table, Spelling::Unicode);
        if let Some(rest) = shown.strip_prefix('Δ').filter(|rest| !rest.is_empty()) {
            return Piece::Row(vec![Piece::Upright("Δ".to_owned()), named(rest)]);
        }
        named(&shown)
    }

    fn sum(&self, terms: &[Term]) -> Piece {
        let mut pieces = Vec::new();
        for (index, term) in terms.iter().enumerate() {
            let sign = match term.sign {
                Sign::Plus => "+",
                Sign::Minus => "−",
                Sign::PlusMinus => "±",
                Sign::MinusPlus => "∓",
            };
            if index > 0 {
                pieces.push(Piece::Sign(sign));
            } else if term.sign != Sign::Plus {
                pieces.push(Piece::Before(sign));
            }
            let first_plain = index == 0 && term.sign == Sign::Plus;
            let piece = self.set(&term.value);
            let bracketed = matches!(term.value, Expr::Sum(_))
                || starts_with_minus(&term.value) && !first_plain;
            pieces.push(if bracketed { round(piece) } else { piece });
        }
        if pieces.is_empty() {
            return Piece::Number("0".to_owned());
        }
        Piece::Row(pieces)
    }

    fn product(&self, factors: &[Factor]) -> Piece {
        let (below, above): (Vec<&Factor>, Vec<&Factor>) =
            factors.iter().partition(|factor| factor.divides);
        let values = |factors: Vec<&Factor>| -> Piece {
            let values: Vec<&Expr> = factors.into_iter().map(|factor| &factor.value).collect();
            self.juxtaposed(&values)
        };
        if below.is_empty() {
            return values(above);
        }
        Piece::Fraction(Box::new(values(above)), Box::new(values(below)))
    }

    fn juxtaposed(&self, factors: &[&Expr]) -> Piece {
        let mut flat: Vec<&Expr> = Vec::new();
        for factor in factors {
            flatten(factor, &mut flat);
        }
        if let [only] = flat[..] {
            return self.set(only);
        }
        let mut pieces = Vec::new();
        let mut before: Option<End> = None;
        for factor in flat {
            let mut piece = self.set(factor);
            if matches!(factor, Expr::Sum(_)) || starts_with_minus(factor) {
                piece = round(piece);
            }
            let (start, end) = ends(&piece);
            match before {
                None => {}
                Some(_) if start == End::Number => pieces.push(Piece::Sign("×")),
                Some(End::Wide) => pieces.push(Piece::Gap),
                Some(_) if start == End::Wide => pieces.push(Piece::Gap),
                Some(_) => {}
            }
            before = Some(end);
            pieces.push(piece);
        }
        if pieces.is_empty() {
            return Piece::Number("1".to_owned());
        }
        Piece::Row(pieces)
    }

    fn power(&self, base: &Expr, exponent: &Expr) -> Piece {
        if let Expr::Call(function, argument) = base
            && !matches!(function, Function::Sqrt | Function::Cbrt | Function::Abs)
            && let Expr::Number(number) = exponent
            && number.is_integer()
            && number.is_positive()
        {
            return self.call(*function, argument, Some(number));
        }
        let foot = self.set(base);
        let plain = matches!(
            base,
            Expr::Symbol(_) | Expr::Constant(_) | Expr::Call(Function::Abs, _)
        ) || matches!(base, Expr::Number(number) if number.is_integer() && !number.is_negative());
        let foot = if plain { foot } else { round(foot) };
        Piece::Raised(Box::new(foot), Box::new(self.set(exponent)))
    }

    fn call(&self, function: Function, argument: &Expr, power: Option<&Number>) -> Piece {
        let inside = Box::new(self.set(argument));
        match function {
            Function::Sqrt => return Piece::Root(2, inside),
            Function::Cbrt => return Piece::Root(3, inside),
            Function::Abs => return Piece::Fenced('|', inside, '|'),
            _ => {}
        }
        let mut head = Piece::Upright(function.name().to_owned());
        if let Some(number) = power {
            head = Piece::Raised(Box::new(head), Box::new(number_piece(number)));
        }
        Piece::Row(vec![head, Piece::Fenced('(', inside, ')')])
    }

    fn derivative(&self, own: &Derivative) -> Piece {
        let straight = || Piece::Upright("d".to_owned());
        let order = |piece: Piece| {
            if own.order < 2 {
                return piece;
            }
            let order = Piece::Number(own.order.to_string());
            Piece::Raised(Box::new(piece), Box::new(order))
        };
        let by = order(self.symbol(own.by));
        let below = Piece::Row(vec![straight(), by]);
        let above = order(straight());
        if let Expr::Symbol(symbol) = own.of {
            let above = Piece::Row(vec![above, self.symbol(symbol)]);
            return Piece::Fraction(Box::new(above), Box::new(below));
        }
        let sign = Piece::Fraction(Box::new(above), Box::new(below));
        Piece::Row(vec![sign, round(self.set(&own.of))])
    }
}

fn round(piece: Piece) -> Piece {
    Piece::Fenced('(', Box::new(piece), ')')
}

/// A name: its letter, and what is lowered behind it.
fn named(shown: &str) -> Piece {
    let end = shown
        .char_indices()
        .find(|&(at, c)| at > 0 && (c == '_' || c.is_ascii_digit() || greek::lowered(c).is_some()))
        .map_or(shown.len(), |(at, _)| at);
    let (base, rest) = shown.split_at(end);
    let letter = Piece::Letter(base.to_owned());
    if rest.is_empty() {
        return letter;
    }
    let lowered: String = rest
        .chars()
        .filter(|c| !matches!(c, '_' | '{' | '}'))
        .map(|c| greek::lowered(c).unwrap_or(c))
        .collect();
    if lowered.is_empty() {
        return letter;
    }
    Piece::Lowered(Box::new(letter), lowered)
}

fn number_piece(number: &Number) -> Piece {
    let shown = shown_number(number, Spelling::Ascii);
    let (sign, digits) = match shown.strip_prefix('-') {
        Some(rest) => (Some(Piece::Before("−")), rest),
        None => (None, shown.as_str()),
    };
    let piece = if let Some((above, below)) = digits.split_once('/') {
        Piece::Fraction(
            Box::new(Piece::Number(above.to_owned())),
            Box::new(Piece::Number(below.to_owned())),
        )
    } else if let Some((digits, power)) = digits.split_once('e') {
        let mut exponent = Vec::new();
        let power = match power.strip_prefix('-') {
            Some(rest) => {
                exponent.push(Piece::Before("−"));
                rest
            }
            None => power,
        };
        exponent.push(Piece::Number(power.to_owned()));
        let ten = Piece::Number("10".to_owned());
        Piece::Row(vec![
            Piece::Number(digits.to_owned()),
            Piece::Sign("×"),
            Piece::Raised(Box::new(ten), Box::new(Piece::Row(exponent))),
        ])
    } else {
        Piece::Number(digits.to_owned())
    };
    match sign {
        Some(sign) => Piece::Row(vec![sign, piece]),
        None => piece,
    }
}

/// What a piece begins and ends with.
fn ends(piece: &Piece) -> (End, End) {
    match piece {
        Piece::Number(_) => (End::Number, End::Close),
        Piece::Raised(base, _) => (ends(base).0, ends(base).1),
        Piece::Upright(text) if text.chars().count() > 1 => (End::Wide, End::Wide),
        Piece::Row(pieces) => match (pieces.first(), pieces.last()) {
            (Some(first), Some(last)) => {
                let wide = matches!(first, Piece::Upright(_)) && pieces.len() > 1;
                let end = if wide { End::Wide } else { ends(last).1 };
                (ends(first).0, end)
            }
            _ => (End::Close, End::Close),
        },
        // A number as a fraction beside a letter needs no sign.
        _ => (End::Close, End::Close),
    }
}

fn starts_with_minus(expr: &Expr) -> bool {
    match expr {
        Expr::Number(number) => number.is_negative(),
        Expr::Product(factors) => factors
            .first()
            .is_some_and(|factor| !factor.divides && starts_with_minus(&factor.value)),
        _ => false,
    }
}
