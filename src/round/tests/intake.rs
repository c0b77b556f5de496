//! The intake that a test's round begins with, in whichever room the test stands.

use std::sync::LazyLock;

use chrono::DateTime;

use crate::chain::profile::built_in;
use crate::chain::{Sequence, Side, Spec, Wood};
use crate::round::{Header, Tool, Trust};
use crate::units::Unit;

/// The 3/8 inch profile's numbers.
pub(crate) fn spec() -> Spec {
    static SPEC: LazyLock<Spec> = LazyLock::new(|| built_in::named("three-eighths").unwrap().spec().clone());
    SPEC.clone()
}

/// Intake of a round on a full-complement loop of so many drive links, cutter 1 left.
pub(crate) fn header(links: u16) -> Header {
    Header {
        tag: "test".into(),
        started: DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap(),
        sharpener: "Ina".into(),
        wood: Wood::Any,
        tool: Tool::File,
        units: Unit::Mm,
        begin: Side::Left,
        take_strokes: true,
        take_angles: true,
        edges: false,
        trust: Trust::default(),
        spread: false,
        links,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        saw: String::new(),
        profile: "three-eighths".into(),
        spec: spec(),
    }
}
