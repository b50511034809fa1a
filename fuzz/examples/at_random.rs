//! The target `pairs` on bytes at random, many times as fast as under a
//! fuzzer: `at_random [SEED [SECONDS]]`. Tells what came of the pairs, and the
//! first few crashers of each place in the source.

use std::collections::BTreeMap;
use std::panic::{catch_unwind, set_hook};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Crashers of one place that are told.
const MOST_TOLD: u64 = 3;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |usual: u64| {
        let next = arguments.next();
        next.and_then(|next| next.parse().ok()).unwrap_or(usual)
    };
    let (mut state, seconds) = (number(1), number(60));
    let end = Instant::now() + Duration::from_secs(seconds);
    static LAST: Mutex<(String, String)> = Mutex::new((String::new(), String::new()));
    set_hook(Box::new(|info| {
        let place = info.location().map(ToString::to_string).unwrap_or_default();
        *LAST.lock().expect("one thread") = (place, info.to_string());
    }));
    let mut outcomes: BTreeMap<&str, u64> = BTreeMap::new();
    let mut crashers: BTreeMap<String, u64> = BTreeMap::new();
    let mut slowest = (Duration::ZERO, Vec::new());
    let mut next = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    };
    let mut tried = 0u64;
    while Instant::now() < end {
        let bytes: Vec<u8> = (0..8).flat_map(|_| next().to_le_bytes()).collect();
        let begun = Instant::now();
        tried += 1;
        match catch_unwind(|| rejig_fuzz::pairs::run(&bytes)) {
            Ok(word) => *outcomes.entry(word).or_default() += 1,
            Err(_) => {
                let (place, told) = LAST.lock().expect("one thread").clone();
                let count = crashers.entry(place).or_default();
                *count += 1;
                if *count <= MOST_TOLD {
                    println!("{told}\n");
                }
            }
        }
        let taken = begun.elapsed();
        if taken > slowest.0 {
            slowest = (taken, bytes);
        }
    }
    println!("{tried} pairs: {outcomes:?}");
    println!("crashers: {crashers:?}");
    println!("slowest: {:?} {:?}", slowest.0, slowest.1);
}
