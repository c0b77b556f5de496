//! `evenbite backup` and `evenbite restore`: the whole data folder in one file, and back.

use std::path::Path;
use std::process::ExitCode;

use anyhow::Result;
use chrono::Utc;

use super::{Shared, open, output, progress};
use crate::care::Backup;
use crate::report::format::Told;

pub(super) fn make(shared: &Shared, file: &Path) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a backup")?;
    let care = open::heard(shared)?;
    let done = care.back_up(file, Utc::now())?;
    progress::done();
    for name in &done.left_out {
        output::complain(&format!("evenbite: not included, a link or too large: {name}"));
    }
    let text = format!("Kept in {}: {}. Check it with: evenbite restore --check FILE\n", file.display(), of(&done));
    output::write(&output::safe(&text), shared.output.as_deref())?;
    Ok(if done.left_out.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

pub(super) fn bring_back(shared: &Shared, file: &Path, check: bool) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a backup brought back")?;
    let care = open::heard(shared)?;
    let text = if check {
        format!("Whole: {}, every sum is right.\n", of(&care.check_backup(file)?))
    } else {
        let done = care.bring_back(file)?;
        progress::done();
        format!("Brought back: {}, every sum is right.\n", of(&done))
    };
    output::write(&text, shared.output.as_deref())?;
    Ok(ExitCode::SUCCESS)
}

fn of(done: &Backup) -> String {
    format!("{} files, {:.1} MB", done.files, done.bytes as f64 / 1e6)
}
