//! A whole working that is to show something: each line is judged, the first
//! that breaks is named, and what is shown in the end is said.
//!
//! A line is judged against the givens: accepted earlier lines follow from
//! them and add nothing that may be assumed. What carries a line is looked up
//! afterwards, the latest lines first.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::kernel::Known;
use crate::algebra::limits::Exceeded;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::aim::{Aim, is_renamed};
use super::approximation::Approximation;
use super::consequence::{Consequence, Premises};
use super::equation::{Relation, relate};
use super::needs;
use super::rates::Rates;
use super::shape::is_twofold;
use super::uses::{Prepared, Source, Supply, is_substitution, smallest, symbols_of};
use super::verdict::{Evidence, Note, Undecided};

/// Pairs of premises that are tried for a line that may follow from a broken
/// one.
const MOST_CARRIED: usize = 24;
/// Equations of one working that are judged; a chain has several.
const MOST_EQUATIONS: usize = 1_000;
/// Lines that may stay undecided before the rest is no longer looked at.
const MOST_OPEN: usize = 24;
/// Such pairs for a whole working.
const MOST_CARRIED_IN_ALL: usize = 240;
/// Lines that one working may have.
pub const MOST_LINES: usize = 200;

/// What is to be shown, from what.
#[derive(Debug, Clone, Default)]
pub struct Task {
    /// What may be used: sides of `a = b = c`.
    pub given: Vec<Vec<Expr>>,
    /// Letters that the question brings in.
    pub helpers: Vec<Vec<Expr>>,
    /// What is to be shown.
    pub goal: Vec<Expr>,
    /// Formulae that are true elsewhere, with their names.
    pub known: Vec<(String, Equation)>,
    /// The same with another letter in the place of their subject. They name
    /// only a line that speaks of something that no premise speaks of.
    pub relettered: Vec<(String, Equation)>,
    /// Approximations that the question grants.
    pub granted: Vec<Approximation>,
    /// Rates of change that the working speaks of.
    pub rates: Rates,
    /// How many letters of the table the question itself has. A line does
    /// not bring these in unless it says so.
    pub letters: usize,
}

/// A line as it was typed, in all its readings.
#[derive(Debug, Clone)]
pub struct TypedLine {
    /// The sides in each reading, the preferred one first, with what is worth
    /// noting if that reading is the right one. Empty if it can't be read.
    pub readings: Vec<(Vec<Expr>, Option<Note>)>,
    /// Whether it says that it brings in a letter (`let k = ...`).
    pub brings_in: bool,
    /// Whether it begins with an equals sign: the line before goes on.
    pub goes_on: bool,
}

/// The kind of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// It holds wherever the givens do.
    Follows,
    /// It says again what is given.
    Repeats,
    /// It brings in a letter.
    Defines(Symbol),
    /// It follows from three or more premises at once.
    Leap,
    /// It does not follow, and numbers show it.
    DoesNotFollow,
    /// It is true elsewhere, yet neither given nor derived.
    NotGiven(String),
    /// It uses what is to be shown before that is shown.
    Circular,
    /// It can't be read, or is no equation.
    Unreadable,
    /// Not known.
    Undecided(Undecided),
}

impl Kind {
    /// The key that the machine interface uses.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Kind::Follows | Kind::Repeats | Kind::Defines(_) => "follows",
            Kind::Leap => "leap",
            Kind::DoesNotFollow => "does-not-follow",
            Kind::NotGiven(_) => "not-given",
            Kind::Circular => "circular",
            Kind::Unreadable => "unreadable",
            Kind::Undecided(_) => "undecided",
        }
    }

    /// Whether a later line may rest on it.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        matches!(
            self,
            Kind::Follows | Kind::Repeats | Kind::Defines(_) | Kind::Leap
        )
    }

    /// Whether a working breaks here.
    #[must_use]
    pub fn is_bad(&self) -> bool {
        matches!(
            self,
            Kind::DoesNotFollow | Kind::NotGiven(_) | Kind::Circular | Kind::Unreadable
        )
    }
}

/// The verdict on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineVerdict {
    /// The kind.
    pub kind: Kind,
    /// What carries it.
    pub uses: Vec<Source>,
    /// What the verdict rests on.
    pub evidence: Option<Evidence>,
    /// What must not be zero.
    pub conditions: Vec<Expr>,
    /// What else is worth saying.
    pub notes: Vec<Note>,
    /// The sides in the reading that was judged.
    pub chain: Vec<Expr>,
    /// It is wrong, yet it follows from an earlier wrong line: the method is
    /// right.
    pub carried_forward: bool,
    /// It would follow with this approximation, which the question does not
    /// grant.
    pub approximation: Option<Approximation>,
    /// It is work: it follows, and does more than say again what is given.
    pub is_work: bool,
}

/// What came of a working.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The lines in order.
    pub lines: Vec<LineVerdict>,
    /// The first line that breaks.
    pub first_bad: Option<usize>,
    /// Whether it was shown, with working and without a broken line.
    pub complete: bool,
    /// Whether the result stands there without working.
    pub goal_alone: bool,
    /// Whether the last line is what is to be shown.
    pub ends_in_result: bool,
    /// Whether values were found that satisfy all the givens.
    pub consistent: bool,
}

/// The equations between neighbours of a chain.
#[must_use]
pub fn neighbours(chain: &[Expr]) -> Vec<Equation> {
    chain
        .windows(2)
        .map(|pair| Equation::new(pair[0].clone(), pair[1].clone()))
        .collect()
}

/// Judges a working. The symbols of the task and of all lines come from
/// `table`.
#[must_use]
pub fn judge(task: &Task, lines: &[TypedLine], table: &SymbolTable) -> Report {
    let mut checker = Checker::new(task, table.clone());
    for line in lines.iter().take(MOST_LINES) {
        checker.line(line);
    }
    checker.finish(lines.len())
}

/// Judges a working line by line.
pub struct Checker<'t> {
    pub(super) task: &'t Task,
    pub(super) aim: Aim,
    pub(super) table: SymbolTable,
    base: Vec<Equation>,
    premises: Premises,
    approximated: Option<Premises>,
    pub(super) supplies: Vec<Supply>,
    broken: Vec<Supply>,
    carried_left: usize,
    equations_left: usize,
    open_left: usize,
    pub(super) prepared: Prepared,
    known_symbols: Vec<Symbol>,
    pub(super) lines: Vec<LineVerdict>,
    pub(super) pending: Vec<usize>,
    /// Pending lines on which the next one was built.
    built_on: Vec<usize>,
    /// Pending lines that may well be a step from the givens: they are no
    /// work, and no fault.
    pub(super) innocent: Vec<usize>,
    /// Pending lines that are what is to be shown as it stands.
    pub(super) literal: Vec<usize>,
    /// Whether the last sides of the line that is judged take too much.
    ends_in_leap: bool,
    reached: bool,
}

impl<'t> Checker<'t> {
    /// Gets ready for a task.
    #[must_use]
    pub fn new(task: &'t Task, table: SymbolTable) -> Self {
        let mut supplies = Vec::new();
        let mut base = Vec::new();
        let mut rated = Vec::new();
        let mut take = |source: Source, chain: &[Expr]| {
            let equations = neighbours(chain);
            let rates = task.rates.of(&equations);
            base.extend(equations.iter().chain(&rates).cloned());
            supplies.push(Supply::new(source, equations.clone(), &table));
            if !rates.is_empty() {
                rated.push(Supply::with_rates(source, equations, rates, &table));
            }
        };
        for (number, chain) in task.given.iter().enumerate() {
            take(Source::Given(number), chain);
        }
        for (number, chain) in task.helpers.iter().enumerate() {
            take(Source::Helper(number), chain);
        }
        supplies.extend(rated);
        let mut known_symbols = symbols_of(&base);
        for symbol in symbols_of(&neighbours(&task.goal)) {
            if !known_symbols.contains(&symbol) {
                known_symbols.push(symbol);
            }
        }
        let premises = Premises::new(&base, &table);
        let mut checker = Checker {
            task,
            aim: Aim::new(&task.goal),
            table,
            base,
            premises,
            approximated: None,
            supplies,
            broken: Vec::new(),
            carried_left: MOST_CARRIED_IN_ALL,
            equations_left: MOST_EQUATIONS,
            open_left: MOST_OPEN,
            prepared: Prepared::default(),
            known_symbols,
            lines: Vec::new(),
            pending: Vec::new(),
            built_on: Vec::new(),
            innocent: Vec::new(),
            literal: Vec::new(),
            ends_in_leap: false,
            reached: false,
        };
        checker.approximate();
        checker
    }

    fn approximate(&mut self) {
        self.approximated = (!self.task.granted.is_empty()).then(|| {
            let base: Vec<Equation> = self
                .base
                .iter()
                .map(|equation| Approximation::apply_all(&self.task.granted, equation))
                .collect();
            Premises::new(&base, &self.table)
        });
    }

    /// The verdicts so far.
    #[must_use]
    pub fn lines(&self) -> &[LineVerdict] {
        &self.lines
    }

    /// Judges the next line.
    pub fn line(&mut self, typed: &TypedLine) {
        let number = self.lines.len();
        let mut best: Option<LineVerdict> = None;
        for (chain, note) in &typed.readings {
            let Some(chain) = self.whole_chain(chain, typed.goes_on) else {
                continue;
            };
            let length = chain.len() - 1;
            if self.open_left == 0 || self.equations_left < length {
                let reason = Undecided::Limit(Exceeded::Steps);
                best = Some(LineVerdict::of(Kind::Undecided(reason), chain));
                break;
            }
            self.equations_left -= length;
            let mut verdict = self.judge_chain(chain, typed.brings_in, number);
            if verdict.kind.is_sound() {
                verdict.notes.extend(note.clone());
                best = Some(verdict);
                break;
            }
            // A reading that can't be decided may be the right one.
            let open = matches!(verdict.kind, Kind::Undecided(_));
            match &best {
                None => best = Some(verdict),
                Some(other) if open && !matches!(other.kind, Kind::Undecided(_)) => {
                    best = Some(verdict);
                }
                Some(_) => {}
            }
        }
        let mut verdict = best.unwrap_or_else(|| LineVerdict::of(Kind::Unreadable, Vec::new()));
        match verdict.kind {
            Kind::DoesNotFollow => self.explain(&mut verdict),
            Kind::Undecided(_) => self.open_left = self.open_left.saturating_sub(1),
            _ => {}
        }
        self.settle(verdict, number);
    }

    /// The sides with what the line before began, if it goes on.
    fn whole_chain(&self, chain: &[Expr], goes_on: bool) -> Option<Vec<Expr>> {
        if !goes_on {
            return (chain.len() > 1).then(|| chain.to_vec());
        }
        let before = self.lines.last()?;
        let first = before.chain.first()?;
        let mut whole = vec![first.clone()];
        whole.extend(chain.iter().cloned());
        Some(whole)
    }

    fn judge_chain(&mut self, chain: Vec<Expr>, brings_in: bool, number: usize) -> LineVerdict {
        let equations = neighbours(&chain);
        if let Some((symbol, domain)) = self.definition(&equations, brings_in) {
            self.table.set_domain(symbol, domain);
            self.base.extend(equations.iter().cloned());
            self.base.extend(self.task.rates.of(&equations));
            self.premises = Premises::new(&self.base, &self.table);
            self.approximate();
            self.prepared.clear();
            self.known_symbols.push(symbol);
            return LineVerdict::of(Kind::Defines(symbol), chain);
        }
        let mut consequence = self.premises.carry_all(&equations, &self.table);
        if !consequence.follows()
            && let Some(approximated) = &self.approximated
        {
            let rough: Vec<Equation> = equations
                .iter()
                .map(|equation| Approximation::apply_all(&self.task.granted, equation))
                .collect();
            let other = approximated.carry_all(&rough, &self.table);
            if other.follows() {
                let mut verdict = LineVerdict::from(other, chain);
                verdict.approximation = self.task.granted.first().copied();
                verdict.is_work = true;
                return verdict;
            }
            // What was granted is no exact premise: numbers against it are
            // those of the approximated givens.
            consequence = other;
        }
        if self.task.rates.is_open() && matches!(consequence, Consequence::DoesNot(_)) {
            consequence = Consequence::Undecided(Undecided::Open);
        }
        let mut verdict = LineVerdict::from(consequence, chain);
        if verdict.kind == Kind::Follows {
            if self.premises.leave_open(&verdict.chain) {
                verdict.notes.push(Note::UndefinedSomewhere);
            }
            self.find_uses(&mut verdict, &equations, number);
        }
        verdict
    }

    /// The letter that a line brings in, and the domain that it then has: a
    /// letter not met before, alone on one side.
    fn definition(&self, equations: &[Equation], brings_in: bool) -> Option<(Symbol, Domain)> {
        let mut fresh: Vec<Symbol> = symbols_of(equations);
        fresh.retain(|symbol| !self.known_symbols.contains(symbol));
        let [symbol] = fresh.as_slice() else {
            return None;
        };
        let alone = |side: &Expr| matches!(side, Expr::Symbol(own) if own == symbol);
        let first = equations.first()?;
        let value = if alone(&first.left) && !first.right.contains(*symbol) {
            &first.right
        } else if alone(&first.right) && !first.left.contains(*symbol) && equations.len() == 1 {
            &first.left
        } else {
            return None;
        };
        if equations.len() > 1 {
            return None;
        }
        if !brings_in {
            // A letter in the wrong case is a slip, not a new letter; and a
            // formula of the sheets is no definition.
            let name = self.table.name(*symbol).to_lowercase();
            let slip = self
                .known_symbols
                .iter()
                .any(|other| self.table.name(*other).to_lowercase() == name);
            if slip || symbol.index() < self.task.letters || self.known_formula(first).is_some() {
                return None;
            }
        }
        let domain = match needs::sign(value, &self.table) {
            Known::Positive => Domain::Positive,
            _ => Domain::Real,
        };
        Some((*symbol, domain))
    }

    fn known_formula(&self, equation: &Equation) -> Option<String> {
        self.named(equation, &self.task.known)
    }

    fn named(&self, equation: &Equation, formulae: &[(String, Equation)]) -> Option<String> {
        let symbols = equation.symbols();
        formulae
            .iter()
            .find(|(_, formula)| {
                formula.symbols().len() == symbols.len()
                    && formula
                        .symbols()
                        .iter()
                        .all(|symbol| symbols.contains(symbol))
                    && same(formula, equation, &self.table)
            })
            .map(|(name, _)| name.clone())
    }

    fn find_uses(&mut self, verdict: &mut LineVerdict, equations: &[Equation], number: usize) {
        let mut supplies: Vec<Supply> = self
            .supplies
            .iter()
            .filter(|supply| matches!(supply.source, Source::Line(_)))
            .rev()
            .cloned()
            .collect();
        supplies.extend(
            self.supplies
                .iter()
                .filter(|supply| !matches!(supply.source, Source::Line(_)))
                .cloned(),
        );
        let mut leap = false;
        for (at, equation) in equations.iter().enumerate() {
            self.ends_in_leap = false;
            let mut own = Vec::new();
            if at > 0 {
                // The sides so far are equal: the first and the last two say
                // enough.
                let so_far = Equation::new(equations[0].left.clone(), equation.left.clone());
                let mut said = vec![equations[at - 1].clone()];
                if at > 1 {
                    said.push(so_far);
                }
                own.push(Supply::new(Source::Line(number), said, &self.table));
                self.prepared.forget(Source::Line(number));
            }
            own.extend(supplies.iter().cloned());
            let Some(found) = smallest(equation, &own, &mut self.prepared, &self.table) else {
                continue;
            };
            let renamings = own
                .iter()
                .filter(|supply| found.contains(&supply.source) && supply.is_renaming())
                .count();
            if found.len() - renamings > 2 {
                let from = self.equations_of(&found, &own);
                // Gathering letters too is a step of its own: from four it is
                // too much at once.
                let gathered = found.len() - renamings == 3;
                let here = !is_substitution(equation, &from, gathered)
                    && !is_renamed(equation, &from, &self.table)
                    && !self.is_line_with_two(equation, &found);
                leap |= here;
                self.ends_in_leap = here;
            }
            for source in found {
                if source != Source::Line(number) && !verdict.uses.contains(&source) {
                    verdict.uses.push(source);
                }
            }
            if at > 0 {
                self.prepared.forget(Source::Line(number));
            }
        }
        if leap {
            verdict.kind = Kind::Leap;
        }
        let repeats = matches!(
            verdict.uses.as_slice(),
            [Source::Given(_) | Source::Helper(_)]
        ) && equations.len() == 1
            && self.is_repeat(&equations[0], verdict.uses[0]);
        if repeats {
            verdict.kind = Kind::Repeats;
        }
        verdict.is_work = !repeats && !verdict.uses.is_empty();
    }

    pub(super) fn equations_of<'s>(
        &self,
        sources: &[Source],
        supplies: &'s [Supply],
    ) -> Vec<&'s Equation> {
        supplies
            .iter()
            .filter(|supply| sources.contains(&supply.source))
            .flat_map(|supply| &supply.equations)
            .collect()
    }

    fn is_work(&self, source: Source) -> bool {
        let Source::Line(number) = source else {
            return false;
        };
        self.lines.get(number).is_some_and(|line| line.is_work)
    }

    /// Whether an equation is an earlier line with two premises put in, side
    /// by side: then three are no leap.
    fn is_line_with_two(&self, equation: &Equation, found: &[Source]) -> bool {
        let [_, _, _] = found else {
            return false;
        };
        found.iter().enumerate().any(|(at, base)| {
            let others: Vec<Source> = found
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != at)
                .map(|(_, source)| *source)
                .collect();
            let of = |source: Source| self.equations_of(&[source], &self.supplies);
            self.is_work(*base)
                && of(*base).into_iter().any(|base| {
                    of(others[0]).into_iter().any(|one| {
                        of(others[1])
                            .into_iter()
                            .any(|two| is_twofold(equation, base, [one, two]))
                    })
                })
        })
    }

    fn is_repeat(&self, line: &Equation, source: Source) -> bool {
        let chain = match source {
            Source::Given(number) => self.task.given.get(number),
            Source::Helper(number) => self.task.helpers.get(number),
            Source::Line(_) => None,
        };
        chain.is_some_and(|chain| {
            neighbours(chain)
                .iter()
                .any(|given| given == line || *given == line.flipped())
        })
    }

    /// Why a line does not follow.
    fn explain(&mut self, verdict: &mut LineVerdict) {
        let equations = neighbours(&verdict.chain);
        verdict.carried_forward = equations.iter().all(|equation| self.carries_on(equation));
        if !verdict.carried_forward
            && let [equation] = equations.as_slice()
            && let Some(name) = self.known_formula(equation).or_else(|| {
                let spoken_of = symbols_of(&self.base);
                let strange = |symbol| !spoken_of.contains(symbol);
                let brought = equation.symbols().iter().any(strange);
                brought.then(|| self.named(equation, &self.task.relettered))?
            })
            && self.agrees_with_givens(equation)
        {
            verdict.kind = Kind::NotGiven(name);
            return;
        }
        for approximation in Approximation::ALL {
            if self.task.granted.contains(&approximation) {
                continue;
            }
            let one = [approximation];
            let base: Vec<Equation> = self
                .base
                .iter()
                .map(|equation| Approximation::apply_all(&one, equation))
                .collect();
            let rough: Vec<Equation> = equations
                .iter()
                .map(|equation| Approximation::apply_all(&one, equation))
                .collect();
            if (base != self.base || rough != equations)
                && Premises::new(&base, &self.table)
                    .carry_all(&rough, &self.table)
                    .follows()
            {
                verdict.approximation = Some(approximation);
                verdict.carried_forward = false;
                return;
            }
        }
    }

    /// Whether an equation can hold together with the givens.
    fn agrees_with_givens(&self, equation: &Equation) -> bool {
        let mut all = self.base.clone();
        all.push(equation.clone());
        Premises::new(&all, &self.table).have_places()
    }

    /// Whether an equation follows from a broken line, alone or with one more
    /// premise. The latest are tried first, and only so many.
    fn carries_on(&mut self, equation: &Equation) -> bool {
        let symbols = equation.symbols();
        let follows = |equations: &[Equation]| {
            let solved = Premises::solved_briefly(equations, &self.table);
            // From what can't be true anything follows.
            solved.prove(equation, &self.table)
                && Premises::new(equations, &self.table).have_places()
        };
        let mut tries = MOST_CARRIED.min(self.carried_left);
        self.carried_left -= tries;
        let mut found = false;
        'search: for broken in self.broken.iter().rev() {
            let alone = std::iter::once(None);
            let others = self.broken.iter().rev().chain(&self.supplies).map(Some);
            for other in alone.chain(others) {
                let mut premises = broken.equations.clone();
                if let Some(other) = other {
                    if other.source == broken.source {
                        continue;
                    }
                    premises.extend(other.equations.iter().cloned());
                }
                let letters = symbols_of(&premises);
                if letters.len() > 24 || !symbols.iter().all(|symbol| letters.contains(symbol)) {
                    continue;
                }
                if tries == 0 {
                    break 'search;
                }
                tries -= 1;
                if follows(&premises) {
                    found = true;
                    break 'search;
                }
            }
        }
        self.carried_left += tries;
        found
    }

    /// Whether the sides of a leap go on to the result by a step that is none.
    fn goes_on_to_result(&self, verdict: &LineVerdict) -> bool {
        let before = &verdict.chain[..verdict.chain.len() - 1];
        !self.ends_in_leap && before.len() > 1 && !self.aim.is_result(before, false, &self.table)
    }

    fn settle(&mut self, mut verdict: LineVerdict, number: usize) {
        let equations = neighbours(&verdict.chain);
        let source = Source::Line(number);
        if verdict.kind.is_sound() {
            let defines = matches!(verdict.kind, Kind::Defines(_) | Kind::Repeats);
            let parent = if defines {
                None
            } else {
                self.pending_parent(&verdict)
            };
            let from_pending = parent.is_some();
            let rests =
                self.rests_on_work(&verdict) || (!defines && self.rests_otherwise(&mut verdict));
            let suspicious =
                !defines && !rests && (from_pending || self.says_the_aim(&verdict.chain));
            if suspicious && !self.is_worked(&verdict, from_pending) {
                self.weigh(&verdict, number, parent);
                self.pending.push(number);
                self.built_on.extend(parent);
                verdict.is_work = false;
                self.lines.push(verdict);
                return;
            }
            self.reached |= !defines
                && (verdict.kind != Kind::Leap || self.goes_on_to_result(&verdict))
                && rests
                && self.aim.is_result(&verdict.chain, false, &self.table);
            // A chain is work of several lines: its ends are equal too.
            let mut own = equations;
            if let [first, _, .., last] = verdict.chain.as_slice() {
                own.push(Equation::new(first.clone(), last.clone()));
            }
            let rates = self.task.rates.of(&own);
            if !verdict.uses.is_empty() || matches!(verdict.kind, Kind::Defines(_)) {
                if !rates.is_empty() {
                    self.supplies
                        .push(Supply::with_rates(source, own.clone(), rates, &self.table));
                }
                self.supplies.push(Supply::new(source, own, &self.table));
            }
        } else if matches!(
            verdict.kind,
            Kind::DoesNotFollow | Kind::NotGiven(_) | Kind::Undecided(_)
        ) {
            self.broken
                .push(Supply::new(source, equations, &self.table));
        }
        self.lines.push(verdict);
    }

    /// The report, once all lines are judged.
    #[must_use]
    pub fn finish(mut self, typed: usize) -> Report {
        let last = self.lines.len().saturating_sub(1);
        // What is built on the result rests on it, whatever comes later; where
        // the result stands first and is then worked for, nothing does.
        for number in &self.pending {
            let circular = if self.reached {
                self.built_on.contains(number)
            } else {
                *number < last
            };
            if circular && !self.is_excused(*number) {
                self.lines[*number].kind = Kind::Circular;
            }
        }
        let ends_in_result = self
            .lines
            .last()
            .is_some_and(|line| line.kind.is_sound() && self.aim.is_said(&line.chain, &self.table));
        let goal_alone = !self.reached && ends_in_result && !self.has_work();
        let first_bad = self.lines.iter().position(|line| line.kind.is_bad());
        let goal_alone = goal_alone && first_bad.is_none();
        let all_sound = self.lines.iter().all(|line| line.kind.is_sound());
        Report {
            complete: self.reached && all_sound && typed <= MOST_LINES,
            first_bad,
            goal_alone,
            ends_in_result,
            consistent: self.premises.have_places(),
            lines: self.lines,
        }
    }
}

impl LineVerdict {
    fn of(kind: Kind, chain: Vec<Expr>) -> Self {
        LineVerdict {
            kind,
            uses: Vec::new(),
            evidence: None,
            conditions: Vec::new(),
            notes: Vec::new(),
            chain,
            carried_forward: false,
            approximation: None,
            is_work: false,
        }
    }

    fn from(consequence: Consequence, chain: Vec<Expr>) -> Self {
        let (kind, evidence, conditions) = match consequence {
            Consequence::Follows {
                evidence,
                conditions,
            } => (Kind::Follows, Some(evidence), conditions),
            Consequence::DoesNot(found) => (
                Kind::DoesNotFollow,
                Some(Evidence::Counterexample(found)),
                Vec::new(),
            ),
            Consequence::Undecided(reason) => (Kind::Undecided(reason), None, Vec::new()),
        };
        LineVerdict {
            evidence,
            conditions,
            ..LineVerdict::of(kind, chain)
        }
    }
}

pub(super) fn same(first: &Equation, second: &Equation, table: &SymbolTable) -> bool {
    relate(
        std::slice::from_ref(first),
        std::slice::from_ref(second),
        table,
    )
    .relation
        == Relation::Same
}
