//! What stands beside the bench: instruments that send lines, and a program that speaks. Both faces use it.
//!
//! What the room is for: one reader of lines for everything that sends them, threads that wait for it, and the speaking program. It
//! must not know what a line means, nor a screen.

mod lines;
mod pace;
pub(crate) mod said;
mod source;
mod speak;
mod typed;

pub use lines::{Line, Lines};
pub(crate) use pace::Held;
pub(crate) use source::{Sent, watch};
pub use speak::Speaker;
pub(crate) use typed::{Typed, listen};
