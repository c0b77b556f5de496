//! Tags for programs and spreadsheets. Names are fixed: add, never rename.

use super::{Tag, Tags};
use crate::report::data::{csv, json, number_cell, text_cell};

const HEADER: [&str; 23] = [
    "loop",
    "name",
    "owner",
    "saw",
    "chain",
    "profile",
    "links",
    "cutters",
    "state",
    "length_mm",
    "target_mm",
    "file_mm",
    "rule",
    "gap_mm",
    "stage",
    "last",
    "sharpener",
    "next",
    "status",
    "promised",
    "overdue",
    "brought",
    "brought_by",
];

impl Tags {
    /// The tags as JSON; lengths in mm, absent is null.
    pub fn json(&self) -> String {
        json(self)
    }

    /// One row per loop; an empty cell is not known.
    pub fn csv(&self) -> String {
        csv(HEADER, self.all.iter().map(Tag::cells))
    }
}

impl Tag {
    fn cells(&self) -> [String; HEADER.len()] {
        let said = |text: &Option<String>| text_cell(text.as_deref().unwrap_or_default());
        [
            self.slug.clone(),
            text_cell(&self.name),
            said(&self.owner),
            said(&self.saw),
            text_cell(&self.chain),
            text_cell(&self.profile),
            self.links.to_string(),
            self.cutters.map(|n| n.to_string()).unwrap_or_default(),
            <&str>::from(self.state).to_owned(),
            number_cell(self.length_mm),
            number_cell(self.target_mm),
            number_cell(self.file_mm),
            self.rule.map(<&str>::from).unwrap_or_default().to_owned(),
            number_cell(self.gap_mm),
            self.stage.map(|stage| stage.to_string()).unwrap_or_default(),
            self.last.clone().unwrap_or_default(),
            said(&self.sharpener),
            self.next.clone().unwrap_or_default(),
            self.status.as_ref().map(|status| text_cell(&status.line)).unwrap_or_default(),
            self.promised.map(|day| day.to_string()).unwrap_or_default(),
            self.overdue.to_string(),
            self.brought.map(|day| day.to_string()).unwrap_or_default(),
            said(&self.brought_by),
        ]
    }
}
