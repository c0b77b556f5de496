//! The map of the house.
#![cfg_attr(test, allow(clippy::float_cmp))]

pub mod chain;
pub mod stats;
pub mod units;
