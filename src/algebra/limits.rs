//! Counted budgets: every piece of work that could run away is bounded here.

use std::fmt;

/// Characters that one typed line may hold.
pub const MAX_LINE: usize = 2_000;
/// Depth of nesting that a tree may have.
pub const MAX_DEPTH: usize = 64;
/// Bits that the numerator or the denominator of a number may have.
pub const MAX_BITS: usize = 4_096;
/// Terms that a polynomial in a normal form may have.
pub const MAX_TERMS: usize = 20_000;
/// Steps (term operations) that one verdict may take.
pub const MAX_STEPS: u64 = 4_000_000;

/// Why a piece of work was given up. A value with a reason, never a panic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exceeded {
    /// A number grew beyond [`MAX_BITS`].
    Bits,
    /// A polynomial grew beyond [`MAX_TERMS`].
    Terms,
    /// The budget of steps ran out.
    Steps,
    /// A tree is nested deeper than [`MAX_DEPTH`].
    Depth,
}

impl fmt::Display for Exceeded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Exceeded::Bits => write!(f, "a number beyond {MAX_BITS} bits"),
            Exceeded::Terms => write!(f, "more than {MAX_TERMS} terms"),
            Exceeded::Steps => write!(f, "more than {MAX_STEPS} steps of algebra"),
            Exceeded::Depth => write!(f, "nesting deeper than {MAX_DEPTH}"),
        }
    }
}

/// A count of steps that is used up as work is done. Deterministic: it counts
/// work, never time.
#[derive(Debug, Clone)]
pub struct Budget {
    left: u64,
}

impl Budget {
    /// A budget of `steps` steps.
    #[must_use]
    pub fn new(steps: u64) -> Self {
        Budget { left: steps }
    }

    /// Uses up `steps`.
    ///
    /// # Errors
    /// [`Exceeded::Steps`] once the budget is gone.
    pub fn spend(&mut self, steps: u64) -> Result<(), Exceeded> {
        if steps > self.left {
            self.left = 0;
            return Err(Exceeded::Steps);
        }
        self.left -= steps;
        Ok(())
    }

    /// Steps that are left.
    #[must_use]
    pub fn left(&self) -> u64 {
        self.left
    }
}

impl Default for Budget {
    fn default() -> Self {
        Budget::new(MAX_STEPS)
    }
}
