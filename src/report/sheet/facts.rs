//! The sheet for the ear: one fact per line, no columns and no signs.

use super::model::{CutterPart, Sheet};
use super::signs;
use crate::report::data::Number;
use crate::units::mm;

impl Sheet {
    /// The sheet line by line, each line a fact; a cutter is one line.
    pub fn facts(&self) -> Vec<String> {
        let mut facts = vec!["Sharpening sheet".to_owned()];
        facts.extend(self.head().into_iter().map(|(label, value)| format!("{label}: {value}")));
        facts.extend(self.urgent_cautions().iter().map(|caution| format!("Stop: {caution}")));
        for section in self.sections() {
            let title: &str = section.topic.into();
            facts.push(format!("{title}:"));
            facts.extend(section.lines.into_iter().map(|line| format!("  {line}")));
        }
        facts.push("Cutter by cutter:".to_owned());
        facts.extend(self.cutters.iter().map(|cutter| format!("  {}", self.cutter_fact(cutter))));
        if !self.reckonings.is_empty() {
            facts.push("How it was reckoned:".to_owned());
        }
        facts.extend(self.reckonings.iter().flat_map(|why| why.told.paragraphs()));
        facts.extend(self.not_read.iter().cloned());
        facts
    }

    /// The owner's version line by line, each line a sentence.
    pub fn owner_facts(&self) -> Vec<String> {
        let mut facts = self.owner_head();
        for part in self.owner_parts() {
            let title: &str = part.matter.into();
            facts.push(format!("{title}:"));
            facts.extend(part.lines.into_iter().map(|line| format!("  {line}")));
        }
        facts
    }

    fn cutter_fact(&self, cutter: &CutterPart) -> String {
        let named = |number: Number| self.units.show_named(mm(number.0));
        let state: &str = cutter.state.into();
        let verdicts = cutter.verdicts;
        let parts = [
            Some(format!("{} {}", cutter.number, cutter.side)),
            (state != "kept").then(|| state.to_owned()),
            cutter.before_mm.map(|length| format!("before {}", named(length))),
            cutter.after_mm.map(|length| format!("after {}", named(length))),
            Some(format!("length {}", signs::length(verdicts.length).word)),
            cutter.angle_deg.map(|deg| format!("angle {:.1} degrees, {}", deg.0, signs::angle(verdicts.angle).word)),
            cutter.gap_mm.map(|gap| format!("gap {}, {}", named(gap), signs::gap(verdicts.gap).word)),
            cutter.target_gap_mm.map(|gap| format!("target gap {}", named(gap))),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}
