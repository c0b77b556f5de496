//! A loop that is set aside for practice: every place says so, and no round is begun on it.

use evenbite::care::{CareError, Filter, Workshop};
use evenbite::plain;
use evenbite::record::RackError;
use evenbite::round::Card;
use evenbite::units::Unit;

use crate::invented::{at, card, header, rack, whole_round};

/// What stands wherever the loop is shown.
const SAID: &str = "for practice, not for a saw";

#[test]
fn a_loop_for_practice_says_so_everywhere_and_no_round_begins_on_it() {
    let (_dir, rack) = rack();
    for tag in ["one", "two"] {
        rack.create_loop(&card(tag, 24)).unwrap();
    }
    let round = whole_round(&rack, &card("one", 24), at(1), "Ina", 8.0);
    let care = Workshop::from(rack.clone());
    let known = care.card("one").unwrap();
    care.change_card(&known, &Card { for_practice: true, ..known.clone() }, at(2)).unwrap();
    let card = care.card("one").unwrap();
    assert!(card.for_practice);
    // Refused with a word, by whichever way it is asked for.
    let refused = care.open_loop("one", at(3)).unwrap_err().to_string();
    assert!(refused.contains(SAID), "{refused}");
    let begun = care.begin(&header(&card, at(3), "Ina"));
    assert!(matches!(begun, Err(CareError::Rack(RackError::ForPractice(_)))), "{begun:?}");
    assert!(matches!(care.release("one", "Ina", "nothing", at(3)), Err(RackError::ForPractice(_))));
    // Sheet, owner's page, tag, rack, saw, history.
    let sheet = care.sheet("one", None).unwrap();
    let says = [
        ("sheet", sheet.text(true)),
        ("sheet's data", sheet.json()),
        ("owner's page", sheet.owner_text(true)),
        ("tag", care.tags(&["one".to_owned()], Filter::InCare, at(4)).unwrap().text(Unit::Mm, true)),
        ("rack", care.rows(at(4)).rows.remove(0).advice()),
        ("history", care.history("one").unwrap().text(Unit::Mm, true)),
    ];
    for (what, text) in says {
        let flat = text.to_lowercase().split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ");
        assert!(flat.contains(SAID), "{what}: {text}");
    }
    assert!(sheet.owner_text(true).starts_with("DO NOT USE: for practice, not for a saw."), "{round:?}");
    // A person reads it, and can change it, line by line.
    let mut out = Vec::new();
    let lines = "one\ncard one\nowner\nTove\npractice\nno\n\none\n";
    plain::run(&care, lines.as_bytes(), &mut out, || at(5), "", false).unwrap();
    let out = String::from_utf8(out).unwrap();
    let [practice, again] =
        ["Tove. No round is begun on it: it is for practice.", "now no. Rounds begun from now on count with it."];
    assert!(out.contains(practice) && out.contains(again), "{out}");
    for said in ["Not begun: for practice, not for a saw. Type card one", "practice, For practice: yes", "is now no."] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    assert!(out.contains("Who files"), "{out}");
    assert!(care.open_loop("one", at(6)).is_ok());
}
