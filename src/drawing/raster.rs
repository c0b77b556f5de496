//! Filled shapes as a grid of inks: what lies on top at each spot. No colours yet, so that a renderer can give them any.

use strum::VariantArray;
use tiny_skia::{BlendMode, Color, FillRule, Paint, PathBuilder, Pixmap, Shader, Transform};

use super::path::{Path, Point, Step};
use super::{Ink, Part, Scene};

/// Inks by spot, row by row from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Spots a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// The filled shapes as they were painted: [`SPOT`] values a spot, its grey before all.
    painted: Vec<u8>,
}

impl Grid {
    /// The ink at a spot; `None` for bare ground and outside.
    pub fn at(&self, column: usize, row: usize) -> Option<Ink> {
        self.run(column, row, 1).first().and_then(|grey| Ink::of_slot(slot(*grey)))
    }

    /// The inks of so many spots of a row from a column on, each as its slot; nothing where that leaves the grid.
    pub fn slots(&self, column: usize, row: usize, length: usize) -> impl Iterator<Item = u8> {
        self.run(column, row, length).iter().step_by(SPOT).copied().map(slot)
    }

    /// Every spot of a window of the grid has the same ink, or none.
    pub fn alike(&self, (column, row): (usize, usize), (across, down): (usize, usize)) -> bool {
        let first = self.run(column, row, across);
        let rest = first.get(SPOT..).unwrap_or(&[]);
        rest == &first[..rest.len()] && (row + 1..row + down).all(|row| self.run(column, row, across) == first)
    }

    /// What was painted there.
    fn run(&self, column: usize, row: usize, length: usize) -> &[u8] {
        if column + length > self.columns || row >= self.rows {
            return &[];
        }
        let from = (row * self.columns + column) * SPOT;
        &self.painted[from..from + length * SPOT]
    }
}

impl Ink {
    /// The ink of a slot; `None` for bare ground, which has the first.
    pub fn of_slot(slot: u8) -> Option<Self> {
        usize::from(slot).checked_sub(1).and_then(|at| Self::VARIANTS.get(at).copied())
    }
}

fn slot(grey: u8) -> u8 {
    (grey + STEP / 2) / STEP
}

/// Steps between two inks in the grey scale that stands for them while shapes are filled.
const STEP: u8 = 8;

/// Values that are painted for one spot: red, green, blue and how much it covers.
const SPOT: usize = 4;

/// The filled shapes of a scene on that many spots; `low` and `high` are opposite corners of what they show. `None`
/// without a spot, or with more of them than memory should hold.
pub fn rasterise(scene: &Scene, (columns, rows): (u32, u32), low: Point, high: Point) -> Option<Grid> {
    if u64::from(columns) * u64::from(rows) > 1 << 26 {
        return None;
    }
    let mut pixels = Pixmap::new(columns, rows)?;
    let (wide, tall) = (f64::from(columns) / (high.0 - low.0), f64::from(rows) / (high.1 - low.1));
    let place = |(x, y): Point| ((x - low.0) * wide, (high.1 - y) * tall);
    for part in &scene.parts {
        let Part::Fill { path, ink } = part else { continue };
        let Some(path) = outline(path, place) else { continue };
        let grey = (*ink as u8 + 1) * STEP;
        let paint = Paint {
            shader: Shader::SolidColor(Color::from_rgba8(grey, grey, grey, 255)),
            blend_mode: BlendMode::Source,
            anti_alias: false,
            ..Paint::default()
        };
        pixels.fill_path(&path, &paint, FillRule::Winding, Transform::identity(), None);
    }
    Some(Grid { columns: columns as usize, rows: rows as usize, painted: pixels.take() })
}

/// Places of spots farther out than this are those of a reading that no cutter has; filling counts in sixteen bits.
const FARTHEST: f64 = 12_000.0;

/// The path where the spots are; `None` for one that cannot be drawn.
fn outline(path: &Path, place: impl Fn(Point) -> Point) -> Option<tiny_skia::Path> {
    // Spots are counted in thousands; far more than a float of this size tells apart.
    #[allow(clippy::cast_possible_truncation, reason = "places of spots, far within the range")]
    let put = |point: Point| {
        let (x, y) = place(point);
        (x as f32, y as f32)
    };
    let far = |point: Point| {
        let (x, y) = place(point);
        // Not a number is far, too.
        !(x.abs() <= FARTHEST && y.abs() <= FARTHEST)
    };
    let is_far = |step: &Step| match *step {
        Step::Start(point) | Step::Line(point) => far(point),
        Step::Curve(a, b, point) => far(a) || far(b) || far(point),
        Step::Close => false,
    };
    if path.steps.iter().any(is_far) {
        return None;
    }
    let mut builder = PathBuilder::new();
    for step in &path.steps {
        match *step {
            Step::Start(point) => {
                let (x, y) = put(point);
                builder.move_to(x, y);
            }
            Step::Line(point) => {
                let (x, y) = put(point);
                builder.line_to(x, y);
            }
            Step::Curve(a, b, point) => {
                let ((ax, ay), (bx, by), (x, y)) = (put(a), put(b), put(point));
                builder.cubic_to(ax, ay, bx, by, x, y);
            }
            Step::Close => builder.close(),
        }
    }
    builder.finish()
}
