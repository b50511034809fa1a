//! What the sheets hold, and what proofreading found, as text.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use super::counts::counted;
use super::escape::escape;
use super::wrap::wrapped;
use crate::algebra::symbol::Domain;
use crate::physics::fault::Fault;
use crate::physics::formulary::{Definition, Formula, Formulary, Proof, Topic};
use crate::physics::quantity::{PhysicalConstant, Quantity};
use crate::physics::search::Found;

/// Columns that a line may take where no one says how many.
pub const COLUMNS: usize = 80;

/// One line a topic: its key, its heading, how much it holds.
#[must_use]
pub fn topics(formulary: &Formulary, columns: usize) -> String {
    let widest = formulary
        .topics
        .iter()
        .map(|topic| escape(&topic.key).width())
        .max()
        .unwrap_or(0)
        .min(24)
        .min(columns / 3);
    let mut out = Page::new(columns);
    for topic in &formulary.topics {
        let counts = [
            (topic.formulae.len(), "formula", "formulae"),
            (topic.proofs.len(), "proof", "proofs"),
            (topic.definitions.len(), "definition", "definitions"),
        ];
        let counts: Vec<String> = counts
            .into_iter()
            .filter(|(count, _, _)| *count > 0)
            .map(|(count, one, many)| counted(count, one, many))
            .collect();
        let text = format!("{} ({})", escape(&topic.title), counts.join(", "));
        out.line(&padded(&escape(&topic.key), widest), &text);
    }
    out.text
}

/// What was found under the headings of its topics, with conditions.
#[must_use]
pub fn listing(found: &[Found<'_>], columns: usize) -> String {
    let mut out = Page::new(columns);
    for (index, part) in found.iter().enumerate() {
        if index > 0 {
            out.text.push('\n');
        }
        heading(&mut out, part.topic);
        formulae(&mut out, &part.formulae);
        for definition in &part.definitions {
            out.line(" ", &escape(&definition_in_words(definition)));
        }
        for proof in &part.proofs {
            out.line(
                " ",
                &escape(&format!("proof {}: {}", proof.name, proof.statement)),
            );
        }
    }
    out.text
}

/// Everything about one formula: its condition, its letters, other letters,
/// and the proofs of its topic in which it stands.
#[must_use]
pub fn entry(topic: &Topic, formula: &Formula, columns: usize) -> String {
    let mut out = Page::new(columns);
    let table = topic.vocabulary.table();
    out.line("", &escape(formula.text()));
    out.line(
        " ",
        &escape(&format!("{} [{}]", topic.title, topic.formula_key(formula))),
    );
    if let Some(condition) = &formula.condition {
        out.line(" ", &escape(&format!("when {condition}")));
    }
    let symbols = formula.equation.symbols();
    section(&mut out, "Letters");
    let rows: Vec<(String, String)> = symbols
        .iter()
        .map(|symbol| {
            let name = escape(table.name(*symbol)).into_owned();
            let meaning = match (topic.quantity(*symbol), topic.constant(*symbol)) {
                (Some(quantity), _) => quantity_in_words(quantity),
                (None, Some(constant)) => constant_in_words(constant),
                (None, None) => "a quantity greater than zero".to_owned(),
            };
            (name, escape(&meaning).into_owned())
        })
        .collect();
    grid(&mut out, &rows);
    let asked: Vec<&str> = topic
        .questions(formula)
        .iter()
        .map(|symbol| table.name(*symbol))
        .collect();
    if !asked.is_empty() {
        section(&mut out, "Can be asked for");
        out.line(" ", &escape(&asked.join(", ")));
    }
    let letterings: Vec<String> = topic
        .notations
        .iter()
        .filter_map(|notation| {
            let changes: Vec<String> = notation
                .changes
                .iter()
                .filter(|(symbol, _)| symbols.contains(symbol))
                .map(|(symbol, letter)| format!("{letter} for {}", table.name(*symbol)))
                .collect();
            (!changes.is_empty()).then(|| changes.join(", "))
        })
        .collect();
    if !letterings.is_empty() {
        section(&mut out, "Other letters");
        for lettering in letterings {
            out.line(" ", &escape(&lettering));
        }
    }
    let proofs: Vec<&Proof> = topic
        .proofs
        .iter()
        .filter(|proof| {
            proof
                .given
                .iter()
                .chain([&proof.goal])
                .any(|statement| statement.equations.contains(&formula.equation))
        })
        .collect();
    if !proofs.is_empty() {
        section(&mut out, "Proofs");
        for proof in proofs {
            proof_in_words(&mut out, proof);
        }
    }
    out.text
}

/// A definition of a topic alone, or a proof with its route and its marks.
#[must_use]
pub fn proof(topic: &Topic, proof: &Proof, columns: usize) -> String {
    let mut out = Page::new(columns);
    heading(&mut out, topic);
    proof_in_words(&mut out, proof);
    if let Some(condition) = &proof.condition {
        out.line("    ", &escape(&format!("when {condition}")));
    }
    for mark in &proof.marks {
        out.line(
            "    ",
            &escape(&format!("{} when {}", mark.code, mark.condition)),
        );
    }
    out.text
}

/// All that a topic holds: quantities, constants, formulae, definitions,
/// proofs and letterings.
#[must_use]
pub fn topic(topic: &Topic, columns: usize) -> String {
    let mut out = Page::new(columns);
    heading(&mut out, topic);
    let name = |symbol| topic.vocabulary.table().name(symbol);
    if !topic.quantities.is_empty() {
        section(&mut out, "Quantities");
        let rows: Vec<(String, String)> = topic
            .quantities
            .iter()
            .map(|quantity| {
                let text = escape(&quantity_in_words(quantity)).into_owned();
                (escape(name(quantity.symbol)).into_owned(), text)
            })
            .collect();
        grid(&mut out, &rows);
    }
    if !topic.constants.is_empty() {
        section(&mut out, "Constants");
        let rows: Vec<(String, String)> = topic
            .constants
            .iter()
            .map(|constant| {
                let text = constant_in_words(constant);
                (
                    escape(name(constant.symbol)).into_owned(),
                    escape(&text).into_owned(),
                )
            })
            .collect();
        grid(&mut out, &rows);
    }
    if !topic.formulae.is_empty() {
        section(&mut out, "Formulae");
        let all: Vec<&Formula> = topic.formulae.iter().collect();
        formulae(&mut out, &all);
    }
    if !topic.definitions.is_empty() {
        section(&mut out, "Definitions");
        for definition in &topic.definitions {
            out.line(" ", &escape(&definition_in_words(definition)));
        }
    }
    if !topic.proofs.is_empty() {
        section(&mut out, "Proofs");
        for proof in &topic.proofs {
            proof_in_words(&mut out, proof);
        }
    }
    if !topic.notations.is_empty() {
        section(&mut out, "Other letters");
        for notation in &topic.notations {
            let changes: Vec<String> = notation
                .changes
                .iter()
                .map(|(symbol, letter)| format!("{letter} for {}", name(*symbol)))
                .collect();
            out.line(" ", &escape(&changes.join(", ")));
        }
    }
    out.text
}

/// Faults, and remarks, that are printed with their carets. Nobody mends more
/// in one go, and a sheet in the wrong encoding has one on every line.
const MOST_SHOWN: usize = 50;

/// Faults and remarks with their carets, fifty of each at most, and a last line
/// that counts them all.
#[must_use]
pub fn faults(faults: &[Fault], formula_count: usize, width: usize) -> String {
    let mut out = String::new();
    let (mut real, mut remarks) = (0, 0);
    for fault in faults {
        let is_remark = fault.kind.is_remark();
        let count = if is_remark { &mut remarks } else { &mut real };
        *count += 1;
        if *count > MOST_SHOWN {
            continue;
        }
        let begin = if is_remark { "remark: " } else { "" };
        for (number, line) in fault.diagnostic.render().lines().enumerate() {
            // A line with carets must keep its columns.
            if line.starts_with("  ") {
                out.push_str(line);
            } else {
                let begin = if number == 0 { begin } else { "" };
                out.push_str(&wrapped(line, begin, "", width));
            }
            out.push('\n');
        }
        out.push('\n');
    }
    let hidden: Vec<String> = [
        (real, "more fault", "more faults"),
        (remarks, "more remark", "more remarks"),
    ]
    .into_iter()
    .filter(|(count, ..)| *count > MOST_SHOWN)
    .map(|(count, one, many)| counted(count - MOST_SHOWN, one, many))
    .collect();
    if !hidden.is_empty() {
        let told = format!(
            "Not shown: {}. `--format csv` lists them all.",
            hidden.join(" and ")
        );
        let _ = writeln!(out, "{}\n", wrapped(&told, "", "", width));
    }
    let formulae = counted(formula_count, "formula", "formulae");
    let found = match (real, remarks) {
        (0, 0) => format!("No faults found. {formulae} can be practised."),
        (0, _) => format!(
            "No faults, {}. {formulae} can be practised.",
            counted(remarks, "remark", "remarks")
        ),
        (_, 0) => format!(
            "{}. {formulae} can be practised all the same.",
            counted(real, "fault", "faults")
        ),
        _ => format!(
            "{}, {}. {formulae} can be practised all the same.",
            counted(real, "fault", "faults"),
            counted(remarks, "remark", "remarks")
        ),
    };
    out.push_str(&wrapped(&found, "", "", width));
    out.push('\n');
    out
}

fn heading(out: &mut Page, topic: &Topic) {
    let title = escape(&topic.title);
    let key = escape(&topic.key);
    if title.eq_ignore_ascii_case(&key) {
        out.line("", &title);
    } else {
        out.line("", &format!("{title}  [{key}]"));
    }
}

fn section(out: &mut Page, name: &str) {
    let _ = write!(out.text, "\n{name}\n");
}

fn formulae(out: &mut Page, formulae: &[&Formula]) {
    let rows: Vec<(String, String)> = formulae
        .iter()
        .map(|formula| {
            (
                escape(formula.text()).into_owned(),
                escape(&formula.name).into_owned(),
            )
        })
        .collect();
    let widest = column(&rows, out.columns);
    for ((text, name), formula) in rows.iter().zip(formulae) {
        // A name made from the formula itself says nothing new.
        let made = text.chars().filter(|next| !next.is_whitespace());
        if made.clone().eq(name.chars()) || text.starts_with(&format!("{name} =")) {
            out.line(" ", text);
        } else if text.width() > widest {
            out.line(" ", text);
            out.line("     ", name);
        } else {
            out.line(&format!("  {}", padded(text, widest)), name);
        }
        if let Some(condition) = &formula.condition {
            out.line("      ", &escape(&format!("when {condition}")));
        }
    }
}

fn grid(out: &mut Page, rows: &[(String, String)]) {
    let widest = column(rows, out.columns);
    for (left, right) in rows {
        out.line(&format!("  {}", padded(left, widest)), right);
    }
}

/// Width of the first column: the widest entry, but never more than half.
fn column(rows: &[(String, String)], columns: usize) -> usize {
    rows.iter()
        .map(|(left, _)| left.width())
        .filter(|width| *width <= columns / 2)
        .max()
        .unwrap_or(0)
}

fn padded(text: &str, width: usize) -> String {
    let spaces = width.saturating_sub(text.width());
    format!("{text}{}", " ".repeat(spaces))
}

fn quantity_in_words(quantity: &Quantity) -> String {
    let mut text = quantity.name.clone();
    if let Some(unit) = &quantity.unit {
        let unit = if unit.dimension.is_none() && unit.text == "1" {
            "no unit"
        } else {
            &unit.text
        };
        let _ = write!(text, ", {unit}");
    }
    match quantity.domain {
        Domain::Positive => {}
        Domain::Nonnegative => text.push_str(", zero or more"),
        Domain::Real => text.push_str(", any sign"),
        Domain::Acute => text.push_str(", acute"),
    }
    text
}

fn constant_in_words(constant: &PhysicalConstant) -> String {
    let mut text = constant.origin.piece.text.clone();
    if let Some(unit) = &constant.unit {
        let _ = write!(text, " {}", unit.text);
    }
    if let Some(name) = &constant.name {
        let _ = write!(text, ", {name}");
    }
    text
}

fn definition_in_words(definition: &Definition) -> String {
    let mut text = format!("{}: {}", definition.term, definition.sentence);
    if let Some(equation) = &definition.equation {
        let _ = write!(text, "; {}", equation.text());
    }
    text
}

fn proof_in_words(out: &mut Page, proof: &Proof) {
    out.line(
        " ",
        &escape(&format!("{}: {}", proof.name, proof.statement)),
    );
    let given: Vec<&str> = proof.given.iter().map(|given| given.text()).collect();
    out.line("    ", &escape(&format!("from {}", given.join(";  "))));
    out.line("    ", &escape(&format!("show {}", proof.goal.text())));
}

/// Text that is laid out in so many columns.
struct Page {
    text: String,
    columns: usize,
}

impl Page {
    fn new(columns: usize) -> Self {
        Page {
            text: String::new(),
            columns,
        }
    }

    /// A line that begins with `left`; what does not fit goes on below,
    /// indented as far as the text began, or by six if that is far to the
    /// right.
    fn line(&mut self, left: &str, text: &str) {
        let mut width = left.width();
        let indent = if width + 1 > self.columns / 2 {
            6
        } else {
            width + 1
        };
        let room = self.columns;
        let out = &mut self.text;
        out.push_str(left);
        let mut fresh = left.is_empty();
        for word in text.split(' ').filter(|word| !word.is_empty()) {
            let needed = word.width() + usize::from(!fresh);
            if width + needed > room && width > indent {
                while out.ends_with(' ') {
                    out.pop();
                }
                out.push('\n');
                out.push_str(&" ".repeat(indent));
                width = indent;
                fresh = true;
            }
            if !fresh {
                out.push(' ');
                width += 1;
            }
            out.push_str(word);
            width += word.width();
            fresh = false;
        }
        while out.ends_with(' ') {
            out.pop();
        }
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::proofread::proofread;
    use crate::physics::search::{Query, search};

    const SHEET: &str = "topic motion: Motion in a straight line
quantity v: final velocity, m s^-1, real
quantity u: initial velocity, m s^-1
quantity a: acceleration, m s^-2
quantity t: time, s
constant k = 2.5e3 m: a length that is known
formula velocity-time: v = u + a t
  when the acceleration is constant, which is to say that equal changes of velocity happen in equal times
u = v - a t
define acceleration: rate of change of velocity ; a = (v - u)/t
proof p: Show it.
  given v = u + a t
  show u = v - a t
notation other: v -> w
";

    #[test]
    fn a_topic_in_full() {
        let formulary = Formulary::from_text("t.sheet", SHEET);
        assert_eq!(
            topic(&formulary.topics[0], COLUMNS),
            "Motion in a straight line [motion]

Quantities
  v final velocity, m s^-1, any sign
  u initial velocity, m s^-1
  a acceleration, m s^-2
  t time, s

Constants
  k 2.5e3 m, a length that is known

Formulae
  v = u + a t velocity-time
       when the acceleration is constant, which is to say that equal changes of
       velocity happen in equal times
  u = v - a t

Definitions
  acceleration: rate of change of velocity; a = (v - u)/t

Proofs
  p: Show it.
     from v = u + a t
     show u = v - a t

Other letters
  w for v
"
        );
    }

    #[test]
    fn topics_and_listings() {
        let formulary = Formulary::from_text("t.sheet", SHEET);
        assert_eq!(
            topics(&formulary, COLUMNS),
            "motion Motion in a straight line (2 formulae, 1 proof, 1 definition)\n"
        );
        let query = Query {
            anything: Some("velocity-time"),
            ..Query::default()
        };
        let found = search(&formulary, &query);
        assert!(
            listing(&found, COLUMNS)
                .starts_with("Motion in a straight line [motion]\n  v = u + a t")
        );
        assert_eq!(listing(&[], COLUMNS), "");
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let long = format!(
            "{SHEET}formula long: x_{{final}} = {}\n",
            "(v + u) ".repeat(30)
        );
        let formulary = Formulary::from_text("t.sheet", &long);
        let all = search(&formulary, &Query::default());
        for shown in [
            topic(&formulary.topics[0], COLUMNS),
            topics(&formulary, COLUMNS),
            listing(&all, COLUMNS),
        ] {
            for line in shown.lines() {
                assert!(line.width() <= COLUMNS, "{line}");
            }
        }
    }

    #[test]
    fn no_more_findings_are_printed_than_anyone_reads() {
        let found = |lines: usize, width: usize| {
            let text = format!("topic w\n{}", "v = (f\n".repeat(lines));
            let formulary = Formulary::from_text("t.sheet", &text);
            faults(&formulary.faults, formulary.formula_count(), width)
        };
        let most = found(MOST_SHOWN, 80);
        assert!(!most.contains("Not shown"), "{most}");
        let more = found(MOST_SHOWN + 1, 80);
        assert!(
            more.ends_with(
                "\n\nNot shown: 1 more fault. `--format csv` lists them all.\n\n51 faults. 0 \
                 formulae can be practised all the same.\n"
            ),
            "{more}"
        );
        let many = found(10_000, 40);
        assert!(many.contains("Not shown: 9,950 more faults."), "{many}");
        assert!(many.len() < most.len() + 200);
    }

    #[test]
    fn findings_are_counted() {
        let check = |text: &str, expected: &str| {
            let formulary = Formulary::from_text("t.sheet", text);
            let shown = faults(&proofread(&formulary), formulary.formula_count(), 80);
            assert_eq!(shown, expected);
        };
        check(
            "v = f λ\n",
            "No faults found. 1 formula can be practised.\n",
        );
        check(
            "topic w\nquantity q: charge, Cb\nv = f λ\n",
            "remark: t.sheet:2:10: no formula uses `q`\n  quantity q: charge, Cb\n           ^\n\n\
             t.sheet:2:21: `Cb` is not a unit that I know\n  quantity q: charge, Cb\n                      ^^\n\n\
             remark: t.sheet:3:1: `v`, `f`, `λ` have no quantity line, although others have\n  v = f λ\n  ^^^^^^^\nadd a line: quantity v: ...\n\n\
             1 fault, 2 remarks. 1 formula can be practised all the same.\n",
        );
    }
}
