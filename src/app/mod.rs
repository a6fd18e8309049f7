//! The running program without its widgets: state, actions, the one writer and the worker threads.

pub mod action;
pub mod command;
pub mod view;

pub use action::Action;
pub use command::Command;
