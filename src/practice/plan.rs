//! A forecast to the exam: what comes on which day, what can be secure by then
//! and what cannot.
//!
//! A simulation: every answer is a miss with a stated chance, as a seed
//! decides. The forecast is that of one course of events; the range is that of
//! several.

use super::attempt::{Kind, Lettering};
use super::day::Day;
use super::mastery::{DAYS_NEEDED, Progress};
use super::schedule::returns;
use super::seed::SplitMix;

/// Seconds to read a question and to write for one mark of it. An assumption,
/// said in the plan.
pub const SECONDS_TO_READ: u32 = 20;
/// Seconds for each mark.
pub const SECONDS_A_MARK: u32 = 40;
/// The chance of a miss, if nothing is known.
pub const USUAL_MISS: f64 = 0.2;
/// Attempts from which a student's own rate of misses is taken.
pub const ENOUGH_ATTEMPTS: u32 = 30;
/// Courses of events that the range is taken from.
const COURSES: u64 = 20;
/// Days that a plan may look ahead: three years.
pub const LONGEST: i32 = 1096;
/// Days from the first meeting to security, if all goes well: 1 + 3.
pub const DAYS_TO_SECURE: i32 = 4;

/// An item for the plan.
#[derive(Debug, Clone)]
pub struct Planned {
    /// A number that stays the same for the item.
    pub key: u64,
    /// Marks that it is worth.
    pub marks: usize,
    /// How far it has come.
    pub progress: Progress,
}

impl Planned {
    /// Seconds that one attempt takes.
    #[must_use]
    pub fn seconds(&self) -> u32 {
        let marks = u32::try_from(self.marks).unwrap_or(u32::MAX);
        SECONDS_TO_READ.saturating_add(SECONDS_A_MARK.saturating_mul(marks))
    }
}

/// What a plan is made for.
#[derive(Debug, Clone, Copy)]
pub struct Outlook {
    /// The day.
    pub today: Day,
    /// The day of the exam: practice goes on up to its eve.
    pub exam: Day,
    /// Seconds of practice a day, if there is a limit.
    pub seconds: Option<u32>,
    /// The chance that an answer is a miss.
    pub miss: f64,
    /// What decides the misses.
    pub seed: u64,
}

/// A day of the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayAhead {
    /// The day.
    pub day: Day,
    /// Items that come back.
    pub due: usize,
    /// New items.
    pub new: usize,
    /// Missed items that come back in the same sitting.
    pub again: usize,
    /// Seconds of practice.
    pub seconds: u32,
    /// Due items for which there was no time.
    pub left: usize,
    /// Items that are secure in the evening.
    pub secure: usize,
}

/// A forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// From today to the eve.
    pub days: Vec<DayAhead>,
    /// The last day on which an item can be met first and still become secure
    /// by its gaps; nothing if it is past.
    pub last_start: Option<Day>,
    /// Items secure on the eve: fewest, middle and most of the courses.
    pub secure: [usize; 3],
    /// Places of the items that are not secure on the eve in most courses, the
    /// first to be dropped first: not begun before begun, costly before cheap.
    pub not_reached: Vec<usize>,
    /// Items that no course of right answers makes secure in time.
    pub impossible: usize,
}

/// Whether an item that is not secure can still become so by the eve, with a
/// right answer on each of the days left.
#[must_use]
pub fn can_be_secure(progress: &Progress, today: Day, exam: Day) -> bool {
    if progress.is_secure() {
        return true;
    }
    let mut days = exam.since(today).max(0);
    // Today is used up if it has an answer already.
    if progress.last_met() == Some(today) {
        days -= 1;
    }
    let wanted = i32::try_from(progress.days_wanted().min(DAYS_NEEDED)).unwrap_or(i32::MAX);
    wanted <= days
}

/// The forecast.
///
/// # Panics
/// Never: an exam that is past or too far away gives a forecast of no days, or
/// of the first [`LONGEST`].
#[must_use]
pub fn forecast(items: &[Planned], outlook: Outlook) -> Forecast {
    let mut courses = Vec::new();
    let mut reached = vec![0u64; items.len()];
    for course in 0..COURSES {
        let seed = outlook.seed.wrapping_add(course.wrapping_mul(0x9E37_79B9));
        let (course_days, ends) = simulate(items, Outlook { seed, ..outlook });
        courses.push((ends.iter().filter(|end| **end).count(), course_days));
        for (sum, end) in reached.iter_mut().zip(ends) {
            *sum += u64::from(end);
        }
    }
    courses.sort_by_key(|(count, _)| *count);
    let middle = courses.len() / 2;
    let secure = [
        courses[0].0,
        courses[middle].0,
        courses[courses.len() - 1].0,
    ];
    // The days shown end where the middle course does.
    let days = courses.swap_remove(middle).1;
    let mut not_reached: Vec<usize> = (0..items.len())
        .filter(|place| 2 * reached[*place] < COURSES)
        .collect();
    not_reached.sort_by_key(|place| {
        let item = &items[*place];
        (
            item.progress.first_met().is_some(),
            std::cmp::Reverse(item.seconds() * item.progress.days_wanted()),
            *place,
        )
    });
    let last_start = outlook.exam.plus(-1 - DAYS_TO_SECURE);
    let impossible = items
        .iter()
        .filter(|item| !can_be_secure(&item.progress, outlook.today, outlook.exam))
        .count();
    Forecast {
        days,
        last_start: (last_start >= outlook.today).then_some(last_start),
        secure,
        not_reached,
        impossible,
    }
}

/// One course of events: its days, and which items are secure at the end.
fn simulate(items: &[Planned], outlook: Outlook) -> (Vec<DayAhead>, Vec<bool>) {
    let mut random = SplitMix::new(outlook.seed);
    let mut states: Vec<Progress> = items.iter().map(|item| item.progress.clone()).collect();
    // New items in the order of the sheets, but what costs most comes last,
    // so that a day that is short has the most items secure.
    let mut fresh: Vec<usize> = (0..items.len())
        .filter(|place| items[*place].progress.first_met().is_none())
        .collect();
    fresh.sort_by_key(|place| items[*place].seconds());
    let mut fresh = fresh.into_iter().peekable();
    let mut secure = states.iter().filter(|state| state.is_secure()).count();
    let mut days = Vec::new();
    let last_start = outlook.exam.plus(-1 - DAYS_TO_SECURE);
    // With a good stretch left, everything is met two weeks early, so that
    // misses can be made up for.
    let stretch = last_start.since(outlook.today).max(0);
    let all_met = last_start.plus(-(stretch / 4).min(14));
    let end = outlook.exam.min(outlook.today.plus(LONGEST));
    let mut today = outlook.today;
    while today < end {
        let keyed = states
            .iter()
            .zip(items)
            .map(|(state, item)| (state, item.key));
        let back = returns(keyed, today, Some(outlook.exam));
        let mut due: Vec<(bool, Option<Day>, usize)> = Vec::new();
        for (place, day) in back.into_iter().enumerate() {
            if states[place].first_met().is_some() && day.is_some_and(|day| day <= today) {
                due.push((states[place].is_secure(), day, place));
            }
        }
        due.sort_unstable();
        let mut ahead = DayAhead {
            day: today,
            due: 0,
            new: 0,
            again: 0,
            seconds: 0,
            left: 0,
            secure: 0,
        };
        let mut ask = |place: usize, ahead: &mut DayAhead| {
            let cost = items[place].seconds();
            let fits = |ahead: &DayAhead| {
                let after = ahead.seconds.saturating_add(cost);
                outlook.seconds.is_none_or(|limit| after <= limit)
            };
            if !fits(ahead) {
                return false;
            }
            ahead.seconds = ahead.seconds.saturating_add(cost);
            let right = !chance(&mut random, outlook.miss);
            let state = &mut states[place];
            let before = state.is_secure();
            let lettering = next_lettering(state);
            state.record(today, right, &lettering);
            match (before, state.is_secure()) {
                (false, true) => secure += 1,
                (true, false) => secure -= 1,
                _ => {}
            }
            if !right && fits(ahead) {
                // It comes back once more in the same sitting, which takes
                // time and changes nothing else.
                ahead.again += 1;
                ahead.seconds = ahead.seconds.saturating_add(cost);
            }
            true
        };
        for (_, _, place) in due {
            if ask(place, &mut ahead) {
                ahead.due += 1;
            } else {
                ahead.left += 1;
            }
        }
        if today <= last_start {
            let pace = pace(fresh.len(), today, all_met, last_start);
            while ahead.new < pace
                && let Some(place) = fresh.peek()
                && ask(*place, &mut ahead)
            {
                fresh.next();
                ahead.new += 1;
            }
        }
        ahead.secure = secure;
        days.push(ahead);
        today = today.plus(1);
    }
    (days, states.iter().map(Progress::is_secure).collect())
}

/// New items for a day, so that all are met by one day, or else by a later one.
fn pace(left: usize, today: Day, by: Day, or_by: Day) -> usize {
    let by = if today <= by { by } else { or_by };
    let days = usize::try_from(by.since(today) + 1).unwrap_or(1).max(1);
    left.div_ceil(days)
}

/// The lettering that the drill would choose.
fn next_lettering(progress: &Progress) -> Lettering {
    if progress.kind() == Kind::Definition || !progress.letterings().contains(&Lettering::Sheet) {
        Lettering::Sheet
    } else {
        Lettering::Unfamiliar
    }
}

fn chance(random: &mut SplitMix, chance: f64) -> bool {
    // 53 bits: a double between 0 and 1.
    let drawn = (random.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    drawn < chance
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn fresh(count: usize) -> Vec<Planned> {
        (0..count)
            .map(|number| Planned {
                key: number as u64 * 77,
                marks: 1 + number % 4,
                progress: Progress::new(Kind::Rearrangement),
            })
            .collect()
    }

    fn outlook(today: &str, miss: f64) -> Outlook {
        Outlook {
            today: day(today),
            exam: day("2027-05-17"),
            seconds: None,
            miss,
            seed: 9,
        }
    }

    #[test]
    fn one_item_goes_by_the_dates_of_the_rule() {
        let found = forecast(&fresh(1), outlook("2027-03-01", 0.0));
        let asked: Vec<Day> = found
            .days
            .iter()
            .filter(|ahead| ahead.due + ahead.new > 0)
            .map(|ahead| ahead.day)
            .collect();
        let expected = [
            "2027-03-01",
            "2027-03-02",
            "2027-03-05",
            "2027-03-12",
            "2027-03-26",
            "2027-04-23",
        ];
        assert_eq!(asked[..6], expected.map(day));
        assert_eq!(asked.len(), 7);
        assert!(asked[6] >= day("2027-05-10") && asked[6] <= day("2027-05-16"));
        assert_eq!(found.secure, [1, 1, 1]);
        assert_eq!(found.days.len(), 77);
        assert_eq!(found.last_start, Some(day("2027-05-12")));
    }

    #[test]
    fn without_a_limit_everything_is_met_in_time_and_the_last_week_is_even() {
        let found = forecast(&fresh(500), outlook("2027-01-10", 0.0));
        assert_eq!(found.secure, [500, 500, 500]);
        assert!(found.not_reached.is_empty());
        let met: usize = found.days.iter().map(|ahead| ahead.new).sum();
        assert_eq!(met, 500);
        let week = &found.days[found.days.len() - 7..];
        let loads: Vec<usize> = week.iter().map(|ahead| ahead.due).collect();
        assert!(
            loads.iter().all(|load| *load <= 500usize.div_ceil(7)),
            "{loads:?}"
        );
        assert_eq!(found.days.last().unwrap().secure, 500);
    }

    #[test]
    fn misses_cost_and_the_seed_decides() {
        let items = fresh(200);
        let sure = forecast(&items, outlook("2027-03-01", 0.0));
        let shaky = forecast(&items, outlook("2027-03-01", 0.3));
        assert!(shaky.secure[1] < sure.secure[1]);
        assert!(shaky.secure[0] <= shaky.secure[1] && shaky.secure[1] <= shaky.secure[2]);
        assert!(shaky.days.iter().map(|ahead| ahead.again).sum::<usize>() > 0);
        assert_eq!(shaky, forecast(&items, outlook("2027-03-01", 0.3)));
        let other = Outlook {
            seed: 10,
            ..outlook("2027-03-01", 0.3)
        };
        assert_ne!(shaky.days, forecast(&items, other).days);
    }

    #[test]
    fn little_time_leaves_the_costly_ones() {
        let limited = Outlook {
            seconds: Some(600),
            ..outlook("2027-04-20", 0.0)
        };
        let items = fresh(300);
        let missing = forecast(
            &items,
            Outlook {
                miss: 0.5,
                ..limited
            },
        );
        assert!(missing.days.iter().all(|ahead| ahead.seconds <= 600));
        let found = forecast(&items, limited);
        assert!(found.days.iter().all(|ahead| ahead.seconds <= 600));
        assert!(found.secure[1] < 300 && found.secure[1] > 20);
        assert_eq!(found.secure[1] + found.not_reached.len(), 300);
        assert_eq!(items[found.not_reached[0]].marks, 4);
        // No day at all: nothing can be done.
        let none = Outlook {
            seconds: Some(0),
            ..limited
        };
        assert_eq!(forecast(&items, none).secure, [0, 0, 0]);
    }

    #[test]
    fn fewer_than_three_days() {
        for (today, possible) in [("2027-05-14", 5), ("2027-05-15", 0), ("2027-05-16", 0)] {
            let found = forecast(&fresh(5), outlook(today, 0.0));
            assert_eq!(5 - found.impossible, possible, "{today}");
            assert_eq!(found.last_start, None);
            assert_eq!(found.secure, [0, 0, 0]);
        }
        // Two successes already: the eve is enough.
        let mut progress = Progress::new(Kind::Rearrangement);
        progress.record(day("2027-05-10"), true, &Lettering::Sheet);
        progress.record(day("2027-05-11"), true, &Lettering::Unfamiliar);
        let items = [Planned {
            key: 1,
            marks: 2,
            progress,
        }];
        let found = forecast(&items, outlook("2027-05-16", 0.0));
        assert_eq!((found.impossible, found.secure), (0, [1, 1, 1]));
        // The exam is over.
        let over = forecast(&items, outlook("2027-05-17", 0.0));
        assert!(over.days.is_empty());
    }
}
