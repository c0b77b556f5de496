//! The command line: arguments, what each command does, exit codes.
//!
//! 0 done, 1 what was asked failed (message on standard error), 2 usage.

mod backup;
mod commands;
mod import;
mod join;
mod open;
mod output;
mod people;
mod plainly;
mod progress;
mod shell;
mod words;

use std::path::PathBuf;
use std::process::ExitCode;
use std::str::FromStr;
use std::sync::LazyLock;

use clap::{Args, Parser, Subcommand};
use strum::VariantArray;

use crate::care::files::table_words;
use crate::care::{Filter, Sort};
use crate::chain::Wood;
use crate::practice::CUTTERS;
use crate::report::Output;
use crate::report::format::{Asked, format_of};
use crate::round::Tool;
use crate::tui::theme::Colours;
use crate::units::Unit;
use shell::Shell;
use words::words;

/// The version, with the commit that it was built from where the build was told.
fn version() -> &'static str {
    static VERSION: LazyLock<String> = LazyLock::new(|| {
        let commit = option_env!("EVENBITE_COMMIT").filter(|commit| !commit.is_empty());
        env!("CARGO_PKG_VERSION").to_owned() + &commit.map(|commit| format!(" ({commit})")).unwrap_or_default()
    });
    &VERSION
}

/// What every page of help and of the manual ends with.
const AFTER_HELP: &str = "\
Exit codes: 0 done; 1 what was asked failed, or something could not be read (said on standard error); 2 the call was wrong.

Environment: EVENBITE_DATA is the data folder where --data does not name one; NO_COLOR is honoured.

The chain and saw maker's limits, local rules and trained practice come first. This program advises; it does not know your saw.";

/// Full-screen coach for the saw-chain sharpening bench.
#[derive(Debug, Parser)]
#[command(name = "evenbite", version = version(), about, long_about = None, after_long_help = AFTER_HELP)]
pub struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    shared: Shared,
}

/// Options that every command takes.
#[derive(Debug, Args)]
pub struct Shared {
    /// Data folder [default: the platform's data folder for evenbite]
    #[arg(long, global = true, value_name = "DIR", env = "EVENBITE_DATA")]
    data: Option<PathBuf>,
    /// Lead through the round as a dialogue on standard input and output
    #[arg(long, global = true)]
    plain: bool,
    /// Draw with plain ASCII signs
    #[arg(long, global = true)]
    ascii: bool,
    /// How much colour
    #[arg(long, global = true, value_parser = words::<Colours>())]
    colour: Option<Colours>,
    /// Unit in which everything is told, sheets too; a round at the bench keeps its own
    #[arg(long, global = true, value_parser = words::<Unit>())]
    units: Option<Unit>,
    /// Format of tables and sheets [default: text]
    #[arg(long, global = true, value_parser = words::<Asked>())]
    format: Option<Asked>,
    /// Also read lines from an instrument on this device or named pipe
    #[arg(long, global = true, value_name = "PATH")]
    source: Option<PathBuf>,
    /// Hand every prompt and verdict to this program on its standard input
    #[arg(long, global = true, value_name = "COMMAND")]
    speak: Option<String>,
    /// Write to this file instead of standard output
    #[arg(long, global = true, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Replace a file even where this program did not write it
    #[arg(long, global = true)]
    replace: bool,
}

impl Shared {
    /// The format asked for, as one of those that `what` has.
    fn format_of<F>(&self, what: &'static str) -> Result<F, Usage>
    where
        F: Copy + Default + FromStr + Into<&'static str> + VariantArray,
    {
        format_of(what, self.format).map_err(|error| Usage(error.to_string()))
    }
}

// Arguments and long texts of a command are made where it is asked for: every start would pay for all of them.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
enum Command {
    /// Open an invented workshop on a throw-away copy
    Demo,
    /// Practise a round on a made-up loop: readings are simulated, nothing is recorded, what was true is told at the end
    Practice {
        /// How many cutters: 12, 36 or 72
        #[arg(long, value_name = "N", default_value_t = CUTTERS[0])]
        cutters: u16,
        /// Number of the loop: the same makes the same loop again [default: another one each time]
        #[arg(long, value_name = "N")]
        seed: Option<u32>,
    },
    /// Print the table of raker gap by cutter length, to hang over the bench
    Gaps(GapsArgs),
    /// Print the sheet of a loop's round
    Sheet(SheetArgs),
    /// Print the life of a loop: its rounds and what is left
    History {
        /// Tag or name of the loop
        #[arg(value_name = "LOOP", add = shell::loops())]
        tag: String,
    },
    /// List the loops as the rack shows them
    Loops {
        /// Which loops
        #[arg(long, value_parser = words::<Filter>(), default_value = "in-care")]
        filter: Filter,
        /// In which order
        #[arg(long, value_parser = words::<Sort>(), default_value = "name")]
        order: Sort,
        /// Only those whose name, owner, saw or tag contain this
        #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
        find: String,
    },
    /// Print tags to cut out and tie to loops
    Tags {
        /// Tags or names of the loops [default: all that pass the filter]
        #[arg(value_name = "LOOP", add = shell::loops())]
        loops: Vec<String>,
        /// Which loops
        #[arg(long, value_parser = words::<Filter>(), default_value = "in-care")]
        filter: Filter,
    },
    /// Print what learners did at the drills: a page each, for the end of a course day
    Course {
        /// Names of the learners [default: all]
        #[arg(value_name = "NAME")]
        learners: Vec<String>,
        /// Where the course was held
        #[arg(long, value_name = "TEXT", default_value = "")]
        place: String,
        /// Who led it
        #[arg(long, value_name = "NAME", default_value = "")]
        instructor: String,
        /// Tables of several learners with their names: they have agreed to it
        #[arg(long)]
        names: bool,
    },
    /// Print the page of a person: own uncertainty, strokes, how their cutters come out, what changes over rounds
    Person {
        /// The name, as rounds and lists have it
        #[arg(value_name = "NAME")]
        name: String,
    },
    /// Take a person's name out of the record: another stands in its place, every reading stays
    Forget {
        /// The name, as rounds and lists have it
        #[arg(value_name = "NAME")]
        name: String,
        /// Do it; without this, what would be done is only shown
        #[arg(long)]
        yes: bool,
    },
    /// Call a person by another name from now on: rounds, drills and own figures go on under it
    Rename {
        /// The name, as rounds and lists have it
        #[arg(value_name = "NAME")]
        name: String,
        /// The name from now on, which nobody may have
        #[arg(value_name = "NEW")]
        new: String,
        /// Do it; without this, what would be done is only shown
        #[arg(long)]
        yes: bool,
    },
    /// Print a blank bench sheet of a loop, for a day without a computer
    Paper {
        /// Tag or name of the loop
        #[arg(value_name = "LOOP", add = shell::loops())]
        tag: String,
    },
    /// Print the page of a saw: bar, sprocket, oil and tension over time, and which loop to run next
    Saw {
        /// Name of the saw, as loops' cards have it
        #[arg(value_name = "SAW")]
        name: String,
    },
    /// Take readings in from a CSV file
    #[command(after_help = table_words())]
    Import(ImportArgs),
    /// Bring another data folder into this one: a bench's, a synced one, or a backup unpacked. Shown first
    Join(JoinArgs),
    /// List what joined folders say differently and nobody has chosen yet, or choose
    Questions {
        /// What is chosen, such as 1a: question 1, choice a
        #[arg(long, value_name = "CHOICE")]
        answer: Vec<String>,
    },
    /// Keep the whole data folder in one file, with a check sum of everything in it
    Backup {
        /// The file, which must not be there yet: a tar archive compressed by gzip
        file: PathBuf,
    },
    /// Check a backup and bring it back into a data folder that holds nothing
    Restore {
        /// The backup
        file: PathBuf,
        /// Only check it
        #[arg(long)]
        check: bool,
    },
    /// Write everything in the data folder out: JSON Lines, or a table with --format csv
    Export,
    /// Write loops, rounds, cutters, readings, saws and people as tables that join; without a folder, say what each column means
    Tables {
        /// Where to; it is made if it is not there
        folder: Option<PathBuf>,
    },
    /// Check any file of the data folder: profiles, cards, rounds, saws, lists, and what is derived
    Check {
        /// Files to check
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
    /// Print the JSON Schema of a machine-readable output
    Schema {
        /// Of which
        #[arg(value_name = "NAME", value_parser = words::<Output>())]
        of: Output,
    },
    /// Print the lines by which a shell completes commands, options and loops
    Completions {
        /// Which shell
        #[arg(value_parser = words::<Shell>())]
        shell: Shell,
    },
    /// Print a page of the manual, for man -l -
    Manual {
        /// Which command [default: the program as a whole]
        command: Option<String>,
    },
    /// Play keys from a script against the real application and print the screens
    Rehearse {
        /// The script; - for standard input
        script: PathBuf,
        /// Window, columns x rows
        #[arg(long, default_value = "80x24", value_parser = parse_size)]
        size: (u16, u16),
        /// Only the screen that the script shows under this name
        #[arg(long, value_name = "NAME")]
        only: Option<String>,
    },
}

#[derive(Debug, Args)]
struct GapsArgs {
    /// Profile: quarter-inch-low, quarter-inch, three-eighths-narrow, three-eighths-low, point-325, three-eighths, four-oh-four, or one of your own
    #[arg(add = shell::profiles())]
    profile: String,
    /// Step between rows, in the unit of the table unless one is written [default: 0.5 mm or 0.010 in]
    #[arg(long, value_name = "LENGTH")]
    step: Option<String>,
    /// First length, such as 8.5, 8,5 or 0.33in [default: new]
    #[arg(long, value_name = "LENGTH")]
    from: Option<String>,
    /// Last length [default: the witness mark]
    #[arg(long, value_name = "LENGTH")]
    to: Option<String>,
    /// What the saw cuts
    #[arg(long, value_parser = words::<Wood>(), default_value = "any")]
    wood: Wood,
    /// Use the plate gauge calibrated for this loop
    #[arg(long = "loop", value_name = "LOOP", add = shell::loops())]
    tag: Option<String>,
}

#[derive(Debug, Args)]
struct SheetArgs {
    /// Tag or name of the loop
    #[arg(value_name = "LOOP", add = shell::loops())]
    tag: String,
    /// Which round: its start, or the beginning of it, such as 2026-03 [default: the last]
    #[arg(long, value_name = "WHEN")]
    round: Option<String>,
    /// The owner's version, in plain words on half a page
    #[arg(long)]
    owner: bool,
}

#[derive(Debug, Args)]
struct ImportArgs {
    /// CSV file whose header names the columns; or an export (.jsonl), to read a whole data folder back
    file: PathBuf,
    /// Tag or name of the loop the readings belong to; the tag of a new one
    #[arg(long = "loop", value_name = "LOOP", add = shell::loops())]
    tag: Option<String>,
    /// Chain type, where the loop is new
    #[arg(long, value_name = "NAME")]
    profile: Option<String>,
    /// Drive links, where the loop is new
    #[arg(long, value_name = "N")]
    links: Option<u16>,
    /// Who took the readings; needed where the file does not say it
    #[arg(long, value_name = "NAME")]
    sharpener: Option<String>,
    /// When it was measured, such as 2026-03-01; needed for a past round where the file does not say it
    #[arg(long, value_name = "DAY")]
    measured: Option<String>,
    /// What the round is worked with
    #[arg(long, value_parser = words::<Tool>())]
    tool: Option<Tool>,
    /// Lines of the file whose readings are right though they are doubted
    #[arg(long, value_name = "LINES", value_delimiter = ',')]
    sure: Vec<usize>,
    /// What the saw cuts
    #[arg(long, value_parser = words::<Wood>(), default_value = "any")]
    wood: Wood,
    /// Keep the readings as a past round instead of one to go on with
    #[arg(long)]
    keep: bool,
    /// Only show what would be taken
    #[arg(long)]
    dry_run: bool,
}

#[derive(Debug, Args)]
struct JoinArgs {
    /// The other data folder; it is only read
    folder: PathBuf,
    /// Do it without asking
    #[arg(long)]
    yes: bool,
    /// What the other folder is called in questions [default: its last part]
    #[arg(long, value_name = "NAME")]
    called: Option<String>,
    /// A loop that came into care in both folders and is one
    #[arg(long, value_name = "TAG")]
    one: Vec<String>,
    /// A loop of the other folder that stays out
    #[arg(long, value_name = "TAG")]
    without: Vec<String>,
}

fn parse_size(text: &str) -> Result<(u16, u16), String> {
    crate::tui::rehearse::size(text).ok_or_else(|| "allowed: a size such as 80x24, 1x1 to 500x500".to_owned())
}

/// What a command could not do because it was called wrongly, not because something failed.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Usage(pub String);

/// An error with what led to it, each once: a cause may name the file that its context names, and give the system's reason itself.
fn said(error: &anyhow::Error) -> String {
    let mut said = String::new();
    for part in error.chain().map(ToString::to_string) {
        let (head, rest) = part.split_once(": ").unwrap_or((&part, ""));
        if said.is_empty() {
            said = part;
        } else if !rest.is_empty() && said.ends_with(head) {
            said = format!("{said}: {rest}");
        } else if !said.contains(&part) {
            said = format!("{said}: {part}");
        }
    }
    said
}

/// Parses the arguments, runs the command, says what went wrong.
pub fn main() -> ExitCode {
    match shell::answered() {
        Ok(false) => {}
        Ok(true) => return ExitCode::SUCCESS,
        Err(error) => {
            output::complain(&format!("evenbite: {}", said(&error)));
            return ExitCode::FAILURE;
        }
    }
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are asked for and go to standard output; the rest is usage.
            if !error.use_stderr() {
                let _ = error.print();
                return ExitCode::SUCCESS;
            }
            // What was typed is in it.
            output::complain(error.render().to_string().trim_end());
            return ExitCode::from(2);
        }
    };
    match commands::run(&cli) {
        Ok(code) => code,
        Err(error) if output::is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            output::complain(&format!("evenbite: {}", said(&error)));
            ExitCode::from(if error.is::<Usage>() { 2 } else { 1 })
        }
    }
}

#[cfg(test)]
mod tests {
    use anyhow::{Context as _, anyhow};

    #[test]
    fn an_error_names_its_file_and_its_reason_once() {
        let none = || Err::<(), _>(anyhow!("no such file")).context("a/b.csv: could not open it: no such file");
        let said = |error: anyhow::Error| super::said(&error);
        assert_eq!(said(none().context("a/b.csv").unwrap_err()), "a/b.csv: could not open it: no such file");
        assert_eq!(
            said(none().context("cannot write a/b.csv").unwrap_err()),
            "cannot write a/b.csv: could not open it: no such file"
        );
        assert_eq!(said(anyhow!("no room").context("cannot write c")), "cannot write c: no room");
    }
}
