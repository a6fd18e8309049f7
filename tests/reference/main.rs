//! The main job against published values: each file names its source beside the check.

#[path = "../common/spectra.rs"]
mod spectra;

#[path = "../common/yarn_picture.rs"]
mod yarn_picture;

mod photo;
mod yarn_photo;
