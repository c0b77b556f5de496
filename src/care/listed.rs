//! The rows of the rack as a list to print, filtered and put in order as the rack does it.

use chrono::{DateTime, FixedOffset};

use super::life::sentences;
use super::rows::{Filter, Row, Sort, rows_of};
use super::{Standing, Workshop};
use crate::advice::Agreement;
use crate::report::data::Number;
use crate::report::loops::{Asked, LoopPart, Loops};
use crate::report::status::StatusPart;
use crate::units::clean::clean;

/// What is asked of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listing {
    /// Which loops.
    pub filter: Filter,
    /// In which order.
    pub sort: Sort,
    /// Only those whose name, owner, saw or tag contain this; all where it is empty.
    pub find: String,
}

impl Row {
    /// The row as reports tell it.
    pub(super) fn part(&self) -> LoopPart {
        let ready = self.state == Standing::Ready;
        let said = |text: &str| Some(clean(text)).filter(|text| !text.is_empty());
        LoopPart {
            tag: self.tag.clone(),
            name: self.name.clone(),
            owner: self.owner.clone(),
            saw: self.saw.clone(),
            chain: clean(&self.chain),
            profile: self.profile.clone(),
            links: self.links,
            state: self.state,
            open: self.open,
            status: self.status.as_ref().map(StatusPart::from),
            life_left: self.left.map(Number),
            stage: self.stage,
            last: self.last.map(|last| last.to_rfc3339()),
            next: self.next.filter(|_| ready).map(|next| next.to_rfc3339()),
            due: self.due && ready,
            promise: self.promise.clone(),
            promised: self.visit.promised,
            overdue: self.overdue,
            brought: self.visit.brought,
            brought_by: said(&self.visit.brought_by),
            fetched: self.visit.fetched,
            fetched_by: said(&self.visit.fetched_by),
            cut: self.cut,
            saw_hint: self.saw_says.hint.clone(),
            next_on_saw: self.saw_says.next,
            runs_first: self.saw_says.first.clone(),
        }
    }
}

impl Workshop {
    /// The loops as the rack shows them at that time. Only reads.
    pub fn listed(&self, listing: &Listing, now: DateTime<FixedOffset>) -> Loops {
        let found = self.shelves();
        let (profiles, at_fault) = self.profiles_of(&found.shelves);
        let rows = rows_of(&found.shelves, &profiles, &found.saws.saws, now);
        let people = self.people_at_fault();
        let problems = found.problems.iter().chain(&found.saws.problems).chain(&at_fault).chain(&people);
        let not_read = sentences(problems);
        let (open, cut) = (rows.iter().filter(|row| row.is_open()).count(), all_cut(&rows));
        let (filter, sort, wanted) = (listing.filter, listing.sort, listing.find.trim().to_lowercase());
        let mut shown: Vec<&Row> = rows.iter().filter(|row| filter.takes(row) && row.holds(&wanted)).collect();
        shown.sort_by(|a, b| sort.order(a, b));
        let asked = Asked {
            filter: filter.into(),
            order: sort.into(),
            find: clean(&listing.find),
            heading: filter.word(),
            by: sort.word(),
        };
        let shown = shown.into_iter().map(Row::part).collect();
        Loops::new(asked, shown, rows.len(), open, cut).without(not_read).with_demo(self.rack.is_demo())
    }
}

/// How often the loops of the whole workshop cut as their sheets had said.
fn all_cut(rows: &[Row]) -> Agreement {
    rows.iter().fold(Agreement::default(), |sum, row| sum.and(row.cut))
}
