//! The system's wish that the program ends, e.g. when the person logs out.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Set once the system has asked.
pub struct Ending(Arc<AtomicBool>);

impl Ending {
    /// Listens for the system; `None` where it does not ask by signals, or there is no way to listen.
    #[cfg(unix)]
    pub fn on_signal(ctx: &egui::Context) -> Option<Self> {
        use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
        use std::time::Duration;

        /// A window that is stuck must not keep the program from ending.
        const PATIENCE: Duration = Duration::from_secs(3);
        let warn = |error: &std::io::Error| log::warn!("the program cannot listen for signals: {error}");
        let mut signals =
            signal_hook::iterator::Signals::new([SIGTERM, SIGINT, SIGHUP]).map_err(|e| warn(&e)).ok()?;
        let (asked, ctx) = (Arc::new(AtomicBool::new(false)), ctx.clone());
        let flag = Arc::clone(&asked);
        let listen = move || {
            if let Some(signal) = signals.forever().next() {
                flag.store(true, Ordering::SeqCst);
                ctx.request_repaint();
                std::thread::sleep(PATIENCE);
                std::process::exit(128 + signal);
            }
        };
        std::thread::Builder::new().name("signals".to_owned()).spawn(listen).map_err(|e| warn(&e)).ok()?;
        Some(Self(asked))
    }

    /// Listens for the system; `None` where it does not ask by signals.
    #[cfg(not(unix))]
    pub const fn on_signal(_ctx: &egui::Context) -> Option<Self> {
        None
    }

    /// Whether the system has asked.
    pub fn is_asked(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
}
