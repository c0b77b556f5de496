//! A short text beside the reading: a remark, a number, a depth. One line over the field, then gone.

use crossterm::event::{Event, KeyCode, KeyEvent};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use crate::chain::CutterNumber;
use crate::coach::Command;
use crate::coach::words::{REJECT_HINT, rejection};
use crate::round::Phase;
use crate::units::clean::{MAX_TEXT, clean};
use crate::units::{Unit, mm};

#[derive(Debug, Clone, PartialEq, Eq)]
enum For {
    Note(Option<CutterNumber>),
    GoTo,
    Damaged(Unit),
    Depth(CutterNumber),
    Missing,
    Kept,
    Zero,
    Hand,
    Saw,
    Reject,
    Abandon,
}

/// The text being typed.
#[derive(Debug, Clone)]
pub(super) struct SideEntry {
    purpose: For,
    pub(super) title: String,
    pub(super) hint: String,
    pub(super) input: Input,
}

/// What became of it.
pub(super) enum Finish {
    /// Do this.
    Command(Command),
    /// The round goes on in these hands.
    Hand(String),
    /// Ask this next.
    Next(SideEntry),
    /// Not taken, and why.
    Refused(SideEntry, String),
    /// Nothing was typed.
    Nothing,
}

impl SideEntry {
    fn new(purpose: For, title: impl Into<String>) -> Self {
        let hint = match purpose {
            For::GoTo => "A number such as 7, or a part: look, measure, choose, first, second, rakers, prove.",
            For::Reject => REJECT_HINT,
            _ => "",
        };
        Self { purpose, title: title.into(), hint: hint.to_owned(), input: Input::default() }
    }

    /// With the cutters that may be meant.
    pub(super) fn told(mut self, just_read: Option<CutterNumber>, here: Option<CutterNumber>) -> Self {
        if let (Some(read), Some(here)) = (just_read, here) {
            self.hint = format!("Cutter {read} was just read, {here} comes next.");
        }
        self
    }

    pub(super) fn note(cutter: Option<CutterNumber>) -> Self {
        let about = cutter.map_or_else(|| "the loop".to_owned(), |n| format!("cutter {n}"));
        Self::new(For::Note(cutter), format!("Remark on {about}:"))
    }

    pub(super) fn go_to() -> Self {
        Self::new(For::GoTo, "Go to cutter, or part:")
    }

    pub(super) fn damaged(unit: Unit) -> Self {
        Self::new(For::Damaged(unit), "Damaged: which cutter?")
    }

    pub(super) fn depth(cutter: CutterNumber, unit: Unit) -> Self {
        let hint = format!("How much must come off, such as {}. Enter alone if unknown.", unit.rough(mm(0.6)));
        Self { hint, ..Self::new(For::Depth(cutter), format!("Cutter {cutter} damaged, depth:")) }
    }

    pub(super) fn missing() -> Self {
        Self::new(For::Missing, "Missing: which cutter?")
    }

    pub(super) fn kept() -> Self {
        Self::new(For::Kept, "Healthy again: which cutter?")
    }

    pub(super) fn zero() -> Self {
        Self::new(For::Zero, "Close the jaws. The caliper shows:")
    }

    pub(super) fn hand() -> Self {
        Self::new(For::Hand, "Who goes on with this round?")
    }

    pub(super) fn saw() -> Self {
        Self::new(For::Saw, "Which saw does this loop run on?")
    }

    pub(super) fn reject() -> Self {
        Self::new(For::Reject, "Reject this loop. What is at fault?")
    }

    pub(super) fn abandon() -> Self {
        Self::new(For::Abandon, "End this round unfinished? Type yes:")
    }

    pub(super) fn edit(&mut self, key: KeyEvent) {
        if self.input.value().chars().count() < MAX_TEXT || !matches!(key.code, KeyCode::Char(_)) {
            self.input.handle_event(&Event::Key(key));
        }
    }

    pub(super) fn insert(&mut self, text: &str) {
        for c in text.chars().filter(|c| !c.is_control()) {
            self.edit(KeyEvent::from(KeyCode::Char(c)));
        }
    }

    pub(super) fn finish(self) -> Finish {
        let text = self.input.value().trim().to_owned();
        let number = text.parse::<CutterNumber>();
        match (&self.purpose, number) {
            (For::Depth(cutter), _) => Finish::Command(Command::Damaged { cutter: *cutter, depth: text }),
            _ if text.is_empty() => Finish::Nothing,
            (For::Note(cutter), _) => Finish::Command(Command::Note { cutter: *cutter, text }),
            (For::Hand, _) => Finish::Hand(clean(&text)),
            (For::Saw, _) => Finish::Command(Command::Saw(text)),
            (For::Zero, _) => Finish::Command(Command::Zero(text)),
            (For::Abandon, _) if text.eq_ignore_ascii_case("yes") => Finish::Command(Command::Abandon),
            (For::Abandon, _) => Finish::Nothing,
            (For::Reject, _) => match rejection(&text) {
                Ok(command) => Finish::Command(command),
                Err(why) => Finish::Refused(self, why),
            },
            (For::GoTo, Ok(cutter)) => Finish::Command(Command::GoTo(cutter)),
            (For::GoTo, Err(_)) => match Phase::named(&text) {
                Some(phase) => Finish::Command(Command::GoToPart(phase)),
                None => Finish::Refused(self, "A cutter's number, from 1, or the name of a part.".to_owned()),
            },
            (For::Damaged(unit), Ok(cutter)) => Finish::Next(Self::depth(cutter, *unit)),
            (For::Missing, Ok(cutter)) => Finish::Command(Command::Missing(cutter)),
            (For::Kept, Ok(cutter)) => Finish::Command(Command::Kept(cutter)),
            (For::Damaged(_) | For::Missing | For::Kept, Err(_)) => {
                Finish::Refused(self, "Type a cutter's number, from 1.".to_owned())
            }
        }
    }
}
