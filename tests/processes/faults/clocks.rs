//! The clock set back and forth in the middle of a round, by the wish `at` of a rehearsal.

use std::process::Command;

use chrono::{DateTime, TimeDelta};
use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::{CUTTERS, Script, Session, acknowledged, plain, program, shown, starts};
use super::oracle::Expected;
use super::tally::Tally;

/// Jumps in one round.
const JUMPS: usize = 12;

/// So many rounds.
pub(super) fn lap(random: &mut TestRunner, rounds: usize, tally: &mut Tally) {
    for _ in 0..rounds {
        let folder = tempfile::tempdir().unwrap();
        let (data, said) = (folder.path().join("data"), folder.path().join("said"));
        let mut expected = Expected::default();
        let script = Script::next(&data, "bench", 2, random);
        let (_, heard) = Session::start(&mut plain(&data), &script.lines, &said).end();
        expected.typed(&script.readings);
        expected.acknowledged(&acknowledged(&heard));
        // Some of the jumps while it works, some between one session and the next.
        let mut cutter = 3;
        while cutter < CUTTERS {
            let mut lines = format!("at {}\nkey Enter\n", time(random));
            let mut readings = Vec::new();
            for _ in 0..random.rng().random_range(1..=JUMPS).min(usize::from(CUTTERS - cutter)) {
                let hundredths = 800 + i32::from(cutter % 10);
                lines.push_str(&format!("at {}\nline {}\nshow {cutter}\n", time(random), shown(hundredths)));
                readings.push((cutter, hundredths));
                cutter += 1;
            }
            tally.jumps += readings.len() + 1;
            expected.typed(&readings);
            let mut command = Command::new(program());
            command.arg("--data").arg(&data).args(["rehearse", "-"]);
            let (status, heard) = Session::start(&mut command, &lines, &said).end();
            let taken = acknowledged(&heard);
            let missing = readings.iter().filter(|reading| !taken.contains(reading)).count();
            tally.silent(missing, || format!("clock jumps: not acknowledged ({status:?}): {heard}"));
            tally.acknowledged += expected.acknowledged(&taken);
            expected.judge(&data, "bench", "clock jumps", tally);
        }
        if let Err(why) = starts(&data, &said) {
            tally.silent(1, || format!("clock jumps: {why}"));
        }
    }
}

/// A time between 1970 and 2100.
fn time(random: &mut TestRunner) -> String {
    let seconds = random.rng().random_range(0..4_102_444_800_i64);
    (DateTime::UNIX_EPOCH + TimeDelta::seconds(seconds)).to_rfc3339()
}
