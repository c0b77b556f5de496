//! Who files: names, and how well each one's readings repeat.

use std::path::Path;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::data_dir::SHARPENERS;
use super::small::{self, line_of};
use super::{RackError, RecordError, files};
use crate::advice::Skill;
use crate::units::{Degrees, Millimetres, clean::clean};

/// One who files, with their own measured repeatability; where it was never measured, defaults serve.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sharpener {
    /// Name, as shown.
    pub name: String,
    /// Standard uncertainty of one length reading.
    #[serde(rename = "length_u_mm", default, skip_serializing_if = "Option::is_none")]
    pub length_u: Option<Millimetres>,
    /// The day of the study that the figure of lengths is from; absent where it was entered by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_u_on: Option<NaiveDate>,
    /// Standard uncertainty of one gap reading.
    #[serde(rename = "gap_u_mm", default, skip_serializing_if = "Option::is_none")]
    pub gap_u: Option<Millimetres>,
    /// Standard uncertainty of one angle reading.
    #[serde(rename = "angle_u_deg", default, skip_serializing_if = "Option::is_none")]
    pub angle_u: Option<Degrees>,
}

impl Sharpener {
    /// Each uncertainty by its key, as it stands in the file, with the most that is believed.
    fn figures(&self) -> [(&'static str, Option<f64>, f64); 3] {
        [
            ("length_u_mm", self.length_u.map(Millimetres::get), 1.0),
            ("gap_u_mm", self.gap_u.map(Millimetres::get), 1.0),
            ("angle_u_deg", self.angle_u.map(Degrees::get), 15.0),
        ]
    }

    /// How well their readings repeat; the usual where it was never measured.
    pub fn skill(&self) -> Skill {
        let usual = Skill::default();
        Skill {
            length: self.length_u.unwrap_or(usual.length),
            gap: self.gap_u.unwrap_or(usual.gap),
            angle: self.angle_u.unwrap_or(usual.angle),
            own: self.length_u.is_some(),
            on: self.length_u_on,
        }
    }

    /// The key at fault and what is wrong with it.
    fn fault(&self) -> Option<(&'static str, String)> {
        if self.name.is_empty() {
            return Some(("name", "name is empty. A sharpener needs one.".to_owned()));
        }
        self.figures().into_iter().find_map(|(key, value, most)| {
            let value = value.filter(|value| !(*value > 0.0 && *value <= most))?;
            Some((key, format!("{key} is {value}. Allowed: above 0 and up to {most}.")))
        })
    }
}

#[derive(Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct List {
    #[serde(default)]
    sharpener: Vec<Sharpener>,
}

/// All sharpeners, in the order of the file; none where there is no file.
pub(super) fn read(root: &Path) -> Result<Vec<Sharpener>, RackError> {
    let path = root.join(SHARPENERS);
    if !files::exists(&path)? {
        return Ok(Vec::new());
    }
    parse(&path, &small::text(&path)?)
}

/// The list in a text. `path` is for messages.
pub(super) fn parse(path: &Path, text: &str) -> Result<Vec<Sharpener>, RackError> {
    let mut list: List = small::parse(path, text)?;
    for index in 0..list.sharpener.len() {
        let (before, rest) = list.sharpener.split_at_mut(index);
        let Some(sharpener) = rest.first_mut() else { break };
        sharpener.name = clean(&sharpener.name);
        if before.iter().any(|known| known.name == sharpener.name) {
            let names =
                text.lines().enumerate().filter(|(_, line)| line_of(line, "name") == 1 && line.contains("name"));
            let line = names.map(|(at, _)| at + 1).nth(index).unwrap_or(1);
            let fault = format!("name is {}, as above. Each sharpener is listed once.", sharpener.name);
            return Err(RackError::line(path, line, &fault));
        }
        if let Some((key, fault)) = sharpener.fault() {
            return Err(RackError::line(path, line_of(text, key), &fault));
        }
    }
    Ok(list.sharpener)
}

/// The list as text that [`parse`] reads back the same.
pub(super) fn render(sharpener: Vec<Sharpener>) -> Result<String, RackError> {
    if let Some((_, what)) = sharpener.iter().find_map(Sharpener::fault) {
        return Err(RecordError::Unwritable { what }.into());
    }
    Ok(small::render(&List { sharpener })?)
}

/// Takes one off the list.
pub(super) fn remove(root: &Path, name: &str) -> Result<(), RackError> {
    let mut list = List { sharpener: read(root)? };
    list.sharpener.retain(|known| known.name != name);
    Ok(files::replace(&root.join(SHARPENERS), render(list.sharpener)?.as_bytes())?)
}

/// Calls one by another name.
pub(super) fn rename(root: &Path, name: &str, called: &str) -> Result<(), RackError> {
    let mut list = List { sharpener: read(root)? };
    for known in list.sharpener.iter_mut().filter(|known| known.name == name) {
        called.clone_into(&mut known.name);
    }
    Ok(files::replace(&root.join(SHARPENERS), render(list.sharpener)?.as_bytes())?)
}

/// Adds one, or puts it in the place of the one of the same name.
pub(super) fn save(root: &Path, sharpener: &Sharpener) -> Result<(), RackError> {
    let mut list = List { sharpener: read(root)? };
    let sharpener = Sharpener { name: clean(&sharpener.name), ..sharpener.clone() };
    if let Some((_, what)) = sharpener.fault() {
        return Err(RecordError::Unwritable { what }.into());
    }
    match list.sharpener.iter_mut().find(|known| known.name == sharpener.name) {
        Some(known) => *known = sharpener,
        None => list.sharpener.push(sharpener),
    }
    let text = small::render(&list)?;
    files::create_folder(root)?;
    Ok(files::replace(&root.join(SHARPENERS), text.as_bytes())?)
}
