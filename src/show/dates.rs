//! Days in words.

use crate::practice::day::Day;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `17 May 2027`.
#[must_use]
pub fn date(day: Day) -> String {
    let (year, month, day) = day.parts();
    let month = MONTHS
        .get(usize::from(month.unsigned_abs()).saturating_sub(1))
        .copied()
        .unwrap_or_default();
    format!("{day} {month} {year}")
}

/// `today`, `tomorrow`, or the date.
#[must_use]
pub fn from_today(day: Day, today: Day) -> String {
    match day.since(today) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        _ => date(day),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_in_words() {
        let today = Day::new(2027, 5, 17).unwrap();
        assert_eq!(date(today), "17 May 2027");
        for (days, expected) in [
            (0, "today"),
            (1, "tomorrow"),
            (2, "19 May 2027"),
            (-1, "16 May 2027"),
            (228, "31 December 2027"),
        ] {
            assert_eq!(from_today(today.plus(days), today), expected);
        }
    }
}
