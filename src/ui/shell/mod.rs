//! What is around every workspace: bar, rail, status, messages and keys.

mod bar;
mod keys;
mod next_step;
mod notices;
mod panes;
mod rail;
mod status;

/// Height of the status bar and of the line of the next step, in points.
const LINE: f32 = 32.0;

pub use bar::bar;
pub use keys::{give_keys_to_chart, hand_over_keys, keys, shortcut_text};
pub use next_step::{follow, next_step};
pub use notices::notices;
pub use panes::{Pane, next_pane, pane};
pub use rail::rail;
pub use status::status;
