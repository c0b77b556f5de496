use chrono::DateTime;

use super::super::drawing::{LINES, at_every_size, draw, press, shown};
use super::*;
use crate::coach::saw::Checklist;
use crate::saw::{Saw, SawHeader};
use crate::units::Unit;
use crossterm::event::KeyCode;

fn list() -> SawList {
    SawList::new(Checklist::new("Big saw", None, Unit::Mm, None), None)
}

#[test]
fn no_size_panics() {
    let at = DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap();
    let saw = Saw::begin(SawHeader { tag: "a".into(), name: "漢字 saw".into(), started: at });
    let page = SawPage::new(&saw, &"── 漢字 ──\nwords and words   in columns\n".repeat(40));
    let lists = [(false, 0), (true, 0), (true, 9)].map(|(answered, further)| {
        let mut list = list();
        if answered {
            press(&mut list, KeyCode::Char('3'));
        }
        for _ in 0..further {
            press(&mut list, KeyCode::Enter);
        }
        list
    });
    at_every_size(|size| {
        draw(&page, size, LINES);
        for list in &lists {
            draw(list, size, LINES);
        }
    });
}

#[test]
fn answers_and_figures_wait_for_enter_as_in_the_look_over() {
    let mut list = list();
    press(&mut list, KeyCode::Char('1'));
    assert!(shown(&list, (80, 24), LINES).contains("Bar rails, 1 of 7"));
    press(&mut list, KeyCode::Enter);
    assert!(shown(&list, (80, 24), LINES).contains("Bar groove, 2 of 7"));
    // Anything but an answer begins a figure; then the answer is asked for.
    for c in "5,2".chars() {
        press(&mut list, KeyCode::Char(c));
    }
    assert!(shown(&list, (80, 24), LINES).contains("found: 5,2"));
    press(&mut list, KeyCode::Enter);
    let text = shown(&list, (80, 24), LINES);
    assert!(text.contains("measured 5.20 mm") && text.contains("Bar groove, 2 of 7"), "{text}");
    press(&mut list, KeyCode::Char('x'));
    press(&mut list, KeyCode::Enter);
    assert!(shown(&list, (80, 24), LINES).contains("Bar groove, 2 of 7"), "nonsense is refused");
}
