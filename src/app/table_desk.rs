//! A table of shades on its way to a card: which column holds what, and what would come in.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::document::DocumentId;
use super::jobs::{Host, Jobs};
use crate::file::{self, CsvTrouble, HeadingFault, Matching, ShadeField, ShadeTable};
use crate::yarn::{Shade, ShadeCard};

/// A table that was read, before any of it comes in.
pub struct TableImport {
    /// The file.
    pub path: PathBuf,
    /// Its cells.
    pub table: Arc<ShadeTable>,
    /// Which column holds what.
    pub matching: Matching,
    preview: Derived<Matching, TablePreview>,
}

/// What a table gives under a matching.
#[derive(Clone, Debug, Default)]
pub struct TablePreview {
    /// Its sound lines as a card; `None` when there are none.
    pub card: Option<Arc<ShadeCard>>,
    /// The line of each shade of the card, from 1 as an editor counts.
    pub lines: Vec<u64>,
    /// The other lines, each with all that is wrong in it.
    pub set_aside: Vec<(u64, String)>,
    /// Codes that stand in several lines.
    pub twice: Vec<(String, Vec<u64>)>,
    /// Lines with words in place of a price.
    pub unpriced: Vec<(u64, String)>,
    /// Lines whose fibre is not known.
    pub unknown_fibres: Vec<(u64, String)>,
    /// What stands for the currency of the prices.
    pub currency: Option<String>,
    /// What is missing before there can be shades.
    pub lacks: Option<HeadingFault>,
    /// Why the shades make no card.
    pub no_card: Option<String>,
}

/// A table cut into cells, with what its headings say.
pub type ReadTable = (Arc<ShadeTable>, Matching);

/// Reads a table; what its headings leave open is for the person to say.
///
/// # Errors
/// Words that name the file and the place.
pub(super) fn read(path: &Path) -> Result<ReadTable, String> {
    let bytes = file::read_bytes(path).map_err(|error| error.to_string())?;
    let table = ShadeTable::read(&bytes)
        .map_err(|problem| CsvTrouble::of(&path.display().to_string(), vec![problem]).to_string())?;
    let matching = Matching::of(&table).unwrap_or_default();
    Ok((Arc::new(table), matching))
}

impl TableImport {
    pub(super) fn new(document: DocumentId, path: PathBuf, (table, matching): ReadTable) -> Self {
        Self { path, table, matching, preview: Derived::of(document, "shades of the table") }
    }

    /// Its file name without the folder.
    pub fn file_name(&self) -> String {
        self.path.file_name().unwrap_or_default().to_string_lossy().into_owned()
    }

    /// What would come in, worked out beside the window.
    pub fn preview(&self, jobs: &Jobs<impl Host>) -> Reading<TablePreview> {
        let (table, matching) = (Arc::clone(&self.table), self.matching.clone());
        let name = self.path.file_stem().map_or_else(|| "Shades".into(), |stem| stem.to_string_lossy());
        let name = name.into_owned();
        self.preview.ask(&self.matching, jobs, move || preview(&table, matching, name))
    }

    /// Says what a column holds.
    pub(super) fn set_column(&mut self, column: usize, field: Option<ShadeField>) {
        self.matching.set_column(column, field);
    }
}

fn preview(table: &ShadeTable, matching: Matching, name: String) -> TablePreview {
    let matching = matching.without_half_a_ball();
    if let Err(lacks) = matching.check() {
        return TablePreview { lacks: Some(lacks), ..TablePreview::default() };
    }
    let taken = table.shades(&matching);
    let set_aside = taken.set_aside_lines();
    let (lines, shades): (Vec<u64>, Vec<Shade>) = taken.shades.into_iter().unzip();
    let (card, no_card) = match ShadeCard::new(name, shades) {
        Ok(card) if card.shades().is_empty() => (None, None),
        Ok(card) => (Some(Arc::new(card)), None),
        Err((_, error)) => (None, Some(error.to_string())),
    };
    TablePreview {
        card,
        lines,
        set_aside,
        twice: taken.twice,
        unpriced: taken.unpriced,
        unknown_fibres: taken.unknown_fibres,
        currency: taken.currency,
        lacks: None,
        no_card,
    }
}
