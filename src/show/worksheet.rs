//! A worksheet: questions with space for working, and a mark scheme with the
//! steps, what each is worth and the slips to look out for. As a page that
//! prints on A4, and as LaTeX.

use std::fmt::Write as _;

use crate::algebra::expr::{Equation, Expr};
use crate::practice::argument::Argument;
use crate::practice::connections::Joint;
use crate::practice::paper::Entry;
use crate::practice::proportion::Scaling;
use crate::practice::question::Question;
use crate::practice::script::{Ready, Task};
use crate::reason::step;

use super::connections;
use super::deeds::Deeds;
use super::latex;
use super::line::Spelling;
use super::mathml;
use super::page;
use super::proportion;
use super::steps;
use super::typeset::{self, Piece};

/// Slips that a mark scheme names for one question.
const MOST_SLIPS: usize = 3;
/// Ruled lines for a question: so many, and so many more for each mark.
const LINES: usize = 2;
const LINES_A_MARK: usize = 2;
const MOST_LINES: usize = 16;

/// Behind the route of a mark scheme.
const ANY_ROUTE: &str = "Any route that leads there is right.";

/// What goes on the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The questions.
    Questions,
    /// The mark scheme.
    Scheme,
    /// Both, the mark scheme on a page of its own.
    Both,
}

/// A piece of a worksheet, before it is written down one way or the other.
#[derive(Clone)]
enum Item {
    /// A question's number, heading and marks.
    Question(usize, Option<String>, usize),
    /// A sentence.
    Sentence(String),
    /// Which letter to make the subject.
    Request(Piece),
    /// What stands in front, and maths.
    Maths(&'static str, Piece),
    /// Room for so many lines.
    Room(usize),
    /// A step of the mark scheme: what is done, the marks, the line after.
    Step(String, usize, Option<Piece>),
    /// The slips to look out for: what was done, and the answer that it gives.
    Slips(Vec<(String, Piece)>),
}

/// The parts of one worksheet.
struct Sheet {
    questions: Vec<Item>,
    scheme: Vec<Item>,
    marks: usize,
}

impl Sheet {
    fn of(questions: &[Ready<'_>]) -> Self {
        let mut sheet = Sheet {
            questions: Vec::new(),
            scheme: Vec::new(),
            marks: 0,
        };
        for ready in questions {
            let marks = ready.marks();
            sheet.marks += marks;
            let heading = |title| Item::Question(ready.entry.number, title, marks);
            sheet.questions.push(heading(ready.entry.title.clone()));
            sheet.scheme.push(heading(ready.entry.title.clone()));
            let (asked, answered) = (sheet.questions.len(), sheet.scheme.len());
            match &ready.task {
                Task::Rearrangement(question) => sheet.rearrangement(question),
                Task::Proof(argument) => sheet.proof(&ready.entry, argument),
                Task::Definition(_) => sheet.definition(&ready.entry),
                Task::Proportion(scaling) => sheet.proportion(scaling),
                Task::Connection(joint) => sheet.connection(&ready.entry, joint),
            }
            // The scheme says what it is a scheme of.
            let asked: Vec<Item> = sheet.questions[asked..].to_vec();
            sheet.scheme.splice(answered..answered, asked);
            let room = (LINES + LINES_A_MARK * marks).min(MOST_LINES);
            sheet.questions.push(Item::Room(room));
        }
        sheet
    }

    fn definition(&mut self, entry: &Entry) {
        let term = entry.term.as_deref().unwrap_or("the term");
        let asked = format!("Define {term} in words.");
        self.questions.push(Item::Sentence(asked));
        if let Some(said) = &entry.statement {
            self.scheme.push(Item::Sentence(said.clone()));
        }
    }

    fn connection(&mut self, entry: &Entry, joint: &Joint) {
        let table = joint.question.table();
        if let Some(statement) = &entry.statement {
            self.questions.push(Item::Sentence(statement.clone()));
        }
        for part in joint.parts() {
            let part = typeset::equation(part, table);
            self.questions.push(Item::Maths("", part));
        }
        self.condition(entry.condition.as_deref());
        let request = connections::request(joint, Spelling::Unicode);
        self.questions.push(Item::Sentence(request));
        for line in [joint.question.formula(), &joint.goal] {
            self.scheme
                .push(Item::Maths("", typeset::equation(line, table)));
        }
        for mark in joint.scheme() {
            self.scheme.push(Item::Step(mark, 1, None));
        }
        self.scheme.push(Item::Sentence(ANY_ROUTE.to_owned()));
    }

    fn proportion(&mut self, scaling: &Scaling<'_>) {
        let words = proportion::Words {
            scaling,
            spelling: Spelling::Unicode,
        };
        let formula = typeset::equation(scaling.question.formula(), scaling.table());
        self.questions.push(Item::Maths("", formula));
        self.condition(scaling.question.condition());
        self.questions.push(Item::Sentence(words.request()));
        // One mark for the power, where there is one; one for the factor.
        let lines = words.working();
        let last = lines.len().saturating_sub(1);
        for (place, line) in lines.into_iter().enumerate() {
            let power = place == 0 && scaling.marks() > 1;
            let marks = usize::from(power || place == last);
            self.scheme.push(Item::Step(line, marks, None));
        }
        let slips: Vec<(String, Piece)> = scaling
            .likely_slips(MOST_SLIPS)
            .into_iter()
            .map(|(slip, factor)| {
                let said = words.said_of(&factor);
                (
                    words.deed(&slip),
                    typeset::expression(&said, scaling.table()),
                )
            })
            .collect();
        if !slips.is_empty() {
            self.scheme.push(Item::Slips(slips));
        }
    }

    /// Says when a formula holds.
    fn condition(&mut self, condition: Option<&str>) {
        if let Some(condition) = condition {
            self.questions
                .push(Item::Sentence(format!("when {condition}.")));
        }
    }

    fn rearrangement(&mut self, question: &Question<'_>) {
        let table = question.table();
        let letter = typeset::expression(&Expr::Symbol(question.subject()), table);
        let formula = typeset::equation(question.formula(), table);
        self.questions.push(Item::Request(letter));
        self.questions.push(Item::Maths("", formula));
        self.condition(question.condition());
        let words = steps::Words {
            table,
            spelling: Spelling::Unicode,
            subject: question.subject(),
        };
        let Some(first) = question.solutions.first() else {
            return;
        };
        let paid = step::paid(&first.path);
        for (step, paid) in first.path.iter().zip(paid) {
            let after = typeset::equation(&step.equation, table);
            self.scheme.push(Item::Step(
                words.sentence(step),
                usize::from(paid),
                Some(after),
            ));
        }
        if question.solutions.len() > 1 {
            let doubled = first
                .path
                .last()
                .is_some_and(|step| step.equation.right.has_doubled_sign());
            for solution in question.solutions.iter().skip(if doubled { 2 } else { 1 }) {
                let answer =
                    Equation::new(Expr::Symbol(question.subject()), solution.value.clone());
                self.scheme
                    .push(Item::Maths("or ", typeset::equation(&answer, table)));
            }
        }
        let deeds = Deeds {
            table,
            spelling: Spelling::Unicode,
            subject: question.subject(),
        };
        let slips: Vec<(String, Piece)> = question
            .likely_slips(MOST_SLIPS)
            .into_iter()
            .map(|(value, slip)| {
                let wrong = Equation::new(Expr::Symbol(question.subject()), value);
                (deeds.slip(&slip), typeset::equation(&wrong, table))
            })
            .collect();
        if !slips.is_empty() {
            self.scheme.push(Item::Slips(slips));
        }
    }

    fn proof(&mut self, entry: &Entry, argument: &Argument) {
        let table = argument.vocabulary.table();
        if let Some(statement) = &entry.statement {
            self.questions.push(Item::Sentence(statement.clone()));
        }
        for chain in &argument.task.given {
            self.questions
                .push(Item::Maths("given ", typeset::chain(chain, table)));
        }
        for chain in &argument.task.helpers {
            self.questions
                .push(Item::Maths("let ", typeset::chain(chain, table)));
        }
        let goal = typeset::chain(&argument.task.goal, table);
        self.questions.push(Item::Maths("show that ", goal));
        self.condition(entry.condition.as_deref());
        for line in argument.chains(&entry.route) {
            self.scheme
                .push(Item::Maths("", typeset::chain(&line, table)));
        }
        if entry.scheme.is_empty() {
            let words = ["A line of working that follows.", "The result, shown."];
            for words in words {
                self.scheme.push(Item::Step(words.to_owned(), 1, None));
            }
        }
        for mark in &entry.scheme {
            self.scheme.push(Item::Step(mark.clone(), 1, None));
        }
        self.scheme.push(Item::Sentence(ANY_ROUTE.to_owned()));
    }
}

const STYLE: &str = "
@page { size: A4; margin: 18mm 16mm; }
body { font: 11pt/1.4 'Liberation Serif', 'Times New Roman', serif; color: #000;
  background: #fff; max-width: 178mm; margin: 0 auto; }
header { border-bottom: 1pt solid #000; margin-bottom: 6mm; }
h1 { font-size: 15pt; margin: 0 0 2mm; }
h2 { font-size: 11pt; margin: 0 0 1mm; display: flex; justify-content: space-between; }
.who { display: flex; gap: 8mm; margin: 0 0 3mm; }
.who span { flex: 1; border-bottom: .5pt solid #555; padding-top: 4mm; }
section { break-inside: avoid; margin: 0 0 6mm; }
section.long { break-inside: auto; }
p { margin: 0 0 1mm; }
math { font-size: 1.12em; font-family: 'STIX Two Math', 'Latin Modern Math', 'Cambria Math', math; }
.maths { margin: 1mm 0 2mm 8mm; }
.room div { border-bottom: .4pt solid #aaa; height: 8mm; }
.step { display: flex; justify-content: space-between; gap: 6mm; margin: 0 0 .5mm; }
.slips { margin: 1mm 0 0; padding-left: 8mm; }
.slips li { margin: 0 0 .5mm; }
.scheme { break-before: page; }
";

/// The worksheet as a page for a browser: no script, nothing from outside.
#[must_use]
pub fn html(questions: &[Ready<'_>], title: &str, part: Part) -> String {
    let sheet = Sheet::of(questions);
    let title = page::text(title);
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n<meta \
         http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src \
         'unsafe-inline'\">\n<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
    );
    if part != Part::Scheme {
        let _ = write!(
            out,
            "<main>\n<header>\n<h1>{title}</h1>\n<p class=\"who\"><span>Name</span>\
             <span>Date</span><span>Marks: &emsp;&emsp; of {}</span></p>\n</header>\n",
            sheet.marks
        );
        items(&mut out, &sheet.questions);
        out.push_str("</main>\n");
    }
    if part != Part::Questions {
        let class = if part == Part::Both {
            " class=\"scheme\""
        } else {
            ""
        };
        let _ = write!(
            out,
            "<main{class}>\n<header>\n<h1>{title}: mark scheme</h1>\n</header>\n"
        );
        items(&mut out, &sheet.scheme);
        out.push_str("</main>\n");
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn bracketed(marks: usize) -> String {
    match marks {
        0 => String::new(),
        marks => format!("[{marks}]"),
    }
}

fn items(out: &mut String, items: &[Item]) {
    let mut open = false;
    for item in items {
        match item {
            Item::Question(number, title, marks) => {
                if open {
                    out.push_str("</section>\n");
                }
                open = true;
                let title = title.as_deref().unwrap_or_default();
                let _ = writeln!(
                    out,
                    "<section>\n<h2><span>{number}. {}</span><span>{}</span></h2>",
                    page::text(title),
                    bracketed(*marks)
                );
            }
            Item::Sentence(sentence) => {
                let _ = writeln!(out, "<p>{}</p>", page::text(sentence));
            }
            Item::Request(letter) => {
                let letter = mathml::inline(letter);
                let _ = writeln!(out, "<p>Make {letter} the subject of</p>");
            }
            Item::Maths(before, piece) => {
                let _ = writeln!(
                    out,
                    "<p class=\"maths\">{before}{}</p>",
                    mathml::display(piece)
                );
            }
            Item::Room(lines) => {
                out.push_str("<div class=\"room\">");
                for _ in 0..*lines {
                    out.push_str("<div></div>");
                }
                out.push_str("</div>\n");
            }
            Item::Step(sentence, marks, after) => {
                let _ = writeln!(
                    out,
                    "<p class=\"step\"><span>{}</span><span>{}</span></p>",
                    page::text(sentence),
                    bracketed(*marks)
                );
                if let Some(after) = after {
                    let _ = writeln!(out, "<p class=\"maths\">{}</p>", mathml::display(after));
                }
            }
            Item::Slips(slips) => {
                out.push_str("<p>To look out for:</p>\n<ul class=\"slips\">\n");
                for (deed, wrong) in slips {
                    let _ = writeln!(
                        out,
                        "<li>{}: {}</li>",
                        page::text(deed),
                        mathml::display(wrong)
                    );
                }
                out.push_str("</ul>\n");
            }
        }
    }
    if open {
        out.push_str("</section>\n");
    }
}

/// The worksheet as LaTeX, for the article class with the usual packages.
#[must_use]
pub fn tex(questions: &[Ready<'_>], title: &str, part: Part) -> String {
    let sheet = Sheet::of(questions);
    let title = latex::text(title);
    let mut out = String::from(
        "\\documentclass[11pt,a4paper]{article}\n\\usepackage[T1]{fontenc}\n\\usepackage[utf8]\
         {inputenc}\n\\usepackage{amsmath}\n\\usepackage{textcomp}\n\\usepackage\
         [margin=18mm]{geometry}\n\\setlength{\\parindent}{0pt}\n\\setlength{\\parskip}{3pt}\n\
         \\begin{document}\n",
    );
    if part != Part::Scheme {
        let _ = write!(
            out,
            "{{\\Large\\bfseries {title}}}\n\nName \\hrulefill\\quad Date \\hrulefill\\quad Marks: \
             \\hspace{{12mm}} of {}\n\n\\hrule\n\n",
            sheet.marks
        );
        tex_items(&mut out, &sheet.questions);
    }
    if part == Part::Both {
        out.push_str("\\clearpage\n");
    }
    if part != Part::Questions {
        let _ = write!(
            out,
            "{{\\Large\\bfseries {title}: mark scheme}}\n\n\\hrule\n\n"
        );
        tex_items(&mut out, &sheet.scheme);
    }
    out.push_str("\\end{document}\n");
    out
}

fn tex_items(out: &mut String, items: &[Item]) {
    for item in items {
        match item {
            Item::Question(number, title, marks) => {
                let title = latex::text(title.as_deref().unwrap_or_default());
                let _ = write!(
                    out,
                    "\\bigskip\\pagebreak[2]\n\\textbf{{{number}. {title}\\hfill {}}}\n\n",
                    bracketed(*marks)
                );
            }
            Item::Sentence(sentence) => {
                let _ = write!(out, "{}\n\n", latex::text(sentence));
            }
            Item::Request(letter) => {
                let letter = latex::maths(letter);
                let _ = write!(out, "Make ${letter}$ the subject of\n\n");
            }
            Item::Maths(before, piece) => {
                let before = if before.is_empty() {
                    String::new()
                } else {
                    format!("\\text{{{before}}}")
                };
                let _ = write!(out, "\\[{before}{}\\]\n\n", latex::maths(piece));
            }
            Item::Room(lines) => {
                for _ in 0..*lines {
                    out.push_str("\\rule{0pt}{8mm}\\hrulefill\\par\n");
                }
                out.push('\n');
            }
            Item::Step(sentence, marks, after) => {
                let _ = write!(
                    out,
                    "{}\\hfill {}\n\n",
                    latex::text(sentence),
                    bracketed(*marks)
                );
                if let Some(after) = after {
                    let _ = write!(out, "\\[{}\\]\n\n", latex::maths(after));
                }
            }
            Item::Slips(slips) => {
                out.push_str("To look out for:\n\\begin{itemize}\n");
                for (deed, wrong) in slips {
                    let _ = writeln!(
                        out,
                        "\\item {}: $\\displaystyle {}$",
                        latex::text(deed),
                        latex::maths(wrong)
                    );
                }
                out.push_str("\\end{itemize}\n\n");
            }
        }
    }
}
