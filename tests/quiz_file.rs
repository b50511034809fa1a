//! Every question of the embedded sheets, through a quiz file and back: the
//! same marks, the same solutions, and routes of proofs that pass.

use rejig::practice::attempt::Lettering;
use rejig::practice::item::{What, items};
use rejig::practice::paper::{Entry, Paper};
use rejig::practice::proportion::{Scaling, of_turn};
use rejig::practice::question::Question;
use rejig::practice::schedule::key_number;
use rejig::practice::script::{Ready, Task, Word};
use rejig::show::line::{Spelling, equation, line};
use rejig::show::papers;
use rejig::show::proportion::Words;
use rejig::store::sheets;

fn filed(entry: Entry) -> Ready<'static> {
    let text = serde_json::to_string(&Paper::new(None, vec![entry])).expect("it is written");
    let mut paper: Paper = serde_json::from_str(&text).expect("it is read");
    paper.settle().expect("it serves");
    let entry = paper.questions.remove(0);
    let key = entry.key.clone();
    Ready::new(entry).unwrap_or_else(|fault| panic!("{key:?}: {fault}"))
}

fn shown(question: &Question<'_>) -> Vec<String> {
    let table = question.table();
    let mut found = vec![equation(question.formula(), table, Spelling::Ascii)];
    found.extend(
        question
            .solutions
            .iter()
            .map(|solution| line(&solution.value, table, Spelling::Ascii)),
    );
    found
}

#[test]
fn rearrangements_come_back_as_they_were() {
    let formulary = sheets::embedded();
    let mut seen = 0;
    for (topic, formula, subject) in formulary.questions() {
        let Some(question) = Question::from_sheet(topic, formula, subject) else {
            continue;
        };
        seen += 1;
        let ready = filed(papers::rearrangement(&question));
        let Task::Rearrangement(back) = &ready.task else {
            panic!("another kind");
        };
        assert_eq!(back.marks, question.marks, "{:?}", ready.entry.key);
        assert_eq!(shown(back), shown(&question), "{:?}", ready.entry.key);
        assert_eq!(
            back.letters().len(),
            question.letters().len(),
            "{:?}",
            ready.entry.key
        );
        for (one, other) in back.letters().iter().zip(question.letters()) {
            assert_eq!((one.meaning, one.unit), (other.meaning, other.unit));
        }
        let value = &question.solutions[0].value;
        let answer = line(value, question.table(), Spelling::Ascii);
        let script = ready.mark(&answer);
        assert_eq!(script.word, Word::Right, "{:?}: {answer}", ready.entry.key);
        assert_eq!(script.awarded, question.marks);
    }
    assert!(seen > 500, "{seen}");
}

#[test]
fn questions_of_proportion_come_back_as_they_were() {
    let formulary = sheets::embedded();
    let mut seen = 0;
    for item in items(&formulary, |_| true) {
        let What::Proportion(formula) = item.what else {
            continue;
        };
        let worth = item.marks();
        for turn in 0..4 {
            let change = of_turn(item.topic, formula, key_number(&item.key), turn)
                .unwrap_or_else(|| panic!("{}: nothing to ask", item.key));
            let sheet = Lettering::Sheet;
            let Some(scaling) = Scaling::of_sheet(item.topic, formula, &change, sheet, 0) else {
                panic!("{} {turn}: it can't be asked", item.key);
            };
            seen += 1;
            assert_eq!(Some(scaling.marks()), worth, "{}", item.key);
            let ready = filed(papers::proportion(&scaling));
            let Task::Proportion(back) = &ready.task else {
                panic!("another kind");
            };
            let request = |scaling: &Scaling<'_>| {
                let spelling = Spelling::Ascii;
                Words { scaling, spelling }.request()
            };
            assert_eq!(request(back), request(&scaling), "{}", item.key);
            let factor = scaling.exact_factor().expect("it comes out");
            let script = ready.mark(&factor.to_string());
            assert_eq!(
                (script.word, script.awarded),
                (Word::Right, scaling.marks()),
                "{}: {factor}",
                item.key
            );
            for (slip, wrong) in scaling.likely_slips(3) {
                let wrong = line(&wrong, scaling.table(), Spelling::Ascii);
                let script = ready.mark(&wrong);
                assert_eq!(script.word, Word::Wrong, "{}: {slip:?} {wrong}", item.key);
                assert!(script.awarded < scaling.marks());
            }
        }
    }
    assert!(seen > 1000, "{seen}");
}

#[test]
fn routes_of_proofs_earn_all_marks() {
    let formulary = sheets::embedded();
    let mut seen = 0;
    for topic in &formulary.topics {
        for proof in &topic.proofs {
            if proof.route.is_empty() {
                continue;
            }
            seen += 1;
            let ready = filed(papers::proof(topic, proof));
            let working = ready.entry.route.join("\n");
            let script = ready.mark(&working);
            assert_eq!(
                (script.word, script.awarded),
                (Word::Right, ready.marks()),
                "{:?}: {working}",
                ready.entry.key
            );
        }
    }
    assert!(seen > 30, "{seen}");
}
