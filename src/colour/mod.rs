//! Colour science: everything is worked in Oklch; value is shown as CIE L* (D65) and
//! difference as CIEDE2000.
//!
//! Pure: no egui, no files, no project.

mod apart;
mod blend;
mod contrast;
mod difference;
pub mod extension;
mod gamut;
mod harmony;
mod oklch;
mod pair_harmony;
pub mod proportion;
mod proposal;
mod set_quality;
mod spread;
pub mod template;
pub(crate) mod transfer;
mod vision;
mod wheel;
mod words;

pub use apart::well_apart;
pub use blend::{Blend, mix, shade, tint, tone};
pub use contrast::ValueContrast;
pub use difference::{Likeness, ciede2000};
pub use harmony::{HarmonyError, Member, Placed, Scheme, harmonise};
pub use oklch::{Colour, ColourError, Lab};
pub use pair_harmony::PairHarmony;
pub use proposal::{Proposal, proposals, propose};
pub use set_quality::{Pair, PairTable, SetQuality};
pub use vision::Vision;
pub use wheel::{Wheel, turn_between};
