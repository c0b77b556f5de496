//! The invented workshop: who works there, whose loops hang on its rack, and what was done to each. All names are made up.

use std::path::Path;

use chrono::DateTime;
use evenbite::chain::{Profile, Sequence, Side, Wood};
use evenbite::record::data_dir::{HISTORY, INDEX};
use evenbite::record::{Rack, Sharpener};
use evenbite::round::card::{Own, Prices, Scrapped};
use evenbite::round::{Card, LookItem, Tool};
use evenbite::saw::{Grade, Part, SawEvent};
use evenbite::units::{Unit, mm};

use super::hand::{Dice, Hand, Tooth, Visit, play};

const INA: Hand = Hand { name: "Ina", left: 0.085, right: 0.092, reads: 0.025, comma: true, wrist: 0.4 };
const TOVE: Hand = Hand { name: "Tove", left: 0.070, right: 0.066, reads: 0.035, comma: true, wrist: 1.0 };
const MAREK: Hand = Hand { name: "Marek", left: 0.110, right: 0.120, reads: 0.040, comma: false, wrist: -0.8 };

/// An everyday round by hand: some cutters measured before, all of them after.
const fn visit(at: &'static str, who: Hand, nick: f64) -> Visit {
    Visit {
        at,
        who,
        wood: Wood::Any,
        tool: Tool::File,
        units: Unit::Mm,
        full: false,
        strokes: false,
        angles: false,
        nick,
        struck: None,
        reject: None,
        lean: 0.0,
        stop_after: None,
        saw: "",
        note: None,
    }
}

/// A round in which every cutter and every raker is measured and strokes are counted.
const fn full(at: &'static str, who: Hand, nick: f64) -> Visit {
    Visit { full: true, strokes: true, ..visit(at, who, nick) }
}

/// A loop with its past. Lengths and gaps are those it came with, mm.
struct Told {
    tag: &'static str,
    name: &'static str,
    owner: &'static str,
    saw: &'static str,
    chain: &'static str,
    links: u16,
    order: &'static str,
    mark: &'static str,
    since: &'static str,
    length: f64,
    gap: f64,
    visits: Vec<Visit>,
}

/// Makes the workshop in an empty folder.
pub fn write(root: &Path) {
    let rack = Rack::open(root.to_owned()).unwrap();
    let measured =
        Sharpener { name: "Ina".into(), length_u_mm: Some(0.032), gap_u_mm: Some(0.022), angle_u_deg: Some(0.8) };
    rack.save_sharpener(&measured).unwrap();
    for name in ["Tove", "Marek"] {
        rack.save_sharpener(&Sharpener { name: name.into(), ..Sharpener::default() }).unwrap();
    }
    rack.save_profile(&own_profile(&rack)).unwrap();
    for (number, told) in loops().iter().enumerate() {
        hang(&rack, told, u64::try_from(number).unwrap());
    }
    look_at_saws(&rack);
    leave_only_what_was_entered(root);
}

/// A chain type measured at this bench: Ina's own cutter, new and worn.
fn own_profile(rack: &Rack) -> Profile {
    let base = rack.profile("three-eighths-low").unwrap();
    let figures = [("new_length_mm", 8.72), ("mark_length_mm", 3.4), ("reach_new_mm", 5.15), ("back_slope_deg", 9.6)];
    let source = "Ina, two cutters in hand, one new and one worn, March 2025";
    Profile::measured(&base, "low-profile-at-hand", "3/8 inch low-profile, as measured here", &figures, source).unwrap()
}

fn hang(rack: &Rack, told: &Told, number: u64) {
    let card = card(told);
    rack.create_loop(&card).unwrap();
    let mut dice = Dice(0x0b17_e000 + number);
    let count = card.layout().unwrap().count();
    let mut teeth: Vec<Tooth> = (0..count)
        .map(|_| Tooth { length: told.length + dice.scatter(0.05), gap: told.gap + dice.scatter(0.03) })
        .collect();
    for visit in &told.visits {
        play(rack, &card, visit, &mut teeth, &mut dice);
    }
    if told.tag == "thrush-yard" {
        let at = DateTime::parse_from_rfc3339("2026-06-09T16:40:00+02:00").unwrap();
        let reason = "owner thought it was done".to_owned();
        rack.save_card(&Card { scrapped: Some(Scrapped { at, reason }), ..card }).unwrap();
    }
}

fn card(told: &Told) -> Card {
    let priced = matches!(told.owner, "Hollow Lane estate" | "Ridge crew");
    let prices = Prices { new_loop: Some(31.0), round: Some(9.5), hours_between: Some(5.0) };
    let own = Own { new_length: Some(mm(9.84)), ..Own::default() };
    Card {
        tag: told.tag.into(),
        name: told.name.into(),
        owner: told.owner.into(),
        saw: told.saw.into(),
        profile: told.chain.into(),
        links: told.links,
        sequence: told.order.parse::<Sequence>().unwrap(),
        first: Side::Left,
        start_mark: told.mark.into(),
        created: DateTime::parse_from_rfc3339(told.since).unwrap(),
        own: if told.tag == "ridge-3" { own } else { Own::default() },
        prices: if priced { prices } else { Prices::default() },
        scrapped: None,
    }
}

/// One thing found at a saw: part, what was found, the figure in mm, a remark.
type Found = (Part, Grade, Option<f64>, Option<&'static str>);

/// Two saws of the estate: a bar that went bad, and a sprocket that has carried its loops too long.
fn look_at_saws(rack: &Rack) {
    let look = |saw: &str, at: &str, with: &str, found: &[Found]| {
        let event = |(part, found, figure, note): &Found| SawEvent::Checked {
            part: *part,
            found: *found,
            mm: figure.map(mm),
            note: note.map(str::to_owned),
            with: Some(with.to_owned()),
        };
        let events: Vec<SawEvent> = found.iter().map(event).collect();
        rack.add_to_saw(saw, DateTime::parse_from_rfc3339(at).unwrap(), &events).unwrap();
    };
    let good = |part| (part, Grade::Good, None, None);
    look(
        "old orange",
        "2025-09-06T08:34:00+02:00",
        "hollow-3",
        &[
            good(Part::Rails),
            (Part::Groove, Grade::Good, Some(6.1), None),
            good(Part::Straight),
            good(Part::Nose),
            (Part::Sprocket, Grade::Good, Some(0.1), None),
            good(Part::Tension),
        ],
    );
    look(
        "old orange",
        "2026-03-14T08:19:00+01:00",
        "hollow-3",
        &[
            (Part::TensionWarm, Grade::Good, None, None),
            (Part::Rails, Grade::Watch, Some(0.15), None),
            (Part::Groove, Grade::Good, Some(5.6), None),
            good(Part::Straight),
            good(Part::Nose),
            (Part::Sprocket, Grade::Good, Some(0.25), None),
            good(Part::Tension),
        ],
    );
    look(
        "old orange",
        "2026-08-22T08:04:00+02:00",
        "hollow-3",
        &[
            (Part::TensionWarm, Grade::Watch, None, Some("slack after the second tree")),
            (Part::Rails, Grade::Bad, Some(0.35), Some("burr on the outer rail, dressed")),
            (Part::Groove, Grade::Watch, Some(5.1), None),
            good(Part::Straight),
            good(Part::Nose),
            (Part::Sprocket, Grade::Good, Some(0.35), None),
            good(Part::Tension),
        ],
    );
    look(
        "big yellow",
        "2026-09-26T08:14:00+02:00",
        "hollow-2",
        &[
            good(Part::Rails),
            good(Part::Groove),
            good(Part::Straight),
            (Part::Nose, Grade::NotLooked, None, None),
            (Part::Sprocket, Grade::Watch, Some(0.6), None),
            good(Part::Tension),
        ],
    );
}

/// Histories and index are derived: the program makes them again.
fn leave_only_what_was_entered(root: &Path) {
    std::fs::remove_file(root.join(INDEX)).ok();
    for folder in std::fs::read_dir(root.join("loops")).unwrap() {
        std::fs::remove_file(folder.unwrap().path().join(HISTORY)).ok();
    }
}

const BASE: Told = Told {
    tag: "",
    name: "",
    owner: "",
    saw: "",
    chain: "three-eighths",
    links: 56,
    order: "full",
    mark: "painted tie strap",
    since: "2025-04-02T09:00:00+02:00",
    length: 10.0,
    gap: 0.62,
    visits: Vec::new(),
};

fn loops() -> Vec<Told> {
    let mut all = of_the_estate();
    all.extend(of_the_crew());
    all.extend(of_others());
    all
}

fn of_the_estate() -> Vec<Told> {
    let owner = "Hollow Lane estate";
    vec![
        Told {
            tag: "hollow-1",
            name: "Hollow 1",
            owner,
            saw: "big yellow",
            links: 60,
            since: "2026-09-28T17:10:00+02:00",
            ..BASE
        },
        Told {
            tag: "hollow-2",
            name: "Hollow 2",
            owner,
            saw: "big yellow",
            length: 8.95,
            gap: 0.60,
            visits: vec![
                visit("2025-04-12T08:05:00+02:00", INA, 0.22),
                visit("2025-07-05T07:40:00+02:00", INA, 0.16),
                visit("2025-10-18T08:20:00+02:00", TOVE, 0.30),
                visit("2026-02-21T09:00:00+01:00", INA, 0.20),
                visit("2026-06-13T07:55:00+02:00", INA, 0.18),
                Visit { saw: "big yellow", ..full("2026-09-26T08:10:00+02:00", INA, 0.24) },
            ],
            ..BASE
        },
        Told {
            tag: "hollow-3",
            name: "Hollow 3",
            owner,
            saw: "old orange",
            links: 66,
            mark: "joining link",
            length: 9.62,
            visits: vec![
                visit("2025-09-06T08:30:00+02:00", TOVE, 0.25),
                visit("2026-03-14T08:15:00+01:00", TOVE, 0.15),
                Visit { saw: "old orange", ..full("2026-08-22T08:00:00+02:00", TOVE, 0.20) },
            ],
            ..BASE
        },
        Told {
            tag: "hollow-pine",
            name: "Hollow pine",
            owner,
            saw: "old orange",
            links: 52,
            length: 9.70,
            gap: 0.76,
            visits: vec![
                Visit { wood: Wood::SoftwoodNoFrost, ..visit("2025-06-07T08:00:00+02:00", INA, 0.15) },
                Visit { wood: Wood::SoftwoodNoFrost, ..visit("2026-05-09T08:25:00+02:00", INA, 0.20) },
                Visit {
                    wood: Wood::SoftwoodNoFrost,
                    angles: true,
                    note: Some("thinning the young pines until the first frost"),
                    ..full("2026-08-29T09:10:00+02:00", INA, 0.15)
                },
            ],
            ..BASE
        },
    ]
}

fn of_the_crew() -> Vec<Told> {
    let owner = "Ridge crew";
    vec![
        Told {
            tag: "ridge-1",
            name: "Ridge 1",
            owner,
            saw: "crew saw A",
            length: 9.30,
            visits: vec![
                visit("2025-11-15T15:00:00+01:00", MAREK, 0.20),
                visit("2026-04-18T14:30:00+02:00", MAREK, 0.25),
                Visit {
                    struck: Some((evenbite::chain::nth(12), 0.95)),
                    note: Some("cut into the wall by the ford"),
                    ..full("2026-09-12T15:20:00+02:00", MAREK, 0.15)
                },
            ],
            ..BASE
        },
        Told {
            tag: "ridge-2",
            name: "Ridge 2",
            owner,
            saw: "crew saw A",
            chain: "point-325",
            length: 8.80,
            visits: vec![
                visit("2025-08-02T15:10:00+02:00", MAREK, 0.20),
                visit("2025-12-06T15:00:00+01:00", MAREK, 0.15),
                Visit { lean: 0.04, ..visit("2026-05-02T14:50:00+02:00", MAREK, 0.20) },
                Visit { lean: 0.11, ..full("2026-10-03T15:05:00+02:00", MAREK, 0.25) },
            ],
            ..BASE
        },
        Told {
            tag: "ridge-3",
            name: "Ridge 3",
            owner,
            saw: "crew saw B",
            chain: "point-325",
            links: 64,
            length: 8.40,
            visits: vec![
                visit("2025-07-19T15:00:00+02:00", MAREK, 0.20),
                visit("2025-11-29T15:30:00+01:00", MAREK, 0.30),
                visit("2026-04-25T15:15:00+02:00", MAREK, 0.25),
                Visit {
                    reject: Some((LookItem::Cracks, "crack at the rivet hole behind cutter 9")),
                    ..visit("2026-09-19T15:00:00+02:00", MAREK, 0.0)
                },
            ],
            ..BASE
        },
        Told {
            tag: "ridge-long",
            name: "Ridge long bar",
            owner,
            saw: "crew saw C",
            chain: "four-oh-four",
            links: 84,
            order: "skip",
            length: 11.40,
            gap: 0.77,
            visits: vec![
                visit("2025-10-04T15:20:00+02:00", MAREK, 0.30),
                visit("2026-03-28T15:00:00+01:00", MAREK, 0.25),
                full("2026-07-18T15:40:00+02:00", MAREK, 0.30),
            ],
            ..BASE
        },
    ]
}

fn of_others() -> Vec<Told> {
    let ground = |at, nick| Visit { tool: Tool::Grinder, full: true, strokes: false, ..visit(at, TOVE, nick) };
    let inch = |round: Visit| Visit { units: Unit::Inch, ..round };
    vec![
        Told {
            tag: "quarry-9",
            name: "Quarry 9",
            owner: "Stonefield quarry",
            chain: "low-profile-at-hand",
            links: 52,
            length: 5.35,
            gap: 0.80,
            visits: vec![
                visit("2025-04-26T10:00:00+02:00", TOVE, 0.35),
                visit("2025-08-16T10:15:00+02:00", TOVE, 0.30),
                visit("2025-12-20T10:00:00+01:00", TOVE, 0.30),
                visit("2026-05-16T10:30:00+02:00", TOVE, 0.25),
                full("2026-09-05T10:05:00+02:00", TOVE, 0.20),
            ],
            ..BASE
        },
        Told {
            tag: "mill-lane",
            name: "Mill Lane",
            owner: "Mill Lane nursery",
            links: 60,
            length: 9.10,
            visits: vec![
                visit("2025-10-11T09:00:00+02:00", TOVE, 0.20),
                visit("2026-04-11T09:20:00+02:00", TOVE, 0.25),
                Visit { stop_after: Some(9), ..full("2026-10-10T16:05:00+02:00", TOVE, 0.20) },
            ],
            ..BASE
        },
        Told {
            tag: "thrush-yard",
            name: "Thrush Yard",
            owner: "Thrush Yard garden",
            chain: "quarter-inch",
            links: 58,
            length: 6.30,
            visits: vec![
                visit("2025-05-24T11:00:00+02:00", INA, 0.15),
                visit("2025-10-25T11:10:00+02:00", INA, 0.20),
                visit("2026-05-30T11:00:00+02:00", INA, 0.15),
            ],
            ..BASE
        },
        Told {
            tag: "brook-farm",
            name: "Brook Farm",
            owner: "Brook Farm",
            links: 72,
            length: 9.55,
            visits: vec![
                ground("2025-09-20T13:00:00+02:00", 0.25),
                ground("2026-03-07T13:20:00+01:00", 0.20),
                ground("2026-09-19T13:10:00+02:00", 0.25),
            ],
            ..BASE
        },
        Told {
            tag: "patchwork",
            name: "Patchwork",
            owner: "Ina",
            order: "LRLRLRLRLRLRLRLRLRLRLRLRLRL--R",
            links: 58,
            mark: "the mended place lies before cutter 28",
            length: 8.70,
            gap: 0.58,
            visits: vec![
                visit("2025-12-13T17:00:00+01:00", INA, 0.20),
                visit("2026-04-04T17:20:00+02:00", INA, 0.15),
                full("2026-10-17T17:05:00+02:00", INA, 0.20),
            ],
            ..BASE
        },
        Told {
            tag: "visitor",
            name: "Visitor",
            owner: "Saltmarsh wardens",
            chain: "point-325",
            links: 56,
            length: 9.20,
            visits: vec![
                inch(visit("2026-02-07T10:00:00+01:00", MAREK, 0.2032)),
                inch(visit("2026-06-20T10:10:00+02:00", MAREK, 0.254)),
                inch(full("2026-10-24T10:00:00+02:00", MAREK, 0.1524)),
            ],
            ..BASE
        },
    ]
}
