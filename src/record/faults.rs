//! The points at which a disk can fail. Outside tests each is a plain call; in this crate's tests any one of them can
//! be made to fail, to do half its work, to lie, or to be the last thing the program ever does.

use std::fs::File;
use std::io::{self, Write};

/// Write all bytes at the file's position.
pub(super) fn write(file: &mut File, bytes: &[u8]) -> io::Result<()> {
    #[cfg(test)]
    match testing::next() {
        None => {}
        Some(testing::Fault::Lie) => return Ok(()),
        Some(testing::Fault::Half) => {
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(testing::error());
        }
        Some(testing::Fault::DieHalf) => {
            file.write_all(&bytes[..bytes.len() / 2])?;
            testing::die();
        }
        Some(fault) => testing::act(fault)?,
    }
    file.write_all(bytes)
}

/// Pass the point before any other disk operation.
#[cfg(not(test))]
#[allow(clippy::unnecessary_wraps, reason = "the same function fails on demand in tests")]
pub(super) fn point() -> io::Result<()> {
    Ok(())
}

/// Pass the point before any other disk operation, which may be made to fail.
#[cfg(test)]
pub(super) fn point() -> io::Result<()> {
    testing::next().map_or(Ok(()), testing::act)
}

#[cfg(test)]
pub(crate) mod testing {
    use std::cell::Cell;
    use std::io;

    /// How an operation goes wrong.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub(crate) enum Fault {
        /// It fails and has done nothing.
        Error,
        /// A write does half its work and fails; anything else fails.
        Half,
        /// A write claims to be done and did nothing; anything else works.
        Lie,
        /// The program dies just before it.
        Die,
        /// The program dies in the middle of a write, or just before anything else.
        DieHalf,
    }

    /// What a simulated death leaves as its panic payload.
    pub(crate) struct Died;

    thread_local! {
        /// Operations still to pass, how many then go wrong, and how.
        static PLAN: Cell<Option<(usize, usize, Fault)>> = const { Cell::new(None) };
    }

    /// Let `skip` operations pass, then let `times` of them go wrong.
    pub(crate) fn plan(skip: usize, times: usize, fault: Fault) {
        PLAN.set(Some((skip, times, fault)));
    }

    /// End the plan; true if every planned fault has happened.
    pub(crate) fn clear() -> bool {
        PLAN.take().is_none_or(|(_, times, _)| times == 0)
    }

    /// End the plan; true if at least one operation went wrong (for a plan of `planned` of them).
    pub(crate) fn clear_any(planned: usize) -> bool {
        PLAN.take().is_some_and(|(_, times, _)| times < planned)
    }

    /// Suspend the plan; hand what comes back to [`resume`].
    pub(crate) fn pause() -> Option<(usize, usize, Fault)> {
        PLAN.take()
    }

    /// Go on with a plan.
    pub(crate) fn resume(planned: Option<(usize, usize, Fault)>) {
        PLAN.set(planned);
    }

    pub(crate) fn next() -> Option<Fault> {
        let (skip, times, fault) = PLAN.get()?;
        if skip > 0 {
            PLAN.set(Some((skip - 1, times, fault)));
            return None;
        }
        if times == 0 {
            return None;
        }
        PLAN.set(Some((0, times - 1, fault)));
        Some(fault)
    }

    pub(crate) fn error() -> io::Error {
        io::Error::from(io::ErrorKind::StorageFull)
    }

    pub(crate) fn die() -> ! {
        std::panic::resume_unwind(Box::new(Died))
    }

    pub(crate) fn act(fault: Fault) -> io::Result<()> {
        match fault {
            Fault::Error | Fault::Half => Err(error()),
            Fault::Lie => Ok(()),
            Fault::Die | Fault::DieHalf => die(),
        }
    }
}
