//! A quick reader for attempts in the very shape in which they are written.
//!
//! A journal of years has a hundred thousand lines, nearly all of them of one
//! shape: the same fields in the same order, and no escapes in the strings.
//! Anything else is left to the reader that knows all of JSON, so that this
//! one never says that a line is damaged.

use crate::practice::attempt::{Attempt, AttemptId, Kind, Lettering};
use crate::practice::day::Day;

/// Digits of a number that fits in a `u32` whatever they are.
const DIGITS: usize = 9;
/// And in an `i64`.
const LONG_DIGITS: usize = 18;

/// The rest of a line.
struct Rest<'l>(&'l str);

impl<'l> Rest<'l> {
    fn take(&mut self, text: &str) -> Option<()> {
        self.0 = self.0.strip_prefix(text)?;
        Some(())
    }

    /// What stands up to the next quotation mark, which is passed over.
    fn string(&mut self) -> Option<&'l str> {
        let bytes = self.0.as_bytes();
        let plain = |byte: &u8| *byte >= b' ' && *byte != b'"' && *byte != b'\\';
        let end = bytes.iter().position(|byte| !plain(byte))?;
        let found = self.0.get(..end)?;
        self.0 = self.0.get(end..)?.strip_prefix('"')?;
        Some(found)
    }

    /// The value of a field of text that must be next.
    fn text(&mut self, before: &str) -> Option<&'l str> {
        self.take(before)?;
        self.string()
    }

    fn digits(&mut self, most: usize) -> Option<i64> {
        let bytes = self.0.as_bytes();
        let count = bytes
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        // Such as 007 is no number of JSON.
        if count == 0 || count > most || (count > 1 && bytes[0] == b'0') {
            return None;
        }
        let (digits, rest) = self.0.split_at(count);
        self.0 = rest;
        let value = |sum: i64, digit: u8| 10 * sum + i64::from(digit - b'0');
        Some(digits.bytes().fold(0, value))
    }

    /// The number of a field that may be next; 0 if it is not.
    fn number(&mut self, before: &str) -> Option<u32> {
        match self.0.strip_prefix(before) {
            None => Some(0),
            Some(rest) => {
                self.0 = rest;
                u32::try_from(self.digits(DIGITS)?).ok()
            }
        }
    }

    /// Whether a field that is true if it is there is next.
    fn flag(&mut self, field: &str) -> bool {
        self.take(field).is_some()
    }
}

/// The attempt of a line, if the line has the usual shape.
#[must_use]
pub fn attempt(line: &[u8]) -> Option<Attempt> {
    let mut rest = Rest(std::str::from_utf8(line).ok()?);
    let id = AttemptId::from_keyword(rest.text("{\"v\":1,\"id\":\"")?)?;
    rest.take(",\"at\":")?;
    let moment = rest.digits(LONG_DIGITS)?;
    let day = Day::parse(rest.text(",\"day\":\"")?)?;
    let item = rest.text(",\"item\":\"")?;
    let kind = Kind::from_keyword(rest.text(",\"kind\":\"")?)?;
    let lettering = Lettering::from_keyword(rest.text(",\"letters\":\"")?)?;
    let right = rest.flag(",\"right\":true");
    let wrong = rest.number(",\"wrong\":")?;
    let hints = rest.number(",\"hints\":")?;
    let shown = rest.flag(",\"shown\":true");
    let support = rest.number(",\"support\":")?;
    let slip = match rest.flag(",\"slip\":\"") {
        true => Some(rest.string()?.to_owned()),
        false => None,
    };
    let marks = rest.number(",\"marks\":")?;
    let awarded = rest.number(",\"awarded\":")?;
    let end = matches!(rest.0, "}" | "}\n" | "}\r" | "}\r\n");
    end.then(|| Attempt {
        id,
        day,
        moment,
        item: item.to_owned(),
        kind,
        lettering,
        right,
        wrong,
        hints,
        shown,
        support,
        slip,
        marks,
        awarded,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::seed::SplitMix;
    use crate::store::record::{Record, Unread, careful, write};

    fn attempt_of(random: &mut SplitMix) -> Attempt {
        let mut below = |bound: usize| random.below(bound);
        Attempt {
            id: AttemptId {
                sitting: below(1 << 40) as u64,
                number: below(3000) as u32,
            },
            day: Day::default().plus(below(40_000) as i32 - 10_000),
            moment: below(4_000_000_000) as i64 - 1000,
            item: ["motion/v/a", "λ/wave", "a \"b\"", "tab\t", ""][below(5)].to_owned(),
            kind: Kind::ALL[below(Kind::ALL.len())],
            lettering: [
                Lettering::Sheet,
                Lettering::Unfamiliar,
                Lettering::Notation("c-for-v".to_owned()),
            ][below(3)]
            .clone(),
            right: below(2) == 0,
            wrong: below(3) as u32,
            hints: [0, 2, u32::MAX][below(3)],
            shown: below(2) == 0,
            support: below(4) as u32,
            slip: [None, Some("sign-not-changed".to_owned())][below(2)].clone(),
            marks: below(7) as u32,
            awarded: below(7) as u32,
        }
    }

    #[test]
    fn says_what_the_careful_reader_says_or_nothing() {
        let mut random = SplitMix::new(8);
        let (mut quick, mut left) = (0, 0);
        for _ in 0..3000 {
            let own = attempt_of(&mut random);
            let line = write(&Record::Attempt(Box::new(own.clone())));
            // The line, and lines with a byte lost, doubled or changed.
            let mut lines = vec![line.clone().into_bytes()];
            for _ in 0..4 {
                let mut bytes = line.clone().into_bytes();
                let at = random.below(bytes.len());
                match random.below(3) {
                    0 => drop(bytes.remove(at)),
                    1 => bytes.insert(at, bytes[at]),
                    _ => bytes[at] = b"0\"},: \\x"[random.below(8)],
                }
                lines.push(bytes);
            }
            for (number, line) in lines.iter().enumerate() {
                match attempt(line) {
                    Some(found) => {
                        quick += 1;
                        assert_eq!(careful(line), Ok(Record::Attempt(Box::new(found.clone()))));
                        assert!(number > 0 || found == own);
                    }
                    None => left += 1,
                }
            }
        }
        assert!(quick > 1000 && left > 1000, "{quick} {left}");
    }

    #[test]
    fn other_shapes_are_left_to_the_careful_reader() {
        let usual = r#"{"v":1,"id":"000000000000abcd-3","at":18,"day":"2027-03-01","item":"x","kind":"proof","letters":"sheet","right":true,"marks":2}"#;
        assert!(attempt(usual.as_bytes()).is_some());
        for (from, to) in [
            ("\"v\":1", "\"v\":2"),
            ("\"v\":1,", "\"v\":1, "),
            ("18", "018"),
            ("18", "99999999999999999999"),
            ("\"marks\":2", "\"marks\":2,\"new\":3"),
            ("\"marks\":2", "\"marks\":2,\"marks\":2"),
            ("true", "false"),
            ("\"x\"", "\"\\u0078\""),
            ("proof", "riddle"),
            ("03-01", "02-30"),
        ] {
            let line = usual.replace(from, to);
            assert_eq!(attempt(line.as_bytes()), None, "{line}");
        }
        assert_eq!(careful(b"{"), Err(Unread::Damaged));
    }
}
