//! The nearest name to one that is not known.

/// How the nearest name differs from what was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nearness {
    /// Only by capital against small letters.
    Case,
    /// It begins with what was typed: `E_k` for `E`.
    Longer,
    /// By a slip of the finger.
    Spelling,
}

/// The nearest of `names` to `typed`, if one is near: first one that differs
/// by case only, then one that begins with it, then one that is a letter or
/// two away (never all of a short name).
pub fn nearest<'a>(
    typed: &str,
    names: impl Iterator<Item = &'a str>,
) -> Option<(&'a str, Nearness)> {
    let lower = typed.to_lowercase();
    let length = typed.chars().count();
    if length == 0 || length > 60 {
        return None;
    }
    let mut best: Option<(usize, &str, Nearness)> = None;
    for name in names {
        if name == typed || name.len() > 200 {
            continue;
        }
        let small = name.to_lowercase();
        let (score, nearness) = if small == lower {
            (0, Nearness::Case)
        } else if name.starts_with(typed)
            && name[typed.len()..].starts_with(['_', '0', '₀', '₁', '₂'])
        {
            (1, Nearness::Longer)
        } else if small.starts_with(&lower) && small[lower.len()..].starts_with('_') {
            (2, Nearness::Longer)
        } else {
            let allowed = match length.max(name.chars().count()) {
                0..=2 => 0,
                3..=5 => 1,
                _ => 2,
            };
            let distance = distance(&lower, &small);
            if distance > allowed {
                continue;
            }
            (10 + distance, Nearness::Spelling)
        };
        if best.is_none_or(|(lowest, _, _)| score < lowest) {
            best = Some((score, name, nearness));
        }
    }
    best.map(|(_, name, nearness)| (name, nearness))
}

/// Insertions, deletions, replacements and exchanges of neighbours.
fn distance(left: &str, right: &str) -> usize {
    let left: Vec<char> = left.chars().collect();
    let right: Vec<char> = right.chars().collect();
    let mut rows: Vec<Vec<usize>> = vec![(0..=right.len()).collect()];
    for i in 1..=left.len() {
        let mut row = vec![i];
        for j in 1..=right.len() {
            let replaced = rows[i - 1][j - 1] + usize::from(left[i - 1] != right[j - 1]);
            let mut least = replaced.min(rows[i - 1][j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            row.push(least);
        }
        rows.push(row);
    }
    rows[left.len()][right.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(typed: &str, names: &[&str], expected: Option<(&str, Nearness)>) {
        assert_eq!(nearest(typed, names.iter().copied()), expected, "{typed}");
    }

    #[test]
    fn nearest_names() {
        check("v", &["u", "V", "v_0"], Some(("V", Nearness::Case)));
        check("E", &["F", "E_k"], Some(("E_k", Nearness::Longer)));
        check(
            "lamda",
            &["lambda", "t"],
            Some(("lambda", Nearness::Spelling)),
        );
        check(
            "rearange",
            &["rearrange", "step"],
            Some(("rearrange", Nearness::Spelling)),
        );
        check("q", &["u", "t"], None);
        check("", &["u"], None);
        check("v", &[], None);
    }
}
