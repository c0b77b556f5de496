//! The figures of the last run of each scene, that quick runs are held to.

use std::process::ExitCode;

use super::table::ROWS;
use super::tally::{Book, Z999};

fn path() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/truth/stored.csv")
}

/// Writes the figures of a run, each with its 99.9 % interval; those of scenes that were not played stay.
pub(crate) fn write(book: &Book) {
    let stored = std::fs::read_to_string(path()).expect("stored figures");
    let mut text = "name,value,low,high,loops\n".to_owned();
    for row in ROWS {
        let name = format!("\"{}\",", row.name);
        let measured = book.0.get(row.name).and_then(|tally| {
            let (value, (low, high)) = (tally.value()?, tally.interval(row.kind, Z999)?);
            Some(format!("{name}{value:.5},{low:.5},{high:.5},{}", tally.loops()))
        });
        let known = || stored.lines().find(|line| line.starts_with(&name)).map(str::to_owned);
        if let Some(line) = measured.or_else(known) {
            text.push_str(&line);
            text.push('\n');
        }
    }
    std::fs::write(path(), text).expect("the figures are written");
}

/// Fails where the 99.9 % interval of this run's figure keeps clear of the stored one's.
pub(crate) fn compare(book: &Book) -> ExitCode {
    let mut reader = csv::Reader::from_path(path()).expect("stored figures");
    let mut bad = 0;
    for line in reader.records() {
        let line = line.expect("a line of the stored figures");
        let figure = |at: usize| line[at].parse::<f64>().expect("a figure");
        let name = &line[0];
        let Some(row) = ROWS.iter().find(|row| row.name == name) else {
            println!("stored and no row of the table: {name}");
            bad += 1;
            continue;
        };
        let Some((low, high)) = book.0.get(name).and_then(|tally| tally.interval(row.kind, Z999)) else { continue };
        if high < figure(2) || low > figure(3) {
            println!(
                "{}: {:.4} to {:.4} is stored, this run tells {low:.4} to {high:.4}",
                row.says,
                figure(2),
                figure(3)
            );
            bad += 1;
        }
    }
    println!("{bad} figures outside their 99.9 % interval");
    if bad == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
