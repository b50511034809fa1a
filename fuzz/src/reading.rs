//! Typed maths, read and printed only: what `maths` asserts of reading,
//! without its arithmetic, so that a hundred times as many inputs are tried.

use std::cell::RefCell;

use rejig::algebra::expr::Expr;
use rejig::algebra::symbol::Domain;
use rejig::show::line::{Spelling, line};
use rejig::text::{DiagnosticKind, Undeclared, Vocabulary, read, read_preferred};

/// Letters after which the vocabulary is made afresh.
const MOST_LETTERS: usize = 40;

thread_local! {
    static LETTERS: RefCell<Vocabulary> = RefCell::new(letters());
}

fn letters() -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for name in ["x", "y", "n", "θ", "E_k", "m", "Δx"] {
        vocabulary.declare(name, Domain::Real);
    }
    vocabulary
}

pub fn run(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    LETTERS.with_borrow_mut(|vocabulary| {
        if vocabulary.table().len() > MOST_LETTERS {
            *vocabulary = letters();
        }
        match read(&text, vocabulary, Undeclared::Declare) {
            Err(fault) => drop(fault.render()),
            Ok(readings) => {
                for reading in readings.all().take(2) {
                    for side in &reading.chain {
                        printed_and_read(side, Spelling::Unicode, vocabulary);
                    }
                }
            }
        }
    });
}

/// What is printed, and what it reads back as; nothing if it is over a limit.
///
/// # Panics
///
/// If what is printed can't be read, or reads again to something else.
pub fn printed_and_read(
    side: &Expr,
    spelling: Spelling,
    vocabulary: &Vocabulary,
) -> Option<(String, Expr)> {
    let table = vocabulary.table();
    let first = line(side, table, spelling);
    let again = back(&first, vocabulary)?;
    let second = line(&again, table, spelling);
    let third = back(&second, vocabulary)?;
    assert_eq!(
        again, third,
        "{first:?} reads otherwise when printed again: {second:?}"
    );
    Some((first, again))
}

/// The tree of a printed line; nothing where only a limit stops it.
fn back(text: &str, vocabulary: &Vocabulary) -> Option<Expr> {
    let mut own = vocabulary.clone();
    match read_preferred(text, &mut own, Undeclared::Refuse) {
        Ok(mut reading) => {
            assert_eq!(reading.chain.len(), 1, "{text:?} is several sides");
            reading.chain.pop()
        }
        Err(fault) => {
            let limit = matches!(
                fault.kind,
                DiagnosticKind::TooLong | DiagnosticKind::TooDeep | DiagnosticKind::NumberTooLarge
            );
            assert!(limit, "printed and not read: {text:?}\n{}", fault.render());
            None
        }
    }
}
