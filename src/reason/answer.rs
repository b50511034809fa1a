//! Judging a typed line through all of its readings: if the preferred one is
//! wrong and another is right, the line is right and says so.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::normal::Field;
use crate::algebra::symbol::SymbolTable;
use crate::text::readings::{Ambiguity, Reading, Readings};

use super::divisors::{collect_divisors, may_vanish, open_divisors};
use super::equation::{Related, Relation, relate};
use super::rearrangement::Problem;
use super::step::Condition;
use super::verdict::{Judgement, Note, Verdict};

/// The note that a reading other than the preferred one deserves.
#[must_use]
pub fn note_of(ambiguity: Ambiguity) -> Note {
    match ambiguity {
        Ambiguity::Slash | Ambiguity::Fraction => Note::AmbiguousSlash,
        _ => Note::AmbiguousReading,
    }
}

/// The verdict on a typed answer, and the reading that it is about.
#[must_use]
pub fn judge<'r>(
    problem: &Problem,
    readings: &'r Readings,
    table: &SymbolTable,
) -> (Judgement, &'r Reading) {
    let judgement = problem.judge(&readings.preferred.chain, table);
    judge_further(problem, judgement, readings, table)
}

/// [`judge`], the preferred reading having been judged already. Where that
/// one is right the others need not even be read.
#[must_use]
pub fn judge_further<'r>(
    problem: &Problem,
    judgement: Judgement,
    readings: &'r Readings,
    table: &SymbolTable,
) -> (Judgement, &'r Reading) {
    let preferred = &readings.preferred;
    if judgement.is_right() {
        return (judgement, preferred);
    }
    let mut open = None;
    for reading in &readings.others {
        let other = problem.judge(&reading.chain, table);
        if other.is_right() {
            let note = reading.differs.map_or(Note::AmbiguousReading, note_of);
            return (other.with(note), reading);
        }
        if matches!(other.verdict, Verdict::Undecided(_)) && open.is_none() {
            open = Some((other, reading));
        }
    }
    // A reading that can't be decided may be the right one: "wrong" would
    // claim too much.
    match open {
        Some(undecided) if judgement.verdict == Verdict::Wrong => undecided,
        _ => (judgement, preferred),
    }
}

/// Other readings of a given line that someone may well mean: what stands
/// under a slash, and how far an exponent reaches. That `1/2 m` is half of m is
/// nobody's doubt.
pub fn other_formulae(given: &Readings) -> impl Iterator<Item = &Reading> {
    given.others.iter().filter(|reading| {
        matches!(
            reading.differs,
            Some(Ambiguity::Slash | Ambiguity::Exponent)
        )
    })
}

/// The equations of a chain: neighbours in pairs.
#[must_use]
pub fn equations(reading: &Reading) -> Vec<Equation> {
    reading
        .chain
        .windows(2)
        .map(|pair| Equation::new(pair[0].clone(), pair[1].clone()))
        .collect()
}

/// How a typed line stands to the line before, and which readings of the two
/// that is about.
#[derive(Debug, Clone)]
pub struct RelatedLines<'r> {
    /// How they stand to each other.
    pub related: Related,
    /// The line before, as read.
    pub before: &'r Reading,
    /// The line itself, as read.
    pub after: &'r Reading,
    /// Where the two say the same, if not everywhere: what must not be zero
    /// for both to have a value (`y` in `x = y` and `x/y = 1`).
    pub conditions: Vec<Condition>,
}

impl RelatedLines<'_> {
    /// What a reading that is not the preferred one deserves, and where the
    /// relation holds.
    #[must_use]
    pub fn notes(&self) -> Vec<Note> {
        let differs = self.after.differs.or(self.before.differs);
        let needs = self.conditions.iter().cloned().map(Note::Needs);
        differs.map(note_of).into_iter().chain(needs).collect()
    }
}

/// How a typed line stands to the line before, by the first pair of readings
/// that says the same, or else by the preferred ones.
#[must_use]
pub fn relate_lines<'r>(
    before: &'r Readings,
    after: &'r Readings,
    table: &SymbolTable,
) -> RelatedLines<'r> {
    let of = |before: &'r Reading, after: &'r Reading| {
        let related = relate(&equations(before), &equations(after), table);
        let conditions = match related.relation {
            Relation::Same => only_one_divides(&before.chain, &after.chain, table),
            _ => Vec::new(),
        };
        RelatedLines {
            related,
            before,
            after,
            conditions,
        }
    };
    let first = of(&before.preferred, &after.preferred);
    if first.related.relation == Relation::Same {
        return first;
    }
    let given = std::iter::once(&before.preferred).chain(other_formulae(before));
    for (place, earlier) in given.enumerate() {
        for reading in after.all().skip(usize::from(place == 0)) {
            let pair = of(earlier, reading);
            if pair.related.relation == Relation::Same {
                return pair;
            }
        }
    }
    first
}

/// The divisors of one of two lines that may be zero where none of the other
/// line's is.
fn only_one_divides(before: &[Expr], after: &[Expr], table: &SymbolTable) -> Vec<Condition> {
    let mut field = Field::new(table);
    let mut found: Vec<Condition> = Vec::new();
    for (line, other) in [(after, before), (before, after)] {
        let mut own = Vec::new();
        other
            .iter()
            .for_each(|side| collect_divisors(side, &mut own));
        for divisor in open_divisors(line, table) {
            let condition = Condition::NonZero(divisor.clone());
            let open = field.settling(|field| may_vanish(&divisor, &own, field));
            if open != Ok(false) && !found.contains(&condition) {
                found.push(condition);
            }
        }
    }
    found
}
