//! Approximations that a question may grant. None is ever assumed.

use crate::algebra::expr::{Equation, Expr, Function};

/// An approximation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Approximation {
    /// For a small angle in radians the sine and the tangent are the angle,
    /// and the cosine is one.
    SmallAngle,
}

impl Approximation {
    /// All of them.
    pub const ALL: [Approximation; 1] = [Approximation::SmallAngle];

    /// The key that sheets and the machine interface use.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Approximation::SmallAngle => "small-angle",
        }
    }

    /// The approximation of this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|own| own.key() == key)
    }

    /// An equation with approximations made in it.
    #[must_use]
    pub fn apply_all(granted: &[Approximation], equation: &Equation) -> Equation {
        let mut changed = equation.clone();
        for approximation in granted {
            changed = Equation::new(
                approximation.apply(&changed.left),
                approximation.apply(&changed.right),
            );
        }
        changed
    }

    fn apply(self, expr: &Expr) -> Expr {
        match (self, expr) {
            (Approximation::SmallAngle, Expr::Call(Function::Sin | Function::Tan, angle)) => {
                self.apply(angle)
            }
            (Approximation::SmallAngle, Expr::Call(Function::Cos, _)) => Expr::integer(1),
            _ => expr.map_children(|child| self.apply(child)),
        }
    }
}
