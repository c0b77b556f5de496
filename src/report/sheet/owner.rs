//! The owner's version: plain words on half a page. It promises nothing that was not measured.
//!
//! What to watch and when to bring a loop back follows the fault tables of operator manuals (dust instead of chips, must be
//! pushed, pulls to one side) and their words on tension; which fault does what in the cut stands with the flags.

use strum::IntoStaticStr;

use super::model::Sheet;
use super::sections::look_name;
use crate::advice::{AngleWord, LengthWord};
use crate::chain::{CutterNumber, Rule, Side, Wood};
use crate::report::format::capital;
use crate::report::paper::Paper;
use crate::report::saw::FaultRow;
use crate::report::words::{ahead_of, count, cutters, length, moment, percent};
use crate::report::{demo, not_read};
use crate::round::{Closing, Cut, CutterState, Finding, LookItem};
use crate::saw::Grade;

/// What a part of the owner's sheet tells of, by its heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, IntoStaticStr)]
pub(super) enum Matter {
    /// What must be read before anything else.
    #[strum(serialize = "Please read this first")]
    Stop,
    #[strum(serialize = "What was found")]
    Found,
    #[strum(serialize = "What was done")]
    Done,
    #[strum(serialize = "How it should cut")]
    Cut,
    #[strum(serialize = "What to watch")]
    Watch,
    #[strum(serialize = "When to bring it back")]
    Back,
    Cautions,
}

/// A matter and the words under it.
pub(super) struct Part {
    pub matter: Matter,
    pub lines: Vec<String>,
}

impl Sheet {
    /// The owner's version in at most 80 columns; `ascii` keeps to plain letters and lines.
    pub fn owner_text(&self, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        for line in self.owner_head() {
            paper.paragraph("", &line);
        }
        for part in self.owner_parts() {
            paper.heading(part.matter.into());
            paper.paragraph("", &part.lines.join(" "));
        }
        demo::text(self.demo, not_read::owner_text(&self.not_read, paper.finish()))
    }

    /// How it stands, which loop, whose, when and by whom.
    pub(super) fn owner_head(&self) -> Vec<String> {
        let card = self.card.as_ref();
        let of = card.and_then(|card| card.owner.as_ref()).map(|owner| format!(", for {owner}")).unwrap_or_default();
        let saw = card.and_then(|card| card.saw.as_ref()).map(|saw| format!(", saw: {saw}")).unwrap_or_default();
        let when = moment(self.round.ended.as_ref().unwrap_or(&self.round.started));
        let status = format!("{}.", capital(&self.status.line));
        vec![status, format!("Your saw chain: {}{of}{saw}", self.name()), format!("{when}, {}", self.sharpener)]
    }

    /// What the owner wants to know, in order.
    pub(super) fn owner_parts(&self) -> Vec<Part> {
        let part = |matter, lines| Part { matter, lines };
        let signed = self.round.how == Some(Closing::Signed) && !self.status.is_stop();
        let mut parts = Vec::new();
        parts.push(part(Matter::Stop, self.stop_lines()));
        parts.push(part(Matter::Found, self.found_lines()));
        parts.push(part(Matter::Done, self.done_lines()));
        if signed {
            parts.push(part(Matter::Cut, self.cut_lines()));
            parts.push(part(Matter::Back, self.back_lines()));
            parts.push(part(Matter::Watch, self.watch_lines()));
        }
        parts.push(part(Matter::Cautions, self.standing_cautions().to_vec()));
        parts.into_iter().filter(|part| !part.lines.is_empty()).collect()
    }

    fn stop_lines(&self) -> Vec<String> {
        let mut lines = self.urgent_cautions().to_vec();
        if self.round.how != Some(Closing::Signed) && !self.is_rejected() {
            lines.push("The work is not finished: do not treat this chain as sharpened.".to_owned());
        }
        lines
    }

    fn found_lines(&self) -> Vec<String> {
        let told = self.round.cut.filter(|cut| cut.is_told());
        let mut lines: Vec<String> =
            told.iter().map(|cut| format!("You say that it {} since it was last sharpened.", cut.words())).collect();
        for look in &self.round.looks {
            let word = match look.finding {
                Some(Finding::Reject) => "REJECTED",
                Some(Finding::Worn) => "worn",
                _ => continue,
            };
            let note = look.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
            lines.push(format!("{}: {word}{note}.", capital(look_name(look.item))));
        }
        let looks = &self.round.looks;
        if looks.iter().all(|look| look.finding == Some(Finding::Sound)) {
            // What rejects a loop of seven sound points came to light after they were looked at.
            let sound =
                if self.is_rejected() { FOUND_LATER } else { "Looked over: no cracks, loose rivets or bent parts." };
            lines.push(sound.to_owned());
        } else if looks.iter().any(|look| look.finding.is_none()) {
            lines.push("Not every point was looked over.".to_owned());
        }
        if let Some(found) = self.greatest_before() {
            let uneven = if found.all.0 > self.evenness.tolerance_mm.0 { ": uneven" } else { "" };
            let (by, seen) = (length(self.units, found.all), found.seen());
            lines.push(format!(
                "As the cutters came, {seen} measured, the longest was {by} longer than the shortest{uneven}."
            ));
        }
        lines.extend(self.saw.iter().flat_map(|saw| &saw.faults).map(|fault| fault.line.clone()));
        let (filed_out, hurt) = self.damaged();
        if !filed_out.is_empty() {
            let were = if filed_out.len() == 1 { "was" } else { "were" };
            let done = self.round.tool.done();
            lines.push(format!("{} {were} damaged; the damage was {done} out.", capital(&cutters(&filed_out))));
        }
        for (numbers, word) in [(hurt, "damaged"), (self.in_state(CutterState::Missing), "missing")] {
            if !numbers.is_empty() {
                lines.push(format!("{} {word}.", capital(&cutters_are(&numbers))));
            }
        }
        lines
    }

    fn done_lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        lines.extend(self.filed_lines());
        if let Some(removed) = &self.round.removed {
            let seen = if removed.cutters < self.matched().count() { ", as far as measured" } else { "" };
            lines.push(format!("That took {} of their usable length{seen}.", percent(removed.life_share)));
        }
        // One that keeps its damage is not shorter than the others yet.
        let hurt = self.damaged().1;
        let (kept, short): (Vec<_>, Vec<_>) =
            self.plan.left_short.iter().copied().partition(|number| hurt.contains(number));
        if !short.is_empty() {
            let (verb, it) = if short.len() == 1 { ("was", "it") } else { ("were", "them") };
            lines.push(format!(
                "{} {verb} left short on purpose: to match {it} would have cost every other cutter steel.",
                capital(&cutters(&short))
            ));
        }
        if !kept.is_empty() {
            let keeps = if kept.len() == 1 { "keeps its" } else { "keep their" };
            lines.push(format!(
                "{} {keeps} damage on purpose: to match it would have cost every other cutter steel.",
                capital(&cutters(&kept))
            ));
        }
        let measured = self.gaps_measured();
        if measured > 0 {
            let present = self.present().count();
            let of = if measured == present { "all".to_owned() } else { format!("{measured} of {present}") };
            // A gap that grows with wear cannot be judged where the cutter's length is not known.
            let judged = self.present().count() - self.rakers.unmeasured;
            let wanted = |rule| match rule {
                Rule::Scaled => "a gap that grows as the cutters wear",
                Rule::Plate => "the gap of a plate gauge",
                Rule::Setting => "the published gap",
                Rule::Fixed => "a fixed gap",
            };
            let set = match self.rakers.rule {
                _ if judged == 0 => ", none of them judged: the lengths of their cutters are not known".to_owned(),
                Some(rule) if self.rakers.good == judged => format!(", set for {}", wanted(rule)),
                Some(rule) => format!("; aim: {}", wanted(rule)),
                None => format!(", no gap was chosen; they are judged by {}", wanted(self.rakers.judged_by)),
            };
            let gaps = if judged == 0 { String::new() } else { self.target_gaps() };
            lines.push(format!("Depth gauges (rakers): {of} measured{set}{gaps}."));
        } else {
            lines.push("The depth gauges (rakers) were not measured.".to_owned());
        }
        lines
    }

    /// To which length, and how far two cutters differ after it.
    fn filed_lines(&self) -> Vec<String> {
        let (unit, done) = (self.units, self.round.tool.done());
        let Some(found) = self.greatest_after() else {
            return match self.matched().filter(|cutter| cutter.after_mm.is_some()).count() {
                0 => vec![format!("No cutter was {done} and measured afterwards.")],
                filed => vec![format!("{} {done} and measured afterwards.", capital(&were(filed)))],
            };
        };
        let (apart, aside, seen) = (self.apart(found), self.aside(), found.seen());
        let how = match self.plan.target_mm.map(|target| length(unit, target)) {
            Some(target) if self.is_of_one_length() => format!("{done} to one length, {target}"),
            Some(target) => format!("{done}, the aim was {target}"),
            None => done.to_owned(),
        };
        let far = format!("the longest is {apart} longer than the shortest{aside}");
        vec![format!("The cutters were {how}. Afterwards {seen} were measured: {far}.")]
    }

    /// What the readings prove about the cut, faults first.
    fn cut_lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        let whole = self.rakers.whole.as_ref();
        lines.extend(whole.map(|whole| format!("Depth gauges (rakers): {}", whole.line)));
        if self.rakers.low > 0 {
            lines.push(format!("DANGER: {} too low. The saw may grab and kick back.", count(self.rakers.low, "raker")));
        }
        let crooked = |fault: &&FaultRow| fault.part.steers();
        let bar: Vec<&FaultRow> = self.saw.iter().flat_map(|saw| &saw.faults).filter(crooked).collect();
        match bar.iter().map(|fault| fault.grade).max() {
            Some(Grade::Bad) => lines
                .push("THE CUT CAN STILL GO CROOKED: the bar is bad, and an even chain does not help that.".to_owned()),
            Some(_) => lines.push("The bar is worn: the cut may still go a little crooked.".to_owned()),
            None => {}
        }
        match self.balance.pulls {
            Some(Side::Left) => lines.push("It may pull to the left.".to_owned()),
            Some(Side::Right) => lines.push("It may pull to the right.".to_owned()),
            None => {}
        }
        if !self.evenness.uneven.is_empty() {
            lines.push(format!("{} still uneven: a little rough.", capital(&cutters_are(&self.evenness.uneven))));
        }
        if self.rakers.high > 0 && whole.is_none() {
            lines
                .push(format!("{} a little high: finer chips, some push.", capital(&count(self.rakers.high, "raker"))));
        }
        let hurt = self.damaged().1;
        if !hurt.is_empty() {
            lines.push(format!("{} still damaged.", capital(&cutters_are(&hurt))));
        }
        let off = self.present().filter(|cutter| cutter.verdicts.angle == AngleWord::Off).count();
        if off > 0 {
            lines.push(format!("{} off the usual angle.", capital(&count(off, "cutter"))));
        }
        if !lines.is_empty() {
            return lines;
        }
        let proven = self.is_of_one_length() && self.are_rakers_right() && self.is_balanced();
        lines.push(if self.promised == Some(Cut::Straight) {
            "Straight, with even chips and little push: every cutter length, raker gap and angle was measured and proven right."
                .to_owned()
        } else if proven {
            "No fault is known: every cutter length and raker gap was measured and proven right. The angles were not all measured and proven, so a straight cut is not promised."
                .to_owned()
        } else {
            self.known_right()
        });
        lines
    }

    /// What is proven, where that is not enough for a promise.
    fn known_right(&self) -> String {
        let lengths = self.matched().filter(|cutter| cutter.verdicts.length == LengthWord::Even).count();
        let (all, present) = (self.matched().count(), self.present().count());
        format!(
            "No fault is known, but too little is proven to promise a straight cut: {lengths} of {all} lengths and {} of {present} raker gaps are proven right.",
            self.rakers.good
        )
    }

    fn watch_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "Set the tension with the chain cold and look at it again after 5 to 10 minutes of cutting.".to_owned(),
        ];
        for fault in self.saw.iter().flat_map(|saw| &saw.faults) {
            // What a bad bar does to the cut is said above.
            let effect = if fault.part.steers() { String::new() } else { format!("{} ", fault.effect) };
            lines.push(format!("{}: {effect}{}", capital(crate::advice::say::saw::name(fault.part)), fault.remedy));
        }
        let short = &self.plan.left_short;
        if !short.is_empty() {
            lines.push(format!("{} little until the others have worn down.", capital(&cutters_cut(short))));
        }
        let worn: Vec<&str> = self
            .round
            .looks
            .iter()
            .filter(|look| look.finding == Some(Finding::Worn) && look.item != LookItem::Edges)
            .map(|look| look_name(look.item))
            .collect();
        if !worn.is_empty() {
            lines.push(format!("Keep an eye on: {}.", worn.join(", ")));
        }
        if self.round.wood == Wood::SoftwoodNoFrost && self.rakers.rule != Some(Rule::Setting) {
            lines.push("Its gaps are for unfrozen softwood only: not for other or frozen wood.".to_owned());
        }
        lines
    }

    fn back_lines(&self) -> Vec<String> {
        let forecast = &self.forecast;
        let from = self.round.ended.as_deref();
        let mut lines =
            vec!["As soon as it makes dust instead of chips, must be pushed, or pulls to one side.".to_owned()];
        lines.extend(forecast.next_date.as_ref().map(|date| format!("At the pace so far, {}.", ahead_of(from, date))));
        lines.push(match (forecast.rounds_left, forecast.low, forecast.high) {
            (Some(left), Some(low), Some(high)) => {
                format!("It has about {} left ({low} to {high}).", count(left as usize, "sharpening"))
            }
            (Some(left), Some(low), None) => {
                format!("It has about {} left (at least {low}).", count(left as usize, "sharpening"))
            }
            _ => "How many sharpenings are left cannot be told yet.".to_owned(),
        });
        lines
    }
}

/// Of a loop that is rejected although all points of the look-over were sound.
const FOUND_LATER: &str = "The look-over found no fault; what it is rejected for was found later.";

fn cutters_are(numbers: &[CutterNumber]) -> String {
    format!("{} {}", cutters(numbers), if numbers.len() == 1 { "is" } else { "are" })
}

fn cutters_cut(numbers: &[CutterNumber]) -> String {
    format!("{} {}", cutters(numbers), if numbers.len() == 1 { "cuts" } else { "cut" })
}

fn were(n: usize) -> String {
    format!("{} {}", count(n, "cutter"), if n == 1 { "was" } else { "were" })
}
