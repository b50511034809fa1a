//! Every example of `formulae/README.md`: a block that begins with `topic` is
//! a new sheet, other blocks are added to it, and each stage has neither fault
//! nor remark.

use std::fs;
use std::process::Command;

const COMMANDS: [&str; 2] = [
    "rejig drill --sheet waves.sheet",
    "rejig proofread waves.sheet",
];

/// Indented blocks, without the indent.
fn blocks(text: &str) -> Vec<String> {
    let mut blocks: Vec<String> = Vec::new();
    let mut open = false;
    for line in text.lines() {
        match line.strip_prefix("    ") {
            Some(code) if open => {
                let block = blocks.last_mut().expect("a block is open");
                block.push_str(code);
                block.push('\n');
            }
            Some(code) => {
                open = true;
                blocks.push(format!("{code}\n"));
            }
            None if line.trim().is_empty() && open => {
                blocks.last_mut().expect("a block is open").push('\n');
            }
            None => open = false,
        }
    }
    blocks
}

#[test]
fn every_example_is_a_sound_sheet() {
    let guide = fs::read_to_string("formulae/README.md").expect("the guide");
    let (examples, grammar) = guide
        .split_once("## The grammar")
        .expect("the grammar comes last");
    assert!(grammar.contains("quantity SYMBOL"));
    let folder = std::env::temp_dir().join(format!("rejig-guide-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    fs::write(
        folder.join("electricity.sheet"),
        "topic electricity\nV = I R\n",
    )
    .expect("a file");
    let path = folder.join("waves.sheet");
    let mut sheet = String::new();
    let (mut tried, mut first) = (0, true);
    for block in blocks(examples) {
        let block = block.trim_end();
        if COMMANDS.contains(&block) {
            continue;
        }
        assert!(!block.starts_with("rejig"), "{block}");
        if block.starts_with("topic") {
            sheet.clear();
        }
        sheet.push_str(block);
        sheet.push_str("\n\n");
        if first {
            assert_eq!(block.lines().count(), 2, "the smallest sheet comes first");
            first = false;
        }
        fs::write(&path, &sheet).expect("a file");
        let output = Command::new(env!("CARGO_BIN_EXE_rejig"))
            .args(["proofread", "waves.sheet"])
            .current_dir(&folder)
            .output()
            .expect("rejig runs");
        let told = String::from_utf8_lossy(&output.stdout);
        assert!(told.starts_with("No faults found."), "{block}\n\n{told}");
        tried += 1;
    }
    fs::remove_dir_all(&folder).expect("removed");
    assert!(tried >= 14, "{tried} examples");
}
