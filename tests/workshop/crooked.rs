//! Rounds that go wrong on the way, led line by line: what the owner's page, the sheet, the history and the tag then say.

use crate::invented::{at, rack, target};
use evenbite::care::{Filter, Workshop};
use evenbite::record::Rack;
use evenbite::record::import::{Options, Then, preview};
use evenbite::report::Format;
use evenbite::units::Unit;

/// What is read of a loop at the end, without its line ends.
struct Read {
    owner: String,
    sheet: String,
    history: String,
    tag: String,
    talk: String,
}

impl Read {
    fn pages(&self) -> [&str; 4] {
        [&self.owner, &self.sheet, &self.history, &self.tag]
    }
}

#[track_caller]
fn has(page: &str, words: &[&str]) {
    for words in words {
        assert!(page.contains(words), "{words:?} is not said\n{page}");
    }
}

#[track_caller]
fn lacks(page: &str, words: &[&str]) {
    for words in words {
        assert!(!page.contains(words), "{words:?} is said\n{page}");
    }
}

fn said(page: &str) -> String {
    page.split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ")
}

/// Leads through the dialogue and reads what is then said of the loop.
fn led(rack: &Rack, tag: &str, lines: &str) -> Read {
    let care = Workshop::from(rack.clone());
    let mut talk = Vec::new();
    evenbite::plain::run(&care, lines.as_bytes(), &mut talk, || at(3), "", false).unwrap();
    let sheet = care.sheet(tag, None).unwrap();
    let tags = care.tags(&[tag.to_owned()], Filter::InCare, at(4)).unwrap();
    Read {
        owner: said(&sheet.owner_text(true)),
        sheet: said(&sheet.text(true)),
        history: said(&care.history(tag).unwrap().render(Format::Text, Unit::Mm, true)),
        tag: said(&tags.render(Format::Text, Unit::Mm, true)),
        talk: String::from_utf8(talk).unwrap(),
    }
}

pub(crate) fn several(times: usize, line: &str) -> String {
    format!("{line}\n").repeat(times)
}

/// A new loop `crooked`, looked over and found sound, up to the first length.
fn intake(links: u16, tool: &str) -> String {
    intake_of(links, tool, "length")
}

/// The same with these readings at each cutter.
pub(crate) fn intake_of(links: u16, tool: &str, readings: &str) -> String {
    let asked =
        format!("new\ncrooked\nthree-eighths\n{links}\nfull\nleft\n\n\n\n\nIna\nany\n{tool}\nmm\n{readings}\nleft\n");
    asked + &several(7, "1") + "0.00\n"
}

/// Twelve cutters: measured and filed a tenth down.
fn filed() -> String {
    [intake(24, "file"), several(12, "8.11"), several(1, ""), filed_down()].concat()
}

fn filed_down() -> String {
    [several(6, "8.00"), several(1, ""), several(6, "8.00")].concat()
}

#[test]
fn a_crack_found_at_cutter_20_is_told_by_every_page() {
    let (_dir, rack) = rack();
    let read = led(&rack, "crooked", &(intake(48, "file") + &several(20, "8.02") + "reject cutters 20 a crack\n1\n"));
    has(&read.owner, &["DO NOT USE: rejected, cutter 20 (a crack).", "The look-over found no fault;"]);
    lacks(&read.owner, &["no cracks"]);
    has(&read.sheet, &["7 of 7 points sound. What it is rejected for was found later.", "No rounds are counted"]);
    has(&read.history, &["No rounds are counted while the loop is held back."]);
    has(&read.tag, &["DO NOT USE: rejected"]);
    for page in read.pages() {
        lacks(page, &["rounds left", "Advised for this wear", "would be lost", "round file 5", "worth it"]);
    }
}

#[test]
fn damage_found_at_the_proof_and_kept_is_no_loop_without_a_fault() {
    let (_dir, rack) = rack();
    let proof = [filed(), several(1, "1"), several(12, "0.65"), "\n\ndamaged 5 0.6\n\n\n1\n".to_owned()].concat();
    let read = led(&rack, "crooked", &proof);
    has(&read.talk, &["SIGNED OFF"]);
    has(&read.owner, &["Cutter 5 is damaged.", "Cutter 5 keeps its damage on purpose", "Cutter 5 is still damaged."]);
    lacks(&read.owner, &["No fault is known", "Cutter 5 was left short"]);
    has(&read.sheet, &["Damaged: cutter 5."]);
}

#[test]
fn a_repaired_cutter_is_told_in_the_past() {
    let (_dir, rack) = rack();
    let lines =
        [intake(24, "file"), several(4, "8.11"), "damaged 5 0.1\n".to_owned(), several(8, "8.11"), several(1, "")];
    let read = led(
        &rack,
        "crooked",
        &[lines.concat(), filed_down(), several(1, "1"), several(12, "0.65"), "\n\n\n1\n".into()].concat(),
    );
    has(&read.talk, &["SIGNED OFF"]);
    has(&read.owner, &["Cutter 5 was damaged; the damage was filed out.", "No fault is known"]);
    lacks(&read.owner, &["still damaged", "is damaged"]);
    has(&read.sheet, &["Damaged, the damage filed out: cutter 5."]);
}

#[test]
fn half_the_readings_missing_is_said_of_every_sum() {
    let (_dir, rack) = rack();
    let side = several(3, "8.00") + &several(3, "");
    let lines =
        [intake(24, "file"), several(6, "8.11"), "enough\n\n".into(), side.clone(), "\n".into(), side, "1\n".into()];
    let read =
        led(&rack, "crooked", &[lines.concat(), several(6, "0.65"), several(6, ""), "\n\n\n1\n".into()].concat());
    has(&read.talk, &["SIGNED OFF", "6 of 6 measured cutters are worn more than", "; 6 not measured."]);
    has(
        &read.owner,
        &[
            "That took 2 % of their usable length, as far as measured.",
            "Depth gauges (rakers): 6 of 12 measured, set for a fixed gap",
            "too little is proven",
        ],
    );
    has(&read.sheet, &["6 of 6 measured cutters are worn more than 1.82 mm; 6 not measured."]);
    lacks(&read.talk, &[".)", ".,"]);
}

#[test]
fn an_imported_loop_with_scaled_gaps_is_not_said_to_be_set_for_the_fixed_one() {
    let (_dir, rack) = rack();
    let row = |n: u16| format!("{n},{},7.50,7.20,0.98,0.98\n", if n % 2 == 1 { "left" } else { "right" });
    let head = "cutter,side,length_before_mm,length_after_mm,gap_before_mm,gap_after_mm\n".to_owned();
    let table = (1..=12).fold(head, |table, n| table + &row(n));
    let seen = preview(&table, &Options { unit: Some(Unit::Mm), ..Options::default() }, None).unwrap();
    rack.import(&seen, &target("kept", Then::Keep)).unwrap();
    rack.import(&seen, &target("crooked", Then::Resume)).unwrap();
    let kept = led(&rack, "kept", "");
    has(&kept.owner, &["no gap was chosen; they are judged by a gap that grows as the cutters wear, target"]);
    has(&kept.sheet, &["No rule was chosen: the gaps are judged by the wear-scaled gap, which 12 of 12 fit."]);
    has(&kept.tag, &["they fit the wear-scaled gap"]);
    let fixed = led(&rack, "crooked", &("crooked\n".to_owned() + &several(7, "1") + "\n\n1\n"));
    has(&fixed.owner, &["TOO LOW for the fixed gap", "all measured; aim: a fixed gap, target 0.65 mm"]);
    lacks(&fixed.owner, &["set for"]);
}

#[test]
fn pages_of_a_grinder_know_no_file() {
    let (_dir, rack) = rack();
    let ground = ["\n\n\n\n".to_owned(), several(2, "8.00"), "\n".into(), several(5, "8.00")].concat();
    let lines =
        [intake(24, "grinder"), several(12, "8.11"), ground, "1\n".into(), several(12, "0.65"), "\n\n\n1\n".into()];
    let read = led(&rack, "crooked", &lines.concat());
    has(&read.talk, &["SIGNED OFF"]);
    has(&read.owner, &["The cutters were ground, the aim was 7.99 mm."]);
    has(&read.sheet, &["Against the length ground to", "Length after grinding: 5 of 12"]);
    has(&read.tag, &["ground to 7.99 mm", "Ready"]);
    for page in [&read.owner, &read.sheet, &read.tag] {
        // The standing cautions are of rakers, which are filed in any case.
        let before = page.split("- Cautions -").next().unwrap();
        lacks(before, &["round file", "filed", "filing", "troke"]);
    }
}
