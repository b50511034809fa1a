//! A definition in letters, with a legend or without: "FL/(Ax), with F the
//! force and L the length", "the product of B and A, B being the flux
//! density", "v = fλ: frequency times wavelength", "B = F/(IL) for a wire".

use super::clauses::{clauses, legend_entry};
use super::{Judged, Wordings};
use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Domain, Symbol};
use crate::text::readings::read_preferred;
use crate::text::vocabulary::{Undeclared, Vocabulary};
use crate::text::words::{Said, passing_words, read_words};

/// A formula of a definition is no longer than this.
const LONGEST: usize = 48;

impl Wordings {
    /// Judges a sentence that has letters in it, which other clauses may
    /// explain; nothing if some clause of it is not understood.
    pub(super) fn judge_letters(&self, sentence: &str) -> Option<Judged> {
        let clauses = clauses(sentence, is_formula);
        let core = clauses
            .iter()
            .position(|clause| is_formula(clause))
            .or_else(|| {
                clauses
                    .iter()
                    .position(|clause| legend_entry(clause).is_none())
            })?;
        let mut met = Vec::new();
        let mut legend: Vec<(&str, Expr)> = Vec::new();
        let mut again = None;
        for (number, clause) in clauses.iter().enumerate() {
            if number == core || self.is_aside(clause) {
                continue;
            }
            if number > core
                && let Some((letter, told)) = legend_entry(clause)
                && clauses[core].contains(letter)
                && let Some((meant, needs)) = self.explained(letter, told)
            {
                met.extend(needs);
                legend.push((letter, meant));
                continue;
            }
            let strange = !self.speaks_of_its_own(clause);
            if let Some(needs) = passing_words(clause, &self.lexicon, true).filter(|_| !strange) {
                met.extend(needs);
                continue;
            }
            // The same once more in words.
            let judged = self.judge_part(clause);
            if !judged.is_right() {
                return None;
            }
            met = (0..self.needs.len()).collect();
            again = Some(judged);
        }
        let right = if is_formula(clauses[core]) {
            self.sides(clauses[core], &legend)?
                .into_iter()
                .map(|value| self.judge_said(self.said(value, met.clone())))
                .reduce(|first, next| if first.is_right() { next } else { first })?
        } else if legend.is_empty() {
            return None;
        } else {
            self.judge_worded(clauses[core], &legend, &met)?
        };
        if right.is_right() {
            Some(again.unwrap_or(right))
        } else {
            Some(right)
        }
    }

    /// What a letter stands for, and the needs that its explanation meets.
    fn explained(&self, letter: &str, told: &str) -> Option<(Expr, Vec<usize>)> {
        // "c = 2 speed of light".
        if told.starts_with(|next: char| next.is_ascii_digit()) {
            return None;
        }
        let own = self.lexicon.lettered(letter);
        let passing = passing_words(told, &self.lexicon, true);
        let named = self.lexicon.quantities(told);
        if !named
            .iter()
            .skip(1)
            .all(|(concept, _)| self.lexicon.is_known(*concept))
        {
            return None;
        }
        if let Some(needs) = &passing {
            // "A is perpendicular to the field": the field is no name of A.
            let name = told.split(" to ").next()?.split(" in ").next()?;
            let meant = self
                .lexicon
                .meant(name)
                .or_else(|| self.lexicon.meant(told));
            let known = match (&meant, &own) {
                (Some(meant), Some(own)) => {
                    meant == own || self.lexicon.meant(told).as_ref() == Some(own)
                }
                _ => false,
            };
            if known {
                return Some((own?, needs.clone()));
            }
        }
        // "f is the number of waves per second".
        if let Ok(said) = read_words(told, &self.lexicon)
            && said.vague.is_empty()
            && !said.loose
        {
            return Some((said.value, said.met));
        }
        // "f in metres": only said how it is measured.
        let needs = passing?;
        match self.lexicon.meant(told) {
            Some(meant) => Some((meant, needs)),
            None => Some((own?, needs)),
        }
    }

    /// Whether all quantities of a clause belong to the definition.
    fn speaks_of_its_own(&self, clause: &str) -> bool {
        self.lexicon
            .quantities(clause)
            .iter()
            .all(|(concept, _)| self.lexicon.is_known(*concept))
    }

    /// Words with letters that a legend explains.
    fn judge_worded(&self, core: &str, legend: &[(&str, Expr)], met: &[usize]) -> Option<Judged> {
        let mut lexicon = self.lexicon.clone();
        for (letter, meant) in legend {
            lexicon.letter_first(letter, meant.clone());
        }
        let mut said = read_words(core, &lexicon).ok()?;
        said.met.extend(met);
        Some(self.judge_said(said))
    }

    /// What the sides of a formula say, without the one that is the term.
    fn sides(&self, formula: &str, legend: &[(&str, Expr)]) -> Option<Vec<Expr>> {
        // The definition's own symbols keep their places in the table.
        let mut vocabulary = Vocabulary::new();
        for symbol in self.table.symbols() {
            let name = self.table.name(symbol).to_owned();
            vocabulary
                .table_mut()
                .intern(&name, self.table.domain(symbol));
        }
        for (letter, _) in self.lexicon.letters() {
            vocabulary.declare(letter, Domain::Positive);
        }
        let mut stands_for: Vec<(Symbol, Symbol, Expr)> = Vec::new();
        for (number, (letter, meant)) in legend.iter().enumerate() {
            let symbol = vocabulary.declare(letter, Domain::Positive);
            let between = vocabulary
                .table_mut()
                .intern(&format!("legend {number}"), Domain::Positive);
            stands_for.push((symbol, between, meant.clone()));
        }
        let told = |letter: &str| legend.iter().any(|(own, _)| *own == letter);
        let sides: Vec<&str> = formula.split('=').map(str::trim).collect();
        let mut values = Vec::new();
        for (number, side) in sides.iter().enumerate() {
            let lone = side.chars().filter(|next| next.is_alphabetic()).count() <= 2
                || legend_entry(&format!("{side} is")).is_some();
            let term = self.lexicon.lettered(side) == self.subject().map(Expr::Symbol);
            if sides.len() > 1 && ((number == 0 && lone && !side.contains('/')) || term) {
                continue;
            }
            let mut maths = side
                .replace(" over ", "/")
                .replace(" times ", "*")
                .replace(" x ", "*")
                .replace("multiplied by", "*")
                .replace("divided by", "/")
                .replace(['·', '×'], "*")
                .replace("100 %", "100")
                .replace("100%", "100");
            // A change has its own letters, or counts from nothing.
            for (letter, value) in self.lexicon.letters() {
                for delta in [format!("Δ{letter}"), format!("d{letter}")] {
                    let known = told(&delta) || self.lexicon.lettered(&delta).is_some();
                    if known || !maths.contains(&delta) || (delta.starts_with('d') && told("d")) {
                        continue;
                    }
                    if !self.lexicon.counts_from_nothing(value) {
                        return None;
                    }
                    maths = maths.replace(&delta, letter);
                }
            }
            let mut reading = read_preferred(&maths, &mut vocabulary, Undeclared::Refuse).ok()?;
            if reading.chain.len() != 1 {
                return None;
            }
            let mut value = reading.chain.swap_remove(0);
            for (symbol, between, _) in &stands_for {
                value = value.substitute(*symbol, &Expr::Symbol(*between));
            }
            for (_, between, meant) in &stands_for {
                value = value.substitute(*between, meant);
            }
            let known = |symbol| self.table.symbols().any(|own| own == symbol);
            let mut symbols = Vec::new();
            value.collect_symbols(&mut symbols);
            if !symbols.into_iter().all(known) {
                return None;
            }
            values.push(value);
        }
        Some(values)
    }

    fn said(&self, value: Expr, met: Vec<usize>) -> Said {
        Said {
            value,
            others: Vec::new(),
            at_one: None,
            vague: Vec::new(),
            met,
            unit_for_quantity: false,
            loose: false,
        }
    }
}

/// Whether a text is made of letters, numbers and signs, and not of words.
pub(super) fn is_formula(text: &str) -> bool {
    const WORDS: [&str; 16] = [
        "over",
        "times",
        "delta",
        "omega",
        "lambda",
        "theta",
        "sigma",
        "divided",
        "by",
        "multiplied",
        "cos",
        "sin",
        "ln",
        "sqrt",
        "exp",
        "rho",
    ];
    let text = text.trim();
    if text.is_empty() || text.len() > LONGEST {
        return false;
    }
    let mut after_underscore = false;
    let mut short = true;
    let mut letters = 0;
    for run in text.split_inclusive(|next: char| !next.is_alphabetic()) {
        let word = run.trim_end_matches(|next: char| !next.is_alphabetic());
        let subscript = std::mem::replace(&mut after_underscore, run.ends_with('_'));
        if word.is_empty() || subscript {
            continue;
        }
        letters += 1;
        short &= word.chars().count() <= 4
            && !word.chars().skip(1).any(|next| "aeiou".contains(next))
            || WORDS.contains(&word);
    }
    let operates = text.contains(['=', '/', '*', '×', '·', '÷', '+', '−', '-', '²', '^', ' '])
        || text.chars().count() <= 4;
    let article = text.starts_with("a ") || text.starts_with("A ");
    let starts_as_word = article && !text[1..].trim_start().starts_with('=');
    let lone = text.chars().filter(|next| next.is_alphabetic()).count() < 2 && !text.contains('/');
    short && letters > 0 && operates && !starts_as_word && !lone
}

#[cfg(test)]
mod tests {
    use super::is_formula;

    #[test]
    fn formulae() {
        let check = |text: &str, expected: bool| assert_eq!(is_formula(text), expected, "{text}");
        check("FL/(AΔL)", true);
        check("ΔL over L", true);
        check("v = f λ", true);
        check("m₀c²", true);
        check("Fs cos θ", true);
        check("E_useful / E_total", true);
        check("charge per unit voltage", false);
        check("the force", false);
        check("", false);
    }
}
