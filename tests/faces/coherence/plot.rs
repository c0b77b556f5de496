//! What happens to a loop, by the dice.

use evenbite::round::Tool;
use evenbite::units::Unit;

/// Splitmix64 (Steele, Lea and Flood 2014): small, and the same everywhere.
pub(super) struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to just under `end`.
    pub(super) fn below(&mut self, end: u64) -> u64 {
        (self.next() >> 16) % end
    }

    /// True so many times in a hundred.
    pub(super) fn percent(&mut self, share: u64) -> bool {
        self.below(100) < share
    }

    /// The same things in another order.
    pub(super) fn shuffle<T>(&mut self, things: &mut [T]) {
        for at in (1..things.len()).rev() {
            things.swap(at, usize::try_from(self.below(at as u64 + 1)).unwrap());
        }
    }

    /// Near enough normal.
    pub(super) fn scatter(&mut self, sd: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.below(1 << 20) as f64 / f64::from(1 << 20)).sum();
        (sum - 6.0) * sd
    }
}

/// What happens to a loop.
#[derive(Debug, Clone)]
#[allow(clippy::struct_excessive_bools, reason = "each is a thing that happens or does not")]
pub(super) struct Plot {
    pub seed: u64,
    pub rounds: u64,
    pub tool: Tool,
    pub unit: Unit,
    pub strokes: bool,
    pub angles: bool,
    /// Readings left out, of a hundred.
    pub left_out: u64,
    /// Detours at a step, of a hundred.
    pub detours: u64,
    /// The last round is rejected in the look-over.
    pub rejected: bool,
    /// The last round is rejected somewhere on the way.
    pub cast_out: bool,
    /// New length less the worn length at the first round, mm.
    pub worn: f64,
    /// One cutter has been struck: it is much shorter than the others.
    pub struck: bool,
    /// The card has a length of its own when new.
    pub own_length: bool,
    /// Readings come from a spreadsheet before the first round.
    pub imported: bool,
}

impl Plot {
    /// The seed's turn decides what kind of loop it is, so that a few seeds have every kind; its dice decide the rest.
    pub(super) fn of(seed: u64) -> Self {
        let mut dice = Dice(seed);
        let turn = |of: u64, at: u64| seed % of == at;
        let pick = |list: &[u64], every: u64| list[usize::try_from(seed / every).unwrap() % list.len()];
        Self {
            seed,
            rounds: pick(&[2, 1, 2, 1, 3], 1),
            tool: if turn(4, 2) { Tool::Grinder } else { Tool::File },
            unit: if turn(4, 3) { Unit::Inch } else { Unit::Mm },
            strokes: dice.percent(60),
            angles: dice.percent(50),
            left_out: pick(&[4, 0, 40], 2),
            detours: pick(&[20, 20, 6, 20, 0], 1),
            rejected: turn(7, 4),
            cast_out: turn(5, 3),
            worn: 0.2 + dice.below(50) as f64 / 10.0,
            struck: turn(2, 1),
            own_length: turn(3, 1),
            imported: turn(3, 2),
        }
    }
}
