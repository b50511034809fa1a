//! Rounded constants: 3.14 for pi is not equal to it, and is worth naming.

use crate::algebra::expr::{Constant, Expr, Function};
use crate::algebra::number::Number;

/// The expression with rounded constants made exact, if there are any.
pub(super) fn with_exact_constants(value: &Expr) -> Option<Expr> {
    let mended = mend_constants(value);
    (mended != *value).then_some(mended)
}

fn mend_constants(value: &Expr) -> Expr {
    match value {
        Expr::Number(number) => exact_constant(number).unwrap_or_else(|| value.clone()),
        other => other.map_children(mend_constants),
    }
}

/// The constant of which this decimal is a rounding to two places or more.
fn exact_constant(number: &Number) -> Option<Expr> {
    use std::f64::consts::{E, LN_2, PI};
    let mut scale = Number::from(100);
    let places = loop {
        if (number * &scale).is_integer() {
            break scale;
        }
        scale = &scale * &Number::from(10);
        if scale.bits() > 64 || scale > Number::from(10_000_000_000_000) {
            return None;
        }
    };
    if number.is_integer() {
        return None;
    }
    let step = 1.0 / places.to_f64();
    let near = |exact: f64| (number.to_f64() - exact).abs() <= 0.5000001 * step;
    let pi = || Expr::Constant(Constant::Pi);
    for (num, den) in [
        (1, 1),
        (2, 1),
        (4, 1),
        (8, 1),
        (1, 2),
        (1, 4),
        (1, 3),
        (4, 3),
        (2, 3),
        (1, 6),
        (3, 2),
        (3, 4),
        (1, 180),
    ] {
        let ratio = Expr::Number(Number::new(num, den));
        #[allow(clippy::cast_precision_loss)]
        let factor = num as f64 / den as f64;
        if near(factor * PI) {
            return Some(Expr::mul(ratio, pi()));
        }
        if near(factor * PI * PI) {
            return Some(Expr::mul(ratio, Expr::pow(pi(), Expr::integer(2))));
        }
        if near(factor / PI) {
            return Some(Expr::div(ratio, pi()));
        }
    }
    for root in [2, 3, 5] {
        if near(f64::from(root).sqrt()) {
            return Some(Expr::pow(
                Expr::integer(i64::from(root)),
                Expr::Number(Number::new(1, 2)),
            ));
        }
    }
    if near(E) {
        return Some(Expr::Constant(Constant::Euler));
    }
    if near(LN_2) {
        return Some(Expr::call(Function::Ln, Expr::integer(2)));
    }
    None
}
