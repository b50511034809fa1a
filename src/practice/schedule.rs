//! On which day each item comes back, with an exam in sight.
//!
//! Without an exam, an item comes back when its gap ends. With one, a secure
//! item whose return would fall within a week of the exam or after it comes
//! back once in the final week, and these returns are spread so that no day
//! holds more than its share. An item not yet secure keeps its own gaps up to
//! the eve.

use super::day::Day;
use super::mastery::Progress;

/// Days of the final week: the seven before the exam.
pub const FINAL_WEEK: i32 = 7;

/// The day on which each item comes back, in the order of the items: nothing
/// for an item never met, and for one that does not come back before the exam.
///
/// `key` gives a number that stays the same for an item: it decides ties.
#[must_use]
pub fn returns<'p>(
    items: impl IntoIterator<Item = (&'p Progress, u64)>,
    today: Day,
    exam: Option<Day>,
) -> Vec<Option<Day>> {
    let Some(exam) = exam.filter(|exam| *exam > today) else {
        let items = items.into_iter();
        return items.map(|(progress, _)| progress.returns()).collect();
    };
    let week = exam.plus(-FINAL_WEEK);
    let mut days = Vec::new();
    let mut moved: Vec<(Option<Day>, u64, usize)> = Vec::new();
    // Items of today's share that were asked today already.
    let mut done_today = 0;
    for (place, (progress, key)) in items.into_iter().enumerate() {
        let own = progress.returns();
        if today >= week && progress.lost_on() == Some(today) {
            done_today += 1;
        }
        if !progress.is_secure() {
            days.push(own.filter(|own| *own < exam));
            continue;
        }
        // A day that has gone by can only be made up for today or later.
        if own.is_some_and(|own| own.max(today) < week) {
            days.push(own);
            continue;
        }
        days.push(None);
        match progress.last_success() {
            Some(last) if last >= week => {
                let before = progress.secure_since().is_some_and(|since| since < today);
                if last == today && before {
                    done_today += 1;
                }
            }
            last => moved.push((last, key, place)),
        }
    }
    // Those that were seen longest ago come first.
    moved.sort_unstable();
    let first = today.max(week);
    let length = usize::try_from(exam.since(first)).unwrap_or(1).max(1);
    let share = (moved.len() + done_today).div_ceil(length);
    let left_today = share.saturating_sub(done_today).min(moved.len());
    for (index, (_, _, place)) in moved.iter().enumerate() {
        let later = index.checked_sub(left_today).filter(|_| length > 1);
        let offset = match later {
            None => 0,
            Some(later) => 1 + later * (length - 1) / (moved.len() - left_today),
        };
        days[*place] = Some(first.plus(i32::try_from(offset).unwrap_or(0)));
    }
    days
}

/// A number for a key that is the same on every machine and in every version
/// (FNV-1a, 64 bits).
#[must_use]
pub fn key_number(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::attempt::{Kind, Lettering};
    use crate::practice::mastery::gap;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn letters(turn: usize) -> Lettering {
        if turn.is_multiple_of(2) {
            Lettering::Sheet
        } else {
            Lettering::Unfamiliar
        }
    }

    /// Goes day by day to the exam, always right but on the days of `misses`.
    fn days_asked(first: &str, exam: &str, misses: &[&str]) -> (Vec<Day>, Progress) {
        let misses: Vec<Day> = misses.iter().map(|miss| day(miss)).collect();
        let (mut today, exam) = (day(first), day(exam));
        let mut progress = Progress::new(Kind::Rearrangement);
        let mut asked = Vec::new();
        while today < exam {
            let back = returns([(&progress, 1)], today, Some(exam))[0];
            if asked.is_empty() || back.is_some_and(|back| back <= today) {
                progress.record(today, !misses.contains(&today), &letters(asked.len()));
                asked.push(today);
            }
            today = today.plus(1);
        }
        (asked, progress)
    }

    fn check(first: &str, exam: &str, misses: &[&str], expected: &[&str]) -> Progress {
        let (asked, progress) = days_asked(first, exam, misses);
        let expected: Vec<Day> = expected.iter().map(|text| day(text)).collect();
        assert_eq!(asked[..expected.len()], expected);
        // And then one day of the final week.
        let rest = &asked[expected.len()..];
        assert_eq!(rest.len(), 1, "{rest:?}");
        let left = day(exam).since(rest[0]);
        assert!((1..=7).contains(&left), "{rest:?}");
        progress
    }

    #[test]
    fn first_met_in_march() {
        let progress = check(
            "2027-03-01",
            "2027-05-17",
            &[],
            &[
                "2027-03-01",
                "2027-03-02",
                "2027-03-05",
                "2027-03-12",
                "2027-03-26",
                "2027-04-23",
            ],
        );
        assert_eq!(progress.secure_since(), Some(day("2027-03-05")));
    }

    #[test]
    fn first_met_in_september() {
        check(
            "2026-09-07",
            "2027-05-17",
            &[],
            &[
                "2026-09-07",
                "2026-09-08",
                "2026-09-11",
                "2026-09-18",
                "2026-10-02",
                "2026-10-30",
                "2026-11-27",
                "2026-12-25",
                "2027-01-22",
                "2027-02-19",
                "2027-03-19",
                "2027-04-16",
            ],
        );
    }

    #[test]
    fn a_miss_restarts_the_count() {
        let progress = check(
            "2027-03-01",
            "2027-05-17",
            &["2027-03-02"],
            &[
                "2027-03-01",
                "2027-03-02",
                "2027-03-03",
                "2027-03-04",
                "2027-03-07",
                "2027-03-14",
                "2027-03-28",
                "2027-04-25",
            ],
        );
        assert_eq!(progress.secure_since(), Some(day("2027-03-07")));
    }

    #[test]
    fn not_secure_keeps_its_gaps_to_the_eve() {
        // Met eight days before: 9, 10, 13 May secure it in the final week.
        let (asked, progress) = days_asked("2027-05-09", "2027-05-17", &[]);
        let expected = ["2027-05-09", "2027-05-10", "2027-05-13"];
        assert_eq!(asked, expected.map(day));
        assert!(progress.is_secure());
        // Met on the eve but one: once more on the eve, not secure.
        let (asked, progress) = days_asked("2027-05-15", "2027-05-17", &[]);
        assert_eq!(asked, ["2027-05-15", "2027-05-16"].map(day));
        assert!(!progress.is_secure());
    }

    #[test]
    fn gaps_never_shrink() {
        for successes in 1..100 {
            assert!(gap(successes) <= gap(successes + 1));
        }
        for first in 0..200 {
            let first = day("2026-10-01").plus(first);
            let (asked, _) = days_asked(&first.to_string(), "2027-05-17", &[]);
            // All but the last, which the exam may move.
            let asked = &asked[..asked.len() - 1];
            let gaps: Vec<i32> = asked
                .windows(2)
                .map(|pair| pair[1].since(pair[0]))
                .collect();
            assert!(gaps.is_sorted(), "{gaps:?}");
        }
    }

    /// A whole stock of items, practised every day to the exam.
    fn loads(count: usize, seed: usize) -> Vec<usize> {
        let exam = day("2027-05-17");
        let mut items: Vec<Progress> = vec![Progress::new(Kind::Rearrangement); count];
        let firsts: Vec<Day> = (0..count)
            .map(|index| exam.plus(-200 + ((index * 37 + seed * 11) % 170) as i32))
            .collect();
        let mut loads = Vec::new();
        let mut today = exam.plus(-200);
        while today < exam {
            let keyed = items
                .iter()
                .enumerate()
                .map(|(key, item)| (item, key as u64));
            let days = returns(keyed, today, Some(exam));
            let mut load = 0;
            for (index, item) in items.iter_mut().enumerate() {
                let due = days[index].is_some_and(|back| back <= today);
                if due || firsts[index] == today {
                    let turn = item.attempts() as usize;
                    item.record(today, true, &letters(turn));
                    load += 1;
                }
            }
            loads.push(load);
            today = today.plus(1);
        }
        assert!(items.iter().all(Progress::is_secure));
        loads.split_off(loads.len() - 7)
    }

    #[test]
    fn the_final_week_is_even() {
        for (count, seed) in [(1, 0), (6, 1), (7, 2), (10, 3), (70, 4), (71, 5), (1000, 6)] {
            let week = loads(count, seed);
            assert_eq!(week.iter().sum::<usize>(), count, "each item once");
            let ceiling = count.div_ceil(7);
            assert!(week.iter().all(|load| *load <= ceiling), "{week:?}");
            let floor = count / 7;
            assert!(week.iter().all(|load| *load >= floor), "{week:?}");
        }
    }

    #[test]
    fn the_share_of_a_day_does_not_grow_while_it_is_worked_off() {
        let exam = day("2027-05-17");
        let today = day("2027-05-12");
        let mut items = vec![Progress::new(Kind::Rearrangement); 20];
        for item in &mut items {
            for (turn, date) in ["2027-03-01", "2027-03-02", "2027-03-05"]
                .iter()
                .enumerate()
            {
                item.record(day(date), true, &letters(turn));
            }
        }
        let due = |items: &[Progress]| {
            let keyed = items
                .iter()
                .enumerate()
                .map(|(key, item)| (item, key as u64));
            let days = returns(keyed, today, Some(exam));
            let due = days.iter().position(|back| *back == Some(today));
            (
                days.iter().filter(|back| **back == Some(today)).count(),
                due,
            )
        };
        for left in (1..=4).rev() {
            let (count, next) = due(&items);
            assert_eq!(count, left);
            // The first answer is a miss, the others are right.
            items[next.unwrap()].record(today, left != 4, &Lettering::Sheet);
        }
        assert_eq!(due(&items).0, 0);
    }

    #[test]
    fn without_an_exam_or_after_it_gaps_alone_count() {
        let mut progress = Progress::new(Kind::Definition);
        progress.record(day("2027-05-01"), true, &Lettering::Sheet);
        for exam in [None, Some(day("2027-04-01"))] {
            let days = returns([(&progress, 0)], day("2027-05-01"), exam);
            assert_eq!(days, [Some(day("2027-05-02"))]);
        }
    }

    #[test]
    fn key_numbers_are_published_ones() {
        assert_eq!(key_number(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(key_number("foobar"), 0x8594_4171_f739_67e8);
    }
}
