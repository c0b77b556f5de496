//! Six short lessons about the raker gap, each with a question that is answered by moving a [`WearModel`].
//!
//! What the room is for: what to read, where the model starts, and whether it was moved to the right place. The right
//! place is always computed from the model as it stands; no answer is written down here.

mod wear_model;

pub use crate::advice::Lesson;
use crate::chain::geometry::bite_angle;
use crate::chain::{Wood, profile::built_in};
use crate::units::{Millimetres, Unit, mm};
pub use wear_model::{Raker, Setting, WearModel};

/// Wear of the worn cutter in the lessons, mm: more than half of a 3/8 inch cutter's usable length.
const WORN: f64 = 4.0;
/// Height between two cutters that the last lesson asks for, mm: a good part of a raker gap.
const LOWER: Millimetres = mm(0.1);

impl Lesson {
    /// What there is to know, sentence by sentence.
    pub const fn text(self) -> &'static [&'static str] {
        match self {
            Self::Shrinks => &[
                "The top plate falls toward its rear.",
                "So each file stroke moves the corner back and down.",
                "The raker ahead of it stays as high as it was.",
                "The gap shrinks though nobody touched the raker, and a cutter without a gap does not cut.",
            ],
            Self::Growth => &[
                "With wear the corner moves away from the raker: the reach grows.",
                "To bite at the same angle the gap must grow too. That is the gap growth.",
                "The corner has also come down. That is the tip drop.",
                "The raker must lose both; often one of them is forgotten.",
            ],
            Self::Rocks => &[
                "In the cut the chain's pull rocks the cutter back about its raker.",
                "Rocking lowers the corner and takes bite away.",
                "Rocked by its bite angle, no bite is left: the edge only rubs.",
                "A long reach with a small gap has a small bite angle, so a little rocking is enough.",
            ],
            Self::Rules => &[
                "A fixed gap is the same on every cutter. Its bite angle fades as the reach grows.",
                "A wear-scaled gap grows with the reach and keeps the bite angle.",
                "On a cutter that is hardly worn the two are nearly the same.",
                "From a certain wear on the larger gap is worth its work.",
            ],
            Self::Plate => &[
                "A plate gauge rests on the corner and, with its foot, on a strap ahead.",
                "The raker is filed flush with its slot.",
                "Its gap first grows with the reach, then falls with the corner: neither rule.",
                "The longer the foot, the smaller the gap it leaves.",
            ],
            Self::Unequal => &[
                "The top plate falls, so a shorter cutter is also lower.",
                "The higher one takes the thicker chip and the load; the lower one follows in its track.",
                "If the low ones are all on one side, the cut runs to the other.",
                "Little length is very little height: that is why a small tolerance is enough.",
            ],
        }
    }

    /// The question.
    pub fn question(self, unit: Unit) -> String {
        let worn = unit.show_named(mm(WORN));
        match self {
            Self::Shrinks => "Leave the raker untouched and file the cutter. When is the gap gone?".to_owned(),
            Self::Growth => {
                format!("{worn} filed off; the raker lost the gap growth, the drop was forgotten. Set the gap right.")
            }
            Self::Rocks => format!("{worn} filed off, fixed gap. Rock the cutter until no bite is left."),
            Self::Rules => {
                let share = Self::spec().worth_share * 100.0;
                format!("Keep the fixed gap and file the cutter. When is {share:.0} % of the new bite left?")
            }
            Self::Plate => {
                format!("{worn} filed off. How far ahead must the foot rest for no more than the fixed gap?")
            }
            Self::Unequal => {
                format!("How much shorter is the next cutter whose corner runs {} lower?", unit.show_named(LOWER))
            }
        }
    }

    fn spec() -> crate::chain::Spec {
        built_in::named("three-eighths").expect("a built-in profile").spec().clone()
    }

    /// The model as the lesson begins: always a 3/8 inch cutter.
    pub fn start(self) -> WearModel {
        let new = WearModel::new(&Self::spec(), Wood::Any);
        match self {
            Self::Shrinks => new.worn(0.0, Raker::Untouched),
            Self::Growth => {
                let worn = new.worn(WORN, Raker::Scaled);
                let gap = (worn.gap() - worn.tip_drop()).get();
                worn.with_gap(gap)
            }
            Self::Rocks => new.worn(WORN, Raker::Fixed),
            Self::Rules => new,
            Self::Plate => new.worn(WORN, Raker::Plate),
            Self::Unequal => new.worn(WORN / 2.0, Raker::Fixed),
        }
    }

    /// What is to be moved.
    pub const fn setting(self) -> Setting {
        match self {
            Self::Shrinks | Self::Rules => Setting::Wear,
            Self::Growth => Setting::Gap,
            Self::Rocks => Setting::Rock,
            Self::Plate => Setting::Foot,
            Self::Unequal => Setting::Shorter,
        }
    }

    /// Where it has to stand, mm or degrees, computed for the model as it is.
    ///
    /// The plate's foot follows from `g = H d / (d + F) - t` solved for `F = d (H / (g + t) - 1)`.
    pub fn answer(self, model: &WearModel) -> f64 {
        let (spec, wood, wear) = (model.spec(), model.wood(), model.wear());
        let fixed = spec.fixed_gap(wood);
        match self {
            Self::Shrinks => fixed.get() / spec.fall(),
            Self::Growth => spec.scaled_gap(wood, wear).get(),
            Self::Rocks => bite_angle(model.gap(), model.reach()).get(),
            Self::Rules => spec.wear_at_share(wood, spec.worth_share).get(),
            Self::Plate => {
                let height = model.plate().height - spec.tip_drop(wear);
                model.reach().get() * (height.get() / (fixed + model.plate().slot).get() - 1.0)
            }
            Self::Unequal => LOWER.get() / spec.fall(),
        }
    }

    /// Whether the model stands where the question asks. `Err` says what is still off.
    ///
    /// # Errors
    /// A sentence: which other setting was moved, or how far the asked one is from its place.
    pub fn check(self, model: &WearModel, unit: Unit) -> Result<String, String> {
        if let Some(moved) = self.moved_aside(model) {
            return Err(format!("The {} was moved too. Press r to start this question again.", moved.name()));
        }
        let setting = self.setting();
        let off = self.answer(model) - model.value(setting);
        if off.abs() > setting.step() * (1.0 + 1e-9) {
            let by =
                if setting.is_length() { unit.show_named(mm(off.abs())) } else { format!("{:.1} degrees", off.abs()) };
            return Err(if off > 0.0 { format!("Not yet: {by} more.") } else { format!("Too far: {by} back.") });
        }
        Ok(format!("Right. {}", self.why(model, unit)))
    }

    /// A setting that the question does not ask for and that no longer stands where it began.
    fn moved_aside(self, model: &WearModel) -> Option<Setting> {
        let (start, own) = (self.start(), self.setting());
        // The gap follows from the other settings, unless it is what the question is about.
        let watched = Setting::ALL.into_iter().filter(|setting| *setting != own && *setting != Setting::Gap);
        let moved = |setting: &Setting| match setting {
            Setting::Raker => own != Setting::Gap && start.raker() != model.raker(),
            other => (start.value(*other) - model.value(*other)).abs() > 1e-6,
        };
        watched.into_iter().find(moved)
    }

    fn why(self, model: &WearModel, unit: Unit) -> String {
        let named = |length| unit.show_named(length);
        let spec = model.spec();
        match self {
            Self::Shrinks => format!(
                "The corner dropped {}, as much as the gap was: each {} filed off cost {} of it.",
                named(model.tip_drop()),
                named(mm(1.0)),
                named(spec.tip_drop(mm(1.0)))
            ),
            Self::Growth => format!(
                "{} of gap growth and {} of drop: {} off the raker since new.",
                named(model.gap() - spec.fixed_gap(model.wood())),
                named(model.tip_drop()),
                named(model.raker_lost())
            ),
            Self::Rocks => format!(
                "That is its bite angle, {:.1} degrees. New it was {:.1}.",
                model.bite().get(),
                spec.bite_new(model.wood()).get()
            ),
            Self::Rules => format!(
                "At {} left the wear-scaled gap is {}: from here on it is worth using.",
                named(model.length()),
                named(spec.scaled_gap(model.wood(), model.wear()))
            ),
            Self::Plate => format!(
                "It leaves {} here. The constant bite would ask for {}: know what your own plate does.",
                named(model.plate_gap()),
                named(spec.scaled_gap(model.wood(), model.wear()))
            ),
            Self::Unequal => format!(
                "{} of length made {} of height; a tolerance of {} makes only {}.",
                named(model.length() - model.next_length()),
                named(model.next_lower()),
                named(spec.length_tolerance),
                named(spec.tip_drop(spec.length_tolerance))
            ),
        }
    }
}

#[cfg(test)]
mod tests;
