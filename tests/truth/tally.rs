//! Counts over many loops, and how far they can be trusted.

use std::collections::BTreeMap;

/// 95 % and 99.9 % two-sided, in standard errors.
pub(crate) const Z95: f64 = 1.959_964;
pub(crate) const Z999: f64 = 3.290_527;

/// What a figure is: a share of so many, or a mean of any size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Share,
    Mean,
}

/// A ratio `x / n`, summed loop by loop: cutters of one loop are no independent trials.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Tally {
    loops: f64,
    x: f64,
    n: f64,
    xx: f64,
    xn: f64,
    nn: f64,
}

impl Tally {
    pub(crate) fn add(&mut self, x: f64, n: f64) {
        if n > 0.0 {
            self.loops += 1.0;
            self.x += x;
            self.n += n;
            self.xx += x * x;
            self.xn += x * n;
            self.nn += n * n;
        }
    }

    pub(crate) fn loops(&self) -> f64 {
        self.loops
    }

    pub(crate) fn value(&self) -> Option<f64> {
        (self.n > 0.0).then(|| self.x / self.n)
    }

    /// Standard error of the ratio, loops being what was drawn.
    fn se(&self) -> f64 {
        let r = self.x / self.n;
        let squares = (self.xx - 2.0 * r * self.xn + r * r * self.nn).max(0.0);
        (squares * self.loops / (self.loops - 1.0).max(1.0)).sqrt() / self.n
    }

    /// Two-sided interval at `z` standard errors: for a share that of Wilson, with as many trials as would scatter like these
    /// loops do, and never more than there were loops where all came out alike.
    pub(crate) fn interval(&self, kind: Kind, z: f64) -> Option<(f64, f64)> {
        let r = self.value()?;
        if kind == Kind::Mean {
            return Some((r - z * self.se(), r + z * self.se()));
        }
        let trials = if self.se() > 0.0 { (r * (1.0 - r) / self.se().powi(2)).min(self.n) } else { self.loops };
        let spread = z * (r * (1.0 - r) / trials + z * z / (4.0 * trials * trials)).sqrt();
        let (centre, all) = (r + z * z / (2.0 * trials), 1.0 + z * z / trials);
        Some((((centre - spread) / all).max(0.0), ((centre + spread) / all).min(1.0)))
    }
}

/// What one loop told: figures by name, each as a part and a whole.
#[derive(Debug, Default)]
pub(crate) struct Marks(BTreeMap<&'static str, (f64, f64)>);

impl Marks {
    pub(crate) fn add(&mut self, name: &'static str, x: f64, n: f64) {
        let slot = self.0.entry(name).or_default();
        slot.0 += x;
        slot.1 += n;
    }

    pub(crate) fn case(&mut self, name: &'static str, is_so: bool) {
        self.add(name, f64::from(is_so), 1.0);
    }
}

/// All figures of all loops.
#[derive(Debug, Default)]
pub(crate) struct Book(pub(crate) BTreeMap<&'static str, Tally>);

impl Book {
    pub(crate) fn enter(&mut self, marks: &Marks) {
        for (name, (x, n)) in &marks.0 {
            self.0.entry(name).or_default().add(*x, *n);
        }
    }
}
