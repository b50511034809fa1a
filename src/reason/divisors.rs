//! Divisors of an answer that may be zero where the formula holds.

use crate::algebra::exact;
use crate::algebra::expr::Expr;
use crate::algebra::kernel::Failure;
use crate::algebra::normal::Field;
use crate::algebra::symbol::SymbolTable;

use super::signs::signs;

/// The divisors of expressions, each once, that the domains leave open to be
/// zero at a glance.
pub(super) fn open_divisors<'e>(
    exprs: impl IntoIterator<Item = &'e Expr>,
    table: &SymbolTable,
) -> Vec<Expr> {
    let mut found = Vec::new();
    for expr in exprs {
        collect_divisors(expr, &mut found);
    }
    found.retain(|divisor| !signs(divisor, table).is_nonzero());
    found
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
