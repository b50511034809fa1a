//! An item in other letters: those of a sheet's `notation` lines, or letters
//! that the topic does not use.

use crate::algebra::symbol::Symbol;
use crate::physics::formulary::Topic;

use super::attempt::Lettering;
use super::seed::SplitMix;

/// Letters to choose unfamiliar ones from. Without those that are numbers or
/// signs to many readers (`e`, `i`, `d`, `o`, `l`) or that look like a digit.
const POOL: [&str; 32] = [
    "p", "q", "w", "x", "y", "z", "k", "n", "b", "c", "h", "j", "r", "s", "u", "v", "A", "B", "C",
    "D", "G", "H", "K", "L", "M", "N", "P", "Q", "R", "W", "X", "Y",
];

/// Symbols of a formula with the letters that stand for them.
pub type Changes = Vec<(Symbol, String)>;

/// The letterings in which something with these symbols can be asked, the
/// sheet's first.
#[must_use]
pub fn letterings(topic: &Topic, symbols: &[Symbol]) -> Vec<Lettering> {
    let mut found = vec![Lettering::Sheet];
    found.extend(
        topic
            .notations
            .iter()
            .filter(|notation| {
                let mut changes = notation.changes.iter();
                changes.any(|(symbol, _)| symbols.contains(symbol))
            })
            .map(|notation| Lettering::Notation(notation.name.clone())),
    );
    found.push(Lettering::Unfamiliar);
    found
}

/// What a lettering changes among these symbols; nothing if there is no such
/// lettering of them. The seed chooses unfamiliar letters.
#[must_use]
pub fn changes(
    topic: &Topic,
    symbols: &[Symbol],
    lettering: &Lettering,
    seed: u64,
) -> Option<Changes> {
    match lettering {
        Lettering::Sheet => Some(Vec::new()),
        Lettering::Notation(name) => {
            let notation = topic.notations.iter().find(|own| own.name == *name)?;
            let mut changes = notation.changes.clone();
            changes.retain(|(symbol, _)| symbols.contains(symbol));
            (!changes.is_empty()).then_some(changes)
        }
        Lettering::Unfamiliar => unfamiliar(topic, symbols, seed),
    }
}

fn unfamiliar(topic: &Topic, symbols: &[Symbol], seed: u64) -> Option<Changes> {
    // A constant of nature keeps its letter: nobody writes another.
    let renamed = symbols
        .iter()
        .copied()
        .filter(|symbol| topic.constant(*symbol).is_none() || topic.quantity(*symbol).is_some());
    let mut pool: Vec<&str> = POOL
        .into_iter()
        .filter(|letter| topic.vocabulary.lookup(letter).is_none())
        .collect();
    SplitMix::new(seed).shuffle(&mut pool);
    let mut pool = pool.into_iter();
    let mut changes = Vec::new();
    for symbol in renamed {
        changes.push((symbol, pool.next()?.to_owned()));
    }
    (!changes.is_empty()).then_some(changes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;

    const SHEET: &str = "topic motion: Motion
quantity s: displacement, m, real
quantity u: initial velocity, m s^-1, real
quantity v: final velocity, m s^-1, real
quantity a: acceleration, m s^-2, real
quantity t: time, s
constant g = 9.81 m s^-2: acceleration of free fall
formula velocity-time: v = u + a t
formula falling: v^2 = u^2 + 2 g s
notation x-for-displacement: s -> x
notation numbered: u -> v_1, v -> v_2
";

    fn names(formula: &str, lettering: &Lettering, seed: u64) -> Option<Vec<(String, String)>> {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        let topic = &formulary.topics[0];
        let table = topic.vocabulary.table();
        let symbols = topic.formula(formula).unwrap().equation.symbols();
        let changes = changes(topic, &symbols, lettering, seed)?;
        let named = changes.into_iter();
        Some(
            named
                .map(|(symbol, letter)| (table.name(symbol).to_owned(), letter))
                .collect(),
        )
    }

    #[test]
    fn letterings_of_a_formula() {
        let formulary = Formulary::from_text("motion.sheet", SHEET);
        assert!(formulary.faults.is_empty());
        let topic = &formulary.topics[0];
        let keys = |name: &str| -> Vec<String> {
            letterings(topic, &topic.formula(name).unwrap().equation.symbols())
                .iter()
                .map(Lettering::keyword)
                .collect()
        };
        assert_eq!(
            keys("velocity-time"),
            ["sheet", "notation:numbered", "unfamiliar"]
        );
        assert_eq!(keys("falling").len(), 4);
    }

    #[test]
    fn unfamiliar_letters_are_new_and_the_seed_decides() {
        for seed in 0..50 {
            let changes = names("falling", &Lettering::Unfamiliar, seed).unwrap();
            assert_eq!(changes.len(), 3, "g keeps its letter");
            let mut letters: Vec<&str> = changes.iter().map(|(_, new)| new.as_str()).collect();
            letters.sort_unstable();
            letters.dedup();
            assert_eq!(letters.len(), 3);
            for letter in letters {
                assert!(
                    !["s", "u", "v", "a", "t", "g"].contains(&letter),
                    "{letter}"
                );
            }
            assert_eq!(
                names("falling", &Lettering::Unfamiliar, seed),
                Some(changes)
            );
        }
        assert_ne!(
            names("falling", &Lettering::Unfamiliar, 1),
            names("falling", &Lettering::Unfamiliar, 2)
        );
    }

    #[test]
    fn a_lettering_of_the_sheet_changes_what_the_formula_has() {
        let numbered = Lettering::Notation("numbered".to_owned());
        let expected = [("u", "v_1"), ("v", "v_2")];
        let expected = expected.map(|(old, new)| (old.to_owned(), new.to_owned()));
        assert_eq!(
            names("velocity-time", &numbered, 0),
            Some(expected.to_vec())
        );
        let other = Lettering::Notation("x-for-displacement".to_owned());
        assert_eq!(names("velocity-time", &other, 0), None);
        let none = Lettering::Notation("none".to_owned());
        assert_eq!(names("velocity-time", &none, 0), None);
    }
}
