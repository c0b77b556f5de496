//! What came of a drill, in words: of an item, of a set, of two people's sets held together, of all sets over the weeks.
//!
//! What the file is for: figures that are settled, each with what they say of the hand. It must not know what is asked next.

use crate::advice::repeatability::Together;
use crate::chain::Side;
use crate::drill::{Drill, Item, Score, Tip};
use crate::stats::cusum::Step;
use crate::units::{Unit, mm};

/// An amount with its unit; angles in degrees.
fn amount(drill: Drill, value: f64, unit: Unit) -> String {
    if drill == Drill::HoldAngle { format!("{value:.1} degrees") } else { unit.show_named(mm(value)) }
}

/// How an error reads: `0.12 mm too long`.
fn off(drill: Drill, error: f64, unit: Unit) -> String {
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
