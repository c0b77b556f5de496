//! A loop in one line of the index: values in a fixed order and without their names, what most loops have none of last.
//!
//! Thousands of lines are read before a rack is whole, so a line holds nothing that can be reckoned from the rest of it, times are
//! numbers, and what a status rests on stands once in a table before the lines.

use chrono::{DateTime, FixedOffset, Timelike};
use serde::{Deserialize, Serialize};

use super::super::history::{Stamp, Standing as OpenStanding};
use super::shelf::{LastRound, OpenRound, Shelf};
use crate::advice::slope::Learned;
use crate::advice::{Agreement, Status, StatusWord, Why};
use crate::chain::{CutterNumber, Rule, Sequence, Side, Wood};
use crate::round::card::{Own, Prices, Scrapped};
use crate::round::{Card, Closing, Held, Lengths, Release, Tool, Visit};
use crate::units::{Degrees, Millimetres, Unit};

/// A loop in the index.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    pub(super) folder_ns: i64,
    pub(super) card: Stamp,
    pub(super) open: Option<Stamp>,
    /// What the loop's status rests on beside its rounds, by its place in the table.
    pub(super) basis: usize,
    /// Something in the folder could not be read: look again every time, so that it is told every time.
    pub(super) faulty: bool,
    pub(super) shelf: Shelf,
}

impl Line {
    pub(super) fn tag(&self) -> &str {
        &self.shelf.card.tag
    }
}

/// Seconds since 1970, seconds by which the clock at the bench was ahead of UTC, and parts of a second in ns.
type Moment = (i64, i32, u32);
/// Size and time of change.
type Looked = (u64, i64);
/// Tag, name, owner, saw, profile, links, order of cutters, hand of cutter 1, its mark, when it came into care.
type Named = (String, String, String, String, String, u16, Sequence, Side, String, Moment);
/// The last closed round: its end, how it ended, who filed, the profile where it is not the card's, rule, target, tool, strokes.
type Ended = (Moment, Option<Closing>, String, Option<String>, Option<Rule>, Option<Millimetres>, Tool, u32);
/// Median, shortest, the one that ends the loop's life, and which that is.
type Long = (Millimetres, Millimetres, Millimetres, CutterNumber);
/// Closed rounds, lengths, wood, back slope with its standard error, the next round, the status.
type Stands =
    (usize, Option<Long>, Wood, Option<(Degrees, Degrees)>, Option<Moment>, Option<(StatusWord, Unit, Vec<Why>)>);
/// A loop without what its line is believed by.
pub(super) type StoredShelf = (Named, Option<Ended>, Stands, Option<Box<Seldom>>);
/// Time of change of the folder, stamp of the card, place of the basis, the loop.
pub(super) type StoredLine = (i64, Looked, usize, StoredShelf);

/// What most loops have none of.
#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Seldom {
    #[serde(skip_serializing_if = "Option::is_none")]
    open: Option<Open>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stamp: Option<Looked>,
    #[serde(skip_serializing_if = "is_default")]
    faulty: bool,
    #[serde(skip_serializing_if = "is_default")]
    cut: Agreement,
    #[serde(skip_serializing_if = "Option::is_none")]
    fits: Option<Rule>,
    #[serde(skip_serializing_if = "is_default")]
    asked: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    held: Option<Held>,
    #[serde(skip_serializing_if = "Own::is_empty")]
    own: Own,
    #[serde(skip_serializing_if = "Prices::is_empty")]
    prices: Prices,
    #[serde(skip_serializing_if = "is_default")]
    for_practice: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    scrapped: Option<Scrapped>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    releases: Vec<Release>,
    #[serde(skip_serializing_if = "is_default")]
    visit: Visit,
}

/// A round that waits to be resumed.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Open {
    file: String,
    started: DateTime<FixedOffset>,
    sharpener: String,
    touched: DateTime<FixedOffset>,
    standing: OpenStanding,
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

fn moment(at: DateTime<FixedOffset>) -> Moment {
    (at.timestamp(), at.offset().local_minus_utc(), at.nanosecond())
}

/// `None` for what no clock can have shown.
fn time((seconds, ahead, ns): Moment) -> Option<DateTime<FixedOffset>> {
    Some(DateTime::from_timestamp(seconds, ns)?.with_timezone(&FixedOffset::east_opt(ahead)?))
}

/// A loop as it is stored.
pub(super) fn store(shelf: Shelf) -> StoredShelf {
    let Shelf { card, rounds, last, open, lengths, wood, slope, cut, next, status, fits, asked, held } = shelf;
    let Card {
        tag,
        name,
        owner,
        saw,
        profile,
        links,
        sequence,
        first,
        start_mark,
        created,
        own,
        prices,
        for_practice,
        scrapped,
        releases,
        visit,
    } = card;
    let ended = last.map(|last| {
        let LastRound { ended, how, sharpener, profile: by, rule, target, tool, strokes } = last;
        (moment(ended), how, sharpener, Some(by).filter(|by| *by != profile), rule, target, tool, strokes)
    });
    let long = lengths.map(|Lengths { median, shortest, ends, ends_at }| (median, shortest, ends, ends_at));
    let slope = slope.map(|Learned { value, se }| (value, se));
    let status = status.map(|Status { word, unit, why }| (word, unit, why));
    let open = open.map(|open| {
        let OpenRound { path: _, file, started, sharpener, touched, standing } = open;
        Open { file, started, sharpener, touched, standing }
    });
    let (stamp, faulty) = (None, false);
    let seldom =
        Seldom { open, stamp, faulty, cut, fits, asked, held, own, prices, for_practice, scrapped, releases, visit };
    let seldom = Some(seldom).filter(|seldom| *seldom != Seldom::default()).map(Box::new);
    let named = (tag, name, owner, saw, profile, links, sequence, first, start_mark, moment(created));
    (named, ended, (rounds, long, wood, slope, next.map(moment), status), seldom)
}

/// The loop that is stored; `None` where no program wrote it so.
pub(super) fn shelf((named, ended, stands, seldom): StoredShelf) -> Option<Shelf> {
    let (tag, name, owner, saw, profile, links, sequence, first, start_mark, created) = named;
    let Seldom {
        open,
        stamp: _,
        faulty: _,
        cut,
        fits,
        asked,
        held,
        own,
        prices,
        for_practice,
        scrapped,
        releases,
        visit,
    } = seldom.map(|seldom| *seldom).unwrap_or_default();
    let last = match ended {
        None => None,
        Some((ended, how, sharpener, by, rule, target, tool, strokes)) => {
            let profile = by.unwrap_or_else(|| profile.clone());
            Some(LastRound { ended: time(ended)?, how, sharpener, profile, rule, target, tool, strokes })
        }
    };
    let (rounds, long, wood, slope, next, status) = stands;
    let next = match next {
        None => None,
        Some(next) => Some(time(next)?),
    };
    let created = time(created)?;
    let card = Card {
        tag,
        name,
        owner,
        saw,
        profile,
        links,
        sequence,
        first,
        start_mark,
        created,
        own,
        prices,
        for_practice,
        scrapped,
        releases,
        visit,
    };
    let open = open.map(|Open { file, started, sharpener, touched, standing }| OpenRound {
        path: std::path::PathBuf::new(),
        file,
        started,
        sharpener,
        touched,
        standing,
    });
    Some(Shelf {
        card,
        rounds,
        last,
        open,
        lengths: long.map(|(median, shortest, ends, ends_at)| Lengths { median, shortest, ends, ends_at }),
        wood,
        slope: slope.map(|(value, se)| Learned { value, se }),
        cut,
        next,
        status: status.map(|(word, unit, why)| Status { word, unit, why }),
        fits,
        asked,
        held,
    })
}

/// A line as it is stored; `basis` is its place in the table that is written.
pub(super) fn store_line(line: &Line, basis: usize) -> StoredLine {
    let Line { folder_ns, card, open, basis: _, faulty, shelf } = line;
    let mut stored = store(shelf.clone());
    if open.is_some() || *faulty {
        let seldom = stored.3.get_or_insert_default();
        seldom.stamp = open.map(|open| (open.size, open.changed_ns));
        seldom.faulty = *faulty;
    }
    (*folder_ns, (card.size, card.changed_ns), basis, stored)
}

/// The line that is stored.
pub(super) fn line((folder_ns, card, basis, stored): StoredLine) -> Option<Line> {
    let stamp = |(size, changed_ns): Looked| Stamp { size, changed_ns };
    let (open, faulty) = stored.3.as_ref().map_or((None, false), |seldom| (seldom.stamp.map(stamp), seldom.faulty));
    Some(Line { folder_ns, card: stamp(card), open, basis, faulty, shelf: shelf(stored)? })
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::round::Phase;

    /// A loop as most are.
    pub(in super::super) fn plain() -> Shelf {
        let at = |text: &str| text.parse::<DateTime<FixedOffset>>().unwrap();
        let card = r#"{"tag":"a","name":"A","profile":"three-eighths","links":72,"sequence":"full","first":"left",
            "created":"2026-03-01T08:00:00.25+01:00"}"#;
        Shelf {
            card: serde_json::from_str(card).unwrap(),
            rounds: 3,
            last: Some(LastRound {
                ended: at("2026-05-01T08:10:00-03:30"),
                how: Some(Closing::Signed),
                sharpener: "Ina".into(),
                profile: "three-eighths".into(),
                rule: Some(Rule::Scaled),
                target: Some(Millimetres::new(8.1)),
                tool: Tool::File,
                strokes: 12,
            }),
            open: None,
            lengths: None,
            wood: Wood::Any,
            slope: Some(Learned { value: Degrees::new(0.1 + 0.2), se: Degrees::new(1.0 / 3.0) }),
            cut: Agreement::default(),
            next: Some(at("2026-09-01T08:10:00+02:00")),
            status: Some(Status { word: StatusWord::Ready, unit: Unit::Inch, why: Vec::new() }),
            fits: None,
            asked: 0,
            held: None,
        }
    }

    fn rare() -> Shelf {
        let at = |text: &str| text.parse::<DateTime<FixedOffset>>().unwrap();
        let mut shelf = plain();
        shelf.card.for_practice = true;
        shelf.card.own.new_length = Some(Millimetres::new(9.9));
        shelf.card.visit.brought_by = "Tove".into();
        shelf.card.scrapped = Some(Scrapped { at: at("2026-06-01T08:00:00+02:00"), reason: "worn".into() });
        shelf.last.as_mut().unwrap().profile = "point-325".into();
        shelf.open = Some(OpenRound {
            path: std::path::PathBuf::new(),
            file: "20260601T060000Z.round.toml".into(),
            started: at("2026-06-01T08:00:00+02:00"),
            sharpener: "Marek".into(),
            touched: at("2026-06-01T08:30:00+02:00"),
            standing: OpenStanding { phase: Phase::Measure, paused: true, entries: 7 },
        });
        let (median, shortest) = (Millimetres::new(8.05), Millimetres::new(7.9));
        shelf.lengths = Some(Lengths { median, shortest, ends: shortest, ends_at: CutterNumber::at_index(0) });
        (shelf.cut, shelf.asked) = (Agreement { agreed: 2, of: 3 }, 1);
        shelf.held = Some(Held { since: at("2026-06-01T08:30:00+02:00"), rounds: Vec::new(), stops: Vec::new() });
        shelf
    }

    #[test]
    fn a_line_says_all_of_a_loop_and_no_name_of_a_value_that_every_loop_has() {
        let stamp = Stamp { size: 239, changed_ns: 1_795_711_850_622_843_372 };
        for (shelf, open, faulty) in [(plain(), None, false), (plain(), None, true), (rare(), Some(stamp), false)] {
            let whole = Line { folder_ns: -1, card: stamp, open, basis: 4, faulty, shelf };
            let text = serde_json::to_string(&store_line(&whole, 4)).unwrap();
            let back = line(serde_json::from_str(&text).unwrap()).unwrap();
            assert_eq!(back, whole, "{text}");
            // Two moments may be the same and still be told otherwise.
            assert_eq!(format!("{back:?}"), format!("{whole:?}"));
            assert!(text.contains("null]]") != (faulty || open.is_some()) && !text.contains("profile"), "{text}");
        }
    }
}
