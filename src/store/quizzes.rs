//! Quiz files.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use serde_json::error::Category;

use super::fault::why;
use crate::practice::paper::Paper;

/// Bytes that a quiz file may have.
const LONGEST: u64 = 64 << 20;

/// What is wrong with a text that is no quiz.
fn no_quiz(error: &serde_json::Error) -> String {
    match error.classify() {
        Category::Eof => "it is no quiz, or its end is missing".to_owned(),
        Category::Data => format!(
            "it is no quiz: line {} is not what a quiz has there",
            error.line()
        ),
        Category::Syntax | Category::Io => format!(
            "it is no quiz: line {} is not JSON, which `rejig quiz --questions --format json` \
             writes",
            error.line()
        ),
    }
}

/// Reads a quiz file.
///
/// # Errors
/// What is wrong with it, as a clause.
pub fn read(path: &Path) -> Result<Paper, String> {
    let file = File::open(path).map_err(|error| why(&error))?;
    let mut bytes = Vec::new();
    file.take(LONGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| why(&error))?;
    if bytes.len() as u64 > LONGEST {
        return Err(format!("it is longer than {LONGEST} bytes"));
    }
    understand(&bytes)
}

/// What the bytes of a quiz file say.
///
/// # Errors
/// What is wrong with them, as a clause.
pub fn understand(bytes: &[u8]) -> Result<Paper, String> {
    // A mark that some editors put at the beginning of a file.
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut paper: Paper = serde_json::from_slice(text).map_err(|error| no_quiz(&error))?;
    paper.settle()?;
    Ok(paper)
}
