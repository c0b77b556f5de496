//! What measured lengths alone are made of: the sheet, the plan, struck cutters, when to stop measuring.

use evenbite::advice::{Findings, LengthWord, PlanOption};
use evenbite::coach::Coach;
use evenbite::round::{Ask, Entry, Event, When};
use evenbite::sim::{Dice, Instrument, Make, Person};
use evenbite::units::{Millimetres, mm};

use super::play::{Game, LENGTH_TOLERANCE, Shop, Tools, header};
use super::tally::Marks;
use super::thumb;

const CUTTERS: u16 = 36;
/// Length that a dull edge must lose, wear of a typical round, and the band that cutters may end in, as the profile has them.
const NEED: f64 = 0.1;
const TYPICAL: f64 = 0.3;
const BAND: f64 = 0.5 * LENGTH_TOLERANCE;

fn shop(make: &Make, dice: Dice) -> Shop {
    Shop::new(make, Person::default(), Tools::default(), dice)
}

/// A loop that is even, measured once and judged as it stands.
pub(crate) fn even_sheet(dice: Dice, marks: &mut Marks) {
    let mut shop = shop(&Make { spread: 0.03, ..Make::default() }, dice);
    let findings = Game::measured(CUTTERS).play(&mut shop).coach.findings().clone();
    let open = findings.cutters.iter().filter(|found| found.length.word == LengthWord::Again).count();
    marks.add("not proven", open as f64, 1.0);
}

/// Plans on an even loop, a spread one, one with two struck cutters.
pub(crate) fn plans(mut dice: Dice, marks: &mut Marks) {
    let base = Make::default();
    let kinds = [
        (
            Make { spread: 0.03, ..base.clone() },
            ["plan even", "plan even, read again", "under even", "thumb plan even"],
        ),
        (
            Make { spread: 0.1, ..base.clone() },
            ["plan spread", "plan spread, read again", "under spread", "thumb plan spread"],
        ),
        (
            Make { spread: 0.06, struck: vec![0.5, 0.8], ..base },
            ["plan struck", "plan struck, read again", "under struck", "thumb plan struck"],
        ),
    ];
    for (make, [one, again, under, by_eye]) in kinds {
        let mut shop = shop(&make, dice.fork());
        let lengths: Vec<f64> = shop.truth.teeth().iter().map(|tooth| tooth.length).collect();
        // One reading each: what is asked for once more is read below.
        let game = Game { until: |coach| coach.round.step().ask == Ask::Target, ..Game::measured(CUTTERS) };
        let mut played = game.play(&mut shop);
        let findings = played.coach.findings().clone();
        if let Some(best) = findings.plan.as_ref().and_then(|plan| plan.best()) {
            marks.case(one, is_near_best(&lengths, best));
            let reach = (0..lengths.len()).filter(|at| !is_left_short(best, *at)).map(|at| lengths[at] - NEED);
            let shortest = reach.fold(f64::INFINITY, f64::min);
            marks.case(under, shortest < best.target.get() - 0.10);
        }
        read_again(&mut shop, &mut played.coach);
        if let Some(best) = played.coach.findings().plan.as_ref().and_then(|plan| plan.best()) {
            marks.case(again, is_near_best(&lengths, best));
        }
        if one == "plan struck" {
            marks.case("bound plan struck", is_near_best_by(&shop, &played.coach, &lengths));
        }
        let eye = lengths[thumb::shortest(&lengths, &mut shop.dice)];
        let shortest = lengths.iter().copied().fold(f64::INFINITY, f64::min);
        // A length that the shortest cannot be brought near is none for all.
        let fits = shortest >= eye - BAND;
        marks.case(by_eye, fits && cost(&lengths, &[], eye - NEED) <= 1.02 * best_cost(&lengths));
    }
}

/// The cutters that the plan says set the length are read once more, until it says none.
fn read_again(shop: &mut Shop, coach: &mut Coach) {
    for _ in 0..4 {
        let check = coach.findings().plan.as_ref().map(|plan| plan.check.clone()).unwrap_or_default();
        for cutter in &check {
            let read = shop.tools.caliper.read(shop.truth.length(cutter.get()), &mut shop.dice);
            let event = Event::Length { cutter: *cutter, when: When::Before, mm: mm(read), again: true };
            put(coach, event);
        }
        if check.is_empty() {
            return;
        }
    }
}

fn put(coach: &mut Coach, event: Event) {
    let seq = u32::try_from(coach.round.entries.len()).expect("few entries") + 1;
    coach.recorded(Entry { seq, at: coach.round.header.started, by: None, typed: None, event });
}

fn is_left_short(option: &PlanOption, at: usize) -> bool {
    option.left_short.iter().any(|number| number.index() == at)
}

/// Truly within 2 % of the least steel.
fn is_near_best(lengths: &[f64], option: &PlanOption) -> bool {
    let short: Vec<usize> = (0..lengths.len()).filter(|at| is_left_short(option, *at)).collect();
    cost(lengths, &short, option.target.get()) <= 1.02 * best_cost(lengths)
}

/// Steel that goes where all but some end in one band above a target, each losing what its edge needs.
fn cost(lengths: &[f64], short: &[usize], target: f64) -> f64 {
    let loss = |(at, length): (usize, &f64)| {
        let sharp = length - NEED;
        if short.contains(&at) { NEED } else { length - sharp.min(target + BAND) }
    };
    lengths.iter().enumerate().map(loss).sum()
}

/// The same for whoever knows the lengths of all cutters but the struck ones, and of those only what was read.
fn is_near_best_by(shop: &Shop, coach: &Coach, lengths: &[f64]) -> bool {
    let mut known = lengths.to_vec();
    for (at, tooth) in shop.truth.teeth().iter().enumerate().filter(|(_, tooth)| tooth.struck) {
        known[at] = coach.round.cutters[at].before.mean().map_or(tooth.length, Millimetres::get);
    }
    let (short, shortest) = best_choice(&known);
    cost(lengths, &short, known[shortest] - NEED) <= 1.02 * best_cost(lengths)
}

/// The least steel, tried out: some of the shortest left short while each raises the target by a round's wear.
fn best_cost(lengths: &[f64]) -> f64 {
    let (short, shortest) = best_choice(lengths);
    cost(lengths, &short, lengths[shortest] - NEED)
}

/// Which cutters that leaves short, and the shortest of the others.
fn best_choice(lengths: &[f64]) -> (Vec<usize>, usize) {
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    order.sort_by(|a, b| lengths[*a].total_cmp(&lengths[*b]));
    let mut best = 0;
    // Two of one side that stand next to each other are not both left short.
    let beside = |a: usize, b: usize| [2, lengths.len() - 2].contains(&a.abs_diff(b));
    for more in 1..=lengths.len() / 12 {
        if order[..more - 1].iter().any(|other| beside(*other, order[more - 1])) {
            break;
        }
        if lengths[order[more]] - lengths[order[best]] >= TYPICAL * (more - best) as f64 {
            best = more;
        }
    }
    (order[..best].to_vec(), order[best])
}

/// One cutter 0.5 mm short, in loops of two spreads; and the same loops without it.
pub(crate) fn struck(mut dice: Dice, marks: &mut Marks) {
    let kinds = [
        (0.08, ["struck 0.08", "false struck 0.08", "bound struck 0.08", "thumb struck 0.08", "thumb false 0.08"]),
        (0.15, ["struck 0.15", "false struck 0.15", "bound struck 0.15", "thumb struck 0.15", "thumb false 0.15"]),
    ];
    for (spread, [found, alarm, bound, by_eye, alarm_by_eye]) in kinds {
        let make = Make { spread, struck: vec![0.5], ..Make::default() };
        let mut one = shop(&make, dice.fork());
        let coach = Game::measured(CUTTERS).play(&mut one).coach;
        marks.case(found, names_struck(&one, coach.findings()));
        let struck = one.truth.teeth().iter().position(|tooth| tooth.struck).expect("one is");
        let readings = &coach.round.cutters[struck].before;
        let sd = spread.hypot(Instrument::CALIPER.sd / (readings.count() as f64).sqrt());
        let short = make.length - readings.mean().expect("measured").get();
        marks.case(bound, short > thumb::largest_of(CUTTERS, 0.05) * sd);
        marks.case(by_eye, short_by_eye(&mut one).contains(&struck));
        let mut none = shop(&Make { struck: Vec::new(), ..make }, dice.fork());
        marks.case(alarm_by_eye, !short_by_eye(&mut none).is_empty());
        let findings = Game::measured(CUTTERS).play(&mut none).coach.findings().clone();
        marks.case(alarm, !findings.evenness.struck.is_empty());
    }
}

/// Cutters that look short beside the others of their side, by eye.
fn short_by_eye(shop: &mut Shop) -> Vec<usize> {
    /// So much shorter a cutter looks hit, mm.
    const HIT: f64 = 0.25;
    let mean = shop.truth.teeth().iter().map(|tooth| tooth.length).sum::<f64>() / shop.truth.count() as f64;
    let lengths: Vec<f64> = shop.truth.teeth().iter().map(|tooth| tooth.length).collect();
    let seen = |length: &f64| length + thumb::EYE * shop.dice.normal() < mean - HIT;
    lengths.iter().map(seen).enumerate().filter(|(_, short)| *short).map(|(at, _)| at).collect()
}

fn names_struck(shop: &Shop, findings: &Findings) -> bool {
    findings.evenness.struck.iter().any(|struck| shop.truth.tooth(struck.cutter.get()).struck)
}

/// Measuring stops as soon as it is said that enough are measured; where one loop in ten, or in three, has a struck cutter.
pub(crate) fn enough(mut dice: Dice, marks: &mut Marks) {
    for (share, [missed, measured]) in
        [(0.1, ["missed, 1 in 10", "measured, 1 in 10"]), (1.0 / 3.0, ["missed, 1 in 3", "measured, 1 in 3"])]
    {
        let struck = if dice.chance(share) { vec![0.5] } else { Vec::new() };
        let mut shop = shop(&Make { spread: 0.06, struck, ..Make::default() }, dice.fork());
        let mut game = Game::measured(CUTTERS);
        game.header.spread = true;
        game.until = |coach| {
            let is_said = || coach.findings().enough.is_some_and(|enough| enough.decided());
            coach.round.step().ask == Ask::Target || (coach.repeating().is_none() && is_said())
        };
        let coach = game.play(&mut shop).coach;
        let unseen = |number: u16| coach.round.cutters[usize::from(number) - 1].before.is_empty();
        // Who is told that it is enough looks along those left, and measures what looks short.
        let looked = short_by_eye(&mut shop);
        let any = (1..=CUTTERS).any(|number| {
            shop.truth.tooth(number).struck && unseen(number) && !looked.contains(&usize::from(number - 1))
        });
        marks.case(missed, any);
        let read = (1..=CUTTERS).filter(|number| !unseen(*number)).count();
        marks.add(measured, read as f64, f64::from(CUTTERS));
    }
}

/// Left against right: readings that scatter more than is assumed, and half the cutters measured.
pub(crate) fn balance(mut dice: Dice, marks: &mut Marks) {
    let make = Make { side_bias: 0.1 * dice.normal(), spread: 0.08, ..Make::default() };
    let caliper = Instrument { sd: 0.10, ..Instrument::CALIPER };
    let mut coarse = Shop::new(&make, Person::default(), Tools { caliper, ..Tools::default() }, dice.fork());
    let findings = Game::measured(CUTTERS).play(&mut coarse).coach.findings().clone();
    covers(&coarse, &findings, marks, "balance, sd 0.10");
    let mut half = shop(&make, dice);
    let mut game = Game { header: header(CUTTERS), ..Game::measured(CUTTERS) };
    game.header.spread = true;
    game.until = |coach| coach.round.cutters.iter().filter(|cutter| !cutter.before.is_empty()).count() >= 18;
    let findings = game.play(&mut half).coach.findings().clone();
    covers(&half, &findings, marks, "balance, half measured");
}

fn covers(shop: &Shop, findings: &Findings, marks: &mut Marks, name: &'static str) {
    let mean = |rest: usize| {
        let side = shop.truth.teeth().iter().skip(rest).step_by(2).map(|tooth| tooth.length);
        side.sum::<f64>() / 18.0
    };
    let truth = mean(0) - mean(1);
    if let Some(told) = &findings.balance.difference {
        marks.case(name, (told.low.get()..=told.high.get()).contains(&truth));
    }
}

/// The shortest cutters 0.1 mm above the mark, by calipers that show hundredths or tenths.
pub(crate) fn mark(mut dice: Dice, marks: &mut Marks) {
    for (step, [name, once]) in
        [(0.01, ["retired, 0.01", "thumb retired, 0.01"]), (0.1, ["retired, 0.1", "thumb retired, 0.1"])]
    {
        let caliper = Instrument { step, ..Instrument::CALIPER };
        let make = Make { length: 3.4, spread: 0.05, ..Make::default() };
        let mut shop = Shop::new(&make, Person::default(), Tools { caliper, ..Tools::default() }, dice.fork());
        for number in [5, 14, 31] {
            shop.truth.force_length(number, 3.1);
        }
        let findings = Game::measured(CUTTERS).play(&mut shop).coach.findings().clone();
        marks.case(name, !findings.changeover.spent().is_empty());
        let reads_spent = |number: u16| caliper.read(shop.truth.length(number), &mut shop.dice) <= 3.0;
        marks.case(once, (1..=CUTTERS).any(reads_spent));
    }
}
