//! What screens are put together from.
//!
//! Each widget takes plain values, draws into any area however small (into none at all too) and never outside the
//! buffer. A widget that lacks the room for its drawing falls back to its numbers in words.

mod big;
mod curve;
mod history_chart;
mod kept;
mod loop_map;
mod picture;
mod plot;
mod profile_chart;
mod steel;
mod text;

pub use big::Big;
pub use curve::{CurvePoint, GapCurve};
pub use history_chart::HistoryChart;
pub use kept::Kept;
pub use loop_map::{LoopMap, MapCell, MapSign};
pub use picture::Picture;
pub use profile_chart::{ProfileChart, ProfilePoint};
pub use steel::{Steel, SteelRow};
