//! A chain type as it is written down: every number with its source and how far it can be trusted.
//!
//! One table ([`fields::FIELDS`]) names each key, whether it is needed and what values it may have; reading, checking,
//! showing and writing a profile all go by it.

pub mod built_in;
pub mod fields;
mod read;

use std::fmt;

use serde::{Deserialize, Serialize};

use super::known::Known;
use super::limits::Limits;
use super::plate::Plate;
use super::spec::{FileStep, Spec};
use crate::units::{deg, mm};
pub use fields::{FIELDS, Field, range};

/// How far a number can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Printed in a manual, handbook, standard or paper that the source names.
    Published,
    /// Known among people who do the work; no published source.
    CommonPractice,
    /// Recalled, not looked up.
    FromMemory,
    /// Chosen for this program; nobody publishes it.
    Proposal,
    /// Measured by the owner of this profile.
    Measured,
}

impl Standing {
    /// All of them, as written in a profile.
    pub const ALL: [Self; 5] =
        [Self::Published, Self::CommonPractice, Self::FromMemory, Self::Proposal, Self::Measured];

    /// As written in a profile and on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Proposal => "proposal",
            Self::Measured => "measured",
        }
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A number with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated {
    /// The number, in the unit that its key ends in.
    pub value: f64,
    /// How far to trust it.
    pub standing: Standing,
    /// Who says so.
    pub source: String,
}

/// A chain type: its numbers and their sources.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Slug by which loops name it and by which a file of one's own overrides a built-in one.
    pub name: String,
    /// Name on screen.
    pub title: String,
    stated: Vec<(&'static Field, Stated)>,
    files: Vec<(f64, Stated)>,
    spec: Spec,
}

/// A profile that was refused. The message names file, line, key, what was read and what is allowed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}: {key}: {problem}")]
pub struct ProfileError {
    /// File as given by the caller.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Key at fault, or `file` for one that is not TOML.
    pub key: String,
    /// What was read and what is allowed, a sentence.
    pub problem: String,
}

impl Profile {
    /// Reads a profile. `file` is only for messages.
    ///
    /// # Errors
    /// [`ProfileError`] for unknown, missing or impossible keys and values.
    pub fn parse(file: &str, text: &str) -> Result<Self, ProfileError> {
        read::parse(file, text)
    }

    /// The numbers alone.
    pub const fn spec(&self) -> &Spec {
        &self.spec
    }

    /// Every number that this profile states, in the order of [`FIELDS`].
    pub fn stated(&self) -> impl Iterator<Item = (&'static Field, &Stated)> {
        self.stated.iter().map(|(field, stated)| (*field, stated))
    }

    /// Round files over the life: share of life from which, and the diameter in mm.
    pub fn files(&self) -> impl Iterator<Item = (f64, &Stated)> {
        self.files.iter().map(|(from, stated)| (*from, stated))
    }

    /// One number by key.
    pub fn get(&self, key: &str) -> Option<&Stated> {
        self.stated.iter().find(|(field, _)| field.key == key).map(|(_, stated)| stated)
    }

    /// The profile as a file that [`Profile::parse`] reads back the same.
    pub fn to_toml(&self) -> String {
        let (name, title) = (quoted(&self.name), quoted(&self.title));
        let mut out = format!("format = {}\nname = {name}\ntitle = {title}\n\n", read::FORMAT);
        for (field, stated) in self.stated() {
            out.push_str(&format!("{} = {}\n", field.key, inline(stated, None)));
        }
        out.push_str("\nfiles_mm = [\n");
        for (from, stated) in self.files() {
            out.push_str(&format!("  {},\n", inline(stated, Some(from))));
        }
        out.push_str("]\n");
        out
    }

    /// A profile of one's own: the numbers of `base` with some of them measured. `measured` holds key and value.
    ///
    /// # Errors
    /// [`ProfileError`] as [`Profile::parse`], for a value that cannot be.
    pub fn measured(
        base: &Self,
        name: &str,
        title: &str,
        measured: &[(&str, f64)],
        source: &str,
    ) -> Result<Self, ProfileError> {
        let stated = |value| Stated { value, standing: Standing::Measured, source: source.to_owned() };
        let own: Vec<(&str, Stated)> = measured.iter().map(|(key, value)| (*key, stated(*value))).collect();
        Self::own(base, name, title, &own)
    }

    /// The same with each number's own standing and source.
    ///
    /// # Errors
    /// [`ProfileError`] as [`Profile::parse`], for a value that cannot be.
    pub fn own(base: &Self, name: &str, title: &str, numbers: &[(&str, Stated)]) -> Result<Self, ProfileError> {
        let mut own = base.clone();
        name.clone_into(&mut own.name);
        title.clone_into(&mut own.title);
        for (key, stated) in numbers {
            let stated = stated.clone();
            match own.stated.iter_mut().find(|(field, _)| field.key == *key) {
                Some((_, slot)) => *slot = stated,
                None => own.stated.extend(FIELDS.iter().find(|f| f.key == *key).map(|field| (field, stated))),
            }
        }
        Self::parse(&format!("{name}.toml"), &own.to_toml())
    }
}

fn quoted(text: &str) -> String {
    toml::Value::String(crate::units::clean::clean(text)).to_string()
}

fn inline(stated: &Stated, from_life: Option<f64>) -> String {
    let from = from_life.map(|from| format!("from_life = {from:?}, ")).unwrap_or_default();
    format!(
        "{{ {from}value = {:?}, standing = {}, source = {} }}",
        stated.value,
        quoted(stated.standing.word()),
        quoted(&stated.source)
    )
}

/// Builds the bare numbers once every needed key is known to be there.
fn spec_of(stated: &[(&'static Field, Stated)], files: &[(f64, Stated)]) -> Option<Spec> {
    let get = |key: &str| stated.iter().find(|(f, _)| f.key == key).map(|(_, s)| s.value);
    let plate = match (get("plate_foot_mm"), get("plate_height_mm"), get("plate_slot_mm")) {
        (Some(foot), Some(height), Some(slot)) => Some(Plate { foot: mm(foot), height: mm(height), slot: mm(slot) }),
        _ => None,
    };
    Some(Spec {
        new_length: mm(get("new_length_mm")?),
        mark_length: mm(get("mark_length_mm")?),
        reach_new: mm(get("reach_new_mm")?),
        reach_mark: get("reach_mark_mm").map(mm),
        back_slope: deg(get("back_slope_deg")?),
        base_gap: mm(get("base_gap_mm")?),
        softwood_gap: Spec::softwood_over(mm(get("base_gap_mm")?), mm(get("softwood_gap_mm")? - get("base_gap_mm")?)),
        gap_max: mm(get("gap_max_mm")?),
        bite: get("bite_deg").map(deg),
        top_plate: deg(get("top_plate_deg")?),
        top_plate_hardwood: get("top_plate_hardwood_deg").map(deg),
        cutting: deg(get("cutting_deg")?),
        side_plate: deg(get("side_plate_deg")?),
        file_tilt: deg(get("file_tilt_deg")?),
        head_tilt: get("head_tilt_deg").map(deg),
        files: files
            .iter()
            .map(|(from_life, stated)| FileStep { from_life: *from_life, diameter: mm(stated.value) })
            .collect(),
        length_tolerance: mm(get("length_tolerance_mm")?),
        gap_tolerance: mm(get("gap_tolerance_mm")?),
        angle_tolerance: deg(get("angle_tolerance_deg")?),
        worth_share: get("worth_share")?,
        due_life: get("due_life")?,
        due_share: get("due_share")?,
        need: mm(get("need_mm")?),
        wear_per_round: mm(get("wear_per_round_mm")?),
        stroke: mm(get("stroke_mm")?),
        half_kerf: get("half_kerf_mm").map(mm),
        side_taper: get("side_taper_deg").map(deg),
        plate,
        known: Known::default(),
        limits: Limits::default(),
    })
}

#[cfg(test)]
mod tests;
