//! The program `elbowroom`.

use std::io::IsTerminal;
use std::process::ExitCode;

fn main() -> ExitCode {
    reports::clean_up_when_interrupted();
    let mut out = std::io::stdout().lock();
    let terminal = out.is_terminal() && std::env::var_os("NO_COLOR").is_none();
    let code = reports::run_on(std::env::args_os(), terminal, &mut out, &mut std::io::stderr());
    ExitCode::from(code)
}
