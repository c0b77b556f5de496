//! The chain itself: what a chain type is, how its cutters stand round the loop, and what wear does to them.
//!
//! What the room is for: every formula of the trade lives here once, by hand, with its derivation. It must not
//! know readings, rounds, files or terminals.
//!
//! Words: `L` is the cutter's length along the chain from the rear edge of the top plate to the working corner,
//! `w = L_new - L` its wear, `d` the reach (raker top to working corner along the chain), `g` the raker gap,
//! `beta` the back slope, `alpha = atan(g / d)` the bite angle.
//!
//! # Example
//!
//! How much a worn cutter has lost, and the gap its raker is to stand at under either rule:
//!
//! ```
//! use evenbite::chain::geometry::bite_angle;
//! use evenbite::chain::{Rule, Wood, profile::built_in};
//! use evenbite::units::mm;
//!
//! let profile = built_in::named("three-eighths").expect("built in");
//! let spec = profile.spec();
//! let wear = spec.wear(spec.new_length - mm(3.0));
//! let fixed = spec.target_gap(Rule::Fixed, Wood::Any, wear).expect("a rule that needs no plate");
//! let scaled = spec.target_gap(Rule::Scaled, Wood::Any, wear).expect("a rule that needs no plate");
//! assert!(scaled > fixed);
//! // The scaled gap keeps the bite angle of the new chain, the fixed one does not.
//! assert!((bite_angle(scaled, spec.reach(wear)) - spec.bite_new(Wood::Any)).get().abs() < 1e-9);
//! assert!(bite_angle(fixed, spec.reach(wear)) < spec.bite_new(Wood::Any));
//! ```

pub(crate) mod gap;
pub mod geometry;
pub(crate) mod known;
pub(crate) mod layout;
pub(crate) mod limits;
pub(crate) mod measures;
pub(crate) mod number;
pub(crate) mod plate;
pub mod profile;
pub(crate) mod spec;

pub use gap::{Rule, Stage, Wood};
pub use known::{Known, Origin};
pub use layout::{Layout, LayoutError, Sequence, Side};
pub use limits::{Corner, Limits, LowerKickback};
pub use measures::Measure;
pub use number::{CutterNumber, nth};
pub use plate::Plate;
pub use profile::{FIELDS, Profile, Standing};
pub use spec::Spec;
