//! `rejig quiz`: questions out, answers in, one a line.

use std::io::{self, BufRead, IsTerminal, Write};

use serde_json::{Value, json};

use crate::practice::question::{Marked, Question};
use crate::reason::verdict::{Evidence, Verdict};
use crate::show::line::{Spelling, equation, name};
use crate::show::remarks::{Mood, Words};
use crate::show::table;
use crate::show::worked::Layout;
use crate::show::wrap::wrapped;
use crate::text::{Diagnostic, DiagnosticKind, Span};

use super::args::{Format, Quiz};
use super::asking;
use super::exit::Status;
use super::input::{self, Line};
use super::outcome::Outcome;
use super::sheets;
use super::source::{self, Source};
use super::style::Style;

/// What became of one question.
enum Result {
    Judged(Box<Marked>),
    Unreadable(Box<Diagnostic>),
    Unanswered,
}

struct Asked<'f> {
    question: Question<'f>,
    typed: String,
    result: Result,
}

impl Asked<'_> {
    fn verdict(&self) -> &'static str {
        match &self.result {
            Result::Judged(marked) => match marked.judgement.verdict {
                Verdict::Right => "right",
                Verdict::Wrong => "wrong",
                Verdict::Undecided(_) => "undecided",
            },
            Result::Unreadable(_) => "unreadable",
            Result::Unanswered => "not-answered",
        }
    }

    fn is_right(&self) -> bool {
        matches!(&self.result, Result::Judged(marked) if marked.judgement.is_right())
    }

    fn is_undecided(&self) -> bool {
        matches!(&self.result, Result::Judged(marked)
            if matches!(marked.judgement.verdict, Verdict::Undecided(_)))
    }

    /// Marks that could be had: none where the program could not decide.
    fn available(&self) -> usize {
        if self.is_undecided() {
            0
        } else {
            self.question.marks
        }
    }

    fn awarded(&self) -> usize {
        if self.is_right() {
            self.question.marks
        } else {
            0
        }
    }
}

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(arguments: &Quiz, style: &Style) -> Outcome {
    let practice = &arguments.practice;
    if let Some(formula) = &practice.formula {
        let source = source::from_formula(practice, formula, style.spelling)?;
        return ask(arguments, source, style);
    }
    let loaded = sheets::load(&practice.sheets)?;
    let source = source::from_sheets(practice, &loaded)?;
    ask(arguments, source, style)
}

fn ask(arguments: &Quiz, source: Source<'_>, style: &Style) -> Outcome {
    let mut out = io::BufWriter::new(io::stdout().lock());
    let Source {
        questions,
        count,
        seed,
    } = source;
    let questions = questions.take(count);
    if arguments.questions {
        print_questions(&mut out, arguments.format, questions, style)?;
        out.flush()?;
        return Ok(Status::Done);
    }
    let prompting = io::stdin().is_terminal() && io::stdout().is_terminal();
    let mut input = io::stdin().lock();
    let text = arguments.format == Format::Text;
    if let Some(seed) = seed
        && text
        && arguments.practice.seed.is_none()
    {
        writeln!(
            out,
            "Seed {seed}: `--seed {seed}` asks the same questions again.\n"
        )?;
    }
    let mut results = Vec::new();
    for (index, question) in questions.enumerate() {
        if text {
            let heading = format!("{}.", index + 1);
            asking::print_question(&mut out, &heading, &question, style, Layout::Line)?;
            if prompting {
                write!(out, "> ")?;
            }
        }
        out.flush()?;
        let (typed, result) = answer(&question, &mut input)?;
        let asked = Asked {
            question,
            typed,
            result,
        };
        if text {
            print_result(&mut out, &asked, style)?;
        }
        results.push(asked);
    }
    match arguments.format {
        Format::Text => print_marks(&mut out, &results, style)?,
        Format::Json => {
            let tally = Tally::of(&results);
            let questions: Vec<Value> = results
                .iter()
                .enumerate()
                .map(|(index, asked)| result_value(index, asked))
                .collect();
            let whole = json!({
                "seed": seed,
                "questions": questions,
                "right": tally.right,
                "asked": results.len(),
                "marks": { "awarded": tally.awarded, "available": tally.available },
            });
            serde_json::to_writer_pretty(&mut out, &whole)?;
            writeln!(out)?;
        }
        Format::Csv => print_csv(&mut out, &results)?,
    }
    out.flush()?;
    Ok(Status::Done)
}

/// Reads and judges the answer to one question.
fn answer(question: &Question<'_>, input: &mut impl BufRead) -> io::Result<(String, Result)> {
    let Some(line) = input::read_line(input)? else {
        return Ok((String::new(), Result::Unanswered));
    };
    Ok(match line {
        Line::TooLong => (String::new(), Result::Unreadable(Box::new(too_long()))),
        Line::Text(typed) if typed.trim().is_empty() => (String::new(), Result::Unanswered),
        Line::Text(typed) => {
            let result = match question.mark(&typed) {
                Ok(marked) => Result::Judged(Box::new(marked)),
                Err(fault) => Result::Unreadable(fault),
            };
            (typed, result)
        }
    })
}

/// The fault of a line that was not kept whole.
#[must_use]
pub fn too_long() -> Diagnostic {
    let most = crate::algebra::limits::MAX_LINE;
    Diagnostic::new(
        DiagnosticKind::TooLong,
        format!("This line is too long; the most that I read is {most} characters."),
        "",
        Span::default(),
    )
}

fn print_result(out: &mut impl Write, asked: &Asked<'_>, style: &Style) -> io::Result<()> {
    match &asked.result {
        Result::Judged(marked) => {
            asking::print_verdict(out, &asked.question, marked, style, Layout::Line)?;
            if let Some(found) = asked.question.explain(marked) {
                let subject = asked.question.subject();
                asking::print_slip(out, &found, subject, &marked.table, style)?;
            }
        }
        Result::Unreadable(fault) => asking::print_fault(out, fault, style)?,
        Result::Unanswered => {
            writeln!(out, "   {}", style.verdict(Mood::Open, "Not answered."))?;
        }
    }
    writeln!(out)
}

struct Tally {
    right: usize,
    awarded: usize,
    available: usize,
    undecided: usize,
    unanswered: usize,
}

impl Tally {
    fn of(results: &[Asked<'_>]) -> Self {
        Tally {
            right: results.iter().filter(|asked| asked.is_right()).count(),
            awarded: results.iter().map(Asked::awarded).sum(),
            available: results.iter().map(Asked::available).sum(),
            undecided: results.iter().filter(|asked| asked.is_undecided()).count(),
            unanswered: results
                .iter()
                .filter(|asked| matches!(asked.result, Result::Unanswered))
                .count(),
        }
    }
}

fn print_marks(out: &mut impl Write, results: &[Asked<'_>], style: &Style) -> io::Result<()> {
    let tally = Tally::of(results);
    let asked = results.len();
    let questions = if asked == 1 { "question" } else { "questions" };
    let mut line = format!(
        "Marks: {} of {} ({} of {asked} {questions} right",
        tally.awarded, tally.available, tally.right
    );
    for (count, what) in [
        (tally.undecided, "undecided"),
        (tally.unanswered, "not answered"),
    ] {
        if count > 0 {
            line.push_str(&format!(", {count} {what}"));
        }
    }
    line.push_str(").");
    writeln!(
        out,
        "{}",
        style.heading(&wrapped(&line, "", "", style.width))
    )
}

fn print_questions<'f>(
    out: &mut impl Write,
    format: Format,
    questions: impl Iterator<Item = Question<'f>>,
    style: &Style,
) -> std::result::Result<(), super::outcome::Trouble> {
    match format {
        Format::Text => {
            for (index, question) in questions.enumerate() {
                let heading = format!("{}.", index + 1);
                asking::print_question(out, &heading, &question, style, Layout::Line)?;
                writeln!(out)?;
            }
        }
        Format::Json => {
            let all: Vec<Value> = questions
                .enumerate()
                .map(|(index, question)| Value::Object(question_value(index, &question)))
                .collect();
            serde_json::to_writer_pretty(&mut *out, &json!({ "questions": all }))?;
            writeln!(out)?;
        }
        Format::Csv => {
            writeln!(out, "number,topic,formula,subject,marks")?;
            for (index, question) in questions.enumerate() {
                let fields = Fields::of(index, &question);
                writeln!(out, "{}", table::row(fields.cells()))?;
            }
        }
    }
    Ok(())
}

/// What a table says about a question.
struct Fields {
    number: String,
    topic: String,
    formula: String,
    subject: String,
    marks: String,
}

impl Fields {
    fn of(index: usize, question: &Question<'_>) -> Self {
        Fields {
            number: (index + 1).to_string(),
            topic: question
                .source
                .map_or_else(String::new, |(topic, _)| topic.key.clone()),
            formula: equation(question.formula(), question.table(), Spelling::Ascii),
            subject: name(question.subject(), question.table(), Spelling::Ascii),
            marks: question.marks.to_string(),
        }
    }

    fn cells(&self) -> [&str; 5] {
        [
            &self.number,
            &self.topic,
            &self.formula,
            &self.subject,
            &self.marks,
        ]
    }
}

fn question_value(index: usize, question: &Question<'_>) -> serde_json::Map<String, Value> {
    let fields = Fields::of(index, question);
    let mut value = serde_json::Map::new();
    value.insert("number".into(), (index + 1).into());
    value.insert("key".into(), question.key().into());
    value.insert("topic".into(), fields.topic.into());
    value.insert("formula".into(), fields.formula.into());
    value.insert("subject".into(), fields.subject.into());
    value.insert("marks".into(), question.marks.into());
    value
}

fn result_value(index: usize, asked: &Asked<'_>) -> Value {
    let mut value = question_value(index, &asked.question);
    value.insert("answer".into(), asked.typed.as_str().into());
    value.insert("verdict".into(), asked.verdict().into());
    value.insert("awarded".into(), asked.awarded().into());
    let (read_as, evidence, notes, message) = match &asked.result {
        Result::Judged(marked) => {
            let words = Words {
                table: &marked.table,
                spelling: Spelling::Ascii,
            };
            let remark = words.answer(
                &marked.judgement,
                &marked.reading.chain,
                &asked.question.formula().symbols(),
                asked.question.subject(),
            );
            let read_as = words.read_as(&marked.reading.chain, asked.question.subject());
            let notes: Vec<&str> = marked
                .judgement
                .notes
                .iter()
                .map(|note| note.key())
                .collect();
            let evidence = marked
                .judgement
                .evidence
                .as_ref()
                .map(|evidence| match evidence {
                    Evidence::Proof => "proof",
                    Evidence::Counterexample(_) => "counterexample",
                    Evidence::Numerical { .. } => "numerical",
                });
            let message = remark.told.join(" ").replace('\u{a0}', " ");
            (Value::from(read_as), Value::from(evidence), notes, message)
        }
        Result::Unreadable(fault) => (Value::Null, Value::Null, Vec::new(), fault.render()),
        Result::Unanswered => (Value::Null, Value::Null, Vec::new(), String::new()),
    };
    value.insert("read_as".into(), read_as);
    value.insert("evidence".into(), evidence);
    value.insert("notes".into(), notes.into());
    value.insert("message".into(), message.into());
    Value::Object(value)
}

fn print_csv(out: &mut impl Write, results: &[Asked<'_>]) -> io::Result<()> {
    writeln!(
        out,
        "number,topic,formula,subject,marks,answer,verdict,awarded"
    )?;
    for (index, asked) in results.iter().enumerate() {
        let fields = Fields::of(index, &asked.question);
        let awarded = asked.awarded().to_string();
        let typed = crate::show::escape::escape(&asked.typed);
        let cells = fields
            .cells()
            .into_iter()
            .chain([typed.as_ref(), asked.verdict(), &awarded]);
        writeln!(out, "{}", table::row(cells))?;
    }
    Ok(())
}
