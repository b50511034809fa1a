//! Points of the domain at which expressions are compared: fixed, so that a
//! verdict is deterministic, and pleasant first, so that a student can try
//! them on a calculator.

use super::number::Number;
use super::symbol::{Domain, Symbol, SymbolTable};

/// Small whole numbers in an order in which neighbours share no law: no 1,
/// and 2 late, since 2 + 2 = 2 * 2 = 2^2.
const WHOLE: [i64; 12] = [3, 5, 7, 4, 6, 2, 8, 9, 10, 11, 12, 13];

/// Angles in radians, strictly between zero and a right angle.
const ANGLES: [(i64, i64); 8] = [
    (1, 2),
    (3, 10),
    (7, 10),
    (1, 1),
    (2, 5),
    (6, 5),
    (4, 5),
    (1, 5),
];

/// Points of mixed scales among the extreme ones.
const MIXED: usize = 200;

/// How many points are whole numbers before fractions come.
pub const PLEASANT: usize = 16;

/// The values of `symbols` at the point number `index`, in the same order.
/// Positive, nonnegative and real symbols get small whole numbers first, then
/// fractions of growing spread; real ones are negative at some points.
#[must_use]
pub fn point(index: usize, symbols: &[Symbol], table: &SymbolTable) -> Vec<Number> {
    let mut state = Scatter::new(index);
    // Steps coprime to the length of the list walk all of it.
    let step = [1, 5, 7, 11][index % 4];
    symbols
        .iter()
        .enumerate()
        .map(|(place, symbol)| {
            let domain = table.domain(*symbol);
            let slot = (place * step + index * 5 + index / 4) % WHOLE.len();
            match domain {
                Domain::Acute => {
                    let (num, den) = if index < PLEASANT {
                        let round = place / ANGLES.len();
                        ANGLES[(place * 3 + index + round * (index + 1)) % ANGLES.len()]
                    } else {
                        (state.between(1, 156), 100)
                    };
                    Number::new(num, den)
                }
                _ => {
                    let size = if index < PLEASANT {
                        // Beyond the list larger ones follow: no two symbols
                        // may have one value at every point.
                        Number::from(
                            WHOLE[slot] + 12 * i64::try_from(place / WHOLE.len()).unwrap_or(0),
                        )
                    } else {
                        state.fraction(index)
                    };
                    if domain == Domain::Real
                        && state.between(0, 3) == 0
                        && !index.is_multiple_of(3)
                    {
                        -&size
                    } else {
                        size
                    }
                }
            }
        })
        .collect()
}

/// Points at the far ends of the domain: one symbol, or all of them, very
/// small or very large, the others as at a pleasant point. What holds at
/// everyday values may fail there.
#[must_use]
pub fn extremes(symbols: &[Symbol], table: &SymbolTable) -> Vec<Vec<Number>> {
    let mut found = Vec::new();
    for start in 0..2 {
        let base = point(start, symbols, table);
        for decade in [3_u32, 4, 5, 6, 9, 12] {
            let large = Number::from(10_i64.pow(decade));
            let small = Number::new(1, 10_i64.pow(decade));
            for (scale, grows) in [(&large, true), (&small, false)] {
                for place in 0..=symbols.len() {
                    for negative in [false, true] {
                        let is_scaled = |at: usize| place == symbols.len() || place == at;
                        let mut values = base.clone();
                        let mut changed = false;
                        for (at, symbol) in symbols.iter().enumerate() {
                            let domain = table.domain(*symbol);
                            if !is_scaled(at) || (domain == Domain::Acute && grows) {
                                continue;
                            }
                            if negative && domain != Domain::Real {
                                continue;
                            }
                            let size = &values[at] * scale;
                            values[at] = if negative { -&size } else { size };
                            changed = true;
                        }
                        if changed {
                            found.push(values);
                        }
                    }
                }
            }
        }
    }
    // Every symbol at a scale of its own.
    for index in 0..MIXED {
        let mut state = Scatter::new(PLEASANT + index);
        let values = point(PLEASANT + index, symbols, table);
        let scaled = values.into_iter().zip(symbols).map(|(value, symbol)| {
            let decade = u32::try_from(state.between(0, 6)).unwrap_or(0);
            let scale = Number::from(10_i64.pow(decade));
            match (table.domain(*symbol), state.between(0, 1)) {
                (Domain::Acute, _) => value,
                (_, 0) => &value * &scale,
                _ => &value / &scale,
            }
        });
        found.push(scaled.collect());
    }
    found
}

/// A fixed sequence of numbers that look scattered (a linear congruential
/// generator with Knuth's MMIX constants), seeded by the point's index.
struct Scatter(u64);

impl Scatter {
    fn new(index: usize) -> Self {
        let mut scatter = Scatter(index as u64 ^ 0x9e37_79b9_7f4a_7c15);
        scatter.next();
        scatter.next();
        scatter
    }

    fn next(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    fn between(&mut self, low: i64, high: i64) -> i64 {
        let span = u64::try_from(high - low + 1).unwrap_or(1);
        low + i64::try_from(self.next() % span).unwrap_or(0)
    }

    /// Fractions around one; every third point reaches for small and large
    /// values, where inequalities such as v < c hold by chance.
    fn fraction(&mut self, index: usize) -> Number {
        let (num, den) = (self.between(1, 97), self.between(1, 23));
        let value = Number::new(num, den);
        if index % 3 == 2 {
            let scale = [1, 10, 100, 1_000][usize::try_from(self.between(0, 3)).unwrap_or(0)];
            if self.between(0, 1) == 0 {
                &value * &Number::from(scale)
            } else {
                &value / &Number::from(scale)
            }
        } else {
            value
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_lie_in_their_domains_and_repeat() {
        let mut table = SymbolTable::new();
        let symbols: Vec<Symbol> = [
            ("p", Domain::Positive),
            ("n", Domain::Nonnegative),
            ("r", Domain::Real),
            ("a", Domain::Acute),
        ]
        .into_iter()
        .map(|(name, domain)| table.intern(name, domain))
        .collect();
        let mut negative = 0;
        for index in 0..200 {
            let values = point(index, &symbols, &table);
            assert_eq!(values, point(index, &symbols, &table));
            assert!(values[0].is_positive() && !values[1].is_negative());
            negative += usize::from(values[2].is_negative());
            assert!(values[3].is_positive() && values[3] < Number::new(157, 100));
        }
        assert!(negative > 20);
    }

    #[test]
    fn no_two_angles_are_always_equal() {
        let mut table = SymbolTable::new();
        let symbols: Vec<Symbol> = (0..30)
            .map(|number| table.intern(&format!("a_{number}"), Domain::Acute))
            .collect();
        let points: Vec<Vec<Number>> = (0..12)
            .map(|index| point(index, &symbols, &table))
            .collect();
        for one in 0..symbols.len() {
            for other in 0..one {
                let equal = points.iter().filter(|values| values[one] == values[other]);
                assert!(equal.count() < 6, "{one} and {other}");
            }
        }
    }

    #[test]
    fn values_of_one_point_differ() {
        let mut table = SymbolTable::new();
        // As many as a topic may have: two that lie 12 apart once agreed at
        // every point, and a false line "followed".
        let symbols: Vec<Symbol> = (0..40)
            .map(|number| table.intern(&format!("a_{number}"), Domain::Positive))
            .collect();
        for index in 0..PLEASANT {
            let mut values = point(index, &symbols, &table);
            values.sort();
            values.dedup();
            assert_eq!(values.len(), symbols.len());
        }
    }
}
