//! Starts the window, or carries out one headless command.

use std::process::ExitCode;

use huegauge::headless::{self, Outcome};

fn main() -> ExitCode {
    env_logger::init();
    match headless::run(std::env::args_os().skip(1)) {
        Outcome::Finished(code) => code,
        Outcome::OpenWindow(path) => Err::<(), String>(format!("NOWIN {path:?}")).map_or_else(
            |reason| {
                eprintln!("huegauge: {reason}");
                ExitCode::from(2)
            },
            |()| ExitCode::SUCCESS,
        ),
    }
}
