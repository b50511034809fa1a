//! Tables: comma-separated values that are safe to open in a spreadsheet.

/// One cell: quoted where it must be, and marked as text where a spreadsheet
/// would take it for a formula.
#[must_use]
pub fn cell(text: &str) -> String {
    let dangerous = text
        .trim_start_matches([' ', '\u{a0}'])
        .starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let marked = if dangerous {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if marked.contains([',', '"', '\t', '\n', '\r']) || marked != marked.trim() {
        format!("\"{}\"", marked.replace('"', "\"\""))
    } else {
        marked
    }
}

/// One row, without a line break at the end.
#[must_use]
pub fn row<'a>(cells: impl IntoIterator<Item = &'a str>) -> String {
    let cells: Vec<String> = cells.into_iter().map(cell).collect();
    cells.join(",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells() {
        for (text, expected) in [
            ("plain", "plain"),
            ("", ""),
            ("a,b", "\"a,b\""),
            ("say \"so\"", "\"say \"\"so\"\"\""),
            ("=1+1", "'=1+1"),
            ("-x, y", "\"'-x, y\""),
            ("@here", "'@here"),
            ("  +1", "'  +1"),
            (" plain", "\" plain\""),
            ("\tx", "\"'\tx\""),
            ("v = u + at", "v = u + at"),
            ("two\nlines", "\"two\nlines\""),
        ] {
            assert_eq!(cell(text), expected);
        }
        assert_eq!(row(["a", "=b", "c d"]), "a,'=b,c d");
    }
}
