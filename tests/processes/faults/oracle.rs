//! What must be on record, and what may be.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use evenbite::record::Rack;
use evenbite::units::mm;

use super::bench::{Typed, shown};
use super::tally::Tally;

/// What was typed into one loop and what of it was acknowledged, over any number of sessions.
#[derive(Debug, Clone, Default)]
pub(super) struct Expected {
    typed: BTreeSet<Typed>,
    acknowledged: BTreeMap<u16, i32>,
}

impl Expected {
    pub(super) fn typed(&mut self, readings: &[Typed]) {
        self.typed.extend(readings);
    }

    /// Takes acknowledgements in; how many are new.
    pub(super) fn acknowledged(&mut self, readings: &[Typed]) -> usize {
        let before = self.acknowledged.len();
        self.acknowledged.extend(readings.iter().copied());
        self.acknowledged.len() - before
    }

    /// Holds the record of the loop against it.
    pub(super) fn judge(&self, data: &Path, tag: &str, when: &str, tally: &mut Tally) {
        let (found, read) = on_record(data, tag);
        let lost: Vec<String> = self
            .acknowledged
            .iter()
            .filter(|(cutter, hundredths)| !found.contains(&(**cutter, **hundredths)))
            .map(|(cutter, hundredths)| format!("cutter {cutter} {}", shown(*hundredths)))
            .collect();
        tally.lost(lost.len(), || format!("{when}: {} ({read})", lost.join(", ")));
        // A cutter is measured once; a second reading at it is one more than was typed.
        let mut seen = BTreeSet::new();
        let fits = |reading: &&Typed| !self.typed.contains(*reading) || !seen.insert(reading.0);
        let invented: Vec<&Typed> = found.iter().filter(fits).collect();
        tally.invented(invented.len(), || format!("{when}: {invented:?}"));
    }
}

/// All lengths on record for a loop in its last round, and what kept them from being read.
fn on_record(data: &Path, tag: &str) -> (Vec<Typed>, String) {
    let read = || -> Result<Vec<Typed>, Box<dyn std::error::Error>> {
        let rack = Rack::open(data.to_owned())?;
        let mut found = Vec::new();
        for path in rack.rounds(tag)? {
            for cutter in rack.read_round(&path)?.cutters {
                for reading in cutter.before.readings() {
                    found.push((cutter.number.get(), hundredths(reading.get())));
                }
            }
        }
        Ok(found)
    };
    match read() {
        Ok(found) => (found, "the record was read".to_owned()),
        Err(error) => (Vec::new(), error.to_string()),
    }
}

#[allow(clippy::cast_possible_truncation, reason = "lengths are below a thousand millimetres")]
fn hundredths(length: f64) -> i32 {
    let hundredths = (length * 100.0).round() as i32;
    // A record with finer figures than were typed must not pass for what was typed.
    if mm(f64::from(hundredths) / 100.0) == mm(length) { hundredths } else { -1 }
}

#[test]
fn the_oracle_sees_what_is_lost_and_what_is_invented() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let said = dir.path().join("said");
    let script = super::bench::Script::next(&data, "bench", 3, &mut super::runner(1));
    let (status, said) = super::bench::Session::start(&mut super::bench::plain(&data), &script.lines, &said).end();
    assert!(status.unwrap().success(), "{said}");
    let acknowledged = super::bench::acknowledged(&said);
    assert_eq!(acknowledged, script.readings, "{said}");

    let mut expected = Expected::default();
    expected.typed(&script.readings);
    expected.acknowledged(&acknowledged);
    let judged = |expected: &Expected| {
        let mut tally = Tally::default();
        expected.judge(&data, "bench", "test", &mut tally);
        (tally.lost, tally.invented)
    };
    assert_eq!(judged(&expected), (0, 0));
    let mut more = expected.clone();
    more.acknowledged(&[(4, 805)]);
    assert_eq!(judged(&more), (1, 0), "an acknowledged reading that is not there");
    let mut fewer = Expected::default();
    fewer.typed(&script.readings[..2]);
    assert_eq!(judged(&fewer), (0, 1), "a reading that was never typed");
    std::fs::remove_dir_all(data.join("loops")).unwrap();
    assert_eq!(judged(&expected), (3, 0));
}
