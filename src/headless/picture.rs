//! `huegauge picture`: a picture as the chart of a new project.

use std::path::PathBuf;
use std::sync::Arc;

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, path_value, unknown, value_by, value_in};
use super::error::CommandError;
use super::shades::{Shades, Wanted, colours_value};
use super::{outputs, print};
use crate::colour::Colour;
use crate::export::json::{self, rounded};
use crate::export::metres::{Knitted, Needed};
use crate::file::{self, load_picture};
use crate::from_picture::{ColoursFrom, MOST_COLOURS, PictureChart, PictureWish, chart_of, rows_for};
use crate::knit::pieces::ColourYarn;
use crate::knit::{Estimate, Gauge};
use crate::photo::{Watch, cell_means};
use crate::project::figures::Figures;
use crate::project::{PictureColours, PictureFigures, Project};

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "out", value: "PROJECT", help: "the project with the chart" },
    OptionHelp { name: "stitches", value: "N", help: "width of the chart in stitches, 1 to 2000" },
    OptionHelp { name: "cm", value: "W", help: "width of the chart in cm, instead of stitches" },
    OptionHelp { name: "gauge", value: "S,R", help: "stitches and rows per 10 cm, washed" },
    OptionHelp { name: "colours", value: "K", help: "colours at most, 1 to 32 (8)" },
    OptionHelp { name: "shades", value: "CARD", help: "take the colours off a shade card, table or project" },
    OptionHelp { name: "protect", value: "'#RRGGBB,...'", help: "colours that are kept, counted in K" },
    OptionHelp { name: "tidy", value: "T", help: "how far areas are tidied up, 0 to 100 (25)" },
    OptionHelp {
        name: "per-row",
        value: "N",
        help: "colours of a row at most; proven best for each row as long as there are 2000 choices or fewer (K up to 12 always)",
    },
    OptionHelp { name: "dither", value: "", help: "mix colours stitch by stitch" },
    OptionHelp {
        name: "ground",
        value: "'#RRGGBB'",
        help: "what shows where the picture is see-through (#ffffff)",
    },
];

/// What the command is asked for.
struct PictureJob {
    picture: PathBuf,
    out: PathBuf,
    width: Width,
    gauge: Gauge,
    colours: usize,
    shades: Option<PathBuf>,
    ground: Colour,
    wish: PictureWish,
}

/// How wide the chart is.
enum Width {
    Stitches(u32),
    Cm(f64),
}

#[derive(Serialize)]
struct Report {
    stitches: u32,
    rows: u32,
    width_cm: f64,
    height_cm: f64,
    /// CIEDE2000 between each stitch and the picture under it, each colour as it is, not as a screen
    /// shows it.
    mean_ciede2000: f64,
    p95_ciede2000: f64,
    lone_stitches: usize,
    colours_per_row_max: usize,
    /// Over the limit of 5 stitches or 2.5 cm, worked flat and stranded.
    long_floats: usize,
    /// Whether every row's colours are proven to be the best choice.
    rows_are_exact: bool,
    colours: Vec<ColourReport>,
    /// What had to be assumed about the picture.
    notes: Vec<String>,
}

#[derive(Serialize)]
struct ColourReport {
    name: String,
    hex: String,
    stitches: u32,
    metres: f64,
    metres_low: f64,
    metres_high: f64,
    #[serde(flatten)]
    knitted: Knitted,
    #[serde(flatten)]
    needed: Needed,
}

/// Makes the chart, writes the project and prints its figures.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let mut job = job_asked(args)?;
    if outputs::are_one(&job.picture, &job.out) {
        let what = format!("{} is the picture itself: choose another output", job.out.display());
        return Err(CommandError::Entry(what));
    }
    let colours = colours_of(&mut job)?;
    let loaded = load_picture(&job.picture, &Watch::nobody())?;
    let picture = &loaded.picture;
    let stitches = match job.width {
        Width::Stitches(stitches) => stitches,
        Width::Cm(cm) => job.gauge.stitches_in(cm),
    };
    let of_picture = |what: String| CommandError::Content { file: job.picture.clone(), what };
    let rows = rows_for(stitches, (picture.width(), picture.height()), job.gauge)
        .map_err(|e| of_picture(format!("{e}: choose another width")))?;
    let (l, a, b) = job.ground.to_oklab();
    let ground = [l, a, b].map(|value| value as f32);
    let means = cell_means(picture, (stitches, rows), ground, &Watch::nobody())
        .map_err(|error| CommandError::Photo { file: job.picture.clone(), error })?;
    let aspect = job.gauge.cell_aspect();
    let chart = chart_of(&means, aspect, &job.wish).map_err(|e| of_picture(e.to_string()))?;
    let title = job.picture.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let project =
        Project::from_picture(&title, job.gauge, &chart, &colours).map_err(|e| of_picture(e.to_string()))?;
    file::save_atomic(&job.out, &project)?;
    let notes = loaded.notes.iter().map(ToString::to_string).collect();
    print(&(json::text(&report(&project, &chart, notes)).map_err(CommandError::Figures)? + "\n"))
}

/// Where the colours come from: the picture, or the shades of a card, which the wish then holds.
fn colours_of(job: &mut PictureJob) -> Result<PictureColours, CommandError> {
    let Some(path) = &job.shades else { return Ok(PictureColours::Picture) };
    let shades = Shades::open(path)?;
    let places = shades.wanted(&Wanted::default())?;
    if places.is_empty() {
        let what = "none of its shades can be had: choose another card".to_owned();
        return Err(CommandError::Content { file: path.clone(), what });
    }
    let all = shades.card.shades();
    let wanted: Vec<_> = places.iter().map(|place| Arc::new(all[*place].clone())).collect();
    let colours = wanted.iter().map(|shade| shade.colour).collect();
    job.wish.from = ColoursFrom::Shades(colours, job.colours);
    Ok(PictureColours::Shades(wanted))
}

/// Refuses a second width.
fn one_width(given: Option<&Width>) -> Result<(), CommandError> {
    if given.is_some() {
        let what = "picture takes one width: --stitches N or --cm W, once";
        return Err(CommandError::Entry(what.to_owned()));
    }
    Ok(())
}

fn job_asked(mut args: lexopt::Parser) -> Result<PictureJob, CommandError> {
    const WHOLE: &str = "a whole number";
    let usage = "huegauge picture PICTURE --stitches N --gauge S,R --colours K --out PROJECT";
    let missing = |what: &str| CommandError::Entry(format!("picture needs {what}: {usage}"));
    let (mut picture, mut out, mut width, mut gauge, mut shades) = (None, None, None, None, None);
    let (mut colours, mut wish, mut ground) = (8, PictureWish::default(), Colour::WHITE);
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("out") if out.is_none() => out = Some(path_value(&mut args, "--out")?),
            Arg::Long("stitches") => {
                let range = 1..=crate::chart::MAX_SIDE;
                one_width(width.as_ref())?;
                width = Some(Width::Stitches(value_in(&mut args, "--stitches", WHOLE, &range)?));
            }
            Arg::Long("cm") => {
                one_width(width.as_ref())?;
                width = Some(Width::Cm(value_in(&mut args, "--cm", "a number", &(0.1..=2000.0))?));
            }
            Arg::Long("gauge") => gauge = Some(gauge_value(&mut args)?),
            Arg::Long("colours") => {
                colours = value_in(&mut args, "--colours", WHOLE, &(1..=MOST_COLOURS))?;
            }
            Arg::Long("shades") => shades = Some(path_value(&mut args, "--shades")?),
            Arg::Long("protect") => wish.protected.extend(colours_value(&mut args, "--protect")?),
            Arg::Long("tidy") => wish.tidy = value_in(&mut args, "--tidy", "a number", &(0.0..=100.0))?,
            Arg::Long("per-row") => {
                wish.per_row = Some(value_in(&mut args, "--per-row", WHOLE, &(1..=MOST_COLOURS))?);
            }
            Arg::Long("dither") => wish.dither = true,
            Arg::Long("ground") => match colours_value(&mut args, "--ground")?[..] {
                [one] => ground = one,
                _ => return Err(CommandError::entry("--ground needs one colour after it, like '#ffffff'")),
            },
            Arg::Value(path) if picture.is_none() => picture = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    if wish.protected.len() > colours {
        let what = format!(
            "--protect keeps {} colours, but --colours allows {colours}: allow more",
            wish.protected.len()
        );
        return Err(CommandError::Entry(what));
    }
    wish.from = ColoursFrom::Picture(colours);
    Ok(PictureJob {
        picture: picture.ok_or_else(|| missing("a picture"))?,
        out: out.ok_or_else(|| missing("a file for the project"))?,
        width: width.ok_or_else(|| missing("a width"))?,
        gauge: gauge.ok_or_else(|| missing("a gauge"))?,
        colours,
        shades,
        ground,
        wish,
    })
}

/// Stitches and rows per 10 cm.
fn gauge_value(args: &mut lexopt::Parser) -> Result<Gauge, CommandError> {
    let pair = |text: &str| {
        let (stitches, rows) = text.split_once(',')?;
        Some((stitches.trim().parse().ok()?, rows.trim().parse().ok()?))
    };
    let (stitches, rows) = value_by(args, "--gauge", "stitches and rows per 10 cm, like 28,36,", pair)?;
    Gauge::new(stitches, rows).map_err(|e| CommandError::Entry(format!("--gauge: {e}")))
}

fn report(project: &Project, chart: &PictureChart, notes: Vec<String>) -> Report {
    let grid = &project.chart.grid;
    let figures = PictureFigures::of(project);
    let all = Figures::of(project);
    let counts = grid.counts();
    let yarn = &all.knitted.yarn.colours;
    let colours = project.palette.slots().iter().enumerate().map(|(slot, own)| {
        let metres = yarn.get(slot).map_or(Estimate::ZERO, ColourYarn::metres);
        ColourReport {
            name: own.name.clone(),
            hex: own.colour.to_hex(),
            stitches: counts[slot],
            metres: rounded(metres.likely),
            metres_low: rounded(metres.low),
            metres_high: rounded(metres.high),
            knitted: all.knitted.yarn.knitted(slot).into(),
            needed: metres.into(),
        }
    });
    Report {
        stitches: grid.width(),
        rows: grid.height(),
        width_cm: rounded(all.chart_size.width.get()),
        height_cm: rounded(all.chart_size.height.get()),
        mean_ciede2000: rounded(chart.closeness.mean),
        p95_ciede2000: rounded(chart.closeness.p95),
        lone_stitches: figures.lone_stitches,
        colours_per_row_max: figures.colours_per_row_max,
        long_floats: figures.long_floats,
        rows_are_exact: chart.rows_are_exact,
        colours: colours.collect(),
        notes,
    }
}
