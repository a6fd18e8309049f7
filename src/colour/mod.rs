//! Colour science: everything is worked in Oklch; value is shown as CIE L* (D65) and
//! difference as CIEDE2000.
//!
//! Pure: no egui, no files, no project.

mod blend;
mod contrast;
mod difference;
mod gamut;
mod harmony;
mod oklch;
pub mod proportion;
mod proposal;
mod spread;
mod vision;
mod wheel;

pub use blend::{Blend, mix, shade, tint, tone};
pub use contrast::{ValueContrast, contrast_ratio, relative_luminance};
pub use difference::{Likeness, ciede2000, cmc, delta_e76};
pub use harmony::{HarmonyError, Member, Placed, Scheme, harmonise};
pub use oklch::{Colour, ColourError, Lab};
pub use proposal::{Proposal, propose};
pub use vision::Vision;
pub use wheel::{Wheel, turn_between};
