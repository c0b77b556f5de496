//! Everything in open formats.
//!
//! **JSON Lines** ([`Rack::export_jsonl`]): one JSON object a line, each with a `kind`: `export` first, then own
//! `profile`s (as the text of their file), `sharpener`s, `saw`s each followed by its `saw-event`s, `learner`s each followed by its
//! `drill-event`s, and for every `loop` its card, each `round` with its header and
//! after it each `event`; `end` last, with the number of lines, so that a file cut short is noticed. [`super::restore`]
//! reads it back to the same rack.
//!
//! **CSV**: one row per cutter, of all rounds ([`Rack::export_csv`], for a spreadsheet; [`super::import`] reads
//! one round of it back to the same readings). Repeated readings are given as their mean, to 0.1 µm. A text that a
//! spreadsheet would take for a formula gets a leading apostrophe.

use std::io::{self, Write};
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::people::Sharpener;
use super::rack::Rack;
use super::series::name_of;
use super::{RackError, contents, learners, saws, small};
use crate::chain::Wood;
use crate::drill::{DrillEvent, LearnerHeader};
use crate::round::{Card, Closing, Cutter, Event, Header, Round};
use crate::saw::{SawEvent, SawHeader};
use crate::units::{Degrees, Millimetres};

/// Changed whenever a line means something other than before.
pub(super) const FORMAT: u32 = 1;

/// What was written.
#[derive(Debug, Default)]
pub struct Exported {
    /// Loops.
    pub loops: usize,
    /// Rounds.
    pub rounds: usize,
    /// Files that could not be read and are not in it.
    pub problems: Vec<(PathBuf, RackError)>,
}

/// One line of an export.
#[derive(Debug, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum Line {
    Export {
        format: u32,
    },
    Profile {
        name: String,
        toml: String,
    },
    Sharpener(Sharpener),
    Saw {
        file: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        id: Option<Uuid>,
        header: SawHeader,
    },
    SawEvent {
        seq: u32,
        at: DateTime<FixedOffset>,
        event: SawEvent,
    },
    Learner {
        file: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        id: Option<Uuid>,
        header: LearnerHeader,
    },
    DrillEvent {
        seq: u32,
        at: DateTime<FixedOffset>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        typed: Option<String>,
        event: DrillEvent,
    },
    Loop {
        card: Box<Card>,
    },
    Round {
        file: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        id: Option<Uuid>,
        header: Box<Header>,
    },
    Event {
        seq: u32,
        at: DateTime<FixedOffset>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        typed: Option<String>,
        event: Event,
    },
    End {
        lines: usize,
    },
}

impl Rack {
    /// Writes everything as JSON Lines. What cannot be read is told and left out.
    ///
    /// # Errors
    /// `out` cannot be written.
    pub fn export_jsonl(&self, out: &mut dyn Write) -> io::Result<Exported> {
        self.export_jsonl_with(out, &mut |_, _| true)
    }

    /// As [`Rack::export_jsonl`]; `watch` hears before every round how many loops
    /// are done, and of how many; `false` stops it.
    ///
    /// # Errors
    /// `out` cannot be written; it was stopped.
    pub fn export_jsonl_with(
        &self,
        out: &mut dyn Write,
        watch: &mut dyn FnMut(usize, usize) -> bool,
    ) -> io::Result<Exported> {
        let mut done = Exported::default();
        let mut lines = Lines { out, count: 0 };
        lines.put(&Line::Export { format: FORMAT })?;
        let profiles = self.profile_files().unwrap_or_else(|error| {
            done.problems.push((super::data_dir::profiles(self.root()), error.into()));
            Vec::new()
        });
        for path in profiles {
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            match self.profile(&name).and_then(|_| small::text(&path)) {
                Ok(toml) => lines.put(&Line::Profile { name, toml })?,
                Err(error) => done.problems.push((path, error)),
            }
        }
        match self.sharpeners() {
            Ok(list) => list.into_iter().try_for_each(|sharpener| lines.put(&Line::Sharpener(sharpener)))?,
            Err(error) => done.problems.push((self.root().join(super::data_dir::SHARPENERS), error)),
        }
        self.export_saws(&mut lines, &mut done)?;
        self.export_learners(&mut lines, &mut done)?;
        let tags = self.tags(&mut done.problems);
        for (at, tag) in tags.iter().enumerate() {
            match self.card(tag) {
                Ok(card) => lines.put(&Line::Loop { card: Box::new(card) })?,
                Err(error) => {
                    done.problems.push((self.root().join("loops").join(tag), error));
                    continue;
                }
            }
            done.loops += 1;
            for path in self.round_files(tag, &mut done.problems) {
                go_on(watch(at, tags.len()))?;
                match contents::read::<Header, Event>(&path) {
                    Ok(round) => lines.round(name_of(&path), round)?,
                    Err(error) => {
                        done.problems.push((path, error.into()));
                        continue;
                    }
                }
                done.rounds += 1;
            }
        }
        let count = lines.count + 1;
        lines.put(&Line::End { lines: count })?;
        out.flush()?;
        Ok(done)
    }

    /// Writes the cutters of all rounds as one table. What cannot be read is told and left out.
    ///
    /// # Errors
    /// `out` cannot be written.
    pub fn export_csv(&self, out: &mut dyn Write) -> io::Result<Exported> {
        self.export_csv_with(out, &mut |_, _| true)
    }

    /// As [`Rack::export_csv`]; `watch` is that of [`Rack::export_jsonl_with`].
    ///
    /// # Errors
    /// `out` cannot be written; it was stopped.
    pub fn export_csv_with(
        &self,
        out: &mut dyn Write,
        watch: &mut dyn FnMut(usize, usize) -> bool,
    ) -> io::Result<Exported> {
        let mut done = Exported::default();
        let mut table = csv::Writer::from_writer(out);
        table.write_record(ROUND.into_iter().chain(CUTTER))?;
        let tags = self.tags(&mut done.problems);
        for (at, tag) in tags.iter().enumerate() {
            done.loops += 1;
            for path in self.round_files(tag, &mut done.problems) {
                go_on(watch(at, tags.len()))?;
                match self.read_round(&path) {
                    Err(error) => done.problems.push((path, error)),
                    Ok(round) => {
                        done.rounds += 1;
                        for cutter in &round.cutters {
                            table.write_record(round_cells(&round).into_iter().chain(cutter_cells(cutter)))?;
                        }
                    }
                }
            }
        }
        table.flush()?;
        Ok(done)
    }

    fn export_saws(&self, lines: &mut Lines<'_>, done: &mut Exported) -> io::Result<()> {
        let sorted = match saws::sorted(self.root()) {
            Ok(sorted) => sorted,
            Err(error) => {
                done.problems.push((super::data_dir::saws(self.root()), error.into()));
                return Ok(());
            }
        };
        done.problems.extend(sorted.copies.into_iter().map(|(path, copy)| (path, copy.into())));
        for super::copies::Listed { path, .. } in sorted.files {
            match contents::read::<SawHeader, SawEvent>(&path) {
                Ok(saw) => {
                    lines.put(&Line::Saw { file: name_of(&path), id: saw.id, header: saw.header })?;
                    for contents::Stamped { seq, at, event, .. } in saw.entries {
                        lines.put(&Line::SawEvent { seq, at, event })?;
                    }
                }
                Err(error) => done.problems.push((path, error.into())),
            }
        }
        Ok(())
    }

    fn export_learners(&self, lines: &mut Lines<'_>, done: &mut Exported) -> io::Result<()> {
        let sorted = match learners::sorted(self.root()) {
            Ok(sorted) => sorted,
            Err(error) => {
                done.problems.push((super::data_dir::learners(self.root()), error.into()));
                return Ok(());
            }
        };
        done.problems.extend(sorted.copies.into_iter().map(|(path, copy)| (path, copy.into())));
        for super::copies::Listed { path, .. } in sorted.files {
            match contents::read::<LearnerHeader, DrillEvent>(&path) {
                Ok(learner) => {
                    lines.put(&Line::Learner { file: name_of(&path), id: learner.id, header: learner.header })?;
                    for contents::Stamped { seq, at, typed, event, .. } in learner.entries {
                        lines.put(&Line::DrillEvent { seq, at, typed, event })?;
                    }
                }
                Err(error) => done.problems.push((path, error.into())),
            }
        }
        Ok(())
    }

    fn tags(&self, problems: &mut Vec<(PathBuf, RackError)>) -> Vec<String> {
        super::shelves::tags(self.root()).unwrap_or_else(|error| {
            problems.push((self.root().to_owned(), error));
            Vec::new()
        })
    }

    fn round_files(&self, tag: &str, problems: &mut Vec<(PathBuf, RackError)>) -> Vec<PathBuf> {
        match self.rounds_and_copies(tag) {
            Ok(sorted) => {
                problems.extend(sorted.copies.into_iter().map(|(path, copy)| (path, copy.into())));
                sorted.files.into_iter().map(|file| file.path).collect()
            }
            Err(error) => {
                problems.push((self.root().join("loops").join(tag), error));
                Vec::new()
            }
        }
    }
}

/// An error where the work is to stop.
fn go_on(wanted: bool) -> io::Result<()> {
    if wanted { Ok(()) } else { Err(io::Error::other("stopped")) }
}

struct Lines<'a> {
    out: &'a mut dyn Write,
    count: usize,
}

impl Lines<'_> {
    fn put(&mut self, line: &Line) -> io::Result<()> {
        self.count += 1;
        serde_json::to_writer(&mut *self.out, line)?;
        self.out.write_all(b"\n")
    }

    fn round(&mut self, file: String, round: contents::Contents<Header, Event>) -> io::Result<()> {
        self.put(&Line::Round { file, id: round.id, header: Box::new(round.header) })?;
        round.entries.into_iter().try_for_each(|entry| {
            let contents::Stamped { seq, at, by, typed, event } = entry;
            self.put(&Line::Event { seq, at, by, typed, event })
        })
    }
}

const ROUND: [&str; 8] = ["loop", "started", "how", "sharpener", "wood", "tool", "profile", "cutters"];
const CUTTER: [&str; 11] = [
    "cutter",
    "side",
    "length_mm",
    "after_mm",
    "top_plate_deg",
    "gap_before_mm",
    "gap_mm",
    "strokes",
    "need_mm",
    "state",
    "note",
];

fn round_cells(round: &Round) -> [String; 8] {
    let header = &round.header;
    let how = match round.closed {
        None => "open",
        Some(Closing::Signed) => "signed",
        Some(Closing::Rejected) => "rejected",
        Some(Closing::Abandoned) => "abandoned",
    };
    // Words of this table are fixed, whatever screens and sheets call the same wood.
    let wood = match header.wood {
        Wood::Any => "any wood",
        Wood::Hardwood => "hardwood",
        Wood::SoftwoodNoFrost => "softwood, no frost",
    };
    [
        header.tag.clone(),
        header.started.to_rfc3339(),
        how.to_owned(),
        harmless(&header.sharpener),
        wood.to_owned(),
        header.tool.to_string(),
        header.profile.clone(),
        round.layout.count().to_string(),
    ]
}

fn cutter_cells(cutter: &Cutter) -> [String; 11] {
    [
        cutter.number.to_string(),
        cutter.side.to_string(),
        number(cutter.before.mean().map(Millimetres::get)),
        number(cutter.after.mean().map(Millimetres::get)),
        number(cutter.angle.mean().map(Degrees::get)),
        number(cutter.gap_before.mean().map(Millimetres::get)),
        number(cutter.gap_after.mean().map(Millimetres::get)),
        cutter.strokes.map(|count| count.to_string()).unwrap_or_default(),
        number(cutter.need.map(crate::units::Millimetres::get)),
        cutter.state.to_string(),
        harmless(&cutter.notes.join("; ")),
    ]
}

/// To 0.0001, the finest that is ever read, without trailing zeros.
fn number(value: Option<f64>) -> String {
    let Some(value) = value else { return String::new() };
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A text that no spreadsheet takes for a formula (CWE-1236).
fn harmless(text: &str) -> String {
    if begins_like_a_formula(text) { format!("'{text}") } else { text.to_owned() }
}

/// True where a spreadsheet would calculate instead of showing, or where marks against that stand already.
pub(super) fn begins_like_a_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r'])
}
