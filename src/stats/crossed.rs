//! Several people read the same parts several times each: how much of the scatter is the reading, how much the person, how much the
//! parts themselves.
//!
//! Source: two-way analysis of variance with random effects, expected mean squares, as measurement system analysis uses it
//! (automotive manual, 4th edition, second hand; from memory). Variances that come out below zero are none. Where the interaction is
//! not sure to be there (probability above 0.25), it is pooled with the error, as that manual does.

use statrs::distribution::{ContinuousCDF, FisherSnedecor};

use super::{StatsError, finite, usable};

/// An interaction as large as this by chance, with more than this probability, is taken for none.
const POOLED: f64 = 0.25;

/// Sums of squares of such a study, and how large it was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squares {
    /// Between people.
    pub people: f64,
    /// Between parts.
    pub parts: f64,
    /// Of both together, beyond each alone.
    pub both: f64,
    /// Within repeated readings.
    pub error: f64,
    /// People, parts, and readings of each part by each person.
    pub of: (usize, usize, usize),
}

/// What a crossed study comes to: standard deviations in the unit read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossed {
    /// One person reading one part again: repeatability.
    pub repeat: f64,
    /// Between people: reproducibility, their different ways with different parts among it.
    pub reproduce: f64,
    /// Both together.
    pub together: f64,
    /// Between the parts.
    pub part: f64,
    /// Everything.
    pub total: f64,
    /// Probability of an interaction as large by chance; none where nothing within repeats scatters.
    pub interaction_p: Option<f64>,
}

impl Squares {
    /// Of readings: a list of people, each a list of parts, each a list of as many readings.
    ///
    /// # Errors
    /// [`StatsError::TooFew`] below two people, two parts or two readings; [`StatsError::Unpaired`] where lists differ in length;
    /// [`StatsError::NotFinite`].
    pub fn of(readings: &[Vec<Vec<f64>>]) -> Result<Self, StatsError> {
        let (people, parts) = (readings.len(), readings.first().map_or(0, Vec::len));
        let times = readings.first().and_then(|parts| parts.first()).map_or(0, Vec::len);
        for got in [people, parts, times] {
            if got < 2 {
                return Err(StatsError::TooFew { needed: 2, got });
            }
        }
        for person in readings {
            if person.len() != parts {
                return Err(StatsError::Unpaired { x: parts, y: person.len() });
            }
            for part in person {
                usable(part, 2)?;
                if part.len() != times {
                    return Err(StatsError::Unpaired { x: times, y: part.len() });
                }
            }
        }
        let mean = |values: &mut dyn Iterator<Item = f64>| {
            let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
            sum / count
        };
        let all = mean(&mut readings.iter().flatten().flatten().copied());
        let of_person: Vec<f64> = readings.iter().map(|own| mean(&mut own.iter().flatten().copied())).collect();
        let part_mean = |at: usize| mean(&mut readings.iter().flat_map(|own| own[at].iter().copied()));
        let of_part: Vec<f64> = (0..parts).map(part_mean).collect();
        let mut squares = Self { people: 0.0, parts: 0.0, both: 0.0, error: 0.0, of: (people, parts, times) };
        let (n, k) = (times as f64, people as f64);
        squares.people = of_person.iter().map(|mean| (mean - all).powi(2)).sum::<f64>() * n * parts as f64;
        squares.parts = of_part.iter().map(|mean| (mean - all).powi(2)).sum::<f64>() * n * k;
        for (own, person) in readings.iter().zip(&of_person) {
            for (cell, part) in own.iter().zip(&of_part) {
                let here = mean(&mut cell.iter().copied());
                squares.both += n * (here - person - part + all).powi(2);
                squares.error += cell.iter().map(|value| (value - here).powi(2)).sum::<f64>();
            }
        }
        finite(squares.people + squares.parts + squares.both + squares.error)?;
        Ok(squares)
    }

    /// What they come to.
    ///
    /// # Errors
    /// [`StatsError::TooFew`] below two people, two parts or two readings; [`StatsError::NotFinite`].
    pub fn study(&self) -> Result<Crossed, StatsError> {
        let (people, parts, times) = self.of;
        for got in [people, parts, times] {
            if got < 2 {
                return Err(StatsError::TooFew { needed: 2, got });
            }
        }
        let (o, p, n) = (people as f64, parts as f64, times as f64);
        let (df_both, df_error) = ((o - 1.0) * (p - 1.0), o * p * (n - 1.0));
        let (both, error) = (self.both / df_both, self.error / df_error);
        let chance = (error > 0.0).then(|| f_above(both / error, df_both, df_error)).transpose()?;
        let is_pooled = chance.is_some_and(|chance| chance > POOLED) || both <= error;
        let pooled = (self.both + self.error) / (df_both + df_error);
        // What the means of people and of parts scatter by without any difference between them.
        let (within, noise, interaction) =
            if is_pooled { (pooled, pooled, 0.0) } else { (error, both, ((both - error) / n).max(0.0)) };
        let person = ((self.people / (o - 1.0) - noise) / (p * n)).max(0.0);
        let part = ((self.parts / (p - 1.0) - noise) / (o * n)).max(0.0);
        let reproduce = person + interaction;
        Ok(Crossed {
            repeat: finite(within.sqrt())?,
            reproduce: finite(reproduce.sqrt())?,
            together: finite((within + reproduce).sqrt())?,
            part: finite(part.sqrt())?,
            total: finite((within + reproduce + part).sqrt())?,
            interaction_p: chance,
        })
    }
}

/// Probability of an F ratio above this.
fn f_above(f: f64, df1: f64, df2: f64) -> Result<f64, StatsError> {
    let of = FisherSnedecor::new(df1, df2)
        .map_err(|_| StatsError::Unusable { what: "number of degrees of freedom", value: df1.min(df2) })?;
    finite(of.sf(f))
}
