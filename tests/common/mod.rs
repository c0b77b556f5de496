//! A simulated bench and the invented workshop that was worked at it.

pub mod bench;
pub mod workshop;
