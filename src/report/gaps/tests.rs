use unicode_width::UnicodeWidthStr;

use super::*;
use crate::chain::Plate;
use crate::chain::profile::built_in;

fn table(name: &str, wood: Wood, step: f64) -> GapTable {
    GapTable::new(&built_in::named(name).unwrap(), wood, None, None, mm(step), None).unwrap()
}

fn made(from: Option<f64>, to: Option<f64>, step: f64) -> Result<GapTable, GapTableError> {
    let profile = built_in::named("three-eighths").unwrap();
    GapTable::new(&profile, Wood::Any, from.map(mm), to.map(mm), mm(step), None)
}

fn lengths_of(table: &GapTable) -> Vec<f64> {
    table.rows().iter().map(|row| rounded(row.length.get())).collect()
}

#[test]
fn rows_run_from_new_to_the_mark_with_the_exact_end() {
    let whole = table("three-eighths", Wood::Any, 0.5);
    assert_eq!(whole.rows().len(), 15);
    assert_eq!(lengths_of(&made(Some(9.0), Some(8.0), 0.3).unwrap()), [9.0, 8.7, 8.4, 8.1, 8.0]);
    assert_eq!(lengths_of(&made(None, None, 7.0).unwrap()), [10.0, 3.0]);
    assert_eq!(made(None, None, 0.1).unwrap().rows().len(), 71);
    assert_eq!(whole.rows().last().unwrap().stage, Stage::Retire);
}

#[test]
fn tables_that_make_no_sense_are_refused() {
    for step in [0.0, -0.5, 7.1, f64::NAN, f64::INFINITY] {
        assert!(matches!(made(None, None, step), Err(GapTableError::Step { .. })), "{step}");
    }
    for step in [1e-3, 1e-300, f64::MIN_POSITIVE] {
        assert!(matches!(made(None, None, step), Err(GapTableError::TooMany { .. })), "{step}");
    }
    for (from, to) in [(10.1, 3.0), (9.0, 2.9), (f64::NAN, 3.0), (9.0, f64::NEG_INFINITY)] {
        assert!(matches!(made(Some(from), Some(to), 0.5), Err(GapTableError::End { .. })), "{from} {to}");
    }
    for (from, to) in [(5.0, 5.0), (5.0, 6.0)] {
        assert!(matches!(made(Some(from), Some(to), 0.5), Err(GapTableError::Order { .. })), "{from} {to}");
    }
    assert_eq!(
        made(Some(11.0), None, 0.5).unwrap_err().to_string(),
        "The table cannot start at 11.00 mm; allowed: 3.00 mm (the witness mark) to 10.00 mm (new)."
    );
}

#[test]
fn csv_reads_back_and_holds_the_arithmetic_of_the_chain() {
    for (name, _) in built_in::BUILT_IN {
        for wood in [Wood::Any, Wood::Hardwood, Wood::SoftwoodNoFrost] {
            let profile = built_in::named(name).unwrap();
            let (spec, table) = (profile.spec(), table(name, wood, 0.25));
            let text = table.csv();
            assert_eq!(
                text.lines().next().unwrap(),
                "length_mm,wear_mm,reach_mm,fixed_gap_mm,scaled_gap_mm,plate_gap_mm,fixed_bite_deg,scaled_bite_deg,tip_drop_mm,raker_steel_mm,stage"
            );
            assert!(!text.contains("-0.0,"));
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let mut count = 0;
            for record in reader.records() {
                let record = record.unwrap();
                let number = |i: usize| record[i].parse::<f64>().unwrap();
                let length = mm(number(0));
                let wear = spec.wear(length);
                let expected = [
                    (1, wear.get()),
                    (2, spec.reach(wear).get()),
                    (3, spec.fixed_gap(wood).get()),
                    (4, spec.scaled_gap(wood, wear).get()),
                    (6, spec.share_kept(wood, wear) * spec.bite_new(wood).get()),
                    (8, spec.tip_drop(wear).get()),
                    (9, spec.raker_steel(wood, wear).get()),
                ];
                for (column, value) in expected {
                    assert!((number(column) - value).abs() < 1e-4, "{name} {length:?} column {column}");
                }
                match spec.plate {
                    Some(plate) => assert!((number(5) - plate.gap(spec, wear).get()).abs() < 1e-4),
                    None => assert_eq!(&record[5], ""),
                }
                if spec.scaled_gap_uncapped(wood, wear) <= spec.gap_max {
                    assert!((number(7) - spec.bite_new(wood).get()).abs() < 1e-4);
                }
                assert_eq!(record[10], spec.stage(wood, length).to_string());
                count += 1;
            }
            assert_eq!(count, table.rows().len());
        }
    }
}

#[test]
fn json_has_the_same_rows_and_null_for_what_is_absent() {
    let table = table("point-325", Wood::Any, 0.5);
    let read: serde_json::Value = serde_json::from_str(&table.json()).unwrap();
    let text = table.csv();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows = read["rows"].as_array().unwrap();
    assert_eq!(rows.len(), table.rows().len());
    for (row, record) in rows.iter().zip(reader.records()) {
        for (name, field) in header.iter().zip(&record.unwrap()) {
            match &row[name] {
                serde_json::Value::Null => assert_eq!((name, field), ("plate_gap_mm", "")),
                serde_json::Value::String(word) => assert_eq!(word, field),
                number => assert_eq!(number.as_f64(), field.parse().ok(), "{name}"),
            }
        }
    }
    assert!(read["plate"].is_null());
    let worth = profile_worth("point-325");
    assert!((read["worth_length_mm"].as_f64().unwrap() - worth).abs() < 1e-4);
}

fn profile_worth(name: &str) -> f64 {
    let profile = built_in::named(name).unwrap();
    (profile.spec().new_length - profile.spec().worth_wear(Wood::Any)).get()
}

#[test]
fn text_fits_its_columns_in_either_unit() {
    for (name, _) in built_in::BUILT_IN {
        for unit in [Unit::Mm, Unit::Inch] {
            for ascii in [false, true] {
                let text = table(name, Wood::SoftwoodNoFrost, 0.5).text(unit, ascii);
                for line in text.lines() {
                    assert!(line.width() <= 80, "{name}: {line}");
                }
                assert!(!ascii || text.is_ascii());
            }
        }
    }
}

#[test]
fn text_marks_where_each_stage_begins() {
    let text = table("three-eighths", Wood::Any, 0.5).text(Unit::Mm, true);
    let at = |needle: &str| {
        let found = text.lines().position(|line| line.starts_with(needle));
        found.unwrap_or_else(|| panic!("{needle:?} in\n{text}"))
    };
    // Practice, no source: worth it from about 2 mm worn and due at half life, 6.5 mm of a 10 mm cutter worn to 3 mm.
    assert!(at("   8.50") < at("- From 8.18 mm down. A wear-scaled gap is worth using. ---"));
    assert!(at("- From 8.18 mm down.") < at("   8.00"));
    assert_eq!(at("   7.00") + 1, at("- From 6.50 mm down. A wear-scaled gap is due. ---"));
    assert_eq!(at("- From 6.50 mm down.") + 1, at("   6.50"));
    assert_eq!(at("- At the witness mark: retire it. ---") + 1, at("   3.00"));
    assert!(at("Cautions") > at("How far the numbers can be trusted"));
    assert!(text.contains("- Published: raker gap; file sizes."));
}

#[test]
fn inches_are_the_same_lengths() {
    let table = table("three-eighths", Wood::Any, 0.5);
    let words = ["fixed", "worth", "due", "retire"];
    let read = |text: &str| -> Vec<f64> {
        let rows = text.lines().filter(|line| line.split_whitespace().count() == 11);
        rows.filter(|line| words.iter().any(|word| line.ends_with(&format!("  {word}"))))
            .flat_map(|line| line.split_whitespace().take(5).map(|cell| cell.parse::<f64>().unwrap()))
            .collect()
    };
    let (mm, inch) = (read(&table.text(Unit::Mm, true)), read(&table.text(Unit::Inch, true)));
    assert_eq!(mm.len(), 5 * 15);
    assert_eq!(mm.len(), inch.len());
    for (mm, inch) in mm.iter().zip(&inch) {
        assert!((mm - inch * 25.4).abs() < 0.005 + 0.00005 * 25.4 + 1e-9, "{mm} mm, {inch} in");
    }
}

#[test]
fn a_plate_of_ones_own_replaces_the_profiles() {
    let profile = built_in::named("three-eighths").unwrap();
    let own = Plate { foot: mm(20.0), height: mm(5.17), slot: mm(0.4) };
    let table = GapTable::new(
        &profile,
        Wood::Any,
        None,
        None,
        mm(0.5),
        Some(Spec { plate: Some(own), ..profile.spec().clone() }),
    )
    .unwrap();
    for row in table.rows() {
        assert_eq!(row.plate_gap, Some(own.gap(profile.spec(), row.wear)));
    }
    let text = table.text(Unit::Mm, true);
    assert!(text.contains("Plate gauge (your own, calibrated): foot 20.00 mm"));
    assert!(text.contains("- Measured: plate gauge."));
    let deep = Plate { slot: mm(-1.5), ..own };
    let table = GapTable::new(
        &profile,
        Wood::Any,
        None,
        None,
        mm(0.5),
        Some(Spec { plate: Some(deep), ..profile.spec().clone() }),
    )
    .unwrap();
    assert!(table.text(Unit::Mm, true).contains("more than the largest gap"));
}

/// Every opened element is closed in order; returns the names met.
fn balanced(html: &str) -> Vec<String> {
    let (mut open, mut met) = (Vec::new(), Vec::new());
    for tag in html.split('<').skip(1) {
        let (inside, _) = tag.split_once('>').expect("every < has its >");
        let name: String = inside.trim_start_matches('/').chars().take_while(char::is_ascii_alphanumeric).collect();
        if inside.starts_with('!') || name == "meta" || inside.ends_with('/') {
            continue;
        }
        if inside.starts_with('/') {
            assert_eq!(open.pop(), Some(name));
        } else {
            met.push(name.clone());
            open.push(name);
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
    met
}

#[test]
fn the_page_has_every_row_and_needs_nothing_else() {
    for (name, _) in built_in::BUILT_IN {
        for unit in [Unit::Mm, Unit::Inch] {
            let table = table(name, Wood::Any, 0.25);
            let html = table.html(unit);
            let met = balanced(&html);
            assert_eq!(html.matches("scope=\"row\"").count(), table.rows().len());
            assert_eq!(met.iter().filter(|tag| *tag == "tbody").count(), table.groups().count());
            assert_eq!(met.iter().filter(|tag| *tag == "svg").count(), 1);
            for row in table.rows() {
                assert!(html.contains(&format!("<th scope=\"row\">{}</th>", unit.show(row.length))));
            }
            for banned in ["http", "<script", "url(", "@import", "src=", "href="] {
                assert!(!html.contains(banned), "{banned}");
            }
            assert!(
                html.contains("<html lang=\"en\">")
                    && html.contains("prefers-color-scheme:dark")
                    && html.contains("@media print")
            );
        }
    }
}

#[test]
fn a_title_from_outside_is_only_text() {
    let (name, text) = built_in::BUILT_IN.into_iter().find(|(name, _)| *name == "three-eighths").unwrap();
    let text = text.replace("title = \"3/8 inch\"", "title = \"</title><script>alert(1)</script>日本 & 'x'\"");
    let profile = Profile::parse(name, &text).unwrap();
    let table = GapTable::new(&profile, Wood::Any, None, None, mm(0.5), None).unwrap();
    let html = table.html(Unit::Mm);
    balanced(&html);
    assert!(!html.contains("<script") && html.contains("&lt;script&gt;"));
    assert!(table.text(Unit::Mm, true).is_ascii());
    let read: serde_json::Value = serde_json::from_str(&table.json()).unwrap();
    assert_eq!(read["title"].as_str(), Some("</title><script>alert(1)</script>日本 & 'x'"));
}

#[test]
fn a_gap_held_at_the_largest_is_said() {
    let text = table("three-eighths", Wood::SoftwoodNoFrost, 0.5).text(Unit::Mm, true).replace('\n', " ");
    assert!(text.contains("From 4.58 mm down the wear-scaled gap is held at the largest, 1.60 mm."));
    assert!(text.contains("The base gap of 0.80 mm is for unfrozen softwood only."));
}

#[test]
fn a_profile_whose_changeover_lies_at_one_end_says_no_more_than_is_so() {
    let base = built_in::named("three-eighths").unwrap();
    let late = [("due_life", 1.0), ("due_share", 0.2), ("worth_share", 0.3)];
    let profile = Profile::measured(&base, "late", "Late", &late, "bench").unwrap();
    let table = GapTable::new(&profile, Wood::Any, None, None, mm(0.5), None).unwrap();
    let stages: Vec<Stage> = table.groups().map(|(stage, _)| stage).collect();
    assert_eq!(stages, [Stage::Fixed, Stage::Retire]);
    assert_eq!((table.begins(Stage::Worth), table.begins(Stage::Due)), (None, None));
    let early = Profile::measured(&base, "early", "Early", &[("bite_deg", 9.0)], "bench").unwrap();
    let table = GapTable::new(&early, Wood::Any, None, None, mm(0.5), None).unwrap();
    assert_eq!(table.begins(Stage::Fixed), None);
    assert_eq!(table.groups().map(|(stage, _)| stage).next(), Some(Stage::Worth));
    for format in [Format::Text, Format::Html, Format::Csv, Format::Json] {
        assert!(!table.render(format, Unit::Inch, false).is_empty());
    }
}
