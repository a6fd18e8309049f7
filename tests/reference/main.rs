//! The main job against published values: each file names its source beside the check.

mod motif_fit;
mod repeat;
