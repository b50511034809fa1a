//! Where the user's files are.

use std::path::PathBuf;

use etcetera::{BaseStrategy, choose_base_strategy};

/// The journal in the user's data folder; nothing where the system has no such
/// folder.
#[must_use]
pub fn journal() -> Option<PathBuf> {
    let folders = choose_base_strategy().ok()?;
    Some(folders.data_dir().join("rejig").join("journal.jsonl"))
}
