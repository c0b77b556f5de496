//! What the sharpener can ask for besides answering the step: the same for the full-screen and the plain face.

use super::{Coach, Pending, Reply};
use crate::advice::{now, plan};
use crate::chain::CutterNumber;
use crate::round::{Ask, Closing, CutterState, Event, LookItem, Phase};
use crate::units::Millimetres;
use crate::units::clean::{clean, slug};
use crate::units::reading::{self, Kind, Value};

/// A wish.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Take the last entry back.
    TakeBack,
    /// Stop for now.
    Pause,
    /// Mark a cutter damaged; the text is the depth that must come off, or empty.
    Damaged {
        /// Cutter number.
        cutter: CutterNumber,
        /// Depth as typed.
        depth: String,
    },
    /// Mark a cutter missing.
    Missing(CutterNumber),
    /// Mark a cutter healthy.
    Kept(CutterNumber),
    /// Leave a cutter short on purpose.
    LeftShort(CutterNumber),
    /// Reject the loop.
    Reject {
        /// What is at fault.
        part: LookItem,
        /// The cutter where it was found, if one is named.
        cutter: Option<CutterNumber>,
        /// What exactly is wrong; may be empty.
        note: String,
    },
    /// Go to a cutter.
    GoTo(CutterNumber),
    /// Go to a part of the round.
    GoToPart(Phase),
    /// Leave the rest of this part.
    Enough,
    /// Measure the last cutter once more.
    Again,
    /// Closed-jaw reading as typed.
    Zero(String),
    /// A remark, on a cutter or on the loop.
    Note {
        /// Cutter, or the loop.
        cutter: Option<CutterNumber>,
        /// The words.
        text: String,
    },
    /// Look at the saw of this name.
    Saw(String),
    /// End the round unfinished.
    Abandon,
}

impl Coach {
    /// Carries a wish out.
    pub(super) fn carry_out(&mut self, command: Command) -> Reply {
        match command {
            Command::TakeBack => match self.round.last_voidable() {
                Some(entry) => self.checked(Event::Void { target: entry.seq }),
                None => Reply::refused("Nothing to take back."),
            },
            Command::Pause => self.checked(Event::Paused {}),
            Command::Damaged { cutter, depth } => self.damaged(cutter, &depth),
            Command::Missing(cutter) => self.state(cutter, CutterState::Missing),
            Command::Kept(cutter) => self.state(cutter, CutterState::Kept),
            Command::LeftShort(cutter) => self.state(cutter, CutterState::LeftShort),
            Command::Reject { part, cutter, note } => {
                let note = Some(clean(&note)).filter(|note| !note.is_empty());
                self.checked(Event::Rejected { part, cutter, note })
            }
            Command::GoTo(cutter) => self.go_to(cutter),
            Command::GoToPart(phase) => self.checked(Event::Went { phase, cutter: None, reading: None }),
            Command::Enough => self.enough(),
            Command::Again => self.again(),
            Command::Zero(text) => self.zero(&text),
            Command::Note { cutter, text } if !text.trim().is_empty() => {
                self.checked(Event::Note { cutter, text: clean(&text) })
            }
            Command::Note { .. } => Reply::Moved,
            Command::Saw(name) if slug(&name).is_some() => Reply::Saw(clean(&name)),
            Command::Saw(_) => Reply::refused("Type a name with at least one letter or digit."),
            Command::Abandon => self.checked(Event::Closed { how: Closing::Abandoned }),
        }
    }

    /// Marks a cutter. Damage that takes it under the length chosen, or that is found on a filed one, opens the choice again.
    pub(super) fn damaged(&self, cutter: CutterNumber, depth: &str) -> Reply {
        let need_mm = match self.optional_length(depth) {
            Ok(need) => need,
            Err(reply) => return reply,
        };
        let mut reply = self.checked(Event::State { cutter, state: CutterState::Damaged, need_mm });
        if let Reply::Record(pending) = &mut reply
            && self.falls_short(cutter, need_mm)
        {
            let event = Event::Went { phase: Phase::Plan, cutter: Some(cutter), reading: None };
            pending.push(Pending { event, typed: None });
        }
        reply
    }

    fn falls_short(&self, number: CutterNumber, need: Option<Millimetres>) -> bool {
        let (Some(target), Some(cutter)) = (&self.round.target, self.round.cutter(number)) else { return false };
        let Some(now) = now::length(&self.round, cutter) else { return false };
        let need = need.unwrap_or_else(|| self.round.need(cutter));
        now.filed || now.length - need < target.length - plan::band(&self.round.header.spec)
    }

    fn optional_length(&self, text: &str) -> Result<Option<Millimetres>, Reply> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        match reading::parse(text, Kind::Length, self.round.header.units) {
            Ok(read) => match read.value {
                Value::Length(mm) => Ok(Some(mm)),
                _ => Err(Reply::refused("Type a length.")),
            },
            Err(error) => Err(Reply::refused(error.to_string())),
        }
    }

    fn state(&self, cutter: CutterNumber, state: CutterState) -> Reply {
        self.checked(Event::State { cutter, state, need_mm: None })
    }

    pub(super) fn zero(&self, text: &str) -> Reply {
        if text.trim().is_empty() {
            return Reply::Moved;
        }
        let read = match reading::parse(text, Kind::Length, self.round.header.units) {
            Ok(read) => read,
            Err(error) => return Reply::refused(error.to_string()),
        };
        let Value::Length(mm) = read.value else { return Reply::refused("Type a length.") };
        let event = Event::Zero { mm };
        match self.round.check(&event) {
            Ok(()) => Reply::Record(vec![Pending { event, typed: Some(read.raw) }]),
            Err(_) => Reply::refused(format!(
                "{} is a cutter, not the closed caliper. Close the jaws, or press Enter alone to skip this.",
                self.round.header.units.show_named(mm)
            )),
        }
    }

    /// On to the next part; what is left here stays open and unmeasured.
    fn enough(&self) -> Reply {
        let phase = self.round.phase();
        if let (Phase::Look, Some(back)) = (phase, self.round.going_back_to()) {
            return self.checked(Event::Went { phase: back, cutter: None, reading: None });
        }
        let next =
            Phase::ALL.into_iter().find(|next| *next > phase && phase >= Phase::Measure && *next <= Phase::Prove);
        match next {
            Some(next) => self.checked(Event::Went { phase: next, cutter: None, reading: None }),
            None => Reply::refused("There is nothing to skip here."),
        }
    }

    fn again(&mut self) -> Reply {
        if let Some(hold) = self.hold.take() {
            self.repeat = Some((hold.cutter, hold.reading));
            return Reply::Moved;
        }
        let last = self.round.last_voidable().and_then(|entry| {
            let reading = match entry.event {
                Event::LeftAsIs { reading, .. } => reading,
                ref event => crate::round::about::reading_of(event)?,
            };
            let cutter = crate::round::about::cutter_of(&entry.event)?;
            let at = self.round.cutter(cutter)?;
            (at.taken(reading) > 0).then_some((cutter, reading))
        });
        match last {
            Some(repeat) if !matches!(self.round.step().ask, Ask::Nothing) => {
                self.repeat = Some(repeat);
                Reply::Moved
            }
            _ => Reply::refused("The last entry is not a reading."),
        }
    }
}
