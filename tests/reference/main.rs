//! The main job against published values: each file names its source beside the check.
