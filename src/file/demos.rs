//! The demo projects, embedded so that the first start needs no file.

use super::{FileError, card_from_str, from_str};
use crate::project::Project;
use crate::yarn::ShadeCard;

/// A demo project of the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Demo {
    /// Its file name in `demo-projects/`.
    pub file_name: &'static str,
    /// Its title in the menu.
    pub title: &'static str,
    /// Its text.
    pub text: &'static str,
}

impl Demo {
    /// Reads the project.
    ///
    /// # Errors
    /// None for the demos as shipped, which a test keeps readable.
    pub fn project(&self) -> Result<Project, FileError> {
        from_str(self.text, self.file_name)
    }
}

macro_rules! demo {
    ($name:literal, $title:literal) => {
        Demo { file_name: $name, title: $title, text: include_str!(concat!("../../demo-projects/", $name)) }
    };
}

/// The demo projects; the first is what a new user sees.
pub const fn demos() -> &'static [Demo] {
    &[
        demo!("quovvle-yoke.ron", "Quovvle yoke"),
        demo!("quovvle-mittens.ron", "Quovvle lantern mittens"),
        demo!("quovvle-cowl.ron", "Quovvle bay cowl"),
    ]
}

/// The demo photograph: its file name in `demo-projects/` and its bytes. Six balls of the invented
/// Crooked Ladder Mill with a grey card under a warm lamp, made by the tests.
pub const DEMO_PHOTOGRAPH: (&str, &[u8]) =
    ("crooked-ladder-six-balls.jpg", include_bytes!("../../demo-projects/crooked-ladder-six-balls.jpg"));

/// The shade card of the demos' invented mill.
///
/// # Errors
/// None for the card as shipped, which a test keeps readable.
pub fn demo_card() -> Result<ShadeCard, FileError> {
    const FILE: &str = "crooked-ladder-mill.ron";
    card_from_str(include_str!("../../demo-projects/crooked-ladder-mill.ron"), FILE)
}
