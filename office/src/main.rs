//! The `dooryard` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    dooryard_office::command::run()
}
