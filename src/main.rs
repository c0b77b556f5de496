//! The binary: arguments in, exit code out.
fn main() {}
