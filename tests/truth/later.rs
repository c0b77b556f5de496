//! Over rounds and along the order: how long the loop lasts, and drift.

use chrono::Duration;
use evenbite::advice::{Context, Findings, Skill, forecast};
use evenbite::chain::nth;
use evenbite::round::{Closing, Entry, Event, Lengths, Past, Prices, Round, Summary, When};
use evenbite::sim::{Dice, Instrument};
use evenbite::units::mm;

use super::play::header;
use super::tally::Marks;

/// Rounds left to the mark, told after three to eight rounds, for wears of three spreads.
pub(crate) fn forecasts(mut dice: Dice, marks: &mut Marks) {
    for (spread, names) in [
        (0.5, ["forecast 0.5", "width 0.5"]),
        (0.15, ["forecast 0.15", "width 0.15"]),
        (0.8, ["forecast 0.8", "width 0.8"]),
    ] {
        forecast_of(&mut dice.fork(), spread, marks, names);
    }
}

fn forecast_of(dice: &mut Dice, spread: f64, marks: &mut Marks, names: [&'static str; 2]) {
    const MARK: f64 = 3.0;
    /// Mean wear of a round, mm, and how much it differs from loop to loop, as a share.
    const MEANS: (f64, f64) = (0.3, 0.3);
    let empty = Summary::of(&Round::begin(header(36)).expect("links fit"));
    let spec = header(36).spec;
    let (mean, mut length) = (dice.around(MEANS.0, MEANS.1), 10.0);
    let rounds = 3 + dice.whole(6);
    let mut past: Vec<Summary> = Vec::new();
    for round in 0..rounds {
        let before = length;
        length -= dice.around(mean, spread);
        // The median of 36 readings.
        let (before, after) = (mm(before + 0.01 * dice.normal()), mm(length + 0.01 * dice.normal()));
        past.push(Summary {
            ended: empty.ended + Duration::days(14) * i32::try_from(round).expect("few rounds"),
            how: Some(Closing::Signed),
            median_before: Some(before),
            median_after: Some(after),
            lengths: Some(Lengths { median: after, shortest: after, ends: after, ends_at: nth(1) }),
            ..empty.clone()
        });
    }
    if length <= MARK + mean {
        return;
    }
    let told = forecast::of_loop(&past, &spec, &Prices::default()).to_mark.expect("lengths are known").rounds;
    let (mut left, start) = (0_u32, length);
    loop {
        length -= dice.around(mean, spread);
        if length < MARK {
            break;
        }
        left += 1;
    }
    let high = told.high.unwrap_or(1000);
    marks.case(names[0], (told.low..=high).contains(&left));
    // Whoever knew how the means of loops differ, and the spread of this one's rounds, would still not know its mean but from the
    // rounds seen, nor the rounds to come.
    let (ahead, seen) = ((start - MARK) / mean, rounds as f64);
    let of_mean = 1.0 / (1.0 / MEANS.1.powi(2) + seen / spread.powi(2));
    let known = (ahead * spread.powi(2) + ahead.powi(2) * of_mean).sqrt() * 2.0 * Z90;
    marks.add(names[1], f64::from(high - told.low) + 1.0, known);
}

/// 90 % two-sided, in standard errors.
const Z90: f64 = 1.644_854;

/// Lengths filed along the order, without a drift and with one, by calipers that show hundredths or tenths.
pub(crate) fn drift(mut dice: Dice, marks: &mut Marks) {
    for (step, [said, covers]) in
        [(0.01, ["drift said, 0.01", "drift covers, 0.01"]), (0.1, ["drift said, 0.1", "drift covers, 0.1"])]
    {
        let caliper = Instrument { step, ..Instrument::CALIPER };
        let none = filed(&mut dice.fork(), &caliper, 0.0);
        marks.case(said, none.drift.is_some_and(|drift| drift.creep.is_some()));
        let drift = filed(&mut dice.fork(), &caliper, 0.005).drift.expect("enough cutters");
        marks.case(covers, (drift.both.low.get()..=drift.both.high.get()).contains(&0.005));
    }
}

/// A round whose cutters were filed to a length that creeps up by so much a cutter.
fn filed(dice: &mut Dice, caliper: &Instrument, creep: f64) -> Findings {
    let mut round = Round::begin(header(36)).expect("links fit");
    let mut seq = 0;
    let mut put = |event: Event, round: &mut Round| {
        seq += 1;
        round.apply(Entry { seq, at: round.header.started, by: None, typed: None, event });
    };
    for number in 1..=36 {
        let event = Event::Length { cutter: nth(number), when: When::Before, mm: mm(9.0), again: false };
        put(event, &mut round);
    }
    put(Event::Target { mm: mm(8.8), left_short: Vec::new(), recommended: true }, &mut round);
    for number in (1..=36).step_by(2).chain((2..=36).step_by(2)) {
        let place = f64::from((number - 1) / 2);
        let truth = 8.82 + creep * place + 0.03 * dice.normal();
        let read = mm(caliper.read(truth, dice));
        put(Event::Length { cutter: nth(number), when: When::After, mm: read, again: false }, &mut round);
    }
    let (past, skill, prices) = (Past::default(), Skill::default(), Prices::default());
    Findings::of(&Context { round: &round, past: &past, skill: &skill, prices: &prices, tension: None })
}
