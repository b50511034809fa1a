//! A question and a verdict as text, for the quiz and the drill.

use std::io::{self, Write};

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::practice::attempt::Lettering;
use crate::practice::connections::Joint;
use crate::practice::proportion::Scaling;
use crate::practice::question::{Letter, Marked, Question, Worked};
use crate::reason::equation::{Related, Relation};
use crate::reason::slip::Explanation;
use crate::reason::verdict::Note;
use crate::show::connections;
use crate::show::escape::escape;
use crate::show::line::name;
use crate::show::proportion;
use crate::show::remarks::{Mood, Remark, Words, domain_words, listed};
use crate::show::slips::{Remarks, another_formula, imbalance_words};
use crate::show::worked::{Layout, Page};
use crate::show::wrap::{unbroken, wrapped};
use crate::text::Diagnostic;

use super::style::Style;

/// `2 marks`.
#[must_use]
pub fn marks(count: usize) -> String {
    match count {
        1 => "1 mark".to_owned(),
        more => format!("{more} marks"),
    }
}

/// `Make a the subject.`
#[must_use]
pub fn request(question: &Question<'_>, style: &Style) -> String {
    let letter = name(question.subject(), question.table(), style.spelling);
    format!("Make {letter} the subject.")
}

/// Prints the heading of a question: its topic and what it is worth.
///
/// # Errors
/// When writing fails.
pub fn print_heading(
    out: &mut impl Write,
    heading: &str,
    title: Option<&str>,
    worth: usize,
    style: &Style,
) -> io::Result<()> {
    let heading = match title {
        Some(title) => format!("{heading} {} ({})", escape(title), marks(worth)),
        None => format!("{heading} ({})", marks(worth)),
    };
    let heading = wrapped(&heading, "", "   ", style.width);
    writeln!(out, "{}", style.heading(&heading))
}

/// Says when it holds, if that is known.
///
/// # Errors
/// When writing fails.
pub fn print_condition(
    out: &mut impl Write,
    condition: Option<&str>,
    style: &Style,
) -> io::Result<()> {
    let Some(condition) = condition else {
        return Ok(());
    };
    let condition = format!("when {}", escape(condition));
    writeln!(
        out,
        "{}",
        wrapped(&condition, "     ", "     ", style.width)
    )
}

/// Says which letters stand for what, where they are not the usual ones: or
/// the question would be a riddle.
///
/// # Errors
/// When writing fails.
pub fn print_letters(
    out: &mut impl Write,
    letters: &[Letter<'_>],
    table: &SymbolTable,
    style: &Style,
) -> io::Result<()> {
    let letters: Vec<String> = letters
        .iter()
        .filter_map(|letter| {
            let shown = name(letter.symbol, table, style.spelling);
            Some(format!("{shown} for {}", escape(letter.meaning?)))
        })
        .collect();
    let text = match listed(&letters) {
        Some(text) => format!("Other letters: {text}."),
        None => "Other letters.".to_owned(),
    };
    writeln!(out, "{}", wrapped(&text, "     ", "     ", style.width))
}

/// Prints what each letter stands for, one a line.
///
/// # Errors
/// When writing fails.
pub fn print_each_letter(
    out: &mut impl Write,
    letters: &[Letter<'_>],
    table: &SymbolTable,
    style: &Style,
) -> io::Result<()> {
    if letters.is_empty() {
        writeln!(out, "     There are no letters here.")?;
    }
    for letter in letters {
        let shown = name(letter.symbol, table, style.spelling);
        let mut text = match letter.meaning {
            Some(meaning) => escape(meaning).into_owned(),
            None => "a quantity".to_owned(),
        };
        match letter.unit {
            Some("1") => text.push_str(", no unit"),
            Some(unit) => text.push_str(&format!(", in {}", unbroken(&escape(unit)))),
            None => {}
        }
        text.push_str(&format!("; {}", domain_words(table.domain(letter.symbol))));
        let first = format!("     {shown:<8}");
        let text = wrapped(&text, &first, "             ", style.width);
        writeln!(out, "{text}")?;
    }
    Ok(())
}

/// Prints a question under its heading.
///
/// # Errors
/// When writing fails.
pub fn print_question(
    out: &mut impl Write,
    heading: &str,
    question: &Question<'_>,
    style: &Style,
    layout: Layout,
) -> io::Result<()> {
    print_formula(out, heading, question, question.marks, style, layout)?;
    writeln!(out, "   {}", request(question, style))
}

/// Prints a heading and a formula with what is said about it.
fn print_formula(
    out: &mut impl Write,
    heading: &str,
    question: &Question<'_>,
    worth: usize,
    style: &Style,
    layout: Layout,
) -> io::Result<()> {
    print_heading(out, heading, question.title(), worth, style)?;
    let page = style.page(layout);
    writeln!(
        out,
        "{}",
        page.equation(question.formula(), question.table(), 5)
    )?;
    print_condition(out, question.condition(), style)?;
    if question.lettering != Lettering::Sheet {
        print_letters(out, &question.letters(), question.table(), style)?;
    }
    Ok(())
}

/// Prints a question of proportion under its heading.
///
/// # Errors
/// When writing fails.
pub fn print_proportion(
    out: &mut impl Write,
    heading: &str,
    scaling: &Scaling<'_>,
    style: &Style,
    layout: Layout,
) -> io::Result<()> {
    print_formula(
        out,
        heading,
        &scaling.question,
        scaling.marks(),
        style,
        layout,
    )?;
    let words = proportion::Words {
        scaling,
        spelling: style.spelling,
    };
    let request = words.request();
    writeln!(out, "{}", wrapped(&request, "   ", "   ", style.width))
}

/// A connection as it is asked.
#[derive(Debug)]
pub struct Connection<'a> {
    /// The headings of its topics.
    pub title: Option<&'a str>,
    /// The physics of it, in a sentence.
    pub sentence: Option<&'a str>,
    /// Its formulae, one a line, set in from the margin.
    pub formulae: Vec<String>,
    /// When it holds.
    pub condition: Option<&'a str>,
    /// What is asked for.
    pub joint: &'a Joint,
}

/// Prints a connection under its heading.
///
/// # Errors
/// When writing fails.
pub fn print_connection(
    out: &mut impl Write,
    heading: &str,
    asked: &Connection<'_>,
    style: &Style,
) -> io::Result<()> {
    print_heading(out, heading, asked.title, asked.joint.marks(), style)?;
    print_connection_itself(out, asked, style)
}

/// Prints what a connection says and asks.
///
/// # Errors
/// When writing fails.
pub fn print_connection_itself(
    out: &mut impl Write,
    asked: &Connection<'_>,
    style: &Style,
) -> io::Result<()> {
    if let Some(sentence) = asked.sentence {
        let sentence = escape(sentence);
        writeln!(out, "{}", wrapped(&sentence, "   ", "   ", style.width))?;
    }
    for line in &asked.formulae {
        writeln!(out, "{line}")?;
    }
    print_condition(out, asked.condition, style)?;
    let request = connections::request(asked.joint, style.spelling);
    writeln!(out, "{}", wrapped(&request, "   ", "   ", style.width))
}

/// The verdict on an answer in words.
#[must_use]
pub fn remark(question: &Question<'_>, marked: &Marked, style: &Style) -> Remark {
    words(marked, style).answer(
        &marked.judgement,
        &marked.reading.chain,
        &question.formula().symbols(),
        question.subject(),
    )
}

fn words<'a>(marked: &'a Marked, style: &Style) -> Words<'a> {
    Words {
        table: &marked.table,
        spelling: style.spelling,
    }
}

/// Prints what was read and the verdict on it.
///
/// # Errors
/// When writing fails.
pub fn print_verdict(
    out: &mut impl Write,
    question: &Question<'_>,
    marked: &Marked,
    style: &Style,
    layout: Layout,
) -> io::Result<()> {
    writeln!(out, "   Read as:")?;
    let page = style.page(layout);
    print_reading(out, question, marked, &page, style)?;
    let remark = remark(question, marked, style);
    writeln!(out, "   {}", style.verdict(remark.mood, remark.word))?;
    for paragraph in &remark.told {
        writeln!(out, "{}", wrapped(paragraph, "   ", "   ", style.width))?;
    }
    if let Some(imbalance) = question.imbalance(marked) {
        let told = imbalance_words(&imbalance);
        writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
    }
    // One reason is enough; a slip in this formula is the nearer one.
    if let Some(formula) = question.answers_another(marked)
        && question.explain(marked).is_none()
    {
        let told = another_formula(&escape(formula.text()));
        writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
    }
    Ok(())
}

/// Prints the slip behind a wrong answer.
///
/// # Errors
/// When writing fails.
pub fn print_slip(
    out: &mut impl Write,
    explanation: &Explanation,
    subject: Symbol,
    table: &SymbolTable,
    style: &Style,
) -> io::Result<()> {
    let remarks = Remarks {
        table,
        spelling: style.spelling,
        subject,
    };
    let told = remarks.explanation(explanation);
    writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))
}

/// Prints lines of working with what became of each, the reason at the first
/// that does not follow, and the marks.
///
/// # Errors
/// When writing fails.
pub fn print_working(
    out: &mut impl Write,
    question: &Question<'_>,
    worked: &Worked,
    style: &Style,
) -> io::Result<()> {
    print_lines(out, question, worked, |line| line, style)
}

/// [`print_working`] with the lines numbered as `place` says, from 0: some
/// between them may not have been readable.
///
/// # Errors
/// When writing fails.
pub fn print_lines(
    out: &mut impl Write,
    question: &Question<'_>,
    worked: &Worked,
    place: impl Fn(usize) -> usize,
    style: &Style,
) -> io::Result<()> {
    let working = &worked.working;
    let words = Words {
        table: &worked.table,
        spelling: style.spelling,
    };
    writeln!(out, "   Your working:")?;
    for (number, line) in working.lines.iter().enumerate() {
        let mood = match (line.follows, line.relation) {
            (Some(_), _) => Mood::Good,
            (None, Relation::Undecided(_)) => Mood::Open,
            (None, _) => Mood::Bad,
        };
        let maths = words.read_as(&line.chain, question.subject());
        let first = format!(
            "   {:>3}  {} ",
            place(number) + 1,
            mood.sign(style.spelling)
        );
        writeln!(
            out,
            "{}",
            wrapped(&maths, &first, "          ", style.width)
        )?;
        if working.first_bad == Some(number) {
            let related = Related {
                relation: line.relation,
                evidence: line.evidence.clone(),
            };
            let from = if number == 0 {
                "the formula"
            } else {
                "the line before"
            };
            let told = format!("This line does not follow from {from}.");
            writeln!(
                out,
                "{}",
                wrapped(&told, "          ", "          ", style.width)
            )?;
            let remark = words.relation(&related, &line.chain);
            for paragraph in remark.told.iter().skip(1) {
                writeln!(
                    out,
                    "{}",
                    wrapped(paragraph, "          ", "          ", style.width)
                )?;
            }
            if let Some(explanation) = &line.explanation {
                let remarks = Remarks {
                    table: &worked.table,
                    spelling: style.spelling,
                    subject: question.subject(),
                };
                let told = remarks.explanation(explanation);
                writeln!(
                    out,
                    "{}",
                    wrapped(&told, "          ", "          ", style.width)
                )?;
            }
        } else if working.first_bad.is_some_and(|bad| bad < number) && line.marks > 0 {
            let told = format!(
                "This follows from the line before: {} for the method.",
                marks(line.marks)
            );
            writeln!(
                out,
                "{}",
                wrapped(&told, "          ", "          ", style.width)
            )?;
        }
    }
    let told = format!(
        "Marks for the working: {} of {}.",
        working.awarded, working.available
    );
    writeln!(out, "   {told}")
}

fn print_reading(
    out: &mut impl Write,
    question: &Question<'_>,
    marked: &Marked,
    page: &Page,
    style: &Style,
) -> io::Result<()> {
    let chain = &marked.reading.chain;
    let equation = match chain.as_slice() {
        [value] if !value.contains(question.subject()) => Some(Equation::new(
            Expr::Symbol(question.subject()),
            value.clone(),
        )),
        [left, right] => Some(Equation::new(left.clone(), right.clone())),
        _ => None,
    };
    // Where the slash is the matter, two dimensions show what one can't.
    let doubtful = marked
        .judgement
        .notes
        .iter()
        .any(|note| matches!(note, Note::AmbiguousSlash | Note::AmbiguousReading));
    let page = Page {
        layout: if doubtful {
            style.laid_out(Layout::Grid)
        } else {
            page.layout
        },
        ..*page
    };
    match equation {
        Some(equation) => writeln!(out, "{}", page.equation(&equation, &marked.table, 5)),
        None => {
            let words = Words {
                table: &marked.table,
                spelling: page.spelling,
            };
            let text = words.read_as(chain, question.subject());
            writeln!(out, "{}", wrapped(&text, "     ", "       ", page.width))
        }
    }
}

/// Prints what was wrong with a line that can't be read.
///
/// # Errors
/// When writing fails.
pub fn print_fault(out: &mut impl Write, fault: &Diagnostic, style: &Style) -> io::Result<()> {
    writeln!(
        out,
        "   {}",
        style.verdict(Mood::Open, "I can't read this.")
    )?;
    print_reason(out, fault, "   ", style)
}

/// Prints why a line can't be read, behind `indent`.
///
/// # Errors
/// When writing fails.
pub fn print_reason(
    out: &mut impl Write,
    fault: &Diagnostic,
    indent: &str,
    style: &Style,
) -> io::Result<()> {
    for line in fault.render().lines() {
        // A line with carets must keep its columns.
        if line.starts_with("  ") {
            writeln!(out, "{indent}{line}")?;
        } else {
            writeln!(out, "{}", wrapped(line, indent, indent, style.width))?;
        }
    }
    Ok(())
}
