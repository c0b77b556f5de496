//! The block of one event: from its keys to what happened, and back to keys.

use super::RecordError;
use super::block::Whole;
use super::contents::{Stamped, one_line, own_keys, table};
use super::lines::{self, Scalar};
use super::understand::{Shapes, understand};
use crate::units::clean::is_unsafe;
use chrono::{DateTime, FixedOffset, SecondsFormat};
use serde::{Serialize, de::DeserializeOwned};
use std::path::Path;
use toml::{Table, Value};

/// One event. Its check sum is right: what is wrong with it now was written so.
pub(super) fn event<E>(path: &Path, line: usize, whole: &Whole<'_>) -> Result<Stamped<E>, RecordError>
where
    E: Serialize + DeserializeOwned,
{
    let mut table = table(path, line, whole)?;
    let mut take = |key: &str| table.remove(key);
    let wrong = |key: &str, read: Option<Value>, allowed: &str| {
        let read = read.map_or("missing".to_owned(), |value| format!("{value}"));
        RecordError::damaged(path, line, one_line(&format!("`{key}` is {read}; allowed: {allowed}")))
    };
    let seq = take("seq");
    let Some(seq) = seq.as_ref().and_then(Value::as_integer).and_then(|n| u32::try_from(n).ok()) else {
        return Err(wrong("seq", seq, "a whole number from 1"));
    };
    let at = take("at");
    let Some(at) = at.as_ref().and_then(Value::as_str).and_then(|t| DateTime::parse_from_rfc3339(t).ok()) else {
        return Err(wrong("at", at, "a time such as \"2026-05-01T08:00:00+02:00\""));
    };
    let by = match take("by") {
        None => None,
        Some(Value::String(name)) if !name.is_empty() => Some(name),
        other => return Err(wrong("by", other, "a name")),
    };
    let typed = match take("typed") {
        None => None,
        Some(Value::String(text)) => Some(text),
        other => return Err(wrong("typed", other, "text")),
    };
    Ok(Stamped { seq, at, by, typed, event: understand(path, line, &table)? })
}

/// As [`event`]; its keys are known from then on.
pub(super) fn event_and_shape<'a, E>(
    path: &Path,
    line: usize,
    whole: &Whole<'a>,
    known: &mut Shapes<'a>,
) -> Result<Stamped<E>, RecordError>
where
    E: Serialize + DeserializeOwned,
{
    let stamped = event(path, line, whole)?;
    if let Some(plain) = Plain::of(whole) {
        known.learn(&plain.own);
    }
    Ok(stamped)
}

/// An event of plain lines, its own keys apart from the record's.
struct Plain<'a> {
    seq: Option<Scalar<'a>>,
    at: Option<Scalar<'a>>,
    by: Option<Scalar<'a>>,
    typed: Option<Scalar<'a>>,
    own: Vec<(&'a str, Scalar<'a>)>,
}

impl<'a> Plain<'a> {
    fn of(whole: &Whole<'a>) -> Option<Self> {
        let mut plain = Self { seq: None, at: None, by: None, typed: None, own: Vec::new() };
        let mut pairs = lines::pairs(std::str::from_utf8(whole.body).ok()?)?;
        pairs.retain(|(key, value)| {
            let place = match *key {
                "seq" => &mut plain.seq,
                "at" => &mut plain.at,
                "by" => &mut plain.by,
                "typed" => &mut plain.typed,
                _ => return true,
            };
            *place = Some(*value);
            false
        });
        plain.own = pairs;
        Some(plain)
    }
}

/// As [`event`], at a fraction of its cost; `None` for whatever is not of the plain form, or of keys not yet known: [`event`] says
/// then what it is, or what is wrong with it.
pub(super) fn plain_event<'a, E: DeserializeOwned>(whole: &Whole<'a>, known: &Shapes<'a>) -> Option<Stamped<E>> {
    // What must not reach a terminal raw is written out there.
    if !whole.body.is_ascii() && std::str::from_utf8(whole.body).ok()?.chars().any(|c| c != '\n' && is_unsafe(c)) {
        return None;
    }
    let Plain { seq, at, by, typed, own } = Plain::of(whole)?;
    let Some(Scalar::Whole(seq)) = seq else { return None };
    let text = |value: Option<Scalar<'a>>| match value {
        None => Some(None),
        Some(value) => value.text().map(|text| Some(text.to_owned())),
    };
    let by = text(by)?;
    if by.as_ref().is_some_and(String::is_empty) {
        return None;
    }
    Some(Stamped {
        seq: u32::try_from(seq).ok()?,
        at: DateTime::parse_from_rfc3339(at?.text()?).ok()?,
        by,
        typed: text(typed)?,
        event: known.understand(&own)?,
    })
}

/// The keys that every event block begins and ends with, around the event's own: `kind` leads those.
pub(super) fn event_keys(
    seq: u32,
    at: DateTime<FixedOffset>,
    by: Option<&str>,
    own: Table,
    typed: Option<&str>,
) -> Result<Vec<(String, Value)>, String> {
    let mut keys = vec![
        ("seq".to_owned(), Value::from(i64::from(seq))),
        ("at".to_owned(), Value::from(at.to_rfc3339_opts(SecondsFormat::AutoSi, false))),
    ];
    keys.extend(by.map(|name| ("by".to_owned(), Value::from(name))));
    keys.extend(own_keys(own, &["seq", "at", "by", "typed", "crc"])?);
    keys.extend(typed.map(|text| ("typed".to_owned(), Value::from(text))));
    Ok(keys)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::block::pieces;
    use crate::record::contents;
    use crate::round::{Event, Header};
    use crate::saw::{SawEvent, SawHeader};
    use std::fmt::Debug;
    use std::fs;

    /// Reads a record whole, and each event by itself with all that is compared there; says how many were read the short way.
    fn read_twice<H, E>(path: &Path) -> usize
    where
        H: Serialize + DeserializeOwned,
        E: Serialize + DeserializeOwned + Debug + PartialEq,
    {
        let bytes = fs::read(path).unwrap();
        let whole = contents::parse::<H, E>(path, &bytes).unwrap().contents.entries;
        let mut known = Shapes::default();
        let (mut alone, mut short) = (Vec::new(), 0);
        for piece in pieces(&bytes).into_iter().skip(1) {
            let Ok(block) = piece.what else { continue };
            short += usize::from(plain_event::<E>(&block, &known).is_some());
            alone.push(event_and_shape::<E>(path, piece.line, &block, &mut known).unwrap());
        }
        assert_eq!(whole, alone, "{}", path.display());
        short
    }

    #[test]
    fn the_short_way_reads_what_the_long_way_reads() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let files = |folder: &str| fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path());
        let loops =
            files("demo/workshop/loops").flat_map(|folder| fs::read_dir(folder).unwrap()).map(|e| e.unwrap().path());
        let all: Vec<_> = files("tests/records/valid").chain(files("demo/workshop/saws")).chain(loops).collect();
        let named = |end: &'static str| all.iter().filter(move |path| path.to_string_lossy().ends_with(end));
        let rounds: usize = named(".round.toml").map(|path| read_twice::<Header, Event>(path)).sum();
        let saws: usize = named(".saw.toml").map(|path| read_twice::<SawHeader, SawEvent>(path)).sum();
        assert!(rounds > 2000 && saws > 20, "{rounds} {saws}");
    }

    #[test]
    fn what_is_not_plain_or_not_known_is_left_to_the_long_way() {
        let block = |own: &str| {
            let start = "[[event]]\nseq = 1\nat = \"2026-03-01T08:00:00+01:00\"\n";
            let text = format!("{start}{own}");
            format!("{text}crc = \"{:08x}\"\n", crc32fast::hash(text.as_bytes()))
        };
        let path = Path::new("a.round.toml");
        let mut known = Shapes::default();
        let length = block("kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\ntyped = \"8\"\n");
        let [piece] = pieces(length.as_bytes()).try_into().unwrap();
        let first = piece.what.unwrap();
        assert_eq!(plain_event::<Event>(&first, &known), None, "not known yet");
        let read = event_and_shape::<Event>(path, 1, &first, &mut known).unwrap();
        assert_eq!(plain_event::<Event>(&first, &known), Some(read));
        for own in [
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"later\"\n",
            "kind = \"length\"\ncutter = 0\nmm = 8.0\nwhen = \"before\"\n",
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\nnew = true\n",
            "kind = \"length\"\ncutter = 1\nmm = \"8.0\"\nwhen = \"before\"\n",
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\ntyped = 8\n",
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\ntyped = \"8\u{202e}\"\n",
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\nby = \"\"\n",
            "kind = \"length\"\ncutter = 1\nmm = 8.0\nwhen = \"before\"\ntyped = \"8\\u0020\"\n",
        ] {
            let text = block(own);
            let [piece] = pieces(text.as_bytes()).try_into().unwrap();
            assert_eq!(plain_event::<Event>(&piece.what.unwrap(), &known), None, "{own}");
        }
    }
}
