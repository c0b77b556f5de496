//! What programs read: every output keeps to the schema that the program prints for it, tells nothing that the schema does not
//! name, and is recognised by the program as its own.

use evenbite::care::{Filter, GapRange, Listing, Sort, Workshop};
use evenbite::record::Rack;
use evenbite::report::{Format, ListFormat, Output, is_ours};
use evenbite::round::{Card, Prices, Release, Scrapped};
use evenbite::saw::{Grade, Part, Piece, SawEvent};
use evenbite::units::{Unit, mm};
use jsonschema::Validator;
use serde_json::Value;
use strum::VariantArray;

use crate::drills::{led, measured};
use crate::invented::{at, card, rack, whole_round};

/// Loops that have all that a field can hold, as far as a few of them can.
fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    let prices = Prices { new_loop: Some(30.0), round: Some(5.0), hours_between: None };
    let release = Release {
        at: at(3),
        by: "Tove".into(),
        replaced: "two straps".into(),
        rounds: Vec::new(),
        scrapped: Some(Scrapped { at: at(2), reason: "lost".into() }),
    };
    let kept = Card { prices, releases: vec![release], ..card("one", 24) };
    rack.create_loop(&kept).unwrap();
    for (day, length) in [(1, 9.0), (31, 8.5)] {
        whole_round(&rack, &kept, at(day), "Ina", length);
    }
    rack.create_loop(&card("new", 24)).unwrap();
    let gone =
        Card { scrapped: Some(Scrapped { at: at(2), reason: "worn".into() }), saw: String::new(), ..card("gone", 24) };
    rack.create_loop(&gone).unwrap();
    let checked = SawEvent::Checked {
        part: Part::Sprocket,
        found: Grade::Bad,
        mm: Some(mm(0.7)),
        note: Some("hooked".into()),
        with: Some("one".into()),
    };
    rack.add_to_saw("limbing saw", at(4), &[checked, SawEvent::Renewed { piece: Piece::Bar }]).unwrap();
    led(&rack, &measured("Ina"));
    (dir, rack)
}

/// The schema, and the same with nothing let in that it does not name.
fn validator(output: Output) -> Validator {
    fn close(schema: &mut Value) {
        if let Value::Object(fields) = schema {
            let open = fields.get("properties").is_some_and(|of| of.as_object().is_some_and(|of| !of.is_empty()));
            let whole = fields.get("required").zip(fields.get("properties")).is_some_and(|(required, of)| {
                required.as_array().is_some_and(|all| all.iter().all(|key| of.get(key.as_str().unwrap()).is_some()))
            });
            if open && whole {
                fields.insert("additionalProperties".into(), false.into());
            }
            fields.values_mut().for_each(close);
        } else if let Value::Array(items) = schema {
            items.iter_mut().for_each(close);
        }
    }
    let mut schema: Value = serde_json::from_str(output.schema()).unwrap();
    assert!(jsonschema::meta::is_valid(&schema), "{output:?}");
    // A card, an intake and an event are told by their files.
    if output != Output::Export {
        close(&mut schema);
    }
    jsonschema::options().should_validate_formats(true).build(&schema).unwrap()
}

fn faults(validator: &Validator, value: &Value) -> Vec<String> {
    validator.iter_errors(value).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// The outputs as JSON, one a line of an export.
fn outputs(care: &Workshop, output: Output) -> Vec<String> {
    let all = |filter| care.listed(&Listing { filter, sort: Sort::Left, find: String::new() }, at(60));
    let loops = ["one", "new", "gone"];
    match output {
        Output::Gaps => {
            let profile = care.profile("three-eighths").unwrap();
            vec![care.gaps(&profile, Some("one"), &GapRange::default()).unwrap().render(Format::Json, Unit::Mm, true)]
        }
        Output::Sheet => vec![care.sheet("one", None).unwrap().json()],
        Output::History => loops.map(|tag| care.history(tag).unwrap().render(Format::Json, Unit::Mm, true)).to_vec(),
        Output::Saw => ["limbing saw", "other"]
            .map(|name| care.saw_report(name).unwrap().render(Format::Json, Unit::Mm, true))
            .to_vec(),
        Output::Tags => [Filter::InCare, Filter::Scrapped]
            .map(|filter| care.tags(&[], filter, at(60)).unwrap().render(Format::Json, Unit::Mm, true))
            .to_vec(),
        Output::Loops => Filter::VARIANTS.iter().map(|filter| all(*filter).render(ListFormat::Json, true)).collect(),
        Output::Course => vec![care.course(&[], "", "", at(60)).unwrap().render(Format::Json, Unit::Mm, true)],
        Output::Export => Vec::new(),
    }
}

#[test]
fn every_output_keeps_to_its_schema_and_is_known_again() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack.clone());
    for output in Output::VARIANTS {
        let validator = validator(*output);
        for text in outputs(&care, *output) {
            let value: Value = serde_json::from_str(&text).unwrap();
            let found = faults(&validator, &value);
            assert!(found.is_empty(), "{output:?}: {found:#?}\n{text}");
            assert!(is_ours(&text, &text), "{output:?}");
            let Value::Object(mut fields) = value else { panic!("{output:?} is no document") };
            let first = fields.keys().nth(1).unwrap().clone();
            fields.remove(&first);
            assert!(!validator.is_valid(&Value::Object(fields)), "{output:?} without {first}");
        }
        assert!(is_ours(output.schema(), output.schema()));
    }
    let mut lines = Vec::new();
    rack.export_jsonl(&mut lines).unwrap();
    let text = String::from_utf8(lines).unwrap();
    assert!(is_ours(&text, &text));
    let validator = validator(Output::Export);
    for line in text.lines() {
        let value: Value = serde_json::from_str(line).unwrap();
        assert!(faults(&validator, &value).is_empty(), "{line}");
    }
    assert!(!validator.is_valid(&serde_json::json!({ "kind": "event", "seq": 0 })));
}

#[test]
fn every_table_is_known_again() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack.clone());
    let mut export = Vec::new();
    rack.export_csv(&mut export).unwrap();
    let profile = care.profile("three-eighths").unwrap();
    let all = Listing { filter: Filter::InCare, sort: Sort::Left, find: String::new() };
    for table in [
        String::from_utf8(export).unwrap(),
        care.gaps(&profile, None, &GapRange::default()).unwrap().render(Format::Csv, Unit::Mm, true),
        care.sheet("one", None).unwrap().csv(),
        care.history("one").unwrap().csv(),
        care.saw_report("limbing saw").unwrap().csv(),
        care.tags(&[], Filter::InCare, at(60)).unwrap().csv(),
        care.listed(&all, at(60)).csv(),
    ] {
        assert!(is_ours(&table, &table), "{table}");
    }
}
