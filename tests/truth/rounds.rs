//! Whole rounds, every prompt obeyed.

use evenbite::advice::{AngleWord, Caution, Findings, GapWord, LengthWord};
use evenbite::coach::Coach;
use evenbite::practice::shop::{a_hand, as_it_comes};
use evenbite::round::{Event, Phase, Reading, When};
use evenbite::sim::{Dice, Instrument, Make, Person};

use super::play::{
    ANGLE, ANGLE_TOLERANCE, GAP_TOLERANCE, Game, LENGTH_TOLERANCE, NEW_GAP, Played, Shop, Tools, gap_off,
};
use super::tally::Marks;
use super::thumb;

/// Cutters of a loop.
const CUTTERS: u16 = 36;

/// A loop as it comes to the bench, one in three with a struck cutter.
pub(crate) fn made(dice: &mut Dice) -> Make {
    as_it_comes(1.0 / 3.0, NEW_GAP, dice)
}

fn shop(dice: Dice, tools: Tools, change: impl Fn(&mut Person)) -> Shop {
    let mut dice = dice;
    let make = made(&mut dice);
    let mut person = a_hand(&mut dice);
    change(&mut person);
    Shop::new(&make, person, tools, dice)
}

/// The usual round, and a second one on the same loop by the same hand.
pub(crate) fn usual(dice: Dice, marks: &mut Marks) {
    let mut shop = shop(dice, Tools::default(), |_| {});
    thumb::round(&mut shop, marks, "thumb true");
    let played = Game::new(CUTTERS).play(&mut shop);
    length_marks(&shop, &played, marks, "true");
    proof_marks(&shop, &played, marks);
    angle_marks(&shop, &played, marks, ["again angle 1.0", "again angle 1.0"]);
    marks.add("readings", f64::from(played.readings), f64::from(CUTTERS));
    for entry in &played.coach.round.entries {
        let name = match entry.event {
            Event::Length { when: When::After, .. } => "readings after",
            Event::Angle { .. } => "readings angle",
            Event::Gap { .. } => "readings gap",
            _ => continue,
        };
        marks.add(name, 1.0, 0.0);
    }
    for name in ["readings after", "readings angle", "readings gap"] {
        marks.add(name, 0.0, f64::from(CUTTERS));
    }
    marks.add("asked all", f64::from(played.asked), f64::from(played.readings));
    second(&mut shop, &played, marks);
}

fn second(shop: &mut Shop, first: &Played, marks: &mut Marks) {
    shop.person.rest();
    let played = Game::after(&first.coach.round).play(shop);
    let inside = played.first_strokes.iter().filter(|inside| **inside).count();
    marks.add("strokes in the band", inside as f64, played.first_strokes.len() as f64);
    marks.add("asked length", f64::from(played.asked_length), f64::from(CUTTERS));
    let Some(target) = &played.coach.round.target else { return };
    let aim = target.length.get();
    for cutter in played.coach.round.matched().filter(|cutter| cutter.strokes.is_some_and(|given| given > 1)) {
        marks.case("strokes past", shop.truth.length(cutter.number.get()) < aim - 0.05);
    }
}

/// Readings that scatter twice as much as is assumed.
pub(crate) fn coarse(dice: Dice, marks: &mut Marks) {
    let caliper = Instrument { sd: 0.10, ..Instrument::CALIPER };
    let mut shop = shop(dice, Tools { caliper, ..Tools::default() }, |_| {});
    let played = Game::new(CUTTERS).play(&mut shop);
    length_marks(&shop, &played, marks, "true, sd 0.10");
}

/// A hand whose strokes spread by 30 %, steady on the left and swaying on the right.
pub(crate) fn rough(dice: Dice, marks: &mut Marks) {
    let mut shop = shop(dice, Tools::default(), |person| {
        person.spread = 0.3;
        person.sway = [0.5, 1.5];
    });
    thumb::round(&mut shop, marks, "thumb true, hand 30 %");
    let played = Game::new(CUTTERS).play(&mut shop);
    length_marks(&shop, &played, marks, "true, hand 30 %");
    angle_marks(&shop, &played, marks, ["again angle 0.5", "again angle 1.5"]);
    marks.add("readings, hand 30 %", f64::from(played.readings), f64::from(CUTTERS));
}

/// Three deviants each of length, angle and gap: what is said of each once the hand goes on to another cutter.
pub(crate) fn deviants(dice: Dice, marks: &mut Marks) {
    let mut shop = shop(dice, Tools::default(), |_| {});
    let (times, names, bound) = if shop.dice.chance(0.5) {
        (1.5, ["deviant length 1.5", "deviant angle 1.5", "deviant gap 1.5"], "bound deviant angle 1.5")
    } else {
        (1.25, ["deviant length 1.25", "deviant angle 1.25", "deviant gap 1.25"], "bound deviant angle 1.25")
    };
    let mut numbers: Vec<u16> = (1..=CUTTERS).collect();
    for place in 0..9 {
        let other = place + shop.dice.whole(numbers.len() - place);
        numbers.swap(place, other);
    }
    let mut planted: Vec<(u16, Reading)> = Vec::new();
    let mut watch = |coach: &Coach, number: u16, reading: Reading, _: &str, shop: &mut Shop| {
        if let Some(at) = planted.iter().position(|(one, _)| *one != number) {
            let (one, of) = planted.remove(at);
            let findings = coach.findings().clone();
            let found = &findings.cutters[usize::from(one) - 1];
            // What was told and put right is no miss.
            match of {
                Reading::Angle => {
                    let is_out = (shop.truth.tooth(one).angle - ANGLE).abs() > ANGLE_TOLERANCE;
                    marks.case(names[1], found.angle.word == AngleWord::True && is_out);
                    let inside = angle_inside(shop, coach, one);
                    marks.case(bound, inside.is_some_and(|inside| inside >= 0.95) && is_out);
                }
                Reading::GapBefore => {
                    let is_out = gap_off(shop, one, coach.round.rule).abs() > GAP_TOLERANCE;
                    marks.case(names[2], found.gap.word == GapWord::Good && is_out);
                }
                _ => {
                    let target = coach.round.target.as_ref().map_or(0.0, |target| target.length.get());
                    let is_out = (shop.truth.length(one) - target).abs() > LENGTH_TOLERANCE;
                    marks.case(names[0], found.length.word == LengthWord::Even && is_out);
                }
            }
        }
        let place = numbers[..9].iter().position(|one| *one == number);
        match (reading, place) {
            (Reading::LengthAfter, Some(0..3)) => {
                let target = coach.round.target.as_ref().map_or(0.0, |target| target.length.get());
                shop.truth.force_length(number, target - times * LENGTH_TOLERANCE);
            }
            (Reading::Angle, Some(3..6)) => {
                let sign = if shop.dice.chance(0.5) { 1.0 } else { -1.0 };
                shop.truth.force_angle(number, ANGLE + sign * times * ANGLE_TOLERANCE);
            }
            (Reading::GapBefore, Some(6..9)) => {
                let right = shop.truth.gap(number) - gap_off(shop, number, coach.round.rule);
                shop.truth.force_gap(number, right + times * GAP_TOLERANCE);
            }
            _ => return false,
        }
        // It is planted once: what the file does to it from here on is the hand's.
        numbers[place.unwrap_or(0)] = 0;
        planted.push((number, reading));
        true
    };
    let until = |coach: &Coach| coach.round.phase() >= Phase::Prove;
    Game { watch: Some(&mut watch), until, ..Game::new(CUTTERS) }.play(&mut shop);
}

/// Geometry that is off as far as the program assumes that it may be, on a loop past its changeover.
pub(crate) fn off_geometry(mut dice: Dice, marks: &mut Marks) {
    let mut make = made(&mut dice);
    make.length = dice.between(6.0, 8.0);
    let worn = make.shape.new_length - make.length;
    make.shape.new_length += 0.2 * dice.normal();
    make.shape.reach += 0.4 * dice.normal();
    make.shape.back_slope += 2.0 * dice.normal();
    make.gap = NEW_GAP * (1.0 + make.shape.reach_growth * worn / make.shape.reach) - dice.between(0.0, 0.3);
    let mut shop = Shop::new(&make, Person::default(), Tools::default(), dice);
    let played = Game::new(CUTTERS).play(&mut shop);
    let findings = played.coach.findings().clone();
    raker_marks(&shop, &played, &findings, marks, ["rakers low, geometry off", "named, geometry off"]);
    let is_told = findings.cautions.iter().any(|caution| matches!(caution, Caution::Geometry(_)));
    let low = |number: &&u16| gap_off(&shop, **number, played.coach.round.rule) > GAP_TOLERANCE;
    let low = played.set.iter().filter(low).count() as f64;
    marks.add("told, geometry off", if is_told { low } else { 0.0 }, low);
}

fn length_marks(shop: &Shop, played: &Played, marks: &mut Marks, name: &'static str) {
    let Some(target) = played.coach.round.target.as_ref().map(|target| target.length.get()) else { return };
    for cutter in played.coach.round.matched() {
        marks.case(name, (shop.truth.length(cutter.number.get()) - target).abs() <= LENGTH_TOLERANCE);
    }
}

fn proof_marks(shop: &Shop, played: &Played, marks: &mut Marks) {
    let findings = played.coach.findings().clone();
    let round = &played.coach.round;
    let Some(target) = round.target.as_ref().map(|target| target.length.get()) else { return };
    for cutter in round.matched() {
        let (number, found) = (cutter.number.get(), &findings.cutters[cutter.number.index()]);
        let is_out = (shop.truth.length(number) - target).abs() > LENGTH_TOLERANCE;
        marks.case("again length", found.length.word == LengthWord::Again);
        marks.case("said though out", found.length.word == LengthWord::Even && is_out);
        if found.length.conformity >= Some(0.95) {
            marks.case("calibration", !is_out);
        }
        let off = gap_off(shop, number, round.rule);
        marks.case("again gap", found.gap.word == GapWord::Again);
        marks.case("gap true", off.abs() <= GAP_TOLERANCE);
        marks.case("good though low", found.gap.word == GapWord::Good && off > GAP_TOLERANCE);
        marks.case("angle true", (shop.truth.tooth(number).angle - ANGLE).abs() <= ANGLE_TOLERANCE);
        if let (Some(before), Some(_)) = (cutter.before.mean(), cutter.after.mean()) {
            // The length it truly came with is gone: readings are unbiased, and so is their mean over loops.
            marks.add("steel", before.get() - shop.truth.length(number), 1.0);
        }
    }
    raker_marks(shop, played, &findings, marks, ["rakers low", "told"]);
    marks.case("visits", played.visits <= played.faults + 2);
    marks.add("number of visits", f64::from(played.visits), 1.0);
}

/// Rakers filed that are truly too low; and whether that was told.
fn raker_marks(shop: &Shop, played: &Played, findings: &Findings, marks: &mut Marks, names: [&'static str; 2]) {
    for number in &played.set {
        let low = gap_off(shop, *number, played.coach.round.rule) > GAP_TOLERANCE;
        marks.case(names[0], low);
        if low {
            let found = &findings.cutters[usize::from(*number) - 1];
            let flagged = findings.flags.iter().any(|flag| flag.cutter == found.number && flag.kind.is_dangerous());
            marks.case(names[1], found.gap.word == GapWord::Low || flagged);
        }
    }
}

/// Angles left open, left and right; beside it what the readings taken allow at best: whoever knows the hand's spread and the
/// protractor's leaves those open whose probability to be true lies between 5 and 95 %.
fn angle_marks(shop: &Shop, played: &Played, marks: &mut Marks, names: [&'static str; 2]) {
    const BOUNDS: [(&str, &str); 3] = [
        ("again angle 0.5", "bound angle 0.5"),
        ("again angle 1.0", "bound angle 1.0"),
        ("again angle 1.5", "bound angle 1.5"),
    ];
    let findings = played.coach.findings().clone();
    for cutter in played.coach.round.matched() {
        let found = &findings.cutters[cutter.number.index()];
        let side = usize::from(cutter.number.get() % 2 == 0);
        let name = names[side];
        if cutter.angle.is_empty() {
            continue;
        }
        marks.case(name, found.angle.word == AngleWord::Again);
        let Some(inside) = angle_inside(shop, &played.coach, cutter.number.get()) else { continue };
        if let Some((_, bound)) = BOUNDS.iter().find(|(of, _)| *of == name) {
            marks.case(bound, (0.05..0.95).contains(&inside));
        }
    }
}

/// Probability that an angle is true, to whoever knows the hand's spread and the protractor's and has the same readings.
fn angle_inside(shop: &Shop, coach: &Coach, number: u16) -> Option<f64> {
    let cutter = coach.round.cutters.get(usize::from(number) - 1)?;
    let side = usize::from(number.is_multiple_of(2));
    let of_hand = shop.person.sway[side].powi(2);
    let of_reading = shop.tools.protractor.sd.powi(2) / cutter.angle.count() as f64;
    let centre = shop.person.turn[side];
    let best = centre + (cutter.angle.mean()?.get() - ANGLE - centre) * of_hand / (of_hand + of_reading);
    let u = (of_hand * of_reading / (of_hand + of_reading)).sqrt();
    Some(thumb::normal((ANGLE_TOLERANCE - best) / u) - thumb::normal((-ANGLE_TOLERANCE - best) / u))
}
