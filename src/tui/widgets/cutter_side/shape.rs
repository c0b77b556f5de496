//! The cutter's shape in mm, from the chain's numbers.
//!
//! Along the chain `x` counts from the rear edge of the top plate, forward in running direction; `y` counts up from the
//! line through the rivets. What the arithmetic knows (length, back slope, reach, gap, file) is exact; the rest of
//! the outline is a plain cutter of our own, in shares of the span from the rear edge to the new raker top.

use std::f64::consts::{PI, TAU};

use crate::chain::Spec;
use crate::chain::geometry::bite_angle;
use crate::units::{Degrees, Millimetres, mm};

/// A place in mm.
pub(super) type Point = (f64, f64);

/// Height of a new working corner above the rivet line, in shares of the span.
const CORNER_HIGH: f64 = 0.5;
/// A file stands above the top plate by a fifth of its diameter (common in operator manuals: 1/5 to 1/4).
const FILE_ABOVE: f64 = 0.2;
/// File diameter where the chain states none, in shares of the span.
const FILE: f64 = 0.3;

/// A cutter from the side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outline {
    /// From the raker's foot through the gullet and over the tooth, round the chassis to the raker's front foot.
    pub tooth: Vec<Point>,
    /// Over the raker, from its foot in the gullet to its front foot.
    pub hump: Vec<Point>,
    /// Centres of the rivets.
    pub rivets: [Point; 2],
    /// Radius of the rivet holes.
    pub rivet_radius: f64,
    /// Working corner.
    pub corner: Point,
    /// Rear edge of the top plate.
    pub heel: Point,
    /// Top of the raker.
    pub raker: Point,
    /// Where the witness mark crosses the top plate line, and its lower end.
    pub mark: [Point; 2],
}

impl Outline {
    /// The drawn raker gap: how far the corner stands above the raker. With a rocked cutter this is the bite left.
    pub(super) fn gap(&self) -> Millimetres {
        mm(self.corner.1 - self.raker.1)
    }

    /// The drawn reach along the chain.
    pub(super) fn reach(&self) -> Millimetres {
        mm(self.raker.0 - self.corner.0)
    }

    /// The drawn bite angle.
    pub(super) fn bite(&self) -> Degrees {
        bite_angle(self.gap(), self.reach())
    }

    /// Every point turned about the raker top so that the corner goes down.
    fn rocked(mut self, rock: Degrees) -> Self {
        let ((sin, cos), about) = (rock.radians().sin_cos(), self.raker);
        let turn = |point: &mut Point| {
            let (x, y) = (point.0 - about.0, point.1 - about.1);
            *point = (about.0 + x * cos - y * sin, about.1 + x * sin + y * cos);
        };
        self.tooth.iter_mut().chain(&mut self.hump).chain(&mut self.rivets).chain(&mut self.mark).for_each(turn);
        turn(&mut self.corner);
        turn(&mut self.heel);
        self
    }

    /// Opposite corners of the box around everything.
    pub(super) fn bounds(&self) -> (Point, Point) {
        let mut low = (f64::INFINITY, f64::INFINITY);
        let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (x, y) in self.tooth.iter().chain(&self.hump) {
            low = (low.0.min(*x), low.1.min(*y));
            high = (high.0.max(*x), high.1.max(*y));
        }
        (low, high)
    }

    /// Points round a rivet hole.
    pub(super) fn rivet(&self, index: usize) -> Vec<Point> {
        arc(self.rivets[index], self.rivet_radius, 0.0, TAU, 16)
    }
}

/// The cutter of that length whose raker stands `gap` below its corner, rocked back by `rock` about its raker top.
pub(super) fn outline(spec: &Spec, length: Millimetres, gap: Millimetres, rock: Degrees) -> Outline {
    let span = (spec.new_length + spec.reach_new).get();
    let wear = spec.wear(length);
    let high = CORNER_HIGH * span;
    let corner = (length.get(), high - spec.tip_drop(wear).get());
    let heel = (0.0, high - spec.tip_drop(spec.new_length).get());
    let raker = (corner.0 + spec.reach(wear).get(), corner.1 - gap.get());

    let file = spec.file_for(length).map_or(FILE * span, |step| step.diameter.get());
    let (gullet, floor) = gullet(corner, file, raker.0 - 0.13 * span);
    // Behind the raker the gullet may not rise above it, however deep the raker was filed.
    let foot = (raker.0 - 0.13 * span, floor.min(raker.1 - 0.02 * span));
    let front = spec.new_length.get() + spec.reach_new.get() + 0.13 * span;
    let front_foot = (front, (0.12 * span).min(raker.1 - 0.05 * span));

    let mut tooth = vec![foot];
    tooth.extend(gullet.into_iter().rev());
    tooth.extend([
        corner,
        heel,
        (-0.05 * span, 0.0),
        (-0.02 * span, -0.14 * span),
        (front - 0.02 * span, -0.14 * span),
        (front + 0.02 * span, 0.0),
        front_foot,
    ]);
    let hump = vec![
        foot,
        (raker.0 - 0.07 * span, raker.1 - 0.03 * span),
        raker,
        (raker.0 + 0.04 * span, raker.1 - 0.012 * span),
        (raker.0 + 0.10 * span, raker.1 - 0.05 * span),
        front_foot,
    ];
    let mark_x = spec.mark_length.get();
    let mark_y = heel.1 + mark_x * spec.fall();
    Outline {
        tooth,
        hump,
        rivets: [(0.2 * span, 0.0), (0.85 * span, 0.0)],
        rivet_radius: 0.07 * span,
        corner,
        heel,
        raker,
        mark: [(mark_x, mark_y), (mark_x - 0.05 * span, mark_y - 0.16 * span)],
    }
    .rocked(rock)
}

/// The file's bed from just under the corner down to its lowest point, and the height of that.
fn gullet(corner: Point, file: f64, no_further: f64) -> (Vec<Point>, f64) {
    let (radius, above) = (file / 2.0, file * FILE_ABOVE);
    let drop = radius - above;
    let centre = (corner.0 + (radius * radius - drop * drop).max(0.0).sqrt(), corner.1 - drop);
    let from = (corner.1 - centre.1).atan2(corner.0 - centre.0);
    let points = arc(centre, radius, from, 1.5 * PI, 14);
    let floor = centre.1 - radius;
    (points.into_iter().filter(|(x, _)| *x <= no_further.max(corner.0)).collect(), floor)
}

/// Points along an arc, both ends included.
fn arc(centre: Point, radius: f64, from: f64, to: f64, steps: u32) -> Vec<Point> {
    (0..=steps)
        .map(|step| {
            let (sin, cos) = (from + (to - from) * f64::from(step) / f64::from(steps)).sin_cos();
            (centre.0 + radius * cos, centre.1 + radius * sin)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::chain::geometry::bite_left;
    use crate::chain::profile::built_in;
    use crate::chain::{Rule, Wood};
    use crate::units::deg;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    proptest! {
        #[test]
        fn what_is_drawn_is_what_the_arithmetic_says(
            chain in 0..5_usize, spent in -0.1..1.1_f64, gap in 0.0..2.0_f64, rock in 0.0..15.0_f64,
        ) {
            let profile = &built_in::all()[chain];
            let spec = profile.spec();
            let length = spec.new_length - spec.usable() * spent;
            let drawn = outline(spec, length, mm(gap), deg(0.0));
            let reach = spec.reach(spec.wear(length));
            prop_assert!(near(drawn.gap().get(), gap));
            prop_assert!(near(drawn.reach().get(), reach.get()));
            prop_assert!(near(drawn.corner.0 - drawn.heel.0, length.get()));
            prop_assert!(near(drawn.bite().get(), bite_angle(mm(gap), reach).get()));
            let slope = ((drawn.corner.1 - drawn.heel.1) / (drawn.corner.0 - drawn.heel.0)).atan().to_degrees();
            prop_assert!(near(slope, spec.back_slope.get()), "{slope}");
            let rocked = outline(spec, length, mm(gap), deg(rock));
            prop_assert!(near(rocked.gap().get(), bite_left(mm(gap), reach, deg(rock)).get()));
        }

        #[test]
        fn the_raker_is_the_highest_point_of_its_hump(chain in 0..5_usize, spent in 0.0..1.0_f64, gap in 0.0..2.0_f64) {
            let profile = &built_in::all()[chain];
            let spec = profile.spec();
            let drawn = outline(spec, spec.new_length - spec.usable() * spent, mm(gap), deg(0.0));
            for (_, y) in &drawn.hump {
                prop_assert!(*y <= drawn.raker.1);
            }
        }
    }

    #[test]
    fn the_gullet_starts_at_the_corner_and_stays_ahead_of_it() {
        for profile in built_in::all() {
            let spec = profile.spec();
            for length in [spec.new_length, spec.mark_length] {
                let gap = spec.target_gap(Rule::Scaled, Wood::Any, spec.wear(length)).unwrap();
                let drawn = outline(spec, length, gap, deg(0.0));
                let at = drawn.tooth.iter().rposition(|point| *point == drawn.corner).unwrap();
                let before = drawn.tooth[at - 1];
                assert!(near(before.0, drawn.corner.0) && near(before.1, drawn.corner.1), "{}", profile.name);
            }
        }
    }

    #[test]
    fn the_mark_lies_on_the_top_plate_line() {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let worn = outline(spec, spec.mark_length, mm(1.0), deg(0.0));
        assert!(near(worn.mark[0].0, worn.corner.0) && near(worn.mark[0].1, worn.corner.1));
    }
}
