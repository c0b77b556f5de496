//! A cutter from the side, from above and from the front.

mod form;
mod front;
mod side;
mod top;

pub use front::Front;
pub use side::{Show, Side};
pub use top::Top;

use crate::units::Degrees;

/// An angle as drawings write it.
fn angle(value: Degrees) -> String {
    let text = value.to_string();
    text.strip_suffix(" deg").map_or_else(|| text.clone(), |number| format!("{number}°"))
}
