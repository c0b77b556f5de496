//! The wear model in numbers, its lessons, and the causes of a poor cut, line by line.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::intake::until;
use crate::advice::Findings;
use crate::care::Workshop;
use crate::chain::Wood;
use crate::coach::causes::{Evidence, Symptom, ranked};
use crate::coach::lessons::{Ground, Lesson, Lessons, Raker, Setting, WearModel};
use crate::saw::Saw;
use crate::units::clean::clean;
use crate::units::{Unit, figure};

/// Every value that a setting of the model may be given before it is held to its own bounds.
const ANY: (f64, f64) = (-50.0, 50.0);

/// Tells the model of a loop's chain in numbers and takes settings until Enter alone.
pub(super) fn model<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    let found = care.card_and_chain(tag).and_then(|(card, profile)| Ok((care.spec(&card, &profile)?, card)));
    let (spec, card) = match found {
        Ok(found) => found,
        Err(error) => return talk.say(&error.to_string()),
    };
    let unit = talk.unit;
    let mut model = WearModel::new(&spec, Wood::Any);
    talk.say(&format!("Wear model of {}, a new cutter:", card.name))?;
    talk.say_all(model.facts(unit))?;
    let of = unit.of_lengths();
    talk.say(&format!("Settings: wear, gap, foot, shorter in {of}; slope, rock in degrees; raker {}.", rakers()))?;
    while let Some(line) = talk.ask("Setting and value, such as wear 2 (Enter: leave the model)")? {
        let line = clean(&line).to_lowercase();
        if line.is_empty() {
            break;
        }
        match moved(&mut model, &line, unit) {
            Ok(()) => talk.say_all(model.facts(unit))?,
            Err(why) => talk.say(&why)?,
        }
    }
    Ok(())
}

fn rakers() -> String {
    Raker::ALL.map(Raker::word).join(", ")
}

fn moved(model: &mut WearModel, line: &str, unit: Unit) -> Result<(), String> {
    let (word, value) = line.split_once(' ').unwrap_or((line, ""));
    let Some(setting) = Setting::ALL.into_iter().find(|setting| setting.key() == word) else {
        return Err(format!("There is no setting {word}. Allowed: {}.", Setting::ALL.map(Setting::key).join(", ")));
    };
    if setting == Setting::Raker {
        let found = Raker::ALL.into_iter().find(|raker| !value.is_empty() && raker.word().starts_with(value));
        let raker = found.ok_or_else(|| format!("The raker can be: {}.", rakers()))?;
        model.set_raker(raker);
        return Ok(());
    }
    model.set(setting, value_of(setting, value, unit)?);
    Ok(())
}

/// A value in mm or degrees.
fn value_of(setting: Setting, text: &str, unit: Unit) -> Result<f64, String> {
    let read = if setting.is_length() {
        figure::length(text, unit, ANY)?.map(crate::units::Millimetres::get)
    } else {
        figure::angle(text, ANY)?.map(crate::units::Degrees::get)
    };
    read.ok_or_else(|| format!("Type a value after {}.", setting.key()))
}

/// Leads through the lessons from where this person left them, or through the one with a given number.
pub(super) fn lessons<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    who: &str,
    number: &str,
    ground: &Ground,
) -> Result<()> {
    if number == "list" {
        return talk.say_all(Lesson::ALL.map(|lesson| format!("  lesson {}  {}", lesson.number(), lesson.title())));
    }
    let only = Lesson::ALL.into_iter().find(|lesson| lesson.number().to_string() == number);
    if only.is_none() && !number.is_empty() {
        return talk.say(&format!("There is no lesson {number}. Allowed: 1 to {}, or list.", Lesson::ALL.len()));
    }
    let mut done = care.lessons_of(who);
    let from = only.unwrap_or_else(|| done.next());
    if only.is_none() && from.number() > 1 {
        talk.say(&format!("Going on at lesson {}. Type lesson 1 to begin again.", from.number()))?;
    }
    let all = std::iter::successors(Some(from), |lesson| lesson.next().filter(|_| only.is_none()));
    for lesson in all {
        let stays = one_lesson(talk, lesson, ground, &mut done)?;
        if let Err(error) = care.keep_lessons(who, &done, talk.now()) {
            talk.say(&format!("The place in the lessons is not remembered: {error}"))?;
        }
        if !stays {
            return Ok(());
        }
    }
    talk.say("That was the last of them.")
}

/// One lesson; false where it was left.
fn one_lesson<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    lesson: Lesson,
    ground: &Ground,
    done: &mut Lessons,
) -> Result<bool> {
    talk.say(&format!("Lesson {} of {}: {}", lesson.number(), Lesson::ALL.len(), lesson.title()))?;
    talk.say_all(lesson.text().iter().map(|text| format!("  {text}")))?;
    talk.say_all(lesson.figure(ground, false))?;
    talk.say(&lesson.question(ground))?;
    done.sit(lesson, ground);
    let of = lesson.asked().unit(ground.unit);
    let question = format!("Your guess, in {of} (Enter: leave the lessons, skip: the next)");
    while let Some(line) = talk.ask(&question)? {
        match clean(&line).as_str() {
            "" => return Ok(false),
            "skip" => return Ok(true),
            guess => {
                if let Some(Err(why)) = done.open.as_mut().map(|sitting| sitting.typed(guess)) {
                    talk.tell(&why)?;
                    continue;
                }
                done.note();
            }
        }
        match done.open.as_ref().and_then(|sitting| sitting.said.clone()) {
            Some(Ok(right)) => {
                talk.say(&right)?;
                talk.say_all(lesson.figure(ground, true))?;
                return Ok(true);
            }
            Some(Err(not_yet)) => talk.tell(&not_yet)?,
            None => {}
        }
    }
    Ok(false)
}

/// From how the saw cuts to what causes it, by a loop's readings where there are any.
pub(super) fn causes<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    findings: Option<&Findings>,
    saw: Option<&Saw>,
    unit: Unit,
) -> Result<()> {
    talk.say("How does the saw cut?")?;
    talk.say_all((1..).zip(Symptom::ALL).map(|(number, symptom)| format!("  {number}  {}", symptom.words())))?;
    let take = |line: &str| match line {
        "" => Ok(None),
        line => match line.parse().ok().and_then(Symptom::numbered) {
            Some(symptom) => Ok(Some(symptom)),
            None => Err(format!("{line} was read. Allowed: 1 to {}.", Symptom::ALL.len())),
        },
    };
    let Some(Some(symptom)) = until(talk, "Its number (Enter: leave it)", take)? else { return Ok(()) };
    let first = if findings.is_some() {
        "What your readings show comes first."
    } else {
        "No readings of a loop at hand: the likelier cause comes first."
    };
    talk.say(first)?;
    for (number, cause) in (1..).zip(ranked(symptom, findings, saw, unit)) {
        talk.say(&format!("{number}. {}", cause.row.words))?;
        match &cause.evidence {
            Evidence::Shown(why) => talk.say(&format!("   Your readings show it: {why}"))?,
            Evidence::Against(why) => talk.say(&format!("   Your readings speak against it: {why}"))?,
            Evidence::Open => {}
        }
        talk.say(&format!("   {}", cause.row.remedy))?;
        talk.say(&format!("   Source: {}.", cause.row.source.words()))?;
    }
    Ok(())
}
