//! How the rack bears a large workshop. Not run by default: `cargo test --release --test workshop a_large_workshop -- --ignored --nocapture`.
//!
//! `SCALE_LOOPS` (5,000) loops of `SCALE_ROUNDS` (10) rounds of 72 cutters, and one loop of 500 rounds.

use std::fs;
use std::time::{Duration, Instant};

use crate::invented::large::{fill, number};
use evenbite::record::Rack;

/// The most that the rack, and a loop of 500 rounds, may take to show.
const SHOWS_WITHIN: Duration = Duration::from_millis(100);

/// The quickest of a few runs: what the work costs when nothing else does.
fn quickest<T>(what: &str, mut run: impl FnMut() -> T) -> (T, Duration) {
    let mut best: Option<(T, Duration)> = None;
    for _ in 0..30 {
        let start = Instant::now();
        let result = run();
        let took = start.elapsed();
        if best.as_ref().is_none_or(|(_, shortest)| took < *shortest) {
            best = Some((result, took));
        }
    }
    let (result, took) = best.unwrap();
    println!("{what}: {:.1} ms", took.as_secs_f64() * 1e3);
    (result, took)
}

/// Resident memory now and at its highest, MB, where the system tells.
fn memory() -> Option<(f64, f64)> {
    let text = fs::read_to_string("/proc/self/status").ok()?;
    let of = |key: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix(key))?;
        line.split_whitespace().next()?.parse::<f64>().ok().map(|kb| kb / 1024.0)
    };
    Some((of("VmRSS:")?, of("VmHWM:")?))
}

#[test]
#[ignore = "writes a large workshop"]
fn a_large_workshop_shows_at_once() {
    let dir = crate::scratch::folder();
    let root = std::env::var_os("SCALE_DIR").map_or_else(|| dir.path().join("data"), Into::into);
    let (loops, rounds) = (number("SCALE_LOOPS", 5_000), number("SCALE_ROUNDS", 10));
    if !root.exists() {
        fill(&root, loops, rounds, 500);
    }
    let rack = Rack::open(root.clone()).unwrap();
    let start = Instant::now();
    rack.refresh();
    println!("first time, every round read: {:.1} s", start.elapsed().as_secs_f64());
    std::thread::sleep(Duration::from_secs(3)); // changes this young are not believed
    let shown = rack.refresh();
    println!("memory with the rack shown, and highest, MB: {:?}", memory());
    drop(shown);
    let empty = Rack::open(dir.path().join("empty")).unwrap();
    quickest("an empty rack", || empty.shelves());
    let (found, took) = quickest("the rack", || rack.refresh());
    assert_eq!(found.shelves.len(), usize::try_from(loops).unwrap() + 2);
    assert!(found.problems.is_empty() && took < SHOWS_WITHIN, "{took:?}");
    println!("index: {} KB", fs::metadata(root.join("rack.jsonl")).unwrap().len() / 1024);
    let (past, took) = quickest("a loop of 500 rounds", || rack.past("long", "Ina", "three-eighths").unwrap());
    assert_eq!(past.rounds.len(), 500);
    assert!(took < SHOWS_WITHIN, "{took:?}");
    quickest("a loop of few rounds", || rack.past("loop-00001", "Ina", "three-eighths").unwrap());
    println!("history: {} KB", fs::metadata(root.join("loops/long/history.toml")).unwrap().len() / 1024);
}
