//! evenbite: a coach for the saw-chain sharpening bench. The rooms are built from the ground up.
#![cfg_attr(test, allow(clippy::float_cmp, reason = "tests compare with values that must come out exactly"))]

pub mod advice;
pub mod chain;
pub mod coach;
pub mod record;
pub mod report;
pub mod round;
pub mod stats;
pub mod units;
