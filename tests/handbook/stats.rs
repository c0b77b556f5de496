//! The arithmetic of readings against handbooks, standards and other programs.
//!
//! The data and their sources are in `tests/data/`. "Certified" and "published" values are quoted from the
//! source named; "computed" ones come from the program named beside them (`SciPy` 1.17.1, statsmodels 0.15.0,
//! R 4.2.2). "From memory" marks a published value that was recalled, not looked up.
#![allow(clippy::unreadable_literal, reason = "reference values are easier to compare as their source prints them")]

use std::path::Path;

use evenbite::advice::repeatability::categories;
use evenbite::stats::compare::{against_margin, welch};
use evenbite::stats::conformity::{GUARD, Limits, Verdict};
use evenbite::stats::crossed::Squares;
use evenbite::stats::outlier::{critical, generalized_esd, grubbs_critical};
use evenbite::stats::quantile::{
    chi_squared_quantile, normal_cdf, normal_cdf_quick, normal_quantile, t_cdf, t_quantile,
};
use evenbite::stats::summary::{Summary, median, pooled_sd, quantile};
use evenbite::stats::theil_sen::theil_sen;
use evenbite::stats::{Interval, StatsError};

/// One column of a table, as text.
fn texts(file: &str, column: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(file);
    let mut table = csv::Reader::from_path(path).unwrap();
    let at = table.headers().unwrap().iter().position(|name| name == column).unwrap();
    table.records().map(|row| row.unwrap()[at].to_owned()).collect()
}

fn column(file: &str, name: &str) -> Vec<f64> {
    texts(file, name).iter().map(|text| text.parse().unwrap()).collect()
}

#[track_caller]
fn near(got: f64, expected: f64, relative: f64) {
    within(got, expected, relative * expected.abs());
}

#[track_caller]
fn within(got: f64, expected: f64, difference: f64) {
    assert!((got - expected).abs() <= difference, "{got:?} is not {expected:?} within {difference:e}");
}

#[track_caller]
fn interval(got: Interval, low: f64, high: f64, relative: f64) {
    near(got.low, low, relative);
    near(got.high, high, relative);
}

/// NIST `StRD`, certified.
#[test]
fn mean_and_spread_are_the_certified_ones() {
    for (file, mean, sd, relative) in [
        ("numacc1.csv", 10000002.0, 1.0, 0.0),
        ("mavro.csv", 2.00185600000000, 0.000429123454003053, 1e-12),
        ("michelso.csv", 299.852400000000, 0.0790105478190518, 1e-12),
    ] {
        let summary = Summary::of(&column(file, "y")).unwrap();
        near(summary.mean, mean, 1e-15);
        near(summary.sd, sd, relative);
    }
}

/// NIST `StRD` `NumAcc4`, generated as its description says; the values themselves are inexact in binary, hence 1e-8.
#[test]
fn a_large_offset_costs_no_digits_of_the_spread() {
    let centre = 10000000.2;
    let pairs = (0..500).flat_map(|_| [centre - 0.1, centre + 0.1]);
    let summary = Summary::of(&std::iter::once(centre).chain(pairs).collect::<Vec<_>>()).unwrap();
    assert_eq!(summary.n, 1001);
    near(summary.mean, centre, 1e-15);
    near(summary.sd, 0.1, 1e-8);
}

/// Computed: median and type 7 quartiles with `SciPy` and `NumPy` 2.4.6.
#[test]
fn robust_figures_agree_with_other_programs() {
    for (file, middle, lower, upper) in [
        ("rosner.csv", 2.095, 1.565, 2.835),
        ("mavro.csv", 2.0018, 2.0015, 2.0021),
        ("uranium.csv", 201.37, 200.025, 202.0075),
    ] {
        let y = column(file, "y");
        near(median(&y).unwrap(), middle, 1e-15);
        near(quantile(&y, 0.25).unwrap(), lower, 1e-15);
        near(quantile(&y, 0.75).unwrap(), upper, 1e-15);
    }
}

/// e-Handbook 1.3.5.2, published limits (second copy); the inputs are the rounded ones printed there.
#[test]
fn confidence_limits_of_a_mean() {
    let mean = Summary { n: 195, mean: 9.261460, sd: 0.022789 }.mean_interval(0.95).unwrap();
    within(mean.interval.low, 9.258242, 1.1e-6);
    within(mean.interval.high, 9.264679, 1.1e-6);
}

/// Gear diameters of the e-Handbook (100 values, summarised), interval computed with `SciPy`.
#[test]
fn confidence_limits_of_a_spread() {
    let gears = Summary { n: 100, mean: 0.99764, sd: 0.006278904877814795 };
    interval(pooled_sd(&[gears]).unwrap().interval(0.95).unwrap(), 0.005512921464361144, 0.007294048426906143, 1e-9);
}

/// e-Handbook 2.4.5, level-1 standard deviation; computed with `NumPy`, the published value was not seen.
#[test]
fn spreads_of_several_groups_pool() {
    let df = column("resistivity.csv", "df");
    let groups: Vec<Summary> = column("resistivity.csv", "stddev")
        .into_iter()
        .zip(&df)
        .map(|(sd, df)| Summary { n: 1 + (0..99).filter(|i| f64::from(*i) < *df).count(), mean: 96.0, sd })
        .collect();
    let pooled = pooled_sd(&groups).unwrap();
    near(pooled.sd, 0.0787143517197891, 1e-13);
    within(pooled.df, 60.0, 0.0);
}

/// The same nested study, levels 2 and 3 of e-Handbook 2.4.5: from day to day within a run, and from run to run. Computed with
/// `NumPy`, the published values were not seen.
#[test]
fn a_nested_study_has_a_spread_a_level() {
    let (run, average) = (column("resistivity.csv", "run"), column("resistivity.csv", "average"));
    let of = |wanted: f64| -> Vec<f64> {
        run.iter().zip(&average).filter(|(run, _)| (**run - wanted).abs() < 0.5).map(|(_, average)| *average).collect()
    };
    let runs = [of(1.0), of(2.0)].map(|days| Summary::of(&days).unwrap());
    near(runs[0].sd, 0.0272793450556763, 1e-9);
    near(runs[1].sd, 0.027563067076557198, 1e-9);
    near(pooled_sd(&runs).unwrap().sd, 0.02742157301590704, 1e-9);
    let means = Summary::of(&runs.map(|run| run.mean)).unwrap();
    near(means.sd, 0.028849956672414242, 1e-9);
    // Days as repeated readings of two parts, the runs: too close to each other to be told apart as two kinds.
    let study = evenbite::advice::repeatability::study(&[of(1.0), of(2.0)], 0.2).unwrap();
    near(study.sd, 0.02742157301590704, 1e-9);
    near(study.part_sd, (0.028849956672414242_f64.powi(2) - 0.02742157301590704_f64.powi(2) / 6.0).sqrt(), 1e-9);
    assert_eq!(study.categories, 1);
}

/// The worked example of the automotive manual on measurement system analysis (4th edition), second hand: 3 people, 10 parts, 3
/// readings each; its sums of squares, and the standard deviations that it publishes after pooling the interaction.
#[test]
fn a_crossed_study_agrees_with_a_published_one() {
    let squares = Squares { people: 3.16726, parts: 88.36193, both: 0.35898, error: 2.75893, of: (3, 10, 3) };
    let found = squares.study().unwrap();
    for (ours, theirs) in [
        (found.repeat, 0.199_933),
        (found.reproduce, 0.226_838),
        (found.together, 0.302_373),
        (found.part, 1.042_327),
        (found.total, 1.085),
    ] {
        assert!((ours - theirs).abs() < 5e-4, "{ours} against {theirs}");
    }
    near(found.interaction_p.unwrap(), 0.974_106_404_309_062_9, 1e-4);
    assert_eq!(categories(found.part, found.together), 4);
}

/// The sums of squares by their other formula, from totals: sums over cells, rows and columns less the correction term.
#[test]
fn sums_of_squares_agree_with_those_from_totals() {
    let readings: Vec<Vec<Vec<f64>>> = (0..2)
        .map(|person| {
            let read = |part: usize, time: usize| {
                8.0 + 0.1 * part as f64 + 0.05 * person as f64 + 0.01 * ((part * 3 + time * 5 + person * 7) % 4) as f64
            };
            (0..6).map(|part| (0..3).map(|time| read(part, time)).collect()).collect()
        })
        .collect();
    let found = Squares::of(&readings).unwrap();
    let sum = |values: &mut dyn Iterator<Item = f64>| values.sum::<f64>();
    let grand = sum(&mut readings.iter().flatten().flatten().copied());
    let correction = grand * grand / 36.0;
    let people: f64 = readings.iter().map(|own| sum(&mut own.iter().flatten().copied()).powi(2) / 18.0).sum();
    let part = |at: usize| sum(&mut readings.iter().flat_map(|own| own[at].iter().copied())).powi(2) / 6.0;
    let parts: f64 = (0..6).map(part).sum();
    let cells: f64 = readings.iter().flatten().map(|cell| sum(&mut cell.iter().copied()).powi(2) / 3.0).sum();
    let all: f64 = readings.iter().flatten().flatten().map(|value| value * value).sum();
    near(found.people, people - correction, 1e-7);
    near(found.parts, parts - correction, 1e-9);
    near(found.both, cells - people - parts + correction, 1e-6);
    near(found.error, all - cells, 1e-7);
}

/// Computed with `scipy.stats.theilslopes` at 0.95 (0.9 for the last).
#[test]
fn theil_sen_lines_agree_with_scipy() {
    let line = theil_sen(&column("norris.csv", "x"), &column("norris.csv", "y"), 0.95).unwrap();
    near(line.slope, 1.0021968365553604, 1e-12);
    near(line.intercept, -0.0640158172232077, 1e-10);
    interval(line.interval, 1.0011153245594469, 1.0030534351145037, 1e-12);

    let line = theil_sen(&column("gum_h3.csv", "t_C"), &column("gum_h3.csv", "b_C"), 0.95).unwrap();
    near(line.slope, 0.002010050251256281, 1e-12);
    near(line.intercept, -0.16903819095477388 - 20.0 * 0.002010050251256281, 1e-12);
    within(line.interval.low, 0.0, 1e-15);
    near(line.interval.high, 0.00401337792642141, 1e-12);

    // Many ties in y, as readings with two decimals have.
    let order: Vec<f64> = (0..10).map(f64::from).collect();
    let lengths = [8.9, 8.85, 8.9, 8.8, 8.85, 8.8, 8.75, 8.8, 8.75, 8.7];
    let line = theil_sen(&order, &lengths, 0.95).unwrap();
    near(line.slope, -0.02, 1e-12);
    near(line.intercept, 8.89, 1e-12);
    interval(line.interval, -0.03, -0.0125, 1e-12);

    // Ties in x, too few points for the level: the ends are the extreme slopes.
    let line = theil_sen(&[0.0, 0.0, 1.0, 2.0], &[1.0, 2.0, 2.0, 5.0], 0.9).unwrap();
    near(line.slope, 1.5, 1e-15);
    near(line.intercept, 1.25, 1e-15);
    assert_eq!(line.interval, Interval { low: 0.0, high: 3.0 });
}

/// e-Handbook 1.3.5.17.1: published 2.4687 (cut, not rounded) and 2.032 one-sided at 5 %; the rest computed
/// with `SciPy`.
#[test]
fn grubbs_test_of_the_uranium_data() {
    let y = column("uranium.csv", "y");
    let esd = generalized_esd(&y, 1, 0.05, 0.0).unwrap();
    within(esd.rows[0].r, 2.4687, 1e-4);
    near(esd.rows[0].r, 2.46876461121245, 1e-12);
    near(esd.rows[0].lambda, 2.1266450871954667, 1e-9);
    assert_eq!(esd.indices().collect::<Vec<_>>(), [7]);
    let one_sided = critical(y.len(), 1.0 - 0.05 / y.len() as f64).unwrap();
    within(one_sided, 2.032, 5e-4);
    near(one_sided, 2.031652001549949, 1e-9);
}

/// Two-sided critical values at 5 %, computed with `SciPy`.
#[test]
fn grubbs_critical_values() {
    for (n, value) in
        [(10, 2.289954), (20, 2.708246), (30, 2.908473), (40, 3.036097), (54, 3.158794), (60, 3.199662), (80, 3.306121)]
    {
        within(grubbs_critical(n, 0.05).unwrap(), value, 6e-7);
    }
}

/// e-Handbook 1.3.5.17.3, published table, which cuts after three decimals; three outliers. The removal order
/// was computed with `NumPy`.
#[test]
fn generalized_esd_of_the_rosner_data() {
    let y = column("rosner.csv", "y");
    let esd = generalized_esd(&y, 10, 0.05, 0.0).unwrap();
    let published = [
        (3.118, 3.158, 6.01),
        (2.942, 3.151, 5.42),
        (3.179, 3.143, 5.34),
        (2.810, 3.136, 4.64),
        (2.815, 3.128, -0.25),
        (2.848, 3.120, 4.30),
        (2.279, 3.111, 3.68),
        (2.310, 3.103, 3.59),
        (2.101, 3.094, 0.68),
        (2.067, 3.085, 3.30),
    ];
    assert_eq!(esd.rows.len(), published.len());
    for (row, (r, lambda, value)) in esd.rows.iter().zip(published) {
        within(row.r, r, 1e-3);
        within(row.lambda, lambda, 1e-3);
        within(y[row.index], value, 0.0);
    }
    near(esd.rows[0].r, 3.118906, 1e-6);
    near(esd.rows[9].lambda, 3.085425, 1e-6);
    // The first two steps do not exceed their critical values: the largest step that does decides.
    assert!(esd.rows[0].r < esd.rows[0].lambda && esd.rows[1].r < esd.rows[1].lambda);
    assert_eq!(esd.indices().map(|i| y[i]).collect::<Vec<_>>(), [6.01, 5.42, 5.34]);
}

/// ISO 16269-4:2010, 4.3.2 (second copy): same statistic, other critical values, same outliers.
#[test]
fn the_standard_on_outliers_differs_in_its_critical_values_only() {
    let y = column("iso16269_4.csv", "y");
    let esd = generalized_esd(&y, 3, 0.05, 0.0).unwrap();
    let published = [(3.6559, 2.7058), (3.2634, 2.6785), (2.1761, 2.6492)];
    let ours = [2.7082, 2.6809, 2.6516];
    for (i, (row, (r, of_standard))) in esd.rows.iter().zip(published).enumerate() {
        let left = y.len() - i;
        within(row.r, r, 5.1e-5);
        within(critical(left, (1.0 - 0.05_f64 / 2.0).powf(1.0 / left as f64)).unwrap(), of_standard, 5.1e-5);
        within(row.lambda, ours[i], 5.1e-5);
    }
    assert_eq!(esd.indices().map(|i| y[i]).collect::<Vec<_>>(), [12.60, 5.80]);
}

#[test]
fn values_without_spread_have_no_outliers_and_one_step_of_the_readings_is_none() {
    let equal = generalized_esd(&[0.1; 9], 3, 0.05, 0.0).unwrap();
    assert!(equal.rows.is_empty() && equal.outliers == 0);

    let one_off = [0.1, 0.1, 0.1, 0.1, 1.3, 0.1, 0.1, 0.1, 0.1];
    let esd = generalized_esd(&one_off, 3, 0.05, 0.0).unwrap();
    assert_eq!((esd.rows.len(), esd.indices().collect::<Vec<_>>()), (1, vec![4]));

    let one_step = one_off.map(|v| if v > 1.0 { 0.11 } else { v });
    assert_eq!(generalized_esd(&one_step, 3, 0.05, 0.0).unwrap().outliers, 1);
    assert_eq!(generalized_esd(&one_step, 3, 0.05, 0.0101).unwrap().outliers, 0);
}

/// e-Handbook 7.3.1 (second copy): published means, deviations, t 2.2694, 15.5 degrees; the rest computed with `SciPy` and R.
#[test]
fn welch_comparison_of_the_assembly_times() {
    let (process, minutes) = (texts("assembly.csv", "process"), column("assembly.csv", "minutes"));
    let of = |name: &str| {
        let some: Vec<f64> = process.iter().zip(&minutes).filter(|(p, _)| *p == name).map(|(_, m)| *m).collect();
        Summary::of(&some).unwrap()
    };
    let (old, new) = (of("old"), of("new"));
    within(old.mean, 36.0909, 5e-5);
    within(new.mean, 32.2222, 5e-5);
    within(old.sd, 4.9082, 5e-5);
    within(new.sd, 2.5386, 5e-5);
    let difference = welch(&old, &new, 0.95).unwrap();
    within(difference.t, 2.2694, 5e-5);
    near(difference.df, 15.5325143535479, 1e-12);
    near(difference.p_two_sided, 0.03787947613890899, 1e-9);
    interval(difference.estimate.interval, 0.24594346796958488, 7.491430269404159, 1e-8);

    let verdict = |margin| against_margin(difference.estimate.interval, margin).unwrap();
    assert_eq!(verdict(8.0), Verdict::Inside);
    assert_eq!(verdict(7.0), Verdict::Undecided);
    assert_eq!(verdict(0.2), Verdict::Above);
    let turned = welch(&new, &old, 0.95).unwrap();
    assert_eq!(against_margin(turned.estimate.interval, 0.2), Ok(Verdict::Below));
    assert!(against_margin(turned.estimate.interval, -0.2).is_err());
}

/// JCGM 106 examples, published 0.66 and 0.92 from memory; unrounded values computed with `SciPy`.
#[test]
fn probability_of_conformity() {
    let oil = Limits::between(12.5, 16.3).unwrap().probability(13.6, 1.8).unwrap();
    within(oil, 0.66, 5e-3);
    within(oil, 0.6626297864953079, 1e-9);
    let zener = Limits::between(-9.0, -5.40).unwrap().probability(-5.47, 0.05).unwrap();
    within(zener, 0.92, 5e-3);
    within(zener, 0.9192433407662273, 1e-9);
    // Far above both limits the probability is small, not lost.
    let far = Limits::between(0.0, 1.0).unwrap().probability(9.0, 1.0).unwrap();
    near(far, 6.219831985865787e-16, 1e-9);
    let exact = Limits::between(6.0, 9.0).unwrap();
    assert_eq!((exact.probability(6.0, 0.0), exact.probability(5.99, 0.0)), (Ok(1.0), Ok(0.0)));
}

/// Own figures for the decision rule of ISO 14253-1 (from memory), probabilities computed with `SciPy`.
#[test]
fn a_verdict_needs_the_guard_band() {
    near(GUARD, normal_quantile(0.95).unwrap(), 1e-15);
    let limit = Limits::between(6.0, 9.0).unwrap();
    for (y, probability, verdict) in [
        (6.033, 0.95053, Verdict::Inside),
        (6.000, 0.5, Verdict::Undecided),
        (5.970, 0.06681, Verdict::Undecided),
        (5.967, 0.04947, Verdict::Below),
    ] {
        assert_eq!(limit.decide(y, 0.02), Ok(verdict), "{y}");
        within(limit.probability(y, 0.02).unwrap(), probability, 5.1e-6);
    }
    // Limits closer together than two guard bands can never be proven kept.
    let narrow = Limits::between(-0.03, 0.03).unwrap();
    assert_eq!(narrow.decide(0.0, 0.02), Ok(Verdict::Undecided));
    assert_eq!(narrow.decide(0.07, 0.02), Ok(Verdict::Above));
}

/// Computed with `SciPy`, which agrees with 40-digit arithmetic (mpmath 1.4.1) far below these tolerances.
#[test]
fn quantiles_to_nine_digits() {
    for (df, value) in [
        (1.0, 12.706204736174694),
        (2.0, 4.302652729749462),
        (3.0, 3.1824463052837078),
        (4.0, 2.7764451051977934),
        (5.0, 2.5705818356363146),
        (6.0, 2.4469118511449786),
        (7.0, 2.364624251592784),
        (8.0, 2.306004135204166),
        (9.0, 2.262157162798205),
        (10.0, 2.228138851986274),
        (15.0, 2.131449545559776),
        (16.0, 2.1199052992212546),
        (20.0, 2.085963447265864),
        (30.0, 2.0422724563012378),
        (60.0, 2.0002978220142604),
        (100.0, 1.9839715185235518),
        (f64::INFINITY, 1.959963984540054),
    ] {
        near(t_quantile(0.975, df).unwrap(), value, 1e-9);
        near(t_cdf(value, df).unwrap(), 0.975, 1e-9);
    }
    for (p, df, value) in [
        (0.025, 5.0, 0.8312116134866625),
        (0.975, 5.0, 12.832501994030027),
        (0.025, 29.0, 16.04707169536489),
        (0.975, 29.0, 45.72228580417452),
        (0.01, 1.0, 0.00015708785790970184),
    ] {
        near(chi_squared_quantile(p, df).unwrap(), value, 1e-9);
    }
    for (p, value) in [(0.95, 1.6448536269514722), (0.975, 1.959963984540054), (0.995, 2.5758293035489004)] {
        near(normal_quantile(p).unwrap(), value, 1e-14);
        near(normal_cdf(value), p, 1e-9);
    }
}

/// The quick form is that of the library.
#[test]
fn the_quick_normal_distribution_keeps_within_its_bound() {
    for n in -900..=900 {
        let x = f64::from(n) / 101.0;
        within(normal_cdf_quick(x), normal_cdf(x), 1e-7);
    }
    within(normal_cdf_quick(f64::NEG_INFINITY), 0.0, 0.0);
    within(normal_cdf_quick(f64::INFINITY), 1.0, 0.0);
}

/// Computed with `SciPy`: the edges of what the quantiles promise.
#[test]
fn quantiles_at_their_edges() {
    near(t_quantile(1e-5, 1.0).unwrap(), -31830.98860790709, 1e-8);
    near(t_quantile(1e-5, 2.0).unwrap(), -223.60344363403718, 1e-8);
    near(t_quantile(0.975, 9999.0).unwrap(), 1.960201263621357, 1e-9);
    near(t_quantile(0.975, 1e4).unwrap(), 1.960201239890626, 1e-9);
    near(t_quantile(1e-5, 1e4).unwrap(), -4.266937665767679, 1e-9);
    near(t_quantile(0.975, 1e6).unwrap(), 1.959966356814107, 1e-9);
    within(t_cdf(-3.0, 1e6).unwrap(), 0.0013499312707109, 1e-9);
    within(t_cdf(-3.0, 1e12).unwrap(), 0.0013498980316633353, 1e-9);
    within(chi_squared_quantile(1e-3, 1.0).unwrap(), 1.5707971492624921e-06, 1e-9);
    within(chi_squared_quantile(1e-5, 1.0).unwrap(), 1.5707963268771464e-10, 1e-9);
    near(chi_squared_quantile(1e-5, 200.0).unwrap(), 125.86774955571128, 1e-8);
    for p in [0.0, 1e-6, 1.0, 1.5, -0.5, f64::NAN] {
        assert!(normal_quantile(p).is_err() && t_quantile(p, 5.0).is_err() && chi_squared_quantile(p, 5.0).is_err());
    }
    for df in [0.0, -1.0, f64::NAN] {
        assert!(t_quantile(0.9, df).is_err() && t_cdf(0.0, df).is_err() && chi_squared_quantile(0.9, df).is_err());
    }
}

#[test]
fn what_cannot_be_computed_says_why() {
    let x = [1.0, 2.0, 3.0];
    assert_eq!(Summary::of(&[1.0]), Err(StatsError::TooFew { needed: 2, got: 1 }));
    assert_eq!(median(&[]), Err(StatsError::TooFew { needed: 1, got: 0 }));
    assert_eq!(median(&[1.0, f64::NAN]), Err(StatsError::NotFinite));
    assert_eq!(Summary::of(&[1e300, -1e300]), Err(StatsError::NotFinite));
    assert_eq!(quantile(&x, 1.1), Err(StatsError::Probability { p: 1.1 }));
    assert_eq!(theil_sen(&x, &[1.0], 0.95), Err(StatsError::Unpaired { x: 3, y: 1 }));
    assert_eq!(theil_sen(&[2.0; 3], &x, 0.95), Err(StatsError::NoSpread));
    assert_eq!(generalized_esd(&x[..2], 1, 0.05, 0.0), Err(StatsError::TooFew { needed: 3, got: 2 }));
    assert_eq!(pooled_sd(&[]), Err(StatsError::TooFew { needed: 2, got: 0 }));
    let still = Summary { n: 4, mean: 8.0, sd: 0.0 };
    assert_eq!(welch(&still, &still, 0.95), Err(StatsError::NoSpread));
    assert_eq!(welch(&Summary { n: 1, ..still }, &still, 0.95), Err(StatsError::TooFew { needed: 2, got: 1 }));
    assert!(Limits::between(2.0, 1.0).is_err() && Limits::between(2.0, f64::NAN).is_err());
    assert!(Limits::between(0.0, 1.0).unwrap().decide(0.5, -0.1).is_err());
}
