//! The chain room against the world outside: figures of the trade, geometry by another route, properties.
// Values that pass through unchanged are compared exactly.
#![allow(clippy::float_cmp)]

mod facts;
mod geometry;
mod properties;

use std::sync::LazyLock;

use evenbite::chain::profile::{Profile, built_in};

/// Read once: the properties ask for it thousands of times.
static PROFILES: LazyLock<Vec<Profile>> = LazyLock::new(built_in::all);

fn profile(name: &str) -> Profile {
    PROFILES.iter().find(|profile| profile.name == name).expect("a built-in profile").clone()
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} is not {expected} within {tolerance}");
}
