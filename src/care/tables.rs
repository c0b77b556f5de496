//! The data folder as tables for questions, written file by file into a folder elsewhere. Only reads what it tells of.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use strum::VariantArray;

use super::life::sentences;
use super::rows::rows_of;
use super::{RackError, Row, Workshop};
use crate::record::{Shelf, files};
use crate::report::tables::{
    Cells, CutterRow, LoopRow, PersonRow, ReadingRow, RoundRow, SawRow, Table, key_of, reading, rounds,
};
use crate::round::{Round, Summary};
use crate::units::clean::{clean, slug};

/// Tables as they were written.
#[derive(Debug, Default)]
pub struct Told {
    /// Each table with how many rows it has.
    pub rows: Vec<(Table, usize)>,
    /// Files that they had to do without, each in a sentence.
    pub not_read: Vec<String>,
}

/// A table that is being written.
struct Sheet<'a> {
    to: csv::Writer<&'a mut dyn Write>,
    rows: usize,
}

impl Sheet<'_> {
    fn put(&mut self, row: &impl Cells) -> io::Result<()> {
        self.rows += 1;
        Ok(self.to.write_record(row.cells())?)
    }
}

/// Takes a round, with its loop, its key and the people to add to.
type Take<'a> = dyn FnMut(&str, &str, &Round, &mut BTreeSet<String>) -> io::Result<()> + 'a;

/// What all tables are made from.
struct Source<'a> {
    care: &'a Workshop,
    shelves: Vec<Shelf>,
    rows: Vec<Row>,
    saws: Vec<String>,
    /// Everybody who is named as the tables are written.
    people: BTreeSet<String>,
    problems: Vec<(PathBuf, RackError)>,
}

impl Workshop {
    /// Writes every table into a folder, which is made where it is not there, over those that stand there.
    ///
    /// # Errors
    /// The folder or a file in it cannot be written. What of the data folder could not be read is told.
    pub fn write_tables(&self, folder: &Path, now: DateTime<FixedOffset>) -> Result<Told, RackError> {
        let found = self.shelves();
        if found.stopped {
            return Err(RackError::Stopped);
        }
        let (profiles, at_fault) = self.profiles_of(&found.shelves);
        let rows = rows_of(&found.shelves, &profiles, &found.saws.saws, now);
        let problems = found.problems.into_iter().chain(found.saws.problems).chain(at_fault).collect();
        let (names, people) = (found.saws.saws.into_keys().collect(), BTreeSet::new());
        let mut from = Source { care: self, shelves: found.shelves, rows, saws: names, people, problems };
        let mut told = Told::default();
        files::create_folder(folder)?;
        for table in Table::VARIANTS {
            let written = files::replace_with(&folder.join(table.file()), |out| {
                let mut sheet = Sheet { to: csv::Writer::from_writer(out), rows: 0 };
                sheet.to.write_record(table.header())?;
                from.write(*table, &mut sheet)?;
                sheet.to.flush()?;
                Ok(sheet.rows)
            });
            told.rows.push((*table, written?));
        }
        told.not_read = sentences(&from.problems);
        Ok(told)
    }
}

impl Source<'_> {
    fn write(&mut self, table: Table, sheet: &mut Sheet<'_>) -> io::Result<()> {
        match table {
            Table::Loops => self.loops(sheet),
            Table::Rounds => self.rounds(sheet),
            Table::Cutters => self.each_round(&mut |tag, key, round, _| {
                let row = |cutter| CutterRow { tag: tag.to_owned(), round: key.to_owned(), cutter };
                round.cutters.iter().cloned().try_for_each(|cutter| sheet.put(&row(cutter)))
            }),
            Table::Readings => self.each_round(&mut |tag, key, round, people| {
                let read = round.entries.iter().filter(|entry| reading(&entry.event).is_some());
                for entry in read.cloned() {
                    let by = clean(entry.by.as_deref().unwrap_or(&round.header.sharpener));
                    people.insert(by.clone());
                    let is_voided = round.is_voided(entry.seq);
                    sheet.put(&ReadingRow { tag: tag.to_owned(), round: key.to_owned(), entry, by, is_voided })?;
                }
                Ok(())
            }),
            Table::Saws => self.saws(sheet),
            Table::People => self.people(sheet),
        }
    }

    fn loops(&self, sheet: &mut Sheet<'_>) -> io::Result<()> {
        for (shelf, row) in self.shelves.iter().zip(&self.rows) {
            let card = shelf.card.clone();
            let saw = slug(&card.saw).filter(|_| !card.saw.is_empty());
            sheet.put(&LoopRow { part: row.part(), card, saw, rounds: shelf.rounds })?;
        }
        Ok(())
    }

    fn rounds(&mut self, sheet: &mut Sheet<'_>) -> io::Result<()> {
        for shelf in &self.shelves {
            let tag = &shelf.card.tag;
            match self.care.rack.history(tag) {
                Err(error) => self.problems.push((self.care.rack.root().join("loops").join(tag), error)),
                Ok((history, problems)) => {
                    self.problems.extend(problems);
                    // The open one comes last: no wear is counted from it.
                    let all = history.closed().chain(history.open());
                    let all: Vec<Summary> = all.map(|row| row.summary.clone()).collect();
                    self.people.extend(all.iter().map(|round| clean(&round.sharpener)));
                    rounds(tag, &all).try_for_each(|row: RoundRow| sheet.put(&row))?;
                }
            }
        }
        Ok(())
    }

    /// Hands over each round that can be read, with its loop, its key and the people to add to.
    fn each_round(&mut self, take: &mut Take<'_>) -> io::Result<()> {
        let rack = &self.care.rack;
        for (done, shelf) in self.shelves.iter().enumerate() {
            let tag = &shelf.card.tag;
            let paths = rack.rounds(tag).unwrap_or_else(|error| {
                self.problems.push((rack.root().join("loops").join(tag), error));
                Vec::new()
            });
            for path in paths {
                if !self.care.ear.hear("loops written", done, self.shelves.len()) {
                    return Err(io::Error::other("stopped"));
                }
                match rack.read_round(&path) {
                    Err(error) => self.problems.push((path, error)),
                    Ok(round) => take(tag, &key_of(tag, round.header.started), &round, &mut self.people)?,
                }
            }
        }
        Ok(())
    }

    fn saws(&mut self, sheet: &mut Sheet<'_>) -> io::Result<()> {
        for name in &self.saws {
            let (saw, problems) = self.care.rack.saw_and_problems(name);
            self.problems.extend(problems);
            saw.into_iter().try_for_each(|saw| sheet.put(&SawRow { saw }))?;
        }
        Ok(())
    }

    fn people(&mut self, sheet: &mut Sheet<'_>) -> io::Result<()> {
        let listed = self.care.rack.sharpeners().unwrap_or_else(|error| {
            self.problems.push((self.care.rack.sharpeners_path(), error));
            Vec::new()
        });
        self.people.extend(listed.iter().map(|person| person.name.clone()));
        for name in &self.people {
            let listed = listed.iter().find(|person| person.name == *name).cloned();
            sheet.put(&PersonRow { name: name.clone(), listed })?;
        }
        Ok(())
    }
}
