//! Two to eight programs at once on one folder: some on the same loop, some each on one of its own.

use std::path::Path;

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::{CUTTERS, Script, Session, Typed, acknowledged, plain, shown, starts};
use super::oracle::Expected;
use super::tally::Tally;

/// So many folders.
pub(super) fn lap(random: &mut TestRunner, folders: usize, tally: &mut Tally) {
    for _ in 0..folders {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("data");
        let script = Script::next(&data, "bench", 2, random);
        let (_, heard) = Session::start(&mut plain(&data), &script.lines, &folder.path().join("said")).end();
        let mut shared = Expected::default();
        shared.typed(&script.readings);
        shared.acknowledged(&acknowledged(&heard));
        let count = random.rng().random_range(2..=8_usize);
        at_once(folder.path(), &data, count, shared, random, tally);
        tally.instances += count;
        if let Err(why) = starts(&data, &folder.path().join("said")) {
            tally.silent(1, || format!("{count} instances: {why}"));
        }
    }
}

fn at_once(folder: &Path, data: &Path, count: usize, mut shared: Expected, random: &mut TestRunner, tally: &mut Tally) {
    let when = format!("{count} instances");
    let mut running = Vec::new();
    for n in 0..count {
        let said = folder.join(format!("said{n}"));
        // The first two go on with one loop, of the others every second too.
        let same = n < 2 || n % 2 == 0;
        let (tag, lines, readings) = if same {
            // Each with a figure of its own, taken at whatever cutter the round has come to.
            let figure = 800 + i32::try_from(n).unwrap();
            let readings: Vec<Typed> = (1..=CUTTERS).map(|cutter| (cutter, figure)).collect();
            ("bench".to_owned(), format!("bench\n{}", format!("{}\n", shown(figure)).repeat(8)), readings)
        } else {
            let tag = format!("own{n}");
            let script = Script::next(data, &tag, 8, random);
            (tag, script.lines, script.readings)
        };
        running.push((tag, readings, Session::start(&mut plain(data), &lines, &said)));
    }
    let mut own = Vec::new();
    for (tag, readings, session) in running {
        let (status, heard) = session.end();
        let taken = acknowledged(&heard);
        let whole = taken.len() == 8;
        let refused = status.is_some_and(|status| !status.success())
            // On a slow machine one begins after others have ended, and may find all cutters measured: each line is then refused.
            || taken.len() + heard.matches("No kept cutter can reach").count() == 8;
        tally.silent(usize::from(!whole && !refused), || format!("{when}, {tag}: {heard}"));
        if tag == "bench" {
            shared.typed(&readings);
            tally.acknowledged += shared.acknowledged(&taken);
        } else {
            let mut expected = Expected::default();
            expected.typed(&readings);
            tally.acknowledged += expected.acknowledged(&taken);
            own.push((tag, expected));
        }
    }
    shared.judge(data, "bench", &when, tally);
    for (tag, expected) in own {
        expected.judge(data, &tag, &when, tally);
    }
}
