use std::collections::BTreeSet;

use super::*;
use crate::advice::rotation::{Runner, rotation};
use crate::advice::tests::readings::{Bench, Dice, header};
use crate::advice::{Findings, Skill, say};
use crate::chain::{Plate, Wood, nth};
use crate::round::card::Prices;
use crate::round::{Closing, Event, Header, Phase, Summary, Tool, When};
use crate::saw::Grade;
use crate::units::{Unit, deg, mm};

/// Every line reckoned again, from its own numbers, to what it says; and every number that is a line's is that line's.
fn reckon_again(reckoning: &Reckoning, unit: Unit) {
    assert!((1..=MOST_LINES).contains(&reckoning.lines.len()), "{reckoning:?}");
    for (at, line) in reckoning.lines.iter().enumerate() {
        for operand in [Some(&line.a), line.b.as_ref()].into_iter().flatten() {
            if let Source::Line(from) = operand.source {
                assert!(from < at && reckoning.lines[from].result == operand.value, "{reckoning:#?}");
            }
        }
        let got = line.op.of(line.a.value.get(), line.b.as_ref().map(|b| b.value.get()));
        assert!((got - line.result.get()).abs() < 1e-9, "line {at}: {got} is not {:?} in {reckoning:#?}", line.result);
        as_shown(line, unit);
    }
    assert_eq!(reckoning.lines[reckoning.answer].result, reckoning.shown);
}

/// What is shown reckons as well: the result lies within what the rounding of the numbers shown leaves open.
fn as_shown(line: &Line, unit: Unit) {
    let read = |value: Value| -> (f64, f64) {
        let text = say::reckoning::bare(value, unit);
        let number = text.split(' ').next().unwrap();
        let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
        let half = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap());
        let (scale, number) = (if text.ends_with('%') { 0.01 } else { 1.0 }, number.parse::<f64>().unwrap());
        (number * scale, half * scale * 1.000_001)
    };
    let ((a, half_a), (shown, half)) = (read(line.a.value), read(line.result));
    let b = line.b.as_ref().map(|b| read(b.value));
    let ends = |(value, half): (f64, f64)| [value - half, value, value + half];
    let all: Vec<f64> = match b {
        Some(b) => ends((a, half_a)).into_iter().flat_map(|a| ends(b).map(|b| line.op.of(a, Some(b)))).collect(),
        None => ends((a, half_a)).map(|a| line.op.of(a, None)).to_vec(),
    };
    let low = all.iter().copied().fold(f64::INFINITY, f64::min) - half;
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max) + half;
    // A share by a spread of nought is any share.
    assert!(low.is_nan() || high.is_nan() || (low..=high).contains(&shown), "{shown} of {low} to {high}: {line:?}");
}

/// The figure that the advice shows, by another way than the reckoning's.
fn advised(found: &Findings, subject: Subject) -> Option<f64> {
    let plan = found.plan.as_ref();
    Some(match subject {
        Subject::Gap(number, _) => found.cutter(number)?.raker.target?.get(),
        Subject::LowRaker(number) => found.cutter(number)?.raker.recovery?.tooth.get(),
        Subject::Strokes(number) => f64::from(found.cutter(number)?.strokes?.strokes),
        Subject::Even(number) | Subject::Again(number, Reading::LengthAfter) => {
            found.cutter(number)?.length.off_by?.abs().get()
        }
        Subject::Again(number, Reading::Angle) => found.cutter(number)?.angle.off_by?.abs().get(),
        Subject::Again(number, Reading::GapBefore | Reading::GapAfter) => found.cutter(number)?.gap.off_by?.abs().get(),
        Subject::Balance => found.balance.difference?.value.get(),
        Subject::Changeover => found.changeover.probability?,
        Subject::Rounds => f64::from(found.forecast.to_mark?.rounds.best?),
        Subject::File => found.file?.diameter.get(),
        Subject::Length | Subject::Allowed => {
            return plan.map(|plan| plan.best().map_or(f64::NAN, |best| best.target.get()));
        }
        Subject::LeftShort | Subject::Again(..) | Subject::Rotation => return None,
    })
}

fn kind(subject: Subject) -> String {
    let text = format!("{subject:?}");
    let name = text.split(['(', ' ']).next().unwrap_or_default().to_owned();
    match subject {
        Subject::Gap(_, rule) => format!("{name} {rule:?}"),
        Subject::Again(_, reading) => format!("{name} {reading:?}"),
        _ => name,
    }
}

/// A round of any chain, at any step, by a hand that is sometimes careless.
fn any_round(dice: &mut Dice) -> Bench {
    let cutters = dice.whole(10, 18);
    let mut intake = Header { tool: Tool::File, ..header(2 * cutters) };
    let spec = &mut intake.spec;
    if dice.share() < 0.3 {
        spec.reach_mark = Some(mm(11.0));
    }
    if dice.share() < 0.2 {
        spec.bite = Some(deg(6.0));
    }
    if dice.share() < 0.2 {
        spec.gap_max = mm(0.75);
    }
    if dice.share() < 0.3 {
        spec.plate = Some(Plate { foot: mm(14.0), height: mm(5.2), slot: mm(0.9) });
    }
    if dice.share() < 0.2 {
        intake.wood = Wood::SoftwoodNoFrost;
    }
    let mut bench = Bench::new(intake);
    bench.sound();
    let middle = 5.0 + 4.8 * dice.share();
    for number in 1..=cutters {
        let struck = if dice.share() < 0.06 { 0.9 * dice.share() } else { 0.0 };
        bench.length(number, When::Before, middle + 0.08 * dice.normal() - struck);
    }
    if dice.share() < 0.25 {
        return bench;
    }
    let target = middle - 0.15 - 0.3 * dice.share();
    bench.target(target);
    let filed = dice.whole(0, cutters);
    for number in 1..=filed {
        bench.strokes(number, u32::from(dice.whole(2, 6)));
        bench.length(number, When::After, target + 0.09 * dice.normal());
        bench.angle(number, 30.0 + 1.6 * dice.normal());
    }
    let rules = [Rule::Fixed, Rule::Scaled, Rule::Setting, Rule::Plate];
    let rule = rules[usize::from(dice.whole(0, 3))];
    if rule != Rule::Plate || bench.round.header.spec.plate.is_some() {
        bench.rule(rule);
    }
    bench.went(Phase::Rakers, None);
    for number in 1..=dice.whole(0, cutters) {
        bench.gap(number, When::Before, 0.7 + 0.15 * dice.normal());
    }
    for _ in 0..dice.whole(0, 3) {
        let last = Summary::of(&signed(dice).round);
        bench.past.rounds.push(last);
    }
    bench
}

/// A short round that was signed off.
fn signed(dice: &mut Dice) -> Bench {
    let from = 8.0 + dice.share();
    let mut bench = Bench::measured(20, &[from; 10]);
    bench.target(from - 0.3);
    for number in 1..=10 {
        bench.strokes(number, 4).length(number, When::After, from - 0.3);
    }
    bench.put(Event::Closed { how: Closing::Signed });
    bench
}

fn all_of(bench: &Bench) -> (Findings, Vec<Reckoning>) {
    let prices = Prices::default();
    let skill = Skill::default();
    let ctx = crate::advice::Context {
        round: &bench.round,
        past: &bench.past,
        skill: &skill,
        prices: &prices,
        tension: None,
    };
    let found = Findings::of(&ctx);
    let book = Book::of(&ctx, &found);
    let numbers = bench.round.cutters.iter().map(|cutter| cutter.number);
    let mut all = book.all(&[], None);
    all.extend(numbers.clone().flat_map(|number| book.of_cutter(number)));
    let setting = found.plan.iter().flat_map(|plan| plan.check.clone());
    all.extend(setting.filter_map(|number| book.about(Subject::Again(number, Reading::LengthBefore))));
    (found, all)
}

#[test]
fn every_reckoning_comes_to_the_figure_that_the_advice_shows() {
    let mut dice = Dice(14);
    let mut kinds = BTreeSet::new();
    for case in 0..120 {
        let bench = any_round(&mut dice);
        let (found, all) = all_of(&bench);
        for reckoning in all {
            reckon_again(&reckoning, if case % 4 == 0 { Unit::Inch } else { Unit::Mm });
            if let Some(advised) = advised(&found, reckoning.subject) {
                // The option that was chosen need not be the best.
                let chosen = reckoning.subject == Subject::Length && bench.round.target.is_some();
                assert!(chosen || (advised - reckoning.shown.get()).abs() < 1e-9, "{advised}: {reckoning:#?}");
            }
            kinds.insert(kind(reckoning.subject));
        }
    }
    let wanted = [
        "Again Angle",
        "Again GapAfter",
        "Again LengthAfter",
        "Again LengthBefore",
        "Allowed",
        "Balance",
        "Changeover",
        "Even",
        "File",
        "Gap Fixed",
        "Gap Plate",
        "Gap Scaled",
        "Gap Setting",
        "LeftShort",
        "Length",
        "LowRaker",
        "Rounds",
        "Strokes",
    ];
    assert_eq!(kinds.iter().map(String::as_str).collect::<Vec<_>>(), wanted);
}

/// Letters of a line that is read out.
const EAR: usize = 200;

#[test]
fn a_reckoning_fits_a_small_window_and_says_where_every_number_is_from() {
    let mut dice = Dice(80);
    for _ in 0..30 {
        for reckoning in all_of(&any_round(&mut dice)).1 {
            let told = reckoning.told(Unit::Inch);
            for (name, sum) in &told.lines {
                assert!(!name.is_empty() && name.len() <= 26 && sum.len() <= 49, "{name}: {sum}");
            }
            let rest = told.rest().into_iter().map(|(name, text)| (name.len() + 2 + text.len()).div_ceil(76));
            let rows = 1 + told.sums().len() + rest.sum::<usize>();
            assert!(rows <= 19, "{rows} rows: {told:#?}");
            assert!(told.numbers.is_ascii() && told.numbers.len() > 5 && told.sure.ends_with('.'), "{told:#?}");
            for line in told.paragraphs() {
                assert!(line.len() <= EAR, "{} letters are more than an ear keeps: {line}", line.len());
            }
        }
    }
}

#[test]
fn the_wear_scaled_gap_is_reckoned_line_by_line() {
    let mut bench = Bench::measured(20, &[7.7; 10]);
    bench.target(7.7).rule(Rule::Scaled).gap(1, When::Before, 0.63);
    let (_, all) = all_of(&bench);
    let gap = all.iter().find(|reckoning| reckoning.subject == Subject::Gap(nth(1), Rule::Scaled)).unwrap();
    assert_eq!(
        gap.told(Unit::Mm).paragraphs(),
        [
            "Raker gap wanted at cutter 1, wear-scaled gap: 0.93 mm.",
            "  worn                       10.00 - 7.70 = 2.30",
            "  reach grew by              2.30 x 1.107 = 2.55",
            "  reach                      6.00 + 2.55 = 8.55",
            "  gap wanted per mm          0.65 / 6.00 = 0.108",
            "  gap wanted                 8.55 x 0.108 = 0.93",
            "  to come off                0.93 - 0.63 = 0.30",
            "Numbers:",
            "  10.00 length when new, 6.00 reach when new (the profile, common practice)",
            "  7.70 length now, 0.63 gap now (yours, read)",
            "  1.107 reach grows with wear (reckoned)",
            "  0.65 gap when new (the profile, published)",
            "How sure: the length is known to +-0.05 mm, which moves the figure by 0.01 mm.",
            "Changes with: the cutter's length, the rule chosen, the wood. The maker's limit comes first.",
            "Learn more: lesson 2, Gap growth and tip drop; picture: corner and raker.",
        ]
    );
}

#[test]
fn the_loop_that_runs_next_is_ahead_of_the_other_by_what_is_said() {
    let runner = |tag: &str, spent: f64| Runner {
        tag: tag.to_owned(),
        name: tag.to_uppercase(),
        pitch: "3/8".to_owned(),
        spent: Some(spent),
        rounds_left: Some(5),
        last: None,
        held: None,
    };
    let runners = [runner("a", 0.62), runner("b", 0.25), runner("c", 0.4)];
    for (sprocket, shown) in [(None, 0.15), (Some(Grade::Bad), 0.22)] {
        let reckoning = of_runners(&runners, &rotation(&runners, sprocket)).unwrap();
        reckon_again(&reckoning, Unit::Mm);
        assert!((reckoning.shown.get() - shown).abs() < 1e-9, "{reckoning:?}");
    }
    assert_eq!(of_runners(&runners[..1], &rotation(&runners[..1], None)), None);
}
