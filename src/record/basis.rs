//! What a kept status rests on beside its rounds: the figures of who filed, and the tension of the loop's saw.
//!
//! A status that was kept is believed while both are as they were; else it is made anew.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::saws::SawGlances;
use super::{Sharpener, people, saws};
use crate::saw::{Grade, Saw};
use crate::units::clean::{clean, slug};

/// What a status was made with.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Basis {
    /// Who filed, with their own figures.
    sharpener: Sharpener,
    /// Name of the saw; empty where none is named.
    saw: String,
    /// The latest word on its tension.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tension: Option<Grade>,
}

impl Basis {
    /// Who filed, with their own figures.
    pub(super) const fn sharpener(&self) -> &Sharpener {
        &self.sharpener
    }

    /// The latest word on the tension of the saw.
    pub(super) const fn tension(&self) -> Option<Grade> {
        self.tension
    }
}

/// What is known of people and saws now. What cannot be read is not known; where it is asked for itself, that is told.
pub(super) struct Known<'a> {
    root: &'a Path,
    people: Vec<Sharpener>,
    /// Tension by the saw's tag; `None`: each saw is read when it is asked for.
    saws: Option<BTreeMap<String, Option<Grade>>>,
}

impl<'a> Known<'a> {
    /// For one loop.
    pub(super) fn of(root: &'a Path) -> Self {
        Self { root, people: people::read(root).unwrap_or_default(), saws: None }
    }

    /// For many loops, with the saws at a glance.
    pub(super) fn of_all(root: &'a Path, saws: &SawGlances) -> Self {
        let saws = saws.saws.iter().map(|(tag, glance)| (tag.clone(), glance.tension)).collect();
        Self { saws: Some(saws), ..Self::of(root) }
    }

    /// What a status of these hands' round on that saw rests on now.
    pub(super) fn basis(&self, sharpener: &str, saw: &str) -> Basis {
        let known = self.people.iter().find(|person| person.name == sharpener).cloned();
        let sharpener = known.unwrap_or_else(|| Sharpener { name: sharpener.to_owned(), ..Sharpener::default() });
        Basis { sharpener, saw: saw.to_owned(), tension: self.tension(saw) }
    }

    /// True while it is as it was.
    pub(super) fn holds(&self, basis: &Basis) -> bool {
        *basis == self.basis(&basis.sharpener.name, &basis.saw)
    }

    fn tension(&self, saw: &str) -> Option<Grade> {
        let Some(saws) = &self.saws else {
            return saws::named(self.root, saw).ok().flatten().as_ref().and_then(Saw::tension);
        };
        saws.get(&slug(&clean(saw))?).copied().flatten()
    }
}
