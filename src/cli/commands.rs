//! What each command does.

use std::io::{Read, stdin};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context as _, Result, bail};
use chrono::{DateTime, FixedOffset, Local};
use strum::VariantArray;

use super::{
    Cli, Command, GapsArgs, Shared, SheetArgs, Usage, backup, import, join, open, output, people, progress, shell,
};
use crate::care::files::{self, check_file};
use crate::care::{CareError, Filter, GapRange, Listing};
use crate::report::Table;
use crate::report::format::{DataFormat, Format, ScreenFormat, Told};
use crate::report::sheet::Version;
use crate::report::tables::described;
use crate::system;
use crate::tui::desk::Desk;
use crate::tui::rehearse::{Rehearsal, as_text};
use crate::tui::{remap, settings};
use crate::units::{Millimetres, figure};

/// Largest script or readings file, bytes.
const MAX_TEXT: u64 = 4 * 1024 * 1024;
/// When every rehearsal begins.
const REHEARSAL_START: &str = "2026-10-31T08:00:00+01:00";

/// Runs the command that these arguments name.
pub(super) fn run(cli: &Cli) -> Result<ExitCode> {
    // A full quota then comes back as an error of the write, and the reading is kept on screen.
    system::fail_at_file_limit().context("cannot set up signals")?;
    let shared = &cli.shared;
    output::may_write(shared)?;
    match &cli.command {
        None => {
            let Told::Text = shared.format_of("a round at the bench")?;
            open::face(shared, open::care(shared)?, None)?;
        }
        Some(Command::Demo) => demo(shared)?,
        Some(Command::Practice { cutters, seed }) => open::practice(shared, *cutters, *seed)?,
        Some(Command::Gaps(args)) => gaps(shared, args)?,
        Some(Command::Sheet(args)) => return sheet(shared, args),
        Some(Command::History { tag }) => return history(shared, tag),
        Some(Command::Loops { filter, order, find }) => {
            return loops(shared, &Listing { filter: *filter, sort: *order, find: find.clone() });
        }
        Some(Command::Tags { loops, filter }) => return tags(shared, loops, *filter),
        Some(Command::Course { learners, place, instructor, names }) => {
            return people::course(shared, learners, (place, instructor), *names);
        }
        Some(Command::Person { name }) => return people::person(shared, name),
        Some(Command::Forget { name, yes }) => return people::forget(shared, name, *yes),
        Some(Command::Rename { name, new, yes }) => return people::rename(shared, name, new, *yes),
        Some(Command::Paper { tag }) => paper(shared, tag)?,
        Some(Command::Saw { name }) => return saw(shared, name),
        Some(Command::Import(args)) => return import::run(shared, args),
        Some(Command::Join(args)) => return join::run(shared, args),
        Some(Command::Questions { answer }) => return join::questions(shared, answer),
        Some(Command::Backup { file }) => return backup::make(shared, file),
        Some(Command::Restore { file, check }) => return backup::bring_back(shared, file, *check),
        Some(Command::Export) => return export(shared),
        Some(Command::Tables { folder }) => return tables(shared, folder.as_deref()),
        Some(Command::Check { files }) => return check(shared, files),
        Some(Command::Schema { of }) => {
            let Told::Text = shared.format_of("a schema")?;
            output::write(of.schema(), shared.output.as_deref())?;
        }
        Some(Command::Completions { shell }) => {
            let Told::Text = shared.format_of("a list of completions")?;
            output::write(&shell::completions(*shell)?, shared.output.as_deref())?;
        }
        Some(Command::Manual { command }) => {
            let Told::Text = shared.format_of("the manual")?;
            output::write(&shell::manual(command.as_deref())?, shared.output.as_deref())?;
        }
        Some(Command::Rehearse { script, size, only }) => rehearse(shared, script, *size, only.as_deref())?,
    }
    Ok(ExitCode::SUCCESS)
}

/// What the program ends with: whether all went well.
pub(super) const fn code(well: bool) -> ExitCode {
    if well { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn demo(shared: &Shared) -> Result<()> {
    let Told::Text = shared.format_of("the demo")?;
    let (copy, care) = open::workshop()?;
    let banner = "Demo: an invented workshop, on a throw-away copy. Nothing here is kept.";
    open::face(shared, care, Some(banner.to_owned()))?;
    copy.close().context("cannot remove the demo's copy")
}

fn gaps(shared: &Shared, args: &GapsArgs) -> Result<()> {
    let format: Format = shared.format_of("a table of gaps")?;
    let care = open::care(shared)?;
    let profile = care.profile(&args.profile)?;
    let tag = args.tag.as_ref().map(|named| care.tag_of(named)).transpose()?;
    let settings = open::settings(shared, &care);
    let unit = settings.units;
    let length = |option: &str, text: &Option<String>| -> Result<Option<Millimetres>, Usage> {
        let read = |text: &String| figure::length(text, unit, (f64::MIN, f64::MAX));
        let length = text.as_ref().map(read).transpose().map_err(|why| Usage(format!("{option}: {why}")))?;
        Ok(length.flatten())
    };
    let [from, to, step] =
        [("--from", &args.from), ("--to", &args.to), ("--step", &args.step)].map(|(option, text)| length(option, text));
    let range = GapRange { wood: args.wood, from: from?, to: to?, ..GapRange::of(unit, step?) };
    let table = care.gaps(&profile, tag.as_deref(), &range).map_err(|error| match error {
        CareError::Gaps(error) => Usage(error.words(unit)).into(),
        other => anyhow::Error::new(other),
    })?;
    let text = table.render(format, unit, settings.theme.ascii());
    output::write(&text, shared.output.as_deref())
}

fn sheet(shared: &Shared, args: &SheetArgs) -> Result<ExitCode> {
    let version = if args.owner {
        Version::Owner(shared.format_of("the owner's sheet")?)
    } else {
        Version::Full(shared.format_of("a sheet")?)
    };
    let care = open::heard(shared)?;
    let sheet = care.sheet_in(&care.tag_of(&args.tag)?, args.round.as_deref(), shared.units)?;
    let ascii = open::settings(shared, &care).theme.ascii();
    let text = sheet.render(version, ascii);
    output::write(&text, shared.output.as_deref())?;
    Ok(code(output::is_whole(sheet.not_read())))
}

fn history(shared: &Shared, tag: &str) -> Result<ExitCode> {
    let format = shared.format_of("a history")?;
    let care = open::heard(shared)?;
    let history = care.history(&care.tag_of(tag)?)?;
    let settings = open::settings(shared, &care);
    let text = history.render(format, settings.units, settings.theme.ascii());
    output::write(&text, shared.output.as_deref())?;
    Ok(code(output::is_whole(history.not_read())))
}

fn loops(shared: &Shared, listing: &Listing) -> Result<ExitCode> {
    let format = shared.format_of("a list of loops")?;
    let care = open::heard(shared)?;
    let listed = care.listed(listing, Local::now().fixed_offset());
    let ascii = open::settings(shared, &care).theme.ascii();
    output::write(&listed.render(format, ascii), shared.output.as_deref())?;
    Ok(code(output::is_whole(listed.not_read())))
}

fn tags(shared: &Shared, loops: &[String], filter: Filter) -> Result<ExitCode> {
    let format = shared.format_of("a tag")?;
    let care = open::heard(shared)?;
    let loops = loops.iter().map(|named| care.tag_of(named)).collect::<Result<Vec<_>, _>>()?;
    let tags = care.tags(&loops, filter, Local::now().fixed_offset())?;
    if tags.is_empty() {
        bail!("no loop fits: nothing to print");
    }
    let settings = open::settings(shared, &care);
    let text = tags.render(format, settings.units, settings.theme.ascii());
    output::write(&text, shared.output.as_deref())?;
    Ok(code(output::is_whole(tags.not_read())))
}

fn paper(shared: &Shared, tag: &str) -> Result<()> {
    let format = shared.format_of("a blank bench sheet")?;
    let care = open::care(shared)?;
    let sheet = care.bench_sheet(&care.tag_of(tag)?)?;
    let ascii = open::settings(shared, &care).theme.ascii();
    output::write(&sheet.render(format, ascii), shared.output.as_deref())
}

fn saw(shared: &Shared, name: &str) -> Result<ExitCode> {
    let format = shared.format_of("a saw's page")?;
    let care = open::heard(shared)?;
    let report = care.saw_report(name)?;
    if report.is_unknown() {
        bail!("no loop's card names the saw {name}, and it has no record");
    }
    let settings = open::settings(shared, &care);
    let text = report.render(format, settings.units, settings.theme.ascii());
    output::write(&text, shared.output.as_deref())?;
    Ok(code(output::is_whole(report.not_read())))
}

fn export(shared: &Shared) -> Result<ExitCode> {
    let format: DataFormat = shared.format_of("an export")?;
    let care = open::heard(shared)?;
    let done = output::stream(shared.output.as_deref(), |out| care.export(format, out))?;
    for (_, problem) in &done.problems {
        output::complain(&format!("evenbite: not included: {problem}"));
    }
    Ok(code(done.problems.is_empty()))
}

fn tables(shared: &Shared, folder: Option<&Path>) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a description of tables")?;
    let Some(folder) = folder else {
        output::write(&described(), shared.output.as_deref())?;
        return Ok(ExitCode::SUCCESS);
    };
    for table in Table::VARIANTS {
        output::may_replace(&folder.join(table.file()), shared.replace)?;
    }
    let care = open::heard(shared)?;
    let told = care.write_tables(folder, Local::now().fixed_offset())?;
    progress::done();
    let line = |(table, rows): &(Table, usize)| format!("{}: {rows} rows\n", folder.join(table.file()).display());
    output::write(&output::safe(&told.rows.iter().map(line).collect::<String>()), shared.output.as_deref())?;
    Ok(code(output::is_whole(&told.not_read)))
}

/// What a file is, or its faults. Settings and keys belong to the full-screen face, everything else to the record.
fn check_one(path: &Path) -> Result<String, Vec<String>> {
    let named = |name: &str| path.file_name().is_some_and(|found| found == name);
    let one = |error: &dyn std::fmt::Display| vec![error.to_string()];
    if named(settings::FILE.name) {
        settings::Settings::check(path).map_err(|error| one(&error))?;
        return Ok("settings".to_owned());
    }
    if named(remap::FILE.name) {
        let text = remap::FILE.text(path).map_err(|error| one(&error))?;
        let at = |line: usize, problem: &str| vec![format!("{}:{line}: {problem}", path.display())];
        remap::check(&text).map_err(|error| at(error.line, &error.problem))?;
        return Ok("keys of one's own".to_owned());
    }
    match check_file(path) {
        Ok(checked) => Ok(checked.to_string()),
        Err(problems) => Err(problems.iter().map(ToString::to_string).collect()),
    }
}

fn check(shared: &Shared, paths: &[PathBuf]) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a check")?;
    let mut faults = 0;
    let mut out = String::new();
    for path in paths {
        match check_one(path) {
            Ok(checked) => out.push_str(&format!("{}: {checked}\n", path.display())),
            Err(problems) => {
                faults += problems.len();
                for problem in &problems {
                    output::complain(problem);
                }
            }
        }
    }
    output::write(&output::safe(&out), shared.output.as_deref())?;
    Ok(code(faults == 0))
}

fn rehearse(shared: &Shared, script: &Path, size: (u16, u16), only: Option<&str>) -> Result<()> {
    let format: ScreenFormat = shared.format_of("a rehearsal")?;
    let text = if script == Path::new("-") {
        let mut text = String::new();
        stdin().take(MAX_TEXT).read_to_string(&mut text).context("cannot read the script")?;
        text
    } else {
        files::read_text(script, MAX_TEXT)?
    };
    // Without a data folder of its own a rehearsal works on a throw-away copy of the demo workshop.
    let (_copy, care) = if shared.data.is_some() {
        (None, open::care(shared)?)
    } else {
        let (copy, care) = open::workshop()?;
        (Some(copy), care)
    };
    let (settings, problem) = open::settings_told(shared, &care);
    let app = open::application(settings, None, problem);
    let start = DateTime::parse_from_rfc3339(REHEARSAL_START)
        .unwrap_or_else(|_| -> DateTime<FixedOffset> { Local::now().fixed_offset() });
    let mut rehearsal = Rehearsal::new(app, Desk::new(care, settings), size, start);
    let played = match format {
        ScreenFormat::Text => rehearsal.screens(&text, Rehearsal::screen),
        ScreenFormat::Svg => rehearsal.screens(&text, Rehearsal::picture),
    };
    let mut screens = played.with_context(|| format!("{}", script.display()))?;
    screens.retain(|(name, _)| only.is_none_or(|only| name == only));
    let shown = match (format, screens.as_slice()) {
        (ScreenFormat::Text, screens) => as_text(screens),
        (ScreenFormat::Svg, [(_, picture)]) => picture.clone(),
        (ScreenFormat::Svg, many) => {
            let many = many.len();
            return Err(Usage(format!(
                "A picture holds one screen, and here there are {many}: name one with --only NAME."
            ))
            .into());
        }
    };
    output::write(&shown, shared.output.as_deref())
}
