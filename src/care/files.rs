//! Files that come from outside or go there: readings taken in, everything given out, single files looked at.

use std::io::{self, Write};
use std::path::Path;

use super::Workshop;
use crate::coach::{self, words};
use crate::record::import::Doubt;
use crate::record::{Exported, RackError, Restored};
use crate::report::format::DataFormat;
use crate::round::Event;
use crate::round::about::{cutter_of, reading_of};
use crate::units::reading::{Kind, parse};

pub(crate) use crate::record::ends::ends;
pub(crate) use crate::record::files::{read_text, replace, replace_with};
pub(crate) use crate::record::import::{
    ImportError, Imported, Look, ReadFile, Then, Wish, measured_at, read_named, read_text as read_table,
    words as table_words,
};
pub(crate) use crate::record::{check_file, default_data_dir};

/// What is asked of a reading from a file, as it is asked of one that is typed.
fn doubted(doubt: &Doubt<'_>) -> Option<String> {
    let Doubt { round, past, event, typed, .. } = *doubt;
    let (kind, value) = match event {
        Event::Length { mm, .. } | Event::Gap { mm, .. } => (Kind::Length, mm.get()),
        Event::Angle { deg, .. } => (Kind::Angle, deg.get()),
        _ => return None,
    };
    let (reading, cutter) = (reading_of(event)?, round.cutter(cutter_of(event)?)?);
    let decimals = typed.and_then(|typed| parse(typed, kind, round.header.units).ok()).map_or(0, |read| read.decimals);
    let asked = coach::doubt::doubt(round, past, cutter, reading, value, decimals)?;
    Some(format!("Cutter {}, {}: {}", cutter.number, words::reading(reading), asked.text))
}

impl Workshop {
    /// Looks at a table of readings for a loop. Nothing is kept.
    ///
    /// # Errors
    /// A text that cannot be a tag; a card at fault; a chain type missing, unknown or another than the loop's; or the text
    /// cannot be understood. Faults of rows are in the preview.
    pub fn look(&self, text: &str, wish: &Wish) -> Result<Look, ImportError> {
        let mut look = self.rack.look(text, wish)?;
        let ask = |doubt: &Doubt<'_>| if wish.sure.contains(&doubt.line) { None } else { doubted(doubt) };
        // A layout that is left open by refused rows cannot be played.
        if look.card.is_some() || look.preview.found.is_some() {
            let refused = self.rack.refuses(&look.preview, &look.target, &ask)?;
            look.preview.rows.retain(|row| !refused.iter().any(|refused| refused.line == row.line));
            look.preview.refused.extend(refused);
            look.preview.refused.sort_by_key(|row| row.line);
        }
        Ok(look)
    }

    /// Makes a round of what was looked at, and the loop where its tag is new. Either all of it is kept or nothing.
    ///
    /// # Errors
    /// Refused rows; no such profile; the loop is out of care or has an open round (unless the round is only kept); the
    /// disk fails.
    pub fn take(&self, look: &Look) -> Result<Imported, ImportError> {
        self.rack.import(&look.preview, &look.target)
    }

    /// Reads an export of a whole data folder back.
    ///
    /// # Errors
    /// The file cannot be read or holds what cannot be; a loop is in care already; the disk fails.
    pub fn restore(&self, path: &Path) -> Result<Restored, RackError> {
        self.rack.import_jsonl_with(path, &mut |done, total| self.ear.hear("rounds read back", done, total))
    }

    /// Gives everything out; what could not be read comes back.
    ///
    /// # Errors
    /// `out` cannot be written.
    pub fn export(&self, format: DataFormat, out: &mut dyn Write) -> io::Result<Exported> {
        let watch = &mut |done, total| self.ear.hear("loops written", done, total);
        match format {
            DataFormat::Csv => self.rack.export_csv_with(out, watch),
            DataFormat::Json => self.rack.export_jsonl_with(out, watch),
        }
    }
}
