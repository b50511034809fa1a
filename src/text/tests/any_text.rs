//! Text made of the pieces that mean something, and of any characters at all:
//! a reading or a message, never a panic, and the same each time.

use super::*;
use proptest::prelude::*;

fn pieces() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("a"),
        Just("v_0"),
        Just("sin"),
        Just("log"),
        Just("log_"),
        Just("e"),
        Just("^"),
        Just("-"),
        Just("("),
        Just(")"),
        Just("|"),
        Just("/"),
        Just("*"),
        Just("2"),
        Just("1.5"),
        Just("="),
        Just("²"),
        Just("⁻"),
        Just("√"),
        Just("Δ"),
        Just("delta"),
        Just(" "),
        Just("_"),
        Just("{"),
        Just("}"),
        Just("±"),
        Just("+-"),
        Just("×10"),
        Just("E-3"),
        Just("½"),
        Just("₀"),
        Just("λ"),
        Just("ⁿ"),
        Just("x"),
        Just("\u{301}"),
        Just(","),
        Just("e5"),
    ];
    prop::collection::vec(piece, 0..24).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]
    #[test]
    fn never_a_panic(text in prop_oneof![pieces(), any::<String>()]) {
        for undeclared in [Undeclared::Declare, Undeclared::Refuse] {
            let mut vocabulary = sheet();
            let before = vocabulary.table().len();
            let first = read(&text, &mut vocabulary, undeclared);
            match &first {
                Ok(readings) => {
                    prop_assert!(readings.all().count() <= readings::MOST_READINGS);
                    for reading in readings.all() {
                        for side in &reading.chain {
                            prop_assert!(side.symbols().iter().all(|s| s.index() < vocabulary.table().len()));
                        }
                    }
                }
                Err(fault) => {
                    let _ = fault.render();
                    prop_assert_eq!(vocabulary.table().len(), before);
                }
            }
            if undeclared == Undeclared::Refuse {
                prop_assert_eq!(vocabulary.table().len(), before);
            }
            prop_assert_eq!(first, read(&text, &mut sheet(), undeclared));
        }
    }
}
