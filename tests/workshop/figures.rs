//! One figure, one function: what sheet, history, rack, saw page and tag say of one loop at one moment is the same.

use crate::invented::{answer, at, card, header, put, rack};
use evenbite::care::{Filter, Standing, Workshop};
use evenbite::chain::Wood;
use evenbite::chain::nth;
use evenbite::record::Rack;
use evenbite::report::Format;
use evenbite::round::Prices;
use evenbite::round::{Ask, Card, Closing, Event, Finding, Header, LookItem, Reading, Round, Tool, When};
use evenbite::units::{Unit, mm};
use serde_json::Value;

fn priced(tag: &str) -> Card {
    let prices = Prices { new_loop: Some(35.0), round: Some(8.0), hours_between: Some(4.0) };
    Card { prices, ..card(tag, 40) }
}

fn parse(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

/// All that is said of the loop agrees, as far as it is said in more than one place.
fn agrees(rack: &Rack, round: &Round, what: &str) {
    let care = Workshop::from(rack.clone());
    let tag = &round.header.tag;
    let kept = rack.card(tag).unwrap();
    let sheet = parse(&care.sheet_of(&care.coach(&kept, round.clone())).json());
    let history = parse(&care.history(tag).unwrap().json());
    let (forecast, ahead) = (&sheet["forecast"], &history["ahead"]);
    for name in ["per_round_mm", "rounds_left", "low", "high", "rounds_to_changeover", "date", "visible", "line"] {
        assert_eq!(forecast[name], ahead[name], "{what}: {name} of sheet and history");
    }
    assert_eq!(forecast["cost_per_round"], history["cost"]["per_round"], "{what}: cost of a round");
    if let Some(row) = history["rounds"].as_array().unwrap().last().filter(|_| round.closed.is_some()) {
        for name in ["spread_before_mm", "spread_after_mm", "median_before_mm", "median_after_mm"] {
            assert_eq!(sheet["round"][name], row[name], "{what}: {name} of sheet and history");
        }
    }
    let page = parse(&care.saw_report(&kept.saw).unwrap().render(Format::Json, Unit::Mm, true));
    let of_loop = page["loops"].as_array().unwrap().iter().find(|row| row["tag"] == **tag).unwrap();
    assert_eq!(forecast["rounds_left"], of_loop["rounds_left"], "{what}: rounds left on the saw's page");
    let rows = care.rows(at(400)).rows;
    let row = rows.iter().find(|row| row.tag == *tag).unwrap();
    let four = |x: f64| (x * 1e4).round() / 1e4;
    assert_eq!(of_loop["life_left"].as_f64(), row.left.map(four), "{what}: life left on rack and saw's page");
    let tags = care.tags(std::slice::from_ref(tag), Filter::InCare, at(400)).unwrap();
    let label = &parse(&tags.render(Format::Json, Unit::Mm, true))["tags"][0];
    let stage = row.stage.map_or(Value::Null, |stage| serde_json::to_value(stage).unwrap());
    assert_eq!(label["stage"], stage, "{what}: stage on rack and tag");
    let standing = match label["state"].as_str().unwrap() {
        "new" => Standing::New,
        "open" => Standing::Open,
        "rejected" => Standing::Rejected,
        "ready" => Standing::Ready,
        other => panic!("{other}"),
    };
    assert_eq!(row.state, standing, "{what}: how the loop stands");
    // Where nothing is measured in this round its sheet says nothing of the cutters; what is known of the loop stands.
    if sheet["changeover"]["median_wear_mm"].is_null() {
        return;
    }
    assert_eq!(sheet["changeover"]["stage"], stage, "{what}: stage on the sheet");
    let worn =
        sheet["changeover"]["median_wear_mm"].as_f64().map(|wear| four(round.header.spec.new_length.get() - wear));
    assert_eq!(label["length_mm"].as_f64().map(four), worn, "{what}: length on the tag and the sheet");
}

/// Works a round and looks at all places again and again; `change` may put another event in place of the usual one.
fn played(rack: &Rack, header: &Header, length: f64, change: impl Fn(&Round, Event) -> Option<Event>) -> Round {
    let (mut file, mut round) = rack.begin_round(header).unwrap();
    let mut steps = 0;
    while let Some(event) = answer(&round, length).and_then(|event| change(&round, event)) {
        put(&mut file, &mut round, &event);
        steps += 1;
        assert!(steps < 600, "{:?} for ever", round.step());
        if steps % 37 == 0 && round.closed.is_none() {
            agrees(rack, &round, &format!("{} after {steps} entries", header.started));
        }
    }
    drop(rack.close(file).unwrap());
    agrees(rack, &round, &format!("{} at its end", header.started));
    round
}

#[test]
fn every_place_tells_the_same_of_a_loop_at_every_step() {
    let (_dir, rack) = rack();
    let kept = priced("one");
    rack.create_loop(&kept).unwrap();
    let usual = |_: &Round, event: Event| Some(event);
    played(&rack, &header(&kept, at(0), "Ina"), 9.6, usual);
    // For softwood, with one cutter left short that is at its witness mark.
    let soft = Header { wood: Wood::SoftwoodNoFrost, ..header(&kept, at(21), "Ina") };
    played(&rack, &soft, 9.1, |_, event| {
        Some(match event {
            Event::Length { cutter, when, again, .. } if cutter == nth(4) => {
                Event::Length { cutter, when, mm: mm(2.9), again }
            }
            Event::Target { mm, recommended, .. } => Event::Target { mm, left_short: vec![nth(4)], recommended },
            Event::Gap { cutter, when: When::After, again, .. } => {
                Event::Gap { cutter, when: When::After, mm: mm(0.8), again }
            }
            other => other,
        })
    });
    // Ground, with a few cutters sampled only, whose lengths are not the stop's.
    let ground = Header { tool: Tool::Grinder, ..header(&kept, at(40), "Bo") };
    played(&rack, &ground, 8.6, usual);
    // Given up after some cutters were filed.
    let given_up = |round: &Round, event: Event| {
        let filed = round.cutters.iter().filter(|cutter| !cutter.after.is_empty()).count();
        match (round.closed, filed) {
            (Some(_), _) => None,
            (None, 15..) => Some(Event::Closed { how: Closing::Abandoned }),
            _ => Some(event),
        }
    };
    played(&rack, &header(&kept, at(60), "Ina"), 8.2, given_up);
    played(&rack, &header(&kept, at(80), "Ina"), 7.9, usual);
    // Rejected: the lengths of the round before stand.
    let rejected = played(&rack, &header(&kept, at(100), "Ina"), 7.5, |round, event| match round.step().ask {
        Ask::Look(item) => {
            let finding = if item == LookItem::Cracks { Finding::Reject } else { Finding::Sound };
            Some(Event::Looked { item, finding, note: None })
        }
        _ => Some(event),
    });
    assert_eq!(rejected.closed, Some(Closing::Rejected));
}

#[test]
fn a_reject_is_told_by_rack_and_tag_while_its_round_is_open() {
    let (_dir, rack) = rack();
    let kept = priced("one");
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    let reject = Event::Looked { item: LookItem::Cracks, finding: Finding::Reject, note: None };
    put(&mut file, &mut round, &reject);
    agrees(&rack, &round, "with the round open");
    let row = Workshop::from(rack).rows(at(2)).rows.remove(0);
    assert!(row.state == Standing::Rejected && Filter::Open.takes(&row) && Filter::Rejected.takes(&row));
    assert!(row.advice().contains("goes on with the round"), "{}", row.advice());
}

#[test]
fn the_spread_as_the_cutters_came_stays_when_one_is_left_short() {
    let (_dir, rack) = rack();
    let kept = priced("one");
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    while let Some(event) = answer(&round, 9.0) {
        let short = matches!(round.step().ask, Ask::Read(Reading::LengthBefore)) && round.step().cutter == Some(nth(4));
        let event = match event {
            Event::Length { cutter, when, again, .. } if short => Event::Length { cutter, when, mm: mm(8.0), again },
            Event::Target { mm, recommended, .. } => {
                assert_eq!(spread(&rack, &round), Some(1.06));
                Event::Target { mm, left_short: vec![nth(4)], recommended }
            }
            other => other,
        };
        put(&mut file, &mut round, &event);
    }
    assert_eq!((round.closed, spread(&rack, &round)), (Some(Closing::Signed), Some(1.06)));
}

fn spread(rack: &Rack, round: &Round) -> Option<f64> {
    let care = Workshop::from(rack.clone());
    let sheet = care.sheet_of(&care.coach(&rack.card(&round.header.tag).unwrap(), round.clone()));
    parse(&sheet.json())["round"]["spread_before_mm"].as_f64()
}

#[test]
fn the_round_just_signed_counts_in_what_its_sheet_foretells() {
    let (_dir, rack) = rack();
    let kept = priced("one");
    rack.create_loop(&kept).unwrap();
    let care = Workshop::from(rack.clone());
    for n in 0..3_u32 {
        let round =
            played(&rack, &header(&kept, at(20 * i64::from(n)), "Ina"), 9.6 - 0.4 * f64::from(n), |_, e| Some(e));
        let sheet = parse(&care.sheet_of(&care.coach(&kept, round)).json());
        assert_eq!(sheet["forecast"]["rounds_seen"], n + 1);
    }
}

#[test]
fn reports_are_the_same_with_and_without_derived_files() {
    let (_dir, rack) = rack();
    let kept = priced("one");
    rack.create_loop(&kept).unwrap();
    for n in 0..2_u32 {
        played(&rack, &header(&kept, at(20 * i64::from(n)), "Ina"), 9.6 - 0.4 * f64::from(n), |_, e| Some(e));
    }
    let care = Workshop::from(rack.clone());
    let told = || {
        let round = rack.read_round(&rack.rounds("one").unwrap()[1]).unwrap();
        let tags = care.tags(&[], Filter::InCare, at(100)).unwrap().render(Format::Json, Unit::Mm, true);
        let saw = care.saw_report(&kept.saw).unwrap().render(Format::Json, Unit::Mm, true);
        [care.sheet_of(&care.coach(&kept, round)).json(), care.history("one").unwrap().json(), tags, saw]
    };
    let with = told();
    for derived in ["rack.jsonl", "loops/one/history.toml"] {
        std::fs::remove_file(rack.root().join(derived)).unwrap();
    }
    assert_eq!(told(), with);
    assert!(!rack.root().join("rack.jsonl").exists() && !rack.root().join("loops/one/history.toml").exists());
}
