//! How long each cutter most likely is: a chain of all its readings and strokes, so that stop, strokes and verdict rest on one figure.
//!
//! One reading alone is a poor witness: the smallest of thirty-six is too small, and a cutter that stopped because it read short enough
//! is longer than it reads. So a cutter begins as one of its side, as the readings of its side tell; its own readings move that; strokes
//! take off what this hand's strokes have taken so far; the reading after them is weighed against what was expected. What a stroke takes
//! and how far readings scatter is learned along the way. A value far from what was expected is believed as it reads
//! ([`Belief`]'s wide part): a cutter that was hit or filed too far is not smoothed away.
//!
//! Source: Bayes' rule for normal values (the Kalman filter of any text). The spreads named here are proposals, chosen on simulated loops.

use super::cutter::Cutter;
use super::event::{Header, When};
use super::fold::Round;
use crate::chain::Side;
use crate::stats::belief::{Belief, Expected, Kin, kin};
use crate::units::Millimetres;

/// Chance that a cutter does not belong to its side, and how far such a one may be off, mm (standard deviation).
const ODD_CAME: (f64, f64) = (0.03, 0.5);
/// Chance that filing did something other than its strokes tell, and how far that may be off, mm.
const ODD_FILED: (f64, f64) = (0.05, 0.25);
/// How much one filing differs from others, and one stroke from others, as shares of what a stroke takes.
pub(crate) const FILING_SPREAD: f64 = 0.15;
pub(crate) const STROKE_SPREAD: f64 = 0.2;
/// How far the profile's figure for a stroke may be from this hand's, as a share.
const STROKE_PRIOR: f64 = 0.5;
/// What is filed while no strokes are told may be anything of this size, mm.
const UNTOLD: f64 = 0.3;
/// A tooth measured anew without strokes told may have lost this much (a stroke for its angle), mm.
const TOUCHED: f64 = 0.04;
/// Readings that the figure assumed for their scatter is worth.
const ASSUMED_READINGS: f64 = 4.0;
/// How far the cutters of a side differ as they come, before they are read, mm.
const CAME: Expected = Expected { sd: 0.05, values: 4.0, least: 0.02 };
/// How far, as a share, the variance of readings may be off the one that lengths were weighed with.
const WEIGHED_OFF: f64 = 0.15;
/// Fewer readings, or fewer different ones, do not tell the step that they were read in.
const TELL_STEP: (usize, usize) = (8, 3);
/// Fewer readings of a side tell no spread.
const FEWEST: usize = 4;

/// What the round has learned so far of the hand and of the caliper.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hand {
    /// What a stroke takes on left and right cutters, mm: best value and variance.
    rate: [(f64, f64); 2],
    /// Variance of one length reading, mm², and the readings that it rests on.
    noise: (f64, f64),
    /// The variance that the lengths known so far were weighed with.
    weighed: f64,
}

impl Hand {
    pub(super) fn new(header: &Header) -> Self {
        let stroke = header.spec.stroke.get().max(0.001);
        let noise = header.trust.length.get().max(0.002).powi(2);
        Self { rate: [(stroke, (STROKE_PRIOR * stroke).powi(2)); 2], noise: (noise, ASSUMED_READINGS), weighed: noise }
    }

    /// What a stroke takes on this side, mm: best value.
    pub(crate) fn rate(&self, side: Side) -> f64 {
        self.rate[usize::from(side == Side::Right)].0
    }

    /// Variance of one length reading, mm².
    pub(crate) const fn noise(&self) -> f64 {
        self.noise.0
    }

    /// A reading `off` from the mean of so many others of the same length: it tells as much as one whose truth is known.
    fn repeated(&mut self, off: f64, others: usize) {
        let (noise, readings) = self.noise;
        let seen = (off * off).min(18.0 * noise) / (1.0 + 1.0 / others.max(1) as f64);
        self.noise = ((readings * noise + seen) / (readings + 1.0), readings + 1.0);
    }

    /// A reading `off` from what was expected with variance `expected`, the scatter of readings left out. One far off says
    /// nothing about the scatter of readings.
    fn learn_noise(&mut self, off: f64, expected: f64) {
        let (noise, readings) = self.noise;
        let total = expected + noise;
        let weight = (noise / total).powi(2);
        let squared = (off * off).min(9.0 * total);
        let seen = (squared - expected).max(0.0);
        self.noise = ((readings * noise + weight * seen) / (readings + weight), readings + weight);
    }
}

/// Counts whose strokes would have taken less or more than this share of what a stroke takes are slips: nothing is learned from them.
const BELIEVABLE: f64 = 4.0;

/// True where so many strokes may well have taken `took`, itself known only by readings of standard deviation `u`; false for a digit
/// that was sent twice, where the single one tells better what was taken.
pub(crate) fn is_believable(strokes: f64, took: f64, rate: f64, u: f64) -> bool {
    let off = |strokes: f64| (took - rate * strokes).abs();
    if strokes >= 11.0 && strokes % 11.0 == 0.0 && off(strokes / 11.0) < off(strokes) {
        return false;
    }
    let slack = std::f64::consts::SQRT_2 * u;
    (took + slack) / strokes >= rate / BELIEVABLE && (took - slack) / strokes <= rate * BELIEVABLE
}

impl Round {
    /// Each cutter as it came, by its readings and those of its side; `None` where it was not measured.
    pub(crate) fn came(&self) -> Vec<Option<Belief>> {
        let sides = [Side::Left, Side::Right].map(|side| self.side_as_it_came(side));
        let noise = self.hand.noise();
        let came = |cutter: &Cutter| {
            let readings = cutter.before.readings();
            if readings.is_empty() || !cutter.is_present() {
                return None;
            }
            let mean = readings.iter().map(|reading| reading.get()).sum::<f64>() / readings.len() as f64;
            let noise = noise / readings.len() as f64;
            Some(match sides[usize::from(cutter.side == Side::Right)] {
                Some(Kin { middle, variance }) => {
                    Belief::new(middle, variance, ODD_CAME.0, ODD_CAME.1.powi(2)).read(mean, noise)
                }
                None => Belief::new(mean, noise, 0.0, noise),
            })
        };
        self.cutters.iter().map(came).collect()
    }

    /// What the cutters of a side have in common as they came.
    fn side_as_it_came(&self, side: Side) -> Option<Kin> {
        let of_side = self.matched().filter(|cutter| cutter.side == side);
        let lengths: Vec<f64> =
            of_side.filter_map(|cutter| cutter.lengths(When::Before).mean()).map(Millimetres::get).collect();
        kin(&lengths, self.hand.noise(), CAME, FEWEST)
    }

    /// Step in which the lengths of this round were read, mm: a tenth where all of them are whole tenths, else a hundredth.
    pub(crate) fn length_step(&self) -> f64 {
        let readings =
            || self.cutters.iter().flat_map(|cutter| cutter.before.readings().iter().chain(cutter.after.readings()));
        let is_tenth = |reading: &Millimetres| ((reading.get() * 10.0).round() - reading.get() * 10.0).abs() < 1e-6;
        let mut tenths: Vec<f64> = readings().map(|reading| (reading.get() * 10.0).round()).collect();
        let all = tenths.len();
        tenths.sort_by(f64::total_cmp);
        tenths.dedup();
        if readings().all(is_tenth) && all >= TELL_STEP.0 && tenths.len() >= TELL_STEP.1 { 0.1 } else { 0.01 }
    }

    /// Once readings turn out to scatter otherwise than they were weighed for, all that is known is weighed anew.
    pub(super) fn weigh_anew(&mut self) {
        let noise = self.hand.noise();
        if (noise / self.hand.weighed - 1.0).abs() < WEIGHED_OFF {
            return;
        }
        self.hand.weighed = noise;
        let came = self.came();
        for (cutter, came) in self.cutters.iter_mut().zip(came) {
            cutter.weigh_anew(came, &self.hand);
        }
    }

    /// The length to file to is chosen: what is known of the cutters as they came is where their filing begins.
    pub(super) fn begin_filing(&mut self) {
        let came = self.came();
        for (cutter, came) in self.cutters.iter_mut().zip(came) {
            if cutter.after.is_empty() {
                cutter.best = came;
            }
        }
    }
}

impl Cutter {
    /// A repeat of the length as it came tells how far readings scatter. Called before the reading joins.
    pub(super) fn came_again(&self, y: f64, hand: &mut Hand) {
        if let Some(mean) = self.before.mean() {
            hand.repeated(y - mean.get(), self.before.count());
        }
    }

    /// A length after filing moves what is known of it. Called before the strokes given are closed.
    pub(super) fn weigh(&mut self, y: f64, again: bool, hand: &mut Hand) {
        let work = if self.best.is_none() {
            Work::First
        } else if again {
            Work::None
        } else if self.pending_strokes > 0 {
            Work::Strokes(f64::from(self.pending_strokes))
        } else if self.strokes.is_some() && !self.after.is_empty() {
            Work::Touched
        } else {
            Work::Untold
        };
        let link = Link { work, y };
        if let Some(had) = self.best {
            link.teach(had, self.side, hand);
        }
        self.best = Some(link.read(self.best, self.side, hand));
        self.chain.push(link);
    }

    /// The same readings and strokes weighed anew, from how it came, by what is now known of hand and caliper.
    fn weigh_anew(&mut self, came: Option<Belief>, hand: &Hand) {
        if !self.chain.is_empty() {
            self.best = self.chain.iter().fold(came, |had, link| Some(link.read(had, self.side, hand)));
        }
    }

    /// What is known of its length since the length to file to was chosen.
    pub const fn best(&self) -> Option<Belief> {
        self.best
    }
}

/// What was done to a cutter before a length after filing was read.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Work {
    /// Nothing was known of it before.
    First,
    /// Nothing: it was read once more.
    None,
    /// So many strokes.
    Strokes(f64),
    /// At most a stroke for its angle.
    Touched,
    /// Nobody said.
    Untold,
}

/// One link of a cutter's chain: what was done, and what it read then, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Link {
    work: Work,
    y: f64,
}

impl Link {
    /// What is expected before the reading, of a cutter known like this.
    fn expected(self, had: Belief, side: Side, hand: &Hand) -> Belief {
        match self.work {
            Work::First | Work::None => had,
            Work::Strokes(strokes) => {
                let (rate, rate_variance) = hand.rate[usize::from(side == Side::Right)];
                let own = (FILING_SPREAD * rate * strokes).powi(2) + strokes * (STROKE_SPREAD * rate).powi(2);
                let known = own + strokes * strokes * rate_variance;
                had.moved(-strokes * rate, known, ODD_FILED.0, ODD_FILED.1.powi(2).max(known))
            }
            Work::Touched => had.moved(-0.5 * TOUCHED, TOUCHED.powi(2), ODD_FILED.0, ODD_FILED.1.powi(2)),
            Work::Untold => had.moved(-UNTOLD * 0.5, UNTOLD.powi(2), 0.0, UNTOLD.powi(2)),
        }
    }

    /// What is known after the reading.
    fn read(self, had: Option<Belief>, side: Side, hand: &Hand) -> Belief {
        let noise = hand.noise();
        match had.filter(|_| self.work != Work::First) {
            Some(had) => self.expected(had, side, hand).read(self.y, noise),
            None => Belief::new(self.y, noise, 0.0, noise),
        }
    }

    /// What the reading tells of hand and caliper.
    fn teach(self, had: Belief, side: Side, hand: &mut Hand) {
        let (y, noise) = (self.y, hand.noise());
        let expected = self.expected(had, side, hand);
        let strokes = match self.work {
            Work::None if had.odd() < 0.5 => return hand.learn_noise(y - had.mean(), had.variance()),
            Work::Strokes(strokes) => strokes,
            Work::First | Work::None | Work::Touched | Work::Untold => return,
        };
        let at = usize::from(side == Side::Right);
        let (rate, variance) = hand.rate[at];
        if expected.read(y, noise).odd() >= 0.5 || !is_believable(strokes, had.mean() - y, rate, noise.sqrt()) {
            return;
        }
        let (off, total) = (y - expected.mean(), expected.variance() + noise);
        hand.learn_noise(off, had.variance() + (0.3 * rate).powi(2) * strokes + strokes * strokes * variance);
        let gain = strokes * variance / total.max(f64::MIN_POSITIVE);
        hand.rate[at] =
            ((rate - gain * off).max(0.001), (variance * (1.0 - gain * strokes)).max((0.02 * rate).powi(2)));
    }
}
