//! Colour, characters and width, as the terminal and its user want them.
//!
//! Colour is never the only signal: a word and a sign say the same.

use std::io::IsTerminal;

use colored::Colorize;

use crate::show::line::Spelling;
use crate::show::remarks::Mood;
use crate::show::worked::{Layout, Page};

/// The width where none is known.
const USUAL_WIDTH: usize = 80;
/// Lines longer than this are hard to read.
const WIDEST: usize = 100;
/// Below this, nothing sensible can be laid out.
const NARROWEST: usize = 24;

/// How output looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Whether colours are used.
    pub colour: bool,
    /// Which characters may be used.
    pub spelling: Spelling,
    /// Columns of a line.
    pub width: usize,
    /// Whether maths stays on one line: for a terminal that writes line after
    /// line, and for a screen reader, to whom a fraction of three lines says
    /// nothing.
    pub flat: bool,
}

impl Style {
    /// The style of standard output, from the terminal and the environment.
    #[must_use]
    pub fn of_stdout() -> Self {
        let terminal = std::io::stdout().is_terminal();
        let variable = |name: &str| std::env::var(name).ok();
        let style = Style::from(terminal, variable, terminal_width());
        // The decision is ours alone: one place, one rule.
        colored::control::set_override(style.colour);
        style
    }

    fn from(
        terminal: bool,
        variable: impl Fn(&str) -> Option<String>,
        width: Option<usize>,
    ) -> Self {
        let set = |name: &str| variable(name).filter(|value| !value.is_empty());
        let colour = if set("NO_COLOR").is_some() {
            false
        } else if set("CLICOLOR_FORCE").is_some_and(|value| value != "0") {
            true
        } else {
            terminal
                && set("TERM").is_none_or(|value| value != "dumb")
                && set("CLICOLOR").is_none_or(|value| value != "0")
        };
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(set);
        let unicode = match locale {
            Some(locale) => {
                let locale = locale.to_ascii_lowercase();
                locale.contains("utf-8") || locale.contains("utf8")
            }
            // Without a locale, only systems whose terminals are Unicode
            // whatever the locale are trusted.
            None => cfg!(any(windows, target_os = "macos")),
        };
        Style {
            colour,
            spelling: if unicode {
                Spelling::Unicode
            } else {
                Spelling::Ascii
            },
            // Shells keep this to themselves; who exports it means it.
            width: set("COLUMNS")
                .and_then(|columns| columns.trim().parse().ok())
                .filter(|columns| *columns > 0)
                .or(width.filter(|_| terminal))
                .unwrap_or(USUAL_WIDTH)
                .clamp(NARROWEST, WIDEST),
            flat: set("TERM").is_some_and(|value| value == "dumb"),
        }
    }

    /// The characters that may be used, where people read; programs get text
    /// as it is.
    #[must_use]
    pub fn spelling_if(&self, for_people: bool) -> Spelling {
        if for_people {
            self.spelling
        } else {
            Spelling::Unicode
        }
    }

    /// A page of this style.
    #[must_use]
    pub fn page(&self, layout: Layout) -> Page {
        Page {
            spelling: self.spelling,
            width: self.width,
            layout: self.laid_out(layout),
        }
    }

    /// This layout, where the terminal can show it.
    #[must_use]
    pub fn laid_out(&self, layout: Layout) -> Layout {
        if self.flat { Layout::Line } else { layout }
    }

    /// A verdict's sign and word.
    #[must_use]
    pub fn verdict(&self, mood: Mood, word: &str) -> String {
        let text = format!("{} {word}", mood.sign(self.spelling));
        match mood {
            Mood::Good => text.green().bold().to_string(),
            Mood::Bad => text.red().bold().to_string(),
            Mood::Open => text.yellow().bold().to_string(),
        }
    }

    /// A heading.
    #[must_use]
    pub fn heading(&self, text: &str) -> String {
        text.bold().to_string()
    }
}

fn terminal_width() -> Option<usize> {
    let (width, _) = terminal_size::terminal_size()?;
    Some(usize::from(width.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(terminal: bool, variables: &[(&str, &str)], colour: bool, unicode: bool) {
        let variable = |name: &str| {
            variables
                .iter()
                .find(|(own, _)| *own == name)
                .map(|(_, value)| (*value).to_owned())
        };
        let style = Style::from(terminal, variable, Some(60));
        assert_eq!(style.colour, colour, "{variables:?}");
        assert_eq!(
            style.spelling == Spelling::Unicode,
            unicode,
            "{variables:?}"
        );
        assert_eq!(style.width, if terminal { 60 } else { 80 });
    }

    #[test]
    fn the_width_is_the_one_that_was_asked_for() {
        let check = |terminal: bool, columns: Option<&str>, width: Option<usize>, expected| {
            let variable = |name: &str| {
                let columns = columns.filter(|_| name == "COLUMNS");
                columns.map(str::to_owned)
            };
            assert_eq!(Style::from(terminal, variable, width).width, expected);
        };
        check(true, None, Some(60), 60);
        check(true, None, None, 80);
        check(true, None, Some(3), NARROWEST);
        check(true, None, Some(200), WIDEST);
        check(false, None, Some(60), 80);
        check(true, Some("40"), Some(60), 40);
        check(false, Some("40"), None, 40);
        check(false, Some("200"), None, WIDEST);
        for senseless in ["", "0", "-5", "wide", "99999999999999999999999"] {
            check(true, Some(senseless), Some(60), 60);
        }
    }

    #[test]
    fn the_environment_decides() {
        let utf = ("LANG", "en_GB.UTF-8");
        check(true, &[utf], true, true);
        check(false, &[utf], false, true);
        check(true, &[utf, ("NO_COLOR", "1")], false, true);
        check(true, &[utf, ("NO_COLOR", "")], true, true);
        check(true, &[utf, ("TERM", "dumb")], false, true);
        check(true, &[utf, ("CLICOLOR", "0")], false, true);
        check(false, &[utf, ("CLICOLOR_FORCE", "1")], true, true);
        check(
            false,
            &[utf, ("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")],
            false,
            true,
        );
        let flat = |term: &str| {
            let variable = |name: &str| (name == "TERM").then(|| term.to_owned());
            let style = Style::from(true, variable, None);
            style.laid_out(Layout::Grid) == Layout::Line
        };
        assert!(flat("dumb") && !flat("xterm") && !flat(""));
        check(true, &[("LANG", "C")], true, false);
        check(true, &[utf, ("LC_ALL", "POSIX")], true, false);
        check(true, &[utf, ("LC_ALL", "")], true, true);
    }
}
