//! From above: the top-plate angle aimed at and the one read.
//!
//! The angle lies between the cutting edge and the line square to the chain. It is drawn to scale; widths are form.

use super::angle;
use crate::chain::{Side as Hand, Spec};
use crate::drawing::path::{Path, Point, arc};
use crate::drawing::{Ink, Near, RUNS_RIGHT, Scene};
use crate::units::{Degrees, Millimetres, deg};

/// The view from above, of a chain that runs to the right; a left-hand corner lies at the upper side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Top<'a> {
    /// The chain.
    pub spec: &'a Spec,
    /// Hand of the cutter: its working corner is on that side of the chain, seen in running direction.
    pub hand: Hand,
    /// Cutter length now, where it was measured.
    pub length: Option<Millimetres>,
    /// Angle aimed at.
    pub target: Degrees,
    /// Angle read, if any.
    pub reading: Option<Degrees>,
}

/// Angles are drawn within this, so that a slip of the keyboard cannot draw a spike.
const STEEPEST: f64 = 60.0;
/// Half the kerf where the profile has none, in sixteenths of the span.
const HALF_KERF: f64 = 3.6;
/// How far the top plate reaches over the middle of the chain.
const INNER: f64 = 1.0;

impl Top<'_> {
    /// The edge from the working corner back to its inner end, `wide` across.
    fn edge(&self, corner: Point, wide: f64, at: Degrees) -> [Point; 2] {
        let at = deg(at.get().clamp(-STEEPEST, STEEPEST));
        [corner, (corner.0 - wide * at.radians().tan(), corner.1 - self.outward() * wide)]
    }

    const fn outward(&self) -> f64 {
        match self.hand {
            Hand::Left => 1.0,
            Hand::Right => -1.0,
        }
    }

    fn words(&self) -> Vec<String> {
        let target = format!("target {}", angle(self.target));
        let Some(reading) = self.reading else {
            return vec![target, "angle not measured".to_owned()];
        };
        let off = reading - self.target;
        let off = match angle(off.abs()) {
            none if none.starts_with("0.0") => "on target".to_owned(),
            text if off.get() > 0.0 => format!("{text} more"),
            text => format!("{text} less"),
        };
        vec![target, format!("read {}, {off}", angle(reading))]
    }

    /// The picture.
    pub fn scene(&self) -> Scene {
        let k = (self.spec.new_length + self.spec.reach_new).get() / 16.0;
        let length = self.length.unwrap_or(self.spec.new_length);
        let wear = self.spec.wear(length);
        let half = self.spec.half_kerf_worn(wear).map_or(HALF_KERF * k, Millimetres::get);
        let out = self.outward();
        let (corner, wide) = ((length.get(), out * half), half + INNER * k);
        let raker = corner.0 + self.spec.reach(wear).get();
        let mut scene = Scene::new((-2.0 * k, -5.4 * k), (19.0 * k, 5.4 * k));
        scene.words = self.words();
        links(&mut scene, k);
        // The side plate under the outer edge, then the raker, then the top plate over all.
        let strip = |from: f64, to: f64, low: f64, high: f64| Path::rectangle((from, out * low), (to, out * high));
        scene.fill(Ink::Steel, strip(-0.6 * k, 17.2 * k, 0.55 * k, 1.9 * k));
        scene.fill(
            Ink::Steel,
            Path::through(&[
                (raker - 2.0 * k, out * 0.55 * k),
                (raker - 1.6 * k, out * (half - 0.5 * k)),
                (raker - 0.2 * k, out * (half - 0.2 * k)),
                (raker + 0.7 * k, out * (half - 0.9 * k)),
                (raker + 0.9 * k, out * 0.55 * k),
            ])
            .close(),
        );
        let target = self.edge(corner, wide, self.target);
        let drawn = self.reading.map_or(target, |reading| self.edge(corner, wide, reading));
        let rear = [(0.0, drawn[1].1), (0.0, out * (half - 0.25 * k))];
        // An edge that nobody read is not drawn as one: only as much of the plate as there is whatever the angle.
        let known = self.reading.map_or(drawn[1].0.min(drawn[0].0) - 0.4 * k, |_| drawn[0].0);
        let outer = (known, rear[1].1 + (known / corner.0) * (corner.1 - rear[1].1));
        let plate = [outer, (drawn[1].0.min(known), drawn[1].1), rear[0], rear[1]];
        scene.fill(Ink::Plate, Path::through(&plate).close());
        if self.reading.is_none() {
            scene.dashes(Ink::Unmeasured, Path::through(&[outer, corner]));
        }
        self.more_to_file(&mut scene, &target, &drawn);
        self.lines(&mut scene, &target, &drawn, k);
        scene.label(Ink::Quiet, (19.0 * k, -out * 4.6 * k), Near::Left, RUNS_RIGHT);
        scene
    }

    /// Where the edge stands further ahead than the one aimed at, steel is to go.
    fn more_to_file(&self, scene: &mut Scene, target: &[Point; 2], drawn: &[Point; 2]) {
        if self.reading.is_some() && drawn[1].0 > target[1].0 {
            scene.fill(Ink::Filed, Path::through(&[target[0], drawn[1], target[1]]).close());
        }
    }

    fn lines(&self, scene: &mut Scene, target: &[Point; 2], drawn: &[Point; 2], k: f64) {
        let (corner, out) = (target[0], self.outward());
        // The line square to the chain, from which the angle is counted.
        let square = (corner.0, -out * 3.2 * k);
        scene.line(Ink::Measure, Path::through(&[corner, square]));
        scene.label(Ink::Quiet, square, Near::Right, "square");
        scene.dashes(Ink::Target, Path::through(target));
        let sweep = |of: Degrees, radius: f64| {
            let down = if out > 0.0 { -std::f64::consts::FRAC_PI_2 } else { std::f64::consts::FRAC_PI_2 };
            let turn = if out > 0.0 { -1.0 } else { 1.0 };
            Path::through(&arc(corner, radius, (down, down + turn * of.radians()), 12))
        };
        scene.line(Ink::Target, sweep(deg(self.target.get().clamp(-STEEPEST, STEEPEST)), 2.6 * k));
        let beside = |row: f64| (corner.0 + 1.2 * k, corner.1 + out * row * k);
        scene.label(Ink::Target, beside(0.4), Near::Right, format!("x target {}", angle(self.target)));
        if let Some(reading) = self.reading {
            scene.line(Ink::Bite, Path::through(drawn));
            scene.line(Ink::Bite, sweep(deg(reading.get().clamp(-STEEPEST, STEEPEST)), 3.6 * k));
            scene.label(Ink::Bite, beside(1.4), Near::Right, format!("read {}", angle(reading)));
        }
        scene.spot(Ink::Mark, corner);
        let near = if out > 0.0 { Near::Above } else { Near::Below };
        scene.label(Ink::Quiet, (corner.0 - 1.5 * k, corner.1), near, "corner");
    }
}

/// The straps and the drive links between them, seen from above.
fn links(scene: &mut Scene, k: f64) {
    for (from, to) in [(-34.0, -19.4), (-18.6, -4.0), (20.0, 35.0)] {
        for side in [1.0, -1.0] {
            scene.fill(Ink::Link, Path::rectangle((from * k, side * 0.55 * k), (to * k, side * 1.9 * k)));
        }
    }
    scene.fill(Ink::Bar, Path::rectangle((-34.0 * k, -0.55 * k), (35.0 * k, 0.55 * k)));
    scene.fill(Ink::Link, Path::rectangle((-0.6 * k, -1.9 * k), (17.2 * k, 1.9 * k)));
    for x in [3.3, 12.8] {
        scene.fill(Ink::Rivet, Path::rectangle((x * k - 1.0 * k, -2.3 * k), (x * k + 1.0 * k, 2.3 * k)));
    }
}
