//! Where the grammar is used. Nothing of pest leaves this file: what goes out
//! is a row of lexemes with their spans.

use pest::Parser;

use super::cutter;
use super::said::Said;
use super::span::Span;
use grammar::{Grammar, Rule};

/// What pest makes of the grammar; its items cannot carry documentation.
#[allow(missing_docs)]
mod grammar {
    use pest_derive::Parser;

    #[derive(Parser)]
    #[grammar = "../grammar/maths.pest"]
    pub(super) struct Grammar;
}

/// The class of a lexeme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// Letters with their digits and subscripts, not yet split.
    Run,
    /// A number, perhaps malformed.
    Number,
    /// Digits written high.
    Superscript,
    /// An operator, a bracket or a sign.
    Operator,
    /// A character that means nothing.
    Unknown,
    /// Words that say maths (`super::said`).
    Said(Said),
}

/// A piece of the text with its class.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lexeme {
    pub class: Class,
    pub span: Span,
}

/// Cuts a text into lexemes. Every text can be cut.
pub(super) fn lexemes(text: &str) -> Vec<Lexeme> {
    cutter::cut(text).unwrap_or_else(|| lexemes_by_grammar(text))
}

/// Cuts a text as the grammar says.
pub(super) fn lexemes_by_grammar(text: &str) -> Vec<Lexeme> {
    let mut found = Vec::with_capacity(text.len().min(64));
    let Ok(pairs) = Grammar::parse(Rule::maths, text) else {
        // The last alternative of the grammar takes any character, so this is
        // not reached; if it were, the whole text would be what is unknown.
        found.push(Lexeme {
            class: Class::Unknown,
            span: Span::new(0, text.len()),
        });
        return found;
    };
    for pair in pairs.flatten() {
        let class = match pair.as_rule() {
            Rule::run => Class::Run,
            Rule::number => Class::Number,
            Rule::superscript => Class::Superscript,
            Rule::operator => Class::Operator,
            Rule::unknown => Class::Unknown,
            _ => continue,
        };
        let span = pair.as_span();
        found.push(Lexeme {
            class,
            span: Span::new(span.start(), span.end()),
        });
    }
    found
}
