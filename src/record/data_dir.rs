//! Where things lie in the data folder.
//!
//! ```text
//! profiles/<name>.toml              chain types of one's own; each takes the place of a built-in one of its name
//! sharpeners.toml                   who files, and how well their readings repeat
//! sharpeners.changes.toml           values of its figures in other folders, and which was chosen
//! loops/<tag>/loop.toml             the loop's card
//! loops/<tag>/changes.toml          values of its fields before and in other folders, and which was chosen when
//! loops/<tag>/<start>.round.toml    one round; <start> in UTC, as in 20260301T070000Z
//! loops/<tag>/*.left-<sum>          a version of a round that somebody set aside
//! loops/<tag>/history.toml          derived from the rounds; may be deleted
//! saws/<saw>.saw.toml               one saw: its bar, sprocket, oil and tension; <saw> is its name made fit for a file
//! learners/<name>.learner.toml      one learner: sets of drills; <name> is the learner's, made fit for a file
//! lessons.toml                      how far people are in the lessons
//! names.toml                        names that are on their way to another; gone once they arrived
//! tags.html                         the tags last made from the rack, to print; may be deleted
//! saws.jsonl                        derived from the saws; may be deleted
//! rack.jsonl                        derived from cards and histories; may be deleted
//! ```

use chrono::{DateTime, FixedOffset, Utc};
use std::path::{Path, PathBuf};

use super::{SUFFIX, series};

/// Name of a loop's card.
pub(crate) const CARD: &str = "loop.toml";
/// Name of what is written beside a card: values of its fields in other folders and before.
pub(crate) const CHANGES: &str = "changes.toml";
/// The same beside the list of sharpeners.
pub(crate) const PEOPLE_CHANGES: &str = "sharpeners.changes.toml";
/// How the same ends beside a profile; no profile is called so.
pub(crate) const PROFILE_CHANGES: &str = ".changes";
/// Folder in which a join makes files ready.
pub(crate) const JOINING: &str = "join.new";
/// Marks a throw-away copy of the invented workshop.
pub(crate) const DEMO: &str = "demo";
/// Name of a loop's derived history.
pub(crate) const HISTORY: &str = "history.toml";
/// Name of the derived index of all loops.
pub(crate) const INDEX: &str = "rack.jsonl";
/// Name of the derived index of all saws.
pub(crate) const SAW_INDEX: &str = "saws.jsonl";
/// Name of the list of how far people are in the lessons.
pub(crate) const LESSONS: &str = "lessons.toml";
/// Name of the list of names that are on their way to another.
pub(crate) const NAMES: &str = "names.toml";
/// Name of the list of sharpeners.
pub(crate) const SHARPENERS: &str = "sharpeners.toml";

/// The platform's own folder for this program's data, where it has one.
pub fn default_data_dir() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "evenbite").map(|dirs| dirs.data_dir().to_owned())
}

/// The folder of one's own profiles.
pub(super) fn profiles(root: &Path) -> PathBuf {
    root.join("profiles")
}

/// The folder that holds all loops.
pub(super) fn loops(root: &Path) -> PathBuf {
    root.join("loops")
}

/// The folder that holds the records of saws.
pub(super) fn saws(root: &Path) -> PathBuf {
    root.join("saws")
}

/// The folder that holds the records of learners.
pub(super) fn learners(root: &Path) -> PathBuf {
    root.join("learners")
}

/// A round's start as its file's name has it: in UTC.
pub(super) fn start_name(started: DateTime<FixedOffset>) -> String {
    started.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ").to_string()
}

/// What a round's file is called: its start, and a number from the second one of that second on.
pub(super) fn round_name(start: &str, number: u32) -> String {
    if number <= 1 { format!("{start}{SUFFIX}") } else { format!("{start}-{number}{SUFFIX}") }
}

/// What the files of a folder are put in order by, oldest round first: start, number within that second, name. No two
/// names are equal in it.
pub(super) type Order = (String, u32, String);

/// The place of a file's name in that order.
pub(super) fn round_order(name: &str) -> Order {
    let (start, number) = series::began(name);
    (start, number, name.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_are_named_by_their_start_in_utc_and_sort_by_it() {
        let at = DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap();
        let at = start_name(at);
        assert_eq!(round_name(&at, 1), "20260301T070000Z.round.toml");
        let names =
            [round_name(&at, 11), round_name(&at, 2), round_name(&at, 1), "20260301T065959Z.r3.round.toml".into()];
        let mut sorted = names.clone();
        sorted.sort_by_key(|name| round_order(name));
        assert_eq!(sorted.to_vec(), names.into_iter().rev().collect::<Vec<_>>());
    }
}
