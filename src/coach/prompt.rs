//! What to show at a step: where, what to do now, what is asked, what helps.

use super::{Coach, words};
use crate::advice::evenness::From;
use crate::advice::rakers::Act;
use crate::advice::{Findings, cautions, setting, status};
use crate::chain::geometry::PUBLISHED_MARKS;
use crate::chain::{Corner, CutterNumber, Rule, Side, Wood};
use crate::round::{Ask, Cutter, Header, LookItem, Phase, Reading, Step, Task, script};
use crate::units::{Degrees, Millimetres, mm};

/// Least gain in length for which one more cutter left short is offered.
const WORTH_SHOWING: Millimetres = mm(0.05);

/// What is typed at the proof to judge the rakers by the rule that most of them fit. Digits are cutters there.
pub(super) const JUDGE_BY_FIT: &str = "-";

/// What is done after the last stroke, before the loop runs again.
///
/// Source: operator manuals (burrs off with hardwood; filings cleaned off; groove and oil hole cleaned, the bar turned).
const BEFORE_IT_RUNS: [(&str, &str); 3] = [
    ("burrs", "draw hardwood along the edges"),
    ("clean", "filings off the loop; groove and oil hole of the bar"),
    ("bar", "turn it over, rail burrs off; oil the chain"),
];

/// A step in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Prompt {
    /// The step it is about.
    pub step: Step,
    /// Where: `Cutter 7, left`.
    pub place: String,
    /// The same for big digits: `7 L`; empty where there is no number.
    pub big: String,
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

impl Coach {
    /// The present step in words.
    pub fn prompt(&self, findings: &Findings) -> Prompt {
        let step = self.round.step();
        if let Some((number, reading)) = self.repeat {
            return self.repeat_prompt(step, number, reading);
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
            (Ask::Nothing | Ask::Read(_), _) => plain(step, "Done", "This round is closed.", "back to the rack"),
        }
    }

    fn repeat_prompt(&self, step: Step, number: CutterNumber, reading: Reading) -> Prompt {
        let side = self.round.layout.side(number).unwrap_or(Side::Left);
        let name = words::reading(reading);
        let mut prompt = plain(step, &place(number, side), "", "go on without");
        prompt.big = big(number, side);
        prompt.now = format!("Too close to call: measure the {name} once more.");
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
            prompt.facts.push(("without one".to_owned(), PUBLISHED_MARKS.to_owned()));
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
        let mut prompt = plain(step, "Caliper", now, "leave it out");
        prompt.field = format!("closed, {}", self.round.header.units.name());
        prompt
    }

    fn saw_prompt(&self, step: Step) -> Prompt {
        let place = format!("The saw: {}", self.round.header.saw);
        let question = "Is it here? Look at bar, sprocket and tension: an even loop still cuts crooked on a bad bar.";
        let mut prompt = plain(step, &place, question, "it is not here");
        prompt.field = "saw".into();
        prompt.choices = choices(&[("1", "look at the saw")]);
        let last = self.saw.as_ref().and_then(|saw| saw.looks().last().map(|look| look.at));
        prompt.facts.extend(last.map(|at| ("last looked at".to_owned(), at.format("%Y-%m-%d").to_string())));
        let hint = self.saw.as_ref().and_then(|saw| crate::advice::saw::hint(&saw.glance()));
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
        let mut prompt = plain(step, &place(cutter.number, cutter.side), "", "leave it out");
        prompt.big = big(cutter.number, cutter.side);
        prompt.field = self.field_name(reading);
        prompt.now = self.what_to_do(cutter, reading, findings);
        prompt.facts = self.facts(cutter, reading, findings);
        // Sent back by the proof: say again what for.
        if let Some(redo) =
            findings.redo.iter().find(|redo| redo.cutter == cutter.number && self.round.going_back_to().is_some())
        {
            prompt.facts.push(("again because".to_owned(), redo.words(self.round.header.units)));
        }
        prompt
    }

    fn what_to_do(&self, cutter: &Cutter, reading: Reading, findings: &Findings) -> String {
        let unit = self.round.header.units;
        match reading {
            Reading::LengthBefore => "Measure its length.".to_owned(),
            Reading::Strokes => self.file_now(cutter, findings, "then type the strokes given"),
            Reading::LengthAfter if self.round.header.take_strokes && cutter.strokes.is_some() => {
                "Measure its length now.".to_owned()
            }
            Reading::LengthAfter if self.round.header.tool == crate::round::Tool::Grinder => {
                "Measure this one.".to_owned()
            }
            Reading::LengthAfter => self.file_now(cutter, findings, "then measure its length"),
            Reading::Angle => {
                let target = self.round.header.spec.top_plate_for(self.round.header.wood);
                format!("Check the top-plate angle: {target} is wanted.")
            }
            Reading::GapBefore => match findings.cutter(cutter.number).map(|found| found.raker.act) {
                Some(Act::Leave) => "Its raker should still be right. Measure the gap, or Enter.".to_owned(),
                Some(Act::File) => "Its raker should be too high by now. Measure the gap.".to_owned(),
                _ => "Measure the raker gap as it stands.".to_owned(),
            },
            Reading::GapAfter => {
                let high = self.round.target_gap(cutter).zip(cutter.gap()).map(|(target, gap)| target - gap);
                high.map_or_else(
                    || "File the raker, round its front, then measure the gap.".to_owned(),
                    |high| {
                        format!("Raker too high by {}: file it, round its front, then measure.", unit.show_named(high))
                    },
                )
            }
        }
    }

    /// Strokes still to give to this cutter, in a sentence.
    fn file_now(&self, cutter: &Cutter, findings: &Findings, then: &str) -> String {
        let unit = self.round.header.units;
        if !cutter.is_matched() {
            return format!("Left short: one light stroke, {then}.");
        }
        let still = self.round.target.as_ref().zip(cutter.length()).map(|(target, length)| length - target.length);
        let Some(still) = still else { return format!("File it, {then}.") };
        if still.get() <= 0.0 {
            return format!("At the length already: one light stroke if dull, {then}.");
        }
        match findings.cutter(cutter.number).and_then(|found| found.strokes) {
            Some(advice) => {
                let strokes = match advice.strokes {
                    0 | 1 => "One light stroke".to_owned(),
                    n => format!("{n} strokes"),
                };
                format!("{strokes}, {then}. {} is to come off.", unit.show_named(still))
            }
            None => format!("File off {}, {then}.", unit.show_named(still)),
        }
    }

    fn facts(&self, cutter: &Cutter, reading: Reading, findings: &Findings) -> Vec<(String, String)> {
        let unit = self.round.header.units;
        let mut facts = Vec::new();
        let mut put = |name: &str, value: Option<Millimetres>| {
            if let Some(value) = value {
                facts.push((name.to_owned(), unit.show_named(value)));
            }
        };
        match reading {
            Reading::LengthBefore => {
                put("last round", self.past.last_of(cutter.number).and_then(|last| last.length));
                put("witness mark", Some(self.round.header.spec.mark_length));
            }
            Reading::Strokes | Reading::LengthAfter => {
                put("file to", self.round.target.as_ref().map(|target| target.length));
                put("was", cutter.before.mean());
                put("now", cutter.after.mean());
            }
            Reading::GapBefore | Reading::GapAfter => {
                put("predicted", super::doubt::predicted_gap(&self.round, &self.past, cutter));
                put("measured", cutter.gap());
                put("cutter", cutter.length());
            }
            Reading::Angle => {}
        }
        let header = &self.round.header;
        if let (Reading::GapBefore | Reading::GapAfter, Some(whole)) = (reading, &findings.gaps.whole) {
            facts.push(("all rakers".to_owned(), whole.short()));
        }
        if let (Reading::GapBefore | Reading::GapAfter, Some(gap)) = (reading, self.round.target_gap(cutter)) {
            let only = if self.round.rule == Some(Rule::Setting) { "" } else { header.wood.only() };
            facts.insert(0, ("gap wanted".to_owned(), format!("{}{only}", unit.show_named(gap))));
        }
        if reading == Reading::Angle {
            let tolerance: Degrees = header.spec.angle_tolerance;
            facts.push(("tolerance".to_owned(), format!("{tolerance} either way")));
            facts.extend(corner_fact(header).map(|value| ("corner".to_owned(), value.to_owned())));
        }
        if let Reading::Strokes | Reading::LengthAfter = reading
            && let Some(file) = cutter.length().and_then(|length| self.round.header.spec.file_for(length))
            && self.round.header.tool == crate::round::Tool::File
        {
            facts.push(("round file".to_owned(), format!("{:.1} mm", file.diameter.get())));
        }
        if !matches!(cutter.state, crate::round::CutterState::Kept) {
            facts.push(("state".to_owned(), cutter.state.to_string()));
        }
        facts
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
        let shortest = crate::advice::evenness::lengths(&self.round);
        let shortest =
            crate::advice::evenness::shortest(&self.round, &shortest, &self.skill, &[]).map(|found| found.from);
        if let (Task::StopSet, Some(From::Shortest(number))) = (task, shortest) {
            prompt.facts.push(("shortest healthy".to_owned(), format!("cutter {number}")));
        }
        let angle = self.round.header.spec.top_plate_for(self.round.header.wood);
        if matches!(task, Task::StopSet | Task::HeadSwung) {
            prompt.facts.push(("top-plate angle".to_owned(), angle.to_string()));
        }
        prompt
    }

    fn target_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let unit = self.round.header.units;
        let mut prompt = plain(step, "Choose the length to file to", "", "take the recommended one");
        prompt.field = format!("choice, or a length in {}", unit.name());
        let Some(plan) = &findings.plan else {
            prompt.now = "No cutter is measured: type the length to file to.".into();
            prompt.enter = "";
            return prompt;
        };
        prompt.now = plan.words(unit);
        for (index, option) in plan.options.iter().enumerate() {
            let recommended = plan.recommended == Some(index);
            // An option that saves next to nothing against the one before only costs reading.
            let before = index.checked_sub(1).and_then(|before| plan.options.get(before));
            if !recommended && before.is_some_and(|before| option.target - before.target < WORTH_SHOWING) {
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
            let said = "little difference before half worn; recommended from 2 to 3 mm worn";
            prompt.facts.push(("practice".to_owned(), said.to_owned()));
        }
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

    fn prove_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let count = findings.redo.len();
        let mut prompt = plain(step, "Proof", "", "");
        prompt.field = "cutter, or 0".into();
        if count == 0 {
            prompt.now = "Nothing to redo. Enter goes on to sign-off.".into();
            prompt.enter = "go on to sign-off";
        } else {
            let what = if count == 1 { "One thing".to_owned() } else { format!("{count} things") };
            prompt.now = format!("{what} to redo. Enter goes to the first; 0 goes on as it is.");
            prompt.enter = "go to the first";
        }
        if let Some(whole) = &findings.gaps.whole {
            prompt.facts.push(("all rakers".to_owned(), whole.words(self.round.header.units)));
            let fits = whole.fits().map(|rule| (JUDGE_BY_FIT.to_owned(), format!("judge them by the {}", rule.word())));
            prompt.choices.extend(fits);
        }
        for redo in &findings.redo {
            prompt.choices.push((redo.cutter.to_string(), redo.words(self.round.header.units)));
        }
        prompt
    }

    fn spent_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let now = "NOT READY: every cutter kept is at its witness mark. It can be closed as spent, not signed off.";
        let mut prompt = plain(step, "Spent", now, "");
        prompt.field = "record it".into();
        prompt.facts.push(("changeover".to_owned(), findings.changeover.words(self.round.header.units)));
        prompt.choices = choices(&[("1", "record that it is spent and end this round")]);
        prompt
    }

    fn sign_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let mut prompt = plain(step, "Sign off", "Read the sheet with s. Type 1 and Enter to sign off.", "");
        prompt.field = "sign off".into();
        prompt.facts.push(("changeover".to_owned(), findings.changeover.words(self.round.header.units)));
        prompt.choices = choices(&[("1", "sign this round off")]);
        prompt.facts.extend(BEFORE_IT_RUNS.map(|(name, text)| (name.to_owned(), text.to_owned())));
        let called_for = findings.cautions.iter().map(|caution| caution.words(self.round.header.units));
        let cautions = cautions::ALWAYS.iter().map(|text| (*text).to_owned()).chain(called_for);
        prompt.facts.extend(cautions.map(|text| ("caution".to_owned(), text)));
        prompt
    }
}

/// What the shape of the corner does to the angle for hardwood.
fn corner_fact(header: &Header) -> Option<&'static str> {
    match (header.wood, header.spec.limits.corner) {
        (Wood::Hardwood, Corner::Square) => Some("square: the same in hardwood"),
        (Wood::Hardwood, Corner::Unknown) if header.spec.top_plate_hardwood.is_some() => {
            Some("not on the card; a square one keeps the larger angle")
        }
        _ => None,
    }
}

fn light_prompt(step: Step) -> Prompt {
    let now = "Look along every edge against the light: one that shines is dull. Which cutters?";
    let mut prompt = plain(step, "Edges", now, "leave it out");
    prompt.field = "cutters, or 0".into();
    prompt.choices = choices(&[("0", "none shines")]);
    prompt
}

fn plain(step: Step, place: &str, now: &str, enter: &'static str) -> Prompt {
    Prompt {
        step,
        place: place.to_owned(),
        big: String::new(),
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
    let steps = || {
        parts
            .into_iter()
            .flat_map(|phase| script::script(round, phase))
            .filter(|step| step.ask != Ask::Read(Reading::GapAfter))
    };
    let open = steps().filter(|step| script::is_open(round, *step)).count();
    let all = steps().count();
    (all - open, all)
}
