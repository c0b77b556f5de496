//! `evenbite import`: what the file holds is shown first; a file with a refused row is not taken at all.

use std::process::ExitCode;

use anyhow::{Context as _, Result};
use chrono::Local;

use super::{ImportArgs, Shared, Usage, open, output};
use crate::record::Rack;
use crate::record::import::{self, Imported, Options, Preview, Target, Then};
use crate::round::{Card, Tool};
use crate::units::clean::{clean, is_slug, slug};

pub(super) fn run(shared: &Shared, args: &ImportArgs) -> Result<ExitCode> {
    let rack = open::rack(shared)?;
    if args.file.extension().is_some_and(|ext| ext == "jsonl") {
        return restore(&rack, args);
    }
    let tag =
        args.tag.clone().ok_or_else(|| Usage("--loop TAG is needed: which loop the readings belong to".to_owned()))?;
    if !is_slug(&tag) {
        let hint = slug(&tag).map_or_else(String::new, |better| format!(", such as {better}"));
        return Err(
            Usage(format!("\"{}\" is not a tag: allowed are 1 to 40 of a-z, 0-9 and -{hint}", clean(&tag))).into()
        );
    }
    let card = rack.card(&tag).ok();
    let profile = profile_name(args, card.as_ref())?;
    let spec = rack.profile(&profile).map(|profile| profile.spec().clone())?;
    let options = Options {
        unit: shared.units.map(Into::into),
        links: args.links,
        lengths: Some((spec.mark_length, spec.new_length)),
    };
    let text = import::read_text(&args.file).with_context(|| format!("{}", args.file.display()))?;
    let preview =
        import::preview(&text, &options, card.as_ref()).with_context(|| format!("{}", args.file.display()))?;
    output::write(&output::safe(&shown(&preview)), None)?;
    if !preview.refused.is_empty() {
        for row in &preview.refused {
            eprintln!("{}: {}", args.file.display(), output::safe(&row.to_string()));
        }
        eprintln!("evenbite: nothing was taken: mend the rows named above");
        return Ok(ExitCode::FAILURE);
    }
    if args.dry_run {
        println!("Nothing was taken: this was a look only.");
        return Ok(ExitCode::SUCCESS);
    }
    let target = Target {
        tag,
        profile,
        sharpener: args.sharpener.clone(),
        wood: args.wood.into(),
        tool: Tool::File,
        started: Local::now().fixed_offset(),
        file: args.file.file_name().map(|name| clean(&name.to_string_lossy())).unwrap_or_default(),
        then: if args.keep { Then::Keep } else { Then::Resume },
    };
    told(&rack.import(&preview, &target)?, args.keep);
    Ok(ExitCode::SUCCESS)
}

/// The chain type: of the loop, or as named for a new one.
fn profile_name(args: &ImportArgs, card: Option<&Card>) -> Result<String> {
    match (card, &args.profile) {
        (Some(card), Some(named)) if *named != card.profile => {
            Err(Usage(format!("loop {} is of chain type {}, not {named}", card.tag, card.profile)).into())
        }
        (Some(card), _) => Ok(card.profile.clone()),
        (None, Some(named)) => Ok(named.clone()),
        (None, None) => Err(Usage("the loop is new: say its chain type with --profile NAME".to_owned()).into()),
    }
}

fn told(imported: &Imported, kept: bool) {
    let tag = &imported.round.header.tag;
    let loop_word = if imported.new_loop { "taken into care" } else { "already in care" };
    let round_word = if kept { "kept as a past round" } else { "open: it goes on with the look-over" };
    println!("Loop {tag} is {loop_word}; the readings are on record, the round is {round_word}.");
}

/// What the file holds, before anything is kept.
fn shown(preview: &Preview) -> String {
    let mut out = String::from("Columns:");
    for mapped in &preview.columns {
        let unit = mapped.unit.map_or_else(String::new, |unit| format!(" in {}", unit.name()));
        out.push_str(&format!(" {} ({}{unit})", mapped.header, mapped.column.name()));
    }
    out.push('\n');
    if !preview.unused.is_empty() {
        out.push_str(&format!("Not used: {}\n", preview.unused.join(", ")));
    }
    out.push_str(&format!("Rows understood: {}, refused: {}\n", preview.rows.len(), preview.refused.len()));
    if let Some(found) = &preview.found {
        out.push_str(&format!(
            "Layout: {} drive links, cutters {}, cutter 1 {}\n",
            found.links, found.sequence, found.first
        ));
    }
    for warning in &preview.warnings {
        out.push_str(&format!("Look at this: {warning}\n"));
    }
    out
}

/// An export of a whole data folder, read back.
fn restore(rack: &Rack, args: &ImportArgs) -> Result<ExitCode> {
    let restored = rack.import_jsonl(&args.file).with_context(|| format!("{}", args.file.display()))?;
    println!("Read back: {} loops, {} rounds.", restored.loops, restored.rounds);
    Ok(ExitCode::SUCCESS)
}
