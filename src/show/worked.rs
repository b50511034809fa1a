//! A worked change of subject, step by step.

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::reason::isolate::{Dropped, Solution};
use crate::reason::step::Step;

use super::grid;
use super::line::{self, Spelling, name};
use super::steps::Words;
use super::wrap::wrapped;

/// What stands for a step that is left to the student.
const BLANK: &str = "________";

/// How equations are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// On one line, as it would be typed.
    Line,
    /// In two dimensions: fractions stacked, roots with a bar.
    Grid,
}

/// Where and with which characters something is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// Which characters may be used.
    pub spelling: Spelling,
    /// Columns.
    pub width: usize,
    /// How equations are laid out.
    pub layout: Layout,
}

impl Page {
    /// An equation, indented. Without a line break at the end.
    #[must_use]
    pub fn equation(&self, equation: &Equation, table: &SymbolTable, indent: usize) -> String {
        let pad = " ".repeat(indent);
        match self.layout {
            Layout::Line => {
                let text = line::equation(equation, table, self.spelling);
                wrapped(
                    &super::wrap::unbroken(&text),
                    &pad,
                    &format!("{pad}  "),
                    self.width,
                )
            }
            Layout::Grid => {
                let room = self.width.saturating_sub(indent).max(1);
                let rows = grid::equation(equation, table, self.spelling, room);
                let rows: Vec<String> = rows
                    .iter()
                    .map(|row| format!("{pad}{row}").trim_end().to_owned())
                    .collect();
                rows.join("\n")
            }
        }
    }
}

/// The whole working: the steps numbered, the equation after each, the
/// solutions at the end with what they need, and the roots that were left out.
/// Ends with a line break.
#[must_use]
pub fn working(
    solutions: &[Solution],
    dropped: &[Dropped],
    complete: bool,
    subject: Symbol,
    table: &SymbolTable,
    page: &Page,
) -> String {
    let words = Words {
        table,
        spelling: page.spelling,
        subject,
    };
    let mut out = String::new();
    let paths = distinct(solutions);
    let common = shared(&paths);
    if let Some(first) = paths.first() {
        steps(&mut out, &first[..common], 0, &words, page);
    }
    let split = paths.len() > 1;
    for (number, path) in paths.iter().enumerate() {
        if split {
            out.push_str(&format!("\nFor solution {}:\n\n", number + 1));
        }
        steps(&mut out, &path[common..], common, &words, page);
    }
    out.push('\n');
    results(&mut out, solutions, &paths, &words, page);
    let mut told: Vec<String> = dropped.iter().map(|root| words.dropped(root)).collect();
    told.dedup();
    if !complete {
        told.push(format!(
            "There may be further solutions for {} that I can't give.",
            name(subject, table, page.spelling)
        ));
    }
    for sentence in told {
        out.push_str(&wrapped(&sentence, "", "", page.width));
        out.push('\n');
    }
    out
}

/// How many steps of a path are shown when so many that pay a mark are blank.
#[must_use]
pub fn shown_steps(path: &[Step], blanks: usize) -> usize {
    let paying = path
        .iter()
        .enumerate()
        .rev()
        .filter(|(_, step)| step.pays());
    match blanks.checked_sub(1) {
        None => path.len(),
        Some(before) => paying.map(|(place, _)| place).nth(before).unwrap_or(0),
    }
}

/// A path whose last steps are blank. Ends with a line break.
#[must_use]
pub fn example(
    path: &[Step],
    blanks: usize,
    subject: Symbol,
    table: &SymbolTable,
    page: &Page,
) -> String {
    let words = Words {
        table,
        spelling: page.spelling,
        subject,
    };
    let shown = shown_steps(path, blanks);
    let mut out = String::new();
    steps(&mut out, &path[..shown], 0, &words, page);
    for blank in 0..blanks {
        out.push_str(&format!("{:>2}. {BLANK}\n", shown + blank + 1));
    }
    out
}

/// The solutions with what they need. Two that differ by a sign are written
/// as one line, which is how an answer gives them both.
fn results(
    out: &mut String,
    solutions: &[Solution],
    paths: &[&[Step]],
    words: &Words<'_>,
    page: &Page,
) {
    let both = match (paths, solutions) {
        ([path], [first, _]) => path
            .last()
            .map(|step| (&step.equation, first))
            .filter(|(equation, _)| equation.right.has_doubled_sign()),
        _ => None,
    };
    let letter = Expr::Symbol(words.subject);
    let results: Vec<(Equation, &Solution)> = match both {
        Some((equation, solution)) => vec![(equation.clone(), solution)],
        None => solutions
            .iter()
            .map(|solution| {
                let equation = Equation::new(letter.clone(), solution.value.clone());
                (equation, solution)
            })
            .collect(),
    };
    out.push_str(match results.len() {
        1 => "So:\n",
        _ => "So there is more than one solution:\n",
    });
    for (equation, solution) in results {
        out.push_str(&page.equation(&equation, words.table, 5));
        out.push('\n');
        let needs: Vec<String> = solution
            .conditions
            .iter()
            .map(|condition| words.condition(condition))
            .collect();
        if let Some(needs) = super::remarks::listed(&needs) {
            out.push_str(&wrapped(
                &format!("provided {needs}."),
                "     ",
                "     ",
                page.width,
            ));
            out.push('\n');
        }
    }
}

/// The paths, each once.
fn distinct(solutions: &[Solution]) -> Vec<&[Step]> {
    let mut paths: Vec<&[Step]> = Vec::new();
    for solution in solutions {
        if !paths.contains(&solution.path.as_slice()) {
            paths.push(&solution.path);
        }
    }
    paths
}

/// How many first steps all paths have in common.
fn shared(paths: &[&[Step]]) -> usize {
    let Some((first, others)) = paths.split_first() else {
        return 0;
    };
    others.iter().fold(first.len(), |common, path| {
        first
            .iter()
            .zip(path.iter())
            .take(common)
            .take_while(|(left, right)| left == right)
            .count()
    })
}

fn steps(out: &mut String, path: &[Step], before: usize, words: &Words<'_>, page: &Page) {
    for (index, step) in path.iter().enumerate() {
        let number = format!("{:>2}. ", before + index + 1);
        out.push_str(&wrapped(&words.sentence(step), &number, "    ", page.width));
        out.push('\n');
        out.push_str(&page.equation(&step.equation, words.table, 8));
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reason::isolate::{Outcome, isolate};
    use crate::text::{Undeclared, Vocabulary, read_equation};

    fn shown(formula: &str, subject: &str, real: &[&str]) -> String {
        let mut vocabulary = Vocabulary::new();
        for letter in real {
            vocabulary.declare(letter, crate::algebra::symbol::Domain::Real);
        }
        let equation = read_equation(formula, &mut vocabulary, Undeclared::Declare).unwrap();
        let subject = vocabulary.lookup(subject).unwrap();
        let Outcome::Solved {
            solutions,
            complete,
            dropped,
        } = isolate(&equation, subject, vocabulary.table())
        else {
            panic!("no closed form");
        };
        let page = Page {
            spelling: Spelling::Ascii,
            width: 80,
            layout: Layout::Line,
        };
        working(
            &solutions,
            &dropped,
            complete,
            subject,
            vocabulary.table(),
            &page,
        )
    }

    #[test]
    fn every_step_and_the_solution_are_there() {
        let text = shown("v = u + a t", "a", &[]);
        assert!(text.starts_with(" 1. "), "{text}");
        assert!(text.ends_with("So:\n     a = (v - u)/t\n"), "{text}");
        let both = shown("v^2 = u^2 + 2 a s", "u", &["u", "v", "a", "s"]);
        assert!(
            both.contains(
                "So:\n     u = +/-sqrt(v^2 - 2as)\n     provided v^2 - 2as is not negative.\n"
            ),
            "{both}"
        );
        let cases = shown("x^3 = x y", "x", &["x", "y"]);
        assert!(cases.contains("more than one solution"), "{cases}");
    }
}
