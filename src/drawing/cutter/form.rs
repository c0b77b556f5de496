//! The cutter's shape in mm, from the chain's numbers.
//!
//! Along the chain `x` counts from the rear edge of the top plate, forward in running direction; `y` counts up from the
//! line through the rivets. What the arithmetic knows (length, back slope, reach, gap, file, mark) is exact; the rest is
//! a plain cutter of our own, in sixteenths of the span from the rear edge to the new raker top.

use std::f64::consts::PI;

use crate::chain::Spec;
use crate::drawing::path::{Path, Point, arc};
use crate::units::{Degrees, Millimetres};

/// A file stands above the top plate by a fifth of its diameter (common in operator manuals: 1/5 to 1/4).
const FILE_ABOVE: f64 = 0.2;
/// File diameter where the chain states none, in sixteenths of the span.
const FILE: f64 = 5.0;
/// Height of the rear edge of the top plate.
const HEEL: f64 = 6.9;
/// Where the raker begins in the gullet.
const FOOT: Point = (13.4, 3.3);
/// The front of the raker's foot.
const FRONT: Point = (17.25, 4.2);
/// Rivets of the cutter, and the distance from one rivet to the next.
pub(super) const RIVETS: [f64; 2] = [3.3, 12.8];
pub(super) const PITCH: f64 = 9.5;

/// A cutter from the side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Form {
    /// A sixteenth of the span, the measure of all that is form.
    pub k: f64,
    /// Working corner.
    pub corner: Point,
    /// Rear edge of the top plate.
    pub heel: Point,
    /// Top of the raker.
    pub raker: Point,
    /// Centre and radius of the round file in its bed.
    pub file: (Point, f64),
    /// The file's bed from the corner down to its lowest point.
    pub bed: Vec<Point>,
    rocked: f64,
}

impl Form {
    /// The cutter of that length whose raker stands `gap` below its corner.
    pub(super) fn new(spec: &Spec, length: Millimetres, gap: Millimetres) -> Self {
        let k = (spec.new_length + spec.reach_new).get() / 16.0;
        let wear = spec.wear(length);
        let corner = (length.get(), HEEL * k + length.get() * spec.fall());
        let raker = (corner.0 + spec.reach(wear).get(), corner.1 - gap.get());
        let file = file_in(corner, spec.file_for(length).map_or(FILE * k, |step| step.diameter.get()));
        Self { k, corner, heel: (0.0, HEEL * k), raker, file, bed: bed(corner, file), rocked: 0.0 }
    }

    /// Turned back about the raker top, so that the corner goes down.
    pub(super) fn rocked(mut self, rock: Degrees) -> Self {
        self.rocked = rock.radians();
        self
    }

    /// Where a point of the cutter stands once it is rocked.
    pub(super) fn turn(&self, (x, y): Point) -> Point {
        let ((sin, cos), about) = (self.rocked.sin_cos(), self.raker);
        let (x, y) = (x - about.0, y - about.1);
        (about.0 + x * cos - y * sin, about.1 + x * sin + y * cos)
    }

    fn turned(&self, mut path: Path) -> Path {
        path.map(|point| self.turn(point));
        path
    }

    /// A place given in sixteenths.
    pub(super) fn at(&self, x: f64, y: f64) -> Point {
        (x * self.k, y * self.k)
    }

    /// Down the rear, along the bottom and up to the front of the raker's foot.
    fn base(&self, path: Path) -> Path {
        let at = |x, y| self.at(x, y);
        path.curve(at(17.3, 2.6), at(16.6, 1.9), at(16.2, 0.6))
            .curve(at(16.1, -2.2), at(14.9, -3.3), at(12.8, -3.3))
            .curve(at(11.0, -3.3), at(10.2, -2.45), at(8.05, -2.45))
            .curve(at(5.9, -2.45), at(5.1, -3.3), at(3.3, -3.3))
            .curve(at(1.2, -3.3), at(0.0, -2.2), at(-0.05, 0.0))
            .curve(at(-0.15, 1.4), at(-0.4, 2.4), at(-0.5, 3.6))
    }

    /// From the heel over the top plate, down the file's bed and along the gullet to the raker's foot.
    fn over_tooth(&self, path: Path) -> Path {
        let low = self.bed[self.bed.len() - 1];
        let foot = self.foot();
        let path = path.curve(self.at(-0.6, 4.8), self.at(-0.55, 5.6), (-0.35 * self.k, self.heel.1 - 0.8 * self.k));
        path.line(self.heel).line(self.corner).lines(self.bed.iter().copied().skip(1)).curve(
            (low.0 + 0.4 * self.k, low.1),
            (foot.0 - 0.6 * self.k, foot.1 - 0.5 * self.k),
            foot,
        )
    }

    /// The raker's foot in the gullet: no raker is filed below it.
    fn foot(&self) -> Point {
        let (x, y) = self.at(FOOT.0, FOOT.1);
        (x, y.min(self.raker.1 - 0.4 * self.k))
    }

    fn front(&self) -> Point {
        let (x, y) = self.at(FRONT.0, FRONT.1);
        (x.max(self.raker.0 + 0.5 * self.k), y.min(self.raker.1 - 0.4 * self.k))
    }

    /// Over the raker, round at both ends.
    fn over_raker(&self, path: Path) -> Path {
        let (k, (top, high), foot, front) = (self.k, self.raker, self.foot(), self.front());
        let rise = high - foot.1;
        path.curve(
            (foot.0 + 0.7 * k, foot.1 + 0.2 * rise),
            (top - 1.75 * k, high - 0.45 * rise),
            (top - 1.35 * k, high - 0.14 * rise),
        )
        .curve((top - 1.15 * k, high - 0.02 * rise), (top - 0.8 * k, high), (top - 0.35 * k, high))
        .line(self.raker)
        .curve(
            (top + 0.75 * k, high - 0.02 * rise),
            (front.0 - 0.1 * k, front.1 + 0.4 * (high - front.1)),
            front,
        )
    }

    /// The whole outline.
    pub(super) fn body(&self) -> Path {
        let path = Path::from(self.at(-0.5, 3.6));
        self.turned(self.base(self.over_raker(self.over_tooth(path))).close())
    }

    /// The outline without its raker.
    pub(super) fn without_raker(&self) -> Path {
        let path = Path::from(self.at(-0.5, 3.6));
        self.turned(self.base(self.over_tooth(path).line(self.front())).close())
    }

    /// The outline without tooth and raker.
    pub(super) fn chassis(&self) -> Path {
        let path = Path::from(self.at(-0.5, 3.6)).line(self.foot()).line(self.front());
        self.turned(self.base(path).close())
    }

    /// The line over the tooth alone.
    pub(super) fn tooth_line(&self) -> Path {
        self.turned(self.over_tooth(Path::from(self.at(-0.5, 3.6))))
    }

    /// The line over the raker alone.
    pub(super) fn raker_line(&self) -> Path {
        self.turned(self.over_raker(Path::from(self.foot())))
    }

    /// The top plate's own edge: a strip as thick as a plate under the line from heel to corner.
    pub(super) fn plate(&self) -> Path {
        let k = self.k;
        let under = self.bed.iter().copied().find(|point| point.1 < self.corner.1 - 1.1 * k);
        let under = under.unwrap_or((self.corner.0 - 0.5 * k, self.corner.1 - 1.1 * k));
        let rear = (self.heel.0 - 0.3 * k, self.heel.1 - 0.95 * k);
        self.turned(Path::through(&[rear, self.heel, self.corner, under]).close())
    }

    /// Where the witness mark crosses the top plate line, and its lower end.
    pub(super) fn mark(&self, spec: &Spec) -> [Point; 2] {
        let x = spec.mark_length.get();
        let y = self.heel.1 + x * spec.fall();
        [(x, y), (x - 0.5 * self.k, y - 1.7 * self.k)].map(|point| self.turn(point))
    }

    pub(super) fn rivets(&self) -> [Point; 2] {
        RIVETS.map(|x| self.turn(self.at(x, 0.0)))
    }
}

/// Centre and radius of a round file of that diameter against the corner.
fn file_in(corner: Point, diameter: f64) -> (Point, f64) {
    let (radius, above) = (diameter / 2.0, diameter * FILE_ABOVE);
    let drop = radius - above;
    ((corner.0 + (radius * radius - drop * drop).max(0.0).sqrt(), corner.1 - drop), radius)
}

/// The file's bed from just under the corner down to its lowest point.
fn bed(corner: Point, (centre, radius): (Point, f64)) -> Vec<Point> {
    let from = (corner.1 - centre.1).atan2(corner.0 - centre.0);
    arc(centre, radius, (from, 1.5 * PI), 14)
}

/// A drive link whose rear rivet stands at `x`: its upper part between two rivets, its tang in the bar.
pub(super) fn drive_link(k: f64, x: f64) -> Path {
    let at = |dx: f64, y: f64| ((x + dx) * k, y * k);
    Path::from(at(-2.6, 1.4))
        .curve(at(-3.2, -0.2), at(-2.7, -2.5), at(-0.6, -3.0))
        .curve(at(1.4, -3.4), at(2.0, -7.4), at(3.3, -8.3))
        .curve(at(5.4, -8.8), at(6.4, -6.0), at(8.2, -3.3))
        .curve(at(11.4, -3.0), at(12.9, -0.6), at(12.2, 1.4))
        .curve(at(11.4, 3.0), at(9.6, 3.0), at(8.0, 2.2))
        .curve(at(6.2, 1.5), at(4.0, 1.4), at(2.2, 2.3))
        .curve(at(0.6, 3.1), at(-1.6, 3.0), at(-2.6, 1.4))
        .close()
}

/// A tie strap whose rear rivet stands at `x`.
pub(super) fn tie_strap(k: f64, x: f64) -> Path {
    let at = |dx: f64, y: f64| ((x + dx) * k, y * k);
    Path::from(at(-2.9, 0.4))
        .curve(at(-2.9, 2.6), at(-1.6, 3.5), at(0.4, 3.5))
        .line(at(9.1, 3.5))
        .curve(at(11.1, 3.5), at(12.4, 2.6), at(12.4, 0.4))
        .curve(at(12.4, -2.2), at(11.4, -3.3), at(9.5, -3.3))
        .curve(at(7.7, -3.3), at(6.9, -2.45), at(4.75, -2.45))
        .curve(at(2.6, -2.45), at(1.8, -3.3), at(0.0, -3.3))
        .curve(at(-1.9, -3.3), at(-2.9, -2.2), at(-2.9, 0.4))
        .close()
}
