//! The coach: what to ask, what an answer means, what to say to it. Shared by the full-screen and the plain face.
//!
//! What the room is for: a face shows a [`Prompt`], hands over what was typed, stores the events of the [`Reply`] and
//! gives the stored entries back. It must not know terminals, files or clocks: the time comes with each call.

pub(crate) mod card;
pub mod causes;
pub(crate) mod command;
pub(crate) mod doubt;
pub(crate) mod drill;
mod entry;
pub(crate) mod gauge;
pub(crate) mod glossary;
mod hold;
pub mod lessons;
mod new_length;
pub(crate) mod prompt;
pub(crate) mod said;
pub(crate) mod saw;
mod why;
pub mod words;

use std::cell::OnceCell;

use chrono::{DateTime, FixedOffset};

use crate::advice::{Context, Findings, Skill, Verdicts, tips};
use crate::chain::CutterNumber;
use crate::round::about;
use crate::round::card::Prices;
use crate::round::{Ask, Entry, Event, Past, Reading, Round, When};
use crate::saw::Saw;
use crate::units::clean::clean;
pub use command::Command;
pub use entry::known_as;
pub use prompt::Prompt;
pub use said::{Said, Tone};
pub use why::{NONE_HERE as NO_RECKONING_HERE, NOTHING as NOTHING_RECKONED};

/// The same text twice within this time is one instrument sending twice, not two readings.
const DOUBLE_SEND_MS: i64 = 400;

/// What to do with a doubtful reading that is not kept.
const MEASURE: &str = "measure again";
/// The same with a choice.
const CHOOSE: &str = "choose again";

/// An event to be stored, with what was typed for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pending {
    /// What happened.
    pub event: Event,
    /// The line as it came.
    pub typed: Option<String>,
}

/// A doubtful reading, or a gap to be accepted, that waits for a decision.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// A sentence that ends in a question mark.
    pub text: String,
    /// What is stored if it is kept; nothing where it cannot be.
    pub keep: Vec<Pending>,
    /// What was likely meant instead.
    pub meant: Option<Box<Meant>>,
    /// What else can be done: `measure again`.
    pub or: &'static str,
}

/// What was likely meant by a doubtful reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Meant {
    /// The value as it is shown.
    pub shown: String,
    /// What is stored if it is taken; the text stays as it was typed.
    pub take: Pending,
}

impl Question {
    /// What was likely meant, in the words of a face; then how to keep it, where it can be kept.
    pub(crate) fn ways(&self, take: impl Fn(&str) -> String, keep: &str) -> String {
        let take = self.meant.as_ref().map(|meant| take(&meant.shown));
        let keep = Some(keep.to_owned()).filter(|_| !self.keep.is_empty());
        take.into_iter().chain(keep).collect::<Vec<_>>().join(", ")
    }
}

/// What comes of a line or a wish.
#[derive(Debug, Clone, PartialEq)]
pub enum Reply {
    /// Store these, then hand the entries to [`Coach::recorded`].
    Record(Vec<Pending>),
    /// Ask this; [`Coach::keep`] or [`Coach::refuse`] settles it.
    Question(Question),
    /// Not taken, and why.
    Refused(String),
    /// Look at this saw; [`Coach::saw_looked_at`] makes the entry once what was found is on record.
    Saw(String),
    /// Taken without anything to store.
    Moved,
}

impl Reply {
    fn record(event: Event) -> Self {
        Self::Record(vec![Pending { event, typed: None }])
    }

    fn refused(why: impl Into<String>) -> Self {
        Self::Refused(why.into())
    }
}

/// A round with everything needed to lead through it.
#[derive(Debug, Clone)]
pub struct Coach {
    /// The round as recorded. Only [`Coach::recorded`] changes it.
    pub round: Round,
    /// Earlier rounds of the loop.
    pub past: Past,
    /// How well this sharpener's readings repeat.
    pub skill: Skill,
    /// What a round and a loop cost.
    pub prices: Prices,
    /// What is known of the loop's saw.
    pub saw: Option<Saw>,
    /// The profile's length of a new cutter was measured: it is not asked for.
    pub knows_new_length: bool,
    /// Files that could not be read for it, each in a sentence.
    pub not_read: Vec<String>,
    /// Who was given the round since its last entry.
    hand: Option<String>,
    /// The question that waits, if any.
    pub question: Option<Question>,
    pub(crate) repeat: Option<(CutterNumber, Reading)>,
    /// A fault that waits for an answer.
    pub(crate) hold: Option<hold::Hold>,
    last_line: Option<(String, DateTime<FixedOffset>)>,
    /// The line in hand was typed by a person: an instrument never leaves the point out.
    by_hand: bool,
    /// Ask when the same reading comes twice at once. Off where lines come from a script, which is always fast.
    pub watch_doubles: bool,
    /// The verdicts on the round as it stands, and all that is found of it: they are needed several times for each reading.
    judged: OnceCell<Verdicts>,
    known: OnceCell<Findings>,
}

/// How the last entry about a reading leaves the round.
struct LeftOpen {
    seq: u32,
    said: Said,
    /// The reading is to be taken once more.
    again: Option<(CutterNumber, Reading)>,
    hold: Option<hold::Hold>,
}

impl Coach {
    /// A coach for a round.
    pub fn new(round: Round, past: Past, skill: Skill, prices: Prices) -> Self {
        let mut coach = Self {
            round,
            past,
            skill,
            prices,
            saw: None,
            knows_new_length: false,
            not_read: Vec::new(),
            hand: None,
            question: None,
            repeat: None,
            hold: None,
            last_line: None,
            by_hand: false,
            watch_doubles: true,
            judged: OnceCell::new(),
            known: OnceCell::new(),
        };
        coach.stand();
        coach
    }

    /// Everything that can be said of the round as it stands.
    pub fn findings(&self) -> &Findings {
        self.known.get_or_init(|| Findings::complete(&self.context(), self.verdicts().clone()))
    }

    /// What is said of a reading at once.
    pub(crate) fn verdicts(&self) -> &Verdicts {
        self.judged.get_or_init(|| Verdicts::of(&self.context()))
    }

    /// What was found no longer holds.
    fn forget(&mut self) {
        (self.judged, self.known) = (OnceCell::new(), OnceCell::new());
    }

    /// Somebody else goes on with the round: who, and how well their readings repeat.
    pub fn handed_to(&mut self, who: &str, skill: Skill) {
        self.hand = Some(clean(who));
        self.skill = skill;
        self.forget();
    }

    /// Who works at the round.
    pub fn at_work(&self) -> &str {
        self.hand.as_deref().unwrap_or_else(|| self.round.hand())
    }

    /// Who works at the round, and whose round it is where that is somebody else: `Uma for Ina`.
    pub fn hand(&self) -> String {
        let owner = &self.round.header.sharpener;
        match self.hand.as_deref().unwrap_or_else(|| self.round.hand()) {
            hand if hand == owner => owner.clone(),
            hand => format!("{hand} for {owner}"),
        }
    }

    /// Whose round it is, said to somebody who goes on with it and was not asked for a name; `way` is how a face hands it over.
    pub fn whose(&self, way: &str) -> String {
        let owner = &self.round.header.sharpener;
        let last = self.hand.as_deref().unwrap_or_else(|| self.round.hand());
        let last = if last == owner { String::new() } else { format!(", and {last} goes on with it") };
        format!("This round is {owner}'s{last}: {way} if somebody else goes on.")
    }

    /// What the advice looks at.
    pub fn context(&self) -> Context<'_> {
        let tension = self.saw.as_ref().and_then(Saw::tension);
        Context { round: &self.round, past: &self.past, skill: &self.skill, prices: &self.prices, tension }
    }

    /// As [`Coach::enter`], for a line that was surely typed by a person, key by key.
    pub fn enter_by_hand(&mut self, typed: &str, now: DateTime<FixedOffset>) -> Reply {
        self.by_hand = true;
        let reply = self.enter(typed, now);
        self.by_hand = false;
        reply
    }

    /// A line was typed, pasted or sent; empty for Enter alone.
    pub fn enter(&mut self, typed: &str, now: DateTime<FixedOffset>) -> Reply {
        if self.question.is_some() {
            // Whatever is sent to an open question is a fresh measurement.
            self.question = None;
        }
        let line = typed.trim().to_owned();
        let twice = self.is_double(&line, now);
        self.last_line = (!line.is_empty()).then_some((line, now));
        let reply = match self.take(typed) {
            Reply::Record(keep) if twice => Reply::Question(Question {
                text: "The same reading arrived twice in a row. Is it this cutter's too?".to_owned(),
                keep,
                meant: None,
                or: MEASURE,
            }),
            reply => reply,
        };
        match &reply {
            Reply::Question(question) => self.question = Some(question.clone()),
            Reply::Moved | Reply::Record(_) | Reply::Refused(_) | Reply::Saw(_) => {}
        }
        reply
    }

    /// True where a figure is asked for, which an instrument may send; false where something is chosen, looked at or confirmed.
    pub fn asks_for_a_figure(&self) -> bool {
        if self.hold.is_some() {
            return false;
        }
        self.repeat.is_some() || matches!(self.round.step().ask, Ask::Read(_) | Ask::Zero)
    }

    /// The reading that is asked for is left out, as Enter alone does where nothing answers for the bench.
    pub fn leave_out(&mut self, now: DateTime<FixedOffset>) -> Reply {
        if self.asks_for_a_figure() { self.enter("", now) } else { Reply::refused("No reading is asked for here.") }
    }

    /// True for a reading that an instrument seems to have sent twice.
    fn is_double(&self, line: &str, now: DateTime<FixedOffset>) -> bool {
        let reading = matches!(self.round.step().ask, Ask::Read(_)) || self.repeat.is_some();
        let same = self.last_line.as_ref().filter(|(before, _)| reading && !line.is_empty() && before == line);
        self.watch_doubles && same.is_some_and(|(_, at)| (now - *at).num_milliseconds() < DOUBLE_SEND_MS)
    }

    /// Keeps the doubtful reading.
    pub fn keep(&mut self) -> Reply {
        match self.question.take() {
            Some(question) if question.keep.is_empty() => {
                Reply::refused(format!("That is impossible: {}.", question.or))
            }
            Some(question) => Reply::Record(question.keep),
            None => Reply::Moved,
        }
    }

    /// Takes what was likely meant in place of the doubtful reading.
    pub fn take_meant(&mut self) -> Reply {
        match self.question.take_if(|question| question.meant.is_some()).and_then(|question| question.meant) {
            Some(meant) => Reply::Record(vec![meant.take]),
            None => Reply::refused("There is nothing to take in its place."),
        }
    }

    /// Throws the doubtful reading away.
    pub fn refuse(&mut self) {
        self.question = None;
    }

    /// A wish other than answering the step.
    pub fn command(&mut self, command: Command) -> Reply {
        self.question = None;
        if !matches!(command, Command::Again) {
            self.stand();
        }
        self.carry_out(command)
    }

    /// An entry is on record: folds it and says what it means.
    pub fn recorded(&mut self, entry: Entry) -> Said {
        let recorded = entry.clone();
        self.round.apply(entry);
        self.forget();
        let last = self.stand();
        let said = last.filter(|(seq, _)| *seq == recorded.seq).map(|(_, said)| said);
        let mut said = said.unwrap_or_else(|| self.said_of(&recorded));
        if let Some(tip) = self.tip_after(&recorded.event, &said) {
            if !said.text.is_empty() {
                said.text.push(' ');
            }
            said.text.push_str(&tip);
        }
        said
    }

    /// A tip for the hand, where the length or the gap just read calls for one and nothing more urgent is said: what was held or
    /// asked for again has its tip once it is left.
    fn tip_after(&self, event: &Event, said: &Said) -> Option<String> {
        let (cutter, reading) = match *event {
            Event::Length { cutter, when: When::After, .. } => (cutter, Reading::LengthAfter),
            Event::Gap { cutter, when: When::After, .. } => (cutter, Reading::GapAfter),
            Event::LeftAsIs { cutter, reading: reading @ (Reading::LengthAfter | Reading::GapAfter) } => {
                (cutter, reading)
            }
            _ => return None,
        };
        if said.ask_again || self.hold.is_some() {
            return None;
        }
        tips::after(&self.round, cutter, reading).map(|hint| hint.words(self.round.header.units))
    }

    /// What an entry that is on record means.
    fn said_of(&self, entry: &Entry) -> Said {
        let mut said = said::after(self, self.verdicts(), &entry.event);
        let taken = |typed: &String| said::taken_as(self.round.header.units, &entry.event, typed);
        if let Some(taken) = entry.typed.as_ref().and_then(taken) {
            said.text = format!("{} {taken}", said.text);
        }
        said
    }

    /// Stands at what the record leaves open: a reading to be taken once more, or a fault that waits for an answer. Both are
    /// derived from the folded round, so that a round taken up again stands where it stood. Gives the entry that this was asked of,
    /// with what is said of it.
    fn stand(&mut self) -> Option<(u32, Said)> {
        let (last, repeat, hold) = match self.left_open() {
            Some(LeftOpen { seq, said, again, hold }) => (Some((seq, said)), again, hold),
            None => (None, None, None),
        };
        (self.repeat, self.hold) = (repeat, hold);
        last
    }

    /// What the last entry leaves open; `None` where it is about no reading of a cutter.
    fn left_open(&self) -> Option<LeftOpen> {
        let entry = self.round.last_of_work()?;
        let about = about::cutter_of(&entry.event).zip(about::reading_of(&entry.event));
        about?;
        let said = self.said_of(entry);
        let again = about.filter(|_| said.ask_again && !about::is_repeat(&entry.event));
        let verdicts = again.is_none().then(|| self.verdicts());
        let hold = verdicts.and_then(|verdicts| hold::Hold::of(self, verdicts, &entry.event, &said));
        Some(LeftOpen { seq: entry.seq, said, again, hold })
    }

    /// The saw was looked at and what was found is on record: the entry to store in the round.
    pub fn saw_looked_at(&mut self, saw: Saw) -> Pending {
        let looked_at = Some(saw.header.name.clone());
        self.saw = Some(saw);
        Pending { event: Event::Saw { looked_at }, typed: None }
    }

    /// The reading that is being repeated, if one is.
    pub const fn repeating(&self) -> Option<(CutterNumber, Reading)> {
        self.repeat
    }
}
