//! Whether an answer is proved to be a solution, by normal form.

use crate::algebra::expr::Expr;
use crate::algebra::kernel::Failure;
use crate::algebra::limits::Budget;
use crate::algebra::normalise::{proved_equal_where, proved_equal_within};
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::carrier::Carrier;
use super::rearrangement::{PROOF_STEPS, Problem};

impl Problem {
    /// Whether the answer is proved to be the subject at every point at which
    /// the formula holds and the answer has a value.
    pub(super) fn prove_on_formula(
        &self,
        value: &Expr,
        carrier: &Carrier,
        table: &SymbolTable,
    ) -> Result<bool, Failure> {
        let subject = Expr::Symbol(self.subject());
        for branch in &carrier.branches {
            let given = (carrier.symbol, branch);
            if !proved_where((value, &subject), given, table)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Whether the answer is proved to be a solution; `on_formula` is what came
    /// of [`Problem::prove_on_formula`] if that was asked already.
    pub(super) fn prove(
        &self,
        value: &Expr,
        carrier: &Carrier,
        on_formula: Option<Result<bool, Failure>>,
        table: &SymbolTable,
    ) -> Result<bool, Failure> {
        let mut failure = None;
        if carrier.symbol == self.subject() {
            for branch in &carrier.branches {
                match proved_within(value, branch, table) {
                    Ok(true) => return Ok(true),
                    Ok(false) => {}
                    Err(error) => failure = Some(error),
                }
            }
        } else if carrier.complete {
            match on_formula.unwrap_or_else(|| self.prove_on_formula(value, carrier, table)) {
                Ok(true) => return Ok(true),
                Ok(false) => {}
                Err(error) => failure = Some(error),
            }
        }
        // The other way: put the answer into the formula.
        let put_in = self.formula().substitute(self.subject(), value);
        match proved_within(&put_in.left, &put_in.right, table) {
            Ok(true) => return Ok(true),
            Ok(false) => {}
            Err(error) => failure = Some(error),
        }
        // Both at once: on the formula's own points, a sign may be known that
        // is open elsewhere.
        if carrier.symbol != self.subject() && carrier.complete {
            let all = carrier.branches.iter().all(|branch| {
                let sides = (&put_in.left, &put_in.right);
                proved_where(sides, (carrier.symbol, branch), table) == Ok(true)
            });
            if all {
                return Ok(true);
            }
        }
        failure.map_or(Ok(false), Err)
    }
}

/// [`proved_within`] with a value in the place of a symbol.
fn proved_where(
    sides: (&Expr, &Expr),
    given: (Symbol, &Expr),
    table: &SymbolTable,
) -> Result<bool, Failure> {
    proved_equal_where(sides, given, table, Budget::new(PROOF_STEPS))
}

pub(super) fn proved_within(
    left: &Expr,
    right: &Expr,
    table: &SymbolTable,
) -> Result<bool, Failure> {
    proved_equal_within(left, right, table, Budget::new(PROOF_STEPS))
}
