use crate::units::mm;
use chrono::{DateTime, TimeDelta};
use crossterm::event::KeyCode;

use super::super::super::theme::Theme;
use super::super::drawing::{BARE, LINES, at_every_size, draw, press, shown};
use super::*;
use crate::chain::profile::built_in;
use crate::chain::{CutterNumber, Sequence, Side, Wood, nth};
use crate::round::Visit;
use crate::round::card::{Own, Prices};
use crate::round::{Card, Lengths, Tool};

fn card() -> Card {
    Card {
        tag: "north-12".into(),
        name: "North 12".into(),
        owner: String::new(),
        saw: String::new(),
        profile: "three-eighths".into(),
        links: 72,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        created: DateTime::parse_from_rfc3339("2026-01-01T08:00:00+01:00").unwrap(),
        own: Own::default(),
        prices: Prices { new_loop: Some(30.0), ..Prices::default() },
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

/// Round `n` of a loop, three weeks after the one before, from one median length to another.
fn round(n: u32, before: f64, after: f64) -> Summary {
    let started = card().created + TimeDelta::weeks(3 * i64::from(n));
    Summary {
        stops: Vec::new(),
        started,
        ended: started + TimeDelta::minutes(40),
        how: Some(Closing::Signed),
        sharpener: if n.is_multiple_of(3) { "Bo Lindqvist-Anderson".into() } else { "Ina".into() },
        wood: Wood::Any,
        tool: Tool::File,
        profile: "three-eighths".into(),
        rule: None,
        target: Some(mm(after)),
        median_before: Some(mm(before)),
        median_after: Some(mm(after)),
        lengths: Some(Lengths {
            median: mm(after),
            shortest: mm(after),
            ends: mm(after),
            ends_at: CutterNumber::FIRST,
        }),
        spread_before: Some(mm(0.42)),
        spread_after: Some(mm(0.12)),
        left_short: Vec::new(),
        cut: None,
        promised: None,
        cut_since: None,
        new_length: None,
        left_less_right: None,
        removed: mm(36.0 * (before - after)),
        removed_wear: mm(3.6),
        removed_damage: mm(0.0),
        removed_even: mm(0.0),
        minutes: None,
        strokes: 72,
        filings: Vec::new(),
        gap_loss: None,
        notes: Vec::new(),
    }
}

fn rounds(count: u32) -> Vec<Summary> {
    let length = |n: u32| 9.8 - 0.35 * f64::from(n) + 0.05 * f64::from(n % 2);
    (1..=count).map(|n| round(n, length(n - 1), length(n))).collect()
}

fn life(card: Card, rounds: Vec<Summary>) -> History {
    let spec = built_in::named("three-eighths").unwrap().spec().clone();
    let forecast = crate::advice::forecast::of_loop(&rounds, &spec, &card.prices);
    let known = care::Life { card, spec, rounds, forecast, saw_hint: None, not_read: Vec::new() };
    History::new(Life { known, unit: Unit::Mm })
}

fn history(rounds: Vec<Summary>) -> History {
    life(card(), rounds)
}

#[test]
fn chart_list_and_outlook_tell_the_loops_life() {
    let screen = history(rounds(6));
    let text = shown(&screen, (80, 24), LINES);
    assert!(text.contains("History of North 12  6 rounds"));
    let prior = built_in::named("three-eighths").unwrap().spec().wear_per_round;
    let past = crate::round::Past { rounds: rounds(6), ..Default::default() };
    let found = crate::advice::forecast::Wear::learn(prior, &crate::advice::forecast::wears(&past.rounds));
    let left = found.rounds_over(screen.past[5] - mm(3.0));
    assert!(text.contains(&format!("About {} rounds left ({} to", left.best.unwrap(), left.low)), "{text}");
    assert!(!text.contains("Scrapped now"), "a loop in care is not told what scrapping would lose: {text}");
    assert!(text.contains("worth it") && text.contains("mark") && text.contains('?'), "{text}");
    let newest = text.find("2026-05-07").expect("the last round");
    assert!(text.find("2026-04-16").is_none_or(|before| before > newest), "the last round comes first");
    let end = screen.future.last().map(|round| round.high).unwrap();
    assert!((end - mm(3.0)).get().abs() < 1e-9, "the fan reaches the mark: {end:?}");
}

#[test]
fn only_signed_rounds_make_the_curve_but_all_are_listed() {
    let mut all = rounds(4);
    all[3].how = Some(Closing::Abandoned);
    all[3].median_after = None;
    all[3].lengths = None;
    let screen = history(all);
    assert_eq!(screen.past.len(), 3);
    let mut screen = screen;
    press(&mut screen, KeyCode::Char('v'));
    let text = shown(&screen, (80, 24), LINES);
    assert!(text.contains("8.80 → ?") && text.contains("not signed") && text.contains("signed off"), "{text}");
}

#[test]
fn a_loop_without_rounds_and_one_out_of_care_say_so() {
    let empty = history(Vec::new());
    let text = shown(&empty, (80, 24), LINES);
    assert!(text.contains("0 rounds") && text.contains("Nothing measured yet.") && text.contains("no rounds yet"));
    let mut gone = card();
    let at = gone.created;
    gone.scrapped = Some(crate::round::card::Scrapped { at, reason: "lost in the stream".into() });
    let screen = life(gone, rounds(2));
    assert!(shown(&screen, (80, 24), LINES).contains("Out of care: lost in the stream"));
}

#[test]
fn the_list_scrolls_to_its_end_and_back() {
    let mut screen = history(rounds(30));
    press(&mut screen, KeyCode::Char('v'));
    let first = shown(&screen, (80, 24), LINES);
    for _ in 0..100 {
        press(&mut screen, KeyCode::Down);
    }
    let last = shown(&screen, (80, 24), LINES);
    assert!(last.contains("2026-01-22") && !first.contains("2026-01-22"), "{last}");
    press(&mut screen, KeyCode::Up);
    assert_ne!(shown(&screen, (80, 24), LINES), last);
    press(&mut screen, KeyCode::Home);
    assert_eq!(shown(&screen, (80, 24), LINES), first);
    assert!(matches!(press(&mut screen, KeyCode::Esc)[..], [Effect::Go(Step::Close)]));
}

#[test]
fn no_size_panics() {
    let screens = [0, 1, 30].map(|count| {
        let mut other = history(rounds(count));
        press(&mut other, KeyCode::Char('v'));
        [history(rounds(count)), other]
    });
    at_every_size(|size| {
        for screen in screens.iter().flatten() {
            draw(screen, size, LINES);
        }
    });
}

#[test]
fn drawings_at_the_usual_sizes() {
    let mut screen = history(rounds(7));
    let look: [((u16, u16), &str, Theme); 4] =
        [((60, 20), "", LINES), ((80, 24), "", LINES), ((120, 40), "", LINES), ((80, 24), "ascii-", BARE)];
    for part in ["chart", "list"] {
        for ((columns, rows), glyphs, theme) in look {
            insta::assert_snapshot!(format!("{part}-{glyphs}{columns}x{rows}"), shown(&screen, (columns, rows), theme));
        }
        press(&mut screen, KeyCode::Char('v'));
    }
}

#[test]
fn who_a_spread_leaves_out_stands_under_its_round() {
    let mut all = rounds(5);
    all[1].left_short = vec![nth(12)];
    let mut screen = history(all);
    press(&mut screen, KeyCode::Char('v'));
    let text = shown(&screen, (80, 24), LINES);
    assert!(text.contains("without cutter 12, left short"), "{text}");
}
