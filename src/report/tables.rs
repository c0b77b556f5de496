//! Everything as tables for questions: one row per loop, a round, a cutter, a reading, a saw, a person, with keys that join.
//!
//! A column is its name, what it means and how its cell is made, in one place: none can be written and not described. Names
//! are fixed: add, never rename. The tables are to be asked, not read back: an export as JSON Lines is for that.

mod columns;
mod rows;

use strum::{IntoStaticStr, VariantArray};

use crate::report::format::{TEXT_WIDTH, wrap};
use columns::{CUTTERS, LOOPS, PEOPLE, READINGS, ROUNDS, SAWS};
pub(crate) use rows::{CutterRow, LoopRow, PersonRow, ReadingRow, RoundRow, SawRow, key_of, reading, rounds};

/// A column of a table of such rows.
pub(crate) struct Column<T> {
    /// Its name.
    name: &'static str,
    /// What it means, a sentence or two.
    means: &'static str,
    /// The cell of a row; empty where it is not known.
    cell: fn(&T) -> String,
}

/// One of the tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Table {
    /// One row per loop.
    Loops,
    /// One row per round.
    Rounds,
    /// One row per cutter of a round.
    Cutters,
    /// One row per reading.
    Readings,
    /// One row per saw.
    Saws,
    /// One row per person.
    People,
}

/// Questions that the tables answer, each with its SQL.
pub const QUESTIONS: [(&str, &str); 3] = [
    ("Steel lost to uneven filing, by sharpener", include_str!("tables/unevenness.sql")),
    ("Loops due in a month", include_str!("tables/due.sql")),
    ("File against grinder", include_str!("tables/tools.sql")),
];

impl Table {
    /// Name of its file.
    pub fn file(self) -> String {
        format!("{}.csv", <&str>::from(self))
    }

    /// What a row of it is.
    const fn means(self) -> &'static str {
        match self {
            Self::Loops => "one row per loop, those out of care too",
            Self::Rounds => "one row per round, the open one of a loop last",
            Self::Cutters => "one row per cutter of a round, as the round left it",
            Self::Readings => "one row per reading, those that were taken back too",
            Self::Saws => "one row per saw that has a record",
            Self::People => "one row per person who filed, entered something or is listed",
        }
    }

    /// Its columns, each with what it means.
    pub fn columns(self) -> Vec<(&'static str, &'static str)> {
        fn of<T>(columns: &[Column<T>]) -> Vec<(&'static str, &'static str)> {
            columns.iter().map(|column| (column.name, column.means)).collect()
        }
        match self {
            Self::Loops => of(LOOPS),
            Self::Rounds => of(ROUNDS),
            Self::Cutters => of(CUTTERS),
            Self::Readings => of(READINGS),
            Self::Saws => of(SAWS),
            Self::People => of(PEOPLE),
        }
    }

    /// The names of its columns.
    pub(crate) fn header(self) -> Vec<&'static str> {
        self.columns().into_iter().map(|(name, _)| name).collect()
    }
}

/// A row of one of the tables.
pub(crate) trait Cells: Sized + 'static {
    /// Its columns.
    const COLUMNS: &'static [Column<Self>];

    /// Its cells, in the order of the columns.
    fn cells(&self) -> impl Iterator<Item = String> {
        Self::COLUMNS.iter().map(|column| (column.cell)(self))
    }
}

/// What the tables are, what each of their columns means, and the questions, as text.
pub(crate) fn described() -> String {
    let mut lines = wrap(
        "Tables as CSV, to be asked in a spreadsheet or a database. Lengths in mm, angles in degrees, shares from 0 to 1, times \
         as RFC 3339 with the offset of the place; an empty cell is not known. Columns may be added, never renamed.",
        TEXT_WIDTH,
        0,
    );
    for table in Table::VARIANTS {
        lines.extend([String::new(), format!("{}: {}", table.file(), table.means())]);
        for (name, means) in table.columns() {
            const NAME: usize = 20;
            for (at, line) in wrap(means, TEXT_WIDTH - NAME - 2, 0).into_iter().enumerate() {
                lines.push(format!("  {:<NAME$}{line}", if at == 0 { name } else { "" }));
            }
        }
    }
    lines
        .extend([String::new(), "Questions in SQL, as DuckDB reads it, asked in the folder of the tables:".to_owned()]);
    for (question, sql) in QUESTIONS {
        lines.extend([String::new(), format!("{question}:")]);
        lines.extend(sql.trim_end().lines().map(|line| format!("  {line}")));
    }
    lines.into_iter().map(|line| line.trim_end().to_owned() + "\n").collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use unicode_width::UnicodeWidthStr;

    use super::*;

    #[test]
    fn every_column_has_a_name_of_its_own_and_says_what_it_means() {
        let text = described();
        assert!(text.lines().all(|line| line.width() <= TEXT_WIDTH), "{text}");
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for table in Table::VARIANTS {
            let columns = table.columns();
            let names: BTreeSet<&str> = columns.iter().map(|(name, _)| *name).collect();
            assert_eq!(names.len(), columns.len(), "{table:?}");
            for (name, means) in columns {
                assert!(name.len() < 20 && means.len() > 8 && means.ends_with('.'), "{name}: {means}");
                assert!(words.contains(&format!("{name} {means}")), "{name}");
            }
        }
        for (question, sql) in QUESTIONS {
            assert!(words.contains(question) && words.contains(&sql.split_whitespace().collect::<Vec<_>>().join(" ")));
        }
    }
}
