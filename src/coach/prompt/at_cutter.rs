//! What to do and what helps where a reading is taken at a cutter.

use crate::advice::rakers::{self, Act};
use crate::advice::redo::What;
use crate::advice::{Findings, now, say};
use crate::chain::{Corner, Rule, Wood};
use crate::coach::Coach;
use crate::round::{Cutter, CutterState, Header, Reading, script};
use crate::units::{Degrees, Millimetres, mm};

impl Coach {
    pub(super) fn what_to_do(&self, cutter: &Cutter, reading: Reading, findings: &Findings) -> String {
        let unit = self.round.header.units;
        match reading {
            Reading::LengthBefore => "Measure its length.".to_owned(),
            Reading::Strokes => self.file_now(cutter, findings, "then type the strokes given"),
            Reading::LengthAfter if self.round.header.take_strokes && cutter.strokes.is_some() => {
                "Measure its length now.".to_owned()
            }
            Reading::LengthAfter if self.round.header.tool == crate::round::Tool::Grinder => {
                match self.round.target.as_ref().filter(|_| !cutter.after.is_empty()) {
                    Some(target) => format!("Grind it again to {}, then measure it.", unit.show_named(target.length)),
                    None => "Measure this one.".to_owned(),
                }
            }
            Reading::LengthAfter => self.file_now(cutter, findings, "then measure its length"),
            Reading::Angle => {
                let mend = findings.redo.iter().find(|redo| redo.cutter == cutter.number && redo.what == What::Angle);
                if let Some(mend) = mend.filter(|_| !cutter.angle.is_empty()) {
                    return format!("{} Then check it again.", capital(&mend.words(unit)));
                }
                let target = self.round.header.spec.top_plate_for(self.round.header.wood);
                format!("Check the top-plate angle: {target} is wanted.")
            }
            Reading::GapBefore => match findings.cutter(cutter.number).map(|found| found.raker.act) {
                Some(Act::Leave) => "Its raker should still be right. Measure the gap, or Enter.".to_owned(),
                Some(Act::File) => "Its raker should be too high by now. Measure the gap.".to_owned(),
                _ => "Measure the raker gap as it stands.".to_owned(),
            },
            Reading::GapAfter if script::is_raker_high(&self.round, cutter) => {
                let high =
                    self.round.target_gap(cutter).zip(cutter.gap()).map_or(mm(0.0), |(target, gap)| target - gap);
                let take = findings.cutter(cutter.number).map_or(high, |found| found.raker.take);
                let (high, take) = (unit.show_named(high), unit.show_named(take));
                format!("Raker too high by {high}: file {take} off it, round its front, then measure.")
            }
            Reading::GapAfter => "Measure the raker gap as it is now.".to_owned(),
        }
    }

    /// The same in a few letters, to be read from afar.
    pub(super) fn act(&self, cutter: &Cutter, reading: Reading, findings: &Findings) -> String {
        let header = &self.round.header;
        match reading {
            Reading::Strokes => self.strokes_now(cutter, findings),
            Reading::LengthAfter
                if header.tool != crate::round::Tool::Grinder && !(header.take_strokes && cutter.strokes.is_some()) =>
            {
                self.strokes_now(cutter, findings)
            }
            Reading::Angle => format!("angle {:.0}", header.spec.top_plate_for(header.wood).get()),
            Reading::GapAfter if script::is_raker_high(&self.round, cutter) => {
                let high = self.round.target_gap(cutter).zip(cutter.gap()).map(|(target, gap)| target - gap);
                high.map_or_else(|| "raker down".to_owned(), |high| format!("raker {} down", header.units.show(high)))
            }
            _ => "measure".to_owned(),
        }
    }

    /// Strokes to give now, else the length to file to.
    fn strokes_now(&self, cutter: &Cutter, findings: &Findings) -> String {
        let unit = self.round.header.units;
        let strokes = findings.cutter(cutter.number).and_then(|found| found.strokes).map(|advice| advice.strokes);
        let target = self.round.target.as_ref().map(|target| target.length);
        let Some((target, length)) = target.zip(cutter.length()) else {
            return target.map_or_else(|| "file".to_owned(), |target| format!("file to {}", unit.show(target)));
        };
        let short = cutter.state == CutterState::LeftShort;
        let back = findings.cutter(cutter.number).is_some_and(|found| rakers::tooth_back(cutter, found).is_some());
        if !short && !back && length <= self.round.aim().unwrap_or(target) {
            return "1 if dull".to_owned();
        }
        match strokes {
            Some(0) => "no stroke".to_owned(),
            Some(1) => "1 stroke".to_owned(),
            Some(n) => format!("{n} strokes"),
            None if short => "sharpen".to_owned(),
            None => format!("file to {}", unit.show(target)),
        }
    }

    /// Strokes still to give to this cutter and the reading to file to, in a sentence.
    fn file_now(&self, cutter: &Cutter, findings: &Findings, then: &str) -> String {
        let unit = self.round.header.units;
        let target = self.round.target.as_ref().map(|target| target.length);
        let best = cutter.best().map(|best| mm(best.mean())).or(cutter.length());
        let Some((target, length)) = target.zip(best) else {
            return match target {
                Some(target) => format!("File it to {}, {then}.", unit.show_named(target)),
                None => format!("File it, {then}."),
            };
        };
        let advice = findings.cutter(cutter.number).and_then(|found| found.strokes);
        let strokes = advice.map(|advice| match advice.strokes {
            0 => "No more strokes".to_owned(),
            1 if advice.light => "One light stroke".to_owned(),
            1 => "One stroke".to_owned(),
            n => format!("{n} strokes"),
        });
        if cutter.state == CutterState::LeftShort {
            let strokes = strokes.unwrap_or_else(|| "sharp already".to_owned());
            return format!("Left short, so only sharpened: {}, {then}.", strokes.to_lowercase());
        }
        let back = findings.cutter(cutter.number).and_then(|found| rakers::tooth_back(cutter, found));
        if let Some(back) = back {
            let (tooth, low) = (unit.show_named(back.tooth), unit.show_named(back.length));
            let strokes = strokes.map_or_else(|| "file it back".to_owned(), |strokes| strokes.to_lowercase());
            return format!("To bring its raker right {tooth} must come off the tooth, to {low}: {strokes}, {then}.");
        }
        let aim = self.round.aim().unwrap_or(target);
        if length <= target {
            return format!("At the length already: one light stroke if dull, {then}.");
        }
        if length <= aim {
            return format!("In the band already: one light stroke if dull, {then}.");
        }
        let (low, high, off) = (unit.show(target), unit.show_named(aim), unit.show_named(length - target));
        match strokes {
            Some(strokes) => format!("{strokes}, {then}. It is to end at {low} to {high}; at most {off} comes off."),
            None => format!("File it to {low} to {high}, {then}; at most {off} comes off."),
        }
    }

    pub(super) fn facts(&self, cutter: &Cutter, reading: Reading, findings: &Findings) -> Vec<(String, String)> {
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
                put(
                    self.round.header.tool.words("file to", "grind to"),
                    self.round.target.as_ref().map(|target| target.length),
                );
                put("was", cutter.before.mean());
                put("now", cutter.after.mean());
            }
            Reading::GapBefore | Reading::GapAfter => {
                put("predicted", super::super::doubt::predicted_gap(&self.round, &self.past, cutter));
                put("measured", cutter.gap());
                // One that was ground against the stop and not measured no longer has the length that it came with.
                let now = now::length(&self.round, cutter).map(|now| now.length);
                put("cutter", now.or_else(|| cutter.length()));
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
            facts.push(("round file".to_owned(), self.round.header.units.file_size(file.diameter)));
        }
        if let Reading::LengthBefore | Reading::LengthAfter = reading {
            let judged = say::skill::judged_with(&self.skill, self.at_work(), unit);
            facts.extend(judged.map(|judged| ("judged with".to_owned(), judged)));
        }
        if !matches!(cutter.state, crate::round::CutterState::Kept) {
            facts.push(("state".to_owned(), cutter.state.to_string().replace('-', " ")));
        }
        facts
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
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
