//! Long work tells how far it has got, and may be stopped.

use super::RackError;

/// Who hears how far long work has got: how many are done, and of how many (0 where nobody knows). `false` stops it.
pub type Hear<'a> = &'a mut dyn FnMut(usize, usize) -> bool;

/// Nobody hears, and nobody stops it.
pub const fn unheard(_: usize, _: usize) -> bool {
    true
}

/// An error where the work is to stop.
pub(super) const fn go_on(wanted: bool) -> Result<(), RackError> {
    if wanted { Ok(()) } else { Err(RackError::Stopped) }
}
