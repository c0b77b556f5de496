//! The full-screen face.
//!
//! What the room is for: showing a round to somebody with a file in the hand, and turning keys and instrument lines
//! into messages. It decides nothing about steel: numbers and verdicts come from the rooms below it.

pub mod app;
pub mod desk;
pub mod effect;
mod footer;
pub mod keys;
pub mod loader;
pub mod rehearse;
pub mod remap;
pub mod screens;
pub mod session;
pub mod settings;
pub mod source;
pub mod speak;
pub mod theme;
pub mod widgets;

use std::collections::VecDeque;

use app::App;
use desk::{Desk, Outcome};
use effect::Effect;

/// Does effects and hands their answers back until nothing is left. True where the shell was asked for.
pub fn drive(app: &mut App, desk: &mut Desk, effects: Vec<Effect>) -> bool {
    let mut waiting: VecDeque<Effect> = effects.into();
    let mut suspend = false;
    while let Some(effect) = waiting.pop_front() {
        let (answers, outcome) = desk.run(effect, app.shared.now);
        suspend |= outcome == Outcome::Suspend;
        for answer in answers {
            // What an answer leads to comes before what was already waiting.
            for effect in app.answer(answer).into_iter().rev() {
                waiting.push_front(effect);
            }
        }
    }
    suspend
}
