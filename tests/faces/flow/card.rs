//! The card of a loop: what the program filled in, slips while it is filled in, and corrections that leave the past alone.

use evenbite::chain::{Sequence, Side, nth};
use evenbite::record::Rack;
use evenbite::units::mm;

use super::super::played::{Bench, COLOUR, intake};
use super::limits::said;

/// Keys from the name to the drive links of a new loop.
const TO_LINKS: &str = "enter\nenter\nenter\n";

fn new_loop(name: &str, links: &str) -> String {
    format!("key n\nenter {name}\n{TO_LINKS}enter {links}\n")
}

#[test]
fn what_the_program_filled_in_is_replaced_by_typing_and_edited_by_a_cursor_key() {
    for (keys, name) in [
        ("enter Eleven", "Eleven"),
        ("key End\nenter A", "TwelveA"),
        ("key Left\nenter x", "Twelvxe"),
        ("key Backspace\nenter x", "Twelvx"),
        ("paste Ten\nkey Enter", "Ten"),
        ("enter", "Twelve"),
    ] {
        let mut bench = Bench::new((80, 32), COLOUR);
        let new = intake(20, 0, 0);
        bench.run(new.split_once("key Enter\n").unwrap().0).run("key e").sees("Typing replaces it");
        bench.run(keys).run(&"enter\n".repeat(23)).sees("The card is kept");
        assert_eq!(bench.rack().card("twelve").unwrap().name, name, "{keys}");
    }
}

#[test]
fn an_odd_number_of_drive_links_is_asked_about_once() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench
        .run(&new_loop("Odd", "67"))
        .sees("67 is odd, most loops are even: is it 66 or 68?")
        .sees("Enter again keeps 67.");
    bench.run("enter").run(&"enter\n".repeat(11)).sees("Taken into care: 1");
    assert_eq!(bench.rack().card("odd").unwrap().links, 67);
    let begin = "new\nTwelve\nthree-eighths\n67\n68\nfull\nleft\n\n\n\n\n";
    let (dir, text) = said(begin);
    assert!(text.contains("67 is odd") && text.contains("Typed again, 67 is kept."), "{text}");
    assert_eq!(Rack::open(dir.path().join("data")).unwrap().card("twelve").unwrap().links, 68);
}

#[test]
fn a_name_that_is_taken_is_refused_where_it_is_typed() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run(&intake(20, 0, 0)).run("key Ctrl-X\nenter yes\nkey Enter\nkey n\nenter twelve");
    bench.sees("There is already a loop with the tag \"twelve\".").run("key Esc");
    bench.run("key Enter\nenter ina").sees("Ina is known here: type the name so, or another one.");
    let (_dir, text) =
        said("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\ngive up\n");
    assert!(text.contains("The round is begun"), "{text}");
}

#[test]
fn an_order_is_a_pattern_where_it_repeats() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run(&new_loop("Pairs", "24")).run("key Left\nenter\nenter L L R R").sees("12 cutters: 6 left, 6 right.");
    bench.run(&"enter\n".repeat(9)).sees("Taken into care: 1");
    let card = bench.rack().card("pairs").unwrap();
    assert_eq!(card.sequence, Sequence::Custom("LLRR".repeat(3)));
    let (dir, _) = said("new\nTwelve\nthree-eighths\n20\nR L\nleft\n\n\n\n\n");
    let card = Rack::open(dir.path().join("data")).unwrap().card("twelve").unwrap();
    assert_eq!(card.layout().unwrap().side(nth(1)), Some(Side::Right));
}

#[test]
fn links_order_and_chain_are_corrected_and_earlier_rounds_keep_theirs() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run(&intake(20, 0, 0)).run(&super::sound()).run(&super::measured(10));
    bench.run("key Ctrl-X\nenter yes\nkey Enter");
    let before = bench.round();
    // Name, owner, saw, mark, five of the customer, then the chain.
    bench.run("key e").run(&"enter\n".repeat(9)).run("key Right\nenter\nenter 24\nenter\nkey Right");
    bench.sees("12 cutters: 6 left, 6 right.").sees("Rounds already made keep theirs.");
    bench.run(&"enter\n".repeat(12)).sees("The card is kept");
    let card = bench.rack().card("twelve").unwrap();
    assert_eq!((card.links, card.first, &card.sequence), (24, Side::Right, &Sequence::Full));
    assert_ne!(card.profile, before.header.profile);
    assert_eq!(bench.round(), before, "the round of before stands as it was");
    bench.run("key Enter\n").run(&"enter\n".repeat(7));
    let header = bench.round().header;
    assert_eq!((header.links, header.first, &header.profile), (24, Side::Right, &card.profile));
    bench.sees("12 cutters").run("key *\nkey h").sees("Twelve");
}

#[test]
fn a_promise_is_typed_on_the_card_and_the_rack_orders_by_it() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run(&intake(20, 0, 0)).run("key Ctrl-X\nenter yes\nkey Enter");
    let to_promise = "key e\nenter\nenter\nenter\nenter\n";
    bench.run(to_promise).run("enter soon\n").run(&"enter\n".repeat(19)).sees("Expected: a day such as");
    let rest = "enter\n".repeat(18);
    bench.run("key Backspace Backspace Backspace Backspace\nenter +7\nenter Jon\n").run(&rest).sees("The card is kept");
    let visit = bench.rack().card("twelve").unwrap().visit;
    let day = |day: Option<chrono::NaiveDate>| day.map(|day| day.to_string());
    assert_eq!(
        (day(visit.promised).as_deref(), day(visit.brought).as_deref()),
        (Some("2026-03-09"), Some("2026-03-02"))
    );
    bench.sees("Promised for 2026-03-09.").run("key o o o o").sees("by promised day").sees("Promised State");
    bench.run("key f f f f f").sees("1 of 1 loop, promised").sees("2026-03-09 ");
    // Fetched: nothing waits any more.
    bench.run(to_promise).run("enter\nenter\nenter\nenter Tove\n").run(&"enter\n".repeat(16)).sees("The card is kept");
    assert_eq!(bench.rack().card("twelve").unwrap().visit.fetched_by, "Tove");
    bench.sees("No loop fits.");
}

#[test]
fn a_bench_sheet_is_typed_in_box_by_box_in_its_order() {
    let mut bench = Bench::new((80, 32), COLOUR);
    bench.run(&intake(20, 0, 0)).run("key Ctrl-X\nenter yes\nkey Enter");
    bench.run("key k").sees("Bench sheet of Twelve").sees("bench-sheet.html");
    bench.run("enter 2026-02-27\nenter Ina\nenter\nenter\nenter\n").sees("1 left length");
    // The side filed first from its first cutter to its last, then the other; cutter 3 slips.
    bench.run("enter 8.05\nenter 30\nenter 0.65\n").sees("3 left length").run("enter 8.o5\nenter\nenter\n");
    bench.run(&"enter 8.04\nenter\nenter 0.66\n".repeat(7)).run("enter 8.04\nenter\nenter 0.66\n");
    bench.sees("8.o5").sees("10 of 10 cutters filled in");
    bench.run("key Backspace Backspace Backspace Backspace\nenter 8.06\n").run(&"enter\n".repeat(26));
    bench.sees("The sheet is on record");
    let rack = bench.rack();
    let round = rack.read_round(&rack.rounds("twelve").unwrap()[0]).unwrap();
    assert_eq!(round.header.started.date_naive().to_string(), "2026-02-27");
    assert_eq!(round.cutter(nth(3)).unwrap().before.mean(), Some(mm(8.06)));
    assert_eq!(round.cutter(nth(2)).unwrap().gap_before.mean(), Some(mm(0.66)));
}
