//! A loop's card: whose it is, what it costs, and the figures that were measured on it.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout as Split, Position, Rect};
use ratatui::text::Line;

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::theme::Role;
use super::fields::{self, Fault};
use super::form::{Field, Form, Outcome};
use crate::care::{self, Changed};
use crate::chain::{Profile, Sequence, Side};
use crate::round::Card;
use crate::round::card::{Own, Prices};
use crate::tui::screen::Screen;
use crate::units::{Degrees, Millimetres};

/// The form over one card.
pub(super) struct CardScreen {
    card: Card,
    profiles: Vec<Profile>,
    /// The odd number of drive links that was asked about.
    odd: Option<u16>,
    form: Form,
}

impl CardScreen {
    /// The card as it stands, over the profiles known.
    pub(super) fn new(card: Card, profile: &Profile, profiles: Vec<Profile>) -> Self {
        let at = profiles.iter().position(|known| known.name == profile.name).unwrap_or(0);
        let titles: Vec<String> = profiles.iter().map(|profile| profile.title.clone()).collect();
        let profile = profile.spec();
        let own = &card.own;
        let shown = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value}"));
        let replaces = |what: &str, value: String| format!("{what} Empty: the chain type's {value}.");
        let mut fields = vec![
            Field::text("name", "Name", &card.name, "What the tag on the loop says."),
            Field::text("owner", "Owner", &card.owner, "Whose it is. May stay empty."),
            Field::text("saw", "Saw", &card.saw, "Loops on one saw share its bar and sprocket. May stay empty."),
            Field::text("mark", "Start mark", &card.start_mark, "How cutter 1 is found. May stay empty."),
            Field::choice(
                "profile",
                "Chain",
                titles,
                at,
                "Right or Space for the next. Pitch: three rivets apart, halved.",
            ),
        ];
        fields.extend(fields::stand(&card.links.to_string(), &card.sequence, card.first));
        let figures = [
            Field::text(
                "new",
                "Length when new",
                &shown(own.new_length.map(Millimetres::get)),
                &replaces("mm, of a new cutter of this loop.", profile.new_length.to_string()),
            ),
            Field::text(
                "reach",
                "Reach when new",
                &shown(own.reach_new.map(Millimetres::get)),
                &replaces(
                    "mm, raker top to corner. On a worn loop leave it empty: g takes it there.",
                    profile.reach_new.to_string(),
                ),
            ),
            Field::text(
                "slope",
                "Back slope",
                &shown(own.back_slope.map(Degrees::get)),
                &replaces("Degrees, fall of the top plate to the heel.", profile.back_slope.to_string()),
            ),
        ];
        let prices = [
            Field::text("price", "Price of a new loop", &shown(card.prices.new_loop), "In your own money."),
            Field::text("round", "Price of a round", &shown(card.prices.round), "The same."),
            Field::text(
                "hours",
                "Hours between rounds",
                &shown(card.prices.hours_between),
                "Hours it cuts between rounds, for the cost of an hour. Enter keeps the card.",
            ),
        ];
        let limits = fields::limits(own, &replaces("mm, as chain or manual states it.", profile.base_gap.to_string()));
        fields.extend(figures.into_iter().chain(limits).chain(prices));
        // The number that it was taken in with is not asked about again.
        let odd = Some(card.links);
        let mut form = Form::new(&format!("Card of {} ({})", card.name, card.tag), fields);
        form.hide("order", !fields::is_written(&form));
        Self { card, profiles, odd, form }
    }

    /// How the cutters stood when the card was read.
    const fn stood(&self) -> (&Sequence, Side, u16) {
        (&self.card.sequence, self.card.first, self.card.links)
    }

    /// The card is kept. Where somebody else changed a field that was changed here too, theirs stands and the form stays open.
    fn kept(&mut self, (card, changed): (Card, Vec<Changed>)) -> Vec<Effect> {
        let both: Vec<&Changed> = changed.iter().filter(|changed| changed.mine.is_some()).collect();
        if both.is_empty() {
            let said = "The card is kept. Rounds begun from now on count with it.";
            let said = format!("{} {said}", care::changed(&changed)).trim_start().to_owned();
            return vec![Effect::Go(Step::Close), Effect::Desk(Work::LoadRack), Effect::Go(Step::Notice(said))];
        }
        let profile = self.profiles.iter().find(|profile| profile.name == card.profile).cloned();
        let Some(profile) = profile.or_else(|| self.profiles.first().cloned()) else { return Vec::new() };
        *self = Self::new(card, &profile, std::mem::take(&mut self.profiles));
        for changed in both.into_iter().rev() {
            let [theirs, mine] = [Some(changed.theirs.as_str()), changed.mine.as_deref()]
                .map(|value| value.filter(|value| !value.is_empty()).unwrap_or("empty").to_owned());
            let why = format!(
                "Another window made this {theirs} meanwhile, and it stays; you had {mine}. Change it, or Enter."
            );
            self.form.refuse(field_of(&changed.field), why);
        }
        vec![Effect::Desk(Work::Bell(2))]
    }

    fn changed(&self) -> Result<Card, Fault> {
        let name = self.form.value("name");
        if name.is_empty() {
            return Err(("name", "A name is needed.".to_owned()));
        }
        let form = &self.form;
        let (sequence, first, layout) = fields::read_stand(form)?;
        let profile = self.profiles.get(form.chosen("profile"));
        Ok(Card {
            name,
            profile: profile.map_or_else(|| self.card.profile.clone(), |profile| profile.name.clone()),
            links: layout.links(),
            sequence,
            first,
            owner: form.value("owner"),
            saw: form.value("saw"),
            start_mark: form.value("mark"),
            own: fields::read_limits(
                form,
                Own {
                    new_length: fields::length(form, "new", fields::range("new_length_mm"))?,
                    reach_new: fields::length(form, "reach", fields::range("reach_new_mm"))?,
                    back_slope: fields::angle(form, "slope", fields::range("back_slope_deg"))?,
                    ..self.card.own.clone()
                },
            )?,
            prices: Prices {
                new_loop: fields::amount(form, "price")?,
                round: fields::amount(form, "round")?,
                hours_between: fields::amount(form, "hours")?,
            },
            ..self.card.clone()
        })
    }
}

/// The field of the form that holds a field of the card.
fn field_of(field: &str) -> &'static str {
    const FIELDS: [(&str, &str); 18] = [
        ("owner", "owner"),
        ("saw", "saw"),
        ("start_mark", "mark"),
        ("profile", "profile"),
        ("links", "links"),
        ("sequence", "sequence"),
        ("first", "first"),
        ("own.new_length_mm", "new"),
        ("own.reach_new_mm", "reach"),
        ("own.back_slope_deg", "slope"),
        ("own.base_gap_mm", "gap"),
        ("own.largest_gap_mm", "largest"),
        ("own.lower_kickback", "kickback"),
        ("own.corner", "corner"),
        ("prices.new_loop", "price"),
        ("prices.round", "round"),
        ("prices.hours_between", "hours"),
        ("name", "name"),
    ];
    FIELDS.iter().find(|(known, _)| *known == field).map_or("name", |(_, key)| key)
}

impl Screen for CardScreen {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if let Some(why) = fields::unlikely(&self.form, action, &mut self.odd) {
            self.form.refuse("links", why);
            return Vec::new();
        }
        let outcome = self.form.act(action);
        self.form.hide("order", !fields::is_written(&self.form));
        match outcome {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let read = self.changed();
                let was = self.card.clone();
                self.form.finished(read, |card| vec![Effect::Desk(Work::ChangeCard(Box::new((was, card))))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
        self.form.hide("order", !fields::is_written(&self.form));
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::CardKept(kept) => self.kept(*kept),
            Answer::Created(Err(why)) => {
                self.form.refuse("name", why);
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [body, say, foot] =
            Split::vertical([Constraint::Min(0), Constraint::Length(1), Constraint::Length(1)]).areas(area);
        let cursor = self.form.draw(frame, body, shared.theme);
        let stand = fields::read_stand(&self.form);
        let said = match stand {
            Ok((sequence, first, layout)) if (&sequence, first, layout.links()) != self.stood() => {
                format!("{} Rounds already made keep theirs.", fields::comes_to(&layout))
            }
            _ => "Rounds already made keep the figures they were made with.".to_owned(),
        };
        frame.render_widget(Line::styled(said, shared.theme.style(Role::Now)), say);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}
