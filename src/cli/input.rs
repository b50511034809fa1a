//! Lines of text from outside, bounded.

use std::io::{self, BufRead};

use crate::algebra::limits::MAX_LINE;

/// Bytes that are kept of one line: enough for [`MAX_LINE`] characters of any
/// kind, and then some, so that a longer line is seen to be too long.
const KEPT: usize = 4 * MAX_LINE + 64;

/// A line that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// Its text without the line break. Bytes that are no text are shown as
    /// replacement characters.
    Text(String),
    /// More than the reader of maths would take; the rest was thrown away.
    TooLong,
}

/// Reads one line; nothing at the end of the input.
///
/// # Errors
/// When reading fails.
pub fn read_line(input: &mut impl BufRead) -> io::Result<Option<Line>> {
    let mut kept = Vec::new();
    let mut any = false;
    let mut too_long = false;
    loop {
        let buffer = match input.fill_buf() {
            Ok(buffer) => buffer,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        if buffer.is_empty() {
            if !any {
                return Ok(None);
            }
            break;
        }
        any = true;
        let end = buffer.iter().position(|byte| *byte == b'\n');
        let part = &buffer[..end.unwrap_or(buffer.len())];
        if kept.len() + part.len() <= KEPT {
            kept.extend_from_slice(part);
        } else {
            too_long = true;
        }
        let used = end.map_or(buffer.len(), |end| end + 1);
        input.consume(used);
        if end.is_some() {
            break;
        }
    }
    if too_long {
        return Ok(Some(Line::TooLong));
    }
    let text = String::from_utf8_lossy(&kept);
    let text = text.strip_suffix('\r').unwrap_or(&text);
    // A mark that some editors put at the beginning of a file.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    Ok(Some(Line::Text(text.to_owned())))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(bytes: &[u8], expected: &[Line]) {
        let mut input = io::BufReader::with_capacity(16, bytes);
        let mut found = Vec::new();
        while let Some(line) = read_line(&mut input).unwrap() {
            found.push(line);
        }
        assert_eq!(found, expected);
    }

    #[test]
    fn lines_of_all_kinds() {
        let text = |text: &str| Line::Text(text.to_owned());
        check(b"", &[]);
        check(b"a\nb", &[text("a"), text("b")]);
        check(b"a\r\n\nb\n", &[text("a"), text(""), text("b")]);
        check(b"\xef\xbb\xbfa = b\n", &[text("a = b")]);
        check(b"\xff\x00\n", &[text("\u{fffd}\0")]);
        let mut long = vec![b'x'; KEPT + 1];
        long.extend_from_slice(b"\nshort\n");
        check(&long, &[Line::TooLong, text("short")]);
    }
}
