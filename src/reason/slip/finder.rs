//! Looking for the slip behind a wrong answer.
//!
//! The answers that slips would give are worked out once for a formula and
//! its subject, in stages: the cheap ones first, then those for which a wrong
//! line has to be solved anew, then two slips at once. A stage is worked out
//! only if the stages before it do not explain an answer.

use std::sync::OnceLock;

use crate::algebra::expr::{Equation, Expr, Function};
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::super::isolate::{self, Outcome};
use super::super::rearrangement::Problem;
use super::super::step::Operation;
use super::candidate::{Candidate, Gathering, Stage};
use super::fingerprint::{Agreement, Mark, Places};
use super::forms::{combined, gathered, spread};
use super::functions;
use super::kind::SlipKind;
use super::letters;
use super::malrules::{RULES, Rule};
use super::missteps::{self, MISSTEPS};
use super::pairs::Pairs;
use super::rewriting::{Rewritten, everywhere};
use super::route::Route;
use super::view::{inverted, negated, raised};
use super::wrong_lines::{PutIn, WrongLine, is_true};
use super::{Explanation, Slip};
use crate::algebra::number::Number;

/// Wrong lines that are kept for one formula.
const MOST_LINES: usize = 320;
/// A slip that is believed less readily than this waits for the next stage.
pub(super) const DOUBTFUL: u8 = 24;

/// The answers that slips would give to one problem, kept for the next wrong
/// answer.
#[derive(Debug, Clone)]
pub struct Slips {
    subject: Symbol,
    formula: Equation,
    pub(super) places: Places,
    pub(super) solutions: Vec<Expr>,
    routes: Vec<Route>,
    near: OnceLock<Stage>,
    brackets: OnceLock<Vec<WrongLine>>,
    lines: OnceLock<Vec<WrongLine>>,
    pairs: OnceLock<Pairs>,
}

impl Slips {
    /// Prepares the search; nothing but the worked path is found yet.
    #[must_use]
    pub fn new(problem: &Problem, table: &SymbolTable) -> Self {
        let (formula, subject) = (problem.formula().clone(), problem.subject());
        let places = Places::new(problem, table);
        let (mut solutions, mut routes) = (Vec::new(), Vec::new());
        if let Outcome::Solved {
            solutions: found, ..
        } = isolate::isolate(&formula, subject, table)
        {
            for solution in found.iter().take(2) {
                routes.push(Route::new(&formula, solution, subject, &places, table));
            }
            solutions.extend(found.into_iter().map(|solution| solution.value));
        }
        Slips {
            subject,
            formula,
            places,
            solutions,
            routes,
            near: OnceLock::new(),
            brackets: OnceLock::new(),
            lines: OnceLock::new(),
            pairs: OnceLock::new(),
        }
    }

    /// The slip, or the two, that lead to this wrong value of the subject.
    /// Nothing where none does. The value must be known to be wrong, and have
    /// no symbol that the formula lacks.
    #[must_use]
    pub fn explain(&self, value: &Expr, table: &SymbolTable) -> Option<Explanation> {
        let branches = value.branches();
        let value = branches.first()?;
        let mark = self.places.mark(value)?;
        // Too near to a right value, or a plain number: whatever slip fits, it
        // may do so by chance.
        if self.is_nearly_right(value, mark) || self.places.is_constant(value) {
            return None;
        }
        let mut put_in = PutIn::new(&self.places, self.subject, value);
        let near = self.near.get_or_init(|| self.nearby(table));
        let first = near.find(value, mark, &self.places, table);
        // A minus that stops at the first term looks like a sign slip at the
        // end of the path; the bracket tells which it is.
        let brackets = self.brackets.get_or_init(|| self.bracket_lines());
        let first = best(
            first.map(|found| (found.rank, Found::Candidate(found))),
            self.satisfied(brackets, &mut put_in, u8::MAX),
        );
        if let Some((rank, found)) = &first
            && *rank < DOUBTFUL
        {
            return Some(found.explanation());
        }
        let lines = self.lines.get_or_init(|| self.wrong_lines(table));
        let limit = first.as_ref().map_or(u8::MAX, |(rank, _)| *rank);
        if let Some((_, found)) = best(first, self.satisfied(lines, &mut put_in, limit)) {
            return Some(found.explanation());
        }
        let pairs = self
            .pairs
            .get_or_init(|| Pairs::new(near, self.replayed(table), self));
        pairs.find(near, value, mark, self, table)
    }

    /// Whether numbers don't tell the value from a right one.
    fn is_nearly_right(&self, value: &Expr, mark: Mark) -> bool {
        self.solutions.iter().any(|solution| {
            self.places
                .mark(solution)
                .is_some_and(|own| own.is_near(mark))
                && self.places.compare(solution, value) == Agreement::Same
        })
    }

    /// The slips that are most readily believed, each of another kind, with the
    /// wrong value that it leads to.
    #[must_use]
    pub fn likely(&self, most: usize, table: &SymbolTable) -> Vec<(Expr, Slip)> {
        let near = self.near.get_or_init(|| self.nearby(table));
        let lines = self.lines.get_or_init(|| self.wrong_lines(table));
        let single = near.sorted.iter().filter(|found| found.slips.len() == 1);
        let mut ranked: Vec<(u8, Found<'_>)> = lines
            .iter()
            .map(|line| (line.rank, Found::Line(line)))
            .chain(single.map(|found| (found.rank, Found::Candidate(found))))
            .collect();
        ranked.retain(|(rank, _)| *rank < DOUBTFUL);
        ranked.sort_by_key(|(rank, _)| *rank);
        let mut likely: Vec<(Expr, Slip)> = Vec::new();
        for (_, found) in ranked {
            if likely.len() >= most {
                break;
            }
            let explanation = found.explanation();
            let Some(slip) = explanation.slips.first() else {
                continue;
            };
            if likely.iter().any(|(_, own)| own.kind == slip.kind) {
                continue;
            }
            let value = match found {
                Found::Candidate(found) => Some(found.value.clone()),
                Found::Line(line) => match isolate::isolate(&line.equation, self.subject, table) {
                    Outcome::Solved { solutions, .. } => {
                        solutions.into_iter().next().map(|solution| solution.value)
                    }
                    _ => None,
                },
            };
            if let Some(value) = value {
                likely.push((value, slip.clone()));
            }
        }
        likely
    }

    /// The most readily believed wrong line, below a rank, that the answer
    /// satisfies. The lines are in the order of their ranks.
    fn satisfied<'s>(
        &'s self,
        lines: &'s [WrongLine],
        answer: &mut PutIn<'_>,
        below: u8,
    ) -> Option<(u8, Found<'s>)> {
        lines
            .iter()
            .take_while(|line| line.rank < below)
            .find(|line| answer.satisfies(&line.equation) && !is_true(&line.equation, &self.places))
            .map(|line| (line.rank, Found::Line(line)))
    }

    /// The slip by which a line becomes another one at a stroke: one node of
    /// one side was wrongly rewritten, and nothing else changed.
    #[must_use]
    pub(super) fn explain_rewritten(
        &self,
        line: &Equation,
        table: &SymbolTable,
    ) -> Option<Explanation> {
        if is_true(line, &self.places) {
            return None;
        }
        let (left, right) = (
            self.places.mark(&line.left)?,
            self.places.mark(&line.right)?,
        );
        let rules: Vec<&Rule> = RULES.iter().filter(|rule| rule.at_start).collect();
        let mut lines = self.rewritten_formula(&self.formula, &rules);
        let one_term = |kind: SlipKind, equation: Equation| {
            let slip = Slip::new(kind, self.formula.left.clone(), self.formula.right.clone());
            WrongLine::new(equation, 15, slip)
        };
        lines.extend(
            missteps::divided_but_one(&self.formula, self.subject)
                .into_iter()
                .map(|equation| one_term(SlipKind::OneTermDivided, equation)),
        );
        lines.extend(
            missteps::clearing(&self.formula)
                .into_iter()
                .map(|equation| one_term(SlipKind::OneTermMultiplied, equation)),
        );
        let mut found: Vec<(u8, Slip)> = lines
            .into_iter()
            .filter(|line_of_slip| {
                let wrong = &line_of_slip.equation;
                let same = |side: &Expr, own: &Expr, mark: Mark| {
                    self.places
                        .mark(side)
                        .is_some_and(|found| found.is_near(mark))
                        && self.places.agree(side, own, table)
                };
                (same(&wrong.left, &line.left, left) && same(&wrong.right, &line.right, right))
                    || (same(&wrong.left, &line.right, right)
                        && same(&wrong.right, &line.left, left))
            })
            .map(|found| (found.rank, found.slip))
            .collect();
        found.sort_by_key(|(rank, _)| *rank);
        let (_, slip) = found.into_iter().next()?;
        Some(Explanation::one(slip))
    }

    /// Rewritings of the solution, and missteps that can be carried on by
    /// themselves.
    fn nearby(&self, table: &SymbolTable) -> Stage {
        let mut gathering = self.gathering(table);
        // Terms can be left uncollected only where there are several.
        let several = self.formula.left.occurrences(self.subject)
            + self.formula.right.occurrences(self.subject)
            > 1;
        let rules: Vec<&Rule> = RULES
            .iter()
            .filter(|rule| rule.at_end && (several || rule.kind != SlipKind::FactorNotCollected))
            .collect();
        let exponential = self.has_exponential();
        for route in &self.routes {
            for line in 0..route.operations.len() {
                if line + 1 < route.replayable {
                    continue;
                }
                missteps_at(route, line, &mut |mut slip, rank, other| {
                    if exponential {
                        slip.kind = kind_beside_exponential(&slip);
                    }
                    if let Some(value) = route.replay(line + 1, other) {
                        gathering.add(value, rank, vec![slip]);
                    }
                });
            }
            self.out_of_order(route, &mut gathering);
        }
        for (number, base) in self.bases().into_iter().enumerate() {
            // The form as it is worked out comes before its other forms.
            let later = u8::from(number > 0);
            everywhere(&base, &rules, &mut |found: Rewritten<'_, '_>| {
                let kind = self.kind_at_end(found.rule.kind, found.right, &found.wrong, table);
                gathering.add(
                    found.whole(),
                    found.rule.rank + later,
                    vec![Slip::new(kind, found.right.clone(), found.wrong)],
                );
            });
            self.whole_value(&base, &mut gathering);
        }
        gathering.finish()
    }

    fn gathering<'a>(&'a self, table: &'a SymbolTable) -> Gathering<'a> {
        Gathering::new(&self.places, self.subject, table)
    }

    fn bracket_lines(&self) -> Vec<WrongLine> {
        let shared: Vec<&Rule> = RULES
            .iter()
            .filter(|rule| {
                matches!(
                    rule.kind,
                    SlipKind::MinusNotShared | SlipKind::ExponentBroughtDown
                )
            })
            .collect();
        let mut lines = self.rewritten_formula(&self.formula, &shared);
        // A function dropped from both sides looks like one undone too early.
        for (function, bare) in functions::dropped_everywhere(&self.formula) {
            let slip = Slip::new(
                SlipKind::FunctionAsFactor,
                Expr::call(function, Expr::Symbol(self.subject)),
                Expr::Symbol(self.subject),
            );
            lines.push(WrongLine::new(bare, 12, slip));
        }
        lines.sort_by_key(|line| line.rank);
        lines
    }

    /// The solution in the forms that a student may have had it in.
    fn bases(&self) -> Vec<Expr> {
        let mut found: Vec<Expr> = Vec::new();
        for solution in self.solutions.iter().take(2) {
            let forms = [
                Some(solution.clone()),
                spread(solution),
                combined(solution),
                gathered(solution),
            ];
            for form in forms.into_iter().flatten() {
                if !found.contains(&form) {
                    found.push(form);
                }
            }
        }
        found
    }

    /// What happens to the solution as a whole.
    fn whole_value(&self, base: &Expr, gathering: &mut Gathering<'_>) {
        let table = gathering.table;
        let logs = self.has_exponential();
        let sign = if logs {
            SlipKind::ExponentSignLost
        } else {
            SlipKind::SignNotChanged
        };
        gathering.add_slip(negated(base), if logs { 21 } else { 29 }, sign, base);
        let flips = self.routes.iter().any(|route| {
            route
                .operations
                .iter()
                .any(|operation| matches!(operation, Operation::TakeReciprocals))
        });
        let flip = if flips {
            SlipKind::ReciprocalForgotten
        } else {
            SlipKind::FractionInverted
        };
        gathering.add_slip(inverted(base), 24, flip, base);
        let squared = raised(base, &Number::from(2));
        gathering.add_slip(squared, 27, SlipKind::RootForgotten, base);
        let rooted = raised(base, &Number::new(1, 2));
        gathering.add_slip(rooted, 27, SlipKind::RootForSquare, base);
        for (one, two) in letters::pairs(base, &self.formula, table) {
            let swapped = letters::exchanged(base, one, two);
            gathering.add(
                swapped,
                27,
                vec![Slip::new(
                    SlipKind::SwappedPair,
                    Expr::Symbol(one),
                    Expr::Symbol(two),
                )],
            );
        }
        if letters::is_round(self.subject, &self.formula, table) {
            for factor in [Number::from(2), Number::new(1, 2)] {
                gathering.add(
                    Expr::mul(Expr::Number(factor), base.clone()),
                    24,
                    vec![Slip::new(
                        SlipKind::RadiusDiameter,
                        Expr::Symbol(self.subject),
                        Expr::Symbol(self.subject),
                    )],
                );
            }
        }
        for symbol in base.symbols() {
            if letters::is_round(symbol, &self.formula, table) {
                for factor in [Number::from(2), Number::new(1, 2)] {
                    let used = Expr::mul(Expr::Number(factor), Expr::Symbol(symbol));
                    gathering.add(
                        base.substitute(symbol, &used),
                        24,
                        vec![Slip::new(
                            SlipKind::RadiusDiameter,
                            Expr::Symbol(symbol),
                            used,
                        )],
                    );
                }
            }
            // Another letter of the formula in its place.
            for other in self.formula.symbols() {
                if other != symbol && other != self.subject {
                    let mixed = base.substitute(symbol, &Expr::Symbol(other));
                    let alike = letters::are_alike(symbol, other, table);
                    if !alike && mixed.symbols().len() < 2 {
                        continue;
                    }
                    gathering.add(
                        mixed,
                        if alike { 40 } else { 48 },
                        vec![Slip::new(
                            SlipKind::WrongLetter,
                            Expr::Symbol(symbol),
                            Expr::Symbol(other),
                        )],
                    );
                }
            }
        }
    }

    fn formula_has(&self, mut wanted: impl FnMut(&Expr) -> bool) -> bool {
        self.formula.left.any_node(&mut wanted) || self.formula.right.any_node(&mut wanted)
    }

    fn has_exponential(&self) -> bool {
        self.formula_has(|expr| {
            super::view::exponential(expr).is_some()
                || matches!(expr, Expr::Power(_, exponent) if !super::view::is_numeric(exponent))
        })
    }

    fn squares_a_product(&self) -> bool {
        self.formula_has(|expr| {
            super::view::power(expr).is_some_and(|(base, _)| matches!(base, Expr::Product(_)))
        }) || self.routes.iter().any(|route| {
            route
                .operations
                .iter()
                .any(|operation| matches!(operation, Operation::RaiseToPower(_)))
        })
    }

    /// A rule's kind, told more exactly from where it was misapplied.
    pub(super) fn kind_at_end(
        &self,
        kind: SlipKind,
        right: &Expr,
        wrong: &Expr,
        table: &SymbolTable,
    ) -> SlipKind {
        match kind {
            SlipKind::SwappedPair => {
                let symbols = right.symbols();
                if let [one, two] = symbols[..]
                    && letters::are_alike(one, two, table)
                {
                    SlipKind::SwappedPair
                } else {
                    SlipKind::SignNotChanged
                }
            }
            // ln a / ln b as a/b, where the logarithms undid a power.
            SlipKind::FunctionAsFactor
                if matches!(right, Expr::Product(_))
                    && !self.formula_has(|expr| matches!(expr, Expr::Call(..))) =>
            {
                if self.has_exponential() {
                    SlipKind::ExponentBroughtDown
                } else {
                    SlipKind::InverseFunctionForgotten
                }
            }
            SlipKind::FunctionAsFactor => {
                // A function that the formula does not have came in on the way.
                if let Expr::Call(function, _) = right
                    && !self
                        .formula_has(|expr| matches!(expr, Expr::Call(own, _) if own == function))
                {
                    SlipKind::InverseFunctionForgotten
                } else {
                    kind
                }
            }
            SlipKind::InverseFunctionForgotten => {
                if let Expr::Call(function, _) = right
                    && self
                        .formula_has(|expr| matches!(expr, Expr::Call(own, _) if own == function))
                {
                    SlipKind::FunctionAsFactor
                } else {
                    kind
                }
            }
            SlipKind::ExponentSignLost if !self.has_exponential() => {
                let negation = |expr: &Expr| matches!(expr, Expr::Sum(own) if own.len() == 1);
                if matches!((right, wrong), (Expr::Call(..), Expr::Call(..)))
                    && super::view::exponential(right).is_none()
                    && !self.formula_has(negation)
                {
                    SlipKind::FractionInverted
                } else {
                    SlipKind::SignNotChanged
                }
            }
            SlipKind::ExponentBroughtDown if !self.has_exponential() => {
                SlipKind::InverseFunctionForgotten
            }
            SlipKind::FunctionPartlyTaken => {
                // arcsin(x/A)/w as arcsin(x)/(A w): undone before dividing.
                if let Expr::Call(function, _) = right
                    && !self
                        .formula_has(|expr| matches!(expr, Expr::Call(own, _) if own == function))
                {
                    SlipKind::OrderOfUndoing
                } else {
                    kind_at_start(kind, right)
                }
            }
            // A square of its own was lost, where no bracket was squared.
            SlipKind::OneFactorPowered
                if matches!(right, Expr::Product(_)) && !self.squares_a_product() =>
            {
                SlipKind::SquareLost
            }
            SlipKind::RootForgotten if self.formula_has(|expr| *expr == *right) => {
                SlipKind::SquareLost
            }
            other => other,
        }
    }

    /// Steps done in another order.
    fn out_of_order(&self, route: &Route, gathering: &mut Gathering<'_>) {
        let from = route.replayable;
        let count = route.operations.len();
        if count > 12 {
            return;
        }
        let Some(sides) = route.sides(from) else {
            return;
        };
        for late in from + 1..count {
            for early in from..late {
                let mut order: Vec<usize> = (from..count).collect();
                let moved = order.remove(late - from);
                order.insert(early - from, moved);
                let value = order.iter().try_fold(sides.other.clone(), |side, step| {
                    route.replay_step(*step, &side)
                });
                if let Some(value) = value {
                    // A term taken off too early, or a function undone too
                    // early, is plainly out of order; a factor divided off
                    // too early is told better by what it missed.
                    let rank = match route.operations[late] {
                        Operation::AddToBothSides(_) | Operation::SubtractFromBothSides(_) => 9,
                        Operation::ApplyInverse(_) | Operation::TakeLogarithms(_) => 13,
                        _ => 32,
                    };
                    gathering.add(
                        value,
                        rank,
                        vec![Slip {
                            kind: SlipKind::OrderOfUndoing,
                            right: sides.own.clone(),
                            wrong: sides.other.clone(),
                            operation: Some(route.operations[late].clone()),
                            other_operation: Some(route.operations[early].clone()),
                        }],
                    );
                }
            }
        }
    }

    /// A line with one node of either side wrongly rewritten.
    fn rewritten_formula(&self, source: &Equation, rules: &[&Rule]) -> Vec<WrongLine> {
        let mut lines = Vec::new();
        for left in [true, false] {
            let side = if left { &source.left } else { &source.right };
            everywhere(side, rules, &mut |found| {
                let equation = if left {
                    Equation::new(found.whole(), source.right.clone())
                } else {
                    Equation::new(source.left.clone(), found.whole())
                };
                let kind = kind_at_start(found.rule.kind, found.right);
                lines.push(WrongLine {
                    equation,
                    rank: found.rule.rank,
                    slip: Slip::new(kind, found.right.clone(), found.wrong),
                });
            });
        }
        lines
    }

    /// Wrong lines: mal-rules on the formula, and missteps after which the
    /// steps to come are not those of the path.
    fn wrong_lines(&self, table: &SymbolTable) -> Vec<WrongLine> {
        let mut lines: Vec<WrongLine> = Vec::new();
        let rules: Vec<&Rule> = RULES.iter().filter(|rule| rule.at_start).collect();
        let mut sources = vec![self.formula.clone()];
        if let Some(route) = self.routes.first() {
            // Lines on which terms were gathered or brackets opened are new
            // ground for the mal-rules.
            for (line, operation) in route.operations.iter().enumerate() {
                if matches!(
                    operation,
                    Operation::ExpandBrackets
                        | Operation::FactorOut(_)
                        | Operation::CollectTerms(_)
                        | Operation::CombineFractions
                ) && sources.len() < 4
                {
                    // Brackets are ground before they are opened, the rest
                    // after it was gathered.
                    let at = line + usize::from(*operation != Operation::ExpandBrackets);
                    if !sources.contains(&route.lines[at]) {
                        sources.push(route.lines[at].clone());
                    }
                }
            }
        }
        for source in &sources {
            lines.extend(self.rewritten_formula(source, &rules));
        }
        for equation in missteps::clearing(&self.formula) {
            lines.push(WrongLine::new(
                equation,
                15,
                Slip::new(
                    SlipKind::OneTermMultiplied,
                    self.formula.left.clone(),
                    self.formula.right.clone(),
                ),
            ));
        }
        for symbol in self.formula.symbols() {
            if letters::is_radius(symbol, table) {
                for factor in [Number::from(2), Number::new(1, 2)] {
                    let used = Expr::mul(Expr::Number(factor), Expr::Symbol(symbol));
                    lines.push(WrongLine::new(
                        self.formula.substitute(symbol, &used),
                        24,
                        Slip::new(SlipKind::RadiusDiameter, Expr::Symbol(symbol), used),
                    ));
                }
            }
        }
        for route in &self.routes {
            for line in 0..route.operations.len() {
                let operation = &route.operations[line];
                if line + 1 < route.replayable {
                    missteps_at(route, line, &mut |slip, rank, other| {
                        if let Some(sides) = route.sides(line + 1) {
                            lines.push(WrongLine::new(
                                Equation::new(sides.own.clone(), other),
                                rank,
                                slip,
                            ));
                        }
                    });
                }
                let found =
                    missteps::wrong_lines(&route.lines[line], operation, &route.lines[line + 1]);
                for (kind, rank, equation) in found {
                    let mut slip = Slip::new(
                        kind,
                        route.lines[line].left.clone(),
                        route.lines[line].right.clone(),
                    );
                    slip.operation = Some(operation.clone());
                    lines.push(WrongLine::new(equation, rank, slip));
                }
            }
        }
        // The readily believed ones first, should there be too many.
        lines.sort_by_key(|line| line.rank);
        lines.truncate(MOST_LINES);
        lines
    }

    /// The values to which the steps of the path lead from a wrong side of the
    /// formula.
    fn replayed(&self, table: &SymbolTable) -> Stage {
        let mut gathering = self.gathering(table);
        let Some(route) = self.routes.first().filter(|route| route.replayable == 0) else {
            return gathering.finish();
        };
        let Some(sides) = route.sides(0) else {
            return gathering.finish();
        };
        let rules: Vec<&Rule> = RULES
            .iter()
            .filter(|rule| rule.at_start && rule.pairs)
            .collect();
        everywhere(sides.other, &rules, &mut |found| {
            if let Some(value) = route.replay(0, found.whole()) {
                let kind = kind_at_start(found.rule.kind, found.right);
                let slip = Slip::new(kind, found.right.clone(), found.wrong);
                gathering.add(value, found.rule.rank, vec![slip]);
            }
        });
        gathering.finish()
    }
}

/// What explains an answer: a value that slips lead to, or a wrong line that
/// it satisfies.
enum Found<'s> {
    Candidate(&'s Candidate),
    Line(&'s WrongLine),
}

impl Found<'_> {
    fn explanation(&self) -> Explanation {
        match self {
            Found::Candidate(candidate) => candidate.explanation(),
            Found::Line(line) => Explanation::one(line.slip.clone()),
        }
    }
}

/// The one with the lower rank; the first of two that are equal.
fn best<T>(one: Option<(u8, T)>, two: Option<(u8, T)>) -> Option<(u8, T)> {
    match (one, two) {
        (Some(first), Some(second)) if second.0 < first.0 => Some(second),
        (None, second) => second,
        (first, _) => first,
    }
}

/// A misstep's kind where the formula has an exponential: its sign, or itself
/// taken for its exponent.
fn kind_beside_exponential(slip: &Slip) -> SlipKind {
    match (&slip.operation, slip.kind) {
        (Some(Operation::ChangeSigns), _) => SlipKind::ExponentSignLost,
        (
            Some(Operation::ApplyInverse(Function::Ln) | Operation::TakeLogarithms(_)),
            SlipKind::InverseFunctionForgotten,
        ) if slip.right == slip.wrong => SlipKind::ExponentBroughtDown,
        (_, kind) => kind,
    }
}

/// A rule's kind, told more exactly where it was misapplied to the formula.
fn kind_at_start(kind: SlipKind, right: &Expr) -> SlipKind {
    match (kind, right) {
        // sin(2x) as 2 sin x: as if it were sin times 2x.
        (SlipKind::FunctionPartlyTaken, Expr::Call(_, inside))
            if super::view::terms(inside).len() < 2 =>
        {
            SlipKind::FunctionAsFactor
        }
        // A power of a letter's own, where no bracket was opened.
        (SlipKind::OneFactorPowered, Expr::Product(_)) => SlipKind::SquareLost,
        _ => kind,
    }
}

fn missteps_at(route: &Route, line: usize, emit: &mut dyn FnMut(Slip, u8, Expr)) {
    let Some(sides) = route.sides(line) else {
        return;
    };
    let operation = &route.operations[line];
    let mut found = Vec::new();
    for row in MISSTEPS {
        (row.apply)(operation, sides.other, &mut found);
        for wrong in found.drain(..) {
            let mut slip = Slip::new(row.kind, sides.other.clone(), wrong.clone());
            slip.operation = Some(operation.clone());
            emit(slip, row.rank, wrong);
        }
    }
}
