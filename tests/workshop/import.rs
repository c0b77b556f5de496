//! Readings in from spreadsheets.

use std::fs;

use crate::invented::{at, card, rack, target, whole_round, work};
use evenbite::care::Workshop;
use evenbite::chain::{Sequence, Side, nth};
use evenbite::record::import::{Column, Imported, Look, Options, Preview, Then, Wish, preview, read_text};
use evenbite::record::{ImportError, RackError, check_file};
use evenbite::round::{Ask, Closing, CutterState, LookItem, Phase, Series, Tool};
use evenbite::units::{Millimetres, Unit, deg, mm};

fn in_mm() -> Options {
    Options { unit: Some(Unit::Mm), ..Options::default() }
}

/// A table of twelve cutters, left and right in turn.
fn table(header: &str, row: impl Fn(u16, &str) -> String) -> String {
    let rows = (1..=12).map(|n| row(n, if n % 2 == 1 { "left" } else { "right" }) + "\n");
    format!("{header}\n{}", rows.collect::<String>())
}

fn plain() -> String {
    table("cutter,side,length_mm", |n, side| format!("{n},{side},{}", 8.0 + f64::from(n) / 100.0))
}

fn look(text: &str) -> Preview {
    preview(text, &Options::default(), None).unwrap()
}

fn reasons(text: &str) -> Vec<String> {
    preview(text, &in_mm(), None).unwrap().refused.iter().map(ToString::to_string).collect()
}

#[test]
fn a_new_loop_and_a_round_come_of_a_plain_table() {
    let (_dir, rack) = rack();
    let seen = look(&plain());
    assert_eq!((seen.delimiter, seen.rows.len(), &seen.refused), (',', 12, &Vec::new()));
    let found = seen.found.clone().unwrap();
    assert_eq!((found.links, found.sequence, found.first), (24, Sequence::Full, Side::Left));
    assert!(seen.warnings[0].starts_with("24 drive links: no number of drive links was given"), "{:?}", seen.warnings);
    let Imported { path, round, new_loop } = rack.import(&seen, &target("one", Then::Resume)).unwrap();
    assert!(new_loop);
    assert_eq!(rack.card("one").unwrap().links, 24);
    assert_eq!(rack.read_round(&path).unwrap(), round);
    check_file(&path).unwrap();
    assert_eq!(round.notes, ["imported from bench.csv"]);
    assert_eq!(round.cutter(nth(3)).unwrap().before.readings(), [mm(8.03)]);
    assert_eq!(round.entries[3].typed.as_deref(), Some("8.03"));
    assert_eq!(round.step().ask, Ask::Look(LookItem::Cracks), "nobody has looked the loop over");

    // Resumed, it asks for the look-over and goes on from the readings.
    let (mut file, mut again, _) = rack.resume("one", at(2).to_utc()).unwrap();
    assert_eq!(again, round);
    work(&mut file, &mut again, 8.0, 7);
    assert_eq!(again.phase(), Phase::Plan);
    work(&mut file, &mut again, 8.0, usize::MAX);
    assert_eq!(again.closed, Some(Closing::Signed));
}

#[test]
fn a_round_of_the_past_is_kept_and_leaves_the_loop_free() {
    let (_dir, rack) = rack();
    rack.import(&look(&plain()), &target("one", Then::Keep)).unwrap();
    let shelf = rack.shelves().shelves.remove(0);
    assert_eq!(
        (shelf.rounds, shelf.open, shelf.lengths.map(|lengths| lengths.median.get())),
        (1, None, Some(f64::midpoint(8.06, 8.07)))
    );
    let kept = rack.card("one").unwrap();
    let second = preview(&plain(), &in_mm(), Some(&kept)).unwrap();
    assert!(!rack.import(&second, &target("one", Then::Keep)).unwrap().new_loop);
    rack.import(&second, &target("one", Then::Resume)).unwrap();
    let error = rack.import(&second, &target("one", Then::Resume)).unwrap_err();
    assert!(matches!(error, ImportError::Rack(RackError::OpenRound { .. })), "{error}");
    assert_eq!(rack.rounds("one").unwrap().len(), 3);
}

#[test]
fn a_preview_from_before_the_loop_was_known_is_held_against_it() {
    let (_dir, rack) = rack();
    let mut other = card("one", 24);
    other.first = Side::Right;
    rack.create_loop(&other).unwrap();
    let error = rack.import(&look(&plain()), &target("one", Then::Resume)).unwrap_err().to_string();
    assert!(
        error.contains("12 rows are refused, the first in line 2: Cutter 1 is left in the file and right"),
        "{error}"
    );
    assert!(rack.rounds("one").unwrap().is_empty());
}

#[test]
fn every_column_finds_its_reading() {
    let (_dir, rack) = rack();
    let text = table(
        "cutter,side,length_mm,after_mm,top_plate_deg,gap_before_mm,gap_mm,strokes,need_mm,state,note",
        |n, side| match n {
            3 => format!("3,{side},7.10,,,,,,0.80,damaged,stone"),
            4 => format!("4,{side},,,,,,,,missing,"),
            _ => format!("{n},{side},8.05,7.95,29.5,-0.12,0.65,3,,kept,"),
        },
    );
    let round = rack.import(&look(&text), &target("one", Then::Resume)).unwrap().round;
    let cutter = round.cutter(nth(1)).unwrap();
    let reading = |series: &Series<Millimetres>| series.readings().iter().map(|mm| mm.get()).collect::<Vec<_>>();
    assert_eq!((reading(&cutter.before), reading(&cutter.after)), (vec![8.05], vec![7.95]));
    assert_eq!((cutter.angle.readings(), cutter.strokes), (&[deg(29.5)][..], Some(3)));
    assert_eq!((reading(&cutter.gap_before), reading(&cutter.gap_after)), (vec![-0.12], vec![0.65]));
    assert!((cutter.filings[0].took.get() - 0.1).abs() < 1e-9 && !cutter.gap_stale);
    let struck = round.cutter(nth(3)).unwrap();
    assert_eq!(
        (struck.state, struck.need, struck.notes.as_slice()),
        (CutterState::Damaged, Some(mm(0.8)), &["stone".to_owned()][..])
    );
    assert_eq!(round.cutter(nth(4)).unwrap().state, CutterState::Missing);
    assert!(round.header.take_strokes && round.header.take_angles);

    // Without a column for the gap before, the gap is that of the raker as it stands.
    let text = table("cutter,side,length_mm,gap_mm", |n, side| format!("{n},{side},8.05,0.6"));
    let round = rack.import(&look(&text), &target("two", Then::Resume)).unwrap().round;
    let cutter = round.cutter(nth(2)).unwrap();
    assert_eq!((reading(&cutter.gap_before), cutter.gap_after.is_empty()), (vec![0.6], true));
    assert!(!round.header.take_strokes && !round.header.take_angles);
}

#[test]
fn tables_come_in_many_dresses() {
    let rows = |sep: char, point: &str| {
        table(&["Tooth No", "L/R", "Length (mm)", "Colour"].join(&sep.to_string()), |n, side| {
            [n.to_string(), side[..1].to_uppercase(), format!("8{point}{n:02}"), "blue".into()].join(&sep.to_string())
        })
    };
    let plain = look(&rows(',', "."));
    for text in [rows(';', ","), rows('\t', ","), rows(';', ".")] {
        let seen = look(&text);
        assert_eq!(
            seen.rows.iter().map(|row| row.length).collect::<Vec<_>>(),
            plain.rows.iter().map(|row| row.length).collect::<Vec<_>>()
        );
        assert_eq!(seen.unused, ["Colour"]);
        assert_eq!(
            seen.columns.iter().map(|mapped| mapped.column).collect::<Vec<_>>(),
            [Column::Cutter, Column::Side, Column::Length]
        );
        assert_eq!(look(&format!("\u{FEFF}{}", text.replace('\n', "\r\n"))).rows, seen.rows);
        assert_eq!(look(&format!("sep={}\n{text}", seen.delimiter)).rows.len(), 12);
        let dir = crate::scratch::folder();
        let path = dir.path().join("wide.txt");
        let wide: Vec<u8> = std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
        fs::write(&path, wide).unwrap();
        assert_eq!(look(&read_text(&path).unwrap()).rows, seen.rows);
    }
}

#[test]
fn units_are_asked_for_and_never_guessed() {
    let bare = plain().replace("length_mm", "length");
    let error = preview(&bare, &Options::default(), None).unwrap_err();
    assert!(error.to_string().starts_with("In which unit is \"length\": mm or inches?"), "{error}");
    assert_eq!(preview(&bare, &in_mm(), None).unwrap().rows[0].length, Some(mm(8.01)));
    let inch = table("cutter,side,length_in,after_mm", |n, side| format!("{n},{side},0.3169,8.0"));
    for unit in [None, Some(Unit::Mm), Some(Unit::Inch)] {
        let seen = preview(&inch, &Options { unit, ..Options::default() }, None).unwrap();
        assert_eq!(
            (seen.rows[0].length, seen.rows[0].after),
            (Some(mm(8.0493)), Some(mm(8.0))),
            "a column's own name decides"
        );
    }
    let written = plain().replace("8.03", "0.316 in");
    assert!(reasons(&written)[0].contains("inches"), "{:?}", reasons(&written));
}

#[test]
fn every_refused_row_is_named_with_its_reason() {
    let text = plain()
        .replace("3,left,8.03", "3,left,8.O3")
        .replace("5,left,", "5,up,")
        .replace("7,left,8.07", "6,left,8.07")
        .replace("8,right,8.08", "x,right,8.08")
        .replace("9,left,8.09", "9,left,\"8,09\"")
        .replace("10,right,8.1", "10,right,8,10")
        .replace("11,left,8.11", "11,left,=8.11")
        .replace("12,right,8.12", "12,right,nan");
    let found = reasons(&text);
    let starts = [
        "line 4: length is \"8.O3\".",
        "line 6: side is \"up\". Expected: left or right.",
        "line 8: Cutter 6 is already in line 7.",
        "line 9: cutter is \"x\". Expected: a whole number from 1.",
        "line 10: length is \"8,09\". A decimal comma needs ; or tab between columns.",
        "line 11: 4 cells, but the header has 3. A decimal comma",
        "line 12: length is \"=8.11\".",
        "line 13: length is \"nan\".",
    ];
    assert_eq!(found.len(), starts.len(), "{found:#?}");
    for (reason, start) in found.iter().zip(starts) {
        assert!(reason.starts_with(start), "{reason}");
    }
    let (_dir, rack) = rack();
    let error = rack.import(&preview(&text, &in_mm(), None).unwrap(), &target("one", Then::Resume)).unwrap_err();
    assert!(error.to_string().starts_with("Nothing was imported: 8 rows are refused, the first in line 4:"), "{error}");
    assert!(!rack.root().exists());
}

#[test]
fn states_notes_and_impossible_values_are_refused_too() {
    let with = |column: &str, cell: &str| {
        table(&format!("cutter,side,length_mm,{column}"), |n, side| {
            format!("{n},{side},8.0,{}", if n == 2 { cell } else { "" })
        })
    };
    for (column, cell, words) in [
        ("state", "=1+1", "state is \"=1+1\". Expected: kept, damaged, left-short or missing."),
        ("state", "missing", "Cutter 2 is missing, yet it has readings."),
        ("note", "@SUM(A1)", "note is \"@SUM(A1)\". It begins like a formula."),
        ("strokes", "2.5", "strokes is \"2.5\"."),
        ("top_plate_deg", "30 mm", "top_plate is \"30 mm\"."),
    ] {
        assert!(reasons(&with(column, cell))[0].contains(words), "{:?}", reasons(&with(column, cell)));
    }
    let seen = look(&with("note", "'=looked"));
    assert_eq!(seen.rows[1].note.as_deref(), Some("=looked"));
    let (_dir, rack) = rack();
    let error = rack.import(&look(&with("gap_mm", "25")), &target("one", Then::Resume)).unwrap_err();
    assert!(error.to_string().contains("line 3: A gap of 25.00 mm is impossible; allowed: -5 to 5 mm."), "{error}");
    assert!(!rack.root().exists(), "nothing half-imported");
}

#[test]
fn headers_that_cannot_be_are_refused() {
    let error = |text: &str| preview(text, &in_mm(), None).unwrap_err().to_string();
    assert_eq!(error(""), "The file has no line with a header.");
    assert_eq!(error("\n \n"), "The file has no line with a header.");
    assert!(error("cutter,side\n1,l\n").starts_with("line 1: The columns cutter, side and length are needed"));
    assert!(error("cutter,side,length,before\n1,l,8,8\n").contains("\"length\" and \"before\" mean the same"));
    assert_eq!(error("cutter,side,length\n"), "The file has a header and no row.");
    let many = "cutter,side,length\n".to_owned() + &"1,l,8\n".repeat(401);
    assert!(error(&many).contains("401 rows; at most 400"));
}

#[test]
fn sides_make_the_layout_or_are_held_against_the_card() {
    let sides = |sides: &str| {
        let rows = sides.chars().zip(1..).map(|(side, n)| format!("{n},{side},8.0\n"));
        format!("cutter,side,length_mm\n{}", rows.collect::<String>())
    };
    let found = |text: &str, links| {
        let seen = preview(text, &Options { links, ..in_mm() }, None)?;
        Ok::<_, ImportError>(seen.found.unwrap().sequence)
    };
    let alternate = "LR".repeat(8);
    assert_eq!(found(&sides(&alternate), None).unwrap(), Sequence::Full);
    assert_eq!(found(&sides(&alternate), Some(48)).unwrap(), Sequence::Skip);
    assert_eq!(found(&sides(&alternate), Some(40)).unwrap(), Sequence::SemiSkip);
    assert_eq!(found(&sides("LRLRLRLRLRL"), Some(22)).unwrap(), Sequence::Full, "eleven cutters: two left neighbours");
    assert_eq!(found(&sides("LLRRLLRRLLRR"), None).unwrap(), Sequence::Custom("LLRRLLRRLLRR".into()));
    assert!(
        found(&sides("LLRRLLRRLLRR"), Some(30))
            .unwrap_err()
            .to_string()
            .contains("do not make a full, semi-skip or skip loop of 30")
    );
    assert!(found(&sides("LRLR"), None).unwrap_err().to_string().contains("8 drive links; allowed: 20 to 400"));
    let gap = sides(&alternate).replace("5,L,8.0\n", "");
    assert!(found(&gap, None).unwrap_err().to_string().starts_with("Cutter 5 is not in the file."));

    let known = card("one", 24);
    let seen = preview(
        &plain().replace("12,right", "13,right").replace("3,left,8.03", "3,right,8.03"),
        &in_mm(),
        Some(&known),
    )
    .unwrap();
    let reasons: Vec<String> = seen.refused.iter().map(ToString::to_string).collect();
    assert_eq!(
        reasons,
        [
            "line 4: Cutter 3 is right in the file and left on the loop.",
            "line 13: There is no cutter 13: loop one has 1 to 12."
        ]
    );
    let part = plain().lines().take(6).collect::<Vec<_>>().join("\n");
    let seen = preview(&part, &in_mm(), Some(&known)).unwrap();
    assert_eq!(seen.warnings, ["7 of the loop's 12 cutters are not in the file."]);
    assert!(preview(&part, &Options { links: Some(60), ..in_mm() }, Some(&known)).is_err());
}

/// What is said beside the file: a new loop, measured by Ina, a round of the past.
fn wish(tag: &str) -> Wish {
    Wish {
        tag: tag.into(),
        profile: Some("three-eighths".into()),
        person: Some("Ina".into()),
        measured: Some(at(1)),
        now: at(5),
        then: Then::Keep,
        ..Wish::default()
    }
}

fn refusals(look: &Look) -> Vec<String> {
    look.preview.refused.iter().map(ToString::to_string).collect()
}

#[test]
fn each_row_is_asked_what_typing_would_ask_and_both_runs_refuse_the_same() {
    let (_dir, rack) = rack();
    let care = Workshop::from(rack.clone());
    let text = plain().replace("3,left,8.03", "3,left,45.3").replace("7,left,8.07", "7,left,4.07");
    let look = care.look(&text, &wish("one")).unwrap();
    let said = refusals(&look);
    assert_eq!(said.len(), 2, "{said:#?}");
    assert!(
        said[0].starts_with("line 4: Cutter 3, length before: 45.30 is outside ")
            && said[0].ends_with("Did you mean 4.53?")
    );
    assert!(said[1].starts_with("line 8: Cutter 7, length before: 4.07 is outside "), "{}", said[1]);
    let refused = care.take(&look).unwrap_err().to_string();
    assert!(
        refused.starts_with("Nothing was imported: 2 rows are refused, the first in line 4: Cutter 3"),
        "{refused}"
    );
    assert!(!rack.root().exists());
    // What is right all the same is said to be; what cannot be stays refused.
    let sure = Wish { sure: vec![4, 8], ..wish("one") };
    let look = care.look(&text.replace("45.3", "453"), &sure).unwrap();
    assert_eq!(refusals(&look).len(), 1, "{:?}", refusals(&look));
    let look = care.look(&text.replace("45.3", "8.03"), &sure).unwrap();
    let round = care.take(&look).unwrap().round;
    assert_eq!(round.cutter(nth(7)).unwrap().before.readings(), [mm(4.07)]);
    // The rounds of before are held against it too: a tooth does not grow.
    let card = card("three", 24);
    rack.create_loop(&card).unwrap();
    whole_round(&rack, &card, at(0), "Ina", 8.0);
    let grown = care.look(&plain(), &Wish { profile: None, measured: Some(at(3)), ..wish("three") }).unwrap();
    assert_eq!(refusals(&grown).len(), 12, "{:?}", refusals(&grown));
    // A gap that cannot be is refused before anything is taken.
    let gaps = table("cutter,side,length_mm,gap_mm", |n, side| {
        format!("{n},{side},8.0,{}", if n == 2 { "25" } else { "0.6" })
    });
    let look = care.look(&gaps, &wish("two")).unwrap();
    assert!(refusals(&look)[0].starts_with("line 3: Cutter 2, raker gap: 25.00 is outside"), "{:?}", refusals(&look));
}

#[test]
fn day_tool_and_person_are_read_or_asked_and_never_made_up() {
    let (_dir, rack) = rack();
    let care = Workshop::from(rack);
    let error = |wish: &Wish, text: &str| care.look(text, wish).unwrap_err().to_string();
    assert!(error(&Wish { person: None, ..wish("one") }, &plain()).starts_with("Who measured?"));
    assert!(error(&Wish { measured: None, ..wish("one") }, &plain()).starts_with("When was it measured?"));
    let text = table("cutter,side,length_mm,Datum,Werkzeug,Gemessen von", |n, side| {
        format!("{n},{side},8.0{},02.03.2026,Schleifgerät,Uma", n % 5)
    });
    let bare = Wish { person: None, measured: None, ..wish("one") };
    let look = care.look(&text, &bare).unwrap();
    let round = care.take(&look).unwrap().round;
    assert_eq!((round.header.sharpener.as_str(), round.header.tool), ("Uma", Tool::Grinder));
    assert_eq!(round.header.started.to_string(), "2026-03-02 12:00:00 +01:00");
    let other = Wish { profile: None, measured: Some(at(3)), ..wish("one") };
    assert_eq!(error(&other, &text), "The file says the day 2026-03-02, not 2026-03-04.");
    let two = text.replacen("Uma", "Ina", 1);
    let said = refusals(&care.look(&two, &Wish { tag: "two".into(), ..bare.clone() }).unwrap());
    assert!(said[0].starts_with("line 3: person is \"Uma\". Rows above say otherwise"), "{said:?}");
    let ahead = text.replace("02.03.2026", "2027-01-01");
    let said =
        refusals(&care.look(&ahead, &Wish { tag: "two".into(), person: None, measured: Some(at(1)), ..bare }).unwrap());
    assert!(said[0].contains("measured is \"2027-01-01\". That day lies ahead."), "{said:?}");
}

#[test]
fn tables_of_german_and_french_benches_are_read_as_they_are_saved() {
    let german = "Kette 12 der Werkstatt\n\nZahn;Seite;Länge (mm);Zustand;Bemerkung\n".to_owned()
        + &(1..=12)
            .map(|n| format!("{n};{};8,{n:02};{};größer\n", if n % 2 == 1 { "links" } else { "rechts" }, "gut"))
            .collect::<String>();
    let dir = crate::scratch::folder();
    let path = dir.path().join("alt.csv");
    // As old spreadsheets save it: one byte a letter.
    let bytes: Vec<u8> = german.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    fs::write(&path, bytes).unwrap();
    let seen = look(&read_text(&path).unwrap());
    assert_eq!((seen.rows.len(), seen.rows[1].side, seen.rows[1].length), (12, Side::Right, Some(mm(8.02))));
    assert_eq!((seen.rows[0].note.as_deref(), seen.above.as_slice()), (Some("größer"), &[1][..]));
    fs::write(&path, [b'a', 0x01, 0xFF]).unwrap();
    assert_eq!(read_text(&path).unwrap_err().to_string(), "line 1: This is not text.");
    let french = "dent;côté;longueur;état\n".to_owned()
        + &(1..=12)
            .map(|n| format!("{n};{};8,0{} mm;bon\n", if n % 2 == 1 { "gauche" } else { "droite" }, n % 5))
            .collect::<String>();
    let seen = look(&french);
    assert_eq!((seen.rows.len(), seen.columns[2].unit), (12, Some(Unit::Mm)), "the cells say the unit");
    // A side need not be told where the card knows it.
    let bare = "cutter,length_mm\n".to_owned() + &(1..=12).map(|n| format!("{n},8.0\n")).collect::<String>();
    let seen = preview(&bare, &in_mm(), Some(&card("one", 24))).unwrap();
    assert_eq!((seen.rows.len(), seen.rows[1].side), (12, Side::Right));
    let error = preview(&bare, &in_mm(), None).unwrap_err().to_string();
    assert!(error.starts_with("A column side is needed"), "{error}");
}
