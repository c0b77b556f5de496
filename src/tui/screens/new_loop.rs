//! Taking a loop into care: its name, whose it is, and how its cutters stand.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout as Split, Position, Rect};
use ratatui::text::Line;

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::theme::Role;
use super::fields;
use super::form::{Field, Form, Outcome};
use crate::care::RackError;
use crate::chain::{Profile, Sequence, Side};
use crate::round::Card;
use crate::round::card::{Own, Prices};
use crate::tui::screen::Screen;
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

impl NewLoop {
    /// An empty form over the profiles known.
    pub(super) fn new(profiles: Vec<Profile>, tags: Vec<String>) -> Self {
        let titles = profiles.iter().map(|profile| profile.title.clone());
        let usual = profiles.iter().position(|profile| profile.name == "three-eighths").unwrap_or(0);
        let fields = [
            Field::text("name", "Name", "", "What the tag on the loop says, such as 12 or Big saw A."),
            Field::text("owner", "Owner", "", "Whose it is. May stay empty."),
            Field::text(
                "saw",
                "Saw",
                "",
                "The saw it runs on. Loops on one saw share its bar and sprocket. May stay empty.",
            ),
            Field::choice(
                "profile",
                "Chain",
                titles,
                usual,
                "Right or Space for the next. Pitch: three rivets apart, halved.",
            ),
            Field::text(
                "mark",
                "Start mark",
                "",
                "How the start is marked: a painted strap, the joining link. May stay empty.",
            ),
            Field::text(
                "new",
                "Length when new",
                "",
                "In mm, from the rear edge of the top plate to the corner. Empty: the chain type's.",
            ),
        ];
        let prices = [
            Field::text("price", "Price of a new loop", "", "In your own money, for costs. May stay empty."),
            Field::text("round", "Price of a round", "", "The same. May stay empty. Enter takes the loop into care."),
        ];
        let limits =
            fields::limits(&Own::default(), "In mm, if the chain or its manual states one. Empty: the chain type's.");
        let mut fields: Vec<Field> = fields.into_iter().chain(limits).chain(prices).collect();
        // After the chain type.
        fields.splice(4..4, fields::stand("", &Sequence::Full, Side::Left));
        let mut form = Form::new("Take a loop into care", fields);
        form.hide("order", true);
        Self { form, profiles, tags, odd: None, taken: 0 }
    }

    fn card(&self, shared: &Shared) -> Result<Card, (&'static str, String)> {
        let name = self.form.value("name");
        let tag = slug(&name).ok_or(("name", "A name with at least one letter or digit is needed.".to_owned()))?;
        let (sequence, first, layout) = fields::read_stand(&self.form)?;
        let profile = self.profiles.get(self.form.chosen("profile"));
        Ok(Card {
            tag,
            name,
            owner: self.form.value("owner"),
            saw: self.form.value("saw"),
            profile: profile.map_or_else(String::new, |profile| profile.name.clone()),
            links: layout.links(),
            sequence,
            first,
            start_mark: self.form.value("mark"),
            created: shared.now,
            own: fields::read_limits(
                &self.form,
                Own {
                    new_length: fields::length(&self.form, "new", fields::range("new_length_mm"))?,
                    ..Own::default()
                },
            )?,
            prices: Prices {
                new_loop: fields::amount(&self.form, "price")?,
                round: fields::amount(&self.form, "round")?,
                hours_between: None,
            },
            scrapped: None,
            releases: Vec::new(),
        })
    }

    /// Why the name that is being left cannot be taken.
    fn is_taken(&self, action: Action) -> Option<String> {
        let leaves = self.form.current() == "name" && matches!(action, Action::Next | Action::Down);
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
        let [body, say, foot] =
            Split::vertical([Constraint::Min(0), Constraint::Length(1), Constraint::Length(1)]).areas(area);
        let cursor = self.form.draw(frame, body, shared.theme);
        let said = match self.taken {
            0 => self.preview(),
            taken => format!("Taken into care: {taken}. Next name and Enter, or Esc when done. {}", self.preview()),
        };
        frame.render_widget(Line::styled(said, shared.theme.style(Role::Now)), say);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}

/// `A 12` after `A 11`: a batch of loops is numbered on.
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
