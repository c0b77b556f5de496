//! Drills, line by line.

use std::io::Write;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::learn;
use crate::care::{OpenLearner, Workshop};
use crate::coach::drill::{DrillBench, named, pair, seats, seed};
use crate::coach::lessons::Ground;
use crate::drill::{Drill, DrillEvent};
use crate::units::Unit;
use crate::units::clean::clean;

/// What can be typed instead of an answer.
const INSTEAD: &str = "Instead of an answer: back; leave, and the set waits; enough, to break it off.";

/// Who is at the bench.
const WHOSE: &str =
    "Whose drills (a number or a name, a new one begins; 1+2: two people's readings of one loop; Enter: leave)";

/// Said where a set is left; nothing where it was not begun.
fn waits(bench: &DrillBench) -> &'static str {
    if bench.learner.open().is_some() { "The set waits: what was answered is stored." } else { "" }
}

/// Which of the drills.
const WHICH: &str =
    "Which drill (its number; told 4: the instructor changes how soon is told in the fourth; lesson 3; Enter: leave)";

/// What came of a step of a set.
enum Work {
    GoesOn,
    /// The learner makes room for another.
    Left,
    /// The input is at its end.
    Ended,
}

/// The group, and whoever in it is named, by turns; Enter alone or the end of input leaves it.
pub(super) fn drills<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    unit: Unit,
) -> Result<()> {
    loop {
        let (known, problems) = care.learners();
        for problem in problems {
            talk.say(&format!("At fault: {problem}"))?;
        }
        let seats = seats(&known, talk.now());
        for (number, seat) in (1..).zip(&seats) {
            talk.say(&format!("{number} {}: {}", seat.name, seat.stands))?;
        }
        let others = care.without_drills(&known);
        if !others.is_empty() {
            talk.say(&format!("On record without a drill: {}.", others.join(", ")))?;
        }
        let Some(line) = talk.ask(WHOSE)?.map(|line| clean(&line)).filter(|line| !line.is_empty()) else {
            return Ok(());
        };
        if line.contains('+') {
            match pair(&seats, &others, &line).map(|(one, other)| care.together([&one, &other], unit)) {
                Some(Ok(lines)) => talk.say_all(lines)?,
                Some(Err(error)) => talk.say(&error.to_string())?,
                None => talk.say("Type two numbers or names with + between them.")?,
            }
            continue;
        }
        match named(&seats, &others, &line) {
            Some(name) => {
                if !at_bench(care, talk, &name, unit)? {
                    return Ok(());
                }
            }
            None => talk.say(&format!("Expected: a number from 1 to {}, or a name.", seats.len()))?,
        }
    }
}

/// A learner's drills, set by set, until they are left; false at the end of input.
fn at_bench<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
    unit: Unit,
) -> Result<bool> {
    let (mut file, mut bench, said) = match care.open_learner(name, unit, talk.now()) {
        Ok(opened) => opened,
        Err(error) => return talk.say(&error.to_string()).map(|()| true),
    };
    talk.say(&format!("At the bench: {}.", bench.learner.header.name))?;
    for line in said {
        talk.say(&line)?;
    }
    loop {
        if bench.is_busy() {
            match work(talk, &mut file, &mut bench)? {
                Work::GoesOn => continue,
                Work::Left => return Ok(true),
                Work::Ended => return Ok(false),
            }
        }
        let drill = match choose(talk, &bench)? {
            Chosen::Drill(drill) => drill,
            Chosen::Told(drill) => {
                if let Some(event) = bench.told_otherwise(drill) {
                    store(talk, &mut file, &mut bench, &event, None)?;
                }
                let row = bench.rows(talk.now()).into_iter().find(|row| row.drill == drill);
                talk.say(&row.map(|row| format!("{}: {}", row.name, row.next)).unwrap_or_default())?;
                continue;
            }
            Chosen::Lesson(number) => {
                let name = bench.learner.header.name.clone();
                learn::lessons(care, talk, &name, &number, &Ground::usual(unit))?;
                continue;
            }
            Chosen::Leave => return Ok(true),
        };
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

/// What was chosen from the list of drills.
enum Chosen {
    /// A set of this one.
    Drill(Drill),
    /// Changes how soon the learner is told in the next set of this one.
    Told(Drill),
    /// A lesson, by its number; empty for the next.
    Lesson(String),
    /// Enter alone, or the end of input.
    Leave,
}

/// One of the drills, or how soon the learner is told in one.
fn choose<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    bench: &DrillBench,
) -> Result<Chosen> {
    let rows = bench.rows(talk.now());
    for (number, row) in (1..).zip(&rows) {
        talk.say(&format!("{number} {}, {}: {}.", row.name, row.trains, row.stands))?;
    }
    loop {
        let Some(line) = talk.ask(WHICH)? else { return Ok(Chosen::Leave) };
        let line = line.trim().to_lowercase();
        if line.is_empty() {
            return Ok(Chosen::Leave);
        }
        if let Some(number) = line.strip_prefix("lessons").or_else(|| line.strip_prefix("lesson")) {
            return Ok(Chosen::Lesson(number.trim().to_owned()));
        }
        let (number, told) = line.strip_prefix("told").map_or((line.as_str(), false), |rest| (rest.trim(), true));
        match number.parse::<usize>().ok().and_then(|number| rows.get(number.wrapping_sub(1))) {
            Some(row) if told => return Ok(Chosen::Told(row.drill)),
            Some(row) => {
                talk.say(&row.next)?;
                talk.say(&bench.curve(row.drill))?;
                talk.say(&bench.curve_line(row.drill, true).map(|line| format!("Curve: {line}")).unwrap_or_default())?;
                return Ok(Chosen::Drill(row.drill));
            }
            None => {
                let told = if told { "told and " } else { "" };
                talk.say(&format!("Expected: {told}a number from 1 to {}.", rows.len()))?;
            }
        }
    }
}

/// One step of a set.
fn work<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    file: &mut OpenLearner,
    bench: &mut DrillBench,
) -> Result<Work> {
    let Some(prompt) = bench.prompt() else { return Ok(Work::GoesOn) };
    talk.say(&format!("{}. {}", prompt.place, prompt.question))?;
    for fact in &prompt.facts {
        talk.say(&format!("{fact}."))?;
    }
    let enter = prompt.enter.map(|enter| format!(" (Enter: {enter})")).unwrap_or_default();
    let question = format!("{}{enter}", prompt.field);
    let Some(line) = talk.ask_by(&question, &|_| bench.may_be_sent())? else {
        talk.say(waits(bench))?;
        return Ok(Work::Ended);
    };
    match line.trim().to_lowercase().as_str() {
        "back" => match bench.back() {
            Ok(event) => store(talk, file, bench, &event, None)?,
            Err(why) => talk.say(&why)?,
        },
        "leave" => {
            talk.say(waits(bench))?;
            return Ok(Work::Left);
        }
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
    Ok(Work::GoesOn)
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
