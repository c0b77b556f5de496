use super::*;
use crate::advice::tests::readings::{Bench, spec};
use crate::units::Unit;

fn findings(lengths: &[f64]) -> crate::advice::Findings {
    Bench::measured(72, lengths).findings()
}

#[test]
fn the_statement_reads_like_a_person_said_it() {
    // 3/8 inch: worth from 1.9 mm worn on.
    let worth = spec().worth_wear(Wood::Any).get();
    let mut lengths = [10.0 - worth - 0.9; 36];
    for length in lengths.iter_mut().take(6) {
        *length = 10.0 - worth + 0.1;
    }
    let found = findings(&lengths);
    let expected = format!(
        "Past the changeover: 30 of 36 cutters are worn more than {worth:.2} mm. \
         A wear-scaled gap is worth using (probability over 99 %, new length by the profile)."
    );
    assert_eq!(found.changeover.words(Unit::Mm), expected);
    assert_eq!((found.changeover.past_worth, found.changeover.stage), (30, Some(Stage::Worth)));
    assert_eq!(found.changeover.rounds_away, Some(0));
    assert_eq!(found.rule.rule, Rule::Scaled);
}

#[test]
fn before_the_changeover_it_says_how_many_rounds_away() {
    let found = findings(&[9.5; 36]);
    let report = &found.changeover;
    assert_eq!((report.stage, report.past_worth, found.rule.rule), (Some(Stage::Fixed), 0, Rule::Fixed));
    let away = ((report.worth.get() - 0.5) / 0.3).ceil();
    assert_eq!(f64::from(report.rounds_away.unwrap()), away);
    let statement = report.words(Unit::Mm);
    assert!(statement.starts_with("Before the changeover: 0 of 36 cutters"), "{statement}");
    let why = found.rule.words(Unit::Mm);
    assert!(why.starts_with("A fixed gap (0.65 mm) still gives "), "{why}");
}

#[test]
fn on_the_edge_the_probability_is_a_half_and_fewer_readings_are_less_sure() {
    let worth = spec().worth_wear(Wood::Any).get();
    let at = findings(&[10.0 - worth; 36]).changeover.probability.unwrap();
    assert!((at - 0.5).abs() < 1e-6, "{at}");
    let spread = |n: usize| -> Vec<f64> { (0..n).map(|i| 10.0 - worth - 0.05 + 0.1 * (i % 3) as f64 - 0.1).collect() };
    let (few, all) = (findings(&spread(6)), findings(&spread(36)));
    let width = |f: &crate::advice::Findings| (f.changeover.high.unwrap() - f.changeover.low.unwrap()).get();
    assert!(width(&few) > width(&all));
    assert!(few.changeover.probability.unwrap() < all.changeover.probability.unwrap());
}

#[test]
fn one_cutter_at_its_mark_retires_the_loop() {
    let mut lengths = [8.0; 36];
    lengths[11] = 3.0;
    let mut bench = Bench::measured(72, &lengths);
    let once = bench.findings();
    assert_eq!((once.changeover.stage, once.changeover.spent()), (Some(Stage::Retire), vec![]));
    let asked = "At the witness mark by one reading: cutter 12. Measure again before the loop is retired.";
    assert_eq!(once.changeover.words(Unit::Mm), asked);
    bench.repeat(12, crate::round::When::Before, 3.0);
    let found = bench.findings();
    assert_eq!(found.changeover.stage, Some(Stage::Retire));
    assert_eq!(found.changeover.words(Unit::Mm), "Retire the loop: cutter 12 is at its witness mark.");
    assert!(found.cautions.contains(&crate::advice::Caution::AtMark(vec![crate::chain::nth(12)])));
}

#[test]
fn nothing_measured_is_said_and_not_guessed() {
    let found = findings(&[]);
    assert_eq!((found.changeover.stage, found.changeover.probability), (None, None));
    assert_eq!(found.rule.rule, Rule::Fixed);
}

#[test]
fn the_probability_of_a_cutter_follows_its_reading() {
    let worth = spec().worth_wear(Wood::Any).get();
    let found = findings(&[10.0 - worth, 10.0 - worth - 0.2, 10.0 - worth + 0.2]);
    let p: Vec<f64> = found.cutters[..3].iter().map(|c| c.stage.unwrap().past_worth).collect();
    // One reading (0.05 mm), the new length (0.2 mm) and the reach (0.4 mm, a third of it per mm) are uncertain; tables of the
    // normal distribution give the rest.
    let u = 0.05_f64.hypot(spec().worth_u(Wood::Any).get());
    assert!((0.2..0.3).contains(&u), "{u}");
    assert!((p[0] - 0.5).abs() < 1e-6 && (p[1] - normal_cdf(0.2 / u)).abs() < 1e-6, "{p:?}");
    assert!((p[1] + p[2] - 1.0).abs() < 1e-6, "{p:?}");
}

#[test]
fn a_loop_with_figures_of_its_own_is_surer() {
    let worth = spec().worth_wear(Wood::Any).get();
    let profile = Bench::measured(72, &[10.0 - worth - 0.2; 36]);
    let mut own = profile.round.header.clone();
    own.spec.known.new_length.u = mm(0.05);
    own.spec.known.reach.u = mm(0.1);
    let mut bench = Bench::new(own);
    bench.sound();
    for number in 1..=36 {
        bench.length(number, crate::round::When::Before, 10.0 - worth - 0.2);
    }
    let p = |bench: &Bench| bench.findings().changeover.probability.unwrap();
    assert!(p(&bench) > 0.98 && p(&profile) < 0.9, "{} {}", p(&bench), p(&profile));
}

#[test]
fn the_interval_of_the_median_keeps_what_caliper_and_new_length_are_off_by() {
    let report = findings(&[8.5; 36]).changeover;
    let scatter = 0.05_f64.powi(2) - 0.012_f64.powi(2);
    let half = 1.644_853_627 * (std::f64::consts::FRAC_PI_2 * scatter / 36.0).sqrt().hypot(0.012).hypot(0.2);
    assert!(
        (report.high.unwrap().get() - 1.5 - half).abs() < 1e-9 && (1.5 - report.low.unwrap().get() - half).abs() < 1e-9
    );
}

#[test]
fn a_loop_that_shows_no_wear_is_not_given_rounds_to_its_changeover() {
    let bench = Bench::measured(72, &[9.9; 36]);
    let lengths = crate::advice::evenness::lengths(&bench.round);
    let flat = Wear::learn(mm(0.3), &[0.0, 0.01, -0.01, 0.0, 0.0, 0.01].map(mm));
    let report = of_loop(&bench.round, &lengths, &flat, &bench.skill);
    assert_eq!(report.rounds_away, None);
    let statement = report.words(Unit::Mm);
    assert!(
        statement.ends_with("The fixed gap still serves (probability over 99 %, new length by the profile)."),
        "{statement}"
    );
}

#[test]
fn nearing_the_mark_is_warned_of_from_half_a_millimetre_above_it() {
    let warned = |length: f64| {
        let mut lengths = [8.0; 10];
        lengths[3] = length;
        findings(&lengths)
            .cautions
            .iter()
            .map(|caution| caution.words(Unit::Mm))
            .find(|line| line.contains("witness mark"))
    };
    assert_eq!(warned(3.5).unwrap(), "Within 0.50 mm of the witness mark: cutter 4.");
    assert_eq!(warned(3.6), None);
}
