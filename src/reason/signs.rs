//! What the domains alone say about the sign of an expression, read off its
//! tree. Sound, not complete: "may be" is always allowed as an answer.

use crate::algebra::expr::{Constant, Expr, Function, Sign};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, SymbolTable};

/// The signs that a value may have on the domain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signs {
    /// It may be less than zero.
    pub negative: bool,
    /// It may be zero.
    pub zero: bool,
    /// It may be more than zero.
    pub positive: bool,
}

impl Signs {
    const ANY: Signs = Signs::of(true, true, true);
    const POSITIVE: Signs = Signs::of(false, false, true);
    const NONNEGATIVE: Signs = Signs::of(false, true, true);
    const ZERO: Signs = Signs::of(false, true, false);

    const fn of(negative: bool, zero: bool, positive: bool) -> Signs {
        Signs {
            negative,
            zero,
            positive,
        }
    }

    /// Certainly more than zero.
    #[must_use]
    pub fn is_positive(self) -> bool {
        self.positive && !self.zero && !self.negative
    }

    /// Certainly less than zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.negative && !self.zero && !self.positive
    }

    /// Certainly not less than zero.
    #[must_use]
    pub fn is_nonnegative(self) -> bool {
        !self.negative
    }

    /// Certainly not zero.
    #[must_use]
    pub fn is_nonzero(self) -> bool {
        !self.zero
    }

    fn negate(self) -> Signs {
        Signs::of(self.positive, self.zero, self.negative)
    }

    fn plus(self, other: Signs) -> Signs {
        let clash = (self.negative && other.positive) || (self.positive && other.negative);
        Signs::of(
            self.negative && (other.negative || other.zero) || other.negative && self.zero || clash,
            self.zero && other.zero || clash,
            self.positive && (other.positive || other.zero) || other.positive && self.zero || clash,
        )
    }

    fn times(self, other: Signs) -> Signs {
        Signs::of(
            self.negative && other.positive || self.positive && other.negative,
            self.zero || other.zero,
            self.positive && other.positive || self.negative && other.negative,
        )
    }
}

/// The signs that `expr` may have where it is defined.
#[must_use]
pub fn signs(expr: &Expr, table: &SymbolTable) -> Signs {
    match expr {
        Expr::Number(number) => Signs::of(
            number.is_negative(),
            number.is_zero(),
            !number.is_negative() && !number.is_zero(),
        ),
        Expr::Symbol(symbol) => match table.domain(*symbol) {
            Domain::Positive | Domain::Acute => Signs::POSITIVE,
            Domain::Nonnegative => Signs::NONNEGATIVE,
            Domain::Real => Signs::ANY,
        },
        Expr::Constant(_) => Signs::POSITIVE,
        Expr::Derivative(_) | Expr::Integral(_) => Signs::ANY,
        Expr::Sum(terms) => terms.iter().fold(Signs::ZERO, |sum, term| {
            let own = signs(&term.value, table);
            sum.plus(match term.sign {
                Sign::Plus => own,
                Sign::Minus => own.negate(),
                Sign::PlusMinus | Sign::MinusPlus => {
                    let other = own.negate();
                    Signs::of(
                        own.negative || other.negative,
                        own.zero,
                        own.positive || other.positive,
                    )
                }
            })
        }),
        Expr::Product(factors) => factors.iter().fold(Signs::POSITIVE, |product, factor| {
            let mut own = signs(&factor.value, table);
            if factor.divides {
                own.zero = false;
            }
            product.times(own)
        }),
        Expr::Power(base, exponent) => {
            let own = signs(base, table);
            if own.is_positive() {
                return Signs::POSITIVE;
            }
            if let Expr::Number(number) = &**exponent
                && let Some((numerator, 1)) = number.to_i64_pair()
            {
                if numerator % 2 == 0 {
                    return Signs::of(false, own.zero && numerator > 0, true);
                }
                return Signs::of(own.negative, own.zero && numerator > 0, own.positive);
            }
            Signs::of(false, own.zero, true)
        }
        Expr::Call(function, argument) => call(*function, argument, table),
    }
}

fn call(function: Function, argument: &Expr, table: &SymbolTable) -> Signs {
    let own = signs(argument, table);
    match function {
        Function::Exp | Function::Cosh | Function::Arccos => {
            if function == Function::Arccos {
                Signs::NONNEGATIVE
            } else {
                Signs::POSITIVE
            }
        }
        Function::Sqrt | Function::Cbrt => {
            if own.zero {
                Signs::NONNEGATIVE
            } else {
                Signs::POSITIVE
            }
        }
        Function::Abs => Signs::of(false, own.zero, own.negative || own.positive),
        // Odd and increasing through zero on all of their domain.
        Function::Sinh
        | Function::Tanh
        | Function::Arsinh
        | Function::Artanh
        | Function::Arctan
        | Function::Arcsin => own,
        Function::Arcosh => Signs::NONNEGATIVE,
        Function::Sin | Function::Cosec => positive_within(argument, table, 0, 2),
        Function::Cos | Function::Sec => positive_within(argument, table, -1, 1),
        Function::Tan | Function::Cot => positive_within(argument, table, 0, 1),
        Function::Ln | Function::Log10 => match argument {
            Expr::Number(number) if *number > Number::ONE => Signs::POSITIVE,
            _ => Signs::ANY,
        },
    }
}

fn positive_within(argument: &Expr, table: &SymbolTable, low: i64, high: i64) -> Signs {
    match angle_range(argument, table) {
        Some(range) if range.within(low, high) => Signs::POSITIVE,
        _ => Signs::ANY,
    }
}

/// An open interval of angles (or a single angle), counted in right angles.
#[derive(Debug, Clone, PartialEq)]
pub struct AngleRange {
    low: Number,
    high: Number,
}

impl AngleRange {
    /// Whether every angle lies between the two, in right angles.
    #[must_use]
    pub fn within(&self, low: i64, high: i64) -> bool {
        self.low >= Number::from(low)
            && self.high <= Number::from(high)
            && (self.low < self.high
                || self.low > Number::from(low) && self.high < Number::from(high))
    }
}

/// The angles that `expr` may be, if it is made of acute angles, pi and
/// numbers.
#[must_use]
pub fn angle_range(expr: &Expr, table: &SymbolTable) -> Option<AngleRange> {
    match expr {
        Expr::Number(number) if number.is_zero() => Some(AngleRange {
            low: Number::ZERO,
            high: Number::ZERO,
        }),
        Expr::Symbol(symbol) if table.domain(*symbol) == Domain::Acute => Some(AngleRange {
            low: Number::ZERO,
            high: Number::ONE,
        }),
        Expr::Call(Function::Arctan, argument) if signs(argument, table).is_positive() => {
            Some(AngleRange {
                low: Number::ZERO,
                high: Number::ONE,
            })
        }
        Expr::Constant(Constant::Pi) => Some(AngleRange {
            low: Number::from(2),
            high: Number::from(2),
        }),
        Expr::Sum(terms) => {
            let (mut low, mut high) = (Number::ZERO, Number::ZERO);
            for term in terms {
                let own = angle_range(&term.value, table)?;
                match term.sign {
                    Sign::Plus => {
                        low = &low + &own.low;
                        high = &high + &own.high;
                    }
                    Sign::Minus => {
                        low = &low - &own.high;
                        high = &high - &own.low;
                    }
                    Sign::PlusMinus | Sign::MinusPlus => return None,
                }
            }
            Some(AngleRange { low, high })
        }
        Expr::Product(factors) => {
            let mut scale = Number::ONE;
            let mut range: Option<AngleRange> = None;
            for factor in factors {
                match (&factor.value, factor.divides) {
                    (Expr::Number(number), false) => scale = &scale * number,
                    (Expr::Number(number), true) => scale = &scale * &number.reciprocal()?,
                    (value, false) if range.is_none() => range = Some(angle_range(value, table)?),
                    _ => return None,
                }
            }
            let range = range?;
            let (low, high) = (&range.low * &scale, &range.high * &scale);
            Some(if low <= high {
                AngleRange { low, high }
            } else {
                AngleRange {
                    low: high,
                    high: low,
                }
            })
        }
        _ => None,
    }
}
