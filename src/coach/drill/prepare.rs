//! What a set is worked with: asked before it begins.

use super::{DrillBench, DrillPrompt, Prepare, Preparing};
use crate::advice::say::drill as words;
use crate::drill::Drill;
use crate::units::{Millimetres, Unit, deg, mm};

/// Largest practice angle that may be asked for, degrees: what the printed card has, and a little more.
const CARD: (f64, f64) = (20.0, 40.0);
/// Gaps that rakers are set to, mm: nothing larger is set on any chain.
const GAPS: (f64, f64) = (0.3, 1.8);
/// Targets climb by this much a set, mm.
const CLIMB: f64 = 0.10;

impl DrillBench {
    pub(super) fn prepare_prompt(&self, preparing: &Preparing, what: Prepare) -> DrillPrompt {
        let drill = preparing.set.drill;
        let last = self.learner.sets.iter().rev().find(|set| set.up.drill == drill).map(|set| set.up);
        let (question, field, enter) = match what {
            Prepare::Resolution if drill == Drill::HoldAngle => {
                ("The step of the protractor.", "degrees".to_owned(), Some("1".to_owned()))
            }
            Prepare::Resolution => {
                ("The step of the caliper.", self.unit.name().to_owned(), Some(self.unit.show(self.usual_step())))
            }
            Prepare::Mark => {
                let enter = self.learner.sets.iter().rev().find_map(|set| set.up.mark).map(|mark| self.unit.show(mark));
                ("The length at the witness mark of this practice loop.", self.unit.name().to_owned(), enter)
            }
            Prepare::Angle => {
                let usual = last.and_then(|set| set.angle).unwrap_or(deg(30.0));
                ("The angle to hold.", "degrees".to_owned(), Some(usual.get().to_string()))
            }
            Prepare::Cap => {
                ("The largest gap that this loop may have: its maker's limit.", self.unit.name().to_owned(), None)
            }
            Prepare::Gap => {
                let enter = self.usual_gap(preparing).map(|gap| self.unit.show(gap));
                ("The gap to set.", self.unit.name().to_owned(), enter)
            }
        };
        let place = format!("{}, before the set", words::name(drill));
        DrillPrompt { place, question: question.to_owned(), field, facts: Vec::new(), enter }
    }

    fn usual_step(&self) -> Millimetres {
        if self.unit == Unit::Inch { mm(0.0127) } else { mm(0.01) }
    }

    /// The last gap and a step on, where that is allowed on this loop.
    fn usual_gap(&self, preparing: &Preparing) -> Option<Millimetres> {
        let last = self.learner.sets.iter().rev().find_map(|set| set.up.gap)?;
        let next = last + mm(CLIMB);
        preparing.set.cap.filter(|cap| next <= *cap).map(|_| next)
    }

    pub(super) fn prepare(&self, preparing: &mut Preparing, line: &str) -> Result<(), String> {
        let Some(what) = preparing.left.first().copied() else { return Ok(()) };
        let drill = preparing.set.drill;
        match what {
            Prepare::Resolution if drill == Drill::HoldAngle => {
                let step = if line.is_empty() { 1.0 } else { self.angle(line, (0.05, 5.0))?.get() };
                preparing.set.resolution = Some(step);
            }
            Prepare::Resolution => {
                let step = if line.is_empty() { self.usual_step() } else { self.length(line, (0.001, 0.5))? };
                preparing.set.resolution = Some(step.get());
            }
            Prepare::Mark => {
                let usual = self.learner.sets.iter().rev().find_map(|set| set.up.mark);
                preparing.set.mark = Some(match usual.filter(|_| line.is_empty()) {
                    Some(mark) => mark,
                    None => self.length(line, super::LENGTHS)?,
                });
            }
            Prepare::Angle => {
                let usual = self.learner.sets.iter().rev().find_map(|set| set.up.angle).unwrap_or(deg(30.0));
                preparing.set.angle = Some(if line.is_empty() { usual } else { self.angle(line, CARD)? });
            }
            Prepare::Cap => preparing.set.cap = Some(self.length(line, GAPS)?),
            Prepare::Gap => {
                let usual = self.usual_gap(preparing);
                let gap = match usual.filter(|_| line.is_empty()) {
                    Some(gap) => gap,
                    None => self.length(line, GAPS)?,
                };
                if let Some(cap) = preparing.set.cap.filter(|cap| gap > *cap) {
                    return Err(format!("That is above this loop's limit of {}.", self.unit.show_named(cap)));
                }
                preparing.set.gap = Some(gap);
            }
        }
        preparing.left.remove(0);
        Ok(())
    }
}
