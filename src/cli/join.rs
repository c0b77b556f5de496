//! `evenbite join` and `evenbite questions`: shown first, then done where the call says so.

use std::collections::BTreeSet;
use std::io::{self, IsTerminal, Write, stdin};
use std::process::ExitCode;

use anyhow::{Context as _, Result};
use chrono::Local;

use super::{JoinArgs, Shared, Usage, open, output, progress};
use crate::care::JoinWish;
use crate::report::format::Told;
use crate::report::join as report;

pub(super) fn run(shared: &Shared, args: &JoinArgs) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a join")?;
    let care = open::heard(shared)?;
    let set = |tags: &[String]| tags.iter().cloned().collect();
    let wish = JoinWish {
        here: String::new(),
        there: args.called.clone().unwrap_or_default(),
        one: set(&args.one),
        without: set(&args.without),
    };
    let join = care.look_at(args.folder.clone(), wish)?;
    let out = shared.output.as_deref();
    let mut text = output::safe(&report::preview(&join, open::settings(shared, &care).units));
    for (_, problem) in &join.refused {
        output::complain(&format!("evenbite: not taken: {problem}"));
    }
    if let Some(twice) = report::twice(&join) {
        output::write(&text, out)?;
        return Err(Usage(format!("nothing was joined. {twice}")).into());
    }
    let all = join.refused.is_empty();
    if join.is_nothing() {
        output::write(&text, out)?;
        return Ok(code(all));
    }
    if !args.yes {
        output::write(&text, out)?;
        if out.is_some() || !stdin().is_terminal() {
            output::tell("Nothing was written: this was a look only. With --yes it is done.")?;
            return Ok(code(all));
        }
        if !is_yes("Do it? yes or no> ")? {
            output::tell("Nothing was written.")?;
            return Ok(code(all));
        }
        text.clear();
    }
    let done = care.join(&join)?;
    progress::done();
    for (_, problem) in &done.refused {
        output::complain(&format!("evenbite: left for the next join: {problem}"));
    }
    text.push_str("Joined.");
    if let Some(asked) = report::to_choose(care.asked_by(&join)) {
        text.push_str(&format!(" {asked} See all with: evenbite questions"));
    }
    text.push('\n');
    output::write(&text, out)?;
    Ok(code(all && done.refused.is_empty()))
}

const fn code(well: bool) -> ExitCode {
    if well { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Asks at the terminal; anything but a yes is a no.
fn is_yes(question: &str) -> Result<bool> {
    let mut out = io::stdout();
    write!(out, "{question}").and_then(|()| out.flush()).context("cannot write to standard output")?;
    let mut line = String::new();
    stdin().read_line(&mut line).context("cannot read the answer")?;
    Ok(matches!(line.trim().to_lowercase().as_str(), "y" | "yes"))
}

/// Lists what nobody has chosen yet, or chooses.
pub(super) fn questions(shared: &Shared, answers: &[String]) -> Result<ExitCode> {
    let Told::Text = shared.format_of("a list of questions")?;
    let care = open::heard(shared)?;
    let (asked, problems) = care.questions();
    progress::go_on()?;
    for (_, problem) in &problems {
        output::complain(&format!("evenbite: not read: {problem}"));
    }
    let unit = open::settings(shared, &care).units;
    // All answers are understood before one of them is kept.
    let chosen = answers.iter().map(|text| report::chosen(text, &asked)).collect::<Result<Vec<_>, _>>();
    let chosen = chosen.map_err(Usage)?;
    let mut text = if answers.is_empty() { report::questions(&asked, unit) } else { String::new() };
    if asked.is_empty() {
        text.push_str("There is nothing to choose.\n");
    }
    let now = Local::now().fixed_offset();
    let mut answered = BTreeSet::new();
    for (question, choice) in chosen {
        answered.insert(question);
        care.choose(&asked[question], choice, now)?;
        let (of, choices) = report::question(&asked[question], unit);
        text.push_str(&format!("{of} {}\n", choices[choice]));
    }
    if !answers.is_empty() {
        let left = asked.len() - answered.len();
        text.push_str(&format!("Kept. Still to be chosen: {left}.\n"));
    } else if !asked.is_empty() {
        text.push_str("Choose with: evenbite questions --answer 1a\n");
    }
    output::write(&output::safe(&text), shared.output.as_deref())?;
    Ok(code(problems.is_empty()))
}
