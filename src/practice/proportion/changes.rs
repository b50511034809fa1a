//! Which changes a formula can be asked about: those from which a neat factor
//! comes, for quantities that can change alone.

use crate::algebra::number::Number;
use crate::algebra::symbol::{Domain, Symbol};
use crate::physics::formulary::{Formula, Topic};
use crate::practice::seed::SplitMix;
use crate::reason::proportion::{Power, by_shape, exact_power};

/// What quantities are multiplied by, before a root is thought of.
const SCALES: [(i64, i64); 6] = [(2, 1), (1, 2), (3, 1), (1, 3), (3, 2), (4, 1)];
/// The same where two change at once, or a root comes in.
const PLAIN_SCALES: usize = 4;
/// A neat factor is a whole number or one over it, up to this ...
const LARGEST_WHOLE: i64 = 100;
/// ... or a fraction of numbers up to this.
const LARGEST_PART: i64 = 32;

/// The largest power that is asked about: two to it is a neat factor.
const STEEPEST: i64 = 6;

/// What is changed, and what is asked for, in a topic's symbols.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What is asked for.
    pub subject: Symbol,
    /// What is changed, each with what it is multiplied by.
    pub scales: Vec<(Symbol, Number)>,
}

/// How one quantity of a formula follows the others.
struct Law {
    subject: Symbol,
    powers: Vec<Power>,
}

impl Law {
    fn is_bent(&self) -> bool {
        self.powers.iter().any(Power::is_bent)
    }
}

/// Quantities of which one decides the other by a formula of the topic, both
/// ways round: the speed and its Lorentz factor. One can't change while the
/// other stays.
#[derive(Debug, Clone)]
pub struct Ties(Vec<(Symbol, Symbol)>);

impl Ties {
    /// Those of a topic.
    #[must_use]
    pub fn of(topic: &Topic) -> Self {
        let mut found = Vec::new();
        for formula in &topic.formulae {
            if let [one, other] = topic.subjects(formula)[..] {
                found.extend([(one, other), (other, one)]);
            }
        }
        Ties(found)
    }

    /// Whether two letters of a formula can change while the others stay.
    fn leave(&self, symbols: &[Symbol], one: Symbol, other: Symbol) -> bool {
        // The two themselves, by another formula than the one of these symbols.
        if symbols.len() > 2 && self.0.contains(&(one, other)) {
            return false;
        }
        !symbols.iter().any(|held| {
            let third = *held != one && *held != other;
            third && (self.0.contains(&(one, *held)) || self.0.contains(&(other, *held)))
        })
    }
}

/// The laws of a formula, that of its own subject first. Only what its shape
/// shows, which is quickly seen.
fn laws<'f>(
    topic: &'f Topic,
    formula: &'f Formula,
    ties: &'f Ties,
) -> impl Iterator<Item = Law> + 'f {
    let mut subjects = topic.subjects(formula);
    if let Some(own) = formula.own_subject()
        && let Some(place) = subjects.iter().position(|symbol| *symbol == own)
    {
        subjects[..=place].rotate_right(1);
    }
    let table = topic.vocabulary.table();
    let symbols = formula.equation.symbols();
    let changing = subjects.clone();
    subjects.into_iter().filter_map(move |subject| {
        if table.domain(subject) == Domain::Acute {
            return None;
        }
        let powers: Vec<Power> = changing
            .iter()
            .filter(|varied| may_change(topic, **varied))
            .filter(|varied| ties.leave(&symbols, subject, **varied))
            .filter_map(|&varied| {
                let exponent = by_shape(&formula.equation, subject, varied, table)?;
                let over = exponent.numerator().abs().to_i64()?;
                let under = exponent.denominator().to_i64()?;
                (over <= STEEPEST && under <= STEEPEST).then_some(Power { varied, exponent })
            })
            .collect();
        (!powers.is_empty()).then_some(Law { subject, powers })
    })
}

/// Whether a formula can be asked about.
#[must_use]
pub fn is_askable(topic: &Topic, formula: &Formula, ties: &Ties) -> bool {
    laws(topic, formula, ties).next().is_some()
}

/// Whether a quantity can be doubled: no constant, no angle, no ratio (an
/// efficiency has its bounds), no temperature of a scale with a zero of its
/// own.
fn may_change(topic: &Topic, symbol: Symbol) -> bool {
    let acute = topic.vocabulary.table().domain(symbol) == Domain::Acute;
    if acute || topic.constant(symbol).is_some() {
        return false;
    }
    match topic.quantity(symbol).and_then(|own| own.unit.as_ref()) {
        Some(unit) => !unit.celsius && (!unit.dimension.is_none() || is_number(topic, symbol)),
        None => true,
    }
}

/// Whether it counts things, so that it has no halves.
fn is_number(topic: &Topic, symbol: Symbol) -> bool {
    topic.quantity(symbol).is_some_and(|own| {
        let name = own.name.to_lowercase();
        let plain = own.unit.as_ref().is_none_or(|unit| unit.text == "1");
        plain && name.split_whitespace().any(|word| word == "number")
    })
}

/// Marks that a question about a formula is worth: one, and one more where a
/// power or a root comes in; nothing if there is no such question.
#[must_use]
pub fn worth(topic: &Topic, formula: &Formula) -> Option<usize> {
    let ties = Ties::of(topic);
    let laws: Vec<Law> = laws(topic, formula, &ties).collect();
    (!laws.is_empty()).then(|| 1 + usize::from(laws.iter().any(Law::is_bent)))
}

/// The change that is asked about at an item's turn: another one at the next.
/// The seed is the item's.
#[must_use]
pub fn of_turn(topic: &Topic, formula: &Formula, seed: u64, turn: u64) -> Option<Change> {
    let ties = Ties::of(topic);
    let laws: Vec<Law> = laws(topic, formula, &ties).collect();
    let bent = laws.iter().any(Law::is_bent);
    let (first, others) = laws.split_first()?;
    // One change, two at once, the question turned round.
    let mut ways = [
        single(topic, first, bent),
        double(topic, first, bent),
        others
            .iter()
            .flat_map(|law| single(topic, law, bent))
            .collect(),
    ];
    let mut random = SplitMix::new(seed);
    for way in &mut ways {
        random.shuffle(way);
    }
    let mut ways: Vec<Vec<Change>> = ways.into_iter().filter(|way| !way.is_empty()).collect();
    let count = u64::try_from(ways.len()).ok().filter(|count| *count > 0)?;
    let way = &mut ways[usize::try_from(turn % count).ok()?];
    let place = (turn / count) % u64::try_from(way.len()).ok()?;
    Some(way.swap_remove(usize::try_from(place).ok()?))
}

fn single(topic: &Topic, law: &Law, bent: bool) -> Vec<Change> {
    let mut found = Vec::new();
    for power in law.powers.iter().filter(|power| power.is_bent() == bent) {
        for scale in scales(topic, power, SCALES.len()) {
            if exact_power(&scale, &power.exponent).is_some_and(|factor| is_neat(&factor)) {
                found.push(Change {
                    subject: law.subject,
                    scales: vec![(power.varied, scale)],
                });
            }
        }
    }
    found
}

fn double(topic: &Topic, law: &Law, bent: bool) -> Vec<Change> {
    let mut found = Vec::new();
    for (at, first) in law.powers.iter().enumerate() {
        for second in &law.powers[at + 1..] {
            if bent != (first.is_bent() || second.is_bent()) {
                continue;
            }
            for one in scales(topic, first, PLAIN_SCALES) {
                for other in scales(topic, second, PLAIN_SCALES) {
                    let factor = exact_power(&one, &first.exponent)
                        .zip(exact_power(&other, &second.exponent))
                        .map(|(one, other)| &one * &other);
                    if factor.is_some_and(|factor| is_neat(&factor)) {
                        let one = (first.varied, one.clone());
                        found.push(Change {
                            subject: law.subject,
                            scales: vec![one, (second.varied, other)],
                        });
                    }
                }
            }
        }
    }
    found
}

/// What a quantity can be multiplied by so that its root comes out.
fn scales(topic: &Topic, power: &Power, most: usize) -> Vec<Number> {
    let under = power.exponent.denominator().to_i64().unwrap_or(1);
    let most = if under == 1 { most } else { PLAIN_SCALES };
    let whole = is_number(topic, power.varied);
    SCALES[..most]
        .iter()
        .filter_map(|&(over, part)| Number::new(over, part).pow(under).ok())
        .filter(|scale| !whole || scale.is_integer())
        .collect()
}

fn is_neat(factor: &Number) -> bool {
    let Some((over, under)) = factor.to_i64_pair() else {
        return false;
    };
    let most = over.max(under);
    most <= LARGEST_PART || (over.min(under) == 1 && most <= LARGEST_WHOLE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;

    fn turns(sheet: &str, count: u64) -> Vec<String> {
        let formulary = Formulary::from_text("t.sheet", sheet);
        assert!(formulary.faults.iter().all(|fault| fault.kind.is_remark()));
        let topic = &formulary.topics[0];
        let table = topic.vocabulary.table();
        (0..count)
            .filter_map(|turn| of_turn(topic, &topic.formulae[0], 5, turn))
            .map(|change| {
                let scales = change
                    .scales
                    .iter()
                    .map(|(symbol, scale)| format!("{}×{scale}", table.name(*symbol)));
                let scales: Vec<String> = scales.collect();
                format!("{} {}", table.name(change.subject), scales.join(" "))
            })
            .collect()
    }

    fn marks(sheet: &str) -> Option<usize> {
        let formulary = Formulary::from_text("t.sheet", sheet);
        worth(&formulary.topics[0], &formulary.topics[0].formulae[0])
    }

    #[test]
    fn one_mark_and_one_more_for_a_power() {
        for (formula, expected) in [
            ("V = I R", Some(1)),
            ("v = f λ", Some(1)),
            ("E = 1/2 m v^2", Some(2)),
            ("T = 2 π sqrt(l/g)", Some(2)),
            ("v = u + a t", None),
            ("1/f = 1/u + 1/v", None),
            ("x = sin y", None),
            ("x = y^6", Some(2)),
            ("x = y^7", None),
        ] {
            assert_eq!(
                marks(&format!("topic t\n{formula}\n")),
                expected,
                "{formula}"
            );
        }
    }

    #[test]
    fn other_changes_at_every_turn() {
        let sheet = "topic t\nF = G M m/r^2\n";
        let asked = turns(sheet, 30);
        assert_eq!(asked, turns(sheet, 30));
        for pair in asked.windows(2) {
            assert_ne!(pair[0], pair[1]);
        }
        let mut different = asked.clone();
        different.sort();
        different.dedup();
        assert!(different.len() > 20, "{different:?}");
        // One change first, and every question has the square in it.
        assert_eq!(asked[0].matches('×').count(), 1);
        assert_eq!(asked[1].matches('×').count(), 2);
        for one in &asked {
            assert!(one.contains("r×") || one.starts_with("r "), "{one}");
        }
    }

    #[test]
    fn roots_come_out_and_numbers_stay_whole() {
        for one in turns("topic t\nT = 2 π sqrt(l/g)\n", 3) {
            assert!(
                one.contains('4') || one.contains('9') || one.contains('2'),
                "{one}"
            );
        }
        let sheet = "topic t\nquantity N: number of turns, 1\nquantity B: flux density, T\n\
                     quantity η: efficiency, 1\nquantity θ: angle, rad, acute\nB = k N η sin θ\n";
        let asked = turns(sheet, 40);
        assert!(!asked.is_empty());
        for one in &asked {
            assert!(!one.contains("η×") && !one.contains("θ×"), "{one}");
            assert!(!one.contains("N×1/"), "{one}");
        }
    }

    #[test]
    fn what_hangs_together_does_not_change_alone() {
        let sheet = "topic t\nconstant c = 3e8 m s^-1: speed of light\n\
                     p = γ m v\nγ = 1/sqrt(1 - v^2/c^2)\n";
        for one in turns(sheet, 40) {
            assert!(!one.contains('v') && !one.contains('γ'), "{one}");
        }
        assert!(!turns(sheet, 4).is_empty());
    }

    #[test]
    fn what_is_neat() {
        for (over, under, expected) in [
            (1, 4, true),
            (81, 1, true),
            (1, 81, true),
            (27, 8, true),
            (81, 16, false),
            (256, 1, false),
        ] {
            assert_eq!(is_neat(&Number::new(over, under)), expected);
        }
    }
}
