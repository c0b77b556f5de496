//! From the front, against the running direction: side plate, top plate and the rounding of the raker.
//!
//! Only the half kerf can be in a profile, and only it carries a dimension; everything else is form.

use super::form::Form;
use crate::chain::{Side as Hand, Spec, Wood};
use crate::drawing::path::{Path, Point};
use crate::drawing::{Ink, Measure, Near, Part, Scene};
use crate::units::{Millimetres, Unit};

/// The view from the front. A left-hand cutter has its corner at the right of the picture, for it comes towards the eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Front<'a> {
    /// The chain.
    pub spec: &'a Spec,
    /// Hand of the cutter.
    pub hand: Hand,
    /// Cutter length now, where it was measured.
    pub length: Option<Millimetres>,
    /// Raker gap now, where it was measured.
    pub gap: Option<Millimetres>,
    /// Unit of the numbers.
    pub unit: Unit,
}

impl Front<'_> {
    fn words(&self) -> Vec<String> {
        let measured = |name: &str, value: Option<Millimetres>| match value {
            Some(value) => format!("{name} {}", self.unit.show_named(value)),
            None => format!("{name} not measured"),
        };
        vec![measured("gap", self.gap), "round the raker's front edge; no flat, no notch".to_owned()]
    }

    /// The picture.
    pub fn scene(&self) -> Scene {
        let spec = self.spec;
        let length = self.length.unwrap_or(spec.new_length);
        let form = Form::new(spec, length, self.gap.unwrap_or_else(|| spec.fixed_gap(Wood::Any)));
        let k = form.k;
        let known = spec.half_kerf_worn(spec.wear(length)).filter(|_| self.length.is_some());
        let half = known.map_or(3.6 * k, Millimetres::get);
        let (corner, raker) = ((half, form.corner.1), form.raker.1);
        let mut scene = Scene::new((-6.0 * k, -6.2 * k), (6.0 * k, form.corner.1 + 2.8 * k));
        scene.words = self.words();
        chassis(&mut scene, k);
        // Side plate and top plate, an L upside down.
        let plate: Vec<Point> = vec![
            (0.55 * k, 0.0),
            (1.9 * k, 0.0),
            (2.2 * k, 3.2 * k),
            (half - 0.15 * k, corner.1 - 1.4 * k),
            corner,
            (-1.2 * k, corner.1),
            (-1.2 * k, corner.1 - 1.1 * k),
            (half - 1.7 * k, corner.1 - 1.1 * k),
            (1.0 * k, 4.2 * k),
            (0.55 * k, 3.2 * k),
        ];
        scene.fill(Ink::Plate, Path::through(&plate).close());
        let hump = hump(half, raker, k);
        if self.gap.is_some() {
            scene.fill(Ink::Steel, hump);
        } else {
            scene.dashes(Ink::Unmeasured, hump);
        }
        scene.spot(Ink::Mark, corner);
        scene.label(Ink::Quiet, corner, Near::Right, "corner");
        scene.label(Ink::Quiet, (half - 0.2 * k, corner.1 - 2.4 * k), Near::Right, "side plate");
        scene.label(Ink::Quiet, (2.3 * k, 2.4 * k), Near::Right, "raker, rounded");
        if let Some(half) = known {
            let text = format!("half kerf {}", self.unit.show(half));
            let (from, to, at) = ((0.0, corner.1), corner, corner.1 + 1.5 * k);
            scene.parts.push(Part::Measure(Measure {
                name: "half kerf",
                from,
                to,
                at,
                upright: false,
                text,
                ink: Ink::Measure,
            }));
        }
        if self.hand == Hand::Right { scene.mirrored() } else { scene }
    }
}

/// The raker in front of the side plate: upright, round at its top.
fn hump(half: f64, top: f64, k: f64) -> Path {
    let (inner, outer) = (0.5 * k, (half - 0.7 * k).max(1.6 * k));
    Path::from((inner, 0.0))
        .line((inner, top - 0.6 * k))
        .curve((inner, top - 0.15 * k), (inner + 0.3 * k, top), (inner + 0.8 * k, top))
        .line((outer - 0.9 * k, top))
        .curve((outer - 0.3 * k, top), (outer, top - 0.2 * k), (outer, top - 0.9 * k))
        .line((1.9 * k, 2.6 * k))
        .line((1.9 * k, 0.0))
        .close()
}

/// The bar's rails with the groove between them, the drive link in it, the straps and a rivet through all.
fn chassis(scene: &mut Scene, k: f64) {
    for side in [1.0, -1.0] {
        scene.fill(Ink::Bar, Path::rectangle((side * 0.65 * k, -30.0 * k), (side * 2.6 * k, -3.5 * k)));
    }
    scene.fill(Ink::Link, Path::rectangle((-0.5 * k, -8.0 * k), (0.5 * k, 2.6 * k)));
    scene.fill(Ink::Link, Path::rectangle((-1.9 * k, -3.3 * k), (-0.55 * k, 3.2 * k)));
    scene.fill(Ink::Steel, Path::rectangle((0.55 * k, -3.3 * k), (1.9 * k, 3.2 * k)));
    scene.fill(Ink::Rivet, Path::rectangle((-2.5 * k, -1.4 * k), (2.5 * k, 1.4 * k)));
}
