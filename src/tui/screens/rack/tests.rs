use super::super::drawing::{LINES, press, shown};
use super::*;

fn news(progress: Option<(usize, usize)>) -> Answer {
    Answer::Rack(News { rows: Vec::new(), problems: Vec::new(), progress, asked: 0 })
}

#[test]
fn reading_again_shows_how_far_it_is_stops_and_goes_on() {
    let mut rack = RackScreen::default();
    let look = super::super::drawing::shared(LINES);
    let told = |rack: &RackScreen| shown(rack, (80, 24), LINES);
    let waits = |effects: Vec<Effect>| matches!(&effects[..], [Effect::Go(Step::Notice(why))] if why.contains("40 of"));
    assert!(press(&mut rack, KeyCode::Esc).is_empty(), "nothing is being read");
    rack.answer(news(Some((40, 5000))), &look);
    assert!(told(&rack).contains("40 of 5000 loops. Go on meanwhile; Esc stops it."), "{}", told(&rack));
    assert!(waits(press(&mut rack, KeyCode::Char('p'))), "tags need every loop");
    assert!(matches!(press(&mut rack, KeyCode::Esc)[..], [Effect::Desk(Work::StopReading)]));
    // What was already on its way when it was stopped does not start it again.
    rack.answer(news(Some((41, 5000))), &look);
    assert!(told(&rack).contains("Stopped at 40 of 5000 loops"), "{}", told(&rack));
    assert!(waits(press(&mut rack, KeyCode::Char('l'))), "a saw's page needs every loop");
    assert!(matches!(press(&mut rack, KeyCode::Esc)[..], [Effect::Desk(Work::LoadRack)]));
    rack.answer(news(Some((60, 5000))), &look);
    assert!(told(&rack).contains("60 of 5000"), "{}", told(&rack));
    rack.answer(news(None), &look);
    assert!(!told(&rack).contains("5000") && press(&mut rack, KeyCode::Char('p')).is_empty(), "{}", told(&rack));
}
