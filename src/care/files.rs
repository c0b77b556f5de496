//! Files that come from outside or go there: readings taken in, everything given out, single files looked at.

use std::io::{self, Write};
use std::path::Path;

use super::Workshop;
use crate::record::{Exported, RackError, Restored};
use crate::report::format::DataFormat;

pub(crate) use crate::record::files::{read_text, replace, replace_with};
pub(crate) use crate::record::import::{
    ImportError, Imported, Look, Target, Then, Wish, read_text as read_table, without_unit,
};
pub(crate) use crate::record::{check_file, default_data_dir};

impl Workshop {
    /// Looks at a table of readings for a loop. Nothing is kept.
    ///
    /// # Errors
    /// A tag that cannot be one; a card at fault; a chain type missing, unknown or another than the loop's; or the text
    /// cannot be understood. Faults of rows are in the preview.
    pub fn look(&self, text: &str, wish: &Wish) -> Result<Look, ImportError> {
        self.rack.look(text, wish)
    }

    /// Makes a round of what was looked at, and the loop where its tag is new. Either all of it is kept or nothing.
    ///
    /// # Errors
    /// Refused rows; no such profile; the loop is out of care or has an open round (unless the round is only kept); the
    /// disk fails.
    pub fn take(&self, look: &Look, target: &Target) -> Result<Imported, ImportError> {
        self.rack.import(&look.preview, target)
    }

    /// Reads an export of a whole data folder back.
    ///
    /// # Errors
    /// The file cannot be read or holds what cannot be; a loop is in care already; the disk fails.
    pub fn restore(&self, path: &Path) -> Result<Restored, RackError> {
        self.rack.import_jsonl(path)
    }

    /// Gives everything out; what could not be read comes back.
    ///
    /// # Errors
    /// `out` cannot be written.
    pub fn export(&self, format: DataFormat, out: &mut dyn Write) -> io::Result<Exported> {
        match format {
            DataFormat::Csv => self.rack.export_csv(out),
            DataFormat::Json => self.rack.export_jsonl(out),
        }
    }
}
