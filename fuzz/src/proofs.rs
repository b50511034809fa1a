//! A working in a file, as `prove` reads and judges it.

use rejig::cli::prove::understood;
use rejig::show::derivation::Words;
use rejig::show::line::Spelling;

use crate::formulary;

pub fn run(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let Ok((file, mut argument)) = understood(&text, "own.proof") else {
        return;
    };
    argument.know(formulary());
    let judged = argument.judge(file.lines.iter().map(|line| line.text.as_str()));
    assert_eq!(judged.report.lines.len(), file.lines.len());
    let words = Words {
        table: judged.vocabulary.table(),
        spelling: Spelling::Unicode,
        given: &[],
    };
    for (number, line) in judged.report.lines.iter().enumerate() {
        drop(words.line(number, line));
    }
    drop(words.whole(&judged.report));
}
