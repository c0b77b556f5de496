//! A gap for softwood says what it is for wherever it is printed.

use evenbite::care::{Filter, GapRange, Workshop};
use evenbite::chain::{Rule, Wood};
use evenbite::record::Rack;
use evenbite::round::{Event, Round, When};
use evenbite::units::{Unit, mm};

use crate::invented::{answer, at, card, header, put, rack};

/// A round for this wood, worked to its end by the fixed rule, with the gaps that it asks for.
fn worked(rack: &Rack, wood: Wood, gap: f64) -> Round {
    let mut header = header(&rack.card("one").unwrap(), at(1), "Ina");
    header.wood = wood;
    let (mut file, mut round) = rack.begin_round(&header).unwrap();
    while let Some(event) = answer(&round, 9.8) {
        let event = match event {
            Event::Gap { cutter, .. } => Event::Gap { cutter, when: When::Before, mm: mm(gap), again: false },
            Event::Rule { .. } => Event::Rule { rule: Rule::Fixed },
            event => event,
        };
        put(&mut file, &mut round, &event);
    }
    rack.close(file).unwrap();
    round
}

/// Every page on which a gap of the loop stands, in one spacing.
fn pages(rack: &Rack, round: &Round) -> [(&'static str, String); 8] {
    let care = Workshop::from(rack.clone());
    let sheet = care.sheet_of(&care.coach(&rack.card("one").unwrap(), round.clone()));
    let tags = care.tags(&[], Filter::InCare, at(9)).unwrap();
    let profile = rack.profile("three-eighths").unwrap();
    let range = GapRange { wood: round.header.wood, ..GapRange::default() };
    let gaps = care.gaps(&profile, Some("one"), &range).unwrap();
    let flat = |text: String| text.split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ");
    [
        ("sheet, text", flat(sheet.text(true))),
        ("sheet, page", flat(sheet.html())),
        ("owner's page, text", flat(sheet.owner_text(true))),
        ("owner's page", flat(sheet.owner_html())),
        ("tag, text", flat(tags.text(Unit::Mm, true))),
        ("tag", flat(tags.html(Unit::Mm))),
        ("gap table, text", flat(gaps.text(Unit::Mm, true))),
        ("gap table, page", flat(gaps.html(Unit::Mm))),
    ]
}

#[test]
fn a_softwood_gap_says_so_on_every_page_and_no_other_does() {
    for (wood, gap, says) in [(Wood::SoftwoodNoFrost, 0.8, true), (Wood::Any, 0.65, false)] {
        let (_dir, rack) = rack();
        rack.create_loop(&card("one", 24)).unwrap();
        let round = worked(&rack, wood, gap);
        for (page, text) in pages(&rack, &round) {
            assert_eq!(text.contains("0.80 mm"), says, "{page}: {text}");
            assert_eq!(text.contains("unfrozen softwood only"), says, "{page}: {text}");
        }
        let row = Workshop::from(rack).rows(at(2)).rows.remove(0).advice();
        assert_eq!(row.contains("unfrozen softwood only"), says, "{row}");
    }
}
