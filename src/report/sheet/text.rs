//! The full sheet and the owner's sheet as text of at most 80 columns.

use super::model::{CutterPart, Sheet};
use super::sections::Topic;
use super::signs;
use crate::report::data::Number;
use crate::report::paper::Paper;
use crate::report::{demo, not_read, why};
use crate::units::mm;

impl Sheet {
    /// The full sheet in at most 80 columns; `ascii` keeps to plain letters and lines.
    pub fn text(&self, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        paper.line("SHARPENING SHEET");
        for (label, value) in self.head() {
            paper.pair(label, &value);
        }
        // What endangers who cuts comes first.
        paper.list("! ", self.urgent_cautions());
        for section in self.sections() {
            paper.heading(section.topic.into());
            paper.list("- ", &section.lines);
            if section.topic == Topic::Rakers {
                self.table(&mut paper);
            }
        }
        if !self.reckonings.is_empty() {
            paper.heading("How it was reckoned");
        }
        for (at, why) in self.reckonings.iter().enumerate() {
            if at > 0 {
                paper.line("");
            }
            why::text(&mut paper, &why.told);
        }
        demo::text(self.demo, not_read::text(&self.not_read, ascii, paper.finish()))
    }

    fn table(&self, paper: &mut Paper) {
        paper.heading("Cutter by cutter");
        let name = self.units.of_lengths();
        paper.paragraph("", &format!("Lengths in {name}, angles in degrees. {}", signs::LEGEND));
        paper.line("");
        paper.line(&row(["", "", "", "length", "length", "", "", "gap", "gap", "target", "bite", "", "", ""]));
        paper.line(&row([
            "No", "", "state", "before", "after", "wear", "angle", "before", "now", "gap", "angle", "L", "A", "G",
        ]));
        for cutter in &self.cutters {
            paper.line(&self.row(cutter));
        }
    }

    fn row(&self, cutter: &CutterPart) -> String {
        let length = |number: Option<Number>| number.map_or("-".to_owned(), |n| self.units.show(mm(n.0)));
        let angle = |number: Option<Number>| number.map_or("-".to_owned(), |n| format!("{:.1}", n.0));
        let verdicts = cutter.verdicts;
        row([
            &cutter.number.to_string(),
            &cutter.side.letter().to_string(),
            cutter.state.into(),
            &length(cutter.before_mm),
            &length(cutter.after_mm),
            &length(cutter.wear_mm),
            &angle(cutter.angle_deg),
            &length(cutter.gap_before_mm),
            &length(cutter.gap_mm),
            &length(cutter.target_gap_mm),
            &angle(cutter.bite_deg),
            signs::length(verdicts.length).mark,
            signs::angle(verdicts.angle).mark,
            signs::gap(verdicts.gap).mark,
        ])
    }
}

/// Numbers to the right, the state to the left, the three signs at the end.
fn row(cells: [&str; 14]) -> String {
    let [number, side, state, before, after, wear, angle, gap_before, gap, target, bite, l, a, g] = cells;
    format!(
        "{number:>3} {side:1} {state:<10}{before:>7}{after:>7}{wear:>7}{angle:>6}{gap_before:>7}{gap:>7}{target:>7}{bite:>6}  {l} {a} {g}"
    )
}
