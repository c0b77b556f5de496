//! Taking a loop into care: its name, whose it is, and how its cutters stand.

use chrono::DateTime;
use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Position, Rect};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::theme::Role;
use super::fields::{self, Fault};
use super::form::{Field, Form, Outcome};
use crate::care::RackError;
use crate::chain::{Profile, Sequence, Side};
use crate::coach::card::{Entry, blank};
use crate::round::Card;
use crate::tui::screen::Screen;
use crate::units::Unit;
use crate::units::clean::slug;

/// The form for a new loop.
pub(super) struct NewLoop {
    form: Form,
    profiles: Vec<Profile>,
    /// Tags that are taken.
    tags: Vec<String>,
    /// The odd number of drive links that was asked about.
    odd: Option<u16>,
    /// Loops with the same chain taken in one after the other keep everything but the name.
    taken: usize,
}

/// What stands above the chain and how its cutters stand, and below it.
const ABOVE: [Entry; 3] = [Entry::Name, Entry::Owner, Entry::Saw];
const BELOW: [Entry; 8] = [
    Entry::Mark,
    Entry::NewLength,
    Entry::Gap,
    Entry::Largest,
    Entry::Kickback,
    Entry::Corner,
    Entry::LoopPrice,
    Entry::RoundPrice,
];

impl NewLoop {
    /// An empty form over the profiles known.
    pub(super) fn new(profiles: Vec<Profile>, tags: Vec<String>, unit: Unit) -> Self {
        let usual = profiles.iter().position(|profile| profile.name == "three-eighths").unwrap_or(0);
        let spec = profiles[usual].spec().clone();
        let nothing = blank(DateTime::default());
        let field = |entry: Entry| fields::of(entry, &nothing, &spec, unit);
        let mut all: Vec<Field> = ABOVE.into_iter().map(field).collect();
        all.push(fields::chains(&profiles, usual));
        all.extend(fields::stand("", &Sequence::Full, Side::Left));
        all.extend(BELOW.into_iter().map(field));
        let mut form = Form::new("Take a loop into care", all).in_unit(unit);
        // The chain may still be changed: no figure of one type is named here.
        let own = format!("In {}, as measured. Empty: the chain type's.", unit.of_lengths());
        form.hint(Entry::NewLength.key(), &own);
        let own = format!("In {}, as stamped or in its manual. Empty: the chain type's.", unit.of_lengths());
        form.hint(Entry::Gap.key(), &own);
        let last = format!("{} Enter takes the loop into care.", Entry::RoundPrice.hint(&spec, unit));
        form.hint(Entry::RoundPrice.key(), &last);
        form.hide("order", true);
        Self { form, profiles, tags, odd: None, taken: 0 }
    }

    fn card(&self, shared: &Shared) -> Result<Card, Fault> {
        let name = self.form.value("name");
        let tag = slug(&name).ok_or(("name", "Type a name with at least one letter or digit.".to_owned()))?;
        let (sequence, first, layout) = fields::read_stand(&self.form)?;
        let mut card = Card { tag, links: layout.links(), sequence, first, ..blank(shared.now) };
        if let Some(profile) = self.profiles.get(self.form.chosen(Entry::Chain.key())) {
            card.profile.clone_from(&profile.name);
        }
        fields::take(&self.form, &[ABOVE.as_slice(), &BELOW].concat(), &mut card, &self.profiles)?;
        Ok(card)
    }

    /// Why the name that is being left cannot be taken.
    fn is_taken(&self, action: Action) -> Option<String> {
        let leaves = self.form.leaves("name", action);
        let tag = slug(&self.form.value("name")).filter(|tag| leaves && self.tags.contains(tag))?;
        Some(RackError::TagTaken(tag).to_string())
    }

    /// What the layout comes to, said while the form is filled in.
    fn preview(&self) -> String {
        if self.form.value("links").is_empty() {
            return String::new();
        }
        match fields::read_stand(&self.form) {
            Err((_, why)) => why,
            Ok((_, _, layout)) => fields::comes_to(&layout),
        }
    }
}

impl Screen for NewLoop {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        if let Some(why) = fields::unlikely(&self.form, action, &mut self.odd) {
            self.form.refuse("links", why);
            return Vec::new();
        }
        if let Some(why) = self.is_taken(action) {
            self.form.refuse("name", why);
            return Vec::new();
        }
        let outcome = self.form.act(action);
        self.form.hide("order", !fields::is_written(&self.form));
        match outcome {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close), Effect::Desk(Work::LoadRack)],
            Outcome::Finished => {
                let read = self.card(shared);
                self.form.finished(read, |card| vec![Effect::Desk(Work::CreateLoop(Box::new(card)))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
        self.form.hide("order", !fields::is_written(&self.form));
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::Created(Ok(())) => {
                self.taken += 1;
                self.tags.extend(slug(&self.form.value("name")));
                let next = next_name(&self.form.value("name"));
                self.form.set("name", &next);
                self.form.restart();
            }
            Answer::Created(Err(why)) => self.form.refuse("name", why),
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let said = match self.taken {
            0 => self.preview(),
            taken => format!("Taken into care: {taken}. Next name and Enter, or Esc when done. {}", self.preview()),
        };
        let body = footer::under(frame, area, self.place(), (&said, Role::Now), shared);
        self.form.draw(frame, body, shared.theme)
    }
}

/// `A 12` after `A 11`: the numbers of a batch of loops go on.
fn next_name(name: &str) -> String {
    let digits = name.chars().rev().take_while(char::is_ascii_digit).count();
    let (stem, number) = name.split_at(name.len() - digits);
    number.parse::<u32>().map_or_else(|_| String::new(), |n| format!("{stem}{:0digits$}", n.saturating_add(1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_batch_is_numbered_on() {
        assert_eq!(next_name("A 09"), "A 10");
        assert_eq!(next_name("crew 7"), "crew 8");
        assert_eq!(next_name("Big saw"), "");
    }
}
