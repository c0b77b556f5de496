//! Keys in, state out: each part of a round, by keys into the real application and the record they leave.

mod all_rakers;
mod aloud;
mod card;
mod cut;
mod drills;
mod faults;
mod grinder;
mod hands;
mod import;
mod inches;
mod join;
mod kept;
mod lessons;
mod limits;
mod new_length;
mod pages;
mod phone;
mod practice;
mod saw;
#[cfg(unix)]
mod shared_folder;
mod slips;
mod spent;
mod stops;
mod stored;
mod why;
mod written;

use crate::played::{Bench, COLOUR, intake, measured, sound};
use evenbite::chain::{CutterNumber, Rule, Side};
use evenbite::coach::words;
use evenbite::round::{Ask, Closing, CutterState, Event, Phase, Reading, Round};
use evenbite::units::mm;

/// What the step of a round asks, in a word: `1 length before`.
fn asks(round: &Round) -> String {
    let step = round.step();
    let what = match step.ask {
        Ask::Look(item) => format!("look {}", words::look_name(item)),
        Ask::Read(reading) => words::reading(reading).to_owned(),
        Ask::Do(task) => words::task_done(task).to_owned(),
        other => format!("{other:?}").to_lowercase(),
    };
    step.cutter.map_or(what.clone(), |cutter| format!("{cutter} {what}"))
}

/// Each row: what is tried, the keys after a sound look-over, and what the round then asks.
#[test]
fn measuring() {
    let rows = [
        ("a plain reading", "enter 8.05", "2 length before"),
        ("a decimal comma", "enter 8,05", "2 length before"),
        ("the unit behind it", "enter 8.05mm", "2 length before"),
        ("left out with Enter alone", "enter", "2 length before"),
        ("the foot switch", "type 8.05\nkey Space", "2 length before"),
        ("another key of a foot switch", "type 8.05\nkey PgDn", "2 length before"),
        ("the programmable key", "type 8.05\nkey F13", "2 length before"),
        ("nonsense is refused", "enter 8..05", "1 length before"),
        ("out by ten is refused or asked", "enter 80.5", "1 length before"),
        ("a doubtful one waits", "enter 2.1", "1 length before"),
        ("Enter never keeps a doubtful one", "enter 1.9\nkey Enter\nkey Enter", "2 length before"),
        ("a star keeps it", "enter 2.1\nkey *", "2 length before"),
        ("a doubtful one typed anew", "enter 2.1\nenter 8.01", "2 length before"),
        ("taken back with one key", "enter 8.05\nkey /", "1 length before"),
        ("taken back twice", "enter 8.05\nenter 8.06\nkey / /", "1 length before"),
        ("a slash first empties the field", "enter 8.05\ntype 8.\nkey /\nenter 8.06", "3 length before"),
        ("a missing cutter is passed by", "key x", "2 length before"),
        ("a missing cutter comes back", "key x\nkey g\nenter 1", "2 length before"),
        ("go to a cutter", "key g\nenter 7", "7 length before"),
        ("go to a cutter and on from there", "key g\nenter 7\nenter 8.00", "8 length before"),
        ("round again to what was left", "key g\nenter 10\nenter 8.00", "1 length before"),
        ("enough", "enter 8.00\nkey e", "target"),
        ("an instrument's line", "line N+  8.0500 ", "2 length before"),
        ("a feature line", "line 1 +008.05 mm =", "2 length before"),
        ("an instrument's fault", "line ERR1", "1 length before"),
        ("a foot switch held down is one step", "hold Space 30", "2 length before"),
        ("held on a reading it takes that one only", "type 8.05\nhold F13 30", "2 length before"),
        ("an instrument that ends its line twice", "type 8.05\nhold Enter 2\nenter 8.06", "3 length before"),
        ("held on a question it refuses nothing unseen", "type 2.1\nhold Enter 5\nkey *", "2 length before"),
        ("the number pad without its lock", "key Home\nkey End\nkey Delete\nenter 8.05", "2 length before"),
        ("a paste fills and waits", "paste 8.05", "1 length before"),
        ("a paste and Enter", "paste 8.05\nkey Enter", "2 length before"),
        (
            "a step key starts at what is expected",
            "enter 8.00\nenter 8.00\nenter 8.00\nkey Up Enter",
            "5 length before",
        ),
        ("inches in a round in mm wait", "enter 0.317in", "1 length before"),
        ("inches kept are converted", "enter 0.317in\nkey *", "2 length before"),
    ];
    for (what, keys, expected) in rows {
        let mut bench = Bench::looked();
        bench.run(keys);
        assert_eq!(asks(&bench.round()), expected, "{what}\n{}", bench.screen());
    }
}

#[test]
fn the_look_over() {
    let rows = [
        ("a sound item", "enter 1", "look Rivets"),
        ("a worn one goes on", "enter 1\nenter 2", "look Drive links"),
        ("Enter alone is no answer", "enter", "look Cracks"),
        ("nor is another digit", "enter 7", "look Cracks"),
        ("nor is a worn crack", "enter 2", "look Cracks"),
        ("a reject stops the round", "enter 3", "reject"),
        ("and cannot be signed off", "enter 3\nenter", "reject"),
        ("but can be taken back", "enter 3\nkey /", "look Cracks"),
        ("or recorded", "enter 3\nenter 1", "nothing"),
    ];
    for (what, keys, expected) in rows {
        let mut bench = Bench::new((80, 24), COLOUR);
        bench.run(&intake(20, 0, 0)).run(keys);
        assert_eq!(asks(&bench.round()), expected, "{what}\n{}", bench.screen());
    }
}

#[test]
fn a_rejected_loop_is_on_record_and_shown_on_the_rack() {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, 0)).run("enter 3\nenter 1\nkey Enter");
    assert_eq!(bench.round().closed, Some(Closing::Rejected));
    bench.sees("REJECTED").run("key h").sees("No rounds are counted while the loop is held back.");
}

#[test]
fn no_work_is_left_in_a_round_that_a_rejection_ends() {
    let mut bench = Bench::looked();
    bench.run(&measured(5)).sees("min left");
    bench.run("key j\nenter cutters 2 crack").sees("must not go back");
    assert!(!bench.screen().contains("min left"), "{}", bench.screen());
}

#[test]
fn the_caliper_is_closed_at_the_start_and_at_the_end() {
    let rows = [
        ("zero", "enter 0", "1 length before"),
        ("a little off is told and goes on", "enter -0.06", "1 length before"),
        ("a cutter measured too early is refused", "enter 8.05", "zero"),
        ("left out with Enter alone", "enter", "1 length before"),
        ("taken back", "enter 0\nkey /", "zero"),
        ("on to the rest without it", "key g\nenter 3", "3 length before"),
    ];
    for (what, keys, expected) in rows {
        let mut bench = Bench::new((80, 24), COLOUR);
        bench.run(&intake(20, 0, 0)).run(&"enter 1\n".repeat(7)).run(keys);
        assert_eq!(asks(&bench.round()), expected, "{what}\n{}", bench.screen());
    }
    for (read, keys, at_end) in [(true, "enter 0.00", "zero"), (false, "enter", "light")] {
        let mut bench = Bench::new((80, 24), COLOUR);
        bench
            .run(&intake(20, 0, 0))
            .run(&"enter 1\n".repeat(7))
            .run(keys)
            .run(&measured(10))
            .run("enter\nkey e\nkey e\nkey e");
        assert_eq!(asks(&bench.round()), at_end, "{}", bench.screen());
        if read {
            bench.run("enter 0.08").sees("NOT ZERO");
            assert_eq!(
                (asks(&bench.round()).as_str(), bench.round().zeros.as_slice()),
                ("light", &[mm(0.0), mm(0.08)][..])
            );
        }
    }
}

#[test]
fn the_mouse_turns_pages_and_presses_the_names_in_the_footer() {
    use crossterm::event::{KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
    use evenbite::tui::app::Msg;
    let mut bench = Bench::looked();
    let mouse = |bench: &mut Bench, kind, column, row| {
        bench.play.send(Msg::Mouse(MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE }));
    };
    let at = |bench: &Bench, name: &str| {
        let screen = bench.screen();
        let last = screen.lines().last().unwrap();
        u16::try_from(last.find(name).unwrap()).unwrap()
    };
    let click = MouseEventKind::Down(MouseButton::Left);
    bench.run("type 8.05");
    let next = at(&bench, "next");
    mouse(&mut bench, click, next, 23);
    assert_eq!(asks(&bench.round()), "2 length before");
    let back = at(&bench, "back");
    mouse(&mut bench, click, back, 22);
    assert_eq!(asks(&bench.round()), "2 length before", "only the footer is pressed");
    mouse(&mut bench, click, back, 23);
    assert_eq!(asks(&bench.round()), "1 length before");
    let keys = at(&bench, "keys");
    mouse(&mut bench, click, keys, 23);
    let first = bench.screen();
    mouse(&mut bench, MouseEventKind::ScrollDown, 3, 3);
    assert_ne!(bench.screen(), first);
    mouse(&mut bench, MouseEventKind::ScrollUp, 3, 3);
    assert_eq!(bench.screen(), first);
}

#[test]
fn choosing_the_length() {
    let rows: [(&str, &str, Option<f64>, &[u16]); 5] = [
        ("the recommended one", "enter", Some(7.90), &[]),
        ("by its number", "enter 1", Some(7.90), &[]),
        ("one's own", "enter 7.5\nkey *", Some(7.5), &[]),
        ("longer than new is refused", "enter 11.0", None, &[]),
        ("at the mark it asks first", "enter 2.9", None, &[]),
    ];
    for (what, keys, target, short) in rows {
        let mut bench = Bench::looked();
        bench.run(&measured(10)).run(keys);
        let round = bench.round();
        assert_eq!(round.target.as_ref().map(|target| target.length.get()), target, "{what}\n{}", bench.screen());
        let left: Vec<u16> =
            round.cutters.iter().filter(|c| c.state == CutterState::LeftShort).map(|c| c.number.get()).collect();
        assert_eq!(left, short, "{what}");
    }
}

/// A round of ten even cutters up to the first filing.
fn to_file(readings: usize) -> Bench {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, readings)).run(&sound()).run(&measured(10)).run("enter");
    bench
}

#[test]
fn filing() {
    let rows = [
        (0, "to the length", "enter 7.92", "3 length after"),
        (0, "at the aim, half the tolerance over the length", "enter 8.00", "3 length after"),
        (0, "a little over the aim, and all but sure to be within tolerance", "enter 8.01", "3 length after"),
        (0, "so far over the aim that it may be out of tolerance: filed on", "enter 8.04", "1 length after"),
        (0, "longer than before waits", "enter 8.9", "1 length after"),
        (1, "strokes first", "enter 3", "1 length after"),
        (1, "strokes then length", "enter 3\nenter 7.92", "3 strokes"),
        (1, "strokes left out", "enter\nenter 7.92", "3 strokes"),
        (2, "then the angle", "enter 7.92", "1 top-plate angle"),
        (2, "an angle in minutes", "enter 7.92\nenter 30:15", "3 length after"),
        (3, "all three", "enter 3\nenter 7.92\nenter 30", "3 strokes"),
    ];
    for (readings, what, keys, expected) in rows {
        let mut bench = to_file(readings);
        bench.run(keys);
        assert_eq!(asks(&bench.round()), expected, "{what}\n{}", bench.screen());
    }
}

fn filed() -> Bench {
    let mut bench = to_file(0);
    bench.run(&"enter 7.92\n".repeat(5)).run("enter").run(&"enter 7.92\n".repeat(5));
    bench
}

#[test]
fn rakers() {
    let rows = [
        ("a gap above the published one is asked about", "enter", "rule"),
        ("the recommended rule", "enter\nkey *", "1 raker gap"),
        ("a good gap goes on", "enter 1\nenter 0.65", "2 raker gap"),
        ("a high raker is filed and measured again", "enter 1\nenter 0.45", "1 raker gap after filing"),
        ("until it is right", "enter 1\nenter 0.45\nenter 0.50", "1 raker gap after filing"),
        ("then on", "enter 1\nenter 0.45\nenter 0.66", "2 raker gap"),
        ("too low cannot be filed better", "enter 1\nenter 0.85", "2 raker gap"),
        ("a tenth of an inch waits", "enter 1\nenter 2.54", "1 raker gap"),
    ];
    for (what, keys, expected) in rows {
        let mut bench = filed();
        bench.run(keys);
        assert_eq!(asks(&bench.round()), expected, "{what}\n{}", bench.screen());
    }
}

#[test]
fn a_raker_too_low_is_said_to_be_dangerous_with_what_would_mend_it() {
    let mut bench = filed();
    bench.run("enter 1\nenter 0.85");
    bench.sees("TOO LOW").sees("kickback").sees("once the tooth loses");
}

#[test]
fn the_proof_leads_to_what_is_uneven_and_back() {
    let mut bench = filed();
    bench.run("enter 1\n").run(&"enter 0.65\n".repeat(9)).run("enter 0.40\nenter\nenter 0");
    assert_eq!(asks(&bench.round()), "prove");
    bench.sees("to redo").run("enter");
    assert_eq!(asks(&bench.round()), "10 raker gap after filing");
    bench.run("enter 0.40\nenter 0.64");
    assert_eq!(asks(&bench.round()), "prove");
    bench.sees("Nothing to redo").run("enter");
    assert_eq!(asks(&bench.round()), "sign");
    bench.run("enter");
    assert_eq!(asks(&bench.round()), "sign", "Enter alone must not sign off");
    bench.run("enter 1");
    assert_eq!(bench.round().closed, Some(Closing::Signed));
    bench.sees("SIGNED OFF");
    bench.run("key Enter").sees("Rack");
}

#[test]
fn past_the_changeover_the_wear_scaled_gap_is_recommended() {
    let mut bench = filed();
    bench.run("enter\nkey *");
    let round = bench.round();
    // 2.1 mm worn is past 1.82 mm, where a fixed 0.65 mm keeps three quarters of its bite.
    assert_eq!(round.rule, Some(Rule::Scaled));
    let target = round.target_gap(&round.cutters[0]).unwrap().get();
    assert!((target - (6.0 + 7.75 / 7.0 * 2.08) * (0.65_f64 / 6.0)).abs() < 1e-9, "{target}");
}

#[test]
fn a_pause_comes_back_to_the_same_cutter_with_everything_there() {
    let mut bench = Bench::looked();
    bench.run("enter 8.01\nenter 8.02\nkey g\nenter 6\nkey *").sees("Rack").sees("open");
    let paused = bench.round();
    assert!(paused.paused);
    bench.run("wait 90000\nkey Enter");
    let resumed = bench.round();
    assert_eq!(asks(&resumed), "6 length before");
    assert_eq!(resumed.cutters, paused.cutters);
    bench.sees("Going on where you stopped");
}

#[test]
fn marks_and_remarks_are_on_record() {
    let mut bench = Bench::looked();
    bench.run("key d\nenter 0,6\nkey n\nenter hit a stone\nenter 8.01\nkey z\nenter 0.04");
    let round = bench.round();
    let cutter = &round.cutters[0];
    assert_eq!(cutter.state, CutterState::Damaged);
    assert_eq!(cutter.need.map(evenbite::units::Millimetres::get), Some(0.6));
    assert_eq!(cutter.notes, ["hit a stone"]);
    assert_eq!(round.zeros, [mm(0.04)]);
    bench.sees("NOT ZERO");
}

#[test]
fn a_second_reading_is_asked_for_only_near_the_limit_and_averages() {
    let mut bench = to_file(0);
    bench.run("enter 7.76").sees("once more");
    bench.run("enter 7.78");
    let round = bench.round();
    assert_eq!(round.cutters[0].after.readings(), [mm(7.76), mm(7.78)]);
    let again = round.entries.iter().filter(|e| matches!(e.event, Event::Length { again: true, .. })).count();
    assert_eq!(again, 1);
}

#[test]
fn a_grinder_is_led_through_its_own_steps() {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(72, 1, 0)).run(&sound()).run(&measured(36)).run("enter");
    bench.sees("Set the stop").run("enter").sees("Grind every cutter").run("enter").sees("Swing the head");
    bench.run("enter");
    assert_eq!(asks(&bench.round()), "2 length after");
    bench.run("enter 7.92\nenter 7.93").sees("Grind the rest").run("enter");
    for _ in 0..6 {
        assert!(asks(&bench.round()).ends_with("length after"));
        bench.run("enter 7.92");
    }
    assert_eq!(asks(&bench.round()), "rule");
}

#[test]
fn the_spread_order_measures_both_sides_all_round_the_loop_first() {
    let mut bench = Bench::new((80, 24), COLOUR);
    let keys = intake(72, 0, 0).replace(
        "enter Ina\nenter\nenter\nenter\nenter\nenter\nenter\n",
        "enter Ina\nenter\nenter\nenter\nenter\nenter\nkey Right\nenter\n",
    );
    bench.run(&keys).run(&sound()).run(&measured(8));
    bench.sees("28 to measure, may still change the length");
    let round = bench.round();
    let done: Vec<CutterNumber> = round.cutters.iter().filter(|c| !c.before.is_empty()).map(|c| c.number).collect();
    let left = done.iter().filter(|n| round.layout.side(**n) == Some(Side::Left)).count();
    assert_eq!((done.len(), left), (8, 4));
    assert!(done.iter().any(|n| n.get() <= 9) && done.iter().any(|n| n.get() >= 28), "{done:?}");
}

#[test]
fn every_optional_reading_can_be_left_out() {
    let mut bench = Bench::looked();
    bench
        .run(&"enter\n".repeat(10))
        .run("enter 7.9\nkey *")
        .run(&"enter\n".repeat(5))
        .run("enter")
        .run(&"enter\n".repeat(5));
    bench.run("enter").run(&"enter\n".repeat(10));
    assert_eq!(bench.round().phase(), Phase::Prove, "{}", bench.screen());
    bench.run("enter\nenter 0\nenter 1");
    let round = bench.round();
    assert_eq!(round.closed, Some(Closing::Signed));
    assert!(round.cutters.iter().all(|c| c.was_left_out(Reading::LengthAfter)));
}

#[test]
fn no_key_panics_on_any_screen_at_any_size() {
    let keys = "key n\nkey Esc\nkey a\nkey Esc\nkey m\nkey Esc\nkey c\nkey Esc\nkey w\nkey Esc\nkey ,\nkey Esc\nkey F1\nkey Esc\nkey t\nkey Esc\nkey s\nkey h\n";
    for size in [(1, 1), (2, 2), (5, 3), (20, 5), (40, 10), (60, 20), (200, 60)] {
        let mut bench = Bench::new(size, COLOUR);
        bench.run(keys).run(&intake(20, 0, 3)).run(&sound()).run(&measured(10)).run("key v v v v v\nenter\nkey v v");
        for resize in ["1x1", "3x2", "80x24", "7x40", "140x45"] {
            bench.run(&format!("size {resize}\nenter 3\nkey d Esc n Esc g Esc F1 Esc s Esc"));
        }
    }
}

#[test]
fn count_of_keys_for_a_round_is_the_digits_and_one_enter_each() {
    // Ten cutters: every reading is its digits and one Enter, and nothing else is pressed between look-over and proof.
    let mut bench = Bench::looked();
    let script = format!(
        "{}enter\n{}enter\n{}enter 1\n{}",
        measured(10),
        "enter 7.92\n".repeat(5),
        "enter 7.92\n".repeat(5),
        "enter 0.65\n".repeat(10)
    );
    assert!(script.lines().all(|line| line.starts_with("enter")));
    bench.run(&script);
    assert_eq!(asks(&bench.round()), "light");
}

/// The loop on the rack, its card and its measures as the files tell them.
fn taken_in() -> Bench {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run("key n\nenter Twelve\nenter\nenter\nenter\nenter 20\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nkey Esc\n");
    bench
}

#[test]
fn a_card_is_changed_and_refused_in_its_field() {
    let mut bench = taken_in();
    bench.run("key e\nkey End\nenter 2\nenter North farm\nenter Big one\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter 9,8\nenter\nenter 40\nenter\nenter\nenter\nenter\nenter\nenter\nenter 6\nenter\n").sees("Allowed: 1 to 25");
    bench
        .run(&"key Backspace\n".repeat(2))
        .run("enter 11.5\nenter\nenter\nenter\nenter\nenter\nenter\nenter\nenter\n")
        .sees("The card is kept");
    let card = bench.rack().card("twelve").unwrap();
    assert_eq!((card.name.as_str(), card.owner.as_str(), card.saw.as_str()), ("Twelve2", "North farm", "Big one"));
    assert_eq!((card.own.new_length.unwrap().get(), card.own.back_slope.unwrap().get()), (9.8, 11.5));
    assert_eq!(card.prices.hours_between, Some(6.0));
    bench.run("key Enter\nenter Ina\nenter\nenter\nenter\nenter\nenter\nenter\n");
    let spec = bench.round().header.spec;
    assert_eq!((spec.new_length.get(), spec.back_slope.get()), (9.8, 11.5));
}

#[test]
fn a_plate_gauge_is_calibrated_and_its_curve_stands_beside_the_rules() {
    use evenbite::chain::{Plate, profile::built_in};
    use evenbite::units::mm;
    let mut bench = taken_in();
    let spec = built_in::named("three-eighths").unwrap().spec().clone();
    let plate = Plate { foot: mm(16.0), height: mm(5.0), slot: mm(0.7) };
    let gap = |length: f64| format!("{:.3}", plate.gap(&spec, spec.wear(mm(length))).get());
    bench.run("key g\n").sees("Take a cutter that is little worn");
    bench.run(&format!("enter 9.8\nenter\nenter {}\nenter 16\nenter\n", gap(9.8))).sees("gaps of two cutters");
    bench.run("enter 7.4\nenter\nenter 0.9\nenter\nkey Right\nenter\n").sees("The plate leaves");
    // A row taken by mistake goes out again.
    bench.run("key Ctrl-D\n").sees("gaps of two cutters");
    bench.run(&format!("enter 7.4\nenter\nenter {}\nenter\nenter\n", gap(7.4))).sees("The plate leaves 0.66 new");
    let card = bench.rack().card("twelve").unwrap();
    let found = card.spec(&spec).plate.unwrap();
    assert!((found.height.get() - 5.0).abs() < 0.02 && (found.slot.get() - 0.7).abs() < 0.01, "{found:?}");
    let foot = bench.rack().profile("three-eighths").unwrap().get("plate_foot_mm").unwrap().value;
    assert!((foot - 16.0).abs() < 1e-12);
    bench.run("key Esc\nkey t\n").sees("foot 16.00 mm ahead of the raker, corner 5.00 mm");
}

#[test]
fn a_reach_measured_on_two_cutters_counts_in_the_next_round() {
    let mut bench = taken_in();
    bench.run("key g\nenter 9.0\nenter 7.0\nenter\nenter\nenter\n").sees("grows as the chain type says");
    bench.run("enter 6.0\nenter 9.4\nenter\nenter\nenter\n").sees("6.20 new").sees("grows as measured");
    bench.run("key Esc\nkey Enter\nenter Ina\nenter\nenter\nenter\nenter\nenter\nenter\n");
    let spec = bench.round().header.spec;
    assert!((spec.reach_new.get() - 6.2).abs() < 1e-9 && (spec.reach_growth() - 0.8).abs() < 1e-9);
    assert_eq!(spec.known.reach.from, evenbite::chain::Origin::Measured);
}

#[test]
fn model_and_causes_are_those_of_the_loop_chosen_on_the_rack() {
    let mut bench = filed();
    bench.run("key *\nkey c\n").sees("Twelve: How does the saw cut?").run("key Esc\n");
    bench.run("key m\n").sees("Twelve");
}
