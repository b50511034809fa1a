//! What is written short, in full: "no. of", "temp", "isn't", "90°", "+ve".

/// Short forms and what they stand for, as whole words in small letters.
const SHORT: [(&str, &str); 84] = [
    ("no. of", "number of"),
    ("no of", "number of"),
    ("nr of", "number of"),
    ("num of", "number of"),
    ("approx.", "approximately"),
    ("approx", "approximately"),
    ("wrt", "with respect to"),
    ("w.r.t.", "with respect to"),
    ("temp.", "temperature"),
    ("temp", "temperature"),
    ("perp.", "perpendicular"),
    ("perp", "perpendicular"),
    ("min.", "minimum"),
    ("min", "minimum"),
    ("max.", "maximum"),
    ("max", "maximum"),
    ("const.", "constant"),
    ("const", "constant"),
    ("acc.", "acceleration"),
    ("accel.", "acceleration"),
    ("accel", "acceleration"),
    ("vel.", "velocity"),
    ("disp.", "displacement"),
    ("dist.", "distance"),
    ("dist", "distance"),
    ("freq.", "frequency"),
    ("freq", "frequency"),
    ("res.", "resistance"),
    ("diff.", "difference"),
    ("diff", "difference"),
    ("mag.", "magnetic"),
    ("grav.", "gravitational"),
    ("k.e.", "kinetic energy"),
    ("p.e.", "potential energy"),
    ("g.p.e.", "gravitational potential energy"),
    ("thru", "through"),
    ("thro'", "through"),
    ("becuase", "because"),
    ("cos", "because"),
    ("rev", "revolution"),
    ("revs", "revolutions"),
    ("eqm", "equilibrium"),
    ("secs", "seconds"),
    ("amps", "amperes"),
    ("kilos", "kilograms"),
    ("kilo", "kilogram"),
    ("+ve", "positive"),
    ("-ve", "negative"),
    ("−ve", "negative"),
    ("isn't", "is not"),
    ("aren't", "are not"),
    ("wasn't", "was not"),
    ("weren't", "were not"),
    ("doesn't", "does not"),
    ("don't", "do not"),
    ("didn't", "did not"),
    ("hasn't", "has not"),
    ("haven't", "have not"),
    ("hadn't", "had not"),
    ("won't", "will not"),
    ("can't", "can not"),
    ("cannot", "can not"),
    ("couldn't", "could not"),
    ("that'd", "that would"),
    ("it'd", "it would"),
    ("you'd", "you would"),
    ("you've", "you have"),
    ("they've", "they have"),
    ("they're", "they are"),
    ("you're", "you are"),
    ("we've", "we have"),
    ("it'll", "it will"),
    ("there're", "there are"),
    ("what's", "what is"),
    ("something's", "something has"),
    ("timesing", "multiplying"),
    ("timesed by", "multiplied by"),
    ("times'd by", "multiplied by"),
    ("timesed with", "multiplied by"),
    ("@", "at"),
    ("w/", "with"),
    ("vs.", "versus"),
    ("ratio b/w", "ratio between"),
    ("b/w", "between"),
];

/// Signs that stand for a word or for other signs.
const SIGNS: [(&str, &str); 13] = [
    ("° C", " degrees celsius"),
    ("°C", " degrees celsius"),
    ("°", " degrees "),
    ("⁴", "^4"),
    ("⁻¹", "^-1"),
    ("⁻²", "^-2"),
    ("⁻³", "^-3"),
    ("cosθ", "cos θ"),
    ("sinθ", "sin θ"),
    ("ln2", "ln 2"),
    ("’", "'"),
    ("a hundred percent", "100 %"),
    ("×100", "× 100"),
];

/// The text with its short forms in full; nothing if it has none.
#[must_use]
pub fn in_full(text: &str) -> Option<String> {
    let mut made = text.to_owned();
    for (sign, full) in SIGNS {
        made = made.replace(sign, full);
    }
    for (short, full) in SHORT {
        let mut from = 0;
        // Small letters of ASCII only, so that places stay the same.
        while let Some(found) = made[from..].to_ascii_lowercase().find(short) {
            let at = from + found;
            let end = at + short.len();
            let word = |next: Option<char>| {
                next.is_some_and(|next| next.is_alphanumeric() || next == '\'')
            };
            // "cos" before an angle is the cosine.
            let angle = short == "cos"
                && made[end..]
                    .trim_start()
                    .starts_with(['θ', 'φ', '(', 't', 'o']);
            let apart = !word(made[..at].chars().next_back()) && !word(made[end..].chars().next());
            if apart && !angle {
                made.replace_range(at..end, full);
                from = at + full.len();
            } else {
                from = end;
            }
        }
    }
    (made != text).then_some(made)
}

#[cfg(test)]
mod tests {
    use super::in_full;

    #[test]
    fn short_forms() {
        let check = |text: &str, expected: Option<&str>| {
            assert_eq!(in_full(text).as_deref(), expected, "{text}");
        };
        check("No. of turns", Some("number of turns"));
        check("temp. rise at 90°", Some("temperature rise at 90 degrees "));
        check("it isn't moving", Some("it is not moving"));
        check("F s cosθ", Some("F s cos θ"));
        check("a temperate minute", None);
        check("charge of +ve sign", Some("charge of positive sign"));
    }
}
