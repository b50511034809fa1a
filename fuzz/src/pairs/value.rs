//! Values by an arithmetic of our own: a double and how far it may be off.

use super::tree::{Name, Tree};

/// Why there is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Without {
    /// There is certainly none.
    Undefined,
    /// It can't be told.
    Unsure,
}

#[derive(Debug, Clone, Copy)]
pub struct Near {
    pub value: f64,
    pub error: f64,
}

/// Several units in the last place.
const UNIT: f64 = 8.0 * f64::EPSILON;

impl Near {
    pub fn exactly(value: f64) -> Self {
        Near { value, error: 0.0 }
    }

    pub fn about(value: f64) -> Self {
        Near {
            value,
            error: value.abs() * UNIT,
        }
    }

    fn made(value: f64, error: f64) -> Result<Self, Without> {
        let error = error * 1.01 + value.abs() * UNIT + 1e-300;
        if value.is_finite() && error.is_finite() {
            Ok(Near { value, error })
        } else {
            Err(Without::Unsure)
        }
    }

    /// Whether the two certainly differ, with room to spare.
    pub fn differs(self, other: Near) -> bool {
        (self.value - other.value).abs() > 16.0 * (self.error + other.error)
    }

    /// Whether the value means anything.
    pub fn is_sharp(self) -> bool {
        self.error <= 1e-9 * self.value.abs()
    }
}

pub fn value(tree: &Tree, letters: &[Near]) -> Result<Near, Without> {
    let of = |own: &Tree| value(own, letters);
    match tree {
        Tree::Number(above, below) => {
            let (above, below) = (*above as f64, *below as f64);
            if below == 1.0 && above.abs() < 1e15 {
                Ok(Near::exactly(above))
            } else {
                Ok(Near::about(above / below))
            }
        }
        Tree::Letter(place) => letters.get(*place).copied().ok_or(Without::Unsure),
        Tree::Pi => Ok(Near::about(std::f64::consts::PI)),
        Tree::Sum(a, b) => {
            let (a, b) = (of(a)?, of(b)?);
            Near::made(a.value + b.value, a.error + b.error)
        }
        Tree::Difference(a, b) => {
            let (a, b) = (of(a)?, of(b)?);
            Near::made(a.value - b.value, a.error + b.error)
        }
        Tree::Product(a, b) => times(of(a)?, of(b)?),
        Tree::Quotient(a, b) => over(of(a)?, of(b)?),
        Tree::Power(a, above, below) => raised(of(a)?, *above, *below),
        Tree::Raised(a, b) => {
            let (a, b) = (of(a)?, of(b)?);
            if a.value <= a.error {
                return Err(Without::Unsure);
            }
            let log = a.value.ln();
            let off = (b.value.abs() + b.error) * a.error / (a.value - a.error)
                + log.abs() * b.error
                + UNIT * (1.0 + (b.value * log).abs());
            let value = a.value.powf(b.value);
            Near::made(value, value * (off * 1.1).exp_m1())
        }
        Tree::Apply(name, a) => applied(*name, of(a)?),
    }
}

fn times(a: Near, b: Near) -> Result<Near, Without> {
    Near::made(
        a.value * b.value,
        a.value.abs() * b.error + b.value.abs() * a.error + a.error * b.error,
    )
}

fn over(a: Near, b: Near) -> Result<Near, Without> {
    if b.value == 0.0 && b.error == 0.0 {
        return Err(Without::Undefined);
    }
    let least = b.value.abs() - b.error;
    if least <= 0.0 {
        return Err(Without::Unsure);
    }
    let value = a.value / b.value;
    Near::made(value, (a.error + value.abs() * b.error) / least)
}

fn raised(a: Near, above: i64, below: i64) -> Result<Near, Without> {
    if below == 0 {
        return Err(Without::Undefined);
    }
    let (above, below) = if below < 0 {
        (-above, -below)
    } else {
        (above, below)
    };
    let factor = gcd(above.unsigned_abs(), below.unsigned_abs()).max(1) as i64;
    let (above, below) = (above / factor, below / factor);
    if above == 0 {
        return if a.value.abs() > a.error {
            Ok(Near::exactly(1.0))
        } else {
            Err(Without::Unsure)
        };
    }
    if above < 0 {
        return over(Near::exactly(1.0), raised(a, -above, below)?);
    }
    if below == 1 {
        if above > 400 {
            return Err(Without::Unsure);
        }
        let mut so_far = a;
        for _ in 1..above {
            so_far = times(so_far, a)?;
        }
        return Ok(so_far);
    }
    if a.value == 0.0 && a.error == 0.0 {
        return Ok(a);
    }
    if a.value < -a.error {
        // Some take an odd root of a negative number to be real.
        return Err(if below % 2 == 0 {
            Without::Undefined
        } else {
            Without::Unsure
        });
    }
    if a.value <= a.error {
        return Err(Without::Unsure);
    }
    let exponent = above as f64 / below as f64;
    let value = a.value.powf(exponent);
    let off =
        exponent * a.error / (a.value - a.error) + UNIT * (1.0 + (exponent * a.value.ln()).abs());
    Near::made(value, value * (off * 1.1).exp_m1())
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn applied(name: Name, a: Near) -> Result<Near, Without> {
    let Near { value, error } = a;
    match name {
        Name::Sqrt => raised(a, 1, 2),
        Name::Exp => Near::made(
            value.exp(),
            value.exp() * (error + UNIT * value.abs()).exp_m1(),
        ),
        Name::Ln => {
            if value < -error || (value == 0.0 && error == 0.0) {
                return Err(Without::Undefined);
            }
            if value <= error {
                return Err(Without::Unsure);
            }
            Near::made(value.ln(), error / (value - error) + UNIT)
        }
        Name::Sin => Near::made(value.sin(), error + UNIT),
        Name::Cos => Near::made(value.cos(), error + UNIT),
        Name::Tan => over(applied(Name::Sin, a)?, applied(Name::Cos, a)?),
        Name::Abs => Near::made(value.abs(), error),
        Name::Arctan => Near::made(value.atan(), error),
        Name::Arcsin | Name::Arccos => {
            if value.abs() > 1.0 + error {
                return Err(Without::Undefined);
            }
            let end = error == 0.0 && value.abs() == 1.0;
            if value.abs() + error >= 1.0 && !end {
                return Err(Without::Unsure);
            }
            let slope = if end {
                1.0
            } else {
                let most = value.abs() + error;
                ((1.0 - most) * (1.0 + most)).sqrt()
            };
            let found = if name == Name::Arcsin {
                value.asin()
            } else {
                value.acos()
            };
            Near::made(found, error / slope + UNIT)
        }
        Name::Sinh => Near::made(
            value.sinh(),
            (error + UNIT * value.abs()) * (value.abs() + error).cosh() * 1.1,
        ),
        Name::Cosh => Near::made(
            value.cosh(),
            (error + UNIT * value.abs()) * (value.abs() + error).sinh() * 1.1 + UNIT,
        ),
        Name::Tanh => Near::made(value.tanh(), error + UNIT),
    }
}
