//! Huegauge plans a colourwork knit: which colours, on which chart, at which gauge, in how much yarn.
//!
//! The map of the house; each room may use those to its left only:
//!
//! `units, plain_text <- colour <- chart, yarn, photo <- knit <- words, from_picture <- project <- file, export <- app <- ui, headless <- main`
//!
//! - [`units`]: checked quantities; [`plain_text`]: text from outside, made fit to be shown.
//! - [`colour`], [`photo`], [`yarn`], [`knit`], [`chart`], [`from_picture`]: the domain, pure.
//! - [`words`]: the language of patterns, written, read and knitted.
//! - [`project`]: the document, its edits and its history.
//! - [`mod@file`]: projects on disk; [`export`]: what is printed and shared.
//! - [`app`]: state, actions and worker threads; [`ui`]: the window; [`headless`]: the command line.

pub mod app;
pub mod chart;
pub mod colour;
pub mod export;
pub mod file;
pub mod from_picture;
pub mod headless;
pub mod knit;
pub mod photo;
pub mod plain_text;
pub mod project;
pub mod ui;
pub mod units;
pub mod words;
pub mod yarn;
