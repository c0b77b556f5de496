//! Faults made on purpose while the real program works: killed, its power cut, its system calls failing, its unsynced writes lost or out
//! of order, its clock set back, several copies of it at once on one folder.
//!
//! What the module is for: to hold the program to its promise from outside. After any single fault every acknowledged reading is there
//! (*lost* counts those that are not), nothing is there that was not entered (*invented*), and the program starts and says what it could
//! not do (*silent* counts what went wrong without a word). It knows the program by its arguments, its dialogue and its files alone.
//!
//! The short form is a lap of each part, from the same seed every time: what it finds depends on the program and not on the day. The long
//! form takes a new seed, prints it, and repeats its laps for `FAULTS_HOURS` hours. `FAULTS_LAP="kills=10000 cuts=500 calls=all"` makes a lap
//! of one's own: so many of each part that is named and none of the others, `calls=all` being every fault at every call once.
//! `FAULTS_SEED` names the seed of either form, `FAULTS_PROGRAM` another binary than the one built beside the tests:
//! `FAULTS_HOURS=8 cargo test --locked --release --test processes -- --ignored --nocapture faults`.

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
#[derive(Debug, Default, PartialEq, Eq)]
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

impl Lap {
    /// What `FAULTS_LAP` asks for: parts that are not named are left out.
    fn of(text: &str) -> Self {
        let mut lap = Self::default();
        for part in text.split_whitespace() {
            let (name, count) = part.split_once('=').unwrap_or_else(|| panic!("FAULTS_LAP: {part} is not NAME=COUNT"));
            let of_part = match name {
                "kills" => &mut lap.kills,
                "cuts" => &mut lap.cuts,
                "calls" => &mut lap.calls,
                "orders" => &mut lap.orders,
                "jumps" => &mut lap.jumps,
                "folders" => &mut lap.folders,
                "inputs" => &mut lap.inputs,
                _ => panic!("FAULTS_LAP: there is no part {name}"),
            };
            *of_part = match count {
                "all" if name == "calls" => usize::MAX,
                _ => count.parse().unwrap_or_else(|_| panic!("FAULTS_LAP: {count} is no number of {name}")),
            };
        }
        lap
    }
}

/// A setting of the environment, where it is there.
fn set<T: std::str::FromStr>(name: &str) -> Option<T> {
    let text = std::env::var(name).ok()?;
    Some(text.parse().unwrap_or_else(|_| panic!("{name} is {text}, which is no number")))
}

#[test]
#[ignore = "takes a minute, or as many hours as FAULTS_HOURS says; .ci/run starts the short form"]
fn faults_lose_nothing_invent_nothing_and_are_told() {
    let hours = set::<f64>("FAULTS_HOURS");
    let own = std::env::var("FAULTS_LAP").ok().map(|text| Lap::of(&text));
    let is_short = hours.is_none() && own.is_none();
    let fresh = || if is_short { 1 } else { std::time::UNIX_EPOCH.elapsed().unwrap().as_secs() };
    let seed = set("FAULTS_SEED").unwrap_or_else(fresh);
    let lap = own.unwrap_or(if is_short { SHORT } else { LONG });
    let end = Instant::now() + Duration::from_secs_f64(hours.unwrap_or(0.0) * 3600.0);
    println!("seed {seed}, program {}", bench::program().display());
    let mut random = runner(seed);
    let mut tally = Tally::default();
    let mut sweep = calls::Sweep::new(&mut random, lap.calls > 0);
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
    assert!(tally.never <= 1 + tally.calls / 20, "{} faults at calls never came about", tally.never);
    assert!(tally.faults.is_empty(), "{} faults, the first: {}", tally.faults.len(), tally.faults[0]);
}

#[test]
fn a_lap_of_ones_own_holds_what_is_named() {
    let lap = Lap { kills: 10_000, calls: usize::MAX, ..Lap::default() };
    assert_eq!(Lap::of("kills=10000 calls=all"), lap);
    for wrong in ["kill=1", "kills", "kills=all", "cuts=-1"] {
        assert!(std::panic::catch_unwind(|| Lap::of(wrong)).is_err(), "{wrong}");
    }
}
