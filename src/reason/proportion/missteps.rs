//! Slips in reasoning by proportion: each change misjudged in the ways that
//! people misjudge it, and the factor that comes of it held against the
//! answer. Where two different slips explain an answer, none is named.

use crate::algebra::exact;
use crate::algebra::expr::Expr;
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};

use super::{Judging, Power, Proportion, exact_power, raised};
use crate::reason::slip::SlipKind;

/// A slip, and the quantity whose change was misjudged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misstep {
    /// The name.
    pub kind: SlipKind,
    /// The quantity; nothing if it is the factor as a whole.
    pub varied: Option<Symbol>,
}

impl Misstep {
    /// Whether it concerns a power or a root, and not only its direction.
    #[must_use]
    pub fn is_of_power(&self) -> bool {
        matches!(
            self.kind,
            SlipKind::SquareLost
                | SlipKind::RootForgotten
                | SlipKind::RootForSquare
                | SlipKind::PowerAsFactor
        )
    }
}

/// One way to misjudge one change: the slips made, and the factor.
type Wrong = (Vec<Misstep>, Expr);

impl Proportion {
    /// The slips that explain a wrong answer: one, or two at once; none if
    /// nothing explains it, or several things do.
    #[must_use]
    pub fn explain(
        &self,
        scales: &[Number],
        answer: &Expr,
        table: &SymbolTable,
    ) -> Option<Vec<Misstep>> {
        let judging = Judging::new(self.subject, table);
        let right = self.exact_factor(scales);
        let said = self.said(answer);
        // Fractions are quickly told apart; roots need a proof.
        let explains = |factor: &Expr| match (&said, exact::constant(factor)) {
            (Some(said), Some(factor)) => *said == factor,
            (None, None) => judging.judge(factor, answer).is_right(),
            _ => false,
        };
        let mut levels: [Vec<Wrong>; 2] = self.likely(scales);
        for level in &mut levels {
            // What comes out right after all explains no wrong answer.
            level.retain(|(_, factor)| right.is_none() || exact::constant(factor) != right);
            let mut found: Vec<&Vec<Misstep>> = Vec::new();
            for (slips, factor) in level.iter() {
                if explains(factor) && !found.contains(&slips) {
                    found.push(slips);
                }
            }
            match found.as_slice() {
                [] => {}
                [only] => return Some((*only).clone()),
                [first, rest @ ..] => {
                    // One slip in one quantity or the other: its name is sure.
                    let kinds = |own: &[Misstep]| -> Vec<SlipKind> {
                        own.iter().map(|misstep| misstep.kind).collect()
                    };
                    let same = rest.iter().all(|other| kinds(other) == kinds(first));
                    let unsure = |misstep: &Misstep| Misstep {
                        kind: misstep.kind,
                        varied: None,
                    };
                    return same.then(|| first.iter().map(unsure).collect());
                }
            }
        }
        None
    }

    /// The factor that an answer says, if it is a fraction: it is one itself,
    /// or a multiple of the old value.
    #[must_use]
    pub fn said(&self, answer: &Expr) -> Option<Number> {
        if !answer.contains(self.subject) {
            return exact::constant(answer);
        }
        let at = |value: i64| {
            let value = Expr::integer(value);
            exact::constant(&answer.substitute(self.subject, &value))
        };
        // A multiple vanishes with the old value, and doubles with it.
        let one = at(1)?;
        let plain = answer.occurrences(self.subject) == 1 && at(0)?.is_zero();
        (plain && at(2)? == &one * &Number::from(2)).then_some(one)
    }

    /// Wrong factors that are readily believed, with the slip of each: one
    /// slip first, then two.
    #[must_use]
    pub fn likely(&self, scales: &[Number]) -> [Vec<Wrong>; 2] {
        let changes: Vec<(&Power, &Number)> = self.powers.iter().zip(scales).collect();
        let own: Vec<Expr> = changes
            .iter()
            .map(|(power, scale)| raised(scale, &power.exponent))
            .collect();
        let wrong: Vec<Vec<Wrong>> = changes
            .iter()
            .map(|(power, scale)| misjudged(power, scale, changes.len() > 1))
            .collect();
        // All right factors but those of some places.
        let with = |other: &[(usize, &Expr)]| -> Expr {
            let parts = own.iter().enumerate().map(|(place, right)| {
                let found = other.iter().find(|(at, _)| *at == place);
                found.map_or(right, |(_, factor)| *factor).clone()
            });
            parts.reduce(Expr::mul).unwrap_or(Expr::integer(1))
        };
        let mut levels = [Vec::new(), Vec::new()];
        for (at, ways) in wrong.iter().enumerate() {
            for (slips, factor) in ways {
                let level = slips.len().min(2) - 1;
                levels[level].push((slips.clone(), with(&[(at, factor)])));
                if level > 0 {
                    continue;
                }
                for (later, ways) in wrong.iter().enumerate().skip(at + 1) {
                    for (more, other) in ways.iter().filter(|(more, _)| more.len() == 1) {
                        let both = slips.iter().chain(more).copied().collect();
                        levels[1].push((both, with(&[(at, factor), (later, other)])));
                    }
                }
            }
        }
        let whole = Misstep {
            kind: SlipKind::ChangeForValue,
            varied: None,
        };
        // "By three quarters" for "to a quarter".
        if let Some(factor) = self.exact_factor(scales) {
            let change = (&factor - &Number::ONE).abs();
            if !change.is_zero() && !change.is_one() {
                levels[0].push((vec![whole], Expr::Number(change)));
            }
        }
        levels
    }
}

/// The ways to misjudge one change.
fn misjudged(power: &Power, scale: &Number, among_others: bool) -> Vec<Wrong> {
    let misstep = |kind: SlipKind| Misstep {
        kind,
        varied: Some(power.varied),
    };
    let exponent = &power.exponent;
    let Some((over, under)) = exponent.to_i64_pair() else {
        return Vec::new();
    };
    let mut found: Vec<Wrong> = Vec::new();
    let mut other = |kinds: &[SlipKind], exponent: Number| {
        let slips = kinds.iter().map(|kind| misstep(*kind)).collect();
        found.push((slips, raised(scale, &exponent)));
    };
    let inverted = SlipKind::ProportionInverted;
    other(&[inverted], -exponent);
    let mut bent = Vec::new();
    if over.abs() > 1 {
        bent.push((SlipKind::SquareLost, Number::new(over.signum(), under)));
    }
    if under > 1 {
        bent.push((SlipKind::RootForgotten, Number::from(over)));
    }
    if over.abs() != under {
        let swapped = Number::new(over.signum() * under, over.abs());
        bent.push((SlipKind::RootForSquare, swapped));
    }
    for (kind, exponent) in bent {
        other(&[kind], exponent.clone());
        other(&[kind, inverted], -&exponent);
    }
    if power.is_bent() {
        let times = scale * &exponent.abs();
        let factor = if over < 0 {
            Expr::div(Expr::integer(1), Expr::Number(times))
        } else {
            Expr::Number(times)
        };
        found.push((vec![misstep(SlipKind::PowerAsFactor)], factor));
    }
    if among_others {
        found.push((vec![misstep(SlipKind::ChangeLeftOut)], Expr::integer(1)));
    }
    // "Increases by 50 %": half of it taken for half as much again.
    let rise = scale - &Number::ONE;
    if rise.is_positive()
        && !rise.is_one()
        && let Some(factor) = exact_power(&rise, exponent)
    {
        let slip = vec![misstep(SlipKind::ChangeForValue)];
        found.push((slip, Expr::Number(factor)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Undeclared, Vocabulary, read_equation, read_preferred};

    /// `changes` such as `r 2` with scales as fractions.
    fn check(formula: &str, changes: &[(&str, i64, i64)], answer: &str, expected: &str) {
        let mut vocabulary = Vocabulary::new();
        let equation = read_equation(formula, &mut vocabulary, Undeclared::Declare).unwrap();
        let subject = equation.symbols()[0];
        let varied: Vec<Symbol> = changes
            .iter()
            .map(|(name, ..)| vocabulary.lookup(name).unwrap())
            .collect();
        let scales: Vec<Number> = changes
            .iter()
            .map(|(_, over, under)| Number::new(*over, *under))
            .collect();
        let answer = read_preferred(answer, &mut vocabulary, Undeclared::Refuse).unwrap();
        let table = vocabulary.table();
        let found = Proportion::find(&equation, subject, &varied, table).unwrap();
        let told =
            found
                .explain(&scales, &answer.chain[0], table)
                .map_or_else(String::new, |slips| {
                    let slips = slips.iter().map(|misstep| {
                        let of = misstep.varied.map_or("", |symbol| table.name(symbol));
                        format!("{} {of}", misstep.kind.key()).trim().to_owned()
                    });
                    slips.collect::<Vec<_>>().join(", ")
                });
        assert_eq!(told, expected, "{formula} {changes:?}");
    }

    #[test]
    fn slips_are_named() {
        let law = "F = G M m/r^2";
        check(law, &[("r", 2, 1)], "1/2", "square-lost r");
        check(law, &[("r", 2, 1)], "F/2", "square-lost r");
        check(law, &[("r", 2, 1)], "4", "proportion-inverted r");
        check(
            law,
            &[("r", 2, 1)],
            "2F",
            "square-lost r, proportion-inverted r",
        );
        check(law, &[("r", 3, 1)], "1/6", "power-as-factor r");
        check(law, &[("r", 2, 1)], "3/4", "change-for-value");
        check(law, &[("r", 2, 1)], "7", "");
        check(law, &[("r", 3, 2)], "4", "change-for-value r");
        check(law, &[("m", 3, 1), ("r", 2, 1)], "3", "change-left-out r");
        check(law, &[("m", 3, 1), ("r", 2, 1)], "3/2", "square-lost r");
        check(
            law,
            &[("m", 3, 1), ("r", 2, 1)],
            "1/12",
            "proportion-inverted m",
        );
        let swing = "T = 2 π sqrt(l/g)";
        check(swing, &[("l", 4, 1)], "4", "root-forgotten l");
        check(swing, &[("l", 4, 1)], "16 T", "root-for-square l");
        check(swing, &[("l", 4, 1)], "1/2", "proportion-inverted l");
        check(swing, &[("l", 2, 1)], "2", "root-forgotten l");
        // Slips of different names explain it: nothing is said.
        check("F = m a^2", &[("m", 2, 1), ("a", 2, 1)], "4", "");
        // One name, but not which quantity.
        check(
            "F = m a^2",
            &[("m", 4, 1), ("a", 2, 1)],
            "4",
            "change-left-out",
        );
        check(
            "F = m a",
            &[("m", 2, 1), ("a", 2, 1)],
            "1",
            "proportion-inverted",
        );
    }

    #[test]
    fn no_wrong_factor_is_right() {
        // Twice two is two squared.
        check("F = m a^2", &[("a", 2, 1)], "2", "square-lost a");
        check("F = m a", &[("a", 2, 1)], "1/2", "proportion-inverted a");
        check("F = m a", &[("a", 3, 2)], "1/2", "change-for-value");
    }
}
