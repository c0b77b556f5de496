//! Bringing a history up to date: rounds that must be read again, and how the loop stands after them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use uuid::Uuid;

use super::{FILINGS_OF, FORMAT, History, Row, Stamp, Standing, read_round};
use crate::advice::{self, Context, Status, cut, slope};
use crate::chain::Rule;
use crate::record::RackError;
use crate::record::basis::{Basis, Known};
use crate::record::data_dir::{Order, round_order};
use crate::round::card::Prices;
use crate::round::rule::RuleFrom;
use crate::round::summary::last_cutters;
use crate::round::{Closing, Cut, LastCutter, Past, Round, Summary};

/// A history in the making.
pub(super) struct Work<'a> {
    folder: &'a Path,
    tag: &'a str,
    /// Saw that the loop's card names.
    saw: &'a str,
    known: &'a Known<'a>,
    old: &'a History,
    rows: Vec<Row>,
    /// The signed ones among them, in order.
    signed: BTreeSet<Order>,
    pub(super) problems: Vec<(PathBuf, RackError)>,
    /// The latest signed round among those read, kept for its cutters.
    last: Option<(String, Vec<LastCutter>)>,
    /// The latest round among those read: the loop's status rests on it.
    newest: Option<(String, Round)>,
    /// A round that was read before could not be read again: what was to come of it must not be kept as if it were known.
    pub(super) shaken: bool,
}

/// How the loop stands after its newest round: the saw that this names, what the status rests on, the status, the rule that its gaps fit.
#[derive(Default)]
struct Judged {
    saw: String,
    basis: Basis,
    status: Option<Status>,
    fits: Option<Rule>,
}

impl<'a> Work<'a> {
    /// Of a loop's folder, its tag, the saw that its card names, and its history as it was.
    pub(super) const fn new(
        (folder, tag, saw): (&'a Path, &'a str, &'a str),
        known: &'a Known<'a>,
        old: &'a History,
    ) -> Self {
        Self {
            folder,
            tag,
            saw,
            known,
            old,
            rows: Vec::new(),
            signed: BTreeSet::new(),
            problems: Vec::new(),
            last: None,
            newest: None,
            shaken: false,
        }
    }

    /// A round in short.
    pub(super) fn keep(&mut self, row: Row) {
        if row.summary.how == Some(Closing::Signed) {
            self.signed.insert(round_order(&row.file));
        }
        self.rows.push(row);
    }

    /// A round that is among the rows, once more; where that fails it is told.
    fn again(&mut self, file: &str) -> Option<Round> {
        if let Some((_, round)) = self.newest.take_if(|(newest, _)| newest == file) {
            return Some(round);
        }
        let path = self.folder.join(file);
        read_round(&path)
            .map_err(|error| {
                self.shaken = true;
                self.problems.push((path, error));
            })
            .ok()
    }

    /// A round that must be read again.
    pub(super) fn take(&mut self, file: String, stamp: Stamp, id: Option<Uuid>) {
        let path = self.folder.join(&file);
        let round = match read_round(&path) {
            Ok(round) if round.header.tag == self.tag => round,
            Ok(round) => {
                let fault = format!("`loop` is {}, but the file lies with loop {}", round.header.tag, self.tag);
                return self.problems.push((path.clone(), RackError::line(&path, 1, &fault)));
            }
            Err(error) => return self.problems.push((path, error)),
        };
        let mut summary = Summary::of(&round);
        summary.gap_loss = Some(slope::loss(&round, &self.last_before(&file))).filter(|loss| loss.pairs > 0);
        let signed = round.closed == Some(Closing::Signed);
        if signed {
            summary.promised = self.promised(&round, &file);
        }
        let later = self.last.as_ref().is_none_or(|(known, _)| round_order(&file) > round_order(known));
        if signed && later {
            self.last = Some((file.clone(), last_cutters(&round)));
        }
        let open = round.closed.is_none().then(|| Standing {
            phase: round.phase(),
            paused: round.paused,
            entries: round.entries.len(),
        });
        if self.newest.as_ref().is_none_or(|(newest, _)| round_order(&file) > round_order(newest)) {
            self.newest = Some((file.clone(), round));
        }
        self.keep(Row { file, stamp, id, open, summary });
    }

    /// What the sheet of a round leads one to expect of the cut.
    fn promised(&mut self, round: &Round, file: &str) -> Option<Cut> {
        let saw = if round.header.saw.is_empty() { self.saw } else { &round.header.saw };
        let basis = self.known.basis(&round.header.sharpener, saw);
        let past = Past { last: self.last_before(file), ..Past::default() };
        let (skill, prices) = (basis.sharpener().skill(), Prices::default());
        let ctx = Context { round, past: &past, skill: &skill, prices: &prices, tension: basis.tension() };
        advice::promised(&ctx)
    }

    /// The cutters as the last signed round before that file left them; none where no round before it is signed or readable.
    fn last_before(&mut self, file: &str) -> Vec<LastCutter> {
        let Some((.., before)) = self.signed.range(..round_order(file)).next_back().cloned() else {
            return Vec::new();
        };
        match &self.last {
            Some((name, last)) if *name == before => last.clone(),
            _ if self.old.last_from == before => self.old.last.clone(),
            _ => self.again(&before).map(|round| last_cutters(&round)).unwrap_or_default(),
        }
    }

    /// How the loop stands after the newest of these rounds, and what that rests on.
    fn status(&mut self, rows: &[Row]) -> Judged {
        let Some((newest, before)) = rows.split_last() else { return Judged::default() };
        let (known, named) = (self.known, self.saw);
        let on = |saw: &str| known.basis(&newest.summary.sharpener, if saw.is_empty() { named } else { saw });
        let old = self.old;
        if *old.rows == *rows && old.basis == on(&old.saw) {
            return Judged {
                saw: old.saw.clone(),
                basis: old.basis.clone(),
                status: old.status.clone(),
                fits: old.fits,
            };
        }
        let Some(round) = self.again(&newest.file) else { return Judged::default() };
        let basis = on(&round.header.saw);
        let rounds = before.iter().filter(|row| row.open.is_none()).map(|row| row.summary.clone()).collect();
        let past = Past { rounds, last: self.last_before(&newest.file), ..Past::default() };
        let (skill, prices) = (basis.sharpener().skill(), Prices::default());
        let ctx = Context { round: &round, past: &past, skill: &skill, prices: &prices, tension: basis.tension() };
        let status = Some(advice::status(&ctx));
        let fits = match round.rule_and_source() {
            (rule, RuleFrom::Fits) => Some(rule),
            _ => None,
        };
        Judged { saw: round.header.saw, basis, status, fits }
    }

    /// The history that comes of the rounds kept and taken.
    pub(super) fn finish(&mut self) -> History {
        let old = self.old;
        let mut rows = std::mem::take(&mut self.rows);
        rows.sort_by_cached_key(|row| round_order(&row.file));
        cut::settle(rows.iter_mut().map(|row| &mut row.summary));
        let old_ones = rows.len().saturating_sub(FILINGS_OF);
        for row in &mut rows[..old_ones] {
            row.summary.filings = Vec::new();
        }
        let signed = rows.iter().rev().find(|row| row.summary.how == Some(Closing::Signed));
        let (last_from, last) = match (signed, self.last.take()) {
            (None, _) => (String::new(), Vec::new()),
            (Some(row), Some((file, last))) if row.file == file => (file, last),
            (Some(row), _) if row.file == old.last_from => (old.last_from.clone(), old.last.clone()),
            (Some(row), _) => {
                let file = row.file.clone();
                let round = self.again(&file);
                (file, round.map(|round| last_cutters(&round)).unwrap_or_default())
            }
        };
        let Judged { saw, basis, status, fits } = self.status(&rows);
        History { format: FORMAT, last_from, last, saw, basis, status, fits, rows }
    }
}
