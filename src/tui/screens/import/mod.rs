//! Readings from a file: which file, what it does not say itself, what it holds; only then one key takes it.

mod preview;

use chrono::{DateTime, FixedOffset};
use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Position, Rect};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::Chosen;
use super::super::theme::Role;
use super::fields;
use super::form::{Field, Form, Outcome};
use crate::care::files::{ImportError, ReadFile, Then, Wish, measured_at};
use crate::chain::{Profile, Wood};
use crate::round::Tool;
use crate::tui::screen::Screen;
use crate::units::clean::slug;
use crate::units::{Unit, clean::clean};
use preview::Preview;

const WOODS: [(&str, Wood); 3] = [
    ("any wood, frozen and hardwood too", Wood::Any),
    ("hardwood only", Wood::Hardwood),
    ("unfrozen softwood only", Wood::SoftwoodNoFrost),
];
const TOOLS: [Tool; 2] = [Tool::File, Tool::Grinder];
const UNITS: [(&str, Option<Unit>); 3] = [("not said yet", None), ("mm", Some(Unit::Mm)), ("inches", Some(Unit::Inch))];

/// Fields that make sense only once a file is read.
const LATER: [&str; 11] =
    ["into", "tag", "profile", "links", "units", "sharpener", "measured", "tool", "wood", "sure", "then"];

/// Where the readings go.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Goes {
    /// The loop chosen on the rack.
    Chosen,
    /// Another loop in care.
    Other,
    /// A loop that is new.
    New,
}

/// The screen.
pub(super) struct ImportScreen {
    form: Form,
    profiles: Vec<Profile>,
    chosen: Option<Chosen>,
    file: Option<Box<ReadFile>>,
    preview: Option<Preview>,
    /// The odd number of drive links that was asked about.
    odd: Option<u16>,
    /// Rows were refused: some of them may be right.
    refused_rows: bool,
}

impl ImportScreen {
    /// Asks for a file. `chosen` is the loop under the rack's cursor, `sharpener` the one at the bench.
    pub(super) fn new(profiles: Vec<Profile>, chosen: Option<Chosen>, sharpener: &str) -> Self {
        let titles = profiles.iter().map(|profile| profile.title.clone());
        let usual = profiles.iter().position(|profile| profile.name == "three-eighths").unwrap_or(0);
        let into = match &chosen {
            Some(loop_) => vec![loop_.name.clone(), "another loop in care".to_owned(), "a new loop".to_owned()],
            None => vec!["another loop in care".to_owned(), "a new loop".to_owned()],
        };
        let new = into.len() - 1;
        let fields = vec![
            Field::path(
                "file",
                "File",
                "A table: a header, a row per cutter. Comma, semicolon or tab between columns.",
            ),
            Field::choice(
                "into",
                "Readings of",
                into,
                if chosen.is_some() { 0 } else { new },
                "Right or Space for the next.",
            ),
            Field::text("tag", "Loop", "", "What the tag on the loop says, such as 12 or Big saw A."),
            Field::choice("profile", "Chain", titles, usual, "Pitch: distance over three rivets, halved."),
            Field::text("links", "Drive links", "", "Count the tangs that run in the bar, 20 to 400."),
            Field::choice("units", "Lengths are in", UNITS.map(|(word, _)| word), 0, ""),
            Field::text("sharpener", "Who measured", sharpener, "A name, or initials."),
            Field::text(
                "measured",
                "Measured on",
                "",
                "The day, such as 2026-03-01. Empty: today, for a round to go on with.",
            ),
            Field::choice(
                "tool",
                "Worked with",
                TOOLS.map(|tool| tool.to_string()),
                0,
                "Round file by hand, or a grinder with a stop.",
            ),
            Field::choice("wood", "Saw cuts", WOODS.map(|(word, _)| word), 0, "Sets the gap that is right."),
            Field::text(
                "sure",
                "Right all the same",
                "",
                "Lines whose readings are right though they were doubted, such as 5, 9. May stay empty.",
            ),
            Field::choice(
                "then",
                "The round is",
                ["to go on with", "past: only keep it"],
                0,
                "To go on with: the look-over is asked next. Enter shows what would be recorded; nothing is written yet.",
            ),
        ];
        let mut screen = Self {
            form: Form::new("Take readings in from a file", fields),
            profiles,
            chosen,
            file: None,
            preview: None,
            odd: None,
            refused_rows: false,
        };
        screen.arrange();
        screen
    }

    /// Shows the fields that this file and this loop need.
    fn arrange(&mut self) {
        let read = self.file.as_deref();
        let goes = self.goes();
        let whole = read.map(|file| &file.whole);
        for key in LATER {
            let wanted = match key {
                "tag" => goes != Goes::Chosen,
                "profile" | "links" => goes == Goes::New,
                "sharpener" => whole.is_none_or(|whole| whole.person.is_none()),
                "measured" => whole.is_none_or(|whole| whole.measured.is_none()),
                "tool" => whole.is_none_or(|whole| whole.tool.is_none()),
                "sure" => self.refused_rows,
                "units" => read.is_some_and(|file| !file.without_unit.is_empty()),
                _ => true,
            };
            self.form.hide(key, read.is_none() || !wanted);
        }
    }

    fn goes(&self) -> Goes {
        match self.form.chosen("into") + usize::from(self.chosen.is_none()) {
            0 => Goes::Chosen,
            1 => Goes::Other,
            _ => Goes::New,
        }
    }

    /// What the form says, or the field that does not say enough.
    fn wish(&self, now: DateTime<FixedOffset>) -> Result<Wish, (&'static str, String)> {
        let tag = match (self.goes(), &self.chosen) {
            (Goes::Chosen, Some(chosen)) => chosen.tag.clone(),
            _ => slug(&self.form.value("tag"))
                .ok_or(("tag", "Type a name with at least one letter or digit.".to_owned()))?,
        };
        let links = match self.goes() {
            Goes::New => {
                let links = self.form.value("links").parse().ok().filter(|links| (20..=400).contains(links));
                Some(links.ok_or(("links", "Type a whole number from 20 to 400.".to_owned()))?)
            }
            _ => None,
        };
        let asked = self.file.as_ref().is_some_and(|file| !file.without_unit.is_empty());
        let unit = UNITS.get(self.form.chosen("units")).and_then(|(_, unit)| *unit);
        if asked && unit.is_none() {
            return Err(("units", "The file does not say it: mm or inches? Right or Space for the next.".to_owned()));
        }
        let whole = self.file.as_ref().map(|file| file.whole.clone()).unwrap_or_default();
        if self.form.value("sharpener").is_empty() && whole.person.is_none() {
            return Err(("sharpener", "Type a name: how well readings repeat is known for each person.".to_owned()));
        }
        let day = Some(self.form.value("measured")).filter(|day| !day.is_empty() && whole.measured.is_none());
        let measured = day.map(|day| measured_at(&day, now)).transpose().map_err(|why| ("measured", why))?;
        let line =
            |word: &str| word.parse().map_err(|_| ("sure", "Expected: numbers of lines, such as 5, 9.".to_owned()));
        let sure = self.form.value("sure");
        let sure = sure.split([',', ' ', ';']).filter(|word| !word.is_empty()).map(line).collect::<Result<_, _>>()?;
        let profile = (self.goes() == Goes::New).then(|| self.profiles.get(self.form.chosen("profile"))).flatten();
        Ok(Wish {
            tag,
            name: self.form.value("tag"),
            profile: profile.map(|profile| profile.name.clone()),
            unit,
            links,
            person: Some(self.form.value("sharpener")).filter(|_| whole.person.is_none()),
            tool: TOOLS.get(self.form.chosen("tool")).copied().filter(|_| whole.tool.is_none()),
            wood: WOODS.get(self.form.chosen("wood")).map_or(Wood::Any, |(_, wood)| *wood),
            measured,
            then: if self.form.chosen("then") == 0 { Then::Resume } else { Then::Keep },
            file: self.file.as_ref().map(|file| clean(&file.name)).unwrap_or_default(),
            sure,
            now,
        })
    }

    fn act_on_form(&mut self, action: Action, now: DateTime<FixedOffset>) -> Vec<Effect> {
        if let Some(why) = fields::unlikely(&self.form, action, &mut self.odd) {
            self.form.refuse("links", why);
            return Vec::new();
        }
        if self.form.current() == "file" && self.file.is_none() && matches!(action, Action::Next | Action::Down) {
            return vec![Effect::Desk(Work::ReadFile(self.form.raw("file")))];
        }
        let outcome = self.form.act(action);
        self.arrange();
        match (outcome, &self.file) {
            (Outcome::Open, _) => Vec::new(),
            (Outcome::Left, _) => left(),
            (Outcome::Finished, None) => vec![Effect::Desk(Work::ReadFile(self.form.raw("file")))],
            (Outcome::Finished, Some(file)) => match self.wish(now) {
                Ok(wish) => vec![Effect::Desk(Work::LookAtFile(Box::new((file.text.clone(), wish))))],
                Err((key, why)) => {
                    self.form.refuse(key, why);
                    Vec::new()
                }
            },
        }
    }

    fn act_on_preview(&mut self, action: Action) -> Vec<Effect> {
        let Some(preview) = &mut self.preview else { return Vec::new() };
        match action {
            Action::Close => return left(),
            Action::TakeBack => {
                // The file may have been mended meanwhile: Enter reads it again.
                (self.preview, self.file) = (None, None);
                self.form.restart();
                self.arrange();
            }
            Action::Keep => {
                if preview.can_be_taken() {
                    return vec![Effect::Desk(Work::TakeFile(Box::new(preview.look.clone())))];
                }
            }
            other => preview.scroll(other),
        }
        Vec::new()
    }

    /// Goes to the field that a fault belongs to.
    fn refuse(&mut self, error: &ImportError) {
        let key = match error {
            ImportError::Unit { .. } => "units",
            ImportError::NoPerson => "sharpener",
            ImportError::NoDay => "measured",
            ImportError::NoSides => "into",
            ImportError::Layout(_) | ImportError::Links(_) if self.goes() == Goes::New => "links",
            ImportError::Layout(_) | ImportError::Links(_) | ImportError::Empty | ImportError::Text { .. } => "file",
            ImportError::OtherProfile { .. } if self.goes() == Goes::New => "profile",
            _ if self.goes() == Goes::Chosen => "into",
            _ => "tag",
        };
        let why = match error {
            ImportError::NoProfile(tag) => format!("There is no loop {tag} in care. Choose a new loop above."),
            ImportError::OtherProfile { tag, has, .. } => format!("Loop {tag} is in care already, as {has}."),
            other => other.to_string(),
        };
        self.form.refuse(key, why);
    }
}

fn left() -> Vec<Effect> {
    vec![Effect::Go(Step::Close), Effect::Go(Step::Notice("Nothing was taken.".to_owned()))]
}

impl Screen for ImportScreen {
    fn place(&self) -> Place {
        if self.preview.is_some() { Place::Import } else { Place::Form }
    }

    fn has_text(&self) -> bool {
        self.preview.is_none() && self.form.is_typing()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        if self.preview.is_some() { self.act_on_preview(action) } else { self.act_on_form(action, shared.now) }
    }

    fn edit(&mut self, key: KeyEvent) {
        if self.preview.is_none() {
            if self.form.current() == "file" {
                // Another name is another file: what was read no longer counts.
                self.file = None;
            }
            self.form.edit(key);
            self.arrange();
        }
    }

    fn answer(&mut self, answer: Answer, shared: &Shared) -> Vec<Effect> {
        match answer {
            Answer::FileRead(Ok(file)) => {
                let hint = format!("{} does not say its unit. It is never guessed.", file.without_unit.join(", "));
                self.form.hint("units", &hint);
                self.file = Some(file);
                self.arrange();
                self.form.act(Action::Down);
            }
            Answer::FileRead(Err(why)) => self.form.refuse("file", why),
            Answer::Looked(Ok(look)) => {
                let file = self.file.as_ref().map(|file| clean(&file.name)).unwrap_or_default();
                self.refused_rows = !look.preview.refused.is_empty();
                self.preview = Some(Preview::of(*look, &file, shared.units));
            }
            Answer::Looked(Err(error)) => self.refuse(&error),
            Answer::Created(Ok(())) => {
                let Some(preview) = self.preview.take() else { return Vec::new() };
                let then = if self.form.chosen("then") == 0 { "Enter goes on with it" } else { "kept as past" };
                let tag = preview.look.tag.clone();
                let said = format!("{} rows are on record with loop {tag}; {then}.", preview.rows());
                return vec![Effect::Go(Step::Close), Effect::Go(Step::Choose(tag)), Effect::Go(Step::Notice(said))];
            }
            Answer::Created(Err(why)) => {
                if let Some(preview) = &mut self.preview {
                    preview.refuse(why);
                }
            }
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        if let Some(preview) = &self.preview {
            let (text, role) = preview.says();
            let body = footer::under(frame, area, self.place(), (&text, role), shared);
            return preview.draw(frame, body, shared.theme);
        }
        let said = match &self.file {
            None => "Nothing is written until you have seen what the file holds.".to_owned(),
            Some(file) => format!("Read: {}. Enter on the last field shows what it holds.", clean(&file.name)),
        };
        let body = footer::under(frame, area, self.place(), (&said, Role::Now), shared);
        self.form.draw(frame, body, shared.theme)
    }
}
