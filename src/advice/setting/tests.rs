use super::*;
use crate::advice::tests::readings::{Bench, header};
use crate::chain::{Limits, Wood};
use crate::round::When;
use crate::units::mm;

/// A 3/8 inch loop of six cutters of this length.
fn worn_to(length: f64, limits: Limits, wood: Wood) -> Bench {
    let mut header = header(24);
    header.spec = header.spec.within(limits);
    header.wood = wood;
    let mut bench = Bench::new(header);
    bench.sound();
    for number in 1..=12 {
        bench.length(number, When::Before, length);
    }
    bench
}

#[test]
fn a_scaled_gap_is_a_proposal_unless_the_maker_names_a_limit() {
    let bench = worn_to(7.0, Limits::default(), Wood::Any);
    assert_eq!(above(&bench.round, Rule::Fixed), None);
    let found = above(&bench.round, Rule::Scaled).unwrap();
    assert!((found.setting.get() - 0.65).abs() < 1e-9 && found.largest.get() > 0.95, "{found:?}");
    let text = question(&bench.round, Rule::Scaled, found);
    assert!(
        text.contains("Above the published 0.65 mm: a proposal, for the bite lost to wear") && text.ends_with('?'),
        "{text}"
    );
    let limits = Limits { largest: Some(mm(1.2)), ..Limits::default() };
    assert_eq!(above(&worn_to(7.0, limits, Wood::Any).round, Rule::Scaled), None);
}

#[test]
fn softwood_is_published_on_0_65_only() {
    let usual = worn_to(9.5, Limits::default(), Wood::SoftwoodNoFrost);
    assert_eq!(above(&usual.round, Rule::Fixed), None);
    let mut narrow = worn_to(9.5, Limits::default(), Wood::SoftwoodNoFrost);
    (narrow.round.header.spec.base_gap, narrow.round.header.spec.softwood_gap) = (mm(0.45), mm(0.60));
    let found = above(&narrow.round, Rule::Fixed).unwrap();
    assert!(
        question(&narrow.round, Rule::Fixed, found)
            .contains("for unfrozen softwood only; no maker's limit is known. Up to 0.60 mm?")
    );
    assert_eq!(above(&narrow.round, Rule::Setting), None);
}
