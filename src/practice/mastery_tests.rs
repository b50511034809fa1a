use super::*;
use crate::practice::attempt::AttemptId;

fn day(number: i32) -> Day {
    Day::new(2027, 3, 1).unwrap().plus(number - 1)
}

/// `3s` is a success in the sheet's letters on 3 March, `3u` in unfamiliar
/// ones, `3n` in a lettering of the sheet, `3x` a miss.
fn progress(kind: Kind, history: &str) -> Progress {
    let mut progress = Progress::new(kind);
    for word in history.split_whitespace() {
        let (date, how) = word.split_at(word.len() - 1);
        let lettering = match how {
            "u" => Lettering::Unfamiliar,
            "n" => Lettering::Notation("other".to_owned()),
            _ => Lettering::Sheet,
        };
        progress.record(day(date.parse().unwrap()), how != "x", &lettering);
    }
    progress
}

fn check(history: &str, standing: Standing, returns: Option<i32>, wanted: u32) {
    let progress = progress(Kind::Rearrangement, history);
    assert_eq!(progress.standing(), standing, "{history}");
    assert_eq!(progress.returns(), returns.map(day), "{history}");
    assert_eq!(progress.days_wanted(), wanted, "{history}");
}

#[test]
fn the_rule() {
    use Standing::{New, Secure, Shaky};
    check("", New, None, 3);
    check("1s", Shaky, Some(2), 2);
    check("1s 2u", Shaky, Some(5), 1);
    check("1s 2u 5s", Secure, Some(12), 0);
    check("1s 2n 5s", Secure, Some(12), 0);
    check("1s 2u 5s 12u 26s", Secure, Some(54), 0);
    // One lettering is not enough, however often.
    check("1s 2s 5s", Shaky, Some(12), 1);
    check("1s 2s 5s 12u", Secure, Some(26), 0);
    check("1u 2u 5u", Shaky, Some(12), 1);
    // Three times on one day are one day.
    check("1s 1u 1s", Shaky, Some(2), 2);
    check("1s 1u 2s 5s", Secure, Some(12), 0);
    // A miss restarts the count, also of letterings, and the return in the
    // same sitting does not count.
    check("1s 2x", Shaky, Some(3), 3);
    check("1s 2x 2s", Shaky, Some(3), 3);
    check("1s 2x 3s 4u 7s", Secure, Some(14), 0);
    check("1u 2x 3s 4s 7s", Shaky, Some(14), 1);
    check("1s 2u 5s 12x", Shaky, Some(13), 3);
    check("1s 2u 5s 5x", Shaky, Some(6), 3);
    check("1x", Shaky, Some(2), 3);
    check("1x 1x 1s", Shaky, Some(2), 3);
    // Right on the day after a miss of the day before is a success.
    check("1x 2s 3u 6s", Secure, Some(13), 0);
}

#[test]
fn a_definition_has_no_other_letters() {
    let definition = progress(Kind::Definition, "1s 2s 5s");
    assert!(definition.is_secure());
    assert_eq!(definition.secure_since(), Some(day(5)));
}

#[test]
fn when_it_is_lost_and_won_again() {
    let again = progress(Kind::Rearrangement, "1s 2u 5s 12x 13s 14u 17s");
    assert_eq!(again.secure_since(), Some(day(17)));
    assert_eq!(again.lost_on(), Some(day(12)));
    assert_eq!(again.first_met(), Some(day(1)));
    assert_eq!((again.attempts(), again.misses()), (7, 1));
}

#[test]
fn the_soonest_day_of_security() {
    for (history, today, expected) in [
        ("", 1, 5),
        ("1s", 1, 5),
        ("1s", 10, 13),
        ("1s 2u", 2, 5),
        ("1s 2u", 5, 5),
        ("1s 2s 5s", 5, 12),
        ("1x", 1, 6),
        ("1x", 9, 13),
        ("1s 2u 5s", 9, 5),
    ] {
        let soonest = progress(Kind::Rearrangement, history).soonest_secure(day(today));
        assert_eq!(soonest, day(expected), "{history} on {today}");
    }
}

fn attempt(number: u32, date: i32, item: &str, right: bool, slip: Option<&str>) -> Attempt {
    Attempt {
        id: AttemptId { sitting: 1, number },
        day: day(date),
        moment: i64::from(date) * 86_400 + i64::from(number),
        item: item.to_owned(),
        kind: Kind::Rearrangement,
        lettering: Lettering::Sheet,
        right,
        wrong: u32::from(!right),
        hints: 0,
        shown: false,
        support: 0,
        slip: slip.map(str::to_owned),
        marks: 2,
        awarded: if right { 2 } else { 0 },
    }
}

#[test]
fn attempts_of_all_items_up_to_a_day() {
    let attempts = [
        attempt(1, 1, "a", true, None),
        attempt(2, 1, "b", false, Some("sign-lost")),
        attempt(3, 2, "b", false, Some("sign-lost")),
        attempt(4, 9, "c", true, None),
    ];
    let mastery = Mastery::of(&attempts, day(2));
    assert_eq!(mastery.met(), 2);
    assert_eq!(mastery.dated_ahead(), 1);
    assert_eq!(mastery.first_met_today(), 0);
    assert_eq!(mastery.recent_slips("sign-lost"), 2);
    assert_eq!(
        mastery.progress("b").unwrap().last_slip(),
        Some("sign-lost")
    );
    assert!(mastery.progress("c").is_none());
    let later = Mastery::of(&attempts, day(9));
    assert_eq!(later.first_met_today(), 1);
    assert_eq!(later.dated_ahead(), 0);
    // Four weeks on, the slips are forgotten.
    assert_eq!(Mastery::of(&attempts, day(30)).recent_slips("sign-lost"), 0);
}

#[test]
fn help_makes_a_miss() {
    let right = attempt(1, 1, "a", true, None);
    assert!(right.first_try());
    for helped in [
        Attempt {
            hints: 1,
            ..right.clone()
        },
        Attempt {
            shown: true,
            ..right.clone()
        },
        Attempt {
            wrong: 1,
            ..right.clone()
        },
        Attempt {
            right: false,
            ..right.clone()
        },
    ] {
        assert!(!helped.first_try());
    }
}
