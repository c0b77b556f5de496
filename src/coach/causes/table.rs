//! The table of faults: symptom, cause, remedy, and who says so.
//!
//! Makers of chains and saws are left unnamed: their operator and maintenance manuals agree with each other in these
//! tables. Pages of dealers and services are the weakest class and marked as such.

use super::{Cause, Symptom};

/// Who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Fault tables of operator manuals.
    OperatorManuals,
    /// Maintenance and safety manual of a chain maker, pages 39 to 52, 212 and 213.
    MaintenanceManual,
    /// Operator manual, page 16, and others.
    OperatorManual16,
    /// A chainsaw trainer's article on cutter lengths, 2008, and a chain maker's sheets.
    Trainer,
    /// Dealers' and service pages (weak).
    Dealers,
    /// A maker's sheet on wear.
    WearSheet,
    /// Maciak and Kubuska-Orlowska, Forests 16(12), 2025, article 1763.
    Maciak2025,
    /// Common practice, no source.
    Practice,
}

impl Source {
    /// In a few words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::OperatorManuals => "operator manuals, fault tables",
            Self::MaintenanceManual => "maintenance manual of a chain maker, pp. 39-52, 212-213",
            Self::OperatorManual16 => "operator manual, p. 16, and others",
            Self::Trainer => "trainer's article on cutter lengths, 2008; makers' sheets",
            Self::Dealers => "dealers' and service pages (weak)",
            Self::WearSheet => "maker's sheet on wear",
            Self::Maciak2025 => "Maciak and Kubuska-Orlowska, Forests 16(12):1763, 2025",
            Self::Practice => "common practice, no source",
        }
    }
}

/// One row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// How the saw cuts.
    pub symptom: Symptom,
    /// What may be behind it.
    pub cause: Cause,
    /// The cause in words.
    pub words: &'static str,
    /// What helps.
    pub remedy: &'static str,
    /// Who says so.
    pub source: Source,
}

const fn row(symptom: Symptom, cause: Cause, words: &'static str, remedy: &'static str, source: Source) -> Row {
    Row { symptom, cause, words, remedy, source }
}

use Cause::{
    AngleLarge, AngleSmall, AnglesDiffer, Backslope, BarBent, Blunt, DamagedSide, Dirt, Groove, HandleHigh, HandleLow,
    Hook, LightFeed, Loose, Nose, Oil, Rails, RakerFronts, RakersHigh, RakersLow, RakersOfSide, RakersUneven, Sprocket,
    Unequal,
};
use Source::{Dealers, Maciak2025, MaintenanceManual, OperatorManual16, OperatorManuals, Practice, Trainer, WearSheet};
use Symptom::{Dulls, Dust, Forced, Grabs, Jumps, Pulls, Smokes};

/// All rows, the likelier cause of a symptom first.
pub const TABLE: &[Row] = &[
    row(Dust, Blunt, "The cutters are blunt.", "Sharpen every cutter.", OperatorManuals),
    row(
        Dust,
        RakersHigh,
        "The rakers are too high; surely so when there is dust right after sharpening.",
        "File the rakers down to their gap.",
        OperatorManuals,
    ),
    row(
        Pulls,
        Unequal,
        "Left and right cutters are of different length.",
        "File all to the shortest that is kept.",
        Trainer,
    ),
    row(
        Pulls,
        DamagedSide,
        "Cutters of one side are damaged by stone or dirt.",
        "File all damage out, then make lengths equal.",
        MaintenanceManual,
    ),
    row(
        Pulls,
        AnglesDiffer,
        "Left and right top-plate angles differ.",
        "File both sides to the same angle, with a guide.",
        Trainer,
    ),
    row(
        Pulls,
        RakersOfSide,
        "The rakers of one side are too high or too low: that side bites less or more.",
        "Set both sides to the same gap: file high rakers down; where they are too low, file the teeth until the gap is right.",
        Practice,
    ),
    row(
        Pulls,
        Rails,
        "The bar's rails are uneven or worn.",
        "Dress the rails square, or replace the bar.",
        MaintenanceManual,
    ),
    row(Pulls, Groove, "The chain leans over in a worn groove.", "Replace the bar.", OperatorManuals),
    row(Pulls, BarBent, "The bar is bent or cracked.", "Replace the bar.", OperatorManuals),
    row(
        Grabs,
        RakersLow,
        "The rakers are too low. This raises kickback.",
        "Steel cannot be put back: file the teeth until the gap is right, or retire the loop.",
        OperatorManual16,
    ),
    row(
        Grabs,
        Hook,
        "The edge has a hook: the file was too small or held too low.",
        "File again with the right file, a fifth of it above the top plate.",
        OperatorManual16,
    ),
    row(
        Grabs,
        AngleLarge,
        "The top-plate angle is too large: very sharp, rough and erratic.",
        "File to the angle of the chain.",
        OperatorManual16,
    ),
    row(
        Grabs,
        RakerFronts,
        "The rakers' fronts were left square.",
        "Round each front to its shape, then check the gap.",
        WearSheet,
    ),
    row(
        Forced,
        RakersHigh,
        "The rakers are too high: the edge hardly bites.",
        "File the rakers down to their gap.",
        OperatorManuals,
    ),
    row(Forced, Blunt, "The cutters are blunt.", "Sharpen every cutter.", OperatorManuals),
    row(
        Forced,
        Backslope,
        "The side plate leans back: the file was too large or held too high.",
        "Check the file's size and file again, a fifth of it above the top plate.",
        OperatorManual16,
    ),
    row(
        Forced,
        AngleSmall,
        "The top-plate angle is too small: slow, needs effort.",
        "File to the angle of the chain.",
        MaintenanceManual,
    ),
    row(
        Forced,
        HandleHigh,
        "The cutting angle is blunt though the gap is right: the handle was held too high.",
        "Hold the file level, or as the chain's maker says.",
        MaintenanceManual,
    ),
    row(
        Dulls,
        Hook,
        "The edge has a hook: the file was too small or held too low.",
        "File again with the right file, a fifth of it above the top plate.",
        OperatorManual16,
    ),
    row(
        Dulls,
        AngleLarge,
        "The top-plate angle is too large: a thin edge.",
        "File to the angle of the chain.",
        OperatorManual16,
    ),
    row(
        Dulls,
        HandleLow,
        "The top plate is filed thin: the handle was held too low.",
        "Hold the file level, or as the chain's maker says.",
        MaintenanceManual,
    ),
    row(
        Dulls,
        Dirt,
        "Sand or dirt in bark and wood.",
        "File until the worn strip on the side plate is gone; clean the wood or lift it.",
        MaintenanceManual,
    ),
    row(
        Dulls,
        Oil,
        "Bar and chain get too little oil: they run hot and wear.",
        "Hold the running nose over something light: it must throw oil. Fill the tank, clean oil hole and groove.",
        MaintenanceManual,
    ),
    row(
        Dulls,
        LightFeed,
        "The saw is fed too lightly: the edge rubs more than it cuts.",
        "Let a sharp chain bite.",
        Maciak2025,
    ),
    row(
        Jumps,
        RakersLow,
        "The rakers are too low. This raises kickback.",
        "Steel cannot be put back: file the teeth until the gap is right, or retire the loop.",
        Dealers,
    ),
    row(Jumps, RakersUneven, "The rakers are of uneven height.", "Check every gap and set them alike.", Dealers),
    row(
        Jumps,
        Sprocket,
        "The sprocket is worn: the chain runs unevenly over it.",
        "Fit a new sprocket; a chain whose drive links it battered goes too.",
        Practice,
    ),
    row(Jumps, Loose, "The chain is loose, worse with deep rakers.", "Set the tension when it is cold.", Practice),
    row(Smokes, Blunt, "The cutters are blunt; so with oil too.", "Sharpen every cutter.", Dealers),
    row(
        Smokes,
        Oil,
        "Bar and chain get too little oil.",
        "Hold the running nose over something light: it must throw oil. Fill the tank, clean oil hole and groove.",
        MaintenanceManual,
    ),
    row(
        Smokes,
        Nose,
        "The bar's nose does not turn and gets hot.",
        "Clean and grease it where it is made for it, or replace it.",
        Practice,
    ),
];
