//! Judging a change of subject. Nothing is compared with a stored answer's
//! form: an answer is right if it gives the subject's value wherever the
//! formula holds.
//!
//! The formula is solved for a *carrier*, another of its symbols. Put into the
//! answer, the carrier's solution must leave the subject itself: then the
//! answer undoes the formula, and so is the only solution. That is proved by
//! normal form. Numbers refute: the subject and the other symbols are chosen,
//! the carrier follows, and the answer must give the chosen subject.

use std::borrow::Cow;
use std::sync::OnceLock;

mod plainest;

use crate::algebra::ball::{self, Ball};
use crate::algebra::certified::NoValue;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::kernel::Failure;
use crate::algebra::limits::Budget;
use crate::algebra::normal::Field;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};

use super::carrier::{Carrier, Point, admissible, inadmissible};
use super::compare::{self, Compared};
use super::defined::is_defined;
use super::divisors::{collect_divisors, may_vanish, open_divisors};
use super::isolate::{Outcome, isolate};
use super::needs;
use super::numerical;
use super::putback::Support;
use super::rounded::with_exact_constants;
use super::solves::proved_within;
use super::step::Condition;
use super::verdict::{Counterexample, Evidence, Judgement, Note, Shown, Undecided, Verdict};

/// Points that an answer must meet before a proof is tried ahead of the rest.
const FIRST_POINTS: usize = 3;
/// Points at which an answer without a proof must agree.
const POINTS_WITHOUT_PROOF: usize = 8;
/// Points at all of which an answer must fail that fails in plain form only.
const ENOUGH_POINTS: usize = 3;
/// Steps of algebra for one proof.
pub(super) const PROOF_STEPS: u64 = 60_000;

/// A formula and the symbol to make its subject, with points that satisfy it.
/// Making one costs more than judging; keep it for the next answer.
#[derive(Debug, Clone)]
pub struct Problem {
    formula: Equation,
    subject: Symbol,
    carrier: Option<Carrier>,
    symbols: Vec<Symbol>,
    points: Vec<Point>,
    /// Points far and wide, if they are kept.
    far: OnceLock<Vec<Point>>,
    keeps_far: bool,
}

/// What an answer is held against.
#[derive(Clone, Copy)]
struct Look<'a> {
    points: &'a [Point],
    /// Symbols of the answer that the formula lacks.
    further: &'a [Symbol],
    carrier: &'a Carrier,
    /// What came of the first proof, if it was tried.
    on_formula: Option<Result<bool, Failure>>,
}

/// What became of one branch of an answer at the points.
#[derive(Default)]
struct Tally<'a> {
    meets: usize,
    other_roots: usize,
    outside: usize,
    undefined: Option<(&'a Point, Shown)>,
}

impl Problem {
    /// Prepares a formula and its subject.
    #[must_use]
    pub fn new(formula: Equation, subject: Symbol, table: &SymbolTable) -> Self {
        let mut symbols = formula.symbols();
        if !symbols.contains(&subject) {
            symbols.push(subject);
        }
        let carrier = if formula.left.contains(subject) || formula.right.contains(subject) {
            Carrier::find(&formula, Some(subject), table)
        } else {
            None
        };
        let points = carrier
            .as_ref()
            .map(|carrier| carrier.points(&symbols, table))
            .unwrap_or_default();
        Problem {
            formula,
            subject,
            carrier,
            symbols,
            points,
            far: OnceLock::new(),
            keeps_far: false,
        }
    }

    /// Keeps the points far and wide, about half a megabyte, once an answer
    /// has needed them: for a caller that will ask again, and
    /// [forgets](Problem::forget_far) them in time.
    #[must_use]
    pub fn keeping_far(mut self) -> Self {
        self.keeps_far = true;
        self
    }

    /// Whether points far and wide are held now.
    #[must_use]
    pub fn holds_far(&self) -> bool {
        self.far.get().is_some()
    }

    /// Lets go of the points far and wide.
    pub fn forget_far(&mut self) {
        self.far = OnceLock::new();
    }

    /// The formula.
    #[must_use]
    pub fn formula(&self) -> &Equation {
        &self.formula
    }

    /// The symbol asked for.
    #[must_use]
    pub fn subject(&self) -> Symbol {
        self.subject
    }

    /// Points that satisfy the formula, the most pleasant first.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The formula solved for one symbol, if that was possible.
    #[must_use]
    pub fn carrier(&self) -> Option<&Carrier> {
        self.carrier.as_ref()
    }

    /// Judges an equation, or a bare expression for the subject, as answer.
    #[must_use]
    pub fn judge(&self, answer: &[Expr], table: &SymbolTable) -> Judgement {
        let subject = Expr::Symbol(self.subject);
        match answer {
            [value] if !value.contains(self.subject) => self.judge_value(value, table),
            [left, right] if *left == subject && !right.contains(self.subject) => {
                self.judge_value(right, table)
            }
            [left, right] if *right == subject && !left.contains(self.subject) => {
                self.judge_value(left, table)
            }
            sides if sides.len() > 1 && self.is_chain_of_values(sides) => {
                self.judge_chain(sides, table)
            }
            sides => self.judge_not_isolated(sides, table),
        }
    }

    /// Whether the members of a chain are the subject alone or free of it, at
    /// least one of them free: `a = (v - u)/t = v/t - u/t`.
    fn is_chain_of_values(&self, sides: &[Expr]) -> bool {
        let subject = Expr::Symbol(self.subject);
        let values = || sides.iter().filter(|side| **side != subject);
        // A quantity of the formula made the subject by mistake is no chain.
        let is_other = |side: &Expr| match side {
            Expr::Symbol(other) => self.symbols.contains(other),
            _ => false,
        };
        let named = values().count() < sides.len();
        values().count() > 0
            && values().all(|side| !side.contains(self.subject))
            && (named || !sides.iter().any(is_other))
    }

    /// Judges every member of a chain: each must be the subject's value.
    fn judge_chain(&self, sides: &[Expr], table: &SymbolTable) -> Judgement {
        let subject = Expr::Symbol(self.subject);
        let mut whole: Option<Judgement> = None;
        for value in sides.iter().filter(|side| **side != subject) {
            let own = self.judge_value(value, table);
            if own.verdict == Verdict::Wrong {
                return own;
            }
            whole = Some(match whole {
                None => own,
                Some(so_far) => so_far.weaker(own),
            });
        }
        whole.unwrap_or_else(|| Judgement::undecided(Undecided::Open))
    }

    /// Judges an expression that is said to equal the subject.
    #[must_use]
    pub fn judge_value(&self, value: &Expr, table: &SymbolTable) -> Judgement {
        let judgement = self.judge_plain(value, table);
        if judgement.verdict != Verdict::Wrong {
            return judgement;
        }
        let further = self.further_symbols(value);
        if !further.is_empty() {
            return judgement.with(Note::WrongLetter);
        }
        if let Some(mended) = with_exact_constants(value)
            && self.judge_plain(&mended, table).is_right()
        {
            return judgement.with(Note::RoundedConstant);
        }
        if !self.fits(value) {
            return judgement;
        }
        // Such an answer satisfies the formula and only leaves the subject's
        // domain at some values.
        if self.is_one_solution(value, table) {
            return Judgement::new(Verdict::Right, Some(Evidence::Proof)).with(Note::OneRootOnly);
        }
        match self.right_in_part(value, table) {
            Some(note) => judgement.with(note),
            None => judgement,
        }
    }

    /// Whether an answer put into the formula satisfies it at every point at
    /// which both have values.
    fn fits(&self, value: &Expr) -> bool {
        let put_in = self.formula.substitute(self.subject, value);
        !self.points.iter().any(|point| {
            matches!(
                compare::quickly(&put_in.left, &put_in.right, point),
                Compared::Differ(..)
            )
        })
    }

    /// Whether an answer is one of several solutions that solving the formula
    /// by the usual steps gives: `arcsin(x/A)/ω` for the time in
    /// `x = A sin(ωt)`, which the next period's times satisfy as well.
    fn is_one_solution(&self, value: &Expr, table: &SymbolTable) -> bool {
        // A root that the subject can never be is none: `-sqrt(2E/m)` for a
        // positive speed.
        let domain = table.domain(self.subject);
        let can_be = |point: &Point| {
            ball::evaluate(value, &point.balls).is_ok_and(|got| admissible(got, domain))
        };
        if !self.points.iter().any(can_be) {
            return false;
        }
        let Outcome::Solved {
            solutions,
            complete,
            ..
        } = isolate(&self.formula, self.subject, table)
        else {
            return false;
        };
        // Proof that the answer is a root is worth no more than the proof
        // that the root satisfies the formula.
        let roots: Vec<Expr> = solutions
            .iter()
            .filter(|solution| solution.support == Support::Proved)
            .flat_map(|solution| solution.value.branches())
            .collect();
        (solutions.len() > 1 || roots.len() > 1 || !complete)
            && roots
                .iter()
                .any(|root| proved_within(root, value, table) == Ok(true))
    }

    /// What must be positive for a wrong answer to be right: `x` in
    /// `ω = sqrt(2E/m)/x`, where a displacement may be negative.
    fn right_in_part(&self, value: &Expr, table: &SymbolTable) -> Option<Note> {
        let mut real = self.symbols.clone();
        real.retain(|symbol| *symbol != self.subject && table.domain(*symbol) == Domain::Real);
        if real.is_empty() {
            return None;
        }
        let mut narrowed = table.clone();
        for symbol in &real {
            narrowed.set_domain(*symbol, Domain::Positive);
        }
        Problem::new(self.formula.clone(), self.subject, &narrowed)
            .judge_plain(value, &narrowed)
            .is_right()
            .then_some(Note::RightWherePositive(real))
    }

    fn further_symbols(&self, value: &Expr) -> Vec<Symbol> {
        let mut further = value.symbols();
        further.retain(|symbol| !self.symbols.contains(symbol));
        further
    }

    fn judge_plain(&self, value: &Expr, table: &SymbolTable) -> Judgement {
        let Some(carrier) = &self.carrier else {
            return Judgement::undecided(Undecided::NoCarrier);
        };
        if self.points.is_empty() {
            return Judgement::undecided(Undecided::NoPoints);
        }
        let further = self.further_symbols(value);
        let extended: Vec<Point>;
        let points: &[Point] = if further.is_empty() {
            &self.points
        } else {
            extended = self
                .points
                .iter()
                .enumerate()
                .map(|(number, point)| point.extended(&further, number, table))
                .collect();
            &extended
        };
        // An answer that is proved and has a value everywhere meets every
        // point and needs nothing, so that nothing else need be looked at.
        let on_formula = (further.is_empty()
            && carrier.complete
            && carrier.symbol != self.subject
            && !value.has_doubled_sign()
            && is_defined(value, table)
            && self.meets_first(value))
        .then(|| self.prove_on_formula(value, carrier, table));
        if on_formula == Some(Ok(true)) {
            return Judgement::new(Verdict::Right, Some(Evidence::Proof));
        }
        let branches = value.branches();
        let mut tallies = Vec::with_capacity(branches.len());
        for branch in &branches {
            match self.tally(branch, points, &further, branches.len() > 1, table) {
                Ok(tally) => tallies.push(tally),
                Err(counterexample) => {
                    return Judgement::new(
                        Verdict::Wrong,
                        Some(Evidence::Counterexample(counterexample)),
                    );
                }
            }
        }
        // Another root where only one is asked for: look far and wide for a
        // point at which it is no root of the domain.
        if table.domain(self.subject) != Domain::Real
            && tallies.iter().any(|tally| tally.other_roots > 0)
        {
            let far = self.far_points(carrier, &further, table);
            for branch in &branches {
                if let Err(found) = self.tally(branch, &far, &further, branches.len() > 1, table) {
                    return Judgement::new(Verdict::Wrong, Some(Evidence::Counterexample(found)));
                }
            }
        }
        // A branch whose every value lies outside the subject's domain says
        // nothing; the others must carry the answer.
        let inside: Vec<usize> = (0..branches.len())
            .filter(|index| {
                let tally = &tallies[*index];
                tally.meets + tally.other_roots > 0 || tally.outside == 0
            })
            .collect();
        let mut notes = Vec::new();
        if inside.len() < branches.len() {
            notes.push(Note::RootOutsideDomain);
        }
        if branches.len() > 1
            && let Some(missed) = self.missed_by_all(&branches, points, table)
        {
            return Judgement::new(
                Verdict::Wrong,
                Some(Evidence::Counterexample(Box::new(missed))),
            );
        }
        if inside.is_empty() {
            return Judgement::undecided(Undecided::Open);
        }
        let mut weakest = Evidence::Proof;
        for index in &inside {
            let tally = &tallies[*index];
            let look = Look {
                points,
                further: &further,
                carrier,
                on_formula,
            };
            match self.settle(&branches[*index], tally, look, table) {
                Ok(Evidence::Proof) => {}
                Ok(evidence) => weakest = evidence,
                Err(judgement) => return *judgement,
            }
            if tally.undefined.is_some() && branches.len() == 1 {
                notes.push(Note::UndefinedSomewhere);
            }
            if tally.other_roots > 0 && branches.len() == 1 {
                notes.push(Note::OneRootOnly);
            }
        }
        notes.extend(
            self.vanishing_divisors(value, carrier, table)
                .into_iter()
                .map(|divisor| Note::Needs(Condition::NonZero(divisor))),
        );
        if branches.len() == 1 {
            for note in self.open_needs(value, points, &further, carrier, table) {
                if !notes.contains(&note) {
                    notes.push(note);
                }
            }
        }
        Judgement {
            verdict: Verdict::Right,
            evidence: Some(weakest),
            notes,
        }
    }

    /// What an answer needs to have a value and the formula does not ensure:
    /// the condition, or that there are values at which it fails.
    fn open_needs(
        &self,
        value: &Expr,
        points: &[Point],
        further: &[Symbol],
        carrier: &Carrier,
        table: &SymbolTable,
    ) -> Vec<Note> {
        let mut open = needs::needs(value, table);
        open.retain(|need| !needs::is_met(need, table));
        open.retain(|need| !needs::is_met_on(need, carrier, table));
        if open.is_empty() {
            return Vec::new();
        }
        let mut own = needs::needs(&self.formula.left, table);
        own.extend(needs::needs(&self.formula.right, table));
        open.retain(|need| !own.iter().any(|own| needs::is_ensured_by(need, own, table)));
        if open.is_empty() {
            return Vec::new();
        }
        let fails_at = |point: &Point| open.iter().any(|need| needs::fails(need, point));
        if points.iter().any(fails_at) || self.far_any(carrier, further, table, fails_at) {
            return vec![Note::UndefinedSomewhere];
        }
        open.into_iter().map(Note::Needs).collect()
    }

    /// Points of the formula far and wide, with values for further symbols.
    fn far_points<'a>(
        &'a self,
        carrier: &Carrier,
        further: &[Symbol],
        table: &SymbolTable,
    ) -> Cow<'a, [Point]> {
        let made = || carrier.further_points(&self.symbols, table);
        if !further.is_empty() {
            let extended = |(number, point): (usize, Point)| point.extended(further, number, table);
            return Cow::Owned(made().enumerate().map(extended).collect());
        }
        if self.keeps_far {
            return Cow::Borrowed(self.far.get_or_init(|| made().collect()));
        }
        Cow::Owned(made().collect())
    }

    /// Whether something holds at a point far and wide; none is made beyond
    /// the first at which it does.
    fn far_any(
        &self,
        carrier: &Carrier,
        further: &[Symbol],
        table: &SymbolTable,
        holds: impl Fn(&Point) -> bool,
    ) -> bool {
        if self.keeps_far && further.is_empty() {
            return self.far_points(carrier, further, table).iter().any(holds);
        }
        carrier
            .further_points(&self.symbols, table)
            .enumerate()
            .any(|(number, point)| holds(&point.extended(further, number, table)))
    }

    /// Whether a value meets the subject's at the first points, as far as
    /// doubles tell.
    fn meets_first(&self, value: &Expr) -> bool {
        self.points.iter().take(FIRST_POINTS).all(|point| {
            let expected = point.balls[self.subject.index()];
            matches!(
                compare::against(expected, value, point),
                Compared::Meet(_) | Compared::Same
            )
        })
    }

    /// Holds one branch of an answer against the points; an error is a
    /// certain counterexample.
    fn tally<'a>(
        &self,
        value: &Expr,
        points: &'a [Point],
        further: &[Symbol],
        several: bool,
        table: &SymbolTable,
    ) -> Result<Tally<'a>, Box<Counterexample>> {
        let mut tally = Tally::default();
        let domain = table.domain(self.subject);
        for point in points {
            let expected = point.balls[self.subject.index()];
            match compare::against(expected, value, point) {
                Compared::Meet(_) | Compared::Same => tally.meets += 1,
                Compared::Undefined(expected) => {
                    if tally.undefined.is_none() {
                        tally.undefined = Some((point, expected));
                    }
                }
                Compared::Unsure => {}
                Compared::Differ(..) => {
                    let Ok(got) = compare::ball(value, point) else {
                        continue;
                    };
                    let outside = inadmissible(got, domain);
                    if outside && several {
                        tally.outside += 1;
                        continue;
                    }
                    if outside || self.is_no_root(point, got) {
                        let found = self.counterexample(point, further, Some(value));
                        return Err(Box::new(
                            self.plainest(found, value, points, further, table),
                        ));
                    }
                    if admissible(got, domain) && self.may_be_root(point, got) {
                        tally.other_roots += 1;
                    }
                }
            }
        }
        Ok(tally)
    }

    /// Both sides of the formula with this value of the subject.
    fn sides(&self, point: &Point, subject: Ball) -> [Result<Ball, NoValue>; 2] {
        let mut balls = point.balls.clone();
        balls[self.subject.index()] = subject;
        [
            ball::evaluate(&self.formula.left, &balls),
            ball::evaluate(&self.formula.right, &balls),
        ]
    }

    /// Whether the formula certainly fails with this value of the subject.
    fn is_no_root(&self, point: &Point, subject: Ball) -> bool {
        match self.sides(point, subject) {
            [Ok(left), Ok(right)] => left.differs_from(right),
            [Err(NoValue::Undefined), _] | [_, Err(NoValue::Undefined)] => true,
            _ => false,
        }
    }

    /// Whether both sides of the formula have values that meet.
    fn may_be_root(&self, point: &Point, subject: Ball) -> bool {
        match self.sides(point, subject) {
            [Ok(left), Ok(right)] => !left.differs_from(right),
            _ => false,
        }
    }

    /// A point at which no branch of an answer with a doubled sign gives the
    /// subject's value.
    fn missed_by_all(
        &self,
        branches: &[Expr],
        points: &[Point],
        table: &SymbolTable,
    ) -> Option<Counterexample> {
        points
            .iter()
            .find(|point| {
                let expected = point.balls[self.subject.index()];
                branches
                    .iter()
                    .all(|branch| match compare::against(expected, branch, point) {
                        Compared::Differ(..) => compare::ball(branch, point).is_ok_and(|got| {
                            inadmissible(got, table.domain(self.subject))
                                || self.is_no_root(point, got)
                        }),
                        Compared::Undefined(_) => true,
                        _ => false,
                    })
            })
            .map(|point| self.counterexample(point, &[], branches.first()))
    }

    fn counterexample(
        &self,
        point: &Point,
        further: &[Symbol],
        value: Option<&Expr>,
    ) -> Counterexample {
        Counterexample {
            values: self
                .symbols
                .iter()
                .chain(further)
                .filter(|symbol| **symbol != self.subject)
                .map(|symbol| (*symbol, point.shown(*symbol)))
                .collect(),
            expected: point.shown(self.subject),
            got: value.and_then(|value| compare::shown(value, point)),
        }
    }

    /// A branch that no double refutes: proved, refuted by exact or long
    /// numbers, or numerically right.
    fn settle(
        &self,
        value: &Expr,
        tally: &Tally<'_>,
        look: Look<'_>,
        table: &SymbolTable,
    ) -> Result<Evidence, Box<Judgement>> {
        let Look {
            points,
            further,
            carrier,
            on_formula,
        } = look;
        let proof = self.prove(value, carrier, on_formula, table);
        if proof == Ok(true) && tally.meets + tally.other_roots > 0 {
            return Ok(Evidence::Proof);
        }
        let subject = Expr::Symbol(self.subject);
        let put_in = self.formula.substitute(self.subject, value);
        let mut agreed = 0;
        let mut digits = 99;
        for point in points {
            match compare::thoroughly(&subject, value, point, carrier) {
                Compared::Differ(..) => {
                    // The value differs from the one root; it must be no
                    // other root either.
                    match compare::thoroughly(&put_in.left, &put_in.right, point, carrier) {
                        Compared::Differ(..) => {
                            let found = self.counterexample(point, further, Some(value));
                            return Err(Box::new(Judgement::new(
                                Verdict::Wrong,
                                Some(Evidence::Counterexample(Box::new(found))),
                            )));
                        }
                        Compared::Same => agreed += 1,
                        Compared::Meet(own) => {
                            agreed += 1;
                            digits = digits.min(own);
                        }
                        Compared::Undefined(_) | Compared::Unsure => {}
                    }
                }
                Compared::Same => agreed += 1,
                Compared::Meet(own) => {
                    agreed += 1;
                    digits = digits.min(own);
                }
                Compared::Undefined(_) | Compared::Unsure => {}
            }
        }
        // Without a proof: far and wide, before agreement counts.
        if agreed >= POINTS_WITHOUT_PROOF && digits >= 30 {
            let far = self.far_points(carrier, further, table);
            if let Err(found) = self.tally(value, &far, further, false, table) {
                return Err(Box::new(Judgement::new(
                    Verdict::Wrong,
                    Some(Evidence::Counterexample(found)),
                )));
            }
            // Doubles near 0/0 agree with anything.
            if plain(value, table) == Err(Failure::Undefined) {
                let found = self.counterexample(&points[0], further, None);
                return Err(Box::new(Judgement::new(
                    Verdict::Wrong,
                    Some(Evidence::Counterexample(Box::new(found))),
                )));
            }
            if !numerical::counts(&Expr::sub(subject, value.clone()), &far, table) {
                return Err(Box::new(Judgement::undecided(Undecided::Open)));
            }
            return Ok(Evidence::Numerical {
                points: agreed,
                digits,
            });
        }
        if agreed == 0
            && tally.meets == 0
            && let Some((point, expected)) = &tally.undefined
        {
            let mut found = self.counterexample(point, further, None);
            found.expected = expected.clone();
            return Err(Box::new(Judgement::new(
                Verdict::Wrong,
                Some(Evidence::Counterexample(Box::new(found))),
            )));
        }
        if agreed == 0
            && let Some(found) = self
                .refuted_in_plain(value, points, further, table)
                .or_else(|| self.undefined_within(value, points, further, carrier, table))
        {
            return Err(Box::new(Judgement::new(
                Verdict::Wrong,
                Some(Evidence::Counterexample(Box::new(found))),
            )));
        }
        Err(Box::new(Judgement::undecided(match proof {
            Err(Failure::Exceeded(limit)) => Undecided::Limit(limit),
            _ => Undecided::Open,
        })))
    }

    /// An answer that doubles alone can't tell from a right one, say for a
    /// root of zero: algebra makes it plain, and then numbers refute it. The
    /// plain form has the answer's value wherever the answer has one.
    fn refuted_in_plain(
        &self,
        value: &Expr,
        points: &[Point],
        further: &[Symbol],
        table: &SymbolTable,
    ) -> Option<Counterexample> {
        if points.len() < ENOUGH_POINTS {
            return None;
        }
        let own = match plain(value, table) {
            Ok(own) => own,
            Err(Failure::Undefined) => {
                return Some(self.counterexample(&points[0], further, None));
            }
            Err(_) => return None,
        };
        let domain = table.domain(self.subject);
        let put_in = self.formula.substitute(self.subject, value);
        let rest = plain(&put_in.difference(), table);
        let falls = |point: &Point| {
            compare::ball(&own, point)
                .is_ok_and(|got| inadmissible(got, domain) || self.is_no_root(point, got))
                || rest
                    .as_ref()
                    .is_ok_and(|rest| compare::ball(rest, point).is_ok_and(Ball::is_nonzero))
        };
        points
            .iter()
            .all(falls)
            .then(|| self.counterexample(&points[0], further, Some(&own)))
    }

    /// An answer that leaves the formula without a value wherever it is put
    /// in: algebra sees a division by zero that doubles only come near to.
    fn undefined_within(
        &self,
        value: &Expr,
        points: &[Point],
        further: &[Symbol],
        carrier: &Carrier,
        table: &SymbolTable,
    ) -> Option<Counterexample> {
        let put_in = self.formula.substitute(self.subject, value);
        let nowhere = [&put_in.left, &put_in.right].into_iter().any(|side| {
            carrier.branches.iter().all(|branch| {
                let side = side.substitute(carrier.symbol, branch);
                let mut field = Field::with_budget(table, Budget::new(PROOF_STEPS));
                field.settling(|field| field.normalise(&side)) == Err(Failure::Undefined)
            })
        });
        if !nowhere || carrier.symbol == self.subject {
            return None;
        }
        points
            .iter()
            .find(|point| {
                let expected = point.balls[self.subject.index()];
                matches!(
                    compare::against(expected, value, point),
                    Compared::Differ(..)
                )
            })
            .map(|point| self.counterexample(point, further, Some(value)))
    }

    /// Divisors of an answer that may be zero where the formula holds.
    fn vanishing_divisors(
        &self,
        value: &Expr,
        carrier: &Carrier,
        table: &SymbolTable,
    ) -> Vec<Expr> {
        let mut found = open_divisors([value], table);
        if found.is_empty() {
            return found;
        }
        let mut own = Vec::new();
        collect_divisors(&self.formula.left, &mut own);
        collect_divisors(&self.formula.right, &mut own);
        found.retain(|divisor| {
            carrier.branches.iter().any(|branch| {
                let mut field = Field::with_budget(table, Budget::new(PROOF_STEPS));
                let on_formula = |expr: &Expr| expr.substitute(carrier.symbol, branch);
                let divisor = on_formula(divisor);
                let own: Vec<Expr> = own.iter().map(on_formula).collect();
                field
                    .settling(|field| may_vanish(&divisor, &own, field))
                    .unwrap_or(true)
            })
        });
        found
    }

    /// An answer that does not have the subject alone on one side: wrong as
    /// an answer, with numbers if it is false as well.
    fn judge_not_isolated(&self, sides: &[Expr], table: &SymbolTable) -> Judgement {
        let note = match sides {
            [Expr::Symbol(other), right]
                if *other != self.subject
                    && self.symbols.contains(other)
                    && !right.contains(*other) =>
            {
                Note::WrongSubject
            }
            [Expr::Symbol(other), _] | [_, Expr::Symbol(other)]
                if !self.symbols.contains(other) =>
            {
                Note::WrongLetter
            }
            _ => Note::NotIsolated,
        };
        for pair in sides.windows(2) {
            if pair.iter().any(Expr::has_doubled_sign) {
                continue;
            }
            if let Some(found) = self.false_at(&pair[0], &pair[1], table) {
                return Judgement::new(
                    Verdict::Wrong,
                    Some(Evidence::Counterexample(Box::new(found))),
                )
                .with(note);
            }
        }
        if sides.len() == 1 {
            // A bare expression with the subject in it.
            let subject = Expr::Symbol(self.subject);
            if let Some(found) = self.false_at(&subject, &sides[0], table) {
                return Judgement::new(
                    Verdict::Wrong,
                    Some(Evidence::Counterexample(Box::new(found))),
                )
                .with(note);
            }
        }
        Judgement::new(Verdict::Wrong, None).with(note)
    }

    /// A point of the formula at which two sides certainly differ.
    pub(super) fn false_at(
        &self,
        left: &Expr,
        right: &Expr,
        table: &SymbolTable,
    ) -> Option<Counterexample> {
        let mut further = left.symbols();
        right.collect_symbols(&mut further);
        further.retain(|symbol| !self.symbols.contains(symbol));
        for (number, point) in self.points.iter().enumerate() {
            let point = point.extended(&further, number, table);
            if let Compared::Differ(expected, got) = compare::quickly(left, right, &point) {
                return Some(Counterexample {
                    values: self
                        .symbols
                        .iter()
                        .chain(&further)
                        .map(|symbol| (*symbol, point.shown(*symbol)))
                        .collect(),
                    expected: compare::shown(left, &point).unwrap_or(expected),
                    got: Some(compare::shown(right, &point).unwrap_or(got)),
                });
            }
        }
        None
    }
}

/// The expression in its normal form, as a tree.
fn plain(expr: &Expr, table: &SymbolTable) -> Result<Expr, Failure> {
    let mut field = Field::with_budget(table, Budget::new(PROOF_STEPS));
    let normal = field.settling(|field| field.normalise(expr))?;
    Ok(field.tree(&normal))
}
