//! A fault stays with its cutter: the round does not go on from it until it is answered.

use super::{Coach, Reply, Said, said};
use crate::advice::{AngleWord, FlagKind, GapWord, LengthWord, Verdicts, redo};
use crate::chain::CutterNumber;
use crate::round::about::{cutter_of, reading_of};
use crate::round::{CutterState, Event, Phase, Reading, Tool, When};
use crate::units::Unit;

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    /// As it came: hit, or at its witness mark.
    AsItCame,
    /// Under the length chosen.
    Short,
    /// Above it, and the round goes on elsewhere.
    Long,
    /// Its angle is off.
    Angle,
    /// Its raker is too high, and the round goes on elsewhere.
    RakerHigh,
    /// Its raker is too low.
    RakerLow,
}

/// A fault that waits for an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Hold {
    /// The cutter that it belongs to.
    pub cutter: CutterNumber,
    /// The reading that revealed it.
    pub reading: Reading,
    fault: Fault,
    /// The verdict, in a line.
    line: String,
    /// It was called damaged and the depth is asked for.
    depth: bool,
}

impl Hold {
    /// The fault that a recorded event revealed, if any. `said` is its verdict.
    pub(super) fn of(coach: &Coach, verdicts: &Verdicts, event: &Event, said: &Said) -> Option<Self> {
        let (cutter, reading) = cutter_of(event).zip(reading_of(event))?;
        let found = verdicts.cutter(cutter)?;
        let stays = coach.round.step().cutter == Some(cutter);
        let came_bad = |kind: FlagKind| matches!(kind, FlagKind::Struck { .. } | FlagKind::AtMark);
        let fault = match event {
            Event::Length { when: When::Before, .. } if coach.round.target.is_none() => {
                verdicts.flags.iter().find(|flag| flag.cutter == cutter && came_bad(flag.kind))?;
                Fault::AsItCame
            }
            Event::Length { when: When::After, .. } => match found.length.word {
                LengthWord::Short if found.state != CutterState::LeftShort => Fault::Short,
                LengthWord::Long if !stays => Fault::Long,
                _ => return None,
            },
            Event::Angle { .. } if found.angle.word == AngleWord::Off => Fault::Angle,
            // Where most rakers are off, that is one matter of the loop and no fault of this cutter.
            Event::Gap { .. } if verdicts.whole_loop_is_off() => return None,
            Event::Gap { .. } => match found.gap.word {
                GapWord::Low => Fault::RakerLow,
                GapWord::High if !stays => Fault::RakerHigh,
                _ => return None,
            },
            _ => return None,
        };
        Some(Self { cutter, reading, fault, line: said.line(), depth: false })
    }

    /// The fault of a raker that is known to be too low, taken up again from the proof.
    pub(super) fn of_low_raker(coach: &Coach, verdicts: &Verdicts, cutter: CutterNumber, reading: Reading) -> Self {
        let line = said::low_raker(coach, verdicts, cutter).line();
        Self { cutter, reading, fault: Fault::RakerLow, line, depth: false }
    }

    pub(super) fn now(&self) -> String {
        if self.depth {
            return format!("How much must come off cutter {} to get rid of the damage?", self.cutter);
        }
        self.line.clone()
    }

    pub(super) fn field(&self, unit: Unit) -> String {
        if self.depth { format!("depth, {}", unit.name()) } else { "choice".to_owned() }
    }

    pub(super) const fn enter(&self) -> &'static str {
        if self.depth { "not known" } else { "measure it again" }
    }

    pub(super) const fn choices(&self, tool: Tool) -> &'static [(&'static str, &'static str)] {
        if self.depth {
            return &[];
        }
        match self.fault {
            Fault::Long | Fault::Angle if matches!(tool, Tool::Grinder) => &[
                ("1", "measure it again"),
                ("2", "it is damaged"),
                ("3", "set the stop for it and grind it again now"),
                ("0", "leave it and go on"),
            ],
            Fault::RakerLow if matches!(tool, Tool::Grinder) => &[
                ("1", "measure it again"),
                ("2", "it is damaged"),
                ("3", "grind the tooth back now"),
                ("0", "leave it and go on"),
            ],
            Fault::AsItCame => &[("1", "measure it again"), ("2", "it is damaged"), ("0", "go on as it is")],
            Fault::Short => &[
                ("1", "measure it again"),
                ("2", "it is damaged"),
                ("3", "leave it short"),
                ("4", "choose the length again"),
                ("0", "go on as it is"),
            ],
            Fault::Long | Fault::Angle | Fault::RakerHigh => &[
                ("1", "measure it again"),
                ("2", "it is damaged"),
                ("3", "file it right now"),
                ("0", "leave it and go on"),
            ],
            Fault::RakerLow => &[
                ("1", "measure it again"),
                ("2", "it is damaged"),
                ("3", "file the tooth back now"),
                ("0", "leave it and go on"),
            ],
        }
    }
}

impl Coach {
    /// An answer to a fault. A reading is no answer: nobody could say whose it is.
    pub(super) fn take_hold(&mut self, mut hold: Hold, line: &str) -> Reply {
        let Hold { cutter, reading, fault, depth, .. } = hold;
        if depth {
            return self.damaged(cutter, line);
        }
        let go = |coach: &Self, phase, reading| coach.checked(Event::Went { phase, cutter: Some(cutter), reading });
        let side = self.round.layout.side(cutter).unwrap_or(self.round.header.begin);
        let filing = redo::filing_phase(&self.round, side);
        match (line, fault) {
            ("" | "1", _) => {
                self.hold = None;
                self.repeat = Some((cutter, reading));
                Reply::Moved
            }
            ("2", _) => {
                hold.depth = true;
                self.hold = Some(hold);
                Reply::Moved
            }
            ("3", Fault::Short) => self.checked(Event::State { cutter, state: CutterState::LeftShort, need_mm: None }),
            ("4", Fault::Short) => go(self, Phase::Plan, None),
            ("3", Fault::Angle) => go(self, filing, Some(Reading::Angle)),
            ("3", Fault::Long | Fault::RakerLow) => go(self, filing, None),
            ("3", Fault::RakerHigh) => go(self, Phase::Rakers, None),
            ("0", _) => self.checked(Event::LeftAsIs { cutter, reading }),
            _ => Reply::refused(format!("Cutter {cutter} first: type the number of a choice; 0 goes on.")),
        }
    }

    /// Goes on without a second reading: what the record leaves open is left as it is, and that is on record too.
    pub(super) fn leave(&mut self, cutter: CutterNumber, reading: Reading) -> Reply {
        if self.left_open().is_some_and(|left| left.again.is_some() || left.hold.is_some()) {
            return self.checked(Event::LeftAsIs { cutter, reading });
        }
        self.repeat = None;
        Reply::Moved
    }

    /// The cutter in hand: the one whose fault or repeat waits, else the one that is asked for.
    pub fn at_hand(&self) -> Option<CutterNumber> {
        let held = self.hold.as_ref().map(|hold| hold.cutter);
        held.or(self.repeat.map(|(cutter, _)| cutter)).or_else(|| self.round.step().cutter)
    }

    /// The cutter read last, where another one is in hand now: a mark could be meant for either.
    pub fn just_read(&self) -> Option<CutterNumber> {
        let here = self.at_hand().filter(|_| self.hold.is_none() && self.repeat.is_none())?;
        let event = &self.round.last_voidable()?.event;
        let about = reading_of(event).is_some() || matches!(event, Event::LeftAsIs { .. });
        cutter_of(event).filter(|last| about && *last != here)
    }

    /// True where an event that is on record holds the screen, which then says what it came to itself.
    pub fn is_held_by(&self, event: &Event) -> bool {
        self.is_held() && reading_of(event).is_some()
    }

    /// True while a fault waits for an answer.
    pub const fn is_held(&self) -> bool {
        self.hold.is_some()
    }
}
