//! The window: shell, workspaces, canvas, widgets and theme. The only room that names egui.

pub mod canvas;
pub mod theme;
