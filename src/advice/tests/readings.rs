//! Rounds under way, made from readings; and dice.

use crate::chain::nth;

use crate::advice::{Context, Findings, Skill};
use crate::chain::Rule;
use crate::round::card::Prices;
use crate::round::{CutterState, Entry, Event, Finding, Header, LookItem, Past, Phase, Round, Task, Trust, When};
use crate::units::{deg, mm};

pub(crate) use crate::round::tests::intake::{header, spec};

/// A round under way.
pub(crate) struct Bench {
    pub round: Round,
    pub past: Past,
    pub skill: Skill,
    /// Who makes the next entries, where that is not the round's sharpener.
    pub by: Option<String>,
}

impl Bench {
    pub(crate) fn new(header: Header) -> Self {
        Self { round: Round::begin(header).unwrap(), past: Past::default(), skill: Skill::default(), by: None }
    }

    /// Looked over and measured; cutter 1 first.
    pub(crate) fn measured(links: u16, lengths: &[f64]) -> Self {
        let mut bench = Self::new(header(links));
        bench.sound();
        for (number, length) in (1..).zip(lengths) {
            bench.length(number, When::Before, *length);
        }
        bench
    }

    /// The same by a caliper that shows the truth.
    pub(crate) fn measured_exactly(links: u16, lengths: &[f64]) -> Self {
        let exact = Trust { length: mm(0.001), ..Trust::default() };
        let mut bench = Self::new(Header { trust: exact, ..header(links) });
        bench.sound();
        for (number, length) in (1..).zip(lengths) {
            bench.length(number, When::Before, *length);
        }
        bench
    }

    /// Puts an event without asking whether it may be put.
    pub(crate) fn put(&mut self, event: Event) -> &mut Self {
        let seq = u32::try_from(self.round.entries.len()).unwrap() + 1;
        let by = self.by.clone();
        self.round.apply(Entry { seq, at: self.round.header.started, by, typed: None, event });
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

    pub(crate) fn repeat(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Length { cutter: nth(cutter), when, mm: mm(value), again: true })
    }

    pub(crate) fn target(&mut self, value: f64) -> &mut Self {
        self.put(Event::Target { mm: mm(value), left_short: vec![], recommended: true })
    }

    pub(crate) fn angle(&mut self, cutter: u16, value: f64) -> &mut Self {
        self.put(Event::Angle { cutter: nth(cutter), deg: deg(value), again: false })
    }

    pub(crate) fn gap(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(Event::Gap { cutter: nth(cutter), when, mm: mm(value), again: false })
    }

    pub(crate) fn strokes(&mut self, cutter: u16, count: u32) -> &mut Self {
        self.put(Event::Strokes { cutter: nth(cutter), count })
    }

    pub(crate) fn rule(&mut self, rule: Rule) -> &mut Self {
        self.put(Event::Rule { rule })
    }

    pub(crate) fn damaged(&mut self, cutter: u16, need: f64) -> &mut Self {
        self.put(Event::State { cutter: nth(cutter), state: CutterState::Damaged, need_mm: Some(mm(need)) })
    }

    pub(crate) fn done(&mut self, task: Task) -> &mut Self {
        self.put(Event::Done { task })
    }

    pub(crate) fn went(&mut self, phase: Phase, cutter: Option<u16>) -> &mut Self {
        self.put(Event::Went { phase, cutter: cutter.map(nth), reading: None })
    }

    pub(crate) fn findings(&self) -> Findings {
        let prices = Prices::default();
        Findings::of(&Context {
            round: &self.round,
            past: &self.past,
            skill: &self.skill,
            prices: &prices,
            tension: None,
        })
    }
}

/// A small generator for tests that need many cases, the same every time (splitmix64, public domain).
pub(crate) struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Between two whole numbers, both included.
    pub(crate) fn whole(&mut self, low: u16, high: u16) -> u16 {
        let span = u64::from(high - low) + 1;
        low + u16::try_from(self.next() % span).unwrap()
    }

    /// Standard normal (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}
