//! Drills in words: what to do, what came of it, what helps.

use crate::advice::repeatability::Together;
use crate::chain::Side;
use crate::drill::{Drill, Item, MOST_A_DAY, Mistake, Next, NextWhy, NoSet, Score, Slot, Stage, StageWhy, Tip};
use crate::stats::cusum::Step;
use crate::units::{Millimetres, Unit, mm};

/// Name of a drill.
pub(crate) const fn name(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => "Measure twice",
        Drill::FindShort => "Find the short one",
        Drill::SameStrokes => "Same strokes",
        Drill::HoldAngle => "Hold the angle",
        Drill::StopAtLength => "Stop at the length",
        Drill::SetGap => "Set the gap",
        Drill::SeeEdge => "See the edge",
    }
}

/// What it trains.
pub(crate) const fn trains(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => "readings that repeat",
        Drill::FindShort => "the eye before the caliper",
        Drill::SameStrokes => "equal steel on both sides",
        Drill::HoldAngle => "both wrists alike",
        Drill::StopAtLength => "filing down to a length and not past it",
        Drill::SetGap => "lowering a raker step by step, never past its gap",
        Drill::SeeEdge => "file height, and an edge that is sharp all along",
    }
}

/// What is done, on a practice loop in the vice.
pub(crate) const fn how(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => {
            "Number six cutters. Wipe the jaws, zero the caliper. Each cutter is asked for three times in shuffled order; earlier figures are not shown."
        }
        Drill::FindShort => {
            "Number the cutters of a side. Name the shortest by eye, then measure it and the two that look next shortest. Five sides."
        }
        Drill::SameStrokes => {
            "Twelve cutters, six a side. Measure each three times, file each exactly six strokes, one side, turn, the other side; then measure each three times again."
        }
        Drill::HoldAngle => {
            "Lay a printed card with lines from 25 to 35 degrees under the loop. Twelve cutters, six a side; a partner reads the angle. First without cutting, later with three strokes."
        }
        Drill::StopAtLength => {
            "Twelve cutters, six a side. Measure one; the program says what length to file to. Say how many strokes it will take, file, measure: three visits at most."
        }
        Drill::SetGap => {
            "Twelve rakers, six a side. Lay a straight-edge across neighbouring corners and measure with a depth rod. Measure, file, round the front, measure twice. Three sets a loop."
        }
        Drill::SeeEdge => {
            "Draw a pen mark over the top plate's edge and the side plate. File until it is gone at the corner, then look against the light at three places. Twelve cutters."
        }
    }
}

/// What it costs in steel; nothing where none comes off.
pub(crate) fn costs(drill: Drill, unit: Unit) -> Option<String> {
    let named = |length: f64| unit.show_named(mm(length));
    match drill {
        Drill::SameStrokes => {
            Some(format!("A set takes about {} off each cutter, and stops at the witness mark.", named(0.44)))
        }
        Drill::StopAtLength => Some(format!(
            "A set takes {} to {} off each cutter, and stops at the witness mark.",
            unit.show(mm(0.2)),
            named(0.4)
        )),
        Drill::SetGap => Some(format!(
            "Steel taken off a raker cannot return: {} of gap costs about {} of cutter to regain. The maker's limit comes first.",
            named(0.1),
            unit.rough(mm(0.6))
        )),
        Drill::SeeEdge => Some("A set takes a few strokes off each cutter: stop at the witness mark.".to_owned()),
        Drill::MeasureTwice | Drill::FindShort | Drill::HoldAngle => None,
    }
}

/// That a cutter was filed to its witness mark.
pub(crate) fn at_mark(cutter: usize, mark: Millimetres, unit: Unit) -> String {
    format!(
        "STOP: cutter {cutter} is at the witness mark, {}. File this loop no more: break the set off, or take a wrong reading back.",
        unit.show_named(mark)
    )
}

/// That a raker was filed below what the loop allows.
pub(crate) fn over_cap(raker: usize, cap: Millimetres, unit: Unit) -> String {
    format!(
        "STOP: raker {raker} leaves more than this loop's limit of {}. File no raker further: break the set off, or take a wrong reading back.",
        unit.show_named(cap)
    )
}

/// That a cutter is too short to be filed in a set.
pub(crate) fn no_room(read: Millimetres, most: Millimetres, mark: Millimetres, unit: Unit) -> String {
    format!(
        "At {} a set, which takes up to {}, would file it past the witness mark, {}: measure another cutter in its place, or break the set off.",
        unit.show_named(read),
        unit.show_named(most),
        unit.show_named(mark)
    )
}

/// That a raker stands at the loop's limit before it is filed.
pub(crate) fn no_gap_left(cap: Millimetres, unit: Unit) -> String {
    format!(
        "That is this loop's limit of {} already: leave this raker, measure another in its place, or break the set off.",
        unit.show_named(cap)
    )
}

/// When it is passed.
pub(crate) fn passes(drill: Drill, unit: Unit) -> String {
    let named = |length: f64| unit.show_named(mm(length));
    match drill {
        Drill::MeasureTwice => {
            format!("the readings of a cutter scatter by {} or less, and the closed jaws read zero", named(0.04))
        }
        Drill::FindShort => {
            format!("on four sides of five the cutter named is within {} of the shortest measured", named(0.1))
        }
        Drill::SameStrokes => "two sets running in which the sides differ by 10 % or less".to_owned(),
        Drill::HoldAngle => {
            "two sets running in which the mean of each side is within 1.5 degrees and at most 2 of 12 are off by more than 4"
                .to_owned()
        }
        Drill::StopAtLength => format!(
            "two sets running in which at most 2 of 12 end more than {} too short or {} too long",
            named(0.05),
            named(0.1)
        ),
        Drill::SetGap => format!(
            "two sets running in which at most 2 of 12 miss (more than {} too high), and none is more than {} too low",
            named(0.1),
            named(0.05)
        ),
        Drill::SeeEdge => "12 of 12 without a mark left".to_owned(),
    }
}

/// The three answers of a guess: short or small, right, long or large.
const fn sides_of(drill: Drill) -> (&'static str, &'static str) {
    match drill {
        Drill::HoldAngle => ("smaller", "larger"),
        Drill::SetGap => ("raker too high", "raker too low"),
        _ => ("too short", "too long"),
    }
}

/// What is asked.
pub(crate) fn question(drill: Drill, slot: Slot, time: usize) -> String {
    let (under, over) = sides_of(drill);
    let again = if time > 1 { " again" } else { "" };
    match slot {
        Slot::Zero => "Close the jaws: what do they read?".to_owned(),
        Slot::Length | Slot::NamedLength => "Its length.".to_owned(),
        Slot::Before => format!("Measure it{again}."),
        Slot::After if drill == Drill::StopAtLength && time > 1 => {
            "Still too long: one more visit, then measure.".to_owned()
        }
        Slot::After if drill == Drill::StopAtLength => "File, then measure.".to_owned(),
        Slot::After => format!("Filed: measure it{again}."),
        Slot::Say => "How many strokes will it take?".to_owned(),
        Slot::Angle => "Its top-plate angle.".to_owned(),
        Slot::GapBefore => "The gap before filing.".to_owned(),
        Slot::GapAfter => format!("File, round the front, then measure the gap{again}."),
        Slot::Named => "Which cutter of this side is the shortest, by eye?".to_owned(),
        Slot::OtherLength => {
            format!("The length of {} that might be shorter.", if time > 1 { "another" } else { "one" })
        }
        Slot::Corner => "Is the mark gone at the working corner?".to_owned(),
        Slot::TopPlate => "Is it gone along the top plate, against the light?".to_owned(),
        Slot::SidePlate => "Is it gone along the side plate?".to_owned(),
        Slot::Guess => format!("Before you are told: how did it come out? 1 {under}, 2 right, 3 {over}."),
    }
}

/// Where the learner stands in a set.
pub(crate) fn place(drill: Drill, slot: Slot, item: usize, number: usize) -> String {
    let name = name(drill);
    match (drill, slot) {
        (_, Slot::Zero) => format!("{name}, zero"),
        (Drill::MeasureTwice, _) => format!("{name}, cutter {number}, reading {} of {}", item + 1, drill.items()),
        (Drill::FindShort, _) => format!("{name}, side {number} of {}", drill.items()),
        _ => {
            let side = drill.side(item).map(|side| format!(", {side} side")).unwrap_or_default();
            let what = if drill == Drill::SetGap { "raker" } else { "cutter" };
            format!("{name}, {what} {number} of {}{side}", drill.items())
        }
    }
}

/// How soon the learner is told.
pub(crate) const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Each => "told at each",
        Stage::Outside => "told only where it is a miss",
        Stage::Halves => "told after 6 and 12",
        Stage::End => "told at the end",
    }
}

/// How the next set is told, and why.
pub(crate) fn next(next: Next) -> String {
    let why = match next.why {
        StageWhy::First => "the first set".to_owned(),
        StageWhy::Less => "one step less than last time, so that the hand learns to judge for itself".to_owned(),
        StageWhy::Least => "as last time".to_owned(),
        StageWhy::Back { more } => format!("{more} more misses than the set before: one step back"),
        StageWhy::Chosen => "chosen by the instructor".to_owned(),
        StageWhy::Always => "always in this drill".to_owned(),
    };
    format!("{}: {why}", stage(next.stage))
}

/// Why no set may be begun.
pub(crate) fn no_set(why: NoSet) -> String {
    match why {
        NoSet::MeasureFirst => {
            "Not begun: pass Measure twice first. Without it an error of reading would count against a good hand."
                .to_owned()
        }
        NoSet::EnoughToday(done) => {
            format!(
                "Not begun: {done} sets of this drill were done today, and {MOST_A_DAY} are enough. Come back tomorrow."
            )
        }
    }
}

/// An amount with its unit; angles in degrees.
fn amount(drill: Drill, value: f64, unit: Unit) -> String {
    if drill == Drill::HoldAngle { format!("{value:.1} degrees") } else { unit.show_named(mm(value)) }
}

/// How an error reads: `0.12 mm too long`.
pub(crate) fn off(drill: Drill, error: f64, unit: Unit) -> String {
    let size = amount(drill, error.abs(), unit);
    let exact = if drill == Drill::HoldAngle { error.abs() < 0.05 } else { error.abs() < 0.005 };
    if exact {
        return "exactly right".to_owned();
    }
    let (under, over) = match drill {
        Drill::HoldAngle => ("too small", "too large"),
        Drill::SetGap => ("of gap short: the raker is high", "of gap too much: the raker is low"),
        Drill::FindShort => ("shorter than the shortest", "longer than the shortest"),
        _ => ("too short", "too long"),
    };
    format!("{size} {}", if error < 0.0 { under } else { over })
}

/// What came of an item.
pub(crate) fn item(drill: Drill, item: &Item, unit: Unit) -> String {
    let what = match drill {
        Drill::FindShort => format!("Side {}", item.item + 1),
        Drill::SetGap => format!("Raker {}", item.item + 1),
        _ => format!("Cutter {}", item.item + 1),
    };
    let word = if item.missed { "miss" } else { "good" };
    match item.error {
        Some(error) => format!("{what}: {word}, {}.", off(drill, error, unit)),
        None if drill == Drill::SeeEdge => {
            format!("{what}: {}.", if item.missed { "miss, a mark is left" } else { "good, no mark is left" })
        }
        None => format!("{what}: {word}."),
    }
}

/// What came of a set, in sentences.
pub(crate) fn set(drill: Drill, score: &Score, resolution: Option<f64>, unit: Unit) -> Vec<String> {
    let mut said = Vec::new();
    let whole = if score.good { "a good set" } else { "not yet" };
    match drill {
        Drill::MeasureTwice => {
            if let (Some(sd), Some(range)) = (score.spread, score.spread_interval) {
                said.push(format!(
                    "Your readings scatter by {}{} (standard deviation; with so few readings {} to {}): {whole}.",
                    amount(drill, sd, unit),
                    in_steps(drill, resolution, unit),
                    unit.show(mm(range.low)),
                    unit.show_named(mm(range.high)),
                ));
            }
        }
        Drill::SameStrokes => {
            let side = |side: Side| score.sides.get(&side).map(|taken| unit.show(mm(*taken)));
            if let (Some(left), Some(right)) = (side(Side::Left), side(Side::Right)) {
                let apart = match score.apart {
                    Some(apart) => format!("{:.0} % apart", 100.0 * apart.abs()),
                    None => "nothing came off".to_owned(),
                };
                said.push(format!("Taken off: left {left}, right {right} {}, {apart}: {whole}.", unit.name()));
            }
        }
        _ => said.push(format!("{} of {} are misses: {whole}.", score.misses, score.items.len())),
    }
    if let (Some(bias), Some(spread)) = (score.bias, score.spread)
        && drill != Drill::FindShort
    {
        let sides: Vec<String> =
            score.sides.iter().map(|(side, mean)| format!("{side} {}", off(drill, *mean, unit))).collect();
        let sides = if sides.is_empty() { String::new() } else { format!(" ({})", sides.join(", ")) };
        said.push(format!(
            "On average {}{sides}; scatter {}{}.",
            off(drill, bias, unit),
            amount(drill, spread, unit),
            in_steps(drill, resolution, unit)
        ));
    }
    if let (Some(spread), Some(step)) = (score.spread, resolution)
        && drill != Drill::FindShort
        && spread < 0.3 * step
    {
        // A uniform error of one step has a standard deviation of 0.29 steps, 1 / sqrt(12).
        said.push(format!("A scatter below 0.3 of the instrument's step of {step} is rounding, not the hand."));
    }
    said
}

/// The step that the instrument was read in, to stand beside a spread.
fn in_steps(drill: Drill, resolution: Option<f64>, unit: Unit) -> String {
    let step =
        resolution.map(|step| if drill == Drill::HoldAngle { format!("{step} degrees") } else { fine(step, unit) });
    step.map_or_else(String::new, |step| format!(", read in steps of {step}"))
}

/// A length so small that the usual digits would swallow it.
fn fine(length: f64, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{length} {}", unit.name()),
        Unit::Inch => format!("{:.4} {}", length / 25.4, unit.name()),
    }
}

/// What two people's readings of the same cutters come to.
pub(crate) fn together(names: [&str; 2], both: &Together, resolution: Option<f64>, unit: Unit) -> Vec<String> {
    let drill = Drill::MeasureTwice;
    // A digit more than is read: scatter is less than a step often enough.
    let show = |length: f64| match unit {
        Unit::Mm => format!("{length:.3} mm"),
        Unit::Inch => format!("{:.5} in", mm(length).inches()),
    };
    let (study, (cutters, times)) = (&both.study, both.of);
    let (first, second) = (names[0], names[1]);
    let more = if both.apart < 0.0 { "less" } else { "more" };
    let mut said = vec![
        format!(
            "{first} and {second}, {cutters} cutters, each read {times} times by each, blind{}:",
            in_steps(drill, resolution, unit)
        ),
        format!("One person reading again scatters by {} (repeatability, standard deviation).", show(study.repeat)),
        format!(
            "From one person to the other it scatters by {} (reproducibility); {second} reads {} {more} on average.",
            show(study.reproduce),
            show(both.apart.abs())
        ),
        format!(
            "Both together {}: six times that is {:.0} % of the tolerance (10 and less is good, above 30 no use, from memory).",
            show(study.together),
            100.0 * both.tolerance_share
        ),
        format!("The cutters themselves scatter by {}: {}.", show(study.part), apart(both.categories)),
    ];
    if both.is_unlike() {
        said.push(
            "Their figures for single cutters differ by more than readings scatter: did both measure the same cutters, numbered alike?"
                .to_owned(),
        );
    }
    said
}

/// How many lengths readings tell apart.
pub(crate) fn apart(categories: u32) -> String {
    if categories < 2 {
        "no two lengths can be told apart".to_owned()
    } else {
        format!("{categories} lengths can be told apart")
    }
}

/// The one tip.
pub(crate) fn tip(tip: Tip) -> String {
    match tip {
        Tip::Zero => "The closed jaws did not read zero: wipe them, zero the caliper, begin again.".to_owned(),
        Tip::OneScatters(cutter) => {
            format!(
                "Cutter {cutter} scatters more than the others: wipe off its burr, and use the same place on the jaws."
            )
        }
        Tip::Scatter => {
            "The readings scatter: same place on the jaws, same light pressure, cutter square to them.".to_owned()
        }
        Tip::Named => {
            "The brightest is not the shortest: look at the rear edge against the mark, not at the shine.".to_owned()
        }
        Tip::LessSteel(side) => format!("The {side} side gets less steel: step round to it, do not reach over."),
        Tip::SideAngle(side, large) => {
            let word = if large { "large" } else { "small" };
            format!("The angle is too {word} on the {side} side: elbow along the line first, then push.")
        }
        Tip::AngleScatter => "Single angles are far off: look along the card's line before each stroke.".to_owned(),
        Tip::Past => "Filed past the length: stop one stroke early, measure, then one light stroke.".to_owned(),
        Tip::Long => {
            "Left too long after three visits: say the strokes from the last cutter's, then file them all.".to_owned()
        }
        Tip::Low => "Rakers too low: two strokes, then look; the last ones lightly.".to_owned(),
        Tip::High => "Rakers left high: keep going in steps of two strokes until the gap is there.".to_owned(),
        Tip::Mark => {
            "A mark is left: under the plate's edge lift the file a hair, at the corner let it sit deeper.".to_owned()
        }
    }
}

/// The curve of a drill, one sign per set: the higher, the more speaks for a steady hand, or, once that is proven (`!`), for one
/// that no longer is.
pub(crate) fn curve_line(steps: &[Step], limit: f64, ascii: bool) -> String {
    let signs: &[char] = if ascii {
        &['_', '.', ':', '-', '=', '+', '*', '#']
    } else {
        &['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█']
    };
    let sign = |score: f64| {
        let share = (score / limit).clamp(0.0, 1.0);
        let above = (1..signs.len()).filter(|n| share * (signs.len() - 1) as f64 + 1e-9 >= *n as f64).count();
        signs[above]
    };
    let one = |step: &Step| if step.turned { '!' } else { sign(step.score) };
    steps.iter().map(one).collect()
}

/// The curve in two plain sentences; `fewest` sets can pass it.
pub(crate) fn curve(steps: &[Step], fewest: usize) -> String {
    let turned = steps.iter().rfind(|step| step.turned).map(|step| step.passed);
    match (steps.last(), turned) {
        (Some(last), _) if last.passed => {
            "Over all sets the hand is steady. The curve watches that it stays so.".to_owned()
        }
        (Some(_), Some(false)) => {
            "Over all sets the hand was steady and is no longer. Go back to the drill's first steps.".to_owned()
        }
        (Some(_), _) if steps.len() >= fewest => {
            format!("Over all {} sets the hand is not proven steady yet. Go on.", steps.len())
        }
        _ => format!("Whether the hand stays steady over weeks: too early, {} of at least {fewest} sets.", steps.len()),
    }
}

/// Why this drill comes next.
pub(crate) fn why_next(why: NextWhy) -> &'static str {
    match why {
        NextWhy::Gate => "own readings come first: without them an error of reading counts against a good hand",
        NextWhy::Relapsed => "it was steady and is no longer",
        NextWhy::Begun => "it was begun and is not passed yet",
        NextWhy::Next => "it is the next that is not passed",
        NextWhy::Keep => "all are passed: keep the one that was left longest",
    }
}

/// A guess against what came.
pub(crate) fn guessed(drill: Drill, guess: Mistake, item: &Item) -> Option<String> {
    let error = item.error?;
    let came = match (item.missed, error < 0.0) {
        (false, _) => Mistake::Right,
        (true, true) => Mistake::Under,
        (true, false) => Mistake::Over,
    };
    let (under, over) = sides_of(drill);
    let word = |guess| match guess {
        Mistake::Under => under,
        Mistake::Right => "right",
        Mistake::Over => over,
    };
    Some(if guess == came {
        "You judged it right.".to_owned()
    } else {
        format!("You said {}; it came out {}.", word(guess), word(came))
    })
}
