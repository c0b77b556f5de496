//! A sharpener at a simulated bench: answers every step of a round the way a hand, a caliper and a file would, and has the
//! library keep it. The same dice give the same files.

use chrono::{DateTime, FixedOffset, TimeDelta};
use evenbite::chain::{CutterNumber, Rule, Side, Wood};
use evenbite::record::{Rack, RoundFile};
use evenbite::round::{
    Ask, Card, Closing, CutterState, Event, Finding, Header, LookItem, Phase, Reading, Round, Step, Task, Tool, When,
};
use evenbite::units::reading::{Kind, Value, parse};
use evenbite::units::{Millimetres, Unit, mm};

/// Cutters measured before and rakers measured in a round that does not measure everything.
const SAMPLE: usize = 10;
const RAKER_SAMPLE: usize = 6;
/// Filed cutters end this far above the length to file to, mm.
const ABOVE_MM: f64 = 0.04;

/// Splitmix64 (Steele, Lea and Flood 2014): small, and the same everywhere.
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to just under `end`.
    pub fn below(&mut self, end: u32) -> u32 {
        u32::try_from(self.next() >> 32).unwrap() % end
    }

    /// Near enough normal, made of plain sums so that no machine's mathematics library can change a digit.
    pub fn scatter(&mut self, sd: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| f64::from(self.below(1 << 20)) / f64::from(1 << 20)).sum();
        (sum - 6.0) * sd
    }
}

/// Who files, and how.
#[derive(Clone, Copy)]
pub struct Hand {
    pub name: &'static str,
    /// Length that a stroke takes on the left, mm.
    pub left: f64,
    /// And on the right.
    pub right: f64,
    /// How well the caliper repeats in this hand, mm.
    pub reads: f64,
    /// Types a decimal comma.
    pub comma: bool,
    /// Turn of the wrist, degrees: added to left angles, taken from right ones.
    pub wrist: f64,
}

/// What is true of a cutter, whatever is read of it, mm.
#[derive(Clone, Copy)]
pub struct Tooth {
    pub length: f64,
    pub gap: f64,
}

/// One round of a loop.
#[derive(Clone, Copy)]
pub struct Visit {
    pub at: &'static str,
    pub who: Hand,
    pub wood: Wood,
    pub tool: Tool,
    pub units: Unit,
    /// Measure every cutter and every raker; else only some of them.
    pub full: bool,
    pub strokes: bool,
    pub angles: bool,
    /// Depth of the worst nick, mm: its cutter sets the length for all.
    pub nick: f64,
    /// A cutter that met a stone, and how deep; it is left short.
    pub struck: Option<(CutterNumber, f64)>,
    /// What the look-over rejects, and in which words.
    pub reject: Option<(LookItem, &'static str)>,
    /// Left cutters end shorter than they should and right ones longer by this, mm.
    pub lean: f64,
    /// The saw that comes along and is looked at.
    pub saw: &'static str,
    /// Stop for the day once so many cutters are filed.
    pub stop_after: Option<usize>,
    pub note: Option<&'static str>,
}

struct Bench<'a> {
    file: RoundFile,
    round: Round,
    now: DateTime<FixedOffset>,
    visit: &'a Visit,
    teeth: &'a mut [Tooth],
    dice: &'a mut Dice,
    /// The nicked cutter.
    nicked: CutterNumber,
}

/// Plays one round to its end, or to where it stops for the day.
pub fn play(rack: &Rack, card: &Card, visit: &Visit, teeth: &mut [Tooth], dice: &mut Dice) {
    let header = header(rack, card, visit);
    let now = header.started;
    let (file, round) = rack.begin_round(&header).unwrap();
    let order = round.layout.measuring_order(header.spread);
    let nicked = order[usize::try_from(dice.below(8)).unwrap()];
    let mut bench = Bench { file, round, now, visit, teeth, dice, nicked };
    bench.work();
    rack.close(bench.file).unwrap();
}

fn header(rack: &Rack, card: &Card, visit: &Visit) -> Header {
    let profile = rack.profile(&card.profile).unwrap();
    Header {
        tag: card.tag.clone(),
        started: DateTime::parse_from_rfc3339(visit.at).unwrap(),
        sharpener: visit.who.name.into(),
        wood: visit.wood,
        tool: visit.tool,
        units: visit.units,
        begin: Side::Left,
        take_strokes: visit.strokes,
        take_angles: visit.angles,
        spread: !visit.full,
        links: card.links,
        sequence: card.sequence.clone(),
        first: card.first,
        start_mark: card.start_mark.clone(),
        saw: visit.saw.into(),
        profile: profile.name.clone(),
        spec: card.spec(profile.spec()),
    }
}

impl Bench<'_> {
    fn work(&mut self) {
        loop {
            let step = self.round.step();
            match (step.ask, step.cutter) {
                (Ask::Look(item), _) => self.look(item),
                (Ask::Saw, _) => self.saw(),
                (Ask::Read(reading), Some(cutter)) if self.leaves_the_rest(reading) => self.leave_the_rest(cutter),
                (Ask::Read(reading), Some(cutter)) => self.read(cutter, reading),
                (Ask::Zero, _) => self.put(&Event::Zero { mm: mm(0.0) }, Some("0"), 8),
                (Ask::Do(task), _) => self.task(task),
                (Ask::Target, _) => self.choose_length(),
                (Ask::Rule, _) => self.choose_rule(),
                (Ask::Prove, _) => self.put(&Event::Done { task: Task::Proved }, None, 40),
                (Ask::Reject, _) => self.put(&Event::Closed { how: Closing::Rejected }, None, 60),
                (Ask::Sign, _) => self.sign(),
                (Ask::Nothing, _) => return,
                (Ask::Read(_), None) => unreachable!("a reading is always one of a cutter: {:?}", Step { ..step }),
            }
            if self.visit.stop_after.is_some_and(|most| self.filed() >= most) {
                return self.put(&Event::Paused {}, None, 30);
            }
        }
    }

    /// Has the event kept, some `seconds` after the last one.
    fn put(&mut self, event: &Event, typed: Option<&str>, seconds: u32) {
        self.round.check(event).unwrap_or_else(|refusal| panic!("{}: {refusal}", self.visit.at));
        self.now += TimeDelta::seconds(i64::from(seconds * 3 / 4 + self.dice.below(seconds / 2 + 1)));
        let ack = self.file.append(self.now, event, typed).unwrap();
        self.round.apply(ack.entry);
    }

    fn look(&mut self, item: LookItem) {
        let rejects = self.visit.reject.filter(|(what, _)| *what == item);
        let finding = if rejects.is_some() { Finding::Reject } else { Finding::Sound };
        self.put(&Event::Looked { item, finding, note: rejects.map(|(_, words)| words.into()) }, None, 14);
    }

    /// The saw came along and is looked at; what is found is written to its own record.
    fn saw(&mut self) {
        let name = self.round.header.saw.clone();
        self.now += TimeDelta::seconds(150);
        let event = Event::Saw { looked_at: Some(name) };
        let ack = self.file.append(self.now, &event, Some("1")).unwrap();
        self.round.apply(ack.entry);
    }

    fn count(&self, reading: Reading) -> usize {
        let has = |cutter: &&evenbite::round::Cutter| cutter.series(reading).is_some_and(|series| !series.is_empty());
        self.round.cutters.iter().filter(has).count()
    }

    fn filed(&self) -> usize {
        self.count(Reading::LengthAfter)
    }

    fn leaves_the_rest(&self, reading: Reading) -> bool {
        let most = match reading {
            Reading::LengthBefore => SAMPLE,
            Reading::GapBefore => RAKER_SAMPLE,
            _ => return false,
        };
        !self.visit.full && self.count(reading) >= most
    }

    /// Enough is measured: on to the next part. Rakers that nobody measures are filed with the others all the same.
    fn leave_the_rest(&mut self, cutter: CutterNumber) {
        let phase = if self.round.phase() == Phase::Measure { Phase::Plan } else { Phase::Prove };
        if phase == Phase::Prove {
            for number in CutterNumber::up_to(self.round.layout.count()).skip(cutter.index()) {
                self.file_raker(number);
            }
        }
        self.put(&Event::Went { phase, cutter: None }, None, 20);
    }

    fn read(&mut self, cutter: CutterNumber, reading: Reading) {
        let at = cutter.index();
        match reading {
            Reading::LengthBefore => {
                let length = self.teeth[at].length + self.dice.scatter(self.visit.who.reads);
                self.length(cutter, When::Before, length, 9);
                self.mark(cutter);
            }
            Reading::Strokes => {
                let count = self.file_tooth(cutter);
                self.put(&Event::Strokes { cutter, count }, Some(&count.to_string()), 16);
            }
            Reading::LengthAfter => {
                let pause = if self.visit.strokes || self.visit.tool == Tool::Grinder { 8 } else { 22 };
                if !self.visit.strokes && self.visit.tool == Tool::File {
                    self.file_tooth(cutter);
                }
                let length = self.teeth[at].length + self.dice.scatter(self.visit.who.reads);
                self.length(cutter, When::After, length, pause);
            }
            Reading::Angle => self.angle(cutter),
            Reading::GapBefore | Reading::GapAfter => {
                let when = if reading == Reading::GapBefore { When::Before } else { When::After };
                if when == When::After {
                    self.file_raker(cutter);
                }
                let gap = self.teeth[at].gap + self.dice.scatter(0.015);
                let (mm, typed) = self.shown(gap);
                self.put(&Event::Gap { cutter, when, mm, again: false }, Some(&typed), 13);
            }
        }
    }

    /// What the caliper shows, and what is typed for it.
    fn shown(&self, value: f64) -> (Millimetres, String) {
        let unit = self.visit.units;
        let mut typed = match unit {
            Unit::Mm => format!("{value:.2}"),
            // An inch caliper shows half thousandths.
            Unit::Inch => format!("{:.4}", (value / 25.4 * 2000.0).round() / 2000.0),
        };
        if self.visit.who.comma {
            typed = typed.replace('.', ",");
        }
        let read = parse(&typed, Kind::Length, unit).unwrap();
        let Value::Length(length) = read.value else { unreachable!("{typed} is a length") };
        (length, read.raw)
    }

    fn length(&mut self, cutter: CutterNumber, when: When, value: f64, seconds: u32) {
        let (mm, typed) = self.shown(value);
        self.put(&Event::Length { cutter, when, mm, again: false }, Some(&typed), seconds);
    }

    fn angle(&mut self, cutter: CutterNumber) {
        let target = self.round.header.spec.top_plate_for(self.visit.wood).get();
        let turn = if self.side(cutter) == Side::Left { self.visit.who.wrist } else { -self.visit.who.wrist };
        let halves = ((target + turn + self.dice.scatter(0.8)) * 2.0).round() / 2.0;
        let typed = format!("{halves:.1}");
        let deg = evenbite::units::deg(halves);
        self.put(&Event::Angle { cutter, deg, again: false }, Some(&typed), 9);
    }

    /// Damage that is seen while the caliper is on the cutter.
    fn mark(&mut self, cutter: CutterNumber) {
        let struck = self.visit.struck.filter(|(number, _)| *number == cutter).map(|(_, depth)| depth);
        let nick = (cutter == self.nicked && self.visit.nick > 0.0).then_some(self.visit.nick);
        if let Some(depth) = struck.or(nick) {
            let (need, _) = self.shown(depth);
            self.put(&Event::State { cutter, state: CutterState::Damaged, need_mm: Some(need) }, None, 12);
        }
        if struck.is_some() {
            self.put(&Event::Note { cutter: Some(cutter), text: "met a stone: side plate torn".into() }, None, 15);
        }
    }

    fn side(&self, cutter: CutterNumber) -> Side {
        self.round.layout.side(cutter).unwrap()
    }

    /// The length that the worst cutter kept can reach.
    fn choose_length(&mut self) {
        let left_short: Vec<CutterNumber> = self.visit.struck.iter().map(|(number, _)| *number).collect();
        let kept = self.round.cutters.iter().filter(|cutter| !left_short.contains(&cutter.number));
        let reach = kept.filter_map(|cutter| Some(cutter.before.mean()? - self.round.need(cutter).get()));
        let target = reach.fold(f64::MAX, f64::min);
        let mm = mm((target * 100.0).round() / 100.0);
        self.put(&Event::Target { mm, left_short, recommended: true }, None, 25);
    }

    fn choose_rule(&mut self) {
        let spec = &self.round.header.spec;
        let mut lengths: Vec<f64> = self.teeth.iter().map(|tooth| tooth.length).collect();
        lengths.sort_by(f64::total_cmp);
        let wear = spec.wear(mm(lengths[lengths.len() / 2]));
        let rule = if wear >= spec.worth_wear(self.visit.wood) { Rule::Scaled } else { Rule::Fixed };
        self.put(&Event::Rule { rule }, None, 20);
    }

    fn task(&mut self, task: Task) {
        let begin = self.round.header.begin;
        match task {
            Task::FirstGround => self.grind(begin),
            Task::HeadSwung => self.grind(begin.other()),
            _ => {}
        }
        let seconds = if matches!(task, Task::FirstGround | Task::SecondGround) { 240 } else { 60 };
        self.put(&Event::Done { task }, None, seconds);
    }

    /// Where this cutter is filed to, mm.
    fn goal(&self, cutter: CutterNumber) -> f64 {
        let lean = if self.side(cutter) == Side::Left { -self.visit.lean } else { self.visit.lean };
        self.round.target.as_ref().unwrap().length.get() + ABOVE_MM + lean
    }

    fn grind(&mut self, side: Side) {
        let numbers: Vec<CutterNumber> = self.round.layout.of_side(side).collect();
        for cutter in numbers {
            let ground = self.goal(cutter) + self.dice.scatter(0.02);
            let took = self.teeth[cutter.index()].length - ground;
            self.take_off(cutter, took.max(0.05));
        }
    }

    /// Files a tooth by hand and says with how many strokes.
    fn file_tooth(&mut self, cutter: CutterNumber) -> u32 {
        let hand = self.visit.who;
        let rate = if self.side(cutter) == Side::Left { hand.left } else { hand.right };
        // A cutter left short loses what its stone took, whatever the others end at.
        let struck = self.visit.struck.filter(|(number, _)| *number == cutter);
        let over = self.teeth[cutter.index()].length - self.goal(cutter);
        let wanted = struck.map_or(over, |(_, depth)| depth);
        let mut count = 1;
        while count < 40 && (f64::from(count) + 0.5) * rate < wanted {
            count += 1;
        }
        let took = f64::from(count) * rate * (1.0 + self.dice.scatter(0.08));
        // The last stroke is drawn lighter or heavier to meet the length.
        let took = 0.35 * took + 0.65 * wanted.max(0.5 * rate);
        self.take_off(cutter, took);
        count
    }

    fn take_off(&mut self, cutter: CutterNumber, took: f64) {
        let tooth = &mut self.teeth[cutter.index()];
        tooth.length -= took;
        tooth.gap -= took * self.round.header.spec.fall();
    }

    fn file_raker(&mut self, cutter: CutterNumber) {
        let spec = &self.round.header.spec;
        let tooth = &mut self.teeth[cutter.index()];
        let wear = spec.wear(mm(tooth.length));
        let target = spec.target_gap(self.round.rule_in_force(), self.visit.wood, wear).unwrap().get();
        if tooth.gap < target - 0.6 * spec.gap_tolerance.get() {
            tooth.gap = target + 0.01 + self.dice.scatter(0.02);
        }
    }

    fn sign(&mut self) {
        if let Some(text) = self.visit.note {
            self.put(&Event::Note { cutter: None, text: text.into() }, None, 30);
        }
        self.put(&Event::Closed { how: Closing::Signed }, None, 20);
    }
}
