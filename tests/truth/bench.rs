//! How far the advice is right: whole rounds, plans, verdicts, forecasts and slips on simulated loops whose truth is known.
//!
//! `cargo bench --bench truth` prints the whole table. After `--`:
//!
//! - `--loops N` loops a row (1,000), `--threads N` (2), `--only SCENE` one scene;
//! - `--seeds tune` other dice than those that figures are told from: choices are made on these;
//! - `--store` writes the figures beside this file, those of other scenes stay; `--quick` plays few loops and fails where a figure lies
//!   outside its stored 99.9 % interval.

mod later;
mod measured;
mod play;
mod rounds;
mod slips;
mod stored;
mod table;
mod tally;
mod thumb;

use std::process::ExitCode;
use std::time::Instant;

use evenbite::sim::Dice;
use tally::{Book, Marks};

/// A scene: what one loop tells.
struct Scene {
    name: &'static str,
    /// Of the loops asked for, how many times as many are played: cheap scenes can afford more.
    times: usize,
    play: fn(Dice, &mut Marks),
}

const SCENES: &[Scene] = &[
    Scene { name: "usual", times: 1, play: rounds::usual },
    Scene { name: "coarse", times: 1, play: rounds::coarse },
    Scene { name: "rough", times: 1, play: rounds::rough },
    Scene { name: "deviants", times: 2, play: rounds::deviants },
    Scene { name: "geometry", times: 1, play: rounds::off_geometry },
    Scene { name: "slips", times: 1, play: slips::slips },
    Scene { name: "even", times: 1, play: measured::even_sheet },
    Scene { name: "plans", times: 1, play: measured::plans },
    Scene { name: "struck", times: 1, play: measured::struck },
    Scene { name: "enough", times: 1, play: measured::enough },
    Scene { name: "balance", times: 1, play: measured::balance },
    Scene { name: "mark", times: 1, play: measured::mark },
    Scene { name: "forecast", times: 3, play: later::forecasts },
    Scene { name: "drift", times: 2, play: later::drift },
];

/// Seeds that figures are told from, and others that choices are made on.
const TOLD: u64 = 0x0001_0000_0000;
const TUNED: u64 = 0x7001_0000_0000;

/// Loops of the quick form.
const QUICK: usize = 40;

struct Wish {
    loops: usize,
    threads: usize,
    only: Option<String>,
    seeds: u64,
    quick: bool,
    store: bool,
}

impl Wish {
    fn read(mut args: impl Iterator<Item = String>) -> Result<Self, String> {
        let mut wish = Self { loops: 1000, threads: 2, only: None, seeds: TOLD, quick: false, store: false };
        while let Some(arg) = args.next() {
            let mut next = || args.next().ok_or(format!("{arg} wants a value"));
            match arg.as_str() {
                "--loops" => wish.loops = next()?.parse().map_err(|_| "--loops wants a number")?,
                "--threads" => wish.threads = next()?.parse().map_err(|_| "--threads wants a number")?,
                "--only" => wish.only = Some(next()?),
                "--seeds" => wish.seeds = if next()? == "tune" { TUNED } else { TOLD },
                "--quick" => (wish.quick, wish.loops) = (true, QUICK),
                "--store" => wish.store = true,
                // What cargo adds.
                "--bench" => {}
                other => return Err(format!("no such wish: {other}")),
            }
        }
        Ok(wish)
    }
}

/// Plays a scene on so many loops; the same seeds tell the same figures, however many threads there are.
fn play(scene: &Scene, loops: usize, wish: &Wish, book: &mut Book) {
    let threads = wish.threads.max(1);
    let one = |at: usize| {
        let mut marks = Marks::default();
        let of_scene = scene.name.bytes().fold(0_u64, |sum, byte| sum.wrapping_mul(31).wrapping_add(u64::from(byte)));
        (scene.play)(Dice::new((wish.seeds ^ of_scene).wrapping_add((at as u64) << 32)), &mut marks);
        marks
    };
    let share = |first: usize| (first..loops).step_by(threads).map(|at| (at, one(at))).collect::<Vec<_>>();
    let share = &share;
    let mut all: Vec<(usize, Marks)> = std::thread::scope(|scope| {
        let working: Vec<_> = (0..threads).map(|first| scope.spawn(move || share(first))).collect();
        working.into_iter().flat_map(|thread| thread.join().expect("a scene that ends")).collect()
    });
    all.sort_by_key(|(at, _)| *at);
    for (_, marks) in &all {
        book.enter(marks);
    }
}

fn main() -> ExitCode {
    let wish = match Wish::read(std::env::args().skip(1)) {
        Ok(wish) => wish,
        Err(why) => {
            eprintln!("{why}");
            return ExitCode::from(2);
        }
    };
    let begun = Instant::now();
    let mut book = Book::default();
    for scene in SCENES.iter().filter(|scene| wish.only.as_deref().is_none_or(|only| only == scene.name)) {
        let loops = wish.loops * scene.times;
        let start = Instant::now();
        play(scene, loops, &wish, &mut book);
        let seconds = start.elapsed().as_secs_f64();
        eprintln!(
            "{:<10} {loops:>6} loops {seconds:>7.1} s, {:>6.1} ms each",
            scene.name,
            seconds * 1e3 / loops as f64
        );
    }
    println!("{}", table::text(&book));
    println!("{} loops a row; {:.0} s", wish.loops, begun.elapsed().as_secs_f64());
    if wish.store {
        stored::write(&book);
    }
    if wish.quick { stored::compare(&book) } else { ExitCode::SUCCESS }
}
