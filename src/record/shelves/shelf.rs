//! One loop at a glance.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use super::super::data_dir;
use super::super::history::{self, History, Standing as OpenStanding};
use crate::advice::place::{self, Place};
use crate::advice::slope::{self, Learned};
use crate::advice::{Agreement, Status, forecast};
use crate::chain::{Profile, Rule, Spec, Wood};
use crate::round::{Card, Closing, Held, Lengths, Summary, Tool};
use crate::units::Millimetres;

/// A loop at a glance.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// Its card.
    pub card: Card,
    /// Closed rounds.
    pub rounds: usize,
    /// The last closed round.
    pub last: Option<LastRound>,
    /// The round to resume.
    pub open: Option<OpenRound>,
    /// Lengths as the latest round that tells any left them, an open one included.
    pub lengths: Option<Lengths>,
    /// Wood that this round was for; any before the first.
    pub wood: Wood,
    /// Its own back slope, as what its gaps lost over the signed rounds tells it.
    pub(super) slope: Option<Learned>,
    /// How often it cut as its sheets had said.
    pub cut: Agreement,
    /// When the next round is due if rounds go on coming as they did.
    pub next: Option<DateTime<FixedOffset>>,
    /// How it stands after its newest round; none before the first.
    pub status: Option<Status>,
    /// The rule that most gaps of its newest round fit, where none was chosen in it.
    pub fits: Option<Rule>,
    /// Fields of its card and rounds of it that joined folders say differently, and nobody has chosen.
    pub asked: usize,
    /// What holds the loop back, where a round rejected it and nobody released it since.
    pub held: Option<Held>,
}

/// What a rack and a tag tell of the last closed round.
#[derive(Debug, Clone, PartialEq)]
pub struct LastRound {
    /// When its last entry was made.
    pub ended: DateTime<FixedOffset>,
    /// How it ended.
    pub how: Option<Closing>,
    /// Who filed.
    pub sharpener: String,
    /// Profile worked by.
    pub profile: String,
    /// Rule for the raker gap, once chosen.
    pub rule: Option<Rule>,
    /// Length filed to.
    pub target: Option<Millimetres>,
    /// With what.
    pub tool: Tool,
    /// Strokes given.
    pub strokes: u32,
}

impl From<&Summary> for LastRound {
    fn from(round: &Summary) -> Self {
        Self {
            ended: round.ended,
            how: round.how,
            sharpener: round.sharpener.clone(),
            profile: round.profile.clone(),
            rule: round.rule,
            target: round.target,
            tool: round.tool,
            strokes: round.strokes,
        }
    }
}

/// How a loop stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, strum::IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Standing {
    /// No round yet.
    New,
    /// Nothing waits.
    Ready,
    /// A round waits to be gone on with.
    Open,
    /// Rejected, whether the round in which that was found is closed or not.
    Rejected,
    /// Set aside for practice: not for a saw.
    Practice,
    /// Out of care.
    Scrapped,
}

/// A round that waits to be resumed.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenRound {
    /// Its file.
    pub path: PathBuf,
    pub(super) file: String,
    /// When it began.
    pub started: DateTime<FixedOffset>,
    /// Who files.
    pub sharpener: String,
    /// When its last entry was made.
    pub touched: DateTime<FixedOffset>,
    /// How it stands.
    pub standing: OpenStanding,
}

/// How a loop stands: held back, else as its newest round left it. A rejection that was released leaves work to be done.
fn status(card: &Card, newest: Option<&Status>, held: Option<&Held>, released: bool) -> Option<Status> {
    match (held, newest) {
        (held, _) if card.for_practice => Some(Status::practice(held)),
        (Some(held), _) => Some(Status::held(held)),
        (None, Some(_)) if released => Some(Status::released()),
        (None, newest) => newest.cloned(),
    }
}

impl Shelf {
    /// How the loop stands: what must be known first comes first.
    pub const fn standing(&self) -> Standing {
        if self.card.scrapped.is_some() {
            Standing::Scrapped
        } else if self.card.for_practice {
            Standing::Practice
        } else if self.held.is_some() {
            Standing::Rejected
        } else if self.open.is_some() {
            Standing::Open
        } else if self.last.is_none() {
            Standing::New
        } else {
            Standing::Ready
        }
    }

    /// The loop's own figures: the profile's, the card's in their place, and the back slope that its rounds tell.
    pub fn spec(&self, profile: &Profile) -> Spec {
        slope::with(self.card.spec(profile.spec()), self.slope)
    }

    /// Where the loop stands in its life; `None` before the first length.
    pub fn place(&self, profile: &Profile) -> Option<Place> {
        Some(place::of(&self.spec(profile), self.wood, &self.lengths?))
    }

    pub(super) fn of(card: Card, history: &History) -> Self {
        let last = history.closed().next_back().map(|row| LastRound::from(&row.summary));
        let open = history.open().map(|row| OpenRound {
            path: PathBuf::new(),
            file: row.file.clone(),
            started: row.summary.started,
            sharpener: row.summary.sharpener.clone(),
            touched: history::touched(row),
            standing: row.open.clone().unwrap_or_else(|| unreachable!("an open row says how it stands")),
        });
        let held = card.held(history.rows.iter().map(|row| &row.summary));
        let released = held.is_none() && history.rows.last().is_some_and(|row| !row.summary.stops.is_empty());
        let signed = history.closed().filter(|row| row.summary.how == Some(Closing::Signed));
        let ends: Vec<DateTime<FixedOffset>> = signed.map(|row| row.summary.ended).collect();
        let told = place::told_by(history.rows.iter().map(|row| &row.summary));
        Self {
            status: status(&card, history.status.as_ref(), held.as_ref(), released),
            card,
            rounds: history.closed().count(),
            lengths: told.map(|(_, lengths)| lengths),
            wood: told.map_or(Wood::Any, |(round, _)| round.wood),
            slope: slope::learned(history.closed().map(|row| &row.summary)),
            cut: Agreement::of(history.closed().map(|row| &row.summary)),
            next: forecast::next_round(&ends),
            last,
            open,
            fits: history.fits,
            asked: 0,
            held,
        }
    }

    /// Says where the open round's file lies: the index does not, so that a data folder can be copied and moved.
    pub(super) fn locate(&mut self, root: &Path) {
        if let Some(open) = &mut self.open {
            open.path = data_dir::loops(root).join(&self.card.tag).join(&open.file);
        }
    }
}
