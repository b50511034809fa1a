//! What is asked next in a sitting: what is due first, then new items up to
//! their number; what was missed comes back in the same sitting.
//!
//! Neighbours never come from one formula while another is due (interleaving:
//! Rohrer, Dedrick and Burgess 2014).

use std::collections::VecDeque;

use rustc_hash::{FxHashMap, FxHashSet};

use super::attempt::Lettering;
use super::day::Day;
use super::item::Item;
use super::mastery::{Mastery, Progress};
use super::schedule::{key_number, returns};
use super::seed::SplitMix;

/// Questions between a miss and its return in the same sitting.
const PAUSE: usize = 3;
/// How often an item comes back in one sitting: enough for a worked example
/// to fade with a miss or two on the way. After that, tomorrow is soon enough.
const MOST_RETURNS: u32 = 6;
/// Topics from which new items come at a time.
const TOPICS_AT_A_TIME: usize = 3;
/// A slip that was made so often lately brings its items forward.
const RECURRING: u32 = 2;

/// Why an item is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Why {
    /// Its day has come.
    Due,
    /// It was never met.
    New,
    /// It was missed in this sitting.
    Again,
    /// Its day has not come, and practice was asked for all the same.
    Early,
}

/// A choice for a sitting. Items are known by their place in the list.
#[derive(Debug, Clone)]
pub struct Choice {
    groups: Vec<usize>,
    due: VecDeque<usize>,
    fresh: VecDeque<usize>,
    /// How many of the new ones may still be asked.
    new_left: usize,
    early: VecDeque<usize>,
    /// Missed items with the question from which they may come back.
    again: VecDeque<(usize, usize)>,
    /// How often each missed item was sent back.
    sent_back: FxHashMap<usize, u32>,
    asked: usize,
    last_group: Option<usize>,
}

/// What a sitting is made from.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    /// The day.
    pub today: Day,
    /// The day of the exam.
    pub exam: Option<Day>,
    /// New items that may still be met today.
    pub new: usize,
    /// Whether to go on with items whose day has not come.
    pub early: bool,
    /// What decides between equals.
    pub seed: u64,
}

impl Choice {
    /// The choice among items that are wanted, for a day. What an exam moves
    /// is decided on all items, wanted or not.
    #[must_use]
    pub fn new(
        items: &[Item<'_>],
        mastery: &Mastery<'_>,
        wanted: impl Fn(&Item<'_>) -> bool,
        plan: Plan,
    ) -> Self {
        let met: Vec<(usize, &Progress)> = items
            .iter()
            .enumerate()
            .filter_map(|(place, item)| Some((place, mastery.progress(&item.key)?)))
            .collect();
        let keyed = met
            .iter()
            .map(|(place, progress)| (*progress, key_number(&items[*place].key)));
        let days = returns(keyed, plan.today, plan.exam);
        let mut random = SplitMix::new(plan.seed);
        let mut due = Vec::new();
        let mut early = Vec::new();
        for ((place, progress), day) in met.iter().zip(days) {
            if !wanted(&items[*place]) {
                continue;
            }
            let recurring = progress
                .last_slip()
                .filter(|_| !progress.is_secure())
                .map_or(0, |slip| mastery.recent_slips(slip));
            let recurring = if recurring >= RECURRING { recurring } else { 0 };
            // Slips that recur, then what is not secure, then what waited
            // longest for its gap.
            let rank = (
                std::cmp::Reverse(recurring),
                progress.is_secure(),
                day,
                random.next_u64(),
            );
            match day {
                Some(day) if day <= plan.today => due.push((rank, *place)),
                Some(_) => early.push((rank, *place)),
                None => {}
            }
        }
        due.sort_unstable();
        early.sort_unstable();
        let fresh = new_items(items, mastery, &wanted, &mut random);
        if !plan.early {
            early.clear();
        }
        Choice {
            groups: items.iter().map(|item| item.group).collect(),
            due: due.into_iter().map(|(_, place)| place).collect(),
            fresh: fresh.into(),
            new_left: plan.new,
            early: early.into_iter().map(|(_, place)| place).collect(),
            again: VecDeque::new(),
            sent_back: FxHashMap::default(),
            asked: 0,
            last_group: None,
        }
    }

    /// How many items are due and how many new ones there are to come.
    #[must_use]
    pub fn waiting(&self) -> (usize, usize) {
        (self.due.len(), self.fresh.len().min(self.new_left))
    }

    /// How many questions are to come, if no more are missed.
    #[must_use]
    pub fn left(&self) -> usize {
        let (due, new) = self.waiting();
        due + new + self.again.len() + self.early.len()
    }

    /// The item that was chosen last can't be asked: it does not count as one
    /// of the new ones of the day.
    pub fn unaskable(&mut self, why: Why) {
        self.new_left += usize::from(why == Why::New);
        self.asked = self.asked.saturating_sub(1);
    }

    /// The next item and why it is asked; nothing when all is done.
    pub fn next_item(&mut self) -> Option<(usize, Why)> {
        let (place, why) = self.pick(true).or_else(|| self.pick(false))?;
        self.asked += 1;
        self.last_group = Some(self.groups[place]);
        Some((place, why))
    }

    /// The next item, of another formula than the last if `other`.
    fn pick(&mut self, other: bool) -> Option<(usize, Why)> {
        let last = self.last_group.filter(|_| other);
        let groups = &self.groups;
        let fits = |place: usize| last.is_none_or(|last| groups[place] != last);
        let rested = self
            .again
            .iter()
            .position(|(place, from)| *from <= self.asked && fits(*place));
        if let Some(at) = rested {
            return Some((self.again.remove(at)?.0, Why::Again));
        }
        let find = |queue: &VecDeque<usize>| queue.iter().position(|place| fits(*place));
        if let Some(at) = find(&self.due) {
            return Some((self.due.remove(at)?, Why::Due));
        }
        if self.new_left > 0
            && let Some(at) = find(&self.fresh)
        {
            self.new_left -= 1;
            return Some((self.fresh.remove(at)?, Why::New));
        }
        if let Some(at) = self.again.iter().position(|(place, _)| fits(*place)) {
            return Some((self.again.remove(at)?.0, Why::Again));
        }
        let at = find(&self.early)?;
        Some((self.early.remove(at)?, Why::Early))
    }

    /// An item that was missed comes back in this sitting, unless it did so
    /// often enough.
    pub fn missed(&mut self, place: usize) {
        let waits = self.again.iter().any(|(waiting, _)| *waiting == place);
        let returns = self.sent_back.entry(place).or_insert(0);
        if !waits && *returns < MOST_RETURNS {
            *returns += 1;
            self.again.push_back((place, self.asked + PAUSE));
        }
    }

    /// An item that does not come back after all.
    pub fn drop_return(&mut self, place: usize) {
        self.again.retain(|(waiting, _)| *waiting != place);
    }
}

/// Whether what must come before an item is secure.
fn ready(item: &Item<'_>, secure: &FxHashSet<&str>) -> bool {
    item.after.iter().all(|part| secure.contains(part.as_str()))
}

/// New items: topics that were begun first, a few topics at a time, mixed;
/// within a topic, one formula after the other as the seed has them.
fn new_items(
    items: &[Item<'_>],
    mastery: &Mastery<'_>,
    wanted: impl Fn(&Item<'_>) -> bool,
    random: &mut SplitMix,
) -> Vec<usize> {
    let secure: FxHashSet<&str> = items
        .iter()
        .filter(|item| {
            let progress = mastery.progress(&item.key);
            progress.is_some_and(Progress::is_secure)
        })
        .filter_map(|item| item.key.rsplit_once('/').map(|(formula, _)| formula))
        .collect();
    let mut topics: Vec<(bool, usize, VecDeque<usize>)> = Vec::new();
    for (place, item) in items.iter().enumerate() {
        if topics
            .last()
            .is_none_or(|(_, number, _)| *number != item.topic_number)
        {
            topics.push((true, item.topic_number, VecDeque::new()));
        }
        let Some((untouched, _, queue)) = topics.last_mut() else {
            continue;
        };
        if mastery.progress(&item.key).is_some() {
            *untouched = false;
        } else if wanted(item) && ready(item, &secure) {
            queue.push_back(place);
        }
    }
    for (_, _, queue) in &mut topics {
        random.shuffle(queue.make_contiguous());
    }
    topics.sort_by_key(|(untouched, number, _)| (*untouched, *number));
    let mut waiting: VecDeque<VecDeque<usize>> = topics
        .into_iter()
        .map(|(_, _, queue)| queue)
        .filter(|queue| !queue.is_empty())
        .collect();
    let mut open: Vec<VecDeque<usize>> = Vec::new();
    let mut found = Vec::new();
    loop {
        while open.len() < TOPICS_AT_A_TIME
            && let Some(queue) = waiting.pop_front()
        {
            open.push(queue);
        }
        if open.is_empty() {
            return found;
        }
        for queue in &mut open {
            found.extend(queue.pop_front());
        }
        open.retain(|queue| !queue.is_empty());
    }
}

/// The lettering in which an item is asked: one in which it was not yet right
/// since its last miss; first of all the sheet's.
#[must_use]
pub fn lettering(item: &Item<'_>, progress: Option<&Progress>, seed: u64) -> Lettering {
    let mut letterings = item.letterings();
    let Some(progress) = progress else {
        return Lettering::Sheet;
    };
    if progress.successes() == 0 {
        return Lettering::Sheet;
    }
    if letterings.len() > 1 {
        let open = |lettering: &Lettering| !progress.letterings().contains(lettering);
        if letterings.iter().any(open) {
            letterings.retain(open);
        }
    }
    let place = SplitMix::new(seed).below(letterings.len());
    letterings.swap_remove(place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;
    use crate::practice::attempt::{Attempt, AttemptId, Kind};
    use crate::practice::item::items;

    const SHEETS: &str = "topic waves
v = f λ
T = 1/f
topic forces
F = m a
W = m g
p = m v
topic energy
E = 1/2 m v^2
P = W/t
topic late
x = y z
";

    fn today() -> Day {
        Day::new(2027, 3, 1).unwrap()
    }

    fn attempt(number: u32, day: Day, item: &str, right: bool, slip: Option<&str>) -> Attempt {
        Attempt {
            id: AttemptId { sitting: 1, number },
            day,
            moment: i64::from(number),
            item: item.to_owned(),
            kind: Kind::Rearrangement,
            lettering: Lettering::Sheet,
            right,
            wrong: u32::from(!right),
            hints: 0,
            shown: false,
            support: 0,
            slip: slip.map(str::to_owned),
            marks: 1,
            awarded: 0,
        }
    }

    fn plan(new: usize, early: bool) -> Plan {
        Plan {
            today: today(),
            exam: None,
            new,
            early,
            seed: 4,
        }
    }

    #[test]
    fn due_first_then_new_and_never_one_formula_twice() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        // Everything of waves and forces was met yesterday and is due.
        let attempts: Vec<Attempt> = items
            .iter()
            .filter(|item| item.topic_number < 2)
            .zip(1..)
            .map(|(item, number)| attempt(number, today().plus(-1), &item.key, true, None))
            .collect();
        let mastery = Mastery::of(&attempts, today());
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(3, false));
        assert_eq!(choice.waiting(), (attempts.len(), 3));
        let mut asked = Vec::new();
        while let Some(next) = choice.next_item() {
            asked.push(next);
        }
        assert_eq!(asked.len(), attempts.len() + 3);
        for pair in asked.windows(2) {
            assert_ne!(items[pair[0].0].group, items[pair[1].0].group);
        }
        let due: Vec<usize> = asked
            .iter()
            .filter(|(_, why)| *why == Why::Due)
            .map(|(place, _)| *place)
            .collect();
        assert_eq!(due.len(), attempts.len());
        // Most of the due ones come before all new ones.
        assert!(
            asked[..attempts.len() - 3]
                .iter()
                .all(|(_, why)| *why == Why::Due)
        );
        // The new ones come from topics in order: `late` is not reached while
        // energy lasts.
        assert!(asked.iter().any(|(_, why)| *why == Why::New));
    }

    #[test]
    fn a_miss_comes_back_after_others() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        let mastery = Mastery::default();
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(6, false));
        let (first, why) = choice.next_item().unwrap();
        assert_eq!(why, Why::New);
        choice.missed(first);
        choice.missed(first);
        let mut order = Vec::new();
        while let Some((place, why)) = choice.next_item() {
            order.push((place == first, why));
        }
        let back = order.iter().position(|(same, _)| *same).unwrap();
        assert!(back >= PAUSE, "{order:?}");
        assert_eq!(order[back].1, Why::Again);
        assert_eq!(order.iter().filter(|(same, _)| *same).count(), 1);
        assert_eq!(order.len(), 6);
    }

    #[test]
    fn an_item_missed_again_and_again_is_left_for_tomorrow() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        let mastery = Mastery::default();
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(3, false));
        let mut asked = vec![0; items.len()];
        while let Some((place, _)) = choice.next_item() {
            asked[place] += 1;
            choice.missed(place);
        }
        asked.retain(|count| *count > 0);
        assert_eq!(asked, [MOST_RETURNS + 1; 3]);
    }

    #[test]
    fn slips_that_recur_come_sooner() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        let day = today().plus(-3);
        let keys: Vec<&str> = items.iter().map(|item| item.key.as_str()).collect();
        let attempts = [
            attempt(1, day, keys[0], false, Some("once")),
            attempt(2, day, keys[5], false, None),
            attempt(3, day, keys[7], false, Some("often")),
            attempt(4, day, keys[9], false, Some("often")),
        ];
        let mastery = Mastery::of(&attempts, today());
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(0, false));
        let mut first = [choice.next_item().unwrap().0, choice.next_item().unwrap().0];
        first.sort_unstable();
        assert_eq!(first, [7, 9]);
    }

    #[test]
    fn early_only_when_asked_for() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        let attempts = [attempt(1, today(), &items[0].key, true, None)];
        let mastery = Mastery::of(&attempts, today());
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(0, false));
        assert_eq!(choice.next_item(), None);
        let mut choice = Choice::new(&items, &mastery, |_| true, plan(0, true));
        assert_eq!(choice.next_item(), Some((0, Why::Early)));
    }

    #[test]
    fn letterings_take_turns() {
        let formulary = Formulary::from_text("test.sheet", SHEETS);
        let items = items(&formulary, |_| true);
        let mut progress = Progress::new(Kind::Rearrangement);
        assert_eq!(lettering(&items[0], None, 1), Lettering::Sheet);
        progress.record(today(), true, &Lettering::Sheet);
        assert_eq!(
            lettering(&items[0], Some(&progress), 1),
            Lettering::Unfamiliar
        );
        progress.record(today().plus(1), false, &Lettering::Unfamiliar);
        assert_eq!(lettering(&items[0], Some(&progress), 1), Lettering::Sheet);
    }
}
