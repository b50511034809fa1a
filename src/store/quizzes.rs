//! Quiz files.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::practice::paper::Paper;

/// Bytes that a quiz file may have.
const LONGEST: u64 = 64 << 20;

/// Reads a quiz file.
///
/// # Errors
/// What is wrong with it, as a clause.
pub fn read(path: &Path) -> Result<Paper, String> {
    let file = File::open(path).map_err(|error| error.to_string())?;
    let mut bytes = Vec::new();
    file.take(LONGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| error.to_string())?;
    if bytes.len() as u64 > LONGEST {
        return Err(format!("it is longer than {LONGEST} bytes"));
    }
    // A mark that some editors put at the beginning of a file.
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    let mut paper: Paper =
        serde_json::from_slice(text).map_err(|error| format!("it is no quiz: {error}"))?;
    paper.settle()?;
    Ok(paper)
}
