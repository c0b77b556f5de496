//! A cutter to play with: a few settings, and everything that follows from them by the arithmetic of [`crate::chain`].

use crate::chain::geometry::{bite_angle, bite_left};
use crate::chain::{Plate, Rule, Spec, Wood};
use crate::units::{Degrees, MM_PER_INCH, Millimetres, Unit, deg, mm};

/// What decides the raker gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raker {
    /// The raker as on the new cutter: nobody touched it.
    Untouched,
    /// Set to the one fixed gap.
    Fixed,
    /// Set to the wear-scaled gap.
    Scaled,
    /// Filed flush with the plate gauge's slot.
    Plate,
    /// Any gap at all.
    ByHand,
}

impl Raker {
    /// All of them, in the order in which they are stepped through.
    pub const ALL: [Self; 5] = [Self::Untouched, Self::Fixed, Self::Scaled, Self::Plate, Self::ByHand];

    /// Name on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Untouched => "left untouched",
            Self::Fixed => Rule::Fixed.word(),
            Self::Scaled => Rule::Scaled.word(),
            Self::Plate => Rule::Plate.word(),
            Self::ByHand => "by hand",
        }
    }

    fn step(self, up: bool) -> Self {
        let at = Self::ALL.iter().position(|other| *other == self).unwrap_or(0);
        Self::ALL[(at + if up { 1 } else { Self::ALL.len() - 1 }) % Self::ALL.len()]
    }
}

/// What can be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// Length filed off since new.
    Wear,
    /// How the raker is set.
    Raker,
    /// The raker gap itself.
    Gap,
    /// Back slope.
    Slope,
    /// How far ahead of the raker the plate's foot rests.
    Foot,
    /// How far the cutter rocks back in the cut.
    Rock,
    /// How much shorter the next cutter is.
    Shorter,
}

impl Setting {
    /// All of them, top to bottom.
    pub const ALL: [Self; 7] = [Self::Wear, Self::Raker, Self::Gap, Self::Slope, Self::Foot, Self::Rock, Self::Shorter];

    /// Name on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wear => "filed off",
            Self::Raker => "raker",
            Self::Gap => "raker gap",
            Self::Slope => "back slope",
            Self::Foot => "plate foot",
            Self::Rock => "rocks back",
            Self::Shorter => "next shorter by",
        }
    }

    /// The word by which it is named where it is typed.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Wear => "wear",
            Self::Raker => "raker",
            Self::Gap => "gap",
            Self::Slope => "slope",
            Self::Foot => "foot",
            Self::Rock => "rock",
            Self::Shorter => "shorter",
        }
    }

    /// What one key press changes: mm, or degrees for the two angles. Zero for the way the raker is set. Lengths go by round
    /// figures of the unit that they are told in.
    pub const fn step(self, unit: Unit) -> f64 {
        match (self, unit) {
            (Self::Raker, _) => 0.0,
            (Self::Rock, _) => 0.2,
            (Self::Slope, _) | (Self::Foot, Unit::Mm) => 0.5,
            (Self::Gap, Unit::Mm) => 0.02,
            (Self::Shorter, Unit::Mm) => 0.05,
            (Self::Wear, Unit::Mm) => 0.1,
            (Self::Gap, Unit::Inch) => 0.001 * MM_PER_INCH,
            (Self::Shorter, Unit::Inch) => 0.002 * MM_PER_INCH,
            (Self::Wear, Unit::Inch) => 0.010 * MM_PER_INCH,
            (Self::Foot, Unit::Inch) => 0.020 * MM_PER_INCH,
        }
    }

    /// True for lengths, false for angles and for the way the raker is set.
    pub const fn is_length(self) -> bool {
        matches!(self, Self::Wear | Self::Gap | Self::Foot | Self::Shorter)
    }
}

/// Steepest back slope that can be set, degrees.
const SLOPE_MAX: f64 = 20.0;
/// Farthest that the cutter can be rocked, degrees.
const ROCK_MAX: f64 = 12.0;
/// Nearest and farthest foot, mm.
const FOOT: (f64, f64) = (4.0, 40.0);
/// Largest difference to the next cutter, mm.
const SHORTER_MAX: f64 = 2.0;
/// Lowest gap that can be set by hand, mm: the raker then stands above the corner.
const GAP_MIN: f64 = -1.0;

/// The cutter and its settings.
#[derive(Debug, Clone, PartialEq)]
pub struct WearModel {
    original: Spec,
    spec: Spec,
    wood: Wood,
    plate: Plate,
    wear: f64,
    raker: Raker,
    by_hand: f64,
    rock: f64,
    shorter: f64,
}

impl WearModel {
    /// A new cutter whose raker is set to the fixed gap.
    pub fn new(spec: &Spec, wood: Wood) -> Self {
        let plate = spec.plate.unwrap_or_else(|| usual_plate(spec, wood));
        let by_hand = spec.fixed_gap(wood).get();
        Self {
            original: spec.clone(),
            spec: spec.clone(),
            wood,
            plate,
            wear: 0.0,
            raker: Raker::Fixed,
            by_hand,
            rock: 0.0,
            shorter: 0.0,
        }
    }

    /// The same with this many mm filed off and the raker set that way.
    #[must_use]
    pub fn worn(mut self, wear: f64, raker: Raker) -> Self {
        self.wear = wear.clamp(0.0, self.spec.usable().get());
        self.raker = raker;
        self
    }

    /// The same with this raker gap, set by hand.
    #[must_use]
    pub fn with_gap(mut self, gap: f64) -> Self {
        (self.raker, self.by_hand) = (Raker::ByHand, gap);
        self
    }

    /// The chain as it was given.
    pub const fn original(&self) -> &Spec {
        &self.original
    }

    /// The chain, with the back slope as it is set.
    pub const fn spec(&self) -> &Spec {
        &self.spec
    }

    /// What the saw cuts.
    pub const fn wood(&self) -> Wood {
        self.wood
    }

    /// The plate gauge, with its foot as it is set.
    pub const fn plate(&self) -> Plate {
        self.plate
    }

    /// How the raker is set.
    pub const fn raker(&self) -> Raker {
        self.raker
    }

    /// Length filed off since new.
    pub const fn wear(&self) -> Millimetres {
        mm(self.wear)
    }

    /// Cutter length left.
    pub fn length(&self) -> Millimetres {
        self.spec.new_length - self.wear()
    }

    /// Length of the next cutter.
    pub fn next_length(&self) -> Millimetres {
        self.length() - mm(self.shorter)
    }

    /// How much lower the next cutter's corner stands.
    pub fn next_lower(&self) -> Millimetres {
        self.spec.height_step(self.length(), self.next_length())
    }

    /// Raker gap. Negative where the raker stands above the corner.
    pub fn gap(&self) -> Millimetres {
        match self.raker {
            Raker::Untouched => self.spec.gap_after_filing(self.spec.fixed_gap(self.wood), self.wear()),
            Raker::Fixed => self.spec.fixed_gap(self.wood),
            Raker::Scaled => self.spec.scaled_gap(self.wood, self.wear()),
            Raker::Plate => self.plate_gap(),
            Raker::ByHand => mm(self.by_hand),
        }
    }

    /// Gap that the plate leaves, at most the chain's largest.
    pub fn plate_gap(&self) -> Millimetres {
        self.plate.gap(&self.spec, self.wear()).min(self.spec.gap_max)
    }

    /// Reach.
    pub fn reach(&self) -> Millimetres {
        match self.raker {
            // Its highest point stays where it is: only the corner moves.
            Raker::Untouched => self.spec.reach_new + self.wear(),
            _ => self.spec.reach(self.wear()),
        }
    }

    /// Bite angle.
    pub fn bite(&self) -> Degrees {
        bite_angle(self.gap(), self.reach())
    }

    /// Share of the new cutter's bite angle that is left; below 0 where the raker stands above the corner.
    pub fn share(&self) -> f64 {
        self.bite().get() / self.spec.bite_new(self.wood).get()
    }

    /// How far the cutter rocks back.
    pub const fn rock(&self) -> Degrees {
        deg(self.rock)
    }

    /// Bite left while it is rocked.
    pub fn bite_left(&self) -> Millimetres {
        bite_left(self.gap(), self.reach(), self.rock())
    }

    /// Height that the corner has lost since new.
    pub fn tip_drop(&self) -> Millimetres {
        self.spec.tip_drop(self.wear())
    }

    /// Steel that this raker has lost since new: what its gap grew by, plus the drop of the corner.
    pub fn raker_lost(&self) -> Millimetres {
        self.gap() - self.spec.fixed_gap(self.wood) + self.tip_drop()
    }

    /// Steel that it must have lost for the wear-scaled gap.
    pub fn raker_needs(&self) -> Millimetres {
        self.spec.raker_steel(self.wood, self.wear())
    }

    /// A setting's value in mm or degrees; 0 for the way the raker is set.
    pub fn value(&self, setting: Setting) -> f64 {
        match setting {
            Setting::Wear => self.wear,
            Setting::Raker => 0.0,
            Setting::Gap => self.gap().get(),
            Setting::Slope => self.spec.back_slope.get(),
            Setting::Foot => self.plate.foot.get(),
            Setting::Rock => self.rock,
            Setting::Shorter => self.shorter,
        }
    }

    /// Moves a setting to a value in mm or degrees, or as near to it as it can go. The way the raker is set has none.
    pub fn set(&mut self, setting: Setting, value: f64) {
        match setting {
            Setting::Wear => self.wear = value.clamp(0.0, self.spec.usable().get()),
            Setting::Raker => {}
            Setting::Gap => {
                self.by_hand = value.clamp(GAP_MIN, self.spec.gap_max.get());
                self.raker = Raker::ByHand;
            }
            Setting::Slope => self.spec.back_slope = deg(value.clamp(0.0, SLOPE_MAX)),
            Setting::Foot => self.plate.foot = mm(value.clamp(FOOT.0, FOOT.1)),
            Setting::Rock => self.rock = value.clamp(0.0, ROCK_MAX),
            Setting::Shorter => self.shorter = value.clamp(0.0, SHORTER_MAX),
        }
    }

    /// Sets the raker in this way; by hand it keeps the gap that it has.
    pub fn set_raker(&mut self, raker: Raker) {
        self.by_hand = self.gap().get();
        self.raker = raker;
    }

    /// The cutter in numbers, one fact each.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let named = |length| unit.show_named(length);
        vec![
            format!("filed off: {}", named(self.wear())),
            format!("cutter length: {}", named(self.length())),
            format!("raker: {}", self.raker.word()),
            format!("raker gap: {}", named(self.gap())),
            format!("reach: {}", named(self.reach())),
            format!("bite angle: {:.1} degrees, {:.0} % of a new cutter's", self.bite().get(), self.share() * 100.0),
            format!("corner lower than new: {}", named(self.tip_drop())),
            format!("raker has lost since new: {}", named(self.raker_lost())),
            format!("for the wear-scaled gap it must have lost: {}", named(self.raker_needs())),
            format!("back slope: {:.1} degrees", self.spec.back_slope.get()),
            format!("plate gauge, foot {} ahead, leaves: {}", named(self.plate.foot), named(self.plate_gap())),
            format!("rocked back by {:.1} degrees, bite left: {}", self.rock, named(self.bite_left())),
            format!("next cutter shorter by {}, lower by: {}", named(mm(self.shorter)), named(self.next_lower())),
        ]
    }

    /// Moves a setting one step up or down. Moving the gap turns the raker over to setting by hand, at the gap it has.
    pub fn change(&mut self, setting: Setting, more: bool, unit: Unit) {
        let next = |low: f64, high: f64| step(self.value(setting), setting.step(unit), more).clamp(low, high);
        match setting {
            Setting::Wear => self.wear = next(0.0, self.spec.usable().get()),
            Setting::Raker => {
                self.by_hand = self.gap().get();
                self.raker = self.raker.step(more);
            }
            Setting::Gap => {
                self.by_hand = next(GAP_MIN, self.spec.gap_max.get());
                self.raker = Raker::ByHand;
            }
            Setting::Slope => self.spec.back_slope = deg(next(0.0, SLOPE_MAX)),
            Setting::Foot => self.plate.foot = mm(next(FOOT.0, FOOT.1)),
            Setting::Rock => self.rock = next(0.0, ROCK_MAX),
            Setting::Shorter => self.shorter = next(0.0, SHORTER_MAX),
        }
    }
}

/// The next round number above or below.
fn step(value: f64, step: f64, more: bool) -> f64 {
    let at = value / step;
    // The slack keeps a value that is a hair off its round number from being stepped to that number.
    let next = if more { (at + 1e-6).floor() + 1.0 } else { (at - 1e-6).ceil() - 1.0 };
    next * step
}

/// A plate for a chain whose own is not known: its foot 7/3 of the new reach ahead of the raker, its line 14.5 degrees
/// on a new cutter, its slot such that it leaves the fixed gap there (common practice for a 3/8 inch chain, no source).
fn usual_plate(spec: &Spec, wood: Wood) -> Plate {
    let foot = spec.reach_new * (7.0 / 3.0);
    let height = (spec.reach_new + foot) * deg(14.5).radians().tan();
    let share = spec.reach_new.get() / (spec.reach_new + foot).get();
    Plate { foot, height, slot: height * share - spec.fixed_gap(wood) }
}
