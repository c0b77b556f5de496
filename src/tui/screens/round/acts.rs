//! What the keys of the round do, the field's own aside.

use super::super::super::effect::{Effect, Step, Work};
use super::super::super::keys::Action;
use super::super::super::look::Shared;
use super::super::super::scene::{Case, Scene};
use super::super::view::View;
use super::RoundScreen;
use super::side_entry::{self, SideEntry};
use crate::chain::CutterNumber;
use crate::coach::Command;

impl RoundScreen {
    pub(super) fn take_back(&mut self) -> Vec<Effect> {
        if !self.field.value().is_empty() {
            self.field.reset();
            return Vec::new();
        }
        self.command(Command::TakeBack)
    }

    pub(super) fn pause(&mut self) -> Vec<Effect> {
        if self.coach.round.closed.is_some() {
            return vec![Effect::Go(Step::Close)];
        }
        let mut effects = self.command(Command::Pause);
        effects.push(Effect::Go(Step::Close));
        effects
    }

    /// The cutter that a mark is put on: the one in hand.
    pub(super) fn at_hand(&self) -> Option<CutterNumber> {
        self.coach.at_hand()
    }

    /// The same where there is no doubt: once a reading has led on, a mark may be meant for the cutter just read.
    pub(super) fn surely_at_hand(&self) -> Option<CutterNumber> {
        self.at_hand().filter(|_| self.coach.just_read().is_none())
    }

    fn on_cutter(&mut self, wish: fn(CutterNumber) -> Command, entry: SideEntry) -> Vec<Effect> {
        match self.surely_at_hand() {
            Some(cutter) => self.command(wish(cutter)),
            None => {
                self.side = Some(entry.told(self.coach.just_read(), self.at_hand()));
                Vec::new()
            }
        }
    }

    pub(super) fn side_done(&mut self) -> Vec<Effect> {
        let Some(entry) = self.side.take() else { return Vec::new() };
        match entry.finish() {
            side_entry::Finish::Command(command) => self.command(command),
            side_entry::Finish::Hand(who) => vec![Effect::Desk(Work::HandTo(who))],
            side_entry::Finish::Next(next) => {
                (self.side, self.refused) = (Some(next), None);
                Vec::new()
            }
            side_entry::Finish::Refused(entry, why) => {
                self.side = Some(entry);
                self.refused = Some(why);
                Vec::new()
            }
            side_entry::Finish::Nothing => Vec::new(),
        }
    }

    /// The saw of this round, else the one last known of the loop, else one to be named.
    fn look_at_saw(&mut self) -> Vec<Effect> {
        let known = self.coach.saw.as_ref().map(|saw| saw.header.name.clone()).unwrap_or_default();
        let named = self.coach.round.header.saw.clone();
        match if named.is_empty() { known } else { named } {
            name if name.is_empty() => {
                self.side = Some(SideEntry::saw());
                Vec::new()
            }
            name => self.command(Command::Saw(name)),
        }
    }

    /// The next picture. In a small window the first press makes it large, and after the last one it is small again.
    fn next_picture(&mut self) {
        if !self.wide.get() && !self.enlarged {
            self.enlarged = true;
            return;
        }
        self.view = self.view.next();
        while self.large.get() && self.view.is_always_there() {
            self.view = self.view.next();
        }
        self.enlarged &= self.view != View::default();
    }

    pub(super) fn act_round(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        // Why the last one was not taken has been read: it hides no hint of what is asked now.
        self.refused = None;
        match action {
            Action::Next => {
                let text = self.field.value().to_owned();
                return self.submit(&text, shared.now);
            }
            Action::TakeBack => return self.take_back(),
            Action::Pause => return self.pause(),
            Action::Up => self.nudge(true),
            Action::Down => self.nudge(false),
            Action::Clear => self.field.reset(),
            Action::View => self.next_picture(),
            Action::Enough => return self.command(Command::Enough),
            Action::Skip => {
                let reply = self.coach.leave_out(shared.now);
                return self.settle(reply);
            }
            Action::Again => return self.command(Command::Again),
            Action::Missing => return self.on_cutter(Command::Missing, SideEntry::missing()),
            Action::Kept => return self.on_cutter(Command::Kept, SideEntry::kept()),
            Action::Damaged => {
                let unit = self.coach.round.header.units;
                let which = || SideEntry::damaged(unit).told(self.coach.just_read(), self.at_hand());
                self.side = Some(self.surely_at_hand().map_or_else(which, |cutter| SideEntry::depth(cutter, unit)));
            }
            Action::Note => self.side = Some(SideEntry::note(self.at_hand())),
            Action::GoTo => self.side = Some(SideEntry::go_to()),
            Action::HandOver => self.side = Some(SideEntry::hand()),
            Action::Saw => return self.look_at_saw(),
            Action::Zero => self.side = Some(SideEntry::zero()),
            Action::Causes => {
                let (findings, saw) = (Some(self.findings.clone()), self.coach.saw.clone());
                let case = Case { name: String::new(), findings, unit: self.coach.round.header.units, saw };
                return vec![Effect::Go(Step::Open(Scene::Causes(Box::new(case))))];
            }
            Action::Reject => self.side = Some(SideEntry::reject()),
            Action::Abandon => self.side = Some(SideEntry::abandon()),
            Action::SoFar => return vec![Effect::Desk(Work::SheetOf(Box::new(self.coach.clone())))],
            _ => {}
        }
        Vec::new()
    }
}
