//! The sheet of a round: what was found, what was done, how sure that is and what comes next.
//!
//! One model under every format: [`Sheet::of`] gathers plain values from round and advice, the formats write them down
//! and decide nothing. The owner's version says the same in plain words on half a page.

mod build;
mod csv;
mod draw;
mod html;
mod model;
mod owner;
mod sections;
mod signs;
mod text;

pub use model::Sheet;

impl Sheet {
    /// The sheet under the names of its model; absent is `null`, numbers have at most four decimals.
    pub fn json(&self) -> String {
        super::data::json(self)
    }
}
