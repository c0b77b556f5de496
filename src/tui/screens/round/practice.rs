//! The round as practice: what a bench would answer comes from the simulation, and nothing goes to the record.

use chrono::{DateTime, FixedOffset};
use tui_input::Input;

use super::super::super::effect::{Effect, Step, Work};
use super::super::super::keys::{Action, Place};
use super::super::super::look::Shared;
use super::super::super::scene::{AtBench, PageOf, Scene};
use super::RoundScreen;
use crate::advice::Findings;
use crate::coach::{Coach, Command, Pending, Prompt};
use crate::practice::{MARK, MARKED, Practice};
use crate::report::sheet::Sheet;
use crate::tui::screen::Screen;

/// Said to a wish that belongs to loops in care.
const NOT_HERE: &str = "That belongs to loops in care: this is practice on a made-up one.";

/// The simulated loop, and the time of the key in hand.
pub(super) struct Practising {
    of: Box<Practice>,
    now: DateTime<FixedOffset>,
}

impl Practising {
    pub(super) fn new(of: Box<Practice>, coach: &Coach) -> Self {
        let now = coach.round.entries.last().map_or(coach.round.header.started, |entry| entry.at);
        Self { of, now }
    }
}

/// The prompt, marked where it is practice.
pub(super) fn prompt(practice: Option<&Practising>, coach: &Coach, findings: &Findings) -> Prompt {
    let mut prompt = coach.prompt(findings);
    if practice.is_some() {
        Practice::dress(coach, &mut prompt);
    }
    prompt
}

impl RoundScreen {
    /// A line in practice: an empty one brings what the simulation answers, where it has an answer.
    pub(super) fn practised(&mut self, text: &str, now: DateTime<FixedOffset>) -> Vec<Effect> {
        let Some(practice) = &mut self.practice else { return Vec::new() };
        practice.now = now;
        if let Some(why) = Practice::refuses(&self.coach, text) {
            self.field.reset();
            self.refused = Some(why.to_owned());
            return vec![Effect::Desk(Work::Speak(why.to_owned()))];
        }
        let simulated = if text.trim().is_empty() { practice.of.answer(&self.coach) } else { None };
        if let Some(line) = &simulated {
            self.field = Input::new(line.clone());
        }
        let reply = self.coach.enter(simulated.as_deref().unwrap_or(text), now);
        self.settle(reply)
    }

    /// Folds events without storing them. Once the round is over, what was true is told.
    pub(super) fn keep_practised(&mut self, pending: &[Pending]) -> Vec<Effect> {
        let mut effects = Vec::new();
        for one in pending {
            let Some(practice) = &mut self.practice else { break };
            let entry = practice.of.store(&self.coach, one, practice.now);
            effects.extend(self.on_record(vec![entry], None));
        }
        if self.coach.round.closed.is_some() {
            effects.extend(self.told(false));
        }
        effects
    }

    /// What was true, then the sheet.
    fn told(&self, ascii: bool) -> Option<Effect> {
        let outcome = self.practice.as_ref()?.of.outcome(&self.coach)?;
        let title = format!("{MARK}: what was true; v: the sheet of this round");
        let versions = vec![outcome.lines().join("\n"), self.practice_sheet(ascii)];
        Some(Effect::Go(Step::Open(Scene::Page { title, versions, of: PageOf::Below })))
    }

    fn practice_sheet(&self, ascii: bool) -> String {
        format!("{MARKED}\n\n{}", Sheet::of(&self.coach.context(), None).text(ascii))
    }

    /// What a key does in practice, where that is something other than in a round on record.
    pub(super) fn act_in_practice(&mut self, action: Action, shared: &Shared) -> Option<Vec<Effect>> {
        self.practice.as_mut()?.now = shared.now;
        if !matches!(self.place(), Place::Round | Place::Closed) {
            return None;
        }
        let ascii = shared.theme.ascii();
        Some(match action {
            Action::SoFar if self.coach.round.closed.is_some() => self.told(ascii).into_iter().collect(),
            Action::SoFar => {
                let title = format!("{MARK}: sheet of a made-up loop");
                vec![Effect::Go(Step::Open(Scene::Page {
                    title,
                    versions: vec![self.practice_sheet(ascii)],
                    of: PageOf::Below,
                }))]
            }
            Action::Saw | Action::HandOver | Action::Gaps => vec![Effect::Go(Step::Notice(NOT_HERE.to_owned()))],
            Action::Pause if self.coach.round.closed.is_none() => {
                let mut effects = self.command(Command::Pause);
                effects.extend(self.practice.take().map(|practice| {
                    let (name, coach) = (self.name.clone(), self.coach.clone());
                    let left = AtBench { name, coach, opening: None, practice: Some(practice.of) };
                    Effect::Desk(Work::KeepPractice(Box::new(left)))
                }));
                effects.push(Effect::Go(Step::Close));
                effects
            }
            _ => return None,
        })
    }
}
