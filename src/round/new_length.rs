//! The length of a new cutter, asked for once where nothing but the profile tells it.
//!
//! Names are the record's format: add, never rename.

use serde::{Deserialize, Serialize};

use crate::units::Millimetres;

/// What a round was told of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NewLength {
    /// Asked, and nobody knew.
    NotKnown,
    /// Measured on a new cutter, or printed with the chain.
    Told(Millimetres),
}
