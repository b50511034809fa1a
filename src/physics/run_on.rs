//! Letters that run on: words where a formula has single letters, and a power
//! typed as a plain digit. The reader takes them letter by letter, and a
//! colleague would ask.

use crate::algebra::symbol::Symbol;
use crate::text::Span;

use super::formulary::{Formula, Topic};

/// The shortest run of letters that looks like a word.
const WORD: usize = 4;
/// Shorter runs that teachers write for one quantity.
const ABBREVIATIONS: [&str; 6] = ["KE", "PE", "GPE", "EPE", "EMF", "PD"];

/// What is odd about a line: where, what, and the likely mend.
pub(super) type Odd = (Span, String, String);

/// What a colleague would ask about the letters of a formula.
pub(super) fn oddities(topic: &Topic, formula: &Formula) -> Vec<Odd> {
    let text = formula.text();
    let symbols = formula.equation.symbols();
    let mut odd = Vec::new();
    odd.extend(words(topic, text, &symbols));
    odd.extend(powers(topic, text, &symbols));
    odd
}

fn is_declared(topic: &Topic, symbol: Symbol) -> bool {
    topic.quantity(symbol).is_some() || topic.constant(symbol).is_some()
}

/// Runs of letters, with their places.
fn runs(text: &str) -> Vec<Span> {
    let mut runs: Vec<Span> = Vec::new();
    let mut start = None;
    let mut before = ' ';
    for (at, next) in text.char_indices().chain([(text.len(), ' ')]) {
        if next.is_ascii_alphabetic() {
            // What follows a low line or a bracket of one is a subscript.
            if start.is_none() && !matches!(before, '_' | '{' | '\\') {
                start = Some(at);
            }
        } else if let Some(from) = start.take()
            && next != '('
            && next != '_'
        {
            runs.push(Span::new(from, at));
        }
        before = next;
    }
    runs
}

/// Words that were read as products of single letters.
fn words(topic: &Topic, text: &str, symbols: &[Symbol]) -> Option<Odd> {
    let table = topic.vocabulary.table();
    // Some of a word may have been read as a function or a number: `tan` in
    // distance, Euler's in time. Half of its letters as symbols will do.
    let split = |word: &str| {
        let mut letters: Vec<char> = word.chars().collect();
        letters.sort_unstable();
        letters.dedup();
        let is_symbol = |letter: &&char| {
            symbols.iter().any(|symbol| {
                let mut name = table.name(*symbol).chars();
                name.next() == Some(**letter)
                    && name.next().is_none_or(|next| next == '_')
                    && !is_declared(topic, *symbol)
            })
        };
        topic.vocabulary.lookup(word).is_none()
            && 2 * letters.iter().filter(is_symbol).count() >= letters.len()
    };
    let looks_like_one = |word: &str| {
        let small = word
            .chars()
            .skip(1)
            .all(|letter| letter.is_ascii_lowercase());
        let sounds = word
            .to_ascii_lowercase()
            .contains(['a', 'e', 'i', 'o', 'u']);
        ABBREVIATIONS.contains(&word) || word.len() >= WORD && small && sounds
    };
    let found: Vec<Span> = runs(text)
        .into_iter()
        .filter(|span| {
            let word = &text[span.start..span.end];
            looks_like_one(word) && split(word)
        })
        .collect();
    let first = *found.first()?;
    let quoted: Vec<String> = found
        .iter()
        .take(4)
        .map(|span| format!("`{}`", &text[span.start..span.end]))
        .collect();
    let word = &text[first.start..first.end];
    let (verb, what) = match quoted.len() {
        1 => ("is", "a product"),
        _ => ("are", "products"),
    };
    Some((
        first,
        format!(
            "{} {verb} read letter by letter, as {what}",
            quoted.join(", ")
        ),
        format!(
            "did you mean one quantity? Write one letter for it, or add a line:  quantity {word}: \
             ..."
        ),
    ))
}

/// A letter with a number behind it: `v2`, `v_2`.
fn numbered(name: &str) -> Option<(&str, &str)> {
    let base = name.trim_end_matches(|next: char| next.is_ascii_digit());
    let digits = &name[base.len()..];
    let base = base.strip_suffix('_').unwrap_or(base);
    (!base.is_empty() && !digits.is_empty()).then_some((base, digits))
}

/// A letter with a 2 or 3 behind it that no other number speaks for.
fn powers(topic: &Topic, text: &str, symbols: &[Symbol]) -> Vec<Odd> {
    let table = topic.vocabulary.table();
    let mut odd = Vec::new();
    for symbol in symbols {
        let name = table.name(*symbol);
        let Some((base, digit @ ("2" | "3"))) = numbered(name) else {
            continue;
        };
        let sibling = |other: Symbol| {
            other != *symbol && numbered(table.name(other)).is_some_and(|(own, _)| own == base)
        };
        if is_declared(topic, *symbol) || table.symbols().any(sibling) {
            continue;
        }
        let typed = format!("{base}{digit}");
        if let Some(at) = text.find(&typed) {
            odd.push((
                Span::new(at, at + typed.len()),
                format!("`{typed}` is read as {base} with the number {digit}, not as a power"),
                format!(
                    "did you mean {base}^{digit}? Or add a line:  quantity {base}_{digit}: ..."
                ),
            ));
        }
    }
    odd
}

#[cfg(test)]
mod tests {
    use super::super::formulary::Formulary;
    use super::super::proofread::proofread;

    #[track_caller]
    fn check(lines: &str, told: &[&str]) {
        let formulary = Formulary::from_text("t.sheet", &format!("topic t\n{lines}\n"));
        let found: Vec<String> = proofread(&formulary)
            .iter()
            .map(|fault| fault.diagnostic.message.clone())
            .collect();
        assert_eq!(found.len(), told.len(), "{lines}: {found:?}");
        for (found, told) in found.iter().zip(told) {
            assert!(found.contains(told), "{lines}: {found}");
        }
    }

    #[test]
    fn what_runs_on_is_asked_about() {
        check(
            "Momentum is p = m v",
            &["`Momentum` is read letter by letter"],
        );
        check(
            "speed = distance / time",
            &[
                "can be read in two ways",
                "`speed`, `distance`, `time` are read letter by letter",
            ],
        );
        check("E = 0.5mv2", &["`v2` is read as v with the number 2"]);
        check(
            "KE = 0.5mv^2",
            &["`KE` is read letter by letter, as a product"],
        );
    }

    #[test]
    fn what_does_not_run_on_is_not() {
        for line in [
            "F = BIL sin θ",
            "p = ρgh",
            "pV = nRT",
            "v^2 = u^2 + 2as",
            "R = R1 + R2",
            "x = x2 - x1",
            "N = N_0 exp(-lambda t)",
            "E_max = h f",
            "quantity KE: kinetic energy, J\nquantity m: mass, kg\nquantity v: speed, m \
             s^-1\nKE = 0.5 m v^2",
            "quantity v2: final speed, m s^-1\nquantity a: acceleration, m s^-2\nquantity t: time, \
             s\nv2 = a t",
        ] {
            check(line, &[]);
        }
    }
}
