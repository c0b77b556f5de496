//! Most rakers of a loop off the same way: one verdict for the loop comes first, and they can be judged by the rule they fit.

use evenbite::care::Workshop;
use evenbite::chain::Rule;
use evenbite::plain;
use evenbite::record::Rack;

use super::limits::{BEGIN, at, at_the_rakers, to_the_rakers};

#[test]
fn the_proof_names_the_rule_that_the_gaps_fit_and_judges_by_it() {
    // 7.92 mm is past the changeover: 0.90 mm is the wear-scaled gap.
    let mut bench = at_the_rakers("enter\nenter\nenter\nenter\n");
    // Until there are five the fault is one of each cutter.
    bench.run("enter 1\n").run(&"enter 0.90\nenter 0\n".repeat(4)).run("enter 0.90\n");
    bench.sees("all rakers: TOO LOW; most fit the wear-scaled gap");
    bench.run(&"enter 0.90\n".repeat(5)).run("enter 0\n");
    bench.sees("10 of 10 rakers are TOO LOW for the fixed gap").sees("judge them by the wear-scaled gap");
    bench.run("enter -\n").sees("Above the published 0.65 mm");
    bench.run("key *\n");
    assert_eq!(bench.round().rule, Some(Rule::Scaled));
    bench.sees("Nothing to redo");
}

#[test]
fn the_plain_face_says_it_first_and_takes_the_same_answer() {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let begin = format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}{}", to_the_rakers());
    let lines = format!("{begin}1\n{}{}0\n-\nkeep\n", "0.90\n0\n".repeat(4), "0.90\n".repeat(6));
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack), lines.as_bytes(), &mut out, at, "", false).unwrap();
    let said = String::from_utf8(out).unwrap();
    let verdict = said.find("10 of 10 rakers are TOO LOW for the fixed gap (0.65 mm)").expect(&said);
    assert!(verdict < said.find("-  judge them by the wear-scaled gap").expect(&said), "{said}");
    assert!(said.contains("Nothing to redo"), "{said}");
}
