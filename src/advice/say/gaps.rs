//! The raker gaps of the loop as a whole, in words.

use super::{count, length, percent};
use crate::advice::gaps::{Gaps, Help, Way, Whole};
use crate::chain::Rule;
use crate::round::rule::{Fit, RuleFrom};
use crate::units::Unit;

impl Gaps {
    /// Where no rule was chosen and gaps are measured: by which they are judged, in a sentence.
    pub fn judged_by(&self) -> Option<String> {
        let why = match self.from {
            _ if self.measured == 0 => return None,
            RuleFrom::Chosen => return None,
            RuleFrom::Fits => {
                let Fit { fitting, of, .. } = self.fit;
                format!("which {fitting} of {of} fit")
            }
            RuleFrom::Wear => "which the wear calls for".to_owned(),
        };
        Some(format!("No rule was chosen: the gaps are judged by the {}, {why}.", self.rule.word()))
    }
}

impl Whole {
    /// In a few words.
    pub fn short(&self) -> String {
        let side = self.way.words();
        self.fits().map_or_else(|| format!("most are {side}"), |rule| format!("{side}; most fit the {}", rule.word()))
    }

    /// What they fit, what to do, what it costs, and whether waiting helps.
    pub fn words(&self, unit: Unit) -> String {
        let only = |rule: Rule| if rule == Rule::Setting { "" } else { self.wood.only() };
        let at = self.wanted.map(|gap| format!(" ({}{})", length(unit, gap), only(self.rule))).unwrap_or_default();
        let (off, of, side, rule) = (self.off, self.of, self.way.words(), self.rule.word());
        let fits = self.fit.map_or_else(
            || "They fit no other rule within the limits of this loop.".to_owned(),
            |other| {
                let gap = other.gap.map(|gap| format!(" ({} at this wear{})", length(unit, gap), only(other.fit.rule)));
                let gap = gap.unwrap_or_default();
                format!("{} of {} fit the {}{gap}.", other.fit.fitting, other.fit.of, other.fit.rule.word())
            },
        );
        format!("{off} of {of} rakers are {side} for the {rule}{at}. {fits} {}", self.help.words(self.fits(), unit))
    }
}

impl Way {
    const fn words(self) -> &'static str {
        match self {
            Self::Low => "TOO LOW",
            Self::High => "high",
        }
    }
}

impl Help {
    fn words(self, fits: Option<Rule>, unit: Unit) -> String {
        let (tooth, over, read_over, limit) = match self {
            Self::Low { tooth, over, read_over, limit } => (tooth, over, read_over, limit),
            Self::High { steel } => {
                return format!(
                    "File each down by about {}: that costs no tooth. Waiting makes it worse: the gap shrinks as teeth come down.",
                    length(unit, steel)
                );
            }
        };
        let mut words = Vec::new();
        if let Some(rule) = fits {
            words.push(format!("Kept to the {}, they cost no steel.", rule.word()));
        }
        if let Some(tooth) = tooth {
            let (off, life) = (length(unit, tooth.length), percent(tooth.life));
            words.push(format!("To file them right now costs {off} of each tooth, {life} of its life."));
            if read_over == 0 {
                words.push(format!(
                    "To leave the rakers alone until the teeth have come down that far, about {}, is an answer too{}.",
                    count(tooth.rounds as usize, "round"),
                    if fits.is_some() { "" } else { "; until then the saw kicks back harder" }
                ));
            }
        }
        if over > 0 {
            let limit = length(unit, limit);
            words.push(format!(
                "{over} are over the {limit} that this loop may have at most: not to go back on a saw so."
            ));
        }
        words.join(" ")
    }
}
