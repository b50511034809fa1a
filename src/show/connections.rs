//! Connections as text: questions, chains, suggestions.

use unicode_width::UnicodeWidthStr;

use crate::algebra::expr::Equation;
use crate::algebra::symbol::Symbol;
use crate::practice::connections::{Chain, Connecting, Joint, Suggestion};

use super::escape::escape;
use super::line::{Spelling, equation, name};
use super::remarks::listed;
use super::wrap::{unbroken, wrapped};

/// `Give r in terms of m, v, B and Q.`
#[must_use]
pub fn request(joint: &Joint, spelling: Spelling) -> String {
    let table = joint.question.table();
    let letter = |symbol: &Symbol| name(*symbol, table, spelling);
    let terms: Vec<String> = joint.goal.right.symbols().iter().map(letter).collect();
    format!(
        "Give {} in terms of {}.",
        letter(&joint.question.subject()),
        listed(&terms).unwrap_or_default()
    )
}

/// The quantities that must go, in letters.
#[must_use]
pub fn letters_left(joint: &Joint, spelling: Spelling) -> String {
    let table = joint.question.table();
    let letters: Vec<String> = joint
        .eliminated
        .iter()
        .map(|symbol| name(*symbol, table, spelling))
        .collect();
    letters.join(", ")
}

/// The formulae that are to be joined, in one line each.
#[must_use]
pub fn formulae(joint: &Joint, spelling: Spelling) -> Vec<String> {
    let table = joint.question.table();
    let shown = |part: &Equation| equation(part, table, spelling);
    joint.parts().iter().map(shown).collect()
}

/// The marks that lines earn so far.
#[must_use]
pub fn marks_words(awarded: usize, joint: &Joint) -> String {
    format!("Marks for the working: {awarded} of {}.", joint.marks())
}

/// The formulae of a connection, each with its topic, set in from the margin.
#[must_use]
pub fn parts(own: &Connecting<'_>, spelling: Spelling, columns: usize) -> Vec<String> {
    let texts = formulae(&own.joint, spelling);
    let width = texts.iter().map(|text| text.chars().count()).max();
    let width = width.unwrap_or(0);
    texts
        .iter()
        .zip(&own.linked.parts)
        .map(|(text, part)| {
            let text = format!("{text:<width$}");
            with_topic(&text, &part.topic.title, "     ", "       ", columns)
        })
        .collect()
}

/// A formula with its topic behind it, on one line if that has room.
fn with_topic(formula: &str, title: &str, first: &str, rest: &str, width: usize) -> String {
    let title = escape(title);
    let line = format!("{first}{formula}   ({title})");
    if line.width() <= width {
        return line;
    }
    let text = format!("{} ({title})", unbroken(formula.trim_end()));
    wrapped(&text, first, rest, width)
}

/// A chain as a small picture.
///
/// ```text
///    momentum
///       |  λ = h/p  (Photons, electrons and waves of matter)
///    wavelength
/// ```
#[must_use]
pub fn picture(chain: &Chain<'_>, spelling: Spelling, width: usize) -> String {
    let bar = match spelling {
        Spelling::Unicode => "│",
        Spelling::Ascii => "|",
    };
    let mut out = format!("   {}\n", escape(&chain.from));
    for hop in &chain.hops {
        let table = hop.topic.vocabulary.table();
        let formula = equation(&hop.formula.equation, table, spelling);
        let first = format!("      {bar}  ");
        let rest = format!("      {bar}    ");
        let line = with_topic(&formula, &hop.topic.title, &first, &rest, width);
        out.push_str(&line);
        out.push('\n');
        out.push_str(&format!("   {}\n", escape(&hop.to)));
    }
    out
}

/// A suggestion with the conditions of both formulae, and the entry that
/// would bless it.
#[must_use]
pub fn suggestion(number: usize, own: &Suggestion<'_>, spelling: Spelling, width: usize) -> String {
    let label = format!("{number:>3}. ");
    let table = own.vocabulary.table();
    let found = format!(
        "By the {}: {}",
        escape(own.joint),
        unbroken(&equation(&own.result, table, spelling))
    );
    let mut out = wrapped(&found, &label, "     ", width);
    for (topic, formula) in own.parts {
        let text = equation(&formula.equation, topic.vocabulary.table(), spelling);
        let mut told = format!("{}   ({})", unbroken(&text), escape(&topic.title));
        if let Some(condition) = &formula.condition {
            told.push_str(&format!(", when {}", escape(condition)));
        }
        out.push('\n');
        out.push_str(&wrapped(&told, "       ", "         ", width));
    }
    out
}
