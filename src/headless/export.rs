//! `huegauge export`: the files of a project, without a window.

use std::path::{Path, PathBuf};

use lexopt::Arg;

use super::args::{OptionHelp, known_names, path_value, unknown, value, value_by};
use super::error::CommandError;
use super::outputs;
use super::print;
use crate::app::exports::{Export, ExportOptions, Stopper, prepare};
use crate::export::ExportError;
use crate::export::fabric_picture::{Distance, Shown};
use crate::export::paper::Paper;
use crate::export::sheet::STITCH_MM;
use crate::file;
use crate::plain_text::quoted;
use crate::project::Project;

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "chart", value: "OUT.png", help: "the chart as a picture" },
    OptionHelp { name: "px", value: "N", help: "pixels per stitch of the picture, 1 to 400 (24)" },
    OptionHelp { name: "dpi", value: "N", help: "printed dots per inch of the picture, 10 to 2400 (150)" },
    OptionHelp { name: "symbols", value: "", help: "a symbol on each stitch, to read without colour" },
    OptionHelp { name: "svg", value: "OUT.svg", help: "the chart as layered vector graphics" },
    OptionHelp { name: "knitted", value: "OUT.png", help: "the knit fabric as a picture to show" },
    OptionHelp { name: "of", value: "WHAT", help: "swatch or garment, for that picture (swatch)" },
    OptionHelp { name: "from", value: "WHERE", help: "arm or room: near, or from 4 m (arm)" },
    OptionHelp { name: "grey", value: "", help: "that picture in greys of equal lightness" },
    OptionHelp { name: "knitted-px", value: "N", help: "pixels per stitch of that picture, 4 to 48 (14)" },
    OptionHelp { name: "rows", value: "OUT.txt", help: "the chart as written rows or rounds" },
    OptionHelp {
        name: "words",
        value: "OUT.txt",
        help: "the instructions in words, to edit and to knit through",
    },
    OptionHelp { name: "pdf", value: "OUT.pdf", help: "the pattern sheet, to print" },
    OptionHelp {
        name: "chart-pages",
        value: "OUT.pdf",
        help: "the chart alone, over as many pages as it needs",
    },
    OptionHelp { name: "stitch-mm", value: "N", help: "width of a stitch on those pages, 2 to 10 mm (4)" },
    OptionHelp { name: "no-appendix", value: "", help: "the pattern sheet without its sums and sources" },
    OptionHelp { name: "paper", value: "NAME", help: "A4 or Letter, for what is printed (A4)" },
    OptionHelp { name: "yardage", value: "OUT.csv", help: "the yarn of each colour as a table" },
    OptionHelp { name: "yardage-text", value: "OUT.txt", help: "the same as aligned text, in both systems" },
    OptionHelp { name: "stand-ins", value: "OUT.txt", help: "yarns of the cards that may replace the yarn" },
    OptionHelp { name: "card", value: "OUT.png", help: "the shopping card for the phone" },
    OptionHelp {
        name: "gift-tag",
        value: "OUT.png",
        help: "the tag of a gift (fibre, care, washing, caution): a picture (.png) or to print (.pdf)",
    },
    OptionHelp {
        name: "size",
        value: "NAME",
        help: "the size that yarn, card, picture and schematic are of",
    },
    OptionHelp {
        name: "colour-list",
        value: "OUT.css",
        help: "the colours: custom properties (.css) or design tokens (.json)",
    },
    OptionHelp { name: "palette", value: "OUT.css", help: "the older name of --colour-list" },
];

/// The options that name a file.
const FILES: [(&str, Export); 14] = [
    ("chart", Export::Chart),
    ("svg", Export::ChartVector),
    ("knitted", Export::Fabric),
    ("rows", Export::Rows),
    ("words", Export::Words),
    ("pdf", Export::Sheet),
    ("chart-pages", Export::ChartPages),
    ("yardage", Export::Yardage),
    ("yardage-text", Export::YardageText),
    ("stand-ins", Export::StandIns),
    ("card", Export::Card),
    ("gift-tag", Export::GiftTag),
    ("colour-list", Export::ColourStyles),
    ("palette", Export::ColourStyles),
];

/// What `huegauge export` is asked for.
struct ExportJob {
    project: PathBuf,
    options: ExportOptions,
    /// Name of the size that yarn, card and schematic are for.
    size: Option<String>,
    files: Vec<(Export, PathBuf)>,
}

/// Writes the files asked for, all or none.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let mut job = job_asked(args)?;
    let project = file::load(&job.project)?;
    job.options.size = job.size.as_deref().map(|name| size_named(&project, name)).transpose()?;
    let asks_for_kept = job.files.iter().any(|(export, _)| *export == Export::StandIns);
    let kept = match file::recent::config_dir().filter(|_| asks_for_kept) {
        Some(dir) => file::load_own_yarns(&dir)?,
        None => Vec::new(),
    };
    let mut prepared = Vec::with_capacity(job.files.len());
    for (export, path) in &job.files {
        let file = prepare(*export, (&project, &kept), &job.options, path, &Stopper::default());
        prepared.push((path, file.map_err(|e| at(path, e))?));
    }
    // All are written before any takes its name: a failure leaves every old file in place.
    let mut said = Vec::new();
    for (path, file) in prepared {
        file.draft.commit()?;
        if !file.note.is_empty() {
            said.push(format!("{}: {}\n", path.display(), file.note));
        }
    }
    print(&said.concat())
}

fn job_asked(mut args: lexopt::Parser) -> Result<ExportJob, CommandError> {
    let mut options = ExportOptions::default();
    options.picture.symbols = false;
    let (mut project, mut size, mut files) = (None, None, Vec::new());
    while let Some(arg) = args.next()? {
        let file = match arg {
            Arg::Long(name) => FILES.into_iter().find(|(option, _)| *option == name),
            _ => None,
        };
        if let Some((option, export)) = file {
            files.push((export, path_value(&mut args, &format!("--{option}"))?));
            continue;
        }
        match arg {
            Arg::Long("px") => options.picture.px_per_stitch = value(&mut args, "--px", "a whole number")?,
            Arg::Long("dpi") => options.picture.dots_per_inch = value(&mut args, "--dpi", "a number")?,
            Arg::Long("symbols") => options.picture.symbols = true,
            Arg::Long("of") => {
                options.fabric.shown = value_by(&mut args, "--of", "swatch or garment", shown_named)?;
            }
            Arg::Long("from") => {
                options.fabric.distance = value_by(&mut args, "--from", "arm or room", distance_named)?;
            }
            Arg::Long("grey") => options.fabric.grey = true,
            Arg::Long("knitted-px") => {
                options.fabric.px_per_stitch = value(&mut args, "--knitted-px", "a whole number")?;
            }
            Arg::Long("no-appendix") => options.appendix = false,
            Arg::Long("paper") => options.paper = paper_value(&mut args)?,
            Arg::Long("stitch-mm") => options.stitch_mm = stitch_value(&mut args)?,
            Arg::Long("size") => size = Some(value(&mut args, "--size", "the name of a size")?),
            Arg::Value(path) if project.is_none() => project = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let project: PathBuf = project.ok_or_else(|| {
        CommandError::entry("export needs a project: huegauge export PROJECT --chart OUT.png")
    })?;
    outputs::check(&project, files.iter().map(|(_, path)| path.as_path()))?;
    Ok(ExportJob { project, options, size, files })
}

fn shown_named(name: &str) -> Option<Shown> {
    match name {
        "swatch" => Some(Shown::Swatch),
        "garment" => Some(Shown::Garment),
        _ => None,
    }
}

fn distance_named(name: &str) -> Option<Distance> {
    match name {
        "arm" => Some(Distance::Arm),
        "room" => Some(Distance::Room),
        _ => None,
    }
}

fn stitch_value(args: &mut lexopt::Parser) -> Result<f64, CommandError> {
    let mm: f64 = value(args, "--stitch-mm", "a number")?;
    let inside = STITCH_MM.contains(&mm).then_some(mm);
    inside.ok_or_else(|| {
        let (least, most) = (STITCH_MM.start(), STITCH_MM.end());
        CommandError::Entry(format!("--stitch-mm must be between {least} and {most} mm, not {mm}"))
    })
}

/// The place of a size by its name.
pub(super) fn size_named(project: &Project, name: &str) -> Result<usize, CommandError> {
    let sizes = &project.pieces.sizes;
    sizes.iter().position(|size| size.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let names: Vec<String> = sizes.iter().map(|size| quoted(&size.name)).collect();
        let known =
            if names.is_empty() { "it has none".to_owned() } else { format!("it has {}", names.join(", ")) };
        CommandError::Entry(format!("--size: the project has no size '{}': {known}", quoted(name)))
    })
}

fn paper_value(args: &mut lexopt::Parser) -> Result<Paper, CommandError> {
    let named = |name: &str| Paper::ALL.into_iter().find(|paper| paper.name().eq_ignore_ascii_case(name));
    value_by(args, "--paper", "A4 or Letter", named)
}

/// An export error with the file it belongs to; a file error names it already.
fn at(path: &Path, error: ExportError) -> CommandError {
    match error {
        ExportError::File(error) => error.into(),
        error => CommandError::Export { file: path.to_owned(), error },
    }
}
