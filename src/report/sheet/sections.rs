//! What the full sheet says in sentences, the same for text and page.

use strum::IntoStaticStr;

use super::model::{Lack, NotMeasured, Reference, Sheet};
use crate::advice::LengthWord;
use crate::chain::gap::practice;
use crate::chain::{CutterNumber, Rule, Stage};
use crate::report::data::Number;
use crate::report::format::capital;
use crate::report::words::{ahead_of, between, count, cutters, day, length, minutes, moment, percent, ranges};
use crate::round::{Closing, CutterState, Finding, LookItem, Reading, Tool};

/// What a part of the sheet tells of, by its heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, IntoStaticStr)]
pub(super) enum Topic {
    Faults,
    #[strum(serialize = "Look-over")]
    LookOver,
    Saw,
    #[strum(serialize = "Length and steel")]
    Steel,
    #[strum(serialize = "Even and balanced")]
    Even,
    Rakers,
    #[strum(serialize = "How long it will last")]
    Ahead,
    #[strum(serialize = "Not measured")]
    NotMeasured,
    Notes,
    Cautions,
}

/// A topic and its sentences.
pub(super) struct Section {
    pub topic: Topic,
    pub lines: Vec<String>,
}

/// Name of an item of the look-over in a sentence.
pub(super) const fn look_name(item: LookItem) -> &'static str {
    match item {
        LookItem::Cracks => "cracks",
        LookItem::Rivets => "rivets",
        LookItem::DriveLinks => "drive links",
        LookItem::TieStraps => "tie straps",
        LookItem::Cutters => "bent, broken or missing cutters",
        LookItem::WitnessMark => "witness mark",
        LookItem::Edges => "edges",
    }
}

/// A time on the same day without the day.
fn until(from: &str, to: &str) -> String {
    let whole = moment(to);
    if day(from) == day(to) { whole.split(' ').next_back().map_or(whole.clone(), str::to_owned) } else { whole }
}

impl Sheet {
    /// Name of the loop and its tag.
    pub(super) fn name(&self) -> String {
        match &self.card {
            Some(card) if card.name != self.tag => format!("{} ({})", card.name, self.tag),
            _ => self.tag.clone(),
        }
    }

    /// How the round ended, in a short sentence.
    pub(super) fn ending(&self) -> String {
        match (self.round.how, self.round.phase) {
            _ if self.is_rejected() => {
                format!("REJECTED, {}: this loop must not go back on a saw.", self.rejected_for())
            }
            (Some(Closing::Signed), _) => "Signed off.".to_owned(),
            (Some(Closing::Rejected), _) => "Recorded as rejected.".to_owned(),
            (Some(Closing::Abandoned), _) => "Not signed off: closed with its readings on record.".to_owned(),
            (None, Some(phase)) => format!("Not finished: the round stands at \"{phase}\"."),
            (None, None) => "Not finished.".to_owned(),
        }
    }

    /// Labels and values for the head.
    pub(super) fn head(&self) -> Vec<(&'static str, String)> {
        let round = &self.round;
        let mut head = vec![("Status", capital(&self.status.line)), ("Loop", self.name())];
        if let Some(card) = &self.card {
            let named = [("Owner", &card.owner), ("Saw", &card.saw), ("Start mark", &card.start_mark)];
            head.extend(named.into_iter().filter_map(|(label, value)| Some((label, value.clone()?))));
        }
        let links = count(usize::from(round.links), "drive link");
        head.push(("Chain", format!("{}, {links}, {}", self.profile, count(self.cutters.len(), "cutter"))));
        let end = round.ended.as_ref().map(|ended| format!(" to {}", until(&round.started, ended))).unwrap_or_default();
        let bench = round.minutes.map(|n| format!(", {} at the bench", minutes(n))).unwrap_or_default();
        head.push(("Round", format!("{}{end}{bench}", moment(&round.started))));
        head.push(("Sharpener", format!("{}, {}, for {}", self.sharpener, round.tool, round.wood.word())));
        if !self.other_hands.is_empty() {
            head.push(("Also by", format!("{}; each entry on record names its hand", self.other_hands.join(", "))));
        }
        head.push(("Ended", self.ending()));
        let releases = self.card.iter().flat_map(|card| &card.releases);
        head.extend(releases.map(|release| ("Released", release.line.clone())));
        head
    }

    /// Everything in sentences. Sections without any are left out.
    pub(super) fn sections(&self) -> Vec<Section> {
        let all = [
            (Topic::Faults, self.fault_lines()),
            (Topic::LookOver, self.look_lines()),
            (Topic::Saw, self.saw_lines()),
            (Topic::Steel, self.length_lines()),
            (Topic::Even, self.even_lines()),
            (Topic::Rakers, self.raker_lines()),
            (Topic::Ahead, self.forecast_lines()),
            (Topic::NotMeasured, self.not_measured_lines()),
            (Topic::Notes, self.note_lines()),
            (Topic::Cautions, self.standing_cautions().to_vec()),
        ];
        let section = |(topic, lines)| Section { topic, lines };
        all.into_iter().map(section).filter(|section| !section.lines.is_empty()).collect()
    }

    /// What is wrong: first of the loop as a whole, then cutter by cutter.
    fn fault_lines(&self) -> Vec<String> {
        let whole = self.rakers.whole.iter().map(|whole| whole.line.clone());
        whole.chain(self.flags.iter().map(|flag| flag.line.clone())).collect()
    }

    fn look_lines(&self) -> Vec<String> {
        let looks = &self.round.looks;
        let mut lines: Vec<String> = looks
            .iter()
            .filter_map(|look| {
                let word = match look.finding? {
                    Finding::Sound => return None,
                    Finding::Worn => "worn or repaired",
                    Finding::Reject => "REJECTED",
                };
                let note = look.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
                Some(format!("{}: {word}{note}.", capital(look_name(look.item))))
            })
            .collect();
        let told = self.round.cut.filter(|cut| cut.is_told());
        lines.extend(told.map(|cut| format!("Since the round before, it {}, as its owner says.", cut.words())));
        let sound = looks.iter().filter(|look| look.finding == Some(Finding::Sound)).count();
        if sound > 0 {
            let later = if self.is_rejected() && sound == looks.len() {
                " What it is rejected for was found later."
            } else {
                ""
            };
            lines.push(format!("{} of {} points sound.{later}", sound, looks.len()));
        }
        lines.extend(self.round.light.iter().filter(|light| light.looked).map(|light| match light.dull.as_slice() {
            [] => "Against the light no edge shines.".to_owned(),
            dull => format!("Against the light the edge still shines at {}.", cutters(dull)),
        }));
        let skipped: Vec<&str> =
            looks.iter().filter(|look| look.finding.is_none()).map(|look| look_name(look.item)).collect();
        if !skipped.is_empty() {
            lines.push(format!("Not looked at: {}.", skipped.join(", ")));
        }
        lines
    }

    fn saw_lines(&self) -> Vec<String> {
        let Some(saw) = &self.saw else { return Vec::new() };
        let when = match (saw.looked_at, &saw.last) {
            (false, Some(last)) => format!(" Not looked at this time; last on {}.", day(last)),
            _ => String::new(),
        };
        let mut lines: Vec<String> =
            saw.faults.iter().map(|fault| format!("{} {} {}", fault.line, fault.effect, fault.remedy)).collect();
        if lines.is_empty() {
            lines.push(format!("{}: no fault in the parts checked of bar, sprocket, oil and tension.", saw.name));
        }
        if let Some(first) = lines.first_mut() {
            first.push_str(&when);
        }
        if saw.warm_tension_due {
            lines.push("The tension is to be looked at again after 5 to 10 minutes of cutting.".to_owned());
        }
        lines
    }

    fn length_lines(&self) -> Vec<String> {
        let (unit, round) = (self.units, &self.round);
        let mut lines = Vec::new();
        if let Some(target) = self.plan.target_mm {
            let who = match round.target_recommended {
                Some(false) => ", chosen by the sharpener",
                _ => ", as recommended",
            };
            lines.push(format!("Length {} to: {}{who}.", round.tool.done(), length(unit, target)));
        }
        lines.extend(self.plan.reason.as_ref().map(|reason| format!("Plan: {reason}")));
        let (filed_out, hurt) = self.damaged();
        let damage = [(filed_out, "Damaged, the damage filed out"), (hurt, "Damaged")].into_iter();
        let damage = damage.filter(|(numbers, _)| !numbers.is_empty());
        lines.extend(damage.map(|(numbers, word)| format!("{word}: {}.", cutters(&numbers))));
        let states = [(CutterState::LeftShort, "Left short on purpose"), (CutterState::Missing, "Missing")];
        for (state, word) in states {
            let numbers = self.in_state(state);
            if !numbers.is_empty() {
                lines.push(format!("{word}: {}.", cutters(&numbers)));
            }
        }
        if let Some(removed) = &round.removed {
            let split =
                [("a dull edge", removed.wear_mm), ("damage", removed.damage_mm), ("evening-up", removed.evening_mm)];
            let split: Vec<String> =
                split.iter().map(|(name, mm)| format!("{} for {name}", length(unit, *mm))).collect();
            lines.push(format!(
                "Taken off {}: {} of length in all, {} of the usable length of each. Of it {}.",
                count(removed.cutters, "cutter"),
                length(unit, removed.all_mm),
                percent(removed.life_share),
                split.join(", ")
            ));
        }
        lines.extend(round.strokes.map(|n| format!("Strokes: {n}.")));
        lines.extend(self.file.as_ref().filter(|_| !self.is_rejected()).map(|file| {
            let size = |mm: Number| unit.file_size(crate::units::mm(mm.0));
            let instead = file.instead_of_mm.map(|mm| format!(" instead of {}", size(mm))).unwrap_or_default();
            format!("Round file for this length: {}{instead}.", size(file.diameter_mm))
        }));
        lines
    }

    fn even_lines(&self) -> Vec<String> {
        let (unit, even) = (self.units, &self.evenness);
        let mut lines = Vec::new();
        if let Some(before) = self.greatest_before() {
            let (apart, seen) = (self.apart(before), before.seen());
            lines.push(format!("Longest less shortest as they came: {apart}, {seen} measured."));
        }
        if let Some(after) = self.greatest_after() {
            let (apart, seen) = (self.apart(after), after.seen());
            lines.push(format!("The same afterwards{}: {apart}, {seen} measured.", self.aside()));
        }
        let against = match (even.reference, even.reference_cutter) {
            (Some(Reference::Target), _) => format!("the length {} to", self.round.tool.done()),
            (_, Some(number)) => format!("cutter {number}, the shortest"),
            _ => return lines,
        };
        let proven = self.matched().filter(|cutter| cutter.verdicts.length == LengthWord::Even).count();
        lines.push(format!(
            "Against {against}, within {} ({} of height): {proven} of {} proven even.",
            length(unit, even.tolerance_mm),
            length(unit, even.tolerance_height_mm),
            count(self.matched().count(), "cutter")
        ));
        lines.extend(self.judged_with.as_ref().map(|with| format!("Judged with {with}.")));
        for (word, numbers) in [("Proven uneven", &even.uneven), ("Not proven, measure again", &even.again)] {
            if !numbers.is_empty() {
                lines.push(format!("{word}: {}.", cutters(numbers)));
            }
        }
        lines.push(self.balance.line.clone());
        lines.extend(self.drift.line.clone());
        lines.extend(self.angles.line.clone());
        lines
    }

    fn raker_lines(&self) -> Vec<String> {
        let (unit, rakers) = (self.units, &self.rakers);
        let mut lines = Vec::new();
        if let Some(rule) = rakers.rule {
            lines.push(format!("Set by: {}{}.", rule.word(), self.target_gaps()));
        }
        lines.extend(rakers.judged_line.clone());
        let measured = self.gaps_measured();
        if measured > 0 {
            // A gap that grows with wear cannot be judged where the cutter's length is not known.
            let judged = self.present().count() - rakers.unmeasured;
            let words = [
                (rakers.good, "good"),
                (rakers.high, "too high"),
                (rakers.low, "TOO LOW"),
                (rakers.again, "to measure again"),
                (measured.saturating_sub(judged), "not judged"),
            ];
            let words: Vec<String> =
                words.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
            let within = length(unit, rakers.tolerance_mm);
            lines.push(format!("Gaps within {within} of the target: {} measured, {}.", measured, words.join(", ")));
        }
        lines.extend(rakers.limits.clone());
        lines.push(self.changeover.statement.clone());
        if matches!(self.changeover.stage, Some(Stage::Worth | Stage::Due)) {
            lines.push(practice(unit));
        }
        if !self.is_rejected() {
            lines.push(format!("Advised for this wear: {}. {}", rakers.recommended.word(), rakers.why));
        }
        lines.extend(self.geometry.lines.iter().cloned());
        lines
    }

    /// `, target 0.65 mm` or `, targets 0.72 to 0.78 mm`.
    pub(super) fn target_gaps(&self) -> String {
        let (Some(low), Some(high)) = (self.rakers.target_low_mm, self.rakers.target_high_mm) else {
            return String::new();
        };
        let (a, b) = (self.units.show(crate::units::mm(low.0)), length(self.units, high));
        let only = if self.rakers.rule == Some(Rule::Setting) { "" } else { self.round.wood.only() };
        if b.starts_with(&format!("{a} ")) {
            format!(", target {b}{only}")
        } else {
            format!(", targets {a} to {b}{only}")
        }
    }

    fn forecast_lines(&self) -> Vec<String> {
        if self.is_rejected() {
            return vec!["No rounds are counted: the loop is rejected.".to_owned()];
        }
        let (unit, forecast) = (self.units, &self.forecast);
        let from = Some(self.round.ended.as_deref().unwrap_or(&self.round.started));
        let mut lines = vec![format!("{} Wear of a round: {}.", forecast.line, length(unit, forecast.per_round_mm))];
        if let Some(date) = &forecast.changeover_date {
            lines.push(format!("Changeover {}.", ahead_of(from, date)));
        }
        if let Some(date) = &forecast.date {
            let span = match (&forecast.date_low, &forecast.date_high) {
                (Some(low), Some(high)) => format!(" ({})", between(from, low, high)),
                _ => String::new(),
            };
            lines.push(format!("Witness mark {}{span}.", ahead_of(from, date)));
        }
        lines.extend(forecast.next_date.as_ref().map(|date| format!("Next round {}.", ahead_of(from, date))));
        lines.extend(forecast.cost_line.clone());
        lines.extend(forecast.early.clone());
        lines
    }

    fn not_measured_lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.not_measured.iter().map(|lack| self.not_measured_line(lack)).collect();
        let high = self.left_out(Reading::GapAfter);
        if !high.is_empty() {
            lines.push(format!("Raker left as it is on purpose, its gap too small: {}.", cutters(&high)));
        }
        let sampled = self.not_measured.iter().any(|lack| lack.reading == Lack::LengthAfter);
        if self.round.tool == Tool::Grinder && sampled {
            lines.push(
                "Ground against a stop and checked by sample: the other lengths are taken to be the stop's.".into(),
            );
        }
        lines
    }

    fn not_measured_line(&self, lack: &NotMeasured) -> String {
        let name = capital(lack.reading.by(self.round.tool));
        let mut purpose = lack.reading.reading().map(|reading| self.left_out(reading)).unwrap_or_default();
        purpose.retain(|number| lack.cutters.contains(number));
        let which = if purpose == lack.cutters {
            ", skipped on purpose".to_owned()
        } else if purpose.is_empty() {
            String::new()
        } else {
            format!(", of them skipped on purpose: {}", ranges(&purpose))
        };
        if lack.cutters.len() == lack.of {
            let which = which.replacen(", of them", ";", 1);
            return format!("{name}: no cutter measured{which}.");
        }
        let noun = count(lack.of, "cutter");
        format!("{name}: {} of {noun} not measured ({}){which}.", lack.cutters.len(), ranges(&lack.cutters))
    }

    /// Cutters at which a reading was skipped on purpose.
    fn left_out(&self, reading: Reading) -> Vec<CutterNumber> {
        let left = self.round.left_out.iter().filter(|left| left.reading == reading);
        let mut numbers: Vec<CutterNumber> = left.map(|left| left.cutter).collect();
        numbers.sort_unstable();
        numbers
    }

    fn note_lines(&self) -> Vec<String> {
        let mut lines = self.round.notes.clone();
        for cutter in &self.cutters {
            lines.extend(cutter.notes.iter().map(|note| format!("Cutter {}: {note}", cutter.number)));
        }
        let zeros: Vec<String> =
            self.round.zeros_mm.iter().map(|Number(zero)| self.units.show_named(crate::units::mm(*zero))).collect();
        if !zeros.is_empty() {
            lines.push(format!("Caliper closed showed {}.", zeros.join(", ")));
        }
        lines
    }
}
