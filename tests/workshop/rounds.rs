//! Rounds made the way the program makes them: from events, each checked before it is applied.

use crate::invented;
use chrono::{DateTime, Duration, FixedOffset};
use evenbite::chain::{Rule, Sequence, Side, nth};
use evenbite::round::{
    Card, Closing, CutterState, Entry, Event, Finding, Header, LookItem, Phase, Reading, Round, Task, Tool, When,
};
use evenbite::round::{Own, Prices, Visit};
use evenbite::units::{deg, mm};

pub(crate) fn time(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).unwrap()
}

pub(crate) fn header(tool: Tool, started: &str) -> Header {
    Header { tool, start_mark: String::new(), ..invented::header(&card(), time(started), "Ina") }
}

pub(crate) fn card() -> Card {
    Card {
        tag: "oak-3".into(),
        name: "Oak three".into(),
        owner: "Forest yard".into(),
        saw: "Big saw".into(),
        profile: "three-eighths".into(),
        links: 56,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: "yellow strap".into(),
        created: time("2026-01-10T09:00:00+01:00"),
        own: Own::default(),
        prices: Prices { new_loop: Some(30.0), round: Some(8.0), hours_between: Some(4.0) },
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

/// A round at the bench; every entry comes half a minute after the one before.
pub(crate) struct Bench(pub Round);

impl Bench {
    pub(crate) fn new(header: Header) -> Self {
        Self(Round::begin(header).unwrap())
    }

    pub(crate) fn put(&mut self, event: Event) -> &mut Self {
        self.0.check(&event).unwrap_or_else(|refusal| panic!("{event:?}: {refusal}"));
        let last = self.0.entries.last().map_or(self.0.header.started, |entry| entry.at);
        let seq = u32::try_from(self.0.entries.len()).unwrap() + 1;
        self.0.apply(Entry { seq, at: last + Duration::seconds(30), by: None, typed: None, event });
        self
    }

    pub(crate) fn sound(&mut self) -> &mut Self {
        for item in LookItem::ALL {
            self.put(Event::Looked { item, finding: Finding::Sound, note: None });
        }
        self
    }

    pub(crate) fn length(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Length { cutter: nth(cutter), when, mm: mm(value), again: false })
    }

    pub(crate) fn gap(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Gap { cutter: nth(cutter), when, mm: mm(value), again: false })
    }

    pub(crate) fn note(&mut self, cutter: Option<u16>, text: &str) -> &mut Self {
        self.put(Event::Note { cutter: cutter.map(nth), text: text.into() })
    }

    /// Measures what the round asks for at one cutter, until it asks for another thing.
    pub(crate) fn file(&mut self, cutter: u16, length: f64, angle: f64) -> &mut Self {
        self.put(Event::Strokes { cutter: nth(cutter), count: 3 });
        self.length(cutter, When::After, length);
        self.put(Event::Angle { cutter: nth(cutter), deg: deg(angle), again: false })
    }

    pub(crate) fn numbers(&self, side: Side) -> Vec<u16> {
        self.0.cutters.iter().filter(|c| c.side == side && c.is_present()).map(|c| c.number.get()).collect()
    }
}

/// A little up and down that looks like a hand and is the same every time.
pub(crate) fn wobble(number: u16, size: f64) -> f64 {
    (size * (f64::from(number) * 2.399).sin() * 100.0).round() / 100.0
}

/// A round of 28 cutters with nearly everything that can go wrong: one damaged, one left short, one missing, a raker too
/// low, an angle off, readings left out and repeated, a pause, a worn part and remarks.
pub(crate) fn eventful(mut header: Header) -> Round {
    header.start_mark = "yellow strap".into();
    let mut bench = Bench::new(header);
    for item in LookItem::ALL {
        let worn = item == LookItem::TieStraps;
        let finding = if worn { Finding::Worn } else { Finding::Sound };
        bench.put(Event::Looked { item, finding, note: worn.then(|| "one notch & a <dent>".into()) });
    }
    bench.put(Event::Zero { mm: mm(0.01) });
    bench.put(Event::State { cutter: nth(20), state: CutterState::Missing, need_mm: None });
    bench.put(Event::State { cutter: nth(7), state: CutterState::Damaged, need_mm: Some(mm(0.3)) });
    for cutter in (1..=28).filter(|n| *n != 20) {
        let short = if cutter == 12 { 0.9 } else { 0.0 };
        bench.length(cutter, When::Before, 8.6 + wobble(cutter, 0.12) - short);
    }
    bench.put(Event::Length { cutter: nth(3), when: When::Before, mm: mm(8.66), again: true });
    bench.note(Some(12), "=hit a nail; \"bent\"").put(Event::Paused {}).put(Event::Resumed {});
    bench.put(Event::Target { mm: mm(8.3), left_short: vec![nth(12)], recommended: false });
    for (turn, side) in [Side::Left, Side::Right].into_iter().enumerate() {
        if turn == 1 {
            bench.put(Event::Done { task: Task::SawTurned });
        }
        for cutter in bench.numbers(side) {
            match cutter {
                12 => bench.file(12, 7.58, 30.0),
                5 => {
                    bench.put(Event::Strokes { cutter: nth(cutter), count: 3 });
                    bench.put(Event::LeftOut { cutter: nth(cutter), reading: Reading::LengthAfter });
                    bench.put(Event::LeftOut { cutter: nth(cutter), reading: Reading::Angle })
                }
                15 => bench.file(15, 8.31, 36.0),
                17 => bench.file(17, 8.47, 30.5),
                _ => bench.file(cutter, 8.33 + wobble(cutter, 0.04), 30.0 + wobble(cutter, 0.8)),
            };
        }
    }
    bench.put(Event::Rule { rule: Rule::Fixed });
    for cutter in (1..=28).filter(|n| *n != 20) {
        match cutter {
            9 => bench.gap(cutter, When::Before, 0.92),
            10 => bench
                .gap(cutter, When::Before, 0.42)
                .put(Event::LeftOut { cutter: nth(cutter), reading: Reading::GapAfter }),
            11 => bench.put(Event::LeftOut { cutter: nth(cutter), reading: Reading::GapBefore }),
            n if n % 4 == 0 => bench.gap(cutter, When::Before, 0.5).gap(cutter, When::After, 0.64 + wobble(n, 0.02)),
            n => bench.gap(cutter, When::Before, 0.64 + wobble(n, 0.02)),
        };
    }
    bench.note(None, "Bar rail burred on the left, dressed.");
    bench.put(Event::Went { phase: Phase::Prove, cutter: None, reading: None });
    bench.put(Event::Done { task: Task::Proved }).put(Event::Closed { how: Closing::Signed });
    bench.0
}

/// A round in which everything is measured and right.
pub(crate) fn clean(header: Header, before: f64, target: f64) -> Round {
    let mut bench = Bench::new(header);
    bench.sound();
    for cutter in 1..=28 {
        bench.length(cutter, When::Before, before + wobble(cutter, 0.04));
    }
    bench.put(Event::Target { mm: mm(target), left_short: vec![], recommended: true });
    for (turn, side) in [Side::Left, Side::Right].into_iter().enumerate() {
        if turn == 1 {
            bench.put(Event::Done { task: Task::SawTurned });
        }
        for cutter in bench.numbers(side) {
            bench.file(cutter, target + wobble(cutter, 0.02), 30.0);
        }
    }
    bench.put(Event::Rule { rule: Rule::Fixed });
    for cutter in 1..=28 {
        bench.gap(cutter, When::Before, 0.65);
    }
    bench.put(Event::Done { task: Task::Proved }).put(Event::Closed { how: Closing::Signed });
    bench.0
}
