//! What two windows did to one small file: field by field, held against what the one that writes had read.
//!
//! A field that only one of them changed is as that one left it. Rows that both added to a list are all kept. Where both
//! changed the same field to different values, what stands on the disk stays, and both values are told.

use serde::Serialize;
use serde::de::DeserializeOwned;
use toml::{Table, Value};

use super::RecordError;
use crate::units::clean::clean;

/// A field that another window changed after it was read here; its value was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// Its name, those of tables before it: `own.new_length_mm`.
    pub field: String,
    /// What stands on the disk; empty where it was taken away.
    pub theirs: String,
    /// What was to be written here, where that is something else again.
    pub mine: Option<String>,
}

/// What comes of the three, and what others had changed. Fields named together in `units` make sense only together: they are
/// taken from one side or the other.
pub(crate) fn merge<T: Serialize + DeserializeOwned>(
    read: &T,
    wish: &T,
    disk: &T,
    units: &[&[&str]],
) -> Result<(T, Vec<Changed>), RecordError> {
    let unwritable = |error: &dyn std::fmt::Display| RecordError::Unwritable { what: clean(&error.to_string()) };
    let table = |value: &T| Table::try_from(value).map_err(|error| unwritable(&error));
    let (read, mut wish, disk) = (table(read)?, table(wish)?, table(disk)?);
    let mut changed = Vec::new();
    for unit in units {
        let is = |a: &Table, b: &Table| unit.iter().all(|key| a.get(*key) == b.get(*key));
        if is(&disk, &read) || is(&wish, &read) || is(&disk, &wish) {
            continue;
        }
        for key in *unit {
            let (theirs, mine) = (disk.get(*key), wish.get(*key));
            if theirs != mine {
                let mine = Some(shown(mine));
                changed.push(Changed { field: (*key).to_owned(), theirs: shown(theirs), mine });
            }
            put(&mut wish, key, theirs.cloned());
        }
    }
    let merged = tables(&read, wish, &disk, "", &mut changed);
    let merged = merged.try_into().map_err(|error| unwritable(&error))?;
    Ok((merged, changed))
}

fn put(table: &mut Table, key: &str, value: Option<Value>) {
    match value {
        Some(value) => _ = table.insert(key.to_owned(), value),
        None => _ = table.remove(key),
    }
}

fn tables(read: &Table, mut wish: Table, disk: &Table, above: &str, changed: &mut Vec<Changed>) -> Table {
    let mut keys: Vec<String> = read.keys().chain(wish.keys()).chain(disk.keys()).cloned().collect();
    keys.sort();
    keys.dedup();
    for key in keys {
        let (was, mine, theirs) = (read.get(&key), wish.get(&key), disk.get(&key));
        if theirs == was || theirs == mine {
            continue;
        }
        let field = if above.is_empty() { key.clone() } else { format!("{above}.{key}") };
        let all = [was, mine, theirs];
        let is_table = all.iter().all(|value| value.is_none_or(Value::is_table)) && key != SCRAPPED;
        let merged = if is_table {
            let table = |value: Option<&Value>| value.and_then(Value::as_table).cloned().unwrap_or_default();
            let merged = tables(&table(was), table(mine), &table(theirs), &field, changed);
            Some(Value::Table(merged)).filter(|merged| merged.as_table().is_some_and(|table| !table.is_empty()))
        } else if let Some(all) = added(was, mine, theirs) {
            changed.push(Changed { field, theirs: shown(theirs), mine: None });
            Some(Value::Array(all))
        } else {
            let mine = Some(shown(mine)).filter(|_| mine != was);
            changed.push(Changed { field, theirs: shown(theirs), mine });
            theirs.cloned()
        };
        put(&mut wish, &key, merged);
    }
    wish
}

/// A loop is out of care with its reason, or it is not.
const SCRAPPED: &str = "scrapped";

/// The rows of a list to which both added: those of before, theirs, and those of here.
fn added(was: Option<&Value>, mine: Option<&Value>, theirs: Option<&Value>) -> Option<Vec<Value>> {
    let rows = |value: Option<&Value>| match value {
        None => Some(Vec::new()),
        Some(Value::Array(rows)) => Some(rows.clone()),
        Some(_) => None,
    };
    let (was, mine, theirs) = (rows(was)?, rows(mine)?, rows(theirs)?);
    let new = mine.strip_prefix(was.as_slice())?;
    theirs.starts_with(&was).then(|| theirs.iter().chain(new).cloned().collect())
}

fn shown(value: Option<&Value>) -> String {
    match value {
        None => String::new(),
        Some(Value::String(text)) => clean(text),
        Some(Value::Boolean(on)) => (if *on { "on" } else { "off" }).to_owned(),
        Some(Value::Table(table)) => shown(table.get("reason")),
        Some(Value::Array(rows)) => format!("{} rows", rows.len()),
        Some(other) => clean(&other.to_string()),
    }
}
