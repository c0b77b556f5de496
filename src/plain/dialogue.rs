//! Asking and answering, line by line.

use std::io::{BufRead, Write};

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::Ended;
use super::wish::{HELP, Wish, wish};
use crate::care::{OpenRound, Workshop};
use crate::coach::{Coach, Command, Pending, Prompt, Reply};
use crate::round::{Ask, Event};
use crate::units::clean::is_unsafe;

/// Longest line read; more is not an answer.
const MAX_LINE: u64 = 4096;

/// Two streams and a clock.
pub(super) struct Dialogue<I, O, C> {
    input: I,
    output: O,
    clock: C,
}

impl<I: BufRead, O: Write, C: Fn() -> DateTime<FixedOffset>> Dialogue<I, O, C> {
    pub(super) const fn new(input: I, output: O, clock: C) -> Self {
        Self { input, output, clock }
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
        let safe: String = text.chars().map(|c| if c != '\n' && is_unsafe(c) { '?' } else { c }).collect();
        writeln!(self.output, "{safe}").context("cannot print")
    }

    /// Asks and reads one line; `None` at the end of input.
    pub(super) fn ask(&mut self, question: &str) -> Result<Option<String>> {
        let safe: String = question.chars().map(|c| if is_unsafe(c) { '?' } else { c }).collect();
        write!(self.output, "{safe}> ").context("cannot print")?;
        self.output.flush().context("cannot print")?;
        let mut bytes = Vec::new();
        let mut limited = std::io::Read::take(&mut self.input, MAX_LINE);
        let read = limited.read_until(b'\n', &mut bytes).context("cannot read the answer")?;
        if read == 0 {
            writeln!(self.output).context("cannot print")?;
            return Ok(None);
        }
        // The rest of an over-long line is thrown away, not taken for further answers.
        let mut ended = bytes.ends_with(b"\n") || (read as u64) < MAX_LINE;
        while !ended {
            let mut rest = Vec::new();
            let more = std::io::Read::take(&mut self.input, MAX_LINE).read_until(b'\n', &mut rest)?;
            ended = more == 0 || rest.ends_with(b"\n");
        }
        let line = String::from_utf8_lossy(&bytes);
        Ok(Some(line.trim_end_matches(['\n', '\r']).to_owned()))
    }
}

/// Leads through the open round until it is closed, paused, or the input ends.
pub(super) fn lead<I: BufRead, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    mut coach: Coach,
    mut open: OpenRound,
    resume: &str,
) -> Result<Ended> {
    loop {
        let prompt = coach.prompt(&coach.findings());
        if matches!(prompt.step.ask, Ask::Nothing) {
            return Ok(Ended::Closed);
        }
        show(talk, &coach, &prompt)?;
        let Some(line) = talk.ask(&field(&prompt))? else {
            store(talk, &mut coach, &mut open, Reply::Record(vec![Pending { event: Event::Paused {}, typed: None }]))?;
            return Ok(Ended::Paused(resume.to_owned()));
        };
        let now = talk.now();
        let reply = match wish(&line) {
            None => coach.enter(&line, now),
            Some(Wish::Keep) => coach.keep(),
            Some(Wish::Help) => {
                talk.say(HELP)?;
                continue;
            }
            Some(Wish::NoCutter(error)) => Reply::Refused(format!("There is no such cutter: {error}.")),
            Some(Wish::Refused(why)) => Reply::Refused(why),
            Some(Wish::Sheet) => {
                talk.say(&care.sheet_of(&coach).text(true))?;
                continue;
            }
            Some(Wish::Saw(name)) => {
                let named = coach.round.header.saw.clone();
                coach.command(Command::Saw(if name.is_empty() { named } else { name }))
            }
            Some(Wish::Command(command)) => {
                let paused = command == Command::Pause;
                let reply = coach.command(command);
                if paused {
                    store(talk, &mut coach, &mut open, reply)?;
                    return Ok(Ended::Paused(resume.to_owned()));
                }
                reply
            }
        };
        if let Reply::Saw(name) = reply {
            let with = coach.round.header.tag.clone();
            if let Some(saw) = super::saw::look(care, talk, &name, &with, coach.round.header.units)? {
                let looked = coach.saw_looked_at(saw);
                store(talk, &mut coach, &mut open, Reply::Record(vec![looked]))?;
            }
            continue;
        }
        store(talk, &mut coach, &mut open, reply)?;
    }
}

fn store<I: BufRead, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    coach: &mut Coach,
    open: &mut OpenRound,
    reply: Reply,
) -> Result<()> {
    match reply {
        Reply::Moved | Reply::Saw(_) => Ok(()),
        Reply::Refused(why) => talk.say(&why),
        Reply::Question(question) => {
            talk.say(&format!("? {} Type keep to keep it, or {}.", question.text, question.or))
        }
        Reply::Record(pending) => {
            for pending in pending {
                let ack = open.append(&pending, talk.now()).context("the last entry is NOT stored")?;
                talk.say(&ack.moved_to().unwrap_or_default())?;
                let said = coach.recorded(ack.entry);
                talk.say(&said.line())?;
            }
            Ok(())
        }
    }
}

/// The step in one line for what to do, further lines only for what may be chosen.
fn show<I: BufRead, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    coach: &Coach,
    prompt: &Prompt,
) -> Result<()> {
    if coach.question.is_some() {
        return Ok(());
    }
    let facts: Vec<String> = prompt.facts.iter().map(|(name, value)| format!("{name} {value}")).collect();
    let facts = if facts.is_empty() { String::new() } else { format!(" ({})", facts.join(", ")) };
    talk.say(&format!("{}. {}{facts}", prompt.place, prompt.now))?;
    for (key, meaning) in &prompt.choices {
        talk.say(&format!("  {key}  {meaning}"))?;
    }
    Ok(())
}

fn field(prompt: &Prompt) -> String {
    if prompt.field.is_empty() { format!("Enter: {}", prompt.enter) } else { prompt.field.clone() }
}
