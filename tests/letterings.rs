//! Every item of the embedded sheets in every lettering: what the program
//! itself writes is read back and found right.

use rejig::practice::attempt::{Kind, Lettering};
use rejig::practice::item::{What, items};
use rejig::practice::proving::{Became, ProofHint, Proving};
use rejig::practice::question::Question;
use rejig::reason::verdict::Verdict;
use rejig::show::line::{Spelling, equation_line, line};
use rejig::store::sheets::embedded;

const SPELLINGS: [Spelling; 2] = [Spelling::Unicode, Spelling::Ascii];

#[test]
fn every_proof_goes_by_its_own_route_in_all_letters() {
    let formulary = embedded();
    let (mut asked, mut wrong, mut unfamiliar) = (0, Vec::new(), 0);
    let mut proofs = 0;
    for item in items(&formulary, |_| true) {
        let What::Proof(proof) = item.what else {
            continue;
        };
        proofs += 1;
        let mut in_other_letters = false;
        for (seed, lettering) in item.letterings().into_iter().enumerate() {
            let spelling = SPELLINGS[seed % 2];
            let Some(mut proving) = Proving::new(item.topic, proof, lettering, seed as u64) else {
                continue;
            };
            asked += 1;
            unfamiliar += usize::from(proving.lettering == Lettering::Unfamiliar);
            in_other_letters |= proving.lettering != Lettering::Sheet;
            let table = proving.vocabulary().table().clone();
            let route = proving.route();
            for (number, chain) in route.iter().enumerate() {
                let text = equation_line(chain, &table, spelling);
                // With the lines before it, the next milestone is this one.
                let mut hinted = proving.clone();
                let milestone =
                    std::iter::from_fn(|| hinted.next_hint()).find_map(|hint| match hint {
                        ProofHint::Line(chain, _) => Some(chain),
                        ProofHint::Nudge(_) => None,
                    });
                let (_, became) = proving.line(&text);
                // The result in another form counts before it is tidied up.
                let last = number + 1 == route.len();
                if became != Became::Shown && (last || became != Became::Stands) {
                    wrong.push(format!("{} {text}: {became:?}", item.key));
                }
                if milestone.as_ref() != Some(chain) && number == 0 {
                    wrong.push(format!("{} {text}: not the first hint", item.key));
                }
                if became == Became::Shown {
                    break;
                }
            }
        }
        if !in_other_letters {
            wrong.push(format!("{}: in the sheet's letters only", item.key));
        }
    }
    println!("{proofs} proofs asked {asked} times, {unfamiliar} in unfamiliar letters");
    assert!(proofs >= 48 && unfamiliar == proofs, "{unfamiliar}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_change_of_subject_is_right_in_all_letters() {
    let formulary = embedded();
    let (mut asked, mut wrong) = (0, Vec::new());
    for item in items(&formulary, |_| true) {
        let What::Rearrangement(formula, subject) = item.what else {
            continue;
        };
        assert_eq!(item.kind(), Kind::Rearrangement);
        for (seed, lettering) in item.letterings().into_iter().enumerate() {
            let seed_number = seed as u64;
            let Some(question) =
                Question::in_letters(item.topic, formula, subject, lettering, seed_number)
            else {
                continue;
            };
            asked += 1;
            if seed == 0 && item.marks() != Some(question.marks) {
                wrong.push(format!("{}: worth {:?}", item.key, item.marks()));
            }
            let [solution] = question.solutions.as_slice() else {
                continue;
            };
            let text = line(&solution.value, question.table(), SPELLINGS[seed % 2]);
            match question.mark(&text) {
                Ok(marked) if marked.judgement.verdict == Verdict::Right => {}
                Ok(marked) => wrong.push(format!(
                    "{} {text}: {:?}",
                    item.key, marked.judgement.verdict
                )),
                Err(fault) => wrong.push(format!("{} {}", item.key, fault.render())),
            }
        }
    }
    println!("{asked} questions");
    assert!(asked > 1500, "{asked}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
