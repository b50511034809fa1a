//! Numbers to try that are easy to type.

use crate::algebra::expr::Expr;
use crate::algebra::sample::PLEASANT;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::reason::carrier::{Point, admissible};
use crate::reason::compare::{self, Compared};
use crate::reason::verdict::Counterexample;

use super::Problem;

impl Problem {
    /// A counterexample with numbers that are easy to try, where the one that
    /// was found first has very small or very large ones. Each is as certain.
    pub(super) fn plainest(
        &self,
        first: Counterexample,
        value: &Expr,
        points: &[Point],
        further: &[Symbol],
        table: &SymbolTable,
    ) -> Counterexample {
        let mut best = (first.awkwardness(), first);
        if best.0 == 0 {
            return best.1;
        }
        let domain = table.domain(self.subject);
        for point in points.iter().take(PLEASANT) {
            let expected = point.balls[self.subject.index()];
            let differs = matches!(
                compare::against(expected, value, point),
                Compared::Differ(..)
            );
            // Only what is admissible shows a difference that can be tried.
            let refutes = differs
                && compare::ball(value, point)
                    .is_ok_and(|got| admissible(got, domain) && self.is_no_root(point, got));
            if refutes {
                let found = self.counterexample(point, further, Some(value));
                let awkward = found.awkwardness();
                if awkward < best.0 {
                    best = (awkward, found);
                }
            }
        }
        best.1
    }
}
