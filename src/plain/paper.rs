//! A filled bench sheet typed in line by line: a cutter a line, in the order of the sheet.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::intake::usual;
use crate::care::files::measured_at;
use crate::care::{Boxes, Filled, Workshop};
use crate::chain::CutterNumber;
use crate::report::BOXES;
use crate::round::Tool;
use crate::units::Unit;
use crate::units::clean::clean;

/// What stands for a box that is empty.
const NONE: &str = "-";

/// Takes a loop's filled sheet in. The end of input before the last line keeps nothing.
pub(super) fn paper<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    let blank = match care.blank(tag) {
        Err(error) => return talk.say(&error.to_string()),
        Ok(blank) => blank,
    };
    talk.say(&format!("Bench sheet of {}.", clean(&blank.card.name)))?;
    let measured = loop {
        let Some(line) = talk.ask("Measured on, such as 2026-03-01")? else { return Ok(()) };
        match measured_at(&line, talk.now()) {
            Ok(at) => break at,
            Err(why) => talk.say(&why)?,
        }
    };
    let was = &blank.sharpener;
    let question = if was.is_empty() { "Who measured".to_owned() } else { format!("Who measured (Enter: {was})") };
    let Some(person) = talk.ask(&question)?.map(|line| clean(&line)) else { return Ok(()) };
    let person = if person.is_empty() { was.clone() } else { person };
    let tools = [("file", Tool::File), ("grinder", Tool::Grinder)];
    let Some(tool) = usual(talk, "Tool: file or grinder", &tools, Some(Tool::File))? else { return Ok(()) };
    let units = [("mm", Unit::Mm), ("inch", Unit::Inch)];
    let Some(unit) = usual(talk, "Written in mm or inch", &units, Some(talk.unit))? else { return Ok(()) };
    talk.say(&format!("Each line: {}; {NONE} for an empty box, Enter alone for none.", BOXES.join(", ")))?;
    let mut rows = Vec::new();
    for (cutter, side) in &blank.cutters {
        let Some(typed) = ask_boxes(talk, &format!("Cutter {cutter}, {side}"))? else { return Ok(()) };
        rows.push(Boxes { cutter: *cutter, side: *side, typed });
    }
    let tag = blank.card.tag.clone();
    let filled = Filled { tag, measured, person, tool, unit, goes_on: false, rows, sure: Vec::new(), now: talk.now() };
    settle(care, talk, filled)
}

/// Asks again for what is not taken, until all of it is, and keeps it.
fn settle<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    mut filled: Filled,
) -> Result<()> {
    loop {
        let (look, refused) = match care.look_at_paper(&filled) {
            Err(error) => return talk.say(&error.to_string()),
            Ok(looked) => looked,
        };
        let Some(first) = refused.first() else {
            return talk.say(&care.take(&look).map_or_else(
                |error| error.to_string(),
                |_| "The sheet is on record, with the day that it was measured.".to_owned(),
            ));
        };
        talk.say(&first.why)?;
        let number: CutterNumber = first.cutter;
        let Some(line) = talk.ask(&format!("Cutter {number} again; or keep, if it is right all the same"))? else {
            return Ok(());
        };
        if line.trim().eq_ignore_ascii_case("keep") {
            filled.sure.push(number);
        } else if let (Ok(typed), Some(row)) = (boxes(&line), filled.rows.iter_mut().find(|row| row.cutter == number)) {
            row.typed = typed;
        }
    }
}

/// The boxes of a line; `None` at the end of input.
fn ask_boxes<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
) -> Result<Option<[String; BOXES.len()]>> {
    loop {
        let Some(line) = talk.ask(question)? else { return Ok(None) };
        match boxes(&line) {
            Ok(typed) => return Ok(Some(typed)),
            Err(why) => talk.say(&why)?,
        }
    }
}

/// A line taken apart at its blanks.
fn boxes(line: &str) -> Result<[String; BOXES.len()], String> {
    let words: Vec<&str> = line.split_whitespace().collect();
    if words.len() > BOXES.len() {
        return Err(format!("{} were typed; the sheet has {}.", words.len(), BOXES.join(", ")));
    }
    let word = |at: usize| words.get(at).filter(|word| **word != NONE).map(|word| clean(word)).unwrap_or_default();
    Ok(std::array::from_fn(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_fills_the_boxes_and_a_dash_leaves_one_empty() {
        let of = |line: &str| boxes(line).unwrap().join("|");
        assert_eq!(of("8,05 30 0.65"), "8,05|30|0.65");
        assert_eq!(of("8.05 - 0.65"), "8.05||0.65");
        assert_eq!((of("8.05"), of("")), ("8.05||".to_owned(), "||".to_owned()));
        assert!(boxes("1 2 3 4").is_err());
    }
}
