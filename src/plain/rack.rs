//! Choosing a loop, and all that can be asked before a round: the rack, cards, histories, saws, lessons, files.

use std::io::Write;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::intake::new_loop;
use super::pages::{self, Page};
use super::{card, learn, paper, readings, saw, stops, visit};
use crate::care::{Briefs, Filter, Standing, Workshop};
use crate::coach::lessons::Ground;
use crate::practice::{CUTTERS, Set};
use crate::round::Card;
use crate::units::clean::clean;

/// What can be typed in place of a loop, for help.
const HELP: &str = "\
Type the tag or the name of a loop to go to the bench with it. You can also type:
  new              take a loop into care
  rack             the loops in care; rack open, past, near-mark, due, promised,
                   overdue, next, rejected, scrapped
  about TAG        what is known of a loop, what to do with it
  card TAG         its card: read it, change it
  visit TAG        for which day it is promised, who brought and who fetched it
  paper TAG        type in a bench sheet that was filled in on paper
  gauge TAG        measure its reach, and what a plate gauge leaves on it
  history TAG      its rounds, and how long it will last
  sheet TAG        the sheet of its last round; owner TAG: the same for its owner
  gaps TAG         raker gap by cutter length
  tag TAG          its tag
  saw NAME         bar, sprocket, oil and tension of a saw, and which loop runs next
  why TAG          how the figures of its last round were reckoned; why TAG 2: the next one
  causes TAG       how does it cut, what is behind it, what helps
  model TAG        the wear model of its cutters, in numbers
  lessons          ten short lessons; lesson 3: the third alone; lesson list
  practice         a round on a made-up loop, kept nowhere: practice 36, practice 72;
                   practice 12 4711 for the loop of that number
  person NAME      what rounds and drills tell of a person, side by side
  drills           train eye and hand on made-up cutters
  words            the trade words
  import FILE      take readings in from a table
  join FOLDER      bring another data folder into this one; shown first
  questions        choose between what joined folders say
  release TAG      give a rejected loop back to the bench
  scrap TAG        take a loop out of care
  help             this list";

/// The loop to work on: an old one by tag or name, or a new one. `None` at the end of input.
pub(super) fn choose_loop<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
) -> Result<Option<Card>> {
    let mut known = care.briefs(talk.now());
    greet(talk, &known)?;
    loop {
        let Some(line) = talk.ask("Loop, by its tag or name; or new, help")? else { return Ok(None) };
        let line = clean(&line);
        let wanted = line.to_lowercase();
        if wanted.is_empty() {
            talk.tell("Type the tag or the name of a loop, or help.")?;
            continue;
        }
        if wanted == "new" {
            return new_loop(care, talk);
        }
        let named = known.loops.iter().find(|known| known.tag == wanted || known.name.to_lowercase() == wanted);
        if let Some(row) = named {
            let goes_on = row.open && row.state != Standing::Scrapped;
            match care.held_back(&row.tag)?.filter(|_| !goes_on) {
                Some(why) if care.card(&row.tag)?.for_practice => {
                    talk.tell(&format!("Not begun: {why}. Type card {} to change that.", row.tag))?;
                }
                Some(why) => {
                    talk.tell(&format!("Not begun: {why}. Type release {} once it is put right.", row.tag))?;
                }
                None => return Ok(Some(care.card(&row.tag).context("cannot read the loop's card")?)),
            }
        } else if !done(care, talk, &line)? {
            let near = care.tag_of(&line).err().map(|error| error.to_string()).unwrap_or_default();
            talk.tell(&format!("{near} Type help for what can be typed."))?;
        } else {
            known = care.briefs(talk.now());
        }
    }
}

/// The loops, a line each; what cannot be read.
fn greet<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    known: &Briefs,
) -> Result<()> {
    let mut lines = String::new();
    for row in known.loops.iter().filter(|row| row.state != Standing::Scrapped) {
        let open = if row.open { ", open round" } else { "" };
        let held = row.held.as_ref().map(|why| format!(", {why}")).unwrap_or_default();
        let promise = row.promise.as_ref().map(|promise| format!(", {promise}")).unwrap_or_default();
        lines.push_str(&format!("{}: {}, {} links{open}{held}{promise}\n", row.tag, row.name, row.links));
    }
    // All at once: a workshop may have thousands.
    talk.say(lines.trim_end())?;
    if known.loops.is_empty() && known.problems.is_empty() {
        talk.say("No loop is in care yet. Type new to take one in, or help.")?;
    }
    talk.say(&known.cut.words().map(|words| format!("The loops cut {words}.")).unwrap_or_default())?;
    for problem in &known.problems {
        talk.say(&format!("At fault: {problem}"))?;
    }
    if known.asked > 0 {
        let what = if known.asked == 1 { "One thing is" } else { "Some things are" };
        talk.say(&format!("{what} on record in more than one way: type questions to choose."))?;
    }
    Ok(())
}

/// Does what a word asks for; false for a line that begins with none.
fn done<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    line: &str,
) -> Result<bool> {
    let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let (word, rest) = (word.to_lowercase(), rest.trim());
    match word.as_str() {
        "help" | "?" => talk.say(HELP)?,
        "words" => pages::words(talk)?,
        "practice" => practice(care, talk, rest)?,
        "drills" => super::drills::drills(care, talk, talk.unit)?,
        "person" if rest.is_empty() => talk.tell("Type the name after it.")?,
        "person" => match care.person(rest) {
            Ok(page) => talk.say_all(page.facts(talk.unit))?,
            Err(error) => talk.tell(&error.to_string())?,
        },
        "lessons" | "lesson" => learn::lessons(care, talk, "", rest, &Ground::usual(talk.unit))?,
        "import" => readings::import(care, talk, rest)?,
        "join" if rest.is_empty() => talk.tell("Type the folder after it.")?,
        "join" => super::join::join(care, talk, rest)?,
        "questions" => super::join::questions(care, talk)?,
        "rack" => match rest.parse() {
            _ if rest.is_empty() => pages::rack(care, talk, Filter::InCare)?,
            Ok(filter) => pages::rack(care, talk, filter)?,
            Err(_) => talk
                .tell("Allowed: rack, rack open, past, near-mark, due, promised, overdue, next, rejected, scrapped.")?,
        },
        "saw" if rest.is_empty() => talk.tell("Type the saw after it, by its name or a loop's tag.")?,
        "saw" => saw::page(care, talk, rest)?,
        "causes" if rest.is_empty() => learn::causes(talk, None, None, talk.unit)?,
        // A loop, and which of its figures.
        "why" if !rest.is_empty() => {
            let (name, at) = match rest.rsplit_once(char::is_whitespace) {
                Some((name, at)) if care.tag_of(rest).is_err() => (name, at.parse().unwrap_or(0)),
                _ => (rest, 1),
            };
            match care.tag_of(name.trim()).and_then(|tag| care.round(&tag, None)) {
                Ok(_) if at == 0 => talk.tell("Type the loop after it, then which figure: why TAG 2.")?,
                Ok((coach, _)) => pages::why(talk, &coach, at)?,
                Err(error) => talk.tell(&error.to_string())?,
            }
        }
        "about" | "card" | "why" | "visit" | "paper" | "gauge" | "history" | "sheet" | "owner" | "gaps" | "tag"
        | "model" | "causes" | "release" | "scrap" => match care.tag_of(rest) {
            _ if rest.is_empty() => talk.tell(&format!("Type the loop after it, such as {word} TAG."))?,
            Ok(tag) => of_loop(care, talk, &word, &tag)?,
            Err(error) => talk.tell(&error.to_string())?,
        },
        _ => return Ok(false),
    }
    Ok(true)
}

/// Practice on a made-up loop of as many cutters, and of that number, as are named.
fn practice<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    rest: &str,
) -> Result<()> {
    let mut words = rest.split_whitespace();
    let cutters = words.next().map_or(Ok(CUTTERS[0]), str::parse);
    let fresh = Set::at(talk.now());
    let number = words.next().map_or(Ok(fresh.seed), str::parse);
    let (Ok(cutters), Ok(seed)) = (cutters, number) else {
        return talk.tell("Type how many cutters, 12, 36 or 72, and a whole number after it for a certain loop.");
    };
    if !CUTTERS.contains(&cutters) {
        return talk.tell(&format!("Allowed: {} cutters.", CUTTERS.map(|count| count.to_string()).join(", ")));
    }
    let unit = talk.unit;
    let set = Set { cutters, seed, unit, ..fresh };
    super::practise_by(care, talk, &set)?;
    talk.unit = unit;
    talk.tell("Practice is over; nothing of it was kept.")
}

/// Does what a word asks for of one loop.
fn of_loop<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    word: &str,
    tag: &str,
) -> Result<()> {
    match word {
        "card" => card::card(care, talk, tag),
        "visit" => visit::visit(care, talk, tag),
        "paper" => paper::paper(care, talk, tag),
        "gauge" => card::gauge(care, talk, tag),
        "model" => learn::model(care, talk, tag),
        "release" => stops::release(care, talk, tag),
        "scrap" => stops::scrap(care, talk, tag),
        "causes" => match care.round(tag, None) {
            Ok((coach, _)) => learn::causes(talk, Some(coach.findings()), coach.saw.as_ref(), talk.unit),
            Err(_) => learn::causes(talk, None, None, talk.unit),
        },
        _ => match Page::named(word) {
            Some(page) => pages::show(care, talk, page, tag),
            None => Ok(()),
        },
    }
}
