//! What leaves the program as a file: each kind with its words, its options and its writer.

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::state::{Answer, Dialog, Purpose, State};
use crate::export::chart_picture::{self, PictureOptions};
use crate::export::paper::Paper;
use crate::export::{
    ExportError, card, colour_list, drawing::Drawing, pdf, png, raster, sheet, svg, written_rows, yardage,
};
use crate::file::{Draft, FileError};
use crate::project::Project;
use crate::project::shopping::Shopping;

/// A kind of file that is written for people or other programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Export {
    /// Everything to knit from, as a PDF.
    Sheet,
    /// The chart alone, over as many pages as it needs.
    ChartPages,
    /// The chart as pixels.
    Chart,
    /// The chart as vector graphics.
    ChartVector,
    /// The chart in words.
    Rows,
    /// The yarn as a table for spreadsheets.
    Yardage,
    /// The yarn as aligned text with its sums.
    YardageText,
    /// The picture to take to the shop.
    Card,
    /// The colours as a style sheet.
    ColourStyles,
    /// The colours as design tokens.
    ColourTokens,
}

/// What the window says about an export.
#[derive(Clone, Copy, Debug)]
pub struct ExportInfo {
    /// Name, sentence case.
    pub name: &'static str,
    /// What it is for, one sentence.
    pub purpose: &'static str,
    /// Kind of file, e.g. `PNG picture`.
    pub kind: &'static str,
    /// Extension of its file name.
    pub extension: &'static str,
    /// Last words of the suggested file name.
    pub file_words: &'static str,
}

impl Export {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 10] = [
        Self::Sheet,
        Self::ChartPages,
        Self::Chart,
        Self::ChartVector,
        Self::Rows,
        Self::Yardage,
        Self::YardageText,
        Self::Card,
        Self::ColourStyles,
        Self::ColourTokens,
    ];

    /// What the window says about it.
    pub const fn info(self) -> ExportInfo {
        let (name, purpose, kind, extension, file_words) = match self {
            Self::Sheet => {
                ("Pattern sheet", "Everything to knit from, to print.", "PDF document", "pdf", "pattern")
            }
            Self::ChartPages => (
                "Chart pages",
                "The chart alone, as large as you like, over as many pages as it needs.",
                "PDF document",
                "pdf",
                "chart pages",
            ),
            Self::Chart => ("Chart picture", "For the screen or a web page.", "PNG picture", "png", "chart"),
            Self::ChartVector => {
                ("Chart drawing", "Layered, for a layout or drawing program.", "SVG drawing", "svg", "chart")
            }
            Self::Rows => ("Written rows", "The chart in words, row by row.", "Text", "txt", "rows"),
            Self::Yardage => {
                ("Yardage table", "Yarn per colour, for a spreadsheet.", "CSV table", "csv", "yardage")
            }
            Self::YardageText => {
                ("Yardage text", "Yarn per colour with every sum, to read or send.", "Text", "txt", "yardage")
            }
            Self::Card => (
                "Shopping card",
                "For the phone: swatches, balls and stand-ins.",
                "PNG picture",
                "png",
                "shopping card",
            ),
            Self::ColourStyles => {
                ("Colour list", "The colours as custom properties of CSS.", "Style sheet", "css", "colours")
            }
            Self::ColourTokens => {
                ("Colour list, tokens", "The colours as design tokens.", "Design tokens", "json", "colours")
            }
        };
        ExportInfo { name, purpose, kind, extension, file_words }
    }

    /// Whether there is anything to choose before it is written.
    pub const fn has_options(self, project: &Project) -> bool {
        match self {
            Self::Sheet | Self::ChartPages | Self::Chart | Self::ChartVector => true,
            Self::Yardage | Self::YardageText | Self::Card => project.pieces.sizes.len() > 1,
            Self::Rows | Self::ColourStyles | Self::ColourTokens => false,
        }
    }
}

/// Choices of all exports; each uses its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExportOptions {
    /// The chart as picture or drawing.
    pub picture: PictureOptions,
    /// Paper of what is printed.
    pub paper: Paper,
    /// The size that yarn and schematic are for, by its place; `None` is the project's own.
    pub size: Option<usize>,
    /// Printed width of a stitch on chart pages, in mm, within [`sheet::STITCH_MM`].
    pub stitch_mm: f64,
}

impl Default for ExportOptions {
    fn default() -> Self {
        let picture = PictureOptions { symbols: true, ..PictureOptions::default() };
        Self { picture, paper: Paper::default(), size: None, stitch_mm: 4.0 }
    }
}

/// An export that is written but does not have its name yet.
#[derive(Debug)]
pub struct Prepared {
    /// The file; committing it gives it its name.
    pub draft: Draft,
    /// What there is to say about it, e.g. its size; may be empty.
    pub note: String,
}

/// Writes an export beside its place, so that an old file there stays until all is well.
///
/// # Errors
/// [`ExportError`] when it cannot be made or written, or `cancelled` was set on the way.
pub fn prepare(
    export: Export,
    project: &Project,
    options: &ExportOptions,
    path: &Path,
    cancelled: &AtomicBool,
) -> Result<Prepared, ExportError> {
    let shopping = || Shopping::of(project, options.size, None);
    let write = |note: String, fill: &dyn Fn(&mut dyn Write) -> Result<(), ExportError>| {
        let draft = Draft::write(path, |out| fill(&mut Stoppable { out, cancelled }))?;
        Ok(Prepared { draft, note })
    };
    let text = |text: String| {
        write(String::new(), &|out| {
            out.write_all(text.as_bytes()).map_err(|e| FileError::writing(path, &e).into())
        })
    };
    match export {
        Export::Chart => {
            let drawing = chart_picture::draw(project, &options.picture)?;
            write(picture_note(&drawing), &|out| png::write(&drawing, out))
        }
        Export::ChartVector => {
            let drawing = chart_picture::draw_vector(project, &options.picture)?;
            write(String::new(), &|out| svg::write(&drawing, out))
        }
        Export::Sheet | Export::ChartPages => {
            let pages = match export {
                Export::Sheet => sheet::pages(project, options.paper, options.size)?,
                _ => sheet::chart_pages(project, options.paper, options.stitch_mm)?,
            };
            let count = if pages.len() == 1 { "1 page".to_owned() } else { format!("{} pages", pages.len()) };
            let note = format!("{count} of {}", options.paper.name());
            write(note, &|out| pdf::write(&pages, &project.title, out))
        }
        Export::Card => {
            let drawing = card::draw(project, &shopping()?);
            let (width, height) = raster::pixel_size(&drawing, 1.0);
            write(format!("{width} x {height} px"), &|out| png::write(&drawing, out))
        }
        Export::Rows => text(written_rows::of_project(project)),
        Export::Yardage => text(yardage::csv(project, &shopping()?)?),
        Export::YardageText => text(yardage::text(project, &shopping()?)),
        Export::ColourStyles | Export::ColourTokens => text(colour_list::text(project, path)?),
    }
}

/// Pixels and printed size of a picture.
fn picture_note(drawing: &Drawing) -> String {
    let (width, height) = raster::pixel_size(drawing, 1.0);
    let cm = |pixels: u32| f64::from(pixels) * drawing.unit_mm / 10.0;
    let dots = 25.4 / drawing.unit_mm;
    format!(
        "{width} x {height} px, prints {:.1} x {:.1} cm at {dots:.0} dots per inch",
        cm(width),
        cm(height)
    )
}

/// A writer that gives up once it is told to.
struct Stoppable<'a> {
    out: &'a mut dyn Write,
    cancelled: &'a AtomicBool,
}

impl Write for Stoppable<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.cancelled.load(Ordering::Relaxed) {
            return Err(io::Error::other("cancelled"));
        }
        self.out.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// What came of an export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    /// It lies there, with what there is to say about it.
    File(PathBuf, String),
    /// The user stopped it; nothing was written.
    Cancelled,
    /// Why it could not be.
    Failed(String),
}

/// Asks for the options of an export, or for its file where there are none.
pub(super) fn ask(state: &mut State, export: Export) {
    state.export_options.size = None;
    if export.has_options(state.project()) {
        state.dialog = Some(Dialog::Export(export, state.export_options));
    } else {
        super::update::pick(state, Purpose::Export(export));
    }
}

/// Writes an export on a thread.
pub(super) fn start(state: &mut State, export: Export, path: PathBuf) {
    let cancelled = Arc::new(AtomicBool::new(false));
    // One at a time is shown; an earlier one goes on unseen and says when it is done.
    state.exporting = Some(Arc::clone(&cancelled));
    state.busy = Some("Exporting");
    let project = Arc::clone(state.document.project());
    let options = state.export_options;
    state.jobs.start(
        "export",
        move || {
            let written = prepare(export, &project, &options, &path, &cancelled)
                .and_then(|Prepared { draft, note }| Ok(draft.commit().map(|()| note)?));
            Answer::Exported(match written {
                Ok(note) => Written::File(path, note),
                Err(_) if cancelled.load(Ordering::Relaxed) => Written::Cancelled,
                Err(error) => Written::Failed(error.to_string()),
            })
        },
        |reason| Answer::Exported(Written::Failed(reason)),
    );
}

/// Stops the export under way.
pub(super) fn cancel(state: &State) {
    if let Some(cancelled) = &state.exporting {
        cancelled.store(true, Ordering::Relaxed);
    }
}

/// Takes in what came of an export.
pub(super) fn take(state: &mut State, written: Written) {
    state.busy = None;
    state.exporting = None;
    match written {
        Written::File(path, note) => {
            let note = if note.is_empty() { note } else { format!(" ({note})") };
            state.notify(format!("Written: {}{note}", path.display()));
        }
        Written::Cancelled => state.notify("Export stopped; nothing was written"),
        Written::Failed(reason) => state.complain(reason),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_export_is_written_and_a_cancelled_one_leaves_the_old_file() {
        let folder = tempfile::tempdir().unwrap();
        let project = Project::default();
        let options = ExportOptions::default();
        for export in Export::ALL {
            let info = export.info();
            let path = folder.path().join(format!("{}.{}", info.name, info.extension));
            let prepared = prepare(export, &project, &options, &path, &AtomicBool::new(false)).unwrap();
            assert!(!path.exists(), "{}: nothing has its name before it is whole", info.name);
            prepared.draft.commit().unwrap();
            let before = std::fs::read(&path).unwrap();
            assert!(before.len() > 40, "{}", info.name);
            let other = Project { title: "Another".to_owned(), ..project.clone() };
            prepare(export, &other, &options, &path, &AtomicBool::new(true)).unwrap_err();
            assert_eq!(std::fs::read(&path).unwrap(), before, "{}", info.name);
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), Export::ALL.len());
    }
}
