//! Reads expressions as SymPy prints them (`**`, explicit `*`), and nothing
//! else: the outside check does not lean on our own reader.

use rejig::algebra::expr::{Constant, Expr, Function};
use rejig::algebra::number::Number;
use rejig::algebra::symbol::{Domain, SymbolTable};

/// A reader at a place in the text.
pub struct Reader<'a> {
    text: &'a [u8],
    at: usize,
    table: &'a mut SymbolTable,
}

/// Reads a whole text; panics on anything unexpected, since the texts are our
/// own data.
pub fn read(text: &str, table: &mut SymbolTable) -> Expr {
    let packed: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let mut reader = Reader {
        text: packed.as_bytes(),
        at: 0,
        table,
    };
    let made = reader.sum();
    assert_eq!(
        reader.at,
        packed.len(),
        "left over in {packed} at {}",
        reader.at
    );
    made
}

impl Reader<'_> {
    fn peek(&self) -> u8 {
        self.text.get(self.at).copied().unwrap_or(0)
    }

    fn eat(&mut self, token: &str) -> bool {
        let found = self.text[self.at..].starts_with(token.as_bytes());
        if found {
            self.at += token.len();
        }
        found
    }

    fn sum(&mut self) -> Expr {
        let mut made = if self.eat("-") {
            Expr::neg(self.product())
        } else {
            self.product()
        };
        loop {
            if self.eat("+") {
                made = Expr::add(made, self.product());
            } else if self.eat("-") {
                made = Expr::sub(made, self.product());
            } else {
                return made;
            }
        }
    }

    fn product(&mut self) -> Expr {
        let mut made = self.power();
        loop {
            if self.peek() == b'*' && !self.text[self.at..].starts_with(b"**") {
                self.at += 1;
                made = Expr::mul(made, self.power());
            } else if self.eat("/") {
                let below = self.power();
                made = match (&made, &below) {
                    (Expr::Number(one), Expr::Number(two)) => Expr::Number(one / two),
                    _ => Expr::div(made, below),
                };
            } else {
                return made;
            }
        }
    }

    fn power(&mut self) -> Expr {
        let base = self.atom();
        if self.eat("**") || self.eat("^") {
            let exponent = if self.eat("-") {
                Expr::neg(self.power())
            } else {
                self.power()
            };
            return Expr::pow(base, exponent);
        }
        base
    }

    fn atom(&mut self) -> Expr {
        if self.eat("(") {
            let made = self.sum();
            assert!(self.eat(")"));
            return made;
        }
        if self.eat("-") {
            return Expr::neg(self.power());
        }
        let start = self.at;
        while self.peek().is_ascii_alphanumeric() || matches!(self.peek(), b'_' | b'.') {
            self.at += 1;
        }
        let word = std::str::from_utf8(&self.text[start..self.at])
            .unwrap()
            .to_owned();
        assert!(
            !word.is_empty(),
            "nothing at {} of {:?}",
            start,
            std::str::from_utf8(self.text)
        );
        if word.as_bytes()[0].is_ascii_digit() {
            return Expr::Number(Number::from_decimal(&word, 0).unwrap());
        }
        let function = match word.as_str() {
            "sqrt" => Function::Sqrt,
            "cbrt" => Function::Cbrt,
            "exp" => Function::Exp,
            "log" | "ln" => Function::Ln,
            "sin" => Function::Sin,
            "cos" => Function::Cos,
            "tan" => Function::Tan,
            "asin" | "arcsin" => Function::Arcsin,
            "acos" | "arccos" => Function::Arccos,
            "atan" | "arctan" => Function::Arctan,
            "sinh" => Function::Sinh,
            "cosh" => Function::Cosh,
            "tanh" => Function::Tanh,
            "asinh" => Function::Arsinh,
            "acosh" => Function::Arcosh,
            "atanh" => Function::Artanh,
            "Abs" | "abs" => Function::Abs,
            "pi" => return Expr::Constant(Constant::Pi),
            "E" => return Expr::Constant(Constant::Euler),
            _ => return Expr::Symbol(self.table.intern(&word, Domain::Positive)),
        };
        assert!(self.eat("("), "{word} without a bracket");
        let argument = self.sum();
        assert!(self.eat(")"));
        Expr::call(function, argument)
    }
}
