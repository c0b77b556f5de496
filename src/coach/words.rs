//! Fixed words: what each item of the look-over asks, what each reading and task is called.

use super::Command;
use crate::advice::PlanOption;
use crate::advice::say::status;
use crate::chain::{CutterNumber, number::NoCutterNumber};
use crate::round::{Closing, Event, Finding, LookItem, Reading, Stop, Task, When};
use crate::units::Unit;

/// What to look for.
pub const fn look(item: LookItem) -> (&'static str, &'static str) {
    match item {
        LookItem::Cracks => ("Cracks", "Bend the loop link by link. Any crack in a cutter, strap or at a rivet hole?"),
        LookItem::Rivets => (
            "Rivets",
            "Any rivet loose or turned by hand? A stiff joint: free it and look again; still stiff is a reject.",
        ),
        LookItem::DriveLinks => ("Drive links", "Any drive link bent, battered or too burred to enter the bar?"),
        LookItem::TieStraps => ("Tie straps", "Any strap cracked or broken, any notch worn by the sprocket?"),
        LookItem::Cutters => ("Cutters", "Any cutter bent, broken off or missing?"),
        LookItem::WitnessMark => ("Witness mark", "Is the edge past the witness mark on any cutter?"),
        LookItem::Edges => {
            ("Edges", "Is any edge worn round, or hit by stone or metal? Mark each that was hit as damaged.")
        }
    }
}

/// What may be answered.
pub const fn look_choices(item: LookItem) -> &'static [(&'static str, &'static str)] {
    if !item.may_be_rejected() {
        &[("1", "no, only dull"), ("2", "yes: they want more steel off")]
    } else if item.may_be_worn() {
        &[("1", "no, all sound"), ("2", "worn, but it may go on"), ("3", "yes: reject this loop")]
    } else {
        &[("1", "no, all sound"), ("3", "yes: reject this loop")]
    }
}

/// Name of an item.
pub const fn look_name(item: LookItem) -> &'static str {
    look(item).0
}

/// What a rejection is typed as, for hints.
pub const REJECT_HINT: &str =
    "cracks, rivets, drive links, straps, cutters or mark; then the cutter, then words: rivets 7 turns by hand";

/// The item whose name, or the last word of it, begins like this.
fn look_named(word: &str) -> Option<LookItem> {
    let begins = |item: &LookItem| {
        let name = look_name(*item).to_lowercase();
        name.split(' ').any(|part| part.starts_with(word)) || name.trim_end_matches('s') == word
    };
    LookItem::ALL.into_iter().filter(|item| item.may_be_rejected()).find(|item| !word.is_empty() && begins(item))
}

/// A rejection as typed: what is at fault, the cutter, and words; the last two may be left out.
///
/// # Errors
/// What is at fault is not named, or a cutter that no loop has.
pub fn rejection(text: &str) -> Result<Command, String> {
    let lower = text.trim().to_lowercase();
    let (word, _) = lower.split_once(char::is_whitespace).unwrap_or((&lower, ""));
    let Some(part) = look_named(word) else {
        return Err(format!("What is at fault comes first: {REJECT_HINT}."));
    };
    let mut rest = text.trim().get(word.len()..).unwrap_or_default().trim();
    // The second word of a two-word name.
    let named = look_name(part).to_lowercase();
    if let Some((_, second)) = named.split_once(' ')
        && rest.to_lowercase().split(char::is_whitespace).next() == Some(second)
    {
        rest = rest.get(second.len()..).unwrap_or_default().trim();
    }
    let (number, words) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let is_number = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    if !is_number {
        return Ok(Command::Reject { part, cutter: None, note: rest.to_owned() });
    }
    let cutter = number.parse().map_err(|error: NoCutterNumber| format!("There is no such cutter: {error}."))?;
    Ok(Command::Reject { part, cutter: Some(cutter), note: words.trim().to_owned() })
}

/// Word for a finding.
pub const fn finding(finding: Finding) -> &'static str {
    match finding {
        Finding::Sound => "sound",
        Finding::Worn => "worn",
        Finding::Reject => "reject",
    }
}

/// Name of a reading.
pub const fn reading(reading: Reading) -> &'static str {
    match reading {
        Reading::LengthBefore => "length before",
        Reading::Strokes => "strokes",
        Reading::LengthAfter => "length after",
        Reading::Angle => "top-plate angle",
        Reading::GapBefore => "raker gap",
        Reading::GapAfter => "raker gap after filing",
    }
}

/// What a task asks for.
pub const fn task(task: Task) -> &'static str {
    match task {
        Task::SawTurned => "Turn the saw to reach the other side.",
        Task::StopSet => "Set the stop on a cutter of this hand: grind it until it measures the length to reach.",
        Task::FirstGround => "Grind every cutter of the first side. Let each cool.",
        Task::HeadSwung => {
            "Swing the head over. Grind two cutters of the other side: they are measured before the rest."
        }
        Task::SecondGround => "Grind the rest of the second side.",
        Task::Proved => "Read the proof.",
        Task::StartZero | Task::EndZero => "Read the closed caliper.",
    }
}

/// Task in the past, for the record.
pub const fn task_done(task: Task) -> &'static str {
    match task {
        Task::SawTurned => "saw turned",
        Task::StopSet => "stop set",
        Task::FirstGround => "first side ground",
        Task::HeadSwung => "head swung over",
        Task::SecondGround => "second side ground",
        Task::Proved => "proof read",
        Task::StartZero | Task::EndZero => "zero of the caliper skipped",
    }
}

/// A way to plan the length, in a line.
pub fn plan_option(option: &PlanOption, unit: Unit) -> String {
    let short = match option.left_short.as_slice() {
        [] => "all cutters".to_owned(),
        numbers => {
            let numbers: Vec<String> = numbers.iter().map(CutterNumber::to_string).collect();
            format!("leave {} short", numbers.join(", "))
        }
    };
    let retires = if option.retires.is_empty() { "" } else { ", at the witness mark" };
    format!(
        "{} ({short}): {} off in all, {:.0} % of life{retires}",
        unit.show_named(option.target),
        unit.show_named(option.removed),
        option.life_share * 100.0
    )
}

/// An event in a few words, for lists of what happened.
pub fn event(event: &Event, unit: Unit) -> String {
    match event {
        Event::Looked { item, finding: found, .. } => {
            format!("{}: {}", look_name(*item), finding(item.read(*found)))
        }
        Event::Rejected { part, cutter, note } => {
            let stop = Stop { part: *part, cutter: *cutter, note: note.clone() };
            format!("rejected: {}", status::stop(&stop))
        }
        Event::Cut { how } => format!("since the last round it {}", how.words()),
        Event::NewLength { mm: None } => "length of a new cutter not known".to_owned(),
        Event::NewLength { mm: Some(mm) } => format!("a new cutter is {}", unit.show(*mm)),
        Event::Saw { looked_at: None } => "saw not looked at".to_owned(),
        Event::Saw { looked_at: Some(name) } => format!("looked at saw {name}"),
        Event::Length { cutter, when: When::Before, mm, .. } => format!("{cutter} length before {}", unit.show(*mm)),
        Event::Length { cutter, mm, .. } => format!("{cutter} length after {}", unit.show(*mm)),
        Event::Angle { cutter, deg, .. } => format!("{cutter} angle {:.1}", deg.get()),
        Event::Gap { cutter, when: When::Before, mm, .. } => format!("{cutter} gap {}", unit.show(*mm)),
        Event::Gap { cutter, mm, .. } => format!("{cutter} gap after {}", unit.show(*mm)),
        Event::Strokes { cutter, count } => format!("{cutter} strokes {count}"),
        Event::State { cutter, state, .. } => format!("{cutter} {state}"),
        Event::Target { mm, .. } => format!("length to reach {}", unit.show(*mm)),
        Event::Rule { rule } => rule.word().to_owned(),
        Event::AboveSetting { setting_mm, largest_mm } => {
            format!("accepted gaps up to {}, published {}", unit.show(*largest_mm), unit.show(*setting_mm))
        }
        Event::Light { dull: None } => "edges not looked along".to_owned(),
        Event::Light { dull: Some(dull) } if dull.is_empty() => "no edge shines".to_owned(),
        Event::Light { dull: Some(dull) } => format!("edges shine: {}", crate::advice::say::cutters(dull)),
        Event::LeftOut { cutter, reading: left } => format!("{cutter} {} skipped", reading(*left)),
        Event::LeftAsIs { cutter, reading: left } => format!("{cutter} {} left as it is", reading(*left)),
        Event::Done { task } => task_done(*task).to_owned(),
        Event::Went { phase, cutter: Some(cutter), .. } => format!("went to {cutter}, {}", phase.word()),
        Event::Went { phase, cutter: None, .. } => format!("went to {}", phase.word()),
        Event::Note { cutter: Some(cutter), text } => format!("{cutter} note: {text}"),
        Event::Note { cutter: None, text } => format!("note: {text}"),
        Event::Zero { mm } => format!("zero {}", unit.show(*mm)),
        Event::Void { target } => format!("took back entry {target}"),
        Event::Paused {} => "paused".to_owned(),
        Event::Resumed {} => "went on".to_owned(),
        Event::Closed { how: Closing::Signed } => "signed off".to_owned(),
        Event::Closed { how: Closing::Rejected } => "rejected".to_owned(),
        Event::Closed { how: Closing::Abandoned } => "closed, not signed".to_owned(),
    }
}
