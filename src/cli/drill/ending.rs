//! What a sitting begins and ends with: what is waiting, what was gained, and
//! when each item comes back.

use std::io::{self, Write};

use crate::practice::day::Day;
use crate::show::checklist::item_words;
use crate::show::counts::{counted, grouped};
use crate::show::dates::{date, from_today};
use crate::show::remarks::Mood;
use crate::show::slips::kind_words;
use crate::show::wrap::wrapped;

use super::{Drill, Supply};

impl Drill<'_, '_> {
    /// What is waiting.
    pub(super) fn greet(&mut self) -> io::Result<()> {
        let Supply::Kept(keeping) = &mut self.supply else {
            return Ok(());
        };
        let text = match keeping.waiting() {
            (0, 0) if keeping.left() > 0 => {
                "Nothing is due today; this is practice ahead of its day.".to_owned()
            }
            (0, 0) => {
                let mut text = "Nothing is due today.".to_owned();
                let today = keeping.today();
                if let Some((day, count)) = keeping.next_day() {
                    let items = counted(count, "item comes", "items come");
                    text.push_str(&format!(" {items} back {}.", on(day, today)));
                }
                text.push_str(" For more now, say `--new` or `--count` with a number.");
                text
            }
            (due, new) => format!("Today: {} and {new} new.", counted(due, "due", "due")),
        };
        writeln!(self.out, "{}\n", wrapped(&text, "", "", self.style.width))
    }

    /// What was gained, and when each item comes back.
    fn outlook(&mut self) -> io::Result<()> {
        let Supply::Kept(keeping) = &mut self.supply else {
            return Ok(());
        };
        let today = keeping.today();
        let gains = keeping.gains();
        if gains.is_empty() {
            return Ok(());
        }
        let won = gains.iter().filter(|gain| gain.won).count();
        let lost = gains.iter().filter(|gain| gain.lost).count();
        let count = keeping.count();
        let mut text = format!(
            "Secure now: {} of {}",
            grouped(count.secure),
            counted(count.all(), "item", "items")
        );
        match (won, lost) {
            (0, 0) => text.push('.'),
            (won, 0) => text.push_str(&format!(", {won} more than before.")),
            (0, lost) => text.push_str(&format!(", {lost} fewer than before.")),
            (won, lost) => text.push_str(&format!("; {won} won, {lost} lost.")),
        }
        writeln!(self.out, "{}", wrapped(&text, "", "", self.style.width))?;
        let mut days: Vec<Option<Day>> = gains.iter().map(|gain| gain.returns).collect();
        days.sort_unstable_by_key(|day| (day.is_none(), *day));
        days.dedup();
        for day in days {
            let heading = match day {
                Some(day) => format!("Back {}:", on(day, today)),
                None => "Not again before the exam:".to_owned(),
            };
            writeln!(self.out, "{heading}")?;
            for gain in gains.iter().filter(|gain| gain.returns == day) {
                let item = keeping.item(gain.place);
                let mut text = item_words(item, self.style.spelling);
                if gain.won {
                    text.push_str(" (secure now)");
                } else if gain.lost {
                    text.push_str(" (no longer secure)");
                }
                writeln!(
                    self.out,
                    "{}",
                    wrapped(&text, "   ", "     ", self.style.width)
                )?;
            }
        }
        Ok(())
    }

    pub(super) fn farewell(&mut self) -> io::Result<()> {
        self.tally()?;
        self.outlook()?;
        if let Supply::Kept(keeping) = &self.supply
            && keeping.is_first_sitting()
        {
            let text = "What you did is kept. `rejig checklist` shows every item, `rejig plan` \
                        the days to your exam.";
            writeln!(self.out, "{}", wrapped(text, "", "", self.style.width))?;
        }
        Ok(())
    }

    fn tally(&mut self) -> io::Result<()> {
        let tally = self.sitting.tally();
        if tally.asked == 0 && tally.followed == 0 && self.sitting.again().is_empty() {
            let nothing = matches!(&self.supply, Supply::Kept(_)) && self.sitting.begun() == 0;
            if nothing {
                return Ok(());
            }
            let text = "Nothing answered this time. Come back soon.";
            return writeln!(self.out, "{}", wrapped(text, "", "", self.style.width));
        }
        let line = format!(
            "Right at first try: {} of {}. Marks: {} of {}.",
            tally.first_try, tally.asked, tally.awarded, tally.available
        );
        writeln!(
            self.out,
            "{}",
            self.style
                .heading(&wrapped(&line, "", "", self.style.width))
        )?;
        let slips = self.sitting.frequent_slips(2);
        if !slips.is_empty() {
            let told: Vec<String> = slips
                .iter()
                .map(|(kind, count)| match count {
                    1 => kind_words(*kind).to_owned(),
                    2 => format!("{} (twice)", kind_words(*kind)),
                    more => format!("{} ({more} times)", kind_words(*kind)),
                })
                .collect();
            let line = format!("Slips to look out for: {}.", told.join("; "));
            writeln!(self.out, "{}", wrapped(&line, "", "   ", self.style.width))?;
        }
        if tally.followed > 0 {
            let followed = counted(tally.followed, "worked example", "worked examples");
            writeln!(self.out, "{followed} followed.")?;
        }
        let again = self.sitting.again();
        if again.is_empty() {
            return writeln!(
                self.out,
                "{}",
                self.style.verdict(Mood::Good, "Nothing to look at again.")
            );
        }
        writeln!(self.out, "To look at again:")?;
        let mut listed: Vec<String> = Vec::new();
        for number in again {
            let text = self.questions.told(number);
            if !listed.contains(&text) {
                listed.push(text);
            }
        }
        for text in listed {
            writeln!(
                self.out,
                "{}",
                wrapped(&text, "   ", "     ", self.style.width)
            )?;
        }
        Ok(())
    }
}

/// `tomorrow`, `on 12 March 2027`.
fn on(day: Day, today: Day) -> String {
    match day.since(today) {
        0 | 1 => from_today(day, today),
        _ => format!("on {}", date(day)),
    }
}
