//! What a screen wants done outside itself, and what comes back: data alone.

use super::scene::{AtBench, Chosen, Life, Scene};
use super::settings::Settings;
use super::theme::Theme;
use crate::advice::Skill;
use crate::care::files::{ImportError, Look, ReadFile, Wish};
use crate::care::{CardChange, Filled, Filter, Join, Progress, Question, Refusal, Row, Rows};
use crate::chain::Profile;
use crate::coach::lessons::{Ground, Lesson, Lessons};
use crate::coach::{Coach, Pending};
use crate::drill::{DrillEntry, DrillEvent};
use crate::practice::Set;
use crate::round::{Card, Entry, Header};
use crate::saw::{Saw, SawEvent};
use crate::units::Unit;

/// What a screen wants.
pub(super) enum Effect {
    /// Something else on the screen: done by [`super::app::App`].
    Go(Step),
    /// Something done in the workshop: done by [`super::desk::Desk`].
    Desk(Work),
    /// The shell: [`super::session`] goes there.
    Suspend,
}

/// A step from one screen to another, or a word on the one that is seen.
pub(super) enum Step {
    /// This one on top.
    Open(Scene),
    /// This one in place of the top one.
    Instead(Scene),
    /// The top one away.
    Close,
    /// The rack's cursor on this loop.
    Choose(String),
    /// A line at the foot of the screen.
    Notice(String),
    /// What was just recorded is shown as it happens, where somebody watches.
    Move,
}

impl From<Step> for Effect {
    fn from(step: Step) -> Self {
        Self::Go(step)
    }
}

impl From<Work> for Effect {
    fn from(work: Work) -> Self {
        Self::Desk(work)
    }
}

/// What is asked of data folders that are joined.
#[derive(Debug)]
pub(super) enum Folders {
    /// Show what bringing another one in comes to.
    LookAt(String),
    /// Bring it in.
    Join(Box<Join>),
    /// Stop what is being done of it.
    Stop,
    /// All that is to be chosen.
    Ask,
    /// Choose one of what a question holds, counted from nought.
    Choose(Box<Question>, usize),
}

/// How bringing a data folder in goes on.
#[derive(Debug)]
pub(crate) enum Joining {
    /// It has come this far.
    Far(Progress),
    /// What it comes to, or why that cannot be said.
    Looked(Result<Box<Join>, String>),
    /// It is done, in sentences; or why it is not.
    Done(Result<Vec<String>, String>),
}

/// Work for the desk. Nothing else touches a file.
pub(super) enum Work {
    /// Store events of the open round, in order.
    Append(Vec<Pending>),
    /// Read the rack again.
    LoadRack,
    /// What is known of a loop over its rounds, for the rack.
    LifeOf(String),
    /// Open the intake of a loop, or its open round.
    OpenLoop(String),
    /// Go on with a loop's open round in the hands of this person.
    GoOn {
        /// Tag of the loop.
        tag: String,
        /// Who.
        who: String,
    },
    /// Hand the round at the bench to this person.
    HandTo(String),
    /// Store the intake and start the round.
    Begin(Box<Header>),
    /// Open the form for a loop.
    NewLoopForm,
    /// Take the loop into care.
    CreateLoop(Box<Card>),
    /// Open a loop's card to change it.
    CardForm(String),
    /// Open the measures of a loop's reach and of a plate gauge on it.
    GaugeForm(String),
    /// Keep a changed card: as it was read, and as it is to be.
    ChangeCard(Box<(Card, Card)>),
    /// Ask why a loop is to leave care, and say what that would lose.
    ScrapForm(String),
    /// Ask who gives a loop back to the bench, and say what holds it.
    ReleaseForm(String),
    /// Join data folders, and choose between what they say.
    Folders(Folders),
    /// Give a loop back to the bench.
    Release {
        /// Tag of the loop.
        tag: String,
        /// Who.
        by: String,
        /// What was replaced or put right.
        replaced: String,
    },
    /// Take a loop out of care, with the reason.
    Scrap {
        /// Tag of the loop.
        tag: String,
        /// Why.
        reason: String,
    },
    /// Open the form for a profile of one's own.
    NewProfileForm,
    /// Store a profile of one's own.
    SaveProfile(Box<Profile>),
    /// Show the sheet of a loop's last round.
    Sheet(String),
    /// Show a loop's history.
    History(String),
    /// Find causes, by the readings of this loop's last round where one is chosen.
    CausesOf(Option<String>),
    /// Open the wear model on this ground, at a lesson where one is named.
    Learn {
        /// Name of the loop, where it is of one.
        name: Option<String>,
        /// What it stands on.
        ground: Box<Ground>,
        /// The lesson to sit down to.
        lesson: Option<Lesson>,
    },
    /// Remember what was done of the lessons.
    KeepLessons(Box<Lessons>),
    /// Show how the figures of this loop's last round were reckoned.
    WhyOf(String),
    /// Show why the loop that a saw's page names is to run next.
    WhySaw(String),
    /// Show the wear model, of this loop's chain where one is chosen.
    ModelOf(Option<String>),
    /// Show the gap table of a loop's chain.
    Gaps {
        /// Tag of the loop.
        tag: String,
        /// Unit of the round at the bench; the usual one where there is none.
        unit: Option<Unit>,
    },
    /// Show the tags of the loops named, those that pass the filter, and make the page to print.
    Tags {
        /// Tags of the loops; all where none is named.
        named: Vec<String>,
        /// Which of them.
        filter: Filter,
    },
    /// Make a loop's blank bench sheet to print, and open it to be typed in.
    Paper(String),
    /// Take a bench sheet that was typed in.
    TakePaper(Box<Filled>),
    /// Show the page of a person.
    PersonOf(String),
    /// Show the page of a loop's saw, or ask which saw it is.
    SawOf(String),
    /// Write the saw's name on a loop's card and show its page.
    NameSaw {
        /// Tag of the loop.
        tag: String,
        /// Name of the saw.
        saw: String,
    },
    /// Show the page of a saw in place of the one that is shown.
    SawAgain(String),
    /// Open the checks of a saw.
    SawChecks {
        /// Name of the saw.
        name: String,
        /// Tag of the loop at the bench.
        with: Option<String>,
        /// Unit that figures are typed in; the usual one where none is named.
        unit: Option<Unit>,
        /// Only the tension after some minutes of cutting.
        warm: bool,
    },
    /// Store events of a saw under one time.
    StoreSaw {
        /// Name of the saw.
        name: String,
        /// Tag of the loop at the bench, whose card takes the name where it has none.
        with: Option<String>,
        /// What happened.
        events: Vec<SawEvent>,
        /// From the list of checks, which closes once they are stored.
        from_list: bool,
    },
    /// Go on with the practice that was left, or choose a loop for it.
    Practice,
    /// Begin practice on such a loop.
    BeginPractice(Set),
    /// Keep practice that is left, for as long as the program runs.
    KeepPractice(Box<AtBench>),
    /// Show the learners.
    Drills,
    /// Open a learner's drills.
    OpenDrills(String),
    /// Store what happened in a drill, with what was typed.
    Drill(Box<(DrillEvent, Option<String>)>),
    /// Show what two learners' blind readings of one loop come to.
    Together(String, String),
    /// Let go of a learner's record.
    LeaveDrills,
    /// Open the form for a file of readings; with the loop chosen on the rack.
    ImportForm(Option<Chosen>),
    /// Read a file of readings of that name.
    ReadFile(String),
    /// Look at a file's text for a loop.
    LookAtFile(Box<(String, Wish)>),
    /// Take what was looked at.
    TakeFile(Box<Look>),
    /// Open the settings.
    Settings,
    /// Take these settings and remember them.
    SetSettings(Box<Settings>),
    /// Show the sheet of a round as it stands.
    SheetOf(Box<Coach>),
    /// Lines of the instrument that were held have been looked at.
    Seen,
    /// Ring the bell this often: one for taken, two for a question.
    Bell(u8),
    /// Say a line aloud, where a speaking command is given.
    Speak(String),
}

/// What comes back.
pub(super) enum Answer {
    /// Where to go next.
    Go(Step),
    /// New colours and glyphs.
    Looks(Theme, Unit),
    /// The events are on record.
    Stored(Vec<Entry>),
    /// They are not, and why; the first entries may be.
    NotStored {
        /// Those that are on record.
        stored: Vec<Entry>,
        /// Why the next is not.
        why: String,
    },
    /// Events of a saw are on record; the saw as it now stands.
    SawStored(Box<Saw>),
    /// What happened in a drill is on record, with what is to be said of it; or why it is not.
    Drilled(Box<Result<(DrillEntry, Vec<String>), String>>),
    /// A loop was taken into care or a round begun, or why not.
    Created(Result<(), String>),
    /// The round at the bench is in other hands: whose, and how well their readings repeat.
    Handed(String, Skill),
    /// A card is kept: as it now stands, with what another window had changed meanwhile.
    CardKept(Box<CardChange>),
    /// A file of readings, or why it cannot be read.
    FileRead(Result<Box<ReadFile>, String>),
    /// What it holds, or why that cannot be said.
    Looked(Result<Box<Look>, ImportError>),
    /// How bringing a data folder in goes on.
    Joining(Joining),
    /// A question is answered, or why not.
    Chosen(Result<(), String>),
    /// Boxes of a bench sheet that are not taken as they stand.
    PaperRefused(Vec<Refusal>),
    /// The first rows of the rack, as they last were; the rest is being read.
    Glance {
        /// The rows.
        rows: Vec<Row>,
        /// All loops, those in care, and those in care with an open round.
        counts: (usize, usize, usize),
    },
    /// The loop for the rack's cursor.
    Choose(String),
    /// What is known of a loop over its rounds, and the unit that it was worked in.
    Life(Box<Life>),
    /// Rows of the rack.
    Rack(News),
}

/// Rows of the rack as they become known.
#[derive(Debug)]
pub(crate) struct News {
    /// All rows, or those that are new.
    pub rows: Vec<Row>,
    /// Files at fault, each in a sentence.
    pub problems: Vec<String>,
    /// How many of the loops that must be read again are, and how many must; absent where these are all rows.
    pub progress: Option<(usize, usize)>,
    /// How much is to be chosen of what joined folders say differently.
    pub asked: usize,
}

impl From<Rows> for News {
    fn from(rows: Rows) -> Self {
        Self { rows: rows.rows, problems: rows.problems, progress: None, asked: rows.asked }
    }
}
