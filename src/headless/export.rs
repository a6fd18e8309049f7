//! `huegauge export`: the files of a project, without a window.

use std::io::Write;
use std::path::{Path, PathBuf};

use lexopt::Arg;

use super::args::{OptionHelp, number, path_value, unknown};
use super::print;
use crate::export::chart_picture::{self, PictureOptions};
use crate::export::paper::Paper;
use crate::export::{ExportError, pdf, png, raster, sheet, svg, written_rows, yardage};
use crate::file::{self, Draft, FileError};
use crate::project::Project;
use crate::project::figures::Figures;
use crate::project::shopping::Shopping;

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "chart", value: "OUT.png", help: "the chart as a picture" },
    OptionHelp { name: "px", value: "N", help: "pixels per stitch of the picture, 1 to 400 (24)" },
    OptionHelp { name: "dpi", value: "N", help: "printed dots per inch of the picture, 10 to 2400 (150)" },
    OptionHelp { name: "svg", value: "OUT.svg", help: "the chart as layered vector graphics" },
    OptionHelp { name: "rows", value: "OUT.txt", help: "the chart as written rows or rounds" },
    OptionHelp { name: "pdf", value: "OUT.pdf", help: "the pattern sheet, to print" },
    OptionHelp { name: "paper", value: "NAME", help: "A4 or Letter, for the sheet (A4)" },
    OptionHelp { name: "size", value: "NAME", help: "the size that the sheet's yarn and schematic are for" },
    OptionHelp { name: "symbols", value: "", help: "a symbol on each stitch, to read without colour" },
    OptionHelp { name: "yardage", value: "OUT.csv", help: "the yarn of each colour as a table" },
    OptionHelp { name: "yardage-text", value: "OUT.txt", help: "the same as aligned text, in both systems" },
];

/// What `huegauge export` is asked for.
#[derive(Default)]
struct ExportJob {
    project: PathBuf,
    chart: Option<PathBuf>,
    picture: PictureOptions,
    yardage: Option<PathBuf>,
    yardage_text: Option<PathBuf>,
    pdf: Option<PathBuf>,
    paper: Paper,
    /// Name of the size that the sheet's yarn, schematic and times are for.
    size: Option<String>,
    svg: Option<PathBuf>,
    rows: Option<PathBuf>,
}

/// Writes the files asked for, all or none.
pub(super) fn run(args: lexopt::Parser) -> Result<(), String> {
    let job = job_asked(args)?;
    let project = file::load(&job.project).map_err(|e| e.to_string())?;
    let mut said = Vec::new();
    let mut drafts = Vec::new();
    if let Some(path) = &job.chart {
        let (draft, what) = chart_draft(&project, path, &job.picture).map_err(|e| at(path, &e))?;
        drafts.push(draft);
        said.push(what);
    }
    if job.yardage.is_some() || job.yardage_text.is_some() {
        let figures = Shopping::of(&project, None, None).map_err(|e| e.to_string())?;
        if let Some(path) = &job.yardage {
            let table = yardage::csv(&project, &figures).map_err(|e| at(path, &e))?;
            drafts.push(text_draft(path, &table)?);
        }
        if let Some(path) = &job.yardage_text {
            drafts.push(text_draft(path, &yardage::text(&project, &figures))?);
        }
    }
    if let Some(path) = &job.pdf {
        let size = job.size.as_deref().map(|name| size_named(&project, name)).transpose()?;
        let pages = sheet::pages(&project, job.paper, size).map_err(|e| at(path, &e))?;
        let write = |out: &mut dyn Write| pdf::write(&pages, &project.title, out);
        drafts.push(Draft::write(path, write).map_err(|e| at(path, &e))?);
        said.push(format!("{}: {} pages of {}\n", path.display(), pages.len(), job.paper.name()));
    }
    if let Some(path) = &job.svg {
        let drawing = chart_picture::draw(&project, &job.picture).map_err(|e| at(path, &e))?;
        drafts.push(Draft::write(path, |out| svg::write(&drawing, out)).map_err(|e| at(path, &e))?);
    }
    if let Some(path) = &job.rows {
        drafts.push(text_draft(path, &written_rows::of_project(&project))?);
    }
    // All are written before any takes its name: a failure leaves every old file in place.
    for draft in drafts {
        draft.commit().map_err(|e| e.to_string())?;
    }
    print(&said.concat());
    Ok(())
}

fn job_asked(mut args: lexopt::Parser) -> Result<ExportJob, String> {
    let mut job = ExportJob::default();
    let mut project = None;
    while let Some(arg) = args.next().map_err(|e| e.to_string())? {
        match arg {
            Arg::Long("chart") => job.chart = Some(path_value(&mut args, "--chart")?),
            Arg::Long("px") => job.picture.px_per_stitch = number(&mut args, "--px", "a whole number")?,
            Arg::Long("dpi") => job.picture.dots_per_inch = number(&mut args, "--dpi", "a number")?,
            Arg::Long("symbols") => job.picture.symbols = true,
            Arg::Long("yardage") => job.yardage = Some(path_value(&mut args, "--yardage")?),
            Arg::Long("yardage-text") => job.yardage_text = Some(path_value(&mut args, "--yardage-text")?),
            Arg::Long("pdf") => job.pdf = Some(path_value(&mut args, "--pdf")?),
            Arg::Long("paper") => job.paper = paper_value(&mut args)?,
            Arg::Long("size") => job.size = Some(number(&mut args, "--size", "the name of a size")?),
            Arg::Long("svg") => job.svg = Some(path_value(&mut args, "--svg")?),
            Arg::Long("rows") => job.rows = Some(path_value(&mut args, "--rows")?),
            Arg::Value(path) if project.is_none() => project = Some(PathBuf::from(path)),
            other => return Err(unknown(&other, &OPTIONS.iter().map(|o| o.name).collect::<Vec<_>>())),
        }
    }
    job.project = project.ok_or("export needs a project: huegauge export PROJECT --chart OUT.png")?;
    let outputs = [&job.chart, &job.yardage, &job.yardage_text, &job.pdf, &job.svg, &job.rows];
    check_outputs(&job.project, &outputs)?;
    Ok(job)
}

/// The place of a size by its name.
fn size_named(project: &Project, name: &str) -> Result<usize, String> {
    let sizes = &project.pieces.sizes;
    sizes.iter().position(|size| size.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let names: Vec<&str> = sizes.iter().map(|size| size.name.as_str()).collect();
        let known =
            if names.is_empty() { "it has none".to_owned() } else { format!("it has {}", names.join(", ")) };
        format!("--size: the project has no size '{name}': {known}")
    })
}

fn paper_value(args: &mut lexopt::Parser) -> Result<Paper, String> {
    let name: String = number(args, "--paper", "A4 or Letter")?;
    let paper = Paper::ALL.into_iter().find(|paper| paper.name().eq_ignore_ascii_case(&name));
    paper.ok_or_else(|| format!("--paper needs A4 or Letter after it, not '{name}'"))
}

/// Refuses a set of outputs that is empty or would overwrite the project or each other.
fn check_outputs(project: &Path, outputs: &[&Option<PathBuf>]) -> Result<(), String> {
    let outputs: Vec<&PathBuf> = outputs.iter().filter_map(|path| path.as_ref()).collect();
    if outputs.is_empty() {
        return Err("export needs an output: name one, for instance --chart OUT.png".to_owned());
    }
    let same = |a: &Path, b: &Path| {
        let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
        real(a) == real(b)
    };
    for (i, path) in outputs.iter().enumerate() {
        if same(path, project) {
            return Err(format!("{} is the project itself: choose another output", path.display()));
        }
        if outputs[..i].iter().any(|earlier| same(path, earlier)) {
            return Err(format!("{} is named for two outputs: choose two files", path.display()));
        }
    }
    Ok(())
}

fn chart_draft(
    project: &Project,
    path: &Path,
    options: &PictureOptions,
) -> Result<(Draft, String), ExportError> {
    let drawing = chart_picture::draw(project, options)?;
    let draft = Draft::write(path, |out| png::write(&drawing, out))?;
    let (width, height) = raster::pixel_size(&drawing, 1.0);
    let cm = |pixels: u32| f64::from(pixels) * drawing.unit_mm / 10.0;
    let said = format!(
        "{}: {width} x {height} px, prints {:.1} x {:.1} cm at {} dots per inch\n",
        path.display(),
        cm(width),
        cm(height),
        options.dots_per_inch
    );
    Ok((draft, said))
}

fn text_draft(path: &Path, text: &str) -> Result<Draft, String> {
    Draft::write(path, |out| out.write_all(text.as_bytes()).map_err(|e| FileError::writing(path, &e)))
        .map_err(|error| error.to_string())
}

/// An export error with the file it belongs to; a file error names it already.
fn at(path: &Path, error: &ExportError) -> String {
    match error {
        ExportError::File(error) => error.to_string(),
        other => format!("{}: {other}", path.display()),
    }
}
