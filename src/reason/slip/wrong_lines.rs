//! Lines that a slip leaves behind. None is ever solved: a student who goes on
//! correctly from a wrong line ends with an answer that satisfies it, so the
//! answer's value is put into the line.

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::NoValue;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;

use super::Slip;
use super::fingerprint::{ENOUGH, Places, narrow};

/// A wrong line and the slip that made it.
#[derive(Debug, Clone)]
pub(super) struct WrongLine {
    pub equation: Equation,
    pub rank: u8,
    pub slip: Slip,
}

impl WrongLine {
    pub(super) fn new(equation: Equation, rank: u8, slip: Slip) -> Self {
        WrongLine {
            equation,
            rank,
            slip,
        }
    }
}

/// How a line fares at one place.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fares {
    Holds,
    Fails,
    /// The sides differ in their sign only: a root on the way may have hidden
    /// it.
    Mirrored,
    /// No value that is certain.
    Open,
}

fn fares(line: &Equation, values: &[Ball]) -> Fares {
    let left = match ball::evaluate(&line.left, values) {
        Ok(ball) => ball,
        Err(_) => return Fares::Open,
    };
    match ball::evaluate(&line.right, values) {
        Err(NoValue::Undefined | NoValue::Unsure) => Fares::Open,
        Ok(right) if !left.differs_from(right) => {
            if narrow(left, right) {
                Fares::Holds
            } else {
                Fares::Open
            }
        }
        Ok(right) => {
            let gap = left.mid() + right.mid();
            let size = left.mid().abs();
            if gap.abs() <= 1e-9 * size {
                Fares::Mirrored
            } else {
                Fares::Fails
            }
        }
    }
}

/// The values of an answer at the places, worked out as they are needed.
pub(super) struct PutIn<'a> {
    places: &'a Places,
    subject: Symbol,
    value: &'a Expr,
    known: Vec<Option<Vec<Ball>>>,
    reached: usize,
}

impl<'a> PutIn<'a> {
    pub(super) fn new(places: &'a Places, subject: Symbol, value: &'a Expr) -> Self {
        PutIn {
            places,
            subject,
            value,
            known: Vec::new(),
            reached: 0,
        }
    }

    /// The values at the answer's place of this number, counted over those
    /// places at which it has a value.
    fn at(&mut self, number: usize) -> Option<&[Ball]> {
        while self.known.len() <= number {
            let values = self.places.values(self.reached)?;
            self.reached += 1;
            if let Ok(own) = ball::evaluate(self.value, values) {
                let mut values = values.to_vec();
                values[self.subject.index()] = own;
                self.known.push(Some(values));
            }
        }
        self.known[number].as_deref()
    }

    /// Whether the answer satisfies the line wherever that can be told.
    pub(super) fn satisfies(&mut self, line: &Equation) -> bool {
        let (mut held, mut mirrored, mut number) = (0, 0, 0);
        while let Some(values) = self.at(number) {
            match fares(line, values) {
                Fares::Fails => return false,
                Fares::Holds => held += 1,
                Fares::Mirrored => mirrored += 1,
                Fares::Open => {}
            }
            // Nothing certain at the first few places: there will be little
            // at the others.
            if number == 2 * ENOUGH && held == 0 {
                return false;
            }
            number += 1;
        }
        held >= ENOUGH && held > mirrored && self.is_told_apart(line)
    }

    /// Whether another value of the subject would not do as well: a line from
    /// which the subject has gone is satisfied by anything.
    fn is_told_apart(&mut self, line: &Equation) -> bool {
        let subject = self.subject.index();
        let nudge = Ball::exact(1.0 + 1.0 / 64.0);
        let mut number = 0;
        while let Some(values) = self.at(number) {
            number += 1;
            if fares(line, values) != Fares::Holds {
                continue;
            }
            let mut values = values.to_vec();
            let Ok(other) = crate::algebra::certified::Certified::times(&values[subject], &nudge)
            else {
                continue;
            };
            values[subject] = other;
            if fares(line, &values) == Fares::Fails {
                return true;
            }
        }
        false
    }
}

/// Whether a line holds wherever the formula does: then it is no slip.
pub(super) fn is_true(line: &Equation, places: &Places) -> bool {
    places
        .on_formula()
        .iter()
        .all(|values| matches!(fares(line, values), Fares::Holds | Fares::Open))
}
