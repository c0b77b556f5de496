//! Profile text to [`Profile`]: shape first, then each value by the field table, then the values against each other.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::{Spanned, Value};

use super::{FIELDS, Field, Profile, ProfileError, Standing, Stated, spec_of};
use crate::units::clean::clean;

/// Longest list of files over a life.
const MAX_FILES: usize = 8;

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
    let name = reader.text("name")?;
    check_slug(&reader, &name)?;
    let title = reader.text("title")?;
    let files = reader.files()?;
    let mut stated = Vec::new();
    let mut lines = BTreeMap::new();
    for field in &FIELDS {
        if let Some((at, number)) = reader.number(field)? {
            lines.insert(field.key, at);
            stated.push((field, number));
        }
    }
    if let Some((key, value)) = reader.raw.iter().next() {
        let allowed: Vec<&str> = FIELDS.iter().map(|field| field.key).collect();
        return Err(reader.source.error(
            value.span().start,
            key,
            format!("unknown key. Allowed are name, title, files_mm, {}.", allowed.join(", ")),
        ));
    }
    check_together(&reader.source, &stated, &lines)?;
    let Some(spec) = spec_of(&stated, &files) else {
        return Err(reader.source.error(0, "file", "a needed key is missing."));
    };
    Ok(Profile { name, title, stated, files, spec })
}

struct Reader<'a> {
    source: Source<'a>,
    /// What is left to read; a key that stays is unknown.
    raw: BTreeMap<String, Spanned<Value>>,
}

impl Reader<'_> {
    fn text(&mut self, key: &str) -> Result<String, ProfileError> {
        let Some(value) = self.raw.remove(key) else {
            return Err(self.source.error(0, key, "missing. A text is needed."));
        };
        match value.get_ref() {
            Value::String(text) if !text.trim().is_empty() => Ok(clean(text)),
            other => Err(self.source.error(value.span().start, key, format!("{other} was read. A text is needed."))),
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
        Err(self.source.error(at, field.key, format!("{value} was read, {}.", allowed(field))))
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
            // Profiles hold small counts of millimetres; the range check that follows refuses anything large.
            Value::Integer(n) => i32::try_from(*n).map_or(f64::MAX, f64::from),
            other => {
                let problem = format!("{} was read. A finite number is needed.", clean(&other.to_string()));
                return Err(self.source.error(at, key, problem));
            }
        };
        let Some(standing) = Standing::ALL.into_iter().find(|s| s.word() == standing) else {
            let words = Standing::ALL.map(Standing::word).join(", ");
            let problem = format!("standing \"{}\" was read. Allowed are {words}.", clean(standing));
            return Err(self.source.error(at, key, problem));
        };
        if source.trim().is_empty() {
            return Err(self.source.error(at, key, "source is empty. Say who states the number, or \"none\"."));
        }
        Ok(Stated { value: number, standing, source: clean(source) })
    }

    fn files(&mut self) -> Result<Vec<(f64, Stated)>, ProfileError> {
        let key = "files_mm";
        let Some(value) = self.raw.remove(key) else {
            return Err(self.source.error(0, key, "missing. At least one file diameter is needed."));
        };
        let at = value.span().start;
        let wanted = "a list of { from_life, value, standing, source }";
        let raw: Vec<RawFile> = self.shape(at, key, value.into_inner(), wanted)?;
        let mut files: Vec<(f64, Stated)> = Vec::new();
        for file in &raw {
            let stated = self.stated(at, key, &file.value, &file.standing, &file.source)?;
            let from = self.stated(at, key, &file.from_life, &file.standing, &file.source)?.value;
            let later = files.last().is_none_or(|(before, _)| from > *before);
            if !(2.0..=10.0).contains(&stated.value) || !(0.0..1.0).contains(&from) || !later {
                let problem = format!(
                    "diameter {} from {from} of life was read. Allowed are 2 to 10 mm, from 0 to below 1 of life, each later than the one before.",
                    stated.value
                );
                return Err(self.source.error(at, key, problem));
            }
            files.push((from, stated));
        }
        if files.len() > MAX_FILES || files.first().is_none_or(|(from, _)| *from > 0.0) {
            let problem =
                format!("{} files were read. 1 to {MAX_FILES} are allowed, the first from_life = 0.", raw.len());
            return Err(self.source.error(at, key, problem));
        }
        Ok(files)
    }
}

fn allowed(field: &Field) -> String {
    let (low, high) = field.range;
    format!("allowed are {low} to {high} {}", field.unit)
}

fn check_slug(reader: &Reader<'_>, name: &str) -> Result<(), ProfileError> {
    if crate::units::clean::is_slug(name) {
        return Ok(());
    }
    Err(reader.source.error(0, "name", format!("\"{name}\" was read. Allowed are 1 to 40 of a-z, 0-9 and -.")))
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
