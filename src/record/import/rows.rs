//! Cells to readings, each refused row with its reason.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime};

use super::columns::{Column, SIDES, STATES, Sheet, TOOLS, group};
use super::{Preview, Refused, Whole};
use crate::chain::{CutterNumber, Layout, Side};
use crate::record::export::begins_like_a_formula;
use crate::round::{CutterState, Event, Tool, When};
use crate::units::clean::clean;
use crate::units::reading::{Kind, Value, parse};
use crate::units::{Degrees, Millimetres, Unit};

/// One cutter's row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: usize,
    /// Cutter number.
    pub cutter: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// Length before filing.
    pub length: Option<Millimetres>,
    /// Length after filing.
    pub after: Option<Millimetres>,
    /// Top-plate angle after filing.
    pub top_plate: Option<Degrees>,
    /// Gap with the raker as it came.
    pub gap_before: Option<Millimetres>,
    /// Gap after the raker was filed.
    pub gap_after: Option<Millimetres>,
    /// Strokes given.
    pub strokes: Option<u32>,
    /// Length that must go.
    pub need: Option<Millimetres>,
    /// State of the cutter.
    pub state: CutterState,
    /// A remark.
    pub note: Option<String>,
    /// Cells as they came.
    typed: Vec<(Column, String)>,
}

impl Row {
    fn typed(&self, column: Column) -> Option<String> {
        self.typed.iter().find(|(known, _)| *known == column).map(|(_, text)| text.clone())
    }

    /// What happened at this cutter, in the order in which it can have happened, with the cells as typed.
    pub fn events(&self) -> Vec<(Event, Option<String>)> {
        let (cutter, again) = (self.cutter, false);
        let mut events = Vec::new();
        let mut add = |event: Option<Event>, column| {
            events.extend(event.map(|event| (event, self.typed(column))));
        };
        let told = self.state != CutterState::Kept || self.need.is_some();
        add(told.then_some(Event::State { cutter, state: self.state, need_mm: self.need }), Column::State);
        add(self.length.map(|mm| Event::Length { cutter, when: When::Before, mm, again }), Column::Length);
        add(self.strokes.map(|count| Event::Strokes { cutter, count }), Column::Strokes);
        add(self.after.map(|mm| Event::Length { cutter, when: When::After, mm, again }), Column::After);
        add(self.top_plate.map(|deg| Event::Angle { cutter, deg, again }), Column::TopPlate);
        add(self.gap_before.map(|mm| Event::Gap { cutter, when: When::Before, mm, again }), Column::GapBefore);
        add(self.gap_after.map(|mm| Event::Gap { cutter, when: When::After, mm, again }), Column::Gap);
        add(self.note.clone().map(|text| Event::Note { cutter: Some(cutter), text }), Column::Note);
        events
    }
}

/// Reads every row into the preview.
pub(super) fn read(
    sheet: &Sheet,
    units: &[Unit],
    layout: Option<&Layout>,
    now: DateTime<FixedOffset>,
    preview: &mut Preview,
) {
    for (line, cells) in &sheet.rows {
        let read = Cells { sheet, units, layout, texts: cells };
        let row = read.whole(now, &mut preview.whole).and_then(|()| read.row(*line));
        match row {
            Err(reason) => preview.refused.push(Refused { line: *line, reason, doubted: false }),
            Ok(row) => match preview.rows.iter().find(|known| known.cutter == row.cutter) {
                Some(first) => {
                    let reason = format!("Cutter {} is already in line {}.", row.cutter, first.line);
                    preview.refused.push(Refused { line: *line, reason, doubted: false });
                }
                None => preview.rows.push(row),
            },
        }
    }
    preview.rows.sort_by_key(|row| row.cutter);
}

/// What the rows say of the whole round, as far as it can be understood.
pub(super) fn whole(sheet: &Sheet, now: DateTime<FixedOffset>) -> Whole {
    let mut whole = Whole::default();
    for (_, texts) in &sheet.rows {
        let _ = Cells { sheet, units: &[], layout: None, texts }.whole(now, &mut whole);
    }
    whole
}

struct Cells<'a> {
    sheet: &'a Sheet,
    units: &'a [Unit],
    /// How the cutters of the loop stand, where it is in care.
    layout: Option<&'a Layout>,
    texts: &'a [String],
}

impl Cells<'_> {
    fn row(&self, line: usize) -> Result<Row, String> {
        let (cells, width) = (self.texts.len(), self.sheet.width);
        if cells > width && self.texts[width..].iter().any(|cell| !cell.trim().is_empty()) {
            let comma =
                if self.sheet.delimiter == ',' { " A decimal comma needs ; or tab between columns." } else { "" };
            return Err(format!("{cells} cells, but the header has {width}.{comma}"));
        }
        let cutter = self.text(Column::Cutter).unwrap_or_default();
        let cutter = cutter.parse().ok();
        let gap = self.length(Column::Gap)?;
        let filed_gap = self.sheet.columns.iter().any(|mapped| mapped.column == Column::GapBefore);
        let row = Row {
            line,
            cutter: cutter.ok_or_else(|| self.refuse(Column::Cutter, "Expected: a whole number from 1."))?,
            side: self.side(cutter)?,
            length: self.length(Column::Length)?,
            after: self.length(Column::After)?,
            top_plate: self.angle()?,
            gap_before: if filed_gap { self.length(Column::GapBefore)? } else { gap },
            gap_after: gap.filter(|_| filed_gap),
            strokes: self.strokes()?,
            need: self.length(Column::Need)?,
            state: self.state()?,
            note: self.note()?,
            typed: self.typed(filed_gap),
        };
        let readings =
            row.events().len() - usize::from(row.state != CutterState::Kept) - usize::from(row.note.is_some());
        if row.state == CutterState::Missing && readings > 0 {
            return Err(format!("Cutter {} is missing, yet it has readings.", row.cutter));
        }
        Ok(row)
    }

    fn typed(&self, filed_gap: bool) -> Vec<(Column, String)> {
        let columns = self.sheet.columns.iter().map(|mapped| mapped.column);
        let of = |column| Some((column, clean(self.text(column)?)));
        let named = |(column, text)| {
            if column == Column::Gap && !filed_gap { (Column::GapBefore, text) } else { (column, text) }
        };
        columns.filter_map(of).map(named).collect()
    }

    /// The cell of a column, blank ones left out.
    fn text(&self, column: Column) -> Option<&str> {
        let mapped = self.sheet.columns.iter().find(|mapped| mapped.column == column)?;
        self.texts.get(mapped.index).map(|cell| cell.trim()).filter(|cell| !cell.is_empty())
    }

    fn refuse(&self, column: Column, why: &str) -> String {
        let read = self.text(column).map_or_else(|| "blank".to_owned(), |text| format!("\"{}\"", clean(text)));
        format!("{} is {read}. {why}", column.name())
    }

    /// The number of a cell as the bench's own parser reads it.
    fn number(&self, column: Column, kind: Kind) -> Result<Option<Value>, String> {
        let Some(text) = self.text(column) else { return Ok(None) };
        if self.sheet.delimiter == ',' && text.contains(',') {
            return Err(self.refuse(column, "A decimal comma needs ; or tab between columns."));
        }
        let place = self.sheet.columns.iter().position(|mapped| mapped.column == column);
        let unit = place.and_then(|place| self.units.get(place)).copied().unwrap_or_default();
        parse(text, kind, unit)
            .map(|reading| Some(reading.value))
            .map_err(|error| self.refuse(column, &error.to_string()))
    }

    fn length(&self, column: Column) -> Result<Option<Millimetres>, String> {
        Ok(match self.number(column, Kind::Length)? {
            Some(Value::Length(mm)) => Some(mm),
            _ => None,
        })
    }

    fn angle(&self) -> Result<Option<Degrees>, String> {
        Ok(match self.number(Column::TopPlate, Kind::Angle)? {
            Some(Value::Angle(deg)) => Some(deg),
            _ => None,
        })
    }

    fn strokes(&self) -> Result<Option<u32>, String> {
        Ok(match self.number(Column::Strokes, Kind::Count)? {
            Some(Value::Count(count)) => Some(count),
            _ => None,
        })
    }

    /// The hand in the cell; without such a column the one that the cutter has on the loop.
    fn side(&self, cutter: Option<CutterNumber>) -> Result<Side, String> {
        if !self.sheet.has(Column::Side) {
            let known = self.layout.zip(cutter).and_then(|(layout, cutter)| layout.side(cutter));
            let count = self.layout.map_or(0, Layout::count);
            return known.ok_or_else(|| format!("There is no such cutter: the loop has 1 to {count}."));
        }
        match group(&SIDES, self.text(Column::Side).unwrap_or_default()) {
            Some(0) => Ok(Side::Left),
            Some(_) => Ok(Side::Right),
            None => Err(self.refuse(Column::Side, "Expected: left or right.")),
        }
    }

    fn state(&self) -> Result<CutterState, String> {
        match group(&STATES, self.text(Column::State).unwrap_or("kept")) {
            Some(0) => Ok(CutterState::Kept),
            Some(1) => Ok(CutterState::Damaged),
            Some(2) => Ok(CutterState::LeftShort),
            Some(_) => Ok(CutterState::Missing),
            None => Err(self.refuse(Column::State, "Expected: kept, damaged, left-short or missing.")),
        }
    }

    /// What the row says of the whole round: the same as the rows before it.
    fn whole(&self, now: DateTime<FixedOffset>, whole: &mut Whole) -> Result<(), String> {
        if let Some(text) = self.text(Column::Person) {
            self.once(Column::Person, &mut whole.person, clean(text))?;
        }
        if let Some(text) = self.text(Column::Tool) {
            let tool = match group(&TOOLS, text) {
                Some(0) => Tool::File,
                Some(_) => Tool::Grinder,
                None => return Err(self.refuse(Column::Tool, "Expected: file or grinder.")),
            };
            self.once(Column::Tool, &mut whole.tool, tool)?;
        }
        if let Some(text) = self.text(Column::Measured) {
            let measured = measured_at(text, now).map_err(|why| self.refuse(Column::Measured, &why))?;
            self.once(Column::Measured, &mut whole.measured, measured)?;
        }
        Ok(())
    }

    fn once<T: PartialEq>(&self, column: Column, known: &mut Option<T>, here: T) -> Result<(), String> {
        match known {
            Some(known) if *known != here => Err(self.refuse(column, "Rows above say otherwise; a file is one round.")),
            _ => {
                *known = Some(here);
                Ok(())
            }
        }
    }

    fn note(&self) -> Result<Option<String>, String> {
        let Some(text) = self.text(Column::Note) else { return Ok(None) };
        // The mark that keeps a spreadsheet from calculating is not part of the words.
        let marked = text.strip_prefix('\'').filter(|rest| begins_like_a_formula(rest));
        if marked.is_none() && begins_like_a_formula(text) {
            return Err(self.refuse(Column::Note, "It begins like a formula. Take it out, or put ' before it."));
        }
        Ok(Some(clean(marked.unwrap_or(text))))
    }
}

/// A time of measuring as people write it, in the time zone of `now`; a day alone is its noon.
///
/// # Errors
/// What is allowed, or that it lies ahead.
pub(crate) fn measured_at(text: &str, now: DateTime<FixedOffset>) -> Result<DateTime<FixedOffset>, String> {
    let text = text.trim();
    let with_time = ["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S", "%d.%m.%Y %H:%M"];
    let day = || ["%Y-%m-%d", "%d.%m.%Y"].iter().find_map(|form| NaiveDate::parse_from_str(text, form).ok());
    let local = with_time
        .iter()
        .find_map(|form| NaiveDateTime::parse_from_str(text, form).ok())
        .or_else(|| day()?.and_hms_opt(12, 0, 0));
    let at = match DateTime::parse_from_rfc3339(text) {
        Ok(at) => Some(at),
        Err(_) => local.and_then(|local| local.and_local_timezone(*now.offset()).single()),
    };
    let at = at.ok_or("Expected: a day or a time such as 2026-03-01, 2026-03-01 08:30 or 01.03.2026.")?;
    if at.date_naive() > now.date_naive() {
        return Err("That day lies ahead.".to_owned());
    }
    // Noon of today may still be to come.
    Ok(at.min(now))
}
