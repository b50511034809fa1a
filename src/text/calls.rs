//! Functions in the climb: their powers, and what they take without brackets.

use super::climb::{Climb, Climbed, Reach, signed};
use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::readings::Ambiguity;
use super::span::Span;
use super::tokens::Kind;
use crate::algebra::expr::{Expr, Function, Sign, Term};
use crate::algebra::number::Number;

impl Climb<'_> {
    /// A function with its power (`sin^2 x`) and its argument.
    pub(super) fn call(&mut self, kind: &Kind, function: Function) -> Climbed {
        let name = self.span();
        self.at += 1;
        self.deeper(|climb| {
            let power = climb.function_power(name)?;
            let inverse =
                matches!(&power, Some(Expr::Number(power)) if *power == Number::MINUS_ONE);
            let function = if inverse {
                climb.inverse(kind, function, name)?
            } else {
                function
            };
            let argument = climb.argument(function, name)?;
            let value = match kind {
                Kind::Log => {
                    climb.note(Ambiguity::Logarithm, name, 1);
                    let natural = climb.flips.logarithm(name.start);
                    let function = if natural {
                        Function::Ln
                    } else {
                        Function::Log10
                    };
                    Expr::call(function, argument)
                }
                Kind::LogBase(base) => Expr::div(
                    Expr::call(Function::Ln, argument),
                    Expr::call(Function::Ln, Expr::Number(base.clone())),
                ),
                _ => Expr::call(function, argument),
            };
            Ok(match power {
                Some(power) if !inverse => Expr::pow(value, power),
                _ => value,
            })
        })
    }

    /// The power right behind a function's name, if there is one.
    fn function_power(&mut self, name: Span) -> Result<Option<Expr>, Diagnostic> {
        if self.is_flat_inverse(name) {
            self.at += 2;
            return Ok(Some(Expr::Number(Number::MINUS_ONE)));
        }
        match self.kind() {
            Kind::Raised(power) => {
                self.at += 1;
                Ok(Some(Expr::Number(power.clone())))
            }
            Kind::RaisedSymbol(symbol) => {
                self.at += 1;
                Ok(Some(Expr::Symbol(*symbol)))
            }
            Kind::Caret => {
                self.at += 1;
                let minus = *self.kind() == Kind::Minus;
                if minus {
                    self.at += 1;
                }
                let value = match self.kind() {
                    Kind::Number(number) => {
                        self.at += 1;
                        Expr::Number(number.clone())
                    }
                    Kind::Symbol(symbol) => {
                        self.at += 1;
                        Expr::Symbol(*symbol)
                    }
                    Kind::Open(close) => self.bracket(*close)?,
                    _ => return Err(self.missing_operand()),
                };
                let value = match value {
                    // `sin^(-1) x` too.
                    Expr::Sum(terms) if !minus => match terms.as_slice() {
                        [
                            Term {
                                sign: Sign::Minus,
                                value: Expr::Number(number),
                            },
                        ] => Expr::Number(-number),
                        _ => Expr::Sum(terms),
                    },
                    Expr::Number(number) if minus => Expr::Number(-&number),
                    value if minus => Expr::neg(value),
                    value => value,
                };
                if matches!(self.kind(), Kind::End | Kind::Equals | Kind::Close(_)) {
                    return Err(self.missing_argument(name));
                }
                Ok(Some(value))
            }
            _ => Ok(None),
        }
    }

    /// `cos-1(x)`, as a key of a calculator has it: nothing between the name,
    /// the exponent and the bracket.
    fn is_flat_inverse(&self, name: Span) -> bool {
        let [minus, one, open, ..] = &self.row[self.at..] else {
            return false;
        };
        minus.kind == Kind::Minus
            && one.kind == Kind::Number(Number::ONE)
            && matches!(open.kind, Kind::Open(_))
            && name.end == minus.span.start
            && minus.span.end == one.span.start
            && one.span.end == open.span.start
    }

    fn inverse(&self, kind: &Kind, function: Function, name: Span) -> Result<Function, Diagnostic> {
        Ok(match (kind, function) {
            (Kind::Function(_), Function::Sin) => Function::Arcsin,
            (Kind::Function(_), Function::Cos) => Function::Arccos,
            (Kind::Function(_), Function::Tan) => Function::Arctan,
            (Kind::Function(_), Function::Sinh) => Function::Arsinh,
            (Kind::Function(_), Function::Cosh) => Function::Arcosh,
            (Kind::Function(_), Function::Tanh) => Function::Artanh,
            _ => {
                let typed = name.of(self.source);
                return Err(self
                    .fault(
                        DiagnosticKind::NoMeaning,
                        format!("{typed} to the power -1 could mean two things."),
                        name,
                    )
                    .with_mend(format!(
                        "Write 1/{typed}(x) for one over it, or the inverse function by its name."
                    )));
            }
        })
    }

    fn missing_argument(&self, name: Span) -> Diagnostic {
        let typed = name.of(self.source);
        self.fault(
            DiagnosticKind::MissingArgument,
            format!("{typed} has nothing to act on."),
            name,
        )
        .with_mend(format!("Write what it acts on in brackets: {typed}(x)."))
    }

    fn argument(&mut self, function: Function, name: Span) -> Climbed {
        match self.kind() {
            Kind::Open(close) => return self.bracket(*close),
            Kind::Bar if !self.in_bar => return self.bar(),
            Kind::Number(_)
            | Kind::Fraction
            | Kind::Symbol(_)
            | Kind::Pi
            | Kind::Euler
            | Kind::Function(_)
            | Kind::Log
            | Kind::LogBase(_)
            | Kind::Plus
            | Kind::Minus
            | Kind::PlusMinus
            | Kind::MinusPlus => {}
            _ => return Err(self.missing_argument(name)),
        }
        let turned = self.flips.function(name.start);
        let sign = self.sign();
        if sign.is_some() {
            self.at += 1;
        }
        let outer = std::mem::replace(&mut self.in_argument, true);
        let reach = match turned {
            1 => Reach::Factor,
            2 => Reach::Group,
            3 => Reach::Slash,
            4 => Reach::OneSlash,
            _ => Reach::Times,
        };
        let from = self.at;
        let times_inside = |climb: &Self, until: usize| {
            let mut open = 0usize;
            climb.row[from..until].iter().any(|token| {
                match token.kind {
                    Kind::Open(_) => open += 1,
                    Kind::Close(_) => open = open.saturating_sub(1),
                    _ => {}
                }
                open == 0 && token.kind == Kind::Times
            })
        };
        let value = if sign.is_some() && self.sign().is_some() {
            self.deeper(Self::signed_factor)
        } else {
            self.product(reach)
        };
        self.in_argument = outer;
        let value = value?;
        if turned == 0 {
            let several = matches!(&value, Expr::Product(factors) if factors.len() > 1)
                && !self.one_bracket(from);
            let number_first = matches!(self.row[from].kind, Kind::Number(_));
            let rooted = matches!(
                function,
                Function::Sqrt | Function::Cbrt | Function::Ln | Function::Log10
            );
            if several && (rooted || !number_first) {
                self.note(Ambiguity::Function, name, 1);
            }
            if several && times_inside(self, self.at) {
                self.note(Ambiguity::Function, name, 2);
            }
            if *self.kind() == Kind::Slash {
                self.note(Ambiguity::Function, name, 3);
                self.note(Ambiguity::Function, name, 4);
            }
        }
        Ok(match sign {
            Some(sign) => signed(sign, value),
            None => value,
        })
    }
}
