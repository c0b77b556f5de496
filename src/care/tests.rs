//! Every read behind what is shown made to fail in turn: it is shown as ever, or what could not be read is said.

use chrono::{DateTime, FixedOffset};

use super::{Filter, Workshop};
use crate::record::Sharpener;
use crate::record::faults::testing::{Fault, clear, plan};
use crate::record::import::{Options, Target, Then, preview};
use crate::report::format::DataFormat;
use crate::round::Tool;
use crate::saw::SawEvent;
use crate::units::mm;

fn at() -> DateTime<FixedOffset> {
    "2026-05-01T08:00:00+02:00".parse().unwrap()
}

/// Two loops of one saw, each with a round.
fn workshop(dir: &tempfile::TempDir) -> Workshop {
    let care = Workshop::open(dir.path().join("data")).unwrap();
    let rows = (1..=10).map(|n| format!("{n},{},8.{n:02}\n", if n % 2 == 1 { "left" } else { "right" }));
    let text = format!("cutter,side,length_mm\n{}", rows.collect::<String>());
    let seen = preview(&text, &Options::default(), None).unwrap();
    let figures = Sharpener { name: "Ina".into(), length_u: Some(mm(0.05)), ..Sharpener::default() };
    care.rack.save_sharpener(&figures).unwrap();
    care.rack.add_to_saw("big", at(), &[SawEvent::Note { text: "new bar".into() }]).unwrap();
    for tag in ["one", "two"] {
        let target = Target {
            tag: tag.into(),
            name: tag.into(),
            profile: "three-eighths".into(),
            sharpener: "Ina".into(),
            wood: crate::chain::Wood::Any,
            tool: Tool::File,
            started: at(),
            file: "bench.csv".into(),
            then: Then::Resume,
        };
        care.rack.import(&seen, &target).unwrap();
        care.put_on_card(tag, "big", at()).unwrap();
    }
    care.rack.refresh();
    care
}

/// What is shown, and whether it says that something was not read; nothing where it is refused.
type Shown = Option<(String, bool)>;

fn sweep(name: &str, care: &Workshop, show: impl Fn(&Workshop) -> Shown) {
    let (clean, not_read) = show(care).unwrap();
    assert!(!not_read, "{name}");
    for skip in 0.. {
        plan(skip, 1, Fault::Error);
        let shown = show(care);
        if !clear() {
            assert!(skip > 3, "{name}: only {skip} operations");
            break;
        }
        let Some((text, not_read)) = shown else { continue };
        assert!(text == clean || not_read, "{name}, operation {skip}: not as ever, and not a word of it");
    }
}

#[test]
fn what_cannot_be_read_is_said_wherever_something_rests_on_it() {
    let dir = crate::scratch::folder();
    let care = workshop(&dir);
    sweep("a sheet", &care, |care| {
        let sheet = care.sheet("one", None).ok()?;
        let text = sheet.facts().into_iter().map(|line| format!("{line}\n")).collect();
        Some((text, !sheet.not_read().is_empty()))
    });
    sweep("tags", &care, |care| {
        let tags = care.tags(&[], Filter::InCare, at()).ok()?;
        Some((format!("{tags:?}"), !tags.not_read().is_empty()))
    });
    sweep("a saw", &care, |care| {
        let report = care.saw_report("big").ok()?;
        Some((format!("{report:?}"), !report.not_read().is_empty()))
    });
    sweep("the rack", &care, |care| {
        let found = care.shelves();
        Some((format!("{:?}", found.shelves), !found.problems.is_empty()))
    });
    sweep("an export", &care, |care| {
        let mut out = Vec::new();
        let done = care.export(DataFormat::Json, &mut out).ok()?;
        Some((String::from_utf8(out).unwrap(), !done.problems.is_empty()))
    });
}
