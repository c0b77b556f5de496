//! Rows of the rack: made once from a shelf, then only filtered, put in order and shown.
//!
//! What the file is for: how a row comes about, and what to do with its loop in a sentence. It must not know which rows are chosen
//! (`choice`), nor how wide a window is.

mod choice;

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::{Workshop, saws};
use crate::advice::place::Place;
use crate::advice::say::status::FOR_PRACTICE;
use crate::advice::say::visit::promise;
use crate::advice::{Agreement, Status, StatusWord};
use crate::chain::{Profile, Stage};
use crate::record::shelves::name_order;
use crate::record::{Glance, Shelf, Standing, Watch};
use crate::report::format::capital;
use crate::report::loops::{of_saw, turn};
use crate::round::Visit;
use crate::saw::Glance as SawGlance;
use crate::units::clean::clean;

pub use choice::{Filter, Sort};

/// A loop on the rack.
#[derive(Debug, Clone)]
pub struct Row {
    /// Tag of the loop.
    pub tag: String,
    /// Its name, safe to show.
    pub name: String,
    /// What its name is put in order by.
    pub(super) order: (String, u64, String),
    /// Its drive links.
    pub links: u16,
    /// Whose it is.
    pub owner: String,
    /// Saw that its card names.
    pub saw: String,
    /// Chain type, as people say it.
    pub chain: String,
    /// Name of its profile.
    pub profile: String,
    /// How often it cut as its sheets had said.
    pub cut: Agreement,
    /// Share of usable life left, where lengths are known.
    pub left: Option<f64>,
    /// Where it stands between the rules for the raker gap.
    pub stage: Option<Stage>,
    /// When somebody last worked on it.
    pub last: Option<DateTime<FixedOffset>>,
    /// How it stands.
    pub state: Standing,
    /// A round waits to be gone on with.
    pub open: bool,
    /// How it stands after its newest round.
    pub status: Option<Status>,
    /// When the next round is due if rounds go on coming as they did.
    pub next: Option<DateTime<FixedOffset>>,
    /// It is due.
    pub due: bool,
    /// Who brought it, for when it is promised, who fetched it.
    pub visit: Visit,
    /// The promise in a few words, while it waits.
    pub promise: Option<String>,
    /// The day it was promised for is past.
    pub overdue: bool,
    /// What its saw has to say.
    pub saw_says: SawSays,
    /// Fields of its card on which joined folders differ, and nobody has chosen.
    pub asked: usize,
}

/// What the saw of a loop has to say on the rack.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SawSays {
    /// What is known to be wrong with it.
    pub hint: Option<String>,
    /// This loop is to run next, of several.
    pub next: bool,
    /// Name of the loop that is to run before this one.
    pub first: Option<String>,
}

impl Row {
    /// The row of a shelf at its place in its life.
    fn of(shelf: &Shelf, profile: Option<&Profile>, place: Option<Place>) -> Self {
        let card = &shelf.card;
        Self {
            tag: card.tag.clone(),
            name: clean(&card.name),
            order: name_order(&card.name),
            links: card.links,
            owner: clean(&card.owner),
            saw: clean(&card.saw),
            chain: profile.map_or_else(|| clean(&card.profile), |profile| profile.title.clone()),
            profile: clean(&card.profile),
            cut: shelf.cut,
            left: place.map(|place| place.life_left),
            stage: place.map(|place| place.stage),
            last: shelf.open.as_ref().map(|open| open.touched).or_else(|| shelf.last.as_ref().map(|last| last.ended)),
            state: shelf.standing(),
            open: shelf.open.is_some(),
            status: shelf.status.clone(),
            next: None,
            due: false,
            visit: card.visit.clone(),
            promise: None,
            overdue: false,
            saw_says: SawSays::default(),
            asked: shelf.asked,
        }
    }

    /// The day that it is promised for, while it waits; nothing waits out of care.
    pub fn waits_for(&self) -> Option<NaiveDate> {
        self.visit.waits_for().filter(|_| self.state != Standing::Scrapped)
    }

    /// The row with what is known at that time: whether its next round is due, and what its saw says.
    #[must_use]
    pub fn at(mut self, next: Option<DateTime<FixedOffset>>, now: DateTime<FixedOffset>, saw_says: SawSays) -> Self {
        self.due = next.is_some_and(|next| next <= now);
        self.next = next;
        let today = now.date_naive();
        self.promise = self.waits_for().and_then(|_| promise(&self.visit, today));
        self.overdue = self.waits_for().is_some_and(|day| day < today);
        self.saw_says = saw_says;
        self
    }

    /// True with a round to go on with.
    pub fn is_open(&self) -> bool {
        self.open && self.state != Standing::Scrapped
    }

    /// True where name, owner, saw or tag hold the text (lower case).
    pub fn holds(&self, text: &str) -> bool {
        text.is_empty()
            || [&self.name, &self.owner, &self.saw, &self.tag].iter().any(|s| s.to_lowercase().contains(text))
    }

    /// What to do with this loop, in a sentence.
    pub fn advice(&self) -> String {
        let says = &self.saw_says;
        let hint = says.hint.as_deref().map(of_saw);
        let turn = turn(says.next, says.first.as_deref());
        let promise = self.promise.as_ref().map(|promise| format!("{}.", capital(promise)));
        let status = self.status.as_ref().filter(|status| match self.state {
            Standing::Ready => status.word != StatusWord::Ready,
            Standing::Open => !status.why.is_empty(),
            Standing::New | Standing::Practice | Standing::Rejected | Standing::Scrapped => false,
        });
        let status = status.map(|status| format!("{}.", capital(&status.line())));
        // The stage stands in its column: where there is more to say, one line has no room for both.
        let more = promise.is_some() || status.is_some() || hint.is_some() || turn.is_some();
        let usual = self.state == Standing::Ready && !self.due && more;
        // Whether its round can be gone on with before a choice is made depends on what is to be chosen.
        let is_asked = self.asked > 0;
        let what = (!(usual || is_asked && self.open)).then(|| self.what_to_do());
        let asked = is_asked.then(|| "It is on record in more than one way: u chooses.".to_owned());
        [promise, status, asked, what, hint, turn].into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    fn what_to_do(&self) -> String {
        match (self.state, self.stage) {
            (Standing::Open, _) => "Enter goes on with the open round.".to_owned(),
            (Standing::Scrapped, _) => "Out of care. h shows its history, r takes it back.".to_owned(),
            (Standing::Practice, _) => {
                let open = if self.open { " Its round is open: Enter goes on with it, to end it." } else { "" };
                format!("{}: no round is begun. d drills, e its card.{open}", capital(FOR_PRACTICE))
            }
            (Standing::Rejected, _) => {
                let key = if self.open { "Enter goes on with the round." } else { "r releases it." };
                let why =
                    self.status.as_ref().map_or_else(|| "rejected".to_owned(), |status| status.reasons().join(", "));
                format!("{}. {key}", capital(&why))
            }
            (Standing::New, _) => "Enter begins its first round.".to_owned(),
            (Standing::Ready, _) if self.due => "Its next round is due. Enter begins it.".to_owned(),
            (Standing::Ready, Some(stage)) => format!("{} Enter begins a round.", stage.sentence()),
            (Standing::Ready, None) => "Enter begins a round.".to_owned(),
        }
    }
}

/// The rows of a rack and what could not be read.
#[derive(Debug, Default)]
pub struct Rows {
    /// One a loop.
    pub rows: Vec<Row>,
    /// Files at fault, each in a sentence.
    pub problems: Vec<String>,
    /// Fields of cards, people and profiles on which joined folders differ, and nobody has chosen.
    pub asked: usize,
}

/// Loops as rows of the rack, as it stands at that time; what a saw says needs all of its loops.
pub(super) fn rows_of(
    shelves: &[Shelf],
    profiles: &BTreeMap<String, Profile>,
    saws: &BTreeMap<String, SawGlance>,
    now: DateTime<FixedOffset>,
) -> Vec<Row> {
    let stand: Vec<Option<Place>> = shelves.iter().map(|shelf| place(shelf, profiles)).collect();
    let says = saws::say((shelves, &stand), profiles, saws);
    let row = |((shelf, place), says): ((&Shelf, &Option<Place>), SawSays)| {
        Row::of(shelf, profiles.get(&shelf.card.profile), *place).at(shelf.next, now, says)
    };
    shelves.iter().zip(&stand).zip(says).map(row).collect()
}

fn place(shelf: &Shelf, profiles: &BTreeMap<String, Profile>) -> Option<Place> {
    shelf.place(profiles.get(&shelf.card.profile)?)
}

/// The row of a shelf by itself: what its saw says takes all loops of that saw.
fn row_alone(shelf: &Shelf, profiles: &BTreeMap<String, Profile>, now: DateTime<FixedOffset>) -> Row {
    let row = Row::of(shelf, profiles.get(&shelf.card.profile), place(shelf, profiles));
    row.at(shelf.next, now, SawSays::default())
}

/// Who hears of rows while the rack is read.
pub trait RowWatch {
    /// Comes first: the rows that need not be read again, and how many loops must.
    fn known(&mut self, rows: &mut dyn Iterator<Item = Row>, total: usize);

    /// `done` of `total` loops that must be read again have been; the row is absent where that loop is at fault. `false` stops the
    /// reading.
    fn read(&mut self, done: usize, total: usize, row: Option<Row>) -> bool;
}

/// Hands shelves on as rows.
struct Through<'a> {
    profiles: &'a BTreeMap<String, Profile>,
    now: DateTime<FixedOffset>,
    to: &'a mut dyn RowWatch,
}

impl Watch for Through<'_> {
    fn known(&mut self, shelves: &mut dyn Iterator<Item = &Shelf>, total: usize) {
        self.to.known(&mut shelves.map(|shelf| row_alone(shelf, self.profiles, self.now)), total);
    }

    fn read(&mut self, done: usize, total: usize, shelf: Option<&Shelf>) -> bool {
        self.to.read(done, total, shelf.map(|shelf| row_alone(shelf, self.profiles, self.now)))
    }
}

impl Workshop {
    /// All loops as rows of the rack, as it stands at that time. Opening the rack brings derived files up to date.
    pub fn rows(&self, now: DateTime<FixedOffset>) -> Rows {
        self.read_rows(now, &mut &self.ear).unwrap_or_default()
    }

    /// As [`Workshop::rows`]; `watch` hears how many of the loops that must be read again are done. `None` where it stopped the
    /// reading.
    pub fn rows_with(&self, now: DateTime<FixedOffset>, watch: &mut dyn RowWatch) -> Option<Rows> {
        let (profiles, _) = self.profiles_by_name();
        self.read_rows(now, &mut Through { profiles: &profiles, now, to: watch })
    }

    /// The rows that stand first by name, as they last were, and how many loops there are; nothing where that is not known.
    pub fn first_rows(&self, now: DateTime<FixedOffset>) -> Option<(Vec<Row>, Glance)> {
        let glance = self.rack.glance()?;
        let (profiles, _) = self.profiles_of(&glance.first);
        Some((glance.first.iter().map(|shelf| row_alone(shelf, &profiles, now)).collect(), glance))
    }

    fn read_rows(&self, now: DateTime<FixedOffset>, watch: &mut dyn Watch) -> Option<Rows> {
        let found = self.rack.refresh_with(watch);
        let (profiles, at_fault) = self.profiles_of(&found.shelves);
        let rows = rows_of(&found.shelves, &profiles, &found.saws.saws, now);
        let (problems, asked) = (self.at_fault(&found, &at_fault), self.asked(&found));
        (!found.stopped).then_some(Rows { rows, problems, asked })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_saw_says_fits_the_line_below_the_rack() {
        let at = DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap();
        let row = Row {
            tag: "a".into(),
            order: name_order("A"),
            name: "A".into(),
            links: 72,
            owner: String::new(),
            saw: "big".into(),
            chain: String::new(),
            profile: String::new(),
            cut: Agreement::default(),
            left: Some(0.5),
            stage: Some(Stage::Worth),
            last: Some(at),
            state: Standing::Ready,
            open: false,
            status: None,
            next: None,
            due: false,
            visit: Visit::default(),
            promise: None,
            overdue: false,
            saw_says: SawSays::default(),
            asked: 0,
        };
        assert!(row.advice().ends_with("Enter begins a round."));
        let two_ways = Row { state: Standing::Open, open: true, asked: 1, ..row.clone() };
        assert_eq!(two_ways.advice(), "It is on record in more than one way: u chooses.");
        let hint = Some("bar BAD, tension to look at again".to_owned());
        let says = SawSays { hint, next: false, first: Some("Hollow pine".to_owned()) };
        let said = row.at(None, at, says).advice();
        assert_eq!(said, "Saw: bar BAD, tension to look at again. Hollow pine runs first on its saw.");
        assert!(said.chars().count() <= 80);
    }

    #[test]
    fn numbers_in_names_sort_as_numbers() {
        assert!(name_order("Saw 9") < name_order("saw 10"));
    }
}
