//! Statistics that no crate does well.
