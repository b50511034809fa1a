//! `rejig quiz`: questions out, answers in, one a line or as lines of working.

use std::io::{self, BufRead, IsTerminal, Write};

use serde_json::{Map, Value, json};

use crate::algebra::limits::MAX_LINE;
use crate::practice::argument::Judged;
use crate::practice::connections::{Joined, Joint};
use crate::practice::paper::{Entry, Paper};
use crate::practice::script::{Detail, Ready, Script, Task, Word};
use crate::show::connections;
use crate::show::definition;
use crate::show::escape::escape;
use crate::show::explicit::explicit;
use crate::show::line::{Spelling, equation_line};
use crate::show::proportion;
use crate::show::remarks::Words;
use crate::show::scripts::{self, Told};
use crate::show::table;
use crate::show::worked::Layout;
use crate::show::wrap::{unbroken, wrapped};
use crate::text::{Diagnostic, DiagnosticKind, Span};

use super::args::{Format, Quiz};
use super::choosing::{self, Chosen};
use super::exit::Status;
use super::input::{self, Line};
use super::judge::evidence::evidence_value;
use super::judge::proportion::factor_slip_value;
use super::judge::rearrange::slip_value;
use super::judge::working::line_value;
use super::outcome::Outcome;
use super::output::buffered;
use super::requests::Next;
use super::sheets;
use super::style::Style;
use super::{asking, deriving, requests};

/// Lines that are kept of one answer: one more than a working may have, so
/// that a longer one is seen to be too long.
const MOST_LINES: usize = crate::reason::proof::MOST_LINES + 1;

struct Asked<'f> {
    ready: Ready<'f>,
    typed: String,
    script: Script,
}

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(arguments: &Quiz, style: &Style) -> Outcome {
    if let Some(path) = &arguments.choice.quiz {
        let (paper, questions) = choosing::from_file(path)?;
        let chosen = Chosen {
            wants_lines: questions
                .iter()
                .any(|ready| matches!(ready.task, Task::Proof(_) | Task::Connection(_))),
            questions: Box::new(questions.into_iter()),
            seed: paper.seed,
            sheets: paper.sheets,
        };
        return ask(arguments, chosen, style);
    }
    if let Some(formula) = &arguments.choice.practice.formula {
        let chosen = choosing::from_formula(&arguments.choice, formula, style)?;
        return ask(arguments, chosen, style);
    }
    let loaded = sheets::load(&arguments.choice.practice.sheets)?;
    let chosen = choosing::from_sheets(&arguments.choice, &loaded)?;
    ask(arguments, chosen, style)
}

fn ask(arguments: &Quiz, chosen: Chosen<'_>, style: &Style) -> Outcome {
    let mut out = buffered(style.spelling_if(arguments.format == Format::Text));
    let Chosen {
        questions,
        seed,
        wants_lines,
        sheets,
    } = chosen;
    if arguments.questions {
        let paper = Paper::new(seed, Vec::new()).with_sheets(sheets);
        print_questions(&mut out, arguments.format, questions, paper, style)?;
        out.flush()?;
        return Ok(Status::Done);
    }
    let working = arguments.working || wants_lines;
    let prompting = io::stdin().is_terminal() && io::stdout().is_terminal();
    let mut input = io::stdin().lock();
    let text = arguments.format == Format::Text;
    if let Some(seed) = seed
        && text
        && arguments.choice.practice.seed.is_none()
        && arguments.choice.quiz.is_none()
    {
        writeln!(
            out,
            "Seed {seed}: `--seed {seed}` asks the same questions again.\n"
        )?;
    }
    if text && prompting && working {
        let told = "Type your working line by line; an empty line ends it, `skip` leaves a \
                    question out, and `help` says what else can be typed.";
        writeln!(out, "{}\n", wrapped(told, "", "", style.width))?;
    }
    let mut results = Vec::new();
    'questions: for (index, mut ready) in questions.enumerate() {
        if ready.entry.number == 0 {
            ready.entry.number = index + 1;
        }
        if text {
            print_question(&mut out, &ready, style)?;
            if prompting {
                write!(out, "> ")?;
            }
        }
        out.flush()?;
        let by_hand = text && prompting;
        let (typed, script) = loop {
            let (typed, script) = answer(&ready, working, by_hand, &mut input)?;
            if !by_hand {
                break (typed, script);
            }
            match requests::weigh(&mut out, &ready, &typed, &script, style)? {
                Next::Take => break (typed, script),
                Next::LeaveOut => break (String::new(), ready.mark("")),
                Next::Quit => break 'questions,
                Next::Again => {
                    write!(out, "> ")?;
                    out.flush()?;
                }
            }
        };
        let asked = Asked {
            ready,
            typed,
            script,
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
            let questions: Vec<Value> = results.iter().map(result_value).collect();
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

/// Prints a question under its number.
///
/// # Errors
/// When writing fails.
pub fn print_question(out: &mut impl Write, ready: &Ready<'_>, style: &Style) -> io::Result<()> {
    let heading = format!("{}.", ready.entry.number);
    match &ready.task {
        Task::Rearrangement(question) => {
            asking::print_question(out, &heading, question, style, Layout::Line)
        }
        Task::Connection(joint) => {
            let asked = asking::Connection {
                title: ready.entry.title.as_deref(),
                sentence: ready.entry.statement.as_deref(),
                formulae: connections::formulae(joint, style.spelling)
                    .iter()
                    .map(|line| wrapped(&unbroken(line), "     ", "       ", style.width))
                    .collect(),
                condition: ready.entry.condition.as_deref(),
                joint,
            };
            asking::print_connection(out, &heading, &asked, style)
        }
        Task::Proportion(scaling) => {
            asking::print_proportion(out, &heading, scaling, style, Layout::Line)
        }
        Task::Definition(_) => {
            let title = ready.entry.title.as_deref();
            asking::print_heading(out, &heading, title, ready.marks(), style)?;
            let term = ready.entry.term.as_deref().unwrap_or("the term");
            let text = format!("Define {} in words.", escape(term));
            writeln!(out, "{}", wrapped(&text, "   ", "   ", style.width))
        }
        Task::Proof(argument) => {
            deriving::print_question(out, &heading, &ready.entry, argument, style)
        }
    }
}

/// Reads and marks the answer to one question.
fn answer(
    ready: &Ready<'_>,
    working: bool,
    by_hand: bool,
    input: &mut impl BufRead,
) -> io::Result<(String, Script)> {
    let read = if working {
        read_block(by_hand, input)?
    } else {
        input::read_line(input)?
    };
    Ok(match read {
        None => (String::new(), ready.mark("")),
        Some(Line::TooLong) => {
            let mut script = ready.mark("");
            script.word = Word::Unreadable;
            script.detail = Detail::Unreadable(Box::new(too_long()), None);
            (String::new(), script)
        }
        Some(Line::Text(typed)) => {
            let script = ready.mark(&typed);
            (typed, script)
        }
    })
}

/// Reads lines up to a blank one; blank ones before the first count for
/// nothing. A person's request stands alone.
fn read_block(by_hand: bool, input: &mut impl BufRead) -> io::Result<Option<Line>> {
    let mut block = String::new();
    let mut lines = 0;
    let mut too_long = false;
    while let Some(line) = input::read_line(input)? {
        let Line::Text(line) = line else {
            too_long = true;
            lines += 1;
            continue;
        };
        if line.trim().is_empty() {
            if lines == 0 {
                continue;
            }
            break;
        }
        if by_hand && lines == 0 && requests::is_request(&line) {
            return Ok(Some(Line::Text(line)));
        }
        if lines == 0 && line.trim().eq_ignore_ascii_case("skip") {
            return Ok(Some(Line::Text(String::new())));
        }
        lines += 1;
        if lines <= MOST_LINES {
            if !block.is_empty() {
                block.push('\n');
            }
            block.push_str(&line);
        }
    }
    if too_long {
        return Ok(Some(Line::TooLong));
    }
    Ok((lines > 0).then_some(Line::Text(block)))
}

/// The fault of a line that was not kept whole.
#[must_use]
pub fn too_long() -> Diagnostic {
    Diagnostic::new(
        DiagnosticKind::TooLong,
        format!("This line is too long; the most that I read is {MAX_LINE} characters."),
        "",
        Span::default(),
    )
}

fn print_result(out: &mut impl Write, asked: &Asked<'_>, style: &Style) -> io::Result<()> {
    match (&asked.ready.task, &asked.script.detail) {
        (Task::Rearrangement(question), Detail::Answer(marked, explanation)) => {
            asking::print_verdict(out, question, marked, style, Layout::Line)?;
            if let Some(found) = explanation {
                let subject = question.subject();
                asking::print_slip(out, found, subject, &marked.table, style)?;
            }
        }
        (Task::Rearrangement(question), Detail::Working(lines)) => {
            let place = |line: usize| lines.places.get(line).copied().unwrap_or(line);
            asking::print_lines(out, question, &lines.worked, place, style)?;
            for (place, fault) in &lines.unreadable {
                writeln!(out, "   Line {}:", place + 1)?;
                asking::print_fault(out, fault, style)?;
            }
            match asked.script.word {
                Word::Right => {
                    print_word(out, Word::Right, style)?;
                }
                Word::Unfinished => {
                    let told = scripts::told(&asked.ready, &asked.script, style.spelling).remark;
                    writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
                }
                _ => {}
            }
        }
        (Task::Proof(_), Detail::Proof(judged)) => {
            let typed = lines_of(&asked.typed);
            deriving::print_derivation(out, &typed, judged, &asked.ready.entry.given, style)?;
        }
        (Task::Definition(wordings), Detail::Wording(judged, answer)) => {
            print_word(out, asked.script.word, style)?;
            if !judged.is_right() || judged.has_remark() {
                let told = definition::remark(judged, wordings, answer);
                writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
            }
        }
        (Task::Connection(joint), Detail::Joined(joined)) => {
            print_joined(out, asked, joint, joined, style)?;
        }
        (Task::Proportion(scaling), Detail::Factor(scaled)) => {
            print_word(out, asked.script.word, style)?;
            let words = proportion::Words {
                scaling,
                spelling: style.spelling,
            };
            let told = words.remark(scaled);
            if !told.is_empty() {
                writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
            }
        }
        (_, Detail::Unknown(_)) => {
            print_word(out, Word::Undecided, style)?;
            let told = proportion::UNKNOWN_WORDS;
            writeln!(out, "{}", wrapped(told, "   ", "   ", style.width))?;
        }
        (_, Detail::Unreadable(fault, _)) => asking::print_fault(out, fault, style)?,
        _ => {
            print_word(out, Word::NotAnswered, style)?;
        }
    }
    writeln!(out)
}

/// Prints the verdict in a word or two.
fn print_word(out: &mut impl Write, word: Word, style: &Style) -> io::Result<()> {
    let (mood, told) = scripts::in_a_word(word);
    writeln!(out, "   {}", style.verdict(mood, told))
}

/// The lines of an answer.
fn lines_of(typed: &str) -> Vec<&str> {
    typed
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .collect()
}

/// Prints what came of lines for a connection: of one line as of an answer, of
/// several as of a working.
fn print_joined(
    out: &mut impl Write,
    asked: &Asked<'_>,
    joint: &Joint,
    joined: &Joined,
    style: &Style,
) -> io::Result<()> {
    let typed = lines_of(&asked.typed);
    let given = connections::formulae(joint, style.spelling);
    match (&joined.answer, typed.as_slice()) {
        (Some(marked), [_]) => {
            asking::print_verdict(out, &joint.question, marked, style, Layout::Line)?;
        }
        _ => deriving::print_lines(out, &typed, &joined.lines, &given, style)?,
    }
    if let Some(own) = &joined.slip {
        asking::print_slip(out, &own.explanation, own.subject, &own.table, style)?;
    }
    match asked.script.word {
        Word::Right if typed.len() > 1 => {
            print_word(out, Word::Right, style)?;
        }
        Word::Unfinished => {
            let told = scripts::told(&asked.ready, &asked.script, style.spelling).remark;
            writeln!(out, "{}", wrapped(&told, "   ", "   ", style.width))?;
        }
        _ => {}
    }
    let told = connections::marks_words(joined.awarded, joint);
    writeln!(out, "   {told}")
}

struct Tally {
    right: usize,
    awarded: usize,
    available: usize,
    undecided: usize,
    unreadable: usize,
    unanswered: usize,
}

impl Tally {
    fn of(results: &[Asked<'_>]) -> Self {
        let count = |word: Word| {
            let scripts = results.iter().map(|asked| asked.script.word);
            scripts.filter(|own| *own == word).count()
        };
        Tally {
            right: count(Word::Right),
            awarded: results.iter().map(|asked| asked.script.awarded).sum(),
            available: results.iter().map(|asked| asked.script.available).sum(),
            undecided: count(Word::Undecided),
            unreadable: count(Word::Unreadable),
            unanswered: count(Word::NotAnswered),
        }
    }
}

fn print_marks(out: &mut impl Write, results: &[Asked<'_>], style: &Style) -> io::Result<()> {
    let tally = Tally::of(results);
    let asked = results.len();
    let mut line = format!(
        "Marks: {} of {} ({} of {asked} right",
        tally.awarded, tally.available, tally.right
    );
    for (count, what) in [
        (tally.undecided, "undecided"),
        (tally.unreadable, "unreadable"),
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
    questions: impl Iterator<Item = Ready<'f>>,
    mut paper: Paper,
    style: &Style,
) -> Result<(), super::outcome::Trouble> {
    let numbered = questions.enumerate().map(|(index, mut ready)| {
        if ready.entry.number == 0 {
            ready.entry.number = index + 1;
        }
        ready
    });
    match format {
        Format::Text => {
            for ready in numbered {
                print_question(out, &ready, style)?;
                writeln!(out)?;
            }
        }
        Format::Json => {
            paper.questions = numbered.map(|ready| ready.entry).collect();
            serde_json::to_writer_pretty(&mut *out, &paper)?;
            writeln!(out)?;
        }
        Format::Csv => {
            writeln!(out, "number,topic,formula,subject,marks")?;
            for ready in numbered {
                writeln!(
                    out,
                    "{}",
                    table::row(cells(&ready.entry).each_ref().map(String::as_str))
                )?;
            }
        }
    }
    Ok(())
}

/// What a table says about a question; of a proof, what is to be shown; of a
/// definition, its term.
fn cells(entry: &Entry) -> [String; 5] {
    let formula = match (entry.kind.as_str(), &entry.goal, &entry.term) {
        // Not the answer.
        ("connection", _, _) => entry.given.join("; "),
        (_, Some(other), _) | (_, None, Some(other)) => other.clone(),
        _ => entry.formula.clone(),
    };
    [
        entry.number.to_string(),
        entry.topic.clone(),
        formula,
        entry.subject.clone(),
        entry.marks.to_string(),
    ]
}

fn result_value(asked: &Asked<'_>) -> Value {
    let entry = &asked.ready.entry;
    let told = scripts::told(&asked.ready, &asked.script, Spelling::Ascii);
    let mut value = Map::new();
    value.insert("number".into(), entry.number.into());
    value.insert("key".into(), entry.key.clone().into());
    if !entry.kind.is_empty() {
        value.insert("kind".into(), entry.kind.as_str().into());
    }
    value.insert("topic".into(), entry.topic.as_str().into());
    if let Some(goal) = &entry.goal {
        value.insert("goal".into(), goal.as_str().into());
    } else {
        if let Some(term) = &entry.term {
            value.insert("term".into(), term.as_str().into());
        }
        if !entry.changes.is_empty() {
            value.insert("changes".into(), entry.changes.clone().into());
        }
        value.insert("formula".into(), entry.formula.as_str().into());
        value.insert("subject".into(), entry.subject.as_str().into());
    }
    value.insert("marks".into(), entry.marks.into());
    value.insert("answer".into(), asked.typed.as_str().into());
    value.extend(script_value(&asked.ready, &asked.script, &told));
    Value::Object(value)
}

/// A marked answer for another program.
#[must_use]
pub fn script_value(ready: &Ready<'_>, script: &Script, told: &Told) -> Map<String, Value> {
    let mut value = Map::new();
    value.insert("verdict".into(), script.word.key().into());
    value.insert("awarded".into(), script.awarded.into());
    value.insert("available".into(), script.available.into());
    let mut read_as = Value::Null;
    let mut evidence = Value::Null;
    let mut slip = Value::Null;
    let mut notes: Vec<&str> = Vec::new();
    match (&ready.task, &script.detail) {
        (Task::Rearrangement(question), Detail::Answer(marked, explanation)) => {
            let words = Words {
                table: &marked.table,
                spelling: Spelling::Ascii,
            };
            let subject = question.subject();
            read_as = words.read_as(&marked.reading.chain, subject).into();
            notes.extend(marked.judgement.notes.iter().map(|note| note.key()));
            if let Some(found) = &marked.judgement.evidence {
                evidence = evidence_value(found, &marked.table);
            }
            slip = slip_value(explanation.as_ref(), subject, &marked.table);
        }
        (Task::Rearrangement(question), Detail::Unreadable(_, Some(strange))) => {
            let table = &strange.marked.table;
            slip = slip_value(Some(&strange.explanation), question.subject(), table);
        }
        (Task::Rearrangement(question), Detail::Working(lines)) => {
            let table = &lines.worked.table;
            let subject = question.subject();
            let working = &lines.worked.working;
            slip = slip_value(lines.explanation(), subject, table);
            if let Some(bad) = working.first_bad
                && let Some(found) = &working.lines[bad].evidence
            {
                evidence = evidence_value(found, table);
            }
            let judged: Vec<Value> = working
                .lines
                .iter()
                .zip(&lines.places)
                .map(|(line, place)| {
                    let mut value = line_value(line, &lines.places, subject, table);
                    if let Some(fields) = value.as_object_mut() {
                        fields.insert("line".into(), (*place).into());
                    }
                    value
                })
                .collect();
            value.insert("lines".into(), judged.into());
            value.insert("first_bad".into(), lines.first_bad().into());
        }
        (Task::Definition(wordings), Detail::Wording(judged, _)) => {
            let table = wordings.table();
            if let Some(said) = &judged.value {
                read_as = explicit(said, table).into();
            }
            if let Some(algebra) = &judged.algebra {
                notes.extend(algebra.notes.iter().map(|note| note.key()));
                if let Some(found) = &algebra.evidence {
                    evidence = evidence_value(found, table);
                }
            }
            value.insert("missing".into(), judged.missing.clone().into());
        }
        (Task::Proportion(scaling), Detail::Factor(scaled)) => {
            let table = scaling.table();
            read_as = explicit(&scaled.read, table).into();
            notes.extend(scaled.judgement.notes.iter().map(|note| note.key()));
            value.insert("factor".into(), explicit(&scaling.factor(), table).into());
            slip = factor_slip_value(scaling, scaled);
        }
        (Task::Proof(_), Detail::Proof(judged)) => {
            read_as = derivation_value(judged, &mut value);
        }
        (Task::Connection(_), Detail::Joined(joined)) => {
            read_as = derivation_value(&joined.lines, &mut value);
            if let Some(marked) = &joined.answer {
                notes.extend(marked.judgement.notes.iter().map(|note| note.key()));
                if let Some(found) = &marked.judgement.evidence {
                    evidence = evidence_value(found, &marked.table);
                }
            }
            if let Some(own) = &joined.slip {
                slip = slip_value(Some(&own.explanation), own.subject, &own.table);
            }
        }
        _ => {}
    }
    value.insert("read_as".into(), read_as);
    value.insert("evidence".into(), evidence);
    value.insert("slip".into(), slip);
    value.insert("notes".into(), notes.into());
    value.insert("message".into(), told.remark.as_str().into());
    value
}

/// The lines of a derivation for another program; gives how the last one was
/// read.
fn derivation_value(judged: &Judged, value: &mut Map<String, Value>) -> Value {
    let mut response = super::judge::proof::response(judged);
    for field in ["lines", "first_bad"] {
        if let Some(found) = response.remove(field) {
            value.insert(field.into(), found);
        }
    }
    let table = judged.vocabulary.table();
    judged.report.lines.last().map_or(Value::Null, |last| {
        equation_line(&last.chain, table, Spelling::Ascii).into()
    })
}

fn print_csv(out: &mut impl Write, results: &[Asked<'_>]) -> io::Result<()> {
    writeln!(
        out,
        "number,topic,formula,subject,marks,answer,verdict,awarded,slip,remark"
    )?;
    for asked in results {
        let told = scripts::told(&asked.ready, &asked.script, Spelling::Ascii);
        let awarded = asked.script.awarded.to_string();
        let typed: Vec<_> = asked
            .typed
            .lines()
            .map(crate::show::escape::escape)
            .collect();
        let typed = typed.join("\n");
        let cells = cells(&asked.ready.entry);
        let cells = cells.iter().map(String::as_str).chain([
            typed.as_str(),
            asked.script.word.key(),
            &awarded,
            told.slip.unwrap_or_default(),
            &told.remark,
        ]);
        writeln!(out, "{}", table::row(cells))?;
    }
    Ok(())
}
