//! Letters that come out of nowhere in a line, where another may be meant.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::practice::argument::Judged;
use crate::text::suggest::nearest;

use super::line::{Spelling, name};

/// A sentence for each letter of `chain` that is none of `known` and is near
/// one of them.
#[must_use]
pub fn strangers(
    chain: &[Expr],
    known: &[Symbol],
    table: &SymbolTable,
    spelling: Spelling,
) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for symbol in chain.iter().flat_map(Expr::symbols) {
        if known.contains(&symbol) {
            continue;
        }
        let names = known.iter().map(|known| table.name(*known));
        let Some((near, _)) = nearest(table.name(symbol), names) else {
            continue;
        };
        let Some(near) = known.iter().find(|known| table.name(**known) == near) else {
            continue;
        };
        let sentence = format!(
            "{} is taken as a letter of its own. Did you mean {}?",
            name(symbol, table, spelling),
            name(*near, table, spelling)
        );
        if !told.contains(&sentence) {
            told.push(sentence);
        }
    }
    told
}

/// The same for each line of a working that is not sound. A letter that came
/// before is no stranger any more.
#[must_use]
pub fn strangers_in(judged: &Judged, spelling: Spelling) -> Vec<Vec<String>> {
    let table = judged.vocabulary.table();
    let mut known: Vec<Symbol> = table.symbols().take(judged.own_letters).collect();
    let lines = judged.report.lines.iter().map(|line| {
        let told = if line.kind.is_sound() {
            Vec::new()
        } else {
            strangers(&line.chain, &known, table, spelling)
        };
        known.extend(line.chain.iter().flat_map(Expr::symbols));
        told
    });
    lines.collect()
}
