//! Outlines and lines in millimetres.

use std::f64::consts::TAU;

/// A place in mm.
pub type Point = (f64, f64);

/// One step along a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// Begins here.
    Start(Point),
    /// A straight line to there.
    Line(Point),
    /// A cubic curve: two points that pull, and where it ends.
    Curve(Point, Point, Point),
    /// Back to where this part began.
    Close,
}

/// Lines and curves one after the other.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// The steps.
    pub steps: Vec<Step>,
}

/// Pieces that a curve is drawn in where only straight lines can be.
const PIECES: u32 = 10;

impl Path {
    pub(super) fn from(start: Point) -> Self {
        Self { steps: vec![Step::Start(start)] }
    }

    /// Straight through points.
    pub(super) fn through(points: &[Point]) -> Self {
        let steps = points.iter().enumerate();
        Self { steps: steps.map(|(at, p)| if at == 0 { Step::Start(*p) } else { Step::Line(*p) }).collect() }
    }

    pub(super) fn line(mut self, to: Point) -> Self {
        self.steps.push(Step::Line(to));
        self
    }

    pub(super) fn lines(mut self, points: impl IntoIterator<Item = Point>) -> Self {
        self.steps.extend(points.into_iter().map(Step::Line));
        self
    }

    pub(super) fn curve(mut self, a: Point, b: Point, to: Point) -> Self {
        self.steps.push(Step::Curve(a, b, to));
        self
    }

    pub(super) fn close(mut self) -> Self {
        self.steps.push(Step::Close);
        self
    }

    /// A whole circle.
    pub(super) fn circle(centre: Point, radius: f64) -> Self {
        Self::through(&arc(centre, radius, (0.0, TAU), 24)).close()
    }

    /// A closed box between opposite corners.
    pub(super) fn rectangle(low: Point, high: Point) -> Self {
        Self::through(&[low, (high.0, low.1), high, (low.0, high.1)]).close()
    }

    /// A band of that width along points.
    pub(super) fn band(points: &[Point], width: f64) -> Self {
        let side = |half: f64| {
            let at = move |index: usize| {
                let (before, after) = (points[index.saturating_sub(1)], points[(index + 1).min(points.len() - 1)]);
                let (dx, dy) = (after.0 - before.0, after.1 - before.1);
                let long = dx.hypot(dy).max(1e-9);
                (points[index].0 - dy / long * half, points[index].1 + dx / long * half)
            };
            (0..points.len()).map(at)
        };
        let mut around: Vec<Point> = side(width / 2.0).collect();
        around.extend(side(-width / 2.0).rev());
        Self::through(&around).close()
    }

    /// Moves every point.
    pub(super) fn map(&mut self, to: impl Fn(Point) -> Point) {
        for step in &mut self.steps {
            *step = match *step {
                Step::Start(p) => Step::Start(to(p)),
                Step::Line(p) => Step::Line(to(p)),
                Step::Curve(a, b, p) => Step::Curve(to(a), to(b), to(p)),
                Step::Close => Step::Close,
            };
        }
    }

    /// The same in straight pieces: one list of points a part.
    pub fn flat(&self) -> Vec<Vec<Point>> {
        let mut parts: Vec<Vec<Point>> = Vec::new();
        for step in &self.steps {
            match (*step, parts.last_mut()) {
                (Step::Start(p), _) => parts.push(vec![p]),
                (Step::Line(p), Some(part)) => part.push(p),
                (Step::Curve(a, b, p), Some(part)) => {
                    let from = part[part.len() - 1];
                    part.extend((1..=PIECES).map(|n| on_curve(from, a, b, p, f64::from(n) / f64::from(PIECES))));
                }
                (Step::Close, Some(part)) => part.push(part[0]),
                (_, None) => {}
            }
        }
        parts
    }
}

/// The point of a cubic curve at a share of its run.
fn on_curve(from: Point, a: Point, b: Point, to: Point, t: f64) -> Point {
    let u = 1.0 - t;
    let [w0, w1, w2, w3] = [u * u * u, 3.0 * u * u * t, 3.0 * u * t * t, t * t * t];
    (w0 * from.0 + w1 * a.0 + w2 * b.0 + w3 * to.0, w0 * from.1 + w1 * a.1 + w2 * b.1 + w3 * to.1)
}

/// Points along an arc, both ends included.
pub(super) fn arc(centre: Point, radius: f64, (from, to): (f64, f64), steps: u32) -> Vec<Point> {
    let at = |step: u32| {
        let (sin, cos) = (from + (to - from) * f64::from(step) / f64::from(steps)).sin_cos();
        (centre.0 + radius * cos, centre.1 + radius * sin)
    };
    (0..=steps).map(at).collect()
}
