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
    /// New length less the worn length at the first round, mm.
    pub worn: f64,
    /// Readings come from a spreadsheet before the first round.
    pub imported: bool,
}

impl Plot {
    pub(super) fn of(seed: u64) -> Self {
        let mut dice = Dice(seed);
        Self {
            seed,
            rounds: 1 + dice.below(3),
            tool: if dice.percent(20) { Tool::Grinder } else { Tool::File },
            unit: if dice.percent(25) { Unit::Inch } else { Unit::Mm },
            strokes: dice.percent(60),
            angles: dice.percent(50),
            left_out: [0, 4, 40][usize::try_from(dice.below(3)).unwrap()],
            detours: [0, 6, 20][usize::try_from(dice.below(3)).unwrap()],
            rejected: dice.percent(15),
            worn: 0.2 + dice.below(50) as f64 / 10.0,
            imported: dice.percent(25),
        }
    }
}
