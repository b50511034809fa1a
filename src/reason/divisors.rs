//! Divisors of an answer that may be zero where the formula holds.

use crate::algebra::exact;
use crate::algebra::expr::Expr;
use crate::algebra::kernel::Failure;
use crate::algebra::normal::Field;
use crate::algebra::symbol::{Domain, SymbolTable};

/// Whether a divisor is a product of quantities that cannot be zero.
pub(super) fn is_clearly_nonzero(divisor: &Expr, table: &SymbolTable) -> bool {
    match divisor {
        Expr::Number(number) => !number.is_zero(),
        Expr::Constant(_) => true,
        Expr::Symbol(symbol) => {
            matches!(table.domain(*symbol), Domain::Positive | Domain::Acute)
        }
        Expr::Product(factors) => factors
            .iter()
            .all(|factor| is_clearly_nonzero(&factor.value, table)),
        Expr::Power(base, _) => is_clearly_nonzero(base, table),
        Expr::Sum(_) | Expr::Call(..) | Expr::Derivative(_) | Expr::Integral(_) => false,
    }
}

/// Whether a divisor may be zero where none of the formula's own divisors is.
pub(super) fn may_vanish(
    divisor: &Expr,
    own: &[Expr],
    field: &mut Field<'_>,
) -> Result<bool, Failure> {
    let divisor = field.normalise(divisor)?;
    if field.kernels.never_zero(divisor.num()) {
        return Ok(false);
    }
    let mut excused = Vec::new();
    for expr in own {
        let value = field.normalise(expr)?;
        excused.extend(field.factors_of(value.num())?);
        excused.extend(field.factors_of(value.den())?);
    }
    let parts = field.factors_of(divisor.num())?;
    Ok(parts
        .iter()
        .any(|part| !field.kernels.never_zero(part) && !excused.contains(part)))
}

pub(super) fn collect_divisors(value: &Expr, found: &mut Vec<Expr>) {
    if let Expr::Power(base, exponent) = value
        && exact::constant(exponent).is_some_and(|number| number.is_negative())
        && !matches!(**base, Expr::Constant(_))
        && !found.contains(base)
    {
        found.push((**base).clone());
    }
    if let Expr::Product(factors) = value {
        for factor in factors {
            if factor.divides && !found.contains(&factor.value) {
                found.push(factor.value.clone());
            }
        }
    }
    value.for_each_child(|child| collect_divisors(child, found));
}
