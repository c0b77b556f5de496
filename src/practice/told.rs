//! The outcome in words, a line per decision.

use super::{MARK, Outcome};
use crate::advice::say::cutters;
use crate::chain::CutterNumber;
use crate::units::{Millimetres, Unit};

impl Outcome {
    /// What is told once the round is over, line by line.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![format!(
            "{MARK}: a made-up loop of {} cutters, number {}. What was true, and how near you came:",
            self.cutters, self.seed
        )];
        if !self.signed {
            lines.push("Ended before its sign-off: the loop is told as it stood then.".to_owned());
        }
        lines.extend(self.length());
        lines.extend(self.hit());
        lines.push(self.spent());
        lines.extend(self.steel());
        lines.extend(self.ends());
        lines.extend(self.gaps());
        lines.push("True lengths are those of the simulation. At a real bench nobody is told them.".to_owned());
        lines
    }

    fn length(&self) -> Vec<String> {
        let best = self.best.as_ref().map(|best| (best.target, &best.left_short));
        let show = |mm| self.unit.show_named(mm);
        match (self.target, best) {
            (None, _) => vec!["Length: none was chosen.".to_owned()],
            (Some(target), None) => {
                vec![format!("Length: you chose {}; no length leaves every cutter above its mark.", show(target))]
            }
            (Some(target), Some((best, left_short))) => {
                let off = target - best;
                let against = if self.unit.show(target) == self.unit.show(best) {
                    "the same as".to_owned()
                } else {
                    format!("{} {}", show(off.abs()), if off < Millimetres::new(0.0) { "under" } else { "above" })
                };
                let with = short(left_short).map(|short| format!(", with {short} left short")).unwrap_or_default();
                vec![format!("Length: you chose {}, {against} the best one, {}{with}.", show(target), show(best))]
            }
        }
    }

    fn hit(&self) -> Vec<String> {
        let of = |found: bool| {
            let numbers: Vec<CutterNumber> =
                self.struck.iter().filter(|struck| struck.found == found).map(|struck| struck.cutter).collect();
            short(&numbers)
        };
        let none = self.struck.is_empty().then(|| "Struck: no cutter of this loop had been hit.".to_owned());
        let found = of(true).map(|numbers| format!("Struck: {numbers}, found."));
        let missed =
            of(false).map(|numbers| format!("Struck: {numbers}, not found: neither marked damaged nor left short."));
        let blamed = short(&self.blamed).map(|numbers| format!("Set aside though never hit: {numbers}."));
        none.into_iter().chain(found).chain(missed).chain(blamed).collect()
    }

    fn spent(&self) -> String {
        let each = f64::from(self.readings) / self.cutters.max(1) as f64;
        format!("Readings: {} taken, {each:.1} a cutter.", self.readings)
    }

    fn steel(&self) -> Option<String> {
        let best = self.best.as_ref()?;
        // As it is shown, so that the difference is that of what stands there.
        let each = |sum: Millimetres| {
            let each = sum / self.cutters.max(1) as f64;
            match self.unit {
                Unit::Mm => Millimetres::new((each.get() * 1e2).round() / 1e2),
                Unit::Inch => Millimetres::from_inches((each.inches() * 1e4).round() / 1e4),
            }
        };
        let show = |each: Millimetres| self.unit.show_named(each);
        let (lost, least) = (each(self.lost), each(best.removed));
        let said = if !self.signed || lost <= least {
            String::new()
        } else {
            format!(": {} a cutter more than it takes", show(lost - least))
        };
        Some(format!(
            "Steel: {} a cutter came off; {} is the least that makes it sharp and even{said}.",
            show(lost),
            show(least)
        ))
    }

    fn ends(&self) -> Option<String> {
        let (worst, off) = self.worst?;
        let side = if off < Millimetres::new(0.0) { "short" } else { "long" };
        Some(format!(
            "Lengths: {} of {} truly within {} of the length chosen; farthest off is cutter {worst}, {} {side}.",
            self.in_tolerance,
            self.matched,
            self.unit.show_named(self.tolerance),
            self.unit.show_named(off.abs())
        ))
    }

    fn gaps(&self) -> Option<String> {
        let low = match self.too_low {
            0 => String::new(),
            1 => ", 1 too low".to_owned(),
            many => format!(", {many} too low"),
        };
        let tolerance = self.unit.show_named(self.gap_tolerance);
        Some(format!("Rakers: {} of {} truly within {tolerance} of the gap wanted{low}.", self.rakers?, self.matched))
    }
}

/// `cutter 7`, `cutters 3 and 7`; nothing for none.
fn short(numbers: &[CutterNumber]) -> Option<String> {
    (!numbers.is_empty()).then(|| cutters(numbers))
}
