//! Where the drill's lines come from: a terminal with editing and completion,
//! or a plain stream.

use std::borrow::Cow;
use std::io::{self, BufRead, IsTerminal, Write};

use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::MemHistory;
use rustyline::validate::Validator;
use rustyline::{CompletionType, Config, Context, Editor, Helper};

use super::input::{self, Line};

/// What came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    /// A line.
    Line(Line),
    /// The end of the input, or the keys that ask for it.
    End,
    /// The keys that break off.
    Interrupted,
}

/// Completes words from a list.
#[derive(Default)]
struct Words {
    /// Letters of the present formula and their spelled names.
    letters: Vec<String>,
    requests: &'static [&'static str],
}

impl Completer for Words {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        place: usize,
        _context: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        Ok(self.candidates(line, place))
    }
}

impl Words {
    /// Where the word before the cursor begins, and what it may become.
    fn candidates(&self, line: &str, place: usize) -> (usize, Vec<String>) {
        let before = line.get(..place).unwrap_or(line);
        let start = before
            .char_indices()
            .rev()
            .take_while(|(_, character)| character.is_alphanumeric() || *character == '_')
            .last()
            .map_or(before.len(), |(at, _)| at);
        let word = &before[start..];
        let mut found: Vec<String> = self
            .letters
            .iter()
            .filter(|letter| letter.starts_with(word))
            .cloned()
            .collect();
        // A request stands alone on its line.
        if before[..start].trim().is_empty() {
            let requests = self.requests.iter().filter(|own| own.starts_with(word));
            found.extend(requests.map(|own| (*own).to_owned()));
        }
        found.dedup();
        (start, found)
    }
}

impl Hinter for Words {
    type Hint = String;
}

impl Highlighter for Words {
    fn highlight_prompt<'b, 's: 'b, 'p: 'b>(
        &'s self,
        prompt: &'p str,
        _default: bool,
    ) -> Cow<'b, str> {
        Cow::Borrowed(prompt)
    }
}

impl Validator for Words {}

impl Helper for Words {}

/// A source of lines.
pub enum Prompt {
    /// A terminal.
    Terminal(Box<Terminal>),
    /// Anything else.
    Stream(io::StdinLock<'static>),
}

/// A terminal with editing, history (in memory) and completion.
pub struct Terminal {
    editor: Editor<Words, MemHistory>,
}

impl Prompt {
    /// The terminal if there is one, else standard input as it is.
    #[must_use]
    pub fn open(requests: &'static [&'static str]) -> Self {
        if io::stdin().is_terminal() && io::stdout().is_terminal() {
            let config = Config::builder()
                .completion_type(CompletionType::List)
                .auto_add_history(true)
                .build();
            if let Ok(mut editor) =
                Editor::with_history(config.clone(), MemHistory::with_config(&config))
            {
                editor.set_helper(Some(Words {
                    letters: Vec::new(),
                    requests,
                }));
                return Prompt::Terminal(Box::new(Terminal { editor }));
            }
        }
        Prompt::Stream(io::stdin().lock())
    }

    /// The letters that can be completed.
    pub fn offer(&mut self, letters: Vec<String>) {
        if let Prompt::Terminal(terminal) = self
            && let Some(words) = terminal.editor.helper_mut()
        {
            words.letters = letters;
        }
    }

    /// Whether what is typed is seen on the screen already.
    #[must_use]
    pub fn echoes(&self) -> bool {
        matches!(self, Prompt::Terminal(_))
    }

    /// The next line.
    ///
    /// # Errors
    /// When reading fails.
    pub fn ask(&mut self, out: &mut impl Write) -> io::Result<Asked> {
        out.flush()?;
        match self {
            Prompt::Terminal(terminal) => match terminal.editor.readline("> ") {
                Ok(text) => Ok(Asked::Line(Line::Text(text))),
                Err(ReadlineError::Eof) => Ok(Asked::End),
                Err(ReadlineError::Interrupted) => Ok(Asked::Interrupted),
                Err(ReadlineError::Io(error)) => Err(error),
                Err(error) => Err(io::Error::other(error.to_string())),
            },
            Prompt::Stream(stream) => from_stream(stream),
        }
    }
}

fn from_stream(stream: &mut impl BufRead) -> io::Result<Asked> {
    Ok(match input::read_line(stream)? {
        Some(line) => Asked::Line(line),
        None => Asked::End,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(line: &str, place: usize, start: usize, expected: &[&str]) {
        let words = Words {
            letters: ["v", "lambda", "λ", "E_k"].map(str::to_owned).to_vec(),
            requests: &["hint", "letters", "show"],
        };
        let (found_start, found) = words.candidates(line, place);
        assert_eq!(
            (found_start, found),
            (
                start,
                expected.iter().map(|text| (*text).to_owned()).collect()
            )
        );
    }

    #[test]
    fn words_before_the_cursor_are_completed() {
        check("h", 1, 0, &["hint"]);
        check("l", 1, 0, &["lambda", "letters"]);
        check("v = l", 5, 4, &["lambda"]);
        check("2*E_", 4, 2, &["E_k"]);
    }
}
