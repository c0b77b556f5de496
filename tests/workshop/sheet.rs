//! The sheet of a round in all its formats: one model, so every format must say the same.

use crate::{pages, rounds};
use evenbite::advice::{Context, Skill};
use evenbite::report::{Output, Sheet};
use evenbite::round::Prices;
use evenbite::round::{Card, Closing, Event, Finding, Header, LookItem, Past, Round, Summary, Task, Tool, When};
use evenbite::units::{Degrees, Millimetres, Unit, mm};
use serde_json::Value;
use std::sync::LazyLock;
use unicode_width::UnicodeWidthStr;

const START: &str = "2026-04-26T08:00:00+02:00";

fn header(tool: Tool) -> Header {
    rounds::header(tool, START)
}

fn sheet_of(round: &Round, past: &Past, card: Option<&Card>) -> Sheet {
    let prices = card.map_or_else(Prices::default, |card| card.prices.clone());
    Sheet::of(&Context { round, past, skill: &Skill::default(), prices: &prices, tension: None }, card)
}

/// Three clean rounds of the loop, four weeks apart.
static PAST: LazyLock<Past> = LazyLock::new(|| {
    let starts = ["2026-02-01T08:00:00+01:00", "2026-03-01T08:00:00+01:00", "2026-03-29T08:00:00+02:00"];
    let mut past = Past::default();
    for (i, start) in starts.into_iter().enumerate() {
        let length = 9.6 - 0.3 * i as f64;
        past.rounds.push(Summary::of(&rounds::clean(rounds::header(Tool::File, start), length, length - 0.25)));
    }
    past
});

/// A round in which nearly everything goes wrong.
static EVENTFUL: LazyLock<Round> = LazyLock::new(|| rounds::eventful(header(Tool::File)));

fn eventful() -> Sheet {
    sheet_of(&EVENTFUL, &PAST, Some(&rounds::card()))
}

/// A round that has only begun.
fn fresh() -> Round {
    rounds::Bench::new(header(Tool::File)).0
}

/// Rejected in the look-over.
fn rejected() -> Round {
    let mut bench = rounds::Bench::new(header(Tool::File));
    let note = Some("crack at a rivet <hole>".to_owned());
    bench.put(Event::Looked { item: LookItem::Cracks, finding: Finding::Reject, note });
    bench.put(Event::Closed { how: Closing::Rejected });
    bench.0
}

/// Ground against a stop, checked by sample, rakers not measured, still open.
fn ground() -> Round {
    let mut bench = rounds::Bench::new(header(Tool::Grinder));
    bench.sound();
    for cutter in 1..=28 {
        bench.length(cutter, When::Before, 5.2 + rounds::wobble(cutter, 0.05));
    }
    bench.put(Event::Target { mm: mm(5.0), left_short: vec![], recommended: true });
    for task in [Task::StopSet, Task::FirstGround, Task::HeadSwung] {
        bench.put(Event::Done { task });
    }
    bench.length(2, When::After, 5.0).length(4, When::After, 5.02).put(Event::Done { task: Task::SecondGround });
    bench.0
}

/// Worn to the witness mark.
static SPENT: LazyLock<Round> = LazyLock::new(|| rounds::clean(header(Tool::File), 3.3, 3.02));

/// In inches, with nothing wrong.
static INCHES: LazyLock<Round> =
    LazyLock::new(|| rounds::clean(Header { units: Unit::Inch, ..header(Tool::File) }, 8.6, 8.3));

static EVERY: LazyLock<Vec<(&'static str, Sheet)>> = LazyLock::new(|| {
    let plain = |round: &Round| sheet_of(round, &Past::default(), None);
    let card = rounds::card();
    vec![
        ("eventful", eventful()),
        ("fresh", plain(&fresh())),
        ("rejected", sheet_of(&rejected(), &Past::default(), Some(&card))),
        ("ground", sheet_of(&ground(), &PAST, Some(&card))),
        ("spent", plain(&SPENT)),
        ("inches", sheet_of(&INCHES, &PAST, Some(&card))),
    ]
});

fn json(sheet: &Sheet) -> Value {
    serde_json::from_str(&sheet.json()).unwrap()
}

#[test]
fn json_keeps_to_its_schema() {
    let schema: Value = serde_json::from_str(Output::Sheet.schema()).unwrap();
    let validator = jsonschema::options().should_validate_formats(true).build(&schema).unwrap();
    for (name, sheet) in &*EVERY {
        let faults: Vec<String> =
            validator.iter_errors(&json(sheet)).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(faults.is_empty(), "{name}: {faults:#?}");
    }
    // The schema refuses what the words and names do not allow.
    let mut wrong = json(&eventful());
    wrong["cutters"][0]["verdicts"]["length"] = "fine".into();
    assert!(!validator.is_valid(&wrong));
    let mut wrong = json(&eventful());
    wrong["forecast"].as_object_mut().unwrap().remove("rounds_left");
    assert!(!validator.is_valid(&wrong));
}

#[test]
fn the_worst_cutter_is_not_called_free_of_faults_beside_one_that_was_not_measured_and_has_one() {
    let angle =
        |cutter, value| Event::Angle { cutter: evenbite::chain::nth(cutter), deg: Degrees::new(value), again: false };
    let mut bench = rounds::Bench::new(header(Tool::File));
    bench.sound();
    for cutter in 2..=6 {
        bench.length(cutter, When::Before, 8.0).put(angle(cutter, 30.0));
    }
    let why = |round: &Round| json(&sheet_of(round, &Past::default(), None))["worst"]["why"].to_string();
    assert!(why(&bench.0).contains("no fault is proven"), "{}", why(&bench.0));
    bench.put(angle(1, 20.0));
    assert!(!why(&bench.0).contains("no fault is proven"), "{}", why(&bench.0));
}

#[test]
fn json_says_what_the_round_says() {
    let round = &*EVENTFUL;
    let sheet = json(&eventful());
    assert_eq!(sheet["loop"], "oak-3");
    assert_eq!(sheet["round"]["ended"], "2026-04-26T09:21:30+02:00");
    assert_eq!(sheet["plan"]["left_short"], serde_json::json!([12]));
    assert_eq!(sheet["cutters"][6]["state"], "damaged");
    assert_eq!(sheet["cutters"][19]["state"], "missing");
    assert_eq!(sheet["cutters"][8]["verdicts"]["gap"], "low");
    assert_eq!(sheet["evenness"]["again"], serde_json::json!([17]));
    assert_eq!(sheet["worst"]["cutter"], 9);
    for (cutter, said) in round.cutters.iter().zip(sheet["cutters"].as_array().unwrap()) {
        let near = |value: &Value, known: Option<f64>| match (value.as_f64(), known) {
            (Some(a), Some(b)) => (a - b).abs() <= 5e-5,
            (None, None) => value.is_null(),
            _ => false,
        };
        assert!(near(&said["before_mm"], cutter.before.mean().map(Millimetres::get)), "{said}");
        assert!(near(&said["after_mm"], cutter.after.mean().map(Millimetres::get)), "{said}");
        assert!(near(&said["angle_deg"], cutter.angle.mean().map(Degrees::get)), "{said}");
        assert!(near(&said["gap_mm"], cutter.gap().map(Millimetres::get)), "{said}");
    }
}

#[test]
fn what_is_absent_is_null_and_never_zero() {
    let sheet = json(&sheet_of(&fresh(), &Past::default(), None));
    for path in [
        "/round/ended",
        "/round/how",
        "/round/target_mm",
        "/round/minutes",
        "/round/strokes",
        "/round/removed",
        "/cutters/0/before_mm",
        "/cutters/0/conformity",
        "/cutters/0/bite_deg",
        "/cutters/0/strokes",
        "/cutters/0/stage",
        "/evenness/reference_mm",
        "/evenness/spread_mm",
        "/balance/difference_mm",
        "/drift/slope_mm_per_cutter",
        "/plan/target_mm",
        "/changeover/median_wear_mm",
        "/changeover/past_worth",
        "/changeover/probability",
        "/changeover/stage",
        "/forecast/rounds_left",
        "/forecast/date",
        "/forecast/next_date",
        "/card",
        "/worst",
    ] {
        assert_eq!(sheet.pointer(path), Some(&Value::Null), "{path}");
    }
    assert_eq!(sheet["balance"]["verdict"], "undecided");
    assert_eq!(sheet["not_measured"].as_array().unwrap().len(), 4);
}

#[test]
fn csv_reads_back_in_a_csv_library() {
    for (name, sheet) in &*EVERY {
        let said = json(sheet);
        let text = sheet.csv();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().clone();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let cutters = said["cutters"].as_array().unwrap();
        assert_eq!(rows.len(), cutters.len(), "{name}");
        for (row, cutter) in rows.iter().zip(cutters) {
            let cell = |column: &str| &row[header.iter().position(|name| name == column).unwrap()];
            for (column, field) in [
                ("cutter", "number"),
                ("length_mm", "before_mm"),
                ("after_mm", "after_mm"),
                ("top_plate_deg", "angle_deg"),
                ("gap_before_mm", "gap_before_mm"),
                ("gap_mm", "gap_mm"),
                ("wear_mm", "wear_mm"),
                ("strokes", "strokes"),
                ("conformity", "conformity"),
                ("bite_deg", "bite_deg"),
                ("need_mm", "need_mm"),
            ] {
                assert_eq!(cell(column).parse::<f64>().ok(), cutter[field].as_f64(), "{name} {column}");
            }
            assert_eq!(cell("side"), cutter["side"]);
            assert_eq!(cell("state"), cutter["state"]);
            assert_eq!(cell("gap_verdict"), cutter["verdicts"]["gap"]);
        }
    }
    let text = eventful().csv();
    assert!(text.contains("\"'=hit a nail; \"\"bent\"\"\""), "a note is never a formula");
}

#[test]
fn text_fits_eighty_columns_and_names_every_cutter() {
    for (name, sheet) in &*EVERY {
        for ascii in [false, true] {
            for text in [sheet.text(ascii), sheet.owner_text(ascii)] {
                let wide: Vec<&str> = text.lines().filter(|line| line.width() > 80).collect();
                assert!(wide.is_empty(), "{name}: {wide:#?}");
                assert!(!text.lines().any(|line| line.ends_with(' ')), "{name}");
                assert!(!ascii || text.is_ascii(), "{name}");
            }
        }
        let text = sheet.text(true);
        for cutter in json(sheet)["cutters"].as_array().unwrap() {
            let letter = cutter["side"].as_str().unwrap()[..1].to_uppercase();
            let start = format!("{:>3} {letter}", cutter["number"].as_u64().unwrap());
            assert!(text.lines().any(|line| line.starts_with(&start)), "{name}: {start}");
        }
        assert!(sheet.owner_text(true).lines().count() <= 40, "{name}: half a page");
    }
}

#[test]
fn the_full_sheet_of_an_eventful_round() {
    insta::assert_snapshot!(eventful().text(false));
}

#[test]
fn the_owners_sheets() {
    let all: Vec<String> = EVERY.iter().map(|(name, sheet)| format!("# {name}\n{}", sheet.owner_text(true))).collect();
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn an_owner_is_promised_nothing_that_was_not_proven() {
    let owner = |name: &str| {
        let (_, sheet) = EVERY.iter().find(|(n, _)| *n == name).unwrap();
        sheet.owner_text(true).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for name in ["rejected", "spent"] {
        let text = owner(name);
        assert!(text.starts_with("DO NOT USE: "), "{text}");
        assert!(!text.contains("How it should cut") && !text.contains("When to bring it back"), "{text}");
    }
    for name in ["fresh", "ground"] {
        let text = owner(name);
        assert!(text.contains("do not treat this chain as sharpened") && !text.contains("Straight"), "{text}");
    }
    assert!(owner("eventful").contains("DANGER: 1 raker too low."));
    assert!(!owner("eventful").contains("Straight"));
    assert!(
        owner("inches").contains("Straight, with even chips and little push: every cutter length"),
        "{}",
        owner("inches")
    );
}

#[test]
fn pages_are_well_formed_and_can_be_read_aloud() {
    for (name, sheet) in &*EVERY {
        for owner in [false, true] {
            let page = pages::parse(&if owner { sheet.owner_html() } else { sheet.html() });
            pages::check_reading(&page);
            if owner {
                continue;
            }
            let said = json(sheet);
            let count = said["cutters"].as_array().unwrap().len();
            let rows = pages::all(&page, "table tbody tr");
            assert_eq!(rows.len(), count, "{name}: every cutter has its row");
            assert_eq!(pages::all(&page, "#map g[data-cutter]").len(), count, "{name}");
        }
    }
    let page = eventful().html();
    assert!(page.contains("one notch &amp; a &lt;dent&gt;") && page.contains("=hit a nail; &quot;bent&quot;"));
}

#[test]
fn what_is_drawn_are_the_numbers_of_the_model() {
    for (name, sheet) in &*EVERY {
        let said = json(sheet);
        let cutters = said["cutters"].as_array().unwrap();
        let page = pages::parse(&sheet.html());
        let drawn = |selector: &str, attribute: &str| -> Vec<(u64, f64)> {
            let marks = pages::all(&page, &format!("{selector}[{attribute}]"));
            marks
                .into_iter()
                .map(|mark| {
                    (mark.attr("data-cutter").unwrap().parse().unwrap(), pages::number(mark, attribute).unwrap())
                })
                .collect()
        };
        let known = |field: &str, filter: &dyn Fn(&Value) -> bool| -> Vec<(u64, f64)> {
            let known = cutters.iter().filter(|cutter| filter(cutter));
            known.filter_map(|cutter| Some((cutter["number"].as_u64()?, cutter[field].as_f64()?))).collect()
        };
        let any = |_: &Value| true;
        assert_eq!(drawn("#profile ", "data-before-mm"), known("before_mm", &any), "{name}");
        assert_eq!(drawn("#profile ", "data-after-mm"), known("after_mm", &any), "{name}");
        assert_eq!(drawn("#map ", "data-length-mm"), known("length_mm", &any), "{name}");
        let both = |cutter: &Value| cutter["length_mm"].is_number() && cutter["gap_mm"].is_number();
        assert_eq!(drawn("#gaps ", "data-gap-mm"), known("gap_mm", &both), "{name}");
        assert_eq!(drawn("#gaps ", "data-length-mm"), known("length_mm", &both), "{name}");
        assert_eq!(
            pages::all(&page, "#cutter g[data-cutter]").first().map(|p| p.attr("data-cutter").unwrap().to_owned()),
            said["worst"]["cutter"].as_u64().map(|number| number.to_string()),
            "{name}"
        );
        // The dimensions in the picture are as long as the readings.
        let worst = cutters.iter().find(|cutter| cutter["number"] == said["worst"]["cutter"]);
        for (measure, field) in [("length", "length_mm"), ("gap", "gap_mm")] {
            let long = pages::all(&page, &format!("#cutter g[data-measure={measure}]"))
                .first()
                .map(|mark| pages::number(*mark, "data-mm").unwrap());
            let read = worst.and_then(|cutter| cutter[field].as_f64());
            assert_eq!(long.is_some(), read.is_some(), "{name}: {measure}");
            assert!(long.zip(read).is_none_or(|(long, read)| (long - read).abs() < 1e-4), "{name}: {long:?} {read:?}");
        }
    }
}

/// Places on the drawing are as far apart as their numbers, by an independent straight line through two of them.
#[test]
fn marks_stand_where_their_numbers_say() {
    let page = pages::parse(&eventful().html());
    for (selector, attribute, place) in [
        ("#profile circle[data-before-mm]", "data-before-mm", "cy"),
        ("#profile rect[data-after-mm]", "data-after-mm", "y"),
        ("#gaps circle[data-gap-mm]", "data-gap-mm", "cy"),
        ("#gaps circle[data-length-mm]", "data-length-mm", "cx"),
    ] {
        let pairs: Vec<(f64, f64)> = pages::all(&page, selector)
            .into_iter()
            .map(|mark| (pages::number(mark, attribute).unwrap(), pages::number(mark, place).unwrap()))
            .collect();
        let low = pairs.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        let high = pairs.iter().copied().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        assert!(high.0 > low.0 && (high.1 - low.1).abs() > 5.0, "{selector}: {pairs:?}");
        for (value, at) in pairs {
            let expected = low.1 + (value - low.0) / (high.0 - low.0) * (high.1 - low.1);
            assert!((at - expected).abs() < 0.02, "{selector}: {value} at {at}, not {expected}");
        }
    }
}

#[test]
fn a_sheet_can_be_made_at_any_moment_of_a_round() {
    let schema: Value = serde_json::from_str(Output::Sheet.schema()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let (whole, card) = (&*EVENTFUL, rounds::card());
    for length in 0..=whole.entries.len() {
        let round = Round::replay(whole.header.clone(), whole.entries[..length].to_vec()).unwrap();
        let sheet = sheet_of(&round, &PAST, Some(&card));
        assert!(validator.is_valid(&json(&sheet)), "after {length} entries");
        for text in [sheet.text(false), sheet.owner_text(false)] {
            assert!(text.lines().all(|line| line.width() <= 80) && !text.contains("NaN"), "{text}");
        }
        if length % 16 == 0 {
            let page = pages::parse(&sheet.html());
            pages::check_reading(&page);
            assert!(!page.html().contains("NaN") && !page.html().contains("\"inf"), "after {length} entries");
        }
    }
}

#[test]
fn the_longest_and_the_oddest_loops_are_drawn_within_their_pictures() {
    use evenbite::chain::Sequence;
    for (links, sequence) in [(400, "full"), (23, "full"), (60, "semi-skip"), (20, "L------------------"), (61, "skip")]
    {
        let sequence: Sequence = sequence.parse().unwrap();
        let head = Header { links, sequence, ..header(Tool::File) };
        let Ok(round) = Round::begin(head) else { panic!("{links}") };
        let count = round.cutters.len();
        let mut bench = rounds::Bench(round);
        bench.sound();
        for cutter in 1..=u16::try_from(count).unwrap() {
            bench.length(cutter, When::Before, 8.6 + rounds::wobble(cutter, 0.2));
        }
        let page = pages::parse(&sheet_of(&bench.0, &Past::default(), None).html());
        let marks = pages::all(&page, "svg circle");
        assert!(marks.len() >= count);
        for mark in marks {
            let (x, y) = (pages::number(mark, "cx").unwrap(), pages::number(mark, "cy").unwrap());
            assert!((0.0..=720.0).contains(&x) && (0.0..=280.0).contains(&y), "{links}: {x} {y}");
        }
    }
}
