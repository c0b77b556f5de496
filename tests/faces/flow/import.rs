//! Readings from a file, by keys: what is seen first, what is then on record, and what is not.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::played::{Bench, COLOUR, intake};
use evenbite::chain::{Side, nth};
use evenbite::round::{Ask, Closing, LookItem, Round};
use evenbite::units::mm;

/// A table of so many cutters, left and right in turn.
fn table(header: &str, count: u16, row: impl Fn(u16, &str) -> String) -> String {
    let rows = (1..=count).map(|n| row(n, if n % 2 == 1 { "left" } else { "right" }) + "\n");
    format!("{header}\n{}", rows.collect::<String>())
}

fn in_mm(count: u16) -> String {
    table("cutter,side,length_mm", count, |n, side| format!("{n},{side},8.{:02}", n % 5))
}

struct Desk {
    bench: Bench,
    dir: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        Self { bench: Bench::new((80, 24), COLOUR), dir: crate::scratch::folder() }
    }

    /// A bench with loop twelve (20 drive links) in care.
    fn with_twelve() -> Self {
        let mut desk = Self::new();
        let taken = intake(20, 0, 0).split("key Esc\n").next().unwrap().to_owned() + "key Esc\n";
        desk.bench.run(&taken);
        desk
    }

    fn file(&self, text: &str) -> PathBuf {
        let path = self.dir.path().join("bench table.csv");
        fs::write(&path, text).unwrap();
        path
    }

    /// Opens the screen and pastes the name of a file with that text.
    fn reads(&mut self, text: &str) -> &mut Bench {
        let path = self.file(text);
        self.bench.run(&format!("key i\npaste {}\nkey Enter", path.display()))
    }

    fn round(&self, tag: &str) -> Round {
        let rack = self.bench.rack();
        rack.read_round(rack.rounds(tag).unwrap().last().unwrap()).unwrap()
    }

    fn contents(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        contents(self.bench.rack().root())
    }
}

/// Every file below a folder with its bytes.
fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let Ok(entries) = fs::read_dir(folder) else { return BTreeMap::new() };
    let mut found = BTreeMap::new();
    for path in entries.map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            found.insert(path.clone(), Vec::new());
            found.extend(contents(&path));
        } else {
            found.insert(path.clone(), fs::read(&path).unwrap());
        }
    }
    found
}

/// Keys that answer everything asked for the chosen loop, to the preview.
const CHOSEN: &str = "enter\nenter Ina\nenter\nenter\nenter\nenter";

#[test]
fn readings_for_the_chosen_loop_become_its_open_round() {
    let mut desk = Desk::with_twelve();
    desk.reads(&in_mm(10)).run(CHOSEN);
    desk.bench.sees("Between columns: comma. Decimal sign: point.");
    desk.bench.sees("length_mm = length (mm)").sees("10 understood, 0 refused: 10 lengths before");
    desk.bench.run("key Enter").sees("Nothing is written yet");
    assert!(desk.bench.rack().rounds("twelve").unwrap().is_empty(), "Enter alone must not take it");
    desk.bench.run("key *").sees("Rack").sees("10 rows are on record with loop twelve").sees("open");
    let round = desk.round("twelve");
    assert_eq!(round.header.sharpener, "Ina");
    assert_eq!(round.notes, ["imported from bench table.csv"]);
    assert_eq!(round.cutter(nth(3)).unwrap().before.readings(), [mm(8.03)]);
    assert_eq!(round.step().ask, Ask::Look(LookItem::Cracks));
    desk.bench.run("key Enter").sees("Going on where you stopped");
}

#[test]
fn a_new_loop_is_asked_for_its_chain_and_its_links_and_the_unit_is_never_guessed() {
    let mut desk = Desk::new();
    let text = table("No;Side;Length;Raker gap [mm];Colour", 12, |n, side| format!("{n};{side};0,31{n:02};0,64;red"));
    desk.reads(&text).sees("a new loop").run("enter\nenter Big Saw A\nenter\nenter");
    desk.bench
        .sees("Lengths are in")
        .sees("Length does not say it")
        .run("enter\nenter Ina\nenter\nenter\nenter\nenter");
    desk.bench.sees("whole number from 20 to 400").run("enter 24\n");
    desk.bench.run("enter\nenter\nenter\nenter\nenter\nenter").sees("mm or inches?");
    desk.bench
        .run("key Right Right\nenter\nenter\nenter\nenter\nenter\nkey Right\nenter")
        .sees("When was it measured?");
    desk.bench.run("enter 2026-02-01\nenter\nenter\nenter");
    desk.bench.sees("Between columns: semicolon. Decimal sign: comma.").sees("Length = length (inch)");
    desk.bench
        .sees("Not used: Colour")
        .sees("big-saw-a, new: three-eighths, 24 drive links, cutters full, cutter 1 left");
    assert_eq!(desk.contents(), BTreeMap::new(), "nothing is written before it is taken");
    desk.bench.run("key t");
    let round = desk.round("big-saw-a");
    assert_eq!(round.closed, Some(Closing::Abandoned), "a round of the past");
    let cutter = round.cutter(nth(12)).unwrap();
    assert_eq!((cutter.side, cutter.before.readings().len()), (Side::Right, 1));
    assert!((cutter.before.mean().unwrap().get() - 0.3112 * 25.4).abs() < 1e-3);
    let card = desk.bench.rack().card("big-saw-a").unwrap();
    assert_eq!((card.links, card.name.as_str()), (24, "Big Saw A"));
}

#[test]
fn every_refused_row_is_told_and_nothing_can_be_taken() {
    let mut desk = Desk::with_twelve();
    let text =
        in_mm(10).replace("4,right,8.04", "4,right,8..4").replace("7,left", "7,right").replace("9,left", "2,left");
    let before = desk.contents();
    desk.reads(&text).run(CHOSEN);
    desk.bench.sees("7 understood, 3 refused").sees("line 5: length is \"8..4\"");
    desk.bench.sees("line 8: Cutter 7 is right in the file and left on the loop.");
    desk.bench.sees("line 10: Cutter 2 is already in line 3.").sees("3 rows refused: fix the file");
    desk.bench.run("key * t").sees("3 rows refused: fix");
    assert_eq!(desk.contents(), before);
    // Mended and read again with the answers kept.
    desk.file(&in_mm(10));
    desk.bench
        .run("key /\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter")
        .sees("10 understood, 0 refused")
        .run("key *");
    assert_eq!(desk.round("twelve").cutters.iter().filter(|cutter| !cutter.before.is_empty()).count(), 10);
}

#[test]
fn left_at_any_point_the_folder_is_as_it_was() {
    let mut desk = Desk::with_twelve();
    let before = desk.contents();
    for keys in [
        "key Esc",
        "enter\nkey Esc",
        "enter\nenter Ina\nenter\nenter\nenter\nenter\nkey Esc",
        "enter\nenter Ina\nenter\nenter\nenter\nenter\nkey q",
    ] {
        desk.reads(&in_mm(10)).run(keys).sees("Rack").sees("Nothing was taken.");
        assert_eq!(desk.contents(), before, "{keys}");
    }
}

#[test]
fn a_file_that_cannot_be_read_is_told_at_its_field() {
    let mut desk = Desk::with_twelve();
    for (text, said) in [
        ("", "no line with a header"),
        ("a,b,c\n1,2,3\n", "line 1: The columns cutter, side and length are needed; the header has a, b, c."),
        ("cutter,no,side,length_mm\n", "The columns \"cutter\" and \"no\" mean the same"),
    ] {
        desk.reads(text).sees(said).run("key Esc");
    }
    desk.bench.run("key i\nenter /no/such/table.csv").sees("/no/such/table.csv").run("key Esc");
    desk.bench.run("key i\nenter").sees("File").run("key Esc");
    desk.reads("cutter,side,length_mm\n").run(CHOSEN).sees("The file has a header and no row.");
}

#[test]
fn what_cannot_be_after_all_is_told_and_leaves_nothing() {
    let mut desk = Desk::with_twelve();
    desk.reads(&in_mm(10)).run(CHOSEN).run("key *");
    let before = desk.contents();
    // The loop has an open round now.
    desk.reads(&in_mm(10)).run(CHOSEN).run("key *").sees("Nothing was taken.").sees("has an open round");
    desk.bench.run("key Esc");
    desk.reads(&in_mm(10)).run("key Right\nenter\nenter Thirteen\nenter Ina\nenter\nenter\nenter\nenter");
    desk.bench.sees("There is no loop thirteen in care").run("key Esc");
    assert_eq!(desk.contents(), before);
}

#[test]
fn a_long_file_scrolls_to_its_end_and_back() {
    let mut desk = Desk::new();
    desk.reads(&in_mm(100)).run("enter\nenter Long\nenter\nenter 200\nenter Ina\nenter\nenter\nenter\nenter");
    desk.bench.run("key End").sees("101 100 right 8.00").run("key Home").sees("Between columns");
    desk.bench.run("key PgDn PgDn Up Down PgUp PgUp").sees("Between columns");
    desk.bench.run("key *").sees("> Long");
    assert_eq!(desk.round("long").cutters.len(), 100);
    desk.reads(&in_mm(10))
        .run("key Right Right\nenter\nenter Zweite\nenter\nenter 20\nenter Ina\nenter\nenter\nenter\nenter\nkey *");
    desk.bench.sees("> Zweite");
}
