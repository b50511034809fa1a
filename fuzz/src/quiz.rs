//! A quiz file, asked and answered.

use rejig::cli::choosing::of_paper;
use rejig::cli::quiz::script_value;
use rejig::show::line::Spelling;
use rejig::show::scripts::told;
use rejig::show::worksheet::{Part, html, tex};
use rejig::store::quizzes::understand;

pub fn run(data: &[u8]) {
    let Ok(paper) = understand(data) else {
        return;
    };
    let text = serde_json::to_vec(&paper).expect("a quiz can be written");
    assert_eq!(understand(&text).as_ref(), Ok(&paper), "it reads back");
    let Ok(questions) = of_paper(&paper) else {
        return;
    };
    let most = &questions[..questions.len().min(3)];
    for ready in most {
        for typed in [
            "",
            "a = b",
            "x = 1\nx^2 = 1",
            "v = u + a t",
            &ready.entry.formula,
        ] {
            let script = ready.mark(typed);
            let told = told(ready, &script, Spelling::Unicode);
            drop(script_value(ready, &script, &told));
        }
    }
    drop(html(most, "A title", Part::Both));
    drop(tex(most, "A title", Part::Questions));
}
