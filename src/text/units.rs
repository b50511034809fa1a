//! Units that are typed behind a formula, where none belong.

use super::maths::{Class, Lexeme};
use super::names::Names;
use super::span::Span;

/// Whether a word is the name of a unit. Names of three letters and fewer are
/// left out: they are products as often as not.
pub(super) fn is_name(word: &str) -> bool {
    matches!(
        word,
        "second"
            | "seconds"
            | "secs"
            | "minute"
            | "minutes"
            | "hour"
            | "hours"
            | "metre"
            | "metres"
            | "meter"
            | "meters"
            | "kilogram"
            | "kilograms"
            | "gram"
            | "grams"
            | "newton"
            | "newtons"
            | "joule"
            | "joules"
            | "watt"
            | "watts"
            | "volt"
            | "volts"
            | "amps"
            | "ampere"
            | "amperes"
            | "ohms"
            | "coulomb"
            | "coulombs"
            | "farad"
            | "farads"
            | "tesla"
            | "weber"
            | "webers"
            | "henry"
            | "henries"
            | "hertz"
            | "pascal"
            | "pascals"
            | "kelvin"
            | "kelvins"
            | "degree"
            | "degrees"
            | "radian"
            | "radians"
            | "mole"
            | "moles"
            | "Newton"
            | "Newtons"
            | "Joule"
            | "Joules"
            | "Watts"
            | "Volts"
            | "Amps"
            | "Ohms"
            | "Kelvin"
            | "Hertz"
            | "Pascals"
            | "Coulombs"
            | "Tesla"
    )
}

/// Whether a run is made of the symbols of units: `N`, `ms`, `kg`.
fn is_symbol(run: &str) -> bool {
    matches!(
        run,
        "m" | "s"
            | "kg"
            | "N"
            | "J"
            | "W"
            | "V"
            | "A"
            | "K"
            | "C"
            | "F"
            | "H"
            | "T"
            | "Hz"
            | "Pa"
            | "Wb"
            | "mol"
            | "rad"
            | "eV"
            | "cm"
            | "mm"
            | "km"
            | "kJ"
            | "kW"
            | "kN"
            | "ms"
            | "Nm"
            | "Js"
            | "As"
            | "Ns"
            | "Ω"
            | "kgm"
            | "Jkg"
            | "NC"
            | "Vm"
            | "JK"
    )
}

/// Where a line ends with what looks like a unit.
pub(super) struct Trailing {
    pub(super) span: Span,
    from: usize,
}

/// The unit at the end of a line: symbols of units alone, behind a space and
/// behind something that can have a unit.
pub(super) fn trailing(text: &str, lexemes: &[Lexeme]) -> Option<Trailing> {
    let spaced = |at: usize| at > 0 && lexemes[at - 1].span.end < lexemes[at].span.start;
    let mut at = lexemes.len();
    let mut found = None;
    while at > 1 {
        at -= 1;
        let lexeme = lexemes[at];
        let typed = lexeme.span.of(text);
        let fits = match lexeme.class {
            Class::Run => is_symbol(typed),
            Class::Superscript => true,
            Class::Number => typed.len() == 1,
            Class::Operator => matches!(typed, "/" | "^" | "-" | "−" | "·" | "(" | ")"),
            _ => false,
        };
        if !fits {
            break;
        }
        let before = &lexemes[at - 1];
        let ended = match before.class {
            Class::Run | Class::Number | Class::Superscript => true,
            Class::Operator => matches!(before.span.of(text), ")" | "]" | "}"),
            _ => false,
        };
        let bracketed = typed == "(" && lexemes[lexemes.len() - 1].span.of(text) == ")";
        let begins = lexeme.class == Class::Run
            && lexemes[at..]
                .iter()
                .all(|one| !matches!(one.span.of(text), "(" | ")"));
        if spaced(at) && ended && (begins || bracketed && at + 2 < lexemes.len()) {
            found = Some(Trailing {
                span: lexeme.span.to(lexemes[lexemes.len() - 1].span),
                from: at,
            });
        }
        if bracketed {
            break;
        }
    }
    found
}

impl Trailing {
    /// Whether one of its symbols is unknown here, and none like one that is
    /// known: `t N` beside an `n` is rather a slip of the shift key.
    pub(super) fn undeclared(&self, text: &str, lexemes: &[Lexeme], names: &Names<'_>) -> bool {
        let runs = || {
            lexemes[self.from..]
                .iter()
                .filter(|lexeme| lexeme.class == Class::Run)
                .map(|lexeme| lexeme.span.of(text))
        };
        let other_case = |run: &str| {
            run.len() == 1
                && (names.find(&run.to_ascii_lowercase()).is_some()
                    || names.find(&run.to_ascii_uppercase()).is_some())
        };
        let mut unknown = runs().filter(|run| !names.spells(run)).peekable();
        unknown.peek().is_some() && !unknown.any(other_case)
    }
}
