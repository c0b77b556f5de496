//! The cutter that wants attention most, from the side and to scale: the same scene as on the screen.

use maud::{Markup, html};

use crate::chain::geometry::bite_angle;
use crate::drawing::{Show, Side};
use crate::report::picture::picture;
use crate::report::sheet::model::{CutterPart, Sheet};
use crate::stats::summary;
use crate::units::{Millimetres, mm};

impl Sheet {
    /// `None` where no cutter was measured.
    pub(in crate::report::sheet) fn worst_cutter(&self) -> Option<Markup> {
        let worst = self.worst.as_ref()?;
        let cutter = self.cutters.iter().find(|cutter| cutter.number == worst.cutter)?;
        let length = mm(cutter.length_mm?.0);
        let gap = cutter.gap_mm.map(|gap| mm(gap.0));
        let side = Side {
            length: Some(length),
            gap,
            target_gap: cutter.target_gap_mm.map(|gap| mm(gap.0)),
            mirrored: cutter.side == crate::chain::Side::Right,
            show: Show::Whole,
            unit: self.units,
            ..Side::new(&self.spec)
        };
        let desc = self.cutter_words(cutter, length, gap);
        let more = html! { g data-cutter=(cutter.number) data-length-mm=[cutter.length_mm] data-gap-mm=[cutter.gap_mm]
        data-target-gap-mm=[cutter.target_gap_mm] {} };
        Some(picture(&side.scene(), "cutter", &format!("Cutter {} to scale", cutter.number), &desc, &more))
    }

    /// A cutter of the loop's middle length, for who owns it, with the words under it; `None` where no length was measured.
    pub(in crate::report::sheet) fn usual_cutter(&self) -> Option<(Markup, String)> {
        let median = self.round.median_after_mm.or(self.round.median_before_mm)?;
        let length = mm(median.0);
        let gaps: Vec<f64> = self.cutters.iter().filter_map(|cutter| Some(cutter.gap_mm?.0)).collect();
        let gap = summary::median(&gaps).ok().map(mm);
        let scene = Side { length: Some(length), gap, unit: self.units, ..Side::new(&self.spec) }.scene();
        let (now, new, mark) = (length, self.spec.new_length, self.spec.mark_length);
        let [now, new, mark] = [now, new, mark].map(|length| self.units.show_named(length));
        let desc =
            format!("A cutter of this chain from the side, {now} long; new it is {new}; its life ends at {mark}.");
        let more = html! { g data-median-mm=(median) {} };
        let words =
            format!("The middle cutter of this chain, {now} long. Dashed: a new one, {new}. Its life ends at {mark}.");
        Some((picture(&scene, "cutter", "A cutter of this chain to scale", &desc, &more), words))
    }

    fn cutter_words(&self, cutter: &CutterPart, length: Millimetres, gap: Option<Millimetres>) -> String {
        let unit = self.units;
        let reach = self.spec.reach(self.spec.wear(length));
        let raker = match gap {
            Some(gap) => format!("raker gap {}, bite angle {}", unit.show_named(gap), bite_angle(gap, reach)),
            None => "raker gap not measured".to_owned(),
        };
        format!(
            "Side view of cutter {} on the bar, a new one dashed behind it: length {}, reach {}, {raker}.",
            cutter.number,
            unit.show_named(length),
            unit.show_named(reach)
        )
    }
}
