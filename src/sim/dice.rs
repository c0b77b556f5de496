//! Dice with a seed: the same seed throws the same on every system.

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};

/// A seeded source of chance.
#[derive(Debug)]
pub struct Dice(ChaCha8Rng);

impl Dice {
    /// Dice that throw what this seed makes them throw.
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Dice of their own, whose throws leave these as they are from here on.
    #[must_use]
    pub fn fork(&mut self) -> Self {
        Self::new(self.0.random())
    }

    /// Standard normal.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// Evenly between two values.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// True with this probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.0.random::<f64>() < probability
    }

    /// A whole number from 0 to below `n`; 0 where `n` is 0.
    pub fn whole(&mut self, n: usize) -> usize {
        self.0.random_range(0..n.max(1))
    }

    /// Above zero, with this mean and this standard deviation as a share of it (log-normal).
    pub fn around(&mut self, mean: f64, share: f64) -> f64 {
        let variance = (1.0 + share * share).ln();
        mean * (variance.sqrt() * self.normal() - 0.5 * variance).exp()
    }
}
