//! The pictures of a round, in the order in which they are looked at.

use strum::{IntoStaticStr, VariantArray};

/// What the picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, VariantArray, IntoStaticStr)]
pub(super) enum View {
    /// The cutter to scale, as the step at hand needs it.
    #[default]
    Cutter,
    /// The cutter from above: its top-plate angle.
    Top,
    /// The cutter from the front: side plate and raker.
    Front,
    /// Gap by length, this loop's cutters on it.
    Curve,
    /// Lengths round the loop.
    Lengths,
    /// What the signs of the map mean.
    Signs,
}

impl View {
    /// Its name among the pictures that are kept.
    pub(super) fn name(self) -> &'static str {
        self.into()
    }

    /// Part of a large window, whatever else is looked at.
    pub(super) const fn is_always_there(self) -> bool {
        matches!(self, Self::Curve | Self::Lengths)
    }

    /// The one after it, and after the last the first.
    pub(super) const fn next(self) -> Self {
        Self::VARIANTS[(self as usize + 1) % Self::VARIANTS.len()]
    }
}
