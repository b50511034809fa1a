//! A formula sheet, read, proofread and listed.

use rejig::cli::proofread::faults;
use rejig::physics::formulary::{Formulary, Loaded};

use rejig::practice::item::items;
use rejig::show::formulae;

pub fn run(data: &[u8]) {
    let mut formulary = Formulary::new();
    formulary.add("own.sheet", data, &mut |_, wanted| match wanted {
        // A sheet that includes itself by another name.
        "a.sheet" | "b.sheet" => Ok(Loaded {
            name: wanted.to_owned(),
            bytes: data.to_vec(),
        }),
        _ => Err(format!("there is no sheet {wanted:?} here")),
    });
    let found = faults(&formulary);
    for fault in &found {
        drop(fault.diagnostic.render());
    }
    drop(formulae::faults(&found, formulary.formula_count(), 80));
    drop(formulae::topics(&formulary, 60));
    for topic in &formulary.topics {
        drop(formulae::topic(topic, 60));
        for formula in &topic.formulae {
            drop(formulae::entry(topic, formula, 60));
        }
        for proof in &topic.proofs {
            drop(formulae::proof(topic, proof, 60));
        }
    }
    for item in items(&formulary, |_| true) {
        let _ = item.marks();
        drop(item.letterings());
    }
}
