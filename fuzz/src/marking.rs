//! A class's answers, comma-separated or JSON Lines, as `mark` reads and marks
//! them.

use std::cell::RefCell;

use rejig::cli::choosing::of_paper;
use rejig::cli::mark::rows::Rows;
use rejig::practice::class::Class;
use rejig::practice::script::Ready;
use rejig::show::line::Spelling;
use rejig::show::scripts::told;
use rejig::store::quizzes::understand;

/// The quiz that the class answered.
const QUIZ: &[u8] = include_bytes!("../../tests/demo/club.json");
/// Rows that are marked of one input.
const MOST_MARKED: usize = 4;

thread_local! {
    static QUESTIONS: RefCell<Option<Vec<Ready<'static>>>> = const { RefCell::new(None) };
}

pub fn run(data: &[u8]) {
    let mut rows = Rows::new(data).expect("memory can be read");
    let mut found = Vec::new();
    let mut before = 0;
    while let Some(next) = rows.next_row().expect("memory can be read") {
        let line = match &next {
            Ok(row) => row.line,
            Err(bad) => bad.line,
        };
        assert!(line >= before, "line {line} after line {before}");
        before = line;
        found.extend(next);
    }
    QUESTIONS.with_borrow_mut(|kept| {
        let questions = kept.get_or_insert_with(|| {
            of_paper(&understand(QUIZ).expect("the demo is a quiz")).expect("it can be asked")
        });
        let mut class = Class::new(questions.iter().map(Ready::marks).collect());
        for (number, row) in found.iter().enumerate() {
            let Ok(place) = row.question.parse::<usize>() else {
                continue;
            };
            let place = place % questions.len();
            let ready = &questions[place];
            let typed = if number < MOST_MARKED {
                row.answer.as_str()
            } else {
                ""
            };
            let script = ready.mark(typed);
            assert!(script.awarded <= script.available.max(ready.marks()));
            let told = told(ready, &script, Spelling::Ascii);
            let deeds: Vec<std::sync::Arc<str>> = told.deeds.into_iter().map(Into::into).collect();
            let _ = class.record(&row.seat, place, script.word, script.awarded, &deeds);
        }
        drop(class.students());
        drop(class.questions());
    });
}
