//! What needs a disk that fails on demand: every operation made to go wrong in turn.

mod join_sweep;
mod journal_sweep;
mod rack_sweep;
