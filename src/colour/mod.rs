//! Colour science: everything is worked in Oklch; value is shown as CIE L* (D65) and
//! difference as CIEDE2000.
//!
//! Pure: no egui, no files, no project.

mod harmony;
mod oklch;

pub use harmony::Scheme;
pub use oklch::{Colour, ColourError, Lab};
