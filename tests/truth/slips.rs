//! Slips between the eye and the record: which are asked about, which are flagged, which pass.

use chrono::Duration;
use evenbite::coach::{Coach, Reply, Tone};
use evenbite::round::{Entry, Reading};
use evenbite::sim::{Dice, Person, Slip};

use super::play::{ANGLE_TOLERANCE, GAP_TOLERANCE, Game, LENGTH_TOLERANCE, Shop, Tools};
use super::rounds::made;
use super::tally::Marks;

const CUTTERS: u16 = 36;
/// Share of the fields at which every slip is tried.
const TRIED: f64 = 0.05;

/// A first and a second round; at some fields every slip is tried on a copy of the coach.
pub(crate) fn slips(mut dice: Dice, marks: &mut Marks) {
    let make = made(&mut dice);
    let mut shop = Shop::new(&make, Person::default(), Tools::default(), dice);
    let mut first = |coach: &Coach, number: u16, reading: Reading, text: &str, shop: &mut Shop| {
        if shop.dice.chance(TRIED) {
            try_all(coach, number, reading, text, shop, marks, true);
        }
        false
    };
    let played = Game { watch: Some(&mut first), ..Game::new(CUTTERS) }.play(&mut shop);
    let mut later = |coach: &Coach, number: u16, reading: Reading, text: &str, shop: &mut Shop| {
        if shop.dice.chance(TRIED) {
            try_all(coach, number, reading, text, shop, marks, false);
            if reading == Reading::LengthBefore {
                let short = shop.dice.between(0.2, 1.6);
                let typed = format!("{:.2}", text.parse::<f64>().expect("a reading") - short);
                marks.case("slip short, known", answer(coach, &typed).is_asked());
            }
        }
        false
    };
    Game { watch: Some(&mut later), ..Game::after(&played.coach.round) }.play(&mut shop);
}

/// What becomes of a line.
enum Answer {
    /// Asked about, or not taken.
    Asked,
    /// Taken, and something is said against it.
    Flagged,
    /// Taken without a word.
    Passed,
}

impl Answer {
    const fn is_asked(&self) -> bool {
        matches!(self, Self::Asked)
    }

    const fn is_seen(&self) -> bool {
        !matches!(self, Self::Passed)
    }
}

fn answer(coach: &Coach, typed: &str) -> Answer {
    let mut coach = coach.clone();
    let at = coach.round.entries.last().map_or(coach.round.header.started, |entry| entry.at) + Duration::seconds(20);
    match coach.enter(typed, at) {
        Reply::Record(pending) => {
            let mut flagged = false;
            for one in pending {
                let seq = u32::try_from(coach.round.entries.len()).expect("few entries") + 1;
                let said = coach.recorded(Entry { seq, at, by: None, typed: one.typed, event: one.event });
                flagged |= !matches!(said.tone, Tone::Good | Tone::Plain) || said.ask_again;
            }
            if flagged || coach.is_held() { Answer::Flagged } else { Answer::Passed }
        }
        _ => Answer::Asked,
    }
}

fn try_all(
    coach: &Coach,
    number: u16,
    reading: Reading,
    text: &str,
    shop: &mut Shop,
    marks: &mut Marks,
    is_first: bool,
) {
    let tolerance = match reading {
        Reading::Strokes => return stroke_slip(coach, number, text, shop, marks),
        Reading::Angle => ANGLE_TOLERANCE,
        Reading::GapBefore | Reading::GapAfter => GAP_TOLERANCE,
        Reading::LengthBefore | Reading::LengthAfter => LENGTH_TOLERANCE,
    };
    let asked = match (reading, is_first) {
        (Reading::LengthBefore, _) => Some("slip asked, length before"),
        (Reading::GapBefore, true) => Some("slip asked, gap before"),
        (Reading::Angle, _) => Some("slip asked, angle"),
        _ => None,
    };
    let meant: f64 = text.parse().expect("a reading");
    let beside = shop.read(if number == CUTTERS { 1 } else { number + 1 }, reading);
    for slip in Slip::ALL {
        if slip == Slip::OtherUnit && reading == Reading::Angle {
            continue;
        }
        let Some(typed) = slip.typed(text, &beside, &mut shop.dice) else { continue };
        if typed.parse::<f64>().is_ok_and(|value| (value - meant).abs() > tolerance) {
            let answer = answer(coach, &typed);
            if let Some(name) = asked {
                marks.case(name, answer.is_asked());
            }
            marks.case("slip asked or flagged", answer.is_seen());
            if slip == Slip::OtherUnit && reading == Reading::GapBefore {
                marks.case("inches for a gap", answer.is_asked());
            }
        }
    }
}

/// The digit doubled: asked, and what it does to the strokes advised from then on where it is kept.
fn stroke_slip(coach: &Coach, number: u16, text: &str, shop: &mut Shop, marks: &mut Marks) {
    let slip = text.repeat(2);
    if text == "0" || text.len() > 1 {
        return;
    }
    let length = shop.read(number, Reading::LengthAfter);
    let rate = |coach: &Coach| {
        let findings = coach.findings().clone();
        let other =
            findings.cutters.iter().find(|found| found.after.is_none() && found.number.get() % 2 == number % 2)?;
        Some(other.strokes?.per_stroke.get())
    };
    let kept = || {
        let mut coach = coach.clone();
        let at = coach.round.header.started;
        for line in [slip.as_str(), length.as_str()] {
            let mut reply = coach.enter(line, at);
            if let Reply::Question(_) = reply {
                reply = coach.keep();
            }
            let Reply::Record(pending) = reply else { return None };
            for one in pending {
                let seq = u32::try_from(coach.round.entries.len()).expect("few entries") + 1;
                coach.recorded(Entry { seq, at, by: None, typed: one.typed, event: one.event });
            }
        }
        rate(&coach)
    };
    marks.case("stroke slip asked", answer(coach, &slip).is_asked());
    if let (Some(before), Some(after)) = (rate(coach), kept()) {
        marks.case("rate moved", (after / before - 1.0).abs() > 0.10);
    }
}
