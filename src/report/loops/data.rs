//! The list for programs and spreadsheets. Names are fixed: add, never rename.

use chrono::NaiveDate;

use super::{LoopPart, Loops};
use crate::report::data::{csv, json, number_cell, text_cell};

const HEADER: [&str; 27] = [
    "loop",
    "name",
    "owner",
    "saw",
    "chain",
    "profile",
    "links",
    "state",
    "open",
    "status_word",
    "status",
    "life_left",
    "stage",
    "last",
    "next",
    "due",
    "cut_agreed",
    "cut_of",
    "saw_hint",
    "next_on_saw",
    "runs_first",
    "promised",
    "overdue",
    "brought",
    "brought_by",
    "fetched",
    "fetched_by",
];

impl Loops {
    /// The list as JSON; shares from 0 to 1, absent is null.
    pub fn json(&self) -> String {
        json(self)
    }

    /// One row per loop; an empty cell is not known.
    pub fn csv(&self) -> String {
        csv(HEADER, self.shown.iter().map(LoopPart::cells))
    }
}

impl LoopPart {
    fn cells(&self) -> [String; HEADER.len()] {
        let day = |day: Option<NaiveDate>| day.map(|day| day.to_string()).unwrap_or_default();
        let said = |text: &Option<String>| text_cell(text.as_deref().unwrap_or_default());
        [
            self.tag.clone(),
            text_cell(&self.name),
            text_cell(&self.owner),
            text_cell(&self.saw),
            text_cell(&self.chain),
            text_cell(&self.profile),
            self.links.to_string(),
            <&str>::from(self.state).to_owned(),
            self.open.to_string(),
            self.status.as_ref().map(|status| <&str>::from(status.word)).unwrap_or_default().to_owned(),
            self.status.as_ref().map(|status| text_cell(&status.line)).unwrap_or_default(),
            number_cell(self.life_left),
            self.stage.map(|stage| stage.to_string()).unwrap_or_default(),
            self.last.clone().unwrap_or_default(),
            self.next.clone().unwrap_or_default(),
            self.due.to_string(),
            self.cut.agreed.to_string(),
            self.cut.of.to_string(),
            said(&self.saw_hint),
            self.next_on_saw.to_string(),
            said(&self.runs_first),
            day(self.promised),
            self.overdue.to_string(),
            day(self.brought),
            said(&self.brought_by),
            day(self.fetched),
            said(&self.fetched_by),
        ]
    }
}
