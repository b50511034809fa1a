//! Every question of the embedded sheets, answered with its own worked
//! solution as it is printed: reading, judging and printing agree.

use rejig::algebra::symbol::Domain;
use rejig::practice::question::Question;
use rejig::reason::isolate::{Outcome, isolate};
use rejig::show::line::{Spelling, line};
use rejig::store::sheets;

#[test]
fn every_printed_solution_is_right() {
    let formulary = sheets::embedded();
    let mut asked = 0;
    let mut bad = Vec::new();
    for (topic, formula, subject) in formulary.questions() {
        let Some(question) = Question::from_sheet(topic, formula, subject) else {
            // Left out on purpose: which of two roots is the positive one
            // depends on the values.
            let table = topic.vocabulary.table();
            let split = match isolate(&formula.equation, subject, table) {
                Outcome::Solved { solutions, .. } => {
                    solutions.len() > 1 && table.domain(subject) != Domain::Real
                }
                _ => false,
            };
            if !split {
                bad.push(format!("{}: no question", formula.text()));
            }
            continue;
        };
        asked += 1;
        for solution in &question.solutions {
            // The last line of the path has both signs where both are needed.
            let result = match solution.path.last() {
                Some(step) => &step.equation.right,
                None => &solution.value,
            };
            for spelling in [Spelling::Unicode, Spelling::Ascii] {
                let answer = line(result, question.table(), spelling);
                match question.mark(&answer) {
                    Ok(marked) if marked.judgement.is_right() => {}
                    Ok(marked) => bad.push(format!(
                        "{} -> {answer}: {:?}",
                        formula.text(),
                        marked.judgement
                    )),
                    Err(fault) => {
                        bad.push(format!(
                            "{} -> {answer}:\n{}",
                            formula.text(),
                            fault.render()
                        ));
                    }
                }
            }
        }
    }
    assert!(asked > 500, "only {asked} questions");
    assert!(bad.is_empty(), "{} bad:\n{}", bad.len(), bad.join("\n"));
}
