//! A definition in words, judged against each definition of the sheets in
//! turn: the first byte says which.

use std::cell::RefCell;

use rejig::practice::definition::Wordings;
use rejig::show::definition::remark;

use crate::formulary;

thread_local! {
    static WORDINGS: RefCell<Option<Vec<Wordings>>> = const { RefCell::new(None) };
}

fn all() -> Vec<Wordings> {
    let formulary = formulary();
    let own = |topic| {
        let topic: &rejig::physics::formulary::Topic = topic;
        topic
            .definitions
            .iter()
            .filter_map(move |definition| Wordings::new(formulary, topic, definition))
    };
    formulary.topics.iter().flat_map(own).collect()
}

pub fn run(data: &[u8]) {
    let Some((which, sentence)) = data.split_first() else {
        return;
    };
    let sentence = String::from_utf8_lossy(sentence);
    WORDINGS.with_borrow_mut(|kept| {
        let all = kept.get_or_insert_with(all);
        let wordings = &all[usize::from(*which) % all.len()];
        let judged = wordings.judge(&sentence);
        assert!(judged.awarded <= judged.available);
        drop(remark(&judged, wordings, &sentence));
        drop(wordings.speaks_of(&sentence));
    });
}
