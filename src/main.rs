//! The binary: arguments in, exit code out. Everything else is the library's.

use std::process::ExitCode;

fn main() -> ExitCode {
    evenbite::cli::main()
}
