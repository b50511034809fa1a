//! Worked examples that fade: whole path shown, last step blank, last two
//! blank, question only. A success moves on a stage, a miss back one. Only an
//! item that was missed when it was first met begins with a worked example.
//!
//! The *support* of a question counts the stages that are left before the
//! question stands alone, so that a path of one step fades in one stage and
//! no example has more blanks than steps.

/// The support of a whole worked path.
pub const WHOLE: u32 = 3;

/// The support that a path of so many steps can give at most.
#[must_use]
pub fn given(support: u32, steps: usize) -> u32 {
    support
        .min(WHOLE)
        .min(u32::try_from(steps).unwrap_or(WHOLE))
}

/// How many steps at the end are blank, for a support that the path can give
/// and that is not 0.
#[must_use]
pub fn blanks(support: u32, steps: usize) -> usize {
    given(WHOLE, steps).saturating_sub(support) as usize
}

/// The support after an attempt.
#[must_use]
pub fn after(support: u32, success: bool) -> u32 {
    if success {
        support.saturating_sub(1)
    } else {
        support.saturating_add(1).min(WHOLE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The blanks of one stage after the other, all right; then the question
    /// stands alone.
    fn check(steps: usize, expected: &[usize]) {
        let mut support = given(WHOLE, steps);
        let mut stages = Vec::new();
        while support > 0 {
            stages.push(blanks(support, steps));
            support = given(after(support, true), steps);
        }
        assert_eq!(stages, expected, "{steps}");
    }

    #[test]
    fn stages() {
        check(1, &[0]);
        check(2, &[0, 1]);
        check(3, &[0, 1, 2]);
        check(9, &[0, 1, 2]);
        check(0, &[]);
    }

    #[test]
    fn a_miss_goes_back_one_stage() {
        assert_eq!(after(0, false), 1);
        assert_eq!(after(2, false), 3);
        assert_eq!(after(3, false), 3);
        assert_eq!(after(0, true), 0);
        // A path of one step has nothing between the whole and the question.
        assert_eq!(blanks(given(after(0, false), 1), 1), 0);
        assert_eq!(blanks(given(after(0, false), 5), 5), 2);
    }
}
