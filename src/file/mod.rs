//! Projects on disk.
//!
//! A project is one RON text file (`format: "huegauge-project"`, then `version`), made to be read
//! and compared by people too: units stand in the keys, and the chart is one string a row, the top
//! row first as it is seen (see `rows`). The records are the format's own, so that the program
//! can change without the files.
//!
//! An unknown field in a file of a version this program knows is an error that names it: it is a
//! slip of the hand, and dropping it silently would lose it on the next save. A newer version is
//! refused as such.

mod chart_record;
mod demos;
mod edit_record;
mod error;
mod leftovers;
mod material_record;
mod motifs;
mod names;
mod outline;
mod own_yarns;
mod picture;
mod piece_record;
mod place;
mod plain_drawing;
pub mod recent;
mod record;
pub(crate) mod recovery;
mod rows;
mod settings_list;
mod shade_card;
mod shade_table;
mod shared;
mod step_record;
mod store;
mod symmetry_record;
mod yarn_record;

use std::path::Path;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

pub use demos::{DEMO_PHOTOGRAPH, Demo, demo_card, demos};

pub use error::{Fault, FileError, Problem};
pub use motifs::{
    MOST_MOTIFS, MOTIFS_FORMAT, MOTIFS_VERSION, load_motifs, motifs_file, motifs_from_str, motifs_to_string,
    save_motifs, shipped_motifs,
};
pub use outline::{MOST_STITCHES, Outline, load_outline, outline_from_bytes};
pub use own_yarns::{MAX_OWN_YARNS, load_own_yarns, save_own_yarns};
pub use picture::{
    Loaded, MAX_PIXELS, PictureError, PictureNote, PictureProblem, load_picture, read_picture,
};
use place::LeftOpen;
pub use place::Place;
pub use shade_card::{CARD_FORMAT, CARD_VERSION, card_from_str, card_to_string, load_card, save_card};
pub use shade_table::{
    CsvProblem, CsvTrouble, HeadingFault, Matching, ShadeField, ShadeImport, ShadeTable, TableRow, TakenIn,
    shades_from_csv, shades_to_csv,
};

use crate::project::Project;
use record::{CardsRecord, ProjectRecord};

/// The first field of every project file.
pub const FORMAT: &str = "huegauge-project";
/// The version this program writes, and the newest it reads.
pub const VERSION: u64 = 1;

/// Reads a project file.
///
/// # Errors
/// [`FileError`] naming the file, the place and the mend.
pub fn load(path: &Path) -> Result<Project, FileError> {
    from_str(&store::read_text(path)?, &path.display().to_string())
}

/// Reads a project from text; `name` stands for the file in errors.
///
/// # Errors
/// [`FileError`] naming the place and the mend.
pub fn from_str(text: &str, name: &str) -> Result<Project, FileError> {
    let text = without_mark(text);
    let record = header(text, FORMAT, VERSION).and_then(|version| migrate(text, version));
    let project = record.and_then(|record| {
        record
            .project()
            .map_err(|invalid| (Some(place::of(text, &invalid.field)), Problem::Value(invalid.message)))
    });
    project.map_err(|(place, problem)| FileError { file: name.to_owned(), place, problem })
}

/// The text without the byte order mark that some editors put before it.
pub(crate) fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// The text of a project file.
///
/// # Errors
/// [`Problem::Unwritten`] when the project does not pass [`Project::check`] or cannot be put into
/// words; no part of it is returned then.
pub fn to_string(project: &Project) -> Result<String, Problem> {
    project.check().map_err(|reason| Problem::Unwritten(reason.to_string()))?;
    // Deep enough for a row of the chart on a line of its own, and no deeper: a colour is one line.
    let text = pretty(&ProjectRecord::new(project), 3)?;
    if project.shade_cards.is_empty() {
        return Ok(text + "\n");
    }
    // A shade lies one level deeper and is one line too, so the cards are written by themselves and
    // set in before the last bracket.
    let cards = pretty(&CardsRecord::new(&project.shade_cards), 4)?;
    let inside = |text: &str, open: &str, close: &str| {
        let inside = text.strip_prefix(open).and_then(|text| text.strip_suffix(close));
        inside.map(str::to_owned).ok_or_else(|| Problem::Unwritten("a bracket is missing".to_owned()))
    };
    Ok(format!("{}{})\n", inside(&text, "", ")")?, inside(&cards, "(\n", ")")?))
}

/// The text of a record, broken into lines down to this depth.
fn pretty(record: &impl Serialize, depth: usize) -> Result<String, Problem> {
    let config = PrettyConfig::new().new_line("\n").indentor("  ").depth_limit(depth).escape_strings(false);
    options().to_string_pretty(record, config).map_err(|error| Problem::Unwritten(error.to_string()))
}

/// Writes a project file whole, or leaves what was there (see [`write_atomic`]).
///
/// # Errors
/// [`FileError`] naming the file and the mend; nothing is overwritten then.
pub fn save_atomic(path: &Path, project: &Project) -> Result<(), FileError> {
    let text = to_string(project).map_err(|problem| FileError::new(path, problem))?;
    write_text(path, &text)
}

/// A problem and its place, before the file has its name.
type Trouble = (Option<Place>, Problem);

/// The fields every version has.
#[derive(Deserialize)]
struct Header {
    format: String,
    version: u64,
}

/// The version of a file of this format, 1 or more and at most the newest known.
fn header(text: &str, format: &str, newest: u64) -> Result<u64, Trouble> {
    if text.trim().is_empty() {
        return Err((None, Problem::Empty));
    }
    let header: Header = parse(text)?;
    match header.version {
        _ if header.format != format => {
            Err((Some(place::of(text, "format")), Problem::OtherFormat(header.format.as_str().into())))
        }
        0 => Err((Some(place::of(text, "version")), Problem::NoSuchVersion(0))),
        version if version <= newest => Ok(version),
        found => Err((None, Problem::Newer { found, known: newest })),
    }
}

/// Reads a file of any known version into the newest records: an arm for each older version
/// reads its own records and turns them into the next.
fn migrate(text: &str, _version: u64) -> Result<ProjectRecord, Trouble> {
    parse(text)
}

fn options() -> ron::Options {
    // `ball_price: 6.5` reads better than `ball_price: Some(6.5)`.
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Parses RON; a failure is put in a knitter's words, with its place.
fn parse<T: DeserializeOwned>(text: &str) -> Result<T, Trouble> {
    options().from_str(text).map_err(|error| {
        let ron::error::Position { line, col } = error.span.end;
        let mut place = place::at(text, line, col);
        if error::at_the_end(&error, text) {
            match place::left_open(text) {
                Some(LeftOpen::Bracket(field)) => {
                    place.field = field;
                    return (Some(place), Problem::CutShort);
                }
                Some(LeftOpen::Quote(opens)) => return (Some(opens), Problem::OpenQuote),
                None => {}
            }
        }
        let within = !place.field.is_empty();
        (Some(place), Problem::Syntax(error::in_words(&error.code, within)))
    })
}
pub use shared::{
    Claim, Expected, Fingerprint, Glance, Saved, load_noting, save_unless_changed, was_changed,
};
pub use store::{Draft, MAX_BYTES, read_bytes, write_atomic, write_text};
