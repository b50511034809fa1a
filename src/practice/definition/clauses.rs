//! A sentence cut into clauses: at commas, semicolons, full stops, brackets,
//! and at the words that open a legend; what some clauses are by themselves.

use super::Wordings;
use super::lexicon::unit_named;

/// Words that open the explanation of letters.
const OPENS: [&str; 6] = [
    " where ",
    " with ",
    " in which ",
    " here ",
    " wherein ",
    " whereby ",
];

/// Words that come after a formula and only then end it.
const AFTER_FORMULA: [&str; 9] = [
    " for ",
    " when ",
    " if ",
    " gives ",
    " as ",
    " in ",
    " on ",
    " while ",
    " provided ",
];

/// The clauses of a sentence, in order, without empty ones.
pub(super) fn clauses(sentence: &str, is_formula: impl Fn(&str) -> bool) -> Vec<&str> {
    let mut found = Vec::new();
    let mut start = 0;
    let mut depth = 0_usize;
    let bytes = sentence.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let rest = &sentence[at..];
        let so_far = &sentence[start..at];
        let next = rest.chars().next().map_or(1, char::len_utf8);
        let cut = match bytes[at] {
            b'(' => {
                let inner = rest[1..].split(')').next().unwrap_or("");
                if so_far.ends_with(' ') && !is_formula(inner) && legend_entry(inner).is_some() {
                    Some(1)
                } else {
                    depth += 1;
                    None
                }
            }
            b')' if depth > 0 => {
                depth -= 1;
                None
            }
            b')' | b';' => Some(1),
            b',' if !rest[1..].starts_with(|next: char| next.is_ascii_digit()) => Some(1),
            b':' if !so_far.ends_with(' ') && !is_letter(so_far.trim()) => Some(1),
            b'.' if ends_sentence(so_far, &rest[1..]) => Some(1),
            _ => [" — ", " – "]
                .iter()
                .chain(&OPENS)
                .find(|mark| rest.starts_with(**mark))
                .map(|mark| mark.len() - 1)
                .or_else(|| {
                    let mark = AFTER_FORMULA.iter().find(|mark| rest.starts_with(**mark))?;
                    is_formula(so_far).then_some(mark.len() - 1)
                })
                .or_else(|| {
                    // "f is the frequency and λ the wavelength".
                    let told = rest.strip_prefix(" and ")?;
                    let letter = told.split([' ', ':', '=']).next()?;
                    is_letter(letter).then_some(5)
                }),
        };
        match cut {
            Some(length) if depth == 0 => {
                found.push(so_far);
                at += length;
                start = at;
            }
            _ => at += next,
        }
    }
    found.push(&sentence[start..]);
    found
        .into_iter()
        .map(|clause| {
            clause
                .trim()
                .trim_start_matches("and ")
                .trim_end_matches(" and")
        })
        .filter(|clause| !clause.is_empty())
        .collect()
}

/// Whether a full stop ends a sentence, and no abbreviation.
fn ends_sentence(before: &str, after: &str) -> bool {
    let word = before.rsplit(char::is_whitespace).next().unwrap_or("");
    !word.contains('.') && !word.is_empty() && (after.trim().is_empty() || after.starts_with(' '))
}

/// Whether a word of a legend is a letter: `F`, `ΔL`, `m₀`, `E_k`, `Q_H`.
pub(super) fn is_letter(word: &str) -> bool {
    let count = word.chars().count();
    let plain = word.chars().all(|next| next.is_ascii_lowercase());
    // "Its" opens a sentence.
    let plain = plain || (count > 2 && word.chars().skip(1).all(|next| next.is_ascii_lowercase()));
    let capitals = count > 2 && word.chars().all(|next| next.is_ascii_uppercase());
    let signs = |next: char| next.is_alphanumeric() || "_₀₁₂½'".contains(next);
    let short = count == 1
        || (count <= 3
            && !plain
            && !capitals
            && !word.chars().skip(1).any(|next| "aeiou".contains(next)))
        || (word.contains('_') && count <= 12);
    word.starts_with(char::is_alphabetic) && word.chars().all(signs) && short && word != "a"
}

/// The letter that a clause explains, and what it says that it is.
pub(super) fn legend_entry(clause: &str) -> Option<(&str, &str)> {
    const VERBS: [&str; 18] = [
        "being ",
        "is ",
        "means ",
        "denotes ",
        "stands for ",
        "represents ",
        "for ",
        "equals ",
        "here ",
        "the ",
        "a ",
        "an ",
        "its ",
        "was ",
        "are ",
        "as ",
        "standing for ",
        "meaning ",
    ];
    let mut clause = clause.trim();
    for opener in ["where ", "with ", "and ", "here ", "in which "] {
        clause = clause.strip_prefix(opener).unwrap_or(clause);
    }
    let end = clause.find(|next: char| next.is_whitespace() || ":=".contains(next))?;
    let (letter, mut told) = clause.split_at(end);
    // "a being the acceleration".
    let explained = told.trim_start().starts_with(['=', ':'])
        || ["being ", "is ", "stands "]
            .iter()
            .any(|verb| told.trim_start().starts_with(verb));
    if !(is_letter(letter) || (letter == "a" && explained)) {
        return None;
    }
    loop {
        let trimmed = told.trim_start_matches([' ', ':', '=']);
        let shorter = VERBS
            .iter()
            .find_map(|verb| trimmed.strip_prefix(verb))
            .unwrap_or(trimmed);
        if shorter == told {
            break;
        }
        told = shorter;
    }
    (!told.trim().is_empty()).then_some((letter, told.trim()))
}

impl Wordings {
    /// Whether a clause only says in what unit the term is measured, gives an
    /// example, or says what one unit of it is.
    pub(super) fn is_aside(&self, clause: &str) -> bool {
        let lower = clause.trim().trim_end_matches('.').to_lowercase();
        if ["e.g", "eg ", "for example", "for instance", "such as"]
            .iter()
            .any(|open| lower.starts_with(open))
        {
            return true;
        }
        // "× 100 if you want a percentage".
        let hundred = lower
            .trim_start_matches(['×', 'x', '*', ' '])
            .trim_start_matches("times ");
        if hundred.len() < lower.len()
            && let Some(rest) = hundred.strip_prefix("100")
            && ["%", "percent", "per cent"]
                .iter()
                .any(|sign| rest.contains(sign))
        {
            return true;
        }
        self.says_its_unit(clause)
    }

    /// "Its unit is the farad", "in kg m/s", "no units", "one watt is ...".
    fn says_its_unit(&self, clause: &str) -> bool {
        const OPENERS: [&str; 24] = [
            "measured ",
            "given ",
            "expressed ",
            "usually ",
            "often ",
            "comes ",
            "its ",
            "it ",
            "has ",
            "the ",
            "a ",
            "si ",
            "s.i. ",
            "units ",
            "unit ",
            "in ",
            "is ",
            "are ",
            "of ",
            "and ",
            "can be ",
            "so ",
            "which ",
            "mostly ",
        ];
        let Some(dimension) = &self.dimension else {
            return false;
        };
        let clause = clause.trim().trim_end_matches(['.', ' ']);
        let lower = clause.to_lowercase();
        let bare = [
            "no unit",
            "no units",
            "has no unit",
            "has no units",
            "it has no unit",
            "it has no units",
            "doesn't have a unit",
            "does not have a unit",
            "without a unit",
            "no dimensions",
            "dimensionless",
            "unitless",
            "it has no dimensions",
        ];
        if bare.contains(&lower.as_str()) {
            return dimension.is_none();
        }
        let mut rest = clause;
        let mut said = false;
        loop {
            rest = rest.trim_start_matches([' ', ':', '=']);
            let lower = rest.to_lowercase();
            let Some(opener) = OPENERS.iter().find(|opener| lower.starts_with(**opener)) else {
                break;
            };
            said |= ["unit ", "units ", "in "].contains(opener);
            rest = &rest[opener.len()..];
        }
        let own = |text: &str| unit_named(text).is_some_and(|unit| unit.dimension == *dimension);
        if !dimension.is_none() && own(rest) && (said || rest.len() == clause.len()) {
            return true;
        }
        // "One watt is one joule per second", "1 V is 1 J/C".
        let one = ["one ", "1 ", "a "]
            .iter()
            .find_map(|one| lower.strip_prefix(one).map(|_| &clause[one.len()..]));
        one.and_then(|one| one.split_once(" is "))
            .is_some_and(|(unit, _)| own(unit) && !dimension.is_none())
    }

    /// The sentence without such clauses, if it has any besides what else it
    /// says.
    pub(super) fn without_asides(&self, sentence: &str) -> Option<String> {
        let clauses = clauses(sentence, |_| false);
        let kept: Vec<&str> = clauses
            .iter()
            .copied()
            .filter(|clause| !self.is_aside(clause))
            .collect();
        (!kept.is_empty() && kept.len() < clauses.len()).then(|| kept.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::{clauses, is_letter, legend_entry};

    #[test]
    fn cut() {
        let check = |text: &str, expected: &[&str]| {
            assert_eq!(clauses(text, |part| part.contains('/')), expected, "{text}");
        };
        check(
            "C = Q/V, Q being the charge and V the p.d. across it; in farads.",
            &[
                "C = Q/V",
                "Q being the charge",
                "V the p.d. across it",
                "in farads",
            ],
        );
        check(
            "g = F/m. F: force on it (m: its mass), when it is still",
            &[
                "g = F/m",
                "F: force on it",
                "m: its mass",
                "when it is still",
            ],
        );
        check("F/q for a body", &["F/q", "a body"]);
        check("work done", &["work done"]);
    }

    #[test]
    fn letters() {
        let check = |text: &str, expected| assert_eq!(legend_entry(text), expected, "{text}");
        check("F: the force", Some(("F", "force")));
        check("E_k being the energy", Some(("E_k", "energy")));
        check("a being acceleration", Some(("a", "acceleration")));
        check("a body", None);
        check("the force", None);
        for letter in ["F", "ΔL", "m₀", "Q_H", "Qc", "E_useful"] {
            assert!(is_letter(letter), "{letter}");
        }
        for word in ["the", "as", "a", "Its", "EMF"] {
            assert!(!is_letter(word), "{word}");
        }
    }
}
