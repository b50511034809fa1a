//! Reads the formulary as a careful colleague would.
//!
//! Loading has found what can't be read; here the contents are compared: with
//! each other, with the units, with published values. Checks that need to
//! change subjects or to follow proofs belong to a higher layer and come in
//! through [`proofread_with`].

use rustc_hash::{FxHashMap, FxHashSet};

use super::ambiguity::is_ambiguous;
use super::balance::{Balance, Imbalance, TermPlace};
use super::constant::{agrees, find, rounded};
use super::dimension::Dimension;
use super::fault::{Fault, FaultKind, in_order};
use super::formulary::{Formulary, Statement, Topic};
use super::quantity::Origin;
use super::run_on::oddities;
use super::sameness::key;
use super::unit::read_unit;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::Symbol;
use crate::text::Span;
use crate::text::suggest::nearest;

/// A check of a higher layer: it adds what it finds in one topic.
pub type Check<'a> = dyn FnMut(&Formulary, &Topic, &mut Vec<Fault>) + 'a;

/// All faults and remarks, those of loading included, in the order of the
/// files and their lines.
#[must_use]
pub fn proofread(formulary: &Formulary) -> Vec<Fault> {
    proofread_with(formulary, &mut |_, _, _| {})
}

/// The same, with a further check of each topic.
pub fn proofread_with(formulary: &Formulary, check: &mut Check<'_>) -> Vec<Fault> {
    let mut faults = formulary.faults.clone();
    for topic in &formulary.topics {
        let mut colleague = Colleague {
            formulary,
            topic,
            balance: Balance::new(),
            faults: &mut faults,
        };
        colleague.constants();
        colleague.dimensions();
        colleague.formulae();
        colleague.symbols();
        check(formulary, topic, &mut faults);
    }
    in_order(&mut faults);
    faults
}

struct Colleague<'a> {
    formulary: &'a Formulary,
    topic: &'a Topic,
    balance: Balance,
    faults: &'a mut Vec<Fault>,
}

impl<'a> Colleague<'a> {
    fn name(&self, symbol: Symbol) -> &'a str {
        self.topic.vocabulary.table().name(symbol)
    }

    /// Constants against the published values.
    fn constants(&mut self) {
        for constant in &self.topic.constants {
            let Some(unit) = &constant.unit else {
                continue;
            };
            for published in find(constant.name.as_deref(), self.name(constant.symbol)) {
                let Ok(published_unit) = read_unit(published.unit) else {
                    continue;
                };
                if unit.dimension != published_unit.dimension {
                    // Without a name the symbol may stand for something else.
                    if constant.name.is_some() {
                        self.faults.push(self.formulary.fault_at(
                            FaultKind::Constant,
                            &constant.origin,
                            format!(
                                "the {} is in {}, not in {}",
                                published.shown(),
                                published.unit,
                                unit.text
                            ),
                            None,
                        ));
                    }
                    continue;
                }
                let scale = published_unit.scale / unit.scale;
                let exact = published.value * scale;
                let local = published.is_local(constant.value / scale);
                if !local && !agrees(constant.value, constant.figures, exact) {
                    self.faults.push(self.formulary.fault_at(
                        FaultKind::Constant,
                        &constant.origin,
                        format!(
                            "this differs from the published value of the {} ({})",
                            published.shown(),
                            published.source()
                        ),
                        Some(format!(
                            "to as many figures it is {} {}",
                            rounded(exact, constant.figures.unwrap_or(10)),
                            unit.text
                        )),
                    ));
                }
            }
        }
    }

    fn dimensions(&mut self) {
        for quantity in &self.topic.quantities {
            if let Some(unit) = &quantity.unit {
                self.balance
                    .declare(quantity.symbol, unit.dimension.clone(), unit.celsius);
            }
        }
        for constant in &self.topic.constants {
            let declared = self
                .topic
                .quantity(constant.symbol)
                .is_some_and(|quantity| quantity.unit.is_some());
            if let Some(unit) = constant.unit.as_ref().filter(|_| !declared) {
                self.balance
                    .declare(constant.symbol, unit.dimension.clone(), unit.celsius);
            }
        }
        let topic = self.topic;
        for formula in &topic.formulae {
            self.balance_of(&formula.equation, &formula.origin);
        }
        for definition in &topic.definitions {
            self.statements(definition.equation.as_slice());
        }
        for proof in &topic.proofs {
            self.statements(&proof.given);
            self.statements(&proof.helpers);
            self.statements(&proof.route);
            self.statements(std::slice::from_ref(&proof.goal));
        }
    }

    fn statements(&mut self, statements: &[Statement]) {
        for statement in statements {
            for equation in &statement.equations {
                self.balance_of(equation, &statement.origin);
            }
        }
    }

    fn balance_of(&mut self, equation: &Equation, origin: &Origin) {
        let Err(imbalance) = self.balance.check(equation) else {
            return;
        };
        let mut alone = self.balance.without_findings();
        if alone.check(equation).is_ok() {
            self.two_meanings(equation, origin, &alone);
            return;
        }
        let mut span = Span::new(0, origin.piece.text.len());
        let message = match *imbalance {
            Imbalance::Sides { left, right } => format!(
                "the two sides don't balance: the left is in {}, the right in {}",
                left.describe(),
                right.describe()
            ),
            Imbalance::Terms {
                first,
                other,
                place,
            } => {
                if let Some(found) = place.and_then(|place| term_span(&origin.piece.text, place)) {
                    span = found;
                }
                format!(
                    "the terms don't match: one in {} stands beside one in {}",
                    other.describe(),
                    first.describe()
                )
            }
            Imbalance::Argument {
                function,
                dimension,
            } => format!(
                "what `{}` acts on must have no unit; here it is in {}",
                function.name(),
                dimension.describe()
            ),
            Imbalance::Exponent { dimension } => format!(
                "an exponent must have no unit; here it is in {}",
                dimension.describe()
            ),
            Imbalance::Logarithms { dimension } => format!(
                "what a logarithm takes must have no unit; {} is left over here",
                dimension.describe()
            ),
        };
        let fault = self.formulary.fault(
            FaultKind::Dimension,
            origin,
            span,
            message,
            self.units_of(equation),
        );
        self.faults.push(fault);
    }

    /// The units that the sheet gives to the symbols of an equation.
    fn units_of(&self, equation: &Equation) -> Option<String> {
        let units: Vec<String> = equation
            .symbols()
            .into_iter()
            .take(8)
            .filter_map(|symbol| {
                let unit = self
                    .topic
                    .quantity(symbol)
                    .and_then(|quantity| quantity.unit.as_ref())
                    .or_else(|| self.topic.constant(symbol)?.unit.as_ref())?;
                let unit = if unit.dimension.is_none() {
                    "no unit".to_owned()
                } else {
                    unit.text.clone()
                };
                Some(format!("{} has {unit}", self.name(symbol)))
            })
            .collect();
        (!units.is_empty()).then(|| format!("in this sheet {}", units.join(", ")))
    }

    /// An equation that balances alone but not beside the ones before it.
    fn two_meanings(&mut self, equation: &Equation, origin: &Origin, alone: &Balance) {
        let clash: Option<(Symbol, Dimension, Dimension)> =
            equation.symbols().into_iter().find_map(|symbol| {
                let here = alone.dimension(symbol)?;
                let before = self.balance.dimension(symbol)?;
                (here != before).then_some((symbol, here, before))
            });
        let fault = match clash {
            Some((symbol, here, before)) => {
                let name = self.name(symbol);
                self.formulary.fault_at(
                    FaultKind::Meaning,
                    origin,
                    format!(
                        "`{name}` is used with two meanings: here it is in {}, in the formulae \
                         above in {}",
                        here.describe(),
                        before.describe()
                    ),
                    Some("give one of them another symbol, perhaps with a subscript".to_owned()),
                )
            }
            None => self.formulary.fault_at(
                FaultKind::Meaning,
                origin,
                "this does not fit the formulae above: with them, its dimensions don't balance",
                Some("look for a symbol that is used with two meanings".to_owned()),
            ),
        };
        self.faults.push(fault);
    }

    /// Formulae said twice, or readable in two ways.
    fn formulae(&mut self) {
        let mut vocabulary = self.topic.vocabulary.clone();
        // Loading has spoken of those that only the units decide.
        let spoken_of: FxHashSet<(&str, usize)> = self
            .formulary
            .faults
            .iter()
            .filter(|fault| fault.kind == FaultKind::Ambiguous)
            .map(|fault| (fault.file(), fault.line()))
            .collect();
        let mut seen: FxHashMap<String, &Origin> = FxHashMap::default();
        for formula in &self.topic.formulae {
            let file = self.formulary.sources[formula.origin.file].name.as_str();
            if !spoken_of.contains(&(file, formula.origin.line()))
                && is_ambiguous(formula.text(), &mut vocabulary)
            {
                self.faults.push(self.formulary.fault_at(
                    FaultKind::Ambiguous,
                    &formula.origin,
                    "this can be read in two ways",
                    Some("brackets make it clear: a/(2 s), sqrt(2 E/m)".to_owned()),
                ));
            }
            for (span, message, mend) in oddities(self.topic, formula) {
                let kind = FaultKind::Ambiguous;
                let fault = self
                    .formulary
                    .fault(kind, &formula.origin, span, message, Some(mend));
                self.faults.push(fault);
            }
            let plain = key(&formula.equation);
            // The second formula of a chain has the origin of the first.
            match seen.get(&plain) {
                Some(first) if **first == formula.origin => {}
                Some(first) => {
                    let message = format!("line {} says the same", first.line());
                    self.faults.push(self.formulary.fault_at(
                        FaultKind::Duplicate,
                        &formula.origin,
                        message,
                        None,
                    ));
                }
                None => {
                    seen.insert(plain, &formula.origin);
                }
            }
        }
    }

    /// Quantities that nothing uses, and symbols that nothing declares.
    fn symbols(&mut self) {
        let topic = self.topic;
        let mut first_use: Vec<Option<&Origin>> = vec![None; topic.vocabulary.table().len()];
        for formula in &topic.formulae {
            note_uses(&mut first_use, &formula.equation, &formula.origin);
        }
        let proofs = topic.proofs.iter().flat_map(|proof| {
            proof
                .given
                .iter()
                .chain(&proof.helpers)
                .chain(&proof.route)
                .chain([&proof.goal])
        });
        let definitions = topic.definitions.iter().flat_map(|definition| {
            // Letters that a definition brings in are not the topic's.
            let others = definition
                .others
                .iter()
                .filter(|_| definition.vocabulary.is_none());
            let others = others.map(|(statement, _)| statement);
            definition.equation.iter().chain(others)
        });
        for statement in definitions.chain(proofs) {
            for equation in &statement.equations {
                note_uses(&mut first_use, equation, &statement.origin);
            }
        }
        for quantity in &topic.quantities {
            if first_use
                .get(quantity.symbol.index())
                .is_some_and(Option::is_none)
            {
                self.faults.push(self.formulary.fault_at(
                    FaultKind::Unused,
                    &quantity.origin,
                    format!("no formula uses `{}`", self.name(quantity.symbol)),
                    None,
                ));
            }
        }
        if topic.quantities.is_empty() {
            return;
        }
        // A `let` line declares the letter that it brings in.
        let brought_in: FxHashSet<Symbol> = topic
            .proofs
            .iter()
            .flat_map(|proof| &proof.helpers)
            .flat_map(|helper| &helper.equations)
            .filter_map(|equation| match equation.left {
                Expr::Symbol(symbol) => Some(symbol),
                _ => None,
            })
            .collect();
        let mut undeclared: Vec<(&Origin, Vec<Symbol>)> = Vec::new();
        for symbol in topic.vocabulary.table().symbols() {
            if brought_in.contains(&symbol) {
                continue;
            }
            let Some(origin) = first_use.get(symbol.index()).copied().flatten() else {
                continue;
            };
            if topic.quantity(symbol).is_some() || topic.constant(symbol).is_some() {
                continue;
            }
            match undeclared.last_mut() {
                Some((same, symbols)) if *same == origin => symbols.push(symbol),
                _ => undeclared.push((origin, vec![symbol])),
            }
        }
        for (origin, symbols) in undeclared {
            self.undeclared(origin, &symbols);
        }
    }

    /// Symbols of one line that nothing declares although others are.
    fn undeclared(&mut self, origin: &Origin, symbols: &[Symbol]) {
        let names: Vec<&str> = symbols.iter().map(|symbol| self.name(*symbol)).collect();
        let declared = self
            .topic
            .quantities
            .iter()
            .take(400)
            .map(|quantity| self.name(quantity.symbol));
        let first = names.first().copied().unwrap_or("");
        let mend = match nearest(first, declared) {
            Some((near, _)) if names.len() == 1 => {
                format!("did you mean {near}? Or add a line:  quantity {first}: ...")
            }
            _ => format!("add a line:  quantity {first}: ..."),
        };
        let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
        let verb = if names.len() == 1 { "has" } else { "have" };
        self.faults.push(self.formulary.fault_at(
            FaultKind::Undeclared,
            origin,
            format!(
                "{} {verb} no quantity line, although others have",
                quoted.join(", ")
            ),
            Some(mend),
        ));
    }
}

fn note_uses<'a>(first_use: &mut [Option<&'a Origin>], equation: &Equation, origin: &'a Origin) {
    for symbol in equation.symbols() {
        if let Some(slot) = first_use.get_mut(symbol.index()) {
            slot.get_or_insert(origin);
        }
    }
}

/// Where a term of a side stands in the text; `None` if the text does not
/// show as many terms as the tree has.
fn term_span(text: &str, place: TermPlace) -> Option<Span> {
    let mut depth = 0usize;
    let mut equals = Vec::new();
    let mut signs = Vec::new();
    let mut before = '=';
    let mut before_that = ' ';
    let mut behind_space = false;
    for (at, next) in text.char_indices() {
        match next {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            '=' if depth == 0 => equals.push(at),
            '+' | '-' | '−' | '±' | '∓' if depth == 0 => {
                let in_number =
                    matches!(before, 'e' | 'E') && before_that.is_ascii_digit() && !behind_space;
                let unary = matches!(before, '=' | '^' | '*' | '/' | '·' | '×' | '+' | '-' | '−');
                if !in_number && !unary {
                    signs.push(at);
                }
            }
            _ => {}
        }
        if next.is_whitespace() {
            behind_space = true;
        } else {
            before_that = before;
            before = next;
            behind_space = false;
        }
    }
    let [equals] = equals[..] else {
        return None;
    };
    let (from, to) = if place.on_right {
        (equals + 1, text.len())
    } else {
        (0, equals)
    };
    let mut cuts = vec![from];
    cuts.extend(signs.into_iter().filter(|at| (from..to).contains(at)));
    cuts.push(to);
    if cuts.len() != place.of + 1 {
        return None;
    }
    let (start, end) = (*cuts.get(place.index)?, *cuts.get(place.index + 1)?);
    let term = text.get(start..end)?;
    let lead = term.len()
        - term
            .trim_start_matches([' ', '+', '-', '−', '±', '∓'])
            .len();
    Some(Span::new(start + lead, start + term.trim_end().len()))
}
