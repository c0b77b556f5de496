//! The one parser for everything that is typed, pasted or sent as a reading.
