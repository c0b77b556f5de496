//! Large windows: what a sharpener wants to see fills them, and the action is read from two steps away.

use chrono::DateTime;
use evenbite::record::Rack;
use evenbite::tui::theme::{Colours, Glyphs, Theme};
use ratatui::buffer::Buffer;

use crate::played::rehearsal;
use crate::rehearse::workshop;

/// Frames, fills and hatching: nothing that says anything.
const SILENT: &str = " │─╭╮╰╯┤┬┴├┼┊█░▒▓╱╲∼·";

/// The share of blocks of eight columns and three rows with anything in them.
fn share(buffer: &Buffer) -> f64 {
    let (columns, rows) = (buffer.area.width, buffer.area.height);
    let says = |x: u16, y: u16| !SILENT.contains(buffer[(x, y)].symbol());
    let blocks: Vec<bool> = (0..rows)
        .step_by(3)
        .flat_map(|y| (0..columns).step_by(8).map(move |x| (x, y)))
        .map(|(x, y)| (y..rows.min(y + 3)).any(|y| (x..columns.min(x + 8)).any(|x| says(x, y))))
        .collect();
    blocks.iter().filter(|filled| **filled).count() as f64 / blocks.len() as f64
}

#[test]
fn a_large_window_is_used_in_round_rack_history_and_model() {
    let (_dir, rack): (_, Rack) = workshop();
    let start = DateTime::parse_from_rfc3339("2026-10-31T08:00:00+01:00").unwrap();
    let theme = Theme::new(Colours::Full, Glyphs::Unicode);
    let mut play = rehearsal(rack, (200, 60), theme, start);
    for (name, keys) in [
        ("rack", "key Down Down\n"),
        ("history", "key h\n"),
        ("model", "key Esc m Right Right Right\n"),
        ("round", "key Esc Home Down Down Down Down Down Enter\n"),
    ] {
        play.play(&format!("size 200x60\n{keys}")).unwrap();
        for (size, least) in [((140, 45), 0.65), ((200, 60), 0.55)] {
            play.play(&format!("size {}x{}\n", size.0, size.1)).unwrap();
            let buffer = play.terminal().backend().buffer().clone();
            let reached = share(&buffer);
            assert!(reached >= least, "{name} at {size:?}: {reached:.2}\n{}", play.screen());
            let foot: String = (0..size.0).map(|x| buffer[(x, size.1 - 1)].symbol()).collect();
            assert!(foot.contains("F1"), "{name} at {size:?}: the footer stands elsewhere");
        }
    }
    // The round at arm's length: number and action in letters of four rows, the last verdict beside them.
    play.play("size 100x30\n").unwrap();
    let buffer = play.terminal().backend().buffer();
    let large = |from: u16, to: u16| {
        let cells = (3..7).flat_map(|y| (from..to).map(move |x| (x, y)));
        cells.filter(|at| "▘▝▀▖▌▞▛▗▚▐▜▄▙▟█".contains(buffer[*at].symbol())).count()
    };
    assert!(large(0, 16) > 20 && large(24, 62) > 40, "{}", play.screen());
    play.play("enter 3\nenter 8.56\n").unwrap();
    let shown = play.screen();
    assert!(shown.contains("19 L EVEN"), "{shown}");
}

#[test]
fn the_rack_shows_its_loop_as_soon_as_the_window_has_room_and_counts_no_rounds_of_one_that_is_held_back() {
    let (_dir, rack): (_, Rack) = workshop();
    let start = DateTime::parse_from_rfc3339("2026-10-31T08:00:00+01:00").unwrap();
    let mut play = rehearsal(rack, (80, 24), Theme::new(Colours::None, Glyphs::Unicode), start);
    play.play("key Down Down").unwrap();
    assert!(!play.screen().contains("At the bench"), "{}", play.screen());
    play.play("size 140x45").unwrap();
    let shown = play.screen();
    assert!(shown.contains("At the bench"), "{shown}");
    // No changeover is worth anything on a loop that must not run, and no round to come is drawn.
    play.play("key / r i d g e Space 3").unwrap();
    let shown = play.screen();
    assert!(shown.contains("REJECTED") && shown.contains("No rounds are counted"), "{shown}");
    assert!(!shown.contains("scaled:") && !shown.contains("? expected"), "{shown}");
    play.play("key Enter Esc h").unwrap();
    assert!(!play.screen().contains("? expected"), "{}", play.screen());
}
