//! Conditions of marks: what a `mark` line of a sheet asks for.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::text::{Undeclared, Vocabulary, read};

/// What a mark is given for.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkRule {
    /// A line of working without this letter.
    Without(Symbol),
    /// A line of working with this letter.
    With(Symbol),
    /// A line that makes this letter the subject.
    Subject(Symbol),
    /// A line that says this.
    Says(Vec<Equation>),
    /// The result, shown.
    Shown,
    /// Words that only a reader understands: given if all is shown.
    Words,
}

fn symbol(text: &str, vocabulary: &Vocabulary) -> Option<Symbol> {
    vocabulary.lookup(text.trim().trim_end_matches('.').trim())
}

/// What stands in a sentence behind one of these words.
fn behind<'t>(text: &'t str, starts: &[&str]) -> Option<&'t str> {
    starts.iter().find_map(|start| {
        let at = text.to_lowercase().find(start)?;
        text.get(at + start.len()..).map(str::trim)
    })
}

/// Reads a mark's condition, such as `a line has no t`, `a line equals
/// v^2 = 2 a s` or `shown`.
#[must_use]
pub fn rule(condition: &str, vocabulary: &Vocabulary) -> MarkRule {
    let text = condition.trim().trim_end_matches('.');
    let text = text.strip_prefix("when ").unwrap_or(text).trim();
    if matches!(
        text,
        "shown" | "it is shown" | "the result is shown" | "the goal is shown" | "the end is shown"
    ) {
        return MarkRule::Shown;
    }
    if let Some(rest) = behind(text, &["line has no ", "line without "])
        && let Some(symbol) = symbol(rest, vocabulary)
    {
        return MarkRule::Without(symbol);
    }
    if let Some(rest) = behind(text, &["line equals ", "line says ", "line reads "]) {
        let mut scratch = vocabulary.clone();
        if let Ok(readings) = read(rest, &mut scratch, Undeclared::Refuse) {
            let equations: Vec<Equation> = readings
                .preferred
                .chain
                .windows(2)
                .map(|pair: &[Expr]| Equation::new(pair[0].clone(), pair[1].clone()))
                .collect();
            if !equations.is_empty() {
                return MarkRule::Says(equations);
            }
        }
    }
    if let Some(rest) = behind(text, &["line makes "])
        && let Some(rest) = rest.strip_suffix("the subject")
        && let Some(symbol) = symbol(rest, vocabulary)
    {
        return MarkRule::Subject(symbol);
    }
    if let Some(rest) = text.strip_suffix("is the subject")
        && let Some(symbol) = symbol(rest.trim_start_matches("when "), vocabulary)
    {
        return MarkRule::Subject(symbol);
    }
    if let Some(rest) = behind(text, &["line has ", "line with "])
        && let Some(symbol) = symbol(rest, vocabulary)
    {
        return MarkRule::With(symbol);
    }
    MarkRule::Words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::algebra::symbol::Domain;

    #[test]
    fn conditions_are_read() {
        let mut vocabulary = Vocabulary::new();
        let time = vocabulary.declare("t", Domain::Positive);
        vocabulary.declare("v", Domain::Real);
        for (text, expected) in [
            ("a line has no t", MarkRule::Without(time)),
            ("when a line has no t", MarkRule::Without(time)),
            ("a line has t", MarkRule::With(time)),
            ("a line makes t the subject", MarkRule::Subject(time)),
            ("t is the subject", MarkRule::Subject(time)),
            ("shown", MarkRule::Shown),
            ("the result is shown", MarkRule::Shown),
            ("a line has no q", MarkRule::Words),
            ("the method is clear", MarkRule::Words),
        ] {
            assert_eq!(rule(text, &vocabulary), expected, "{text}");
        }
        assert!(matches!(
            rule("a line equals v = t", &vocabulary),
            MarkRule::Says(equations) if equations.len() == 1
        ));
    }
}
