//! `evenbite import`: what the file holds is shown first; a file with a refused row is not taken at all.

use std::path::Path;
use std::process::ExitCode;

use anyhow::{Context as _, Result};
use chrono::Local;

use super::{ImportArgs, Shared, Usage, open, output, progress};
use crate::care::files::{ImportError, Imported, Then, Wish, measured_at, read_table};
use crate::care::{CareError, Workshop};
use crate::report::format::Told;
use crate::report::import as report;
use crate::units::clean::{clean, is_slug, slug};

pub(super) fn run(shared: &Shared, args: &ImportArgs) -> Result<ExitCode> {
    let Told::Text = shared.format_of("an import")?;
    let care = open::heard(shared)?;
    if args.file.extension().is_some_and(|ext| ext == "jsonl") {
        return restore(&care, args, shared);
    }
    let tag =
        args.tag.clone().ok_or_else(|| Usage("--loop LOOP is needed: which loop the readings belong to".to_owned()))?;
    let tag = match care.tag_of(&tag) {
        Ok(known) => known,
        // Without a chain type no new loop can be meant.
        Err(error @ CareError::NoSuchLoop { near: Some(_), .. }) if args.profile.is_none() => return Err(error.into()),
        Err(error @ CareError::SeveralLoops { .. }) => return Err(error.into()),
        Err(_) => tag,
    };
    if !is_slug(&tag) {
        let hint = slug(&tag).map_or_else(String::new, |better| format!(", such as {better}"));
        return Err(Usage(format!("\"{}\" is not a tag; allowed: 1 to 40 of a-z, 0-9 and -{hint}", clean(&tag))).into());
    }
    let now = Local::now().fixed_offset();
    let measured = args.measured.as_deref().map(|day| measured_at(day, now)).transpose();
    let measured = measured.map_err(|why| Usage(format!("--measured: {why}")))?;
    let wish = Wish {
        tag,
        name: String::new(),
        profile: args.profile.clone(),
        unit: shared.units,
        links: args.links,
        person: args.sharpener.clone(),
        tool: args.tool,
        wood: args.wood,
        measured,
        then: if args.keep { Then::Keep } else { Then::Resume },
        file: args.file.file_name().map(|name| clean(&name.to_string_lossy())).unwrap_or_default(),
        sure: args.sure.clone(),
        now,
    };
    let text = read_table(&args.file).with_context(|| format!("{}", args.file.display()))?;
    let look = care.look(&text, &wish).map_err(|error| said(error, &args.file))?;
    let preview = &look.preview;
    let lines: Vec<String> =
        report::lines(&look, open::settings(shared, &care).units).into_iter().map(|(_, line)| line + "\n").collect();
    let shown = output::safe(&lines.concat());
    let out = shared.output.as_deref();
    if !preview.refused.is_empty() {
        output::write(&shown, out)?;
        for row in &preview.refused {
            output::complain(&format!("{}: {row}", args.file.display()));
        }
        output::complain(
            "evenbite: nothing was taken: fix the rows named above; for a doubted reading that is right, give --sure LINE",
        );
        return Ok(ExitCode::FAILURE);
    }
    if args.dry_run {
        output::write(&format!("{shown}Nothing was taken: this was a look only.\n"), out)?;
        return Ok(ExitCode::SUCCESS);
    }
    // What it holds is seen even where it cannot be taken after all.
    progress::go_on()?;
    let taken = care.take(&look);
    progress::done();
    let end = taken.as_ref().map_or_else(|_| String::new(), |imported| told(imported, args.keep));
    output::write(&format!("{shown}{end}"), out)?;
    taken?;
    Ok(ExitCode::SUCCESS)
}

/// What the call left out is a usage error; everything else is the fault of the file or the rack.
fn said(error: ImportError, file: &Path) -> anyhow::Error {
    match error {
        ImportError::NoPerson => Usage(format!("{error} Say it with --sharpener NAME.")).into(),
        ImportError::NoDay => Usage(format!("{error} Say it with --measured 2026-03-01.")).into(),
        ImportError::NoProfile(_) => Usage(format!("{error} Say it with --profile NAME.")).into(),
        ImportError::OtherProfile { .. } => Usage(error.to_string()).into(),
        other => anyhow::Error::new(other).context(format!("{}", file.display())),
    }
}

fn told(imported: &Imported, kept: bool) -> String {
    let tag = &imported.round.header.tag;
    let loop_word = if imported.new_loop { "taken into care" } else { "already in care" };
    let round_word = if kept { "kept as a past round" } else { "open: it goes on with the look-over" };
    format!("Loop {tag} is {loop_word}; the readings are on record, the round is {round_word}.\n")
}

/// An export of a whole data folder, read back.
fn restore(care: &Workshop, args: &ImportArgs, shared: &Shared) -> Result<ExitCode> {
    let restored = care.restore(&args.file).with_context(|| format!("{}", args.file.display()))?;
    progress::done();
    let said = format!("Read back: {} loops, {} rounds.\n", restored.loops, restored.rounds);
    output::write(&said, shared.output.as_deref())?;
    Ok(ExitCode::SUCCESS)
}
