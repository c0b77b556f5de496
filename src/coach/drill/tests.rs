//! A learner led through sets.

use super::*;
use crate::drill::LearnerHeader;
use crate::stats::cusum::Cusum;

fn at() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").unwrap()
}

fn bench(unit: Unit) -> DrillBench {
    let header = LearnerHeader { tag: "ada".into(), name: "Ada".into(), started: at() };
    DrillBench::new(Learner::replay(header, Vec::new()), unit)
}

/// Stores and folds an event; what is said.
fn store(bench: &mut DrillBench, event: DrillEvent) -> Vec<String> {
    let seq = u32::try_from(bench.learner.entries.len()).unwrap() + 1;
    bench.recorded(DrillEntry { seq, at: at(), event })
}

fn say(bench: &mut DrillBench, line: &str) -> Vec<String> {
    let event = bench.answer(line).unwrap();
    event.map(|event| store(bench, event)).unwrap_or_default()
}

fn pass_measuring(bench: &mut DrillBench) -> Vec<String> {
    bench.begin(Drill::MeasureTwice, 4, at()).unwrap();
    say(bench, "");
    let mut last = Vec::new();
    while let Some(prompt) = bench.prompt() {
        last = say(bench, if prompt.place.ends_with("zero") { "0" } else { "7.51" });
    }
    last
}

#[test]
fn filing_drills_wait_for_readings_that_repeat() {
    let mut bench = bench(Unit::Mm);
    assert!(bench.begin(Drill::SetGap, 1, at()).unwrap_err().contains("Measure twice"));
    let said = pass_measuring(&mut bench).join(" ");
    assert!(said.contains("is passed") && said.contains("rounding, not the hand"), "{said}");
    assert!(said.contains("too early, 1 of at least 16 sets"), "{said}");
    bench.begin(Drill::SetGap, 1, at()).unwrap();
    say(&mut bench, "");
    assert!(bench.answer("").is_err(), "the limit of the loop must be known");
    say(&mut bench, "0.9");
    assert!(bench.answer("0.95").unwrap_err().contains("0.90 mm"));
    say(&mut bench, "0.75");
    assert_eq!(bench.prompt().unwrap().facts, ["set 0.75 mm"]);
}

#[test]
fn each_is_told_in_the_first_set_and_a_guess_before_it() {
    let mut bench = bench(Unit::Mm);
    bench.begin(Drill::HoldAngle, 1, at()).unwrap();
    say(&mut bench, "");
    say(&mut bench, "");
    assert_eq!(say(&mut bench, "35"), ["Cutter 1: miss, 5.0 degrees too large."]);
    assert_eq!(say(&mut bench, "30"), ["Cutter 2: good, exactly right."]);
    assert!(say(&mut bench, "35").is_empty(), "a guess comes first");
    assert!(bench.prompt().unwrap().question.contains("1 smaller, 2 right, 3 larger"));
    assert!(bench.answer("4").is_err() && bench.answer("").is_err());
    let said = say(&mut bench, "2");
    assert_eq!(said[1], "You said right; it came out larger.");
    let back = bench.back().unwrap();
    store(&mut bench, back);
    assert!(bench.prompt().unwrap().question.contains("Before you are told"));
    let end = bench.break_off().unwrap();
    store(&mut bench, end);
    assert!(!bench.is_busy() && bench.rows(at())[3].stands == "not begun");
}

#[test]
fn later_sets_are_told_less_and_all_of_it_at_the_end() {
    let mut bench = bench(Unit::Mm);
    let mut told = Vec::new();
    for _ in 0..4 {
        bench.begin(Drill::HoldAngle, 1, at()).unwrap();
        let mut said = Vec::new();
        while let Some(prompt) = bench.prompt() {
            let line = match prompt.field.as_str() {
                "1, 2 or 3" => "2",
                _ if prompt.place.contains("cutter 4 of") => "37",
                _ if prompt.place.contains("before") => "",
                _ => "30",
            };
            said.push(say(&mut bench, line).len());
        }
        told.push(said.iter().filter(|n| **n > 0).count());
    }
    // Each of twelve and the turn; the miss, the turn and the end; two halves; the turn and the end.
    assert_eq!(told, [12, 3, 2, 2]);
    assert!(bench.begin(Drill::HoldAngle, 1, at()).unwrap_err().contains("4 sets"));
    assert!(bench.learner.has_passed(Drill::HoldAngle));
}

#[test]
fn filing_stops_at_the_witness_mark_and_at_the_loops_limit() {
    let mut bench = bench(Unit::Mm);
    pass_measuring(&mut bench);
    bench.begin(Drill::StopAtLength, 1, at()).unwrap();
    for line in ["", "3.0"] {
        say(&mut bench, line);
    }
    let short = bench.answer("3.39").unwrap_err();
    assert!(short.contains("past the witness mark, 3.00 mm"), "{short}");
    for line in ["3.40", "4", "3.00"] {
        say(&mut bench, line);
    }
    let stop = bench.prompt().unwrap();
    assert!(stop.question.starts_with("STOP: cutter 1 is at the witness mark") && !bench.may_be_sent(), "{stop:?}");
    assert!(bench.answer("3.30").is_err());
    let back = bench.back().unwrap();
    store(&mut bench, back);
    say(&mut bench, "3.05");
    assert!(!bench.prompt().unwrap().question.contains("STOP"), "what was a slip of reading is taken back");
    let end = bench.break_off().unwrap();
    store(&mut bench, end);
    assert!(bench.learner.whole(Drill::StopAtLength).is_empty(), "a set that was stopped counts as nothing");
    bench.begin(Drill::SetGap, 1, at()).unwrap();
    for line in ["", "0.9", "0.85"] {
        say(&mut bench, line);
    }
    assert!(bench.answer("0.90").unwrap_err().contains("limit of 0.90 mm already"));
    for line in ["0.70", "0.91"] {
        say(&mut bench, line);
    }
    let stop = bench.prompt().unwrap().question;
    assert!(stop.starts_with("STOP: raker 1 leaves more than this loop's limit of 0.90 mm"), "{stop}");
    for drill in [Drill::SameStrokes, Drill::StopAtLength, Drill::SetGap, Drill::SeeEdge] {
        let about = bench.about(drill).join(" ");
        assert!(about.contains("mark") || about.contains("limit"), "{drill}: {about}");
    }
}

#[test]
fn inches_are_asked_for_and_told() {
    let mut bench = bench(Unit::Inch);
    pass_measuring_inch(&mut bench);
    bench.begin(Drill::StopAtLength, 1, at()).unwrap();
    say(&mut bench, "");
    assert!(bench.answer("").is_err(), "the mark of the loop must be known");
    say(&mut bench, "0.118");
    assert!(bench.prompt().unwrap().field.ends_with("in"));
    say(&mut bench, "0.3");
    assert!(bench.prompt().unwrap().facts[0].ends_with("in"));
    assert!(bench.answer("7.5").is_err() && bench.answer("4").is_ok());
}

fn pass_measuring_inch(bench: &mut DrillBench) {
    bench.begin(Drill::MeasureTwice, 4, at()).unwrap();
    say(bench, "");
    while let Some(prompt) = bench.prompt() {
        say(bench, if prompt.place.ends_with("zero") { "0" } else { "0.295" });
    }
}

#[test]
fn the_curve_is_a_sign_a_set_and_marks_where_it_turned() {
    let units: Vec<bool> = std::iter::repeat_n(true, 16).chain([false; 4]).collect();
    let steps = Cusum::default().walk(&units);
    let line = words::curve_line(&steps, Cusum::default().limit(), true);
    assert_eq!((line.len(), line.find('!'), line.rfind('!')), (20, Some(15), Some(19)));
    let shown = words::curve_line(&steps, Cusum::default().limit(), false);
    assert!(shown.chars().count() == 20 && shown.starts_with('▁'), "{shown}");
}
