//! Ten short lessons, each with a question that is answered by a guess: a number typed, or a [`WearModel`] moved to it.
//!
//! What the room is for: what to read, where the model starts, and how near a guess is. The right answer is always computed from
//! the loop's own figures; none is written down here. Nothing tells it before somebody has guessed: a guess is only called too
//! little or too much, and from the third one on by how much.

mod figures;
mod sitting;
mod texts;
mod wear_model;

pub use crate::advice::Lesson;
use crate::advice::Skill;
pub use crate::advice::lesson::Reached;
use crate::chain::geometry::bite_angle;
use crate::chain::{Rule, Spec, Wood, profile::built_in};
use crate::units::{Millimetres, Unit, deg, mm};
pub use sitting::{Lessons, Sitting, TRIES};
pub use wear_model::{Raker, Setting, WearModel};

/// A cutter worn less than this teaches nothing of wear, as a share of the usable length; the lessons then take one worn by `WORN`.
const LEAST_WORN: f64 = 0.15;
const WORN: f64 = 4.0 / 7.0;
/// The plate is asked about on a cutter worn by this share: 6 mm of a 3/8 inch cutter's 7.
const PLATE_WORN: f64 = 6.0 / 7.0;
/// How much shorter the next cutter is in the lesson on height.
const SHORTER: Millimetres = mm(0.5);
/// How much too low the raker is in the lesson on it.
const TOO_LOW: Millimetres = mm(0.1);
/// What the closed caliper shows in the lesson on reading it, and how its three readings lie about the length.
const ZERO: Millimetres = mm(0.02);
const READ: [f64; 3] = [0.05, -0.04, 0.05];
/// Readings in the lesson on measuring again.
const READINGS: usize = 4;
/// Strokes a side, rounds, and the share by which one side's strokes take less in the lesson on the hand.
const STROKES: f64 = 6.0;
const ROUNDS: f64 = 5.0;
const LIGHTER: f64 = 1.0 / 3.0;

/// What the lessons stand on: a loop's own figures where there is one, and how far it is worn.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    spec: Spec,
    wood: Wood,
    worn: f64,
    /// The wear that the loop has, where it is known.
    at: Option<Millimetres>,
    /// Unit of what is read and typed.
    pub unit: Unit,
}

impl Ground {
    /// A 3/8 inch cutter, a good half worn.
    ///
    /// # Panics
    /// Never in a released program: the tests read every built-in file.
    pub fn usual(unit: Unit) -> Self {
        let spec = built_in::named("three-eighths").expect("a built-in profile").spec().clone();
        Self::of(&spec, Wood::Any, None, unit)
    }

    /// A loop's own figures, at the wear it has; one that is hardly worn is looked at as it will be.
    pub fn of(spec: &Spec, wood: Wood, wear: Option<Millimetres>, unit: Unit) -> Self {
        let usable = spec.usable().get();
        let worn = wear.map(Millimetres::get).filter(|worn| (LEAST_WORN * usable..usable).contains(worn));
        Self { spec: spec.clone(), wood, worn: worn.unwrap_or(WORN * usable), at: wear, unit }
    }

    /// The model as it opens: at the loop's own wear, new where that is not known.
    pub fn model(&self) -> WearModel {
        WearModel::new(&self.spec, self.wood).worn(self.at.unwrap_or_default().get(), Raker::Fixed)
    }

    fn named(&self, length: Millimetres) -> String {
        self.unit.show_named(length)
    }

    fn worn(&self) -> String {
        self.named(mm(self.worn))
    }

    /// Three readings of one cutter, as the caliper of its lesson shows them.
    fn readings(&self) -> [Millimetres; 3] {
        let length = self.spec.new_length.get() - self.worn;
        // As they are shown, so that the mean is that of what is read.
        let shown = |by: f64| mm(((length + ZERO.get() + by) * 100.0).round() / 100.0);
        READ.map(shown)
    }
}

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// A place of the model.
    Place(Setting),
    /// A length that is only typed.
    Length,
    /// A share in percent that is only typed.
    Percent,
}

impl Asked {
    /// The unit that it is typed in.
    pub const fn unit(self, unit: Unit) -> &'static str {
        match self {
            Self::Place(setting) if !setting.is_length() => "degrees",
            Self::Place(_) | Self::Length => unit.of_lengths(),
            Self::Percent => "%",
        }
    }
}

impl Lesson {
    /// What is asked for.
    pub const fn asked(self) -> Asked {
        match self {
            Self::Shrinks | Self::Rules => Asked::Place(Setting::Wear),
            Self::Growth => Asked::Place(Setting::Gap),
            Self::Rocks => Asked::Place(Setting::Rock),
            Self::Plate => Asked::Percent,
            Self::Unequal | Self::TooDeep | Self::Caliper | Self::Again | Self::LightHand => Asked::Length,
        }
    }

    /// What is to be moved; the first setting where only a number is asked for.
    pub const fn setting(self) -> Setting {
        match self.asked() {
            Asked::Place(setting) => setting,
            Asked::Length | Asked::Percent => Setting::Wear,
        }
    }

    /// The model as the lesson begins.
    pub fn start(self, ground: &Ground) -> WearModel {
        let new = WearModel::new(&ground.spec, ground.wood);
        let usable = ground.spec.usable().get();
        match self {
            Self::Shrinks => new.worn(0.0, Raker::Untouched),
            Self::Growth => {
                let worn = new.worn(ground.worn, Raker::Scaled);
                let gap = (worn.gap() - worn.tip_drop()).get();
                worn.with_gap(gap)
            }
            Self::Rules => new,
            Self::Plate => new.worn(PLATE_WORN * usable, Raker::Plate),
            Self::TooDeep => {
                let worn = new.worn(ground.worn, Raker::Fixed);
                let gap = worn.gap() + TOO_LOW;
                worn.with_gap(gap.get())
            }
            Self::Unequal => {
                let mut model = new.worn(ground.worn, Raker::Fixed);
                model.set(Setting::Shorter, SHORTER.get());
                model
            }
            Self::Rocks | Self::Caliper | Self::Again | Self::LightHand => new.worn(ground.worn, Raker::Fixed),
        }
    }

    /// The right answer: mm, degrees or percent, computed for the loop as it is.
    pub fn answer(self, ground: &Ground) -> f64 {
        let (spec, wood) = (&ground.spec, ground.wood);
        let model = self.start(ground);
        let fixed = spec.fixed_gap(wood);
        match self {
            Self::Shrinks => fixed.get() / spec.fall(),
            Self::Growth => spec.scaled_gap(wood, model.wear()).get(),
            Self::Rocks => bite_angle(model.gap(), model.reach()).get(),
            Self::Rules => spec.wear_at_share(wood, spec.worth_share).get(),
            Self::Plate => 100.0 * (1.0 - model.share()),
            Self::Unequal => model.next_lower().get(),
            Self::TooDeep => spec.tooth_to_restore(Rule::Fixed, wood, model.wear(), TOO_LOW).get(),
            Self::Caliper => {
                let readings = ground.readings();
                let mean = readings.iter().copied().sum::<Millimetres>() / readings.len() as f64;
                (mean - ZERO).get()
            }
            Self::Again => Skill::default().length_u(READINGS).get(),
            Self::LightHand => spec.tip_drop(spec.stroke * (LIGHTER * STROKES * ROUNDS)).get(),
        }
    }

    /// How far off a guess may be and still be right.
    pub fn slack(self, ground: &Ground) -> f64 {
        let tenth = 0.1 * self.answer(ground).abs();
        match self.asked() {
            Asked::Place(setting) => setting.step(ground.unit) * (1.0 + 1e-9),
            Asked::Percent => tenth.max(5.0),
            Asked::Length if self == Self::Caliper => 0.006,
            Asked::Length => tenth.max(0.003),
        }
    }

    /// A guess, or how far a guess is off, in words.
    fn shown(self, value: f64, unit: Unit) -> String {
        match self.asked() {
            Asked::Place(setting) if !setting.is_length() => format!("{:.1} degrees", deg(value).get()),
            Asked::Place(_) | Asked::Length => unit.show_named(mm(value)),
            Asked::Percent => format!("{value:.0} %"),
        }
    }
}

#[cfg(test)]
mod tests;
