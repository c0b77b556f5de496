//! The drawings of the page. What they show stands in the table too; a drawing is one picture to a screen reader, with
//! a title and a sentence.
//!
//! Every mark carries the values it was drawn from as `data-` attributes, in mm and degrees as in the JSON.

mod cutter;
mod gaps;
mod loop_map;
mod profile;

use crate::report::data::Number;

/// An attribute for a value; nothing where it is not known.
fn data(name: &str, value: Option<Number>) -> String {
    value.map(|value| format!(" data-{name}=\"{value}\"")).unwrap_or_default()
}
