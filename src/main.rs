//! Starts the window, or carries out one headless command.

use std::process::ExitCode;

use huegauge::headless::{self, Outcome};

fn main() -> ExitCode {
    match headless::run(std::env::args_os().skip(1)) {
        Outcome::Finished(code) => code,
        Outcome::OpenWindow(_) => {
            eprintln!("huegauge: this build has no window: see huegauge --help");
            ExitCode::from(2)
        }
    }
}
