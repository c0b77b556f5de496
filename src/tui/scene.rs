//! What a screen is made of: data alone. [`super::screens`] is the one place that makes screens of it.

use super::keys::Place;
use super::settings::Settings;
use crate::advice::{Findings, Lesson, Reckoning};
use crate::care;
use crate::chain::{Profile, Side, Spec, Wood};
use crate::coach::Coach;
use crate::coach::drill::{DrillBench, Seat};
use crate::coach::lessons::{Ground, Lessons};
use crate::coach::saw::Checklist;
use crate::practice::{Practice, Set};
use crate::round::{Card, Header, Round, Tool};
use crate::saw::Saw;
use crate::units::Unit;

/// A screen to be shown, and what it shows.
pub(super) enum Scene {
    /// The rack; its rows come later.
    Rack,
    /// The key page, the keys of this place first.
    Keys(Place),
    /// One line of text.
    Ask {
        /// What is asked.
        title: String,
        /// What the text is for.
        purpose: Purpose,
    },
    /// Something to read, in one version or more that are looked at in turn.
    Page {
        /// Above it.
        title: String,
        /// The texts.
        versions: Vec<String>,
        /// Whose figures it has.
        of: PageOf,
    },
    /// The form for a loop, over the profiles known and the tags that are taken.
    NewLoop(Vec<Profile>, Vec<String>),
    /// The form for a profile of one's own, over the profiles known.
    NewProfile(Vec<Profile>),
    /// A loop's card, its chain, and the profiles known.
    Card(Box<(Card, Profile, Vec<Profile>)>),
    /// The measures of a loop's reach and plate gauge, over its card and its chain.
    Gauge(Box<(Card, Profile)>),
    /// The intake of a round.
    Intake(Box<Intake>),
    /// A round.
    Round(Box<AtBench>),
    /// The choice of a made-up loop to practise on, with who is at the bench.
    NewPractice(Set),
    /// A loop's history.
    History(Box<Life>),
    /// From how a saw cuts to its cause.
    Causes(Box<Case>),
    /// The wear model; of a usual chain where none is named.
    Model(Box<Lecture>),
    /// How figures were reckoned.
    Why(Box<Whys>),
    /// The page of a saw: what is known of it, and its report as text.
    Saw(Box<(Saw, String)>),
    /// The checks of a saw; with the tag of the loop at the bench.
    SawChecks(Box<Checklist>, Option<String>),
    /// Who learns, what could not be read, and the sharpeners who did no drill.
    Learners(Vec<Seat>, Vec<String>, Vec<String>),
    /// A learner's drills, with what is to be said first.
    Drills(Box<DrillBench>, Vec<String>),
    /// A file of readings.
    Import {
        /// Chains that a new loop may have.
        profiles: Vec<Profile>,
        /// The loop under the rack's cursor.
        chosen: Option<Chosen>,
        /// Who is at the bench.
        sharpener: String,
    },
    /// A data folder to bring in, by its path: what that comes to is told later.
    Join(String),
    /// What joined folders say differently, and what could not be read to find it.
    Questions(Vec<care::Question>, Vec<String>),
    /// A bench sheet to be typed in, and where a blank one lies to be printed.
    Paper(Box<care::Blank>, String),
    /// The settings as they are.
    Settings(Settings),
}

/// What a line of text is for.
#[derive(Debug, Clone)]
pub(super) enum Purpose {
    /// Why a loop leaves care.
    Scrap(String),
    /// Who gives a loop back to the bench.
    ReleaseBy(String),
    /// What was put right.
    Release {
        /// Tag of the loop.
        tag: String,
        /// Who gives it back.
        by: String,
    },
    /// Who goes on with a loop's open round; with who worked at it and who is at the bench.
    GoOn {
        /// Tag of the loop.
        tag: String,
        /// Who is at the bench: Enter alone.
        here: String,
    },
    /// The saw that a loop runs on.
    Saw(String),
    /// The maker's limit of a saw's sprocket.
    Limit(String),
    /// A remark on a saw.
    SawNote(String),
    /// The data folder to bring in.
    LookAtFolder,
}

/// A loop as the rack shows it.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
}

/// What was chosen last time, so that a round is begun with one key.
#[derive(Debug, Clone, Default)]
pub(super) struct Usual {
    /// Who filed last.
    pub sharpener: String,
    /// For what.
    pub wood: Wood,
    /// With what.
    pub tool: Tool,
    /// In which unit; where nobody said it, in the one that the workshop reads.
    pub units: Option<Unit>,
    /// Strokes were counted.
    pub strokes: bool,
    /// Angles were measured.
    pub angles: bool,
    /// The side filed first.
    pub begin: Option<Side>,
    /// Cutters were measured spread round the loop.
    pub spread: bool,
}

impl From<&Header> for Usual {
    fn from(header: &Header) -> Self {
        Self {
            sharpener: header.sharpener.clone(),
            wood: header.wood,
            tool: header.tool,
            units: Some(header.units),
            strokes: header.take_strokes,
            angles: header.take_angles,
            begin: Some(header.begin),
            spread: header.spread,
        }
    }
}

/// A round to be begun.
pub(super) struct Intake {
    /// The loop.
    pub card: Card,
    /// Its chain.
    pub profile: Profile,
    /// What the round will work with.
    pub spec: Spec,
    /// What was chosen last time.
    pub usual: Usual,
    /// Names of those who file.
    pub hands: Vec<String>,
}

/// A round under way or closed.
pub(super) struct AtBench {
    /// Name of the loop.
    pub name: String,
    /// The round and what is known beside it.
    pub coach: Coach,
    /// Said first: what was recovered, or that it goes on.
    pub opening: Option<String>,
    /// The simulated loop, where the round is practice and nothing of it is recorded.
    pub practice: Option<Box<Practice>>,
}

/// The wear model and its lessons.
pub(super) struct Lecture {
    /// Name of the loop, where it is of one.
    pub name: Option<String>,
    /// What it stands on.
    pub ground: Ground,
    /// The lesson to sit down to at once.
    pub lesson: Option<Lesson>,
    /// What was done of the lessons so far.
    pub lessons: Lessons,
}

/// Whose figures a page has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PageOf {
    /// Those of the loop or the round on the screen below.
    Below,
    /// Nobody's that could be reckoned.
    None,
}

/// How figures were reckoned: those of a round, or of a saw's loops.
pub(super) struct Whys {
    /// The reckonings, the one looked for first.
    pub all: Vec<Reckoning>,
    /// Unit that they are told in.
    pub unit: Unit,
    /// The round and what was found on it, where they are of one: for the pictures.
    pub of: Option<(Round, Findings)>,
    /// What their lessons stand on.
    pub ground: Ground,
}

impl Whys {
    /// Those of a round.
    pub(super) fn of(coach: &Coach) -> Option<Self> {
        let all = coach.reckonings();
        let of = Some((coach.round.clone(), coach.findings().clone()));
        (!all.is_empty()).then_some(Self { all, unit: coach.round.header.units, of, ground: coach.ground() })
    }
}

/// What is behind how a saw cuts, by the readings of a loop where there are any.
#[derive(Default)]
pub(super) struct Case {
    /// Name of the loop; empty where it stands on the screen below.
    pub name: String,
    /// What its readings mean.
    pub findings: Option<Findings>,
    /// Unit that they are told in.
    pub unit: Unit,
    /// Its saw, where it has a record.
    pub saw: Option<Saw>,
}

/// The life of a loop, and how it is shown.
pub(super) struct Life {
    /// What is known of it.
    pub known: care::Life,
    /// Unit of its lengths.
    pub unit: Unit,
}
