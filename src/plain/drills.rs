//! Drills, line by line.

use std::io::Write;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::{OpenLearner, Workshop};
use crate::coach::drill::{DrillBench, seats, seed};
use crate::drill::{Drill, DrillEvent};
use crate::units::Unit;
use crate::units::clean::clean;

/// What can be typed instead of an answer.
const INSTEAD: &str = "Instead of an answer: back, or enough to break the set off.";

/// A learner's drills, set by set; Enter alone or the end of input leaves them.
pub(super) fn drills<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    unit: Unit,
) -> Result<()> {
    let (known, problems) = care.learners();
    for problem in problems {
        talk.say(&format!("At fault: {problem}"))?;
    }
    for seat in seats(&known, talk.now()) {
        talk.say(&format!("{}: {}", seat.name, seat.stands))?;
    }
    let others = care.without_drills(&known);
    if !others.is_empty() {
        talk.say(&format!("On record without a drill: {}.", others.join(", ")))?;
    }
    let Some(name) = talk
        .ask("Whose drills (a name; two with + between them: their readings of one loop; Enter: leave)")?
        .map(|line| clean(&line))
    else {
        return Ok(());
    };
    if name.is_empty() {
        return Ok(());
    }
    if let Some((one, other)) = name.split_once('+') {
        return match care.together([one.trim(), other.trim()], unit) {
            Ok(lines) => talk.say_all(lines),
            Err(error) => talk.say(&error.to_string()),
        };
    }
    let (mut file, mut bench, said) = match care.open_learner(&name, unit, talk.now()) {
        Ok(opened) => opened,
        Err(error) => return talk.say(&error.to_string()),
    };
    for line in said {
        talk.say(&line)?;
    }
    loop {
        if bench.is_busy() {
            if !work(talk, &mut file, &mut bench)? {
                return Ok(());
            }
            continue;
        }
        let Some(drill) = choose(talk, &bench)? else { return Ok(()) };
        let now = talk.now();
        if bench.begin(drill, seed(now), now).is_err() {
            continue; // why was said with the choice
        }
        for line in bench.about(drill) {
            talk.say(&line)?;
        }
        talk.say(INSTEAD)?;
        if let Some(event) = bench.ready() {
            store(talk, &mut file, &mut bench, &event, None)?;
        }
    }
}

/// One of the drills; nothing for Enter alone and at the end of input.
fn choose<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    bench: &DrillBench,
) -> Result<Option<Drill>> {
    let rows = bench.rows(talk.now());
    for (number, row) in (1..).zip(&rows) {
        talk.say(&format!("{number} {}, {}: {}.", row.name, row.trains, row.stands))?;
    }
    loop {
        let Some(line) = talk.ask("Which drill (its number; Enter: leave)")? else { return Ok(None) };
        let line = line.trim();
        if line.is_empty() {
            return Ok(None);
        }
        match line.parse::<usize>().ok().and_then(|number| rows.get(number.wrapping_sub(1))) {
            Some(row) => {
                talk.say(&row.next)?;
                talk.say(&bench.curve(row.drill))?;
                talk.say(&bench.curve_line(row.drill, true).map(|line| format!("Curve: {line}")).unwrap_or_default())?;
                return Ok(Some(row.drill));
            }
            None => talk.say(&format!("Expected is a number from 1 to {}.", rows.len()))?,
        }
    }
}

/// One step of a set; false at the end of input.
fn work<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    file: &mut OpenLearner,
    bench: &mut DrillBench,
) -> Result<bool> {
    let Some(prompt) = bench.prompt() else { return Ok(true) };
    talk.say(&format!("{}. {}", prompt.place, prompt.question))?;
    for fact in &prompt.facts {
        talk.say(&format!("{fact}."))?;
    }
    let enter = prompt.enter.map(|enter| format!(" (Enter: {enter})")).unwrap_or_default();
    let question = format!("{}{enter}", prompt.field);
    let Some(line) = talk.ask_by(&question, &|_| bench.may_be_sent())? else {
        talk.say("The set waits: what was answered is stored.")?;
        return Ok(false);
    };
    match line.trim().to_lowercase().as_str() {
        "back" => match bench.back() {
            Ok(event) => store(talk, file, bench, &event, None)?,
            Err(why) => talk.say(&why)?,
        },
        "enough" => {
            if let Some(event) = bench.break_off() {
                store(talk, file, bench, &event, None)?;
            }
            talk.say("Broken off: the set does not count.")?;
        }
        _ => match bench.answer(&line) {
            Ok(Some(event)) => store(talk, file, bench, &event, Some(&line))?,
            Ok(None) => {}
            Err(why) => talk.say(&why)?,
        },
    }
    Ok(true)
}

fn store<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    file: &mut OpenLearner,
    bench: &mut DrillBench,
    event: &DrillEvent,
    typed: Option<&str>,
) -> Result<()> {
    let (entry, more) = file.append(event, typed, talk.now()).context("NOT STORED")?;
    let said = bench.recorded(entry);
    for line in said.into_iter().chain(more) {
        talk.say(&line)?;
    }
    Ok(())
}
