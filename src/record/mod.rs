//! Keeping what was entered: files that outlive crashes, full disks and pulled plugs.
//!
//! A record is an append-only TOML file: one header block, then one block per event. Every block ends in a check sum,
//! is written with one write and synced before it is acknowledged, so what was acknowledged is still there after a
//! power cut, and what is half written is never taken for a reading. [`journal`] writes and recovers, [`contents`]
//! reads and checks, [`series`] finds the current files of a folder, [`files`] is the one place that touches the disk.
//!
//! That half knows neither rounds nor chains: header and event are type parameters. On it stands the data folder, laid
//! out as [`data_dir`] says: [`rack`] keeps loops, profiles and sharpeners, [`rounds`] begins and resumes rounds,
//! [`saws`] keeps what was found at saws, [`learners`] the drills of learners, [`history`] and [`shelves`] are derived and may be deleted at any time, [`check_file`] judges single files. [`import`]
//! takes readings from spreadsheets, [`export`] gives everything in open formats and [`restore`] reads that back.
//!
//! This room reads no clock: times come in from the caller. It draws nothing and prints nothing.

mod backup;
mod basis;
mod block;
mod cards;
mod checked;
pub(crate) mod contents;
mod copies;
pub(crate) mod data_dir;
pub(crate) mod ends;
mod error;
mod events;
pub(crate) mod export;
pub(crate) mod faults;
pub mod files;
pub(crate) mod forget;
mod half_named;
mod hear;
pub(crate) mod history;
pub mod import;
pub mod join;
pub(crate) mod journal;
pub(crate) mod learners;
mod lines;
pub(crate) mod merge;
pub(crate) mod people;
pub(crate) mod rack;
mod rack_error;
mod reached;
pub(crate) mod restore;
pub(crate) mod rounds;
pub(crate) mod saws;
pub(crate) mod series;
pub(crate) mod shelves;
pub(crate) mod small;
mod store;
#[cfg(test)]
mod tests;
mod understand;
mod whole;

pub use backup::Backup;
pub use checked::{Checked, check_file};
pub use contents::{Contents, Stamped, Torn, check, read};
pub use data_dir::default_data_dir;
pub use error::RecordError;
pub(crate) use error::show;
pub use export::Exported;
pub use forget::Forgotten;
use hear::go_on;
pub use hear::{Hear, unheard};
pub use history::History;
pub use import::ImportError;
pub use journal::{Ack, Journal, Moved, Opened, Recovered};
pub use learners::{LearnerFile, Learners};
pub use merge::Changed;
pub use people::Sharpener;
pub(crate) use rack::Histories;
pub use rack::{CardChange, Rack};
pub use rack_error::RackError;
pub use restore::Restored;
pub use rounds::RoundFile;
pub use saws::SawGlances;
pub use series::{LEARNER_SUFFIX, SAW_SUFFIX, SUFFIX, current};
pub use shelves::{Glance, LastRound, OpenRound, Shelf, Shelves, Standing, Unwatched, Watch};

/// The format number written into every header. A file with another number is left alone.
pub const FORMAT: i64 = 1;
/// Most events in one file.
pub const MAX_EVENTS: u32 = 20_000;
/// Largest record file, in bytes.
pub const MAX_FILE: u64 = 4 * 1024 * 1024;
/// Longest line, in bytes, its line end included.
pub const MAX_LINE: usize = 64 * 1024;
