//! A loop's card: whose it is, what it costs, and the figures that were measured on it.

use chrono::NaiveDate;
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
use crate::care::{self, CardChange, Changed};
use crate::chain::{Profile, Sequence, Side};
use crate::coach::card::{Entry, from_now_on};
use crate::round::{BadVisit, Card, Visit};
use crate::tui::screen::Screen;
use crate::units::Unit;
use crate::units::day::day;

/// The form over one card.
pub(super) struct CardScreen {
    card: Card,
    profiles: Vec<Profile>,
    /// The odd number of drive links that was asked about.
    odd: Option<u16>,
    form: Form,
}

/// What stands above how the cutters stand, and below it.
const ABOVE: [Entry; 4] = [Entry::Name, Entry::Owner, Entry::Saw, Entry::Mark];
const BELOW: [Entry; 11] = [
    Entry::NewLength,
    Entry::Reach,
    Entry::Slope,
    Entry::Gap,
    Entry::Largest,
    Entry::Kickback,
    Entry::Corner,
    Entry::LoopPrice,
    Entry::RoundPrice,
    Entry::Hours,
    Entry::Practice,
];

/// Fields of a customer's stay in the file of a card, and their names in the form.
const VISIT: [(&str, &str); 5] = [
    ("visit.promised", "promised"),
    ("visit.brought_by", "brought-by"),
    ("visit.brought", "brought"),
    ("visit.fetched_by", "fetched-by"),
    ("visit.fetched", "fetched"),
];

/// What is asked of a customer's loop.
fn of_customer(visit: &Visit) -> [Field; 5] {
    let day = |day: Option<NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
    let promised = "A day such as 2026-12-05, or +7. May stay empty.";
    let today = "Empty: today, where somebody is named.";
    [
        Field::text("promised", "Promised for", &day(visit.promised), promised),
        Field::text("brought-by", "Brought by", &visit.brought_by, "Who brought it. May stay empty."),
        Field::text("brought", "Brought on", &day(visit.brought), today),
        Field::text("fetched-by", "Fetched by", &visit.fetched_by, "Who fetched it; its promise then waits no longer."),
        Field::text("fetched", "Fetched on", &day(visit.fetched), today),
    ]
}

impl CardScreen {
    /// The card as it stands, over the profiles known.
    pub(super) fn new(card: Card, profile: &Profile, profiles: Vec<Profile>, unit: Unit) -> Self {
        let at = profiles.iter().position(|known| known.name == profile.name).unwrap_or(0);
        let field = |entry: Entry| fields::of(entry, &card, profile.spec(), unit);
        let mut all: Vec<Field> = ABOVE.into_iter().map(field).collect();
        all.extend(of_customer(&card.visit));
        all.push(fields::chains(&profiles, at));
        all.extend(fields::stand(&card.links.to_string(), &card.sequence, card.first));
        all.extend(BELOW.into_iter().map(field));
        // The number that it was taken in with is not asked about again.
        let odd = Some(card.links);
        let mut form = Form::new(&format!("Card of {} ({})", card.name, card.tag), all).in_unit(unit);
        let practice = format!("{} Enter keeps the card.", Entry::Practice.hint(profile.spec(), unit));
        form.hint(Entry::Practice.key(), &practice);
        form.hide("order", !fields::is_written(&form));
        Self { card, profiles, odd, form }
    }

    /// How the cutters stood when the card was read.
    const fn stood(&self) -> (&Sequence, Side, u16) {
        (&self.card.sequence, self.card.first, self.card.links)
    }

    /// The card is kept. Where somebody else changed a field that was changed here too, theirs stands and the form stays open.
    fn kept(&mut self, CardChange { card, changed, unnoted }: CardChange) -> Vec<Effect> {
        let both: Vec<&Changed> = changed.iter().filter(|changed| changed.mine.is_some()).collect();
        if both.is_empty() {
            let kept = format!("The card is kept. {}", from_now_on(&card));
            let said = [Some(care::changed(&changed)), Some(kept), unnoted].into_iter().flatten();
            let said = said.filter(|said| !said.is_empty()).collect::<Vec<_>>().join(" ");
            return vec![Effect::Go(Step::Close), Effect::Desk(Work::LoadRack), Effect::Go(Step::Notice(said))];
        }
        let profile = self.profiles.iter().find(|profile| profile.name == card.profile).cloned();
        let Some(profile) = profile.or_else(|| self.profiles.first().cloned()) else { return Vec::new() };
        *self = Self::new(card, &profile, std::mem::take(&mut self.profiles), self.form.unit());
        for changed in both.into_iter().rev() {
            let [theirs, mine] = [Some(changed.theirs.as_str()), changed.mine.as_deref()]
                .map(|value| value.filter(|value| !value.is_empty()).unwrap_or("empty").to_owned());
            let why = format!(
                "Another window made this {theirs} meanwhile, and it stays; you had {mine}. Change it, or Enter."
            );
            let entry = Entry::of_field(&changed.field).map(Entry::key);
            let of_visit = || VISIT.iter().find(|(field, _)| *field == changed.field).map(|(_, key)| *key);
            self.form.refuse(entry.or_else(of_visit).unwrap_or("name"), why);
        }
        vec![Effect::Desk(Work::Bell(2))]
    }

    /// The stay as it was typed over the one on the card.
    fn visit(&self, today: NaiveDate) -> Result<Visit, Fault> {
        let form = &self.form;
        let read = |key| day(&form.value(key), today).map_err(|error| (key, error.to_string()));
        let typed = Visit {
            promised: read("promised")?,
            brought_by: form.value("brought-by"),
            brought: read("brought")?,
            fetched_by: form.value("fetched-by"),
            fetched: read("fetched")?,
            before: Vec::new(),
        };
        self.card.visit.typed_over(typed, today).map_err(|error| match error {
            BadVisit::BroughtAhead => ("brought", error.to_string()),
            BadVisit::FetchedAhead | BadVisit::FetchedFirst => ("fetched", error.to_string()),
        })
    }

    fn changed(&self, today: NaiveDate) -> Result<Card, Fault> {
        let form = &self.form;
        let (sequence, first, layout) = fields::read_stand(form)?;
        let mut card = Card { links: layout.links(), sequence, first, ..self.card.clone() };
        if let Some(profile) = self.profiles.get(form.chosen(Entry::Chain.key())) {
            card.profile.clone_from(&profile.name);
        }
        card.visit = self.visit(today)?;
        fields::take(form, &[ABOVE.as_slice(), &BELOW].concat(), &mut card, &self.profiles)?;
        Ok(card)
    }
}

impl Screen for CardScreen {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        if action == Action::Why {
            return vec![Effect::Desk(Work::WhyOf(self.card.tag.clone()))];
        }
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
                let read = self.changed(shared.now.date_naive());
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
        let stand = fields::read_stand(&self.form);
        let said = match stand {
            Ok((sequence, first, layout)) if (&sequence, first, layout.links()) != self.stood() => {
                format!("{} Rounds already made keep theirs.", fields::comes_to(&layout))
            }
            _ => "Rounds already made keep the figures they were made with.".to_owned(),
        };
        let body = footer::under(frame, area, self.place(), (&said, Role::Now), shared);
        self.form.draw(frame, body, shared.theme)
    }
}
