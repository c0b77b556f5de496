//! A simulated loop on a bench, the hand that files it, the instruments that read it.

use crate::advice::Findings;
use crate::chain::CutterNumber;
use crate::coach::Coach;
use crate::round::Reading;
use crate::sim::{Dice, Instrument, Loop, Make, Person};

/// What is read with.
#[derive(Debug, Clone, Copy)]
pub struct Tools {
    /// For lengths.
    pub caliper: Instrument,
    /// For raker gaps.
    pub gauge: Instrument,
    /// For top-plate angles.
    pub protractor: Instrument,
}

impl Default for Tools {
    fn default() -> Self {
        Self { caliper: Instrument::CALIPER, gauge: Instrument::GAUGE, protractor: Instrument::PROTRACTOR }
    }
}

/// A loop on a bench, and who works there with what.
#[derive(Debug)]
pub struct Shop {
    /// The loop as it truly is.
    pub truth: Loop,
    /// Whose hand files it.
    pub person: Person,
    /// What it is read with.
    pub tools: Tools,
    /// Where chance comes from.
    pub dice: Dice,
}

/// A loop as it comes to the bench: somewhere in its life, in this share of cases with a struck cutter; its rakers, set right at some
/// time to `new_gap` when new, have been left alone for up to three rounds.
pub fn as_it_comes(struck: f64, new_gap: f64, dice: &mut Dice) -> Make {
    let length = dice.between(6.0, 9.5);
    let struck = if dice.chance(struck) { vec![dice.between(0.3, 0.8)] } else { Vec::new() };
    let base = Make::default();
    let worn = base.shape.new_length - length;
    let right = if worn < 1.9 { new_gap } else { new_gap * (1.0 + base.shape.reach_growth * worn / base.shape.reach) };
    let gap = right - dice.between(0.0, 0.15);
    Make { length, struck, gap, spread: 0.1, side_bias: 0.05 * dice.normal(), ..base }
}

/// A hand of its own: what a stroke takes differs from one to the next by a quarter.
pub fn a_hand(dice: &mut Dice) -> Person {
    Person { stroke: dice.around(0.1, 0.25), turn: [0.3 * dice.normal(), 0.3 * dice.normal()], ..Person::default() }
}

impl Shop {
    /// A bench with a loop made like this.
    pub fn new(make: &Make, person: Person, tools: Tools, mut dice: Dice) -> Self {
        Self { truth: Loop::new(make, &mut dice), person, tools, dice }
    }

    /// What is read at a cutter, as it is typed.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn read(&mut self, number: u16, reading: Reading) -> String {
        let (tool, truth) = match reading {
            Reading::Angle => (self.tools.protractor, self.truth.tooth(number).angle),
            Reading::GapBefore | Reading::GapAfter => (self.tools.gauge, self.truth.gap(number)),
            _ => (self.tools.caliper, self.truth.length(number)),
        };
        let shown = tool.read(truth, &mut self.dice);
        if tool.step >= 0.1 || reading == Reading::Angle { format!("{shown:.1}") } else { format!("{shown:.2}") }
    }

    /// The hand comes to a cutter: where no strokes are on record yet, how the steel gives way there and the angle that they leave are thrown.
    pub fn come_to(&mut self, coach: &Coach, cutter: CutterNumber) {
        if coach.round.cutter(cutter).is_some_and(|at| at.strokes.is_none()) {
            self.truth.take_up(cutter.get(), wanted_angle(coach), &self.person, &mut self.dice);
        }
    }

    /// So many full strokes at a cutter, or one light one.
    pub fn file(&mut self, cutter: CutterNumber, strokes: u32, light: bool) {
        if light {
            self.truth.light_stroke(cutter.get(), &mut self.person, &mut self.dice);
        } else {
            self.truth.strokes(cutter.get(), strokes, &mut self.person, &mut self.dice);
        }
    }

    /// What the prompt asks to be done to the cutter before the reading is taken: the corner turned right, the raker filed down. True
    /// where a raker was filed.
    pub fn prepare(&mut self, coach: &Coach, findings: &Findings, cutter: CutterNumber, reading: Reading) -> bool {
        let number = cutter.get();
        let now = coach.prompt(findings).now;
        if reading == Reading::Angle && now.ends_with("Then check it again.") {
            self.truth.light_stroke(number, &mut self.person, &mut self.dice);
            self.truth.take_up(number, wanted_angle(coach), &self.person, &mut self.dice);
        }
        if reading != Reading::GapAfter || !now.starts_with("Raker too high") {
            return false;
        }
        let Some(at) = coach.round.cutter(cutter) else { return false };
        let high = findings.cutter(cutter).map_or(0.0, |found| found.raker.take.get());
        let missing = || coach.round.target_gap(at).zip(at.gap()).map_or(0.0, |(wanted, gap)| (wanted - gap).get());
        let high = if high > 0.0 { high } else { missing() };
        self.truth.file_raker(number, high, &self.person, &mut self.dice);
        true
    }
}

/// The top-plate angle that the round asks for, degrees.
fn wanted_angle(coach: &Coach) -> f64 {
    coach.round.header.spec.top_plate_for(coach.round.header.wood).get()
}
