//! What a shell and a reader are told of the arguments: how a line goes on, and the pages of the manual. Both are made from
//! the arguments themselves, so that neither can differ from them.

use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

use anyhow::{Context as _, Result};
use clap::CommandFactory as _;
use clap_complete::engine::{ArgValueCompleter, CompletionCandidate};
use clap_complete::env::{CompleteEnv, Shells};
use clap_mangen::Man;
use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

use super::{Cli, Usage};
use crate::care::Workshop;
use crate::care::files::default_data_dir;
use crate::report::made::MARK;

/// The environment variable by which a shell asks how a line goes on.
const ASKED: &str = "EVENBITE_COMPLETE";
/// The program, as a shell finds it.
const NAME: &str = "evenbite";

/// A shell that can ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub(super) enum Shell {
    Bash,
    Elvish,
    Fish,
    Powershell,
    Zsh,
}

/// Answers a shell that asks how a line goes on. False where nobody asked: the program then runs as ever.
pub(super) fn answered() -> Result<bool> {
    let folder = std::env::current_dir().ok();
    CompleteEnv::with_factory(Cli::command)
        .var(ASKED)
        .try_complete(std::env::args_os(), folder.as_deref())
        .context("cannot say how the line goes on")
}

/// The lines by which a shell learns to ask this program.
pub(super) fn completions(shell: Shell) -> Result<String> {
    let name: &str = shell.into();
    let shells = Shells::builtins();
    let known = shells.completer(name).with_context(|| format!("no completions are made for {name}"))?;
    let mut lines = Vec::new();
    known.write_registration(ASKED, NAME, NAME, NAME, &mut lines)?;
    lines.extend(format!("# {MARK}\n").bytes());
    Ok(String::from_utf8(lines)?)
}

/// A page of the manual, as `man` reads it: of the program, or of one of its commands.
pub(super) fn manual(command: Option<&str>) -> Result<String> {
    let mut program = Cli::command();
    program.build();
    let page = match command {
        None => program,
        Some(name) => program
            .find_subcommand(name)
            .cloned()
            .ok_or_else(|| Usage(format!("there is no command {name}: evenbite --help lists them")))?,
    };
    let mut text = Vec::new();
    Man::new(page).render(&mut text)?;
    text.extend(format!(".\\\" {MARK}\n").bytes());
    Ok(String::from_utf8(text)?)
}

/// Completes the tag of a loop; its name on screen stands beside it, and what was typed may be the beginning of either.
pub(super) fn loops() -> ArgValueCompleter {
    ArgValueCompleter::new(|typed: &OsStr| {
        let typed = typed.to_string_lossy().to_lowercase();
        let begins = |text: &str| text.to_lowercase().starts_with(&typed);
        let loops = workshop().map(|care| care.loop_names()).unwrap_or_default();
        loops
            .into_iter()
            .filter(|(tag, name)| begins(tag) || begins(name))
            .map(|(tag, name)| CompletionCandidate::new(tag).help(Some(name.into())))
            .collect()
    })
}

/// Completes the name of a chain type.
pub(super) fn profiles() -> ArgValueCompleter {
    ArgValueCompleter::new(|typed: &OsStr| {
        let typed = typed.to_string_lossy();
        let profiles = workshop().map(|care| care.profiles().0).unwrap_or_default();
        profiles
            .into_iter()
            .filter(|profile| profile.name.starts_with(&*typed))
            .map(|profile| CompletionCandidate::new(profile.name))
            .collect()
    })
}

/// The workshop that the line so far speaks of: `--data` in it, else the environment's, else the platform's.
fn workshop() -> Option<Workshop> {
    let named = named_in(std::env::args_os().collect());
    let dir = named.or_else(|| std::env::var_os("EVENBITE_DATA").map(PathBuf::from)).or_else(default_data_dir)?;
    Workshop::open(dir).ok()
}

/// The data folder that a line names.
fn named_in(words: Vec<OsString>) -> Option<PathBuf> {
    let mut words = words.into_iter();
    while let Some(word) = words.next() {
        if word == "--data" {
            return words.next().map(PathBuf::from);
        }
        if let Some(dir) = word.to_str().and_then(|word| word.strip_prefix("--data=")) {
            return Some(PathBuf::from(dir));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_manual_has_a_page_for_every_command_with_each_of_its_arguments() {
        let mut program = Cli::command();
        program.build();
        for command in program.get_subcommands() {
            let page = manual(Some(command.get_name())).unwrap();
            for long in command.get_arguments().filter_map(clap::Arg::get_long) {
                let shown = format!("\\-\\-{}", long.replace('-', "\\-"));
                assert!(page.contains(&shown), "{} lacks --{long}", command.get_name());
            }
            assert!(manual(None).unwrap().contains(&command.get_name().replace('-', "\\-")));
        }
        assert!(manual(Some("nothing")).unwrap_err().is::<Usage>());
    }

    #[test]
    fn exit_codes_stand_in_the_manual() {
        let page = manual(None).unwrap();
        for code in ["0 done", "1 what was asked failed", "2 the call was wrong"] {
            assert!(page.contains(code), "{code}");
        }
    }

    #[test]
    fn every_shell_of_the_list_gets_its_lines() {
        for shell in Shell::VARIANTS {
            assert!(completions(*shell).unwrap().contains(ASKED), "{shell:?}");
        }
    }

    #[test]
    fn the_data_folder_of_a_line_is_found_in_both_ways_of_writing_it() {
        let line = |words: &[&str]| named_in(words.iter().map(OsString::from).collect());
        assert_eq!(line(&["evenbite", "--data", "a", "sheet"]), Some("a".into()));
        assert_eq!(line(&["evenbite", "sheet", "--data=b"]), Some("b".into()));
        assert_eq!(line(&["evenbite", "sheet"]), None);
    }
}
