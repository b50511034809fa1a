//! Another formula's answer: a wrong answer that is a right rearrangement of
//! another formula of the same topic, where the letters mean the same.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::formulary::{Formula, Formulary, Topic};
use crate::reason::equation::{Relation, relate};
use crate::reason::rearrangement::Problem;

/// The tree with every symbol replaced; nothing if one has no counterpart.
fn moved(expr: &Expr, to: &impl Fn(Symbol) -> Option<Symbol>) -> Option<Expr> {
    if let Expr::Symbol(symbol) = expr {
        return to(*symbol).map(Expr::Symbol);
    }
    let mut whole = true;
    let tree = expr.map_children(|child| {
        moved(child, to).unwrap_or_else(|| {
            whole = false;
            child.clone()
        })
    });
    whole.then_some(tree)
}

fn same_letters(formula: &Equation, letters: &[Symbol]) -> bool {
    let own = formula.symbols();
    own.len() == letters.len() && own.iter().all(|symbol| letters.contains(symbol))
}

/// The formula of the topic, not `own`, of which `subject = value` is a right
/// rearrangement; symbols are those of `table`, and `to` leads to the topic's.
///
/// The letters must be exactly those of the formula found.
#[must_use]
pub fn answered<'f>(
    topic: &'f Topic,
    own: &Formula,
    subject: Symbol,
    value: &Expr,
    to: impl Fn(Symbol) -> Option<Symbol>,
) -> Option<&'f Formula> {
    let (subject, value) = (to(subject)?, moved(value, &to)?);
    if value.contains(subject) {
        return None;
    }
    let mut letters = value.symbols();
    letters.push(subject);
    topic
        .formulae
        .iter()
        .filter(|formula| !std::ptr::eq(*formula, own) && same_letters(&formula.equation, &letters))
        .find(|formula| {
            let table = topic.vocabulary.table();
            Problem::new(formula.equation.clone(), subject, table)
                .judge_value(&value, table)
                .is_right()
        })
}

/// The topic and the formula of the sheets that an equation is, in the
/// sheets' own letters and, but for its form, the same.
#[must_use]
pub fn home<'f>(
    formulary: &'f Formulary,
    equation: &Equation,
    table: &SymbolTable,
) -> Option<(&'f Topic, &'f Formula)> {
    let names = equation.symbols();
    formulary.topics.iter().find_map(|topic| {
        let to = by_name(topic, table);
        let letters: Vec<Symbol> = names
            .iter()
            .map(|symbol| to(*symbol))
            .collect::<Option<_>>()?;
        let same: Vec<&Formula> = topic
            .formulae
            .iter()
            .filter(|formula| same_letters(&formula.equation, &letters))
            .collect();
        if same.is_empty() {
            return None;
        }
        let theirs = Equation::new(moved(&equation.left, &to)?, moved(&equation.right, &to)?);
        same.into_iter()
            .find(|formula| {
                let related = relate(
                    std::slice::from_ref(&formula.equation),
                    std::slice::from_ref(&theirs),
                    topic.vocabulary.table(),
                );
                related.relation == Relation::Same
            })
            .map(|formula| (topic, formula))
    })
}

/// From the symbols of a table to the topic's, by their names.
pub fn by_name<'a>(
    topic: &'a Topic,
    table: &'a SymbolTable,
) -> impl Fn(Symbol) -> Option<Symbol> + 'a {
    |symbol| topic.vocabulary.lookup(table.name(symbol))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_equation};

    const SHEET: &str = "topic motion\nv = u + a t\nv^2 = u^2 + 2 a s\ns = u t + 1/2 a t^2\n\
                         s = 1/2 (u + v) t\n\ntopic other\nv = f λ\nE = 1/2 m v^2\n";

    /// The formula whose answer it is, asked of one that is given as text.
    fn found(asked: &str, subject: &str, answer: &str) -> Option<String> {
        let formulary = Formulary::from_text("a.sheet", SHEET);
        let mut vocabulary = Vocabulary::new();
        let equation = read_equation(asked, &mut vocabulary, Undeclared::Declare).unwrap();
        let line = format!("{subject} = {answer}");
        let value = read_equation(&line, &mut vocabulary, Undeclared::Declare)
            .unwrap()
            .right;
        let table = vocabulary.table();
        let (topic, own) = home(&formulary, &equation, table)?;
        let subject = vocabulary.lookup(subject)?;
        answered(topic, own, subject, &value, by_name(topic, table))
            .map(|formula| formula.text().to_owned())
    }

    #[test]
    fn names_another_formula_of_the_topic() {
        for (asked, subject, answer, wanted) in [
            ("v = u + at", "u", "v - at", None),
            ("v = u + at", "u", "s/t - at/2", Some("s = u t + 1/2 a t^2")),
            ("u = v - at", "u", "2s/t - v", Some("s = 1/2 (u + v) t")),
            (
                "v = u + a t",
                "a",
                "(v^2 - u^2)/(2s)",
                Some("v^2 = u^2 + 2 a s"),
            ),
            // Not quite.
            ("v = u + at", "a", "(v^2 + u^2)/(2s)", None),
            // Letters of another topic, where v may be another quantity.
            ("v = u + at", "v", "sqrt(2E/m)", None),
            ("v = f lambda", "v", "sqrt(2E/m)", Some("E = 1/2 m v^2")),
            // A formula that no sheet has.
            ("v = u + 2 a t", "u", "s/t - at/2", None),
        ] {
            assert_eq!(
                found(asked, subject, answer).as_deref(),
                wanted,
                "{asked} for {subject}: {answer}"
            );
        }
    }
}
