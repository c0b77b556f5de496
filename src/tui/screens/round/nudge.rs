//! Step keys: the value in the field a step up or down.

use tui_input::Input;

use super::RoundScreen;
use crate::coach::doubt;
use crate::round::{Ask, Reading};
use crate::units::reading::{self, Kind, Value};
use crate::units::{Unit, mm};

impl RoundScreen {
    /// One step more or less on the value in the field; an empty field starts at what is expected.
    pub(super) fn nudge(&mut self, up: bool) {
        if self.coach.is_held() {
            return;
        }
        let Some(reading) = self.coach.repeating().map(|(_, r)| r).or(match self.prompt.step.ask {
            Ask::Read(reading) => Some(reading),
            _ => None,
        }) else {
            return;
        };
        let unit = self.coach.round.header.units;
        let kind = match reading {
            Reading::Strokes => Kind::Count,
            Reading::Angle => Kind::Angle,
            _ => Kind::Length,
        };
        let typed = reading::parse(self.field.value(), kind, unit).ok().map(|read| read.value);
        let step = if up { 1.0 } else { -1.0 };
        let text = match (typed, kind) {
            (Some(Value::Count(count)), _) => {
                Some((if up { count.saturating_add(1) } else { count.saturating_sub(1) }).to_string())
            }
            (Some(Value::Angle(deg)), _) => Some(format!("{:.1}", deg.get() + step * 0.5)),
            (Some(Value::Length(length)), _) => Some(unit.show(length + unit.step() * step)),
            (None, _) if !self.field.value().is_empty() => None,
            (None, Kind::Count) => Some("1".to_owned()),
            (None, _) => self.expected(reading, unit),
        };
        if let Some(text) = text {
            self.field = Input::new(text);
        }
    }

    fn expected(&self, reading: Reading, unit: Unit) -> Option<String> {
        let cutter = self.coach.round.cutter(self.at_hand()?)?;
        let (_, expect) = doubt::band(&self.coach.round, &self.coach.past, cutter, reading)?;
        let value = expect?;
        Some(if reading == Reading::Angle { format!("{value:.1}") } else { unit.show(mm(value)) })
    }
}
