//! A large invented workshop, written fast: whole rounds are worked once, and their copies differ only in the header.

use std::fs;
use std::path::Path;

use evenbite::record::{Rack, SUFFIX};

use super::{at, card, whole_round};

/// A figure of the environment, such as `SCALE_LOOPS`.
pub(crate) fn number(name: &str, default: u32) -> u32 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(default)
}

/// Rounds of one loop worn down a little each time; a loop with more begins again with the first.
const LENGTHS: [f64; 10] = [10.0, 9.6, 9.2, 8.8, 8.4, 8.0, 7.6, 7.2, 6.8, 6.4];

/// `loops` loops of `rounds` rounds of 72 cutters, and loop `long` of `long` rounds. Nothing is synced.
pub(crate) fn fill(root: &Path, loops: u32, rounds: u32, long: u32) {
    let rack = Rack::open(root.to_owned()).unwrap();
    let model = card("model", 144);
    rack.create_loop(&model).unwrap();
    for (day, length) in (0..).zip(LENGTHS) {
        whole_round(&rack, &model, at(day), "Ina", length);
    }
    let read = |path: &std::path::PathBuf| fs::read_to_string(path).unwrap();
    let templates: Vec<String> = rack.rounds("model").unwrap().iter().map(read).collect();
    let text = fs::read_to_string(root.join("loops/model/loop.toml")).unwrap();
    let add = |tag: &str, rounds: u32| {
        let folder = root.join("loops").join(tag);
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("loop.toml"), text.replace("model", tag)).unwrap();
        for (day, template) in (1..=rounds).zip(templates.iter().cycle()) {
            let (name, round) = another(template, tag, day);
            fs::write(folder.join(name), round).unwrap();
        }
    };
    for n in 0..loops {
        add(&format!("loop-{n:05}"), rounds);
    }
    add("long", long);
}

/// The same round under another loop and another start; only the header, and so its check sum, differs.
fn another(template: &str, tag: &str, day: u32) -> (String, String) {
    let started = at(i64::from(day));
    let (header, events) = template.split_once("\n\n").unwrap();
    let header: String = header
        .lines()
        .filter(|line| !line.starts_with("crc = "))
        .map(|line| match line.split_once(" = ") {
            Some(("loop", _)) => format!("loop = \"{tag}\"\n"),
            Some(("started", _)) => format!("started = \"{}\"\n", started.to_rfc3339()),
            _ => format!("{line}\n"),
        })
        .collect();
    let crc = crc32fast::hash(header.as_bytes());
    let name = format!("{}{SUFFIX}", started.to_utc().format("%Y%m%dT%H%M%SZ"));
    (name, format!("{header}crc = \"{crc:08x}\"\n\n{events}"))
}
