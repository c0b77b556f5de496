//! Between the application and the desk: what a screen wants done is done, and what came of it goes back.

use std::collections::VecDeque;

use super::app::App;
use super::desk::Desk;
use super::effect::{Effect, Work};

/// Shows the rack, and says what must be known before anything is written.
pub(super) fn begin(app: &mut App, desk: &mut Desk) {
    if app.has_rack() {
        drive(app, desk, vec![Effect::Desk(Work::LoadRack)]);
    }
    let said = app.shared.notice.take();
    app.shared.notice = said.into_iter().chain(desk.warning()).reduce(|said, more| format!("{said} {more}"));
}

/// Does effects and hands their answers back until nothing is left. True where the shell was asked for.
pub(super) fn drive(app: &mut App, desk: &mut Desk, effects: Vec<Effect>) -> bool {
    let mut waiting: VecDeque<Effect> = effects.into();
    let mut suspend = false;
    while let Some(effect) = waiting.pop_front() {
        let follows = match effect {
            Effect::Suspend => {
                suspend = true;
                Vec::new()
            }
            Effect::Go(step) => vec![app.go(step)],
            Effect::Desk(work) => desk.run(work, app.shared.now).into_iter().map(|answer| app.answer(answer)).collect(),
        };
        for follow in follows {
            // What an answer leads to comes before what was already waiting.
            for effect in follow.into_iter().rev() {
                waiting.push_front(effect);
            }
        }
    }
    suspend
}
