//! Paper and back: a blank bench sheet has a box for every reading in the order in which it is typed in, and what is typed in
//! makes a round like any other.

use evenbite::care::{Boxes, Filled, Workshop};
use evenbite::chain::nth;
use evenbite::record::Rack;
use evenbite::round::{Closing, Event, Tool};
use evenbite::units::{Millimetres, Unit};
use unicode_width::UnicodeWidthStr;

use crate::invented::{at, card, rack, whole_round};
use crate::pages;

fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    (dir, rack)
}

/// A sheet filled in; the row of cutter 7 as typed.
fn filled(care: &Workshop, third: [&str; 3]) -> Filled {
    let rows = care.blank("one").unwrap().cutters.into_iter().map(|(cutter, side)| {
        let typed = if cutter == 7 { third } else { ["8,05", "30", "0.65"] };
        Boxes { cutter, side, typed: typed.map(str::to_owned) }
    });
    Filled {
        tag: "one".into(),
        measured: at(5),
        person: "Ina".into(),
        tool: Tool::File,
        unit: Unit::Mm,
        goes_on: false,
        rows: rows.collect(),
        sure: Vec::new(),
        now: at(9),
    }
}

#[test]
fn a_blank_sheet_has_every_cutter_by_side_with_boxes_to_write_into() {
    let (_dir, rack) = workshop();
    whole_round(&rack, &card("one", 24), at(1), "Ina", 9.0);
    let care = Workshop::from(rack);
    let sheet = care.bench_sheet("one").unwrap();
    let text = sheet.text(true);
    assert!(text.lines().all(|line| line.width() <= 80) && text.is_ascii(), "{text}");
    let page = pages::parse(&sheet.html());
    pages::check_reading(&page);
    let rows = |at: usize| {
        let heads = pages::all(&page, &format!(".sides table:nth-of-type({at}) tbody th"));
        heads.iter().map(|head| head.text().collect::<String>()).collect::<Vec<_>>()
    };
    let order = care.blank("one").unwrap();
    let typed: Vec<String> = order.cutters.iter().map(|(cutter, _)| cutter.to_string()).collect();
    assert_eq!([rows(1), rows(2)].concat(), typed, "it is typed in as it is read");
    assert_eq!((typed.len(), pages::all(&page, "tbody td").len(), order.sharpener.as_str()), (12, 36, "Ina"));
}

#[test]
fn what_was_written_makes_a_round_of_the_day_it_was_measured() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack.clone());
    let (look, refused) = care.look_at_paper(&filled(&care, ["8.10", "", ""])).unwrap();
    assert_eq!(refused, []);
    let taken = care.take(&look).unwrap();
    let round = rack.read_round(&taken.path).unwrap();
    assert_eq!(
        (round.header.started, round.header.sharpener.as_str(), round.closed),
        (at(5), "Ina", Some(Closing::Abandoned))
    );
    let cutter = round.cutter(nth(7)).unwrap();
    assert_eq!((cutter.before.mean().map(Millimetres::get), cutter.gap_before.is_empty()), (Some(8.10), true));
    let typed = round.entries.iter().find(|entry| matches!(entry.event, Event::Length { .. })).unwrap();
    assert_eq!(typed.typed.as_deref(), Some("8,05"));
    assert_eq!(care.history("one").unwrap().csv().lines().count(), 2, "its life has the round");
}

#[test]
fn a_box_that_cannot_be_is_named_and_a_doubtful_one_is_kept_only_when_it_is_meant() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack);
    for (third, box_at, sure_helps) in
        [(["8.o5", "30", "0.65"], 0, false), (["8.05", "30", "6.5"], 2, false), (["4.07", "30", "0.65"], 0, true)]
    {
        let mut sheet = filled(&care, third);
        let (_, refused) = care.look_at_paper(&sheet).unwrap();
        assert_eq!(refused.len(), 1, "{third:?}: {refused:?}");
        assert_eq!((refused[0].cutter, refused[0].at), (nth(7), box_at), "{refused:?}");
        sheet.sure.push(nth(7));
        assert_eq!(care.look_at_paper(&sheet).unwrap().1.is_empty(), sure_helps, "{third:?}");
    }
}

#[test]
fn the_plain_face_types_a_sheet_in_line_by_line() {
    let (_dir, rack) = workshop();
    let lines = |third: &str| {
        let cutters = [1, 3, 5, 7, 9, 11, 2, 4, 6, 8, 10, 12];
        let rows: String =
            cutters.map(|n| if n == 3 { format!("{third}\n") } else { "8.05 30 0.65\n".into() }).concat();
        format!("paper Loop One\n2026-03-09\nIna\n\n\n{rows}")
    };
    let said = |text: &str| {
        let mut out = Vec::new();
        evenbite::plain::run(&Workshop::from(rack.clone()), text.as_bytes(), &mut out, || at(9), "", false).unwrap();
        String::from_utf8(out).unwrap()
    };
    let text = said(&(lines("8.05 - 0.65") + "new\n"));
    assert!(text.contains("The sheet is on record, with the day that it was measured."), "{text}");
    let text = said(&(lines("8.o5") + "8.06\nnew\n"));
    assert!(text.contains("Cutter 3 again; or keep") && text.matches("is on record").count() == 1, "{text}");
    let rounds = rack.rounds("one").unwrap();
    assert_eq!(rounds.len(), 2);
    assert_eq!(rack.read_round(&rounds[1]).unwrap().header.started.date_naive().to_string(), "2026-03-09");
}
