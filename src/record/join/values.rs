//! The values of the fields of one thing (a card, the people, a profile) as several data folders hold them.
//!
//! Of every field each value is kept with the folders that hold it, and whether it stands or somebody put another in its
//! place, by the latest word on it. To join two such sets is to take, value by value, the union of the folders and the later
//! word; what comes of it is the same in whatever order sets are joined, and joining one twice adds nothing. A field of which
//! more than one value stands is a question: all of them are kept until somebody chooses. Which of them is shown meanwhile
//! follows from the values alone.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};
use toml::{Table, Value};

/// Where a field stands: the keys that lead to it.
pub(crate) type Field = Vec<String>;
/// Names of data folders.
pub(crate) type Folders = BTreeSet<String>;

/// What a field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A loop's card.
    Card,
    /// The list of those who file, as a table by name.
    People,
    /// A chain type of one's own.
    Profile,
}

/// Keys of a card that say how its cutters stand: they make sense only together.
const STAND: [&str; 3] = ["links", "sequence", "first"];
/// What they are called as one field.
const CUTTERS: &str = "cutters";
/// The earlier one holds, and nobody is asked.
const CREATED: &str = "created";
/// Why and when a loop left care: one value.
const SCRAPPED: &str = "scrapped";
/// When a row of a list was made. Lists whose rows say it are united row by row.
const AT: &str = "at";
/// That somebody is in the list of people.
const LISTED: &str = "listed";

/// One value of a field.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Held {
    /// Absent where the field was emptied.
    pub value: Option<Value>,
    /// Who holds it.
    pub from: Folders,
    /// When it was last chosen, or another in its place; absent for one that was there from the start.
    pub at: Option<DateTime<Utc>>,
    /// False where another was chosen in its place.
    pub stands: bool,
}

/// A value of a field as it is written down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    field: Field,
    stands: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at: Option<DateTime<Utc>>,
    from: Folders,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    value: Option<Value>,
}

/// What is written down beside the thing itself.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Kept {
    /// Check sums of the texts of the thing that this goes with.
    #[serde(default)]
    pub sums: Vec<String>,
    /// Folders that hold every value for which no row says who does.
    #[serde(default)]
    from: Folders,
    /// A field has rows for all of its values, or none where it has one value that all these folders hold from the start.
    #[serde(default, rename = "value")]
    rows: Vec<Row>,
}

impl Kept {
    /// The same, with a folder under another name.
    pub(crate) fn rename(&mut self, from: &str, to: &str) {
        for folders in std::iter::once(&mut self.from).chain(self.rows.iter_mut().map(|row| &mut row.from)) {
            if from != to && folders.remove(from) {
                folders.insert(to.to_owned());
            }
        }
    }

    /// How many values it tells of.
    pub(crate) const fn count(&self) -> usize {
        self.rows.len()
    }

    /// Of how many fields more than one value stands.
    pub(crate) fn asked(&self) -> usize {
        let mut standing: BTreeMap<&Field, usize> = BTreeMap::new();
        for row in self.rows.iter().filter(|row| row.stands) {
            *standing.entry(&row.field).or_default() += 1;
        }
        standing.values().filter(|count| **count > 1).count()
    }

    /// True where it says no more than that this folder alone holds the thing as it reads.
    pub(crate) fn is_plain(&self, folder: &str) -> bool {
        self.rows.is_empty() && self.from.iter().eq([folder])
    }

    /// True where what is written down here says all that the other does.
    pub(crate) fn says(&self, other: &Self) -> bool {
        self.from == other.from && self.rows == other.rows && other.sums.iter().all(|sum| self.sums.contains(sum))
    }
}

/// A field of which more than one value stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// The keys that lead to it.
    pub field: Vec<String>,
    /// Its values, the one that is shown first.
    pub values: Vec<Choice>,
}

/// A value that can be chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The value; absent where the field was emptied.
    pub value: Option<Value>,
    /// Names of the folders that hold it.
    pub from: BTreeSet<String>,
    /// When it was last chosen.
    pub at: Option<DateTime<Utc>>,
}

/// All values of all fields.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Values {
    kind: Kind,
    /// The folders that hold the thing.
    from: Folders,
    fields: BTreeMap<Field, BTreeMap<String, Held>>,
}

/// What tells a value from others.
fn key(value: Option<&Value>) -> String {
    value.map_or_else(String::new, Value::to_string)
}

/// The fields of a table.
fn flat(kind: Kind, table: &Table) -> BTreeMap<Field, Value> {
    let mut fields = BTreeMap::new();
    for (name, value) in table {
        if kind == Kind::Card && STAND.contains(&name.as_str()) {
            continue;
        }
        match value {
            Value::Table(inner) if kind != Kind::Profile && name != SCRAPPED => {
                fields.extend(inner.iter().map(|(key, value)| (vec![name.clone(), key.clone()], value.clone())));
                if kind == Kind::People {
                    fields.insert(vec![name.clone(), LISTED.to_owned()], Value::Boolean(true));
                }
            }
            value => _ = fields.insert(vec![name.clone()], value.clone()),
        }
    }
    if kind == Kind::Card {
        let stand = STAND.iter().filter_map(|name| Some(((*name).to_owned(), table.get(*name)?.clone())));
        fields.insert(vec![CUTTERS.to_owned()], Value::Table(stand.collect()));
    }
    fields
}

/// The table of fields: the other way of [`flat`].
fn deep(kind: Kind, fields: impl IntoIterator<Item = (Field, Value)>) -> Table {
    let mut table = Table::new();
    for (field, value) in fields {
        match (field.as_slice(), value) {
            ([name], Value::Table(stand)) if kind == Kind::Card && name == CUTTERS => table.extend(stand),
            ([name], value) => _ = table.insert(name.clone(), value),
            ([name, key], value) => {
                let inner = table.entry(name.clone()).or_insert_with(|| Value::Table(Table::new()));
                if let Value::Table(inner) = inner
                    && !(kind == Kind::People && key == LISTED)
                {
                    inner.insert(key.clone(), value);
                }
            }
            _ => {}
        }
    }
    table
}

/// Which of two values that stand is shown: the one chosen later, one before none, the smaller figure, the earlier text.
fn shown_first(a: &Held, b: &Held) -> Ordering {
    let figure = |held: &Held| match held.value {
        Some(Value::Integer(n)) => Some(n as f64),
        Some(Value::Float(x)) => Some(x),
        _ => None,
    };
    let by_value = match (figure(a), figure(b)) {
        (Some(a), Some(b)) => a.total_cmp(&b),
        _ => Ordering::Equal,
    };
    let by_text = || key(a.value.as_ref()).cmp(&key(b.value.as_ref()));
    b.at.cmp(&a.at).then(b.value.is_some().cmp(&a.value.is_some())).then(by_value).then_with(by_text)
}

/// A time in a value.
fn time(value: &Value) -> Option<DateTime<Utc>> {
    Some(DateTime::parse_from_rfc3339(value.as_str()?).ok()?.to_utc())
}

impl Values {
    /// What a folder called `folder` holds: the thing as it reads, and what is written beside it. Where the thing was changed
    /// since by somebody who wrote nothing beside it, what it says now was chosen when it was last written, `changed`.
    pub(crate) fn of(
        kind: Kind,
        table: &Table,
        kept: Option<&Kept>,
        sum: &str,
        (folder, changed): (&str, DateTime<Utc>),
    ) -> Self {
        let none = Kept::default();
        let kept = kept.unwrap_or(&none);
        let here = || Folders::from([folder.to_owned()]);
        let from = if kept.from.is_empty() { here() } else { kept.from.clone() };
        let mut values = Self { kind, from: from.clone(), fields: BTreeMap::new() };
        for row in &kept.rows {
            let Row { field, stands, at, from, value } = row.clone();
            values.fields.entry(field).or_default().insert(key(value.as_ref()), Held { value, from, at, stands });
        }
        let seen = flat(kind, table);
        if !kept.sums.iter().any(|known| known == sum) {
            let latest = kept.rows.iter().filter_map(|row| row.at).max();
            let at = latest.map_or(changed, |latest| changed.max(latest + TimeDelta::seconds(1)));
            let fields: Vec<Field> = values.fields.keys().cloned().collect();
            for field in fields {
                let now = seen.get(&field).cloned();
                if values.shown(&field).map(|held| held.value.clone()).unwrap_or_default() != now {
                    values.set(&field, now, at, folder);
                }
            }
        }
        for (field, value) in seen {
            let held = Held { value: Some(value.clone()), from: from.clone(), at: None, stands: true };
            let of = values.fields.entry(field).or_default();
            if of.is_empty() {
                of.insert(key(Some(&value)), held);
            }
        }
        values
    }

    /// What both hold.
    pub(crate) fn join(&self, other: &Self) -> Self {
        let mut all = self.clone();
        all.from.extend(other.from.iter().cloned());
        for (field, theirs) in &other.fields {
            let of = all.fields.entry(field.clone()).or_default();
            for (key, held) in theirs {
                let Some(mine) = of.get_mut(key) else {
                    of.insert(key.clone(), held.clone());
                    continue;
                };
                mine.from.extend(held.from.iter().cloned());
                // Of two words at the same time the one against it counts: some order is needed, and any will do.
                if (mine.at, !mine.stands) < (held.at, !held.stands) {
                    (mine.at, mine.stands) = (held.at, held.stands);
                }
            }
        }
        all.settle();
        all
    }

    /// What needs no question: the earlier of two beginnings, lists united, a loop that was given back.
    fn settle(&mut self) {
        if self.kind != Kind::Card {
            return;
        }
        if let Some(created) = self.fields.get_mut([CREATED.to_owned()].as_slice()) {
            let order = |held: &&Held| (held.value.as_ref().and_then(time), key(held.value.as_ref()));
            let first = created.values().min_by_key(order).map(|held| key(held.value.as_ref()));
            for (value, held) in created {
                (held.at, held.stands) = (None, Some(value) == first.as_ref());
            }
        }
        for (field, of) in &mut self.fields {
            if field.len() == 1 {
                unite(of);
            }
        }
        self.give_back();
    }

    /// A reason for which the loop was out of care, and that a release names, no longer stands.
    fn give_back(&mut self) {
        let ends: Vec<(Value, DateTime<Utc>)> = self
            .fields
            .iter()
            .filter(|(field, _)| field.len() == 1)
            .flat_map(|(_, of)| of.values().filter_map(|held| held.value.as_ref()?.as_array()))
            .flatten()
            .filter_map(|row| Some((row.get(SCRAPPED)?.clone(), time(row.get(AT)?)?)))
            .collect();
        let Some(of) = self.fields.get_mut([SCRAPPED.to_owned()].as_slice()) else { return };
        for held in of.values_mut() {
            let ended = ends.iter().filter(|(value, _)| Some(value) == held.value.as_ref()).map(|(_, at)| *at).max();
            if let Some(at) = ended.filter(|at| held.at.is_none_or(|known| known <= *at)) {
                (held.at, held.stands) = (Some(at), false);
            }
        }
    }

    /// The value of a field that is shown; nothing where none stands.
    fn shown(&self, field: &[String]) -> Option<&Held> {
        self.fields.get(field)?.values().filter(|held| held.stands).min_by(|a, b| shown_first(a, b))
    }

    /// The thing as it is shown.
    pub(crate) fn table(&self) -> Table {
        let shown = |field: &Field| Some((field.clone(), self.shown(field)?.value.clone()?));
        deep(self.kind, self.fields.keys().filter_map(shown).collect::<Vec<_>>())
    }

    /// The fields of which more than one value stands.
    pub(crate) fn open(&self) -> Vec<Open> {
        let open = |(field, of): (&Field, &BTreeMap<String, Held>)| {
            let mut standing: Vec<&Held> = of.values().filter(|held| held.stands).collect();
            standing.sort_by(|a, b| shown_first(a, b));
            let choice = |held: &Held| Choice { value: held.value.clone(), from: held.from.clone(), at: held.at };
            let values = standing.into_iter().map(choice).collect::<Vec<_>>();
            (values.len() > 1).then(|| Open { field: field.clone(), values })
        };
        self.fields.iter().filter_map(open).collect()
    }

    /// Chooses a value of a field, in place of all others.
    pub(crate) fn set(&mut self, field: &[String], value: Option<Value>, at: DateTime<Utc>, folder: &str) {
        let of = self.fields.entry(field.to_vec()).or_default();
        let chosen = key(value.as_ref());
        for (_, held) in of.iter_mut().filter(|(key, held)| held.stands && **key != chosen) {
            (held.at, held.stands) = (Some(at), false);
        }
        let new = || Held { value, from: Folders::new(), at: None, stands: true };
        let held = of.entry(chosen).or_insert_with(new);
        held.from.insert(folder.to_owned());
        (held.at, held.stands) = (Some(at), true);
    }

    /// Takes every field that differs from one table to the next as set at that time.
    pub(crate) fn changed(&mut self, after: &Table, at: DateTime<Utc>, folder: &str) {
        let (before, after) = (flat(self.kind, &self.table()), flat(self.kind, after));
        let fields: BTreeSet<&Field> = before.keys().chain(after.keys()).collect();
        for field in fields {
            if before.get(field) != after.get(field) {
                self.set(field, after.get(field).cloned(), at, folder);
            }
        }
        // Rows that were added to a list take nothing away from it.
        self.settle();
    }

    /// What is to be written beside the thing, whose text has these check sums.
    pub(crate) fn kept(&self, sums: Vec<String>) -> Kept {
        let plain = |held: &Held| held.stands && held.at.is_none() && held.from == self.from;
        let told = |of: &BTreeMap<String, Held>| of.len() > 1 || !of.values().all(plain);
        let rows = self.fields.iter().filter(|(_, of)| told(of)).flat_map(|(field, of)| {
            of.values().map(|held| {
                let Held { value, from, at, stands } = held.clone();
                Row { field: field.clone(), stands, at, from, value }
            })
        });
        Kept { sums, from: self.from.clone(), rows: rows.collect() }
    }

    /// When a loop came into care, as its card has it.
    pub(crate) fn created(&self) -> Option<String> {
        let created = self.shown(&[CREATED.to_owned()])?.value.as_ref()?;
        Some(created.as_str()?.to_owned())
    }

    /// True where it is known that a loop came into care at that time, too.
    pub(crate) fn knows_created(&self, created: &str) -> bool {
        let of = self.fields.get([CREATED.to_owned()].as_slice());
        of.is_some_and(|of| of.values().any(|held| held.value.as_ref().and_then(Value::as_str) == Some(created)))
    }
}

/// Makes one list of several whose rows all say when they were made, in that order.
fn unite(of: &mut BTreeMap<String, Held>) {
    let said = |held: &Held| {
        let rows = held.value.as_ref()?.as_array()?;
        rows.iter().all(|row| row.get(AT).and_then(time).is_some()).then(|| rows.clone())
    };
    let Some(lists) = of.values().map(said).collect::<Option<Vec<_>>>() else { return };
    let mut rows: Vec<Value> = lists.into_iter().flatten().collect();
    rows.sort_by_cached_key(|row| (row.get(AT).and_then(time), row.to_string()));
    rows.dedup();
    let (from, at) = of.values().fold((Folders::new(), None), |(mut from, at), held| {
        from.extend(held.from.iter().cloned());
        (from, at.max(held.at))
    });
    let value = Some(Value::Array(rows));
    *of = BTreeMap::from([(key(value.as_ref()), Held { value, from, at, stands: true })]);
}
