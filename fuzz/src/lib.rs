//! What each fuzz target does with the bytes that it is given. One module a
//! target; a target's own file only hands the bytes over.
//!
//! A panic, a hang (`-timeout`) and a blow-up (`-rss_limit_mb`) are crashers,
//! and so is each broken promise that a module asserts.

pub mod journal;
pub mod judge;
pub mod marking;
pub mod maths;
pub mod pairs;
pub mod proofs;
pub mod quiz;
pub mod reading;
pub mod requests;
pub mod sheets;
pub mod words;

use rejig::physics::formulary::Formulary;
use rejig::store::sheets::embedded;

/// The embedded sheets, read once and kept for the whole run.
pub fn formulary() -> &'static Formulary {
    static KEPT: std::sync::OnceLock<Formulary> = std::sync::OnceLock::new();
    KEPT.get_or_init(embedded)
}
