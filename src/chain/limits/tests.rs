use super::*;
use crate::chain::Rule;
use crate::chain::profile::built_in;
use crate::chain::{Side, Stage};
use crate::round::Card;
use crate::round::Visit;
use crate::round::card::{Own, Prices};

fn card(own: Own) -> Card {
    Card {
        tag: "a".into(),
        name: "A".into(),
        owner: String::new(),
        saw: String::new(),
        profile: "three-eighths-low".into(),
        links: 52,
        sequence: crate::chain::Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        created: chrono::DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap(),
        own,
        prices: Prices::default(),
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

fn spec(own: Own) -> Spec {
    card(own).spec(built_in::named("three-eighths-low").unwrap().spec())
}

fn close(found: Millimetres, expected: f64) {
    assert!((found.get() - expected).abs() < 1e-9, "{found:?} against {expected}");
}

const WOODS: [Wood; 3] = [Wood::Any, Wood::Hardwood, Wood::SoftwoodNoFrost];

#[test]
fn softwood_is_the_loops_own_gap_and_at_most_0_15_more() {
    let stamped = spec(Own { base_gap: Some(mm(0.45)), ..Own::default() });
    close(stamped.fixed_gap(Wood::Any), 0.45);
    close(stamped.fixed_gap(Wood::SoftwoodNoFrost), 0.60);
    assert!(stamped.is_proposal(Wood::SoftwoodNoFrost, mm(0.60)), "published on 0.65 mm only");
    close(stamped.published_gap(Wood::SoftwoodNoFrost), 0.45);
    let usual = spec(Own::default());
    close(usual.fixed_gap(Wood::SoftwoodNoFrost), 0.80);
    assert!(!usual.is_proposal(Wood::SoftwoodNoFrost, mm(0.80)), "that is published");
    assert!(usual.is_proposal(Wood::Any, mm(0.80)));
    // A profile of one's own that allows 0.20 more is held to 0.15.
    let wide = built_in::named("three-eighths-low")
        .unwrap()
        .to_toml()
        .replace("softwood_gap_mm = { value = 0.8,", "softwood_gap_mm = { value = 0.85,");
    let wide = crate::chain::Profile::parse("wide", &wide).unwrap();
    assert!((wide.get("softwood_gap_mm").unwrap().value - 0.85).abs() < 1e-9);
    close(wide.spec().softwood_gap, 0.80);
}

#[test]
fn a_lower_kickback_chain_is_never_set_above_its_setting() {
    for (stamped, setting) in [(None, 0.65), (Some(mm(0.45)), 0.45)] {
        let own = Own { base_gap: stamped, lower_kickback: LowerKickback::Yes, ..Own::default() };
        let spec = spec(own);
        for wood in WOODS {
            for tenth in 0..=55 {
                let wear = mm(f64::from(tenth) / 10.0);
                for rule in [Rule::Fixed, Rule::Scaled, Rule::Plate, Rule::Setting] {
                    let gap = spec.target_gap(rule, wood, wear);
                    assert!(gap.is_none_or(|gap| gap.get() <= setting + 1e-9), "{rule:?} {wood:?} {wear:?}: {gap:?}");
                }
                // And no other gap is called worth using or due.
                assert!(matches!(spec.stage(wood, spec.new_length - wear), Stage::Fixed | Stage::Retire));
                assert_eq!(spec.rule_at(wood, spec.new_length - wear), Rule::Fixed);
            }
        }
    }
}

#[test]
fn the_makers_largest_gap_caps_every_rule_and_leaves_no_proposal() {
    let spec = spec(Own { largest_gap: Some(mm(0.75)), ..Own::default() });
    close(spec.fixed_gap(Wood::SoftwoodNoFrost), 0.75);
    close(spec.scaled_gap(Wood::Any, mm(5.0)), 0.75);
    assert!(!spec.is_proposal(Wood::Any, mm(0.75)));
    // Below the published setting it caps that too.
    let less = self::spec(Own { largest_gap: Some(mm(0.50)), ..Own::default() });
    close(less.fixed_gap(Wood::Any), 0.50);
    close(less.published_gap(Wood::Any), 0.50);
}

#[test]
fn a_square_corner_keeps_its_angle_in_hardwood() {
    // MSA (French farm and forest workers' insurance), page on sharpening chain saws, 2021.
    for (corner, angle) in [(Corner::Unknown, 25.0), (Corner::Round, 25.0), (Corner::Square, 30.0)] {
        let spec = spec(Own { corner, ..Own::default() });
        assert!((spec.top_plate_for(Wood::Hardwood).get() - angle).abs() < 1e-9, "{corner:?}");
        assert!((spec.top_plate_for(Wood::Any).get() - 30.0).abs() < 1e-9);
    }
}

#[test]
fn an_old_card_reads_unchanged_and_writes_the_same() {
    let old = card(Own { base_gap: Some(mm(0.6)), ..Own::default() });
    let text = toml::to_string(&old).unwrap();
    assert!(!text.contains("largest") && !text.contains("kickback") && !text.contains("corner"), "{text}");
    assert_eq!(toml::from_str::<Card>(&text).unwrap(), old);
    let own = Own { largest_gap: Some(mm(0.7)), lower_kickback: LowerKickback::No, corner: Corner::Square, ..old.own };
    let new = card(own);
    assert_eq!(toml::from_str::<Card>(&toml::to_string(&new).unwrap()).unwrap(), new);
}
