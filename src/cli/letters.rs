//! Letters given on the command line, with their domains.

use crate::algebra::expr::Equation;
use crate::algebra::symbol::{Domain, Symbol};
use crate::show::escape::escape;
use crate::show::line::{Spelling, name};
use crate::show::remarks::listed;
use crate::text::Vocabulary;
use crate::text::suggest::nearest;

use super::args::Domains;
use super::outcome::{Trouble, misunderstood};

/// Characters that a letter's name may have.
const LONGEST_NAME: usize = 40;

/// The vocabulary that `--real` and `--domain` declare.
///
/// # Errors
/// When an option is not what it should be.
pub fn declared(domains: &Domains) -> Result<Vocabulary, Trouble> {
    let mut vocabulary = Vocabulary::new();
    for letters in &domains.real {
        for letter in letters
            .split([',', ' '])
            .filter(|letter| !letter.is_empty())
        {
            declare(&mut vocabulary, letter, Domain::Real)?;
        }
    }
    for pair in &domains.domains {
        let Some((letter, word)) = pair.split_once('=') else {
            return misunderstood(format!(
                "--domain wants a letter and its domain, such as x=real, not `{}`.",
                escape(pair)
            ));
        };
        let word = word.trim();
        let Some(domain) = Domain::from_keyword(word) else {
            return misunderstood(format!(
                "`{}` is no domain; there are positive, nonnegative, real and acute.",
                escape(word)
            ));
        };
        for letter in letter.split(',') {
            declare(&mut vocabulary, letter, domain)?;
        }
    }
    Ok(vocabulary)
}

/// Declares one letter, or a name such as `E_k`. Its domain counts even where
/// it was declared before.
fn declare(vocabulary: &mut Vocabulary, letter: &str, domain: Domain) -> Result<Symbol, Trouble> {
    let letter = letter.trim();
    let begins = letter.chars().next().is_some_and(char::is_alphabetic);
    let fits = letter
        .chars()
        .all(|character| character.is_alphanumeric() || matches!(character, '_' | '{' | '}'));
    if !begins || !fits || letter.chars().count() > LONGEST_NAME {
        return misunderstood(format!(
            "`{}` is not a letter for a quantity.",
            escape(letter)
        ));
    }
    let symbol = vocabulary.declare(letter, domain);
    vocabulary.table_mut().set_domain(symbol, domain);
    Ok(symbol)
}

/// Declares the subject, so that a name of several letters is read as one.
///
/// # Errors
/// When it is not a name.
pub fn subject(vocabulary: &mut Vocabulary, letter: &str) -> Result<Symbol, Trouble> {
    match vocabulary.lookup(letter) {
        Some(symbol) => Ok(symbol),
        None => declare(vocabulary, letter, Domain::default()),
    }
}

/// Makes sure that the formula has its subject.
///
/// # Errors
/// When it has not.
pub fn present(
    equation: &Equation,
    subject: Symbol,
    typed: &str,
    vocabulary: &Vocabulary,
    spelling: Spelling,
) -> Result<(), Trouble> {
    let symbols = equation.symbols();
    if symbols.contains(&subject) {
        return Ok(());
    }
    let names: Vec<String> = symbols
        .iter()
        .map(|symbol| name(*symbol, vocabulary.table(), spelling))
        .collect();
    let has = match listed(&names) {
        Some(names) => format!(" Its letters are {names}."),
        None => String::new(),
    };
    let table = vocabulary.table();
    let near = nearest(
        table.name(subject),
        symbols.iter().map(|symbol| table.name(*symbol)),
    );
    let near = near.and_then(|(near, _)| symbols.iter().find(|own| table.name(**own) == near));
    let meant = match near {
        Some(near) => format!(" Did you mean {}?", name(*near, table, spelling)),
        None => String::new(),
    };
    misunderstood(format!("The formula has no {}.{has}{meant}", escape(typed)))
}
