//! What joining two data folders comes to, and what nobody has chosen yet, in words.

use super::words::count;
use std::path::Path;

use crate::record::join::{Choice, Counts, Join, LoopJoin, Open, Question, Thing, ThingJoin, Version, shown};
use crate::record::show;
use crate::units::clean::clean;
use crate::units::{Millimetres, Unit};

/// Most lines of one kind in a preview; more are counted.
const MOST: usize = 40;

/// The preview of a join: what it will do, and what will be asked.
pub(crate) fn preview(join: &Join, unit: Unit) -> String {
    let wish = &join.wish;
    let mut out = format!("{} is brought into {}.\n", clean(&wish.there), clean(&wish.here));
    if join.is_nothing() {
        out.push_str("It holds nothing that is not here.\n");
    } else {
        let new = join.loops.iter().filter(|one| one.is_new).count();
        let told = join.told().count() - new;
        out.push_str(&format!("Loops: {new} new, {told} with news, {} as here.\n", join.same));
        out.push_str(&format!("Rounds: {}.\n", counts(join.rounds())));
        out.push_str(&format!("Records of saws: {}.\n", counts(join.saws())));
        if join.learners() != Counts::default() {
            out.push_str(&format!("Records of drills: {}.\n", counts(join.learners())));
        }
    }
    let lines: Vec<String> = {
        let things = join.things().iter().filter_map(|thing| of_thing(thing, unit));
        join.told().map(|one| of_loop(one, unit)).chain(things).collect()
    };
    for line in lines.iter().take(MOST) {
        out.push_str(&format!("  {line}\n"));
    }
    if lines.len() > MOST {
        out.push_str(&format!("  and {} more\n", lines.len() - MOST));
    }
    let asked: Vec<(&ThingJoin, &Open)> = join
        .told()
        .filter_map(LoopJoin::card)
        .chain(join.things())
        .flat_map(|thing| thing.open.iter().map(move |open| (thing, open)))
        .collect();
    if !asked.is_empty() {
        out.push_str("Said differently, and kept until somebody chooses:\n");
        for (thing, open) in asked.iter().take(MOST) {
            let values: Vec<String> = open.values.iter().map(|one| choice(&open.field, one, unit)).collect();
            out.push_str(&format!("  {}: {}\n", subject(&thing.thing, &open.field), values.join("; ")));
        }
        if asked.len() > MOST {
            out.push_str(&format!("  and {} more\n", asked.len() - MOST));
        }
    }
    out
}

/// What must be said before loops that were taken into care twice can be joined; nothing where there are none.
pub(crate) fn twice(join: &Join) -> Option<String> {
    let loops = join.twice.iter().map(|twice| {
        let (here, there) = (clean(&twice.here), clean(&twice.there));
        format!("  {}: here it came into care {here}, there {there}\n", twice.tag)
    });
    let loops: String = loops.collect();
    let tags = join.twice.first().map(|twice| twice.tag.clone())?;
    Some(format!(
        "These loops have one tag and came into care at two times. Say of each whether it is one loop (--one {tags}) or \
         stays out (--without {tags}):\n{loops}"
    ))
}

/// How much of what was joined is said differently and has to be chosen; nothing where nothing is.
pub(crate) fn to_choose(asked: usize) -> Option<String> {
    (asked > 0).then(|| format!("Said differently, to be chosen: {asked}."))
}

fn counts(of: Counts) -> String {
    let Counts { added, longer, aside, differ, same } = of;
    let parts = [
        (added, "new"),
        (longer, "longer there than here"),
        (differ, "gone on with in two places, kept twice"),
        (aside, "set aside"),
        (same, "as here"),
    ];
    let told: Vec<String> = parts.iter().filter(|(n, _)| *n > 0).map(|(n, what)| format!("{n} {what}")).collect();
    if told.is_empty() { "none".to_owned() } else { told.join(", ") }
}

fn of_loop(one: &LoopJoin, unit: Unit) -> String {
    let rounds = one.rounds();
    let mut parts = Vec::new();
    if one.is_new {
        parts.push("new here".to_owned());
    }
    if rounds != (Counts { same: rounds.same, ..Counts::default() }) {
        parts.push(format!("rounds: {}", counts(Counts { same: 0, ..rounds })));
    }
    parts.extend(one.card().into_iter().flat_map(|card| changes(card, unit)));
    parts.extend(one.card().and_then(differently));
    format!("{}: {}", one.tag, parts.join("; "))
}

fn of_thing(thing: &ThingJoin, unit: Unit) -> Option<String> {
    let changes: Vec<String> = changes(thing, unit).chain(differently(thing)).collect();
    let what = match &thing.thing {
        Thing::People => "sharpeners".to_owned(),
        Thing::Profile(name) => format!("profile {}", clean(name)),
        Thing::Card(tag) => tag.clone(),
    };
    match (thing.is_new, changes.is_empty()) {
        (true, _) => Some(format!("{what}: new here")),
        (false, false) => Some(format!("{what}: {}", changes.join("; "))),
        (false, true) => None,
    }
}

/// How many of its fields will have to be chosen.
fn differently(thing: &ThingJoin) -> Option<String> {
    (thing.new_open > 0).then(|| format!("{} said differently", count(thing.new_open, "field")))
}

fn changes(thing: &ThingJoin, unit: Unit) -> impl Iterator<Item = String> + '_ {
    let reads = move |(key, was, is): &(String, String, String)| {
        let field: Vec<String> = key.split('.').map(str::to_owned).collect();
        let [is, was] = [is, was].map(|text| measured(&field, text, unit));
        format!("{} reads {is} instead of {was}", field_of(&thing.thing, &field))
    };
    thing.changes.iter().map(reads)
}

/// A field as people call it.
fn field_of(thing: &Thing, field: &[String]) -> String {
    match (thing, field) {
        (Thing::People, [name, key]) => format!("{} of {}", super::fields::name(key), clean(name)),
        (Thing::People, [name]) => clean(name),
        _ => clean(super::fields::name(&field.join("."))),
    }
}

/// A field's figure, which a record keeps in mm or degrees, as it is told here; what is none stays as it stands.
fn measured(field: &[String], text: &str, unit: Unit) -> String {
    match (field.last().map(String::as_str), text.parse().map(Millimetres::new)) {
        (Some(key), Ok(length)) if key.ends_with("_mm") && unit == Unit::Inch => unit.show_named(length),
        (Some(key), Ok(_)) if key.ends_with("_mm") => format!("{text} mm"),
        (Some(key), Ok(_)) if key.ends_with("_deg") => format!("{text} degrees"),
        _ => text.to_owned(),
    }
}

/// What a question is about.
fn subject(thing: &Thing, field: &[String]) -> String {
    let what = field_of(thing, field);
    match thing {
        Thing::Card(tag) => format!("loop {tag}, {what}"),
        Thing::People => format!("sharpeners, {what}"),
        Thing::Profile(name) => format!("profile {}, {what}", clean(name)),
    }
}

/// A value of a field with where it comes from.
fn choice(field: &[String], choice: &Choice, unit: Unit) -> String {
    let from: Vec<String> = choice.from.iter().map(|folder| clean(folder)).collect();
    let since = choice.at.map(|at| format!(", since {}", at.format("%Y-%m-%d"))).unwrap_or_default();
    let value = measured(field, &shown(choice.value.as_ref()), unit);
    format!("{value} (in {}{since})", from.join(", "))
}

/// The letter of a choice: a, b, and on.
pub(crate) fn letter(at: usize) -> char {
    u8::try_from(at).ok().and_then(|at| b'a'.checked_add(at)).filter(u8::is_ascii_lowercase).map_or('?', char::from)
}

/// A question, and each of its choices with its letter before it.
pub(crate) fn question(question: &Question, unit: Unit) -> (String, Vec<String>) {
    match question {
        Question::Field { thing, open } => {
            let choices = open.values.iter().map(|one| choice(&open.field, one, unit)).collect();
            (format!("{}: which?", super::format::capital(&subject(thing, &open.field))), choices)
        }
        Question::Round { tag, versions } => {
            let shared = versions.first().map_or(0, |version| version.shared);
            let asked = format!(
                "Loop {tag}: a round was gone on with in two places; its first {} are the same. Which goes on? The other is \
                 set aside and kept.",
                count(shared, "entry").replace("entrys", "entries")
            );
            (asked, versions.iter().map(version).collect())
        }
        Question::Open { tag, rounds } => {
            let asked = format!(
                "Loop {tag}: {} are open, begun in several places. Which goes on? The others are ended as they stand, and kept.",
                count(rounds.len(), "round")
            );
            let began = |round: &Version| format!("begun {}, {}", round.began.format("%Y-%m-%d %H:%M"), version(round));
            (asked, rounds.iter().map(began).collect())
        }
    }
}

/// A version of a round, with what tells it from others.
fn version(version: &Version) -> String {
    let last = version.last.map(|at| at.format("%Y-%m-%d %H:%M").to_string()).unwrap_or_default();
    let file = show(Path::new(version.path.file_name().unwrap_or_default()));
    match version.entries {
        0 => format!("no entry yet, by {}: {file}", clean(&version.by)),
        1 => format!("1 entry, of {last} by {}: {file}", clean(&version.by)),
        entries => format!("{entries} entries, the last of {last} by {}: {file}", clean(&version.by)),
    }
}

/// All questions, numbered from 1, their choices lettered.
pub(crate) fn questions(asked: &[Question], unit: Unit) -> String {
    let mut out = String::new();
    for (at, one) in asked.iter().enumerate() {
        let (text, choices) = question(one, unit);
        out.push_str(&format!("{}. {text}\n", at + 1));
        for (at, choice) in choices.iter().enumerate() {
            out.push_str(&format!("   {}  {choice}\n", letter(at)));
        }
    }
    out
}

/// The question and the choice that `1b` stands for, both from nought.
///
/// # Errors
/// There is no such question or choice, with those that there are.
pub(crate) fn chosen(text: &str, asked: &[Question]) -> Result<(usize, usize), String> {
    let text = text.trim().to_lowercase();
    let at = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (number, rest) = text.split_at(at);
    let question = number.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    let Some((at, question)) = question.and_then(|at| Some((at, asked.get(at)?))) else {
        return Err(format!("\"{}\" is no question. There are {}: such as 1a.", clean(&text), asked.len()));
    };
    choice_of(rest, question).map(|choice| (at, choice)).map_err(|why| format!("Question {}: {why}", at + 1))
}

/// The choice that a letter stands for, from nought.
///
/// # Errors
/// There is no such choice, with those that there are.
pub(crate) fn choice_of(text: &str, question: &Question) -> Result<usize, String> {
    let wanted = text.trim().to_lowercase();
    let choice = (0..question.choices()).find(|choice| wanted == letter(*choice).to_string());
    let last = letter(question.choices().saturating_sub(1));
    choice.ok_or_else(|| format!("allowed: a letter, a to {last}."))
}
