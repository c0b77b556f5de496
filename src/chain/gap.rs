//! The raker gap: which rule serves today, what it asks for, and from what wear on.
//!
//! With one fixed gap `g0` the bite angle `atan(g0 / d(w))` fades as the reach `d` grows with wear. The
//! wear-scaled gap `G(w) = d(w) tan(alpha0)` holds it. The changeover is where the fixed rule has lost so much
//! bite that the scaled one is worth the extra work.

use serde::{Deserialize, Serialize};
use strum::{Display, EnumMessage, EnumString, IntoStaticStr, VariantArray};

use super::geometry::bite_angle;
use super::limits::Corner;
use super::spec::Spec;
use crate::units::{Degrees, Millimetres, Unit};

/// What practice says of the changeover, beside the wear that is reckoned here. Common practice, no source.
pub(crate) fn practice(unit: Unit) -> String {
    let (recommended, needed) = (practice_range(unit), unit.rough(Millimetres::new(4.0)));
    format!(
        "Practice, on 3/8 inch, no source: the wear-scaled gap makes little difference before a cutter is half worn (50 to 60 %); it is recommended from {recommended} worn and clearly needed by {needed}."
    )
}

/// The wear from which practice recommends the wear-scaled gap. Common practice, no source.
pub(crate) fn practice_range(unit: Unit) -> String {
    unit.rough_range(Millimetres::new(2.0), Millimetres::new(3.0))
}

/// What the saw will cut until the next round. It bounds the gap.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    Serialize,
    Deserialize,
    EnumMessage,
    EnumString,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Wood {
    /// Anything, frozen wood and hardwood included: the base gap.
    #[default]
    #[strum(message = "Frozen wood and hardwood included")]
    Any,
    /// Hardwood only: the base gap and, where the profile states one, the smaller top-plate angle.
    #[strum(message = "Hardwood only")]
    Hardwood,
    /// Softwood only and no frost: the profile's larger base gap may be used.
    #[strum(message = "Softwood only, and no frost")]
    SoftwoodNoFrost,
}

/// The way a raker's target gap is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Rule {
    /// One gap for every cutter.
    #[default]
    Fixed,
    /// A gap that grows with each cutter's wear so that its bite angle stays.
    Scaled,
    /// Whatever the sharpener's plate gauge leaves.
    Plate,
    /// The published setting, where the fixed gap for this wood is more.
    Setting,
}

/// Where a cutter or a loop stands in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, Display)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Stage {
    /// The one fixed gap still serves.
    Fixed,
    /// The wear-scaled gap is worth using.
    Worth,
    /// The wear-scaled gap is due.
    Due,
    /// At the witness mark: the cutter is spent.
    Retire,
}

impl Spec {
    /// `g0`: the fixed rule's gap for this wood.
    pub fn fixed_gap(&self, wood: Wood) -> Millimetres {
        match wood {
            Wood::SoftwoodNoFrost => self.softwood_gap,
            Wood::Any | Wood::Hardwood => self.base_gap,
        }
        .min(self.gap_max)
    }

    /// Top-plate angle to file for this wood. The smaller one for hardwood is for round corners.
    ///
    /// Source: MSA (French farm and forest workers' insurance), page on sharpening chain saws, 2021: 30 degrees in softwood and 25
    /// in hardwood, square corners always 30.
    pub fn top_plate_for(&self, wood: Wood) -> Degrees {
        match wood {
            Wood::Hardwood if self.limits.corner != Corner::Square => self.top_plate_hardwood.unwrap_or(self.top_plate),
            Wood::Any | Wood::Hardwood | Wood::SoftwoodNoFrost => self.top_plate,
        }
    }

    /// `alpha0`: the bite angle to hold, `atan(g0 / d_new)` unless the profile states it.
    pub fn bite_new(&self, wood: Wood) -> Degrees {
        self.bite.unwrap_or_else(|| bite_angle(self.fixed_gap(wood), self.reach_new))
    }

    /// Wear-scaled gap before the cap: `G(w) = d(w) tan(alpha0)`.
    pub fn scaled_gap_uncapped(&self, wood: Wood, wear: Millimetres) -> Millimetres {
        self.reach(wear) * self.bite_new(wood).radians().tan()
    }

    /// Wear-scaled gap, at most `gap_max`.
    pub fn scaled_gap(&self, wood: Wood, wear: Millimetres) -> Millimetres {
        self.scaled_gap_uncapped(wood, wear).min(self.gap_max)
    }

    /// Wear from which the wear-scaled gap is held at `gap_max`, from `d = gap_max / tan(alpha0)`. It may lie past the
    /// witness mark.
    pub fn cap_wear(&self, wood: Wood) -> Millimetres {
        let reach = self.gap_max * (1.0 / self.bite_new(wood).radians().tan());
        (reach - self.reach_new) * (1.0 / self.reach_growth())
    }

    /// Target gap by a rule for a cutter of that wear; `None` for the plate rule without a plate.
    pub fn target_gap(&self, rule: Rule, wood: Wood, wear: Millimetres) -> Option<Millimetres> {
        match rule {
            Rule::Fixed => Some(self.fixed_gap(wood)),
            Rule::Scaled => Some(self.scaled_gap(wood, wear)),
            Rule::Plate => self.plate.map(|plate| plate.gap(self, wear).min(self.gap_max)),
            Rule::Setting => Some(self.published_gap(wood)),
        }
    }

    /// Steel that the raker has lost since new under the wear-scaled rule: gap growth **plus** tip drop,
    /// `G(w) - g0 + w tan(beta)`, in mm.
    pub fn raker_steel(&self, wood: Wood, wear: Millimetres) -> Millimetres {
        self.scaled_gap(wood, wear) - self.fixed_gap(wood) + self.tip_drop(wear)
    }

    /// Gap after the tooth lost `filed` of its length and the raker was left alone: `g - x tan(beta)`.
    pub fn gap_after_filing(&self, gap: Millimetres, filed: Millimetres) -> Millimetres {
        gap - filed * self.fall()
    }

    /// Tooth length to file so that a raker that is too low by `excess` on a cutter of that wear is right again; 0 where
    /// it is not too low.
    ///
    /// Filing `x` off the tooth lowers its corner by `x tan(beta)`, and mostly raises the target too:
    /// - fixed rule: `x = e / tan(beta)`;
    /// - wear-scaled rule: the target rises by `x rho tan(alpha0)`, so `x = e / (rho tan(alpha0) + tan(beta))`;
    /// - plate: see [`Plate::tooth_to_restore`](super::Plate::tooth_to_restore).
    ///
    /// A target at `gap_max` does not rise, so the answer is never less than what brings the gap down to that.
    pub fn tooth_to_restore(&self, rule: Rule, wood: Wood, wear: Millimetres, excess: Millimetres) -> Millimetres {
        let none = Millimetres::default();
        if excess <= none {
            return none;
        }
        let plain = excess * (1.0 / self.fall());
        let (uncapped, gap) = match (rule, self.plate) {
            (Rule::Fixed | Rule::Setting, _) | (Rule::Plate, None) => return plain,
            (Rule::Scaled, _) => {
                let target = self.scaled_gap_uncapped(wood, wear);
                let gap = target.min(self.gap_max) + excess;
                let rise = self.reach_growth() * self.bite_new(wood).radians().tan();
                ((gap - target) * (1.0 / (rise + self.fall())), gap)
            }
            (Rule::Plate, Some(plate)) => {
                let gap = plate.gap(self, wear).min(self.gap_max) + excess;
                (plate.tooth_to_restore(self, wear, gap).unwrap_or(plain), gap)
            }
        };
        uncapped.max((gap - self.gap_max) * (1.0 / self.fall())).max(none)
    }

    /// Share of the new bite angle that the fixed rule still gives at that wear.
    pub fn share_kept(&self, wood: Wood, wear: Millimetres) -> f64 {
        bite_angle(self.fixed_gap(wood), self.reach(wear)).get() / self.bite_new(wood).get()
    }

    /// Wear at which the fixed rule keeps just `share` of the new bite angle: from
    /// `atan(g0 / d) = share * alpha0`, `d = g0 / tan(share * alpha0)` and `w = (d - d_new) / rho`.
    pub fn wear_at_share(&self, wood: Wood, share: f64) -> Millimetres {
        let reach = self.fixed_gap(wood) * (1.0 / (share * self.bite_new(wood).radians()).tan());
        (reach - self.reach_new) * (1.0 / self.reach_growth())
    }

    /// Wear from which the wear-scaled gap is due: `due_life` of the usable length, or where the fixed rule keeps
    /// less than `due_share` of the bite, whichever comes first. Never before the witness mark where the loop's limits leave the
    /// scaled gap no room.
    pub fn due_wear(&self, wood: Wood) -> Millimetres {
        if self.is_held(wood) {
            return self.usable();
        }
        self.wear_at_share(wood, self.due_share).min(self.usable() * self.due_life)
    }

    /// Wear from which the wear-scaled gap is worth using; never after [`Spec::due_wear`].
    pub fn worth_wear(&self, wood: Wood) -> Millimetres {
        if self.is_held(wood) {
            return self.usable();
        }
        self.wear_at_share(wood, self.worth_share).min(self.due_wear(wood))
    }

    /// Rule for a loop of that length: the fixed gap before `worth`, the wear-scaled one from it on.
    pub fn rule_at(&self, wood: Wood, length: Millimetres) -> Rule {
        if self.wear(length) < self.worth_wear(wood) || self.is_held(wood) { Rule::Fixed } else { Rule::Scaled }
    }

    /// Where a cutter of this length stands.
    pub fn stage(&self, wood: Wood, length: Millimetres) -> Stage {
        let wear = self.wear(length);
        if self.at_mark(length) {
            Stage::Retire
        } else if wear >= self.due_wear(wood) {
            Stage::Due
        } else if wear >= self.worth_wear(wood) {
            Stage::Worth
        } else {
            Stage::Fixed
        }
    }
}

impl Stage {
    /// The same in a sentence of its own.
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Fixed => "The fixed gap still serves.",
            Self::Worth => "A wear-scaled gap is worth using.",
            Self::Due => "A wear-scaled gap is due.",
            Self::Retire => "At the witness mark: retire it.",
        }
    }
}

impl Rule {
    /// Name on screens and sheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fixed => "fixed gap",
            Self::Scaled => "wear-scaled gap",
            Self::Plate => "plate gauge",
            Self::Setting => "published gap",
        }
    }
}

impl Wood {
    /// Name on screens and sheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Any => "any wood",
            Self::Hardwood => "hardwood",
            Self::SoftwoodNoFrost => "unfrozen softwood only",
        }
    }

    /// What follows a gap that is set for this wood: `, unfrozen softwood only`, or nothing.
    pub const fn only(self) -> &'static str {
        match self {
            Self::Any | Self::Hardwood => "",
            Self::SoftwoodNoFrost => ", unfrozen softwood only",
        }
    }
}
