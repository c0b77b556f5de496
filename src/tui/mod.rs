//! The full-screen face.
//!
//! What the room is for: showing a round to somebody with a file in the hand, and turning keys and instrument lines
//! into messages. It decides nothing about steel: numbers and verdicts come from the rooms below it.

pub mod app;
pub mod desk;
mod drive;
mod effect;
mod footer;
mod joiner;
pub(crate) mod keys;
mod loader;
pub mod look;
mod motion;
pub mod rehearse;
pub mod remap;
mod scene;
mod screen;
mod screens;
mod scroll;
pub(crate) mod session;
pub mod settings;
mod still;
pub mod theme;
mod typed;
mod wake;
pub mod widgets;
