//! Opening the plain face: standard input, an instrument beside it, a program that speaks.

use std::io::{self, IsTerminal, Stdout, stdin, stdout};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset, Local};

use super::{Shared, open, output};
use crate::care::Workshop;
use crate::devices::{Held, Line, Sent, Speaker, Typed, listen, watch};
use crate::plain::{self, Bench, Ended, Hear, Heard};
use crate::practice::Set;
use crate::system;

/// How much may wait to be heard; whoever sends more waits too.
const WAITING: usize = 64;

/// Tells the time.
type Clock = fn() -> DateTime<FixedOffset>;

/// What comes from any side.
enum Came {
    Typed(Typed),
    Sent(Sent),
    Told(String),
}

/// Everything that is heard, in the order in which it came.
struct Ears {
    from: Receiver<Came>,
    held: Held,
}

impl Hear for Ears {
    fn hear(&mut self) -> io::Result<Heard> {
        Ok(match self.from.recv() {
            Ok(Came::Typed(Typed::Line(Line::Whole(line)))) => Heard::Line(line),
            Ok(Came::Sent(Sent::Line(line))) => Heard::Sent(line),
            Ok(Came::Typed(Typed::Line(Line::Unfinished(text))) | Came::Sent(Sent::Unfinished(text))) => {
                Heard::Unfinished(text)
            }
            Ok(Came::Sent(Sent::Held)) => Heard::Held(self.held.count()),
            Ok(Came::Sent(Sent::Away(why))) => Heard::Away(why),
            Ok(Came::Told(text)) => Heard::Told(text),
            Ok(Came::Typed(Typed::End(Err(error)))) => return Err(error),
            Ok(Came::Typed(Typed::End(Ok(())))) | Err(_) => Heard::End,
        })
    }

    fn looked(&mut self) -> u64 {
        self.held.look()
    }
}

/// A program that speaks, which is ended along with this one.
fn speaker(command: &str, to: SyncSender<Came>) -> Result<Option<Speaker>> {
    let speaker = Speaker::start(command, move |wrong| drop(to.send(Came::Told(wrong))));
    if let Some(speaker) = &speaker {
        system::before_end(speaker.ending()).context("cannot watch for signals")?;
    }
    Ok(speaker)
}

/// Leads through a round line by line.
pub(super) fn run(shared: &Shared, care: &Workshop, banner: Option<String>) -> Result<()> {
    for line in banner.into_iter().chain(care.warning()) {
        output::tell(&line)?;
    }
    let data = shared.data.as_ref().map_or_else(String::new, |dir: &PathBuf| format!(" --data {}", dir.display()));
    ended(plain::lead(care, bench(shared, care)?, &data)?)
}

/// Leads through practice line by line.
pub(super) fn practise(shared: &Shared, care: &Workshop, set: &Set) -> Result<()> {
    ended(plain::practise(care, bench(shared, care)?, set)?)
}

fn ended(how: Ended) -> Result<()> {
    let said = match how {
        Ended::Closed => "The round is closed.".to_owned(),
        Ended::Paused(resume) => format!("Paused; every reading is stored. {resume}"),
        Ended::Practised => "Practice is over; nothing of it was kept.".to_owned(),
        Ended::Nothing => "Nothing was begun.".to_owned(),
    };
    output::tell(&said)
}

/// What a dialogue is led with, from this terminal or pipe.
fn bench(shared: &Shared, care: &Workshop) -> Result<Bench<Ears, Stdout, Clock>> {
    let (to, from) = sync_channel(WAITING);
    let (held, by_hand) = (Held::default(), stdin().is_terminal());
    let speech = match &shared.speak {
        Some(command) => speaker(command, to.clone())?,
        None => None,
    };
    if let Some(path) = &shared.source {
        let to = to.clone();
        watch(path.clone(), held.clone(), move |sent| to.send(Came::Sent(sent)).is_ok());
    }
    listen(stdin(), by_hand, move |typed| to.send(Came::Typed(typed)).is_ok());
    let (settings, problem) = open::settings_told(shared, care);
    problem.iter().try_for_each(|problem| output::tell(problem))?;
    let unit = settings.units;
    let clock: Clock = || Local::now().fixed_offset();
    Ok(Bench { input: Ears { from, held }, output: stdout(), clock, speech, by_hand, unit })
}
