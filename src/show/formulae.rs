//! What the sheets hold, and what proofreading found, as text of 80 columns.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use super::escape::escape;
use crate::algebra::symbol::Domain;
use crate::physics::fault::Fault;
use crate::physics::formulary::{Formula, Formulary, Topic};
use crate::physics::search::Found;

/// Columns that a line may take.
pub const COLUMNS: usize = 80;

/// One line a topic: its key, its heading, how much it holds.
#[must_use]
pub fn topics(formulary: &Formulary) -> String {
    let widest = formulary
        .topics
        .iter()
        .map(|topic| escape(&topic.key).width())
        .max()
        .unwrap_or(0)
        .min(24);
    let mut out = String::new();
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
        line(&mut out, &padded(&escape(&topic.key), widest), &text);
    }
    out
}

/// Formulae under the headings of their topics, with their conditions.
#[must_use]
pub fn listing(found: &[Found<'_>]) -> String {
    let mut out = String::new();
    for (index, part) in found.iter().enumerate() {
        if index > 0 {
            out.push('\n');
        }
        heading(&mut out, part.topic);
        formulae(&mut out, &part.formulae);
    }
    out
}

/// All that a topic holds: quantities, constants, formulae, definitions,
/// proofs and letterings.
#[must_use]
pub fn topic(topic: &Topic) -> String {
    let mut out = String::new();
    heading(&mut out, topic);
    let name = |symbol| topic.vocabulary.table().name(symbol);
    if !topic.quantities.is_empty() {
        section(&mut out, "Quantities");
        let rows: Vec<(String, String)> = topic
            .quantities
            .iter()
            .map(|quantity| {
                let mut text = escape(&quantity.name).into_owned();
                if let Some(unit) = &quantity.unit {
                    let unit = if unit.dimension.is_none() && unit.text == "1" {
                        "no unit"
                    } else {
                        &unit.text
                    };
                    let _ = write!(text, ", {}", escape(unit));
                }
                match quantity.domain {
                    Domain::Positive => {}
                    Domain::Nonnegative => text.push_str(", zero or more"),
                    Domain::Real => text.push_str(", any sign"),
                    Domain::Acute => text.push_str(", acute"),
                }
                (escape(name(quantity.symbol)).into_owned(), text)
            })
            .collect();
        table(&mut out, &rows);
    }
    if !topic.constants.is_empty() {
        section(&mut out, "Constants");
        let rows: Vec<(String, String)> = topic
            .constants
            .iter()
            .map(|constant| {
                let mut text = constant.origin.piece.text.clone();
                if let Some(unit) = &constant.unit {
                    let _ = write!(text, " {}", unit.text);
                }
                if let Some(name) = &constant.name {
                    let _ = write!(text, ", {name}");
                }
                (
                    escape(name(constant.symbol)).into_owned(),
                    escape(&text).into_owned(),
                )
            })
            .collect();
        table(&mut out, &rows);
    }
    if !topic.formulae.is_empty() {
        section(&mut out, "Formulae");
        let all: Vec<&Formula> = topic.formulae.iter().collect();
        formulae(&mut out, &all);
    }
    if !topic.definitions.is_empty() {
        section(&mut out, "Definitions");
        for definition in &topic.definitions {
            let mut text = format!("{}: {}", definition.term, definition.sentence);
            if let Some(equation) = &definition.equation {
                let _ = write!(text, "; {}", equation.text());
            }
            line(&mut out, " ", &escape(&text));
        }
    }
    if !topic.proofs.is_empty() {
        section(&mut out, "Proofs");
        for proof in &topic.proofs {
            line(
                &mut out,
                " ",
                &escape(&format!("{}: {}", proof.name, proof.statement)),
            );
            let given: Vec<&str> = proof.given.iter().map(|given| given.text()).collect();
            line(
                &mut out,
                "    ",
                &escape(&format!("from {}", given.join(";  "))),
            );
            line(
                &mut out,
                "    ",
                &escape(&format!("show {}", proof.goal.text())),
            );
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
            line(&mut out, " ", &escape(&changes.join(", ")));
        }
    }
    out
}

/// Faults and remarks with their carets, and a last line that counts them.
#[must_use]
pub fn faults(faults: &[Fault], formula_count: usize) -> String {
    let mut out = String::new();
    for fault in faults {
        if fault.kind.is_remark() {
            out.push_str("remark: ");
        }
        out.push_str(&fault.diagnostic.render());
        out.push_str("\n\n");
    }
    let remarks = faults.iter().filter(|fault| fault.kind.is_remark()).count();
    let real = faults.len() - remarks;
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
    out.push_str(&found);
    out.push('\n');
    out
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn heading(out: &mut String, topic: &Topic) {
    let title = escape(&topic.title);
    let key = escape(&topic.key);
    if title.eq_ignore_ascii_case(&key) {
        line(out, "", &title);
    } else {
        line(out, "", &format!("{title}  [{key}]"));
    }
}

fn section(out: &mut String, name: &str) {
    let _ = write!(out, "\n{name}\n");
}

fn formulae(out: &mut String, formulae: &[&Formula]) {
    let rows: Vec<(String, String)> = formulae
        .iter()
        .map(|formula| {
            (
                escape(formula.text()).into_owned(),
                escape(&formula.name).into_owned(),
            )
        })
        .collect();
    let widest = column(&rows);
    for ((text, name), formula) in rows.iter().zip(formulae) {
        // A name made from the formula itself says nothing new.
        let made = text.chars().filter(|next| !next.is_whitespace());
        if made.clone().eq(name.chars()) || text.starts_with(&format!("{name} =")) {
            line(out, " ", text);
        } else if text.width() > widest {
            line(out, " ", text);
            line(out, "     ", name);
        } else {
            line(out, &format!("  {}", padded(text, widest)), name);
        }
        if let Some(condition) = &formula.condition {
            line(out, "      ", &escape(&format!("when {condition}")));
        }
    }
}

fn table(out: &mut String, rows: &[(String, String)]) {
    let widest = column(rows);
    for (left, right) in rows {
        line(out, &format!("  {}", padded(left, widest)), right);
    }
}

/// Width of the first column: the widest entry, but never more than half.
fn column(rows: &[(String, String)]) -> usize {
    rows.iter()
        .map(|(left, _)| left.width())
        .filter(|width| *width <= COLUMNS / 2)
        .max()
        .unwrap_or(0)
}

fn padded(text: &str, width: usize) -> String {
    let spaces = width.saturating_sub(text.width());
    format!("{text}{}", " ".repeat(spaces))
}

/// A line that begins with `left`; what does not fit goes on below, indented
/// as far as the text began, or by six if that is far to the right.
fn line(out: &mut String, left: &str, text: &str) {
    out.push_str(left);
    let mut width = left.width();
    let indent = if width + 1 > COLUMNS / 2 {
        6
    } else {
        width + 1
    };
    let mut fresh = left.is_empty();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let needed = word.width() + usize::from(!fresh);
        if width + needed > COLUMNS && width > indent {
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
            topic(&formulary.topics[0]),
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
            topics(&formulary),
            "motion Motion in a straight line (2 formulae, 1 proof, 1 definition)\n"
        );
        let query = Query {
            anything: Some("velocity-time"),
            ..Query::default()
        };
        let found = search(&formulary, &query);
        assert!(listing(&found).starts_with("Motion in a straight line [motion]\n  v = u + a t"));
        assert_eq!(listing(&[]), "");
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
            topic(&formulary.topics[0]),
            topics(&formulary),
            listing(&all),
        ] {
            for line in shown.lines() {
                assert!(line.width() <= COLUMNS, "{line}");
            }
        }
    }

    #[test]
    fn findings_are_counted() {
        let check = |text: &str, expected: &str| {
            let formulary = Formulary::from_text("t.sheet", text);
            let shown = faults(&proofread(&formulary), formulary.formula_count());
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
             remark: t.sheet:3:1: `v`, `f`, `λ` have no quantity line, although others have\n  v = f λ\n  ^^^^^^^\nadd a line:  quantity v: ...\n\n\
             1 fault, 2 remarks. 1 formula can be practised all the same.\n",
        );
    }
}
