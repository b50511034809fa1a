//! From a topic's entries as typed to the topic as a model.

use rustc_hash::{FxHashMap, FxHashSet};

use super::fault::{Fault, FaultKind};
use super::formulary::{Definition, Formula, Formulary, Mark, Need, Proof, Statement, Topic};
use super::gather::Draft;
use super::quantity::{Origin, PhysicalConstant, Quantity};
use super::unit::{Unit, read_unit};
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol};
use crate::text::sheet::{EntryKind, Piece, ProofEntry, WordingEntry, WrittenNumber};
use crate::text::suggest::nearest;
use crate::text::{Span, Undeclared, Vocabulary, read_preferred};

/// A key from words: small letters, hyphens between.
pub(super) fn slug(words: &str) -> String {
    let mut slug = String::with_capacity(words.len());
    for next in words.trim().chars() {
        if next.is_alphanumeric() {
            slug.extend(next.to_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    slug.trim_end_matches('-').to_owned()
}

/// A key from maths: the text without spaces. Case matters in maths. A slash
/// may stay: a key is split at its first one.
fn maths_key(text: &str) -> String {
    text.chars().filter(|next| !next.is_whitespace()).collect()
}

/// Names that are not symbols.
const RESERVED: [&str; 16] = [
    "π", "pi", "sin", "cos", "tan", "sec", "cosec", "cot", "exp", "ln", "lg", "log", "sqrt", "abs",
    "arcsin", "arccos",
];

pub(super) struct TopicReader<'a> {
    formulary: &'a mut Formulary,
    entries: Vec<(usize, EntryKind)>,
    pub(super) topic: Topic,
    /// Names of formulae that are taken.
    taken: FxHashMap<String, usize>,
    /// The number that the next formula of the same name would get.
    next_number: FxHashMap<String, usize>,
    proofs_taken: FxHashSet<String>,
    terms_taken: FxHashSet<String>,
}

impl<'a> TopicReader<'a> {
    pub(super) fn new(formulary: &'a mut Formulary, draft: Draft) -> Self {
        TopicReader {
            formulary,
            entries: draft.entries,
            topic: Topic {
                key: draft.key,
                title: draft.title,
                vocabulary: Vocabulary::new(),
                quantities: Vec::new(),
                constants: Vec::new(),
                formulae: Vec::new(),
                proofs: Vec::new(),
                notations: Vec::new(),
                definitions: Vec::new(),
                origin: draft.origin,
                quantity_of: Vec::new(),
                constant_of: Vec::new(),
            },
            taken: FxHashMap::default(),
            next_number: FxHashMap::default(),
            proofs_taken: FxHashSet::default(),
            terms_taken: FxHashSet::default(),
        }
    }

    pub(super) fn read(mut self) -> Topic {
        let entries = std::mem::take(&mut self.entries);
        // Declarations first, wherever they stand: a symbol that is declared
        // below its formula is declared all the same.
        let mut rest = Vec::with_capacity(entries.len());
        for (file, entry) in entries {
            match entry {
                EntryKind::Quantity {
                    symbol,
                    aliases,
                    details,
                } => self.quantity(file, symbol, &aliases, &details),
                EntryKind::Constant {
                    symbol,
                    aliases,
                    value,
                    unit,
                    name,
                } => self.constant(file, symbol, &aliases, &value, unit, name),
                other => rest.push((file, other)),
            }
        }
        // Then formulae, so that letters of a proof alone can't change how a
        // formula is read.
        let mut later = Vec::new();
        for (file, entry) in rest {
            match entry {
                EntryKind::Formula {
                    name,
                    maths,
                    condition,
                } => self.formula(file, name, maths, condition),
                other => later.push((file, other)),
            }
        }
        for (file, entry) in later {
            match entry {
                EntryKind::Proof(proof) => self.proof(file, *proof),
                EntryKind::Definition {
                    term,
                    sentence,
                    equation,
                    details,
                } => self.definition(file, term, sentence, equation, details),
                EntryKind::Notation { name, changes } => self.notation(file, name, &changes),
                _ => {}
            }
        }
        self.topic
    }

    pub(super) fn report(
        &mut self,
        kind: FaultKind,
        origin: &Origin,
        message: String,
        mend: Option<String>,
    ) {
        let fault = self.formulary.fault_at(kind, origin, message, mend);
        self.formulary.faults.push(fault);
    }

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

    fn quantity(&mut self, file: usize, symbol: Piece, aliases: &[Piece], details: &[Piece]) {
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

    fn constant(
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

    /// Reads a line of maths as a chain of equations.
    ///
    /// Where the reading by the stated rules does not fit the declared units
    /// and exactly one other does, that one is meant: `s = (u + v)/2 t`.
    fn chain(&mut self, origin: &Origin) -> Option<Vec<Equation>> {
        match read_preferred(
            &origin.piece.text,
            &mut self.topic.vocabulary,
            Undeclared::Declare,
        ) {
            Ok(reading) => {
                let sides = reading.chain;
                if sides.len() < 2 {
                    self.report(
                        FaultKind::Syntax,
                        origin,
                        "an equation is wanted here, with an equals sign".to_owned(),
                        None,
                    );
                    return None;
                }
                let equations = neighbours(&sides);
                match self.fitting(&origin.piece.text, &equations) {
                    Some(other) => {
                        self.report(
                            FaultKind::Ambiguous,
                            origin,
                            "this can be read in two ways; I took the one that fits the units"
                                .to_owned(),
                            Some("brackets make it clear: a/(2 s), (a/2) s".to_owned()),
                        );
                        Some(other)
                    }
                    None => Some(equations),
                }
            }
            Err(diagnostic) => {
                let diagnostic = self.formulary.place(diagnostic, origin);
                self.formulary.faults.push(Fault {
                    kind: FaultKind::Syntax,
                    diagnostic,
                });
                None
            }
        }
    }

    fn statement(&mut self, file: usize, piece: Piece) -> Option<Statement> {
        let origin = Origin { file, piece };
        let equations = self.chain(&origin)?;
        Some(Statement { equations, origin })
    }

    fn formula(
        &mut self,
        file: usize,
        name: Option<Piece>,
        maths: Piece,
        condition: Option<Piece>,
    ) {
        let origin = Origin { file, piece: maths };
        let Some(equations) = self.chain(&origin) else {
            return;
        };
        let name = self.formula_name(file, name, &origin);
        // A chain a = b = c gives a = b and a = c.
        let first_left = equations[0].left.clone();
        for (index, equation) in equations.into_iter().enumerate() {
            let (name, equation) = if index == 0 {
                (name.clone(), equation)
            } else {
                let next = Equation::new(first_left.clone(), equation.right);
                (self.free_name(format!("{name}-{}", index + 1)), next)
            };
            self.taken.entry(name.clone()).or_insert(origin.line());
            self.topic.formulae.push(Formula {
                name,
                equation,
                condition: condition.as_ref().map(|piece| piece.text.clone()),
                origin: origin.clone(),
            });
        }
    }

    /// The name given, or one made of the left side, or of the whole line.
    fn formula_name(&mut self, file: usize, name: Option<Piece>, origin: &Origin) -> String {
        if let Some(piece) = name {
            let wanted = slug(&piece.text);
            if !wanted.is_empty() {
                if let Some(line) = self.taken.get(&wanted).copied() {
                    let name_origin = Origin { file, piece };
                    self.report(
                        FaultKind::Duplicate,
                        &name_origin,
                        format!("two formulae are called `{wanted}`: see line {line}"),
                        None,
                    );
                }
                return self.free_name(wanted);
            }
        }
        let line = maths_key(&origin.piece.text);
        let left = line.split('=').next().unwrap_or("").to_owned();
        if !left.is_empty() && !self.taken.contains_key(&left) {
            return left;
        }
        self.free_name(line)
    }

    fn free_name(&mut self, wanted: String) -> String {
        if !self.taken.contains_key(&wanted) {
            return wanted;
        }
        let number = self.next_number.entry(wanted.clone()).or_insert(2);
        loop {
            let candidate = format!("{wanted}-{number}");
            *number += 1;
            if !self.taken.contains_key(&candidate) {
                return candidate;
            }
        }
    }

    fn proof_statement(&mut self, file: usize, piece: Piece) -> Option<Statement> {
        if self.formulary.proofs_later {
            return Some(Statement {
                equations: Vec::new(),
                origin: Origin { file, piece },
            });
        }
        self.statement(file, piece)
    }

    fn proof(&mut self, file: usize, entry: ProofEntry) {
        let origin = Origin {
            file,
            piece: entry.name,
        };
        let mut goals = entry.goals.into_iter();
        let Some(goal) = goals.next() else {
            self.report(
                FaultKind::Incomplete,
                &origin,
                "this proof has no `show` line, so nothing is to be shown".to_owned(),
                Some("add one below it:  show v^2 = u^2 + 2 a s".to_owned()),
            );
            return;
        };
        if let Some(second) = goals.next() {
            let second = Origin {
                file,
                piece: second,
            };
            self.report(
                FaultKind::Duplicate,
                &second,
                "this proof has a `show` line already".to_owned(),
                Some("make a second proof of it".to_owned()),
            );
        }
        let name = slug(&origin.piece.text);
        if !self.proofs_taken.insert(name.clone()) {
            self.report(
                FaultKind::Duplicate,
                &origin,
                format!("two proofs are called `{name}`"),
                None,
            );
            return;
        }
        if entry.given.is_empty() {
            self.report(
                FaultKind::Incomplete,
                &origin,
                "this proof has no `given` line, so nothing may be used".to_owned(),
                Some("add one below it:  given v = u + a t".to_owned()),
            );
            return;
        }
        let mut whole = true;
        let mut statements = |this: &mut Self, pieces: Vec<Piece>| -> Vec<Statement> {
            let count = pieces.len();
            let read: Vec<Statement> = pieces
                .into_iter()
                .filter_map(|piece| this.proof_statement(file, piece))
                .collect();
            whole = whole && read.len() == count;
            read
        };
        let given = statements(self, entry.given);
        let helpers = statements(self, entry.helpers);
        let goals = statements(self, vec![goal]);
        let route = statements(self, entry.route);
        // A proof with an unreadable line would be another proof.
        let (true, Some(goal)) = (whole, goals.into_iter().next()) else {
            return;
        };
        let statement = entry
            .statement
            .map_or_else(|| origin.piece.text.clone(), |piece| piece.text);
        self.topic.proofs.push(Proof {
            name,
            statement,
            condition: entry.condition.map(|piece| piece.text),
            given,
            helpers,
            goal,
            route,
            marks: entry
                .marks
                .into_iter()
                .map(|mark| Mark {
                    code: mark.code.text,
                    condition: mark.condition.text.clone(),
                    origin: Origin {
                        file,
                        piece: mark.condition,
                    },
                })
                .collect(),
            origin,
        });
    }

    fn definition(
        &mut self,
        file: usize,
        term: Piece,
        sentence: Piece,
        equation: Option<Piece>,
        details: WordingEntry,
    ) {
        let equation = equation.and_then(|piece| self.statement(file, piece));
        let origin = Origin { file, piece: term };
        if !self.terms_taken.insert(origin.piece.text.to_lowercase()) {
            let message = format!("`{}` is defined twice", origin.piece.text);
            self.report(FaultKind::Duplicate, &origin, message, None);
            return;
        }
        // Letters of a definition's further lines stay its own, so that they
        // can't change how the topic's formulae are read.
        let further = !details.others.is_empty() || !details.readings.is_empty();
        let kept = further.then(|| self.topic.vocabulary.clone());
        let words = |needs: Vec<Vec<Piece>>| -> Vec<Need> {
            let text = |need: Vec<Piece>| need.into_iter().map(|piece| piece.text).collect();
            needs.into_iter().map(text).collect()
        };
        let mut others = Vec::new();
        for (piece, needs) in details.others {
            if let Some(statement) = self.statement(file, piece) {
                others.push((statement, words(needs)));
            }
        }
        let mut readings = Vec::new();
        for (said, piece) in details.readings {
            let origin = Origin { file, piece };
            match read_preferred(
                &origin.piece.text,
                &mut self.topic.vocabulary,
                Undeclared::Declare,
            ) {
                Ok(mut reading) if reading.chain.len() == 1 => {
                    let said = said.into_iter().map(|piece| piece.text).collect();
                    readings.push((said, reading.chain.swap_remove(0)));
                }
                Ok(_) => self.report(
                    FaultKind::Syntax,
                    &origin,
                    "a phrase stands for one expression, not for an equation".to_owned(),
                    Some("such a line looks like this:  read change of velocity as v - u".into()),
                ),
                Err(diagnostic) => {
                    let diagnostic = self.formulary.place(diagnostic, &origin);
                    self.formulary.faults.push(Fault {
                        kind: FaultKind::Syntax,
                        diagnostic,
                    });
                }
            }
        }
        let vocabulary =
            kept.map(|kept| Box::new(std::mem::replace(&mut self.topic.vocabulary, kept)));
        self.topic.definitions.push(Definition {
            term: origin.piece.text.clone(),
            sentence: sentence.text,
            equation,
            needs: words(details.needs),
            others,
            readings,
            vocabulary,
            origin,
        });
    }
}

/// The equations of a chain.
pub(super) fn neighbours(sides: &[Expr]) -> Vec<Equation> {
    sides
        .windows(2)
        .map(|pair| Equation::new(pair[0].clone(), pair[1].clone()))
        .collect()
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
