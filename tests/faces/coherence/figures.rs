//! The figures that places share, and where two of them differ.

use evenbite::units::Unit;
use regex_lite::Regex;
use serde_json::Value;

use super::hand::TAG;
use super::places::Read;
use super::{pairs, tables};

/// Words in which a figure is said, and what it must be.
struct Shared {
    figure: &'static str,
    /// Captures are the figures.
    pattern: &'static str,
    /// What they must be; `None` where the figure does not exist at this moment, or means another thing there.
    is: fn(&Read, place: &str) -> Option<Vec<f64>>,
    /// Places that must say it whenever it exists.
    must: &'static [&'static str],
}

const SHEETS: &[&str] = &["full sheet as text", "full sheet as page"];

/// The data of the place's own kind: what a life says rests on closed rounds, what a sheet says on the round it is of.
fn ahead<'a>(read: &'a Read, place: &str) -> &'a Value {
    if place.starts_with("life") { &read.history["ahead"] } else { &read.sheet["forecast"] }
}

fn numbers(values: &[&Value]) -> Option<Vec<f64>> {
    values.iter().map(|value| value.as_f64()).collect()
}

fn lengths(read: &Read, values: &[&Value]) -> Option<Vec<f64>> {
    let per_mm = if read.unit == Unit::Inch { 1.0 / 25.4 } else { 1.0 };
    numbers(values).map(|numbers| numbers.into_iter().map(|mm| mm * per_mm).collect())
}

const SHARED: &[Shared] = &[
    Shared {
        figure: "rounds left",
        pattern: r"[Aa]bout (\d+) (?:rounds|sharpenings) left \((\d+) to (\d+)",
        is: |read, place| {
            let ahead = ahead(read, place);
            numbers(&[&ahead["rounds_left"], &ahead["low"], &ahead["high"]])
        },
        must: &[],
    },
    Shared {
        figure: "wear of a round",
        pattern: r"Wear of a round: ([\d.]+)",
        is: |read, place| lengths(read, &[&ahead(read, place)["per_round_mm"]]),
        must: &[],
    },
    Shared {
        figure: "spread as they came",
        pattern: r"shortest as they came: ([\d.]+)",
        is: |read, _| spread(read, "before_mm", "spread_before_mm", |state| state != "missing"),
        must: SHEETS,
    },
    Shared {
        figure: "spread after",
        pattern: r"The same afterwards[^:]*: ([\d.]+)",
        is: |read, _| spread(read, "after_mm", "spread_after_mm", |state| ["kept", "damaged"].contains(&state)),
        must: SHEETS,
    },
    Shared {
        figure: "life left on the rack",
        pattern: r"Mill yard +<?(\d+) %",
        is: life_left,
        must: &["rack on the screen"],
    },
    Shared {
        figure: "life left on the saw's page",
        pattern: r"Twelve (?:under |over )?(\d+) % left",
        is: life_left,
        must: &["saw as text"],
    },
];

/// A spread, where two cutters that count were measured.
fn spread(read: &Read, length: &str, figure: &str, counts: impl Fn(&str) -> bool) -> Option<Vec<f64>> {
    let cutters = read.sheet["cutters"].as_array()?.iter();
    let measured = cutters.filter(|cutter| cutter["state"].as_str().is_some_and(&counts) && !cutter[length].is_null());
    (measured.count() > 1).then(|| lengths(read, &[&read.sheet["round"][figure]])).flatten()
}

/// Life left in percent; words never claim none of it, nor all.
fn life_left(read: &Read, place: &str) -> Option<Vec<f64>> {
    let left = read.row.left? * 100.0;
    Some(vec![match place {
        "rack on the screen" if left > 0.0 => left.max(1.0),
        "rack on the screen" => left,
        _ => left.clamp(1.0, 99.0),
    }])
}

fn all(pattern: &str, words: &str) -> Vec<Vec<f64>> {
    let pattern = Regex::new(pattern).unwrap();
    let figures =
        |found: regex_lite::Captures| found.iter().skip(1).flatten().map(|m| m.as_str().parse().unwrap()).collect();
    pattern.captures_iter(words).map(figures).collect()
}

/// True for figures that are the same but for the rounding of their last digit.
fn same(said: &[f64], is: &[f64], read: &Read) -> bool {
    let last = if read.unit == Unit::Inch { 0.0001 } else { 0.01 };
    // Data have four decimals themselves.
    let step = |said: f64, is: f64| if said.fract() == 0.0 && is > 1.0 { 0.51 } else { last * 0.51 + 5e-5 };
    said.len() == is.len() && said.iter().zip(is).all(|(said, is)| (said - is).abs() <= step(*said, *is))
}

/// What words and data say otherwise than each other.
fn in_words(read: &Read, faults: &mut Vec<String>) {
    for shared in SHARED {
        for told in &read.told {
            let is = (shared.is)(read, told.place);
            let said = all(shared.pattern, &told.words);
            if is.is_some() && said.is_empty() && shared.must.contains(&told.place) {
                faults.push(format!("{} does not say the {}", told.place, shared.figure));
            }
            for figures in said.iter().filter(|said| !is.as_ref().is_some_and(|is| same(said, is, read))) {
                faults.push(format!("{}: {} says {figures:?}, the data {is:?}", shared.figure, told.place));
            }
        }
    }
}

/// A raker that the proof lists as too low was taken up on the screen: that is on record once it is answered, so the plain face
/// stands before the list that names it.
fn is_taken_up(screen: &str, plain: &str) -> bool {
    let at_hand = Regex::new(r"\[PROVE\].*?Cutter (\d+), (?:left|right)").unwrap();
    let low =
        |number: &str| Regex::new(&format!(r"things? to redo.*\b{number} raker [\d.]+ (?:mm|in) TOO LOW")).unwrap();
    screen.contains("1 measure it again")
        && at_hand.captures(screen).is_some_and(|found| low(&found[1]).is_match(plain))
}

/// What two places say of the work in hand.
fn in_hand(read: &Read, faults: &mut Vec<String>) {
    let of = |place: &str| read.told.iter().find(|told| told.place == place).map(|told| told.words.as_str());
    let (Some(screen), Some(plain)) = (of("round on the screen"), of("plain face")) else { return };
    // What is being answered is not on record: a round that is gone on with asks for the reading, or the choice, itself. In a
    // roomy window "once more" may stand on two lines.
    let answers = ["once more", "Too close to call", "How much must come off"];
    if read.asks || answers.iter().any(|words| screen.contains(words)) || is_taken_up(screen, plain) {
        return;
    }
    if screen.contains("1 measure it again") != plain.contains("1 measure it again") {
        faults.push(format!("a fault holds one face only: {screen}\n{plain}"));
    }
    for pattern in [r"([\d.]+) (?:mm|in) is to come off", r"(\d+) things to redo", r"(\d+) strokes, then"] {
        let (on_screen, in_plain) = (all(pattern, screen), all(pattern, plain));
        if on_screen.first() != in_plain.first() {
            faults.push(format!("{pattern}: the screen says {on_screen:?}, the plain face {in_plain:?}"));
        }
    }
}

/// What the data of two reports say otherwise than each other, once a round is signed.
fn in_data(read: &Read, faults: &mut Vec<String>) {
    if !read.closed || read.sheet["round"]["how"] != "signed" {
        return;
    }
    let (forecast, ahead) = (&read.sheet["forecast"], &read.history["ahead"]);
    let last = read.history["rounds"].as_array().and_then(|rounds| rounds.last()).unwrap_or(&Value::Null);
    let of_saw = read.saw["loops"]
        .as_array()
        .and_then(|loops| loops.iter().find(|row| row["tag"] == TAG))
        .unwrap_or(&Value::Null);
    let tag = read.tag.as_array().and_then(|tags| tags.first()).unwrap_or(&read.tag["tags"][0]);
    let mut pair = |what: &str, a: &Value, b: &Value| {
        let close = a.as_f64().zip(b.as_f64()).is_some_and(|(a, b)| (a - b).abs() < 2e-4);
        if a != b && !close {
            faults.push(format!("{what}: {a} and {b}"));
        }
    };
    for key in ["rounds_left", "low", "high", "per_round_mm", "rounds_to_changeover"] {
        pair(&format!("{key} of sheet and life"), &forecast[key], &ahead[key]);
    }
    pair("rounds left of sheet and saw", &forecast["rounds_left"], &of_saw["rounds_left"]);
    for key in ["spread_before_mm", "spread_after_mm", "median_before_mm", "median_after_mm", "target_mm"] {
        pair(&format!("{key} of sheet and life"), &read.sheet["round"][key], &last[key]);
    }
    pair("stage of sheet and tag", &read.sheet["changeover"]["stage"], &tag["stage"]);
    pair("next round of sheet and tag", &day(&forecast["next_date"]), &day(&tag["next"]));
}

fn day(value: &Value) -> Value {
    value.as_str().map_or(Value::Null, |text| text.get(..10).unwrap_or(text).into())
}

/// What stands in a field of the card's form; empty where nothing does.
fn on_card<'a>(card: &'a str, label: &str) -> &'a str {
    card.lines().find_map(|line| line.strip_prefix(label)).unwrap_or_else(|| panic!("no {label}\n{card}")).trim()
}

/// What the form of the card says otherwise than sheet, life and tag.
fn on_the_card(read: &Read, faults: &mut Vec<String>) {
    let tag = &read.tag["tags"][0];
    let of_sheet = |key: &str| &read.sheet["card"][key];
    for (label, values) in [
        ("Name", vec![of_sheet("name"), &read.history["name"], &tag["name"]]),
        ("Owner", vec![of_sheet("owner"), &read.history["owner"], &tag["owner"]]),
        ("Saw", vec![of_sheet("saw"), &read.history["saw"]["name"], &tag["saw"]]),
    ] {
        let card = on_card(&read.card, label);
        for value in values.into_iter().filter(|value| value.as_str() != Some(card)) {
            faults.push(format!("{label} is {card:?} on the card and {value} elsewhere"));
        }
    }
    let mut figure = |label: &str, is: Option<f64>| {
        let card = on_card(&read.card, label).parse::<f64>().ok();
        if card.zip(is).is_none_or(|(card, is)| (card - is).abs() > 5e-5) {
            faults.push(format!("{label} is {card:?} on the card and {is:?} elsewhere"));
        }
    };
    if !on_card(&read.card, "Length when new").is_empty() {
        for value in [&read.sheet["geometry"]["new_length_mm"]["value"], &read.history["new_length_mm"]] {
            figure("Length when new", value.as_f64());
        }
    }
    // A loop has cost its own price and that of every round that was signed.
    let signed = read.history["signed"].as_f64().unwrap();
    let round = on_card(&read.card, "Price of a round").parse::<f64>().unwrap();
    figure("Price of a new loop", read.history["cost"]["to_date"].as_f64().map(|to_date| to_date - signed * round));
}

/// Every disagreement, in a sentence.
pub(super) fn faults(read: &Read) -> Vec<String> {
    let mut faults = tables::faults(&read.tables, &read.sheet, &read.history, &read.saw, &read.tag);
    on_the_card(read, &mut faults);
    pairs::faults(read, &mut faults);
    in_words(read, &mut faults);
    in_hand(read, &mut faults);
    in_data(read, &mut faults);
    faults
}
