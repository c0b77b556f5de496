//! Pictures of a cutter as scenes in millimetres: filled shapes, lines, dimensions and labels, each with its meaning.
//!
//! What the room is for: one drawing for every face and report. A scene knows no terminal, no page and no colour: a
//! renderer gives its inks their looks, whether in cells, in SVG or in pixels. What the arithmetic knows is drawn exactly
//! and may carry a dimension; the rest is form and carries none.

mod cutter;
mod path;
mod raster;

pub use cutter::{Front, Show, Side, Top};
pub use path::{Path, Point, Step};
pub use raster::{Grid, rasterise};

/// What a part of a scene means; a renderer decides how it looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::VariantArray)]
pub enum Ink {
    /// The cutter in hand.
    Steel,
    /// Its top plate.
    Plate,
    /// Rivet heads.
    Rivet,
    /// Links beside it.
    Link,
    /// The bar.
    Bar,
    /// Uncut wood.
    Wood,
    /// The chip that is taken.
    Chip,
    /// Steel that is to be filed away: hatched.
    Filed,
    /// A gauge laid on: hatched the other way.
    Gauge,
    /// The grain of wood, the rail's edge.
    Grain,
    /// The outline of a new cutter.
    New,
    /// A form whose place nobody measured.
    Unmeasured,
    /// Dimension lines and their numbers.
    Measure,
    /// The raker gap.
    Gap,
    /// The bite angle, an angle that was read.
    Bite,
    /// What is aimed at.
    Target,
    /// The witness mark.
    Mark,
    /// Words that can wait.
    Quiet,
}

/// On which side of its place a label stands, as drawn for a chain that runs to the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Near {
    /// To the right.
    Right,
    /// To the left.
    Left,
    /// Over it, centred.
    Above,
    /// Under it, centred.
    Below,
}

/// A dimension as on a workshop drawing: two points, the line that says how far they are apart, and its number.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// What is measured: `length`, `reach`, `gap` ...
    pub name: &'static str,
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Where the dimension line runs: its height for a level one, its place along the chain for an upright one.
    pub at: f64,
    /// The distance is counted upwards instead of along the chain.
    pub upright: bool,
    /// Number and unit.
    pub text: String,
    /// How it is marked.
    pub ink: Ink,
}

impl Measure {
    /// The distance in mm that the drawing has.
    pub fn drawn(&self) -> f64 {
        if self.upright { (self.to.1 - self.from.1).abs() } else { (self.to.0 - self.from.0).abs() }
    }
}

/// A part of a scene; later ones lie on top.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A filled shape.
    Fill {
        /// Its outline.
        path: Path,
        /// What it is.
        ink: Ink,
    },
    /// A line.
    Line {
        /// Where it runs.
        path: Path,
        /// What it is.
        ink: Ink,
        /// In dashes.
        dashed: bool,
    },
    /// A place of note.
    Spot {
        /// Where.
        at: Point,
        /// What it is.
        ink: Ink,
    },
    /// A dimension.
    Measure(Measure),
    /// Words at a place.
    Label {
        /// The place.
        at: Point,
        /// On which side of it.
        near: Near,
        /// The words.
        text: String,
        /// What they are about.
        ink: Ink,
    },
}

/// A picture in mm: `x` along the chain, `y` upwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// One corner of what must be seen.
    pub low: Point,
    /// The opposite one.
    pub high: Point,
    /// The parts, those behind first.
    pub parts: Vec<Part>,
    /// What the picture says, in words.
    pub words: Vec<String>,
}

impl Scene {
    fn new(low: Point, high: Point) -> Self {
        Self { low, high, parts: Vec::new(), words: Vec::new() }
    }

    fn fill(&mut self, ink: Ink, path: Path) {
        self.parts.push(Part::Fill { path, ink });
    }

    fn line(&mut self, ink: Ink, path: Path) {
        self.parts.push(Part::Line { path, ink, dashed: false });
    }

    fn dashes(&mut self, ink: Ink, path: Path) {
        self.parts.push(Part::Line { path, ink, dashed: true });
    }

    fn spot(&mut self, ink: Ink, at: Point) {
        self.parts.push(Part::Spot { at, ink });
    }

    fn label(&mut self, ink: Ink, at: Point, near: Near, text: impl Into<String>) {
        self.parts.push(Part::Label { at, near, text: text.into(), ink });
    }

    /// The dimensions that it carries.
    pub fn measures(&self) -> impl Iterator<Item = &Measure> {
        self.parts.iter().filter_map(|part| if let Part::Measure(measure) = part { Some(measure) } else { None })
    }

    /// The same seen from the other side of the chain: it runs to the left.
    #[must_use]
    pub fn mirrored(mut self) -> Self {
        (self.low.0, self.high.0) = (-self.high.0, -self.low.0);
        for part in &mut self.parts {
            match part {
                Part::Fill { path, .. } | Part::Line { path, .. } => path.map(|(x, y)| (-x, y)),
                Part::Spot { at, .. } => at.0 = -at.0,
                Part::Measure(measure) => {
                    (measure.from.0, measure.to.0) = (-measure.from.0, -measure.to.0);
                    if measure.upright {
                        measure.at = -measure.at;
                    }
                }
                Part::Label { at, near, text, .. } => {
                    at.0 = -at.0;
                    *near = match *near {
                        Near::Right => Near::Left,
                        Near::Left => Near::Right,
                        upright => upright,
                    };
                    if text == RUNS_RIGHT {
                        RUNS_LEFT.clone_into(text);
                    }
                }
            }
        }
        self
    }
}

/// Which way the chain runs.
const RUNS_RIGHT: &str = "runs →";
/// The same seen from the other side.
const RUNS_LEFT: &str = "← runs";

#[cfg(test)]
mod tests;
