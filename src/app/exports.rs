//! What leaves the program as a file: each kind with its words, its options and its writer.

use std::io::{self, Write};
use std::path::Path;
use std::sync::atomic::{AtomicU8, Ordering};

use super::jobs::Waker;
use crate::export::chart_picture::{self, PictureOptions};
use crate::export::paper::Paper;
use crate::export::sheet::SheetOptions;
use crate::export::{
    ExportError, card, colour_list,
    drawing::Drawing,
    fabric_picture::{FabricOptions, FabricPicture},
    faces, gift_tag, pdf, png, raster, sheet, stand_in_report, svg, written_rows, yardage,
};
use crate::file::{Draft, FileError};
use crate::project::shopping::Shopping;
use crate::project::{PiecePlan, Project};
use crate::units::and_more;
use crate::yarn::Yarn;

/// A kind of file that is written for people or other programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Export {
    /// Everything to knit from, as a PDF.
    Sheet,
    /// The instructions in words, to edit and to knit through.
    Words,
    /// The chart alone, over as many pages as it needs.
    ChartPages,
    /// The chart as pixels.
    Chart,
    /// The chart as vector graphics.
    ChartVector,
    /// The knit fabric as pixels.
    Fabric,
    /// The chart in words.
    Rows,
    /// The yarn as a table for spreadsheets.
    Yardage,
    /// The yarn as aligned text with its sums.
    YardageText,
    /// What may stand in for the yarn, point by point.
    StandIns,
    /// The picture to take to the shop.
    Card,
    /// The tag of a gift as a picture.
    GiftTag,
    /// The tag of a gift to print.
    GiftTagPrint,
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
    pub const ALL: [Self; 15] = [
        Self::Sheet,
        Self::Words,
        Self::ChartPages,
        Self::Chart,
        Self::ChartVector,
        Self::Fabric,
        Self::Rows,
        Self::Yardage,
        Self::YardageText,
        Self::StandIns,
        Self::Card,
        Self::GiftTag,
        Self::GiftTagPrint,
        Self::ColourStyles,
        Self::ColourTokens,
    ];

    /// What the window says about it.
    pub const fn info(self) -> ExportInfo {
        let (name, purpose, kind, extension, file_words) = match self {
            Self::Sheet => {
                ("Pattern sheet", "Everything to knit from, to print.", "PDF document", "pdf", "pattern")
            }
            Self::Words => (
                "Instructions",
                "The pattern in words, to edit; the knit command knits them through.",
                "Text",
                "txt",
                "instructions",
            ),
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
            Self::Fabric => (
                "Knitted picture",
                "What it looks like knitted, to show: a swatch or the garment, near or far.",
                "PNG picture",
                "png",
                "knitted",
            ),
            Self::Rows => ("Written rows", "The chart in words, row by row.", "Text", "txt", "rows"),
            Self::Yardage => {
                ("Yardage table", "Yarn per colour, for a spreadsheet.", "CSV table", "csv", "yardage")
            }
            Self::YardageText => {
                ("Yardage text", "Yarn per colour with every sum, to read or send.", "Text", "txt", "yardage")
            }
            Self::StandIns => (
                "Stand-ins",
                "Yarns that may replace yours, point by point, with balls of every size and what to check.",
                "Text",
                "txt",
                "stand-ins",
            ),
            Self::Card => (
                "Shopping card",
                "For the phone: swatches, balls and stand-ins.",
                "PNG picture",
                "png",
                "shopping card",
            ),
            Self::GiftTag => (
                "Gift tag",
                "Fibre, care in words, how to wash and a caution, to send along.",
                "PNG picture",
                "png",
                "gift tag",
            ),
            Self::GiftTagPrint => {
                ("Gift tag to print", "The same to print and cut out.", "PDF document", "pdf", "gift tag")
            }
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
            Self::Sheet | Self::ChartPages | Self::Chart | Self::ChartVector | Self::Fabric => true,
            Self::Yardage | Self::YardageText | Self::Card | Self::GiftTag | Self::GiftTagPrint => {
                project.pieces.sizes.len() > 1
            }
            Self::Words | Self::Rows | Self::StandIns | Self::ColourStyles | Self::ColourTokens => false,
        }
    }
}

/// Choices of all exports; each uses its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExportOptions {
    /// The chart as picture or drawing.
    pub picture: PictureOptions,
    /// The knit fabric.
    pub fabric: FabricOptions,
    /// Paper of what is printed.
    pub paper: Paper,
    /// The size that yarn and schematic are for, by its place; `None` is the project's own.
    pub size: Option<usize>,
    /// Whether sums and sources follow on the pattern sheet.
    pub appendix: bool,
    /// Printed width of a stitch on chart pages, in mm, within [`sheet::STITCH_MM`].
    pub stitch_mm: f64,
}

impl ExportOptions {
    /// Those of the pattern sheet.
    pub const fn sheet(&self) -> SheetOptions {
        SheetOptions { paper: self.paper, size: self.size, appendix: self.appendix }
    }
}

impl Default for ExportOptions {
    fn default() -> Self {
        let picture = PictureOptions { symbols: true, ..PictureOptions::default() };
        Self {
            picture,
            fabric: FabricOptions::default(),
            paper: Paper::default(),
            size: None,
            appendix: true,
            stitch_mm: 4.0,
        }
    }
}

/// Stops an export. Either it is stopped in time and leaves nothing, or it has its name: never both.
#[derive(Default)]
pub struct Stopper {
    state: AtomicU8,
    /// Hundredths that are done, and who hears of each new one.
    done: AtomicU8,
    news: Option<Waker>,
}

impl std::fmt::Debug for Stopper {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Stopper")
            .field("state", &self.state)
            .field("done", &self.done)
            .finish_non_exhaustive()
    }
}

const UNDER_WAY: u8 = 0;
const STOPPED: u8 = 1;
const DONE: u8 = 2;

impl Stopper {
    /// One whose progress wakes the window.
    pub fn waking(news: Waker) -> Self {
        Self { news: Some(news), ..Self::default() }
    }

    /// How much is done, in per cent; 0 where that is not told.
    pub fn percent(&self) -> u8 {
        self.done.load(Ordering::Relaxed)
    }

    /// Tells how much is done, `0..=1`.
    pub fn has_done(&self, share: f64) {
        let percent = (share.clamp(0.0, 1.0) * 100.0) as u8;
        if self.done.fetch_max(percent, Ordering::Relaxed) < percent
            && let Some(news) = &self.news
        {
            news();
        }
    }

    /// Stops the export; `false` when it was done already.
    pub fn stop(&self) -> bool {
        self.settle(STOPPED)
    }

    /// Lets the export take its name; `false` when it was stopped.
    pub fn finish(&self) -> bool {
        self.settle(DONE)
    }

    /// Whether it was stopped.
    pub fn is_stopped(&self) -> bool {
        self.state.load(Ordering::SeqCst) == STOPPED
    }

    fn settle(&self, outcome: u8) -> bool {
        self.state.compare_exchange(UNDER_WAY, outcome, Ordering::SeqCst, Ordering::SeqCst).is_ok()
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

/// The project worked in another size than its own: a picture shows what is finished in the size asked for, as the
/// sheet and the card do. `None` when it is its own.
pub(super) fn in_size(project: &Project, size: Option<usize>) -> Option<Project> {
    size.filter(|size| *size != project.pieces.chosen).map(|chosen| {
        let pieces = PiecePlan { chosen, ..project.pieces.clone() };
        Project { pieces, ..project.clone() }
    })
}

/// Writes an export beside its place, so that an old file there stays until all is well. `kept` are the yarns a person
/// keeps across projects.
///
/// # Errors
/// [`ExportError`] when it cannot be made or written, or it was stopped on the way.
pub fn prepare(
    export: Export,
    (project, kept): (&Project, &[Yarn]),
    options: &ExportOptions,
    path: &Path,
    stopper: &Stopper,
) -> Result<Prepared, ExportError> {
    let sized = in_size(project, options.size);
    let project = sized.as_ref().unwrap_or(project);
    let shopping = || Shopping::of(project, options.size, None);
    let write = |note: String, fill: &dyn Fn(&mut dyn Write) -> Result<(), ExportError>| {
        let draft = Draft::write(path, |out| fill(&mut Stoppable { out, stopper }))?;
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
        Export::Fabric => {
            let picture = FabricPicture::of(project, &options.fabric)?;
            let [width, height] = picture.size();
            write(format!("{width} x {height} px, {} stitches", picture.stitches()), &|out| {
                picture.write(out, &|share| stopper.has_done(share))
            })
        }
        Export::Sheet | Export::ChartPages => {
            let pages = match export {
                Export::Sheet => sheet::pages(project, &options.sheet())?,
                _ => sheet::chart_pages(project, options.paper, options.stitch_mm)?,
            };
            let count = if pages.len() == 1 { "1 page".to_owned() } else { format!("{} pages", pages.len()) };
            let note = format!("{count} of {}{}", options.paper.name(), not_drawn(&sheet::words_of(&pages)));
            let subject = match export {
                Export::Sheet => "Knitting pattern",
                _ => "Knitting chart",
            };
            let about = pdf::About { title: &project.title, subject, author: &project.designer };
            write(note, &|out| pdf::write(&pages, about, &|| stopper.is_stopped(), out))
        }
        Export::Card => {
            let drawing = card::draw(project, &shopping()?);
            let (width, height) = raster::pixel_size(&drawing, 1.0);
            write(format!("{width} x {height} px"), &|out| png::write(&drawing, out))
        }
        Export::GiftTag | Export::GiftTagPrint => {
            let drawing = gift_tag::draw(project);
            let print = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
            let about = pdf::About { title: &project.title, subject: "Gift tag", author: &project.designer };
            let (width, height) = (drawing.width * drawing.unit_mm, drawing.height * drawing.unit_mm);
            write(format!("prints {width:.0} x {height:.0} mm"), &|out| {
                if print {
                    pdf::write(std::slice::from_ref(&drawing), about, &|| stopper.is_stopped(), out)
                } else {
                    png::write(&drawing, out)
                }
            })
        }
        Export::Words => text(project.instructions()?.to_text()),
        Export::Rows => text(written_rows::of_project(project)),
        Export::Yardage => text(yardage::csv(project, &shopping()?)?),
        Export::YardageText => text(yardage::text(project, &shopping()?)),
        Export::StandIns => text(stand_in_report::text(project, kept)),
        Export::ColourStyles | Export::ColourTokens => text(colour_list::text(project, path)?),
    }
}

/// A warning that names the letters no font here has; nothing when all are drawn.
fn not_drawn(words: &str) -> String {
    let missing = faces::missing(words);
    if missing.is_empty() {
        return String::new();
    }
    let named: Vec<String> =
        missing.iter().take(12).map(|c| format!("{c} (U+{:04X})", u32::from(*c))).collect();
    let more = and_more(missing.len().saturating_sub(12));
    format!(
        "; no font here can draw {}{more}: they print as empty boxes; install a font of that script, or write \
         the name in other letters",
        named.join(", ")
    )
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
    stopper: &'a Stopper,
}

impl Write for Stoppable<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.stopper.is_stopped() {
            return Err(io::Error::other("stopped"));
        }
        self.out.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
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
            let prepared = prepare(export, (&project, &[]), &options, &path, &Stopper::default()).unwrap();
            assert!(!path.exists(), "{}: nothing has its name before it is whole", info.name);
            prepared.draft.commit().unwrap();
            let before = std::fs::read(&path).unwrap();
            assert!(before.len() > 40, "{}", info.name);
            let other = Project { title: "Another".to_owned(), ..project.clone() };
            let stopper = Stopper::default();
            assert!(stopper.stop());
            prepare(export, (&other, &[]), &options, &path, &stopper).unwrap_err();
            assert_eq!(std::fs::read(&path).unwrap(), before, "{}", info.name);
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), Export::ALL.len());
    }
}
