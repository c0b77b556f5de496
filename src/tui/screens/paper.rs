//! A filled bench sheet typed in: the day, who and with what, then box by box in the order of the sheet.

use std::sync::LazyLock;

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Position, Rect};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::theme::Role;
use super::fields::Fault;
use super::form::{Field, Form, Outcome};
use crate::care::files::measured_at;
use crate::care::{Blank, Boxes, Filled, Refusal};
use crate::chain::CutterNumber;
use crate::report::BOXES;
use crate::round::Tool;
use crate::tui::screen::Screen;
use crate::units::Unit;

/// Units of a sheet, as they are chosen.
const UNITS: [Unit; 2] = [Unit::Mm, Unit::Inch];
/// Most cutters that a loop can have: half of its drive links.
const MOST: usize = 200;

/// A name for each box of each place on the sheet: forms know their fields by names that last.
static NAMES: LazyLock<Vec<[String; BOXES.len()]>> =
    LazyLock::new(|| (0..MOST).map(|place| BOXES.map(|name| format!("{name}-{place}"))).collect());

/// The name of a box.
fn name_of(place: usize, at: usize) -> &'static str {
    NAMES.get(place).map_or("", |names| names[at].as_str())
}

/// The sheet as it is being typed in.
pub(super) struct PaperScreen {
    blank: Blank,
    form: Form,
    /// Boxes that were doubted as they stood: typed the same again they are kept.
    doubted: Vec<Boxes>,
}

impl PaperScreen {
    /// The sheet of a loop; `page` is where a blank one lies to be printed, `unit` what is usually read here.
    pub(super) fn new(blank: Blank, page: &str, unit: Unit) -> Self {
        let day = format!("The day it was measured, such as 2026-03-01. A blank sheet to print: {page}");
        let read = UNITS.iter().position(|known| *known == unit).unwrap_or(0);
        let mut fields = vec![
            Field::text("measured", "Measured on", "", &day),
            Field::text("person", "By", &blank.sharpener, "Who measured: a name, or initials."),
            Field::choice("tool", "Worked with", ["file", "grinder"], 0, "Right or Space for the next."),
            Field::choice("unit", "Written in", ["mm", "inch"], read, "Lengths and gaps. Angles are degrees."),
            Field::choice(
                "then",
                "The round is",
                ["past: only keep it", "to go on with"],
                0,
                "To go on with: the look-over is asked next.",
            ),
        ];
        for (place, (cutter, side)) in blank.cutters.iter().enumerate().take(MOST) {
            for (at, name) in BOXES.into_iter().enumerate() {
                let label = if at == 0 { format!("{cutter} {side}  {name}") } else { format!("      {name}") };
                fields.push(Field::text(name_of(place, at), &label, "", ""));
            }
        }
        let form = Form::new(&format!("Bench sheet of {} ({})", blank.card.name, blank.card.tag), fields);
        Self { blank, form, doubted: Vec::new() }
    }

    fn rows(&self) -> Vec<Boxes> {
        let typed = |place| [0, 1, 2].map(|at| self.form.value(name_of(place, at)));
        let row = |(place, (cutter, side)): (usize, &(CutterNumber, _))| Boxes {
            cutter: *cutter,
            side: *side,
            typed: typed(place),
        };
        self.blank.cutters.iter().enumerate().map(row).collect()
    }

    fn filled(&self, shared: &Shared) -> Result<Filled, Fault> {
        let form = &self.form;
        let measured = measured_at(&form.value("measured"), shared.now).map_err(|why| ("measured", why))?;
        let person = form.value("person");
        if person.is_empty() {
            return Err(("person", "A name is needed: how well readings repeat is known for each person.".to_owned()));
        }
        let rows = self.rows();
        if rows.iter().all(|row| row.typed.iter().all(String::is_empty)) {
            return Err((name_of(0, 0), "Nothing is filled in yet.".to_owned()));
        }
        let sure = rows.iter().filter(|row| self.doubted.contains(row)).map(|row| row.cutter).collect();
        Ok(Filled {
            tag: self.blank.card.tag.clone(),
            measured,
            person,
            tool: if form.chosen("tool") == 0 { Tool::File } else { Tool::Grinder },
            unit: UNITS[form.chosen("unit").min(UNITS.len() - 1)],
            goes_on: form.chosen("then") == 1,
            rows,
            sure,
            now: shared.now,
        })
    }

    /// Goes to the first box that is not taken, with the reasons at each.
    fn refused(&mut self, refused: Vec<Refusal>) {
        let rows = self.rows();
        for Refusal { cutter, at, why, doubted } in refused.into_iter().rev() {
            let Some(place) = rows.iter().position(|row| row.cutter == cutter) else { continue };
            let again = if doubted { " Stored once more as it stands, it is kept." } else { "" };
            self.form.refuse(name_of(place, at), format!("{why}{again}"));
            if doubted && !self.doubted.contains(&rows[place]) {
                self.doubted.push(rows[place].clone());
            }
        }
    }
}

impl Screen for PaperScreen {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let filled = self.filled(shared);
                self.form.finished(filled, |filled| vec![Effect::Desk(Work::TakePaper(Box::new(filled)))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::PaperRefused(refused) => self.refused(refused),
            Answer::Created(Err(why)) => self.form.refuse("measured", why),
            Answer::Created(Ok(())) => {
                let said = "The sheet is on record, with the day that it was measured.".to_owned();
                return vec![Effect::Go(Step::Close), Effect::Desk(Work::LoadRack), Effect::Go(Step::Notice(said))];
            }
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let rows = self.rows();
        let filled = rows.iter().filter(|row| row.typed.iter().any(|text| !text.is_empty())).count();
        let said = format!("{filled} of {} cutters filled in; an empty box was not measured.", rows.len());
        let body = footer::under(frame, area, self.place(), (&said, Role::Now), shared);
        self.form.draw(frame, body, shared.theme)
    }
}
