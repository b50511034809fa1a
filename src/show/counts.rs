//! Numbers of things in words.

/// `1 attempt`, `2 attempts`.
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    let word = if count == 1 { one } else { many };
    format!("{} {word}", grouped(count))
}

/// `1,034`.
#[must_use]
pub fn grouped(count: usize) -> String {
    let mut digits = count.to_string();
    let mut at = digits.len();
    while at > 3 {
        at -= 3;
        digits.insert(at, ',');
    }
    digits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_in_words() {
        for (count, expected) in [
            (0, "0 lines"),
            (1, "1 line"),
            (999, "999 lines"),
            (1000, "1,000 lines"),
            (1_234_567, "1,234,567 lines"),
        ] {
            assert_eq!(counted(count, "line", "lines"), expected);
        }
    }
}
