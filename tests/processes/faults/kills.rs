//! The program killed at random times while a plain round is typed.

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::{CUTTERS, Script, Session, plain, starts, whole_round};
use super::oracle::Expected;
use super::tally::Tally;

/// Kills after which a loop is left for a new one.
const SESSIONS: usize = 12;

/// So many kills.
pub(super) fn lap(random: &mut TestRunner, kills: usize, tally: &mut Tally) {
    let mut left = kills;
    while left > 0 {
        let folder = tempfile::tempdir().unwrap();
        let (data, said) = (folder.path().join("data"), folder.path().join("said"));
        let latest = whole_round(&data, &said, random);
        let mut expected = Expected::default();
        for _ in 0..SESSIONS.min(left) {
            let most = random.rng().random_range(1..=CUTTERS);
            let script = Script::next(&data, "bench", most, random);
            if script.readings.is_empty() {
                break;
            }
            expected.typed(&script.readings);
            let session = Session::start(&mut plain(&data), &script.lines, &said);
            std::thread::sleep(latest.mul_f64(random.rng().random_range(0.0..1.0)));
            let heard = session.kill();
            left -= 1;
            tally.kills += 1;
            tally.acknowledged += expected.acknowledged(&super::bench::acknowledged(&heard));
            expected.judge(&data, "bench", "killed", tally);
            if let Err(why) = starts(&data, &said) {
                tally.silent(1, || format!("killed: {why}"));
            }
        }
    }
}
