//! A person who does what every prompt says, on a loop whose truth is known, through the public coach.

use std::collections::BTreeSet;

use chrono::{DateTime, Duration, FixedOffset};
use evenbite::advice::{Findings, Skill};
use evenbite::chain::profile::built_in;
use evenbite::chain::{CutterNumber, Rule, Sequence, Side, Wood};
use evenbite::coach::{Coach, Reply};
pub(crate) use evenbite::practice::{Shop, Tools};
use evenbite::round::{Ask, Entry, Event, Header, Past, Prices, Reading, Round, Summary, Tool, Trust, last_cutters};
use evenbite::units::Unit;

/// Tolerances that the table is about.
pub(crate) const LENGTH_TOLERANCE: f64 = 0.20;
pub(crate) const ANGLE_TOLERANCE: f64 = 2.0;
pub(crate) const GAP_TOLERANCE: f64 = 0.10;
/// Angle and gap of a new chain that the profile asks for.
pub(crate) const ANGLE: f64 = 30.0;
pub(crate) const NEW_GAP: f64 = 0.65;
/// More visits at one proof are not made: it does not come to an end.
const MOST_VISITS: u32 = 80;

/// How far a cutter's gap truly is from the one that this rule means: one gap for all, or the bite of a new cutter.
pub(crate) fn gap_off(shop: &Shop, number: u16, rule: Option<Rule>) -> f64 {
    let wanted = match rule {
        Some(Rule::Scaled) => shop.truth.gap_of_same_bite(number, NEW_GAP),
        _ => NEW_GAP,
    };
    shop.truth.gap(number) - wanted
}

/// Intake of a round by hand on a full-complement loop of so many cutters.
pub(crate) fn header(cutters: u16) -> Header {
    let profile = built_in::named("three-eighths").expect("built in");
    Header {
        tag: "bench".into(),
        started: DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").expect("a time"),
        sharpener: "Ina".into(),
        wood: Wood::Any,
        tool: Tool::File,
        units: Unit::Mm,
        begin: Side::Left,
        take_strokes: true,
        take_angles: true,
        edges: false,
        trust: Trust::default(),
        spread: false,
        links: cutters * 2,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        saw: String::new(),
        profile: profile.name.clone(),
        spec: profile.spec().clone(),
    }
}

/// Looks on before a reading is entered: the coach, where, which, and what will be typed. True where it laid hand on the cutter,
/// which is then read anew.
pub(crate) type Watch<'a> = &'a mut (dyn FnMut(&Coach, u16, Reading, &str, &mut Shop) -> bool + 'a);

/// What came of a round.
pub(crate) struct Played {
    pub(crate) coach: Coach,
    pub(crate) visits: u32,
    /// What was truly out when the proof was first read.
    pub(crate) faults: u32,
    pub(crate) readings: u32,
    /// Honest readings that were asked about: lengths as they came, and all.
    pub(crate) asked_length: u32,
    pub(crate) asked: u32,
    /// After the first strokes told at a cutter: it was in the band, or not.
    pub(crate) first_strokes: Vec<bool>,
    /// Rakers that were filed.
    pub(crate) set: BTreeSet<u16>,
}

/// A round to be played.
pub(crate) struct Game<'a> {
    pub(crate) header: Header,
    pub(crate) past: Past,
    pub(crate) watch: Option<Watch<'a>>,
    /// Where to stop before its end.
    pub(crate) until: fn(&Coach) -> bool,
}

impl Game<'_> {
    /// A whole first round of a loop of so many cutters.
    pub(crate) fn new(cutters: u16) -> Self {
        Self {
            header: header(cutters),
            past: Past::default(),
            watch: None,
            until: |coach| coach.round.closed.is_some(),
        }
    }

    /// The same, up to the choice of the length.
    pub(crate) fn measured(cutters: u16) -> Self {
        Self {
            until: |coach| coach.round.step().ask == Ask::Target && coach.repeating().is_none(),
            ..Self::new(cutters)
        }
    }

    /// The next round of the same loop.
    pub(crate) fn after(round: &Round) -> Self {
        let past = Past { rounds: vec![Summary::of(round)], last: last_cutters(round), filings: Vec::new() };
        Self { past, ..Self::new(round.layout.count()) }
    }

    /// Plays it.
    pub(crate) fn play(self, shop: &mut Shop) -> Played {
        let now = self.header.started;
        let round = Round::begin(self.header).expect("links and sequence fit");
        let played = Played {
            coach: Coach::new(round, self.past, Skill::default(), Prices::default()),
            visits: 0,
            faults: 0,
            readings: 0,
            asked_length: 0,
            asked: 0,
            first_strokes: Vec::new(),
            set: BTreeSet::new(),
        };
        let mut hand = Hand { shop, watch: self.watch, played, now, measured_again: BTreeSet::new() };
        for _ in 0..6000 {
            if (self.until)(&hand.played.coach) {
                return hand.played;
            }
            hand.step();
        }
        panic!("a round without an end at {:?}", hand.played.coach.round.step());
    }
}

struct Hand<'s, 'a> {
    shop: &'s mut Shop,
    watch: Option<Watch<'a>>,
    played: Played,
    now: DateTime<FixedOffset>,
    measured_again: BTreeSet<CutterNumber>,
}

impl Hand<'_, '_> {
    fn step(&mut self) {
        let findings = self.played.coach.findings().clone();
        let ask = self.played.coach.round.step();
        if self.played.coach.is_held() {
            let line = self.at_a_fault(&findings);
            return self.enter(&line);
        }
        if let Some((cutter, reading)) = self.played.coach.repeating() {
            return self.take(cutter, reading);
        }
        match (ask.ask, ask.cutter) {
            (Ask::Look(_) | Ask::Sign, _) => self.enter("1"),
            (Ask::Light, _) => self.enter("0"),
            (Ask::Read(Reading::Strokes), Some(cutter)) => self.strokes(cutter, &findings),
            (Ask::Read(reading), Some(cutter)) => {
                if self.shop.prepare(&self.played.coach, &findings, cutter, reading) {
                    self.played.set.insert(cutter.get());
                }
                self.take(cutter, reading);
            }
            (Ask::Prove, _) => self.prove(&findings),
            _ => self.enter(""),
        }
    }

    /// A fault that holds the round: measure once more what came short, file what can be filed, else go on.
    fn at_a_fault(&mut self, findings: &Findings) -> String {
        let prompt = self.played.coach.prompt(findings);
        let cutter = self.played.coach.at_hand();
        let find = |what: &str| prompt.choices.iter().find(|(_, says)| says == what).map(|(key, _)| key.clone());
        if let Some(key) = find("file it right now") {
            return key;
        }
        match cutter {
            Some(cutter) if self.measured_again.insert(cutter) => find("measure it again").unwrap_or_default(),
            _ => "0".to_owned(),
        }
    }

    fn strokes(&mut self, cutter: CutterNumber, findings: &Findings) {
        let number = cutter.get();
        let first = self.played.coach.round.cutter(cutter).is_some_and(|at| at.strokes.is_none());
        self.shop.come_to(&self.played.coach, cutter);
        let advice = findings.cutter(cutter).and_then(|found| found.strokes);
        let (count, light) = advice.map_or((3, false), |advice| (advice.strokes, advice.light));
        self.shop.file(cutter, count, light);
        if let (Some(target), true, true) = (&self.played.coach.round.target, first, count > 1) {
            let over = self.shop.truth.length(number) - target.length.get();
            self.played.first_strokes.push((0.0..=0.5 * LENGTH_TOLERANCE).contains(&over));
        }
        let said = self.shop.person.says(count, &mut self.shop.dice).to_string();
        self.look_on(number, Reading::Strokes, &said);
        self.enter(&said);
    }

    fn take(&mut self, cutter: CutterNumber, reading: Reading) {
        let number = cutter.get();
        let text = self.shop.read(number, reading);
        let anew = self.look_on(number, reading, &text);
        let text = if anew { self.shop.read(number, reading) } else { text };
        self.played.readings += 1;
        let asked = self.played.asked;
        self.enter(&text);
        if reading == Reading::LengthBefore {
            self.played.asked_length += self.played.asked - asked;
        }
    }

    fn look_on(&mut self, number: u16, reading: Reading, text: &str) -> bool {
        let Some(watch) = &mut self.watch else { return false };
        watch(&self.played.coach, number, reading, text, self.shop)
    }

    fn prove(&mut self, findings: &Findings) {
        if self.played.visits == 0 {
            self.played.faults = faults(self.shop, &self.played.coach.round);
        }
        if findings.redo.is_empty() {
            return self.enter("");
        }
        self.played.visits += 1;
        let line = if self.played.visits > MOST_VISITS { "0" } else { "" };
        self.enter(line);
    }

    fn enter(&mut self, line: &str) {
        self.now += Duration::seconds(20);
        let reply = self.played.coach.enter(line, self.now);
        self.settle(reply);
    }

    fn settle(&mut self, reply: Reply) {
        match reply {
            Reply::Record(pending) => {
                for one in pending {
                    let seq = u32::try_from(self.played.coach.round.entries.len()).expect("few entries") + 1;
                    let entry = Entry { seq, at: self.now, by: None, typed: one.typed, event: one.event };
                    self.played.coach.recorded(entry);
                }
            }
            Reply::Question(question) => {
                let reads = |event: &Event| {
                    matches!(
                        event,
                        Event::Length { .. } | Event::Gap { .. } | Event::Angle { .. } | Event::Strokes { .. }
                    )
                };
                self.played.asked += u32::from(question.keep.iter().any(|one| reads(&one.event)));
                let kept = self.played.coach.keep();
                self.settle(kept);
            }
            Reply::Refused(why) => panic!("refused at {:?}: {why}", self.played.coach.round.step()),
            Reply::Saw(_) | Reply::Moved => {}
        }
    }
}

/// How many things are truly out: lengths, angles and gaps of kept cutters.
pub(crate) fn faults(shop: &Shop, round: &Round) -> u32 {
    let Some(target) = &round.target else { return 0 };
    let out = |number: u16| {
        [
            (shop.truth.length(number) - target.length.get()).abs() > LENGTH_TOLERANCE,
            (shop.truth.tooth(number).angle - ANGLE).abs() > ANGLE_TOLERANCE,
            gap_off(shop, number, round.rule).abs() > GAP_TOLERANCE,
        ]
    };
    round.matched().map(|cutter| out(cutter.number.get()).into_iter().map(u32::from).sum::<u32>()).sum()
}
