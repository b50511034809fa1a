//! A definition that begins with a formula: "FL/(Ax), with F the force and L
//! the length", "v = fλ: frequency times wavelength", "B = F/(IL) for a wire".

use super::{Judged, Wordings};
use crate::algebra::expr::Expr;
use crate::algebra::symbol::Domain;
use crate::text::readings::read_preferred;
use crate::text::vocabulary::{Undeclared, Vocabulary};
use crate::text::words::{Said, passing_words};

/// A formula of a definition is no longer than this.
const LONGEST: usize = 48;

/// What ends a formula, and what then follows.
const ENDS: [(&str, Rest); 14] = [
    (", where ", Rest::Legend),
    (" where ", Rest::Legend),
    (", with ", Rest::Legend),
    (" with ", Rest::Legend),
    (", when ", Rest::Described),
    (" when ", Rest::Described),
    (" for ", Rest::Described),
    (", for ", Rest::Described),
    (", i.e.", Rest::Again),
    (", or ", Rest::Again),
    (":", Rest::Again),
    ("; ", Rest::Again),
    (", ", Rest::Again),
    (" (", Rest::Again),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rest {
    /// What the letters stand for.
    Legend,
    /// Words that only describe.
    Described,
    /// The same in words.
    Again,
}

impl Wordings {
    /// Judges a formula and what follows it; nothing if the sentence does not
    /// begin with one.
    pub(super) fn judge_formula(&self, sentence: &str) -> Option<Judged> {
        let (formula, rest, kind) = ENDS
            .iter()
            .filter_map(|(mark, kind)| {
                let (first, second) = sentence.split_once(mark)?;
                Some((first, second, *kind))
            })
            .min_by_key(|(first, ..)| first.len())
            .unwrap_or((sentence, "", Rest::Described));
        if !is_formula(formula) {
            return None;
        }
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
        let mut met = Vec::new();
        let mut stands_for = Vec::new();
        match kind {
            Rest::Again => {
                let judged = self.judge_part(rest);
                if !judged.is_right() {
                    return None;
                }
                let formula = self.value_of(formula, &mut vocabulary)?;
                let said = self.said(formula, (0..self.needs.len()).collect());
                return self.judge_said(said).is_right().then_some(judged);
            }
            Rest::Described => met.extend(passing_words(rest, &self.lexicon, false)?),
            Rest::Legend => {
                let parts = rest
                    .split([',', ';'])
                    .flat_map(|part| part.split(" and "))
                    .map(|part| part.trim().trim_start_matches("and "));
                for part in parts.filter(|part| !part.is_empty()) {
                    let (letter, told) = part.split_once(char::is_whitespace)?;
                    met.extend(passing_words(told, &self.lexicon, true)?);
                    if !is_letter(letter) {
                        passing_words(letter, &self.lexicon, false)?;
                        continue;
                    }
                    let own = self.lexicon.lettered(letter);
                    let meant = match self.lexicon.meant(told) {
                        Some(meant) => meant,
                        // "f in metres": only said how it is measured.
                        None => own.clone()?,
                    };
                    if own.is_some_and(|own| own != meant) {
                        return None;
                    }
                    let symbol = vocabulary.declare(letter, Domain::Positive);
                    stands_for.push((symbol, meant));
                }
            }
        }
        let mut value = self.value_of(formula, &mut vocabulary)?;
        for (symbol, meant) in &stands_for {
            value = value.substitute(*symbol, meant);
        }
        let known = |symbol| self.table.symbols().any(|own| own == symbol);
        let mut symbols = Vec::new();
        value.collect_symbols(&mut symbols);
        symbols
            .into_iter()
            .all(known)
            .then(|| self.judge_said(self.said(value, met)))
    }

    /// The right side of a formula.
    fn value_of(&self, formula: &str, vocabulary: &mut Vocabulary) -> Option<Expr> {
        let right = formula.rsplit('=').next()?;
        let mut maths = right
            .replace(" over ", "/")
            .replace(" times ", "*")
            .replace(" x ", "*")
            .replace("multiplied by", "*")
            .replace("divided by", "/");
        // Over time, what counts from nothing is its own change.
        for letter in ["t", "θ"] {
            let change = format!("Δ{letter}");
            if self.lexicon.lettered(&change).is_none() && self.lexicon.lettered(letter).is_some() {
                maths = maths.replace(&change, letter);
            }
        }
        let mut reading = read_preferred(&maths, vocabulary, Undeclared::Refuse).ok()?;
        (reading.chain.len() == 1).then(|| reading.chain.swap_remove(0))
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
fn is_formula(text: &str) -> bool {
    let text = text.trim();
    if text.is_empty() || text.len() > LONGEST {
        return false;
    }
    let words = [
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
    ];
    let short = text
        .split(|next: char| !next.is_alphabetic())
        .filter(|run| !run.is_empty())
        .all(|run| {
            run.chars().count() <= 4 && !run.chars().skip(1).any(|next| "aeiou".contains(next))
                || words.contains(&run)
        });
    let article = text.starts_with("a ") || text.starts_with("A ");
    let starts_as_word = article && !text[1..].trim_start().starts_with('=');
    short && !starts_as_word
}

/// Whether a word of a legend is a letter: `F`, `ΔL`, `m₀`, `E_k`.
fn is_letter(word: &str) -> bool {
    let count = word.chars().count();
    let plain = word.chars().all(|next| next.is_ascii_lowercase());
    word.starts_with(char::is_alphabetic) && (count == 1 || (count <= 4 && !plain)) && word != "a"
}

#[cfg(test)]
mod tests {
    use super::{is_formula, is_letter};

    #[test]
    fn formulae_and_letters() {
        let check = |text: &str, expected: bool| assert_eq!(is_formula(text), expected, "{text}");
        check("FL/(AΔL)", true);
        check("ΔL over L", true);
        check("v = f λ", true);
        check("m₀c²", true);
        check("charge per unit voltage", false);
        check("it", true);
        check("the force", false);
        check("", false);
        let check = |text: &str, expected: bool| assert_eq!(is_letter(text), expected, "{text}");
        check("F", true);
        check("ΔL", true);
        check("m₀", true);
        check("the", false);
        check("as", false);
        check("a", false);
    }
}
