//! The desk does what effects say: the only part of the full-screen face that touches files.

mod import;
mod paper;

use std::path::PathBuf;
use std::sync::mpsc::Sender;

use chrono::{DateTime, FixedOffset};

use super::effect::{Answer, Step, Work};
use super::joiner::Joiner;
use super::loader::Loader;
use super::scene::{AtBench, Case, Intake, Lecture, Life, PageOf, Purpose, Scene, Usual, Whys};
use super::settings::{Saved, Settings};
use super::wake::Wake;
use crate::care::{self, CareError, Free, GapRange, OpenLearner, OpenRound, Opened, Started, Workshop};
use crate::chain::{Profile, Wood};
use crate::coach::lessons::{Ground, Lesson, Lessons};
use crate::coach::{Coach, NOTHING_RECKONED, Pending};
use crate::devices::{Held, Speaker, watch};
use crate::report::format::Format;
use crate::round::{Card, Header};
use crate::units::Unit;
use crate::units::clean::clean;

mod drills;
mod folders;
mod practice;
mod saws;
mod stops;
mod tags;
#[cfg(test)]
mod tests;

pub(super) use practice::at_bench;

/// The data folder and the round that is open for writing.
pub struct Desk {
    care: Workshop,
    /// Reads the rack beside the keys; absent where it is read at once, in rehearsals and tests.
    loader: Option<Loader>,
    /// Brings other data folders in.
    joiner: Joiner,
    open: Option<OpenRound>,
    /// The learner whose drills are open for writing.
    learner: Option<OpenLearner>,
    /// Practice that was left; it is kept nowhere else.
    practice: Option<Box<AtBench>>,
    usual: Usual,
    /// What was done of the lessons, and by whom.
    lessons: Option<(String, Lessons)>,
    /// What was set and is remembered.
    pub settings: Settings,
    /// What the settings file said when it was last read or written here.
    seen: Saved,
    /// A program that speaks.
    pub speech: Option<Speaker>,
    /// Lines of an instrument that are held.
    pub(super) held: Held,
    /// Rings the bell; the session writes it to the terminal.
    pub rings: u8,
}

impl Desk {
    /// A desk over a workshop.
    pub fn new(workshop: impl Into<Workshop>, settings: Settings) -> Self {
        let care = workshop.into();
        let seen = Settings::seen(&care);
        Self {
            care,
            seen,
            loader: None,
            joiner: Joiner::default(),
            open: None,
            learner: None,
            practice: None,
            usual: Usual::default(),
            lessons: None,
            settings,
            speech: None,
            held: Held::default(),
            rings: 0,
        }
    }

    /// Has the rack read, and data folders brought in, on threads of their own from now on, which report to `to`.
    pub(super) fn load_beside(&mut self, to: Sender<Wake>) {
        self.joiner = Joiner::beside(to.clone());
        self.loader = Some(Loader::start(self.care.clone(), to));
    }

    /// Has lines of an instrument come in from now on, from a thread of its own, which reports to `to`.
    pub(crate) fn listen_to(&self, path: PathBuf, to: Sender<Wake>) {
        watch(path, self.held.clone(), move |sent| to.send(Wake::Source(sent)).is_ok());
    }

    /// Has a program speak from now on; what is wrong with it is reported to `to`.
    pub(crate) fn speak_by(&mut self, command: &str, to: Sender<Wake>) {
        self.speech = Speaker::start(command, move |wrong| drop(to.send(Wake::Notice(wrong))));
    }

    /// What to know about the data folder before anything is written into it.
    pub fn warning(&self) -> Option<String> {
        self.care.warning()
    }

    /// Does one piece of work.
    pub(super) fn run(&mut self, work: Work, now: DateTime<FixedOffset>) -> Vec<Answer> {
        match work {
            Work::Append(pending) => self.append(&pending, now),
            Work::LoadRack => {
                // Back at the rack no round is open for writing; its lock goes.
                self.open = None;
                self.load_rack(now)
            }
            Work::OpenLoop(tag) => self.ask_hand(&tag).unwrap_or_else(|| self.open_loop(&tag, None, now)),
            Work::GoOn { tag, who } => self.open_loop(&tag, Some(&who), now),
            Work::HandTo(who) => self.hand_to(who),
            Work::Begin(header) => self.begin(&header),
            Work::NewLoopForm => open(Scene::NewLoop(self.care.profiles().0, self.care.taken_tags())),
            Work::CreateLoop(card) => {
                vec![Answer::Created(self.care.create_loop(&card).map_err(|error| error.to_string()))]
            }
            Work::CardForm(tag) => {
                let profiles = self.care.profiles().0;
                self.over_card(&tag, |card, profile| Scene::Card(Box::new((card, profile, profiles))))
            }
            Work::GaugeForm(tag) => self.over_card(&tag, |card, profile| Scene::Gauge(Box::new((card, profile)))),
            Work::ChangeCard(cards) => vec![match self.care.change_card(&cards.0, &cards.1, now) {
                Ok(kept) => Answer::CardKept(Box::new(kept)),
                Err(error) => Answer::Created(Err(error.to_string())),
            }],
            Work::ScrapForm(tag) => self.scrap_form(&tag),
            Work::Scrap { tag, reason } => {
                let scrapped = self.care.scrap(&tag, &reason, now);
                self.then_load(told(scrapped.unwrap_or_else(|error| error.to_string())), now)
            }
            Work::ReleaseForm(tag) => self.release_form(&tag),
            Work::Release { tag, by, replaced } => {
                let released = self.care.release(&tag, &by, &replaced, now);
                self.then_load(told(released.unwrap_or_else(|error| error.to_string())), now)
            }
            Work::NewProfileForm => open(Scene::NewProfile(self.care.profiles().0)),
            Work::SaveProfile(profile) => self.save_profile(&profile),
            Work::Sheet(tag) => self.sheet(&tag),
            Work::SheetOf(coach) => self.sheet_of(&coach),
            Work::History(tag) => self.history(&tag),
            Work::LifeOf(tag) => self.life_of(&tag),
            Work::CausesOf(tag) => open(Scene::Causes(Box::new(self.causes(tag.as_deref())))),
            Work::WhyOf(tag) => self.why_of(&tag),
            Work::Learn { name, ground, lesson } => open(self.learn(name, *ground, lesson)),
            Work::KeepLessons(lessons) => self.keep_lessons(*lessons, now),
            Work::WhySaw(name) => self.why_saw(&name),
            Work::ModelOf(tag) => open(self.model(tag.as_deref())),
            Work::Gaps { tag, unit } => self.gaps(&tag, unit.unwrap_or(self.settings.units)),
            Work::Tags { named, filter } => self.tags(&named, filter, now),
            Work::Paper(tag) => self.paper(&tag),
            Work::TakePaper(filled) => self.take_paper(&filled),
            Work::PersonOf(name) => self.person(&name),
            Work::SawOf(tag) => self.saw_of_loop(&tag),
            Work::NameSaw { tag, saw } => self.name_saw(&tag, &saw, now),
            Work::SawAgain(name) => self.saw_again(&name),
            Work::SawChecks { name, with, unit, warm } => self.saw_checks(&name, with, unit, warm),
            Work::StoreSaw { name, with, events, from_list } => {
                self.store_saw(&name, with.as_deref(), &events, from_list, now)
            }
            Work::Folders(work) => self.folders(work, now),
            Work::Practice => self.practice(now),
            Work::BeginPractice(set) => vec![practice::begin_practice(&set, now)],
            Work::KeepPractice(left) => {
                self.practice = Some(left);
                Vec::new()
            }
            Work::Drills => self.drills(now),
            Work::OpenDrills(name) => self.open_drills(&name, now),
            Work::Drill(done) => self.drill(&done.0, done.1.as_deref(), now),
            Work::Together(one, other) => self.together([&one, &other]),
            Work::LeaveDrills => {
                self.learner = None;
                self.drills_again(now)
            }
            Work::ImportForm(chosen) => {
                let (profiles, sharpener) = (self.care.profiles().0, self.usual.sharpener.clone());
                open(Scene::Import { profiles, chosen, sharpener })
            }
            Work::ReadFile(name) => vec![import::read(&name, now)],
            Work::LookAtFile(asked) => vec![import::look(&self.care, &asked.0, &asked.1)],
            Work::TakeFile(look) => vec![import::take(&self.care, &look)],
            Work::Settings => open(Scene::Settings(self.settings)),
            Work::SetSettings(settings) => self.set_settings(*settings, now),
            Work::Seen => {
                self.held.look();
                Vec::new()
            }
            Work::Bell(times) => {
                self.rings = self.rings.max(if self.settings.bell { times } else { 0 });
                Vec::new()
            }
            Work::Speak(line) => {
                if let Some(speech) = &self.speech {
                    speech.say(&line);
                }
                Vec::new()
            }
        }
    }

    /// Stores events one by one; each is acknowledged only when it is on the disk.
    fn append(&mut self, pending: &[Pending], now: DateTime<FixedOffset>) -> Vec<Answer> {
        let (mut stored, mut said) = (Vec::new(), Vec::new());
        for pending in pending {
            let appended = self.open.as_mut().ok_or(CareError::NotOpen).and_then(|round| round.append(pending, now));
            match appended {
                Ok(ack) => {
                    said.extend(ack.moved_to().into_iter().flat_map(told));
                    stored.push(ack.entry);
                }
                Err(error) => {
                    said.insert(0, Answer::NotStored { stored, why: error.not_stored("Enter stores it") });
                    return said;
                }
            }
        }
        said.insert(0, Answer::Stored(stored));
        said
    }

    /// The rack, or the first of it while the rest is read beside the keys.
    fn load_rack(&self, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let Some(loader) = &self.loader else {
            return vec![Answer::Rack(self.care.rows(now).into())];
        };
        let glance = self
            .care
            .first_rows(now)
            .map(|(rows, glance)| Answer::Glance { rows, counts: (glance.loops, glance.in_care, glance.open) });
        // Only now: the thread would take the processor from what is seen first.
        loader.load(now);
        glance.into_iter().collect()
    }

    /// What is known of a loop, where its life can be read.
    fn life_of(&self, tag: &str) -> Vec<Answer> {
        let unit = self.settings.units;
        let known = self.care.life(tag).ok();
        known.map(|known| Answer::Life(Box::new(Life { known, unit }))).into_iter().collect()
    }

    /// The open round of a loop, else its intake.
    fn open_loop(&mut self, tag: &str, who: Option<&str>, now: DateTime<FixedOffset>) -> Vec<Answer> {
        match self.care.open_loop_by(tag, who, now) {
            Ok(Opened::GoesOn(started)) => open(self.take_up(*started)),
            Ok(Opened::Free(free)) => open(self.intake(*free)),
            Err(held @ CareError::HeldBack(_)) => told(format!("{held} r releases it, h shows its history.")),
            Err(error) => told(error.to_string()),
        }
    }

    /// The question of who goes on with a loop's open round, where somebody other than the one at the bench worked at it.
    fn ask_hand(&self, tag: &str) -> Option<Vec<Answer>> {
        let here = self.usual.sharpener.clone();
        let before = self.care.at_work(tag).filter(|before| !here.is_empty() && *before != here)?;
        let title = format!("{before} worked at this round. Who goes on with it? Enter alone: {here}.");
        Some(open(Scene::Ask { title, purpose: Purpose::GoOn { tag: tag.to_owned(), here } }))
    }

    fn intake(&mut self, free: Free) -> Scene {
        let Free { card, profile, spec, last } = free;
        let at_bench = Some(self.usual.sharpener.clone()).filter(|name| !name.is_empty());
        let who = at_bench.or_else(|| last.as_ref().map(|last| last.sharpener.clone())).unwrap_or_default();
        let mut usual = match (self.care.asked_last(&card.tag, &who), last) {
            (Some(asked), _) => Usual::from(&asked),
            // What is asked is the person's habit, what is cut is the loop's.
            (None, Some(last)) => Usual { sharpener: who, wood: last.wood, ..self.usual.clone() },
            (None, None) => self.usual.clone(),
        };
        usual.units.get_or_insert(self.settings.units);
        let hands = self.care.hands(&card.tag);
        Scene::Intake(Box::new(Intake { card, profile, spec, usual, hands }))
    }

    fn begin(&mut self, header: &Header) -> Vec<Answer> {
        match self.care.begin(header) {
            Ok(started) => {
                self.usual = Usual::from(header);
                vec![Answer::Go(Step::Instead(self.take_up(started)))]
            }
            Err(error) => vec![Answer::Created(Err(error.to_string()))],
        }
    }

    /// Keeps a round open for writing; its screen.
    fn take_up(&mut self, started: Started) -> Scene {
        let Started { name, round, coach, opening } = started;
        self.open = Some(round);
        // Nobody at this bench has given a name yet: the round may be another's.
        let whose = (opening.goes_on && self.usual.sharpener.is_empty()).then(|| coach.whose("h"));
        let said = [opening.to_string(), whose.unwrap_or_default()].join(" ");
        let opening = Some(said.trim().to_owned()).filter(|said| !said.is_empty());
        Scene::Round(Box::new(AtBench { name, coach, opening, practice: None }))
    }

    /// A screen over a loop's card and its chain.
    fn over_card(&self, tag: &str, scene: impl FnOnce(Card, Profile) -> Scene) -> Vec<Answer> {
        match self.care.card_and_chain(tag) {
            Ok((card, profile)) => open(scene(card, profile)),
            Err(error) => told(error.to_string()),
        }
    }

    fn save_profile(&self, profile: &Profile) -> Vec<Answer> {
        vec![Answer::Created(self.care.save_profile(profile).map_err(|error| error.to_string()))]
    }

    /// The open round goes on in these hands.
    fn hand_to(&mut self, who: String) -> Vec<Answer> {
        if let Some(open) = &mut self.open {
            open.hand_to(&who);
        }
        self.usual.sharpener.clone_from(&who);
        let skill = self.care.skill(&who);
        vec![Answer::Handed(who, skill)]
    }

    /// How the figures of a loop's last round were reckoned.
    fn why_of(&self, tag: &str) -> Vec<Answer> {
        let whys = self.care.round(tag, None).ok().and_then(|(coach, _)| Whys::of(&coach));
        whys.map_or_else(|| told(NOTHING_RECKONED.to_owned()), |whys| open(Scene::Why(Box::new(whys))))
    }

    /// Causes for a loop; without a round of it, whatever a saw may have.
    fn causes(&self, tag: Option<&str>) -> Case {
        let unit = self.settings.units;
        match tag.and_then(|tag| self.care.round(tag, None).ok()) {
            Some((coach, card)) => {
                Case { name: card.name, findings: Some(coach.findings().clone()), unit, saw: coach.saw }
            }
            None => Case { unit, ..Case::default() },
        }
    }

    /// The wear model of a loop's own figures; without a loop, of a usual chain.
    fn model(&self, tag: Option<&str>) -> Scene {
        let unit = self.settings.units;
        let of = tag.and_then(|tag| self.care.round(tag, None).ok()).map(|(coach, card)| {
            let mut ground = coach.ground();
            ground.unit = unit;
            (card.name, ground)
        });
        let new = || {
            let (card, profile) = self.care.card_and_chain(tag?).ok()?;
            let spec = self.care.spec(&card, &profile).ok()?;
            Some((card.name.clone(), Ground::of(&spec, Wood::Any, None, unit)))
        };
        match of.or_else(new) {
            Some((name, ground)) => self.learn(Some(name), ground, None),
            None => self.learn(None, Ground::usual(unit), None),
        }
    }

    /// Whose lessons they are: the learner's whose drills are open, else those of whoever files here.
    fn who_learns(&self) -> &str {
        self.learner.as_ref().map_or(&self.usual.sharpener, OpenLearner::name)
    }

    fn learn(&self, name: Option<String>, ground: Ground, lesson: Option<Lesson>) -> Scene {
        let who = self.who_learns();
        let here = self.lessons.as_ref().filter(|(whose, _)| whose == who).map(|(_, lessons)| lessons.clone());
        let lessons = here.unwrap_or_else(|| self.care.lessons_of(who));
        Scene::Model(Box::new(Lecture { name, ground, lesson, lessons }))
    }

    /// Remembers what was done of the lessons, beyond the end of the program.
    fn keep_lessons(&mut self, lessons: Lessons, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let who = self.who_learns().to_owned();
        let kept = self.care.keep_lessons(&who, &lessons, now);
        self.lessons = Some((who, lessons));
        kept.map_or_else(|error| told(format!("The place in the lessons is not remembered: {error}")), |()| Vec::new())
    }

    fn sheet(&self, tag: &str) -> Vec<Answer> {
        match self.care.round(tag, None) {
            Ok((coach, _)) => self.sheet_of(&coach),
            Err(error) => told(error.to_string()),
        }
    }

    fn sheet_of(&self, coach: &Coach) -> Vec<Answer> {
        let card = self.care.card(&coach.round.header.tag).ok();
        let sheet = self.care.sheet_of(coach);
        let ascii = self.settings.theme.ascii();
        let title = format!("Sheet: {}", card.map_or_else(|| coach.round.header.tag.clone(), |card| card.name));
        open(Scene::Page { title, versions: vec![sheet.text(ascii), sheet.owner_text(ascii)], of: PageOf::Below })
    }

    fn history(&self, tag: &str) -> Vec<Answer> {
        let unit = self.settings.units;
        let known = self.care.life(tag).map_err(|error| error.to_string());
        known.map_or_else(told, |known| open(Scene::History(Box::new(Life { known, unit }))))
    }

    fn gaps(&self, tag: &str, unit: Unit) -> Vec<Answer> {
        let made = self.care.card_and_chain(tag).map_err(CareError::from).and_then(|(_, profile)| {
            let table = self.care.gaps(&profile, Some(tag), &GapRange::of(unit, None))?;
            let table = table.render(Format::Text, unit, self.settings.theme.ascii());
            Ok((table, crate::report::profile::text(&profile)))
        });
        match made {
            Ok((table, sources)) => {
                let title = "Raker gap by cutter length; v: where the numbers come from".to_owned();
                open(Scene::Page { title, versions: vec![table, sources], of: PageOf::Below })
            }
            Err(error) => told(error.to_string()),
        }
    }

    fn set_settings(&mut self, settings: Settings, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let mut answers = Vec::new();
        self.settings = settings;
        match settings.save(&self.care, &self.seen, now.to_utc()) {
            Ok((settings, written)) => {
                self.settings = settings;
                self.seen = written.value;
                let aside = written.aside.map(|aside| {
                    let aside = clean(&aside.to_string_lossy());
                    format!("Remembered. The settings that could not be read are kept in {aside}.")
                });
                let changed = Some(care::changed(&written.changed)).filter(|said| !said.is_empty());
                answers.extend(aside.into_iter().chain(changed).flat_map(told));
            }
            Err(error) => answers.extend(told(format!("Not remembered: {error}"))),
        }
        answers.insert(0, Answer::Looks(self.settings.theme, self.settings.units));
        answers
    }
}

fn open(scene: Scene) -> Vec<Answer> {
    vec![Answer::Go(Step::Open(scene))]
}

fn told(why: String) -> Vec<Answer> {
    vec![Answer::Go(Step::Notice(why))]
}
