//! Motifs on disk: the library that comes with the program and the person's own, in one format.
//!
//! The person's own lie in the folder for settings, in `motifs.ron`. A file that cannot be read is named with
//! its mend and is never written over.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::error::{FileError, Problem};
use super::names::MotifWord;
use super::{Trouble, header, parse, place, pretty, rows, settings_list};
use crate::chart::{Cell, MOST_MOTIF_SIDE, Motif};

/// The first field of every motif file.
pub const MOTIFS_FORMAT: &str = "huegauge-motifs";
/// The version this program writes, and the newest it reads.
pub const MOTIFS_VERSION: u64 = 1;
/// Most motifs in a file.
pub const MOST_MOTIFS: usize = 2000;

const FILE: &str = "motifs.ron";
const SHIPPED: &str = include_str!("../../assets/motifs.ron");

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MotifsFile {
    format: String,
    version: u64,
    motifs: Vec<MotifRecord>,
}

/// A motif: one character a stitch, the top row first; `A` is the first ink, `B` the next, `.` the ground.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MotifRecord {
    name: String,
    kind: MotifWord,
    rows: Vec<String>,
}

/// The motifs that come with the program.
///
/// # Errors
/// None for the table as shipped, which a test keeps readable.
pub fn shipped_motifs() -> Result<Vec<Motif>, FileError> {
    motifs_from_str(SHIPPED, "assets/motifs.ron")
}

/// The file of the person's own motifs in the folder for settings.
pub fn motifs_file(dir: &Path) -> PathBuf {
    dir.join(FILE)
}

/// The person's own motifs; none where there is no file yet.
///
/// # Errors
/// [`FileError`] naming the file, the place and the mend.
pub fn load_motifs(dir: &Path) -> Result<Vec<Motif>, FileError> {
    settings_list::load(dir, FILE, read)
}

/// Keeps the person's own motifs in the folder for settings, which is made when missing: whole, or what was
/// there stays.
///
/// # Errors
/// [`FileError`] naming the file and the mend; nothing is overwritten then.
pub fn save_motifs(dir: &Path, motifs: &[Motif]) -> Result<(), FileError> {
    settings_list::save(dir, FILE, motifs_to_string(motifs))
}

/// Reads motifs from text; `name` stands for the file in errors.
///
/// # Errors
/// [`FileError`] naming the place and the mend.
pub fn motifs_from_str(text: &str, name: &str) -> Result<Vec<Motif>, FileError> {
    settings_list::from_text(text, name, read)
}

/// The text of a motif file.
///
/// # Errors
/// [`Problem::Unwritten`] when there are too many, or they have no words in the format.
pub fn motifs_to_string(motifs: &[Motif]) -> Result<String, Problem> {
    if motifs.len() > MOST_MOTIFS {
        return Err(Problem::Unwritten(format!("there are more than {MOST_MOTIFS} motifs")));
    }
    let records = motifs.iter().map(|motif| MotifRecord {
        name: motif.name().to_owned(),
        kind: motif.kind().into(),
        rows: rows::write(motif.stitches()),
    });
    let file =
        MotifsFile { format: MOTIFS_FORMAT.to_owned(), version: MOTIFS_VERSION, motifs: records.collect() };
    // One row of stitches a line, so that the motif can be seen.
    Ok(pretty(&file, 5)? + "\n")
}

fn read(text: &str) -> Result<Vec<Motif>, Trouble> {
    header(text, MOTIFS_FORMAT, MOTIFS_VERSION).map_err(|trouble| match trouble {
        (place, Problem::OtherFormat(_)) => (
            place,
            Problem::Value(format!("the format of a motif file is \"{MOTIFS_FORMAT}\", this is another")),
        ),
        other => other,
    })?;
    let file: MotifsFile = parse(text)?;
    let wrong = |field: String, message: String| (Some(place::of(text, &field)), Problem::Value(message));
    if file.motifs.len() > MOST_MOTIFS {
        return Err(wrong("motifs".to_owned(), format!("there are more than {MOST_MOTIFS} motifs")));
    }
    let motifs = file.motifs.iter().enumerate().map(|(index, record)| {
        let field = format!("motifs {}", index + 1);
        record.motif().map_err(|(inner, message)| wrong(format!("{field} > {inner}"), message))
    });
    motifs.collect()
}

impl MotifRecord {
    /// The motif, or the field that is wrong and how.
    fn motif(&self) -> Result<Motif, (String, String)> {
        let height = self.rows.len() as u64;
        let width = self.rows.first().map_or(0, |row| row.chars().count()) as u64;
        if width.max(height) > u64::from(MOST_MOTIF_SIDE) {
            let message = format!("a motif has at most {MOST_MOTIF_SIDE} stitches and rows");
            return Err(("rows".to_owned(), message));
        }
        let grid = rows::read(width, height, &self.rows, Cell::MAX_SLOTS).map_err(|error| {
            let place = error.item.map_or("rows".to_owned(), |item| format!("rows {item}"));
            (place, error.message)
        })?;
        Motif::new(&self.name, self.kind.into(), &grid)
            .map_err(|error| ("name".to_owned(), error.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn motifs_come_back_as_they_were_kept() {
        let dir = tempfile::tempdir().unwrap();
        let inner = dir.path().join("not yet there");
        assert_eq!(load_motifs(&inner).unwrap(), []);
        let shipped = shipped_motifs().unwrap();
        save_motifs(&inner, &shipped[..20]).unwrap();
        assert_eq!(load_motifs(&inner).unwrap(), shipped[..20]);
    }

    #[test]
    fn a_damaged_file_is_named_with_its_place_and_left_alone() {
        let dir = tempfile::tempdir().unwrap();
        let text = "(format: \"huegauge-motifs\", version: 1, motifs: [\n(name: \"Two\", kind: own, rows: [\n\"A.\",\n\"A\"])])";
        std::fs::write(motifs_file(dir.path()), text).unwrap();
        let error = load_motifs(dir.path()).unwrap_err().to_string();
        assert!(error.contains("motifs.ron") && error.contains("line 4"), "{error}");
        assert!(error.contains("1 stitches"), "{error}");
        let newer = text.replace("version: 1", "version: 2");
        assert!(motifs_from_str(&newer, "x").unwrap_err().to_string().contains("newer Huegauge"));
        let other = text.replace("huegauge-motifs", "huegauge-project");
        assert!(motifs_from_str(&other, "x").unwrap_err().to_string().contains("format of a motif file"));
        let empty = text.replace("\"A.\",\n\"A\"", "\"..\"");
        assert!(motifs_from_str(&empty, "x").unwrap_err().to_string().contains("nothing but ground"));
        let huge = text.replace("\"A.\",\n\"A\"", &format!("\"{}\"", "A".repeat(300)));
        assert!(motifs_from_str(&huge, "x").unwrap_err().to_string().contains("at most 240"));
    }
}
