//! Standard output for people: in ASCII where the terminal shows nothing else.

use std::io::{self, Write};

use crate::show::ascii::{Spelled, carets, spelled};
use crate::show::line::Spelling;

/// A writer that spells out what is not ASCII, if it must.
pub struct Output<W: Write> {
    inner: W,
    state: Option<State>,
}

/// What is known of the lines so far.
#[derive(Default)]
struct State {
    /// The line that has no end yet.
    open: Vec<u8>,
    /// The line above, if it was spelled out.
    above: Option<Spelled>,
}

impl<W: Write> Output<W> {
    /// Writes to `inner` with the characters of `spelling`.
    pub fn new(inner: W, spelling: Spelling) -> Self {
        Output {
            inner,
            state: (spelling == Spelling::Ascii).then(State::default),
        }
    }
}

/// Standard output with the characters that a style may use, in buffers.
#[must_use]
pub fn buffered(spelling: Spelling) -> Output<io::BufWriter<io::StdoutLock<'static>>> {
    Output::new(io::BufWriter::new(io::stdout().lock()), spelling)
}

impl State {
    /// The open line as it is to be written; no line is open after it.
    fn take(&mut self) -> String {
        let bytes = std::mem::take(&mut self.open);
        let line = String::from_utf8_lossy(&bytes);
        let above = self.above.take();
        if let Some(below) = above.and_then(|above| carets(&line, &above)) {
            return below;
        }
        if line.is_ascii() {
            return line.into_owned();
        }
        let found = spelled(&line);
        let text = found.text.clone();
        self.above = Some(found);
        text
    }
}

impl<W: Write> Write for Output<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let Some(state) = &mut self.state else {
            return self.inner.write(bytes);
        };
        for line in bytes.split_inclusive(|byte| *byte == b'\n') {
            let (text, ends) = match line.split_last() {
                Some((b'\n', text)) => (text, true),
                _ => (line, false),
            };
            state.open.extend_from_slice(text);
            if ends {
                let line = state.take();
                self.inner.write_all(line.as_bytes())?;
                self.inner.write_all(b"\n")?;
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        if let Some(state) = &mut self.state
            && !state.open.is_empty()
        {
            let line = state.take();
            self.inner.write_all(line.as_bytes())?;
        }
        self.inner.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(parts: &[&str], spelling: Spelling, expected: &str) {
        let mut written = Vec::new();
        let mut out = Output::new(&mut written, spelling);
        for part in parts {
            out.write_all(part.as_bytes()).unwrap();
        }
        out.flush().unwrap();
        assert_eq!(String::from_utf8(written).unwrap(), expected);
    }

    #[test]
    fn lines_are_spelled_out_where_they_must_be() {
        let parts = ["v = f ", "λ\n  v = λ f\n", "      ^ here\n> "];
        check(&parts, Spelling::Unicode, &parts.concat());
        check(
            &parts,
            Spelling::Ascii,
            "v = f lambda\n  v = lambda f\n      ^^^^^^ here\n> ",
        );
        // A character that comes in two pieces.
        let mut written = Vec::new();
        let mut out = Output::new(&mut written, Spelling::Ascii);
        out.write_all(b"\xce").unwrap();
        out.write_all(b"\xbb\n").unwrap();
        assert_eq!(written, b"lambda\n");
    }
}
