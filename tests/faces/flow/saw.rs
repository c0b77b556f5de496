//! The saw in a round: asked for, looked at, left out; its own record; from the rack.

use evenbite::care::Workshop;
use evenbite::record::Rack;
use evenbite::round::{Ask, Event, Phase, Round, SawLook};
use evenbite::saw::{Grade, Part, Piece, Saw};
use evenbite::units::Millimetres;

use super::limits::{BEGIN, at, at_the_rakers, said, to_the_rakers};
use crate::played::{Bench, COLOUR, intake};

fn rack_saw(bench: &Bench, name: &str) -> Option<Saw> {
    bench.rack().saw(name).unwrap()
}

/// A round on a loop whose card names a saw, the loop itself found sound.
fn asked() -> Bench {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, 0)).run("key *\n");
    let rack: Rack = bench.rack();
    let mut card = rack.card("twelve").unwrap();
    card.saw = "Big saw".into();
    rack.save_card(&card).unwrap();
    // The round that was begun without a saw is given up; the next one is asked.
    bench.run("key Enter\nkey Ctrl-X\nenter yes\nkey Enter\nkey Enter\nenter Ina\n").run(&"enter\n".repeat(6));
    bench.run(&"enter 1\n".repeat(7));
    bench
}

fn ask(round: &Round) -> Ask {
    round.step().ask
}

#[test]
fn a_round_without_a_saw_asks_for_none() {
    let bench = Bench::looked();
    assert!(bench.round().header.saw.is_empty());
    assert_eq!(bench.round().phase(), Phase::Measure);
}

#[test]
fn one_key_leaves_the_saw_out() {
    let mut bench = asked();
    bench.sees("The saw: Big saw");
    assert_eq!(ask(&bench.round()), Ask::Saw);
    bench.run("key Enter\n");
    let round = bench.round();
    assert_eq!((round.phase(), round.saw), (Phase::Measure, SawLook::LeftOut));
    assert_eq!(rack_saw(&bench, "big saw"), None);
}

#[test]
fn a_fault_put_right_at_once_is_none_any_more() {
    let mut bench = asked();
    bench.run("enter 1\n").sees("r was bad, put right").run("key r\nenter 0,4\n").sees("bad, put right, 0.40 mm");
    bench.run("enter 1\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nkey Enter\n").sees("SAW: no fault");
    let saw = rack_saw(&bench, "Big saw").unwrap();
    assert_eq!(saw.worst(&Part::BAR), Some(Grade::Good));
    assert_eq!(saw.checks[&Part::Rails].found, Grade::Bad, "what was found stays on record");
    bench.run("key *\n");
    assert!(!bench.screen().contains("bar BAD"), "{}", bench.screen());
    bench
        .run("key l\n")
        .sees("Found bad and put right: bar rails 0.40 mm")
        .run("key Enter\n")
        .sees("bad, 0.40 mm, put right");
}

#[test]
fn digits_look_at_the_saw_and_it_keeps_a_record_of_its_own() {
    let mut bench = asked();
    bench.run("enter 1\n").sees("Bar rails, 1 of 7").run("enter 3\n").sees("rail height difference, mm");
    bench.run("enter 0,4\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nkey n\nenter new spring\nenter 1\nkey Enter\n");
    let saw = rack_saw(&bench, "Big saw").unwrap();
    assert_eq!(saw.worst(&Part::BAR), Some(Grade::Bad));
    assert_eq!(saw.checks[&Part::Rails].mm.map(Millimetres::get), Some(0.4));
    assert_eq!(saw.checks[&Part::Tension].note.as_deref(), Some("new spring"));
    assert_eq!(saw.looks()[0].with.as_deref(), Some("twelve"));
    let round = bench.round();
    assert_eq!((round.phase(), round.saw.clone()), (Phase::Measure, SawLook::LookedAt("Big saw".into())));
    assert!(matches!(&round.entries.last().unwrap().event, Event::Saw { looked_at: Some(name) } if name == "Big saw"));
    bench.sees("SAW: Bar rails: uneven or burred");
    // Taking it back in the round asks again; what was found at the saw stays found.
    bench.run("key /\n");
    assert_eq!(ask(&bench.round()), Ask::Saw);
    assert!(rack_saw(&bench, "Big saw").is_some());
}

#[test]
fn a_bad_bar_is_a_cause_and_no_hindrance() {
    let mut bench = asked();
    bench.run("enter 1\nenter 3\nkey Enter\nkey *\n");
    bench.run("key c\nenter 2\n").sees("1. The bar's rails are uneven or worn. Your readings show it: Bar rails");
    bench.run("key Esc Esc\n");
    assert!(!bench.round().is_rejected());
    assert_eq!(bench.round().phase(), Phase::Measure);
}

#[test]
fn leaving_the_list_stores_nothing_and_asks_again() {
    let mut bench = asked();
    bench.run("enter 1\nenter 3\nenter 2\nkey Esc\n");
    assert_eq!((ask(&bench.round()), rack_saw(&bench, "Big saw")), (Ask::Saw, None));
    // Nothing seen is nothing stored.
    bench.run("enter 1\nkey *\n").sees("nothing is stored");
    assert_eq!((ask(&bench.round()), rack_saw(&bench, "Big saw")), (Ask::Saw, None));
}

#[test]
fn a_saw_can_be_named_at_the_bench_and_goes_on_the_card() {
    let mut bench = Bench::looked();
    bench.run("key l\n").sees("Which saw").run("enter ...\n").sees("at least one letter or digit");
    bench.run("key l\nenter Big saw\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nkey Enter\n");
    assert_eq!(bench.rack().card("twelve").unwrap().saw, "Big saw");
    assert_eq!(bench.round().saw, SawLook::LookedAt("Big saw".into()));
    // The next time its name is known.
    bench.run("key l\n").sees("Tension after cutting, 1 of 8");
}

#[test]
fn an_instruments_line_is_a_figure_and_never_a_digit_for_an_answer() {
    let mut bench = asked();
    bench.run("enter 1\nline 2.35 mm\n").sees("measured 2.35 mm").run("enter 3\nkey *\n");
    let rails = rack_saw(&bench, "Big saw").unwrap().checks[&Part::Rails].clone();
    assert_eq!((rails.found, rails.mm.map(Millimetres::get)), (Grade::Bad, Some(2.35)));
}

#[test]
fn the_page_of_a_saw_is_reached_from_the_rack_and_renews_its_pieces() {
    let mut bench = asked();
    bench.run(
        "enter 1\nenter 3\nkey Enter\nenter 1\nenter 1\nkey Enter\nenter 0.7\nenter 2\nenter 1\nenter 1\nkey Enter\nkey *\n",
    );
    bench.run("key l\n").sees("Saw: Big saw").sees("Bar rails: uneven or burred");
    bench.sees("the usual 0.50 mm").run("key m\nenter 0.6\n").sees("at or past the maker's limit of 0.60 mm");
    bench.run("key m\nenter 99\n").sees("Allowed: 0 to 5 mm").run("key Esc\nkey b\n").sees("Not looked at: bar rails");
    bench.run("key r\n");
    let saw = rack_saw(&bench, "Big saw").unwrap();
    assert_eq!((saw.worst(&Part::BAR), saw.worst(&[Part::Sprocket])), (None, None));
    assert!(saw.renewed.contains_key(&Piece::Bar) && saw.renewed.contains_key(&Piece::Sprocket));
    // One key takes the last entry back, then the one before.
    bench.run("key /\n");
    assert!(!rack_saw(&bench, "Big saw").unwrap().renewed.contains_key(&Piece::Sprocket));
    bench.run("key t\nenter 2\nkey Enter\n").sees("Tension after cutting: not quite right");
    bench.run("key n\nenter bar turned over\nkey PgDn PgDn PgDn\n").sees("bar turned over");
    bench.run("key Esc\n").sees("Saw: sprocket BAD");
}

#[test]
fn a_tension_that_is_not_right_with_a_raker_too_low_is_cautioned_of_in_both_faces() {
    const SAID: &str = "tension not right: bounces if slack";
    let mut bench = at_the_rakers("enter\nenter\nenter\nenter\n");
    bench.run("enter 1\n").run("enter 1.20\nenter 0\n");
    bench.run("key l\nenter Big saw\n").run(&"enter 1\n".repeat(6)).sees("Tension, 7 of 7").run("enter 3\nkey Enter\n");
    bench.run(&"enter 0.65\n".repeat(9)).run("key s\n").sees("1 raker too low").sees("tension not right");
    bench.run("key Esc\nkey *\n").sees("tension not right");
    let begin = format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}{}", to_the_rakers());
    let saw = format!("saw Big saw\n{}3\n", "1\n".repeat(6));
    let (dir, said) = said(&format!("{begin}1\n1.20\n0\n{saw}{}0\n0\n1\n", "0.65\n".repeat(9)));
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("slack, with rakers too low, the chain makes the saw bounce. Set it cold first"), "{said}");
    let care = Workshop::from(Rack::open(dir.path().join("data")).unwrap());
    let row = care.rows(at()).rows.remove(0);
    assert!(row.status.unwrap().line().contains(SAID));
}

#[test]
fn tags_of_the_loops_shown_are_read_and_put_where_they_can_be_printed() {
    let mut bench = Bench::looked();
    bench.run("key *\nkey p\n").sees("1 tag. To print:").sees("Twelve [twelve]");
    let page = std::fs::read_to_string(bench.rack().root().join("tags.html")).unwrap();
    assert!(page.contains("<h2>Twelve</h2>") && page.contains("round not finished"), "{page}");
    // With no loop shown there is nothing to print.
    bench.run("key Esc\nkey f f\nkey p\n").sees("No loop fits");
}

#[test]
fn a_loop_without_a_saw_is_asked_for_its_name_at_the_rack() {
    let mut bench = Bench::looked();
    bench.run("key *\nkey l\n").sees("Which saw does this loop run on?").run("enter Limbing saw\n");
    bench.sees("Saw: Limbing saw").sees("Nobody has looked at");
    assert_eq!(bench.rack().card("twelve").unwrap().saw, "Limbing saw");
}
