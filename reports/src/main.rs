//! The program `elbowroom`.

use std::process::ExitCode;

fn main() -> ExitCode {
    let code = reports::run(std::env::args_os(), &mut std::io::stdout().lock(), &mut std::io::stderr());
    ExitCode::from(code)
}
