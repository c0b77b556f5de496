//! The loops in care as a list for scripts and for the wall: what the rack shows, row by row, in its order.

mod data;
mod facts;
mod text;

use chrono::NaiveDate;
use serde::Serialize;

use crate::advice::say::visit::came_and_went;
use crate::advice::{Agreement, StatusWord};
use crate::chain::Stage;
use crate::record::Standing;
use crate::report::data::Number;
use crate::report::format::capital;
use crate::report::status::StatusPart;
use crate::report::words::day;
use crate::round::Visit;

/// What the rack knows of one loop.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(clippy::struct_excessive_bools, reason = "each is told apart, and each is a column of its own")]
pub(crate) struct LoopPart {
    /// Tag of the loop.
    #[serde(rename = "loop")]
    pub(crate) tag: String,
    pub(crate) name: String,
    pub(crate) owner: String,
    pub(crate) saw: String,
    /// Name of the chain type, as people say it.
    pub(crate) chain: String,
    pub(crate) profile: String,
    pub(crate) links: u16,
    pub(crate) state: Standing,
    /// A round waits to be gone on with.
    pub(crate) open: bool,
    /// How it stands after its newest round; absent before the first.
    pub(crate) status: Option<StatusPart>,
    /// Share of usable life left, 0 to 1.
    pub(crate) life_left: Option<Number>,
    pub(crate) stage: Option<Stage>,
    /// When somebody last worked on it.
    pub(crate) last: Option<String>,
    /// When the next round is due if rounds go on coming as they did.
    pub(crate) next: Option<String>,
    /// It is due.
    pub(crate) due: bool,
    /// The promise in a few words, while it waits.
    #[serde(skip)]
    pub(crate) promise: Option<String>,
    /// Day that it is promised for, kept or not.
    pub(crate) promised: Option<NaiveDate>,
    /// That day is past, and nobody has fetched it.
    pub(crate) overdue: bool,
    pub(crate) brought: Option<NaiveDate>,
    pub(crate) brought_by: Option<String>,
    pub(crate) fetched: Option<NaiveDate>,
    pub(crate) fetched_by: Option<String>,
    /// How often it cut as its sheets had said.
    pub(crate) cut: Agreement,
    /// What is known to be wrong with its saw.
    pub(crate) saw_hint: Option<String>,
    /// Of several loops of its saw it is to run next.
    pub(crate) next_on_saw: bool,
    /// Name of the loop that is to run before it.
    pub(crate) runs_first: Option<String>,
}

/// What the list was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Asked {
    /// Word of the filter.
    pub filter: &'static str,
    /// Word of the order.
    pub order: &'static str,
    /// What was searched for; empty where nothing was.
    pub find: String,
    /// The filter as a heading has it.
    #[serde(skip)]
    pub heading: &'static str,
    /// The order as a heading has it.
    #[serde(skip)]
    pub by: &'static str,
}

/// Loops in the order of the rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loops {
    #[serde(flatten)]
    asked: Asked,
    /// Loops of the workshop, shown or not.
    in_all: usize,
    /// Those with an open round.
    open: usize,
    /// How often all of them cut as their sheets had said.
    cut: Agreement,
    #[serde(rename = "loops")]
    shown: Vec<LoopPart>,
    /// Files that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    #[serde(skip)]
    demo: bool,
}

impl Loops {
    /// These loops out of so many, of which so many are open; and how all of them cut.
    pub(crate) const fn new(asked: Asked, shown: Vec<LoopPart>, in_all: usize, open: usize, cut: Agreement) -> Self {
        Self { asked, in_all, open, cut, shown, not_read: Vec::new(), demo: false }
    }

    /// The same, without these files, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// The same, of the invented workshop or not.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// The one loop of that tag alone.
    #[must_use]
    pub fn only(mut self, tag: &str) -> Self {
        self.shown.retain(|one| one.tag == tag);
        self
    }

    /// Files that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }
}

impl LoopPart {
    /// What else there is to say of it, each in a sentence.
    fn notes(&self) -> Vec<String> {
        let status = self.status.as_ref().filter(|status| status.word != StatusWord::Ready);
        let status = status.filter(|_| self.state != Standing::Scrapped);
        let ready = self.state == Standing::Ready;
        let next = self.next.as_deref().filter(|_| ready).map(|next| {
            if self.due { "Its next round is due.".to_owned() } else { format!("Next round about {}.", day(next)) }
        });
        let open = (self.open && self.state != Standing::Scrapped).then(|| "Its round is open.".to_owned());
        let went = came_and_went(&Visit {
            brought: self.brought,
            brought_by: self.brought_by.clone().unwrap_or_default(),
            fetched: self.fetched,
            fetched_by: self.fetched_by.clone().unwrap_or_default(),
            ..Visit::default()
        });
        let notes = [
            self.promise.as_deref().map(|promise| capital(&format!("{promise}."))),
            (!went.is_empty()).then(|| capital(&format!("{}.", went.join(", ")))),
            status.map(|status| capital(&format!("{}.", status.line))),
            open,
            next,
            self.saw_hint.as_deref().map(of_saw),
            turn(self.next_on_saw, self.runs_first.as_deref()),
        ];
        notes.into_iter().flatten().collect()
    }
}

/// What is known to be wrong with the saw of a loop, as a sentence.
pub(crate) fn of_saw(hint: &str) -> String {
    format!("Saw: {hint}.")
}

/// Whose turn it is on a saw of several loops, as a sentence.
pub(crate) fn turn(next: bool, first: Option<&str>) -> Option<String> {
    match (first, next) {
        (_, true) => Some("Next on its saw.".to_owned()),
        (Some(first), false) => Some(format!("{first} runs first on its saw.")),
        (None, false) => None,
    }
}

/// How a loop stands, in a word.
pub(crate) const fn state_word(state: Standing, status: Option<StatusWord>) -> &'static str {
    match state {
        Standing::New => "new",
        Standing::Ready => match status {
            Some(StatusWord::Ready) => "ready",
            Some(StatusWord::Watch) => "watch",
            Some(StatusWord::DoNotUse) => "STOP",
            Some(StatusWord::NotFinished | StatusWord::NotMeasured) | None => "not done",
        },
        Standing::Open => "open",
        Standing::Practice => "PRACTICE",
        Standing::Rejected => "REJECTED",
        Standing::Scrapped => "scrapped",
    }
}

/// Which gap its rakers call for, in a few words; that matters only where the loop may run.
pub(crate) const fn stage_word(state: Standing, stage: Option<Stage>) -> &'static str {
    match stage {
        _ if matches!(state, Standing::Practice | Standing::Rejected | Standing::Scrapped) => "",
        None => "not measured",
        Some(Stage::Fixed) => "fixed gap",
        Some(Stage::Worth) => "scaled: worth it",
        Some(Stage::Due) => "scaled: due",
        Some(Stage::Retire) => "retire",
    }
}

/// Life left; a hair of it is not none.
pub(crate) fn percent(share: f64) -> String {
    if share > 0.0 && share < 0.01 { "<1 %".to_owned() } else { format!("{:.0} %", share * 100.0) }
}
