//! Percentiles of times, for every benchmark that prints them.

use std::time::Duration;

/// The time below which this share of them lies.
pub fn percentile(times: &mut [Duration], share: f64) -> Duration {
    times.sort();
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss
    )]
    times[((times.len() - 1) as f64 * share) as usize]
}
