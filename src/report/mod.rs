//! What is printed and handed on: one model per report, one file per format.
//!
//! What the room is for: the same numbers as text, page, table and data. A report decides nothing; it shows what
//! `chain`, `advice` and `round` say. It must not know terminals, files or clocks: it returns text.

pub(crate) mod blank;
pub(crate) mod course;
pub(crate) mod data;
mod demo;
mod drawing;
pub(crate) mod fields;
pub(crate) mod format;
pub(crate) mod gaps;
pub(crate) mod history;
pub(crate) mod import;
pub(crate) mod join;
pub(crate) mod loops;
pub(crate) mod made;
mod not_read;
mod page;
mod paper;
pub(crate) mod person;
pub(crate) mod picture;
pub(crate) mod profile;
mod release;
pub(crate) mod saw;
mod schema;
pub(crate) mod sheet;
pub(crate) mod status;
pub(crate) mod tables;
pub(crate) mod tags;
mod why;
mod words;

pub use blank::{BOXES, BenchSheet};
pub use course::Course;
pub use format::{Format, ListFormat};
pub use gaps::{GapTable, GapTableError};
pub use history::History;
pub use loops::Loops;
pub use made::is_ours;
pub use person::PersonPage;
pub use schema::Output;
pub use sheet::Sheet;
pub use tables::{QUESTIONS, Table};
pub use tags::Tags;
