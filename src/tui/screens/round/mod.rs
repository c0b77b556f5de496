//! The round: the field always has the cursor, what to do now is the largest thing on the screen.

mod acts;
mod choices;
mod draw;
mod glance;
mod map;
mod nudge;
mod picture;
mod practice;
mod roomy;
mod side_entry;
mod worn;

use std::cell::Cell;

use chrono::{DateTime, FixedOffset};
use crossterm::event::{Event as TermEvent, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::{AtBench, Scene, Whys};
use super::picture::Worn;
use super::view::View;
use crate::advice::Findings;
use crate::chain::CutterNumber;
use crate::coach::{Coach, Command, Pending, Prompt, Reply, Said, Tone};
use crate::practice::MARKED;
use crate::round::about::cutter_of;
use crate::round::{Ask, Entry, Event};
use crate::tui::screen::Screen;
use glance::Glance;
use practice::Practising;
use side_entry::SideEntry;

/// Longest line in the reading field: a stuck key fills no more.
const MAX_FIELD: usize = 24;

/// Events on their way to the record.
#[derive(Default)]
struct Storing {
    pending: Vec<Pending>,
    /// What the field held for them.
    text: String,
    /// They could not be stored, and wait to be stored after all.
    failed: bool,
}

/// The round screen.
pub(super) struct RoundScreen {
    name: String,
    coach: Coach,
    findings: Findings,
    prompt: Prompt,
    glance: Glance,
    field: Input,
    side: Option<SideEntry>,
    said: Option<Said>,
    /// A line that was refused, with why.
    refused: Option<String>,
    /// What is being stored, or could not be.
    storing: Storing,
    /// The field holds a refused line: the next character starts a fresh one.
    stale: bool,
    view: View,
    /// The field was filled as a hand fills it.
    by_hand: bool,
    /// In a small window: the picture takes the room of digits and map.
    enlarged: bool,
    /// The window has room for the picture beside the work, as last drawn.
    wide: Cell<bool>,
    /// The window has room for everything, as last drawn.
    large: Cell<bool>,
    /// The cutter that the last saying is about.
    said_of: Option<CutterNumber>,
    /// The cutter that the last entry took steel off, as it was before.
    worn: Option<Worn>,
    /// The simulated loop behind it, where it is practice.
    practice: Option<Practising>,
}

impl RoundScreen {
    /// The screen of a round.
    pub(super) fn new(AtBench { name, coach, opening, practice }: AtBench) -> Self {
        let findings = coach.findings().clone();
        let practice = practice.map(|of| Practising::new(of, &coach));
        let prompt = practice::prompt(practice.as_ref(), &coach, &findings);
        let glance = Glance::of(&coach, &findings);
        let said = opening.map(|text| Said { tone: Tone::Plain, word: String::new(), text, ask_again: false });
        Self {
            name,
            coach,
            findings,
            prompt,
            glance,
            field: Input::default(),
            side: None,
            said,
            refused: None,
            storing: Storing::default(),
            stale: false,
            by_hand: false,
            view: View::default(),
            enlarged: false,
            wide: Cell::new(false),
            large: Cell::new(false),
            said_of: None,
            worn: None,
            practice,
        }
    }

    fn refresh(&mut self) {
        self.findings = self.coach.findings().clone();
        self.prompt = practice::prompt(self.practice.as_ref(), &self.coach, &self.findings);
        self.glance = Glance::of(&self.coach, &self.findings);
    }

    fn submit(&mut self, text: &str, now: DateTime<FixedOffset>) -> Vec<Effect> {
        if matches!(self.prompt.step.ask, Ask::Nothing) {
            return vec![Effect::Go(Step::Close)];
        }
        let by_hand = std::mem::take(&mut self.by_hand);
        if self.practice.is_some() {
            return self.practised(text, now);
        }
        if self.storing.failed && text == self.storing.text {
            return vec![Effect::Desk(Work::Append(self.storing.pending.clone()))];
        }
        let reply = if by_hand { self.coach.enter_by_hand(text, now) } else { self.coach.enter(text, now) };
        self.settle(reply)
    }

    /// What a reply wants done. The typed text stays in the field until it is on record.
    fn settle(&mut self, reply: Reply) -> Vec<Effect> {
        self.refused = None;
        match reply {
            Reply::Record(pending) if self.practice.is_some() => self.keep_practised(&pending),
            Reply::Record(pending) => {
                let text = self.field.value().to_owned();
                self.storing = Storing { pending: pending.clone(), text, failed: false };
                vec![Effect::Desk(Work::Append(pending))]
            }
            Reply::Question(question) => {
                let ways = question.ways(|meant| format!("y takes {meant}"), "star keeps it");
                let speak = format!("{} {ways}, or {}.", question.text, question.or);
                vec![Effect::Desk(Work::Bell(2)), Effect::Desk(Work::Speak(speak))]
            }
            Reply::Saw(name) => {
                self.field.reset();
                let (with, unit) = (self.coach.round.header.tag.clone(), self.coach.round.header.units);
                vec![Effect::Desk(Work::SawChecks { name, with: Some(with), unit: Some(unit), warm: false })]
            }
            Reply::Refused(why) => {
                let speak = Effect::Desk(Work::Speak(why.clone()));
                self.refused = Some(why);
                self.stale = true;
                if !matches!(self.prompt.step.ask, Ask::Read(_)) {
                    self.field.reset();
                }
                vec![speak]
            }
            Reply::Moved => {
                self.field.reset();
                self.refresh();
                vec![Effect::Desk(Work::Speak(self.prompt.aloud()))]
            }
        }
    }

    fn command(&mut self, command: Command) -> Vec<Effect> {
        let reply = self.coach.command(command);
        let effects = self.settle(reply);
        self.refresh();
        effects
    }
}

/// Keys that the number pad sends for digits and the point while its lock is off, where they make no sense otherwise.
const fn is_pad_without_numlock(code: KeyCode, field_is_empty: bool) -> bool {
    match code {
        KeyCode::Insert | KeyCode::KeypadBegin => true,
        KeyCode::Home | KeyCode::End | KeyCode::Delete | KeyCode::Left | KeyCode::Right => field_is_empty,
        _ => false,
    }
}

impl Screen for RoundScreen {
    fn place(&self) -> Place {
        if self.side.is_some() {
            Place::Text
        } else if let Some(question) = &self.coach.question {
            if question.meant.is_some() { Place::Meant } else { Place::Question }
        } else if self.coach.round.closed.is_some() {
            Place::Closed
        } else {
            Place::Round
        }
    }

    fn has_text(&self) -> bool {
        self.side.is_some() || !(self.stale || self.field.value().is_empty() || self.coach.question.is_some())
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        if let Some(effects) = self.act_in_practice(action, shared) {
            return effects;
        }
        match (self.place(), action) {
            (_, Action::Why) => {
                let whys = Whys::of(&self.coach);
                whys.map(|whys| Effect::Go(Step::Open(Scene::Why(Box::new(whys))))).into_iter().collect()
            }
            (_, Action::Model) => {
                let (name, ground) = (Some(self.name.clone()), Box::new(self.coach.ground()));
                vec![Effect::Desk(Work::Learn { name, ground, lesson: None })]
            }
            (Place::Round | Place::Closed, Action::Gaps) => {
                let header = &self.coach.round.header;
                vec![Effect::Desk(Work::Gaps { tag: header.tag.clone(), unit: Some(header.units) })]
            }
            (Place::Text, Action::Next) => self.side_done(),
            (Place::Text, Action::Close) => {
                self.side = None;
                self.refused = None;
                Vec::new()
            }
            (Place::Text, _) => Vec::new(),
            (Place::Question | Place::Meant, Action::Keep) => {
                let reply = self.coach.keep();
                self.settle(reply)
            }
            (Place::Meant, Action::TakeMeant) => {
                let reply = self.coach.take_meant();
                self.settle(reply)
            }
            (Place::Question | Place::Meant, Action::Refuse) => {
                let or = self.coach.question.take().map_or("measure again", |question| question.or);
                self.field.reset();
                self.refused = Some(format!("Not taken: {or}."));
                Vec::new()
            }
            _ => self.act_round(action, shared),
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        if let Some(side) = &mut self.side {
            side.edit(key);
            return;
        }
        if self.coach.round.closed.is_some() {
            return;
        }
        // A digit on an open question is a fresh measurement.
        if self.coach.question.is_some() {
            if !matches!(key.code, KeyCode::Char(_)) {
                return;
            }
            self.coach.refuse();
            self.field.reset();
        }
        self.refused = None;
        if std::mem::take(&mut self.stale) && matches!(key.code, KeyCode::Char(_)) {
            self.field.reset();
        }
        if self.field.value().chars().count() >= MAX_FIELD && matches!(key.code, KeyCode::Char(_)) {
            self.field.reset();
            self.refused = Some("Too long for a reading: thrown away. Is a key stuck?".to_owned());
            return;
        }
        if is_pad_without_numlock(key.code, self.field.value().is_empty()) {
            self.refused = Some("That key moves the cursor. Is Num Lock off?".to_owned());
        }
        self.field.handle_event(&TermEvent::Key(key));
    }

    fn typed(&mut self, by_hand: bool) {
        self.by_hand = by_hand;
    }

    fn line(&mut self, text: &str, ended: bool, shared: &Shared) -> Vec<Effect> {
        self.by_hand = false;
        if let Some(side) = &mut self.side {
            side.insert(text);
            return Vec::new();
        }
        if self.coach.round.closed.is_some() {
            return Vec::new();
        }
        self.coach.refuse();
        self.field = Input::new(text.trim().to_owned());
        if ended { self.submit(text, shared.now) } else { Vec::new() }
    }

    fn not_stored(&self) -> Option<String> {
        Some(self.field.value().to_owned()).filter(|text| self.storing.failed && !text.is_empty())
    }

    fn marks(&self) -> Option<&'static str> {
        self.practice.as_ref().map(|_| MARKED)
    }

    fn takes_sent(&self, _: &str) -> bool {
        self.side.is_some() || (self.practice.is_none() && self.coach.asks_for_a_figure())
    }

    fn opened(&self) -> Vec<Effect> {
        let opening = self.said.iter().map(Said::line);
        opening.chain([self.prompt.aloud()]).map(|line| Effect::Desk(Work::Speak(line))).collect()
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        let (stored, why) = match answer {
            Answer::Stored(stored) => (stored, None),
            Answer::Handed(who, skill) => {
                self.coach.handed_to(&who, skill);
                self.refresh();
                return vec![Effect::Go(Step::Notice(format!(
                    "{who} goes on: each entry from now on keeps that name."
                )))];
            }
            Answer::NotStored { stored, why } => (stored, Some(why)),
            Answer::SawStored(saw) => return vec![Effect::Desk(Work::Append(vec![self.coach.saw_looked_at(*saw)]))],
            _ => return Vec::new(),
        };
        self.on_record(stored, why)
    }

    fn leave(&mut self) -> Vec<Effect> {
        if self.coach.round.closed.is_some() || self.coach.round.paused || self.practice.is_some() {
            return Vec::new();
        }
        self.command(Command::Pause)
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        self.draw_all(frame, area, shared)
    }
}

impl RoundScreen {
    /// Entries are on record; why the next is not, where it is not.
    fn on_record(&mut self, stored: Vec<Entry>, why: Option<String>) -> Vec<Effect> {
        let mut effects = Vec::new();
        self.storing.pending.drain(..stored.len().min(self.storing.pending.len()));
        self.storing.failed = why.is_some();
        for entry in stored {
            let silent = matches!(entry.event, Event::Went { .. } | Event::Paused {} | Event::Resumed {});
            let event = entry.event.clone();
            let about = cutter_of(&entry.event);
            self.worn = worn::before(&entry.event, &self.findings);
            let said = self.coach.recorded(entry);
            // What holds the screen says it itself.
            let said = Some(said).filter(|_| !self.coach.is_held_by(&event));
            if !silent {
                effects.push(Effect::Desk(Work::Bell(1)));
                effects.extend(said.iter().map(|said| Effect::Desk(Work::Speak(said.line()))));
                self.said = said;
                self.said_of = about;
            }
        }
        match why {
            // Not on record: what was typed stays in the field, nothing is lost.
            Some(why) => self.refused = Some(why),
            None => {
                self.field.reset();
                self.refused = None;
            }
        }
        self.refresh();
        self.worn = self.worn.and_then(|before| worn::gone(before, &self.findings));
        if !effects.is_empty() {
            effects.push(Effect::Desk(Work::Speak(self.prompt.aloud())));
            if self.worn.is_some() || self.said.as_ref().is_some_and(|said| !said.word.is_empty()) {
                effects.push(Effect::Go(Step::Move));
            }
        }
        effects
    }
}
