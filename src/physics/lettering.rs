//! Letterings (`notation` lines) of a topic.

use super::fault::FaultKind;
use super::formulary::Notation;
use super::loading::TopicReader;
use super::quantity::Origin;
use crate::algebra::symbol::Symbol;
use crate::text::sheet::Piece;
use crate::text::suggest::nearest;

impl TopicReader<'_> {
    pub(super) fn notation(
        &mut self,
        file: usize,
        name: Option<Piece>,
        changes: &[(Piece, Piece)],
    ) {
        let first = changes.first().map(|(from, _)| from.clone());
        let Some(piece) = name.or(first) else {
            return;
        };
        let origin = Origin { file, piece };
        let mut kept: Vec<(Symbol, String)> = Vec::new();
        let renamed: Vec<Symbol> = changes
            .iter()
            .filter_map(|(from, _)| self.topic.vocabulary.lookup(&from.text))
            .collect();
        for (from, to) in changes {
            let from_origin = Origin {
                file,
                piece: from.clone(),
            };
            let to_origin = Origin {
                file,
                piece: to.clone(),
            };
            let Some(symbol) = self.topic.vocabulary.lookup(&from.text) else {
                let table = self.topic.vocabulary.table();
                let near = nearest(&from.text, table.symbols().map(|symbol| table.name(symbol)))
                    .map(|(name, _)| format!("did you mean {name}?"));
                self.report(
                    FaultKind::Incomplete,
                    &from_origin,
                    format!("no formula or quantity of this topic has `{}`", from.text),
                    near,
                );
                continue;
            };
            if !self.symbol_text(&to_origin) {
                continue;
            }
            // The new letter must not stand for something else of this topic,
            // unless that is renamed too.
            if let Some(taken) = self.topic.vocabulary.lookup(&to.text)
                && taken != symbol
                && !renamed.contains(&taken)
            {
                let was = self
                    .topic
                    .meaning(taken)
                    .unwrap_or("another symbol of this topic")
                    .to_owned();
                let line = self
                    .topic
                    .quantity(taken)
                    .map_or(1, |quantity| quantity.origin.line());
                self.two_meanings(&to_origin, &was, line);
                continue;
            }
            let again = kept.iter().any(|(other, _)| *other == symbol);
            if again || kept.iter().any(|(_, letter)| *letter == to.text) {
                self.report(
                    FaultKind::Duplicate,
                    if again { &from_origin } else { &to_origin },
                    "this lettering names one symbol or letter twice".to_owned(),
                    None,
                );
                continue;
            }
            kept.push((symbol, to.text.clone()));
        }
        if !kept.is_empty() {
            self.topic.notations.push(Notation {
                name: origin.piece.text.clone(),
                changes: kept,
                origin,
            });
        }
    }
}
