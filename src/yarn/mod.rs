//! Yarn: what it is made of, what it weighs, how it is sold, and what it is good for.
//!
//! Pure: no egui, no files, no project.

mod blend;
mod fibre;
mod figure;
mod named;
mod put_up;

pub use blend::{Blend, BlendError, Mix};
pub use fibre::{Fibre, FibreFacts, Origin};
pub use figure::{Basis, Figure, Property};
pub(crate) use named::named_enum;
pub use put_up::PutUp;
