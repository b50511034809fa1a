//! Change of subject with worked steps: the driver, and what comes out.
//!
//! One occurrence of the subject is freed by inverse operations (`inverse`),
//! several are first brought together (`several`). Nothing is guessed: an
//! equation that no method fits is said to have no closed form that we know.

use crate::algebra::expr::{Equation, Expr, Sign};
use crate::algebra::limits::{Budget, Exceeded, MAX_DEPTH};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::expand::content;
use super::monomial::Monomial;
use super::order::letter_order;
use super::putback::{FEW, MANY, Support, cover, points, put_back};
use super::step::{Condition, DropReason, Operation, Step};
use super::tidy::Tidy;

/// Steps that one path may have; a real one has fewer than twenty.
const LONGEST_PATH: usize = 60;
/// Branches that one change of subject may have.
const MOST_BRANCHES: usize = 16;
/// Work for one change of subject, in the units of `algebra::limits`.
const WORK: u64 = 400_000;
/// Nodes of an equation that is still worked on.
const LARGEST: usize = 1_000;

/// One solution with its path.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The subject is equal to this.
    pub value: Expr,
    /// From the formula to the solution. The last equation may have a doubled
    /// sign of which this solution is one.
    pub path: Vec<Step>,
    /// What the steps of the path need, beyond what the domains ensure.
    pub conditions: Vec<Condition>,
    /// How it is known that the solution satisfies the formula.
    pub support: Support,
}

/// A root of the worked equation that is no solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Dropped {
    /// The root.
    pub value: Expr,
    /// Why it is none.
    pub reason: DropReason,
}

/// Why there is no closed form to give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoForm {
    /// The subject is not in the formula.
    Absent,
    /// The subject cancels out of the formula.
    Cancels,
    /// The subject is inside and outside a function (`x + sin x`), or in a
    /// polynomial of high degree: no method fits.
    NoMethod,
    /// No value of the subject satisfies the formula on the domain.
    NoSolution,
}

/// What came of a change of subject.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Solved.
    Solved {
        /// The solutions, the principal one first.
        solutions: Vec<Solution>,
        /// Whether these are all the solutions on the domain.
        complete: bool,
        /// Roots that were left out.
        dropped: Vec<Dropped>,
    },
    /// There is none that our methods find.
    NoClosedForm(NoForm),
    /// A limit was reached.
    GaveUp(Exceeded),
}

/// Why a path ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    Limit(Exceeded),
    None(NoForm),
}

impl From<Exceeded> for Stop {
    fn from(limit: Exceeded) -> Self {
        Stop::Limit(limit)
    }
}

/// A path on its way.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub equation: Equation,
    pub steps: Vec<Step>,
    pub complete: bool,
    pub dropped: Vec<Dropped>,
}

impl State {
    pub(super) fn step(&mut self, operation: Operation, left: Expr, right: Expr) {
        self.step_if(operation, Vec::new(), left, right);
    }

    pub(super) fn step_if(
        &mut self,
        operation: Operation,
        conditions: Vec<Condition>,
        left: Expr,
        right: Expr,
    ) {
        self.equation = Equation::new(left, right);
        self.steps.push(Step {
            operation,
            conditions,
            equation: self.equation.clone(),
        });
    }

    pub(super) fn has_doubled_sign(&self) -> bool {
        self.equation.left.has_doubled_sign() || self.equation.right.has_doubled_sign()
    }
}

/// What the methods share.
pub(super) struct Engine<'a> {
    pub tidy: Tidy<'a>,
    pub table: &'a SymbolTable,
    pub subject: Symbol,
    pub budget: Budget,
}

impl Engine<'_> {
    pub(super) fn holds(&self, expr: &Expr) -> bool {
        expr.contains(self.subject)
    }

    /// What keeps `expr` from zero: a condition for each factor that the
    /// domains leave open.
    pub(super) fn nonzero(&self, expr: &Expr) -> Vec<Condition> {
        if self.tidy.signs(expr).is_nonzero() {
            return Vec::new();
        }
        match self.tidy.monomial(expr) {
            Ok(product) if !product.is_zero() => product
                .factors
                .into_iter()
                .filter(|(base, exponent)| {
                    !exponent.is_negative() && !self.tidy.signs(base).is_nonzero()
                })
                .map(|(base, _)| Condition::NonZero(base))
                .collect(),
            _ => vec![Condition::NonZero(expr.clone())],
        }
    }

    /// `NonNegative(expr)`, unless the domains ensure it.
    pub(super) fn nonnegative(&self, expr: &Expr) -> Vec<Condition> {
        if self.tidy.signs(expr).is_nonnegative() || expr.has_doubled_sign() {
            Vec::new()
        } else {
            vec![Condition::NonNegative(self.decisive(expr))]
        }
    }

    /// `Positive(expr)`, unless the domains ensure it.
    pub(super) fn positive(&self, expr: &Expr) -> Vec<Condition> {
        if self.tidy.signs(expr).is_positive() {
            Vec::new()
        } else {
            vec![Condition::Positive(self.decisive(expr))]
        }
    }

    /// The one factor that decides the sign, if the others are positive.
    fn decisive(&self, expr: &Expr) -> Expr {
        let Ok(product) = self.tidy.monomial(expr) else {
            return expr.clone();
        };
        let open: Vec<&(Expr, Number)> = product
            .factors
            .iter()
            .filter(|(base, _)| !self.tidy.signs(base).is_positive())
            .collect();
        match open[..] {
            [(base, power)] if product.sign == Sign::Plus && power.is_one() => base.clone(),
            _ => expr.clone(),
        }
    }

    /// The two branches of a state with a doubled sign.
    pub(super) fn split(&mut self, state: State) -> Vec<State> {
        if !state.has_doubled_sign() {
            return vec![state];
        }
        let lefts = state.equation.left.branches();
        let rights = state.equation.right.branches();
        [(0, Sign::Plus), (1, Sign::Minus)]
            .into_iter()
            .map(|(index, sign)| {
                let mut branch = state.clone();
                let pick = |sides: &[Expr]| sides[index.min(sides.len() - 1)].clone();
                branch.step(Operation::TakeSign(sign), pick(&lefts), pick(&rights));
                branch
            })
            .collect()
    }

    /// Divides both sides by the letters that every term of the formula has.
    fn shared_letters(&mut self, state: &State) -> Result<Option<State>, Stop> {
        if !state.steps.is_empty() {
            return Ok(None);
        }
        let mut terms = self.monomials(&state.equation.left)?;
        let own = terms.len();
        terms.extend(self.monomials(&state.equation.right)?);
        if own == 0 || terms.len() == own || terms.len() < 2 {
            return Ok(None);
        }
        let mut shared = content(&terms);
        shared.coefficient = Number::ONE;
        shared.factors.retain(|(base, exponent)| {
            exponent.is_positive()
                && matches!(base, Expr::Symbol(symbol) if *symbol != self.subject)
        });
        if shared.is_one() {
            return Ok(None);
        }
        let down = shared.inverted();
        let divided = |terms: &[Monomial]| -> Expr {
            let made: Vec<Monomial> = terms.iter().map(|term| term.times(&down)).collect();
            self.tidy.sum(&made)
        };
        let (left, right) = (divided(&terms[..own]), divided(&terms[own..]));
        let factor = self.tidy.build(&shared);
        let conditions = self.nonzero(&factor);
        let mut next = state.clone();
        next.step_if(Operation::DivideBothSides(factor), conditions, left, right);
        Ok(Some(next))
    }

    fn advance(&mut self, state: State) -> Result<Vec<State>, Stop> {
        if let Some(next) = self.shared_letters(&state)? {
            return Ok(vec![next]);
        }
        let on_left = self.holds(&state.equation.left);
        let on_right = self.holds(&state.equation.right);
        match (on_left, on_right) {
            (false, false) => Err(Stop::None(if state.steps.is_empty() {
                NoForm::Absent
            } else {
                NoForm::Cancels
            })),
            (true, true) => self.gather_occurrences(state),
            (left, _) => match self.peel(&state, left)? {
                Some(next) => Ok(next),
                None => self.gather_occurrences(state),
            },
        }
    }

    fn is_done(&self, state: &State) -> bool {
        matches!(&state.equation.left, Expr::Symbol(own) if *own == self.subject)
            && !self.holds(&state.equation.right)
    }

    fn run(&mut self, start: State) -> Result<Outcome, Exceeded> {
        let formula = start.equation.clone();
        let mut waiting = vec![start];
        let mut finished: Vec<State> = Vec::new();
        let mut complete = true;
        let mut dropped = Vec::new();
        let mut fault = None;
        while let Some(state) = waiting.pop() {
            self.budget.spend(10)?;
            if self.is_done(&state) {
                finished.push(state);
                continue;
            }
            if state.steps.len() > LONGEST_PATH || waiting.len() + finished.len() > MOST_BRANCHES {
                return Err(Exceeded::Steps);
            }
            if !shallow(&state.equation.left, MAX_DEPTH)
                || !shallow(&state.equation.right, MAX_DEPTH)
            {
                return Err(Exceeded::Depth);
            }
            let size = state.equation.nodes();
            if size > LARGEST {
                return Err(Exceeded::Steps);
            }
            self.budget.spend(size as u64)?;
            match self.advance(state) {
                Ok(next) => waiting.extend(next.into_iter().rev()),
                Err(Stop::Limit(limit)) => return Err(limit),
                Err(Stop::None(NoForm::NoSolution)) => {
                    fault.get_or_insert(NoForm::NoSolution);
                }
                Err(Stop::None(reason)) => {
                    complete = false;
                    fault = Some(reason);
                }
            }
        }
        let mut solutions: Vec<Solution> = Vec::new();
        for mut state in finished {
            complete &= state.complete;
            dropped.append(&mut state.dropped);
            self.conclude(state, &mut solutions, &mut dropped);
        }
        let (mut on_formula, given) = points(&formula, self.subject, self.table, FEW);
        for enough in [FEW, MANY] {
            let doubtful: Vec<&mut Solution> = solutions
                .iter_mut()
                .filter(|solution| {
                    enough == FEW || matches!(solution.support, Support::Refuted | Support::NoPoint)
                })
                .collect();
            if enough == MANY && !doubtful.is_empty() {
                on_formula = points(&formula, self.subject, self.table, MANY).0;
            }
            for solution in doubtful {
                solution.support = put_back(
                    &formula,
                    self.subject,
                    &solution.value,
                    &solution.conditions,
                    &on_formula,
                    self.table,
                );
            }
        }
        let (kept, refuted): (Vec<Solution>, Vec<Solution>) = solutions
            .into_iter()
            .partition(|solution| solution.support != Support::Refuted);
        // What could be put back nowhere is not handed out.
        let (mut solutions, untried): (Vec<Solution>, Vec<Solution>) = kept
            .into_iter()
            .partition(|solution| solution.support != Support::NoPoint);
        complete &= untried.is_empty();
        dropped.extend(refuted.into_iter().map(|solution| Dropped {
            value: solution.value,
            reason: DropReason::Introduced,
        }));
        // Those that hold come first; the order is otherwise that of the work.
        solutions.sort_by_key(|solution| match solution.support {
            Support::Proved | Support::Numbers(_) => 0,
            Support::Sometimes { .. } => 1,
            Support::Refuted | Support::NoPoint => 2,
        });
        // Where both signs of one path remain but one was refuted, the path
        // ends with the choice.
        for solution in &mut solutions {
            close_path(solution, self.subject, &dropped);
        }
        if solutions.is_empty() {
            // That a solution could not be tried is not that there is none.
            let reason = if untried.is_empty() {
                fault.unwrap_or(NoForm::NoSolution)
            } else {
                NoForm::NoMethod
            };
            // A path that divides by what is always zero finds none. A point
            // on the formula shows that there is one.
            let reason = match reason {
                NoForm::NoSolution if given && !on_formula.is_empty() => NoForm::NoMethod,
                other => other,
            };
            return Ok(Outcome::NoClosedForm(reason));
        }
        if given && complete {
            let values: Vec<&Expr> = solutions.iter().map(|solution| &solution.value).collect();
            complete = cover(&values, self.subject, &on_formula);
        }
        Ok(Outcome::Solved {
            solutions,
            complete,
            dropped,
        })
    }

    /// Takes the branches of a finished path, and leaves out those that the
    /// subject's domain forbids.
    fn conclude(
        &mut self,
        state: State,
        solutions: &mut Vec<Solution>,
        dropped: &mut Vec<Dropped>,
    ) {
        let branches = state.equation.right.branches();
        let domain = self.table.domain(self.subject);
        let mut kept: Vec<(Sign, Expr)> = Vec::new();
        let mut reason = None;
        let single = branches.len() == 1;
        for (index, value) in branches.into_iter().enumerate() {
            let sign = if index == 0 { Sign::Plus } else { Sign::Minus };
            let signs = self.tidy.signs(&value);
            let why = match domain {
                Domain::Positive if !signs.positive => Some(DropReason::NotPositive),
                Domain::Nonnegative if signs.is_negative() => Some(DropReason::NotPositive),
                Domain::Acute if !signs.positive => Some(DropReason::OutsideDomain),
                _ => None,
            };
            if let Some(why) = why {
                reason = Some(why);
                dropped.push(Dropped { value, reason: why });
            } else {
                kept.push((sign, value));
            }
        }
        let mut path = state.steps;
        if let (false, [(sign, value)], Some(reason)) = (single, &kept[..], reason) {
            path.push(Step {
                operation: Operation::KeepSign(*sign, reason),
                conditions: Vec::new(),
                equation: Equation::new(Expr::Symbol(self.subject), value.clone()),
            });
        }
        for (_, value) in kept {
            if solutions.iter().any(|other| other.value == value) {
                continue;
            }
            let mut conditions: Vec<Condition> = Vec::new();
            for condition in path.iter().flat_map(|step| &step.conditions) {
                if !conditions.contains(condition) {
                    conditions.push(condition.clone());
                }
            }
            solutions.push(Solution {
                value,
                path: path.clone(),
                conditions,
                support: Support::NoPoint,
            });
        }
    }
}

/// Ends a path whose last line has a doubled sign with the choice, if the other
/// branch was dropped.
fn close_path(solution: &mut Solution, subject: Symbol, dropped: &[Dropped]) {
    let Some(last) = solution.path.last() else {
        return;
    };
    let branches = last.equation.right.branches();
    let [upper, lower] = &branches[..] else {
        return;
    };
    let (sign, other) = if *upper == solution.value {
        (Sign::Plus, lower)
    } else {
        (Sign::Minus, upper)
    };
    if let Some(found) = dropped.iter().find(|drop| drop.value == *other) {
        solution.path.push(Step {
            operation: Operation::KeepSign(sign, found.reason),
            conditions: Vec::new(),
            equation: Equation::new(Expr::Symbol(subject), solution.value.clone()),
        });
    }
}

/// Whether the tree is at most `limit` deep; looks no deeper than that.
fn shallow(expr: &Expr, limit: usize) -> bool {
    if limit == 0 {
        return false;
    }
    let mut fine = true;
    expr.for_each_child(|child| fine = fine && shallow(child, limit - 1));
    fine
}

/// Makes `subject` the subject of the formula. The symbols of the equation and
/// the subject come from `table`.
///
/// # Example
///
/// ```
/// use rejig::reason::isolate::{Outcome, isolate};
/// use rejig::show::line::{Spelling, line};
/// use rejig::text::{Undeclared, Vocabulary, read_equation};
///
/// let mut letters = Vocabulary::new();
/// let formula = read_equation("E = 1/2 m v^2", &mut letters, Undeclared::Declare)?;
/// let v = letters.lookup("v").expect("the formula has it");
/// let Outcome::Solved { solutions, .. } = isolate(&formula, v, letters.table()) else {
///     panic!("there is a closed form");
/// };
/// let value = line(&solutions[0].value, letters.table(), Spelling::Ascii);
/// assert_eq!(value, "sqrt(2 E/m)");
/// # Ok::<(), rejig::text::Diagnostic>(())
/// ```
#[must_use]
pub fn isolate(equation: &Equation, subject: Symbol, table: &SymbolTable) -> Outcome {
    if !shallow(&equation.left, MAX_DEPTH) || !shallow(&equation.right, MAX_DEPTH) {
        return Outcome::GaveUp(Exceeded::Depth);
    }
    let mut engine = Engine {
        tidy: Tidy::new(table, &letter_order(equation)),
        table,
        subject,
        budget: Budget::new(WORK),
    };
    let start = State {
        equation: equation.clone(),
        steps: Vec::new(),
        complete: true,
        dropped: Vec::new(),
    };
    engine.run(start).unwrap_or_else(Outcome::GaveUp)
}
