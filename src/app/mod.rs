//! The running program without its widgets: state, actions, the one writer and the background work.
//!
//! From the ground up: `document` and `jobs`; `derived` and the desks, which know a document and the
//! jobs and nothing of the program; `state`, which holds them; `update`, which alone changes it.

pub mod action;
pub mod blank;
pub mod cards;
pub mod chart_commands;
mod choices;
pub mod chosen_commands;
pub mod colourway_desk;
pub mod command;
pub mod crew;
pub(crate) mod derived;
pub mod desks;
pub mod dialog;
pub mod document;
pub mod exports;
pub mod fabric_desk;
pub mod gauge_desk;
pub mod home;
pub mod jobs;
pub mod motifs;
pub mod own_yarns;
pub mod photo_desk;
pub(crate) mod picker;
pub mod picture_desk;
pub mod pieces_desk;
pub mod progress;
pub mod purpose;
pub mod recovery;
pub mod request;
pub mod shelf;
pub mod state;
pub mod table_desk;
pub mod timed_search;
pub mod update;
pub mod view;
pub mod weights;

pub use action::Action;
pub use command::Command;
pub use document::Document;
pub use state::{Program, State};
