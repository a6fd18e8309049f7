//! The running program without its widgets: state, actions, the one writer and the worker threads.

pub mod action;
pub mod blank;
pub mod cards;
pub mod chart_commands;
pub mod command;
pub mod document;
pub mod exports;
pub mod jobs;
pub mod photo_desk;
pub mod picker;
pub mod pieces_desk;
mod rankings;
pub mod shelf;
pub mod shopping_desk;
pub mod state;
pub mod update;
pub mod view;

pub use action::Action;
pub use command::Command;
pub use document::Document;
