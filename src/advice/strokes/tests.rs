use proptest::prelude::*;

use super::*;
use crate::advice::tests::readings::Dice;

const U: Millimetres = mm(0.05);

#[test]
fn without_filings_the_profile_speaks_and_is_not_trusted_far() {
    let rate = learn(mm(0.1), &[], &[], U);
    assert!((rate.mean.get() - 0.1).abs() < 1e-12 && rate.filings == 0);
    assert!(rate.high > mm(0.19), "{rate:?}");
}

#[test]
fn a_heavy_hand_is_learned_and_the_interval_narrows() {
    let filings = vec![(3, mm(0.54)); 12];
    let rate = learn(mm(0.1), &filings, &[], U);
    assert!((rate.mean.get() - 0.18).abs() < 0.01, "{rate:?}");
    let more = learn(mm(0.1), &filings, &[(3, mm(0.54)); 12], U);
    assert!((more.mean.get() - 0.18).abs() < 0.005 && more.high < rate.high && more.filings == 24);
}

#[test]
fn a_dozen_filings_of_a_steady_hand_tell_its_stroke_to_a_twentieth() {
    let rate = learn(mm(0.1), &[], &[(3, mm(0.36)); 12], U);
    assert!((rate.mean.get() - 0.12).abs() < 0.002 && rate.u < mm(0.009), "{rate:?}");
}

#[test]
fn this_round_outweighs_the_past_and_a_slip_of_the_key_is_not_learned() {
    let (past, here) = (vec![(4, mm(0.4)); 40], vec![(4, mm(0.8)); 10]);
    let rate = learn(mm(0.1), &past, &here, U);
    assert!(rate.mean > mm(0.15), "{rate:?}");
    assert_eq!(learn(mm(0.1), &past, &[(1, mm(3.0)), (0, mm(0.2)), (3, mm(-1.0))], U), learn(mm(0.1), &past, &[], U));
}

#[test]
fn the_last_tenth_is_taken_stroke_by_stroke() {
    let rate = Rate { mean: mm(0.1), low: mm(0.06), high: mm(0.16), u: mm(0.01), filings: 9 };
    // Four strokes end in the middle of the band, but strokes differ: one time in nine they pass it by 0.05 mm.
    let of = |length: f64, u: f64| advise(mm(length), u * u, mm(8.8), mm(0.1), &rate);
    assert_eq!(of(9.25, 0.0).strokes, 3);
    assert_eq!((of(9.25, 0.05).strokes, of(9.25, 0.05).then_measure), (3, true));
    assert_eq!(
        (of(8.95, 0.0).strokes, of(8.95, 0.0).then_measure),
        (1, false),
        "one stroke surely brings it into the band"
    );
    assert_eq!([of(8.88, 0.05).strokes, of(8.7, 0.05).strokes], [0, 0]);
}

proptest! {
    #[test]
    fn seldom_far_past_the_target(
        length in 8.0..10.0_f64, target in 7.0..10.0_f64,
        filings in prop::collection::vec((1_u32..9, 0.01..1.0_f64), 0..20),
    ) {
        let filings: Vec<(u32, Millimetres)> = filings.into_iter().map(|(strokes, took)| (strokes, mm(took))).collect();
        let rate = learn(mm(0.1), &[], &filings, U);
        prop_assert!(rate.low > mm(0.0) && rate.low <= rate.mean && rate.mean <= rate.high);
        let advice = advise(mm(length), 0.04 * 0.04, mm(target), mm(0.1), &rate);
        let (n, left) = (f64::from(advice.strokes), length - target - rate.mean.get() * f64::from(advice.strokes));
        // At 1.598 standard deviations, one in 18, it is 0.05 mm past.
        let sd = (0.04_f64.powi(2) + spread(n, &rate)).sqrt();
        prop_assert!(advice.strokes <= 1 || left - 1.598 * sd >= -0.0502, "{left} {sd}");
        prop_assert_eq!(advice.strokes == 0, length - target <= 0.1 + 1e-9);
    }
}

/// Files cutter after cutter by the advice, with a hand that takes `hand` mm a stroke, a third more or less from filing to
/// filing and half of it where a light stroke is asked for, and lengths read to 0.05 mm. Gives the mean number of filings a cutter and the share that ends below the target.
fn filed_by_advice(dice: &mut Dice, hand: f64, cutters: u32) -> (f64, f64) {
    let (target, band) = (8.8, 0.1);
    let mut learned: Vec<(u32, Millimetres)> = Vec::new();
    let (mut filings, mut below) = (0_u32, 0_u32);
    for _ in 0..cutters {
        let mut length = 9.1 + 0.2 * dice.share();
        loop {
            let read = length + U.get() * dice.normal();
            let advice = advise(mm(read), U.get().powi(2), mm(target), mm(band), &learn(mm(0.1), &[], &learned, U));
            if advice.strokes == 0 {
                break;
            }
            let light = if advice.light { 0.5 } else { 1.0 };
            let stroke = light * hand * (1.0 + 0.3 * dice.normal()).max(0.1);
            length -= stroke * f64::from(advice.strokes);
            filings += 1;
            learned.push((advice.strokes, mm(read - (length + U.get() * dice.normal()))));
        }
        below += u32::from(length < target - U.get());
    }
    (f64::from(filings) / f64::from(cutters), f64::from(below) / f64::from(cutters))
}

#[test]
fn following_the_advice_seldom_passes_the_target_and_does_not_take_for_ever() {
    let mut dice = Dice(17);
    for hand in [0.06, 0.1, 0.18] {
        let (filings, below) = filed_by_advice(&mut dice, hand, 400);
        // A stroke of 0.18 mm is wider than the band, and lengths are read to 0.05 mm.
        let allowed = if hand > 0.1 { 0.14 } else { 0.08 };
        assert!(below <= allowed, "{hand}: {below} below");
        assert!(filings < 4.0, "{hand}: {filings} filings a cutter");
    }
}

#[test]
fn a_filing_of_one_stroke_tells_less_than_one_of_six() {
    let one = learn(mm(0.1), &[], &[(1, mm(0.3))], U);
    let six = learn(mm(0.1), &[], &[(6, mm(1.8))], U);
    assert!(mm(0.1) < one.mean && one.mean + mm(0.01) < six.mean, "{one:?} {six:?}");
}

#[test]
fn only_this_sharpeners_filings_on_this_side_and_chain_are_learned_from() {
    use crate::advice::tests::readings::Bench;
    use crate::round::Summary;
    let mut bench = Bench::measured(20, &[9.0; 10]);
    let own = |side| Filing { side, strokes: 3, took: mm(0.6) };
    let blank = Summary { filings: vec![own(Side::Left); 5], ..Summary::of(&bench.round) };
    bench.past.rounds = vec![
        blank.clone(),
        Summary { sharpener: "Ben".into(), ..blank.clone() },
        Summary { profile: "point-325".into(), ..blank.clone() },
        Summary { tool: Tool::Grinder, ..blank },
    ];
    bench.past.filings = vec![own(Side::Right); 2];
    let of = |side| rate(&bench.round, &bench.past, side, &bench.skill).filings;
    assert_eq!((of(Side::Left), of(Side::Right)), (5, 2));
}
