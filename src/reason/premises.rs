//! Premises solved one after another: a triangular set.
//!
//! For each premise a symbol is chosen in which it is solvable, linear first;
//! its solution is put into the other premises, and so on (the plan of Wu's
//! method, with closed forms in place of pseudo-remainders, since kernels may
//! hide a symbol). A premise with several solutions splits the set into
//! cases.
//!
//! Contract: where `complete` is said, every point of the domain that
//! satisfies all premises, and at which no condition vanishes, satisfies the
//! rungs of one of the cases.

use crate::algebra::exponent::Exponent;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::kernel::{Failure, Known};
use crate::algebra::limits::Budget;
use crate::algebra::normal::{Field, Normal};
use crate::algebra::number::Number;
use crate::algebra::polynomial::{KernelId, Polynomial};
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::isolate::{self, Outcome};
use super::putback::Support;
use super::step::Condition;

/// Cases that premises may split into.
const MOST_CASES: usize = 8;
/// Steps of algebra for one triangular set.
const WORK: u64 = 400_000;
/// What one look by the change of subject's methods costs of it.
const METHODS: u64 = 60_000;
/// Nodes that an equation may have for the change of subject's methods.
const TYPED: usize = 80;
/// Nodes that a premise may have once others are put in.
const LARGEST: usize = 1_200;
/// Premises that one set may have.
pub const MOST_PREMISES: usize = 64;

/// One symbol of a case with its value in later ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// The symbol.
    pub symbol: Symbol,
    /// Its value; holds no symbol of an earlier rung, nor this one.
    pub value: Expr,
    /// Which premise it comes from.
    pub premise: usize,
}

/// One way in which all premises can hold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Case {
    /// Solved symbols; the values of earlier ones use later ones.
    pub rungs: Vec<Rung>,
    /// Premises that no method solves, with the rungs put in.
    pub unsolved: Vec<Equation>,
    /// What was assumed not to be zero.
    pub conditions: Vec<Expr>,
    /// Whether the rungs are known to satisfy their premises.
    pub sound: bool,
}

/// Premises in triangular form.
#[derive(Debug, Clone, PartialEq)]
pub struct Triangular {
    /// The cases.
    pub cases: Vec<Case>,
    /// Whether the cases are all there are.
    pub complete: bool,
    /// Whether some case turned out to contradict itself, so that it was left
    /// out.
    pub contradicted: bool,
}

/// A solution of one premise for one symbol.
struct Solved {
    symbol: Symbol,
    values: Vec<Expr>,
    conditions: Vec<Expr>,
    complete: bool,
    sound: bool,
    rank: u32,
}

struct Builder<'a> {
    table: &'a SymbolTable,
    cases: Vec<Case>,
    complete: bool,
    contradicted: bool,
    budget: Budget,
}

impl Triangular {
    /// Solves the premises one after another.
    #[must_use]
    pub fn of(premises: &[Equation], table: &SymbolTable) -> Self {
        Self::within(premises, table, WORK)
    }

    /// The same with a quarter of the work, for sets of which many are tried.
    #[must_use]
    pub fn quickly(premises: &[Equation], table: &SymbolTable) -> Self {
        Self::within(premises, table, WORK / 4)
    }

    /// The same with a tenth of the work.
    #[must_use]
    pub fn briefly(premises: &[Equation], table: &SymbolTable) -> Self {
        Self::within(premises, table, WORK / 10)
    }

    fn within(premises: &[Equation], table: &SymbolTable, work: u64) -> Self {
        let mut builder = Builder {
            table,
            cases: Vec::new(),
            complete: premises.len() <= MOST_PREMISES,
            contradicted: false,
            budget: Budget::new(work),
        };
        let waiting: Vec<(usize, Equation)> = premises
            .iter()
            .take(MOST_PREMISES)
            .cloned()
            .enumerate()
            .collect();
        let start = Case {
            sound: true,
            ..Case::default()
        };
        builder.climb(start, waiting);
        Triangular {
            cases: builder.cases,
            complete: builder.complete,
            contradicted: builder.contradicted,
        }
    }
}

impl Builder<'_> {
    fn climb(&mut self, mut case: Case, mut waiting: Vec<(usize, Equation)>) {
        loop {
            if self.cases.len() >= MOST_CASES {
                self.complete = false;
                return;
            }
            // What has grown too large is left as it is: nothing is claimed
            // of it.
            let mut kept = Vec::with_capacity(waiting.len());
            for (premise, equation) in waiting {
                if is_large(&equation, LARGEST) {
                    case.unsolved.push(equation);
                } else {
                    kept.push((premise, equation));
                }
            }
            waiting = kept;
            // Doubled signs: two cases at once.
            if let Some(at) = waiting.iter().position(|(_, equation)| doubled(equation)) {
                let (premise, equation) = waiting.swap_remove(at);
                for branch in branches(&equation) {
                    let mut rest = waiting.clone();
                    rest.push((premise, branch));
                    self.climb(case.clone(), rest);
                }
                return;
            }
            let mut best: Option<(usize, Solved)> = None;
            let mut at = 0;
            while at < waiting.len() {
                match self.look(&waiting[at].1) {
                    Looked::Always => {
                        waiting.swap_remove(at);
                        continue;
                    }
                    Looked::Never => {
                        self.contradicted = true;
                        return;
                    }
                    Looked::Solved(solved) => {
                        if best
                            .as_ref()
                            .is_none_or(|(_, other)| solved.rank < other.rank)
                        {
                            best = Some((at, solved));
                        }
                    }
                    Looked::Open => {}
                }
                at += 1;
            }
            if waiting.is_empty() {
                self.cases.push(case);
                return;
            }
            if best.is_none() {
                best = self.by_methods(&waiting);
            }
            let Some((at, solved)) = best else {
                case.unsolved
                    .extend(waiting.into_iter().map(|(_, equation)| equation));
                self.cases.push(case);
                return;
            };
            let (premise, _) = waiting.swap_remove(at);
            self.complete &= solved.complete;
            case.sound &= solved.sound;
            for condition in solved.conditions {
                if !case.conditions.contains(&condition) {
                    case.conditions.push(condition);
                }
            }
            let put_in = |case: &Case, waiting: &[(usize, Equation)], value: &Expr| {
                let mut case = case.clone();
                let mut waiting = waiting.to_vec();
                case.rungs.push(Rung {
                    symbol: solved.symbol,
                    value: value.clone(),
                    premise,
                });
                for (_, equation) in &mut waiting {
                    if equation.left.contains(solved.symbol)
                        || equation.right.contains(solved.symbol)
                    {
                        *equation = equation.substitute(solved.symbol, value);
                    }
                }
                (case, waiting)
            };
            match solved.values.as_slice() {
                [] => {
                    self.contradicted = true;
                    return;
                }
                [value] => (case, waiting) = put_in(&case, &waiting, value),
                several => {
                    for value in several {
                        let (case, waiting) = put_in(&case, &waiting, value);
                        self.climb(case, waiting);
                    }
                    return;
                }
            }
        }
    }

    /// The best symbol of a premise that its normal form solves.
    fn look(&mut self, equation: &Equation) -> Looked {
        if let Some(solved) = self.alone(equation) {
            return Looked::Solved(solved);
        }
        let mut field = Field::with_budget(self.table, self.budget.clone());
        let looked = field.settling(|field| {
            let normal = field.normalise(&equation.difference())?;
            self.look_at(&normal, field)
        });
        self.budget = field.budget;
        match looked {
            Ok(looked) => looked,
            // A premise that is defined nowhere holds nowhere.
            Err(Failure::Undefined) => Looked::Never,
            Err(_) => Looked::Open,
        }
    }

    /// One side is a symbol alone, and the other is made of other symbols.
    fn alone(&self, equation: &Equation) -> Option<Solved> {
        let sides = [
            (&equation.left, &equation.right),
            (&equation.right, &equation.left),
        ];
        for (side, other) in sides {
            if let Expr::Symbol(symbol) = side
                && !other.contains(*symbol)
            {
                return Some(Solved {
                    symbol: *symbol,
                    values: vec![other.clone()],
                    conditions: Vec::new(),
                    complete: true,
                    sound: true,
                    rank: preference(self.table.domain(*symbol)),
                });
            }
        }
        None
    }

    fn look_at(&self, normal: &Normal, field: &mut Field<'_>) -> Result<Looked, Failure> {
        let num = normal.num();
        if num.is_zero() {
            return Ok(Looked::Always);
        }
        if field.kernels.never_zero(num) {
            return Ok(Looked::Never);
        }
        let mut best: Option<Solved> = None;
        let kernels = num.kernels();
        let mut symbols: Vec<Symbol> = Vec::new();
        for symbol in self.table.symbols() {
            if kernels
                .iter()
                .any(|kernel| field.kernels.mentions(*kernel, symbol))
            {
                symbols.push(symbol);
            }
        }
        for symbol in symbols {
            let kernel = field.kernels.symbol(symbol, self.table);
            let hidden = kernels
                .iter()
                .any(|own| *own != kernel && field.kernels.mentions(*own, symbol));
            if hidden {
                continue;
            }
            if let Some(solved) = self.binomial(num, symbol, kernel, field)?
                && best.as_ref().is_none_or(|other| solved.rank < other.rank)
            {
                best = Some(solved);
            }
        }
        Ok(best.map_or(Looked::Open, Looked::Solved))
    }

    /// A numerator `A x^m + B x^n`: then `x^(m - n) = -B/A`.
    fn binomial(
        &self,
        num: &Polynomial,
        symbol: Symbol,
        kernel: KernelId,
        field: &mut Field<'_>,
    ) -> Result<Option<Solved>, Failure> {
        let mut powers = num.by_powers(kernel);
        if powers.len() != 2 {
            return Ok(None);
        }
        let difference = powers[0].0.plus(powers[1].0.negated())?;
        if difference.is_negative() {
            powers.swap(0, 1);
        }
        let [(high, above), (low, below)] = powers.as_slice() else {
            return Ok(None);
        };
        let degree = high.plus(low.negated())?;
        let domain = self.table.domain(symbol);
        let positive = matches!(domain, Domain::Positive | Domain::Acute);
        // A common power of x is a solution of its own where x may be zero.
        if !positive && !low.is_zero() && !low.is_negative() {
            return Ok(None);
        }
        let linear = degree == Exponent::ONE;
        if !linear && !positive {
            return Ok(None);
        }
        let ratio = field.quotient(below.negated(), above.clone())?;
        // A factor that may vanish matters only if the rest may vanish too.
        let mut conditions = Vec::new();
        if !field.kernels.never_zero(above) && !field.kernels.never_zero(below) {
            conditions.extend(open_factors(above, field));
        }
        let (value, rank) = if linear {
            (ratio, preference(domain))
        } else {
            if matches!(
                ratio.sign(&field.kernels),
                Known::Negative | Known::Nonpositive
            ) {
                return Ok(None);
            }
            let exponent = degree.to_number().reciprocal().unwrap_or(Number::ONE);
            (field.power(&ratio, &exponent)?, ROOT + preference(domain))
        };
        let size = u32::try_from(value.num().len() + value.den().len()).unwrap_or(u32::MAX);
        Ok(Some(Solved {
            symbol,
            values: vec![field.tree(&value)],
            rank: rank
                .saturating_add(if conditions.is_empty() {
                    0
                } else {
                    CONDITIONAL
                })
                .saturating_add(size.min(20)),
            conditions,
            complete: true,
            sound: true,
        }))
    }

    /// The change of subject's methods, for what the normal form alone does
    /// not solve.
    fn by_methods(&mut self, waiting: &[(usize, Equation)]) -> Option<(usize, Solved)> {
        let mut best: Option<(usize, Solved)> = None;
        for (at, (_, equation)) in waiting.iter().enumerate() {
            // They work on trees as typed, and expand them.
            if is_large(equation, TYPED) {
                continue;
            }
            let mut symbols = equation.symbols();
            symbols.sort_by_key(|symbol| {
                (
                    equation.left.occurrences(*symbol) + equation.right.occurrences(*symbol),
                    preference(self.table.domain(*symbol)),
                )
            });
            for symbol in symbols {
                if self.budget.spend(METHODS).is_err() {
                    return best;
                }
                let Outcome::Solved {
                    solutions,
                    complete,
                    ..
                } = isolate::isolate(equation, symbol, self.table)
                else {
                    continue;
                };
                let mut conditions = Vec::new();
                let mut covered = complete;
                for condition in solutions.iter().flat_map(|found| &found.conditions) {
                    match condition {
                        Condition::NonZero(expr) => {
                            if !conditions.contains(expr) {
                                conditions.push(expr.clone());
                            }
                        }
                        // Where a root or a logarithm needs its sign, the
                        // formula itself may hold without: not all cases.
                        _ => covered = false,
                    }
                }
                let sound = solutions
                    .iter()
                    .all(|found| found.support == Support::Proved);
                let solved = Solved {
                    symbol,
                    rank: HARD
                        + u32::try_from(solutions.len()).unwrap_or(8) * 10
                        + if covered { 0 } else { 100 }
                        + if sound { 0 } else { 200 },
                    values: solutions.into_iter().map(|found| found.value).collect(),
                    conditions,
                    complete: covered,
                    sound,
                };
                let good = solved.rank < HARD + 40;
                if best
                    .as_ref()
                    .is_none_or(|(_, other)| solved.rank < other.rank)
                {
                    best = Some((at, solved));
                }
                if good {
                    return best;
                }
            }
        }
        best
    }
}

/// What one look at a premise gives.
enum Looked {
    /// It holds everywhere.
    Always,
    /// It holds nowhere on the domain.
    Never,
    /// It is solvable.
    Solved(Solved),
    /// Not by the normal form.
    Open,
}

const CONDITIONAL: u32 = 200;
const ROOT: u32 = 100;
const HARD: u32 = 1_000;

/// Symbols that may take any value are solved for first: what is known of the
/// sign of the others stays known.
fn preference(domain: Domain) -> u32 {
    match domain {
        Domain::Real => 0,
        Domain::Nonnegative => 10,
        Domain::Positive => 12,
        Domain::Acute => 40,
    }
}

/// Whether an equation has as many nodes as this, or more.
#[must_use]
pub fn is_large(equation: &Equation, most: usize) -> bool {
    equation.nodes() >= most
}

/// Whether a doubled sign is in an equation.
#[must_use]
pub fn doubled(equation: &Equation) -> bool {
    equation.left.has_doubled_sign() || equation.right.has_doubled_sign()
}

/// The equations that one with a doubled sign stands for.
#[must_use]
pub fn branches(equation: &Equation) -> Vec<Equation> {
    if !doubled(equation) {
        return vec![equation.clone()];
    }
    let (lefts, rights) = (equation.left.branches(), equation.right.branches());
    let pick = |sides: &[Expr], index: usize| sides[index.min(sides.len() - 1)].clone();
    (0..2)
        .map(|index| Equation::new(pick(&lefts, index), pick(&rights, index)))
        .collect()
}

/// The factors of `above` that may be zero.
fn open_factors(above: &Polynomial, field: &mut Field<'_>) -> Vec<Expr> {
    let content = above.monomial_content();
    let mut open = Vec::new();
    for (kernel, exponent) in content.factors() {
        if !exponent.is_negative() && field.kernels.known(*kernel) != Known::Positive {
            open.push(field.polynomial_tree(&Polynomial::kernel(*kernel)));
        }
    }
    let plain = above
        .times_term(&content.reciprocal(), &Number::ONE)
        .unwrap_or_else(|_| above.clone());
    let parts = field.factors_of(&plain).unwrap_or_else(|_| vec![plain]);
    for part in parts {
        if !field.kernels.never_zero(&part) {
            let tree = field.polynomial_tree(&part);
            if !open.contains(&tree) {
                open.push(tree);
            }
        }
    }
    open
}
