//! Asking and answering, line by line.

use std::io::{self, Read, Write};

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::keeps::Keeps;
use super::wish::{Wish, help, wish};
use super::{Bench, Ended};
use crate::care::Workshop;
use crate::coach::{Coach, Command, Pending, Prompt, Reply};
use crate::devices::said::{TOO_FAST, cut_off, not_asked_for};
use crate::devices::{Line, Lines, Speaker};
use crate::round::{Ask, Event};
use crate::units::Unit;
use crate::units::clean::{clean, printable};

/// Says that lines that are held have been looked at.
const SEEN: &str = "seen";

/// What the dialogue hears.
#[derive(Debug)]
pub enum Heard {
    /// A line, without its end.
    Line(String),
    /// A line from an instrument.
    Sent(String),
    /// What was cut off before its line end.
    Unfinished(String),
    /// This many lines of the instrument are held.
    Held(u64),
    /// The instrument cannot be heard, and why; none where it can.
    Away(Option<String>),
    /// Something to tell.
    Told(String),
    /// Nothing more will come.
    End,
}

/// Where lines come from.
pub trait Hear {
    /// Waits for what comes next.
    ///
    /// # Errors
    /// The input cannot be read.
    fn hear(&mut self) -> io::Result<Heard>;

    /// Lines that were held have been looked at: how many there were.
    fn looked(&mut self) -> u64 {
        0
    }
}

impl<R: Read> Hear for Lines<R> {
    fn hear(&mut self) -> io::Result<Heard> {
        Ok(match self.read_line()? {
            Some(Line::Whole(line)) => Heard::Line(line),
            Some(Line::Unfinished(text)) => Heard::Unfinished(text),
            None => Heard::End,
        })
    }
}

/// Which line of an instrument may answer a question.
pub(super) type MaySend<'a> = &'a dyn Fn(&str) -> bool;

/// What is heard, what is said, and a clock.
pub(super) struct Dialogue<I, O, C> {
    input: I,
    output: O,
    clock: C,
    speech: Option<Speaker>,
    /// A person types: what fails can be tried again. A script would go on with the reading of the next cutter.
    by_hand: bool,
    /// Unit of what belongs to no round with a unit of its own.
    pub(super) unit: Unit,
    /// Lines of the instrument that are held.
    held: u64,
    /// Why the instrument cannot be heard.
    away: Option<String>,
    /// The last line came from an instrument.
    sent: bool,
}

impl<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>> Dialogue<I, O, C> {
    pub(super) fn new(bench: Bench<I, O, C>) -> Self {
        let Bench { input, output, clock, speech, by_hand, unit } = bench;
        Self { input, output, clock, speech, by_hand, unit, held: 0, away: None, sent: false }
    }

    /// Time of what is being typed.
    pub(super) fn now(&self) -> DateTime<FixedOffset> {
        (self.clock)()
    }

    /// Prints a line, if there is anything in it. Nothing that a terminal could act on goes out.
    pub(super) fn say(&mut self, text: &str) -> Result<()> {
        if text.is_empty() {
            return Ok(());
        }
        writeln!(self.output, "{}", printable(text)).context("cannot print")
    }

    /// Prints a line and has it spoken.
    pub(super) fn tell(&mut self, text: &str) -> Result<()> {
        self.speak(text);
        self.say(text)
    }

    /// Prints lines and has them spoken, as one.
    pub(super) fn say_all<S: AsRef<str>>(&mut self, lines: impl IntoIterator<Item = S>) -> Result<()> {
        let mut aloud = String::new();
        for line in lines {
            let line = line.as_ref();
            self.say(line)?;
            aloud.push_str(line.trim());
            aloud.push_str(". ");
        }
        self.speak(&aloud);
        Ok(())
    }

    /// Has a line spoken, where there is a program for it.
    pub(super) fn speak(&self, text: &str) {
        if let Some(speech) = self.speech.as_ref().filter(|_| !text.trim().is_empty()) {
            speech.say(text);
        }
    }

    /// Asks and waits for a line that is typed; `None` at the end of input.
    pub(super) fn ask(&mut self, question: &str) -> Result<Option<String>> {
        self.speak(question);
        self.ask_by(question, &|_| false)
    }

    /// As [`Self::ask`]; an instrument may answer with such a line too.
    pub(super) fn ask_by(&mut self, question: &str, sent: MaySend<'_>) -> Result<Option<String>> {
        self.prompt(question)?;
        self.sent = false;
        loop {
            match self.input.hear().context("cannot read the answer")? {
                Heard::Line(line) if self.held > 0 && line.trim().eq_ignore_ascii_case(SEEN) => {
                    self.held = 0;
                    let held = self.input.looked();
                    self.say(&format!("{held} lines were held; none of them is a reading. Lines are taken again."))?;
                }
                Heard::Line(line) => return Ok(Some(line)),
                Heard::Sent(line) if sent(&line) => {
                    self.say(&line)?;
                    self.sent = true;
                    return Ok(Some(line));
                }
                Heard::Sent(line) => self.aside(&not_asked_for(&line))?,
                Heard::Unfinished(text) => self.aside(&cut_off(&text))?,
                Heard::Held(held) => {
                    let before = std::mem::replace(&mut self.held, held);
                    if before > 0 {
                        continue;
                    }
                    self.aside(&format!("{TOO_FAST} Type {SEEN} to go on with it."))?;
                }
                Heard::Away(why) => {
                    let back = if self.away.is_some() { "The instrument is there." } else { "" };
                    self.aside(why.as_deref().unwrap_or(back))?;
                    self.away = why;
                }
                Heard::Told(text) => self.aside(&text)?,
                Heard::End => {
                    writeln!(self.output).context("cannot print")?;
                    return Ok(None);
                }
            }
            self.prompt(question)?;
        }
    }

    /// Says something between a question and its answer.
    fn aside(&mut self, text: &str) -> Result<()> {
        self.say(&format!("\n{text}"))
    }

    fn prompt(&mut self, question: &str) -> Result<()> {
        let safe = printable(question);
        let away = if self.away.is_some() { " [no instrument]" } else { "" };
        let held = if self.held > 0 { format!(" [{} lines held]", self.held) } else { String::new() };
        write!(self.output, "{safe}{away}{held}> ").context("cannot print")?;
        self.output.flush().context("cannot print")
    }
}

/// Leads through the open round until it is closed, paused, or the input ends.
pub(super) fn lead<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    mut coach: Coach,
    mut open: Keeps,
    resume: &str,
) -> Result<Ended> {
    let mut lost: Option<Lost> = None;
    talk.unit = coach.round.header.units;
    loop {
        let prompt = open.prompt(&coach);
        if matches!(prompt.step.ask, Ask::Nothing) {
            return open.over(talk, &coach);
        }
        show(talk, &coach, &prompt)?;
        let line = talk.ask_by(&field(&prompt), &|_| coach.asks_for_a_figure())?;
        let before = lost.take();
        let Some(line) = line else {
            if let Some(lost) = before {
                return Err(lost.left());
            }
            store(talk, &mut coach, &mut open, pause())?;
            return Ok(open.left(resume));
        };
        let Some(line) = open.answered(talk, &coach, line)? else { continue };
        let now = talk.now();
        let reply = match (before, wish(&line)) {
            (Some(lost), None) if line.trim().is_empty() => Reply::Record(lost.pending),
            (Some(lost), Some(Wish::Command(Command::Pause))) if lost.warned => return Err(lost.left()),
            (Some(again), Some(Wish::Command(Command::Pause))) => {
                talk.say(&format!("{}: pause once more leaves without it; Enter alone stores it.", again.said()))?;
                lost = Some(Lost { warned: true, ..again });
                continue;
            }
            // A pipe may be an instrument's; from a terminal a person types.
            (_, None) if coach.watch_doubles && !talk.sent => coach.enter_by_hand(&line, now),
            (_, None) => coach.enter(&line, now),
            (_, Some(Wish::Keep)) => coach.keep(),
            (_, Some(Wish::Meant)) => coach.take_meant(),
            (before, Some(Wish::Hand(who))) => {
                let who = clean(&who);
                open.hand_to(&who);
                coach.handed_to(&who, care.skill(&who));
                talk.say(&format!("{who} goes on: each entry from now on keeps that name."))?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Help)) => {
                talk.say(&help(coach.round.header.units))?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Lesson(number))) => {
                super::learn::lessons(care, talk, coach.at_work(), &number, &coach.ground())?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Why(at))) => {
                super::pages::why(talk, &coach, at)?;
                lost = before;
                continue;
            }
            (_, Some(Wish::NoCutter(error))) => Reply::Refused(format!("There is no such cutter: {error}.")),
            (_, Some(Wish::Refused(why))) => Reply::Refused(why),
            (before, Some(Wish::Sheet)) => {
                talk.say_all(care.sheet_of(&coach).facts())?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Page(page))) => {
                super::pages::show(care, talk, page, &coach.round.header.tag.clone())?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Words)) => {
                super::pages::words(talk)?;
                lost = before;
                continue;
            }
            (before, Some(Wish::Causes)) => {
                let unit = coach.round.header.units;
                super::learn::causes(talk, Some(coach.findings()), coach.saw.as_ref(), unit)?;
                lost = before;
                continue;
            }
            (_, Some(Wish::LeaveOut)) => coach.leave_out(now),
            (_, Some(Wish::Saw(name))) => {
                let named = coach.round.header.saw.clone();
                coach.command(Command::Saw(if name.is_empty() { named } else { name }))
            }
            (_, Some(Wish::Command(Command::Pause))) => {
                let reply = coach.command(Command::Pause);
                store(talk, &mut coach, &mut open, reply)?;
                return Ok(open.left(resume));
            }
            (_, Some(Wish::Command(command))) => coach.command(command),
        };
        let reply = match reply {
            Reply::Saw(name) => match looked_at(care, talk, &mut coach, &name)? {
                Some(looked) => Reply::Record(vec![looked]),
                None => continue,
            },
            reply => reply,
        };
        lost = store(talk, &mut coach, &mut open, reply)?;
    }
}

fn pause() -> Reply {
    Reply::Record(vec![Pending { event: Event::Paused {}, typed: None }])
}

/// Has the saw looked at; what to store of it for the round.
fn looked_at<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    coach: &mut Coach,
    name: &str,
) -> Result<Option<Pending>> {
    let header = &coach.round.header;
    let (with, unit) = (header.tag.clone(), header.units);
    Ok(super::saw::look(care, talk, name, Some(&with), unit)?.map(|saw| coach.saw_looked_at(saw)))
}

/// What could not be stored, and waits to be stored after all.
struct Lost {
    pending: Vec<Pending>,
    /// It was said that pausing leaves without it.
    warned: bool,
}

impl Lost {
    fn said(&self) -> String {
        let typed = self.pending.iter().find_map(|pending| pending.typed.as_deref());
        format!("{} is NOT STORED", typed.unwrap_or("The last entry"))
    }

    /// The dialogue ends without it.
    fn left(&self) -> anyhow::Error {
        anyhow::anyhow!("{}", self.said())
    }
}

/// Does what a reply asks for; what could not be stored comes back where it can be tried again.
fn store<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    coach: &mut Coach,
    open: &mut Keeps,
    reply: Reply,
) -> Result<Option<Lost>> {
    match reply {
        Reply::Moved | Reply::Saw(_) => {}
        Reply::Refused(why) => talk.tell(&why)?,
        Reply::Question(question) => {
            let ways = question.ways(|meant| format!("yes for {meant}"), "keep to keep it");
            talk.speak(&format!("{} Type {ways}, or {}.", question.text, question.or));
            talk.say(&format!("? {} Type {ways}, or {}.", question.text, question.or))?;
        }
        Reply::Record(pending) => {
            for (at, one) in pending.iter().enumerate() {
                let ack = match open.append(coach, one, talk.now()) {
                    Ok(ack) => ack,
                    Err(error) if !talk.by_hand || matches!(one.event, Event::Paused {}) => {
                        anyhow::bail!("{}", error.not_stored("Go on with the round and enter it again"))
                    }
                    Err(error) => {
                        talk.say(&error.not_stored("Enter alone stores it"))?;
                        return Ok(Some(Lost { pending: pending[at..].to_vec(), warned: false }));
                    }
                };
                talk.say(&ack.moved_to().unwrap_or_default())?;
                let event = ack.entry.event.clone();
                let said = coach.recorded(ack.entry).line();
                // What holds the dialogue says it itself.
                if !coach.is_held_by(&event) {
                    talk.tell(&said)?;
                }
            }
        }
    }
    Ok(None)
}

/// The step: where, what to do, and a line for each fact and for each thing that may be chosen.
fn show<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    coach: &Coach,
    prompt: &Prompt,
) -> Result<()> {
    if coach.question.is_some() {
        return Ok(());
    }
    talk.speak(&prompt.aloud());
    talk.say(&format!("{}. {}", prompt.place, prompt.now))?;
    for (name, value) in &prompt.facts {
        talk.say(&format!("  {name}: {value}"))?;
    }
    for (key, meaning) in &prompt.choices {
        talk.say(&format!("  {key}  {meaning}"))?;
    }
    Ok(())
}

fn field(prompt: &Prompt) -> String {
    if prompt.field.is_empty() { format!("Enter: {}", prompt.enter) } else { prompt.field.clone() }
}
