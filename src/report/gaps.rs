//! The bench table: raker gap by cutter length, for every rule, to print and hang over the bench.
//!
//! Lengths run from long to short, as a cutter's life does. Every number is a function of [`Spec`]; this file
//! only chooses the lengths, and its formats only write them down.

mod columns;
mod curve;
mod data;
mod facts;
mod html;
mod text;

use crate::advice::slope;
use crate::chain::gap::practice;
use crate::chain::geometry::bite_angle;
use crate::chain::{Origin, Profile, Spec, Stage, Standing, Wood};
use crate::report::format::Format;
use crate::units::{Degrees, Millimetres, Unit, mm};

/// Most rows of one table.
pub(crate) const MAX_ROWS: usize = 5000;

/// Two lengths closer than this are one row.
const SAME_MM: f64 = 1e-6;

/// A table that cannot be made; [`GapTableError::words`] tells it in a unit of lengths.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", self.words(Unit::Mm))]
pub enum GapTableError {
    /// An end of the table that no cutter of this profile can have.
    End {
        /// `start at` or `end at`.
        end: &'static str,
        /// What was asked for.
        read: Millimetres,
        /// The witness mark.
        low: Millimetres,
        /// The new length.
        high: Millimetres,
    },
    /// The ends are the wrong way round, or the same.
    Order {
        /// First length.
        from: Millimetres,
        /// Last length.
        to: Millimetres,
    },
    /// A step that leads nowhere or past the end.
    Step {
        /// What was asked for.
        step: Millimetres,
        /// Length that the table covers.
        range: Millimetres,
    },
    /// More rows than anybody reads.
    TooMany {
        /// What was asked for.
        step: Millimetres,
    },
}

impl GapTableError {
    /// What is wrong, in a sentence whose lengths are in `unit`.
    pub fn words(&self, unit: Unit) -> String {
        let named = |length: &Millimetres| unit.show_named(*length);
        match self {
            Self::End { end, read, low, high } => format!(
                "The table cannot {end} {}; allowed: {} (the witness mark) to {} (new).",
                named(read),
                named(low),
                named(high)
            ),
            Self::Order { from, to } => {
                format!("The table runs from long to short: {} must be longer than {}.", named(from), named(to))
            }
            Self::Step { step, range } => format!(
                "A step of {} was read: it must be above 0 and at most {}, the length that the table covers.",
                named(step),
                named(range)
            ),
            Self::TooMany { step } => {
                let step = format!("{} {}", unit.short(*step), unit.name());
                format!("A step of {step} makes too many rows: at most {MAX_ROWS} are allowed.")
            }
        }
    }
}

/// How the rows of a table follow each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// From one to the next.
    pub by: Millimetres,
    /// Rows between the ends stand at whole steps.
    pub whole: bool,
}

impl From<Millimetres> for Steps {
    fn from(by: Millimetres) -> Self {
        Self { by, whole: false }
    }
}

/// One cutter length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapRow {
    /// Cutter length.
    pub length: Millimetres,
    /// Wear since new.
    pub wear: Millimetres,
    /// Reach at that wear.
    pub reach: Millimetres,
    /// Gap by the fixed rule.
    pub fixed_gap: Millimetres,
    /// Gap by the wear-scaled rule, at most the profile's largest.
    pub scaled_gap: Millimetres,
    /// Gap that the plate gauge leaves, as it is: it may be above the largest gap.
    pub plate_gap: Option<Millimetres>,
    /// Bite angle with the fixed gap.
    pub fixed_bite: Degrees,
    /// Bite angle with the wear-scaled gap: constant until the largest gap is reached.
    pub scaled_bite: Degrees,
    /// Height that the corner has lost since new.
    pub tip_drop: Millimetres,
    /// Steel that the raker has lost since new by the wear-scaled rule.
    pub raker_steel: Millimetres,
    /// Round file for that length.
    pub file: Option<Millimetres>,
    /// Where the cutter stands.
    pub stage: Stage,
}

/// The bench table of one profile and one wood.
#[derive(Debug, Clone, PartialEq)]
pub struct GapTable {
    name: String,
    title: String,
    wood: Wood,
    spec: Spec,
    /// The plate is the sharpener's own, not the profile's.
    own_plate: bool,
    standing: Vec<(Standing, Vec<&'static str>)>,
    rows: Vec<GapRow>,
    /// Of the invented workshop: what is printed of it says so.
    demo: bool,
}

impl GapTable {
    /// The same, of the invented workshop or not: what is printed of it says so in its first line.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// Rows from `from` (new, where absent) down to `to` (the witness mark, where absent) by `step`, always with the
    /// exact end. `own` are the figures of one loop, its calibrated plate gauge among them; where absent the profile's serve.
    ///
    /// # Errors
    /// [`GapTableError`] for ends outside the cutter's life or the wrong way round and for a step that is not
    /// positive, longer than the table, or so small that the rows are more than [`MAX_ROWS`].
    pub fn new(
        profile: &Profile,
        wood: Wood,
        from: Option<Millimetres>,
        to: Option<Millimetres>,
        step: impl Into<Steps>,
        own: Option<Spec>,
    ) -> Result<Self, GapTableError> {
        let spec = own.unwrap_or_else(|| profile.spec().clone());
        let own_plate = spec.plate.is_some() && spec.plate != profile.spec().plate;
        let lengths = lengths(&spec, from, to, step.into())?;
        Ok(Self {
            name: profile.name.clone(),
            title: profile.title.clone(),
            wood,
            own_plate,
            standing: standing(profile, wood, &spec, own_plate),
            rows: lengths.into_iter().map(|length| row(&spec, wood, length)).collect(),
            spec,
            demo: false,
        })
    }

    /// The rows, longest cutter first. There are at least two.
    pub fn rows(&self) -> &[GapRow] {
        &self.rows
    }

    /// The table in a format. Unit and plain letters concern the formats that people read.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// Cutter length at which a stage begins; `None` for a stage that a cutter of this profile is never in.
    pub fn begins(&self, stage: Stage) -> Option<Millimetres> {
        let (new, mark) = (self.spec.new_length, self.spec.mark_length);
        let at = |wear: Millimetres| (new - wear).min(new);
        let (worth, due) = (at(self.spec.worth_wear(self.wood)), at(self.spec.due_wear(self.wood)));
        match stage {
            Stage::Fixed => (worth < new).then_some(new),
            Stage::Worth => (worth > due && worth > mark).then_some(worth),
            Stage::Due => (due > mark).then_some(due),
            Stage::Retire => Some(mark),
        }
    }

    /// Rows of one stage together, in order.
    fn groups(&self) -> impl Iterator<Item = (Stage, &[GapRow])> {
        self.rows.chunk_by(|a, b| a.stage == b.stage).filter_map(|rows| Some((rows.first()?.stage, rows)))
    }

    /// The line over the rows of one stage.
    fn group_title(&self, stage: Stage, unit: Unit) -> String {
        match (stage, self.begins(stage)) {
            (Stage::Worth | Stage::Due, Some(at)) => format!("From {} down. {}", unit.show_named(at), stage.sentence()),
            _ => stage.sentence().to_owned(),
        }
    }

    /// First and last length.
    fn ends(&self) -> (Millimetres, Millimetres) {
        let length = |row: Option<&GapRow>| row.map_or(Millimetres::default(), |row| row.length);
        (length(self.rows.first()), length(self.rows.last()))
    }

    /// What the table is of, in two or three sentences.
    fn lead(&self, unit: Unit) -> Vec<String> {
        let spec = &self.spec;
        let named = |length| unit.show_named(length);
        let mut lead = vec![
            format!(
                "{} ({}). Wood: {}. Lengths in {}, angles in degrees.",
                self.title,
                self.name,
                self.wood.word(),
                unit.of_lengths()
            ),
            format!(
                "New {}, witness mark {}, reach new {}, back slope {}.",
                named(spec.new_length),
                named(spec.mark_length),
                named(spec.reach_new),
                spec.back_slope
            ),
        ];
        if let Some(plate) = spec.plate {
            lead.push(format!(
                "Plate gauge ({}): foot {} ahead of the raker, corner {} above it when new, slot face {} above the line.",
                if self.own_plate { "your own, calibrated" } else { "of the profile" },
                named(plate.foot),
                named(plate.height),
                named(plate.slot)
            ));
        }
        lead.extend(Some(spec.limits.line(unit)).filter(|line| !line.is_empty()));
        lead.extend(slope::counted_with(spec, unit));
        lead
    }

    /// What a reader must know to use the numbers rightly.
    fn notes(&self, unit: Unit) -> Vec<String> {
        let named = |length| unit.show_named(length);
        let mut notes = vec![
            "Raker steel: what the raker has lost since new by the wear-scaled gap. It is the growth of the gap plus the tip drop."
                .to_owned(),
        ];
        if self.begins(Stage::Worth).or(self.begins(Stage::Due)).is_some() {
            notes.push(format!("Worth and due are counted with this program's figures. {}", practice(unit)));
        }
        if self.spec.is_proposal(self.wood, self.spec.scaled_gap(self.wood, self.spec.usable())) {
            notes.push(format!(
                "A gap above the published {} is this program's proposal: the maker's limits come first.",
                named(self.spec.published_gap(self.wood))
            ));
        }
        match self.wood {
            Wood::Any => {}
            Wood::Hardwood => {
                notes.push(format!("Top-plate angle for hardwood: {}.", self.spec.top_plate_for(self.wood)));
            }
            Wood::SoftwoodNoFrost => notes.push(format!(
                "The base gap of {} is for unfrozen softwood only. For any other wood it is {}.",
                named(self.spec.fixed_gap(self.wood)),
                named(self.spec.fixed_gap(Wood::Any))
            )),
        }
        let cap = self.spec.gap_max;
        let capped = self.spec.new_length - self.spec.cap_wear(self.wood).max(Millimetres::default());
        if capped > self.ends().1 {
            notes.push(format!(
                "From {} down the wear-scaled gap is held at the largest, {}.",
                named(capped),
                named(cap)
            ));
        }
        let Some(last) = self.rows.last() else { return notes };
        if let Some(plate) = last.plate_gap {
            notes.push(format!(
                "A plate gauge is a third way: at {} it leaves {}, where the wear-scaled gap is {}.",
                named(last.length),
                named(plate),
                named(last.scaled_gap)
            ));
        }
        let over = self.rows.iter().find(|row| row.plate_gap.is_some_and(|gap| gap > cap));
        if let Some(row) = over {
            notes.push(format!(
                "At {} the plate gauge leaves more than the largest gap, {}: do not use it there.",
                named(row.length),
                named(cap)
            ));
        }
        notes.push("Rakers too low on a loose loop make the saw bounce.".to_owned());
        notes
    }

    /// How far the numbers can be trusted, one line per standing.
    fn standing_lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self
            .standing
            .iter()
            .map(|(standing, labels)| {
                format!("{}: {}.", crate::report::format::capital(standing.word()), labels.join("; "))
            })
            .collect();
        lines.push("The profile names the source of each number.".to_owned());
        lines
    }
}

fn lengths(
    spec: &Spec,
    from: Option<Millimetres>,
    to: Option<Millimetres>,
    Steps { by: step, whole }: Steps,
) -> Result<Vec<Millimetres>, GapTableError> {
    let (low, high) = (spec.mark_length, spec.new_length);
    let (from, to) = (from.unwrap_or(high), to.unwrap_or(low));
    for (end, read) in [("start at", from), ("end at", to)] {
        if !(low..=high).contains(&read) {
            return Err(GapTableError::End { end, read, low, high });
        }
    }
    let range = from - to;
    if range.get() <= SAME_MM {
        return Err(GapTableError::Order { from, to });
    }
    // Written so that a step that is not a number is refused too.
    if !(step.get() > 0.0 && step.get() <= range.get() + SAME_MM) {
        return Err(GapTableError::Step { step, range });
    }
    if range.get() / step.get() > (MAX_ROWS - 2) as f64 {
        return Err(GapTableError::TooMany { step });
    }
    let first = if whole { step * ((from / step) - SAME_MM).floor() } else { from - step };
    let down = (0..MAX_ROWS).map(|i| first - step * i as f64).take_while(|length| (*length - to).get() > SAME_MM);
    Ok([from].into_iter().chain(down).chain([to]).collect())
}

fn row(spec: &Spec, wood: Wood, length: Millimetres) -> GapRow {
    let wear = spec.wear(length);
    let reach = spec.reach(wear);
    let (fixed_gap, scaled_gap) = (spec.fixed_gap(wood), spec.scaled_gap(wood, wear));
    GapRow {
        length,
        wear,
        reach,
        fixed_gap,
        scaled_gap,
        plate_gap: spec.plate.map(|plate| plate.gap(spec, wear)),
        fixed_bite: bite_angle(fixed_gap, reach),
        scaled_bite: bite_angle(scaled_gap, reach),
        tip_drop: spec.tip_drop(wear),
        raker_steel: spec.raker_steel(wood, wear),
        file: spec.file_for(length).map(|step| step.diameter),
        stage: spec.stage(wood, length),
    }
}

/// The numbers that the table rests on, by how far they can be trusted.
fn standing(profile: &Profile, wood: Wood, spec: &Spec, own_plate: bool) -> Vec<(Standing, Vec<&'static str>)> {
    let gap = if wood == Wood::SoftwoodNoFrost { "softwood_gap_mm" } else { "base_gap_mm" };
    let used = |key: &str| {
        let plate = key.starts_with("plate_") && !own_plate;
        let always = ["new_length_mm", "mark_length_mm", "reach_new_mm", "reach_mark_mm", "back_slope_deg", "bite_deg"];
        let limits = ["gap_max_mm", "worth_share", "due_life", "due_share"];
        let own = match key {
            "new_length_mm" => spec.known.new_length.from,
            "reach_new_mm" | "reach_mark_mm" => spec.known.reach.from,
            "back_slope_deg" => spec.known.back_slope.from,
            _ => Origin::Profile,
        };
        if own != Origin::Profile {
            return false;
        }
        plate || key == gap || always.contains(&key) || limits.contains(&key)
    };
    Standing::ALL
        .into_iter()
        .filter_map(|standing| {
            let mut labels: Vec<&'static str> = profile
                .stated()
                .filter(|(field, stated)| stated.standing == standing && used(field.key))
                .map(|(field, _)| field.label)
                .collect();
            if profile.files().any(|(_, stated)| stated.standing == standing) {
                labels.push("file sizes");
            }
            if own_plate && standing == Standing::Measured {
                labels.push("plate gauge");
            }
            (!labels.is_empty()).then_some((standing, labels))
        })
        .collect()
}

/// Rounded to the tenth of a micrometre that machine-readable outputs carry; never `-0`.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4 + 0.0
}

/// Evenly spaced lengths over the table, for the curve.
fn samples(from: Millimetres, to: Millimetres, count: u32) -> impl Iterator<Item = Millimetres> {
    (0..=count).map(move |i| mm(from.get() + (to - from).get() * f64::from(i) / f64::from(count)))
}

#[cfg(test)]
mod tests;
