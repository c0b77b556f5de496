//! Commands about people: their pages, their names.

use std::process::ExitCode;

use anyhow::{Result, bail};
use chrono::Local;

use super::commands::code;
use super::{Shared, open, output, progress};
use crate::care::Forgotten;
use crate::report::Format;
use crate::report::format::Told;
use crate::units::clean::clean;

/// `course`: the pages of a course day.
pub(super) fn course(
    shared: &Shared,
    learners: &[String],
    (place, instructor): (&str, &str),
    names: bool,
) -> Result<ExitCode> {
    let format = shared.format_of("a course page")?;
    let care = open::heard(shared)?;
    let course = care.course(learners, place, instructor, Local::now().fixed_offset())?;
    if course.is_empty() && course.not_read().is_empty() {
        bail!("nobody has done a drill yet: nothing to print");
    }
    // A page is handed to its learner; a table goes from hand to hand.
    let is_table = matches!(format, Format::Csv | Format::Json);
    let course = if is_table && !names { course.without_names() } else { course };
    let settings = open::settings(shared, &care);
    let text = course.render(format, settings.units, settings.theme.ascii());
    output::write(&text, shared.output.as_deref())?;
    Ok(code(output::is_whole(course.not_read())))
}

/// `person`: a page.
pub(super) fn person(shared: &Shared, name: &str) -> Result<ExitCode> {
    let format = shared.format_of("a person's page")?;
    let care = open::heard(shared)?;
    let page = care.person(name)?;
    let settings = open::settings(shared, &care);
    output::write(&page.render(format, settings.units, settings.theme.ascii()), shared.output.as_deref())?;
    Ok(code(output::is_whole(page.not_read())))
}

/// `forget`: a name goes, every reading stays.
pub(super) fn forget(shared: &Shared, name: &str, yes: bool) -> Result<ExitCode> {
    let Told::Text = shared.format_of("what is forgotten")?;
    let found = open::heard(shared)?.forget(name, yes)?;
    progress::done();
    let will = if yes { ["is now", "are removed", "are off"] } else { ["would be", "would be removed", "would leave"] };
    let [is_now, removed, off] = will;
    let mut said = vec![named_now(&found, is_now)];
    if found.listed {
        said.push(format!("The name and its own figures {off} the list of sharpeners."));
    }
    if !found.drills.is_empty() {
        said.push(format!("Their drills {removed}."));
    }
    said.push("Remarks, backups, exports and joined folders may still name them.".to_owned());
    told(shared, name, &found, said, yes)
}

/// `rename`: another name in its place, everything stays.
pub(super) fn rename(shared: &Shared, name: &str, new: &str, yes: bool) -> Result<ExitCode> {
    let Told::Text = shared.format_of("what is renamed")?;
    let found = open::heard(shared)?.rename(name, new, yes)?;
    progress::done();
    let is_now = if yes { "is now" } else { "would be" };
    let mut said = vec![named_now(&found, is_now)];
    let list = found.listed.then_some("The list of sharpeners");
    let drills = (!found.drills.is_empty()).then_some("their drills");
    let both: Vec<&str> = list.into_iter().chain(drills).collect();
    if !both.is_empty() {
        said.push(format!("{}: the same.", both.join(" and ")));
    }
    said.push("Remarks, backups, exports and joined folders may still have the old name.".to_owned());
    told(shared, name, &found, said, yes)
}

/// Where the other name stands, if anywhere.
fn named_now(found: &Forgotten, is_now: &str) -> String {
    if found.rounds.is_empty() && found.cards.is_empty() {
        return "No file of a round names them.".to_owned();
    }
    format!("In {} the name {is_now} \"{}\". Every reading stays.", files_of(found), found.named)
}

fn files_of(found: &Forgotten) -> String {
    let cards = if found.cards.is_empty() { String::new() } else { format!(" and {} beside loops", found.cards.len()) };
    format!("{} files of rounds{cards}", found.rounds.len())
}

fn told(shared: &Shared, name: &str, found: &Forgotten, mut said: Vec<String>, yes: bool) -> Result<ExitCode> {
    for (_, problem) in &found.problems {
        output::complain(&format!("evenbite: may still name them: {problem}"));
    }
    if found.is_nothing() && found.problems.is_empty() {
        bail!("nothing names {}", clean(name));
    }
    if !yes {
        said.push("Nothing is written yet. Say --yes to do it.".to_owned());
    }
    output::write(&output::safe(&format!("{}\n", said.join("\n"))), shared.output.as_deref())?;
    Ok(code(found.problems.is_empty()))
}
