//! The cutter that wants attention most, from the side and to scale: the same scene as on the screen.

use maud::{Markup, html};

use crate::chain::geometry::bite_angle;
use crate::drawing::{Show, Side};
use crate::report::picture::picture;
use crate::report::sheet::model::{CutterPart, Sheet};
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
