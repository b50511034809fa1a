//! Phrases with a choice in them: `{speed|velocity} of {light|sound}` stands
//! for four.

/// More than this from one phrase are left out.
const MOST: usize = 4_096;

/// The phrases that a text with choices stands for: itself if it has none.
#[must_use]
pub fn alternatives(text: &str) -> Vec<String> {
    let mut made = vec![String::new()];
    let mut rest = text;
    while let Some((before, choice, after)) = first_choice(rest) {
        let options: Vec<&str> = choice.split('|').collect();
        if made.len().saturating_mul(options.len()) > MOST {
            break;
        }
        made = made
            .iter()
            .flat_map(|start| {
                options
                    .iter()
                    .map(move |option| format!("{start}{before}{option}"))
            })
            .collect();
        rest = after;
    }
    for phrase in &mut made {
        phrase.push_str(rest);
    }
    made
}

fn first_choice(text: &str) -> Option<(&str, &str, &str)> {
    let (before, inner) = text.split_once('{')?;
    let (choice, after) = inner.split_once('}')?;
    Some((before, choice, after))
}

#[cfg(test)]
mod tests {
    use super::alternatives;

    #[test]
    fn choices() {
        let check = |text: &str, expected: &[&str]| assert_eq!(alternatives(text), expected);
        check("stress", &["stress"]);
        check("{a|b} of {c|d}", &["a of c", "a of d", "b of c", "b of d"]);
        check(
            "speed{| of light} in air",
            &["speed in air", "speed of light in air"],
        );
        check("a {b", &["a {b"]);
        check("", &[""]);
        assert!(alternatives(&"{a|b|c|d}".repeat(20)).len() <= super::MOST);
    }
}
