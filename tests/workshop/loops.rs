//! The list of loops: what the rack shows, in its order, for people and for programs.

use chrono::TimeDelta;
use evenbite::care::{Filter, Listing, Sort, Workshop};
use evenbite::record::{Rack, Standing};
use evenbite::report::ListFormat;
use evenbite::round::{Card, Scrapped};
use serde_json::Value;
use strum::VariantArray;
use unicode_width::UnicodeWidthStr;

use crate::invented::{at, card, header, rack, whole_round, work};

/// Loops in every state: new, signed, open, out of care, with a name that wants to be a formula.
fn workshop() -> (tempfile::TempDir, Workshop) {
    let (dir, rack) = rack();
    for (n, name) in
        ["Loop 10", "Loop 9", "=1+1", "漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字"].into_iter().enumerate()
    {
        let kept = Card { name: name.into(), ..card(&format!("l{n}"), 24) };
        rack.create_loop(&kept).unwrap();
        if n < 2 {
            whole_round(&rack, &kept, at(1), "Ina", 9.0);
            whole_round(&rack, &kept, at(31), "Ina", 8.5 - 0.4 * f64::from(u8::try_from(n).unwrap()));
        }
    }
    let (mut file, mut round) = rack.begin_round(&header(&rack.card("l2").unwrap(), at(40), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 9);
    let gone = Card { scrapped: Some(Scrapped { at: at(2), reason: "worn".into() }), ..card("gone", 24) };
    rack.create_loop(&gone).unwrap();
    (dir, rack.into())
}

fn json(care: &Workshop, listing: &Listing) -> Value {
    serde_json::from_str(&care.listed(listing, at(60)).render(ListFormat::Json, false)).unwrap()
}

#[test]
fn the_list_has_the_rows_of_the_rack_under_its_filters_and_in_its_order() {
    let (_dir, care) = workshop();
    let rows = care.rows(at(60)).rows;
    let sorts = Sort::VARIANTS.iter().cycle();
    for (filter, sort) in Filter::VARIANTS.iter().copied().zip(sorts.copied()) {
        for find in ["", "LOOP 9"] {
            let mut shown: Vec<_> =
                rows.iter().filter(|row| filter.takes(row) && row.holds(&find.to_lowercase())).collect();
            shown.sort_by(|a, b| sort.order(a, b));
            let told = json(&care, &Listing { filter, sort, find: find.into() });
            let told = told["loops"].as_array().unwrap();
            let tags: Vec<&str> = told.iter().map(|one| one["loop"].as_str().unwrap()).collect();
            assert_eq!(
                tags,
                shown.iter().map(|row| row.tag.as_str()).collect::<Vec<_>>(),
                "{filter:?} {sort:?} {find}"
            );
            for (row, one) in shown.iter().zip(told) {
                assert_eq!(one["due"], row.due && row.state == Standing::Ready);
                assert_eq!(one["open"], row.open);
                let left = one["life_left"].as_f64();
                assert!(left.zip(row.left).map_or(left.is_none() && row.left.is_none(), |(a, b)| (a - b).abs() < 1e-4));
            }
        }
    }
}

#[test]
fn text_keeps_to_its_columns_and_cells_stay_cells() {
    let (_dir, care) = workshop();
    let all = Listing { filter: Filter::InCare, sort: Sort::Name, find: String::new() };
    let listed = care.listed(&all, at(60));
    for ascii in [true, false] {
        let text = listed.render(ListFormat::Text, ascii);
        assert!(text.lines().all(|line| line.width() <= 80) && (!ascii || text.is_ascii()), "{text}");
    }
    let text = listed.render(ListFormat::Text, true);
    assert!(text.starts_with("4 of 5 loops, in care, by name; 1 open to go on with"), "{text}");
    let due = care.listed(&all, at(61) + TimeDelta::days(9)).render(ListFormat::Text, true);
    for words in ["l1; 3/8 inch, 24 drive links; Tove; saw limbing saw", "Its round is open.", "Next on its saw."] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(due.contains("Its next round is due."), "{due}");
    let table = listed.render(ListFormat::Csv, false);
    assert!(
        table.starts_with("loop,name,owner,saw,chain,profile,links,state,") && table.contains("\nl2,'=1+1,"),
        "{table}"
    );
    let wide = csv::Reader::from_reader(table.as_bytes()).into_records().map(|row| row.unwrap().len());
    assert_eq!(wide.collect::<Vec<_>>(), [27; 4]);
}

#[test]
fn what_cannot_be_read_is_named() {
    let (dir, care) = workshop();
    let all = Listing { filter: Filter::InCare, sort: Sort::Name, find: String::new() };
    assert!(care.listed(&all, at(60)).not_read().is_empty());
    let path = dir.path().join("data/loops/l0/loop.toml");
    std::fs::write(&path, "tag = 1").unwrap();
    let listed = Workshop::from(Rack::open(dir.path().join("data")).unwrap()).listed(&all, at(60));
    assert_eq!(listed.not_read().len(), 1);
    assert!(listed.render(ListFormat::Text, true).starts_with("Not everything could be read."));
}

#[test]
fn a_list_without_a_loop_says_how_one_comes_in() {
    let (_dir, rack) = rack();
    let all = Listing { filter: Filter::InCare, sort: Sort::Name, find: String::new() };
    let list = Workshop::from(rack).listed(&all, at(60));
    let text = list.render(ListFormat::Text, true);
    assert!(text.starts_with("0 of 0 loops") && text.contains("n there takes one in"), "{text}");
}
