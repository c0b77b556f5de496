//! The full-screen face in memory: keys in, screens and records out.

mod played;

mod flow;
mod rehearse;
mod screens;
mod widget_gallery;
