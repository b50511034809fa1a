//! What a sheet declares: quantities and constants, with their letters and
//! units.

use super::fault::FaultKind;
use super::loading::TopicReader;
use super::quantity::{Origin, PhysicalConstant, Quantity};
use super::unit::{Unit, read_unit};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol};
use crate::text::Span;
use crate::text::sheet::{Piece, WrittenNumber};
use crate::text::suggest::nearest;

/// Names that are not symbols.
const RESERVED: [&str; 16] = [
    "π", "pi", "sin", "cos", "tan", "sec", "cosec", "cot", "exp", "ln", "lg", "log", "sqrt", "abs",
    "arcsin", "arccos",
];

impl TopicReader<'_> {
    /// A symbol's text that can be one.
    pub(super) fn symbol_text(&mut self, origin: &Origin) -> bool {
        let text = &origin.piece.text;
        let odd = text.chars().find(|next| {
            !(next.is_alphanumeric() || matches!(next, '_' | '{' | '}' | ' ' | '∆' | '∞' | '\''))
        });
        let begins_well = text
            .chars()
            .next()
            .is_some_and(|next| next.is_alphabetic() || next == '∆');
        if odd.is_some() || !begins_well || text.chars().count() > 40 {
            self.report(
                FaultKind::Syntax,
                origin,
                format!("`{text}` can't be a symbol"),
                Some(
                    "a symbol is a letter, perhaps with a subscript: v, λ, E_k, v_{out}, Δx".into(),
                ),
            );
            return false;
        }
        if RESERVED.contains(&text.as_str()) {
            self.report(
                FaultKind::Syntax,
                origin,
                format!("`{text}` has a meaning of its own in mathematics"),
                Some("choose another symbol".to_owned()),
            );
            return false;
        }
        true
    }

    fn unit(&mut self, file: usize, piece: &Piece) -> Option<Unit> {
        match read_unit(&piece.text) {
            Ok(unit) => {
                if let Some(meant) = doubtful(&unit.text) {
                    let origin = Origin {
                        file,
                        piece: piece.clone(),
                    };
                    self.report(
                        FaultKind::DoubtfulUnit,
                        &origin,
                        format!("`{}` begins with a millisecond", unit.text),
                        Some(format!(
                            "for metres and seconds put a space between: {meant}"
                        )),
                    );
                }
                Some(unit)
            }
            Err(fault) => {
                let quoted = piece.text.get(fault.start..fault.end).unwrap_or("");
                let origin = Origin {
                    file,
                    piece: piece.clone(),
                };
                let report = self.formulary.fault(
                    FaultKind::Unit,
                    &origin,
                    Span::new(fault.start, fault.end),
                    fault.kind.sentence(quoted),
                    fault.mend.map(|mend| format!("did you mean {mend}?")),
                );
                self.formulary.faults.push(report);
                None
            }
        }
    }

    fn declare(&mut self, text: &str, domain: Domain) -> Symbol {
        let symbol = self.topic.vocabulary.declare(text, domain);
        let size = symbol.index() + 1;
        if self.topic.quantity_of.len() < size {
            self.topic.quantity_of.resize(size, None);
            self.topic.constant_of.resize(size, None);
        }
        symbol
    }

    /// Reports a symbol that stands for something else already.
    pub(super) fn two_meanings(&mut self, origin: &Origin, was: &str, line: usize) {
        let text = &origin.piece.text;
        let message = format!("`{text}` stands for two things: line {line} says it is {was}");
        self.report(
            FaultKind::Meaning,
            origin,
            message,
            Some("give one of them another symbol, perhaps with a subscript".to_owned()),
        );
    }

    pub(super) fn quantity(
        &mut self,
        file: usize,
        symbol: Piece,
        aliases: &[Piece],
        details: &[Piece],
    ) {
        let origin = Origin {
            file,
            piece: symbol,
        };
        if !self.symbol_text(&origin) {
            return;
        }
        let (name, domain, unit) = self.details(file, details);
        let known = self.topic.vocabulary.lookup(&origin.piece.text);
        if let Some(old) = known
            .and_then(|symbol| self.topic.quantity(symbol))
            .cloned()
        {
            // A shared sheet of quantities may be included twice.
            if old.origin == origin {
                return;
            }
            let same_unit = match (&old.unit, &unit) {
                (Some(old), Some(new)) => old.dimension == new.dimension,
                _ => true,
            };
            // Two files may each declare what they use, if they agree.
            if same_unit && old.name == name && old.origin.file != file {
                if old.domain != domain {
                    self.report(
                        FaultKind::Meaning,
                        &origin,
                        format!(
                            "`{}` may take other values here than line {} of {} says",
                            origin.piece.text,
                            old.origin.line(),
                            self.formulary.sources[old.origin.file].name
                        ),
                        None,
                    );
                }
                return;
            }
            if same_unit && old.name == name {
                self.report(
                    FaultKind::Duplicate,
                    &origin,
                    format!(
                        "`{}` is declared twice: line {} says the same",
                        origin.piece.text,
                        old.origin.line()
                    ),
                    None,
                );
            } else {
                self.two_meanings(&origin, &old.name, old.origin.line());
            }
            return;
        }
        if let Some(constant) = known
            .and_then(|symbol| self.topic.constant(symbol))
            .cloned()
            && let (Some(old), Some(new)) = (&constant.unit, &unit)
            && old.dimension != new.dimension
        {
            let was = format!("a constant in {}", old.dimension.describe());
            self.two_meanings(&origin, &was, constant.origin.line());
            return;
        }
        let symbol = self.declare(&origin.piece.text, domain);
        self.topic.vocabulary.table_mut().set_domain(symbol, domain);
        let aliases = self.aliases(file, aliases, symbol);
        self.topic.quantity_of[symbol.index()] = u32::try_from(self.topic.quantities.len()).ok();
        self.topic.quantities.push(Quantity {
            symbol,
            name,
            aliases,
            unit,
            domain,
            origin,
        });
    }

    fn aliases(&mut self, file: usize, aliases: &[Piece], symbol: Symbol) -> Vec<String> {
        let mut kept = Vec::new();
        for alias in aliases {
            let origin = Origin {
                file,
                piece: alias.clone(),
            };
            if !self.symbol_text(&origin) {
                continue;
            }
            match self.topic.vocabulary.lookup(&alias.text) {
                Some(taken) if taken != symbol => {
                    let (was, line) = self.topic.quantity(taken).map_or_else(
                        || (self.topic.vocabulary.table().name(taken).to_owned(), 1),
                        |quantity| (quantity.name.clone(), quantity.origin.line()),
                    );
                    self.two_meanings(&origin, &was, line);
                }
                _ => {
                    self.topic.vocabulary.alias(&alias.text, symbol);
                    kept.push(alias.text.clone());
                }
            }
        }
        kept
    }

    /// Name, domain and unit from what stands between the commas.
    fn details(&mut self, file: usize, details: &[Piece]) -> (String, Domain, Option<Unit>) {
        let mut name = details
            .first()
            .map_or_else(String::new, |piece| piece.text.clone());
        let mut domain = Domain::default();
        let mut others: Vec<&Piece> = Vec::new();
        for piece in details.iter().skip(1) {
            let word = piece
                .text
                .to_lowercase()
                .replace("non-negative", "nonnegative");
            match Domain::from_keyword(&word) {
                Some(found) => domain = found,
                None => others.push(piece),
            }
        }
        // A misspelt domain must not be taken for a unit.
        let meant = |text: &str| {
            let words = ["positive", "nonnegative", "real", "acute", "negative"];
            let lower = text.to_lowercase();
            let same = words.iter().find(|word| **word == lower).copied();
            same.or_else(|| nearest(&lower, words.into_iter()).map(|(word, _)| word))
        };
        if let Some(last) = others.last().copied()
            && read_unit(&last.text).is_err()
            && let Some(meant) = meant(&last.text)
        {
            let origin = Origin {
                file,
                piece: last.clone(),
            };
            let mend = match meant {
                "negative" => "say real for a quantity that may be negative".to_owned(),
                _ => format!("did you mean {meant}?"),
            };
            self.report(
                FaultKind::Syntax,
                &origin,
                format!(
                    "`{}` is neither a unit nor positive, nonnegative, real or acute",
                    last.text
                ),
                Some(mend),
            );
            others.pop();
        }
        let Some(last) = others.pop() else {
            return (name, domain, None);
        };
        for part in others {
            name.push_str(", ");
            name.push_str(&part.text);
        }
        let unit = self.unit(file, last);
        (name, domain, unit)
    }

    pub(super) fn constant(
        &mut self,
        file: usize,
        symbol: Piece,
        aliases: &[Piece],
        value: &WrittenNumber,
        unit: Option<Piece>,
        name: Option<Piece>,
    ) {
        let symbol_origin = Origin {
            file,
            piece: symbol,
        };
        if !self.symbol_text(&symbol_origin) {
            return;
        }
        let origin = Origin {
            file,
            piece: value.text.clone(),
        };
        let unit = unit.and_then(|piece| self.unit(file, &piece));
        let text = symbol_origin.piece.text.clone();
        let known = self.topic.vocabulary.lookup(&text);
        if let Some(old) = known
            .and_then(|symbol| self.topic.constant(symbol))
            .cloned()
        {
            if old.origin == origin {
                return;
            }
            self.report(
                FaultKind::Duplicate,
                &symbol_origin,
                format!(
                    "`{text}` has a value already: see line {}",
                    old.origin.line()
                ),
                None,
            );
            return;
        }
        if let Some(quantity) = known
            .and_then(|symbol| self.topic.quantity(symbol))
            .cloned()
            && let (Some(old), Some(new)) = (&quantity.unit, &unit)
            && old.dimension != new.dimension
        {
            let was = format!("{}, in {}", quantity.name, old.dimension.describe());
            self.two_meanings(&symbol_origin, &was, quantity.origin.line());
            return;
        }
        let negative = value.digits.starts_with('-');
        let domain = if negative {
            Domain::Real
        } else {
            Domain::Positive
        };
        let Ok(number) = Number::from_decimal(value.digits.trim_start_matches('-'), value.exponent)
        else {
            self.report(
                FaultKind::Syntax,
                &origin,
                "this number is too large or too small to hold".to_owned(),
                None,
            );
            return;
        };
        let mut amount = number.to_f64();
        if value.times_pi {
            amount *= std::f64::consts::PI;
        }
        if negative {
            amount = -amount;
        }
        let symbol = self.declare(&text, domain);
        self.aliases(file, aliases, symbol);
        self.topic.constant_of[symbol.index()] = u32::try_from(self.topic.constants.len()).ok();
        self.topic.constants.push(PhysicalConstant {
            symbol,
            name: name.map(|name| name.text),
            value: amount,
            figures: (!value.times_pi).then(|| significant_figures(&value.digits)),
            unit,
            origin,
        });
    }
}

/// `m s^-1` for `ms^-1`, which is per millisecond.
fn doubtful(unit: &str) -> Option<String> {
    let rest = unit.strip_prefix("ms")?;
    let negative = rest.starts_with("^-") || rest.starts_with("⁻") || rest.starts_with("-");
    let negative = negative || rest.starts_with("^(-") || rest.starts_with("^{-");
    negative.then(|| format!("m s{rest}"))
}

/// Digits that count: not zeros in front, nor zeros behind a whole number.
fn significant_figures(digits: &str) -> u32 {
    let digits = digits.trim_start_matches('-');
    let has_point = digits.contains('.');
    let plain: String = digits.chars().filter(char::is_ascii_digit).collect();
    let plain = plain.trim_start_matches('0');
    let plain = if has_point {
        plain
    } else {
        plain.trim_end_matches('0')
    };
    u32::try_from(plain.len().max(1)).unwrap_or(u32::MAX)
}
