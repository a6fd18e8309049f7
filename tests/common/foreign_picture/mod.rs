//! Photographs of yarn whose generator knows nothing of the reader's: what the stated error of a
//! reading is calibrated on and, with other lights, yarns, dyes and cameras, held to.
//!
//! Yarn is a relief (`relief`) with cast shadows, an open or closed sky and light that goes from ply to
//! ply; colours are spectra of mixed dyes (`dye`); a camera with measured spectral sensitivities
//! (`camera`) writes an 8-bit JPEG picture. Nothing here reads `yarn_picture` or `src/photo`.
//!
//! What is chosen and not published (how much a room's light varies over a table, how far a card is off
//! its 18 %, how strongly a phone bends its tones) stands as a range beside the place it is used.

#![allow(unused_imports)]

mod camera;
mod dye;
mod relief;
mod scene;

pub use relief::Form;
pub use scene::{Part, Shot, Yarn, shoot};
