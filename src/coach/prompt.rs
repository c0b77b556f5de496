//! What to show at a step: where, what to do now, what is asked, what helps.

mod at_cutter;
mod ending;

use super::hold::Hold;
use super::{Coach, words};
use crate::advice::say::status;
use crate::advice::{AngleWord, Findings, GapWord, LengthWord, Redo, setting};
use crate::chain::gap::practice_range;
use crate::chain::geometry::published_marks;
use crate::chain::{CutterNumber, Rule, Side};
use crate::round::{Ask, Cut, Cutter, CutterState, LookItem, Phase, Reading, Step, Task, list, script};
use crate::units::{Millimetres, mm};

/// Least gain in length for which one more cutter left short is offered.
const WORTH_SHOWING: Millimetres = mm(0.05);

/// What is typed at the proof to judge the rakers by the rule that most of them fit. Digits are cutters there.
pub(super) const JUDGE_BY_FIT: &str = "-";

/// Where no head tilt is stated.
const NO_TILT: &str = "as the chain's maker states; not in the profile";

/// A step in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Prompt {
    /// The step it is about.
    pub step: Step,
    /// Where: `Cutter 7, left`.
    pub place: String,
    /// The same for big digits: `7 L`; empty where there is no number.
    pub big: String,
    /// What to do now in a few letters, to be read from afar: `4 strokes`; empty where there is nothing so short to say.
    pub act: String,
    /// What to do now, one short sentence.
    pub now: String,
    /// Name of the reading field; empty where only Enter is wanted.
    pub field: String,
    /// What helps: name and value.
    pub facts: Vec<(String, String)>,
    /// What may be typed: key and meaning.
    pub choices: Vec<(String, String)>,
    /// What Enter alone does.
    pub enter: &'static str,
}

impl Prompt {
    /// The step for the ear: where, what to do, what may be typed.
    pub fn aloud(&self) -> String {
        let choices = self.choices.iter().map(|(key, meaning)| format!(" {key}: {meaning}."));
        format!("{}. {}{}", self.place, self.now, choices.collect::<String>())
    }
}

impl Coach {
    /// The present step in words.
    pub fn prompt(&self, findings: &Findings) -> Prompt {
        let step = self.round.step();
        if let Some(hold) = &self.hold {
            return self.hold_prompt(step, hold);
        }
        if let Some((number, reading)) = self.repeat {
            return self.repeat_prompt(step, number, reading, findings);
        }
        if self.asks_cut() {
            return cut_prompt(step);
        }
        let cutter = step.cutter.and_then(|number| self.round.cutter(number));
        match (step.ask, cutter) {
            (Ask::Look(item), _) => self.look_prompt(step, item),
            (Ask::Zero, _) => self.zero_prompt(step),
            (Ask::Saw, _) => self.saw_prompt(step),
            (Ask::Read(reading), Some(cutter)) => self.read_prompt(step, cutter, reading, findings),
            (Ask::Do(task), _) => self.task_prompt(step, task),
            (Ask::Target, _) => self.target_prompt(step, findings),
            (Ask::Rule, _) => self.rule_prompt(step, findings),
            (Ask::Light, _) => light_prompt(step),
            (Ask::Prove, _) => self.prove_prompt(step, findings),
            (Ask::Sign, _) if self.round.is_spent() => self.spent_prompt(step, findings),
            (Ask::Sign, _) => self.sign_prompt(step, findings),
            (Ask::Reject, _) => self.reject_prompt(step),
            (Ask::Nothing | Ask::Read(_), _) => plain(step, "Done", "This round is closed.", "done"),
        }
    }

    /// The screen of a fault: the verdict, and what can be done about it.
    fn hold_prompt(&self, step: Step, hold: &Hold) -> Prompt {
        let side = self.round.layout.side(hold.cutter).unwrap_or(Side::Left);
        let mut prompt = plain(step, &place(hold.cutter, side), "", hold.enter());
        prompt.big = big(hold.cutter, side);
        prompt.now = hold.now();
        prompt.field = hold.field(self.round.header.units);
        prompt.choices = choices(hold.choices(self.round.header.tool));
        prompt
    }

    fn repeat_prompt(&self, step: Step, number: CutterNumber, reading: Reading, findings: &Findings) -> Prompt {
        let side = self.round.layout.side(number).unwrap_or(Side::Left);
        let name = words::reading(reading);
        let mut prompt = plain(step, &place(number, side), "", "go on without");
        prompt.big = big(number, side);
        prompt.act = "measure".into();
        let again = self.left_open().is_some_and(|left| left.again.is_some());
        prompt.now = if again || is_close(findings, number, reading) {
            format!("Too close to call: measure the {name} once more.")
        } else {
            format!("Measure the {name} once more: it joins the readings before.")
        };
        prompt.field = self.field_name(reading);
        prompt
    }

    fn look_prompt(&self, step: Step, item: LookItem) -> Prompt {
        let (name, question) = words::look(item);
        let at = self.round.header.looks().position(|other| other == item).unwrap_or(0) + 1;
        let of = self.round.header.looks().count();
        let mut prompt = plain(step, &format!("Look over {at} of {of}: {name}"), question, "");
        prompt.field = "found".into();
        prompt.choices = choices(words::look_choices(item));
        if item == LookItem::WitnessMark {
            let mark = self.round.header.units.show_named(self.round.header.spec.mark_length);
            prompt.facts.push(("mark at".to_owned(), mark));
            prompt.facts.push(("without one".to_owned(), published_marks(self.round.header.units)));
        }
        prompt
    }

    fn reject_prompt(&self, step: Step) -> Prompt {
        let now = "This loop must not go back on a saw. Take the finding back if it was a slip.";
        let mut prompt = plain(step, "Rejected", now, "");
        prompt.field = "record it".into();
        prompt.choices = choices(&[("1", "record the rejection and end this round")]);
        prompt.facts = self.round.stops().iter().map(|stop| ("rejected".to_owned(), status::stop(stop))).collect();
        prompt
    }

    fn zero_prompt(&self, step: Step) -> Prompt {
        let now = match step.phase {
            Phase::Prove => "Close the caliper once more: does it still show zero?",
            _ => "Wipe the jaws and close them: what does the caliper show?",
        };
        let mut prompt = plain(step, "Caliper", now, "skip it");
        prompt.field = format!("closed, {}", self.round.header.units.name());
        prompt
    }

    fn saw_prompt(&self, step: Step) -> Prompt {
        let place = format!("The saw: {}", self.round.header.saw);
        let question =
            "Is it here? Look at bar, sprocket, oil and tension: an even loop still cuts crooked on a bad bar.";
        let mut prompt = plain(step, &place, question, "it is not here");
        prompt.field = "saw".into();
        prompt.choices = choices(&[("1", "look at the saw")]);
        let last = self.saw.as_ref().and_then(|saw| saw.looks().last().map(|look| look.at));
        prompt.facts.extend(last.map(|at| ("last looked at".to_owned(), at.format("%Y-%m-%d").to_string())));
        let hint = self.saw.as_ref().and_then(|saw| crate::advice::say::saw::hint(&saw.glance()));
        prompt.facts.extend(hint.map(|hint| ("known".to_owned(), hint)));
        prompt
    }

    fn field_name(&self, reading: Reading) -> String {
        let unit = match reading {
            Reading::Strokes => return words::reading(reading).to_owned(),
            Reading::Angle => "degrees",
            _ => self.round.header.units.name(),
        };
        format!("{}, {unit}", words::reading(reading))
    }

    fn read_prompt(&self, step: Step, cutter: &Cutter, reading: Reading, findings: &Findings) -> Prompt {
        let mut prompt = plain(step, &place(cutter.number, cutter.side), "", "skip it");
        prompt.big = big(cutter.number, cutter.side);
        prompt.field = self.field_name(reading);
        prompt.act = self.act(cutter, reading, findings);
        prompt.now = self.what_to_do(cutter, reading, findings);
        prompt.facts = self.facts(cutter, reading, findings);
        if let Some(enough) = findings.enough.filter(|_| reading == Reading::LengthBefore && self.round.header.spread) {
            prompt.facts.push(("the rest".to_owned(), enough.words()));
        }
        // Sent back by the proof: say again what for.
        let of_this = |redo: &&Redo| redo.cutter == cutter.number && redo.phase == step.phase;
        if let Some(redo) = findings.redo.iter().find(of_this).filter(|_| self.round.going_back_to().is_some()) {
            prompt.facts.push(("again because".to_owned(), redo.words(self.round.header.units)));
        }
        prompt
    }

    fn task_prompt(&self, step: Step, task: Task) -> Prompt {
        let begin = self.round.header.begin;
        let place = match task {
            Task::SawTurned | Task::HeadSwung | Task::SecondGround => format!("The {} cutters", begin.other()),
            _ => format!("The {begin} cutters"),
        };
        let mut prompt = plain(step, &place, words::task(task), "done");
        let unit = self.round.header.units;
        if let Some(target) = &self.round.target {
            prompt.facts.push(("length to reach".to_owned(), unit.show_named(target.length)));
        }
        let hand = if matches!(task, Task::HeadSwung | Task::SecondGround) { begin.other() } else { begin };
        if matches!(task, Task::StopSet | Task::HeadSwung) {
            let of_hand = |cutter: &&Cutter| cutter.side == hand && cutter.is_matched();
            let measured = self.round.cutters.iter().filter(of_hand).filter_map(|c| Some((c.number, c.length()?)));
            let shortest = measured.min_by(|a, b| a.1.total_cmp(&b.1));
            let stop = shortest.map(|(number, length)| {
                (
                    "set it on".to_owned(),
                    format!("cutter {number}, the shortest {hand} one, {}", unit.show_named(length)),
                )
            });
            prompt.facts.extend(stop);
            let spec = &self.round.header.spec;
            prompt.facts.push(("top-plate angle".to_owned(), spec.top_plate_for(self.round.header.wood).to_string()));
            let tilt = spec.head_tilt.map_or_else(|| NO_TILT.to_owned(), |tilt| tilt.to_string());
            prompt.facts.push(("head tilt".to_owned(), tilt));
        }
        if matches!(task, Task::FirstGround | Task::HeadSwung | Task::SecondGround) {
            let short = |cutter: &&Cutter| cutter.side == hand && cutter.state == CutterState::LeftShort;
            let numbers: Vec<_> = self.round.cutters.iter().filter(short).map(|cutter| cutter.number).collect();
            if !numbers.is_empty() {
                prompt.now.push_str(&format!(" Not {}, left short.", crate::advice::say::cutters(&numbers)));
            }
        }
        prompt
    }

    fn target_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let unit = self.round.header.units;
        let mut prompt = plain(
            step,
            self.round.header.tool.words("Choose the length to file to", "Choose the length to grind to"),
            "",
            "take the recommended one",
        );
        prompt.field = format!("choice, or a length in {}", unit.of_lengths());
        if let Some(target) = &self.round.target {
            prompt.facts.push(("until another is chosen".to_owned(), unit.show_named(target.length)));
        }
        let Some(plan) = &findings.plan else {
            prompt.now = "No cutter is measured: type the length to file to.".into();
            prompt.enter = "";
            return prompt;
        };
        prompt.now = plan.words(unit);
        if plan.unmeasured > 0 {
            let all = plan.measured + plan.unmeasured;
            let fact = format!("{} of {all} cutters: one of them may be the shortest", plan.unmeasured);
            prompt.facts.push(("not measured".to_owned(), fact));
        }
        if let Some(deciding) = plan.check.first() {
            let fact = format!("cutter {deciding} once more: its one reading sets the length for all");
            prompt.facts.push(("better first".to_owned(), fact));
        }
        for (index, option) in plan.options.iter().enumerate() {
            let recommended = plan.recommended == Some(index);
            // An option that saves next to nothing over the one before only costs time to read.
            let before = index.checked_sub(1).and_then(|before| plan.options.get(before));
            if !recommended
                && self.round.reopened.is_none()
                && before.is_some_and(|before| option.target - before.target < WORTH_SHOWING)
            {
                continue;
            }
            let mark = if recommended { "recommended: " } else { "" };
            prompt.choices.push(((index + 1).to_string(), format!("{mark}{}", words::plan_option(option, unit))));
        }
        prompt
    }

    fn rule_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let (unit, wood) = (self.round.header.units, self.round.header.wood);
        let why = findings.rule.words(unit);
        let mut prompt = plain(step, "Rakers: which gap today", &why, "take the recommended one");
        prompt.field = "choice".into();
        let spec = &self.round.header.spec;
        let median = findings.changeover.median_wear;
        for (key, rule) in [("1", Rule::Fixed), ("2", Rule::Scaled), ("3", Rule::Plate), ("4", Rule::Setting)] {
            let gap = median.and_then(|wear| spec.target_gap(rule, wood, wear));
            let gap = match (rule, gap) {
                (Rule::Plate, _) if spec.plate.is_none() => continue,
                (Rule::Setting, _) if !spec.is_proposal(wood, spec.fixed_gap(wood)) => continue,
                (Rule::Fixed, _) => unit.show_named(spec.fixed_gap(wood)),
                (Rule::Setting, _) => unit.show_named(spec.published_gap(wood)),
                (_, Some(gap)) => format!("{} at this loop's wear", unit.show_named(gap)),
                (_, None) => "grows with wear".to_owned(),
            };
            let mark = if findings.rule.rule == rule { "recommended: " } else { "" };
            let only = if rule == Rule::Setting { "" } else { wood.only() };
            prompt.choices.push((key.to_owned(), format!("{mark}{}, {gap}{only}", rule.word())));
        }
        if findings.rule.rule == Rule::Scaled {
            let from = practice_range(unit);
            let said = format!("little difference before half worn; recommended from {from} worn");
            prompt.facts.push(("practice".to_owned(), said));
        }
        let plate = findings.rule.plate.as_ref();
        prompt.facts.extend(plate.map(|plate| ("plate".to_owned(), plate.words(unit))));
        let proposed = [Rule::Fixed, Rule::Scaled, Rule::Plate]
            .into_iter()
            .any(|rule| setting::above(&self.round, rule).is_some());
        if proposed && self.round.accepted.is_none() {
            prompt.facts.push(("not known".to_owned(), setting::unknown(spec.limits).to_owned()));
        }
        let limits = spec.limits.facts(unit);
        prompt.facts.extend(limits.into_iter().map(|(name, value)| (name.to_owned(), value)));
        prompt
    }
}

/// The reading lies too near a limit to prove anything.
fn is_close(findings: &Findings, number: CutterNumber, reading: Reading) -> bool {
    findings.cutter(number).is_some_and(|found| match reading {
        Reading::LengthBefore | Reading::LengthAfter => found.length.word == LengthWord::Again,
        Reading::Angle => found.angle.word == AngleWord::Again,
        Reading::GapBefore | Reading::GapAfter => found.gap.word == GapWord::Again,
        Reading::Strokes => false,
    })
}

fn cut_prompt(step: Step) -> Prompt {
    let mut prompt = plain(step, "Since the last round", "How did it cut since it was last sharpened?", "nobody knows");
    prompt.field = "cut".into();
    let answers = Cut::ANSWERS.iter().zip(1..);
    prompt.choices = answers.map(|(cut, key): (&Cut, u8)| (key.to_string(), format!("it {}", cut.words()))).collect();
    prompt
}

fn light_prompt(step: Step) -> Prompt {
    let now = "Look along every edge against the light: one that shines is dull. Which cutters?";
    let mut prompt = plain(step, "Edges", now, "skip it");
    prompt.field = "cutters, or 0".into();
    prompt.choices = choices(&[("0", "none shines")]);
    prompt
}

fn plain(step: Step, place: &str, now: &str, enter: &'static str) -> Prompt {
    Prompt {
        step,
        place: place.to_owned(),
        big: String::new(),
        act: String::new(),
        now: now.to_owned(),
        field: String::new(),
        facts: Vec::new(),
        choices: Vec::new(),
        enter,
    }
}

fn place(number: CutterNumber, side: Side) -> String {
    format!("Cutter {number}, {side}")
}

fn big(number: CutterNumber, side: Side) -> String {
    format!("{number} {}", side.letter())
}

fn choices(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    pairs.iter().map(|(key, meaning)| ((*key).to_owned(), (*meaning).to_owned())).collect()
}

/// How far the round is: steps answered and all steps of the measuring, filing and raker parts. A second look at a
/// raker that had to be filed is not counted: nobody knows beforehand how many there will be.
pub(crate) fn progress(coach: &Coach) -> (usize, usize) {
    let round = &coach.round;
    let parts = [Phase::Measure, Phase::First, Phase::Second, Phase::Rakers];
    let (mut open, mut all) = (0, 0);
    for list in parts.map(|phase| list::steps(round, phase)) {
        for step in list.iter().filter(|step| step.ask != Ask::Read(Reading::GapAfter)) {
            all += 1;
            open += usize::from(script::is_open(round, *step));
        }
    }
    (all - open, all)
}
