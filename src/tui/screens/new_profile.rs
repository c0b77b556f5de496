//! A profile of one's own from a cutter in hand: length, reach and gap, and the same again on a worn one.

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
use crate::chain::geometry::{reach_growth_from, slope_from};
use crate::chain::profile::{Standing, Stated};
use crate::chain::{Profile, Spec};
use crate::tui::screen::Screen;
use crate::units::clean::slug;
use crate::units::{Millimetres, Unit};

/// The form.
pub(super) struct NewProfile {
    form: Form,
    profiles: Vec<Profile>,
}

impl NewProfile {
    /// The form over the profiles known.
    pub(super) fn new(profiles: Vec<Profile>, unit: Unit) -> Self {
        let of = unit.of_lengths();
        let titles = profiles.iter().map(|profile| profile.title.clone());
        let usual = profiles.iter().position(|profile| profile.name == "three-eighths").unwrap_or(0);
        let fields = vec![
            Field::text(
                "title",
                "Name",
                "",
                "Such as 3/8 crew chain. Numbers not measured here come from the chain below.",
            ),
            Field::choice("base", "Starts from", titles, usual, "Right or Space for the next."),
            Field::text(
                "length",
                "New: length",
                "",
                &format!("In {of}, rear edge of the top plate to the working corner, along the chain."),
            ),
            Field::text("mark", "New: length at the mark", "", "Rear edge of the top plate to the witness mark."),
            Field::text("reach", "New: reach", "", "Top of the raker to the working corner, along the chain."),
            Field::text("gap", "New: raker gap", "", "As stamped or measured. May stay empty."),
            Field::choice(
                "gap_from",
                "The gap is",
                ["stamped or in the manual", "measured"],
                0,
                "Which of the two. Right or Space for the next.",
            ),
            Field::text("worn_length", "Worn: length", "", "The same on a worn cutter of this chain. May stay empty."),
            Field::text("worn_reach", "Worn: reach", "", "With the length above it tells how the reach grows."),
            Field::text(
                "filed_length",
                "Filed: length after",
                "",
                "For the back slope: file one tooth, raker untouched. Its length now.",
            ),
            Field::text("filed_from", "Filed: length before", "", "Its length before that."),
            Field::text("filed_gap", "Filed: gap after", "", "Its raker gap now."),
            Field::text(
                "filed_gap_from",
                "Filed: gap before",
                "",
                "Its raker gap before that. Enter makes the profile.",
            ),
        ];
        Self { form: Form::new("New profile from a cutter in hand", fields).in_unit(unit), profiles }
    }

    fn length(&self, key: &'static str) -> Result<Option<Millimetres>, Fault> {
        // The profile holds each figure to its own range.
        fields::length(&self.form, key, (-100.0, 100.0))
    }

    /// What the form gives, by profile key: measured only what was measured, the rest with where it comes from.
    fn numbers(&self, base: &Profile) -> Result<Vec<(&'static str, Stated)>, Fault> {
        let mut out = Vec::new();
        let new_length = self.length("length")?;
        let mark = self.length("mark")?;
        let reach = self.length("reach")?;
        for (key, value) in [("new_length_mm", new_length), ("mark_length_mm", mark), ("reach_new_mm", reach)] {
            out.extend(value.map(|value| (key, measured(value.get(), MEASURED))));
        }
        let spec = base.spec();
        let grown = self.growth((new_length.unwrap_or(spec.new_length), reach.unwrap_or(spec.reach_new)))?;
        // The base's reach at the mark belongs to the base's cutter: with other figures it is reckoned anew, never measured.
        if grown.is_some() || new_length.or(mark).or(reach).is_some() {
            let (new, mark) = (new_length.unwrap_or(spec.new_length), mark.unwrap_or(spec.mark_length));
            let growth = grown.unwrap_or_else(|| spec.reach_growth());
            let at_mark = reach.unwrap_or(spec.reach_new) + (new - mark) * growth;
            let source = match grown {
                Some(growth) => {
                    format!("reckoned: the reach grows by {growth:.2} of the wear between two cutters in hand")
                }
                None => format!("reckoned: the reach grows by {growth:.2} of the wear, as in {}", base.name),
            };
            out.push(("reach_mark_mm", Stated { value: at_mark.get(), standing: Standing::Proposal, source }));
        }
        out.extend(self.slope()?.map(|slope| ("back_slope_deg", measured(slope, "measured on a tooth filed in hand"))));
        out.extend(self.gaps(spec)?);
        Ok(out)
    }

    /// The gap as it was stamped or measured. What softwood may add follows from it and is measured by nobody.
    fn gaps(&self, spec: &Spec) -> Result<Vec<(&'static str, Stated)>, Fault> {
        let Some(gap) = self.length("gap")? else { return Ok(Vec::new()) };
        let base = match self.form.chosen("gap_from") {
            0 => Stated {
                value: gap.get(),
                standing: Standing::Published,
                source: "stamped on the chain or stated in its manual, as entered".to_owned(),
            },
            _ => measured(gap.get(), MEASURED),
        };
        let mut out = vec![("base_gap_mm", base)];
        if (gap - spec.base_gap).abs().get() > 1e-9 {
            let softwood = Spec::softwood_over(gap, spec.softwood_gap - spec.base_gap).min(spec.gap_max).max(gap);
            let source = "none for this gap; at most 0.15 mm more, as published for 0.65 mm only".to_owned();
            let value = softwood.get();
            out.push(("softwood_gap_mm", Stated { value, standing: Standing::Proposal, source }));
        }
        Ok(out)
    }

    fn growth(&self, newer: (Millimetres, Millimetres)) -> Result<Option<f64>, Fault> {
        match (self.length("worn_length")?, self.length("worn_reach")?) {
            (Some(length), Some(reach)) => reach_growth_from(newer, (length, reach))
                .map(Some)
                .ok_or(("worn_reach", "The worn cutter must be shorter and its reach longer.".to_owned())),
            (None, None) => Ok(None),
            _ => Err(("worn_reach", "Both length and reach of the worn cutter are needed, or neither.".to_owned())),
        }
    }

    fn slope(&self) -> Result<Option<f64>, Fault> {
        let keys = ["filed_length", "filed_from", "filed_gap", "filed_gap_from"];
        let mut values = Vec::new();
        for key in keys {
            values.extend(self.length(key)?);
        }
        match values.as_slice() {
            [] => Ok(None),
            [length, from, gap, gap_from] => slope_from(*gap_from - *gap, *from - *length)
                .map(|slope| Some(slope.get()))
                .ok_or(("filed_gap", "Filing must make the tooth shorter and its gap smaller.".to_owned())),
            _ => Err(("filed_length", "All four filed readings are needed, or none.".to_owned())),
        }
    }

    fn profile(&self) -> Result<Profile, Fault> {
        let title = self.form.value("title");
        let name = slug(&title).ok_or(("title", "Type a name with at least one letter or digit.".to_owned()))?;
        let base =
            self.profiles.get(self.form.chosen("base")).ok_or(("base", "No profile to start from.".to_owned()))?;
        Profile::own(base, &name, &title, &self.numbers(base)?)
            .map_err(|error| (field_of(&error.key), format!("{}: {}", error.key, error.problem)))
    }

    /// What the readings come to so far.
    fn preview(&self) -> String {
        match self.profile() {
            Ok(profile) => {
                let spec = profile.spec();
                format!(
                    "The reach grows by {:.2} of the wear; back slope {}; wear-scaled gap worth it from {} worn.",
                    spec.reach_growth(),
                    spec.back_slope,
                    self.form.unit().show_named(spec.worth_wear(crate::chain::Wood::Any))
                )
            }
            Err((_, why)) if !self.form.value("title").is_empty() => why,
            Err(_) => String::new(),
        }
    }
}

const MEASURED: &str = "measured on a cutter in hand";

fn measured(value: f64, source: &str) -> Stated {
    Stated { value, standing: Standing::Measured, source: source.to_owned() }
}

/// The field to go to for a fault in a profile key.
fn field_of(key: &str) -> &'static str {
    match key {
        "mark_length_mm" => "mark",
        "reach_new_mm" | "reach_mark_mm" => "reach",
        "base_gap_mm" | "softwood_gap_mm" | "gap_max_mm" => "gap",
        "back_slope_deg" => "filed_gap",
        "name" | "title" => "title",
        _ => "length",
    }
}

impl Screen for NewProfile {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let read = self.profile();
                self.form.finished(read, |profile| vec![Effect::Desk(Work::SaveProfile(Box::new(profile)))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::Created(Ok(())) => {
                vec![
                    Effect::Go(Step::Close),
                    Effect::Go(Step::Notice("The profile is kept. Choose it for a new loop.".to_owned())),
                ]
            }
            Answer::Created(Err(why)) => {
                self.form.refuse("title", why);
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let body = footer::under(frame, area, self.place(), (&self.preview(), Role::Now), shared);
        self.form.draw(frame, body, shared.theme)
    }
}
