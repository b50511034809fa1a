//! Connections: formulae of several topics that share quantities, as a sheet
//! blesses them. A part is a formula of a topic in the connection's own
//! letters; the letter that two parts share is the quantity that joins them.

use super::formulary::{Connection, Formula, Formulary, Topic};
use super::quantity::Origin;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Domain, Symbol};
use crate::text::{Undeclared, Vocabulary, read_preferred};

/// A formula of a connection.
#[derive(Debug, Clone)]
pub struct Part<'f> {
    /// Its topic.
    pub topic: &'f Topic,
    /// The sheet's formula.
    pub formula: &'f Formula,
    /// The same in the connection's letters.
    pub equation: Equation,
    /// The connection's symbols with those of the topic.
    pub letters: Vec<(Symbol, Symbol)>,
}

/// A connection whose parts were found.
#[derive(Debug, Clone)]
pub struct Linked<'f> {
    /// The sheet's entry.
    pub connection: &'f Connection,
    /// Its formulae.
    pub parts: Vec<Part<'f>>,
    /// What is to be found: the subject alone on the left.
    pub goal: Equation,
    /// The subject of the goal.
    pub subject: Symbol,
    /// Quantities of the parts that the goal does not have.
    pub eliminated: Vec<Symbol>,
    /// The letters.
    pub vocabulary: Vocabulary,
}

/// Why a connection does not hold together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loose {
    /// Where.
    pub at: Origin,
    /// A sentence for the teacher.
    pub message: String,
}

/// Finds the parts of a connection and joins their letters.
///
/// # Errors
/// What does not hold together: no such formula, a part that is another
/// formula, a letter with two dimensions, a goal with a letter of its own.
pub fn link<'f>(formulary: &'f Formulary, connection: &'f Connection) -> Result<Linked<'f>, Loose> {
    let loose = |at: &Origin, message: String| Loose {
        at: at.clone(),
        message,
    };
    let mut found = Vec::new();
    for (text, key) in &connection.parts {
        let key = key.piece.text.as_str();
        let Some((topic, formula)) = formulary.formula(key) else {
            return Err(loose(text, format!("there is no formula `{key}`")));
        };
        found.push((text, topic, formula));
    }
    // The letters of the formulae first, so that runs of letters are split by
    // them.
    let mut vocabulary = Vocabulary::new();
    for (_, topic, formula) in &found {
        for symbol in formula.equation.symbols() {
            vocabulary.declare(topic.vocabulary.table().name(symbol), Domain::Positive);
        }
    }
    let mut parts = Vec::new();
    for (text, topic, formula) in found {
        let equation = equation(text, &mut vocabulary)?;
        let letters = same_shape(&equation, &formula.equation).ok_or_else(|| {
            loose(
                text,
                format!(
                    "this is not `{}` with other letters: {}",
                    topic.formula_key(formula),
                    formula.text()
                ),
            )
        })?;
        parts.push(Part {
            topic,
            formula,
            equation,
            letters,
        });
    }
    let goal = equation(&connection.goal, &mut vocabulary)?;
    let subject = match (&goal.left, &goal.right) {
        (Expr::Symbol(symbol), right) if !right.contains(*symbol) => *symbol,
        _ => {
            let message = "the quantity that is found must stand alone on the left".to_owned();
            return Err(loose(&connection.goal, message));
        }
    };
    let held: Vec<Symbol> = parts
        .iter()
        .flat_map(|part| part.letters.iter().map(|(own, _)| *own))
        .collect();
    if let Some(odd) = goal.symbols().iter().find(|symbol| !held.contains(symbol)) {
        let name = vocabulary.table().name(*odd);
        return Err(loose(
            &connection.goal,
            format!("no part has the letter `{name}`"),
        ));
    }
    let mut eliminated: Vec<Symbol> = Vec::new();
    for symbol in &held {
        if !goal.symbols().contains(symbol) && !eliminated.contains(symbol) {
            eliminated.push(*symbol);
        }
    }
    for (part, (text, _)) in parts.iter().zip(&connection.parts) {
        for (own, theirs) in &part.letters {
            for other in &parts {
                let twin = other.letters.iter().find(|(symbol, _)| symbol == own);
                if let Some((_, twin)) = twin
                    && !same_dimension((part.topic, *theirs), (other.topic, *twin))
                {
                    let name = vocabulary.table().name(*own);
                    return Err(loose(text, format!("`{name}` is measured in two units")));
                }
            }
        }
    }
    Ok(Linked {
        connection,
        parts,
        goal,
        subject,
        eliminated,
        vocabulary,
    })
}

fn equation(origin: &Origin, vocabulary: &mut Vocabulary) -> Result<Equation, Loose> {
    let read = read_preferred(&origin.piece.text, vocabulary, Undeclared::Declare);
    match read.map(|reading| <[Expr; 2]>::try_from(reading.chain)) {
        Ok(Ok([left, right])) => Ok(Equation::new(left, right)),
        Ok(Err(_)) => Err(Loose {
            at: origin.clone(),
            message: "one equation is wanted here".to_owned(),
        }),
        Err(diagnostic) => Err(Loose {
            at: origin.clone(),
            message: diagnostic.message,
        }),
    }
}

/// Whether two declared quantities have one dimension; so do undeclared ones.
#[must_use]
pub fn same_dimension(left: (&Topic, Symbol), right: (&Topic, Symbol)) -> bool {
    let unit = |(topic, symbol): (&Topic, Symbol)| {
        topic
            .quantity(symbol)
            .and_then(|quantity| quantity.unit.clone())
            .or_else(|| topic.constant(symbol)?.unit.clone())
            .map(|unit| unit.dimension)
    };
    match (unit(left), unit(right)) {
        (Some(left), Some(right)) => left == right,
        _ => true,
    }
}

/// The letters of one equation that stand for those of another, if that is
/// the only difference.
fn same_shape(own: &Equation, theirs: &Equation) -> Option<Vec<(Symbol, Symbol)>> {
    let mut letters = Vec::new();
    let same = shaped(&own.left, &theirs.left, &mut letters)
        && shaped(&own.right, &theirs.right, &mut letters);
    same.then_some(letters)
}

fn shaped(own: &Expr, theirs: &Expr, letters: &mut Vec<(Symbol, Symbol)>) -> bool {
    if let (Expr::Symbol(own), Expr::Symbol(theirs)) = (own, theirs) {
        let known = letters
            .iter()
            .find(|(left, right)| left == own || right == theirs);
        return match known {
            Some((left, right)) => left == own && right == theirs,
            None => {
                letters.push((*own, *theirs));
                true
            }
        };
    }
    match (own, theirs) {
        (Expr::Sum(left), Expr::Sum(right)) => {
            left.len() == right.len()
                && left.iter().zip(right).all(|(left, right)| {
                    left.sign == right.sign && shaped(&left.value, &right.value, letters)
                })
        }
        (Expr::Product(left), Expr::Product(right)) => {
            left.len() == right.len()
                && left.iter().zip(right).all(|(left, right)| {
                    left.divides == right.divides && shaped(&left.value, &right.value, letters)
                })
        }
        (Expr::Power(base, exponent), Expr::Power(other_base, other_exponent)) => {
            shaped(base, other_base, letters) && shaped(exponent, other_exponent, letters)
        }
        (Expr::Call(function, argument), Expr::Call(other, other_argument)) => {
            function == other && shaped(argument, other_argument, letters)
        }
        (Expr::Number(_) | Expr::Constant(_), _) => own == theirs,
        _ => false,
    }
}
