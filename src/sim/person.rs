//! Who files: how much a stroke takes, and how it varies.

use super::{Dice, Hand};

/// A person at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// What a full stroke takes off a tooth when rested, mm.
    pub stroke: f64,
    /// Spread of single strokes, as a share.
    pub spread: f64,
    /// Spread from cutter to cutter (temper, pressure), as a share.
    pub cutter_spread: f64,
    /// Share of its bite that a stroke has lost after a hundred strokes: hands tire.
    pub tiring: f64,
    /// What a light stroke takes of a full one, as a share.
    pub light: f64,
    /// How far the wrist turns from the angle wanted on left and right cutters, degrees.
    pub turn: [f64; 2],
    /// Spread of the angle from cutter to cutter, left and right, degrees.
    pub sway: [f64; 2],
    /// Spread of what comes off a raker about what was meant, as a share.
    pub raker_spread: f64,
    /// Chance that the strokes said are one more or one less than those given.
    pub miscount: f64,
    /// Strokes given since the last rest.
    pub given: f64,
}

impl Default for Person {
    /// A careful hand.
    fn default() -> Self {
        Self {
            stroke: 0.1,
            spread: 0.15,
            cutter_spread: 0.1,
            tiring: 0.05,
            light: 0.5,
            turn: [0.0; 2],
            sway: [1.0; 2],
            raker_spread: 0.15,
            miscount: 0.0,
            given: 0.0,
        }
    }
}

impl Person {
    /// One stroke of this strength (1 for a full one) on a tooth that gives way by `soft`, mm.
    pub(super) fn stroke(&mut self, strength: f64, soft: f64, dice: &mut Dice) -> f64 {
        let tired = (1.0 - self.tiring * self.given / 100.0).max(0.3);
        self.given += strength;
        (self.stroke * strength * soft * tired * (1.0 + self.spread * dice.normal())).max(0.0)
    }

    /// The angle that this hand leaves where `wanted` is asked for.
    pub(super) fn angle(&self, hand: Hand, wanted: f64, dice: &mut Dice) -> f64 {
        let side = usize::from(hand == Hand::Right);
        wanted + self.turn[side] + self.sway[side] * dice.normal()
    }

    /// What comes off a raker where so much was meant, mm.
    pub(super) fn raker(&self, meant: f64, dice: &mut Dice) -> f64 {
        (meant * (1.0 + self.raker_spread * dice.normal())).max(0.0)
    }

    /// The strokes that are said where so many were given.
    pub fn says(&self, given: u32, dice: &mut Dice) -> u32 {
        if !dice.chance(self.miscount) {
            return given;
        }
        if dice.chance(0.5) { given + 1 } else { given.saturating_sub(1) }
    }

    /// A rest: the hand is as strong as at first.
    pub const fn rest(&mut self) {
        self.given = 0.0;
    }
}
