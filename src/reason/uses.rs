//! The smallest set of premises that carries a line, which names what was
//! used.
//!
//! One premise is tried, then two, the latest lines first. A set can only be
//! smallest if each of its letters that the line does not have is in two of
//! its premises, so that few sets need a proof. What needs three or more is
//! found by leaving out one premise after another.

use rustc_hash::FxHashMap;

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::limits::Budget;
use crate::algebra::normal::Field;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::consequence::Premises;

/// Premises of which sets are looked through.
const MOST_SOURCES: usize = 40;
/// Sets that are tried for one equation.
const MOST_TRIES: usize = 120;
/// Steps of algebra for the letters of a premise.
const LETTER_STEPS: u64 = 20_000;

/// Where a premise comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// The given of this number, from 0.
    Given(usize),
    /// A letter that the question brings in.
    Helper(usize),
    /// The line of this number, from 0.
    Line(usize),
}

/// A premise with its letters.
#[derive(Debug, Clone)]
pub struct Supply {
    /// Where it comes from.
    pub source: Source,
    /// Its equations.
    pub equations: Vec<Equation>,
    /// Whether what it says of rates of change is among them.
    pub with_rates: bool,
    symbols: Vec<Symbol>,
}

impl Supply {
    /// A premise.
    #[must_use]
    pub fn new(source: Source, equations: Vec<Equation>, table: &SymbolTable) -> Self {
        let mut symbols = Vec::new();
        for equation in &equations {
            for symbol in essential(equation, table) {
                if !symbols.contains(&symbol) {
                    symbols.push(symbol);
                }
            }
        }
        Supply {
            source,
            equations,
            with_rates: false,
            symbols,
        }
    }

    /// Whether it only gives another letter to the same thing.
    #[must_use]
    pub fn is_renaming(&self) -> bool {
        matches!(
            self.equations.as_slice(),
            [Equation {
                left: Expr::Symbol(_),
                right: Expr::Symbol(_),
            }]
        )
    }

    /// A premise with what it says of rates of change.
    #[must_use]
    pub fn with_rates(
        source: Source,
        mut equations: Vec<Equation>,
        rates: Vec<Equation>,
        table: &SymbolTable,
    ) -> Self {
        equations.extend(rates);
        Supply {
            with_rates: true,
            ..Supply::new(source, equations, table)
        }
    }
}

/// The letters of equations, each once.
#[must_use]
pub fn symbols_of(equations: &[Equation]) -> Vec<Symbol> {
    let mut found = Vec::new();
    for equation in equations {
        for symbol in equation.symbols() {
            if !found.contains(&symbol) {
                found.push(symbol);
            }
        }
    }
    found
}

/// The letters of an equation that do not cancel.
#[must_use]
pub fn essential(equation: &Equation, table: &SymbolTable) -> Vec<Symbol> {
    let mut symbols = equation.symbols();
    let mut field = Field::with_budget(table, Budget::new(LETTER_STEPS));
    let Ok(normal) = field.settling(|field| field.normalise(&equation.difference())) else {
        return symbols;
    };
    let Ok(rest) = normal
        .num()
        .times_term(&normal.num().monomial_content().reciprocal(), &Number::ONE)
    else {
        return symbols;
    };
    let kernels = rest.kernels();
    symbols.retain(|symbol| {
        kernels
            .iter()
            .any(|kernel| field.kernels.mentions(*kernel, *symbol))
    });
    symbols
}

/// Prepared sets of premises, kept for the next line.
#[derive(Debug, Default)]
pub struct Prepared(FxHashMap<Vec<(Source, bool)>, Premises>);

impl Prepared {
    /// Forgets what was prepared: domains have changed.
    pub fn clear(&mut self) {
        self.0.clear();
    }

    /// Forgets the sets with this premise.
    pub fn forget(&mut self, source: Source) {
        self.0
            .retain(|set, _| set.iter().all(|(own, _)| *own != source));
    }

    /// The premises of a set, made ready.
    pub fn of(&mut self, set: &[&Supply], table: &SymbolTable) -> &Premises {
        let key: Vec<(Source, bool)> = set
            .iter()
            .map(|supply| (supply.source, supply.with_rates))
            .collect();
        self.0.entry(key).or_insert_with(|| {
            let equations: Vec<Equation> = set
                .iter()
                .flat_map(|supply| supply.equations.iter().cloned())
                .collect();
            Premises::solved_only(&equations, table)
        })
    }
}

fn may_carry(set: &[&Supply], line: &[Symbol]) -> bool {
    set.iter().all(|supply| {
        supply.symbols.iter().all(|symbol| {
            line.contains(symbol)
                || supply.equations.len() > 1
                || set
                    .iter()
                    .filter(|other| other.symbols.contains(symbol))
                    .count()
                    > 1
        }) && (supply.symbols.iter().any(|symbol| line.contains(symbol)) || set.len() > 1)
    })
}

/// The smallest set of `supplies` that proves the line, in their order; the
/// empty set for an identity. Nothing if all of them together do not.
#[must_use]
pub fn smallest(
    line: &Equation,
    supplies: &[Supply],
    prepared: &mut Prepared,
    table: &SymbolTable,
) -> Option<Vec<Source>> {
    let supplies = &supplies[..supplies.len().min(MOST_SOURCES)];
    let symbols = line.symbols();
    if Premises::solved_only(&[], table).prove(line, table) {
        return Some(Vec::new());
    }
    let mut tries = 0;
    let mut carries = |set: &[&Supply]| {
        tries += 1;
        tries <= MOST_TRIES && prepared.of(set, table).prove(line, table)
    };
    // Differentiating is work of its own: first without.
    let renamings: Vec<&Supply> = supplies
        .iter()
        .filter(|supply| supply.is_renaming())
        .collect();
    for with_rates in [false, true] {
        if with_rates && !supplies.iter().any(|supply| supply.with_rates) {
            break;
        }
        let fits = |set: &[&Supply]| {
            set.iter().any(|supply| supply.with_rates) == with_rates && may_carry(set, &symbols)
        };
        for one in supplies {
            if fits(&[one]) && carries(&[one]) {
                return Some(vec![one.source]);
            }
        }
        for (at, one) in supplies.iter().enumerate() {
            for two in &supplies[at + 1..] {
                if one.source != two.source && fits(&[one, two]) && carries(&[one, two]) {
                    return Some(vec![one.source, two.source]);
                }
            }
        }
        // Another letter for the same thing is no step: with one of those
        // beside two others it is still two.
        for renaming in &renamings {
            for (at, one) in supplies.iter().enumerate() {
                for two in &supplies[at + 1..] {
                    let set = [*renaming, one, two];
                    let differ = one.source != two.source
                        && one.source != renaming.source
                        && two.source != renaming.source;
                    if differ && fits(&set) && carries(&set) {
                        return Some(set.iter().map(|supply| supply.source).collect());
                    }
                }
            }
        }
    }
    thinned(supplies, carries)
}

/// A set of `supplies` that proves the line and of which none can go; what
/// comes first in them is the last to go.
#[must_use]
pub fn irredundant(
    line: &Equation,
    supplies: &[Supply],
    prepared: &mut Prepared,
    table: &SymbolTable,
) -> Option<Vec<Source>> {
    let supplies = &supplies[..supplies.len().min(MOST_SOURCES)];
    thinned(supplies, |set| prepared.of(set, table).prove(line, table))
}

fn thinned(
    supplies: &[Supply],
    mut carries: impl FnMut(&[&Supply]) -> bool,
) -> Option<Vec<Source>> {
    let mut set: Vec<&Supply> = supplies.iter().collect();
    if !carries(&set) {
        return None;
    }
    // The latest lines come first and are the last to go.
    for at in (0..set.len()).rev() {
        let mut fewer = set.clone();
        fewer.remove(at);
        if !fewer.is_empty() && carries(&fewer) {
            set = fewer;
        }
    }
    let mut sources: Vec<Source> = Vec::new();
    for supply in set {
        if !sources.contains(&supply.source) {
            sources.push(supply.source);
        }
    }
    Some(sources)
}

/// How often each letter stands in an equation.
fn counts(equation: &Equation) -> FxHashMap<Symbol, usize> {
    equation
        .symbols()
        .into_iter()
        .map(|symbol| {
            let count = equation.left.occurrences(symbol) + equation.right.occurrences(symbol);
            (symbol, count)
        })
        .collect()
}

/// Whether a line can be had from the premises by putting one into another as
/// they stand, without any further work: then each letter stands in it as
/// often as it must after that. With `tidied`, equal letters may have been
/// gathered, but none has gone.
#[must_use]
pub fn is_substitution(line: &Equation, premises: &[&Equation], tidied: bool) -> bool {
    if premises.len() > 6 {
        return false;
    }
    let wanted = counts(line);
    premises.iter().enumerate().any(|(at, base)| {
        let rest: Vec<FxHashMap<Symbol, usize>> = premises
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, premise)| counts(premise))
            .collect();
        put_in(&counts(base), &rest, &wanted, tidied)
    })
}

fn put_in(
    work: &FxHashMap<Symbol, usize>,
    rest: &[FxHashMap<Symbol, usize>],
    wanted: &FxHashMap<Symbol, usize>,
    tidied: bool,
) -> bool {
    if rest.is_empty() {
        return work.len() == wanted.len()
            && work.iter().all(|(symbol, count)| {
                wanted.get(symbol).is_some_and(|other| {
                    if tidied {
                        other <= count
                    } else {
                        other == count
                    }
                })
            });
    }
    for (at, rule) in rest.iter().enumerate() {
        for (symbol, count) in rule {
            let Some(times) = work.get(symbol) else {
                continue;
            };
            if *count != 1 {
                continue;
            }
            let mut next = work.clone();
            next.remove(symbol);
            for (other, count) in rule {
                if other != symbol {
                    *next.entry(*other).or_insert(0) += count * times;
                }
            }
            let mut fewer = rest.to_vec();
            fewer.remove(at);
            if put_in(&next, &fewer, wanted, tidied) {
                return true;
            }
        }
    }
    false
}

/// How many letters stand in an equation.
#[must_use]
pub fn letters(equation: &Equation) -> usize {
    counts(equation).values().sum()
}
