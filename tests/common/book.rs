//! A small record of its own kind, for tests of the journal.
#![allow(dead_code, reason = "each test program uses its part")]

use chrono::{DateTime, FixedOffset, Utc};
use evenbite::record::{self, Contents, Journal, RecordError, Stamped};
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::{Path, PathBuf};

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Head {
    pub tag: String,
    pub links: u32,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Place {
    pub cutter: u32,
    pub left: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum Event {
    Measured { place: Place, mm: f64 },
    Noted { text: String, words: Vec<String> },
    Voided { what: u32, why: Option<String> },
    Signed,
}

pub(crate) type Book = Journal<Head, Event>;

pub(crate) fn at(second: u32) -> DateTime<FixedOffset> {
    let start: DateTime<FixedOffset> = "2026-05-01T08:00:00.5+02:00".parse().unwrap();
    start + chrono::TimeDelta::seconds(second.into())
}

pub(crate) fn now() -> DateTime<Utc> {
    at(3600).to_utc()
}

pub(crate) fn head() -> Head {
    Head { tag: "k-14".to_owned(), links: 72 }
}

pub(crate) fn measured(cutter: u32, mm: f64) -> Event {
    Event::Measured { place: Place { cutter, left: cutter % 2 == 1 }, mm }
}

pub(crate) fn events() -> Vec<(Event, Option<&'static str>)> {
    vec![
        (measured(1, 12.34), Some("12,34mm")),
        (measured(2, 12.0), None),
        (Event::Noted { text: "nick at the \"corner\"".into(), words: vec!["é".into(), String::new()] }, None),
        (Event::Voided { what: 2, why: None }, Some("u")),
        (Event::Signed, None),
    ]
}

/// A record with the events above, and its bytes.
pub(crate) fn sample(folder: &Path) -> (PathBuf, Vec<u8>, Vec<Stamped<Event>>) {
    let path = folder.join("2026-05-01.round.toml");
    let mut book = Book::create(&path, &head()).unwrap();
    let entries =
        (0..).zip(events()).map(|(i, (event, typed))| book.append(at(i), None, &event, typed).unwrap().stamped);
    let entries = entries.collect();
    (path.clone(), fs::read(path).unwrap(), entries)
}

pub(crate) fn read(path: &Path) -> Result<Contents<Head, Event>, RecordError> {
    record::read(path)
}

/// Put bytes under a fresh name and read them.
pub(crate) fn read_bytes(folder: &Path, bytes: &[u8]) -> Result<Contents<Head, Event>, RecordError> {
    let path = folder.join("x.round.toml");
    fs::write(&path, bytes).unwrap();
    read(&path)
}
