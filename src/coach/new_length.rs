//! The one question about the length of a new cutter: asked where the changeover is told and only the profile tells that length.

use super::{Coach, MEASURE, Pending, Question, Reply};
use crate::chain::Origin;
use crate::round::{Closing, Event};
use crate::units::reading::{self, Kind, Value};
use crate::units::{Millimetres, mm};

/// How far a new cutter may be from the profile's without being asked about (proposal: four times the uncertainty of a profile's).
const LIKELY: Millimetres = mm(0.8);

impl Coach {
    /// True until it is answered, once for a loop on its chain: with a length, as not known, or by being signed past.
    pub(super) fn asks_new_length(&self) -> bool {
        let header = &self.round.header;
        let asked = |past: &crate::round::Summary| past.profile == header.profile && past.new_length.is_some();
        !self.knows_new_length
            && header.spec.known.new_length.from == Origin::Profile
            && self.round.new_length.is_none()
            && !self.past.rounds.iter().any(asked)
    }

    /// The question, in the unit of the round.
    pub(super) fn new_length_question(&self) -> String {
        let unit = self.round.header.units.name();
        format!(
            "Length of a new cutter, {unit}: measured on a new one, or printed with the chain. Enter alone: not known."
        )
    }

    /// Its answer at sign-off. Signing off past it is an answer too: nobody is asked twice.
    pub(super) fn take_new_length(&self, typed: &str) -> Reply {
        let not_known = Event::NewLength { mm: None };
        match typed.trim() {
            "" => return self.checked(not_known),
            "1" => {
                let events = [not_known, Event::Closed { how: Closing::Signed }];
                return Reply::Record(events.map(|event| Pending { event, typed: None }).into());
            }
            _ => {}
        }
        let told = |mm| Event::NewLength { mm: Some(mm) };
        let unit = self.round.header.units;
        let read = match reading::parse(typed, Kind::Length, unit) {
            Ok(read) => read,
            Err(error) => return self.unread(&error, typed, |mm| Some(told(mm))),
        };
        let Value::Length(mm) = read.value else { return Reply::refused("Type a length.") };
        let event = told(mm);
        if let Err(refusal) = self.round.check(&event) {
            return Reply::refused(refusal.to_string());
        }
        let keep = vec![Pending { event, typed: Some(read.raw) }];
        let by_profile = self.round.header.spec.new_length;
        if (mm - by_profile).abs() <= LIKELY {
            return Reply::Record(keep);
        }
        let (read, usual) = (unit.show_named(mm), unit.show_named(by_profile));
        let text = format!("{read} was read, and a new cutter of this chain is {usual} by the profile. Is it right?");
        Reply::Question(Question { text, keep, meant: None, or: MEASURE })
    }
}
