//! The full-screen face.
//!
//! What the room is for: showing a round to somebody with a file in the hand, and turning keys and instrument lines
//! into messages. It decides nothing about steel: numbers and verdicts come from the rooms below it.

pub mod app;
pub mod desk;
mod drive;
pub mod effect;
mod footer;
pub mod keys;
pub mod loader;
pub mod look;
pub mod rehearse;
pub mod remap;
pub mod scene;
pub mod screens;
mod scroll;
pub mod session;
pub mod settings;
pub mod source;
pub mod speak;
pub mod theme;
pub mod wake;
pub mod widgets;
