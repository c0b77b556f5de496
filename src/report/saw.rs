//! A saw's page: how bar, sprocket, oil and tension stand, look by look, and which of its loops to run next.

mod data;
mod facts;
mod html;
mod text;

use serde::Serialize;

use crate::advice::Reckoning;
use crate::advice::reckoning::of_runners;
use crate::advice::rotation::{Rotation, Runner, Told};
use crate::advice::saw::{self as meaning, Fault, Limit};
use crate::advice::say::saw::name;
use crate::report::data::Number;
use crate::report::format::capital;
use crate::report::words::{count, percent};
use crate::saw::{Grade, Look, Part, Piece, Saw};
use crate::units::clean::clean;
use crate::units::{Millimetres, Unit};

/// How one part stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct PartRow {
    part: Part,
    /// The worse of what was found and what the figure says; `None`: not looked at.
    grade: Option<Grade>,
    found: Option<Grade>,
    figure_mm: Option<Number>,
    /// The maker's limit, where entered.
    limit_mm: Option<Number>,
    at: Option<String>,
    note: Option<String>,
    /// What was found was put right since.
    repaired: bool,
}

/// One look, or a piece fitted new.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct LookRow {
    at: String,
    #[serde(rename = "loop")]
    with: Option<String>,
    checks: Vec<CheckCell>,
    renewed: Vec<Piece>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CheckCell {
    part: Part,
    found: Grade,
    figure_mm: Option<Number>,
    note: Option<String>,
    repaired: bool,
}

/// What is worn or bad.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct FaultRow {
    pub part: Part,
    pub grade: Grade,
    pub line: String,
    pub effect: &'static str,
    pub remedy: &'static str,
    pub source: &'static str,
}

impl FaultRow {
    /// A fault with its figures in a unit.
    pub(super) fn of(fault: &Fault, unit: Unit) -> Self {
        Self {
            part: fault.part,
            grade: fault.grade,
            line: fault.words(unit),
            effect: fault.effect(),
            remedy: fault.remedy(),
            source: fault.source(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct LoopRow {
    tag: String,
    name: String,
    life_left: Option<Number>,
    rounds_left: Option<u32>,
    last: Option<String>,
    /// Why it cannot run now.
    held: Option<&'static str>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct RotationPart {
    next: Option<String>,
    turns: Vec<String>,
    wait: Vec<String>,
    life_apart: Option<Number>,
    lines: Vec<String>,
}

/// The page of one saw.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SawReport {
    saw: String,
    parts: Vec<PartRow>,
    /// For programs, in mm.
    faults: Vec<FaultRow>,
    warm_tension_due: bool,
    /// For programs, in mm.
    sprocket_limit: String,
    #[serde(skip)]
    found: Vec<Fault>,
    #[serde(skip)]
    limit: Limit,
    looks: Vec<LookRow>,
    loops: Vec<LoopRow>,
    rotation: RotationPart,
    notes: Vec<String>,
    /// Files that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    /// How the loop to run next was found.
    #[serde(skip)]
    why: Option<Reckoning>,
    /// Of the invented workshop: what is printed of it says so.
    #[serde(skip)]
    demo: bool,
}

impl SawReport {
    /// The same, of the invented workshop or not: what is printed of it says so in its first line.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// What is known of a saw, and of the loops that run on it.
    pub fn of(saw: &Saw, runners: &[Runner], rotation: &Rotation) -> Self {
        let (found, limit) = (meaning::faults(saw), meaning::sprocket_limit(saw));
        Self {
            saw: clean(&saw.header.name),
            parts: Part::ALL.into_iter().map(|part| part_row(saw, part)).collect(),
            faults: found.iter().map(|fault| FaultRow::of(fault, Unit::Mm)).collect(),
            warm_tension_due: saw.is_warm_due(),
            sprocket_limit: limit.words(Unit::Mm),
            found,
            limit,
            looks: saw.looks().iter().map(look_row).collect(),
            loops: runners.iter().map(loop_row).collect(),
            rotation: RotationPart {
                next: rotation.next.clone(),
                turns: rotation.turns.clone(),
                wait: rotation.wait.clone(),
                life_apart: rotation.apart.map(Number),
                lines: rotation.told.iter().map(Told::words).collect(),
            },
            notes: saw.notes.iter().map(|note| clean(note)).collect(),
            not_read: Vec::new(),
            why: of_runners(runners, rotation),
            demo: false,
        }
    }

    /// The same, without these files, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// How the loop to run next was found; none where there is nothing to choose.
    pub const fn why(&self) -> Option<&Reckoning> {
        self.why.as_ref()
    }

    /// The same in words, line by line.
    fn why_lines(&self, unit: Unit) -> Vec<String> {
        self.why.as_ref().map(|why| why.told(unit).paragraphs()).unwrap_or_default()
    }

    /// Files that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// True where neither a record nor a loop tells of such a saw.
    pub fn is_unknown(&self) -> bool {
        self.looks.is_empty() && self.loops.is_empty() && self.notes.is_empty()
    }

    /// What is at least as bad as that, and what it does.
    fn fault_lines(&self, unit: Unit, least: Grade) -> Vec<String> {
        let faults = self.found.iter().filter(|fault| fault.grade >= least);
        faults.map(|fault| format!("{} {}", fault.words(unit), fault.effect())).collect()
    }

    /// How each part stands, in sentences.
    fn state_lines(&self, unit: Unit) -> Vec<String> {
        if self.looks.is_empty() {
            return vec!["Nobody has looked at bar, sprocket, oil and tension yet.".to_owned()];
        }
        let mut lines: Vec<String> = self.fault_lines(unit, Grade::Watch);
        let of = |grade| self.parts.iter().filter(move |row| row.grade == grade);
        let good = of(Some(Grade::Good)).filter(|row| !row.repaired);
        let good: Vec<String> = good.map(|row| with_figure(row, unit)).collect();
        if !good.is_empty() {
            lines.push(format!("Good: {}.", good.join(", ")));
        }
        let right: Vec<String> =
            self.parts.iter().filter(|row| row.repaired).map(|row| with_figure(row, unit)).collect();
        if !right.is_empty() {
            lines.push(format!("Found bad and put right: {}.", right.join(", ")));
        }
        let unknown: Vec<&str> = of(None).map(|row| name(row.part)).collect();
        if !unknown.is_empty() {
            lines.push(format!("Not looked at: {}.", unknown.join(", ")));
        }
        if self.warm_tension_due {
            lines.push("The tension is to be looked at again after 5 to 10 minutes of cutting.".to_owned());
        }
        lines.push(format!("Limit of the sprocket's wear mark: {}.", self.limit.words(unit)));
        lines
    }

    /// What helps, with who says so.
    fn remedy_lines(&self) -> Vec<String> {
        let line = |fault: &FaultRow| format!("{}: {} ({})", capital(name(fault.part)), fault.remedy, fault.source);
        self.faults.iter().map(line).collect()
    }

    fn rotation_lines(&self) -> Vec<String> {
        if self.loops.is_empty() {
            return Vec::new();
        }
        let mut lines = self.rotation.lines.clone();
        let first = self.rotation.turns.first();
        if self.rotation.turns.iter().any(|tag| Some(tag) != first) {
            let names: Vec<&str> = self.rotation.turns.iter().map(|tag| self.name_of(tag)).collect();
            lines.push(format!("Turn by turn, a round each: {}.", names.join(", ")));
        }
        lines
    }

    fn name_of<'a>(&'a self, tag: &'a str) -> &'a str {
        self.loops.iter().find(|row| row.tag == tag).map_or(tag, |row| row.name.as_str())
    }
}

fn part_row(saw: &Saw, part: Part) -> PartRow {
    let check = saw.checks.get(&part);
    PartRow {
        part,
        grade: saw.judged(part).map(|judged| judged.grade),
        found: check.map(|check| check.found),
        figure_mm: check.and_then(|check| check.mm).map(number),
        limit_mm: saw.limits.get(&part).copied().map(number),
        at: check.map(|check| check.at.to_rfc3339()),
        note: check.and_then(|check| check.note.as_deref()).map(clean),
        repaired: check.is_some_and(|check| check.repaired),
    }
}

fn look_row(look: &Look) -> LookRow {
    let cell = |(part, check): (&Part, &crate::saw::Check)| CheckCell {
        part: *part,
        found: check.found,
        figure_mm: check.mm.map(number),
        note: check.note.as_deref().map(clean),
        repaired: check.repaired,
    };
    LookRow {
        at: look.at.to_rfc3339(),
        with: look.with.as_deref().map(clean),
        checks: look.checks.iter().map(cell).collect(),
        renewed: look.renewed.clone(),
    }
}

fn loop_row(runner: &Runner) -> LoopRow {
    LoopRow {
        tag: runner.tag.clone(),
        name: clean(&runner.name),
        life_left: runner.spent.map(|spent| Number((1.0 - spent).clamp(0.0, 1.0))),
        rounds_left: runner.rounds_left,
        last: runner.last.map(|last| last.to_rfc3339()),
        held: runner.held,
    }
}

fn number(mm: Millimetres) -> Number {
    Number(mm.get())
}

fn with_figure(row: &PartRow, unit: Unit) -> String {
    let figure = row.figure_mm.map(|n| format!(" {}", unit.show_named(crate::units::mm(n.0)))).unwrap_or_default();
    format!("{}{figure}", name(row.part))
}

impl LookRow {
    /// The check of a part that was looked at.
    fn found(&self, part: Part) -> Option<&CheckCell> {
        self.checks.iter().find(|cell| cell.part == part && cell.found != Grade::NotLooked)
    }

    /// What was found at a part: empty where it was not looked at.
    fn cell(&self, part: Part, unit: Unit) -> String {
        self.found(part).map_or_else(String::new, |cell| {
            let word = match cell.found {
                _ if cell.repaired => "put right",
                Grade::Bad => "BAD",
                Grade::Watch if matches!(part, Part::Oil | Part::Tension | Part::TensionWarm) => "to watch",
                Grade::Watch => "worn",
                found => found.word(),
            };
            let figure = cell.figure_mm.map(|n| format!(" {}", unit.show(crate::units::mm(n.0)))).unwrap_or_default();
            format!("{word}{figure}")
        })
    }

    /// Remarks and renewals, in one line.
    fn remark(&self) -> String {
        let renewed = self.renewed.iter().map(|piece| format!("{piece} new"));
        let notes = self.checks.iter().filter_map(|cell| {
            let note = cell.note.as_ref()?;
            Some(format!("{}: {note}", name(cell.part)))
        });
        capital(&renewed.chain(notes).collect::<Vec<_>>().join("; "))
    }
}

impl LoopRow {
    /// Life left, rounds left and why it is held.
    fn words(&self) -> (String, String, String) {
        let left =
            self.life_left.map_or_else(|| "not measured yet".to_owned(), |left| format!("{} left", percent(left)));
        let rounds = self.rounds_left.map_or_else(|| "?".to_owned(), |n| count(n as usize, "round"));
        (left, rounds, self.held.unwrap_or_default().to_owned())
    }
}
