use chrono::{DateTime, FixedOffset};

use super::*;
use crate::coach::Reply;
use crate::round::Closing;

fn now() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap()
}

/// A learner who does what the screen says.
struct Learner {
    practice: Practice,
    coach: Coach,
    proofs: u32,
}

impl Learner {
    fn new(seed: u32) -> Self {
        let (practice, coach) = Practice::begin(&Set { seed, ..Set::default() }, now()).unwrap();
        Self { practice, coach, proofs: 0 }
    }

    fn enter(&mut self, line: &str) {
        let reply = self.coach.enter(line, now());
        self.settle(reply);
    }

    fn settle(&mut self, reply: Reply) {
        match reply {
            Reply::Record(pending) => {
                for one in pending {
                    let entry = self.practice.store(&self.coach, &one, now());
                    self.coach.recorded(entry);
                }
            }
            Reply::Question(_) => {
                let kept = self.coach.keep();
                self.settle(kept);
            }
            Reply::Refused(why) => panic!("{why} at {:?}", self.coach.round.step()),
            Reply::Saw(_) | Reply::Moved => {}
        }
    }

    /// What the screen says, or its Enter.
    fn step(&mut self) {
        if self.coach.is_held() {
            return self.enter("0");
        }
        if let Some(line) = self.practice.answer(&self.coach) {
            return self.enter(&line);
        }
        let step = self.coach.round.step();
        let line = match step.ask {
            Ask::Read(Reading::Strokes) => {
                let findings = self.coach.findings();
                let advice = step.cutter.and_then(|cutter| findings.cutter(cutter)?.strokes);
                advice.map_or(2, |advice| advice.strokes).to_string()
            }
            Ask::Sign => "1".to_owned(),
            Ask::Prove => {
                self.proofs += 1;
                if self.proofs > 20 { "0".to_owned() } else { String::new() }
            }
            _ => String::new(),
        };
        self.enter(&line);
    }

    fn until_the_end(mut self) -> Self {
        for _ in 0..2000 {
            if self.coach.round.closed.is_some() {
                return self;
            }
            assert!(self.practice.outcome(&self.coach).is_none(), "the truth came out before the end");
            self.step();
        }
        panic!("no end at {:?}", self.coach.round.step());
    }
}

#[test]
fn who_does_what_the_screen_says_comes_near_the_truth() {
    let done = Learner::new(11).until_the_end();
    let outcome = done.practice.outcome(&done.coach).unwrap();
    assert!(outcome.signed && outcome.cutters == 12, "{outcome:?}");
    let (target, best) = (outcome.target.unwrap(), outcome.best.as_ref().unwrap());
    assert!((target - best.target).abs().get() < 0.2, "{outcome:?}");
    assert!(outcome.in_tolerance + 1 >= outcome.matched, "{outcome:?}");
    assert!(outcome.rakers.unwrap() + 2 >= outcome.matched, "{outcome:?}");
    assert!(outcome.lost >= best.removed * 0.9 && outcome.lost.get() < best.removed.get() * 2.0 + 1.0, "{outcome:?}");
    assert_eq!(done.practice.readings(), outcome.readings);
    let said = outcome.lines();
    assert!(said[0].starts_with("PRACTICE") && said.iter().any(|line| line.starts_with("Rakers:")), "{said:#?}");
}

#[test]
fn the_same_number_makes_the_same_practice() {
    let [one, other, third] = [5, 5, 6].map(|seed| {
        let mut learner = Learner::new(seed);
        while learner.coach.round.target.is_none() {
            learner.step();
        }
        learner.coach.round.cutters.iter().filter_map(|cutter| cutter.before.mean()).collect::<Vec<_>>()
    });
    assert_eq!(one, other);
    assert_ne!(one, third);
}

#[test]
fn steel_does_not_come_back_and_is_not_taken_twice() {
    let mut learner = Learner::new(3);
    while !matches!(learner.coach.round.step().ask, Ask::Read(Reading::Strokes)) {
        learner.step();
    }
    let cutter = learner.coach.round.step().cutter.unwrap();
    let length = |learner: &Learner| learner.practice.shop.truth.length(cutter.get());
    let came = length(&learner);
    learner.enter("3");
    let filed = length(&learner);
    assert!(filed < came - 0.1);
    let back = learner.coach.command(crate::coach::Command::TakeBack);
    learner.settle(back);
    assert_eq!(length(&learner), filed);
    learner.enter("2");
    assert_eq!(length(&learner), filed, "three were given already");
    let back = learner.coach.command(crate::coach::Command::TakeBack);
    learner.settle(back);
    learner.enter("4");
    assert!(length(&learner) < filed);
}

#[test]
fn a_typed_figure_is_no_reading_and_strokes_are_the_persons() {
    let mut learner = Learner::new(3);
    while !matches!(learner.coach.round.step().ask, Ask::Read(Reading::LengthBefore)) {
        learner.step();
    }
    assert!(Practice::refuses(&learner.coach, "8.05").is_some());
    assert!(Practice::refuses(&learner.coach, "").is_none());
    let mut prompt = learner.coach.prompt(learner.coach.findings());
    Practice::dress(&learner.coach, &mut prompt);
    assert_eq!((prompt.place.as_str(), prompt.enter), ("PRACTICE: Cutter 1, left", "take the reading"));
    while !matches!(learner.coach.round.step().ask, Ask::Read(Reading::Strokes)) {
        learner.step();
    }
    assert!(learner.practice.answer(&learner.coach).is_none());
    assert!(Practice::refuses(&learner.coach, "").is_some());
    assert!(Practice::refuses(&learner.coach, "3").is_none());
}

#[test]
fn what_was_ended_early_is_told_as_it_stood() {
    let mut learner = Learner::new(8);
    for _ in 0..12 {
        learner.step();
    }
    let end = learner.coach.command(crate::coach::Command::Abandon);
    learner.settle(end);
    let outcome = learner.practice.outcome(&learner.coach).unwrap();
    assert!(!outcome.signed && outcome.target.is_none() && outcome.rakers.is_none());
    assert_eq!(learner.coach.round.closed, Some(Closing::Abandoned));
    assert!(outcome.lines().iter().any(|line| line == "Length: none was chosen."));
}

#[test]
fn only_loops_that_can_be_chosen_are_made() {
    for cutters in CUTTERS {
        let set = Set { cutters, ..Set::default() };
        let (practice, coach) = Practice::begin(&set, now()).unwrap();
        assert_eq!((practice.came.count(), coach.round.layout.count()), (usize::from(cutters), cutters));
    }
    let why = Practice::begin(&Set { cutters: 5, ..Set::default() }, now()).unwrap_err();
    assert_eq!(why.to_string(), "a loop of 5 cutters cannot be practised on; allowed: 12, 36 or 72.");
}
