//! Words that can be typed in place of a reading.

use super::pages::Page;
use crate::chain::number::{CutterNumber, NoCutterNumber};
use crate::coach::Command;
use crate::coach::words::rejection;
use crate::round::Phase;
use crate::units::{Unit, mm};

/// A word and what it asks for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Wish {
    /// For the coach.
    Command(Command),
    /// Keep the doubtful reading.
    Keep,
    /// Take what was likely meant instead.
    Meant,
    /// Look at a saw; empty for the one that is named.
    Saw(String),
    /// Hand the round to this person.
    Hand(String),
    /// Leave the reading out that is asked for.
    LeaveOut,
    /// Print the sheet.
    Sheet,
    /// Print something else of the loop.
    Page(Page),
    /// Find the cause of a poor cut.
    Causes,
    /// Print the trade words.
    Words,
    /// Print how a figure was reckoned: the first, or that of the number.
    Why(usize),
    /// Sit down to the lessons, or to the one of that number.
    Lesson(String),
    /// Print the words that can be typed.
    Help,
    /// Something about a cutter that no loop has.
    NoCutter(NoCutterNumber),
    /// A word whose rest cannot be understood, and why.
    Refused(String),
}

/// What can be typed, for help.
pub(super) fn help(unit: Unit) -> String {
    let depth = unit.short(mm(if unit == Unit::Mm { 0.6 } else { 0.508 }));
    HELP.replace("DEPTH  ", &format!("{depth:<6}")).replace("DEPTH", &depth)
}

const HELP: &str = "\
Instead of a reading you can type:
  skip               this reading, as Enter alone does in a round on record
  back               take the last entry back
  pause              stop for now; the round waits
  again              measure the last cutter once more; readings average
  damaged 7 DEPTH     cutter 7 is damaged, DEPTH must come off
  missing 7          cutter 7 is missing
  kept 7             cutter 7 is healthy again
  short 7            leave cutter 7 short
  reject rivets 7 TEXT   reject the loop: cracks, rivets, drive links, straps,
                     cutters or mark; cutter and words are optional
  go 7               go to cutter 7
  go rakers          go to a part: look, measure, choose, first, second, rakers, prove
  enough             leave the rest of this part
  note TEXT          a remark; note 7: TEXT on cutter 7
  zero 0.00          what the caliper shows with its jaws closed
  saw NAME           look at the saw; without a name, the one named before
  keep               keep a doubtful reading
  yes                take what was meant, where it is asked
  hand NAME          somebody else goes on; each entry keeps who made it
  sheet              read the sheet as it stands
  about              what is known of the loop; history, gaps, tag, owner: the same words as before a round
  causes             how does it cut, what is behind it, what helps
  words              the trade words
  lesson 3           the third lesson, on this loop; lesson list names them
  why                how the figure at hand was reckoned; why 2 for the next one
  give up            end the round unfinished
  help               this list";

/// The wish of a line, `None` where it is an answer.
pub(super) fn wish(line: &str) -> Option<Wish> {
    let line = line.trim();
    let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let word = word.to_lowercase();
    if let Some(Err(error)) = named_cutter(&word, rest) {
        return Some(Wish::NoCutter(error));
    }
    let number = || rest.parse::<CutterNumber>().ok();
    let command = match word.as_str() {
        "back" | "undo" | "/" => Command::TakeBack,
        "pause" | "*" => Command::Pause,
        "again" => Command::Again,
        "enough" => Command::Enough,
        "missing" => Command::Missing(number()?),
        "kept" => Command::Kept(number()?),
        "short" => Command::LeftShort(number()?),
        "damaged" => {
            let (cutter, depth) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
            Command::Damaged { cutter: cutter.parse().ok()?, depth: depth.trim().to_owned() }
        }
        "go" => match number() {
            Some(cutter) => Command::GoTo(cutter),
            None => Command::GoToPart(Phase::named(rest)?),
        },
        "reject" => match rejection(rest) {
            Ok(command) => command,
            Err(why) => return Some(Wish::Refused(why)),
        },
        "note" => note(rest),
        "zero" => Command::Zero(rest.to_owned()),
        "give" if rest.eq_ignore_ascii_case("up") => Command::Abandon,
        "saw" => return Some(Wish::Saw(rest.to_owned())),
        "hand" if !rest.is_empty() => return Some(Wish::Hand(rest.to_owned())),
        "skip" if rest.is_empty() => return Some(Wish::LeaveOut),
        "leave" if rest.eq_ignore_ascii_case("out") => return Some(Wish::LeaveOut),
        "keep" => return Some(Wish::Keep),
        "yes" => return Some(Wish::Meant),
        "sheet" => return Some(Wish::Sheet),
        "causes" => return Some(Wish::Causes),
        "words" => return Some(Wish::Words),
        word if rest.is_empty() && Page::named(word).is_some() => return Page::named(word).map(Wish::Page),
        "lesson" | "lessons" => return Some(Wish::Lesson(rest.to_owned())),
        "why" if rest.is_empty() => return Some(Wish::Why(1)),
        "why" => return Some(Wish::Why(rest.parse().ok().filter(|at| *at > 0)?)),
        "help" | "?" => return Some(Wish::Help),
        _ => return None,
    };
    Some(Wish::Command(command))
}

/// The cutter's number that is named after a word, where there are digits in its place.
fn named_cutter(word: &str, rest: &str) -> Option<Result<CutterNumber, NoCutterNumber>> {
    let number = match word {
        "missing" | "kept" | "short" | "damaged" | "go" => rest.split_whitespace().next(),
        "note" => rest.split_once(':').map(|(number, _)| number.trim()),
        _ => None,
    }?;
    (!number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())).then(|| number.parse())
}

/// `7: chipped` is a remark on cutter 7, anything else one on the loop.
fn note(rest: &str) -> Command {
    if let Some((number, text)) = rest.split_once(':')
        && let Ok(cutter) = number.trim().parse::<CutterNumber>()
    {
        return Command::Note { cutter: Some(cutter), text: text.trim().to_owned() };
    }
    Command::Note { cutter: None, text: rest.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::nth;

    #[test]
    fn readings_are_no_wishes() {
        for line in ["8.05", "8,05 mm", "", "1", "A+12.345"] {
            assert_eq!(wish(line), None, "{line}");
        }
    }

    #[test]
    fn wishes_are_read() {
        assert_eq!(
            wish("note 7: chipped"),
            Some(Wish::Command(Command::Note { cutter: Some(nth(7)), text: "chipped".into() }))
        );
        let damaged = Command::Damaged { cutter: nth(7), depth: "0,6".into() };
        assert_eq!(wish("damaged 7 0,6"), Some(Wish::Command(damaged)));
        assert_eq!(wish("go rakers"), Some(Wish::Command(Command::GoToPart(Phase::Rakers))));
        assert_eq!(wish("go nowhere"), None);
        assert_eq!(
            wish("note 0 links replaced"),
            Some(Wish::Command(Command::Note { cutter: None, text: "0 links replaced".into() }))
        );
    }

    #[test]
    fn no_cutter_nought_is_asked_for() {
        for line in ["go 0", "kept 0", "missing 0", "short 00", "damaged 0 0.6", "note 0: chipped", "go 99999"] {
            assert_eq!(wish(line), Some(Wish::NoCutter(NoCutterNumber)), "{line}");
        }
    }
}
