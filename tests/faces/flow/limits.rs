//! The loop's own limits: asked on its card in both faces, carried into the round, and a gap above the published setting
//! accepted before a raker is filed.

use chrono::{DateTime, FixedOffset};
use evenbite::care::Workshop;
use evenbite::chain::{Corner, LowerKickback, Rule};
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::round::Event;
use evenbite::units::mm;

use super::super::played::{Bench, COLOUR, intake, measured, sound};
use super::asks;

/// A loop of ten cutters of 7.92 mm, all filed, at its rakers; `limits` are the keys of gap, largest gap, lower kickback and
/// corner.
pub(super) fn at_the_rakers(limits: &str) -> Bench {
    let mut bench = Bench::new((80, 24), COLOUR);
    let limits = format!("{}{limits}{}", "enter\n".repeat(4), "enter\n".repeat(3));
    let intake = intake(20, 0, 0).replacen(&"enter\n".repeat(11), &limits, 1);
    bench.run(&intake).run(&sound()).run(&measured(10)).run("enter");
    bench.run(&"enter 7.92\n".repeat(5)).run("enter").run(&"enter 7.92\n".repeat(5));
    bench
}

#[test]
fn a_gap_above_the_published_one_is_accepted_once_a_round_and_never_by_enter() {
    let mut bench = at_the_rakers("enter\nenter\nenter\nenter\n");
    bench.sees("practice: little difference before half worn");
    bench
        .run("enter\n")
        .sees("Above the published 0.65 mm: a proposal, for the bite lost to wear")
        .sees("choose again");
    bench.run("enter\n").sees("Not taken");
    assert_eq!((bench.round().rule, bench.round().accepted), (None, None));
    bench.run("enter\nkey *\n");
    let round = bench.round();
    assert_eq!(round.rule, Some(Rule::Scaled));
    let accepted = round.accepted.unwrap();
    assert!((accepted.setting.get() - 0.65).abs() < 1e-9 && accepted.largest > mm(0.85), "{accepted:?}");
    // Chosen again it is not asked about again.
    bench.run("key /\nenter 2\n");
    assert_eq!(asks(&bench.round()), "1 raker gap");
    let asked = |event: &Event| matches!(event, Event::AboveSetting { .. });
    assert_eq!(bench.round().entries.iter().filter(|entry| asked(&entry.event)).count(), 1);
}

#[test]
fn a_lower_kickback_chain_keeps_its_stamped_gap() {
    let mut bench = at_the_rakers("enter 0.45\nenter\nkey Right Enter\nenter\n");
    bench.sees("lower-kickback chain: never above its setting").sees("recommended: fixed gap, 0.45 mm");
    bench.run("enter 2\n");
    let round = bench.round();
    assert_eq!((round.rule, round.accepted), (Some(Rule::Scaled), None));
    assert!(round.cutters.iter().all(|cutter| round.target_gap(cutter).unwrap() <= mm(0.45)));
}

#[test]
fn the_makers_largest_gap_caps_the_rule_and_needs_no_accepting() {
    let mut bench = at_the_rakers("enter\nenter 0.75\nenter\nenter\n");
    bench.sees("maker's largest gap: 0.75 mm").run("enter 2\n");
    let round = bench.round();
    assert_eq!(round.accepted, None);
    assert!(round.cutters.iter().all(|cutter| round.target_gap(cutter).unwrap() <= mm(0.75)));
}

#[test]
fn a_largest_gap_below_the_stamped_one_is_refused_at_its_field() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run("key n\nenter Twelve\nenter\nenter\nenter\nenter 20\nenter\nenter\nenter\nenter\n");
    bench
        .run("enter 0.65\nenter 0.5\nenter\nenter\nenter\nenter\n")
        .sees("0.50 mm is less than the stamped gap, 0.65 mm");
}

pub(super) fn at() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").unwrap()
}

/// What the plain face says to these lines on an empty folder.
pub(super) fn said(lines: &str) -> (tempfile::TempDir, String) {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack), lines.as_bytes(), &mut out, at, "", false).unwrap();
    (dir, String::from_utf8(out).unwrap())
}

pub(super) const BEGIN: &str = "Ina\nany\nfile\nmm\nlength\nleft\n";

pub(super) fn to_the_rakers() -> String {
    "1\n".repeat(7) + "\n" + &"8.00\n".repeat(10) + "\n" + &"7.92\n".repeat(5) + "\n" + &"7.92\n".repeat(5)
}

#[test]
fn the_plain_face_asks_for_the_limits_too() {
    let lines = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n0.65\n0.5\n0.8\nyes\nsquare\n";
    let (dir, said) = said(&format!("{lines}{BEGIN}"));
    assert!(said.contains("0.50 mm is less than the stamped gap"), "{said}");
    let card = Rack::open(dir.path().join("data")).unwrap().card("twelve").unwrap();
    let own = &card.own;
    assert_eq!((own.base_gap, own.largest_gap), (Some(mm(0.65)), Some(mm(0.8))));
    assert_eq!((own.lower_kickback, own.corner), (LowerKickback::Yes, Corner::Square));
}

#[test]
fn the_plain_face_has_a_gap_above_the_published_one_accepted() {
    let begin = format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}{}", to_the_rakers());
    // Enter alone asks for the recommended one again: it accepts nothing.
    let (_dir, said) = said(&format!("{begin}2\n\n2\nkeep\n"));
    assert_eq!(said.matches("Above the published 0.65 mm: a proposal, for the bite lost to wear").count(), 3, "{said}");
    assert!(said.contains("Type keep to keep it, or choose again.") && said.contains("ACCEPTED"), "{said}");
    assert!(said.contains("Cutter 1, left. Measure the raker gap"), "{said}");
}

#[test]
fn softwood_says_so_and_offers_the_published_gap() {
    let begin = "new\nTwelve\nthree-eighths-narrow\n20\nfull\nleft\n\n\n\n\nIna\nsoftwood\nfile\nmm\nlength\nleft\n";
    let lines = to_the_rakers().replace("8.00", "7.50").replace("7.92", "7.42");
    let (dir, said) = said(&format!("{begin}{lines}1\n4\n"));
    assert!(said.contains("fixed gap, 0.60 mm, unfrozen softwood only"), "{said}");
    assert!(said.contains("4  published gap, 0.45 mm\n"), "{said}");
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!(round.rule, Some(Rule::Setting));
    assert!(round.cutters.iter().all(|cutter| (round.target_gap(cutter).unwrap().get() - 0.45).abs() < 1e-9));
}

#[test]
fn a_profile_from_a_cutter_in_hand_calls_nothing_measured_that_was_not() {
    use evenbite::chain::profile::Standing;
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run("key a\nenter Crew\nenter\nenter 9.8\nenter\nenter 6.1\nenter 0.45\n").run(&"enter\n".repeat(7));
    let crew = bench.rack().profile("crew").unwrap();
    let standing = |key: &str| crew.get(key).unwrap().standing;
    assert_eq!([standing("new_length_mm"), standing("reach_new_mm")], [Standing::Measured; 2]);
    // Stamped, reckoned, and following from the gap: none of them was measured.
    assert_eq!(standing("base_gap_mm"), Standing::Published);
    assert_eq!([standing("reach_mark_mm"), standing("softwood_gap_mm")], [Standing::Proposal; 2]);
    assert!((crew.get("softwood_gap_mm").unwrap().value - 0.60).abs() < 1e-9);
    assert_eq!(standing("back_slope_deg"), Standing::CommonPractice);
    // Only named: nothing of it was measured, and nothing changes.
    bench.run("key a\nenter Same\n").run(&"enter\n".repeat(12));
    let (same, base) = (bench.rack().profile("same").unwrap(), bench.rack().profile("three-eighths").unwrap());
    assert_eq!(same.stated().collect::<Vec<_>>(), base.stated().collect::<Vec<_>>());
    // Measured on the cutter, and said so.
    bench.run("key a\nenter Held\nenter\nenter\nenter\nenter\nenter 0.62\nkey Right Enter\n").run(&"enter\n".repeat(6));
    assert_eq!(bench.rack().profile("held").unwrap().get("base_gap_mm").unwrap().standing, Standing::Measured);
}

#[test]
fn before_it_runs_the_sign_off_reminds_of_burrs_filings_and_the_bar() {
    let lines = format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}{}1\n", to_the_rakers());
    let (_dir, said) = said(&format!("{lines}{}0\n0\n", "0.65\n".repeat(10)));
    assert!(said.contains("burrs: draw hardwood") && said.contains("bar: turn it over"), "{said}");
}
