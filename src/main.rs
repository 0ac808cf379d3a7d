//! The `trayful` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    trayful::cli::run(std::env::args_os())
}
