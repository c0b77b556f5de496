//! Events into state: the only way a round comes to be.

use std::collections::{BTreeMap, BTreeSet};

use super::about::{cutter_of, is_repeat, reading_of};
use super::best::Hand;
use super::check::{Contradiction, check_numbers};
use super::choice::{Reopened, Target};
use super::cut::Cut;
use super::cutter::Cutter;
use super::entries::standing;
use super::event::{Closing, Entry, Event, Header, Reading, Task, When};
use super::list::{self, Lists, Step};
use super::look::{Finding, LookItem, Stop};
use super::new_length::NewLength;
use super::now::length;
use super::phase::Phase;
use super::rule::InForce;
use super::script;
use crate::chain::{CutterNumber, Layout, Rule, layout::LayoutError};
use crate::units::Millimetres;

/// Gaps above the published setting that the sharpener accepted as this program's proposal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AboveSetting {
    /// The published setting.
    pub setting: Millimetres,
    /// The largest gap that was proposed then.
    pub largest: Millimetres,
}

/// What became of the saw in a round.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SawLook {
    /// Not settled yet.
    Open,
    /// Left out.
    LeftOut,
    /// Looked at: its name. What was found stands in its own record.
    LookedAt(String),
}

/// The edges as they were seen against the light.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Light {
    /// Somebody looked.
    pub looked: bool,
    /// Cutters whose edge shone and that were not filed since.
    pub dull: BTreeSet<CutterNumber>,
}

/// One round, folded from its events.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// The intake.
    pub header: Header,
    /// Cutters in order.
    pub layout: Layout,
    /// Everything recorded, voided entries included.
    pub entries: Vec<Entry>,
    /// Cutters, number 1 first.
    pub cutters: Vec<Cutter>,
    /// The look-over so far.
    pub looks: BTreeMap<LookItem, (Finding, Option<String>)>,
    /// What is to be looked at once more.
    pub(super) look_again: BTreeSet<LookItem>,
    /// What was rejected beside the look-over, in order.
    rejections: Vec<Stop>,
    /// How it cut since the round before, once that was asked.
    pub cut: Option<Cut>,
    /// The length of a new cutter, once that was asked.
    pub new_length: Option<NewLength>,
    /// What became of the saw.
    pub saw: SawLook,
    /// Length to file to, once chosen.
    pub target: Option<Target>,
    /// Set while the length is being chosen again.
    pub reopened: Option<Reopened>,
    /// Rule for the raker gap, once chosen.
    pub rule: Option<Rule>,
    /// Gaps above the published setting, once they were accepted.
    pub accepted: Option<AboveSetting>,
    /// The edges against the light, once that is settled.
    pub light: Option<Light>,
    /// Work confirmed.
    pub done: BTreeSet<Task>,
    /// Remarks about the whole loop.
    pub notes: Vec<String>,
    /// Closed-jaw readings, in order.
    pub zeros: Vec<Millimetres>,
    /// How it ended, once it has.
    pub closed: Option<Closing>,
    /// True between a pause and the next event.
    pub paused: bool,
    /// What is learned of hand and caliper.
    pub(crate) hand: Hand,
    /// What is asked, part by part.
    pub(super) lists: Lists,
    pub(super) phase: Phase,
    /// Cutter the hand is at.
    pub(super) at: Option<CutterNumber>,
    /// Where to go back to after one cutter was done again.
    pub(super) back: Option<Phase>,
    /// The rule in force as it was last found.
    pub(super) in_force: InForce,
}

impl Round {
    /// A round with its intake and nothing else.
    ///
    /// # Errors
    /// [`LayoutError`] where the header's links and sequence do not fit.
    pub fn begin(header: Header) -> Result<Self, LayoutError> {
        let layout = header.layout()?;
        let cutters = layout.slots().iter().map(|slot| Cutter::new(slot.number, slot.side)).collect();
        let (hand, lists) = (Hand::new(&header), Lists::new(&header, &layout));
        Ok(Self {
            header,
            layout,
            entries: Vec::new(),
            cutters,
            looks: BTreeMap::new(),
            look_again: BTreeSet::new(),
            rejections: Vec::new(),
            cut: None,
            new_length: None,
            saw: SawLook::Open,
            target: None,
            reopened: None,
            rule: None,
            accepted: None,
            light: None,
            done: BTreeSet::new(),
            notes: Vec::new(),
            zeros: Vec::new(),
            closed: None,
            paused: false,
            hand,
            lists,
            phase: Phase::Look,
            at: None,
            back: None,
            in_force: InForce::default(),
        })
    }

    /// The round that these entries make.
    ///
    /// # Errors
    /// [`Contradiction`] where the header's links and sequence do not fit, or an entry names a cutter that the loop does not have.
    pub fn replay(header: Header, entries: Vec<Entry>) -> Result<Self, Contradiction> {
        let mut round = Self::begin(header)?;
        let count = round.layout.count();
        for Entry { seq, event, .. } in &entries {
            check_numbers(event, count).map_err(|refusal| Contradiction::NoCutter { seq: *seq, refusal })?;
        }
        round.entries = entries;
        round.refold();
        Ok(round)
    }

    /// Adds a recorded entry.
    pub fn apply(&mut self, entry: Entry) {
        let voids = matches!(entry.event, Event::Void { .. });
        self.entries.push(entry);
        if voids {
            self.refold();
        } else if let Some(entry) = self.entries.pop() {
            self.fold(&entry);
            self.entries.push(entry);
        }
    }

    /// What to do now.
    pub fn step(&self) -> Step {
        script::next(self)
    }

    /// Part of the round the sharpener is in.
    pub const fn phase(&self) -> Phase {
        self.phase
    }

    /// Where the round goes back to once one cutter, or the look-over, was done again.
    pub const fn going_back_to(&self) -> Option<Phase> {
        self.back
    }

    /// One cutter by number.
    pub fn cutter(&self, number: CutterNumber) -> Option<&Cutter> {
        self.cutters.get(number.index())
    }

    /// Cutters brought to the common length.
    pub fn matched(&self) -> impl Iterator<Item = &Cutter> + Clone {
        self.cutters.iter().filter(|cutter| cutter.is_matched())
    }

    /// Why the loop must not go back on a saw: what the look-over rejects, then what was rejected beside it.
    pub fn stops(&self) -> Vec<Stop> {
        let looked = self.looks.iter().filter(|(_, (finding, _))| *finding == Finding::Reject);
        let looked = looked.map(|(item, (_, note))| Stop { part: *item, cutter: None, note: note.clone() });
        looked.chain(self.rejections.iter().cloned()).collect()
    }

    /// True once something rejects the loop.
    pub fn is_rejected(&self) -> bool {
        !self.rejections.is_empty() || self.looks.values().any(|(finding, _)| *finding == Finding::Reject)
    }

    /// True where an answer that older versions offered is read as a stop now: that round was worked on all the same.
    pub fn is_stop_of_old(&self) -> bool {
        let of_old =
            |event: &Event| matches!(event, Event::Looked { item, finding, .. } if item.read(*finding) != *finding);
        self.standing().any(|entry| of_old(&entry.event))
    }

    /// True where every cutter brought to the common length is at its witness mark: such a loop is never ready.
    pub fn is_spent(&self) -> bool {
        let at_mark = |cutter| length(self, cutter).is_some_and(|now| self.header.spec.at_mark(now.length));
        self.matched().next().is_some() && self.matched().all(at_mark)
    }

    /// Length that this cutter must lose.
    pub fn need(&self, cutter: &Cutter) -> Millimetres {
        cutter.need.unwrap_or(self.header.spec.need)
    }

    /// Starts over from the intake with what still stands.
    fn refold(&mut self) {
        let entries = std::mem::take(&mut self.entries);
        if let Ok(fresh) = Self::begin(self.header.clone()) {
            *self = fresh;
        }
        for entry in standing(&entries) {
            self.fold(entry);
        }
        self.entries = entries;
    }

    fn fold(&mut self, entry: &Entry) {
        self.paused = matches!(entry.event, Event::Paused {});
        self.go_on_to(&entry.event);
        let phase = self.phase;
        match &entry.event {
            Event::Looked { item, finding, note } => {
                self.looks.insert(*item, (item.read(*finding), note.clone()));
                self.look_again.remove(item);
            }
            Event::Rejected { part, cutter, note } => {
                self.rejections.push(Stop { part: *part, cutter: *cutter, note: note.clone() });
            }
            Event::Cut { how } => self.cut = Some(*how),
            Event::NewLength { mm } => self.new_length = Some(mm.map_or(NewLength::NotKnown, NewLength::Told)),
            Event::Saw { looked_at } => self.saw = looked_at.clone().map_or(SawLook::LeftOut, SawLook::LookedAt),
            Event::Target { mm, left_short, recommended } => {
                self.choose(Target { length: *mm, recommended: *recommended }, left_short);
                self.begin_filing();
            }
            Event::Rule { rule } => self.rule = Some(*rule),
            Event::AboveSetting { setting_mm, largest_mm } => {
                self.accepted = Some(AboveSetting { setting: *setting_mm, largest: *largest_mm });
            }
            Event::Light { dull } => {
                let looked = dull.is_some();
                self.light = Some(Light { looked, dull: dull.iter().flatten().copied().collect() });
            }
            Event::Done { task } => {
                self.done.insert(*task);
            }
            Event::Went { phase, cutter, reading } => self.go(*phase, *cutter, *reading),
            Event::Note { cutter: None, text } => self.notes.push(text.clone()),
            Event::Zero { mm } => {
                self.zeros.push(*mm);
                let task = if phase < Phase::Prove { Task::StartZero } else { Task::EndZero };
                self.done.insert(task);
            }
            Event::Closed { how } => self.closed = Some(*how),
            Event::Void { .. } | Event::Paused {} | Event::Resumed {} => return,
            other => {
                self.fold_cutter(other, entry.by.as_deref());
                self.weigh_anew();
            }
        }
        self.in_force = InForce::default();
        script::advance(self);
        if self.phase != phase && !matches!(entry.event, Event::Went { .. }) {
            self.at = None;
        }
    }

    /// Work of a later part of filing is on record: whoever did it had gone on. Older versions went on from a cutter within the
    /// whole tolerance, and from a raker too, where filing now stops at the aim; their rounds stand where they stood.
    fn go_on_to(&mut self, event: &Event) {
        let to = match event {
            Event::Done { task: Task::SawTurned } => Phase::Second,
            Event::Rule { .. } => Phase::Rakers,
            Event::Light { .. } | Event::Done { task: Task::Proved | Task::EndZero } => Phase::Prove,
            _ => return,
        };
        if self.back.is_none() && (Phase::First..to).contains(&self.phase) {
            self.phase = to;
        }
    }

    fn fold_cutter(&mut self, event: &Event, by: Option<&str>) {
        let Some(number) = cutter_of(event) else { return };
        if let (Event::Length { when: When::After, again: false, .. }, Some(light)) = (event, &mut self.light) {
            light.dull.remove(&number);
        }
        let filed = self.cutter(number).is_some_and(|cutter| super::now::is_filed(self, cutter));
        let Some(cutter) = self.cutters.get_mut(number.index()) else { return };
        if let Some(reading) = reading_of(event) {
            cutter.reopened.remove(&reading);
            match by {
                Some(by) => _ = cutter.taken_by.insert(reading, by.to_owned()),
                None => _ = cutter.taken_by.remove(&reading),
            }
            if matches!(event, Event::LeftOut { .. }) {
                cutter.mending_angle &= reading != Reading::Angle;
            } else {
                cutter.left_out.remove(&reading);
            }
            // A repeat may come when the round has gone on to its next part: it does not lead back into the middle of that.
            if !is_repeat(event) {
                self.at = Some(number);
            }
        }
        match event {
            Event::Length { when: When::Before, mm, again, .. } => {
                if *again {
                    cutter.came_again(mm.get(), &mut self.hand);
                }
                cutter.before.take(*mm, *again);
            }
            Event::Length { when: When::After, mm, again, .. } => {
                cutter.weigh(mm.get(), *again, &mut self.hand);
                cutter.filed_to(*mm, *again);
            }
            Event::Angle { deg, again, .. } => cutter.angle_read(*deg, *again),
            Event::Gap { when, mm, again, .. } => cutter.gap_read(*when, *mm, *again),
            Event::Strokes { count, .. } => {
                cutter.strokes = Some(cutter.strokes.unwrap_or(0).saturating_add(*count));
                cutter.pending_strokes = cutter.pending_strokes.saturating_add(*count);
            }
            Event::State { state, need_mm, .. } => cutter.marked(*state, *need_mm, filed),
            Event::LeftOut { reading, .. } => {
                cutter.left_out.insert(*reading);
            }
            Event::LeftAsIs { reading, .. } => {
                cutter.left_as_is.insert(*reading);
            }
            Event::Note { text, .. } => cutter.notes.push(text.clone()),
            _ => {}
        }
    }

    fn go(&mut self, phase: Phase, cutter: Option<CutterNumber>, reading: Option<Reading>) {
        self.look_again.clear();
        if phase == Phase::Look {
            self.look_again.extend(self.header.looks());
            // What is found may want the proof read anew.
            self.back = self.back.or(Some(self.phase.min(Phase::Prove)));
        } else if cutter.is_some() && phase < self.phase {
            self.back = self.back.or(Some(self.phase));
        } else if phase != self.phase {
            self.back = None;
        }
        self.phase = phase;
        self.at = cutter;
        let chosen = phase == Phase::Plan && self.target.is_some();
        self.reopened = chosen.then_some(Reopened { about: cutter });
        if let Some(cutter) = cutter.and_then(|n| self.cutters.get_mut(n.index())) {
            let readings = reading.map_or_else(|| list::readings_of(phase, &self.header), |reading| vec![reading]);
            for reading in readings {
                cutter.reopen(reading);
            }
            cutter.mending_angle = reading == Some(Reading::Angle);
            if phase == Phase::Rakers {
                // Going back to a raker that was left high means to file it now.
                cutter.left_out.remove(&Reading::GapAfter);
            }
        }
        if phase <= Phase::Prove {
            self.done.remove(&Task::Proved);
        }
    }
}
