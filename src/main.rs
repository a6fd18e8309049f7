//! Starts the window, or carries out one headless command.

use std::process::ExitCode;

use huegauge::headless::{self, Outcome};

fn main() -> ExitCode {
    env_logger::init();
    match headless::run(std::env::args_os().skip(1)) {
        Outcome::Finished(code) => code,
        Outcome::OpenWindow(path) => headless::window_closed(huegauge::ui::run(path)),
    }
}
