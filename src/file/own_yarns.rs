//! The yarns a person has described, kept across projects in the folder for settings.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::error::{FileError, Problem};
use super::yarn_record::WholeYarnRecord;
use super::{Trouble, header, parse, place, pretty, settings_list};
use crate::yarn::Yarn;

/// The first field of the file.
const FORMAT: &str = "huegauge-own-yarns";
/// The version this program writes, and the newest it reads.
const VERSION: u64 = 1;
const FILE: &str = "own-yarns.ron";
/// From so many on no more are kept; a longer list, made elsewhere, is read and written whole.
pub const MAX_OWN_YARNS: usize = 400;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OwnYarnsFile {
    format: String,
    version: u64,
    yarns: Vec<WholeYarnRecord>,
}

/// The yarns kept in `dir`; none where there is no file yet.
///
/// # Errors
/// [`FileError`] naming the file, the place and the mend.
pub fn load_own_yarns(dir: &Path) -> Result<Vec<Yarn>, FileError> {
    settings_list::load(dir, FILE, read)
}

/// Keeps the yarns in `dir`, which is made when missing.
///
/// # Errors
/// [`FileError`] naming the file and the mend; nothing is overwritten then.
pub fn save_own_yarns(dir: &Path, yarns: &[Yarn]) -> Result<(), FileError> {
    let yarns = yarns.iter().map(WholeYarnRecord::new).collect();
    let file = OwnYarnsFile { format: FORMAT.to_owned(), version: VERSION, yarns };
    settings_list::save(dir, FILE, pretty(&file, 3).map(|text| text + "\n"))
}

fn read(text: &str) -> Result<Vec<Yarn>, Trouble> {
    header(text, FORMAT, VERSION)?;
    let file: OwnYarnsFile = parse(text)?;
    let yarns = file.yarns.iter().enumerate();
    let yarn = |(index, record): (usize, &WholeYarnRecord)| record.yarn(&format!("yarns {}", index + 1));
    yarns
        .map(yarn)
        .collect::<Result<Vec<_>, _>>()
        .map_err(|invalid| (Some(place::of(text, &invalid.field)), Problem::Value(invalid.message)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Blend, CareLabel, Fibre, PutUp, YarnId};

    #[test]
    fn yarns_survive_a_run_and_a_damaged_file_is_named() {
        let dir = tempfile::tempdir().unwrap();
        let inner = dir.path().join("not yet there");
        assert_eq!(load_own_yarns(&inner).unwrap(), []);
        let put_up = PutUp::new(230.0, 50.0).unwrap();
        let mut yarn = Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Angora), put_up);
        yarn.care = CareLabel::from_codes(["tub hand"]).unwrap();
        save_own_yarns(&inner, std::slice::from_ref(&yarn)).unwrap();
        assert_eq!(load_own_yarns(&inner).unwrap(), [yarn]);
        let many: Vec<Yarn> = (0..MAX_OWN_YARNS + 5)
            .map(|i| Yarn::new(YarnId(0), format!("Step {i}"), Blend::pure(Fibre::Wool), put_up))
            .collect();
        save_own_yarns(&inner, &many).unwrap();
        assert_eq!(load_own_yarns(&inner).unwrap(), many, "none is dropped");
        std::fs::write(inner.join(FILE), "(format: \"huegauge-own-yarns\", version: 9, yarns: [])").unwrap();
        let error = load_own_yarns(&inner).unwrap_err().to_string();
        assert!(error.contains("own-yarns.ron"), "{error}");
    }
}
