//! The one table of profile keys: what each is called, whether it is needed, what it may be.

/// One number of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Key in the file; its ending says the unit.
    pub key: &'static str,
    /// Name on screen.
    pub label: &'static str,
    /// Unit on screen.
    pub unit: &'static str,
    /// A profile without it is refused.
    pub needed: bool,
    /// Smallest and largest value allowed, both included.
    pub range: (f64, f64),
}

/// What a profile may hold under a key: a loop's own figure is held to the same.
pub fn range(key: &str) -> (f64, f64) {
    FIELDS.iter().find(|field| field.key == key).map_or((f64::MIN, f64::MAX), |field| field.range)
}

const fn mm(key: &'static str, label: &'static str, low: f64, high: f64) -> Field {
    Field { key, label, unit: "mm", needed: true, range: (low, high) }
}

const fn degrees(key: &'static str, label: &'static str, low: f64, high: f64) -> Field {
    Field { key, label, unit: "deg", needed: true, range: (low, high) }
}

const fn share(key: &'static str, label: &'static str, low: f64, high: f64) -> Field {
    Field { key, label, unit: "share", needed: true, range: (low, high) }
}

const fn optional(field: Field) -> Field {
    Field { needed: false, ..field }
}

/// Every number that a profile may state, in the order it is shown and written.
///
/// The ranges are wide: they stop misprints (a raker gap of a tenth of an inch stands in print), not unusual chains.
pub const FIELDS: [Field; 31] = [
    mm("pitch_mm", "pitch", 4.0, 25.0),
    optional(mm("pitch_marked_mm", "pitch as makers print it", 4.0, 25.0)),
    mm("new_length_mm", "cutter length new", 3.0, 40.0),
    mm("mark_length_mm", "cutter length at the witness mark", 0.5, 20.0),
    mm("reach_new_mm", "reach new", 1.0, 30.0),
    optional(mm("reach_mark_mm", "reach at the witness mark", 1.0, 60.0)),
    degrees("back_slope_deg", "back slope", 1.0, 25.0),
    mm("base_gap_mm", "raker gap", 0.2, 1.2),
    mm("softwood_gap_mm", "raker gap, softwood without frost", 0.2, 1.4),
    mm("gap_max_mm", "largest raker gap", 0.2, 2.0),
    optional(degrees("bite_deg", "bite angle to hold", 1.0, 15.0)),
    degrees("top_plate_deg", "top-plate angle", 0.0, 45.0),
    optional(degrees("top_plate_hardwood_deg", "top-plate angle, hardwood", 0.0, 45.0)),
    degrees("cutting_deg", "top-plate cutting angle", 30.0, 80.0),
    degrees("side_plate_deg", "side-plate angle", 45.0, 105.0),
    degrees("file_tilt_deg", "file tilt", -15.0, 30.0),
    optional(degrees("head_tilt_deg", "tilt of a grinder's head", -30.0, 60.0)),
    mm("length_tolerance_mm", "length tolerance", 0.02, 1.0),
    mm("gap_tolerance_mm", "gap tolerance", 0.01, 0.5),
    degrees("angle_tolerance_deg", "angle tolerance", 0.5, 10.0),
    share("worth_share", "bite share below which the wear-scaled gap is worth it", 0.3, 0.99),
    share("due_life", "share of life from which the wear-scaled gap is due", 0.05, 1.0),
    share("due_share", "bite share below which the wear-scaled gap is due", 0.2, 0.99),
    mm("need_mm", "length a dull edge must lose", 0.0, 2.0),
    mm("wear_per_round_mm", "usual wear of a round", 0.02, 2.0),
    mm("stroke_mm", "usual length a stroke takes", 0.002, 0.5),
    optional(mm("half_kerf_mm", "half kerf new", 1.0, 12.0)),
    optional(degrees("side_taper_deg", "side taper", 0.0, 15.0)),
    optional(mm("plate_foot_mm", "plate gauge: foot ahead of the raker", 2.0, 60.0)),
    optional(mm("plate_height_mm", "plate gauge: corner above the foot, new", 0.5, 20.0)),
    optional(mm("plate_slot_mm", "plate gauge: slot face above the resting line", -2.0, 5.0)),
];
