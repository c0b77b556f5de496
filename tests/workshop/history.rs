//! A loop's life in all its formats.

use crate::{pages, rounds};
use evenbite::advice::Forecast;
use evenbite::advice::forecast::{Start, Wear, forecast, of_loop, wears};
use evenbite::report::History;
use evenbite::round::{Card, Closing, Past, Round, Summary, Tool};
use evenbite::round::{Prices, Scrapped};
use evenbite::units::{Millimetres, Unit, mm};
use serde_json::Value;
use std::sync::LazyLock;
use unicode_width::UnicodeWidthStr;

/// A round of the loop that takes it from one length to another.
fn signed(tool: Tool, start: &str, before: f64, target: f64) -> Summary {
    let filed = rounds::clean(rounds::header(Tool::File, start), before, target);
    Summary { tool, ..Summary::of(&filed) }
}

/// Five signed rounds with two tools, one eventful, and one given up in between. Lengths after: 9.35, 9.1, 8.75, 8.3, 7.85.
static LIFE: LazyLock<Vec<Summary>> = LazyLock::new(|| {
    let mut given_up = Summary::of(&Round::begin(rounds::header(Tool::File, "2026-03-10T08:00:00+01:00")).unwrap());
    given_up.how = Some(Closing::Abandoned);
    given_up.sharpener = "=Ute, a rather long name".into();
    vec![
        signed(Tool::File, "2026-02-01T08:00:00+01:00", 9.6, 9.35),
        signed(Tool::File, "2026-03-01T08:00:00+01:00", 9.35, 9.1),
        given_up,
        signed(Tool::Grinder, "2026-03-29T08:00:00+02:00", 9.1, 8.75),
        Summary::of(&rounds::eventful(rounds::header(Tool::File, "2026-04-26T08:00:00+02:00"))),
        signed(Tool::Grinder, "2026-05-24T08:00:00+02:00", 8.3, 7.85),
    ]
});

fn history_of(rounds: &[Summary], card: &Card) -> History {
    let header = rounds::header(Tool::File, "2026-06-01T08:00:00+02:00");
    let past = Past { rounds: rounds.to_vec(), ..Past::default() };
    let wear = Wear::learn(header.spec.wear_per_round, &wears(&past.rounds));
    let start = rounds.iter().rev().find_map(|round| round.median_after).map(|length| Start {
        to_changeover: length - mm(8.0),
        to_mark: length - mm(3.0),
        usable: mm(7.0),
    });
    let place = of_loop(rounds, &header.spec, &card.prices).place;
    let found = Forecast { place, ..forecast(wear, start, &past.rounds, &card.prices, None) };
    History::of(rounds, card, &header.spec, &found)
}

fn history() -> History {
    history_of(&LIFE, &rounds::card())
}

fn json(history: &History) -> Value {
    serde_json::from_str(&history.json()).unwrap()
}

fn near(value: &Value, expected: f64) -> bool {
    value.as_f64().is_some_and(|value| (value - expected).abs() < 6e-5)
}

#[test]
fn wear_cost_and_steel_add_up() {
    let said = json(&history());
    let life = &*LIFE;
    assert_eq!((said["rounds"].as_array().unwrap().len(), said["signed"].as_u64()), (6, Some(5)));
    let past = Past { rounds: life.clone(), ..Past::default() };
    let row_wears: Vec<f64> =
        said["rounds"].as_array().unwrap().iter().filter_map(|row| row["wear_mm"].as_f64()).collect();
    for (row, forecast) in row_wears.iter().zip(wears(&past.rounds)) {
        assert!((row - forecast.get()).abs() < 6e-5, "{row} {forecast:?}");
    }
    assert_eq!(row_wears.len(), wears(&past.rounds).len());
    assert!(
        said["rounds"][2]["wear_mm"].is_null()
            && said["rounds"][2]["removed"].is_null()
            && said["rounds"][2]["strokes"].is_null()
    );
    // 30.00 for the loop and five rounds at 8.00.
    assert!(near(&said["cost"]["to_date"], 70.0) && near(&said["cost"]["to_date_each"], 14.0));
    // A round costs its price and its share of the loop, as the forecast counts it.
    let life_of_rounds = 7.0 / said["ahead"]["per_round_mm"].as_f64().unwrap();
    assert!((said["cost"]["per_round"].as_f64().unwrap() - 8.0 - 30.0 / life_of_rounds).abs() < 1e-3);
    let sum = |of: fn(&Summary) -> Millimetres| life.iter().map(of).sum::<Millimetres>().get();
    assert!(near(&said["removed"]["all_mm"], sum(|round| round.removed)));
    let parts = ["wear_mm", "damage_mm", "evening_mm"].map(|part| said["removed"][part].as_f64().unwrap());
    assert!((parts.iter().sum::<f64>() - sum(|round| round.removed)).abs() < 2e-4);
    assert!(near(&said["removed"]["evening_share"], sum(|round| round.removed_even) / sum(|round| round.removed)));
}

#[test]
fn file_and_grinder_are_compared_with_an_interval() {
    let said = json(&history());
    let tools = said["tools"].as_array().unwrap();
    assert_eq!((tools[0]["tool"].as_str(), tools[0]["rounds"].as_u64()), (Some("file"), Some(3)));
    assert_eq!((tools[1]["tool"].as_str(), tools[1]["rounds"].as_u64()), (Some("grinder"), Some(2)));
    let compared = &said["compared"];
    let (by, low, high) = (&compared["wear_mm"], &compared["low_mm"], &compared["high_mm"]);
    assert!(low.as_f64() < by.as_f64() && by.as_f64() < high.as_f64());
    assert!(near(by, tools[0]["wear_mm"].as_f64().unwrap() - tools[1]["wear_mm"].as_f64().unwrap()));
    let one = json(&history_of(&LIFE[..2], &rounds::card()));
    assert!(one["compared"]["wear_mm"].is_null());
    assert!(one["compared"]["line"].as_str().unwrap().contains("at least two"));
}

#[test]
fn a_loop_scrapped_with_rounds_left_is_called_retired_early() {
    let at = rounds::time("2026-06-01T12:00:00+02:00");
    let card = Card { scrapped: Some(Scrapped { at, reason: "cut through a wire".into() }), ..rounds::card() };
    let history = history_of(&LIFE, &card);
    let left = json(&history)["retired"]["early_by"].as_u64().unwrap();
    assert!(left > 5);
    assert!(history.text(Unit::Mm, true).contains(&format!("Retired early: about {left} rounds were left.")));
    assert!(!history.html(Unit::Mm).contains("data-ray"), "no way ahead is drawn for it");
    let mut worn = LIFE.clone();
    worn.push(signed(Tool::File, "2026-06-20T08:00:00+02:00", 3.3, 3.02));
    let history = history_of(&worn, &card);
    assert!(json(&history)["retired"]["early_by"].is_null());
    assert!(!history.text(Unit::Mm, true).contains("Retired early"));
}

#[test]
fn text_fits_eighty_columns() {
    for history in [history(), history_of(&[], &Card { prices: Prices::default(), ..rounds::card() })] {
        for (unit, ascii) in [(Unit::Mm, true), (Unit::Inch, false)] {
            let text = history.text(unit, ascii);
            let wide: Vec<&str> = text.lines().filter(|line| line.width() > 80).collect();
            assert!(wide.is_empty() && (!ascii || text.is_ascii()), "{wide:#?}");
        }
    }
}

#[test]
fn the_text_of_a_life() {
    insta::assert_snapshot!(history().text(Unit::Mm, false));
}

#[test]
fn csv_reads_back_in_a_csv_library() {
    let (said, text) = (json(&history()), history().csv());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 6);
    for (row, round) in rows.iter().zip(said["rounds"].as_array().unwrap()) {
        let cell = |column: &str| &row[header.iter().position(|name| name == column).unwrap()];
        for column in ["target_mm", "median_after_mm", "spread_before_mm", "left_less_right_mm", "wear_mm", "strokes"] {
            assert_eq!(cell(column).parse::<f64>().ok(), round[column].as_f64(), "{column}");
        }
        assert_eq!(cell("removed_evening_mm").parse::<f64>().ok(), round["removed"]["evening_mm"].as_f64());
        for column in ["started", "tool", "wood", "how"] {
            assert_eq!(cell(column), round[column], "{column}");
        }
    }
    assert!(text.contains("'=Ute"), "a name is never a formula");
}

#[test]
fn the_page_is_well_formed_and_draws_the_numbers_of_the_model() {
    for history in [history(), history_of(&[], &rounds::card())] {
        let said = json(&history);
        let page = pages::parse(&history.html(Unit::Mm));
        pages::check_reading(&page);
        let rounds = said["rounds"].as_array().unwrap();
        assert_eq!(pages::all(&page, "tbody tr").len(), rounds.len());
        let marks = pages::all(&page, "#fan circle");
        let drawn: Vec<f64> = marks.iter().map(|m| pages::number(*m, "data-median-after-mm").unwrap()).collect();
        let known: Vec<f64> = rounds.iter().filter_map(|round| round["median_after_mm"].as_f64()).collect();
        assert_eq!(drawn, known);
        let ray = |name: &str| {
            let rays = pages::all(&page, &format!("#fan polyline[data-ray={name}]"));
            rays.first().and_then(|ray| pages::number(*ray, "data-rounds"))
        };
        if !known.is_empty() {
            assert_eq!(ray("low"), said["ahead"]["low"].as_f64());
            assert_eq!(ray("best"), said["ahead"]["rounds_left"].as_f64());
            assert_eq!(ray("high"), said["ahead"]["high"].as_f64());
        }
    }
}

#[test]
fn five_hundred_rounds_are_written_at_once() {
    let one = signed(Tool::File, "2026-02-01T08:00:00+01:00", 9.6, 9.35);
    let rounds: Vec<Summary> =
        (0..500).map(|i| Summary { median_after: Some(mm(9.6 - 0.01 * f64::from(i))), ..one.clone() }).collect();
    let began = std::time::Instant::now();
    let history = history_of(&rounds, &rounds::card());
    assert!(history.text(Unit::Mm, true).len() > 500 * 70);
    assert!(began.elapsed().as_secs_f64() < 2.0, "{:?}", began.elapsed());
}

#[test]
fn who_a_spread_leaves_out_is_named() {
    let history = history();
    let said = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for text in [said(&history.text(Unit::Mm, true)), said(&history.html(Unit::Mm))] {
        assert!(text.contains("without cutter 12, left short"), "{text}");
    }
    assert_eq!(json(&history)["rounds"][4]["left_short"], serde_json::json!([12]));
}
