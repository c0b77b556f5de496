use std::path::Path;

use crate::advice::{Context, Findings, Skill, promised, status};
use crate::record::Rack;
use crate::round::card::Prices;
use crate::round::{Past, Summary, last_cutters};

#[test]
fn what_is_kept_is_what_a_sheet_says() {
    let rack = Rack::open(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop")).unwrap();
    let (skill, prices) = (Skill::default(), Prices::default());
    let mut promises = 0;
    for tag in rack.taken_tags() {
        let mut past = Past::default();
        for path in rack.rounds(&tag).unwrap() {
            let round = rack.read_round(&path).unwrap();
            let ctx = Context { round: &round, past: &past, skill: &skill, prices: &prices, tension: None };
            let found = Findings::of(&ctx);
            assert_eq!(status(&ctx), found.status, "{}", path.display());
            assert_eq!(promised(&ctx), found.promised(&round), "{}", path.display());
            promises += usize::from(found.promised(&round).is_some());
            past.rounds.push(Summary::of(&round));
            past.last = last_cutters(&round);
        }
    }
    assert!(promises > 0);
}
