//! A full-screen coach for the saw-chain sharpening bench. The program is [`cli::main`]; the rooms below it can be used
//! alone, as a simulated bench or a check of the arithmetic does.
//!
//! # Where to begin
//!
//! | to | begin with |
//! |---|---|
//! | ask what wear does to a cutter and its gap | [`chain::Spec`], from [`chain::profile::built_in::named`] |
//! | play a round from events | [`round::Round::begin`], then [`round::Round::step`], [`round::Round::check`] and [`round::Round::apply`] |
//! | ask what the readings mean | [`advice::Findings::of`] |
//! | play a round from what a person types | [`coach::Coach`] |
//! | read and write a data folder | [`care::Workshop`], or [`record::Rack`] below it |
//! | print a sheet or a table of gaps | [`report::Sheet`], [`report::GapTable`] |
//! | check the statistics | [`stats`] |
//! | play keys into the screens | [`tui::rehearse::Rehearsal`] |
//!
//! [`chain`], [`round`] and [`advice`] each begin with an example. What is not listed by a room is its own business.
//!
//! # The map of the house
//!
//! What each room is for, and how a reading travels through them.
//!
//! A loop (closed saw chain) is brought to the bench for a **round**: looked over, measured, filed cutter by cutter, its
//! rakers set, proved even, signed off.
//!
//! | room | what it is for | must not know |
//! |---|---|---|
//! | [`units`] | lengths and angles, and what people and instruments type for them | anything else |
//! | [`stats`] | statistics that no crate does well | chains |
//! | [`sim`] | a bench whose truth is known, to try advice against | everything else |
//! | [`chain`] | chain types, cutter order, the arithmetic of wear | readings |
//! | [`drawing`] | pictures of a cutter as scenes in millimetres | terminals, pages, colours |
//! | [`round`] | what happened in a round and what to do next | files, terminals, clocks |
//! | [`saw`] | what was found at a saw's bar, sprocket, oil and tension | files, terminals, clocks |
//! | [`drill`] | a learner's sets on a practice loop: what is asked, what they come to, whether the hand is steady | rounds, files, terminals, clocks |
//! | [`advice`] | what the readings mean: even, balanced, which gap, how long left | files, terminals, clocks |
//! | [`coach`] | what to ask, what an answer means, what to say | files, terminals, clocks |
//! | [`practice`] | a simulated loop behind a round, and how near its decisions came to the truth | files, terminals, clocks |
//! | [`system`] | what depends on the operating system | everything else |
//! | [`devices`] | instruments that send lines, a program that speaks | what a line means, the faces |
//! | [`record`] | the data folder | terminals |
//! | [`report`] | tables and sheets in every format | files, terminals |
//! | [`care`] | what the workshop does: rounds, a loop's life, sheets, saws, tags, rows of the rack | terminals, the faces |
//! | [`plain`], [`tui`] | the two faces | each other |
//! | [`cli`] | arguments, exit codes | |
//!
//! **The path of a reading.** A key or an instrument's line reaches a face, which hands it to the [`coach`]; the coach reads it
//! with the one parser of [`units::reading`], asks about it where it is doubtful, and gives the face an event of
//! [`round::Event`]. The face has [`record`] append and sync it; only then does the coach fold it into the
//! [`round::Round`], [`advice`] looks at the round, and the face draws. Taking something back is an event too, so a
//! crash, a replay, a report and a test all take the same path: state = fold(events).
#![cfg_attr(test, allow(clippy::float_cmp, reason = "tests compare with values that must come out exactly"))]

pub mod advice;
pub mod care;
pub mod chain;
pub mod cli;
pub mod coach;
pub mod devices;
pub mod drawing;
pub mod drill;
pub mod plain;
pub mod practice;
pub mod record;
pub mod report;
pub mod round;
pub mod saw;
#[cfg(test)]
#[path = "../tests/common/scratch.rs"]
mod scratch;
pub mod sim;
pub mod stats;
mod system;
pub mod tui;
pub mod units;
