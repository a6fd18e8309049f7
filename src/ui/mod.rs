//! The window: shell, workspaces, canvas, widgets and theme. The only room that names egui.

pub mod canvas;
mod colours;
mod design;
mod dialogs;
mod ending;
mod fibre;
mod kept;
mod pieces;
mod shell;
mod shopping;
mod swatch;
pub mod theme;
mod widgets;
mod window;
mod yarn;

pub use window::{Window, run};
