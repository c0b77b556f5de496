//! Profile text to [`Profile`]: shape first, then each value by the field table, then the values against each other.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::{Spanned, Value};

use super::{FIELDS, Field, Profile, ProfileError, Standing, Stated, spec_of};
use crate::units::clean::{clean, is_slug};

/// The format that is written. A profile that states none is of this one.
pub(super) const FORMAT: i64 = 1;
const FORMAT_KEY: &str = "format";
/// Longest list of files over a life.
const MAX_FILES: usize = 8;

/// Keys that are not numbers.
const TEXT_KEYS: [&str; 2] = ["name", "title"];
const FILES_KEY: &str = "files_mm";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStated {
    value: Value,
    standing: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawFile {
    from_life: Value,
    value: Value,
    standing: String,
    source: String,
}

/// The list of files alone, whatever else the text holds.
#[derive(Deserialize)]
struct FileRows {
    files_mm: Vec<Spanned<RawFile>>,
}

/// Where we are in which file, for messages.
struct Source<'a> {
    file: &'a str,
    text: &'a str,
}

impl Source<'_> {
    fn error(&self, at: usize, key: &str, problem: impl Into<String>) -> ProfileError {
        let line = self.text.as_bytes().iter().take(at).filter(|&&b| b == b'\n').count() + 1;
        ProfileError { file: clean(self.file), line, key: clean(key), problem: problem.into() }
    }
}

pub(super) fn parse(file: &str, text: &str) -> Result<Profile, ProfileError> {
    let source = Source { file, text };
    let raw: BTreeMap<Spanned<String>, Spanned<Value>> = toml::from_str(text).map_err(|error| {
        let at = error.span().map_or(0, |span| span.start);
        source.error(at, "file", format!("this is not a profile: {}.", clean(error.message())))
    })?;
    let mut reader = Reader { source, raw: raw.into_iter().map(|(k, v)| (k.into_inner(), v)).collect() };
    reader.format()?;
    reader.only_known_keys()?;
    let name = reader.name()?;
    let (_, title) = reader.text("title")?;
    let files = reader.files()?;
    let mut stated = Vec::new();
    let mut lines = BTreeMap::new();
    for field in &FIELDS {
        if let Some((at, number)) = reader.number(field)? {
            lines.insert(field.key, at);
            stated.push((field, number));
        }
    }
    check_together(&reader.source, &stated, &lines)?;
    let Some(spec) = spec_of(&stated, &files) else {
        return Err(reader.source.error(0, "file", "a needed key is missing."));
    };
    Ok(Profile { name, title, stated, files, spec })
}

struct Reader<'a> {
    source: Source<'a>,
    /// What is left to read.
    raw: BTreeMap<String, Spanned<Value>>,
}

impl Reader<'_> {
    /// Before the keys: those of a later format may be unknown here.
    fn format(&mut self) -> Result<(), ProfileError> {
        let Some(value) = self.raw.remove(FORMAT_KEY) else { return Ok(()) };
        let problem = match value.get_ref() {
            Value::Integer(FORMAT) => return Ok(()),
            Value::Integer(later) if *later > FORMAT => format!(
                "is of format {later}, and this version reads format {FORMAT}; the file was written by a newer \
                 version of this program."
            ),
            other => format!("{} was read. Allowed: {FORMAT}.", clean(&other.to_string())),
        };
        Err(self.source.error(value.span().start, FORMAT_KEY, problem))
    }

    /// Before anything else, so that a misspelt key is named itself and not the one it was meant to be.
    fn only_known_keys(&self) -> Result<(), ProfileError> {
        let known = |key: &str| TEXT_KEYS.contains(&key) || key == FILES_KEY || FIELDS.iter().any(|f| f.key == key);
        let unknown = self.raw.iter().filter(|(key, _)| !known(key)).min_by_key(|(_, value)| value.span().start);
        let Some((key, value)) = unknown else { return Ok(()) };
        let fields: Vec<&str> = FIELDS.iter().map(|field| field.key).collect();
        let problem = format!("unknown key. Allowed: {}, {FILES_KEY}, {}.", TEXT_KEYS.join(", "), fields.join(", "));
        Err(self.source.error(value.span().start, key, problem))
    }

    fn name(&mut self) -> Result<String, ProfileError> {
        let (at, name) = self.text("name")?;
        if is_slug(&name) {
            return Ok(name);
        }
        let problem = format!("\"{name}\" was read. Allowed: 1 to 40 of a-z, 0-9 and -, not first or last a -.");
        Err(self.source.error(at, "name", problem))
    }

    fn text(&mut self, key: &str) -> Result<(usize, String), ProfileError> {
        let Some(value) = self.raw.remove(key) else {
            return Err(self.source.error(0, key, "missing. A text is needed."));
        };
        let at = value.span().start;
        match value.get_ref() {
            Value::String(text) if !text.trim().is_empty() => Ok((at, clean(text))),
            other => {
                let problem = format!("{} was read. A text is needed.", clean(&other.to_string()));
                Err(self.source.error(at, key, problem))
            }
        }
    }

    fn number(&mut self, field: &'static Field) -> Result<Option<(usize, Stated)>, ProfileError> {
        let Some(value) = self.raw.remove(field.key) else {
            if field.needed {
                let problem = format!("missing. {} is needed, {}.", field.label, allowed(field));
                return Err(self.source.error(0, field.key, problem));
            }
            return Ok(None);
        };
        let at = value.span().start;
        let raw: RawStated = self.shape(at, field.key, value.into_inner(), "{ value, standing, source }")?;
        let stated = self.stated(at, field.key, &raw.value, &raw.standing, &raw.source)?;
        self.in_range(at, field, stated.value)?;
        Ok(Some((at, stated)))
    }

    fn in_range(&self, at: usize, field: &Field, value: f64) -> Result<(), ProfileError> {
        let (low, high) = field.range;
        if (low..=high).contains(&value) {
            return Ok(());
        }
        Err(self.source.error(at, field.key, format!("{} was read, {}.", shown(value), allowed(field))))
    }

    fn shape<T: for<'de> Deserialize<'de>>(
        &self,
        at: usize,
        key: &str,
        value: Value,
        wanted: &str,
    ) -> Result<T, ProfileError> {
        let shown = clean(&value.to_string());
        value.try_into().map_err(|error: toml::de::Error| {
            let why = clean(error.message());
            self.source.error(at, key, format!("{shown} was read. {wanted} is needed ({why})."))
        })
    }

    fn stated(
        &self,
        at: usize,
        key: &str,
        value: &Value,
        standing: &str,
        source: &str,
    ) -> Result<Stated, ProfileError> {
        let number = match value {
            Value::Float(x) if x.is_finite() => *x,
            Value::Integer(n) => *n as f64,
            other => {
                let problem = format!("{} was read. A finite number is needed.", clean(&other.to_string()));
                return Err(self.source.error(at, key, problem));
            }
        };
        let Some(standing) = Standing::ALL.into_iter().find(|s| s.word() == standing) else {
            let words = Standing::ALL.map(Standing::word).join(", ");
            let problem = format!("standing \"{}\" was read. Allowed: {words}.", clean(standing));
            return Err(self.source.error(at, key, problem));
        };
        if source.trim().is_empty() {
            return Err(self.source.error(at, key, "source is empty. Say who states the number, or \"none\"."));
        }
        Ok(Stated { value: number, standing, source: clean(source) })
    }

    fn files(&mut self) -> Result<Vec<(f64, Stated)>, ProfileError> {
        let Some(value) = self.raw.remove(FILES_KEY) else {
            return Err(self.source.error(0, FILES_KEY, "missing. At least one file diameter is needed."));
        };
        let whole = value.span().start;
        // Read again from the text, as only that knows the line of each row.
        let rows: FileRows = toml::from_str(self.source.text).map_err(|error| {
            let at = error.span().map_or(whole, |span| span.start);
            let why = clean(error.message());
            self.source.error(
                at,
                FILES_KEY,
                format!("rows of {{ from_life, value, standing, source }} are needed: {why}."),
            )
        })?;
        let mut files: Vec<(f64, Stated)> = Vec::new();
        for row in &rows.files_mm {
            let (at, file) = (row.span().start, row.get_ref());
            let stated = self.stated(at, FILES_KEY, &file.value, &file.standing, &file.source)?;
            let from = self.stated(at, FILES_KEY, &file.from_life, &file.standing, &file.source)?.value;
            let later = files.last().is_none_or(|(before, _)| from > *before);
            if !(2.0..=10.0).contains(&stated.value) || !(0.0..1.0).contains(&from) || !later {
                let problem = format!(
                    "diameter {} from {} of life was read. Allowed: 2 to 10 mm, from 0 to below 1 of life, each later than the one before.",
                    shown(stated.value),
                    shown(from)
                );
                return Err(self.source.error(at, FILES_KEY, problem));
            }
            files.push((from, stated));
        }
        if files.len() > MAX_FILES || files.first().is_none_or(|(from, _)| *from > 0.0) {
            let problem =
                format!("{} files were read. 1 to {MAX_FILES} are allowed, the first from_life = 0.", files.len());
            return Err(self.source.error(whole, FILES_KEY, problem));
        }
        Ok(files)
    }
}

/// A number in a message; one far too large is not written out in full.
fn shown(value: f64) -> String {
    if value.abs() < 1e6 { value.to_string() } else { format!("{value:e}") }
}

fn allowed(field: &Field) -> String {
    let (low, high) = field.range;
    format!("allowed: {low} to {high} {}", field.unit)
}

/// What a single range cannot see: values that contradict each other.
fn check_together(
    source: &Source<'_>,
    stated: &[(&'static Field, Stated)],
    lines: &BTreeMap<&'static str, usize>,
) -> Result<(), ProfileError> {
    let get = |key: &str| stated.iter().find(|(field, _)| field.key == key).map(|(_, s)| s.value);
    // Each row: the key blamed, the key it is held against, and whether it must be the smaller one.
    let rows = [
        ("mark_length_mm", "new_length_mm", true, false),
        ("reach_mark_mm", "reach_new_mm", false, false),
        ("softwood_gap_mm", "base_gap_mm", false, true),
        ("gap_max_mm", "softwood_gap_mm", false, true),
        ("gap_max_mm", "mark_length_mm", true, false),
        ("due_share", "worth_share", true, true),
    ];
    for (key, other, smaller, or_equal) in rows {
        let (Some(value), Some(bound)) = (get(key), get(other)) else { continue };
        let fine = (or_equal && value.total_cmp(&bound).is_eq()) || if smaller { value < bound } else { value > bound };
        if !fine {
            let relation = if smaller { "below" } else { "above" };
            let equal = if or_equal { "at or " } else { "" };
            let problem = format!("{value} was read. It must be {equal}{relation} {other}, which is {bound}.");
            return Err(source.error(lines.get(key).copied().unwrap_or(0), key, problem));
        }
    }
    let plate = ["plate_foot_mm", "plate_height_mm", "plate_slot_mm"];
    let given: Vec<&str> = plate.into_iter().filter(|key| get(key).is_some()).collect();
    if let (1..=2, Some(key)) = (given.len(), given.first()) {
        let problem = format!("a plate gauge needs all of {}.", plate.join(", "));
        return Err(source.error(lines.get(key).copied().unwrap_or(0), key, problem));
    }
    Ok(())
}
