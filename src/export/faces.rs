//! The faces that letters are taken from: the two that are embedded, and where they lack a letter one of
//! the system's.
//!
//! Open Sans (Apache License 2.0, see `assets/fonts/LICENSE-OpenSans.txt`) holds Latin, Greek and
//! Cyrillic. A letter of another script is taken from a font of the system when one has it, so that a name
//! is printed as its owner writes it; what needs more than setting letter after letter (joined letters,
//! lines from right to left) is not tried.

use std::collections::HashMap;
use std::sync::{LazyLock, Mutex, PoisonError};

use ab_glyph::{Font, FontRef, GlyphId};
use fontdb::{Database, FaceInfo};

use super::text::Weight;

/// A font that can be drawn and embedded.
#[derive(Debug)]
pub(super) struct Face {
    /// The font file.
    pub data: &'static [u8],
    /// Which of the fonts in the file.
    pub index: u32,
    font: FontRef<'static>,
}

impl Face {
    fn read(data: &'static [u8], index: u32) -> Option<Self> {
        let font = FontRef::try_from_slice_and_index(data, index).ok()?;
        Some(Self { data, index, font })
    }

    /// The parsed font.
    pub const fn font(&self) -> &FontRef<'static> {
        &self.font
    }

    /// Units of its em.
    pub fn units_per_em(&self) -> f64 {
        f64::from(self.font.units_per_em().unwrap_or(1000.0))
    }

    fn has(&self, c: char) -> bool {
        self.font.glyph_id(c) != GlyphId(0)
    }

    /// Whether both are one.
    pub fn is(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

static REGULAR: &[u8] = include_bytes!("../../assets/fonts/OpenSans-Regular.ttf");
static SEMIBOLD: &[u8] = include_bytes!("../../assets/fonts/OpenSans-Semibold.ttf");

/// The embedded face of a weight; a test keeps the files readable.
pub(super) fn embedded(weight: Weight) -> Option<&'static Face> {
    static FACES: LazyLock<[Option<Face>; 2]> =
        LazyLock::new(|| [REGULAR, SEMIBOLD].map(|file| Face::read(file, 0)));
    match weight {
        Weight::Regular => FACES[0].as_ref(),
        Weight::Semibold => FACES[1].as_ref(),
    }
}

/// The face that a letter is taken from; the embedded one also where nothing has it.
pub(super) fn of(c: char, weight: Weight) -> Option<&'static Face> {
    let own = embedded(weight)?;
    if own.has(c) || c.is_whitespace() { Some(own) } else { Some(of_system(c).unwrap_or(own)) }
}

/// The letters of some words that nothing here can draw, each once; they print as an empty box.
pub fn missing(words: &str) -> Vec<char> {
    let lacks = |c: &char| {
        !c.is_whitespace()
            && !crate::plain_text::acts_on_others(*c)
            && of(*c, Weight::Regular).is_none_or(|face| !face.has(*c))
    };
    let mut found: Vec<char> = words.chars().filter(lacks).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// Scripts whose letters change with their neighbours, stack, or run from right to left.
const fn needs_shaping(c: char) -> bool {
    matches!(
        c as u32,
        0x0590..=0x08FF | 0x0900..=0x0DFF | 0x0E00..=0x0FFF | 0x1000..=0x109F | 0x1780..=0x18AF
            | 0x1A00..=0x1CFF | 0xA800..=0xABFF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFF | 0x10800..=0x11FFF
            | 0x1F000..=0x1FAFF
    )
}

/// What was found for a letter before, and the fonts opened so far.
#[derive(Default)]
struct Opened {
    letters: HashMap<char, Option<&'static Face>>,
    faces: Vec<&'static Face>,
}

/// A face of the system that has this letter. Looked for once a letter; a font once opened stays, so that
/// few are.
fn of_system(c: char) -> Option<&'static Face> {
    static OPENED: LazyLock<Mutex<Opened>> = LazyLock::new(Mutex::default);
    if needs_shaping(c) {
        return None;
    }
    let mut opened = OPENED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = opened.letters.get(&c) {
        return *known;
    }
    let here = opened.faces.iter().copied().find(|face| face.has(c));
    let found = here.or_else(|| {
        let face = search(c)?;
        opened.faces.push(face);
        Some(face)
    });
    opened.letters.insert(c, found);
    found
}

/// Looks through the fonts of the system, upright sans faces of usual weight first.
fn search(c: char) -> Option<&'static Face> {
    static SYSTEM: LazyLock<Database> = LazyLock::new(|| {
        let mut fonts = Database::new();
        fonts.load_system_fonts();
        fonts
    });
    let strange = |face: &FaceInfo| {
        let sans = face.families.iter().any(|(name, _)| name.contains("Sans"));
        (face.style != fontdb::Style::Normal, !sans, face.monospaced, face.weight.0.abs_diff(400))
    };
    let mut faces: Vec<&FaceInfo> = SYSTEM.faces().collect();
    faces.sort_by_key(|face| strange(face));
    let has = |data: &[u8], index: u32| {
        FontRef::try_from_slice_and_index(data, index).is_ok_and(|font| font.glyph_id(c) != GlyphId(0))
    };
    let found = faces.into_iter().find(|face| SYSTEM.with_face_data(face.id, has) == Some(true))?;
    let (data, index) = SYSTEM.with_face_data(found.id, |data, index| (data.to_vec(), index))?;
    // Drawn from as long as the program runs.
    let face = Face::read(Box::leak(data.into_boxed_slice()), index)?;
    Some(Box::leak(Box::new(face)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn latin_greek_and_cyrillic_are_embedded() {
        for weight in [Weight::Regular, Weight::Semibold] {
            let own = embedded(weight).unwrap();
            for c in "AZaz09#×…·°²éü€£–−½¼¾łőşžΑΩαωάώЀЯяёЇґ".chars() {
                assert!(own.has(c), "{c} is missing");
            }
        }
        assert_eq!(missing("Zwölf Łódź, Καλημέρα, Добрый день"), [] as [char; 0]);
    }

    #[test]
    fn what_cannot_be_set_letter_by_letter_is_said_to_be_missing() {
        assert_eq!(missing("k2 שלום k2"), ['ו', 'ל', 'ם', 'ש']);
        assert_eq!(missing("\u{10FFFE}a"), ['\u{10FFFE}']);
    }
}
