//! Cells to readings, each refused row with its reason.

use super::columns::{Column, Sheet};
use super::{Options, Preview, Refused};
use crate::chain::{CutterNumber, Side};
use crate::record::export::begins_like_a_formula;
use crate::round::{CutterState, Event, When};
use crate::units::clean::clean;
use crate::units::plausible::{Band, Scale, doubt_on};
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
pub(super) fn read(sheet: &Sheet, units: &[Unit], options: &Options, preview: &mut Preview) {
    for (line, cells) in &sheet.rows {
        let read = Cells { sheet, units, texts: cells };
        match read.row(*line) {
            Err(reason) => preview.refused.push(Refused { line: *line, reason }),
            Ok(row) => match preview.rows.iter().find(|known| known.cutter == row.cutter) {
                Some(first) => {
                    let reason = format!("Cutter {} stands in line {} already.", row.cutter, first.line);
                    preview.refused.push(Refused { line: *line, reason });
                }
                None => preview.rows.push(row),
            },
        }
    }
    preview.rows.sort_by_key(|row| row.cutter);
    doubts(sheet, units, options, preview);
}

struct Cells<'a> {
    sheet: &'a Sheet,
    units: &'a [Unit],
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
            cutter: cutter.ok_or_else(|| self.refuse(Column::Cutter, "Needed is a whole number from 1."))?,
            side: self.side()?,
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

    fn side(&self) -> Result<Side, String> {
        match self.text(Column::Side).unwrap_or_default().to_lowercase().as_str() {
            "left" | "l" | "lh" | "left-hand" => Ok(Side::Left),
            "right" | "r" | "rh" | "right-hand" => Ok(Side::Right),
            _ => Err(self.refuse(Column::Side, "Needed is left or right.")),
        }
    }

    fn state(&self) -> Result<CutterState, String> {
        match self.text(Column::State).unwrap_or("kept").to_lowercase().as_str() {
            "kept" | "ok" | "good" | "sound" => Ok(CutterState::Kept),
            "damaged" | "struck" | "chipped" => Ok(CutterState::Damaged),
            "left-short" | "left short" | "short" => Ok(CutterState::LeftShort),
            "missing" | "gone" => Ok(CutterState::Missing),
            _ => Err(self.refuse(Column::State, "Needed is kept, damaged, left-short or missing.")),
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

/// Points out lengths that no cutter of this chain has, and cutters that grew.
fn doubts(sheet: &Sheet, units: &[Unit], options: &Options, preview: &mut Preview) {
    let mut lengths: Vec<f64> = preview.rows.iter().filter_map(|row| row.length).map(Millimetres::get).collect();
    lengths.sort_by(f64::total_cmp);
    let expect = lengths.get(lengths.len() / 2).copied();
    let mut warnings = Vec::new();
    for row in &preview.rows {
        if let (Some(before), Some(after)) = (row.length, row.after)
            && after > before
        {
            warnings.push(format!("line {}: Cutter {} is longer after filing than before.", row.line, row.cutter));
        }
        let Some((low, high)) = options.lengths else { continue };
        let band = Band { low: low.get(), high: high.get() };
        for (column, length) in [(Column::Length, row.length), (Column::After, row.after)] {
            let place = sheet.columns.iter().position(|mapped| mapped.column == column);
            let unit = place.and_then(|place| units.get(place)).copied().unwrap_or_default();
            let decimals = row.typed(column).and_then(|text| Some(text.split_once(['.', ','])?.1.len()));
            let decimals = u8::try_from(decimals.unwrap_or(0)).unwrap_or(u8::MAX);
            let doubt = length.and_then(|mm| doubt_on(mm.get(), decimals, band, expect, Scale::Length(unit)));
            if let Some(doubt) = doubt {
                let words = doubt.sentence(|mm| unit.show_named(Millimetres::new(mm)));
                warnings.push(format!("line {}: {}: {words}", row.line, column.name()));
            }
        }
    }
    preview.warnings.extend(warnings);
}
