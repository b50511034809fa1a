//! The names of functions.

use super::tokens::Kind;
use crate::algebra::expr::Function;

/// Whether a word is the name of a function.
#[must_use]
pub fn is_name(word: &str) -> bool {
    function(word).is_some()
}

/// Whether the name of a function can begin with a letter.
pub(super) fn may_begin(first: char) -> bool {
    matches!(
        first,
        'a' | 'c' | 'e' | 'l' | 'r' | 's' | 't' | 'C' | 'L' | 'S' | 'T'
    )
}

/// The function that a name calls. `log` is told apart by the caller.
pub(super) fn function(name: &str) -> Option<Kind> {
    Some(Kind::Function(match name {
        "sqrt" | "root" => Function::Sqrt,
        "cbrt" => Function::Cbrt,
        "abs" => Function::Abs,
        "exp" => Function::Exp,
        "ln" | "Ln" | "loge" => Function::Ln,
        "lg" | "log10" => Function::Log10,
        "log" | "Log" => return Some(Kind::Log),
        "sin" | "Sin" => Function::Sin,
        "cos" | "Cos" => Function::Cos,
        "tan" | "Tan" => Function::Tan,
        "sec" => Function::Sec,
        "cosec" | "csc" => Function::Cosec,
        "cot" => Function::Cot,
        "arcsin" | "asin" => Function::Arcsin,
        "arccos" | "acos" => Function::Arccos,
        "arctan" | "atan" => Function::Arctan,
        "sinh" => Function::Sinh,
        "cosh" => Function::Cosh,
        "tanh" => Function::Tanh,
        "arsinh" | "asinh" | "arcsinh" => Function::Arsinh,
        "arcosh" | "acosh" | "arccosh" => Function::Arcosh,
        "artanh" | "atanh" | "arctanh" => Function::Artanh,
        _ => return None,
    }))
}
