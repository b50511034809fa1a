//! Trees out of bytes: at random, and then rewritten. Most rewritings keep the
//! value; whether one did is never assumed.

use super::tree::{
    LETTERS, Name, RESULT, Tree, apply, difference, number, power, product, quotient, sum,
};

/// Bytes, one after the other; zeros at the end.
pub struct Source<'b>(pub &'b [u8]);

impl Source<'_> {
    pub fn next(&mut self) -> usize {
        match self.0.split_first() {
            Some((first, rest)) => {
                self.0 = rest;
                usize::from(*first)
            }
            None => 0,
        }
    }

    pub fn below(&mut self, bound: usize) -> usize {
        self.next() % bound
    }
}

fn leaf(source: &mut Source<'_>) -> Tree {
    match source.below(9) {
        place @ 0..RESULT => Tree::Letter(place),
        5 => Tree::Number(1 + source.below(12) as i64, 1),
        6 => Tree::Number(1 + source.below(7) as i64, 2 + source.below(5) as i64),
        7 => Tree::Pi,
        _ => Tree::Letter(0),
    }
}

const EXPONENTS: [(i64, i64); 10] = [
    (2, 1),
    (3, 1),
    (-1, 1),
    (-2, 1),
    (1, 2),
    (1, 3),
    (3, 2),
    (-1, 2),
    (4, 1),
    (2, 3),
];

pub fn grow(source: &mut Source<'_>, depth: usize) -> Tree {
    if depth == 0 {
        return leaf(source);
    }
    let kind = source.below(16);
    if kind < 3 {
        return leaf(source);
    }
    let first = grow(source, depth - 1);
    match kind {
        3 | 4 => sum(first, grow(source, depth - 1)),
        5 | 6 => difference(first, grow(source, depth - 1)),
        7..=9 => product(first, grow(source, depth - 1)),
        10 | 11 => quotient(first, grow(source, depth - 1)),
        12 | 13 => {
            let (above, below) = EXPONENTS[source.below(EXPONENTS.len())];
            power(first, above, below)
        }
        14 => apply(Name::ALL[source.below(Name::ALL.len())], first),
        _ => match source.below(4) {
            0 => Tree::Raised(Box::new(first), Box::new(grow(source, depth - 1))),
            1 => apply(Name::Sqrt, first),
            2 => apply(Name::Exp, first),
            _ => apply(Name::Ln, first),
        },
    }
}

/// Rewrites one node in a way that is meant to keep the value, often only on
/// some domain.
pub fn rewrite(tree: &mut Tree, source: &mut Source<'_>) {
    let count = tree.count();
    let node = tree.node(source.below(count));
    let own = node.clone();
    let letter = Tree::Letter(source.below(RESULT));
    let square = |own: Tree| power(own, 2, 1);
    let half = |own: Tree| quotient(own, number(2));
    *node = match (source.below(20), own) {
        (0..=3, Tree::Sum(a, b)) => Tree::Sum(b, a),
        (0..=3, Tree::Product(a, b)) => match (*a, *b) {
            (a, Tree::Sum(b, c)) => sum(product(a.clone(), *b), product(a, *c)),
            (a, Tree::Difference(b, c)) => difference(product(a.clone(), *b), product(a, *c)),
            (a, b) => product(b, a),
        },
        (0..=3, Tree::Difference(a, b)) => difference(number(0), Tree::Difference(b, a)),
        (0..=3, Tree::Quotient(a, b)) => product(*a, power(*b, -1, 1)),
        (0..=3, Tree::Power(a, n, d)) => match *a {
            Tree::Product(a, b) => product(power(*a, n, d), power(*b, n, d)),
            Tree::Power(a, m, e) if m.abs() < 30 && e < 30 => power(*a, n * m, d * e),
            a => quotient(number(1), power(a, -n, d)),
        },
        (0..=3, Tree::Apply(Name::Sin, a)) => product(
            number(2),
            product(
                apply(Name::Sin, half((*a).clone())),
                apply(Name::Cos, half(*a)),
            ),
        ),
        (0..=3, Tree::Apply(Name::Cos, a)) => difference(
            number(1),
            product(number(2), square(apply(Name::Sin, half(*a)))),
        ),
        (0..=3, Tree::Apply(Name::Tan, a)) => {
            quotient(apply(Name::Sin, (*a).clone()), apply(Name::Cos, *a))
        }
        (0..=3, Tree::Apply(Name::Ln, a)) => match *a {
            Tree::Product(a, b) => sum(apply(Name::Ln, *a), apply(Name::Ln, *b)),
            Tree::Quotient(a, b) => difference(apply(Name::Ln, *a), apply(Name::Ln, *b)),
            a => difference(number(0), apply(Name::Ln, power(a, -1, 1))),
        },
        (0..=3, Tree::Apply(Name::Exp, a)) => match *a {
            Tree::Sum(a, b) => product(apply(Name::Exp, *a), apply(Name::Exp, *b)),
            a => quotient(number(1), apply(Name::Exp, difference(number(0), a))),
        },
        (0..=3, Tree::Apply(Name::Sqrt, a)) => power(*a, 1, 2),
        (0..=3, Tree::Apply(Name::Abs, a)) => apply(Name::Sqrt, square(*a)),
        (0..=3, Tree::Apply(Name::Sinh, a)) => half(difference(
            apply(Name::Exp, (*a).clone()),
            apply(Name::Exp, difference(number(0), *a)),
        )),
        (0..=3, Tree::Raised(a, b)) => apply(Name::Exp, product(*b, apply(Name::Ln, *a))),
        (4, own) => product(own, quotient(letter.clone(), letter)),
        (5, own) => difference(sum(own, letter.clone()), letter),
        (6, own) => apply(Name::Sqrt, square(own)),
        (7, own) => power(power(own, 3, 1), 1, 3),
        (8, own) => apply(Name::Exp, apply(Name::Ln, own)),
        (9, own) => apply(Name::Ln, apply(Name::Exp, own)),
        (10, own) => product(
            own,
            sum(
                square(apply(Name::Sin, letter.clone())),
                square(apply(Name::Cos, letter)),
            ),
        ),
        (11, own) => quotient(number(1), quotient(number(1), own)),
        (12, Tree::Product(a, b)) => quotient(
            difference(
                square(sum((*a).clone(), (*b).clone())),
                square(difference(*a, *b)),
            ),
            number(4),
        ),
        (13, own) => square(apply(Name::Sqrt, own)),
        (14, own) => apply(Name::Abs, own),
        (15, own) => apply(Name::Tan, apply(Name::Arctan, own)),
        (16, own) => apply(Name::Arctan, apply(Name::Tan, own)),
        (17, own) => apply(Name::Sin, apply(Name::Arcsin, own)),
        (18, own) => half(product(number(2), own)),
        (_, own) => sum(own, number(0)),
    };
}

/// Changes one node so that the value is meant to be another.
pub fn spoil(tree: &mut Tree, source: &mut Source<'_>) {
    let count = tree.count();
    let node = tree.node(source.below(count));
    let own = node.clone();
    let letter = Tree::Letter(source.below(RESULT));
    *node = match (source.below(9), own) {
        (0, Tree::Sum(a, b)) => Tree::Difference(a, b),
        (0, Tree::Difference(a, b)) => Tree::Sum(a, b),
        (0, Tree::Product(a, b)) => Tree::Quotient(a, b),
        (0, Tree::Quotient(a, b)) => Tree::Quotient(b, a),
        (0, Tree::Number(above, below)) => Tree::Number(above + 1, below),
        (1, Tree::Sum(a, _) | Tree::Product(a, _) | Tree::Quotient(a, _)) => *a,
        (2, own) => sum(own, Tree::Number(1, 1_000_000_000_000_000)),
        (3, own) => product(
            own,
            sum(
                number(1),
                product(letter, Tree::Number(1, 10_000_000_000_000)),
            ),
        ),
        (4, own) => difference(number(0), own),
        (5, Tree::Power(a, above, below)) => power(*a, above + 1, below),
        (6, Tree::Apply(_, a)) => *a,
        (7, own) => sum(own, quotient(number(1), power(letter, 40, 1))),
        (_, _) => Tree::Letter(source.below(LETTERS.len() - 1)),
    };
}
