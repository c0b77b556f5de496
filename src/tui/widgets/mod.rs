//! What screens are put together from.
//!
//! Each widget takes plain values, draws into any area however small (into none at all too) and never outside the
//! buffer. A widget that lacks the room for its drawing falls back to its numbers in words.

pub mod big;
pub mod curve;
pub mod cutter_side;
pub mod cutter_top;
pub mod history_chart;
pub mod loop_map;
pub mod meter;
mod plot;
pub mod profile_chart;
mod text;

pub use big::{Big, BigSize};
pub use curve::{CurvePoint, GapCurve};
pub use cutter_side::{CutterSide, Outline, outline};
pub use cutter_top::CutterTop;
pub use history_chart::{Forecast, HistoryChart};
pub use loop_map::{LoopMap, MapCell, MapShape, MapSign, legend};
pub use meter::{Meter, Progress};
pub use profile_chart::{ProfileChart, ProfilePoint};
