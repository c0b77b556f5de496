use crate::chain::nth;
use ratatui::buffer::Buffer;
use ratatui::style::Modifier;
use std::time::Duration;
use strum::VariantArray;

use super::super::super::super::effect::{Answer, Effect, Step};
use super::super::super::super::motion;
use super::super::super::super::scene::AtBench;
use super::super::super::super::theme::{Colours, Glyphs, Role};
use super::super::super::super::widgets::MapSign;
use super::super::super::drawing::{BARE, LINES, at_every_size, paint, shared, text};
use super::super::super::view::View;
use super::*;
use crate::advice::Skill;
use crate::chain::Rule;
use crate::coach::Coach;
use crate::round::card::Prices;
use crate::round::tests::intake::header;
use crate::round::{Entry, Event, Finding, Header, LookItem, Past, Phase, Round, When};
use crate::tui::screen::Screen;
use crate::units::mm;

const VIEWS: &[View] = View::VARIANTS;

/// A round of twelve cutters, looked over; `more` goes on from there.
fn screen(view: View, more: &[Event]) -> RoundScreen {
    let header = Header { take_strokes: false, ..header(24) };
    let looked = LookItem::ALL.map(|item| Event::Looked { item, finding: Finding::Sound, note: None });
    let at = header.started;
    let events = looked.into_iter().chain(more.iter().cloned());
    let entries = (1..).zip(events).map(|(seq, event)| Entry { seq, at, by: None, typed: None, event }).collect();
    let round = Round::replay(header, entries).unwrap();
    let coach = Coach::new(round, Past::default(), Skill::default(), Prices::default());
    let mut screen = RoundScreen::new(AtBench { name: "North 12".into(), coach, opening: None, practice: None });
    screen.view = view;
    screen
}

fn measured() -> Vec<Event> {
    let length = |cutter: u16| mm(8.3 - 0.03 * f64::from(cutter % 5));
    let lengths = (1..=12).map(|cutter| Event::Length {
        cutter: nth(cutter),
        when: When::Before,
        mm: length(cutter),
        again: false,
    });
    let mut events: Vec<Event> = lengths.collect();
    events.push(Event::Target { mm: mm(8.1), left_short: Vec::new(), recommended: true });
    events
}

/// At the raker of cutter 2, a right-hand one, with its gap and angle taken.
fn at_raker() -> Vec<Event> {
    let mut events = measured();
    for cutter in 1..=12 {
        events.push(Event::Length { cutter: nth(cutter), when: When::After, mm: mm(8.1), again: false });
        events.push(Event::Angle { cutter: nth(cutter), deg: crate::units::deg(27.0), again: false });
    }
    for cutter in [1, 2] {
        events.push(Event::Gap { cutter: nth(cutter), when: When::Before, mm: mm(0.42), again: false });
    }
    events.push(Event::Rule { rule: Rule::Fixed });
    events.push(Event::Went { phase: Phase::Rakers, cutter: Some(nth(2)), reading: None });
    events
}

fn drawn(screen: &RoundScreen, size: (u16, u16), theme: Theme) -> Buffer {
    paint(size, |frame| super::draw(screen, &screen.seen(), frame, frame.area(), theme))
}

fn said(screen: &RoundScreen, size: (u16, u16)) -> String {
    text(&drawn(screen, size, LINES))
}

#[test]
fn the_cutter_in_hand_is_drawn_with_its_own_numbers_and_from_its_own_side() {
    let screen = screen(View::Cutter, &at_raker());
    assert_eq!(screen.at_hand(), Some(nth(2)));
    let text = said(&screen, (70, 22));
    assert!(text.contains("Cutter 2, right, corner and raker"), "{text}");
    assert!(text.contains("gap 0.42 mm, target 0.65 mm") && text.contains("length 8.10 mm"), "{text}");
    assert!(text.contains("← runs"), "a right-hand cutter is seen from the other side\n{text}");
}

#[test]
fn without_a_cutter_in_hand_the_shortest_measured_one_is_shown_and_before_that_a_new_one() {
    let mut chosen = measured();
    chosen.pop();
    let at_plan = screen(View::Cutter, &chosen);
    assert_eq!(at_plan.at_hand(), None);
    assert!(said(&at_plan, (70, 22)).contains("Cutter 4, right"), "{}", said(&at_plan, (70, 22)));
    let fresh = RoundScreen { view: View::Cutter, ..screen(View::Cutter, &[]) };
    let text = said(&fresh, (70, 22));
    assert!(
        text.contains("length not measured") && text.contains("gap not measured") && !text.contains("10.00"),
        "{text}"
    );
}

#[test]
fn each_view_shows_its_part_of_the_round() {
    let events = at_raker();
    let text = |view| said(&screen(view, &events), (80, 24));
    assert!(text(View::Top).contains("read 27.0°, 3.0° less"));
    let curve = text(View::Curve);
    assert!(curve.contains("fixed gap") && curve.contains('B'), "both gaps share a cell\n{curve}");
    let lengths = text(View::Lengths);
    assert!(lengths.contains("left: l before, L after") && lengths.contains("even"), "{lengths}");
    let signs = text(View::Signs);
    for sign in MapSign::VARIANTS.iter().copied() {
        assert!(signs.contains(&format!("{} {}", sign.sign(LINES), sign.word())), "{signs}");
    }
}

#[test]
fn small_areas_say_it_in_words() {
    let events = at_raker();
    let cutter = said(&screen(View::Cutter, &events), (40, 4));
    assert!(cutter.contains("gap 0.42 mm, target 0.65 mm"), "{cutter}");
    assert!(said(&screen(View::Lengths, &events), (40, 4)).contains("left: 8.10 to 8.10 mm"));
    assert!(said(&screen(View::Curve, &events), (40, 5)).contains("fixed gap 0.65 mm"));
}

#[test]
fn signs_keep_their_roles_and_ascii_stays_ascii() {
    let screen = screen(View::Signs, &[]);
    let buf = drawn(&screen, (80, 10), LINES);
    let low = buf.area.positions().find(|at| buf[*at].symbol() == "↓").unwrap();
    assert_eq!(Some(buf[low].fg), LINES.style(Role::Bad).fg);
    for view in VIEWS.iter().copied() {
        let screen = self::screen(view, &at_raker());
        let buf = drawn(&screen, (80, 24), BARE);
        assert!(buf.content().iter().all(|cell| cell.symbol().is_ascii()), "{view:?}");
    }
}

#[test]
fn no_size_panics() {
    let of = |events: Vec<Event>| VIEWS.iter().map(move |view| screen(*view, &events));
    let screens: Vec<_> = of(Vec::new()).chain(of(at_raker())).collect();
    at_every_size(|size| {
        for screen in &screens {
            drawn(screen, size, LINES);
        }
    });
}

#[test]
fn drawings_at_the_usual_sizes() {
    for view in VIEWS.iter().copied() {
        let screen = screen(view, &at_raker());
        for ((columns, rows), glyphs, theme) in
            [((60, 12), "", LINES), ((80, 8), "", LINES), ((56, 34), "", LINES), ((60, 12), "ascii-", BARE)]
        {
            let name = format!("{view:?}-{glyphs}{columns}x{rows}").to_lowercase();
            insta::assert_snapshot!(name, text(&drawn(&screen, (columns, rows), theme)));
        }
    }
}

#[test]
fn the_steel_that_a_reading_says_is_gone_goes_and_then_the_picture_stands() {
    let mut screen = screen(View::Cutter, &measured());
    let now = screen.coach.round.header.started;
    let event = Event::Length { cutter: nth(1), when: When::After, mm: mm(8.02), again: false };
    let seq = u32::try_from(screen.coach.round.standing().count()).unwrap() + 1;
    let entry = Entry { seq, at: now, by: None, typed: None, event };
    let asked = screen.answer(Answer::Stored(vec![entry]), &shared(LINES));
    assert!(asked.iter().any(|effect| matches!(effect, Effect::Go(Step::Move))));
    for theme in [LINES, BARE, Theme::new(Colours::Full, Glyphs::Unicode)] {
        let drawn = |share: Option<f64>| {
            let moves = share.map(|share| motion::Frame { share, lit: share < 0.4, left: Duration::from_millis(60) });
            let look = Shared { moves, ..shared(theme) };
            paint((140, 45), |frame| {
                screen.draw(frame, frame.area(), &look);
            })
        };
        let [first, middle, last] = [0.0, 0.5, 1.0].map(|share| drawn(Some(share)));
        // The cutter just filed, to its end; the numbers are those that were read, from the first picture on.
        for going in [&first, &middle, &last] {
            let text = text(going);
            assert!(text.contains("Cutter 1, left, its tooth") && text.contains("length 8.02 mm"), "{text}");
        }
        let steel = |drawn: &Buffer| {
            let filled = |cell: &&ratatui::buffer::Cell| !matches!(cell.symbol(), " " | "");
            drawn.content.iter().filter(filled).count()
        };
        assert!(first != middle && middle != last, "{theme:?}");
        assert!(steel(&first) >= steel(&last), "{theme:?}: {} {}", steel(&first), steel(&last));
        let turned =
            |drawn: &Buffer| drawn.content.iter().filter(|cell| cell.modifier.contains(Modifier::REVERSED)).count();
        assert!(turned(&first) > turned(&last), "{theme:?}: the verdict is not lit");
        // Then what comes next stands there.
        let still = drawn(None);
        assert!(text(&still).contains("Cutter 1, left, from above"), "{}", text(&still));
        assert_eq!(turned(&still), turned(&last), "{theme:?}: still lit");
    }
}
