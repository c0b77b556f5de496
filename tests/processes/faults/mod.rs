//! Faults made on purpose while the real program works: killed, its power cut, its system calls failing, its unsynced writes lost or out
//! of order, its clock set back, several of it on one folder.
//!
//! What the module is for: to hold the program to its promise from outside. After any single fault every acknowledged reading is there
//! (*lost* counts those that are not), nothing is there that was not entered (*invented*), and the program starts and says what it could
//! not do (*silent* counts what went wrong without a word). It knows the program by its arguments, its dialogue and its files alone.
//!
//! The short form is a lap of each part. `FAULTS_HOURS=8 cargo test --locked --release --test processes -- --ignored --nocapture
//! faults` repeats the laps for as many hours. `FAULTS_PROGRAM` names another binary than the one built beside the tests.

mod bench;
mod calls;
mod cases;
mod clocks;
mod cuts;
mod ends;
mod inputs;
mod kills;
mod oracle;
mod orders;
mod several;
mod tally;
mod trace;

use std::time::{Duration, Instant};

use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use tally::Tally;

/// How much of each part makes a lap.
struct Lap {
    kills: usize,
    cuts: usize,
    calls: usize,
    orders: usize,
    jumps: usize,
    folders: usize,
    inputs: usize,
}

/// The lap of the continuous check: about a minute.
const SHORT: Lap = Lap { kills: 60, cuts: 6, calls: 300, orders: 150, jumps: 4, folders: 4, inputs: 3_000 };
/// A lap of the long form: a few minutes.
const LONG: Lap = Lap { kills: 500, cuts: 50, calls: 600, orders: 600, jumps: 10, folders: 10, inputs: 30_000 };

/// Random numbers that can be had again from their seed.
fn runner(seed: u64) -> TestRunner {
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &bytes))
}

#[test]
#[ignore = "takes a minute, or as many hours as FAULTS_HOURS says; .ci/run starts the short form"]
fn faults_lose_nothing_invent_nothing_and_are_told() {
    let hours = std::env::var("FAULTS_HOURS").ok().map(|text| text.parse::<f64>().expect("FAULTS_HOURS is a number"));
    let seed = std::env::var("FAULTS_SEED").ok().map_or_else(
        || std::time::UNIX_EPOCH.elapsed().unwrap().as_secs(),
        |text| text.parse().expect("FAULTS_SEED is a whole number"),
    );
    let (lap, end) = match hours {
        None => (SHORT, Instant::now()),
        Some(hours) => (LONG, Instant::now() + Duration::from_secs_f64(hours * 3600.0)),
    };
    println!("seed {seed}, program {}", bench::program().display());
    let mut random = runner(seed);
    let mut tally = Tally::default();
    let mut sweep = calls::Sweep::new(&mut random);
    let mut inputs = inputs::Inputs::new();
    loop {
        kills::lap(&mut random, lap.kills, &mut tally);
        cuts::lap(&mut random, lap.cuts, &mut tally);
        sweep.lap(lap.calls, &mut tally);
        orders::lap(&mut random, lap.orders, &mut tally);
        clocks::lap(&mut random, lap.jumps, &mut tally);
        several::lap(&mut random, lap.folders, &mut tally);
        inputs.lap(&mut random, lap.inputs, &mut tally);
        println!("{tally}\npast the first check: {}", inputs.told());
        if Instant::now() >= end {
            break;
        }
    }
    for said in &tally.faults {
        println!("FAULT {said}");
    }
    assert!(inputs.shallow().is_empty(), "half of the inputs or more stop at the first check: {:?}", inputs.shallow());
    assert!(tally.faults.is_empty(), "{} faults, the first: {}", tally.faults.len(), tally.faults[0]);
}
