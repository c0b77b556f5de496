use super::*;
use crate::advice::cautions::Caution;
use crate::advice::tests::readings::{Bench, header};
use crate::chain::{Limits, LowerKickback};
use crate::round::{Header, When};
use crate::units::Unit;

/// A loop with cutters of one length and these gaps.
fn with_gaps(length: f64, gaps: &[f64]) -> Bench {
    let mut bench = Bench::measured(40, &vec![length; gaps.len()]);
    for (cutter, gap) in (1..).zip(gaps) {
        bench.gap(cutter, When::Before, *gap);
    }
    bench
}

/// 20 cutters of 8.50 mm whose gaps are the wear-scaled ones, 0.83 mm.
fn scaled() -> Bench {
    let gaps: Vec<f64> = (0..20).map(|i| 0.82 + 0.01 * f64::from(i % 3)).collect();
    with_gaps(8.5, &gaps)
}

#[test]
fn without_a_choice_the_rule_is_the_one_that_the_gaps_fit() {
    let from = |bench: &Bench| bench.round.rule_and_source();
    assert_eq!(from(&scaled()), (Rule::Scaled, RuleFrom::Fits));
    assert_eq!(from(&with_gaps(8.5, &[0.64, 0.65, 0.66, 0.65, 0.66])), (Rule::Fixed, RuleFrom::Fits));
    assert_eq!(from(&with_gaps(8.5, &[0.83; 4])), (Rule::Fixed, RuleFrom::Wear), "too few");
    assert_eq!(from(&with_gaps(8.5, &[1.2; 6])), (Rule::Fixed, RuleFrom::Wear), "none fits");
    let half = with_gaps(8.5, &[0.65, 0.65, 0.65, 0.83, 0.83, 0.83]);
    assert_eq!(from(&half), (Rule::Fixed, RuleFrom::Wear), "two rules are no rule");
    let mut bench = scaled();
    bench.rule(Rule::Fixed);
    assert_eq!(from(&bench), (Rule::Fixed, RuleFrom::Chosen));
}

#[test]
fn gaps_that_fit_the_wear_scaled_rule_are_good_by_it_and_that_is_said() {
    let found = scaled().findings();
    assert!(found.cutters.iter().all(|cutter| cutter.gap.word == GapWord::Good));
    assert!(found.flags.is_empty(), "{:?}", found.flags);
    let said = found.gaps.judged_by().unwrap();
    assert_eq!(said, "No rule was chosen: the gaps are judged by the wear-scaled gap, which 20 of 20 fit.");
    assert_eq!(found.gaps.whole, None);
}

#[test]
fn under_a_rule_they_do_not_fit_one_verdict_names_the_one_they_do() {
    let mut bench = scaled();
    bench.rule(Rule::Fixed);
    let found = bench.findings();
    let whole = found.gaps.whole.unwrap();
    assert_eq!((whole.way, whole.off, whole.of, whole.fits()), (Way::Low, 20, 20, Some(Rule::Scaled)));
    // 0.18 mm over 0.65 mm is 0.18 / tan 10 deg = 1.02 mm of tooth, 15 % of 7 mm, and 4 rounds of 0.3 mm.
    assert_eq!(
        whole.words(Unit::Mm),
        "20 of 20 rakers are TOO LOW for the fixed gap (0.65 mm). 20 of 20 fit the wear-scaled gap (0.83 mm at this wear). \
         Kept to the wear-scaled gap, they cost no steel. To file them right now costs 1.02 mm of each tooth, 15 % of its \
         life. To leave the rakers alone until the teeth have come down that far, about 4 rounds, is an answer too."
    );
    assert_eq!(found.cautions.first(), Some(&Caution::LowLoop(whole)), "it comes before what is said of one raker");
}

#[test]
fn a_fit_excuses_no_gap_above_the_loops_limits() {
    let limits = Limits { lower_kickback: LowerKickback::Yes, ..Limits::default() };
    let mut bench = Bench::new(Header { spec: header(40).spec.within(limits), ..header(40) });
    for cutter in 1..=20 {
        bench.length(cutter, When::Before, 8.5).gap(cutter, When::Before, 0.70);
    }
    assert_eq!(bench.round.fitting_rule(), None, "0.65 mm is the most that this loop may have");
    let found = bench.findings();
    assert!(found.cutters.iter().all(|cutter| cutter.gap.word == GapWord::Low), "proven above 0.65 mm");
    let whole = found.gaps.whole.unwrap();
    assert_eq!(whole.fits(), None);
    assert!(
        whole
            .words(Unit::Mm)
            .ends_with("20 are over the 0.65 mm that this loop may have at most: not to go back on a saw so.")
    );
    assert!(!whole.words(Unit::Mm).contains("is an answer too"), "{whole:?}");
}

#[test]
fn gaps_of_the_fixed_rule_are_high_for_the_scaled_one_and_cost_no_tooth() {
    let mut bench = with_gaps(7.0, &[0.65; 12]);
    bench.rule(Rule::Scaled);
    let whole = bench.findings().gaps.whole.unwrap();
    assert_eq!((whole.way, whole.fits()), (Way::High, Some(Rule::Fixed)));
    assert!(whole.words(Unit::Mm).contains("that costs no tooth"), "{whole:?}");
    bench.rule(Rule::Fixed);
    assert_eq!(bench.findings().gaps.whole, None);
}

#[test]
fn past_the_changeover_the_remedy_names_the_wear_scaled_gap() {
    // 7.50 mm: 2.5 mm worn, past 1.8 mm; the wear-scaled gap is (6 + 2.77) 0.65 / 6 = 0.95 mm.
    let mut bench = with_gaps(7.5, &[0.65, 0.66, 0.64, 0.65, 0.95]);
    bench.rule(Rule::Fixed);
    let flags = bench.findings().flags;
    let lines: Vec<String> = flags.iter().map(|flag| flag.words(Unit::Mm)).collect();
    assert_eq!(lines, ["Cutter 5: raker 0.30 mm TOO LOW: kicks back. Scaled gap 0.95 mm fits it."]);
}

#[test]
fn one_low_raker_among_many_is_no_verdict_on_the_loop() {
    let mut bench = with_gaps(8.5, &[0.65, 0.66, 0.64, 0.65, 0.95]);
    bench.rule(Rule::Fixed);
    assert_eq!(bench.findings().gaps.whole, None);
}

#[test]
fn a_gap_above_the_largest_one_is_never_good() {
    let limits = Limits { largest: Some(mm(0.70)), ..Limits::default() };
    let of = |gap: f64| {
        let mut bench = Bench::new(Header { spec: header(40).spec.within(limits), ..header(40) });
        bench.rule(Rule::Fixed).length(1, When::Before, 9.5).gap(1, When::Before, gap);
        let found = bench.findings();
        (found.cutters[0].gap.word, found.cutters[0].raker.act)
    };
    // Target 0.65 mm, tolerance 0.1 mm, standard uncertainty 0.03 mm: good up to 0.68 mm, where one in a hundred would be too low.
    assert_eq!(of(0.67), (GapWord::Good, Act::Leave));
    assert_eq!(of(0.69), (GapWord::Again, Act::Leave));
    assert_eq!(of(0.71), (GapWord::Again, Act::TooLow));
    assert_eq!(of(0.76), (GapWord::Low, Act::TooLow), "within tolerance of the target, proven above the largest gap");
}

#[test]
fn only_a_gap_proven_above_the_largest_one_keeps_a_loop_off_a_saw() {
    let limits = Limits { largest: Some(mm(0.70)), ..Limits::default() };
    let of = |rule: Option<Rule>, gap: f64| {
        let mut bench = Bench::new(Header { spec: header(40).spec.within(limits), ..header(40) });
        if let Some(rule) = rule {
            bench.rule(rule);
        }
        bench.length(1, When::Before, 9.5).gap(1, When::Before, gap);
        bench.findings()
    };
    let skill = crate::advice::Skill::default();
    let proven = 0.70 + crate::stats::conformity::GUARD * skill.gap_u(1).get();
    for rule in [None, Some(Rule::Fixed), Some(Rule::Scaled)] {
        let stop = of(rule, proven + 0.011);
        assert_eq!(stop.cautions.first(), Some(&Caution::OverLimit(vec![crate::chain::nth(1)], mm(0.70))));
        assert_eq!(stop.status.line(), "DO NOT USE: 1 raker too low, gap over the limit of 0.70 mm");
        assert!(!stop.cautions.iter().any(|caution| matches!(caution, Caution::LowRakers(_))), "{:?}", stop.cautions);
        let open = of(rule, proven - 0.011);
        assert!(!open.cautions.iter().any(Caution::is_stop), "{:?}", open.cautions);
    }
    // A tooth filed since has less gap than was measured: nothing is proven.
    let mut bench = Bench::new(Header { spec: header(40).spec.within(limits), ..header(40) });
    bench.length(1, When::Before, 9.5).gap(1, When::Before, 0.95).target(9.0).length(1, When::After, 9.0);
    assert!(!bench.findings().status.is_stop(), "{:?}", bench.findings().cautions);
}

#[test]
fn without_a_length_a_gap_above_the_largest_one_is_seen_all_the_same() {
    let mut bench = Bench::new(header(40));
    bench.rule(Rule::Scaled).gap(1, When::Before, 1.9);
    assert_eq!(bench.findings().status.line(), "DO NOT USE: 1 raker too low, gap over the limit of 1.60 mm");
}

#[test]
fn the_verdict_on_a_loop_for_softwood_says_what_its_gap_is_for() {
    let mut bench = Bench::new(Header { wood: Wood::SoftwoodNoFrost, ..header(40) });
    bench.rule(Rule::Fixed);
    for cutter in 1..=20 {
        bench.length(cutter, When::Before, 9.5).gap(cutter, When::Before, 1.1);
    }
    let words = bench.findings().gaps.whole.unwrap().words(Unit::Mm);
    assert!(words.contains("TOO LOW for the fixed gap (0.80 mm, unfrozen softwood only)."), "{words}");
}
