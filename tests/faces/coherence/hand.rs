//! A hand that works a loop by keys, as people do it: mostly right, sometimes back and forth.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, TimeDelta};
use evenbite::care::{Standing, Workshop};
use evenbite::chain::{Sequence, Side, Wood};
use evenbite::record::Rack;
use evenbite::round::{Ask, Card, CutterState, Header, Reading, Round, Task, Tool, Trust};
use evenbite::round::{Own, Prices, Visit};
use evenbite::units::{Unit, mm};

use super::plot::{Dice, Plot};
use crate::played::{MONO, rehearsal};

/// Where the application stands, by its footer.
#[derive(Debug, PartialEq, Eq)]
enum Place {
    Round,
    Question,
    Closed,
    Elsewhere,
}

impl Place {
    fn of(screen: &str) -> Self {
        if screen.contains("Enter done  s sheet") {
            Self::Closed
        } else if screen.contains("* keep it") {
            Self::Question
        } else if screen.contains("* pause") {
            Self::Round
        } else {
            Self::Elsewhere
        }
    }
}

/// Tag of the loop.
pub(super) const TAG: &str = "twelve";
/// Its saw.
pub(super) const SAW: &str = "old orange";

/// Something off the straight path.
#[derive(Debug, Clone, Copy)]
enum Detour {
    TakeBack,
    GoTo,
    Damage,
    DamageWithdrawn,
    Kept,
    Pause,
    Missing,
    Enough,
    Again,
    Zero,
    Note,
}

/// Often done stands twice.
const DETOURS: [Detour; 14] = [
    Detour::TakeBack,
    Detour::TakeBack,
    Detour::TakeBack,
    Detour::GoTo,
    Detour::GoTo,
    Detour::Damage,
    Detour::DamageWithdrawn,
    Detour::Kept,
    Detour::Pause,
    Detour::Missing,
    Detour::Enough,
    Detour::Again,
    Detour::Zero,
    Detour::Note,
];

/// Cutters of the loop.
const CUTTERS: u16 = 10;

/// Work at one loop.
pub(super) struct Hand {
    pub plot: Plot,
    pub play: evenbite::tui::rehearse::Rehearsal,
    dir: tempfile::TempDir,
    dice: Dice,
    /// True length and gap of each cutter, mm.
    teeth: Vec<(f64, f64)>,
    start: DateTime<FixedOffset>,
    proofs: u32,
    /// Detours still to be made before any is made again.
    detours: Vec<Detour>,
    /// At the last round.
    last: bool,
    steps: u32,
    /// The round's screen before the last step.
    seen: String,
}

fn card(created: DateTime<FixedOffset>, plot: &Plot) -> Card {
    Card {
        tag: TAG.into(),
        name: "Twelve".into(),
        owner: "Mill yard".into(),
        saw: SAW.into(),
        profile: "three-eighths".into(),
        links: 2 * CUTTERS,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        created,
        own: Own { new_length: plot.own_length.then(|| mm(10.1)), ..Own::default() },
        prices: Prices { new_loop: Some(31.0), round: Some(9.5), hours_between: Some(5.0) },
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

/// A round of an earlier day, kept from a spreadsheet.
fn import(rack: &Rack, teeth: &[(f64, f64)], start: DateTime<FixedOffset>) {
    use evenbite::record::import::{Options, Target, Then, preview};
    let row = |(at, (length, gap)): (usize, &(f64, f64))| {
        let side = if at % 2 == 0 { "left" } else { "right" };
        format!("{},{side},{:.2},{:.2},{gap:.2}\n", at + 1, length + 0.3, length)
    };
    let rows: String = teeth.iter().enumerate().map(row).collect();
    let text = format!("cutter,side,length_mm,after_mm,gap_mm\n{rows}");
    let options = Options { unit: Some(Unit::Mm), ..Options::default() };
    let seen = preview(&text, &options, Some(&rack.card(TAG).unwrap())).unwrap();
    let target = Target {
        tag: TAG.into(),
        name: "Twelve".into(),
        profile: "three-eighths".into(),
        sharpener: "Ina".into(),
        wood: Wood::Any,
        tool: Tool::File,
        started: start - TimeDelta::days(60),
        file: "bench.csv".into(),
        then: Then::Keep,
    };
    rack.import(&seen, &target).unwrap();
}

impl Hand {
    /// At a new loop on a fresh data folder.
    pub(super) fn at(plot: Plot) -> Self {
        let dir = crate::scratch::folder();
        let start = DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").unwrap();
        let rack = Rack::open(dir.path().join("data")).unwrap();
        rack.create_loop(&card(start, &plot)).unwrap();
        let mut dice = Dice(plot.seed ^ 0x5eed);
        let tooth = |_| (10.0 - plot.worn + dice.scatter(0.08), 0.62 + dice.scatter(0.04));
        let mut teeth: Vec<(f64, f64)> = (0..CUTTERS).map(tooth).collect();
        if plot.struck {
            teeth[6].0 -= 1.0;
        }
        if plot.imported {
            import(&rack, &teeth, start);
        }
        let play = rehearsal(rack, (140, 45), MONO, start);
        Self {
            plot,
            play,
            dir,
            dice,
            teeth,
            start,
            proofs: 0,
            detours: Vec::new(),
            last: false,
            steps: 0,
            seen: String::new(),
        }
    }

    pub(super) fn data(&self) -> PathBuf {
        self.dir.path().join("data")
    }

    pub(super) fn rack(&self) -> Rack {
        Rack::open(self.data()).unwrap()
    }

    /// Time of the last entry.
    pub(super) fn now(&self) -> DateTime<FixedOffset> {
        self.play.app.shared.now
    }

    /// The round that is open or was closed last, as its file tells it.
    pub(super) fn round(&self) -> Round {
        let rack = self.rack();
        let rounds = rack.rounds(TAG).unwrap();
        rack.read_round(rounds.last().unwrap()).unwrap()
    }

    /// Begins the next round and opens it from the rack; false where the loop is held back.
    pub(super) fn begin(&mut self, round: u64) -> bool {
        let rack = self.rack();
        let rows = Workshop::open(self.data()).unwrap().rows(self.now()).rows;
        if rows.iter().any(|row| row.state == Standing::Rejected) {
            return false;
        }
        self.last = round + 1 == self.plot.rounds;
        let profile = rack.profile("three-eighths").unwrap();
        let card = rack.card(TAG).unwrap();
        let started = self.start + TimeDelta::days(60 * i64::try_from(round).unwrap());
        let header = Header {
            tag: card.tag.clone(),
            started,
            sharpener: "Ina".into(),
            wood: Wood::Any,
            tool: self.plot.tool,
            units: self.plot.unit,
            begin: Side::Left,
            take_strokes: self.plot.strokes,
            take_angles: self.plot.angles,
            edges: false,
            trust: Trust::default(),
            spread: false,
            links: card.links,
            sequence: card.sequence.clone(),
            first: card.first,
            start_mark: String::new(),
            saw: card.saw.clone(),
            profile: profile.name.clone(),
            spec: rack.spec(&card, &profile).unwrap(),
        };
        drop(rack.begin_round(&header).unwrap());
        self.proofs = 0;
        self.steps = 0;
        self.play.play(&format!("wait {}\nkey Enter", 60 * 86_400)).unwrap();
        assert_eq!(self.place(), Place::Round, "{}", self.play.screen());
        true
    }

    /// A doubtful reading waits for an answer.
    pub(super) fn asks(&self) -> bool {
        self.place() == Place::Question
    }

    fn place(&self) -> Place {
        Place::of(&self.play.screen())
    }

    fn key(&mut self, name: &str) {
        self.play.play(&format!("key {name}")).unwrap();
    }

    fn enter(&mut self, text: &str) {
        self.play.play(&format!("enter {text}")).unwrap();
    }

    /// Does the next thing; false once the round is closed.
    pub(super) fn step(&mut self) -> bool {
        self.steps += 1;
        let screen = self.play.screen();
        assert!(self.steps < 1500, "the round does not end\n{screen}");
        match Place::of(&screen) {
            Place::Question => {
                let meant = self.play.screen().contains("y as meant");
                let key = if self.dice.percent(50) { "*" } else { "/" };
                let take = meant && self.dice.percent(30);
                self.key(if take { "y" } else { key });
                return true;
            }
            Place::Closed => {
                self.key("Enter");
                return false;
            }
            Place::Round => self.seen.clone_from(&screen),
            Place::Elsewhere => panic!("out of the round\n{screen}\nafter\n{}", self.seen),
        }
        if screen.contains("1  measure it again") {
            // A fault holds the screen on its cutter until one of its choices is taken.
            let choice = ["0", "3", "0", "1", "3"][usize::try_from(self.dice.below(5)).unwrap()];
            self.key("Esc");
            self.enter(choice);
            return true;
        }
        if self.last && self.plot.cast_out && self.steps > 40 && self.dice.percent(10) {
            self.play.play("key j\nenter rivets 3 turns by hand").unwrap();
            return true;
        }
        let round = self.round();
        if self.dice.percent(self.plot.detours) && self.steps < 600 {
            self.detour(&round);
            return true;
        }
        // In a roomy window "once more" may stand on two lines.
        let again = ["once more", "Too close to call"].iter().any(|words| screen.contains(words));
        // The choice of a length names a cutter that is better read once more, and asks for none.
        let chooses = screen.contains("choice, or a length in");
        if again && !chooses && !matches!(round.step().ask, Ask::Zero) {
            self.once_more(&round, &screen);
            return true;
        }
        self.answer(&round);
        true
    }

    fn answer(&mut self, round: &Round) {
        let step = round.step();
        match (step.ask, step.cutter) {
            (Ask::Look(item), _) => {
                let last = self.last && self.plot.rejected && item == evenbite::round::LookItem::TieStraps;
                let worn = self.dice.percent(5) && item == evenbite::round::LookItem::Rivets;
                self.enter(if last {
                    "3"
                } else if worn {
                    "2"
                } else {
                    "1"
                });
            }
            (Ask::Read(reading), Some(cutter)) => {
                if self.dice.percent(self.plot.left_out) {
                    return self.enter("");
                }
                let text = self.reading(round, reading, cutter.into());
                self.enter(&text);
            }
            (Ask::Zero, _) => {
                let text = if self.dice.percent(50) { "0" } else { "" };
                self.enter(text);
            }
            (Ask::Do(task), _) => {
                self.grind(round, task);
                self.enter("");
            }
            (Ask::Target, _) => {
                let text = if round.cutters.iter().all(|c| c.before.is_empty()) {
                    self.show(10.0 - self.plot.worn - 0.4)
                } else if self.dice.percent(60) && self.play.screen().contains("\n2  ") {
                    "2".to_owned()
                } else if self.play.screen().contains("retire the loop") {
                    "1".to_owned()
                } else {
                    String::new()
                };
                self.enter(&text);
            }
            (Ask::Rule, _) => {
                let text = ["", "", "1", "2"][usize::try_from(self.dice.below(4)).unwrap()];
                self.enter(text);
            }
            (Ask::Light, _) => {
                let text = if self.dice.percent(80) { "0" } else { "" };
                self.enter(text);
            }
            (Ask::Prove, _) => {
                self.proofs += 1;
                if self.plot.detours > 0 && self.proofs == 1 {
                    // Seen only now that all is done.
                    return self.damage();
                }
                self.enter(if self.proofs > 5 { "0" } else { "" });
            }
            (Ask::Sign | Ask::Reject, _) => self.enter("1"),
            (Ask::Saw, _) => self.saw(),
            (Ask::Nothing | Ask::Read(_), _) => self.key("Enter"),
        }
    }

    /// What this cutter's reading shows, after whatever the reading wants done first.
    fn reading(&mut self, round: &Round, reading: Reading, cutter: u16) -> String {
        let at = usize::from(cutter - 1);
        let target = round.target.as_ref().map_or(self.teeth[at].0 - 0.3, |target| target.length.get());
        let over = self.teeth[at].0 - target;
        match reading {
            Reading::LengthBefore => self.length(at),
            Reading::Strokes => {
                let count = (over / 0.09).round().clamp(1.0, 40.0);
                let took = count * 0.09 * (1.0 + self.dice.scatter(0.15));
                self.take_off(at, took);
                format!("{count}")
            }
            Reading::LengthAfter => {
                if !self.plot.strokes && self.plot.tool == Tool::File {
                    let took = (over + self.dice.scatter(0.05)).max(0.02);
                    self.take_off(at, took);
                }
                self.length(at)
            }
            Reading::Angle => format!("{:.0}", 30.0 + self.dice.scatter(1.2)),
            Reading::GapBefore => self.gap(at),
            Reading::GapAfter => {
                let cutter = &round.cutters[at];
                let wanted = round.target_gap(cutter).map_or(0.65, evenbite::units::Millimetres::get);
                self.teeth[at].1 = wanted + self.dice.scatter(0.04);
                self.gap(at)
            }
        }
    }

    fn length(&mut self, at: usize) -> String {
        let read = self.teeth[at].0 + self.dice.scatter(0.03);
        self.show(read)
    }

    fn gap(&mut self, at: usize) -> String {
        let read = self.teeth[at].1 + self.dice.scatter(0.02);
        self.show(read)
    }

    fn show(&self, value: f64) -> String {
        match self.plot.unit {
            Unit::Mm => format!("{value:.2}"),
            Unit::Inch => format!("{:.4}", value / 25.4),
        }
    }

    fn take_off(&mut self, at: usize, took: f64) {
        let took = took.clamp(0.0, 2.0);
        self.teeth[at].0 -= took;
        self.teeth[at].1 -= took * 0.176;
    }

    fn grind(&mut self, round: &Round, task: Task) {
        let side = match task {
            Task::FirstGround => round.header.begin,
            Task::SecondGround => round.header.begin.other(),
            _ => return,
        };
        let Some(target) = round.target.as_ref().map(|target| target.length.get()) else { return };
        for at in 0..self.teeth.len() {
            if round.cutters[at].side == side {
                let over = self.teeth[at].0 - target - self.dice.scatter(0.03);
                self.take_off(at, over.max(0.0));
            }
        }
    }

    /// The reading that was too close to call, read again.
    fn once_more(&mut self, round: &Round, screen: &str) {
        use evenbite::round::Event;
        let last = round.last_voidable().map(|entry| entry.event.clone());
        let text = match last {
            // The proof may ask for a gap after the length of another cutter was read.
            _ if screen.contains("raker gap, ") || screen.contains("raker gap after filing, ") => {
                self.gap(cutter_in_hand(screen) - 1)
            }
            Some(Event::Length { cutter, .. }) => self.length(usize::from(u16::from(cutter) - 1)),
            Some(Event::Gap { cutter, .. }) => self.gap(usize::from(u16::from(cutter) - 1)),
            Some(Event::Angle { .. }) => "30".to_owned(),
            _ => String::new(),
        };
        self.enter(&text);
    }

    /// The next thing off the straight path: each comes before any comes again.
    fn detour(&mut self, round: &Round) {
        if self.detours.is_empty() {
            self.detours = DETOURS.into();
            self.dice.shuffle(&mut self.detours);
        }
        let Some(detour) = self.detours.pop() else { return };
        match detour {
            Detour::TakeBack => {
                self.key("/");
                if self.dice.percent(30) {
                    self.key("/");
                }
            }
            Detour::GoTo => {
                let number = self.number();
                self.play.play(&format!("key g\nenter {number}")).unwrap();
            }
            Detour::Damage => self.damage(),
            Detour::DamageWithdrawn => {
                let hurt = round.cutters.iter().find(|cutter| cutter.state == CutterState::Damaged);
                match hurt.map(|cutter| cutter.number) {
                    Some(number) => self.play.play(&format!("key g\nenter {number}\nkey k")).map(drop).unwrap(),
                    None => self.damage(),
                }
            }
            Detour::Kept => self.mark("k"),
            Detour::Pause => {
                self.key("*");
                self.key("Enter");
            }
            Detour::Missing => self.mark("x"),
            Detour::Enough => self.key("e"),
            Detour::Again => self.key("r"),
            Detour::Zero => {
                let shown = self.show(0.02);
                self.play.play(&format!("key z\nenter {shown}")).unwrap();
            }
            Detour::Note => drop(self.play.play("key n\nenter seen in poor light").unwrap()),
        }
        if self.place() == Place::Elsewhere {
            // A wish that asks for more than it got: leave it.
            self.key("Esc");
        }
    }

    fn damage(&mut self) {
        self.mark("d");
        let depth = if self.dice.percent(70) { self.show(0.5) } else { String::new() };
        self.enter(&depth);
    }

    fn number(&mut self) -> u64 {
        1 + self.dice.below(CUTTERS.into())
    }

    /// Puts a mark on a cutter: on the one in hand, or on any where the screen asks which.
    fn mark(&mut self, key: &str) {
        self.key(key);
        if self.play.screen().contains("which cutter?") {
            let number = self.number();
            self.enter(&number.to_string());
        }
    }

    /// Looks at the saw, or leaves it out.
    fn saw(&mut self) {
        if self.dice.percent(70) {
            return self.enter("");
        }
        self.play.play("enter 1\nenter 1\nkey *").unwrap();
    }
}

/// The number in "Cutter 5, left".
fn cutter_in_hand(screen: &str) -> usize {
    let number = regex_lite::Regex::new(r"Cutter (\d+), (?:left|right)").unwrap();
    number.captures(screen).map_or(1, |found| found[1].parse().unwrap())
}
