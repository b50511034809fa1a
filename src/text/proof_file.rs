//! A proof in a plain text file: what is given, what is to be shown, and the
//! lines of a working.
//!
//! ```text
//! quantity u, v, a: real
//! given v = u + a t
//! given s = 1/2 (u + v) t
//! show v^2 = u^2 + 2 a s
//! mark M1 when a line has no t
//!
//! t = (v - u)/a
//! s = (u + v)(v - u)/(2 a)
//! v^2 = u^2 + 2 a s
//! ```
//!
//! Each line that does not begin with one of these words is a line of the
//! working; `#` begins a remark.

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::span::Span;
use crate::algebra::symbol::Domain;

/// A text with the number of its line, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// The number of the line.
    pub line: usize,
    /// The text.
    pub text: String,
}

/// What a proof file says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ProofFile {
    /// Names with their domains.
    pub quantities: Vec<(String, Domain)>,
    /// Functions with what they depend on.
    pub functions: Vec<(String, Vec<String>)>,
    /// What may be used.
    pub given: Vec<Placed>,
    /// Letters that the question brings in.
    pub helpers: Vec<Placed>,
    /// What is to be shown.
    pub goal: Option<Placed>,
    /// Approximations that are granted.
    pub granted: Vec<Placed>,
    /// Codes and conditions of marks.
    pub marks: Vec<(String, String)>,
    /// The lines of the working.
    pub lines: Vec<Placed>,
}

fn keyword<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let rest = text.strip_prefix(word)?;
    rest.starts_with([' ', '\t', ':'])
        .then(|| rest.trim_start_matches([' ', '\t', ':']).trim())
}

/// Reads the structure of a proof file; the maths stays text.
///
/// # Errors
/// A line that begins with one of the words but does not say what it must.
pub fn proof_file(text: &str) -> Result<ProofFile, Diagnostic> {
    let mut file = ProofFile::default();
    for (at, whole) in text.lines().enumerate() {
        let line = at + 1;
        let plain = whole.split('#').next().unwrap_or_default().trim();
        let plain = plain.trim_start_matches('\u{feff}');
        if plain.is_empty() {
            continue;
        }
        let fault = |message: &str, mend: &str| {
            Err(Diagnostic::new(
                DiagnosticKind::Sheet,
                format!("line {line}: {message}"),
                whole,
                Span::new(0, whole.len()),
            )
            .with_mend(mend))
        };
        let placed = |text: &str| Placed {
            line,
            text: text.to_owned(),
        };
        if let Some(rest) = keyword(plain, "quantity") {
            let Some((names, details)) = rest.split_once(':') else {
                return fault(
                    "a quantity needs a colon behind its letter.",
                    "Write it like this: quantity v: real",
                );
            };
            let domain = details
                .split(',')
                .filter_map(|detail| Domain::from_keyword(detail.trim()))
                .next_back()
                .unwrap_or_default();
            for name in names.split(',') {
                file.quantities.push((name.trim().to_owned(), domain));
            }
        } else if let Some(rest) = keyword(plain, "function") {
            let parts = rest.strip_suffix(')').and_then(|rest| rest.split_once('('));
            let Some((name, arguments)) = parts else {
                return fault(
                    "a function needs what it depends on.",
                    "Write it like this: function x(t)",
                );
            };
            let arguments = arguments.split(',').map(|name| name.trim().to_owned());
            file.functions
                .push((name.trim().to_owned(), arguments.collect()));
        } else if let Some(rest) = keyword(plain, "given") {
            file.given.push(placed(rest));
        } else if let Some(rest) = keyword(plain, "helper") {
            file.helpers.push(placed(rest));
        } else if let Some(rest) = keyword(plain, "show") {
            if file.goal.is_some() {
                return fault(
                    "there is a show line already.",
                    "Put each result to be shown into a file of its own.",
                );
            }
            file.goal = Some(placed(rest));
        } else if let Some(rest) = keyword(plain, "grant") {
            file.granted.push(placed(rest));
        } else if let Some(rest) = keyword(plain, "mark") {
            let Some((code, condition)) = rest.split_once([' ', '\t']) else {
                return fault(
                    "a mark needs a condition.",
                    "Write it like this: mark M1 when a line has no t",
                );
            };
            file.marks
                .push((code.to_owned(), condition.trim().to_owned()));
        } else {
            let text = keyword(plain, "line").unwrap_or(plain);
            file.lines.push(placed(text));
        }
    }
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_taken_apart() {
        let file = proof_file(
            "quantity u, v: real\nfunction x(t)\ngiven v = u + a t # a remark\nshow v = u\n\
             grant small-angle\nmark M1 when a line has no t\n\nv - u = a t\nline v = u\n",
        )
        .expect("it is well formed");
        assert_eq!(
            file.quantities,
            [
                ("u".to_owned(), Domain::Real),
                ("v".to_owned(), Domain::Real)
            ]
        );
        assert_eq!(file.functions, [("x".to_owned(), vec!["t".to_owned()])]);
        assert_eq!(file.given[0].text, "v = u + a t");
        assert_eq!(file.goal.map(|goal| goal.line), Some(4));
        assert_eq!(file.granted[0].text, "small-angle");
        assert_eq!(
            file.marks,
            [("M1".to_owned(), "when a line has no t".to_owned())]
        );
        let lines: Vec<&str> = file.lines.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(lines, ["v - u = a t", "v = u"]);
    }

    #[test]
    fn what_is_incomplete_is_told() {
        for text in [
            "quantity v",
            "function x",
            "show v = u\nshow u = v",
            "mark M1",
        ] {
            assert!(proof_file(text).is_err(), "{text}");
        }
    }
}
