//! The loop as it truly is: where each corner and each raker's top stands.

use super::{Dice, Person};

/// Side of the chain that a cutter belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// The chain's true geometry, which may differ from what its type says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Length of a new cutter.
    pub new_length: f64,
    /// Raker top to corner along the chain when new.
    pub reach: f64,
    /// How much farther apart they stand for each mm of wear.
    pub reach_growth: f64,
    /// Fall of the top plate toward the heel, degrees.
    pub back_slope: f64,
}

/// How a loop is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Make {
    /// Cutters; left and right take turns, cutter 1 is a left one.
    pub cutters: u16,
    /// Its geometry.
    pub shape: Shape,
    /// Mean length as it comes.
    pub length: f64,
    /// Standard deviation of lengths.
    pub spread: f64,
    /// Left cutters longer than right ones by this.
    pub side_bias: f64,
    /// Lengths rise by this from cutter to cutter of one hand.
    pub drift: f64,
    /// Cutters that were hit, each shorter by so much; which ones is chance.
    pub struck: Vec<f64>,
    /// Mean raker gap.
    pub gap: f64,
    /// Standard deviation of gaps.
    pub gap_spread: f64,
    /// Top-plate angle as it comes.
    pub angle: f64,
}

impl Default for Make {
    /// A 3/8 inch loop in mid-life, a little worn since it was last filed.
    fn default() -> Self {
        let shape = Shape { new_length: 10.0, reach: 6.0, reach_growth: 7.75 / 7.0, back_slope: 10.0 };
        Self {
            cutters: 36,
            shape,
            length: 8.8,
            spread: 0.1,
            side_bias: 0.0,
            drift: 0.0,
            struck: Vec::new(),
            gap: 0.6,
            gap_spread: 0.06,
            angle: 30.0,
        }
    }
}

/// One cutter as it truly is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tooth {
    /// Its hand.
    pub hand: Hand,
    /// Length of its top plate.
    pub length: f64,
    /// Its top-plate angle, degrees.
    pub angle: f64,
    /// How far its raker's top stands below the corner of a new cutter.
    raker: f64,
    /// How easily it gives way to the file, about 1.
    soft: f64,
    /// It was hit.
    pub struck: bool,
}

/// A loop whose truth is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Loop {
    /// Its geometry.
    pub shape: Shape,
    teeth: Vec<Tooth>,
}

impl Loop {
    /// A loop made like this.
    pub fn new(make: &Make, dice: &mut Dice) -> Self {
        let mut made = Self { shape: make.shape, teeth: Vec::new() };
        for place in 0..usize::from(make.cutters) {
            let (hand, half) = if place % 2 == 0 { (Hand::Left, 0.5) } else { (Hand::Right, -0.5) };
            let length =
                make.length + make.spread * dice.normal() + half * make.side_bias + make.drift * (place / 2) as f64;
            let tooth = Tooth { hand, length, angle: make.angle, raker: 0.0, soft: 1.0, struck: false };
            made.teeth.push(tooth);
        }
        for depth in &make.struck {
            let place = dice.whole(made.teeth.len());
            let tooth = &mut made.teeth[place];
            tooth.length -= depth;
            tooth.struck = true;
        }
        for place in 0..made.teeth.len() {
            let gap = make.gap + make.gap_spread * dice.normal();
            made.teeth[place].raker = gap + made.corner_drop(&made.teeth[place]);
        }
        made
    }

    /// How many cutters it has.
    pub const fn count(&self) -> usize {
        self.teeth.len()
    }

    /// One cutter, counted from 1.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn tooth(&self, number: u16) -> &Tooth {
        &self.teeth[usize::from(number) - 1]
    }

    /// All cutters in order.
    pub fn teeth(&self) -> &[Tooth] {
        &self.teeth
    }

    /// True length of a cutter.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn length(&self, number: u16) -> f64 {
        self.tooth(number).length
    }

    /// True raker gap: how far the raker's top stands below the corner.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn gap(&self, number: u16) -> f64 {
        let tooth = self.tooth(number);
        tooth.raker - self.corner_drop(tooth)
    }

    /// The corner lies at the end of a plate that falls toward the heel: what is filed off its length lowers it.
    fn corner_drop(&self, tooth: &Tooth) -> f64 {
        (self.shape.new_length - tooth.length) * self.shape.back_slope.to_radians().tan()
    }

    /// The gap at which this cutter has the bite that a new one has with `new_gap`: the same angle, seen from the raker's top.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn gap_of_same_bite(&self, number: u16, new_gap: f64) -> f64 {
        let worn = self.shape.new_length - self.length(number);
        new_gap * (self.shape.reach + self.shape.reach_growth * worn) / self.shape.reach
    }

    /// So many full strokes at a cutter; what they took, mm.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn strokes(&mut self, number: u16, count: u32, person: &mut Person, dice: &mut Dice) -> f64 {
        (0..count).map(|_| self.stroke(number, 1.0, person, dice)).sum()
    }

    /// One light stroke; what it took, mm.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn light_stroke(&mut self, number: u16, person: &mut Person, dice: &mut Dice) -> f64 {
        self.stroke(number, person.light, person, dice)
    }

    fn stroke(&mut self, number: u16, strength: f64, person: &mut Person, dice: &mut Dice) -> f64 {
        let tooth = &mut self.teeth[usize::from(number) - 1];
        let took = person.stroke(strength, tooth.soft, dice);
        tooth.length -= took;
        took
    }

    /// The hand comes to a cutter: how it gives way there, and the angle that its strokes leave.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn take_up(&mut self, number: u16, wanted_angle: f64, person: &Person, dice: &mut Dice) {
        let tooth = &mut self.teeth[usize::from(number) - 1];
        tooth.soft = dice.around(1.0, person.cutter_spread);
        tooth.angle = person.angle(tooth.hand, wanted_angle, dice);
    }

    /// So much is meant to come off a raker's top, mm.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn file_raker(&mut self, number: u16, meant: f64, person: &Person, dice: &mut Dice) {
        self.teeth[usize::from(number) - 1].raker += person.raker(meant, dice);
    }

    /// A cutter is brought to exactly this length: a slip of the file, to see whether it is found.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn force_length(&mut self, number: u16, length: f64) {
        self.teeth[usize::from(number) - 1].length = length;
    }

    /// A raker is brought to exactly this gap.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn force_gap(&mut self, number: u16, gap: f64) {
        let drop = self.corner_drop(self.tooth(number));
        self.teeth[usize::from(number) - 1].raker = gap + drop;
    }

    /// An angle is brought to exactly this.
    ///
    /// # Panics
    /// For a cutter that the loop does not have.
    pub fn force_angle(&mut self, number: u16, angle: f64) {
        self.teeth[usize::from(number) - 1].angle = angle;
    }
}
