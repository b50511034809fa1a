#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| rejig_fuzz::reading::run(data));
