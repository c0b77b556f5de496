//! The full-screen face in memory: keys in, screens and records out.

#[path = "../common/phrases.rs"]
mod phrases;
mod played;
#[path = "../common/scratch.rs"]
mod scratch;

mod coherence;
mod flow;
mod rehearse;
mod room;
mod screens;
mod widget_gallery;
