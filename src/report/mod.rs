//! What is printed and handed on: one model a report, one file a format.
//!
//! What the room is for: the same numbers as text, page, table and data. A report decides nothing; it shows what
//! `chain`, `advice` and `round` say. It must not know terminals, files or clocks: it returns text.

pub mod data;
mod drawing;
pub mod format;
pub mod gaps;
pub mod history;
pub mod import;
mod page;
mod paper;
pub mod profile;
mod release;
pub mod saw;
pub mod sheet;
pub mod tags;
mod words;

pub use format::Format;
pub use gaps::{GapTable, GapTableError};
