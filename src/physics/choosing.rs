//! Which of two readings of a line the declared units show to be meant.

use super::balance::Balance;
use super::loading::{TopicReader, neighbours};
use crate::algebra::expr::Equation;
use crate::text::{Ambiguity, Undeclared, read};

impl TopicReader<'_> {
    /// The only other reading that fits the declared units, if this one does
    /// not fit them.
    pub(super) fn fitting(&mut self, text: &str, equations: &[Equation]) -> Option<Vec<Equation>> {
        // Only what stands below a slash is put right like this.
        if !may_reach_further(text) || self.fits(equations) != Some(false) {
            return None;
        }
        let readings = read(text, &mut self.topic.vocabulary, Undeclared::Declare).ok()?;
        let mut fitting = readings
            .others
            .iter()
            .filter(|reading| reading.differs == Some(Ambiguity::Slash))
            .map(|reading| neighbours(&reading.chain))
            .filter(|equations| self.fits(equations) == Some(true));
        let only = fitting.next()?;
        fitting.next().is_none().then_some(only)
    }

    /// Whether the dimensions balance; `None` if a symbol has no unit.
    fn fits(&self, equations: &[Equation]) -> Option<bool> {
        let mut balance = Balance::new();
        for symbol in equations.iter().flat_map(Equation::symbols) {
            let unit = self
                .topic
                .quantity(symbol)
                .and_then(|quantity| quantity.unit.as_ref())
                .or_else(|| self.topic.constant(symbol)?.unit.as_ref())?;
            balance.declare(symbol, unit.dimension.clone(), unit.celsius);
        }
        Some(
            equations
                .iter()
                .all(|equation| balance.check(equation).is_ok()),
        )
    }
}

/// Whether something may stand below a slash and a factor beside it. A quick
/// look: most formulae have no such place.
fn may_reach_further(text: &str) -> bool {
    text.match_indices(['/', '÷']).any(|(at, slash)| {
        let below = text[at + slash.len()..].trim_start();
        let name = |next: char| next.is_alphanumeric() || matches!(next, '_' | '.' | '{' | '}');
        let behind = if below.starts_with('(') {
            let mut depth = 0usize;
            let closing = below.find(|next| {
                depth += usize::from(next == '(');
                depth -= usize::from(next == ')');
                depth == 0
            });
            closing.map_or("", |closing| &below[closing + 1..])
        } else {
            let end = below.find(|next| !name(next)).unwrap_or(below.len());
            // `2a` and `RC` are products themselves.
            if end > 1 && !below[..end].contains('_') {
                return true;
            }
            &below[end..]
        };
        // Behind a power it is not so plain what comes.
        behind
            .trim_start()
            .starts_with(|next: char| name(next) || matches!(next, '(' | '^' | '√' | '|'))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::fault::FaultKind;
    use crate::physics::formulary::Formulary;

    #[test]
    fn where_a_slash_may_reach_further() {
        for (text, expected) in [
            ("s = (u + v)/2 t", true),
            ("s = (u + v)/(2 a)", false),
            ("s = (u + v)/(2 a) t", true),
            ("t = v/2a", true),
            ("T = 1/f", false),
            ("N = m v^2/r - m g", false),
            ("R = V/I_1", false),
            ("v = s t", false),
            ("v = s/(t", false),
            ("v = s/", false),
            ("v = (s/t))(", false),
        ] {
            assert_eq!(may_reach_further(text), expected, "{text}");
        }
    }

    #[test]
    fn the_units_decide_where_only_one_reading_fits() {
        let check = |line: &str, expected: &str, remarks: usize| {
            let formulary = Formulary::from_text(
                "t",
                &format!(
                    "topic t\nquantity s: way, m\nquantity u: speed, m/s\nquantity v: speed, m/s\n\
                     quantity t: time, s\nquantity a: acceleration, m/s^2\n{line}\n{expected}\n"
                ),
            );
            let found: Vec<&Equation> = formulary.topics[0]
                .formulae
                .iter()
                .map(|formula| &formula.equation)
                .collect();
            assert_eq!(found[0], found[1], "{line}");
            let said = formulary
                .faults
                .iter()
                .filter(|fault| fault.kind == FaultKind::Ambiguous);
            assert_eq!(said.count(), remarks, "{line}");
        };
        check("s = (u + v)/2 t", "s = (u + v)/2 * t", 1);
        check("t = v/2a", "t = v/(2a)", 0);
        check("s = v t/2", "s = v t/2", 0);
    }
}
