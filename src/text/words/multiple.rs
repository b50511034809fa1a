//! How many times as great: "a quarter of", "halves", "4 times smaller",
//! "falls by 75 %", in words. An answer in letters (`F/4`) is maths and read
//! as such.

use crate::algebra::expr::{Expr, Function};
use crate::algebra::limits::MAX_LINE;
use crate::algebra::number::Number;

/// Words that add nothing.
const FILLER: [&str; 53] = [
    "it", "is", "becomes", "become", "becoming", "goes", "go", "the", "its", "original", "old",
    "value", "was", "what", "as", "much", "large", "great", "strong", "big", "of", "a", "an",
    "previous", "before", "size", "will", "be", "would", "has", "been", "gets", "get", "new",
    "that", "than", "exactly", "high", "fast", "long", "first", "now", "then", "only", "just",
    "initial", "also", "were", "it's", "equal", "equals", "takes", "take",
];
const DOWN: [&str; 23] = [
    "smaller",
    "less",
    "lower",
    "weaker",
    "fewer",
    "reduced",
    "reduces",
    "reduce",
    "decreases",
    "decreased",
    "decrease",
    "falls",
    "fall",
    "drops",
    "drop",
    "shrinks",
    "down",
    "shorter",
    "slower",
    "divided",
    "divides",
    "lighter",
    "shrink",
];
const UP: [&str; 20] = [
    "increases",
    "increased",
    "increase",
    "rises",
    "rise",
    "grows",
    "grow",
    "bigger",
    "larger",
    "greater",
    "more",
    "up",
    "stronger",
    "multiplied",
    "longer",
    "faster",
    "higher",
    "raised",
    "heavier",
    "gains",
];
const SAME: [&str; 5] = ["unchanged", "same", "unaffected", "constant", "unaltered"];
const SAME_FILLER: [&str; 9] = [
    "stays", "remains", "stay", "remain", "does", "not", "change", "no", "doesn't",
];
const COUNTS: [&str; 21] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];
const PARTS: [(&str, i64); 14] = [
    ("half", 2),
    ("halves", 2),
    ("third", 3),
    ("quarter", 4),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("seventh", 7),
    ("eighth", 8),
    ("ninth", 9),
    ("tenth", 10),
    ("sixteenth", 16),
    ("twenty-fifth", 25),
    ("hundredth", 100),
];

/// A row of what a text says.
#[derive(Default)]
struct Row {
    numbers: Vec<Expr>,
    percent: bool,
    /// "25 % of" something.
    share: bool,
    down: bool,
    up: bool,
    times: bool,
    factor: bool,
    by: bool,
    to: bool,
    same: bool,
    not: bool,
    change: bool,
    multiplied: bool,
    divided: bool,
}

/// The factor that a phrase says; nothing if it is no such phrase. `own` are
/// further words that may be passed over: the quantity's name and letter.
#[must_use]
pub fn read_multiple(text: &str, own: &[&str]) -> Option<Expr> {
    if text.len() > MAX_LINE {
        return None;
    }
    let text = text
        .to_lowercase()
        .replace('%', " % ")
        .replace("per cent", "%");
    let words: Vec<&str> = text
        .split(|next: char| next.is_whitespace() || next == ',')
        .map(|word| word.trim_end_matches(['.', '!', ';']))
        .filter(|word| !word.is_empty())
        .flat_map(apart)
        .collect();
    let mut row = Row::default();
    let mut at = 0;
    let mut worded = false;
    while at < words.len() {
        let word = words[at];
        at += 1;
        if let Some(multiple) = verb(word) {
            row.numbers.push(multiple);
            worded = true;
            // "halves" says all; what it is reduced by is then no more said.
            continue;
        }
        match word {
            "%" | "percent" => {
                row.percent = true;
                row.share = words.get(at) == Some(&"of");
            }
            "times" | "×" | "x" | "fold" => row.times = true,
            "factor" => row.factor = true,
            "by" => row.by = true,
            "to" => row.to = true,
            "not" | "no" | "doesn't" => row.not = true,
            "change" => row.change = true,
            _ if own.contains(&word) => {}
            _ if SAME.contains(&word) => row.same = true,
            _ if SAME_FILLER.contains(&word) || FILLER.contains(&word) => {
                // "a half", "one quarter": the article belongs to the number.
            }
            _ if DOWN.contains(&word) => {
                row.down = true;
                row.divided |= matches!(word, "divided" | "divides");
            }
            _ if UP.contains(&word) => {
                row.up = true;
                row.multiplied |= word == "multiplied";
            }
            _ => {
                let (value, taken) = number(&words[at - 1..])?;
                at += taken - 1;
                // "4x smaller".
                let digit = word.starts_with(|next: char| next.is_ascii_digit());
                row.times |= digit && word.ends_with(['×', 'x']);
                row.numbers.push(value);
            }
        }
        worded |= word.chars().any(char::is_alphabetic) && !own.contains(&word);
    }
    (worded || row.percent).then_some(())?;
    row.factor()
}

impl Row {
    fn factor(self) -> Option<Expr> {
        let one = || Expr::integer(1);
        if self.same || (self.not && self.change) {
            return (self.numbers.is_empty() && !self.up && !self.down).then(one);
        }
        if self.not || self.change {
            return None;
        }
        let [value] = <[Expr; 1]>::try_from(self.numbers).ok()?;
        if self.up && self.down {
            return None;
        }
        if self.percent {
            let part = Expr::div(value, Expr::integer(100));
            if self.to || self.multiplied {
                return Some(part);
            }
            if self.divided {
                return Some(Expr::div(one(), part));
            }
            // "25 % smaller" is a change, as "falls by 25 %" is; "25 % of it,
            // so smaller" says two things.
            return match (self.up, self.down) {
                (false, false) => (!self.by).then_some(part),
                _ if self.share => None,
                (true, _) => Some(Expr::add(one(), part)),
                _ => Some(Expr::sub(one(), part)),
            };
        }
        if self.to {
            return Some(value);
        }
        if self.multiplied {
            return Some(value);
        }
        // "Decreases by a factor of 1/4" means the factor.
        if self.down && !self.divided && is_part(&value) && (self.factor || self.times) {
            return self.factor.then_some(value);
        }
        if self.divided || (self.down && (self.times || self.factor)) {
            return Some(Expr::div(one(), value));
        }
        if self.by && !self.factor && !self.times && is_part(&value) {
            return match (self.up, self.down) {
                (true, _) => Some(Expr::add(one(), value)),
                (_, true) => Some(Expr::sub(one(), value)),
                _ => None,
            };
        }
        // "goes up by 4": to four times, or by four units? Not known.
        if self.by && !self.factor && !self.times {
            return None;
        }
        // "a quarter less".
        if (self.up || self.down) && !self.times && !self.factor {
            return None;
        }
        Some(value)
    }
}

/// Whether it is written as a fraction below one.
fn is_part(value: &Expr) -> bool {
    match value {
        Expr::Number(number) => *number < Number::ONE,
        _ => false,
    }
}

/// The parts of a word that is two: `fourfold`, `two-fold`, `one-quarter`.
fn apart(word: &str) -> Vec<&str> {
    if word.chars().any(|next| next.is_ascii_digit()) && !word.ends_with("fold") {
        return vec![word];
    }
    if PARTS.iter().any(|(name, _)| *name == word) {
        return vec![word];
    }
    word.split('-')
        .flat_map(|part| match part.strip_suffix("fold") {
            Some(count) if !count.is_empty() => vec![count, "fold"],
            _ => vec![part],
        })
        .filter(|part| !part.is_empty())
        .collect()
}

/// What a verb multiplies by.
fn verb(word: &str) -> Option<Expr> {
    Some(match word {
        "halves" | "halved" | "halve" | "halving" => part(1, 2),
        "doubles" | "doubled" | "double" | "doubling" | "twice" => Expr::integer(2),
        "triples" | "tripled" | "trebles" | "trebled" | "triple" | "treble" | "thrice" => {
            Expr::integer(3)
        }
        "quadruples" | "quadrupled" | "quadruple" => Expr::integer(4),
        "quarters" | "quartered" => part(1, 4),
        _ => return None,
    })
}

fn part(numerator: i64, denominator: i64) -> Expr {
    Expr::Number(Number::new(numerator, denominator))
}

/// The number that begins a row of words, and how many words it takes.
fn number(words: &[&str]) -> Option<(Expr, usize)> {
    let first = *words.first()?;
    if let Some(of) = root_of(words) {
        return Some(of);
    }
    if let Some(denominator) = ordinal(first) {
        return Some((part(1, denominator), 1));
    }
    if let Some(count) = COUNTS.iter().position(|count| *count == first) {
        let count = i64::try_from(count).ok()?;
        return Some(match words.get(1).and_then(|next| ordinal(next)) {
            Some(denominator) => (part(count, denominator), 2),
            None => (Expr::integer(count), 1),
        });
    }
    let digits = first
        .trim_start_matches(['×', 'x'])
        .trim_end_matches(['×', 'x']);
    digits_of(digits).map(|value| (value, 1))
}

fn ordinal(word: &str) -> Option<i64> {
    let named = |word: &str| {
        PARTS
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, denominator)| *denominator)
    };
    named(word).or_else(|| named(word.strip_suffix('s')?))
}

/// `√2`, `root 2`, `square root of 2`.
fn root_of(words: &[&str]) -> Option<(Expr, usize)> {
    let root = |value: Expr| Expr::call(Function::Sqrt, value);
    if let Some(rest) = words[0].strip_prefix('√') {
        return Some((root(digits_of(rest)?), 1));
    }
    let skip = match words {
        ["square", "root", "of", ..] => 3,
        ["square", "root", ..] | ["root", "of", ..] => 2,
        ["root", ..] => 1,
        _ => return None,
    };
    let (value, taken) = number(words.get(skip..)?)?;
    Some((root(value), skip + taken))
}

fn digits_of(text: &str) -> Option<Expr> {
    if let Some((over, under)) = text.split_once('/') {
        let under: i64 = under.parse().ok().filter(|under| *under > 0)?;
        return Some(part(over.parse().ok()?, under));
    }
    let vulgar = match text {
        "½" => Some((1, 2)),
        "¼" => Some((1, 4)),
        "¾" => Some((3, 4)),
        "⅓" => Some((1, 3)),
        "⅔" => Some((2, 3)),
        "⅛" => Some((1, 8)),
        "⅑" => Some((1, 9)),
        _ => None,
    };
    if let Some((over, under)) = vulgar {
        return Some(part(over, under));
    }
    let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.len() + rest.len() == 0
        || whole.len() + rest.len() > 12
        || !plain(whole)
        || !plain(rest)
    {
        return None;
    }
    let scale = 10_i64.checked_pow(u32::try_from(rest.len()).ok()?)?;
    Some(part(format!("{whole}{rest}").parse().ok()?, scale))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: Option<(i64, i64)>) {
        let read = read_multiple(text, &["f", "force"]);
        let value = read.map(|value| match value {
            Expr::Number(number) => number,
            other => {
                let table = crate::algebra::symbol::SymbolTable::new();
                let mut field = crate::algebra::normal::Field::new(&table);
                let normal = field.normalise(&other).expect("it has a value");
                normal.as_number().unwrap_or(Number::MINUS_ONE)
            }
        });
        let expected = expected.map(|(over, under)| Number::new(over, under));
        assert_eq!(value, expected, "{text}");
    }

    #[test]
    fn multiples_in_words() {
        for (text, expected) in [
            ("a quarter", (1, 4)),
            ("a quarter of what it was", (1, 4)),
            ("one quarter of its original value", (1, 4)),
            ("one ninth", (1, 9)),
            ("three quarters of F", (3, 4)),
            ("halves", (1, 2)),
            ("it is halved", (1, 2)),
            ("half", (1, 2)),
            ("doubles", (2, 1)),
            ("twice as large", (2, 1)),
            ("4 times smaller", (1, 4)),
            ("four times as great", (4, 1)),
            ("4 times", (4, 1)),
            ("9 times bigger", (9, 1)),
            ("unchanged", (1, 1)),
            ("stays the same", (1, 1)),
            ("it does not change", (1, 1)),
            ("increases by a factor of 4", (4, 1)),
            ("decreases by a factor of 4", (1, 4)),
            ("is divided by 9", (1, 9)),
            ("is multiplied by 1/4", (1, 4)),
            ("falls to a quarter", (1, 4)),
            ("decreases fourfold", (1, 4)),
            ("a fourfold decrease", (1, 4)),
            ("ninefold", (9, 1)),
            ("a 9-fold increase", (9, 1)),
            ("two-fold", (2, 1)),
            ("4x smaller", (1, 4)),
            ("one-quarter", (1, 4)),
            ("it's a twenty-fifth", (1, 25)),
            ("decreases by a factor of 1/4", (1, 4)),
            ("doubling", (2, 1)),
            ("falls by a quarter", (3, 4)),
            ("falls by half", (1, 2)),
            ("increases by half", (3, 2)),
            ("25% of the original", (1, 4)),
            ("decreases by 75 %", (1, 4)),
            ("increases by 50%", (3, 2)),
            ("falls to 25 per cent", (1, 4)),
            ("the force is quartered", (1, 4)),
            ("one sixteenth", (1, 16)),
            ("0.25 times as great", (1, 4)),
            ("it becomes ¼ of the old force", (1, 4)),
            ("reduced to 1/4", (1, 4)),
            ("25% smaller", (3, 4)),
            ("75% less", (1, 4)),
            ("falls 75%", (1, 4)),
            ("down 75 percent", (1, 4)),
            ("a decrease of 75%", (1, 4)),
            ("a 75% decrease", (1, 4)),
            ("50% more", (3, 2)),
            ("increases 300%", (4, 1)),
            ("rises to 150%", (3, 2)),
            ("multiplied by 150%", (3, 2)),
        ] {
            check(text, Some(expected));
        }
        for text in [
            "F/4",
            "0.25",
            "goes up by 4",
            "25% of it, so smaller",
            "goes up by six",
            "a quarter less",
            "bananas",
            "",
            "not a quarter",
            "half or a third",
            "a quarter times smaller",
            "manifold",
            "-4",
            "increases",
            "smaller",
        ] {
            check(text, None);
        }
        let root = read_multiple("increases by a factor of √2", &[]);
        assert_eq!(root, read_multiple("square root of 2 times as great", &[]));
        assert!(root.is_some());
    }
}
