//! Journals, one or two of one student, read and reckoned with.

use rejig::practice::attempt::Kind;
use rejig::practice::day::Day;
use rejig::practice::mastery::{Mastery, Progress};
use rejig::practice::plan::{Outlook, Planned, forecast};
use rejig::practice::schedule::{key_number, returns};
use rejig::store::journal::understand;
use rejig::store::record::{Record, read, write};

pub fn run(data: &[u8]) {
    let files: Vec<&[u8]> = data.splitn(2, |byte| *byte == 0xff).collect();
    let contents = understand(&files);
    assert!(contents.attempts.len() <= contents.findings.lines);
    for attempt in &contents.attempts {
        let own = Record::Attempt(Box::new(attempt.clone()));
        assert_eq!(read(write(&own).as_bytes()), Ok(own), "it reads back");
    }
    let Some(today) = Day::new(2027, 3, 1) else {
        return;
    };
    let mastery = Mastery::of(&contents.attempts, today);
    let met: Vec<(&Progress, u64)> = contents
        .attempts
        .iter()
        .filter_map(|attempt| Some((mastery.progress(&attempt.item)?, key_number(&attempt.item))))
        .collect();
    for day in returns(met.iter().copied(), today, contents.exam)
        .into_iter()
        .flatten()
    {
        drop(day.to_string());
    }
    // A forecast walks every day up to the exam.
    if met.len() <= 3 {
        let mut items: Vec<Planned> = met
            .iter()
            .map(|(progress, key)| Planned {
                key: *key,
                marks: 2,
                progress: (*progress).clone(),
            })
            .collect();
        items.push(Planned {
            key: 1,
            marks: 1,
            progress: Progress::new(Kind::Proof),
        });
        if let Some(exam) = contents.exam {
            let outlook = Outlook {
                today,
                exam,
                seconds: None,
                miss: 0.2,
                seed: 1,
            };
            if exam.since(today) < 60 {
                drop(forecast(&items, outlook));
            }
        }
    }
}
