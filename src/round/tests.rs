pub(crate) mod intake;

use super::*;
use crate::chain::nth;
use crate::chain::{CutterNumber, Rule};
use crate::units::{deg, mm};
use intake::header;

struct Bench(Round);

impl Bench {
    fn new(links: u16, tool: Tool) -> Self {
        Self(Round::begin(Header { tool, ..header(links) }).unwrap())
    }

    fn put(&mut self, event: Event) -> &mut Self {
        self.0.check(&event).unwrap();
        let seq = u32::try_from(self.0.entries.len()).unwrap() + 1;
        self.0.apply(Entry { seq, at: self.0.header.started, by: None, typed: None, event });
        self
    }

    fn undo(&mut self) -> &mut Self {
        let target = self.0.last_voidable().unwrap().seq;
        self.put(Event::Void { target })
    }

    fn ask(&self) -> (Option<u16>, Ask) {
        let step = self.0.step();
        (step.cutter.map(CutterNumber::get), step.ask)
    }

    fn sound(&mut self) -> &mut Self {
        for item in LookItem::ALL {
            self.put(Event::Looked { item, finding: Finding::Sound, note: None });
        }
        self
    }

    fn length(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Length { cutter: nth(cutter), when, mm: mm(value), again: false })
    }

    fn measured(&mut self, value: f64) -> &mut Self {
        for cutter in 1..=self.0.layout.count() {
            self.length(cutter, When::Before, value);
        }
        self
    }

    fn target(&mut self, value: f64) -> &mut Self {
        self.put(Event::Target { mm: mm(value), left_short: vec![], recommended: true })
    }

    fn file(&mut self, cutter: u16, value: f64) -> &mut Self {
        self.put(Event::Strokes { cutter: nth(cutter), count: 3 });
        self.length(cutter, When::After, value);
        self.put(Event::Angle { cutter: nth(cutter), deg: deg(30.0), again: false })
    }

    fn gap(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Gap { cutter: nth(cutter), when, mm: mm(value), again: false })
    }
}

/// 20 drive links: cutters 1 to 10, odd ones left.
fn ready_to_file() -> Bench {
    let mut bench = Bench::new(20, Tool::File);
    bench.sound().measured(9.0).target(8.8);
    bench
}

#[test]
fn a_round_goes_from_look_over_to_sign_off() {
    let mut bench = ready_to_file();
    for cutter in [1, 3, 5, 7, 9] {
        assert_eq!(bench.ask(), (Some(cutter), Ask::Read(Reading::Strokes)));
        bench.file(cutter, 8.8);
    }
    assert_eq!(bench.ask(), (None, Ask::Do(Task::SawTurned)));
    bench.put(Event::Done { task: Task::SawTurned });
    for cutter in [2, 4, 6, 8, 10] {
        bench.file(cutter, 8.8);
    }
    assert_eq!(bench.ask(), (None, Ask::Rule));
    bench.put(Event::Rule { rule: Rule::Fixed });
    for cutter in 1..=10 {
        bench.gap(cutter, When::Before, 0.65);
    }
    assert_eq!(bench.ask(), (None, Ask::Prove));
    bench.put(Event::Done { task: Task::Proved });
    assert_eq!(bench.ask(), (None, Ask::Sign));
    bench.put(Event::Closed { how: Closing::Signed });
    assert_eq!(bench.ask(), (None, Ask::Nothing));
    assert_eq!(bench.0.check(&Event::Paused {}), Err(Refusal::Closed));
}

#[test]
fn a_cutter_still_long_is_asked_for_again() {
    let mut bench = ready_to_file();
    bench.put(Event::Strokes { cutter: nth(1), count: 2 }).length(1, When::After, 9.05);
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::Strokes)));
    bench.put(Event::Strokes { cutter: nth(1), count: 3 }).length(1, When::After, 8.85);
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::Angle)));
    let cutter = bench.0.cutter(nth(1)).unwrap();
    assert_eq!(cutter.strokes, Some(5));
    assert_eq!(cutter.filings.len(), 2);
    assert!((cutter.filings[1].took.get() - 0.2).abs() < 1e-9);
}

#[test]
fn a_cutter_a_little_over_the_band_is_filed_on_only_where_it_may_be_out_of_tolerance() {
    use crate::stats::belief::Belief;
    // Aim 8.90 and limit 9.00: at 8.92 the limit is two standard deviations of 0.04 off, 2.3 %; at 8.96 one, 16 %.
    for (mean, goes_on) in [(8.89, false), (8.92, false), (8.96, true)] {
        let mut bench = ready_to_file();
        bench.length(1, When::After, mean);
        bench.0.cutters[0].best = Some(Belief::new(mean, 0.04 * 0.04, 0.0, 1.0));
        let cutter = bench.0.cutter(nth(1)).unwrap();
        assert_eq!(script::is_still_long(&bench.0, cutter), goes_on, "{mean}");
    }
}

#[test]
fn a_raker_filed_once_is_left_where_it_reads_a_little_high() {
    // Fixed gap 0.65, tolerance 0.10: as it came up to 0.07 too small is left, once filed up to 0.085.
    for (when, gap, high) in
        [(When::Before, 0.59, false), (When::Before, 0.57, true), (When::After, 0.57, false), (When::After, 0.56, true)]
    {
        let mut bench = ready_to_file();
        bench.put(Event::Went { phase: Phase::Rakers, cutter: None, reading: None });
        bench.put(Event::Rule { rule: Rule::Fixed });
        bench.gap(1, When::Before, if when == When::After { 0.40 } else { gap });
        if when == When::After {
            bench.gap(1, When::After, gap);
        }
        let cutter = bench.0.cutter(nth(1)).unwrap();
        assert_eq!(script::is_raker_high(&bench.0, cutter), high, "{when:?} {gap}");
    }
}

#[test]
fn a_reject_stops_the_round_short_of_sign_off() {
    let mut bench = Bench::new(20, Tool::File);
    bench.put(Event::Looked { item: LookItem::Cracks, finding: Finding::Reject, note: Some("rivet hole".into()) });
    assert_eq!(bench.ask(), (None, Ask::Reject));
    let length = Event::Length { cutter: nth(1), when: When::Before, mm: mm(9.0), again: false };
    assert_eq!(bench.0.check(&length), Err(Refusal::Rejected));
    assert_eq!(bench.0.check(&Event::Closed { how: Closing::Signed }), Err(Refusal::Rejected));
    bench.undo();
    assert_eq!(bench.ask(), (None, Ask::Look(LookItem::Cracks)));
}

#[test]
fn any_event_can_be_taken_back_and_the_place_comes_back_with_it() {
    let mut bench = ready_to_file();
    bench.file(1, 8.8).put(Event::Strokes { cutter: nth(3), count: 4 });
    assert_eq!(bench.ask(), (Some(3), Ask::Read(Reading::LengthAfter)));
    bench.undo();
    assert_eq!(bench.ask(), (Some(3), Ask::Read(Reading::Strokes)));
    bench.undo();
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::Angle)));
    // An old one too: the measurement of cutter 4.
    let seq =
        bench.0.entries.iter().find(|e| matches!(e.event, Event::Length { cutter, .. } if cutter == 4)).unwrap().seq;
    bench.put(Event::Void { target: seq });
    assert!(bench.0.cutter(nth(4)).unwrap().before.is_empty());
    assert_eq!(bench.0.check(&Event::Void { target: seq }), Err(Refusal::CannotVoid(seq)));
}

#[test]
fn the_redo_list_leads_back_to_a_cutter_and_returns_to_the_proof() {
    let mut bench = ready_to_file();
    for cutter in [1, 3, 5, 7, 9] {
        bench.file(cutter, 8.8);
    }
    bench.put(Event::Done { task: Task::SawTurned });
    for cutter in [2, 4, 6, 8, 10] {
        bench.file(cutter, 8.9);
    }
    bench.put(Event::Rule { rule: Rule::Scaled });
    for cutter in 1..=10 {
        bench.gap(cutter, When::Before, 0.5).gap(cutter, When::After, 0.8);
    }
    bench.put(Event::Went { phase: Phase::Second, cutter: Some(nth(6)), reading: None });
    assert_eq!(bench.ask(), (Some(6), Ask::Read(Reading::Strokes)));
    bench.file(6, 8.8);
    assert_eq!(bench.ask(), (None, Ask::Prove));
    assert!(bench.0.cutter(nth(6)).unwrap().gap_stale);
    bench.put(Event::Went { phase: Phase::Rakers, cutter: Some(nth(6)), reading: None }).gap(6, When::Before, 0.78);
    assert_eq!(bench.ask(), (None, Ask::Prove));
    assert!(!bench.0.cutter(nth(6)).unwrap().gap_stale);
}

#[test]
fn until_a_rule_is_chosen_the_wear_tells_which_one_holds() {
    for (length, rule) in [(9.5, Rule::Fixed), (7.5, Rule::Scaled)] {
        let mut bench = Bench::new(20, Tool::File);
        assert_eq!(bench.0.rule_in_force(), Rule::Fixed, "nothing is known yet");
        bench.sound().measured(length);
        assert_eq!(bench.0.rule_in_force(), rule, "{length}");
        bench.put(Event::Rule { rule: Rule::Fixed });
        assert_eq!(bench.0.rule_in_force(), Rule::Fixed);
    }
}

#[test]
fn a_high_raker_is_measured_until_it_is_right_or_left() {
    let mut bench = ready_to_file();
    bench.put(Event::Went { phase: Phase::Rakers, cutter: None, reading: None }).put(Event::Rule { rule: Rule::Fixed });
    bench.gap(1, When::Before, 0.40);
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::GapAfter)));
    bench.gap(1, When::After, 0.50);
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::GapAfter)));
    bench.put(Event::LeftOut { cutter: nth(1), reading: Reading::GapAfter });
    assert_eq!(bench.ask(), (Some(2), Ask::Read(Reading::GapBefore)));
}

#[test]
fn a_grinder_checks_two_of_the_second_hand_before_going_on() {
    let mut bench = Bench::new(72, Tool::Grinder);
    // Without the wish for all readings: lengths of a sample.
    (bench.0.header.take_strokes, bench.0.header.take_angles) = (false, false);
    bench.sound().measured(9.0).target(8.8);
    assert_eq!(bench.ask(), (None, Ask::Do(Task::StopSet)));
    bench.put(Event::Done { task: Task::StopSet }).put(Event::Done { task: Task::FirstGround });
    assert_eq!(bench.ask(), (None, Ask::Do(Task::HeadSwung)));
    bench.put(Event::Done { task: Task::HeadSwung });
    for cutter in [2, 4] {
        assert_eq!(bench.ask(), (Some(cutter), Ask::Read(Reading::LengthAfter)));
        bench.length(cutter, When::After, 8.8);
    }
    assert_eq!(bench.ask(), (None, Ask::Do(Task::SecondGround)));
    bench.put(Event::Done { task: Task::SecondGround });
    let mut sampled = 0;
    while let (Some(cutter), Ask::Read(Reading::LengthAfter)) = bench.ask() {
        bench.length(cutter, When::After, 8.8);
        sampled += 1;
    }
    assert_eq!(sampled, 6);
    assert_eq!(bench.ask(), (None, Ask::Rule));
}

/// All ten filed to the same length, rakers by the fixed gap, at the proof.
fn at_proof() -> Bench {
    let mut bench = ready_to_file();
    for cutter in [1, 3, 5, 7, 9] {
        bench.file(cutter, 8.8);
    }
    bench.put(Event::Done { task: Task::SawTurned });
    for cutter in [2, 4, 6, 8, 10] {
        bench.file(cutter, 8.8);
    }
    bench.put(Event::Rule { rule: Rule::Fixed });
    for cutter in 1..=10 {
        bench.gap(cutter, When::Before, 0.65);
    }
    assert_eq!(bench.ask(), (None, Ask::Prove));
    bench
}

fn to_choose(about: Option<u16>) -> Event {
    Event::Went { phase: Phase::Plan, cutter: about.map(nth), reading: None }
}

#[test]
fn going_back_to_the_choice_keeps_the_length_until_another_is_chosen() {
    let mut bench = at_proof();
    bench.put(to_choose(Some(5)));
    assert_eq!(bench.ask(), (None, Ask::Target));
    assert_eq!(bench.0.target.as_ref().unwrap().length, mm(8.8));
    assert_eq!(bench.0.reopened, Some(Reopened { about: Some(nth(5)) }));
    bench.put(Event::Target { mm: mm(8.8), left_short: vec![nth(5)], recommended: true });
    assert_eq!(bench.ask(), (None, Ask::Prove), "back to where it was");
    assert_eq!(bench.0.cutter(nth(5)).unwrap().state, CutterState::LeftShort);
    bench.put(to_choose(None));
    assert_eq!(bench.ask(), (None, Ask::Target));
    bench.put(Event::Went { phase: Phase::Prove, cutter: None, reading: None });
    assert_eq!((bench.ask(), bench.0.target.as_ref().unwrap().length), ((None, Ask::Prove), mm(8.8)));
}

#[test]
fn a_lower_length_sends_those_filed_before_through_the_filing_parts_again() {
    let mut bench = at_proof();
    bench.put(to_choose(Some(5))).target(8.5);
    assert_eq!(bench.ask(), (Some(1), Ask::Read(Reading::Strokes)));
}

#[test]
fn a_length_chosen_because_of_the_last_cutter_goes_on_to_the_next_part_where_nothing_is_left_to_file() {
    let mut bench = ready_to_file();
    for cutter in [1, 3, 5, 7, 9] {
        bench.file(cutter, 8.8);
    }
    bench.put(Event::Done { task: Task::SawTurned });
    for cutter in [2, 4, 6, 8] {
        bench.file(cutter, 8.8);
    }
    bench.file(10, 9.1).put(Event::Strokes { cutter: nth(10), count: 2 });
    assert_eq!(bench.ask(), (Some(10), Ask::Read(Reading::LengthAfter)));
    // Left short, it need not come to the length any more: that was all that was left of this part.
    bench.put(to_choose(Some(10)));
    bench.put(Event::Target { mm: mm(8.8), left_short: vec![nth(10)], recommended: true });
    assert_eq!(bench.ask(), (None, Ask::Rule));
}

#[test]
fn damage_marked_after_filing_stays_open_until_the_cutter_is_filed_or_found_healthy() {
    let hurt = |bench: &Bench| bench.0.cutter(nth(5)).unwrap().hurt_since;
    let damaged = || Event::State { cutter: nth(5), state: CutterState::Damaged, need_mm: Some(mm(0.15)) };
    let mut bench = at_proof();
    bench.put(damaged());
    assert!(hurt(&bench));
    bench.put(to_choose(Some(5))).target(8.72);
    assert_eq!(bench.ask(), (Some(5), Ask::Read(Reading::Strokes)), "the others are at the aim of that");
    bench.file(5, 8.65);
    assert!(!hurt(&bench));
    let mut bench = at_proof();
    bench.put(damaged()).put(Event::State { cutter: nth(5), state: CutterState::Kept, need_mm: None });
    assert!(!hurt(&bench));
    assert_eq!(bench.0.cutter(nth(5)).unwrap().need, None, "the depth goes with the damage");
}

#[test]
fn damage_marked_after_grinding_stays_open_though_the_cutter_was_not_measured_since() {
    let mut bench = Bench::new(72, Tool::Grinder);
    (bench.0.header.take_strokes, bench.0.header.take_angles) = (false, false);
    bench.sound().measured(9.0).target(8.8);
    let hurt = |bench: &Bench, cutter| bench.0.cutter(nth(cutter)).unwrap().hurt_since;
    let damaged = |cutter| Event::State { cutter: nth(cutter), state: CutterState::Damaged, need_mm: None };
    bench.put(damaged(1));
    assert!(!hurt(&bench, 1), "its damage goes with the grinding to come");
    let first = if bench.0.cutter(nth(1)).unwrap().side == bench.0.header.begin { 3 } else { 2 };
    bench.put(Event::Done { task: Task::StopSet }).put(Event::Done { task: Task::FirstGround });
    bench.put(damaged(first)).put(damaged(first + 1));
    assert!(hurt(&bench, first) && !hurt(&bench, first + 1), "the other hand is still to be ground");
    bench.length(first, When::After, 8.6);
    assert!(!hurt(&bench, first));
}

#[test]
fn a_gap_is_stale_only_once_the_tooth_was_filed() {
    let mut bench = at_proof();
    let stale = |bench: &Bench| bench.0.cutter(nth(1)).unwrap().gap_stale;
    bench.put(Event::Length { cutter: nth(1), when: When::After, mm: mm(8.78), again: true });
    assert!(!stale(&bench));
    bench.put(Event::Went { phase: Phase::First, cutter: Some(nth(1)), reading: None });
    bench.put(Event::LeftOut { cutter: nth(1), reading: Reading::Strokes }).length(1, When::After, 8.79);
    assert!(!stale(&bench), "measured anew, nothing filed");
    bench.put(Event::Strokes { cutter: nth(1), count: 1 }).length(1, When::After, 8.79);
    assert!(stale(&bench));
}

#[test]
fn an_angle_sent_back_is_asked_first_and_then_the_length_that_its_filing_left() {
    let mut bench = at_proof();
    bench.put(Event::Went { phase: Phase::First, cutter: Some(nth(3)), reading: Some(Reading::Angle) });
    assert_eq!(bench.ask(), (Some(3), Ask::Read(Reading::Angle)));
    bench.put(Event::Angle { cutter: nth(3), deg: deg(30.0), again: false });
    assert_eq!(bench.ask(), (Some(3), Ask::Read(Reading::LengthAfter)));
    bench.length(3, When::After, 8.76);
    assert_eq!(bench.ask(), (None, Ask::Prove));
    assert!(bench.0.cutter(nth(3)).unwrap().gap_stale);
}

#[test]
fn what_a_cutter_was_is_not_overwritten_by_a_redo() {
    let mut bench = at_proof();
    bench.put(Event::Went { phase: Phase::Rakers, cutter: Some(nth(6)), reading: None });
    assert_eq!(bench.ask(), (Some(6), Ask::Read(Reading::GapAfter)));
    bench.gap(6, When::After, 0.70);
    assert_eq!(bench.ask(), (None, Ask::Prove));
    // Older records hold such a gap as one from before the raker was touched.
    bench.put(Event::Went { phase: Phase::Rakers, cutter: Some(nth(6)), reading: None }).gap(6, When::Before, 0.68);
    assert_eq!(bench.ask(), (None, Ask::Prove));
    let cutter = bench.0.cutter(nth(6)).unwrap();
    assert_eq!((cutter.gap_before.mean(), cutter.gap()), (Some(mm(0.65)), Some(mm(0.68))));
    let before = Event::Length { cutter: nth(6), when: When::Before, mm: mm(8.8), again: false };
    assert_eq!(bench.0.check(&before), Err(Refusal::Filed(nth(6))));
}

#[test]
fn a_damaged_cutter_that_is_not_left_short_any_more_is_damaged_again() {
    let mut bench = ready_to_file();
    bench.put(Event::State { cutter: nth(4), state: CutterState::Damaged, need_mm: None });
    bench.put(Event::Target { mm: mm(8.8), left_short: vec![nth(4)], recommended: true }).target(8.7);
    assert_eq!(bench.0.cutter(nth(4)).unwrap().state, CutterState::Damaged);
}

#[test]
fn every_event_reads_back_from_toml() {
    let mut bench = ready_to_file();
    bench.file(1, 8.8).gap(1, When::Before, -0.1);
    bench.put(Event::State { cutter: nth(2), state: CutterState::Damaged, need_mm: Some(mm(0.6)) });
    bench
        .put(Event::Note { cutter: Some(nth(2)), text: "stone".into() })
        .put(Event::Paused {})
        .put(Event::Resumed {})
        .undo();
    for entry in &bench.0.entries {
        let text = toml::to_string(&entry.event).unwrap();
        assert_eq!(toml::from_str::<Event>(&text).unwrap(), entry.event, "{text}");
        assert!(toml::from_str::<Event>(&format!("{text}stray = 1\n")).is_err(), "{text}");
    }
    let text = toml::to_string(&bench.0.header).unwrap();
    assert_eq!(toml::from_str::<Header>(&text).unwrap(), bench.0.header);
    let again = Round::replay(bench.0.header.clone(), bench.0.entries.clone()).unwrap();
    assert_eq!(again, bench.0);
}

#[test]
fn readings_that_scatter_more_than_was_assumed_make_all_that_is_known_less_sure() {
    let mut bench = Bench::new(20, Tool::File);
    bench.sound().measured(9.0).put(Event::Target { mm: mm(8.8), left_short: Vec::new(), recommended: true });
    bench.put(Event::Strokes { cutter: nth(1), count: 2 }).length(1, When::After, 8.85);
    let sd = |bench: &Bench| bench.0.cutter(nth(1)).unwrap().best().unwrap().sd();
    let before = sd(&bench);
    bench.put(Event::Strokes { cutter: nth(3), count: 2 }).length(3, When::After, 8.85);
    for value in [9.15, 8.6, 9.1, 8.65] {
        bench.put(Event::Length { cutter: nth(3), when: When::After, mm: mm(value), again: true });
    }
    assert!(sd(&bench) > 1.2 * before, "{} {before}", sd(&bench));
}
