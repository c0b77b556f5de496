//! The changeover and the rule for the raker gap, in words.

use super::{count, cutters, length, percent};
use crate::advice::changeover::{BesidePlate, ChangeoverReport, RuleAdvice, RuleWhy};
use crate::chain::Stage;
use crate::units::{Millimetres, Unit};

impl ChangeoverReport {
    /// The whole in plain words, for sign-off and sheet.
    pub fn words(&self, unit: Unit) -> String {
        let (Some(stage), Some(p)) = (self.stage, self.probability) else {
            return "Nothing measured yet: where the loop stands is not known.".into();
        };
        let counted = |n: usize, limit: Millimetres| {
            let are = if n == 1 { "is" } else { "are" };
            let (of, rest) = match self.unknown {
                0 => ("cutter", String::new()),
                unknown => ("measured cutter", format!("; {unknown} not measured")),
            };
            format!("{n} of {} {are} worn more than {}{rest}", count(self.cutters, of), length(unit, limit))
        };
        // How far the loop is worn rests on how long its cutters were.
        let from = if self.by_profile { ", new length by the profile" } else { "" };
        let p_words = format!("{}{from}", percent(p));
        match stage {
            Stage::Retire => self.retire(),
            Stage::Due => format!(
                "Well past the changeover: {}. A wear-scaled gap is due (probability of being past {p_words}).",
                counted(self.past_due, self.due)
            ),
            Stage::Worth => format!(
                "Past the changeover: {}. A wear-scaled gap is worth using (probability {p_words}).",
                counted(self.past_worth, self.worth)
            ),
            Stage::Fixed if self.held => {
                "The limits of this loop leave no larger gap: it stays with the fixed one.".to_owned()
            }
            Stage::Fixed => {
                let away = self.rounds_away.map(|n| format!(", for about {}", count(n as usize, "more round")));
                let away = away.unwrap_or_default();
                format!(
                    "Before the changeover: {}. The fixed gap still serves (probability {}{from}){away}.",
                    counted(self.past_worth, self.worth),
                    percent(1.0 - p)
                )
            }
        }
    }
}

impl ChangeoverReport {
    /// One reading retires no loop.
    fn retire(&self) -> String {
        match self.spent().as_slice() {
            [] => {
                let cutters = cutters(&self.at_mark);
                format!("At the witness mark by one reading: {cutters}. Measure again before the loop is retired.")
            }
            [one] => format!("Retire the loop: cutter {one} is at its witness mark."),
            many => format!("Retire the loop: {} cutters are at the witness mark.", many.len()),
        }
    }
}

impl RuleAdvice {
    /// Why, in a line.
    pub fn words(&self, unit: Unit) -> String {
        let gap = |gap| length(unit, gap);
        let bite = |share: f64| format!("{:.0} %", 100.0 * share);
        match self.why {
            RuleWhy::NothingMeasured => "No length is known yet: one fixed gap is the careful choice.".into(),
            RuleWhy::SetAlready { scaled, wood } => format!(
                "These rakers are set by the wear-scaled gap ({}{} here): the fixed one finds them too low.",
                gap(scaled),
                wood.only()
            ),
            RuleWhy::Held { fixed, wood, share } => {
                let (fixed, only, share) = (gap(fixed), wood.only(), bite(share));
                format!("The limits of this loop keep its gap at {fixed}{only}: {share} of the new bite.")
            }
            RuleWhy::StillBites { fixed, wood, share } => {
                let (fixed, only, share) = (gap(fixed), wood.only(), bite(share));
                format!("A fixed gap ({fixed}{only}) still gives {share} of the new bite.")
            }
            RuleWhy::Fades { scaled, wood, share, capped } => {
                let cap = if capped { ", the most allowed" } else { "" };
                let (scaled, only, share) = (gap(scaled), wood.only(), bite(share));
                format!("A fixed gap gives only {share} of the new bite; {scaled}{only} gives it back{cap}.")
            }
        }
    }
}

impl BesidePlate {
    /// In a sentence.
    pub fn words(&self, unit: Unit) -> String {
        let way = if self.less < Millimetres::new(0.0) { "more" } else { "less" };
        let (gap, by) = (length(unit, self.gap), length(unit, self.less.abs()));
        if by == length(unit, Millimetres::new(0.0)) {
            return format!("Your plate would leave {gap}, as the {} does.", self.rule.word());
        }
        format!("Your plate would leave {gap}: {by} {way} than the {}.", self.rule.word())
    }
}
