use chrono::DateTime;

use super::*;
use crate::advice::{Context, Skill};
use crate::chain::CutterNumber;
use crate::chain::nth;
use crate::round::card::Prices;
use crate::round::tests::intake::header;
use crate::round::{Entry, Event, Finding, Header, LookItem, Past, Round, When};
use crate::saw::{Grade, SawEntry, SawEvent, SawHeader};
use crate::units::{Unit, deg, mm};

/// A loop of twelve cutters, looked over.
struct Loop(Round);

impl Loop {
    fn new() -> Self {
        let header = Header { take_strokes: false, ..header(24) };
        let mut made = Self(Round::begin(header).unwrap());
        for item in LookItem::ALL {
            made.put(Event::Looked { item, finding: Finding::Sound, note: None });
        }
        made
    }

    fn put(&mut self, event: Event) {
        let seq = u32::try_from(self.0.entries.len()).unwrap() + 1;
        self.0.apply(Entry { seq, at: self.0.header.started, by: None, typed: None, event });
    }

    /// Measured: left and right cutters of these lengths.
    fn lengths(mut self, left: f64, right: f64) -> Self {
        for cutter in CutterNumber::up_to(12) {
            let length = mm(if cutter.get() % 2 == 1 { left } else { right });
            self.put(Event::Length { cutter, when: When::Before, mm: length, again: false });
        }
        self
    }

    fn gaps(mut self, gap: impl Fn(u16) -> f64) -> Self {
        for cutter in CutterNumber::up_to(12) {
            self.put(Event::Gap { cutter, when: When::Before, mm: mm(gap(cutter.get())), again: false });
        }
        self
    }

    fn angles(mut self, left: f64, right: f64) -> Self {
        for cutter in CutterNumber::up_to(12) {
            let angle = deg(if cutter.get() % 2 == 1 { left } else { right });
            // Several readings: a protractor proves nothing in one.
            for again in [false, true, true, true, true] {
                self.put(Event::Angle { cutter, deg: angle, again });
            }
        }
        self
    }

    fn findings(&self) -> Findings {
        let (past, skill, prices) = (Past::default(), Skill::default(), Prices::default());
        Findings::of(&Context { round: &self.0, past: &past, skill: &skill, prices: &prices, tension: None })
    }
}

/// Findings of a loop whose left cutters are longer.
pub(crate) fn findings_of_a_curved_cut() -> Findings {
    Loop::new().lengths(8.6, 8.1).findings()
}

fn order(symptom: Symptom, findings: Option<&Findings>) -> Vec<Cause> {
    ranked(symptom, findings, None, Unit::Mm).into_iter().map(|ranked| ranked.row.cause).collect()
}

#[test]
fn every_symptom_has_causes_and_every_row_its_words() {
    for symptom in Symptom::ALL {
        let rows: Vec<&Row> = TABLE.iter().filter(|row| row.symptom == symptom).collect();
        assert!(!rows.is_empty());
        for (at, row) in rows.iter().enumerate() {
            assert!(row.words.ends_with('.') && row.remedy.ends_with('.') && !row.source.words().is_empty());
            assert!(rows[..at].iter().all(|other| other.cause != row.cause), "{symptom:?}: {:?} twice", row.cause);
        }
    }
    assert_eq!(Symptom::numbered(1), Some(Symptom::Dust));
    assert_eq!((Symptom::numbered(0), Symptom::numbered(8)), (None, None));
}

#[test]
fn without_readings_the_table_keeps_its_order_and_nothing_is_claimed() {
    let all = ranked(Symptom::Pulls, None, None, Unit::Mm);
    assert!(all.iter().all(|ranked| ranked.evidence == Evidence::Open));
    let causes = order(Symptom::Pulls, None);
    let of_the_bar = [Cause::RakersOfSide, Cause::Rails, Cause::Groove, Cause::BarBent];
    assert_eq!(causes, [&[Cause::Unequal, Cause::DamagedSide, Cause::AnglesDiffer][..], &of_the_bar].concat());
    let empty = Loop::new().findings();
    assert_eq!(order(Symptom::Pulls, Some(&empty)), causes);
    assert!(
        Symptom::ALL
            .iter()
            .all(|s| ranked(*s, Some(&empty), None, Unit::Mm).iter().all(|r| r.evidence == Evidence::Open))
    );
}

#[test]
fn a_longer_side_is_shown_as_the_cause_of_a_curved_cut_and_equal_sides_speak_against_it() {
    let findings = Loop::new().lengths(8.6, 8.1).findings();
    let first = &ranked(Symptom::Pulls, Some(&findings), None, Unit::Mm)[0];
    assert_eq!(first.row.cause, Cause::Unequal);
    assert!(matches!(&first.evidence, Evidence::Shown(why) if why.contains("left")), "{first:?}");
    let even = Loop::new().lengths(8.3, 8.3).findings();
    let all = ranked(Symptom::Pulls, Some(&even), None, Unit::Mm);
    let last = all.last().unwrap();
    assert_eq!(last.row.cause, Cause::Unequal, "{all:?}");
    assert!(matches!(last.evidence, Evidence::Against(_)));
}

#[test]
fn high_and_low_rakers_are_told_apart() {
    let high = Loop::new().lengths(8.3, 8.3).gaps(|_| 0.30).findings();
    assert_eq!(order(Symptom::Dust, Some(&high))[0], Cause::RakersHigh);
    assert_eq!(order(Symptom::Grabs, Some(&high)).last(), Some(&Cause::RakersLow));
    let low = Loop::new().lengths(8.3, 8.3).gaps(|cutter| if cutter == 5 { 1.1 } else { 0.65 }).findings();
    let jumps = ranked(Symptom::Jumps, Some(&low), None, Unit::Mm);
    assert_eq!(jumps[0].evidence, Evidence::Shown("Cutter 5: gap too large.".into()));
    assert_eq!(jumps[1].evidence, Evidence::Shown("Rakers: 11 right, 1 too low.".into()));
    assert_eq!(order(Symptom::Dust, Some(&low)).last(), Some(&Cause::RakersHigh));
}

#[test]
fn angles_off_one_way_show_the_fault_that_they_make() {
    let small = Loop::new().lengths(8.3, 8.3).angles(24.0, 24.0).findings();
    assert_eq!(order(Symptom::Forced, Some(&small))[0], Cause::AngleSmall);
    assert_eq!(order(Symptom::Dulls, Some(&small)).last(), Some(&Cause::AngleLarge));
    let turned = Loop::new().lengths(8.3, 8.3).angles(30.0, 25.0).findings();
    assert_eq!(order(Symptom::Pulls, Some(&turned))[0], Cause::AnglesDiffer);
}

#[test]
fn hit_cutters_are_a_side_only_where_there_are_several_on_it() {
    let of = |hit: &[u16]| {
        let mut made = Loop::new().lengths(8.3, 8.3);
        for number in hit {
            made.put(Event::State { cutter: nth(*number), state: CutterState::Damaged, need_mm: Some(mm(1.0)) });
        }
        let all = ranked(Symptom::Pulls, Some(&made.findings()), None, Unit::Mm);
        all.into_iter().find(|ranked| ranked.row.cause == Cause::DamagedSide).unwrap().evidence
    };
    assert_eq!(of(&[4]), Evidence::Open, "one damaged cutter is no side");
    assert_eq!(of(&[2, 4, 6, 1, 3]), Evidence::Open, "both sides were hit");
    assert_eq!(
        of(&[2, 4, 6, 1]),
        Evidence::Shown("Cutters 1, 2, 4 and 6: arrived damaged or far too short, 1 left, 3 right.".into())
    );
}

#[test]
fn a_fault_of_one_cutter_is_no_fault_of_the_loop_but_for_a_raker_too_low() {
    let one_high = Loop::new().lengths(8.3, 8.3).gaps(|cutter| if cutter == 5 { 0.3 } else { 0.65 }).findings();
    assert_eq!(evidence(Cause::RakersHigh, &one_high, Unit::Mm), Evidence::Open);
    let one_low = Loop::new().lengths(8.3, 8.3).gaps(|cutter| if cutter == 5 { 1.1 } else { 0.65 }).findings();
    assert!(matches!(evidence(Cause::RakersLow, &one_low, Unit::Mm), Evidence::Shown(_)));
}

#[test]
fn the_record_of_the_saw_ranks_its_bar_first_and_what_is_good_there_last() {
    let at = DateTime::parse_from_rfc3339("2026-02-20T08:00:00+01:00").unwrap();
    let saw = |found: &[(Part, Grade)]| {
        let header = SawHeader { tag: "a".into(), name: "A".into(), started: at };
        let entry = |(seq, (part, found)): (u32, &(Part, Grade))| {
            let event = SawEvent::Checked { part: *part, found: *found, mm: None, note: None, with: None };
            SawEntry { seq, at, event }
        };
        Saw::replay(header, (1..).zip(found).map(entry).collect())
    };
    let findings = Loop::new().lengths(8.3, 8.3).findings();
    let known = saw(&[(Part::Rails, Grade::Bad), (Part::Straight, Grade::Good), (Part::Tension, Grade::Watch)]);
    let all = ranked(Symptom::Pulls, Some(&findings), Some(&known), Unit::Mm);
    assert_eq!(all[0].row.cause, Cause::Rails);
    assert!(matches!(&all[0].evidence, Evidence::Shown(why) if why.contains("2026-02-20")), "{:?}", all[0]);
    let bent = all.iter().find(|ranked| ranked.row.cause == Cause::BarBent).unwrap();
    assert!(matches!(bent.evidence, Evidence::Against(_)));
    // The groove was not looked at: it stays possible. And a saw says nothing of the loop.
    let groove = all.iter().find(|ranked| ranked.row.cause == Cause::Groove).unwrap();
    assert_eq!(groove.evidence, Evidence::Open);
    assert_eq!(ranked(Symptom::Pulls, None, Some(&known), Unit::Mm)[0].row.cause, Cause::Rails);
    let dry = saw(&[(Part::Oil, Grade::Bad)]);
    let smokes = &ranked(Symptom::Smokes, None, Some(&dry), Unit::Mm)[0];
    assert_eq!(smokes.row.cause, Cause::Oil);
    assert!(matches!(&smokes.evidence, Evidence::Shown(why) if why.contains("too little reaches")), "{smokes:?}");
}

#[test]
fn long_lists_of_cutters_are_cut_short() {
    assert_eq!(numbers(&[3].map(nth)), "Cutter 3");
    assert_eq!(numbers(&[3, 5].map(nth)), "Cutters 3 and 5");
    assert_eq!(numbers(&[1, 2, 3, 4, 5, 6].map(nth)), "Cutters 1, 2, 3, 4, 5 and 6");
    assert_eq!(numbers(&[1, 2, 3, 4, 5, 6, 7, 8].map(nth)), "Cutters 1, 2, 3, 4, 5, 6 and 2 more");
}

#[test]
fn remedies_read_safely() {
    // Down to the rakers is too far: the tooth goes until its gap is right.
    let low = TABLE.iter().filter(|row| row.cause == Cause::RakersLow);
    assert!(low.clone().count() > 1 && low.into_iter().all(|row| row.remedy.contains("until the gap is right")));
    assert!(TABLE.iter().all(|row| !row.remedy.contains("down to the rakers")));
    for symptom in [Symptom::Dulls, Symptom::Smokes] {
        assert!(order(symptom, None).contains(&Cause::Oil), "{symptom:?}");
    }
}

#[test]
fn rakers_of_one_side_too_high_or_too_low_pull_the_cut() {
    let shown = |gap: &dyn Fn(u16) -> f64| {
        let findings = Loop::new().lengths(8.3, 8.3).gaps(gap).findings();
        let all = ranked(Symptom::Pulls, Some(&findings), None, Unit::Mm);
        all.into_iter().find(|ranked| ranked.row.cause == Cause::RakersOfSide).unwrap().evidence
    };
    let odd = |cutter: u16| !cutter.is_multiple_of(2);
    assert_eq!(
        shown(&|cutter| if odd(cutter) { 1.1 } else { 0.65 }),
        Evidence::Shown("Rakers too low: 6 left, 0 right.".into())
    );
    assert_eq!(
        shown(&|cutter| if odd(cutter) { 0.65 } else { 0.3 }),
        Evidence::Shown("Rakers too high: 0 left, 6 right.".into())
    );
    assert_eq!(shown(&|_| 0.3), Evidence::Open, "both sides alike pull to none");
    assert!(matches!(shown(&|_| 0.65), Evidence::Against(_)));
}
