//! Tables that are too wide for their page: each row as a sentence, which a
//! narrow screen and a screen reader both manage.

use super::wrap::{unbroken, wrapped};

/// A row in words: what it is about, and then each cell before its heading.
/// `week from 7 December 2026: due 56, new 40, again 18`. Ends with a line
/// break.
#[must_use]
pub fn record(about: &str, cells: &[(&str, String)], width: usize) -> String {
    let told: Vec<String> = cells
        .iter()
        .map(|(heading, cell)| unbroken(&format!("{heading} {cell}")))
        .collect();
    let text = format!("{about}: {}", told.join(", "));
    let mut out = wrapped(&text, "", "  ", width);
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_stay_with_their_headings() {
        let cells = [("due", "56".to_owned()), ("to be learnt", "4".to_owned())];
        assert_eq!(
            record("today", &cells, 80),
            "today: due 56, to be learnt 4\n"
        );
        assert_eq!(
            record("today", &cells, 20),
            "today: due 56,\n  to be learnt 4\n"
        );
    }
}
